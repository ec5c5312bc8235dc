"""The record of a floor for the file and the customer: as tables of plain cells, and as JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass

from flooring_kit.as_laid.day import Day
from flooring_kit.as_laid.entry_words import entry_words
from flooring_kit.as_laid.left_over import spares, worth_keeping
from flooring_kit.checks import require_whole
from flooring_kit.day_entries import (
    READINGS,
    BatchNoted,
    BoardDamaged,
    CameOut,
    Entry,
    GapLeft,
    OffcutLost,
    PhotoTaken,
    PieceSpoiled,
    PlannedAnew,
    Reading,
    Remark,
    RowMeasured,
    SparesDamaged,
    StartedWith,
)

RECORD_FORMAT = 1

CAUTION = (
    "Readings and gaps are as the fitter wrote them down. Leaflets of the products, local codes and licensed practice "
    "come before this record."
)

OTHERWISE = (
    StartedWith,
    CameOut,
    PieceSpoiled,
    BoardDamaged,
    SparesDamaged,
    OffcutLost,
    RowMeasured,
    PlannedAnew,
)
"""Entries that tell of something that went otherwise than planned."""

Cell = str | int | float


@dataclass(frozen=True)
class RecordTable:
    """One table of the record.

    Parameters
    ----------
    title
        What it tells.
    heads
        Column heads.
    rows
        Cells, as many a row as there are heads.
    """

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def record_tables(
    day: Day, *, times: Sequence[str] = (), boards_bought: int | None = None, kept_for_repairs: int = 0
) -> list[RecordTable]:
    """Everything worth keeping of a floor as it was laid; tables with nothing in them are left out.

    Parameters
    ----------
    day
        The day.
    times
        When each entry of the log was made, in their order; without them the tables have no dates.
    boards_bought, kept_for_repairs
        As for :func:`flooring_kit.as_laid.spares`.

    Raises
    ------
    ValueError
        Where there are times for more or fewer entries than the day has.
    """
    if times and len(times) != len(day.entries):
        raise ValueError(f"times must be as many as the entries, {len(day.entries)}, got {len(times)}.")
    dated = [
        (entry, times[number - 1][:16].replace("T", " ") if times else "")
        for number, entry in enumerate(day.entries, start=1)
        if number not in day.undone
    ]
    tables = [
        _floor(day, dated, boards_bought),
        RecordTable("Batch numbers", ("batch", "packs"), tuple(_batches(dated))),
        RecordTable(
            "Readings",
            ("what", "value", "unit", "where", "when"),
            tuple((e.what, e.value, READINGS[e.what].unit, e.where, at) for e, at in dated if isinstance(e, Reading)),
        ),
        RecordTable("Gaps as left", ("wall", "gap left, mm", "gap planned, mm", "when"), tuple(_gaps(day, dated))),
        RecordTable("What went otherwise", ("what", "when"), tuple(_happened(dated))),
        RecordTable("What is left", ("what",), tuple(_left(day, boards_bought, kept_for_repairs))),
        RecordTable(
            "Photos",
            ("file", "shows", "when"),
            tuple((e.file_name, e.shows, at) for e, at in dated if isinstance(e, PhotoTaken)),
        ),
        RecordTable("Remarks", ("remark", "when"), tuple((e.text, at) for e, at in dated if isinstance(e, Remark))),
    ]
    return [table for table in tables if table.rows]


def record_json(tables: Sequence[RecordTable], *, name: str) -> str:
    """The record as JSON: every row an object under its heads.

    Parameters
    ----------
    tables
        From :func:`record_tables`.
    name
        What the job is called.
    """
    told = {
        "record": "floor as laid",
        "format": RECORD_FORMAT,
        "job": name,
        "tables": [
            {"title": table.title, "rows": [dict(zip(table.heads, row, strict=True)) for row in table.rows]}
            for table in tables
        ],
        "caution": CAUTION,
    }
    return json.dumps(told, ensure_ascii=False, indent=2) + "\n"


def _floor(day: Day, dated: Sequence[tuple[Entry, str]], boards_bought: int | None) -> RecordTable:
    plan = day.plan
    whens = [at for _, at in dated if at]
    rows: list[tuple[Cell, ...]] = [
        ("room", plan.room.name),
        ("board", plan.board.name),
        ("board size, mm", f"{plan.board.length_mm:g} x {plan.board.width_mm:g} x {plan.board.thickness_mm:g}"),
        ("start wall", plan.start_wall),
        ("rows laid", f"{len(day.rows_laid)} of {plan.rows}"),
        ("boards of the first plan", day.first_plan.boards_needed),
        ("boards opened", day.boards_opened),
    ]
    if boards_bought is not None:
        rows.append(("boards bought", require_whole(boards_bought, 0, 100_000, "boards bought")))
    if whens:
        rows += [("first entry", min(whens)), ("last entry", max(whens))]
    return RecordTable("The floor", ("what", "value"), tuple(rows))


def _batches(dated: Sequence[tuple[Entry, str]]) -> list[tuple[Cell, ...]]:
    packs: dict[str, int] = {}
    for entry, _ in dated:
        if isinstance(entry, BatchNoted):
            packs[entry.number] = packs.get(entry.number, 0) + entry.packs
    return list(packs.items())


def _gaps(day: Day, dated: Sequence[tuple[Entry, str]]) -> list[tuple[Cell, ...]]:
    last = {entry.wall: (entry.gap_mm, at) for entry, at in dated if isinstance(entry, GapLeft)}
    return [(wall, gap, day.plan.rules.gap_mm, at) for wall, (gap, at) in sorted(last.items())]


def _happened(dated: Sequence[tuple[Entry, str]]) -> list[tuple[Cell, ...]]:
    later = dated[1:] if dated and isinstance(dated[0][0], PlannedAnew) else dated  # the plan a log begins with
    return [(entry_words(entry), at) for entry, at in later if isinstance(entry, OTHERWISE)]


def _left(day: Day, boards_bought: int | None, kept_for_repairs: int) -> list[tuple[Cell, ...]]:
    told: list[tuple[Cell, ...]] = []
    if boards_bought is not None:
        told.append((spares(day, boards_bought, kept_for_repairs=kept_for_repairs).sentence(),))
    return told + [(f"Offcut of {offcut.sentence()}.",) for offcut in worth_keeping(day)]
