"""Notebook 6 in a real browser: a trainee works with the keyboard alone, on a wide screen and on a phone."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from lab_server import (
    alerts,
    dialogs,
    error_outputs,
    grave_findings,
    open_notebook,
    outside_requests,
    press,
    run_all,
    stop_kernels,
    type_number,
    wait_for_text,
    write_notebook,
)

from flooring_kit.workbook import NUMBERS, exercise

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

    from flooring_kit.launcher import Lab

pytestmark = pytest.mark.browser

NOTEBOOK = "6_apprentice_workbook.ipynb"
PHONE_PX = 390


@pytest.fixture
def page(lab_page: Page, lab_server: Lab) -> Iterator[Page]:
    """The whole notebook, run on a wide screen; nothing may leave this computer."""
    open_notebook(lab_page, lab_server, NOTEBOOK)
    run_all(lab_page)
    yield lab_page
    assert outside_requests(lab_page) == []


@pytest.fixture
def one_exercise(lab_page: Page, lab_server: Lab) -> Iterator[Page]:
    """Exercise 16 and the mark sheet alone: the rest of the notebook only takes time here."""
    cells = (
        "from flooring_kit.panels import MarkBook, exercise_panel, mark_sheet_panel\nbook = MarkBook()",
        "exercise_panel(16, book).box",
        "mark_sheet_panel(book).box",
    )
    write_notebook(lab_server, "one_exercise.ipynb", cells)
    open_notebook(lab_page, lab_server, "one_exercise.ipynb")
    run_all(lab_page)
    yield lab_page
    assert error_outputs(lab_page) == []
    assert outside_requests(lab_page) == []


def panel(page: Page, title: str) -> Locator:
    """The exercise's own panel; the last one on the page chooses among all."""
    return page.locator(".kit-exercise", has=page.get_by_role("heading", name=title, exact=True)).first


def test_the_notebook_runs_without_an_error_and_shows_every_exercise(page: Page) -> None:
    assert error_outputs(page) == []
    assert dialogs(page) == []
    assert page.locator(".kit-exercise").count() == len(NUMBERS) + 1
    for number in NUMBERS:
        assert panel(page, f"{number} · {exercise(number, 1).title}").count() == 1


def test_a_trainee_answers_and_chooses_a_reason_with_the_keyboard_alone_and_the_sheet_is_saved(
    page: Page, lab_server: Lab
) -> None:
    made = exercise(15, 1)
    asked = panel(page, f"15 · {made.title}")
    box = asked.get_by_label("Your answer")
    box.scroll_into_view_if_needed()
    box.focus()
    page.keyboard.type(made.right_shown)
    for reason in made.reasons:
        page.keyboard.press("Tab")
        if reason.is_right:
            page.keyboard.press("Space")
    page.keyboard.press("Tab")
    assert page.evaluate("() => document.activeElement.textContent") == "Check"
    page.keyboard.press("Space")
    wait_for_text(page, "kit-mark-sheet", "15 · A trim that covers the gap")
    assert "3 of 3 marks." in (asked.text_content() or "")
    sheet = page.locator(".kit-mark-sheet")
    sheet.get_by_label("Trainee").fill("Ann Example")
    sheet.get_by_label("Trainee").press("Tab")
    wait_for_text(page, "kit-mark-sheet", "Ann Example: 3 of 3 marks in 1 exercise of 23. No slip met.")
    sheet.get_by_role("button", name="Save").press("Space")
    wait_for_text(page, "kit-mark-sheet", "own/mark sheet, Ann Example.csv.")
    with open(lab_server.folder / "own" / "mark sheet, Ann Example.csv", encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.DictReader(stream))
    assert [(row["trainee"], row["title"], row["marks"]) for row in rows] == [("Ann Example", made.title, "3")]


def test_a_second_sitting_takes_up_the_first_one_s_marks_and_another_trainee_begins_a_new_sheet(
    lab_page: Page, lab_server: Lab
) -> None:
    page, made = lab_page, exercise(4, 1)
    cells = (
        "from flooring_kit.panels import MarkBook, exercise_panel, mark_sheet_panel\nbook = MarkBook(kept=True)",
        "exercise_panel(4, book).box",
        "mark_sheet_panel(book).box",
    )
    write_notebook(lab_server, "two_sittings.ipynb", cells)
    open_notebook(page, lab_server, "two_sittings.ipynb")
    run_all(page)
    name = page.locator(".kit-whose-sheet").get_by_label("Trainee")
    name.fill("Ann Example")
    name.press("Tab")
    asked = page.locator(".kit-exercise")
    type_number(asked.get_by_label("Your answer"), made.right_shown)
    press(asked.get_by_role("button", name="Check", exact=True), "Space")
    wait_for_text(page, "kit-mark-sheet", "Ann Example: 2 of 2 marks in 1 exercise of 23. No slip met.")

    stop_kernels(lab_server)  # the next day
    open_notebook(page, lab_server, "two_sittings.ipynb")
    run_all(page)
    wait_for_text(page, "kit-whose-sheet", "Taken up where the last sitting left off: Ann Example: 2 of 2 marks")
    assert name.input_value() == "Ann Example"
    name.fill("Ben Example")
    name.press("Tab")
    wait_for_text(page, "kit-whose-sheet", "The marks so far are those of Ann Example.")
    press(page.get_by_role("button", name="Begin a new sheet for Ben Example", exact=True), "Space")
    wait_for_text(page, "kit-mark-sheet", "Nothing marked yet.")
    wait_for_text(page, "kit-whose-sheet", "A new sheet. The sheet of Ann Example stays kept.")
    assert grave_findings(page, ".kit-whose-sheet") == []
    assert error_outputs(page) == []


