"""Saved jobs: one JSON file that holds a room, the choices made for it and the products they were made from.

The keys of the file are the fields of the dataclasses, so a field added to a room or a product is saved and read
without a word here; where it has a default, files written before it existed still open. Beside `room`, `choices`
and `catalogue` stand `format`, the number of the layout of the file, and `kit`, the version that wrote it.
"""

from __future__ import annotations

import codecs
import importlib.metadata
import json
import math
import numbers
import os
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any

import numpy as np

from flooring_kit.checks import FaultsError, counted, nearest_hint, shown
from flooring_kit.choices import CHOICES_VERSION, Choices, Materials
from flooring_kit.files.record_reader import (
    BAD,
    LARGEST_WHOLE,
    MOST_DIGITS,
    MOST_FAULTS,
    JsonTable,
    Place,
    RecordReader,
    as_met,
    entry_place,
    fault_at,
    read_fields,
    shortened,
)
from flooring_kit.files.saving import save_whole
from flooring_kit.files.text import read_text
from flooring_kit.products import Catalogue
from flooring_kit.room import Room

FORMAT = 1
"""Raised when a key changes its meaning or its place; a new key with a default does not raise it."""

JOB_ENDING = ".job.json"
"""What the name of a saved job ends in; a habit, not a rule."""

LARGEST_JOB_BYTES = 5_000_000


@dataclass(frozen=True)
class Job:
    """A room, what was chosen for it, and the products to choose from: all that an estimate asks for.

    Parameters
    ----------
    room
        The survey.
    choices
        What was chosen.
    catalogue
        Products by name: at least those that the choices name.
    """

    room: Room
    choices: Choices
    catalogue: Catalogue

    def with_chosen_products_only(self) -> Job:
        """The same job, its catalogue cut down to the products the choices name.

        Raises
        ------
        ValueError
            For a name the catalogue does not hold, with the nearest that it holds.
        """
        names, products = self.choices.materials, self.catalogue
        trim = products.trim(names.trim)
        kept = replace(
            products,
            boards={names.board: products.board(names.board)},
            underlays={names.underlay: products.underlay(names.underlay)},
            trims={} if names.trim is None or trim is None else {names.trim: trim},
        )
        return replace(self, catalogue=kept)


def write_job(job: Job, path: str | os.PathLike[str]) -> None:
    """Save a job whole or not at all.

    The job is first read back from the text to be saved, so that no file is written that would not open. The text
    goes to a new file in the same folder, which then takes the old one's place in one step: whatever fails, the
    old file stays as it was and nothing is left beside it.

    Parameters
    ----------
    job
        What to save, its whole catalogue included; see :meth:`Job.with_chosen_products_only`. Lists in it are
        read back as the tuples they should have been.
    path
        The file, replaced if there is one; by habit its name ends in `JOB_ENDING`.

    Raises
    ------
    ValueError
        For a job that would not open again, with all its faults; for a folder or file that can't be written.

    Examples
    --------
    >>> import tempfile
    >>> from flooring_kit.files import demo_path, read_boards, read_room, read_underlays
    >>> products = Catalogue(read_boards(demo_path("boards.csv")), read_underlays(demo_path("underlays.csv")))
    >>> names = Materials(next(iter(products.boards)), next(iter(products.underlays)))
    >>> job = Job(read_room(demo_path("rooms", "hall.toml")), Choices(names), products)
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_job(job, f"{folder}/hall.job.json")
    ...     read_job(f"{folder}/hall.job.json") == job
    True
    """
    typed = os.fspath(path)
    content = _content_of(job, typed)
    save_whole(typed, content, what="the job", such_as=f"hall{JOB_ENDING}")


