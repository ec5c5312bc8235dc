"""Panel to measure a room without typing a file: go round the walls, see the outline grow, correct, undo, save."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from flooring_kit.checks import FaultsError, numbered, require_between, require_whole
from flooring_kit.draft import (
    Draft,
    DraftDoor,
    DraftObstacle,
    DraftPipe,
    DraftTie,
    DraftWall,
    History,
    put,
    take_out,
    walls_along_the_miss,
)
from flooring_kit.drawing import as_svg, scrolling
from flooring_kit.drawing.sketch import open_sketch, room_sketch
from flooring_kit.files import file_name, laid_aside, own_path, own_surveys
from flooring_kit.files.drafts import keep_draft, kept_draft, read_draft, room_of_draft, write_survey
from flooring_kit.html_parts import sentences_html
from flooring_kit.panels.fields import Field, guarded, heading, tell
from flooring_kit.panels.measure_fields import (
    CHOOSE,
    NOT_SAID,
    OTHER_TURN,
    TURNS,
    door_fields,
    obstacle_fields,
    pipe_fields,
    room_fields,
    tie_fields,
    wall_fields,
)
from flooring_kit.panels.row_editor import NEW, RowEditor, row_editor
from flooring_kit.room import Room

KEPT_FILE = "room being measured.json"
REACH_MM = 30.0
"""How far a thing may reach past its wall's length as typed: walls and things are taped on their own."""

SMALLEST_LABEL_PX = 10.0
WORTH_A_LOOK_MM = 40.0
"""Miss from which it is said along which walls it runs: below it is the tape's own error."""

HOW = (
    "Go round the room with the walls on your left. Type each wall's length, say which way you turn at its end, and "
    "add it. A plain number is in the unit chosen; 2.92 m or 13' 9\" is read too. Then measure a diagonal or two: a "
    "tie shows whether the tape agrees."
)


@dataclass(frozen=True)
class MeasurePanel:
    """The panel's handles.

    Parameters
    ----------
    box
        The panel itself: the last line of a notebook cell.
    fields
        name, units, subfloor, below, heated, wet, old_covering, and open: survey files to go on with.
    walls, ties, doors, pipes, obstacles
        Editors of the rows.
    undo, redo, afresh, save, plan
        Buttons.
    sketch, told, status, alert
        Where the drawing, what the tape says, what was saved, and any trouble are shown.
    draft, room
        Calls that give the draft as it is, and the room; None while it is none.
    """

    box: Any
    fields: Mapping[str, Field]
    walls: RowEditor
    ties: RowEditor
    doors: RowEditor
    pipes: RowEditor
    obstacles: RowEditor
    undo: Any
    redo: Any
    afresh: Any
    save: Any
    plan: Any
    sketch: Any
    told: Any
    status: Any
    alert: Any
    draft: Callable[[], Draft]
    room: Callable[[], Room | None]


