"""Measured lengths win: what the tape finds of each row, where that leads, and which rule it will break.

A wall out of true shows row by row::

    plan   |------------------------------------|
    row 3  |------------------------------------|.     + 1 mm
    row 4  |------------------------------------|...   + 3 mm
    row 5  |------------------------------------|.....   + 5 mm, if it goes on so
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from flooring_kit.as_laid.day import NO_DRIFT_MM, Day, keeps_right_end
from flooring_kit.setting_out.from_here import pieces_of_run, run_length_mm, runs_of_row
from flooring_kit.tables import records

ROWS_AHEAD = 2
"""How far a drift is drawn on: further on it will have been measured."""


@dataclass(frozen=True)
class RowDrift:
    """How a row lies against the plan.

    Parameters
    ----------
    row, run
        The row, and which stretch of it from the left, from 1.
    starts_mm, ends_mm
        How far its start and its end lie to the right of where the plan has them [mm].
    measured
        False where it is drawn on from the rows before.
    """

    row: int
    run: int
    starts_mm: float
    ends_mm: float
    measured: bool

    @property
    def longer_mm(self) -> float:
        """How much longer than planned the row is [mm]."""
        return self.ends_mm - self.starts_mm


def row_drifts(day: Day) -> list[RowDrift]:
    """Every row measured, and the next two drawn on from the last two measured, row by row.

    Only rows of one stretch are drawn on: where a hearth parts a row, the next measurement tells.
    """
    found = [
        RowDrift(one.row, one.run, one.starts_mm, one.starts_mm + one.length_mm - run_length_mm(day.plan, run), True)
        for run, one in sorted(day.measured.items())
    ]
    alone = [drift for drift in found if len(runs_of_row(day.plan, drift.row)) == 1]
    if not alone:
        return found
    last, before = alone[-1], alone[-2] if len(alone) > 1 else None
    rows_between = last.row - before.row if before else 1
    per_row = [
        (now - then) / rows_between if before else 0.0
        for now, then in (
            (last.starts_mm, before.starts_mm if before else 0.0),
            (last.ends_mm, before.ends_mm if before else 0.0),
        )
    ]
    for ahead in range(1, ROWS_AHEAD + 1):
        row = last.row + ahead
        if len(runs_of_row(day.plan, row)) == 1:
            starts, ends = last.starts_mm + ahead * per_row[0], last.ends_mm + ahead * per_row[1]
            found.append(RowDrift(row, 1, round(starts, 1) + 0.0, round(ends, 1) + 0.0, False))
    return sorted(found, key=lambda drift: (drift.row, drift.run))


def drift_ahead_mm(day: Day) -> float:
    """The furthest that rows not laid are expected to stand off from the plan [mm, rounded up to a whole one]."""
    laid = set(day.rows_laid)
    furthest = max(
        (
            max(abs(one.starts_mm), abs(one.ends_mm), abs(one.longer_mm))
            for one in row_drifts(day)
            if one.row not in laid
        ),
        default=0.0,
    )
    return float(-(-furthest // 1)) if furthest > NO_DRIFT_MM else 0.0


def drift_warnings(day: Day) -> list[str]:
    """Which rules the drift breaks in rows not laid, each with what to do.

    Joints stay where the plan has them, so a drift shows in the first and the last piece of a row alone.
    """
    told = []
    pieces = {piece.piece: piece for piece in records(day.plan.pieces)}
    for drift in row_drifts(day):
        labels = pieces_of_run(day.plan, runs_of_row(day.plan, drift.row)[drift.run - 1])
        names = {labels[0]: "first", labels[-1]: "last"} if len(labels) > 1 else {labels[0]: "one"}
        for label, name in names.items():
            longer_mm = day.longer_mm(label, starts_mm=drift.starts_mm, ends_mm=drift.ends_mm)
            if label not in day.laid and abs(longer_mm) > NO_DRIFT_MM:
                fault = _fault(day, pieces[label], longer_mm, alone=len(labels) == 1)
                is_read = "is" if drift.measured else "will be"
                if fault:
                    told.append(f"Row {drift.row}: its {name} piece {label} {is_read} {fault}. Plan anew from here.")
    return told


def _fault(day: Day, piece: Any, longer_mm: float, *, alone: bool) -> str:
    """What is wrong with a piece so much longer; "" where it can be sawn as planned."""
    plan, rules = day.plan, day.plan.rules
    length = piece.length_mm + longer_mm
    if length < rules.shortest_piece_mm - NO_DRIFT_MM and not alone:
        return f"{length:.0f} mm, short of the shortest piece, {rules.shortest_piece_mm:g} mm"
    if length > plan.board.length_mm + NO_DRIFT_MM:
        return f"{length:.0f} mm, longer than a board, {plan.board.length_mm:g} mm"
    free = _free_beside_mm(day, piece)
    if longer_mm > free + NO_DRIFT_MM:
        return f"{longer_mm:.0f} mm longer than planned, more than the {free:.0f} mm kept free on its board"
    return ""


def _free_beside_mm(day: Day, piece: Any) -> float:
    """How much longer a piece can be sawn from its board: up to the next piece or the board's end [mm].

    A row's first piece keeps its right end and grows to the left on its board; any other grows to the right.
    """
    low, back, high, front = day.place_of(piece)
    plan, kerf_mm = day.plan, day.plan.rules.kerf_mm
    taken = [gone.rectangle for gone in day.gone.get(int(piece.board), ())]
    taken += [
        day.place_of(other)
        for other in records(plan.pieces)
        if other.board == piece.board and other.piece != piece.piece
    ]
    beside = [(a, b) for a, c, b, d in taken if c < front and d > back]
    if keeps_right_end(plan, piece):
        return min([low / 10, *((low - b) / 10 - kerf_mm for _, b in beside if b <= low)])
    length_t = next((one.length_t for one in day.at_hand if one.board == piece.board), round(plan.board.length_mm * 10))
    return min([(length_t - high) / 10, *((a - high) / 10 - kerf_mm for a, _ in beside if a >= high)])
