"""Exercises on trims: what the saw is set to, long and short points, stock lengths, how wide a foot covers the gap."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

from flooring_kit.checks import ceil_clean
from flooring_kit.drawing import Scene, trim_lengths_scene
from flooring_kit.gaps import OVERLAP_MM, SAW_ERROR_MM, gap_envelope
from flooring_kit.lengths import in_unit
from flooring_kit.products import Trim
from flooring_kit.room import Corner, Room
from flooring_kit.stock_cutting import StockCuts, cut_from_stock
from flooring_kit.tables import records
from flooring_kit.trim_options import BeadOrder
from flooring_kit.trims import trim_pieces
from flooring_kit.workbook.exercise import Exercise, Reason, Slip, other_than, shuffled
from flooring_kit.workbook.quantities import Quantity
from flooring_kit.workbook.sketches import Bar, Line, lines_sketch, room_sketch

STOCK_MM, KERF_MM = 2400, 3


def _with_corner(corner_degrees: float, wall_mm: float) -> Room:
    """A room whose wall 3 has a square corner at its start and one of that angle at its end, measured in the room."""
    wide, low = wall_mm + 2600.0, 2200.0
    turn = math.radians(180 - corner_degrees)  # to the left for an inner corner, to the right for an outer one
    heading = math.pi + turn
    reach = 900.0
    x, y = wide - wall_mm, low
    tip = (x + reach * math.cos(heading), y + reach * math.sin(heading))
    return Room("room", ((0, 0), (wide, 0), (wide, low), (x, y), tip, (0.0, tip[1])))


def _inside(room: Room) -> Corner:
    """A spot inside the corner of :func:`_with_corner`, on the line that halves it."""
    (x0, y0), (x, y), (x1, y1) = room.outline[2:5]
    one, other = math.hypot(x0 - x, y0 - y), math.hypot(x1 - x, y1 - y)
    way = ((x0 - x) / one + (x1 - x) / other, (y0 - y) / one + (y1 - y) / other)
    far = 420.0 / math.hypot(*way)
    return x + far * way[0], y + far * way[1]


def mitre_setting(draw: random.Random) -> Exercise:
    """What the saw is set to for a corner that is not square."""
    corner = draw.choice((*range(78, 89, 2), *range(92, 106, 2), 110, 115, *range(125, 155, 5)))
    room = _with_corner(corner, 1800.0)
    pieces = trim_pieces(room, foot_mm=18, stock_length_mm=STOCK_MM)
    right = float(pieces.loc[pieces["wall"] == 3, "last_saw_degrees"].iloc[-1])
    return Exercise(
        title="Setting the saw for a mitre",
        grade=1,
        question="A trim goes round an inner corner of the room that is not square. You took the corner with a bevel "
        "gauge. "
        "The mitre saw is marked from 0°, which cuts straight across.",
        figures=(("Corner between the two walls", f"{corner}°"),),
        asked="What do you set the saw to?",
        quantity=Quantity("angle", close=0.3, near=1.0),
        right=right,
        slips=(
            Slip(
                "corner halved",
                corner / 2,
                "Half the corner is the angle between the cut and the wall. The saw counts from straight across: "
                "take it "
                "from 90°.",
            ),
            Slip(
                "the whole turn on one piece",
                180 - corner,
                "That is the whole turn. Two pieces meet there, and each takes half.",
            ),
            *other_than(
                [right, 180 - corner],
                [
                    Slip(
                        "every corner taken as square",
                        45.0,
                        "45° fits a square corner alone. Measure, then set the saw.",
                    )
                ],
                by=1.5,
            ),
        ),
        hint="How far does the trim turn at this corner? A straight wall would be 180°. Two pieces share the turn.",
        worked=(
            f"The trim turns by 180 - {corner} = {180 - corner}°.",
            f"Each of the two pieces takes half: {right:g}°.",
        ),
        sketch=lambda: room_sketch(
            room, "A room with an inner corner that is not square.", notes=((*_inside(room), f"{corner}°"),)
        ),
        worked_sketch=lambda: _trims_drawn({"3": 1100.0, "4": 900.0}, room, 18),
    )


def long_and_short_points(draw: random.Random) -> Exercise:
    """The length to the long point of a piece that ends at an external corner."""
    foot, turn = draw.choice((15, 18, 20, 22)), draw.choice((90, 45))
    wall = draw.randrange(900, 2100)
    room = _with_corner(180 + turn, wall)
    pieces = trim_pieces(room, foot_mm=foot, stock_length_mm=STOCK_MM)
    piece = next(each for each in records(pieces) if each.wall == 3)
    right = float(piece.length_mm)
    adds = right - wall
    return Exercise(
        title="Long point and short point",
        grade=2,
        question="A trim runs along a wall from a square inner corner to an outer corner that sticks out into the "
        "room, with "
        "a mitre at each end. You measured the wall from corner to corner, where the trim's back lies.",
        figures=(
            ("Wall from corner to corner", f"{wall} mm"),
            ("Foot of the trim, out from the wall", f"{foot} mm"),
            ("Turn at the outer corner", f"{turn}°"),
        ),
        asked="How long is the piece from long point to long point?",
        quantity=Quantity("length", close=1.0),
        right=right,
        slips=(
            Slip(
                "long point for short point",
                wall,
                "At an outer corner the wall ends at the short point, at the back. The long point is in front, "
                "further out.",
            ),
            Slip(
                "mitre added at both ends",
                wall + 2 * adds,
                "You added at both ends. At the inner corner the long point is at the back, where you measured.",
            ),
            Slip(
                "mitre taken off",
                wall - adds,
                "You took it off. The front runs past an outer corner, so the piece is longer than the wall.",
            ),
            *other_than(
                [right],
                [
                    Slip(
                        "whole foot added at a blunt corner",
                        wall + foot,
                        "A whole foot is right for a square corner. This one turns less, so the front runs past it "
                        "less.",
                    )
                ],
                by=2.0,
            ),
        ),
        hint="At which end does the front of the trim reach further than its back? It reaches by foot x tan of half "
        "the turn.",
        worked=(
            "At the inner corner the long point is at the back, where you measured: nothing to add.",
            f"At the outer corner the front runs past by {foot} x tan({turn / 2:g}°) = {adds:.1f} mm.",
            f"{wall} + {adds:.1f} = {in_unit(right, 'mm')}.",
        ),
        sketch=lambda: room_sketch(
            room, "A wall from an inner corner to an outer one.", walls=[None, None, f"{wall}", None, None]
        ),
        worked_sketch=lambda: _trims_drawn({piece.piece: right}, room, foot),
    )


def _trims_drawn(lengths: dict[str, float], room: Room, foot_mm: float) -> Scene:
    """Pieces of a room's trim cut from one stock length, with their mitres."""
    pieces = trim_pieces(room, foot_mm=foot_mm, stock_length_mm=STOCK_MM)
    trim = Trim("scotia", foot_mm, foot_mm, STOCK_MM)
    cut = cut_from_stock(lengths, stock_lengths_mm=[STOCK_MM], kerf_mm=KERF_MM)
    return trim_lengths_scene(BeadOrder((trim,), pieces, cut, room.turns_clockwise))


