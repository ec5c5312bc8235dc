"""Set out, take off and price a floating click floor from a measured room.

The main calls::

    import flooring_kit as fk

    room = fk.read_room(fk.demo_path("rooms", "box_room.toml"))
    board = fk.read_boards(fk.demo_path("boards.csv"))["Oak plank 1380 x 193"]
    plan = fk.set_out(room, board)

Lengths are millimetres, areas square metres, thermal resistances m²K/W; the unit ends every name.
"""

from flooring_kit.answers import Estimate, better_estimates, estimate
from flooring_kit.area import net_area_m2, net_floor, room_area_m2
from flooring_kit.area_check import area_from_triangles_m2, compare_areas
from flooring_kit.bar_order import BarOrder, bar_orders
from flooring_kit.breaks import FloorBreak, floor_breaks
from flooring_kit.choices import Air, Buying, Choices, Heated, Laying, Materials, Warmth, Work
from flooring_kit.collars import collars
from flooring_kit.comparison import compare, comparison_table
from flooring_kit.doorways import door_frames, undercut_list
from flooring_kit.edges import edge_gaps, trim_cover
from flooring_kit.files import (
    Job,
    demo_path,
    open_day_log,
    own_path,
    read_boards,
    read_catalogue,
    read_day_log,
    read_door_bars,
    read_job,
    read_materials,
    read_quote,
    read_quote_heads,
    read_room,
    read_rooms,
    read_sundries,
    read_trims,
    read_underlays,
    read_wood_movement,
    recover_day_log,
    suggested_columns,
    write_day_record,
    write_job,
    write_mark_sheet,
    write_order_list,
    write_pdf,
)
from flooring_kit.findings import Finding
from flooring_kit.flatness import flatness_map, levelling, threshold_depths
from flooring_kit.heights import NewFloor, heights_ledger
from flooring_kit.measuring_errors import FIRST_TIMER, TRADE, Replan, Tolerances, replans
from flooring_kit.meetings import Meeting, meetings
from flooring_kit.pricing import price_materials
from flooring_kit.products import Board, Catalogue, DoorBar, Sundry, Trim, Underlay
from flooring_kit.quoted import Quote, QuoteLine
from flooring_kit.quotes import check_quote, column_signs, quotes_side_by_side
from flooring_kit.room import (
    Appliance,
    Door,
    Edge,
    FloorBeyond,
    Leaf,
    Level,
    Obstacle,
    Pipe,
    Room,
    Straightedge,
)
from flooring_kit.room_options import RoomOption, room_options, room_options_table
from flooring_kit.rough import RoughOrder, rough_order
from flooring_kit.rules import LayingRules
from flooring_kit.sawing import cut_list, most_waiting, offcut_ledger, pipe_holes, set_aside, shaping
from flooring_kit.setting_out import (
    BrokenRule,
    FirstRow,
    Plan,
    Search,
    better_plans,
    habit_plan,
    habits,
    margin_price,
    pattern_of,
    plan_b,
    set_out,
)
from flooring_kit.shortage import AnotherPack, Bought, Shortage, chances, worth_another_pack
from flooring_kit.site_sheets import SITE_SHEETS, day_record_pdf, site_pack_pdf, survey_form_pdf
from flooring_kit.stock_cutting import StockCuts, cut_from_stock
from flooring_kit.suitability import misfits
from flooring_kit.sundries import count_sundries, sundry_order
from flooring_kit.takeoff import take_off
from flooring_kit.tape import TapeFit, TapeWall, Tie, fit_tape
from flooring_kit.thermal import build_up, layer_resistance_m2k_w, material_layer, tog
from flooring_kit.trim_options import BeadOrder, bead_order, trim_options
from flooring_kit.trims import trim_by_wall, trim_pieces
from flooring_kit.underlay import UnderlayPlan, VapourSheet, underlay_strips, vapour_strips
from flooring_kit.wastage import packs_for_area, packs_for_pieces, spare_boards, waste_split
from flooring_kit.ways import Recommendation, Way, recommended, ways_table, ways_to_lay
from flooring_kit.weighing import weighed
from flooring_kit.whole_price import WholePrice, whole_price

__version__ = "0.1.0"

__all__ = [
    "FIRST_TIMER",
    "SITE_SHEETS",
    "TRADE",
    "Air",
    "AnotherPack",
    "Appliance",
    "BarOrder",
    "BeadOrder",
    "Board",
    "Bought",
    "BrokenRule",
    "Buying",
    "Catalogue",
    "Choices",
    "Door",
    "DoorBar",
    "Edge",
    "Estimate",
    "Finding",
    "FirstRow",
    "FloorBeyond",
    "FloorBreak",
    "Heated",
    "Job",
    "Laying",
    "LayingRules",
    "Leaf",
    "Level",
    "Materials",
    "Meeting",
    "NewFloor",
    "Obstacle",
    "Pipe",
    "Plan",
    "Quote",
    "QuoteLine",
    "Recommendation",
    "Replan",
    "Room",
    "RoomOption",
    "RoughOrder",
    "Search",
    "Shortage",
    "StockCuts",
    "Straightedge",
    "Sundry",
    "TapeFit",
    "TapeWall",
    "Tie",
    "Tolerances",
    "Trim",
    "Underlay",
    "UnderlayPlan",
    "VapourSheet",
    "Warmth",
    "Way",
    "WholePrice",
    "Work",
    "area_from_triangles_m2",
    "bar_orders",
    "bead_order",
    "better_estimates",
    "better_plans",
    "build_up",
    "chances",
    "check_quote",
    "collars",
    "column_signs",
    "compare",
    "compare_areas",
    "comparison_table",
    "count_sundries",
    "cut_from_stock",
    "cut_list",
    "day_record_pdf",
    "demo_path",
    "door_frames",
    "edge_gaps",
    "estimate",
    "fit_tape",
    "flatness_map",
    "floor_breaks",
    "habit_plan",
    "habits",
    "heights_ledger",
    "layer_resistance_m2k_w",
    "levelling",
    "margin_price",
    "material_layer",
    "meetings",
    "misfits",
    "most_waiting",
    "net_area_m2",
    "net_floor",
    "offcut_ledger",
    "open_day_log",
    "own_path",
    "packs_for_area",
    "packs_for_pieces",
    "pattern_of",
    "pipe_holes",
    "plan_b",
    "price_materials",
    "quotes_side_by_side",
    "read_boards",
    "read_catalogue",
    "read_day_log",
    "read_door_bars",
    "read_job",
    "read_materials",
    "read_quote",
    "read_quote_heads",
    "read_room",
    "read_rooms",
    "read_sundries",
    "read_trims",
    "read_underlays",
    "read_wood_movement",
    "recommended",
    "recover_day_log",
    "replans",
    "room_area_m2",
    "room_options",
    "room_options_table",
    "rough_order",
    "set_aside",
    "set_out",
    "shaping",
    "site_pack_pdf",
    "spare_boards",
    "suggested_columns",
    "sundry_order",
    "survey_form_pdf",
    "take_off",
    "threshold_depths",
    "tog",
    "trim_by_wall",
    "trim_cover",
    "trim_options",
    "trim_pieces",
    "undercut_list",
    "underlay_strips",
    "vapour_strips",
    "waste_split",
    "ways_table",
    "ways_to_lay",
    "weighed",
    "whole_price",
    "worth_another_pack",
    "write_day_record",
    "write_job",
    "write_mark_sheet",
    "write_order_list",
    "write_pdf",
]
