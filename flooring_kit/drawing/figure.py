"""A scene drawn with matplotlib: for still cells, small drawings side by side and print."""

from __future__ import annotations

from typing import Any

import matplotlib as mpl
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path as Outline

from flooring_kit.drawing.marks import LOOKS, WORDS_COLOUR, Scene, Shape, Strokes

POINTS_PER_PX = 0.72


def draw(scene: Scene, *, ax: Axes | None = None) -> Axes:
    """Draw the scene to scale.

    Parameters
    ----------
    scene
        The drawing.
    ax
        Axes to draw in; a new figure 180 mm wide where None.

    Returns
    -------
    Axes
        The axes drawn in, in mm, y downwards, without a frame.
    """
    if ax is None:
        width_in = 180 / 25.4
        figure = Figure(figsize=(width_in, width_in * scene.height / scene.width))
        ax = figure.add_axes((0, 0, 1, 1))
    _show(ax, scene, scene.width, scene.height)
    _paint(ax, scene)
    return ax


def _show(ax: Axes, scene: Scene, width: float, height: float) -> None:
    """Let the axes show so much of the sheet, to scale and y downwards."""
    ax.set_xlim(scene.left, scene.left + width)
    ax.set_ylim(scene.top + height, scene.top)
    ax.set_aspect("equal")
    ax.set_axis_off()


def _paint(ax: Axes, scene: Scene) -> None:
    points_per_mm = _points_per_mm(ax)
    for mark in scene.marks:
        if isinstance(mark, Shape):
            look = LOOKS[mark.role]
            outline = Outline.make_compound_path(*(Outline(ring, closed=True) for ring in mark.rings))
            ax.add_patch(
                PathPatch(
                    outline,
                    facecolor=look.fill or "none",
                    edgecolor=look.line or "none",
                    linewidth=look.width_px * POINTS_PER_PX,
                )
            )
        elif isinstance(mark, Strokes):
            look = LOOKS[mark.role]
            segments = mark.segments.reshape(-1, 2, 2)
            ax.add_collection(
                LineCollection(list(segments), colors=look.line, linewidths=look.width_px * POINTS_PER_PX)
            )
        else:
            ax.text(
                mark.x,
                mark.y,
                mark.text,
                fontsize=mark.size_mm * points_per_mm,
                ha={"start": "left", "middle": "center", "end": "right"}[mark.anchor],
                va="center",
                color=WORDS_COLOUR,
            )


def draw_side_by_side(scenes: list[Scene], titles: list[str], *, columns: int = 2) -> Figure:
    """Drawings in a grid, all at one scale, a title over each.

    Parameters
    ----------
    scenes, titles
        Drawings and what stands over them, as many of each.
    columns
        Drawings in a row of the grid.
    """
    rows = -(-len(scenes) // columns)
    widest = max(scene.width for scene in scenes)
    tallest = max(scene.height for scene in scenes)
    width_in = 180 / 25.4
    figure = Figure(figsize=(width_in, rows * (width_in / columns * tallest / widest + 0.5)), layout="constrained")
    grid = figure.subplots(rows, columns, squeeze=False)
    for ax in grid.flat:
        ax.set_axis_off()
    for ax, scene, title in zip(grid.flat, scenes, titles, strict=False):
        _show(ax, scene, widest, tallest)
        ax.set_title(title, fontsize=9)
    figure.draw_without_rendering()  # the layout settles before words are sized by it
    for ax, scene in zip(grid.flat, scenes, strict=False):
        _paint(ax, scene)
    return figure


def _points_per_mm(ax: Axes) -> float:
    """Points on paper for one millimetre of the sheet, as the axes stand."""
    box: Any = ax.get_window_extent()
    (left, right), (bottom, top) = ax.get_xlim(), ax.get_ylim()
    pixels_per_mm = min(box.width / abs(right - left), box.height / abs(top - bottom))
    return float(pixels_per_mm * 72.0 / (ax.figure.dpi or mpl.rcParams["figure.dpi"]))
