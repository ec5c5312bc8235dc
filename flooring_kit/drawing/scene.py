"""What a plan looks like: one scene, made here and nowhere else.

The single plan is turned so that the start wall is at the top and rows read like lines on a page. Drawings that
are compared keep the survey's own orientation.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from flooring_kit.drawing.marks import (
    LOOKS,
    WIDTH_PER_LETTER,
    WORDS_COLOUR,
    Array,
    Look,
    Mark,
    Scene,
    Shape,
    Strokes,
    ToSheet,
    Words,
    extent,
    shape_of,
)
from flooring_kit.drawing.piece_marks import (
    FONT_SHARE,
    KIND_WORDS,
    LARGEST_LABEL_MM,
    NOTCH_MM2,
    hatch,
    label,
    piece_role,
)
from flooring_kit.room import Door, Room
from flooring_kit.setting_out import Plan

__all__ = [
    "LOOKS",
    "WIDTH_PER_LETTER",
    "WORDS_COLOUR",
    "Look",
    "Scene",
    "Shape",
    "Strokes",
    "Words",
    "piece_role",
    "plan_scene",
]

DOOR_SLOT_MM = 60.0
SIZES_READ = ("after ·: sawn length, mm", "after ↕: sawn width, mm")


def plan_scene(plan: Plan, *, start_wall_on_top: bool = True, labels: bool = True, key: bool = True) -> Scene:
    """The floor drawn to scale, every piece labelled.

    Parameters
    ----------
    plan
        The plan.
    start_wall_on_top
        True turns the drawing so that rows read like lines on a page; False keeps the survey's orientation.
    labels
        False leaves out labels, notes and key: for small drawings side by side.
    key
        False leaves out the note over the floor and the key under it: for a page that stands beside one with both.
    """
    to_sheet = sheet_of(plan) if start_wall_on_top else survey_sheet
    pieces = _pieces(plan, to_sheet)
    marks: list[Mark] = [shape_of("gap", plan.room.polygon, to_sheet, "Expansion gap along the walls"), *pieces]
    hatches = [strokes for piece in pieces for strokes in hatch(piece)]
    if hatches:
        marks.append(Strokes("hatch", np.vstack(hatches)))
    marks.extend(furniture(plan.room, to_sheet, labels=labels))
    if labels:
        table = plan.pieces
        sizes = zip(table["piece"], table["length_mm"], table["width_mm"], strict=True)
        marks.extend(label(piece, *size) for piece, size in zip(pieces, sizes, strict=True))
    low, high = extent(marks)
    if labels and key:
        unit = word_unit(high - low)
        if start_wall_on_top:
            marks.extend(start_wall_note(low, unit, plan, to_sheet))
        marks.extend(key_marks(low, high, unit, _kinds_in_use(plan, pieces), notes=SIZES_READ))
    low, high = extent(marks)
    margin = 0.02 * float(max(high - low)) + 20
    title = (
        f"Floor plan of {plan.room.name}: {plan.rows} rows, {len(pieces)} pieces from {plan.boards_needed} boards of "
        f"{plan.board.length_mm:g} by {plan.board.width_mm:g} mm."
    )
    left, top = (low - margin).tolist()
    width, height = (high - low + 2 * margin).tolist()
    label_mm = min(LARGEST_LABEL_MM, FONT_SHARE * plan.board.width_mm)
    return Scene(title, left, top, width, height, tuple(marks), label_mm)


# ---------------------------------------------------------------------- from survey to sheet


def sheet_of(plan: Plan) -> ToSheet:
    """Survey to sheet with the start wall on top; a left-handed plan runs from right to left."""
    across = np.array(plan.across)
    to_the_right = np.array([-across[1], across[0]])  # what lies to the right of a person facing the start wall
    matrix = np.array([to_the_right, across])
    return lambda xy: np.asarray(xy @ matrix.T)


def survey_sheet(xy: Array) -> Array:
    """Survey to sheet in the survey's own orientation: y goes down on a sheet."""
    return xy * (1.0, -1.0)


