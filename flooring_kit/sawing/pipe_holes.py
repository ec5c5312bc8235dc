"""Holes for pipes, measured on the piece: where the centre is, hole or slot, how the board gets round the pipe.

The hole is the pipe and a gap on every side. Where its middle falls on a joint each board takes half; where what would
be left beside it is too thin to hold, the hole becomes a slot; anywhere else a wedge is sawn out from the hole to an
edge and glued back behind the pipe::

        wall                    wall                     wall
    ---------+---------     ------| |--------      --------\\   /------
            (|)                   | |                       \\ /
    ---------+---------     ------ ◡ --------      --------- ◡ -------
      half in each              slot                    hole, wedge
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pandas as pd
import shapely
from shapely import Polygon

from flooring_kit.checks import require_between
from flooring_kit.room import Pipe, Room
from flooring_kit.setting_out import Plan
from flooring_kit.setting_out.joint_costs import AT_PIPE_MM

HOLE_COLUMNS = [
    "pipe",
    "diameter_mm",
    "hole_mm",
    "piece",
    "row",
    "cut",
    "end",
    "from_end_mm",
    "edge",
    "from_edge_mm",
    "opens_to",
    "least_collar_mm",
    "clip_collar",
]
THINNEST_BRIDGE_MM = 15.0
"""Board left beside a hole, below which it breaks out and the hole is a slot. Common practice, no source."""

COLLAR_OVER_HOLE_MM = 5.0
"""How far a collar should reach over the hole on every side. From memory."""

TOUCHES_MM2 = 1.0
AT_A_WALL_MM, NOTCH_MM, FAR_MM = 0.05, 5.0, 1e5


def pipe_holes(plan: Plan, *, thinnest_bridge_mm: float = THINNEST_BRIDGE_MM) -> pd.DataFrame:
    """What to cut for every pipe, in which piece, and where on it.

    Parameters
    ----------
    plan
        The plan.
    thinnest_bridge_mm
        Least board that may be left between a hole and an outer side, 0 to 100 [mm].

    Returns
    -------
    DataFrame
        One row a pipe and piece: `pipe` (number in the survey), `diameter_mm`, `hole_mm` (pipe and twice the gap),
        `piece`, `row`; `cut`: "half hole on a joint" (best), "slot", or "hole and wedge"; `end`, `from_end_mm`,
        `edge`, `from_edge_mm`: the centre from the piece's nearer end and edge as they are when sawn, so that the gap
        is taken off already; below 0 the centre lies off the piece; `opens_to`: where the slot or the wedge runs out:
        an end, an edge, a "notch" beside it, or "joint"; `least_collar_mm`: diameter of a collar that covers the hole;
        `clip_collar`: whether half of that is more than the pipe's distance from the skirting or another fixed thing.

    Raises
    ------
    ValueError
        For a bridge out of its range.
    """
    require_between(thinnest_bridge_mm, 0, 100, "thinnest bridge", unit="mm")
    shapes = plan.frame.to_laying(plan.pieces["shape"].to_numpy())
    walls = plan.frame.to_laying(plan.floor).boundary.buffer(AT_A_WALL_MM)
    rows = []
    for number, pipe in enumerate(plan.room.pipes, start=1):
        hole_mm = pipe.diameter_mm + 2 * plan.rules.gap_mm
        centre = plan.frame.to_laying(shapely.Point(pipe.at))
        hole = centre.buffer(hole_mm / 2, quad_segs=32)
        cut_into = np.flatnonzero(shapely.area(shapely.intersection(shapes, hole)) > TOUCHES_MM2).tolist()
        collar = hole_mm + 2 * COLLAR_OVER_HOLE_MM
        clip = clear_round_mm(plan.room, pipe) < collar / 2
        sides = {i: _Sides(plan, i, shapes[i], centre) for i in cut_into}
        halves = [i for i in cut_into if shapes[i].distance(centre) <= AT_PIPE_MM]
        for i in cut_into:
            if i in halves and len(halves) > 1:
                cut, opens_to = "half hole on a joint", "joint"
            else:
                cut, opens_to = sides[i].cut(hole_mm / 2, thinnest_bridge_mm, walls)
            rows.append(
                (
                    number,
                    pipe.diameter_mm,
                    hole_mm,
                    plan.pieces["piece"].iloc[i],
                    int(plan.pieces["row"].iloc[i]),
                    cut,
                    *sides[i].centre,
                    opens_to,
                    collar,
                    clip,
                )
            )
    return pd.DataFrame(rows, columns=HOLE_COLUMNS)


def hole_sentence(hole: Any) -> str:
    """One row of :func:`pipe_holes` in words.

    Parameters
    ----------
    hole
        A row as `itertuples` gives it.
    """
    opens = "" if hole.opens_to == "joint" else f", open to the {hole.opens_to}" if hole.cut == "slot" else ""
    wedge = f"; saw a wedge out to the {hole.opens_to}, glue it back behind the pipe" if "wedge" in hole.cut else ""
    return (
        f"{hole.piece}: {hole.cut} of {hole.hole_mm:g} for pipe {hole.pipe}, centre {hole.from_end_mm:.0f} from the "
        f"{hole.end}, {hole.from_edge_mm:.0f} from the {hole.edge}{opens}{wedge}."
    )


def clear_round_mm(room: Room, pipe: Pipe) -> float:
    """Distance from a pipe's middle to the nearest skirting or fixed thing [mm]."""
    fixed = [room.polygon.exterior, *(obstacle.polygon for obstacle in room.obstacles)]
    return float(min(shapely.distance(shapely.Point(pipe.at), fixed)))


