"""Running short: rooms measured anew, jobs drawn in them, and one pack more against a stop."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
import shapely
from floors import demo_boards, demo_room, rectangle
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binom

from flooring_kit.choices import Buying
from flooring_kit.measuring_errors import (
    FIRST_TIMER,
    TRADE,
    Replan,
    Tolerances,
    measured_anew,
    replans,
    sawn_pieces,
)
from flooring_kit.products import Board, Trim, Underlay
from flooring_kit.room import Door, Edge, Obstacle, Pipe, Room
from flooring_kit.rules import LayingRules
from flooring_kit.setting_out import FirstRow, Search, set_out
from flooring_kit.shortage import AnotherPack, Bought, Chance, chances, worth_another_pack
from flooring_kit.takeoff import take_off
from flooring_kit.trims import trim_by_wall
from flooring_kit.underlay import underlay_strips

EXACT = Tolerances(0, 0, 0, 0)
UNBROKEN = Tolerances(breakage_fraction=0, miscut_fraction=0)
QUICK = Search(quick=True)

# The worked example of the order lines: four rows of 4000 mm from boards of 1800 mm take 9 boards. The floor is
# 4.000 x 0.772 = 3.088 m². The trim needs two pieces of 4020, joined, and two of 792: 6 pieces and 9.624 m, which 5
# lengths of 2.4 m hold and 4 do not.
PLANK = Board("Plank", 1800, 193, 8, 8)
FOAM = Underlay("Foam", "foam", 2, 1.5)
SCOTIA = Trim("Scotia", 18, 18, 2400)
STORE = Room("Store", ((0, 0), (4020, 0), (4020, 792), (0, 792)))


@pytest.fixture(scope="module")
def plan():
    return set_out(STORE, PLANK, rules=LayingRules(offcut_margin_mm=0))


def anew(room, tolerances, count, *, seed=0):
    generator = np.random.default_rng(seed)
    return [measured_anew(room, tolerances, generator) for _ in range(count)]


def four_errors(share, draws):
    """Four standard errors of a share counted over so many draws: one test in 16 000 would fail by chance."""
    return 4 * math.sqrt(share * (1 - share) / draws)


# --- the room measured anew -------------------------------------------------------------------------------


def test_without_tolerances_the_room_measured_anew_is_the_survey():
    for name in ("hall", "sitting_room", "kitchen_diner"):
        assert anew(demo_room(name), EXACT, 1) == [demo_room(name)]


def test_a_wall_measured_anew_errs_by_the_tape():
    # The difference of two corner errors of 3 / √2 has a standard deviation of 3, and one counted over n rooms a
    # standard error of 3 / √(2n): four times that is 0.38.
    lengths = [room.wall_length_mm(1) for room in anew(rectangle(4000, 3000), Tolerances(3, 0), 500)]
    assert np.std(lengths) == pytest.approx(3, abs=0.38)
    assert np.mean(lengths) == pytest.approx(4000, abs=4 * 3 / math.sqrt(500))


def test_walls_out_of_true_move_as_a_whole_and_never_farther_than_they_may():
    # Both ends of a run move evenly within 5: a triangle from -10 to 10 with a standard deviation of 10 / √6, counted
    # over 500 rooms to a part in √1000 or better.
    rooms = anew(rectangle(4000, 3000), Tolerances(0, 5), 500)
    lengths = []
    for room in rooms:
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = room.outline
        assert (x0, y0, x1, y2) == pytest.approx((x3, y1, x2, y3), abs=1e-9)
        assert max(abs(x0), abs(y0), abs(x1 - 4000), abs(y2 - 3000)) <= 5 + 1e-9
        lengths.append(x1 - x0)
    assert np.std(lengths) == pytest.approx(10 / math.sqrt(6), rel=4 / math.sqrt(1000))


def test_a_corner_in_a_straight_wall_moves_square_to_it_by_the_mean_of_both_sides():
    split = Room("split", ((0, 0), (1000, 0), (4000, 0), (4000, 3000), (0, 3000)))
    for room in anew(split, Tolerances(0, 5), 200):
        x, y = room.outline[1]
        assert x == pytest.approx(1000, abs=1e-9)
        assert abs(y) <= 5 + 1e-9


@pytest.mark.parametrize("clockwise", [False, True])
def test_what_stands_against_a_wall_stays_against_it(clockwise):
    # the hearth lies 1250 mm along wall 9 of 1450 mm: no trim behind it, so as much is taken off as in the survey
    room = demo_room("sitting_room")
    if clockwise:
        room = Room(room.name, room.outline[::-1], room.obstacles)
    told = trim_by_wall(room)
    for other in anew(room, TRADE, 20):
        now = trim_by_wall(other)
        assert now["obstacles_mm"].tolist() == pytest.approx(told["obstacles_mm"].tolist(), abs=30)
        assert (now["obstacles_mm"] > 0).tolist() == (told["obstacles_mm"] > 0).tolist()


def test_what_stands_free_stays():
    room = demo_room("kitchen_diner")
    assert all(other.obstacles == room.obstacles for other in anew(room, TRADE, 5))


def test_a_doorway_as_wide_as_its_wall_stays_so():
    lobby = Room("lobby", ((0, 0), (800, 0), (800, 1500), (0, 1500)), doors=(Door(1, 0, 800, 40),))
    for room in anew(lobby, TRADE, 200):
        assert room.doors[0].opening_mm == pytest.approx(room.wall_length_mm(1), abs=1e-6)


def test_round_and_bowed_walls_keep_their_form():
    bay = rectangle(3000, 3000, edges=(Edge(1, rise_mm=300), Edge(2, bow=((1500, 20),))))
    for room in anew(bay, TRADE, 50):
        longer = [room.wall_length_mm(wall) / 3000 for wall in (1, 2)]
        assert room.edge(1).rise_mm == pytest.approx(300 * longer[0])
        assert room.edge(2).bow == (pytest.approx((1500 * longer[1], 20)),)


def test_an_obstacle_that_crosses_itself_when_moved_is_refused():
    # a fin 0.6 mm thick: its back goes with the wall, at one end past its front
    fin = Obstacle("fin", ((100, 0), (2900, 0), (2900, 0.6), (100, 0.6)))
    room = rectangle(3000, 3000, obstacles=(fin,))
    with pytest.raises(ValueError) as caught:
        anew(room, Tolerances(10, 10), 50)
    assert (
        str(caught.value)
        == "obstacle 'fin': the outline crosses or touches itself. Give the corners in order round it."
    )


# --- plans of it ------------------------------------------------------------------------------------------


def test_sawn_pieces_are_those_smaller_than_a_board(plan):
    pieces = plan.pieces
    smaller = (pieces["length_mm"] < 1800) | (pieces["width_mm"] < 193)
    assert sawn_pieces(plan) == smaller.sum()


def test_a_whole_board_is_not_sawn_and_one_with_a_pipe_through_it_is():
    closet = rectangle(1820, 213)
    assert sawn_pieces(set_out(closet, PLANK, search=QUICK)) == 0
    with_pipe = replace(closet, pipes=(Pipe((900, 100)),))
    assert sawn_pieces(set_out(with_pipe, PLANK, search=QUICK)) == 1


def test_without_tolerances_every_room_takes_what_the_plan_takes(plan):
    told = list(replans(plan, EXACT, underlay=FOAM, trim=SCOTIA, count=3))
    # 3.088 m² by area from packs of 1.5: 3. The joints are those of a quick plan.
    quick = set_out(STORE, PLANK, rules=LayingRules(offcut_margin_mm=0), search=QUICK)
    assert told == [Replan(9, sawn_pieces(quick), 3, 5, 6)] * 3


def test_boards_are_counted_as_by_the_plan_bought_for_where_that_found_fewer_than_a_quick_one():
    room, board = demo_room("hall"), demo_boards()["Walnut narrow plank 1290 x 132"]
    settled, quick = set_out(room, board), set_out(room, board, search=QUICK)
    assert settled.boards_needed < quick.boards_needed
    for bought in (settled, quick):
        assert [each.boards_needed for each in replans(bought, EXACT, count=1)] == [bought.boards_needed]


def test_no_room_takes_fewer_boards_than_it_has_floor():
    # the floor is 3.48 by 3.08 m; 30 mm less each way is six standard deviations of tape and all the walls out of true
    plan = set_out(rectangle(3500, 3100), PLANK, search=QUICK)
    least = math.ceil(3.45 * 3.05 / (1.8 * 0.193))
    assert all(each.boards_needed >= least for each in replans(plan, TRADE, count=5))


def test_a_first_row_of_ones_own_choice_and_the_opposite_start_are_kept():
    # The far strip of the store is 772 - 100 - 3 x 193 = 93 wide: five rows instead of four.
    plan = set_out(
        STORE, PLANK, rules=LayingRules(offcut_margin_mm=0), first_row=FirstRow("opposite", 100), search=QUICK
    )
    told = list(replans(plan, EXACT, count=1))
    assert (told[0].boards_needed, told[0].sawn_pieces) == (plan.boards_needed, sawn_pieces(plan))


@pytest.mark.parametrize("degrees", [30.0, 90.0])
def test_a_room_surveyed_in_other_axes_takes_the_same(degrees):
    # walls out of true move square to themselves, whatever the axes
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    corners = ((0.0, 0.0), (3620.0, 0.0), (3700.0, 1951.0), (0.0, 1951.0))
    room = Room("room", corners)
    turned = Room("room", tuple((c * x - s * y, s * x + c * y) for x, y in corners))
    along_x, along_wall = (
        set_out(each, PLANK, direction=angle, search=QUICK) for each, angle in ((room, 0.0), (turned, degrees))
    )
    crooked = Tolerances(0, 20)
    assert list(replans(along_x, crooked, count=4)) == list(replans(along_wall, crooked, count=4))


def test_underlay_of_a_known_size_is_counted_in_strips():
    # A floor of 4000 by 1999 takes two strips of 4 m: 8 m from a roll of 8.1. A floor deeper than 2000 takes a third,
    # for which nothing is left, though its area is still under 8.1 m².
    plan = set_out(rectangle(4020, 2019), PLANK, search=QUICK)
    roll = Underlay("Roll", "foam", 2, 8.1, piece_length_mm=8100, piece_width_mm=1000)
    assert [each.underlay_packs for each in replans(plan, EXACT, underlay=roll, count=1)] == [1]
    assert {each.underlay_packs for each in replans(plan, TRADE, underlay=roll, count=8)} == {1, 2}


@pytest.mark.parametrize(("name", "roll_mm"), [("box_room", 15_000), ("back_bedroom", 8000)])
def test_underlay_is_counted_as_if_laid_in_every_room(name, roll_mm):
    # it is not laid again where a larger floor took no more than its area asks for
    room = demo_room(name)
    plan = set_out(room, PLANK, search=QUICK)
    roll = Underlay("Roll", "foam", 2, roll_mm / 1000, piece_length_mm=roll_mm, piece_width_mm=1000)
    laid = [underlay_strips(set_out(each, PLANK, search=QUICK), roll).packs for each in anew(room, TRADE, 10)]
    assert [each.underlay_packs for each in replans(plan, TRADE, underlay=roll, count=10)] == laid


def test_a_room_whose_edges_take_no_trim_needs_no_lengths():
    sills = rectangle(3000, 2000, edges=tuple(Edge(wall, "sill") for wall in (1, 2, 3, 4)))
    plan = set_out(sills, PLANK, search=QUICK)
    told = next(replans(plan, TRADE, trim=SCOTIA))
    assert (told.trim_lengths, told.trim_pieces) == (0, 0)


def test_the_same_seed_measures_the_same_rooms_and_another_others(plan):
    first, again, other = (list(replans(plan, TRADE, count=8, seed=seed)) for seed in (3, 3, 4))
    assert first == again
    assert first != other
    assert anew(STORE, TRADE, 3, seed=3) != anew(STORE, TRADE, 3, seed=4)


def test_a_search_stopped_early_has_measured_the_first_rooms_and_still_gives_chances(plan):
    whole = list(replans(plan, TRADE, count=6))
    stopped = replans(plan, TRADE, count=6)
    few = list(itertools.islice(stopped, 2))
    stopped.close()
    assert few == whole[:2]
    assert chances(few, Bought(2, 8), TRADE).replans == 2


def test_tolerances_too_large_for_a_room_are_named():
    teeth = [corner for x in range(0, 200, 2) for corner in ((3000 + x, 0.0), (3000 + x, 1.0), (3001 + x, 1.0))]
    comb = Room("comb", ((0, 0), *[(x, y) for x, y in teeth], (6000, 0), (6000, 3000), (0, 3000)))
    plan = set_out(rectangle(3000, 2000), PLANK, search=QUICK)
    with pytest.raises(ValueError) as caught:
        list(replans(replace(plan, room=comb), Tolerances(20, 30)))
    assert str(caught.value) == (
        "room 'comb': with a tape error of 20 mm and walls 30 mm out of true no room could be drawn in 20 tries. Its "
        "shortest wall is too short for them; give smaller ones."
    )


# --- chances: limits, monotony, the exact distribution ----------------------------------------------------


@pytest.mark.parametrize(
    ("packs", "per_pack", "kept", "chance"), [(2, 8, 0, 0), (1, 9, 0, 0), (1, 8, 0, 1), (1, 10, 1, 0), (1, 10, 2, 1)]
)
def test_without_tolerances_the_packs_hold_the_plan_or_never(plan, packs, per_pack, kept, chance):
    told = chances(replans(plan, EXACT, count=2), Bought(packs, per_pack, kept), EXACT)
    assert told.boards.chance_fraction == told.anything_fraction == chance


def test_underlay_and_trim_run_short_where_fewer_are_bought_than_a_room_takes():
    rooms = [Replan(9, 9, 3, 5, 6)]
    for packs, lengths in itertools.product((2, 3), (4, 5)):
        told = chances(rooms, Bought(2, 8, 0, packs, lengths), EXACT)
        assert told.underlay is not None
        assert told.trim is not None
        assert (told.underlay.chance_fraction, told.trim.chance_fraction) == (packs < 3, lengths < 5)
        assert told.anything_fraction == (packs < 3 or lengths < 5)


@pytest.mark.parametrize("fraction", [0.005, 0.02, 0.5])
def test_broken_boards_are_binomial(fraction):
    # 30 boards from 4 packs of 8: short where more than 2 break
    exact = float(binom.sf(2, 30, fraction))
    told = chances([Replan(30, 25)], Bought(4, 8), Tolerances(0, 0, fraction, 0))
    assert told.boards.chance_fraction == pytest.approx(exact, abs=four_errors(exact, 10_000) + 1e-12)


def test_broken_boards_and_miscuts_add_up():
    broken, miscut = binom.pmf(range(31), 30, 0.02), binom.pmf(range(26), 25, 0.03)
    extra = np.convolve(broken, miscut)
    told = chances([Replan(30, 25)], Bought(4, 8), Tolerances(0, 0, 0.02, 0.03), draws=100_000)
    for packs, chance in zip(told.boards.table["bought"], told.boards.table["chance_fraction"], strict=True):
        exact = float(extra[packs * 8 - 30 + 1 :].sum()) if packs * 8 >= 30 else 1.0
        assert chance == pytest.approx(exact, abs=four_errors(exact, 100_000) + 1e-12)


def test_miscut_trim_costs_a_length():
    # 8 pieces from 4 lengths, 5 bought: short where two or more are miscut
    exact = float(binom.sf(1, 8, 0.1))
    told = chances([Replan(9, 9, None, 4, 8)], Bought(9, 8, 0, None, 5), Tolerances(0, 0, 0, 0.1))
    assert told.trim is not None
    assert told.trim.chance_fraction == pytest.approx(exact, abs=four_errors(exact, 10_000))


def test_every_room_is_as_likely():
    # one room in four takes a board too many
    rooms = [Replan(16, 9), Replan(17, 9), Replan(15, 9), Replan(16, 9)]
    told = chances(rooms, Bought(2, 8), UNBROKEN)
    assert told.boards.chance_fraction == pytest.approx(0.25, abs=four_errors(0.25, 10_000))
    # the rooms are the coarser sample: shares 0, 1, 0, 0 have a variance of 1/4 and a mean out by √(1/4 / 4)
    assert told.boards.error_fraction == pytest.approx(0.25)


rooms_lists = st.lists(
    st.builds(Replan, st.integers(5, 60), st.integers(0, 50), st.integers(1, 4), st.integers(0, 9), st.integers(0, 20)),
    min_size=1,
    max_size=4,
)
fractions = st.floats(0, 0.5)


def all_chances(told):
    return [chance for each in told.chances for chance in each.table["chance_fraction"]]


@settings(max_examples=30)
@given(rooms_lists, st.integers(1, 8), fractions, fractions)
def test_more_bought_never_runs_short_more_often(rooms, packs, breakage, miscut):
    told = chances(rooms, Bought(packs, 8, 0, 2, 4), Tolerances(0, 0, breakage, miscut), draws=500)
    for each in told.chances:
        table = each.table
        assert table["bought"].tolist() == list(range(each.bought - 1, each.bought + 3))
        assert table["chance_fraction"].is_monotonic_decreasing
    assert told.anything_fraction >= max(each.chance_fraction for each in told.chances)


@settings(max_examples=30)
@given(rooms_lists, st.integers(1, 8), st.tuples(fractions, fractions), st.tuples(fractions, fractions))
def test_more_breakage_more_miscuts_and_more_kept_never_run_short_less_often(rooms, packs, breakage, miscut):
    gentle = Tolerances(0, 0, min(breakage), min(miscut))
    rough = Tolerances(0, 0, max(breakage), max(miscut))
    low = chances(rooms, Bought(packs, 8, 0, 2, 4), gentle, draws=500)
    high = chances(rooms, Bought(packs, 8, 0, 2, 4), rough, draws=500)
    kept = chances(rooms, Bought(packs, 8, 3, 2, 4), rough, draws=500)
    assert all(a <= b for a, b in zip(all_chances(low), all_chances(high), strict=True))
    assert all(a <= b for a, b in zip(all_chances(high), all_chances(kept), strict=True))


def test_tolerances_are_told_in_words():
    told = Tolerances(tape_mm=2.5, out_of_true_mm=8, breakage_fraction=0.01, miscut_fraction=0.035).sentence()
    assert told == (
        "Taken for this: a tape 2.5 mm out, walls up to 8 mm out of true, 1% of boards broken, 3.5% of cuts spoiled."
    )


def test_a_first_timer_runs_short_at_least_as_often_as_the_trade():
    rooms = [Replan(30, 25)]
    trade, first = (chances(rooms, Bought(4, 8), each).boards.chance_fraction for each in (TRADE, FIRST_TIMER))
    assert trade < first


def test_a_larger_tape_error_spreads_the_length_of_walls_more():
    spreads = []
    for tape in (0.0, 3.0, 12.0):
        spreads.append(np.std([room.wall_length_mm(1) for room in anew(STORE, Tolerances(tape, 0), 200)]))
    assert spreads[0] == 0
    assert spreads[2] == pytest.approx(4 * spreads[1], rel=0.01)  # the same errors, four times as large


def test_the_same_seed_draws_the_same_jobs_and_another_others():
    rooms, bought, rough = [Replan(30, 25)], Bought(4, 8), Tolerances(0, 0, 0.05, 0.05)
    first, again, other = (chances(rooms, bought, rough, seed=seed).boards for seed in (1, 1, 2))
    assert first.table.equals(again.table)
    assert not first.table.equals(other.table)


def test_a_very_large_floor_is_drawn_without_overflow():
    exact = float(binom.sf(100, 5000, 0.02))
    told = chances([Replan(5000, 0)], Bought(51, 100), Tolerances(0, 0, 0.02, 0))
    assert told.boards.chance_fraction == pytest.approx(exact, abs=four_errors(exact, 10_000))


# --- in words ---------------------------------------------------------------------------------------------


def chance(*fractions, thing="pack", bought=5, draws=10_000):
    table = chances([Replan(1, 0)], Bought(bought, 8), EXACT).boards.table.assign(chance_fraction=list(fractions))
    return Chance(thing, bought, table, draws, 0.0)


@pytest.mark.parametrize(
    ("fractions", "sentence"),
    [
        ((1, 0.03, 0, 0), "5 packs run short in 3 of 100 jobs; 6 in none of 10 000 draws."),
        ((1, 1, 0.994, 0), "5 packs run short in all of 10 000 draws; 6 in over 99 of 100 jobs."),
        ((1, 0.0042, 0.0004, 0), "5 packs run short in 4 of 1000 jobs; 6 in under 1 of 1000 jobs."),
        ((1, 0.99, 0.01, 0), "5 packs run short in 99 of 100 jobs; 6 in 1 of 100 jobs."),
    ],
)
def test_a_chance_is_said_in_jobs(fractions, sentence):
    assert chance(*fractions).sentence() == sentence


def test_one_of_a_thing_runs_short_and_several_run_short():
    told = chance(1, 0.5, 0, 0, thing="pack of underlay", bought=1)
    assert told.sentence() == "1 pack of underlay runs short in 50 of 100 jobs; 2 in none of 10 000 draws."
    assert told.just_enough == "Just enough: 1 pack of underlay holds in 50 % of jobs."
    assert chance(1, 0.2, 0, 0, thing="length of trim").sentence() == (
        "5 lengths of trim run short in 20 of 100 jobs; 6 in none of 10 000 draws."
    )


@pytest.mark.parametrize(
    ("short", "words"),
    [
        (0, "Ample: 5 packs hold in over 99 % of jobs."),
        (0.01, "Ample: 5 packs hold in 99 % of jobs."),
        (0.03, "Enough: 5 packs hold in 97 % of jobs."),
        (0.12, "Just enough: 5 packs hold in 88 % of jobs."),
        (0.6, "Not enough: 5 packs hold in 40 % of jobs."),
        (1, "Not enough: 5 packs hold in under 1 % of jobs."),
    ],
)
def test_just_enough_is_a_percentage(short, words):
    assert chance(1, short, 0, 0).just_enough == words


def test_a_chance_outside_its_table_is_refused():
    with pytest.raises(ValueError) as caught:
        chance(1, 0.5, 0, 0).chance_of(9)
    assert str(caught.value) == "packs asked about must be a whole number from 4 to 7, got 9."


def test_all_the_chances_in_words():
    # two rooms, the second of which takes a third pack of underlay; nothing breaks, so each share is that of the draws
    rooms = [Replan(16, 9, 2, 5, 6), Replan(16, 9, 3, 5, 6)]
    told = chances(rooms, Bought(2, 8, 0, 2, 5), UNBROKEN)
    assert told.underlay is not None
    in_jobs = f"{round(told.underlay.chance_fraction * 100)} of 100 jobs"
    assert told.sentence() == "2 packs run short in none of 10 000 draws; 3 in none of 10 000 draws."
    assert told.sentences() == [
        told.sentence(),
        f"2 packs of underlay run short in {in_jobs}; 3 in none of 10 000 draws.",
        "5 lengths of trim run short in none of 10 000 draws; 6 in none of 10 000 draws.",
        f"Something runs short in {in_jobs}: most often packs of underlay.",
        # shares 0 and 1: √(1/2 / 2)
        "Drawn from 2 rooms measured anew: a chance may be 50 in 100 out either way.",
    ]


def test_where_nothing_runs_short_the_sentences_say_so():
    told = chances([Replan(16, 9, 2)], Bought(2, 8, 0, 2), UNBROKEN, draws=2000)
    assert told.sentences() == [
        "2 packs run short in none of 2 000 draws; 3 in none of 2 000 draws.",
        "2 packs of underlay run short in none of 2 000 draws; 3 in none of 2 000 draws.",
        "Nothing runs short in any of 2 000 draws.",
        "Drawn from 1 room measured anew: too few to say how far a chance may be out.",
    ]
    assert chances([Replan(16, 9)] * 2, Bought(2, 8), UNBROKEN).sentences()[1:] == [
        "Drawn from 2 rooms measured anew: a chance may be 1 in 100 out either way."
    ]


def test_what_is_ordered_is_what_is_bought(plan):
    counted = take_off(plan, FOAM, SCOTIA, buying=Buying(kept_for_repairs=6))
    # 9 + 2 + 6 = 17 boards are 3 packs; 3.088 m² are 3 packs of 1.5
    assert Bought.ordered(counted) == Bought(3, 8, 6, 3, 5)
    assert Bought.ordered(take_off(plan, FOAM, None, buying=Buying())) == Bought(2, 8, 0, 3, None)


# --- one pack more ----------------------------------------------------------------------------------------


def test_one_pack_more_is_weighed_against_the_stop():
    # 0.30 x (38.40 + 120) = 47.52; 38.40 + 0.02 x 158.40 = 41.57; pays from 38.40 / 0.28 - 38.40 = 98.74
    told = worth_another_pack(0.30, 0.02, pack_price=38.40, stopping_price=120)
    assert (told.cost_now, told.cost_more, told.is_worth_it) == (Decimal("47.52"), Decimal("41.57"), True)
    assert told.sentence() == (
        "As bought, stops cost £47.52 a job on average, the pack fetched then with them; with one pack more £41.57, "
        "its price with them. Take it: it pays where a stop costs £98.74 or more."
    )


def test_one_pack_more_is_left_where_the_stop_is_rare():
    # 0.03 x (40 + 60) = 3.00; 40 + 0; pays from 40 / 0.03 - 40 = 1293.33
    told = worth_another_pack(0.03, 0, pack_price=40, stopping_price=60, currency="€")
    assert told.sentence() == (
        "As bought, stops cost €3.00 a job on average, the pack fetched then with them; with one pack more €40.00, "
        "its price with them. Leave it: it would pay where a stop costs €1,293.33 or more."
    )


def test_a_pack_that_saves_no_stop_is_left():
    told = worth_another_pack(0.2, 0.2, pack_price=40, stopping_price=500)
    assert told.pays_from_stopping_price is None
    assert told.sentence() == "One pack more costs £40.00 and saves no stop: leave it."


@given(fractions, fractions, st.floats(1, 500))
def test_at_the_price_of_stopping_from_which_it_pays_both_ways_cost_the_same(one, other, pack):
    now, more = max(one, other), min(one, other)
    told = AnotherPack(now, more, pack, 0)
    pays_from = told.pays_from_stopping_price
    if pays_from is None or pays_from > 1e6:
        return
    even = replace(told, stopping_price=pays_from)
    # each of three amounts is rounded to a hundredth
    assert abs(even.cost_now - even.cost_more) <= Decimal("0.02")


# --- messages ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"tape_mm": 60}, "error of the tape must be 0 to 50 mm, got 60 mm."),
        ({"tape_mm": -1}, "error of the tape must be 0 to 50 mm, got -1 mm."),
        ({"tape_mm": "3"}, "error of the tape must be a number in mm, got '3'."),
        ({"out_of_true_mm": float("nan")}, "walls out of true must be a finite number, got nan."),
        ({"breakage_fraction": 1}, "broken boards must be 0 to 0.5, got 1. Write 1 % as 0.01."),
        ({"miscut_fraction": 3}, "miscut pieces must be 0 to 0.5, got 3. Write 1 % as 0.01."),
    ],
)
def test_tolerances_out_of_range_are_named(wrong, message):
    with pytest.raises(ValueError) as caught:
        Tolerances(**wrong)
    assert str(caught.value) == message


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ((0, 8), "packs of boards must be a whole number from 1 to 100000, got 0."),
        ((2.5, 8), "packs of boards must be a whole number from 1 to 100000, got 2.5."),
        ((2, 0), "boards per pack must be a whole number from 1 to 100, got 0."),
        ((2, 8, -1), "boards kept for repairs must be a whole number from 0 to 1000, got -1."),
        ((2, 8, 0, -1), "packs of underlay must be a whole number from 0 to 100000, got -1."),
        ((2, 8, 0, 1, 1.5), "lengths of trim must be a whole number from 0 to 100000, got 1.5."),
    ],
)
def test_what_cannot_be_bought_is_named(wrong, message):
    with pytest.raises(ValueError) as caught:
        Bought(*wrong)
    assert str(caught.value) == message
    assert Bought(5.0, 8.0) == Bought(5, 8)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("rooms", "bought", "more", "message"),
    [
        ([], Bought(2, 8), {}, "No room has been measured anew yet: a chance needs at least one."),
        (
            [Replan(9, 9)],
            Bought(2, 8, 0, 3),
            {},
            "Packs of underlay are bought, but the rooms measured anew were counted without underlay.",
        ),
        (
            [Replan(9, 9)],
            Bought(2, 8, 0, None, 5),
            {},
            "Lengths of trim are bought, but the rooms measured anew were counted without trim.",
        ),
        ([Replan(9, 9)], Bought(2, 8), {"draws": 10}, "draws must be a whole number from 100 to 1000000, got 10."),
        ([Replan(9, 9)], Bought(2, 8), {"seed": -1}, "seed must be a whole number from 0 to 2147483648, got -1."),
    ],
)
def test_chances_that_cannot_be_drawn_say_why(rooms, bought, more, message):
    with pytest.raises(ValueError) as caught:
        chances(rooms, bought, TRADE, **more)
    assert str(caught.value) == message


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        ({"count": 0}, "rooms measured anew must be a whole number from 1 to 1000, got 0."),
        ({"seed": 1.5}, "seed must be a whole number from 0 to 2147483648, got 1.5."),
    ],
)
def test_a_wrong_count_or_seed_is_refused_before_the_first_room(plan, wrong, message):
    with pytest.raises(ValueError) as caught:
        replans(plan, TRADE, **wrong)
    assert str(caught.value) == message


@pytest.mark.parametrize(
    ("now", "more", "prices", "message"),
    [
        (30, 0, (40, 60), "chance with what is bought must be 0 to 1, got 30. Write 3 % as 0.03."),
        (0.3, -0.1, (40, 60), "chance with one pack more must be 0 to 1, got -0.1. Write 3 % as 0.03."),
        (
            0.1,
            0.3,
            (40, 60),
            "chance with one pack more must be at most the chance with what is bought, got 0.3 and 0.1. Swap the two.",
        ),
        (0.3, 0.1, (-1, 60), "price of a pack must be 0 to 100000, got -1."),
        (0.3, 0.1, (40, -60), "price of stopping must be 0 to 1000000, got -60."),
    ],
)
def test_a_pack_more_that_cannot_be_weighed_says_why(now, more, prices, message):
    with pytest.raises(ValueError) as caught:
        worth_another_pack(now, more, pack_price=prices[0], stopping_price=prices[1])
    assert str(caught.value) == message


def test_rooms_measured_anew_are_rooms(plan):
    for name in ("box_room", "back_bedroom", "hall", "sitting_room", "kitchen_diner"):
        for room in anew(demo_room(name), FIRST_TIMER, 20):
            assert shapely.is_valid(room.polygon)
