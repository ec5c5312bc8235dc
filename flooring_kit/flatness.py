"""How flat a subfloor is, and what it takes to level it.

A straightedge lies on the two highest places under it; the gap is the deepest place below it::

         ______________________________  2 m
        /\\        _     gap     ___   /\
    ___/  \\______/ \\___________/   \\_/  \\___

Levels are joined to a surface of triangles between the readings; beyond them the nearest edge of it goes on level.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
import shapely
from numpy.typing import ArrayLike

from flooring_kit.arrays import Array, checked, plain
from flooring_kit.checks import ceil_clean, counted, require_between, require_number, require_one_of
from flooring_kit.room import Room

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

RATE_KG = 1.6
"""Dry compound for each m² and mm [kg]; 1.3 to 1.8 by product, from memory. The bag wins."""

THINNEST_MM = 2.0
"""Thinnest layer most compounds are laid at, 2 to 3 mm (a maker's guide)."""

STEP_MM, FINE_MM, TURNS = 250.0, 100.0, 8


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


def middle_gap_mm(first: ArrayLike, middle: ArrayLike, last: ArrayLike) -> Any:
    """How far the middle of three levels lies under the line through the outer two [mm]; below 0 it is a hump.

    Parameters
    ----------
    first, middle, last
        Heights at equal steps [mm]; numbers or arrays.

    References
    ----------
    Levels on a grid of 1 m give the gap over a base of 2 m so (beaplan.de).

    Examples
    --------
    >>> middle_gap_mm(3, 0, 5)
    4.0
    """
    low, mid, high = (checked(each, -1000, 1000, "level", unit="mm") for each in (first, middle, last))
    return plain((low + high) / 2 - mid)


def straightedge_gap_mm(at_mm: Sequence[float], heights_mm: Sequence[float]) -> float:
    """Largest gap under a straightedge that rests on a profile, straight between its points [mm].

    Parameters
    ----------
    at_mm
        Places along the straightedge, rising [mm].
    heights_mm
        Heights there [mm].

    Raises
    ------
    ValueError
        For fewer than two places, places that do not rise, lists of two lengths, and heights beyond 1 m.

    Examples
    --------
    >>> straightedge_gap_mm([0, 1000, 2000], [3, 0, 5])
    4.0
    """
    at = checked(at_mm, -100_000, 100_000, "place along the straightedge", unit="mm")
    heights = checked(heights_mm, -1000, 1000, "height", unit="mm")
    if at.shape != heights.shape or at.size < 2:
        raise ValueError(f"a profile needs two places or more and a height for each, got {at.size} and {heights.size}.")
    if not (np.diff(at) > 0).all():
        raise ValueError("places along the straightedge must rise. Give them in order from one end.")
    return float(_gaps(at, heights[None, :])[0])


def _gaps(at: Array, profiles: Array) -> Array:
    """Largest gap under a straightedge for many profiles over the same places: distance to the upper hull."""
    worst = np.zeros(len(profiles))
    for i in range(len(at)):
        # over place i the edge lies on the highest line through one place at or before and one at or after it
        before, after = slice(0, i + 1), slice(i, None)
        reach = at[after][None, :] - at[before][:, None]
        share = np.divide(at[i] - at[before][:, None], reach, out=np.zeros_like(reach), where=reach > 0)
        lines = profiles[:, before, None] * (1 - share) + profiles[:, None, after] * share
        worst = np.maximum(worst, lines.max(axis=(1, 2)) - profiles[:, i])
    return worst


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


@dataclass(frozen=True, eq=False)
class FlatnessMap:
    """How flat a room's subfloor is.

    Parameters
    ----------
    surface
        The readings.
    worst_gap_mm
        Largest gap found under the straightedge [mm].
    worst_at, worst_degrees
        Where its middle lay then [mm, survey axes], and which way it lay, anticlockwise from +x.
    straightedge_mm
        Its length [mm].
    """

    surface: Surface
    worst_gap_mm: float
    worst_at: tuple[float, float]
    worst_degrees: float
    straightedge_mm: float

    @property
    def difference_mm(self) -> float:
        """Highest less lowest reading [mm]."""
        return float(np.ptp(self.surface.heights_mm))

    @property
    def class_name(self) -> str:
        """Class by BS 8204; "" for a straightedge that is not 2 m long."""
        return flatness_class(self.worst_gap_mm) if self.straightedge_mm == CLASS_EDGE_MM else ""

    def passes(self, limit_mm: float = FLOATING_FLOOR_MM) -> bool:
        """Whether the largest gap stays within a limit, 0 to 50 [mm]."""
        require_between(limit_mm, 0, 50, "limit under the straightedge", unit="mm")
        return self.worst_gap_mm <= limit_mm + 1e-9

    def sentences(self, limit_mm: float = FLOATING_FLOOR_MM) -> list[str]:
        """The map in words: highest, lowest, worst gap, pass or fail."""
        heights, points = self.surface.heights_mm, self.surface.points
        (hx, hy), (lx, ly) = points[int(heights.argmax())], points[int(heights.argmin())]
        x, y = self.worst_at
        verdict = "flat enough" if self.passes(limit_mm) else "not flat enough"
        of_class = {"": "", "none": ", outside every class of BS 8204"}.get(
            self.class_name, f", class {self.class_name} of BS 8204"
        )
        told = [
            f"Highest at {hx:.0f}, {hy:.0f}, lowest at {lx:.0f}, {ly:.0f}: {self.difference_mm:.1f} mm between them.",
            f"Under a straightedge of {self.straightedge_mm / 1000:g} m the largest gap is {self.worst_gap_mm:.1f} mm, "
            f"about {x:.0f}, {y:.0f}{of_class}: {verdict} for a limit of {limit_mm:g} mm.",
        ]
        apart = self.surface.spacing_mm
        if apart > self.straightedge_mm / 2:
            told.append(
                f"The readings stand about {apart / 1000:.1f} m apart: what lies between them is not seen. Read on a "
                f"grid of {self.straightedge_mm / 2000:g} m, or lay the straightedge."
            )
        return told


def flatness_map(room: Room, *, straightedge_mm: float = CLASS_EDGE_MM) -> FlatnessMap:
    """The worst gap under a straightedge laid all over a room, every way.

    Parameters
    ----------
    room
        The survey, with at least three levels.
    straightedge_mm
        Length of the straightedge, 500 to 4000 [mm]; it is laid only where it fits whole between walls and obstacles.

    Raises
    ------
    ValueError
        Outside that range, where it fits nowhere, and as :func:`surface_of`.

    Notes
    -----
    It is laid about every 250 mm, with its middle on every reading too, and turned by 22.5 degrees. On six random
    floors of 30 m² a search every 100 mm and 5 degrees found up to 0.2 mm more.
    """
    require_between(straightedge_mm, 500, 4000, "straightedge", unit="mm")
    surface = surface_of(room)
    x0, y0, x1, y1 = room.polygon.bounds
    clear = _floor(room).buffer(1.0)
    shapely.prepare(clear)
    grid = np.array([(x, y) for x in _steps(x0, x1, STEP_MM) for y in _steps(y0, y1, STEP_MM)])
    middles = np.vstack([grid, surface.points])
    middles = middles[shapely.covers(clear, shapely.points(middles))]
    at = np.linspace(-straightedge_mm / 2, straightedge_mm / 2, round(straightedge_mm / FINE_MM) + 1)
    worst, where, way = -1.0, (0.0, 0.0), 0.0
    for turn in range(TURNS):
        degrees = 180.0 * turn / TURNS
        along = np.array([math.cos(math.radians(degrees)), math.sin(math.radians(degrees))])
        places = middles[:, None, :] + at[None, :, None] * along
        ends = shapely.linestrings(places[:, [0, -1], :])
        inside = shapely.covers(clear, ends)
        if not inside.any():
            continue
        profiles = surface.height_mm(places[inside].reshape(-1, 2)).reshape(-1, len(at))
        gaps = _gaps(at, profiles)
        best = int(gaps.argmax())
        if gaps[best] > worst + 1e-9:
            x, y = middles[inside][best]
            worst, where, way = float(gaps[best]), (float(x), float(y)), degrees
    if worst < 0:
        raise ValueError(
            f"room {room.name!r}: no place was found where a straightedge of {straightedge_mm:g} mm fits. "
            "Give a shorter one."
        )
    return FlatnessMap(surface, worst, where, way, straightedge_mm)


def _steps(low: float, high: float, step: float) -> Array:
    # an even number of steps: the middle of a room hardly longer than the straightedge is among them
    return np.linspace(low, high, 2 * max(1, round((high - low) / step / 2)) + 1)


def _floor(room: Room) -> Any:
    """The room less its obstacles [mm]."""
    floor = shapely.difference(room.polygon, shapely.union_all([obstacle.polygon for obstacle in room.obstacles]))
    if floor.area < 1.0:
        raise ValueError(f"room {room.name!r}: its obstacles leave no floor.")
    return floor


def straightedge_sentences(room: Room, *, limit_mm: float = FLOATING_FLOOR_MM) -> list[str]:
    """Every gap read under a straightedge, judged; a 2 m edge by class, any other by DIN 18202 over its length.

    A limit over one length says nothing over another: 3/16 in over 10 ft is not 3 mm over 2 m.

    Parameters
    ----------
    room
        The survey, with its straightedge readings.
    limit_mm
        Largest gap allowed under 2 m, 0 to 20 [mm].
    """
    require_between(limit_mm, 0, 20, "limit under 2 m", unit="mm")
    told = []
    for number, each in enumerate(room.straightedges, start=1):
        who = f"Straightedge {number} at {each.at[0]:g}, {each.at[1]:g}: {each.gap_mm:g} mm"
        who += f" under {each.length_mm / 1000:g} m"
        if each.length_mm == CLASS_EDGE_MM:
            name = flatness_class(each.gap_mm)
            of_class = "outside every class" if name == "none" else f"class {name}"
            verdict = "flat enough" if each.gap_mm <= limit_mm else "not flat enough"
            told.append(f"{who}, {of_class} of BS 8204: {verdict} for a limit of {limit_mm:g} mm.")
        else:
            most = din_18202_limit_mm(each.length_mm)
            verdict = "within" if each.gap_mm <= most else "over"
            told.append(f"{who}: {verdict} the {most:g} mm of DIN 18202 for a finished floor. Read it again under 2 m.")
    return told


# ---------------------------------------------------------------------- levelling


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
    floor = _floor(room)
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
