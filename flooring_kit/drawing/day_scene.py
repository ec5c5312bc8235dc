"""A floor half laid: which pieces are down, which come next, which wait for a board.

Told apart three ways at once: by shade, by hatch (level strokes: laid; both ways: no board) and by the label.
"""

from __future__ import annotations

import numpy as np

from flooring_kit.as_laid import Day
from flooring_kit.drawing.marks import Mark, Scene, Shape, Strokes, extent, shape_of
from flooring_kit.drawing.piece_marks import FONT_SHARE, LARGEST_LABEL_MM, SMALLER_FOR_SIZE, fitted_words, hatch
from flooring_kit.drawing.scene import furniture, key_marks, rings_of, sheet_of, start_wall_note, word_unit
from flooring_kit.tables import records

STATE_WORDS = {
    "laid": "laid",
    "comes next": "comes next",
    "no board": "no board: plan anew",
    "to come": "to come",
}
ABOUT_READ = "after ·: about, mm"


def day_scene(day: Day) -> Scene:
    """The floor as the day stands, the start wall on top.

    Parameters
    ----------
    day
        The day so far.
    """
    plan = day.plan
    to_sheet = sheet_of(plan)
    pieces, labels = [], []
    rings = rings_of(plan.pieces["shape"].to_numpy(), to_sheet)
    for piece, ring in zip(records(plan.pieces), rings, strict=True):
        state = _state(day, piece.piece, int(piece.row))
        about, more = "", {"laid": " laid", "no board": " no board"}.get(state, "")
        if state == "comes next":
            length = f"{day.needed_mm(piece.piece):.0f}"
            about, more = f", about {length} mm", f" · {length}"
        pieces.append(Shape(state, (ring,), f"Piece {piece.piece}: {STATE_WORDS[state]}{about}"))
        labels.append((piece.piece, more))
    hatches = [strokes for piece in pieces for strokes in hatch(piece)]
    last = ("comes next", "no board")  # their strong outlines are painted over their neighbours'
    marks: list[Mark] = [
        shape_of("gap", plan.room.polygon, to_sheet, "Expansion gap along the walls"),
        *sorted(pieces, key=lambda piece: piece.role in last),
        *([Strokes("hatch", np.vstack(hatches))] if hatches else []),
        *furniture(plan.room, to_sheet, labels=True),
    ]
    for piece, (name, more) in zip(pieces, labels, strict=True):
        longer, alone = fitted_words(piece, f"{name}{more}"), fitted_words(piece, name)
        marks.append(longer if longer.size_mm >= SMALLER_FOR_SIZE * alone.size_mm else alone)
    low, high = extent(marks)
    unit = word_unit(high - low)
    used = {state: words for state, words in STATE_WORDS.items() if any(piece.role == state for piece in pieces)}
    doors = {"door": "doorway"} if plan.room.doors else {}
    notes = [ABOUT_READ] if "comes next" in used else []
    marks += [*start_wall_note(low, unit, plan, to_sheet), *key_marks(low, high, unit, used | doors, notes=notes)]
    low, high = extent(marks)
    margin = 0.02 * float(max(high - low)) + 20
    title = f"Floor of {plan.room.name} as it stands: {len(day.rows_laid)} of {plan.rows} rows laid."
    left, top = (low - margin).tolist()
    width, height = (high - low + 2 * margin).tolist()
    label_mm = min(LARGEST_LABEL_MM, FONT_SHARE * plan.board.width_mm)
    return Scene(title, left, top, width, height, tuple(marks), label_mm)


def _state(day: Day, piece: str, row: int) -> str:
    """One of `STATE_WORDS`."""
    if piece in day.laid:
        return "laid"
    if piece in day.homeless:
        return "no board"
    return "comes next" if row == day.next_row else "to come"
