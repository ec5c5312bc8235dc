"""Panels: ipywidgets that read fields, call one function of the kit, and show the result. They do no sums."""

from flooring_kit.panels.around_boards import door_panel, edge_panel, underfloor_panel
from flooring_kit.panels.day import DayPanel, day_panel
from flooring_kit.panels.plan_room import PlanPanel, plan_panel
from flooring_kit.panels.sheet_panel import SheetPanel
from flooring_kit.panels.warmth import warmth_panel

__all__ = [
    "DayPanel",
    "PlanPanel",
    "SheetPanel",
    "day_panel",
    "door_panel",
    "edge_panel",
    "plan_panel",
    "underfloor_panel",
    "warmth_panel",
]
