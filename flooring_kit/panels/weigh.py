"""Panel that sets boards, underlays, trims and directions side by side, sorts them, and weighs them as asked."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import ipywidgets as widgets
import pandas as pd

from flooring_kit.answers import Estimate, better_estimates, estimate
from flooring_kit.choices import Choices
from flooring_kit.comparison import compare, comparison_table
from flooring_kit.comparison_sheet import TABLE_HEADS, comparison_html, weighing_html
from flooring_kit.drawing import small_plans_html
from flooring_kit.html_parts import sheet_html
from flooring_kit.panels.around_boards import gap_field, room_field
from flooring_kit.panels.fields import (
    NO_TRIM,
    Field,
    TickGroup,
    choice_field,
    guarded,
    heading,
    number_field,
    tick_group,
)
from flooring_kit.panels.progress import ProgressLine, progress_line
from flooring_kit.panels.pump import Pump
from flooring_kit.products import Catalogue
from flooring_kit.room import Room
from flooring_kit.rules import Direction
from flooring_kit.weighing import EVEN, MOST_WEIGHT, POINTS, sorted_by

MOST_FLOORS, MOST_OPTIONS = 8, 48
WAYS: dict[str, Direction] = {"the long way": "long", "the short way": "short"}

Floor = tuple[str, Direction]
"""A board and the direction it runs in."""


@dataclass(frozen=True)
class WeighPanel:
    """The panel's handles.

    Parameters
    ----------
    box
        The panel itself: the last line of a notebook cell.
    fields
        room, gap, sort, and "weight of …" for every weighing point.
    ticks
        boards, underlays, trims and ways: groups of boxes to tick.
    pictures, table, weighing, alert
        Where small drawings, the comparison, the weighing and any trouble are shown.
    progress
        How far the floors are set out, with a button that stops it.
    options
        Call that gives the comparison as a DataFrame, in the order shown; empty before every floor is set out.
    settle
        Call that finishes the search at once.
    """

    box: Any
    fields: Mapping[str, Field]
    ticks: Mapping[str, TickGroup]
    pictures: Any
    table: Any
    weighing: Any
    alert: Any
    progress: ProgressLine
    options: Callable[[], pd.DataFrame]
    settle: Callable[[], None]


@dataclass(frozen=True)
class Asked:
    """What is compared: every board and way with every underlay and trim."""

    room: Room
    choices: Choices
    floors: Sequence[Floor]
    underlays: Sequence[str]
    trims: Sequence[str | None]

    def choices_for(self, floor: Floor) -> Choices:
        """The choices with one board in one direction, and the first underlay and trim."""
        board, direction = floor
        materials = replace(self.choices.materials, board=board, underlay=self.underlays[0], trim=self.trims[0])
        return replace(self.choices, materials=materials, laying=replace(self.choices.laying, direction=direction))


def weigh_panel(
    rooms: Mapping[str, Room], catalogue: Catalogue, choices: Choices, *, room: str | None = None
) -> WeighPanel:
    """A panel that compares and weighs.

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
    fields = _fields(rooms, choices, room)
    ticks = _ticks(catalogue, choices, rooms[fields["room"].value].boards_run)
    pictures, table, weighing = (widgets.HTML("", layout=widgets.Layout(width="100%", margin="0")) for _ in range(3))
    alert = widgets.HTML("", layout=widgets.Layout(display="none"))
    found: dict[Floor, Estimate] = {}
    compared: list[Asked] = []
    shown = {"options": comparison_table([])}

    def asked() -> Asked:
        rules = replace(choices.laying.rules, gap_mm=fields["gap"].value)
        chosen = {name: group.chosen for name, group in ticks.items()}
        floors = [(board, WAYS[way]) for board in chosen["boards"] for way in chosen["ways"]]
        trims = [None if name == NO_TRIM else name for name in chosen["trims"]]
        _require_few(len(floors), len(floors) * len(chosen["underlays"]) * len(trims))
        laying = replace(choices.laying, rules=rules, first_row_width_mm=None)
        return Asked(rooms[fields["room"].value], replace(choices, laying=laying), floors, chosen["underlays"], trims)

    def steps(now: Asked) -> Iterator[Floor | None]:
        """Each floor quickly, then each as far as it goes; the floor that has changed, or None."""
        for floor in now.floors:
            found[floor] = estimate(now.room, now.choices_for(floor), catalogue, quick=True)
            yield floor
        for number, floor in enumerate(now.floors, start=1):
            progress.at(f"Looking for better plans: floor {number} of {len(now.floors)}.", number - 1, len(now.floors))
            for better in better_estimates(now.room, now.choices_for(floor), catalogue):
                is_new = better.plan is not found[floor].plan
                found[floor] = better
                yield floor if is_new else None

    def show(changed: Floor | None) -> None:
        if changed is None:
            return
        (now,) = compared
        ready = [floor for floor in now.floors if floor in found]
        pictures.value = small_plans_html([(_title(floor), found[floor].plan) for floor in ready], of=len(now.floors))
        if len(ready) < len(now.floors):
            progress.at(f"Setting out {len(now.floors)} floors.", len(ready), len(now.floors))
            return
        options = [
            option
            for board, direction in now.floors
            for option in compare(
                now.room,
                now.choices,
                catalogue,
                boards=[board],
                underlays=now.underlays,
                trims=now.trims,
                directions=[direction],
                known=list(found.values()),
            )
        ]
        shown["options"] = comparison_table(options)
        rewrite()

    def in_order() -> pd.DataFrame:
        column = fields["sort"].value
        return sorted_by(shown["options"], column) if column else shown["options"]

    def rewrite(_: object = None) -> None:
        """The table in its order, and the weighing: nothing is set out anew for these."""
        if shown["options"].empty:
            return
        options = in_order()
        table.value = sheet_html(comparison_html(options, currency=choices.buying.currency, note=NOTE))
        weights = {point.name: fields[f"weight of {point.name}"].value for point in POINTS}
        weighing.value = sheet_html(weighing_html(options, weights))

    progress = progress_line(lambda: stop(), css_class="kit-weigh-stop")
    pump: Pump[Floor | None] = Pump(show, lambda: progress.rest("Every floor is settled."), guarded(alert))

    def stop() -> None:
        pump.cancel()
        whole = len(found) == len(compared[0].floors)
        progress.rest(MAY_BE_BETTERED if whole else "Stopped before every floor was set out.")
        if not whole:  # what stands there compares something else
            shown["options"] = comparison_table([])
            table.value = weighing.value = ""

    def compare_anew(_: object = None) -> None:
        pump.cancel()
        now = asked()
        compared[:] = [now]
        found.clear()
        search = steps(now)
        show(next(search))
        pump.start(search)

    on_change = guarded(alert)(compare_anew)
    on_rewrite = guarded(alert)(rewrite)
    for name, field in fields.items():
        field.control.observe(on_change if name in ("room", "gap") else on_rewrite, "value")
    for group in ticks.values():
        group.observe(on_change)
    on_change()
    box = _arranged(fields, ticks, [pictures, table, weighing], progress, alert)
    return WeighPanel(
        box, fields, ticks, pictures, table, weighing, alert, progress,
        in_order, pump.drain,
    )  # fmt: skip


