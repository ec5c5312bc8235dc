"""Steps, bars, leaves, stairs and appliances at the new height: worked examples of the trade and hand sums."""

import math
from dataclasses import replace

import pytest
from floors import demo_room
from hypothesis import given
from hypothesis import strategies as st

import flooring_kit as fk
from flooring_kit.heights import (
    FIRE_DOOR_CAUTION,
    LEDGER_COLUMNS,
    NewFloor,
    appliance_sentence,
    bar_for,
    heights_ledger,
    leaf_ease,
    riser_sentences,
    steps_mm,
    suiting_bars,
)
from flooring_kit.products import DoorBar
from flooring_kit.room import Appliance, Door, Edge, FloorBeyond, Leaf

LEVEL = DoorBar("Level", "level", 900, 0, 3, price=11.0)
SMALL_RAMP = DoorBar("Small ramp", "ramp", 900, 3, 8, price=12.0)
RAMP = DoorBar("Ramp", "ramp", 900, 6, 12, price=14.0)
EDGE = DoorBar("Single edge", "single edge", 900, 0, 10, price=9.0)
END = DoorBar("End", "end", 900, 0, 16, price=10.0)
LONG_LEVEL = DoorBar("Long level", "level", 2700, 0, 3, price=30.0)
BARS = (RAMP, SMALL_RAMP, LEVEL, LONG_LEVEL, EDGE, END)


def door(leaf=None, beyond=None, **more):
    return Door(1, 500, 762, 60, leaf=leaf, beyond=beyond, **more)


# --- steps and bars ----------------------------------------------------------------------------------------


def test_the_step_is_the_floor_beyond_less_the_new_floor_at_either_end():
    # 8 + 3 = 11 and 2 of compound at the far end
    assert steps_mm(NewFloor(8, 3, levelling_mm=(0, 2)), (17, 20)) == (6, 7)
    assert steps_mm(NewFloor(8, 3), (5, 5)) == (-6, -6)


@pytest.mark.parametrize(
    ("step", "beyond", "bar", "says"),
    [
        (2, "hard floor", "Level", "A step up of 2 mm: Level."),
        (-3, "hard floor", "Level", "A step down of 3 mm: Level."),
        (5, "hard floor", "Small ramp", "A step up of 5 mm: Small ramp."),
        (10, "hard floor", "Ramp", "A step up of 10 mm: Ramp."),
        (7, "carpet", "Single edge", "A step up of 7 mm: Single edge."),
        (14, "outside", "End", "A step up of 14 mm: End."),
        (-4, "hearth", "End", "A step down of 4 mm: End."),
        (0, "same floor", "Level", "No step: Level."),
    ],
)
def test_the_bar_follows_the_step_and_the_floor_beyond(step, beyond, bar, says):
    choice = bar_for((step, step), beyond, 762, BARS)
    assert choice.bar is not None
    assert (choice.bar.name, choice.packing_mm, choice.packed_end) == (bar, 0, "")
    assert choice.sentence() == says


def test_an_uneven_step_takes_the_smaller_ramp_packed_where_the_step_is_larger():
    # common practice, no source: 6 at one end and 9 at the other
    choice = bar_for((6, 9), "hard floor", 762, BARS)
    assert (choice.bar, choice.packing_mm, choice.packed_end) == (SMALL_RAMP, 3, "far")
    assert choice.sentence() == (
        "A step up of 6 mm at the near end and 9 mm at the far end: Small ramp, packed up by 3 mm under its lower side "
        "at the far end."
    )


def test_a_carpet_takes_up_an_uneven_step_without_packing():
    choice = bar_for((8, 5), "carpet", 762, BARS)
    assert (choice.bar, choice.packing_mm, choice.packed_end) == (EDGE, 0, "")


def test_a_level_bar_takes_an_uneven_step_within_its_range_without_packing():
    choice = bar_for((0, 3), "hard floor", 762, BARS)
    assert (choice.bar, choice.packing_mm, choice.packed_end) == (LEVEL, 0, "")
    assert choice.sentence() == "A step up of 0 mm at the near end and 3 mm at the far end: Level."


