"""The rows of a quote's file, CSV or workbook, and which of them holds the column names; what is left out is noted."""

from __future__ import annotations

import csv
import datetime
import io
import os
import re
import warnings
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from importlib import import_module
from itertools import islice
from pathlib import Path
from typing import Any

from flooring_kit.checks import FaultsError, counted, nearest_hint, shown
from flooring_kit.files.quote_figures import LARGEST_FIGURE, figure_in, plain_words
from flooring_kit.files.text import LARGEST_FILE_BYTES, read_text
from flooring_kit.quoted import MOST_ROWS

Cell = str | Decimal
"""A cell: text as it stands, or a workbook's own number; an empty cell is empty text."""

FIELDS = ("item", "quantity", "unit", "unit_price", "amount")

EXACT_WORDS: dict[str, tuple[str, ...]] = {
    "item": ("item", "description", "product", "work", "item or work", "product or work"),
    "quantity": ("quantity", "qty", "number", "no of"),
    "unit": ("unit", "units", "unit of measure", "sold by", "per"),
    "unit_price": ("unit price", "price per unit", "unit cost", "unit rate", "rate", "price each", "cost per unit"),
    "amount": (
        "amount",
        "line total",
        "line amount",
        "line price",
        "total price",
        "total cost",
        "total",
        "price in all",
    ),
}
"""Column names that mean one thing only."""

NEAR_WORDS: dict[str, tuple[str, ...]] = {
    "item": ("works", "material", "materials", "goods", "article", "details", "task", "job", "service", "what", "name"),
    "quantity": ("count", "how many", "pieces", "quant", "amount needed"),
    "unit_price": ("each", "single price", "unit", "price", "cost"),
    "amount": ("sum", "value", "price", "cost", "net", "line"),
    "unit": ("measure", "measured in", "counted in", "uom"),
}
"""Words that may mean it: offered to the user, never taken."""

MOST_ROWS_ABOVE = 40
MOST_COLUMNS = 60
MOST_NOTES = 200
LARGEST_WORKBOOK_BYTES = 50_000_000
"""Unpacked; a quote is a few thousand."""


# --- notes -------------------------------------------------------------------------------------------------


class Notes:
    """What could not be read, in the order of the rows."""

    def __init__(self) -> None:
        self._notes: list[tuple[int, str]] = []

    def add(self, row: int, words: str) -> None:
        """A note about a row; row 0 is the whole file."""
        self._notes.append((row, words))

    def all(self) -> tuple[str, ...]:
        """Every note once, or the first of them and how many more there are."""
        every = [words for _, words in sorted(self._notes, key=lambda note: note[0])]
        if len(every) > MOST_NOTES:
            more = counted(len(every) - MOST_NOTES, "note")
            every = [*every[:MOST_NOTES], f"{more} more of this sort {'is' if more[:2] == '1 ' else 'are'} not shown."]
        return tuple(every)


# --- rows of a file ----------------------------------------------------------------------------------------


def read_rows(
    typed: str, path: str | os.PathLike[str], columns: Mapping[str, str] | None, notes: Notes
) -> list[list[Cell]]:
    """All rows of the table, blank ones too; trailing blank rows and cells are gone."""
    first = _first_bytes(typed)
    if first.startswith(b"\xd0\xcf\x11\xe0"):
        fault = "this is a workbook of the old sort (.xls) or one locked with a password. Save it as .xlsx, unlocked."
        raise FaultsError(typed, [fault])
    if first.startswith(b"PK"):
        rows = _workbook_rows(typed, columns, notes)
    elif first and Path(typed).suffix.lower() in (".xlsx", ".xlsm"):
        raise FaultsError(typed, ["this is not a workbook, whatever its name says. Save the quote again as XLSX."])
    else:
        rows = _csv_rows(typed, read_text(path), columns)
    rows = [[_clean(cell) for cell in row[:MOST_COLUMNS]] for row in rows]
    while rows and not any(rows[-1]):
        rows.pop()
    if len(rows) > MOST_ROWS:
        notes.add(0, f"only the first {MOST_ROWS} rows were read, of {len(rows)}.")
        del rows[MOST_ROWS:]
    if not any(any(cell != "" for cell in row) for row in rows):
        raise FaultsError(typed, ["the file is empty. A quote has a row of column names and its lines below."])
    return rows