def read_job(path: str | os.PathLike[str]) -> Job:
    """A saved job, equal to the one that was saved.

    Parameters
    ----------
    path
        A file written by :func:`write_job` of this version of the kit or an earlier one.

    Raises
    ------
    FaultsError
        For anything wrong in the file, all at once; and for a file of a newer format.
    FileNotFoundError
        Where there is no such file; the message offers the nearest names in that folder.
    """
    typed = os.fspath(path)
    job, faults = _job_of(_parsed(typed, _text(typed)))
    if faults or job is None:
        raise FaultsError(typed, _most(faults))
    return job


def _most(faults: list[str]) -> list[str]:
    left = len(faults) - MOST_FAULTS
    return faults if left <= 0 else [*faults[:MOST_FAULTS], f"and {counted(left, 'more fault')}."]


def _kit_version() -> str:
    try:
        return importlib.metadata.version("flooring-kit")
    except importlib.metadata.PackageNotFoundError:
        return "unknown"


# --- from a job to the content of a file -------------------------------------------------------------------


def _content_of(job: Job, typed: str) -> bytes:
    """The file's content, proved to read back to the same job."""
    try:
        plain = _plain(job, ())
        text = json.dumps({"format": FORMAT, "kit": _kit_version(), **plain}, ensure_ascii=False, indent=2) + "\n"
        again, faults = _job_of(_parsed(typed, text))
        if again is not None and not faults and _plain(again, ()) != plain:
            faults = ["the job read back from the text to be saved is not the same job."]
        if not faults and len(text.encode()) > LARGEST_JOB_BYTES:
            faults = [f"the file would be larger than {LARGEST_JOB_BYTES / 1e6:g} MB. Keep the products chosen only."]
    except ValueError as slip:
        faults = [str(slip)]
    if faults:
        head = f"{typed}: {counted(len(faults), 'fault')} found, nothing was saved."
        raise ValueError("\n".join([head, *(f"  - {fault}" for fault in _most(faults))]))
    return text.encode()


def _plain(value: Any, place: Place) -> Any:
    """The value in what JSON knows: tables, lists, text, numbers, true, false, null."""
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: _plain(getattr(value, field.name), (*place, field.name)) for field in read_fields(value)}
    if isinstance(value, Mapping):
        nameless = next((key for key in value if not isinstance(key, str)), None)
        if nameless is not None:
            raise ValueError(fault_at(place, f"must have names that are text, got {shown(nameless)}."))
        return {str(key): _plain(item, entry_place(place, shown(key))) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(item, entry_place(place, number)) for number, item in enumerate(value, start=1)]
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, str):
        return str(value)
    if isinstance(value, numbers.Integral):
        if abs(int(value)) > LARGEST_WHOLE:
            raise ValueError(fault_at(place, "must be a whole number of at most 18 digits, got more."))
        return int(value)
    if isinstance(value, float | np.floating):  # NaN too: reading the text back puts it into words
        return float(value)
    raise ValueError(fault_at(place, f"is of a kind that can't be saved, {type(value).__name__}."))


# --- from a file to JSON -----------------------------------------------------------------------------------


def _whole(text: str) -> float:
    return int(text) if len(text) <= MOST_DIGITS else math.inf  # Python declines to read more than 4300 digits


def _text(typed: str) -> str:
    if not os.path.isfile(typed):
        return read_text(typed)  # it has the words for a missing file, a folder, a device
    try:
        with open(typed, "rb") as stream:
            content = stream.read(LARGEST_JOB_BYTES + 1)
    except OSError as slip:
        raise FaultsError(typed, [f"the file can't be opened: {slip.strerror}."]) from slip
    if len(content) > LARGEST_JOB_BYTES:
        fault = f"the file must be at most {LARGEST_JOB_BYTES / 1e6:g} MB. A saved job is far smaller."
        raise FaultsError(typed, [fault])
    content = content.removeprefix(codecs.BOM_UTF8)
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as slip:
        line = content.count(b"\n", 0, slip.start) + 1
        fault = f"line {line} is not UTF-8 text (byte 0x{content[slip.start]:02x}): the file is damaged there."
        raise FaultsError(typed, [fault]) from slip


