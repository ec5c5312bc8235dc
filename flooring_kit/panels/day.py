"""The day on a phone: big buttons, one entry each, on disk before the next can be made."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets

from flooring_kit.as_laid import (
    LEAST,
    Day,
    Replanned,
    as_laid,
    entry_words,
    first_entry,
    job_fingerprint,
    replan,
)
from flooring_kit.checks import counted
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
from flooring_kit.panels.day_notes import NoteFields, RecordFiles, note_fields
from flooring_kit.panels.fields import (
    Field,
    choice_field,
    complain,
    complaint_line,
    guarded,
    heading,
    number_field,
    tell,
    whole_field,
)
from flooring_kit.panels.thumbs import thumb_button, thumb_fields, thumb_row
from flooring_kit.setting_out import Plan

FLOOR_DOWN = "The floor is down"
PLAN_ANEW = "Plan the rest anew: the buttons are at the top."
BEGINS_READ = (
    "Begins is for a row measured: 3 where it begins 3 mm further into the room than planned, -3 further back."
)
PARTS = ("laying", "happened", "record")
"""Parts of the panel, each with its own line and alert: what is pressed at the bottom is answered there."""


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
        "piece", "length", "begins" and "end".
    buttons
        Every button by the sort of entry it makes, and "plan anew", "keep list", "undo", "note", "save pdf",
        "save json".
    notes
        Fields for what is written down for the record.
    sheet
        Where the day is shown.
    lines, alerts
        What was written down or saved, and any trouble, under the buttons of each of `PARTS`.
    """

    box: Any
    plan: Plan
    log: DayLog
    fields: Mapping[str, Field]
    buttons: Mapping[str, Any]
    notes: NoteFields
    sheet: Any
    lines: Mapping[str, Any]
    alerts: Mapping[str, Any]

    @property
    def day(self) -> Day:
        """The day as the log tells it."""
        return as_laid(self.plan, self.log.entries)


