"""Trim that covers the gap: metres wall by wall, and the pieces to cut with their mitres.

A piece is measured along its back, the face that lies against the skirting. At an internal corner the back ends in the
corner; at an external one it runs past it by foot x tan(turn / 2)::

      internal, turn 90              external, turn 90
    =========back=========        ====back=========\\  + foot
                        /|                         |\\
      -----front-------/ |          --front--------+ |

The saw is set to half the turn: (180 - corner) / 2 for an internal corner. Common practice; the mitre rule is also in
trade pages (ehow.co.uk, visualfoodie.com).
"""

from __future__ import annotations

import math
import string
from dataclasses import dataclass
from itertools import pairwise

import pandas as pd
import shapely

from flooring_kit.checks import ceil_clean, require_between
from flooring_kit.room import Room

Stretch = tuple[float, float]

PIECE_COLUMNS = [
    "piece",
    "wall",
    "from_mm",
    "to_mm",
    "first_end",
    "first_saw_degrees",
    "last_end",
    "last_saw_degrees",
    "length_mm",
]
LEAST_JOINED_MM = 300.0
"""Shortest piece of a joined stretch. Common practice, no source."""

SHORTEST_MM, STRAIGHT_DEGREES = 1.0, 2.0

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
        openings = _openings(room, wall, face.length)
        doors = _covered(openings)
        obstacles = _covered([*openings, *_obstacles_against(face, room)]) - doors
        rows.append((wall, face.length, doors, obstacles, max(0.0, face.length - doors - obstacles)))
    return pd.DataFrame(rows, columns=["wall", "length_mm", "doors_mm", "obstacles_mm", "trim_mm"])


@dataclass(frozen=True)
class TrimEnd:
    """How a piece of trim ends.

    Parameters
    ----------
    kind
        "internal mitre", "external mitre", "return", "join" or "square".
    saw_degrees
        What the saw is set to, off square.
    adds_mm
        What it adds to the length along the wall [mm].
    """

    kind: str
    saw_degrees: float = 0.0
    adds_mm: float = 0.0


SQUARE, JOIN, RETURN = TrimEnd("square"), TrimEnd("join"), TrimEnd("return", 45.0)


def trim_pieces(
    room: Room, *, foot_mm: float, stock_length_mm: float, least_joined_mm: float = LEAST_JOINED_MM
) -> pd.DataFrame:
    """The pieces of trim to cut, wall by wall, with the mitre at each end.

    Parameters
    ----------
    room
        The survey [mm].
    foot_mm
        How far the trim stands out over the floor, 5 to 80 [mm].
    stock_length_mm
        Longest length on sale, 500 to 6000: what is longer is joined from several pieces [mm].
    least_joined_mm
        Shortest piece of a joined stretch, 0 to half a stock length [mm].

    Returns
    -------
    DataFrame
        One row a piece: `piece` (wall number, with a letter where a wall has several), `wall`; `from_mm`, `to_mm`
        (where it lies, from the wall's first corner); `first_end`, `first_saw_degrees`, `last_end`, `last_saw_degrees`:
        how it ends towards the wall's first corner and the other way, and what the saw is set to: "internal mitre",
        "external mitre", "return" (mitred to a piece one foot long that closes it at a door frame), "join" or
        "square"; `length_mm`: what is sawn, to the long point. Returns have rows of their own after their piece.

    Raises
    ------
    ValueError
        For a foot, a stock length or a least piece out of its range.
    """
    require_between(foot_mm, 5, 80, "trim foot", unit="mm")
    require_between(stock_length_mm, 500, 6000, "stock length of trim", unit="mm")
    require_between(least_joined_mm, 0, stock_length_mm / 2, "least piece of a joined trim", unit="mm")
    faces = [shapely.LineString(corners) for corners in room.wall_faces]
    free = [_free_stretches(room, wall) for wall in range(1, len(faces) + 1)]
    rows = []
    for i, stretches in enumerate(free):
        frames = [edge for opening in _openings(room, i + 1, faces[i].length) for edge in opening]
        pieces: list[tuple[float, float, TrimEnd, TrimEnd]] = []
        for start, end in stretches:
            first, last = (RETURN if _is_near(at, frames) else SQUARE for at in (start, end))
            if start < AGAINST_MM and _is_near(faces[i - 1].length, [b for _, b in free[i - 1]]):
                first = _corner_end(room, i, foot_mm)
            following = (i + 1) % len(free)
            if end > faces[i].length - AGAINST_MM and _is_near(0.0, [a for a, _ in free[following]]):
                last = _corner_end(room, following, foot_mm)
            pieces += _joined(start, end, first, last, stock_length_mm, least_joined_mm)
        for number, (start, end, first, last) in enumerate(pieces):
            label = f"{i + 1}{string.ascii_lowercase[number]}" if len(pieces) > 1 else f"{i + 1}"
            length = end - start + first.adds_mm + last.adds_mm
            told = (first.kind, first.saw_degrees, last.kind, last.saw_degrees)
            rows.append((label, i + 1, start, end, *told, length))
            for at in [at for at, side in ((start, first), (end, last)) if side is RETURN]:
                rows.append((f"{label} return", i + 1, at, at, "return", 45.0, "square", 0.0, foot_mm))
    return pd.DataFrame(rows, columns=PIECE_COLUMNS)


