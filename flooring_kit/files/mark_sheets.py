"""Mark sheets out, as CSV."""

from __future__ import annotations

import os

import pandas as pd

from flooring_kit.files.cells import csv_of
from flooring_kit.files.saving import save_whole


def write_mark_sheet(table: pd.DataFrame, path: str | os.PathLike[str]) -> None:
    """Save a mark sheet whole or not at all.

    Parameters
    ----------
    table
        One row an exercise, as from `MarkSheet.table`.
    path
        A name that ends in `.csv`; a file of that name is replaced.

    Raises
    ------
    ValueError
        For another ending, for a sheet with nothing on it, and for a folder or a file that can't be written.

    Notes
    -----
    An answer that a spreadsheet would take for a formula is kept as text by an apostrophe before it.
    """
    typed = os.fspath(path)
    ending = os.path.splitext(typed)[1].lower()
    if ending != ".csv":
        raise ValueError(f"{typed}: a mark sheet ends in .csv, got {repr(ending) if ending else 'no ending'}.")
    if table.empty:
        raise ValueError(f"{typed}: the mark sheet was not saved: nothing is marked yet.")
    save_whole(typed, csv_of(table), what="the mark sheet", such_as="marks.csv")
