"""The offcut ledger: where each offcut goes next, what it keeps, how long it waits, and how many wait at once.

A board is drawn as it lies in the floor, start-wall edge at the top::

      row's start                            other end
      +-----------------+---------------------+
      | finisher of 2   |saw|  starter of 3   |     the finisher is laid first; what is left waits for row 3
      +-----------------+---------------------+
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import pandas as pd

from flooring_kit.sawing.shaping import lock_words
from flooring_kit.setting_out import Plan
from flooring_kit.setting_out.waiting import pile_after_rows
from flooring_kit.tables import records

OFFCUT_COLUMNS = [
    "board",
    "left_by",
    "left_in_row",
    "kind",
    "left_length_mm",
    "left_width_mm",
    "keeps_end",
    "keeps_edge",
    "used_for",
    "used_in_row",
    "rows_waiting",
]


def offcut_ledger(plan: Plan) -> pd.DataFrame:
    """Every offcut that is used again: what leaves it, what it is for, and how long it waits.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    DataFrame
        One row an offcut, in the order they are used: `board`, `left_by` (the piece sawn before), `left_in_row`;
        `kind`: "length" (what is left beyond a saw cut across the board) or "strip" (beside a rip);
        `left_length_mm`, `left_width_mm`; `keeps_end`, `keeps_edge` (the factory ends and edges the next piece
        needs: mark them before the offcut is put aside); `used_for`, `used_in_row`, `rows_waiting` (0: used in
        the same row; 1: in the next; more: set it aside).
    """
    board = plan.board
    sawn: dict[int, list[Any]] = {}
    rows = []
    for piece, kept in zip(records(plan.pieces), records(plan.joined), strict=True):
        before = sawn.setdefault(int(piece.board), [])
        if before:
            length, width = _left_mm(plan, piece, before)
            rows.append(
                (
                    piece.board,
                    before[-1].piece,
                    before[-1].row,
                    "strip" if width < board.width_mm else "length",
                    length,
                    width,
                    lock_words(board.end_locks, first=bool(kept.left), last=bool(kept.right), side="end"),
                    lock_words(board.edge_locks, first=bool(kept.back), last=bool(kept.front), side="edge"),
                    piece.piece,
                    piece.row,
                    piece.row - before[-1].row,
                )
            )
        before.append(piece)
    return pd.DataFrame(rows, columns=OFFCUT_COLUMNS)


def most_waiting(ledger: pd.DataFrame) -> int:
    """The largest number of offcuts that wait at once: left in a row done, used in a later one.

    Parameters
    ----------
    ledger
        As from :func:`offcut_ledger`.
    """
    spans = zip(ledger["left_in_row"].tolist(), ledger["used_in_row"].tolist(), strict=True)
    return max(pile_after_rows(list(spans)).values(), default=0)


def set_aside(ledger: pd.DataFrame) -> pd.DataFrame:
    """What to put aside after each row, marked with the row it waits for.

    Parameters
    ----------
    ledger
        As from :func:`offcut_ledger`.

    Returns
    -------
    DataFrame
        One row a laid row after which offcuts wait: `row`, `put_aside` ("12b for row 14, 9a for row 11"; each
        named by the piece it will be), `waiting` (offcuts on the pile when the row is done).
    """
    spans = list(zip(ledger["left_in_row"].tolist(), ledger["used_in_row"].tolist(), strict=True))
    rows = []
    for row, waiting in pile_after_rows(spans).items():
        new = ledger[(ledger["left_in_row"] == row) & (ledger["used_in_row"] > row)]
        words = ", ".join(f"{offcut.used_for} for row {offcut.used_in_row}" for offcut in records(new))
        rows.append((row, words, waiting))
    return pd.DataFrame(rows, columns=["row", "put_aside", "waiting"])


def _left_mm(plan: Plan, piece: Any, before: Sequence[Any]) -> tuple[float, float]:
    """Length and width of what is free round a piece on its board, saw cuts taken off [mm]."""
    kerf = plan.rules.kerf_mm
    low, high = [0.0, 0.0], [plan.board.length_mm, plan.board.width_mm]
    at, size = (piece.along_mm, piece.across_mm), (piece.length_mm, piece.width_mm)
    for other in before:
        start, extent = (other.along_mm, other.across_mm), (other.length_mm, other.width_mm)
        beside = start[0] < at[0] + size[0] and start[0] + extent[0] > at[0]  # else the board was sawn across first
        one = 1 if beside else 0
        if start[one] >= at[one] + size[one]:
            high[one] = min(high[one], start[one] - kerf)
        else:
            low[one] = max(low[one], start[one] + extent[one] + kerf)
    return round(high[0] - low[0], 1), round(high[1] - low[1], 1)
