"""The shape of a survey table: which keys, which types, which ranges. The only module that imports pydantic.

pydantic finds the slips; the words are ours, in one table (`WORDINGS`). Every complaint is a place in the
survey as the user counts it ("door 2: opening", "corner 3: x") followed by the rule and what was met.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, PlainValidator, ValidationError, ValidationInfo

from flooring_kit.checks import nearest_hint, nearest_or_known, require_between, require_one_of, shown
from flooring_kit.lengths import UNITS, to_mm
from flooring_kit.room import (
    EDGE_KINDS,
    FLOORS_BELOW,
    FLOORS_BEYOND,
    LONGEST_ROOM_SIDE_MM,
    OBSTACLE_KINDS,
    PIPE_KINDS,
    SUBFLOORS,
    SWINGS,
)

FARTHEST_MM = 500_000.0
MOST_CORNERS = 500
MOST_READINGS = 2000
LONGEST_NAME = 80

PLAIN_NUMBER = re.compile(r"\s*[-+]?\d+(\.\d+)?\s*", re.ASCII)

Place = tuple[str | int, ...]
"""Where a value stands in the table: keys, and positions from 0."""


# --- rules for one value; they word the rule only, the place is put in front later -----------------------


def _limits(low: float, high: float, *, metres_below: float = 0.0, cm_below: float = 0.0) -> AfterValidator:
    """Lengths from `low` to `high` [mm]; smaller ones are called metres or centimetres."""

    def check(value: float) -> float:
        require_between(value, low, high, "", unit="mm", hint=units_hint(value, metres_below, cm_below))
        return value

    return AfterValidator(check)


def _zero_or(low: float, high: float) -> AfterValidator:
    """0, or a length from `low` to `high` [mm]: what lies between is metres."""

    def check(value: float) -> float:
        if 0 < value < low:
            hint = units_hint(value, low, 0)
            raise ValueError(f"must be 0, or {low:g} to {high:g} mm, got {shown(value)} mm. {hint}")
        require_between(value, 0, high, "", unit="mm")
        return value

    return AfterValidator(check)


def units_hint(length_mm: float, metres_below: float, cm_below: float) -> str:
    """The likely slip behind a length that is far too small, or nothing."""
    if 0 < length_mm < metres_below:
        return f"This looks like metres: write {length_mm * 1000:g} for {length_mm:g} m."
    if 0 < length_mm < cm_below:
        return f"This looks like centimetres: write {length_mm * 10:g} for {length_mm:g} cm."
    return ""


def _wall_number(value: int, info: ValidationInfo) -> int:
    if not 1 <= value <= MOST_CORNERS:
        raise ValueError(
            f"must be a whole number from 1 to {_walls(info)}, got {as_typed(value)}. "
            f"Wall 1 runs from corner 1 to corner 2."
        )
    return value


def _corner_number(value: int, info: ValidationInfo) -> int:
    if not 1 <= value <= MOST_CORNERS:
        raise ValueError(
            f"must be corner numbers from 1 to {_walls(info)}, got {as_typed(value)}. Corner 1 is where wall 1 starts."
        )
    return value


def _walls(info: ValidationInfo) -> int:
    """How many walls the room being read has; the most there may be where its outline gives no number."""
    return int((info.context or {}).get("walls", MOST_CORNERS))


def _degrees(low: float, high: float) -> AfterValidator:
    def check(value: float) -> float:
        require_between(value, low, high, "", unit="degrees", hint="Right is +, left is -; straight on is 0.")
        return value

    return AfterValidator(check)


def _resistance(low: float, high: float) -> AfterValidator:
    def check(value: float) -> float:
        require_between(value, low, high, "", unit="m²K/W", hint="1 tog is 0.1 m²K/W.")
        return value

    return AfterValidator(check)


def _one_line(value: str) -> str:
    if not value.strip() or len(value) > LONGEST_NAME or not value.isprintable():
        raise ValueError(f"must be one line of 1 to {LONGEST_NAME} characters, got {shown(value)}.")
    return value


def _one_of(words: tuple[str, ...]) -> AfterValidator:
    def check(value: str) -> str:
        return require_one_of(value, words, "")

    return AfterValidator(check)


def _direction(value: object) -> object:
    if isinstance(value, str) and value in ("long", "short"):
        return value
    if isinstance(value, int | float) and not isinstance(value, bool) and -360 <= value <= 360:
        return float(value)
    unit = " degrees" if isinstance(value, int | float) and not isinstance(value, bool) else ""
    raise ValueError(
        f'must be "long", "short" or degrees from -360 to 360, got {as_typed(value)}{unit}.'
        f"{nearest_hint(value, ('long', 'short')) if isinstance(value, str) else ''}"
    )


def _height_or_two(value: object) -> object:
    """One height for both ends of a doorway, or one for each end."""
    heights: list[Any] = value if isinstance(value, list) else [value, value]
    if len(heights) != 2 or any(isinstance(each, bool) or not isinstance(each, int | float) for each in heights):
        raise ValueError(f"must be a height in mm, or two of them [near end, far end], got {as_typed(value)}.")
    hint = "Measure from the bare subfloor of this room."
    return [require_between(each, -150, 300, "", unit="mm", hint=hint) for each in heights]


# --- the tables ----------------------------------------------------------------------------------------

Coordinate = Annotated[float, _limits(-FARTHEST_MM, FARTHEST_MM)]
Point = Annotated[list[Coordinate], Field(min_length=2, max_length=2)]
# Too few corners is counted with the geometry, so that it is reported beside a bad corner, not instead of it.
Outline = Annotated[list[Point], Field(max_length=MOST_CORNERS)]
Name = Annotated[str, AfterValidator(_one_line)]
CornerNumber = Annotated[int, AfterValidator(_corner_number)]
WallNumber = Annotated[int, AfterValidator(_wall_number)]
TapeLength = Annotated[float, _limits(10, LONGEST_ROOM_SIDE_MM, metres_below=10)]
RiserHeight = Annotated[float, _limits(50, 400, metres_below=0.4, cm_below=41)]


class _Table(BaseModel):
    # strict still admits NaN and infinity, so they are shut out by name
    model_config = ConfigDict(extra="forbid", strict=True, allow_inf_nan=False)


class ObstacleTable(_Table):
    """One [[obstacle]]."""

    outline: Outline
    name: Name | None = None
    kind: Annotated[str, _one_of(OBSTACLE_KINDS)] = "fixed"


class PipeTable(_Table):
    """One [[pipe]]."""

    at: Point
    diameter: Annotated[float, _limits(4, 200, metres_below=0.2, cm_below=4)] = 15.0
    kind: Annotated[str, _one_of(PIPE_KINDS)] = "pipe"


class DoorTable(_Table):
    """One [[door]]."""

    wall: WallNumber
    from_corner: Annotated[float, _zero_or(10, LONGEST_ROOM_SIDE_MM)]
    opening: Annotated[float, _limits(300, 6000, metres_below=10, cm_below=300)]
    recess: Annotated[float, _zero_or(1, 1000)] = 0.0
    undercut: bool = True
    architrave: Annotated[float, _zero_or(1, 300)] = 71.0
    name: Name | None = None
    beyond: Annotated[str, _one_of(FLOORS_BEYOND)] | None = None
    beyond_height: Annotated[Any, PlainValidator(_height_or_two)] = None
    leaf_clearance: Annotated[float, _limits(-5, 200)] | None = None
    leaf_wanted: Annotated[float, _limits(0, 50)] = 6.0
    leaf_swings: Annotated[str, _one_of(SWINGS)] = "in"
    leaf_high_spot: Annotated[float, _limits(0, 50)] = 0.0
    fire_door: bool = False


class EdgeTable(_Table):
    """One [[edge]]: what a wall ends in, and how it departs from a straight line."""

    wall: WallNumber
    kind: Annotated[str, _one_of(EDGE_KINDS)] = "skirting"
    rise: Annotated[float, _limits(-20_000, 20_000)] = 0.0
    bow: Annotated[list[Point], Field(max_length=MOST_CORNERS)] = []
    riser: RiserHeight | None = None
    risers_above: RiserHeight | None = None


class LevelTable(_Table):
    """One [[level]]: the height of the subfloor at one place."""

    at: Point
    height: Annotated[float, _limits(-300, 300)]


class StraightedgeTable(_Table):
    """One [[straightedge]]: the largest gap under it, laid across one place."""

    at: Point
    gap: Annotated[float, _limits(0, 100)]
    length: Annotated[float, _limits(500, 4000, metres_below=5, cm_below=401)] = 2000.0


class ApplianceTable(_Table):
    """One [[appliance]]: what has to fit under something when the floor has grown."""

    name: Name
    height: Annotated[float, _limits(100, 2500, metres_below=2.6, cm_below=100)]
    space: Annotated[float, _limits(100, 2600, metres_below=2.7, cm_below=100)]


class WallTable(_Table):
    """One [[wall]] of a tape survey: its length, and the turn at its far end."""

    length: TapeLength
    turn: Annotated[float, _degrees(-175, 175)] = 90.0


class TieTable(_Table):
    """One [[tie]] of a tape survey: a straight measurement between two corners."""

    corners: Annotated[list[CornerNumber], Field(min_length=2, max_length=2)]
    length: TapeLength


class RoomTable(_Table):
    """A room: the top level of a file, or one [[room]]."""

    name: Name
    units: Annotated[str, _one_of(UNITS)] = "mm"
    outline: Outline = []
    wall: Annotated[list[WallTable], Field(max_length=MOST_CORNERS)] = []
    tie: Annotated[list[TieTable], Field(max_length=MOST_CORNERS)] = []
    edge: list[EdgeTable] = []
    obstacle: list[ObstacleTable] = []
    pipe: list[PipeTable] = []
    door: list[DoorTable] = []
    level: Annotated[list[LevelTable], Field(max_length=MOST_READINGS)] = []
    straightedge: Annotated[list[StraightedgeTable], Field(max_length=MOST_READINGS)] = []
    appliance: list[ApplianceTable] = []
    subfloor: Annotated[str, _one_of(SUBFLOORS)] = "concrete"
    heated: bool = False
    wet: bool = False
    boards_run: Annotated[Any, PlainValidator(_direction)] = "long"
    floorboards_run: Annotated[Any, PlainValidator(_direction)] = None
    main_light: WallNumber | None = None
    below: Annotated[str, _one_of(FLOORS_BELOW)] | None = None
    old_covering: Annotated[float, _limits(0, 200)] = 0.0
    old_covering_resistance: Annotated[float, _resistance(0, 1)] | None = None


KEYS: dict[str, tuple[str, ...]] = {
    "room": tuple(RoomTable.model_fields),
    "obstacle": tuple(ObstacleTable.model_fields),
    "pipe": tuple(PipeTable.model_fields),
    "door": tuple(DoorTable.model_fields),
    "edge": tuple(EdgeTable.model_fields),
    "wall": tuple(WallTable.model_fields),
    "tie": tuple(TieTable.model_fields),
    "level": tuple(LevelTable.model_fields),
    "straightedge": tuple(StraightedgeTable.model_fields),
    "appliance": tuple(ApplianceTable.model_fields),
}
TABLE_KEYS = tuple(key for key in KEYS if key != "room")

LENGTHS = {
    "room": ("outline", "old_covering"),
    "obstacle": ("outline",),
    "pipe": ("at", "diameter"),
    "door": (
        "from_corner",
        "opening",
        "recess",
        "architrave",
        "beyond_height",
        "leaf_clearance",
        "leaf_wanted",
        "leaf_high_spot",
    ),
    "edge": ("rise", "bow", "riser", "risers_above"),
    "wall": ("length",),
    "tie": ("length",),
    "level": ("at", "height"),
    "straightedge": ("at", "gap", "length"),
    "appliance": ("height", "space"),
}
"""Where lengths stand: they may be in the survey's own unit, or text with a unit of its own."""


