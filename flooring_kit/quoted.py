"""A fitter's quote as it stands on paper: its lines, its sums and its words, nothing worked out and nothing judged."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from flooring_kit.checks import require_between, require_whole, shown

MOST_ROWS = 20_000
"""A quote for one house has far fewer."""


def _require_figure(value: object, name: str) -> None:
    """Pass if the value is a finite Decimal or None: money is never a binary fraction."""
    if value is None:
        return
    if not isinstance(value, Decimal):
        raise ValueError(f"{name} must be a Decimal, or None where the quote gives none, got {shown(value)}.")
    if not value.is_finite():
        raise ValueError(f"{name} must be a finite number, got {value}.")


@dataclass(frozen=True)
class QuoteLine:
    """One line of a quote, as written.

    Parameters
    ----------
    item
        What the line is for, in the fitter's words.
    quantity
        How many [unit], or None where the line doesn't say.
    unit
        What is counted, in the fitter's words: "pack", "m²", "m", "length"; empty where the line doesn't say.
    unit_price
        Price of one unit [currency of the quote], or None.
    amount
        Price of the line [currency of the quote], or None; negative for a discount.
    row
        Where it stands in the file, as a spreadsheet numbers its rows, from 1.
    """

    item: str
    quantity: Decimal | None
    unit: str
    unit_price: Decimal | None
    amount: Decimal | None
    row: int

    def __post_init__(self) -> None:
        _require_figure(self.quantity, "quantity")
        _require_figure(self.unit_price, "unit price")
        _require_figure(self.amount, "amount")
        require_whole(self.row, 1, 10 * MOST_ROWS, "row")


@dataclass(frozen=True)
class Quote:
    """A quote as written.

    Parameters
    ----------
    name
        What it is called: the file's name without its ending.
    lines
        Its lines, in their order. One line for the whole job is a quote too.
    subtotal
        Sum of the lines before tax, as written, or None where there is no such row.
    tax_fraction
        Rate of tax as written, 0.2 for 20 %, 0 to 1; None where no rate is given or two rates differ.
    tax
        Amount of tax, as written, or None; the sum where the quote has several rows of tax below its lines.
    total
        What is to be paid, as written, or None.
    currency
        The currency sign most amounts carry, or empty where none does.
    currencies
        Every sign amounts carry, where they are several.
    valid_until
        The last day the quote holds, "2031-09-30"; its own words where they name no certain day, "30 days"; empty
        where it doesn't say.
    excludes
        What the quote says is not in it, one entry a thing.
    notes
        What could not be read or was left out, each with its row number.
    """

    name: str
    lines: tuple[QuoteLine, ...]
    subtotal: Decimal | None = None
    tax_fraction: Decimal | None = None
    tax: Decimal | None = None
    total: Decimal | None = None
    currency: str = ""
    valid_until: str = ""
    excludes: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    currencies: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for value, name in ((self.subtotal, "subtotal"), (self.tax, "tax"), (self.total, "total")):
            _require_figure(value, name)
        _require_figure(self.tax_fraction, "tax fraction")
        if self.tax_fraction is not None:
            require_between(self.tax_fraction, 0, 1, "tax fraction", hint="Write 20 % as 0.20.")
