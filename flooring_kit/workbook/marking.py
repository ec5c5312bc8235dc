"""An answer marked: right, nearly, a slip with its name, or wrong; the reason beside it."""

from __future__ import annotations

from dataclasses import dataclass

from flooring_kit.checks import counted, require_one_of
from flooring_kit.workbook.exercise import FIGURE_MARKS, REASON_MARKS, Exercise

COARSEST_SHARE = 0.02
"""Share of the right answer up to which its last digit may count and still be taken for it, rounded too far."""

VERDICTS = ("right", "nearly", "slip", "wrong")


@dataclass(frozen=True)
class Marked:
    """What the workbook says of an answer.

    Parameters
    ----------
    verdict
        One of `VERDICTS`, on the figure.
    slip
        Name of the slip in the figure, or "".
    says
        What to say of the figure, in one sentence or two.
    reason_right
        Whether the reason is right; None where none is asked for or none was chosen.
    reason_slip
        Name of the slip in the reason, or "".
    reason_says
        What to say of the reason, or "".
    marks, out_of
        Marks given, and to be had.
    """

    verdict: str
    slip: str
    says: str
    reason_right: bool | None
    reason_slip: str
    reason_says: str
    marks: int
    out_of: int

    @property
    def slips(self) -> tuple[str, ...]:
        """Names of the slips, that of the figure first, each once."""
        return tuple(dict.fromkeys(name for name in (self.slip, self.reason_slip) if name))

    def sentence(self) -> str:
        """All of it in words, the marks last."""
        told = [self.says, self.reason_says, f"{self.marks} of {counted(self.out_of, 'mark')}."]
        return " ".join(part for part in told if part)


def mark(exercise: Exercise, answer_text: str, *, reason: str | None = None) -> Marked:
    """An answer marked; the nearest of the right answer and the known slips counts.

    Parameters
    ----------
    exercise
        The exercise.
    answer_text
        The answer as typed.
    reason
        The text of the reason chosen; None for none.

    Raises
    ------
    ValueError
        For an answer that can't be read, and for a reason that is not among those of the exercise.

    Notes
    -----
    The figure gives two marks, one of them where only its rounding or its unit is off; a right reason gives one more.
    """
    verdict, slip, says = _figure(exercise, answer_text)
    reason_right, reason_slip, reason_says = _reason(exercise, reason)
    given = {"right": FIGURE_MARKS, "nearly": FIGURE_MARKS // 2}.get(verdict, 0)
    given += REASON_MARKS if reason_right else 0
    return Marked(verdict, slip, says, reason_right, reason_slip, reason_says, given, exercise.marks)


def _rounded_too_far(exercise: Exercise, answer_text: str, value: float) -> bool:
    """Whether it is the right answer with a digit or two too few: 3.21 m where 3214 mm is right, but not 3 m."""
    if exercise.quantity.kind not in ("length", "money"):
        return False
    step = exercise.quantity.last_digit(answer_text)
    return abs(exercise.right - value) <= step / 2 + 1e-9 and step <= exercise.right * COARSEST_SHARE


def _figure(exercise: Exercise, answer_text: str) -> tuple[str, str, str]:
    value = exercise.quantity.read(answer_text)
    kind, right = exercise.quantity, exercise.right
    reach = kind.close + 1e-9
    known = [("", right), *((slip.name, slip.value) for slip in exercise.slips)]
    name, meant = min(known, key=lambda pair: abs(pair[1] - value))
    if abs(meant - value) <= reach:
        if not name:
            return "right", "", f"Right: {exercise.right_shown}."
        return "slip", name, next(slip.says for slip in exercise.slips if slip.name == name)
    if abs(right - value) <= kind.near + 1e-9 or _rounded_too_far(exercise, answer_text, value):
        return "nearly", "", f"Nearly: it is {exercise.right_shown}. You rounded too far; round at the end, and less."
    if any(abs(value * factor - right) <= max(reach, kind.near) for factor in kind.other_units):
        shown = kind.shown(value)
        return "nearly", "", f"Nearly: your figure is right, its unit is not. As typed it is {shown}; write the unit."
    return "wrong", "", "Not yet, and it is none of the usual slips. Take the hint and go step by step."


def _reason(exercise: Exercise, reason: str | None) -> tuple[bool | None, str, str]:
    if not exercise.reasons:
        if reason is not None:
            raise ValueError(f"Exercise {exercise.number} asks for no reason, got {reason!r}.")
        return None, "", ""
    if reason is None:
        return None, "", "You chose no reason: there is a mark for it."
    require_one_of(reason, [each.text for each in exercise.reasons], "reason")
    chosen = next(each for each in exercise.reasons if each.text == reason)
    return chosen.is_right, chosen.slip, chosen.says
