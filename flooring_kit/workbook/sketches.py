"""Sketches for exercises, made of the marks and looks of the kit's own drawings: rooms, rows, boards, layers, holes.

Everything is to scale, in mm on a sheet with y downwards; thin layers are drawn several times their height.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from flooring_kit.drawing.marks import Array, Mark, Scene, Shape, Strokes, Words, extent, shape_of
from flooring_kit.drawing.piece_marks import hatch
from flooring_kit.drawing.scene import furniture, survey_sheet
from flooring_kit.room import Room

LINE_SHARE = 0.036
"""Height of the words as a share of the drawing's width: legible on a phone."""


@dataclass(frozen=True)
class Bar:
    """A piece in a line of boards: from where, how long [mm], its role as in the plan, and its words."""

    at_mm: float
    length_mm: float
    role: str
    words: str = ""


@dataclass(frozen=True)
class Line:
    """A line of bars with a name before it."""

    name: str
    bars: tuple[Bar, ...]


def scene_of(marks: Sequence[Mark], title: str, unit: float) -> Scene:
    """Marks with a margin round them."""
    low, high = extent(marks)
    left, top = (low - 0.6 * unit).tolist()
    width, height = (high - low + 1.2 * unit).tolist()
    return Scene(title, left, top, width, height, tuple(marks), unit)


def box(left: float, top: float, right: float, bottom: float) -> Array:
    """A rectangle as a closed ring."""
    return np.array([(left, top), (right, top), (right, bottom), (left, bottom), (left, top)])


def filled(role: str, ring: Array, note: str = "") -> list[Mark]:
    """A shape with its hatch."""
    shape = Shape(role, (ring,), note)
    return [shape, *(Strokes("hatch", strokes) for strokes in hatch(shape))]


def measure(
    start: tuple[float, float], end: tuple[float, float], words: str, unit: float, *, beyond: bool = False
) -> list[Mark]:
    """A measured line, level or upright, with a tick at both ends and its words beside it.

    The words stand over a level line and left of an upright one; with `beyond` under it and to its right.
    """
    (x0, y0), (x1, y1) = start, end
    tick, side = 0.3 * unit, 1.0 if beyond else -1.0
    if abs(y1 - y0) < abs(x1 - x0):
        ticks = [[x0, y0 - tick, x0, y0 + tick], [x1, y1 - tick, x1, y1 + tick]]
        said = Words((x0 + x1) / 2, (y0 + y1) / 2 + side * 0.75 * unit, words, unit)
    else:
        ticks = [[x0 - tick, y0, x0 + tick, y0], [x1 - tick, y1, x1 + tick, y1]]
        anchor = "start" if beyond else "end"
        said = Words((x0 + x1) / 2 + side * 0.5 * unit, (y0 + y1) / 2, words, unit, anchor)
    return [Strokes("note", np.array([[x0, y0, x1, y1], *ticks])), said]


