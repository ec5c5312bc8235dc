"""The record of a floor: batches, readings before laying, gaps as left, photographs; lines to fill in by hand."""

from __future__ import annotations

from collections.abc import Sequence

from flooring_kit.air_sheet import RECORD_ONLY, wanted_in
from flooring_kit.answers import Estimate
from flooring_kit.edges import edge_gaps
from flooring_kit.flatness import FLOATING_FLOOR_MM, readings_needed
from flooring_kit.site_sheets.blocks import Block, Heading, Sentences, Sheet, Table
from flooring_kit.tables import records

DAMP = (
    "Damp of unknown origin, old tiles and black adhesive: stop and have them looked at before you go on. Local codes "
    "and licensed practice decide."
)
READINGS, PHOTOGRAPHS = 3, 6
"""Blank lines for each kind of reading, at least, and for photographs."""

DAY_HEADS = ("Delivered on", "In the room, unopened, since", "Laid from", "Laid until", "Laid by")
BATCH_HEADS = ("Pack", "Batch number", "Hand and lock as planned", "Damaged boards", "Opened on")
FLAT_HEADS = ("Where", "Largest gap under 2 m, mm", "Date", "Read by")
READING_WIDTHS = (2.0, 1.4, 3.0, 1.2, 2.0)
READING_HEADS = ("Reading", "Must show", "Where, by which method", "Value", "Date and time")
GAP_HEADS = ("At", "Kind", "Planned, mm", "Left near its first corner", "in its middle", "near its last corner")


def record_sheet(estimate: Estimate) -> Sheet:
    """The record, with as many lines as the floor has packs, readings and walls."""
    blocks: list[Block] = [
        Sentences((RECORD_ONLY, "Mix boards from three packs or more. Keep this record with the spare boards.")),
        _to_fill(DAY_HEADS, [("",) * 5]),
        Heading("Batches"),
        _to_fill(BATCH_HEADS, [(str(pack), "", "", "", "") for pack in range(1, estimate.take_off.boards.packs + 1)]),
        Heading(f"Flat to {FLOATING_FLOOR_MM:g} mm under 2 m, or as the leaflet says"),
        _to_fill(FLAT_HEADS, [("",) * 4] * max(READINGS, readings_needed(estimate.room_area_m2))),
        Heading("Dry and warm enough"),
        *_readings(estimate),
        Heading("Gaps as left"),
        _to_fill(GAP_HEADS, gap_cells(estimate)),
        Heading("Photographs"),
        _to_fill(("File name", "What it shows", "Taken on"), [("",) * 3] * PHOTOGRAPHS),
    ]
    return Sheet("Record", DAMP, blocks)


def _readings(estimate: Estimate) -> list[Block]:
    """Lines for what must be read; the reason instead, where the text that was chosen sets no limit."""
    try:
        wanted = wanted_in(estimate.room, estimate.plan.board.kind, estimate.choices.air)
    except ValueError as refused:
        return [Sentences((str(refused),)), _to_fill(READING_HEADS, [("",) * 5] * READINGS, READING_WIDTHS)]
    lines = [
        (each.item if line == 0 else "", each.rule if line == 0 else "", "", "", "")
        for each in wanted
        for line in range(READINGS)
    ]
    return [_to_fill(READING_HEADS, lines, READING_WIDTHS)]


def gap_cells(estimate: Estimate) -> list[tuple[str, ...]]:
    """Every edge with its planned gap, and room for the gap as left."""
    return [(edge.edge, edge.kind, f"{edge.planned_mm:g}", "", "", "") for edge in records(edge_gaps(estimate.plan))]


def _to_fill(heads: tuple[str, ...], rows: Sequence[tuple[str, ...]], widths: tuple[float, ...] = ()) -> Table:
    return Table(heads, tuple(rows), to_fill=True, widths=widths)
