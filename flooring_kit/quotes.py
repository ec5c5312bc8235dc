"""A quote checked line by line: arithmetic, units, areas, what is missing or does not fit, each with a question to ask.

Findings are fair: a figure that differs has a reason more often than not, and the question is how to learn it. Nothing
here judges the person who quoted.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from typing import TypeVar

import pandas as pd

from flooring_kit.answers import Estimate
from flooring_kit.checks import counted
from flooring_kit.edges import too_narrow_sentences, trim_cover
from flooring_kit.findings import WEIGHTS, Finding, quoted_money
from flooring_kit.lump_sums import is_lump_sum, lump_sum_findings, lump_sum_range
from flooring_kit.products import Catalogue
from flooring_kit.quoted import Quote, QuoteLine
from flooring_kit.suitability import misfits
from flooring_kit.whole_price import WholePrice

Product = TypeVar("Product")

SUBJECT_WORDS = {
    "underlay": ("underlay", "foam", "fibre board", "fibreboard", "cork roll", "rubber roll"),
    "membrane": ("vapour", "membrane", "dpm", "film"),
    "bars": ("bar", "bars", "threshold", "door strip", "reducer", "ramp"),
    "trims": ("trim", "scotia", "quadrant", "bead", "beading", "moulding"),
    "door easing": ("ease", "easing", "trim door", "plane door", "shave door", "door leaf", "rehang"),
    "preparation": ("level", "levelling", "compound", "prepare", "preparation", "screed repair", "latex"),
    "disposal": ("dispose", "disposal", "uplift", "take up", "waste away", "skip", "remove old", "removal"),
    "furniture": ("furniture", "clear room"),
    "work": ("fit", "fitting", "lay", "laying", "labour", "undercut", "undercutting", "install", "installation"),
    "boards": ("plank", "board", "laminate", "engineered", "oak", "flooring", "vinyl"),
}
"""Words by which a line's subject is known, in the order they are looked for. Common practice, no source."""

TAX_WORDS = ("vat", "tax")
AREA_UNITS = ("m2", "m²", "sqm", "sq m", "square metre", "square metres")
LENGTH_UNITS = ("length", "lengths", "piece", "pieces", "no", "nr", "each", "item")
METRE_UNITS = ("m", "lm", "metre", "metres", "lin m")
PACK_UNITS = ("pack", "packs", "box", "boxes")

CENT = Decimal("0.01")
NEAR_FRACTION = 0.12
"""How near two quantities are taken as meant to be the same."""

MOST_OVERAGE_FRACTION = 0.20
"""Boards over the floor beyond which it is worth asking, whatever the room loses. Common practice, no source."""


def subject_of(line: QuoteLine) -> str:
    """What a line is about, by its words; "other" where none is known.

    The first subject of `SUBJECT_WORDS` with a word in the line is taken.
    """
    return next((subject for subject in SUBJECT_WORDS if _names(line, subject)), "other")


def _names(line: QuoteLine, subject: str) -> bool:
    words = f" {line.item.lower()} "
    return any(f" {word} " in words or f" {word}s " in words or f" {word}," in words for word in SUBJECT_WORDS[subject])


def check_quote(
    quote: Quote,
    estimate: Estimate,
    whole: WholePrice,
    *,
    catalogue: Catalogue | None = None,
    today: date | None = None,
) -> list[Finding]:
    """What is worth asking about a quote, the weightiest first.

    Parameters
    ----------
    quote
        The quote as read or typed.
    estimate, whole
        The kit's own take-off of the room, and its whole price.
    catalogue
        Products by whose names the quote's own are known, so that they are held against the room; None leaves that out.
    today
        The day it is looked at, for its validity; None leaves that out.
    """
    if is_lump_sum(quote):
        expected = lump_sum_range(estimate, whole, catalogue)
        subjects = _wanted(estimate, whole, catalogue)
        found = [
            *lump_sum_findings(quote, expected, subjects),
            *_sums(quote),
            *_tax_among_lines(quote),
            *_validity(quote, today),
        ]
    else:
        found = [
            *_arithmetic(quote),
            *_sums(quote),
            *_units(quote, estimate, whole),
            *_areas(quote, estimate),
            *_missing(quote, estimate, whole, catalogue),
            *_misfits(quote, estimate, catalogue),
            *_validity(quote, today),
            *_tax_among_lines(quote),
            *_tax(quote),
        ]
    return sorted(found, key=lambda finding: (WEIGHTS.index(finding.weight), finding.row or 0))


