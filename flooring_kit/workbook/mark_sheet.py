"""The mark sheet: what a trainee did and reached, exercise by exercise, for the instructor to read and keep."""

from __future__ import annotations

from dataclasses import dataclass, replace

import pandas as pd

from flooring_kit.checks import counted
from flooring_kit.workbook.course import NUMBERS
from flooring_kit.workbook.exercise import Exercise
from flooring_kit.workbook.marking import Marked

MARK_COLUMNS = [
    "trainee",
    "exercise",
    "title",
    "grade",
    "seed",
    "attempts",
    "hint_taken",
    "answer_seen",
    "marks",
    "out_of",
    "last_answer",
    "slips",
]
RULE = (
    "The best attempt counts. A hint costs one mark, and once the worked answer is seen no further attempt counts: "
    "ask for "
    "new numbers and try again."
)


@dataclass(frozen=True)
class MarkLine:
    """One exercise with its figures on the sheet.

    Parameters
    ----------
    exercise
        The exercise.
    attempts
        How often an answer was marked before the worked answer was seen.
    hint_taken, answer_seen
        Whether the hint was taken, the worked answer seen.
    best
        Marks of the best attempt, the hint not yet taken off.
    last_answer
        The last answer as typed.
    slips
        Names of the slips met, each once, in their order.
    """

    exercise: Exercise
    attempts: int = 0
    hint_taken: bool = False
    answer_seen: bool = False
    best: int = 0
    last_answer: str = ""
    slips: tuple[str, ...] = ()

    @property
    def marks(self) -> int:
        """Marks that stand on the sheet."""
        return max(0, self.best - self.hint_taken)


@dataclass(frozen=True)
class MarkSheet:
    """All that one trainee has done.

    Parameters
    ----------
    trainee
        Whose sheet it is; may be empty.
    lines
        One for each exercise and seed, in the order they were begun.
    """

    trainee: str = ""
    lines: tuple[MarkLine, ...] = ()

    def line(self, exercise: Exercise) -> MarkLine:
        """The line of an exercise with these figures; a blank one where it was not begun."""
        same = (each for each in self.lines if _key(each.exercise) == _key(exercise))
        return next(same, MarkLine(exercise))

    def with_attempt(self, exercise: Exercise, answer_text: str, marked: Marked) -> MarkSheet:
        """The sheet with one more attempt; it does not count once the worked answer was seen."""
        line = self.line(exercise)
        if line.answer_seen:
            return self
        slips = tuple(dict.fromkeys([*line.slips, *marked.slips]))
        best = max(line.best, marked.marks)
        return self._with(
            replace(line, attempts=line.attempts + 1, best=best, last_answer=answer_text.strip(), slips=slips)
        )

    def with_hint(self, exercise: Exercise) -> MarkSheet:
        """The sheet with the hint taken; free of charge where full marks are there already."""
        line = self.line(exercise)
        if line.answer_seen or line.best == exercise.marks:
            return self
        return self._with(replace(line, hint_taken=True))

    def with_answer_seen(self, exercise: Exercise) -> MarkSheet:
        """The sheet with the worked answer seen."""
        return self._with(replace(self.line(exercise), answer_seen=True))

    def joined(self, later: MarkSheet) -> MarkSheet:
        """This sheet and what was done later, on another one, by the same trainee."""
        sheet = replace(self, trainee=later.trainee)
        for line in later.lines:
            sheet = sheet._with(_joined(sheet.line(line.exercise), line))
        return sheet

    def _with(self, line: MarkLine) -> MarkSheet:
        keys = [_key(each.exercise) for each in self.lines]
        if _key(line.exercise) not in keys:
            return replace(self, lines=(*self.lines, line))
        place = keys.index(_key(line.exercise))
        return replace(self, lines=(*self.lines[:place], line, *self.lines[place + 1 :]))

    @property
    def marks(self) -> int:
        """Marks reached: for every exercise those of its best figures."""
        return sum(self._best(number) for number in self._numbers)

    @property
    def out_of(self) -> int:
        """Marks to be had in the exercises begun."""
        return sum(self.lines_of(number)[0].exercise.marks for number in self._numbers)

    @property
    def _numbers(self) -> list[int]:
        return sorted({line.exercise.number for line in self.lines})

    def lines_of(self, number: int) -> list[MarkLine]:
        """The lines of one exercise, one for each set of figures."""
        return [line for line in self.lines if line.exercise.number == number]

    def _best(self, number: int) -> int:
        return max(line.marks for line in self.lines_of(number))

    def sentence(self) -> str:
        """Marks and slips in words."""
        if not self.lines:
            return "Nothing marked yet."
        who = f"{self.trainee}: " if self.trainee else ""
        begun = f"{counted(len(self._numbers), 'exercise')} of {len(NUMBERS)}"
        slips = list(dict.fromkeys(name for line in self.lines for name in line.slips))
        met = f" Slips met: {', '.join(slips)}." if slips else " No slip met."
        return f"{who}{self.marks} of {counted(self.out_of, 'mark')} in {begun}.{met}"

    def table(self) -> pd.DataFrame:
        """The sheet as a table, sorted by exercise.

        Returns
        -------
        DataFrame
            One row an exercise and seed: `trainee`, `exercise`, `title`, `grade`, `seed`, `attempts`, `hint_taken` and
            `answer_seen` ("yes" or "no"), `marks`, `out_of`, `last_answer` (as typed), `slips` (names, "; " between).
        """
        rows = [
            (
                self.trainee,
                line.exercise.number,
                line.exercise.title,
                line.exercise.grade,
                line.exercise.seed,
                line.attempts,
                "yes" if line.hint_taken else "no",
                "yes" if line.answer_seen else "no",
                line.marks,
                line.exercise.marks,
                line.last_answer,
                "; ".join(line.slips),
            )
            for line in sorted(self.lines, key=lambda line: line.exercise.number)
        ]
        return pd.DataFrame(rows, columns=MARK_COLUMNS)


def _joined(line: MarkLine, later: MarkLine) -> MarkLine:
    """Two lines on the same figures as one; nothing later counts once the worked answer was seen."""
    if line.answer_seen:
        return line
    is_full = line.best == line.exercise.marks  # a hint is then free of charge
    return replace(
        later,
        attempts=line.attempts + later.attempts,
        hint_taken=line.hint_taken or (later.hint_taken and not is_full),
        best=max(line.best, later.best),
        last_answer=later.last_answer or line.last_answer,
        slips=tuple(dict.fromkeys([*line.slips, *later.slips])),
    )


def _key(exercise: Exercise) -> tuple[int, int]:
    return exercise.number, exercise.seed
