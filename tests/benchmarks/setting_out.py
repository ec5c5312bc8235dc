"""Quality and speed of setting out, printed as tables.

    python tests/benchmarks/setting_out.py            all tables
    python tests/benchmarks/setting_out.py demo       only the table named: demo, reference, rectangles, random, ...

Read times as rough; quote ratios.
"""

from __future__ import annotations

import json
import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from floors import DEMO_ROOMS, demo_boards, demo_room, random_floors, rectangle
from referee import broken_rules, referee

import flooring_kit as fk
from flooring_kit.drawing import as_svg, plan_scene
from flooring_kit.setting_out.pattern import lined_up_rows, stair_rows, tracing_score

QUICK = fk.Search(quick=True)
REFERENCE = Path(__file__).resolve().parent.parent / "reference" / "rectangles.json"


def timed(call: Callable[[], fk.Plan], *, times: int = 1) -> tuple[fk.Plan, float]:
    """A plan and the median time it took [ms]."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        plan = call()
        taken.append((time.perf_counter() - start) * 1000)
    return plan, statistics.median(taken)


def demo() -> None:
    print("Demo rooms, board 1380 x 193 (kitchen-diner 1850 x 240), direction as surveyed")
    print(f"{'room':16}{'quick ms':>9}{'step ms':>9}{'settled ms':>11}{'boards':>8}{'bound':>7}{'broken':>8}")
    boards = demo_boards()
    for name in DEMO_ROOMS:
        room = demo_room(name)
        board = boards["Ash plank 1850 x 240" if name == "kitchen_diner" else "Oak plank 1380 x 193"]
        shop = fk.Catalogue(boards, dict(fk.read_underlays(fk.demo_path("underlays.csv"))))
        choices = fk.Choices(fk.Materials(board.name, next(iter(shop.underlays))), fk.Laying(room.boards_run))
        as_surveyed = partial(fk.set_out, room, board, direction=room.boards_run)
        _, quick_ms = timed(partial(as_surveyed, search=QUICK), times=9)
        taken = []
        for _ in range(9):
            start = time.perf_counter()
            as_svg(plan_scene(next(fk.better_estimates(room, choices, shop)).plan))
            taken.append((time.perf_counter() - start) * 1000)
        plan, settled_ms = timed(as_surveyed)
        broken = sum(not fault.slight for fault in plan.broken_rules)
        print(
            f"{name:16}{quick_ms:9.0f}{statistics.median(taken):9.0f}{settled_ms:11.0f}{plan.boards_needed:8}"
            f"{plan.boards_bound:7}{broken:8}"
        )


def reference() -> None:
    print("Reference rectangles, margin 0: boards against the proved fewest")
    equal = met = 0
    scores = []
    floors = json.loads(REFERENCE.read_text())
    for floor in floors:
        board = fk.Board("b", floor["board_length_mm"], floor["board_width_mm"], 8, floor["boards_per_pack"])
        rules = fk.LayingRules(kerf_mm=floor["kerf_mm"], offcut_margin_mm=0)
        room = rectangle(floor["run_mm"] + 20, floor["width_mm"] + 20)
        plan = fk.set_out(room, board, rules=rules, direction=0)
        equal += plan.boards_needed == floor["optimal_boards"]
        met += plan.proved_fewest
        if plan.rows >= 10:
            scores.append(tracing_score(plan.row_joints_mm, board.length_mm).score_fraction)
    print(
        f"fewest reached {equal} of {len(floors)}, proved by the bound {met}; tracing-paper score, ten rows and more:"
    )
    print(f"mean {statistics.mean(scores):.3f}, worst {max(scores):.3f}")


def random_rooms(count: int = 200) -> None:
    print(f"{count} seeded random floors, margin 10, rules as by default")
    head = f"{'shape':11}{'floors':>7}{'boards':>8}{'bound':>7}{'gap %':>7}{'worst':>6}{'proved':>7}{'broken':>7}"
    print(f"{head}{'H':>4}{'stair':>6}{'score':>7}{'quick ms':>9}{'p95':>6}{'settled':>8}{'worst ms':>9}")
    rows: dict[str, list[tuple[fk.Plan, float, float, int]]] = {}
    for shape, room, board in random_floors(count, seed=2026):
        fk.set_out(room, board, search=QUICK)
        _, quick_ms = timed(partial(fk.set_out, room, board, search=QUICK), times=3)
        plan, settled_ms = timed(partial(fk.set_out, room, board))
        assert referee(plan, room, board, plan.rules) == []
        broken = sum(not fault.slight for fault in plan.broken_rules)
        broken = max(broken, len(broken_rules(plan, room, board, plan.rules)) - (len(plan.broken_rules) - broken))
        rows.setdefault(shape, []).append((plan, quick_ms, settled_ms, broken))
    every = [row for found in rows.values() for row in found]
    other = [row for shape, found in rows.items() if shape != "rectangle" for row in found]
    for shape, found in [*rows.items(), ("other", other), ("all", every)]:
        plans = [row[0] for row in found]
        needed, bound = sum(p.boards_needed for p in plans), sum(p.boards_bound for p in plans)
        lined = stairs = 0
        scores = []
        for plan in plans:
            if shape in ("rectangle", "hall") and len(plan.row_joints_mm) > 1:
                joints = plan.row_joints_mm
                lined += bool(lined_up_rows(joints, plan.board.length_mm))
                stairs += bool(stair_rows(joints, plan.board.length_mm))
                if len(joints) >= 10:
                    scores.append(tracing_score(joints, plan.board.length_mm).score_fraction)
        quick = sorted(row[1] for row in found)
        settled = sorted(row[2] for row in found)
        print(
            f"{shape:11}{len(found):7}{needed:8}{bound:7}{(needed / bound - 1) * 100:7.2f}"
            f"{max(p.boards_needed - p.boards_bound for p in plans):6}{sum(p.proved_fewest for p in plans):7}"
            f"{sum(row[3] for row in found):7}{lined:4}{stairs:6}{statistics.mean(scores) if scores else 0:7.3f}"
            f"{statistics.median(quick):9.0f}{quick[int(len(quick) * 0.95)]:6.0f}{statistics.median(settled):8.0f}"
            f"{settled[-1]:9.0f}"
        )


def rectangles(count: int = 100) -> None:
    """Plain rectangles: proof, pattern and speed, and the habits' boards and packs beside the plan's."""
    proved = faults = 0
    scores: list[float] = []
    boards = {"plan": 0, "fewest possible": 0, "keep the rules as you go": 0, "carry on with the offcut": 0}
    packs = {"plan": 0, "keep the rules as you go": 0, "net area + 10 %": 0}
    short_of_packs = too_many = 0
    floors = [(room, board) for shape, room, board in random_floors(6 * count, seed=77) if shape == "rectangle"]
    for room, board in floors:
        plan = fk.set_out(fk.Room(room.name, room.outline), board)
        found = fk.habits(plan)
        proved += plan.proved_fewest
        if len(plan.row_joints_mm) > 2:
            pattern = fk.pattern_of(plan.row_joints_mm, board.length_mm)
            faults += bool(pattern.lined_up or pattern.stairs)
            scores += [pattern.score_fraction] if pattern.score_fraction is not None else []
        boards["plan"] += plan.boards_needed
        boards["fewest possible"] += plan.boards_bound
        boards["keep the rules as you go"] += found.keep_rules.boards
        boards["carry on with the offcut"] += found.carry_on.boards
        by_area = fk.packs_for_area(fk.net_area_m2(plan.floor), board.pack_area_m2, spare_fraction=0.10)
        unplanned = fk.packs_for_pieces(found.keep_rules.boards, board.boards_per_pack)
        planned = fk.packs_for_pieces(plan.boards_needed, board.boards_per_pack)
        packs["plan"] += planned
        packs["keep the rules as you go"] += unplanned
        packs["net area + 10 %"] += by_area
        short_of_packs += by_area < unplanned
        too_many += by_area > planned
    print(f"{len(floors)} plain rectangles, margin 10: {proved} proved fewest, {faults} with rows lined up or stairs;")
    print(f"tracing-paper score, ten rows and more: mean {statistics.mean(scores):.3f}, worst {max(scores):.3f}")
    for name, total in boards.items():
        print(f"  boards, {name}: {total} ({total / boards['plan'] - 1:+.1%})")
    for name, total in packs.items():
        print(f"  packs, {name}: {total}")
    print(f"  net area + 10 % runs short for unplanned work on {short_of_packs} floors, buys too much on {too_many}")


def piles(count: int = 40) -> None:
    """Offcuts that wait, and what a limit on them costs."""
    floors = [(room, board) for _, room, board in random_floors(count, seed=2026)]
    boards: dict[int | None, int] = {}
    for most in (None, 6, 4, 2, 1):
        rules = fk.LayingRules(most_offcuts_waiting=most)
        plans = [fk.set_out(room, board, rules=rules) for room, board in floors]
        waiting = [fk.most_waiting(fk.offcut_ledger(plan)) for plan in plans]
        assert most is None or max(waiting) <= most
        boards[most] = sum(plan.boards_needed for plan in plans)
        limit = "any number" if most is None else most
        print(
            f"{len(floors)} random floors, at most {limit} waiting: {boards[most]} boards "
            f"({boards[most] / boards[None] - 1:+.1%}); {statistics.mean(waiting):.1f} wait on average, "
            f"{max(waiting)} on the worst"
        )


def hall() -> None:
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    plan, ms = timed(lambda: fk.set_out(rectangle(50_000, 40_000), demo_boards()["Oak plank 1380 x 193"]))
    after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(
        f"Hall of 50 x 40 m: {plan.boards_needed} boards, bound {plan.boards_bound}, {len(plan.broken_rules)} "
        f"broken, {ms / 1000:.1f} s, {after - before:.0f} MB more than before"
    )


def importing() -> None:
    bare = "import time; t = time.perf_counter(); import {}; print(time.perf_counter() - t)"
    for what in ("pandas, shapely", "flooring_kit"):
        script = [sys.executable, "-c", bare.format(what)]
        took = [float(subprocess.run(script, capture_output=True, text=True, check=True).stdout) for _ in range(5)]
        print(f"import {what}: {statistics.median(took):.2f} s")


TABLES = {
    "demo": demo,
    "reference": reference,
    "rectangles": rectangles,
    "random": random_rooms,
    "piles": piles,
    "hall": hall,
    "import": importing,
}

if __name__ == "__main__":
    for name in sys.argv[1:] or TABLES:
        TABLES[name]()
        print()
