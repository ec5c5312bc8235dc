"""The record's part of the day panel: what is written down for the file, and the record saved."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets

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
from flooring_kit.panels.fields import Field, choice_field, text_field, whole_field
from flooring_kit.panels.thumbs import thumb_button
from flooring_kit.setting_out import Plan

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
    box = widgets.VBox([kind.box, *(field.box for field in fields.values())], layout=widgets.Layout(width="100%"))
    return NoteFields(box, kind, fields, button)


def _fields(plan: Plan) -> dict[str, Field]:
    walls = list(range(1, len(plan.room.walls) + 1))
    readings = [(f"{name}, {unit}", name) for name, (unit, _, _) in READINGS.items()]
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