def _free_stretches(room: Room, wall: int) -> list[Stretch]:
    """Stretches of a wall face where trim runs [mm from its first corner]."""
    face = shapely.LineString(room.wall_faces[wall - 1])
    free: list[Stretch] = []
    reached = 0.0
    for start, end in sorted([*_openings(room, wall, face.length), *_obstacles_against(face, room)]):
        if start > reached + SHORTEST_MM:
            free.append((reached, start))
        reached = max(reached, end)
    if face.length > reached + SHORTEST_MM:
        free.append((reached, face.length))
    return free


def _openings(room: Room, wall: int, length: float) -> list[Stretch]:
    """Stretches of a wall that door openings take, architraves with them."""
    return [
        _within(
            door.from_corner_mm - door.architrave_mm,
            door.from_corner_mm + door.opening_mm + door.architrave_mm,
            length,
        )
        for door in room.doors
        if door.wall == wall
    ]


def _corner_end(room: Room, corner: int, foot_mm: float) -> TrimEnd:
    """The mitre at a corner, by its place in the outline from 0."""
    (x0, y0), (x1, y1) = room.wall_faces[corner - 1][-2:]
    (x2, y2), (x3, y3) = room.wall_faces[corner][:2]
    before, after = (x1 - x0, y1 - y0), (x3 - x2, y3 - y2)
    cross = before[0] * after[1] - before[1] * after[0]
    turn = math.degrees(math.atan2(abs(cross), before[0] * after[0] + before[1] * after[1]))
    if turn < STRAIGHT_DEGREES:
        return JOIN
    if (cross > 0) != room.turns_clockwise:
        return TrimEnd("internal mitre", round(turn / 2, 1))
    return TrimEnd("external mitre", round(turn / 2, 1), foot_mm * math.tan(math.radians(turn / 2)))


def _joined(
    start: float, end: float, first: TrimEnd, last: TrimEnd, stock_mm: float, least_mm: float
) -> list[tuple[float, float, TrimEnd, TrimEnd]]:
    """A stretch as one piece, or as whole stock lengths and a rest; a rest too short shares with the piece before."""
    length = end - start + first.adds_mm + last.adds_mm
    count = ceil_clean(length / stock_mm)
    lengths = [stock_mm] * (count - 1) + [length - stock_mm * (count - 1)]
    if count > 1 and lengths[-1] < least_mm:
        lengths[-2:] = [(lengths[-2] + lengths[-1]) / 2] * 2
    joints = [start - first.adds_mm + sum(lengths[: n + 1]) for n in range(count - 1)]
    ends = [start, *joints, end]
    return [
        (a, b, first if n == 0 else JOIN, last if n == count - 1 else JOIN) for n, (a, b) in enumerate(pairwise(ends))
    ]


def _is_near(at: float, others: list[float]) -> bool:
    return any(abs(at - other) < AGAINST_MM for other in others)


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