def _first_bytes(typed: str) -> bytes:
    """How the file begins; nothing where it can't be opened, which `read_text` then says in full."""
    place = Path(typed)
    try:
        if place.is_file():
            with place.open("rb") as stream:
                return stream.read(8)
    except OSError:
        pass
    return b""


def _clean(cell: Cell) -> Cell:
    if isinstance(cell, Decimal):
        return cell
    return " ".join("".join(mark if mark.isprintable() else " " for mark in cell).split())


def _csv_rows(typed: str, text: str, columns: Mapping[str, str] | None) -> list[list[Cell]]:
    best = max(",;\t|", key=lambda mark: _separates(text, mark, columns))
    rows: list[list[Cell]] = []
    try:
        for cells in csv.reader(io.StringIO(text, newline=""), delimiter=best, strict=True):
            rows.append(list(cells))
    except csv.Error as slip:
        fault = f"row {len(rows) + 1} is not CSV: {slip}. Look there for a quotation mark that is not closed."
        raise FaultsError(typed, [fault]) from slip
    return rows


def _separates(text: str, mark: str, columns: Mapping[str, str] | None) -> tuple[int, int, int]:
    """How well a mark separates the cells: by the names found in the head, then by the rows it splits."""
    top: list[list[Cell]] = []
    try:
        for cells in islice(csv.reader(io.StringIO(text, newline=""), delimiter=mark), MOST_ROWS_ABOVE + 20):
            top.append([_clean(cell) for cell in cells])
    except csv.Error:
        return (0, 0, 0)
    wanted = wanted_names(columns)
    score = max((_score(row, wanted) for row in top), default=(0, 0))
    return (*score, sum(len(row) > 1 for row in top))


def _workbook_rows(typed: str, columns: Mapping[str, str] | None, notes: Notes) -> list[list[Cell]]:
    """The rows of the first sheet that has a head, or of the first that holds anything."""
    try:
        load_workbook = import_module("openpyxl").load_workbook  # late: it takes longer to load than a CSV to read
    except ImportError:
        fault = "workbooks can't be read here: the package openpyxl is not installed. Save the sheet as CSV, UTF-8."
        raise FaultsError(typed, [fault]) from None
    try:
        content = Path(typed).read_bytes()
        if len(content) > LARGEST_FILE_BYTES:
            raise FaultsError(typed, [f"the workbook must be at most {LARGEST_FILE_BYTES / 1e6:g} MB."])
        has_formulas = _looked_over(typed, content)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of styles and print areas nobody needs here
            sheets = _sheets(load_workbook(io.BytesIO(content), read_only=True, data_only=True))
            formulas = _sheets(load_workbook(io.BytesIO(content), read_only=True)) if has_formulas else {}
    except FaultsError:
        raise
    except Exception as slip:  # a damaged workbook fails in every way that zip, XML and the format allow
        fault = "this is not a workbook that can be read: it is damaged, or another packed file. Save it again as XLSX."
        raise FaultsError(typed, [fault]) from slip
    filled = {title: rows for title, rows in sheets.items() if any(any(cell != "" for cell in row) for row in rows)}
    if not filled:
        raise FaultsError(typed, ["the workbook is empty. A quote has a row of column names and its lines below."])
    wanted = wanted_names(columns)
    scores = {title: max(_score(row, wanted) for row in rows[:MOST_ROWS_ABOVE]) for title, rows in filled.items()}
    title = max(filled, key=lambda name: scores[name])  # the first of equals
    others = [shown(name) for name in filled if name != title]
    if others:
        notes.add(0, f"the sheet {shown(title)} was read; not read: {', '.join(others)}.")
    rows = filled[title]
    for number, cells in enumerate(formulas.get(title, []), start=1):
        for position, cell in enumerate(cells):
            row = rows[number - 1] if number <= len(rows) else []
            if isinstance(cell, str) and cell.startswith("=") and "" in (row[position : position + 1] or [""]):
                where = f"row {number}, column {position + 1}"
                notes.add(number, f"{where}: the formula has no stored value. Open the workbook and save it again.")
    return rows


