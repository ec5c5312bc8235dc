"""Where parts of a floor laid apart come together: hand sums on combs and breasts, and a property on random ones."""

from __future__ import annotations

import math

import pytest
from floors import random_floors, rectangle

import flooring_kit as fk

QUICK = fk.Search(quick=True)
PLANK = fk.Board("plank", 1380, 193, 8, 8)
BREAST = (
    ((0, 0), (4400, 0), (4400, 3610), (2950, 3610)),
    ((2950, 3260), (1500, 3260), (1500, 3610), (0, 3610)),
)
"""A chimney breast 1450 wide and 350 deep in the wall at y = 3610."""


def room(*corners: tuple[float, float], **more: object) -> fk.Room:
    return fk.Room("room", tuple((float(x), float(y)) for x, y in corners), **more)  # type: ignore[arg-type]


def breast_room(**more: object) -> fk.Room:
    return room(*BREAST[0], *BREAST[1], **more)


def found(room: fk.Room, *, width_mm: float | None = 193, start: str = "first", direction: float = 0):
    """The meetings of a quick plan; boards along x and started at the far wall in y, unless said otherwise."""
    plan = fk.set_out(room, PLANK, direction=direction, first_row=fk.FirstRow(start, width_mm), search=QUICK)
    return fk.meetings(plan)


# ---------------------------------------------------------------------- chimney breasts


@pytest.mark.parametrize(("width_mm", "row"), [(193, 2), (160, 2), (100, 3)])
def test_a_breast_at_the_start_wall_makes_a_meeting_in_the_first_row_that_passes_it(width_mm, row):
    # Rows end at 193, 386; at 160, 353; at 100, 293, 486: the first beyond the breast's 350 reaches across.
    assert found(breast_room(), width_mm=width_mm) == [fk.Meeting(row, 2, 1, False)]


def test_a_breast_at_the_far_wall_makes_none():
    assert found(breast_room(), start="opposite") == []


def test_a_breast_beside_the_rows_makes_none_from_either_start():
    # Boards along y run into the breast with their ends; beside it rows follow one another from wall 8 to wall 2.
    assert found(breast_room(), direction=90) == []
    assert found(breast_room(), direction=90, start="opposite") == []


@pytest.mark.parametrize(
    "floor", [pytest.param(floor, id=floor.name) for shape, floor, _ in random_floors(48, seed=7) if shape == "breast"]
)
def test_starting_opposite_a_breast_does_away_with_its_meeting(floor):
    # The breast stands in the wall of the greatest y, between corners 4 to 7; rows end at w, w + 193, w + 386 ...
    plan = fk.set_out(floor, PLANK, direction=0, search=QUICK)
    deep = floor.outline[3][1] - floor.outline[4][1]
    first = plan.row_widths[0].first_row_width_mm
    past = math.floor((deep - first) / 193) + 2  # row n ends at first + (n - 1) x 193
    assert [meeting for meeting in fk.meetings(plan) if not meeting.in_doorways] == [fk.Meeting(past, 2, 1, False)]
    opposite = fk.set_out(floor, PLANK, direction=0, first_row=fk.FirstRow(start="opposite"), search=QUICK)
    assert [meeting for meeting in fk.meetings(opposite) if not meeting.in_doorways] == []


# ---------------------------------------------------------------------- other shapes


@pytest.mark.parametrize("direction", [0, 90])
@pytest.mark.parametrize("start", ["first", "opposite"])
def test_a_plain_rectangle_and_an_l_make_none(direction, start):
    ell = room((0, 0), (5000, 0), (5000, 2000), (2000, 2000), (2000, 4000), (0, 4000))
    for floor in (rectangle(4000, 3000), ell):
        assert found(floor, direction=direction, start=start) == []


def test_an_l_whose_legs_both_begin_at_the_start_makes_one():
    # Boards at 135 degrees, started at the upper right: each leg has a corner of its own there. Clear corners, as far
    # across as (x + y) / sqrt 2: (4990, 1990) 4935.6, where row 1 starts; (1990, 3990) 4228.5, 707.1 on; the inner
    # one (1990, 1990) 2814.3, 2121.3 on. Rows end at 100, 293 ... : row 5 runs from 679 to 872, row 12 from 2030 to
    # 2223.
    ell = room((0, 0), (5000, 0), (5000, 2000), (2000, 2000), (2000, 4000), (0, 4000))
    assert found(ell, width_mm=100, direction=135, start="opposite") == [fk.Meeting(12, 2, 5, False)]
    assert found(ell, width_mm=100, direction=135) == []


def test_a_u_begun_at_its_two_legs_makes_one_and_begun_at_its_foot_none():
    # Legs 2000 long, rows end at 193 n: row 11 ends at 2123.
    u = room((0, 0), (5000, 0), (5000, 4000), (3500, 4000), (3500, 2000), (1500, 2000), (1500, 4000), (0, 4000))
    assert found(u) == [fk.Meeting(11, 2, 1, False)]
    assert found(u, start="opposite") == []


def comb(middle_y: float = 4000, first_gap_y: float = 2000) -> fk.Room:
    """Three legs up from a floor 2000 deep; the middle leg and the first gap may end elsewhere."""
    right = ((0, 0), (6000, 0), (6000, 4000), (4500, 4000), (4500, 2000), (3800, 2000), (3800, middle_y))
    return room(*right, (2300, middle_y), (2300, first_gap_y), (1500, first_gap_y), (1500, 4000), (0, 4000))


def test_a_comb_of_three_legs_meets_in_one_row():
    # Rows end at 100, 293 ... 100 + 193 (n - 1): the first beyond 2000 is row 11, which ends at 2030.
    assert found(comb(), width_mm=100) == [fk.Meeting(11, 3, 1, False)]
    assert found(comb(), width_mm=100, start="opposite") == []


