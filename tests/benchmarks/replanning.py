"""Floors spoiled half-way, planned on from there: boards more, broken offsets, rows changed, time.

    python tests/benchmarks/replanning.py

Times are those of one core, so that other work on the machine counts less; read them as rough. Every plan goes
through the referee.
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from days import half_laid, next_piece
from floors import random_floors
from referee import broken_rules, referee

import flooring_kit as fk
from flooring_kit import as_laid
from flooring_kit.day_entries import BoardDamaged, CameOut, Entry, PieceSpoiled

FLOORS, SEED = 20, 2027

MISHAPS: dict[str, Callable[[str, float], Entry]] = {
    "the next piece's board damaged, nothing of it usable": lambda piece, length_mm: BoardDamaged(piece),
    "the next piece spoiled, the rest of its board sound": lambda piece, length_mm: PieceSpoiled(piece),
    "the next piece came out 40 mm short": lambda piece, length_mm: CameOut(piece, length_mm - 40),
}


def offsets_broken(plan: fk.Plan) -> int:
    return sum(found.rule == "joint offset" for found in broken_rules(plan, plan.room, plan.board, plan.rules))


def main() -> None:
    plans = [fk.set_out(room, board) for _, room, board in random_floors(FLOORS, seed=SEED)]
    for words, happens in MISHAPS.items():
        more, seconds, pieces_changed, offsets = [], [], [], 0
        for plan in plans:
            entries = half_laid(plan)
            piece = next_piece(plan, as_laid.as_laid(plan, entries).laid)
            length_mm = float(plan.pieces.set_index("piece")["length_mm"][piece])
            day = as_laid.as_laid(plan, [*entries, happens(piece, length_mm)])
            start = time.process_time()
            anew = as_laid.replan(day)
            seconds.append(time.process_time() - start)
            assert referee(anew.plan, plan.room, plan.board, plan.rules) == []
            more.append(anew.boards_more)
            pieces_changed.append(len(anew.changes))
            offsets += max(0, offsets_broken(anew.plan) - offsets_broken(plan))
        counts = ", ".join(f"{extra:+} on {more.count(extra)}" for extra in sorted(set(more)))
        print(f"{len(plans)} floors, {words}:")
        print(f"  boards against the first plan: {counts}; offsets broken beyond the first plan's: {offsets}")
        print(
            f"  pieces changed: median {statistics.median(pieces_changed):g}, most {max(pieces_changed)}; "
            f"seconds of one core: median {statistics.median(seconds):.2f}, most {max(seconds):.2f}"
        )


if __name__ == "__main__":
    main()
