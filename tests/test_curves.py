"""Arcs, string lines and offset rules: published figures, hand sums, and what turning a wall may not change."""

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import LineString, Point

from flooring_kit.curves import (
    arc_points,
    area_by_simpson_m2,
    area_by_trapezium_m2,
    bow_mm,
    bow_points,
    segment_area_m2,
)
from flooring_kit.room import Edge, Room

# S2: circular segment, help.matheass.eu "Circular sections"; chord 21, rise 6, here in metres
BOW_WINDOW = 21_000, 6_000
BOW_WINDOW_RADIUS_MM, BOW_WINDOW_ARC_MM, BOW_WINDOW_M2 = 12_187.5, 25_308.373, 89.254148

DUST_MM = 1e-6
"""A millionth of a millimetre: float dust on lengths up to 1e5 mm."""

coordinates = st.floats(-20_000, 20_000)
corners = st.tuples(coordinates, coordinates)
withins = st.floats(0.05, 5)


@st.composite
def arcs(draw):
    """Two ends at least 200 mm apart and a rise of up to a half circle, either way."""
    start, end = draw(corners), draw(corners)
    chord = math.dist(start, end)
    assume(chord >= 200)
    rise = draw(st.floats(1, chord / 2)) * draw(st.sampled_from([-1, 1]))
    return start, end, rise


@st.composite
def bowed_walls(draw):
    """Two ends at least 1 m apart, and readings in order between them; the last is past the middle."""
    start, end = draw(corners), draw(corners)
    length = math.dist(start, end)
    assume(length >= 1000)
    shares = sorted(draw(st.sets(st.integers(1, 49), max_size=6)) | {draw(st.integers(25, 49))})
    offsets = draw(st.lists(st.integers(-200, 200), min_size=len(shares), max_size=len(shares)))
    return start, end, [(length * share / 50, float(off)) for share, off in zip(shares, offsets, strict=True)]


def left_of(start, end, point):
    """How far a point lies to the left of the way from start to end [mm]."""
    (x0, y0), (x1, y1), (x, y) = start, end, point
    return ((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)) / math.dist(start, end)


def centre_and_radius(start, end, rise):
    """Centre of the circle through both ends and the top of the arc, by Pythagoras [mm]."""
    half = math.dist(start, end) / 2
    radius = (half**2 + rise**2) / (2 * abs(rise))
    back = math.copysign(radius - abs(rise), rise)  # the centre lies behind the chord, seen from the arc
    normal = (start[1] - end[1]) / (2 * half), (end[0] - start[0]) / (2 * half)
    middle = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    return (middle[0] - normal[0] * back, middle[1] - normal[1] * back), radius


# --- arcs -------------------------------------------------------------------------------------------------


def test_a_half_circle_in_four_chords_has_corners_every_forty_five_degrees():
    # radius 100 about (100, 0); four chords bulge 100 (1 - cos 22.5°) = 7.61, three 100 (1 - cos 30°) = 13.40
    side = 100 * math.sqrt(0.5)
    expected = [(100 - side, side), (100, 100), (100 + side, side)]
    assert np.allclose(arc_points((0, 0), (200, 0), 100, within_mm=7.62), expected, atol=DUST_MM, rtol=0)


def test_an_arc_takes_one_chord_more_as_soon_as_it_bulges_too_far():
    # the same half circle: four chords bulge 7.6120 mm, five 4.8943, three 13.3975
    assert len(arc_points((0, 0), (200, 0), 100, within_mm=7.613)) == 3
    assert len(arc_points((0, 0), (200, 0), 100, within_mm=7.611)) == 4


def test_the_top_of_a_shallow_arc_stands_off_by_its_rise():
    # chord 2400, rise 350: radius (1200² + 350²) / 700 = 2232.14, half its angle 2 atan(350 / 1200) = 32.52°;
    # seven chords bulge 2232.14 (1 - cos 4.646°) = 7.33, eight 2232.14 (1 - cos 4.065°) = 5.62
    points = arc_points((0, 0), (2400, 0), 350, within_mm=6)
    assert len(points) == 7
    assert points[3] == pytest.approx((1200, 350), abs=DUST_MM)


