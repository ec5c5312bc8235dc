"""The whole price of a room, every line traceable to the drawing: materials, preparation, disposal, work, tax once."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

import pandas as pd

from flooring_kit.answers import Estimate
from flooring_kit.bar_order import bar_orders
from flooring_kit.checks import ceil_clean
from flooring_kit.flatness import levelling
from flooring_kit.pricing import PricedLine, TaxedSum, amount
from flooring_kit.products import Catalogue, Sundry
from flooring_kit.sundries import count_sundries, how_much, sundry_order
from flooring_kit.tables import records
from flooring_kit.trim_options import bead_order
from flooring_kit.underlay import UnderlayPlan, VapourSheet, underlay_strips, vapour_sheet_for
from flooring_kit.work import work_hours

GROUPS = ("boards", "underlay", "membrane", "trims", "bars", "small things", "preparation", "disposal", "work")
NOT_BOUGHT = ("disposal", "work")
"""Groups that are done, not bought."""

LINE_COLUMNS = ["group", "item", "quantity", "unit", "unit_price", "amount", "why"]


@dataclass(frozen=True)
class JobLine(PricedLine):
    """One line of a room's price, before tax.

    Parameters
    ----------
    group
        One of `GROUPS`.
    item
        Product or work.
    quantity, unit
        How many of what.
    unit_price
        Price of one unit before tax; None where it is not known.
    why
        Where the quantity comes from: need, spares and rounding apart.
    """

    group: str
    item: str
    quantity: float
    unit: str
    unit_price: float | None
    why: str


@dataclass(frozen=True)
class WholePrice(TaxedSum[JobLine]):
    """What a room costs, all in.

    Parameters
    ----------
    lines
        In the order of `GROUPS`.
    tax_fraction, currency
        See :class:`flooring_kit.pricing.TaxedSum`.
    net_area_m2
        Floor covered [m²].
    """

    net_area_m2: float

    @property
    def per_m2(self) -> Decimal:
        """What is paid for each m² of floor."""
        return amount(self.with_tax, 1 / self.net_area_m2)

    def by_group(self) -> dict[str, Decimal]:
        """Sum of each group that has lines, before tax."""
        sums: dict[str, Decimal] = {}
        for line in self.lines:
            sums[line.group] = sums.get(line.group, Decimal("0.00")) + (line.amount or Decimal("0.00"))
        return sums

    def table(self) -> pd.DataFrame:
        """One row a line: `group`, `item`, `quantity`, `unit`, `unit_price`, `amount` (NaN where not known), `why`."""
        rows = [
            (
                line.group,
                line.item,
                line.quantity,
                line.unit,
                math.nan if line.unit_price is None else line.unit_price,
                math.nan if line.amount is None else float(line.amount),
                line.why,
            )
            for line in self.lines
        ]
        return pd.DataFrame(rows, columns=LINE_COLUMNS)

    def order_list(self) -> pd.DataFrame:
        """The lines of :meth:`table` that are bought in a shop."""
        table = self.table()
        return table[~table["group"].isin(NOT_BOUGHT)].reset_index(drop=True)

    def sentence(self) -> str:
        """The sum in words."""
        told = (
            f"{self.money(self.with_tax)} with tax, {self.money(self.per_m2)} for each m² of {self.net_area_m2:.2f} m²."
        )
        return told + (f" Not priced: {', '.join(self.not_priced)}." if self.not_priced else "")


def whole_price(estimate: Estimate, catalogue: Catalogue) -> WholePrice:
    """Every line of a room, from its plan and what stands around the boards.

    Parameters
    ----------
    estimate
        The plan and what was chosen with it.
    catalogue
        Products, bars and sundries on sale.
    """
    laid = underlay_strips(estimate.plan, estimate.underlay) if estimate.underlay.pieces_per_pack else None
    vapour = vapour_sheet_for(estimate.plan, estimate.underlay, catalogue.sundries.values())
    lines = [
        *_boards(estimate),
        *_underlay(estimate, laid),
        *_trims(estimate, catalogue),
        *_bars(estimate, catalogue),
        *_small_things(estimate, catalogue, laid, vapour),
        *_preparation(estimate, catalogue),
        *_disposal(estimate),
        *_work(estimate, catalogue),
    ]
    ordered = sorted(lines, key=lambda line: GROUPS.index(line.group))
    buying = estimate.choices.buying
    return WholePrice(tuple(ordered), buying.tax_fraction, buying.currency, estimate.net_area_m2)


def _boards(estimate: Estimate) -> list[JobLine]:
    board, order = estimate.plan.board, estimate.take_off.boards
    unit = f"pack of {board.boards_per_pack}"
    return [JobLine("boards", board.name, order.packs, unit, board.pack_price, order.sentence())]


def _underlay(estimate: Estimate, laid: UnderlayPlan | None) -> list[JobLine]:
    underlay, order = estimate.underlay, estimate.take_off.underlay
    unit = f"pack of {underlay.pack_area_m2:g} m²"
    why = " ".join([order.sentence(), *([] if laid is None else laid.sentences()[:1])])
    return [JobLine("underlay", underlay.name, order.packs, unit, underlay.pack_price, why)]


def _trims(estimate: Estimate, catalogue: Catalogue) -> list[JobLine]:
    """The length chosen, and word of the bead's other lengths where they would cost less with it."""
    trim, lengths = estimate.trim, estimate.take_off.trim_lengths
    if trim is None or not lengths:
        return []
    chosen = bead_order(estimate.plan, [trim])
    mixed = bead_order(estimate.plan, [each for each in catalogue.trims.values() if each.bead == trim.bead])
    why = chosen.sentence()
    if chosen.is_priced and mixed.is_priced and mixed.cut.price < chosen.cut.price - 0.005:
        why += f" Cut from {mixed.bought} it would cost {mixed.cut.price:.2f}."
    return [JobLine("trims", trim.name, lengths, "length", trim.price, why)]


