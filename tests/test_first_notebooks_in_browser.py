"""The notebooks opened first, in a real browser: a room typed in, options weighed, a quote checked; also as pages.

Each holds the notebook's own cells up to its panels and is compared with the plain call in this process.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from html import unescape
from typing import TYPE_CHECKING

import pandas as pd
import pytest
from lab_server import (
    alerts,
    drag,
    error_outputs,
    new_page,
    open_notebook,
    outside_requests,
    press,
    run_all,
    slider,
    slider_value,
    wait_for_kernel,
    write_notebook,
)

import flooring_kit as fk
from flooring_kit.comparison_sheet import comparison_html, weighing_html
from flooring_kit.launcher import free_port
from flooring_kit.page_server import Pages, start_pages
from flooring_kit.panels.quote import EXAMPLE, TYPED
from flooring_kit.quote_sheet import quote_html
from flooring_kit.quotes import column_signs, quotes_side_by_side
from flooring_kit.weighing import EVEN
from flooring_kit.weighing_sheet import wider_sentences

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from flooring_kit.launcher import Lab

pytestmark = pytest.mark.browser

PHONE_PX = 390
SHOP = fk.read_catalogue(fk.demo_path())
ROOMS = {room.name: room for room in map(fk.read_room, sorted(fk.demo_path("rooms").glob("*.toml")))}
OAK, ASH, FOAM, ROLL, SCOTIA = (
    "Oak plank 1380 x 193",
    "Ash plank 1850 x 240",
    "Foam sheet 3 mm",
    "Foam roll 2 mm",
    "White scotia 18 mm",
)
CHOICES = fk.Choices(fk.Materials(OAK, FOAM, SCOTIA), work=fk.Work(hourly_rate=30.0))
QUICK = fk.Search(quick=True)


def cells_of(server: Lab, notebook: str, begins: Sequence[str]) -> list[str]:
    """The notebook's own cells that hold a line with one of those beginnings; the rest only takes time here."""
    shipped = json.loads((server.folder / "notebooks" / notebook).read_text(encoding="utf-8"))
    sources = ["".join(cell["source"]) for cell in shipped["cells"] if cell["cell_type"] == "code"]
    wanted = [source for source in sources if any(f"\n{begin}" in f"\n{source}" for begin in begins)]
    assert len(wanted) == len(begins), begins
    return wanted


def opened(page: Page, server: Lab, notebook: str, begins: Sequence[str], *, width: int = 1280) -> Page:
    """Those cells, run; nothing complains and nothing leaves this computer."""
    write_notebook(server, f"panels_of_{notebook}", cells_of(server, notebook, begins))
    open_notebook(page, server, f"panels_of_{notebook}", width=width)
    run_all(page)
    assert error_outputs(page) == []
    assert outside_requests(page) == []
    return page


def words(html: str) -> str:
    """What a reader reads of a piece of HTML."""
    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]+>", " ", html))).strip()


def shown(page: Page, css: str) -> str:
    """What a reader reads inside the elements, hidden ones left out."""
    parts = page.locator(css).evaluate_all("all => all.map(one => one.innerHTML)")
    return " ".join(words(part) for part in parts)


def wait_for_words(page: Page, css: str, wanted: str) -> None:
    """Wait until the words stand there, whatever tags lie between them."""
    page.wait_for_function(
        """([css, wanted]) => {
            const plain = html => {
                const text = new DOMParser().parseFromString(html.replace(/<[^>]+>/g, " "), "text/html");
                return text.documentElement.textContent.replace(/\\s+/g, " ");
            };
            return [...document.querySelectorAll(css)].some(one => plain(one.innerHTML).includes(wanted));
        }""",
        arg=[css, wanted],
    )


def serious(page: Page, css: str) -> list[str]:
    """What axe finds serious or critical in a panel."""
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page, context=css).response["violations"]
    return [
        f"{each['id']}: {each['nodes'][0]['html'][:120]}" for each in found if each["impact"] in ("serious", "critical")
    ]


def fits(page: Page, css: str, width: int) -> bool:
    """Whether the panel and all its fields end inside the page."""
    rights = page.locator(f"{css}, {css} select, {css} input, {css} button").evaluate_all(
        "all => all.filter(one => one.offsetParent !== null).map(one => one.getBoundingClientRect().right)"
    )
    return max(rights) <= width


# ---------------------------------------------------------------------- 1: a room of one's own


MEASURE = (
    "%matplotlib",
    "surveys = ",
    "room = rooms[",
    "choices = fk.Choices(",
    "panel = plan_panel(",
    "own = measure_panel(",
)


