"""Door frames as the floor meets them: in which rows, at which side of the work, and how hard that makes them.

A board slides under a frame most easily where nothing holds it yet: at the start wall. At a row's start or end a
piece is pushed under and drawn back; at the far wall the last row has to go under the frame and into the row before
it at once. Common practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
import shapely

from flooring_kit.area import doorway_strip
from flooring_kit.room import Door
from flooring_kit.setting_out import Plan

FRAME_COLUMNS = ["door", "name", "wall", "met_at", "rows", "pieces", "under_both", "hardness", "how"]
SLID_PAST = "undercut 6 to 10 mm deeper"
UNDER_MM2 = 1.0


@dataclass(frozen=True)
class MeetingSide:
    """A side of the work a door frame can stand on.

    Parameters
    ----------
    name
        "start wall", "row's start", "row's end" or "far wall".
    hardness
        1 (easiest) to 4.
    how
        What it takes.
    """

    name: str
    hardness: int
    how: str


SIDES = (
    MeetingSide("start wall", 1, "slide the board under the frame before anything holds it"),
    MeetingSide("row's start", 2, f"push the row's first piece under, then draw it back to its joint; {SLID_PAST}"),
    MeetingSide("row's end", 3, f"slide the row's last piece under, then draw it back to its joint; {SLID_PAST}"),
    MeetingSide(
        "far wall",
        4,
        "the last row must go under the frame and into the row before it at once: tilt it in, or shave the lock, "
        "glue it and slide it in flat",
    ),
)
UNDER_BOTH = "one piece goes under both linings and can't be swung in"
NOT_CUT = "the frame is not cut: shape the board to it, leave about 8 mm, close with flexible filler"


def door_frames(plan: Plan) -> pd.DataFrame:
    """Every doorway the floor runs into, with the rows and pieces that meet it.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    DataFrame
        One row a doorway: `door` (number in the survey), `name`, `wall`, `met_at` ("start wall", "row's start",
        "row's end", "far wall"), `rows`, `pieces` (those in the doorway), `under_both` (whether one piece lies
        under both linings), `hardness` (1 to 4, and 1 more where one piece lies under both linings of a frame that is
        not at the start wall), `how` (what it takes).
    """
    rows = []
    for number, door in enumerate(plan.room.doors, start=1):
        strip = doorway_strip(plan.room, door, plan.rules)
        if strip is None:
            continue
        side = SIDES[_side(plan, door)]
        inside = _cut_by(plan, strip)
        if not inside.any():
            continue
        linings = [_cut_by(plan, part) for part in _under_linings(plan, door)] if door.undercut else []
        both = len(linings) == 2 and bool((linings[0] & linings[1]).any())
        hard = both and side.hardness > 1
        told = [side.how if door.undercut else NOT_CUT, *([UNDER_BOTH] if hard else [])]
        met = plan.pieces[inside]
        rows.append(
            (
                number,
                door.name or f"door {number}",
                door.wall,
                side.name,
                tuple(sorted(set(met["row"].tolist()))),
                tuple(met["piece"].tolist()),
                both,
                side.hardness + hard,
                "; ".join(told),
            )
        )
    return pd.DataFrame(rows, columns=FRAME_COLUMNS)


def _side(plan: Plan, door: Door) -> int:
    """Index of the side of the work the door's wall stands on: the one it faces most squarely."""
    (x0, y0), (x1, y1) = plan.room.walls[door.wall - 1]
    length = math.hypot(x1 - x0, y1 - y0)
    tx, ty = (x1 - x0) / length, (y1 - y0) / length
    out = np.array((-ty, tx) if plan.room.turns_clockwise else (ty, -tx))
    along, across = float(out @ plan.along), float(out @ plan.across)
    return int(np.argmax([-across, -along, along, across]))


def _cut_by(plan: Plan, part: shapely.Polygon) -> np.ndarray:
    """Which pieces lie in a part of the floor."""
    beyond = shapely.difference(part, plan.room.polygon)
    return np.asarray(shapely.area(shapely.intersection(plan.pieces["shape"].to_numpy(), beyond)) > UNDER_MM2)


def _under_linings(plan: Plan, door: Door) -> list[shapely.Polygon]:
    """The strips of floor under the two linings."""
    strip = doorway_strip(plan.room, door, plan.rules)
    between = doorway_strip(plan.room, door, replace(plan.rules, under_frame_mm=0.0))
    return [part for part in shapely.get_parts(shapely.difference(strip, between)) if part.area > UNDER_MM2]
