"""Panels for weighing options, board widths, running short and quotes: a handle moved shows the plain call."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

import openpyxl
import pandas as pd
import pytest

import flooring_kit as fk
from flooring_kit.board_widths import width_table
from flooring_kit.comparison_sheet import comparison_html, weighing_html
from flooring_kit.html_parts import sentences_html, sheet_html
from flooring_kit.measuring_errors import FIRST_TIMER, TRADE
from flooring_kit.panels import (
    board_width_panel,
    own_quote_panel,
    quote_panel,
    short_panel,
    weigh_panel,
)
from flooring_kit.panels.board_width import Asked
from flooring_kit.panels.quote import EXAMPLE, NONE, TYPED, TYPED_FILE
from flooring_kit.panels.running_short import ROOMS_MEASURED
from flooring_kit.panels.weigh import MAY_BE_BETTERED, NOTE
from flooring_kit.quote_sheet import quote_html
from flooring_kit.quotes import column_signs, quotes_side_by_side
from flooring_kit.shortage_sheet import STILL_COUNTING
from flooring_kit.weighing import EVEN, sorted_by
from flooring_kit.weighing_sheet import wider_sentences

ROOMS = {room.name: room for room in map(fk.read_room, sorted(fk.demo_path("rooms").glob("*.toml")))}
SHOP = fk.read_catalogue(fk.demo_path())
OAK, ASH, FOAM, CORK = "Oak plank 1380 x 193", "Ash plank 1850 x 240", "Foam sheet 3 mm", "Cork roll 3 mm"
SCOTIA = "White scotia 18 mm"
CHOICES = fk.Choices(fk.Materials(OAK, FOAM, SCOTIA))
QUOTES = {path.stem: path for path in sorted(fk.demo_path("quotes").glob("*_fitter_*.csv"))}
DAY = date(2026, 11, 25)


@pytest.fixture(autouse=True)
def own_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("FLOORING_KIT_WORK", str(tmp_path))
    return tmp_path / "own"


def put(panel, field, value):
    panel.fields[field].control.value = value


# ---------------------------------------------------------------------- weighing options


@pytest.fixture(scope="module")
def weighed():
    panel = weigh_panel(ROOMS, SHOP, CHOICES, room="Box room")
    panel.settle()
    return panel


def plain(*, boards=(OAK, ASH), underlays=(FOAM, "Foam roll 2 mm"), **more):
    room = ROOMS["Box room"]
    return fk.comparison_table(fk.compare(room, CHOICES, SHOP, boards=list(boards), underlays=list(underlays), **more))


def test_the_weighing_panel_shows_the_plain_comparison_and_its_weighing(weighed):
    table = weighed.options()
    pd.testing.assert_frame_equal(table, plain(underlays=table["underlay"].unique()[:2]))
    assert weighed.table.value == sheet_html(comparison_html(table, currency="£", note=NOTE))
    assert weighed.weighing.value == sheet_html(weighing_html(table, EVEN))
    assert weighed.pictures.value.count("<svg") == 2
    assert "Every floor is settled." in weighed.progress.words.value


def test_a_weight_moved_weighs_anew_and_sets_out_nothing(weighed, monkeypatch):
    before = weighed.table.value
    monkeypatch.setattr("flooring_kit.panels.weigh.estimate", None)
    put(weighed, "weight of price", 5)
    put(weighed, "weight of joints", 0)
    assert weighed.weighing.value == sheet_html(weighing_html(weighed.options(), {**EVEN, "price": 5, "joints": 0}))
    assert weighed.table.value == before
    put(weighed, "weight of price", 1)
    put(weighed, "weight of joints", 1)


def test_the_table_is_sorted_by_the_column_chosen(weighed):
    as_ticked = weighed.options()
    put(weighed, "sort", "price")
    assert weighed.options().equals(sorted_by(as_ticked, "price"))
    assert weighed.table.value == sheet_html(comparison_html(sorted_by(as_ticked, "price"), currency="£", note=NOTE))
    put(weighed, "sort", "")
    assert weighed.options().equals(as_ticked)


def test_trims_and_directions_are_compared_where_they_are_ticked():
    panel = weigh_panel(ROOMS, SHOP, CHOICES, room="Box room")
    panel.ticks["boards"].ticks[ASH].value = False
    panel.ticks["trims"].ticks["no trim"].value = True
    panel.ticks["ways"].ticks["the short way"].value = True
    panel.settle()
    names = panel.ticks["underlays"].chosen
    told = plain(boards=[OAK], underlays=names, trims=[None, SCOTIA], directions=["long", "short"])
    pd.testing.assert_frame_equal(panel.options(), told)


def test_a_group_with_nothing_ticked_is_complained_of_and_got_over():
    panel = weigh_panel(ROOMS, SHOP, CHOICES, room="Box room")
    before = panel.table.value
    for name in panel.ticks["ways"].chosen:
        panel.ticks["ways"].ticks[name].value = False
    assert "Boards run: tick at least one." in panel.ticks["ways"].complaint.value
    assert panel.table.value == before
    panel.ticks["ways"].ticks["the long way"].value = True
    assert panel.ticks["ways"].complaint.value == ""


def test_too_many_floors_or_options_are_refused_in_words():
    panel = weigh_panel(ROOMS, SHOP, CHOICES, room="Box room")
    panel.ticks["ways"].ticks["the short way"].value = True
    for tick in panel.ticks["boards"].ticks.values():
        tick.value = True
    assert "16 floors to set out: a board in a direction each. Take away some; 8 are the most." in panel.alert.value
    panel.ticks["ways"].ticks["the short way"].value = False
    for tick in panel.ticks["underlays"].ticks.values():
        tick.value = True
    assert "64 options are too many to read. Take away some; 48 are the most." in panel.alert.value
    assert panel.alert.value.count("role='alert'") == 1


def test_weights_of_nought_are_refused_and_a_gap_out_of_range_stays_under_its_field(weighed):
    for name in EVEN:
        put(weighed, f"weight of {name}", 0)
    assert "weights are all 0: give at least one point a weight." in weighed.alert.value
    for name in EVEN:
        put(weighed, f"weight of {name}", 1)
    assert weighed.alert.value == ""
    put(weighed, "gap", 300)
    assert "Gap must be 0 to 30 mm, got 300 mm." in weighed.fields["gap"].complaint.value
    put(weighed, "gap", 10)
    weighed.settle()
    assert weighed.fields["gap"].complaint.value == ""


def test_stopping_keeps_the_quick_plans_and_says_they_may_be_bettered():
    panel = weigh_panel(ROOMS, SHOP, CHOICES, room="Box room")
    panel.progress.stop.click()
    assert "Stopped before every floor was set out." in panel.progress.words.value
    assert panel.table.value == ""
    put(panel, "gap", 12)
    panel.settle()
    panel.progress.stop.click()
    assert MAY_BE_BETTERED in panel.progress.words.value
    assert panel.progress.stop.layout.display == "none"


# ---------------------------------------------------------------------- board width


def test_the_width_panel_shows_both_boards_and_the_difference():
    panel = board_width_panel(ROOMS, SHOP, CHOICES, room="Back bedroom")
    put(panel, "width", 190)
    put(panel, "wider", 8)
    room, board = ROOMS["Back bedroom"], SHOP.board(OAK)
    plans = [
        fk.set_out(room, replace(board, width_mm=width), direction=room.boards_run, search=fk.Search(quick=True))
        for width in (190.0, 198.0)
    ]
    assert [plan.boards_needed for plan in panel.plans()] == [plan.boards_needed for plan in plans]
    assert panel.told.value == sentences_html(wider_sentences(*plans))
    assert f"190 mm wide: {plans[0].boards_needed} boards" in panel.pictures.value


def test_the_sentences_on_a_wider_board_are_true_of_both_plans():
    # 1360 x 980 clear: 196 fills it with five whole rows of one board; 191 leaves a sixth row of 25 mm
    room = fk.Room("Store", ((0, 0), (1380, 0), (1380, 1000), (0, 1000)))
    plans = [
        fk.set_out(room, fk.Board("Plank", 1380, width, 8, 8), rules=fk.LayingRules(narrowest_row_mm=20))
        for width in (191, 196)
    ]
    told = wider_sentences(*plans)
    assert told[0].startswith("5 mm wider: 1 board fewer, 5 instead of 6 (fewest possible 5 instead of ")
    assert told[1] == "Board area 1.35 m² instead of 1.58 m²."
    assert told[2].startswith("Narrowest strip 196 mm instead of ")
    same = wider_sentences(plans[1], plans[1])
    assert same[0] == "0 mm wider: as many boards, 5 instead of 5 (fewest possible 5 instead of 5)."
    assert wider_sentences(plans[1], plans[0])[0].startswith("-5 mm wider: 1 board more, 6 instead of 5")


def test_the_curve_reaches_both_sides_of_the_two_widths_and_is_drawn_when_settled():
    asked = Asked(ROOMS["Box room"], SHOP.board(OAK), 5.0, fk.LayingRules())
    widths = asked.widths_mm
    assert (widths[0], widths[-1]) == (169, 222)
    assert {193.0} <= set(widths)
    panel = board_width_panel(ROOMS, SHOP, CHOICES, room="Box room")
    panel.settle()
    assert panel.curve.value.startswith("<div style='max-width:720px'><svg")
    assert "Boards, board area over the floor and narrowest strip against board width in Box room." in panel.curve.value
    assert "The curve is complete." in panel.progress.words.value
    # the curve's own figures are those of the plain call
    table = width_table(asked.room, asked.board, [193.0], rules=asked.rules, direction="long")
    assert table["boards"].tolist() == [panel.plans()[0].boards_needed]


def test_another_board_brings_its_own_size_and_a_wrong_width_is_complained_of():
    panel = board_width_panel(ROOMS, SHOP, CHOICES, room="Box room")
    put(panel, "board", ASH)
    assert (panel.fields["width"].value, panel.fields["length"].value) == (240, 1850)
    assert panel.plans()[0].board.width_mm == 240
    put(panel, "width", 900)
    assert "Width must be 60 to 370 mm, got 900 mm." in panel.fields["width"].complaint.value
    assert panel.plans()[0].board.width_mm == 240
    put(panel, "width", 200)
    assert panel.fields["width"].complaint.value == ""
    assert panel.plans()[0].board.width_mm == 200
    panel.progress.stop.click()
    assert "Stopped: the curve is as far as it came." in panel.progress.words.value


# ---------------------------------------------------------------------- running short


def test_the_chances_shown_are_those_of_the_plain_calls():
    panel = short_panel(ROOMS, SHOP, CHOICES, room="Box room")
    panel.settle()
    room = ROOMS["Box room"]
    asked = replace(CHOICES, laying=replace(CHOICES.laying, direction=room.boards_run))
    order = fk.estimate(room, asked, SHOP, quick=True)
    measured = list(fk.replans(order.plan, TRADE, underlay=order.underlay, trim=order.trim, count=ROOMS_MEASURED))
    told = fk.chances(measured, fk.Bought.ordered(order.take_off), TRADE)
    assert panel.shortage().sentences() == told.sentences()
    for sentence in (chance.just_enough for chance in told.chances):
        assert sentence in panel.sheet.value
    put(panel, "extra_packs", -1)
    fewer = replace(fk.Bought.ordered(order.take_off), packs=order.take_off.boards.packs - 1)
    assert panel.shortage().sentences() == fk.chances(measured, fewer, TRADE).sentences()
    put(panel, "stop_price", 300)
    now = panel.shortage().boards
    worth = fk.worth_another_pack(now.chance_fraction, now.chance_with_one_more, pack_price=38.40, stopping_price=300)
    assert worth.sentence() in panel.sheet.value


def test_a_first_timer_measures_anew_and_a_wrong_tape_is_complained_of():
    panel = short_panel(ROOMS, SHOP, CHOICES, room="Box room")
    put(panel, "who", "someone who does it for the first time")
    assert "Room measured anew 1 of 25 times." in panel.progress.words.value
    assert STILL_COUNTING in panel.sheet.value
    panel.progress.stop.click()
    assert "Stopped after 1 rooms measured anew." not in panel.progress.words.value
    assert "Stopped after 1 room measured anew." in panel.progress.words.value
    assert panel.shortage().replans == 1
    assert STILL_COUNTING not in panel.sheet.value
    assert FIRST_TIMER.miscut_fraction == 0.03
    put(panel, "tape", 99)
    assert "Tape must be 0 to 20 mm, got 99 mm." in panel.fields["tape"].complaint.value
    put(panel, "tape", 2)
    assert panel.fields["tape"].complaint.value == ""


def test_a_pack_without_a_price_is_not_weighed():
    shop = replace(SHOP, boards={OAK: replace(SHOP.board(OAK), pack_price=None)})
    panel = short_panel(ROOMS, shop, CHOICES, room="Box room")
    panel.settle()
    told = "No price is known for a pack of these boards: one more can&#x27;t be weighed against a stop."
    assert told in panel.sheet.value


# ---------------------------------------------------------------------- a quote checked


@pytest.fixture
def quotes():
    return quote_panel(ROOMS, SHOP, CHOICES, QUOTES, today=DAY)


def own_figures(name):
    room = ROOMS[name]
    asked = replace(CHOICES, laying=replace(CHOICES.laying, direction=room.boards_run), work=fk.Work(hourly_rate=30.0))
    order = fk.estimate(room, asked, SHOP)
    return order, fk.whole_price(order, SHOP)


@pytest.mark.parametrize(("name", "room"), [("hall_fitter_e", "Hall"), ("kitchen_diner_fitter_f", "Kitchen-diner")])
def test_a_quote_chosen_is_held_against_the_room_it_names(quotes, name, room):
    put(quotes, "quote", name)
    assert quotes.fields["room"].value == room
    quote = fk.read_quote(QUOTES[name])
    order, whole = own_figures(room)
    found = fk.check_quote(quote, order, whole, catalogue=SHOP, today=DAY)
    assert quotes.findings() == found
    assert quotes.sheet.value == quote_html(
        quote, found, quotes_side_by_side([quote], whole), column_signs([quote], whole)
    )


def test_a_second_quote_stands_beside_the_first_on_one_basis(quotes):
    put(quotes, "quote", "hall_fitter_c")
    put(quotes, "beside", "hall_fitter_e")
    _, whole = own_figures("Hall")
    both = [fk.read_quote(QUOTES[name]) for name in ("hall_fitter_c", "hall_fitter_e")]
    assert quotes.sheet.value == quote_html(
        both[0], quotes.findings(), quotes_side_by_side(both, whole), column_signs(both, whole)
    )


def test_columns_are_mapped_by_the_user_and_a_needed_one_left_out_is_told(quotes, tmp_path):
    odd = tmp_path / "odd.csv"
    odd.write_text("Bezeichnung,Zahl,Summe\nOak plank packs,4,160.00\nFoam,1,21.00\n", encoding="utf-8")
    panel = quote_panel(ROOMS, SHOP, CHOICES, {"odd": odd}, room="Box room", today=DAY)
    assert panel.fields["column item"].control.options == ("Bezeichnung", "Zahl", "Summe", NONE)
    assert panel.fields["column item"].value == NONE
    assert "item" in panel.alert.value
    for field, head in (("item", "Bezeichnung"), ("quantity", "Zahl"), ("amount", "Summe")):
        put(panel, f"column {field}", head)
    assert panel.alert.value == ""
    assert [line.item for line in panel.quote().lines] == ["Oak plank packs", "Foam"]
    assert [str(line.amount) for line in panel.quote().lines] == ["160.00", "21.00"]


def test_typed_lines_are_checked_and_are_on_disk(quotes, own_folder):
    put(quotes, "quote", TYPED)
    assert quotes.typed.layout.display == ""
    assert [line.item for line in quotes.quote().lines] == [
        "Laminate oak 1380 x 193",
        "Underlay foam 3 mm",
        "Fitting",
    ]
    quotes.typed.value = EXAMPLE.replace("345.60", "354.60").replace("627.60", "636.60")
    assert any("9 at 38.40 is charged at 354.60" in each.says for each in quotes.findings())
    assert (own_folder / TYPED_FILE).read_text(encoding="utf-8") == quotes.typed.value
    again = quote_panel(ROOMS, SHOP, CHOICES, QUOTES, today=DAY)
    assert again.typed.value == quotes.typed.value  # what was typed is there again


def test_a_typed_quote_that_cannot_be_read_is_told_and_got_over(quotes):
    put(quotes, "quote", TYPED)
    quotes.typed.value = ""
    assert "role='alert'" in quotes.alert.value
    assert quotes.sheet.value == ""  # findings of another quote would stand beside the complaint
    quotes.typed.value = EXAMPLE
    assert quotes.alert.value == ""


def test_a_file_brought_in_is_kept_and_chosen(quotes, own_folder):
    content = QUOTES["hall_fitter_c"].read_bytes()
    quotes.upload.value = (
        {"name": "my quote.csv", "type": "text/csv", "size": len(content), "content": content,
         "last_modified": datetime(2026, 11, 1)},
    )  # fmt: skip
    assert quotes.fields["quote"].value == "my quote"
    assert (own_folder / "my quote.csv").read_bytes() == content
    assert [line.item for line in quotes.quote().lines] == [
        line.item for line in fk.read_quote(QUOTES["hall_fitter_c"]).lines
    ]


def test_the_findings_are_saved_as_a_page_that_fetches_nothing(quotes, own_folder):
    put(quotes, "quote", "hall_fitter_e")
    quotes.save.click()
    page = (own_folder / "findings, hall_fitter_e.html").read_text(encoding="utf-8")
    assert "findings, hall_fitter_e.html" in quotes.status.value
    assert quotes.sheet.value in page
    assert page.startswith("<!DOCTYPE html>")
    for outside in ("http", "src=", "<script"):
        assert outside not in page
    assert "Local codes and licensed practice decide." in page


# ---------------------------------------------------------------------- one's own quote


def test_the_own_quote_shows_every_line_of_the_whole_price(own_folder):
    panel = own_quote_panel(ROOMS, SHOP, CHOICES, room="Hall", today=DAY)
    put(panel, "rate", 32)
    room = ROOMS["Hall"]
    asked = replace(CHOICES, laying=replace(CHOICES.laying, direction=room.boards_run), work=fk.Work(hourly_rate=32.0))
    whole = fk.whole_price(fk.estimate(room, asked, SHOP), SHOP)
    assert panel.whole() == whole
    for line in whole.lines:
        assert line.item in panel.sheet.value
    assert panel.quote().valid_until == (DAY + timedelta(days=30)).isoformat()
    panel.save_csv.click()
    read = pd.read_csv(own_folder / "order, Hall floor.csv")
    assert read["item"].tolist() == whole.order_list()["item"].tolist()
    panel.save_xlsx.click()
    book = openpyxl.load_workbook(own_folder / "order, Hall floor.xlsx")
    assert [row[0].value for row in book.active.iter_rows(min_row=2)] == whole.order_list()["group"].tolist()
    panel.save_quote.click()
    page = (own_folder / "quote, Hall floor.html").read_text(encoding="utf-8")
    assert whole.money(whole.with_tax) in page
    assert "quote, Hall floor.html" in panel.status.value


def test_unpaid_work_has_no_lines_and_a_day_left_empty_is_complained_of():
    panel = own_quote_panel(ROOMS, SHOP, CHOICES, room="Hall", today=DAY)
    put(panel, "rate", 0)
    assert "work" not in panel.whole().by_group()
    before = panel.sheet.value
    put(panel, "laying_day", None)
    assert "Laying day: set a day, such as 2026-12-23." in panel.fields["laying_day"].complaint.value
    assert panel.sheet.value == before
    put(panel, "laying_day", date(2027, 1, 11))
    assert "Mon 11 Jan 2027" in panel.sheet.value
    put(panel, "first_timer", True)
    assert panel.fields["laying_day"].complaint.value == ""


def test_days_that_are_past_already_are_told_with_the_first_day_laying_could_start():
    panel = own_quote_panel(ROOMS, SHOP, CHOICES, room="Hall", today=DAY)
    assert "past already" not in panel.sheet.value
    put(panel, "laying_day", DAY + timedelta(days=2))
    # ordered ten days before the packs wait two: the order lay ten days back, the delivery is today
    first = DAY + timedelta(days=12)
    assert f"laying could start on {first:%a} {first.day} {first:%b %Y}" in panel.sheet.value
    put(panel, "delivery", 0)
    put(panel, "acclimatise", 0)
    assert "past already" not in panel.sheet.value
    put(panel, "laying_day", DAY)
    assert "1 day of these is past already" in panel.sheet.value  # moisture is read the day before
