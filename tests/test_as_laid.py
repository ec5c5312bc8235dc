"""The day folded from its log: what is laid, opened, spoiled, waiting; undoing; and every entry that can't be."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd
import pytest
from days import BOARD, RULES, box_room, day_of, one_piece_rows, shared, small
from referee import referee

import flooring_kit as fk
from flooring_kit import as_laid
from flooring_kit.day_entries import (
    ENTRY_NAMES,
    BatchNoted,
    BoardDamaged,
    CameOut,
    Entry,
    GapLeft,
    InHand,
    LaidUpTo,
    OffcutLost,
    PhotoTaken,
    PieceSpoiled,
    PlannedAnew,
    Reading,
    Remark,
    RowLaid,
    RowMeasured,
    SparesDamaged,
    StartedWith,
    Undone,
)
from flooring_kit.sawing import cut_list
from flooring_kit.tables import records


def refusal(*entries: Entry, plan: fk.Plan | None = None) -> str:
    with pytest.raises(ValueError) as told:
        day_of(*entries, plan=plan)
    return str(told.value)


def test_the_floor_put_together_by_hand_is_a_sound_plan():
    assert referee(small(), small().room, BOARD, RULES) == []
    assert small().pieces["length_mm"].tolist() == [900, 1100, 1300, 700]


# ---------------------------------------------------------------------- laying


def test_rows_laid_open_their_boards_and_offcuts_wait_with_their_factory_ends():
    day = day_of(RowLaid(1))
    assert day.rows_laid == (1,)
    assert sorted(day.laid) == ["1a", "1b"]
    assert day.boards_opened == 2
    assert day.boards_in_all == 4
    # Board 1: 900 from its right end; 600 less the kerf of 3 are left, with the end towards the row's start, the tongue
    # end. Board 2: 1100 from its left end; 400 less 3 with the groove end.
    found = as_laid.offcuts(day)
    assert [(one.board, one.length_mm, one.keeps_end) for one in found] == [
        (1, 597.0, "tongue end"),
        (2, 397.0, "groove end"),
    ]


def test_a_row_can_be_laid_in_two_goes():
    day = day_of(LaidUpTo("1a"))
    assert (sorted(day.laid), day.rows_laid) == (["1a"], ())
    assert day_of(LaidUpTo("1a"), RowLaid(1)).rows_laid == (1,)
    assert day_of(RowLaid(1), RowLaid(2)).is_done


def test_undoing_is_a_further_entry_and_can_be_undone():
    assert day_of(RowLaid(1), RowLaid(2), Undone(2)).rows_laid == (1,)
    assert day_of(RowLaid(1), RowLaid(2), Undone(2), Undone(3)).rows_laid == (1, 2)
    day = day_of(RowLaid(1), Undone(1), RowLaid(1))
    assert (day.rows_laid, day.undone, len(day.entries)) == ((1,), {1}, 3)
    assert day_of(RowLaid(1), RowLaid(2), Undone(2), Undone(2)).rows_laid == (1,)


# ---------------------------------------------------------------------- things going wrong


def test_a_starter_that_came_out_short_leaves_two_offcuts_and_waits_for_a_plan():
    # Board 1 is sawn 1500 = 647 + 3 + 850: the 850 keeps the right (groove) end, the rest the tongue end.
    day = day_of(CameOut("1a", 850))
    assert day.homeless == ("1a",)
    assert [(one.length_mm, one.keeps_end) for one in as_laid.offcuts(day)] == [
        (647.0, "tongue end"),
        (850.0, "groove end"),
    ]


def test_a_finisher_that_came_out_short_keeps_the_other_end():
    day = day_of(CameOut("1b", 1050))
    assert [(one.length_mm, one.keeps_end) for one in as_laid.offcuts(day)] == [
        (1050.0, "tongue end"),
        (447.0, "groove end"),
    ]


def test_a_piece_that_came_out_long_is_sawn_again_and_nothing_is_lost():
    day = day_of(CameOut("1a", 905), CameOut("1b", 1100), CameOut("2a", 1299.6))
    assert (day.homeless, day.gone) == ((), {})


def test_a_piece_too_short_for_the_plan_is_right_where_the_row_measured_less():
    assert day_of(RowMeasured(1, 1990), CameOut("1b", 1090)).homeless == ()
    assert day_of(CameOut("1b", 1090)).homeless == ("1b",)


@pytest.mark.parametrize(
    ("measured", "came", "left"),
    [
        # 1b is 1100 by plan and 1110 as measured. 1105 do for the plan and not for the row.
        (RowMeasured(1, 2010), CameOut("1b", 1105), ("1b", 1105.0, "tongue end")),
        # 1a is 900 by plan and 910 where the row begins 10 further left.
        (RowMeasured(1, 2010, starts_mm=-10), CameOut("1a", 905), ("1a", 905.0, "groove end")),
    ],
)
def test_a_piece_long_enough_for_the_plan_is_too_short_where_the_row_measured_more(measured, came, left):
    day = day_of(measured, came)
    piece, length, end = left
    assert day.homeless == (piece,)
    (offcut,) = [one for one in as_laid.offcuts(day) if one.keeps_end == end]
    assert length - 6 < offcut.length_mm <= length  # it waits as an offcut, reckoned no longer than it is
    right = CameOut(came.piece, came.length_mm + 5)
    assert day_of(measured, right).homeless == ()
    anew = as_laid.replan(day)
    assert referee(anew.plan, anew.plan.room, BOARD, RULES) == []
    assert day_of(measured, came, anew.entry(), RowLaid(1)).rows_laid == (1,)


def test_a_spoiled_piece_leaves_the_rest_of_its_board():
    day = day_of(PieceSpoiled("1a"))
    assert (day.homeless, day.boards_opened) == (("1a",), 1)
    assert [(one.length_mm, one.keeps_end) for one in as_laid.offcuts(day)] == [(597.0, "tongue end")]


def test_a_damaged_board_leaves_nothing():
    day = day_of(BoardDamaged("1a"))
    assert (day.homeless, day.boards_opened, day.boards_in_all) == (("1a",), 1, 4)
    assert as_laid.offcuts(day) == []


def test_boards_damaged_in_their_pack_are_counted():
    assert day_of(SparesDamaged(2)).boards_in_all == 6


def test_an_offcut_lost_takes_what_lies_round_its_piece_and_no_more():
    plan = box_room()
    ledger = fk.offcut_ledger(plan)
    offcut = next(line for line in ledger.itertuples() if line.rows_waiting >= 1 and line.kind == "length")
    laid = [RowLaid(row) for row in range(1, int(offcut.left_in_row) + 1)]
    day = day_of(*laid, OffcutLost(str(offcut.used_for)), plan=plan)
    assert day.homeless == (offcut.used_for,)
    assert as_laid.offcuts(day) == [
        one for one in as_laid.offcuts(day_of(*laid, plan=plan)) if one.board != offcut.board or one.is_strip
    ]


def test_a_row_begun_with_another_joint_is_laid_as_it_is_and_its_last_piece_changes():
    day = day_of(StartedWith(1, 880))
    assert day.plan.pieces["length_mm"].tolist() == [880, 1120, 1300, 700]
    assert sorted(day.laid) == ["1a"]
    assert day.plan.pieces["board"].tolist()[:2] == [1, 2]
    assert referee(day.plan, day.plan.room, BOARD, RULES) == []


def test_a_joint_moved_past_a_whole_board_changes_how_many_pieces_the_row_has():
    # 2000 with its first joint at 400: 400, 1500, 100.
    day = day_of(StartedWith(1, 400))
    assert day.plan.pieces["length_mm"].tolist() == [400, 1500, 100, 1300, 700]
    assert day.rows_laid == ()
    assert [b.sentence() for b in day.plan.broken_rules] == ["Row 1, piece 3: 200 mm short of the shortest piece."]


def test_a_row_begun_as_planned_moves_nothing():
    day = day_of(StartedWith(1, 900))
    assert day.plan.pieces.drop(columns="shape").equals(small().pieces.drop(columns="shape"))


def test_replanning_counts_boards_and_packs_and_says_what_changes():
    # 2b is 700 from a left end; the offcuts waiting are 597 with that end, 397 and 197 with the other: a new board.
    anew = as_laid.replan(day_of(RowLaid(1), LaidUpTo("2a"), BoardDamaged("2b")), boards_bought=4)
    assert (anew.boards_in_all, anew.boards_more, anew.boards_short, anew.packs_short) == (5, 1, 1, 1)
    assert anew.sentences() == [
        "5 boards from first to last, 1 more than the first plan.",
        "The 4 boards bought do not: 1 short. Buy 1 pack of the same batch.",
        "1 piece changed in row 2; the rest of the list stands.",
    ]
    assert anew.changes[["piece", "take_from", "took_from"]].to_numpy().tolist() == [
        ["2b", "a new board", "what is left of board 4"]
    ]
    assert anew.change_sentences() == ["2b: about 700 mm, from a new board."]
    assert as_laid.replan(day_of(RowLaid(1), LaidUpTo("2a"), BoardDamaged("2b")), boards_bought=8).sentences()[1] == (
        "The 8 boards bought still do, 3 over."
    )


def test_lengths_of_a_plan_anew_are_those_of_the_row_as_measured():
    laid = RowLaid(1), LaidUpTo("2a"), RowMeasured(2, 1993), BoardDamaged("2b")
    anew = as_laid.replan(day_of(*laid))
    assert anew.change_sentences()[0] == "2b: about 693 mm, from a new board."  # 700 less the 7 the row is short
    after = day_of(*laid, anew.entry())
    cut = next(cut for cut in records(cut_list(after.plan)) if cut.piece == "2b")
    assert after.saw_mm(cut) == after.needed_mm("2b") == 693


@pytest.mark.parametrize("came_out_mm", [320, 500, 700])
def test_with_the_list_kept_no_joint_moves_and_the_referee_finds_nothing(came_out_mm):
    plan = box_room()
    laid = RowLaid(1), RowLaid(2), CameOut("3a", came_out_mm)
    anew = as_laid.replan(day_of(*laid, plan=plan), least="changes")
    joints, before = (one.pieces.set_index("piece")["along_mm"] for one in (anew.plan, plan))
    where = [one.pieces[["piece", "row", "length_mm"]].to_numpy().tolist() for one in (anew.plan, plan)]
    assert where[0] == where[1]
    assert list(joints.index) == list(before.index)
    assert referee(anew.plan, plan.room, plan.board, plan.rules) == []
    assert anew.boards_more <= 1
    with pytest.raises(ValueError, match="least"):
        as_laid.replan(day_of(*laid, plan=plan), least="cuts")


def test_a_piece_the_new_plan_has_not_got_is_no_longer_wanted():
    columns = ["piece", "row", "saw_mm", "saw_before_mm", "take_from", "took_from"]
    told = pd.DataFrame(
        [("3a", 3, None, 400.0, "board 9", "board 8"), ("3d", 3, None, 90.0, "", "board 8")], columns=columns
    )
    anew = replace(as_laid.replan(day_of()), changes=told)
    assert anew.change_sentences() == ["3a: whole length, from board 9.", "3d is no longer wanted."]


def test_replanning_with_nothing_amiss_says_so():
    told = as_laid.replan(day_of(RowLaid(1), LaidUpTo("2a"))).sentences()
    assert told == [
        "4 boards from first to last, as many as the first plan.",
        "Nothing else changes: saw on from the list you have.",
    ]


def test_an_offcut_found_saves_a_board():
    # 1100 from the left end of a board: 1120 long, tongue end, 10 of margin kept: 1110 to saw from.
    anew = as_laid.replan(day_of(InHand(1120, "tongue end"), LaidUpTo("1a"), RowLaid(2)))
    assert anew.boards_in_all == 3
    assert anew.sentences()[0] == "3 boards from first to last, 1 fewer than the first plan."
    assert anew.changes["take_from"].tolist() == ["offcut of 1120 mm, tongue end"]
    taken = day_of(InHand(1120, "tongue end"), LaidUpTo("1a"), RowLaid(2), anew.entry(), RowLaid(1))
    assert taken.boards_opened == 3
    # 1120 - 1100 - 3: what is left of it
    assert [one.length_mm for one in as_laid.offcuts(taken) if one.board == 5] == [17.0]


@pytest.mark.parametrize(
    ("keeps", "rest"),
    [("groove end", "neither end"), ("tongue end", "neither end")],
)
def test_a_piece_sawn_short_from_an_offcut_in_hand_leaves_what_the_saw_leaves(keeps, rest):
    # 1000 in hand, a piece of it comes out 50 short: came, 3 of kerf and the rest make 1000; the factory end stays on.
    begun = [InHand(1000, keeps)]
    entries = [*begun, as_laid.replan(day_of(*begun)).entry()]
    day = day_of(*entries)
    (piece,) = day.plan.pieces[day.plan.pieces["board"] == day.held[0].board].itertuples()
    came = piece.length_mm - 50
    day = day_of(*entries, CameOut(piece.piece, came))
    assert day.homeless == (piece.piece,)
    left = {one.keeps_end: one.length_mm for one in as_laid.offcuts(day) if one.board == piece.board}
    assert left == {keeps: pytest.approx(came), rest: pytest.approx(1000 - 3 - came)}
    anew = as_laid.replan(day)
    assert referee(anew.plan, anew.plan.room, BOARD, RULES) == []
    laid = day_of(*entries, LaidUpTo(piece.piece))
    rest_of_it = [one.length_mm for one in as_laid.offcuts(laid) if one.board == piece.board]
    expected = 1000 - 3 - piece.length_mm
    assert rest_of_it == ([pytest.approx(expected)] if expected > 13 else [])


def test_the_plan_a_log_begins_with_is_the_first_plan():
    day = day_of(as_laid.first_entry(small()), RowLaid(1))
    assert day.first_plan is day.plan
    assert day.plan.pieces.drop(columns="shape").equals(small().pieces.drop(columns="shape"))


# ---------------------------------------------------------------------- entries that can't be


@pytest.mark.parametrize(
    ("entries", "told"),
    [
        ([RowLaid(3)], "entry 1 (row laid): there is no row 3: the plan has 2 rows."),
        (
            [RowLaid(1), RowLaid(1)],
            "entry 2 (row laid): row 1 is laid already. If it is not, undo the entry that says so.",
        ),
        (
            [RowLaid(1), CameOut("1a", 500)],
            "entry 2 (came out): piece 1a is laid already. If it is not, undo the entry that says so.",
        ),
        ([LaidUpTo("1c")], "entry 1 (laid up to): the plan has no piece 1c. Row 1 has 1a, 1b."),
        ([PieceSpoiled("7a")], "entry 1 (piece spoiled): the plan has no piece 7a. The plan has 2 rows."),
        (
            [BoardDamaged("1a"), RowLaid(1)],
            "entry 2 (row laid): piece 1a has no board: the one it was planned from is spoiled or lost. Plan anew from "
            "here first.",
        ),
        (
            [OffcutLost("1a")],
            "entry 1 (offcut lost): piece 1a is planned from board 1, which is not opened yet, so no offcut waits "
            "for it.",
        ),
        (
            [LaidUpTo("1a"), StartedWith(1, 800)],
            "entry 2 (started with): row 1 is begun already with 1a. If it is not, undo the entry that says so.",
        ),
        ([StartedWith(1, 800, run=2)], "entry 1 (started with): row 1 has no stretch 2: the plan has 1 there."),
        ([StartedWith(9, 800)], "entry 1 (started with): row 9 has no stretch 1: the plan has no such row."),
        (
            [StartedWith(1, 1700)],
            "entry 1 (started with): first joint must be 1 to 1500 mm, got 1700 mm. It ends the row's first piece.",
        ),
        (
            [RowMeasured(1, 2150)],
            "entry 1 (row measured): measured length of row 1 must be 1900 to 2100 mm, got 2150 mm. The plan has "
            "2000 mm. Measure again; if it is right, the survey is not: set the floor out anew.",
        ),
        ([GapLeft(5, 9)], "entry 1 (gap left): there is no wall 5: the room has 4 walls."),
        ([Undone(1)], "entry 1 (undone): there is no entry 1 before it to undo."),
        (
            [RowLaid(1), PlannedAnew((8000, 13000), ((1, 7000, 0), (2, 0, 0), (3, 2000, 0), (4, 0, 0)))],
            "entry 2 (planned anew): the plan recorded moves piece 1a, which is laid.",
        ),
        (
            [PlannedAnew((8000,), ())],
            "entry 1 (planned anew): the plan recorded does not fit this room, board and rules: it is of another job.",
        ),
    ],
)
def test_an_entry_that_can_not_be_is_refused_by_its_number(entries, told):
    assert refusal(*entries) == told


def test_a_run_of_one_piece_has_no_joint_to_move():
    assert refusal(StartedWith(1, 500), plan=one_piece_rows()) == (
        "entry 1 (started with): row 1 is laid in one piece there: it has no joint to move."
    )


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (lambda: LaidUpTo("row 5"), "piece must be a label from the plan, such as 5c, got 'row 5'."),
        (lambda: RowLaid(0), "row must be a whole number from 1 to 2000, got 0."),
        (lambda: CameOut("1a", 0.7), "length must be 1 to 60000 mm, got 0.7 mm. Write 1380 for 1.38 m."),
        (lambda: CameOut("1a", float("nan")), "length must be a finite number, got nan."),
        (lambda: StartedWith(1, 0), "first joint must be 1 to 60000 mm, got 0 mm. Write 1380 for 1.38 m."),
        (lambda: StartedWith(1, 500, run=0), "stretch of the row must be a whole number from 1 to 50, got 0."),
        (lambda: RowMeasured(1, 2000, starts_mm=900), "where the row begins must be -500 to 500 mm, got 900 mm."),
        (lambda: RowMeasured(1, 2000, run=99), "stretch of the row must be a whole number from 1 to 50, got 99."),
        (lambda: SparesDamaged(0), "damaged boards must be a whole number from 1 to 1000, got 0."),
        (
            lambda: InHand(900.05),
            "length must be given to a tenth of a millimetre, got 900.05 mm; the nearest is 900 mm.",
        ),
        (lambda: InHand(900, count=0), "number of boards must be a whole number from 1 to 1000, got 0."),
        (lambda: InHand(900, name="a\nb"), "name must be one line of 1 to 500 characters, got 'a\\nb'."),
        (lambda: GapLeft(1, 201), "gap left must be 0 to 200 mm, got 201 mm."),
        (lambda: GapLeft(0, 9), "wall must be a whole number from 1 to 1000, got 0."),
        (lambda: Reading("air humidity", 148), "air humidity must be 0 to 100 % RH, got 148 % RH."),
        (lambda: Reading("flatness", 3, " "), "where it was read must be one line of 1 to 500 characters, got ' '."),
        (lambda: BatchNoted(""), "batch number must be one line of 1 to 500 characters, got ''."),
        (lambda: BatchNoted("A1", 0), "packs must be a whole number from 1 to 1000, got 0."),
        (lambda: PhotoTaken(""), "file name must be one line of 1 to 500 characters, got ''."),
        (lambda: PhotoTaken("a.jpg", "\t"), "what the photo shows must be one line of 1 to 500 characters, got '\\t'."),
        (lambda: Remark(""), "remark must be one line of 1 to 500 characters, got ''."),
        (lambda: Undone(0), "entry to undo must be a whole number from 1 to 1000000, got 0."),
    ],
)
def test_an_entry_made_wrong_says_what_is_wrong(make, told):
    with pytest.raises(ValueError) as slip:
        make()
    assert str(slip.value) == told


def test_an_unknown_word_is_refused_with_those_there_are():
    with pytest.raises(ValueError) as told:
        InHand(900, "tongue")
    assert str(told.value).startswith("end that stays must be one of")
    assert all(word in str(told.value) for word in ("tongue end", "groove end", "both ends", "neither end"))
    with pytest.raises(ValueError) as told:
        Reading("humidity", 50)
    assert str(told.value).startswith("reading must be one of")


# ---------------------------------------------------------------------- the margin, once pieces are laid


def too_close(day: as_laid.Day) -> list[str]:
    """What the referee says of the day's plan, kind by kind."""
    return [fault.kind for fault in referee(day.plan, day.plan.room, BOARD, RULES)]


