"""The subfloor as its level readings tell it: straight between them, level beyond them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
import shapely
from numpy.typing import ArrayLike

from flooring_kit.arrays import Array
from flooring_kit.checks import require_number
from flooring_kit.room import Room

FINE_MM = 100.0
"""Step in which the surface is looked at."""


@dataclass(frozen=True, eq=False)
class Surface:
    """The subfloor as its readings tell it.

    Parameters
    ----------
    points
        Where the readings were taken, one row each [mm, survey axes].
    heights_mm
        Their heights over the lowest of them [mm].
    """

    points: Array
    heights_mm: Array

    @property
    def spacing_mm(self) -> float:
        """How far a reading is from the one nearest to it, in the middle of all [mm]."""
        apart = np.hypot(*(self.points[:, None, :] - self.points[None, :, :]).transpose(2, 0, 1))
        np.fill_diagonal(apart, np.inf)
        return float(np.median(apart.min(axis=1)))

    def filled_mm(self, places: ArrayLike) -> Array:
        """Heights at places once every hollow is filled: the lowest surface over all readings without a hollow [mm].

        Beyond the readings it goes on level, as the floor itself does, so it never stands above the highest reading.
        """
        from scipy.spatial import ConvexHull, QhullError

        wanted = self._within_reach(places)
        own = self._between(wanted)
        try:
            planes = ConvexHull(np.column_stack([self.points, self.heights_mm])).equations
        except QhullError:  # all readings in one plane: there is no hollow
            return own
        up = planes[planes[:, 2] > 1e-9]
        over = -(wanted @ up[:, :2].T + up[:, 3]) / up[:, 2]
        return np.asarray(np.maximum(own, over.min(axis=1)))

    def height_mm(self, places: ArrayLike) -> Array:
        """Heights at places, one row each: between the readings straight, beyond them as at their edge [mm]."""
        return self._between(self._within_reach(places))

    def _within_reach(self, places: ArrayLike) -> Array:
        """The places, those beyond the readings moved to the nearest point between readings [mm]."""
        nearest = np.array(places, dtype=float).reshape(-1, 2)
        hull = shapely.MultiPoint(self.points).convex_hull
        shapely.prepare(hull)
        away = shapely.points(nearest)
        outside = ~shapely.covers(hull, away)
        if outside.any():
            edge = shapely.get_coordinates(shapely.get_point(shapely.shortest_line(hull, away[outside]), 0))
            middle = np.array(hull.centroid.coords[0])
            # a hair inside, so that the triangles hold it
            nearest[outside] = edge + (middle - edge) * 1e-9
        return nearest

    def _between(self, places: Array) -> Array:
        from scipy.interpolate import LinearNDInterpolator, NearestNDInterpolator

        found = np.asarray(LinearNDInterpolator(self.points, self.heights_mm)(places), dtype=float)
        if np.isnan(found).any():  # float dust on the hull: the nearest reading
            found = np.where(np.isnan(found), NearestNDInterpolator(self.points, self.heights_mm)(places), found)
        return found


def surface_of(room: Room) -> Surface:
    """The surface of a room's level readings, the same in whatever order they were taken.

    Parameters
    ----------
    room
        The survey, with its levels.

    Raises
    ------
    ValueError
        For fewer than three readings, readings on one line, two at one place, or a place that is not a number.
    """
    who = f"room {room.name!r}:"
    for number, level in enumerate(room.levels, start=1):
        for along, word in zip(level.at, "xy", strict=True):
            require_number(along, f"{who} level {number}: {word}", unit="mm")
    points = np.array([level.at for level in room.levels], dtype=float).reshape(-1, 2)
    heights = np.array([level.height_mm for level in room.levels], dtype=float)
    if len(points) < 3:
        raise ValueError(f"{who} a map of heights needs three levels or more, got {len(points)}. Read them on a grid.")
    if len(np.unique(points.round(1), axis=0)) < len(points):
        raise ValueError(f"{who} two levels were taken at one place. Keep one of them.")
    if shapely.MultiPoint(points).convex_hull.area < 1e4:
        raise ValueError(f"{who} all levels lie on one line. Read some to the side of it.")
    # a square of readings can be cut into triangles along either diagonal: sorted, the choice is always the same
    order = np.lexsort((points[:, 1], points[:, 0]))
    return Surface(points[order], (heights - heights.min())[order])


def clear_floor(room: Room) -> Any:
    """The room less its obstacles [mm]."""
    floor = shapely.difference(room.polygon, shapely.union_all([obstacle.polygon for obstacle in room.obstacles]))
    if floor.area < 1.0:
        raise ValueError(f"room {room.name!r}: its obstacles leave no floor.")
    return floor


def readings_table(room: Room) -> pd.DataFrame:
    """Every level over the lowest and under the highest.

    Returns
    -------
    DataFrame
        One row a reading: `reading` (number), `x_mm`, `y_mm`, `over_lowest_mm`, `under_highest_mm`, `word` ("highest",
        "lowest" or "").
    """
    surface_of(room)
    heights = np.array([level.height_mm for level in room.levels])
    words = {int(heights.argmax()): "highest", int(heights.argmin()): "lowest"}
    return pd.DataFrame(
        {
            "reading": range(1, len(heights) + 1),
            "x_mm": [float(level.at[0]) for level in room.levels],
            "y_mm": [float(level.at[1]) for level in room.levels],
            "over_lowest_mm": heights - heights.min(),
            "under_highest_mm": heights.max() - heights,
            "word": [words.get(row, "") for row in range(len(heights))],
        }
    )
