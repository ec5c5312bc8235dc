"""Panels: ipywidgets that read fields, call one function of the kit, and show the result. They do no sums."""

from flooring_kit.panels.plan_room import PlanPanel, plan_panel

__all__ = ["PlanPanel", "plan_panel"]
