"""A slider and the box beside it under a fast hand and a slow kernel: the last value given is the one that stays."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from lab_server import error_outputs, open_notebook, press, run_all, slider, slider_value, type_number, write_notebook

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Page

    from flooring_kit.launcher import Lab

pytestmark = pytest.mark.browser

CELL = """\
import time
import ipywidgets as widgets
from flooring_kit.panels.fields import number_field
gap = number_field("Gap", 10, (0, 30), unit="mm", tooltip="Room to move.", css_class="kit-fast")
busy, heard = widgets.Button(description="busy"), widgets.HTML("10")
busy.add_class("kit-busy")
set_it = widgets.Button(description="set")
set_it.add_class("kit-set")
set_it.on_click(lambda _: setattr(gap.control, "value", 7))
heard.add_class("kit-heard")
busy.on_click(lambda _: time.sleep(1.5))
gap.control.observe(lambda change: setattr(heard, "value", f"heard {change['new']}."), "value")
widgets.VBox([busy, set_it, gap.box, heard])
"""
BOX = ".kit-fast-number input"


@pytest.fixture
def page(lab_page: Page, lab_server: Lab) -> Iterator[Page]:
    write_notebook(lab_server, "fast_hand.ipynb", [CELL])
    open_notebook(lab_page, lab_server, "fast_hand.ipynb")
    run_all(lab_page)
    yield lab_page
    assert error_outputs(lab_page) == []


def wait_until_heard(page: Page, number: int) -> None:
    page.wait_for_function(
        "words => document.querySelector('.kit-heard').textContent.includes(words)", arg=f"heard {number}."
    )


def shown(page: Page) -> tuple[str, str]:
    return slider_value(slider(page, "kit-fast")), page.locator(BOX).input_value()


def test_keys_given_while_the_kernel_is_busy_all_count_and_none_is_taken_back(page: Page) -> None:
    handle = slider(page, "kit-fast")
    handle.evaluate(
        """handle => {
            window.kitShown = [];
            const note = () => { window.kitShown.push(Number(handle.value)); window.requestAnimationFrame(note); };
            note();
        }"""
    )
    page.locator(".kit-busy").click()
    for _ in range(4):
        press(handle, "ArrowRight")
    wait_until_heard(page, 14)
    page.wait_for_timeout(500)  # what the kernel might still send back
    assert shown(page) == ("14", "14")
    numbers = page.evaluate("window.kitShown")
    assert numbers == sorted(numbers)


def test_both_show_a_number_the_kernel_sets(page: Page) -> None:
    page.locator(".kit-set").click()
    wait_until_heard(page, 7)
    assert shown(page) == ("7", "7")


def test_slider_and_box_follow_each_other_and_a_number_outside_leaves_the_slider_where_it_was(page: Page) -> None:
    type_number(page.locator(BOX), "25")
    wait_until_heard(page, 25)
    assert shown(page) == ("25", "25")
    type_number(page.locator(BOX), "999")
    wait_until_heard(page, 999)
    assert shown(page) == ("25", "999")
    press(slider(page, "kit-fast"), "ArrowLeft")
    wait_until_heard(page, 24)
    assert shown(page) == ("24", "24")
