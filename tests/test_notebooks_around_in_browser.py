"""Notebooks 3, 4 and 7 in a real browser: run, moved by keys and by hand, a wrong value got over, on a phone too.

What a panel shows is compared whole, words, tables and drawings, with a plain call in this process.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from lab_server import (
    alerts,
    cell_count,
    dialogs,
    drag,
    error_outputs,
    grave_findings,
    open_notebook,
    outside_requests,
    press,
    run_all,
    slider,
    slider_value,
    type_number,
    wait_for_html,
    wait_for_text,
    words_beyond_drawings,
    words_beyond_page,
    write_part_of,
)

import flooring_kit as fk
from flooring_kit.door_sheet import doors_html, new_floors
from flooring_kit.edge_sheet import beads_html, edges_html
from flooring_kit.html_parts import sheet_html
from flooring_kit.site_sheets import SITE_SHEETS
from flooring_kit.underfloor_sheet import underfloor_html
from flooring_kit.warmth_sheet import warmth_html

if TYPE_CHECKING:
    from playwright.sync_api import Locator, Page

    from flooring_kit.launcher import Lab

pytestmark = pytest.mark.browser

EDGES, WARMTH, SITE = "3_edges_doors_and_heights.ipynb", "4_warmth_and_moisture.ipynb", "7_site_sheets.ipynb"
CELLS = {
    EDGES: ("%matplotlib", "surveys = ", "choices = fk.Choices("),
    WARMTH: ("%matplotlib", "surveys = "),
    SITE: ("%matplotlib", "surveys = "),
}
PANELS = {
    EDGES: {".kit-edge-panel": "edges = ", ".kit-door-panel": "doors = ", ".kit-underfloor-panel": "underfloor = "},
    WARMTH: {".kit-warmth-panel": "panel = "},
    SITE: {".kit-site-panel": "panel = "},
}
"""Begins of the lines that mark each notebook's cells before its panels, and the cell of every panel."""

PHONE_PX = 390

SHOP = fk.read_catalogue(fk.demo_path())
ROOMS = {room.name: room for room in map(fk.read_room, sorted(fk.demo_path("rooms").glob("*.toml")))}
ASH, OAK, FOAM, SCOTIA = "Ash plank 1850 x 240", "Oak plank 1380 x 193", "Foam sheet 3 mm", "White scotia 18 mm"


def open_panels(page: Page, server: Lab, notebook: str, *panels: str, width: int = 1280) -> None:
    """The notebook's own cells up to its panels, run, and of these only the ones asked for."""
    name = f"panels_of_{notebook}"
    write_part_of(server, notebook, name, [*CELLS[notebook], *(PANELS[notebook][panel] for panel in panels)])
    open_notebook(page, server, name, width=width)
    run_all(page)
    assert error_outputs(page) == []
    for panel in panels:
        page.locator(panel).wait_for()


def all_is_well(page: Page) -> None:
    assert error_outputs(page) == []
    assert dialogs(page) == []
    assert outside_requests(page) == []


def sheet_of(panel: str) -> str:
    return f"{panel} > :nth-child(2) .widget-html-content"


def more_of(panel: str) -> str:
    """What takes longer, below the sheet."""
    return f"{panel} > :nth-child(3) .widget-html-content"


def list_in(page: Page, panel: str, css_class: str) -> Locator:
    return page.locator(f"{panel} .{css_class} select")


def quick(room: str, *, gap_mm: float = 10.0) -> fk.Plan:
    surveyed, rules = ROOMS[room], fk.LayingRules(gap_mm=gap_mm)
    return fk.set_out(
        surveyed, SHOP.board(ASH), rules=rules, direction=surveyed.boards_run, search=fk.Search(quick=True)
    )


def edge_page(room: str, *, gap_mm: float = 10.0) -> str:
    return sheet_html(edges_html(quick(room, gap_mm=gap_mm), SHOP.trim(SCOTIA), list(SHOP.trims.values())))


def bead_page(room: str, *, gap_mm: float = 10.0) -> str:
    return sheet_html(beads_html(quick(room, gap_mm=gap_mm), SHOP.trims, SHOP.trim(SCOTIA), currency="£"))


def door_page(underlay: str) -> str:
    plan, chosen = quick("Hall"), SHOP.underlay(underlay)
    return sheet_html(doors_html(plan, chosen, SHOP.bars.values(), new_floors(plan, chosen)))


def under_page(limit_mm: float) -> str:
    on_sale = list(SHOP.sundries.values())
    plan, underlay, trim = quick("Kitchen-diner"), SHOP.underlay(FOAM), SHOP.trim(SCOTIA)
    return sheet_html(underfloor_html(plan, underlay, trim, on_sale, currency="£", limit_mm=limit_mm))


