"""What two habits would need for the same rows: the figures a plan is compared with.

*Carry on with the offcut*: the first row starts with a whole board, every further row with whatever the last row
left, rules or no rules. *Keep the rules as you go*: the offcut starts the next row, shortened if need be, where
the rules allow; otherwise a new board is cut at a place the rules allow. Both decide row by row and look no
further ahead; the second is the fair one to beat.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass

from flooring_kit.setting_out.chains import finisher_t, highest_allowed, taken_apart
from flooring_kit.setting_out.joint_costs import JointedRun
from flooring_kit.setting_out.starts import JointRules, zones_of

TRIES = 200
"""Random places looked at for a new board before an offset is broken."""

SHORTENED_BY_T = 50


@dataclass(frozen=True)
class HabitFigures:
    """What a habit needs and breaks.

    Parameters
    ----------
    boards
        Boards sawn.
    broken_offsets
        Pairs of neighbouring runs with joints nearer than the joint offset.
    short_rows
        Runs with an end piece under the shortest piece.
    row_joints_mm
        A joint of each row that has one [mm].
    boards_after_row
        Boards opened by the end of each row: (row, boards).
    """

    boards: int
    broken_offsets: int
    short_rows: int
    row_joints_mm: tuple[float, ...]
    boards_after_row: tuple[tuple[int, int], ...] = ()

    def runs_short_in_row(self, boards_bought: int) -> int | None:
        """The row in which so many boards run out; None where they suffice."""
        return next((row for row, opened in self.boards_after_row if opened > boards_bought), None)


@dataclass(frozen=True)
class CarriedPiece:
    """A piece sawn by carrying on with the offcut [tenths of mm].

    Parameters
    ----------
    board
        Board number, from 1.
    along
        From the board's end towards the row's start to the piece.
    length
        Its length.
    """

    board: int
    along: int
    length: int


def carried_on(runs: Sequence[JointedRun], *, board_t: int, kerf_t: int) -> list[list[CarriedPiece]]:
    """The pieces of every run when each starts with what the last one left, and whole boards follow.

    Parameters
    ----------
    runs
        Runs in laying order.
    board_t, kerf_t
        Board length and saw kerf [tenths of mm].
    """
    found: list[list[CarriedPiece]] = []
    board, at = 0, board_t
    for run in runs:
        pieces: list[CarriedPiece] = []
        left = run.length
        while left > 0:
            if at >= board_t:
                board, at = board + 1, 0
            length = min(board_t - at, left)
            pieces.append(CarriedPiece(board, at, length))
            at += length + kerf_t
            left -= length
        found.append(pieces)
    return found


def carry_on_with_the_offcut(runs: Sequence[JointedRun], rules: JointRules, *, kerf_t: int) -> HabitFigures:
    """Every row starts with the last row's offcut, rules ignored.

    Parameters
    ----------
    runs
        Runs in laying order.
    rules
        Board and rules; the margin is not kept.
    kerf_t
        Saw kerf [tenths of mm].

    Examples
    --------
    The box room: 13 rows of 2 x 1380 + 10. The offcut grows shorter by 13 a row, the row ends are 10, 23, 36 ...

    >>> rows = [JointedRun(0.0, 27700, row) for row in range(1, 14)]
    >>> figures = carry_on_with_the_offcut(rows, JointRules(13800, 30, 3000, 3000.0), kerf_t=30)
    >>> figures.broken_offsets, figures.short_rows
    (12, 13)
    """
    carried = carried_on(runs, board_t=rules.board, kerf_t=kerf_t)
    lengths = [[piece.length for piece in pieces] for pieces in carried]
    return _figures(
        [pieces[-1].board for pieces in carried],
        runs,
        [_joints_of(run, pieces) for run, pieces in zip(runs, lengths, strict=True)],
        [[pieces[0], pieces[-1]] if len(pieces) > 1 else [] for pieces in lengths],
        rules,
    )


def keep_the_rules_as_you_go(runs: Sequence[JointedRun], rules: JointRules, *, seed: int = 0) -> HabitFigures:
    """Row by row, the offcut shortened where the rules allow, otherwise a new board at a random allowed place."""
    draw = random.Random(seed)
    offcut = 0
    boards = 0
    opened: list[int] = []
    joints: list[list[float]] = []
    ends: list[list[int]] = []
    for run in runs:
        before = [
            joint
            for other, marks in zip(runs, joints, strict=False)
            if (other.part, other.row) == (run.part, run.row - 1)
            for joint in marks
        ]
        row = taken_apart(run.length, rules.board)
        if row.whole == 0:
            if offcut < run.length:
                boards, offcut = boards + 1, rules.board
            offcut -= run.length + rules.spacing
            opened.append(boards)
            joints.append([])
            ends.append([])
            continue
        zones = zones_of(row, rules)
        shortened = range(max(offcut, 0), 0, -SHORTENED_BY_T)
        choices = [joint for joint in (highest_allowed(zones, length) for length in shortened) if joint]
        legal = [joint for joint in choices if _clear(_marks(run, joint, rules), before, rules)]
        if not legal:
            offcut = 0
            drawn = [draw.randint(low, high) for low, high in zones for _ in range(TRIES)]
            draw.shuffle(drawn)
            whole = [zones[-1][1]]
            legal = [joint for joint in (*whole, *drawn) if _clear(_marks(run, joint, rules), before, rules)] or drawn
        first = legal[0]
        last = finisher_t(row, first, rules.board)
        pieces_whole = (run.length - first - last) // rules.board
        boards += pieces_whole + (offcut < first) + 1
        offcut = rules.board - last - rules.spacing
        opened.append(boards)
        joints.append(_marks(run, first, rules))
        ends.append([first, last])
    return _figures(opened, runs, joints, ends, rules)


def _joints_of(run: JointedRun, pieces: Sequence[int]) -> list[float]:
    at, found = run.start, []
    for piece in pieces[:-1]:
        at += piece
        found.append(at)
    return found


def _marks(run: JointedRun, first: int, rules: JointRules) -> list[float]:
    return [run.start + at for at in range(first, run.length, rules.board)]


def _clear(marks: Sequence[float], before: Sequence[float], rules: JointRules) -> bool:
    return all(abs(mark - other) >= rules.offset for mark in marks for other in before)


def _figures(
    opened: Sequence[int],
    runs: Sequence[JointedRun],
    joints: Sequence[Sequence[float]],
    ends: Sequence[Sequence[int]],
    rules: JointRules,
) -> HabitFigures:
    broken = 0
    longest: dict[int, tuple[int, float]] = {}
    for run, marks in zip(runs, joints, strict=True):
        for other, before in zip(runs, joints, strict=True):
            beside = min(run.start + run.length, other.start + other.length) > max(run.start, other.start)
            before_it = (other.part, other.row) == (run.part, run.row - 1)
            broken += before_it and beside and not _clear(marks, before, rules)
        if marks and run.length > longest.get(run.row, (0, 0.0))[0]:
            longest[run.row] = (run.length, marks[0])
    short = sum(any(end < rules.shortest for end in pair) for pair in ends)
    row_joints = tuple(joint / 10 for _, (_, joint) in sorted(longest.items()))
    after_row = {run.row: boards for run, boards in zip(runs, opened, strict=True)}
    return HabitFigures(opened[-1] if opened else 0, broken, short, row_joints, tuple(sorted(after_row.items())))
