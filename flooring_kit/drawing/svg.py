"""A scene as SVG text: scales with the page, carries a note on every piece, named for screen readers."""

from __future__ import annotations

import hashlib
from html import escape

import numpy as np
from numpy.typing import NDArray

from flooring_kit.drawing.marks import LOOKS, WORDS_COLOUR, Scene, Shape, Strokes, Words


def as_svg(scene: Scene, *, tallest_px: int | None = 760, smallest_label_px: float | None = None) -> str:
    """The scene as one <svg> element.

    Parameters
    ----------
    scene
        The drawing.
    tallest_px
        Height beyond which it shrinks instead of filling the page's width; None for no limit.
    smallest_label_px
        Height of a usual label below which the drawing stops shrinking, for a box that scrolls; None for no limit.
    """
    body: list[str] = []
    for mark in scene.marks:
        if isinstance(mark, Shape):
            body.append(_shape(mark))
        elif isinstance(mark, Strokes):
            body.append(_strokes(mark))
        else:
            body.append(_words(mark))
    inside = "".join(body)
    name = "plan-" + hashlib.sha256((scene.title + inside).encode()).hexdigest()[:10]
    limit = f"max-height:{tallest_px}px;" if tallest_px else ""
    if smallest_label_px:
        limit += f"min-width:{min(scene.width / scene.label_mm * smallest_label_px, 900):.0f}px;"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="{name}" '
        f'viewBox="{scene.left:.1f} {scene.top:.1f} {scene.width:.1f} {scene.height:.1f}" '
        f'style="width:100%;{limit}height:auto;display:block" '
        f'font-family="DejaVu Sans, Verdana, sans-serif" fill="{WORDS_COLOUR}">'
        f'<title id="{name}">{escape(scene.title)}</title>'
        f'<rect x="{scene.left:.1f}" y="{scene.top:.1f}" width="{scene.width:.1f}" height="{scene.height:.1f}" '
        f'fill="{LOOKS["ground"].fill}"/>{inside}</svg>'
    )


def _points(ring: NDArray[np.float64]) -> str:
    return "M" + "L".join(f"{x:.1f},{y:.1f}" for x, y in ring[:-1].tolist()) + "Z"


def _line(role: str) -> str:
    look = LOOKS[role]
    if not look.line:
        return ""
    return f' stroke="{look.line}" stroke-width="{look.width_px:g}" vector-effect="non-scaling-stroke"'


def _shape(mark: Shape) -> str:
    look = LOOKS[mark.role]
    path = "".join(_points(ring) for ring in mark.rings)
    note = f"<title>{escape(mark.note)}</title>" if mark.note else ""
    return f'<path d="{path}" fill="{look.fill or "none"}" fill-rule="evenodd"{_line(mark.role)}>{note}</path>'


def _strokes(mark: Strokes) -> str:
    path = "".join(f"M{x0:.0f},{y0:.0f}L{x1:.0f},{y1:.0f}" for x0, y0, x1, y1 in mark.segments.tolist())
    return f'<path d="{path}" fill="none" pointer-events="none"{_line(mark.role)}/>'


def _words(mark: Words) -> str:
    return (
        f'<text x="{mark.x:.1f}" y="{mark.y + 0.35 * mark.size_mm:.1f}" font-size="{mark.size_mm:.1f}" '
        f'text-anchor="{mark.anchor}" pointer-events="none" paint-order="stroke" stroke="#ffffff" '
        f'stroke-opacity="0.6" stroke-width="{0.14 * mark.size_mm:.1f}">{escape(mark.text)}</text>'
    )


def scrolling(svg: str, *, label: str = "Floor plan", widest_px: float | None = None) -> str:
    """The drawing in a box of its own that scrolls sideways where the page is too narrow to read it.

    Parameters
    ----------
    svg
        An <svg> element with a least width of its own.
    label
        What is drawn, for those who can't see it.
    widest_px
        Width beyond which it does not grow; None for no limit.
    """
    limit = f";max-width:{widest_px:.0f}px;margin:6px 0" if widest_px else ""
    return f'<div style="overflow-x:auto{limit}" tabindex="0" role="region" aria-label="{escape(label)}">{svg}</div>'
