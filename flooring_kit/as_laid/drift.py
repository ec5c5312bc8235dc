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

from flooring_kit.as_laid.day import Day
from flooring_kit.setting_out.from_here import pieces_of_run, run_length_mm, runs_of_row
from flooring_kit.tables import records

ROWS_AHEAD = 2
"""How far a drift is drawn on: further on it will have been measured."""

NO_DRIFT_MM = 0.5
"""A row this near to the plan lies as planned: a tape tells no less."""


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
    """Which rules the drift breaks in rows not laid, each with what to do."""
    plan, rules, told = day.plan, day.plan.rules, []
    pieces = {piece.piece: piece for piece in records(plan.pieces)}
    drifts = {(drift.row, drift.run): drift for drift in row_drifts(day)}
    for drift in drifts.values():
        run = runs_of_row(plan, drift.row)[drift.run - 1]
        labels = pieces_of_run(plan, run)
        if set(labels) <= day.laid or abs(drift.longer_mm) + abs(drift.starts_mm) <= NO_DRIFT_MM:
            continue
        if len(labels) > 1 and labels[-1] not in day.laid:
            told += _last_piece_warnings(day, pieces[labels[-1]], drift)
        before = drifts.get((drift.row - 1, 1))
        shift = drift.starts_mm - (before.starts_mm if before else 0.0)
        if abs(shift) > NO_DRIFT_MM and labels[0] not in day.laid:
            apart = _nearest_joint_mm(day, drift.row, shift)
            if apart is not None and apart < rules.joint_offset_mm - NO_DRIFT_MM:
                told.append(
                    f"Row {drift.row}: its joints come within {apart:.0f} mm of those of row {drift.row - 1}, the rule "
                    f"is {rules.joint_offset_mm:g} mm. Plan anew from here."
                )
    return told


def _last_piece_warnings(day: Day, last: Any, drift: RowDrift) -> list[str]:
    """What a row's other length does to its last piece."""
    plan, rules = day.plan, day.plan.rules
    label, planned = last.piece, last.length_mm
    length = planned + drift.longer_mm
    is_read = "is" if drift.measured else "will be"
    if length < rules.shortest_piece_mm - NO_DRIFT_MM:
        return [
            f"Row {drift.row}: its last piece {label} {is_read} {length:.0f} mm, short of the shortest piece, "
            f"{rules.shortest_piece_mm:g} mm. Plan anew from here."
        ]
    if length > plan.board.length_mm + NO_DRIFT_MM:
        return [
            f"Row {drift.row}: its last piece {label} {is_read} {length:.0f} mm, longer than a board, "
            f"{plan.board.length_mm:g} mm. Plan anew from here."
        ]
    free = _free_beside_mm(day, last)
    if drift.longer_mm > free + NO_DRIFT_MM:
        return [
            f"Row {drift.row}: its last piece {label} {is_read} {drift.longer_mm:.0f} mm longer than planned, more "
            f"than the {free:.0f} mm kept free on its board. Plan anew from here."
        ]
    return []


def _free_beside_mm(day: Day, last: Any) -> float:
    """How much longer a last piece can be sawn from its board: up to the next piece or the board's end [mm]."""
    _, back, high, front = day.place_of(last)
    plan, kerf_mm = day.plan, day.plan.rules.kerf_mm
    taken = [gone.rectangle for gone in day.gone.get(int(last.board), ())]
    taken += [
        day.place_of(other) for other in records(plan.pieces) if other.board == last.board and other.piece != last.piece
    ]
    starts = [a for a, c, _, d in taken if a >= high and c < front and d > back]
    length_t = next((one.length_t for one in day.at_hand if one.board == last.board), round(plan.board.length_mm * 10))
    return min([(length_t - high) / 10, *((a - high) / 10 - kerf_mm for a in starts)])


def _nearest_joint_mm(day: Day, row: int, shift_mm: float) -> float | None:
    """Least distance between the joints of a row, so far to the right, and those of the row before [mm]."""
    shapes = day.plan.frame.to_laying(day.plan.pieces["shape"].to_numpy())
    starts: dict[int, list[float]] = {}
    for at, joined, shape in zip(day.plan.pieces["row"], day.plan.joined["left"], shapes, strict=True):
        if joined:
            starts.setdefault(int(at), []).append(float(shape.bounds[0]))
    apart = [abs(a + shift_mm - b) for a in starts.get(row, ()) for b in starts.get(row - 1, ())]
    return min(apart, default=None)
