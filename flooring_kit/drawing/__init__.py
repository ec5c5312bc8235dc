"""Drawings: one scene made from a plan, two thin renderers.

`scene` decides what is drawn and how it looks; `svg` writes it for the live panel and the page; `figure` draws it
with matplotlib for still pictures. Import the renderers from their own modules: `figure` brings matplotlib in.
"""

from flooring_kit.drawing.board_cuts import board_scene, boards_to_saw
from flooring_kit.drawing.scene import Look, Scene, plan_scene
from flooring_kit.drawing.svg import as_svg, scrolling
from flooring_kit.drawing.trim_lengths import trim_lengths_scene
from flooring_kit.drawing.underfloor import levels_scene, strips_scene
from flooring_kit.setting_out import Plan

SMALLEST_LABEL_PX = 7.0

__all__ = [
    "Look",
    "Scene",
    "as_svg",
    "board_scene",
    "boards_to_saw",
    "levels_scene",
    "plan_picture",
    "plan_scene",
    "strips_scene",
    "trim_lengths_scene",
]


def plan_picture(plan: Plan) -> str:
    """A plan as HTML for a panel: legible on a phone, where it scrolls sideways."""
    return scrolling(as_svg(plan_scene(plan), smallest_label_px=SMALLEST_LABEL_PX))
