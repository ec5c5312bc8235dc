"""Whole rooms by kind of board: each with what goes with it, held against the plain calls."""

from dataclasses import replace
from html import escape

import pytest
from floors import demo_room, rectangle

import flooring_kit as fk
from flooring_kit.comparison_sheet import room_options_html
from flooring_kit.room_options import (
    KIND_WORDS,
    ROOM_OPTION_COLUMNS,
    cheapest_sentence,
    room_options,
    room_options_table,
    solid_sentence,
    suiting_underlay,
)
from flooring_kit.suitability import misfits
from flooring_kit.work import work_hours

SHOP = fk.read_catalogue(fk.demo_path())
KINDS = ["Oak plank 1380 x 193", "Engineered oak plank 1900 x 190", "Stone-grey vinyl plank 1220 x 180"]
CHOICES = fk.Choices(fk.Materials(KINDS[0], "Foam sheet 3 mm", "White scotia 18 mm"), work=fk.Work(hourly_rate=30.0))
ROOM = rectangle(3200, 2400, subfloor="timber")
OPTIONS = room_options(ROOM, CHOICES, SHOP, boards=KINDS, quick=True)


def test_each_option_is_what_its_own_calls_say():
    for option in OPTIONS:
        own = replace(
            CHOICES,
            materials=fk.Materials(option.board.name, option.estimate.underlay.name, "White scotia 18 mm"),
        )
        estimate = fk.estimate(ROOM, own, SHOP, quick=True)
        assert option.whole == fk.whole_price(estimate, SHOP)
        hours = work_hours(estimate, SHOP)
        assert option.hours == (hours["low_h"].sum(), hours["high_h"].sum())
        assert option.doors_to_ease == 0  # a room without doors


def test_vinyl_gets_an_underlay_of_200_kpa_and_says_so_where_another_was_chosen():
    laminate, engineered, vinyl = OPTIONS
    assert laminate.estimate.underlay.name == engineered.estimate.underlay.name == "Foam sheet 3 mm"
    strength = vinyl.estimate.underlay.compressive_strength_kpa
    assert strength is not None
    assert strength >= 200
    name = vinyl.estimate.underlay.name
    assert vinyl.changes("Foam sheet 3 mm") == [
        KIND_WORDS["vinyl"],
        f"{name} instead of Foam sheet 3 mm, which does not suit this board here.",
    ]
    assert laminate.changes("Foam sheet 3 mm") == [KIND_WORDS["laminate"]]


def test_the_underlay_taken_instead_costs_least_of_those_that_suit():
    plan = OPTIONS[2].estimate.plan
    taken = suiting_underlay(plan, CHOICES, SHOP)
    rows = {}
    for name, each in SHOP.underlays.items():
        if not misfits(ROOM, plan.board, each):
            # 3.18 x 2.38 = 7.57 m² of floor
            rows[name] = each.pack_price * -(-7.57 // each.pack_area_m2)
    assert rows[taken.name] == min(rows.values())


def test_where_nothing_suits_the_chosen_underlay_stays_and_the_misfit_is_told():
    soft = replace(SHOP, underlays={"Foam sheet 3 mm": SHOP.underlay("Foam sheet 3 mm")})
    (vinyl,) = room_options(ROOM, CHOICES, soft, boards=KINDS[2:], quick=True)
    assert vinyl.estimate.underlay.name == "Foam sheet 3 mm"
    assert vinyl.changes("Foam sheet 3 mm")[-1].startswith("Does not suit: Foam sheet 3 mm: too soft at 60 kPa;")


def test_doors_that_will_not_clear_are_counted_and_told():
    options = room_options(demo_room("hall"), CHOICES, SHOP, boards=KINDS[1:], quick=True)
    for option in options:
        ledger = option.estimate.heights(SHOP.bars.values())
        assert option.doors_to_ease == ((ledger["ease_mm"] > 0) & (ledger["name"] != "to the study")).sum()  # fire door
    high, low = options
    assert high.doors_to_ease >= low.doors_to_ease  # 17 mm against 8
    told = [each for each in high.changes("Foam sheet 3 mm") if "to ease" in each]
    leaves = "leaf" if high.doors_to_ease == 1 else "leaves"
    assert told == [f"{high.doors_to_ease} door {leaves} to ease at {high.estimate.height_mm:g} mm."]


def test_the_table_says_unknown_where_a_line_has_no_price():
    table = room_options_table(OPTIONS)
    assert list(table.columns) == ROOM_OPTION_COLUMNS
    assert table["kind"].tolist() == ["laminate", "engineered", "vinyl"]
    assert table["price"].tolist() == [float(option.whole.with_tax) for option in OPTIONS]
    unpriced = replace(SHOP, boards={KINDS[0]: replace(SHOP.board(KINDS[0]), pack_price=None)})
    (option,) = room_options(ROOM, CHOICES, unpriced, boards=KINDS[:1], quick=True)
    assert room_options_table([option])[["price", "per_m2"]].isna().all(axis=None)


def test_solid_boards_are_told_by_a_ratio_and_never_planned():
    laminate = OPTIONS[0].whole
    about = round(float(laminate.with_tax) * 1.6, -1)
    told = (
        "Solid boards are nailed or glued, in mixed lengths: no floating floor, and none is set out here. "
        "Supplied and fitted they come to about 1.6 times laminate (common practice, no source)"
    )
    assert solid_sentence(OPTIONS) == f"{told}: about £{about:,.0f} here."
    assert solid_sentence(OPTIONS[1:]) == f"{told}; set an hourly rate and compare a laminate to see the sum."


def test_the_cheapest_and_the_dearest_in_a_sentence():
    table = room_options_table(OPTIONS).set_index("board")["price"]
    more = table.max() - table.min()
    assert cheapest_sentence(OPTIONS) == (
        f"{table.idxmin()} costs least all in, £{table.min():,.2f}; {table.idxmax()} £{more:,.2f} more."
    )
    assert cheapest_sentence(OPTIONS[:1]) == ""
    soft = replace(SHOP, underlays={"Foam sheet 3 mm": SHOP.underlay("Foam sheet 3 mm")})
    unsuited = room_options(ROOM, CHOICES, soft, boards=KINDS, quick=True)
    assert cheapest_sentence(unsuited).endswith(
        " Something does not suit with 1 option: Stone-grey vinyl plank 1220 x 180."
    )


def test_the_sheet_shows_every_option_and_what_it_changes():
    html = room_options_html(OPTIONS, "Foam sheet 3 mm")
    for option in OPTIONS:
        assert option.board.name in html
        assert f"£{option.whole.with_tax:,.2f}" in html
        assert escape(KIND_WORDS[option.board.kind]) in html
    assert solid_sentence(OPTIONS) in html


@pytest.mark.parametrize("name", ["kitchen_diner"])
def test_over_heating_the_underlay_taken_keeps_within_the_limit(name):
    (option,) = room_options(demo_room(name), CHOICES, SHOP, boards=KINDS[1:2], quick=True)
    suited = [each for each in SHOP.underlays.values() if not misfits(option.estimate.room, option.board, each)]
    assert (option.estimate.underlay in suited) == bool(suited)
