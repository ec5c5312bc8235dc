"""A floor half laid planned on: what offcuts save, what stays as it lies, and the referee on what is new."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from days import half_laid, mishap, next_piece
from floors import DEMO_ROOMS, demo_boards, demo_room, random_floors, rectangle
from hypothesis import given
from hypothesis import strategies as st
from referee import broken_rules, referee, undeclared
from scipy.sparse import csr_matrix
from scipy.sparse.csgraph import maximum_bipartite_matching

import flooring_kit as fk
from flooring_kit import as_laid
from flooring_kit.day_entries import BoardDamaged, InHand, RowLaid
from flooring_kit.setting_out.from_here import from_here, from_record, record_of
from flooring_kit.setting_out.sharing import Offcuts, most_saved

lengths = st.lists(st.integers(1, 30), max_size=6)


@given(lengths, lengths, lengths, lengths, st.integers(5, 40))
def test_ends_saved_are_as_many_as_the_best_matching_of_offcuts_and_partners(starters, finishers, for_s, for_f, fit):
    # An end is saved by an offcut that keeps the end it needs, or by a partner on one board. Two offcuts save nothing
    # together. The most of such pairs is a maximum matching, taken here from scipy.
    left = [*starters, *(None for _ in for_f)]
    right = [*finishers, *(None for _ in for_s)]
    edges = np.zeros((len(left) + 1, len(right) + 1), dtype=int)
    for i, s in enumerate(left):
        for j, f in enumerate(right):
            if s is not None and f is not None:
                edges[i, j] = s + f <= fit
            elif s is not None:
                edges[i, j] = s <= for_s[j - len(finishers)]
            elif f is not None:
                edges[i, j] = f <= for_f[i - len(starters)]
    most = int((maximum_bipartite_matching(csr_matrix(edges)) >= 0).sum())
    assert most_saved(starters, finishers, [], fit, Offcuts(tuple(for_s), tuple(for_f))) == most


@given(lengths, lengths, lengths, lengths, st.integers(5, 40))
def test_loose_pieces_are_never_counted_twice(starters, finishers, loose, for_s, fit):
    saved = most_saved(starters, finishers, loose, fit, Offcuts(tuple(for_s)))
    ends = most_saved(starters, finishers, [], fit, Offcuts(tuple(for_s)))
    assert ends <= saved <= ends + len(loose)
    assert saved <= len(starters) + len(finishers) + len(loose)


# ---------------------------------------------------------------------- floors half laid


@cache
def settled() -> list[fk.Plan]:
    plank = demo_boards()["Oak plank 1380 x 193"]
    floors = [(demo_room(name), plank) for name in DEMO_ROOMS]
    floors += [(room, board) for _, room, board in random_floors(6, seed=404)]
    return [fk.set_out(room, board, search=fk.Search(quick=True)) for room, board in floors]


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("floor", range(11), ids=lambda floor: settled()[floor].room.name)
def test_after_any_mishap_the_rest_is_planned_without_a_fault_and_what_lies_stays(floor, seed):
    plan = settled()[floor]
    entries = mishap(plan, seed=100 * floor + seed)
    day = as_laid.as_laid(plan, entries)
    anew = as_laid.replan(day)
    # the referee, on the whole floor: tiling, factory ends, pieces apart on their boards, boards counted
    assert referee(anew.plan, plan.room, plan.board, plan.rules) == []
    assert undeclared(anew.plan, plan.room, plan.board, plan.rules) == []
    # what is laid is sawn as it was
    columns = ["piece", "board", "along_mm", "across_mm", "length_mm", "width_mm"]
    for one, other in zip(
        *(p.pieces[p.pieces["piece"].isin(day.laid)][columns].to_numpy().tolist() for p in (plan, anew.plan)),
        strict=True,
    ):
        assert one == other
    # nothing is sawn from what is spoiled, and the plan is taken on by the log as it is
    after = as_laid.as_laid(plan, [*entries, anew.entry()])
    assert after.homeless == ()
    assert after.plan.pieces[columns].equals(anew.plan.pieces[columns])
    # one board spoiled costs one board at most, and no offset more is broken than before
    assert anew.boards_more <= 1
    assert offsets_broken(anew.plan) <= offsets_broken(plan)


def offsets_broken(plan: fk.Plan) -> int:
    return sum(b.rule == "joint offset" for b in broken_rules(plan, plan.room, plan.board, plan.rules))


def test_a_floor_at_its_bound_needs_just_one_board_more_for_one_spoiled_before_it_is_sawn():
    # No plan of these rows has fewer boards than the bound; the spoiled board gives nothing; so bound + 1 is the least.
    for plan in settled():
        if not plan.proved_fewest:
            continue
        entries = half_laid(plan)
        day = as_laid.as_laid(plan, entries)
        fresh = plan.pieces[~plan.pieces["piece"].isin(day.laid) & ~plan.pieces["board"].isin(day.gone)]
        entries.append(BoardDamaged(fresh["piece"].iloc[0]))
        assert as_laid.replan(as_laid.as_laid(plan, entries)).boards_in_all == plan.boards_bound + 1


def test_with_nothing_spoiled_nothing_changes():
    for plan in settled():
        day = as_laid.as_laid(plan, half_laid(plan))
        anew = as_laid.replan(day)
        assert anew.boards_in_all <= plan.boards_needed
        if anew.boards_in_all == plan.boards_needed:
            assert anew.changes.empty
            assert anew.plan.pieces["board"].tolist() == plan.pieces["board"].tolist()


def test_the_same_day_gives_the_same_plan_twice():
    plan = settled()[3]
    day = as_laid.as_laid(plan, mishap(plan, seed=5))
    one, other = as_laid.replan(day), as_laid.replan(day)
    assert one.plan.pieces.drop(columns="shape").equals(other.plan.pieces.drop(columns="shape"))


def test_a_plan_recorded_is_the_same_plan_again():
    for plan in settled():
        again = from_record(plan, record_of(plan))
        assert again.pieces.drop(columns="shape").equals(plan.pieces.drop(columns="shape"))
        assert again.boards_needed == plan.boards_needed


def test_the_record_of_another_room_is_refused():
    record = record_of(settled()[0])
    with pytest.raises(ValueError) as told:
        from_record(settled()[1], record)
    assert str(told.value) == "the plan recorded does not fit this room, board and rules: it is of another job."


def test_a_plan_that_is_not_one_first_joint_and_whole_boards_a_run_is_refused():
    plan = settled()[0]
    odd = replace(plan, pieces=plan.pieces.iloc[:-1], joined=plan.joined.iloc[:-1])
    day = as_laid.Day(odd, odd)
    with pytest.raises(ValueError) as told:
        as_laid.replan(day)
    assert str(told.value) == (
        "this plan can't be taken up: a row of it is not one first joint and whole boards. "
        "Set the floor out anew and begin from that plan."
    )


def test_a_limit_on_offcuts_waiting_holds_for_boards_opened_from_here_on():
    room, board = demo_room("back_bedroom"), demo_boards()["Oak plank 1380 x 193"]
    plan = fk.set_out(room, board, rules=fk.LayingRules(most_offcuts_waiting=2), search=fk.Search(quick=True))
    day = as_laid.as_laid(plan, [RowLaid(1), RowLaid(2), BoardDamaged("3a")])
    anew = as_laid.replan(day)
    ledger = fk.offcut_ledger(anew.plan)
    assert fk.most_waiting(ledger[~ledger["board"].isin(day.gone)]) <= 2
    assert referee(anew.plan, room, board, plan.rules) == []


# ---------------------------------------------------------------------- stock in hand


def test_a_starter_comes_only_from_an_offcut_that_keeps_the_end_starters_need():
    # A row of 2000 from boards of 1500: two pieces, a starter and a finisher. In the floor starters keep the end away
    # from the row's start, here the groove end (Board.end_locks), finishers the tongue end.
    board = fk.Board("plank", 1500, 200, 8, 8)
    plan = fk.set_out(rectangle(2020, 420), board, rules=fk.LayingRules(offcut_margin_mm=0))
    assert board.end_locks == ("tongue", "groove")
    for keeps, side in (("groove end", "right"), ("tongue end", "left")):
        found = as_laid.plan_from_stock(plan, [InHand(1200, keeps)])
        pieces = found.used["pieces"].iloc[0].split(", ")
        at = found.plan.pieces["piece"].isin(pieces)
        assert found.plan.joined[side][at].all()
        assert referee(found.plan, plan.room, board, plan.rules) == []


def test_an_offcut_with_neither_end_is_of_no_use_to_rows_of_two_pieces():
    plan = fk.set_out(rectangle(2020, 420), fk.Board("plank", 1500, 200, 8, 8))
    found = as_laid.plan_from_stock(plan, [InHand(1200, "neither end")])
    assert found.left == ("offcut of 1200 mm, neither end",)
    assert found.boards_saved == 0


def test_whole_boards_owned_are_boards_not_bought():
    plan = fk.set_out(
        rectangle(4020, 792), fk.Board("plank", 1800, 193, 8, 8), rules=fk.LayingRules(offcut_margin_mm=0)
    )
    assert plan.boards_needed == 9  # setting-out.md's worked example: four rows of 4000 from boards of 1800
    found = as_laid.plan_from_stock(plan, [InHand(1800, count=3)])
    assert (found.boards_to_buy, found.boards_saved, found.whole_used) == (6, 3, 3)
    assert as_laid.plan_from_stock(plan, [InHand(1800, count=12)]).boards_to_buy == 0


@pytest.mark.parametrize("floor", range(11), ids=lambda floor: settled()[floor].room.name)
def test_pieces_from_stock_fit_what_is_in_hand(floor):
    plan = settled()[floor]
    length = plan.board.length_mm
    stock = [
        InHand(round(length * share), keeps) for share in (0.4, 0.6, 0.8) for keeps in ("groove end", "tongue end")
    ]
    stock += [InHand(round(length * 0.85), "both ends", count=2)]
    found = as_laid.plan_from_stock(plan, stock)
    assert referee(found.plan, plan.room, plan.board, plan.rules) == []
    assert found.boards_saved >= 1
    held = {one.board: one.what for one in as_laid.as_laid(plan, stock).held}
    table, joined = found.plan.pieces, found.plan.joined
    spacing, margin = plan.rules.spacing_mm, plan.rules.offcut_margin_mm
    for board, what in held.items():
        on = table["board"] == board
        cut = table[on]
        full_width = cut[cut["width_mm"] > plan.board.width_mm / 2]  # such pieces can't lie side by side
        usable = what.length_mm - (0 if what.keeps_end == "both ends" else margin)
        assert full_width["length_mm"].sum() + spacing * (len(full_width) - 1) <= usable + 1e-6 or full_width.empty
        assert (cut["length_mm"] <= usable + 1e-6).all()
        if what.keeps_end == "groove end":
            assert not joined["left"][on].any()
        if what.keeps_end == "tongue end":
            assert not joined["right"][on].any()


def test_stock_longer_than_the_board_is_refused():
    plan = fk.set_out(rectangle(2020, 420), fk.Board("plank", 1500, 200, 8, 8), search=fk.Search(quick=True))
    with pytest.raises(ValueError) as told:
        as_laid.plan_from_stock(plan, [InHand(1800)])
    assert str(told.value) == (
        "entry 1 (in hand): a board or offcut in hand must be at most as long as the plan's board, 1500 mm, got "
        "1800 mm. Where you have two lengths, plan with the longer one and put the shorter in hand."
    )


def test_stock_says_what_need_not_be_bought():
    plan = fk.set_out(
        rectangle(4020, 792), fk.Board("plank", 1800, 193, 8, 8), rules=fk.LayingRules(offcut_margin_mm=0)
    )
    told = as_laid.plan_from_stock(plan, [InHand(1800, count=2)]).sentence()
    assert told == (
        "7 boards to buy, 2 fewer than without what is in hand: 2 whole boards and 0 shorter lengths of it used."
    )


def test_a_drift_ahead_keeps_rules_and_spacings_by_so_much_more():
    plan = settled()[0]
    day = as_laid.as_laid(plan, half_laid(plan))
    drifted = from_here(plan, day.laid, day.at_hand, drift_mm=15)
    stricter = fk.LayingRules(joint_offset_mm=315, shortest_piece_mm=315, offcut_margin_mm=25)
    first = next_piece(plan, day.laid)
    row = int(plan.pieces.set_index("piece")["row"][first])
    broken = [b for b in broken_rules(drifted, plan.room, plan.board, stricter) if b.row > row]
    assert broken == []
    assert [
        f
        for f in referee(drifted, plan.room, plan.board, stricter)
        if f.kind == "pieces too close on board" and f.piece not in day.laid
    ] == []
