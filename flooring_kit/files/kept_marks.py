"""Mark sheets kept while they are worked on: one JSON file a trainee, among the user's own files.

Beside the fields of `KeptMarks` stands `format`. A line names its exercise by number and seed: where a later kit gives
the exercises other numbers, the format is raised.
"""

from __future__ import annotations

import hashlib
import json
import os
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from flooring_kit.checks import FaultsError, require_whole, shown
from flooring_kit.files.own_files import file_name, own_path
from flooring_kit.files.record_reader import BAD, MOST_FAULTS, JsonTable, RecordReader, as_met
from flooring_kit.files.saving import save_whole
from flooring_kit.files.text import read_text

FORMAT = 1
KEPT_ENDING = ".marks.json"
MOST_LINES = 5000
"""All exercises with two hundred sets of numbers each."""


@dataclass(frozen=True)
class KeptLine:
    """One exercise with its figures, as a mark sheet has it.

    Parameters
    ----------
    exercise, seed
        Which exercise, from 1, and what its figures were drawn from.
    attempts
        How often an answer was marked.
    hint_taken, answer_seen
        Whether the hint was taken, the worked answer seen.
    best
        Marks of the best attempt.
    last_answer
        The last answer as typed.
    slips
        Names of the slips met.
    """

    exercise: int
    seed: int
    attempts: int = 0
    hint_taken: bool = False
    answer_seen: bool = False
    best: int = 0
    last_answer: str = ""
    slips: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        require_whole(self.exercise, 1, 1000, "exercise")
        require_whole(self.seed, 0, 999_999, "seed")
        require_whole(self.attempts, 0, 1_000_000, "attempts")
        require_whole(self.best, 0, 10, "best")


@dataclass(frozen=True)
class KeptMarks:
    """A mark sheet as kept: whose it is, and its lines in the order they were begun."""

    trainee: str
    lines: tuple[KeptLine, ...]


def trainee_key(trainee: str) -> str:
    """What two spellings of one trainee's name have in common: capitals and spaces say nothing.

    >>> trainee_key(" Ann  example") == trainee_key("Ann Example")
    True
    """
    return " ".join(trainee.split()).casefold()


def kept_marks_path(trainee: str) -> Path:
    """Where the sheet of this trainee is kept; "" for a sheet that has no name yet.

    Two names that a file system would write alike still have a file each.
    """
    key = trainee_key(trainee)
    if not key:
        return own_path(f"mark sheet{KEPT_ENDING}")
    apart = hashlib.sha256(key.encode("utf-8", "surrogatepass")).hexdigest()[:8]
    return own_path(file_name(f"mark sheet, {key[:40]} {apart}", KEPT_ENDING))


def kept_marks_paths() -> list[Path]:
    """All sheets kept, the one last worked on first; those laid aside are not among them."""
    found = own_path("any").parent.glob(f"mark sheet*{KEPT_ENDING}")
    return sorted(found, key=lambda path: path.stat().st_mtime_ns, reverse=True)


def keep_marks(marks: KeptMarks) -> None:
    """Keep a sheet in its trainee's file, whole or not at all.

    Raises
    ------
    ValueError
        For a sheet that could not be read again, and for a folder or a file that can't be written.
    """
    text = json.dumps({"format": FORMAT, **asdict(marks)}, indent=1) + "\n"
    path = kept_marks_path(marks.trainee)
    _marks_of(os.fspath(path), text)
    save_whole(path, text.encode(), what="the mark sheet", such_as=f"mark sheet{KEPT_ENDING}")


def read_kept_marks(path: str | os.PathLike[str]) -> KeptMarks:
    """The mark sheet kept in a file.

    Raises
    ------
    FaultsError
        For a file that holds no mark sheet, a damaged one, or one of a newer format.
    FileNotFoundError
        Where there is no such file.
    """
    return _marks_of(os.fspath(path), read_text(path))


def _marks_of(typed: str, text: str) -> KeptMarks:
    raw = _parsed(typed, text)
    number = raw.get("format")
    if not raw.keys() >= {"format", "trainee", "lines"}:
        raise FaultsError(typed, ["this is no mark sheet: it needs the keys format, trainee and lines."])
    if isinstance(number, bool) or not isinstance(number, int) or number < 1:
        raise FaultsError(typed, [f"format must be a whole number, 1 or more, got {as_met(number)}."])
    if number > FORMAT:
        rule = f"format {shown(number)} is newer than format {FORMAT}, the newest that this version of the kit reads."
        raise FaultsError(typed, [rule])
    reader = RecordReader("", most_entries=MOST_LINES)
    body = JsonTable((key, value) for key, value in raw.items() if key != "format")
    body.repeated = raw.repeated
    marks = reader.value(KeptMarks, body, ())
    if reader.faults or marks is BAD:
        raise FaultsError(typed, reader.faults[:MOST_FAULTS])
    begun = [(line.exercise, line.seed) for line in marks.lines]
    twice = next((pair for pair in begun if begun.count(pair) > 1), None) if len(set(begun)) < len(begun) else None
    if twice:
        raise FaultsError(typed, [f"exercise {twice[0]} with seed {twice[1]} stands there twice."])
    return marks  # type: ignore[no-any-return]  # the reader makes what the hint says


def _parsed(typed: str, text: str) -> Any:
    if not text.strip():
        raise FaultsError(typed, ["the file is empty, so there is no mark sheet in it."])
    try:
        raw = json.loads(text, object_pairs_hook=JsonTable)
    except json.JSONDecodeError as slip:
        rule = f"line {slip.lineno} can't be read: the file is damaged or cut short there."
        raise FaultsError(typed, [rule]) from slip
    except (RecursionError, ValueError) as slip:
        raise FaultsError(typed, ["this is no mark sheet: it can't be read as JSON."]) from slip
    if not isinstance(raw, JsonTable):
        raise FaultsError(typed, [f"this is no mark sheet: it holds {as_met(raw)}, not a table of keys."])
    return raw
