"""What a plan looks like: shapes, lines and words in millimetres on a sheet, y downwards.

The single plan is turned so that the start wall is at the top and rows read like lines on a page. Drawings that
are compared keep the survey's own orientation.

Cut pieces are told apart three ways at once, so that the drawing reads in grey and for colour-blind eyes: a darker
shade, a hatch (strokes for a piece cut to length, strokes the other way for a ripped one, both for both), and the
sawn size in the label.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from flooring_kit.room import Door, Room
from flooring_kit.setting_out import Plan

HATCH_SPACING_MM = 70.0
FONT_SHARE = 0.50
"""Height of a label as a share of the strip it lies in."""

WIDTH_PER_LETTER = 0.60
"""Width of a letter as a share of the font's size: wide enough for the fonts browsers and matplotlib fall back on."""

LARGEST_LABEL_MM = 95.0


@dataclass(frozen=True)
class Look:
    """Fill, line colour and line width [px] of one role; an empty string is none."""

    fill: str
    line: str
    width_px: float


LOOKS: dict[str, Look] = {
    "ground": Look("#ffffff", "", 0),
    "gap": Look("#dfe5e8", "#39424a", 2.2),
    "whole": Look("#f6efe2", "#6f6250", 0.8),
    "cut": Look("#dcc6a0", "#6f6250", 0.8),
    "ripped": Look("#dcc6a0", "#6f6250", 0.8),
    "cut and ripped": Look("#c9ab7b", "#6f6250", 0.8),
    "hatch": Look("", "#8d7447", 0.6),
    "obstacle": Look("#aeb8bf", "#39424a", 1.4),
    "door": Look("#ffffff", "#39424a", 1.2),
    "pipe": Look("#ffffff", "#a3312a", 1.6),
    "note": Look("", "#39424a", 1.0),
}
WORDS_COLOUR = "#2a2622"


@dataclass(frozen=True)
class Shape:
    """A filled outline: rings of (x, y) [mm on the sheet], the first one outside, with a note for the pointer."""

    role: str
    rings: tuple[NDArray[np.float64], ...]
    note: str = ""


@dataclass(frozen=True)
class Strokes:
    """Straight strokes, one row each: x0, y0, x1, y1 [mm on the sheet]."""

    role: str
    segments: NDArray[np.float64]


@dataclass(frozen=True)
class Words:
    """A line of text; `anchor` is start, middle or end, `size_mm` the height of the font on the sheet."""

    x: float
    y: float
    text: str
    size_mm: float
    anchor: str = "middle"


@dataclass(frozen=True)
class Scene:
    """A drawing to scale.

    Parameters
    ----------
    title
        One sentence that says what is drawn, for those who can't see it.
    left, top, width, height
        The part of the sheet that is shown [mm].
    marks
        Shapes, strokes and words in the order they are painted.
    """

    title: str
    left: float
    top: float
    width: float
    height: float
    marks: tuple[Shape | Strokes | Words, ...]


def piece_role(length_mm: float, width_mm: float, *, board_length_mm: float, board_width_mm: float) -> str:
    """Whether a piece is whole, cut to length, ripped to width, or both.

    >>> piece_role(820, 193, board_length_mm=1380, board_width_mm=193)
    'cut'
    """
    cut, ripped = length_mm < board_length_mm, width_mm < board_width_mm
    return {(False, False): "whole", (True, False): "cut", (False, True): "ripped", (True, True): "cut and ripped"}[
        cut, ripped
    ]


