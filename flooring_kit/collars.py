"""Collars round pipes and radiator feet: one that covers the hole for each, or what to do where none does."""

from __future__ import annotations

from collections.abc import Iterable

import pandas as pd

from flooring_kit.products import Sundry
from flooring_kit.sawing import pipe_holes
from flooring_kit.sawing.pipe_holes import clear_round_mm
from flooring_kit.setting_out import Plan
from flooring_kit.tables import records

COLLAR_COLUMNS = [
    "pipe",
    "kind",
    "diameter_mm",
    "hole_mm",
    "least_mm",
    "collar",
    "outside_mm",
    "clip",
    "sleeve",
]


FITS_WITHIN_MM = 0.5
"""How far a pipe may be off the size a collar is named for: a survey in inches rounds."""


def collars(plan: Plan, sundries: Iterable[Sundry]) -> pd.DataFrame:
    """The collar and the sleeve for every pipe.

    Parameters
    ----------
    plan
        The plan; its pipes and radiator feet.
    sundries
        What is on sale; pipe collars and pipe sleeves among it are looked at.

    Returns
    -------
    DataFrame
        One row a pipe that comes up through the floor: `pipe` (number in the survey), `kind`, `diameter_mm`, `hole_mm`,
        `least_mm` (outside diameter that covers the hole), `collar` (the smallest on sale that fits the pipe and covers
        the hole, "" where none does), `outside_mm` (its outside diameter, NaN for none), `clip` (whether half of it is
        more than the pipe's distance from a wall, so that a side has to be cut off), `sleeve` (for a pipe; a foot has
        none).
    """
    on_sale = list(sundries)
    rows = []
    for hole in records(pipe_holes(plan).drop_duplicates("pipe")):
        pipe = plan.room.pipes[hole.pipe - 1]
        fitting = [each for each in on_sale if each.use == "pipe collars" and _fits(each, pipe.diameter_mm)]
        covering = [each for each in fitting if (each.outside_mm or 0.0) >= hole.least_collar_mm]
        best = min(covering, key=lambda each: (each.outside_mm or 0.0, each.name), default=None)
        sleeves = [each.name for each in on_sale if each.use == "pipe sleeves" and _fits(each, pipe.diameter_mm)]
        outside = float("nan") if best is None else float(best.outside_mm or 0.0)
        rows.append(
            (
                hole.pipe,
                pipe.kind,
                pipe.diameter_mm,
                hole.hole_mm,
                hole.least_collar_mm,
                "" if best is None else best.name,
                outside,
                clear_round_mm(plan.room, pipe) < (hole.least_collar_mm if best is None else outside) / 2,
                sleeves[0] if sleeves and pipe.kind == "pipe" else "",
            )
        )
    return pd.DataFrame(rows, columns=COLLAR_COLUMNS)


def _fits(sundry: Sundry, diameter_mm: float) -> bool:
    return sundry.fits_mm is not None and abs(sundry.fits_mm - diameter_mm) <= FITS_WITHIN_MM


def collar_sentences(table: pd.DataFrame) -> list[str]:
    """Every collar in words; what to do where none covers the hole.

    Parameters
    ----------
    table
        As from :func:`collars`.
    """
    told = []
    for pipe in records(table):
        what = "Pipe" if pipe.kind == "pipe" else "Radiator foot"
        who = f"{what} {pipe.pipe}, {pipe.diameter_mm:.4g} mm, hole {pipe.hole_mm:.4g} mm:"
        if not pipe.collar:
            told.append(
                f"{who} no collar on sale fits it and covers the hole; it needs {pipe.least_mm:.4g} mm outside, or "
                "flexible filler in the hole."
            )
            continue
        clip = "; clip it at the wall side" if pipe.clip else ""
        sleeve = f"; {pipe.sleeve} above it" if pipe.sleeve else ""
        told.append(f"{who} {pipe.collar}, {pipe.outside_mm:g} mm outside{clip}{sleeve}.")
    return told
