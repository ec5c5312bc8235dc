"""A scene drawn with matplotlib: for still cells, small drawings side by side and print."""

from __future__ import annotations

from typing import Any

import matplotlib as mpl
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path as Outline

from flooring_kit.drawing.scene import LOOKS, WORDS_COLOUR, Scene, Shape, Strokes

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
    ax.set_xlim(scene.left, scene.left + scene.width)
    ax.set_ylim(scene.top + scene.height, scene.top)
    ax.set_aspect("equal")
    ax.set_axis_off()
    points_per_mm = _points_per_mm(ax, scene)
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
    return ax


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
    for place, ax in enumerate(grid.flat):
        ax.set_axis_off()
        if place < len(scenes):
            draw(scenes[place], ax=ax)
            ax.set_xlim(scenes[place].left, scenes[place].left + widest)
            ax.set_ylim(scenes[place].top + tallest, scenes[place].top)
            ax.set_title(titles[place], fontsize=9)
    return figure


def _points_per_mm(ax: Axes, scene: Scene) -> float:
    """Points on paper for one millimetre of the scene, as the axes stand."""
    box: Any = ax.get_window_extent()
    pixels_per_mm = min(box.width / scene.width, box.height / scene.height)
    return float(pixels_per_mm * 72.0 / (ax.figure.dpi or mpl.rcParams["figure.dpi"]))
