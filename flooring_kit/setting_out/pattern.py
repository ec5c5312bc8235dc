"""How irregular the end joints are: lined-up rows, stairs, and the tracing-paper score.

Copy all joints on tracing paper, lay it back shifted by one to four rows and by any distance along the boards:
the score is the largest share of rows that can be made to coincide. Nearest-neighbour statistics call a third
bond the best of floors; this one calls it regular. The score is the kit's own definition; no published source.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from collections.abc import Sequence
from dataclasses import dataclass

COINCIDE_MM = 25.0
LINED_UP_MM = 100.0
SAME_STEP_MM = 50.0
MOST_ROWS_SHIFTED = 4
FEWEST_ROWS_SCORED = 10


@dataclass(frozen=True)
class TracingScore:
    """The tracing-paper score and the shift that gives it.

    Parameters
    ----------
    score_fraction
        Largest share of rows that coincide, 0 to 1.
    rows_shifted
        Rows the tracing is moved by, 1 to 4.
    shifted_by_mm
        Distance it is moved along the boards [mm].
    """

    score_fraction: float
    rows_shifted: int
    shifted_by_mm: float


def tracing_score(first_joints_mm: Sequence[float], board_length_mm: float) -> TracingScore:
    """Tracing-paper score of rows given by a joint of each, in one axis [mm].

    Raises
    ------
    ValueError
        For fewer than two rows.

    Examples
    --------
    A half bond repeats itself in full one row on:

    >>> tracing_score([900, 1800] * 6, 1800)
    TracingScore(score_fraction=1.0, rows_shifted=1, shifted_by_mm=900.0)
    """
    rows = len(first_joints_mm)
    if rows < 2:
        raise ValueError(f"The tracing-paper score needs two rows or more, got {rows}.")
    best = TracingScore(0.0, 1, 0.0)
    for shift in range(1, min(MOST_ROWS_SHIFTED, rows - 1) + 1):
        steps = sorted(
            (b - a) % board_length_mm for a, b in zip(first_joints_mm, first_joints_mm[shift:], strict=False)
        )
        count, at = _most_in_window(steps, 2 * COINCIDE_MM, board_length_mm)
        share = count / len(steps)
        if share > best.score_fraction + 1e-12:
            best = TracingScore(share, shift, (at + 0.0) % board_length_mm)
    return best


def _most_in_window(ordered: list[float], window: float, round_length: float) -> tuple[int, float]:
    """Most values on a circle within any window, and the middle of that window."""
    values = ordered + [value + round_length for value in ordered]
    most, at, low = 0, 0.0, 0
    for high in range(len(values)):
        while values[high] - values[low] > window:
            low += 1
        count = min(high - low + 1, len(ordered))
        if count > most:
            most, at = count, (values[low] + values[high]) / 2
    return most, at


class Coinciding:
    """How much coincides on the tracing paper, kept up to date as joints move: what a search lowers.

    Each pair of rows that coincides at a shift of one to four rows counts for its share of the rows compared. Two
    floors of equal score differ in how near they are to the next lower one; this tells them apart.

    Attributes
    ----------
    share : float
        Pairs that coincide at each shift, divided by the rows compared at that shift, summed over the shifts.

    Examples
    --------
    >>> Coinciding([900.0, 1800.0, 900.0], 1800.0).share  # the two steps of one row are equal: one pair of two
    0.5
    """

    def __init__(self, first_joints_mm: Sequence[float], board_length_mm: float) -> None:
        self.joints = list(first_joints_mm)
        self.board = board_length_mm
        self.shifts = range(1, min(MOST_ROWS_SHIFTED, len(self.joints) - 1) + 1)
        self.share = 0.0
        self._steps: dict[int, list[float]] = {shift: [] for shift in self.shifts}
        for shift in self.shifts:
            for row in range(len(self.joints) - shift):
                self._add(shift, self._step(row, shift))

    def move(self, row: int, joint_mm: float) -> None:
        """Give a row another joint."""
        if joint_mm == self.joints[row]:
            return
        at = [(shift, first) for shift in self.shifts for first in (row - shift, row)]
        at = [(shift, first) for shift, first in at if 0 <= first < len(self.joints) - shift]
        for shift, first in at:
            self._take_out(shift, self._step(first, shift))
        self.joints[row] = joint_mm
        for shift, first in at:
            self._add(shift, self._step(first, shift))

    def _step(self, row: int, shift: int) -> float:
        return (self.joints[row + shift] - self.joints[row]) % self.board

    def _add(self, shift: int, step: float) -> None:
        steps = self._steps[shift]
        self.share += self._near(steps, step) / (len(self.joints) - shift)
        insort(steps, step)

    def _take_out(self, shift: int, step: float) -> None:
        steps = self._steps[shift]
        del steps[bisect_left(steps, step)]
        self.share -= self._near(steps, step) / (len(self.joints) - shift)

    def _near(self, steps: list[float], step: float) -> int:
        """Steps within the tracing's tolerance of one, round the board's length."""
        low, high = step - 2 * COINCIDE_MM, step + 2 * COINCIDE_MM
        near = bisect_right(steps, high) - bisect_left(steps, low)
        if low < 0:
            near += len(steps) - bisect_left(steps, low + self.board)
        if high > self.board:
            near += bisect_right(steps, high - self.board)
        return near


def lined_up_rows(first_joints_mm: Sequence[float], board_length_mm: float) -> list[int]:
    """Row positions (from 0) whose joints line up within 100 mm with those two rows on."""
    return [
        row
        for row, (a, b) in enumerate(zip(first_joints_mm, first_joints_mm[2:], strict=False))
        if _apart(a - b, board_length_mm) <= LINED_UP_MM
    ]


def stair_rows(first_joints_mm: Sequence[float], board_length_mm: float) -> list[int]:
    """Row positions (from 0) that begin three rows with the same step, within 50 mm."""
    triples = zip(first_joints_mm, first_joints_mm[1:], first_joints_mm[2:], strict=False)
    return [row for row, (a, b, c) in enumerate(triples) if _apart((c - b) - (b - a), board_length_mm) <= SAME_STEP_MM]


def _apart(difference: float, round_length: float) -> float:
    around = difference % round_length
    return min(around, round_length - around)
