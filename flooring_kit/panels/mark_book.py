"""One trainee's mark sheet, shared by the panels of a notebook, and kept on disk where that is asked for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from flooring_kit.files import trainee_key
from flooring_kit.panels.kept_sheets import (
    keep_sheet,
    kept_sheet,
    last_worked_on,
    nameless_laid_aside,
    no_longer_kept,
)
from flooring_kit.workbook import MarkSheet


class MarkBook:
    """One trainee's mark sheet; those that asked are told when it changes.

    Parameters
    ----------
    trainee
        Whose sheet it is.
    kept
        Whether it is kept among the user's own files at every mark, and taken up from there: this trainee's, or where
        none is named the one last worked on.

    Attributes
    ----------
    sheet
        The sheet.
    words
        What was taken up, begun or laid aside, or "".
    asked
        Another name, while it is not clear whether another trainee sits here or the name was put right; else None.
    """

    def __init__(self, trainee: str = "", *, kept: bool = False) -> None:
        self.kept, self.sheet, self.words = kept, MarkSheet(trainee), ""
        self.asked: str | None = None
        self._told: list[Callable[[], None]] = []
        if kept:
            self._begin_with(trainee)

    def _begin_with(self, trainee: str) -> None:
        try:
            self.sheet, trouble = kept_sheet(trainee) if trainee else last_worked_on()
        except ValueError as fault:
            self.kept, self.words = False, f"Marks are not kept in this sitting: {fault}"
        else:
            self.words = " ".join(part for part in (trouble, self._taken_up()) if part)

    def _taken_up(self) -> str:
        if not self.sheet.lines:
            return ""
        nameless = "" if self.sheet.trainee else "a sheet without a name, "
        return f"Taken up where the last sitting left off: {nameless}{self.sheet.sentence()}"

    def put(self, sheet: MarkSheet) -> None:
        """Put a newer sheet in place of the old one, and keep it.

        Raises
        ------
        ValueError
            Where it can't be kept; the newer sheet stands all the same.
        """
        self.sheet = sheet
        self._tell()
        if self.kept:
            keep_sheet(sheet)

    def when_changed(self, tell: Callable[[], None]) -> None:
        """Ask to be told of every change."""
        self._told.append(tell)

    def _tell(self) -> None:
        for listener in self._told:
            listener()

    def name(self, trainee: str) -> None:
        """Say who sits here.

        A sheet without a name goes to that trainee, with what is kept of an earlier sitting. From one trainee's sheet
        it goes to the other's kept one; where there is none, `asked` is set until `begin` or `rename` is called.
        """
        before, self.asked, self.words = self.sheet, None, ""
        if not self.kept or trainee_key(trainee) == trainee_key(before.trainee):
            self.rename(trainee)
            return
        other, trouble = kept_sheet(trainee)
        if before.trainee and before.lines and not (trainee and other.lines):
            self.asked, self.words = trainee, trouble
            self._tell()
            return
        is_moved = bool(before.lines) and not before.trainee
        self.sheet = other.joined(replace(before, trainee=trainee)) if is_moved else replace(other, trainee=trainee)
        taken_up = self._taken_up() if other.lines else ""
        self.words = " ".join(part for part in (trouble, taken_up) if part)
        self.put(self.sheet)
        if is_moved:
            no_longer_kept("")

    def rename(self, trainee: str) -> None:
        """Give this sheet another name: the same trainee, the name put right."""
        before = self.sheet.trainee
        is_moved = self.kept and trainee_key(before) != trainee_key(trainee)
        self.asked, self.words = None, nameless_laid_aside() if is_moved and not trainee else ""
        self.put(replace(self.sheet, trainee=trainee))
        if is_moved and self.sheet.lines:
            no_longer_kept(before)

    def begin(self, trainee: str = "") -> None:
        """Begin a new sheet; the one before stays kept under its trainee's name."""
        self.asked, self.words = None, ""
        if self.kept:
            left = f"The sheet of {self.sheet.trainee} stays kept." if self.sheet.lines and self.sheet.trainee else ""
            aside = "" if trainee else nameless_laid_aside()
            self.words = " ".join(part for part in ("A new sheet.", left, aside) if part)
        self.put(MarkSheet(trainee))
