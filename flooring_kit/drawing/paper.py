"""A scene painted on a page of a PDF at an exact scale.

It needs nothing but the canvas it is given; who makes that canvas loads the library for it and sets the fonts.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np

from flooring_kit.drawing.marks import LOOKS, WORDS_COLOUR, Array, Scene, Shape, Strokes, Words, box_of
from flooring_kit.drawing.windows import Window

POINTS_PER_MM = 72.0 / 25.4
POINTS_PER_PX = 0.72
LEAST_POINTS, MOST_LARGER = 6.0, 2.0
"""Letters that can be read at arm's length, and how much larger a name is written once its size is left out."""

BESIDE_NAME = " · "
BEHIND_WORDS = 0.72
"""How white the ground behind words is: hatches show through, and the letters stay clear of them."""


def paint(canvas: Any, scene: Scene, window: Window, *, scale: int, font: str) -> None:
    """Paint a window of a scene, its lower left corner at the canvas's origin.

    Parameters
    ----------
    canvas
        A canvas of reportlab's.
    scene, window
        The drawing and the part of it that is shown; what lies outside is cut off.
    scale
        20 for 1:20: a millimetre of the scene is 1 / 20 mm on paper.
    font
        Name of a font known to the canvas.
    """
    points = POINTS_PER_MM / scale

    def on_paper(xy: Array) -> Array:
        return np.asarray((xy - (window.left, window.bottom)) * (points, -points))

    canvas.saveState()
    frame = canvas.beginPath()
    frame.rect(0, 0, window.width * points, window.height * points)
    canvas.clipPath(frame, stroke=0, fill=0)
    canvas.setLineJoin(1)
    for mark in scene.marks:
        if not window.shows(*box_of(mark)):
            continue
        if isinstance(mark, Shape):
            _paint_shape(canvas, mark, [on_paper(ring) for ring in mark.rings])
        elif isinstance(mark, Strokes):
            _paint_strokes(canvas, mark, on_paper(mark.segments.reshape(-1, 2)).reshape(-1, 4))
        else:
            x, y = on_paper(np.array([[mark.x, mark.y]]))[0].tolist()
            _paint_words(canvas, mark, (x, y), points=points, font=font)
    canvas.restoreState()


@cache
def _rgb(colour: str) -> tuple[float, float, float]:
    """Shares of red, green and blue; read once, since the canvas would read "#rrggbb" anew for every mark."""
    red, green, blue = (int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5))
    return red, green, blue


def _paint_shape(canvas: Any, mark: Shape, rings: list[Array]) -> None:
    look = LOOKS[mark.role]
    path = canvas.beginPath()
    for ring in rings:
        path.moveTo(*ring[0].tolist())
        for corner in ring[1:-1].tolist():
            path.lineTo(*corner)
        path.close()
    if look.fill:
        canvas.setFillColorRGB(*_rgb(look.fill))
    if look.line:
        canvas.setStrokeColorRGB(*_rgb(look.line))
        canvas.setLineWidth(look.width_px * POINTS_PER_PX)
    canvas.drawPath(path, stroke=int(bool(look.line)), fill=int(bool(look.fill)), fillMode=0)  # 0: even-odd, for holes


def _paint_strokes(canvas: Any, mark: Strokes, segments: Array) -> None:
    look = LOOKS[mark.role]
    canvas.setStrokeColorRGB(*_rgb(look.line))
    canvas.setLineWidth(look.width_px * POINTS_PER_PX)
    canvas.lines(segments.tolist())


def _paint_words(canvas: Any, mark: Words, at: tuple[float, float], *, points: float, font: str) -> None:
    """A line of text, never wider than the scene reckons it, on a pale ground that keeps hatches off the letters.

    A name with its size beside it that would be too small to read is written alone, larger: sizes stand on the cut
    list too.
    """
    text, size = mark.text, mark.size_mm * points
    name = text.split(BESIDE_NAME)[0]
    if size < LEAST_POINTS and name != text:
        size = min(LEAST_POINTS, size * min(MOST_LARGER, len(text) / len(name)))
        text = name
    wide = float(canvas.stringWidth(text, font, size))
    if wide > mark.width_mm * points:
        size *= mark.width_mm * points / wide
        wide = mark.width_mm * points
    x = at[0] - {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor] * wide
    canvas.saveState()
    canvas.setFillColorRGB(*_rgb(LOOKS["ground"].fill))
    canvas.setFillAlpha(BEHIND_WORDS)
    canvas.rect(x - 0.1 * size, at[1] - 0.5 * size, wide + 0.2 * size, size, stroke=0, fill=1)
    canvas.restoreState()
    canvas.setFillColorRGB(*_rgb(WORDS_COLOUR))
    canvas.setFont(font, size)
    canvas.drawString(x, at[1] - 0.35 * size, text)
