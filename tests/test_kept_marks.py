"""Mark sheets kept at every mark: taken up in the next sitting, one file a trainee, what can't be read laid aside."""

from __future__ import annotations

import csv
import json
import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flooring_kit.files import (
    KeptLine,
    KeptMarks,
    keep_marks,
    kept_marks_path,
    kept_marks_paths,
    own_path,
    read_kept_marks,
)
from flooring_kit.panels import MarkBook, exercise_panel, mark_sheet_panel, trainee_panel
from flooring_kit.workbook import MarkSheet, exercise, mark

CLEAR, OTHER_CLEAR, TOG = exercise(4, 1), exercise(4, 2), exercise(16, 1)


@pytest.fixture(autouse=True)
def work(tmp_path, monkeypatch):
    """A folder of the user's own, empty."""
    monkeypatch.setenv("FLOORING_KIT_WORK", str(tmp_path / "work"))
    return tmp_path / "work" / "own"


def sitting(trainee: str = "", *answers: tuple[int, str]) -> MarkBook:
    """A notebook opened, a name typed, exercises answered by hand."""
    book = MarkBook(kept=True)
    panel = trainee_panel(book)
    if trainee:
        panel.name.value = trainee
    for number, answer in answers:
        answered(book, number, answer)
    return book


def answered(book: MarkBook, number: int, answer: str) -> None:
    panel = exercise_panel(number, book)
    panel.answer.control.value = answer
    panel.check.click()
    assert panel.alert.value == ""


def last_on(seconds: int, trainee: str) -> None:
    """Say when a kept sheet was last worked on: files written within one tick of the clock look alike."""
    os.utime(kept_marks_path(trainee), (seconds, seconds))


# --- the same trainee next day -----------------------------------------------------------------------------


def test_a_sheet_is_on_disk_at_every_mark_and_taken_up_when_the_notebook_is_opened_again():
    book = sitting("Ann Example", (4, CLEAR.right_shown))
    assert read_kept_marks(kept_marks_path("Ann Example")).lines == (
        KeptLine(4, 1, attempts=1, best=2, last_answer=CLEAR.right_shown),
    )
    exercise_panel(16, book).hint.click()
    exercise_panel(5, book).show.click()
    again = MarkBook(kept=True)
    assert again.sheet == book.sheet
    assert again.sheet.line(TOG).hint_taken
    assert again.sheet.line(exercise(5, 1)).answer_seen
    told = "Taken up where the last sitting left off: Ann Example: 2 of 8 marks in 3 exercises of 23. No slip met."
    assert again.words == told
    panel = trainee_panel(again)
    assert told in panel.told.value
    assert panel.name.value == "Ann Example"


