"""How irregular the end joints are: lined-up rows, stairs, and the tracing-paper score.

Copy all joints on tracing paper, lay it back shifted by one to four rows and by any distance along the boards:
the score is the largest share of rows that can be made to coincide. Nearest-neighbour statistics call a third
bond the best of floors; this one calls it regular. The score is the kit's own definition; no published source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

COINCIDE_MM = 25.0
LINED_UP_MM = 100.0
SAME_STEP_MM = 50.0
MOST_ROWS_SHIFTED = 4
FEWEST_ROWS_SCORED = 10
PAIR_WEIGHT = 1e-3


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


def coincidence(first_joints_mm: Sequence[float], board_length_mm: float) -> float:
    """The tracing-paper score, and a little for every further pair of rows that coincides: what a search lowers.

    Two floors of equal score differ in how near they are to the next lower one; this tells them apart.
    """
    worst, pairs = 0.0, 0
    window = 2 * COINCIDE_MM
    rows = len(first_joints_mm)
    for shift in range(1, min(MOST_ROWS_SHIFTED, rows - 1) + 1):
        steps = sorted(
            (b - a) % board_length_mm for a, b in zip(first_joints_mm, first_joints_mm[shift:], strict=False)
        )
        count = len(steps)
        steps += [step + board_length_mm for step in steps]
        high = most = 0
        for low in range(count):
            limit = steps[low] + window
            high = max(high, low)
            while high + 1 < low + count and steps[high + 1] <= limit:
                high += 1
            pairs += high - low
            most = max(most, high - low + 1)
        worst = max(worst, most / count)
    return worst + pairs * PAIR_WEIGHT


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
