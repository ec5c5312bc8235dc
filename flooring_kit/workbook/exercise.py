"""An exercise as a trainee meets it, and the answers that known slips give for the very same figures."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import combinations

from flooring_kit.drawing.marks import Scene
from flooring_kit.workbook.quantities import Quantity

Sketch = Callable[[], Scene]
FIGURE_MARKS, REASON_MARKS = 2, 1
_NUMBER = re.compile(r"\d+(?:\.\d+)?")


class UnluckyFiguresError(Exception):
    """These figures make no good exercise; others are drawn."""


@dataclass(frozen=True)
class Slip:
    """A known error.

    Parameters
    ----------
    name
        What it is called on the mark sheet.
    value
        The answer it leads to from the figures of this exercise [the quantity's unit].
    says
        What was done and where to look, in one kind sentence.
    """

    name: str
    value: float
    says: str


@dataclass(frozen=True)
class Reason:
    """A reason to choose from.

    Parameters
    ----------
    text
        The reason.
    slip
        Name of the error in it; empty for the right reason.
    says
        What to say to one who chose it.
    """

    text: str
    slip: str = ""
    says: str = "That is the reason."

    @property
    def is_right(self) -> bool:
        """Whether this is the reason."""
        return not self.slip


@dataclass(frozen=True)
class Exercise:
    """One exercise with its figures.

    Parameters
    ----------
    title
        A few words.
    grade
        1 to 3, from easy to hard.
    question
        What is the case, in sentences.
    figures
        What is given: (what, value with its unit).
    asked
        The question itself, in one sentence.
    quantity
        What kind of figure is asked for.
    right
        The right answer [the quantity's unit].
    slips
        Known errors, each with the answer it gives here.
    hint
        Where to begin; without the answer.
    worked
        The worked answer, step by step; the last step ends in the right figure.
    reasons
        Reasons to choose from, in the order shown; none where reasoning is not marked.
    why_asked
        The question the reasons answer.
    sketch, worked_sketch
        Draw the case, and the worked answer; None for no drawing.
    number, seed
        Which exercise of the course it is, and what its figures were drawn from.
    """

    title: str
    grade: int
    question: str
    figures: tuple[tuple[str, str], ...]
    asked: str
    quantity: Quantity
    right: float
    slips: tuple[Slip, ...]
    hint: str
    worked: tuple[str, ...]
    reasons: tuple[Reason, ...] = ()
    why_asked: str = ""
    sketch: Sketch | None = field(default=None, compare=False, repr=False)
    worked_sketch: Sketch | None = field(default=None, compare=False, repr=False)
    number: int = 0
    seed: int = 0

    @property
    def marks(self) -> int:
        """Marks to be had."""
        return FIGURE_MARKS + (REASON_MARKS if self.reasons else 0)

    @property
    def right_shown(self) -> str:
        """The right answer in words."""
        return self.quantity.shown(self.right)

    @property
    def told(self) -> str:
        """All that is said before the worked answer."""
        return " ".join([self.question, self.asked, self.hint, *(value for _, value in self.figures)])


def is_clear(exercise: Exercise) -> bool:
    """Whether every slip can be told from the right answer and from every other, and the answer is not given away."""
    kind = exercise.quantity
    values = [exercise.right, *(slip.value for slip in exercise.slips)]
    apart = all(abs(one - other) > 2 * kind.close + 1e-6 for one, other in combinations(values, 2))
    beyond = all(abs(slip.value - exercise.right) > kind.near + kind.close for slip in exercise.slips)
    possible = all(value >= 0 for value in values)
    return apart and beyond and possible and not gives_away(exercise, exercise.told)


def gives_away(exercise: Exercise, text: str) -> bool:
    """Whether a text contains the right figure as a number of its own; an option's letter is no figure."""
    if exercise.quantity.kind == "choice" or exercise.quantity.noun == "row":
        return False
    secret = {round(exercise.right, 6), *((round(100 * exercise.right, 6),) if exercise.right < 1 else ())}
    secret |= {float(figure) for figure in _NUMBER.findall(exercise.right_shown.replace(",", ""))[:1]}
    return any(round(float(figure), 6) in secret for figure in _NUMBER.findall(text))


def shuffled(draw: random.Random, reasons: Sequence[Reason]) -> tuple[Reason, ...]:
    """Reasons in an order of chance, so that the right one has no place of its own."""
    return tuple(draw.sample(list(reasons), len(reasons)))


def other_than(taken: Sequence[float], slips: Sequence[Slip], *, by: float) -> Iterator[Slip]:
    """The slips whose answer differs from all those taken by more than `by`: some errors do no harm to some figures."""
    return (slip for slip in slips if all(abs(slip.value - value) > by for value in taken))
