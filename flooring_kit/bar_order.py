"""Bars for doorways, hearths and sills, cut from the lengths they are sold in."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

import pandas as pd

from flooring_kit.checks import told_apart
from flooring_kit.products import DoorBar
from flooring_kit.room import Room
from flooring_kit.stock_cutting import StockCuts, cut_from_stock
from flooring_kit.tables import records
from flooring_kit.trims import END_BAR, faces_closed_by


@dataclass(frozen=True, eq=False)
class BarOrder:
    """Bars of one sort: alike but for their length.

    Parameters
    ----------
    bars
        The lengths they are sold in.
    cut
        What the pieces are cut from; pieces are named by where they go.
    """

    bars: tuple[DoorBar, ...]
    cut: StockCuts

    @property
    def bought(self) -> dict[str, int]:
        """How many of each product."""
        names = {bar.length_mm: bar.name for bar in self.bars}
        stock = self.cut.cuts.drop_duplicates("stock")["stock_length_mm"].tolist()
        return {names[length]: count for length, count in sorted(Counter(stock).items())}

    @property
    def price(self) -> float:
        """What they cost before tax; NaN where a price is missing."""
        prices = {bar.name: bar.price for bar in self.bars}
        amounts = [(prices[name], count) for name, count in self.bought.items()]
        return math.fsum(math.nan if price is None else price * count for price, count in amounts)

    def sentence(self) -> str:
        """What to buy, in words."""
        bought = " and ".join(f"{count} of {name}" for name, count in self.bought.items())
        places = "; ".join(f"{cut.piece} {cut.length_mm:.0f} mm" for cut in records(self.cut.cuts))
        return f"{bought}. From {'it' if self.cut.lengths_needed == 1 else 'them'}: {places}."


def bar_orders(room: Room, ledger: pd.DataFrame, bars: Iterable[DoorBar], *, kerf_mm: float = 2.0) -> list[BarOrder]:
    """The bars to buy for a room, each sort cut from its cheapest lengths.

    Parameters
    ----------
    room
        The survey: hearths and sills that end bars close.
    ledger
        As from :func:`flooring_kit.heights.heights_ledger`: which bar each doorway takes.
    bars
        Bars on sale. What is longer than the longest of its sort is joined.
    kerf_mm
        Width of a saw cut through a bar [mm].
    """
    on_sale = list(bars)
    chosen = {line.bar for line in records(ledger)}
    by_name = {bar.name: bar for bar in on_sale}
    wanted: dict[tuple[str, float, float], dict[str, float]] = {}
    lines = records(ledger)
    for name, line in zip(told_apart(line.name for line in lines), lines, strict=True):
        if line.bar:
            wanted.setdefault(_sort(by_name[line.bar]), {})[name] = line.bar_mm
    end_bars = [bar for bar in on_sale if bar.kind == "end"]
    if end_bars:
        longest = max(end_bars, key=lambda bar: (bar.length_mm, bar.name))
        for name, length in faces_closed_by(room, END_BAR):
            wanted.setdefault(_sort(longest), {}).update(_parts(name, length, longest.length_mm))
    orders = []
    for sort, pieces in wanted.items():
        alike = _one_of_each_length([bar for bar in on_sale if _sort(bar) == sort], chosen)
        prices = [bar.price for bar in alike if bar.price is not None]
        cut = cut_from_stock(
            pieces,
            stock_lengths_mm=[bar.length_mm for bar in alike],
            kerf_mm=kerf_mm,
            prices=prices if len(prices) == len(alike) else None,
        )
        orders.append(BarOrder(tuple(alike), cut))
    return orders


def _one_of_each_length(bars: Sequence[DoorBar], chosen: Collection[str]) -> list[DoorBar]:
    """Bars alike but for length: of several as long, one that was chosen at a doorway, else the cheapest."""
    best: dict[float, DoorBar] = {}
    for bar in sorted(bars, key=lambda bar: (bar.name not in chosen, bar.price is None, bar.price or 0.0, bar.name)):
        best.setdefault(bar.length_mm, bar)
    return list(best.values())


def _sort(bar: DoorBar) -> tuple[str, float, float]:
    return bar.kind, bar.least_step_mm, bar.most_step_mm


def _parts(name: str, length: float, longest: float) -> dict[str, float]:
    """A stretch in the fewest equal parts that the longest bar gives."""
    count = max(1, math.ceil(length / longest - 1e-9))
    return {f"{name} part {part}" if count > 1 else name: length / count for part in range(1, count + 1)}
