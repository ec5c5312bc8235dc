"""What an exercise asks for, and how an answer is read: sensible units, fractions of an inch, decimal commas.

Lengths are read by :mod:`flooring_kit.lengths`; here it also takes "13 ft 9", which on a site can only be inches. Every
other figure is one number and perhaps a unit. What can be read two ways is refused with both readings.
"""

from __future__ import annotations

import re
import string
from dataclasses import dataclass

from flooring_kit.checks import counted, nearest_hint, require_one_of, shown
from flooring_kit.lengths import in_unit, parse_length_mm

M2_PER_SQUARE_FOOT = 0.09290304
"""Exact, from the foot of 304.8 mm."""

_NOUNS = {"pack": ("pack", "packs", "box", "boxes")}
_A_SQUARE_METRE = ("/m2", "/m²", "a m2", "a m²", "per m2", "per m²", "a square metre", "per square metre")
_UNITS: dict[str, dict[str, float]] = {
    "area": {
        **dict.fromkeys(("", "m2", "m²", "m^2", "sq m", "sqm", "square metre", "square metres"), 1.0),
        **dict.fromkeys(("ft2", "ft²", "ft^2", "sq ft", "sqft", "square foot", "square feet"), M2_PER_SQUARE_FOOT),
    },
    "fraction": {"": 1.0, **dict.fromkeys(("%", "percent", "per cent"), 0.01)},
    "tog": {
        **dict.fromkeys(("", "tog", "togs"), 1.0),
        **dict.fromkeys(("m2k/w", "m²k/w", "m2 k/w", "m² k/w", "m^2k/w"), 10.0),
    },
    "angle": dict.fromkeys(("", "°", "deg", "degree", "degrees"), 1.0),
    "money": dict.fromkeys(("", "£", "$", "€", "pounds", "euros", *_A_SQUARE_METRE), 1.0),
}
_SUCH_AS = {
    "length": "3480 mm, 3.48 m or 11 ft 5",
    "area": "18.72 m²",
    "fraction": "12.5 % or 0.125",
    "tog": "1.34 tog or 0.134 m²K/W",
    "angle": "30.5°",
    "money": "£44.05",
}
KINDS = (*_SUCH_AS, "count", "choice")

_OTHER_UNITS = {"length": (10.0, 1000.0, 0.1, 0.001), "fraction": (0.01, 100.0), "tog": (10.0,)}
"""What an answer is multiplied by to see whether only its unit is wrong."""

_FEET_THEN_INCHES = re.compile(r"(?i)\s*\d+\s*(?:ft|foot|feet|['′’])\s*\d+(?:[ -]\d+/\d+|\.\d+|\s*[½¼¾⅛⅜⅝⅞])?\s*")
_FIGURE = re.compile(r"(?P<sign>[-−]?)\s*(?P<money>[£$€]?)\s*(?P<digits>\d(?:[\d.,]| (?=\d))*|[.,]\d+)\s*(?P<unit>.*)")
_LAST_DIGIT = re.compile(r"[0-9](?=[^0-9]*$)")
_SPACED = re.compile(r"\d{1,3}(?: \d{3})+(?:[.,]\d+)?")
MOST_CHARACTERS = 60
NOTHING = ("none", "nothing", "nought", "zero", "nil")


