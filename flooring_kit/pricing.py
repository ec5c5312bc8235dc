"""What the materials of a room cost. Amounts are rounded half up to a hundredth, line by line, tax once."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Generic, TypeVar

from flooring_kit.choices import Buying
from flooring_kit.products import Board, Trim, Underlay
from flooring_kit.takeoff import TakeOff

HUNDREDTH = Decimal("0.01")


def amount(quantity: float | Decimal, unit_price: float) -> Decimal:
    """Quantity times price, rounded half up to a hundredth.

    >>> amount(1.05, 28.36)
    Decimal('29.78')
    """
    return (Decimal(str(quantity)) * Decimal(str(unit_price))).quantize(HUNDREDTH, rounding=ROUND_HALF_UP)


class PricedLine:
    """So many units at a price, before tax."""

    item: str
    quantity: float
    unit_price: float | None

    @property
    def amount(self) -> Decimal | None:
        """Price of the line before tax; None where the unit price is not known."""
        return None if self.unit_price is None else amount(self.quantity, self.unit_price)


@dataclass(frozen=True)
class PriceLine(PricedLine):
    """One line of the price: so many units at a price, before tax.

    Parameters
    ----------
    item
        Product name.
    quantity, unit
        How many of what.
    unit_price
        Price of one unit before tax, or None where it is not known.
    """

    item: str
    quantity: float
    unit: str
    unit_price: float | None


Line = TypeVar("Line", bound=PricedLine)


@dataclass(frozen=True)
class TaxedSum(Generic[Line]):
    """Lines, their sum, and tax once on it.

    Parameters
    ----------
    lines
        Lines before tax.
    tax_fraction
        Tax on their sum.
    currency
        Sign put before amounts.
    """

    lines: tuple[Line, ...]
    tax_fraction: float
    currency: str

    @property
    def before_tax(self) -> Decimal:
        """Sum of the lines whose price is known."""
        return sum((line.amount for line in self.lines if line.amount is not None), Decimal("0.00"))

    @property
    def tax(self) -> Decimal:
        """Tax, once, on the sum."""
        return amount(self.before_tax, self.tax_fraction)

    @property
    def with_tax(self) -> Decimal:
        """What is paid."""
        return self.before_tax + self.tax

    @property
    def not_priced(self) -> tuple[str, ...]:
        """Items left out because their price is not known."""
        return tuple(line.item for line in self.lines if line.unit_price is None)

    def money(self, value: Decimal) -> str:
        """An amount with its sign."""
        return f"{self.currency}{value:,.2f}"


@dataclass(frozen=True)
class Price(TaxedSum[PriceLine]):
    """Price of a room's materials."""


def price_materials(counted: TakeOff, board: Board, underlay: Underlay, trim: Trim | None, *, buying: Buying) -> Price:
    """Price of boards, underlay and trim as counted.

    Parameters
    ----------
    counted
        The take-off.
    board, underlay, trim
        The products, with their prices before tax.
    buying
        Tax and currency.
    """
    lines = [
        PriceLine(board.name, counted.boards.packs, f"pack of {board.boards_per_pack}", board.pack_price),
        PriceLine(underlay.name, counted.underlay.packs, f"pack of {underlay.pack_area_m2:g} m²", underlay.pack_price),
    ]
    if trim is not None and counted.trim_lengths is not None:
        lines.append(PriceLine(trim.name, counted.trim_lengths, f"length of {trim.length_mm:g} mm", trim.price))
    return Price(tuple(lines), buying.tax_fraction, buying.currency)
