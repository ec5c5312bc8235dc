"""Exercises on what lies under the boards: tog, and the vapour sheet."""

from __future__ import annotations

import random

from flooring_kit.drawing import Scene
from flooring_kit.products import Board, Sundry
from flooring_kit.room import Room
from flooring_kit.rules import LayingRules
from flooring_kit.thermal import build_up
from flooring_kit.underlay import vapour_strips
from flooring_kit.workbook.exercise import Exercise, Reason, Slip, UnluckyFiguresError, shuffled
from flooring_kit.workbook.quantities import Quantity
from flooring_kit.workbook.rows_across import laid
from flooring_kit.workbook.sketches import layers_sketch, rows_sketch


def tog_of_a_floor(draw: random.Random) -> Exercise:
    """Board and underlay in tog, one of them declared in m²K/W."""
    board_r = draw.randrange(45, 85) / 1000
    underlay_tog = draw.randrange(30, 110, 5) / 100
    thick = draw.choice((3, 5))
    laid_tog = build_up([("board", board_r), ("underlay", underlay_tog / 10)]).tog
    board_tog = build_up([("board", board_r)]).tog
    reasons = (
        Reason("One layer. A second one crushes, and the locks open over it."),
        Reason(
            "Two layers: the more underlay, the warmer.",
            "doubled underlay",
            "Warmer, yes, but too soft: the boards sink at every step and the locks break. One layer, and a warmer "
            "sort.",
        ),
        Reason(
            "Two layers, taped across each other so that they can't shift.",
            "doubled underlay",
            "Tape holds them in place, but two layers still crush under foot. One layer, and a warmer sort.",
        ),
    )
    return Exercise(
        title="Adding up tog",
        grade=2,
        question="A customer asks how warm the floor is. The board's leaflet gives its resistance in m²K/W, that of "
        "the "
        f"underlay, {thick} mm of foam, in tog. The customer would also like a second layer of the foam.",
        figures=(
            ("Board, 8 mm", f"{board_r:.3f} m²K/W"),
            ("Underlay, one layer", f"{underlay_tog:g} tog"),
        ),
        asked="What do the board and the underlay, as it should be laid, come to?",
        quantity=Quantity("tog", close=0.011, near=0.04),
        right=laid_tog,
        slips=(
            Slip(
                "tog ten times too many",
                100 * board_r + underlay_tog,
                "The board comes out ten times too warm: one tog is a tenth of a m²K/W, so the figure goes up by "
                "ten, once.",
            ),
            Slip(
                "tog ten times too many in all",
                10 * laid_tog,
                "The whole sum comes out ten times too warm: only the board goes up by ten, once. The underlay is in "
                "tog already, and so is the sum.",
            ),
            Slip(
                "tog and m²K/W added as they stand",
                board_r + underlay_tog,
                "You added two units as they stand. Turn one into the other first.",
            ),
            Slip(
                "doubled underlay",
                board_tog + 2 * underlay_tog,
                "You counted two layers of underlay. A floating floor lies on one: two crush, and the locks open.",
            ),
            Slip("underlay left out", board_tog, "That is the board alone. What lies under it resists too."),
        ),
        hint="One tog is a tenth of a m²K/W. Write both layers in tog, then add; ask yourself how many layers are "
        "right.",
        worked=(
            f"The board: {board_r:.3f} m²K/W x 10 = {board_tog:.2f} tog.",
            "One layer of underlay, whatever the customer would like.",
            f"{board_tog:.2f} + {underlay_tog:g} = {round(laid_tog, 3):g} tog.",
        ),
        reasons=shuffled(draw, reasons),
        why_asked="How many layers of foam, and why?",
        sketch=lambda: layers_sketch([("underlay", thick), ("board", 8)], "Board and underlay on the subfloor."),
        worked_sketch=lambda: layers_sketch(
            [(f"underlay, {underlay_tog:g} tog", thick), (f"board, {board_tog:.2f} tog", 8)],
            "Board and underlay with the resistance of each.",
        ),
    )


