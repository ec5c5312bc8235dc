"""Exercises at doorways and pipes: undercut, easing a leaf, the hole for a pipe and where its centre lies."""

from __future__ import annotations

import random

from flooring_kit.heights import leaf_ease
from flooring_kit.products import Board
from flooring_kit.room import Door, Leaf, Pipe, Room
from flooring_kit.rules import LayingRules
from flooring_kit.sawing import pipe_holes
from flooring_kit.sawing.pipe_holes import THINNEST_BRIDGE_MM
from flooring_kit.tables import records
from flooring_kit.undercuts import CAUTIONS, CLEARANCE_MM, undercut_height_mm
from flooring_kit.workbook.exercise import Exercise, Reason, Slip, other_than, shuffled
from flooring_kit.workbook.quantities import Quantity
from flooring_kit.workbook.rows_across import laid
from flooring_kit.workbook.sketches import layers_sketch, pipe_sketch

HEIGHT = Quantity("length", close=0.3)
"""A height under a saw: to a third of a millimetre."""


def undercut_of_a_frame(draw: random.Random) -> Exercise:
    """Height at which a door lining is cut."""
    board, underlay = draw.choice((7, 8, 10, 12, 14)), draw.choice((2, 3, 5, 6))
    right = undercut_height_mm(board, underlay)
    air = f"{CLEARANCE_MM:g} mm"
    reasons = (
        Reason("On an offcut of the board laid on an offcut of the underlay: then nothing needs measuring."),
        Reason(
            "On an offcut of the board laid on the bare subfloor.",
            "undercut without the underlay",
            "The floor will lie on its underlay. Without it under the saw the cut comes out too low.",
        ),
        Reason(
            "At the height the old carpet marked on the lining.",
            "undercut at the old floor",
            "The carpet's height has nothing to do with the new floor. Lay the new layers under the saw.",
        ),
    )
    return Exercise(
        title="Undercutting a door lining",
        grade=1,
        question="A timber door lining is cut off at its foot, so that the floor runs under it. A little air stays "
        "over the "
        "board, so that it moves. " + CAUTIONS[0],
        figures=(
            ("Board", f"{board} mm"),
            ("Underlay, as laid", f"{underlay} mm"),
            ("Air over the board", air),
        ),
        asked="How high over the bare subfloor do you cut?",
        quantity=HEIGHT,
        right=right,
        slips=(
            Slip(
                "undercut without the underlay",
                board + CLEARANCE_MM,
                "You left out the underlay. The board lies on it, so the cut must be higher by that much.",
            ),
            Slip(
                "air over the board forgotten",
                board + underlay,
                "So the board is pinched under the lining. Leave it a little air to move.",
            ),
            Slip("board alone", board, "That is the board alone. It lies on an underlay and needs air above it."),
        ),
        hint="Build the floor up from the bare subfloor, layer by layer, and leave air on top.",
        worked=(
            f"Underlay {underlay} mm and board {board} mm.",
            f"With {air} of air: {underlay} + {board} + {CLEARANCE_MM:g} = {right:g} mm.",
        ),
        reasons=shuffled(draw, reasons),
        why_asked="What does the saw lie on as you cut?",
        sketch=lambda: layers_sketch(
            [("underlay", underlay), ("board", board)], "The layers under a door lining.", over=("door lining",)
        ),
        worked_sketch=lambda: layers_sketch(
            [(f"underlay {underlay}", underlay), (f"board {board}", board), (f"air {air}", CLEARANCE_MM)],
            "The layers under the lining with their heights.",
            over=("door lining",),
        ),
    )


