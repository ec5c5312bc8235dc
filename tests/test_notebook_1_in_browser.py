"""Notebook 1 in a real browser, as a newcomer uses it: open, run, drag, type, on a wide screen and on a phone.

What the page shows is compared with a plain call in this process for the same choices.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from lab_server import (
    alerts,
    cell_count,
    dialogs,
    drag,
    error_outputs,
    open_notebook,
    outside_requests,
    press,
    run_all,
    screenshot,
    slider,
    slider_value,
    type_number,
    write_part_of,
)

import flooring_kit as fk
from flooring_kit.drawing import as_svg, plan_scene

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

    from flooring_kit.launcher import Lab

pytestmark = pytest.mark.browser

NOTEBOOK = "1_plan_a_room.ipynb"
DRAWING = ".kit-plan-panel svg[role=img]"
GAP_BOX = ".kit-gap-number input"
STATUS_HOLDS = """words => [...document.querySelectorAll(".kit-plan-panel [role=status]")]
    .some(line => line.textContent.includes(words))"""
PHONE_PX = 390
BLANK_EDGE_PX = 2
"""A drawing's own blank edge is wider than that at any size it is shown in."""

SHOP = fk.read_catalogue(fk.demo_path())
ROOMS = {room.name: room for room in map(fk.read_room, sorted(fk.demo_path("rooms").glob("*.toml")))}
BOX_ROOM = ROOMS["Box room"]


def estimate(gap_mm: float) -> fk.Estimate:
    """The notebook's own choices for the box room, with another gap."""
    materials = fk.Materials("Oak plank 1380 x 193", "Foam sheet 3 mm", "White scotia 18 mm")
    laying = fk.Laying(direction=BOX_ROOM.boards_run, rules=fk.LayingRules(gap_mm=gap_mm))
    return fk.estimate(BOX_ROOM, fk.Choices(materials, laying), SHOP)


PANEL_CELLS = ("%matplotlib", "surveys = ", "room = rooms[", "choices = fk.Choices(", "panel = plan_panel(")
"""Begins of the lines that mark the notebook's own cells up to its panel; the rest only takes time here."""


@pytest.fixture
def page(lab_page: Page, lab_server: Lab) -> Iterator[Page]:
    """The notebook's own cells up to its panel, run on a wide screen, settled; nothing may leave this computer."""
    write_part_of(lab_server, NOTEBOOK, "panel_of_1.ipynb", PANEL_CELLS)
    yield from run(lab_page, lab_server, "panel_of_1.ipynb")


@pytest.fixture
def whole_page(lab_page: Page, lab_server: Lab) -> Iterator[Page]:
    """The whole notebook, likewise."""
    yield from run(lab_page, lab_server, NOTEBOOK)


def run(page: Page, server: Lab, name: str) -> Iterator[Page]:
    open_notebook(page, server, name)
    run_all(page)
    wait_until_settled(page)
    yield page
    assert outside_requests(page) == []


def wait_until_settled(page: Page) -> None:
    page.wait_for_function(STATUS_HOLDS, arg="Plan settled.")


def text_of(place: Locator) -> str:
    """Words on the page, with ordinary spaces."""
    return (place.text_content() or "").replace("\u00a0", " ").strip()


def drawing_id(page: Page) -> str:
    """The id of the drawing's title: it is made from all that is drawn."""
    return page.locator(DRAWING).get_attribute("aria-labelledby") or ""


def drawn(plan: fk.Plan) -> str:
    """The id the drawing of a plan has."""
    found = re.search(r'aria-labelledby="([^"]+)"', as_svg(plan_scene(plan)))
    assert found
    return found[1]


def assert_shows(page: Page, answer: fk.Estimate) -> None:
    """Drawing and order line are those of the plain call, and nothing complains."""
    assert drawing_id(page) == drawn(answer.plan)
    assert text_of(page.locator(".kit-plan-panel .kit-order")) == answer.take_off.boards.sentence()
    assert [text for text in alerts(page) if text] == []


def gap_shown(page: Page) -> tuple[str | None, str]:
    """What slider and number box say."""
    return slider_value(slider(page, "kit-gap")), page.locator(GAP_BOX).input_value()


