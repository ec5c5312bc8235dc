"""A stock board as it is sawn: its pieces, the cuts, what is waste, and the lock on every side.

A board lies as in the floor, start-wall edge at the top. Sawn face down it is turned over like a page, so left and
right change places and with them every notch; the locks, drawn and named on all four sides, say which way it lies::

                 tongue edge (towards the start wall)
                +===========================+
    tongue end  ‖  3a · 743   |/////////////|  groove end
                +---------------------------+
                 groove edge
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely
import shapely.affinity
from shapely import Polygon

from flooring_kit.drawing.marks import Array, Mark, Scene, Strokes, ToSheet, Words, extent, shape_of
from flooring_kit.drawing.piece_marks import hatch, piece_role
from flooring_kit.sawing import cut_list, hole_sentence, pipe_holes, shaping, shaping_sentence
from flooring_kit.setting_out import Plan

LETTER_MM = 30.0
"""Height of the words; a board is some 200 mm wide."""

LETTERS_A_LINE = 92

LOCK_MM = 9.0
"""Width of the tongue as drawn; about true."""


def boards_to_saw(plan: Plan) -> list[int]:
    """Numbers of the boards that are not laid whole, in order of first use."""
    pieces, board = plan.pieces, plan.board
    whole = (pieces["length_mm"] >= board.length_mm) & (pieces["width_mm"] >= board.width_mm)
    whole &= ~pieces["piece"].isin(shaping(plan)["piece"]) & (cut_list(plan)["tongue_off"] == "")
    return sorted(set(pieces["board"][~whole].tolist()))


def board_scene(plan: Plan, board: int, *, face_down: bool = False) -> Scene:
    """One board, drawn to scale from the side that faces the saw.

    Parameters
    ----------
    plan
        The plan.
    board
        Number of the board, 1 to `plan.boards_needed`.
    face_down
        True draws it turned over, left and right changed places.

    Raises
    ------
    ValueError
        For a board the plan does not have.
    """
    if board not in set(plan.pieces["board"]):
        raise ValueError(f"board must be a whole number from 1 to {plan.boards_needed}, got {board!r}.")
    length, width = plan.board.length_mm, plan.board.width_mm
    runs_to_the_left = plan.board.hand == "left"
    turn = _turned_over(length) if face_down != runs_to_the_left else _as_it_lies
    pieces = [
        (piece, shape)
        for piece, shape in zip(_records(plan), _on_their_boards(plan), strict=True)
        if piece.board == board
    ]
    whole = shapely.box(0, 0, length, width)
    waste = shapely.difference(whole, shapely.union_all([shape for _, shape in pieces]))
    marks: list[Mark] = []
    for part in (part for part in shapely.get_parts(waste) if not part.is_empty):
        shape = shape_of("waste", part, turn, "Offcut or waste")
        marks += [shape, *(Strokes("hatch", strokes) for strokes in hatch(shape))]
    for piece, shape in pieces:
        role = piece_role(piece.length_mm, piece.width_mm, board_length_mm=length, board_width_mm=width)
        note = f"Piece {piece.piece}, row {piece.row}: about {piece.length_mm:.0f} × {piece.width_mm:.0f} mm"
        marks.append(shape_of(role, shape, turn, note))
        marks.append(_name(piece, shape, turn))
    marks.append(Strokes("saw", _saw_cuts(whole, [shape for _, shape in pieces], turn)))
    marks += _locks(plan, turn, measured=any(piece.length_mm < length for piece, _ in pieces))
    marks += _measures(plan, pieces, turn)
    marks += _holes(plan, pieces, turn)
    low, high = extent(marks)
    marks += _lines_below(plan, [piece.piece for piece, _ in pieces], float(low[0]), float(high[1]))
    side = "face down" if face_down else "face up"
    names = ", ".join(f"{piece.piece} for row {piece.row}" for piece, _ in pieces)
    heading = Words(low[0], low[1] - 0.9 * LETTER_MM, f"Board {board}, {side}: {names}", 1.15 * LETTER_MM, "start")
    marks.append(heading)
    low, high = extent(marks)
    margin = 0.5 * LETTER_MM
    return Scene(
        f"Board {board} of {plan.boards_needed} as sawn, {side}: {names}.",
        float(low[0] - margin),
        float(low[1] - margin),
        float(high[0] - low[0] + 2 * margin),
        float(high[1] - low[1] + 2 * margin),
        tuple(marks),
        LETTER_MM,
    )


# ---------------------------------------------------------------------- from the floor to the board


def _records(plan: Plan) -> list[Any]:
    return list(plan.pieces.itertuples())


def _on_their_boards(plan: Plan) -> list[Polygon]:
    """Every piece where it lies on its board; x from the end towards the row's start, y from the start-wall edge."""
    shapes = plan.frame.to_laying(plan.pieces["shape"].to_numpy())
    at = plan.pieces[["along_mm", "across_mm"]].to_numpy() - shapely.bounds(shapes)[:, :2]
    return [shapely.affinity.translate(shape, *moved) for shape, moved in zip(shapes, at.tolist(), strict=True)]


def _as_it_lies(xy: Array) -> Array:
    return xy


def _turned_over(length_mm: float) -> ToSheet:
    return lambda xy: np.asarray(xy * (-1.0, 1.0) + (length_mm, 0.0))


# ---------------------------------------------------------------------- names, cuts, locks, measures


def _name(piece: Any, shape: Polygon, turn: ToSheet) -> Words:
    """The piece's name in its middle."""
    at = shape.centroid if shape.contains(shape.centroid) else shape.representative_point()
    x, y = turn(np.array(at.coords))[0].tolist()
    return Words(x, y, piece.piece, min(1.6 * LETTER_MM, 0.5 * (shape.bounds[3] - shape.bounds[1])))


