"""Lengths as people write them, read once into millimetres, and written back in the unit a reader wants.

Reading is exact: every number is a fraction until the last step, when it becomes the nearest float. What can be
read two ways is refused with both readings; nothing is guessed. The rules:

* A number alone is millimetres: ``4200``, ``4200.5``. A fraction or a decimal comma needs a unit.
* Units: mm, cm, m, in and ft, as words or signs (``'`` and ``"``, straight, curly or prime), in either case.
* The point is always decimal. The comma is decimal too, never thousands: ``4,2 m``. With one to three figures before
  and three after it (``4,200 m``) it is refused, unless the figures before begin with 0.
* Fractions are smaller than 1: ``9 1/2"``, ``9-1/2"``, ``9½"``. Text that lost its formatting turns 1½ into 11/2.
* Feet with inches, or metres with centimetres with millimetres, larger unit first, each once, and each smaller part
  less than one of the unit before it: ``13' 9 1/2"``, ``13'-9"``, ``4 m 20 cm``. Only the last part may be broken.
  ``4 m 20`` is refused: twenty what?
* A sign in front goes for the whole length: ``-13' 9"`` is thirteen feet nine below zero.

References
----------
.. [1] International yard and pound agreement, 1959: 1 yard = 0.9144 m exactly, so 1 foot = 304.8 mm and
   1 inch = 25.4 mm exactly.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from flooring_kit.checks import (
    nearest_hint,
    require_between,
    require_number,
    require_one_of,
    shown,
)

UNITS = ("mm", "cm", "m", "in", "ft")
"""The units a length can be given in."""

LONGEST_MM = 1_000_000_000
"""Beyond 1000 km nothing is a length of a floor."""

MOST_CHARACTERS, MOST_DIGITS = 80, 12

_MM_IN = {"mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000), "in": Fraction("25.4"), "ft": Fraction("304.8")}
_NAMES = {"mm": "millimetres", "cm": "centimetres", "m": "metres", "in": "inches", "ft": "feet"}
_METRIC = ("mm", "cm", "m")
_PLACES = {"mm": 1, "cm": 2, "m": 4, "in": 2, "ft": 3}  # each shows a third of a millimetre or finer

_WORDS = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), "cm"),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "m"),
    **dict.fromkeys(("in", "inch", "inches", '"', "''"), "in"),
    **dict.fromkeys(("ft", "foot", "feet", "'"), "ft"),
}
_NOT_FINITE = ("nan", "inf", "infinity")
_VULGAR = {
    **{"½": (1, 2), "⅓": (1, 3), "⅔": (2, 3), "¼": (1, 4), "¾": (3, 4), "⅕": (1, 5), "⅖": (2, 5), "⅗": (3, 5)},
    **{"⅘": (4, 5), "⅙": (1, 6), "⅚": (5, 6), "⅐": (1, 7), "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8), "⅞": (7, 8)},
    **{"⅑": (1, 9), "⅒": (1, 10)},
}
_TYPEWRITER = str.maketrans(
    {
        **dict.fromkeys("\t\u00a0\u2009\u202f", " "),
        **dict.fromkeys("′’‘´", "'"),
        **dict.fromkeys("″”“", '"'),
        **dict.fromkeys("‐‑–−", "-"),
        "⁄": "/",
    }
)
"""Typographic signs and the typewriter's own; one character for one, so that places in the text stay the same."""

# Linear: no repetition stands inside another over the same characters. A point belongs to a number or ends a word
# only where it can't be the other: "5ft.3in" is refused, for it could be 3 or 0.3 inches.
_TOKEN = re.compile(
    r"""(?P<fraction>[0-9]+[ ]?/[ ]?[0-9]+)
      | (?P<number>(?:(?<![^ +-])\.)?[0-9]+(?:[.,][0-9]+)*)
      | (?P<vulgar>[½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒])
      | (?P<word>''|['"]|[^\W\d_½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒]+(?:\.(?![0-9]))?)
      | (?P<sign>[^ ])""",
    re.VERBOSE,
)
_EXPONENT = re.compile(r"[0-9]\.?e[-+]?[0-9]", re.IGNORECASE)
_EXAMPLES = "4200 mm, 4.2 m or 13' 9 1/2\""


