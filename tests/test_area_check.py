"""The second route to an area: published triangles, hand sums, and agreement with shapely on any outline."""

import math
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon, affinity

from flooring_kit.area_check import (
    AreaCheck,
    area_by_strips_m2,
    area_from_strips_m2,
    area_from_triangles_m2,
    compare_areas,
    triangles_from_ties,
)

NOTCHED = ((0, 0), (10_200, 0), (10_200, 3200), (6700, 3200), (6700, 6700), (0, 6700))
"""S1's house, 10.2 x 6.7 less 3.5 x 3.5 here and 2.7 below; the corner cut out is top right."""

CANTED_BAY = (  # S9 in mm
    (0, 0),
    (5200, 0),
    (5200, 3600),
    (3400, 3600),
    (2800, 4200),
    (1600, 4200),
    (1000, 3600),
    (0, 3600),
)

EXACT_M2 = 1e-9
"""A thousandth of a square millimetre: float dust on areas of some 10 m²; the hand sums are exact."""


# --- random floors ----------------------------------------------------------------------------------------


@st.composite
def stars(draw):
    """A floor seen whole from one point in it, and that point; corners to the tenth of a millimetre."""
    count = draw(st.integers(3, 12))
    # no step is half a turn, so that the centre lies inside: the largest of three is 1 / (1 + 2 x 0.55) = 0.48 of one
    steps = [draw(st.floats(0.55, 1.0)) for _ in range(count)]
    turns = np.cumsum(steps) / sum(steps) * 2 * math.pi
    radii = [draw(st.floats(500, 8000)) for _ in range(count)]
    x0, y0 = draw(st.floats(-9000, 9000)), draw(st.floats(-9000, 9000))
    corners = [(x0 + r * math.cos(t), y0 + r * math.sin(t)) for r, t in zip(radii, turns, strict=True)]
    return (x0, y0), corners


@st.composite
def tangles_undone(draw):
    """Any simple polygon: corners on a grid in a random order, crossings undone one after another.

    Each reversal shortens the way round, so it comes to an end.
    """
    points = draw(st.lists(st.tuples(st.integers(0, 40), st.integers(0, 40)), min_size=3, max_size=12, unique=True))
    ring = [(float(x), float(y)) for x, y in points]
    while (pair := crossing(ring)) is not None:
        first, second = pair
        ring[first + 1 : second + 1] = ring[first + 1 : second + 1][::-1]
    scale = draw(st.floats(25, 500))
    shape = affinity.rotate(Polygon(ring), draw(st.sampled_from([0, 0, 90, 17.3, 45])), origin=(0, 0))
    shape = affinity.scale(shape, scale, scale, origin=(0, 0))
    assume(shape.is_valid and shape.area > 1e5)
    return list(shape.exterior.coords)


def crossing(ring):
    """The first two walls of a ring that cross within their lengths and would be shorter uncrossed, or None."""
    count = len(ring)
    for a, b in combinations(range(count), 2):
        if b - a < 2 or (a == 0 and b == count - 1):
            continue
        (p, q), (r, s) = (ring[a], ring[a + 1]), (ring[b], ring[(b + 1) % count])
        shorter = math.dist(p, r) + math.dist(q, s) < math.dist(p, q) + math.dist(r, s) - 1e-9
        if shorter and LineString([p, q]).intersects(LineString([r, s])):
            return a, b
    return None


def fan_of(centre, corners):
    """The three sides of each triangle from a point to two neighbouring corners [mm]."""
    ring = [*corners, corners[0]]
    return [(math.dist(centre, a), math.dist(a, b), math.dist(b, centre)) for a, b in pairwise(ring)]


