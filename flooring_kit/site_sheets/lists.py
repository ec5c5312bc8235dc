"""The lists of a pack: cut list, offcuts, shapes, trims, frames and heights, underlay, order list.

Every table here is what the plain calls of the kit give, set for paper; nothing is reckoned a second time.
"""

from __future__ import annotations

import math
from typing import Any

from flooring_kit.answers import Estimate
from flooring_kit.bar_order import bar_orders
from flooring_kit.checks import counted
from flooring_kit.collars import collar_sentences, collars
from flooring_kit.door_sheet import HEIGHT_HEADS, growth_sentences, height_cells, new_floors, rise_sentence
from flooring_kit.doorways import undercut_list, undercut_sentences
from flooring_kit.drawing import board_scene, strips_scene, trim_lengths_scene
from flooring_kit.edge_sheet import NAILING, TRIM_HEADS, TRIM_HOW, trim_cells
from flooring_kit.edges import no_trim_sentences
from flooring_kit.flatness import threshold_depths
from flooring_kit.products import Catalogue
from flooring_kit.saw_sheet import HEADS, MEASURE_THEN_SAW, cut_cells, pile_sentences
from flooring_kit.sawing import hole_sentence, offcut_ledger, pipe_holes, shaping, shaping_sentence
from flooring_kit.setting_out import Plan
from flooring_kit.site_sheets.blocks import LANDSCAPE, PORTRAIT, Block, Heading, Sentences, Sheet, Table, drawn, table
from flooring_kit.site_sheets.plan_pages import page_for, paper_for
from flooring_kit.tables import records
from flooring_kit.trim_options import bead_order
from flooring_kit.undercuts import CAUTIONS
from flooring_kit.underfloor_sheet import DUST, vapour_sentence
from flooring_kit.underlay import underlay_strips
from flooring_kit.whole_price import whole_price

SAW = (
    "Saw outside or with extraction. Wear a fitted mask, eye and ear protection; keep fingers clear of the blade. "
    "Local codes and licensed practice decide."
)
LIFT = "Packs weigh 13 to 20 kg: lift with two. Check batch numbers before a pack is opened."
LAYING_KEEPS = "An offcut from a row's end can only start a row, one from a row's start can only finish one."


def cut_sheet(plan: Plan) -> Sheet:
    """Every piece in laying order, with a box to tick when it lies."""
    told = (
        f"{MEASURE_THEN_SAW} Tick each piece as it is laid. Ends and edges are named by their lock, which stays true "
        "whichever face is up."
    )
    cells = tuple(cut_cells(plan))
    return Sheet("Cut list", SAW, (Sentences((told,)), Table(HEADS, cells, ticked=True, banded_by=0)))


OFFCUT_HEADS = ("Left by", "In row", "What it is", "About, mm", "Needs its", "Becomes", "In row", "Waits")


def offcut_cells(plan: Plan) -> list[tuple[str, ...]]:
    """The ledger of offcuts cell by cell under `OFFCUT_HEADS`."""
    return [
        (
            offcut.left_by,
            str(offcut.left_in_row),
            "strip beside a rip" if offcut.kind == "strip" else "end of a board",
            f"{offcut.left_length_mm:.0f} × {offcut.left_width_mm:.0f}",
            _needed(offcut),
            offcut.used_for,
            str(offcut.used_in_row),
            "no" if not offcut.rows_waiting else counted(offcut.rows_waiting, "row"),
        )
        for offcut in records(offcut_ledger(plan))
    ]


def _needed(offcut: Any) -> str:
    """The factory ends and edges the next piece needs of an offcut."""
    kept = (offcut.keeps_end, offcut.keeps_edge)
    return ", ".join(words for words in kept if not words.startswith("neither"))


def offcut_sheet(plan: Plan) -> Sheet:
    """Where every offcut goes, with a box to tick when it is used."""
    cells = offcut_cells(plan)
    told = (*pile_sentences(plan), LAYING_KEEPS, "Mark each with its name and lock before you put it aside.")
    blocks: list[Block] = [Sentences(told)]
    blocks += [table(OFFCUT_HEADS, cells, ticked=True)] if cells else [Sentences(("No offcut is used again.",))]
    return Sheet("Offcuts to keep", SAW, blocks)


def shape_sheet(plan: Plan) -> Sheet:
    """Notches, tapers, slants and holes, with the boards that have them drawn as they lie in the floor."""
    places, holes = records(shaping(plan)), records(pipe_holes(plan))
    if not places and not holes:
        return Sheet("Notches and holes", SAW, (Sentences(("No piece is notched, tapered, slanted or holed.",)),))
    told = (*map(shaping_sentence, places), *map(hole_sentence, holes))
    blocks: list[Block] = [
        Sentences(
            (
                f"{MEASURE_THEN_SAW} Offer the piece up, mark it in its place, and saw to the mark. Distances are from "
                "the end or edge named, in mm.",
            )
        ),
        Sentences(told, ticked=True),
    ]
    names = {place.piece for place in (*places, *holes)}
    pieces = plan.pieces[plan.pieces["piece"].isin(names)]
    boards = pieces["board"].drop_duplicates().tolist()
    blocks += [Heading("The boards they are sawn from, face up, the edge towards the start wall at the top")]
    for board in boards:
        blocks += drawn(board_scene(plan, board), paper_for(LANDSCAPE))
    return Sheet("Notches and holes", SAW, blocks, LANDSCAPE)


