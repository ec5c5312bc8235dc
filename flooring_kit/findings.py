"""What is worth asking about a quote: the figure expected, the reason, the question to put."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from flooring_kit.quoted import Quote

WEIGHTS = ("ask first", "worth asking", "good to know")


@dataclass(frozen=True)
class Finding:
    """One thing to ask about a quote.

    Parameters
    ----------
    weight
        One of `WEIGHTS`.
    row
        The quote's row it is about; None for the whole quote.
    says
        What was found.
    expected
        The figure expected, with its unit; "" where there is none.
    reason
        Why that is expected.
    question
        What to put to the fitter.
    """

    weight: str
    row: int | None
    says: str
    expected: str
    reason: str
    question: str

    def sentence(self) -> str:
        """The finding in words, the question last."""
        where = f"Row {self.row}: " if self.row is not None else ""
        expected = f" Expected: {self.expected}." if self.expected else ""
        return f"{where}{self.says}{expected} {self.reason} Ask: {self.question}"


def quoted_money(quote: Quote, value: Decimal) -> str:
    """An amount with the quote's own sign."""
    return f"{quote.currency}{value:,.2f}"
