"""Heat out of a floor with warm water in its screed, and what the covering takes from it (EN 1264-2, types A and C).

::

    ================================  covering: board and underlay, R
    |             cover            |  screed over the pipes
    |     o               o        |  pipes
          |<-- spacing -->|
    --------------------------------  insulation

The formulas and the tables A.1 to A.3 were read in public source text (AixLib; a transcription of ISO 11855-2:2021
annex A); between their values they are taken as straight. They hold for pipes with a conductivity of 0.35 W/(m K) and
a wall of 2 mm. Heat that goes down, pipes under dry boards (type B) and the limit curves of tables A.4 to A.6, which
say where the hottest strip of floor passes its limit, are left out: surface temperatures here are means.
Resistances are plain numbers, in m²K/W; most of what is asked for may be a number or an array.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import ArrayLike

from flooring_kit.arrays import Array, checked, plain
from flooring_kit.checks import require_between, require_one_of
from flooring_kit.rules import HEATED_COVERING_LIMIT_M2K_W

DESIGN_COVERING_M2K_W = 0.10
"""Covering that living rooms are dimensioned with where none is named (albinschade.de; AixLib) [m²K/W]."""

ZONE_EXCESS_K = {"occupied": 9.0, "perimeter": 15.0, "bathroom": 9.0}
"""How much warmer than the room a floor may be (EN 1264): 29, 35 and 33 °C in rooms of 20, 20 and 24 °C."""

BOARD_SURFACE_C = 27.0
"""Warmest surface most boards of wood and laminate allow, 27 or 28 [°C] (trade pages, a maker's guide). The leaflet
wins."""

CURVE_W_M2, CURVE_EXPONENT, CURVE_END_K = 8.92, 1.1, 15.0
"""Basic characteristic curve q = 8.92 (θ_F - θ_i)^1.1, published for floors up to 15 K warmer than the room."""

MOST_WATER_C = 55.0
"""Warmest water for a screed [°C] (EN 1264-4, from memory)."""

OUTPUT_END_W_M2 = 175.0
"""What a floor 15 K warmer than the room gives, rounded down [W/m²]."""

B_W_M2K = 6.7
SURFACE_W_M2K, COVER_0_M, CONDUCTIVITY_0_W_MK = 10.8, 0.045, 1.0

RESISTANCES_M2K_W = (0.0, 0.05, 0.10, 0.15)
SPACINGS_M = (0.05, 0.075, 0.1, 0.15, 0.2, 0.225, 0.3, 0.375)

A_T = (1.23, 1.188, 1.156, 1.134)
"""Table A.1 of EN 1264-2: factor of the spacing, by covering."""

A_U = (
    (1.069, 1.056, 1.043, 1.037),
    (1.066, 1.053, 1.041, 1.035),
    (1.063, 1.05, 1.039, 1.0335),
    (1.057, 1.046, 1.035, 1.0305),
    (1.051, 1.041, 1.0315, 1.0275),
    (1.048, 1.038, 1.0295, 1.026),
    (1.0395, 1.031, 1.024, 1.021),
    (1.03, 1.0221, 1.0181, 1.015),
)
"""Table A.2 of EN 1264-2: factor of the cover, by spacing (rows) and covering."""

A_D = (
    (1.013, 1.013, 1.012, 1.011),
    (1.021, 1.019, 1.016, 1.014),
    (1.029, 1.025, 1.022, 1.018),
    (1.04, 1.034, 1.029, 1.024),
    (1.046, 1.04, 1.035, 1.03),
    (1.049, 1.043, 1.038, 1.033),
    (1.053, 1.049, 1.044, 1.039),
    (1.056, 1.051, 1.046, 1.042),
)
"""Table A.3 of EN 1264-2: factor of the pipe's diameter, by spacing (rows) and covering."""

OPTION_COLUMNS = [
    "covering",
    "resistance_m2k_w",
    "output_w_m2",
    "surface_c",
    "needed_excess_k",
    "needed_flow_c",
    "verdict",
]


# ---------------------------------------------------------------------- surface and room


def surface_output_w_m2(surface_c: ArrayLike, room_c: ArrayLike) -> Any:
    """Heat a floor gives to the room by its mean surface temperature [W/m²].

    Parameters
    ----------
    surface_c
        Mean surface, up to 15 K warmer than the room [°C].
    room_c
        Room, 5 to 30 [°C].

    Raises
    ------
    ValueError
        Outside those ranges.

    References
    ----------
    Basic characteristic curve of EN 1264-2.

    Examples
    --------
    >>> round(surface_output_w_m2(29, 20))
    100
    """
    room = _checked_room(room_c)
    hint = "EN 1264 has no floor more than 15 K warmer than the room."
    surface = checked(surface_c, room, room + CURVE_END_K, "floor surface", unit="°C", hint=hint)
    return plain(CURVE_W_M2 * np.maximum(surface - room, 0.0) ** CURVE_EXPONENT)


def surface_temperature_c(output_w_m2: ArrayLike, room_c: ArrayLike) -> Any:
    """Mean surface temperature of a floor that gives so much heat [°C].

    Parameters
    ----------
    output_w_m2
        Heat to the room, 0 to 175 [W/m²].
    room_c
        Room, 5 to 30 [°C].

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    >>> round(surface_temperature_c(50, 20), 2)
    24.79
    """
    output = _checked_output(output_w_m2)
    return plain(_checked_room(room_c) + _surface_excess_k(output))


def surface_limit_c(zone: str, room_c: float) -> float:
    """Warmest mean surface EN 1264 allows in a room of that temperature [°C].

    Parameters
    ----------
    zone
        "occupied", "perimeter" (a strip along outer walls) or "bathroom".
    room_c
        Room, 5 to 30 [°C].

    Raises
    ------
    ValueError
        For another word or outside that range.

    Examples
    --------
    >>> [surface_limit_c(*each) for each in (("occupied", 20), ("perimeter", 20), ("bathroom", 24))]
    [29.0, 35.0, 33.0]
    """
    require_one_of(zone, ZONE_EXCESS_K, "zone of the floor")
    return float(_checked_room(room_c)) + ZONE_EXCESS_K[zone]


# ---------------------------------------------------------------------- water and floor


def mean_excess_k(flow_c: ArrayLike, return_c: ArrayLike, room_c: ArrayLike) -> Any:
    """How much warmer than the room the water is in the mean of its way through the floor [K].

    Parameters
    ----------
    flow_c
        Water that goes in, up to 55 [°C].
    return_c
        Water that comes out: over the room, at most as warm as the flow [°C].
    room_c
        Room, 5 to 30 [°C].

    Raises
    ------
    ValueError
        Outside those ranges.

    References
    ----------
    EN 1264-2 and ISO 11855-2 A.1: (θ_V - θ_R) / ln((θ_V - θ_i) / (θ_R - θ_i)).

    Examples
    --------
    >>> round(mean_excess_k(40, 35, 20), 2)
    17.38
    """
    room = _checked_room(room_c)
    hint = "EN 1264-4 has 55 °C as the most for a screed (from memory); the flow is warmer than the room."
    flow = checked(flow_c, room + 0.1, MOST_WATER_C, "flow", unit="°C", hint=hint)
    hint = "It lies between the room and the flow."
    back = checked(return_c, room + 0.1, flow, "return", unit="°C", hint=hint)
    drop, left = flow - back, back - room
    share = drop / left
    # ln(1 + x) / x is 1 where flow and return are the same
    stretch = np.divide(np.log1p(share), share, out=np.ones_like(share), where=share > 0)
    return plain(left / stretch)


def flow_temperature_c(excess_k: ArrayLike, *, drop_k: ArrayLike, room_c: ArrayLike) -> Any:
    """Flow temperature for a mean excess over the room and a drop from flow to return [°C].

    Parameters
    ----------
    excess_k
        Mean excess, 0.01 to 500 [K].
    drop_k
        Flow less return, 0 to 50 [K].
    room_c
        Room, 5 to 30 [°C].

    Raises
    ------
    ValueError
        Outside those ranges.

    Notes
    -----
    :func:`mean_excess_k` turned round. The result may be hotter than a screed allows: compare it with 55 °C.

    Examples
    --------
    >>> round(flow_temperature_c(17.38, drop_k=5, room_c=20), 2)
    40.0
    """
    excess = checked(excess_k, 0.01, 500, "mean excess of the water", unit="K")
    drop = checked(drop_k, 0, 50, "drop from flow to return", unit="K")
    room = _checked_room(room_c)
    share = drop / excess
    stretch = np.divide(-np.expm1(-share), share, out=np.ones_like(share), where=share > 0)
    return plain(room + excess / stretch)


def transmission_w_m2k(
    covering_m2k_w: ArrayLike,
    *,
    spacing_mm: ArrayLike,
    pipe_diameter_mm: ArrayLike,
    cover_mm: ArrayLike,
    conductivity_w_mk: ArrayLike,
) -> Any:
    """Heat a floor gives for each kelvin the water is warmer than the room in the mean, K_H [W/(m² K)].

    Parameters
    ----------
    covering_m2k_w
        Board and underlay together, 0 to 0.15 [m²K/W].
    spacing_mm
        From pipe to pipe, 50 to 600 [mm].
    pipe_diameter_mm
        Outside the pipe, 8 to 30 [mm].
    cover_mm
        Screed over the pipes, 10 to 160 [mm].
    conductivity_w_mk
        Screed, 0.8 to 3 [W/(m K)].

    Raises
    ------
    ValueError
        Outside those ranges.

    Notes
    -----
    Thicker or poorer screeds than these are refused: the formula, carried on, would have a covering help the heat.

    References
    ----------
    EN 1264-2 annex A, ISO 11855-2 annex A: K_H = B a_B a_T^(1 - T/0.075) a_u^(100 (0.045 - s_u)) a_D^(250 (D - 0.020)),
    B = 6.7. Wider than 375 mm: the output at 375 mm times 375 over the spacing. Covers thicker than s* (100 mm, or half
    the spacing if that is more): 1 / (1 / K_H at s* + (s_u - s*) / λ). AixLib has this rule over
    65 mm and over s*, and only so does the output not jump; a summary that names 65 mm alone would lose 3 % there.

    Examples
    --------
    >>> floor = {"spacing_mm": 150, "pipe_diameter_mm": 16, "cover_mm": 45, "conductivity_w_mk": 1.2}
    >>> transmission_w_m2k([0, 0.05, 0.10, 0.15], **floor).round(2).tolist()
    [5.54, 4.17, 3.37, 2.83]
    """
    hint = "EN 1264 allows 0.15 m²K/W (1.5 tog) over heating; its tables end there."
    covering = checked(covering_m2k_w, 0, HEATED_COVERING_LIMIT_M2K_W, "covering over heating", unit="m²K/W", hint=hint)
    hint = "EN 1264-2, tables A.2 and A.3, starts at 50 mm; in mm."
    spacing = checked(spacing_mm, 50, 600, "pipe spacing", unit="mm", hint=hint) / 1000
    hint = "EN 1264-2 (read at second hand); outside the pipe, in mm."
    diameter = checked(pipe_diameter_mm, 8, 30, "pipe diameter", unit="mm", hint=hint) / 1000
    hint = "EN 1264-2 starts at 10 mm (read at second hand); from the top of the pipe, in mm."
    cover = checked(cover_mm, 10, 160, "screed over the pipes", unit="mm", hint=hint) / 1000
    hint = "Cement screed has 1.15 to 1.4 (from memory)."
    conductivity = checked(conductivity_w_mk, 0.8, 3, "conductivity of the screed", unit="W/mK", hint=hint)
    within = np.minimum(spacing, SPACINGS_M[-1])
    thick = np.maximum(0.1, within / 2)
    a_b = (1 / SURFACE_W_M2K + COVER_0_M / CONDUCTIVITY_0_W_MK) / (
        1 / SURFACE_W_M2K + COVER_0_M / conductivity + covering
    )
    a_t = np.interp(covering, RESISTANCES_M2K_W, A_T)
    a_u, a_d = (_between(within, covering, np.array(table)) for table in (A_U, A_D))
    value = B_W_M2K * a_b * a_t ** (1 - within / 0.075) * a_d ** (250 * (diameter - 0.020))
    value = value * a_u ** (100 * (COVER_0_M - np.minimum(cover, thick)))
    value = 1 / (1 / value + np.maximum(cover - thick, 0.0) / conductivity)
    return plain(value * within / spacing)


def _between(spacing: Array, covering: Array, table: Array) -> Array:
    """A table by spacing and covering, straight between its values both ways."""
    spacings, resistances = np.array(SPACINGS_M), np.array(RESISTANCES_M2K_W)
    row = np.clip(np.searchsorted(spacings, spacing, side="right") - 1, 0, len(spacings) - 2)
    column = np.clip(np.searchsorted(resistances, covering, side="right") - 1, 0, len(resistances) - 2)
    down = (spacing - spacings[row]) / (spacings[row + 1] - spacings[row])
    over = (covering - resistances[column]) / (resistances[column + 1] - resistances[column])
    upper = table[row, column] * (1 - over) + table[row, column + 1] * over
    lower = table[row + 1, column] * (1 - over) + table[row + 1, column + 1] * over
    return np.asarray(upper * (1 - down) + lower * down)


@dataclass(frozen=True)
class Heating:
    """Warm water pipes in the screed of a room.

    Parameters
    ----------
    spacing_mm
        From pipe to pipe, 50 to 600 [mm].
    pipe_diameter_mm
        Outside the pipe, 8 to 30 [mm].
    cover_mm
        Screed over the pipes, 10 to 160 [mm].
    conductivity_w_mk
        Screed, 0.8 to 3 [W/(m K)].
    flow_c, return_c
        Water that goes in, up to 55, and comes out [°C].
    room_c
        Room, 5 to 30 [°C].

    Raises
    ------
    ValueError
        Outside those ranges.
    """

    spacing_mm: float = 150.0
    pipe_diameter_mm: float = 16.0
    cover_mm: float = 45.0
    conductivity_w_mk: float = 1.2
    flow_c: float = 40.0
    return_c: float = 35.0
    room_c: float = 20.0

    def __post_init__(self) -> None:
        self.transmission_w_m2k(0.0)
        mean_excess_k(self.flow_c, self.return_c, self.room_c)

    @property
    def excess_k(self) -> float:
        """How much warmer than the room the water is in the mean [K]."""
        return float(mean_excess_k(self.flow_c, self.return_c, self.room_c))

    def transmission_w_m2k(self, covering_m2k_w: ArrayLike) -> Any:
        """Heat for each kelvin of the water's mean excess, as :func:`transmission_w_m2k` [W/(m² K)]."""
        return transmission_w_m2k(
            covering_m2k_w,
            spacing_mm=self.spacing_mm,
            pipe_diameter_mm=self.pipe_diameter_mm,
            cover_mm=self.cover_mm,
            conductivity_w_mk=self.conductivity_w_mk,
        )

    def output_w_m2(self, covering_m2k_w: ArrayLike) -> Any:
        """Heat to the room with its water as it is, under a covering of 0 to 0.15 m²K/W [W/m²].

        >>> round(Heating(spacing_mm=100, cover_mm=20, conductivity_w_mk=1).output_w_m2(0.05), 1)
        88.9
        """
        return self.transmission_w_m2k(covering_m2k_w) * self.excess_k

    def needed_excess_k(self, output_w_m2: ArrayLike, covering_m2k_w: ArrayLike) -> Any:
        """How much warmer than the room the water must be in the mean for an output of 0 to 175 W/m² [K].

        >>> Heating().needed_excess_k(50, [0, 0.15]).round(2).tolist()
        [9.03, 17.64]
        """
        return plain(_checked_output(output_w_m2) / self.transmission_w_m2k(covering_m2k_w))


# ---------------------------------------------------------------------- coverings side by side


def covering_options(
    heating: Heating,
    coverings: Sequence[tuple[str, float | None]],
    *,
    wanted_w_m2: float | None = None,
    zone: str = "occupied",
    board_surface_c: float = BOARD_SURFACE_C,
    board_limit_m2k_w: float = HEATED_COVERING_LIMIT_M2K_W,
) -> pd.DataFrame:
    """Coverings over one heated floor, side by side.

    Parameters
    ----------
    heating
        Pipes, screed, water and room.
    coverings
        (name, resistance of board and underlay together [m²K/W] or None where it is not known, 0 to 2).
    wanted_w_m2
        Heat the room needs, 1 to 175 [W/m²]; None for what the floor gives under the 0.10 m²K/W that living rooms
        are dimensioned with.
    zone
        "occupied", "perimeter" or "bathroom".
    board_surface_c
        Warmest surface the board allows, 20 to 40 [°C].
    board_limit_m2k_w
        Most the leaflet lets board and underlay resist over heating, 0 to 1; EN 1264's 0.15 holds beside it [m²K/W].

    Returns
    -------
    DataFrame
        One row a covering, in order: `covering`, `resistance_m2k_w`; `output_w_m2` and `surface_c`, the floor's mean
        surface, with the water as it is; `needed_excess_k` and `needed_flow_c`, the water's mean excess over the room
        and its flow for the output wanted, with the drop as it is; `verdict`, "fits" or what is against it. Not a
        number where no figure is published: over 0.15 m²K/W, or a floor more than 15 K warmer than the room.

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    >>> table = covering_options(Heating(flow_c=35, return_c=30), [("thin", 0.07), ("thick", 0.19)], wanted_w_m2=45)
    >>> table.verdict.tolist()
    ['fits', 'too much covering: 0.190 m²K/W, over the 0.15 of EN 1264']
    """
    require_between(board_surface_c, 20, 40, "warmest surface of the board", unit="°C")
    limit, whose = min((board_surface_c, "the board"), (surface_limit_c(zone, heating.room_c), "EN 1264"))
    require_between(board_limit_m2k_w, 0, 1, "the board's limit over heating", unit="m²K/W")
    wanted = heating.output_w_m2(DESIGN_COVERING_M2K_W) if wanted_w_m2 is None else wanted_w_m2
    hint = "EN 1264 has no floor more than 15 K warmer than the room."
    wanted = require_between(wanted, 1, OUTPUT_END_W_M2, "output wanted", unit="W/m²", hint=hint)
    too_hot = _against_wanted(wanted, heating.room_c, limit, whose)
    rows = []
    for name, resistance in coverings:
        if resistance is None:
            rows.append((name, *[np.nan] * 5, "no resistance declared: ask for it"))
            continue
        require_between(resistance, 0, 2, f"{name}: thermal resistance", unit="m²K/W")
        against = _against_covering(resistance, board_limit_m2k_w)
        if resistance > HEATED_COVERING_LIMIT_M2K_W * (1 + 1e-9):
            rows.append((name, resistance, *[np.nan] * 4, against[0]))
            continue
        output = heating.output_w_m2(resistance)
        excess = heating.needed_excess_k(wanted, resistance)
        needed = flow_temperature_c(excess, drop_k=heating.flow_c - heating.return_c, room_c=heating.room_c)
        surface, end = heating.room_c + _surface_excess_k(output), heating.room_c + CURVE_END_K
        against += too_hot or _against_output(output, wanted, needed, heating)
        against += _against_surface(surface, end, limit, whose)
        shown = surface if surface <= end else np.nan
        rows.append((name, resistance, output, shown, excess, needed, "; ".join(against) or "fits"))
    return pd.DataFrame(rows, columns=OPTION_COLUMNS)


def _against_covering(resistance: float, board_limit: float) -> list[str]:
    limit, whose = (
        (board_limit, "the board")
        if board_limit < HEATED_COVERING_LIMIT_M2K_W
        else (HEATED_COVERING_LIMIT_M2K_W, "EN 1264")
    )
    if resistance <= limit * (1 + 1e-9):
        return []
    return [f"too much covering: {resistance:.3f} m²K/W, over the {limit:g} of {whose}"]


def _against_output(output: float, wanted: float, needed: float, heating: Heating) -> list[str]:
    if output > wanted - 0.5:
        return []
    told = f"{wanted - output:.0f} W/m² short: needs a flow of {needed:.1f} °C"
    if needed > MOST_WATER_C:
        return [f"{told}, over the {MOST_WATER_C:g} °C of a screed (from memory)"]
    return [f"{told} instead of {heating.flow_c:g}"]


def _against_wanted(wanted: float, room: float, limit: float, whose: str) -> list[str]:
    surface = room + _surface_excess_k(wanted)
    if surface <= limit + 0.05:
        return []
    return [f"{wanted:.0f} W/m² makes any floor {surface:.1f} °C, over the {limit:g} °C of {whose}"]


def _against_surface(surface: float, end: float, limit: float, whose: str) -> list[str]:
    if surface > end:
        return [f"floor over {end:g} °C, past the published curve: cooler water"]
    if surface > limit + 0.05:
        return [f"floor of {surface:.1f} °C, over the {limit:g} °C of {whose}: cooler water"]
    return []


# ---------------------------------------------------------------------- checks and ends


def _surface_excess_k(output: Any) -> Any:
    return (output / CURVE_W_M2) ** (1 / CURVE_EXPONENT)


def _checked_room(room_c: ArrayLike) -> Array:
    return checked(room_c, 5, 30, "room", unit="°C")


def _checked_output(output_w_m2: ArrayLike) -> Array:
    hint = "EN 1264 has no floor more than 15 K warmer than the room."
    return checked(output_w_m2, 0, OUTPUT_END_W_M2, "output of the floor", unit="W/m²", hint=hint)
