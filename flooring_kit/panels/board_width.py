"""Panel that moves the width and length of a board: the floor as it is, and as a slightly wider board would make it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

import ipywidgets as widgets
import pandas as pd

from flooring_kit.board_widths import settled_widths, width_steps, widths_between
from flooring_kit.checks import require_between
from flooring_kit.choices import Choices
from flooring_kit.drawing import small_plans_html
from flooring_kit.drawing.charts import figure_svg, width_chart
from flooring_kit.html_parts import sentences_html
from flooring_kit.panels.around_boards import board_field, gap_field, quick_plan, room_field
from flooring_kit.panels.fields import Field, guarded, heading, number_field
from flooring_kit.panels.progress import ProgressLine, progress_line
from flooring_kit.panels.pump import Pump
from flooring_kit.products import Board, Catalogue
from flooring_kit.room import Room
from flooring_kit.rules import LayingRules
from flooring_kit.setting_out import Plan, better_plans
from flooring_kit.weighing_sheet import wider_sentences

NARROWEST_MM, WIDEST_MM = 60, 400
EITHER_SIDE_MM, STEP_MM = 24, 2
"""How far the curve reaches on both sides of the board's width, and its step."""

DRAWN_EVERY = 5
"""Widths between two drawings of the curve: a chart takes longer than a plan."""


@dataclass(frozen=True)
class BoardWidthPanel:
    """The panel's handles.

    Parameters
    ----------
    box
        The panel itself: the last line of a notebook cell.
    fields
        room, board, width, length, wider, gap.
    pictures, told, curve, alert
        Where the two small plans, the sentences, the curve and any trouble are shown.
    progress
        How far the curve is, with a button that stops it.
    plans
        Call that gives the two plans shown: as asked, and wider.
    settle
        Call that finishes the curve at once.
    """

    box: Any
    fields: Mapping[str, Field]
    pictures: Any
    told: Any
    curve: Any
    alert: Any
    progress: ProgressLine
    plans: Callable[[], tuple[Plan, Plan]]
    settle: Callable[[], None]


@dataclass(frozen=True)
class Asked:
    """A board of any width in a room, and how much wider the other one is."""

    room: Room
    board: Board
    wider_mm: float
    rules: LayingRules

    @property
    def wider(self) -> Board:
        """The wider board, alike in all else."""
        return replace(self.board, width_mm=self.board.width_mm + self.wider_mm)

    @property
    def widths_mm(self) -> list[float]:
        """Widths of the curve."""
        low = max(NARROWEST_MM, self.board.width_mm - EITHER_SIDE_MM)
        high = min(WIDEST_MM, self.board.length_mm, self.wider.width_mm + EITHER_SIDE_MM)
        return widths_between(low, high, step_mm=STEP_MM)


