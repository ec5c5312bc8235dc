"""The cut list and the offcut ledger: a worked floor by hand, and properties on floors of every shape."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from floors import demo_boards, demo_room, random_floors, rectangle

import flooring_kit as fk
from flooring_kit.sawing import cut_list, most_waiting, offcut_ledger, row_rips

QUICK = fk.Search(quick=True)


def some_plans() -> list[fk.Plan]:
    rooms = [(demo_room(name), demo_boards()["Oak plank 1380 x 193"]) for name in ("box_room", "hall", "sitting_room")]
    rooms += [(room, board) for _, room, board in random_floors(6, seed=5)]
    return [fk.set_out(room, board, search=QUICK) for room, board in rooms]


PLANS = some_plans()


def test_one_row_of_two_boards_is_sawn_as_worked_by_hand():
    # Clear 2770 = 1380 + 1380 + 10: two cut ends and a whole board, 1390 to share: 27 rows' worth in test_plans. One
    # row alone takes three boards, the starter at its board's right end, the finisher at its own's left end.
    plan = fk.set_out(rectangle(2790, 213), fk.Board("plank", 1380, 193, 8, 8), direction=0)
    cuts = cut_list(plan)
    assert cuts["piece"].tolist() == ["1a", "1b", "1c"]
    assert cuts["taken_from"].tolist() == ["board 1", "board 2", "board 3"]
    assert cuts["keeps_end"].tolist() == ["groove end", "both ends", "tongue end"]
    assert np.isnan(cuts["saw_mm"][1])
    assert cuts["saw_mm"][0] + cuts["saw_mm"][2] == pytest.approx(1390, abs=0.11)
    assert cuts["rip_mm"].isna().all()
    assert offcut_ledger(plan).empty
    assert most_waiting(offcut_ledger(plan)) == 0


def test_the_worked_example_has_three_offcuts_and_each_is_the_board_less_the_finisher_and_the_saw_cut():
    # R 4000, L 1800, kerf 3: nine boards for twelve pieces, so three offcuts start rows. An offcut is 1797 less the
    # finisher that left it.
    plan = fk.set_out(
        rectangle(4020, 792), fk.Board("plank", 1800, 193, 8, 8), rules=fk.LayingRules(offcut_margin_mm=0), direction=0
    )
    ledger = offcut_ledger(plan)
    lengths = plan.pieces.set_index("piece")["length_mm"]
    shared = [sorted((a, b)) for a, b in zip(ledger["left_by"], ledger["used_for"], strict=True)]
    assert len(ledger) == len({tuple(pair) for pair in shared}) == 3
    for offcut in ledger.itertuples():
        assert offcut.left_length_mm == pytest.approx(1797 - lengths[offcut.left_by], abs=0.05)
        assert offcut.left_length_mm >= lengths[offcut.used_for] - 0.05


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.room.name)
def test_every_piece_is_listed_once_and_as_many_boards_are_opened_as_the_plan_needs(plan):
    cuts = cut_list(plan)
    assert cuts["piece"].tolist() == plan.pieces["piece"].tolist()
    assert cuts["taken_from"].str.startswith("board ").sum() == plan.boards_needed
    opened = cuts[cuts["taken_from"].str.startswith("board ")]["board"]
    assert opened.tolist() == list(range(1, plan.boards_needed + 1))


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.room.name)
def test_an_offcut_is_left_before_it_is_used_and_is_large_enough(plan):
    ledger = offcut_ledger(plan)
    order = {label: at for at, label in enumerate(plan.pieces["piece"])}
    sizes = plan.pieces.set_index("piece")[["length_mm", "width_mm"]]
    boards = plan.pieces.set_index("piece")["board"]
    assert len(ledger) == len(plan.pieces) - plan.boards_needed
    for offcut in ledger.itertuples():
        assert order[offcut.left_by] < order[offcut.used_for]
        assert boards[offcut.left_by] == boards[offcut.used_for] == offcut.board
        assert offcut.rows_waiting == offcut.used_in_row - offcut.left_in_row >= 0
        assert offcut.left_length_mm >= sizes.loc[offcut.used_for, "length_mm"] - 0.05
        assert offcut.left_width_mm >= sizes.loc[offcut.used_for, "width_mm"] - 0.05


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.room.name)
def test_a_sawn_piece_is_shorter_than_a_board_and_a_whole_one_is_not_sawn(plan):
    cuts = cut_list(plan)
    whole = plan.pieces["length_mm"] >= plan.board.length_mm
    assert (cuts["saw_mm"].isna() == whole).all()
    assert (cuts["rip_mm"].isna() == (plan.pieces["width_mm"] >= plan.board.width_mm)).all()
    assert (cuts["keeps_end"] == "both ends").sum() == (plan.joined["left"] & plan.joined["right"]).sum()


def test_the_pile_is_counted_after_every_row():
    # Left in rows 1, 1, 2 and used in 3, 2, 3: after row 1 two wait, after row 2 two, and none for one used at once.
    ledger = pd.DataFrame({"left_in_row": [1, 1, 2, 2], "used_in_row": [3, 2, 3, 2]})
    assert most_waiting(ledger) == 2
    assert most_waiting(ledger.iloc[3:]) == 0


# --- tongues that face a wall ---------------------------------------------------------------------------------


def tongues_off(room: fk.Room, board: fk.Board, **first_row: object) -> dict[str, str]:
    plan = fk.set_out(room, board, direction=0, first_row=fk.FirstRow(**first_row), search=QUICK)  # type: ignore[arg-type]
    cuts = cut_list(plan)
    return dict(zip(cuts["piece"], cuts["tongue_off"], strict=True))


TWO_BOARDS = rectangle(2780, 406)  # clear 2760 x 386: two whole boards a row, two whole rows of 193


def test_a_whole_first_row_and_a_whole_first_board_lose_the_tongue_that_faces_the_wall():
    # Common practice, no source: or the tongue eats the gap. Offset 0, so that both rows are two whole boards.
    board = fk.Board("plank", 1380, 193, 8, 8)
    plan = fk.set_out(TWO_BOARDS, board, rules=fk.LayingRules(joint_offset_mm=0), direction=0, search=QUICK)
    assert plan.boards_needed == 4
    assert cut_list(plan)["tongue_off"].tolist() == ["end and edge", "edge", "end", ""]


def test_locks_the_other_way_round_have_their_tongues_at_the_far_walls():
    board = fk.Board("plank", 1380, 193, 8, 8, row_start_lock="groove", start_wall_lock="groove")
    plan = fk.set_out(TWO_BOARDS, board, rules=fk.LayingRules(joint_offset_mm=0), direction=0, search=QUICK)
    assert cut_list(plan)["tongue_off"].tolist() == ["", "end", "edge", "end and edge"]


def test_a_ripped_first_row_has_lost_its_tongue_already():
    board = fk.Board("plank", 1380, 193, 8, 8)
    assert set(tongues_off(rectangle(4000, 1000), board, width_mm=120.0).values()) <= {"", "end"}
    assert "edge" in tongues_off(rectangle(4000, 1000), board, width_mm=193.0)["1b"]


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.room.name)
def test_no_tongue_is_taken_off_a_joined_side(plan):
    cuts = cut_list(plan)
    inside = plan.joined[["left", "right", "back", "front"]].all(axis=1)
    assert (cuts["tongue_off"][inside] == "").all()
    assert (cuts["tongue_off"][plan.joined["left"] & plan.joined["back"]] == "").all()


# ---------------------------------------------------------------------- ripped rows


def test_a_ripped_row_is_told_with_its_width_at_both_ends():
    # Box room: 2380 less two gaps of 10 are 2360; rows of 193 and the doorway's 38 - 10 beyond the far wall. What the
    # first row and the row at the far end are wide, and eleven whole rows between them, make up the depth.
    plan = fk.set_out(demo_room("box_room"), demo_boards()["Oak plank 1380 x 193"], direction="long")
    rips = row_rips(plan)
    first, last = rips.iloc[0], rips.iloc[-1]
    assert (first["row"], first["start_piece"]) == (1, "1a")
    assert first["start_mm"] == first["end_mm"] == plan.row_widths[0].first_row_width_mm
    assert last["row"] == plan.rows
    ends = {first["end_mm"] + (plan.rows - 2) * 193 + last["start_mm"]}
    assert ends == {2360}


def test_a_row_along_a_wall_out_of_square_is_wider_at_one_end():
    # Back bedroom: wall 1 rises by 28 over 3880; the last row is 3860 long between its gaps.
    plan = fk.set_out(demo_room("back_bedroom"), demo_boards()["Oak plank 1380 x 193"], direction="short")
    far = row_rips(plan).iloc[-1]
    assert far["row"] == plan.rows
    assert abs(far["start_mm"] - far["end_mm"]) == pytest.approx(3860 * 28 / 3880, abs=0.2)


def test_a_floor_of_whole_rows_has_no_ripped_row():
    plan = fk.set_out(rectangle(4000, 20 + 10 * 193), demo_boards()["Oak plank 1380 x 193"])
    assert len(row_rips(plan)) == 0
