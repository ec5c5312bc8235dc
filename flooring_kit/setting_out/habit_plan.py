"""The habit as a floor that can be drawn: start with a whole board, carry on with the offcut."""

from __future__ import annotations

from dataclasses import replace

from flooring_kit.products import Board
from flooring_kit.room import Room
from flooring_kit.rules import Direction, LayingRules, Start
from flooring_kit.setting_out.asked import at_the_door
from flooring_kit.setting_out.boards import Sawn, natural_across_t
from flooring_kit.setting_out.habit import CarriedPiece, carried_on
from flooring_kit.setting_out.pieces import Piece, cut_runs
from flooring_kit.setting_out.plan import FirstRow, Plan, Search
from flooring_kit.setting_out.planner import Planner


@at_the_door
def habit_plan(
    room: Room,
    board: Board,
    *,
    rules: LayingRules | None = None,
    direction: Direction = "long",
    start: Start = "first",
) -> Plan:
    """The floor laid by habit: a whole first row, a whole first board, every further row begun with the last offcut.

    Parameters
    ----------
    room, board
        The survey and the board.
    rules
        The rules it is judged by; the habit itself keeps none, nor any margin on offcuts.
    direction, start
        As for :func:`flooring_kit.set_out`.

    Returns
    -------
    Plan
        Laid out in full; `broken_rules` says what is wrong with it.

    Raises
    ------
    ValueError
        As :func:`flooring_kit.set_out`.
    """
    judged = replace(rules or LayingRules(), offcut_margin_mm=0.0, most_offcuts_waiting=None)
    planner = Planner(room, board, judged, direction, FirstRow(start, board.width_mm), Search(quick=True))
    runs = planner.as_jointed_runs(range(len(planner.runs)))
    carried = carried_on(runs, board_t=planner.board_t, kerf_t=round(judged.kerf_mm * 10))
    starts = [
        [run.start + sum(before.length for before in cut[:place]) for place in range(len(cut))]
        for run, cut in zip(runs, carried, strict=True)
    ]
    cuts = [[start / 10 for start in of_run[1:]] for of_run in starts]
    pieces = cut_runs(planner.runs, cuts)
    sawn = [_sawn(piece, carried[piece.run], starts[piece.run], planner.width_t) for piece in pieces]
    return planner.plan_of(cuts, pieces, sawn)


def _sawn(piece: Piece, carried: list[CarriedPiece], starts: list[float], width_t: int) -> Sawn:
    """Where the piece lies on the board it is carried on from: within its stretch, at the end it has to keep."""
    at = max(n for n, start in enumerate(starts) if start <= piece.u0 * 10 + 1)
    stretch = carried[at]
    latest = stretch.along + stretch.length - piece.length_t
    along = latest if piece.right else stretch.along if piece.left else stretch.along + int(piece.u0 * 10 - starts[at])
    return Sawn(stretch.board, max(stretch.along, min(along, latest)), natural_across_t(piece, width_t))