# --- from pydantic's slips to our sentences --------------------------------------------------------------


@dataclass(frozen=True)
class Slip:
    """One complaint of pydantic's, taken apart."""

    place: Place
    value: object
    reason: str

    @property
    def subject(self) -> str:
        """What the sentence is about: "door 2: opening", "corner 3: x"."""
        return subject(self.place)

    @property
    def got(self) -> str:
        """What was met, as the user would type it."""
        return as_typed(self.value)

    @property
    def table(self) -> str:
        """The table the key stands in: room, obstacle, pipe or door."""
        return str(self.place[0]) if len(self.place) > 1 and self.place[0] in TABLE_KEYS else "room"


def _missing(slip: Slip) -> str:
    given = ""
    if slip.place[-1] == "outline":
        given = " Give the corners in order: outline = [[0, 0], [4200, 0], [4200, 2920], [0, 2920]]."
    if slip.place[-1] == "at":
        given = " Give the centre: at = [3100, 60]."
    return f"{slip.subject} is missing.{given}"


def _unknown_key(slip: Slip) -> str:
    key = str(slip.place[-1])
    known = KEYS[slip.table]
    where = subject(slip.place[:-1])
    prefix = f"{where}: " if where else ""
    if slip.table != "room" and key in KEYS["room"]:
        # TOML gives every key below a [[door]] heading to that door
        tail = f" It belongs to the room: move it above the first [[{slip.table}]]."
    else:
        tail = nearest_or_known(key, known, "keys")
    return f"{prefix}{shown(key)} is not a key of a {slip.table}.{tail}"


