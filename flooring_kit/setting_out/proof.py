"""A lower bound on boards that no plan with these rows can go below.

Four arguments, the largest counts:

1. Area: the net floor divided by a board's face.
2. Lengths: among runs whose pieces can never lie side by side on a board (they all keep the back edge, or all
   the front edge, or two of them are wider than a board), each piece takes its length and a spacing out of
   board + spacing. A run of length q·L + rest has at least q + 1 pieces.
3. Chains: among those, runs of (nearly) equal length can hand on offcuts only as :mod:`.chains` allows. Runs
   whose rests differ a little are taken at the smallest rest: in any real plan the two end pieces of a longer run
   can be shortened to it, neither below the shortest piece, so the plan is one of that easier floor too. Only
   where some rests have room for two end pieces and others have not, the shortest piece is lowered by the
   difference.

4. For mixed lengths, the linear program of :mod:`.mixed_bound`, where asked for. It takes a run that one board
   spans as one piece, as every plan of the kit does.

Derived for this kit and checked against an exact solver in the benchmarks; not a published theorem.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from flooring_kit.setting_out.chains import RowLength, allowed_first_joints, fewest_extra_boards, taken_apart
from flooring_kit.setting_out.mixed_bound import mixed_bound

AREA_DUST_BOARDS = 1e-6
"""Float dust of a turned survey's area, in boards: far less than any floor a plan may leave bare."""


