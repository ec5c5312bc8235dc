"""How a piece is drawn: its role, its hatch and its label.

Sawn pieces are told apart three ways at once, so that the drawing reads in grey and for colour-blind eyes: a darker
shade, a hatch (strokes one way for cut to length, the other way for ripped, both ways for both, level for notched),
and the sawn size in the label.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from flooring_kit.drawing.marks import WIDTH_PER_LETTER, Shape, Words

HATCH_SPACING_MM = 70.0
FONT_SHARE = 0.50
"""Height of a label as a share of the strip it lies in."""

LARGEST_LABEL_MM = 95.0
SMALLER_FOR_SIZE = 0.5
"""A label may shrink to this share of its height to show the sawn size; then the size is left out."""

NOTCH_MM2 = 25.0

KIND_WORDS = {
    "whole": "whole board",
    "cut": "cut to length",
    "ripped": "ripped to width",
    "cut and ripped": "cut and ripped",
    "notched": "notched or slanted",
}
SLOPES = {
    "cut": (1,),
    "ripped": (-1,),
    "cut and ripped": (1, -1),
    "notched": (0,),
    "waste": (1,),
    "laid": (0,),
    "no board": (1, -1),
}


def piece_role(length_mm: float, width_mm: float, *, board_length_mm: float, board_width_mm: float) -> str:
    """Whether a piece's rectangle is whole, cut to length, ripped to width, or both.

    >>> piece_role(820, 193, board_length_mm=1380, board_width_mm=193)
    'cut'
    """
    cut, ripped = length_mm < board_length_mm, width_mm < board_width_mm
    return {(False, False): "whole", (True, False): "cut", (False, True): "ripped", (True, True): "cut and ripped"}[
        cut, ripped
    ]


def is_box(piece: Shape) -> bool:
    """Whether the piece is a rectangle that stands square on the sheet."""
    outer = piece.rings[0]
    if len(piece.rings) > 1 or len(outer) != 5:
        return False
    low, high = outer.min(axis=0), outer.max(axis=0)
    return bool(np.minimum(outer - low, high - outer).max() < 1e-6)


def hatch(piece: Shape) -> list[NDArray[np.float64]]:
    """Strokes over a sawn piece, clipped to it; none over a whole board."""
    outer = piece.rings[0]
    low, high = outer.min(axis=0).tolist(), outer.max(axis=0).tolist()
    strokes = [_box_strokes(low, high, slope) for slope in SLOPES.get(piece.role, ())]
    if is_box(piece):
        return strokes
    polygon = Polygon(outer, list(piece.rings[1:]))
    clipped = []
    for segments in strokes:
        parts = shapely.get_parts(shapely.intersection(shapely.linestrings(segments.reshape(-1, 2, 2)), polygon))
        ends = [shapely.get_coordinates(part)[[0, -1]].reshape(4) for part in parts if part.length > 0]
        if ends:
            clipped.append(np.array(ends))
    return clipped


def _box_strokes(low: list[float], high: list[float], slope: int) -> NDArray[np.float64]:
    """Strokes across a box at 45 degrees, or level, in step from piece to piece."""
    (x0, y0), (x1, y1) = low, high
    first, last = {1: (y0 - x1, y1 - x0), -1: (y0 + x0, y1 + x1), 0: (y0, y1)}[slope]
    at = np.arange(np.ceil(first / HATCH_SPACING_MM), np.floor(last / HATCH_SPACING_MM) + 1) * HATCH_SPACING_MM
    if slope > 0:  # y = x + at
        left, right = np.maximum(x0, y0 - at), np.minimum(x1, y1 - at)
        return np.column_stack([left, left + at, right, right + at])
    if slope < 0:  # y = at - x
        left, right = np.maximum(x0, at - y1), np.minimum(x1, at - y0)
        return np.column_stack([left, at - left, right, at - right])
    return np.column_stack([np.full_like(at, x0), at, np.full_like(at, x1), at])


def label(piece: Shape, name: str, length_mm: float, width_mm: float) -> Words:
    """The piece's name in its middle, with the sawn size where it is sawn and there is room."""
    sizes = {
        "cut": f"{length_mm:.0f}",
        "ripped": f"↕{width_mm:.0f}",
        "cut and ripped": f"{length_mm:.0f}×{width_mm:.0f}",
    }
    longer = f"{name} · {sizes[piece.role]}" if piece.role in sizes else name
    with_size, alone = fitted_words(piece, longer), fitted_words(piece, name)
    return with_size if with_size.size_mm >= SMALLER_FOR_SIZE * alone.size_mm else alone


def fitted_words(piece: Shape, text: str, *, largest_mm: float = LARGEST_LABEL_MM) -> Words:
    """The text as large as fits the piece, and no larger than that, in its middle or where it is widest."""
    outer = piece.rings[0]
    (x0, y0), (x1, y1) = outer.min(axis=0).tolist(), outer.max(axis=0).tolist()
    size = min(largest_mm, FONT_SHARE * (y1 - y0))
    letters = len(text) * WIDTH_PER_LETTER
    if is_box(piece):
        return Words((x0 + x1) / 2, (y0 + y1) / 2, text, min(size, (x1 - x0) * 0.94 / letters))
    polygon = Polygon(outer, list(piece.rings[1:]))
    inside = polygon.representative_point().y
    for y in ((y0 + y1) / 2, inside):
        x, free = _longest_stretch(polygon, y)
        fit = min(size, free * 0.94 / letters)
        for _ in range(8):
            box = shapely.box(x - fit * letters / 2, y - fit / 2, x + fit * letters / 2, y + fit / 2)
            if free > 0 and polygon.contains(box):
                return Words(x, y, text, fit)
            fit *= 0.8
    x, free = _longest_stretch(polygon, inside)
    return Words(x, inside, text, min(size, free * 0.94 / letters) * 0.5)


def _longest_stretch(polygon: Polygon, y: float) -> tuple[float, float]:
    """Middle and length of the longest level stretch inside the piece at y."""
    x0, _, x1, _ = polygon.bounds
    cut = shapely.intersection(polygon, shapely.LineString([(x0 - 1, y), (x1 + 1, y)]))
    parts = [part.bounds for part in shapely.get_parts(cut) if part.length > 0]
    if not parts:
        return (x0 + x1) / 2, 0.0
    left, _, right, _ = max(parts, key=lambda bounds: bounds[2] - bounds[0])
    return (left + right) / 2, right - left
