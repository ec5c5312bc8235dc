"""A quote's sums: lines multiplied out and added up, tax once, one currency."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal

from flooring_kit.checks import numbered
from flooring_kit.findings import Finding, quoted_money
from flooring_kit.quoted import Quote, QuoteLine

TAX_WORDS = ("vat", "tax")
CENT = Decimal("0.01")
TOTAL_QUESTION = "how is the total made up of sum and tax?"


def amount_of(line: QuoteLine) -> Decimal | None:
    """Price of a line as written, else its quantity times its price; None where it gives neither."""
    if line.amount is not None:
        return line.amount
    if line.quantity is None or line.unit_price is None:
        return None
    return _rounded(line.quantity * line.unit_price)


def sum_of_lines(quote: Quote) -> Decimal:
    """Price of all lines that give one."""
    return _rounded(sum((amount_of(line) or Decimal(0) for line in quote.lines), Decimal(0)))


def to_pay(quote: Quote) -> Decimal:
    """What is to be paid: the total as written, else the sum and whatever tax the quote names."""
    if quote.total is not None:
        return quote.total
    net = quote.subtotal if quote.subtotal is not None else sum_of_lines(quote)
    return net + (_tax_on(quote, net) or Decimal(0))


def _rounded(value: Decimal) -> Decimal:
    return value.quantize(CENT, rounding=ROUND_HALF_UP)


def _tax_on(quote: Quote, net: Decimal) -> Decimal | None:
    """Tax as written, else by its rate; None where the quote names neither."""
    if quote.tax is not None:
        return quote.tax
    return None if quote.tax_fraction is None else _rounded(net * quote.tax_fraction)


def _is(one: Decimal, other: Decimal, cents: int = 2) -> bool:
    return abs(one - other) <= CENT * cents


def arithmetic_findings(quote: Quote) -> list[Finding]:
    """Lines whose quantity times price is not their amount."""
    found = []
    for line in quote.lines:
        if line.quantity is None or line.unit_price is None or line.amount is None:
            continue
        due = _rounded(line.quantity * line.unit_price)
        if not _is(due, line.amount, 1):
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


def sum_findings(quote: Quote, currency: str) -> list[Finding]:
    """Lines, sum, tax and total held against each other, and the currency against the kit's own.

    Parameters
    ----------
    quote
        The quote.
    currency
        Sign of the kit's own prices.
    """
    if len(quote.currencies) > 1:
        says = f"The quote is written in {' and '.join(quote.currencies)}."
        reason = "Figures in several currencies can't be added up: its sums are not checked."
        return [Finding("ask first", None, says, "", reason, "in which currency is the whole to be paid?")]
    found = [] if in_kits_currency(quote, currency) else [_another_currency(quote, currency)]
    open_rows = [line.row for line in quote.lines if amount_of(line) is None]
    summed = sum_of_lines(quote)
    if quote.subtotal is not None and not _is(quote.subtotal, summed, max(1, len(quote.lines))):
        found.append(_other_sum(quote, summed, open_rows))
    elif quote.subtotal is None and open_rows:
        return found  # what the lines come to is not known
    net = quote.subtotal if quote.subtotal is not None else summed
    return [*found, *_total_findings(quote, net)]


def in_kits_currency(quote: Quote, currency: str) -> bool:
    """Whether the quote's figures can be held against the kit's: a quote without a sign is taken so."""
    return quote.currency in ("", currency)


def _another_currency(quote: Quote, currency: str) -> Finding:
    says = f"The quote is in {quote.currency}, the kit's own prices are in {currency}."
    reason = "Its sums are not held against the kit's: nothing was converted."
    return Finding("worth asking", None, says, "", reason, f"is the whole to be paid in {quote.currency}?")


def _other_sum(quote: Quote, summed: Decimal, open_rows: Sequence[int]) -> Finding:
    """The lines come to another sum than the quote says, or can't be added up."""
    said = quoted_money(quote, quote.subtotal or Decimal(0))
    if open_rows:
        rows = numbered("row", list(open_rows))
        says = f"No amount could be read in {rows}: what the lines add up to can't be held against {said}."
        reason = "A sum can be checked where every line has its price."
        return Finding("good to know", None, says, "", reason, f"what does each line cost, {rows} too?")
    says = f"The lines add up to {quoted_money(quote, summed)}, the quote says {said}."
    reason = "A line may be missing, or counted twice."
    return Finding("ask first", None, says, quoted_money(quote, summed), reason, "which lines make up the sum?")


def _total_findings(quote: Quote, net: Decimal) -> list[Finding]:
    """Tax and total."""
    tax, total = _tax_on(quote, net), quote.total
    if total is None:
        return []
    if tax is None:
        if total >= net - CENT:
            return []
        says = f"The lines add up to {quoted_money(quote, net)}, the total says {quoted_money(quote, total)}."
        reason = "A total below its own lines has a line left out, or a figure changed on the way."
        return [Finding("ask first", None, says, quoted_money(quote, net), reason, "which of the two is right?")]
    fraction = quote.tax_fraction if quote.tax_fraction is not None else (tax / net if net else Decimal(0))
    if _is(total, net):
        return [] if _holds_tax(quote, total) or not tax else [_no_tax_added(quote, net + tax)]
    if _is(total, net + tax):
        return _other_tax(quote, net, tax)
    due = quoted_money(quote, net + tax)
    says = f"Sum and tax make {due}, the quote says {quoted_money(quote, total)}."
    reason = "Sum and tax give another total."
    if _is(total, _rounded(net * (1 + fraction) * (1 + fraction)), 5):
        says, reason = (
            "Tax seems to be added twice.",
            "The sum with tax, taxed once more, gives the total of the quote.",
        )
    return [Finding("ask first", None, says, due, reason, TOTAL_QUESTION)]


def _holds_tax(quote: Quote, total: Decimal) -> bool:
    """Whether the tax written is the share of it that a total of prices with tax holds."""
    if quote.tax is None:
        return False
    if quote.tax_fraction is None:
        return True
    return _is(quote.tax, _rounded(total * quote.tax_fraction / (1 + quote.tax_fraction)), 5)


def _no_tax_added(quote: Quote, due: Decimal) -> Finding:
    says = "Tax is named, and the total is the sum of the lines without it."
    reason = "Either the prices hold the tax already, or it was left out."
    return Finding(
        "ask first", None, says, quoted_money(quote, due), reason, "are the prices of the lines with tax or without?"
    )


def _other_tax(quote: Quote, net: Decimal, tax: Decimal) -> list[Finding]:
    """Tax that its own rate does not give."""
    if quote.tax_fraction is None:
        return []
    due = _rounded(net * quote.tax_fraction)
    if _is(tax, due, 5) or _is(tax, _rounded(sum_of_lines(quote) * quote.tax_fraction), 5):
        return []
    rate = f"{float(quote.tax_fraction) * 100:.4g}%"
    says = f"{rate} of {quoted_money(quote, net)} is {quoted_money(quote, due)}, the quote takes "
    says += f"{quoted_money(quote, tax)}."
    reason = "Not every line may be taxed alike."
    return [Finding("worth asking", None, says, quoted_money(quote, due), reason, "which lines is the tax taken on?")]


def tax_among_lines(quote: Quote) -> list[Finding]:
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


def tax_not_named(quote: Quote) -> list[Finding]:
    """A quote that names no tax."""
    if quote.tax is not None or quote.tax_fraction is not None:
        return []
    says, reason = "The quote names no tax.", "That is no fault where the fitter is not registered for it."
    return [Finding("good to know", None, says, "", reason, "is this the sum I pay, with whatever tax applies?")]
