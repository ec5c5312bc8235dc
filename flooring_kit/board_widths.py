"""Board width and length as quantities that can be moved: boards, waste and the last strip at every width."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import pandas as pd

from flooring_kit.area import net_area_m2
from flooring_kit.checks import require_between
from flooring_kit.products import Board
from flooring_kit.room import Room
from flooring_kit.rules import Direction, LayingRules
from flooring_kit.setting_out import Plan, Search, set_out

WIDTH_COLUMNS = [
    "width_mm",
    "length_mm",
    "boards",
    "bound",
    "area_m2",
    "waste_fraction",
    "narrowest_strip_mm",
    "broken_rules",
]


def widths_between(low_mm: float, high_mm: float, *, step_mm: float) -> list[float]:
    """Widths from one to another, whole tenths, both ends with them.

    >>> widths_between(190, 191, step_mm=0.4)
    [190.0, 190.4, 190.8, 191.0]
    """
    require_between(low_mm, 40, 600, "least board width", unit="mm")
    require_between(high_mm, low_mm, 600, "largest board width", unit="mm")
    require_between(step_mm, 0.1, 100, "step of the board width", unit="mm")
    tenths = list(range(round(low_mm * 10), round(high_mm * 10), max(1, round(step_mm * 10))))
    return [each / 10 for each in [*tenths, round(high_mm * 10)]]


def width_steps(
    room: Room, board: Board, widths_mm: Sequence[float], *, rules: LayingRules, direction: Direction
) -> Iterator[pd.DataFrame]:
    """The table so far, a width more at each step: each is one quick plan.

    Parameters
    ----------
    room, board
        The room, and the board whose width is moved; all else of it stays.
    widths_mm
        Widths to try [mm], as from `widths_between`.
    rules, direction
        As for :func:`flooring_kit.set_out`.

    Returns
    -------
    Iterator of DataFrame
        One row a width: `width_mm`, `length_mm`, `boards` (of a quick plan), `bound` (no plan with these row widths
        needs fewer), `area_m2` (of those boards), `waste_fraction` (over the floor), `narrowest_strip_mm`,
        `broken_rules`.

    Raises
    ------
    ValueError
        For widths no board can have.
    """
    rows = []
    for width in widths_mm:
        plan = set_out(
            room, replace(board, width_mm=width), rules=rules, direction=direction, search=Search(quick=True)
        )
        rows.append(_row(plan))
        yield pd.DataFrame(rows, columns=WIDTH_COLUMNS)


def width_table(
    room: Room, board: Board, widths_mm: Sequence[float], *, rules: LayingRules, direction: Direction
) -> pd.DataFrame:
    """The whole table, as :func:`width_steps` ends with it."""
    table = pd.DataFrame(columns=WIDTH_COLUMNS)
    for table in width_steps(room, board, widths_mm, rules=rules, direction=direction):  # noqa: B007
        pass
    return table


def settled_widths(plans: Sequence[Plan]) -> pd.DataFrame:
    """A table alike, of plans made already.

    Parameters
    ----------
    plans
        One for each width.
    """
    return pd.DataFrame([_row(plan) for plan in plans], columns=WIDTH_COLUMNS)


def _row(plan: Plan) -> tuple[float | int, ...]:
    floor = net_area_m2(plan.floor)
    area = plan.boards_needed * plan.board.area_m2
    return (
        plan.board.width_mm,
        plan.board.length_mm,
        plan.boards_needed,
        plan.boards_bound,
        area,
        area / floor - 1,
        min(part.narrowest_strip_mm for part in plan.row_widths),
        sum(not fault.slight for fault in plan.broken_rules),
    )
