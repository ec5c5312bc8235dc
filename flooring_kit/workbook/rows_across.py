"""Exercises across the boards: clear width, first row, the strip before a hearth, a far wall that runs out."""

from __future__ import annotations

import random

from flooring_kit.area import net_floor
from flooring_kit.drawing import plan_scene
from flooring_kit.products import Board
from flooring_kit.room import Obstacle, Room
from flooring_kit.rules import LayingRules
from flooring_kit.setting_out import FirstRow, Plan, Search, set_out
from flooring_kit.workbook.exercise import Exercise, Reason, Slip, UnluckyFiguresError, other_than, shuffled
from flooring_kit.workbook.quantities import Quantity
from flooring_kit.workbook.sketches import room_sketch, rows_sketch

BOARD_SIZES = ((1380.0, 193.0), (1285.0, 192.0), (1850.0, 240.0), (1220.0, 198.0))
SAWN = Quantity("length", close=1.0, near=4.0)
"""A length to saw: a millimetre off is right, rounded to a centimetre is nearly right."""


def drawn_board(draw: random.Random) -> Board:
    """A board of a usual size."""
    length, width = draw.choice(BOARD_SIZES)
    return Board("board", length, width, 8, 8)


def laid(room: Room, board: Board, rules: LayingRules, *, first_row_mm: float | None = None) -> Plan:
    """The quick plan with boards along x; the start wall is then the upper one."""
    return set_out(
        room, board, rules=rules, direction=0.0, first_row=FirstRow(width_mm=first_row_mm), search=Search(quick=True)
    )


def clear_width(draw: random.Random) -> Exercise:
    """Clear width of a room."""
    width, gap = draw.randrange(2400, 4600), draw.choice((8, 10, 12, 15))
    room = Room("room", ((0, 0), (4200, 0), (4200, width), (0, width)))
    floor = net_floor(room, LayingRules(gap_mm=gap))
    right = floor.bounds[3] - floor.bounds[1]
    return Exercise(
        title="Clear width",
        grade=1,
        question="Rows are laid from the start wall to the far wall. You measured the room from skirting to skirting, "
        "and the floor keeps a gap at every wall.",
        figures=(("Skirting to skirting", f"{width} mm"), ("Gap", f"{gap} mm")),
        asked="How wide is the floor itself?",
        quantity=Quantity("length", close=1.0, near=3.0),
        right=right,
        slips=(
            Slip("gap forgotten", width, "That is the room, not the floor: the floor stops short of both walls."),
            Slip(
                "gap taken once",
                width - gap,
                "You took one gap. There is a wall on the far side too, with a gap of its own.",
            ),
            Slip(
                "gap taken twice",
                width - 4 * gap,
                "You took the gap off twice at each wall. There are two walls: one gap each.",
            ),
        ),
        hint="Walk across the room: how many walls does the floor stop short of, and by how much at each?",
        worked=(
            f"A gap of {gap} mm at the start wall and one at the far wall: {2 * gap} mm.",
            f"{width} - {2 * gap} = {right:.0f} mm.",
        ),
        sketch=lambda: rows_sketch(
            [(width - 2 * gap, "whole", "the floor: how wide?")],
            "A floor between two walls, with a gap at each.",
            gap_mm=5 * gap,
            wide_mm=4200,
        ),
        worked_sketch=lambda: rows_sketch(
            [(width - 2 * gap, "whole", f"the floor: {right:.0f}")],
            "The floor with its clear width; gaps are drawn wider than they are.",
            gap_mm=5 * gap,
            wide_mm=4200,
        ),
    )


