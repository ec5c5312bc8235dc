"""What a plan is weighed against: both habits, plan B and the margin's price, by hand sums and a second count.

The second count of *carry on with the offcut* unrolls the boards into one endless tape and saws the rows from it in
turn; the second tracing-paper score tries every shift that brings some pair of rows to the edge of the window.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

import pytest
from floors import DEMO_ROOMS, THREE_BOARDS, demo_boards, demo_room, rectangle
from referee import broken_rules, referee

import flooring_kit as fk
from flooring_kit.answer_sheet import longest_run_sentence
from flooring_kit.setting_out import habits, margin_price, pattern_of, plan_b
from flooring_kit.setting_out.alternatives import Pattern
from flooring_kit.weighing_sheet import pattern_sentences

QUICK = fk.Search(quick=True)
PLANK = fk.Board("plank", 1380, 193, 8, 8)
TRACING = "Copy all joints on tracing paper and lay it back shifted by one to four rows and any distance along."


def seeded_rectangles(count: int, *, seed: int) -> Iterator[fk.Plan]:
    """Quick plans of rectangles of 2-7 x 2-4 m, boards laid along x, default rules."""
    draw = random.Random(seed)
    for _ in range(count):
        board = fk.Board("board", draw.randint(1300, 2200), draw.randint(130, 240), 8, 8)
        room = rectangle(draw.randint(2000, 7000), draw.randint(2000, 4000))
        yield fk.set_out(room, board, direction=0, search=QUICK)


def rows_and_length_mm(plan: fk.Plan) -> tuple[int, float]:
    """Rows and clear length of a rectangular room laid along x, from the tape: whole rows and a rest, or one less."""
    (length, width), gap = plan.room.outline[2], plan.rules.gap_mm
    return math.ceil((width - 2 * gap) / plan.board.width_mm), length - 2 * gap


def carry_on(rows: int, length_mm: float, plan: fk.Plan) -> tuple[int, int, int]:
    """Boards, row pairs that break the offset, and rows with a short end, sawn from one endless tape of boards."""
    board, kerf = round(plan.board.length_mm * 10), round(plan.rules.kerf_mm * 10)
    at, used, short = 0, 0, 0
    all_joints: list[list[int]] = []
    for _ in range(rows):
        laid = 0
        ends: list[int] = []
        while laid < round(length_mm * 10):
            piece = min(round(length_mm * 10) - laid, board - at % board)
            at, laid = at + piece, laid + piece
            used = math.ceil(at / board)
            if at % board:
                at = min(at + kerf, used * board)  # the saw can't reach into the next board
            ends.append(laid)
        joints = ends[:-1]
        pieces = [b - a for a, b in zip([0, *joints], ends, strict=True)]
        short += bool(joints) and min(pieces) < plan.rules.shortest_piece_mm * 10
        all_joints.append(joints)
    offset = plan.rules.joint_offset_mm * 10
    broken = sum(any(abs(a - b) < offset for a in one for b in two) for one, two in pairwise(all_joints))
    return used, broken, short


def tenths(plan: fk.Plan) -> tuple[list[int], int]:
    return [round(joint * 10) for joint in plan.row_joints_mm], round(plan.board.length_mm * 10)


def apart(difference: int, board: int) -> int:
    return min(difference % board, -difference % board)


def traced(plan: fk.Plan) -> tuple[float, int]:
    """The tracing-paper score and the rows shifted, every shift tried."""
    joints, board = tenths(plan)
    scores = []
    for shift in range(1, 5):
        steps = [b - a for a, b in zip(joints, joints[shift:], strict=False)]
        most = max(sum((other - step) % board <= 500 for other in steps) for step in steps)
        scores.append((most / len(steps), -shift))
    best, shift = max(scores)
    return best, -shift


def counted_by_hand(plan: fk.Plan) -> tuple[int, int]:
    """Rows within 100 mm of the row two on, and rows that begin three with one step, within 50 mm."""
    joints, board = tenths(plan)
    threes = list(zip(joints, joints[1:], joints[2:], strict=False))
    return (
        sum(apart(a - c, board) <= 1000 for a, _, c in threes),
        sum(apart(a - 2 * b + c, board) <= 500 for a, b, c in threes),
    )


# ---------------------------------------------------------------------- the two habits


def test_carrying_on_in_the_box_room_leaves_13_short_rows_and_breaks_12_offsets():
    # Hand sum: 2770 = 2 x 1380 + 10. Row 1: 1380, 1380, 10. The next board has 1380 - 10 - 3 = 1367 left: row 2 is
    # 1367, 1380, 23, row 3 1354, 1380, 36 ... row 13 1224, 1380, 166. Three boards, then two more a row: 3 + 12 x 2.
    # Joints of neighbours are 13 apart, 12 pairs of rows; first joints begin at 1380, 10 from the survey's corner.
    found = habits(fk.set_out(demo_room("box_room"), PLANK, search=QUICK)).carry_on
    assert (found.boards, found.broken_offsets, found.short_rows) == (27, 12, 13)
    assert found.row_joints_mm == pytest.approx([1390 - 13 * row for row in range(13)])


def test_keeping_the_rules_in_the_box_room_takes_31_boards():
    # Hand sum: every row is a, 1380, 1390 - a with 300 <= a <= 1090. Its offcut is 1380 - (1390 - a) - 13 = a - 23,
    # but the next row's joint must be 300 lower: 1090, 790 at most, 490 at most, and then there is no room below.
    # So a new board at the latest every third row: 13 rows are five turns, 13 x 2 + 5 boards.
    found = habits(fk.set_out(demo_room("box_room"), PLANK, search=QUICK)).keep_rules
    assert (found.boards, found.broken_offsets, found.short_rows) == (31, 0, 0)


def test_carrying_on_agrees_with_rows_sawn_from_one_endless_tape():
    for plan in seeded_rectangles(30, seed=1):
        found = habits(plan).carry_on
        assert (found.boards, found.broken_offsets, found.short_rows) == carry_on(*rows_and_length_mm(plan), plan)


def test_carrying_on_takes_no_fewer_boards_than_the_bound_without_offset_shortest_piece_or_margin():
    for plan in seeded_rectangles(30, seed=2):
        bare = replace(plan.rules, joint_offset_mm=0, shortest_piece_mm=0, offcut_margin_mm=0)
        start = fk.FirstRow(plan.start, plan.row_widths[0].first_row_width_mm)
        free = fk.set_out(plan.room, plan.board, rules=bare, direction=0, first_row=start, search=QUICK)
        rows, length = rows_and_length_mm(plan)
        by_length = math.ceil(rows * length / plan.board.length_mm - 1e-9)
        assert habits(plan).carry_on.boards >= max(free.boards_bound, by_length)


def test_keeping_the_rules_on_thirty_rectangles_keeps_them_and_takes_no_fewer_boards_than_the_settled_plan():
    more = 0
    for plan in seeded_rectangles(30, seed=3):
        assert plan.broken_rules == ()
        if not plan.proved_fewest:
            plan = fk.set_out(plan.room, plan.board, direction=0)
        found = habits(plan).keep_rules
        assert (found.broken_offsets, found.short_rows) == (0, 0)
        assert found.boards >= plan.boards_needed >= plan.boards_bound
        more += found.boards > plan.boards_needed
    assert more > 5


@pytest.mark.parametrize("name", DEMO_ROOMS)
def test_keeping_the_rules_in_a_demo_room_keeps_them_and_takes_no_less_than_the_bound(name):
    plan = fk.set_out(demo_room(name), PLANK, search=QUICK)
    found = habits(plan).keep_rules
    assert (found.broken_offsets, found.short_rows) == (0, 0)
    assert found.boards >= plan.boards_bound


# ---------------------------------------------------------------------- plan B


def test_a_plan_b_takes_one_board_more_passes_the_referee_and_repeats_clearly_less():
    offered = 0
    for size, face, offset, shortest in (
        ((2714, 3111), (2037, 218), 400, 400),  # two that repeat themselves at the fewest boards, found by trying
        ((4734, 2052), (1897, 205), 300, 300),
        ((2790, 2380), (1380, 193), 300, 300),  # and two that hardly do
        ((3500, 2100), (1600, 200), 300, 300),
    ):
        rules = fk.LayingRules(joint_offset_mm=offset, shortest_piece_mm=shortest)
        plan = fk.set_out(rectangle(*size), fk.Board("board", *face, 8, 8), rules=rules, direction=0)
        other = plan_b(plan)
        if other is None:
            continue
        offered += 1
        assert other.boards_needed == plan.boards_needed + 1
        assert referee(other, plan.room, plan.board, plan.rules) == []
        assert broken_rules(other, plan.room, plan.board, plan.rules) == []
        assert (other.start, other.along, other.rows) == (plan.start, plan.along, plan.rows)
        assert other.row_widths[0].first_row_width_mm == plan.row_widths[0].first_row_width_mm
        faults_gone = sum(counted_by_hand(plan)) > 0 == sum(counted_by_hand(other))
        assert faults_gone or traced(other)[0] <= traced(plan)[0] - 0.1
    assert offered


@pytest.mark.parametrize("size", [(5200, 1075), (4000, 1400)])
def test_a_floor_under_ten_rows_with_nothing_lined_up_and_no_stair_gets_no_plan_b(size):
    plan = fk.set_out(rectangle(*size), PLANK)
    assert plan.rows < 10
    assert counted_by_hand(plan) == (0, 0)
    assert plan_b(plan) is None


# ---------------------------------------------------------------------- the price of the margin


def test_a_margin_of_80_costs_the_worked_example_one_board_and_one_of_10_none():
    # Hand sum: rows of 4000 = 2 x 1800 + 400, first joints from 400 to 1800. With kerf 3 and margin 10 four rows go
    # on one another's offcuts in steps of 413: 1800, 1387, 974, 561: 4 x 2 + 1 boards, as without a margin. With
    # margin 80 the steps are 483: 1800, 1317, 834, then 351, too low: a second board beyond two a row.
    for margin, boards, price in ((10, 9, 0), (80, 10, 1)):
        rules = fk.LayingRules(offcut_margin_mm=margin)
        plan = fk.set_out(rectangle(4020, 792), fk.Board("plank", 1800, 193, 8, 8), rules=rules)
        assert (plan.boards_needed, margin_price(plan)) == (boards, price)


@pytest.mark.parametrize("name", ["box_room", "hall"])
def test_no_margin_costs_nothing(name):
    assert margin_price(fk.set_out(demo_room(name), PLANK, rules=fk.LayingRules(offcut_margin_mm=0))) == 0


def test_the_price_of_a_margin_is_the_difference_to_the_same_floor_set_out_without():
    board, margins = fk.Board("board", 1600, 240, 8, 8), fk.LayingRules(offcut_margin_mm=150)
    prices = []
    for length, width in ((2900, 1500), (3700, 1800), (4300, 1300), (2500, 2000)):
        plan, bare = (
            fk.set_out(rectangle(length, width), board, rules=rules, direction=0)
            for rules in (margins, replace(margins, offcut_margin_mm=0))
        )
        prices.append(margin_price(plan))
        assert prices[-1] == plan.boards_needed - bare.boards_needed >= 0
    assert max(prices) > 0


# ---------------------------------------------------------------------- the pattern in words


@pytest.mark.parametrize(
    ("score", "word"),
    [
        (0.0, "irregular"), (0.20, "irregular"), (0.201, "fairly irregular"), (0.35, "fairly irregular"),
        (0.351, "repeats visible"), (0.60, "repeats visible"), (0.601, "regular"), (1.0, "regular"),
    ],
)  # fmt: skip
def test_a_score_at_a_limit_keeps_the_better_word(score, word):
    assert Pattern(20, score, 1, (1,), (1,)).word == word


def test_without_a_score_one_lined_up_row_or_stair_is_a_visible_repeat():
    words = [Pattern(9, None, 1, lined_up, stairs).word for lined_up, stairs in (((), ()), ((3,), ()), ((), (2,)))]
    assert words == ["irregular", "repeats visible", "repeats visible"]


def test_a_score_is_given_from_ten_rows_on_and_rows_are_numbered_from_one():
    # A stair of 300 on boards of 1800: every three rows have one step, none lines up with the row two on.
    nine, ten = (pattern_of(tuple(300.0 * (row % 6) for row in range(rows)), 1800.0) for rows in (9, 10))
    assert (nine.score_fraction, nine.word) == (None, "repeats visible")
    assert (ten.score_fraction, ten.rows_shifted, ten.word) == (1.0, 1, "regular")
    assert (nine.stairs, nine.lined_up) == (tuple(range(1, 8)), ())


def test_the_box_room_is_told_with_its_score_and_both_habits():
    plan = fk.set_out(demo_room("box_room"), demo_boards()[THREE_BOARDS[0]])
    (score, shift), (lined_up, stairs) = traced(plan), counted_by_hand(plan)
    word = "irregular" if score <= 0.2 else "fairly irregular" if score <= 0.35 else "repeats visible"
    assert pattern_sentences(plan) == [
        TRACING,
        f"At most {round(score * 100)}% of the rows coincide ({shift} on): {word}. "
        f"{lined_up} lined up with the row two on, {stairs} that begin a stair.",
        "Carrying on with the offcut, rules ignored, takes 27 boards, breaks 12 offsets and leaves 13 rows with a "
        "short end; the plan takes 27.",
        "Keeping the rules as you go takes 31 boards, breaks 0 offsets and leaves 0 rows with a short end; the plan "
        "takes 27.",
    ]


@pytest.mark.parametrize(
    ("width", "rows", "boards", "carried"),
    [
        # Rows of the box room. One: 1380, 1380, 10. Two: the second 1367, 1380, 23. The plan: 2 x 1380 a row and one.
        (213, "1 row", 3, "takes 3 boards, breaks 0 offsets and leaves 1 row with a short end; the plan takes 3."),
        (406, "2 rows", 5, "takes 5 boards, breaks 1 offset and leaves 2 rows with a short end; the plan takes 5."),
    ],
)
def test_a_floor_of_one_or_two_rows_is_told_in_counts(width, rows, boards, carried):
    plan = fk.set_out(rectangle(2790, width), PLANK, direction=0)
    assert pattern_sentences(plan) == [
        f"Joints in {rows}: 0 lined up with the row two on, 0 that begin a stair: irregular.",
        f"Carrying on with the offcut, rules ignored, {carried}",
        f"Keeping the rules as you go takes {boards} boards, breaks 0 offsets and leaves 0 rows with a short end; "
        f"the plan takes {boards}.",
    ]


# ---------------------------------------------------------------------- the longest run


@pytest.mark.parametrize(
    ("size", "sentence"),
    [
        ((12020, 8020), ""),  # clear 12.00 by 8.00 m: at both limits, over neither
        ((12420, 8020), "The floor runs 12.40 m along the boards, over the 12 m the leaflet allows: it needs a break."),
        ((12020, 8520), "The floor runs 8.50 m across the boards, over the 8 m the leaflet allows: it needs a break."),
        (
            (12420, 8520),
            "The floor runs 12.40 m along the boards, over the 12 m and 8.50 m across the boards, over the 8 m the "
            "leaflet allows: it needs a break.",
        ),
    ],
)
def test_a_floor_longer_than_the_leaflet_allows_is_told_with_length_and_limit(size, sentence):
    board = fk.Board("board", 2200, 300, 8, 8, longest_along_mm=12_000, longest_across_mm=8_000)
    assert longest_run_sentence(fk.set_out(rectangle(*size), board, direction=0, search=QUICK)) == sentence


def test_the_kitchen_diner_needs_a_break_across_and_none_along():
    # 8600 long, less a gap of 10 at both ends: over 8 m across the boards, under 12 m along them.
    room, across = demo_room("kitchen_diner"), "8.58 m across the boards, over the 8 m"
    laid_across, laid_along = (fk.set_out(room, PLANK, direction=degrees, search=QUICK) for degrees in (0, 90))
    assert longest_run_sentence(laid_across) == f"The floor runs {across} the leaflet allows: it needs a break."
    assert longest_run_sentence(laid_along) == ""