def measure_panel(
    surveys: Mapping[str, str | os.PathLike[str]], *, on_room: Callable[[Room], None] | None = None
) -> MeasurePanel:
    """A panel that measures one room, kept on disk at every step.

    Parameters
    ----------
    surveys
        Survey files to go on with, by name.
    on_room
        Called with the room when *Plan this room* is pressed; the button is left out where None.
    """
    state = {"history": History(_left_off())}
    shown: dict[str, Room | None] = {"room": None, "planned": None}
    files = {**{name: Path(path) for name, path in surveys.items()}, **own_surveys()}
    sketch, told, status = (widgets.HTML("", layout=widgets.Layout(width="100%", margin="0")) for _ in range(3))
    alert = widgets.HTML("", layout=widgets.Layout(display="none"))

    def draft() -> Draft:
        return state["history"].now

    def take(changed: Draft) -> None:
        """A change: on disk before anything else, then shown."""
        keep_draft(changed, own_path(KEPT_FILE))
        state["history"] = state["history"].changed(changed)
        show()

    def step(history: History) -> None:
        keep_draft(history.now, own_path(KEPT_FILE))
        state["history"] = history
        show()

    # ------------------------------------------------------------ rows

    def put_wall(place: int | None) -> None:
        wall = DraftWall(_wall_length(walls.fields["length"], draft()), _turn(walls.fields))
        if place is None:
            take(draft().with_wall(wall))
            walls.fields["length"].control.value = ""
        else:
            take(replace(draft(), walls=put(draft().walls, place, wall)))

    def put_tie(place: int | None) -> None:
        tie = DraftTie(ties.fields["first"].value, ties.fields["second"].value, _length(ties.fields["length"], draft()))
        take(replace(draft(), ties=put(draft().ties, place, tie)))

    def put_door(place: int | None) -> None:
        given = {name: field.value for name, field in doors.fields.items()}
        for name in ("along", "opening", "recess"):
            _length(doors.fields[name], draft())
        _require_at_wall(doors.fields, "opening", draft())
        kept = () if place is None else draft().doors[place].kept
        take(replace(draft(), doors=put(draft().doors, place, DraftDoor(**given, kept=kept))))

    def put_pipe(place: int | None) -> None:
        for name in ("along", "out", "diameter"):
            _length(pipes.fields[name], draft())
        _require_at_wall(pipes.fields, "", draft())
        given = {name: field.value for name, field in pipes.fields.items()}
        kind = "pipe" if place is None else draft().pipes[place].kind
        take(replace(draft(), pipes=put(draft().pipes, place, DraftPipe(**given, kind=kind))))

    def put_obstacle(place: int | None) -> None:
        for name in ("along", "out", "width", "depth"):
            _length(obstacles.fields[name], draft())
        given = {name: field.value for name, field in obstacles.fields.items()}
        outline = () if place is None else draft().obstacles[place].outline
        if not outline:
            _require_at_wall(obstacles.fields, "width", draft())
        take(replace(draft(), obstacles=put(draft().obstacles, place, DraftObstacle(**given, outline=outline))))

    def out_of(rows: str) -> Callable[[int], None]:
        def out(place: int) -> None:
            left: dict[str, Any] = {rows: take_out(getattr(draft(), rows), place)}
            take(replace(draft(), **left))

        return out

    def load(rows: str, names: tuple[str, ...]) -> Callable[[int], dict[str, Any]]:
        return lambda place: {name: getattr(getattr(draft(), rows)[place], name) for name in names}

    def load_wall(place: int) -> dict[str, Any]:
        wall = draft().walls[place]
        named = next((words for words, turn in TURNS.items() if turn == wall.turn_degrees), OTHER_TURN)
        return {"length": wall.length, "turn": named, "angle": wall.turn_degrees}

    walls = row_editor(
        "Walls",
        wall_fields(),
        one="wall",
        load=load_wall,
        put=put_wall,
        take_out=lambda place: take(draft().without_wall(place + 1)),
    )
    ties = row_editor(
        "Ties",
        tie_fields(),
        one="tie",
        load=load("ties", ("first", "second", "length")),
        put=put_tie,
        take_out=out_of("ties"),
    )
    door_rows = door_fields()
    doors = row_editor(
        "Doors", door_rows, one="door", load=load("doors", tuple(door_rows)), put=put_door, take_out=out_of("doors")
    )
    pipe_rows = pipe_fields()
    pipes = row_editor(
        "Pipes", pipe_rows, one="pipe", load=load("pipes", tuple(pipe_rows)), put=put_pipe, take_out=out_of("pipes")
    )
    obstacle_rows = obstacle_fields()
    obstacles = row_editor(
        "Obstacles",
        obstacle_rows,
        one="obstacle",
        load=load("obstacles", tuple(obstacle_rows)),
        put=put_obstacle,
        take_out=out_of("obstacles"),
    )
    fields = room_fields(list(files))

    def before_wall(_: object = None) -> None:
        """A wall put in before the one chosen."""
        wall = DraftWall(_wall_length(walls.fields["length"], draft()), _turn(walls.fields))
        take(draft().with_wall(wall, before=walls.rows.value + 1))

    # ------------------------------------------------------------ what is shown

    def show() -> None:
        now, history = draft(), state["history"]
        undo.disabled, redo.disabled = not history.past, not history.future
        walls.show([f"wall {number}: {wall.length}, then {_turn_words(wall)}" for number, wall in _from_1(now.walls)])
        ties.show([f"corner {tie.first} to {tie.second}: {tie.length}" for tie in now.ties])
        doors.show([f"door {n} in wall {each.wall}: {each.name or each.opening}" for n, each in _from_1(now.doors)])
        pipes.show([f"pipe {n} at wall {each.wall}, {each.along} along" for n, each in _from_1(now.pipes)])
        obstacles.show([f"{each.name or 'obstacle'} {_where(each)}" for each in now.obstacles])
        for name in ("name", "units", "subfloor", "heated", "wet", "old_covering", "below"):
            control, value = fields[name].control, getattr(now, name)
            value = value or NOT_SAID if name == "below" else value
            if control.value != value:
                control.unobserve(on_field, "value")
                control.value = value
                control.observe(on_field, "value")
        redraw()

    def redraw(_: object = None) -> None:
        now, chosen = draft(), None if walls.rows.value == NEW else walls.rows.value + 1
        put_before.layout.display = "none" if chosen is None else ""
        shown["room"] = None
        plan.disabled = save.disabled = True
        if not now.walls:
            sketch.value = told.value = ""
            return
        try:
            room = room_of_draft(now)
        except FaultsError as slips:
            path = now.path_mm()
            turned = sum(wall.turn_degrees for wall in now.walls)
            drawn = open_sketch(path, [wall.length for wall in now.walls], turned=turned, chosen_wall=chosen)
            sketch.value = scrolling(as_svg(drawn, tallest_px=520, smallest_label_px=SMALLEST_LABEL_PX))
            told.value = sentences_html([_closing_words(now), *(slips.faults if _is_round(now) else ())])
            return
        shown["room"] = room
        plan.disabled = save.disabled = False
        drawn = room_sketch(room, chosen_wall=chosen)
        sketch.value = scrolling(as_svg(drawn, tallest_px=520, smallest_label_px=SMALLEST_LABEL_PX))
        if shown["planned"] not in (None, room):
            tell(status, f"{room.name} has changed since it was planned: press Plan this room again.")
        area = f"{room.polygon.area / 1e6:.2f} m² inside the skirting."
        told.value = sentences_html([_closing_words(now), area, *room.notes])

    # ------------------------------------------------------------ fields and buttons

    def field_changed(change: dict[str, Any]) -> None:
        given = {name: fields[name].value for name in ("name", "units", "subfloor", "heated", "wet", "old_covering")}
        below = fields["below"].value
        _length(fields["old_covering"], replace(draft(), units=given["units"]))
        take(replace(draft(), **given, below="" if below == NOT_SAID else below))

    def open_survey(change: dict[str, Any]) -> None:
        if change["new"] != CHOOSE:
            take(read_draft(files[change["new"]]))
            tell(status, f"Opened: {change['new']}. Undo brings back what was there.")
            fields["open"].control.value = CHOOSE

    def save_survey(_: object) -> None:
        path = own_path(file_name(draft().name, ".toml"))
        write_survey(draft(), path)
        files[path.stem] = path
        fields["open"].control.options = [CHOOSE, *files]
        tell(status, f"Saved: {path}")

    def plan_room(_: object) -> None:
        room = shown["room"]
        if room is not None and on_room is not None:
            on_room(room)
            shown["planned"] = room
            tell(status, f"{room.name} is chosen in the planning panel.")

    def button(words: str, css_class: str, pressed: Callable[..., None], tooltip: str) -> Any:
        made = widgets.Button(description=words, tooltip=tooltip)
        made.layout = widgets.Layout(width="auto", margin="2px 8px 2px 0")
        made.add_class(css_class)
        made.on_click(guarded(alert)(pressed))
        return made

    undo = button("Undo", "kit-undo", lambda _: step(state["history"].undone()), "Back to before the last change.")
    redo = button("Redo", "kit-redo", lambda _: step(state["history"].redone()), "Forth again.")
    afresh = button("Begin afresh", "kit-afresh", lambda _: take(Draft()), "An empty room; Undo brings this one back.")
    save = button("Save the survey", "kit-save-survey", save_survey, "As a survey file among your own files.")
    plan = button("Plan this room", "kit-plan-this", plan_room, "Choose it in the planning panel.")
    put_before = button("Add it before the chosen wall", "kit-wall-before", before_wall, "For a wall left out.")
    plan.layout.display = "" if on_room is not None else "none"
    on_field = guarded(alert)(field_changed)
    for name, field in fields.items():
        field.control.observe(guarded(alert)(open_survey) if name == "open" else on_field, "value")
    walls.rows.observe(guarded(alert)(redraw), "value")
    walls.fields["turn"].control.observe(lambda _: _show_angle(walls.fields), "value")
    _show_angle(walls.fields)
    if draft().walls:
        tell(status, "Taken up where you left off. Begin afresh for another room.")
    guarded(alert)(lambda: show())()
    box = _arranged(
        fields,
        [walls, ties, doors, pipes, obstacles],
        [put_before, undo, redo, afresh, save, plan],
        [sketch, told, status, alert],
    )
    return MeasurePanel(
        box, fields, walls, ties, doors, pipes, obstacles, undo, redo, afresh, save, plan,
        sketch, told, status, alert, draft, lambda: shown["room"],
    )  # fmt: skip


