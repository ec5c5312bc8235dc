"""Order lines: counted from a plan whose figures are known by hand, and said in exact words."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flooring_kit.choices import Buying
from flooring_kit.products import Board, Trim, Underlay
from flooring_kit.room import Door, Room
from flooring_kit.rules import LayingRules
from flooring_kit.setting_out import set_out
from flooring_kit.takeoff import BoardOrder, UnderlayOrder, take_off

# The worked example of rows of 4000 mm from boards of 1800 mm: four rows, 12 pieces of which 3 share a board,
# 9 boards, and no fewer are possible: 8 + ceil(4 x 403 / 1803). With a gap of 10 the room is 4020 x 792.
PLANK = Board("Plank", 1800, 193, 8, 8)
FOAM = Underlay("Foam", "foam", 2, 1.5)
SCOTIA = Trim("Scotia", 18, 18, 2400)
STORE = Room("Store", ((0, 0), (4020, 0), (4020, 792), (0, 792)))
NET_M2 = 4.000 * 0.772
PLANK_M2 = 1.8 * 0.193


@pytest.fixture(scope="module")
def plan():
    return set_out(STORE, PLANK, rules=LayingRules(offcut_margin_mm=0))


def counted(plan, *, trim=SCOTIA, underlay=FOAM, **buying):
    return take_off(plan, underlay, trim, buying=Buying(**buying))


# --- boards -----------------------------------------------------------------------------------------------


def test_the_worked_example_is_ordered_to_the_board(plan):
    # 2 % of 9 is under a board, two at least: 11 boards, 2 packs of 8, 5 over
    order = counted(plan).boards
    assert order == BoardOrder(9, 9, 2, 0, 2, 8)
    assert (order.boards, order.boards_over) == (11, 5)
    assert (
        order.sentence() == "11 boards: 9 in the plan, fewest possible 9, 2 for miscuts; 2 packs of 8, 5 boards over."
    )


def test_boards_kept_for_repairs_are_bought_and_named_apart(plan):
    # 9 + 2 + 6 = 17: 3 packs of 8, 7 over
    assert counted(plan, kept_for_repairs=6).boards.sentence() == (
        "17 boards: 9 in the plan, fewest possible 9, 2 for miscuts, 6 for repairs; 3 packs of 8, 7 boards over."
    )


def test_a_larger_share_for_miscuts_replaces_the_least(plan):
    # half of 9 is 4.5, up to 5: 14 boards, 2 packs, 2 over
    assert counted(plan, miscut_fraction=0.5).boards == BoardOrder(9, 9, 5, 0, 2, 8)


def test_the_least_for_miscuts_is_the_one_chosen(plan):
    # 9 + 5 = 14: 2 packs of 8
    assert counted(plan, least_miscuts=5).boards == BoardOrder(9, 9, 5, 0, 2, 8)


def test_the_fewest_possible_is_the_proof_and_not_the_plan(plan):
    assert counted(replace(plan, boards_needed=10)).boards == BoardOrder(10, 9, 2, 0, 2, 8)


@pytest.mark.parametrize(
    ("order", "sentence"),
    [
        (
            BoardOrder(27, 27, 2, 0, 4, 8),
            "29 boards: 27 in the plan, fewest possible 27, 2 for miscuts; 4 packs of 8, 3 boards over.",
        ),
        (
            BoardOrder(27, 26, 2, 2, 4, 8),
            "31 boards: 27 in the plan, fewest possible 26, 2 for miscuts, 2 for repairs; 4 packs of 8, 1 board over.",
        ),
        (
            BoardOrder(6, 6, 2, 0, 1, 8),
            "8 boards: 6 in the plan, fewest possible 6, 2 for miscuts; 1 pack of 8, 0 boards over.",
        ),
        (
            BoardOrder(6, 6, 0, 1, 1, 8),
            "7 boards: 6 in the plan, fewest possible 6, 0 for miscuts, 1 for repairs; 1 pack of 8, 1 board over.",
        ),
        (
            BoardOrder(1, 1, 0, 0, 1, 1),
            "1 board: 1 in the plan, fewest possible 1, 0 for miscuts; 1 pack of 1, 0 boards over.",
        ),
    ],
)
def test_the_order_line_reads_in_packs_and_boards(order, sentence):
    assert order.sentence() == sentence


def test_numbers_typed_as_floats_are_said_as_whole_boards():
    plan = set_out(STORE, replace(PLANK, boards_per_pack=8.0), rules=LayingRules(offcut_margin_mm=0))
    order = counted(plan, least_miscuts=2.0, kept_for_repairs=0.0).boards
    assert (
        order.sentence() == "11 boards: 9 in the plan, fewest possible 9, 2 for miscuts; 2 packs of 8, 5 boards over."
    )


@given(st.integers(0, 500), st.integers(0, 20), st.integers(0, 20), st.integers(1, 20))
def test_what_is_over_is_less_than_a_pack(in_plan, miscuts, repairs, in_pack):
    packs = -(-(in_plan + miscuts + repairs) // in_pack)
    order = BoardOrder(in_plan, in_plan, miscuts, repairs, packs, in_pack)
    assert 0 <= order.boards_over < in_pack
    assert order.boards + order.boards_over == packs * in_pack


# --- underlay ---------------------------------------------------------------------------------------------


def test_underlay_covers_the_net_floor(plan):
    # 4.000 x 0.772 = 3.088 m² from packs of 1.5: 3 packs, 1.412 over
    order = counted(plan).underlay
    assert (order.packs, order.pack_area_m2) == (3, 1.5)
    assert order.area_m2 == pytest.approx(3.088, abs=1e-9)
    assert order.over_m2 == pytest.approx(1.412, abs=1e-9)
    assert order.sentence() == "3 packs of 1.5 m² for 3.09 m² of floor, 1.41 m² over."


def test_a_spare_is_added_to_the_area_of_underlay(plan):
    # 3.088 x 1.5 = 4.632: 4 packs
    order = counted(plan, underlay_spare_fraction=0.5).underlay
    assert order.packs == 4
    assert order.area_m2 == pytest.approx(4.632, abs=1e-9)


@pytest.mark.parametrize(
    ("order", "sentence"),
    [
        (UnderlayOrder(6.54, 1, 7.5), "1 pack of 7.5 m² for 6.54 m² of floor, 0.96 m² over."),
        (UnderlayOrder(15.0, 2, 7.5), "2 packs of 7.5 m² for 15.00 m² of floor, 0.00 m² over."),
        (
            UnderlayOrder(6.2, 2, 8.25),
            "2 packs of 8.25 m² for 6.20 m² of floor, 10.30 m² over. Laid in strips it takes 1 pack more than by its "
            "area.",
        ),
    ],
)
def test_the_underlay_line_reads_in_packs_and_square_metres(order, sentence):
    assert order.sentence() == sentence


def test_nothing_over_is_never_said_to_be_less_than_nothing():
    # 7.5 / 1.1 with a tenth more is 7.500000000000001: one pack of 7.5, and dust below nothing over
    order = UnderlayOrder(7.5 / 1.1 * 1.1 + 1e-12, 1, 7.5)
    assert order.sentence() == "1 pack of 7.5 m² for 7.50 m² of floor, 0.00 m² over."


# --- where the area goes ----------------------------------------------------------------------------------


def test_the_waste_of_the_worked_example_adds_up_to_two_packs(plan):
    waste = counted(plan).waste
    assert waste.net_area_m2 == pytest.approx(NET_M2, abs=1e-9)
    assert waste.cutting_loss_m2 == pytest.approx(9 * PLANK_M2 - NET_M2, abs=1e-9)  # 0.0386
    assert waste.spares_m2 == pytest.approx(2 * PLANK_M2, abs=1e-9)
    assert waste.pack_rounding_m2 == pytest.approx(5 * PLANK_M2, abs=1e-9)
    assert waste.bought_m2 == pytest.approx(16 * PLANK_M2, abs=1e-9)


def test_boards_kept_for_repairs_count_as_spares(plan):
    waste = counted(plan, kept_for_repairs=6).waste
    assert waste.spares_m2 == pytest.approx(8 * PLANK_M2, abs=1e-9)
    assert waste.bought_m2 == pytest.approx(24 * PLANK_M2, abs=1e-9)


@given(miscuts=st.floats(0, 0.5), least=st.integers(0, 30), repairs=st.integers(0, 30), spare=st.floats(0, 0.5))
def test_the_waste_always_adds_up_to_what_is_bought(plan, miscuts, least, repairs, spare):
    made = counted(
        plan,
        miscut_fraction=miscuts,
        least_miscuts=least,
        kept_for_repairs=repairs,
        underlay_spare_fraction=spare,
    )
    assert made.waste.bought_m2 == pytest.approx(made.boards.packs * 8 * PLANK_M2, abs=1e-9)
    assert made.underlay.over_m2 > -1e-5
    assert made.underlay.over_m2 < FOAM.pack_area_m2


# --- trim -------------------------------------------------------------------------------------------------


def test_trim_goes_round_the_room_in_stock_lengths(plan):
    # 2 x (4020 + 792) = 9624 mm. Each long wall is 2400 and 1620; beside 1620 a saw cut leaves 777, too short for 792,
    # so the two short walls share a fifth length.
    made = counted(plan)
    assert made.trim_m == pytest.approx(9.624, abs=1e-9)
    assert made.trim_lengths == 5


def test_trim_of_whole_walls_takes_one_length_each(plan):
    # Lengths of 4020: a long wall each, and 792 + 3 + 792 from a third.
    assert counted(plan, trim=replace(SCOTIA, length_mm=4020)).trim_lengths == 3


def test_a_door_leaves_less_trim_but_not_always_a_length_less(plan):
    # 9624 - 904 = 8720. Pieces 929 and 2187 beside the door, 792, 2400 and 1620, 792, and two returns of 18: of 929,
    # 792 and 792 only two fit on one length, and none beside 1620 or 2187.
    made = counted(replace(plan, room=replace(STORE, doors=(Door(1, 1000, 762),))))
    assert made.trim_m == pytest.approx(8.720, abs=1e-9)
    assert made.trim_lengths == 5
    assert made.trim_cut.proved


def test_no_lengths_are_counted_where_no_trim_is_chosen(plan):
    made = counted(plan, trim=None)
    assert made.trim_lengths is None
    assert made.trim_m == pytest.approx(9.624, abs=1e-9)
