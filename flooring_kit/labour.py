"""Hours by operation, as a range with its basis, and official price-book rates to the cent.

Area alone predicts a small room badly. Hours are counted from what must be done::

    hours = a · area + b · rips + c · row ends + d · openings + e · obstacles + f · trim + preparation

All hours are one person's: two people share them. A range adds the quickest figures of all operations, and the slowest
of all, so a real job seldom lies near either end. Drying of screeds, acclimatising and travel are not in it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from types import MappingProxyType

import pandas as pd

from flooring_kit.checks import ceil_clean, require_between, require_one_of, require_whole, shown
from flooring_kit.tables import records

BCCA_ATTRIBUTION = "Información obtenida del Portal de la Junta de Andalucía"
"""Line that must stand wherever a figure of the BCCA (Base de Costes de la Construcción de Andalucía) is shown."""

HUNDREDTH = Decimal("0.01")

UNITS = ("m²", "m", "each")
"""What operations are counted in."""

DAY_H = 8.0
"""Working day that turns boards laid in a day into hours. Common practice, no source [h]."""

OPEN_FLOOR_M2_A_DAY = (37.0, 93.0)
"""Floor that a fitter and a helper lay in a day in open space, slowest and quickest.
Common practice, no source [m²]."""

FIRST_TIMER_FACTOR = 2.0
"""How many times longer a first-timer takes. Common practice, no source."""

PRACTICE, MEMORY = "common practice, no source", "from memory"


# ---------------------------------------------------------------------- hours


@dataclass(frozen=True)
class Operation:
    """One thing done on a job, and how long a tradesperson takes for one unit of it.

    Parameters
    ----------
    name
        What is done.
    unit
        One of `UNITS`.
    hours_low, hours_high
        One person's hours for each unit, quickest and slowest, 0 to 24 [h].
    basis
        Where the two figures come from, in words.

    Raises
    ------
    ValueError
        For an unknown unit, hours outside their range, slowest under quickest, or no basis.
    """

    name: str
    unit: str
    hours_low: float
    hours_high: float
    basis: str

    def __post_init__(self) -> None:
        hint = "Write 15 minutes as 0.25."
        if self.unit not in UNITS:  # no nearest word: of m2 that would be m, and m² is meant
            raise ValueError(f"{self.name}: unit must be one of {', '.join(UNITS)}, got {shown(self.unit)}.")
        require_between(self.hours_low, 0, 24, f"{self.name}: quickest", unit="h", hint=hint)
        require_between(self.hours_high, 0, 24, f"{self.name}: slowest", unit="h", hint=hint)
        require_between(
            self.hours_high,
            self.hours_low,
            24,
            f"{self.name}: slowest",
            unit="h",
            hint="It may not be under the quickest: swap the two.",
        )
        if not self.basis.strip():
            raise ValueError(f"{self.name}: basis must say where the hours come from; write {PRACTICE!r} if nowhere.")


def _minutes(name: str, least: float, most: float, basis: str) -> Operation:
    """An operation counted by the piece, from its minutes."""
    return Operation(name, "each", least / 60, most / 60, basis)


_LAYING_BASIS = (
    "37 to 93 m² a day of 8 h for two in open space, so 16/93 to 16/37 h per m². It holds the few cuts of an open "
    f"floor, so small rooms count those a little twice; {PRACTICE}"
)

OPERATIONS: Mapping[str, Operation] = MappingProxyType(
    {
        operation.name: operation
        for operation in (
            _minutes("moving furniture", 30, 90, f"each room; {PRACTICE}"),
            _minutes("carrying and clearing up", 30, 90, f"each room, packs in and waste out; {PRACTICE}"),
            Operation(
                "taking up old covering",
                "m²",
                0.05,
                0.15,
                f"least: {PRACTICE}; most: BCCA 2024-01, a floor on battens, .15 h per m². {BCCA_ATTRIBUTION}",
            ),
            Operation(
                "taking off skirting",
                "m",
                0.055,
                0.07,
                "BCCA 2024-01, items 01RSM00012 (stripped out, .055 h) and 01RSM00003 (half kept, .035 + .035 h). "
                f"{BCCA_ATTRIBUTION}",
            ),
            Operation("levelling", "m²", 0.10, 0.30, f"prime, mix and spread one coat, drying apart; {PRACTICE}"),
            _minutes("setting out", 15, 45, f"each room; {PRACTICE}"),
            Operation("vapour sheet", "m²", 0.02, 0.04, PRACTICE),
            Operation("underlay", "m²", 0.03, 0.06, PRACTICE),
            Operation(
                "laying boards",
                "m²",
                2 * DAY_H / OPEN_FLOOR_M2_A_DAY[1],
                2 * DAY_H / OPEN_FLOOR_M2_A_DAY[0],
                _LAYING_BASIS,
            ),
            _minutes("rips", 3, 6, f"each piece sawn along its length; {PRACTICE}"),
            _minutes("row ends", 2, 5, f"each cross-cut, measured, sawn and fitted; {PRACTICE}"),
            _minutes("openings", 10, 25, f"laying into and round a doorway, its frame apart; {PRACTICE}"),
            _minutes("obstacles", 20, 60, f"laying round a hearth, pier or unit; {PRACTICE}"),
            _minutes("pipes", 5, 7.5, f"each pipe, half of a pair at 10 to 15 minutes; {MEMORY}"),
            _minutes("undercutting frames", 15, 30, f"each door frame, both sides; {MEMORY}"),
            _minutes("door bars", 15, 20, MEMORY),
            _minutes("easing doors", 20, 40, f"each leaf, taken off, eased and hung again; {MEMORY}"),
            Operation("bead", "m", 1 / 15, 1 / 8, f"8 to 15 m an hour, mitres in it; {MEMORY}"),
        )
    }
)
"""Operations by name, in the order of the job. A fitter's own figures win over all of them."""