def test_what_is_saved_next_day_under_the_same_name_holds_both_sittings_rows(work):
    first = sitting("Ann Example", (4, CLEAR.right_shown))
    mark_sheet_panel(first).save.click()
    second = sitting("", (16, "9 tog"))
    sheet = mark_sheet_panel(second)
    assert sheet.file.control.value == "mark sheet, Ann Example.csv"
    sheet.save.click()
    with open(work / "mark sheet, Ann Example.csv", encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert [(row["trainee"], row["exercise"]) for row in rows] == [("Ann Example", "4"), ("Ann Example", "16")]


def test_a_name_written_otherwise_is_the_same_trainee_and_one_put_right_stays_one_sheet(work):
    sitting("ann  example", (4, CLEAR.right_shown))
    book = sitting("Ann Example")
    assert (book.sheet.trainee, book.sheet.marks, book.asked) == ("Ann Example", 2, None)
    assert [path.name for path in work.glob("*.json")] == [kept_marks_path("Ann Example").name]
    assert read_kept_marks(kept_marks_path("ANN EXAMPLE")).trainee == "Ann Example"


# --- another trainee ---------------------------------------------------------------------------------------


def test_a_name_of_another_trainee_takes_up_that_trainee_s_own_sheet_and_mixes_nothing():
    sitting("Ann", (4, CLEAR.right_shown))
    sitting("", (4, CLEAR.right_shown))  # Ann's again, a second attempt
    book = MarkBook(kept=True)
    book.begin()
    book.name("Ben")
    answered(book, 16, "9 tog")
    panel = trainee_panel(book)
    panel.name.value = "Ann"
    assert (book.sheet.trainee, book.sheet.line(CLEAR).attempts, len(book.sheet.lines)) == ("Ann", 2, 1)
    assert "Taken up where the last sitting left off: Ann: 2 of 2 marks" in panel.told.value
    panel.name.value = "Ben"
    assert [line.exercise.number for line in book.sheet.lines] == [16]


def test_a_new_name_over_somebody_s_marks_asks_and_another_trainee_gets_a_new_sheet():
    book = sitting("Ann", (4, CLEAR.right_shown))
    panel = trainee_panel(book)
    assert (panel.other.layout.display, panel.same.layout.display) == ("none", "none")
    panel.name.value = "Ben"
    assert "The marks so far are those of Ann. Is this another trainee, or the same one?" in panel.told.value
    assert panel.other.description == "Begin a new sheet for Ben"
    assert (panel.other.layout.display, panel.same.layout.display, panel.begin.layout.display) == ("", "", "none")
    assert book.sheet.trainee == "Ann"
    panel.other.click()
    assert (book.sheet, book.asked) == (MarkSheet("Ben"), None)
    assert "A new sheet. The sheet of Ann stays kept." in panel.told.value
    answered(book, 16, "9 tog")
    assert [len(read_kept_marks(kept_marks_path(name)).lines) for name in ("Ann", "Ben")] == [1, 1]


def test_a_new_name_over_one_s_own_marks_is_taken_where_it_is_the_same_trainee(work):
    book = sitting("An", (4, CLEAR.right_shown))
    panel = trainee_panel(book)
    panel.name.value = "Ann"
    panel.same.click()
    assert (book.sheet.trainee, book.sheet.marks, book.asked) == ("Ann", 2, None)
    assert [path.name for path in work.glob("*.json")] == [kept_marks_path("Ann").name]


def test_the_name_as_it_was_takes_the_question_back():
    book = sitting("Ann", (4, CLEAR.right_shown))
    panel = trainee_panel(book)
    panel.name.value = "Ben"
    panel.name.value = "Ann"
    assert (book.sheet.trainee, book.asked, panel.other.layout.display) == ("Ann", None, "none")


def test_two_names_a_file_system_would_write_alike_have_a_sheet_each():
    sitting("Ben/Bo", (4, CLEAR.right_shown))
    book = MarkBook("Ben-Bo", kept=True)
    assert book.sheet == MarkSheet("Ben-Bo")
    assert kept_marks_path("x" * 300).name != kept_marks_path("x" * 301).name
    assert len(kept_marks_path("x" * 300).name) < 100


# --- a sheet without a name, a new sheet -------------------------------------------------------------------


def test_marks_made_before_a_name_is_typed_go_to_it_with_those_of_an_earlier_sitting(work):
    sitting("Ann", (4, CLEAR.right_shown))
    book = MarkBook(kept=True)
    book.begin()
    answered(book, 16, "9 tog")
    answered(book, 4, "17")
    assert sorted(path.name for path in work.glob("*.json")) == sorted(
        ["mark sheet.marks.json", kept_marks_path("Ann").name]
    )
    trainee_panel(book).name.value = "Ann"
    line = book.sheet.line(CLEAR)
    assert (line.attempts, line.marks, line.last_answer, len(book.sheet.lines)) == (2, 2, "17", 2)
    assert [path.name for path in work.glob("*.json")] == [kept_marks_path("Ann").name]
    assert MarkBook(kept=True).sheet == book.sheet


def test_a_sheet_without_a_name_is_taken_up_and_a_new_one_lays_it_aside(work):
    first = sitting("", (4, CLEAR.right_shown))
    book = MarkBook(kept=True)
    assert book.sheet == first.sheet
    told = (
        "Taken up where the last sitting left off: a sheet without a name, 2 of 2 marks in 1 exercise of 23. "
        "No slip met."
    )
    assert book.words == told
    panel = trainee_panel(book)
    panel.begin.click()
    aside = work / "earlier mark sheet.marks.json"
    assert book.words == f"A new sheet. The sheet without a name was laid aside as {aside}."
    assert book.sheet == MarkSheet()
    answered(book, 16, "9 tog")
    assert read_kept_marks(aside).lines[0].exercise == 4
    assert MarkBook(kept=True).sheet == book.sheet


def test_taking_the_name_away_overwrites_no_sheet_without_a_name(work):
    book = sitting("", (4, CLEAR.right_shown))
    book = MarkBook("Ann", kept=True)
    answered(book, 16, "9 tog")
    panel = trainee_panel(book)
    panel.name.value = ""
    assert panel.other.description == "Begin a new sheet without a name"
    panel.same.click()
    assert read_kept_marks(work / "earlier mark sheet.marks.json").lines[0].exercise == 4
    assert read_kept_marks(kept_marks_path("")).lines[0].exercise == 16


def test_the_sheet_last_worked_on_is_taken_up_and_a_blank_one_is_not_kept(work):
    for name in ("Ann", "Ben"):
        MarkBook(name, kept=True).put(MarkSheet(name).with_answer_seen(CLEAR))
    last_on(2_000_000_000, "Ann")
    last_on(1_900_000_000, "Ben")
    assert MarkBook(kept=True).sheet.trainee == "Ann"
    last_on(2_100_000_000, "Ben")
    assert MarkBook(kept=True).sheet.trainee == "Ben"
    MarkBook("Cy", kept=True).put(MarkSheet("Cy"))
    assert len(kept_marks_paths()) == 2


def test_without_keeping_nothing_is_written_and_a_name_is_only_a_name(work):
    book = MarkBook()
    panel = trainee_panel(book)
    assert panel.begin.layout.display == "none"
    answered(book, 4, CLEAR.right_shown)
    panel.name.value = "Ann"
    panel.name.value = "Ben"
    assert (book.sheet.trainee, book.sheet.marks) == ("Ben", 2)
    assert not list(work.glob("*")) if work.exists() else True


# --- two sittings on the same figures ----------------------------------------------------------------------


def test_two_sittings_on_the_same_figures_are_one_line_and_nothing_counts_after_the_worked_answer():
    def attempt(sheet: MarkSheet, answer: str) -> MarkSheet:
        return sheet.with_attempt(CLEAR, answer, mark(CLEAR, answer))

    seen, right = attempt(MarkSheet("Ann"), "17").with_answer_seen(CLEAR), attempt(MarkSheet("Ann"), CLEAR.right_shown)
    assert seen.joined(right) == seen
    both = right.joined(seen)
    assert (both.marks, both.line(CLEAR).attempts, both.line(CLEAR).answer_seen) == (2, 2, True)
    assert right.joined(MarkSheet().with_hint(CLEAR)).marks == 2  # a hint after full marks is free
    assert MarkSheet().with_hint(CLEAR).joined(right).marks == 1
    slip = CLEAR.slips[0]
    assert attempt(right, repr(slip.value)).joined(attempt(right, repr(slip.value))).line(CLEAR).slips == (slip.name,)
    other = MarkSheet("Ben").with_answer_seen(OTHER_CLEAR)
    assert [line.exercise.seed for line in right.joined(other).lines] == [1, 2]


# --- what can't be read or written -------------------------------------------------------------------------

LINE = '{"exercise": 4, "seed": 1, "best": 2}'
WHOLE = '{"format": 1, "trainee": "", "lines": [%s]}'
DAMAGED = [
    ("", "the file is empty, so there is no mark sheet in it."),
    ('{"format": 1,\n"trai', "line 2 can't be read: the file is damaged or cut short there."),
    ("[" * 100_000, "this is no mark sheet: it can't be read as JSON."),
    ("[1]", "this is no mark sheet: it holds a list of 1, not a table of keys."),
    ('{"room": 1}', "this is no mark sheet: it needs the keys format, trainee and lines."),
    (WHOLE.replace("1", "2") % LINE,
     "format 2 is newer than format 1, the newest that this version of the kit reads."),
    (WHOLE.replace("1", "true") % LINE, "format must be a whole number, 1 or more, got true."),
    (WHOLE % LINE.replace("4", "-4"), "line 1: exercise must be a whole number from 1 to 1000, got -4."),
    (WHOLE % LINE.replace("2", "99"), "line 1: best must be a whole number from 0 to 10, got 99."),
    (WHOLE % LINE.replace("2", '"two"'), "line 1: best must be a whole number, got 'two'."),
    (WHOLE % f"{LINE}, {LINE}", "exercise 4 with seed 1 stands there twice."),
    (WHOLE % LINE.replace("4", "24"), "exercise must be a whole number from 1 to 23, got 24."),
    (WHOLE % LINE.replace("2", "3"), "exercise 4: best must be at most 2 marks, got 3."),
    ((WHOLE % LINE).replace('""', '"Ann"'), "this is the sheet of 'Ann', under a name that is not its own."),
]  # fmt: skip


@pytest.mark.parametrize(("content", "fault"), DAMAGED)
def test_a_file_that_is_damaged_or_none_of_ours_is_refused_in_words_and_laid_aside(content, fault, work):
    path = own_path("mark sheet.marks.json")
    path.write_text(content)
    book = MarkBook(kept=True)
    aside = work / "unreadable mark sheet.marks.json"
    assert book.words.startswith(f"A mark sheet kept earlier can't be taken up and was laid aside as {aside}: ")
    assert fault in book.words
    assert book.sheet == MarkSheet()
    answered(book, 4, CLEAR.right_shown)
    assert aside.read_text() == content
    assert read_kept_marks(path).lines[0].best == 2


def test_a_damaged_sheet_of_a_trainee_is_laid_aside_when_the_name_is_typed(work):
    damaged = kept_marks_path("Ann")
    book = MarkBook("Ben", kept=True)
    damaged.write_text("{")
    panel = trainee_panel(book)
    panel.name.value = "Ann"
    assert "A mark sheet kept earlier can&#x27;t be taken up" in panel.told.value
    assert (work / f"unreadable {damaged.name}").read_text() == "{"
    answered(book, 4, CLEAR.right_shown)
    assert read_kept_marks(damaged).trainee == "Ann"


def test_another_sheet_is_taken_up_where_the_last_one_is_damaged():
    sitting("Ann", (4, CLEAR.right_shown))
    last_on(1_000_000_000, "Ann")
    own_path("mark sheet.marks.json").write_text("{")
    book = MarkBook(kept=True)
    assert book.sheet.trainee == "Ann"
    assert "was laid aside as" in book.words
    assert "Taken up where the last sitting left off: Ann:" in book.words


def test_a_mark_that_cannot_be_kept_counts_and_says_why(work):
    book = sitting("Ann", (4, CLEAR.right_shown))
    path = kept_marks_path("Ann")
    before = path.read_text()
    path.unlink()
    path.mkdir()
    panel = exercise_panel(16, book)
    panel.hint.click()
    assert "the mark sheet was not saved: this is a folder." in panel.alert.value
    assert "<b>Hint.</b>" in panel.told.value
    assert book.sheet.line(TOG).hint_taken
    path.rmdir()
    panel.show.click()
    assert panel.alert.value == ""
    assert len(before) < len(path.read_text())


def test_a_folder_that_cannot_be_made_is_told_and_the_workbook_works_without(tmp_path, monkeypatch):
    (tmp_path / "taken").write_text("a file")
    monkeypatch.setenv("FLOORING_KIT_WORK", str(tmp_path / "taken"))
    book = MarkBook(kept=True)
    assert book.words.startswith("Marks are not kept in this sitting: ")
    assert "the folder for your own files can't be made" in book.words
    answered(book, 4, CLEAR.right_shown)
    assert book.sheet.marks == 2


TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=60)
LINES = st.lists(
    st.builds(KeptLine, st.integers(1, 23), st.integers(0, 999_999), st.integers(0, 99), st.booleans(), st.booleans(),
              st.integers(0, 3), TEXT, st.lists(TEXT, max_size=3).map(tuple)),
    max_size=5, unique_by=lambda line: (line.exercise, line.seed),
).map(tuple)  # fmt: skip


@given(st.builds(KeptMarks, TEXT, LINES))
def test_every_sheet_kept_is_read_again_as_it_was(marks):
    keep_marks(marks)
    assert read_kept_marks(kept_marks_path(marks.trainee)) == marks
    assert not [path for path in Path(own_path("any")).parent.iterdir() if path.name.startswith(".part")]


def test_a_kept_file_is_plain_json_that_says_its_format():
    sitting("Ann", (4, "17"))
    raw = json.loads(kept_marks_path("Ann").read_text())
    assert list(raw) == ["format", "trainee", "lines"]
    assert raw["lines"][0]["last_answer"] == "17"
