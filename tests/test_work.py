"""Hours of a room counted from its plan: hand counts on plain rooms, and the accounts of the trade."""

from decimal import Decimal

import pytest
from floors import DEMO_ROOMS, demo_room, rectangle

import flooring_kit as fk
from flooring_kit.labour import OPERATIONS, total_h
from flooring_kit.work import work_hours, work_quantities

SHOP = fk.read_catalogue(fk.demo_path())
MATERIALS = fk.Materials("Oak plank 1380 x 193", "Foam sheet 3 mm", "White scotia 18 mm")


def estimated(room, **more):
    choices = fk.Choices(MATERIALS, fk.Laying(direction=room.boards_run), **more)
    return fk.estimate(room, choices, SHOP, quick=True)


def test_a_plain_room_takes_laying_cuts_bead_and_underlay_and_no_more():
    counts = work_quantities(estimated(rectangle(3000, 2000, subfloor="timber")), SHOP)
    assert set(counts) == {
        "setting out",
        "carrying and clearing up",
        "underlay",
        "laying boards",
        "rips",
        "row ends",
        "bead",
    }
    # 2980 x 1980 = 5.90 m²; 2 x (3 + 2) = 10 m of bead
    assert counts["laying boards"] == counts["underlay"] == pytest.approx(5.9004)
    assert counts["bead"] == pytest.approx(10)


def test_the_hall_counts_its_four_doors_its_sheet_and_its_old_vinyl():
    counts = work_quantities(estimated(demo_room("hall")), SHOP)
    assert counts["openings"] == counts["undercutting frames"] == 4
    assert counts["door bars"] == 3
    assert counts["taking up old covering"] == pytest.approx(5.59)
    assert counts["vapour sheet"] > 0
    assert "easing doors" not in counts  # the one leaf that wants it is a fire door


def test_levelling_is_counted_where_it_is_chosen_and_levels_were_read():
    kitchen = demo_room("kitchen_diner")
    assert "levelling" not in work_quantities(estimated(kitchen), SHOP)
    assert work_quantities(estimated(kitchen, work=fk.Work(level_to="flat")), SHOP)["levelling"] == pytest.approx(37.36)


@pytest.mark.parametrize("name", DEMO_ROOMS)
def test_every_operation_is_one_of_the_table_and_a_first_timer_takes_twice_as_long(name):
    room = demo_room(name)
    trade = work_hours(estimated(room), SHOP)
    assert set(trade["operation"]) <= set(OPERATIONS)
    first = work_hours(estimated(room, work=fk.Work(first_timer=True)), SHOP)
    assert total_h(first) == pytest.approx(tuple(2 * each for each in total_h(trade)))


def test_a_small_hall_with_four_doors_takes_what_fitters_tell():
    # an account of the trade: two hours for laying alone, and 3 to 6 for undercuts, bars and easing on top: 5 to 8,
    # which must lie within the range; taking up and carrying come on top here
    low, high = total_h(work_hours(estimated(demo_room("hall")), SHOP))
    assert low < 8
    assert high > 8


def test_work_is_priced_by_the_hour_where_somebody_is_paid():
    room = demo_room("hall")
    own = fk.whole_price(estimated(room), SHOP)
    assert "work" not in own.by_group()
    paid = fk.whole_price(estimated(room, work=fk.Work(hourly_rate=30.0)), SHOP)
    table = work_hours(estimated(room), SHOP)
    middle = [round((low + high) / 2, 2) for low, high in zip(table["low_h"], table["high_h"], strict=True)]
    assert paid.by_group()["work"] == sum((fk.pricing.amount(hours, 30.0) for hours in middle), Decimal(0))
    assert paid.before_tax == own.before_tax + paid.by_group()["work"]
