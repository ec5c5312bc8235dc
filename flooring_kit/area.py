"""Areas: the room as measured and the net floor that boards must cover."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely import MultiPolygon, Polygon

from flooring_kit.room import Corner, Door, Room
from flooring_kit.rules import LayingRules

MITRE_LIMIT = 10.0
WELD_MM = 0.02
"""How far a doorway strip laps into the floor, so that the two weld into one shape in float arithmetic."""


def room_area_m2(room: Room) -> float:
    """Area inside the skirting, obstacles not deducted [m²].

    >>> from flooring_kit.room import Room
    >>> room_area_m2(Room("store", ((0, 0), (2000, 0), (2000, 1500), (0, 1500))))
    3.0
    """
    return float(room.polygon.area) / 1e6


def net_area_m2(floor: Polygon | MultiPolygon) -> float:
    """Area of the net floor [m²]: what the boards cover."""
    return float(floor.area) / 1e6


def net_floor(room: Room, rules: LayingRules) -> Polygon | MultiPolygon:
    """The shape boards must cover: inside the gaps, round the obstacles, into the doorways.

    Parameters
    ----------
    room
        The survey [mm].
    rules
        `gap_mm` and `under_frame_mm` are used.

    Returns
    -------
    shapely Polygon or MultiPolygon
        In survey axes [mm]; one part for each connected floor.

    Raises
    ------
    ValueError
        If the gap leaves no floor.

    Notes
    -----
    The outline is drawn in by the gap with mitred corners; each obstacle is drawn out by the gap and taken away;
    each doorway adds a strip. Every point of the result is at least the gap from every fixed thing, except
    under an undercut lining, where the floor runs in by `under_frame_mm`.
    """
    gap = rules.gap_mm
    floor = room.polygon.buffer(-gap, join_style="mitre", mitre_limit=MITRE_LIMIT)
    if room.obstacles:
        kept_clear = [
            obstacle.polygon.buffer(gap, join_style="mitre", mitre_limit=MITRE_LIMIT) for obstacle in room.obstacles
        ]
        floor = shapely.difference(floor, shapely.union_all(kept_clear))
    strips = [strip for door in room.doors if (strip := doorway_strip(room, door, rules)) is not None]
    if strips:
        floor = shapely.union_all([floor, *strips])
    if floor.is_empty or floor.area < 1.0:
        raise ValueError(f"room {room.name!r}: a gap of {gap:g} mm leaves no floor. Is the outline in millimetres?")
    return floor


def doorway_strip(room: Room, door: Door, rules: LayingRules) -> Polygon | None:
    """The strip of floor in a doorway, from the gap inside the wall face to the gap before the recess ends.

    Where the wall stands out into the room at the doorway, the strip begins at its foremost point.

    Returns None where the floor stops at the wall. Where the linings are undercut the strip runs under both of
    them by `under_frame_mm`; otherwise it stays clear of them by the gap.
    """
    if door.recess_mm <= 0:
        return None
    beyond = rules.under_frame_mm if door.undercut else -rules.gap_mm
    start = door.from_corner_mm - beyond
    end = door.from_corner_mm + door.opening_mm + beyond
    (x0, y0), (x1, y1) = room.walls[door.wall - 1]
    length = math.hypot(x1 - x0, y1 - y0)
    tx, ty = (x1 - x0) / length, (y1 - y0) / length
    ox, oy = (-ty, tx) if room.turns_clockwise else (ty, -tx)
    face = [((x - x0) * tx + (y - y0) * ty, (x - x0) * ox + (y - y0) * oy) for x, y in room.wall_faces[door.wall - 1]]
    into_room = max(0.0, -min(_heights_between(face, start, end)))
    near, far = -into_room - rules.gap_mm - WELD_MM, door.recess_mm - rules.gap_mm

    def corner(along: float, out: float) -> Corner:
        return x0 + tx * along + ox * out, y0 + ty * along + oy * out

    return Polygon([corner(start, near), corner(end, near), corner(end, far), corner(start, far)])


def _heights_between(line: Sequence[tuple[float, float]], start: float, end: float) -> list[float]:
    """Heights of a line of (along, height) at both ends of a stretch and at its points between them."""
    along, height = zip(*line, strict=True)
    ends = np.interp([start, end], along, height).tolist()
    return [*ends, *(high for at, high in line if start < at < end)]


def parts_of(floor: Polygon | MultiPolygon) -> list[Polygon]:
    """The connected parts of a floor, largest first; specks under 25 mm² are left out."""
    parts = [part for part in shapely.get_parts(floor) if part.area >= 25.0]
    return sorted(parts, key=lambda part: (-part.area, part.bounds))
