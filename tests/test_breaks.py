"""Where a long floor must be broken: fewest breaks, shortest bars, nothing left too long."""

from dataclasses import replace
from itertools import pairwise

import pytest
from floors import demo_boards, demo_room, random_floors, rectangle
from hypothesis import given, settings
from hypothesis import strategies as st

import flooring_kit as fk
from flooring_kit.breaks import floor_breaks

BOARD = fk.Board("Plank", 1380, 193, 8, 8, longest_along_mm=12_000, longest_across_mm=8000)
QUICK = fk.Search(quick=True)


def breaks_of(room, board=BOARD, **more):
    return floor_breaks(fk.set_out(room, board, search=QUICK, **more))


def test_a_floor_within_its_leaflet_needs_no_break():
    assert breaks_of(rectangle(12_020, 8020)) == []


def test_a_floor_a_little_too_long_is_broken_in_its_middle():
    (one,) = breaks_of(rectangle(14_020, 4020))
    assert (one.runs, one.run_mm, one.limit_mm) == ("along", 14_000, 12_000)
    assert one.from_mm == pytest.approx(7000, abs=0.1)
    assert one.length_mm == pytest.approx(4000)
    assert one.sentence() == (
        "The floor runs 14.00 m along the boards, over the 12 m of its leaflet. Break it 7.01 m from the wall the rows "
        "start at: a gap with a level bar, 4.00 m long."
    )


def test_a_floor_too_wide_is_broken_along_a_row():
    (one,) = breaks_of(rectangle(10_020, 9020))
    assert one.sentence() == (
        "The floor runs 9.00 m across the boards, over the 8 m of its leaflet. Break it 4.51 m from the start wall: "
        "a gap with a level bar, 10.00 m long."
    )
    assert {round(y, 3) for _, y in one.line.coords} in ({4510.0}, {10 + 4500.0})


def test_a_floor_over_twice_its_limit_takes_two_breaks_of_equal_stretches():
    first, second = breaks_of(rectangle(30_020, 4020))
    assert (first.from_mm, second.from_mm) == (pytest.approx(10_000, abs=0.1), pytest.approx(20_000, abs=0.1))


def test_an_hourglass_is_broken_at_its_waist():
    # two rooms of 5 m joined by a passage 900 wide between x = 6000 and 7000; the floor in it is 880
    waist = ((0, 0), (6000, 0), (6000, 1500), (7000, 1500), (7000, 0), (13_000, 0), (13_000, 5000), (7000, 5000))
    outline = (*waist, (7000, 2400), (6000, 2400), (6000, 5000), (0, 5000))
    (one,) = breaks_of(fk.Room("two rooms", outline), direction=0)
    assert one.length_mm == pytest.approx(880)
    assert 6000 < one.from_mm + 10 < 7000


def test_the_kitchen_needs_a_break_the_short_way_only():
    room, board = demo_room("kitchen_diner"), demo_boards()["Ash plank 1850 x 240"]
    assert breaks_of(room, board, direction="long") == []
    (one,) = breaks_of(room, board, direction="short")
    assert (one.runs, one.run_mm) == ("across", 8580)
    # no break is longer than the leg of the L, 3400 less two gaps
    assert one.length_mm <= 3380


def test_no_break_leaves_a_loose_corner():
    # a square of 6 m laid at 45 degrees is 8.5 m from corner to corner
    square = fk.set_out(rectangle(6000, 6000), BOARD, direction=45, search=QUICK)
    for each in floor_breaks(square):
        assert min(each.from_mm, each.run_mm - each.from_mm) >= 1000


def test_a_break_is_told_from_the_wall_not_from_the_bottom_of_a_doorway():
    # the floor runs 90 mm into a doorway in the start wall; a tape from the wall reads 90 and the gap of 10 less
    recessed = rectangle(9000, 9020, doors=(fk.Door(1, 1000, 800, 100), fk.Door(3, 1000, 800, 100)))
    (one,) = [each for each in breaks_of(recessed, direction=0) if each.runs == "across"]
    assert one.from_mm - one.from_wall_mm == pytest.approx(90, abs=0.1)


@settings(max_examples=40)
@given(st.integers(0, 59), st.integers(1000, 3000))
def test_breaks_leave_no_stretch_over_the_limit_and_one_fewer_would(number, limit):
    _, room, board = FLOORS[number]
    plan = fk.set_out(room, replace(board, longest_along_mm=limit, longest_across_mm=limit), search=QUICK)
    found = floor_breaks(plan)
    for runs, run in zip(("along", "across"), plan.longest_run_mm, strict=True):
        places = [0.0, *(each.from_mm for each in found if each.runs == runs), run]
        assert len(places) - 2 == max(0, -(-round(run, 6) // limit) - 1)
        assert all(after - before <= limit + 1e-3 for before, after in pairwise(places))


FLOORS = list(random_floors(60, seed=5))