def trim_sheet(estimate: Estimate) -> Sheet:
    """Pieces of trim, the lengths they are sawn from, and what takes none."""
    plan, trim = estimate.plan, estimate.trim
    if trim is None:
        return Sheet("Trims", SAW, (Sentences(("No trim was chosen.", *no_trim_sentences(plan.room))),))
    order = bead_order(plan, [trim])
    blocks: list[Block] = [Sentences((order.sentence(), TRIM_HOW, *no_trim_sentences(plan.room)))]
    if len(order.pieces):
        blocks.append(table(TRIM_HEADS, trim_cells(order), ticked=True))
        blocks.append(Heading("How each length is sawn"))
        blocks += drawn(trim_lengths_scene(order), paper_for(PORTRAIT))
    return Sheet("Trims", NAILING, blocks)


def frame_sheet(estimate: Estimate, catalogue: Catalogue) -> Sheet:
    """Frames to undercut, heights at the doorways, bars, leaves, and what else the height touches."""
    plan, room, bars = estimate.plan, estimate.room, list(catalogue.bars.values())
    floors = new_floors(plan, estimate.underlay)
    ledger = estimate.heights(bars)
    growth = growth_sentences(room, rise_mm=estimate.height_mm - room.old_covering_mm)
    blocks: list[Block] = [Sentences((rise_sentence(plan, estimate.underlay, floors), *growth, *_levelled(estimate)))]
    frames = undercut_sentences(undercut_list(plan, floors))
    if frames:
        blocks += [Heading("Frames to undercut"), Sentences((frames[0],)), Sentences(tuple(frames[1:]), ticked=True)]
        blocks += [Sentences(CAUTIONS)]
    lines = records(ledger)
    if not lines:
        blocks.append(Sentences(("No doorway in this survey.",)))
        return Sheet("Frames and heights", CAUTIONS[2], blocks)
    bought = tuple(order.sentence() for order in bar_orders(room, ledger, bars))
    blocks += [
        Heading("Heights at the doorways"),
        table(HEIGHT_HEADS, height_cells(room, ledger), ticked=True),
        Sentences(tuple(line.bar_says for line in lines)),
        Heading("Door leaves"),
        Sentences(tuple(line.leaf_says for line in lines), ticked=True),
        Heading("Bars to buy"),
        Sentences(bought or ("None.",)),
    ]
    return Sheet("Frames and heights", CAUTIONS[2], blocks)


def _levelled(estimate: Estimate) -> list[str]:
    """What levelling adds at every doorway, where it was chosen and levels were read."""
    room = estimate.room
    if estimate.choices.work.level_to != "level" or len(room.levels) < 3:
        return []
    return [
        f"At {room.doors[depth.door - 1].name or f'door {depth.door}'} levelling adds {depth.near_mm:.0f} mm at the "
        f"near end and {depth.far_mm:.0f} at the far end: saw the frame so much higher, and measure the step anew."
        for depth in records(threshold_depths(room))
    ]


STRIP_HEADS = ("Strip", "Side by side", "Cut from", "Length about, mm", "Width about, mm")


def underlay_sheet(estimate: Estimate, catalogue: Catalogue) -> Sheet:
    """The strips drawn and listed, the vapour sheet, collars for the pipes."""
    plan, underlay, sundries = estimate.plan, estimate.underlay, list(catalogue.sundries.values())
    vapour = vapour_sentence(plan, underlay, sundries)
    pipes = tuple(collar_sentences(collars(plan, sundries)))
    after: list[Block] = [Heading("Pipes"), Sentences(pipes)] if pipes else []
    if not underlay.pieces_per_pack:
        told = f"{underlay.name}: the size of a roll or a sheet is not known, so it is counted by area only."
        return Sheet("Underlay", DUST, (Sentences((told, estimate.take_off.underlay.sentence(), vapour)), *after))
    laid = underlay_strips(plan, underlay)
    cells = [
        (
            str(strip.strip),
            f"strip {strip.band} from the start",
            f"{underlay.piece_word} {strip.piece}",
            f"{strip.length_mm:.0f}",
            f"{strip.width_mm:.0f}",
        )
        for strip in records(laid.strips)
    ]
    scene = strips_scene(plan, laid)
    page, _ = page_for(scene)
    blocks: list[Block] = [
        Sentences((*laid.sentences(), vapour)),
        *drawn(scene, paper_for(page)),
        table(STRIP_HEADS, cells, ticked=True),
    ]
    return Sheet("Underlay", DUST, [*blocks, *after], page)


ORDER_HEADS = ("For", "What", "How many", "Each", "Price before tax", "Why")


def order_cells(estimate: Estimate, catalogue: Catalogue, *, priced: bool) -> list[tuple[str, ...]]:
    """The order list cell by cell under `ORDER_HEADS`; without its prices where they are not wanted."""
    return [
        (
            line.group,
            line.item,
            f"{line.quantity:g}",
            line.unit,
            *((("not known" if math.isnan(line.amount) else f"{line.amount:.2f}"),) if priced else ()),
            line.why,
        )
        for line in records(whole_price(estimate, catalogue).order_list())
    ]


def order_sheet(estimate: Estimate, catalogue: Catalogue, *, priced: bool) -> Sheet:
    """What is bought, with a box to tick when it has come."""
    currency = estimate.choices.buying.currency
    heads = tuple(head for head in ORDER_HEADS if priced or not head.startswith("Price"))
    cells = order_cells(estimate, catalogue, priced=priced)
    told = "Tick what has come, counted and undamaged." + (f" Prices are in {currency}." if priced else "")
    return Sheet("Order list", LIFT, (Sentences((told,)), table(heads, cells, ticked=True)))
