"""The gap a floor needs, and what becomes of it in a year."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flooring_kit.gaps import GUIDE_COUNTS_FROM_MM, GapEnvelope, gap_envelope, gap_needed_mm

LENGTHS = st.floats(0, 50_000)


@pytest.mark.parametrize(("run_m", "gap_mm"), [(5, 8), (6, 9), (8, 12)])
def test_the_gap_of_a_published_guide_is_reproduced(run_m, gap_mm):
    # Published laying guides: 1.5 mm for every metre of floor at each side, 8 mm at least; 5 m: 8, 6 m: 9, 8 m: 12.
    assert gap_needed_mm(run_m * 1000, counts_from_mm=GUIDE_COUNTS_FROM_MM) == pytest.approx(gap_mm)


def test_a_floor_of_8_6_m_needs_13_mm():
    # 1.5 x 8.6 = 12.9
    assert gap_needed_mm(8600, counts_from_mm=GUIDE_COUNTS_FROM_MM) == pytest.approx(12.9)


def test_a_leaflet_may_count_from_a_length_of_its_own():
    # 10 and 2 mm for each of the 3 m over 5
    assert gap_needed_mm(8000, least_mm=10, mm_per_m=2, counts_from_mm=5000) == pytest.approx(16)


@given(LENGTHS, LENGTHS, st.floats(0, 50_000))
def test_a_longer_floor_never_needs_a_smaller_gap(one, other, counts_from):
    shorter, longer = sorted((one, other))
    assert gap_needed_mm(shorter, counts_from_mm=counts_from) <= gap_needed_mm(longer, counts_from_mm=counts_from)


def test_a_wall_that_runs_out_opens_the_gap_of_boards_left_straight():
    # 4 m at 3.5 mm a metre: 14; a gap of 10 becomes 24, and a foot of 18 covers 15. Common practice, no source.
    wall = gap_envelope(10, uneven_mm=14, saw_error_mm=0)
    assert (wall.least_mm, wall.most_mm, wall.smallest_foot_mm) == (10, 24, 27)
    assert not wall.is_covered_by(18)
    assert wall.is_covered_by(27)


def test_a_gap_of_13_leaves_an_18_mm_foot_2_mm_for_a_bowed_wall():
    # 13 + 3 of overlap = 16 of 18
    assert gap_envelope(13, uneven_mm=2, saw_error_mm=0).is_covered_by(18)
    assert not gap_envelope(13, uneven_mm=2.1, saw_error_mm=0).is_covered_by(18)


def test_a_floor_moves_from_its_middle_half_at_each_side():
    # 8 m, 1 mm a metre wider when damp and half that narrower when dry: 4 and 2 at each side
    moved = gap_envelope(10, saw_error_mm=0, run_mm=8000, shrinks_mm_per_m=0.5, swells_mm_per_m=1)
    assert (moved.least_mm, moved.most_mm) == (6, 12)


@pytest.mark.parametrize(("least_mm", "open_"), [(2, True), (1.99, False), (-3, False)])
def test_a_floor_must_stay_2_mm_clear_of_the_wall(least_mm, open_):
    assert GapEnvelope(least_mm, 12).stays_open is open_


@given(
    gap=st.floats(0, 100),
    uneven=st.floats(0, 300),
    saw=st.floats(0, 20),
    run=st.floats(0, 200_000),
    more=st.floats(0, 20),
)
def test_nothing_that_goes_wrong_makes_the_envelope_tighter(gap, uneven, saw, run, more):
    plain = gap_envelope(gap, uneven_mm=uneven, saw_error_mm=saw, run_mm=run)
    assert plain.least_mm <= gap <= plain.most_mm
    worse = gap_envelope(
        gap, uneven_mm=min(300, uneven + more), saw_error_mm=min(20, saw + more), run_mm=min(200_000, run + more)
    )
    assert worse.least_mm <= plain.least_mm
    assert worse.most_mm >= plain.most_mm


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: gap_needed_mm(-1, counts_from_mm=0),
            "unbroken floor must be 0 to 200000 mm, got -1 mm.",
        ),
        (lambda: gap_needed_mm(1, least_mm=51, counts_from_mm=0), "least gap must be 0 to 50 mm, got 51 mm."),
        (lambda: gap_needed_mm(1, mm_per_m=11, counts_from_mm=0), "gap for every metre must be 0 to 10 mm, got 11 mm."),
        (lambda: gap_needed_mm(1, counts_from_mm=-1), "gap counts from must be 0 to 200000 mm, got -1 mm."),
        (lambda: gap_envelope(101), "gap must be 0 to 100 mm, got 101 mm."),
        (lambda: gap_envelope(10, uneven_mm=301), "uneven wall must be 0 to 300 mm, got 301 mm."),
        (lambda: gap_envelope(10, saw_error_mm=-1), "saw error must be 0 to 20 mm, got -1 mm."),
        (lambda: gap_envelope(10, run_mm=float("nan")), "unbroken floor must be a finite number, got nan."),
        (lambda: gap_envelope(10, shrinks_mm_per_m=11), "shrinking must be 0 to 10 mm per m, got 11 mm per m."),
        (lambda: gap_envelope(10, swells_mm_per_m=-1), "swelling must be 0 to 10 mm per m, got -1 mm per m."),
    ],
)
def test_a_figure_out_of_its_range_is_refused(call, message):
    with pytest.raises(ValueError) as refused:
        call()
    assert str(refused.value) == message