def strips_of_sheet(draw: random.Random) -> Exercise:
    """Strips of vapour sheet side by side, over screed or over timber."""
    subfloor = draw.choice(("screed", "timber"))
    wide, long = draw.randrange(2600, 6400, 10), draw.randrange(3200, 5200, 10)
    sheet_mm, lap, upstand = draw.choice((1500, 2000)), draw.choice((200, 300)), 50
    across, useful = wide + 2 * upstand, sheet_mm - lap
    without_lap = -(-across // sheet_mm)
    if without_lap == -(-(across - lap) // useful):
        raise UnluckyFiguresError  # the laps cost no strip here
    room = Room("room", ((0, 0), (long, 0), (long, wide), (0, wide)))
    sheet = Sundry("sheet", "roll", use="vapour sheet", pack_holds=50, width_mm=sheet_mm)
    plan = laid(room, Board("board", 1380, 193, 8, 8), LayingRules())
    on_screed = vapour_strips(plan, sheet, lap_mm=lap, upstand_mm=upstand).strips
    timber = subfloor == "timber"
    slips = (
        Slip(
            "membrane over timber, laps forgotten" if timber else "laps forgotten",
            without_lap,
            "You counted strips edge to edge. Before their laps, look at the subfloor: timber must breathe."
            if timber
            else "You laid the strips edge to edge. Each laps over the one before, so it covers less than its width.",
        ),
        Slip(
            "membrane over timber",
            on_screed,
            "That would be right over screed. This is timber: it must breathe from below, and under a sheet it can "
            "rot.",
        )
        if timber
        else Slip(
            "no sheet over a mineral floor",
            0,
            "Over screed a sheet goes down, however dry it looks: damp rises for years and the boards swell.",
        ),
    )
    reasons = (
        Reason(
            "Timber must breathe: damp from below has to get out, or the timber can rot."
            if timber
            else "A mineral floor gives off damp for years, and the boards over it swell."
        ),
        Reason(
            "A sheet does no harm anywhere, so it goes under every floor."
            if timber
            else "No sheet is needed where the floor looks dry.",
            "membrane over timber" if timber else "no sheet over a mineral floor",
            "Over timber it does: the damp stays under it. Look at what the subfloor is first."
            if timber
            else "You can't see the damp in it. A reading can, and the sheet stops what rises later.",
        ),
        Reason(
            "It keeps the floor warm, and warmth is always welcome.",
            "sheet taken for insulation",
            "A thin sheet keeps no heat. It is there against damp alone, and only where damp comes from below.",
        ),
    )
    kind = "timber boards over a ventilated void" if timber else "a cement screed on the ground, dry by its record"
    return Exercise(
        title="How many strips of vapour sheet?",
        grade=3,
        question=f"The subfloor is {kind}. The underlay has no sheet of its own. Strips of vapour sheet would run "
        "along the "
        "room, lapped and taped, and turned up at the walls. If no sheet goes down here, write: none.",
        figures=(
            ("Subfloor", "timber" if timber else "screed"),
            ("Width to be covered, wall to wall", f"{wide} mm"),
            ("Sheet width", f"{sheet_mm} mm"),
            ("Lap", f"{lap} mm"),
            ("Turned up at each wall", f"{upstand} mm"),
        ),
        asked="How many strips side by side does this floor take?",
        quantity=Quantity("count", noun="strip"),
        right=0 if timber else on_screed,
        slips=slips,
        hint="What is the subfloor, and does it take a sheet at all? If so: every strip after the first covers its "
        "width less "
        "the lap.",
        worked=(
            (
                "The subfloor is timber. Damp in it must get out, so no sheet goes over it.",
                f"Over screed it would be {on_screed}; here it is 0 strips.",
            )
            if timber
            else (
                f"To cover: {wide} + 2 x {upstand} = {across} mm.",
                f"The first strip covers {sheet_mm} mm, every further one {sheet_mm} - {lap} = {useful} mm.",
                f"({across} - {lap}) / {useful} = {(across - lap) / useful:.2f}, rounded up: {on_screed} strips.",
            )
        ),
        reasons=shuffled(draw, reasons),
        why_asked="Why?",
        worked_sketch=_no_sheet_sketch if timber else lambda: _strips_sketch(on_screed, sheet_mm, lap, across),
    )


def _no_sheet_sketch() -> Scene:
    return layers_sketch(
        [("underlay", 3), ("board", 8)],
        "Timber, underlay and board without a sheet between, so that damp gets out of the timber.",
        subfloor="timber, no sheet over it",
    )


def _strips_sketch(strips: int, sheet_mm: float, lap_mm: float, across_mm: float) -> Scene:
    useful = sheet_mm - lap_mm
    rows = []
    for number in range(strips):
        shown = useful if number < strips - 1 else across_mm - number * useful
        role = "strip" if number % 2 else "strip, next piece"
        rows.append(
            (shown, role, f"strip {number + 1}" + (f", {lap_mm:g} under the next" if number < strips - 1 else ""))
        )
    return rows_sketch(rows, "Strips of vapour sheet as far as each is seen.", gap_mm=0, wide_mm=4200)
