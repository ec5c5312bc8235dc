"""Cells of a table on their way out: numbers stay numbers, no text becomes a formula."""

from __future__ import annotations

import csv
import io
import math

import pandas as pd

FORMULA_BEGINS = ("=", "+", "-", "@", "\t", "\r")
"""A spreadsheet takes a text cell that begins so for a formula. Usual advice on such files, no standard."""


def csv_of(table: pd.DataFrame) -> bytes:
    """A table as CSV, UTF-8 with a byte order mark so that spreadsheets read its letters; text that a spreadsheet would
    take for a formula has an apostrophe before it."""
    text = io.StringIO()
    rows = csv.writer(text)
    rows.writerow(headings(table))
    for row in table.itertuples(index=False):
        rows.writerow([_guarded(value) for value in map(plain, row)])
    return text.getvalue().encode("utf-8-sig")


def headings(table: pd.DataFrame) -> list[str]:
    """Names of the columns as people write them."""
    return [str(column).replace("_", " ") for column in table.columns]


def plain(value: object) -> str | int | float | None:
    """A cell's value: whole numbers without a point, nothing for what is not known."""
    if isinstance(value, str):
        return "".join(letter for letter in value if letter.isprintable() or letter in "\n\t")
    number = float(value)  # type: ignore[arg-type]  # every other column holds numbers
    if not math.isfinite(number):
        return None
    return int(number) if number == int(number) else number


def _guarded(value: str | int | float | None) -> str | int | float | None:
    return f"'{value}" if isinstance(value, str) and value.startswith(FORMULA_BEGINS) else value
