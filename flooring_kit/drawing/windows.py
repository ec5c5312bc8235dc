"""How a drawing goes on paper: the scale, and the windows it is shown through where it is larger than a page.

Windows overlap just so far that every word of the drawing stands whole in at least one of them::

    +-----------------+
    | 1a   1b     1c  |<- window 1
    |      2b   +-----|-----------+
    +-----------|-----+  1d   1e  |<- window 2 begins before the first word that window 1 would cut
                +-----------------+
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import shapely

from flooring_kit.drawing.marks import Array, Mark, Scene, Shape, Words, box_of, extent

SCALES = (10, 20, 25, 50, 100)
"""1:10 to 1:100, the larger drawings first; usual on building drawings."""

LEAST_LETTER_MM = 2.5
"""Least size of a font that is read at arm's length [mm on paper]: the second size of ISO 3098, from memory."""

PAD_MM = 1.0
"""Left free round a drawing, so that no line at its edge is halved [mm on paper]."""


@dataclass(frozen=True)
class Window:
    """A part of a drawing that is shown on one page.

    Parameters
    ----------
    left, top, width, height
        On the drawing's sheet [mm].
    column, row
        Its place among the windows of the drawing, from 1.
    """

    left: float
    top: float
    width: float
    height: float
    column: int = 1
    row: int = 1

    @property
    def right(self) -> float:
        """Its right-hand side [mm]."""
        return self.left + self.width

    @property
    def bottom(self) -> float:
        """Its lower side [mm]."""
        return self.top + self.height

    def shows(self, low: Array, high: Array) -> bool:
        """Whether any of a box is in it."""
        return bool(low[0] < self.right and high[0] > self.left and low[1] < self.bottom and high[1] > self.top)


def largest_scale(scene: Scene, paper_mm: tuple[float, float], *, scales: Iterable[int] = SCALES) -> int | None:
    """The largest scale at which a drawing fits on so much paper: 20 for 1:20; None where none does.

    Parameters
    ----------
    scene
        The drawing.
    paper_mm
        Width and height of the paper that is free [mm].
    scales
        Scales to choose from.
    """
    low, high = extent(scene.marks)
    (width, height), (wide, tall) = (high - low).tolist(), (length - 2 * PAD_MM for length in paper_mm)
    return min((scale for scale in scales if width <= wide * scale and height <= tall * scale), default=None)


def legible_scale(scene: Scene, *, scales: Iterable[int] = SCALES) -> int:
    """The smallest scale at which the usual label is read at arm's length; the largest of all where none does it.

    Parameters
    ----------
    scene
        The drawing.
    scales
        Scales to choose from.
    """
    offered = list(scales)
    legible = [scale for scale in offered if scene.label_mm / scale >= LEAST_LETTER_MM]
    return max(legible, default=min(offered))


def windows_over(scene: Scene, paper_mm: tuple[float, float], scale: int) -> list[Window]:
    """The windows that show all of a drawing at a scale, row by row; those with nothing in them are left out.

    Parameters
    ----------
    scene
        The drawing.
    paper_mm
        Width and height of the paper that is free on a page [mm].
    scale
        20 for 1:20.
    """
    most = np.array(paper_mm) * scale
    every = [box_of(mark) for mark in scene.marks]
    low, high = extent(scene.marks)
    low, high = low - PAD_MM * scale, high + PAD_MM * scale
    words = [box for box, mark in zip(every, scene.marks, strict=True) if isinstance(mark, Words)]
    lefts, tops = (
        _starts(low[axis], high[axis], most[axis], [(begin[axis], end[axis]) for begin, end in words])
        for axis in (0, 1)
    )
    found = []
    for row, top in enumerate(tops, start=1):
        for column, left in enumerate(lefts, start=1):
            right, bottom = np.minimum(np.array((left, top)) + most, high).tolist()
            new = Window(left, top, right - left, bottom - top, column, row)
            if any(new.shows(*box) and _lies_in(mark, new) for box, mark in zip(every, scene.marks, strict=True)):
                # moved back where it would reach over the drawing's end, so that it is as full as the others
                back, up = np.maximum(low, (right - most[0], bottom - most[1])).tolist()
                found.append(Window(back, up, right - back, bottom - up, column, row))
    return found


def _lies_in(mark: Mark, window: Window) -> bool:
    """Whether any of a mark whose box reaches into the window does so itself: the box of an L covers its notch."""
    if isinstance(mark, Words):
        return True
    inside = shapely.box(window.left, window.top, window.right, window.bottom)
    if isinstance(mark, Shape):
        return bool(shapely.intersects(shapely.Polygon(mark.rings[0]), inside))
    return bool(shapely.intersects(shapely.linestrings(mark.segments.reshape(-1, 2, 2)), inside).any())


def _starts(low: float, high: float, most: float, kept: Iterable[tuple[float, float]]) -> list[float]:
    """Where windows of a length begin that reach from low to high together and cut no stretch that fits one."""
    stretches = [(a, b) for a, b in kept if b - a <= most]
    starts = [low]
    while starts[-1] + most < high - 1e-6:
        reach = starts[-1] + most
        starts.append(min([reach, *(a for a, b in stretches if starts[-1] < a < reach < b)]))
    return starts
