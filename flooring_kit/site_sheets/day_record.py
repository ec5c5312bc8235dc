"""The record of a floor as it was laid: what the log of the day holds, set for the file and the customer."""

from __future__ import annotations

from collections.abc import Sequence

from flooring_kit.as_laid import Day, RecordTable, record_tables
from flooring_kit.as_laid.record import CAUTION
from flooring_kit.drawing import day_scene, plan_scene
from flooring_kit.site_sheets.blocks import Block, Heading, Sentences, Sheet, Table
from flooring_kit.site_sheets.plan_pages import page_for, scene_sheets

KEEP = "Keep this record with the spare boards: the next repair needs the batch numbers and the joints."
UNFINISHED = "The floor is not finished: what is laid is hatched level."
HANDED_OVER = ("Laid by", "Handed over to", "Date")
MORE_WIDTHS = {
    "What went otherwise": (4.0, 1.0),
    "Photos": (1.4, 2.6, 1.0),
    "Remarks": (4.0, 1.0),
    "Readings": (1.3, 0.6, 1.4, 1.5, 1.0),
}
"""Shares of the columns where words are long."""


def day_record_sheets(
    day: Day, *, times: Sequence[str] = (), boards_bought: int | None = None, kept_for_repairs: int = 0
) -> list[Sheet]:
    """The record table by table, then the floor as it lies; arguments as for :func:`day_record_pdf`."""
    blocks: list[Block] = [Sentences((KEEP,))]
    for told in record_tables(day, times=times, boards_bought=boards_bought, kept_for_repairs=kept_for_repairs):
        blocks += [Heading(told.title), _table(told)]
    blocks += [Heading("Handed over"), Table(HANDED_OVER, (("",) * len(HANDED_OVER),), to_fill=True)]
    scene = plan_scene(day.plan) if day.is_done else day_scene(day)
    page, scale = page_for(scene)
    standing = "Joints as they were laid." if day.is_done else UNFINISHED
    told_over = f"Scale 1:{scale}. The start wall, wall {day.plan.start_wall}, is at the top. {standing}"
    return [
        Sheet("Floor as laid", CAUTION, blocks),
        *scene_sheets(scene, page, scale, title="Floor as laid, drawn", told=told_over),
    ]


def _table(told: RecordTable) -> Table:
    """The table for paper; a column of dates nobody gave is left out."""
    shown = [at for at, head in enumerate(told.heads) if head != "when" or any(row[at] for row in told.rows)]
    widths = MORE_WIDTHS.get(told.title, ())
    return Table(
        tuple(told.heads[at] for at in shown),
        tuple(tuple(_cell(row[at]) for at in shown) for row in told.rows),
        widths=tuple(widths[at] for at in shown) if widths else (),
    )


def _cell(value: str | int | float) -> str:
    return value if isinstance(value, str) else f"{value:g}"
