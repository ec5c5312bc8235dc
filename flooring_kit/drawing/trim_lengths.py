"""Stock lengths of trim as they are sawn: each piece with its mitres and its name, what is left at the end.

The trim is seen from its back, the side that lies against the skirting, foot below. An internal mitre keeps its long
point at the back, an external one at the front::

    back   +-------------------+ +--------------+///
            \\                 / /               |///
    front    +---------------+ +----------------+///
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from flooring_kit.drawing.marks import Array, Mark, Scene, Shape, Strokes, Words, extent
from flooring_kit.drawing.piece_marks import hatch
from flooring_kit.tables import records
from flooring_kit.trim_options import BeadOrder

LETTER_MM, DEPTH_MM, STEP_MM = 46.0, 70.0, 165.0
"""Height of the words; height of a trim as drawn, several times its own, so that mitres show; from one to the next."""


def trim_lengths_scene(order: BeadOrder) -> Scene:
    """Every stock length of an order, one below the other, along it to scale.

    Parameters
    ----------
    order
        As from :func:`flooring_kit.trim_options.bead_order`.
    """
    sides = {piece.piece: piece for piece in records(order.pieces)}
    marks: list[Mark] = []
    cuts = order.cut.cuts
    for line, (stock, pieces) in enumerate(cuts.groupby("stock", sort=True)):
        top = line * STEP_MM
        length = float(pieces["stock_length_mm"].iloc[0])
        marks.append(Words(-0.5 * LETTER_MM, top + DEPTH_MM / 2, f"{stock}", LETTER_MM, "end"))
        reached = 0.0
        for cut in records(pieces.sort_values("at_mm")):
            marks += _piece(cut, sides[cut.piece], top, is_clockwise=order.is_clockwise)
            reached = cut.at_mm + cut.length_mm
        if length - reached > 1.0:
            rest = Shape("waste", (_box(reached, top, length, top + DEPTH_MM),), f"{length - reached:.0f} mm left")
            marks += [rest, *(Strokes("hatch", strokes) for strokes in hatch(rest))]
        marks.append(Words(length + 0.5 * LETTER_MM, top + DEPTH_MM / 2, f"of {length:g}", LETTER_MM, "start"))
    bead = order.trims[0].bead
    if not marks:
        marks.append(Words(0.0, 0.0, "No trim needed", LETTER_MM, "start"))
    low, high = extent(marks)
    margin = 0.5 * LETTER_MM
    title = f"{bead}: {order.cut.lengths_needed} stock lengths as sawn, {len(order.pieces)} pieces."
    left, top = (low - margin).tolist()
    width, height = (high - low + 2 * margin).tolist()
    return Scene(title, left, top, width, height, tuple(marks), LETTER_MM)


def _piece(cut: Any, piece: Any, top: float, *, is_clockwise: bool) -> list[Mark]:
    """One piece: its outline with the mitres, its name and its length."""
    start, end = cut.at_mm, cut.at_mm + cut.length_mm
    bottom = top + DEPTH_MM
    most = cut.length_mm / 2
    left = _slant(piece.first_end, piece.first_saw_degrees, most)
    right = _slant(piece.last_end, piece.last_saw_degrees, most)
    (back_left, front_left), (back_right, front_right) = (right, left) if is_clockwise else (left, right)
    ring = np.array(
        [
            (start + back_left, top),
            (end - back_right, top),
            (end - front_right, bottom),
            (start + front_left, bottom),
            (start + back_left, top),
        ]
    )
    first = _end_words(piece.first_end, piece.first_saw_degrees)
    last = _end_words(piece.last_end, piece.last_saw_degrees)
    note = f"Piece {cut.piece}, {piece.beside}: {cut.length_mm:.0f} mm, {first} to {last}"
    whole = f"{cut.piece} · {cut.length_mm:.0f}"
    shape = Shape("cut", (ring,), note)
    room = cut.length_mm - 2 * DEPTH_MM
    text = whole if Words(0, 0, whole, LETTER_MM).width_mm < room else str(cut.piece)
    size = min(LETTER_MM, max(0.4 * LETTER_MM, 0.9 * cut.length_mm / max(1, len(text)) / 0.6))
    if Words(0, 0, text, size).width_mm > cut.length_mm:
        return [shape]
    return [shape, Words((start + end) / 2, top + DEPTH_MM / 2, text, size)]


def _slant(kind: str, saw_degrees: float, most: float) -> tuple[float, float]:
    """How far the back and the front of an end lie inside the long point, as drawn [mm]."""
    slant = min(most, DEPTH_MM, DEPTH_MM * math.tan(math.radians(saw_degrees)))
    return (slant, 0.0) if kind in ("external mitre", "return") else (0.0, slant)


def _end_words(kind: str, saw_degrees: float) -> str:
    return f"{kind} (saw at {saw_degrees:g}°)" if saw_degrees else kind


def _box(left: float, top: float, right: float, bottom: float) -> Array:
    return np.array([(left, top), (right, top), (right, bottom), (left, bottom), (left, top)])