@dataclass(frozen=True)
class BoundRun:
    """A run as the bound sees it.

    Parameters
    ----------
    length_t
        Length, rounded up [tenths of mm].
    least_width_t
        A width that no piece of it is sawn narrower than, rounded down [tenths of mm].
    back, front
        Whether every piece of it meets the row behind (in front) and must keep that edge.
    solid_t
        Stretches in which its pieces meet both rows, given where one edge is joined in full and the other is not:
        such pieces are a full board wide and lie beside nothing [tenths of mm, rounded down].
    profile_t
        For a first or last row of changing width: (length, least width) of its parts, from left to right.
    """

    length_t: int
    least_width_t: int
    back: bool
    front: bool
    solid_t: tuple[int, ...] = ()
    profile_t: tuple[tuple[int, int], ...] = ()

    def wider_than(self, width_t: int) -> tuple[BoundRun, int]:
        """The same run with the stretches wider than `width_t` taken as solid, and the longest one that is not."""
        stretches = [
            (wide, sum(length for length, _ in parts))
            for wide, parts in groupby(self.profile_t, key=lambda part: part[1] > width_t)
        ]
        solid = tuple(length for wide, length in stretches if wide)
        return replace(self, solid_t=solid), max((length for wide, length in stretches if not wide), default=0)

    def solid_lengths_t(self, board_t: int, spacing_t: int) -> int:
        """Board length that the solid stretches take: their own, and a spacing for each piece that covers them."""
        length = sum(self.solid_t)
        return length + -(-length // board_t) * spacing_t

    def solid_boards(self, board_t: int) -> int:
        """Whole boards laid so that each meets a solid stretch: all of the row but those that may miss it."""
        if not self.solid_t:
            return 0
        whole = taken_apart(self.length_t, board_t).whole
        return max(0, whole - 1 - (self.length_t - sum(self.solid_t)) // board_t)


def boards_bound(
    runs: Sequence[BoundRun],
    net_area_mm2: float,
    *,
    board_t: int,
    width_t: int,
    spacing_t: int,
    shortest_t: int,
    with_program: bool = False,
) -> int:
    """Boards that no plan of these runs can go below.

    Parameters
    ----------
    runs
        All runs of the floor.
    net_area_mm2
        Net floor [mm²].
    board_t, width_t, spacing_t, shortest_t
        Board, spacing and shortest piece [tenths of mm]; 0 for `shortest_t` where that rule is not held.
    with_program
        Whether to solve the linear program of :mod:`.mixed_bound` too: stronger for mixed lengths, slower.
    """
    best = math.ceil(net_area_mm2 * 100 / (board_t * width_t) - AREA_DUST_BOARDS)
    for group in _never_side_by_side(runs, width_t - spacing_t):
        members = {id(run) for run in group}
        others = [run for run in runs if id(run) not in members]
        joining, outside = _solid_outside(group, others, width_t - spacing_t, shortest_t)
        lengths = [taken_apart(run.length_t, board_t) for run in (*group, *joining)]
        solid_t = sum(run.solid_lengths_t(board_t, spacing_t) for run in outside)
        solid_boards = sum(run.solid_boards(board_t) for run in outside)
        best = max(best, _by_length(lengths, board_t, spacing_t, solid_t))
        best = max(best, _by_chain(lengths, board_t, spacing_t, shortest_t) + solid_boards)
        if with_program:
            program = mixed_bound(
                lengths,
                board_t=board_t,
                spacing_t=spacing_t,
                shortest_t=shortest_t,
                solid=(solid_t, solid_boards),
            )
            best = max(best, program)
    return best


def _never_side_by_side(runs: Sequence[BoundRun], fit_t: int) -> list[list[BoundRun]]:
    """Groups of runs no two pieces of which can lie side by side on one board."""

    def apart(a: BoundRun, b: BoundRun) -> bool:
        return (a.back and b.back) or (a.front and b.front) or a.least_width_t + b.least_width_t > fit_t

    groups: list[list[BoundRun]] = []
    by_width = sorted(runs, key=lambda run: -run.least_width_t)
    seeds = (
        [run for run in by_width if run.back],
        [run for run in by_width if run.front],
        [run for run in by_width if 2 * run.least_width_t > fit_t],
    )
    for seed in seeds:
        group = list(seed)
        members = {id(run) for run in group}
        for run in by_width:
            if id(run) not in members and apart(run, run) and all(apart(run, other) for other in group):
                group.append(run)
        if group:
            groups.append(group)
    return groups


def _solid_outside(
    group: Sequence[BoundRun], others: Sequence[BoundRun], fit_t: int, shortest_t: int
) -> tuple[list[BoundRun], list[BoundRun]]:
    """Runs that belong to the group after all, and the rest with their solid stretches.

    A first or last row of changing width is solid where it is too wide for any piece of the group to lie beside it.
    Where what is not solid is shorter than the shortest piece, every piece reaches a solid stretch.
    """
    joining: list[BoundRun] = []
    outside: list[BoundRun] = []
    tapered = [run for run in others if run.profile_t]
    one_edge = all(run.back for run in tapered) or all(run.front for run in tapered)
    for run in others:
        if not (run.profile_t and one_edge):
            outside.append(run)
            continue
        beside = [other for other in group if not ((run.back and other.back) or (run.front and other.front))]
        solid, longest_thin = run.wider_than(fit_t - min((other.least_width_t for other in beside), default=0))
        (joining if longest_thin < shortest_t else outside).append(solid)
    return joining, outside


def _by_length(rows: Sequence[RowLength], board_t: int, spacing_t: int, solid_t: int) -> int:
    """Whole boards, and the rests with a spacing each laid end to end, with the solid stretches of other runs."""
    whole = sum(row.whole for row in rows)
    rests = sum(row.rest + spacing_t for row in rows) + solid_t
    return whole + -(-rests // (board_t + spacing_t))


def _by_chain(rows: Sequence[RowLength], board_t: int, spacing_t: int, shortest_t: int) -> int:
    """The chain bound on the most telling group of nearly equal runs, whole boards of the others added."""
    best = 0
    ordered = sorted((row for row in rows if row.whole > 0), key=lambda row: (row.whole, row.rest))
    others = sum(max(0, row.whole - 1) for row in ordered)
    for first, last in _groups(ordered, shortest_t):
        low, high = ordered[first], ordered[last]
        shortest = max(shortest_t, 1)
        if low.rest < 2 * shortest <= high.rest:  # a rest with room for two cut ends, shortened to one without
            shortest = max(shortest_t - (high.rest - low.rest), 1)
        if not allowed_first_joints(low, board_t, shortest):
            continue
        count = last - first + 1
        extra = fewest_extra_boards(low, board_t, spacing_t, shortest, count)
        best = max(best, count * low.whole + extra + others - count * max(0, low.whole - 1))
    return best


def _groups(ordered: Sequence[RowLength], shortest_t: int) -> list[tuple[int, int]]:
    """(first, last) of every group of equal runs, and of every group that holds all runs near enough to its first."""
    equal: list[tuple[int, int]] = []
    for index, row in enumerate(ordered):
        if equal and ordered[equal[-1][0]] == row:
            equal[-1] = (equal[-1][0], index)
        else:
            equal.append((index, index))
    near: list[tuple[int, int]] = []
    for first, _ in equal:
        low = ordered[first]
        last = max(
            index
            for index in range(first, len(ordered))
            if ordered[index].whole == low.whole and ordered[index].rest - low.rest < max(shortest_t, 1)
        )
        if not near or last > near[-1][1]:
            near.append((first, last))
    return sorted({*near, *(group for group in equal if group[1] > group[0])})
