"""The beads on sale side by side for one room: what to buy of each, at which price, and what speaks against it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import pandas as pd

from flooring_kit.checks import counted
from flooring_kit.edges import curve_sentences, too_narrow_sentences, trim_cover
from flooring_kit.products import Trim
from flooring_kit.setting_out import Plan
from flooring_kit.stock_cutting import StockCuts
from flooring_kit.suitability import swells_when_wet
from flooring_kit.takeoff import trims_cut
from flooring_kit.trims import trim_pieces

OPTION_COLUMNS = ["bead", "material", "finish", "foot_mm", "lengths", "pieces", "price", "least_price", "against"]


@dataclass(frozen=True, eq=False)
class BeadOrder:
    """One bead cut for a room from one length it is sold in, or from several together.

    Parameters
    ----------
    trims
        The lengths it is cut from, longest first; they differ in length and price alone.
    pieces
        Pieces to cut, as from :func:`flooring_kit.trims.trim_pieces`.
    cut
        What they are cut from.
    is_clockwise
        Whether the room's corners were taken clockwise: seen from the trim's back, a wall's first end is then on the
        right.
    """

    trims: tuple[Trim, ...]
    pieces: pd.DataFrame
    cut: StockCuts
    is_clockwise: bool = False

    @property
    def is_priced(self) -> bool:
        """Whether every length has a price."""
        return all(trim.price is not None for trim in self.trims)

    @property
    def lengths(self) -> dict[float, int]:
        """How many of each stock length, longest first."""
        stock = self.cut.cuts.drop_duplicates("stock")["stock_length_mm"].tolist()
        return dict(sorted(Counter(stock).items(), reverse=True))

    @property
    def bought(self) -> str:
        """The lengths to buy, in words."""
        return " and ".join(f"{count} of {length:g} mm" for length, count in self.lengths.items())

    def sentence(self) -> str:
        """What to buy, in words."""
        bead = self.trims[0].bead
        if not self.lengths:
            return f"{bead}: none needed."
        metres = self.pieces["length_mm"].sum() / 1000
        least = "proved least" if self.cut.proved else f"the proof reaches {self.cut.price_bound:.2f}"
        cost = f", {self.cut.price:.2f} before tax ({least})" if self.is_priced else ""
        pieces = counted(len(self.pieces), "piece")
        return f"{bead}: {self.bought} for {pieces}, {metres:.2f} m at their long points{cost}."


def bead_order(plan: Plan, trims: Sequence[Trim]) -> BeadOrder:
    """The cheapest lengths of one bead for a room; the least metres where a price is missing.

    Parameters
    ----------
    plan
        The plan: its room and its saw.
    trims
        The lengths the bead is sold in, at least one.

    Raises
    ------
    ValueError
        For no trims, or trims of more than one bead.
    """
    beads = {trim.bead for trim in trims}
    if len(beads) != 1:
        raise ValueError(f"give the lengths of one bead, got {', '.join(sorted(beads)) or 'none'}.")
    longest_first = tuple(sorted(trims, key=lambda trim: (-trim.length_mm, trim.name)))
    pieces = trim_pieces(plan.room, foot_mm=longest_first[0].foot_mm, stock_length_mm=longest_first[0].length_mm)
    cut = trims_cut(pieces, longest_first, plan.rules.kerf_mm)
    return BeadOrder(longest_first, pieces, cut, plan.room.turns_clockwise)


def trim_options(plan: Plan, trims: Iterable[Trim]) -> pd.DataFrame:
    """Every bead on sale for one room, those with nothing against them first, then by price.

    Parameters
    ----------
    plan
        The plan.
    trims
        Trims on sale; those of one bead are cut together.

    Returns
    -------
    DataFrame
        One row a bead: `bead`, `material`, `finish`, `foot_mm`, `lengths` ("2 x 3000, 1 x 2400"), `pieces`; `price`
        before tax, `least_price` (no cutting costs less; both NaN where a length has no price); `against`: why it
        does not suit, "" where nothing speaks against it.
    """
    on_sale = list(trims)
    rows = []
    for bead in dict.fromkeys(trim.bead for trim in on_sale):
        order = bead_order(plan, [trim for trim in on_sale if trim.bead == bead])
        trim = order.trims[0]
        price, least = (order.cut.price, order.cut.price_bound) if order.is_priced else (float("nan"),) * 2
        lengths = ", ".join(f"{count} x {length:g}" for length, count in order.lengths.items())
        against = " ".join(_against(plan, trim))
        rows.append((bead, trim.material, trim.finish, trim.foot_mm, lengths, len(order.pieces), price, least, against))
    table = pd.DataFrame(rows, columns=OPTION_COLUMNS)
    return table.sort_values(
        ["against", "price", "bead"], key=lambda column: column != "" if column.name == "against" else column
    ).reset_index(drop=True)


def _against(plan: Plan, trim: Trim) -> list[str]:
    """Why a trim does not suit a floor, a sentence each."""
    return [
        *too_narrow_sentences(trim, trim_cover(plan, trim)),
        *curve_sentences(plan.room, trim),
        *swells_when_wet(plan.room, trim),
    ]
