"""The kit's plans and bounds against an exact solver, on small floors; not part of the test run.

    python tests/benchmarks/exact_solver.py                        24 floors, 10 s each at most
    python tests/benchmarks/exact_solver.py --floors 6 --seconds 30

Needs OR-tools. The solver gets the plan's rows and the rules, never the kit's bound or joints. Lengths and joints
are whole millimetres, run lengths rounded up. Two pieces at most share a board, lengthways: floors with a row of half
a board's width or less are left out, and so are plans that break the joint offset or the shortest piece. The offset
is asked of all joints of overlapping runs in neighbouring rows, as the kit's own search does.

Exit code 1 where a bound is above the solver's boards, or the solver finds a floor of fewer boards than the plan's.
A plan below a proved optimum, or a floor the solver finds no way to lay, is a fault of this model and fails too.
"""

from __future__ import annotations

import argparse
import math
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from floors import random_floors

import flooring_kit as fk
from flooring_kit.setting_out.chains import RowLength, allowed_first_joints, taken_apart

SEED = 4718
MOST_ROWS = 8
MOST_DRAWN = 300
"""Floors drawn to choose from: with this seed every one of them is a valid room."""

SHALLOWER = 0.3
"""Rectangles and Ls of the shared floors are 2 m deep and more: too many rows, so their depth is scaled."""


@dataclass(frozen=True)
class Run:
    """A run of the plan [whole mm]: row number, start along the boards, length rounded up."""

    row: int
    start_mm: int
    length_mm: int

    @property
    def end_mm(self) -> int:
        return self.start_mm + self.length_mm


@dataclass(frozen=True)
class Exact:
    """What the solver found: boards of its best floor (None: none found), and whether they are proved fewest."""

    boards: int | None
    status: str
    taken_s: float

    @property
    def proved(self) -> bool:
        return self.status == "OPTIMAL"


def runs_of(plan: fk.Plan) -> list[Run]:
    """The plan's runs: pieces of one row that follow one another without a break."""
    along_u, along_v = plan.along
    found: list[Run] = []
    for row, pieces in plan.pieces.groupby("row"):
        ends = []
        for shape in pieces["shape"]:
            reach = [x * along_u + y * along_v for x, y in shape.exterior.coords]
            ends.append((min(reach), max(reach)))
        ends.sort()
        joined = [list(ends[0])]
        for start, end in ends[1:]:
            if start - joined[-1][1] < 0.2:
                joined[-1][1] = max(joined[-1][1], end)
            else:
                joined.append([start, end])
        found += [Run(int(row), round(start), math.ceil(end - start - 1e-3)) for start, end in joined]
    return found


def small_floors(count: int) -> Iterator[tuple[str, fk.Plan]]:
    """Settled plans of seeded floors of at most eight rows, every row wider than half a board."""
    given = 0
    for shape, room, board in random_floors(MOST_DRAWN, seed=SEED):
        if given == count:
            return
        if shape not in ("rectangle", "L", "hall"):
            continue
        depth = 1.0 if shape == "hall" else SHALLOWER
        outline = tuple((x, float(round(y * depth))) for x, y in room.outline)
        if max(y for _, y in outline) / board.width_mm > MOST_ROWS + 1:
            continue
        plan = fk.set_out(replace(room, outline=outline, doors=()), board)
        broken = {fault.rule for fault in plan.broken_rules} & {"joint offset", "shortest piece"}
        if plan.rows > MOST_ROWS or broken or 2 * plan.pieces["width_mm"].min() <= board.width_mm:
            continue
        given += 1
        yield room.name, plan


