"""Exercises on money: a rate built up for a square metre, and a quote with a mistake in it."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from decimal import Decimal

from flooring_kit.drawing import Scene
from flooring_kit.labour import RateLine, rate
from flooring_kit.pricing import amount
from flooring_kit.wastage import packs_for_area
from flooring_kit.workbook.exercise import Exercise, Reason, Slip, shuffled
from flooring_kit.workbook.quantities import Quantity
from flooring_kit.workbook.sketches import Bar, Line, lines_sketch

PACK_M2 = 2.131
TAX_PERCENT = 20


def rate_for_a_square_metre(draw: random.Random) -> Exercise:
    """Price of a square metre, laid."""
    hours = draw.choice((0.25, 0.3, 0.35, 0.4, 0.45))
    wage = draw.randrange(1900, 3600, 5) / 100
    waste = draw.choice((5, 7, 10))
    board = draw.randrange(1500, 4200, 7) / 100
    underlay = draw.randrange(180, 620, 3) / 100
    factor = 1 + waste / 100

    def built(*, share: float = factor, hourly: float = hours, with_underlay: bool = True) -> float:
        lines = [RateLine(hourly, wage), RateLine(share, board)]
        return float(rate([*lines, RateLine(share, underlay)] if with_underlay else lines))

    right = built()
    parts = (amount(hours, wage), amount(factor, board), amount(factor, underlay))
    return Exercise(
        title="A rate for a square metre",
        grade=2,
        question="You build up what a square metre costs, laid: time, board, underlay. Board and underlay are used "
        "with a "
        "share on top for cutting. Each line is rounded to a penny, then the lines are added. Tax is left out.",
        figures=(
            ("Time", f"{hours:g} h a square metre"),
            ("An hour", f"£{wage:.2f}"),
            ("Board", f"£{board:.2f} a square metre"),
            ("Underlay", f"£{underlay:.2f} a square metre"),
            ("Share on top for cutting", f"{waste} %"),
        ),
        asked="What does a square metre cost?",
        quantity=Quantity("money", close=0.011, near=0.06),
        right=right,
        slips=(
            Slip(
                "cutting left out",
                built(share=1.0),
                "You priced the bare square metre. Board and underlay are cut: add the share.",
            ),
            Slip(
                "share added to the time as well",
                built(hourly=hours * factor),
                "You put the share on the time too. It is for material cut away; the square metre is laid once.",
            ),
            Slip(
                "underlay left out",
                built(with_underlay=False),
                "The underlay is missing: go through the lines one by one.",
            ),
            Slip(
                "an hour for every square metre",
                built(hourly=1.0),
                "You took a whole hour for each square metre. Multiply the time by the price of an hour.",
            ),
        ),
        hint="Three lines: time by the hour, board with its share, underlay with its share. Round each, then add.",
        worked=(
            f"Time: {hours:g} x {wage:.2f} = £{parts[0]}.",
            f"Board: {factor:g} x {board:.2f} = £{parts[1]}. Underlay: {factor:g} x {underlay:.2f} = £{parts[2]}.",
            f"{parts[0]} + {parts[1]} + {parts[2]} = £{right:,.2f}.",
        ),
        worked_sketch=lambda: _rate_sketch(dict(zip(("time", "board", "underlay"), parts, strict=True))),
    )


def _rate_sketch(parts: dict[str, Decimal]) -> Scene:
    """Each line of a rate as a bar that begins where the one before it ends, then all of them; a pound is 1 mm long."""
    lines, at = [], Decimal("0.00")
    for name, price in parts.items():
        lines.append(Line(f"{name} £{price}", (Bar(float(at), float(price), "cut"),)))
        at += price
    lines.append(Line(f"together £{at}", (Bar(0, float(at), "whole"),)))
    return lines_sketch(lines, "The lines of the rate one after another, and what they come to.")


@dataclass(frozen=True)
class _Row:
    """A line of the quote."""

    item: str
    quantity: float
    unit: str
    unit_price: float
    amount: Decimal

    @property
    def shown(self) -> str:
        return f"{self.quantity:g} {self.unit} at £{self.unit_price:,.2f}: £{self.amount:,.2f}"


def _row(item: str, quantity: float, unit: str, unit_price: float) -> _Row:
    return _Row(item, quantity, unit, unit_price, amount(quantity, unit_price))


MISTAKES = (
    "quantity times price does not give the amount",
    "the trim's metres are priced as if each were a length",
    "there are too few packs of board for the floor and its share",
    "two layers of underlay are charged",
    "tax is taken on tax",
)


def quote_with_a_mistake(draw: random.Random) -> Exercise:
    """Which row of a quote is wrong, and how."""
    area, share = draw.randrange(1200, 2800) / 100, 8
    packs = packs_for_area(area, PACK_M2, spare_fraction=share / 100)
    metres = draw.randrange(12, 26)
    lengths = -(-metres * 10 // 24)
    hours = draw.randrange(10, 26)
    rows = [
        _row("boards, 2.131 m² a pack", packs, "packs", draw.randrange(3200, 6900, 5) / 100),
        _row("underlay", round(area, 2), "m²", draw.randrange(210, 480, 5) / 100),
        _row(f"trim, {metres} m by 2.4 m lengths", lengths, "lengths", draw.randrange(420, 980, 5) / 100),
        _row("fitting", hours, "hours", draw.randrange(2200, 3800, 50) / 100),
    ]
    sound = [row.amount for row in rows]
    wrong, mistake = _spoilt(draw, rows, area=area, metres=metres)
    before = sum((row.amount for row in rows), Decimal("0.00"))
    tax = amount(before, TAX_PERCENT / 100)
    sound.append(tax)
    if wrong == 4:
        tax = amount(before + tax, TAX_PERCENT / 100)
    rows.append(_Row(f"tax, {TAX_PERCENT} % on A to D", 1, "sum", float(tax), tax))
    kind = Quantity("choice", noun="row", options=5)
    says = (
        "The packs cover the floor and its share.",
        "One layer, as much as the floor.",
        f"{metres} m in lengths of 2.4 m are {lengths}.",
        "Its quantity, price and amount agree.",
        "Tax is worked once, on the four rows.",
    )
    told = f"The mistake: {mistake}."
    return Exercise(
        title="A quote with a mistake",
        grade=3,
        question=f"A quote for a floor of {area:.2f} m², boards with {share} % on top, on one layer of underlay. One "
        "row is "
        "wrong, perhaps by a slip of the pen. Find it, so that you can ask about it.",
        figures=tuple(
            (f"{'ABCDE'[place]} · {row.item}", _tax_shown(row) if place == 4 else row.shown)
            for place, row in enumerate(rows)
        ),
        asked="Which row is wrong?",
        quantity=kind,
        right=float(wrong),
        slips=tuple(
            Slip(f"right row taken for wrong, {'ABCDE'[place]}", float(place), f"That row is right. {says[place]}")
            for place in range(5)
            if place != wrong
        ),
        hint="Multiply every row out. Then ask of each quantity whether the floor needs so much, in that unit. Tax "
        "comes last.",
        worked=(
            "Multiply each row out, compare each quantity with the floor, then work the tax once.",
            f"{told} That is row {'ABCDE'[wrong]}.",
        ),
        reasons=shuffled(
            draw,
            [
                Reason(
                    f"{words[0].upper()}{words[1:]}.",
                    "" if words == mistake else "mistake not found",
                    "That is the reason."
                    if words == mistake
                    else "Work it out once more: in this quote that is in order.",
                )
                for words in MISTAKES
            ],
        ),
        why_asked="What is wrong with it?",
        worked_sketch=lambda: _quoted_sketch("ABCDE"[wrong], rows[wrong].amount, sound[wrong]),
    )


def _quoted_sketch(row: str, quoted: Decimal, worked_out: Decimal) -> Scene:
    """The wrong row as it is quoted over what it should come to; a pound is 1 mm long."""
    return lines_sketch(
        [
            Line("quoted", (Bar(0, float(quoted), "cut", f"£{quoted:,.2f}"),)),
            Line("right", (Bar(0, float(worked_out), "whole", f"£{worked_out:,.2f}"),)),
        ],
        f"Row {row} as it is quoted, and what it should come to.",
    )


def _tax_shown(row: _Row) -> str:
    return f"£{row.amount:,.2f}"


def _spoilt(draw: random.Random, rows: list[_Row], *, area: float, metres: int) -> tuple[int, str]:
    """Plant one mistake among the rows; which row it is in, 4 for the tax to come, and what it is."""
    which = draw.randrange(5)
    if which == 0:
        place = draw.choice((0, 3))
        rows[place] = replace(rows[place], amount=rows[place].amount + draw.choice((10, 90, 100)))
        return place, MISTAKES[0]
    if which == 1:
        rows[2] = _row(rows[2].item, metres, "lengths", rows[2].unit_price)
        return 2, MISTAKES[1]
    if which == 2:
        too_few = int(area / PACK_M2)
        rows[0] = _row(rows[0].item, too_few, "packs", rows[0].unit_price)
        return 0, MISTAKES[2]
    if which == 3:
        rows[1] = _row(rows[1].item, round(2 * area, 2), "m²", rows[1].unit_price)
        return 1, MISTAKES[3]
    return 4, MISTAKES[4]
