"""Whole plans: every one passes the referee, none goes below what is proved, the contract's words hold."""

from __future__ import annotations

import hashlib
import itertools
import json
import math
import random
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from floors import DEMO_ROOMS, THREE_BOARDS, demo_boards, demo_room, random_floors, rectangle, turned
from hypothesis import given, settings
from hypothesis import strategies as st
from referee import broken_rules, referee, undeclared

import flooring_kit as fk
from flooring_kit.setting_out import habit_plan

RECTANGLES = json.loads((Path(__file__).parent / "reference" / "rectangles.json").read_text())
QUICK = fk.Search(quick=True)


def assert_holds(plan: fk.Plan) -> None:
    """The referee finds no fault, and no broken rule the plan does not own up to."""
    assert referee(plan, plan.room, plan.board, plan.rules) == []
    assert undeclared(plan, plan.room, plan.board, plan.rules) == []


# ---------------------------------------------------------------------- the referee, everywhere


@pytest.mark.parametrize("name", DEMO_ROOMS)
@pytest.mark.parametrize("board", THREE_BOARDS)
@pytest.mark.parametrize("direction", ["long", "short"])
def test_every_demo_room_is_laid_without_a_fault(name, board, direction):
    room, boards = demo_room(name), demo_boards()
    for quick, start in itertools.product((True, False), ("first", "opposite")):
        plan = fk.set_out(
            room,
            boards[board],
            direction=direction,
            first_row=fk.FirstRow(start),
            search=fk.Search(quick=quick),
        )
        assert_holds(plan)


@pytest.mark.parametrize("name", DEMO_ROOMS)
@pytest.mark.parametrize("degrees", [45, 30, 117.5])
def test_a_demo_room_laid_at_any_angle_is_without_a_fault(name, degrees):
    assert_holds(fk.set_out(demo_room(name), demo_boards()[THREE_BOARDS[0]], direction=degrees, search=QUICK))


@pytest.mark.parametrize(
    ("room", "board"),
    [pytest.param(room, board, id=room.name) for _, room, board in random_floors(48, seed=5)],
)
def test_a_random_floor_is_laid_without_a_fault(room, board):
    for direction in ("long", "short"):
        assert_holds(fk.set_out(room, board, direction=direction, search=QUICK))


@settings(max_examples=60)
@given(
    length=st.integers(400, 6000),
    width=st.integers(400, 4000),
    board_length=st.integers(400, 2400),
    board_width=st.integers(60, 300),
    gap=st.integers(0, 30),
    shortest=st.integers(0, 500),
    kerf=st.integers(0, 5),
    margin=st.integers(0, 60),
    angle=st.sampled_from([0.0, 90.0, 17.0, 45.0, 133.0]),
)
def test_any_rectangle_any_board_any_rules_passes_the_referee(
    length, width, board_length, board_width, gap, shortest, kerf, margin, angle
):
    board = fk.Board("board", max(board_length, board_width), board_width, 8, 6)
    rules = fk.LayingRules(
        gap_mm=gap, joint_offset_mm=shortest, shortest_piece_mm=shortest, kerf_mm=kerf, offcut_margin_mm=margin
    )
    assert_holds(fk.set_out(rectangle(length, width), board, rules=rules, direction=angle, search=QUICK))


def test_five_square_millimetres_more_than_273_boards_are_bound_by_274():
    # Net floor 2087 x 3715 = 7 753 205 mm2; 273 boards of 400 x 71 are 7 753 200.
    board = fk.Board("b", 400, 71, 8, 8)
    rules = fk.LayingRules(shortest_piece_mm=0, kerf_mm=0, offcut_margin_mm=0)
    plan = fk.set_out(rectangle(2107, 3735), board, rules=rules, direction=17.0, search=QUICK)
    assert plan.boards_bound >= 274
    assert_holds(plan)


@pytest.mark.parametrize("first_width", [1.0, 12.5, 60.0, 100.0, 193.0])
@pytest.mark.parametrize("name", DEMO_ROOMS)
def test_a_first_row_set_by_hand_is_laid_and_its_consequences_are_named(name, first_width):
    board = demo_boards()[THREE_BOARDS[0]]
    plan = fk.set_out(demo_room(name), board, first_row=fk.FirstRow(width_mm=first_width), search=QUICK)
    assert_holds(plan)
    assert plan.row_widths[0].first_row_width_mm == first_width
    assert not plan.row_widths[0].chosen_by_kit