class Model:
    """Boards for the runs of one floor, for the solver to make few [whole mm]."""

    def __init__(self, cp: Any, runs: list[Run], board_mm: int, rules: fk.LayingRules) -> None:
        self.model = cp.CpModel()
        self.board = board_mm
        self.fit = board_mm - math.ceil(rules.spacing_mm)
        self.offset = math.ceil(rules.joint_offset_mm)
        shortest = math.ceil(rules.shortest_piece_mm)
        self.pieces: list[Any] = []
        self.starters: list[tuple[Any, Any]] = []  # (length, 0 where whole; whether cut)
        self.finishers: list[tuple[Any, Any]] = []
        self.loose: list[int] = []
        self.jointed: list[tuple[Run, RowLength, Any, Any]] = []
        for run in runs:
            row = taken_apart(run.length_mm, board_mm)
            if row.whole == 0:
                self.loose.append(run.length_mm)
                self.pieces.append(1)
            else:
                self._add_run(cp, run, row, shortest)
        self._hold_offsets()
        self._share_boards()

    def _add_run(self, cp: Any, run: Run, row: RowLength, shortest: int) -> None:
        model, board, rest = self.model, self.board, row.rest
        zones = allowed_first_joints(row, board, shortest)
        first = model.new_int_var_from_domain(cp.Domain.from_intervals([list(zone) for zone in zones]), "first")
        below, at, above, whole = (model.new_bool_var(name) for name in ("below", "at", "above", "whole first"))
        model.add_exactly_one(below, at, above)
        model.add(first <= rest - 1).only_enforce_if(below)
        model.add(first == rest).only_enforce_if(at)
        model.add(first >= rest + 1).only_enforce_if(above)
        model.add(first == board).only_enforce_if(whole)
        model.add(first <= board - 1).only_enforce_if(~whole)
        starter, finisher = (model.new_int_var(0, board - 1, name) for name in ("starter", "finisher"))
        model.add(starter == 0).only_enforce_if(whole)
        model.add(starter == first).only_enforce_if(~whole)
        model.add(finisher == 0).only_enforce_if(at)
        model.add(finisher == rest - first).only_enforce_if(below)
        model.add(finisher == rest + board - first).only_enforce_if(above)
        self.starters.append((starter, ~whole))
        self.finishers.append((finisher, ~at))
        self.pieces.append(row.whole + 1 + below)
        self.jointed.append((run, row, first, below))

    def _hold_offsets(self) -> None:
        """Joints of overlapping runs in neighbouring rows lie apart."""
        model = self.model
        for (run, row, first, below), (other, other_row, other_first, other_below) in combinations(self.jointed, 2):
            if abs(run.row - other.row) != 1:
                continue
            if min(run.end_mm, other.end_mm) - max(run.start_mm, other.start_mm) <= 1:
                continue
            for k in range(row.whole + 1):
                for m in range(other_row.whole + 1):
                    between = run.start_mm - other.start_mm + (k - m) * self.board
                    if abs(between) >= self.board + self.offset:
                        continue
                    there = [below] if k == row.whole else []
                    there += [other_below] if m == other_row.whole else []
                    right = model.new_bool_var("right of it")
                    apart = first - other_first + between
                    model.add(apart >= self.offset).only_enforce_if(right, *there)
                    model.add(apart <= -self.offset).only_enforce_if(~right, *there)

    def _share_boards(self) -> None:
        """Two cut pieces share a board where they fit; each shares once."""
        model = self.model
        ends = [("starter", *end) for end in self.starters] + [("finisher", *end) for end in self.finishers]
        ends += [("loose", length, None) for length in self.loose]
        shared_by: list[list[Any]] = [[] for _ in ends]
        shared: list[Any] = []
        for (i, (kind, length, cut)), (j, (other_kind, other_length, other_cut)) in combinations(enumerate(ends), 2):
            if kind == other_kind != "loose":
                continue  # two starters both need the board's right end
            both_loose = kind == other_kind
            if both_loose and length + other_length > self.fit:
                continue
            share = model.new_bool_var("share")
            if not both_loose:
                model.add(length + other_length <= self.fit).only_enforce_if(share)
            for is_cut in (cut, other_cut):
                if is_cut is not None:
                    model.add_implication(share, is_cut)
            shared_by[i].append(share)
            shared_by[j].append(share)
            shared.append(share)
        for shares in shared_by:
            model.add_at_most_one(shares)
        model.minimize(sum(self.pieces) - sum(shared))


def solved(cp: Any, plan: fk.Plan, seconds: float) -> Exact:
    """The fewest boards for the plan's rows, as far as the solver gets in so many seconds."""
    if plan.board.length_mm != round(plan.board.length_mm):
        raise ValueError("The board length must be whole millimetres.")
    model = Model(cp, runs_of(plan), round(plan.board.length_mm), plan.rules)
    solver = cp.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    began = time.perf_counter()
    status = solver.solve(model.model)
    found = status in (cp.OPTIMAL, cp.FEASIBLE)
    boards = round(solver.objective_value) if found else None
    return Exact(boards, solver.status_name(status), time.perf_counter() - began)


def main() -> int:
    """Print the table; 1 where a figure that must be 0 is not."""
    parser = argparse.ArgumentParser(description="The kit's plans and bounds against an exact solver.")
    parser.add_argument("--floors", type=int, default=24)
    parser.add_argument("--seconds", type=float, default=10.0, help="for each floor at most")
    asked = parser.parse_args()
    try:
        from ortools.sat.python import cp_model
    except ImportError:
        print("This benchmark needs OR-tools: pip install ortools.")
        return 2
    print(f"{'floor':16}{'rows':>5}{'plan':>6}{'bound':>7}{'exact':>7}  {'status':10}{'s':>6}")
    found: list[tuple[fk.Plan, Exact]] = []
    for name, plan in small_floors(asked.floors):
        exact = solved(cp_model, plan, asked.seconds)
        found.append((plan, exact))
        boards = "-" if exact.boards is None else exact.boards
        print(
            f"{name:16}{plan.rows:5}{plan.boards_needed:6}{plan.boards_bound:7}{boards:>7}  "
            f"{exact.status:10}{exact.taken_s:6.1f}",
            flush=True,
        )
    proved = [(plan, exact.boards) for plan, exact in found if exact.proved and exact.boards is not None]
    reached = [(plan, exact.boards) for plan, exact in found if exact.boards is not None]
    equal = sum(plan.boards_needed == boards for plan, boards in proved)
    above = sum(plan.boards_needed > boards for plan, boards in proved)
    below = sum(plan.boards_needed < boards for plan, boards in proved)
    bound_above = sum(plan.boards_bound > boards for plan, boards in reached)
    better = sum(plan.boards_needed > boards for plan, boards in reached)
    refuted = sum(exact.status in ("INFEASIBLE", "MODEL_INVALID") for _, exact in found)
    print(
        f"{len(found)} floors, {len(proved)} proved by the solver: plans equal to the optimum {equal}, "
        f"above it {above} (must be 0), below it {below} (must be 0); "
        f"bounds above the solver's boards {bound_above} (must be 0); solver better "
        f"than the plan {better} (must be 0); no floor by the rules {refuted} (must be 0)"
    )
    return int(bool(above or below or bound_above or better or refuted or len(found) < asked.floors))


if __name__ == "__main__":
    sys.exit(main())
