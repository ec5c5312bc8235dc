"""The panel for the day: every button is one entry on disk, and what is shown is the plain call's day."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from floors import demo_boards, demo_room

import flooring_kit as fk
from flooring_kit import as_laid
from flooring_kit.day_entries import (
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
    Reading,
    Remark,
    RowLaid,
    RowMeasured,
    SparesDamaged,
    StartedWith,
    Undone,
)
from flooring_kit.day_sheet import day_html
from flooring_kit.html_parts import sheet_html
from flooring_kit.panels import DayPanel, day_panel
from flooring_kit.setting_out.from_here import PlanRecord, from_record


@cache
def plan() -> fk.Plan:
    return fk.set_out(demo_room("box_room"), demo_boards()["Oak plank 1380 x 193"], search=fk.Search(quick=True))


@pytest.fixture
def panel(tmp_path: Path) -> DayPanel:
    return day_panel(plan(), tmp_path / "box_room.day.jsonl", name="box room", boards_bought=32)


def shown(*entries: Entry) -> str:
    return sheet_html(day_html(as_laid.as_laid(plan(), [as_laid.first_entry(plan()), *entries])))


def put(panel: DayPanel, *, piece: str | None = None, length: int | None = None, end: str | None = None) -> None:
    for name, value in (("piece", piece), ("length", length), ("end", end)):
        if value is not None:
            panel.fields[name].control.value = value


def test_rows_are_laid_with_one_button_and_undone_with_another(panel):
    assert panel.sheet.value == shown()
    assert panel.buttons["row laid"].description == "Row 1 is laid"
    panel.buttons["row laid"].click()
    panel.buttons["row laid"].click()
    assert panel.sheet.value == shown(RowLaid(1), RowLaid(2))
    assert panel.buttons["row laid"].description == "Row 3 is laid"
    panel.buttons["undo"].click()
    assert panel.log.entries[1:] == (RowLaid(1), RowLaid(2), Undone(3))
    assert panel.sheet.value == shown(RowLaid(1), RowLaid(2), Undone(3))
    panel.buttons["undo"].click()
    assert panel.day.rows_laid == ()
    assert panel.buttons["undo"].disabled


@pytest.mark.parametrize(
    ("button", "entry"),
    [
        ("laid up to", LaidUpTo("1b")),
        ("came out", CameOut("1b", 310)),
        ("piece spoiled", PieceSpoiled("1b")),
        ("board damaged", BoardDamaged("1b")),
        ("started with", StartedWith(1, 310)),
        ("in hand", InHand(310, "groove end")),
    ],
)
def test_every_button_makes_its_entry_from_the_fields(panel, button, entry):
    put(panel, piece="1b", length=310, end="groove end")
    panel.buttons[button].click()
    assert panel.log.entries[1:] == (entry,)
    assert panel.sheet.value == shown(entry)


def test_a_row_measured_goes_into_the_length_of_its_last_piece(panel):
    put(panel, piece="1c", length=2765)
    panel.buttons["row measured"].click()
    assert panel.log.entries[1:] == (RowMeasured(1, 2765),)
    assert panel.sheet.value == shown(RowMeasured(1, 2765))
    about = plan().pieces.set_index("piece")["length_mm"]["1c"] - 5  # the row is 2770 by plan
    assert f">about {about:.0f} mm<" in panel.sheet.value


def test_where_a_row_begins_goes_into_its_first_piece_and_not_into_the_next_row(panel):
    told = "Begins is for a row measured: 3 where it begins 3 mm further into the room than planned, -3 further back."
    assert any(told in str(getattr(part, "value", "")) for part in panel.box.children)
    put(panel, piece="1c", length=2765)
    panel.fields["begins"].control.value = 6.0
    panel.buttons["row measured"].click()
    assert panel.log.entries[1:] == (RowMeasured(1, 2765, starts_mm=6.0),)
    lengths = plan().pieces.set_index("piece")["length_mm"]
    assert panel.day.needed_mm("1a") == pytest.approx(lengths["1a"] - 6)
    assert "Written down: Row 1 measured 2765 mm and begins 6 mm further into the room." in (
        panel.lines["happened"].value
    )
    assert panel.fields["begins"].control.value == 0
    panel.fields["begins"].control.value = 900.0
    panel.buttons["row measured"].click()
    assert "Begins, mm must be -500 to 500 mm, got 900 mm." in panel.fields["begins"].complaint.value
    assert len(panel.log.entries) == 2


def test_a_spoiled_board_is_planned_round_and_what_came_of_it_is_said(panel):
    panel.buttons["row laid"].click()
    put(panel, piece="2b")
    panel.buttons["board damaged"].click()
    assert "No board for 2b" in panel.sheet.value
    assert "27 boards from first to last before planning anew: 1 piece without a board may cost more." in (
        panel.sheet.value
    )
    assert panel.buttons["plan anew"].button_style == "danger"
    panel.buttons["row laid"].click()
    assert "piece 2b has no board" in panel.alerts["laying"].value
    assert panel.log.entries[-1] == BoardDamaged("2b")
    panel.buttons["plan anew"].click()
    assert panel.alerts["laying"].value == ""
    assert "28 boards from first to last, 1 more than the first plan." in panel.lines["laying"].value
    assert "The 32 boards bought still do, 4 over." in panel.lines["laying"].value
    assert panel.day.homeless == ()
    assert "28 boards from first to last." in panel.sheet.value
    panel.buttons["row laid"].click()
    assert panel.day.rows_laid == (1, 2)


def test_the_list_can_be_kept_where_the_packs_hold_a_board_more(panel):
    for _ in range(2):
        panel.buttons["row laid"].click()
    put(panel, piece="3a", length=320)
    panel.buttons["came out"].click()
    before = panel.day
    fewest, kept = (as_laid.replan(before, boards_bought=32, least=least) for least in ("boards", "changes"))
    assert len(kept.changes) < len(fewest.changes)
    assert kept.plan.rows == fewest.plan.rows
    panel.buttons["keep list"].click()
    assert panel.day.boards_in_all == kept.boards_in_all
    assert f"The other way would take {fewest.boards_in_all} boards and change {len(fewest.changes)} pieces" in (
        panel.lines["laying"].value
    )
    panel.buttons["undo"].click()
    panel.buttons["plan anew"].click()
    assert panel.day.boards_in_all == fewest.boards_in_all
    assert f"and change {len(kept.changes)} piece" in panel.lines["laying"].value


def test_what_can_not_be_is_complained_of_and_never_reaches_the_log(panel):
    before = panel.log.path.read_bytes()
    put(panel, piece="1a")
    panel.buttons["offcut lost"].click()
    assert "which is not opened yet, so no offcut waits for it." in panel.alerts["happened"].value
    put(panel, length=0)
    panel.buttons["came out"].click()
    assert "Length must be 1 to 20000 mm, got 0 mm." in panel.fields["length"].complaint.value
    assert panel.log.path.read_bytes() == before
    put(panel, length=700)
    panel.buttons["came out"].click()
    assert panel.fields["length"].complaint.value == ""
    assert panel.alerts["happened"].value == ""
    assert panel.log.entries[-1] == CameOut("1a", 700)


def test_a_copy_that_can_not_be_written_is_told_and_no_row_is_counted_twice(panel):
    for number in range(8):
        panel.notes.kind.control.value = "remark"
        panel.notes.fields["remark"].control.value = f"Remark {number}."
        panel.buttons["note"].click()
    panel.log.path.with_name(f"{panel.log.path.name}.copy").mkdir()
    panel.buttons["row laid"].click()  # the tenth entry, with which a copy is due
    assert "Written down: Row 1 is laid. Every entry is safe in the log, but its copy" in panel.lines["laying"].value
    assert panel.alerts["laying"].value == ""
    assert panel.day.rows_laid == (1,)
    assert panel.buttons["row laid"].description == "Row 2 is laid"
    panel.buttons["plan anew"].click()
    assert "Every entry is safe in the log, but its copy was not renewed." in panel.lines["laying"].value


def test_opened_again_it_stands_where_it_stood(panel):
    panel.buttons["row laid"].click()
    put(panel, piece="2a", length=400)
    panel.buttons["came out"].click()
    panel.buttons["plan anew"].click()
    other = fk.set_out(plan().room, plan().board, search=fk.Search(quick=True, seed=3))
    again = day_panel(other, panel.log.path, name="box room", boards_bought=32)  # another plan of the same rows
    assert again.sheet.value == panel.sheet.value
    assert again.day.plan.pieces.drop(columns="shape").equals(panel.day.plan.pieces.drop(columns="shape"))


def test_a_line_cut_off_is_told_on_opening(panel):
    panel.buttons["row laid"].click()
    panel.log.path.write_bytes(panel.log.path.read_bytes()[:-9])
    again = day_panel(plan(), panel.log.path, name="box room")
    assert "entry 2 was cut off while it was being written" in again.lines["laying"].value
    assert again.day.rows_laid == ()


def test_once_the_floor_is_down_nothing_more_can_be_laid(panel):
    for _ in range(plan().rows):
        panel.buttons["row laid"].click()
    assert panel.day.is_done
    assert panel.buttons["row laid"].disabled
    assert panel.buttons["row laid"].description == "The floor is down"
    assert "The floor is down" in panel.sheet.value


def test_the_sheet_names_what_waits_and_where_the_next_row_comes_from():
    ledger = fk.offcut_ledger(plan())
    offcut = next(line for line in ledger.itertuples() if line.rows_waiting >= 1)
    rows = [RowLaid(row) for row in range(1, int(offcut.left_in_row) + 1)]
    page = shown(*rows)
    assert f"for {offcut.used_for}" in page
    lost = shown(*rows, OffcutLost(str(offcut.used_for)))
    assert f"No board for {offcut.used_for}: what it was planned from is spoiled or lost. Plan the rest anew." in lost


# ---------------------------------------------------------------------- the sheet


def test_the_next_row_stands_large_with_about_and_measure_then_saw(panel):
    page = panel.sheet.value
    about = plan().pieces.set_index("piece")["length_mm"]["1a"]
    assert f">about {about:.0f} mm<" in page
    assert "measure, then saw; the groove end stays" in page
    assert ">whole length<" in page
    ripped = fk.cut_list(plan()).set_index("piece")["rip_mm"]["1a"]
    assert f"rip to about {ripped:.0f} mm; the groove edge stays; from board " in page


def test_a_whole_board_is_sawn_where_its_row_measured_less():
    store = fk.Room("store", ((0, 0), (2020, 0), (2020, 420), (0, 420)))
    two = fk.set_out(store, fk.Board("plank", 1500, 200, 8, 8), first_row=fk.FirstRow(width_mm=200.0))
    whole = from_record(two, PlanRecord((9000, 15000), ((1, 6000, 0), (2, 0, 0), (3, 0, 0), (4, 0, 0))))
    assert ">whole length<" in day_html(as_laid.as_laid(whole, [RowLaid(1)]))
    page = day_html(as_laid.as_laid(whole, [RowLaid(1), RowMeasured(2, 1990, starts_mm=10)]))
    assert ">about 1490 mm<" in page
    assert "measure, then saw; the groove end stays" in page


def test_a_drift_is_shown_as_a_warning_with_its_rule(panel):
    row, label = 4, "4c"
    shared = plan().pieces.set_index("piece")["board"]
    assert (shared == shared[label]).sum() > 1
    put(panel, piece=f"{row - 2}c", length=2788)
    panel.buttons["row measured"].click()
    told = as_laid.drift_warnings(panel.day)
    assert told
    for warning in told:
        assert f"<b>Drift.</b> {warning}" in panel.sheet.value


def test_a_row_begun_too_short_is_shown_with_the_rule_it_breaks(panel):
    begun = plan().pieces.set_index("piece").loc["2a", "length_mm"]
    put(panel, piece="2a", length=begun)
    panel.buttons["started with"].click()
    assert "Not as the rules ask" not in panel.sheet.value
    panel.buttons["undo"].click()
    put(panel, piece="2a", length=20)
    panel.buttons["started with"].click()
    # 300 is the shortest piece
    assert "Row 2, piece 1: 280 mm short of the shortest piece. Take it up while you can" in panel.sheet.value


def test_the_last_entry_that_undo_would_take_back_is_named(panel):
    assert "Last entry" not in panel.sheet.value
    panel.buttons["row laid"].click()
    assert "Last entry: Row 1 is laid." in panel.sheet.value
    put(panel, piece="2a")
    panel.buttons["piece spoiled"].click()
    assert "Last entry: Piece 2a was spoiled." in panel.sheet.value
    panel.buttons["undo"].click()
    assert "Last entry: Row 1 is laid." in panel.sheet.value


def test_what_is_pressed_is_answered_under_its_own_buttons(panel):
    put(panel, piece="2b")
    panel.buttons["board damaged"].click()
    assert "Written down: The board for piece 2b was damaged. Plan the rest anew: the buttons are at the top." in (
        panel.lines["happened"].value
    )
    panel.buttons["row laid"].click()  # row 1 can be laid all the same
    assert "Written down: Row 1 is laid. Plan the rest anew" in panel.lines["laying"].value
    assert panel.lines["happened"].value == ""
    panel.buttons["row laid"].click()  # row 2 can not: what was written down last is no answer to this
    assert panel.lines["laying"].value == ""
    assert "piece 2b has no board" in panel.alerts["laying"].value


def test_in_a_row_that_a_hearth_parts_the_stretch_of_the_piece_is_meant(tmp_path):
    parted = fk.set_out(demo_room("sitting_room"), demo_boards()["Oak plank 1380 x 193"], search=fk.Search(quick=True))
    panel = day_panel(parted, tmp_path / "sitting.day.jsonl")
    lengths = parted.pieces.set_index("piece")["length_mm"]
    right = round(lengths["2c"] + lengths["2d"])  # the hearth stands between 2b and 2c
    put(panel, piece="2d", length=right + 2)
    panel.buttons["row measured"].click()
    assert panel.log.entries[1:] == (RowMeasured(2, right + 2, run=2),)
    assert panel.day.needed_mm("2d") == pytest.approx(lengths["2d"] + 2, abs=0.6)  # the sum is rounded to a whole mm
    assert panel.day.needed_mm("2b") == lengths["2b"]
    put(panel, piece="2c", length=round(lengths["2c"]) - 20)
    panel.buttons["started with"].click()
    assert panel.log.entries[2:] == (StartedWith(2, round(lengths["2c"]) - 20, run=2),)
    assert panel.day.laid == {"2c"}


# ---------------------------------------------------------------------- the record


@pytest.mark.parametrize(
    ("kind", "values", "entry"),
    [
        ("batch number", {"batch": " A113 ", "packs": 2}, BatchNoted("A113", 2)),
        ("reading", {"reading": "air humidity", "value": 48.0, "where": "bay"}, Reading("air humidity", 48.0, "bay")),
        ("gap as left", {"wall": 2, "gap": 9.5}, GapLeft(2, 9.5)),
        ("photo", {"file": "IMG_2031.jpg", "shows": "the pipe"}, PhotoTaken("IMG_2031.jpg", "the pipe")),
        ("boards damaged in the pack", {"boards": 2}, SparesDamaged(2)),
        ("remark", {"remark": "Skirting loose."}, Remark("Skirting loose.")),
    ],
)
def test_every_sort_of_note_makes_its_entry_and_shows_its_fields_alone(panel, kind, values, entry):
    panel.notes.kind.control.value = kind
    assert {name for name, field in panel.notes.fields.items() if field.box.layout.display != "none"} == set(values)
    for name, value in values.items():
        panel.notes.fields[name].control.value = value
    panel.buttons["note"].click()
    assert panel.log.entries[1:] == (entry,)
    assert panel.sheet.value == shown(entry)
    assert f"Written down: {as_laid.entry_words(entry)}" in panel.lines["record"].value


@pytest.mark.parametrize(
    ("kind", "values", "told"),
    [
        ("batch number", {}, "batch number must be one line of 1 to 500 characters, got &#x27;&#x27;."),
        ("photo", {}, "file name must be one line of 1 to 500 characters, got &#x27;&#x27;."),
        (
            "reading",
            {"reading": "flatness", "value": 60.0},
            "flatness must be 0 to 50 mm under a 2 m straightedge, got",
        ),
    ],
)
def test_a_note_that_says_nothing_is_refused_and_then_got_over(panel, kind, values, told):
    panel.notes.kind.control.value = kind
    for name, value in values.items():
        panel.notes.fields[name].control.value = value
    panel.buttons["note"].click()
    assert told in panel.alerts["record"].value
    assert len(panel.log.entries) == 1
    panel.notes.kind.control.value = "gap as left"
    panel.notes.fields["gap"].control.value = 300.0
    panel.buttons["note"].click()
    assert "Gap left, mm must be 0 to 200 mm, got 300 mm." in panel.notes.fields["gap"].complaint.value
    panel.notes.fields["gap"].control.value = 9.0
    panel.buttons["note"].click()
    assert panel.log.entries[1:] == (GapLeft(1, 9.0),)
    assert panel.alerts["record"].value == ""


def test_the_record_is_saved_as_the_plain_calls_give_it(tmp_path):
    panel = day_panel(
        plan(), tmp_path / "box.day.jsonl", name="Box room", boards_bought=32, kept_for_repairs=3, folder=tmp_path
    )
    panel.buttons["row laid"].click()
    panel.buttons["save pdf"].click()
    panel.buttons["save json"].click()
    times = [one.at for one in panel.log.logged]
    pdf, text = tmp_path / "record, Box room.pdf", tmp_path / "record, Box room.record.json"
    assert pdf.read_bytes() == fk.day_record_pdf(
        panel.day, name="Box room", times=times, boards_bought=32, kept_for_repairs=3
    )
    tables = as_laid.record_tables(panel.day, times=times, boards_bought=32, kept_for_repairs=3)
    assert text.read_text(encoding="utf-8") == as_laid.record_json(tables, name="Box room")
    assert f"Saved: {text}" in panel.lines["record"].value
    assert len(panel.log.entries) == 2  # saving is no entry


def test_the_record_goes_among_the_users_own_files_unless_a_folder_is_given(panel):
    panel.buttons["save pdf"].click()
    assert fk.files.own_path("record, box room.pdf").read_bytes().startswith(b"%PDF-")
    assert str(fk.files.own_path("record, box room.pdf")) in panel.lines["record"].value


def test_a_folder_that_is_not_there_is_told_under_the_buttons(tmp_path):
    panel = day_panel(plan(), tmp_path / "box.day.jsonl", folder=tmp_path / "gone")
    panel.buttons["save pdf"].click()
    assert "gone" in panel.alerts["record"].value
    panel.buttons["row laid"].click()
    assert panel.alerts["record"].value == ""
