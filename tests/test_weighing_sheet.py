"""What a plan is weighed against, in words."""

from __future__ import annotations

import re

import pytest
from floors import demo_boards, demo_room, rectangle

import flooring_kit as fk
from flooring_kit.weighing_sheet import habit_sentences, ways_html

QUICK = fk.Search(quick=True)
OAK, ASH = "Oak plank 1380 x 193", "Ash plank 1850 x 240"
SHOP = fk.Catalogue(demo_boards(), fk.read_underlays(fk.demo_path("underlays.csv")))


def told(room: fk.Room, board: fk.Board) -> list[str]:
    plan = fk.set_out(room, board, direction=room.boards_run)
    return habit_sentences(plan, fk.habit_plan(room, board, direction=room.boards_run))


def test_the_box_room_is_told_stub_by_stub():
    # Clear 2770 = 2 x 1380 + 10: ends 10, 23, 36 ... 166, all 13 rows; joints 13 apart in all 12 pairs of rows; clear
    # width 2360 = 12 x 193 + 44. Net floor 2.77 x 2.36 + 0.0297 in the doorway = 6.567 m², a tenth more 7.224, a pack
    # 2.1307: 4 packs. Keeping the rules takes 31 by demo floor 1 of the project's own figures.
    assert told(demo_room("box_room"), demo_boards()[OAK]) == [
        "By habit: 27 boards.",
        "13 of 13 row ends are stubs: 10, 23, 36 … 166 mm.",
        "Joints lie too near those of the row before in 12 places.",
        "A whole first row leaves a strip of 44 mm at wall 1.",
        "The plan: 27 boards, and it holds every rule.",
        "Net area and a tenth buys 4 packs, 32 boards; keeping the rules as you go takes 31.",
    ]


def test_where_area_and_a_tenth_runs_short_the_row_is_named():
    # The back bedroom: net area 3.86 x 4.065 m = 15.69 m² and a tenth is 17.26: 9 packs of 2.1307, 72 boards.
    found = told(demo_room("back_bedroom"), demo_boards()[OAK])[-1]
    taken = re.fullmatch(
        r"Net area and a tenth buys 9 packs, 72 boards: keeping the rules as you go takes (\d+) and runs short in row "
        r"(\d+)\.",
        found,
    )
    assert taken is not None
    assert int(taken[1]) > 72
    assert int(taken[2]) <= 22


@pytest.mark.parametrize(
    ("room", "sentence"),
    [
        ("hall", "A whole first row leaves a strip of 15 mm at doorway 1 in wall 1."),
        ("sitting_room", "A whole first row leaves a strip of 22 mm at the hearth."),
    ],
)
def test_the_sliver_a_whole_first_row_leaves_is_named(room, sentence):
    # Hall: clear 1055 = 5 x 193 + 90, and a doorway 118 beyond: 90 + 118 = 193 + 15. Sitting room: the floor before the
    # hearth begins 750 from the start of row 1, 3 x 193 + 171, and 193 - 171 = 22 of that row are left.
    assert sentence in told(demo_room(room), demo_boards()[OAK])


def test_a_room_that_suits_the_habit_is_not_blamed():
    plain = rectangle(2780, 792)  # two whole boards a row, four whole rows of 193
    rules = fk.LayingRules(joint_offset_mm=0)
    board = fk.Board("plank", 1380, 193, 8, 8)
    plan = fk.set_out(plain, board, rules=rules, search=QUICK)
    habit = fk.habit_plan(plain, board, rules=rules)
    assert habit_sentences(plan, habit)[:2] == [
        "By habit: 8 boards.",
        "The plan: 8 boards, and it holds every rule.",
    ]


def test_the_recommended_way_stands_first_and_the_reasons_below():
    choices = fk.Choices(fk.Materials(OAK, "Foam sheet 3 mm"))
    ways = fk.ways_to_lay(demo_room("hall"), choices, SHOP, quick=True)
    page = ways_html(ways)
    rows = re.findall(r"<tr>(.*?)</tr>", page)
    assert len(rows) == 1 + len(ways)
    assert "font-weight:600" in rows[1]
    assert "the long way from wall 3" in rows[1]
    assert not any("font-weight:600" in row for row in rows[2:])
    assert page.count("<li>Against boards") == 3
    assert "set that row to a string line" in rows[1]


def test_a_way_that_breaks_rules_or_needs_a_break_says_so():
    choices = fk.Choices(fk.Materials(ASH, "Foam sheet 3 mm"))
    kitchen = ways_html(fk.ways_to_lay(demo_room("kitchen_diner"), choices, SHOP, quick=True))
    assert kitchen.count("Needs a break: longer than the leaflet allows.") == 2
    oak = fk.Choices(fk.Materials(OAK, "Foam sheet 3 mm"))
    hall = ways_html(fk.ways_to_lay(demo_room("hall"), oak, SHOP, quick=True))
    assert "laying rule" in hall
    assert "broken." in hall


def test_a_floor_that_splits_round_a_breast_says_how_its_sides_are_kept_in_line():
    # The sitting room's breast stands at the far wall from wall 3 and at the start wall from wall 11.
    choices = fk.Choices(fk.Materials(OAK, "Foam sheet 3 mm"))
    page = ways_html(fk.ways_to_lay(demo_room("sitting_room"), choices, SHOP, quick=True))
    from_the_breast = next(row for row in re.findall(r"<tr>(.*?)</tr>", page) if "from wall 11" in row)
    assert (
        "Row 5 joins 2 parts of the floor laid apart until then: set both to one string line from row 1 on. "
        "Or start from wall 3, where no two sides have to meet." in from_the_breast
    )
