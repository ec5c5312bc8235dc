"""Reading product tables: CSV files whose columns are the fields of a product.

One mechanism serves all products. The columns, their types and their defaults come from the dataclass;
so do the ranges, since each row is tried on the dataclass itself. A *specimen* of each product stands in for
whatever is missing or wrong in a row, so that every other cell of the row can still be tried.
"""

from __future__ import annotations

import csv
import io
import math
import os
import re
from collections.abc import Sequence
from dataclasses import MISSING, Field, dataclass, fields, replace
from pathlib import Path
from typing import Any, Generic, TypeVar, get_type_hints

from flooring_kit.checks import FaultsError, nearest_or_known, shown
from flooring_kit.files.text import read_text
from flooring_kit.lengths import parse_length_mm
from flooring_kit.movement import WoodMovement
from flooring_kit.products import SWAP, Board, ByName, Catalogue, DoorBar, Material, Sundry, Trim, Underlay

Product = TypeVar("Product", Board, Underlay, Trim, DoorBar, Sundry, Material, WoodMovement)

NAMELESS = "(no name)"

# Each specimen goes with any single allowed value of any other column: a board as narrow as boards come and
# just longer than the widest is wide; a bar from the least step to the most.
BOARD_SPECIMEN = Board(NAMELESS, length_mm=601, width_mm=40, thickness_mm=8, boards_per_pack=8)
UNDERLAY_SPECIMEN = Underlay(NAMELESS, kind="foam", thickness_mm=3, pack_area_m2=10)
TRIM_SPECIMEN = Trim(NAMELESS, foot_mm=18, height_mm=18, length_mm=2400)
DOOR_BAR_SPECIMEN = DoorBar(NAMELESS, kind="level", length_mm=900, least_step_mm=0, most_step_mm=50)
SUNDRY_SPECIMEN = Sundry(NAMELESS, sold_as="piece")
MATERIAL_SPECIMEN = Material(NAMELESS, conductivity_w_mk=0.13)
WOOD_SPECIMEN = WoodMovement(NAMELESS, radial_per_percent=0.0018, tangential_per_percent=0.0037)

KINDS: dict[type, str] = {
    Board: "board",
    Underlay: "underlay",
    Trim: "trim",
    DoorBar: "door bar",
    Sundry: "sundry",
    Material: "material",
    WoodMovement: "wood",
}
UNITS = {"_m2k_w": "m²K/W", "_w_mk": "W/mK", "_kg_m3": "kg/m³", "_m2": "m²", "_mm": "mm", "_kpa": "kPa", "_db": "dB"}
TRUTHS = {"true": True, "yes": True, "false": False, "no": False}
LONGEST_TEXT = 200

NUMBER = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?", re.ASCII)
LENGTH_WITH_UNIT = re.compile(r"(?=.*\d)(?=.*[^\d\s.,+-]).*")
"""Lengths may carry a unit of their own, 54 1/4 in; they are read to a tenth of a millimetre, as boards are given."""

NUMBER_AND_WORD = re.compile(r"([-+]?[\d.,]*\d)\s*([^\d\s.,].*)", re.ASCII)


def read_boards(path: str | os.PathLike[str]) -> dict[str, Board]:
    """Boards by name, in the table's order.

    Parameters
    ----------
    path
        CSV file with a header row; the columns are the fields of :class:`~flooring_kit.products.Board`.
        An empty cell takes the field's default. Lengths are mm, or text with its own unit: 54 1/4 in.

    Raises
    ------
    FaultsError
        For anything wrong in the table, all at once, each with its row as a spreadsheet numbers it.
    FileNotFoundError
        Where there is no such file.

    A name that no row has raises ValueError, with the names there are, when it is looked up.

    Examples
    --------
    >>> from flooring_kit.files import demo_path
    >>> board = read_boards(demo_path("boards.csv"))["Oak plank 1380 x 193"]
    >>> board.length_mm, board.width_mm, board.boards_per_pack
    (1380.0, 193.0, 8)
    """
    return _read_table(path, BOARD_SPECIMEN)