def test_an_uneven_step_takes_the_smaller_ramp_even_where_a_larger_one_is_cheaper():
    cheap = replace(RAMP, price=1.0)
    assert suiting_bars((7, 10), "hard floor", 762, [cheap, SMALL_RAMP]) == [SMALL_RAMP, cheap]
    assert suiting_bars((7, 7), "hard floor", 762, [SMALL_RAMP, cheap]) == [cheap, SMALL_RAMP]


def test_a_ramp_is_not_packed_beyond_12_mm():
    # common practice, no source: ramps up to about 12 mm
    assert bar_for((4, 12), "hard floor", 762, BARS).bar == SMALL_RAMP
    choice = bar_for((4, 12.5), "hard floor", 762, BARS)
    assert choice.bar is None
    assert choice.sentence() == (
        "A step up of 4 mm at the near end and 12.5 mm at the far end: no bar on sale takes it. It wants a ramp bar "
        "for 4 to 12.5 mm, at least 762 mm long."
    )


def test_an_edge_bar_that_takes_only_the_smaller_end_is_not_taken():
    # 5 to 15 with a single edge up to 10, and an end bar up to 16 against 5 to 30
    assert bar_for((5, 15), "carpet", 762, BARS).bar is None
    assert bar_for((5, 30), "outside", 762, BARS).bar is None


def test_a_floor_beyond_that_crosses_the_new_one_is_told_with_signs():
    assert bar_for((2, -2), "hard floor", 762, BARS).sentence() == (
        "A step of +2 mm at the near end and -2 mm at the far end: Level."
    )
    choice = bar_for((-3, 9), "hard floor", 762, BARS)
    assert choice.bar is None
    assert choice.sentence() == (
        "A step of -3 mm at the near end and +9 mm at the far end: no ramp goes up at one end and down at the other. "
        "Level one of the floors first."
    )


def test_a_step_that_no_bar_on_sale_takes_says_what_is_wanted():
    assert bar_for((20, 20), "hard floor", 762, BARS).sentence() == (
        "A step up of 20 mm: no bar on sale takes it. It wants a ramp bar for 20 mm, at least 762 mm long."
    )
    assert bar_for((20, 20), "outside", 762, BARS).sentence() == (
        "A step up of 20 mm: no bar on sale takes it. It wants an end bar for 20 mm, at least 762 mm long."
    )


def test_a_step_is_told_to_a_tenth_of_a_millimetre():
    assert bar_for((2.5, 2.9), "carpet", 762, BARS).sentence() == "A step up of 2.9 mm: Single edge."


def test_float_dust_makes_no_ramp_of_a_level_bar():
    # 10.8 - (7 + 0.8) is 3.0000000000000018 in binary fractions
    assert bar_for(steps_mm(NewFloor(7, 0.8), (10.8, 10.8)), "hard floor", 762, BARS).bar == LEVEL


def test_a_bar_shorter_than_the_opening_is_not_taken():
    assert bar_for((0, 0), "same floor", 1500, BARS).bar == LONG_LEVEL
    assert bar_for((5, 5), "hard floor", 1500, BARS).bar is None


@given(
    near=st.floats(-20, 20),
    far=st.floats(-20, 20),
    beyond=st.sampled_from(["same floor", "carpet", "hard floor", "hearth", "outside"]),
)
def test_a_bar_takes_its_step_at_both_ends_packed_or_not_and_ends_changed_over_mirror_the_packing(near, far, beyond):
    choice, mirrored = bar_for((near, far), beyond, 762, BARS), bar_for((far, near), beyond, 762, BARS)
    assert choice.bar == mirrored.bar
    assert choice.packing_mm == mirrored.packing_mm
    assert mirrored.packed_end == {"near": "far", "far": "near", "": ""}[choice.packed_end]
    if choice.bar is not None:
        packing = {"near": (choice.packing_mm, 0), "far": (0, choice.packing_mm), "": (0, 0)}[choice.packed_end]
        for step, packed in zip((near, far), packing, strict=True):
            # a step even within 1 mm is taken at its larger end
            slack = 1 if choice.bar.kind == "ramp" else 0
            assert choice.bar.least_step_mm - slack - 1e-6 <= abs(step) - packed <= choice.bar.most_step_mm + 1e-6
    if beyond in ("hearth", "outside") and max(abs(near), abs(far)) > END.most_step_mm:
        assert choice.bar is None


