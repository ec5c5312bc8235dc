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
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import pandas as pd
import shapely

from flooring_kit.checks import ceil_clean, require_between, told_apart
from flooring_kit.room import Corner, Obstacle, Room

Stretch = tuple[float, float]

TRIM, END_BAR = "trim", "end bar, or flexible filler"
COVERS = {
    "skirting": TRIM,
    "plinth": "the plinth, clipped on over the floor",
    "end panel": TRIM,
    "hearth": END_BAR,
    "sill": END_BAR,
    "stair riser": TRIM,
    "fixed": TRIM,
    "island": "its plinth, put on over the floor",
    "unit": "its plinth, put on over the floor",
    "wardrobe": TRIM,
    "column": TRIM,
    "stairs": TRIM,
}
"""What hides the gap at each kind of edge and of obstacle. Common practice, no source."""

WALL_COLUMNS = ["beside", "wall", "length_mm", "doors_mm", "obstacles_mm", "trim_mm"]
PIECE_COLUMNS = [
    "piece",
    "beside",
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

FAR_MM = 1000.0
AGAINST_MM = 0.5
"""An obstacle this near a wall face stands against it."""


def trim_by_wall(room: Room) -> pd.DataFrame:
    """Length of trim along each wall and round each obstacle, doorways and what stands against them left out.

    Parameters
    ----------
    room
        The survey [mm].

    Returns
    -------
    DataFrame
        One row a wall, then one an obstacle that a trim runs round: `beside` ("wall 3" or the obstacle's name), `wall`
        (number; 0 for an obstacle), `length_mm` (its faces), `doors_mm` (openings with both architraves),
        `obstacles_mm` (stretches that an obstacle, or for an obstacle a wall, stands against), `trim_mm` (0 where
        something else hides the gap: a plinth, an end bar).

    Notes
    -----
    At a door the opening and both architraves are deducted (762 mm and twice 71 mm: 904 mm). Common practice,
    no source. Mitres are left to the cutting list.
    """
    rows = []
    for ring in _rings(room):
        length, doors, against, trim = (
            sum(getattr(face, name) for face in ring) for name in ("length_mm", "doors_mm", "against_mm", "trim_mm")
        )
        if ring[0].wall:
            told = [(face.length_mm, face.doors_mm, face.against_mm, face.trim_mm) for face in ring]
            rows += [(face.beside, face.wall, *figures) for face, figures in zip(ring, told, strict=True)]
        else:
            rows.append((ring[0].beside, 0, length, doors, against, trim))
    return pd.DataFrame(rows, columns=WALL_COLUMNS)


def faces_closed_by(room: Room, cover: str) -> list[tuple[str, float]]:
    """Stretches of wall and sides of obstacles whose gap something else than a trim hides.

    Parameters
    ----------
    room
        The survey.
    cover
        One of the values of `COVERS`, such as `END_BAR`.

    Returns
    -------
    list of (name, length [mm])
        "wall 3", or an obstacle's name and side, with the length that no doorway takes and nothing stands against.
    """
    found = [
        (face.label if face.wall == 0 else face.beside, end - start)
        for ring in _rings(room, cover)
        for face in ring
        for start, end in face.free
    ]
    return list(zip(told_apart(name for name, _ in found), (length for _, length in found), strict=True))


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
        One row a piece: `piece` (wall number, or an obstacle's name and side, with a letter where a face has several),
        `beside` ("wall 3", or the obstacle's name), `wall` (0 for an obstacle); `from_mm`, `to_mm` (where it lies, from
        the face's first corner); `first_end`, `first_saw_degrees`, `last_end`, `last_saw_degrees`:
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
    rows = []
    rings = _rings(room)
    for ring in rings:
        others = [face for other in rings if other is not ring for face in other]
        pieces: list[tuple[str, str, int, float, float, TrimEnd, TrimEnd]] = []
        for i, face in enumerate(ring):
            before, after = ring[i - 1], ring[(i + 1) % len(ring)]
            for start, end in face.free:
                first = RETURN if _is_near(start, face.frames) else _met_end(face, start, 1, others)
                last = RETURN if _is_near(end, face.frames) else _met_end(face, end, -1, others)
                if start < AGAINST_MM and before.is_free_at_end:
                    first = _corner_end(before, face, foot_mm, turns_clockwise=room.turns_clockwise)
                if end > face.length_mm - AGAINST_MM and after.is_free_at_start:
                    last = _corner_end(face, after, foot_mm, turns_clockwise=room.turns_clockwise)
                pieces += [
                    (face.label, face.beside, face.wall, *piece)
                    for piece in _joined(start, end, first, last, stock_length_mm, least_joined_mm)
                ]
        for label, numbered in _labelled(pieces):
            _, beside, wall, start, end, first, last = numbered
            length = end - start + first.adds_mm + last.adds_mm
            told = (first.kind, first.saw_degrees, last.kind, last.saw_degrees)
            rows.append((label, beside, wall, start, end, *told, length))
            returns = [at for at, side in ((start, first), (end, last)) if side is RETURN]
            for number, at in enumerate(returns, start=1):
                which = f" {number}" if len(returns) > 1 else ""
                rows.append((f"{label} return{which}", beside, wall, at, at, "return", 45.0, "square", 0.0, foot_mm))
    return pd.DataFrame(rows, columns=PIECE_COLUMNS)


def _labelled(pieces: Sequence[Any]) -> list[tuple[str, Any]]:
    """Pieces with their labels: that of their face, a letter after it where a face has several."""
    told = []
    for label in dict.fromkeys(piece[0] for piece in pieces):
        alike = [piece for piece in pieces if piece[0] == label]
        letters = string.ascii_lowercase if len(alike) <= len(string.ascii_lowercase) else range(1, len(alike) + 1)
        told += [
            (f"{label}{letter}" if len(alike) > 1 else label, piece)
            for letter, piece in zip(letters, alike, strict=False)
        ]
    return told


@dataclass(frozen=True, eq=False)
class _Face:
    """One face a trim may run along: a wall, or a side of an obstacle.

    `free` are the stretches it runs along, `frames` the ends of door openings with their architraves [mm from the
    first corner].
    """

    label: str
    beside: str
    wall: int
    corners: tuple[Corner, ...]
    doors_mm: float
    against_mm: float
    free: tuple[Stretch, ...]
    frames: tuple[float, ...]
    is_covered: bool

    @property
    def length_mm(self) -> float:
        return float(shapely.LineString(self.corners).length)

    @property
    def trim_mm(self) -> float:
        return max(0.0, self.length_mm - self.doors_mm - self.against_mm) if self.is_covered else 0.0

    @property
    def is_free_at_start(self) -> bool:
        return _is_near(0.0, [start for start, _ in self.free])

    @property
    def is_free_at_end(self) -> bool:
        return _is_near(self.length_mm, [end for _, end in self.free])


def _rings(room: Room, cover: str = TRIM) -> list[list[_Face]]:
    """The faces all round the room, then those round each obstacle of that cover; floor on the same hand."""
    walls = []
    for wall, corners in enumerate(room.wall_faces, start=1):
        length = shapely.LineString(corners).length
        openings = _openings(room, wall, length)
        taken = _against(corners, [obstacle.polygon for obstacle in room.obstacles])
        is_covered = COVERS[room.edge(wall).kind] == cover
        walls.append(_face(f"{wall}", f"wall {wall}", wall, corners, openings, taken, is_covered=is_covered))
    names = told_apart(obstacle.name for obstacle in room.obstacles)
    round_them = [
        _round(room, obstacle, name)
        for name, obstacle in zip(names, room.obstacles, strict=True)
        if COVERS[obstacle.kind] == cover
    ]
    return [walls, *round_them]


def _round(room: Room, obstacle: Obstacle, name: str) -> list[_Face]:
    """The sides of an obstacle, taken so that the floor lies on the same hand as along the walls."""
    ring = shapely.get_coordinates(shapely.orient_polygons(obstacle.polygon, exterior_cw=not room.turns_clockwise))
    far = shapely.union(room.polygon, obstacle.polygon).buffer(FAR_MM)
    outside = shapely.difference(shapely.box(*far.bounds), room.polygon)
    others = [other.polygon for other in room.obstacles if other is not obstacle]
    faces = []
    for number, corners in enumerate(pairwise([(float(x), float(y)) for x, y in ring]), start=1):
        taken = _against(corners, [outside, *others])
        label = f"{name} {number}"
        faces.append(_face(label, name, 0, corners, [], taken, is_covered=True))
    return faces


def _face(
    label: str,
    beside: str,
    wall: int,
    corners: tuple[Corner, ...],
    openings: list[Stretch],
    taken: list[Stretch],
    *,
    is_covered: bool,
) -> _Face:
    length = float(shapely.LineString(corners).length)
    free: list[Stretch] = []
    reached = 0.0
    for start, end in sorted([*openings, *taken]):
        if start > reached + SHORTEST_MM:
            free.append((reached, start))
        reached = max(reached, end)
    if length > reached + SHORTEST_MM:
        free.append((reached, length))
    doors = _covered(openings)
    against = _covered([*openings, *taken]) - doors
    frames = tuple(edge for opening in openings for edge in opening)
    return _Face(label, beside, wall, corners, doors, against, tuple(free) if is_covered else (), frames, is_covered)


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


def _corner_end(before: _Face, after: _Face, foot_mm: float, *, turns_clockwise: bool) -> TrimEnd:
    """The mitre at the corner between two faces."""
    (x0, y0), (x1, y1) = before.corners[-2:]
    (x2, y2), (x3, y3) = after.corners[:2]
    one, other = (x1 - x0, y1 - y0), (x3 - x2, y3 - y2)
    cross = one[0] * other[1] - one[1] * other[0]
    turn = _angle(one, other)
    if turn < STRAIGHT_DEGREES:
        return JOIN
    if (cross > 0) != turns_clockwise:
        return TrimEnd("internal mitre", round(turn / 2, 1))
    return TrimEnd("external mitre", round(turn / 2, 1), foot_mm * math.tan(math.radians(turn / 2)))


def _met_end(face: _Face, at: float, free_way: int, others: Sequence[_Face]) -> TrimEnd:
    """How a stretch ends that stops at something else: mitred to the trim along that, or square.

    `free_way` is 1 where the stretch goes on from here towards the face's last corner, -1 the other way.
    """
    point = shapely.line_interpolate_point(shapely.LineString(face.corners), at)
    for other in others:
        line = shapely.LineString(other.corners)
        there = float(line.project(point))
        ways = [way for start, end in other.free for way, edge in ((1, start), (-1, end)) if _is_near(there, [edge])]
        if ways and line.distance(point) < 2 * AGAINST_MM:
            corner = _angle(_way(face, free_way), _way(other, ways[0]))
            return TrimEnd("internal mitre", round((180.0 - corner) / 2, 1))
    return SQUARE


def _way(face: _Face, sign: int) -> tuple[float, float]:
    (x0, y0), (x1, y1) = face.corners[0], face.corners[-1]
    return sign * (x1 - x0), sign * (y1 - y0)


def _angle(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Angle between two ways, 0 to 180 [degrees]."""
    cross, dot = one[0] * other[1] - one[1] * other[0], one[0] * other[0] + one[1] * other[1]
    return math.degrees(math.atan2(abs(cross), dot))


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


def _is_near(at: float, others: Sequence[float]) -> bool:
    return any(abs(at - other) < AGAINST_MM for other in others)


def _against(corners: tuple[Corner, ...], things: Sequence[shapely.Polygon]) -> list[Stretch]:
    """Stretches of a face that things stand against [mm from its first corner]."""
    face = shapely.LineString(corners)
    band = face.buffer(AGAINST_MM, cap_style="flat")
    found = []
    for thing in things:
        for part in shapely.get_parts(shapely.intersection(band, thing)):
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
