"""A quote's quantities against the survey: units mixed up, areas of boards and of everything counted by the m²."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from decimal import Decimal

from flooring_kit.answers import Estimate, two_areas
from flooring_kit.checks import counted
from flooring_kit.findings import Finding
from flooring_kit.products import Underlay
from flooring_kit.quote_subjects import AREA_UNITS, LENGTH_UNITS, PACK_UNITS, is_counted_in, named_product, subject_of
from flooring_kit.quoted import Quote, QuoteLine

NEAR_FRACTION = 0.12
"""How near two quantities are taken as meant to be the same."""

MOST_OVERAGE_FRACTION = 0.20
"""Boards over the floor beyond which it is worth asking, whatever the room loses. Common practice, no source."""

MOST_OVER_ROOM = {"underlay": 0.25, "membrane": 0.45, "disposal": 0.15, "work": 0.15}
"""How far over the room an area may be before it is worth asking: scraps, laps and upstands. From memory."""

LEAST_OF_FLOOR = {"underlay": 0.90, "membrane": 0.90}
"""Share of the floor that must be covered at least; of an old covering or of work a part may be all that is asked."""


def unit_findings(quote: Quote, estimate: Estimate, trim_lengths: float) -> list[Finding]:
    """Metres priced as lengths, and packs counted as m².

    Parameters
    ----------
    quote
        The quote.
    estimate
        The take-off of the room with the quote's board.
    trim_lengths
        Lengths of trim in the kit's whole price.
    """
    found = []
    metres, area = estimate.take_off.trim_m, estimate.net_area_m2
    packs = estimate.take_off.boards.packs
    for line in quote.lines:
        if line.quantity is None:
            continue
        quantity, subject = float(line.quantity), subject_of(line)
        if subject == "trims" and is_counted_in(line, LENGTH_UNITS) and trim_lengths:
            if _near(quantity, metres) and not _near(quantity, trim_lengths):
                found.append(
                    _mixed(
                        line,
                        "metres priced as lengths",
                        f"{counted(round(trim_lengths), 'length')} for {metres:.1f} m",
                        "The room has about that many metres of trim; lengths are over two metres each.",
                        "are these metres or lengths, and at which price each?",
                    )
                )
        elif subject == "boards":
            as_packs = is_counted_in(line, PACK_UNITS) and _near(quantity, area) and not _near(quantity, packs)
            as_area = is_counted_in(line, AREA_UNITS) and quantity == packs and not _near(quantity, area)
            if as_packs or as_area:
                found.append(
                    _mixed(
                        line,
                        "m² priced as packs" if as_packs else "packs priced as m²",
                        f"{counted(packs, 'pack')} for {area:.2f} m²",
                        "A pack covers more than a m²; the room tells which of the two was meant.",
                        "are these packs or m², and at which price each?",
                    )
                )
    return found


def _mixed(line: QuoteLine, what: str, expected: str, reason: str, question: str) -> Finding:
    says = f"{line.item}: {line.quantity} {line.unit} looks like {what}."
    return Finding("ask first", line.row, says, expected, reason, question)


def _near(one: float, other: float) -> bool:
    return other > 0 and abs(one / other - 1) <= NEAR_FRACTION


def area_findings(
    quote: Quote, estimate: Estimate, underlays: Mapping[str, Underlay], unclear_rows: Collection[int | None]
) -> list[Finding]:
    """Boards, and whatever else is counted by area, against the room.

    Parameters
    ----------
    quote
        The quote.
    estimate
        The take-off of the room with the quote's board.
    underlays
        Underlays by whose names the quote's own is known, for what its packs hold.
    unclear_rows
        Rows asked about already, since their unit may be another: what area they are is not known.
    """
    boards = [line for line in quote.lines if subject_of(line) == "boards"]
    found = [] if any(line.row in unclear_rows for line in boards) else _boards(boards, estimate)
    underlay = named_product(quote, underlays)
    pack_m2 = {"underlay": None if underlay is None else underlay.pack_area_m2}
    for subject in MOST_OVER_ROOM:
        lines = [line for line in quote.lines if subject_of(line) == subject]
        parts = [[line] for line in lines] if subject == "work" else [lines]  # each work is done on the whole floor
        for part in parts:
            found += _by_area(subject, part, estimate, pack_m2.get(subject))
    return found


def _areas_of(lines: Collection[QuoteLine], pack_m2: float | None) -> tuple[list[QuoteLine], float]:
    """The lines that say an area, in m² or in packs of a known one, and the area in all [m²]."""
    told, area = [], Decimal(0)
    for line in lines:
        holds = 1.0 if is_counted_in(line, AREA_UNITS) else pack_m2 if is_counted_in(line, PACK_UNITS) else None
        if line.quantity is not None and holds is not None:
            told.append(line)
            area += line.quantity * Decimal(str(holds))
    return told, float(area)


def _where(lines: list[QuoteLine]) -> tuple[int | None, str]:
    """The row and the words of one line; of several their number."""
    if len(lines) == 1:
        return lines[0].row, lines[0].item
    return None, f"{counted(len(lines), 'line')} together"


def _boards(lines: Collection[QuoteLine], estimate: Estimate) -> list[Finding]:
    """Boards against the floor: area added twice, too few, far more than the room loses."""
    net, pack_m2, loss = estimate.net_area_m2, estimate.plan.board.pack_area_m2, estimate.take_off.waste
    told, area = _areas_of(lines, pack_m2)
    if not told:
        return []
    need, over = 1 + loss.fraction(loss.cutting_loss_m2), area / net - 1
    in_packs = estimate.take_off.boards.packs * pack_m2
    reason = f"This room loses {need - 1:.1%} in cutting, by a plan that can be shown."
    too_much = over > max(MOST_OVERAGE_FRACTION, need - 1 + 0.10) and area > in_packs + 0.5 * pack_m2
    weight = "ask first"
    if too_much and (_near(area, 2 * net) or _near(area, 2 * net * need)):
        says = "is about twice the floor: an area may be added twice"
        reason += f" {two_areas(estimate.room).sentence()}"
    elif area < net * need - 0.5 * pack_m2:
        says = f"is {over:+.0%} on the floor, less than it is sawn from"
    elif too_much:
        says, weight = f"is {over:+.0%} on the floor", "worth asking"
    else:
        return []
    row, item = _where(told)
    expected = f"{in_packs:.1f} m² in whole packs, {net:.2f} m² of floor"
    question = "how was the area measured, and what is allowed for waste?"
    return [Finding(weight, row, f"{item}: {area:.1f} m² of boards {says}.", expected, reason, question)]


def _by_area(subject: str, lines: Collection[QuoteLine], estimate: Estimate, pack_m2: float | None) -> list[Finding]:
    """One thing counted by the m² against the room; in packs two more than it takes are no fault."""
    told, area = _areas_of(lines, pack_m2)
    if not told:
        return []
    room, net = estimate.room_area_m2, estimate.net_area_m2
    in_packs = any(is_counted_in(line, PACK_UNITS) for line in told)
    spare = 2 * (pack_m2 or 0.0) if in_packs else 0.0
    weight = "worth asking"
    if not in_packs and (_near(area, 2 * room) or _near(area, 2 * net)):
        says, weight = "is about twice the room: an area may be added twice", "ask first"
    elif area > room * (1 + MOST_OVER_ROOM[subject]) + spare:
        says = f"is {area / room - 1:+.0%} on the room"
    elif area < net * LEAST_OF_FLOOR.get(subject, 0.0):
        says = f"is {area / net - 1:+.0%} on the floor, less than there is to cover"
    else:
        return []
    row, item = _where(told)
    return [
        Finding(
            weight,
            row,
            f"{item}: {area:.1f} m² {says}.",
            f"{room:.2f} m² inside the skirting",
            two_areas(estimate.room).sentence(),
            "how was the area measured?",
        )
    ]
