"""A quote's findings as a sheet to print and take along, and quotes side by side on one basis."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape

import pandas as pd

from flooring_kit.checks import counted, numbered
from flooring_kit.findings import WEIGHTS, Finding
from flooring_kit.html_parts import heading_html, sentences_html, sheet_html, table_html
from flooring_kit.quoted import Quote

LIST = "margin:4px 0 8px;padding-left:24px;font-size:14px;line-height:1.45;max-width:760px"
FAIR_WORDS = (
    "A figure that differs has a reason more often than not. Each question is how to learn it; none of it says "
    "anything about the person who quoted."
)
BASIS = (
    'Lines stand as the quotes write them and "in all" adds them up, before tax unless the prices hold it already; '
    '"to pay" is the total, with whatever tax is named.'
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


def quote_html(
    quote: Quote,
    findings: Sequence[Finding],
    side_by_side: pd.DataFrame | None = None,
    signs: Mapping[str, str] | None = None,
) -> str:
    """The sheet: what the quote is, its findings by weight, what could not be read, and quotes side by side.

    Parameters
    ----------
    quote
        The quote as read.
    findings
        What was found in it, the weightiest first.
    side_by_side
        As from :func:`flooring_kit.quotes.quotes_side_by_side`; left out where None.
    signs
        Currency sign of each of its columns; the quote's own where None.
    """
    parts = heading_html(f"Quote: {quote.name}") + sentences_html(quote_sentences(quote, findings))
    if findings:
        parts += f"<ol style='{LIST}'>{''.join(map(_finding_html, findings))}</ol>"
    if quote.notes:
        parts += heading_html("What could not be read, or was left out") + sentences_html(list(quote.notes))
    if side_by_side is not None:
        parts += heading_html("Side by side")
        parts += side_by_side_html(side_by_side, signs or dict.fromkeys(side_by_side.columns, quote.currency))
    return sheet_html(parts)


def _finding_html(finding: Finding) -> str:
    """One finding to read on a phone or at arm's length: what, expected, why, and the question to put."""
    row = f", row {finding.row}" if finding.row is not None else ""
    parts = [("Expected", finding.expected), ("Why", finding.reason), ("Ask", finding.question)]
    lines = "".join(f"<br><b>{name}:</b> {escape(words)}" for name, words in parts if words)
    head = f"<b>{escape(finding.weight.capitalize())}{row}.</b> {escape(finding.says)}"
    return f"<li style='margin:0 0 10px;break-inside:avoid'>{head}{lines}</li>"


def side_by_side_html(table: pd.DataFrame, signs: Mapping[str, str]) -> str:
    """Quotes on one basis, a row a subject; "none" where a quote has no line for it.

    Parameters
    ----------
    table
        As from :func:`flooring_kit.quotes.quotes_side_by_side`.
    signs
        Currency sign of each column, as from :func:`flooring_kit.quotes.column_signs`.
    """
    before = [signs[name] for name in table.columns]
    rows = [
        (subject, *(f"{sign}{value:,.2f}" if value else "none" for sign, value in zip(before, sums, strict=True)))
        for subject, sums in zip(table.index, table.to_numpy().tolist(), strict=True)
    ]
    heads = ("what for", *map(str, table.columns))
    in_all = [len(rows) - 2, len(rows) - 1]
    return table_html(heads, rows, label="Quotes side by side", marked=in_all) + sentences_html([BASIS])


def _what_it_is(quote: Quote) -> str:
    told = counted(len(quote.lines), "line")
    if quote.total is not None:
        told += f", {quote.currency}{quote.total:,.2f} to pay"
    return f"{told}, valid until {quote.valid_until}." if quote.valid_until else f"{told}; no day it is valid until."
