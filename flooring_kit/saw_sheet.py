"""The cut list, the boards and the pile of offcuts as a fitter reads them beside the saw."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import Any

import pandas as pd

from flooring_kit.checks import counted
from flooring_kit.drawing import as_svg, board_scene, boards_to_saw
from flooring_kit.sawing import cut_list, most_waiting, offcut_ledger, pipe_holes, set_aside
from flooring_kit.setting_out import Plan
from flooring_kit.tables import records

HEADS = (
    "Row",
    "Piece",
    "Take",
    "Saw about, mm",
    "End that stays",
    "Rip about, mm",
    "Edge that stays",
    "Shape",
    "Offcut",
)
MEASURE_THEN_SAW = "Lengths are about: measure, then saw."


def cut_cells(plan: Plan, *, rows: Sequence[int] | None = None) -> list[tuple[str, ...]]:
    """The cut list cell by cell under `HEADS`, one tuple a piece.

    Parameters
    ----------
    plan
        The plan.
    rows
        Row numbers to tell; all where None.
    """
    cuts = cut_list(plan)
    if rows is not None:
        cuts = cuts[cuts["row"].isin(list(rows))]
    offcuts = {offcut.left_by: offcut for offcut in records(offcut_ledger(plan))}
    holes = set(pipe_holes(plan)["piece"])
    return [
        (
            str(cut.row),
            cut.piece,
            cut.taken_from,
            "whole" if pd.isna(cut.saw_mm) else f"{cut.saw_mm:.0f}",
            "" if pd.isna(cut.saw_mm) else cut.keeps_end,
            _rip(cut),
            "" if pd.isna(cut.rip_mm) else cut.keeps_edge,
            _shape(cut, piped=cut.piece in holes),
            _offcut(offcuts.get(cut.piece)),
        )
        for cut in records(cuts)
    ]


def is_laid_whole(cells: Sequence[str]) -> bool:
    """Whether a line of the cut list has nothing to saw."""
    _, _, _, saw, _, rip, _, shape, _ = cells
    return saw == "whole" and not rip and not shape


def cut_list_html(plan: Plan, *, rows: Sequence[int] | None = None) -> str:
    """The cut list as a table, row by row.

    Parameters
    ----------
    plan
        The plan.
    rows
        Row numbers to show; all where None.
    """
    cell = "padding:3px 8px;border-bottom:1px solid #d5d9dc;text-align:left;white-space:nowrap"
    head = "".join(f"<th scope='col' style='{cell}'>{title}</th>" for title in HEADS)
    body = ""
    for told in cut_cells(plan, rows=rows):
        shade = "" if is_laid_whole(told) else ";background:#f6efe2"
        body += "<tr>" + "".join(f"<td style='{cell}{shade}'>{escape(each)}</td>" for each in told) + "</tr>"
    return (
        "<div style='overflow-x:auto;font-size:13px' tabindex='0' role='region' aria-label='Cut list'>"
        f"<table style='border-collapse:collapse;line-height:1.3'><thead><tr>{head}</tr></thead>"
        f"<tbody>{body}</tbody></table></div>"
    )


def boards_html(plan: Plan, *, face_down: bool = False, most: int | None = None) -> str:
    """Every board that is sawn, drawn from the side that faces the saw.

    Parameters
    ----------
    plan
        The plan.
    face_down
        True where boards are sawn face down.
    most
        Only the first so many boards; all where None.
    """
    side = (
        "face down, as turned over like a page: left and right have changed places"
        if face_down
        else "face up, as it lies in the floor: the edge towards the start wall at the top"
    )
    note = f"Each board is seen {side}. The dark sides are tongues. Red lines are cuts, hatched parts are left over."
    drawings = "".join(
        f"<div style='margin:10px 0'>{as_svg(board_scene(plan, board, face_down=face_down), smallest_label_px=7)}</div>"
        for board in boards_to_saw(plan)[:most]
    )
    return (
        f"<p style='margin:4px 0;font-size:14px'>{note} {MEASURE_THEN_SAW}</p>"
        "<div style='overflow-x:auto;max-width:900px' tabindex='0' role='region' aria-label='Boards to saw'>"
        f"{drawings}</div>"
    )


def pile_sentences(plan: Plan) -> list[str]:
    """How many offcuts wait, and what to put aside after each row."""
    ledger = offcut_ledger(plan)
    most = most_waiting(ledger)
    if not most:
        return ["No offcut waits for a later row: each is used in its own row or not at all."]
    pile = records(set_aside(ledger))
    peak = next(line.row for line in pile if line.waiting == most)
    told = [f"At most {counted(most, 'offcut')} {'wait' if most > 1 else 'waits'} at once, after row {peak}."]
    return told + [f"After row {line.row} put aside {line.put_aside}." for line in pile if line.put_aside]


def _rip(cut: Any) -> str:
    if not pd.isna(cut.tongue_end_mm):
        return f"{cut.tongue_end_mm:.0f} at the tongue end, {cut.groove_end_mm:.0f} at the groove end"
    return "" if pd.isna(cut.rip_mm) else f"{cut.rip_mm:.0f}"


def _shape(cut: Any, *, piped: bool) -> str:
    told = [counted(cut.shaped, "place")] if cut.shaped else []
    told += ["pipe"] if piped else []
    told += [f"tongue off its {cut.tongue_off}"] if cut.tongue_off else []
    return ", ".join(told)


def _offcut(offcut: Any) -> str:
    if offcut is None:
        return ""
    when = (
        "next" if offcut.rows_waiting == 0 else "next row" if offcut.rows_waiting == 1 else f"row {offcut.used_in_row}"
    )
    return f"keep for {offcut.used_for} ({when})"