class _Sides:
    """A piece's four sides round a pipe: how far its middle is from each, and which are joined."""

    def __init__(self, plan: Plan, index: int, shape: Polygon, centre: shapely.Point) -> None:
        ends = [f"{lock} end" for lock in plan.board.end_locks]
        edges = [f"{lock} edge" for lock in plan.board.edge_locks]
        self.names = (*ends, *edges)
        self.shape, self.pipe = shape, centre
        u0, _, u1, _ = _abreast(shape, centre, along=True)
        _, v0, _, v1 = _abreast(shape, centre, along=False)
        self.away = (centre.x - u0, u1 - centre.x, centre.y - v0, v1 - centre.y)
        self.joined = tuple(bool(flag) for flag in plan.joined.iloc[index])

    @property
    def centre(self) -> tuple[str, float, str, float]:
        """The nearer end and how far from it, the nearer edge and how far from it."""
        end = min((0, 1), key=lambda side: self.away[side])
        edge = min((2, 3), key=lambda side: self.away[side])
        return self.names[end], round(self.away[end], 1) + 0.0, self.names[edge], round(self.away[edge], 1) + 0.0

    def cut(self, radius_mm: float, bridge_mm: float, walls: Polygon) -> tuple[str, str]:
        """Kind of cut, and where it opens to: a wedge towards the nearest wall, or else the row laid before."""
        at_wall = shapely.intersection(self.shape.boundary, walls)
        if not at_wall.is_empty and at_wall.distance(self.pipe) - radius_mm < bridge_mm:
            return "slot", self._towards(shapely.shortest_line(self.pipe, at_wall))
        nearest = min(range(4), key=lambda side: self.away[side])
        if self.away[nearest] < radius_mm:  # the hole runs across a joint, which needs no bridge
            return "slot", self.names[nearest]
        outer = [side for side in range(4) if not self.joined[side]] or [2]
        return "hole and wedge", self.names[min(outer, key=lambda side: self.away[side])]

    def _towards(self, way_out: shapely.LineString) -> str:
        """The side a way out of the piece leads to; a notch, where the piece goes on beyond it."""
        pipe, wall = way_out.coords
        came, at = (pipe, wall) if self.shape.covers(self.pipe) else (wall, pipe)
        along, across = at[0] - came[0], at[1] - came[1]
        if abs(along) > abs(across):
            side, straight_on = (1 if along > 0 else 0), (at[0] + math.copysign(FAR_MM, along), at[1])
        else:
            side, straight_on = (3 if across > 0 else 2), (at[0], at[1] + math.copysign(FAR_MM, across))
        beyond = self.shape.intersection(shapely.LineString([at, straight_on]))
        return "notch" if beyond.length > NOTCH_MM else self.names[side]


def _abreast(shape: Polygon, centre: shapely.Point, *, along: bool) -> tuple[float, float, float, float]:
    """Bounds of the piece on a line through the pipe, slants and all; its whole bounds where the line passes it by."""
    u0, v0, u1, v1 = shape.bounds
    line = ((u0 - 1, centre.y), (u1 + 1, centre.y)) if along else ((centre.x, v0 - 1), (centre.x, v1 + 1))
    crossing = shape.intersection(shapely.LineString(line))
    return (u0, v0, u1, v1) if crossing.is_empty else crossing.bounds
