"""Panels for what stands around the boards: edges and trims, doorways and heights, what lies underneath."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache

from flooring_kit.choices import Choices, Materials
from flooring_kit.door_sheet import doors_html, new_floors
from flooring_kit.edge_sheet import beads_html, edges_html
from flooring_kit.panels.fields import NO_TRIM, Field, choice_field, number_field
from flooring_kit.panels.sheet_panel import SheetPanel, sheet_panel
from flooring_kit.products import Board, Catalogue, Trim
from flooring_kit.room import Room
from flooring_kit.rules import LayingRules
from flooring_kit.setting_out import Plan, Search, set_out
from flooring_kit.underfloor_sheet import underfloor_html

BEST_WAY = "as suits best"


@lru_cache(maxsize=64)
def quick_plan(room: Room, board: Board, rules: LayingRules) -> Plan:
    """The quick plan the way the survey asks for: what lies around the boards does not turn on the last board saved."""
    return set_out(room, board, rules=rules, direction=room.boards_run, search=Search(quick=True))


@lru_cache(maxsize=64)
def settled_plan(room: Room, board: Board, rules: LayingRules) -> Plan:
    """The plan searched to the end, the way the survey asks for: for what is bought and quoted, where a pack counts."""
    return set_out(room, board, rules=rules, direction=room.boards_run)


def room_field(rooms: Mapping[str, Room], room: str | None) -> Field:
    """Which of the surveyed rooms."""
    first = room or next(iter(rooms))
    return choice_field("Room", list(rooms), first, tooltip="A surveyed room.", css_class="kit-room")


def board_field(catalogue: Catalogue, choices: Choices) -> Field:
    """Which board."""
    return choice_field(
        "Board", list(catalogue.boards), choices.materials.board, tooltip="The click board.", css_class="kit-board"
    )


def underlay_field(catalogue: Catalogue, choices: Choices) -> Field:
    """Which underlay."""
    return choice_field(
        "Underlay",
        list(catalogue.underlays),
        choices.materials.underlay,
        tooltip="One layer under the boards.",
        css_class="kit-underlay",
    )


def trim_field(catalogue: Catalogue, choices: Choices) -> Field:
    """Which trim, or none."""
    return choice_field(
        "Trim",
        [NO_TRIM, *catalogue.trims],
        choices.materials.trim or NO_TRIM,
        tooltip="Covers the gap at the skirting.",
        css_class="kit-trim",
    )


def room_and_products(
    rooms: Mapping[str, Room], catalogue: Catalogue, choices: Choices, room: str | None
) -> dict[str, Field]:
    """Room, board, underlay and trim: what most panels begin with."""
    return {
        "room": room_field(rooms, room),
        "board": board_field(catalogue, choices),
        "underlay": underlay_field(catalogue, choices),
        "trim": trim_field(catalogue, choices),
    }


def choices_from(fields: Mapping[str, Field], choices: Choices, room: Room) -> Choices:
    """The choices with the fields' board, underlay and trim, where there is one; boards run as the survey asks."""
    trim = fields["trim"].value if "trim" in fields else choices.materials.trim
    materials = Materials(fields["board"].value, fields["underlay"].value, None if trim == NO_TRIM else trim)
    return replace(choices, materials=materials, laying=replace(choices.laying, direction=room.boards_run))


def gap_field(choices: Choices) -> Field:
    """Which gap."""
    return number_field(
        "Gap",
        round(choices.laying.rules.gap_mm),
        (0, 30),
        unit="mm",
        tooltip="Expansion gap at every wall and fixed thing.",
        css_class="kit-gap",
    )


def edge_panel(
    rooms: Mapping[str, Room], catalogue: Catalogue, choices: Choices, *, room: str | None = None
) -> SheetPanel:
    """Gap at every edge, whether the trim covers it, beads side by side, lengths to saw.

    Parameters
    ----------
    rooms
        Surveyed rooms by name.
    catalogue
        Products to choose from.
    choices
        What is chosen at the start.
    room
        The room shown first; the first of `rooms` where None.
    """
    fields = {
        "room": room_field(rooms, room),
        "board": board_field(catalogue, choices),
        "trim": trim_field(catalogue, choices),
        "gap": gap_field(choices),
    }

    def asked_for(asked: Mapping[str, Field]) -> tuple[Plan, Trim | None]:
        rules = replace(choices.laying.rules, gap_mm=asked["gap"].value)
        plan = quick_plan(rooms[asked["room"].value], catalogue.board(asked["board"].value), rules)
        chosen = asked["trim"].value
        return plan, None if chosen == NO_TRIM else catalogue.trim(chosen)

    def edges(asked: Mapping[str, Field]) -> str:
        plan, trim = asked_for(asked)
        return edges_html(plan, trim, list(catalogue.trims.values()))

    def beads(asked: Mapping[str, Field]) -> str:
        plan, trim = asked_for(asked)
        return beads_html(plan, catalogue.trims, trim, currency=choices.buying.currency)

    return sheet_panel(fields, edges, more=beads, name="kit-edge-panel")


def door_panel(
    rooms: Mapping[str, Room], catalogue: Catalogue, choices: Choices, *, room: str | None = None
) -> SheetPanel:
    """Frames to undercut, bars, leaves, stairs and appliances at the new height.

    Parameters
    ----------
    rooms, catalogue, choices, room
        As for :func:`edge_panel`.
    """
    fields = {
        "room": room_field(rooms, room),
        "board": board_field(catalogue, choices),
        "underlay": underlay_field(catalogue, choices),
    }

    def write(asked: Mapping[str, Field]) -> str:
        plan = quick_plan(rooms[asked["room"].value], catalogue.board(asked["board"].value), choices.laying.rules)
        underlay = catalogue.underlay(asked["underlay"].value)
        return doors_html(plan, underlay, catalogue.bars.values(), new_floors(plan, underlay))

    return sheet_panel(fields, write, name="kit-door-panel")


def underfloor_panel(
    rooms: Mapping[str, Room], catalogue: Catalogue, choices: Choices, *, room: str | None = None
) -> SheetPanel:
    """Whether the subfloor is flat, how the underlay lies, and small things to buy.

    Parameters
    ----------
    rooms, catalogue, choices, room
        As for :func:`edge_panel`.
    """
    ways = [(BEST_WAY, BEST_WAY), ("along the rows", "along"), ("across the rows", "across")]
    fields = {
        "room": room_field(rooms, room),
        "board": board_field(catalogue, choices),
        "underlay": underlay_field(catalogue, choices),
        "way": choice_field(
            "Strips run",
            ways,
            BEST_WAY,
            tooltip="Which way the strips of underlay run. What feet crush runs along the rows.",
            css_class="kit-way",
        ),
        "limit": number_field(
            "Flat to",
            3,
            (1, 10),
            unit="mm",
            tooltip="Largest gap the board's leaflet allows under a 2 m straightedge.",
            css_class="kit-flat",
        ),
    }

    def write(asked: Mapping[str, Field]) -> str:
        surveyed = rooms[asked["room"].value]
        plan = quick_plan(surveyed, catalogue.board(asked["board"].value), choices.laying.rules)
        underlay, on_sale = catalogue.underlay(asked["underlay"].value), list(catalogue.sundries.values())
        way = None if asked["way"].value == BEST_WAY else asked["way"].value
        trim = catalogue.trim(choices.materials.trim)
        return underfloor_html(
            plan, underlay, trim, on_sale, currency=choices.buying.currency, way=way, limit_mm=asked["limit"].value
        )

    return sheet_panel(fields, write, name="kit-underfloor-panel")