def _number_wanted(slip: Slip) -> str:
    if isinstance(slip.value, str) and not PLAIN_NUMBER.fullmatch(slip.value) and any(map(str.isdigit, slip.value)):
        try:
            to_mm(slip.value, "mm", name=slip.subject)
        except ValueError as slipped:
            return str(slipped)
    return f"{slip.subject} must be a number in mm, got {slip.got}.{_quoted(slip)}"


def _quoted(slip: Slip) -> str:
    text = slip.value
    quoted = isinstance(text, str) and PLAIN_NUMBER.fullmatch(text)
    return " Write it without quotes." if quoted else ""


def _list_wanted(slip: Slip) -> str:
    key = slip.place[-1]
    if key in TABLE_KEYS:
        slipped = " A single [...] is one table only." if isinstance(slip.value, Mapping) else ""
        return f"{slip.subject} must be written [[{key}]], with double brackets, got {slip.got}.{slipped}"
    if key == "outline":
        return f"{slip.subject} must be a list of corners [[x, y], ...] in mm, got {slip.got}."
    return _pair_wanted(slip)


def _pair_wanted(slip: Slip) -> str:
    if slip.place[-1] == "outline":
        return f"{slip.subject} must have at most {MOST_CORNERS} corners, got more."
    if slip.place[-1] in ("level", "straightedge"):
        return f"{slip.subject} must have at most {MOST_READINGS} readings, got more."
    return f"{slip.subject} must be a pair [x, y] in mm, got {slip.got}."


