"""The log of a day: one line an entry, on disk before the next is taken, never changed afterwards.

Every line is a JSON object that ends in a check sum over itself and the line before, so that a line lost, moved or
changed by hand is noticed. The first line names the job. Every few entries a copy is put beside the log, whole or not
at all.
"""

from __future__ import annotations

import datetime
import hashlib
import importlib.metadata
import json
import os
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from flooring_kit.checks import FaultsError, counted, nearest_hint, shown
from flooring_kit.day_entries import ENTRY_NAMES, Entry, entry_name
from flooring_kit.files.record_reader import BAD, JsonTable, RecordReader
from flooring_kit.files.saving import save_whole
from flooring_kit.files.text import read_text

FORMAT = 1
"""Raised when an entry changes its meaning; a new sort of entry raises it too."""

LOG_ENDING = ".day.jsonl"
"""What the name of a log ends in; a habit, not a rule."""

COPY_ENDING = ".copy"
ENTRIES_A_COPY = 10
LARGEST_LOG_BYTES = 20_000_000
MOST_PLACES = 20_000
NO_LINE_END = b"\n"
"""Stands for the one thing that a last line lacks which is whole otherwise."""

SUM_DIGITS = 16


@dataclass(frozen=True)
class Logged:
    """An entry as it stands in the log.

    Parameters
    ----------
    number
        From 1.
    at
        When it was made, as "2026-05-14T10:32:07".
    entry
        The entry.
    """

    number: int
    at: str
    entry: Entry


class DayLog:
    """A log that is open: entries are added at its end and nowhere else.

    Attributes
    ----------
    path : Path
        The file.
    job, name : str
        Fingerprint of the job, and what it is called.
    logged : tuple of Logged
        All entries, undone or not.
    repairs : tuple of str
        What was mended when the log was opened.
    copy_trouble : str
        Why the last copy could not be put beside the log; "" where it could. The entries are in the log all the same,
        and the next entry tries again.
    """

    def __init__(self, path: Path, lines: _Lines, repairs: tuple[str, ...] = ()) -> None:
        self.path, self.job, self.name = path, lines.job, lines.name
        self.logged, self.repairs = tuple(lines.logged), repairs
        self.copy_trouble = ""
        self._last_sum, self._size = lines.last_sum, lines.size

    @property
    def entries(self) -> tuple[Entry, ...]:
        """The entries alone, as :func:`flooring_kit.as_laid.as_laid` takes them."""
        return tuple(one.entry for one in self.logged)

    def append(self, entry: Entry, *, at: str | None = None) -> int:
        """Add an entry; it is on disk when this returns. Its number.

        A copy that can't be written is no reason to refuse an entry that is on disk: `copy_trouble` tells of it.

        Parameters
        ----------
        entry
            What happened.
        at
            When, as "2026-05-14T10:32:07"; now where None.

        Raises
        ------
        ValueError
            Where the file can't be written, or somebody else has written to it since.
        """
        number = len(self.logged) + 1
        when = at or _now()
        text, total = _line({"n": number, "at": when, "entry": entry_name(entry), **asdict(entry)}, self._last_sum)
        content = text.encode()
        try:
            self._write(content)
        except OSError as slip:
            reason = slip.strerror or str(slip)
            raise ValueError(
                f"{self.path}: entry {number} was not saved: {reason}. Everything before it is safe. Make room, then "
                "make the entry again."
            ) from slip
        self._last_sum, self._size = total, self._size + len(content)
        self.logged = (*self.logged, Logged(number, when, entry))
        if number % ENTRIES_A_COPY == 0 or self.copy_trouble:
            self._try_copy()
        return number

    def _try_copy(self) -> None:
        try:
            self.put_copy()
        except (OSError, ValueError) as slip:
            self.copy_trouble = f"Every entry is safe in the log, but its copy was not renewed. {slip}"
        else:
            self.copy_trouble = ""

    def _write(self, content: bytes) -> None:
        with open(self.path, "r+b") as stream:
            size = stream.seek(0, os.SEEK_END)
            if size != self._size:
                raise ValueError(
                    f"{self.path}: the log was written to by something else since it was opened, so nothing was added. "
                    "Open it again, and keep it open in one place only."
                )
            try:
                stream.write(content)
                stream.flush()
                os.fsync(stream.fileno())
            except OSError:
                with suppress(OSError):
                    stream.truncate(self._size)
                raise

    def put_copy(self) -> None:
        """Put a copy of the whole log beside it, in one step."""
        content = self.path.read_bytes()[: self._size]
        save_whole(_copy_of(self.path), content, what="the copy of the log", such_as=f"hall{LOG_ENDING}{COPY_ENDING}")


