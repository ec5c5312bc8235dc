"""Fields of the planning panel, and the choices they stand for."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from flooring_kit.checks import require_between
from flooring_kit.choices import Choices, Laying, Materials
from flooring_kit.panels.around_boards import gap_field, room_and_products
from flooring_kit.panels.fields import NO_TRIM, Field, choice_field, number_field, tick_field
from flooring_kit.products import Board, Catalogue
from flooring_kit.room import Room
from flooring_kit.rules import Direction, Start
from flooring_kit.setting_out.frame import laying_frame, start_wall

AT_ANGLE = "at the angle below"
PILES = {"as many as it takes": None, "at most 6": 6, "at most 4": 4, "at most 2": 2, "at most 1": 1}
"""Offcuts that may wait for a later row: a list shows no word for a value of None."""


def direction_of(fields: Mapping[str, Field]) -> Direction:
    """The direction the fields say: one of the list, or the angle typed."""
    chosen: Direction = fields["direction"].control.value
    return float(fields["angle"].value) if chosen == AT_ANGLE else chosen


def directions(room: Room, surveyed: Direction) -> list[tuple[str, Any]]:
    """Directions to choose from: both ways along the room, the diagonal, and the surveyed angle where it is another."""
    along_x, along_y = laying_frame(room, "long").along
    diagonal = (math.degrees(math.atan2(along_y, along_x)) + 45) % 180
    ways: list[tuple[str, Any]] = [
        ("the long way", "long"),
        ("the short way", "short"),
        ("diagonally, at 45 degrees", round(diagonal, 1)),
    ]
    if surveyed not in [way for _, way in ways]:
        ways.append((f"at {float(surveyed):g} degrees", surveyed))
    return [*ways, (AT_ANGLE, AT_ANGLE)]


def choices_of(fields: Mapping[str, Field], base: Choices, catalogue: Catalogue) -> Choices:
    """What the fields say, on top of what the panel began with; complaints go under the fields."""
    rules = replace(
        base.laying.rules,
        gap_mm=fields["gap"].value,
        joint_offset_mm=fields["joint_offset"].value,
        shortest_piece_mm=fields["shortest_piece"].value,
        narrowest_row_mm=fields["narrowest_row"].value,
        most_offcuts_waiting=PILES[fields["pile"].value],
    )
    by_kit = fields["kit_chooses"].value
    if not by_kit:
        widest = catalogue.board(fields["board"].value).width_mm
        fields["first_row"].require(lambda width: require_between(width, 1, widest, "First row", unit="mm"))
    laying = Laying(
        direction_of(fields),
        fields["start"].value,
        None if by_kit else fields["first_row"].control.value,
        rules,
        base.laying.seed,
    )
    trim = fields["trim"].value
    materials = Materials(fields["board"].value, fields["underlay"].value, None if trim == NO_TRIM else trim)
    return replace(base, materials=materials, laying=laying)


def plan_fields(rooms: Mapping[str, Room], catalogue: Catalogue, choices: Choices, room: str) -> dict[str, Field]:
    boards, underlays = list(catalogue.boards), list(catalogue.underlays)
    materials, laying = choices.materials, choices.laying
    rules = laying.rules
    other_board = next((name for name in boards if name != materials.board), boards[0])
    other_underlay = next((name for name in underlays if name != materials.underlay), underlays[0])
    first_width = round(laying.first_row_width_mm or catalogue.board(materials.board).width_mm)
    widest = int(max(board.width_mm for board in catalogue.boards.values()))
    return {
        **room_and_products(rooms, catalogue, choices, room),
        "direction": choice_field(
            "Boards run",
            directions(rooms[room], laying.direction),
            laying.direction,
            tooltip="Which way the boards run.",
            css_class="kit-direction",
        ),
        "angle": number_field(
            "Angle",
            laying.direction if isinstance(laying.direction, float) else 45.0,
            (0, 179),
            unit="°",
            tooltip="From wall 1 of the survey, anticlockwise; used where the list says so.",
            css_class="kit-angle",
            step=0.5,
        ),
        "start": choice_field(
            "Start wall",
            start_walls(rooms[room], catalogue.board(materials.board), laying.direction),
            laying.start,
            tooltip="Boards of one hand have two start corners, opposite each other.",
            css_class="kit-start",
        ),
        "gap": gap_field(choices),
        "joint_offset": number_field(
            "Joint offset",
            round(rules.joint_offset_mm),
            (0, 800),
            unit="mm",
            tooltip="Least distance between end joints of neighbouring rows.",
            css_class="kit-joint-offset",
            step=10,
        ),
        "shortest_piece": number_field(
            "Shortest piece",
            round(rules.shortest_piece_mm),
            (0, 800),
            unit="mm",
            tooltip="Least length of the first or last piece of a row.",
            css_class="kit-shortest-piece",
            step=10,
        ),
        "narrowest_row": number_field(
            "Narrowest row",
            round(rules.narrowest_row_mm),
            (0, 150),
            unit="mm",
            tooltip="Least width of a ripped row.",
            css_class="kit-narrowest-row",
        ),
        "pile": choice_field(
            "Offcuts kept",
            list(PILES),
            next((words for words, most in PILES.items() if most == rules.most_offcuts_waiting), next(iter(PILES))),
            tooltip="How many offcuts may wait for a later row. Fewer can cost boards.",
            css_class="kit-pile",
        ),
        "kit_chooses": tick_field(
            "the kit chooses the first-row width",
            laying.first_row_width_mm is None,
            tooltip="Untick to set the width of the first row yourself.",
            css_class="kit-kit-chooses",
        ),
        "first_row": _first_row_field(first_width, widest, disabled=laying.first_row_width_mm is None),
        "other_board": choice_field(
            "with board", boards, other_board, tooltip="A second board.", css_class="kit-other-board"
        ),
        "other_underlay": choice_field(
            "with underlay",
            underlays,
            other_underlay,
            tooltip="A second underlay.",
            css_class="kit-other-underlay",
        ),
    }


def start_walls(room: Room, board: Board, direction: Direction) -> list[tuple[str, Start]]:
    """The two walls laying can start from, by number."""
    starts: tuple[Start, Start] = ("first", "opposite")
    return [
        (f"wall {start_wall(room, laying_frame(room, direction, start=start, hand=board.hand))}", start)
        for start in starts
    ]


def _first_row_field(width: int, widest: int, *, disabled: bool) -> Field:
    field = number_field(
        "First row",
        width,
        (1, widest),
        unit="mm",
        tooltip="Width of the row at the start wall.",
        css_class="kit-first-row",
    )
    field.control.disabled = field.slider.disabled = disabled
    return field
