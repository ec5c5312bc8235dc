"""Whether the coldest place of a floor gets damp from the air of the room: dew point, surface temperature, margin.

Air holds less vapour the colder it is. Where a surface is colder than the dew point, water settles; where the air at it
is damper than 80 % for long, mould can grow before that::

    warm  |  air of the room, 20 °C at 50 %
          |  12.6 °C   80 % at the surface: mould from here down
          |   9.3 °C   100 %: dew point, water settles from here down
    cold  |

The vapour curve is that of psychrolib (ASHRAE Handbook, Fundamentals 2017), tabulated once and read both ways, because
the library takes one number at a time: numbers and arrays alike go in here. Below 0 °C it is the curve over ice, so a
dew point there is one of frost. Nothing here says that a floor stays dry: rising damp and wet screeds are other
matters.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from flooring_kit.arrays import Array, checked, plain
from flooring_kit.checks import require_between

MOULD_PERCENT = 80.0
"""Humidity at a surface from which mould can grow (EN ISO 13788, from memory; so read in trade pages on DIN 4108)
[%]."""

FLOOR_SURFACE_M2K_W = 0.17
"""Resistance of the air on a floor, heat going down (ISO 6946) [m²K/W]."""

SHELTERED_SURFACE_M2K_W = 0.25
"""The same where air hardly moves, in a corner or behind furniture (EN ISO 13788, from memory) [m²K/W]."""

TABLE_FROM_C, TABLE_TO_C, TABLE_STEP_K = -80.0, 80.0, 0.1
"""The curve as far as any answer here can lie. Between two steps the logarithm of the pressure is taken as straight:
within 0.0001 K."""

TRIPLE_POINT_C = 0.01

MOST_U_W_M2K = 5.0

CONDENSES, MOULD, BELOW = "condensation", "mould", "below both limits"


def dew_point_c(air_c: ArrayLike, humidity_percent: ArrayLike) -> Any:
    """Temperature at which air of the room begins to shed water [°C].

    Parameters
    ----------
    air_c
        Air of the room, 0 to 50 [°C].
    humidity_percent
        Its relative humidity, 1 to 100 [%].

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    >>> round(dew_point_c(20, 50), 1)
    9.3
    """
    return lowest_surface_c(air_c, humidity_percent, surface_percent=100.0)


def lowest_surface_c(air_c: ArrayLike, humidity_percent: ArrayLike, *, surface_percent: float = MOULD_PERCENT) -> Any:
    """Temperature of a surface at which the air beside it reaches that humidity [°C].

    Parameters
    ----------
    air_c
        Air of the room, 0 to 50 [°C].
    humidity_percent
        Its relative humidity, 1 to 100 [%].
    surface_percent
        Humidity at the surface, 50 to 100 [%]; as it stands, where mould can grow.

    Returns
    -------
    Any
        Above the air's own temperature where the air is damper than that already.

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    >>> round(lowest_surface_c(20, 50), 1)
    12.6
    """
    require_between(surface_percent, 50, 100, "humidity at the surface", unit="%")
    return plain(_saturated_c(_ln_vapour(air_c, humidity_percent) - np.log(surface_percent / 100)))


def surface_humidity_percent(air_c: ArrayLike, humidity_percent: ArrayLike, surface_c: ArrayLike) -> Any:
    """Relative humidity of the room's air where it touches a surface [%]; 100 where water settles.

    Parameters
    ----------
    air_c
        Air of the room, 0 to 50 [°C].
    humidity_percent
        Its relative humidity, 1 to 100 [%].
    surface_c
        The surface, -40 to 60 [°C].

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    >>> round(surface_humidity_percent(20, 50, 12.6))
    80
    """
    surface = checked(surface_c, -40, 60, "surface temperature", unit="°C")
    share = np.exp(_ln_vapour(air_c, humidity_percent) - _ln_saturated(surface))
    return plain(np.minimum(100.0, 100.0 * share))


# ---------------------------------------------------------------------- the coldest surface


def temperature_factor(
    u_w_m2k: ArrayLike,
    *,
    surface_m2k_w: float = FLOOR_SURFACE_M2K_W,
    at_place_m2k_w: float | None = None,
) -> Any:
    """Share of the difference between outside and inside that a plain stretch of floor keeps at its surface.

    Parameters
    ----------
    u_w_m2k
        U-value of the floor, 0 to 5 and to 1 / `surface_m2k_w` [W/(m² K)].
    surface_m2k_w
        Resistance of the air on the floor that the U-value counts with, 0.04 to 0.4 [m²K/W].
    at_place_m2k_w
        That resistance at the place looked at, 0.04 to 0.4, such as `SHELTERED_SURFACE_M2K_W`; None for the same
        [m²K/W].

    Raises
    ------
    ValueError
        Outside those ranges.

    Notes
    -----
    1 - U R. An edge where floor and outer wall meet is colder than this: its factor comes from a calculation of the
    thermal bridge, or from a thermometer.

    References
    ----------
    EN ISO 13788, from memory.

    Examples
    --------
    >>> round(temperature_factor(0.7), 3), round(temperature_factor(0.7, at_place_m2k_w=0.25), 3)
    (0.881, 0.834)
    """
    counted = require_between(surface_m2k_w, 0.04, 0.4, "resistance of the air on the floor", unit="m²K/W")
    hint = "More would need less than the resistance of the air on it."
    u = checked(u_w_m2k, 0, min(MOST_U_W_M2K, 1 / counted), "U-value of the floor", unit="W/m²K", hint=hint)
    name = "resistance of the air at the place"
    here = counted if at_place_m2k_w is None else require_between(at_place_m2k_w, 0.04, 0.4, name, unit="m²K/W")
    rest = 1 - u * counted
    return plain(rest / (rest + u * here))


def surface_temperature_c(room_c: ArrayLike, outside_c: ArrayLike, factor: ArrayLike) -> Any:
    """Temperature of a surface with that temperature factor [°C].

    Parameters
    ----------
    room_c
        Room, 0 to 50 [°C].
    outside_c
        What lies on the other side, -40 to 50 [°C].
    factor
        Temperature factor, 0 to 1: 1 is as warm as the room.

    Raises
    ------
    ValueError
        Outside those ranges.

    Notes
    -----
    With a factor from `temperature_factor` it is t_room - U R (t_room - t_outside).

    Examples
    --------
    >>> round(surface_temperature_c(20, -5, 0.70), 1)
    12.5
    """
    room = checked(room_c, 0, 50, "room temperature", unit="°C")
    outside = _checked_outside(outside_c)
    share = checked(factor, 0, 1, "temperature factor", hint="It is a share: 1 is as warm as the room.")
    return plain(outside + share * (room - outside))


def least_temperature_factor(
    air_c: ArrayLike, humidity_percent: ArrayLike, outside_c: ArrayLike, *, surface_percent: float = MOULD_PERCENT
) -> Any:
    """Temperature factor a floor needs so that the air at it stays below that humidity.

    Parameters
    ----------
    air_c
        Air of the room, 0 to 50, warmer than outside [°C].
    humidity_percent
        Its relative humidity, 1 to 100 [%].
    outside_c
        What lies on the other side, -40 to 50 [°C].
    surface_percent
        Humidity at the surface, 50 to 100 [%]; as it stands, where mould can grow.

    Returns
    -------
    Any
        0 where any floor does, more than 1 where none can: then the air is too damp.

    Raises
    ------
    ValueError
        Outside those ranges, and for a room that is not at least 1 K warmer than outside.

    Examples
    --------
    >>> round(least_temperature_factor(20, 50, -5), 3)
    0.705
    """
    lowest = np.asarray(lowest_surface_c(air_c, humidity_percent, surface_percent=surface_percent))
    outside = _checked_outside(outside_c)
    hint = "The room must be at least 1 K warmer, or no factor says anything."
    excess = checked(np.asarray(air_c) - outside, 1, 100, "room over outside", unit="K", hint=hint)
    return plain(np.maximum(0.0, (lowest - outside) / excess))


@dataclass(frozen=True)
class SurfaceDamp:
    """What the room's air does at a surface. Numbers, or arrays of one shape.

    Parameters
    ----------
    surface_c, dew_point_c
        [°C].
    humidity_percent
        Of the air at the surface, at most 100 [%].
    margin_k
        How much warmer the surface is than the dew point [K]; below 0 water settles.
    mould_margin_k
        How much warmer it is than where mould can grow [K].
    verdict
        "condensation", "mould" or "below both limits".
    """

    surface_c: Any
    dew_point_c: Any
    humidity_percent: Any
    margin_k: Any
    mould_margin_k: Any
    verdict: Any

    def sentence(self) -> str:
        """One surface in words.

        Raises
        ------
        ValueError
            For a sweep over several.
        """
        if np.ndim(self.verdict):
            raise ValueError("Only one surface can be told in a sentence, got a sweep over several.")
        says = {
            CONDENSES: "water settles on it",
            MOULD: f"mould can grow on it if it stays over {MOULD_PERCENT:g} % (EN ISO 13788, from memory)",
            BELOW: f"less than the {MOULD_PERCENT:g} % from which mould can grow (EN ISO 13788, from memory)",
        }[self.verdict]
        side = "above" if self.margin_k >= 0 else "below"
        return (
            f"The floor's surface has {self.surface_c:.1f} °C, {abs(self.margin_k):.1f} K {side} the dew point of "
            f"{self.dew_point_c:.1f} °C; the air at it has {self.humidity_percent:.0f} %: {says}."
        )


def surface_damp(air_c: ArrayLike, humidity_percent: ArrayLike, surface_c: ArrayLike) -> SurfaceDamp:
    """Whether a surface is under the dew point of the room's air, or damp enough for mould, and by what margin.

    Parameters
    ----------
    air_c
        Air of the room, 0 to 50 [°C].
    humidity_percent
        Its relative humidity, 1 to 100 [%].
    surface_c
        The surface at its coldest place, -40 to 60 [°C].

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    >>> damp = surface_damp(20, 60, surface_temperature_c(20, -5, temperature_factor(0.7)))
    >>> damp.verdict, round(damp.margin_k, 1), round(damp.mould_margin_k, 1)
    ('below both limits', 5.0, 1.6)
    """
    at_surface = np.asarray(surface_humidity_percent(air_c, humidity_percent, surface_c))
    surface = np.broadcast_to(np.asarray(surface_c, dtype=float), at_surface.shape)
    dew_point = np.broadcast_to(np.asarray(dew_point_c(air_c, humidity_percent)), at_surface.shape)
    margin, mould_margin = surface - dew_point, surface - np.asarray(lowest_surface_c(air_c, humidity_percent))
    verdict = np.where(margin <= 0, CONDENSES, np.where(mould_margin <= 0, MOULD, BELOW))
    return SurfaceDamp(
        plain(surface),
        plain(dew_point),
        plain(at_surface),
        plain(margin),
        plain(mould_margin),
        str(verdict) if verdict.ndim == 0 else verdict,
    )


# ---------------------------------------------------------------------- the vapour curve


@lru_cache(maxsize=1)
def _vapour_curve() -> tuple[Array, Array]:
    """Temperatures [°C] and the logarithm of the pressure of saturated vapour at each [ln Pa]."""
    import psychrolib

    psychrolib.SetUnitSystem(psychrolib.SI)  # the library's switch is global and whoever used it last had it
    steps = np.arange(round((TABLE_TO_C - TABLE_FROM_C) / TABLE_STEP_K) + 1)
    temperatures = np.union1d(TABLE_FROM_C + TABLE_STEP_K * steps, [TRIPLE_POINT_C])
    pressures = [float(psychrolib.GetSatVapPres(float(each))) for each in temperatures]
    return temperatures, np.log(pressures)


def _ln_saturated(temperature_c: Array) -> Array:
    temperatures, logarithms = _vapour_curve()
    return np.asarray(np.interp(temperature_c, temperatures, logarithms))


def _saturated_c(ln_pressure: Array) -> Array:
    temperatures, logarithms = _vapour_curve()
    return np.asarray(np.interp(ln_pressure, logarithms, temperatures))


def _ln_vapour(air_c: ArrayLike, humidity_percent: ArrayLike) -> Array:
    """Logarithm of the pressure of the vapour in the room's air [ln Pa]."""
    air = checked(air_c, 0, 50, "air temperature", unit="°C")
    humidity = checked(humidity_percent, 1, 100, "humidity", unit="%", hint="Write 50 % as 50.")
    return np.asarray(_ln_saturated(air) + np.log(humidity / 100))


def _checked_outside(outside_c: ArrayLike) -> Array:
    return checked(outside_c, -40, 50, "temperature outside", unit="°C")