def test_nonsense_is_refused_under_its_box_a_slip_is_named_and_the_right_answer_is_taken(one_exercise: Page) -> None:
    page, made = one_exercise, exercise(16, 1)
    asked = page.locator(".kit-exercise")
    box, check = asked.get_by_label("Your answer"), asked.get_by_role("button", name="Check", exact=True)
    type_number(box, "warm")
    press(check, "Space")
    refused = asked.get_by_role("alert")
    refused.get_by_text("Your answer must be a figure, written like 1.34 tog or 0.134 m²K/W, got 'warm'.").wait_for()
    field, line = box.bounding_box(), refused.first.bounding_box()
    assert field
    assert line
    assert 0 <= line["y"] - (field["y"] + field["height"]) < 30
    assert "Nothing marked yet." in (page.locator(".kit-mark-sheet").text_content() or "")
    slip = next(each for each in made.slips if each.name == "doubled underlay")
    type_number(box, made.quantity.shown(slip.value))
    press(check, "Space")
    asked.get_by_text("A known slip: doubled underlay.").wait_for()
    type_number(box, made.right_shown)
    press(check, "Space")
    wait_for_text(page, "kit-exercise", "2 of 3 marks.")
    wait_for_text(page, "kit-mark-sheet", "2 of 3 marks in 1 exercise of 23. Slips met: doubled underlay.")
    assert [text for text in alerts(page) if text] == []


def test_arrow_keys_go_from_reason_to_reason_and_leave_the_notebook_where_it_is(one_exercise: Page) -> None:
    page = one_exercise
    active = "() => window.jupyterapp.shell.currentWidget.content.activeCellIndex"
    reasons = [page.get_by_role("radio", name=each.text, exact=True) for each in exercise(16, 1).reasons]
    press(reasons[0], "Space")
    cell = page.evaluate(active)
    for pressed in (1, 2):
        page.keyboard.press("ArrowDown")
        assert [each.is_checked() for each in reasons] == [number == pressed for number in range(3)]
    page.keyboard.press("ArrowUp")
    assert reasons[1].is_checked()
    assert page.evaluate(active) == cell


def test_axe_finds_nothing_grave_in_an_exercise_marked_and_worked_nor_in_the_mark_sheet(one_exercise: Page) -> None:
    page = one_exercise
    asked = page.locator(".kit-exercise")
    type_number(asked.get_by_label("Your answer"), "9 tog")
    press(asked.get_by_role("button", name="Check", exact=True), "Space")
    wait_for_text(page, "kit-exercise", "of 3 marks.")
    assert grave_findings(page, ".kit-exercise") == []
    press(asked.get_by_role("button", name="Show me", exact=True), "Space")
    wait_for_text(page, "kit-exercise", "Worked answer")
    assert grave_findings(page, ".kit-exercise") == []
    assert grave_findings(page, ".kit-mark-sheet") == []


def test_every_control_has_a_name(one_exercise: Page) -> None:
    asked = one_exercise.locator(".kit-exercise")
    assert asked.get_by_role("textbox", name="Your answer", exact=True).count() == 1
    for reason in exercise(16, 1).reasons:
        assert asked.get_by_role("radio", name=reason.text, exact=True).count() == 1
    for name in ("Check", "Hint", "Show me", "New numbers"):
        assert asked.get_by_role("button", name=name, exact=True).count() == 1


def test_on_a_phone_no_exercise_is_wider_than_the_page_and_no_reason_is_cut_off(
    lab_page: Page, lab_server: Lab
) -> None:
    open_notebook(lab_page, lab_server, NOTEBOOK, width=PHONE_PX)
    run_all(lab_page)
    assert error_outputs(lab_page) == []
    for number in NUMBERS:
        asked = panel(lab_page, f"{number} · {exercise(number, 1).title}")
        asked.scroll_into_view_if_needed()
        asked.get_by_role("button", name="Show me").click()
        asked.get_by_text("Worked answer").wait_for()
        box = asked.bounding_box()
        assert box
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= PHONE_PX
        cut = asked.locator("label, button, li, p").evaluate_all(
            """all => all.filter(one => one.scrollWidth > one.clientWidth + 1 && one.clientWidth > 0
                && getComputedStyle(one).overflow !== "visible").map(one => one.textContent)"""
        )
        assert cut == [], number
        edges = asked.locator("label, button, input, li, p").evaluate_all(
            "all => all.map(one => one.getBoundingClientRect().right)"
        )
        assert max(edges) <= PHONE_PX, number