def test_two_pieces_laid_share_a_board_as_long_as_the_kerf_is_between_them():
    # The margin of 10 allows for a tape and a hand that are a little out. Once both pieces lie sawn it has done that:
    # 1500 - 560 - 935 leaves 5, more than the kerf of 3, so board 1 did give both. The referee holds to the margin.
    day = day_of(RowLaid(2), StartedWith(1, 935), plan=shared())
    assert day.plan.pieces["board"].tolist() == [1, 2, 3, 1]
    assert too_close(day) == ["pieces too close on board"]
    sawn = fk.LayingRules(offcut_margin_mm=0, kerf_mm=3)
    assert referee(day.plan, day.plan.room, BOARD, sawn) == []
    assert day.homeless == ()
    anew = as_laid.replan(day)
    assert anew.plan.pieces["board"].tolist()[::3] == [1, 1]  # what is laid stays where it was sawn
    assert day_of(RowLaid(2), StartedWith(1, 935), anew.entry(), RowLaid(1), plan=shared()).is_done


def test_a_piece_laid_too_long_for_what_its_board_had_left_came_from_another():
    # 1500 - 560 - 938 leaves 2, less than the kerf: no saw does that.
    day = day_of(RowLaid(2), StartedWith(1, 938), plan=shared())
    assert day.plan.pieces["board"].tolist()[3] == 1
    assert day.plan.pieces["board"].tolist()[0] != 1
    assert too_close(day) == []