# ---------------------------------------------------------------------- fewest boards


@pytest.mark.parametrize("floor", RECTANGLES, ids=lambda floor: f"floor {floor['seed']}")
def test_a_reference_floor_takes_exactly_the_proved_fewest_boards(floor):
    # Source: reference floors proved by an exact solver (clear sizes, margin 0).
    room = rectangle(floor["run_mm"] + 20, floor["width_mm"] + 20)
    board = fk.Board("board", floor["board_length_mm"], floor["board_width_mm"], 8, floor["boards_per_pack"])
    rules = fk.LayingRules(
        joint_offset_mm=floor["min_offset_mm"],
        shortest_piece_mm=floor["min_piece_mm"],
        kerf_mm=floor["kerf_mm"],
        offcut_margin_mm=0,
    )
    plan = fk.set_out(room, board, rules=rules, direction=0)
    assert plan.boards_needed == plan.boards_bound == floor["optimal_boards"]
    assert plan.rows == floor["rows"]
    assert plan.broken_rules == ()
    assert_holds(plan)


def test_the_box_room_takes_27_boards_where_the_habit_takes_31():
    # Demo floor 1: 13 rows of 2 x 1380 + 10; two whole boards' worth a row and one more in all. Hand sum.
    plan = fk.set_out(demo_room("box_room"), demo_boards()["Oak plank 1380 x 193"])
    assert (plan.rows, plan.boards_needed, plan.boards_bound, plan.broken_rules) == (13, 27, 27, ())


def test_the_back_bedroom_takes_66_boards():
    # Demo floor 2: 22 rows of 3860 = 2 x 1380 + 1100; planned 66 (three a row: each rest of 1100 takes a board).
    plan = fk.set_out(demo_room("back_bedroom"), demo_boards()["Oak plank 1380 x 193"], direction="short")
    assert (plan.rows, plan.boards_needed, plan.broken_rules) == (22, 66, ())


@pytest.mark.parametrize("name", DEMO_ROOMS)
def test_the_bound_is_never_below_the_area_nor_above_the_plan(name):
    for board in demo_boards().values():
        plan = fk.set_out(demo_room(name), board, search=QUICK)
        assert math.ceil(plan.floor.area / (board.length_mm * board.width_mm) - 1e-9) <= plan.boards_bound
        assert plan.boards_bound <= plan.boards_needed


def test_settling_never_needs_more_boards_or_breaks_more_rules_than_the_quick_plan():
    for _, room, board in random_floors(12, seed=8):
        quick, settled = fk.set_out(room, board, search=QUICK), fk.set_out(room, board)
        assert (len(settled.broken_rules), settled.boards_needed) <= (len(quick.broken_rules), quick.boards_needed)


# ---------------------------------------------------------------------- first-row widths of the demo rooms


@pytest.mark.parametrize(
    ("name", "direction", "bands"),
    [
        ("back_bedroom", "short", ((50.0, 141.0),)),  # hand sum: 4079 to 4051 clear, 21 x 193 + 26 at one end
        ("hall", "long", ((125.0, 158.0),)),  # four doorways 118 deep, both walls
        ("sitting_room", "long", ((116.0, 157.0),)),  # far wall, alcoves, breast, hearth and bay
    ],
)
def test_allowed_first_row_widths_are_those_worked_by_hand(name, direction, bands):
    plan = fk.set_out(demo_room(name), demo_boards()["Oak plank 1380 x 193"], direction=direction, search=QUICK)
    assert plan.row_widths[0].allowed_bands_mm == bands


def test_the_bedroom_row_tapers_from_109_to_81_with_a_first_row_of_110():
    # Hand sum: 4079 - 110 = 20 x 193 + 109 at one end, 28 less at the other.
    plan = fk.set_out(
        demo_room("back_bedroom"),
        demo_boards()["Oak plank 1380 x 193"],
        direction="short",
        first_row=fk.FirstRow(width_mm=110.0),
        search=QUICK,
    )
    assert plan.row_widths[0].narrowest_strip_mm == pytest.approx(81, abs=0.5)


