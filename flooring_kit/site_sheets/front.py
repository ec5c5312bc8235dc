"""The front page: what is used on the day, first rows, frames and bars, offcuts to keep, cautions."""

from __future__ import annotations

import math

from flooring_kit.answer_sheet import fault_sentences, first_row_sentence, longest_run_sentence, rules_sentence
from flooring_kit.answers import Estimate
from flooring_kit.checks import ceil_clean, counted
from flooring_kit.door_sheet import new_floors
from flooring_kit.doorways import undercut_list
from flooring_kit.products import Catalogue
from flooring_kit.saw_sheet import pile_sentences
from flooring_kit.sawing import row_rips
from flooring_kit.setting_out import Plan
from flooring_kit.site_sheets.blocks import Block, Heading, Sentences, Sheet, table
from flooring_kit.tables import records
from flooring_kit.whole_price import whole_price

ON_THE_DAY = ("boards", "underlay", "membrane", "trims", "bars")
"""Groups of the order list that are carried into the room; small things stand on the order list alone."""

CAUTIONS = (
    "Find and isolate hidden pipes and cables before you nail, drill or undercut.",
    "A floor laid before 2000 can hold asbestos in tiles and black adhesive: do not sand or break it, have it sampled. "
    "Old paint on linings can hold lead.",
    "Wood and fibreboard dust: saw outside or with extraction, wear a fitted mask, eye and ear protection. Over "
    "eight hours the United Kingdom allows 3 mg/m³ of hardwood or mixed dust and 5 of softwood (HSE); take the core of "
    "laminate for hardwood. Keep fingers clear of the blade.",
    "Packs weigh 13 to 20 kg: lift with two. Wear knee pads.",
    "Flued appliances, hearths and air gaps under doors stay as they are until a registered engineer has looked. Fire "
    "doors are never trimmed without their test evidence.",
    "The leaflets in the packs come before these sheets, local codes and licensed practice before both.",
)
FOOT = "Lengths are about: measure, then saw. Local codes and licensed practice decide."


def front_sheet(estimate: Estimate, catalogue: Catalogue) -> Sheet:
    """The page that lies on top."""
    plan = estimate.plan
    blocks: list[Block] = [
        Sentences(
            (
                f"{plan.board.name}, {plan.board.length_mm:g} × {plan.board.width_mm:g} × {plan.board.thickness_mm:g} "
                f"mm: {counted(plan.rows, 'row')}, {counted(len(plan.pieces), 'piece')} from "
                f"{counted(plan.boards_needed, 'board')} over {estimate.net_area_m2:.2f} m².",
                _start(plan),
            )
        ),
        Heading("Used on the day"),
        table(("For", "What", "How many", "Each"), used_cells(estimate, catalogue), ticked=True),
        Sentences((estimate.take_off.boards.sentence(),)),
        Heading("Rows that are ripped, about mm: measure, then saw"),
        table(RIP_HEADS, rip_cells(plan)),
        Sentences((first_row_sentence(plan), *_rules(estimate))),
    ]
    frames = frame_cells(estimate)
    if frames:
        blocks += [Heading("Frames to undercut first"), table(FRAME_HEADS, frames, ticked=True)]
    bars = bar_cells(estimate, catalogue)
    if bars:
        blocks += [Heading("Bars"), table(("Doorway", "Bar", "Saw about, mm"), bars, ticked=True)]
    most, *aside = pile_sentences(plan)
    kept = (most, " ".join(aside)) if aside else (most,)  # run together: the offcut sheet has them one by one
    blocks += [Heading("Offcuts to keep"), Sentences(kept), Heading("Before you start"), Sentences(CAUTIONS)]
    return Sheet("Front page", FOOT, blocks)


def used_cells(estimate: Estimate, catalogue: Catalogue) -> list[tuple[str, ...]]:
    """What is carried into the room: group, item, how many, of what."""
    return [
        (line.group, line.item, f"{line.quantity:g}", line.unit)
        for line in records(whole_price(estimate, catalogue).order_list())
        if line.group in ON_THE_DAY
    ]


RIP_HEADS = ("Row", "Where it starts", "Wide there", "Where it ends", "Wide there")


def rip_cells(plan: Plan) -> list[tuple[str, ...]]:
    """Ripped rows with their width at both ends."""

    def wide(width_mm: float) -> str:
        return "whole" if width_mm >= plan.board.width_mm else f"{width_mm:.0f}"

    return [
        (str(rip.row), f"piece {rip.start_piece}", wide(rip.start_mm), f"piece {rip.end_piece}", wide(rip.end_mm))
        for rip in records(row_rips(plan))
    ]


FRAME_HEADS = ("Doorway", "High, mm", "Deep, mm", "Met at")


def frame_cells(estimate: Estimate) -> list[tuple[str, ...]]:
    """Frames with the cut they take; "not cut" for those that are not."""
    frames = undercut_list(estimate.plan, new_floors(estimate.plan, estimate.underlay))
    return [
        (
            frame.name,
            "not cut" if math.isnan(frame.height_mm) else f"{ceil_clean(frame.height_mm)}",
            "" if math.isnan(frame.depth_mm) else f"{frame.depth_mm:.0f}",
            frame.met_at,
        )
        for frame in records(frames)
    ]


def bar_cells(estimate: Estimate, catalogue: Catalogue) -> list[tuple[str, ...]]:
    """The bar at every doorway that takes one, and its length."""
    ledger = estimate.heights(catalogue.bars.values())
    return [(line.name, line.bar, f"{line.bar_mm:.0f}") for line in records(ledger) if line.bar]


def _start(plan: Plan) -> str:
    way = "right to left" if plan.board.hand == "left" else "left to right"
    return (
        f"Start at wall {plan.start_wall}, facing it: lay {way}, row by row towards you. Gap {plan.rules.gap_mm:g} mm "
        "at every wall and fixed thing."
    )


def _rules(estimate: Estimate) -> list[str]:
    plan = estimate.plan
    told = [rules_sentence(plan), *fault_sentences(plan), longest_run_sentence(plan), *estimate.misfits]
    return [words for words in told if words]