def test_a_piece_not_laid_keeps_the_margin_and_moves_to_another_board():
    # 2b is still to be sawn: 5 would do for a saw that never strays, and nobody plans on that.
    day = day_of(StartedWith(1, 935), plan=shared())
    assert day.plan.pieces["board"].tolist()[0] == 1
    assert day.plan.pieces["board"].tolist()[3] != 1
    assert too_close(day) == []


TOLD: list[tuple[Entry, str]] = [
    (RowLaid(4), "Row 4 is laid."),
    (LaidUpTo("5c"), "Laid up to piece 5c."),
    (StartedWith(3, 410), "Row 3 began with its joint at 410 mm."),
    (RowMeasured(3, 2768.5), "Row 3 measured 2768.5 mm."),
    (RowMeasured(3, 2768.5, 3), "Row 3 measured 2768.5 mm and begins 3 mm further into the room."),
    (RowMeasured(3, 2768.5, -2.5), "Row 3 measured 2768.5 mm and begins 2.5 mm further back."),
    (RowMeasured(2, 1800, run=2), "Row 2, stretch 2 from the left, measured 1800 mm."),
    (StartedWith(2, 400, run=2), "Row 2, stretch 2 from the left, began with its joint at 400 mm."),
    (CameOut("2a", 398), "Piece 2a came out at 398 mm."),
    (PieceSpoiled("2a"), "Piece 2a was spoiled."),
    (BoardDamaged("2a"), "The board for piece 2a was damaged."),
    (OffcutLost("2a"), "The offcut for piece 2a was lost."),
    (SparesDamaged(2), "2 boards damaged in the pack."),
    (InHand(812, "groove end", name="from the hall"), "1 offcut of 812 mm in hand, groove end, from the hall."),
    (InHand(1200, count=2), "2 boards of 1200 mm in hand, both ends."),
    (PlannedAnew((), ()), "The rest was planned anew."),
    (Undone(7), "Entry 7 undone."),
    (GapLeft(2, 9.5), "Gap left along wall 2: 9.5 mm."),
    (Reading("air humidity", 48, "by the bay"), "Air humidity 48 % RH, by the bay."),
    (Reading("flatness", 2), "Flatness 2 mm under a 2 m straightedge."),
    (BatchNoted("A113"), "Batch A113 on 1 pack."),
    (PhotoTaken("door.jpg", "the doorway"), "Photo door.jpg: the doorway."),
    (PhotoTaken("door.jpg"), "Photo door.jpg."),
    (Remark("Skirting loose."), "Remark: Skirting loose."),
]


@pytest.mark.parametrize(("entry", "words"), TOLD)
def test_every_sort_of_entry_is_told_in_a_sentence(entry, words):
    assert as_laid.entry_words(entry) == words


def test_no_sort_of_entry_is_left_without_words():
    assert {type(entry) for entry, _ in TOLD} == set(ENTRY_NAMES.values())