def _looked_over(typed: str, content: bytes) -> bool:
    """Whether any sheet holds formulas; what is no honest workbook is refused before anything unpacks it."""
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        if sum(part.file_size for part in packed.infolist()) > LARGEST_WORKBOOK_BYTES:
            limit = f"{LARGEST_WORKBOOK_BYTES / 1e6:g} MB"
            raise FaultsError(typed, [f"the workbook must be at most {limit} when unpacked. A quote is far smaller."])
        found = False
        for part in packed.namelist():
            if part.endswith(".xml"):
                inside = packed.read(part)
                if b"<!DOCTYPE" in inside or b"<!ENTITY" in inside:
                    raise FaultsError(typed, ["the workbook declares entities of its own, which no quote needs."])
                found = found or (part.startswith("xl/worksheets/") and b"<f" in inside)
    return found


def _sheets(workbook: Any) -> dict[str, list[list[Cell]]]:
    sheets: dict[str, list[list[Cell]]] = {}
    for sheet in workbook.worksheets:
        sheet.reset_dimensions()  # what the file says of its own size may be wrong
        lines = sheet.iter_rows(max_row=MOST_ROWS + 1, max_col=MOST_COLUMNS, values_only=True)
        rows = [[_workbook_cell(value) for value in line] for line in lines]
        while rows and not any(cell != "" for cell in rows[-1]):
            rows.pop()
        sheets[sheet.title] = rows
    workbook.close()
    return sheets


def _workbook_cell(value: Any) -> Cell:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        number = Decimal(f"{value:.12g}")  # twelve figures: 0.30000000000000004 was meant as 0.3
        return Decimal(f"{number:f}") if number.is_finite() and abs(number) < LARGEST_FIGURE else str(value)
    if isinstance(value, datetime.datetime):
        return value.date().isoformat()
    return value.isoformat() if isinstance(value, datetime.date) else str(value)


# --- the head ----------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Head:
    """The row or two rows of column names, and where each field stands."""

    top: int
    bottom: int
    names: list[str]
    at: dict[str, int]


def suggested_columns(heads: Iterable[str]) -> dict[str, str]:
    """A mapping to offer: for each field the column whose name says so, exactly or nearly; unlike ones are left out.

    >>> suggested_columns(["Details", "Qty", "Unit", "Price", "Amount (£)"])
    {'item': 'Details', 'quantity': 'Qty', 'unit': 'Unit', 'unit_price': 'Price', 'amount': 'Amount (£)'}
    """
    left = list(dict.fromkeys(head for head in heads if head.strip()))
    found: dict[str, str] = {}
    for name in FIELDS:
        exact = [head for head in left if plain_words(head) in EXACT_WORDS[name]]
        if exact:
            found[name] = exact[0]
            left.remove(exact[0])
    for name, words in NEAR_WORDS.items():
        if name in found:
            continue
        near = [
            head
            for word in (*EXACT_WORDS[name], *words)
            for head in left
            if re.search(rf"\b{re.escape(word)}\b", plain_words(head))
        ]
        if near:
            found[name] = near[0]
            left.remove(near[0])
    return {name: found[name] for name in FIELDS if name in found}


def wanted_names(columns: Mapping[str, str] | None) -> tuple[str, ...]:
    """The column names the user's mapping asks for, without case; none where there is no mapping."""
    return () if columns is None else tuple(" ".join(str(name).split()).casefold() for name in columns.values())


def _score(row: Sequence[Cell], wanted: tuple[str, ...]) -> tuple[int, int]:
    """How much a row looks like the head: the names wanted or certain, then the names that come near."""
    names = [cell for cell in row if isinstance(cell, str) and cell]
    if any(isinstance(cell, Decimal) or figure_in(cell) for cell in row) or (len(names) < 2 and not wanted):
        return (0, 0)
    if wanted:
        return (len({name.casefold() for name in names} & set(wanted)), 0)
    plain = {plain_words(name) for name in names}
    return (sum(any(word in plain for word in words) for words in EXACT_WORDS.values()), len(suggested_columns(names)))