def _saw_cuts(whole: Polygon, shapes: Sequence[Polygon], turn: ToSheet) -> Array:
    """Every stretch of the pieces' outlines that is not an outer side of the board."""
    outline = whole.exterior.buffer(0.05)
    lines: list[Array] = []
    for shape in shapes:
        inner = shapely.difference(shape.boundary, outline)
        for part in shapely.get_parts(shapely.line_merge(inner) if inner.geom_type != "LineString" else inner):
            corners = turn(shapely.get_coordinates(part))
            lines.append(np.hstack([corners[:-1], corners[1:]]))
    return np.vstack(lines) if lines else np.empty((0, 4))


def _locks(plan: Plan, turn: ToSheet, *, measured: bool) -> list[Mark]:
    """The tongues as dark strips along their sides, and the name of the lock on all four."""
    below = (2.9 if measured else 0.9) * LETTER_MM + LOCK_MM
    length, width = plan.board.length_mm, plan.board.width_mm
    sides = (
        (plan.board.end_locks[0], "end", (-LOCK_MM, 0, 0, width), (-2 * LOCK_MM, width / 2)),
        (plan.board.end_locks[1], "end", (length, 0, length + LOCK_MM, width), (length + 2 * LOCK_MM, width / 2)),
        (plan.board.edge_locks[0], "edge", (0, -LOCK_MM, length, 0), (length / 2, -LOCK_MM - 0.8 * LETTER_MM)),
        (plan.board.edge_locks[1], "edge", (0, width, length, width + LOCK_MM), (length / 2, width + below)),
    )
    marks: list[Mark] = []
    for place, (lock, side, strip, at) in enumerate(sides):
        if lock == "tongue":
            marks.append(shape_of("tongue", shapely.box(*strip), turn, f"tongue {side}"))
        x, y = turn(np.array([at]))[0].tolist()
        if side == "end":
            marks.append(Words(x, y, f"{lock} end", LETTER_MM, "end" if x < 0 else "start"))
        else:
            towards = ", towards the start wall" if place == 2 else ""
            marks.append(Words(x, y, f"{lock} edge{towards}", LETTER_MM))
    return marks


def _holes(plan: Plan, pieces: Sequence[tuple[Any, Polygon]], turn: ToSheet) -> list[Mark]:
    """Holes for pipes, as far as they lie in a piece."""
    marks: list[Mark] = []
    for pipe in plan.room.pipes:
        centre = plan.frame.to_laying(shapely.Point(pipe.at))
        for piece, shape in pieces:
            u0, v0 = plan.frame.to_laying(piece.shape).bounds[:2]
            there = shapely.Point(centre.x - u0 + piece.along_mm, centre.y - v0 + piece.across_mm)
            hole = there.buffer(pipe.diameter_mm / 2 + plan.rules.gap_mm).intersection(shape)
            if hole.area > 1.0:
                marks.append(shape_of("pipe", hole, turn, f"Hole for a pipe of {pipe.diameter_mm:g} mm"))
    return marks


def _lines_below(plan: Plan, names: Sequence[str], left: float, bottom: float) -> list[Mark]:
    """What is shaped on these pieces, in words."""
    places = [place for place in shaping(plan).itertuples() if place.piece in names]
    holes = [hole for hole in pipe_holes(plan).itertuples() if hole.piece in names]
    cuts = cut_list(plan).set_index("piece").loc[list(names), "tongue_off"]
    tongues = [f"{name}: tongue off its {side}, on the wall side." for name, side in cuts.items() if side]
    told = [*tongues, *map(shaping_sentence, places), *map(hole_sentence, holes)]
    lines = [line for sentence in told for line in textwrap.wrap(sentence, LETTERS_A_LINE, subsequent_indent="   ")]
    return [
        Words(left, bottom + (1.0 + 1.4 * place) * LETTER_MM, line, LETTER_MM, "start")
        for place, line in enumerate(lines)
    ]


def _measures(plan: Plan, pieces: Sequence[tuple[Any, Polygon]], turn: ToSheet) -> list[Mark]:
    """A measured line under every piece sawn to length, and beside every piece ripped, in whole mm."""
    length, width = plan.board.length_mm, plan.board.width_mm
    marks: list[Mark] = []
    tick = 0.3 * LETTER_MM
    for piece, shape in pieces:
        x0, y0, x1, y1 = shape.bounds
        (x0, _), (x1, _) = turn(np.array([[x0, y0], [x1, y1]])).tolist()
        x0, x1 = min(x0, x1), max(x0, x1)
        if piece.length_mm < length:
            y = width + 0.9 * LETTER_MM
            lines = [[x0, y, x1, y], [x0, y - tick, x0, y + tick], [x1, y - tick, x1, y + tick]]
            marks.append(Strokes("note", np.array(lines)))
            marks.append(Words((x0 + x1) / 2, y + 0.8 * LETTER_MM, f"about {piece.length_mm:.0f}", LETTER_MM))
        if piece.width_mm < width:
            x = x0 + 1.2 * LETTER_MM
            lines = [[x, y0, x, y1], [x - tick, y0, x + tick, y0], [x - tick, y1, x + tick, y1]]
            marks.append(Strokes("note", np.array(lines)))
            marks.append(Words(x + 0.5 * LETTER_MM, (y0 + y1) / 2, f"rip {piece.width_mm:.0f}", LETTER_MM, "start"))
    return marks