def board_width_panel(
    rooms: Mapping[str, Room], catalogue: Catalogue, choices: Choices, *, room: str | None = None
) -> BoardWidthPanel:
    """A panel that moves a board's size.

    Parameters
    ----------
    rooms
        Surveyed rooms by name.
    catalogue
        Boards to begin from.
    choices
        What is chosen at the start.
    room
        The room shown first; the first of `rooms` where None.
    """
    fields = _fields(rooms, catalogue, choices, room)
    pictures, told, curve = (widgets.HTML("", layout=widgets.Layout(width="100%", margin="0")) for _ in range(3))
    alert = widgets.HTML("", layout=widgets.Layout(display="none"))
    shown: list[tuple[Plan, Plan]] = []

    def asked() -> Asked:
        width, length = float(fields["width"].value), float(fields["length"].value)
        fields["width"].require(lambda value: require_between(value, 1, length, "Width", unit="mm"))
        board = replace(catalogue.board(fields["board"].value), width_mm=width, length_mm=length)
        rules = replace(choices.laying.rules, gap_mm=fields["gap"].value)
        return Asked(rooms[fields["room"].value], board, float(fields["wider"].value), rules)

    def steps(now: Asked) -> Iterator[str | None]:
        """The curve, drawn now and then; then both plans searched to the end, marked on it."""
        widths = now.widths_mm
        table = pd.DataFrame()
        sweep = width_steps(now.room, now.board, widths, rules=now.rules, direction=now.room.boards_run)
        for done, table in enumerate(sweep, start=1):
            progress.at(f"{done} of {len(widths)} widths.", done, len(widths))
            yield _curve(table, now) if done % DRAWN_EVERY == 0 and done > 1 else None
        settled = []
        progress.at("Searching the two marked plans to the end.")
        for board in (now.board, now.wider):
            plan = quick_plan(now.room, board, now.rules)
            for plan in better_plans(now.room, board, rules=now.rules, direction=now.room.boards_run):  # noqa: B007
                yield None
            settled.append(plan)
        yield _curve(table, now, settled_widths(settled))

    def show(drawn: str | None) -> None:
        if drawn is not None:
            curve.value = drawn

    progress = progress_line(lambda: stop(), css_class="kit-width-stop")
    complete = "The curve is complete."
    pump: Pump[str | None] = Pump(show, lambda: progress.rest(complete), guarded(alert), rest_seconds=0.3)

    def stop() -> None:
        pump.cancel()
        progress.rest("Stopped: the curve is as far as it came.")

    def redraw(_: object = None) -> None:
        pump.cancel()
        now = asked()
        plans = [quick_plan(now.room, board, now.rules) for board in (now.board, now.wider)]
        shown[:] = [(plans[0], plans[1])]
        titles = [f"{plan.board.width_mm:g} mm wide: {plan.boards_needed} boards" for plan in plans]
        pictures.value = small_plans_html(list(zip(titles, plans, strict=True)), of=2)
        told.value = sentences_html(wider_sentences(*plans))
        pump.start(steps(now))

    on_change = guarded(alert)(redraw)

    def board_chosen(change: dict[str, Any]) -> None:
        """Its size into the sliders, without setting out between the two."""
        board = catalogue.board(change["new"])
        for name, size in (("width", board.width_mm), ("length", board.length_mm)):
            fields[name].control.unobserve(on_change, "value")
            fields[name].control.value = round(size)
            fields[name].control.observe(on_change, "value")
        on_change()

    for name, field in fields.items():
        field.control.observe(board_chosen if name == "board" else on_change, "value")
    on_change()
    narrow = widgets.Layout(width="100%", max_width="460px", min_width="0")
    box = widgets.VBox(
        [
            widgets.VBox([*(field.box for field in fields.values()), alert], layout=narrow),
            pictures,
            told,
            heading("Every width around it"),
            progress.box,
            curve,
        ],
        layout=widgets.Layout(width="100%", overflow="hidden"),
    )
    box.add_class("kit-width-panel")
    return BoardWidthPanel(box, fields, pictures, told, curve, alert, progress, lambda: shown[0], pump.drain)


def _curve(table: pd.DataFrame, now: Asked, settled: pd.DataFrame | None = None) -> str:
    marked = [now.board.width_mm, now.wider.width_mm]
    title = f"Boards, board area over the floor and narrowest strip against board width in {now.room.name}."
    figure = width_chart(table, marked_mm=marked, settled=settled)
    return f"<div style='max-width:720px'>{figure_svg(figure, title=title)}</div>"


def _fields(rooms: Mapping[str, Room], catalogue: Catalogue, choices: Choices, room: str | None) -> dict[str, Field]:
    board = catalogue.board(choices.materials.board)
    return {
        "room": room_field(rooms, room),
        "board": board_field(catalogue, choices),
        "width": number_field(
            "Width",
            round(board.width_mm),
            (NARROWEST_MM, WIDEST_MM - 30),
            unit="mm",
            tooltip="Face width of the board, lock excluded.",
            css_class="kit-width",
        ),
        "length": number_field(
            "Length",
            round(board.length_mm),
            (400, 2600),
            unit="mm",
            tooltip="Face length of the board.",
            css_class="kit-length",
            step=10,
        ),
        "wider": number_field(
            "Wider by",
            5,
            (1, 30),
            unit="mm",
            tooltip="How much wider the other board is.",
            css_class="kit-wider",
        ),
        "gap": gap_field(choices),
    }