def first_row(draw: random.Random) -> Exercise:
    """The first row, when a whole one leaves a sliver."""
    board, gap = drawn_board(draw), draw.choice((8, 10, 12))
    wide = board.width_mm
    rows, sliver = draw.randint(12, 18), draw.randrange(8, 44, 2) + int(wide) % 2  # halves come out whole
    clear = rows * wide + sliver
    room = Room("room", ((0, 0), (4200, 0), (4200, clear + 2 * gap), (0, clear + 2 * gap)))
    rules = LayingRules(gap_mm=gap)
    right = laid(room, board, rules).row_widths[0].first_row_width_mm
    over = (clear + 2 * gap) % wide
    reasons = (
        Reason("A whole first row leaves a strip at the far wall that is too narrow to hold and to look at."),
        Reason(
            "A whole first row is the rule: the far wall takes what is left.",
            "whole first row by habit",
            f"It is a habit, not a rule: here it leaves {sliver} mm at the far wall. Work out the far wall first.",
        ),
        Reason(
            "The start wall is never straight, so its row must be narrow.",
            "reason not from the far wall",
            "A crooked wall is another matter. Here the width left at the far wall decides.",
        ),
    )
    return Exercise(
        title="How wide is the first row?",
        grade=2,
        question="You want the first and the last row equally wide, as wide as they can be, and whole rows between "
        "them.",
        figures=(
            ("Clear width, gaps already off", f"{clear:g} mm"),
            ("Board width", f"{wide:g} mm"),
            ("Gap at each wall", f"{gap} mm"),
            ("Narrowest row allowed", "50 mm"),
        ),
        asked="How wide do you rip the first row?",
        quantity=SAWN,
        right=right,
        slips=(
            Slip(
                "whole first row by habit",
                wide,
                f"You began with a whole row, by habit: {rows} of them leave {sliver} mm at the far wall. Share what "
                "is "
                "left between both walls.",
            ),
            Slip(
                "sliver shared out alone",
                sliver / 2,
                "You halved the strip left over, and both rows are slivers. Take one whole row away, add its width, "
                "and "
                "halve that.",
            ),
            Slip(
                "width left over taken for the first row",
                sliver,
                "That is what whole rows leave at the far wall. Moved to the start wall it is as narrow as before.",
            ),
            *other_than(
                [right],
                [
                    Slip(
                        "gap taken twice",
                        ((clear - 2 * gap) % wide + wide) / 2,
                        "You took the gaps off the clear width, where they are off already.",
                    ),
                    Slip("gap forgotten", (over + wide) / 2, "You put the gaps back on: the clear width is the floor."),
                ],
                by=5.0,
            ),
        ),
        hint="How many whole rows fit, and what is left? If that is too narrow, break up one more whole row with it.",
        worked=(
            f"{clear:g} = {rows} x {wide:g} + {sliver}: a whole first row leaves {sliver} mm, under the narrowest "
            "allowed.",
            f"Give up one whole row: {wide:g} + {sliver} = {wide + sliver:g} mm for two rows.",
            f"Half of it for each: {right:g} mm.",
        ),
        reasons=shuffled(draw, reasons),
        why_asked="Why not a whole first row here?",
        worked_sketch=lambda: plan_scene(laid(room, board, rules)),
    )


def strip_before_a_hearth(draw: random.Random) -> Exercise:
    """What a first-row width leaves in front of a hearth."""
    board, gap = drawn_board(draw), draw.choice((8, 10, 12))
    deep, room_deep = draw.randrange(360, 520, 10), draw.randrange(3000, 4200, 5)
    first = float(draw.randrange(90, int(board.width_mm) - 10, 2))
    to_hearth = room_deep - deep
    room = Room(
        "room",
        ((0, 0), (4000, 0), (4000, room_deep), (0, room_deep)),
        (Obstacle("hearth", ((1300, 0), (2600, 0), (2600, deep), (1300, deep)), "hearth"),),
    )
    wide = board.width_mm
    clear = to_hearth - 2 * gap
    whole, left = divmod(clear - first, wide)
    if not 20 <= left <= wide - 20:  # a strip too thin for the kit to list beside the hearth
        raise UnluckyFiguresError
    plan = laid(room, board, LayingRules(gap_mm=gap), first_row_mm=first)
    right = float(plan.strips.loc[plan.strips["beside"] == "hearth", "strip_mm"].iloc[0])
    return Exercise(
        title="The strip before a hearth",
        grade=3,
        question="The rows run along the wall opposite a hearth and come towards it. You chose the first row; now you "
        "want to know what is left right in front of the hearth, before you saw.",
        figures=(
            ("Start wall to the front of the hearth", f"{to_hearth} mm"),
            ("Gap, at the wall and at the hearth", f"{gap} mm"),
            ("First row", f"{first:g} mm"),
            ("Board width", f"{wide:g} mm"),
        ),
        asked="How wide is the strip in front of the hearth?",
        quantity=Quantity("length", close=1.0, near=3.0),
        right=right,
        slips=(
            Slip(
                "gap forgotten",
                (to_hearth - first) % wide,
                "You measured to the hearth itself. The floor keeps a gap at the start wall and another at the hearth.",
            ),
            Slip(
                "gap taken once",
                (to_hearth - gap - first) % wide,
                "You took one gap. The hearth is a fixed thing like the wall and has a gap of its own.",
            ),
            Slip(
                "whole first row by habit",
                clear % wide,
                f"You began with a whole row. The first row here is {first:g} mm; take that off first.",
            ),
            Slip(
                "strip sawn off taken for the strip laid",
                (wide - (clear - first)) % wide,
                "That is what you saw off the board. The strip that stays in front of the hearth is the rest of it.",
            ),
        ),
        hint="Take both gaps and the first row off the distance. Then whole boards off, until less than one is left.",
        worked=(
            f"From gap to gap: {to_hearth} - 2 x {gap} = {clear} mm. Less the first row: {clear - first:g} mm.",
            f"{whole:g} whole rows take {whole * wide:g} mm.",
            f"What is left before the hearth is {right:g} mm.",
        ),
        sketch=lambda: room_sketch(
            room, "A room with a hearth on the wall opposite the start wall.", walls=[None, None, "start wall", None]
        ),
        worked_sketch=lambda: plan_scene(plan),
    )


