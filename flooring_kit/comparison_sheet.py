"""Options side by side as a table, the best of each column in words, and a weighing with every step of it shown."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import pandas as pd

from flooring_kit.checks import counted
from flooring_kit.html_parts import heading_html, sentences_html, table_html
from flooring_kit.room_options import RoomOption, cheapest_sentence, room_options_table, solid_sentence
from flooring_kit.rules import Direction
from flooring_kit.tables import records
from flooring_kit.weighing import BEST_WORDS, POINTS, best_of, weighed

TABLE_HEADS = {
    "board": "board",
    "underlay": "underlay",
    "trim": "trim",
    "direction": "boards run",
    "price": "materials with tax",
    "packs": "packs",
    "boards": "boards",
    "boards_over": "boards left over",
    "underlay_packs": "underlay packs",
    "trim_lengths": "lengths of trim",
    "waste_fraction": "cutting loss",
    "joints": "joints",
    "narrowest_strip_mm": "narrowest strip, mm",
    "height_mm": "height, mm",
    "tog": "tog",
    "heat_lost_kwh": "heat lost, kWh a season",
    "heat_given_w_m2": "heat given, W/m²",
}
ONLY_WHERE_KNOWN = ("heat_lost_kwh", "heat_given_w_m2", "trim_lengths")
"""Left out where no option has a figure: of the two of heat one applies to a room."""

ONLY_WHERE_DIFFERENT = ("trim", "direction")

SEEN_THROUGH = (
    "A mark is 1 for the best of these options, 0 for the worst, and in proportion between. At each point an option "
    "gets weight times mark. Other options beside it would give it other marks."
)


def shown_columns(table: pd.DataFrame) -> dict[str, str]:
    """Columns worth showing for these options, with their heads.

    Parameters
    ----------
    table
        As from :func:`flooring_kit.comparison_table`.
    """
    return {
        column: head
        for column, head in TABLE_HEADS.items()
        if not (column in ONLY_WHERE_KNOWN and not table[column].notna().any())
        and not (column in ONLY_WHERE_DIFFERENT and table[column].nunique() < 2)
    }


def comparison_html(table: pd.DataFrame, *, currency: str, note: str = "") -> str:
    """A comparison as a table that scrolls sideways inside itself on a narrow screen.

    Parameters
    ----------
    table
        As from :func:`flooring_kit.comparison_table`.
    currency
        Sign put before prices.
    note
        A line under the table.
    """
    columns = shown_columns(table)
    is_best = {column: best_of(table, column) for column in columns}
    rows = [
        [
            _cell(column, row[column], currency) + (f"\n{BEST_WORDS[column][1]}" if is_best[column][place] else "")
            for column in columns
        ]
        for place, (_, row) in enumerate(table.iterrows())
    ]
    return table_html(list(columns.values()), rows, label="Options side by side") + sentences_html([note] * bool(note))


def _cell(column: str, value: Any, currency: str) -> str:
    if pd.isna(value):
        return "none" if column == "trim_lengths" else "unknown"
    words: dict[str, Callable[[Any], str]] = {
        "trim": lambda name: name or "no trim",
        "direction": lambda way: direction_words(way).strip(),
        "trim_lengths": lambda number: f"{number:.0f}",
        "waste_fraction": lambda share: f"{share:.1%}",
        "narrowest_strip_mm": lambda width: f"{width:.0f}",
        "height_mm": lambda height: f"{height:g}",
        "tog": lambda togs: f"{togs:.2f}",
        "heat_lost_kwh": lambda heat: f"about {heat:.0f}",
        "heat_given_w_m2": lambda heat: f"{heat:.0f}",
        "price": lambda price: f"{currency}{price:,.2f}",
    }
    return words.get(column, str)(value)


def option_words(row: pd.Series, differing: Sequence[str]) -> str:
    """What an option is, by what differs between the options compared.

    Parameters
    ----------
    row
        A row of the comparison's table.
    differing
        Those of "board", "underlay", "trim" and "direction" that are not alike; the board where all are.
    """
    return ", ".join(_cell(column, row[column], "") for column in differing or ["board"])


def differing_columns(table: pd.DataFrame) -> list[str]:
    """Which of board, underlay, trim and direction are not alike in all options."""
    return [column for column in ("board", "underlay", "trim", "direction") if table[column].nunique() > 1]


def weighing_html(table: pd.DataFrame, weights: Mapping[str, float]) -> str:
    """What each option gets, point by point, and how it is reckoned.

    Parameters
    ----------
    table
        As from :func:`flooring_kit.comparison_table`.
    weights
        As for :func:`flooring_kit.weighing.weighed`.
    """
    got = weighed(table, weights)
    points = [name for name in got.columns if name != "got_fraction"]
    differing = differing_columns(table)
    most = sum(weights[name] for name in points)
    rows = [
        [
            option_words(table.loc[index], differing),
            *(f"{weights[name]:g} × {got.loc[index, name] / weights[name]:.2f} = {got.loc[index, name]:.2f}"
              for name in points),
            f"{got.loc[index, points].sum():.2f} of {most:g}",
        ]
        for index in got.index
    ]  # fmt: skip
    told = [weighing_sentence(table, weights), SEEN_THROUGH, *_unknown_sentences(table, weights)]
    heads = ["option", *points, "in all"]
    return sentences_html(told) + table_html(heads, rows, label="Options weighed, point by point", marked=[0])


def weighing_sentence(table: pd.DataFrame, weights: Mapping[str, float]) -> str:
    """Which option comes first by these weights, and how far ahead it is.

    Parameters
    ----------
    table, weights
        As for :func:`weighing_html`.
    """
    got = weighed(table, weights)["got_fraction"]
    differing = differing_columns(table)
    if got.isna().all():
        return "None of the points that have a weight applies to these options."
    first = got.index[got == got.iloc[0]]
    if len(first) == len(got) > 1:
        return "These weights do not tell the options apart."
    names = [option_words(table.loc[index], differing) for index in first]
    told = f"By these weights {' and '.join(names)} {'comes' if len(names) == 1 else 'come'} first"
    if len(first) == len(got):
        return f"{told}: there is nothing beside it."
    behind = got[got < got.iloc[0]]
    digits = 0 if round(got.iloc[0], 2) > round(behind.iloc[0], 2) else 1
    return f"{told}, {got.iloc[0]:.{digits}%} of what can be got against {behind.iloc[0]:.{digits}%} for the next."


def _unknown_sentences(table: pd.DataFrame, weights: Mapping[str, float]) -> list[str]:
    """Points at which some options have no figure, and points that apply to none."""
    told = []
    for point in POINTS:
        if not weights.get(point.name, 0):
            continue
        missing = table[point.column].isna()
        if missing.all():
            told.append(f"{point.name}: no figure for any option, so its weight is left out.")
        elif missing.any():
            told.append(f"{point.name}: {counted(int(missing.sum()), 'option')} without a figure gets nothing there.")
    return told


def direction_words(direction: Direction) -> str:
    """The direction of the boards as it follows the name of one.

    >>> direction_words("short"), direction_words(45.0)
    (' along the short side', ' at 45°')
    """
    return f" along the {direction} side" if isinstance(direction, str) else f" at {direction:g}°"


ROOM_OPTION_HEADS = (
    "board",
    "kind",
    "underlay",
    "all in, with tax",
    "for each m²",
    "packs",
    "height, mm",
    "least gap, mm",
    "doors to ease",
    "hours of one person",
    "tog",
)


def room_options_html(options: Sequence[RoomOption], chosen_underlay: str) -> str:
    """Whole rooms side by side, what each kind of board changes, and what solid boards would come to.

    Parameters
    ----------
    options
        As from :func:`flooring_kit.room_options.room_options`.
    chosen_underlay
        Name of the underlay asked for.
    """
    currency = options[0].whole.currency
    rows = [
        (
            row.board,
            row.kind,
            row.underlay,
            "not priced" if pd.isna(row.price) else f"{currency}{row.price:,.2f}",
            "not priced" if pd.isna(row.per_m2) else f"{currency}{row.per_m2:,.2f}",
            row.packs,
            f"{row.height_mm:g}",
            f"{row.least_gap_mm:g}",
            row.doors_to_ease,
            f"{row.low_h:.0f} to {row.high_h:.0f}",
            "unknown" if pd.isna(row.tog) else f"{row.tog:.2f}",
        )
        for row in records(room_options_table(options))
    ]
    parts = sentences_html([told for told in (cheapest_sentence(options),) if told])
    parts += table_html(ROOM_OPTION_HEADS, rows, label="Whole rooms side by side")
    for option in options:
        parts += heading_html(option.board.name) + sentences_html(option.changes(chosen_underlay))
    return parts + heading_html("Solid boards") + sentences_html([solid_sentence(options)])
