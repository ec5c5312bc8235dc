"""A surveyed room with its walls and doorways by number, for sheets that name a wall by its number."""

from __future__ import annotations

import numpy as np
import shapely

from flooring_kit.checks import counted
from flooring_kit.drawing.marks import Array, Mark, Scene, Shape, Words, extent
from flooring_kit.drawing.scene import furniture, survey_sheet
from flooring_kit.room import Room

UNIT_SHARE, LEAST_UNIT_MM = 0.034, 15.0
"""Height of the words: this share of the room's larger side, and at least so much on the floor [mm]."""

DOOR_SLOT_UNITS = 1.1
"""How much farther from the wall a doorway's words stand than a wall's number, for its slot is drawn there."""


def walls_scene(room: Room) -> Scene:
    """The room in the survey's own orientation: every wall's number outside it, every doorway's name beside it.

    Parameters
    ----------
    room
        The survey.
    """
    x0, y0, x1, y1 = room.polygon.bounds
    unit = UNIT_SHARE * max(x1 - x0, y1 - y0) + LEAST_UNIT_MM
    ring = survey_sheet(shapely.get_coordinates(room.polygon.exterior))
    marks: list[Mark] = [
        Shape("gap", (ring,), f"{room.name}, inside the skirting"),
        Shape("outline", (ring,), "The walls"),
    ]
    marks += furniture(room, survey_sheet, labels=False)
    marks += [_beside(_middle(room, wall), _outward(room, wall), f"{wall}", unit) for wall in _numbers(room)]
    for number, door in enumerate(room.doors, start=1):
        wall = door.wall
        middle = _along(room, wall, door.from_corner_mm + door.opening_mm / 2) + _outward(room, wall) * door.recess_mm
        marks.append(_beside(middle, _outward(room, wall), door.name or f"door {number}", unit, DOOR_SLOT_UNITS))
    for obstacle in room.obstacles:
        seen = shapely.intersection(obstacle.polygon, room.polygon)
        if not seen.is_empty:
            x, y = survey_sheet(shapely.get_coordinates(seen.representative_point()))[0].tolist()
            marks.append(Words(x, y, obstacle.name, 0.8 * unit))
    low, high = extent(marks)
    margin = 0.6 * unit
    (left, top), (width, height) = (low - margin).tolist(), (high - low + 2 * margin).tolist()
    title = f"{room.name}: {len(room.outline)} walls by number, {counted(len(room.doors), 'doorway')}."
    return Scene(title, left, top, width, height, tuple(marks), unit)


def _numbers(room: Room) -> range:
    return range(1, len(room.outline) + 1)


def _outward(room: Room, wall: int) -> Array:
    """Away from the floor, square to the straight line between the wall's corners."""
    start, end = (np.array(corner) for corner in room.walls[wall - 1])
    x, y = (end - start) / np.hypot(*(end - start))
    return np.array([-y, x]) if room.turns_clockwise else np.array([y, -x])


def _along(room: Room, wall: int, from_corner_mm: float) -> Array:
    """A place on the wall's face, counted along its straight line [mm, survey axes]."""
    start, end = (np.array(corner) for corner in room.walls[wall - 1])
    on_line: Array = start + (end - start) / np.hypot(*(end - start)) * from_corner_mm
    out = _outward(room, wall)
    across = shapely.LineString([on_line - 5000 * out, on_line + 5000 * out])
    face = shapely.LineString(room.wall_faces[wall - 1])
    met = shapely.get_coordinates(shapely.intersection(across, face))
    return on_line if not len(met) else met[0]


def _middle(room: Room, wall: int) -> Array:
    """The middle of the wall's longest stretch without a doorway."""
    doors = sorted((each.from_corner_mm, each.opening_mm) for each in room.doors if each.wall == wall)
    begins = [0.0, *(at + opening for at, opening in doors)]
    ends = [*(at for at, _ in doors), room.wall_length_mm(wall)]
    begin, end = max(zip(begins, ends, strict=True), key=lambda stretch: stretch[1] - stretch[0])
    return _along(room, wall, (begin + end) / 2)


def _beside(place: Array, outward: Array, text: str, unit: float, more_units: float = 0.0) -> Words:
    """Words that stand clear of the wall: beside an upright one, over or under a level one."""
    x, y = survey_sheet(place[None, :] + outward * (0.85 + more_units) * unit)[0].tolist()
    sideways = abs(float(outward[0])) > 0.8  # a number is short enough to stand in its middle there too
    anchor = ("start" if outward[0] > 0 else "end") if sideways and len(text) > 2 else "middle"
    return Words(x, y, text, unit, anchor)