# --- strips between corner levels -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("outline", "expected"),
    [
        (((0, 0), (4200, 0), (4200, 2920), (0, 2920)), 12.264),  # 4.2 x 2.92
        (((0, 0), (3000, 0), (0, 4000)), 6.0),  # half of 3 x 4
        (NOTCHED, 56.09),  # 10.2 x 6.7 - 3.5 x 3.5 = 68.34 - 12.25
        (CANTED_BAY, 19.80),  # S9: 5.2 x 3.6 + (2.4 + 1.2) / 2 x 0.6 = 18.72 + 1.08
        # a U: 5 x 4 less a bay of 1 x 3 from the top, two widths on every level of it
        (((0, 0), (5000, 0), (5000, 4000), (3000, 4000), (3000, 1000), (2000, 1000), (2000, 4000), (0, 4000)), 17.0),
    ],
)
def test_strips_between_corner_levels_give_the_hand_sum(outline, expected):
    assert area_by_strips_m2(outline) == pytest.approx(expected, abs=EXACT_M2)


def test_the_published_notched_house_has_its_area():
    # S1: 10.2 x 6.7 less 3.5 x 2.7 is 58.89
    house = ((0, 0), (10_200, 0), (10_200, 4000), (6700, 4000), (6700, 6700), (0, 6700))
    assert area_by_strips_m2(house) == pytest.approx(58.89, abs=EXACT_M2)


@settings(max_examples=150)
@given(tangles_undone())
def test_strips_agree_with_shapely_on_any_outline(corners):
    # 1e-9 of the area: floors of over 0.1 m² within some 20 m, where dust of a coordinate is 4e-12 mm
    assert area_by_strips_m2(corners) == pytest.approx(Polygon(corners).area / 1e6, rel=1e-9)


@given(stars())
def test_strips_agree_with_shapely_on_floors_seen_from_one_point(star):
    _, corners = star
    assert area_by_strips_m2(corners) == pytest.approx(Polygon(corners).area / 1e6, rel=1e-9)


@given(tangles_undone(), st.integers(0, 11))
def test_the_first_corner_and_the_way_round_do_not_matter(corners, start):
    plain = area_by_strips_m2(corners)
    ring = corners[:-1]
    start %= len(ring)
    assert area_by_strips_m2(ring) == pytest.approx(plain, rel=1e-12)
    assert area_by_strips_m2(ring[start:] + ring[:start]) == pytest.approx(plain, rel=1e-9)
    assert area_by_strips_m2(ring[::-1]) == pytest.approx(plain, rel=1e-9)


def test_corners_a_hair_apart_in_level_leave_no_gap_between_strips():
    # a rectangle turned by a thousandth of a millimetre in 4 m: its area is that of the rectangle to 1e-13
    outline = ((0, 0), (4000, 0.001), (3999.99925, 3000.001), (-0.00075, 3000))
    assert area_by_strips_m2(outline) == pytest.approx(12, abs=EXACT_M2)


def test_a_survey_far_from_its_origin_keeps_its_area():
    far = [(x + 5e6, y - 7e6) for x, y in CANTED_BAY]
    assert area_by_strips_m2(far) == pytest.approx(19.80, abs=EXACT_M2)


def test_an_array_of_corners_serves_as_well():
    assert area_by_strips_m2(np.array(CANTED_BAY)) == pytest.approx(19.80, abs=EXACT_M2)


CROSSING = "Give the corners in order round the room."


