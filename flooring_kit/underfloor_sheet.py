"""What lies under the boards, as a fitter reads it: the subfloor, the underlay, and small things to buy."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from flooring_kit.checks import counted
from flooring_kit.collars import collar_sentences, collars
from flooring_kit.drawing import as_svg, levels_scene, scrolling, strips_scene
from flooring_kit.flatness import (
    CLASS_EDGE_MM,
    FLOATING_FLOOR_MM,
    FlatnessMap,
    flatness_map,
    levelling,
    readings_needed,
    straightedge_sentences,
    threshold_depths,
)
from flooring_kit.html_parts import heading_html, price_cell, sentences_html, table_html
from flooring_kit.products import Sundry, Trim, Underlay
from flooring_kit.room import Room
from flooring_kit.setting_out import Plan
from flooring_kit.sundries import count_sundries, how_much, sundry_order
from flooring_kit.tables import records
from flooring_kit.trims import trim_pieces
from flooring_kit.underlay import UnderlayPlan, needs_vapour_sheet, underlay_strips, vapour_sheet_for

SMALLEST_LABEL_PX = 9.0
STRIPS_HOW = (
    "The start wall is at the top. Each strip has its number; a darker one is cut from the next roll, sheet or pack."
)
LEVELS_HOW = (
    "Figures: mm below the highest reading; the darker, the lower. The dark bar is the straightedge over its worst "
    "gap. Places are told as the survey has them: mm to the right and mm up from its origin."
)
DUST = (
    "Grinding a screed sets silica dust free: wet it or extract it, and wear a fitted mask. A floor laid before 2000 "
    "can hold asbestos in tiles and black adhesive: stop, and have it sampled."
)


def flatness_html(room: Room, *, limit_mm: float = FLOATING_FLOOR_MM, kg_per_m2_mm: float = 1.6) -> str:
    """Map, verdict and compound; what to measure where nothing was.

    Parameters
    ----------
    room
        The survey, with its levels and straightedge readings.
    limit_mm
        Largest gap allowed under 2 m [mm].
    kg_per_m2_mm
        Dry compound for each m² and mm [kg].
    """
    told = straightedge_sentences(room, limit_mm=limit_mm)
    if len(room.levels) < 3:
        wanted = readings_needed(room.polygon.area / 1e6)
        told += [
            f"No map: fewer than three levels in the survey. Lay a 2 m straightedge in {counted(wanted, 'place')} or "
            "more, every way, and read the largest gap; or read levels on a grid of 1 m."
        ]
        return heading_html("Is the subfloor flat?") + sentences_html(told)
    try:
        found, picture = _mapped(room)
    except ValueError as refused:  # a room in which no straightedge can be laid
        return heading_html("Is the subfloor flat?") + sentences_html([*told, f"No map: {refused}"])
    told = [_verdict(room, found, limit_mm), *found.sentences(limit_mm), *told, *_to_level(room, kg_per_m2_mm)]
    return (
        heading_html("Is the subfloor flat?")
        + sentences_html([*told, DUST])
        + scrolling(picture, label="Heights of the subfloor", widest_px=520)
        + sentences_html([LEVELS_HOW])
    )


@lru_cache(maxsize=16)
def _mapped(room: Room) -> tuple[FlatnessMap, str]:
    """The map and its drawing: of the room alone, so that a hand that moves a limit does not wait for them again."""
    found = flatness_map(room)
    return found, as_svg(levels_scene(room, found), tallest_px=520, smallest_label_px=SMALLEST_LABEL_PX)


@lru_cache(maxsize=16)
def _to_level(room: Room, kg_per_m2_mm: float) -> tuple[str, ...]:
    """Compound to fill the hollows, to bring all level, and what that adds at every doorway."""
    words = {"flat": "To fill the hollows only", "level": "To bring all of it level"}
    needed = {how: levelling(room, to=to, kg_per_m2_mm=kg_per_m2_mm) for to, how in words.items()}
    return (
        *(f"{how}: {each.sentence()}" for how, each in needed.items()),
        *(
            f"At {room.doors[depth.door - 1].name or f'door {depth.door}'} levelling all of it adds "
            f"{depth.near_mm:.0f} mm at the near end and {depth.far_mm:.0f} at the far end."
            for depth in records(threshold_depths(room))
        ),
    )


def _verdict(room: Room, found: FlatnessMap, limit_mm: float) -> str:
    """The worse of the map and the readings under a straightedge decides."""
    measured = max((each.gap_mm for each in room.straightedges if each.length_mm == CLASS_EDGE_MM), default=0.0)
    worst = max(measured, found.worst_gap_mm)
    where = "measured under the straightedge" if measured >= found.worst_gap_mm else "by the map"
    if worst <= limit_mm:
        return f"Flat enough as far as it was read: at most {worst:.1f} mm under 2 m, {where}."
    return f"Not flat enough: {worst:.1f} mm under 2 m, {where}; {limit_mm:g} are allowed."


def underfloor_html(
    plan: Plan,
    underlay: Underlay,
    trim: Trim | None,
    sundries: Sequence[Sundry],
    *,
    currency: str,
    way: str | None = None,
    limit_mm: float = FLOATING_FLOOR_MM,
) -> str:
    """The underlay, the subfloor and the small things of one floor; the underlay is laid once for all of them.

    Parameters
    ----------
    plan, underlay, trim
        The plan and what is laid under and beside it.
    sundries
        Sundries on sale.
    currency
        Sign put before prices.
    way
        As for :func:`flooring_kit.underlay.underlay_strips`.
    limit_mm
        Largest gap allowed under 2 m [mm].

    Raises
    ------
    ValueError
        As :func:`flooring_kit.underlay.underlay_strips`, but for an underlay whose size is not known.
    """
    laid = underlay_strips(plan, underlay, way=way) if underlay.pieces_per_pack else None
    return (
        underlay_html(plan, underlay, laid, sundries)
        + flatness_html(plan.room, limit_mm=limit_mm)
        + sundries_html(plan, underlay, laid, trim, sundries, currency=currency)
    )


def underlay_html(plan: Plan, underlay: Underlay, laid: UnderlayPlan | None, sundries: Sequence[Sundry]) -> str:
    """Strips drawn, packs by strips and by area, tape, vapour sheet.

    Parameters
    ----------
    plan, underlay
        The plan and the underlay.
    laid
        Its strips; None where the size of a roll or a sheet is not known.
    sundries
        Sundries on sale; the vapour sheet among them.
    """
    if laid is None:
        told = f"{underlay.name}: the size of a roll or a sheet is not known, so it is counted by area only."
        return heading_html("How the underlay lies") + sentences_html([told, vapour_sentence(plan, underlay, sundries)])
    picture = as_svg(strips_scene(plan, laid), tallest_px=520, smallest_label_px=SMALLEST_LABEL_PX)
    return (
        heading_html("How the underlay lies")
        + sentences_html([*laid.sentences(), vapour_sentence(plan, underlay, sundries)])
        + scrolling(picture, label="Strips of underlay", widest_px=720)
        + sentences_html([STRIPS_HOW])
    )


def vapour_sentence(plan: Plan, underlay: Underlay, sundries: Sequence[Sundry]) -> str:
    """Whether a vapour sheet goes down, and how much of it."""
    if plan.room.subfloor == "timber":
        return "No vapour sheet: the timber floor must breathe from below."
    if not needs_vapour_sheet(plan, underlay):
        return "No vapour sheet of its own: the underlay has one."
    vapour = vapour_sheet_for(plan, underlay, sundries)
    return "A vapour sheet is needed, and none is on sale." if vapour is None else vapour.sentence()


def sundries_html(
    plan: Plan,
    underlay: Underlay,
    laid: UnderlayPlan | None,
    trim: Trim | None,
    sundries: Sequence[Sundry],
    *,
    currency: str,
) -> str:
    """Collars, then everything small with its rule beside it.

    Parameters
    ----------
    plan, underlay, trim
        The plan and what is laid under and beside it.
    laid
        Strips of the underlay; None where they are not known.
    sundries
        Sundries on sale.
    currency
        Sign put before prices.
    """
    pieces = None if trim is None else trim_pieces(plan.room, foot_mm=trim.foot_mm, stock_length_mm=trim.length_mm)
    counts = count_sundries(
        plan,
        pieces,
        trim,
        underlay=laid,
        vapour=vapour_sheet_for(plan, underlay, sundries),
        on_sale=sundries,
    )
    rows = [
        (
            line.use,
            how_much(line.amount, line.unit),
            f"{line.packs} × {line.product}, {line.sold_as}" if line.product else "not on sale",
            price_cell(line.price, currency),
            line.rule,
        )
        for line in records(sundry_order(counts, sundries))
    ]
    heads = ("What", "How much", "Buy", "Price before tax", "Counted by")
    return (
        heading_html("Pipes")
        + sentences_html(collar_sentences(collars(plan, sundries)) or ["No pipe and no radiator foot in this survey."])
        + heading_html("Small things, counted from the drawing")
        + table_html(heads, rows, label="Small things to buy")
    )
