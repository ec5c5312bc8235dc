"""Exercises on areas, packs and waste."""

from __future__ import annotations

import math
import random

from flooring_kit.area import room_area_m2
from flooring_kit.checks import counted
from flooring_kit.drawing import Scene
from flooring_kit.room import Room
from flooring_kit.wastage import packs_for_area, waste_split
from flooring_kit.workbook.exercise import Exercise, Reason, Slip, shuffled
from flooring_kit.workbook.quantities import Quantity
from flooring_kit.workbook.sketches import Bar, Line, lines_sketch, room_sketch


def area_of_an_l(draw: random.Random) -> Exercise:
    """The area of an L-shaped room."""
    long, deep = draw.randrange(4200, 7000, 50), draw.randrange(3600, 6000, 50)
    foot, leg = draw.randrange(1800, deep - 1000, 50), draw.randrange(1800, long - 1000, 50)
    room = Room("the L", ((0, 0), (long, 0), (long, foot), (leg, foot), (leg, deep), (0, deep)))
    right = room_area_m2(room)
    at_foot, above, corner = long * foot / 1e6, leg * (deep - foot) / 1e6, leg * foot / 1e6
    walls = [f"{long}", f"{foot}", None, None, f"{leg}", f"{deep}"]
    return Exercise(
        title="Area of an L",
        grade=1,
        question="A room is L-shaped. You measured these four walls from skirting to skirting.",
        figures=(
            ("Longest wall, along the bottom", f"{long} mm"),
            ("Its right end, up to the inner corner's height", f"{foot} mm"),
            ("Left wall, the whole way up", f"{deep} mm"),
            ("Top wall of the upright part", f"{leg} mm"),
        ),
        asked="What is the area of the floor?",
        quantity=Quantity("area", close=0.0111, near=0.11),
        right=right,
        slips=(
            Slip(
                "corner of the L counted twice",
                at_foot + leg * deep / 1e6,
                "You added two rectangles that lap: the corner where they meet is in both. Take the upright part only "
                "from the top of the lower part.",
            ),
            Slip(
                "L taken as a whole rectangle",
                long * deep / 1e6,
                "You multiplied the two longest walls: that is the rectangle round the L. Cut it in two first.",
            ),
            Slip(
                "corner of the L left out",
                at_foot + above - corner,
                "You left the corner out of both rectangles. It belongs to one of them: draw the cut and shade each "
                "part.",
            ),
        ),
        hint="Draw one straight cut across the inner corner. Two rectangles are left; no spot lies in both.",
        worked=(
            f"Cut level with the inner corner. The lower part is {long / 1000:g} m by {foot / 1000:g} m, "
            f"{at_foot:.2f} m².",
            f"The rest is {leg / 1000:g} m wide and {deep / 1000:g} - {foot / 1000:g} = {(deep - foot) / 1000:g} m "
            "high, "
            f"{above:.2f} m².",
            f"Together {right:.2f} m².",
        ),
        sketch=lambda: room_sketch(room, "An L-shaped room with four walls measured.", walls=walls),
        worked_sketch=lambda: room_sketch(
            room,
            "The L cut in two, each part with its area.",
            walls=walls,
            notes=((long / 2, foot / 2, f"{at_foot:.2f} m²"), (leg / 2, (foot + deep) / 2, f"{above:.2f} m²")),
            cut=(0, foot, leg, foot),
        ),
    )


def packs_to_order(draw: random.Random) -> Exercise:
    """Packs for an area with a spare."""
    area = draw.randrange(900, 3600) / 100
    percent = draw.choice((5, 8, 10, 15))
    pack = draw.choice((1.864, 2.131, 2.22, 2.397, 1.243))
    raw = area * (1 + percent / 100) / pack
    right = packs_for_area(area, pack, spare_fraction=percent / 100)
    return Exercise(
        title="How many packs?",
        grade=1,
        question="A floor is ordered by its area, with a share on top for cutting and damage. Packs are sold whole.",
        figures=(
            ("Net floor", f"{area:.2f} m²"),
            ("Share on top", f"{percent} %"),
            ("One pack covers", f"{pack:g} m²"),
        ),
        asked="How many packs do you order?",
        quantity=Quantity("count", close=0.06, noun="pack"),
        right=right,
        slips=(
            Slip(
                "packs rounded down",
                math.floor(raw),
                "You rounded down: the last boards are then missing on the day. A part of a pack is a whole pack to "
                "buy.",
            ),
            Slip(
                "packs not rounded",
                raw,
                "That is the sum, but packs are whole. Round it, and think which way.",
            ),
            Slip(
                "share on top forgotten",
                packs_for_area(area, pack),
                f"You divided the bare area. The {percent} % for cutting and damage come on top first.",
            ),
        ),
        hint="First the area with its share on top, then divide by what a pack covers. What do you do with the part "
        "left?",
        worked=(
            f"{area:.2f} m² and {percent} % more is {area * (1 + percent / 100):.2f} m².",
            f"Divided by {pack:g} m² a pack that is {raw:.2f}.",
            f"A part of a pack is bought whole: {right} packs.",
        ),
        worked_sketch=lambda: _packs_sketch(area, area * percent / 100, right, pack),
    )