def parse_length_mm(text: str, *, name: str, allow_negative: bool = False) -> float:
    """Length in a text [mm]: the float nearest to the exact value, by the rules at the head of this module.

    Parameters
    ----------
    text
        The length as typed, at most 80 characters.
    name
        What the length is, to begin a complaint with.
    allow_negative
        Whether a minus in front is read; -0 is 0.

    Raises
    ------
    ValueError
        For anything that is not one length of at most 1000 km, in one sentence with the text quoted.

    Examples
    --------
    >>> parse_length_mm("4,2 m", name="wall 1"), parse_length_mm("13' 9½\\"", name="wall 2")
    (4200.0, 4203.7)

    References
    ----------
    The 1959 agreement, [1]_ at the head of this module.
    """
    exact_mm = _read(text, name).exact_mm
    if exact_mm < 0 and not allow_negative:
        raise ValueError(_sentence(name, f"must not be negative, got {_quoted(text)}."))
    return float(exact_mm)


def to_mm(value: object, unit: str, *, name: str, allow_negative: bool = True) -> float:
    """Length in a table [mm]: a number is in the table's unit, a text carries its own.

    Parameters
    ----------
    value
        A number in `unit`, or a text for `parse_length_mm`. A text without a unit is millimetres, and refused
        where the table's own unit is another.
    unit
        The table's unit: mm, cm, m, in or ft.
    name
        Where the value stands, to begin a complaint with.
    allow_negative
        Whether negative lengths are read: coordinates and rises can be negative.

    Raises
    ------
    ValueError
        For an unknown unit, and for anything that is not one length of at most 1000 km.

    Examples
    --------
    >>> to_mm(4.2, "m", name="wall 1"), to_mm("13' 9 1/2\\"", "m", name="wall 2")
    (4200.0, 4203.7)
    """
    require_one_of(unit, UNITS, "unit")
    if isinstance(value, str):
        if unit != "mm" and not _read(value, name).units:
            typed = value.strip()
            write = f"write {typed} {unit} or {typed} mm"
            raise ValueError(_sentence(name, f"must have a unit in its text, got {_quoted(value)}: {write}."))
        return parse_length_mm(value, name=name, allow_negative=allow_negative)
    try:
        number = require_number(value, name, unit=unit)
        farthest = float(LONGEST_MM / _MM_IN[unit])
        require_between(number, -farthest if allow_negative else 0, farthest, name, unit=unit)
    except ValueError as slip:
        raise ValueError(str(slip).lstrip()) from None
    return float(_exact(number) * _MM_IN[unit])


def feet_and_inches(mm: float, *, to: Fraction = Fraction(1, 16)) -> str:
    """Length in feet and inches, to the nearest fraction of an inch in lowest terms; a tie goes away from 0.

    Parameters
    ----------
    mm
        The length [mm], at most 1000 km either way.
    to
        The fraction of an inch to round to: one over a whole number from 1 to 1000.

    Raises
    ------
    ValueError
        For a length or a fraction outside those limits.

    Examples
    --------
    >>> feet_and_inches(4203.7), feet_and_inches(12.7), feet_and_inches(3962.4)
    ('13\\' 9 1/2"', '1/2"', '13\\' 0"')

    References
    ----------
    The 1959 agreement, [1]_ at the head of this module.
    """
    number = require_between(mm, -LONGEST_MM, LONGEST_MM, "length", unit="mm")
    if not isinstance(to, Fraction | int) or not 0 < to <= 1 or to.numerator != 1 or to.denominator > 1000:
        raise ValueError(f"to must be a Fraction of 1 over a whole number from 1 to 1000, got {to}.")
    steps = _nearest(_exact(number) / _MM_IN["in"] / to)
    feet, inches = divmod(abs(steps) * Fraction(to), 12)
    whole, part = divmod(inches, 1)
    figures = [str(whole)] if whole or not part or feet else []
    figures += [str(part)] if part else []
    words = [f"{feet}'"] if feet else []
    return f'{"-" if steps < 0 else ""}{" ".join([*words, *figures])}"'