def test_a_positive_rise_is_to_the_left_of_the_way_from_start_to_end():
    up, down = arc_points((0, 0), (2400, 0), 350), arc_points((0, 0), (2400, 0), -350)
    assert all(y > 0 for _, y in up)
    assert [(x, -y) for x, y in up] == list(down)


def test_the_published_bow_window_has_its_arc_length():
    # S2: arc 25.308373; chords within 0.2 mm are shorter than the arc by under a millimetre per chord
    ring = [(0, 0), *arc_points((0, 0), (21_000, 0), 6_000, within_mm=0.01), (21_000, 0)]
    length = sum(math.dist(a, b) for a, b in pairwise(ring))
    # chord c of an arc s: s - c = s³ / 24 r², and the bulge is s² / 8 r = 0.01, so (s - c) / s = 0.01 / 3 r = 2.7e-7
    assert length == pytest.approx(BOW_WINDOW_ARC_MM, abs=5e-4 + 2.8e-7 * BOW_WINDOW_ARC_MM)
    assert length <= BOW_WINDOW_ARC_MM + 5e-4


@pytest.mark.parametrize("rise", [0, 0.0, -0.0])
def test_a_rise_of_nothing_is_a_straight_wall(rise):
    assert arc_points((0, 0), (2400, 0), rise) == ()


def test_an_arc_no_higher_than_allowed_is_one_chord():
    assert arc_points((0, 0), (2400, 0), 5, within_mm=5) == ()
    assert len(arc_points((0, 0), (2400, 0), 5, within_mm=4.99)) == 1


@given(arcs(), withins)
def test_every_point_of_an_arc_lies_on_its_circle_and_on_its_side(arc, within):
    start, end, rise = arc
    centre, radius = centre_and_radius(start, end, rise)
    # a long radius magnifies float dust of the centre: 1e-9 of it
    tolerance = DUST_MM + 1e-9 * radius
    for point in arc_points(start, end, rise, within_mm=within):
        assert math.dist(centre, point) == pytest.approx(radius, abs=tolerance)
        assert 0 < math.copysign(1, rise) * left_of(start, end, point) <= abs(rise) + DUST_MM


@given(arcs(), withins)
def test_chords_are_equal_near_enough_and_no_fewer_would_be(arc, within):
    start, end, rise = arc
    points = [start, *arc_points(start, end, rise, within_mm=within), end]
    chords = [math.dist(a, b) for a, b in pairwise(points)]
    assert max(chords) - min(chords) <= DUST_MM
    radius = (math.dist(start, end) ** 2 / 4 + rise**2) / (2 * abs(rise))
    half_angle = 2 * math.atan2(2 * abs(rise), math.dist(start, end))

    def bulge(count):
        return 2 * radius * math.sin(half_angle / count / 2) ** 2

    slack = 5e-6 * within  # a count is not raised for float dust
    assert bulge(len(chords)) <= within + slack
    assert len(chords) == 1 or bulge(len(chords) - 1) > within - slack


@given(arcs())
def test_an_arc_walked_the_other_way_is_the_same_arc(arc):
    start, end, rise = arc
    back = arc_points(end, start, -rise)[::-1]
    assert np.allclose(arc_points(start, end, rise), back, atol=DUST_MM, rtol=0)


@given(arcs(), st.floats(0, 360), corners)
def test_turning_and_moving_a_wall_turns_and_moves_its_arc(arc, degrees, shift):
    start, end, rise = arc
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))

    def moved(point):
        return c * point[0] - s * point[1] + shift[0], s * point[0] + c * point[1] + shift[1]

    here, there = arc_points(start, end, rise), arc_points(moved(start), moved(end), rise)
    # a chord more or less where the count stands on the edge of a whole number
    assert abs(len(here) - len(there)) <= 1
    if len(here) == len(there):
        assert np.allclose([moved(point) for point in here], list(there), atol=DUST_MM, rtol=0)


def test_a_half_circle_over_a_slanting_chord_is_allowed():
    # 3-4-5: chord 5000, rise 2500; half its length in float arithmetic may come out a hair short
    points = arc_points((100.1, 200.2), (3100.1, 4200.2), 2500)
    assert all(math.dist(point, (1600.1, 2200.2)) == pytest.approx(2500, abs=DUST_MM) for point in points)


