"""The calendar back from the day of laying: days counted by hand on a calendar."""

from __future__ import annotations

import math
from datetime import date

import pytest

from flooring_kit.laying_calendar import Waits, laying_calendar

MONDAY = date(2027, 3, 15)


def days_of(table):
    return {what: day.isoformat() for day, what in zip(table["day"], table["what"], strict=True)}


def test_a_plain_floor_is_ordered_delivered_and_acclimatised():
    told = days_of(laying_calendar(MONDAY, hours=8, waits=Waits(delivery_days=7, acclimatise_days=2)))
    assert told == {
        "order boards, underlay and trims": "2027-03-06",
        "read the subfloor's moisture and write it down": "2027-03-12",
        "packs into the room, flat and unopened": "2027-03-13",
        "lay the floor": "2027-03-15",
        "bars, trims, doors hung again": "2027-03-16",  # 8 h at 7 h a day: two days
    }


@pytest.mark.parametrize(
    ("hours", "last"), [(0.5, "2027-03-15"), (7, "2027-03-15"), (14, "2027-03-16"), (14.5, "2027-03-17")]
)
def test_work_is_spread_over_days(hours, last):
    assert days_of(laying_calendar(MONDAY, hours=hours))["bars, trims, doors hung again"] == last


def test_heating_goes_down_before_and_up_after_the_last_board():
    told = days_of(laying_calendar(MONDAY, hours=14, heated=True, waits=Waits(heating_down_days=3, heating_up_days=2)))
    assert (told["heating down"], told["heating up, a little each day"]) == ("2027-03-12", "2027-03-18")


def test_compound_dries_before_the_packs_come_in_over_the_end_of_february():
    told = days_of(laying_calendar(date(2028, 3, 4), hours=5, levelled=True, waits=Waits(0, 2, 3)))
    assert told["packs into the room, flat and unopened"] == "2028-03-02"
    assert told["pour the levelling compound"] == "2028-02-28"  # 2028 is a leap year: 28, 29, 1


def test_a_screed_that_dries_too_late_asks_for_a_later_day():
    # common practice: a millimetre a day to 50 mm, so 50 mm from 1 March are dry on 20 April
    table = laying_calendar(date(2027, 4, 10), hours=5, screed_dries_from=date(2027, 3, 1), screed_mm=50)
    row = table[table["what"] == "the screed may be dry"].iloc[0]
    assert row["day"] == date(2027, 4, 20)
    assert "10 days after the day of laying: lay later" in row["why"]
    early = laying_calendar(date(2027, 4, 25), hours=5, screed_dries_from=date(2027, 3, 1), screed_mm=50)
    assert not early["why"].str.contains("lay later").any()


def test_days_stand_in_order():
    table = laying_calendar(
        MONDAY, hours=40, heated=True, levelled=True, screed_dries_from=date(2027, 1, 1), screed_mm=40
    )
    assert table["day"].is_monotonic_increasing
    assert len(table) == 9


@pytest.mark.parametrize("hours", [0, 0.4, 1001, math.nan, True])
def test_hours_out_of_range_are_named(hours):
    with pytest.raises(ValueError, match="hours of work"):
        laying_calendar(MONDAY, hours=hours)


def test_half_a_screed_and_days_out_of_range_are_named():
    with pytest.raises(ValueError, match="tell both the day it dries from and its thickness"):
        laying_calendar(MONDAY, hours=5, screed_mm=50)
    with pytest.raises(ValueError, match="days of delivery"):
        Waits(delivery_days=-1)
    with pytest.raises(ValueError, match="days of acclimatising"):
        Waits(acclimatise_days=61)
