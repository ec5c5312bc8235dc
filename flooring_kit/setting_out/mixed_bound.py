"""A stronger lower bound for runs of several lengths: a linear program over where first joints can lie.

The board is divided into even steps. Each class of (nearly) equal runs is spread over the steps its first joints
are allowed in; a starter counts as the shortest of its step and a finisher as the shortest of its own, so that
every real plan is one point of the program. For lengths that fit when their sum is at most a limit, no pairing
shares more boards than, for any length t, the starters up to t and the finishers that fit no longer starter
(König's theorem for such nested pairs)::

    shared <= starters up to t + finishers up to (fit - t)        for every t
    boards >= pieces - shared
    boards * (board + spacing) >= lengths of all pieces, a spacing added to each

A loose piece, which keeps neither end, may join a starter or a finisher. One too long to lie on a board with both
counts as a piece, and its partners come out of the same starters and finishers; shorter ones count by length only.
The least number of boards is solved with HiGHS; only its value is used. Derived for this kit and checked against
an exact solver in the benchmarks; not a published theorem.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from flooring_kit.setting_out.chains import RowLength, allowed_first_joints

STEPS = 240
ALIKE_T = 60
"""Runs whose rests differ by at most this [tenths of mm] are taken as one class, at its shortest rest."""

SLACK = 1e-6


@dataclass(frozen=True)
class _Spot:
    """A class of runs with its first joint in one step."""

    group: int
    pieces: int
    starter: int | None
    finisher: int | None
    cut_t: int


def mixed_bound(
    rows: Sequence[RowLength], *, board_t: int, spacing_t: int, shortest_t: int, solid: tuple[int, int] = (0, 0)
) -> int:
    """Boards that no plan of these runs can go below; 0 where the program has no answer to give.

    A run that one board spans is taken as one piece.

    Parameters
    ----------
    rows
        Lengths of runs no two pieces of which can lie side by side.
    board_t, spacing_t, shortest_t
        Board, spacing and shortest piece [tenths of mm].
    solid
        What other runs add in any plan: board length [tenths of mm, spacings included], and whole boards.
    """
    from scipy.optimize import linprog
    from scipy.sparse import csr_array

    step = -(-board_t // STEPS)
    fit = (board_t - spacing_t) // step
    counts, spots = _spots(rows, board_t, shortest_t, step)
    loose = [row.rest for row in rows if row.whole == 0]
    longest_beside_two = board_t - 2 * spacing_t - 2 * max(shortest_t, 1)
    long_loose = [length for length in loose if length > max(longest_beside_two, (board_t - spacing_t) / 2)]
    beside_long = (board_t - spacing_t - min(long_loose)) // step if long_loose else -1
    if any(not any(spot.group == group for spot in spots) for group in range(len(counts))):
        return 0
    # variables: one for each spot, starters up to t, finishers up to t, shared, boards
    size, bins = len(spots), fit + 1
    up_s, up_f, shared, boards = size, size + bins, size + 2 * bins, size + 2 * bins + 1
    equal: list[tuple[int, int, float]] = []
    for v, spot in enumerate(spots):
        equal.append((spot.group, v, 1.0))
        if spot.starter is not None and spot.starter < bins:
            equal.append((len(counts) + spot.starter, v, -1.0))
        if spot.finisher is not None and spot.finisher < bins:
            equal.append((len(counts) + bins + spot.finisher, v, -1.0))
    for t in range(bins):
        for first, row in ((up_s, len(counts)), (up_f, len(counts) + bins)):
            equal.append((row + t, first + t, 1.0))
            if t:
                equal.append((row + t, first + t - 1, -1.0))
    at_most: list[tuple[int, int, float]] = []
    limits: list[float] = []
    for least, more in ((-1, float(len(long_loose))), (beside_long, 0.0)):  # cover the long ones, or their partners
        for t in range(-1, bins):
            at_most.append((len(limits), shared, 1.0))
            if max(t, least) >= 0:
                at_most.append((len(limits), up_s + max(t, least), -1.0))
            if max(fit - t - 1, least) >= 0:
                at_most.append((len(limits), up_f + min(max(fit - t - 1, least), bins - 1), -1.0))
            limits.append(more)
    by_count, by_length = len(limits), len(limits) + 1
    for v, spot in enumerate(spots):
        at_most.append((by_count, v, float(spot.pieces)))
        at_most.append((by_length, v, float(spot.cut_t + spot.pieces * spacing_t) / (board_t + spacing_t)))
    at_most += [(by_count, shared, -1.0), (by_count, boards, -1.0), (by_length, boards, -1.0)]
    loose_share = (sum(length + spacing_t for length in loose) + solid[0]) / (board_t + spacing_t)
    result = linprog(
        np.eye(boards + 1)[boards],
        A_ub=_matrix(csr_array, at_most, len(limits) + 2, boards + 1),
        b_ub=np.array([*limits, -float(len(long_loose) + solid[1]), -loose_share]),
        A_eq=_matrix(csr_array, equal, len(counts) + 2 * bins, boards + 1),
        b_eq=np.array([*counts, *[0.0] * (2 * bins)], dtype=float),
        bounds=(0, None),
        method="highs",
    )
    return math.ceil(float(result.fun) - SLACK) if result.status == 0 else 0


def _matrix(kind: type, entries: list[tuple[int, int, float]], rows: int, columns: int) -> object:
    at = np.array([entry[:2] for entry in entries])
    return kind((np.array([entry[2] for entry in entries]), (at[:, 0], at[:, 1])), shape=(rows, columns))


def _spots(rows: Sequence[RowLength], board_t: int, shortest_t: int, step: int) -> tuple[list[int], list[_Spot]]:
    """Classes of runs with their numbers, and every step a class can have its first joint in."""
    counts: list[int] = []
    spots: list[_Spot] = []
    ordered = sorted((row for row in rows if row.whole > 0), key=lambda row: (row.whole, row.rest))
    first = 0
    while first < len(ordered):
        low = ordered[first]
        last = first
        while (
            last + 1 < len(ordered)
            and ordered[last + 1].whole == low.whole
            and ordered[last + 1].rest - low.rest <= min(ALIKE_T, max(shortest_t, 1) - 1)
        ):
            last += 1
        shortest = max(shortest_t - (ordered[last].rest - low.rest), 1)
        same = ordered[last].rest == low.rest
        spots += _spots_of(low, len(counts), board_t, shortest, step, ends_whole=same)
        counts.append(last - first + 1)
        first = last + 1
    return counts, spots


def _spots_of(row: RowLength, group: int, board_t: int, shortest_t: int, step: int, *, ends_whole: bool) -> list[_Spot]:
    length = row.whole * board_t + row.rest
    spots: list[_Spot] = []
    for low, high in allowed_first_joints(row, board_t, shortest_t):
        at = low
        while at <= high:
            to = min(high, at // step * step + step - 1)
            if at < board_t <= to:
                to = board_t - 1  # a whole first board is a step of its own
            is_low = to < row.rest
            if ends_whole and at == row.rest:
                to, finisher = at, None
            else:
                finisher = ((row.rest if is_low else row.rest + board_t) - to) // step
            starter = None if at >= board_t else at // step
            spots.append(_Spot(group, row.whole + 1 + is_low, starter, finisher, length))
            at = to + 1
    return spots