@pytest.mark.parametrize(
    ("start", "end", "rise", "message"),
    [
        (
            (0, 0),
            (2400, 0),
            1300,
            "rise must be at most half the chord, 1200 mm (a half circle), got 1300 mm. "
            "Beyond it the wall is more than one arc: give a corner where it is widest.",
        ),
        (
            (0, 0),
            (2400, 0),
            -1200.5,
            "rise must be at most half the chord, 1200 mm (a half circle), got -1200.5 mm. "
            "Beyond it the wall is more than one arc: give a corner where it is widest.",
        ),
        (
            (0, 0),
            (2400, 0),
            0.35,
            "rise must be 0 or at least 1 mm, got 0.35 mm. Give millimetres: 350 for 0.35 m.",
        ),
        (
            (0, 0),
            (2400, 0),
            -0.35,
            "rise must be 0 or at least 1 mm, got -0.35 mm. Give millimetres: -350 for -0.35 m.",
        ),
        ((0, 0), (2400, 0), math.nan, "rise must be a finite number, got nan."),
        ((0, 0), (2400, 0), -math.inf, "rise must be a finite number, got -inf."),
        ((0, 0), (2400, 0), "350", "rise must be a number in mm, got '350'."),
        ((0, 0), (2400, 0), True, "rise must be a number in mm, got true."),
        (
            (0, 0),
            (2.4, 0),
            0.35,
            "distance from start to end must be 10 to 200000 mm, got 2.4 mm. "
            "Give corners in millimetres: 2400 for 2.4 m.",
        ),
        (
            (5, 5),
            (5, 5),
            350,
            "distance from start to end must be 10 to 200000 mm, got 0 mm. "
            "Give corners in millimetres: 2400 for 2.4 m.",
        ),
        ((0, math.nan), (2400, 0), 350, "start: y must be a finite number, got nan."),
        ((0, 0), ("2400", 0), 350, "end: x must be a number in mm, got '2400'."),
        ((0, 0), (2400,), 350, "end must be two numbers, x and y, got (2400,)."),
        ("ab", (2400, 0), 350, "start must be two numbers, x and y, got 'ab'."),
        (None, (2400, 0), 350, "start must be two numbers, x and y, got None."),
    ],
)
def test_an_arc_that_can_not_be_drawn_is_refused(start, end, rise, message):
    with pytest.raises(ValueError) as caught:
        arc_points(start, end, rise)
    assert str(caught.value) == message


@pytest.mark.parametrize(
    ("within", "message"),
    [
        (0, "within must be 0.01 to 10 mm, got 0 mm."),
        (-0.2, "within must be 0.01 to 10 mm, got -0.2 mm."),
        (11, "within must be 0.01 to 10 mm, got 11 mm."),
        (math.nan, "within must be a finite number, got nan."),
    ],
)
def test_an_arc_is_chopped_neither_endlessly_nor_coarsely(within, message):
    with pytest.raises(ValueError) as caught:
        arc_points((0, 0), (2400, 0), 350, within_mm=within)
    assert str(caught.value) == message


# --- the string line --------------------------------------------------------------------------------------


def test_readings_along_a_string_become_corners_beside_it():
    # a wall up the page, its left is towards -x
    points = bow_points((1000, 500), (1000, 4100), [(1400, 9), (2800, -14)])
    assert np.allclose(points, [(991, 1900), (1014, 3300)], atol=DUST_MM, rtol=0)


def test_corners_may_be_read_too_and_are_zero():
    inner = [(1400, 9), (2800, 14)]
    plain = bow_points((0, 0), (3600, 0), inner)
    assert bow_points((0, 0), (3600, 0), [(0, 0), *inner, (3600, 0)]) == plain
    assert bow_points((0, 0), (3600, 0), [*inner, (3600.4, 0)]) == plain  # a corner to the half millimetre


@pytest.mark.parametrize("readings", [[], [(0, 0)], [(0, 0), (3600, 0)], [(1800, 0)], [(1400, 0), (2800, 0)]])
def test_a_wall_that_keeps_to_its_string_gets_no_corners(readings):
    assert bow_points((0, 0), (3600, 0), readings) == ()
    assert bow_mm(readings) == 0


