"""A quote's findings as a sheet to print and take along, and quotes side by side on one basis."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from flooring_kit.checks import counted, numbered
from flooring_kit.findings import WEIGHTS, Finding
from flooring_kit.html_parts import heading_html, sentences_html, sheet_html, table_html
from flooring_kit.quoted import Quote

FINDING_HEADS = ("weight", "row", "what was found", "expected", "why", "ask the fitter")
FAIR_WORDS = (
    "A figure that differs has a reason more often than not. Each question is how to learn it; none of it says "
    "anything about the person who quoted."
)
NONE_FOUND = (
    "Nothing to ask: what the quote says agrees with the survey and with the kit's own take-off. That says nothing "
    "about the quality of the work, or about what was not measured."
)


def quote_sentences(quote: Quote, findings: Sequence[Finding]) -> list[str]:
    """What a quote is, and how much there is to ask about it.

    Parameters
    ----------
    quote
        The quote as read.
    findings
        What was found in it.
    """
    told = [_what_it_is(quote)]
    if quote.excludes:
        told.append(f"It leaves out, in its own words: {'; '.join(quote.excludes)}.")
    if not findings:
        return [*told, NONE_FOUND]
    weights = [finding.weight for finding in findings]
    by_weight = ", ".join(f"{weight}: {weights.count(weight)}" for weight in WEIGHTS if weight in weights)
    rows = sorted({finding.row for finding in findings if finding.row is not None})
    about = f" about {numbered('row', rows)}" if len(rows) else ""
    return [*told, f"{counted(len(findings), 'finding')}{about} ({by_weight}).", FAIR_WORDS]


def quote_html(quote: Quote, findings: Sequence[Finding], side_by_side: pd.DataFrame | None = None) -> str:
    """The sheet: what the quote is, its findings by weight, what could not be read, and quotes side by side.

    Parameters
    ----------
    quote
        The quote as read.
    findings
        What was found in it, the weightiest first.
    side_by_side
        As from :func:`flooring_kit.quotes.quotes_side_by_side`; left out where None.
    """
    parts = heading_html(f"Quote: {quote.name}") + sentences_html(quote_sentences(quote, findings))
    if findings:
        rows = [
            (each.weight, each.row or "", each.says, each.expected, each.reason, each.question) for each in findings
        ]
        marked = [number for number, each in enumerate(findings) if each.weight == WEIGHTS[0]]
        parts += table_html(FINDING_HEADS, rows, label=f"Findings in the quote {quote.name}", marked=marked)
    if quote.notes:
        parts += heading_html("What could not be read, or was left out") + sentences_html(list(quote.notes))
    if side_by_side is not None:
        parts += heading_html("Side by side, before tax") + side_by_side_html(side_by_side, quote.currency)
    return sheet_html(parts)


def side_by_side_html(table: pd.DataFrame, currency: str = "£") -> str:
    """Quotes on one basis, a row a subject; "none" where a quote has no line for it.

    Parameters
    ----------
    table
        As from :func:`flooring_kit.quotes.quotes_side_by_side`.
    currency
        Sign put before amounts.
    """
    rows = [
        (subject, *(f"{currency}{value:,.2f}" if value else "none" for value in sums))
        for subject, sums in zip(table.index, table.to_numpy().tolist(), strict=True)
    ]
    heads = ("what for", *map(str, table.columns))
    return table_html(heads, rows, label="Quotes side by side, before tax", marked=[len(rows) - 1])


def _what_it_is(quote: Quote) -> str:
    told = counted(len(quote.lines), "line")
    if quote.total is not None:
        told += f", {quote.currency}{quote.total:,.2f} to pay"
    return f"{told}, valid until {quote.valid_until}." if quote.valid_until else f"{told}; no day it is valid until."
