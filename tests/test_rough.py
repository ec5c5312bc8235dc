"""Packs from length times width alone, as a range."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flooring_kit.products import Board
from flooring_kit.room import Room
from flooring_kit.rough import rough_order
from flooring_kit.rules import LayingRules
from flooring_kit.setting_out import Search, set_out

OAK = Board("Oak", 1380, 193, 8, 8)


def test_a_rough_order_is_a_range_with_its_reasons():
    # 2.79 x 2.38 m is the box room: 27 boards planned, 31 by keeping the rules as one goes (hand sums in
    # test_alternatives), 2 spare at either end: 29 and 33 boards. Area: 2.79 x 2.38 x 1.1 / 2.1307 = 3.43, 4 packs.
    told = rough_order(2.79, 2.38, OAK, within_m=0)
    assert (told.fewest_packs, told.most_packs, told.by_area_packs) == (4, 5, 4)
    assert told.sentence() == "Between 4 and 5 packs; measure the room before buying."
    assert told.reasons == (
        "At best 2.79 x 2.38 m, planned: 27 boards and 2 for miscuts.",
        "At worst 2.79 x 2.38 m, laid row by row: 31 boards and 2 for a first-timer's miscuts.",
        "A chimney breast, a bay or an L changes both: this is a plain rectangle.",
    )


def test_where_both_ends_agree_one_figure_is_said():
    told = replace(rough_order(2.79, 2.38, OAK, within_m=0), most_packs=4)
    assert told.sentence() == "About 4 packs; measure the room before buying."


@settings(max_examples=15, deadline=None)
@given(st.floats(1.5, 7), st.floats(1.5, 5), st.floats(0, 0.3), st.floats(-1, 1), st.floats(-1, 1))
def test_a_plain_room_within_the_error_needs_packs_within_the_range(length, width, within, a, b):
    told = rough_order(length, width, OAK, within_m=within)
    x, y = (length + a * within) * 1000, (width + b * within) * 1000
    plan = set_out(Room("r", ((0, 0), (x, 0), (x, y), (0, y))), OAK, rules=LayingRules(), search=Search(quick=True))
    packs = -(-(plan.boards_needed + 2) // 8)
    assert told.fewest_packs <= packs
    assert packs <= told.most_packs + 1  # a smaller room can cut worse than the largest, by a few boards
    assert told.fewest_packs <= told.by_area_packs + 1


@pytest.mark.parametrize(
    ("length", "width", "message"),
    [
        (4200, 2.9, "length must be 1 to 30 m, got 4200 m. Give metres: 4.2 for 4200 mm."),
        (4.2, 0, "width must be 1 to 30 m, got 0 m. Give metres: 4.2 for 4200 mm."),
    ],
)
def test_a_room_in_other_units_is_refused(length, width, message):
    with pytest.raises(ValueError) as caught:
        rough_order(length, width, OAK)
    assert str(caught.value) == message