def plan_scene(plan: Plan, *, start_wall_on_top: bool = True, labels: bool = True) -> Scene:
    """The floor drawn to scale, every piece labelled.

    Parameters
    ----------
    plan
        The plan.
    start_wall_on_top
        True turns the drawing so that rows read like lines on a page; False keeps the survey's orientation.
    labels
        False leaves out labels, start-wall note and key: for small drawings side by side.
    """
    room, board = plan.room, plan.board
    to_sheet = _sheet_of(plan) if start_wall_on_top else _survey_sheet
    marks: list[Shape | Strokes | Words] = [_shape("gap", room.polygon, to_sheet, "Expansion gap along the walls")]
    upright = start_wall_on_top
    hatches: list[NDArray[np.float64]] = []
    words: list[Words] = []
    table = plan.pieces
    for label, number, length, width, shape in zip(
        table["piece"], table["board"], table["length_mm"], table["width_mm"], table["shape"], strict=True
    ):
        role = piece_role(length, width, board_length_mm=board.length_mm, board_width_mm=board.width_mm)
        size = f"{length:g} × {width:g} mm"
        note = f"Piece {label}: {'whole board' if role == 'whole' else role}, {size}, from board {number}"
        piece = _shape(role, shape, to_sheet, note)
        marks.append(piece)
        if role != "whole":
            hatches.extend(_hatch(piece, role))
        if labels:
            words.append(_label(piece, label, length, width, role, sideways=not upright))
    if hatches:
        marks.append(Strokes("hatch", np.vstack(hatches)))
    marks.extend(_furniture(room, to_sheet, labels=labels))
    marks.extend(words)
    low, high = _extent(marks)
    margin = 0.02 * float(max(high - low)) + 30
    extra_top = extra_bottom = 0.0
    if labels:
        unit = _word_unit(high - low)
        marks.extend(_start_wall_note(low, high, unit, plan))
        key, extra_bottom = _key(low, high, unit, margin, table_roles(plan))
        marks.extend(key)
        extra_top = unit * 2.2
    title = (
        f"Floor plan of {room.name}: {plan.rows} rows, {len(table)} pieces from {plan.boards_needed} boards of "
        f"{board.length_mm:g} by {board.width_mm:g} mm."
    )
    left, top = float(low[0] - margin), float(low[1] - margin - extra_top)
    width_mm = float(high[0] - low[0] + 2 * margin)
    height_mm = float(high[1] - low[1] + 2 * margin + extra_top + extra_bottom)
    return Scene(title, left, top, width_mm, height_mm, tuple(marks))


def table_roles(plan: Plan) -> list[str]:
    """Roles of pieces that occur in a plan, in the order of the key."""
    pieces = zip(plan.pieces["length_mm"], plan.pieces["width_mm"], strict=True)
    board = plan.board
    found = {
        piece_role(length, width, board_length_mm=board.length_mm, board_width_mm=board.width_mm)
        for length, width in pieces
    }
    return [role for role in ("whole", "cut", "ripped", "cut and ripped") if role in found]


# ---------------------------------------------------------------------- from survey to sheet

ToSheet = Callable[[NDArray[np.float64]], NDArray[np.float64]]


def _sheet_of(plan: Plan) -> ToSheet:
    """Survey to sheet with the start wall on top; a left-handed plan runs from right to left."""
    across = np.array(plan.across)
    to_the_right = np.array([-across[1], across[0]])  # what lies to the right of a person facing the start wall
    matrix = np.array([to_the_right, across])
    return lambda xy: xy @ matrix.T


def _survey_sheet(xy: NDArray[np.float64]) -> NDArray[np.float64]:
    return xy * (1.0, -1.0)


def _shape(role: str, polygon: Polygon, to_sheet: ToSheet, note: str = "") -> Shape:
    rings = (polygon.exterior, *polygon.interiors)
    return Shape(role, tuple(to_sheet(shapely.get_coordinates(ring)) for ring in rings), note)


