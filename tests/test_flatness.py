"""Flatness and levelling: published limits and worked quantities, hand sums, what must always hold."""

import math
from dataclasses import replace

import numpy as np
import pytest
from floors import demo_room, rectangle
from hypothesis import given, settings
from hypothesis import strategies as st

import flooring_kit as fk
from flooring_kit.flatness import (
    TRADE_LIMITS_MM,
    bags_by_coverage,
    compound,
    din_18202_limit_mm,
    flatness_class,
    flatness_map,
    levelling,
    middle_gap_mm,
    ramp_litres,
    readings_needed,
    readings_table,
    straightedge_gap_mm,
    straightedge_sentences,
    surface_of,
    threshold_depths,
)
from flooring_kit.room import Level, Straightedge

HEIGHTS = st.floats(-50, 50)


def room_with(heights, *, length=4000, width=3000, **more):
    """A room with its levels given as {(x, y): height}."""
    return rectangle(length, width, levels=tuple(Level(at, height) for at, height in heights.items()), **more)


def grid(function, *, length=4000, width=3000, step=500):
    places = [(float(x), float(y)) for x in range(0, length + 1, step) for y in range(0, width + 1, step)]
    return {at: float(function(*at)) for at in places}


# --- limits ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("gap_mm", "name"),
    [(0, "SR1"), (3, "SR1"), (3.1, "SR2"), (5.0, "SR2"), (5.1, "SR3"), (10, "SR3"), (10.1, "none")],
)
def test_classes_by_bs_8204_are_3_5_and_10_mm_under_2_m(gap_mm, name):
    # BS 8204 SR1, SR2, SR3 (Concrete Society, concrete.org.uk docid 1009)
    assert flatness_class(gap_mm) == name


@pytest.mark.parametrize(
    ("base_m", "limit_mm"),
    [(0.1, 2), (1, 4), (1.5, 5), (2, 6), (2.5, 7), (3, 8), (3.5, 9), (4, 10), (10, 12), (15, 15)],
)
def test_din_18202_row_3_is_reproduced(base_m, limit_mm):
    # DIN 18202 table 3 row 3 with the steps between, ZDB handbook of screeds (doczz 5839552)
    assert din_18202_limit_mm(base_m * 1000) == limit_mm
    assert din_18202_limit_mm([base_m * 1000, 2000]).tolist() == [limit_mm, 6]


def test_45_m2_want_three_readings():
    # one for each 20 m² where no rate is agreed (face-consultants.pl): ceil(2.25)
    assert (readings_needed(45), readings_needed(40), readings_needed(0.5)) == (3, 2, 1)


def test_trade_limits_over_feet_are_not_3_mm_over_2_m_by_scaling():
    # NWFA guidelines ch. 4 and 5 (floortrendsmag.com): inches and feet of 25.4 and 304.8 mm
    assert {
        "3/16 in over 10 ft": (pytest.approx(3 / 16 * 25.4), pytest.approx(10 * 304.8)),
        "1/8 in over 6 ft": (pytest.approx(1 / 8 * 25.4), pytest.approx(6 * 304.8)),
        "1/4 in over 10 ft": (pytest.approx(1 / 4 * 25.4), pytest.approx(10 * 304.8)),
        "3/16 in over 6 ft": (pytest.approx(3 / 16 * 25.4), pytest.approx(6 * 304.8)),
    } == TRADE_LIMITS_MM
    # GNU Units: 3/16 in over 10 ft scales to 3.125 mm per 2 m, 1/8 in over 6 ft to 3.472: neither is SR1
    scaled = [gap * 2000 / base for gap, base in TRADE_LIMITS_MM.values()][:2]
    assert scaled == pytest.approx([3.125, 3.472], abs=0.0005)
    assert [flatness_class(gap) for gap in scaled] == ["SR2", "SR2"]


# --- the gap under a straightedge --------------------------------------------------------------------------


def test_three_levels_give_the_gap_at_the_middle():
    # (h1 + h3) / 2 - h2 for a hollow (beaplan.de): (3 + 5) / 2 - 0
    assert middle_gap_mm(3, 0, 5) == 4
    assert middle_gap_mm([3, 0], [0, 2], [5, 0]).tolist() == [4, -2]