def head_rows(typed: str, rows: list[list[Cell]], wanted: tuple[str, ...]) -> tuple[int, int, list[str]]:
    """First and last row of the head, from 1, and its names; a head over two rows where the two together say more."""
    best, top, bottom, names = (0, 0), 0, 0, [""]
    for number, row in enumerate(rows[:MOST_ROWS_ABOVE], start=1):
        score = _score(row, wanted)
        if score > best:
            best, top, bottom, names = score, number, number, [str(cell) for cell in row]
        under = rows[number] if number < len(rows) else []
        both = [str(low or high) for high, low in zip(_padded(row, under), _padded(under, row), strict=True)]
        if (
            sum(cell != "" for cell in row) > 1
            and _score(under, wanted) > (0, 0)
            and _score(both, wanted) > max(best, _score(under, wanted))
        ):
            best, top, bottom, names = _score(both, wanted), number, number + 1, both
    if not top:
        plain = [
            number
            for number, row in enumerate(rows[:MOST_ROWS_ABOVE], start=1)
            if sum(cell != "" for cell in row) > 1
            and not any(isinstance(cell, Decimal) or figure_in(cell) for cell in row)
        ]
        if not plain:
            fault = "there is no row of column names. One row must say what each column holds: item, amount and so on."
            raise FaultsError(typed, [fault])
        top = bottom = plain[0]
        names = [str(cell) for cell in rows[top - 1]]
    return top, bottom, names


def _padded(row: Sequence[Cell], other: Sequence[Cell]) -> list[Cell]:
    return [*row, *[""] * (len(other) - len(row))]


def read_head(typed: str, rows: list[list[Cell]], columns: Mapping[str, str] | None) -> Head:
    """The head of the rows, with the columns that are certain or that the user's mapping names."""
    top, bottom, names = head_rows(typed, rows, wanted_names(columns))
    while names and not names[-1]:
        names.pop()
    at, faults = _certain(names, bottom) if columns is None else _mapped(names, bottom, columns)
    if faults:
        raise FaultsError(typed, faults)
    return Head(top, bottom, names, at)


def listed(names: Sequence[str]) -> str:
    """The names as typed, with commas between; empty ones are left out."""
    return ", ".join(shown(name) for name in names if name)


def _certain(names: list[str], row: int) -> tuple[dict[str, int], list[str]]:
    at: dict[str, int] = {}
    faults: list[str] = []
    for name, words in EXACT_WORDS.items():
        places = [place for place, head in enumerate(names) if plain_words(head) in words]
        if len(places) > 1:
            both = listed([names[place] for place in places])
            which = f'Say which: columns={{"{name}": ...}}.'
            faults.append(f"row {row}: {both} may each be the {field_words(name)}. {which}")
        elif places:
            at[name] = places[0]
    offered = suggested_columns(names)
    if not faults:
        for name in _missing(at):
            near = f" Is it {shown(offered[name])}?" if name in offered else ""
            unsure_of = f"row {row}: no column is certain to be the {field_words(name)} among {listed(names)}."
            faults.append(f'{unsure_of}{near} Say which it is: columns={{"{name}": ...}}.')
    return at, faults


def _mapped(names: list[str], row: int, columns: Mapping[str, str]) -> tuple[dict[str, int], list[str]]:
    at: dict[str, int] = {}
    faults: list[str] = []
    plain = [name.casefold() for name in names]
    for name, head in columns.items():
        typed = " ".join(str(head).split())
        if name not in FIELDS:
            hint = nearest_hint(name, FIELDS)
            faults.append(f"columns: {shown(name)} is not one of {', '.join(FIELDS)}.{hint}")
        elif typed.casefold() not in plain:
            faults.append(f"row {row}: there is no column named {shown(head)}. There are {listed(names)}.")
        elif plain.count(typed.casefold()) > 1:
            faults.append(f"row {row}: the column name {shown(head)} stands there twice. Give each its own name.")
        elif plain.index(typed.casefold()) in at.values():
            faults.append(f"columns: {shown(head)} is given for two things.")
        else:
            at[name] = plain.index(typed.casefold())
    if not faults:
        faults += [f'columns: say which column is the {field_words(name)}: "{name}".' for name in _missing(at)]
    return at, faults


def _missing(at: Mapping[str, int]) -> list[str]:
    """The needed fields that have no column."""
    missing = [] if "item" in at else ["item"]
    return missing if "amount" in at or {"quantity", "unit_price"} <= at.keys() else [*missing, "amount"]


def field_words(name: str) -> str:
    """A field as people say it: unit_price is unit price."""
    return name.replace("_", " ")