_MOST = {"m²": 10_000, "m": 10_000, "each": 100_000}


def _quantity(value: object, operation: Operation) -> float:
    """The quantity, checked by the unit it is counted in."""
    if operation.unit == "each":
        return float(require_whole(value, 0, _MOST["each"], operation.name))
    hint = "Write 12.6 for 12600 mm." if operation.unit == "m" else "Areas are in m², not mm²."
    return require_between(value, 0, _MOST[operation.unit], operation.name, unit=operation.unit, hint=hint)


def hours(
    quantities: Mapping[str, float],
    *,
    first_timer: bool = False,
    first_timer_factor: float = FIRST_TIMER_FACTOR,
    operations: Mapping[str, Operation] = OPERATIONS,
) -> pd.DataFrame:
    """One person's hours for each operation, in the order of the job, not rounded.

    Parameters
    ----------
    quantities
        How much of each operation, by its name: 0 to 10 000 m², 0 to 10 000 m, or a whole number of things.
    first_timer
        Whether the floor is laid by someone for the first time; all hours are then multiplied.
    first_timer_factor
        How many times longer that takes, 1 to 5.
    operations
        Hours for each unit; `OPERATIONS`, or a fitter's own.

    Returns
    -------
    DataFrame
        `operation`, `quantity`, `unit`, `low_h` and `high_h` [h], `share` (0 to 1 of the middles of all ranges; 0 where
        there are no hours at all), `basis`.

    Raises
    ------
    ValueError
        For no quantities, an unknown operation, or a quantity or factor outside its range.

    References
    ----------
    The `basis` of each operation. Twice as long for a first-timer: common practice, no source.

    Examples
    --------
    >>> hours({"door bars": 4, "easing doors": 3})[["operation", "low_h", "high_h"]].round(2).values.tolist()
    [['door bars', 1.0, 1.33], ['easing doors', 1.0, 2.0]]
    """
    require_between(first_timer_factor, 1, 5, "first-timer factor", hint="Write twice as long as 2.")
    if not quantities:
        raise ValueError("quantities must name at least one operation, got none.")
    for name in quantities:
        require_one_of(name, operations, "operation")
    factor = first_timer_factor if first_timer else 1.0
    rows = []
    for name, operation in operations.items():
        if name in quantities:
            quantity = _quantity(quantities[name], operation)
            low_h, high_h = (quantity * each * factor for each in (operation.hours_low, operation.hours_high))
            rows.append((name, quantity, operation.unit, low_h, high_h, operation.basis))
    table = pd.DataFrame(rows, columns=["operation", "quantity", "unit", "low_h", "high_h", "basis"])
    middle = table["low_h"] + table["high_h"]
    table.insert(5, "share", middle / middle.sum() if middle.sum() > 0 else 0.0)
    return table


