"""Packs, spares and where the board area goes."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flooring_kit.checks import DUST
from flooring_kit.wastage import WasteSplit, packs_for_area, packs_for_pieces, spare_boards, waste_split

SQUARE_FOOT_M2 = 0.09290304  # T11

# --- packs ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("area_m2", "pack_m2", "spare", "expected"),
    [
        (5 * 4, 1.243, 0.10, 18),  # Q16: 22 m², 17.70 packs
        (10 * 12 * SQUARE_FOOT_M2, 24 * SQUARE_FOOT_M2, 0.10, 6),  # Q17: 132 sq ft, 5.5 boxes
        (500 * SQUARE_FOOT_M2, 200 * SQUARE_FOOT_M2, 0.0, 3),  # Q18: underlay without waste, 2.5 rolls
        (500 * SQUARE_FOOT_M2, 175 * SQUARE_FOOT_M2, 0.0, 3),  # Q18: adhesive, 2.86 tubs
        (6 * 2.13072, 2.13072, 0.0, 6),
        (6.000000001 * 2, 2.0, 0.0, 6),  # Q19
        (6.001 * 2, 2.0, 0.0, 7),
        (0.3, 0.1, 0.0, 3),  # 0.3 / 0.1 = 2.9999999999999996
        (3 * 0.1, 0.1, 0.0, 3),  # 3 * 0.1 / 0.1 = 3.0000000000000004
        (0.0, 1.243, 0.10, 0),
        (0.001, 1.243, 0.0, 1),
    ],
)
def test_packs_are_whole_and_cover_the_area_and_the_spare(area_m2, pack_m2, spare, expected):
    assert packs_for_area(area_m2, pack_m2, spare_fraction=spare) == expected


@given(st.floats(0.01, 500), st.floats(0.1, 200), st.floats(0, 0.5))
def test_one_pack_fewer_would_not_cover(area_m2, pack_m2, spare):
    packs = packs_for_area(area_m2, pack_m2, spare_fraction=spare)
    need = Fraction(area_m2) * (1 + Fraction(spare))
    # slack: the dust that is not allowed to buy a pack
    assert packs * Fraction(pack_m2) >= need * (1 - Fraction(DUST)) - Fraction(DUST * pack_m2)
    assert (packs - 1) * Fraction(pack_m2) < need


@given(st.integers(0, 5000), st.integers(1, 2000))
def test_an_area_of_whole_packs_takes_just_those(packs, thousandths):
    pack_m2 = thousandths / 1000
    assert packs_for_area(packs * pack_m2, pack_m2) == packs


@given(st.floats(0, 500), st.floats(0, 500), st.floats(0.1, 20))
def test_more_floor_never_takes_fewer_packs(one, other, pack_m2):
    less, more = sorted((one, other))
    assert packs_for_area(less, pack_m2) <= packs_for_area(more, pack_m2)


@pytest.mark.parametrize(
    ("args", "spare", "message"),
    [
        ((-1, 2), 0, "net area must be 0 to 100000 m², got -1 m²."),
        ((float("nan"), 2), 0, "net area must be a finite number, got nan."),
        ((20, 0), 0, "pack area must be 0.001 to 1000 m², got 0 m²."),
        ((20, 2), 8, "spare must be 0 to 0.5, got 8. Write 8 % as 0.08."),
        (("20", 2), 0, "net area must be a number in m², got '20'."),
    ],
)
def test_a_wrong_area_is_refused(args, spare, message):
    with pytest.raises(ValueError) as refusal:
        packs_for_area(*args, spare_fraction=spare)
    assert str(refusal.value) == message


@pytest.mark.parametrize(("boards", "expected"), [(0, 0), (1, 1), (8, 1), (9, 2), (29, 4), (32, 4), (33, 5)])
def test_packs_of_eight_hold_the_boards(boards, expected):
    assert packs_for_pieces(boards, 8) == expected


@given(st.integers(0, 10_000_000), st.integers(1, 1000))
def test_packs_hold_the_boards_and_one_fewer_would_not(boards, in_pack):
    packs = packs_for_pieces(boards, in_pack)
    assert type(packs) is int
    assert packs * in_pack >= boards
    assert (packs - 1) * in_pack < boards


def test_boards_counted_in_floats_still_give_a_whole_number_of_packs():
    packs = packs_for_pieces(29.0, 8.0)
    assert (packs, type(packs)) == (4, int)


@pytest.mark.parametrize(
    ("args", "message"),
    [
        ((-1, 8), "boards must be a whole number from 0 to 10000000, got -1."),
        ((2.5, 8), "boards must be a whole number from 0 to 10000000, got 2.5."),
        ((10, 0), "boards per pack must be a whole number from 1 to 1000, got 0."),
        ((10, True), "boards per pack must be a number, got true."),
    ],
)
def test_a_wrong_number_of_boards_is_refused(args, message):
    with pytest.raises(ValueError) as refusal:
        packs_for_pieces(*args)
    assert str(refusal.value) == message


# --- spares -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("boards", "fraction", "least", "expected"),
    [
        (27, 0.02, 2, 2),  # 0.54 up to 1, and two at least
        (100, 0.02, 2, 2),  # 2 % of 100, no board for float dust
        (101, 0.02, 2, 3),  # 2.02
        (150, 0.02, 2, 3),  # 3.0000000000000004 in floats
        (240, 0.05, 2, 12),
        (240, 0.05, 20, 20),
        (27, 0.0, 0, 0),
        (0, 0.05, 2, 2),
    ],
)
def test_spares_are_a_share_rounded_up_and_a_few_at_least(boards, fraction, least, expected):
    assert spare_boards(boards, miscut_fraction=fraction, least=least) == expected


@given(st.integers(0, 100_000), st.integers(0, 50), st.integers(0, 100))
def test_spares_are_the_least_whole_number_that_holds_share_and_minimum(boards, percent, least):
    # whole per cents, so that the share is an exact fraction: -(-n // 100) rounds up
    expected = max(least, -(-boards * percent // 100))
    spares = spare_boards(boards, miscut_fraction=percent / 100, least=least)
    assert (spares, type(spares)) == (expected, int)


def test_a_least_given_as_a_float_still_gives_whole_boards():
    spares = spare_boards(27, miscut_fraction=0.02, least=2.0)
    assert (spares, type(spares)) == (2, int)


@pytest.mark.parametrize(
    ("boards", "fraction", "least", "message"),
    [
        (-1, 0.02, 2, "boards must be a whole number from 0 to 10000000, got -1."),
        (27, 2, 2, "miscuts must be 0 to 0.5, got 2. Write 2 % as 0.02."),
        (27, 0.02, 101, "least spare boards must be a whole number from 0 to 100, got 101."),
    ],
)
def test_wrong_spares_are_refused(boards, fraction, least, message):
    with pytest.raises(ValueError) as refusal:
        spare_boards(boards, miscut_fraction=fraction, least=least)
    assert str(refusal.value) == message


# --- where it goes ----------------------------------------------------------------------------------------


def test_the_box_room_bought_is_floor_cutting_loss_spares_and_pack_rounding():
    # 6.5372 m² of floor; 27 boards in the plan, 2 spare, 4 packs of 8 leave 3; a board is 0.26634 m²
    split = waste_split(6.5372, 0.26634, boards_needed=27, spares=2, boards_over=3)
    assert split.cutting_loss_m2 == pytest.approx(27 * 0.26634 - 6.5372, abs=1e-12)
    assert split.spares_m2 == pytest.approx(0.53268, abs=1e-12)
    assert split.pack_rounding_m2 == pytest.approx(0.79902, abs=1e-12)
    assert split.bought_m2 == pytest.approx(32 * 0.26634, abs=1e-12)


@given(st.floats(0.1, 1000), st.floats(0.008, 3), st.integers(1, 5000), st.integers(0, 500), st.integers(0, 100))
def test_the_four_parts_add_up_to_what_is_bought(net_m2, board_m2, boards, spares, over):
    split = waste_split(net_m2, board_m2, boards_needed=boards, spares=spares, boards_over=over)
    assert split.net_area_m2 == net_m2
    assert split.bought_m2 == pytest.approx((boards + spares + over) * board_m2, rel=1e-12)


def test_a_part_is_told_as_a_fraction_of_the_floor():
    split = WasteSplit(net_area_m2=20.0, cutting_loss_m2=1.0, spares_m2=0.5, pack_rounding_m2=2.5)
    assert split.fraction(split.cutting_loss_m2) == 0.05
    assert split.fraction(split.bought_m2 - split.net_area_m2) == pytest.approx(0.2, abs=1e-15)
