"""What a piece loses inside its sawn rectangle: notches, holes, tapers and slanted ends, measured on the piece.

A piece has a tongue end and a groove end, a tongue edge and a groove edge, wherever it lies and whichever face is
up; every figure is taken from the end and the edge that are named with it, so it can't be mirrored by mistake::

                       start-wall edge
    row's   +-----------+       +------------------+
    start   |           |notch  |                  |  corner, along, across from the nearer end and edge
    end     |           +-------+          +-------+
            +------------------------------+ corner
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from flooring_kit.products import Board
from flooring_kit.setting_out import Plan

SHAPING_COLUMNS = [
    "piece",
    "row",
    "kind",
    "end",
    "from_end_mm",
    "along_mm",
    "edge",
    "from_edge_mm",
    "across_mm",
    "square",
    "angle_degrees",
    "corners_mm",
]
SPECK_MM2 = 25.0
THINNEST_MM = 0.3
"""What is less than this wide, or smaller than a speck, no saw can follow: the contract's tiling tolerance."""

ASKEW = {
    "taper": "scribed along the {edge}",
    "slant": "{end} sawn askew",
    "corner": "corner at {end} and {edge} off, askew",
    "edge": "out of the {edge}, askew",
    "end": "out of the {end}, askew",
    "hole": "hole, askew",
}

AT_A_SIDE_MM = 0.05
LEAST_TOUCH_MM = 1.0


def shaping(plan: Plan) -> pd.DataFrame:
    """Everything that is taken out of the pieces' sawn rectangles, in laying order.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    DataFrame
        One row a place: `piece`, `row`; `kind`: "corner" (taken off a corner), "edge" or "end" (let into an edge or
        an end), "taper" (the whole length of an edge), "slant" (the whole width of an end), "hole"; `end`,
        `from_end_mm`, `along_mm`: the end it is measured from, the nearer one, where it begins and how far it runs;
        `edge`, `from_edge_mm`, `across_mm`: the same across; `square`: a rectangle; `angle_degrees`: of a slant, what
        the saw is set off square, NaN otherwise; `corners_mm`: every corner as (from the end, from the edge).
    """
    rows = []
    for label, row, place in _places(plan):
        part = place.part
        low, high = part.bounds[:2], part.bounds[2:]
        end, edge = place.far_end, place.far_edge
        ends, edges = plan.board.end_locks, plan.board.edge_locks
        along = place.length - high[0] if end else low[0]
        across = place.width - high[1] if edge else low[1]
        corners = shapely.get_coordinates(part.exterior)[:-1]
        corners = np.abs(corners - (place.length * end, place.width * edge))
        nearest = int(np.argmin(corners.sum(axis=1)))
        rows.append(
            (
                label,
                row,
                place.kind,
                f"{ends[end]} end",
                round(along, 1) + 0.0,
                round(high[0] - low[0], 1),
                f"{edges[edge]} edge",
                round(across, 1) + 0.0,
                round(high[1] - low[1], 1),
                place.is_square,
                place.angle_degrees,
                tuple((round(x, 1), round(y, 1)) for x, y in np.roll(corners, -nearest, axis=0).tolist()),
            )
        )
    return pd.DataFrame(rows, columns=SHAPING_COLUMNS)


@dataclass(frozen=True)
class _Place:
    """A part of a piece's rectangle that is not floor; x from the row's-start end, y from the start-wall edge [mm]."""

    part: Polygon
    length: float
    width: float

    def _touches(self) -> tuple[bool, bool, bool, bool]:
        """Whether it takes some of the start end, the other end, the start-wall edge, the other edge."""
        x, y = self.length, self.width
        sides = shapely.linestrings([((0, 0), (0, y)), ((x, 0), (x, y)), ((0, 0), (x, 0)), ((0, y), (x, y))])
        beside = shapely.intersection(sides, self.part.buffer(AT_A_SIDE_MM, join_style="mitre"))
        left, right, back, front = (shapely.length(beside) > LEAST_TOUCH_MM).tolist()
        return left, right, back, front

    @property
    def kind(self) -> str:
        along = self.part.bounds[2] - self.part.bounds[0] > self.length - LEAST_TOUCH_MM
        across = self.part.bounds[3] - self.part.bounds[1] > self.width - LEAST_TOUCH_MM
        left, right, back, front = self._touches()
        if along and (back or front):
            return "taper"
        if across and (left or right):
            return "slant"
        if left or right:
            return "corner" if back or front else "end"
        return "edge" if back or front else "hole"

    @property
    def far_end(self) -> bool:
        """Whether it is measured from the end away from the row's start."""
        left, right, _, _ = self._touches()
        return right if left != right else bool(self.part.centroid.x > self.length / 2)

    @property
    def far_edge(self) -> bool:
        """Whether it is measured from the edge away from the start wall."""
        _, _, back, front = self._touches()
        return front if back != front else bool(self.part.centroid.y > self.width / 2)

    @property
    def is_square(self) -> bool:
        return bool(shapely.box(*self.part.bounds).area - self.part.area < 1.0)

    @property
    def angle_degrees(self) -> float:
        if self.kind != "slant" or len(self.part.exterior.coords) > 5:
            return math.nan
        corners = shapely.get_coordinates(self.part.exterior)
        cuts = np.diff(corners, axis=0)
        sloping = cuts[np.abs(cuts).min(axis=1) > AT_A_SIDE_MM]
        along, across = np.abs(sloping[np.argmax(np.abs(sloping[:, 1]))]).tolist()
        return round(math.degrees(math.atan2(along, across)), 1)