def open_day_log(
    path: str | os.PathLike[str], *, job: str, name: str = "", first: Entry | None = None, at: str | None = None
) -> DayLog:
    """The log of a job, where it stood; a new one where there is none.

    A last line that is cut off was never confirmed: it is dropped, the file as found is kept beside the log, and
    `repairs` says so.

    Parameters
    ----------
    path
        The file; by habit its name ends in `LOG_ENDING`.
    job
        What tells this job from others: :func:`flooring_kit.as_laid.job_fingerprint`.
    name
        What the job is called.
    first
        The entry a new log begins with: the plan itself, :func:`flooring_kit.as_laid.first_entry`, so that the log
        can be read by any later version of the kit.
    at
        When a new log is begun; now where None.

    Raises
    ------
    FaultsError
        For a log of another job, of a newer version, changed by hand or damaged, or missing where its copy is there;
        all files stay as they are.
    ValueError
        Where a new log can't be written.
    """
    typed = os.fspath(path)
    place = Path(os.path.realpath(typed))
    if not place.exists():
        _require_no_copy(typed, place)
        when = at or _now()
        head = {"log": "as laid", "format": FORMAT, "kit": _kit_version(), "job": job, "name": name, "begun": when}
        text, total = _line(head, "")
        if first is not None:
            text += _line({"n": 1, "at": when, "entry": entry_name(first), **asdict(first)}, total)[0]
        save_whole(typed, text.encode(), what="the log", such_as=f"hall{LOG_ENDING}")
        _sync_folder(place.parent)
    lines = _read(typed, place)
    if lines.job != job:
        raise FaultsError(
            typed,
            [
                f"this is the log of another job ({shown(lines.name)}, {lines.job}), not of {shown(name)}, {job}. "
                "Open the job it belongs to, or begin a new log under another name."
            ],
        )
    if not lines.rest:
        return DayLog(place, lines)
    kept = _keep_aside(place, "cut")
    save_whole(typed, lines.whole, what="the log", such_as=f"hall{LOG_ENDING}")
    return DayLog(place, lines, (_cut_off_words(lines, kept),))


def read_day_log(path: str | os.PathLike[str]) -> tuple[tuple[Logged, ...], tuple[str, ...]]:
    """The entries of a log and what is wrong at its end; nothing is written.

    Raises
    ------
    FaultsError
        As :func:`open_day_log`.
    FileNotFoundError
        Where there is no such file.
    """
    typed = os.fspath(path)
    lines = _read(typed, Path(os.path.realpath(typed)))
    return tuple(lines.logged), (_cut_off_words(lines, None),) if lines.rest else ()


def recover_day_log(path: str | os.PathLike[str]) -> str:
    """Put a log back to the last entry that is sound, in it or in its copy; a sentence that says what was done.

    The file as found is kept beside it. A log that is missing comes back from its copy alone.

    Raises
    ------
    ValueError
        Where neither the log nor its copy has a sound first line, where one is not the beginning of the other, or where
        another version of the kit wrote what this one can't read. Nothing is changed then.
    """
    typed = os.fspath(path)
    place = Path(os.path.realpath(typed))
    found = [lines for lines in (_sound_part(typed, file) for file in (place, _copy_of(place))) if lines is not None]
    if not found:
        raise ValueError(f"{typed}: neither this file nor its copy begins like a log of the kit; nothing was changed.")
    best = max(found, key=lambda lines: lines.size)
    if not all(best.whole.startswith(lines.whole) for lines in found):
        raise ValueError(
            f"{typed}: {_how_they_differ(*found, copy=_copy_of(place))} Nothing was changed. Move the one you do not "
            "want to another folder, then call recover_day_log again."
        )
    kept = _keep_aside(place, "damaged") if place.exists() else None
    save_whole(typed, best.whole, what="the log", such_as=f"hall{LOG_ENDING}")
    aside = "" if kept is None else f" The file as it was is kept as {kept.name}."
    return f"{typed}: {counted(len(best.logged), 'sound entry', 'sound entries')} taken back.{aside}"


