"""Order lists out: a room's price lines as CSV or as a workbook, every number a number and no text a formula."""

from __future__ import annotations

import io
import os

import pandas as pd

from flooring_kit.files.cells import FORMULA_BEGINS, csv_of, headings, plain
from flooring_kit.files.saving import save_whole

ENDINGS = (".csv", ".xlsx")
MONEY_COLUMNS = ("unit_price", "amount")
MONEY_FORMAT = "#,##0.00"
WIDEST_COLUMN = 60


def write_order_list(table: pd.DataFrame, path: str | os.PathLike[str]) -> None:
    """Save an order list whole or not at all.

    Parameters
    ----------
    table
        One row a line, as from `WholePrice.table`. A figure that is not known (NaN) is an empty cell, never nought.
    path
        A name that ends in `.csv` (UTF-8 with a byte order mark, so that spreadsheets read its letters) or `.xlsx`.

    Raises
    ------
    ValueError
        For another ending; for a folder or a file that can't be written.

    Notes
    -----
    Text that a spreadsheet would take for a formula is kept as text: in CSV by an apostrophe before it, in a workbook
    by the type of its cell.
    """
    typed = os.fspath(path)
    ending = os.path.splitext(typed)[1].lower()
    if ending not in ENDINGS:
        raise ValueError(
            f"{typed}: an order list ends in {' or '.join(ENDINGS)}, got {ending or 'no ending'!r}. "
            "Other kinds can be saved from the spreadsheet."
        )
    content = csv_of(table) if ending == ".csv" else _workbook(table)
    save_whole(typed, content, what="the order list", such_as=f"order{ending}")


def _workbook(table: pd.DataFrame) -> bytes:
    from openpyxl import Workbook  # late: it takes longer to load than most lists to write
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    book = Workbook()
    sheet = book.active
    sheet.title = "Order"
    names = headings(table)
    widths = [len(name) for name in names]
    sheet.append(names)
    for cell in sheet[1]:
        cell.font = Font(bold=True)
    for number, row in enumerate(table.itertuples(index=False), start=2):
        for column, value in enumerate(map(plain, row), start=1):
            cell = sheet.cell(number, column, value)
            if isinstance(value, str):
                cell.data_type = "s"  # else text that begins with = becomes a formula
                cell.quotePrefix = value.startswith(FORMULA_BEGINS)
            elif table.columns[column - 1] in MONEY_COLUMNS:
                cell.number_format = MONEY_FORMAT
            widths[column - 1] = max(widths[column - 1], len(str(value if value is not None else "")))
    for column, width in enumerate(widths, start=1):
        sheet.column_dimensions[get_column_letter(column)].width = min(WIDEST_COLUMN, width + 2)
    sheet.freeze_panes = "A2"
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()
