"""Figures, currencies, days and the names of sums as a quote writes them.

Figures are read so:

* Thousands marks are a comma, a point, a space or an apostrophe: ``1,234.50``, ``1.234,50``, ``1 234,50``.
* ``1,234`` alone could be 1234 or 1.234: the quote's other figures decide, else it is left out and noted.
* A currency sign or code may stand before or after. A minus, or brackets round the figure, makes it negative.
* A quantity may carry its unit, ``18.3 m²``; a unit price what it is for, ``38.40 / pack``.
"""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

LONGEST_FIGURE = 60
LARGEST_FIGURE = Decimal(10) ** 9

SIGNS = {"£": "£", "€": "€", "$": "$", "¥": "¥", "gbp": "£", "eur": "€", "usd": "$", "jpy": "¥", "chf": "CHF"}
SIGNS |= {code.lower(): code for code in ("SEK", "NOK", "DKK", "PLN", "CZK", "HUF", "CAD", "AUD", "NZD", "ZAR")}
_CODES = "|".join(sign for sign in SIGNS if sign.isalpha())
CURRENCY = re.compile(rf"[£€$¥]|(?<![^\W\d_])(?:{_CODES})(?![^\W\d_])", re.I)

SPACES = str.maketrans(dict.fromkeys("\u00a0\u2007\u2009\u202f\t", " ") | dict.fromkeys("‐‑–−", "-") | {"’": "'"})
# the marks between digits are sorted out afterwards, so that no repetition stands inside another
FIGURE = re.compile(r"(?P<digits>\d{1,3}(?:[ ']\d{3})+(?:[.,]\d+)?(?!\d)|\.?\d[\d.,]*)(?P<rest>.*)", re.ASCII)
PER_CENT = re.compile(r"(\d{1,3}(?:[.,]\d{1,3})?) ?%", re.ASCII)
MONEY_AT_END = re.compile(
    rf"(?P<label>[^\d]*?(?:\d[\d.,]* ?%\)?)?)[ :=]+(?P<money>[-(]?(?:(?:{_CODES}|[£€$¥]) ?)?-?\d[^%]*)", re.I
)


# --- figures -----------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Figure:
    """A figure as typed: its digits with their marks, before anybody says which mark is the decimal one."""

    digits: str
    negative: bool
    currency: str
    rest: str

    @cached_property
    def mark(self) -> str:
        """The decimal mark this figure proves, or empty where it proves none."""
        digits = re.sub("[ ']", "", self.digits)
        grouped = len(digits) < len(self.digits)
        marks = re.findall("[.,]", digits)
        if not marks:
            return ""
        if len(set(marks)) == 2 or (len(marks) == 1 and grouped):
            return str(marks[-1])
        if len(marks) > 1:
            return "." if marks[0] == "," else ","
        before, after = re.split("[.,]", digits)
        return "" if len(after) == 3 and 1 <= len(before) <= 3 and before[0] != "0" else str(marks[0])

    def value(self, mark: str) -> Decimal | None:
        """The number with that decimal mark; None where it makes no number."""
        whole, _, part = re.sub("[ ']", "", self.digits).partition(mark)
        groups = re.split("[.,]", whole)
        sound = len(groups) == 1 or (1 <= len(groups[0]) <= 3 and all(len(group) == 3 for group in groups[1:]))
        if not sound or re.search("[.,]", part):
            return None
        number = Decimal(f"{''.join(groups) or '0'}.{part or '0'}") if part else Decimal("".join(groups) or "0")
        return -number if self.negative else number


def figure_in(text: str) -> Figure | None:
    """The figure in a cell's text, or None where there is none."""
    text = text.translate(SPACES).strip()
    if not 0 < len(text) <= LONGEST_FIGURE:
        return None
    signs = CURRENCY.findall(text)
    bare = CURRENCY.sub(" ", text, count=1).strip() if len(signs) == 1 else text
    negative = bare.startswith("-")
    bare = bare.removeprefix("-").lstrip()
    if bare.startswith("(") and bare.endswith(")") and not negative:
        negative, bare = True, bare[1:-1].strip()
    met = FIGURE.fullmatch(bare)
    if met is None:
        return None
    digits, rest = met["digits"], met["rest"].strip()
    if digits[-1] in ".," or re.match(r"[eE][-+]?\d|[x×*] ?\d|\W*\d", rest):
        return None
    return Figure(digits, negative, SIGNS[signs[0].lower()] if len(signs) == 1 else "", rest)


MONTHS = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
DAY = re.compile(
    r"(?P<iso>\d{4}-\d\d-\d\d)(?:[T ].*)?|(?P<one>\d{1,2})[./-](?P<two>\d{1,2})[./-](?P<year>\d{4})"
    r"|(?P<day>\d{1,2})(?:st|nd|rd|th)? (?P<month>[a-z]{3,9})\.? (?P<of>\d{4})",
    re.I | re.ASCII,
)


def day(text: str) -> datetime.date | None:
    """The day a text names, or None; 3/4/2031 is March in one place and April in another, so it is none.

    >>> day("30 September 2031"), day("30.9.2031"), day("3/4/2031")
    (datetime.date(2031, 9, 30), datetime.date(2031, 9, 30), None)
    """
    met = DAY.fullmatch(text.strip())
    if met is None:
        return None
    try:
        if met["iso"]:
            return datetime.date.fromisoformat(met["iso"])
        if met["month"]:
            return datetime.date(int(met["of"]), MONTHS.index(met["month"][:3].lower()) + 1, int(met["day"]))
        one, two = int(met["one"]), int(met["two"])
        if one <= 12 and two <= 12 and one != two:
            return None
        return datetime.date(int(met["year"]), min(one, two), max(one, two))
    except ValueError:
        return None


# --- names of columns and sums -----------------------------------------------------------------------------

SUBTOTALS = {"subtotal", "sub total", "net", "net total", "total net", "net amount", "net sum", "sum before tax"}
TAX_NAMES = ("vat", "tax")
SUBTOTALS |= {
    f"{sum_} {without} {tax}"
    for sum_ in ("total", "subtotal", "sub total", "sum", "amount")
    for without in ("before", "excluding", "excl", "ex", "without", "net of")
    for tax in TAX_NAMES
}
TOTALS = {"total", "grand total", "total due", "amount due", "total price", "total amount", "total cost", "sum"}
TOTALS |= {"quote total", "quotation total", "total to pay", "to pay", "total payable", "overall total", "in all"}
TOTALS |= {
    f"{sum_} {with_} {tax}"
    for sum_ in ("total", "grand total", "sum", "price", "amount")
    for with_ in ("including", "incl", "inc", "with", "after")
    for tax in TAX_NAMES
}
TAX = re.compile(r"(?:plus |add |including |incl |of which )?(?:vat|tax|value added tax|sales tax)\b")
PAYMENT = re.compile(r"(?:less )?(?:deposit|balance|payment|paid|instalment)\b")


def plain_words(name: str) -> str:
    """A column name or a label without case, brackets, currency, marks and per cent: Amount (£) is amount."""
    text = PER_CENT.sub(" ", name.translate(SPACES).casefold())
    text = re.sub(r"[.,:;@=/_()\[\]-]", " ", CURRENCY.sub(" ", text))
    return " ".join(text.split())