def test_a_whole_first_row_in_the_hall_leaves_slivers_in_the_far_doorways_and_says_so():
    # Hand sum: 1055 = 5 x 193 + 90; 90 + 118 = 193 + 15: 35 mm under the narrowest row of 50.
    plan = fk.set_out(
        demo_room("hall"),
        demo_boards()["Oak plank 1380 x 193"],
        first_row=fk.FirstRow(width_mm=193.0),
        search=QUICK,
    )
    slivers = [fault for fault in plan.broken_rules if fault.rule == "narrowest row" and not fault.slight]
    assert len(slivers) == 2
    assert all(fault.by_mm == pytest.approx(35, abs=0.1) for fault in slivers)


# ---------------------------------------------------------------------- axes, hands, starts


def cross(plan: fk.Plan) -> float:
    return plan.along[0] * plan.across[1] - plan.along[1] * plan.across[0]


@pytest.mark.parametrize("direction", ["long", "short", 0, 30, 90, 135.0, 180, 270, -45])
@pytest.mark.parametrize("start", ["first", "opposite"])
def test_across_is_along_turned_a_quarter_clockwise(direction, start):
    room = rectangle(3000, 2000)
    plan = fk.set_out(
        room, fk.Board("b", 1380, 193, 8, 8), direction=direction, first_row=fk.FirstRow(start), search=QUICK
    )
    assert cross(plan) == pytest.approx(-1)
    if isinstance(direction, (int, float)):
        angle = math.radians(direction)
        parallel = plan.along[0] * math.sin(angle) - plan.along[1] * math.cos(angle)
        assert parallel == pytest.approx(0, abs=1e-12)


def test_opposite_start_corners_point_opposite_ways():
    room, board = demo_room("hall"), demo_boards()[THREE_BOARDS[0]]
    first, other = (fk.set_out(room, board, first_row=fk.FirstRow(s), search=QUICK) for s in ("first", "opposite"))
    assert np.allclose(first.along, -np.array(other.along))
    assert np.allclose(first.across, -np.array(other.across))
    assert (first.start_wall, other.start_wall) == (3, 1)


def test_a_left_handed_board_gives_the_mirror_image():
    right = fk.Board("b", 1380, 193, 8, 8)
    left = fk.Board("b", 1380, 193, 8, 8, hand="left")
    corners = ((0.0, 0.0), (4000.0, 0.0), (4000.0, 1800.0), (2500.0, 1800.0), (2500.0, 2600.0), (0.0, 2600.0))
    mirrored = tuple((4000.0 - x, y) for x, y in corners)
    one = fk.set_out(fk.Room("L", corners), right, direction=0, search=QUICK)
    other = fk.set_out(fk.Room("L", mirrored), left, direction=0, first_row=fk.FirstRow("opposite"), search=QUICK)
    other_same_wall = fk.set_out(fk.Room("L", mirrored), left, direction=0, search=QUICK)
    assert cross(other) == cross(other_same_wall) == pytest.approx(1)
    assert one.boards_needed in {other.boards_needed, other_same_wall.boards_needed}
    assert_holds(other)
    assert_holds(other_same_wall)


def test_long_runs_along_the_longer_side_of_the_smallest_rectangle_on_a_wall():
    room = turned(rectangle(4000, 2500), 25)
    plan = fk.set_out(room, fk.Board("b", 1380, 193, 8, 8), search=QUICK)
    assert plan.along == pytest.approx((math.cos(math.radians(25)), math.sin(math.radians(25))))
    square = turned(rectangle(3000, 3000), 10)
    plan = fk.set_out(square, fk.Board("b", 1380, 193, 8, 8), search=QUICK)
    assert plan.along == pytest.approx((math.cos(math.radians(10)), math.sin(math.radians(10))))


@pytest.mark.parametrize("degrees", [90, 180, 270, 33])
@pytest.mark.parametrize(("name", "boards"), [("box_room", 27), ("back_bedroom", 66)])
def test_turning_the_survey_changes_no_board(name, boards, degrees):
    room, board = demo_room(name), demo_boards()[THREE_BOARDS[0]]
    for start in ("first", "opposite"):
        plan = fk.set_out(turned(room, degrees), board, direction=degrees, first_row=fk.FirstRow(start), search=QUICK)
        assert plan.boards_needed == plan.boards_bound == boards


# ---------------------------------------------------------------------- the table