# ---------------------------------------------------------------------- pieces


def _pieces(plan: Plan, to_sheet: ToSheet) -> list[Shape]:
    """One shape a piece, in laying order."""
    table, board = plan.pieces, plan.board
    rectangles = (table["length_mm"] * table["width_mm"]).to_numpy()
    notched = rectangles - shapely.area(table["shape"].to_numpy()) >= NOTCH_MM2
    columns = (table[name].tolist() for name in ("piece", "board", "length_mm", "width_mm", "shape"))
    pieces: list[Shape] = []
    rings = rings_of(table["shape"].to_numpy(), to_sheet)
    for name, number, length, width, polygon, is_notched in zip(*columns, notched.tolist(), strict=True):
        role = piece_role(length, width, board_length_mm=board.length_mm, board_width_mm=board.width_mm)
        kind = "whole board" if role == "whole" else role
        if is_notched:
            role, kind = ("notched", "notched") if role == "whole" else (role, f"{kind}, notched")
        note = f"Piece {name}: {kind}, {length:g} × {width:g} mm, from board {number}"
        outer = rings[len(pieces)]
        holes = tuple(to_sheet(shapely.get_coordinates(hole)) for hole in polygon.interiors) if is_notched else ()
        pieces.append(Shape(role, (outer, *holes), note))
    return pieces


def rings_of(polygons: NDArray[np.object_], to_sheet: ToSheet) -> list[Array]:
    """Outlines of many shapes on the sheet, carried over in one go."""
    corners, owner = shapely.get_coordinates(shapely.get_exterior_ring(polygons), return_index=True)
    starts = np.flatnonzero(np.diff(owner)) + 1
    return np.split(to_sheet(corners), starts)


# ---------------------------------------------------------------------- room, doors, notes


def furniture(room: Room, to_sheet: ToSheet, *, labels: bool) -> list[Mark]:
    """Obstacles, doorways and pipes of a room."""
    marks: list[Mark] = []
    for obstacle in room.obstacles:
        for part in shapely.get_parts(shapely.intersection(obstacle.polygon, room.polygon)):
            if part.geom_type != "Polygon":
                continue
            shape = shape_of("obstacle", part, to_sheet, f"{obstacle.name}: kept clear by the gap")
            marks.append(shape)
            if labels:
                marks.append(_words_inside(shape, obstacle.name, 110.0))
    for door in room.doors:
        shape = _door_shape(room, door, to_sheet)
        marks.append(shape)
        wide, tall = (shape.rings[0].max(axis=0) - shape.rings[0].min(axis=0)).tolist()
        if labels and wide > tall:
            marks.append(_words_inside(shape, door.name or "door", DOOR_SLOT_MM, share=0.8))
    for pipe in room.pipes:
        circle = shapely.Point(pipe.at).buffer(max(pipe.diameter_mm / 2, 18), quad_segs=6)
        note = f"Pipe, {pipe.diameter_mm:g} mm, at {pipe.at[0]:g}, {pipe.at[1]:g}"
        marks.append(shape_of("pipe", circle, to_sheet, note))
    return marks


def _words_inside(shape: Shape, text: str, largest: float, *, share: float = 0.5) -> Words:
    low, high = shape.rings[0].min(axis=0), shape.rings[0].max(axis=0)
    wide, tall = (high - low).tolist()
    x, y = ((low + high) / 2).tolist()
    return Words(x, y, text, min(largest, share * tall, 0.9 * wide / (len(text) * WIDTH_PER_LETTER)))