# ---------------------------------------------------------------------- arithmetic


def _rounded(value: Decimal) -> Decimal:
    return value.quantize(CENT, rounding=ROUND_HALF_UP)


def _arithmetic(quote: Quote) -> list[Finding]:
    found = []
    for line in quote.lines:
        if line.quantity is None or line.unit_price is None or line.amount is None:
            continue
        due = _rounded(line.quantity * line.unit_price)
        if abs(due - line.amount) > CENT:
            found.append(
                Finding(
                    "ask first",
                    line.row,
                    f"{line.item}: {line.quantity} at {quoted_money(quote, line.unit_price)} is charged at "
                    f"{quoted_money(quote, line.amount)}.",
                    quoted_money(quote, due),
                    "Quantity times price gives another sum.",
                    "which of the three figures is the right one?",
                )
            )
    return found


def _sums(quote: Quote) -> list[Finding]:
    found = []
    lines = [line.amount for line in quote.lines if line.amount is not None]
    summed = _rounded(sum(lines, Decimal(0)))
    net = quote.subtotal if quote.subtotal is not None else summed
    if quote.subtotal is not None and abs(quote.subtotal - summed) > CENT * max(1, len(lines)):
        found.append(
            Finding(
                "ask first",
                None,
                f"The lines add up to {quoted_money(quote, summed)}, the quote says "
                f"{quoted_money(quote, quote.subtotal)}.",
                quoted_money(quote, summed),
                "A line may be missing, or counted twice.",
                "which lines make up the sum?",
            )
        )
    tax = (
        quote.tax
        if quote.tax is not None
        else (None if quote.tax_fraction is None else _rounded(net * quote.tax_fraction))
    )
    if quote.total is not None and tax is None and quote.total < net - CENT:
        says = f"The lines add up to {quoted_money(quote, net)}, the total says {quoted_money(quote, quote.total)}."
        reason = "A total below its own lines has a line left out, or a figure changed on the way."
        question = "which of the two is right?"
        found.append(Finding("ask first", None, says, quoted_money(quote, net), reason, question))
    if quote.total is None or tax is None:
        return found
    due = net + tax
    if abs(quote.total - due) <= CENT * 2:
        return found
    fraction = quote.tax_fraction if quote.tax_fraction is not None else (tax / net if net else Decimal(0))
    twice = _rounded(net * (1 + fraction) * (1 + fraction))
    if abs(quote.total - twice) <= CENT * 5:
        says, reason = (
            "Tax seems to be added twice.",
            "The sum with tax, taxed once more, gives the total of the quote.",
        )
    else:
        says = f"Sum and tax make {quoted_money(quote, due)}, the quote says {quoted_money(quote, quote.total)}."
        reason = "Sum and tax give another total."
    found.append(
        Finding("ask first", None, says, quoted_money(quote, due), reason, "how is the total made up of sum and tax?")
    )
    return found


def _tax_among_lines(quote: Quote) -> list[Finding]:
    """A tax row among the lines, and tax on their sum besides."""
    if not (quote.tax or quote.tax_fraction):
        return []
    return [
        Finding(
            "ask first",
            line.row,
            f"{line.item} stands among the lines, and tax is added to their sum besides.",
            "tax once, on the sum",
            "What is taxed already would be taxed twice.",
            "is this line in the sum that tax is taken of?",
        )
        for line in quote.lines
        if line.amount and any(word in line.item.lower().split() for word in TAX_WORDS)
    ]


def _tax(quote: Quote) -> list[Finding]:
    if quote.tax is not None or quote.tax_fraction is not None:
        return []
    return [
        Finding(
            "good to know",
            None,
            "The quote names no tax.",
            "",
            "That is no fault where the fitter is not registered for it.",
            "is this the sum I pay, with whatever tax applies?",
        )
    ]


# ---------------------------------------------------------------------- units and areas


def _is_unit(line: QuoteLine, units: Iterable[str]) -> bool:
    return line.unit.strip().lower().rstrip(".") in units


def _near(one: float, other: float) -> bool:
    return other > 0 and abs(one / other - 1) <= NEAR_FRACTION


