"""Options weighed point by point, with weights the user sets: every mark and every product of it can be seen.

A mark says how near an option comes to the best of those compared: 1 for the best, 0 for the worst, in a straight line
between. So a mark belongs to one comparison; beside other options the same board gets another one. There is no hidden
share: what an option gets is the sum of weight times mark over the points, and the table shows each of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import pandas as pd

from flooring_kit.checks import require_between, require_one_of

MOST_WEIGHT = 5


@dataclass(frozen=True)
class WeighingPoint:
    """Something options are weighed by.

    Parameters
    ----------
    name
        As on the slider.
    column
        Column of :func:`flooring_kit.comparison_table`.
    wanted
        "least" or "most": which end is the best.
    best
        What the best option of the column is called in a table.
    """

    name: str
    column: str
    wanted: str
    best: str


POINTS = (
    WeighingPoint("price", "price", "least", "lowest"),
    WeighingPoint("heat lost", "heat_lost_kwh", "least", "least"),
    WeighingPoint("heat given", "heat_given_w_m2", "most", "most"),
    WeighingPoint("narrowest strip", "narrowest_strip_mm", "most", "widest"),
    WeighingPoint("joints", "joints", "least", "fewest"),
    WeighingPoint("boards left over", "boards_over", "least", "fewest"),
    WeighingPoint("height", "height_mm", "least", "lowest"),
)
"""What a weighing can turn on. Which end is better is common practice, no source; a weight of 0 leaves a point out."""

BEST_WORDS = {
    "packs": ("least", "fewest"),
    "boards": ("least", "fewest"),
    "underlay_packs": ("least", "fewest"),
    "trim_lengths": ("least", "fewest"),
    "waste_fraction": ("least", "least"),
    **{point.column: (point.wanted, point.best) for point in POINTS},
}
"""Which end of a column is the best, and its word. Tog has none: it depends on what lies below."""

EVEN = dict.fromkeys((point.name for point in POINTS), 1)
"""Weights to begin with: everything counts alike."""


def require_weights(weights: Mapping[str, float]) -> None:
    """Raise ValueError for a name that is no weighing point, a weight outside 0 to 5, or none above 0."""
    names = [point.name for point in POINTS]
    for name, weight in weights.items():
        require_one_of(name, names, "weighing point")
        require_between(weight, 0, MOST_WEIGHT, f"weight of {name}")
    if not any(weights.values()):
        raise ValueError("weights are all 0: give at least one point a weight.")


def marks(table: pd.DataFrame) -> pd.DataFrame:
    """How near each option comes to the best, point by point.

    Parameters
    ----------
    table
        As from :func:`flooring_kit.comparison_table`.

    Returns
    -------
    DataFrame
        One row an option (the index of `table`), one column a point of `POINTS`: 1 for the best, 0 for the worst. All
        get 1 where they are alike. NaN where the figure is not known, or the point does not apply.
    """
    return pd.DataFrame({point.name: _marks_of(table[point.column], point.wanted) for point in POINTS})


def _marks_of(figures: pd.Series, wanted: str) -> pd.Series:
    values = figures.astype(float)
    best, worst = (values.min(), values.max()) if wanted == "least" else (values.max(), values.min())
    if best == worst:
        return values.where(values.isna(), 1.0)
    return (values - worst).abs() / abs(best - worst)


def weighed(table: pd.DataFrame, weights: Mapping[str, float]) -> pd.DataFrame:
    """Options by what they get in all, the most first.

    Parameters
    ----------
    table
        As from :func:`flooring_kit.comparison_table`.
    weights
        Weight of each point by name, 0 to 5; a point that is not named has 0.

    Returns
    -------
    DataFrame
        Index of `table`, in order of what is got; one column a point that has a weight and applies: weight times mark;
        last `got_fraction`, their sum over the sum of those weights, 0 to 1. An option whose figure is not known gets 0
        there: what nobody knows can't speak for it.

    Raises
    ------
    ValueError
        For a point or a weight there is not.

    Examples
    --------
    The dearer of two boards has half the joints. Price counts twice as much as joints, so the cheaper one comes first:

    >>> blank = dict.fromkeys(point.column for point in POINTS)
    >>> table = pd.DataFrame([{**blank, "price": 300, "joints": 40}, {**blank, "price": 400, "joints": 20}])
    >>> weighed(table, {"price": 2, "joints": 1})["got_fraction"].round(3).to_dict()
    {0: 0.667, 1: 0.333}
    """
    require_weights(weights)
    each = marks(table)
    counted = [name for name in each.columns.tolist() if weights.get(name, 0) > 0 and each[name].notna().any()]
    got = pd.DataFrame({name: weights[name] * each[name].fillna(0.0) for name in counted}, index=table.index)
    most = sum(weights[name] for name in counted)
    got["got_fraction"] = got.sum(axis=1) / most if most else np.nan
    return got.sort_values("got_fraction", ascending=False, kind="stable")


def best_of(table: pd.DataFrame, column: str) -> list[bool]:
    """Which options are the best of a column; none where all are alike or the column has no best end.

    Parameters
    ----------
    table
        As from :func:`flooring_kit.comparison_table`.
    column
        One of its columns.
    """
    if column not in BEST_WORDS:
        return [False] * len(table)
    values = table[column].astype(float)
    best = values.min() if BEST_WORDS[column][0] == "least" else values.max()
    is_best = (values == best).tolist()
    return [False] * len(table) if all(is_best) else is_best


def sorted_by(table: pd.DataFrame, column: str) -> pd.DataFrame:
    """The table with the best of a column first; words by the alphabet, what is not known last.

    Parameters
    ----------
    table
        As from :func:`flooring_kit.comparison_table`.
    column
        One of its columns.

    Raises
    ------
    ValueError
        For a column the table has not.
    """
    require_one_of(column, list(table.columns), "column to sort by")
    most_first = BEST_WORDS.get(column, ("least", ""))[0] == "most"
    key = (lambda values: values.astype(str)) if column == "direction" else None
    return table.sort_values(column, ascending=not most_first, kind="stable", key=key)
