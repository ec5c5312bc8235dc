"""Rows measured: the joints stay, the ends take up the difference, and a drift is told before it breaks a rule."""

from __future__ import annotations

from dataclasses import replace

import pytest
from days import BOARD, day_of, long_rows, one_piece_rows, shared, small
from floors import rectangle
from hypothesis import given, settings
from hypothesis import strategies as st

import flooring_kit as fk
from flooring_kit import as_laid
from flooring_kit.day_entries import (
    Entry,
    RowLaid,
    RowMeasured,
    StartedWith,
)
from flooring_kit.setting_out.from_here import PlanRecord, from_record, pieces_of_run


def test_a_drift_is_drawn_on_for_two_rows_by_the_last_two_measured():
    day = day_of(RowMeasured(1, 2001), RowMeasured(3, 2005, starts_mm=-1), plan=long_rows())
    # ends: + 1 in row 1, + 4 in row 3: 1.5 a row; starts: 0 and -1: half a mm a row
    assert [(d.row, d.starts_mm, d.ends_mm, d.measured) for d in as_laid.row_drifts(day)] == [
        (1, 0.0, 1.0, True),
        (3, -1.0, 4.0, True),
        (4, -1.5, 5.5, False),
        (5, -2.0, 7.0, False),
    ]


def test_one_measurement_alone_is_taken_to_hold_further_on():
    day = day_of(RowMeasured(2, 2004), plan=long_rows())
    assert [(d.row, d.ends_mm) for d in as_laid.row_drifts(day)] == [(2, 4.0), (3, 4.0), (4, 4.0)]


def test_what_a_row_measures_goes_to_its_two_ends_and_the_joints_stay():
    day = day_of(RowMeasured(1, 1993))
    assert (day.needed_mm("1a"), day.needed_mm("1b"), day.needed_mm("2b")) == (900.0, 1093.0, 700.0)
    moved = day_of(RowMeasured(1, 1993, starts_mm=4))  # begins 4 further right, ends 3 further left: 4 + 1993 - 2000
    assert (moved.needed_mm("1a"), moved.needed_mm("1b")) == (896.0, 1097.0)


def test_a_row_laid_in_one_piece_needs_what_it_measures():
    day = day_of(RowMeasured(1, 1010, starts_mm=-4), plan=one_piece_rows())
    assert day.needed_mm("1a") == 1010


@given(
    row=st.integers(1, 6),
    measured_t=st.integers(19_000, 21_000),
    starts_t=st.integers(-500, 500),
    first_joint=st.none() | st.integers(400, 1400),
)
@settings(deadline=None, max_examples=60)
def test_the_pieces_of_a_row_make_up_what_it_measures(row, measured_t, starts_t, first_joint):
    entries: list[Entry] = [RowMeasured(row, measured_t / 10, starts_mm=starts_t / 10)]
    if first_joint is not None:
        entries.append(StartedWith(row, first_joint))
    day = day_of(*entries, plan=long_rows())
    pieces = pieces_of_run(day.plan, row - 1)
    needed = [day.needed_mm(piece) for piece in pieces]
    assert sum(needed) == pytest.approx(measured_t / 10, abs=0.01)
    if first_joint is not None:
        assert needed[0] == pytest.approx(first_joint, abs=0.01)


def test_a_drift_that_uses_up_the_margin_is_told_two_rows_before():
    plan = long_rows()
    shared = [
        (piece.row, piece.piece)
        for piece in plan.pieces.itertuples()
        if piece.place == 2 and (plan.pieces["board"] == piece.board).sum() > 1
    ]
    row, label = next((row, label) for row, label in shared if row > 2)
    told = as_laid.drift_warnings(day_of(RowMeasured(row - 2, 2012), plan=plan))
    assert (
        f"Row {row}: its last piece {label} will be 12 mm longer than planned, more than the 10 mm kept free on its "
        "board. Plan anew from here."
    ) in told


def test_a_drift_that_leaves_a_last_piece_too_short_is_told():
    short = from_record(small(), PlanRecord((9000, 15000), ((1, 6000, 0), (2, 0, 0), (3, 0, 0), (4, 0, 0))))
    day = day_of(RowMeasured(2, 1950), plan=short)  # 500 less 50
    assert as_laid.drift_warnings(day) == []
    rules = fk.LayingRules(shortest_piece_mm=480)
    strict = fk.set_out(rectangle(2020, 420), BOARD, rules=rules, first_row=fk.FirstRow(width_mm=200.0))
    strict = from_record(strict, PlanRecord((9000, 15000), ((1, 6000, 0), (2, 0, 0), (3, 0, 0), (4, 0, 0))))
    assert as_laid.drift_warnings(day_of(RowMeasured(2, 1950), plan=strict)) == [
        "Row 2: its last piece 2b is 450 mm, short of the shortest piece, 480 mm. Plan anew from here."
    ]


