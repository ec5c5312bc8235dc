"""A calendar back from the day of laying: order, delivery, acclimatising, heating down and up, screed, compound."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta

import pandas as pd

from flooring_kit.checks import require_between, require_whole
from flooring_kit.moisture import screed_dry_on

CALENDAR_COLUMNS = ["day", "what", "why"]
HOURS_A_DAY = 7.0
"""Hours of work in a day on site. Common practice, no source."""

LEAFLETS = "The products' own leaflets, local codes and a licensed heating engineer decide; these are usual days."


@dataclass(frozen=True)
class Waits:
    """Days that things take, each yours to set.

    Parameters
    ----------
    delivery_days
        From order to delivery, 0 to 365.
    acclimatise_days
        Packs flat and unopened in the room before laying, 0 to 60; 48 h is common practice, no source.
    compound_days
        From pouring levelling compound to walking boards in, 0 to 60. From memory; the leaflet tells.
    heating_down_days, heating_up_days
        From turning the heating down to laying, and from the last board to turning it up, 0 to 60. From memory; its
        maker tells.
    """

    delivery_days: int = 10
    acclimatise_days: int = 2
    compound_days: int = 3
    heating_down_days: int = 2
    heating_up_days: int = 2

    def __post_init__(self) -> None:
        require_whole(self.delivery_days, 0, 365, "days of delivery")
        require_whole(self.acclimatise_days, 0, 60, "days of acclimatising")
        require_whole(self.compound_days, 0, 60, "days of drying compound")
        require_whole(self.heating_down_days, 0, 60, "days with the heating down")
        require_whole(self.heating_up_days, 0, 60, "days until the heating goes up")


def laying_calendar(
    laying_day: date,
    *,
    hours: float,
    heated: bool = False,
    levelled: bool = False,
    screed_dries_from: date | None = None,
    screed_mm: float | None = None,
    waits: Waits | None = None,
) -> pd.DataFrame:
    """What has to happen on which day, for a floor to be laid on one day.

    Parameters
    ----------
    laying_day
        First day of laying.
    hours
        Work by one person, 0.5 to 1000 [h]; take the higher end of the range to be on the safe side.
    heated
        Whether heating runs under the floor.
    levelled
        Whether compound is poured first.
    screed_dries_from, screed_mm
        A new screed: the day its drying began, and its thickness, 10 to 100 [mm]. None for an old floor.
    waits
        Days that things take.

    Returns
    -------
    DataFrame
        `day` (a date), `what`, `why`, in order of days. Calendar days: move a day that falls on a holiday earlier.

    Raises
    ------
    ValueError
        For hours or a screed out of range, or a screed of which only one of the two is told.

    Examples
    --------
    >>> plan = laying_calendar(date(2027, 3, 15), hours=8, waits=Waits(delivery_days=10))
    >>> [(day.isoformat(), what) for day, what in zip(plan["day"], plan["what"])][:3:2]
    [('2027-03-03', 'order boards, underlay and trims'), ('2027-03-13', 'packs into the room, flat and unopened')]
    """
    if (screed_dries_from is None) != (screed_mm is None):
        raise ValueError("screed: tell both the day it dries from and its thickness, or neither.")
    wait = waits or Waits()
    days_of_work = math.ceil(require_between(hours, 0.5, 1000, "hours of work", unit="h") / HOURS_A_DAY - 1e-9)
    last_day = laying_day + timedelta(days=days_of_work - 1)
    packs_in = _before(laying_day, wait.acclimatise_days)
    rows: list[tuple[date, str, str]] = [
        (
            _before(packs_in, wait.delivery_days),
            "order boards, underlay and trims",
            f"{wait.delivery_days} days to deliver. From one batch; keep its number.",
        ),
        (
            packs_in,
            "packs into the room, flat and unopened",
            f"{wait.acclimatise_days} days at the warmth and humidity of use.",
        ),
        (_before(packs_in, 1), "read the subfloor's moisture and write it down", "Before boards lie on it or near it."),
        (laying_day, "lay the floor", _length_of_work(days_of_work, last_day)),
        (last_day, "bars, trims, doors hung again", "When the last row is in."),
    ]
    if levelled:
        why = f"{wait.compound_days} days to dry before packs stand on it."
        rows.append((_before(packs_in, wait.compound_days), "pour the levelling compound", why))
    if heated:
        down, up = _before(laying_day, wait.heating_down_days), _before(last_day, -wait.heating_up_days)
        rows.append((down, "heating down", "It must have been commissioned and run before. " + LEAFLETS))
        rows.append((up, "heating up, a little each day", "Slowly, by its maker's dates. " + LEAFLETS))
    if screed_dries_from is not None and screed_mm is not None:
        dry = screed_dry_on(screed_dries_from, screed_mm)
        why = f"{screed_mm:g} mm by the rule of thumb. A reading decides, not the calendar."
        if dry > laying_day:
            why += f" That is {(dry - laying_day).days} days after the day of laying: lay later."
        rows.append((dry, "the screed may be dry", why))
    in_order = sorted(rows, key=lambda row: row[0])
    return pd.DataFrame(in_order, columns=CALENDAR_COLUMNS)


def _before(day: date, days: int) -> date:
    return day - timedelta(days=days)


def _length_of_work(days: int, last_day: date) -> str:
    return "Done in a day." if days == 1 else f"{days} days of one person's work, to {last_day.isoformat()}."
