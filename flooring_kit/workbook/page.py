"""Exercises, marks and mark sheets as HTML, for a panel to show."""

from __future__ import annotations

from html import escape

from flooring_kit.drawing import as_svg, scrolling
from flooring_kit.drawing.marks import Scene
from flooring_kit.html_parts import CELL, heading_html, table_html
from flooring_kit.tables import records
from flooring_kit.workbook.course import NUMBERS, exercise
from flooring_kit.workbook.exercise import Exercise
from flooring_kit.workbook.mark_sheet import RULE, MarkSheet
from flooring_kit.workbook.marking import Marked

TALLEST_PX, SMALLEST_LABEL_PX = 420, 8.0
WIDEST_PX, LARGEST_LABEL_PX = 720, 15.0
"""A drawing fills the page's width, but its words are no larger than the page's own."""

VERDICT_EDGES = {
    "right": "solid #39424a",
    "nearly": "double #39424a",
    "slip": "dashed #8f1d14",
    "wrong": "dotted #8f1d14",
}
"""The line beside what is said; the words say the same, so that nothing hangs on colour."""

FIGURE, SHORT = "vertical-align:top;font-weight:400", 14
"""A cell among the figures; so few letters stay on one line."""

PARAGRAPH = "margin:6px 0;font-size:14px;line-height:1.45;max-width:46em"


def drawing_html(scene: Scene) -> str:
    """A drawing no wider than the page is read; it scrolls sideways where a phone would make it too small."""
    svg = as_svg(scene, tallest_px=TALLEST_PX, smallest_label_px=SMALLEST_LABEL_PX)
    widest = min(WIDEST_PX, scene.width / scene.label_mm * LARGEST_LABEL_PX)
    return scrolling(svg, label=scene.title, widest_px=widest)


def question_html(asked: Exercise) -> str:
    """An exercise as it is put: its case, its figures, its drawing, its question."""
    drawn = drawing_html(asked.sketch()) if asked.sketch else ""
    rows = "".join(
        f"<tr><th scope='row' style='{CELL};{FIGURE}'>{escape(what)}</th>"
        f"<td style='{CELL};{FIGURE}{';white-space:nowrap' if len(value) <= SHORT else ''}'>{escape(value)}</td></tr>"
        for what, value in asked.figures
    )
    look = "border-collapse:collapse;font-size:13px;line-height:1.3;width:max-content;max-width:100%"
    figures = f"<table style='{look}'><tbody>{rows}</tbody></table>"
    return (
        f"{heading_html(f'{asked.number} · {asked.title}')}"
        f"<p style='{PARAGRAPH};color:#4b555d'>Grade {asked.grade} of 3, {asked.marks} marks, "
        f"set of numbers {asked.seed}</p>"
        f"<p style='{PARAGRAPH}'>{escape(asked.question)}</p>{figures}{drawn}"
        f"<p style='{PARAGRAPH};font-weight:600'>{escape(asked.asked)}</p>"
    )


def hint_html(asked: Exercise) -> str:
    """The hint."""
    return f"<p style='{PARAGRAPH}'><b>Hint.</b> {escape(asked.hint)}</p>"


def worked_html(asked: Exercise) -> str:
    """The worked answer: its steps, the reason, its drawing."""
    steps = "".join(f"<li style='margin:3px 0'>{escape(step)}</li>" for step in asked.worked)
    reason = next((each.text for each in asked.reasons if each.is_right), "")
    why = f"<p style='{PARAGRAPH}'><b>Why:</b> {escape(reason)}</p>" if reason else ""
    drawn = drawing_html(asked.worked_sketch()) if asked.worked_sketch else ""
    head = f"<p style='{PARAGRAPH}'><b>Worked answer</b></p>"
    return f"{head}<ol style='{PARAGRAPH};padding-left:22px'>{steps}</ol>{why}{drawn}"


def marked_html(marked: Marked, *, counts: bool = True) -> str:
    """What is said of an answer, the verdict first.

    Parameters
    ----------
    marked
        The answer as marked.
    counts
        Whether it counts on the mark sheet; it does not once the worked answer was seen.
    """
    head = f"A known slip: {marked.slip}. " if marked.slip else ""
    parts = [f"<b>{escape(head)}</b>{escape(marked.says)}"]
    if marked.reason_says:
        head = f"Your reason, a known slip: {marked.reason_slip}." if marked.reason_slip else "Your reason."
        parts.append(f"<b>{escape(head)}</b> {escape(marked.reason_says)}")
    practice = "" if counts else " The worked answer was seen, so this attempt is for practice alone."
    parts.append(f"<b>{marked.marks} of {marked.out_of} marks.</b>{practice}")
    told = "".join(f"<p style='{PARAGRAPH}'>{part}</p>" for part in parts)
    edge = f"border-left:5px {VERDICT_EDGES[marked.verdict]};padding:2px 0 2px 10px"
    return f"<div role='status' style='{edge}'>{told}</div>"


def mark_sheet_html(sheet: MarkSheet) -> str:
    """The mark sheet: one sentence, one line an exercise, and how marks are given."""
    rows = [
        (
            f"{line.exercise} · {line.title}",
            f"{line.marks} of {line.out_of}",
            line.attempts,
            line.hint_taken,
            line.answer_seen,
            line.seed,
            line.last_answer,
            line.slips,
        )
        for line in records(sheet.table())
    ]
    heads = ("Exercise", "Marks", "Attempts", "Hint", "Answer seen", "Set of numbers", "Last answer", "Slips met")
    table = table_html(heads, rows, label="Mark sheet") if rows else ""
    return (
        f"<p style='{PARAGRAPH}' role='status'>{escape(sheet.sentence())}</p>{table}"
        f"<p style='{PARAGRAPH};color:#4b555d'>{escape(RULE)}</p>"
    )


def contents_html() -> str:
    """The exercises of the course with their grades and marks."""
    course = [exercise(number, 0) for number in NUMBERS]
    rows = [(each.number, each.title, f"{each.grade} of 3", each.marks) for each in course]
    return table_html(("", "Exercise", "Grade", "Marks"), rows, label="The course")