def test_a_row_that_begins_elsewhere_moves_no_joint():
    # Joints at 900 and 1210: 310 apart, as planned, wherever row 2 begins: its first piece takes that up.
    plan = from_record(small(), PlanRecord((9000, 12100), ((1, 6000, 0), (2, 0, 0), (3, 2900, 0), (4, 0, 0))))
    day = day_of(RowMeasured(2, 2020, starts_mm=-20), plan=plan)
    assert (day.needed_mm("2a"), day.needed_mm("2b")) == (1230.0, 790.0)
    assert as_laid.drift_warnings(day) == []


def test_a_first_piece_too_long_or_too_short_is_told():
    # As below at the other end: 500 less 250; and a whole board at the start of a row that begins 20 further left.
    short = from_record(small(), PlanRecord((9000, 5000), ((1, 6000, 0), (2, 0, 0), (3, 10000, 0), (4, 0, 0))))
    assert as_laid.drift_warnings(day_of(RowMeasured(2, 1950, starts_mm=250), plan=short)) == [
        "Row 2: its first piece 2a is 250 mm, short of the shortest piece, 300 mm. Plan anew from here.",
        "Row 2: its last piece 2b is 1700 mm, longer than a board, 1500 mm. Plan anew from here.",
    ]
    whole = from_record(small(), PlanRecord((9000, 15000), ((1, 6000, 0), (2, 0, 0), (3, 0, 0), (4, 0, 0))))
    assert as_laid.drift_warnings(day_of(RowMeasured(2, 2020, starts_mm=-20), plan=whole)) == [
        "Row 2: its first piece 2a is 1520 mm, longer than a board, 1500 mm. Plan anew from here."
    ]


def test_a_first_piece_that_shares_its_board_has_only_what_is_free_beside_it():
    # 1a is the right 900 of board 1, 2b the left 560: 40 free, 37 beside the kerf.
    assert as_laid.drift_warnings(day_of(RowMeasured(1, 2037, starts_mm=-37), plan=shared())) == []
    assert as_laid.drift_warnings(day_of(RowMeasured(1, 2040, starts_mm=-40), plan=shared()))[0] == (
        "Row 1: its first piece 1a is 40 mm longer than planned, more than the 37 mm kept free on its board. Plan anew "
        "from here."
    )


def test_a_row_of_one_piece_longer_than_a_board_is_told():
    plan = fk.set_out(rectangle(1510, 420), BOARD, search=fk.Search(quick=True))  # rows of 1490
    assert plan.pieces["length_mm"].tolist() == [1490, 1490]
    assert as_laid.drift_warnings(day_of(RowMeasured(2, 1520), plan=plan)) == [
        "Row 2: its one piece 2a is 1520 mm, longer than a board, 1500 mm. Plan anew from here."
    ]
    assert as_laid.drift_warnings(day_of(RowMeasured(2, 1499), plan=plan)) == []


def test_a_last_piece_longer_than_a_board_is_told():
    plan = from_record(small(), PlanRecord((9000, 5000), ((1, 6000, 0), (2, 0, 0), (3, 10000, 0), (4, 0, 0))))
    day = day_of(RowMeasured(2, 2030), plan=plan)
    assert as_laid.drift_warnings(day) == [
        "Row 2: its last piece 2b is 1530 mm, longer than a board, 1500 mm. Plan anew from here."
    ]


def test_rows_already_laid_are_not_warned_of():
    day = day_of(RowLaid(1), RowMeasured(1, 2030), RowLaid(2))
    assert as_laid.drift_warnings(day) == []


def test_planning_anew_after_a_drift_clears_its_warnings():
    plan = long_rows()
    entries = [RowLaid(1), RowMeasured(1, 2003), RowLaid(2), RowMeasured(2, 2012)]
    day = day_of(*entries, plan=plan)
    assert as_laid.drift_warnings(day) != []
    # 3 and 12 mm: 21 and 30 in the next two rows
    why = (
        "Rows to come may stand 30 mm off the plan, so each now keeps every rule with 30 mm more to spare. That can "
        "move joints in rows far from here too."
    )
    anew = as_laid.replan(day)
    assert not anew.changes.empty
    assert why in anew.sentences()
    assert why not in replace(anew, changes=anew.changes[:0]).sentences()  # where nothing changes, nothing is explained
    after = day_of(*entries, as_laid.replan(day).entry(), plan=plan)
    assert as_laid.drift_warnings(after) == []
