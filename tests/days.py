"""Days for tests and the benchmark: small floors put together by hand, floors half laid, and something spoiled."""

from __future__ import annotations

import math
import random
from functools import cache

from floors import demo_boards, demo_room, rectangle

import flooring_kit as fk
from flooring_kit import as_laid
from flooring_kit.day_entries import BoardDamaged, CameOut, Entry, LaidUpTo, OffcutLost, PieceSpoiled, RowLaid
from flooring_kit.setting_out.from_here import PlanRecord, from_record

BOARD = fk.Board("plank", 1500, 200, 8, 8)
RULES = fk.LayingRules(offcut_margin_mm=10, kerf_mm=3)


@cache
def small() -> fk.Plan:
    """Two rows of 2000, a board's width each, put together by hand, not with the fewest boards.

    Row 1: 900 off board 1, 1100 off board 2. Row 2: 1300 off board 3, 700 off board 4: board 1 has a left end free,
    but only 1500 - 900 - 13 = 587 of it.
    """
    plan = fk.set_out(rectangle(2020, 420), BOARD, rules=RULES, first_row=fk.FirstRow(width_mm=200.0))
    return from_record(plan, PlanRecord((9000, 13000), ((1, 6000, 0), (2, 0, 0), (3, 2000, 0), (4, 0, 0))))


@cache
def box_room() -> fk.Plan:
    return fk.set_out(demo_room("box_room"), demo_boards()["Oak plank 1380 x 193"], search=fk.Search(quick=True))


def day_of(*entries: Entry, plan: fk.Plan | None = None) -> as_laid.Day:
    return as_laid.as_laid(plan or small(), entries)


@cache
def long_rows() -> fk.Plan:
    """Six rows of 2000 in a room, laid settled, at most so many offcuts shared."""
    return fk.set_out(rectangle(2020, 1220), BOARD, rules=RULES)


def one_piece_rows() -> fk.Plan:
    """Two rows of 1000, each in one piece from a board of 1500."""
    return fk.set_out(rectangle(1020, 420), BOARD, search=fk.Search(quick=True))


def shared() -> fk.Plan:
    """As `small`, but 2b, 560 long, is the left end of board 1, whose right end is 1a: 600 - 560 = 40 free."""
    return from_record(small(), PlanRecord((9000, 14400), ((1, 6000, 0), (2, 0, 0), (3, 600, 0), (1, 0, 0))))


def half_laid(plan: fk.Plan) -> list[Entry]:
    """Every row up to the middle one."""
    return [RowLaid(row) for row in range(1, plan.rows // 2 + 1)]


def next_piece(plan: fk.Plan, laid: frozenset[str]) -> str:
    """The first piece in laying order that is not down."""
    return next(piece for piece in plan.pieces["piece"] if piece not in laid)


def mishap(plan: fk.Plan, *, seed: int) -> list[Entry]:
    """A day up to something going wrong, somewhere in the floor, drawn at random."""
    draw = random.Random(seed)
    done = draw.randint(0, plan.rows - 1)
    entries: list[Entry] = [RowLaid(row) for row in range(1, done + 1)]
    row = plan.pieces[plan.pieces["row"] == done + 1]
    at = draw.randrange(len(row))
    if at:
        entries.append(LaidUpTo(row["piece"].iloc[at - 1]))
    day = as_laid.as_laid(plan, entries)
    piece, length = row["piece"].iloc[at], float(row["length_mm"].iloc[at])
    waiting = [
        label
        for label, board in zip(plan.pieces["piece"], plan.pieces["board"], strict=True)
        if label not in day.laid and board in day.gone
    ]
    kinds: list[Entry] = [PieceSpoiled(piece), BoardDamaged(piece)]
    if length > 50:
        kinds.append(CameOut(piece, float(draw.randint(math.ceil(length * 0.3), math.floor(length - 1)))))
    if waiting:
        kinds.append(OffcutLost(draw.choice(waiting)))
    return [*entries, draw.choice(kinds)]