def _extent(marks: Iterable[Shape | Strokes | Words]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    points = np.vstack([ring for mark in marks if isinstance(mark, Shape) for ring in mark.rings])
    return points.min(axis=0), points.max(axis=0)


# ---------------------------------------------------------------------- pieces


def _hatch(piece: Shape, role: str) -> list[NDArray[np.float64]]:
    slopes = {"cut": (1,), "ripped": (-1,), "cut and ripped": (1, -1)}[role]
    outer = piece.rings[0]
    low, high = outer.min(axis=0), outer.max(axis=0)
    is_box = _is_box(piece)
    strokes = [_box_strokes(low, high, slope) for slope in slopes]
    if is_box:
        return strokes
    polygon = Polygon(outer, list(piece.rings[1:]))
    clipped = []
    for segments in strokes:
        lines = shapely.linestrings(segments.reshape(-1, 2, 2))
        parts = shapely.get_parts(shapely.intersection(lines, polygon))
        ends = [shapely.get_coordinates(part)[[0, -1]].reshape(4) for part in parts if part.length > 0]
        if ends:
            clipped.append(np.array(ends))
    return clipped


def _is_box(piece: Shape) -> bool:
    outer = piece.rings[0]
    if len(piece.rings) > 1 or len(outer) > 5:
        return False
    low, high = outer.min(axis=0), outer.max(axis=0)
    return bool(np.minimum(outer - low, high - outer).max() < 1e-6)


def _box_strokes(low: NDArray[np.float64], high: NDArray[np.float64], slope: int) -> NDArray[np.float64]:
    """Strokes at 45 degrees across a box, in step from piece to piece."""
    (x0, y0), (x1, y1) = low, high
    if slope > 0:
        first, last = y0 - x1, y1 - x0
    else:
        first, last = y0 + x0, y1 + x1
    at = np.arange(np.ceil(first / HATCH_SPACING_MM), np.floor(last / HATCH_SPACING_MM) + 1) * HATCH_SPACING_MM
    if slope > 0:  # y = x + at
        left = np.maximum(x0, y0 - at)
        right = np.minimum(x1, y1 - at)
        return np.column_stack([left, left + at, right, right + at])
    left = np.maximum(x0, at - y1)  # y = at - x
    right = np.minimum(x1, at - y0)
    return np.column_stack([left, at - left, right, at - right])


def _label(piece: Shape, label: str, length: float, width: float, role: str, *, sideways: bool) -> Words:
    """Label in the middle of the piece: number, and the sawn size where it is sawn and there is room."""
    outer = piece.rings[0]
    low, high = outer.min(axis=0), outer.max(axis=0)
    room_x, room_y = high - low
    size = min(LARGEST_LABEL_MM, FONT_SHARE * room_y)
    text = label
    sizes = {"cut": f"{length:.0f}", "ripped": f"↕{width:.0f}", "cut and ripped": f"{length:.0f}×{width:.0f}"}
    if role in sizes:
        longer = f"{label} · {sizes[role]}"
        text = longer if len(longer) * WIDTH_PER_LETTER * size <= room_x * 0.96 else label
    size = min(size, room_x * 0.94 / (len(text) * WIDTH_PER_LETTER))
    x, y = (low + high) / 2
    if not _is_box(piece):
        polygon = Polygon(outer)
        if not polygon.contains(shapely.Point(x, y)):
            spot = polygon.representative_point()
            x, y = spot.x, spot.y
    return Words(float(x), float(y), text, float(size))


# ---------------------------------------------------------------------- room, doors, notes


def _furniture(room: Room, to_sheet: ToSheet, *, labels: bool) -> list[Shape | Strokes | Words]:
    marks: list[Shape | Strokes | Words] = []
    for obstacle in room.obstacles:
        inside = shapely.intersection(obstacle.polygon, room.polygon)
        for part in shapely.get_parts(inside):
            if part.geom_type != "Polygon":
                continue
            shape = _shape("obstacle", part, to_sheet, f"{obstacle.name}: kept clear by the gap")
            marks.append(shape)
            if labels:
                low, high = shape.rings[0].min(axis=0), shape.rings[0].max(axis=0)
                room_x, room_y = high - low
                size = min(110.0, 0.5 * room_y, 0.9 * room_x / (len(obstacle.name) * WIDTH_PER_LETTER))
                x, y = (low + high) / 2
                marks.append(Words(float(x), float(y), obstacle.name, float(size)))
    for door in room.doors:
        marks.append(_door_shape(room, door, to_sheet))
    for pipe in room.pipes:
        circle = shapely.Point(pipe.at).buffer(max(pipe.diameter_mm / 2, 18), quad_segs=6)
        marks.append(
            _shape("pipe", circle, to_sheet, f"Pipe, {pipe.diameter_mm:g} mm, at {pipe.at[0]:g}, {pipe.at[1]:g}")
        )
    return marks


def _door_shape(room: Room, door: Door, to_sheet: ToSheet) -> Shape:
    """The doorway as a white slot across the wall line, a little outside the wall face."""
    start, end = (np.array(corner) for corner in room.walls[door.wall - 1])
    tangent = (end - start) / np.hypot(*(end - start))
    outward = np.array([-tangent[1], tangent[0]]) if room.turns_clockwise else np.array([tangent[1], -tangent[0]])
    a = start + tangent * door.from_corner_mm
    b = a + tangent * door.opening_mm
    deep = max(door.recess_mm, 20.0)
    corners = np.array([a + outward * deep, b + outward * deep, b + outward * (deep + 45), a + outward * (deep + 45)])
    name = door.name or "doorway"
    return Shape(
        "door",
        (to_sheet(np.vstack([corners, corners[:1]])),),
        f"{name}: {door.opening_mm:g} mm opening in wall {door.wall}",
    )


def _word_unit(extent: NDArray[np.float64]) -> float:
    """Height of the words around the plan [mm]: the same share of the sheet for small rooms and large."""
    return float(0.02 * max(extent[0], 0.8 * extent[1]) + 15)


def _start_wall_note(
    low: NDArray[np.float64], high: NDArray[np.float64], unit: float, plan: Plan
) -> list[Shape | Strokes | Words]:
    left_handed = plan.board.hand == "left"
    way = "right to left" if left_handed else "left to right"
    text = f"start wall (wall {plan.start_wall}): lay {way}, row by row"
    y = float(low[1] - 0.9 * unit)
    x0, x1 = float(low[0]), float(low[0] + len(text) * WIDTH_PER_LETTER * unit)
    words = Words(x0, y, text, unit, "start")
    tail = x1 + 0.4 * unit
    tip = tail + 2.2 * unit
    if left_handed:
        tail, tip = tip, tail
    back = tip + (0.6 * unit if left_handed else -0.6 * unit)
    arrow = np.array([[tail, y, tip, y], [tip, y, back, y - 0.35 * unit], [tip, y, back, y + 0.35 * unit]])
    return [words, Strokes("note", arrow)]


KEY_WORDS = {
    "whole": "whole board",
    "cut": "cut to length",
    "ripped": "ripped to width",
    "cut and ripped": "cut and ripped",
}


def _key(
    low: NDArray[np.float64], high: NDArray[np.float64], unit: float, margin: float, roles: Sequence[str]
) -> tuple[list[Shape | Strokes | Words], float]:
    """Swatches for the roles in use and a scale bar, wrapped to the drawing's width; and the height they take."""
    marks: list[Shape | Strokes | Words] = []
    x, y = float(low[0]), float(high[1] + 1.3 * unit)
    right = float(max(high[0], low[0] + 18 * unit))
    for role in roles:
        words = KEY_WORDS[role]
        wide = 2.4 * unit + len(words) * WIDTH_PER_LETTER * unit + unit
        if x + wide > right and x > low[0]:
            x, y = float(low[0]), y + 1.7 * unit
        corner, far = np.array([x, y - 0.55 * unit]), np.array([x + 2 * unit, y + 0.55 * unit])
        box = np.array([corner, [far[0], corner[1]], far, [corner[0], far[1]], corner])
        swatch = Shape(role, (box,), words)
        marks.append(swatch)
        if role != "whole":
            marks.append(Strokes("hatch", np.vstack(_hatch(swatch, role))))
        marks.append(Words(x + 2.4 * unit, y, words, unit, "start"))
        x += wide
    wide = 1000 + 0.6 * unit + 3 * unit
    if x + wide > right and x > low[0]:
        x, y = float(low[0]), y + 1.7 * unit
    tick = 0.35 * unit
    bar = np.array([[x, y, x + 1000, y], [x, y - tick, x, y + tick], [x + 1000, y - tick, x + 1000, y + tick]])
    marks.append(Strokes("note", bar))
    marks.append(Words(x + 1000 + 0.6 * unit, y, "1 m", unit, "start"))
    return marks, y + 0.8 * unit - float(high[1])