def _left_off() -> Draft:
    """The draft kept on disk; an empty one where there is none. One that can't be read is laid aside, not lost."""
    path = own_path(KEPT_FILE)
    try:
        return kept_draft(path)
    except FileNotFoundError:
        return Draft()
    except ValueError:
        laid_aside(path)
        return Draft()


def _from_1(rows: tuple[Any, ...]) -> Any:
    return enumerate(rows, start=1)


def _show_angle(fields: Mapping[str, Field]) -> None:
    """The angle's own field only where no turn of the list is meant."""
    fields["angle"].box.layout.display = "" if fields["turn"].control.value == OTHER_TURN else "none"


def _turn(fields: Mapping[str, Field]) -> float:
    words = fields["turn"].value
    return float(fields["angle"].value) if words == OTHER_TURN else TURNS[words]


def _where(thing: DraftObstacle) -> str:
    return "as it came from the file" if thing.outline else f"at wall {thing.wall}"


def _turn_words(wall: DraftWall) -> str:
    named = next((words.split(",")[0] for words, turn in TURNS.items() if turn == wall.turn_degrees), "")
    if named and wall.turn_degrees in (90.0, -90.0, 0.0):
        return named
    return f"{'right' if wall.turn_degrees > 0 else 'left'} by {abs(wall.turn_degrees):g}°"