def far_wall_out_of_line(draw: random.Random) -> Exercise:
    """The narrowest width of the last row where the far wall runs out."""
    board, gap = drawn_board(draw), draw.choice((8, 10, 12))
    left, taper = draw.randrange(2600, 4000), draw.choice((-1, 1)) * draw.randrange(14, 44)
    right_side = left + taper
    first = float(draw.randrange(90, int(board.width_mm) - 10, 2))
    wide, rules = board.width_mm, LayingRules(gap_mm=gap)

    def strip_at(width: float, gaps: int = 2) -> float:
        return (width - gaps * gap - first) % wide

    narrow, broad = min(left, right_side), max(left, right_side)
    whole = int((narrow - 2 * gap - first) // wide)
    if int((broad - 2 * gap - first) // wide) != whole or strip_at(narrow) < 20:
        raise UnluckyFiguresError  # the taper runs through a row line, or nearly so
    right = strip_at(narrow)
    room = Room("room", ((0, broad - left), (4200, broad - right_side), (4200, broad), (0, broad)))
    return Exercise(
        title="A far wall that runs out",
        grade=2,
        question="You measure across the room at both ends of the start wall, from skirting to skirting, and the two "
        "do "
        "not agree: the far wall is not parallel. The boards run straight from the start wall, so the last row is "
        "ripped to a taper.",
        figures=(
            ("Across at the left end", f"{left} mm"),
            ("Across at the right end", f"{right_side} mm"),
            ("Gap at each wall", f"{gap} mm"),
            ("First row", f"{first:g} mm"),
            ("Board width", f"{wide:g} mm"),
        ),
        asked="How wide is the last row at its narrow end?",
        quantity=Quantity("length", close=1.0, near=3.0),
        right=right,
        slips=(
            Slip(
                "far wall measured at one end only",
                strip_at(broad),
                "You worked with one end, and it is the wide one. Do the sum at both ends: the last row must hold at "
                "the "
                "narrow end too.",
            ),
            Slip(
                "both ends averaged",
                strip_at((narrow + broad) / 2),
                "You took the middle of the two. That is the width half-way along; the narrow end is narrower.",
            ),
            Slip("gap forgotten", strip_at(narrow, 0), "You left the gaps out: there is one at each of the two walls."),
            Slip("gap taken once", strip_at(narrow, 1), "You took one gap; the far wall has one too."),
        ),
        hint="Which end is the narrow one? Take the gaps and the first row off there, then whole rows.",
        worked=(
            f"The narrow end is {narrow} mm across. Less two gaps and the first row: {narrow - 2 * gap - first:g} mm.",
            f"{whole} whole rows take {whole * wide:g} mm.",
            f"At its narrow end the last row is {right:g} mm.",
        ),
        sketch=lambda: room_sketch(
            room, "A room whose far wall runs out of line.", walls=[None, f"{right_side}", "start wall", f"{left}"]
        ),
        worked_sketch=lambda: plan_scene(laid(room, board, rules, first_row_mm=first)),
    )