def test_the_table_has_the_columns_of_the_contract_in_laying_order():
    plan = fk.set_out(demo_room("sitting_room"), demo_boards()[THREE_BOARDS[0]])
    assert list(plan.pieces.columns) == [
        "piece", "row", "place", "board", "along_mm", "across_mm", "length_mm", "width_mm", "shape",
    ]  # fmt: skip
    assert plan.pieces["piece"].is_unique
    order = list(zip(plan.pieces["row"], plan.pieces["place"], strict=True))
    assert order == sorted(order)
    assert sorted(plan.pieces["board"].unique()) == list(range(1, plan.boards_needed + 1))
    assert list(plan.joined.index) == list(plan.pieces.index)


def test_a_ripped_first_row_keeps_its_front_edge_and_a_ripped_last_row_its_back_edge():
    plan = fk.set_out(rectangle(4000, 1000), fk.Board("b", 1380, 193, 8, 8), first_row=fk.FirstRow(width_mm=120.0))
    first, last = plan.pieces[plan.pieces["row"] == 1], plan.pieces[plan.pieces["row"] == plan.rows]
    assert set(first["width_mm"]) == {120.0}
    assert set(first["across_mm"]) == {193.0 - 120.0}
    assert set(last["width_mm"]) == {980.0 - 120.0 - 4 * 193.0}
    assert set(last["across_mm"]) == {0.0}


def test_float_dust_buys_no_board():
    # 3 x 0.1 / 0.1 rounds up to 4 in naive arithmetic; here 3 x 386.1 + gaps is three whole boards a row.
    board = fk.Board("b", 386.1, 77.7, 8, 8)
    room = rectangle(3 * 386.1 + 20, 5 * 77.7 + 20)
    plan = fk.set_out(room, board, rules=fk.LayingRules(shortest_piece_mm=50, joint_offset_mm=0, narrowest_row_mm=20))
    assert plan.boards_bound == 15


@pytest.mark.parametrize("length", [300.0, 1380.0, 1399.9, 1400.0])
def test_a_room_no_longer_than_a_board_is_laid_in_one_piece_rows(length):
    plan = fk.set_out(rectangle(length, 1000), fk.Board("b", 1380, 193, 8, 8), direction=0)
    assert set(plan.pieces["place"]) == {1}
    assert_holds(plan)


def test_a_narrow_board_room_where_no_joint_can_hold_the_rule_says_so_and_is_still_planned():
    # Run 520, board 500, shortest 300: two pieces of at most 220 and 300; 260 each is the nearest. Hand sum.
    plan = fk.set_out(rectangle(540, 400), fk.Board("b", 500, 100, 8, 8), direction=0)
    short = [fault for fault in plan.broken_rules if fault.rule == "shortest piece"]
    assert {fault.by_mm for fault in short} == {40.0}
    assert_holds(plan)


def test_two_parts_of_a_floor_are_planned_apart_and_share_boards():
    # A thin wall in the survey cuts the floor in two.
    wall = fk.Obstacle("wall", ((2000.0, -10.0), (2100.0, -10.0), (2100.0, 2600.0), (2000.0, 2600.0)))
    room = fk.Room("two", ((0.0, 0.0), (4500.0, 0.0), (4500.0, 2500.0), (0.0, 2500.0)), (wall,))
    plan = fk.set_out(room, fk.Board("b", 1380, 193, 8, 8), direction=0)
    assert len(plan.row_widths) == 2
    assert_holds(plan)


# ---------------------------------------------------------------------- same input, same plan


def fingerprint(plan: fk.Plan) -> str:
    numbers = plan.pieces.drop(columns=["shape", "piece"]).to_numpy(dtype=float) * 10
    return hashlib.sha256(np.round(numbers).astype(np.int64).tobytes()).hexdigest()


SCRIPT = """
import sys; sys.path.insert(0, {tests!r})
from test_plans import fingerprint, demo_room, demo_boards, THREE_BOARDS, fk
for name in ("sitting_room", "kitchen_diner"):
    print(fingerprint(fk.set_out(demo_room(name), demo_boards()[THREE_BOARDS[0]])))
"""


@pytest.mark.parametrize("seed", range(12))
def test_floors_parted_from_wall_to_wall_have_row_lines_of_their_own(seed):
    draw = random.Random(seed)
    length, width = draw.randint(3500, 5000), draw.randint(2400, 3300)
    x = draw.randint(1300, length - 1300)
    wall = fk.Obstacle("wall", ((x, -10), (x + 100, -10), (x + 100, width + 10), (x, width + 10)))
    room = rectangle(length, width, obstacles=(wall,))
    for direction in ("long", "short"):
        assert_holds(fk.set_out(room, demo_boards()[THREE_BOARDS[0]], direction=direction, search=QUICK))