def _length(field: Field, draft: Draft) -> str:
    """The length as typed; a complaint under the field for what is none."""
    field.require(lambda typed: draft.length_mm(typed, field.control.description))
    return str(field.control.value).strip()


def _wall_length(field: Field, draft: Draft) -> str:
    """A wall's length as typed: a complaint where it is too short or too long for one."""
    typed = _length(field, draft)
    hint = f"A plain number is in {draft.units}."
    length = draft.length_mm(typed, "Length")
    field.require(lambda _: require_between(length, 50, 100_000, "Length", unit="mm", hint=hint))
    return typed


def _require_at_wall(fields: Mapping[str, Field], size: str, draft: Draft) -> None:
    """A complaint under its field where a thing stands at no wall, or reaches past the end of its own."""
    wall = fields["wall"]
    wall.require(lambda number: require_whole(number, 1, max(1, len(draft.walls)), "At wall"))
    length = draft.length_mm(draft.walls[wall.value - 1].length, f"wall {wall.value}: length")
    along = draft.length_mm(fields["along"].value, "From corner")
    end = along + (draft.length_mm(fields[size].value, size) if size else 0)

    def ends_inside(_: object) -> None:
        if along < 0 or end > length + REACH_MM:
            raise ValueError(
                f"It would reach from {along:g} to {end:g} mm, but wall {wall.value} is {length:g} mm long. "
                "Measure from the wall's first corner, the one you come to first."
            )

    fields["along"].require(ends_inside)