MAY_BE_BETTERED = "Stopped: the plans may still be bettered."
NOTE = "The best of each column is marked in words; a column in which all are alike has none."


def _require_few(floors: int, options: int) -> None:
    if floors > MOST_FLOORS:
        raise ValueError(
            f"{floors} floors to set out: a board in a direction each. Take away some; {MOST_FLOORS} are the most."
        )
    if options > MOST_OPTIONS:
        raise ValueError(f"{options} options are too many to read. Take away some; {MOST_OPTIONS} are the most.")


def _title(floor: Floor) -> str:
    board, direction = floor
    return f"{board}, {next(word for word, way in WAYS.items() if way == direction)}"


def _ticks(catalogue: Catalogue, choices: Choices, surveyed: Direction) -> dict[str, TickGroup]:
    materials = choices.materials

    def first_two(names: Sequence[str], chosen: str) -> list[str]:
        return [chosen, *(name for name in names if name != chosen)][:2]

    way = next((words for words, direction in WAYS.items() if direction == surveyed), next(iter(WAYS)))
    boards, underlays, trims = list(catalogue.boards), list(catalogue.underlays), [NO_TRIM, *catalogue.trims]
    return {
        "boards": tick_group("Boards", boards, first_two(boards, materials.board), css_class="kit-weigh-board"),
        "underlays": tick_group(
            "Underlays", underlays, first_two(underlays, materials.underlay), css_class="kit-weigh-underlay"
        ),
        "trims": tick_group("Trims", trims, [materials.trim or NO_TRIM], css_class="kit-weigh-trim"),
        "ways": tick_group("Boards run", list(WAYS), [way], css_class="kit-weigh-way"),
    }


def _fields(rooms: Mapping[str, Room], choices: Choices, room: str | None) -> dict[str, Field]:
    columns = [("as ticked above", ""), *((head, column) for column, head in TABLE_HEADS.items())]
    weights = {
        f"weight of {point.name}": number_field(
            point.name.capitalize(),
            EVEN[point.name],
            (0, MOST_WEIGHT),
            unit="",
            tooltip=f"How much it counts that {point.name} is {point.wanted}.",
            css_class=f"kit-weight-{point.name.replace(' ', '-')}",
        )
        for point in POINTS
    }
    return {
        "room": room_field(rooms, room),
        "gap": gap_field(choices),
        "sort": choice_field("Best first by", columns, "", tooltip="Which column sorts.", css_class="kit-weigh-sort"),
        **weights,
    }


def _arranged(
    fields: Mapping[str, Field],
    ticks: Mapping[str, TickGroup],
    sheets: Sequence[Any],
    progress: ProgressLine,
    alert: Any,
) -> Any:
    pictures, table, weighing = sheets
    narrow = widgets.Layout(width="100%", max_width="460px", min_width="0")
    weights = [field.box for name, field in fields.items() if name.startswith("weight of")]
    box = widgets.VBox(
        [
            heading("What is compared"),
            widgets.VBox([fields["room"].box, fields["gap"].box], layout=narrow),
            *(group.box for group in ticks.values()),
            alert,
            progress.box,
            pictures,
            heading("Side by side"),
            widgets.VBox([fields["sort"].box], layout=narrow),
            table,
            heading("Weighed: how much does each thing count for you?"),
            widgets.VBox(weights, layout=narrow),
            weighing,
        ],
        layout=widgets.Layout(width="100%", overflow="hidden"),
    )
    box.add_class("kit-weigh-panel")
    return box
