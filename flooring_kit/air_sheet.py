"""Air and moisture in words: how the floor moves between two airs, what that asks of the gap, go or no go."""

from __future__ import annotations

import math
from datetime import date, timedelta

from flooring_kit.choices import Air
from flooring_kit.html_parts import heading_html, sentences_html, table_html
from flooring_kit.moisture import (
    MISSING,
    NOT_MET,
    Readiness,
    SiteRecord,
    Wanted,
    readiness,
    screed_dry_on,
    wanted_readings,
)
from flooring_kit.movement import (
    HYSTERESIS_NOTE,
    KEPT_OPEN_MM,
    LAMINATE_BASIS,
    equilibrium_moisture_percent,
    laminate_change_mm_per_m,
    laminate_fitting_gap,
    longest_run_mm,
)
from flooring_kit.room import Room
from flooring_kit.setting_out import Plan

MINERAL_WORDS = {"concrete": "concrete", "screed": "cement screed", "timber": "timber"}
"""A survey's subfloor in the words of the moisture limits."""

NO_FIGURE = {
    "engineered": (
        "Engineered boards move less than solid wood, by how they are built: no general figure is published. The "
        "leaflet gives the gap."
    ),
    "vinyl": "Rigid vinyl moves with warmth, not with damp: no figure for it here. The leaflet gives the gap.",
    "solid": "Solid boards are not laid floating by this plan.",
}
RECORD_ONLY = "A record of readings against published limits: it says what is missing, never that a floor is dry."


def movement_sentences(plan: Plan, air: Air) -> list[str]:
    """How a floor moves from the day it is laid, and what gap that asks for on the day.

    Parameters
    ----------
    plan
        The plan: its board, its gap, its unbroken floor both ways.
    air
        Humidity today, in the driest and in the dampest weeks.
    """
    board, gap = plan.board, plan.rules.gap_mm
    moisture = equilibrium_moisture_percent(air.room_c, [air.driest_percent, air.today_percent, air.dampest_percent])
    wood = (
        f"Wood in air of {air.room_c:g} °C holds {moisture[0]:.1f} % at {air.driest_percent:g} % humidity, "
        f"{moisture[1]:.1f} % at today's {air.today_percent:g} % and {moisture[2]:.1f} % at {air.dampest_percent:g} % "
        f"(Wood Handbook). {HYSTERESIS_NOTE}"
    )
    if board.kind != "laminate":
        return [NO_FIGURE[board.kind], *([wood] if board.kind == "engineered" else [])]
    swells = max(0.0, laminate_change_mm_per_m(air.today_percent, air.dampest_percent))
    shrinks = max(0.0, laminate_change_mm_per_m(air.driest_percent, air.today_percent))
    told = [
        f"Laid at {air.today_percent:g} % humidity, laminate at the limit of its standard swells {swells:.2f} mm a "
        f"metre by {air.dampest_percent:g} % and shrinks {shrinks:.2f} mm by {air.driest_percent:g} %."
    ]
    for way, run in zip(("along", "across"), plan.longest_run_mm, strict=True):
        wanted = laminate_fitting_gap(
            run, air.today_percent, driest_percent=air.driest_percent, dampest_percent=air.dampest_percent
        )
        verdict = "the planned gap does" if gap >= wanted.fitted_mm - 1e-9 else f"the planned {gap:g} mm are too few"
        told.append(
            f"{run / 1000:.2f} m {way} the boards ask for {wanted.fitted_mm:.1f} mm at each end today, to keep "
            f"{KEPT_OPEN_MM:g} open: {verdict}. In the driest weeks it opens to {wanted.widest_mm:.1f} mm."
        )
    longest = longest_run_mm(gap, swells)
    if math.isfinite(longest):
        told.append(f"A gap of {gap:g} mm allows {longest / 1000:.1f} m of such a floor; its leaflet may allow less.")
    return [*told, LAMINATE_BASIS]


def wanted_in(room: Room, board_kind: str, air: Air) -> tuple[Wanted, ...]:
    """What must be read in a room before a floor of such boards is laid.

    Parameters
    ----------
    room, board_kind
        The subfloor, whether it is heated; the kind of board.
    air
        Which text's limit holds, and the kind of screed.

    Raises
    ------
    ValueError
        Where that text sets no limit for that subfloor.
    """
    subfloor = air.screed if room.subfloor == "screed" else MINERAL_WORDS[room.subfloor]
    return wanted_readings(subfloor, board_kind, heated=room.heated, edition=air.edition)


def site_readiness(room: Room, board_kind: str, air: Air, record: SiteRecord, *, laying_on: date) -> Readiness:
    """A room's record against what must be read before laying.

    Parameters
    ----------
    room, board_kind
        The subfloor, whether it is heated; the kind of board.
    air
        Which text's limit holds, and the kind of screed.
    record
        Readings and days.
    laying_on
        The day the floor is to be laid.

    Raises
    ------
    ValueError
        Where that text sets no limit for that subfloor; for readings of days after the laying.
    """
    return readiness(record, wanted_in(room, board_kind, air), laying_on=laying_on, heated=room.heated)


def drying_sentence(laid_on: date, thickness_mm: float) -> str:
    """When a cement screed may be dry, by the rule of days."""
    ready = screed_dry_on(laid_on, thickness_mm)
    days = (ready - laid_on) / timedelta(days=1)
    return (
        f"A cement screed of {thickness_mm:g} mm laid on {laid_on.isoformat()} takes about {days:.0f} days, to "
        f"{ready.isoformat()}, in a warm aired room: a plan, not a reading."
    )


def readiness_html(answer: Readiness) -> str:
    """The record item by item, what is missing or not met shaded."""
    rows = [(finding.item, finding.status, finding.reason) for finding in answer.findings]
    marked = [number for number, finding in enumerate(answer.findings) if finding.status in (MISSING, NOT_MET)]
    return (
        heading_html("Ready to lay?")
        + sentences_html([answer.sentence(), RECORD_ONLY])
        + table_html(("What", "Record", "Why"), rows, label="Readings before laying", marked=marked)
    )