def in_unit(mm: float, unit: str) -> str:
    """Length with its unit, rounded to 0.1 mm, 0.01 cm, 0.0001 m, 0.01 in or 0.001 ft, without closing zeros.

    A tie goes away from 0.

    Parameters
    ----------
    mm
        The length [mm], at most 1000 km either way.
    unit
        The unit to write it in: mm, cm, m, in or ft.

    Raises
    ------
    ValueError
        For a length outside those limits and for an unknown unit.

    Examples
    --------
    >>> [in_unit(4203.7, unit) for unit in UNITS]
    ['4203.7 mm', '420.37 cm', '4.2037 m', '165.5 in', '13.792 ft']
    """
    number = require_between(mm, -LONGEST_MM, LONGEST_MM, "length", unit="mm")
    places = _PLACES[require_one_of(unit, UNITS, "unit")]
    steps = _nearest(_exact(number) / _MM_IN[unit] * 10**places)
    whole, part = divmod(abs(steps), 10**places)
    return f"{'-' if steps < 0 else ''}{_trimmed(f'{whole}.{part:0{places}d}')} {unit}"


# --- exact numbers ---------------------------------------------------------------------------------------


def _exact(number: float) -> Fraction:
    """The decimal a person sees, not the binary fraction behind it: 4203.7 is 42037/10."""
    return Fraction(repr(float(number)))


def _nearest(value: Fraction) -> int:
    """The nearest whole number, a tie away from 0."""
    size = int(abs(value) + Fraction(1, 2))
    return size if value > 0 else -size


def _trimmed(decimal: str) -> str:
    """A decimal without zeros that say nothing: 4.200 is 4.2, 007 is 7, .5 is 0.5."""
    whole, _, part = decimal.partition(".")
    part = part.rstrip("0")
    return f"{whole.lstrip('0') or '0'}{f'.{part}' if part else ''}"


# --- reading ---------------------------------------------------------------------------------------------


class _RefusedError(Exception):
    """A rule that a text broke, what more there is to say once the text has been quoted, and a closing sentence."""

    def __init__(self, rule: str, tail: str = "", hint: str = "") -> None:
        self.rule, self.tail, self.hint = rule, tail, hint
        super().__init__(rule)


@dataclass(frozen=True)
class _Reading:
    """What a text says: its length, and the units that were typed, none for a number alone."""

    exact_mm: Fraction
    units: tuple[str, ...]


@dataclass(frozen=True)
class _Token:
    """A number, fraction, unit or sign, and its place in the text."""

    kind: str
    text: str
    start: int

    @property
    def end(self) -> int:
        return self.start + len(self.text)

    @property
    def is_part(self) -> bool:
        """A fraction, of either spelling."""
        return self.kind in ("fraction", "vulgar")

    @property
    def is_figure(self) -> bool:
        return self.is_part or self.kind == "number"

    @property
    def unit(self) -> str:
        return _WORDS[self.text.lower().rstrip(".")]


def _sentence(name: str, rest: str) -> str:
    return f"{name} {rest}".lstrip()


def _quoted(text: str) -> str:
    """Text as a complaint quotes it; one with foot or inch marks stands in curly quotes, which show where it ends."""
    if not any(mark in text for mark in "'\""):
        return shown(text)
    clean = "".join(letter if letter.isprintable() else repr(letter)[1:-1] for letter in text)
    return f"“{clean if len(clean) <= 58 else clean[:55] + '...'}”"


