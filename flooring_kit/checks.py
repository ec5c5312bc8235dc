"""One wording for every complaint: the name as typed, the rule, the value received, the likely slip.

Every function here either returns quietly (some hand back the checked value) or raises :class:`ValueError`
with a message a fitter can act on. Nothing else in the kit words a complaint about a number of its own.
"""

from __future__ import annotations

import difflib
import math
import numbers
import os
from collections.abc import Iterable
from decimal import Decimal
from typing import Any, TypeVar

Thing = TypeVar("Thing")

DUST = 1e-6
"""Relative slack that separates a measured difference from the dust of binary fractions."""


NEAR = 0.75
"""Share of letters in common (difflib's ratio) from which a key is so near that the others need not be listed:
'colour' and 'door' share 0.6."""


class FaultsError(ValueError):
    """All the faults of one file or form, in the order they were met.

    Attributes
    ----------
    source : str
        The file or form as the user knows it.
    faults : tuple of str
        One sentence for each fault.
    """

    def __init__(self, source: str, faults: Iterable[str]) -> None:
        self.source = source
        self.faults = tuple(faults)
        count = len(self.faults)
        head = f"{source}: {count} fault{'s' if count != 1 else ''} found, nothing was read."
        super().__init__("\n".join([head, *(f"  - {fault}" for fault in self.faults)]))