def add_wall(page: Page, length: str) -> None:
    """As with the keyboard alone: type, two tabs to the button, Enter; the hand is back in the field."""
    page.locator(".kit-wall-length input").fill(length)
    for key in ("Tab", "Tab", "Enter"):
        page.keyboard.press(key)
    page.wait_for_function(
        """() => {
            const field = document.querySelector(".kit-wall-length input");
            return field.value === "" && document.activeElement === field;
        }"""
    )


def test_a_room_is_measured_by_keyboard_corrected_planned_and_there_again_after_a_restart(
    lab_page: Page, lab_server: Lab
) -> None:
    page = opened(lab_page, lab_server, "1_plan_a_room.ipynb", MEASURE)
    assert serious(page, ".kit-measure-panel") == []
    assert serious(page, ".kit-plan-panel") == []
    for number, length in enumerate(("4200", "2.92 m", "4203", "2925"), start=1):
        add_wall(page, length)
        wait_for_words(page, ".kit-measure-panel", f"{number} wall")
    wait_for_words(page, ".kit-measure-panel", "the last one ends 6 mm from the first corner")
    assert page.locator(".kit-measure-panel svg").count() == 1
    # a wrong length, the complaint under it, recovery
    page.locator(".kit-wall-length input").fill("about 4 m")
    for key in ("Tab", "Tab", "Enter"):
        page.keyboard.press(key)
    wait_for_words(page, ".kit-measure-panel [role=alert]", "got 'about 4 m'")
    add_wall(page, "100")
    wait_for_words(page, ".kit-measure-panel", "5 walls")
    page.locator(".kit-undo").click()
    wait_for_words(page, ".kit-measure-panel", "4 walls")
    # planned in the other panel: the plain call for the same room
    page.locator(".kit-plan-this").click()
    wait_for_words(page, ".kit-plan-panel", "Floor plan of My room")
    walls = [fk.TapeWall(length) for length in (4200, 2920, 4203, 2925)]
    room = fk.Room("My room", fk.fit_tape(walls, []).outline)
    laying = replace(CHOICES.laying, direction=room.boards_run)
    plain = fk.estimate(room, replace(CHOICES, laying=laying), SHOP)
    wait_for_words(page, ".kit-plan-panel", plain.take_off.boards.sentence())
    wait_for_words(page, ".kit-plan-panel [role=status]", "Plan settled.")
    press(slider(page, "kit-gap"), "ArrowRight")
    page.wait_for_timeout(2000)  # the hand rests, and the job is on disk
    # the plug is pulled: what was typed and what was chosen are there again
    page.evaluate("() => { window.jupyterapp.shell.currentWidget.sessionContext.session.kernel.restart(); return 1; }")
    page.wait_for_timeout(1500)
    wait_for_kernel(page)
    run_all(page)
    assert error_outputs(page) == []
    wait_for_words(page, ".kit-measure-panel", "Taken up where you left off.")
    wait_for_words(page, ".kit-measure-panel", "4 walls")
    wait_for_words(page, ".kit-plan-panel", "Taken up where you left off: My room")
    assert slider_value(slider(page, "kit-gap")) == "11"


def test_measuring_fits_a_phone(lab_page: Page, lab_server: Lab) -> None:
    page = opened(lab_page, lab_server, "1_plan_a_room.ipynb", MEASURE, width=PHONE_PX)
    add_wall(page, "4200")
    wait_for_words(page, ".kit-measure-panel", "1 wall so far")
    assert fits(page, ".kit-measure-panel", PHONE_PX)


# ---------------------------------------------------------------------- 2: weighing


WEIGH = (
    "from IPython.display",
    "surveys = ",
    "weighing = weigh_panel(",
    "width = board_width_panel(",
    "running_short = short_panel(",
)
BEDROOM = ROOMS["Back bedroom"]


def compared(gap_mm: float) -> pd.DataFrame:
    rules = fk.LayingRules(gap_mm=gap_mm)
    asked = replace(CHOICES, laying=fk.Laying(rules=rules))
    found = fk.compare(BEDROOM, asked, SHOP, boards=[OAK, ASH], underlays=[ROLL, FOAM], directions=[BEDROOM.boards_run])
    return fk.comparison_table(found)


@pytest.fixture
def weighing(lab_page: Page, lab_server: Lab) -> Page:
    page = opened(lab_page, lab_server, "2_weigh_boards_and_underlay.ipynb", WEIGH)
    wait_for_words(page, ".kit-weigh-panel [role=status]", "Every floor is settled.")
    return page


