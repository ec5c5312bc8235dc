"""The main panel: room, board, underlay, direction and rules on one side, the floor and its answers on the other."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

import ipywidgets as widgets

from flooring_kit.answer_sheet import answers_html
from flooring_kit.answers import Estimate, better_estimates
from flooring_kit.checks import require_between
from flooring_kit.choices import Choices, Laying, Materials
from flooring_kit.comparison import compare, comparison_table
from flooring_kit.comparison_sheet import comparison_html
from flooring_kit.drawing import plan_picture
from flooring_kit.panels.fields import NO_TRIM, Field, choice_field, guarded, heading, number_field, tell, tick_field
from flooring_kit.panels.pump import Pump
from flooring_kit.products import Board, Catalogue
from flooring_kit.room import Room
from flooring_kit.rules import Direction, Start
from flooring_kit.setting_out.frame import laying_frame, start_wall


@dataclass(frozen=True)
class PlanPanel:
    """The panel's handles.

    Parameters
    ----------
    box
        The panel itself: the last line of a notebook cell.
    fields
        Every field by name: room, board, underlay, trim, direction, start, gap, joint_offset, shortest_piece,
        narrowest_row, kit_chooses, first_row, other_board, other_underlay.
    picture, answers, table, status, alert
        Where the drawing, the answers, the comparison, the state of the search and any trouble are shown.
    choices, room, estimate
        Calls that give what is chosen and what is shown now.
    settle
        Call that finishes the search at once.
    """

    box: Any
    fields: Mapping[str, Field]
    picture: Any
    answers: Any
    table: Any
    status: Any
    alert: Any
    choices: Callable[[], Choices]
    room: Callable[[], Room]
    estimate: Callable[[], Estimate]
    settle: Callable[[], None]


def plan_panel(
    rooms: Mapping[str, Room], catalogue: Catalogue, choices: Choices, *, room: str | None = None
) -> PlanPanel:
    """A panel that plans one of several rooms.

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
    fields = _fields(rooms, catalogue, choices, room or next(iter(rooms)))
    picture, answers, table = (widgets.HTML("", layout=widgets.Layout(width="100%", margin="0")) for _ in range(3))
    status = widgets.HTML("")
    alert = widgets.HTML("", layout=widgets.Layout(display="none"))
    shown: dict[str, Estimate] = {}

    def chosen_room() -> Room:
        return rooms[fields["room"].value]

    def chosen() -> Choices:
        return _choices(fields, choices, catalogue)

    def show(now: Estimate | None) -> None:
        if now is None or shown.get("now") is now:
            return
        shown["now"] = now
        picture.value = plan_picture(now.plan)
        answers.value = answers_html(now)
        if fields["kit_chooses"].control.value:
            fields["first_row"].control.value = round(now.plan.row_widths[0].first_row_width_mm)

    def steps(room: Room, wanted: Choices) -> Iterator[Estimate | None]:
        """The chosen plan step by step, then the one it is compared with, as far as that goes."""
        yield from better_estimates(room, wanted, catalogue)
        now, other = shown["now"], fields["other_board"].value
        compared, refusal = [now], ""
        if other != now.plan.board.name:
            try:
                for found in better_estimates(room, _with_board(wanted, other), catalogue):
                    compared[1:] = [found]
                    yield None
            except ValueError as fault:
                refusal = f"{other} can't be compared: {fault}"
        underlays = list(dict.fromkeys([now.underlay.name, fields["other_underlay"].value]))
        boards = [option.plan.board.name for option in compared]
        options = compare(room, wanted, catalogue, boards=boards, underlays=underlays, known=compared)
        table.value = comparison_html(comparison_table(options), currency=now.price.currency, note=refusal)

    pump: Pump[Estimate | None] = Pump(show, lambda: tell(status, "Plan settled."), guarded(alert))

    def redraw(_: object = None) -> None:
        pump.cancel()
        tell(status, "")
        search = steps(chosen_room(), chosen())
        show(next(search))
        tell(status, "Looking for a better plan …")
        pump.start(search)

    on_change = guarded(alert)(redraw)

    def start_walls_anew(change: dict[str, Any]) -> None:
        start, direction = fields["start"].control, fields["direction"].control
        if change["owner"] is fields["room"].control:
            surveyed = chosen_room().boards_run
            direction.unobserve(start_walls_anew, "value")
            direction.options, direction.value = _directions(chosen_room(), surveyed), surveyed
            direction.observe(start_walls_anew, "value")
        board = catalogue.board(fields["board"].control.value)
        options = _start_walls(chosen_room(), board, direction.value)
        if list(start.options) != options:
            start.unobserve(on_change, "value")
            start.options, start.value = options, start.value
            start.observe(on_change, "value")
        on_change(change)

    def first_row_typed(change: dict[str, Any]) -> None:
        if not fields["kit_chooses"].control.value:
            on_change(change)

    def kit_chooses(change: dict[str, Any]) -> None:
        fields["first_row"].control.disabled = fields["first_row"].slider.disabled = change["new"]
        on_change(change)

    special = {
        "first_row": first_row_typed,
        "kit_chooses": kit_chooses,
        "room": start_walls_anew,
        "board": start_walls_anew,
        "direction": start_walls_anew,
    }
    for name, field in fields.items():
        field.control.observe(special.get(name, on_change), "value")
    guarded(alert)(redraw)()
    box = _arranged(fields, picture, answers, table, status, alert)
    return PlanPanel(
        box, fields, picture, answers, table, status, alert, chosen, chosen_room, lambda: shown["now"], pump.drain
    )