def easing_a_leaf(draw: random.Random) -> Exercise:
    """What comes off a door leaf when the covering changes."""
    carpet = draw.randrange(6, 19)
    new = draw.choice((8, 10, 12, 14)) + draw.choice((2, 3, 5))
    present, wanted = draw.randrange(2, 10), draw.choice((5, 6, 8, 10))
    door = Door(1, 500, 762, leaf=Leaf(present, wanted))
    right = float(leaf_ease(door, "door", rise_mm=new - carpet).ease_mm or 0.0)
    return Exercise(
        title="Easing a door leaf",
        grade=2,
        question="A carpet comes up and a click floor goes down. The door swings into this room and is no fire door. "
        "You "
        "measured what is under the closed leaf before anything was taken up. If nothing need come off, write: "
        "nothing.",
        figures=(
            ("Carpet and its pad, taken up", f"{carpet} mm"),
            ("New floor with its underlay", f"{new} mm"),
            ("Under the leaf now, over the carpet", f"{present} mm"),
            ("Wanted over the new floor", f"{wanted} mm"),
        ),
        asked="How much comes off the foot of the leaf?",
        quantity=HEIGHT,
        right=right,
        slips=(
            Slip(
                "easing measured from the carpet",
                max(0.0, new + wanted - present),
                "You put the new floor on top of the carpet. The carpet comes up first, and gives back its height.",
            ),
            *other_than(
                [right],
                [
                    Slip(
                        "clearance wanted forgotten",
                        max(0.0, new - carpet - present),
                        "So the leaf just touches the floor. It needs the clearance wanted as well.",
                    ),
                    Slip(
                        "present clearance forgotten",
                        max(0.0, new - carpet + wanted),
                        "Some of it is there already: subtract what is under the leaf now.",
                    ),
                ],
                by=0.1,
            ),
        ),
        hint="How much higher or lower does the floor get? Then compare what is under the leaf with what you want "
        "there.",
        worked=_easing_worked(new - carpet, present, wanted, right),
        sketch=lambda: layers_sketch([("carpet and pad", carpet)], "A door leaf over a carpet.", over=("door leaf",)),
        worked_sketch=lambda: layers_sketch(
            [(f"new floor {new}", new), (f"wanted {wanted}", wanted)],
            "The new floor, and the clearance wanted under the leaf.",
            over=("door leaf",),
        ),
    )


def _easing_worked(rise: int, present: int, wanted: int, right: float) -> tuple[str, ...]:
    left = present - rise
    change = f"gets {abs(rise)} mm {'higher' if rise > 0 else 'lower'}" if rise else "stays as high as it was"
    under = f"{left} mm stay under the leaf" if left >= 0 else f"the leaf would drag by {-left} mm"
    off = f"{wanted} - {left}" if left >= 0 else f"{wanted} + {-left}"
    last = f"To come off: {off} = {right:g} mm." if right else f"Wanted are {wanted}: nothing comes off, {right:g} mm."
    return (
        f"The carpet comes up and the new floor goes down: the floor {change}.",
        f"So {under}; wanted are {wanted}.",
        last,
    )


def _pipe_room(pipe_mm: float, away_mm: float, gap_mm: float) -> tuple[float, float]:
    """Hole and its centre from the sawn edge, as the kit's plan of a small room has them."""
    room = Room("room", ((0, 0), (3100, 0), (3100, 2500), (0, 2500)), pipes=(Pipe((1777, away_mm), pipe_mm),))
    plan = laid(room, Board("board", 1380, 193, 8, 8), LayingRules(gap_mm=gap_mm))
    hole = next(iter(records(pipe_holes(plan))))
    return float(hole.hole_mm), float(hole.from_edge_mm)


def hole_for_a_pipe(draw: random.Random) -> Exercise:
    """How wide a hole for a pipe."""
    pipe, gap = draw.choice((10, 15, 18, 22, 28)), draw.choice((8, 10, 12, 15))
    away = 70
    right, _ = _pipe_room(pipe, away, gap)
    reasons = (
        Reason("The floor moves as one piece, and a pipe stands still like a wall."),
        Reason(
            "A tight hole looks best, and a heating pipe gives a little.",
            "hole as wide as the pipe",
            "A tight hole pins the whole floor at that spot: a joint opens, or the floor lifts. A collar hides the "
            "gap.",
        ),
        Reason(
            "So that the drill goes through without touching the pipe.",
            "reason not from the floor's movement",
            "You drill before the board is laid. The room round the pipe is for the floor, which moves.",
        ),
    )
    return Exercise(
        title="A hole for a pipe",
        grade=1,
        question="A heating pipe comes up through the floor. The board gets a hole, and a collar hides it afterwards.",
        figures=(("Pipe, outside", f"{pipe} mm"), ("Gap round every fixed thing", f"{gap} mm")),
        asked="How wide is the hole across?",
        quantity=Quantity("length", close=0.6),
        right=right,
        slips=(
            Slip(
                "hole as wide as the pipe",
                pipe,
                "So tight a hole pins the floor at the pipe. It needs its gap all the way round.",
            ),
            Slip("gap on one side only", pipe + gap, "You gave the gap once. It lies on both sides of the pipe."),
            Slip(
                "radius taken for diameter",
                pipe / 2 + gap,
                "That is from the middle to the rim. Across the hole it is twice as much.",
            ),
        ),
        hint="Walk straight across the hole: what do you cross, one after the other?",
        worked=(f"Gap, pipe, gap: {gap} + {pipe} + {gap} = {right:g} mm.",),
        reasons=shuffled(draw, reasons),
        why_asked="Why is it wider than the pipe?",
        sketch=lambda: pipe_sketch(pipe, away, "A pipe before a skirting.", gap_mm=gap),
        worked_sketch=lambda: pipe_sketch(pipe, away, "The pipe in its hole.", gap_mm=gap, hole_mm=right),
    )