def shown(value: object) -> str:
    """Value as a complaint quotes it: numbers plain, text in quotes, long text cut short."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, numbers.Integral):
        return str(int(value))
    if isinstance(value, numbers.Real):
        number = float(value)
        whole = math.isfinite(number) and number == round(number) and abs(number) < 1e15
        return f"{number:.0f}" if whole else f"{number:.12g}"
    text = repr(value)
    return text if len(text) <= 60 else text[:57] + "..."


def met(value: object) -> str:
    """What was given where something of the kit's was wanted: figures and words as `shown`, the rest by its sort.

    >>> met("den.toml"), met(None), met({"gap_mm": 10})
    ("'den.toml'", 'None', 'a dict')
    """
    if isinstance(value, os.PathLike):
        return shown(os.fspath(value))
    if value is None or isinstance(value, str | numbers.Number | list | tuple):
        return shown(value)
    for sort in ("dict", "ndarray"):
        if any(each.__name__ == sort for each in type(value).__mro__):
            return _with_article(sort.removeprefix("nd"))
    return f"the class {value.__name__}" if isinstance(value, type) else _with_article(type(value).__name__)


def _with_article(sort: str) -> str:
    return f"{'an' if sort[0] in 'AEIOUaeiou' else 'a'} {sort}"


def with_unit(value: float, unit: str) -> str:
    """Number and unit, or the bare number where there is no unit."""
    return f"{shown(value)} {unit}" if unit else shown(value)


def require_number(value: object, name: str, *, unit: str = "") -> float:
    """The value as a finite float.

    Raises
    ------
    ValueError
        For text, booleans, NaN and infinities.
    """
    if not isinstance(value, numbers.Real | Decimal) or isinstance(value, bool):
        raise ValueError(f"{name} must be a number{f' in {unit}' if unit else ''}, got {shown(value)}.")
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise ValueError(f"{name} must be a finite number, got {number}.")
    return number


def require_between(value: object, low: float, high: float, name: str, *, unit: str = "", hint: str = "") -> float:
    """The value as a float, both limits allowed.

    Raises
    ------
    ValueError
        For anything that is not a finite number from `low` to `high`; `hint` closes the message.
    """
    number = require_number(value, name, unit=unit)
    if not low <= number <= high:
        limits = f"{shown(low)} to {shown(high)}{f' {unit}' if unit else ''}"
        tail = f" {hint}" if hint else ""
        raise ValueError(f"{name} must be {limits}, got {with_unit(number, unit)}.{tail}")
    return number


def require_zero_or(value: object, low: float, high: float, name: str, *, unit: str = "mm") -> float:
    """The value as a float: 0, or between the limits. What lies between 0 and `low` was meant in metres.

    Raises
    ------
    ValueError
        For anything else, with the value in mm where it looks like metres.
    """
    number = require_number(value, name, unit=unit)
    if 0 < number < low:
        hint = size_hint(number, low, high)
        tail = f" {hint}" if hint else ""
        raise ValueError(
            f"{name} must be 0, or {shown(low)} to {with_unit(high, unit)}, got {shown(number)} {unit}.{tail}"
        )
    return require_between(number, 0, high, name, unit=unit)


def size_hint(length_mm: object, low: float, high: float) -> str:
    """The likely slip behind a length too small for its limits: metres or centimetres, where they would fit.

    Nothing for what is no number: that is told first.

    >>> size_hint(1.38, 200, 5000), size_hint(138, 200, 5000), size_hint(0.001, 200, 5000)
    ('This looks like metres: write 1380 for 1.38 m.', 'This looks like centimetres: write 1380 for 138 cm.', '')
    """
    if not isinstance(length_mm, int | float) or not 0 < length_mm < low:
        return ""
    if low <= length_mm * 1000 <= high:
        return f"This looks like metres: write {length_mm * 1000:g} for {length_mm:g} m."
    if low <= length_mm * 10 <= high:
        return f"This looks like centimetres: write {length_mm * 10:g} for {length_mm:g} cm."
    return ""


def require_whole(value: object, low: int, high: int, name: str, *, hint: str = "") -> int:
    """The value as an int, both limits allowed.

    Raises
    ------
    ValueError
        For anything that is not a whole number from `low` to `high`.
    """
    number = require_number(value, name)
    tail = f" {hint}" if hint else ""
    if number != math.floor(number) or not low <= number <= high:
        raise ValueError(f"{name} must be a whole number from {low} to {high}, got {shown(number)}.{tail}")
    return int(number)


def require_tenths(value: float, name: str) -> None:
    """Pass if the length is a whole number of tenths of a millimetre.

    Raises
    ------
    ValueError
        Otherwise, with the nearest tenth.
    """
    tenths = value * 10
    if abs(tenths - round(tenths)) > DUST:
        raise ValueError(
            f"{name} must be given to a tenth of a millimetre, got {value!r} mm; "
            f"the nearest is {round(tenths) / 10:g} mm."
        )


def require_one_of(value: object, allowed: Iterable[str], name: str) -> str:
    """The value, if it is one of the allowed words; never a guess.

    Raises
    ------
    ValueError
        Otherwise, with the allowed words and the nearest of them.
    """
    words = list(allowed)
    if isinstance(value, str) and value in words:
        return value
    raise ValueError(f"{name} must be one of {', '.join(words)}, got {shown(value)}.{nearest_hint(value, words)}")


def require_text(value: object, name: str) -> str:
    """The value, if it is text with something in it.

    Raises
    ------
    ValueError
        Otherwise.
    """
    if not isinstance(value, str) or not value.strip():
        raise ValueError(f"{name} must be text of one letter or more, got {met(value)}.")
    return value


def require_truth(value: object, name: str) -> bool:
    """The value as a bool; a table's own true and false are taken too.

    Raises
    ------
    ValueError
        For anything else, words and numbers with it: "no" would count as true.
    """
    of_a_table = getattr(getattr(value, "dtype", None), "kind", "") == "b" and getattr(value, "ndim", 1) == 0
    if not isinstance(value, bool) and not of_a_table:
        raise ValueError(f"{name} must be True or False, got {met(value)}.")
    return bool(value)


def require_direction(value: object, name: str) -> None:
    """Pass if the value is "long", "short" or a finite number of degrees.

    Raises
    ------
    ValueError
        Otherwise.
    """
    if isinstance(value, str):
        if _is_number_in_quotes(value):
            raise ValueError(
                f"{name} must be 'long', 'short' or degrees as a number, got {shown(value)}. Leave the quotes out."
            )
        require_one_of(value, ("long", "short"), name)
    elif isinstance(value, bool) or not isinstance(value, numbers.Real) or not math.isfinite(value):
        got = repr(value) if isinstance(value, bool) else met(value)
        raise ValueError(f"{name} must be 'long', 'short' or degrees, got {got}.")


def _is_number_in_quotes(text: str) -> bool:
    try:
        return math.isfinite(float(text.removesuffix("°")))
    except ValueError:
        return False


def require_thing(value: Any, kind: type[Thing], name: str, *, hint: str = "") -> Thing:
    """The value, if it is of that kind.

    Raises
    ------
    ValueError
        Otherwise; `hint` closes the message.
    """
    if isinstance(value, kind):
        return value
    tail = f" {hint}" if hint else ""
    raise ValueError(f"{name} must be {_with_article(kind.__name__)}, got {met(value)}.{tail}")


def require_things(values: Any, kind: type[Thing], name: str) -> tuple[Thing, ...]:
    """The values as a tuple, if each is of that kind.

    Raises
    ------
    ValueError
        For a single one outside a list, and for a wrong one in it, by its place from 1.
    """
    if not isinstance(values, list | tuple):
        one = f" Write [{name.split()[-1]}] for one." if isinstance(values, kind) else ""
        raise ValueError(f"{name} must be a list, each {_with_article(kind.__name__)}, got {met(values)}.{one}")
    return tuple(require_thing(value, kind, f"{name}: number {place}") for place, value in enumerate(values, start=1))


def nearest_hint(word: object, allowed: Iterable[str]) -> str:
    """A closing sentence that offers the nearest allowed word, or nothing."""
    close = difflib.get_close_matches(str(word), list(allowed), n=1, cutoff=0.6)
    return f" Did you mean {close[0]!r}?" if close else ""


def nearest_or_known(word: str, known: Iterable[str], things: str) -> str:
    """A closing sentence for an unknown key: the nearest where one is near, all there are otherwise.

    >>> nearest_or_known("opning", ["wall", "opening"], "keys"), nearest_or_known("colour", ["wall", "door"], "keys")
    (" Did you mean 'opening'?", ' Known keys: wall, door.')
    """
    words = list(known)
    close = difflib.get_close_matches(word, words, n=1, cutoff=NEAR)
    return f" Did you mean {close[0]!r}?" if close else f" Known {things}: {', '.join(words)}."


def counted(number: int, thing: str, things: str = "") -> str:
    """A number with its noun, plural where it must be; `things` where the plural takes more than an s.

    >>> counted(1, "board"), counted(4, "pack"), counted(2, "entry", "entries")
    ('1 board', '4 packs', '2 entries')
    """
    return f"{number} {thing if number == 1 else things or thing + 's'}"


def numbered(thing: str, numbers: Iterable[int]) -> str:
    """Things by their numbers, neighbours drawn together.

    >>> numbered("wall", [3]), numbered("wall", [1, 2]), numbered("row", [1, 4, 5, 6, 9])
    ('wall 3', 'walls 1 and 2', 'rows 1, 4 to 6 and 9')
    """
    stretches: list[list[int]] = []
    for number in sorted(set(numbers)):
        if stretches and number == stretches[-1][-1] + 1:
            stretches[-1].append(number)
        else:
            stretches.append([number])
    words: list[str] = []
    for stretch in stretches:
        words += [f"{stretch[0]} to {stretch[-1]}"] if len(stretch) > 2 else [str(number) for number in stretch]
    plural = "" if len(stretches) == 1 and len(stretches[0]) == 1 else "s"
    return f"{thing}{plural} {' and '.join([*([', '.join(words[:-1])] if words[:-1] else []), words[-1]])}"


def told_apart(names: Iterable[str]) -> list[str]:
    """Names in the same order, a number behind each that has come before.

    >>> told_apart(["column", "hearth", "column"])
    ['column', 'hearth', 'column (2)']
    """
    seen: dict[str, int] = {}
    told = []
    for name in names:
        seen[name] = seen.get(name, 0) + 1
        told.append(name if seen[name] == 1 else f"{name} ({seen[name]})")
    return told


def ceil_clean(value: float) -> int:
    """Round up, without letting float dust buy one more.

    >>> ceil_clean(3 * 0.1 / 0.1), ceil_clean(6.000000001), ceil_clean(6.001)
    (3, 6, 7)
    """
    nearest = round(value)
    if abs(value - nearest) <= min(DUST * max(1.0, abs(value)), 1e-3):
        return int(nearest)
    return math.ceil(value)


def tenths_up(length_mm: float) -> int:
    """Whole tenths of a millimetre that hold the length, float dust ignored.

    >>> tenths_up(1380.0), tenths_up(1380.00000001), tenths_up(1380.01)
    (13800, 13800, 13801)
    """
    return math.ceil(length_mm * 10 - 1e-4)