def test_a_straightedge_rests_on_the_two_highest_places():
    # the edge lies on 3 at 0 and 5 at 2000; under it at 1000 stand 4 - 0
    assert straightedge_gap_mm([0, 1000, 2000], [3, 0, 5]) == 4
    # a hump in the middle: the edge rocks on it, and the ends stand free of a line from the hump to each end
    assert straightedge_gap_mm([0, 1000, 2000], [0, 5, 0]) == 0
    # two humps: the hollow between them, and nothing outside
    assert straightedge_gap_mm([0, 500, 1000, 1500, 2000], [0, 4, 1, 4, 0]) == 3


@given(st.lists(HEIGHTS, min_size=3, max_size=3))
def test_the_three_point_rule_is_the_straightedge_of_three_points(heights):
    first, middle, last = heights
    assert straightedge_gap_mm([0, 1000, 2000], heights) == pytest.approx(max(0, middle_gap_mm(first, middle, last)))


@given(st.lists(HEIGHTS, min_size=2, max_size=12), st.floats(-100, 100), st.floats(-0.05, 0.05))
def test_lifting_or_tilting_the_floor_changes_no_gap(heights, lift, tilt):
    at = [250.0 * number for number in range(len(heights))]
    moved = [height + lift + tilt * place for place, height in zip(at, heights, strict=True)]
    assert straightedge_gap_mm(at, moved) == pytest.approx(straightedge_gap_mm(at, heights), abs=1e-6)
    assert straightedge_gap_mm(at, heights) >= 0


# --- the map -----------------------------------------------------------------------------------------------


def test_a_floor_that_slopes_evenly_is_flat():
    found = flatness_map(room_with(grid(lambda x, y: x / 400 + y / 300)))
    assert found.worst_gap_mm == pytest.approx(0, abs=1e-6)
    assert found.difference_mm == pytest.approx(20)
    assert found.passes()


def test_a_hollow_is_found_where_it_is_and_as_deep_as_the_straightedge_shows_it():
    # flat but for one reading 6 lower at 2000, 1500; its triangles reach 500 to each side, the edge 1000
    found = flatness_map(room_with(grid(lambda x, y: -6.0 if (x, y) == (2000, 1500) else 0.0)))
    assert found.worst_gap_mm == pytest.approx(6)
    assert math.dist(found.worst_at, (2000, 1500)) <= 1000
    assert (found.class_name, found.passes(), found.passes(6.0)) == ("SR3", False, True)
    assert found.sentences() == [
        "Highest at 0, 0, lowest at 2000, 1500: 6.0 mm between them.",
        f"Under a straightedge of 2 m the largest gap is 6.0 mm, about {found.worst_at[0]:.0f}, "
        f"{found.worst_at[1]:.0f}, class SR3 of BS 8204: not flat enough for a limit of 3 mm.",
    ]


def test_readings_too_far_apart_say_that_something_may_lie_between():
    told = flatness_map(demo_room("kitchen_diner")).sentences()
    assert told[-1] == (
        "The readings stand about 1.8 m apart: what lies between them is not seen. Read on a grid of 1 m, or lay the "
        "straightedge."
    )


def test_a_floor_outside_every_class_says_so():
    found = flatness_map(room_with(grid(lambda x, y: -15.0 if (x, y) == (2000, 1500) else 0.0)))
    assert ", outside every class of BS 8204: not flat enough" in found.sentences()[1]
    short = flatness_map(room_with(grid(lambda x, y: 0.0)), straightedge_mm=1000)
    assert short.class_name == ""
    assert "under a straightedge of 1 m the largest gap is 0.0 mm" in short.sentences()[1].lower()