def test_a_reading_the_wall_passes_anyway_is_left_out():
    # at 1000 the line from 0 to (2000, 10) passes 5; read 5.1 it is 0.1 off, read 5.5 it is 0.5 off
    assert bow_points((0, 0), (3000, 0), [(1000, 5.1), (2000, 10)]) == ((2000, 10),)
    assert bow_points((0, 0), (3000, 0), [(1000, 5.5), (2000, 10)]) == ((1000, 5.5), (2000, 10))
    assert bow_points((0, 0), (3000, 0), [(1000, 5.1), (2000, 10)], within_mm=0) == ((1000, 5.1), (2000, 10))


@given(bowed_walls(), withins)
def test_the_wall_passes_every_reading_within_the_tolerance(wall, within):
    start, end, readings = wall
    points = bow_points(start, end, readings, within_mm=within)
    line = LineString([start, *points, end])
    (x0, y0), (x1, y1) = start, end
    length = math.dist(start, end)
    tx, ty = (x1 - x0) / length, (y1 - y0) / length
    for along, off in readings:
        read = Point(x0 + tx * along - ty * off, y0 + ty * along + tx * off)
        assert line.distance(read) <= within + DUST_MM


@given(bowed_walls())
def test_a_positive_reading_is_to_the_left_and_the_string_touches_the_largest_and_smallest(wall):
    start, end, readings = wall
    offsets = [0.0, *(left_of(start, end, point) for point in bow_points(start, end, readings, within_mm=0))]
    assert max(offsets) == pytest.approx(max(0, *(off for _, off in readings)), abs=DUST_MM)
    assert min(offsets) == pytest.approx(min(0, *(off for _, off in readings)), abs=DUST_MM)
    assert max(offsets) - min(offsets) == pytest.approx(bow_mm(readings), abs=DUST_MM)


@given(bowed_walls())
def test_a_wall_read_from_its_other_end_is_the_same_wall(wall):
    start, end, readings = wall
    length = math.dist(start, end)
    back = bow_points(end, start, [(length - along, -off) for along, off in readings[::-1]], within_mm=0)
    there = bow_points(start, end, readings, within_mm=0)
    # a bend that is straight but for float dust may be left out one way and not the other
    one, other = (LineString([start, *points, end]) for points in (there, back[::-1]))
    assert one.hausdorff_distance(other) <= DUST_MM


@pytest.mark.parametrize(
    ("readings", "expected"),
    [
        ([(1400, 9), (2800, 14)], 14),  # the corners touch the string: 14 - 0
        ([(900, 4), (1800, -7), (2700, -2)], 11),  # 4 - (-7)
        ([(1800, -6.5)], 6.5),
    ],
)
def test_the_bow_of_a_wall_is_the_largest_less_the_smallest_offset(readings, expected):
    assert bow_mm(readings) == expected


FAULTY_READINGS = [
    ([(900, math.nan)], "reading 1: offset must be a finite number, got nan."),
    ([(900, 4), (math.inf, 4)], "reading 2: distance must be a finite number, got inf."),
    ([(900, "4")], "reading 1: offset must be a number in mm, got '4'."),
    ([900, 4], "reading 1 must be two numbers, distance and offset, got 900."),
    ([(900, 4, 1)], "reading 1 must be two numbers, distance and offset, got (900, 4, 1)."),
    (
        [(2800, 14), (1400, 9)],
        "reading 2: distance must be over 2800 mm, that of the reading before it, got 1400 mm. "
        "Give the readings in order from the first corner.",
    ),
    (
        [(1400, 9), (1400, 9)],
        "reading 2: distance must be over 1400 mm, that of the reading before it, got 1400 mm. "
        "Give the readings in order from the first corner.",
    ),
    (
        [(1400, 301)],
        "reading 1: offset must be within 300 mm of the string, got 301 mm. A wall farther off has a corner there.",
    ),
    (
        [(0, 20), (1800, 26)],
        "reading 1: offset must be 0 at a corner, where the string touches, got 20 mm. "
        "With the string on blocks, take their thickness from every reading.",
    ),
    (
        [(1400, 0.009), (2800, -0.014)],
        "offsets are all under 0.1 mm, the largest 0.014 mm. Give millimetres: 14 for 0.014 m.",
    ),
]


