"""Drawings: one scene made from a plan, two thin renderers.

`scene` decides what is drawn and how it looks; `svg` writes it for the live panel and the page; `figure` draws it
with matplotlib for still pictures. Import the renderers from their own modules: `figure` brings matplotlib in.
"""

from flooring_kit.drawing.scene import Look, Scene, plan_scene
from flooring_kit.drawing.svg import as_svg

__all__ = ["Look", "Scene", "as_svg", "plan_scene"]
