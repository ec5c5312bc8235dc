"""Reading a fitter's quote from a CSV file or a workbook, whatever its columns are called.

Nothing is guessed. The columns are taken from the user's mapping, or from a fixed list of plain trade words when
every needed one stands there; a figure that can be read two ways is left out. What can't be read goes into the
quote's notes, with its row, and the rest is still read. The result is a :class:`~flooring_kit.quoted.Quote`.

How figures are written is in :mod:`flooring_kit.files.quote_figures`.

Subtotal, tax and total are rows below the last line. A tax row among the lines stays a line: somebody adds it up.
"""

from __future__ import annotations

import datetime
import os
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path

from flooring_kit.checks import FaultsError, numbered, shown
from flooring_kit.files.quote_figures import (
    CURRENCY,
    LARGEST_FIGURE,
    MONEY_AT_END,
    PAYMENT,
    PER_CENT,
    SIGNS,
    SPACES,
    SUBTOTALS,
    TAX,
    TOTALS,
    day,
    figure_in,
    plain_words,
)
from flooring_kit.files.quote_rows import (
    FIELDS,
    Cell,
    Head,
    Notes,
    field_words,
    head_rows,
    listed,
    read_head,
    read_rows,
    suggested_columns,
)
from flooring_kit.quoted import Quote, QuoteLine

__all__ = ["read_quote", "read_quote_heads", "suggested_columns"]

FIGURES = ("quantity", "unit_price", "amount")
LONGEST_TEXT = 200

VALIDITY = re.compile(
    r"(?:(?:this )?(?:quote|quotation|offer|prices?)(?: is| are)? )?"
    r"(?:valid(?:ity)?\b(?: (?:until|till|to|for|up to)\b)?|(?:holds|open) (?:until|till|for|up to)\b)"
    r"[ :]*(?P<rest>.*)",
    re.I,
)
EXCLUDES = re.compile(r"(?:exclud(?:es|ed|ing)|exclusions?|not included|does not include)\b[ :]*(?P<rest>.*)", re.I)
DATE = re.compile(r"(?:date of (?:the )?quote|dated?)\b[ :]*(?P<rest>(?:.*\d.*)?)", re.I)


def read_quote(path: str | os.PathLike[str], columns: Mapping[str, str] | None = None) -> Quote:
    """The quote in a file, as written.

    Parameters
    ----------
    path
        CSV in UTF-8, its cells separated by commas, semicolons, tabs or bars; or an XLSX workbook, whose formulas are
        read as the values stored with them. Rows above the column names are skipped and noted.
    columns
        Which column is which, by its name in the file: ``{"item": "Description", "amount": "Price"}``. The keys are
        item, quantity, unit, unit_price and amount; item is needed, and amount, or else quantity and unit_price.
        None takes the columns whose names are certain, and refuses where a needed one is not.

    Raises
    ------
    FaultsError
        For a file that can't be read at all, columns that can't be told, or no line below them.
    FileNotFoundError
        Where there is no such file.

    Examples
    --------
    >>> from flooring_kit.files import demo_path
    >>> quote = read_quote(demo_path("quotes", "box_room_fitter_a.csv"))
    >>> quote.lines[0].item, quote.lines[0].quantity, quote.total
    ('Oak plank 1380 x 193', Decimal('4'), Decimal('485.64'))
    """
    typed = os.fspath(path)
    notes = Notes()
    rows = read_rows(typed, path, columns, notes)
    head = read_head(typed, rows, columns)
    return _Reading(typed, head, rows, notes).quote()


def read_quote_heads(path: str | os.PathLike[str]) -> tuple[str, ...]:
    """The column names of a quote, as they stand, for the user to map.

    Raises
    ------
    FaultsError, FileNotFoundError
        As :func:`read_quote`, but for the columns.
    """
    typed = os.fspath(path)
    _, _, names = head_rows(typed, read_rows(typed, path, None, Notes()), ())
    return tuple(name for name in names if name)


# --- the lines ---------------------------------------------------------------------------------------------