@pytest.mark.parametrize(("readings", "message"), FAULTY_READINGS)
def test_readings_that_can_not_be_right_are_refused_for_the_wall_and_for_its_bow(readings, message):
    for call in (lambda: bow_points((0, 0), (3600, 0), readings), lambda: bow_mm(readings)):
        with pytest.raises(ValueError) as caught:
            call()
        assert str(caught.value) == message


@pytest.mark.parametrize(
    ("readings", "message"),
    [
        ([(3601, 0)], "reading 1: distance must be 0 to 3600 mm, the length of the wall, got 3601 mm."),
        ([(-1, 4)], "reading 1: distance must be 0 to 3600 mm, the length of the wall, got -1 mm."),
        (
            [(1800, 4), (3600, 5)],
            "reading 2: offset must be 0 at a corner, where the string touches, got 5 mm. "
            "With the string on blocks, take their thickness from every reading.",
        ),
        (
            [(1.4, 9), (2.8, 14)],
            "readings reach only 2.8 mm along a wall of 3600 mm. Give millimetres: 2800 for 2.8 m.",
        ),
    ],
)
def test_readings_that_do_not_fit_the_wall_are_refused(readings, message):
    with pytest.raises(ValueError) as caught:
        bow_points((0, 0), (3600, 0), readings)
    assert str(caught.value) == message


def test_a_bow_is_not_read_before_its_first_corner():
    with pytest.raises(ValueError) as caught:
        bow_mm([(-1, 4)])
    assert str(caught.value) == "reading 1: distance must be 0 or more, got -1 mm."


@pytest.mark.parametrize(
    ("within", "message"),
    [
        (-0.1, "within must be 0 to 10 mm, got -0.1 mm."),
        (10.5, "within must be 0 to 10 mm, got 10.5 mm."),
    ],
)
def test_a_bowed_wall_is_not_smoothed_away(within, message):
    with pytest.raises(ValueError) as caught:
        bow_points((0, 0), (3600, 0), [(1800, 9)], within_mm=within)
    assert str(caught.value) == message


# --- round and bowed walls in a room ----------------------------------------------------------------------

BOX = ((0, 0), (4200, 0), (4200, 3000), (0, 3000))


@pytest.mark.parametrize("outline", [BOX, BOX[::-1]])
def test_a_round_bay_adds_its_segment_to_the_room_whichever_way_the_corners_go(outline):
    # chord 4200, rise 1200; chords within 0.2 mm of the arc leave out under 0.2 mm x its 5.1 m: 0.001 m²
    wall = next(n for n, (a, b) in enumerate(pairwise([*outline, outline[0]]), 1) if a[1] == b[1] == 0)
    round_out = Room("r", outline, edges=(Edge(wall, rise_mm=1200.0),))
    assert round_out.polygon.area / 1e6 == pytest.approx(12.6 + segment_area_m2(4200, 1200), abs=0.0011)
    assert round_out.polygon.bounds == pytest.approx((0, -1200, 4200, 3000), abs=0.2)


@pytest.mark.parametrize("outline", [BOX, BOX[::-1]])
def test_a_wall_that_stands_back_adds_what_the_trapezoidal_rule_says(outline):
    # readings 9 and 15 at thirds of 4200: 1400 (9 + 15) / 1e6 = 0.0336 m²
    wall = next(n for n, (a, b) in enumerate(pairwise([*outline, outline[0]]), 1) if a[1] == b[1] == 0)
    bowed = Room("r", outline, edges=(Edge(wall, bow=((1400.0, 9.0), (2800.0, 15.0))),))
    assert bowed.polygon.area / 1e6 == pytest.approx(12.6 + 0.0336, abs=1e-9)


# --- the circular segment ---------------------------------------------------------------------------------


def test_the_published_circular_segment_has_its_area():
    # S2: help.matheass.eu "Circular sections", radius 12.1875, area 89.254148; six decimals printed
    assert segment_area_m2(*BOW_WINDOW) == pytest.approx(BOW_WINDOW_M2, abs=5e-7)
    (_, _), radius = centre_and_radius((0, 0), (BOW_WINDOW[0], 0), BOW_WINDOW[1])
    assert radius == BOW_WINDOW_RADIUS_MM


def test_a_half_circle_has_half_of_pi_r_squared():
    assert segment_area_m2(2000, 1000) == pytest.approx(math.pi / 2, abs=1e-12)


def test_a_straight_wall_has_no_segment():
    assert segment_area_m2(2400, 0) == 0