@pytest.mark.parametrize(
    ("outline", "message"),
    [
        ([], "outline must have at least 3 corners, got 0."),
        ([(0, 0), (4200, 0)], "outline must have at least 3 corners, got 2."),
        ([(0, 0), (4200, 0), (4200, math.nan)], "corner 3: y must be a finite number, got nan."),
        ([(0, 0), (math.inf, 0), (4200, 2920)], "corner 2: x must be a finite number, got inf."),
        ([(0, 0), ("4200", 0), (4200, 2920)], "corner 2: x must be a number in mm, got '4200'."),
        ([(0, 0), 4200, (4200, 2920)], "corner 2 must be two numbers, x and y, got 4200."),
        (
            [(0, 0), (4.2, 0), (4.2, 2.92), (0, 2.92)],
            "outline must be 100 to 200000 mm across, got 4.2 mm. Give corners in millimetres: 4200 for 4.2 m.",
        ),
        (
            [(0, 0), (4_200_000, 0), (4200, 2920)],
            "outline must be 100 to 200000 mm across, got 4200000 mm. Give corners in millimetres: 4200 for 4.2 m.",
        ),
        (
            [(0, 0), (4200, 2920), (4200, 0), (0, 2920)],
            f"outline crosses itself between y = 0 and 2920 mm. {CROSSING}",
        ),
        (
            [(0, 500), (4200, 3420), (4200, 500), (0, 3420)],
            f"outline crosses itself between y = 500 and 3420 mm. {CROSSING}",
        ),
        ([(0, 0), (4200, 0), (2000, 0)], f"outline encloses no floor. {CROSSING}"),
        ([(0, 0), (4200, 4200), (2000, 2000)], f"outline encloses no floor. {CROSSING}"),
    ],
)
def test_an_outline_that_is_none_is_refused(outline, message):
    with pytest.raises(ValueError) as caught:
        area_by_strips_m2(outline)
    assert str(caught.value) == message


# --- triangles from side lengths --------------------------------------------------------------------------


@pytest.mark.parametrize("legs", [(3000, 4000, 5000, 6.0), (6000, 8000, 10_000, 24.0), (9000, 12_000, 15_000, 54.0)])
def test_three_four_five_is_half_its_rectangle(legs):
    *sides, expected = legs  # S11: 3-4-5 and its multiples; area half the product of the legs
    assert area_from_triangles_m2([sides]) == pytest.approx(expected, abs=EXACT_M2)


def test_a_triangle_of_equal_sides_is_root_three_over_four_of_their_square():
    assert area_from_triangles_m2([(1000, 1000, 1000)]) == pytest.approx(math.sqrt(3) / 4, abs=1e-15)


def test_the_published_needle_triangle_keeps_its_digits():
    # W. Kahan, Miscalculating Area and Angles of a Needle-like Triangle, table of trials, row 7: 612.3724358.
    # The longest side is 1e-6 under the sum of the others. Binary gives that to 1e-12, a millionth of it, and the
    # area goes with its root: half a millionth of 612 is 3e-4.
    needle = area_from_triangles_m2([(10_000, 5000.000001, 15_000)]) * 1e6
    assert needle == pytest.approx(612.3724358, abs=3e-4)


def test_a_thin_right_triangle_is_half_of_its_legs():
    # whole millimetres: 2k, k² - 1, k² + 1 has a right angle; k = 400 gives 800 x 159 999 / 2 = 63.9996 m²
    assert area_from_triangles_m2([(800, 159_999, 160_001)]) == pytest.approx(63.9996, abs=EXACT_M2)


def test_a_room_by_its_walls_and_one_tie_is_two_triangles():
    tie = math.hypot(5200, 3600)
    assert tie == pytest.approx(6324.6, abs=0.05)  # S13, four decimals of a metre printed
    assert area_from_triangles_m2([(5200, 3600, tie), (5200, 3600, tie)]) == pytest.approx(18.72, abs=EXACT_M2)


def test_the_canted_bay_by_its_ties_is_the_published_bay():
    # S9 from corner 1 (0, 0): a fan over the other corners, sides by Pythagoras
    x = [math.dist((0, 0), corner) for corner in CANTED_BAY]
    walls = [math.dist(a, b) for a, b in pairwise(CANTED_BAY)]
    fan = [(x[n], walls[n], x[n + 1]) for n in range(1, 7)]
    assert area_from_triangles_m2(fan) == pytest.approx(19.80, abs=EXACT_M2)


def test_a_flat_triangle_has_no_area():
    # a corner on a straight wall
    assert area_from_triangles_m2([(3000, 1200, 1800)]) == 0


@given(stars())
def test_the_triangles_of_a_fan_sum_to_the_polygon(star):
    centre, corners = star
    # sides of up to 1.6e4 mm are given to 2e-12, and the thinnest triangle drawn is 500 x 8000 mm at a twentieth of a
    # turn or at 0.48 of one: its excess is over 3 mm, so its area is good to about 1e-12; 1e-8 leaves room
    assert area_from_triangles_m2(fan_of(centre, corners)) == pytest.approx(Polygon(corners).area / 1e6, rel=1e-8)