def _units(quote: Quote, estimate: Estimate, whole: WholePrice) -> list[Finding]:
    """Metres priced as lengths, and packs counted as m²."""
    found = []
    trims = [line for line in whole.lines if line.group == "trims"]
    lengths = sum(line.quantity for line in trims)
    metres = estimate.take_off.trim_m
    for line in quote.lines:
        if line.quantity is None:
            continue
        quantity, subject = float(line.quantity), subject_of(line)
        as_lengths = _is_unit(line, LENGTH_UNITS)
        if subject == "trims" and as_lengths and lengths and _near(quantity, metres) and not _near(quantity, lengths):
            found.append(
                Finding(
                    "ask first",
                    line.row,
                    f"{line.item}: {line.quantity} {line.unit} looks like metres priced as lengths.",
                    f"{counted(round(lengths), 'length')} for {metres:.1f} m",
                    "The room has about that many metres of trim; lengths are over two metres each.",
                    "are these metres or lengths, and at which price each?",
                )
            )
        packs, area = estimate.take_off.boards.packs, estimate.net_area_m2
        mixed = ""
        if subject == "boards" and _is_unit(line, PACK_UNITS) and _near(quantity, area) and not _near(quantity, packs):
            mixed = "m² priced as packs"
        elif subject == "boards" and _is_unit(line, AREA_UNITS) and quantity == packs and not _near(quantity, area):
            mixed = "packs priced as m²"
        if mixed:
            found.append(
                Finding(
                    "ask first",
                    line.row,
                    f"{line.item}: {line.quantity} {line.unit} looks like {mixed}.",
                    f"{counted(packs, 'pack')} for {area:.2f} m²",
                    "A pack covers more than a m²; the room tells which of the two was meant.",
                    "are these packs or m², and at which price each?",
                )
            )
    return found


def _areas(quote: Quote, estimate: Estimate) -> list[Finding]:
    """Boards against the floor: area added twice, too few, far more than the room loses."""
    found = []
    net, board = estimate.net_area_m2, estimate.plan.board
    loss = estimate.take_off.waste
    need = 1 + loss.fraction(loss.cutting_loss_m2)
    for line in quote.lines:
        if line.quantity is None or subject_of(line) != "boards":
            continue
        if _is_unit(line, AREA_UNITS):
            area = float(line.quantity)
        elif _is_unit(line, PACK_UNITS):
            area = float(line.quantity) * board.pack_area_m2
        else:
            continue
        over = area / net - 1
        in_packs = estimate.take_off.boards.packs * board.pack_area_m2
        kit = f"{in_packs:.1f} m² in whole packs, {net:.2f} m² of floor"
        too_much = over > max(MOST_OVERAGE_FRACTION, need - 1 + 0.10) and area > in_packs + 0.5 * board.pack_area_m2
        if too_much and (_near(area, 2 * net) or _near(area, 2 * net * need)):
            says, weight = "is about twice the floor: an area may be added twice", "ask first"
        elif area < net * need - 0.5 * board.pack_area_m2:
            says, weight = f"is {over:+.0%} on the floor, less than it is sawn from", "ask first"
        elif too_much:
            says, weight = f"is {over:+.0%} on the floor", "worth asking"
        else:
            continue
        found.append(
            Finding(
                weight,
                line.row,
                f"{line.item}: {area:.1f} m² of boards {says}.",
                kit,
                f"This room loses {need - 1:.1%} in cutting, by a plan that can be shown.",
                "how was the area measured, and what is allowed for waste?",
            )
        )
    return found


# ---------------------------------------------------------------------- what is missing, what does not fit

WHY_ASKED = {
    "underlay": ("worth asking", "A floating floor lies on an underlay.", "which underlay is included?"),
    "trims": (
        "worth asking",
        "Something must hide the gap at the walls.",
        "which trim is included, or is it left to me?",
    ),
    "membrane": (
        "ask first",
        "A mineral floor wants a vapour sheet.",
        "is a vapour sheet included, or part of the underlay?",
    ),
    "bars": (
        "worth asking",
        "The survey has doorways where another floor begins.",
        "which bars are included, and for which doors?",
    ),
    "door easing": (
        "worth asking",
        "A door leaf will not clear the new floor as it hangs.",
        "who eases the doors, and at which price?",
    ),
    "preparation": (
        "worth asking",
        "The subfloor was read, and it is not flat enough everywhere.",
        "what preparation is included, and on what is it based?",
    ),
    "disposal": ("worth asking", "An old covering comes up.", "who takes the old covering away, and at which price?"),
}
"""Weight, reason and question for every subject a quote may lack."""