def test_a_round_bay_is_larger_than_the_parabola_over_the_same_chord():
    # S14: 2/3 x 21 x 6 = 84.0, which is 5.9 % under the circle
    parabola = 2 / 3 * BOW_WINDOW[0] * BOW_WINDOW[1] / 1e6
    assert parabola == 84.0
    assert 1 - parabola / segment_area_m2(*BOW_WINDOW) == pytest.approx(0.059, abs=5e-4)


@given(st.floats(100, 50_000), st.floats(1, 50))
def test_a_shallow_segment_is_a_parabola_and_the_next_term(chord, rise):
    # segment = 2/3 chord rise (1 + 4/5 (rise/chord)² - ...): the series of the exact formula, derived by hand.
    # The term after it is under (rise/chord)⁴, here at most 1e-8.
    assume(rise <= chord / 100)
    flat = rise / chord
    series = 2 / 3 * chord * rise * (1 + 0.8 * flat**2) / 1e6
    assert segment_area_m2(chord, rise) == pytest.approx(series, rel=2e-8)


@given(st.floats(500, 20_000), st.floats(0.002, 0.5), st.floats(0.01, 1))
def test_the_chords_of_an_arc_enclose_its_segment_but_for_the_slivers_outside_them(chord, share, within):
    rise = max(1.0, chord * share)
    ring = [(0, 0), *arc_points((0, 0), (chord, 0), rise, within_mm=within), (chord, 0), (0, 0)]
    enclosed = -sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairwise(ring)) / 2 / 1e6
    length = 2 * math.atan(2 * rise / chord) * (chord**2 / 4 + rise**2) / rise  # of the arc
    missing = segment_area_m2(chord, rise) - enclosed
    assert -1e-9 <= missing <= within * length / 1e6 + 1e-9


@given(st.floats(100, 50_000), st.floats(0.02, 0.4999), st.floats(1.001, 1.2))
def test_a_higher_arc_holds_more(chord, share, more):
    rise = chord * share
    assert segment_area_m2(chord, rise) < segment_area_m2(chord, min(rise * more, chord / 2))


@pytest.mark.parametrize(
    ("chord", "rise", "message"),
    [
        (2.4, 0.35, "chord must be 10 to 200000 mm, got 2.4 mm. Give millimetres: 2400 for 2.4 m."),
        (2400, 0.35, "rise must be 0 or at least 1 mm, got 0.35 mm. Give millimetres: 350 for 0.35 m."),
        (2400, -350, "rise must be 0 or more here, got -350 mm. Take the area away where it bulges in."),
        (
            2400,
            1201,
            "rise must be at most half the chord, 1200 mm (a half circle), got 1201 mm. "
            "Beyond it the wall is more than one arc: give a corner where it is widest.",
        ),
        (math.nan, 350, "chord must be a finite number, got nan."),
        (2400, None, "rise must be a number in mm, got None."),
    ],
)
def test_a_segment_that_is_none_is_refused(chord, rise, message):
    with pytest.raises(ValueError) as caught:
        segment_area_m2(chord, rise)
    assert str(caught.value) == message


# --- offset rules -----------------------------------------------------------------------------------------

# S4, S5: survey examination item (options 681 / 767.825 / 781 / 790.5), offsets each 30 m
EXAM_OFFSETS_M = [0, 2.65, 3.80, 3.75, 4.65, 3.60, 5.00, 5.80]
# S6, S7: survey question, offsets each 15 m; areas derived by hand
SECOND_OFFSETS_M = [3.9, 4.5, 5.1, 6.5, 6.3, 5.1, 4.1]


def in_mm(metres):
    return [1000 * value for value in metres]


def test_simpsons_rule_takes_an_odd_strip_as_a_trapezium():
    # S4: 619 for six strips and 162 for the seventh
    assert area_by_simpson_m2(in_mm(EXAM_OFFSETS_M[:7]), 30_000) == pytest.approx(619, abs=1e-9)
    assert area_by_simpson_m2(in_mm(EXAM_OFFSETS_M), 30_000) == pytest.approx(781, abs=1e-9)


def test_simpsons_rule_on_six_strips():
    assert area_by_simpson_m2(in_mm(SECOND_OFFSETS_M), 15_000) == pytest.approx(476, abs=1e-9)  # S6


