"""Heat lost through a ground floor, and what a new covering changes (ISO 13370, steady state).

Heat leaves mostly near the outer walls: the floor is told by its area over half its exposed perimeter, B', and what
lies on the ground by a depth of ground that resists as much, d_t::

      slab on ground                        suspended timber floor
    |  | covering, screed, insulation      |  | covering, boards, insulation
    |  |========================           |  |========================
    |  |   slab                          ==|  |   void, height over the ground outside; openings ==
    |  |------------------------           |  |------------------------
     w     ground                             w    ground

The formulas were read in the source of the UK government's home energy model and in two public transcriptions.
Resistances are plain numbers, in m²K/W; most of what is asked for may be a number or an array.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from flooring_kit.arrays import Array, checked, plain
from flooring_kit.checks import require_between, require_one_of

GROUND_CONDUCTIVITIES_W_MK = {"clay or silt": 1.5, "sand or gravel": 2.0, "rock": 3.5}
"""Thermal conductivity of the ground [W/(m K)] (ISO 13370)."""

SHELTER_FACTORS = {"sheltered": 0.02, "average": 0.05, "exposed": 0.10}
"""Share of the wind that reaches the openings of a void (ISO 13370): town centre, suburb, open country."""

R_SI_M2K_W, R_SE_M2K_W = 0.17, 0.04
"""Resistance of the air on the floor, heat going down, and outside (ISO 6946) [m²K/W]."""

LEAST_DIMENSION_M, MOST_DIMENSION_M = 2.0, 40.0
"""B' from which and to which the formulas stand against a published table: exposed perimeter over area from 1.00 down
to 0.05 m/m² (Approved Document L, 2002, table C1)."""

DIMENSION_HINT = (
    "Approved Document L (2002), table C1, covers 0.05 to 1.00 m of exposed perimeter for each m². "
    "Take the whole ground floor of the house, not one room."
)
MOST_EDGE_M = {"flat": 1.5, "upright": 1.0}
"""Width of edge insulation laid flat, depth of one set upright, up to which tables C2 and C3 of Approved Document L
(2002) go [m]."""

GROUND_SPREAD_FRACTION = 0.25
"""How far a seasonal figure may be out either way: clay taken for sand changes an uninsulated slab (P/A 0.5) from
0.698 to 0.878 W/m²K, by 26 %. Common practice, no source, for the rest."""


@dataclass(frozen=True)
class Ground:
    """What the house stands on; values outside the ranges are refused.

    Parameters
    ----------
    conductivity_w_mk
        Thermal conductivity of the ground, 0.5 to 4 [W/(m K)].
    wall_thickness_mm
        Whole thickness of the outer walls, 100 to 1000 [mm].
    """

    conductivity_w_mk: float = GROUND_CONDUCTIVITIES_W_MK["clay or silt"]
    wall_thickness_mm: float = 300.0

    def __post_init__(self) -> None:
        hint = "ISO 13370 has 1.5 for clay or silt, 2 for sand or gravel, 3.5 for rock."
        require_between(self.conductivity_w_mk, 0.5, 4, "conductivity of the ground", unit="W/mK", hint=hint)
        hint = "Whole thickness of the outer wall, in mm."
        require_between(self.wall_thickness_mm, 100, 1000, "outer wall", unit="mm", hint=hint)


CLAY = Ground()


def ground_of(kind: str, *, wall_thickness_mm: float = 300.0) -> Ground:
    """The ground by its name: "clay or silt", "sand or gravel", "rock".

    Raises
    ------
    ValueError
        For any other word, and as :class:`Ground`.

    Examples
    --------
    >>> ground_of("rock").conductivity_w_mk
    3.5
    """
    require_one_of(kind, GROUND_CONDUCTIVITIES_W_MK, "ground")
    return Ground(GROUND_CONDUCTIVITIES_W_MK[kind], wall_thickness_mm)


@dataclass(frozen=True)
class Void:
    """The space under a suspended floor; values outside the ranges are refused.

    Parameters
    ----------
    height_mm
        Top of the floor over the ground outside, 0 to 1000 [mm].
    wall_u_w_m2k
        U-value of the wall round the void above the ground, 0.1 to 4 [W/(m² K)].
    openings_mm2_per_m
        Clear area of air bricks for each metre of exposed wall, 0 to 10 000 [mm²/m].
    wind_m_s
        Mean wind at 10 m, 0 to 10 [m/s].
    shelter
        "sheltered" (town centre), "average" (suburb) or "exposed" (open country).

    Notes
    -----
    Height, wall, wind and shelter stand as the set that gives back all 40 values of Approved Document L (2002),
    table C4; the text read does not print them.
    """

    height_mm: float = 300.0
    wall_u_w_m2k: float = 1.7
    openings_mm2_per_m: float = 1500.0
    wind_m_s: float = 3.0
    shelter: str = "average"

    def __post_init__(self) -> None:
        hint = "From the ground outside to the top of the floor, in mm."
        require_between(self.height_mm, 0, 1000, "height of the void", unit="mm", hint=hint)
        require_between(self.wall_u_w_m2k, 0.1, 4, "U-value of the wall round the void", unit="W/m²K")
        hint = "Air bricks, in mm² for each metre of exposed wall; 0.0015 m²/m is 1500."
        require_between(self.openings_mm2_per_m, 0, 10_000, "openings of the void", unit="mm²/m", hint=hint)
        require_between(self.wind_m_s, 0, 10, "mean wind", unit="m/s")
        require_one_of(self.shelter, SHELTER_FACTORS, "shelter")


TIMBER_VOID = Void()
TIMBER_FLOOR_M2K_W = 0.2
"""Resistance of an uninsulated timber floor that gives back table C4 of Approved Document L (2002) [m²K/W]."""


@dataclass(frozen=True)
class EdgeInsulation:
    """A strip of insulation along the edge of a slab; values outside the ranges are refused.

    Parameters
    ----------
    resistance_m2k_w, thickness_mm
        The strip, as :func:`edge_psi_w_mk` [m²K/W, mm].
    extent_mm
        Width of a strip laid flat, 0 to 1500; depth of one set upright, 0 to 1000 [mm].
    position
        "flat" or "upright".
    """

    resistance_m2k_w: float
    thickness_mm: float
    extent_mm: float
    position: str = "flat"

    def __post_init__(self) -> None:
        edge_psi_w_mk(self.extent_mm, self.resistance_m2k_w, thickness_mm=self.thickness_mm, position=self.position)


def characteristic_dimension_m(area_m2: ArrayLike, perimeter_m: ArrayLike) -> Any:
    """Characteristic dimension of a ground floor, B' = 2 A / P (ISO 13370) [m].

    Parameters
    ----------
    area_m2
        Ground floor inside the outer walls, 1 to 100 000 [m²].
    perimeter_m
        Length of its edge to the outside or to an unheated space, 0.5 to 20 000 [m]; walls to the house next door
        are left out.

    Raises
    ------
    ValueError
        Outside those ranges, and for B' outside 2 to 40 m.

    Examples
    --------
    The notched rectangle of 10.2 × 6.7 m less 3.5 × 2.7 m:

    >>> round(characteristic_dimension_m(58.89, 33.8), 3)
    3.485
    """
    area = checked(area_m2, 1, 100_000, "ground floor", unit="m²")
    hint = "A room without an outer wall: take area and perimeter of the whole ground floor."
    perimeter = checked(perimeter_m, 0.5, 20_000, "exposed perimeter", unit="m", hint=hint)
    dimension = 2 * area / perimeter
    _checked_dimension(dimension)
    return plain(dimension)


def slab_u_w_m2k(
    dimension_m: ArrayLike,
    resistance_m2k_w: ArrayLike = 0.0,
    *,
    ground: Ground = CLAY,
    edge: EdgeInsulation | None = None,
) -> Any:
    """U-value of a slab on the ground [W/(m² K)].

    Parameters
    ----------
    dimension_m
        Characteristic dimension B', 2 to 40 [m].
    resistance_m2k_w
        Everything on the ground that resists, insulation, screed and covering; a dense slab counts for nothing.
        0 to 20 [m²K/W].
    ground, edge
        The ground and the walls on it; insulation along the edge, if any.

    Raises
    ------
    ValueError
        Outside those ranges.

    References
    ----------
    ISO 13370: d_t = w + λ (R_si + R_f + R_se); U = 2 λ / (π B' + d_t) · ln(π B' / d_t + 1) where d_t < B', else
    U = λ / (0.457 B' + d_t). The branches meet within 0.02 %. Less ψ P / A for insulation along the edge (from memory).

    Examples
    --------
    Exposed perimeter over area 0.5, clay, no insulation; table C1 of Approved Document L (2002) has 0.70:

    >>> round(slab_u_w_m2k(4.0), 3)
    0.698
    """
    dimension = _checked_dimension(dimension_m)
    depth = _equivalent_depth_m(resistance_m2k_w, ground)
    conductivity = ground.conductivity_w_mk
    shallow = 2 * conductivity / (np.pi * dimension + depth) * np.log(np.pi * dimension / depth + 1)
    value = np.where(depth < dimension, shallow, conductivity / (0.457 * dimension + depth))
    if edge is not None:
        strip = edge_psi_w_mk(
            edge.extent_mm,
            edge.resistance_m2k_w,
            thickness_mm=edge.thickness_mm,
            position=edge.position,
            floor_resistance_m2k_w=resistance_m2k_w,
            ground=ground,
        )
        value = value - strip * 2 / dimension
    return plain(value)


def edge_psi_w_mk(
    extent_mm: ArrayLike,
    edge_resistance_m2k_w: ArrayLike,
    *,
    thickness_mm: ArrayLike = 0.0,
    position: str = "flat",
    floor_resistance_m2k_w: ArrayLike = 0.0,
    ground: Ground = CLAY,
) -> Any:
    """Heat that a strip of edge insulation keeps in, for each metre of edge [W/(m K)].

    Parameters
    ----------
    extent_mm
        Width of a strip laid flat, 0 to 1500; depth of one set upright, 0 to 1000 [mm].
    edge_resistance_m2k_w
        Resistance of the strip, 0 to 2 [m²K/W].
    thickness_mm
        Its thickness, 0 to 200 [mm]: the ground that it takes the place of no longer resists.
    position
        "flat" or "upright".
    floor_resistance_m2k_w
        What lies all over the ground, 0 to 20 [m²K/W].
    ground
        The ground and the walls on it.

    Raises
    ------
    ValueError
        Outside those ranges: tables C2 and C3 of Approved Document L (2002) go no further. For a strip that resists
        less than the ground it takes the place of.

    References
    ----------
    ISO 13370: ψ = λ/π [ln(D / d_t + 1) - ln(D / (d_t + R' λ) + 1)]; an upright strip counts twice its depth.
    R' = R - d/λ for the thickness d of the strip is from memory; with it, and insulation of 0.04 W/(m K), all 16 values
    of tables C2 and C3 come back.

    Examples
    --------
    >>> round(edge_psi_w_mk(1000, 1.0, thickness_mm=40), 2)
    0.27
    """
    require_one_of(position, MOST_EDGE_M, "edge insulation")
    table, measure = ("C2", "width") if position == "flat" else ("C3", "depth")
    hint = f"Approved Document L (2002), table {table}, goes no further."
    name = f"{measure} of the edge insulation"
    extent = checked(extent_mm, 0, 1000 * MOST_EDGE_M[position], name, unit="mm", hint=hint)
    name = "resistance of the edge insulation"
    declared = checked(edge_resistance_m2k_w, 0, 2, name, unit="m²K/W", hint=hint)
    thickness = checked(thickness_mm, 0, 200, "thickness of the edge insulation", unit="mm")
    name = "resistance of the edge insulation less that of the ground in its place"
    hint = "A strip that resists less than the ground keeps nothing in."
    added = checked(declared - thickness / 1000 / ground.conductivity_w_mk, 0, 2, name, unit="m²K/W", hint=hint)
    reach = extent / 1000 * (2 if position == "upright" else 1)
    depth = _equivalent_depth_m(floor_resistance_m2k_w, ground)
    conductivity = ground.conductivity_w_mk
    saved = np.log(reach / depth + 1) - np.log(reach / (depth + added * conductivity) + 1)
    return plain(conductivity / np.pi * saved)


def suspended_u_w_m2k(
    dimension_m: ArrayLike,
    resistance_m2k_w: ArrayLike = TIMBER_FLOOR_M2K_W,
    *,
    ground: Ground = CLAY,
    void: Void = TIMBER_VOID,
) -> Any:
    """U-value of a suspended floor over a void aired from outside [W/(m² K)].

    Parameters
    ----------
    dimension_m
        Characteristic dimension B', 2 to 40 [m].
    resistance_m2k_w
        Floor between the air of the room and that of the void: boards, insulation, covering, 0 to 20 [m²K/W].
    ground, void
        The ground, bare; the void.

    Raises
    ------
    ValueError
        Outside those ranges.

    References
    ----------
    ISO 13370: 1/U = 1/U_f + 1/(U_g + U_x); U_f = 1/(2 R_si + R_f); U_g as a slab that nothing lies on;
    U_x = 2 h U_w / B' + 1450 ε v f_w / B'.

    Examples
    --------
    Exposed perimeter over area 0.5; table C4 of Approved Document L (2002) has 0.66:

    >>> round(suspended_u_w_m2k(4.0), 2)
    0.66
    """
    dimension = _checked_dimension(dimension_m)
    resistance = _checked_resistance(resistance_m2k_w)
    to_ground = slab_u_w_m2k(dimension, ground=ground)
    through_wall = 2 * void.height_mm / 1000 * void.wall_u_w_m2k / dimension
    carried = 1450 * void.openings_mm2_per_m / 1e6 * void.wind_m_s * SHELTER_FACTORS[void.shelter] / dimension
    return plain(1 / (2 * R_SI_M2K_W + resistance + 1 / (to_ground + through_wall + carried)))


# ---------------------------------------------------------------------- before and after


@dataclass(frozen=True)
class GroundFloor:
    """The ground floor of a house as it stands, without the covering.

    Parameters
    ----------
    area_m2, perimeter_m
        The whole ground floor inside its outer walls and the length of its exposed edge [m², m].
    resistance_m2k_w
        What stays in the floor: screed and insulation; boards of a timber floor, 0.2 if bare. 0 to 19 [m²K/W].
    ground
        The ground and the walls on it.
    void
        The void under a suspended floor; None for a slab.
    edge
        Insulation along the edge of a slab.

    Raises
    ------
    ValueError
        For B' outside 2 to 40 m, a resistance out of range, edge insulation with a void.
    """

    area_m2: float
    perimeter_m: float
    resistance_m2k_w: float = 0.0
    ground: Ground = CLAY
    void: Void | None = None
    edge: EdgeInsulation | None = None

    def __post_init__(self) -> None:
        characteristic_dimension_m(self.area_m2, self.perimeter_m)
        require_between(self.resistance_m2k_w, 0, 19, "resistance of the floor", unit="m²K/W")
        if self.void is not None and self.edge is not None:
            raise ValueError("edge insulation belongs to a slab, a void to a suspended floor. Leave one of them out.")

    def u_w_m2k(self, covering_m2k_w: ArrayLike = 0.0) -> Any:
        """U-value with a covering of that resistance, 0 to 1 m²K/W [W/(m² K)].

        >>> floor = GroundFloor(area_m2=40, perimeter_m=20)
        >>> [round(floor.u_w_m2k(covering), 3) for covering in (0, 0.0744, 0.15)]
        [0.698, 0.656, 0.62]
        """
        covering = checked(covering_m2k_w, 0, 1, "resistance of the covering", unit="m²K/W")
        dimension = characteristic_dimension_m(self.area_m2, self.perimeter_m)
        resistance = self.resistance_m2k_w + covering
        if self.void is not None:
            return suspended_u_w_m2k(dimension, resistance, ground=self.ground, void=self.void)
        return slab_u_w_m2k(dimension, resistance, ground=self.ground, edge=self.edge)


@dataclass(frozen=True)
class CoveringChange:
    """One covering taken up and another laid.

    Parameters
    ----------
    before_u_w_m2k, after_u_w_m2k
        U-value of the floor with the old covering and with the new [W/(m² K)].
    taken_up_m2k_w, laid_m2k_w
        Resistance of the old covering and of the new, underlays with them [m²K/W].
    """

    before_u_w_m2k: float
    after_u_w_m2k: float
    taken_up_m2k_w: float
    laid_m2k_w: float

    @property
    def is_colder(self) -> bool:
        """Whether the new covering resists less than the old one."""
        return self.laid_m2k_w < self.taken_up_m2k_w - 1e-9

    def saved_kwh(
        self,
        area_m2: float,
        *,
        degree_days: tuple[float, float],
        spread_fraction: float = GROUND_SPREAD_FRACTION,
    ) -> tuple[float, float]:
        """Heat a season that the new covering keeps in, (low, high); below 0 the new floor loses more [kWh].

        Parameters as :func:`seasonal_heat_kwh`.
        """
        less = self.before_u_w_m2k - self.after_u_w_m2k
        low, high = seasonal_heat_kwh(abs(less), area_m2, degree_days=degree_days, spread_fraction=spread_fraction)
        return (low, high) if less >= 0 else (-high, -low)

    def sentence(self) -> str:
        """The change in words."""
        taken_up = f"{self.taken_up_m2k_w:.3f}" if self.taken_up_m2k_w else "nothing counted as"
        told = (
            f"{self.laid_m2k_w:.3f} m²K/W laid, {taken_up} taken up: "
            f"U-value {self.after_u_w_m2k:.2f} W/m²K, {self.before_u_w_m2k:.2f} before. "
        )
        if self.is_colder:
            return told + "The new floor is colder than the old one and loses more heat."
        if self.laid_m2k_w > self.taken_up_m2k_w + 1e-9:
            return told + "The new floor is warmer than the old one and loses less heat."
        return told + "The new floor is as warm as the old one."


def before_and_after(floor: GroundFloor, *, taken_up_m2k_w: float, laid_m2k_w: float) -> CoveringChange:
    """What a new covering does to a floor, the covering taken up counted with it.

    Parameters
    ----------
    floor
        The floor without a covering.
    taken_up_m2k_w, laid_m2k_w
        Resistance of the old covering and of the new, underlays with them, 0 to 1 [m²K/W]; 0 for none.

    Raises
    ------
    ValueError
        Outside that range.

    Examples
    --------
    A carpet taken up for laminate on thin foam:

    >>> before_and_after(GroundFloor(40, 20), taken_up_m2k_w=0.25, laid_m2k_w=0.13).is_colder
    True
    """
    old = require_between(taken_up_m2k_w, 0, 1, "resistance of the covering taken up", unit="m²K/W")
    new = require_between(laid_m2k_w, 0, 1, "resistance of the covering laid", unit="m²K/W")
    return CoveringChange(floor.u_w_m2k(old), floor.u_w_m2k(new), old, new)


def seasonal_heat_kwh(
    u_w_m2k: ArrayLike,
    area_m2: ArrayLike,
    *,
    degree_days: tuple[float, float],
    spread_fraction: float = GROUND_SPREAD_FRACTION,
) -> tuple[Any, Any]:
    """Heat lost through a floor in a heating season, (low, high) [kWh].

    Parameters
    ----------
    u_w_m2k
        U-value, 0 to 6 [W/(m² K)].
    area_m2
        Floor asked about, one room or all, 0 to 100 000 [m²].
    degree_days
        Heating degree days of a mild and of a hard year at the place, 0 to 10 000 [K day].
    spread_fraction
        How far the result may be out either way for what is not known of the ground, 0 to 0.9.

    Raises
    ------
    ValueError
        Outside those ranges, and for a hard year milder than the mild one.

    Notes
    -----
    U A times degree days times 24 h. Degree days are those of the air outside; the ground is warmer than it in the
    depth of winter and colder in spring, so a single month cannot be told so.

    Examples
    --------
    >>> seasonal_heat_kwh(0.7, 20, degree_days=(2000, 2500), spread_fraction=0)
    (672.0, 840.0)
    """
    value = checked(u_w_m2k, 0, 6, "U-value", unit="W/m²K")
    area = checked(area_m2, 0, 100_000, "floor", unit="m²")
    hint = "Degree days, not degree hours."
    mild = require_between(degree_days[0], 0, 10_000, "degree days of a mild year", unit="K day", hint=hint)
    hint = "Give the mild year first. Degree days, not degree hours."
    hard = require_between(degree_days[1], mild, 10_000, "degree days of a hard year", unit="K day", hint=hint)
    require_between(spread_fraction, 0, 0.9, "spread", hint="Write 25 % as 0.25.")
    lost = value * area * 24 / 1000
    return plain(lost * mild * (1 - spread_fraction)), plain(lost * hard * (1 + spread_fraction))


def heat_cost(
    heat_kwh: tuple[float, float], *, price_per_kwh: float, heat_per_kwh_paid: float = 1.0
) -> tuple[float, float]:
    """Cost of heat, (low, high), in the money of the price.

    Parameters
    ----------
    heat_kwh
        Heat, (low, high); below 0 where a floor loses more than before [kWh].
    price_per_kwh
        What a kWh of fuel or current costs, 0 to 1000.
    heat_per_kwh_paid
        Heat that a kWh paid for gives: a boiler 0.8 to 0.95, a heat pump 2 to 4 (from memory). 0.2 to 7.

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    >>> heat_cost((600, 900), price_per_kwh=0.3, heat_per_kwh_paid=3)
    (60.0, 90.0)
    """
    require_between(price_per_kwh, 0, 1000, "price of a kWh")
    hint = "Write 90 % as 0.9, a heat pump's three for one as 3."
    require_between(heat_per_kwh_paid, 0.2, 7, "heat for each kWh paid", hint=hint)
    low, high = (
        require_between(heat, -1e8, 1e8, "heat", unit="kWh") * price_per_kwh / heat_per_kwh_paid for heat in heat_kwh
    )
    return low, high


def _checked_dimension(dimension_m: ArrayLike) -> Array:
    return checked(
        dimension_m,
        LEAST_DIMENSION_M,
        MOST_DIMENSION_M,
        "characteristic dimension of the floor",
        unit="m",
        hint=DIMENSION_HINT,
    )


def _checked_resistance(resistance_m2k_w: ArrayLike) -> Array:
    return checked(resistance_m2k_w, 0, 20, "resistance of the floor", unit="m²K/W")


def _equivalent_depth_m(resistance_m2k_w: ArrayLike, ground: Ground) -> Array:
    """Depth of ground that resists as much as all that lies between the room's air and the ground, d_t [m]."""
    resistance = _checked_resistance(resistance_m2k_w) + R_SI_M2K_W + R_SE_M2K_W
    return ground.wall_thickness_mm / 1000 + ground.conductivity_w_mk * resistance
