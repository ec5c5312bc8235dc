"""Frozen dataclasses read back from the plain values of a JSON file, every fault with its place in the file.

The fields and type hints of the dataclasses are the only description there is; their own checks say what is out of
range.
"""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import MISSING, Field, fields, is_dataclass
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from shapely.errors import ShapelyError

from flooring_kit.checks import nearest_hint, nearest_or_known, shown
from flooring_kit.files import survey_geometry as geometry
from flooring_kit.files.product_tables import BOARD_SPECIMEN, TRIM_SPECIMEN, UNDERLAY_SPECIMEN
from flooring_kit.room import LONGEST_ROOM_SIDE_MM, Door, Obstacle, Room

LARGEST_NUMBER = 1e9
"""Ten thousand times the longest room in mm: no figure of a job comes near it."""

LARGEST_WHOLE = 10**18
MOST_DIGITS = 300
LONGEST_TEXT = 10_000
MOST_ENTRIES = 1000
MOST_FAULTS = 100
"""A file with more faults than this is not repaired by reading about them."""

Place = tuple[str, ...]
"""Where a value stands, in the user's words: ("room", "door 2", "opening_mm")."""


class JsonTable(dict[str, Any]):
    """A JSON object that remembers which keys it was given twice."""

    def __init__(self, pairs: Iterable[tuple[str, Any]]) -> None:
        pairs = list(pairs)
        super().__init__(pairs)
        seen: set[str] = set()
        twice = dict.fromkeys(key for key, _ in pairs if key in seen or seen.add(key))  # type: ignore[func-returns-value]
        self.repeated = tuple(twice)


def shortened(names: Iterable[str], most: int = 8) -> str:
    every = [shown(name) for name in names]
    more = f" and {len(every) - most} more" if len(every) > most else ""
    return ", ".join(every[:most]) + more


BAD: Any = object()
"""Stands for a value whose fault has been told."""