@given(st.floats(500, 9000), st.floats(500, 9000), st.floats(0.05, 3.0))
def test_the_order_of_sides_does_not_matter(one, two, angle):
    third = math.sqrt(one**2 + two**2 - 2 * one * two * math.cos(angle))
    assume(third >= 1)
    plain = area_from_triangles_m2([(one, two, third)])
    assert plain == area_from_triangles_m2([(third, one, two)]) == area_from_triangles_m2([(two, third, one)])
    assert plain == pytest.approx(one * two * math.sin(angle) / 2 / 1e6, rel=1e-9)  # half a b sin C


@pytest.mark.parametrize(
    ("triangles", "message"),
    [
        ([], "triangles must be at least 1, got 0."),
        (
            [(3000, 4000, 5000), (3000, 1000, 1500)],
            "triangle 2 does not close: its longest side, 3000 mm, must be at most the other two together, "
            "1500 + 1000 = 2500 mm. Measure the three again.",
        ),
        (
            [(3, 4, 5)],
            "triangle 1 has no side over 100 mm, the longest is 5 mm. Give millimetres: 5000 for 5 m.",
        ),
        (
            [(0.3, 4000, 4000)],
            "triangle 1: side 1 must be 1 to 200000 mm, got 0.3 mm. Give millimetres: 4200 for 4.2 m.",
        ),
        (
            [(3000, -4000, 5000)],
            "triangle 1: side 2 must be 1 to 200000 mm, got -4000 mm. Give millimetres: 4200 for 4.2 m.",
        ),
        ([(3000, 4000, math.nan)], "triangle 1: side 3 must be a finite number, got nan."),
        ([(3000, 4000, "5000")], "triangle 1: side 3 must be a number in mm, got '5000'."),
        ([(3000, 4000)], "triangle 1 must be three numbers, its sides, got (3000, 4000)."),
        (["abc"], "triangle 1 must be three numbers, its sides, got 'abc'."),
    ],
)
def test_sides_that_make_no_triangle_are_refused(triangles, message):
    with pytest.raises(ValueError) as caught:
        area_from_triangles_m2(triangles)
    assert str(caught.value) == message


# --- widths at stations -----------------------------------------------------------------------------------

EXAM = [(30_000 * n, 1000 * width) for n, width in enumerate([0, 2.65, 3.80, 3.75, 4.65, 3.60, 5.00, 5.80])]
SECOND = [(15_000 * n, 1000 * width) for n, width in enumerate([3.9, 4.5, 5.1, 6.5, 6.3, 5.1, 4.1])]


@pytest.mark.parametrize(
    ("stations", "rule", "expected"),
    [
        (EXAM, "simpson", 781),  # S4: six strips 619, the last a trapezium 162; survey examination item
        (EXAM, "trapezium", 790.5),  # S5
        (SECOND, "simpson", 476),  # S6: survey question, derived by hand
        (SECOND, "trapezium", 472.5),  # S7
        ([(0, 19_400), (25_000, 39_600)], "trapezium", 737.5),  # S8: (25 / 2)(19.4 + 39.6)
        ([(0, 19_400), (25_000, 39_600)], "simpson", 737.5),
    ],
)
def test_widths_at_stations_give_the_published_areas(stations, rule, expected):
    assert area_from_strips_m2(stations, rule=rule) == pytest.approx(expected, abs=EXACT_M2)


def test_the_canted_bay_by_four_widths_is_the_published_bay():
    # S9 looking up the page: 5200 wide to 3600, then 2400 narrowing to 1200; the jump is two stations, 1 mm apart,
    # which takes (5200 - 2400) / 2 x 1 mm = 0.0014 m² off
    stations = [(0, 5200), (3599, 5200), (3600, 2400), (4200, 1200)]
    assert area_from_strips_m2(stations) == pytest.approx(19.80 - 0.0014, abs=EXACT_M2)


