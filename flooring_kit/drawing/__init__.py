"""Drawings: one scene made from a plan, two thin renderers.

`scene` decides what is drawn and how it looks; `svg` writes it for the live panel and the page; `figure` draws it
with matplotlib for still pictures. Import the renderers from their own modules: `figure` brings matplotlib in.
"""

from collections.abc import Sequence
from html import escape

from flooring_kit.drawing.board_cuts import board_scene, boards_to_saw
from flooring_kit.drawing.day_scene import day_scene
from flooring_kit.drawing.scene import Look, Scene, plan_scene
from flooring_kit.drawing.svg import as_svg, scrolling
from flooring_kit.drawing.trim_lengths import trim_lengths_scene
from flooring_kit.drawing.underfloor import levels_scene, strips_scene
from flooring_kit.drawing.walls import walls_scene
from flooring_kit.setting_out import Plan

SMALLEST_LABEL_PX = 7.0
SMALL_PX = 220
"""Height of a small plan at most."""

__all__ = [
    "Look",
    "Scene",
    "as_svg",
    "board_scene",
    "boards_to_saw",
    "day_scene",
    "levels_scene",
    "plan_picture",
    "plan_scene",
    "scrolling",
    "small_plans_html",
    "strips_scene",
    "trim_lengths_scene",
    "walls_scene",
]


def small_plans_html(plans: Sequence[tuple[str, Plan]], *, of: int) -> str:
    """Small plans side by side, in the survey's own orientation, as many in a line as there is room for.

    Parameters
    ----------
    plans
        Title and plan of those that are ready.
    of
        How many there will be: a place is kept for each, so that nothing below jumps.
    """
    scenes = [(title, plan_scene(plan, start_wall_on_top=False, labels=False)) for title, plan in plans]
    cells = [
        f"<figure style='margin:0'>{as_svg(scene, tallest_px=SMALL_PX)}"
        f"<figcaption style='font-size:13px;line-height:1.3;margin:2px 0 8px'>{escape(title)}</figcaption></figure>"
        for title, scene in scenes
    ]
    cells += [f"<div style='min-height:{SMALL_PX}px'></div>"] * (of - len(plans))
    return (
        "<div style='display:grid;grid-template-columns:repeat(auto-fill,minmax(min(240px,100%),1fr));gap:6px 14px'>"
        f"{''.join(cells)}</div>"
    )


def plan_picture(plan: Plan) -> str:
    """A plan as HTML for a panel: legible on a phone, where it scrolls sideways."""
    return scrolling(as_svg(plan_scene(plan), smallest_label_px=SMALLEST_LABEL_PX))
