"""Days that go wrong, for tests and the benchmark: a floor half laid, and something spoiled."""

from __future__ import annotations

import math
import random

import flooring_kit as fk
from flooring_kit import as_laid
from flooring_kit.day_entries import BoardDamaged, CameOut, Entry, LaidUpTo, OffcutLost, PieceSpoiled, RowLaid


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
