"""The panel for the day: every button is one entry on disk, and what is shown is the plain call's day."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from floors import demo_boards, demo_room

import flooring_kit as fk
from flooring_kit import as_laid
from flooring_kit.day_entries import (
    BoardDamaged,
    CameOut,
    Entry,
    InHand,
    LaidUpTo,
    OffcutLost,
    PieceSpoiled,
    RowLaid,
    RowMeasured,
    StartedWith,
    Undone,
)
from flooring_kit.day_sheet import day_html
from flooring_kit.html_parts import sheet_html
from flooring_kit.panels import DayPanel, day_panel


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


def test_a_spoiled_board_is_planned_round_and_what_came_of_it_is_said(panel):
    panel.buttons["row laid"].click()
    put(panel, piece="2b")
    panel.buttons["board damaged"].click()
    assert "No board for 2b" in panel.sheet.value
    assert panel.buttons["plan anew"].button_style == "danger"
    panel.buttons["row laid"].click()
    assert "piece 2b has no board" in panel.alerts["laying"].value
    assert panel.log.entries[-1] == BoardDamaged("2b")
    panel.buttons["plan anew"].click()
    assert panel.alerts["laying"].value == ""
    assert "28 boards from first to last, 1 more than the first plan." in panel.lines["laying"].value
    assert "The 32 boards bought still do, 4 over." in panel.lines["laying"].value
    assert panel.day.homeless == ()
    panel.buttons["row laid"].click()
    assert panel.day.rows_laid == (1, 2)


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
