"""The day on a phone: big buttons, one entry each, on disk before the next can be made."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets

from flooring_kit.as_laid import Day, as_laid, first_entry, job_fingerprint, replan
from flooring_kit.day_entries import (
    ENDS_KEPT,
    BoardDamaged,
    CameOut,
    Entry,
    InHand,
    LaidUpTo,
    OffcutLost,
    PieceSpoiled,
    RowLaid,
    RowMeasured,
    StartedWith,
    Undone,
)
from flooring_kit.day_sheet import day_html
from flooring_kit.files import DayLog, open_day_log
from flooring_kit.html_parts import sentences_html, sheet_html
from flooring_kit.panels.fields import Field, choice_field, guarded, number_field
from flooring_kit.setting_out import Plan

BUTTON_HEIGHT = "52px"
"""A gloved thumb hits this."""

FLOOR_DOWN = "The floor is down"


@dataclass(frozen=True)
class DayPanel:
    """The panel's handles.

    Parameters
    ----------
    box
        The panel itself: the last line of a notebook cell.
    plan
        The plan it was opened with.
    log
        The log it writes to.
    fields
        "piece", "length" and "end".
    buttons
        Every button by the sort of entry it makes, and "plan anew" and "undo".
    sheet, said, alert
        Where the day, what came of planning anew, and any trouble are shown.
    """

    box: Any
    plan: Plan
    log: DayLog
    fields: Mapping[str, Field]
    buttons: Mapping[str, Any]
    sheet: Any
    said: Any
    alert: Any

    @property
    def day(self) -> Day:
        """The day as the log tells it."""
        return as_laid(self.plan, self.log.entries)


def day_panel(
    plan: Plan, path: str | os.PathLike[str], *, name: str = "", boards_bought: int | None = None
) -> DayPanel:
    """Buttons for what happens while a floor is laid, and the day they make.

    Opened again on the same file, it stands where it stood.

    Parameters
    ----------
    plan
        A plan of the job: the log itself holds the one that is laid.
    path
        The log, begun if there is none.
    name
        What the job is called.
    boards_bought
        Boards bought, so that planning anew tells whether they do.
    """
    log = open_day_log(path, job=job_fingerprint(plan), name=name, first=first_entry(plan))
    fields = _fields(plan)
    sheet = widgets.HTML("", layout=widgets.Layout(width="100%", margin="0"))
    said = widgets.HTML(sentences_html(log.repairs))
    alert = widgets.HTML("", layout=widgets.Layout(display="none"))
    row_laid = _button("", "kit-row-laid", style="success")
    anew, undo = _button("Plan the rest anew", "kit-plan-anew"), _button("Undo the last entry", "kit-undo")

    def show(day: Day) -> None:
        waits = [label for label in day.plan.pieces["piece"] if label not in day.laid]
        piece = fields["piece"].control
        kept = piece.value if piece.value in waits else next(iter(waits), None)
        piece.options, piece.value = waits, kept
        row_laid.description = FLOOR_DOWN if day.next_row is None else f"Row {day.next_row} is laid"
        row_laid.disabled = day.next_row is None
        anew.disabled, undo.disabled = day.is_done, day.last_standing is None
        anew.button_style = "danger" if day.homeless else ""
        sheet.value = sheet_html(day_html(day))

    def take(entry: Entry) -> None:
        day = as_laid(plan, (*log.entries, entry))  # refused here, it never reaches the log
        log.append(entry)
        said.value = ""
        show(day)

    def made_by(make: Callable[[], Entry]) -> Callable[[Any], None]:
        return guarded(alert)(lambda _: take(make()))

    def piece() -> str:
        return str(fields["piece"].value)

    def length_mm() -> float:
        return float(fields["length"].value)

    def row() -> int:
        return int(plan_row(as_laid(plan, log.entries), piece()))

    makes: dict[str, tuple[str, Callable[[], Entry]]] = {
        "laid up to": ("Laid up to this piece", lambda: LaidUpTo(piece())),
        "came out": ("This piece came out at this length", lambda: CameOut(piece(), length_mm())),
        "piece spoiled": ("This piece is spoiled", lambda: PieceSpoiled(piece())),
        "board damaged": ("Its board is damaged", lambda: BoardDamaged(piece())),
        "offcut lost": ("Its offcut is lost", lambda: OffcutLost(piece())),
        "started with": ("Its row began with this length", lambda: StartedWith(row(), length_mm())),
        "row measured": ("Its row measured this length", lambda: RowMeasured(row(), length_mm())),
        "in hand": ("An offcut of this length is left", lambda: InHand(length_mm(), fields["end"].value)),
    }
    buttons = {name: _button(words, f"kit-{name.replace(' ', '-')}") for name, (words, _) in makes.items()}
    for kind, (_, make) in makes.items():
        buttons[kind].on_click(made_by(make))
    row_laid.on_click(made_by(lambda: RowLaid(as_laid(plan, log.entries).next_row or 0)))
    undo.on_click(made_by(lambda: Undone(as_laid(plan, log.entries).last_standing or 0)))

    @guarded(alert)
    def plan_anew(_: Any) -> None:
        found = replan(as_laid(plan, log.entries), boards_bought=boards_bought)
        take(found.entry())
        said.value = sentences_html(found.sentences())

    anew.on_click(plan_anew)
    show(as_laid(plan, log.entries))
    first, others = (
        widgets.Box(row, layout=widgets.Layout(flex_flow="row wrap", width="100%"))
        for row in ([row_laid, anew, undo], list(buttons.values()))
    )
    parts = [first, said, alert, sheet, *(field.box for field in fields.values()), others]
    box = widgets.VBox(parts, layout=widgets.Layout(width="100%", max_width="640px", overflow="hidden"))
    box.add_class("kit-day-panel")
    every = {"row laid": row_laid, **buttons, "plan anew": anew, "undo": undo}
    return DayPanel(box, plan, log, fields, every, sheet, said, alert)


def plan_row(day: Day, piece: str) -> int:
    """The row a piece lies in."""
    return int(day.plan.pieces.set_index("piece")["row"][piece])


def _fields(plan: Plan) -> dict[str, Field]:
    labels = list(plan.pieces["piece"])
    length = number_field(
        "Length",
        round(plan.board.length_mm),
        (1, 20_000),
        unit="mm",
        tooltip="What the tape says: of a piece, a row or an offcut.",
        css_class="kit-length",
    )
    length.slider.layout.display = "none"  # a length read off a tape is typed
    return {
        "piece": choice_field(
            "Piece", labels, labels[0], tooltip="The piece the buttons speak of.", css_class="kit-piece"
        ),
        "length": length,
        "end": choice_field(
            "Its end",
            list(ENDS_KEPT),
            ENDS_KEPT[0],
            tooltip="The factory end an offcut still has.",
            css_class="kit-end",
        ),
    }


def _button(words: str, css_class: str, *, style: str = "") -> Any:
    """A button wide and high enough for a thumb; two stand side by side where there is room."""
    layout = widgets.Layout(height=BUTTON_HEIGHT, flex="1 1 260px", width="auto", margin="4px")
    button = widgets.Button(description=words, button_style=style, layout=layout)
    button.style.font_size = "16px"
    button.add_class(css_class)
    return button