def _parsed(typed: str, text: str) -> Any:
    if not text.strip():
        raise FaultsError(typed, ["the file is empty, so there is no job in it."])
    try:
        return json.loads(text, object_pairs_hook=JsonTable, parse_int=_whole)
    except json.JSONDecodeError as slip:
        # Python's own words change between its versions; the place does not
        if slip.pos >= len(text.rstrip()) or slip.msg.startswith("Unterminated string"):
            fault = f"the file breaks off in line {slip.lineno}: it was cut short."
        elif slip.msg == "Extra data":
            fault = f"line {slip.lineno}, column {slip.colno}: the job has ended, but the file goes on."
        else:
            fault = f"line {slip.lineno}, column {slip.colno} can't be read as JSON: the file is damaged there."
    except RecursionError:
        fault = "this is not a saved job: its brackets are nested too deeply."
    raise FaultsError(typed, [fault])


# --- from JSON to a job ------------------------------------------------------------------------------------


def _job_of(raw: Any) -> tuple[Job | None, list[str]]:
    """The job, or its faults."""
    if not isinstance(raw, JsonTable):
        return None, [f"this is not a saved job: it holds {as_met(raw)}, not a table of keys."]
    parts = [field.name for field in fields(Job)]
    if not raw.keys() & {"format", *parts}:
        return None, ["this is not a saved job: it has none of the keys format, kit, " + ", ".join(parts) + "."]
    number, kit, ours = raw.get("format"), raw.get("kit"), _kit_version()
    written_by = kit if isinstance(kit, str) and kit.isprintable() and len(kit) <= 40 else "unknown"
    if isinstance(number, int) and not isinstance(number, bool) and number > FORMAT:
        return None, [
            f"format {shown(number)} is newer than format {FORMAT}, the newest that this version of the kit ({ours}) "
            f"reads. The file was written by version {written_by}: open it with that version or a later one."
        ]
    elsewhere = ""
    if written_by != ours:
        elsewhere = f" The file was written by version {written_by} of the kit, this is version {ours}."
    reader = RecordReader(elsewhere)
    if "format" not in raw or isinstance(number, bool) or not isinstance(number, int) or number < 1:
        met = f", got {as_met(number)}" if "format" in raw else "; it is missing"
        reader.faults.append(f"format must be a whole number, 1 or more{met}.")
    if written_by != kit:
        met = f", got {as_met(kit)}" if "kit" in raw else "; it is missing"
        reader.faults.append(f"kit must be the version that wrote the file, as text{met}.")
    body = JsonTable((key, value) for key, value in raw.items() if key not in ("format", "kit"))
    body.repeated = raw.repeated
    job = reader.value(Job, body, ())
    faults = [*reader.faults, *_version_faults(raw), *_name_faults(raw)]
    return (None, faults) if faults or job is BAD else (job, [])


def _version_faults(raw: JsonTable) -> list[str]:
    version = _below(raw, "choices", "version")
    if not isinstance(version, int | float) or isinstance(version, bool) or 1 <= version <= CHOICES_VERSION:
        return []
    return [f"choices: version must be from 1 to {CHOICES_VERSION}, got {as_met(version)}."]


def _name_faults(raw: JsonTable) -> list[str]:
    """Chosen products that the file does not hold, found even where other parts have faults."""
    faults = []
    for field in fields(Materials):
        name = _below(raw, "choices", "materials", field.name)
        held = _below(raw, "catalogue", f"{field.name}s")
        if isinstance(name, str) and isinstance(held, Mapping) and name not in held:
            there = f"There are: {shortened(held)}." if held else "There are none."
            hint = nearest_hint(name[:200], held)
            faults.append(
                f"choices: materials: {field.name} must name one of the file's {field.name}s, got {shown(name)}. "
                f"{there}{hint}"
            )
    return faults


def _below(raw: Any, *keys: str) -> Any:
    for key in keys:
        raw = raw.get(key) if isinstance(raw, Mapping) else None
    return raw
