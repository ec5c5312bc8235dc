"""The strip every stop-point gets: what a first-row width leaves at walls, hearths, bays and doorways."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd
import shapely

from flooring_kit.room import Room
from flooring_kit.setting_out.frame import LayingFrame
from flooring_kit.setting_out.rows import StopPoint


def strips_table(
    room: Room, frame: LayingFrame, stops: Sequence[StopPoint], widths_mm: Sequence[float]
) -> pd.DataFrame:
    """One row a stop-point, tongues at short edges left out.

    Parameters
    ----------
    room, frame
        The survey, and the laying frame the stop-points are given in.
    stops, widths_mm
        Stop-points, and the strip each gets [mm].

    Returns
    -------
    DataFrame
        `beside` (the wall, obstacle or doorway it belongs to), `x_mm`, `y_mm` (survey axes), `strip_mm`. Equal
        strips at both ends of one edge stand once.
    """
    points = np.array([(stop.u, stop.v) for stop in stops]).reshape(-1, 2)
    corners = shapely.get_coordinates(frame.to_survey(shapely.points(points)))
    edges = np.array([(stop.u + stop.inward[0] * stop.edge_mm / 2, stop.v) for stop in stops]).reshape(-1, 2)
    middles = frame.to_survey(shapely.points(edges))
    rows = [
        (_belongs_to(room, middle), round(float(x), 1), round(float(y), 1), round(float(width), 1))
        for middle, (x, y), width in zip(middles, corners, widths_mm, strict=True)
    ]
    table = pd.DataFrame(rows, columns=["beside", "x_mm", "y_mm", "strip_mm"])
    return table.drop_duplicates(["beside", "strip_mm"], ignore_index=True)


def _belongs_to(room: Room, point: shapely.Point) -> str:
    """The fixed thing nearest to the middle of an edge of the floor."""
    nearest = [(obstacle.polygon.distance(point), obstacle.name) for obstacle in room.obstacles]
    for wall, corners in enumerate(room.wall_faces, start=1):
        face = shapely.LineString(corners)
        away = face.distance(point)
        doors = sorted(door.from_corner_mm for door in room.doors if door.wall == wall)
        name = f"wall {wall}"
        if not room.polygon.contains(point):
            along = face.project(point)
            for door in room.doors:
                if door.wall == wall and -20 <= along - door.from_corner_mm <= door.opening_mm + 20:
                    which = f"{doors.index(door.from_corner_mm) + 1} " if len(doors) > 1 else ""
                    name = f"doorway {which}in wall {wall}"
        nearest.append((away, name))
    return min(nearest)[1]