def test_unequal_steps_count_by_their_length():
    # 1 x (3 + 3.2) / 2 + 3 x (3.2 + 3) / 2 = 3.1 + 9.3
    assert area_from_strips_m2([(0, 3000), (1000, 3200), (4000, 3000)]) == pytest.approx(12.4, abs=EXACT_M2)


def test_stations_may_be_counted_from_anywhere():
    there = area_from_strips_m2([(0, 3000), (4000, 3100)])
    assert area_from_strips_m2([(-1500, 3000), (2500, 3100)]) == pytest.approx(there, abs=EXACT_M2)


@st.composite
def unequal_stations(draw):
    """Distances of an even number of strips, no step over twice another."""
    steps = draw(st.lists(st.floats(300, 600), min_size=2, max_size=10).filter(lambda steps: len(steps) % 2 == 0))
    return [float(x) for x in np.cumsum([0.0, *steps])]


@given(unequal_stations(), st.floats(1000, 4000), st.floats(0, 3000), st.floats(0, 3000))
def test_simpsons_rule_with_unequal_steps_is_exact_for_a_parabola(distances, a, b, c):
    # width a + b t + c t², t from 0 to 1 along the room: a + b / 2 + c / 3 times its length
    length = distances[-1]
    stations = [(x, a + b * x / length + c * (x / length) ** 2) for x in distances]
    exact = (a + b / 2 + c / 3) * length / 1e6
    assert area_from_strips_m2(stations, rule="simpson") == pytest.approx(exact, rel=1e-12)


@given(stars())
def test_widths_at_the_corners_of_a_floor_without_jumps_give_its_polygon(star):
    _, corners = star
    hull = Polygon(corners).convex_hull
    ring = list(hull.exterior.coords)
    xs = sorted({x for x, _ in ring})
    assume(all(b - a > 1 for a, b in pairwise(xs)))
    low, high = hull.bounds[1] - 1, hull.bounds[3] + 1
    stations = [(x, hull.intersection(LineString([(x, low), (x, high)])).length) for x in xs]
    # rounding of a corner off its own level: 1e-9 of the width
    assert area_from_strips_m2(stations) == pytest.approx(hull.area / 1e6, rel=1e-7)


@pytest.mark.parametrize(
    ("stations", "message"),
    [
        ([], "stations must be at least 2, one at each end of the room, got 0."),
        ([(0, 3000)], "stations must be at least 2, one at each end of the room, got 1."),
        (
            [(0, 3000), (4000, 3100), (2000, 3050)],
            "station 3: distance must be over 4000 mm, that of the station before it, got 2000 mm. "
            "Give the stations in order along the room.",
        ),
        (
            [(0, 3000), (0, 3100)],
            "station 2: distance must be over 0 mm, that of the station before it, got 0 mm. "
            "Give the stations in order along the room.",
        ),
        ([(0, 3000), (4000, -3100)], "station 2: width must be 0 to 200000 mm, got -3100 mm."),
        ([(0, 3000), (4000, math.nan)], "station 2: width must be a finite number, got nan."),
        ([(0, 3000), ("4000", 3100)], "station 2: distance must be a number in mm, got '4000'."),
        ([(0, 3000), 4000], "station 2 must be two numbers, distance and width, got 4000."),
        (
            [(0, 3000), (4.2, 3100)],
            "stations span 4.2 mm, no floor is under 100 mm. Give millimetres: 4200 for 4.2 m.",
        ),
        (
            [(0, 3), (4200, 3.1)],
            "the widest width is 3.1 mm, no floor is under 100 mm. Give millimetres: 3100 for 3.1 m.",
        ),
        (
            [(0, 0), (4200, 0)],
            "the widest width is 0 mm, no floor is under 100 mm. Measure the clear width at each station.",
        ),
    ],
)
def test_widths_that_make_no_room_are_refused(stations, message):
    with pytest.raises(ValueError) as caught:
        area_from_strips_m2(stations)
    assert str(caught.value) == message