def centre_of_a_hole(draw: random.Random) -> Exercise:
    """Where the centre of a hole lies on the board."""
    pipe, gap = draw.choice((10, 15, 18, 22)), draw.choice((8, 10, 12))
    away = draw.randrange(36, 76)
    hole, right = _pipe_room(pipe, away, gap)
    bridge = away - gap - hole / 2
    is_slot = bridge < THINNEST_BRIDGE_MM
    slot = Reason(
        f"A slot, open to the sawn edge: under {THINNEST_BRIDGE_MM:g} mm would stay beside a hole, and break out.",
        "" if is_slot else "slot where a hole holds",
        "That is the reason."
        if is_slot
        else f"{bridge:g} mm stay beside the hole, enough to hold. Saw a wedge out to it and glue that back.",
    )
    wedge = Reason(
        f"A hole, and a wedge sawn out to it and glued back: {THINNEST_BRIDGE_MM:g} mm or more stay beside it.",
        "hole too near the edge" if is_slot else "",
        f"Only {bridge:g} mm would stay beside the hole. Cut a slot." if is_slot else "That is the reason.",
    )
    tight = Reason(
        "A hole as wide as the pipe, so that more of the board stays.",
        "hole as wide as the pipe",
        "Then the pipe pins the floor. The gap goes all the way round; see what stays beside it then.",
    )
    return Exercise(
        title="The centre of a hole",
        grade=3,
        question="A pipe stands before the skirting. The board beside it is sawn along the wall and keeps its gap. "
        "You mark "
        "the middle of the hole on the board before you lay it.",
        figures=(
            ("Skirting to the middle of the pipe", f"{away} mm"),
            ("Pipe, outside", f"{pipe} mm"),
            ("Gap, at the wall and round the pipe", f"{gap} mm"),
        ),
        asked="How far from the board's sawn edge is the middle of the hole?",
        quantity=Quantity("length", close=1.0),
        right=right,
        slips=(
            Slip(
                "hole centre without the gap",
                away,
                "You measured from the skirting. The board begins a gap further out: take that off.",
            ),
            Slip("gap taken twice", away - 2 * gap, "You took two gaps. Between skirting and board lies one."),
            Slip(
                "rim taken for the middle",
                bridge,
                "That is the rim of the hole: the middle lies half a hole further in.",
            ),
            Slip(
                "gap added",
                away + gap,
                "You added the gap. The board's edge lies nearer to the pipe than the skirting does.",
            ),
        ),
        hint="The pipe stays where it is. Where does the board's edge lie, between the skirting and the pipe?",
        worked=(
            f"The board begins {gap} mm from the skirting.",
            f"The hole is {pipe} + 2 x {gap} = {hole:g} mm wide; {bridge:g} mm of board stay beside it.",
            f"From the sawn edge to its middle: {away} - {gap} = {right:g} mm.",
        ),
        reasons=shuffled(draw, (slot, wedge, tight)),
        why_asked="What do you cut, and why?",
        sketch=lambda: pipe_sketch(pipe, away, "A pipe before a skirting.", gap_mm=gap),
        worked_sketch=lambda: pipe_sketch(
            pipe, away, "The cut in the board.", gap_mm=gap, hole_mm=hole, is_slot=is_slot
        ),
    )