def _truth_wanted(slip: Slip) -> str:
    quoted = " Leave the quotes out." if slip.value in ("true", "false") else ""
    return f"{slip.subject} must be true or false, got {slip.got}.{quoted}"


WORDINGS: dict[str, Callable[[Slip], str]] = {
    "missing": _missing,
    "extra_forbidden": _unknown_key,
    "float_type": _number_wanted,
    "finite_number": lambda slip: f"{slip.subject} must be a finite number, got {slip.got}.",
    "int_type": lambda slip: f"{slip.subject} must be a whole number, got {slip.got}.{_quoted(slip)}",
    "string_type": lambda slip: f"{slip.subject} must be text in quotes, got {slip.got}.",
    "bool_type": _truth_wanted,
    "list_type": _list_wanted,
    "model_type": lambda slip: f"{slip.subject} must be a table of keys, got {slip.got}.",
    "too_short": _pair_wanted,
    "too_long": _pair_wanted,
    "value_error": lambda slip: f"{slip.subject} {slip.reason}",
}
"""pydantic's error types (those these tables can meet), each with our sentence."""


@dataclass(frozen=True)
class Checked:
    """A survey table after its shape was checked.

    Attributes
    ----------
    table
        The table as TOML gave it, lengths in mm.
    model
        The same, read; None where there were faults.
    faults
        A sentence for each fault of shape.
    bad
        Where the faults lie.
    """

    table: Mapping[str, Any]
    model: RoomTable | None
    faults: tuple[str, ...]
    bad: frozenset[Place]
    tainted: frozenset[Place]

    def sound(self, *place: str | int) -> Any:
        """The value at a place, or None where it is absent or has a fault, or something inside it has."""
        if place in self.tainted or any(place[:n] in self.bad for n in range(1, len(place) + 1)):
            return None
        value: Any = self.table
        for step in place:
            try:
                value = value[step]
            except (KeyError, IndexError, TypeError):
                return None
        return value

    def count(self, key: str) -> int:
        """How many entries a list of tables or corners has, sound or not."""
        value = self.table.get(key)
        return len(value) if isinstance(value, list) else 0