def day_panel(
    plan: Plan,
    path: str | os.PathLike[str],
    *,
    name: str = "",
    boards_bought: int | None = None,
    kept_for_repairs: int = 0,
    folder: str | os.PathLike[str] | None = None,
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
        What the job is called; the room's name where empty.
    boards_bought
        Boards bought, so that planning anew tells whether they do.
    kept_for_repairs
        Boards the customer keeps, for the record.
    folder
        Where the record is saved; among the user's own files where None.
    """
    name = name or plan.room.name
    log = open_day_log(path, job=job_fingerprint(plan), name=name, first=first_entry(plan))
    fields, notes = _fields(plan), note_fields(plan)
    sheet = widgets.HTML("", layout=widgets.Layout(width="100%", margin="0"))
    sheet.add_class("kit-day-sheet")
    lines = {part: widgets.HTML("") for part in PARTS}
    alerts = {part: complaint_line() for part in PARTS}
    lines["laying"].value = sentences_html(log.repairs)
    row_laid = thumb_button("", "kit-row-laid", style="success")
    anew = thumb_button("Plan the rest anew", "kit-plan-anew")
    keep_list = thumb_button("Plan anew, list kept", "kit-keep-list")
    undo = thumb_button("Undo the last entry", "kit-undo")

    def now() -> Day:
        return as_laid(plan, log.entries)

    def show(day: Day) -> None:
        waits = [label for label in day.plan.pieces["piece"] if label not in day.laid]
        piece = fields["piece"].control
        kept = piece.value if piece.value in waits else next(iter(waits), None)
        piece.options, piece.value = waits, kept
        row_laid.description = FLOOR_DOWN if day.next_row is None else f"Row {day.next_row} is laid"
        row_laid.disabled = day.next_row is None
        anew.disabled = keep_list.disabled = day.is_done
        undo.disabled = day.last_standing is None
        anew.button_style = keep_list.button_style = "danger" if day.homeless else ""
        sheet.value = sheet_html(day_html(day))

    def clear() -> None:
        for part in PARTS:
            tell(lines[part], "")
            complain(alerts[part], "")

    def take(entry: Entry, part: str) -> None:
        day = as_laid(plan, (*log.entries, entry))  # refused here, it never reaches the log
        log.append(entry)
        if isinstance(entry, RowMeasured):
            fields["begins"].control.value = 0.0  # where one row begins says nothing of the next
        stuck = f" {PLAN_ANEW}" if day.homeless else ""
        copy = f" {log.copy_trouble}" if log.copy_trouble else ""
        tell(lines[part], f"Written down: {entry_words(entry)}{stuck}{copy}")
        show(day)

    def on_press(button: Any, part: str, act: Callable[[], None]) -> None:
        @guarded(alerts[part])
        def run(_: Any) -> None:
            clear()
            act()

        button.on_click(run)

    def pressed(button: Any, part: str, make: Callable[[], Entry]) -> None:
        on_press(button, part, lambda: take(make(), part))

    happenings = _happenings(fields, now)
    buttons = {kind: thumb_button(words, f"kit-{kind.replace(' ', '-')}") for kind, (words, _) in happenings.items()}
    for kind, (_, make) in happenings.items():
        pressed(buttons[kind], "happened", make)
    pressed(row_laid, "laying", lambda: RowLaid(now().next_row or 0))
    pressed(undo, "laying", lambda: Undone(now().last_standing or 0))
    pressed(notes.button, "record", notes.entry)

    def plan_anew(least: str) -> None:
        ways = {each: replan(now(), boards_bought=boards_bought, least=each) for each in LEAST}
        found = ways.pop(least)
        take(found.entry(), "laying")
        copy = [log.copy_trouble] if log.copy_trouble else []
        told = [*found.sentences(), *_other_way(found, *ways.values()), *found.change_sentences(), *copy]
        lines["laying"].value = f"<div role='status'>{sentences_html(told)}</div>"

    on_press(anew, "laying", lambda: plan_anew("boards"))
    on_press(keep_list, "laying", lambda: plan_anew("changes"))
    record = RecordFiles(plan, log, name, boards_bought, kept_for_repairs, folder)
    save_pdf = thumb_button("Save the record as PDF", "kit-save-pdf")
    save_json = thumb_button("Save the record as JSON", "kit-save-json")
    on_press(save_pdf, "record", lambda: tell(lines["record"], f"Saved: {record.save_pdf()}"))
    on_press(save_json, "record", lambda: tell(lines["record"], f"Saved: {record.save_json()}"))
    show(now())
    parts = [
        *(thumb_row([row_laid, anew, keep_list, undo]), lines["laying"], alerts["laying"], sheet),
        *(heading("Something else happened"), thumb_fields([field.box for field in fields.values()])),
        widgets.HTML(f"<p style='margin:4px 0;line-height:1.4'>{BEGINS_READ}</p>"),
        *(thumb_row(list(buttons.values())), lines["happened"], alerts["happened"]),
        *(heading("For the record"), notes.box, thumb_row([notes.button])),
        *(thumb_row([save_pdf, save_json]), lines["record"], alerts["record"]),
    ]
    box = widgets.VBox(parts, layout=widgets.Layout(width="100%", max_width="640px", overflow="hidden"))
    box.add_class("kit-day-panel")
    every = {
        "row laid": row_laid,
        **buttons,
        "plan anew": anew,
        "keep list": keep_list,
        "undo": undo,
        "note": notes.button,
    }
    every |= {"save pdf": save_pdf, "save json": save_json}
    return DayPanel(box, plan, log, fields, every, notes, sheet, lines, alerts)


def _other_way(taken: Replanned, other: Replanned) -> list[str]:
    """What planning anew the other way would have come to, where that is another plan; one sentence, or none."""
    if (taken.boards_in_all, len(taken.changes)) == (other.boards_in_all, len(other.changes)):
        return []
    boards, pieces = counted(other.boards_in_all, "board"), counted(len(other.changes), "piece")
    return [f"The other way would take {boards} and change {pieces}: undo this and press the other button to have it."]


def _happenings(fields: Mapping[str, Field], now: Callable[[], Day]) -> dict[str, tuple[str, Callable[[], Entry]]]:
    """What can happen beside laying a row: the words on its button, and the entry the fields make of it."""

    def piece() -> str:
        return str(fields["piece"].value)

    def length_mm() -> float:
        return float(fields["length"].value)

    def started() -> Entry:
        row, stretch = now().row_and_stretch(piece())
        return StartedWith(row, length_mm(), stretch)

    def measured() -> Entry:
        row, stretch = now().row_and_stretch(piece())
        return RowMeasured(row, length_mm(), starts_mm=float(fields["begins"].value), run=stretch)

    return {
        "laid up to": ("Laid up to this piece", lambda: LaidUpTo(piece())),
        "came out": ("This piece came out this long", lambda: CameOut(piece(), length_mm())),
        "piece spoiled": ("This piece is spoiled", lambda: PieceSpoiled(piece())),
        "board damaged": ("Its board is damaged", lambda: BoardDamaged(piece())),
        "offcut lost": ("Its offcut is lost", lambda: OffcutLost(piece())),
        "started with": ("Its row began with this length", started),
        "row measured": ("Its row measured this long", measured),
        "in hand": ("An offcut this long is left", lambda: InHand(length_mm(), fields["end"].value)),
    }


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
        "begins": whole_field(
            "Begins, mm",
            0.0,
            (-500, 500),
            unit="mm",
            tooltip="Of a row measured, against the plan: 3 where the wall at its start stands 3 mm further into the "
            "room, -3 where it stands back, 0 where it is as planned.",
            css_class="kit-row-begins",
        ),
        "end": choice_field(
            "Its end",
            list(ENDS_KEPT),
            ENDS_KEPT[0],
            tooltip="The factory end an offcut still has.",
            css_class="kit-end",
        ),
    }
