"""The chain bound: exact for equal rows without the offset rule."""

from __future__ import annotations

import itertools
import json
import random
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flooring_kit.setting_out.chains import (
    RowLength,
    allowed_first_joints,
    components,
    fewest_board_components,
    fewest_extra_boards,
    finisher_t,
    highest_allowed,
    taken_apart,
)
from flooring_kit.setting_out.sharing import most_shared, pair_up

RECTANGLES = json.loads((Path(__file__).parent / "reference" / "rectangles.json").read_text())


@pytest.mark.parametrize("floor", RECTANGLES, ids=lambda floor: f"floor {floor['seed']}")
def test_the_chain_bound_is_the_proved_fewest_of_every_reference_floor(floor):
    # Source: the kit's reference floors, each proved by an exact solver given whole millimetres.
    board_t = floor["board_length_mm"] * 10
    row = taken_apart(floor["run_mm"] * 10, board_t)
    extra = fewest_extra_boards(row, board_t, floor["kerf_mm"] * 10, floor["min_piece_mm"] * 10, floor["rows"])
    assert floor["rows"] * row.whole + extra == floor["lb_chain"] == floor["optimal_boards"]


def test_the_worked_example_needs_nine_boards():
    # Hand sum: R 4000, L 1800, kerf 3, four rows: 2 whole boards a row; starters 1800 1397 994 591 and
    # finishers 400 803 1206 1609 make 12 pieces, 3 boards shared.
    row = taken_apart(40_000, 18_000)
    extra = fewest_extra_boards(row, 18_000, 30, 3_000, 4)
    parts = fewest_board_components(row, 18_000, 30, 3_000, 4, random.Random(0))
    assert (row.whole, row.rest, extra) == (2, 4_000, 1)
    assert [part.first_joints_t for part in parts] == [(18_000, 13_970, 9_940, 5_910)]


def test_a_row_with_no_allowed_joint_is_refused():
    with pytest.raises(ValueError) as caught:
        fewest_extra_boards(RowLength(0, 5_000), 18_000, 30, 3_000, 4)
    assert str(caught.value) == "Rows of one piece, or with no allowed first joint, have no chain of offcuts."


@pytest.mark.parametrize(
    ("length", "zones"),
    [
        (40_000, ((4_000, 18_000),)),  # rest 4000 < 2 x 3000: no two cut ends in one board's worth
        (44_000, ((3_000, 5_000), (8_000, 18_000))),  # rest 8000: 3000..5000 low, 8000..18000 high
        (37_000, ((3_000, 16_000),)),  # rest 1000 < 3000: both ends cut, 18000 + 1000 - 3000
        (36_000, ((3_000, 15_000), (18_000, 18_000))),  # rest = L: whole boards, or 3000 off either end
        (17_000, ()),  # one piece
    ],
)
def test_allowed_first_joints_by_hand(length, zones):
    assert allowed_first_joints(taken_apart(length, 18_000), 18_000, 3_000) == zones


rows = st.tuples(st.integers(1, 3), st.integers(1, 40), st.integers(40, 60), st.integers(0, 4), st.integers(0, 14))


@given(rows)
def test_allowed_joints_leave_both_end_pieces_long_enough_and_no_other_joint_does(case):
    whole, rest, board, _, shortest = case
    row = RowLength(whole, rest)
    zones = allowed_first_joints(row, board, shortest)
    for first in range(1, board + 1):
        ends = (first, finisher_t(row, first, board))
        fits = all(end >= max(shortest, 1) for end in ends)
        assert fits == any(low <= first <= high for low, high in zones)