def _how_they_differ(log: _Lines, other: _Lines, *, copy: Path) -> str:
    """Why a log and what stands as its copy are not one log, as a sentence."""
    if log.job != other.job:
        return (
            f"this log is of {shown(log.name)}, {log.job}, and its copy, {copy.name}, is of another job "
            f"({shown(other.name)}, {other.job})."
        )
    pairs = zip(log.whole.splitlines(), other.whole.splitlines(), strict=False)
    apart = next(number for number, (one, two) in enumerate(pairs) if one != two)
    where = f"differ from entry {apart} on" if apart else "were begun apart: their first lines differ"
    return f"this log and its copy, {copy.name}, {where}."


def write_day_record(text: str, path: str | os.PathLike[str]) -> None:
    """Save the record of a floor, from :func:`flooring_kit.as_laid.record_json`, whole or not at all.

    Raises
    ------
    ValueError
        For a folder or file that can't be written.
    """
    save_whole(path, text.encode(), what="the record", such_as="hall.record.json")


# ---------------------------------------------------------------------- lines


class _Lines:
    """The lines of a log that are whole, and what comes after them."""

    def __init__(self) -> None:
        self.job, self.name, self.last_sum = "", "", ""
        self.logged: list[Logged] = []
        self.whole, self.rest = b"", b""
        self.foreign = False

    @property
    def size(self) -> int:
        return len(self.whole)


class _LineFaultError(Exception):
    """Why a line is not sound; `torn`: it can't even be read as JSON; `foreign`: another version wrote it so."""

    def __init__(self, words: str, *, torn: bool = False, foreign: bool = False) -> None:
        super().__init__(words)
        self.torn, self.foreign = torn, foreign


def _line(fields: dict[str, Any], before: str) -> tuple[str, str]:
    """The line with its sum, and the sum."""
    body = json.dumps(fields, ensure_ascii=False, separators=(", ", ": "))
    total = _sum(before, body)
    return f'{body[:-1]}, "sum": "{total}"}}\n', total


def _sum(before: str, body: str) -> str:
    return hashlib.sha256((before + body).encode()).hexdigest()[:SUM_DIGITS]


def _taken_apart(line: bytes, before: str) -> tuple[JsonTable, str]:
    """The line's fields without its sum, and the sum."""
    try:
        text = line.decode()
        fields = json.loads(text, object_pairs_hook=JsonTable)
    except (ValueError, RecursionError) as slip:
        raise _LineFaultError("can't be read: it is damaged.", torn=True) from slip
    tail = f', "sum": "{fields.get("sum")}"}}' if isinstance(fields, JsonTable) else ""
    if (
        not tail
        or fields.repeated
        or not text.endswith(tail)
        or _sum(before, f"{text.removesuffix(tail)}}}") != fields["sum"]
    ):
        raise _LineFaultError("has been changed by hand, or a line before it has been taken out: its sum is not right.")
    return fields, str(fields.pop("sum"))


def _read(typed: str, place: Path) -> _Lines:
    """The log's whole lines; what is cut off at its end in `rest`."""
    content = _content(typed, place)
    lines, fault = _parsed(content)
    if fault:
        copy = f" {_copy_of(place).name} is an earlier copy." if _copy_of(place).exists() else ""
        way_back = (
            f" recover_day_log puts the log back to its last sound entry.{copy}"
            if lines.job and not lines.foreign
            else ""
        )
        raise FaultsError(typed, [fault + way_back])
    return lines


def _content(typed: str, place: Path) -> bytes:
    if not place.is_file():
        read_text(typed)  # it has the words for a missing file, a folder, a device
    try:
        content = place.read_bytes()
    except OSError as slip:
        raise FaultsError(typed, [f"the file can't be opened: {slip.strerror}."]) from slip
    if len(content) > LARGEST_LOG_BYTES:
        raise FaultsError(typed, [f"the file must be at most {LARGEST_LOG_BYTES / 1e6:g} MB. A log is far smaller."])
    return content


def _parsed(content: bytes) -> tuple[_Lines, str]:
    """The sound lines from the first on, and the first fault that is more than a line cut off at the end."""
    found = _Lines()
    parts = content.split(b"\n")
    for number, line in enumerate(parts, start=1):
        if number == len(parts) and not line:
            break
        try:
            fields, total = _taken_apart(line, found.last_sum)
            if number == 1:
                _take_head(found, fields)
            else:
                found.logged.append(_entry_of(fields, number - 1))
        except _LineFaultError as slip:
            found.foreign = slip.foreign
            if number == 1:
                return found, _NO_LOG if slip.torn else f"line 1 {slip}"
            if slip.torn and not any(parts[number:]):
                found.rest = content[len(found.whole) :]
                return found, ""
            return found, f"line {number} {slip}"
        found.whole += line + b"\n"
        found.last_sum = total
        if number == len(parts):
            found.rest = NO_LINE_END
    return found, "" if found.job else _NO_LOG