def _bars(estimate: Estimate, catalogue: Catalogue) -> list[JobLine]:
    ledger = estimate.heights(catalogue.bars.values())
    return [
        JobLine("bars", name, count, "length", catalogue.bars[name].price, order.sentence())
        for order in bar_orders(estimate.room, ledger, catalogue.bars.values())
        for name, count in order.bought.items()
    ]


def _small_things(
    estimate: Estimate, catalogue: Catalogue, laid: UnderlayPlan | None, vapour: VapourSheet | None
) -> list[JobLine]:
    counts = count_sundries(
        estimate.plan,
        estimate.take_off.trim_pieces,
        estimate.trim,
        underlay=laid,
        vapour=vapour,
        on_sale=catalogue.sundries.values(),
    )
    return [
        JobLine(
            "membrane" if line.use == "vapour sheet" else "small things",
            line.product or line.use,
            line.packs if line.product else 1,
            line.sold_as or "as needed",
            catalogue.sundries[line.product].price if line.product else None,
            f"{how_much(line.amount, line.unit)}: {line.rule}.",
        )
        for line in records(sundry_order(counts, catalogue.sundries.values()))
    ]


def _preparation(estimate: Estimate, catalogue: Catalogue) -> list[JobLine]:
    """Compound, where levelling was chosen and levels were read."""
    to = estimate.choices.work.level_to
    if to == "no" or not estimate.is_levelled:
        return []
    needed = levelling(estimate.room, to=to)
    product = _cheapest(catalogue.sundries, "levelling compound", needed.litres)
    if product is None or product.pack_holds is None:
        return [JobLine("preparation", "levelling compound", 1, "as needed", None, needed.sentence())]
    bags = ceil_clean(needed.litres / product.pack_holds)
    return [JobLine("preparation", product.name, bags, product.sold_as, product.price, needed.sentence())]


def _cheapest(sundries: Mapping[str, Sundry], use: str, wanted: float) -> Sundry | None:
    serving = [each for each in sundries.values() if each.use == use and each.pack_holds]

    def cost(product: Sundry) -> float:
        packs = ceil_clean(wanted / (product.pack_holds or 1.0))
        return math.inf if product.price is None else packs * product.price

    return min(serving, key=lambda product: (cost(product), product.name), default=None)


def _disposal(estimate: Estimate) -> list[JobLine]:
    room = estimate.room
    if room.old_covering_mm <= 0:
        return []
    area = round(estimate.room_area_m2, 2)
    why = f"{room.old_covering_mm:g} mm of old covering over {area:g} m² of room, taken away."
    return [JobLine("disposal", "old covering", area, "m²", estimate.choices.work.disposal_price, why)]


def _work(estimate: Estimate, catalogue: Catalogue) -> list[JobLine]:
    """Every operation at the middle of its range; none where nobody is paid for it."""
    rate = estimate.choices.work.hourly_rate
    if rate is None:
        return []
    return [
        JobLine(
            "work",
            line.operation,
            round((line.low_h + line.high_h) / 2, 2),
            "h",
            rate,
            f"{line.quantity:.4g} {line.unit}: {line.low_h:.1f} to {line.high_h:.1f} h. {line.basis}.",
        )
        for line in records(work_hours(estimate, catalogue))
    ]
