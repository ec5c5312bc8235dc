"""A taped room: corners by least squares, and the measurement most likely wrong."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from flooring_kit.checks import FaultsError
from flooring_kit.tape import TapeWall, Tie, fit_tape

RECTANGLE = ((0, 0), (4000, 0), (4000, -3000), (0, -3000))
L_ROOM = ((0, 0), (5000, 0), (5000, -3000), (3000, -3000), (3000, -7000), (0, -7000))
BAY = ((0, 0), (1000, 0), (1500, 500), (2500, 500), (3000, 0), (4000, 0), (4000, -3000), (0, -3000))
HEXAGON = ((0, 0), (3000, 0), (4500, -2200), (3200, -4600), (300, -4900), (-1400, -2500))
ALL_OF_HEXAGON = [pair for pair in itertools.combinations(range(1, 7), 2) if pair[1] - pair[0] not in (1, 5)]


def distance(corners, a, b):
    return math.dist(corners[a - 1], corners[b - 1])


def taped(corners, ties=(), *, turns=None):
    """Exact measurements of a room; turns to whole degrees, as a person states them."""
    steps = np.roll(np.array(corners, float), -1, axis=0) - np.array(corners, float)
    headings = np.degrees(np.arctan2(steps[:, 1], steps[:, 0]))
    true_turns = (headings - np.roll(headings, -1) + 180) % 360 - 180
    lengths = np.hypot(steps[:, 0], steps[:, 1])
    turns = [float(round(turn)) for turn in true_turns] if turns is None else turns
    walls = [TapeWall(float(length), turn) for length, turn in zip(lengths, turns, strict=True)]
    return walls, [Tie(a, b, distance(corners, a, b)) for a, b in ties]


def slipped(walls, ties, index, by_mm):
    """The same survey with one measurement wrong, walls counted first."""
    both = [*walls, *ties]
    both[index] = replace(both[index], length_mm=both[index].length_mm + by_mm)
    return both[: len(walls)], both[len(walls) :]


def faults_of(walls, ties, **options):
    with pytest.raises(FaultsError) as caught:
        fit_tape(walls, ties, **options)
    count = len(caught.value.faults)
    head = f"tape survey: {count} fault{'s' if count != 1 else ''} found, nothing was read."
    assert str(caught.value) == "\n".join([head, *(f"  - {fault}" for fault in caught.value.faults)])
    return list(caught.value.faults)


# --- shapes known beforehand ------------------------------------------------------------------------------


def test_a_3_4_5_triangle_is_right_angled_and_nothing_checks_it():
    # The acute angles are atan(3/4) = 36.87 and 53.13 degrees; a turn is 180 less the angle.
    fit = fit_tape([TapeWall(3000, 90), TapeWall(4000, 143), TapeWall(5000, 127)], [])
    assert fit.outline == ((0, 0), (3000, 0), (3000, -4000))
    assert fit.redundancy == 0
    assert fit.out_of_square["corner"].tolist() == [1, 2, 3]
    assert fit.out_of_square["stated_degrees"].tolist() == pytest.approx([127, 90, 143])
    assert fit.out_of_square["turn_degrees"].tolist() == pytest.approx([126.87, 90, 143.13], abs=0.005)
    # tan(0.13010 degrees) = 2.2707 mm per m, to the right at corner 3 and to the left at corner 1
    assert fit.out_of_square["off_mm_per_m"].tolist() == pytest.approx([-2.27, 0, 2.27], abs=0.005)
    assert fit.suspect is None
    assert fit.suspects == ()
    assert fit.verdict == (
        "Nothing was checked: 3 measurements are just enough to fix the shape, so a wrong one does not show and "
        "nothing can tell which it is; measure at least two more ties."
    )


@pytest.mark.parametrize(("diagonal_mm", "corner_degrees"), [(5020, 90.478), (4980, 89.523)])
def test_a_corner_out_of_square_is_what_the_cosine_rule_makes_it(diagonal_mm, corner_degrees):
    # legs of 3 and 4 m: cos = (3² + 4² - d²) / 24
    fit = fit_tape([TapeWall(3000, 90), TapeWall(4000, 143), TapeWall(diagonal_mm, 127)], [])
    turn = fit.out_of_square.set_index("corner")["turn_degrees"][2]
    assert 180 - turn == pytest.approx(corner_degrees, abs=0.001)


def test_a_rectangle_lies_below_wall_1_with_the_walls_on_the_left_hand():
    fit = fit_tape(*taped(RECTANGLE, [(1, 3)]))
    assert fit.outline == RECTANGLE
    assert fit.redundancy == 0
    assert fit.misclosure_mm == pytest.approx(0, abs=1e-6)


def test_a_quadrilateral_out_of_square_is_as_worked_by_hand():
    # Wall 2: 3000 left and 4000 down is 5000. Wall 3: sqrt(4000² + 1000²) = 4123.106. Tie: 4000 sqrt(2) = 5656.854.
    # Turn at corner 2: 180 less atan(4000/3000) = 126.870. At 3: headings -126.870 and 165.964, turn 67.166.
    walls = [TapeWall(7000, 125), TapeWall(5000, 68), TapeWall(4123.106, 75), TapeWall(3000, 90)]
    fit = fit_tape(walls, [Tie(1, 3, 5656.854)])
    assert fit.outline == ((0, 0), (7000, 0), (4000, -4000), (0, -3000))
    assert fit.out_of_square["turn_degrees"].tolist() == pytest.approx([90, 126.870, 67.166, 75.964], abs=0.0005)
    # Stated 125 at corner 2 and fitted 126.870: tan(1.870 degrees) is 32.65 mm per m.
    assert fit.out_of_square["off_mm_per_m"][1] == pytest.approx(32.65, abs=0.01)


@pytest.mark.parametrize(
    ("corners", "ties", "redundancy"),
    [
        (RECTANGLE, [(1, 3), (2, 4)], 1),  # 4 + 2 - 5
        (L_ROOM, [(1, 3), (1, 4), (4, 6), (1, 5), (2, 4)], 2),  # 6 + 5 - 9
        (BAY, [(1, 7), (6, 8), (2, 7), (2, 8), (5, 7), (5, 8), (3, 8), (4, 7), (2, 5)], 4),  # 8 + 9 - 13
        (HEXAGON, ALL_OF_HEXAGON, 6),  # 6 + 9 - 9
    ],
)
def test_exact_measurements_give_the_room_itself_and_no_residuals(corners, ties, redundancy):
    fit = fit_tape(*taped(corners, ties))
    assert np.abs(np.array(fit.outline) - corners).max() <= 0.05 + 1e-6
    table = fit.measurements
    assert table["residual_mm"].abs().max() < 1e-3
    assert table["standardised"].abs().max() < 1e-2
    assert (table["fitted_mm"] - table["measured_mm"]).tolist() == pytest.approx(table["residual_mm"].tolist())
    assert fit.redundancy == redundancy
    # textbook: redundancy numbers add up to the redundancy
    assert table["checked_fraction"].sum() == pytest.approx(redundancy)
    assert fit.suspect is None


def test_measurements_are_named_as_given_and_counted_where_repeated():
    walls, ties = taped(RECTANGLE, [(1, 3), (3, 1), (1, 3), (1, 2)])
    names = fit_tape(walls, ties).measurements["what"].tolist()
    assert names == ["wall 1", "wall 2", "wall 3", "wall 4", "tie 1-3", "tie 3-1", "tie 1-3 (2)", "tie 1-2"]


# --- walls and turns alone --------------------------------------------------------------------------------


def test_without_ties_the_walls_keep_their_lengths_and_the_turns_take_up_the_misclosure():
    # Walls 4020 and 4000 apart, 3000 long both: an isosceles trapezium, leaning asin(10/3000) = 0.19099 degrees.
    fit = fit_tape([TapeWall(4020), TapeWall(3000), TapeWall(4000), TapeWall(3000)], [])
    assert fit.misclosure_mm == pytest.approx(20)
    assert fit.measurements["residual_mm"].abs().max() < 0.01
    assert fit.measurements["standardised"].isna().all()
    assert fit.measurements["shows_from_mm"].tolist() == [math.inf] * 4
    assert fit.out_of_square["turn_degrees"].tolist() == pytest.approx([90.191, 90.191, 89.809, 89.809], abs=0.0005)
    assert fit.redundancy == 0
    assert fit.suspect is None
    assert fit.verdict == (
        "Nothing was checked: without ties the shape rests on the walls and the stated turns, which miss closing by "
        "20 mm; measure the diagonals."
    )


def test_a_straight_wall_in_two_parts_needs_no_tie_where_there_are_none_at_all():
    corners = ((0, 0), (2000, 0), (4000, 0), (4000, -3000), (0, -3000))
    assert fit_tape(*taped(corners)).outline == corners


# --- one check --------------------------------------------------------------------------------------------


def test_one_check_shows_that_something_is_wrong_but_not_what():
    # A rectangle of 4 by 3 with both diagonals balances forces of 0.8 in the long walls, 0.6 in the short ones and
    # -1 in the diagonals (4/5, 3/5). Their squares add up to 4, so the redundancy numbers are 0.16, 0.09 and 0.25;
    # a tie 20 too long leaves 20/4 of each force, and |w| = 20 · sqrt(0.25) / 3 = 3.33 everywhere.
    fit = fit_tape(*slipped(*taped(RECTANGLE, [(1, 3), (2, 4)]), 4, 20))
    table = fit.measurements
    # half a tenth of a percent of slack: the forces turn with the shape, 20 mm in 4000
    assert table["checked_fraction"].tolist() == pytest.approx([0.16, 0.09, 0.16, 0.09, 0.25, 0.25], abs=2e-3)
    assert table["residual_mm"].tolist() == pytest.approx([4, 3, 4, 3, -5, -5], abs=0.05)
    assert table["standardised"].tolist() == pytest.approx([10 / 3] * 4 + [-10 / 3] * 2, abs=0.02)
    # 4.13 standard deviations of the residual: 4.13 · 3 / sqrt(r), r as above
    assert table["shows_from_mm"].tolist() == pytest.approx([30.98, 41.3, 30.98, 41.3, 24.78, 24.78], abs=0.3)
    assert fit.suspect is None
    assert fit.suspects == ()
    # 5 / 0.25 = 20, 4 / 0.16 = 25, 3 / 0.09 = 33 mm
    assert fit.verdict == (
        "Something is wrong by about 20 to 33 mm, but one check cannot tell which of wall 1, wall 2, wall 3, wall 4, "
        "tie 1-3 or tie 2-4 it is; measure one more tie, or these again."
    )


def test_one_check_that_agrees_says_that_it_could_not_tell_either():
    fit = fit_tape(*taped(RECTANGLE, [(1, 3), (2, 4)]))
    assert fit.verdict == (
        "The measurements agree within what a tape of 3 mm allows, but one check cannot tell which is wrong if one "
        "is; it checks wall 1, wall 2, wall 3, wall 4, tie 1-3 and tie 2-4."
    )


def test_a_wall_measured_twice_is_one_check_of_that_wall_alone():
    # Two lengths 20 apart: each is 10 from the mean, r = 1/2, w = 10 / (3 · sqrt(1/2)) = 4.71.
    fit = fit_tape(*slipped(*taped(RECTANGLE, [(1, 3), (1, 2)]), 5, 20))
    w = fit.measurements["standardised"].tolist()
    assert [w[0], w[5]] == pytest.approx([4.71, -4.71], abs=0.005)
    assert all(math.isnan(each) for each in w[1:5])
    assert fit.verdict == (
        "Something is wrong by about 20 mm, but one check cannot tell which of wall 1 or tie 1-2 it is; "
        "measure one more tie, or these again."
    )


# --- slips ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("by_mm", [20, -20])
@pytest.mark.parametrize("index", range(15))
def test_a_slip_of_20_mm_is_found_whichever_measurement_it_is_in(index, by_mm):
    walls, ties = taped(HEXAGON, ALL_OF_HEXAGON)
    fit = fit_tape(*slipped(walls, ties, index, by_mm), tape_sigma_mm=2)
    name = fit.measurements["what"][index]
    assert fit.suspect == name
    assert fit.suspects == (name,)
    assert np.sign(fit.measurements["residual_mm"][index]) == -np.sign(by_mm)
    too = "long" if by_mm > 0 else "short"
    assert fit.verdict == f"Most likely wrong is {name}, about 20 mm too {too}: measure it again."


def test_two_measurements_that_only_check_each_other_are_both_named():
    # The shape has one diagonal, so nothing but the second measurement checks a wall: 20 apart, |w| = 4.71 each.
    fit = fit_tape(*slipped(*taped(RECTANGLE, [(1, 3), (1, 2), (3, 4)]), 2, 20))
    assert fit.redundancy == 2
    assert fit.suspects == ("wall 3", "tie 3-4")
    assert fit.suspect is None
    assert fit.verdict == (
        "Wrong is wall 3, about 20 mm too long; or tie 3-4, about 20 mm too short; the others cannot tell which: "
        "measure both again."
    )


def test_a_second_slip_is_mentioned_beside_the_largest():
    # Walls 1 and 3 measured three times each: 40 and 30 mm over are 2/3 of that off the mean, w = 10.9 and 8.2.
    survey = taped(RECTANGLE, [(1, 3), (1, 2), (2, 1), (3, 4), (4, 3)])
    fit = fit_tape(*slipped(*slipped(*survey, 0, 40), 7, 30))
    assert fit.suspect == "wall 1"
    assert fit.verdict == (
        "Most likely wrong is wall 1, about 40 mm too long: measure it again; "
        "the rest still disagrees without it, so more than one is wrong."
    )


def test_measurements_that_agree_say_how_well_and_what_would_not_show():
    # Wall 1 three times, 3 mm apart at most: the fit is the mean, r = 2/3 of each.
    walls, ties = taped(RECTANGLE, [(1, 3), (1, 2), (2, 1)])
    fit = fit_tape(*slipped(walls, ties, 0, 3))
    assert fit.verdict == (
        "The measurements agree within what a tape of 3 mm allows: the largest correction is 2.0 mm; "
        "nothing checks wall 2, wall 3, wall 4 and tie 1-3."
    )
    # Everything twice: r = 1/2 throughout, and 4.13 · 3 / sqrt(1/2) = 17.52
    walls, ties = taped(RECTANGLE, [(1, 2), (2, 3), (3, 4), (4, 1), (1, 3), (3, 1)])
    fit = fit_tape(*slipped(walls, ties, 0, 3))
    assert fit.verdict.startswith(
        "The measurements agree within what a tape of 3 mm allows: the largest correction is 1.5 mm; "
    )
    assert fit.verdict.endswith(" shows a slip only from 18 mm.")


def test_a_survey_that_scatters_all_round_is_not_called_good():
    # Five lengths twice, 12 mm apart: |w| = 6 / (3 · sqrt(1/2)) = 2.83, none beyond 3.29; but the ten squared
    # residuals of 2 sigma add up to 40, the limit for 5 surplus at 0.1 % is 20.5; sqrt(40 / 5) = 2.8.
    walls, ties = taped(RECTANGLE, [(1, 3), (3, 1), (1, 2), (2, 3), (3, 4), (4, 1)])
    for index, by in zip(range(10), [6, 6, 6, 6, 6, -6, -6, -6, -6, -6], strict=True):
        walls, ties = slipped(walls, ties, index, by)
    fit = fit_tape(walls, ties)
    assert fit.suspects == ()
    assert fit.verdict == (
        "No single measurement stands out, but together they scatter 2.8 times as much as a tape of 3 mm should: "
        "measure again with more care."
    )


def test_noise_of_the_tape_gives_standardised_residuals_of_about_one_and_hardly_ever_a_suspect():
    random = np.random.default_rng(1968)
    walls, ties = taped(HEXAGON, ALL_OF_HEXAGON)
    squares, accused = [], 0
    for _ in range(200):
        noise = random.normal(0, 3, 15)
        noisy = [replace(each, length_mm=each.length_mm + by) for each, by in zip([*walls, *ties], noise, strict=True)]
        fit = fit_tape(noisy[:6], noisy[6:])
        squares += (fit.measurements["standardised"] ** 2).tolist()
        accused += bool(fit.suspects)
    # 200 runs of 6 surplus measurements: the rms is uncertain by 1 / sqrt(2 · 1200) = 0.02; four times that
    assert math.sqrt(np.mean(squares)) == pytest.approx(1, abs=0.08)
    # 15 tests at 0.1 %: 1.5 % of the runs, 3 of 200; 10 or more has a chance of 1 in 1000 (Poisson)
    assert accused < 10


# --- properties -------------------------------------------------------------------------------------------


@st.composite
def rooms(draw):
    """Corners round a point, clockwise, wall 1 along +x from (0, 0)."""
    count = draw(st.integers(4, 7))
    corners = []
    for i in range(count):
        angle = -2 * math.pi * (i + draw(st.floats(-0.25, 0.25))) / count
        radius = draw(st.floats(2000, 4000))
        corners.append(radius * complex(math.cos(angle), math.sin(angle)))
    along = (corners[1] - corners[0]) / abs(corners[1] - corners[0])
    placed = [(corner - corners[0]) / along for corner in corners]
    return tuple((corner.real, corner.imag) for corner in placed)


def every_tie(count):
    return [pair for pair in itertools.combinations(range(1, count + 1), 2) if pair[1] - pair[0] not in (1, count - 1)]


@given(rooms())
def test_any_room_measured_exactly_comes_back_to_a_tenth(corners):
    fit = fit_tape(*taped(corners, every_tie(len(corners))))
    assert np.abs(np.array(fit.outline) - corners).max() <= 0.05 + 1e-3
    assert fit.measurements["residual_mm"].abs().max() < 1e-3
    assert fit.suspect is None


@given(rooms(), st.integers(1, 6), st.lists(st.floats(-3, 3), min_size=30, max_size=30))
def test_the_walk_may_start_at_any_corner(corners, first, noise):
    count = len(corners)
    assume(first < count)
    walls, ties = taped(corners, every_tie(count))
    both = [replace(each, length_mm=each.length_mm + by) for each, by in zip([*walls, *ties], noise, strict=False)]
    walls, ties = both[:count], both[count:]
    here = fit_tape(walls, ties)
    turned = [
        Tie((t.corner_a - 1 - first) % count + 1, (t.corner_b - 1 - first) % count + 1, t.length_mm) for t in ties
    ]
    there = fit_tape(walls[first:] + walls[:first], turned)
    for a, b in itertools.combinations(range(1, count + 1), 2):
        one = distance(here.outline, a, b)
        other = distance(there.outline, (a - 1 - first) % count + 1, (b - 1 - first) % count + 1)
        # four corners, each rounded by up to 0.05 mm in x and y
        assert one == pytest.approx(other, abs=4 * 0.05 * math.sqrt(2) + 1e-3)
    assert here.redundancy == there.redundancy


def test_starting_elsewhere_changes_nothing_where_the_turns_fill_in():
    walls = [TapeWall(5010), TapeWall(3000), TapeWall(2000, -90), TapeWall(4000), TapeWall(3000), TapeWall(7000)]
    here, there = fit_tape(walls, []), fit_tape(walls[2:] + walls[:2], [])
    one, other = here.out_of_square["turn_degrees"].to_numpy(), there.out_of_square["turn_degrees"].to_numpy()
    assert np.roll(one, -2).tolist() == pytest.approx(other.tolist(), abs=1e-3)


# --- refusals ---------------------------------------------------------------------------------------------


def test_every_wrong_value_is_told_at_once():
    walls = [TapeWall(math.nan), TapeWall(-3000, 180), TapeWall(4.2, math.inf), TapeWall(0, "right")]
    ties = [Tie(1, 5, 5000), Tie(2, 2, math.inf), Tie(1.5, 3, True)]
    assert faults_of(walls, ties, tape_sigma_mm=0, turn_tolerance_degrees=60) == [
        "tape sigma must be 0.1 to 50 mm, got 0 mm.",
        "turn tolerance must be 0.1 to 45 degrees, got 60 degrees.",
        "wall 1: length must be a finite number, got nan.",
        "wall 2: length must be 10 to 100000 mm, got -3000 mm.",
        "wall 2: turn must be -175 to 175 degrees, got 180 degrees. Right is +, left is -; straight on is 0.",
        "wall 3: length must be 10 to 100000 mm, got 4.2 mm. This looks like metres: write 4200 for 4.2 m.",
        "wall 3: turn must be a finite number, got inf.",
        "wall 4: length must be 10 to 100000 mm, got 0 mm.",
        "wall 4: turn must be a number in degrees, got 'right'.",
        "tie 1: corner must be a whole number from 1 to 4, got 5. The room has 4 walls, so 4 corners.",
        "tie 2: both its ends are corner 2. Give two different corners.",
        "tie 2: length must be a finite number, got inf.",
        "tie 3: corner must be a whole number from 1 to 4, got 1.5. The room has 4 walls, so 4 corners.",
        "tie 3: length must be a number in mm, got true.",
    ]


def test_two_walls_are_no_room():
    assert faults_of([TapeWall(4000), TapeWall(4000)], [Tie(1, 3, 1000)]) == [
        "a room has at least 3 walls, got 2. List them in order round the room."
    ]


def test_a_room_walked_the_other_way_round_is_refused_as_its_mirror_image():
    walls, ties = taped(RECTANGLE, [(1, 3), (2, 4)], turns=[-90.0] * 4)
    assert faults_of(walls, ties) == [
        "the turns must add up to 360 degrees, got -360 degrees. This is the mirror image, walked anticlockwise: "
        "keep the walls on your left, turns to the right +."
    ]


def test_a_turn_with_the_wrong_sign_and_a_wall_longer_than_the_rest_are_told_together():
    walls = [TapeWall(40000), TapeWall(3000), TapeWall(4000, -90), TapeWall(3000)]
    assert faults_of(walls, []) == [
        "the turns must add up to 360 degrees, got 180 degrees. "
        "Check the signs: + to the right, - to the left; and that no wall is missing.",
        "wall 1 is 40000 mm long and all others together 10000 mm: they cannot meet its ends. Check its length.",
    ]


def test_walls_that_cross_are_refused():
    # A U whose notch is 500 deeper than the room.
    corners = ((0, 0), (6000, 0), (6000, -4000), (4000, -4000), (4000, 500), (2000, 500), (2000, -4000), (0, -4000))
    crossed = (
        "walls 1 and 4 meet near (4000, 0) mm, so this is no room. "
        "Check the lengths and the signs of the turns: + to the right, - to the left."
    )
    assert faults_of(*taped(corners)) == [crossed]
    assert faults_of(*taped(corners, every_tie(8))) == [crossed]


def test_a_quadrilateral_without_a_diagonal_is_not_fixed_by_a_second_measurement_of_a_wall():
    assert faults_of(*taped(RECTANGLE, [(1, 2)])) == [
        "the walls and ties do not fix the shape: the distance 1-3 can change with every length kept. "
        "Measure that diagonal as a tie."
    ]


def test_surplus_in_one_part_does_not_fix_another():
    # The L as two rectangles: 1-2-3 with 4 has both diagonals, corners 5 and 6 can still move against them.
    faults = faults_of(*taped(L_ROOM, [(1, 3), (2, 4), (1, 4), (1, 3), (3, 1)]))
    assert faults in (
        [
            f"the walls and ties do not fix the shape: the distance {tie} can change with every length kept. "
            "Measure that diagonal as a tie."
        ]
        for tie in ("1-5", "4-6")
    )


def test_the_ties_that_are_asked_for_do_fix_the_shape():
    (fault,) = faults_of(*taped(L_ROOM, [(1, 2)]))
    found = fault.removeprefix("the walls and ties do not fix the shape: the distances ")
    named = found.removesuffix(" can change with every length kept. Measure these diagonals as ties.")
    assert fault == (
        f"the walls and ties do not fix the shape: the distances {named} can change with every length kept. "
        "Measure these diagonals as ties."
    )
    ties = [tuple(map(int, tie.split("-"))) for tie in named.replace(" and ", ", ").split(", ")]
    assert len(ties) == 3  # 6 corners need 9 lengths, the walls are 6
    assert fit_tape(*taped(L_ROOM, ties)).outline == L_ROOM


def test_where_many_ties_are_missing_three_are_named():
    (fault,) = faults_of(*taped(BAY, [(1, 2)]))
    head = "the walls and ties do not fix the shape: 5 distances can change with every length kept. "
    assert fault.startswith(head + "Measure more ties, such as ")  # 8 corners need 13 lengths, the walls are 8
    assert fault.count("-") == 3


def test_a_corner_in_a_straight_wall_needs_a_tie_across_the_room():
    corners = ((0, 0), (2000, 0), (4000, 0), (4000, -3000), (0, -3000))
    expected = [
        "the walls and ties do not fix the shape: the distance 2-4 can change with every length kept. "
        "Measure that diagonal as a tie."
    ]
    assert faults_of(*taped(corners, [(1, 3), (1, 4)])) == expected
    # bent by 3 degrees, it could as well be bent by 3 the other way: the lengths are the same
    bent = ((0, 0), (2000, 0), (3997, -105), (3840, -3101), (-157, -2996))
    assert faults_of(*taped(bent, [(1, 3), (1, 4)])) == expected
    assert fit_tape(*taped(corners, [(2, 4), (1, 4)])).outline == corners


def test_a_flat_triangle_is_refused():
    walls = [TapeWall(3000, 1), TapeWall(3000, 175), TapeWall(5999, 175)]
    assert faults_of(walls, [Tie(1, 2, 3000)]) == [
        "the walls and ties do not fix the shape: it is too flat, or too little is measured across it. "
        "Check the lengths."
    ]


def test_a_diagonal_that_needs_more_than_the_tolerance_is_refused():
    # Law of cosines at corner 2: (4² + 3² - 5.4²) / (2 · 4 · 3) = -0.17333, so 99.98 degrees and a turn of 80.02.
    walls, ties = taped(RECTANGLE, [(1, 3)])
    long = [replace(ties[0], length_mm=5400)]
    assert faults_of(walls, long) == [
        "wall 1: turn must be within 5 degrees of the stated 90, but the lengths need 80.0.",
        "wall 2: turn must be within 5 degrees of the stated 90, but the lengths need 100.0.",
        "wall 3: turn must be within 5 degrees of the stated 90, but the lengths need 80.0.",
        "wall 4: turn must be within 5 degrees of the stated 90, but the lengths need 100.0. "
        "Check the lengths, the ties among them, and the turns.",
    ]
    assert fit_tape(walls, long, turn_tolerance_degrees=10).out_of_square["turn_degrees"][1] == pytest.approx(
        80.02, abs=0.005
    )


def test_walls_that_miss_closing_by_more_than_the_turns_can_take_up_are_refused():
    # An isosceles trapezium, leaning asin(500 / 3000) = 9.594 degrees.
    assert faults_of([TapeWall(4000), TapeWall(3000), TapeWall(3000), TapeWall(3000)], []) == [
        "wall 1: turn must be within 5 degrees of the stated 90, but the lengths need 99.6.",
        "wall 2: turn must be within 5 degrees of the stated 90, but the lengths need 80.4.",
        "wall 3: turn must be within 5 degrees of the stated 90, but the lengths need 80.4.",
        "wall 4: turn must be within 5 degrees of the stated 90, but the lengths need 99.6. "
        "Walked with the stated turns, the walls miss closing by 1000 mm. Check lengths and turns.",
    ]


def test_a_gross_slip_is_named_where_it_bends_the_room_beyond_the_tolerance():
    faults = faults_of(*slipped(*taped(HEXAGON, ALL_OF_HEXAGON), 8, 1000), turn_tolerance_degrees=1)
    assert faults[-1].endswith(" Most likely wrong is tie 1-5, about 1000 mm too long: measure it again.")
