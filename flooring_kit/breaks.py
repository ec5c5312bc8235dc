"""Where a floor longer than its leaflet allows must be broken, with a gap and a bar across it.

A break may lie anywhere the floor can be stopped in a straight line; the shortest lines are taken, which are those in
doorways, beside a chimney breast or at the inner corner of an L::

    +--------------+
    |              |
    |      +-------+
    |  - - |   <- the break that costs the shortest bar
    |      |
    +------+
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from flooring_kit.area import parts_of
from flooring_kit.checks import ceil_clean
from flooring_kit.setting_out import Plan

STEP_MM = 100.0
UNEVEN_SHARE = 1e-3
"""How much a break off the place that makes stretches equal counts, beside the length of its bar: it settles ties."""

LEAST_STRETCH_MM = 1000.0
"""No break leaves less floor than this before or behind it."""

OFF_CORNER_MM = 1.0
"""A break at an inner corner is looked for this far on either side of it, where the floor is narrower."""


@dataclass(frozen=True, eq=False)
class FloorBreak:
    """One straight break across the floor.

    Parameters
    ----------
    runs
        "along" or "across": which run of the floor it breaks, as seen from the boards.
    run_mm, limit_mm
        That run, unbroken, and the longest the leaflet allows [mm].
    from_mm
        Where it lies, from the end of the floor where the rows start, or on the start wall's side [mm].
    from_wall_mm
        The same as a tape reads it from the wall, the farthest place of one that is not straight [mm].
    line
        The break, survey axes [mm].
    """

    runs: str
    run_mm: float
    limit_mm: float
    from_mm: float
    from_wall_mm: float
    line: shapely.LineString | shapely.MultiLineString

    @property
    def length_mm(self) -> float:
        """Length of the bar over it [mm]."""
        return float(self.line.length)

    def sentence(self) -> str:
        """The break in words."""
        side = "wall the rows start at" if self.runs == "along" else "start wall"
        return (
            f"The floor runs {self.run_mm / 1000:.2f} m {self.runs} the boards, over the {self.limit_mm / 1000:g} m of "
            f"its leaflet. Break it {self.from_wall_mm / 1000:.2f} m from the {side}: a gap with a level bar, "
            f"{self.length_mm / 1000:.2f} m long."
        )


def floor_breaks(plan: Plan) -> list[FloorBreak]:
    """The fewest breaks that leave every stretch of floor within its leaflet, by the shortest bars.

    Parameters
    ----------
    plan
        The plan; `board.longest_along_mm` and `board.longest_across_mm` are the limits.

    Returns
    -------
    list of FloorBreak
        In order along the floor, breaks of the length first; empty where none is needed. The plan itself is not
        changed: each side of a break is set out as a floor of its own.
    """
    found = []
    walls = plan.frame.to_laying(plan.room.polygon).bounds
    for part in parts_of(plan.frame.to_laying(plan.floor)):
        u0, v0, u1, v1 = part.bounds
        for runs, axis, low, high, limit in (
            ("along", 0, u0, u1, plan.board.longest_along_mm),
            ("across", 1, v0, v1, plan.board.longest_across_mm),
        ):
            for at in _cuts(part, axis, limit):
                line = plan.frame.to_survey(shapely.intersection(part, _line_across(part, axis, at)))
                found.append(FloorBreak(runs, high - low, limit, at - low, at - walls[axis], line))
    return found


def _cuts(part: shapely.Polygon, axis: int, limit: float) -> list[float]:
    """Places along one axis that cut the floor into the fewest stretches, by the shortest lines in all."""
    low, high = part.bounds[axis], part.bounds[axis + 2]
    stretches = ceil_clean((high - low) / limit)
    if stretches < 2:
        return []
    equal = low + (high - low) * np.arange(1, stretches) / stretches
    places = _candidates(part, axis, equal)
    lengths = shapely.length(shapely.intersection(part, [_line_across(part, axis, at) for at in places]))
    lengths += UNEVEN_SHARE * np.abs(places[:, None] - equal).min(axis=1)
    cost = np.where(places - low <= limit + 1e-6, lengths, np.inf)
    came: list[NDArray[np.int64]] = []
    for _ in range(stretches - 2):
        within = (places[None, :] > places[:, None]) & (places[None, :] - places[:, None] <= limit + 1e-6)
        ways = np.where(within, cost[:, None] + lengths[None, :], np.inf)
        came.append(ways.argmin(axis=0))
        cost = ways.min(axis=0)
    cost = np.where(high - places <= limit + 1e-6, cost, np.inf)
    at = int(cost.argmin())
    chosen = [at]
    for earlier in reversed(came):
        at = int(earlier[at])
        chosen.append(at)
    return [float(places[each]) for each in reversed(chosen)]


def _candidates(part: shapely.Polygon, axis: int, equal: NDArray[np.float64]) -> NDArray[np.float64]:
    """Where a break may lie: every so often, beside every corner, and where equal stretches end."""
    low, high = part.bounds[axis], part.bounds[axis + 2]
    rings = [part.exterior, *part.interiors]
    corners = np.unique(np.concatenate([shapely.get_coordinates(ring)[:, axis] for ring in rings]).round(3))
    regular = np.linspace(low, high, math.ceil((high - low) / STEP_MM) + 1)
    places = np.unique(np.concatenate([corners - OFF_CORNER_MM, corners + OFF_CORNER_MM, regular, equal]))
    least = min(LEAST_STRETCH_MM, (high - low) / (2 * (len(equal) + 1)))
    return np.asarray(places[(places >= low + least) & (places <= high - least)])


def _line_across(part: shapely.Polygon, axis: int, at: float) -> shapely.LineString:
    u0, v0, u1, v1 = part.bounds
    if axis == 0:
        return shapely.LineString([(at, v0 - 1), (at, v1 + 1)])
    return shapely.LineString([(u0 - 1, at), (u1 + 1, at)])
