"""A quote that is one sum: what it should contain, the range to expect, and the questions to put."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from flooring_kit.answers import Estimate
from flooring_kit.findings import Finding, quoted_money
from flooring_kit.pricing import amount
from flooring_kit.products import Catalogue
from flooring_kit.quote_sums import in_kits_currency
from flooring_kit.quoted import Quote
from flooring_kit.whole_price import WholePrice
from flooring_kit.work import work_hours

USUAL_RATES = (18.0, 45.0)
"""Price of a fitter's hour before tax, from a low to a high one. From memory; it differs by place and time."""

BY_HABIT_FRACTION = 0.10
"""What the rule of thumb buys on top: a tenth. Common practice, no source."""


@dataclass(frozen=True)
class LumpSumRange:
    """What the whole room may come to, before tax.

    Parameters
    ----------
    materials
        Everything bought or taken away, by the kit's own take-off [currency].
    hours
        Least and most hours of one person's work [h].
    rates
        Lowest and highest price of an hour [currency].
    tax_fraction, currency
        Tax, and the sign put before amounts.
    """

    materials: Decimal
    hours: tuple[float, float]
    rates: tuple[float, float]
    tax_fraction: float
    currency: str

    @property
    def low(self) -> Decimal:
        """The materials as taken off, and the fewest hours at the lower rate [currency]."""
        return self.materials + amount(self.hours[0], self.rates[0])

    @property
    def high(self) -> Decimal:
        """A tenth more of the materials, as the habit buys them, and the most hours at the higher rate [currency]."""
        return amount(self.materials, 1 + BY_HABIT_FRACTION) + amount(self.hours[1], self.rates[1])

    def sentence(self) -> str:
        """The range in words, before tax and with it."""
        taxed = [amount(each, 1 + self.tax_fraction) for each in (self.low, self.high)]
        return (
            f"{self._money(self.low)} to {self._money(self.high)} before tax, {self._money(taxed[0])} to "
            f"{self._money(taxed[1])} with {round(self.tax_fraction * 100, 4):g} %"
        )

    def reason(self) -> str:
        """What the two ends rest on."""
        low, high = self.rates
        rate = f"{self._money(Decimal(str(low)))}"
        if high != low:
            rate += f" to {self._money(Decimal(str(high)))}"
        return (
            f"Materials {self._money(self.materials)} as taken off, up to a tenth more; {self.hours[0]:.0f} to "
            f"{self.hours[1]:.0f} hours at {rate}."
        )

    def _money(self, value: Decimal) -> str:
        return f"{self.currency}{value:,.0f}" if value == value.to_integral_value() else f"{self.currency}{value:,.2f}"


def is_lump_sum(quote: Quote) -> bool:
    """Whether the quote names one sum for everything."""
    priced = [line for line in quote.lines if line.amount is not None]
    return len(priced) <= 1 and all(line.quantity in (None, 1) for line in quote.lines)


def lump_sum_range(estimate: Estimate, whole: WholePrice, catalogue: Catalogue | None = None) -> LumpSumRange:
    """The range to expect for one room, from the kit's own take-off.

    Parameters
    ----------
    estimate, whole
        The take-off of the room, and its whole price. `USUAL_RATES` are taken, and the chosen price of an hour where
        it lies outside them.
    catalogue
        Bars on sale: with them bars and doors to ease count among the hours.
    """
    materials = sum((sums for group, sums in whole.by_group().items() if group != "work"), Decimal(0))
    hours = work_hours(estimate, catalogue or Catalogue({}, {}))
    rate = estimate.choices.work.hourly_rate
    return LumpSumRange(
        materials,
        (float(hours["low_h"].sum()), float(hours["high_h"].sum())),
        USUAL_RATES if rate is None else (min(rate, USUAL_RATES[0]), max(rate, USUAL_RATES[1])),
        whole.tax_fraction,
        whole.currency,
    )


def lump_sum_findings(quote: Quote, expected: LumpSumRange, subjects: Sequence[str]) -> list[Finding]:
    """What is worth asking about one sum for everything.

    Parameters
    ----------
    quote
        The quote.
    expected
        As from :func:`lump_sum_range`.
    subjects
        What a quote for this room names beside boards and fitting.
    """
    stated = quote.total or next((line.amount for line in quote.lines if line.amount is not None), None)
    told = "" if stated is None else f", {quoted_money(quote, stated)}"
    found = [
        Finding(
            "ask first",
            None,
            f"The quote is one sum{told}.",
            expected.sentence(),
            f"{expected.reason()} A quote that can be compared names, each with its quantity: "
            f"{', '.join(['boards', *subjects, 'fitting'])}.",
            "what is in the sum, and what is not?",
        )
    ]
    if stated is None or not in_kits_currency(quote, expected.currency):
        return found
    if stated < expected.low:
        found.append(
            Finding(
                "ask first",
                None,
                "The sum is below the range.",
                expected.sentence(),
                "Other products, or fewer, may be meant, or work that is left to you.",
                "which board, how many packs, and which underlay are in it?",
            )
        )
    if stated > amount(expected.high, 1 + expected.tax_fraction):
        found.append(
            Finding(
                "worth asking",
                None,
                "The sum is above the range, tax and all.",
                expected.sentence(),
                "Dearer products, preparation or work the survey does not show may be in it.",
                "which work or which product is in it that we did not think of?",
            )
        )
    return found
