"""Trim that covers the gap, wall by wall."""

from __future__ import annotations

import pandas as pd
import shapely

from flooring_kit.room import Room

Stretch = tuple[float, float]

AGAINST_MM = 0.5
"""An obstacle this near a wall face stands against it."""


def trim_by_wall(room: Room) -> pd.DataFrame:
    """Length of trim along each wall, doorways and obstacles at the wall left out.

    Parameters
    ----------
    room
        The survey [mm].

    Returns
    -------
    DataFrame
        One row a wall: `wall` (number), `length_mm` (wall face), `doors_mm` (openings with both architraves),
        `obstacles_mm` (stretches an obstacle stands against), `trim_mm`.

    Notes
    -----
    At a door the opening and both architraves are deducted (762 mm and twice 71 mm: 904 mm). Common practice,
    no source. Mitres are left to the cutting list.
    """
    rows = []
    for wall, corners in enumerate(room.wall_faces, start=1):
        face = shapely.LineString(corners)
        openings = [
            _within(
                door.from_corner_mm - door.architrave_mm,
                door.from_corner_mm + door.opening_mm + door.architrave_mm,
                face.length,
            )
            for door in room.doors
            if door.wall == wall
        ]
        doors = _covered(openings)
        obstacles = _covered([*openings, *_obstacles_against(face, room)]) - doors
        rows.append((wall, face.length, doors, obstacles, max(0.0, face.length - doors - obstacles)))
    return pd.DataFrame(rows, columns=["wall", "length_mm", "doors_mm", "obstacles_mm", "trim_mm"])


def _obstacles_against(face: shapely.LineString, room: Room) -> list[Stretch]:
    """Stretches of a wall face that obstacles stand against [mm from its first corner]."""
    band = face.buffer(AGAINST_MM, cap_style="flat")
    found = []
    for obstacle in room.obstacles:
        for part in shapely.get_parts(shapely.intersection(band, obstacle.polygon)):
            along = [face.project(shapely.Point(corner)) for corner in shapely.get_coordinates(part)]
            if along:
                found.append(_within(min(along), max(along), face.length))
    return found


def _within(start: float, end: float, length: float) -> Stretch:
    return max(0.0, start), min(length, end)


def _covered(stretches: list[Stretch]) -> float:
    """Length covered by stretches that may overlap."""
    total, reached = 0.0, float("-inf")
    for start, end in sorted(stretches):
        total += max(0.0, end - max(start, reached))
        reached = max(reached, end)
    return total
