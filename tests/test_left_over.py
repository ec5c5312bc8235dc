"""What is left of a floor, and the record that stays with the customer."""

from __future__ import annotations

import json

import pytest
from days import box_room, day_of, small

from flooring_kit import as_laid
from flooring_kit.day_entries import (
    BatchNoted,
    BoardDamaged,
    CameOut,
    GapLeft,
    LaidUpTo,
    PhotoTaken,
    PieceSpoiled,
    Reading,
    Remark,
    RowLaid,
    RowMeasured,
    SparesDamaged,
    StartedWith,
    Undone,
)


def done() -> as_laid.Day:
    return day_of(
        as_laid.first_entry(small()),
        BatchNoted("A113", 1),
        Reading("air humidity", 48, "middle"),
        CameOut("1a", 905),
        RowLaid(1),
        RowLaid(2),
        GapLeft(1, 9),
        GapLeft(1, 11),
        PhotoTaken("door.jpg", "the doorway"),
        Remark("Skirting loose by the door."),
        Remark("Typed by mistake."),
        Undone(11),
    )


def test_offcuts_worth_keeping_have_a_factory_end_and_the_shortest_piece():
    # left: 597, 397 as above; board 3: 200 less 3 = 197; board 4: 800 less 3 = 797
    lengths = [(one.board, one.length_mm) for one in as_laid.worth_keeping(done())]
    assert lengths == [(1, 597.0), (2, 397.0), (4, 797.0)]
    assert [one.board for one in as_laid.worth_keeping(done(), least_mm=500)] == [1, 4]
    with pytest.raises(ValueError) as told:
        as_laid.worth_keeping(done(), least_mm=-1)
    assert str(told.value) == "least length worth keeping must be 0 to 5000 mm, got -1 mm."


def test_spares_are_what_was_bought_less_what_the_floor_took():
    # 24 bought, 4 in the floor: 20 left, 3 kept, so 17: two packs of 8; one of three packs is open, two are shut.
    assert as_laid.spares(done(), 24, kept_for_repairs=3).sentence() == (
        "20 whole boards left: 3 kept for repairs, 2 packs to return if they are still shut."
    )
    # With 16 bought: 12 left, 3 kept: 9, one pack; one of the two is open.
    assert as_laid.spares(done(), 16, kept_for_repairs=3).packs_to_return == 1
    # With 8 bought the only pack is open, though four boards are left.
    assert as_laid.spares(done(), 8).sentence() == "4 whole boards left: 0 kept for repairs, no whole pack to return."
    assert as_laid.spares(done(), 3).sentence() == "1 board short."


def test_while_pieces_have_no_board_no_pack_is_to_be_returned():
    stuck = day_of(RowLaid(1), LaidUpTo("2a"), BoardDamaged("2b"))
    told = as_laid.spares(stuck, 24)
    assert (told.packs_to_return, told.pieces_waiting) == (0, 1)
    assert told.sentence() == (
        "Before planning anew nobody knows what is left: 1 piece has no board. Return no pack yet."
    )
    both = as_laid.spares(day_of(BoardDamaged("2a"), BoardDamaged("2b")), 3).sentence()
    assert both.startswith("Before planning anew nobody knows what is left: 2 pieces have no board.")
    record = {table.title: table for table in as_laid.record_tables(stuck, boards_bought=24)}
    assert record["What is left"].rows[0] == (told.sentence(),)
    anew = day_of(RowLaid(1), LaidUpTo("2a"), BoardDamaged("2b"), as_laid.replan(stuck).entry())
    assert as_laid.spares(anew, 24).sentence().startswith("19 whole boards left")  # 24 less the five of the new plan


def test_the_record_holds_what_was_written_down_and_nothing_undone():
    times = [f"2026-05-{14 + n // 8:02}T{8 + n % 8:02}:05:09+01:00" for n in range(12)]
    tables = {table.title: table for table in as_laid.record_tables(done(), times=times, boards_bought=24)}
    assert tables["Batch numbers"].rows == (("A113", 1),)
    assert tables["Readings"].rows == (("air humidity", 48, "% RH", "middle", "2026-05-14 10:05"),)
    assert tables["Gaps as left"].rows == ((1, 11, 10.0, "2026-05-14 15:05"),)
    assert tables["Remarks"].rows == (("Skirting loose by the door.", "2026-05-15 09:05"),)
    assert tables["Photos"].rows == (("door.jpg", "the doorway", "2026-05-15 08:05"),)
    assert tables["What went otherwise"].rows == (("Piece 1a came out at 905 mm.", "2026-05-14 11:05"),)
    floor = dict(tables["The floor"].rows)
    assert (floor["rows laid"], floor["boards opened"], floor["boards bought"]) == ("2 of 2", 4, 24)
    assert (floor["first entry"], floor["last entry"]) == ("2026-05-14 08:05", "2026-05-15 11:05")
    assert tables["What is left"].rows[1] == ("Offcut of board 1: 597 mm, tongue end.",)


def test_the_record_reads_back_from_json_under_its_heads():
    told = json.loads(as_laid.record_json(as_laid.record_tables(done()), name="small room"))
    assert (told["record"], told["format"], told["job"]) == ("floor as laid", 1, "small room")
    gaps = next(table["rows"] for table in told["tables"] if table["title"] == "Gaps as left")
    assert gaps == [{"wall": 1, "gap left, mm": 11, "gap planned, mm": 10.0, "when": ""}]
    assert "local codes and licensed practice come before" in told["caution"]


def test_times_are_as_many_as_entries():
    with pytest.raises(ValueError) as told:
        as_laid.record_tables(done(), times=["2026-05-14T08:00"])
    assert str(told.value) == "times must be as many as the entries, 12, got 1."


def test_everything_that_went_otherwise_has_its_words():
    plan = box_room()
    entries = [
        SparesDamaged(1),
        StartedWith(1, 700.0),
        RowMeasured(2, 2768),
        PieceSpoiled("2a"),
        BoardDamaged("3a"),
    ]
    day = day_of(*entries, plan=plan)
    told = next(table for table in as_laid.record_tables(day) if table.title == "What went otherwise")
    assert [row[0] for row in told.rows] == [
        "1 board damaged in the pack.",
        "Row 1 began with its joint at 700 mm.",
        "Row 2 measured 2768 mm.",
        "Piece 2a was spoiled.",
        "The board for piece 3a was damaged.",
    ]
