"""Levelling compound: how much makes a floor level or flat, and what it adds at each doorway."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
import shapely
from numpy.typing import ArrayLike

from flooring_kit.arrays import Array
from flooring_kit.checks import ceil_clean, counted, require_between, require_one_of
from flooring_kit.flatness.surface import FINE_MM, Surface, clear_floor, surface_of
from flooring_kit.room import Room

RATE_KG = 1.6
"""Dry compound for each m² and mm [kg]; 1.3 to 1.8 by product, from memory. The bag wins."""

THINNEST_MM = 2.0
"""Thinnest layer most compounds are laid at, 2 to 3 mm (a maker's guide)."""


@dataclass(frozen=True)
class Levelling:
    """Compound for a floor.

    Parameters
    ----------
    litres
        Volume [dm³].
    kilograms
        Dry compound [kg].
    bags
        Whole bags.
    deepest_mm, thinnest_mm
        Depth of the layer where it is deepest and thinnest [mm].
    """

    litres: float
    kilograms: float
    bags: int
    deepest_mm: float
    thinnest_mm: float

    def sentence(self) -> str:
        """The order line in words, with a warning where the layer is thinner than most compounds allow."""
        told = (
            f"{self.litres:.0f} litres of compound, {self.kilograms:.0f} kg, {counted(self.bags, 'bag')}; "
            f"{self.thinnest_mm:.0f} mm at its thinnest, {self.deepest_mm:.0f} mm at its deepest."
        )
        if self.litres > 0 and self.thinnest_mm < THINNEST_MM - 1e-6:
            told += f" Most compounds want {THINNEST_MM:g} to {THINNEST_MM + 1:g} mm at least: read the bag."
        return told


def compound(area_m2: float, depth_mm: float, *, kg_per_m2_mm: float = RATE_KG, bag_kg: float = 25.0) -> Levelling:
    """Compound for a layer of one depth.

    Parameters
    ----------
    area_m2
        Floor, 0 to 10 000 [m²].
    depth_mm
        Depth, mean where it varies, 0 to 300 [mm].
    kg_per_m2_mm
        Dry compound for each m² and mm, 1 to 2.5 [kg].
    bag_kg
        What a bag holds, 1 to 1500 [kg].

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    >>> compound(30, 10, kg_per_m2_mm=1.5).bags
    18
    """
    require_between(area_m2, 0, 10_000, "floor", unit="m²")
    require_between(depth_mm, 0, 300, "depth", unit="mm")
    require_between(kg_per_m2_mm, 1, 2.5, "compound for each m² and mm", unit="kg")
    require_between(bag_kg, 1, 1500, "bag", unit="kg")
    kilograms = area_m2 * depth_mm * kg_per_m2_mm
    return Levelling(area_m2 * depth_mm, kilograms, ceil_clean(kilograms / bag_kg), depth_mm, depth_mm)


def bags_by_coverage(area_m2: float, depth_mm: float, *, covers_m2_at_1_mm: float) -> int:
    """Whole bags where the label gives what a bag covers at 1 mm; at 3 mm it covers a third of that.

    >>> bags_by_coverage(13 / 3, 3, covers_m2_at_1_mm=13)
    1
    """
    require_between(area_m2, 0, 10_000, "floor", unit="m²")
    require_between(depth_mm, 0, 300, "depth", unit="mm")
    require_between(covers_m2_at_1_mm, 0.1, 10_000, "what a bag covers at 1 mm", unit="m²")
    return ceil_clean(area_m2 * depth_mm / covers_m2_at_1_mm)


def ramp_litres(rise_mm: float, run_mm: float, width_mm: float) -> float:
    """Volume of a ramp, half a box [dm³].

    Parameters
    ----------
    rise_mm, run_mm, width_mm
        Its height at the high end, its length and its width, each 0 to 100 000 [mm].

    Examples
    --------
    >>> ramp_litres(9, 1000, 900)
    4.05
    """
    for size, words in ((rise_mm, "rise of the ramp"), (run_mm, "run of the ramp"), (width_mm, "width of the ramp")):
        require_between(size, 0, 100_000, words, unit="mm")
    return rise_mm * run_mm * width_mm / 2 / 1e6


def levelling(
    room: Room,
    *,
    to: str = "level",
    least_mm: float = THINNEST_MM,
    kg_per_m2_mm: float = RATE_KG,
    bag_kg: float = 25.0,
) -> Levelling:
    """Compound that makes a room's subfloor level, or only flat.

    Parameters
    ----------
    room
        The survey, with at least three levels; obstacles are left out.
    to
        "level": up to the highest reading everywhere. "flat": every hollow filled, slopes left as they are; a click
        floor asks for no more.
    least_mm
        Layer over the highest place, 0 to 50 [mm]; 0 feathers out there.
    kg_per_m2_mm, bag_kg
        As for :func:`compound`.

    Raises
    ------
    ValueError
        Outside those ranges, and as :func:`surface_of`.
    """
    surface = surface_of(room)
    floor = clear_floor(room)
    middles, areas = _cells(floor)
    depths = _depths(surface, middles, to, least_mm)
    area_m2 = float(areas.sum()) / 1e6
    mean = float((depths * areas).sum() / areas.sum())
    even = compound(area_m2, mean, kg_per_m2_mm=kg_per_m2_mm, bag_kg=bag_kg)
    # deepest and thinnest are met at a reading or a corner, seldom in the middle of a cell
    read = surface.points[shapely.covers(floor, shapely.points(surface.points))]
    ends = np.append(depths, _depths(surface, np.vstack([read, shapely.get_coordinates(floor)]), to, least_mm))
    return Levelling(even.litres, even.kilograms, even.bags, float(ends.max()), float(ends.min()))


def _depths(surface: Surface, places: ArrayLike, to: str, least_mm: float) -> Array:
    """Depth of the layer at places [mm]."""
    require_one_of(to, ("level", "flat"), "to")
    require_between(least_mm, 0, 50, "least layer", unit="mm")
    top = surface.heights_mm.max() if to == "level" else surface.filled_mm(places)
    return np.asarray(top - surface.height_mm(places) + least_mm)


def _cells(floor: Any) -> tuple[Array, Array]:
    """The floor in small cells: the middle of each [mm], and its area [mm²]."""
    x0, y0, x1, y1 = floor.bounds
    xs, ys = _edges(x0, x1), _edges(y0, y1)
    boxes = shapely.box(*(each.ravel() for each in (*np.meshgrid(xs[:-1], ys[:-1]), *np.meshgrid(xs[1:], ys[1:]))))
    shapely.prepare(floor)
    whole = shapely.covers(floor, boxes)
    cut = ~whole & shapely.intersects(floor, boxes)
    cells = np.concatenate([boxes[whole], shapely.intersection(floor, boxes[cut])])
    cells = cells[shapely.area(cells) > 0]
    return shapely.get_coordinates(shapely.centroid(cells)), np.asarray(shapely.area(cells))


def _edges(low: float, high: float) -> Array:
    return np.linspace(low, high, max(1, math.ceil((high - low) / FINE_MM)) + 1)


def threshold_depths(room: Room, *, to: str = "level", least_mm: float = THINNEST_MM) -> pd.DataFrame:
    """What levelling adds at every doorway.

    Parameters
    ----------
    room
        The survey, with at least three levels.
    to, least_mm
        As for :func:`levelling`.

    Returns
    -------
    DataFrame
        One row a doorway: `door` (number), `near_mm`, `far_mm` (depth at the ends of the opening, that nearer the
        wall's first corner first).
    """
    surface = surface_of(room)
    rows = []
    for number, door in enumerate(room.doors, start=1):
        wall = shapely.LineString(room.walls[door.wall - 1])
        ends = [wall.interpolate(at) for at in (door.from_corner_mm, door.from_corner_mm + door.opening_mm)]
        near, far = _depths(surface, [(end.x, end.y) for end in ends], to, least_mm).tolist()
        rows.append((number, near, far))
    return pd.DataFrame(rows, columns=["door", "near_mm", "far_mm"])
