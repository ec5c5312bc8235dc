"""A fitter's own quote as a sheet: its lines, what it leaves out, what is often forgotten, hours and calendar."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import pandas as pd

from flooring_kit.checks import counted
from flooring_kit.html_parts import heading_html, sentences_html, table_html
from flooring_kit.labour import hours_in_words
from flooring_kit.quoted import Quote
from flooring_kit.tables import records
from flooring_kit.whole_price import WholePrice

LINE_HEADS = ("for", "what", "how many", "unit", "price of one", "price", "where it comes from")
HOUR_HEADS = ("operation", "how much", "hours", "share", "basis")
NOT_PRICED = "price to be told"


def whole_price_html(whole: WholePrice) -> str:
    """Every line of a room with its reason, and the sum: need, spares and rounding apart.

    Parameters
    ----------
    whole
        As from :func:`flooring_kit.whole_price`.
    """
    rows = [
        (
            line.group,
            line.item,
            f"{line.quantity:g}",
            line.unit,
            NOT_PRICED if line.unit_price is None else f"{whole.currency}{line.unit_price:,.2f}",
            "" if line.amount is None else whole.money(line.amount),
            line.why,
        )
        for line in whole.lines
    ]
    sums = [
        f"Before tax {whole.money(whole.before_tax)}, tax {whole.money(whole.tax)} "
        f"({round(whole.tax_fraction * 100, 4):g} %, once on the sum).",
        whole.sentence(),
    ]
    return table_html(LINE_HEADS, rows, label="Every line of the price") + sentences_html(sums)


def quote_to_send_html(quote: Quote) -> str:
    """The quote as a customer gets it: lines, sum, tax, what it leaves out, until when it holds.

    Parameters
    ----------
    quote
        As from :func:`flooring_kit.own_quote.own_quote`.
    """
    rows = [
        (
            line.item,
            "" if line.quantity is None else f"{line.quantity:g}",
            line.unit,
            NOT_PRICED if line.unit_price is None else f"{quote.currency}{line.unit_price:,.2f}",
            "" if line.amount is None else f"{quote.currency}{line.amount:,.2f}",
        )
        for line in quote.lines
    ]
    sums = [
        f"{name} {quote.currency}{value:,.2f}"
        for name, value in (("Sum", quote.subtotal), ("Tax", quote.tax), ("To pay", quote.total))
        if value is not None
    ]
    told = [f"{'; '.join(sums)}.", f"This quote holds until {quote.valid_until}.", *quote.notes]
    return (
        table_html(LINE_HEADS[1:6], rows, label=f"Lines of {quote.name}")
        + sentences_html(told)
        + heading_html("Not included")
        + sentences_html(list(quote.excludes))
    )


def hours_html(hours: pd.DataFrame) -> str:
    """Hours by operation with their basis, and where they go.

    Parameters
    ----------
    hours
        As from :func:`flooring_kit.work.work_hours`.
    """
    rows = [
        (
            row.operation,
            f"{row.quantity:.4g} {row.unit}",
            f"{row.low_h:.1f} to {row.high_h:.1f}",
            f"{100 * row.share:.0f} %",
            row.basis,
        )
        for row in records(hours)
    ]
    return sentences_html([hours_in_words(hours)]) + table_html(HOUR_HEADS, rows, label="Hours by operation")


def calendar_html(calendar: pd.DataFrame, *, laying_day: date, today: date) -> str:
    """What has to happen on which day, and the first day of laying that still leaves time for all of it.

    Parameters
    ----------
    calendar
        As from :func:`flooring_kit.laying_calendar.laying_calendar`.
    laying_day, today
        The day it counts back from, and the day it is looked at.
    """
    rows = [(_shown_day(row.day), row.what, row.why) for row in records(calendar)]
    late = [number for number, row in enumerate(records(calendar)) if row.day < today]
    told = []
    if late:
        first = laying_day + (today - min(calendar["day"]))
        are = "is" if len(late) == 1 else "are"
        told.append(
            f"{counted(len(late), 'day')} of these {are} past already: with everything begun today, laying could start "
            f"on {_shown_day(first)}."
        )
    table = table_html(("day", "what", "why"), rows, label="Calendar back from the day of laying", marked=late)
    return table + sentences_html(told)


def _shown_day(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b %Y}"


def forgotten_html(told: Sequence[str]) -> str:
    """Lines often forgotten, as sentences; a word that there are none.

    Parameters
    ----------
    told
        As from :func:`flooring_kit.own_quote.often_forgotten`.
    """
    return sentences_html(list(told) or ["The survey gives no reason to ask for one of the usual ones."])