# --- leaves ------------------------------------------------------------------------------------------------


def test_a_leaf_over_carpet_taken_up_needs_nothing_off():
    # common practice, no source: 18 out, 11 in, 5 there, 6 wanted: 11 - 18 + 6 - 5 = -6
    ease = leaf_ease(door(Leaf(5)), "study", rise_mm=11 - 18)
    assert (ease.ease_mm, ease.clearance_mm) == (0, 12)
    assert ease.sentence() == "study: nothing to take off, 12 mm stay under the leaf."


def test_a_leaf_over_a_floor_that_grows_loses_what_is_wanting():
    # 11 + 6 - 5 = 12
    ease = leaf_ease(door(Leaf(5)), "study", rise_mm=11)
    assert ease.ease_mm == 12
    assert ease.sentence() == "study: take 12 mm off the leaf."


def test_a_high_spot_in_the_swing_counts_where_the_leaf_swings_in():
    leaf = Leaf(10, high_spot_mm=3)
    assert leaf_ease(door(leaf), "study", rise_mm=4).ease_mm == 3
    assert leaf_ease(door(replace(leaf, swings="out")), "study", rise_mm=4).ease_mm == 0


def test_a_leaf_clears_the_bar_under_it_by_2_mm():
    # 10 - 4 = 6 over the floor; a bar of 5 leaves 1
    assert leaf_ease(door(Leaf(10)), "study", rise_mm=4, bar_mm=5).ease_mm == 1
    assert leaf_ease(door(Leaf(10)), "study", rise_mm=4, bar_mm=4).ease_mm == 0


def test_a_fire_door_is_never_given_a_figure_without_the_caution_first():
    for leaf, told in (
        (Leaf(5), "it would need 12 mm off. See first whether a thinner floor or a lower bar spares it"),
        (Leaf(30), "nothing to take off, 19 mm stay under the leaf; check that its evidence allows so much"),
        (None, "no leaf measured. If there is one, measure what is under it when closed"),
    ):
        words = leaf_ease(door(leaf, fire_door=True), "garage", rise_mm=11).sentence()
        assert words == f"garage: {FIRE_DOOR_CAUTION}; {told}."
    assert FIRE_DOOR_CAUTION == (
        "it is, or may be, a fire door: take nothing off it before its test evidence and a competent person say you may"
    )


def test_part_of_a_millimetre_to_take_off_is_told_as_a_whole_one():
    # 11.2 + 6 - 5 = 12.2
    assert leaf_ease(door(Leaf(5)), "study", rise_mm=11.2).sentence() == "study: take 13 mm off the leaf."


@given(st.floats(-5, 200), st.floats(-100, 100), st.floats(0, 50), st.floats(0, 30))
def test_a_floor_higher_by_so_much_takes_so_much_more_off(clearance, rise, wanted, more):
    hung = door(Leaf(clearance, wanted))
    low, high = (leaf_ease(hung, "study", rise_mm=each).ease_mm for each in (rise, rise + more))
    assert 0 <= low <= high <= low + more + 1e-9
    if low > 0:
        assert high == pytest.approx(low + more)
    assert clearance - rise + low >= wanted - 1e-9


# --- stairs and appliances ---------------------------------------------------------------------------------


def test_a_bottom_riser_shrinks_by_what_the_floor_grows():
    stair = Edge(2, "stair riser", riser_mm=190, risers_above_mm=194)
    assert riser_sentences(stair, rise_mm=-4) == [
        "Stair at wall 2: its bottom riser becomes 194 mm instead of 190, as those above."
    ]
    assert riser_sentences(stair, rise_mm=11) == [
        "Stair at wall 2: its bottom riser becomes 179 mm instead of 190, 15 mm less than those above. Uneven risers "
        "trip people: local codes say how much a flight may differ. Newel and string meet the floor too."
    ]
    assert riser_sentences(stair, rise_mm=-8) == [
        "Stair at wall 2: its bottom riser becomes 198 mm instead of 190, 4 mm more than those above. Uneven risers "
        "trip people: local codes say how much a flight may differ. Newel and string meet the floor too."
    ]
    assert riser_sentences(replace(stair, risers_above_mm=None), rise_mm=0) == [
        "Stair at wall 2: its bottom riser becomes 190 mm instead of 190. Measure the risers above: all of a flight "
        "should be alike."
    ]
    assert riser_sentences(Edge(2), rise_mm=11) == []


