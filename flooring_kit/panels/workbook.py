"""The apprentice's workbook as panels: an exercise, and all of them by turns."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from typing import Any

import ipywidgets as widgets

from flooring_kit.html_parts import sheet_html
from flooring_kit.panels.fields import Field, choice_field, complain, complaint_line, guarded
from flooring_kit.panels.mark_book import MarkBook
from flooring_kit.panels.mark_sheet import plain_button
from flooring_kit.workbook import NUMBERS, Exercise, exercise, mark
from flooring_kit.workbook.page import hint_html, marked_html, question_html, worked_html

WRAPPED = (
    "<style>.kit-exercise .widget-radio-box label{white-space:normal;height:auto;line-height:1.35;width:auto;"
    "max-width:100%;display:flex;flex-direction:row-reverse;justify-content:flex-end;gap:8px;align-items:flex-start;"
    "margin:4px 0}.kit-exercise .widget-radio-box{max-width:100%;padding-left:4px}"
    ".kit-exercise .widget-radio-box input{margin:2px 0 0}"
    ".kit-exercise .widget-radio{height:auto;width:100%}</style>"
)
"""Reasons are sentences: they break over lines instead of being cut off, each behind its button."""


@dataclass(frozen=True)
class ExercisePanel:
    """The panel's handles.

    Parameters
    ----------
    box
        The panel itself: the last line of a notebook cell.
    answer
        The field to type in.
    reasons
        The reasons to choose from; none of them is chosen at first.
    check, hint, show, new
        The buttons.
    chooser
        Which exercise, where there is a choice; else None.
    question, written, told, alert
        Where the exercise stands, how its answer may be written, what is said of the answer, any trouble.
    asked
        The exercise now shown.
    """

    box: Any
    answer: Field
    reasons: Any
    check: Any
    hint: Any
    show: Any
    new: Any
    chooser: Field | None
    question: Any
    written: Any
    told: Any
    alert: Any
    asked: Callable[[], Exercise]


def exercise_panel(number: int, book: MarkBook, *, seed: int = 1) -> ExercisePanel:
    """One exercise of the course.

    Parameters
    ----------
    number
        Which exercise, from 1.
    book
        The mark sheet its marks go to.
    seed
        What its first figures are drawn from.
    """
    return _panel(exercise(number, seed), book, None)


def workbook_panel(book: MarkBook, *, seed: int = 1) -> ExercisePanel:
    """All exercises, one at a time, chosen from a list.

    Parameters
    ----------
    book
        The mark sheet the marks go to.
    seed
        What the first figures of each are drawn from.
    """
    titles = [(f"{number} · {exercise(number, seed).title}", number) for number in NUMBERS]
    chooser = choice_field(
        "Exercise", titles, NUMBERS[0], tooltip="Which exercise of the course.", css_class="kit-exercise-number"
    )
    return _panel(exercise(NUMBERS[0], seed), book, chooser)


def _panel(first: Exercise, book: MarkBook, chooser: Field | None) -> ExercisePanel:
    now = [first]
    question, told = widgets.HTML(""), widgets.HTML("")
    alert = widgets.HTML("", layout=widgets.Layout(display="none"))
    answer, written = _answer_field(), widgets.HTML("")
    reasons = widgets.RadioButtons(options=[], layout=widgets.Layout(width="100%", max_width="46em"))
    reasons.add_class("kit-reasons")
    why = widgets.HTML("")
    check = plain_button("Check", "Mark the answer and the reason.", "kit-check")
    hint = plain_button("Hint", "Where to begin. It costs one mark.", "kit-hint")
    show = plain_button("Show me", "The worked answer. Attempts after it do not count.", "kit-show")
    new = plain_button("New numbers", "The same exercise with other figures.", "kit-new")

    def put(asked: Exercise) -> None:
        now[0] = asked
        question.value = WRAPPED + sheet_html(question_html(asked))
        answer.control.value = ""
        written.value = f"<p style='margin:0 0 2px;font-size:13px;color:#4b555d'>{escape(_how_written(asked))}</p>"
        reasons.options = [each.text for each in asked.reasons]
        reasons.value = None
        reasons.layout.display = why.layout.display = "" if asked.reasons else "none"
        why.value = f"<p style='margin:6px 0 0;font-size:14px'>{escape(asked.why_asked)}</p>"
        reasons.tooltip = asked.why_asked
        told.value = ""
        complain(answer.complaint, "")

    @guarded(alert)
    def checked(_: object) -> None:
        asked = now[0]
        answer.require(asked.quantity.read)
        marked = mark(asked, answer.control.value, reason=reasons.value)
        told.value = sheet_html(marked_html(marked, counts=not book.sheet.line(asked).answer_seen))
        book.put(book.sheet.with_attempt(asked, answer.control.value, marked))

    @guarded(alert)
    def hinted(_: object) -> None:
        told.value = sheet_html(hint_html(now[0]))
        book.put(book.sheet.with_hint(now[0]))

    @guarded(alert)
    def shown(_: object) -> None:
        told.value = sheet_html(worked_html(now[0]))
        book.put(book.sheet.with_answer_seen(now[0]))

    @guarded(alert)
    def renewed(_: object) -> None:
        put(exercise(now[0].number, now[0].seed + 1))

    @guarded(alert)
    def chosen(change: dict[str, Any]) -> None:
        put(exercise(change["new"], first.seed))

    for button, pressed in ((check, checked), (hint, hinted), (show, shown), (new, renewed)):
        button.on_click(pressed)
    if chooser is not None:
        chooser.control.observe(chosen, "value")
    put(first)
    buttons = widgets.HBox([check, hint, show, new], layout=widgets.Layout(flex_flow="row wrap", width="100%"))
    parts = [*([chooser.box] if chooser else []), question, answer.box, written, why, reasons, buttons, told, alert]
    box = widgets.VBox(parts, layout=widgets.Layout(width="100%", overflow="hidden"))
    box.add_class("kit-exercise")
    return ExercisePanel(
        box, answer, reasons, check, hint, show, new, chooser, question, written, told, alert, lambda: now[0]
    )


def _answer_field() -> Field:
    """A box for the answer with a line for complaints under it."""
    # sent once, when the field is left: else a quick hand presses Check before the last letter has come
    control = widgets.Text(description="Your answer", tooltip="With its unit, if it has one.", continuous_update=False)
    control.style.description_width = "90px"
    control.layout = widgets.Layout(width="100%", max_width="420px", margin="2px 0")
    control.add_class("kit-answer")
    line = complaint_line()
    return Field(widgets.VBox([control, line], layout=widgets.Layout(width="100%", overflow="hidden")), control, line)


def _how_written(asked: Exercise) -> str:
    """How an answer may be written, in a sentence that stays while it is typed."""
    such_as = asked.quantity.such_as
    return f"{such_as[0].upper()}{such_as[1:]}."