def _with_board(choices: Choices, board: str) -> Choices:
    return replace(choices, materials=replace(choices.materials, board=board))


def _directions(room: Room, surveyed: Direction) -> list[tuple[str, Direction]]:
    """Directions to choose from: both ways along the room, the diagonal, and the surveyed angle where it is another."""
    along_x, along_y = laying_frame(room, "long").along
    diagonal = (math.degrees(math.atan2(along_y, along_x)) + 45) % 180
    ways: list[tuple[str, Direction]] = [
        ("the long way", "long"),
        ("the short way", "short"),
        ("diagonally, at 45 degrees", round(diagonal, 1)),
    ]
    if surveyed not in [way for _, way in ways]:
        ways.append((f"at {float(surveyed):g} degrees", surveyed))
    return ways


def _choices(fields: Mapping[str, Field], base: Choices, catalogue: Catalogue) -> Choices:
    """What the fields say, on top of what the panel began with; complaints go under the fields."""
    rules = replace(
        base.laying.rules,
        gap_mm=fields["gap"].value,
        joint_offset_mm=fields["joint_offset"].value,
        shortest_piece_mm=fields["shortest_piece"].value,
        narrowest_row_mm=fields["narrowest_row"].value,
    )
    by_kit = fields["kit_chooses"].value
    if not by_kit:
        widest = catalogue.board(fields["board"].value).width_mm
        fields["first_row"].require(lambda width: require_between(width, 1, widest, "First row", unit="mm"))
    laying = Laying(
        fields["direction"].value,
        fields["start"].value,
        None if by_kit else fields["first_row"].control.value,
        rules,
        base.laying.seed,
    )
    trim = fields["trim"].value
    materials = Materials(fields["board"].value, fields["underlay"].value, None if trim == NO_TRIM else trim)
    return replace(base, materials=materials, laying=laying)


def _fields(rooms: Mapping[str, Room], catalogue: Catalogue, choices: Choices, room: str) -> dict[str, Field]:
    boards, underlays = list(catalogue.boards), list(catalogue.underlays)
    materials, laying = choices.materials, choices.laying
    rules = laying.rules
    trims = [NO_TRIM, *catalogue.trims]
    other_board = next((name for name in boards if name != materials.board), boards[0])
    other_underlay = next((name for name in underlays if name != materials.underlay), underlays[0])
    first_width = round(laying.first_row_width_mm or catalogue.board(materials.board).width_mm)
    widest = int(max(board.width_mm for board in catalogue.boards.values()))
    return {
        "room": choice_field("Room", list(rooms), room, tooltip="A surveyed room.", css_class="kit-room"),
        "board": choice_field("Board", boards, materials.board, tooltip="The click board.", css_class="kit-board"),
        "underlay": choice_field(
            "Underlay", underlays, materials.underlay, tooltip="One layer under the boards.", css_class="kit-underlay"
        ),
        "trim": choice_field(
            "Trim", trims, materials.trim or NO_TRIM, tooltip="Covers the gap at the skirting.", css_class="kit-trim"
        ),
        "direction": choice_field(
            "Boards run",
            _directions(rooms[room], laying.direction),
            laying.direction,
            tooltip="Which way the boards run.",
            css_class="kit-direction",
        ),
        "start": choice_field(
            "Start wall",
            _start_walls(rooms[room], catalogue.board(materials.board), laying.direction),
            laying.start,
            tooltip="Boards of one hand have two start corners, opposite each other.",
            css_class="kit-start",
        ),
        "gap": number_field(
            "Gap",
            round(rules.gap_mm),
            (0, 30),
            unit="mm",
            tooltip="Expansion gap at every wall and fixed thing.",
            css_class="kit-gap",
        ),
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


def _start_walls(room: Room, board: Board, direction: Direction) -> list[tuple[str, Start]]:
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


def _arranged(fields: Mapping[str, Field], picture: Any, answers: Any, table: Any, status: Any, alert: Any) -> Any:
    """One column on a phone; fields beside the floor on a wide screen."""

    names = ["room", "board", "underlay", "trim"]
    laying = [
        "direction",
        "start",
        "gap",
        "joint_offset",
        "shortest_piece",
        "narrowest_row",
        "kit_chooses",
        "first_row",
    ]
    beside = widgets.VBox(
        [
            heading("What is laid"),
            *(fields[name].box for name in names),
            heading("How it is laid"),
            *(fields[name].box for name in laying),
            alert,
        ],
        layout=widgets.Layout(flex="1 1 320px", max_width="400px", min_width="0", padding="0 14px 0 0"),
    )
    floor = widgets.VBox([picture, status], layout=widgets.Layout(flex="3 1 480px", min_width="0", overflow="hidden"))
    # reversed, so that the floor stands on the right of a wide screen and on top of a narrow one
    top = widgets.HBox(
        [floor, beside],
        layout=widgets.Layout(flex_flow="row-reverse wrap", width="100%", justify_content="flex-end"),
    )
    others = widgets.HBox(
        [fields["other_board"].box, fields["other_underlay"].box],
        layout=widgets.Layout(flex_flow="row wrap", width="100%"),
    )
    for name in ("other_board", "other_underlay"):
        fields[name].box.layout.width = "auto"
        fields[name].box.layout.flex = "1 1 300px"
        fields[name].box.layout.max_width = "460px"
    box = widgets.VBox(
        [top, answers, heading("Side by side: compare what is chosen"), others, table],
        layout=widgets.Layout(width="100%", overflow="hidden"),
    )
    box.add_class("kit-plan-panel")
    return box