def lengths_of_trim(draw: random.Random) -> Exercise:
    """How many stock lengths a list of pieces takes."""
    half = STOCK_MM // 2
    pieces = [half, half, *(draw.randrange(500, 2300, 10) for _ in range(draw.randint(4, 6)))]
    draw.shuffle(pieces)

    def fewest(kerf_mm: float) -> StockCuts:
        return cut_from_stock(pieces, stock_lengths_mm=[STOCK_MM], kerf_mm=kerf_mm)

    cut = fewest(KERF_MM)
    right = cut.lengths_needed
    total = sum(pieces)
    letters = "ABCDEFGHI"
    return Exercise(
        title="Lengths of trim to buy",
        grade=2,
        question="A trim is sold in one length only. The pieces are measured to their long points; no piece may be "
        "joined.",
        figures=(
            *((f"Piece {letters[place]}", f"{length} mm") for place, length in enumerate(pieces)),
            ("Sold in lengths of", f"{STOCK_MM} mm"),
            ("Saw kerf", f"{KERF_MM} mm"),
        ),
        asked="How few lengths do you buy?",
        quantity=Quantity("count", noun="length"),
        right=right,
        slips=(
            Slip(
                "metres taken for lengths",
                ceil_clean(total / STOCK_MM),
                f"You divided the {total / 1000:g} m by a length. The ends left over do not join: see which pieces "
                "fit together.",
            ),
            Slip(
                "a new length for every piece",
                len(pieces),
                "You took a new length for every piece. Look for pieces that share one.",
            ),
            *other_than(
                [right],
                [
                    Slip(
                        "kerf forgotten",
                        fewest(0).lengths_needed,
                        f"Two pieces of {half} mm do not come out of {STOCK_MM} mm: the saw takes its kerf between "
                        "them.",
                    )
                ],
                by=0.5,
            ),
        ),
        hint="Longest piece first: what fits beside it, with the saw's kerf? Then the next longest that is left.",
        worked=(
            *(
                f"Length {stock}: {' + '.join(f'{length:g}' for length in group['length_mm'])} mm."
                for stock, group in cut.cuts.groupby("stock", sort=True)
            ),
            f"No fewer will do: {right} lengths.",
        ),
        worked_sketch=lambda: lines_sketch(_stock_lines(cut, letters), "The stock lengths, as they are sawn."),
    )


