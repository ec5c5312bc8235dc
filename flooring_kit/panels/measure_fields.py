"""Fields of a room being measured: the room itself, and one row each of walls, ties, doors, pipes and obstacles."""

from __future__ import annotations

from flooring_kit.panels.fields import Field, choice_field, text_field, tick_field, whole_field
from flooring_kit.room import FLOORS_BELOW, OBSTACLE_KINDS, SUBFLOORS

CHOOSE = "choose one"
TURNS = {
    "right, a square corner": 90.0,
    "left, a square corner": -90.0,
    "right, half a corner (45°)": 45.0,
    "left, half a corner (45°)": -45.0,
    "straight on": 0.0,
}
OTHER_TURN = "another angle"
UNITS = ("mm", "cm", "m", "in", "ft")
NOT_SAID = "not said"


def room_fields(surveys: list[str]) -> dict[str, Field]:
    return {
        "open": choice_field(
            "Go on with",
            [CHOOSE, *surveys],
            CHOOSE,
            tooltip="A survey file to go on with.",
            css_class="kit-open-survey",
        ),
        "name": text_field("Room", "My room", tooltip="What the room is called.", css_class="kit-room-name"),
        "units": choice_field(
            "Unit", list(UNITS), "mm", tooltip="The unit of a plain number.", css_class="kit-room-units"
        ),
        "subfloor": choice_field(
            "Subfloor", list(SUBFLOORS), "concrete", tooltip="What the floor lies on.", css_class="kit-room-subfloor"
        ),
        "below": choice_field(
            "Lies over",
            [NOT_SAID, *FLOORS_BELOW],
            NOT_SAID,
            tooltip="What heat is lost to below.",
            css_class="kit-room-below",
        ),
        "old_covering": text_field(
            "Old covering", "0", tooltip="Thickness of a covering that comes up; 0 for none.", css_class="kit-room-old"
        ),
        "heated": tick_field("heated from below", False, tooltip="Underfloor heating.", css_class="kit-room-heated"),
        "wet": tick_field(
            "gets wet, as a bathroom does",
            False,
            tooltip="Where water is spilt.",
            css_class="kit-room-wet",
        ),
    }


def wall_fields() -> dict[str, Field]:
    return {
        "length": text_field(
            "Length",
            "",
            tooltip="From corner to corner at floor level, skirting to skirting.",
            css_class="kit-wall-length",
        ),
        "turn": choice_field(
            "Then turn",
            [*TURNS, OTHER_TURN],
            next(iter(TURNS)),
            tooltip="Which way you turn at the end of this wall.",
            css_class="kit-wall-turn",
        ),
        "angle": whole_field(
            "Angle",
            90.0,
            (-175, 175),
            unit="°",
            tooltip="Only for another angle: + to the right.",
            css_class="kit-wall-angle",
        ),
    }


def _wall_number(css_class: str) -> Field:
    return whole_field("At wall", 1, (1, 200), unit="", tooltip="Number of the wall.", css_class=css_class)


def tie_fields() -> dict[str, Field]:
    return {
        "first": whole_field(
            "From corner", 1, (1, 200), unit="", tooltip="Corner 1 begins wall 1.", css_class="kit-tie-first"
        ),
        "second": whole_field("To corner", 3, (1, 200), unit="", tooltip="The other end.", css_class="kit-tie-second"),
        "length": text_field("Length", "", tooltip="Straight from one to the other.", css_class="kit-tie-length"),
    }


def door_fields() -> dict[str, Field]:
    return {
        "wall": _wall_number("kit-door-wall"),
        "along": text_field(
            "From corner",
            "",
            tooltip="From the wall's first corner to the near side of the clear opening.",
            css_class="kit-door-along",
        ),
        "opening": text_field(
            "Opening", "762", tooltip="Clear width between the linings.", css_class="kit-door-opening"
        ),
        "recess": text_field(
            "Runs in", "0", tooltip="How far the floor runs into the doorway.", css_class="kit-door-recess"
        ),
        "name": text_field("Name", "", tooltip="Where it leads.", css_class="kit-door-name"),
        "undercut": tick_field("the frame can be undercut", True, tooltip="Undercut.", css_class="kit-door-undercut"),
    }


def pipe_fields() -> dict[str, Field]:
    return {
        "wall": _wall_number("kit-pipe-wall"),
        "along": text_field(
            "From corner", "", tooltip="From the wall's first corner to its centre.", css_class="kit-pipe-along"
        ),
        "out": text_field("From wall", "", tooltip="From the wall's face to its centre.", css_class="kit-pipe-out"),
        "diameter": text_field("Diameter", "15", tooltip="Across the pipe.", css_class="kit-pipe-diameter"),
    }


def obstacle_fields() -> dict[str, Field]:
    return {
        "name": text_field("Name", "", tooltip="Such as hearth or wardrobe.", css_class="kit-obstacle-name"),
        "kind": choice_field(
            "Kind", list(OBSTACLE_KINDS), OBSTACLE_KINDS[0], tooltip="What it is.", css_class="kit-obstacle-kind"
        ),
        "wall": _wall_number("kit-obstacle-wall"),
        "along": text_field(
            "From corner", "", tooltip="From the wall's first corner to its near side.", css_class="kit-obstacle-along"
        ),
        "out": text_field(
            "From wall", "0", tooltip="From the wall's face; 0 against it.", css_class="kit-obstacle-out"
        ),
        "width": text_field("Width", "", tooltip="Along the wall.", css_class="kit-obstacle-width"),
        "depth": text_field("Depth", "", tooltip="Into the room.", css_class="kit-obstacle-depth"),
    }