@dataclass
class _Reading:
    """One pass over the rows below the head."""

    typed: str
    head: Head
    rows: list[list[Cell]]
    notes: Notes
    mark: str = ""
    currencies: dict[str, list[int]] = field(default_factory=dict)
    valid_until: str = ""
    dated: str = ""
    excludes: list[str] = field(default_factory=list)
    sums: dict[str, Decimal | None] = field(default_factory=dict)
    fractions: list[Decimal | None] = field(default_factory=list)

    def quote(self) -> Quote:
        """Everything the rows say."""
        self.mark = self._decimal_mark()
        self._rows_above()
        for name in (name for name in FIELDS if name not in self.head.at):
            self.notes.add(self.head.bottom, f"row {self.head.bottom}: there is no column for the {field_words(name)}.")
        body = [
            (number, row)
            for number, row in enumerate(self.rows, start=1)
            if number > self.head.bottom and any(cell != "" for cell in row) and not self._head_again(number, row)
        ]
        body = [(number, row) for number, row in body if not self._in_words(row)]
        last = self._last_line([(number, self._label(row)) for number, row in body])
        lines = [line for number, row in body if number <= last and (line := self._line(number, row)) is not None]
        for number, row in body:
            if number > last:
                self._sum(number, row)
        if not lines and self.sums.get("total") is None:
            raise FaultsError(self.typed, [f"there are no lines below the column names in row {self.head.bottom}."])
        rates = set(self.fractions)
        return Quote(
            name=Path(self.typed).stem,
            lines=tuple(lines),
            subtotal=self.sums.get("subtotal"),
            tax_fraction=rates.pop() if len(rates) == 1 else None,
            tax=self.sums.get("tax"),
            total=self.sums.get("total"),
            currency=self._currency(),
            valid_until=self._validity(),
            excludes=tuple(self.excludes),
            notes=self.notes.all(),
            currencies=tuple(self.currencies) if len(self.currencies) > 1 else (),
        )

    @staticmethod
    def _last_line(labels: list[tuple[int, str]]) -> int:
        """The last row above the sums. Tax that a subtotal still follows is part of it, and so a line."""
        last = max((number for number, label in labels if not label), default=0)
        below = [(number, label) for number, label in labels if number > last]
        subtotal = max((number for number, label in below if label == "subtotal"), default=0)
        beyond = labels[-1][0] + 1 if labels else 0
        total = min((number for number, label in below if label == "total"), default=beyond)
        lines = [
            number
            for number, label in below
            if (label == "tax" and number < min(subtotal, total)) or (label == "payment" and number < total)
        ]
        return max(lines, default=last)

    # --- what is no line

    def _rows_above(self) -> None:
        left = [
            (number, row)
            for number, row in enumerate(self.rows[: self.head.top - 1], start=1)
            if any(cell != "" for cell in row) and not self._in_words(row)
        ]
        if left:
            first = [str(next(cell for cell in row if cell != "")) for _, row in left]
            more = f" and {len(first) - 3} more" if len(first) > 3 else ""
            where = numbered("row", [number for number, _ in left])
            stand, were = ("stands", "was") if len(left) == 1 else ("stand", "were")
            words = f"{where} {stand} above the column names and {were} left out: {listed(first[:3])}{more}."
            self.notes.add(left[0][0], words)

    def _head_again(self, number: int, row: list[Cell]) -> bool:
        names = [name.casefold() for name in self.head.names]
        again = [str(cell).casefold() for cell in row][: len(names)] == names
        if again:
            self.notes.add(number, f"row {number} repeats the column names and was left out.")
        return again

    def _in_words(self, row: list[Cell]) -> bool:
        """Whether the row says how long the quote holds, when it was written or what it leaves out."""
        texts = [str(cell) for cell in row if cell != ""]
        for pattern in (VALIDITY, EXCLUDES, DATE):
            met = pattern.fullmatch(texts[0])
            if met is None:
                continue
            said = [text for text in (met["rest"], *texts[1:]) if text]
            money = [self._cell(row, name) for name in ("unit_price", "amount")]
            if not said or any(isinstance(cell, Decimal) or figure_in(cell) for cell in money):
                return False  # a line with a price is a line, whatever its first word
            if pattern is EXCLUDES:
                mark = ";" if any(";" in text for text in said) else ","
                every = [part.strip(" .") for text in said for part in text.split(mark)]
                self.excludes += [part[:LONGEST_TEXT] for part in every if part]
            elif pattern is VALIDITY:
                self.valid_until = self.valid_until or " ".join(said)[:LONGEST_TEXT].rstrip(".")
            else:
                self.dated = self.dated or " ".join(said)[:LONGEST_TEXT].rstrip(".")
            return True
        return False

    def _validity(self) -> str:
        """The last day the quote holds, where its words give one; else its words."""
        said = self.valid_until
        days = re.fullmatch(r"(\d{1,3}) (day|week)s?(?: from (?P<start>.+))?", said, re.I | re.ASCII)
        if days:
            start = day(days["start"] or self.dated)
            span = datetime.timedelta(days=int(days[1]) * (7 if days[2].lower() == "week" else 1))
            return (start + span).isoformat() if start else said
        until = day(said)
        if said and until is None:
            self.notes.add(0, f"the quote is valid {shown(said)}, which is no certain day. Write it as 2031-09-30.")
        return until.isoformat() if until else said

    # --- sums

    def _text_of(self, row: list[Cell]) -> str:
        """What the row calls itself: its item, or else the first text before its amount."""
        item = self._cell(row, "item")
        if item != "":
            return str(item)
        return next((cell for cell in row if isinstance(cell, str) and cell and figure_in(cell) is None), "")

    def _label(self, row: list[Cell]) -> str:
        """Which sum the row gives: subtotal, tax, total, payment; "remark" for words alone; empty for a line."""
        text = self._text_of(row)
        alone = sum(cell != "" for cell in row) == 1
        met = MONEY_AT_END.fullmatch(text) if alone and len(text) <= LONGEST_TEXT else None
        plain = plain_words(met["label"] if met else text)
        if plain in SUBTOTALS:
            return "subtotal"
        if plain in TOTALS:
            return "total"
        if alone and met is None and not TAX.match(plain):
            return "remark"
        return "tax" if TAX.match(plain) else "payment" if PAYMENT.match(plain) else ""

    def _sum(self, number: int, row: list[Cell]) -> None:
        """Take a row below the last line."""
        label, text = self._label(row), self._text_of(row)
        if label == "remark":
            self._remark(number, text)
            return
        if label == "payment":
            self.notes.add(number, f"row {number}: {shown(text)} is about payment and was left out.")
            return
        value = self._sum_figure(number, row, text)
        rate = self._rate(number, row, text) if label in ("tax", "total") else None
        if label == "tax" and value is None and rate is None:
            self._remark(number, text)
            return
        if label == "tax":
            if "tax" in self.sums:
                self.notes.add(number, f"row {number}: {shown(text)} is a further row of tax; the rows are added up.")
                earlier = self.sums["tax"]
                value = earlier if value is None else value + (earlier or 0)
            self.fractions.append(rate)
        elif label in self.sums:
            self.notes.add(number, f"row {number}: {shown(text)} is a second {label}; the last one is taken.")
        if label == "total" and rate is not None and "tax" not in self.sums:
            self.fractions.append(rate)
        self.sums[label] = value

    def _remark(self, number: int, text: str) -> None:
        words = "has no figures and was taken for a heading or a remark"
        self.notes.add(number, f"row {number}: {shown(text)} {words}.")

    def _sum_figure(self, number: int, row: list[Cell], text: str) -> Decimal | None:
        """The amount of a sum: in its column, or else the last figure of the row, or at the end of its words."""
        place = self.head.at.get("amount", len(row) - 1)
        order = [place, *(other for other in range(len(row) - 1, -1, -1) if other != place)]
        for position in order:
            cell = row[position] if position < len(row) else ""
            if isinstance(cell, Decimal) or (figure_in(cell) is not None and "%" not in cell):
                return self._number(number, position, cell)[0]
        met = MONEY_AT_END.fullmatch(text) if len(text) <= LONGEST_TEXT else None
        if met:
            return self._number(number, self.head.at["item"], met["money"])[0]
        if place < len(row) and row[place] not in ("", text):
            return self._number(number, place, row[place])[0]
        return None

    def _rate(self, number: int, row: list[Cell], text: str) -> Decimal | None:
        """The rate of tax in the words of a row, or in a cell of its own."""
        for cell in (text, *row):
            met = PER_CENT.search(cell.translate(SPACES)) if isinstance(cell, str) else None
            if met:
                rate = Decimal(met[1].replace(",", ".")) / 100
                if rate <= 1:
                    return rate
                words = f"a rate of tax must be 0 to 100 %, got {met[0]}; it was left out."
                self.notes.add(number, f"row {number}: {words}")
                return None
        for name in ("quantity", "unit_price"):
            cell = self._cell(row, name)
            if isinstance(cell, Decimal) and 0 < cell < 1 and "amount" in self.head.at:
                return cell  # a workbook shows 20 % and holds 0.2
        return None

    # --- lines

    def _cell(self, row: list[Cell], name: str) -> Cell:
        place = self.head.at.get(name, len(row))
        return row[place] if place < len(row) else ""

    def _line(self, number: int, row: list[Cell]) -> QuoteLine | None:
        label, text = self._label(row), self._text_of(row)
        if label == "remark":
            self._remark(number, text)
            return None
        if label in ("subtotal", "total"):
            self.notes.add(number, f"row {number}: {shown(text)} stands among the lines and was left out.")
            return None
        if self._cell(row, "item") == "":
            self.notes.add(number, f"row {number} does not say what it is for.")
            text = "(not said)"
        if len(text) > LONGEST_TEXT:
            self.notes.add(number, f"row {number}: the item was cut to {LONGEST_TEXT} characters.")
        text, unit = text[:LONGEST_TEXT], str(self._cell(row, "unit"))[:LONGEST_TEXT]
        names = len(self.head.names)
        if any(cell != "" for cell in row[names:]):
            comma = "A comma inside a number starts a new cell; its figures were left out."
            self.notes.add(number, f"row {number} has {len(row)} cells, the column names are {names}. {comma}")
            return QuoteLine(text, None, unit, None, None, number)
        figures: dict[str, Decimal | None] = dict.fromkeys(FIGURES)
        for name in FIGURES:
            cell = self._cell(row, name)
            if cell != "":
                figures[name], unit = self._number(number, self.head.at[name], cell, name=name, unit=unit)
        return QuoteLine(text, figures["quantity"], unit, figures["unit_price"], figures["amount"], number)

    def _number(
        self, number: int, position: int, cell: Cell, *, name: str = "amount", unit: str = ""
    ) -> tuple[Decimal | None, str]:
        """The cell's figure and the unit of its line, or None and a note."""
        if isinstance(cell, Decimal):
            return cell, unit
        head = self.head.names[position] if position < len(self.head.names) else ""
        where = f"row {number}, {head}" if head else f"row {number}, column {position + 1}"
        figure = figure_in(cell)
        of = re.sub(r"^(?:/|per\b) ?", "", figure.rest, flags=re.I) if figure and name != "amount" else ""
        if figure is None or (figure.rest and not of[:1].isalpha()):
            self.notes.add(number, f"{where}: {shown(cell)} is not a number; it was left out.")
            return None, unit
        if of and unit and plain_words(of) != plain_words(unit):
            self.notes.add(number, f"{where}: {shown(cell)} is by the {of}, its unit by the {unit}; it was left out.")
            return None, unit
        mark = figure.mark or self.mark
        if not mark and re.search("[.,]", figure.digits):
            whole, part = re.split("[.,]", figure.digits)
            both = f"{whole}{part} or {whole}.{part}"
            self.notes.add(number, f"{where}: {shown(cell)} can be read two ways, {both}; it was left out.")
            return None, unit
        value = figure.value(mark or ".")
        if value is None:
            self.notes.add(number, f"{where}: {shown(cell)} is not a number; it was left out.")
        elif abs(value) >= LARGEST_FIGURE:
            self.notes.add(number, f"{where}: {shown(cell)} is too large for a quote; it was left out.")
            value = None
        elif figure.currency:
            self.currencies.setdefault(figure.currency, []).append(number)
        return value, unit or of[:LONGEST_TEXT]

    def _decimal_mark(self) -> str:
        """The one decimal mark that the quote's figures prove; empty where they prove none, or both."""
        places = [self.head.at[name] for name in FIGURES if name in self.head.at]
        proved = {
            figure.mark
            for row in self.rows[self.head.bottom :]
            for place in places
            if place < len(row)
            and isinstance(cell := row[place], str)
            and (figure := figure_in(cell))
            and figure.value(figure.mark or ".") is not None
        } - {""}
        return proved.pop() if len(proved) == 1 else ""

    def _currency(self) -> str:
        """The sign most amounts carry, or else the one in the column names; further signs are noted."""
        if not self.currencies:
            signs = [SIGNS[sign.lower()] for name in self.head.names for sign in CURRENCY.findall(name)]
            return signs[0] if len(set(signs)) == 1 else ""
        if len(self.currencies) > 1:
            each = [f"{sign} in {numbered('row', rows)}" for sign, rows in self.currencies.items()]
            words = " and ".join([", ".join(each[:-1]), each[-1]])
            self.notes.add(0, f"there are {len(each)} currencies: {words}. Nothing was converted.")
        return max(self.currencies, key=lambda sign: len(self.currencies[sign]))