def test_the_string_line_begins_at_the_leg_begun_last():
    # The middle leg begins 400 on: row 3 runs from 293 to 486.
    assert found(comb(middle_y=3600), width_mm=100) == [fk.Meeting(11, 3, 3, False)]


def test_legs_that_meet_at_two_depths_meet_twice_in_laying_order():
    # The gap at the left is 1000 deep: row 6 ends at 100 + 5 x 193 = 1065. The other 2000: row 11.
    assert found(comb(first_gap_y=3000), width_mm=100) == [fk.Meeting(6, 2, 1, False), fk.Meeting(11, 2, 1, False)]


@pytest.mark.parametrize("start", ["first", "opposite"])
def test_an_island_in_mid_floor_makes_none_since_the_row_before_it_holds_both_sides(start):
    island = fk.Obstacle("island", ((1500, 1500), (3500, 1500), (3500, 2500), (1500, 2500)), "island")
    assert found(rectangle(5000, 4000, obstacles=(island,)), start=start) == []


@pytest.mark.parametrize("start", ["first", "opposite"])
def test_a_column_that_splits_no_row_makes_none(start):
    # Kept clear 1990 to 2110 in y. From y = 3990 that is 1880 to 2000 on, across the line of 1930 between rows 10 and
    # 11; from y = 10 it is 1980 to 2100, inside row 11, from 1930 to 2123. No row is cut through.
    column = fk.Obstacle("column", ((2000, 2000), (2100, 2000), (2100, 2100), (2000, 2100)), "column")
    assert found(rectangle(5000, 4000, obstacles=(column,)), start=start) == []


@pytest.mark.parametrize(
    "floor",
    [pytest.param(f, id=f.name) for shape, f, _ in random_floors(36, seed=11) if shape in ("rectangle", "L", "hall")],
)
def test_rectangles_ls_and_halls_join_nothing_but_doorways(floor):
    for start in ("first", "opposite"):
        for direction in (0, 90):
            plan = fk.set_out(floor, PLANK, direction=direction, first_row=fk.FirstRow(start), search=QUICK)
            assert all(meeting.in_doorways for meeting in fk.meetings(plan))


# ---------------------------------------------------------------------- doorways


def doorways(count: int) -> tuple[fk.Door, ...]:
    """Doorways in wall 3 of a rectangle, the start wall of these plans."""
    return tuple(fk.Door(3, 600 + 1500 * number, 762, 118) for number in range(count))


@pytest.mark.parametrize("count", [1, 2, 3])
def test_doorways_in_the_start_wall_make_a_row_before_the_one_along_it(count):
    # The floor runs 118 into each, the gap of 10 left at its end and none at the wall: row 1. A whole row follows.
    assert found(rectangle(6000, 3000, doors=doorways(count))) == [fk.Meeting(2, count, 1, True)]


def test_doorways_within_the_first_row_make_none():
    # 60 along the wall and 118 in the doorway are 178, under 193: one row, notched.
    assert found(rectangle(5000, 3000, doors=doorways(2)), width_mm=60) == []


def test_a_doorway_deeper_than_a_row_is_begun_two_rows_before():
    # 300 deep: rows of 107 and 193, then the one along the wall.
    door = fk.Door(3, 600, 762, 300)
    assert found(rectangle(5000, 3000, doors=(door,))) == [fk.Meeting(3, 1, 2, True)]


def test_doorways_in_other_walls_make_none():
    doors = tuple(fk.Door(wall, 600, 762, 118) for wall in (1, 2, 4))
    assert found(rectangle(5000, 3000, doors=doors)) == []


def test_a_doorway_beside_a_breast_is_joined_before_the_two_sides_are():
    # Row 1 in the doorway (wall 7, left of the breast), row 2 along the wall on both sides, row 3 past the breast:
    # 193 + 193 = 386, over 350. The right side is begun last, in row 2.
    floor = breast_room(doors=(fk.Door(7, 300, 762, 118),))
    assert found(floor) == [fk.Meeting(2, 1, 1, True), fk.Meeting(3, 2, 2, False)]


def test_a_doorway_beside_a_deeper_alcove_is_counted_alone():
    # The alcove ends at y = 3200: row 1 runs from 3190 to 2997 in it and, apart, in the doorway. Row 2 joins both, but
    # the alcove is floor like the rest.
    floor = room((0, 0), (5000, 0), (5000, 3000), (2000, 3000), (2000, 3200), (0, 3200), doors=doorways(1))
    assert found(floor) == [fk.Meeting(2, 1, 1, True)]


# ---------------------------------------------------------------------- in words


@pytest.mark.parametrize(
    ("meeting", "sentence"),
    [
        (
            fk.Meeting(4, 2, 1, False),
            "Row 4 joins 2 parts of the floor laid apart until then: set both to one string line from row 1 on.",
        ),
        (
            fk.Meeting(11, 3, 2, False),
            "Row 11 joins 3 parts of the floor laid apart until then: set all to one string line from row 2 on.",
        ),
        (
            fk.Meeting(2, 1, 1, True),
            "Row 2 runs along the wall and into 1 doorway begun before it: set that row to a string line and fit the "
            "doorway pieces to it.",
        ),
        (
            fk.Meeting(2, 2, 1, True),
            "Row 2 runs along the wall and into 2 doorways begun before it: set that row to a string line and fit the "
            "doorway pieces to it.",
        ),
    ],
)
def test_a_meeting_is_said_in_full(meeting, sentence):
    assert meeting.sentence() == sentence