def test_an_appliance_fits_or_not_by_so_much():
    # 832 - 11 - 818 = 3
    assert appliance_sentence(Appliance("dishwasher", 818, 832), rise_mm=11) == (
        "dishwasher: 3 mm to spare when the floor is down."
    )
    assert appliance_sentence(Appliance("dishwasher", 818, 832), rise_mm=17) == (
        "dishwasher: 3 mm too tall when the floor is down. Lift the worktop, or keep the floor thinner."
    )
    assert appliance_sentence(Appliance("dishwasher", 818, 832), rise_mm=14.3) == (
        "dishwasher: 0.3 mm too tall when the floor is down. Lift the worktop, or keep the floor thinner."
    )


# --- the ledger --------------------------------------------------------------------------------------------


def ledger(name, **more):
    room = demo_room(name)
    bars = fk.read_door_bars(fk.demo_path("door_bars.csv")).values()
    return heights_ledger(room, [NewFloor(8, 3)] * len(room.doors), bars, **more)


def test_the_hall_has_a_row_for_each_of_its_doors():
    table = ledger("hall")
    assert list(table.columns) == LEDGER_COLUMNS
    # 11 over the screed; beyond it 17 and 20, 11, 14 and 25
    assert table["near_step_mm"].tolist() == [6, 0, 3, 14]
    assert table["far_step_mm"].tolist() == [9, 0, 3, 14]
    names = ["Small ramp bar 900 mm", "Level bar 900 mm", "Single edge bar 900 mm", "End bar 900 mm"]
    assert table["bar"].tolist() == names
    assert table["bar_mm"].tolist() == [762] * 4
    assert table["bar_says"].tolist()[1] == (
        "to the sitting room: no step: Level bar 900 mm. Only where the floor is broken there; else it runs through."
    )
    # study: its leaf hangs 4 over the carpet of 14 that stays, 6 wanted; front door: 16 - (11 - 3) = 8 left
    assert [None if math.isnan(ease) else ease for ease in table["ease_mm"]] == [None, None, 2, 0]
    assert table["leaf_says"].tolist()[2:] == [
        f"to the study: {FIRE_DOOR_CAUTION}; it would need 2 mm off. See first whether a thinner floor or a lower bar "
        "spares it.",
        "front door: nothing to take off, 8 mm stay under the leaf.",
    ]


def test_a_floor_that_goes_on_beyond_has_a_bar_only_where_it_breaks():
    through, broken = ledger("hall", breaks=[]), ledger("hall", breaks=[2])
    assert through["bar"].tolist() == ["Small ramp bar 900 mm", "", "Single edge bar 900 mm", "End bar 900 mm"]
    assert math.isnan(through["bar_mm"].tolist()[1])
    assert through["bar_says"].tolist()[1] == "to the sitting room: the same floor runs through, no bar."
    assert broken["bar"].tolist()[1] == "Level bar 900 mm"
    assert broken["bar_says"].tolist()[1] == "to the sitting room: no step: Level bar 900 mm."


def test_a_floor_that_runs_through_at_another_height_is_to_be_measured_again():
    on = FloorBeyond("same floor", (16.0, 16.0))
    room = fk.Room("den", ((0, 0), (4000, 0), (4000, 3000), (0, 3000)), doors=(door(beyond=on),))
    (row,) = heights_ledger(room, [NewFloor(8, 3)], BARS, breaks=()).itertuples()
    assert row.bar == ""
    assert row.bar_says == (
        "door 1: the same floor runs through, no bar. But the heights say a step up of 5 mm: measure again."
    )