def changed_from(page: Page, old_id: str) -> None:
    """Wait until another drawing has taken the place of the old one."""
    page.wait_for_function(
        "([css, old]) => document.querySelector(css).getAttribute('aria-labelledby') !== old", arg=[DRAWING, old_id]
    )


def test_the_notebook_opens_and_runs_without_an_error_and_shows_the_plan(whole_page: Page) -> None:
    page = whole_page
    assert error_outputs(page) == []
    assert dialogs(page) == []
    assert page.locator(DRAWING).is_visible()
    assert_shows(page, estimate(10))
    pieces = page.locator(f"{DRAWING} > path > title").all_text_contents()
    assert sum(note.startswith("Piece ") for note in pieces) == len(estimate(10).plan.pieces)


def test_arrow_keys_on_the_gap_slider_redraw_the_plan_and_leave_the_notebook_alone(page: Page) -> None:
    before, cells = drawing_id(page), cell_count(page)
    for _ in range(4):
        press(slider(page, "kit-gap"), "ArrowRight")
    changed_from(page, before)
    wait_until_settled_with(page, estimate(14))
    assert gap_shown(page) == ("14", "14")
    assert_shows(page, estimate(14))
    for _ in range(4):
        press(slider(page, "kit-gap"), "ArrowLeft")
    wait_until_settled_with(page, estimate(10))
    assert_shows(page, estimate(10))
    assert drawing_id(page) == before
    assert cell_count(page) == cells


def wait_until_settled_with(page: Page, answer: fk.Estimate) -> None:
    """Wait until that plan is drawn and the search has ended."""
    page.wait_for_function(
        "([css, id]) => document.querySelector(css).getAttribute('aria-labelledby') === id",
        arg=[DRAWING, drawn(answer.plan)],
    )
    wait_until_settled(page)


def test_a_dragged_slider_and_its_box_end_on_one_number_and_the_plan_is_that_numbers(page: Page) -> None:
    for dx in (70, -30):
        before, (_, number) = drawing_id(page), gap_shown(page)
        drag(slider(page, "kit-gap"), dx)
        changed_from(page, before)
        page.wait_for_timeout(1500)  # what a slow kernel might still send back
        wait_until_settled(page)
        handle, box = gap_shown(page)
        assert handle == box
        assert (int(box) - int(number)) * dx > 0
        assert_shows(page, estimate(int(box)))


def test_a_wrong_gap_is_refused_under_its_field_and_a_right_one_is_taken(page: Page) -> None:
    before = drawing_id(page)
    complaint = "Gap must be 0 to 30 mm, got 999 mm."
    type_gap(page, "999")
    page.wait_for_function(
        "words => [...document.querySelectorAll('.kit-plan-panel [role=alert]')].some(p => p.textContent === words)",
        arg=complaint,
    )
    box = page.locator(".kit-gap-number").bounding_box()
    line = page.get_by_role("alert").get_by_text(complaint, exact=True).first
    if line.count() == 0:
        line = page.locator(".kit-plan-panel [role=alert]", has_text=complaint).first
    place = line.bounding_box()
    assert box
    assert place
    assert 0 <= place["y"] - (box["y"] + box["height"]) < 60
    assert drawing_id(page) == before
    assert slider_value(slider(page, "kit-gap")) == "10"
    type_gap(page, "12")
    wait_until_settled_with(page, estimate(12))
    assert gap_shown(page) == ("12", "12")
    assert_shows(page, estimate(12))


def type_gap(page: Page, number: str) -> None:
    type_number(page.locator(GAP_BOX), number)


def test_every_field_has_a_name_for_a_screen_reader_and_a_tooltip(page: Page) -> None:
    panel = page.locator(".kit-plan-panel")
    for role, names in {
        "combobox": ["Room", "Board", "Underlay", "Trim", "Boards run", "Start wall", "with board", "with underlay"],
        "spinbutton": ["Gap", "Joint offset", "Shortest piece", "Narrowest row", "First row"],
        "checkbox": ["the kit chooses the first-row width"],
    }.items():
        for name in names:
            assert panel.get_by_role(role, name=name, exact=True).count() == 1, name  # type: ignore[arg-type]
    tooltips = panel.locator("label[title]").evaluate_all("labels => labels.map(label => label.title)")
    assert sum(bool(tooltip) for tooltip in tooltips) >= 14
    name = f"Floor plan of {BOX_ROOM.name}: "
    assert panel.get_by_role("img").first.get_attribute("aria-labelledby") == drawing_id(page)
    assert text_of(page.locator(f"{DRAWING} > title")).startswith(name)