class RecordReader:
    """Reads values by their type hints and gathers the faults of all of them.

    Parameters
    ----------
    elsewhere
        A sentence that explains an unknown key: another version of the kit wrote the file.
    most_entries
        Most entries of a list.
    """

    def __init__(self, elsewhere: str, *, most_entries: int = MOST_ENTRIES) -> None:
        self.elsewhere, self.most_entries = elsewhere, most_entries
        self.faults: list[str] = []

    def value(self, hint: Any, raw: Any, place: Place) -> Any:
        """The value that `raw` stands for, or `BAD`."""
        origin, inner = get_origin(hint), get_args(hint)
        if origin in (Union, UnionType):
            return self._one_sort_of(inner, raw, place)
        if origin is Literal:
            return raw if raw in inner and _fits(hint, raw) else self._refused((hint,), raw, place)
        if not _fits(hint, raw):
            return self._refused((hint,), raw, place)
        if origin is tuple:
            return self._list(inner, raw, place)
        if origin is Mapping:
            return self._names(inner[1], raw, place)
        if isinstance(hint, type) and is_dataclass(hint):
            return self._thing(hint, raw, place)
        return self._plain(hint, raw, place)

    def _fault(self, place: Place, rule: str) -> Any:
        self.faults.append(fault_at(place, rule))
        return BAD

    def _refused(self, hints: tuple[Any, ...], raw: Any, place: Place) -> Any:
        words = [word for hint in hints for word in _wanted(hint)]
        either = " or ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)
        literals = [each for hint in hints if get_origin(hint) is Literal for each in get_args(hint)]
        hint = nearest_hint(raw[:200], map(str, literals)) if isinstance(raw, str) else ""
        return self._fault(place, f"must be {either}, got {as_met(raw)}.{hint}")

    def _one_sort_of(self, hints: tuple[Any, ...], raw: Any, place: Place) -> Any:
        fitting = [hint for hint in hints if _fits(hint, raw)]
        if sum(is_dataclass(hint) for hint in fitting) > 1:
            raise TypeError(f"a saved job can't tell the things apart that {': '.join(place)} may be: {fitting}")
        for hint in fitting:
            told = len(self.faults)
            value = self.value(hint, raw, place)
            if len(self.faults) == told or (len(fitting) == 1 and get_origin(hint) is not Literal):
                return value
            del self.faults[told:]
        return self._refused(hints, raw, place)

    def _list(self, inner: tuple[Any, ...], raw: list[Any], place: Place) -> Any:
        if inner[-1] is not Ellipsis:
            if len(raw) != len(inner):
                return self._fault(place, f"must be a list of {len(inner)}, got {as_met(raw)}.")
            steps = [(*place, word) for word in _figures(place, len(inner))]
            pairs = zip(inner, raw, steps, strict=True)
        else:
            if len(raw) > self.most_entries:
                return self._fault(place, f"must hold at most {self.most_entries} entries, got {len(raw)}.")
            steps = [entry_place(place, number) for number in range(1, len(raw) + 1)]
            pairs = zip([inner[0]] * len(raw), raw, steps, strict=True)
        values = [self.value(hint, item, step) for hint, item, step in pairs]
        return BAD if any(value is BAD for value in values) else tuple(values)

    def _names(self, hint: Any, raw: JsonTable, place: Place) -> Any:
        told = len(self.faults)
        for name in raw.repeated:
            self._fault(place, f"{shown(name)} is given twice.")
        for name in raw:
            self._plain(str, name, place)
        read = {name: self.value(hint, item, entry_place(place, shown(name))) for name, item in raw.items()}
        return read if len(self.faults) == told else BAD

    def _plain(self, hint: Any, raw: Any, place: Place) -> Any:
        if hint is int:
            if not math.isfinite(raw) or raw != math.floor(raw):
                return self._refused((hint,), raw, place)
            if abs(raw) > LARGEST_WHOLE:
                return self._fault(place, f"must be a whole number of at most 18 digits, got {as_met(raw)}.")
            return int(raw)
        if hint is float:
            if not math.isfinite(raw):
                return self._fault(place, f"must be a finite number, got {raw}.")
            if abs(raw) > LARGEST_NUMBER:
                limit = shown(LARGEST_NUMBER)
                return self._fault(place, f"must be a number from -{limit} to {limit}, got {as_met(raw)}.")
        if hint is str:
            if len(raw) > LONGEST_TEXT:
                return self._fault(place, f"must be text of at most {LONGEST_TEXT} characters, got {len(raw)}.")
            try:
                raw.encode()
            except UnicodeEncodeError:
                return self._fault(place, f"must be text of whole characters, got {as_met(raw)}.")
        return raw

    # --- things

    def _thing(self, kind: type[Any], raw: JsonTable, place: Place) -> Any:
        known = {field.name: field for field in read_fields(kind)}
        told = len(self.faults)
        for key in raw.repeated:
            self._fault(place, f"{shown(key)} is given twice.")
        for key in raw:
            if key not in known:
                names = list(known) if place else ["format", "kit", *known]
                hint = self.elsewhere
                if not hint and len(self.faults) < MOST_FAULTS:  # more are not shown: no time is spent on them
                    hint = nearest_or_known(key[:200], names, "keys")
                self._fault(place, f"{shown(key)} is not a known key.{hint}")
        hints = get_type_hints(kind)
        given = {}
        for name, field in known.items():
            if name in raw:
                value = self.value(hints[name], raw[name], (*place, name))
                if value is not BAD:
                    given[name] = value
            elif _is_required(field):
                self._fault((*place, name), "is missing.")
        sound = len(self.faults) == told
        made, slip = _tried(kind, given) if sound else (None, "")
        if made is not None:
            further = [fault for sort, look in FURTHER.items() if isinstance(made, sort) for fault in look(made)]
            for fault in further:
                self._fault(place, fault)
            return BAD if further else made
        before = len(self.faults)
        if before < MOST_FAULTS:
            self._faults_of_each(kind, given, place)
        if sound and len(self.faults) == before:
            self._fault(place, _own_words(kind, given, slip))
        return BAD

    def _faults_of_each(self, kind: type[Any], given: dict[str, Any], place: Place) -> None:
        """Try every field by itself, on a thing that has nothing but what it must have."""
        required = [field.name for field in read_fields(kind) if _is_required(field)]
        least = {name: given[name] for name in required if name in given}
        specimen = next((thing for thing in SPECIMENS if issubclass(kind, type(thing))), None)
        if specimen is not None:
            stand_in = {name: getattr(specimen, name) for name in required}
            for name, value in least.items():
                self._try_field(kind, stand_in, name, value, place)
            least = stand_in
        _, slip = _tried(kind, least) if len(least) == len(required) else (None, "")
        if len(least) < len(required):
            return
        if slip:
            shape = _shape_faults(kind, least) or [_own_words(kind, least, slip)]
            for fault in shape:
                self._fault(place, fault)
            return
        for name, value in given.items():
            if name not in required:
                self._try_field(kind, least, name, value, place)

    def _try_field(self, kind: type[Any], least: dict[str, Any], name: str, value: Any, place: Place) -> None:
        trial = {**least, name: value}
        _, slip = _tried(kind, trial)
        if not slip:
            return
        if isinstance(value, tuple) and len(value) > 1 and is_dataclass(value[0]):
            told = len(self.faults)
            for number, item in enumerate(value, start=1):
                _, slip_of_one = _tried(kind, {**least, name: (item,)})
                if slip_of_one:
                    self._fault_of_entry(kind, trial, slip_of_one, entry_place((*place, name), number))
            if len(self.faults) > told:
                return
        elif isinstance(value, tuple) and len(value) == 1 and is_dataclass(value[0]):
            self._fault_of_entry(kind, trial, slip, entry_place((*place, name), 1))
            return
        words = _own_words(kind, trial, slip)
        _, must, rule = words.partition(" must be ")
        if must:
            self._fault((*place, name), f"must be {rule}")
        else:
            self._fault(place, words)

    def _fault_of_entry(self, kind: type[Any], trial: dict[str, Any], slip: str, place: Place) -> None:
        """The fault of one entry tried by itself: "door 1: wall ..." is said of the entry's own number."""
        words = _own_words(kind, trial, slip)
        named = re.match(rf"{re.escape(place[-1].rpartition(' ')[0])}(?: 1)?(?=[ :])", words)
        rest = words[named.end() :] if named else f": {words}"
        self.faults.append(": ".join(place) + rest)