def test_the_trapezoidal_rule_on_the_same_readings():
    assert area_by_trapezium_m2(in_mm(EXAM_OFFSETS_M), 30_000) == pytest.approx(790.5, abs=1e-9)  # S5
    assert area_by_trapezium_m2(in_mm(SECOND_OFFSETS_M), 15_000) == pytest.approx(472.5, abs=1e-9)  # S7


def test_two_offsets_are_one_trapezium_by_either_rule():
    # S8: (25 / 2)(19.4 + 39.6) = 737.5
    assert area_by_trapezium_m2([19_400, 39_600], 25_000) == pytest.approx(737.5, abs=1e-9)
    assert area_by_simpson_m2([19_400, 39_600], 25_000) == pytest.approx(737.5, abs=1e-9)


@given(st.lists(st.floats(-5000, 5000), min_size=4, max_size=4), st.integers(1, 6), st.floats(10, 1000))
def test_simpsons_rule_is_exact_for_a_cubic(coefficients, pairs, spacing):
    # f(x) = a + b x + c x² + d x³ over x from 0 to 1, integrated by hand: a + b/2 + c/3 + d/4
    x = np.linspace(0, 1, 2 * pairs + 1)
    offsets = np.polynomial.polynomial.polyval(x, coefficients)
    exact = sum(c / (power + 1) for power, c in enumerate(coefficients)) * 2 * pairs * spacing / 1e6
    assert area_by_simpson_m2(offsets, spacing) == pytest.approx(exact, abs=1e-9 * 12 * spacing)


@given(st.lists(st.floats(-5000, 5000), min_size=2, max_size=12), st.floats(10, 1000))
def test_the_trapezoidal_rule_is_the_area_under_straight_walls(offsets, spacing):
    by_pairs = sum((a + b) / 2 * spacing for a, b in pairwise(offsets)) / 1e6
    assert area_by_trapezium_m2(offsets, spacing) == pytest.approx(by_pairs, abs=1e-9)


@given(st.lists(st.floats(-5000, 5000), min_size=3, max_size=13).filter(lambda o: len(o) % 2), st.floats(10, 1000))
def test_an_even_number_of_strips_may_be_read_from_either_end(offsets, spacing):
    there, back = area_by_simpson_m2(offsets, spacing), area_by_simpson_m2(offsets[::-1], spacing)
    assert there == pytest.approx(back, abs=1e-9)


def test_simpson_comes_nearer_to_a_round_bay_than_trapezia_and_both_fall_short():
    # chord 2400, rise 350, offsets at eighths from the circle itself
    (x0, y0), radius = centre_and_radius((0, 0), (2400, 0), 350)
    offsets = [math.sqrt(radius**2 - (x - x0) ** 2) + y0 for x in np.linspace(0, 2400, 9)]
    exact = segment_area_m2(2400, 350)
    simpson, trapezia = area_by_simpson_m2(offsets, 300), area_by_trapezium_m2(offsets, 300)
    assert trapezia < simpson < exact
    assert exact - simpson < (exact - trapezia) / 50


@pytest.mark.parametrize("rule", [area_by_simpson_m2, area_by_trapezium_m2])
@pytest.mark.parametrize(
    ("offsets", "spacing", "message"),
    [
        ([], 500, "offsets must be at least 2, one at each end, got 0."),
        ([300], 500, "offsets must be at least 2, one at each end, got 1."),
        ([300, math.nan], 500, "offset 2 must be a finite number, got nan."),
        ([300, "310"], 500, "offset 2 must be a number in mm, got '310'."),
        ([300, 310_000], 500, "offset 2 must be -100000 to 100000 mm, got 310000 mm."),
        ([300, 310], 0.5, "spacing must be 10 to 100000 mm, got 0.5 mm. Give millimetres: 500 for 0.5 m."),
        ([300, 310], -500, "spacing must be 10 to 100000 mm, got -500 mm. Give millimetres: 500 for 0.5 m."),
        ([300, 310], math.inf, "spacing must be a finite number, got inf."),
    ],
)
def test_offsets_that_can_not_be_summed_are_refused(rule, offsets, spacing, message):
    with pytest.raises(ValueError) as caught:
        rule(offsets, spacing)
    assert str(caught.value) == message
