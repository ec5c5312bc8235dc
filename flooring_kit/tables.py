"""Rows of a table, one at a time."""

from __future__ import annotations

from typing import Any

import pandas as pd


def records(table: pd.DataFrame) -> list[Any]:
    """The rows of a table, each with its cells under their column names.

    >>> [(row.wall, row.length_mm) for row in records(pd.DataFrame({"wall": [1, 2], "length_mm": [2790.0, 2380.0]}))]
    [(1, 2790.0), (2, 2380.0)]
    """
    return list(table.itertuples())
