"""Order lines counted from the plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import pandas as pd

from flooring_kit.area import net_area_m2
from flooring_kit.checks import counted
from flooring_kit.choices import Buying
from flooring_kit.products import Trim, Underlay
from flooring_kit.room import Room
from flooring_kit.setting_out import Plan
from flooring_kit.stock_cutting import StockCuts, cut_from_stock
from flooring_kit.trims import trim_by_wall, trim_pieces
from flooring_kit.underlay import packs_in_strips
from flooring_kit.wastage import WasteSplit, packs_for_area, packs_for_pieces, spare_boards, waste_split


@dataclass(frozen=True)
class BoardOrder:
    """Boards to buy.

    Parameters
    ----------
    in_plan, fewest_possible
        Boards the plan is sawn from, and the number no plan with these rows can go below.
    for_miscuts, for_repairs
        Boards bought beyond the plan.
    packs, boards_per_pack
        Packs to buy.
    """

    in_plan: int
    fewest_possible: int
    for_miscuts: int
    for_repairs: int
    packs: int
    boards_per_pack: int

    @property
    def boards(self) -> int:
        """Boards wanted in all."""
        return self.in_plan + self.for_miscuts + self.for_repairs

    @property
    def boards_over(self) -> int:
        """Boards left because packs are whole."""
        return self.packs * self.boards_per_pack - self.boards

    def sentence(self) -> str:
        """The order line in words.

        >>> BoardOrder(27, 27, 2, 0, 4, 8).sentence()
        '29 boards: 27 in the plan, fewest possible 27, 2 for miscuts; 4 packs of 8, 3 boards over.'
        """
        repairs = f", {self.for_repairs} for repairs" if self.for_repairs else ""
        return (
            f"{counted(self.boards, 'board')}: {self.in_plan} in the plan, fewest possible {self.fewest_possible}, "
            f"{self.for_miscuts} for miscuts{repairs}; {counted(self.packs, 'pack')} of {self.boards_per_pack}, "
            f"{counted(self.boards_over, 'board')} over."
        )


@dataclass(frozen=True)
class UnderlayOrder:
    """Underlay to buy.

    Parameters
    ----------
    area_m2
        Area to cover, spare included [m²].
    packs, pack_area_m2
        Packs to buy, and what one covers [m²]: those the strips take where the size of a roll or sheet is known, and
        never fewer than the area asks for.
    """

    area_m2: float
    packs: int
    pack_area_m2: float

    @property
    def for_strips(self) -> int:
        """Packs bought beyond those of the area, since strips end where the floor does."""
        return self.packs - packs_for_area(self.area_m2, self.pack_area_m2, spare_fraction=0)

    @property
    def over_m2(self) -> float:
        """Left over [m²]."""
        return max(0.0, self.packs * self.pack_area_m2 - self.area_m2)

    def sentence(self) -> str:
        """The order line in words.

        >>> UnderlayOrder(6.54, 1, 7.5).sentence()
        '1 pack of 7.5 m² for 6.54 m² of floor, 0.96 m² over.'
        """
        return (
            f"{counted(self.packs, 'pack')} of {self.pack_area_m2:g} m² for {self.area_m2:.2f} m² of floor, "
            f"{self.over_m2:.2f} m² over." + self._strips_say()
        )

    def _strips_say(self) -> str:
        if self.for_strips <= 0:
            return ""
        return f" Laid in strips it takes {counted(self.for_strips, 'pack')} more than by its area."


@dataclass(frozen=True)
class TakeOff:
    """Everything counted from one plan.

    Parameters
    ----------
    boards, underlay
        Orders.
    waste
        Where the board area goes.
    trim
        Trim by wall, a DataFrame as from :func:`flooring_kit.trims.trim_by_wall`.
    trim_pieces
        Pieces of trim to cut, as from :func:`flooring_kit.trims.trim_pieces`; None where no trim is chosen.
    trim_cut
        The stock lengths they are cut from; None where no trim is chosen.
    """

    boards: BoardOrder
    underlay: UnderlayOrder
    waste: WasteSplit
    trim: pd.DataFrame
    trim_pieces: pd.DataFrame | None
    trim_cut: StockCuts | None

    @property
    def trim_lengths(self) -> int | None:
        """Stock lengths of trim to buy; None where no trim is chosen."""
        return None if self.trim_cut is None else self.trim_cut.lengths_needed

    @property
    def trim_m(self) -> float:
        """Trim in all [m]."""
        return float(self.trim["trim_mm"].sum()) / 1000


def take_off(plan: Plan, underlay: Underlay, trim: Trim | None, *, buying: Buying) -> TakeOff:
    """Count boards, underlay and trim of a plan.

    Parameters
    ----------
    plan
        The plan.
    underlay, trim
        Chosen products; no trim where `trim` is None.
    buying
        Spares.
    """
    area = net_area_m2(plan.floor)
    spares = spare_boards(plan.boards_needed, miscut_fraction=buying.miscut_fraction, least=buying.least_miscuts)
    wanted = plan.boards_needed + spares + buying.kept_for_repairs
    packs = packs_for_pieces(wanted, plan.board.boards_per_pack)
    boards = BoardOrder(
        plan.boards_needed, plan.boards_bound, spares, buying.kept_for_repairs, packs, plan.board.boards_per_pack
    )
    underlay_area = area * (1 + buying.underlay_spare_fraction)
    underlay_packs = packs_for_area(underlay_area, underlay.pack_area_m2, spare_fraction=0)
    if underlay.pieces_per_pack:
        underlay_packs = max(underlay_packs, packs_in_strips(plan, underlay))
    pieces, cut = (None, None) if trim is None else _trim_cut(plan.room, trim, plan.rules.kerf_mm)
    return TakeOff(
        boards,
        UnderlayOrder(underlay_area, underlay_packs, underlay.pack_area_m2),
        waste_split(
            area,
            plan.board.area_m2,
            boards_needed=plan.boards_needed,
            spares=spares + buying.kept_for_repairs,
            boards_over=boards.boards_over,
        ),
        trim_by_wall(plan.room),
        pieces,
        cut,
    )


def _trim_cut(room: Room, trim: Trim, kerf_mm: float) -> tuple[pd.DataFrame, StockCuts]:
    """Pieces of trim, and the lengths they are cut from."""
    pieces = trim_pieces(room, foot_mm=trim.foot_mm, stock_length_mm=trim.length_mm)
    return pieces, trims_cut(pieces, [trim], kerf_mm)


def trims_cut(pieces: pd.DataFrame, trims: Sequence[Trim], kerf_mm: float) -> StockCuts:
    """Pieces of trim cut from the lengths of one bead: the cheapest, or the least metres where a price is missing.

    Parameters
    ----------
    pieces
        As from :func:`flooring_kit.trims.trim_pieces`.
    trims
        The lengths they may be cut from.
    kerf_mm
        Width of the saw cut [mm].
    """
    prices = tuple(trim.price for trim in trims if trim.price is not None)
    return _cut(
        tuple(zip(pieces["piece"], pieces["length_mm"], strict=True)),
        tuple(trim.length_mm for trim in trims),
        kerf_mm,
        prices if len(prices) == len(trims) and all(prices) else None,
    )


@lru_cache(maxsize=64)
def _cut(
    pieces: tuple[tuple[str, float], ...],
    stock_mm: tuple[float, ...],
    kerf_mm: float,
    prices: tuple[float, ...] | None,
) -> StockCuts:
    """The same for every plan of a room, so kept while one is sought."""
    return cut_from_stock(dict(pieces), stock_lengths_mm=stock_mm, kerf_mm=kerf_mm, prices=prices)