@settings(max_examples=20)
@given(st.lists(HEIGHTS, min_size=9, max_size=9), st.floats(-100, 100), st.randoms(use_true_random=False))
def test_lifting_all_readings_or_taking_them_in_another_order_changes_nothing(heights, lift, draw):
    # a grid of squares: each can be cut into triangles along either diagonal, and the order must not choose
    places = [(x, y) for x in (100, 1300, 2400) for y in (100, 900, 1900)]
    plain = dict(zip(places, heights, strict=True))
    mixed = list(plain.items())
    draw.shuffle(mixed)
    one = room_with(plain, length=2500, width=2000)
    other = room_with({at: height + lift for at, height in mixed}, length=2500, width=2000)
    maps = [flatness_map(room, straightedge_mm=1000) for room in (one, other)]
    assert maps[1].worst_gap_mm == pytest.approx(maps[0].worst_gap_mm, abs=1e-6)
    assert maps[1].difference_mm == pytest.approx(maps[0].difference_mm, abs=1e-6)
    for to in ("level", "flat"):
        assert levelling(other, to=to).litres == pytest.approx(levelling(one, to=to).litres, abs=1e-6)


@settings(max_examples=20)
@given(st.lists(HEIGHTS, min_size=9, max_size=9), st.floats(-0.02, 0.02), st.floats(-0.02, 0.02))
def test_tilting_the_floor_changes_no_gap_on_the_map(heights, slope_x, slope_y):
    # readings to the walls: beyond them the floor would go on level, tilted or not
    places = [(x, y) for x in (0, 1250, 2500) for y in (0, 1000, 2000)]
    tilted = [height + slope_x * x + slope_y * y for (x, y), height in zip(places, heights, strict=True)]
    maps = [
        flatness_map(room_with(dict(zip(places, each, strict=True)), length=2500, width=2000), straightedge_mm=1000)
        for each in (heights, tilted)
    ]
    assert maps[1].worst_gap_mm == pytest.approx(maps[0].worst_gap_mm, abs=1e-5)


def test_a_room_where_no_straightedge_fits_is_not_called_flat():
    # 1.2 m square: 1.7 m from corner to corner
    corners = [(0, 0), (1200, 0), (1200, 1200), (0, 1200)]
    cupboard = room_with({**dict.fromkeys(corners, 0.0), (600, 600): -20.0}, length=1200, width=1200)
    with pytest.raises(ValueError) as refused:
        flatness_map(cupboard)
    assert str(refused.value) == (
        "room 'room': no place was found where a straightedge of 2000 mm fits. Give a shorter one."
    )
    # 1 m with its middle on the hollow: its ends lie 500 from it, where the floor has risen 20 x 500 / 600
    assert flatness_map(cupboard, straightedge_mm=1000).worst_gap_mm == pytest.approx(20 * 500 / 600)
    # 2.15 m is long enough for 2 m, in the middle alone
    hall = room_with({(0, 0): 0, (0, 900): 0, (1075, 450): -5, (2150, 0): 0, (2150, 900): 0}, length=2150, width=900)
    assert flatness_map(hall).worst_gap_mm == pytest.approx(5 * 1000 / 1075)


def test_no_straightedge_lies_across_an_obstacle():
    # the hollow reaches 500 mm from its middle, the column 600: all the floor that is left is flat
    heights = {**grid(lambda x, y: 0.0), (2000.0, 1500.0): -6.0}
    column = fk.Obstacle("column", ((1400, 900), (2600, 900), (2600, 2100), (1400, 2100)), "column")
    assert flatness_map(room_with(heights)).worst_gap_mm == pytest.approx(6)
    assert flatness_map(room_with(heights, obstacles=(column,))).worst_gap_mm == pytest.approx(0, abs=1e-6)


def test_the_readings_table_names_highest_and_lowest():
    table = readings_table(room_with({(0, 0): 2.0, (1000, 0): -1.0, (0, 1000): 5.0}))
    assert table["over_lowest_mm"].tolist() == [3, 0, 6]
    assert table["under_highest_mm"].tolist() == [3, 6, 0]
    assert table["word"].tolist() == ["", "lowest", "highest"]


def test_heights_between_readings_are_straight_and_beyond_them_go_on_level():
    surface = surface_of(room_with({(0, 0): 0.0, (1000, 0): 10.0, (0, 1000): 20.0, (1000, 1000): 30.0}))
    assert surface.height_mm([(500, 0), (0, 250), (1000, 1000)]).tolist() == pytest.approx([5, 5, 30], abs=1e-5)
    assert surface.height_mm([(2000, 0), (-500, 1000)]).tolist() == pytest.approx([10, 20], abs=1e-5)


