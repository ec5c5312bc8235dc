"""Expansion gap a floor needs at its edges, and what becomes of it: built, dried out, swollen.

All at one edge, seen from the side::

      skirting |             <- trim ->
               |             |--foot--|
               |<-- gap -->|=== board ===
                           ^ moves with the air: towards the wall when damp, away when dry
"""

from __future__ import annotations

from dataclasses import dataclass

from flooring_kit.checks import require_between

GUIDE_LEAST_MM, GUIDE_MM_PER_M = 8.0, 1.5
"""Gap where a leaflet says nothing: 1.5 mm for every metre of floor at each side, 8 mm at least. Published laying
guides for click floors; 5 m of floor gives 8 mm, 6 m gives 9, 8 m gives 12."""

GUIDE_COUNTS_FROM_MM = GUIDE_LEAST_MM / GUIDE_MM_PER_M * 1000

SHRINKS_MM_PER_M, SWELLS_MM_PER_M = 0.5, 1.0
"""How much each metre of a laminate floor changes from the laying day to the driest and the dampest of the year.
From memory, a sanity value: the leaflet wins."""

SAW_ERROR_MM = 2.0
"""How far a sawn edge may lie off its line. Common practice, no source."""

OVERLAP_MM = 3.0
"""How far a trim must still lie on the board. Common practice, no source."""

LEAST_OPEN_MM = 2.0
"""What must stay open when the floor has swollen. Common practice, no source."""


def gap_needed_mm(
    run_mm: float, *, least_mm: float = GUIDE_LEAST_MM, mm_per_m: float = GUIDE_MM_PER_M, counts_from_mm: float
) -> float:
    """Gap an edge needs for the unbroken floor that pushes against it [mm], not rounded.

    Parameters
    ----------
    run_mm
        Unbroken floor at right angles to the edge, 0 to 200 000 [mm].
    least_mm
        Gap of a short floor, 0 to 50 [mm].
    mm_per_m
        What every further metre of floor adds, 0 to 10 [mm].
    counts_from_mm
        Floor that has its gap from `least_mm` alone, 0 to 200 000 [mm].

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    >>> [round(gap_needed_mm(run, counts_from_mm=GUIDE_COUNTS_FROM_MM), 3) for run in (5000, 6000, 8000)]
    [8.0, 9.0, 12.0]
    """
    require_between(run_mm, 0, 200_000, "unbroken floor", unit="mm")
    require_between(least_mm, 0, 50, "least gap", unit="mm")
    require_between(mm_per_m, 0, 10, "gap for every metre", unit="mm")
    require_between(counts_from_mm, 0, 200_000, "gap counts from", unit="mm")
    return least_mm + mm_per_m * max(0.0, run_mm - counts_from_mm) / 1000


@dataclass(frozen=True)
class GapEnvelope:
    """The narrowest and the widest an edge's gap gets in a year.

    Parameters
    ----------
    least_mm
        Where it is narrowest, when the floor has swollen [mm]; below 0 the floor presses against the wall.
    most_mm
        Where it is widest, when the floor has shrunk [mm].
    """

    least_mm: float
    most_mm: float

    @property
    def stays_open(self) -> bool:
        """Whether the floor stays clear of the wall by `LEAST_OPEN_MM`."""
        return self.least_mm >= LEAST_OPEN_MM - 1e-9

    @property
    def smallest_foot_mm(self) -> float:
        """Foot of the narrowest trim that covers the gap and still lies on the board [mm]."""
        return self.most_mm + OVERLAP_MM

    def is_covered_by(self, foot_mm: float) -> bool:
        """Whether a trim of that foot covers the gap at every point, all the year."""
        return foot_mm >= self.smallest_foot_mm - 1e-9


def gap_envelope(
    gap_mm: float,
    *,
    uneven_mm: float = 0.0,
    saw_error_mm: float = SAW_ERROR_MM,
    run_mm: float = 0.0,
    shrinks_mm_per_m: float = SHRINKS_MM_PER_M,
    swells_mm_per_m: float = SWELLS_MM_PER_M,
) -> GapEnvelope:
    """How narrow and how wide a gap gets, as built and through the year.

    Parameters
    ----------
    gap_mm
        Gap as set out, at its narrowest, 0 to 100 [mm].
    uneven_mm
        How much wider it is elsewhere, where the wall is bowed or runs out and the boards run straight, 0 to 300 [mm].
    saw_error_mm
        How far a cut may be off, either way, 0 to 20 [mm].
    run_mm
        Unbroken floor at right angles to the edge, 0 to 200 000 [mm]; it moves from its middle, half at each side.
    shrinks_mm_per_m, swells_mm_per_m
        How much a metre of floor moves after it is laid, 0 to 10 [mm].

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    Four metres of wall that runs out by 3.5 mm a metre, boards left straight: 10 mm become 24, where an 18 mm foot
    covers 15.

    >>> wall = gap_envelope(10, uneven_mm=4 * 3.5, saw_error_mm=0)
    >>> wall.most_mm, wall.is_covered_by(18)
    (24.0, False)
    """
    require_between(gap_mm, 0, 100, "gap", unit="mm")
    require_between(uneven_mm, 0, 300, "uneven wall", unit="mm")
    require_between(saw_error_mm, 0, 20, "saw error", unit="mm")
    require_between(run_mm, 0, 200_000, "unbroken floor", unit="mm")
    require_between(shrinks_mm_per_m, 0, 10, "shrinking", unit="mm per m")
    require_between(swells_mm_per_m, 0, 10, "swelling", unit="mm per m")
    half_m = run_mm / 2 / 1000
    return GapEnvelope(
        gap_mm - saw_error_mm - half_m * swells_mm_per_m,
        gap_mm + uneven_mm + saw_error_mm + half_m * shrinks_mm_per_m,
    )