def test_simpsons_rule_is_refused_where_one_step_is_over_twice_its_neighbour():
    level = [(0, 3000), (500, 3000), (1000, 3000), (1400, 3000), (2300, 3000)]
    with pytest.raises(ValueError) as caught:
        area_from_strips_m2(level, rule="simpson")
    assert str(caught.value) == (
        "stations 3 to 5 are 400 and 900 mm apart: for Simpson's rule no step may be over twice its neighbour. "
        "Measure a station between, or take the trapezium rule."
    )
    assert area_from_strips_m2(level) == pytest.approx(6.9, abs=EXACT_M2)  # 2.3 x 3


def test_an_unknown_rule_is_refused_with_the_nearest():
    with pytest.raises(ValueError) as caught:
        area_from_strips_m2([(0, 3000), (4000, 3100)], rule="simpsons")
    assert str(caught.value) == "rule must be one of trapezium, simpson, got 'simpsons'. Did you mean 'simpson'?"


# --- the comparison ---------------------------------------------------------------------------------------


def test_two_areas_within_the_tolerance_agree_and_say_so():
    check = compare_areas(18.72, 18.70)
    assert check.agrees
    assert check.difference_m2 == pytest.approx(-0.02, abs=1e-12)
    assert check.sentence() == (
        "The two areas agree: 18.72 m² by the outline and 18.70 m² by the second route, 0.11 % apart (0.5 % allowed)."
    )


@pytest.mark.parametrize(
    ("polygon", "second", "tolerance", "sentence"),
    [
        (
            18.72,
            17.90,  # 0.82 / 18.72 = 4.38 %
            0.005,
            "The two areas do not agree: 18.72 m² by the outline and 17.90 m² by the second route, "
            "0.82 m² or 4.4 % less (0.5 % allowed). Find the wrong measurement before you order.",
        ),
        (
            10,
            21,  # 110 %
            0.01,
            "The two areas do not agree: 10.00 m² by the outline and 21.00 m² by the second route, "
            "11.00 m² or 110 % more (1 % allowed). Find the wrong measurement before you order.",
        ),
        (
            0.5,
            0.503,  # 0.6 %, a difference two decimals would not always show
            0.005,
            "The two areas do not agree: 0.500 m² by the outline and 0.503 m² by the second route, "
            "0.003 m² or 0.6 % more (0.5 % allowed). Find the wrong measurement before you order.",
        ),
    ],
)
def test_two_areas_that_differ_are_a_warning_with_both_figures(polygon, second, tolerance, sentence):
    check = compare_areas(polygon, second, tolerance_fraction=tolerance)
    assert not check.agrees
    assert check.sentence() == sentence


@pytest.mark.parametrize(
    ("second", "apart"),
    [(12.264, "0 %"), (12.264 * (1 + 1e-12), "under 0.01 %"), (12.264 * 1.0002, "0.02 %")],
)
def test_a_hair_between_two_areas_is_called_a_hair(second, apart):
    assert compare_areas(12.264, second).sentence() == (
        f"The two areas agree: 12.26 m² by the outline and {second:.2f} m² by the second route, "
        f"{apart} apart (0.5 % allowed)."
    )


def test_a_difference_of_just_the_tolerance_agrees():
    assert compare_areas(20, 20.1).agrees  # 0.1 / 20 = 0.5 %
    assert compare_areas(20, 19.9).agrees
    assert not compare_areas(20, 20.101).agrees
    assert not compare_areas(20, 19.899).agrees


def test_a_comparison_can_not_be_changed():
    with pytest.raises(AttributeError):
        AreaCheck(20, 20.1, 0.005).second_m2 = 20


@given(st.floats(0.01, 10_000), st.floats(0.01, 10_000), st.floats(0.0001, 0.1))
def test_the_sentence_warns_whenever_the_areas_disagree_and_then_shows_two_figures(polygon, second, tolerance):
    check = compare_areas(polygon, second, tolerance_fraction=tolerance)
    words = check.sentence()
    assert words.startswith("The two areas agree: " if check.agrees else "The two areas do not agree: ")
    if not check.agrees:
        one, other = (part.split()[-1] for part in words.split(" m² by ")[:2])
        assert one != other
        assert ("more" if second > polygon else "less") in words