def test_a_filled_floor_goes_on_level_beyond_the_readings_too():
    # slope of 1 in 400 with a hollow of 0.5; readings stop 500 from the walls, at 1.25 and 8.75 over the mark
    heights = {(x, y): x / 400 for x in (500, 2000, 3500) for y in (500, 1500, 2500)}
    surface = surface_of(room_with({**heights, (2000, 1500): 4.5}))
    assert surface.filled_mm([(4000, 1500), (0, 1500)]).tolist() == pytest.approx([7.5, 0], abs=1e-5)
    assert surface.filled_mm([(2000, 1500)]).tolist() == pytest.approx([3.75], abs=1e-5)


@given(st.lists(HEIGHTS, min_size=9, max_size=9), st.floats(0, 2000), st.floats(0, 2000))
def test_a_filled_floor_has_no_hollow_left(heights, from_y, to_y):
    places = [(x, y) for x in (0, 1300, 2500) for y in (0, 900, 2000)]
    surface = surface_of(room_with(dict(zip(places, heights, strict=True)), length=2500, width=2000))
    share = np.linspace(0, 1, 26)
    line = np.column_stack([2500 * share, from_y + (to_y - from_y) * share])
    assert straightedge_gap_mm(2500 * share, surface.filled_mm(line)) == pytest.approx(0, abs=1e-4)
    assert (surface.filled_mm(line) >= surface.height_mm(line) - 1e-6).all()


# --- straightedge readings ---------------------------------------------------------------------------------


def test_a_gap_under_2_m_is_judged_by_class_and_any_other_by_din_over_its_length():
    room = rectangle(
        4000,
        3000,
        straightedges=(
            Straightedge((2000, 1500), 4),
            Straightedge((900, 700), 2),
            Straightedge((900, 700), 12),
            Straightedge((500, 500), 5, 1500),
            Straightedge((500, 500), 5.5, 1500),
        ),
    )
    assert straightedge_sentences(room) == [
        "Straightedge 1 at 2000, 1500: 4 mm under 2 m, class SR2 of BS 8204: not flat enough for a limit of 3 mm.",
        "Straightedge 2 at 900, 700: 2 mm under 2 m, class SR1 of BS 8204: flat enough for a limit of 3 mm.",
        "Straightedge 3 at 900, 700: 12 mm under 2 m, outside every class of BS 8204: not flat enough for a limit of 3 "
        "mm.",
        "Straightedge 4 at 500, 500: 5 mm under 1.5 m: within the 5 mm of DIN 18202 for a finished floor. Read it "
        "again under 2 m.",
        "Straightedge 5 at 500, 500: 5.5 mm under 1.5 m: over the 5 mm of DIN 18202 for a finished floor. Read it "
        "again under 2 m.",
    ]


# --- levelling ---------------------------------------------------------------------------------------------


def test_published_quantities_of_compound_are_reproduced():
    # a supplier's example: 30 m² x 10 mm x 1.5 kg = 450 kg, 18 bags of 25
    levelled = compound(30, 10, kg_per_m2_mm=1.5)
    assert (levelled.kilograms, levelled.bags, levelled.litres) == (450, 18, 300)
    # a how-to page: 25 mm x 2.2 kg x 20 m² = 1100 kg, 22 bags of 50
    screed = compound(20, 25, kg_per_m2_mm=2.2, bag_kg=50)
    assert (screed.kilograms, screed.bags) == (pytest.approx(1100), 22)
    assert levelled.sentence() == (
        "300 litres of compound, 450 kg, 18 bags; 10 mm at its thinnest, 10 mm at its deepest."
    )


def test_a_bag_that_covers_13_m2_at_1_mm_covers_a_third_of_that_at_3_mm():
    # common practice, no source
    assert bags_by_coverage(13 / 3, 3, covers_m2_at_1_mm=13) == 1
    assert bags_by_coverage(13 / 3 + 0.01, 3, covers_m2_at_1_mm=13) == 2


def test_a_ramp_is_a_triangular_prism():
    # 9 x 1000 x 900 / 2 = 4 050 000 mm³
    assert ramp_litres(9, 1000, 900) == 4.05