_NO_LOG = "this is not the log of a day: its first line does not say so."


def _take_head(found: _Lines, fields: JsonTable) -> None:
    if fields.get("log") != "as laid" or not isinstance(fields.get("job"), str):
        raise _LineFaultError("is not the first line of the log of a day.")
    number = fields.get("format")
    if not isinstance(number, int) or isinstance(number, bool) or not 1 <= number <= FORMAT:
        raise _LineFaultError(
            f"says format {shown(number)}; this version of the kit ({_kit_version()}) reads up to format {FORMAT}. "
            f"The log was begun by version {shown(fields.get('kit'))}: open it with that version or a later one.",
            foreign=True,
        )
    found.job, found.name = str(fields["job"]), str(fields.get("name", ""))


def _entry_of(fields: JsonTable, number: int) -> Logged:
    """The entry of a line whose sum is right; what is wrong with it then was written so by another version."""
    kind = ENTRY_NAMES.get(str(fields.get("entry")))
    if kind is None:
        hint = nearest_hint(str(fields.get("entry")), ENTRY_NAMES)
        raise _LineFaultError(
            f"holds an entry this version does not know, {shown(fields.get('entry'))}.{hint}", foreign=True
        )
    if fields.get("n") != number or not isinstance(fields.get("at"), str):
        raise _LineFaultError(f"should be entry {number}, it says {shown(fields.get('n'))}.", foreign=True)
    body = JsonTable((key, value) for key, value in fields.items() if key not in ("n", "at", "entry"))
    reader = RecordReader(" Another version of the kit wrote the log.", most_entries=MOST_PLACES)
    entry = reader.value(kind, body, (f"entry {number}",))
    if entry is BAD:
        raise _LineFaultError(f"can't be taken: {' '.join(reader.faults)}", foreign=True)
    return Logged(number, fields["at"], entry)


def _sound_part(typed: str, file: Path) -> _Lines | None:
    """The sound lines of a log or its copy; None for what is missing or no log. ValueError for another version's."""
    try:
        lines, fault = _parsed(_content(typed, file))
    except (FaultsError, FileNotFoundError):
        return None
    if lines.foreign:
        raise ValueError(f"{typed}: in {file.name}, {fault} Nothing was changed.")
    return lines if lines.job else None


# ---------------------------------------------------------------------- files beside the log


def _copy_of(place: Path) -> Path:
    return place.with_name(place.name + COPY_ENDING)


def _require_no_copy(typed: str, place: Path) -> None:
    """A copy without its log is a day somebody still wants; a new log would write over it."""
    copy = _copy_of(place)
    if copy.exists():
        raise FaultsError(
            typed,
            [
                f"the log is missing, but its copy is there, {copy.name}. recover_day_log takes the entries back from "
                "the copy. To begin afresh, give the log another name."
            ],
        )


def _keep_aside(place: Path, why: str) -> Path:
    """Keep the file as it is under a name not yet taken."""
    number = 1
    while True:
        aside = place.with_name(f"{place.name}.{why}-{number}")
        if not aside.exists():
            break
        number += 1
    save_whole(aside, place.read_bytes(), what="the log as found", such_as=f"hall{LOG_ENDING}.{why}-1")
    return aside


def _cut_off_words(lines: _Lines, kept: Path | None) -> str:
    number = len(lines.logged) + 1
    if lines.rest == NO_LINE_END:
        return f"entry {number - 1} is whole, but its line had no end; it counts."
    aside = "" if kept is None else f" The file as it was is kept as {kept.name}."
    return (
        f"entry {number} was cut off while it was being written and had not been confirmed; it is left out, and the "
        f"log stands at entry {number - 1}.{aside}"
    )


def _sync_folder(folder: Path) -> None:
    """Have the folder remember a new file's name; where a system knows no such thing, nothing is lost by it."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _now() -> str:
    return datetime.datetime.now().astimezone().isoformat(timespec="seconds")


def _kit_version() -> str:
    try:
        return importlib.metadata.version("flooring-kit")
    except importlib.metadata.PackageNotFoundError:
        return "unknown"