@pytest.mark.parametrize("quick", [True, False])
@pytest.mark.parametrize(("length", "width"), [(4200, 2920), (3600, 2400), (5000, 3000)])
@pytest.mark.parametrize("offset", [460, 550, 650, 680])
def test_an_offset_near_half_a_board_is_held_where_it_can_be(length, width, offset, quick):
    """Two first joints in turn hold each of these, as a search over every pair of them shows."""
    board = demo_boards()[THREE_BOARDS[0]]
    rules = fk.LayingRules(joint_offset_mm=offset)
    plan = fk.set_out(rectangle(length, width), board, rules=rules, search=fk.Search(quick=quick))
    assert board.length_mm == 1380
    assert plan.broken_rules == ()
    assert_holds(plan)


def test_the_same_survey_gives_the_same_plan_in_every_process_and_under_every_hash_seed():
    rooms = [demo_room(name) for name in ("sitting_room", "kitchen_diner")]
    here = [fingerprint(fk.set_out(room, demo_boards()[THREE_BOARDS[0]])) for room in rooms]
    for seed in ("0", "1", "4242"):
        told = subprocess.run(
            [sys.executable, "-c", SCRIPT.format(tests=str(Path(__file__).parent))],
            env={"PYTHONHASHSEED": seed, "PATH": "/usr/bin:/bin"},
            capture_output=True,
            text=True,
            check=True,
        )
        assert told.stdout.split() == here


def test_another_seed_gives_another_plan_of_as_many_boards():
    room, board = demo_room("back_bedroom"), demo_boards()[THREE_BOARDS[0]]
    plans = [fk.set_out(room, board, direction="short", search=fk.Search(seed=seed)) for seed in (0, 1, 2)]
    assert len({fingerprint(plan) for plan in plans}) == 3
    assert len({plan.boards_needed for plan in plans}) == 1


def test_steps_yield_the_quick_plan_first_and_the_settled_one_last():
    room, board = demo_room("sitting_room"), demo_boards()[THREE_BOARDS[0]]
    steps = list(fk.better_plans(room, board))
    assert fingerprint(steps[0]) == fingerprint(fk.set_out(room, board, search=QUICK))
    assert fingerprint(steps[-1]) == fingerprint(fk.set_out(room, board))


# ---------------------------------------------------------------------- refusals


@pytest.mark.parametrize(
    ("board", "message"),
    [
        (
            fk.Board("Mixed", 1200, 150, 10, 6, mixed_lengths=True),
            "board 'Mixed': packs of mixed lengths can't be set out beforehand, because nobody knows which "
            "lengths a pack holds. Choose a board of one length.",
        ),
        (
            fk.Board("Beech", 1200, 90, 20, 6, kind="solid"),
            "board 'Beech': solid boards are nailed or glued and matched by eye as they come; this plan is for "
            "floating click floors. Choose a laminate, engineered or vinyl click board.",
        ),
    ],
)
def test_boards_the_plan_is_not_for_are_refused_with_the_reason(board, message):
    with pytest.raises(ValueError) as caught:
        fk.set_out(rectangle(3000, 2000), board)
    assert str(caught.value) == message