def test_every_room_can_be_chosen_and_nothing_of_its_drawing_is_cut_off(page: Page) -> None:
    for room_name in ROOMS:
        choose_room(page, room_name)
        # both at one moment: a plan bettered meanwhile puts another drawing in its place
        left, right = page.evaluate(
            """css => {
                const panel = document.querySelector(".kit-plan-panel").getBoundingClientRect();
                const drawing = document.querySelector(css).getBoundingClientRect();
                return [drawing.left - panel.left, drawing.right - panel.right];
            }""",
            DRAWING,
        )
        assert left >= 0, room_name
        assert right <= BLANK_EDGE_PX, room_name
        assert cut_off_words(page) == [], room_name
    assert error_outputs(page) == []


def choose_room(page: Page, room_name: str) -> None:
    before = drawing_id(page)
    chosen = page.locator(".kit-room select")
    if list(ROOMS).index(room_name) != chosen.evaluate("list => list.selectedIndex"):
        chosen.select_option(index=list(ROOMS).index(room_name))
        changed_from(page, before)
    wait_until_settled(page)
    assert text_of(page.locator(f"{DRAWING} > title")).startswith(f"Floor plan of {room_name}: ")


def cut_off_words(page: Page) -> list[str]:
    """Words in the drawing that reach beyond its edge, by more than a pixel."""
    found: list[str] = page.evaluate(
        """css => {
            const sheet = document.querySelector(css).getBoundingClientRect();
            return [...document.querySelectorAll(css + " text")].filter(text => {
                const box = text.getBoundingClientRect();
                return box.left < sheet.left - 1 || box.right > sheet.right + 1
                    || box.top < sheet.top - 1 || box.bottom > sheet.bottom + 1;
            }).map(text => text.textContent);
        }""",
        DRAWING,
    )
    return found


def test_on_a_phone_the_panel_is_no_wider_than_the_page_and_nothing_scrolls_sideways(
    lab_page: Page, lab_server: Lab, tmp_path: Path
) -> None:
    open_notebook(lab_page, lab_server, NOTEBOOK, width=PHONE_PX)
    run_all(lab_page)
    wait_until_settled(lab_page)
    assert error_outputs(lab_page) == []
    lab_page.locator(".kit-plan-panel").scroll_into_view_if_needed()
    assert cut_off_words(lab_page) == []
    widths = lab_page.evaluate(
        """() => {
            const page = document.querySelector(".jp-WindowedPanel-outer");
            const panel = document.querySelector(".kit-plan-panel").getBoundingClientRect();
            const sheet = document.querySelector(".kit-plan-panel svg").getBoundingClientRect();
            const column = page.getBoundingClientRect();
            return {page: [page.scrollWidth, page.clientWidth], left: panel.left - column.left,
                    right: column.right - panel.right, sheet: sheet.right - panel.right,
                    window: document.documentElement.scrollWidth};
        }"""
    )
    assert widths["page"][0] <= widths["page"][1]
    assert widths["left"] >= 0
    assert widths["right"] >= 0
    assert widths["sheet"] <= BLANK_EDGE_PX
    assert widths["window"] <= PHONE_PX
    boxes = lab_page.locator(".kit-plan-panel select, .kit-plan-panel input, .kit-plan-panel .kit-range")
    edges = boxes.evaluate_all("all => all.map(one => one.getBoundingClientRect().right)")
    assert max(edges) <= PHONE_PX - 32  # the narrow bar at the page's right
    picture = tmp_path / "phone.png"
    screenshot(lab_page, picture)
    assert picture.stat().st_size > 10_000
    assert outside_requests(lab_page) == []
