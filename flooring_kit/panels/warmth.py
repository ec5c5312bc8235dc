"""Panel for warmth: what lies below, the covering, and underlays weighed by it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from flooring_kit.area import net_area_m2, net_floor
from flooring_kit.choices import Choices
from flooring_kit.panels.around_boards import board_field, room_field, underlay_field
from flooring_kit.panels.fields import Field, choice_field, number_field
from flooring_kit.panels.sheet_panel import SheetPanel, sheet_panel
from flooring_kit.products import Catalogue
from flooring_kit.room import FLOORS_BELOW, Room
from flooring_kit.warmth_sheet import warmth_html

AS_SURVEYED = "as surveyed"
OVER_COLD = ("below", "house_area", "perimeter", "degree_days")
OVER_HEATING = ("flow", "wanted")
"""Fields that change something only for an unheated floor, and only for a heated one; the others are put away."""


def warmth_panel(
    rooms: Mapping[str, Room], catalogue: Catalogue, choices: Choices, *, room: str | None = None
) -> SheetPanel:
    """Heat lost or given off with a covering, and the underlays side by side; only fields that matter to the room.

    Parameters
    ----------
    rooms
        Surveyed rooms by name.
    catalogue
        Products to choose from.
    choices
        What is chosen at the start; what has no field here stays as it says.
    room
        The room shown first; the first of `rooms` where None.
    """
    warmth, heated = choices.warmth, choices.heated
    fields = {
        "room": room_field(rooms, room),
        "board": board_field(catalogue, choices),
        "underlay": underlay_field(catalogue, choices),
        "below": choice_field(
            "Lies over",
            [AS_SURVEYED, *FLOORS_BELOW],
            warmth.below or AS_SURVEYED,
            tooltip="What the heat is lost to.",
            css_class="kit-below",
        ),
        "house_area": number_field(
            "House floor",
            round(warmth.house_area_m2),
            (10, 500),
            unit="m²",
            tooltip="The whole ground floor of the house.",
            css_class="kit-house-area",
        ),
        "perimeter": number_field(
            "Outer edge",
            round(warmth.exposed_perimeter_m),
            (5, 200),
            unit="m",
            tooltip="Length of the ground floor's edge to the outside.",
            css_class="kit-perimeter",
        ),
        "degree_days": number_field(
            "Degree days",
            round(warmth.usual_degree_days),
            (500, 6000),
            unit="K d",
            tooltip="Heating degree days of a usual year; a mild and a hard one lie a seventh away.",
            css_class="kit-degree-days",
            step=100,
        ),
        "flow": number_field(
            "Water in",
            round(heated.flow_c),
            (25, 55),
            unit="°C",
            tooltip="Flow of the heating; the return is as much cooler as before.",
            css_class="kit-flow",
        ),
        "wanted": number_field(
            "Heat wanted",
            round(heated.wanted_w_m2),
            (10, 120),
            unit="W/m²",
            tooltip="Heat the room needs from a heated floor.",
            css_class="kit-wanted",
        ),
    }

    def write(asked: Mapping[str, Field]) -> str:
        surveyed = rooms[asked["room"].value]
        below = asked["below"].value
        cold = replace(
            warmth,
            below=None if below == AS_SURVEYED else below,
            house_area_m2=float(asked["house_area"].value),
            exposed_perimeter_m=float(asked["perimeter"].value),
        ).of_usual_year(asked["degree_days"].value)
        warm = replace(heated.with_flow(asked["flow"].value), wanted_w_m2=float(asked["wanted"].value))
        chosen = replace(choices, warmth=cold, heated=warm)
        return warmth_html(
            surveyed,
            catalogue.board(asked["board"].value),
            catalogue.underlay(asked["underlay"].value),
            catalogue.underlays.values(),
            chosen,
            net_area_m2(net_floor(surveyed, choices.laying.rules)),
        )

    def show_what_counts(_: object = None) -> None:
        is_heated = rooms[fields["room"].value].heated
        for name in (*OVER_COLD, *OVER_HEATING):
            fields[name].box.layout.display = "" if (name in OVER_HEATING) == is_heated else "none"

    fields["room"].control.observe(show_what_counts, "value")
    show_what_counts()
    return sheet_panel(fields, write, name="kit-warmth-panel")