def _tried(kind: type[Any], given: dict[str, Any]) -> tuple[Any, str]:
    """The thing made of its fields and no words, or nothing and why not."""
    try:
        return kind(**given), ""
    except (ValueError, ArithmeticError, ShapelyError) as slip:
        return None, str(slip) or type(slip).__name__


def _own_words(kind: type[Any], given: dict[str, Any], slip: str) -> str:
    """A thing's complaint without the name in front, which the place says already."""
    for sort in kind.__mro__[:-1]:
        word = re.sub(r"(?<!^)([A-Z])", r" \1", sort.__name__).lower()
        slip = slip.removeprefix(f"{word} {given.get('name', '')!r}: ")
        slip = re.sub(rf"^{word}(?: (?!must )[^:' ]+)*: ", "", slip)
    return slip


def _fits(hint: Any, raw: Any) -> bool:
    """Whether JSON of this sort can stand for the hint at all."""
    origin = get_origin(hint) or hint
    if origin is Literal:
        return any(type(raw) is type(each) for each in get_args(hint))
    if origin in (int, float):
        return isinstance(raw, int | float) and not isinstance(raw, bool)
    if origin is Mapping or is_dataclass(origin):
        return isinstance(raw, JsonTable)
    sorts = {bool: bool, str: str, NoneType: NoneType, tuple: list}
    if origin not in sorts:
        raise TypeError(f"a saved job has no rule for fields of type {hint}")
    return isinstance(raw, sorts[origin])


