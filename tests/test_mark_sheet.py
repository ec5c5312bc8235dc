"""The mark sheet: the best attempt counts, a hint costs a mark; saved whole or not at all, no cell a formula."""

from __future__ import annotations

import csv
from dataclasses import replace

import pytest

import flooring_kit.files as files
from flooring_kit.workbook import MarkSheet, exercise, mark
from flooring_kit.workbook.mark_sheet import MARK_COLUMNS, RULE
from flooring_kit.workbook.page import mark_sheet_html

CLEAR = exercise(4, 1)
TOG = exercise(16, 1)


def attempt(sheet: MarkSheet, made, answer: str, **more) -> MarkSheet:
    return sheet.with_attempt(made, answer, mark(made, answer, **more))


def test_the_best_attempt_counts_and_slips_are_kept():
    sheet = attempt(MarkSheet("Ann"), CLEAR, repr(CLEAR.slips[0].value))
    assert (sheet.marks, sheet.out_of) == (0, 2)
    sheet = attempt(sheet, CLEAR, CLEAR.right_shown)
    assert sheet.marks == 2
    sheet = attempt(sheet, CLEAR, "17")
    line = sheet.line(CLEAR)
    assert (line.attempts, line.marks, line.last_answer, line.slips) == (3, 2, "17", ("gap forgotten",))
    assert sheet.sentence() == "Ann: 2 of 2 marks in 1 exercise of 23. Slips met: gap forgotten."


def test_a_hint_costs_one_mark_unless_full_marks_are_there_already():
    sheet = attempt(MarkSheet().with_hint(CLEAR), CLEAR, CLEAR.right_shown)
    assert sheet.marks == 1
    assert sheet.line(CLEAR).hint_taken
    late = attempt(MarkSheet(), CLEAR, CLEAR.right_shown).with_hint(CLEAR)
    assert late.marks == 2
    assert attempt(MarkSheet().with_hint(CLEAR), CLEAR, "17").marks == 0


def test_nothing_counts_once_the_worked_answer_was_seen_but_other_figures_do():
    sheet = attempt(MarkSheet().with_answer_seen(CLEAR), CLEAR, CLEAR.right_shown)
    assert (sheet.marks, sheet.line(CLEAR).attempts, sheet.line(CLEAR).answer_seen) == (0, 0, True)
    other = exercise(4, 2)
    sheet = attempt(sheet, other, other.right_shown)
    assert (sheet.marks, sheet.out_of, len(sheet.lines)) == (2, 2, 2)
    assert "Ask for new numbers" not in sheet.sentence()
    assert sheet.sentence() == "2 of 2 marks in 1 exercise of 23. No slip met."


def test_a_blank_sheet_says_so():
    assert MarkSheet("Ann").sentence() == "Nothing marked yet."
    page = mark_sheet_html(MarkSheet())
    assert "Nothing marked yet." in page
    assert RULE in page
    assert "<table" not in page


def full_sheet() -> MarkSheet:
    reason = next(each.text for each in TOG.reasons if each.slip)
    sheet = attempt(MarkSheet("=Ann"), TOG, TOG.right_shown, reason=reason)
    return attempt(sheet, CLEAR, "17").with_hint(CLEAR)


def test_the_table_has_one_row_an_exercise_in_the_order_of_the_course():
    table = full_sheet().table()
    assert list(table.columns) == MARK_COLUMNS
    assert table["exercise"].tolist() == [4, 16]
    assert table["marks"].tolist() == [0, 2]
    assert table["out_of"].tolist() == [2, 3]
    assert table["hint_taken"].tolist() == ["yes", "no"]
    assert table["slips"].tolist() == ["", "doubled underlay"]
    page = mark_sheet_html(full_sheet())
    assert "4 · Clear width" in page
    assert "doubled underlay" in page


def test_a_saved_sheet_comes_back_and_no_text_in_it_is_a_formula(tmp_path):
    path = tmp_path / "marks.csv"
    files.write_mark_sheet(full_sheet().table(), path)
    with open(path, encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert [row["exercise"] for row in rows] == ["4", "16"]
    assert {row["trainee"] for row in rows} == {"'=Ann"}
    assert rows[0]["last answer"] == "17"
    risky = replace(full_sheet(), lines=tuple(replace(line, last_answer="@1") for line in full_sheet().lines))
    files.write_mark_sheet(risky.table(), path)
    assert "'@1" in path.read_text(encoding="utf-8-sig")
    assert [each.name for each in tmp_path.iterdir()] == ["marks.csv"]


def test_a_sheet_that_cannot_be_saved_says_why(tmp_path):
    with pytest.raises(ValueError) as slip:
        files.write_mark_sheet(full_sheet().table(), "marks.txt")
    assert str(slip.value) == "marks.txt: a mark sheet ends in .csv, got '.txt'."
    with pytest.raises(ValueError) as slip:
        files.write_mark_sheet(full_sheet().table(), "marks")
    assert str(slip.value) == "marks: a mark sheet ends in .csv, got no ending."
    path = str(tmp_path / "marks.csv")
    with pytest.raises(ValueError) as slip:
        files.write_mark_sheet(MarkSheet().table(), path)
    assert str(slip.value) == f"{path}: the mark sheet was not saved: nothing is marked yet."
    nowhere = str(tmp_path / "none" / "marks.csv")
    with pytest.raises(ValueError) as slip:
        files.write_mark_sheet(full_sheet().table(), nowhere)
    assert (
        str(slip.value)
        == f"{nowhere}: the mark sheet was not saved: there is no folder {tmp_path / 'none'} that can be opened."
    )