@pytest.mark.parametrize(
    ("more", "message"),
    [
        ({"direction": "diagonal"}, "direction must be one of long, short, got 'diagonal'."),
        ({"direction": math.nan}, "direction must be 'long', 'short' or degrees, got nan."),
        ({"direction": True}, "direction must be 'long', 'short' or degrees, got True."),
        ({"direction": None}, "direction must be 'long', 'short' or degrees, got None."),
        ({"direction": [0]}, "direction must be 'long', 'short' or degrees, got [0]."),
        (
            {"direction": "45"},
            "direction must be 'long', 'short' or degrees as a number, got '45'. Leave the quotes out.",
        ),
        ({"rules": {"gap_mm": 8}}, "rules must be a LayingRules, got a dict. Write rules=LayingRules(gap_mm=8)."),
        ({"rules": {}}, "rules must be a LayingRules, got a dict. Write rules=LayingRules(...)."),
        ({"search": "quick"}, "search must be a Search, got 'quick'. Write search=Search(...)."),
        ({"first_row": 100}, "first_row must be a FirstRow, got 100. Write first_row=FirstRow(...)."),
        ({"first_row": fk.FirstRow("left")}, "start must be one of first, opposite, got 'left'."),  # type: ignore[arg-type]
        (
            {"first_row": fk.FirstRow(width_mm=200.0)},
            "first-row width must be 1 to 193 mm, got 200 mm. A row is one board wide.",
        ),
        (
            {"first_row": fk.FirstRow(width_mm=100.05)},
            "first-row width must be given to a tenth of a millimetre, got 100.05 mm; the nearest is 100 mm.",
        ),
        ({"search": fk.Search(seed=-1)}, "seed must be a whole number from 0 to 2147483648, got -1."),
    ],
)
def test_a_wrong_choice_is_refused_with_the_rule_and_the_value(more, message):
    with pytest.raises(ValueError) as caught:
        fk.set_out(rectangle(3000, 2000), fk.Board("b", 1380, 193, 8, 8), **more)
    assert str(caught.value) == message


OAK, STORE = fk.Board("Oak", 1380, 193, 8, 8), rectangle(3000, 2000)


@pytest.mark.parametrize(
    ("room", "board", "message"),
    [
        ("den.toml", OAK, "room must be a Room, got 'den.toml'. Read the survey first: read_room(path)."),
        (Path("den.toml"), OAK, "room must be a Room, got 'den.toml'. Read the survey first: read_room(path)."),
        (None, OAK, "room must be a Room, got None."),
        ({"Den": STORE}, OAK, "room must be a Room, got a dict. Take one room of them by its name."),
        (OAK, STORE, "room must be a Room, got a Board. The room comes first, then the board."),
        (STORE, "Oak", "board must be a Board, got 'Oak'. Take it from its table: read_boards(path)[name]."),
        (STORE, None, "board must be a Board, got None."),
        (STORE, demo_boards(), "board must be a Board, got a dict. Take one board of them by its name."),
        (STORE, fk.Board, "board must be a Board, got the class Board."),
    ],
    ids=["path", "Path", "no room", "rooms", "swapped", "name", "no board", "boards", "class"],
)
def test_what_is_no_room_or_no_board_is_told_at_the_door(room, board, message):
    for ask in (fk.set_out, fk.better_plans, habit_plan):
        with pytest.raises(ValueError) as caught:
            ask(room, board)
        assert str(caught.value) == message
    with pytest.raises(ValueError) as caught:
        fk.set_out(room=room, board=board)
    assert str(caught.value) == message


def test_a_gap_that_leaves_no_floor_is_refused():
    with pytest.raises(ValueError) as caught:
        fk.set_out(rectangle(1000, 40), fk.Board("b", 1380, 193, 8, 8), rules=fk.LayingRules(gap_mm=20))
    assert str(caught.value) == "room 'room': a gap of 20 mm leaves no floor. Is the outline in millimetres?"


def test_the_referee_itself_measures_the_offsets_it_judges():
    # A plan made for an offset of 100 is judged against 400: the referee must find faults, or it sees nothing.
    plan = fk.set_out(
        rectangle(4000, 2500), fk.Board("b", 1380, 193, 8, 8), rules=fk.LayingRules(joint_offset_mm=100), search=QUICK
    )
    assert broken_rules(plan, plan.room, plan.board, fk.LayingRules(joint_offset_mm=400))


@pytest.mark.parametrize(
    ("outline", "board", "fewest"),
    [
        (((0, 0), (5261, 0), (5261, 439), (2048, 439), (2048, 634), (0, 634)), (1818, 135), 13),
        (((0, 0), (3630, 0), (3630, 862), (1466, 862), (1466, 1529), (0, 1529)), (2185, 239), 9),
        (((0, 0), (2329, 0), (2329, 535), (1031, 535), (1031, 877), (0, 877)), (2101, 224), 4),
    ],
)
def test_small_ls_reach_the_fewest_boards_an_exact_solver_proved(outline, board, fewest):
    # Optimum by an exact solver in whole millimetres; rows of one piece share boards with the others.
    plan = fk.set_out(fk.Room("L", outline), fk.Board("b", *board, 8, 8))
    assert plan.boards_needed == fewest
    assert_holds(plan)
