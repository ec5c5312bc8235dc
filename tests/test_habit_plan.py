"""The habit laid out in full: a whole first row and board, on with the offcut; and how each demo room suffers."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
import shapely
from floors import DEMO_ROOMS, demo_boards, demo_room, random_floors, rectangle
from hypothesis import given
from hypothesis import strategies as st
from referee import broken_rules, referee, undeclared

import flooring_kit as fk
from flooring_kit.setting_out.habit import HabitFigures, carried_on
from flooring_kit.setting_out.joint_costs import JointedRun

OAK, ASH, LEFT = "Oak plank 1380 x 193", "Ash plank 1850 x 240", "Left-hand oak plank 1380 x 193"
OTHER = {"long": "short", "short": "long"}


@cache
def laid_by_habit(name: str, board: str, direction: str) -> fk.Plan:
    return fk.habit_plan(demo_room(name), demo_boards()[board], direction=direction)


def assert_holds(plan: fk.Plan) -> None:
    """The referee finds no fault, and no broken rule the plan does not own up to, nor one it owns up to in vain."""
    assert referee(plan, plan.room, plan.board, plan.rules) == []
    assert undeclared(plan, plan.room, plan.board, plan.rules) == []
    found = {(broken.rule, broken.row) for broken in broken_rules(plan, plan.room, plan.board, plan.rules)}
    # Pieces of a row under 5 mm are not joined by the contract's figure; the kit is stricter there, and may be.
    thin = set(plan.pieces["row"]) - set(plan.pieces["row"][plan.pieces["width_mm"] > 5])
    owned = {(broken.rule, broken.row) for broken in plan.broken_rules if not broken.slight and broken.row not in thin}
    assert owned <= found


def assert_begun_whole_and_carried_on(plan: fk.Plan) -> None:
    """The first row line is a board from the start wall, and boards are used up one after another."""
    widths = {part.first_row_width_mm for part in plan.row_widths}
    assert widths == {plan.board.width_mm}
    assert not any(part.chosen_by_kit for part in plan.row_widths)
    boards = plan.pieces["board"].to_numpy()
    assert boards[0] == 1
    assert set(np.diff(boards)) <= {0, 1}  # so the pieces of a board are consecutive: every offcut is used at once
    assert plan.pieces["along_mm"].iloc[0] == 0
    for one, other in itertools.pairwise(plan.pieces.itertuples()):
        if one.board == other.board:
            assert other.along_mm >= one.along_mm + one.length_mm + plan.rules.kerf_mm - 0.1
        else:
            assert other.along_mm < 0.1


@pytest.mark.parametrize("name", DEMO_ROOMS)
@pytest.mark.parametrize("board", [OAK, ASH, LEFT])
@pytest.mark.parametrize("other_way", [False, True])
def test_every_demo_room_laid_by_habit_is_tiled_and_owns_up_to_every_broken_rule(name, board, other_way):
    wanted = demo_room(name).boards_run
    plan = laid_by_habit(name, board, OTHER[wanted] if other_way else wanted)
    assert_holds(plan)
    assert_begun_whole_and_carried_on(plan)


@pytest.mark.parametrize(
    ("room", "board"), [pytest.param(room, board, id=room.name) for _, room, board in random_floors(12, seed=77)]
)
def test_a_random_floor_laid_by_habit_is_tiled_and_owns_up_to_every_broken_rule(room, board):
    for hand, direction in (("right", "long"), ("right", "short"), ("left", "long")):
        plan = fk.habit_plan(room, replace(board, hand=hand), direction=direction)
        assert_holds(plan)
        assert_begun_whole_and_carried_on(plan)


def test_the_habit_may_begin_at_the_opposite_corner():
    for name in DEMO_ROOMS:
        plan = fk.habit_plan(demo_room(name), demo_boards()[OAK], start="opposite")
        assert plan.start == "opposite"
        assert_holds(plan)


def test_a_doorway_askew_to_the_boards_leaves_every_piece_on_its_board():
    plan = fk.habit_plan(
        rectangle(4200, 1075, doors=(fk.Door(1, 800, 762, 118),)),
        fk.Board("board", 1850, 240, 8, 6),
        direction=17,
    )
    assert referee(plan, plan.room, plan.board, plan.rules) == []


def test_the_habit_keeps_no_margin_and_no_limit_on_the_pile_whatever_is_asked():
    rules = fk.LayingRules(offcut_margin_mm=50, most_offcuts_waiting=0, joint_offset_mm=400)
    plan = fk.habit_plan(demo_room("box_room"), demo_boards()[OAK], rules=rules)
    assert (plan.rules.offcut_margin_mm, plan.rules.most_offcuts_waiting, plan.rules.joint_offset_mm) == (0, None, 400)
    # No more than one offcut ever waits: the next row takes it.
    assert fk.most_waiting(fk.offcut_ledger(plan)) == 1


# ---------------------------------------------------------------------- carrying on, piece by piece


@given(
    st.lists(st.integers(1, 90), min_size=1, max_size=12),
    st.integers(5, 40),
    st.integers(0, 4),
)
def test_a_piece_ends_at_the_end_of_its_board_or_of_its_run_and_the_next_follows_a_saw_cut_on(lengths, board, kerf):
    runs = [JointedRun(0.0, length, row) for row, length in enumerate(lengths, start=1)]
    found = carried_on(runs, board_t=board, kerf_t=kerf)
    assert [sum(piece.length for piece in pieces) for pieces in found] == lengths
    pieces = [piece for of_run in found for piece in of_run]
    assert (pieces[0].board, pieces[0].along) == (1, 0)
    for one, other in itertools.pairwise(pieces):
        next_cut = one.along + one.length + kerf
        assert (other.board, other.along) == ((one.board, next_cut) if next_cut < board else (one.board + 1, 0))
    for of_run in found:
        assert all(piece.length > 0 for piece in of_run)
        assert all(piece.along + piece.length == board for piece in of_run[:-1])
        assert of_run[-1].along + of_run[-1].length <= board


def test_the_worked_example_is_the_constant_stair_of_403():
    # R 4000, L 1800, kerf 3, four rows: 1800 1800 400 | 1397 1800 803 | 994 1800 1206 | 591 1800 1609: nine boards,
    # each first joint 403 before the last. Rows 2, 3 and 4 start with the offcut, waiting for one row each.
    plan = fk.habit_plan(rectangle(4020, 792), fk.Board("plank", 1800, 193, 8, 8), direction=0)
    assert plan.pieces["length_mm"].tolist() == [1800, 1800, 400, 1397, 1800, 803, 994, 1800, 1206, 591, 1800, 1609]
    assert plan.pieces["board"].tolist() == [1, 2, 3, 3, 4, 5, 5, 6, 7, 7, 8, 9]
    assert plan.pieces["along_mm"].tolist() == [0, 0, 0, 403, 0, 0, 806, 0, 0, 1209, 0, 0]
    assert plan.boards_needed == plan.boards_bound == 9
    assert plan.broken_rules == ()
    ledger = fk.offcut_ledger(plan)
    assert ledger["used_for"].tolist() == ["2a", "3a", "4a"]
    assert ledger["rows_waiting"].tolist() == [1, 1, 1]


# ---------------------------------------------------------------------- the figures beside the floor


@pytest.mark.parametrize("name", DEMO_ROOMS)
@pytest.mark.parametrize("direction", ["long", "short"])
def test_the_figures_count_the_boards_of_the_floor_row_by_row(name, direction):
    plan = laid_by_habit(name, OAK, direction)
    figures = fk.habits(plan).carry_on
    assert figures.boards == plan.boards_needed
    opened = plan.pieces.groupby("row")["board"].max()
    assert figures.boards_after_row == tuple(zip(opened.index.tolist(), opened.tolist(), strict=True))


def test_the_figures_of_a_rectangle_break_the_rules_in_the_rows_the_floor_breaks_them_in():
    for shape, room, board in random_floors(30, seed=12):
        if shape == "rectangle" and not room.doors:
            plan = fk.habit_plan(room, board, direction=0)
            figures = fk.habits(plan).carry_on
            assert figures.broken_offsets == len({row for row, _ in breaks(plan, "joint offset")})
            assert figures.short_rows == len({row for row, _ in breaks(plan, "shortest piece")})


def test_boards_run_short_in_the_first_row_that_opens_more_than_were_bought():
    figures = HabitFigures(10, 0, 0, (), ((1, 3), (2, 7), (3, 10)))
    assert [figures.runs_short_in_row(bought) for bought in (0, 2, 3, 6, 7, 9)] == [1, 1, 2, 2, 3, 3]
    assert figures.runs_short_in_row(10) is figures.runs_short_in_row(11) is None


def test_the_figures_name_rows_as_the_floor_does_where_it_is_in_two_parts():
    room = rectangle(4000, 3000, obstacles=(fk.Obstacle("wall", ((0, 1400), (4000, 1400), (4000, 1500), (0, 1500))),))
    plan = fk.habit_plan(room, demo_boards()[OAK], direction=0)
    figures = fk.habits(plan).carry_on
    assert len(plan.row_widths) == 2
    assert [row for row, _ in figures.boards_after_row] == sorted(set(plan.pieces["row"].tolist()))


# ---------------------------------------------------------------------- demo floors, each in its own way


def breaks(plan: fk.Plan, rule: str) -> dict[tuple[int, int], float]:
    """How much is missing by (row, place)."""
    return {(broken.row, broken.place): broken.by_mm for broken in plan.broken_rules if broken.rule == rule}


def test_the_box_room_ends_every_row_in_a_stub_and_steps_every_joint_by_13():
    # 2770 = 2 x 1380 + 10. Row 1: 1380, 1380, 10. What is left of its board, 1380 - 10 - 3 = 1367, starts row 2, which
    # ends on 2770 - 1367 - 1380 = 23: a saw cut more every row, 10 + 13 x 12 = 166 at last. All under 300.
    plan = laid_by_habit("box_room", OAK, "long")
    ends = plan.pieces.groupby("row")["length_mm"].last().tolist()
    assert ends == [10, 23, 36, 49, 62, 75, 88, 101, 114, 127, 140, 153, 166]
    assert breaks(plan, "shortest piece") == pytest.approx({(row, 3): 290 - 13 * (row - 1) for row in range(1, 14)})
    # Joints of neighbouring rows are 13 apart: 12 of 12 offsets broken, each at both joints, by 300 - 13.
    offsets = {(row, place): 287 for row in range(2, 14) for place in (2, 3)}
    assert breaks(plan, "joint offset") == pytest.approx(offsets)
    figures = fk.habits(plan).carry_on
    assert (figures.broken_offsets, figures.short_rows) == (12, 13)
    # Three boards for row 1, two more for each of twelve rows: 27.
    assert plan.boards_needed == 3 + 12 * 2


def test_the_box_room_is_left_a_last_strip_of_44():
    # 2360 = 12 x 193 + 44, six under the narrowest row; before the door its recess of 38 is added: 82.
    plan = laid_by_habit("box_room", OAK, "long")
    strips = plan.strips.set_index("beside")["strip_mm"]
    assert strips["wall 1"] == pytest.approx(44)
    assert strips["doorway in wall 1"] == pytest.approx(82)
    narrow = breaks(plan, "narrowest row")
    assert {row for row, _ in narrow} == {13}
    assert list(narrow.values()) == pytest.approx([6.0] * len(narrow))


def test_the_back_bedroom_leaves_277_after_a_whole_first_board():
    # 3860 = 2 x 1380 + 1100; 1380 - 1100 - 3 = 277, 23 short of the shortest piece.
    plan = laid_by_habit("back_bedroom", OAK, "short")
    assert plan.pieces["length_mm"].tolist()[:4] == [1380, 1380, 1100, 277]
    assert breaks(plan, "shortest piece")[2, 1] == pytest.approx(23)


def test_the_back_bedroom_feathers_out_at_the_far_wall():
    # The room is 4079 deep at one end and 28 less at the other; 4079 - 21 x 193 = 26, and 26 / 28 of the way along
    # it is nothing. A row under 50 is narrow by 24 at its wide end.
    plan = laid_by_habit("back_bedroom", OAK, "short")
    assert plan.rows == 22
    assert breaks(plan, "narrowest row") == pytest.approx({(22, 1): 24}, abs=0.2)
    last = plan.pieces[plan.pieces["row"] == 22]["length_mm"].sum()
    assert last == pytest.approx(3880 * 26 / 28 - 10, abs=5)


def test_keeping_the_rules_as_you_go_in_the_back_bedroom_takes_more_than_nine_packs():
    # Mean depth (4079 + 4051) / 2 = 4065 by 3860: 15.69 m2, and 10 % more is 17.26. A pack holds 8 x 1.38 x 0.193 =
    # 2.131 m2: 8.1, so nine packs, 72 boards.
    room, board = demo_room("back_bedroom"), demo_boards()[OAK]
    net_m2 = fk.net_area_m2(fk.net_floor(room, fk.LayingRules()))
    assert net_m2 == pytest.approx(15.69, abs=0.005)
    assert math.ceil(net_m2 * 1.1 / (8 * 1.38 * 0.193)) == 9
    plan = fk.set_out(room, board, direction="short", search=fk.Search(quick=True))
    habit = laid_by_habit("back_bedroom", OAK, "short")
    # Counted again from the habit's own joints, on the habit's rows (the last one ends in a point).
    figures = fk.habits(habit).keep_rules
    assert (figures.broken_offsets, figures.short_rows) == (0, 0)
    assert figures.boards > 72
    lengths = [3860.0] * 21 + [float(habit.pieces[habit.pieces["row"] == 22]["length_mm"].sum())]
    boards, offcut, short_in = 0, 0.0, None
    for row, (joint, length) in enumerate(zip(figures.row_joints_mm, lengths, strict=True), start=1):
        first = joint - 10  # the row starts at the gap
        boards += first > offcut + 0.05
        whole, last = divmod(round(length - first, 1), 1380)
        assert min(first, last) >= 300
        boards += int(whole) + 1
        offcut = 1380 - last - 3
        if boards > 72 and short_in is None:
            short_in = row
    assert figures.boards == boards
    # No row opens more than four boards, so 72 last for 18 rows at least: it is one of the last four.
    assert short_in in (19, 20, 21, 22)
    assert figures.runs_short_in_row(72) == short_in
    # The plan itself does not run short.
    assert plan.boards_needed <= 72


def test_the_hall_gets_slivers_of_15_in_both_far_doorways():
    # 1055 = 5 x 193 + 90, which looks perfect; in the doorways of wall 1 it is 90 + 118 = 193 + 15: 35 too narrow.
    # The doorways of wall 3, at the start, hold a first row of 118, so row 8 is the sliver.
    plan = laid_by_habit("hall", OAK, "long")
    assert plan.start_wall == 3
    strips = plan.strips.set_index("beside")["strip_mm"]
    assert strips["wall 1"] == pytest.approx(90)
    assert strips[["doorway 1 in wall 1", "doorway 2 in wall 1"]].tolist() == pytest.approx([15, 15])
    assert strips[["doorway 1 in wall 3", "doorway 2 in wall 3"]].tolist() == pytest.approx([118, 118])
    narrow = breaks(plan, "narrowest row")
    assert {row for row, _ in narrow} == {8}
    assert list(narrow.values()) == pytest.approx([35.0] * len(narrow))
    # Each sliver is as wide as a doorway with boards under its linings, 762 + 2 x 10.
    slivers = plan.pieces[plan.pieces["row"] == 8]
    assert (slivers["width_mm"] == 15).all()
    assert shapely.union_all(slivers["shape"].to_numpy()).area == pytest.approx(2 * 782 * 15, abs=5)


def test_the_sitting_room_gets_a_strip_of_22_before_the_hearth():
    # From the alcove wall at 3600 four rows reach 3600 - 4 x 193 = 2828; the hearth's gap begins at 2860 - 10 = 2850:
    # 22 are left of row 4, 28 too few, over the hearth's 1250 and two gaps, 1270. Before the breast, at 3250, row 2
    # has 3250 - (3600 - 2 x 193) = 36, 14 too few.
    plan = laid_by_habit("sitting_room", OAK, "long")
    strips = plan.strips.set_index("beside")["strip_mm"]
    assert strips["hearth"] == pytest.approx(22)
    assert strips["wall 9"] == pytest.approx(36)
    narrow = breaks(plan, "narrowest row")
    assert {(row, round(by)) for (row, _), by in narrow.items()} == {(2, 14), (4, 28)}
    before_the_hearth = shapely.box(1590, 2828, 2860, 2850)
    row = shapely.union_all(plan.pieces[plan.pieces["row"] == 4]["shape"].to_numpy())
    assert shapely.intersection(row, shapely.box(1590, 2828, 2860, 3021)).area == pytest.approx(
        before_the_hearth.area, abs=5
    )


def test_the_kitchen_diner_is_over_8_m_across_the_boards_one_way_and_a_strip_of_20_the_other():
    # Clear 8600 - 20 = 8580 by 6200 - 20 = 6180. Boards along y: 8580 along, 6180 across. Along x: 8580 across.
    along_y, along_x = laid_by_habit("kitchen_diner", ASH, "long"), laid_by_habit("kitchen_diner", ASH, "short")
    assert along_y.longest_run_mm == pytest.approx((8580, 6180))
    assert along_x.longest_run_mm == pytest.approx((6180, 8580))
    assert along_x.longest_run_mm[1] > along_x.board.longest_across_mm == 8000
    assert along_y.longest_run_mm[0] < along_y.board.longest_along_mm == 12_000
    # The long leg is 3380 wide: 14 x 240 + 20, thirty under the narrowest row, in row 15.
    narrow = breaks(along_y, "narrowest row")
    assert {row for row, _ in narrow} == {15}
    assert list(narrow.values()) == pytest.approx([30.0] * len(narrow))
