"""Door frames as the floor meets them: in which rows, at which side of the work, and how hard that makes them.

A board slides under a frame most easily where nothing holds it yet: at the start wall. At a row's start or end a
piece is pushed under and drawn back; at the far wall the last row has to go under the frame and into the row before
it at once. Common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
import shapely

from flooring_kit.area import doorway_strip
from flooring_kit.checks import ceil_clean
from flooring_kit.heights import NewFloor
from flooring_kit.room import Door
from flooring_kit.setting_out import Plan
from flooring_kit.tables import records
from flooring_kit.undercuts import LEFT_AT_METAL_MM, SLID_PAST_MM, undercut_depth_mm, undercut_height_mm

UNDERCUT_COLUMNS = ["door", "name", "wall", "met_at", "height_mm", "depth_mm", "slid_past_mm", "hardness", "how"]
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
NOT_CUT = (
    f"the frame is not cut: shape the board to it, leave about {LEFT_AT_METAL_MM:g} mm, close with flexible filler"
)


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


def undercut_list(plan: Plan, floors: Sequence[NewFloor]) -> pd.DataFrame:
    """Every frame the floor meets, with the cut it takes: for one go round before laying.

    Parameters
    ----------
    plan
        The plan.
    floors
        The new floor at each doorway of the survey, compound and all.

    Returns
    -------
    DataFrame
        One row a frame, in the order a person meets them who walks along the walls from wall 1: `door`, `name`, `wall`,
        `met_at`; `height_mm` of the saw over the bare subfloor and `depth_mm` from the lining's face (NaN for a frame
        that is not cut); `slid_past_mm` (further depth in it, for boards slid past their place); `hardness`, `how`.
    """
    rows = []
    for frame in records(door_frames(plan)):
        door = plan.room.doors[frame.door - 1]
        slid = SLID_PAST_MM if frame.met_at in ("row's start", "row's end") and door.undercut else 0.0
        height, depth = (
            (
                _saw_height_mm(floors[frame.door - 1]),
                undercut_depth_mm(plan.rules.gap_mm, plan.rules.under_frame_mm, slid_past_mm=slid),
            )
            if door.undercut
            else (math.nan, math.nan)
        )
        met = (frame.door, frame.name, frame.wall, frame.met_at)
        rows.append((door.wall, door.from_corner_mm, (*met, height, depth, slid, frame.hardness, frame.how)))
    return pd.DataFrame([told for *_, told in sorted(rows)], columns=UNDERCUT_COLUMNS)


def _saw_height_mm(floor: NewFloor) -> float:
    return undercut_height_mm(
        floor.board_mm, floor.underlay_mm, sheet_mm=floor.sheet_mm, levelling_mm=max(floor.levelling_mm)
    )


def undercut_sentences(frames: pd.DataFrame) -> list[str]:
    """The undercut list in words, what to do before it first.

    Parameters
    ----------
    frames
        As from :func:`undercut_list`.
    """
    if not len(frames):
        return []
    told = [
        "Take the leaves off, number them, and cut every frame in one round before the first board is laid. Rest the "
        "saw on an offcut of board and underlay."
    ]
    for frame in records(frames):
        if math.isnan(frame.height_mm):
            told.append(f"{frame.name}: {frame.how}.")
            continue
        past = f", {frame.slid_past_mm:.0f} of it to slide a board past its place" if frame.slid_past_mm else ""
        told.append(
            f"{frame.name}: cut {ceil_clean(frame.height_mm)} mm high and {frame.depth_mm:.0f} mm deep{past}; met at "
            f"the {frame.met_at}: {frame.how}."
        )
    return told


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