def _wanted(hint: Any) -> list[str]:
    origin = get_origin(hint) or hint
    if origin is Literal:
        return [json.dumps(each) for each in get_args(hint)]
    if origin is tuple:
        inner = get_args(hint)
        return ["a list"] if inner[-1] is Ellipsis else [f"a list of {len(inner)}"]
    words = {bool: "true or false", int: "a whole number", float: "a number", str: "text in quotes", NoneType: "null"}
    return [words.get(origin, "a table of keys")]


def as_met(raw: Any) -> str:
    """A JSON value as a complaint quotes it; never raises, however large or deep the value."""
    if raw is None:
        return "null"
    if isinstance(raw, Mapping):
        return "a table of keys"
    if isinstance(raw, list):
        return f"a list of {len(raw)}"
    if isinstance(raw, str):
        return shown(raw[:200])
    return repr(raw) if isinstance(raw, float) else shown(raw)


def fault_at(place: Place, rule: str) -> str:
    """One sentence: the place, then the rule.

    >>> fault_at(("room", "door 2", "opening_mm"), "must be a number, got null.")
    'room: door 2: opening_mm must be a number, got null.'
    """
    speaks_of_the_place = rule.startswith(("must ", "is missing", "is of "))
    if speaks_of_the_place:
        return f"{': '.join(place)} {rule}"
    return ": ".join((*place, rule))


def entry_place(place: Place, which: object) -> Place:
    """The place of one entry of a list or table of things.

    >>> entry_place(("room", "doors"), 2), entry_place(("room", "outline"), 3)
    (('room', 'door 2'), ('room', 'corner 3'))
    """
    if not place:
        return (str(which),)
    one = {"outline": "corner", "bow": "bow reading"}.get(place[-1], place[-1].removesuffix("s"))
    return (*place[:-1], f"{one} {which}")


def _figures(place: Place, count: int) -> Iterable[str]:
    if count == 2 and (place[-1] == "at" or place[-1].startswith("corner ")):
        return ("x", "y")
    return (f"figure {number}" for number in range(1, count + 1))


def read_fields(kind: Any) -> list[Field[Any]]:
    return [field for field in fields(kind) if field.init]


def _is_required(field: Field[Any]) -> bool:
    return field.default is MISSING and field.default_factory is MISSING


# --- what the things themselves do not look at -------------------------------------------------------------

SPECIMENS = (BOARD_SPECIMEN, UNDERLAY_SPECIMEN, TRIM_SPECIMEN, Door(wall=1, from_corner_mm=0, opening_mm=762))
"""A sound thing of each sort that must have several figures, so that each figure can be tried by itself."""


def _shape_faults(kind: type[Any], least: dict[str, Any]) -> list[str]:
    """Where an outline crosses itself, rather than only that it does."""
    if not issubclass(kind, Room | Obstacle):
        return []
    outline = least["outline"]
    if len(outline) < 3:
        return [] if issubclass(kind, Room) else [f"outline must have at least 3 corners, got {len(outline)}."]
    return geometry.shape_faults(outline, side="wall" if issubclass(kind, Room) else "side")


def _room_faults(room: Room) -> list[str]:
    left, low, right, high = room.polygon.bounds
    longer = max(right - left, high - low)
    if longer <= LONGEST_ROOM_SIDE_MM:
        return []
    return [f"outline: the longer side must be at most {LONGEST_ROOM_SIDE_MM:g} mm overall, got {longer:.12g} mm."]


FURTHER: dict[type[Any], Callable[[Any], list[str]]] = {
    Room: _room_faults,
}