def room_sketch(
    room: Room,
    title: str,
    *,
    walls: Sequence[str | None] = (),
    notes: Sequence[tuple[float, float, str]] = (),
    cut: tuple[float, float, float, float] | None = None,
) -> Scene:
    """A room's outline with words along its walls, what stands in it, and words at its corners.

    Parameters
    ----------
    room
        The room; its walls level or upright where they carry words.
    title
        One sentence that says what is drawn.
    walls
        Words for each wall, None for none.
    notes
        Words in the room: middle [mm, survey axes], words.
    cut
        A line drawn across it: both ends [mm, survey axes].
    """
    low, high = shapely.box(*room.polygon.bounds).bounds[:2], room.polygon.bounds[2:]
    unit = LINE_SHARE * max(high[0] - low[0], 0.8 * (high[1] - low[1]))
    marks: list[Mark] = [shape_of("gap", room.polygon, survey_sheet, "The room, skirting to skirting")]
    marks += furniture(room, survey_sheet, labels=True)
    for (a, b), words in zip(room.walls, walls, strict=False):
        if words is None:
            continue
        middle = shapely.Point((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        normal = np.array([b[1] - a[1], a[0] - b[0]]) / np.hypot(b[0] - a[0], b[1] - a[1])
        if room.polygon.contains(shapely.Point(middle.x + normal[0], middle.y + normal[1])):
            normal = -normal
        x, y = middle.x + normal[0] * 0.9 * unit, -(middle.y + normal[1] * 0.9 * unit)
        anchor = "middle" if abs(normal[0]) < 0.5 else ("start" if normal[0] > 0 else "end")
        marks.append(Words(float(x), float(y), words, unit, anchor))
    marks += [Words(x, -y, words, unit) for x, y, words in notes]
    if cut is not None:
        marks.append(Strokes("saw", np.array([[cut[0], -cut[1], cut[2], -cut[3]]])))
    return scene_of(marks, title, unit)


def lines_sketch(lines: Sequence[Line], title: str, *, marks_at: Sequence[tuple[float, str]] = ()) -> Scene:
    """Lines of boards one below the other, to scale along them; upright saw marks with words through all.

    Parameters
    ----------
    lines
        The lines, first on top.
    title
        One sentence that says what is drawn.
    marks_at
        Upright lines: where [mm], and what is said over it.
    """
    longest = max(bar.at_mm + bar.length_mm for line in lines for bar in line.bars)
    unit = LINE_SHARE * longest
    tall, step = 2.2 * unit, 2.9 * unit
    marks: list[Mark] = []
    for number, line in enumerate(lines):
        top = number * step
        marks.append(Words(-0.5 * unit, top + tall / 2, line.name, unit, "end"))
        for bar in line.bars:
            ring = box(bar.at_mm, top, bar.at_mm + bar.length_mm, top + tall)
            marks += filled(bar.role, ring, f"{line.name}: {bar.words}" if bar.words else line.name)
            if bar.words:
                size = min(unit, 0.94 * bar.length_mm / (len(bar.words) * 0.6))
                marks.append(Words(bar.at_mm + bar.length_mm / 2, top + tall / 2, bar.words, size))
    bottom = (len(lines) - 1) * step + tall
    for at, words in marks_at:
        marks.append(Strokes("saw", np.array([[at, -0.3 * unit, at, bottom + 0.3 * unit]])))
        marks.append(Words(at, -0.95 * unit, words, unit))
    return scene_of(marks, title, unit)


def rows_sketch(rows: Sequence[tuple[float, str, str]], title: str, *, gap_mm: float, wide_mm: float) -> Scene:
    """Rows seen from above between two walls, start wall on top; many whole rows in the middle are drawn as one band.

    Parameters
    ----------
    rows
        (width [mm], role, words) from the start wall on.
    title
        One sentence that says what is drawn.
    gap_mm
        Gap at both walls.
    wide_mm
        How long the stretch of floor is drawn.
    """
    unit = 0.045 * wide_mm
    depth = 2 * gap_mm + sum(width for width, _, _ in rows)
    marks: list[Mark] = [Shape("gap", (box(0, 0, wide_mm, depth),), "Between the walls")]
    marks.append(Words(wide_mm / 2, -0.8 * unit, "start wall", unit))
    marks.append(Words(wide_mm / 2, depth + 0.8 * unit, "far wall", unit))
    at = gap_mm
    for width, role, words in rows:
        marks += filled(role, box(0, at, wide_mm, at + width), words)
        marks.append(Words(wide_mm + 0.5 * unit, at + width / 2, words, unit, "start"))
        at += width
    return scene_of(marks, title, unit)


def layers_sketch(
    layers: Sequence[tuple[str, float]], title: str, *, over: Sequence[str] = (), subfloor: str = "subfloor"
) -> Scene:
    """Layers from the subfloor up, seen from the side, eight times their height; what stands over them in words.

    Parameters
    ----------
    layers
        (name, thickness [mm]) from below.
    title
        One sentence that says what is drawn.
    over
        Names of what stands over them, from below: a lining, a door leaf.
    subfloor
        Words on what lies under them.
    """
    wide, times, unit = 900.0, 8.0, 34.0
    roles = ("strip", "strip, next piece", "whole", "cut")
    marks: list[Mark] = [*filled("obstacle", box(0, 0, wide, 60), subfloor), Words(wide / 2, 30, subfloor, unit)]
    y = 0.0
    for number, (name, thickness) in enumerate(layers):
        top = y - max(times * thickness, 12.0)
        marks.append(Shape(roles[min(number, 3)], (box(0, top, wide, y),), name))
        marks.append(Words(wide + 0.4 * unit, (y + top) / 2, name, unit, "start"))
        y = top
    for name in over:
        top = y - 3.0 * unit
        marks.append(Shape("door", (box(0.06 * wide, top, 0.94 * wide, y - 0.9 * unit),), name))
        marks.append(Words(wide / 2, (top + y - 0.9 * unit) / 2, name, unit))
        y = top
    return scene_of(marks, title, unit)


def pipe_sketch(
    pipe_mm: float,
    from_skirting_mm: float,
    title: str,
    *,
    gap_mm: float,
    hole_mm: float | None = None,
    is_slot: bool = False,
) -> Scene:
    """A pipe before a skirting from above: the sawn edge of the board, and the hole where it is known.

    With `is_slot` the hole is open to the sawn edge.
    """
    half = 150.0
    unit = 13.0
    marks: list[Mark] = [*filled("obstacle", box(-half, -26, half, 0), "skirting"), Words(0, -13, "skirting", unit)]
    board = shapely.box(-half, gap_mm, half, gap_mm + 130)
    centre = shapely.Point(0, from_skirting_mm)
    if hole_mm is not None:
        board = board.difference(centre.buffer(hole_mm / 2, quad_segs=24))
        if is_slot:
            board = board.difference(shapely.box(-hole_mm / 2, 0, hole_mm / 2, from_skirting_mm))
    for part in shapely.get_parts(board):
        marks.append(shape_of("whole", part, _as_is, "board"))
    marks.append(shape_of("pipe", centre.buffer(pipe_mm / 2, quad_segs=24), _as_is, f"pipe of {pipe_mm:g} mm"))
    marks.append(Words(-half + 8, gap_mm + 118, "board", unit, "start"))
    away = measure((-90, 0), (-90, from_skirting_mm), f"{from_skirting_mm:g}", unit)
    marks += [Strokes("note", np.array([[-90.0, from_skirting_mm, 0.0, from_skirting_mm]])), *away]
    marks += measure((half + 8, 0), (half + 8, gap_mm), f"gap {gap_mm:g}", unit, beyond=True)
    if hole_mm is not None:
        down = from_skirting_mm + hole_mm / 2 + 12
        marks += measure((-hole_mm / 2, down), (hole_mm / 2, down), f"hole {hole_mm:g}", unit, beyond=True)
        marks += measure((80, gap_mm), (80, from_skirting_mm), f"{from_skirting_mm - gap_mm:g}", unit, beyond=True)
        marks.append(Strokes("note", np.array([[0.0, from_skirting_mm, 80.0, from_skirting_mm]])))
    return scene_of(marks, title, unit)


def _as_is(xy: Array) -> Array:
    return xy