def _stock_lines(cut: StockCuts, letters: Sequence[str]) -> list[Line]:
    lines = []
    for stock, group in cut.cuts.groupby("stock", sort=True):
        bars = [Bar(each.at_mm, each.length_mm, "cut", f"{each.length_mm:g}") for each in records(group)]
        reached = bars[-1].at_mm + bars[-1].length_mm
        bars += [Bar(reached, STOCK_MM - reached, "waste")] if reached < STOCK_MM else []
        lines.append(Line(f"length {stock}", tuple(bars)))
    return lines


def foot_that_covers(draw: random.Random) -> Exercise:
    """How wide a trim's foot must be to cover the gap at a bowed wall."""
    gap, bow = draw.choice((8, 10, 12, 13)), draw.randrange(6, 15)
    right = gap_envelope(gap, uneven_mm=bow, saw_error_mm=SAW_ERROR_MM).smallest_foot_mm
    reasons = (
        Reason("To the skirting: the floor must slide under it as it swells and shrinks."),
        Reason(
            "To the boards, so that no line opens between trim and floor.",
            "bead nailed to the floor",
            "Nailed to the boards it holds the floor fast, and the joints open instead. It is fixed to the skirting "
            "alone.",
        ),
        Reason(
            "To both, one nail each way, so that it can't come loose.",
            "floor pinned at the wall",
            "One nail into the boards is enough to hold the floor fast. Fix it to the skirting alone.",
        ),
    )
    return Exercise(
        title="A trim that covers the gap",
        grade=2,
        question="The wall has a bow: it hollows away from the boards, which are left straight. A trim along the "
        "skirting is "
        "to cover the gap, even where the wall is farthest away and the saw strayed.",
        figures=(
            ("Gap where the wall is nearest", f"{gap} mm"),
            ("Hollow in the wall", f"{bow} mm"),
            ("The saw may stray", f"{SAW_ERROR_MM:g} mm"),
            ("The trim must lie on the board by", f"{OVERLAP_MM:g} mm"),
        ),
        asked="How wide must the foot of the trim be?",
        quantity=Quantity("length", close=0.4),
        right=right,
        slips=(
            Slip(
                "hollow of the wall forgotten",
                right - bow,
                "You took the gap at its narrowest. Look where the wall hollows away.",
            ),
            Slip(
                "overlap forgotten",
                right - OVERLAP_MM,
                "So wide a foot just reaches the board's edge. It must lie on the board by a little, or a line shows.",
            ),
            Slip(
                "saw error forgotten", right - SAW_ERROR_MM, "A sawn edge strays a little from its line. Add that too."
            ),
            Slip(
                "the gap alone",
                gap,
                "That is the gap as drawn. As built it is wider, and the trim must lie on the board.",
            ),
        ),
        hint="Add up all that parts the skirting from the board at the worst place, then what must lie on the board.",
        worked=(
            f"At its widest the gap is {gap} + {bow} + {SAW_ERROR_MM:g} = {gap + bow + SAW_ERROR_MM:g} mm.",
            f"And {OVERLAP_MM:g} mm on the board: {right:g} mm.",
        ),
        reasons=shuffled(draw, reasons),
        why_asked="What is the trim fixed to?",
        worked_sketch=lambda: _foot_drawn(gap, bow, right),
    )


def _foot_drawn(gap: float, bow: float, foot: float) -> Scene:
    """What the foot has to cover, from the skirting on, a hundred times as large."""
    parts = ((gap, "gap", "whole"), (bow, "hollow", "strip"), (SAW_ERROR_MM, "saw", "waste"), (OVERLAP_MM, "on", "cut"))
    bars, at = [], 0.0
    for size, words, role in parts:
        bars.append(Bar(100 * at, 100 * size, role, f"{words} {size:g}"))
        at += size
    lines = [Line("from the skirting", tuple(bars)), Line("foot", (Bar(0, 100 * foot, "cut", f"{foot:g}"),))]
    return lines_sketch(lines, "Gap, hollow, saw error and what lies on the board, and the foot that covers them.")
