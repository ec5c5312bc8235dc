"""From plan to saw: what to cut in laying order, from which board or offcut, and where each offcut goes next.

A board is drawn as it lies in the floor, start-wall edge at the top::

      left end                              right end
      +-----------------+---------------------+
      | finisher of 2   |saw|  starter of 3   |     the finisher is laid first; what is left waits for row 3
      +-----------------+---------------------+

Lengths are what the plan reckons with: measure in the room, then saw.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd

from flooring_kit.setting_out import Plan

CUT_COLUMNS = ["piece", "row", "board", "taken_from", "saw_mm", "rip_mm", "keeps"]
OFFCUT_COLUMNS = ["board", "left_by", "left_in_row", "left_mm", "keeps", "used_for", "used_in_row", "rows_waiting"]
WHOLE_MM = 0.05
"""Half of the tenth that lengths are kept to: a piece this near to a whole board is one."""

ENDS = {(True, True): "both ends", (True, False): "left end", (False, True): "right end", (False, False): "neither end"}


def cut_list(plan: Plan) -> pd.DataFrame:
    """Every piece in laying order, with the cut it needs.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    DataFrame
        `piece`, `row`, `board` (number, in order of first use), `taken_from` ("board 7", or "offcut of 2d"),
        `saw_mm` (length to saw, about; NaN where the whole length is laid), `rip_mm` (width to rip; NaN where the whole
        width is laid), `keeps` (which factory ends the piece must keep).
    """
    pieces = plan.pieces
    before = _laid_before_from_the_same_board(plan)
    taken_from = [
        f"board {board}" if other is None else f"offcut of {other}"
        for board, other in zip(pieces["board"], before, strict=True)
    ]
    return pd.DataFrame(
        {
            "piece": pieces["piece"],
            "row": pieces["row"],
            "board": pieces["board"],
            "taken_from": taken_from,
            "saw_mm": _less_than(pieces["length_mm"], plan.board.length_mm),
            "rip_mm": _less_than(pieces["width_mm"], plan.board.width_mm),
            "keeps": _ends_kept(plan),
        },
        columns=CUT_COLUMNS,
        index=pieces.index,
    )


def offcut_ledger(plan: Plan) -> pd.DataFrame:
    """Every offcut that is used again: what leaves it, what it is for, and how long it waits.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    DataFrame
        One row an offcut, in the order they are used: `board`, `left_by` (the piece sawn before), `left_in_row`,
        `left_mm` (its length; its width where it is the strip beside a ripped piece), `keeps` (the factory ends the
        next piece needs), `used_for`, `used_in_row`, `rows_waiting` (0 where it is used in the same row).
    """
    pieces = plan.pieces
    by_label: dict[str, Any] = {str(piece.piece): piece for piece in pieces.itertuples()}
    keeps = dict(zip(pieces["piece"], _ends_kept(plan), strict=True))
    rows = []
    for label, before in zip(pieces["piece"], _laid_before_from_the_same_board(plan), strict=True):
        if before is None:
            continue
        one, other = by_label[before], by_label[label]
        left = _left_mm(plan, one, other)
        waits = other.row - one.row
        rows.append((one.board, before, one.row, left, keeps[label], label, other.row, waits))
    return pd.DataFrame(rows, columns=OFFCUT_COLUMNS)


def most_waiting(ledger: pd.DataFrame) -> int:
    """The largest number of offcuts that wait at once: left in a row done, used in a later one.

    Parameters
    ----------
    ledger
        As from :func:`offcut_ledger`.
    """
    if ledger.empty:
        return 0
    done = np.arange(ledger["left_in_row"].min(), ledger["used_in_row"].max())
    left, used = ledger["left_in_row"].to_numpy(), ledger["used_in_row"].to_numpy()
    waiting = (left[None, :] <= done[:, None]) & (used[None, :] > done[:, None])
    return int(waiting.sum(axis=1).max(initial=0))


def _ends_kept(plan: Plan) -> list[str]:
    """For each piece the factory ends that meet a neighbour, in words."""
    return [ENDS[bool(left), bool(right)] for left, right in plan.joined[["left", "right"]].to_numpy()]


def _laid_before_from_the_same_board(plan: Plan) -> list[str | None]:
    """For each piece in laying order the last one laid before it from the same board, or None."""
    latest: dict[int, str] = {}
    before: list[str | None] = []
    for board, label in zip(plan.pieces["board"], plan.pieces["piece"], strict=True):
        before.append(latest.get(board))
        latest[board] = label
    return before


def _left_mm(plan: Plan, one: Any, other: Any) -> float:
    """How much of the board is free on the side of the next piece, the saw cut taken off [mm]."""
    kerf = plan.rules.kerf_mm
    if other.along_mm >= one.along_mm + one.length_mm:
        return round(float(plan.board.length_mm - one.along_mm - one.length_mm - kerf), 1)
    if other.along_mm + other.length_mm <= one.along_mm:
        return round(float(one.along_mm - kerf), 1)
    if other.across_mm >= one.across_mm + one.width_mm:
        return round(float(plan.board.width_mm - one.across_mm - one.width_mm - kerf), 1)
    return round(float(one.across_mm - kerf), 1)


def _less_than(sizes: pd.Series[float], whole_mm: float) -> pd.Series[float]:
    return sizes.where(sizes < whole_mm - WHOLE_MM)
