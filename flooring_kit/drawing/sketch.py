"""A room being measured as a drawing: walls by number with their lengths, corners, doors, pipes, things that stay."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from flooring_kit.drawing.marks import Mark, Scene, Shape, Strokes, Words, extent
from flooring_kit.drawing.scene import furniture, survey_sheet
from flooring_kit.lengths import in_unit
from flooring_kit.room import Corner, Room

UNIT_SHARE, LEAST_UNIT_MM = 0.026, 15.0
"""Height of the words: this share of the room's larger side, and at least so much on the floor [mm]."""


def room_sketch(room: Room, *, chosen_wall: int | None = None) -> Scene:
    """The room as measured: every wall with its number and length, in the unit it was typed in.

    Parameters
    ----------
    room
        A room that closes.
    chosen_wall
        A wall drawn heavier, from 1.
    """
    x0, y0, x1, y1 = room.polygon.bounds
    unit = UNIT_SHARE * max(x1 - x0, y1 - y0) + LEAST_UNIT_MM
    floor = np.array([corner for face in room.wall_faces for corner in face[:-1]])
    marks: list[Mark] = [
        Shape("gap", (survey_sheet(np.vstack([floor, floor[:1]])),), f"{room.name}, inside the skirting")
    ]
    marks += furniture(room, survey_sheet, labels=True)
    lengths = [in_unit(room.wall_length_mm(wall), room.typed_in) for wall in _numbers(room)]
    marks += _walls(room.outline, lengths, unit, inside_on_right=room.turns_clockwise)
    if chosen_wall is not None:
        marks.append(_heavy(room.wall_faces[chosen_wall - 1]))
    return _scene(marks, f"{room.name} as measured, {len(room.outline)} walls.", unit)


def open_sketch(
    path: Sequence[Corner], lengths: Sequence[str], *, turned: float = 90.0, chosen_wall: int | None = None
) -> Scene:
    """Walls that do not make a room yet, and what is missing to the first corner as a broken line.

    Parameters
    ----------
    path
        Corners reached [mm, survey axes], one more than walls; two or more.
    lengths
        Lengths as typed, one for each wall.
    turned
        Sum of the turns, + to the right: says on which side the room lies.
    chosen_wall
        A wall drawn heavier, from 1.
    """
    corners = np.array(path)
    unit = UNIT_SHARE * float((corners.max(axis=0) - corners.min(axis=0)).max()) + LEAST_UNIT_MM
    sheet = survey_sheet(corners)
    marks: list[Mark] = [Strokes("outline", np.hstack([sheet[:-1], sheet[1:]]))]
    missing = math.dist(path[0], path[-1])
    if len(path) > 2 and missing > 1:
        marks.append(_broken_line(sheet[-1], sheet[0], unit))
    marks += _walls(path[:-1], list(lengths), unit, inside_on_right=turned >= 0, ends=path[1:])
    if chosen_wall is not None:
        marks.append(_heavy(path[chosen_wall - 1 : chosen_wall + 1]))
    return _scene(marks, f"{len(path) - 1} walls so far, {missing:.0f} mm from closing.", unit)


def _numbers(room: Room) -> range:
    return range(1, len(room.outline) + 1)


def _walls(
    corners: Sequence[Corner],
    lengths: Sequence[str],
    unit: float,
    *,
    inside_on_right: bool,
    ends: Sequence[Corner] | None = None,
) -> list[Mark]:
    """Number and length inside every wall's middle, a dot and a number at every corner."""
    marks: list[Mark] = []
    far = ends if ends is not None else [*corners[1:], corners[0]]
    for number, (start, end, length) in enumerate(zip(corners, far, lengths, strict=True), start=1):
        (sx, sy), (ex, ey) = survey_sheet(np.array([start, end])).tolist()
        marks.append(_beside((sx, sy), (ex, ey), f"{number}: {length}", unit, on_right=inside_on_right))
        marks.append(Shape("tongue", (_dot(sx, sy, 0.22 * unit),), f"corner {number}"))
        x, y = _outside(corners, far, number - 1, unit, on_right=inside_on_right)
        marks.append(Words(x, y, str(number), 0.7 * unit))
    return marks


def _beside(start: Corner, end: Corner, text: str, unit: float, *, on_right: bool) -> Words:
    """Words beside the middle of a wall, inside the room [mm on the sheet, y down]."""
    length = max(math.dist(start, end), 1.0)
    along = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    inward = (-along[1], along[0]) if on_right else (along[1], -along[0])
    words = Words((start[0] + end[0]) / 2, (start[1] + end[1]) / 2, text, unit)
    off = abs(inward[0]) * (words.width_mm / 2 + 0.4 * unit) + abs(inward[1]) * 0.9 * unit
    return Words(words.x + off * inward[0], words.y + off * inward[1], text, unit)


def _outside(
    corners: Sequence[Corner], ends: Sequence[Corner], place: int, unit: float, *, on_right: bool
) -> tuple[float, float]:
    """Where a corner's number stands: outside, away from both its walls."""
    x, y = survey_sheet(np.array([corners[place]]))[0].tolist()
    out = np.zeros(2)
    for start, end in ((corners[place - 1], ends[place - 1]), (corners[place], ends[place])):
        (sx, sy), (ex, ey) = survey_sheet(np.array([start, end])).tolist()
        length = max(math.dist((sx, sy), (ex, ey)), 1.0)
        inward = np.array([-(ey - sy), ex - sx]) / length * (1 if on_right else -1)
        out -= inward
    size = float(np.hypot(*out))
    away = out / size if size > 1e-6 else np.array([0.0, -1.0])
    return x + 0.9 * unit * float(away[0]), y + 0.9 * unit * float(away[1])


def _dot(x: float, y: float, radius: float) -> np.ndarray:
    angles = np.linspace(0, 2 * math.pi, 13)
    return np.column_stack([x + radius * np.cos(angles), y + radius * np.sin(angles)])


def _heavy(face: Sequence[Corner]) -> Strokes:
    sheet = survey_sheet(np.array(face))
    return Strokes("saw", np.hstack([sheet[:-1], sheet[1:]]))


def _broken_line(start: np.ndarray, end: np.ndarray, unit: float) -> Strokes:
    dashes = max(1, round(float(np.hypot(*(end - start))) / (1.6 * unit)))
    at = np.linspace(0, 1, 2 * dashes)[:, None]
    points = start + at * (end - start)
    return Strokes("note", np.hstack([points[0::2], points[1::2]]))


def _scene(marks: list[Mark], title: str, unit: float) -> Scene:
    low, high = extent(marks)
    margin = 2.0 * unit
    left, top = (low - margin).tolist()
    width, height = (high - low + 2 * margin).tolist()
    return Scene(title, left, top, width, height, tuple(marks), unit)