def _places(plan: Plan) -> list[tuple[str, int, _Place]]:
    """Piece, row and place of everything taken out of a rectangle, in laying order."""
    shapes = plan.frame.to_laying(plan.pieces["shape"].to_numpy())
    bounds = shapely.bounds(shapes)
    waste = shapely.difference(shapely.box(*bounds.T), shapes)
    found = []
    for i in np.flatnonzero(shapely.area(waste) >= SPECK_MM2).tolist():
        u0, v0, u1, v1 = bounds[i].tolist()
        parts = [part for part in shapely.get_parts(waste[i]) if _can_be_sawn(part)]
        parts.sort(key=lambda part: (part.bounds[0], part.bounds[1]))
        label, row = str(plan.pieces["piece"].iloc[i]), int(plan.pieces["row"].iloc[i])
        found += [(label, row, _Place(_moved(part, u0, v0), u1 - u0, v1 - v0)) for part in parts]
    return found


def _can_be_sawn(part: Polygon) -> bool:
    u0, v0, u1, v1 = part.bounds
    return bool(part.geom_type == "Polygon" and part.area >= SPECK_MM2 and min(u1 - u0, v1 - v0) >= THINNEST_MM)


def _moved(part: Polygon, u0: float, v0: float) -> Polygon:
    return Polygon(shapely.get_coordinates(part.exterior) - (u0, v0))


def shaping_sentence(place: Any) -> str:
    """One row of :func:`shaping` in words, lengths in whole mm.

    Parameters
    ----------
    place
        A row as `itertuples` gives it. What is not square is told corner by corner: from the end / from the edge.
    """
    who, end, edge = f"{place.piece}:", place.end, place.edge
    along, across = f"{place.along_mm:.0f}", f"{place.across_mm:.0f}"
    if place.kind in ("taper", "slant") and len(place.corners_mm) == 3:
        angle = "" if math.isnan(place.angle_degrees) else f" {place.angle_degrees:g}° off square"
        if place.kind == "taper":
            return f"{who} tapered along the {edge}: {across} narrower at the {end}."
        return f"{who} {end} sawn{angle or ' askew'}: {along} shorter at the {edge}."
    if not place.square:
        points = ", ".join(f"{x:.0f}/{y:.0f}" for x, y in place.corners_mm)
        return f"{who} {ASKEW[place.kind].format(end=end, edge=edge)}; mark from {end} / {edge}: {points}."
    if place.kind == "corner":
        return f"{who} corner at {end} and {edge} off, {along} along, {across} across."
    over = f"from {place.from_end_mm:.0f} to {place.from_end_mm + place.along_mm:.0f} from the {end}"
    down = f"from {place.from_edge_mm:.0f} to {place.from_edge_mm + place.across_mm:.0f} from the {edge}"
    if place.kind == "edge":
        return f"{who} out of the {edge}, {across} deep, {over}."
    if place.kind == "end":
        return f"{who} out of the {end}, {along} deep, {down}."
    return f"{who} hole {over} and {down}."


def end_widths_mm(plan: Plan) -> NDArray[np.float64]:
    """Width of every piece at its two ends, that towards the row's start first [mm]; shape (pieces, 2)."""
    return _just_inside(plan, along=True)


def edge_lengths_mm(plan: Plan) -> NDArray[np.float64]:
    """Length of every piece along its two edges, that towards the start wall first [mm]; shape (pieces, 2)."""
    return _just_inside(plan, along=False)


def _just_inside(plan: Plan, *, along: bool) -> NDArray[np.float64]:
    shapes = plan.frame.to_laying(plan.pieces["shape"].to_numpy())
    u0, v0, u1, v1 = shapely.bounds(shapes).T
    inside = 0.2
    if along:
        ends = [((u, v0 - 1), (u, v1 + 1)) for u in (u0 + inside, u1 - inside)]
    else:
        ends = [((u0 - 1, v), (u1 + 1, v)) for v in (v0 + inside, v1 - inside)]
    lines = [
        shapely.linestrings(np.stack([np.stack(np.broadcast_arrays(*point), axis=-1) for point in line], axis=1))
        for line in ends
    ]
    return np.stack([np.round(shapely.length(shapely.intersection(shapes, line)), 1) for line in lines], axis=1)


def lock_words(locks: tuple[str, str], *, first: bool, last: bool, side: str) -> str:
    """Which factory ends (or edges) stay on a piece, by their locks.

    >>> lock_words(("tongue", "groove"), first=False, last=True, side="end")
    'groove end'
    """
    if first and last:
        return f"both {side}s"
    if not (first or last):
        return f"neither {side}"
    return f"{locks[0] if first else locks[1]} {side}"


def named_by_lock(board: Board) -> tuple[int, int]:
    """Where the tongue end stands in (row's start, other end), and the tongue edge in (start-wall, other edge)."""
    return board.end_locks.index("tongue"), board.edge_locks.index("tongue")
