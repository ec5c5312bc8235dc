"""The main panel: room, board, underlay, direction and rules on one side, the floor and its answers on the other."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

import ipywidgets as widgets

from flooring_kit.answer_sheet import answers_html, order_html
from flooring_kit.answers import Estimate, better_estimates
from flooring_kit.choices import Choices
from flooring_kit.comparison import compare, comparison_table
from flooring_kit.comparison_sheet import comparison_html
from flooring_kit.drawing import plan_picture
from flooring_kit.panels.chance_line import ChanceLine, chance_line
from flooring_kit.panels.fields import Field, guarded, heading, tell
from flooring_kit.panels.kept_job import keep, left_off
from flooring_kit.panels.plan_fields import AT_ANGLE, choices_of, direction_of, directions, plan_fields, start_walls
from flooring_kit.panels.progress import ProgressLine, progress_line
from flooring_kit.panels.pump import Pump
from flooring_kit.products import Catalogue
from flooring_kit.room import Room


@dataclass(frozen=True)
class PlanPanel:
    """The panel's handles.

    Parameters
    ----------
    box
        The panel itself: the last line of a notebook cell.
    fields
        Every field by name: room, board, underlay, trim, direction, angle, start, gap, joint_offset, shortest_piece,
        narrowest_row, pile, kit_chooses, first_row, other_board, other_underlay.
    picture, order, answers, table, status, alert
        Where the drawing, the order line, the other answers, the comparison, the state of the search and any trouble
        are shown.
    chance
        The line under the order line: how likely it is to run short.
    progress
        The line of the search, with a button that stops it.
    afresh
        Button that forgets the job kept on disk.
    choices, room, estimate
        Calls that give what is chosen and what is shown now.
    settle
        Call that finishes the search at once.
    take_room
        Call that adds a room, or replaces the one of its name, and chooses it.
    """

    box: Any
    fields: Mapping[str, Field]
    picture: Any
    order: Any
    chance: ChanceLine
    answers: Any
    table: Any
    status: Any
    alert: Any
    progress: ProgressLine
    afresh: Any
    choices: Callable[[], Choices]
    room: Callable[[], Room]
    estimate: Callable[[], Estimate]
    settle: Callable[[], None]
    take_room: Callable[[Room], None]


def plan_panel(
    rooms: Mapping[str, Room],
    catalogue: Catalogue,
    choices: Choices,
    *,
    room: str | None = None,
    kept: str | os.PathLike[str] | None = None,
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
    kept
        File the job is kept in as it goes, and taken up from when the panel is made again; None keeps none.
    """
    begin = left_off(kept, rooms, catalogue, choices, room or next(iter(rooms)))
    surveyed, base = dict(begin.rooms), begin.choices
    fields = plan_fields(surveyed, catalogue, base, begin.room)
    picture, order, answers, table = (
        widgets.HTML("", layout=widgets.Layout(width="100%", margin="0")) for _ in range(4)
    )
    chance = chance_line(lambda: shown["now"])
    progress = progress_line(lambda: stop(), css_class="kit-plan-stop")
    status = progress.words
    alert = widgets.HTML("", layout=widgets.Layout(display="none"))
    shown: dict[str, Estimate] = {}

    def chosen_room() -> Room:
        return surveyed[fields["room"].value]

    def chosen() -> Choices:
        return choices_of(fields, base, catalogue)

    def show(now: Estimate | None) -> None:
        if now is None or shown.get("now") is now:
            return
        shown["now"] = now
        chance.wait()
        picture.value = plan_picture(now.plan)
        order.value = order_html(now)
        answers.value = answers_html(now)
        if fields["kit_chooses"].control.value:
            fields["first_row"].control.value = round(now.plan.row_widths[0].first_row_width_mm)

    def steps(room: Room, wanted: Choices) -> Iterator[Estimate | None]:
        """The chosen plan step by step, then the one it is compared with, as far as that goes."""
        search = better_estimates(room, wanted, catalogue)
        yield next(search)
        keep(kept, room, wanted, catalogue)  # after the hand has rested, so that no step of a slider waits for the disk
        yield from search
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

    def rest(words: str = "") -> None:
        progress.rest(words)
        if shown:
            chance.ready()

    pump: Pump[Estimate | None] = Pump(show, lambda: rest("Plan settled."), guarded(alert))

    def stop() -> None:
        pump.cancel()
        rest("Stopped: this plan may still be bettered.")

    def redraw(_: object = None) -> None:
        pump.cancel()
        chance.wait()
        try:
            search = steps(chosen_room(), chosen())
            show(next(search))
        except ValueError:
            rest()  # refused: no search goes on
            raise
        progress.at("Looking for a better plan …")
        pump.start(search)

    def start_walls_anew(change: dict[str, Any]) -> None:
        start, direction = fields["start"].control, fields["direction"].control
        if change["owner"] is fields["room"].control:
            run = chosen_room().boards_run
            direction.unobserve(watching["direction"], "value")
            direction.options, direction.value = directions(chosen_room(), run), run
            direction.observe(watching["direction"], "value")
        fields["angle"].box.layout.display = "" if direction.value == AT_ANGLE else "none"
        board = catalogue.board(fields["board"].control.value)
        options = start_walls(chosen_room(), board, direction_of(fields))
        if list(start.options) != options:
            start.unobserve(watching["start"], "value")
            start.options, start.value = options, start.value
            start.observe(watching["start"], "value")
        redraw()

    def angle_typed(change: dict[str, Any]) -> None:
        if fields["direction"].control.value == AT_ANGLE:
            start_walls_anew(change)

    def first_row_typed(change: dict[str, Any]) -> None:
        if not fields["kit_chooses"].control.value:
            redraw()

    def kit_chooses(change: dict[str, Any]) -> None:
        fields["first_row"].control.disabled = fields["first_row"].slider.disabled = change["new"]
        redraw()

    def take_room(room: Room) -> None:
        surveyed[room.name] = room
        control = fields["room"].control
        control.unobserve(watching["room"], "value")
        control.options, control.value = list(surveyed), room.name
        control.observe(watching["room"], "value")
        watching["room"]({"owner": control, "new": room.name})

    def begin_afresh(_: object) -> None:
        """What was given at the start, whatever was kept."""
        for name, field in plan_fields(surveyed, catalogue, choices, room or next(iter(rooms))).items():
            if fields[name].control.value != field.control.value:
                fields[name].control.value = field.control.value
        tell(offered, "")
        afresh.layout.display = "none"

    special = {
        "first_row": first_row_typed,
        "kit_chooses": kit_chooses,
        "room": start_walls_anew,
        "board": start_walls_anew,
        "direction": start_walls_anew,
        "angle": angle_typed,
    }
    watching = {name: guarded(alert)(special.get(name, redraw)) for name in fields}
    for name, field in fields.items():
        field.control.observe(watching[name], "value")
    offered = widgets.HTML("")
    tell(offered, begin.words)
    afresh = widgets.Button(description="Begin afresh", layout=widgets.Layout(width="auto"))
    afresh.layout.display = "" if begin.words else "none"
    afresh.add_class("kit-plan-afresh")
    afresh.on_click(guarded(alert)(begin_afresh))
    fields["angle"].box.layout.display = "" if fields["direction"].control.value == AT_ANGLE else "none"
    guarded(alert)(redraw)()
    top = widgets.HBox([offered, afresh], layout=widgets.Layout(flex_flow="row wrap"))
    box = _arranged(fields, picture, [order, chance.box, answers], table, [top, progress.box], alert)
    return PlanPanel(
        box, fields, picture, order, chance, answers, table, status, alert, progress, afresh,
        chosen, chosen_room, lambda: shown["now"], pump.drain, take_room,
    )  # fmt: skip


def _with_board(choices: Choices, board: str) -> Choices:
    return replace(choices, materials=replace(choices.materials, board=board))


def _arranged(
    fields: Mapping[str, Field], picture: Any, answers: list[Any], table: Any, lines: list[Any], alert: Any
) -> Any:
    """One column on a phone; fields beside the floor on a wide screen."""
    names = ["room", "board", "underlay", "trim"]
    laying = [
        "direction",
        "angle",
        "start",
        "gap",
        "joint_offset",
        "shortest_piece",
        "narrowest_row",
        "pile",
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
    taken_up, search = lines
    floor = widgets.VBox(
        [taken_up, picture, search], layout=widgets.Layout(flex="3 1 480px", min_width="0", overflow="hidden")
    )
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
        [top, *answers, heading("Side by side: compare what is chosen"), others, table],
        layout=widgets.Layout(width="100%", overflow="hidden"),
    )
    box.add_class("kit-plan-panel")
    return box
