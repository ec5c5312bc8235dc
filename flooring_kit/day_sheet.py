"""The day as the fitter reads it between two rows: what comes next, what waits, what to watch."""

from __future__ import annotations

from html import escape
from typing import Any

import pandas as pd

from flooring_kit.as_laid import Day, drift_warnings, offcuts
from flooring_kit.checks import counted
from flooring_kit.html_parts import heading_html, sentences_html, table_html
from flooring_kit.sawing import cut_list
from flooring_kit.tables import records

HEADS = ("Piece", "Saw about, mm", "End that stays", "Take")

STUCK = "padding:8px 10px;border-left:6px solid #8f1d14;background:#f8ece8;font-size:15px;line-height:1.4;margin:6px 0"


def day_html(day: Day) -> str:
    """Where the job stands, the next row to lay, the offcuts that wait, and warnings.

    Parameters
    ----------
    day
        The day so far.
    """
    return _standing(day) + _stuck(day) + _warnings(day) + _next_row(day) + _waiting(day)


def _standing(day: Day) -> str:
    told = (
        f"{len(day.rows_laid)} of {counted(day.plan.rows, 'row')} laid, {counted(day.boards_opened, 'board')} opened, "
        f"{counted(day.boards_in_all, 'board')} from first to last."
    )
    return f"<p style='font-size:16px;margin:4px 0'>{escape(told)}</p>"


def _stuck(day: Day) -> str:
    """What can't be laid before the rest is planned anew."""
    if not day.homeless:
        return ""
    pieces = ", ".join(day.homeless[:6]) + (" and more" if len(day.homeless) > 6 else "")
    told = f"No board for {pieces}: what it was planned from is spoiled or lost. Plan the rest anew."
    return f"<p role='alert' style='{STUCK}'>{escape(told)}</p>"


def _warnings(day: Day) -> str:
    return sentences_html(drift_warnings(day))


def _next_row(day: Day) -> str:
    row = day.next_row
    if row is None:
        return heading_html("The floor is down")
    cuts = cut_list(day.plan)
    rows = []
    for cut in records(cuts[cuts["row"] == row]):
        whole = pd.isna(cut.saw_mm)
        length = "whole" if whole else f"{day.needed_mm(cut.piece):.0f}"
        rows.append((cut.piece, length, "" if whole else cut.keeps_end, _from_where(day, cut)))
    table = table_html(HEADS, rows, label=f"Row {row}")
    return heading_html(f"Row {row} comes next") + table + sentences_html(["Lengths are about: measure, then saw."])


def _from_where(day: Day, cut: Any) -> str:
    """What the piece is sawn from, or why it is not."""
    if cut.piece in day.laid:
        return "laid"
    if cut.piece in day.homeless:
        return "no board yet"
    return next((held.words for held in day.held if held.board == cut.board), str(cut.taken_from))


def _waiting(day: Day) -> str:
    waiting = [offcut.sentence() for offcut in offcuts(day) if offcut.wanted_for]
    return heading_html("Offcuts that wait") + sentences_html(waiting) if waiting else ""