def check_shape(table: Mapping[str, Any], *, ignore: Iterable[str] = ()) -> Checked:
    """A room's table against `RoomTable`: every slip of shape in our words.

    Parameters
    ----------
    table
        What tomllib made of one room.
    ignore
        Top-level keys about which nothing is said, because it has been said already.
    """
    silent = set(ignore)
    table = in_mm(table)
    try:
        corners = table.get("outline") or table.get("wall")
        walls = len(corners) if isinstance(corners, list) and 3 <= len(corners) <= MOST_CORNERS else MOST_CORNERS
        model = RoomTable.model_validate(dict(table), context={"walls": walls})
    except ValidationError as failure:
        slips = failure.errors(include_url=False)
    else:
        return Checked(table, model, (), frozenset(), frozenset())
    faults: list[str] = []
    bad: set[Place] = set()
    for found in slips:
        place: Place = tuple(found["loc"])
        bad.add(place)
        if place[0] in silent:
            continue
        error = found.get("ctx", {}).get("error")
        slip = Slip(place, found["input"], str(error).strip() if error else "")
        word = WORDINGS.get(found["type"])
        faults.append(word(slip) if word else f"{slip.subject} can't be read, got {slip.got}.")
    tainted = {place[:n] for place in bad for n in range(1, len(place) + 1)}
    return Checked(table, None, tuple(faults), frozenset(bad), frozenset(tainted))


def in_mm(table: Mapping[str, Any]) -> dict[str, Any]:
    """A copy of a room's table with every length that can be read in mm; what can't be read stays as it is."""
    unit = table.get("units", "mm")
    unit = unit if unit in UNITS else "mm"

    def converted(value: Any) -> Any:
        if isinstance(value, list):
            return [converted(item) for item in value]
        is_number = isinstance(value, int | float) and not isinstance(value, bool) and unit != "mm"
        if is_number or (isinstance(value, str) and not PLAIN_NUMBER.fullmatch(value)):
            with suppress(ValueError, OverflowError):
                return to_mm(value, unit, name="")
        return value

    def with_lengths(entry: Any, keys: tuple[str, ...]) -> Any:
        if not isinstance(entry, Mapping):
            return entry
        return {key: converted(value) if key in keys else value for key, value in entry.items()}

    copy = with_lengths(table, LENGTHS["room"])
    for name, keys in LENGTHS.items():
        if isinstance(copy.get(name), list):
            copy[name] = [with_lengths(entry, keys) for entry in copy[name]]
    return dict(copy)


def subject(place: Place) -> str:
    """A place in the user's terms.

    >>> subject(("door", 1, "opening")), subject(("outline", 2, 0)), subject(("obstacle", 0, "outline", 3))
    ('door 2: opening', 'corner 3: x', 'obstacle 1: corner 4')
    """
    words: list[str] = []
    steps = list(place)
    while steps:
        step = steps.pop(0)
        if step in TABLE_KEYS and steps:
            words.append(f"{step} {int(steps.pop(0)) + 1}")
        elif step == "outline" and steps:
            words.append(f"corner {int(steps.pop(0)) + 1}")
        elif isinstance(step, int):
            words.append("xy"[step])
        else:
            words.append(step)
    return ": ".join(words)


def as_typed(value: object) -> str:
    """A TOML value as a complaint quotes it; never raises, whatever the value."""
    if isinstance(value, int) and not isinstance(value, bool) and value.bit_length() > 64:
        return "a whole number too large to read"
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat()
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, list):
        plain = all(isinstance(item, str | int | float) for item in value)
        if plain and len(value) <= 4:
            return f"[{', '.join(as_typed(item) for item in value)}]"
        return f"a list of {len(value)}"
    return shown(value)
