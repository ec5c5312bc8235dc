"""The marks a drawing is made of, and how each role looks. Millimetres on a sheet, y downwards."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

Array = NDArray[np.float64]
ToSheet = Callable[[Array], Array]

WIDTH_PER_LETTER = 0.60
"""Width of a letter as a share of the font's size: wide enough for the fonts browsers and matplotlib fall back on."""

WORDS_COLOUR = "#2a2622"


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
    "notched": Look("#e9dabe", "#6f6250", 0.8),
    "hatch": Look("", "#8d7447", 0.6),
    "laid": Look("#d3d8da", "#6f6250", 0.8),
    "comes next": Look("#fffdf6", "#2a2622", 2.6),
    "no board": Look("#ffffff", "#a3312a", 2.0),
    "to come": Look("#f6efe2", "#6f6250", 0.8),
    "obstacle": Look("#aeb8bf", "#39424a", 1.4),
    "door": Look("#ffffff", "#39424a", 1.2),
    "pipe": Look("#ffffff", "#a3312a", 1.6),
    "note": Look("", "#39424a", 1.0),
    "waste": Look("#ffffff", "#8d7447", 0.6),
    "saw": Look("", "#a3312a", 2.4),
    "tongue": Look("#39424a", "#39424a", 0.6),
    "outline": Look("", "#39424a", 2.2),
    "strip": Look("#e4ebdf", "#5d6b55", 1.0),
    "strip, next piece": Look("#c9d6c2", "#5d6b55", 1.0),
    "depth 0": Look("#f7f9fa", "", 0),
    "depth 1": Look("#dfe9ef", "", 0),
    "depth 2": Look("#bfd3df", "", 0),
    "depth 3": Look("#97b6c8", "", 0),
    "depth 4": Look("#6c93aa", "", 0),
}


@dataclass(frozen=True, eq=False)
class Shape:
    """A filled outline: rings of (x, y), the first one outside, with a note for the pointer."""

    role: str
    rings: tuple[NDArray[np.float64], ...]
    note: str = ""


@dataclass(frozen=True, eq=False)
class Strokes:
    """Straight strokes, one row each: x0, y0, x1, y1."""

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

    @property
    def width_mm(self) -> float:
        """About as wide as the text is drawn."""
        return len(self.text) * WIDTH_PER_LETTER * self.size_mm


Mark = Shape | Strokes | Words


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
    label_mm
        Height of the usual label [mm]: a drawing is legible where this is.
    """

    title: str
    left: float
    top: float
    width: float
    height: float
    marks: tuple[Mark, ...]
    label_mm: float = 90.0


def shape_of(role: str, polygon: Polygon, to_sheet: ToSheet, note: str = "") -> Shape:
    """A polygon as a shape on the sheet."""
    rings = (polygon.exterior, *polygon.interiors)
    return Shape(role, tuple(to_sheet(shapely.get_coordinates(ring)) for ring in rings), note)


def box_of(mark: Mark) -> tuple[Array, Array]:
    """Upper left and lower right corner of a mark; the wrong way round, so that it is nowhere, for no strokes."""
    if isinstance(mark, Shape):
        points = mark.rings[0]
    elif isinstance(mark, Strokes):
        points = mark.segments.reshape(-1, 2)
    else:
        left = mark.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor] * mark.width_mm
        half = mark.size_mm / 2
        points = np.array([[left, mark.y - half], [left + mark.width_mm, mark.y + half]])
    points = np.asarray(points, dtype=np.float64)
    return points.min(axis=0, initial=np.inf), points.max(axis=0, initial=-np.inf)


def extent(marks: Iterable[Mark]) -> tuple[Array, Array]:
    """Upper left and lower right corner of everything painted."""
    lows, highs = zip(*map(box_of, marks), strict=True)
    return np.min(lows, axis=0), np.max(highs, axis=0)