def _read(text: object, name: str) -> _Reading:
    if not isinstance(text, str):
        raise ValueError(_sentence(name, f"must be text such as {_EXAMPLES}, got {shown(text)}."))
    try:
        reading = _reading(text)
        if abs(reading.exact_mm) > LONGEST_MM:
            raise _RefusedError("must be at most 1000 km")
    except _RefusedError as slip:
        raise ValueError(_sentence(name, f"{slip.rule}, got {_quoted(text)}{slip.tail}.{slip.hint}")) from None
    return reading


def _reading(text: str) -> _Reading:
    if len(text) > MOST_CHARACTERS:
        raise _RefusedError(f"must be a length of at most {MOST_CHARACTERS} characters", f" with {len(text)}")
    if not text.strip():
        raise _RefusedError(f"must be a length such as {_EXAMPLES}", ", which is empty")
    tokens = _tokens(text.translate(_TYPEWRITER).strip())
    if not any(token.is_figure for token in tokens):
        raise _RefusedError(f"must be a length such as {_EXAMPLES}", ", which has no number")
    sign = 1
    if tokens[0].text in ("-", "+"):
        sign = -1 if tokens[0].text == "-" else 1
        tokens = tokens[1:]
    parts: list[tuple[Fraction, str]] = []
    waiting: list[_Token] = []
    for place, token in enumerate(tokens):
        if token.is_figure:
            waiting.append(token)
        elif token.kind == "word":
            if not waiting:
                raise _RefusedError(f"must have a number in front of {_quoted(token.text)}")
            parts.append((_amount(waiting, token.unit), token.unit))
            waiting = []
        elif not _is_hyphen(tokens, place):
            raise _RefusedError("must have a sign only in front, or a hyphen between feet and inches")
    if waiting and parts:
        raise _unit_wanted(waiting, parts[-1][1])
    if waiting:
        return _Reading(sign * _amount(waiting, ""), ())
    _require_in_order(parts)
    total = sum((value * _MM_IN[unit] for value, unit in parts), Fraction(0))
    return _Reading(sign * total, tuple(unit for _, unit in parts))


def _tokens(text: str) -> list[_Token]:
    for letter in text:
        if letter.isnumeric() and not letter.isascii() and letter not in _VULGAR:
            raise _RefusedError("must be written with the digits 0 to 9", f" with {shown(letter)}")
    exponent = _EXPONENT.search(text)
    if exponent:
        raise _RefusedError("must be written out without an exponent")
    tokens = [_Token(found.lastgroup or "", found.group(), found.start()) for found in _TOKEN.finditer(text)]
    has_number = any(token.is_figure for token in tokens)
    for token in tokens:
        if token.kind == "word":
            _require_unit(token.text.lower().rstrip("."), has_number)
        elif token.kind == "sign" and token.text not in ("-", "+"):
            raise _RefusedError(f"must be a length such as {_EXAMPLES}", f" with the sign {_quoted(token.text)}")
        elif token.is_figure:
            _require_few_digits(token.text)
    return tokens


def _require_unit(word: str, has_number: bool) -> None:
    if word in _NOT_FINITE:
        raise _RefusedError("must be a finite number")
    if has_number and word not in _WORDS:
        # a word of two letters, km or yd, is another unit rather than a slip
        near = nearest_hint(word, [each for each in _WORDS if each.isalpha()]) if len(word) > 2 else ""
        raise _RefusedError("must be in mm, cm, m, in or ft", f" with the word {shown(word)}", near)


def _require_few_digits(figures: str) -> None:
    most = max(sum(letter.isdigit() for letter in piece) for piece in figures.split("/"))
    if most > MOST_DIGITS:
        raise _RefusedError(f"must have at most {MOST_DIGITS} digits in one number", f" with {most}")


def _is_hyphen(tokens: list[_Token], place: int) -> bool:
    """Whether the sign joins feet to inches, as in 13'-9", or a whole number to its fraction, as in 9-1/2"."""
    if tokens[place].text != "-" or not 0 < place < len(tokens) - 1:
        return False
    before, after = tokens[place - 1], tokens[place + 1]
    if before.kind == "word":
        return before.unit == "ft" and after.is_figure
    tight = before.end == tokens[place].start and tokens[place].end == after.start
    return tight and before.kind == "number" and after.is_part