def test_options_are_weighed_as_the_plain_calls_weigh_them(weighing: Page) -> None:
    page = weighing
    assert serious(page, ".kit-weigh-panel") == []
    table = compared(10)
    note = "The best of each column is marked in words; a column in which all are alike has none."
    wait_for_words(page, ".kit-weigh-panel", words(comparison_html(table, currency="£", note=note)))
    before = page.locator(".kit-weigh-panel figure svg").first.get_attribute("aria-labelledby")
    press(slider(page, "kit-gap"), "ArrowRight")
    page.wait_for_function(
        "old => document.querySelector('.kit-weigh-panel figure svg').getAttribute('aria-labelledby') !== old",
        arg=before,
    )
    wait_for_words(page, ".kit-weigh-panel [role=status]", "Every floor is settled.")
    table = compared(11)
    wait_for_words(page, ".kit-weigh-panel", words(comparison_html(table, currency="£", note=note)))
    drag(slider(page, "kit-weight-price"), 80)
    weight = float(slider_value(slider(page, "kit-weight-price")))
    assert weight > 1
    wait_for_words(page, ".kit-weigh-panel", words(weighing_html(table, {**EVEN, "price": weight})))
    assert error_outputs(page) == []


def test_a_board_is_widened_by_dragging_and_a_wrong_width_got_over(weighing: Page) -> None:
    page = weighing
    assert serious(page, ".kit-width-panel") == []
    drag(slider(page, "kit-width"), 12)
    page.wait_for_timeout(800)
    width = float(slider_value(slider(page, "kit-width")))
    assert width > 193
    plans = [
        fk.set_out(BEDROOM, replace(SHOP.board(OAK), width_mm=each), direction=BEDROOM.boards_run, search=QUICK)
        for each in (width, width + 5)
    ]
    for sentence in wider_sentences(*plans):
        wait_for_words(page, ".kit-width-panel", sentence)
    box = page.locator(".kit-width-number input")
    box.fill("999")
    box.press("Enter")
    wait_for_words(page, ".kit-width-panel [role=alert]", "Width must be 60 to 370 mm, got 999 mm.")
    box.fill("200")
    box.press("Enter")
    page.wait_for_function(
        "() => ![...document.querySelectorAll('.kit-width-panel [role=alert]')].some(p => p.textContent)"
    )
    wait_for_words(page, ".kit-width-panel figcaption", "200 mm wide")


def test_running_short_is_drawn_anew_with_a_pack_fewer(weighing: Page) -> None:
    page = weighing
    assert serious(page, ".kit-short-panel") == []
    wait_for_words(page, ".kit-short-panel [role=status]", "25 rooms measured anew.")
    laying = replace(CHOICES.laying, direction=BEDROOM.boards_run)
    order = fk.estimate(BEDROOM, replace(CHOICES, laying=laying), SHOP, quick=True)
    measured = list(fk.replans(order.plan, fk.TRADE, underlay=order.underlay, trim=order.trim))
    bought = fk.Bought.ordered(order.take_off)
    wait_for_words(page, ".kit-short-panel", fk.chances(measured, bought, fk.TRADE).boards.just_enough)
    press(slider(page, "kit-short-packs"), "ArrowLeft")
    fewer = replace(bought, packs=bought.packs - 1)
    wait_for_words(page, ".kit-short-panel", fk.chances(measured, fewer, fk.TRADE).boards.just_enough)


def test_weighing_fits_a_phone(lab_page: Page, lab_server: Lab) -> None:
    page = opened(lab_page, lab_server, "2_weigh_boards_and_underlay.ipynb", WEIGH, width=PHONE_PX)
    for css in (".kit-weigh-panel", ".kit-width-panel", ".kit-short-panel"):
        assert fits(page, css, PHONE_PX), css


# ---------------------------------------------------------------------- 5: a quote


QUOTE = ("from IPython.display", "surveys = ", "hall = rooms[", "panel = quote_panel(", "own = own_quote_panel(")
QUOTES = {path.stem.replace("_", " "): path for path in sorted(fk.demo_path("quotes").glob("*_fitter_*.csv"))}


