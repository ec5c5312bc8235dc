"""A quote checked line by line: arithmetic, units, areas, what is missing or does not fit, each with a question to ask.

Findings are fair: a figure that differs has a reason more often than not, and the question is how to learn it. Nothing
here judges the person who quoted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import lru_cache

import pandas as pd

from flooring_kit.answers import Estimate, estimate_of_plan
from flooring_kit.edges import too_narrow_sentences, trim_cover
from flooring_kit.findings import WEIGHTS, Finding
from flooring_kit.lump_sums import is_lump_sum, lump_sum_findings, lump_sum_range
from flooring_kit.products import Board, Catalogue
from flooring_kit.quote_areas import area_findings, unit_findings
from flooring_kit.quote_subjects import SUBJECT_WORDS, named_product, names_subject, subject_of
from flooring_kit.quote_sums import (
    amount_of,
    arithmetic_findings,
    sum_findings,
    tax_among_lines,
    tax_not_named,
    to_pay,
)
from flooring_kit.quoted import Quote
from flooring_kit.setting_out import FirstRow, Plan, Search, set_out
from flooring_kit.suitability import misfits
from flooring_kit.whole_price import WholePrice

THE_KIT = "the kit"


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
    own = _with_quotes_board(quote, estimate, catalogue)
    sums = [*sum_findings(quote, whole.currency), *tax_among_lines(quote), *tax_not_named(quote)]
    if is_lump_sum(quote):
        subjects = _wanted(own, whole, catalogue)
        found = lump_sum_findings(quote, lump_sum_range(own, whole, catalogue), subjects)
    else:
        lengths = sum(line.quantity for line in whole.lines if line.group == "trims")
        units = unit_findings(quote, own, lengths)
        unclear = {finding.row for finding in units}
        found = [
            *arithmetic_findings(quote),
            *units,
            *area_findings(quote, own, catalogue.underlays if catalogue else {}, unclear),
            *_missing(quote, own, whole, catalogue),
            *_fire_doors(quote, own, catalogue),
            *_misfits(quote, own, catalogue),
        ]
    found += [*sums, *_validity(quote, today)]
    return sorted(found, key=lambda finding: (WEIGHTS.index(finding.weight), finding.row or 0))


def _with_quotes_board(quote: Quote, estimate: Estimate, catalogue: Catalogue | None) -> Estimate:
    """The take-off with the board the quote names: its packs hold other boards, and it is sawn otherwise."""
    board = named_product(quote, catalogue.boards) if catalogue else None
    if board is None or catalogue is None or board == estimate.plan.board:
        return estimate
    plan = _quick_plan(estimate.plan, board)
    choices = estimate.choices
    materials = replace(choices.materials, board=board.name)
    return estimate_of_plan(plan, replace(choices, materials=materials), catalogue)


@lru_cache(maxsize=32)
def _quick_plan(plan: Plan, board: Board) -> Plan:
    return set_out(
        plan.room,
        board,
        rules=plan.rules,
        direction=plan.direction_degrees,
        first_row=FirstRow(plan.start),
        search=Search(quick=True),
    )


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
    if any(names_subject(line, "membrane") for line in quote.lines):
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
    leaves = estimate.leaves_too_low(catalogue.bars.values() if catalogue else ())
    if not leaves["fire_door"].all():
        wanted.append("door easing")
    if any(each.gap_mm > 3 for each in estimate.room.straightedges):
        wanted.append("preparation")
    return wanted


def _fire_doors(quote: Quote, estimate: Estimate, catalogue: Catalogue | None) -> list[Finding]:
    """Fire doors that will not clear and of which the quote says nothing: no figure to cut, only whom to ask."""
    said = " ".join([*(line.item for line in quote.lines), *quote.excludes]).lower()
    if "fire door" in said:
        return []
    leaves = estimate.leaves_too_low(catalogue.bars.values() if catalogue else ())
    return [
        Finding(
            "worth asking",
            None,
            f"The leaf {estimate.room.doors[door - 1].name} will not clear the new floor, and it is a fire door.",
            "",
            "Cutting a fire door can end its certificate: its maker says what may come off, if anything.",
            "who sees to the fire door, and on whose word?",
        )
        for door in leaves.loc[leaves["fire_door"].astype(bool), "door"]
    ]


def _misfits(quote: Quote, estimate: Estimate, catalogue: Catalogue | None) -> list[Finding]:
    """What of the quote's own products does not suit the room; the kit's where the quote names none it knows."""
    board, underlay, trim = estimate.plan.board, estimate.underlay, estimate.trim
    if catalogue is not None:
        board = named_product(quote, catalogue.boards) or board
        underlay = named_product(quote, catalogue.underlays) or underlay
        trim = named_product(quote, catalogue.trims) or trim
    told = misfits(estimate.room, board, underlay, trim)
    if trim is not None:
        told += too_narrow_sentences(trim, trim_cover(estimate.plan, trim))
    reason = "It comes from the survey and the products' own figures."
    return [Finding("ask first", None, words, "", reason, "what would you fit instead?") for words in told]


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
        says, reason = f"The quote is valid {quote.valid_until!r}.", "No last day can be counted from that."
        return [Finding("good to know", None, says, "", reason, "from which day on, and until when does it hold?")]
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
        One row a subject (index), one column a quote, and "the kit"; 0 where a quote has no line for it; then the row
        "in all", before tax, and the row "to pay", with whatever tax there is. Each in its own currency.
    """
    subjects = list(dict.fromkeys([*whole.by_group(), *SUBJECT_WORDS, "other"]))
    columns = {}
    for name, quote in zip(column_names(quotes), quotes, strict=True):
        sums = dict.fromkeys(subjects, Decimal(0))
        for line in quote.lines:
            sums[subject_of(line)] += amount_of(line) or Decimal(0)
        columns[name] = sums
    columns[THE_KIT] = {subject: whole.by_group().get(subject, Decimal(0)) for subject in subjects}
    table = pd.DataFrame({name: {key: float(value) for key, value in sums.items()} for name, sums in columns.items()})
    table = table[(table != 0).any(axis=1)]
    table.loc["in all"] = table.sum()
    table.loc["to pay"] = [*(float(to_pay(quote)) for quote in quotes), float(whole.with_tax)]
    return table


def column_names(quotes: Sequence[Quote]) -> list[str]:
    """A name for every quote, numbered where two have the same."""
    names: list[str] = []
    for quote in quotes:
        alike = sum(other.name == quote.name for other in quotes[: len(names)])
        names.append(f"{quote.name} ({alike + 1})" if alike else quote.name)
    return names


def column_signs(quotes: Sequence[Quote], whole: WholePrice) -> dict[str, str]:
    """Currency sign of every column of :func:`quotes_side_by_side`; the kit's where a quote has none."""
    signs = [quote.currency or whole.currency for quote in quotes]
    return {**dict(zip(column_names(quotes), signs, strict=True)), THE_KIT: whole.currency}