def _door_shape(room: Room, door: Door, to_sheet: ToSheet) -> Shape:
    """The doorway as a white slot across the wall line, where the floor ends or a little outside the wall face."""
    start, end = (np.array(corner) for corner in room.walls[door.wall - 1])
    tangent = (end - start) / np.hypot(*(end - start))
    outward = np.array([-tangent[1], tangent[0]]) if room.turns_clockwise else np.array([tangent[1], -tangent[0]])
    a = start + tangent * door.from_corner_mm
    b = a + tangent * door.opening_mm
    near, far = outward * max(door.recess_mm, 20.0), outward * (max(door.recess_mm, 20.0) + DOOR_SLOT_MM)
    corners = np.array([a + near, b + near, b + far, a + far, a + near])
    note = f"{door.name or 'doorway'}: {door.opening_mm:g} mm opening in wall {door.wall}"
    return Shape("door", (to_sheet(corners),), note)


def word_unit(extent: Array) -> float:
    """Height of the words around the plan [mm]: the same share of the sheet for small rooms and large."""
    return float(0.02 * max(extent[0], 0.8 * extent[1]) + 15)


def start_wall_note(low: Array, unit: float, plan: Plan, to_sheet: ToSheet) -> list[Mark]:
    """An arrow that points the way boards are laid, and the start wall's number, over the start wall."""
    left_handed = plan.board.hand == "left"
    way = "right to left" if left_handed else "left to right"
    wall = to_sheet(np.array(plan.room.walls[plan.start_wall - 1]))
    x, y = float(wall[:, 0].min()), float(low[1] - 0.9 * unit)
    tail, tip = (x + 2.2 * unit, x) if left_handed else (x, x + 2.2 * unit)
    back = tip + (0.6 * unit if left_handed else -0.6 * unit)
    arrow = np.array([[tail, y, tip, y], [tip, y, back, y - 0.35 * unit], [tip, y, back, y + 0.35 * unit]])
    text = f"start wall (wall {plan.start_wall}): lay {way}, row by row"
    return [Strokes("note", arrow), Words(x + 2.8 * unit, y, text, unit, "start")]


def _kinds_in_use(plan: Plan, pieces: Sequence[Shape]) -> dict[str, str]:
    """Roles for the key, with their words."""
    used = {role: words for role, words in KIND_WORDS.items() if any(piece.role == role for piece in pieces)}
    return used | ({"door": "doorway"} if plan.room.doors else {})


def key_marks(
    low: Array, high: Array, unit: float, kinds: Mapping[str, str], *, notes: Sequence[str] = ()
) -> list[Mark]:
    """Swatches of roles with their words, a scale bar and notes, wrapped to the drawing's width."""
    marks: list[Mark] = []
    x, y = float(low[0]), float(high[1] + 1.4 * unit)
    right = float(max(high[0], low[0] + 18 * unit))

    def place(wide: float) -> float:
        """Where the next entry begins, on a new line if it is too wide for this one."""
        nonlocal x, y
        if x + wide > right and x > low[0]:
            x, y = float(low[0]), y + 1.7 * unit
        x += wide + unit
        return x - wide - unit

    for role, words in kinds.items():
        at = place(2.4 * unit + len(words) * WIDTH_PER_LETTER * unit)
        top, bottom = y - 0.55 * unit, y + 0.55 * unit
        box = np.array([[at, top], [at + 2 * unit, top], [at + 2 * unit, bottom], [at, bottom], [at, top]])
        swatch = Shape(role, (box,), words)
        marks.append(swatch)
        marks.extend(Strokes("hatch", strokes) for strokes in hatch(swatch))
        marks.append(Words(at + 2.4 * unit, y, words, unit, "start"))
    at, tick = place(1000 + 3 * unit), 0.35 * unit
    bar = [[at, y, at + 1000, y], [at, y - tick, at, y + tick], [at + 1000, y - tick, at + 1000, y + tick]]
    marks.append(Strokes("note", np.array(bar)))
    marks.append(Words(at + 1000 + 0.6 * unit, y, "1 m", unit, "start"))
    for words in notes:
        marks.append(Words(place(len(words) * WIDTH_PER_LETTER * unit), y, words, unit, "start"))
    return marks