def test_a_floor_that_slopes_is_levelled_by_a_wedge():
    # 10 mm over 4 m: a wedge of 4 x 3 x 0.010 / 2 = 60 litres, and 2 mm over all: 24
    room = room_with({(0, 0): 0.0, (4000, 0): 10.0, (0, 3000): 0.0, (4000, 3000): 10.0})
    levelled = levelling(room)
    assert levelled.litres == pytest.approx(84, rel=1e-6)
    assert levelled.kilograms == pytest.approx(84 * 1.6, rel=1e-6)
    assert (levelled.thinnest_mm, levelled.deepest_mm) == (pytest.approx(2, abs=1e-6), pytest.approx(12, abs=1e-6))
    # but flat it is already: the least layer is all
    assert levelling(room, to="flat").litres == pytest.approx(24, rel=1e-6)
    assert levelling(room, to="flat", least_mm=0).bags == 0


def test_a_layer_too_thin_for_most_compounds_is_warned_of_and_not_refused():
    # thinnest layer 2 to 3 mm (a maker's guide)
    assert compound(10, 1).sentence() == (
        "10 litres of compound, 16 kg, 1 bag; 1 mm at its thinnest, 1 mm at its deepest. Most compounds want 2 to 3 mm "
        "at least: read the bag."
    )
    assert "read the bag" not in compound(10, 2).sentence() + compound(10, 0).sentence()


def test_bags_by_the_label_follow_from_the_litres():
    # a litre is 1 m² at 1 mm: the wedge of 84 litres, at 13 m² a bag, takes ceil(6.46)
    room = room_with({(0, 0): 0.0, (4000, 0): 10.0, (0, 3000): 0.0, (4000, 3000): 10.0})
    assert bags_by_coverage(levelling(room).litres, 1, covers_m2_at_1_mm=13) == 7


def test_a_hollow_is_filled_and_obstacles_are_left_out():
    # a pyramid upside down, 6 deep over a square of 2 x 2 m: 2 x 2 x 6 / 3 = 8 litres
    corners = [(0, 0), (2000, 0), (2000, 2000), (0, 2000)]
    room = room_with({**dict.fromkeys(corners, 0.0), (1000, 1000): -6.0}, length=2000, width=2000)
    for to in ("level", "flat"):
        assert levelling(room, to=to, least_mm=0).litres == pytest.approx(8, rel=0.01)
    # over the last half metre in a corner the pyramid is 6 (1 - larger of u and v) deep, u and v from a half to 1:
    # 6 x 0.25 x (1 - 5/6) = 0.25 litres
    column = fk.Obstacle("column", ((1500, 1500), (2000, 1500), (2000, 2000), (1500, 2000)), "column")
    levelled = levelling(replace(room, obstacles=(column,)), least_mm=4)
    assert levelled.litres == pytest.approx(8 - 0.25 + 4 * 3.75, rel=0.01)


@given(st.lists(HEIGHTS, min_size=6, max_size=6), st.floats(0, 20), st.floats(0, 20))
def test_flat_never_takes_more_than_level_and_a_thicker_layer_never_less(heights, least, more):
    places = [(100, 100), (1900, 100), (1000, 1000), (100, 1900), (1900, 1900), (600, 1200)]
    room = room_with(dict(zip(places, heights, strict=True)), length=2000, width=2000)
    flat, level = (levelling(room, to=to, least_mm=least) for to in ("flat", "level"))
    assert flat.litres <= level.litres + 1e-6
    assert levelling(room, least_mm=least + more).litres >= level.litres - 1e-9
    assert flat.thinnest_mm >= least - 1e-6


def test_a_threshold_gains_what_the_layer_has_there():
    # wedge of 10 over 4 m; a door from 1000 to 2000 in wall 1: 10 - 2.5 + 2 and 10 - 5 + 2
    heights = {(0, 0): 0.0, (4000, 0): 10.0, (0, 3000): 0.0, (4000, 3000): 10.0}
    table = threshold_depths(room_with(heights, doors=(fk.Door(1, 1000, 1000),)))
    assert (table["near_mm"][0], table["far_mm"][0]) == (pytest.approx(9.5, abs=1e-5), pytest.approx(7, abs=1e-5))
    # flat as it is, it gains the least layer alone
    flat = threshold_depths(room_with(heights, doors=(fk.Door(1, 1000, 1000),)), to="flat", least_mm=3)
    assert (flat["near_mm"][0], flat["far_mm"][0]) == (pytest.approx(3, abs=1e-5), pytest.approx(3, abs=1e-5))


