"""What a floor does to warmth: heat lost through it or given off by it, its surface, underlays weighed by it.

Over an unheated floor more resistance keeps more heat in; over a heated one it keeps the heat from the room. Which case
applies is the room's.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import pandas as pd

from flooring_kit.choices import Choices, Heated, Warmth
from flooring_kit.condensation import SurfaceDamp, surface_damp, surface_temperature_c, temperature_factor
from flooring_kit.ground_floors import (
    TIMBER_FLOOR_M2K_W,
    TIMBER_VOID,
    CoveringChange,
    GroundFloor,
    before_and_after,
    ground_of,
    heat_cost,
    seasonal_heat_kwh,
)
from flooring_kit.heated_floors import Heating, covering_options
from flooring_kit.products import Board, Underlay
from flooring_kit.room import Room
from flooring_kit.suitability import misfits
from flooring_kit.tables import records
from flooring_kit.thermal import build_up, tog
from flooring_kit.wastage import packs_for_area

UNDERLAY_COLUMNS = [
    "underlay",
    "kind",
    "height_mm",
    "resistance_m2k_w",
    "covering_m2k_w",
    "covering_tog",
    "worth",
    "packs",
    "pack_price",
    "price",
    "strength_kpa",
    "impact_sound_db",
    "bad_at",
    "misfits",
]
BAD_AT = {
    "foam": "a foot crushes it, so it is laid a strip ahead",
    "fibre board": "shy of damp: not in wet rooms nor on a damp screed",
    "rubber": "little warmth for its price",
    "cork": "shy of damp, and dear",
}
"""What each kind of underlay is bad at. Common practice, no source."""


def covering_m2k_w(board: Board, underlay: Underlay) -> float | None:
    """Resistance of underlay and board together [m²K/W]; None where one of them is not declared."""
    layers = build_up([(underlay.name, underlay.resistance_m2k_w), (board.name, board.resistance_m2k_w)])
    return None if layers.missing else layers.resistance_m2k_w


def lies_over(room: Room, warmth: Warmth) -> str:
    """What lies below a room: as chosen, else as surveyed, else as its subfloor has it on the ground floor."""
    return warmth.below or room.below or ("ventilated void" if room.subfloor == "timber" else "ground")


def ground_floor(room: Room, warmth: Warmth) -> GroundFloor | None:
    """The floor under a covering, for its U-value; None over a heated room, through which no heat is lost.

    Raises
    ------
    ValueError
        For a house whose area and perimeter lie outside the tables of ISO 13370.
    """
    below = lies_over(room, warmth)
    if below == "heated room":
        return None
    timber = below == "ventilated void"
    return GroundFloor(
        warmth.house_area_m2,
        warmth.exposed_perimeter_m,
        warmth.insulation_m2k_w + (TIMBER_FLOOR_M2K_W if timber else 0.0),
        ground_of(warmth.ground),
        TIMBER_VOID if timber else None,
    )


def season_kwh(room: Room, warmth: Warmth, covering_m2k_w: float) -> tuple[float, float]:
    """Heat lost through a room's floor in a season with a covering, (low, high); nothing over a heated room [kWh].

    Parameters
    ----------
    room, warmth
        The room, what lies below it, degree days.
    covering_m2k_w
        Resistance of underlay and board, 0 to 1 [m²K/W].

    Raises
    ------
    ValueError
        Outside that range, and as :func:`ground_floor`.
    """
    floor = ground_floor(room, warmth)
    if floor is None:
        return 0.0, 0.0
    u_value = floor.u_w_m2k(covering_m2k_w)
    low, high = seasonal_heat_kwh(u_value, room.polygon.area / 1e6, degree_days=warmth.degree_days)
    return float(low), float(high)


@dataclass(frozen=True)
class HeatLost:
    """What a covering does to the heat lost through an unheated floor.

    Parameters
    ----------
    change
        U-values before and after, the covering taken up counted with them.
    season_kwh, season_cost
        Heat lost through this room's floor in a season with the new covering, and its cost, each (low, high).
    saved_kwh, saved_cost
        What the new covering keeps in against the old one, each (low, high); below 0 it loses more.
    old_is_known
        Whether the resistance of the covering taken up was given; else nothing is counted for it.
    damp
        The coldest plain stretch of the floor on a cold day against the room's air.
    """

    change: CoveringChange
    season_kwh: tuple[float, float]
    season_cost: tuple[float, float]
    saved_kwh: tuple[float, float]
    saved_cost: tuple[float, float]
    old_is_known: bool
    damp: SurfaceDamp


def heat_lost(room: Room, warmth: Warmth, laid_m2k_w: float) -> HeatLost | None:
    """Heat lost through a room's floor with a new covering; None over a heated room.

    Parameters
    ----------
    room
        The survey: its area, its subfloor, the covering taken up.
    warmth
        What lies below, degree days, price of heat, air.
    laid_m2k_w
        Resistance of underlay and board, 0 to 1 [m²K/W].

    Raises
    ------
    ValueError
        Outside that range, and as :func:`ground_floor`.
    """
    floor = ground_floor(room, warmth)
    if floor is None:
        return None
    old = room.old_covering_m2k_w or 0.0
    known = room.old_covering_m2k_w is not None or room.old_covering_mm == 0
    change = before_and_after(floor, taken_up_m2k_w=old, laid_m2k_w=laid_m2k_w)
    area = room.polygon.area / 1e6
    season = season_kwh(room, warmth, laid_m2k_w)
    saved = change.saved_kwh(area, degree_days=warmth.degree_days)
    paid = {"price_per_kwh": warmth.heat_price, "heat_per_kwh_paid": warmth.heat_per_kwh_paid}
    factor = temperature_factor(change.after_u_w_m2k)
    surface = surface_temperature_c(warmth.room_c, warmth.outside_c, factor)
    damp = surface_damp(warmth.room_c, 100 * warmth.humidity_fraction, surface)
    return HeatLost(change, season, heat_cost(season, **paid), saved, heat_cost(saved, **paid), known, damp)


def heating_of(heated: Heated, *, room_c: float) -> Heating:
    """The pipes and the water of a heated floor.

    Raises
    ------
    ValueError
        For a figure outside the ranges of EN 1264's tables.
    """
    return Heating(
        heated.spacing_mm,
        heated.pipe_diameter_mm,
        heated.cover_mm,
        heated.conductivity_w_mk,
        heated.flow_c,
        heated.return_c,
        room_c,
    )


def heated_options(board: Board, underlays: Iterable[Underlay], heated: Heated, *, room_c: float) -> pd.DataFrame:
    """Every underlay under one board over a heated floor: output, water needed, surface, verdict.

    Parameters
    ----------
    board, underlays
        The covering; one row for each underlay.
    heated
        Pipes, screed, water and the heat wanted.
    room_c
        Air in the room [°C].

    Returns
    -------
    DataFrame
        As from :func:`flooring_kit.heated_floors.covering_options`, named by the underlays.
    """
    coverings = [(each.name, covering_m2k_w(board, each)) for each in underlays]
    return covering_options(
        heating_of(heated, room_c=room_c), coverings, wanted_w_m2=heated.wanted_w_m2, zone=heated.zone
    )


def underlays_weighed(
    room: Room, board: Board, underlays: Iterable[Underlay], choices: Choices, *, net_area_m2: float
) -> pd.DataFrame:
    """Underlays side by side for one room and board, the best for its warmth first.

    Parameters
    ----------
    room
        The survey: whether it is heated decides what is better.
    board, underlays
        The board, and the underlays on sale.
    choices
        Warmth, heating, spares and tax.
    net_area_m2
        Floor to cover, 0.1 to 10 000 [m²].

    Returns
    -------
    DataFrame
        One row an underlay: `underlay`, `kind`, `height_mm` (with the board), `resistance_m2k_w`, `covering_m2k_w` and
        `covering_tog` (with the board; NaN where not declared); `worth`: output over heating [W/m²], else heat kept in
        against a bare floor [kWh a season, the middle of its range], 0 over a heated room; `packs`, `pack_price`,
        `price` (for the room before tax; NaN where not priced), `strength_kpa`, `impact_sound_db` (as declared),
        `bad_at`, `misfits`.
    """
    shelf = list(underlays)
    outputs = {}
    if room.heated:
        table = heated_options(board, shelf, choices.heated, room_c=choices.warmth.room_c)
        outputs = {row.covering: row.output_w_m2 for row in records(table)}
    rows = []
    for each in shelf:
        covering = covering_m2k_w(board, each)
        packs = packs_for_area(net_area_m2, each.pack_area_m2, spare_fraction=choices.buying.underlay_spare_fraction)
        rows.append(
            (
                each.name,
                each.kind,
                each.thickness_mm + board.thickness_mm,
                _number(each.resistance_m2k_w),
                _number(covering),
                _number(None if covering is None else tog(covering)),
                outputs[each.name] if room.heated else _kept_in_kwh(room, choices.warmth, covering),
                packs,
                _number(each.pack_price),
                _number(each.pack_price) * packs,
                _number(each.compressive_strength_kpa),
                _number(each.impact_sound_db),
                BAD_AT[each.kind],
                " ".join(misfits(room, board, each)),
            )
        )
    weighed = pd.DataFrame(rows, columns=UNDERLAY_COLUMNS)
    return weighed.sort_values(["worth", "price", "underlay"], ascending=[False, True, True]).reset_index(drop=True)


def _kept_in_kwh(room: Room, warmth: Warmth, covering: float | None) -> float:
    """Heat a covering keeps in against a bare floor, the middle of its range [kWh a season]."""
    floor = ground_floor(room, warmth)
    if floor is None or covering is None:
        return 0.0 if floor is None else math.nan
    low, high = before_and_after(floor, taken_up_m2k_w=0.0, laid_m2k_w=covering).saved_kwh(
        room.polygon.area / 1e6, degree_days=warmth.degree_days
    )
    return (low + high) / 2


def _number(value: float | None) -> float:
    return math.nan if value is None else float(value)