def _amount(figures: list[_Token], unit: str) -> Fraction:
    """The number in front of a unit: whole, decimal, a fraction, or a whole number and a fraction."""
    for place, (left, right) in enumerate(pairwise(figures)):
        if place or not (left.text.isdigit() and right.is_part):
            both = f"{left.text} and {right.text}"
            raise _RefusedError("must have one number to a unit", f" with {both} side by side")
    if figures[-1].is_part and not unit:
        typed = " ".join(token.text for token in figures)
        raise _RefusedError("must have a unit after a fraction", f": write {typed} in for inches")
    return sum((_fraction(token) if token.is_part else _decimal(token.text, unit) for token in figures), Fraction(0))


def _fraction(token: _Token) -> Fraction:
    if token.kind == "vulgar":
        return Fraction(*_VULGAR[token.text])
    above, below = (int(piece) for piece in token.text.split("/"))
    if not below:
        raise _RefusedError("must not have a fraction over 0")
    if above >= below:
        space = "a whole number stands in front with a space, as in 1 1/2"
        raise _RefusedError("must have fractions smaller than 1", f" with {token.text}: {space}")
    return Fraction(above, below)


def _decimal(figures: str, unit: str) -> Fraction:
    marks = [letter for letter in figures if letter in ".,"]
    tail = f" {unit}" if unit else ""
    if len(marks) > 2 or len(set(marks)) < len(marks):
        raise _RefusedError("must have at most one point or comma in a number")
    before, *rest = re.split("[.,]", figures)
    if not marks:
        return Fraction(figures)
    could_be_thousands = len(before) in (1, 2, 3) and before[0] != "0" and len(rest[-1]) == 3
    if len(marks) == 2 or (marks == [","] and could_be_thousands):
        last_is_decimal = f"{before}{rest[0]}.{rest[1]}" if len(marks) == 2 else f"{before}{rest[0]}"
        first_is_decimal = f"{before}.{''.join(rest)}"
        readings = f"{_trimmed(last_is_decimal)}{tail} or {_trimmed(first_is_decimal)}{tail}"
        raise _RefusedError("must not have a comma that can be read two ways", f": it could be {readings}")
    if marks == [","] and not unit:
        point = _trimmed(figures.replace(",", "."))
        raise _RefusedError("must have a unit beside a decimal comma", f": write {point} mm, {point} cm or {point} m")
    return Fraction(figures.replace(",", "."))


def _unit_wanted(figures: list[_Token], after: str) -> _RefusedError:
    """The complaint about a number without a unit after one that has a unit."""
    typed = " ".join(token.text for token in figures)
    smaller = {"m": ("cm", "mm"), "cm": ("mm",), "ft": ("in",)}.get(after, ())
    write = f": write {' or '.join(f'{typed} {unit}' for unit in smaller)}" if smaller else f" with {typed} alone"
    return _RefusedError("must have a unit after every number", write)


def _require_in_order(parts: list[tuple[Fraction, str]]) -> None:
    units = [unit for _, unit in parts]
    if len({unit in _METRIC for unit in units}) > 1:
        raise _RefusedError("must not mix metric units with feet and inches")
    for (large, unit), (small, smaller) in pairwise(parts):
        if _MM_IN[smaller] >= _MM_IN[unit]:
            raise _RefusedError("must run from the larger unit to the smaller, each once")
        if large.denominator != 1:
            raise _RefusedError(f"must have a whole number of {_NAMES[unit]} in front of {_NAMES[smaller]}")
        most = _MM_IN[unit] / _MM_IN[smaller]
        if small >= most:
            raise _RefusedError(f"must have less than {most} {_NAMES[smaller]} beside {_NAMES[unit]}")