SLOPE = room_with({(0, 0): 0.0, (4000, 0): 10.0, (0, 3000): 0.0, (4000, 3000): 10.0})
WHOLE = fk.Obstacle("all of it", ((0, 0), (4000, 0), (4000, 3000), (0, 3000)))


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: flatness_class(-1), "gap under the straightedge must be 0 to 500 mm, got -1 mm."),
        (lambda: din_18202_limit_mm(50), "base length (DIN 18202 table 3) must be 100 to 15000 mm, got 50 mm."),
        (lambda: readings_needed(-1), "floor must be 0 to 100000 m², got -1 m²."),
        (
            lambda: straightedge_gap_mm([0], [1]),
            "a profile needs two places or more and a height for each, got 1 and 1.",
        ),
        (
            lambda: straightedge_gap_mm([0, 1, 1], [1, 2, 3]),
            "places along the straightedge must rise. Give them in order from one end.",
        ),
        (
            lambda: surface_of(rectangle(4000, 3000)),
            "room 'room': a map of heights needs three levels or more, got 0. Read them on a grid.",
        ),
        (
            lambda: surface_of(room_with({(0, 0): 1, (1000, 0): 2, (2000, 0): 3})),
            "room 'room': all levels lie on one line. Read some to the side of it.",
        ),
        (
            lambda: surface_of(room_with({(0, 0): 1, (0.01, 0): 2, (2000, 900): 3})),
            "room 'room': two levels were taken at one place. Keep one of them.",
        ),
        (
            lambda: flatness_map(rectangle(4000, 3000), straightedge_mm=100),
            "straightedge must be 500 to 4000 mm, got 100 mm.",
        ),
        (lambda: compound(1, 301), "depth must be 0 to 300 mm, got 301 mm."),
        (lambda: compound(1, 1, kg_per_m2_mm=3), "compound for each m² and mm must be 1 to 2.5 kg, got 3 kg."),
        (lambda: compound(1, 1, bag_kg=0), "bag must be 1 to 1500 kg, got 0 kg."),
        (
            lambda: bags_by_coverage(1, 1, covers_m2_at_1_mm=0),
            "what a bag covers at 1 mm must be 0.1 to 10000 m², got 0 m².",
        ),
        (lambda: ramp_litres(-1, 1, 1), "rise of the ramp must be 0 to 100000 mm, got -1 mm."),
        (lambda: levelling(SLOPE, to="smooth"), "to must be one of level, flat, got 'smooth'."),
        (lambda: levelling(SLOPE, least_mm=51), "least layer must be 0 to 50 mm, got 51 mm."),
        (lambda: flatness_map(SLOPE).passes(51), "limit under the straightedge must be 0 to 50 mm, got 51 mm."),
        (lambda: levelling(replace(SLOPE, obstacles=(WHOLE,))), "room 'room': its obstacles leave no floor."),
        (
            lambda: surface_of(room_with({(0, 0): 1, (math.nan, 0): 2, (0, 900): 3})),
            "level: at: x must be a finite number, got nan.",
        ),
        (lambda: middle_gap_mm([0, 0], [0, math.nan], [0, 0]), "level must be a finite number, got nan."),
        (lambda: straightedge_gap_mm([0, 1], [math.inf, 0]), "height must be a finite number, got inf."),
        (
            lambda: straightedge_sentences(rectangle(1000, 1000), limit_mm=21),
            "limit under 2 m must be 0 to 20 mm, got 21 mm.",
        ),
    ],
)
def test_what_makes_no_sense_is_refused_in_words(call, message):
    with pytest.raises(ValueError) as refused:
        call()
    assert str(refused.value) == message


def test_two_levels_a_fifth_of_a_millimetre_apart_are_two_places():
    assert len(surface_of(room_with({(0, 0): 1, (0.2, 0): 2, (0, 900): 3, (2000, 900): 4})).points) == 4
