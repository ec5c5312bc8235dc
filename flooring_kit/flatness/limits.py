"""How flat a floor must be: classes, limits by length, how many readings."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from flooring_kit.arrays import checked, plain
from flooring_kit.checks import ceil_clean, require_between

CLASSES_MM = {"SR1": 3.0, "SR2": 5.0, "SR3": 10.0}
"""Largest gap under a 2 m straightedge that rests on the floor, by class of surface regularity [mm] (BS 8204; read in
the Concrete Society's pages, concrete.org.uk docid 1009)."""

CLASS_EDGE_MM = 2000.0
FLOATING_FLOOR_MM = CLASSES_MM["SR1"]
"""What a click floor asks for under 2 m. Common practice, no source; the leaflet wins."""

DIN_BASES_MM = (100.0, 1000.0, 1500.0, 2000.0, 2500.0, 3000.0, 3500.0, 4000.0, 10_000.0, 15_000.0)
DIN_LIMITS_MM = (2.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 12.0, 15.0)
"""DIN 18202 table 3 row 3, finished floors, with the steps between as the ZDB handbook of screeds prints them."""

TRADE_LIMITS_MM = {
    "3/16 in over 10 ft": (4.7625, 3048.0),
    "1/8 in over 6 ft": (3.175, 1828.8),
    "1/4 in over 10 ft": (6.35, 3048.0),
    "3/16 in over 6 ft": (4.7625, 1828.8),
}
"""Limits in feet: gap and the length it holds over, never scaled to another [mm] (NWFA guidelines ch. 4 and 5, quoted
by floortrendsmag.com; the first two glued down or on short fasteners, the last two on long ones)."""

M2_PER_READING = 20.0
"""One reading for each so many m² where no rate is agreed (face-consultants.pl)."""


def flatness_class(gap_mm: float) -> str:
    """Class of a gap under a 2 m straightedge by BS 8204: "SR1", "SR2", "SR3", or "none".

    Parameters
    ----------
    gap_mm
        Largest gap, 0 to 500 [mm].

    Raises
    ------
    ValueError
        Outside that range.

    Examples
    --------
    >>> [flatness_class(gap) for gap in (3, 5, 5.1, 10.1)]
    ['SR1', 'SR2', 'SR3', 'none']
    """
    require_between(gap_mm, 0, 500, "gap under the straightedge", unit="mm")
    return next((name for name, most in CLASSES_MM.items() if gap_mm <= most + 1e-9), "none")


def din_18202_limit_mm(base_mm: ArrayLike) -> Any:
    """Largest gap a finished floor may have over a base length by DIN 18202 table 3 row 3 [mm].

    Parameters
    ----------
    base_mm
        Distance between the two high places, 100 to 15 000 [mm]; a number or an array.

    Raises
    ------
    ValueError
        Outside that range: the table says nothing there.

    Examples
    --------
    >>> din_18202_limit_mm(2000), din_18202_limit_mm(1250)
    (6.0, 4.5)
    """
    base = checked(base_mm, DIN_BASES_MM[0], DIN_BASES_MM[-1], "base length (DIN 18202 table 3)", unit="mm")
    return plain(np.interp(base, DIN_BASES_MM, DIN_LIMITS_MM))


def readings_needed(area_m2: float) -> int:
    """How many readings a floor wants where no rate is agreed: one for each 20 m², rounded up.

    >>> readings_needed(45)
    3
    """
    require_between(area_m2, 0, 100_000, "floor", unit="m²")
    return max(1, ceil_clean(area_m2 / M2_PER_READING))
