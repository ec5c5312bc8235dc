"""The floor's edges as a fitter reads them: gaps, breaks, what the trim covers, which beads to buy, how to saw them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

from flooring_kit.breaks import FloorBreak, floor_breaks
from flooring_kit.drawing import as_svg, scrolling, trim_lengths_scene, walls_scene
from flooring_kit.edges import (
    TOO_NARROW,
    continuing_sentences,
    cover_sentences,
    edge_gaps,
    edges_in_words,
    gap_sentences,
    no_trim_sentences,
    trapped_sentences,
    trim_cover,
)
from flooring_kit.html_parts import heading_html, price_cell, sentences_html, table_html
from flooring_kit.products import Trim
from flooring_kit.setting_out import Plan
from flooring_kit.tables import records
from flooring_kit.trim_options import BeadOrder, bead_order, trim_options

SMALLEST_LABEL_PX, SMALLEST_NUMBER_PX = 9.0, 8.0
NAILING = (
    "Nail or glue the trim to the skirting, never to the floor, which must move. Pipes and cables run behind "
    "skirtings: find them before you nail."
)


def edge_sentences(plan: Plan, trim: Trim | None, trims: Sequence[Trim]) -> list[str]:
    """What to do about the edges of a floor, most pressing first.

    Parameters
    ----------
    plan
        The plan.
    trim
        The trim chosen, or None.
    trims
        Trims on sale.
    """
    breaks = floor_breaks(plan)
    told = gap_sentences(edge_gaps(plan, longest_mm=_longest_mm(plan, breaks))) + [each.sentence() for each in breaks]
    if trim is not None:
        told += cover_sentences(plan, trim, trim_cover(plan, trim, others=trims))
    told = told or ["Gap, length of floor and trim suit each other at every wall."]
    return told + continuing_sentences(plan.room) + trapped_sentences(plan.room)


def edges_html(plan: Plan, trim: Trim | None, trims: Sequence[Trim]) -> str:
    """Sentences, the walls by number, then gap and cover wall by wall."""
    gaps = edge_gaps(plan, longest_mm=_longest_mm(plan, floor_breaks(plan)))
    heads = ("At", "Kind", "Floor that pushes, m", "Gap needed, mm", "Gap planned, mm", "What hides it")
    told = [
        (
            (edge.wall, edge.edge),
            (edge.kind, f"{edge.run_mm / 1000:.2f}", edge.needed_mm, f"{edge.planned_mm:g}", edge.cover),
        )
        for edge in records(gaps)
    ]
    rows = _merged(told)
    short = [number for number, row in enumerate(rows) if float(row[3]) > plan.rules.gap_mm]
    return (
        sentences_html(edge_sentences(plan, trim, trims))
        + heading_html("The walls by number")
        + scrolling(
            as_svg(walls_scene(plan.room), tallest_px=380, smallest_label_px=SMALLEST_NUMBER_PX),
            label="The walls by number",
            widest_px=560,
        )
        + heading_html("The gap at every edge")
        + table_html(heads, rows, label="Gap at every edge", marked=short)
        + heading_html("Does the trim cover it?")
        + _cover_html(plan, trim, trims)
        + sentences_html(no_trim_sentences(plan.room))
    )


def _cover_html(plan: Plan, trim: Trim | None, trims: Sequence[Trim]) -> str:
    heads = ("At", "Boards meet it by", "Bow, mm", "Runs out, mm", "Gap in a year, mm", "Boards left straight, mm")
    told = [
        (
            (wall.wall, f"wall {wall.wall}"),
            (
                wall.met_by,
                f"{wall.bow_mm:.0f}",
                f"{wall.taper_mm:.0f}",
                f"{wall.least_mm:.0f} to {wall.most_mm:.0f}",
                f"up to {wall.straight_most_mm:.0f}",
                f"{math.ceil(wall.smallest_foot_mm)}",
                wall.smallest_trim or "none on sale",
                wall.verdict,
            ),
        )
        for wall in records(trim_cover(plan, trim, others=trims))
    ]
    rows = _merged(told)
    more = ("Least foot, mm", "Smallest trim that does", "So")
    marked = [number for number, row in enumerate(rows) if row[-1] == TOO_NARROW]
    return table_html((*heads, *more), rows, label="Trim cover wall by wall", marked=marked)


def _merged(told: Sequence[tuple[tuple[int, str], tuple[Any, ...]]]) -> list[tuple[Any, ...]]:
    """Rows of a table, those of edges that have the same cells drawn together."""
    return [
        (edges_in_words([edge for edge, same in told if same == cells]), *cells)
        for cells in dict.fromkeys(cells for _, cells in told)
    ]


def _longest_mm(plan: Plan, breaks: Sequence[FloorBreak]) -> tuple[float, float]:
    """Longest stretch of floor along and across the boards once it is broken; no limit where it is not [mm]."""
    stretches = []
    for runs, whole in zip(("along", "across"), plan.longest_run_mm, strict=True):
        places = sorted(each.from_mm for each in breaks if each.runs == runs)
        ends = [0.0, *places, whole]
        stretches.append(max(after - before for before, after in pairwise(ends)) if places else math.inf)
    return stretches[0], stretches[1]


def beads_html(plan: Plan, trims: Mapping[str, Trim], chosen: Trim | None, *, currency: str) -> str:
    """The beads side by side; the chosen one as a cutting list and a drawing of every length.

    Parameters
    ----------
    plan
        The plan they stand around.
    trims
        Trims on sale by name.
    chosen
        The one that is cut; None for the choice alone.
    currency
        Sign put before prices.
    """
    options = records(trim_options(plan, trims.values()))
    heads = ("Bead", "Material", "Finish", "Foot, mm", "Buy", "Pieces", "Price before tax", "Against it")
    rows = [
        (
            bead.bead,
            bead.material,
            bead.finish,
            f"{bead.foot_mm:g}",
            bead.lengths,
            bead.pieces,
            price_cell(bead.price, currency),
            bead.against,
        )
        for bead in options
    ]
    marked = [number for number, bead in enumerate(options) if bead.against]
    told = heading_html("Beads side by side") + table_html(heads, rows, label="Beads side by side", marked=marked)
    if chosen is None:
        return told
    order = bead_order(plan, [chosen])
    return told + cutting_html(order)


TRIM_HEADS = ("Piece", "Beside", "Long point to long point, about mm", "First end", "Last end", "From length")
TRIM_HOW = (
    "Each length is seen from its back, the side against the skirting. Lengths are about: measure, then saw. First "
    "and last end are taken as you walk along the wall from its first corner."
)


def trim_cells(order: BeadOrder) -> list[tuple[str, ...]]:
    """Every piece of a bead cell by cell under `TRIM_HEADS`."""
    sawn = {cut.piece: cut for cut in records(order.cut.cuts)}
    return [
        (
            str(piece.piece),
            piece.beside,
            f"{sawn[piece.piece].length_mm:.0f}",
            _end(piece.first_end, piece.first_saw_degrees),
            _end(piece.last_end, piece.last_saw_degrees),
            str(sawn[piece.piece].stock),
        )
        for piece in records(order.pieces)
    ]


def cutting_html(order: BeadOrder) -> str:
    """What to buy of one bead, how each length is sawn, and where each piece goes."""
    return (
        heading_html("What to buy and how to saw it")
        + sentences_html([order.sentence(), TRIM_HOW, NAILING])
        + scrolling(
            as_svg(trim_lengths_scene(order), tallest_px=None, smallest_label_px=SMALLEST_LABEL_PX),
            label="Lengths to saw",
            widest_px=900,
        )
        + table_html(TRIM_HEADS, trim_cells(order), label="Pieces of trim")
    )


def _end(kind: str, saw_degrees: float) -> str:
    return f"{kind}, saw at {saw_degrees:g}°" if saw_degrees else kind