def warm_page(room: str, choices: fk.Choices) -> str:
    surveyed = ROOMS[room]
    area = fk.net_area_m2(fk.net_floor(surveyed, choices.laying.rules))
    shelf = SHOP.underlays.values()
    return sheet_html(warmth_html(surveyed, SHOP.board(OAK), SHOP.underlay(FOAM), shelf, choices, area))


def heated(flow_c: float) -> fk.Choices:
    choices = fk.Choices(fk.Materials(OAK, FOAM))
    return replace(choices, heated=fk.Heated(flow_c=flow_c, return_c=flow_c - 5))


def refused_under_its_field(page: Page, panel: str, css_class: str, complaint: str) -> None:
    """The complaint stands right under the field it speaks of."""
    line = page.locator(f"{panel} [role=alert]", has_text=complaint)
    line.wait_for()
    box, place = page.locator(f"{panel} .{css_class}-number").bounding_box(), line.bounding_box()
    assert box
    assert place
    assert 0 <= place["y"] - (box["y"] + box["height"]) < 60


@pytest.mark.parametrize("notebook", [EDGES, WARMTH, SITE])
def test_the_whole_notebook_runs_without_an_error_and_shows_its_panels(
    lab_page: Page, lab_server: Lab, notebook: str
) -> None:
    open_notebook(lab_page, lab_server, notebook)
    run_all(lab_page)
    for css in PANELS[notebook]:
        lab_page.locator(css).wait_for(state="attached")
    printed = lab_page.locator(".jp-RenderedText pre")
    assert set(printed.evaluate_all("all => all.map(one => getComputedStyle(one).wordBreak)")) == {"normal"}
    all_is_well(lab_page)


def test_the_edges_follow_keys_and_hand_and_a_wrong_gap_is_got_over(lab_page: Page, lab_server: Lab) -> None:
    page, panel = lab_page, ".kit-edge-panel"
    open_panels(page, lab_server, EDGES, panel)
    cells = cell_count(page)
    wait_for_html(page, sheet_of(panel), edge_page("Sitting room"))
    for _ in range(4):
        press(slider(page, "kit-gap"), "ArrowRight")
    wait_for_html(page, sheet_of(panel), edge_page("Sitting room", gap_mm=14))
    drag(slider(page, "kit-gap"), 60)
    page.wait_for_timeout(1500)  # what a slow kernel might still send back
    number = page.locator(".kit-gap-number input").input_value()
    assert slider_value(slider(page, "kit-gap")) == number
    assert int(number) > 14
    wait_for_html(page, sheet_of(panel), edge_page("Sitting room", gap_mm=int(number)))
    type_number(page.locator(".kit-gap-number input"), "300")
    refused_under_its_field(page, panel, "kit-gap", "Gap must be 0 to 30 mm, got 300 mm.")
    wait_for_html(page, sheet_of(panel), edge_page("Sitting room", gap_mm=int(number)))
    type_number(page.locator(".kit-gap-number input"), "12")
    wait_for_html(page, sheet_of(panel), edge_page("Sitting room", gap_mm=12))
    assert [text for text in alerts(page) if text] == []
    rooms = list_in(page, panel, "kit-room")
    rooms.focus()
    rooms.press("ArrowUp")
    room = list(ROOMS)[list(ROOMS).index("Sitting room") - 1]
    wait_for_html(page, sheet_of(panel), edge_page(room, gap_mm=12))
    wait_for_html(page, more_of(panel), bead_page(room, gap_mm=12))
    assert cell_count(page) == cells
    all_is_well(page)


def test_arrow_keys_in_a_list_choose_and_leave_the_notebook_where_it_is(lab_page: Page, lab_server: Lab) -> None:
    page, panel = lab_page, ".kit-door-panel"
    open_panels(page, lab_server, EDGES, panel)
    wait_for_html(page, sheet_of(panel), door_page(FOAM))
    underlays = list_in(page, panel, "kit-underlay")
    underlays.focus()
    active = "() => window.jupyterapp.shell.currentWidget.content.activeCellIndex"
    cell = page.evaluate(active)
    names = list(SHOP.underlays)
    for step in (1, 2):
        underlays.press("ArrowDown")
        wait_for_html(page, sheet_of(panel), door_page(names[names.index(FOAM) + step]))
    assert page.evaluate("() => document.activeElement.tagName") == "SELECT"
    assert page.evaluate(active) == cell
    all_is_well(page)


