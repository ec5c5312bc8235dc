"""The tracing-paper score on patterns whose answer is known by looking at them."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flooring_kit.setting_out.pattern import Coinciding, lined_up_rows, stair_rows, tracing_score

BOARD = 1800.0


def rows(step: float, count: int = 21) -> list[float]:
    return [(step * row) % BOARD or BOARD for row in range(count)]


# R 5950, 21 rows, L 1800: the table of patterns the score was chosen by. H counts and stairs follow from the
# definitions by hand: a half bond lines up every second row (19 of 21 have a row two on) and steps evenly.
@pytest.mark.parametrize(
    ("pattern", "lined_up", "stairs"),
    [
        ("half bond", 19, 19),
        ("aligned every other row", 19, 0),
        ("constant stair of 300", 0, 19),
        ("third bond", 0, 19),
    ],
)
def test_regular_patterns_score_one(pattern, lined_up, stairs):
    joints = {
        "half bond": rows(900),
        "aligned every other row": [300.0 if row % 2 else 1000.0 for row in range(21)],
        "constant stair of 300": rows(300),
        "third bond": rows(600),
    }[pattern]
    assert tracing_score(joints, BOARD).score_fraction == 1.0
    assert len(lined_up_rows(joints, BOARD)) == lined_up
    assert len(stair_rows(joints, BOARD)) == stairs


def test_the_shift_that_gives_the_score_is_named():
    every_other = [300.0 if row % 2 else 1000.0 for row in range(21)]
    assert tracing_score(every_other, BOARD).rows_shifted == 2
    assert tracing_score(every_other, BOARD).shifted_by_mm == 0.0


def test_one_row_has_no_score():
    with pytest.raises(ValueError) as caught:
        tracing_score([400.0], BOARD)
    assert str(caught.value) == "The tracing-paper score needs two rows or more, got 1."


@given(st.lists(st.floats(1, BOARD), min_size=3, max_size=30), st.floats(-5000, 5000))
def test_moving_the_whole_floor_along_the_boards_changes_no_score(joints, by):
    # Rounded to whole mm so that no pair of rows lies within float dust of the 50 mm window's edge.
    whole = [round(joint) for joint in joints]
    moved = [(joint + round(by)) % BOARD for joint in whole]
    assert tracing_score(moved, BOARD).score_fraction == pytest.approx(tracing_score(whole, BOARD).score_fraction)
    assert lined_up_rows(moved, BOARD) == lined_up_rows(whole, BOARD)


@given(st.lists(st.integers(1, 1800), min_size=2, max_size=30))
def test_the_score_is_a_share_of_the_rows_and_at_least_one_row(joints):
    score = tracing_score(joints, BOARD).score_fraction
    assert 1 / (len(joints) - 1) - 1e-9 <= score <= 1


@given(
    st.lists(st.integers(1, 1800), min_size=2, max_size=14),
    st.lists(st.tuples(st.integers(0, 100), st.integers(1, 1800)), max_size=20),
)
def test_what_coincides_is_kept_up_to_date_as_joints_move(joints, moves):
    kept = Coinciding([float(joint) for joint in joints], BOARD)
    for row, joint in moves:
        joints[row % len(joints)] = joint
        kept.move(row % len(joints), float(joint))
    share = 0.0
    for shift in range(1, min(4, len(joints) - 1) + 1):  # every pair of steps looked at in turn
        steps = [(b - a) % 1800 for a, b in zip(joints, joints[shift:], strict=False)]
        near = sum(min(abs(a - b), 1800 - abs(a - b)) <= 50 for a, b in combinations(steps, 2))
        share += near / len(steps)
    assert abs(kept.share - share) < 1e-9
