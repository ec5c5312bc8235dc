"""The panel for stock in hand: what it shows is the plain call's, wrong stock is refused and changes nothing."""

from __future__ import annotations

from functools import cache
from html import escape

import pytest
from floors import rectangle

import flooring_kit as fk
from flooring_kit import as_laid
from flooring_kit.day_entries import InHand
from flooring_kit.html_parts import sheet_html
from flooring_kit.panels import StockPanel, stock_panel
from flooring_kit.stock_sheet import NOTHING_IN_HAND, SHORTER_BOARDS, saving_sentence, stock_html


@cache
def plan() -> fk.Plan:
    """setting-out's worked example: four rows of 4000 from boards of 1800 take nine."""
    return fk.set_out(
        rectangle(4020, 792), fk.Board("plank", 1800, 193, 8, 8), rules=fk.LayingRules(offcut_margin_mm=0)
    )


def shown(*stock: InHand) -> str:
    found = as_laid.plan_from_stock(plan(), stock) if stock else None
    return sheet_html(stock_html(plan(), stock, found, fk.Buying()))


def put(panel: StockPanel, *, length: float, end: str = "both ends", count: int = 1, name: str = "") -> None:
    for field, value in (("length", length), ("end", end), ("count", count), ("name", name)):
        panel.fields[field].control.value = value
    panel.add.click()


def test_it_begins_with_nothing_in_hand_and_all_boards_to_buy():
    panel = stock_panel(plan())
    assert panel.sheet.value == shown()
    assert NOTHING_IN_HAND in panel.sheet.value
    # 9 and the least of 2 for miscuts are 11: two packs of 8
    assert "Without anything in hand: 9 boards to buy, 2 packs of 8 with 2 spares." in panel.sheet.value
    assert panel.found is None
    assert panel.take_out.disabled


def test_what_is_put_in_hand_is_bought_no_more():
    panel = stock_panel(plan())
    put(panel, length=1800, count=3)
    assert panel.held == [InHand(1800, count=3)]
    assert panel.sheet.value == shown(InHand(1800, count=3))
    # 9 less 3, and with the same 2 spare one pack
    assert "6 boards to buy; 3 boards need not be bought. 1 pack of 8 with 2 spares." in panel.sheet.value
    put(panel, length=900, end="groove end", name=" from the hall ")
    assert panel.held[1] == InHand(900, "groove end", name="from the hall")
    assert "1 offcut of 900 mm in hand, groove end, from the hall." in panel.sheet.value
    panel.take_out.click()
    assert panel.sheet.value == shown(InHand(1800, count=3))
    panel.take_out.click()
    assert panel.sheet.value == shown()
    assert panel.take_out.disabled


def test_stock_of_no_use_is_named_and_saves_none():
    panel = stock_panel(plan(), stock=[InHand(150, "neither end")])
    assert "9 boards to buy: what is in hand saves none." in panel.sheet.value
    assert "Not used here: offcut of 150 mm, neither end." in panel.sheet.value


def test_a_reader_is_told_that_shorter_boards_never_lie_in_the_middle_of_a_row():
    assert escape(SHORTER_BOARDS) in shown()
    assert escape(SHORTER_BOARDS) in shown(InHand(1200))
    found = as_laid.plan_from_stock(plan(), [InHand(1200, count=12)])
    held = set(found.used["board"])
    assert held
    joined = found.plan.joined
    middle = joined["left"] & joined["right"]
    assert not set(found.plan.pieces["board"][middle]) & held


@pytest.mark.parametrize(
    ("values", "field", "told"),
    [
        ({"length": 0}, "length", "Length, mm must be 1 to 1800 mm, got 0 mm."),
        ({"length": 2200}, "length", "Length, mm must be 1 to 1800 mm, got 2200 mm."),
        ({"length": 900, "count": 0}, "count", "How many must be 1 to 1000 pieces, got 0 pieces."),
    ],
)
def test_stock_that_can_not_be_is_refused_under_its_field_and_then_got_over(values, field, told):
    panel = stock_panel(plan(), stock=[InHand(1800)])
    put(panel, **values)
    assert told in panel.fields[field].complaint.value
    assert panel.held == [InHand(1800)]
    put(panel, length=900, end="tongue end")
    assert panel.fields[field].complaint.value == ""
    assert panel.held == [InHand(1800), InHand(900, "tongue end")]


def test_a_name_that_is_no_line_is_refused_in_the_alert():
    panel = stock_panel(plan())
    put(panel, length=900, name="x" * 501)
    assert "name must be one line of 1 to 500 characters" in panel.alert.value
    assert panel.held == []
    put(panel, length=900)
    assert panel.alert.value == ""


def test_one_board_is_told_in_the_singular():
    found = as_laid.plan_from_stock(plan(), [InHand(1800, count=8)])
    assert saving_sentence(found) == "1 board to buy; 8 boards need not be bought."