def test_the_limit_of_flatness_is_dragged_and_the_sheet_is_that_limits(lab_page: Page, lab_server: Lab) -> None:
    page, panel = lab_page, ".kit-underfloor-panel"
    open_panels(page, lab_server, EDGES, panel)
    wait_for_html(page, sheet_of(panel), under_page(3))
    press(slider(page, "kit-flat"), "ArrowLeft")
    wait_for_html(page, sheet_of(panel), under_page(2))
    drag(slider(page, "kit-flat"), 70)
    page.wait_for_timeout(1500)
    limit = int(page.locator(".kit-flat-number input").input_value())
    assert limit > 3
    wait_for_html(page, sheet_of(panel), under_page(limit))
    all_is_well(page)


def test_warmth_follows_keys_and_hand_and_shows_the_fields_that_matter(lab_page: Page, lab_server: Lab) -> None:
    page, panel = lab_page, ".kit-warmth-panel"
    open_panels(page, lab_server, WARMTH, panel)
    wait_for_html(page, sheet_of(panel), warm_page("Kitchen-diner", heated(40)))
    chart = page.locator(f"{panel} svg[role=img]").inner_html()
    assert not page.locator(f"{panel} .kit-house-area").is_visible()
    for _ in range(3):
        press(slider(page, "kit-flow"), "ArrowLeft")
    wait_for_html(page, sheet_of(panel), warm_page("Kitchen-diner", heated(37)))
    assert page.locator(f"{panel} svg[role=img]").inner_html() != chart
    drag(slider(page, "kit-flow"), 70)
    page.wait_for_timeout(1500)
    flow = int(page.locator(".kit-flow-number input").input_value())
    assert flow > 40
    wait_for_html(page, sheet_of(panel), warm_page("Kitchen-diner", heated(flow)))
    type_number(page.locator(".kit-flow-number input"), "90")
    refused_under_its_field(page, panel, "kit-flow", "Water in must be 25 to 55 °C, got 90 °C.")
    wait_for_html(page, sheet_of(panel), warm_page("Kitchen-diner", heated(flow)))
    type_number(page.locator(".kit-flow-number input"), "35")
    wait_for_html(page, sheet_of(panel), warm_page("Kitchen-diner", heated(35)))
    list_in(page, panel, "kit-room").select_option(index=list(ROOMS).index("Back bedroom"))
    wait_for_html(page, sheet_of(panel), warm_page("Back bedroom", heated(35)))
    assert page.locator(f"{panel} .kit-house-area").is_visible()
    assert not page.locator(f"{panel} .kit-flow").is_visible()
    assert [text for text in alerts(page) if text] == []
    all_is_well(page)


def test_the_pack_is_unticked_and_saved_with_the_keyboard_alone(lab_page: Page, lab_server: Lab) -> None:
    page, panel = lab_page, ".kit-site-panel"
    open_panels(page, lab_server, SITE, panel)
    box = page.locator(panel)
    save = box.get_by_role("button", name="Save the pack", exact=True)
    for name in SITE_SHEETS:
        press(box.get_by_role("checkbox", name=name, exact=True), "Space")
    press(save, "Space")
    box.get_by_role("alert").get_by_text("Sheets: tick at least one.").wait_for()
    for name in ("plan", "order list"):
        press(box.get_by_role("checkbox", name=name, exact=True), "Space")
    press(save, "Space")
    wait_for_text(page, "kit-site-panel", "Saved: ")
    assert [text for text in alerts(page) if text] == []
    path = lab_server.folder / "own" / "site sheets, Sitting room.pdf"
    assert str(path) in (box.get_by_role("status").text_content() or "")
    room = ROOMS["Sitting room"]
    choices = fk.Choices(fk.Materials(OAK, FOAM, SCOTIA), fk.Laying(direction=room.boards_run))
    wanted = fk.site_pack_pdf(fk.estimate(room, choices, SHOP), SHOP, sheets=["plan", "order list"])
    assert path.read_bytes() == wanted
    all_is_well(page)


@pytest.mark.parametrize("notebook", [EDGES, WARMTH, SITE])
def test_every_panel_keeps_to_a_phones_width_and_axe_finds_nothing_grave(
    lab_page: Page, lab_server: Lab, notebook: str
) -> None:
    page = lab_page
    open_panels(page, lab_server, notebook, *PANELS[notebook], width=PHONE_PX)
    for css in PANELS[notebook]:
        page.locator(css).scroll_into_view_if_needed()
        box = page.locator(css).bounding_box()
        assert box
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= PHONE_PX
        assert words_beyond_page(page, css) == []
        assert words_beyond_drawings(page, f"{css} svg") == []
        assert grave_findings(page, css) == []
    column = page.locator(".jp-WindowedPanel-outer")
    assert column.evaluate("page => page.scrollWidth <= page.clientWidth")
    all_is_well(page)
