"""How long the chance of running short takes: 25 rooms measured anew and 10 000 jobs drawn, for every demo room.

Run from the project's root: ``python tests/benchmarks/running_short.py``.
"""

from __future__ import annotations

import time

import flooring_kit as fk

ROOMS, JOBS = 25, 10_000


def main() -> None:
    shop = fk.read_catalogue(fk.demo_path())
    underlay, trim = shop.underlay("Foam sheet 3 mm"), shop.trim("White scotia 18 mm")
    board = shop.board("Oak plank 1380 x 193")
    print(f"{'room':<16} {'rooms, s':>9} {'of CPU':>7} {'jobs, s':>8} {'boards':>7} {'packs':>6}  chance")
    for path in sorted(fk.demo_path("rooms").glob("*.toml")):
        room = fk.read_room(path)
        plan = fk.set_out(room, board)
        order = fk.take_off(plan, underlay, trim, buying=fk.Buying())
        bought = fk.Bought.ordered(order)
        start, busy = time.perf_counter(), time.process_time()
        anew = list(fk.replans(plan, fk.TRADE, underlay=underlay, trim=trim, count=ROOMS))
        busy = time.process_time() - busy
        measured = time.perf_counter()
        told = fk.chances(anew, bought, fk.TRADE, draws=JOBS)
        drawn = time.perf_counter()
        print(
            f"{room.name:<16} {measured - start:9.2f} {busy:7.2f} {drawn - measured:8.2f} {plan.boards_needed:7d} "
            f"{bought.packs:6d}  {told.boards.sentence()}"
        )


if __name__ == "__main__":
    main()