def read_underlays(path: str | os.PathLike[str]) -> dict[str, Underlay]:
    """Underlays by name, in the table's order; the rules are those of :func:`read_boards`."""
    return _read_table(path, UNDERLAY_SPECIMEN)


def read_trims(path: str | os.PathLike[str]) -> dict[str, Trim]:
    """Trims by name, in the table's order; the rules are those of :func:`read_boards`."""
    return _read_table(path, TRIM_SPECIMEN)


def read_door_bars(path: str | os.PathLike[str]) -> dict[str, DoorBar]:
    """Door bars by name, in the table's order; the rules are those of :func:`read_boards`."""
    return _read_table(path, DOOR_BAR_SPECIMEN)


def read_sundries(path: str | os.PathLike[str]) -> dict[str, Sundry]:
    """Sundries by name, in the table's order; the rules are those of :func:`read_boards`."""
    return _read_table(path, SUNDRY_SPECIMEN)


def read_materials(path: str | os.PathLike[str]) -> dict[str, Material]:
    """Materials by name, in the table's order; the rules are those of :func:`read_boards`."""
    return _read_table(path, MATERIAL_SPECIMEN)


def read_wood_movement(path: str | os.PathLike[str]) -> dict[str, WoodMovement]:
    """How far woods move, by species, in the table's order; the rules are those of :func:`read_boards`."""
    return _read_table(path, WOOD_SPECIMEN)


# --- columns -----------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Column:
    """One field of a product, as a column of its table."""

    name: str
    sort: type
    unit: str
    required: bool

    @property
    def wanted(self) -> str:
        """What a cell of this column holds."""
        if self.sort is float:
            return f"a number in {self.unit}" if self.unit else "a number"
        return {int: "a whole number", bool: "true or false", str: "text"}[self.sort]


def read_catalogue(folder: str | os.PathLike[str]) -> Catalogue:
    """Everything on sale, from the tables of one folder.

    Parameters
    ----------
    folder
        Holds `boards.csv` and `underlays.csv`, and where there are any `trims.csv`, `door_bars.csv` and `sundries.csv`.

    Raises
    ------
    FileNotFoundError
        Where boards or underlays are missing.
    FaultsError
        For the first table with faults, all of its own at once.

    Examples
    --------
    >>> from flooring_kit.files import demo_path
    >>> "Foam sheet 3 mm" in read_catalogue(demo_path()).underlays
    True
    """
    place = Path(folder)
    trims, bars, sundries = (place / name for name in ("trims.csv", "door_bars.csv", "sundries.csv"))
    return Catalogue(
        read_boards(place / "boards.csv"),
        read_underlays(place / "underlays.csv"),
        read_trims(trims) if trims.exists() else {},
        read_door_bars(bars) if bars.exists() else {},
        read_sundries(sundries) if sundries.exists() else {},
    )


def columns_of(product: type[Any]) -> dict[str, Column]:
    """The columns of a product's table, by name.

    >>> columns_of(Board)["length_mm"]
    Column(name='length_mm', sort=<class 'float'>, unit='mm', required=True)
    """
    hints = get_type_hints(product)
    return {field.name: _column(field, hints[field.name]) for field in fields(product)}


def _column(field: Field[Any], hint: Any) -> Column:
    sorts = [sort for sort in (float, int, bool) if hint in (sort, sort | None)]
    unit = next((unit for ending, unit in UNITS.items() if field.name.endswith(ending)), "")
    required = field.default is MISSING and field.default_factory is MISSING
    return Column(field.name, sorts[0] if sorts else str, unit, required)


# --- cells -------------------------------------------------------------------------------------------------


