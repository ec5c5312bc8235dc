"""What an entry of the log says, as one sentence."""

from __future__ import annotations

from flooring_kit.checks import counted
from flooring_kit.day_entries import (
    READINGS,
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
)


def entry_words(entry: Entry) -> str:
    """The entry as a sentence that stands by itself.

    >>> entry_words(BatchNoted("A113", 2))
    'Batch A113 on 2 packs.'
    """
    match entry:
        case RowLaid() | LaidUpTo() | StartedWith() | RowMeasured():
            return _of_a_row(entry)
        case CameOut() | PieceSpoiled() | BoardDamaged() | OffcutLost():
            return _of_a_piece(entry)
        case SparesDamaged():
            return f"{counted(entry.boards, 'board')} damaged in the pack."
        case InHand():
            name = f", {entry.name}" if entry.name else ""
            kind = "board" if entry.keeps_end == "both ends" else "offcut"
            return f"{counted(entry.count, kind)} of {entry.length_mm:g} mm in hand, {entry.keeps_end}{name}."
        case PlannedAnew():
            return "The rest was planned anew."
        case Undone():
            return f"Entry {entry.number} undone."
    return _for_the_record(entry)


def _of_a_row(entry: RowLaid | LaidUpTo | StartedWith | RowMeasured) -> str:
    match entry:
        case RowLaid():
            return f"Row {entry.row} is laid."
        case LaidUpTo():
            return f"Laid up to piece {entry.piece}."
        case StartedWith():
            return f"Row {entry.row}{_stretch(entry.run)} began with its joint at {entry.first_joint_mm:g} mm."
    return f"Row {entry.row}{_stretch(entry.run)} measured {entry.length_mm:g} mm{_begins(entry.starts_mm)}."


def _begins(starts_mm: float) -> str:
    """Where a row measured begins; nothing where it begins as planned."""
    if not starts_mm:
        return ""
    return f" and begins {abs(starts_mm):g} mm {'further into the room' if starts_mm > 0 else 'further back'}"


def _stretch(run: int) -> str:
    """Which stretch of a parted row; nothing for the first, which most rows have alone."""
    return f", stretch {run} from the left," if run > 1 else ""


def _of_a_piece(entry: CameOut | PieceSpoiled | BoardDamaged | OffcutLost) -> str:
    match entry:
        case CameOut():
            return f"Piece {entry.piece} came out at {entry.length_mm:g} mm."
        case PieceSpoiled():
            return f"Piece {entry.piece} was spoiled."
        case BoardDamaged():
            return f"The board for piece {entry.piece} was damaged."
    return f"The offcut for piece {entry.piece} was lost."


def _for_the_record(entry: GapLeft | Reading | BatchNoted | PhotoTaken | Remark) -> str:
    match entry:
        case GapLeft():
            return f"Gap left along wall {entry.wall}: {entry.gap_mm:g} mm."
        case Reading():
            where = f", {entry.where}" if entry.where else ""
            return f"{entry.what.capitalize()} {entry.value:g} {READINGS[entry.what].unit}{where}."
        case BatchNoted():
            return f"Batch {entry.number} on {counted(entry.packs, 'pack')}."
        case PhotoTaken():
            shows = f": {entry.shows}" if entry.shows else ""
            return f"Photo {entry.file_name}{shows}."
    return f"Remark: {entry.text}"