def _packs_sketch(area_m2: float, share_m2: float, packs: int, pack_m2: float) -> Scene:
    """The floor and its share over the packs laid end to end; a square metre is drawn 1000 mm long."""
    needed, each = 1000 * (area_m2 + share_m2), 1000 * pack_m2
    return lines_sketch(
        [
            Line("to order", (Bar(0, 1000 * area_m2, "whole", "floor"), Bar(1000 * area_m2, 1000 * share_m2, "cut"))),
            Line(counted(packs, "pack"), tuple(Bar(each * number, each, "whole") for number in range(packs))),
        ],
        "The floor with its share on top, over as many whole packs as reach that far.",
        marks_at=[(needed, f"{area_m2 + share_m2:.2f} m²")],
    )


def waste_as_a_share(draw: random.Random) -> Exercise:
    """Waste as a fraction of the floor."""
    board_m2 = draw.choice((0.26634, 0.27, 0.222, 0.233))
    in_pack = draw.choice((6, 7, 8, 9))
    packs = draw.randint(7, 16)
    bought = packs * in_pack * board_m2
    net = round(bought / (1 + draw.uniform(0.11, 0.24)), 1)
    needed = math.ceil(net / board_m2) + draw.randint(0, 2)
    split = waste_split(net, board_m2, boards_needed=needed, spares=0, boards_over=packs * in_pack - needed)
    right = split.fraction(split.bought_m2 - split.net_area_m2)
    over = split.bought_m2 - net
    kind = Quantity("fraction", close=0.0011, near=0.0056)
    reasons = (
        Reason("You want to know what the floor costs beyond itself, so the floor stands below the line."),
        Reason(
            "The share is of all that was paid for, so what was bought stands below the line.",
            "waste over what was bought",
            "The next job is ordered from its floor: a share of what was bought can't be put on top of that.",
        ),
        Reason(
            "Either will do: the two shares are the same.",
            "waste over what was bought",
            "They differ, and the more so the larger the waste: work both out once.",
        ),
    )
    return Exercise(
        title="Waste as a share of the floor",
        grade=2,
        question="A floor is laid. You want to know how much more was bought than it covers, to do better next time.",
        figures=(
            ("Net floor", f"{net:g} m²"),
            ("Bought", f"{packs} packs of {in_pack} boards"),
            ("One board", f"{board_m2:g} m²"),
        ),
        asked="How much was bought beyond the floor, as a share of the floor?",
        quantity=kind,
        right=right,
        slips=(
            Slip(
                "waste over what was bought",
                over / split.bought_m2,
                "You divided by what was bought. The share you put on top next time is one of the floor: divide by "
                "that.",
            ),
            Slip(
                "all of it over the floor",
                split.bought_m2 / net,
                "You divided all that was bought by the floor. Take the floor off first: only what is beyond it "
                "counts.",
            ),
            Slip(
                "the floor over all of it",
                net / split.bought_m2,
                "You divided the floor by what was bought: that is the part used. Ask for the part beyond the floor.",
            ),
        ),
        hint="First the area bought, then what of it is beyond the floor. Then decide which figure goes below the "
        "line.",
        worked=(
            f"{packs} x {in_pack} boards of {board_m2:g} m² are {bought:.2f} m².",
            f"Beyond the floor: {bought:.2f} - {net:g} = {over:.2f} m².",
            f"{over:.2f} / {net:g} = {right:.3f}, which is {kind.shown(right)}.",
        ),
        reasons=shuffled(draw, reasons),
        why_asked="What stands below the line, and why?",
        sketch=lambda: lines_sketch(
            [Line("bought", (Bar(0, 1000 * bought, "cut"),)), Line("floor", (Bar(0, 1000 * net, "whole"),))],
            "Two bars: the area bought, longer, over the area of the floor.",
        ),
        worked_sketch=lambda: lines_sketch(
            [
                Line("bought", (Bar(0, 1000 * bought, "cut", f"{bought:.2f} m²"),)),
                Line("floor", (Bar(0, 1000 * net, "whole", f"{net:g} m²"),)),
                Line("beyond", (Bar(1000 * net, 1000 * over, "waste", f"{100 * right:.1f} %"),)),
            ],
            "The area bought, the floor, and what lies beyond it.",
        ),
    )