def _is_round(draft: Draft) -> bool:
    """Whether the walls have gone once round, about; before that it is no fault that they do not close."""
    return len(draft.walls) > 2 and abs(abs(sum(wall.turn_degrees for wall in draft.walls)) - 360) <= 30


def _closing_words(draft: Draft) -> str:
    """How the walls close by themselves, before anything is spread over them."""
    missing = draft.misclosure_mm()
    turned = sum(wall.turn_degrees for wall in draft.walls)
    walls = f"{len(draft.walls)} wall{'' if len(draft.walls) == 1 else 's'}"
    if not _is_round(draft):
        return f"{walls} so far, turned by {turned:g}° of 360°; {missing:.0f} mm from the first corner."
    told = f"{walls}, turned by {turned:g}°: the last one ends {missing:.0f} mm from the first corner."
    along = walls_along_the_miss(draft)
    if missing < WORTH_A_LOOK_MM or not along:
        return told
    return f"{told} The miss runs along {numbered('wall', along)}: read that tape again first."


def _arranged(fields: Mapping[str, Field], editors: list[RowEditor], buttons: list[Any], shown: list[Any]) -> Any:
    """One column on a phone; the drawing beside the fields on a wide screen."""
    put_before, *rest = buttons
    sketch, told, status, alert = shown
    walls, ties, doors, pipes, obstacles = editors
    how = widgets.HTML(f"<p style='margin:0 0 6px;line-height:1.4'>{HOW}</p>")
    room = [fields[name].box for name in fields]
    left = widgets.VBox(
        [
            heading("The walls, one after the other"),
            walls.box,
            widgets.HBox([put_before]),
        ],
        layout=widgets.Layout(flex="1 1 300px", max_width="420px", min_width="0", padding="0 14px 0 0"),
    )
    picture = widgets.VBox(
        [widgets.HBox(rest, layout=widgets.Layout(flex_flow="row wrap")), sketch, told, status, alert],
        layout=widgets.Layout(flex="2 1 380px", min_width="0", overflow="hidden"),
    )

    def column(title: str, parts: list[Any]) -> Any:
        return widgets.VBox(
            [heading(title), *parts],
            layout=widgets.Layout(flex="1 1 260px", max_width="420px", min_width="0", padding="0 14px 0 0"),
        )

    wrap = widgets.Layout(flex_flow="row wrap", width="100%")
    box = widgets.VBox(
        [
            how,
            widgets.HBox([column("The room", room[:4]), column("What it lies on", room[4:])], layout=wrap),
            widgets.HBox([left, picture], layout=wrap),
            widgets.HBox(
                [
                    column("Ties: diagonals that check the tape", [ties.box]),
                    column("Doors", [doors.box]),
                    column("Pipes", [pipes.box]),
                    column("What stays: hearths, units, columns", [obstacles.box]),
                ],
                layout=wrap,
            ),
        ],
        layout=widgets.Layout(width="100%", overflow="hidden"),
    )
    box.add_class("kit-measure-panel")
    return box