def total_h(table: pd.DataFrame) -> tuple[float, float]:
    """Hours of all operations, quickest and slowest, not rounded [h].

    Parameters
    ----------
    table
        As `hours` gives it.

    Examples
    --------
    >>> total_h(hours({"setting out": 2, "moving furniture": 1}))
    (1.0, 3.0)
    """
    return float(table["low_h"].sum()), float(table["high_h"].sum())


def hours_in_words(table: pd.DataFrame) -> str:
    """The total, rounded outward to half an hour, and where it goes: the largest three operations.

    Parameters
    ----------
    table
        As `hours` gives it.

    Examples
    --------
    >>> hours_in_words(hours({"undercutting frames": 4, "easing doors": 4, "door bars": 4}))
    "3 to 6 hours of one person's work: easing doors 43 %, undercutting frames 32 %, door bars 25 %."
    """
    least_h, most_h = total_h(table)
    if most_h == 0:
        return "No hours: every quantity is 0."
    least, most = -ceil_clean(-2 * least_h) / 2, ceil_clean(2 * most_h) / 2
    span = f"{most:g} hour{'' if most == 1 else 's'}" if least == most else f"{least:g} to {most:g} hours"
    spent = table[table["share"] > 0]
    if len(spent) == 1:
        return f"{span} of one person's work, all of it {spent['operation'].iloc[0]}."
    largest = spent.sort_values("share", ascending=False, kind="stable").head(3)
    parts = ", ".join(f"{row.operation} {100 * row.share:.0f} %" for row in records(largest))
    return f"{span} of one person's work{': ' if len(spent) <= 3 else ', of which '}{parts}."


# ---------------------------------------------------------------------- price-book rates


def _exact(value: float | Decimal) -> Decimal:
    """The decimal a person wrote: 1.05 is 1.05, not the binary fraction next to it."""
    return value if isinstance(value, Decimal) else Decimal(str(float(value)))


@dataclass(frozen=True)
class RateLine:
    """One line of a rate: so much of something at a price for each unit.

    Parameters
    ----------
    quantity
        Hours, metres, square metres or pieces for one unit of the work, 0 to 1 000 000.
    unit_price
        Price of one of them, 0 to 1 000 000.
    item
        What it is; names the line in complaints.

    Raises
    ------
    ValueError
        Outside those ranges.
    """

    quantity: float | Decimal
    unit_price: float | Decimal
    item: str = ""

    def __post_init__(self) -> None:
        of_item = f" of {self.item}" if self.item else ""
        require_between(self.quantity, 0, 1_000_000, f"quantity{of_item}")
        require_between(self.unit_price, 0, 1_000_000, f"unit price{of_item}")

    @property
    def amount(self) -> Decimal:
        """Quantity times unit price, rounded half up to a hundredth."""
        return (_exact(self.quantity) * _exact(self.unit_price)).quantize(HUNDREDTH, rounding=ROUND_HALF_UP)


def rate(lines: Iterable[RateLine]) -> Decimal:
    """Price of one unit of work: every line rounded half up to a hundredth, then summed.

    Parameters
    ----------
    lines
        Labour, materials and the rest; 0.00 where there are none.

    References
    ----------
    BCCA, edition 2024-01, whose printed rates come out only so. Its attribution line is `BCCA_ATTRIBUTION`.

    Examples
    --------
    A brass cover strip, a metre: .08 h of a mason and labourer at 45.18, and the strip.

    >>> rate([RateLine(0.08, 45.18), RateLine(1, 2.96)])
    Decimal('6.57')
    """
    return sum((line.amount for line in lines), Decimal("0.00"))
