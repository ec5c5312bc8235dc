"""Paper for the site: a pack of A4 sheets for one floor, and a blank form to measure a room with.

blocks       what stands on a sheet
front        the front page
lists        cut list, offcuts, shapes, trims, frames, underlay, order list
plan_pages   the plan at an exact scale
record       lines to fill in on site
day_record   the floor as it was laid
survey_form  the blank form
pdf          sheets set on pages; the only module that loads reportlab
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from flooring_kit.answers import Estimate
from flooring_kit.as_laid import Day
from flooring_kit.checks import require_one_of
from flooring_kit.products import Catalogue
from flooring_kit.site_sheets.blocks import Sheet
from flooring_kit.site_sheets.day_record import day_record_sheets
from flooring_kit.site_sheets.front import front_sheet
from flooring_kit.site_sheets.lists import (
    cut_sheet,
    frame_sheet,
    offcut_sheet,
    order_sheet,
    shape_sheet,
    trim_sheet,
    underlay_sheet,
)
from flooring_kit.site_sheets.plan_pages import plan_sheets
from flooring_kit.site_sheets.record import record_sheet
from flooring_kit.site_sheets.survey_form import form_sheets

SITE_SHEETS = (
    "front page",
    "plan",
    "cut list",
    "offcuts",
    "notches and holes",
    "trims",
    "frames and heights",
    "underlay",
    "order list",
    "record",
)
"""The sheets of a pack, in the order in which they are bound."""

__all__ = ["SITE_SHEETS", "day_record_pdf", "pack_sheets", "site_pack_pdf", "survey_form_pdf"]


def site_pack_pdf(
    estimate: Estimate,
    catalogue: Catalogue,
    *,
    sheets: Sequence[str] = SITE_SHEETS,
    day: date | None = None,
    priced: bool = True,
) -> bytes:
    """The printed pack of one floor: A4 pages as PDF, the same bytes on every run.

    Parameters
    ----------
    estimate
        The answers for the room.
    catalogue
        Products on sale: beads, bars, sundries.
    sheets
        Which of `SITE_SHEETS`; they are bound in that order whatever the order here.
    day
        A date for the head of every page; no date where None.
    priced
        False leaves prices out of the order list.

    Returns
    -------
    bytes
        The PDF. Drawings are at the scale printed beside them, fonts are embedded.

    Raises
    ------
    ValueError
        For a sheet of another name, no sheet at all, or a day that is no date.
    """
    if day is not None and not isinstance(day, date):
        raise ValueError(f"day must be a date, such as date(2026, 3, 14), got {day!r}.")
    from flooring_kit.site_sheets.pdf import bound  # late: a page library that plain sums never need

    bound_sheets = pack_sheets(estimate, catalogue, sheets=sheets, priced=priced)
    return bound(bound_sheets, job=estimate.room.name, day=day)


def pack_sheets(
    estimate: Estimate, catalogue: Catalogue, *, sheets: Sequence[str] = SITE_SHEETS, priced: bool = True
) -> list[Sheet]:
    """What stands on every sheet of a pack; see :func:`site_pack_pdf`."""
    if isinstance(sheets, str) or not sheets:
        raise ValueError(f"sheets must be a list of one or more of {', '.join(SITE_SHEETS)}, got {sheets!r}.")
    for name in sheets:
        require_one_of(name, SITE_SHEETS, "sheet")
    makers = {
        "front page": lambda: [front_sheet(estimate, catalogue)],
        "plan": lambda: plan_sheets(estimate.plan),
        "cut list": lambda: [cut_sheet(estimate.plan)],
        "offcuts": lambda: [offcut_sheet(estimate.plan)],
        "notches and holes": lambda: [shape_sheet(estimate.plan)],
        "trims": lambda: [trim_sheet(estimate)],
        "frames and heights": lambda: [frame_sheet(estimate, catalogue)],
        "underlay": lambda: [underlay_sheet(estimate, catalogue)],
        "order list": lambda: [order_sheet(estimate, catalogue, priced=priced)],
        "record": lambda: [record_sheet(estimate)],
    }
    return [sheet for name in SITE_SHEETS if name in sheets for sheet in makers[name]()]


def survey_form_pdf() -> bytes:
    """The blank form for measuring a room: A4 pages as PDF, whose fields are the keys of the survey file."""
    from flooring_kit.site_sheets.pdf import bound

    return bound(form_sheets(), job="Survey of: ____________________", day=None)


def day_record_pdf(
    day: Day,
    *,
    name: str = "",
    times: Sequence[str] = (),
    boards_bought: int | None = None,
    kept_for_repairs: int = 0,
) -> bytes:
    """The record of a floor as it was laid: A4 pages as PDF, the same bytes for the same log.

    Parameters
    ----------
    day
        The day, from :func:`flooring_kit.as_laid.as_laid`; the floor need not be finished.
    name
        What the job is called, at the head of every page; the room's name where empty.
    times
        When each entry of the log was made, in their order; without them the tables have no dates.
    boards_bought
        Boards bought, 0 to 100 000; None leaves spares and packs to return out.
    kept_for_repairs
        Boards to keep, 0 to 1000.

    Raises
    ------
    ValueError
        Where there are times for more or fewer entries than the day has, or a number is out of range.
    """
    from flooring_kit.site_sheets.pdf import bound

    sheets = day_record_sheets(day, times=times, boards_bought=boards_bought, kept_for_repairs=kept_for_repairs)
    return bound(sheets, job=name or day.plan.room.name, day=None)