def findings_words(name: str, room: fk.Room) -> str:
    laying = replace(CHOICES.laying, direction=room.boards_run)
    order = fk.estimate(room, replace(CHOICES, laying=laying), SHOP)
    whole = fk.whole_price(order, SHOP)
    quote = fk.read_quote(QUOTES[name])
    found = fk.check_quote(quote, order, whole, catalogue=SHOP, today=date.today())
    return words(quote_html(quote, found, quotes_side_by_side([quote], whole), column_signs([quote], whole)))


def test_a_quote_is_chosen_checked_typed_and_a_wrong_one_got_over(lab_page: Page, lab_server: Lab) -> None:
    page = opened(lab_page, lab_server, "5_check_a_quote.ipynb", QUOTE)
    assert serious(page, ".kit-quote-panel") == []
    assert serious(page, ".kit-own-quote-panel") == []
    wait_for_words(page, ".kit-quote-panel", findings_words("hall fitter c", ROOMS["Hall"]))
    chosen = page.locator(".kit-quote select")
    chosen.focus()
    chosen.select_option(label="kitchen diner fitter f")
    wait_for_words(page, ".kit-quote-panel", findings_words("kitchen diner fitter f", ROOMS["Kitchen-diner"]))
    chosen.select_option(label=TYPED)
    lines = page.locator(".kit-quote-typed textarea")
    lines.fill("")
    lines.blur()
    page.wait_for_function(
        "() => [...document.querySelectorAll('.kit-quote-panel [role=alert]')].some(p => p.textContent)"
    )
    lines.fill(EXAMPLE.replace("345.60", "354.60"))
    lines.blur()
    wait_for_words(page, ".kit-quote-panel", "9 at 38.40 is charged at 354.60")
    assert [text for text in alerts(page) if text] == []
    # the other panel: an hour dearer by the keyboard, the whole sum as the plain call has it
    press(slider(page, "kit-own-rate"), "ArrowRight")
    hall = ROOMS["Hall"]
    asked = replace(CHOICES, laying=replace(CHOICES.laying, direction=hall.boards_run), work=fk.Work(hourly_rate=31.0))
    whole = fk.whole_price(fk.estimate(hall, asked, SHOP), SHOP)
    wait_for_words(page, ".kit-own-quote-panel", whole.sentence())
    drag(slider(page, "kit-own-valid"), 40)
    assert float(slider_value(slider(page, "kit-own-valid"))) > 30
    assert error_outputs(page) == []


def test_a_quote_fits_a_phone(lab_page: Page, lab_server: Lab) -> None:
    page = opened(lab_page, lab_server, "5_check_a_quote.ipynb", QUOTE, width=PHONE_PX)
    for css in (".kit-quote-panel", ".kit-own-quote-panel"):
        assert fits(page, css, PHONE_PX), css


# ---------------------------------------------------------------------- as pages without code


@pytest.fixture(scope="module")
def pages(lab_server: Lab) -> Iterator[Pages]:
    pytest.importorskip("voila", reason="voila is not installed: python -m pip install -e '.[pages]'")
    served = start_pages(lab_server.folder, port=free_port())
    yield served
    served.stop()


@pytest.mark.parametrize(
    ("notebook", "begins", "panel"),
    [
        ("1_plan_a_room.ipynb", MEASURE, ".kit-plan-panel"),
        ("2_weigh_boards_and_underlay.ipynb", WEIGH, ".kit-weigh-panel"),
        ("5_check_a_quote.ipynb", QUOTE, ".kit-quote-panel"),
    ],
)
def test_a_notebook_is_a_page_without_code_on_a_phone(
    lab_browser: Browser, lab_server: Lab, pages: Pages, notebook: str, begins: Sequence[str], panel: str
) -> None:
    name = f"page_of_{notebook}"
    write_notebook(lab_server, name, cells_of(lab_server, notebook, begins))
    with new_page(lab_browser) as page:
        page.set_viewport_size({"width": PHONE_PX, "height": 850})
        page.goto(pages.url(f"notebooks/{name}"))
        page.wait_for_selector(f"{panel} select")
        page.wait_for_selector(f"{panel} svg, {panel} ol")
        assert page.locator(".jp-InputArea-editor:visible").count() == 0
        assert page.get_by_text("There was an error").count() == 0
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE_PX
        assert fits(page, panel, PHONE_PX)
        assert outside_requests(page) == []
        if panel == ".kit-plan-panel":
            before = page.locator(f"{panel} svg").first.get_attribute("aria-labelledby")
            press(slider(page, "kit-gap"), "ArrowRight")
            page.wait_for_function(
                "([css, old]) => document.querySelector(css + ' svg').getAttribute('aria-labelledby') !== old",
                arg=[panel, before],
            )