def _cell(text: str, column: Column) -> Any:
    """The cell's value.

    Raises
    ------
    ValueError
        With the rule, the cell and the likely slip.
    """
    if column.sort is float:
        return _number(text, column)
    if column.sort is int:
        number = _number(text, column)
        if number != int(number):
            raise ValueError(f"must be a whole number, got {shown(text)}.")
        return int(number)
    if column.sort is bool:
        if text.lower() not in TRUTHS:
            raise ValueError(f"must be true or false, got {shown(text)}.")
        return TRUTHS[text.lower()]
    if len(text) > LONGEST_TEXT or not text.isprintable():
        raise ValueError(f"must be one line of at most {LONGEST_TEXT} characters, got {shown(text)}.")
    return text


def _number(text: str, column: Column) -> float:
    if NUMBER.fullmatch(text):
        number = float(text)
        if not math.isfinite(number):
            raise ValueError(f"must be a finite number, got {shown(text)}.")
        return number
    if column.unit == "mm" and LENGTH_WITH_UNIT.fullmatch(text):
        try:
            return round(parse_length_mm(text, name="", allow_negative=True), 1)
        except ValueError as slip:
            raise ValueError(str(slip).strip()) from None
    raise ValueError(f"must be {column.wanted}, got {shown(text)}.{_number_slip(text, column)}")


def _number_slip(text: str, column: Column) -> str:
    if "," in text and re.fullmatch(r"[-+]?[\d.,]+", text, re.ASCII):
        if re.fullmatch(r"[-+]?\d{1,3}(,\d{3})+(\.\d*)?", text):
            return f" Leave the thousands comma out: {text.replace(',', '')}."
        if re.fullmatch(r"[-+]?[\d.]*,\d+", text):
            return f" Use a decimal point and no thousands mark: {text.replace('.', '').replace(',', '.')}."
        return " Use a decimal point and no thousands mark."
    with_word = NUMBER_AND_WORD.fullmatch(text)
    if with_word:
        plain, word = with_word.groups()
        if word == column.unit:
            return f" Leave the unit out: {plain}."
        return f" Write the number alone{f', in {column.unit}' if column.unit else ''}."
    return ""


# --- the table ---------------------------------------------------------------------------------------------


def _read_table(path: str | os.PathLike[str], specimen: Product) -> dict[str, Product]:
    typed = os.fspath(path)
    rows = _rows(typed, read_text(path))
    columns = columns_of(type(specimen))
    header, faults = _header(rows[0], columns)
    table = _Table(header, len(rows[0]), columns, specimen)
    read: dict[str, Product] = {}
    named: dict[str, int] = {}
    for number, cells in enumerate(rows[1:], start=2):
        if not any(cell.strip() for cell in cells):
            continue
        product, found = table.row(cells)
        faults += [f"row {number}{fault}" for fault in found]
        name = table.name(cells)
        earlier = named.setdefault(name, number) if name else number
        if earlier != number:
            both = f"rows {earlier} and {number} are both named {shown(name)}"
            faults.append(f"{both}. Give each its own name.")
        if product is not None:
            read[product.name] = product
    if not named and not faults:
        faults.append("there are no rows below the header.")
    if faults:
        raise FaultsError(typed, faults)
    return ByName(KINDS[type(specimen)], read)


def _rows(typed: str, text: str) -> list[list[str]]:
    """All rows, the header first; a blank line is an empty row, as a spreadsheet counts it."""
    if not text.strip():
        raise FaultsError(typed, ["the file is empty. The first row names the columns."])
    rows: list[list[str]] = []
    try:
        for cells in csv.reader(io.StringIO(text, newline=""), strict=True):
            rows.append(cells)
    except csv.Error as slip:
        fault = f"row {len(rows) + 1} is not CSV: {slip}. Look there for a quote that is not closed."
        raise FaultsError(typed, [fault]) from slip
    fault = _separator_fault(rows[0])
    if fault:
        raise FaultsError(typed, [fault])
    return rows


