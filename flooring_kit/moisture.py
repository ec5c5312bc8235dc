"""Whether subfloor, boards and air are dry enough to lay a floor, and which readings are still missing.

A screed dries through its top, 1 mm a day at first, slower below 50 mm::

    days  100 |                    .'
              |                 .'      2 days each mm (0.5 mm a day)
           50 |              .'
              |         . '             1 day each mm
            0 +---------+----+----+
              0        50        100 mm

No rule of days replaces a reading. What is met here is a list of readings against published limits; damp of unknown
origin, and what an old floor may hold, is for the caller to warn of.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from flooring_kit.arrays import checked, plain
from flooring_kit.checks import ceil_clean, counted, require_between, require_one_of, require_whole, shown
from flooring_kit.products import BOARD_KINDS

EVEN_MM, SLOW_MM_PER_DAY, THICKEST_MM = 50.0, 0.5, 100.0
"""Screed dries 1 mm a day down to 50 mm (text of BS 8203 and BS 8204), then 0.5 mm a day (a trade page, which prints 75
to 100 days for 75 mm). Beyond 100 mm the pages give no rule."""

THICK_HINT = (
    "Thicker concrete keeps to no rule of days for each mm: a slab of 150 mm that dries at one face often takes more "
    "than a year. Measure it."
)

MINERAL_SUBFLOORS = ("concrete", "cement screed", "calcium sulphate screed")
SUBFLOORS = (*MINERAL_SUBFLOORS, "timber")

HUMIDITY, CARBIDE, TIMBER = "subfloor humidity", "subfloor CM", "timber subfloor moisture"
BOARDS, AIR_WARMTH, AIR_HUMIDITY, FLOOR_WARMTH = (
    "board moisture",
    "air temperature",
    "air humidity",
    "floor temperature",
)
ITEMS = {
    HUMIDITY: (0.0, 100.0, "%"),
    CARBIDE: (0.0, 15.0, "CM-%"),
    TIMBER: (0.0, 100.0, "%"),
    BOARDS: (0.0, 100.0, "%"),
    AIR_WARMTH: (-20.0, 50.0, "°C"),
    AIR_HUMIDITY: (0.0, 100.0, "%"),
    FLOOR_WARMTH: (-20.0, 50.0, "°C"),
}
"""What can be read on site: between what a reading can lie, and its unit."""

IN_ROOM, HEATING_RUN = "boards in the room", "heating run"
ACCLIMATISED_DAYS = 2
"""Boards lie 48 h in the room before they are laid (published laying guides); by dates, two days."""

OLDEST_DAYS = 7
"""How old a reading may be on the day of laying. Common practice, no source."""

MET, NOT_MET, MISSING = "met", "not met", "missing"
GO, NO_GO, NOT_KNOWN = "go", "no go", "not yet known"


# ---------------------------------------------------------------------- drying


def screed_drying_days(thickness_mm: ArrayLike) -> Any:
    """Days a cement and sand screed takes to dry, in a warm aired room and without heating: a plan, not a reading.

    Parameters
    ----------
    thickness_mm
        Screed, 10 to 100 [mm].

    Raises
    ------
    ValueError
        Outside that range; thicker concrete has no such rule.

    References
    ----------
    One day for each mm to 50 mm: floorscreedingcontractors.co.uk, on BS 8203 and BS 8204. Then 0.5 mm a day:
    allaboutscreeds.com. In practice 50 mm take about two months. That days count from the end of curing, about a week,
    is from memory.

    Examples
    --------
    >>> [screed_drying_days(thickness) for thickness in (50, 75)]
    [50.0, 100.0]
    """
    array = checked(thickness_mm, 10, THICKEST_MM, "screed", unit="mm", hint=THICK_HINT)
    return plain(np.minimum(array, EVEN_MM) + np.maximum(array - EVEN_MM, 0.0) / SLOW_MM_PER_DAY)


def screed_dry_on(dries_from: date, thickness_mm: float) -> date:
    """First day a screed may have dried by the rule of `screed_drying_days`.

    Parameters
    ----------
    dries_from
        The day curing ended and drying began.
    thickness_mm
        Screed, 10 to 100 [mm].

    Raises
    ------
    ValueError
        For what is no date, or a thickness out of range.

    Examples
    --------
    >>> screed_dry_on(date(2025, 3, 1), 50).isoformat()
    '2025-04-20'
    """
    _require_date(dries_from, "day the screed dries from")
    days = screed_drying_days(require_between(thickness_mm, 10, THICKEST_MM, "screed", unit="mm", hint=THICK_HINT))
    return dries_from + timedelta(days=ceil_clean(days))


def moisture_of_masses_percent(wet_g: ArrayLike, dry_g: ArrayLike) -> Any:
    """Moisture content of a piece of wood from its mass as found and dried, in % of the dry mass.

    Parameters
    ----------
    wet_g
        Mass as found, not below the dry mass, up to 1 000 000 [g].
    dry_g
        Mass dried in an oven, 0.001 to 1 000 000 [g].

    Raises
    ------
    ValueError
        Outside those ranges.

    References
    ----------
    Wood Handbook, equation 4-2. Of the wet mass it would be less: 13.04 % where this gives 15 %.

    Examples
    --------
    >>> moisture_of_masses_percent(1150, 1000)
    15.0
    """
    dry = checked(dry_g, 0.001, 1e6, "dry mass", unit="g")
    wet = checked(wet_g, dry, 1e6, "mass as found", unit="g", hint="It holds the dry mass.")
    return plain((wet - dry) / dry * 100)


# ---------------------------------------------------------------------- limits


@dataclass(frozen=True)
class MoistureLimit:
    """One published limit for the moisture of a subfloor.

    Parameters
    ----------
    edition
        The text it stands in; texts and their editions differ.
    item
        What is read: `HUMIDITY` (hygrometer, %) or `CARBIDE` (carbide bottle, CM-%).
    subfloors
        Which subfloors it is for.
    heated
        Whether it is for heated subfloors; None for both.
    most
        The limit, in the item's unit.
    source
        Where it was read.
    """

    edition: str
    item: str
    subfloors: tuple[str, ...]
    heated: bool | None
    most: float
    source: str


BS_GENERAL, BS_WOOD, TRADE_WOOD = "BS 8203 and BS 8204", "BS 8201:2011", "timber trade guidance"
DIN_OLDER, DIN_2015 = "DIN 18560-1 before 2015", "DIN 18560-1:2015"

_CARBIDE_SOURCE = "betontechnische-daten.de 15.5; a maker's table"
_EDITION_SOURCE = "bauenimbestand24.de, pro-fliessestrich.de, baunetzwissen.de"
_WOOD_SOURCE = "Timber Trade Federation guidance on woodcampus.co.uk"
_CEMENT, _SULPHATE = ("cement screed",), ("calcium sulphate screed",)

MOISTURE_LIMITS = (
    MoistureLimit(BS_GENERAL, HUMIDITY, MINERAL_SUBFLOORS, None, 75.0, "trade pages on both"),
    MoistureLimit(BS_WOOD, HUMIDITY, MINERAL_SUBFLOORS, None, 65.0, "a trade page on moisture requirements, BS 8201"),
    MoistureLimit(TRADE_WOOD, HUMIDITY, MINERAL_SUBFLOORS, False, 75.0, _WOOD_SOURCE),
    MoistureLimit(TRADE_WOOD, HUMIDITY, MINERAL_SUBFLOORS, True, 65.0, _WOOD_SOURCE),
    *(
        limit
        for edition in (DIN_OLDER, DIN_2015)
        for limit in (
            MoistureLimit(edition, CARBIDE, _CEMENT, False, 2.0, _CARBIDE_SOURCE),
            MoistureLimit(edition, CARBIDE, _CEMENT, True, 1.8, _CARBIDE_SOURCE),
            MoistureLimit(edition, CARBIDE, _SULPHATE, False, 0.5, _CARBIDE_SOURCE),
        )
    ),
    MoistureLimit(DIN_OLDER, CARBIDE, _SULPHATE, True, 0.3, _CARBIDE_SOURCE),
    MoistureLimit(DIN_2015, CARBIDE, _SULPHATE, True, 0.5, _EDITION_SOURCE),
)
"""Limits as read. BS 8201:2011 lowered 75 % to 65 % for wood floors; of the calcium sulphate limits over heating both
the older and the newer are still published."""

EDITIONS = tuple(dict.fromkeys(limit.edition for limit in MOISTURE_LIMITS))

TIMBER_MOST_PERCENT = 12.0
"""Moisture of a timber subfloor called dry (a wood floor merchant's page; leaflets for laminate say 10 to 12, from
memory)."""

BOARD_MOISTURE_PERCENT = {False: (8.0, 10.0), True: (6.0, 8.0)}
"""Moisture of kiln-dried wood boards at laying, by whether the floor is heated (Timber Trade Federation guidance on
woodcampus.co.uk)."""

LEAST_FLOOR_C, LEAST_AIR_C, MOST_AIR_PERCENT = 15.0, 18.0, 75.0
"""Floor, air and humidity while laying (published laying guides). Many fitters ask for 35 to 65 % humidity, common
practice, no source."""


def moisture_limit(subfloor: str, *, heated: bool, edition: str) -> MoistureLimit:
    """The limit a text sets for a mineral subfloor.

    Parameters
    ----------
    subfloor
        One of `MINERAL_SUBFLOORS`.
    heated
        Whether it is heated.
    edition
        One of `EDITIONS`; it also settles how the subfloor is measured.

    Raises
    ------
    ValueError
        For a word that is not listed, and where that text sets no limit for that subfloor.

    Examples
    --------
    >>> [moisture_limit("calcium sulphate screed", heated=True, edition=edition).most for edition in EDITIONS]
    [75.0, 65.0, 65.0, 0.3, 0.5]
    """
    require_one_of(subfloor, MINERAL_SUBFLOORS, "mineral subfloor")
    require_one_of(edition, EDITIONS, "edition")
    for limit in MOISTURE_LIMITS:
        if limit.edition == edition and subfloor in limit.subfloors and limit.heated in (None, heated):
            return limit
    others = [
        limit.edition for limit in MOISTURE_LIMITS if subfloor in limit.subfloors and limit.heated in (None, heated)
    ]
    raise ValueError(f"{edition} sets no limit for {subfloor}. These do: {', '.join(dict.fromkeys(others))}.")


# ---------------------------------------------------------------------- go or no go


@dataclass(frozen=True)
class Reading:
    """One reading taken on site.

    Parameters
    ----------
    item
        One of `ITEMS`.
    value
        In the item's unit.
    taken_on
        The day it was taken.
    where
        Place in the room, in the reader's words.
    """

    item: str
    value: float
    taken_on: date
    where: str = ""

    def __post_init__(self) -> None:
        low, high, unit = ITEMS[require_one_of(self.item, ITEMS, "what was read")]
        require_between(self.value, low, high, self.item, unit=unit)
        _require_date(self.taken_on, f"{self.item}: day of the reading")


@dataclass(frozen=True)
class SiteRecord:
    """What was read and noted on site.

    Parameters
    ----------
    readings
        In any order, several of an item where several were taken.
    boards_in_room_on
        The day the packs were laid down in the room; None where it is not noted.
    heating_run_on
        The day the floor heating had been run up and down again; None where it was not, or is not noted.
    """

    readings: tuple[Reading, ...] = ()
    boards_in_room_on: date | None = None
    heating_run_on: date | None = None

    def __post_init__(self) -> None:
        for day, name in ((self.boards_in_room_on, IN_ROOM), (self.heating_run_on, HEATING_RUN)):
            if day is not None:
                _require_date(day, f"{name}: the day")


@dataclass(frozen=True)
class Wanted:
    """One item that must be read before laying, and what it must show.

    Parameters
    ----------
    item
        One of `ITEMS`.
    least, most
        Limits in the item's unit, both allowed; None for no limit.
    source
        Where the limits stand.
    """

    item: str
    least: float | None
    most: float | None
    source: str

    @property
    def rule(self) -> str:
        """The limits in words."""
        unit = ITEMS[self.item][2]
        if self.least is None:
            return f"at most {shown(self.most)} {unit}"
        if self.most is None:
            return f"at least {shown(self.least)} {unit}"
        return f"{shown(self.least)} to {shown(self.most)} {unit}"

    def allows(self, value: float) -> bool:
        """Whether a value lies within the limits."""
        return (self.least is None or value >= self.least) and (self.most is None or value <= self.most)


def wanted_readings(subfloor: str, board_kind: str, *, heated: bool, edition: str) -> tuple[Wanted, ...]:
    """What must be read before a floor is laid.

    Parameters
    ----------
    subfloor
        One of `SUBFLOORS`.
    board_kind
        One of `BOARD_KINDS`; boards of wood have their own moisture read.
    heated
        Whether the floor is heated from below.
    edition
        One of `EDITIONS`: the text the limit of a mineral subfloor is taken from.

    Raises
    ------
    ValueError
        For a word that is not listed, and where that text sets no limit for that subfloor.
    """
    require_one_of(subfloor, SUBFLOORS, "subfloor")
    require_one_of(board_kind, BOARD_KINDS, "kind of board")
    require_one_of(edition, EDITIONS, "edition")
    if subfloor == "timber":
        below = Wanted(TIMBER, None, TIMBER_MOST_PERCENT, "a wood floor merchant's page")
    else:
        limit = moisture_limit(subfloor, heated=heated, edition=edition)
        below = Wanted(limit.item, None, limit.most, limit.edition)
    boards = []
    if board_kind in ("engineered", "solid"):
        least, most = BOARD_MOISTURE_PERCENT[heated]
        boards.append(Wanted(BOARDS, least, most, "Timber Trade Federation guidance"))
    guides = "published laying guides"
    return (
        below,
        *boards,
        Wanted(FLOOR_WARMTH, LEAST_FLOOR_C, None, guides),
        Wanted(AIR_WARMTH, LEAST_AIR_C, None, guides),
        Wanted(AIR_HUMIDITY, None, MOST_AIR_PERCENT, guides),
    )


@dataclass(frozen=True)
class Finding:
    """What the record says of one item.

    Parameters
    ----------
    item
        What it is about.
    status
        "met", "not met" or "missing".
    reason
        A sentence with value, day and limit.
    """

    item: str
    status: str
    reason: str


@dataclass(frozen=True)
class Readiness:
    """Whether a floor may be laid, as far as the record tells.

    Parameters
    ----------
    findings
        One an item.
    laying_on
        The day it was asked for.
    """

    findings: tuple[Finding, ...]
    laying_on: date

    @property
    def overall(self) -> str:
        """ "no go" where an item is not met, else "not yet known" where one is missing, else "go"."""
        statuses = {finding.status for finding in self.findings}
        if NOT_MET in statuses:
            return NO_GO
        return NOT_KNOWN if MISSING in statuses or not statuses else GO

    def sentence(self) -> str:
        """The outcome in words, with what stands in the way."""
        told = []
        for status in (NOT_MET, MISSING):
            items = [finding.item for finding in self.findings if finding.status == status]
            if items:
                told.append(f" {status.capitalize()}: {', '.join(items)}.")
        if not told:
            told = [f" {counted(len(self.findings), 'item')} read and within the limits asked for."]
        return f"{self.overall.capitalize()} for {self.laying_on.isoformat()}.{''.join(told)}"


def readiness(
    record: SiteRecord,
    wanted: Sequence[Wanted],
    *,
    laying_on: date,
    heated: bool,
    oldest_days: int = OLDEST_DAYS,
) -> Readiness:
    """Each item wanted held against the record: met, not met or missing, with the reason.

    Parameters
    ----------
    record
        Readings and days.
    wanted
        As from `wanted_readings`.
    laying_on
        The day the floor is to be laid.
    heated
        Whether the floor is heated: then the heating must have been run before.
    oldest_days
        How old a reading may be on that day, 0 to 60.

    Returns
    -------
    Readiness
        At each place the readings of its newest day count, and all of them must keep the limit and be recent enough;
        the one furthest out is named.

    Raises
    ------
    ValueError
        For what is no date, and for readings of days after the laying.

    Examples
    --------
    >>> wanted = wanted_readings("cement screed", "laminate", heated=False, edition="BS 8203 and BS 8204")
    >>> record = SiteRecord((Reading("subfloor humidity", 82, date(2025, 5, 2)),))
    >>> answer = readiness(record, wanted, laying_on=date(2025, 5, 6), heated=False)
    >>> answer.overall
    'no go'
    >>> answer.findings[0].reason
    '82 % on 2025-05-02; at most 75 % (BS 8203 and BS 8204).'
    """
    _require_date(laying_on, "day of laying")
    require_whole(oldest_days, 0, 60, "age of a reading in days")
    for reading in record.readings:
        _require_not_after(reading.taken_on, laying_on, f"{reading.item}: day of the reading")
    for day, name in ((record.boards_in_room_on, IN_ROOM), (record.heating_run_on, HEATING_RUN)):
        if day is not None:
            _require_not_after(day, laying_on, f"{name}: the day")
    findings = [_found(record, each, laying_on, oldest_days) for each in wanted]
    findings.append(_acclimatised(record.boards_in_room_on, laying_on))
    if heated:
        findings.append(_heating_run(record.heating_run_on))
    return Readiness(tuple(findings), laying_on)


def _found(record: SiteRecord, wanted: Wanted, laying_on: date, oldest_days: int) -> Finding:
    readings = _newest([reading for reading in record.readings if reading.item == wanted.item])
    rule = f"{wanted.rule} ({wanted.source})"
    if not readings:
        return Finding(wanted.item, MISSING, f"No reading; {rule}.")
    recent = [reading for reading in readings if (laying_on - reading.taken_on).days <= oldest_days]
    out = [reading for reading in recent if not wanted.allows(reading.value)]
    stale = [reading for reading in readings if reading not in recent]
    if stale and not out:
        oldest = min(stale, key=lambda reading: reading.taken_on)
        age = counted((laying_on - oldest.taken_on).days, "day")
        return Finding(wanted.item, MISSING, f"{_told(oldest)}, {age} old by then: read it again; {rule}.")
    named = max(out or recent, key=lambda reading: _beyond(wanted, reading.value))
    among = ""
    if len(readings) > 1:
        count = counted(len(readings), "reading")
        among = f", {len(out)} of {count} out of the limit" if out else f", the nearest to the limit of {count}"
    return Finding(wanted.item, NOT_MET if out else MET, f"{_told(named)}{among}; {rule}.")


def _newest(readings: Sequence[Reading]) -> list[Reading]:
    """Those of the newest day at each place."""
    newest: dict[str, date] = {}
    for reading in readings:
        newest[reading.where] = max(reading.taken_on, newest.get(reading.where, reading.taken_on))
    return [reading for reading in readings if reading.taken_on == newest[reading.where]]


def _told(reading: Reading) -> str:
    place = f", {reading.where}" if reading.where else ""
    return f"{shown(reading.value)} {ITEMS[reading.item][2]} on {reading.taken_on.isoformat()}{place}"


def _beyond(wanted: Wanted, value: float) -> float:
    """How far a value lies beyond the nearer limit, below 0 within."""
    over = value - wanted.most if wanted.most is not None else float("-inf")
    under = wanted.least - value if wanted.least is not None else float("-inf")
    return max(over, under)


def _acclimatised(since: date | None, laying_on: date) -> Finding:
    rule = f"{ACCLIMATISED_DAYS * 24} h, flat and unopened (published laying guides)"
    if since is None:
        return Finding(IN_ROOM, MISSING, f"No day noted; {rule}.")
    days = (laying_on - since).days
    status = MET if days >= ACCLIMATISED_DAYS else NOT_MET
    return Finding(IN_ROOM, status, f"Since {since.isoformat()}, {counted(days, 'day')} before laying; {rule}.")


def _heating_run(run_on: date | None) -> Finding:
    rule = "run up and down before laying, by its maker's dates (common practice)"
    if run_on is None:
        return Finding(HEATING_RUN, MISSING, f"No day noted; {rule}.")
    return Finding(HEATING_RUN, MET, f"Ended on {run_on.isoformat()}; {rule}.")


def _require_date(day: object, name: str) -> None:
    if not isinstance(day, date) or isinstance(day, datetime):
        raise ValueError(f"{name} must be a date without a time, such as date(2025, 5, 6), got {shown(day)}.")


def _require_not_after(day: date, laying_on: date, name: str) -> None:
    if day > laying_on:
        raise ValueError(
            f"{name} must not lie after the day of laying, {laying_on.isoformat()}, got {day.isoformat()}. "
            "Are day and month swapped?"
        )
