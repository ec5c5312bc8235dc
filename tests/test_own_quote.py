"""The kit's own quote: it passes the kit's own check, its sums are the whole price, and it tells what it leaves out."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache

import pytest
from floors import demo_room

import flooring_kit as fk
from flooring_kit.own_quote import LEFT_OUT, often_forgotten, own_quote

SHOP = fk.read_catalogue(fk.demo_path())
DAY = date(2026, 11, 25)


@cache
def job(name):
    room = demo_room(name)
    chosen = fk.Choices(
        fk.Materials("Oak plank 1380 x 193", "Foam sheet 3 mm", "White scotia 18 mm"),
        fk.Laying(direction=room.boards_run),
        work=fk.Work(hourly_rate=30.0),
    )
    done = fk.estimate(room, chosen, SHOP, quick=True)
    return done, fk.whole_price(done, SHOP)


@pytest.mark.parametrize("name", ["box_room", "back_bedroom", "hall", "sitting_room", "kitchen_diner"])
def test_the_kits_own_quote_passes_its_own_check(name):
    done, whole = job(name)
    quote = own_quote("Ours", done, whole, SHOP, valid_until=date(2027, 1, 31))
    assert fk.check_quote(quote, done, whole, today=DAY, catalogue=SHOP) == []


def test_a_quote_adds_up_and_carries_tax_once():
    done, whole = job("hall")
    quote = own_quote("Ours", done, whole, SHOP, valid_until=date(2027, 1, 31))
    assert sum(line.amount for line in quote.lines) == quote.subtotal
    assert quote.total == quote.subtotal + quote.tax
    assert quote.tax == (quote.subtotal * Decimal("0.2")).quantize(Decimal("0.01"))
    assert [line.row for line in quote.lines] == list(range(2, len(quote.lines) + 2))


def test_a_fire_door_is_left_out_by_name_and_nothing_else_is_added():
    done, whole = job("hall")
    quote = own_quote("Ours", done, whole, SHOP, valid_until=date(2027, 1, 31))
    assert quote.excludes == (
        *LEFT_OUT,
        "gripper rods, pins and old adhesive, if there are any, at £30.00 an hour",
        "taking off an old bead and making the skirting good, if there is one, at £30.00 an hour",
        "easing the fire door to the study: only after a competent person says so",
    )
    done, whole = job("box_room")
    (left_out,) = own_quote("Ours", replace(done, trim=None), whole, SHOP, valid_until=DAY, excludes=()).excludes
    assert left_out.startswith("gripper rods")


def test_levelling_chosen_for_a_floor_without_levels_is_said_to_be_left_out():
    done, _ = job("hall")
    asked = replace(done, choices=replace(done.choices, work=fk.Work(level_to="flat")))
    assert not asked.is_levelled
    assert not any("neither priced nor in the calendar" in told for told in often_forgotten(done))
    assert any("has 0 levels" in told and "neither priced nor" in told for told in often_forgotten(asked))


def test_what_the_survey_asks_for_and_the_price_lacks_is_left_out_by_name():
    done, whole = job("kitchen_diner")  # a straightedge found 4 mm, and nobody levels
    assert "preparation" not in whole.by_group()
    assert "preparation" in own_quote("Ours", done, whole, SHOP, valid_until=DAY).excludes


def test_a_line_without_a_price_is_told_and_has_no_amount():
    done, whole = job("box_room")
    boards = replace(whole.lines[0], unit_price=None)
    quote = own_quote("Ours", done, replace(whole, lines=(boards, *whole.lines[1:])), SHOP, valid_until=DAY)
    assert quote.lines[0].amount is None
    assert quote.notes == ("Oak plank 1380 x 193: price to be told.",)


def test_what_is_often_forgotten_follows_from_the_survey():
    told = " ".join(often_forgotten(job("hall")[0]))
    assert "3 mm of old covering come up: gripper rods" in told
    assert "may hold asbestos" in told
    bare = job("box_room")[0]
    none = replace(bare, trim=None)
    assert not any("old bead" in each for each in often_forgotten(none))
