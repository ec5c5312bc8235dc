"""Mark sheets kept on disk at every mark, one a trainee, and taken up again in the next sitting."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

from flooring_kit.files import (
    KeptLine,
    KeptMarks,
    keep_marks,
    kept_marks_path,
    kept_marks_paths,
    laid_aside,
    read_kept_marks,
)
from flooring_kit.workbook import MarkLine, MarkSheet, exercise


def last_worked_on() -> tuple[MarkSheet, str]:
    """The sheet last worked on, blank where none is kept, and why others could not be read, or "".

    A file that can't be read is laid aside under another name, not lost.
    """
    told = []
    for path in kept_marks_paths():
        sheet, words = _read(path)
        if words:
            told.append(words)
        else:
            return sheet, " ".join(told)
    return MarkSheet(), " ".join(told)


def kept_sheet(trainee: str) -> tuple[MarkSheet, str]:
    """The sheet kept for a trainee, blank where there is none, and why it could not be read, or ""."""
    path = kept_marks_path(trainee)
    return _read(path, trainee) if path.exists() else (MarkSheet(trainee), "")


def keep_sheet(sheet: MarkSheet) -> None:
    """Keep a sheet under its trainee's name; nothing where there is nothing on it.

    Raises
    ------
    ValueError
        For a folder or a file that can't be written.
    """
    if sheet.lines:
        keep_marks(KeptMarks(sheet.trainee, tuple(map(_kept_line, sheet.lines))))


def no_longer_kept(trainee: str) -> None:
    """Take away a kept sheet whose marks now stand in another one."""
    with suppress(OSError):
        kept_marks_path(trainee).unlink()


def nameless_laid_aside() -> str:
    """Lay aside a sheet without a name, so that a new one takes its place; what was done, or ""."""
    path = kept_marks_path("")
    if not path.exists():
        return ""
    return f"The sheet without a name was laid aside as {_aside(path, word='earlier')}."


def _aside(path: Path, *, word: str) -> Path:
    try:
        return laid_aside(path, word=word)
    except OSError as slip:
        raise ValueError(f"{path}: the file can't be laid aside: {slip.strerror or slip}.") from slip


def _read(path: Path, trainee: str = "") -> tuple[MarkSheet, str]:
    try:
        sheet = _sheet(read_kept_marks(path))
        if kept_marks_path(sheet.trainee) != path:  # a copy: kept on, it would take the place of another file
            raise ValueError(f"{path}: this is the sheet of {sheet.trainee!r}, under a name that is not its own.")
        return sheet, ""
    except ValueError as fault:
        aside = _aside(path, word="unreadable")
        return MarkSheet(trainee), f"A mark sheet kept earlier can't be taken up and was laid aside as {aside}: {fault}"


def _kept_line(line: MarkLine) -> KeptLine:
    made = line.exercise
    return KeptLine(
        made.number,
        made.seed,
        line.attempts,
        line.hint_taken,
        line.answer_seen,
        line.best,
        line.last_answer,
        line.slips,
    )


def _sheet(kept: KeptMarks) -> MarkSheet:
    return MarkSheet(kept.trainee, tuple(map(_line, kept.lines)))


def _line(kept: KeptLine) -> MarkLine:
    made = exercise(kept.exercise, kept.seed)
    if kept.best > made.marks:
        raise ValueError(f"exercise {made.number}: best must be at most {made.marks} marks, got {kept.best}.")
    return MarkLine(made, kept.attempts, kept.hint_taken, kept.answer_seen, kept.best, kept.last_answer, kept.slips)
