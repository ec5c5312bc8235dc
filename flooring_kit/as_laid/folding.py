"""The entries of a log folded into the day they tell of, one step for each sort of entry."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from flooring_kit.as_laid.day import Day, Gone, Held, is_whole_board, keeps_right_end, rectangle_of
from flooring_kit.checks import counted, require_between
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
    PlannedAnew,
    Reading,
    Remark,
    RowLaid,
    RowMeasured,
    SparesDamaged,
    StartedWith,
    Undone,
    entry_name,
    row_of,
)
from flooring_kit.setting_out import Plan
from flooring_kit.setting_out.boards import Rectangle
from flooring_kit.setting_out.from_here import (
    PlanRecord,
    from_record,
    pieces_of_run,
    run_length_mm,
    runs_of_row,
    with_first_joint,
)
from flooring_kit.tables import records

LENGTH_TOLD_MM = 0.5
"""A piece that came out this near to what is wanted is right: nobody saws nearer."""

MOST_DRIFT_MM = 100.0
"""A row this far off the plan is not a wall a little out: the survey is wrong."""


def as_laid(plan: Plan, entries: Sequence[Entry]) -> Day:
    """What the entries of a log make of a plan.

    Parameters
    ----------
    plan
        The plan the day began with.
    entries
        All entries in order, numbered from 1.

    Raises
    ------
    ValueError
        For an entry that can't be: a piece the plan has not got, a row laid twice, a piece whose board is spoiled. The
        message begins with the entry's number.

    Examples
    --------
    >>> from flooring_kit.products import Board
    >>> from flooring_kit.room import Room
    >>> from flooring_kit.setting_out import set_out
    >>> store = Room("store", ((0, 0), (4020, 0), (4020, 792), (0, 792)))
    >>> day = as_laid(set_out(store, Board("plank", 1800, 193, 8, 8)), [RowLaid(1), RowLaid(2), Undone(2)])
    >>> day.rows_laid, day.boards_opened
    ((1,), 3)
    """
    undone = _undone(entries)
    day = Day(plan, plan)
    for number, entry in enumerate(entries, start=1):
        if isinstance(entry, Undone) or number in undone:
            continue
        try:
            day = _STEPS[type(entry)](day, entry)
        except ValueError as slip:
            raise ValueError(f"entry {number} ({entry_name(entry)}): {slip}") from slip
    return replace(day, entries=tuple(entries), undone=frozenset(undone))


# ---------------------------------------------------------------------- one step for each sort of entry


def _undone(entries: Sequence[Entry]) -> set[int]:
    """Entries that do not hold: read backwards, since what undoes may itself be undone by a later one."""
    undone: set[int] = set()
    for number in range(len(entries), 0, -1):
        entry = entries[number - 1]
        if not isinstance(entry, Undone):
            continue
        if entry.number >= number:
            raise ValueError(f"entry {number} (undone): there is no entry {entry.number} before it to undo.")
        if number not in undone:
            undone.add(entry.number)
    return undone


def _piece(day: Day, label: str) -> Any:
    """The piece of that label, not laid yet."""
    found = day.plan.pieces[day.plan.pieces["piece"] == label]
    if found.empty:
        row = row_of(label)
        there = day.plan.pieces["piece"][day.plan.pieces["row"] == row].tolist()
        hint = f"Row {row} has {', '.join(there)}." if there else f"The plan has {counted(day.plan.rows, 'row')}."
        raise ValueError(f"the plan has no piece {label}. {hint}")
    if label in day.laid:
        raise ValueError(f"piece {label} is laid already. If it is not, undo the entry that says so.")
    return records(found)[0]


def _lay(day: Day, labels: Sequence[str]) -> Day:
    stuck = [label for label in labels if label in day.homeless]
    if stuck:
        raise ValueError(
            f"piece {stuck[0]} has no board: the one it was planned from is spoiled or lost. Plan anew from here first."
        )
    boards = day.plan.pieces.set_index("piece")["board"]
    gone = dict(day.gone)
    for label in labels:
        gone.setdefault(int(boards[label]), ())
    return replace(day, laid=day.laid | set(labels), gone=gone)


def _row_laid(day: Day, entry: RowLaid) -> Day:
    labels = day.plan.pieces["piece"][day.plan.pieces["row"] == entry.row].tolist()
    if not labels:
        raise ValueError(f"there is no row {entry.row}: the plan has {counted(day.plan.rows, 'row')}.")
    left = [label for label in labels if label not in day.laid]
    if not left:
        raise ValueError(f"row {entry.row} is laid already. If it is not, undo the entry that says so.")
    return _lay(day, left)


def _laid_up_to(day: Day, entry: LaidUpTo) -> Day:
    piece = _piece(day, entry.piece)
    table = day.plan.pieces
    labels = table["piece"][(table["row"] == piece.row) & (table["place"] <= piece.place)].tolist()
    return _lay(day, [label for label in labels if label not in day.laid])


def _started_with(day: Day, entry: StartedWith) -> Day:
    runs = runs_of_row(day.plan, entry.row)
    if entry.run > len(runs):
        raise _no_such_stretch(entry.row, entry.run, len(runs))
    run = runs[entry.run - 1]
    first = pieces_of_run(day.plan, run)[0]
    if first in day.laid:
        raise ValueError(f"row {entry.row} is begun already with {first}. If it is not, undo the entry that says so.")
    day = _lay(day, [first])
    starts_mm = day.measured[run].starts_mm if run in day.measured else 0.0
    joint_mm = entry.first_joint_mm + starts_mm  # the plan counts from where it has the row begin
    plan, laid = with_first_joint(day.plan, day.laid, day.at_hand, run=run, first_joint_mm=joint_mm)
    return _with_boards_of_laid(replace(day, plan=plan, laid=frozenset(laid)))


def _no_such_stretch(row: int, run: int, runs: int) -> ValueError:
    there = f"the plan has {runs} there" if runs else "the plan has no such row"
    return ValueError(f"row {row} has no stretch {run}: {there}.")


def _came_out(day: Day, entry: CameOut) -> Day:
    piece = _piece(day, entry.piece)
    if entry.length_mm >= day.needed_mm(entry.piece) - LENGTH_TOLD_MM:
        return day  # right, or long enough to be sawn again
    low, back, high, front = day.place_of(piece)
    kerf, came = round(day.plan.rules.kerf_mm * 10), round(entry.length_mm * 10)
    # Long enough for the plan and too short for the row as measured: the planned place is gone all the same, so the
    # cut is reckoned to reach just into it.
    kept = min(came, high - low - 1)
    if keeps_right_end(day.plan, piece):
        cut = high - came - kerf, back, high - kept, front
    else:
        cut = low + kept, back, low + came + kerf, front
    return _lose(day, int(piece.board), Gone(cut, cut=True))


def _piece_spoiled(day: Day, entry: PieceSpoiled) -> Day:
    piece = _piece(day, entry.piece)
    return _lose(day, int(piece.board), Gone(day.place_of(piece)))


def _board_damaged(day: Day, entry: BoardDamaged) -> Day:
    return _lose(day, int(_piece(day, entry.piece).board), Gone(_whole(day)))


def _offcut_lost(day: Day, entry: OffcutLost) -> Day:
    piece = _piece(day, entry.piece)
    board = int(piece.board)
    if board not in day.gone and board not in {held.board for held in day.held}:
        raise ValueError(
            f"piece {entry.piece} is planned from board {board}, which is not opened yet, so no offcut waits for it."
        )
    return _lose(day, board, Gone(_free_round(day, piece)))


def _spares_damaged(day: Day, entry: SparesDamaged) -> Day:
    return replace(day, spares_damaged=day.spares_damaged + entry.boards)


def _in_hand(day: Day, entry: InHand) -> Day:
    whole = is_whole_board(entry, day.plan)
    if whole:
        return replace(day, whole_in_hand=day.whole_in_hand + entry.count)
    numbers = {*day.plan.pieces["board"].tolist(), *day.gone, *(held.board for held in day.held)}
    first = int(max(numbers, default=0)) + 1
    held = tuple(Held(first + n, replace(entry, count=1)) for n in range(entry.count))
    return replace(day, held=day.held + held)


def _row_measured(day: Day, entry: RowMeasured) -> Day:
    runs = runs_of_row(day.plan, entry.row)
    if entry.run > len(runs):
        raise _no_such_stretch(entry.row, entry.run, len(runs))
    planned = run_length_mm(day.plan, runs[entry.run - 1])
    require_between(
        entry.length_mm,
        planned - MOST_DRIFT_MM,
        planned + MOST_DRIFT_MM,
        f"measured length of row {entry.row}",
        unit="mm",
        hint=f"The plan has {planned:g} mm. Measure again; if it is right, the survey is not: set the floor out anew.",
    )
    return replace(day, measured={**day.measured, runs[entry.run - 1]: entry})


def _planned_anew(day: Day, entry: PlannedAnew) -> Day:
    plan = from_record(day.plan, PlanRecord(entry.first_joints_t, entry.places_t))
    before, after = (
        {piece.piece: (piece.board, *rectangle_of(piece)) for piece in records(one.pieces) if piece.piece in day.laid}
        for one in (day.plan, plan)
    )
    if before != after:
        moved = next(label for label in before if before[label] != after.get(label))
        raise ValueError(f"the plan recorded moves piece {moved}, which is laid.")
    untouched = not (day.laid or day.gone)  # the plan a log begins with
    return replace(day, plan=plan, first_plan=plan if untouched else day.first_plan)


def _noted(day: Day, entry: Entry) -> Day:
    if isinstance(entry, GapLeft) and entry.wall > len(day.plan.room.walls):
        raise ValueError(f"there is no wall {entry.wall}: the room has {len(day.plan.room.walls)} walls.")
    return replace(day, notes=(*day.notes, entry))


def _lose(day: Day, board: int, gone: Gone) -> Day:
    return replace(day, gone={**day.gone, board: (*day.gone.get(board, ()), gone)})


def _whole(day: Day) -> Rectangle:
    return 0, 0, round(day.plan.board.length_mm * 10), round(day.plan.board.width_mm * 10)


def _with_boards_of_laid(day: Day) -> Day:
    """The day with every board opened that a laid piece comes from."""
    table = day.plan.pieces
    boards = table["board"][table["piece"].isin(day.laid)].tolist()
    return replace(day, gone={**{int(board): () for board in boards}, **day.gone})


def _free_round(day: Day, piece: Any) -> Rectangle:
    """What is left of the board round a planned piece: up to what is laid from it, lengthways or beside."""
    low, back, high, front = _whole(day)
    at = day.place_of(piece)
    for other in records(day.plan.pieces):
        if other.board != piece.board or other.piece not in day.laid:
            continue
        a, c, b, d = day.place_of(other)
        beside = a < at[2] and b > at[0]
        if beside:
            back, front = (max(back, d), front) if d <= at[1] else (back, min(front, c))
        else:
            low, high = (max(low, b), high) if b <= at[0] else (low, min(high, a))
    return low, back, high, front


_STEPS: dict[type[Any], Callable[[Day, Any], Day]] = {
    RowLaid: _row_laid,
    LaidUpTo: _laid_up_to,
    StartedWith: _started_with,
    CameOut: _came_out,
    PieceSpoiled: _piece_spoiled,
    BoardDamaged: _board_damaged,
    OffcutLost: _offcut_lost,
    SparesDamaged: _spares_damaged,
    InHand: _in_hand,
    RowMeasured: _row_measured,
    PlannedAnew: _planned_anew,
    GapLeft: _noted,
    Reading: _noted,
    BatchNoted: _noted,
    PhotoTaken: _noted,
    Remark: _noted,
}