def boards_of(row: RowLength, joints: tuple[int, ...], board: int, spacing: int) -> int:
    """Boards by counting pieces one by one: whole boards, then cut pieces less the most that share."""
    count = 0
    starters, finishers = [], []
    for first in joints:
        length = row.whole * board + row.rest
        pieces = [first]
        while sum(pieces) < length:
            pieces.append(min(board, length - sum(pieces)))
        count += sum(piece == board for piece in pieces)
        if pieces[0] < board:
            starters.append(pieces[0])
        if pieces[-1] < board:
            finishers.append(pieces[-1])
    best = max(
        sum(a + b + spacing <= board for a, b in zip(chosen, finishers, strict=False))
        for chosen in itertools.permutations(starters + [board] * len(finishers), len(finishers))
    )
    return count + len(starters) + len(finishers) - best


@pytest.mark.parametrize(
    ("whole", "rest", "board", "spacing", "shortest"),
    [(1, 3, 10, 1, 2), (1, 5, 11, 1, 2), (2, 1, 9, 1, 3), (1, 9, 9, 0, 2), (1, 7, 12, 0, 3), (1, 6, 13, 2, 2)],
)
@pytest.mark.parametrize("count", [1, 2, 3])
def test_the_chain_bound_equals_trying_every_set_of_joints(whole, rest, board, spacing, shortest, count):
    row = RowLength(whole, rest)
    zones = allowed_first_joints(row, board, shortest)
    allowed = [a for low, high in zones for a in range(low, high + 1)]
    fewest = min(
        boards_of(row, joints, board, spacing) for joints in itertools.combinations_with_replacement(allowed, count)
    )
    extra = fewest_extra_boards(row, board, spacing, shortest, count)
    assert count * whole + extra == fewest


@given(rows, st.integers(1, 9), st.integers(0, 5))
def test_every_set_of_components_drawn_reaches_the_bound_it_proves(case, count, seed):
    whole, rest, board, spacing, shortest = case
    row = RowLength(whole, rest)
    if not allowed_first_joints(row, board, shortest):
        return
    extra = fewest_extra_boards(row, board, spacing, shortest, count)
    parts = fewest_board_components(row, board, spacing, shortest, count, random.Random(seed))
    assert sum(part.boards for part in parts) <= extra
    joints = [joint for part in parts for joint in part.first_joints_t][:count]
    assert len(joints) == count
    starters = [a for a in joints if a < board]
    finishers = [finisher_t(row, a, board) for a in joints if a != row.rest]
    finishers = [e for e in finishers if e < board]
    pieces = sum(whole + 1 + (a < rest) for a in joints)
    assert pieces - most_shared(starters, finishers, board - spacing) <= count * whole + extra


@given(rows, st.integers(1, 12))
def test_more_boards_never_cover_fewer_rows(case, count):
    whole, rest, board, spacing, shortest = case
    for closed in (True, False):
        found = [c for c in components(RowLength(whole, rest), board, spacing, shortest, count) if c.closed is closed]
        assert [c.boards for c in found] == sorted({c.boards for c in found})
        assert [len(c.first_joints_t) for c in found] == sorted({len(c.first_joints_t) for c in found})


def test_highest_allowed_stops_at_the_zone_below():
    assert highest_allowed(((3, 5), (8, 18)), 7) == 5
    assert highest_allowed(((3, 5), (8, 18)), 12) == 12
    assert highest_allowed(((3, 5), (8, 18)), 2) is None


@given(st.lists(st.integers(1, 30), max_size=6), st.lists(st.integers(1, 30), max_size=6), st.integers(5, 40))
def test_no_pairing_shares_more_boards_than_counted(starters, finishers, fit):
    short, long = sorted((starters, finishers), key=len)
    best = max(
        (
            sum(a + b <= fit for a, b in zip(short, chosen, strict=True))
            for chosen in itertools.permutations(long, len(short))
        ),
        default=0,
    )
    assert most_shared(starters, finishers, fit) == best
    pairs = pair_up(starters, finishers, fit)
    assert len(pairs) == best
    assert all(starters[i] + finishers[j] <= fit for i, j in pairs)
    assert len({i for i, _ in pairs}) == len({j for _, j in pairs}) == best