@pytest.mark.parametrize(
    ("arguments", "tolerance", "message"),
    [
        (
            (18.72, 18_720_000),
            0.005,
            "area by the second route must be 0.01 to 10000 m², got 18720000 m². Give square metres.",
        ),
        ((0, 18.72), 0.005, "area of the outline must be 0.01 to 10000 m², got 0 m². Give square metres."),
        ((math.nan, 18.72), 0.005, "area of the outline must be a finite number, got nan."),
        ((18.72, "18.7"), 0.005, "area by the second route must be a number in m², got '18.7'."),
        ((18.72, 18.70), 0.5, "tolerance must be 0.0001 to 0.1, got 0.5. Write 0.5 % as 0.005."),
        ((18.72, 18.70), 0, "tolerance must be 0.0001 to 0.1, got 0. Write 0.5 % as 0.005."),
    ],
)
def test_areas_in_other_units_are_not_compared(arguments, tolerance, message):
    with pytest.raises(ValueError) as caught:
        compare_areas(*arguments, tolerance_fraction=tolerance)
    assert str(caught.value) == message


# --- the routes against each other ------------------------------------------------------------------------


@given(stars())
def test_three_routes_to_one_floor_agree(star):
    centre, corners = star
    outline_m2 = Polygon(corners).area / 1e6
    assert compare_areas(outline_m2, area_by_strips_m2(corners), tolerance_fraction=0.0001).agrees
    assert compare_areas(outline_m2, area_from_triangles_m2(fan_of(centre, corners)), tolerance_fraction=0.0001).agrees


def test_a_tie_read_a_hand_short_shows_in_the_comparison():
    # 5.2 x 3.6 taped with the tie 6224.6 for 6324.6, both triangles: cos C = (5200² + 3600² - 6224.6²) / (2 x 5200 x
    # 3600) = 0.033517, sin C = 0.999438, so 18.72 x 0.999438 = 18.709: triangles forgive a tie; one wall does not
    tie = math.hypot(5200, 3600)
    short = area_from_triangles_m2([(5200, 3600, tie - 100)] * 2)
    assert short == pytest.approx(18.709, abs=5e-4)
    assert compare_areas(18.72, short).agrees
    # a wall of 5.1 for 5.2 in both: half a b sin C with cos C = (5100² + 3600² - 6324.6²) / (2 x 5100 x 3600)
    # = -0.028050, sin C = 0.999607: 5.1 x 3.6 x 0.999607 = 18.353, 2.0 % less
    wrong = area_from_triangles_m2([(5100, 3600, tie)] * 2)
    assert wrong == pytest.approx(18.353, abs=5e-4)
    assert compare_areas(18.72, wrong).sentence() == (
        "The two areas do not agree: 18.72 m² by the outline and 18.35 m² by the second route, 0.37 m² or 2 % less "
        "(0.5 % allowed). Find the wrong measurement before you order."
    )


@pytest.mark.parametrize("apex", [1, 2, 3, 4, 5])
def test_triangles_from_the_ties_of_any_one_corner_add_up_to_a_pentagon(apex):
    # A house shape: 4000 x 3000 with a gable 1000 high: 12 m2 and 2 m2 by hand.
    corners = [(0, 0), (4000, 0), (4000, 3000), (2000, 4000), (0, 3000)]
    walls = [math.dist(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    ties = {
        (min(apex, other), max(apex, other)): math.dist(corners[apex - 1], corners[other - 1])
        for other in range(1, 6)
        if (other - apex) % 5 in (2, 3)
    }
    assert area_from_triangles_m2(triangles_from_ties(walls, ties)) == pytest.approx(14.0, abs=1e-9)


def test_without_all_ties_of_one_corner_there_are_no_triangles():
    assert triangles_from_ties([4000, 3000, 4000, 3000], {}) == []
