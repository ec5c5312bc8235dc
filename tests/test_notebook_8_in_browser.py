"""Notebook 8 in a real browser, on a phone between two rows: log, spoil a board, plan anew, undo, pull the plug."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from lab_server import (
    dialogs,
    error_outputs,
    open_notebook,
    outside_requests,
    run_all,
    screenshot,
    stop_kernels,
)

import flooring_kit as fk
from flooring_kit import as_laid
from flooring_kit.day_entries import BatchNoted, BoardDamaged, Entry, PlannedAnew, RowLaid, Undone

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

    from flooring_kit.launcher import Lab

pytestmark = pytest.mark.browser

NOTEBOOK = "8_on_the_day.ipynb"
PHONE_PX, THUMB_PX = 390, 44
"""Width of a phone; 44 px is the least height of a target in WCAG 2.1, 2.5.5."""
LOG = "box room.day.jsonl"


@pytest.fixture
def log_path(lab_server: Lab) -> Path:
    """The log the notebook keeps, not begun yet."""
    own = lab_server.folder / "own"
    for left in own.glob("*box room*"):
        left.unlink()
    return own / LOG


@pytest.fixture
def page(lab_page: Page, lab_server: Lab, log_path: Path) -> Iterator[Page]:
    """The whole notebook, run on a phone with an empty log; nothing may leave this computer."""
    open_notebook(lab_page, lab_server, NOTEBOOK, width=PHONE_PX)
    run_all(lab_page)
    assert error_outputs(lab_page) == []
    yield lab_page
    assert outside_requests(lab_page) == []


def panel(page: Page) -> Locator:
    return page.locator(".kit-day-panel")


def button(page: Page, css_class: str) -> Locator:
    found = panel(page).locator(f"button.{css_class}")
    found.scroll_into_view_if_needed()
    return found


def press(page: Page, css_class: str, *, then: str) -> None:
    """Tap a button, and wait until the panel says so."""
    button(page, css_class).click()
    says(page, then)


def says(page: Page, words: str) -> None:
    page.wait_for_function("words => document.querySelector('.kit-day-panel').textContent.includes(words)", arg=words)


def entries(path: Path) -> list[Entry]:
    return [one.entry for one in fk.read_day_log(path)[0]]


def test_two_rows_a_spoiled_board_a_plan_anew_an_undo_and_the_plug_pulled(
    page: Page, lab_server: Lab, log_path: Path
) -> None:
    press(page, "kit-row-laid", then="Row 2 comes next")
    press(page, "kit-row-laid", then="Row 3 comes next")
    panel(page).locator(".kit-piece select").select_option(label="3b")
    press(page, "kit-board-damaged", then="No board for 3b")
    says(page, "Written down: The board for piece 3b was damaged. Plan the rest anew: the buttons are at the top.")
    assert panel(page).locator("svg title", has_text="Piece 3b: no board").count() == 1
    press(page, "kit-plan-anew", then="28 boards from first to last, 1 more than the first plan.")
    says(page, "The 32 boards bought still do, 4 over.")
    told = entries(log_path)
    assert told[1:4] == [RowLaid(1), RowLaid(2), BoardDamaged("3b")]
    assert isinstance(told[4], PlannedAnew)
    press(page, "kit-undo", then="No board for 3b")
    press(page, "kit-undo", then="Last entry: Row 2 is laid.")
    assert entries(log_path)[5:] == [Undone(5), Undone(4)]
    stood = shown(page)

    stop_kernels(lab_server)  # the plug is pulled
    open_notebook(page, lab_server, NOTEBOOK, width=PHONE_PX)
    run_all(page)
    assert error_outputs(page) == []
    says(page, "Row 3 comes next")
    assert shown(page) == stood
    assert len(entries(log_path)) == 7
    press(page, "kit-row-laid", then="Row 4 comes next")
    day = as_laid.as_laid(plan(), entries(log_path))
    assert day.rows_laid == (1, 2, 3)
    assert entries(log_path)[-1] == RowLaid(3)
    assert dialogs(page) == []


def shown(page: Page) -> str:
    """What the sheet of the day says, drawing and all."""
    return panel(page).locator(".kit-day-sheet").first.text_content() or ""


def plan() -> fk.Plan:
    room = fk.read_room(fk.demo_path("rooms", "box_room.toml"))
    board = fk.read_boards(fk.demo_path("boards.csv"))["Oak plank 1380 x 193"]
    return fk.set_out(room, board, direction=room.boards_run)


def test_a_batch_is_noted_and_the_record_saved_with_it(page: Page, lab_server: Lab, log_path: Path) -> None:
    box = panel(page).get_by_label("Batch", exact=True)
    box.scroll_into_view_if_needed()
    box.fill("A113")
    press(page, "kit-note", then="Written down: Batch A113 on 1 pack.")
    assert entries(log_path)[1:] == [BatchNoted("A113", 1)]
    press(page, "kit-save-pdf", then="record, Box room.pdf")
    press(page, "kit-save-json", then="record, Box room.record.json")
    assert (log_path.parent / "record, Box room.pdf").read_bytes().startswith(b"%PDF-")
    assert '"A113"' in (log_path.parent / "record, Box room.record.json").read_text(encoding="utf-8")


def test_every_target_is_as_high_as_a_thumb_and_nothing_is_wider_than_the_page(page: Page, tmp_path: Path) -> None:
    assert panel(page).locator("button").count() >= 14
    for css_class in ("kit-day-panel", "kit-stock-panel"):
        place = page.locator(f".{css_class}")
        place.scroll_into_view_if_needed()
        cut = place.locator("button, label, li, p").evaluate_all(
            """all => all.filter(one => one.clientWidth > 0 && one.scrollWidth > one.clientWidth + 1
                && getComputedStyle(one).overflow !== "visible").map(one => one.textContent)"""
        )
        assert cut == []
        targets = place.locator("button:visible, select:visible, input:visible:not([type=range])")
        heights = targets.evaluate_all("all => all.map(one => one.getBoundingClientRect().height)")
        assert min(heights) >= THUMB_PX
        edges = place.locator("button, input, select, li, p").evaluate_all(
            "all => all.map(one => one.getBoundingClientRect().right)"
        )
        assert max(edges) <= PHONE_PX
    assert page.evaluate("() => document.documentElement.scrollWidth") <= PHONE_PX
    panel(page).scroll_into_view_if_needed()
    screenshot(page, tmp_path / "phone.png")


def test_an_audit_of_both_panels_finds_nothing_serious(page: Page) -> None:
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    press(page, "kit-row-laid", then="Row 2 comes next")
    panel(page).locator(".kit-piece select").select_option(label="2b")
    press(page, "kit-board-damaged", then="No board for 2b")
    for css_class in ("kit-day-panel", "kit-stock-panel"):
        found: list[dict[str, Any]] = axe.run(page, context=f".{css_class}").response["violations"]
        serious = [(one["id"], [node["html"] for node in one["nodes"]]) for one in found if one["impact"] in SERIOUS]
        assert serious == [], css_class


SERIOUS = ("serious", "critical")


def test_stock_put_in_hand_with_a_thumb_is_bought_no_more(page: Page) -> None:
    place = page.locator(".kit-stock-panel")
    place.get_by_label("How many").fill("3")
    place.get_by_label("Length, mm").fill("1380")
    place.locator("button.kit-stock-add").click()
    page.wait_for_function(
        "() => document.querySelector('.kit-stock-panel').textContent.includes('3 boards of 1380 mm in hand')"
    )
    assert "boards need not be bought." in (place.text_content() or "")
