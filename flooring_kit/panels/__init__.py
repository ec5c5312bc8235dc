"""Panels: ipywidgets that read fields, call one function of the kit, and show the result. They do no sums."""

from flooring_kit.panels.around_boards import door_panel, edge_panel, underfloor_panel
from flooring_kit.panels.board_width import BoardWidthPanel, board_width_panel
from flooring_kit.panels.day import DayPanel, day_panel
from flooring_kit.panels.mark_book import MarkBook
from flooring_kit.panels.mark_sheet import mark_sheet_panel, trainee_panel
from flooring_kit.panels.measure_room import MeasurePanel, measure_panel
from flooring_kit.panels.own_quote import OwnQuotePanel, own_quote_panel
from flooring_kit.panels.plan_room import PlanPanel, plan_panel
from flooring_kit.panels.quote import QuotePanel, quote_panel
from flooring_kit.panels.running_short import ShortPanel, short_panel
from flooring_kit.panels.sheet_panel import SheetPanel
from flooring_kit.panels.site_sheets import SitePanel, site_panel
from flooring_kit.panels.stock import StockPanel, stock_panel
from flooring_kit.panels.warmth import warmth_panel
from flooring_kit.panels.weigh import WeighPanel, weigh_panel
from flooring_kit.panels.workbook import ExercisePanel, exercise_panel, workbook_panel

__all__ = [
    "BoardWidthPanel",
    "DayPanel",
    "ExercisePanel",
    "MarkBook",
    "MeasurePanel",
    "OwnQuotePanel",
    "PlanPanel",
    "QuotePanel",
    "SheetPanel",
    "ShortPanel",
    "SitePanel",
    "StockPanel",
    "WeighPanel",
    "board_width_panel",
    "day_panel",
    "door_panel",
    "edge_panel",
    "exercise_panel",
    "mark_sheet_panel",
    "measure_panel",
    "own_quote_panel",
    "plan_panel",
    "quote_panel",
    "short_panel",
    "site_panel",
    "stock_panel",
    "trainee_panel",
    "underfloor_panel",
    "warmth_panel",
    "weigh_panel",
    "workbook_panel",
]