@dataclass(frozen=True)
class Quantity:
    """The kind of figure asked for.

    Parameters
    ----------
    kind
        One of `KINDS`. Values are held in mm, m², a fraction (0.08), tog, degrees, the currency, a count, or for a
        choice the place of the option, 0 for A.
    close
        How far an answer may be off and still be right [the kind's unit].
    near
        How far off an answer is taken as the right one, rounded too far; 0 for never.
    noun
        What is counted or chosen: "pack", "offcut".
    options
        How many there are to choose from.
    """

    kind: str
    close: float = 0.0
    near: float = 0.0
    noun: str = ""
    options: int = 0

    def __post_init__(self) -> None:
        require_one_of(self.kind, KINDS, "kind of answer")

    @property
    def such_as(self) -> str:
        """How an answer may be written, for the line under the box."""
        if self.kind == "count":
            return f"a whole number of {self.noun}s"
        if self.kind == "choice":
            return f"one letter, A to {string.ascii_uppercase[self.options - 1]}"
        return f"written like {_SUCH_AS[self.kind]}"

    @property
    def other_units(self) -> tuple[float, ...]:
        """What an answer is multiplied by to see whether only its unit is wrong."""
        return _OTHER_UNITS.get(self.kind, ())

    def shown(self, value: float) -> str:
        """A value as the workbook writes it, with its unit."""
        if self.kind == "length":
            return in_unit(value, "mm")
        if self.kind == "area":
            return f"{value:.2f} m²"
        if self.kind == "fraction":
            return f"{100 * value:.1f} %".replace(".0 %", " %")
        if self.kind == "tog":
            return f"{round(value, 3):g} tog"
        if self.kind == "angle":
            return f"{value:g}°"
        if self.kind == "money":
            return f"£{value:,.2f}"
        if self.kind == "choice":
            return f"{self.noun} {string.ascii_uppercase[int(value)]}"
        return counted(int(value), self.noun) if value == int(value) else f"{value:.4g} {self.noun}s"

    def read(self, text: str) -> float:
        """The value of an answer as typed.

        Raises
        ------
        ValueError
            For anything that is not one figure of this kind, in one sentence.

        Examples
        --------
        >>> Quantity("length").read("13 ft 9"), Quantity("fraction").read("8 %"), Quantity("area").read("18,72 m2")
        (4191.0, 0.08, 18.72)
        """
        typed = text.strip()
        if not typed:
            raise ValueError(f"Your answer is empty. It must be {self.such_as}.")
        if len(typed) > MOST_CHARACTERS:
            raise ValueError(f"Your answer must have at most {MOST_CHARACTERS} characters, got {len(typed)}.")
        if typed.lower().rstrip(".") in NOTHING and self.kind in ("length", "count"):
            return 0.0
        if self.kind == "length":
            return parse_length_mm(f"{typed} in" if _FEET_THEN_INCHES.fullmatch(typed) else typed, name="Your answer")
        if self.kind == "choice":
            return self._option(typed)
        return self._figure(typed)

    def last_digit(self, text: str) -> float:
        """What a change of the last digit typed changes the answer by: how finely it was written; 0 if it has none.

        Examples
        --------
        >>> round(Quantity("length").last_digit("3.21 m"), 6), round(Quantity("money").last_digit("53"), 6)
        (10.0, 1.0)
        """
        found = _LAST_DIGIT.search(text)
        if found is None:
            return 0.0
        other = "1" if found[0] == "0" else str(int(found[0]) - 1)
        try:
            changed = self.read(f"{text[: found.start()]}{other}{text[found.end() :]}")
        except ValueError:  # the digit of a unit, as in m2
            return 0.0
        return abs(changed - self.read(text))

    def _option(self, typed: str) -> float:
        letters = string.ascii_uppercase[: self.options]
        word = typed.lower().removeprefix(self.noun).strip(" .):").upper()
        if len(word) != 1 or word not in letters:
            raise ValueError(f"Your answer must be {self.such_as}, got {shown(typed)}.")
        return float(letters.index(word))

    def _figure(self, typed: str) -> float:
        found = _FIGURE.fullmatch(typed)
        if found is None:
            raise ValueError(f"Your answer must be a figure, {self.such_as}, got {shown(typed)}.")
        if found["sign"]:
            raise ValueError(f"Your answer must not be negative, got {shown(typed)}.")
        value = _decimal(found["digits"].strip(), typed)
        unit = " ".join((found["unit"] or (found["money"] if self.kind != "money" else "")).lower().split()).rstrip(".")
        return value * self._factor(unit, typed)

    def _factor(self, unit: str, typed: str) -> float:
        if self.kind == "count":
            known = dict.fromkeys(("", *_NOUNS.get(self.noun, (self.noun, f"{self.noun}s"))), 1.0)
        else:
            known = _UNITS[self.kind]
        if unit not in known:
            near = nearest_hint(unit, [word for word in known if word]) if len(unit) > 2 else ""
            raise ValueError(f"Your answer must be {self.such_as}, got {shown(typed)}.{near}")
        return known[unit]


def _decimal(digits: str, typed: str) -> float:
    """The number that figures, points and commas write, where there is only one."""
    if " " in digits:
        if not _SPACED.fullmatch(digits):
            raise ValueError(f"Your answer must be one number, got {shown(typed)}.")
        digits = digits.replace(" ", "")
    marks = [letter for letter in digits if letter in ".,"]
    if len(set(marks)) == 2 or len(marks) > 1:
        last = marks[-1] if len(set(marks)) == 2 else None
        whole, part = digits.rsplit(last, 1) if last else (digits, "")
        if not re.fullmatch(r"\d{1,3}(?:[.,]\d{3})+", whole) or (last and last in whole):
            raise ValueError(f"Your answer must have at most one point or comma, got {shown(typed)}.")
        return float(re.sub("[.,]", "", whole) + (f".{part}" if part else ""))
    if marks == [","] and re.fullmatch(r"[1-9]\d{0,2},\d{3}", digits):
        joined, point = digits.replace(",", ""), digits.replace(",", ".")
        raise ValueError(f"Your answer can be read two ways, got {shown(typed)}: write {joined} or {point}.")
    return float(digits.replace(",", "."))
