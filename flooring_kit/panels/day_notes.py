"""The record's part of the day panel: what is written down for the file, and the record saved."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from flooring_kit.as_laid import Day, as_laid, record_json, record_tables
from flooring_kit.day_entries import (
    READINGS,
    BatchNoted,
    Entry,
    GapLeft,
    PhotoTaken,
    Reading,
    Remark,
    SparesDamaged,
)
from flooring_kit.files import DayLog, file_name, own_path, write_day_record, write_pdf
from flooring_kit.panels.fields import Field, choice_field, text_field, whole_field
from flooring_kit.panels.thumbs import thumb_button, thumb_fields
from flooring_kit.setting_out import Plan
from flooring_kit.site_sheets import day_record_pdf

KINDS: dict[str, tuple[tuple[str, ...], Callable[..., Entry]]] = {
    "batch number": (("batch", "packs"), BatchNoted),
    "reading": (("reading", "value", "where"), Reading),
    "gap as left": (("wall", "gap"), GapLeft),
    "photo": (("file", "shows"), PhotoTaken),
    "boards damaged in the pack": (("boards",), SparesDamaged),
    "remark": (("remark",), Remark),
}
"""Sorts of note: the fields each takes, in the order its entry takes them."""


@dataclass(frozen=True)
class NoteFields:
    """Fields that change with the sort of note.

    Parameters
    ----------
    box
        All of them; only those of the sort chosen are shown.
    kind
        The sort of note.
    fields
        Every field by name.
    button
        "Write it down".
    """

    box: Any
    kind: Field
    fields: Mapping[str, Field]
    button: Any

    def entry(self) -> Entry:
        """The entry the fields make; ComplainedError after a complaint under a field."""
        names, make = KINDS[self.kind.value]
        values = [self.fields[name].value for name in names]
        return make(*(value.strip() if isinstance(value, str) else value for value in values))


def note_fields(plan: Plan) -> NoteFields:
    """Fields for batches, readings, gaps as left, photos, damaged boards, remarks."""
    kind = choice_field(
        "Note", list(KINDS), next(iter(KINDS)), tooltip="What you want to write down.", css_class="kit-note-kind"
    )
    fields = _fields(plan)

    def show(_: Any = None) -> None:
        wanted = KINDS[kind.value][0]
        for name, field in fields.items():
            field.box.layout.display = "" if name in wanted else "none"

    kind.control.observe(show, "value")
    show()
    button = thumb_button("Write it down", "kit-note")
    box = thumb_fields([kind.box, *(field.box for field in fields.values())])
    return NoteFields(box, kind, fields, button)


def _fields(plan: Plan) -> dict[str, Field]:
    walls = list(range(1, len(plan.room.walls) + 1))
    readings = [(f"{name}, {kind.unit}", name) for name, kind in READINGS.items()]
    return {
        "batch": text_field("Batch", "", tooltip="The number printed on the pack.", css_class="kit-batch"),
        "packs": whole_field(
            "Packs", 1, (1, 1000), unit="packs", tooltip="Packs opened that have it.", css_class="kit-packs"
        ),
        "reading": choice_field(
            "Reading", readings, "flatness", tooltip="What was read, and its unit.", css_class="kit-reading"
        ),
        "value": whole_field(
            "Value", 0.0, (-20, 100), unit="in the unit above", tooltip="The figure read.", css_class="kit-value"
        ),
        "where": text_field("Where", "", tooltip="Such as: by the bay.", css_class="kit-where"),
        "wall": choice_field("Wall", walls, 1, tooltip="Numbered as in the survey.", css_class="kit-wall"),
        "gap": whole_field(
            "Gap left, mm",
            float(plan.rules.gap_mm),
            (0, 200),
            unit="mm",
            tooltip="From the boards to the wall.",
            css_class="kit-gap-left",
        ),
        "file": text_field("File name", "", tooltip="The photo's, such as IMG_2031.jpg.", css_class="kit-photo"),
        "shows": text_field("It shows", "", tooltip="Such as: the pipe by the door.", css_class="kit-shows"),
        "boards": whole_field(
            "Boards", 1, (1, 1000), unit="boards", tooltip="Damaged before any was sawn.", css_class="kit-damaged"
        ),
        "remark": text_field("Remark", "", tooltip="Anything else worth a line.", css_class="kit-remark"),
    }


@dataclass(frozen=True)
class RecordFiles:
    """The record of a job as it stands in its log, saved for the file and the customer.

    Parameters
    ----------
    plan, log
        A plan of the job, and its log.
    name
        What the job is called.
    boards_bought, kept_for_repairs
        As for :func:`flooring_kit.day_record_pdf`.
    folder
        Where files are saved; among the user's own files where None.
    """

    plan: Plan
    log: DayLog
    name: str
    boards_bought: int | None
    kept_for_repairs: int
    folder: str | os.PathLike[str] | None

    def save_pdf(self) -> Path:
        """Save the printed record; the path of the file."""
        pdf = day_record_pdf(
            self._day,
            name=self.name,
            times=self._times,
            boards_bought=self.boards_bought,
            kept_for_repairs=self.kept_for_repairs,
        )
        return write_pdf(pdf, self._path(".pdf"))

    def save_json(self) -> Path:
        """Save the record as JSON; the path of the file."""
        tables = record_tables(
            self._day,
            times=self._times,
            boards_bought=self.boards_bought,
            kept_for_repairs=self.kept_for_repairs,
        )
        path = self._path(".record.json")
        write_day_record(record_json(tables, name=self.name), path)
        return path

    @property
    def _day(self) -> Day:
        return as_laid(self.plan, self.log.entries)

    @property
    def _times(self) -> list[str]:
        return [one.at for one in self.log.logged]

    def _path(self, ending: str) -> Path:
        file = file_name(f"record, {self.name}", ending)
        return own_path(file) if self.folder is None else Path(self.folder) / file
