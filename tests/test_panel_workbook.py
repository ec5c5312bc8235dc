"""The workbook's panels: answered by hand as a trainee does, a wrong entry got over, marks on the shared sheet."""

from __future__ import annotations

import pytest

from flooring_kit.panels import ExercisePanel, MarkBook, exercise_panel, mark_sheet_panel, workbook_panel
from flooring_kit.workbook import NUMBERS, exercise, mark
from flooring_kit.workbook.page import marked_html, question_html, worked_html


def answered(panel: ExercisePanel, text: str, reason: str | None = None) -> None:
    panel.answer.control.value = text
    if reason is not None:
        panel.reasons.value = reason
    panel.check.click()


def test_an_answer_is_marked_as_the_plain_call_marks_it():
    book = MarkBook()
    panel = exercise_panel(16, book, seed=3)
    made = exercise(16, 3)
    assert question_html(made) in panel.question.value
    wrong = next(each for each in made.reasons if each.slip)
    answered(panel, repr(made.slips[0].value), wrong.text)
    marked = mark(made, repr(made.slips[0].value), reason=wrong.text)
    assert marked_html(marked) in panel.told.value
    assert book.sheet.line(made).slips == (made.slips[0].name, wrong.slip)
    right = next(each for each in made.reasons if each.is_right)
    answered(panel, made.right_shown, right.text)
    assert "3 of 3 marks." in panel.told.value
    assert book.sheet.marks == 3


def test_what_cannot_be_read_is_complained_of_under_the_field_and_costs_no_attempt():
    book = MarkBook()
    panel = exercise_panel(4, book)
    answered(panel, "wide")
    assert "Your answer must be a length" in panel.answer.complaint.value
    assert book.sheet.lines == ()
    answered(panel, exercise(4, 1).right_shown)
    assert panel.answer.complaint.value == ""
    assert book.sheet.marks == 2


def test_hint_and_worked_answer_are_shown_and_written_down():
    book = MarkBook()
    panel, made = exercise_panel(5, book), exercise(5, 1)
    panel.hint.click()
    assert "<b>Hint.</b>" in panel.told.value
    assert book.sheet.line(made).hint_taken
    panel.show.click()
    assert worked_html(made) in panel.told.value
    assert book.sheet.line(made).answer_seen
    answered(panel, made.right_shown)
    assert "for practice alone" in panel.told.value
    assert book.sheet.marks == 0


def test_new_numbers_give_the_same_exercise_with_other_figures_and_clear_the_answer():
    panel = exercise_panel(9, MarkBook())
    answered(panel, "12 mm", panel.asked().reasons[0].text)
    panel.new.click()
    assert panel.asked() == exercise(9, 2)
    assert question_html(exercise(9, 2)) in panel.question.value
    assert (panel.answer.control.value, panel.reasons.value, panel.told.value) == ("", None, "")
    assert panel.reasons.options == tuple(each.text for each in exercise(9, 2).reasons)


def test_an_exercise_without_reasons_shows_none():
    assert exercise_panel(4, MarkBook()).reasons.layout.display == "none"
    assert exercise_panel(16, MarkBook()).reasons.layout.display == ""


def test_every_exercise_can_be_chosen_and_answered_in_one_panel():
    book = MarkBook()
    panel = workbook_panel(book, seed=2)
    assert panel.chooser is not None
    for number in NUMBERS:
        panel.chooser.control.value = number
        made = exercise(number, 2)
        assert panel.asked() == made
        answered(panel, made.right_shown, next((each.text for each in made.reasons if each.is_right), None))
    assert book.sheet.marks == book.sheet.out_of == sum(exercise(number, 2).marks for number in NUMBERS)


def test_the_mark_sheet_follows_the_exercises_takes_a_name_and_is_saved(tmp_path):
    book = MarkBook()
    panel, made = exercise_panel(4, book), exercise(4, 1)
    sheet = mark_sheet_panel(book, file=str(tmp_path / "marks.csv"))
    assert "Nothing marked yet." in sheet.sheet.value
    sheet.save.click()
    assert "nothing is marked yet" in sheet.file.complaint.value
    answered(panel, made.right_shown)
    sheet.whose.name.value = "Ann Example"
    assert "Ann Example: 2 of 2 marks in 1 exercise of 23. No slip met." in sheet.sheet.value
    sheet.save.click()
    assert sheet.file.complaint.value == ""
    assert "Saved as" in sheet.said.value
    saved = tmp_path / "mark sheet, Ann Example.csv"
    assert "Ann Example,4,Clear width" in saved.read_text(encoding="utf-8-sig")
    sheet.file.control.value = str(tmp_path / "marks.doc")
    sheet.save.click()
    assert "a mark sheet ends in .csv" in sheet.file.complaint.value
    assert sheet.said.value == ""


def test_the_file_is_named_after_the_trainee_until_another_name_is_chosen():
    sheet = mark_sheet_panel(MarkBook())
    assert sheet.file.control.value == "mark_sheet.csv"
    for trainee, file in (
        ("Ann Example", "mark sheet, Ann Example.csv"),
        (" Ben/Bo ", "mark sheet, Ben-Bo.csv"),
        ("", "mark_sheet.csv"),
    ):
        sheet.whose.name.value = trainee
        assert sheet.file.control.value == file
    sheet.file.control.value = "group 2.csv"
    sheet.whose.name.value = "Ann Example"
    assert sheet.file.control.value == "group 2.csv"


def test_how_an_answer_is_written_stands_under_the_box_while_it_is_typed():
    for number, told in (
        (3, "Written like 12.5 % or 0.125."),
        (2, "A whole number of packs."),
        (8, "One letter, A to D."),
    ):
        panel = exercise_panel(number, MarkBook())
        panel.answer.control.value = "7"
        assert told in panel.written.value


def test_an_exercise_beyond_the_course_is_refused_when_the_cell_runs():
    with pytest.raises(ValueError, match="exercise must be a whole number"):
        exercise_panel(99, MarkBook())