def _separator_fault(header: Sequence[str]) -> str:
    """The fault that makes nonsense of every row below, or nothing."""
    if not any(cell.strip() for cell in header):
        return "row 1 is empty. The first row names the columns."
    if len(header) == 1:
        for mark, word in ((";", "semicolons"), ("\t", "tabs")):
            if mark in header[0]:
                return f"the columns are separated by {word}. Save the table again with commas."
    return ""


def _header(cells: Sequence[str], columns: dict[str, Column]) -> tuple[list[str], list[str]]:
    """The column names as they stand, and what is wrong with them."""
    header = [cell.strip() for cell in cells]
    while header and not header[-1]:
        header.pop()
    faults: list[str] = []
    for position, name in enumerate(header, start=1):
        if not name:
            faults.append(f"row 1: column {position} has no name.")
        elif name not in columns:
            hint = nearest_or_known(name.lower(), columns, "columns")
            faults.append(f"row 1: {shown(name)} is not a column of this table.{hint}")
        elif name in header[: position - 1]:
            faults.append(f"row 1: column {name} stands there twice.")
    faults += [
        f"row 1: column {name} is missing."
        for name, column in columns.items()
        if column.required and name not in header
    ]
    return header, faults


@dataclass(frozen=True)
class _Table(Generic[Product]):
    header: list[str]
    width: int
    columns: dict[str, Column]
    specimen: Product

    def name(self, cells: Sequence[str]) -> str:
        """The row's name, or nothing where it has none."""
        return dict(zip(self.header, cells, strict=False)).get("name", "").strip()

    def row(self, cells: Sequence[str]) -> tuple[Product | None, list[str]]:
        """The product of one row, or None and the row's faults without the row number."""
        count = len(self.header)
        # empty end columns pass only where the header has them too: otherwise the row may have shifted
        if not count <= len(cells) <= self.width or any(cell.strip() for cell in cells[count:]):
            comma = "A comma inside a number or a name starts a new cell."
            next_step = comma if len(cells) > count else "Cells are missing."
            return None, [f" has {len(cells)} cells, the header has {count}. {next_step}"]
        faults: list[str] = []
        values: dict[str, Any] = {}
        unread: set[str] = set()
        for key, cell in zip(self.header, cells, strict=False):
            column = self.columns.get(key)
            text = cell.strip()
            if column is None or key in values:
                continue
            try:
                if text:
                    values[key] = _cell(text, column)
                elif column.required:
                    raise ValueError(f"must be {column.wanted}, the cell is empty.")
            except ValueError as slip:
                faults.append(f", {key} {slip}")
                unread.add(key)
        product, wrong = self._tried(values, unread)
        faults += wrong
        return (None if faults else product), faults

    def _tried(self, values: dict[str, Any], unread: set[str]) -> tuple[Product | None, list[str]]:
        """The row tried on the dataclass: whole, then a cell at a time to find every fault in it."""
        cls = type(self.specimen)
        specimen = replace(self.specimen, name=values.get("name", self.specimen.name))
        # what the row leaves out takes its default; what it must give, or gives wrongly, the specimen's value
        standing_in = {
            key: getattr(specimen, key) for key, column in self.columns.items() if column.required or key in unread
        }
        try:
            return cls(**{**standing_in, **values}), []
        except ValueError as slip:
            swapped = str(slip).endswith(SWAP)
            faults = [f": {slip}"] if swapped else []
        if swapped:  # told of the two together, not of each beside the specimen's other size
            values = {key: value for key, value in values.items() if key not in ("length_mm", "width_mm")}
        sound = dict(values)
        for key, value in values.items():
            try:
                replace(specimen, **{key: value})
            except ValueError as slip:
                faults.append(f", {key}: {slip}")
                sound[key] = getattr(specimen, key)
        try:
            cls(**{**standing_in, **sound})
        except ValueError as slip:
            faults.append(f": {slip}")
        return None, faults
