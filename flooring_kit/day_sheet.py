"""The day as the fitter reads it between two rows: what comes next, what waits, what to watch."""

from __future__ import annotations

from html import escape
from typing import Any

import pandas as pd

from flooring_kit.as_laid import Day, drift_warnings, entry_words, offcuts
from flooring_kit.checks import counted
from flooring_kit.drawing import as_svg, day_scene, scrolling
from flooring_kit.html_parts import heading_html, sentences_html
from flooring_kit.sawing import cut_list
from flooring_kit.tables import records

MEASURE_FIRST = "measure, then saw"
SMALLEST_LABEL_PX = 7.0
MOST_BROKEN_TOLD = 3

STUCK = "padding:8px 10px;border-left:6px solid #8f1d14;background:#f8ece8;font-size:15px;line-height:1.4;margin:6px 0"
DRIFT = "padding:8px 10px;border-left:6px dotted #6b4a00;background:#fbf3dd;font-size:15px;line-height:1.4;margin:6px 0"
PIECE = (
    "display:grid;grid-template-columns:64px minmax(0,1fr);gap:0 10px;padding:8px 4px;border-bottom:1px solid #d5d9dc"
)
LARGE = "font-size:26px;line-height:1.25"


def day_html(day: Day) -> str:
    """Where the job stands, warnings, the next row large, the offcuts that wait, and the floor drawn.

    Parameters
    ----------
    day
        The day so far.
    """
    return _standing(day) + _stuck(day) + _warnings(day) + _next_row(day) + _waiting(day) + _drawn(day)


def _standing(day: Day) -> str:
    waiting = f" before planning anew: {counted(len(day.homeless), 'piece')} without a board may cost more"
    told = [
        f"{len(day.rows_laid)} of {counted(day.plan.rows, 'row')} laid, {counted(day.boards_opened, 'board')} opened, "
        f"{counted(day.boards_in_all, 'board')} from first to last{waiting if day.homeless else ''}."
    ]
    if day.last_standing is not None:
        told.append(f"Last entry: {entry_words(day.entries[day.last_standing - 1])}")
    return "".join(f"<p style='font-size:16px;margin:4px 0;overflow-wrap:anywhere'>{escape(each)}</p>" for each in told)


def _stuck(day: Day) -> str:
    """What can't be laid before the rest is planned anew."""
    if not day.homeless:
        return ""
    pieces = ", ".join(day.homeless[:6]) + (" and more" if len(day.homeless) > 6 else "")
    told = f"No board for {pieces}: what it was planned from is spoiled or lost. Plan the rest anew."
    return f"<p role='alert' style='{STUCK}'>{escape(told)}</p>"


def _warnings(day: Day) -> str:
    told = [("Drift.", each) for each in drift_warnings(day)]
    broken = day.rules_broken_since()[:MOST_BROKEN_TOLD]
    told += [("Not as the rules ask.", f"{each} Take it up while you can, or plan the rest anew.") for each in broken]
    return "".join(f"<p role='status' style='{DRIFT}'><b>{what}</b> {escape(each)}</p>" for what, each in told)


def _next_row(day: Day) -> str:
    """The pieces of the row that is laid next, large enough to be read standing at the saw."""
    row = day.next_row
    if row is None:
        return heading_html("The floor is down")
    cuts = cut_list(day.plan)
    pieces = "".join(_piece(day, cut) for cut in records(cuts[cuts["row"] == row]))
    name = f"Row {row} comes next"
    listed = f"<ul aria-label='{name}' style='list-style:none;margin:0 0 8px;padding:0'>{pieces}</ul>"
    return heading_html(name) + listed


def _piece(day: Day, cut: Any) -> str:
    """One piece: its label, its length, and how and from what it is sawn."""
    length, told = _lengths(day, cut)
    if cut.piece in day.laid:
        length, told = "laid", []
    elif cut.piece in day.homeless:
        length, told = "no board yet", []
    return (
        f"<li style='{PIECE}'><span style='{LARGE};font-weight:700'>{escape(cut.piece)}</span>"
        f"<span style='{LARGE}'>{escape(length)}</span><span></span>"
        f"<span style='font-size:15px;line-height:1.35'>{escape('; '.join(told))}</span></li>"
    )


def _lengths(day: Day, cut: Any) -> tuple[str, list[str]]:
    """The length in large letters, and what stands under it."""
    source = next((held.words for held in day.held if held.board == cut.board), str(cut.taken_from))
    ripped = [] if pd.isna(cut.rip_mm) else [f"rip to about {cut.rip_mm:.0f} mm", _stays(cut.keeps_edge)]
    shaped = [f"shaped in {counted(int(cut.shaped), 'place')}: see the cut list"] if cut.shaped else []
    saw_mm = day.saw_mm(cut)
    if saw_mm is None:
        return "whole length", [*ripped, *shaped, f"from {source}"]
    length = f"about {saw_mm:.0f} mm"
    return length, [MEASURE_FIRST, _stays(cut.keeps_end), *ripped, *shaped, f"from {source}"]


def _stays(kept: str) -> str:
    """Which end or edge stays, as a clause.

    >>> _stays("groove end"), _stays("both edges")
    ('the groove end stays', 'both edges stay')
    """
    if kept.startswith("both"):
        return f"{kept} stay"
    return f"{kept} stays" if kept.startswith("neither") else f"the {kept} stays"


def _waiting(day: Day) -> str:
    waiting = [offcut.sentence() for offcut in offcuts(day) if offcut.wanted_for]
    return heading_html("Offcuts that wait") + sentences_html(waiting) if waiting else ""


def _drawn(day: Day) -> str:
    return heading_html("The floor as it stands") + scrolling(
        as_svg(day_scene(day), smallest_label_px=SMALLEST_LABEL_PX)
    )