def _missing(quote: Quote, estimate: Estimate, whole: WholePrice, catalogue: Catalogue | None) -> list[Finding]:
    found = []
    for subject in subjects_left_open(quote, estimate, whole, catalogue):
        weight, reason, question = WHY_ASKED[subject]
        sums = whole.by_group()
        expected = f"about {whole.currency}{sums[subject]:,.2f} before tax" if subject in sums else ""
        found.append(Finding(weight, None, f"No line for {subject}.", expected, reason, question))
    return found


def subjects_left_open(quote: Quote, estimate: Estimate, whole: WholePrice, catalogue: Catalogue | None) -> list[str]:
    """Subjects that a quote for this room ought to name or to exclude, and does neither."""
    told = {subject_of(line) for line in quote.lines}
    if any(_names(line, "membrane") for line in quote.lines):
        told.add("membrane")  # an underlay may come with its vapour sheet
    excluded = " ".join(quote.excludes).lower()
    return [
        subject
        for subject in _wanted(estimate, whole, catalogue)
        if subject not in told and not any(word in excluded for word in SUBJECT_WORDS[subject])
    ]


def _wanted(estimate: Estimate, whole: WholePrice, catalogue: Catalogue | None) -> list[str]:
    """Subjects that a quote for this room ought to name, or to exclude."""
    groups = whole.by_group()
    wanted = ["underlay", *(subject for subject in ("membrane", "trims", "bars", "disposal") if subject in groups)]
    if (estimate.heights(catalogue.bars.values() if catalogue else ())["ease_mm"] > 0).any():
        wanted.append("door easing")
    if any(each.gap_mm > 3 for each in estimate.room.straightedges):
        wanted.append("preparation")
    return wanted


def _misfits(quote: Quote, estimate: Estimate, catalogue: Catalogue | None) -> list[Finding]:
    """What of the quote's own products does not suit the room; the kit's where the quote names none it knows."""
    board, underlay, trim = estimate.plan.board, estimate.underlay, estimate.trim
    if catalogue is not None:
        board = _named(quote, catalogue.boards) or board
        underlay = _named(quote, catalogue.underlays) or underlay
        trim = _named(quote, catalogue.trims) or trim
    told = misfits(estimate.room, board, underlay, trim)
    if trim is not None:
        told += too_narrow_sentences(trim, trim_cover(estimate.plan, trim))
    reason = "It comes from the survey and the products' own figures."
    return [Finding("ask first", None, words, "", reason, "what would you fit instead?") for words in told]


def _named(quote: Quote, products: Mapping[str, Product]) -> Product | None:
    """The product a quote names, the longest name first; None where it names none of them."""
    for name in sorted(products, key=len, reverse=True):
        if any(name.lower() in line.item.lower() for line in quote.lines):
            return products[name]
    return None


def _validity(quote: Quote, today: date | None) -> list[Finding]:
    if not quote.valid_until:
        return [
            Finding(
                "good to know",
                None,
                "The quote names no day until which it holds.",
                "",
                "Prices move.",
                "until when does it hold?",
            )
        ]
    try:
        until = date.fromisoformat(quote.valid_until)
    except ValueError:
        return []
    if today is None or today <= until:
        return []
    return [
        Finding(
            "worth asking",
            None,
            f"The quote held until {until.isoformat()}.",
            "",
            "It has run out.",
            "does it still hold, and until when?",
        )
    ]


# ---------------------------------------------------------------------- two quotes on one basis


def quotes_side_by_side(quotes: Sequence[Quote], whole: WholePrice) -> pd.DataFrame:
    """Quotes on one basis: what each asks for each subject, before tax, beside the kit's own sum.

    Parameters
    ----------
    quotes
        The quotes, in the order shown.
    whole
        The kit's whole price of the room.

    Returns
    -------
    DataFrame
        One row a subject (index), one column a quote, and "the kit"; 0 where a quote has no line for it; last the row
        "in all".
    """
    subjects = list(dict.fromkeys([*whole.by_group(), *SUBJECT_WORDS, "other"]))
    columns = {}
    for quote in quotes:
        sums = dict.fromkeys(subjects, Decimal(0))
        for line in quote.lines:
            sums[subject_of(line)] += line.amount or Decimal(0)
        columns[quote.name] = sums
    columns["the kit"] = {subject: whole.by_group().get(subject, Decimal(0)) for subject in subjects}
    table = pd.DataFrame({name: {key: float(value) for key, value in sums.items()} for name, sums in columns.items()})
    table = table[(table != 0).any(axis=1)]
    table.loc["in all"] = table.sum()
    return table
