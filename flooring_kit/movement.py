"""How far a floor swells and shrinks with the air of its room, and what that leaves of the gap at its edges.

A floating floor moves from its middle, half of the change at each side::

    wall |<- gap ->|=================== run ===================|<- gap ->| wall
                <--| half                                 half |-->         damp air
                   |-->                                     <--|            dry air

Wood takes up moisture by the equation of the Wood Handbook and moves by its coefficients. For laminate only one figure
is published, the most its standard lets a specimen change; what it is counted on is from memory (`LAMINATE_BASIS`).
Changes are in mm for each metre of floor, above 0 where it swells. All of this may be numbers or arrays.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from flooring_kit.arrays import Array, checked, plain
from flooring_kit.checks import require_between, require_one_of

COOLEST_C, WARMEST_C, DRIEST_PERCENT, DAMPEST_PERCENT = -1.1, 132.2, 5.0, 95.0
"""Where table 4-2 of the Wood Handbook begins and ends: 30 to 270 °F."""

LEAST_MOISTURE_PERCENT, MOST_MOISTURE_PERCENT = 6.0, 14.0
"""Moisture of the wood between which the coefficients hold (Wood Handbook, table 13-5)."""

HYSTERESIS_NOTE = (
    "Trade tables lie about 2 points above the Wood Handbook's equation: 75 % humidity at 15 °C is 16.5 % moisture in "
    "trade text, 14.6 % by the equation. Wood that is drying holds more than wood that takes up moisture."
)
"""What to say beside a moisture from the equation. A moisture meter wins."""

CUTS = {"quarter-sawn": "radial_per_percent", "flat-sawn": "tangential_per_percent"}
"""How a board was cut from the log, and the coefficient that moves its width. Mixed packs: take flat-sawn."""

ALONG_GRAIN_PER_PERCENT = 0.00007
"""Change of wood along its grain for each 1 % of moisture, as a share of its length: 0.2 % from green to dry, over 30 %
of moisture. From memory."""

LAMINATE_LIMIT_MM = 0.9
"""Most a specimen of laminate may change with humidity, on average, in length and in width (EN 13329; read on a test
sheet and in a German table of the standard) [mm]."""

SPECIMEN_MM, TEST_DRY_PERCENT, TEST_DAMP_PERCENT = 180.0, 30.0, 90.0
"""Length of that specimen and the two humidities it is kept at. From memory: the texts read do not print them."""

LAMINATE_BASIS = (
    "The limit of 0.9 mm is that of EN 13329. That it is counted on 180 mm of board between 30 % and 90 % humidity, "
    "and grows evenly between them, is from memory. The leaflet wins."
)
"""What to say beside every figure for laminate."""

KEPT_OPEN_MM = 2.0
"""What must stay open when the floor has swollen. Common practice, no source."""

LONGEST_MM, MOST_MM_PER_M, MOST_GAP_MM = 200_000.0, 50.0, 100.0


# ---------------------------------------------------------------------- wood


def equilibrium_moisture_percent(air_c: ArrayLike, humidity_percent: ArrayLike) -> Any:
    """Moisture content wood comes to in air of that temperature and humidity, in % of its dry mass.

    Parameters
    ----------
    air_c
        Air, -1.1 to 132.2 [°C].
    humidity_percent
        Relative humidity, 5 to 95 [%].

    Raises
    ------
    ValueError
        Outside those ranges, where the handbook's table ends.

    Notes
    -----
    Trade figures are about 2 points higher (`HYSTERESIS_NOTE`).

    References
    ----------
    Wood Handbook (FPL-GTR-282, 2021), equation 4-5, coefficients for °C.

    Examples
    --------
    >>> [round(equilibrium_moisture_percent(20, humidity), 1) for humidity in (35, 50, 65)]
    [7.0, 9.3, 12.0]
    """
    hint = "The Wood Handbook's table 4-2 ends there."
    t = checked(air_c, COOLEST_C, WARMEST_C, "air temperature", unit="°C", hint=hint)
    h = checked(
        humidity_percent,
        DRIEST_PERCENT,
        DAMPEST_PERCENT,
        "humidity",
        unit="%",
        hint=f"{hint} Write 50 % as 50.",
    )
    h = h / 100
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh = k * h
    held = k1 * kh + k1 * k2 * kh**2
    return plain(1800 / w * (kh / (1 - kh) + (held + k1 * k2 * kh**2) / (1 + held)))


@dataclass(frozen=True)
class WoodMovement:
    """How far one species moves across its grain for each 1 % of moisture.

    Parameters
    ----------
    name
        The species.
    radial_per_percent, tangential_per_percent
        Change of a quarter-sawn and of a flat-sawn board's width, as a share of it, 0 to 0.01.
    source
        Where the figures come from.
    """

    name: str
    radial_per_percent: float
    tangential_per_percent: float
    source: str = ""

    def __post_init__(self) -> None:
        hint = "The table counts shares of the width for each 1 %, such as 0.00365."
        require_between(self.radial_per_percent, 0, 0.01, f"{self.name}: radial coefficient", hint=hint)
        require_between(self.tangential_per_percent, 0, 0.01, f"{self.name}: tangential coefficient", hint=hint)


def coefficient_per_percent(species: str, table: Mapping[str, WoodMovement], *, cut: str = "flat-sawn") -> float:
    """Share of its width a board of that species moves for each 1 % of moisture.

    Parameters
    ----------
    species
        A name of the table, written as it stands there.
    table
        Species by name.
    cut
        One of `CUTS`.

    Raises
    ------
    ValueError
        For a species or a cut that is not there.
    """
    row = table[require_one_of(species, table, "species")]
    return float(getattr(row, CUTS[require_one_of(cut, CUTS, "cut of the boards")]))


def wood_change_mm_per_m(
    coefficient: ArrayLike, first_moisture_percent: ArrayLike, last_moisture_percent: ArrayLike
) -> Any:
    """Change of wood between two moisture contents [mm for each metre], above 0 where it swells.

    Parameters
    ----------
    coefficient
        Share it moves for each 1 % of moisture, 0 to 0.01: see `coefficient_per_percent`, or `ALONG_GRAIN_PER_PERCENT`.
        Engineered boards move less across: take their maker's.
    first_moisture_percent, last_moisture_percent
        Moisture of the wood before and after, 6 to 14 [%].

    Raises
    ------
    ValueError
        Outside those ranges: nearer to dry and to wet the change is no longer even.

    References
    ----------
    Wood Handbook (FPL-GTR-282), chapter 13 and table 13-5: change = size x coefficient x change of moisture. Boards of
    a laid floor move as free ones do (FPL research paper, treesearch 64430).

    Examples
    --------
    Red oak, flat-sawn, in a room that goes from 45 to 65 % humidity at 20 °C; a board of 120 mm:

    >>> dry, damp = (equilibrium_moisture_percent(20, humidity) for humidity in (45, 65))
    >>> round(change_mm(120, wood_change_mm_per_m(0.00369, dry, damp)), 2)
    1.55
    """
    hint = "The table counts shares of the width for each 1 %, such as 0.00365."
    share = checked(coefficient, 0, 0.01, "coefficient of movement", hint=hint)
    first, last = (
        checked(
            each,
            LEAST_MOISTURE_PERCENT,
            MOST_MOISTURE_PERCENT,
            f"moisture of the wood {when}",
            unit="%",
            hint="The coefficients of the Wood Handbook hold there (table 13-5).",
        )
        for each, when in ((first_moisture_percent, "before"), (last_moisture_percent, "after"))
    )
    return plain(1000 * share * (last - first))


# ---------------------------------------------------------------------- laminate


def laminate_change_mm_per_m(
    first_humidity_percent: ArrayLike,
    last_humidity_percent: ArrayLike,
    *,
    tested_mm: ArrayLike = LAMINATE_LIMIT_MM,
    specimen_mm: float = SPECIMEN_MM,
) -> Any:
    """Change of laminate between two humidities [mm for each metre], above 0 where it swells.

    Parameters
    ----------
    first_humidity_percent, last_humidity_percent
        Relative humidity the boards have come to, before and after, 30 to 90 [%].
    tested_mm
        What a specimen changed in the humidity test, 0 to 5 [mm]; as it stands, the most EN 13329 allows.
    specimen_mm
        Length of the specimen, 100 to 1000 [mm].

    Raises
    ------
    ValueError
        Outside those ranges.

    Notes
    -----
    The specimen's length and the humidities of the test are from memory, and so is an even change between them
    (`LAMINATE_BASIS`). At the limit it is 5 mm a metre over the whole test and 1.25 mm from 50 to 65 %; laying guides
    reckon with 3 mm a metre in all, 1.5 mm at each side.

    References
    ----------
    EN 13329, dimensional variation with humidity: 0.9 mm on average in length and in width. Method: ISO 24339.

    Examples
    --------
    >>> round(laminate_change_mm_per_m(50, 65), 2)
    1.25
    """
    first, last = (
        checked(
            each,
            TEST_DRY_PERCENT,
            TEST_DAMP_PERCENT,
            f"humidity {when}",
            unit="%",
            hint="The humidity test of laminate ends there (from memory). Write 50 % as 50.",
        )
        for each, when in ((first_humidity_percent, "before"), (last_humidity_percent, "after"))
    )
    tested = checked(tested_mm, 0, 5, "change in the humidity test", unit="mm")
    require_between(specimen_mm, 100, 1000, "specimen of the humidity test", unit="mm")
    return plain(1000 * tested / specimen_mm * (last - first) / (TEST_DAMP_PERCENT - TEST_DRY_PERCENT))


# ---------------------------------------------------------------------- floor and gap


def change_mm(size_mm: ArrayLike, change_mm_per_m: ArrayLike) -> Any:
    """Change of a board or of a whole run of floor [mm], above 0 where it swells.

    Parameters
    ----------
    size_mm
        Board or run, 0 to 200 000 [mm].
    change_mm_per_m
        Change, -50 to 50 [mm for each metre].

    Raises
    ------
    ValueError
        Outside those ranges.
    """
    return plain(_checked_run(size_mm) * _checked_change(change_mm_per_m) / 1000)


@dataclass(frozen=True)
class FloorMovement:
    """Change of a whole floor.

    Parameters
    ----------
    along_mm, across_mm
        Along the boards and across them [mm], above 0 where it swells; half of it at each side.
    """

    along_mm: Any
    across_mm: Any

    def gaps_left_mm(self, gap_mm: ArrayLike) -> tuple[Any, Any]:
        """What is left of gaps of that width at the ends and at the sides [mm]; below 0 the floor presses."""
        gap = _checked_gap(gap_mm)
        return plain(gap - np.asarray(self.along_mm) / 2), plain(gap - np.asarray(self.across_mm) / 2)


def floor_movement(
    along_mm: ArrayLike, across_mm: ArrayLike, *, along_mm_per_m: ArrayLike, across_mm_per_m: ArrayLike
) -> FloorMovement:
    """Change of a floor of that size, along its boards and across them.

    Parameters
    ----------
    along_mm, across_mm
        Unbroken floor along the boards and across them, 0 to 200 000 [mm].
    along_mm_per_m, across_mm_per_m
        Change each way, -50 to 50 [mm for each metre].

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    Eight metres of boards, four across, of laminate at its standard's limit, from 50 to 65 % humidity:

    >>> swells = laminate_change_mm_per_m(50, 65)
    >>> floor = floor_movement(8000, 4000, along_mm_per_m=swells, across_mm_per_m=swells)
    >>> [round(left, 2) for left in floor.gaps_left_mm(10)]
    [5.0, 7.5]
    """
    return FloorMovement(change_mm(along_mm, along_mm_per_m), change_mm(across_mm, across_mm_per_m))


def gap_left_mm(gap_mm: ArrayLike, run_mm: ArrayLike, change_mm_per_m: ArrayLike) -> Any:
    """What is left of the gap at each end of a run when the floor has moved [mm]; below 0 it presses on the wall.

    Parameters
    ----------
    gap_mm
        Gap as laid, 0 to 100 [mm].
    run_mm
        Unbroken floor at right angles to the edge, 0 to 200 000 [mm].
    change_mm_per_m
        Change since it was laid, -50 to 50 [mm for each metre].

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    >>> gap_left_mm(10, 8000, [1.25, -1.0]).tolist()
    [5.0, 14.0]
    """
    return plain(_checked_gap(gap_mm) - np.asarray(change_mm(run_mm, change_mm_per_m)) / 2)


def longest_run_mm(gap_mm: ArrayLike, swells_mm_per_m: ArrayLike, *, kept_open_mm: float = KEPT_OPEN_MM) -> Any:
    """Longest unbroken floor a gap at each side allows [mm]; infinite where the floor does not swell.

    Parameters
    ----------
    gap_mm
        Gap as laid, 0 to 100 [mm].
    swells_mm_per_m
        How much the floor swells after it is laid, -50 to 50 [mm for each metre]; below 0 it shrinks.
    kept_open_mm
        What must stay open, 0 to 20 [mm].

    Returns
    -------
    Any
        0 where the gap as laid is not wider than what must stay open. The leaflet's own longest floor may be shorter.

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    >>> longest_run_mm(10, 1.25)
    12800.0
    """
    swells = _checked_change(swells_mm_per_m)
    room = np.maximum(_checked_gap(gap_mm) - _checked_kept(kept_open_mm), 0.0)
    room, swells = np.broadcast_arrays(room, swells)
    longest = np.full(room.shape, np.inf)
    np.divide(2000 * room, swells, out=longest, where=swells > 0)
    return plain(longest)


@dataclass(frozen=True)
class FittingGap:
    """Gap to leave on the day a floor is laid, and what it opens to.

    Parameters
    ----------
    fitted_mm
        Gap at each side on that day [mm].
    widest_mm
        Gap at each side in the driest time expected, which the trim must still cover [mm].
    """

    fitted_mm: Any
    widest_mm: Any


def fitting_gap(
    run_mm: ArrayLike,
    *,
    swells_mm_per_m: ArrayLike,
    shrinks_mm_per_m: ArrayLike,
    kept_open_mm: float = KEPT_OPEN_MM,
) -> FittingGap:
    """Gap to leave at each side today for the swelling and shrinking still to come.

    Parameters
    ----------
    run_mm
        Unbroken floor at right angles to the edge, 0 to 200 000 [mm].
    swells_mm_per_m, shrinks_mm_per_m
        How much the floor will swell and shrink from today on, 0 to 50 [mm for each metre].
    kept_open_mm
        What must stay open when it has swollen, 0 to 20 [mm].

    Raises
    ------
    ValueError
        Outside those ranges.

    Notes
    -----
    The leaflet's least gap still holds where it is wider, and saw and wall errors come on top.

    Examples
    --------
    >>> fitting_gap(8000, swells_mm_per_m=1.25, shrinks_mm_per_m=1.0)
    FittingGap(fitted_mm=7.0, widest_mm=11.0)
    """
    half_m = _checked_run(run_mm) / 2000
    swells = checked(swells_mm_per_m, 0, MOST_MM_PER_M, "swelling of the floor", unit="mm per m")
    shrinks = checked(shrinks_mm_per_m, 0, MOST_MM_PER_M, "shrinking of the floor", unit="mm per m")
    fitted = _checked_kept(kept_open_mm) + half_m * swells
    return FittingGap(plain(fitted), plain(fitted + half_m * shrinks))


def laminate_fitting_gap(
    run_mm: ArrayLike,
    today_percent: ArrayLike,
    *,
    driest_percent: float,
    dampest_percent: float,
    tested_mm: float = LAMINATE_LIMIT_MM,
    kept_open_mm: float = KEPT_OPEN_MM,
) -> FittingGap:
    """Gap to leave at each side of a laminate floor, given today's humidity and the range expected.

    Parameters
    ----------
    run_mm
        Unbroken floor at right angles to the edge, 0 to 200 000 [mm].
    today_percent
        Humidity the boards have come to, 30 to 90 [%].
    driest_percent, dampest_percent
        Humidity expected in the room, for weeks, not hours, 30 to 90 [%].
    tested_mm
        As for `laminate_change_mm_per_m`, whose cautions hold here too [mm].
    kept_open_mm
        What must stay open when it has swollen, 0 to 20 [mm].

    Raises
    ------
    ValueError
        Outside those ranges; for a driest humidity over the dampest.

    Examples
    --------
    >>> laminate_fitting_gap(8000, 50, driest_percent=35, dampest_percent=65)
    FittingGap(fitted_mm=7.0, widest_mm=12.0)
    """
    _require_order(driest_percent, dampest_percent, "humidity")
    swells = laminate_change_mm_per_m(today_percent, dampest_percent, tested_mm=tested_mm)
    shrinks = laminate_change_mm_per_m(driest_percent, today_percent, tested_mm=tested_mm)
    return fitting_gap(
        run_mm,
        swells_mm_per_m=np.maximum(swells, 0.0),
        shrinks_mm_per_m=np.maximum(shrinks, 0.0),
        kept_open_mm=kept_open_mm,
    )


def wood_fitting_gap(
    run_mm: ArrayLike,
    today_percent: ArrayLike,
    *,
    coefficient: float,
    driest_percent: float,
    dampest_percent: float,
    kept_open_mm: float = KEPT_OPEN_MM,
) -> FittingGap:
    """Gap to leave at each side of a wood floor, given the boards' moisture today and the range expected.

    Parameters
    ----------
    run_mm
        Unbroken floor at right angles to the edge, 0 to 200 000 [mm].
    today_percent
        Moisture of the boards, 6 to 14 [%], from a meter, or from the air by `equilibrium_moisture_percent`.
    coefficient
        As for `wood_change_mm_per_m`.
    driest_percent, dampest_percent
        Moisture of the boards expected in the room, 6 to 14 [%].
    kept_open_mm
        What must stay open when it has swollen, 0 to 20 [mm].

    Raises
    ------
    ValueError
        Outside those ranges; for a driest moisture over the dampest.

    Examples
    --------
    >>> gap = wood_fitting_gap(4000, 9, coefficient=0.0018, driest_percent=7, dampest_percent=12)
    >>> round(gap.fitted_mm, 1), round(gap.widest_mm, 1)
    (12.8, 20.0)
    """
    _require_order(driest_percent, dampest_percent, "moisture of the wood")
    swells = wood_change_mm_per_m(coefficient, today_percent, dampest_percent)
    shrinks = wood_change_mm_per_m(coefficient, driest_percent, today_percent)
    return fitting_gap(
        run_mm,
        swells_mm_per_m=np.maximum(swells, 0.0),
        shrinks_mm_per_m=np.maximum(shrinks, 0.0),
        kept_open_mm=kept_open_mm,
    )


def _require_order(driest: float, dampest: float, name: str) -> None:
    require_between(driest, 0, 100, f"driest {name}", unit="%")
    require_between(dampest, driest, 100, f"dampest {name}", unit="%", hint="It can't be below the driest.")


def _checked_run(run_mm: ArrayLike) -> Array:
    return checked(run_mm, 0, LONGEST_MM, "unbroken floor", unit="mm")


def _checked_change(change: ArrayLike) -> Array:
    return checked(change, -MOST_MM_PER_M, MOST_MM_PER_M, "change of the floor", unit="mm per m")


def _checked_gap(gap_mm: ArrayLike) -> Array:
    return checked(gap_mm, 0, MOST_GAP_MM, "gap", unit="mm")


def _checked_kept(kept_open_mm: float) -> float:
    return require_between(kept_open_mm, 0, 20, "what must stay open", unit="mm")