def test_a_leaf_over_the_floor_beyond_loses_only_what_the_new_floor_stands_higher():
    carpet = FloorBeyond("carpet", (9.0, 8.0))
    hung = door(Leaf(7, swings="out"), carpet)
    room = fk.Room("den", ((0, 0), (4000, 0), (4000, 3000), (0, 3000)), doors=(hung,))
    # 11 less 9 is 2: 7 - 2 = 5 left, 6 wanted
    assert heights_ledger(room, [NewFloor(8, 3)], [])["ease_mm"].tolist() == [1]
    # 8 stays under 9: 7 left; with a bar of 4 over it 3 are left over the bar
    assert heights_ledger(room, [NewFloor(6, 2)], BARS)["ease_mm"].tolist() == [0]
    # a bar of 6 leaves 1 of the 2 it needs
    assert heights_ledger(room, [NewFloor(6, 2)], BARS, bar_over_floor_mm=6)["ease_mm"].tolist() == [1]


def test_nothing_is_known_of_the_floor_beyond_a_leaf_that_swings_out_but_how_much_this_one_grows():
    hung = door(Leaf(7, swings="out"))
    room = fk.Room("den", ((0, 0), (4000, 0), (4000, 3000), (0, 3000)), doors=(hung,), old_covering_mm=8)
    # 11 - 8 + 6 - 7 = 2; and a floor that gets lower gives such a leaf nothing: 6 - 7
    assert heights_ledger(room, [NewFloor(8, 3)], BARS)["ease_mm"].tolist() == [2]
    assert heights_ledger(room, [NewFloor(5, 2)], BARS)["leaf_says"].tolist() == [
        "door 1: nothing to take off, 7 mm stay under the leaf."
    ]


def test_the_box_rooms_carpet_out_leaves_its_leaf_alone():
    (row,) = ledger("box_room").itertuples()
    assert (row.old_mm, row.new_mm, row.ease_mm) == (18, 11, 0)


def test_a_doorway_of_which_nothing_is_said_asks_for_the_height_beyond():
    room = fk.Room("den", ((0, 0), (4000, 0), (4000, 3000), (0, 3000)), doors=(door(),))
    (row,) = heights_ledger(room, [NewFloor(8, 3)], BARS).itertuples()
    assert row.bar == ""
    assert math.isnan(row.near_step_mm)
    assert row.bar_says == (
        "door 1: nothing is said of the floor beyond. Measure its top over the bare subfloor here, at both ends."
    )


def test_a_hard_floor_higher_beyond_lifts_the_bar_the_leaf_must_clear():
    # step 6 and a bar 4 over it: 10; the leaf stays 16 - 5 = 11 over the floor, 1 over the bar: 1 off
    tiles = FloorBeyond("hard floor", (17.0, 17.0))
    room = fk.Room("den", ((0, 0), (4000, 0), (4000, 3000), (0, 3000)), doors=(door(Leaf(22), tiles),))
    (row,) = heights_ledger(room, [NewFloor(8, 3)], BARS).itertuples()
    assert (row.bar, row.ease_mm) == ("Small ramp", 1)


def test_each_doorway_wants_a_floor_of_its_own():
    room = demo_room("hall")
    with pytest.raises(ValueError) as refused:
        heights_ledger(room, [NewFloor(8, 3)], BARS)
    assert str(refused.value) == "give one new floor for each of the 4 doorways, got 1."
    with pytest.raises(ValueError) as refused:
        ledger("hall", breaks=[2, 5])
    assert str(refused.value) == "the room has 4 doorways, got a break at door 5."
    with pytest.raises(ValueError) as refused:
        ledger("hall", bar_over_floor_mm=31)
    assert str(refused.value) == "bar over the floor must be 0 to 30 mm, got 31 mm."


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: NewFloor(0, 3), "board thickness must be 1 to 40 mm, got 0 mm."),
        (lambda: NewFloor(8, 31), "underlay thickness must be 0 to 30 mm, got 31 mm."),
        (lambda: NewFloor(8, 3, 6), "vapour sheet thickness must be 0 to 5 mm, got 6 mm."),
        (lambda: NewFloor(8, 3, 0, (0, 101)), "levelling must be 0 to 100 mm, got 101 mm."),
        (lambda: leaf_ease(door(), "x", rise_mm=201), "rise of the floor must be -200 to 200 mm, got 201 mm."),
        (lambda: leaf_ease(door(), "x", rise_mm=0, bar_mm=-1), "bar over the floor must be 0 to 200 mm, got -1 mm."),
    ],
)
def test_a_figure_out_of_its_range_is_refused(call, message):
    with pytest.raises(ValueError) as refused:
        call()
    assert str(refused.value) == message
