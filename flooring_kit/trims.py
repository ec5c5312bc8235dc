"""Trim that covers the gap, wall by wall."""

from __future__ import annotations

import pandas as pd
import shapely

from flooring_kit.room import Room


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
    against = shapely.union_all([obstacle.polygon for obstacle in room.obstacles])
    rows = []
    for wall, (start, end) in enumerate(room.walls, start=1):
        face = shapely.LineString([start, end])
        openings = [
            (
                max(0.0, door.from_corner_mm - door.architrave_mm),
                min(face.length, door.from_corner_mm + door.opening_mm + door.architrave_mm),
            )
            for door in room.doors
            if door.wall == wall
        ]
        cut = shapely.union_all(
            [shapely.LineString([face.interpolate(a), face.interpolate(b)]).buffer(0.01) for a, b in openings]
        )
        doors = sum(b - a for a, b in openings)
        behind = shapely.intersection(shapely.difference(face, cut), against.buffer(0.5)) if room.obstacles else None
        obstacles = float(behind.length) if behind is not None else 0.0
        rows.append((wall, face.length, doors, obstacles, max(0.0, face.length - doors - obstacles)))
    return pd.DataFrame(rows, columns=["wall", "length_mm", "doors_mm", "obstacles_mm", "trim_mm"])
