"""What a fitter writes down while a floor is laid: one entry a thing that happened, in order, never changed afterwards.

Pieces go by their labels in the plan as it stands when the entry is made: 5c is the third piece of row 5.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from flooring_kit.checks import require_between, require_one_of, require_tenths, require_whole, shown

ENDS_KEPT = ("tongue end", "groove end", "both ends", "neither end")
"""Which factory ends an offcut still has, by their locks."""


@dataclass(frozen=True)
class ReadingKind:
    """What one sort of reading is given in, and the least and greatest figure that can be meant."""

    unit: str
    least: float
    most: float


READINGS = {
    "flatness": ReadingKind("mm under a 2 m straightedge", 0, 50),
    "subfloor humidity": ReadingKind("% RH", 0, 100),
    "subfloor moisture": ReadingKind("% CM", 0, 20),
    "timber moisture": ReadingKind("%", 0, 60),
    "air humidity": ReadingKind("% RH", 0, 100),
    "air temperature": ReadingKind("°C", -20, 50),
}
"""What is read on site."""

LONGEST_TEXT = 500
MOST_ROWS = 2000


def _require_piece(piece: object) -> None:
    if not isinstance(piece, str) or not re.fullmatch(r"[1-9][0-9]{0,3}[a-z]{1,3}", piece):
        raise ValueError(f"piece must be a label from the plan, such as 5c, got {shown(piece)}.")


def _require_text(text: object, name: str) -> None:
    if not isinstance(text, str) or not text.strip() or len(text) > LONGEST_TEXT or not text.isprintable():
        raise ValueError(f"{name} must be one line of 1 to {LONGEST_TEXT} characters, got {shown(text)}.")


def _require_row(row: object) -> None:
    require_whole(row, 1, MOST_ROWS, "row")


def _require_length(length_mm: object, name: str) -> None:
    require_between(length_mm, 1, 60_000, name, unit="mm", hint="Write 1380 for 1.38 m.")


def row_of(piece: str) -> int:
    """Row of a piece, by its label.

    >>> row_of("12c")
    12
    """
    return int("".join(letter for letter in piece if letter.isdigit()))


@dataclass(frozen=True)
class RowLaid:
    """Every piece of the row is down, as the plan has it."""

    row: int

    def __post_init__(self) -> None:
        _require_row(self.row)


@dataclass(frozen=True)
class LaidUpTo:
    """The row is down from the left as far as this piece, the piece included."""

    piece: str

    def __post_init__(self) -> None:
        _require_piece(self.piece)


@dataclass(frozen=True)
class StartedWith:
    """The row's first piece is down, and its joint lies elsewhere than planned.

    Parameters
    ----------
    row
        Row number.
    first_joint_mm
        From the row's start to the joint, the length the first piece covers [mm].
    run
        Which stretch of a row that is parted by a hearth or a wall, from the left, from 1.
    """

    row: int
    first_joint_mm: float
    run: int = 1

    def __post_init__(self) -> None:
        _require_row(self.row)
        _require_length(self.first_joint_mm, "first joint")
        require_whole(self.run, 1, 50, "stretch of the row")


@dataclass(frozen=True)
class CameOut:
    """A piece was sawn, and this is the length it has [mm]. Too short, it goes back among the offcuts."""

    piece: str
    length_mm: float

    def __post_init__(self) -> None:
        _require_piece(self.piece)
        _require_length(self.length_mm, "length")


@dataclass(frozen=True)
class PieceSpoiled:
    """A piece is spoiled after it was sawn; what else its board gives is sound."""

    piece: str

    def __post_init__(self) -> None:
        _require_piece(self.piece)


@dataclass(frozen=True)
class BoardDamaged:
    """The board, or the offcut, that a piece was to come from is damaged: nothing more is sawn from it."""

    piece: str

    def __post_init__(self) -> None:
        _require_piece(self.piece)


@dataclass(frozen=True)
class SparesDamaged:
    """Boards found damaged in their pack before any was wanted."""

    boards: int

    def __post_init__(self) -> None:
        require_whole(self.boards, 1, 1000, "damaged boards")


@dataclass(frozen=True)
class OffcutLost:
    """The offcut that waits for a piece is gone: thrown away, or used elsewhere."""

    piece: str

    def __post_init__(self) -> None:
        _require_piece(self.piece)


@dataclass(frozen=True)
class InHand:
    """A board or an offcut that is there beside the plan: left over, from another room, or a shorter length.

    Parameters
    ----------
    length_mm
        Its length [mm].
    keeps_end
        Which factory ends it has, one of `ENDS_KEPT`.
    count
        How many there are of it.
    name
        What to call it: "from the hall".
    """

    length_mm: float
    keeps_end: str = "both ends"
    count: int = 1
    name: str = ""

    def __post_init__(self) -> None:
        _require_length(self.length_mm, "length")
        require_tenths(self.length_mm, "length")
        require_one_of(self.keeps_end, ENDS_KEPT, "end that stays")
        require_whole(self.count, 1, 1000, "number of boards")
        if self.name:
            _require_text(self.name, "name")


@dataclass(frozen=True)
class RowMeasured:
    """A row as the tape finds it, gap to gap.

    Parameters
    ----------
    row
        Row number.
    length_mm
        Clear length of the row, the gaps taken off [mm].
    starts_mm
        Where it begins against the plan [mm]: 3 where the wall stands 3 mm further into the room, -3 where it stands
        back.
    run
        Which stretch of the row, from the left, from 1.
    """

    row: int
    length_mm: float
    starts_mm: float = 0.0
    run: int = 1

    def __post_init__(self) -> None:
        _require_row(self.row)
        _require_length(self.length_mm, "measured length")
        require_between(self.starts_mm, -500, 500, "where the row begins", unit="mm")
        require_whole(self.run, 1, 50, "stretch of the row")


@dataclass(frozen=True)
class PlannedAnew:
    """The rest of the floor was planned anew here, and later entries speak of that plan.

    Parameters
    ----------
    first_joints_t
        First joint of every run of two pieces or more [tenths of mm].
    places_t
        For every piece in laying order its board, and its place along and across it [tenths of mm].
    """

    first_joints_t: tuple[int, ...]
    places_t: tuple[tuple[int, int, int], ...]


@dataclass(frozen=True)
class GapLeft:
    """The gap as it was left along a wall [mm]."""

    wall: int
    gap_mm: float

    def __post_init__(self) -> None:
        require_whole(self.wall, 1, 1000, "wall")
        require_between(self.gap_mm, 0, 200, "gap left", unit="mm")


@dataclass(frozen=True)
class Reading:
    """A figure read on site.

    Parameters
    ----------
    what
        One of `READINGS`, which gives the unit.
    value
        The figure.
    where
        Where it was read: "by the bay".
    """

    what: str
    value: float
    where: str = ""

    def __post_init__(self) -> None:
        kind = READINGS[require_one_of(self.what, READINGS, "reading")]
        require_between(self.value, kind.least, kind.most, self.what, unit=kind.unit)
        if self.where:
            _require_text(self.where, "where it was read")


@dataclass(frozen=True)
class BatchNoted:
    """The batch number on packs opened."""

    number: str
    packs: int = 1

    def __post_init__(self) -> None:
        _require_text(self.number, "batch number")
        require_whole(self.packs, 1, 1000, "packs")


@dataclass(frozen=True)
class PhotoTaken:
    """A photo, by the name of its file, and what it shows."""

    file_name: str
    shows: str = ""

    def __post_init__(self) -> None:
        _require_text(self.file_name, "file name")
        if self.shows:
            _require_text(self.shows, "what the photo shows")


@dataclass(frozen=True)
class Remark:
    """Anything else worth a line."""

    text: str

    def __post_init__(self) -> None:
        _require_text(self.text, "remark")


@dataclass(frozen=True)
class Undone:
    """An earlier entry does not hold; it stays in the log all the same. One that undoes can itself be undone."""

    number: int

    def __post_init__(self) -> None:
        require_whole(self.number, 1, 1_000_000, "entry to undo")


Entry = (
    RowLaid
    | LaidUpTo
    | StartedWith
    | CameOut
    | PieceSpoiled
    | BoardDamaged
    | SparesDamaged
    | OffcutLost
    | InHand
    | RowMeasured
    | PlannedAnew
    | GapLeft
    | Reading
    | BatchNoted
    | PhotoTaken
    | Remark
    | Undone
)

ENTRY_NAMES: dict[str, type[Entry]] = {
    "row laid": RowLaid,
    "laid up to": LaidUpTo,
    "started with": StartedWith,
    "came out": CameOut,
    "piece spoiled": PieceSpoiled,
    "board damaged": BoardDamaged,
    "spares damaged": SparesDamaged,
    "offcut lost": OffcutLost,
    "in hand": InHand,
    "row measured": RowMeasured,
    "planned anew": PlannedAnew,
    "gap left": GapLeft,
    "reading": Reading,
    "batch": BatchNoted,
    "photo": PhotoTaken,
    "remark": Remark,
    "undone": Undone,
}
"""What each sort of entry is called, in a log and in words."""


def entry_name(entry: Entry) -> str:
    """What the sort of entry is called.

    >>> entry_name(RowLaid(4))
    'row laid'
    """
    return next(name for name, kind in ENTRY_NAMES.items() if type(entry) is kind)
