"""Cutting pieces from stock lengths: which lengths to buy, what to cut from each, and a bound none can go below.

Pieces and saw cuts fit on a length when the sum of (piece + kerf) is at most the length + kerf, because the last piece
needs no cut after it. So kerf is added to every piece and every stock length, and nothing else changes.

The methods are well known: a lower bound by Martello and Toth (Knapsack Problems, 1990, ch. 8), first fit decreasing,
filling each length as full as can be, and column generation by Gilmore and Gomory (Operations Research 9, 1961, 849)
with one whole-number program over the patterns found. References from memory.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from flooring_kit.checks import met, require_between, require_number, shown, tenths_up

Pattern = tuple[int, ...]
"""How many of each distinct length are cut from one stock length."""

Cut = tuple[int, Pattern]
"""Which stock length, and the pattern cut from it."""

CUT_COLUMNS = ["stock", "stock_length_mm", "piece", "at_mm", "length_mm"]
MOST_ROUNDS = 2000
MOST_NODES, MOST_NODES_OF_ALL = 20_000, 10
"""Nodes of the whole-number program, over the patterns found and over all there are; counts and not times, so that
every machine finds the same."""

MOST_PATTERNS = 1200
"""Patterns up to which all are listed, and the whole-number program is a proof."""

DUST, SLACK = 1e-9, 1e-6
LONGEST_MM = 100_000.0


@dataclass(frozen=True, eq=False)
class StockCuts:
    """Stock lengths to buy and the pieces cut from each.

    Attributes
    ----------
    lengths_needed, lengths_bound
        Stock lengths cut into, and a number no cutting can go below.
    cuts : DataFrame
        One row a piece: `stock` (number of the stock length, from 1), `stock_length_mm`, `piece` (label, or place in
        the list from 0), `at_mm` (from the end sawn first), `length_mm`.
    price, price_bound
        What the lengths cost, and a sum none can go below; stock metres where no prices are given.
    """

    lengths_needed: int
    lengths_bound: int
    cuts: pd.DataFrame
    price: float
    price_bound: float

    @property
    def proved(self) -> bool:
        """Whether no cutting costs less."""
        return self.price <= self.price_bound * (1 + 1e-9) + 1e-9


def cut_from_stock(
    pieces_mm: Sequence[float] | Mapping[Any, float] | pd.Series[float],
    *,
    stock_lengths_mm: Sequence[float],
    kerf_mm: float = 3.0,
    prices: Sequence[float] | Mapping[float, float] | None = None,
) -> StockCuts:
    """Pieces cut from the cheapest stock lengths; from the fewest where there is one length.

    Parameters
    ----------
    pieces_mm
        Lengths to cut, each over 0, rounded up to a tenth; labels of a mapping or a Series name the pieces [mm].
    stock_lengths_mm
        Lengths on sale, any number of each [mm].
    kerf_mm
        Width of a saw cut, 0 to 20 [mm].
    prices
        Price of each stock length, in the same order, or by its length: {2400: 5.20, 3000: 6.10}; where None a length
        costs what it measures.

    Raises
    ------
    ValueError
        For lengths that are not over 0, pieces longer than the longest stock length (all at once), no stock length, a
        single figure where a list is wanted, or prices that do not match the lengths.

    Examples
    --------
    Three skirting beads from lengths of 2.4 m:

    >>> cut = cut_from_stock([2310, 940, 1455], stock_lengths_mm=[2400], kerf_mm=3)
    >>> cut.lengths_needed, cut.lengths_bound
    (2, 2)
    """
    labels, lengths = _pieces(pieces_mm)
    kerf = tenths_up(require_between(kerf_mm, 0, 20, "saw kerf", unit="mm"))
    stock = _stock(stock_lengths_mm, prices)
    _require_fits(labels, lengths, stock[0][0])
    if not lengths:
        return StockCuts(0, 0, pd.DataFrame(columns=CUT_COLUMNS), 0.0, 0.0)
    task = _task([length + kerf for length in lengths], [size + kerf for size, _ in stock])
    fewest = _fewest_at_least(task.sizes, task.wanted, task.rooms[0])
    if len(stock) == 1:
        price = stock[0][1]
        chosen, least = _cheapest(task, [1.0], fewest)
        fewest = max(fewest, math.ceil(least - SLACK))
        spent, least = len(chosen) * price, fewest * price
    else:
        chosen, least = _cheapest(task, [price for _, price in stock], 0.0)
        spent = math.fsum(stock[which][1] for which, _ in chosen)
    return StockCuts(len(chosen), fewest, _table(labels, lengths, stock, chosen, kerf), spent, min(least, spent))


# ---------------------------------------------------------------------- what is asked


def _pieces(pieces_mm: Any) -> tuple[list[Any], list[int]]:
    """Labels and lengths in tenths."""
    if isinstance(pieces_mm, pd.Series):
        labels, values = list(pieces_mm.index), pieces_mm.tolist()
    elif isinstance(pieces_mm, Mapping):
        labels, values = list(pieces_mm), list(pieces_mm.values())
    else:
        values = _listed(pieces_mm, "pieces", "of lengths in mm")
        labels = list(range(len(values)))
    faults = []
    lengths: list[int] = []
    for label, value in zip(labels, values, strict=True):
        try:
            length = require_number(value, f"piece {label}", unit="mm")
        except ValueError as fault:
            faults.append(str(fault))
            continue
        if not 0 < length <= LONGEST_MM:
            faults.append(f"piece {label} must be longer than 0 and at most {LONGEST_MM:g} mm, got {shown(length)} mm.")
        lengths.append(max(1, tenths_up(length)))
    if faults:
        raise ValueError(" ".join(faults))
    return labels, lengths


def _listed(values: Any, name: str, of_what: str) -> list[Any]:
    """The values as a list; text is no list, nor is a table or a mapping."""
    is_list = isinstance(values, Iterable) and not isinstance(values, str | bytes | Mapping | pd.DataFrame)
    if not is_list or getattr(values, "ndim", 1) != 1:
        one = f" Write [{shown(values)}] for one." if isinstance(values, int | float) else ""
        raise ValueError(f"{name} must be a list {of_what}, got {met(values)}.{one}")
    return list(values)


def _stock(stock_lengths_mm: Any, prices: Any) -> list[tuple[int, float]]:
    """Stock lengths in tenths with their prices, longest first; of equal lengths the cheapest."""
    lengths = _listed(stock_lengths_mm, "stock lengths", "of lengths in mm")
    if not lengths:
        raise ValueError("There is no stock length to cut from.")
    sizes = [require_between(size, 0.1, LONGEST_MM, "stock length", unit="mm") for size in lengths]
    given = [size / 1000 for size in sizes]
    if isinstance(prices, Mapping):
        prices = _in_order_of(sizes, prices)
    if prices is not None:
        listed = _listed(prices, "prices", "with one for each stock length")
        given = [require_between(price, 0.001, 1e6, "price of a stock length") for price in listed]
    if len(given) != len(sizes):
        raise ValueError(f"prices must be one for each stock length, got {len(given)} for {len(sizes)}.")
    cheapest: dict[int, float] = {}
    for size, price in zip(sizes, given, strict=True):
        tenths = math.floor(size * 10 + 1e-4)
        cheapest[tenths] = min(price, cheapest.get(tenths, math.inf))
    return sorted(cheapest.items(), reverse=True)


def _in_order_of(sizes: Sequence[float], prices: Mapping[Any, Any]) -> list[Any]:
    """Prices given by length, in the order of the stock lengths."""
    by_length = {require_number(length, "a length in prices", unit="mm"): price for length, price in prices.items()}
    missing = [shown(size) for size in sizes if size not in by_length]
    unknown = [shown(length) for length in by_length if length not in sizes]
    faults = []
    if missing:
        faults.append(f"There is no price for {' and '.join(missing)} mm.")
    if unknown:
        faults.append(f"There is a price for {' and '.join(unknown)} mm, which is not among the stock lengths.")
    if faults:
        raise ValueError(f"prices must name each stock length once, in mm. {' '.join(faults)}")
    return [by_length[size] for size in sizes]


def _require_fits(labels: Sequence[Any], lengths: Sequence[int], longest: int) -> None:
    too_long = [
        f"Piece {label} is {length / 10:g} mm long."
        for label, length in zip(labels, lengths, strict=True)
        if length > longest
    ]
    if too_long:
        raise ValueError(
            f"The longest stock length is {longest / 10:g} mm. {' '.join(too_long)} "
            "Choose a longer stock length, or join two pieces."
        )


# ---------------------------------------------------------------------- the search


@dataclass(frozen=True)
class _Task:
    """Distinct lengths, longest first, with how many of each are wanted, and the stock lengths, longest first.

    Kerf added, and a divisor that all lengths share taken out: it makes the tables of the knapsack shorter.
    """

    sizes: tuple[int, ...]
    wanted: tuple[int, ...]
    rooms: tuple[int, ...]


def _task(pieces: Sequence[int], stocks: Sequence[int]) -> _Task:
    counts = Counter(pieces)
    sizes = sorted(counts, reverse=True)
    shared = math.gcd(*sizes)
    return _Task(
        tuple(size // shared for size in sizes),
        tuple(counts[size] for size in sizes),
        tuple(stock // shared for stock in stocks),
    )


def _cheapest(task: _Task, prices: Sequence[float], least: float) -> tuple[list[Cut], float]:
    """Stock lengths with their patterns, and a price none can go below; the search ends at `least`."""

    def price_of(chosen: list[Cut]) -> float:
        return math.fsum(prices[which] for which, _ in chosen)

    best: list[Cut] | None = None
    found: list[Pattern] = []
    for patterns in (_longest_first(task), _as_full_as_can_be(task)):
        found += patterns
        chosen = [_cheapest_that_holds(pattern, task, prices) for pattern in patterns]
        best = chosen if best is None or price_of(chosen) < price_of(best) - SLACK else best
        if price_of(best) <= least + SLACK:
            return best, least
    assert best is not None
    whole = all(price == 1.0 for price in prices)  # then so is any total, and a bound may be rounded up
    columns, bound = _priced_patterns(task, prices, found, enough=price_of(best) - whole * (1 - SLACK))
    if bound > price_of(best) - whole * (1 - SLACK):
        return best, bound
    bound = max(bound, least)
    chosen, _ = _whole_number_choice(task, prices, columns, nodes=MOST_NODES)
    if chosen and price_of(chosen) < price_of(best) - SLACK:
        best = chosen
    every = _every_pattern(task) if price_of(best) > bound + SLACK else None
    if every is not None:
        chosen, proof = _whole_number_choice(task, prices, every, nodes=MOST_NODES_OF_ALL)
        if chosen and price_of(chosen) < price_of(best) - SLACK:
            best = chosen
        bound = max(bound, min(proof, price_of(best)))
    return best, bound


def _fewest_at_least(sizes: Sequence[int], wanted: Sequence[int], room: int) -> int:
    """Martello and Toth's bound L2 on the number of lengths.

    For a limit a, pieces over room - a lie alone, those over half the room in a length each, and what pieces of a to
    half the room do not find beside them needs lengths of its own.

    >>> _fewest_at_least([60, 40, 30], [2, 1, 3], 100)
    3
    """
    size, count = np.array(sizes), np.array(wanted)
    most = -(-int((size * count).sum()) // room)
    for limit in sorted({each for each in sizes if 2 * each <= room} | {0}):
        alone = size > room - limit
        large = (2 * size > room) & ~alone
        small = (2 * size <= room) & (size >= limit)
        free = int(count[large].sum()) * room - int((size * count)[large].sum())
        over = int((size * count)[small].sum()) - free
        most = max(most, int(count[alone].sum() + count[large].sum()) + max(0, -(-over // room)))
    return most


def _longest_first(task: _Task) -> list[Pattern]:
    """First fit decreasing on the longest stock: each length takes the longest piece left that fits."""
    return _one_by_one(task, lambda left, room: _greedy(task.sizes, left, room))


def _as_full_as_can_be(task: _Task) -> list[Pattern]:
    """The longest piece left, and beside it whatever fills the length best."""

    def fullest(left: Sequence[int], room: int) -> Pattern:
        first = next(i for i, count in enumerate(left) if count)
        rest = [count - (i == first) for i, count in enumerate(left)]
        beside = room - task.sizes[first]
        pattern = _filled(task.sizes, rest, [float(size) for size in task.sizes], beside).pattern(beside)
        return tuple(count + (i == first) for i, count in enumerate(pattern))

    return _one_by_one(task, fullest)


def _one_by_one(task: _Task, fill: Callable[[Sequence[int], int], Pattern]) -> list[Pattern]:
    """Patterns that cut everything, each used as often as pieces last."""
    left = list(task.wanted)
    patterns: list[Pattern] = []
    while any(left):
        pattern = fill(left, task.rooms[0])
        times = min(count // each for count, each in zip(left, pattern, strict=True) if each)
        patterns += [pattern] * times
        left = [count - times * each for count, each in zip(left, pattern, strict=True)]
    return patterns


def _greedy(sizes: Sequence[int], left: Sequence[int], room: int) -> Pattern:
    pattern = []
    for size, count in zip(sizes, left, strict=True):
        pattern.append(min(count, room // size))
        room -= size * pattern[-1]
    return tuple(pattern)


@dataclass(frozen=True, eq=False)
class _Filling:
    """A bounded knapsack worked out for every room up to the largest.

    Copies of one length are taken in lots of 1, 2, 4 ... so that few lots make up any number.

    Attributes
    ----------
    worth
        Most worth that fits in each room.
    sizes, lots
        Lengths, and for each lot its length, its copies, and in which rooms it is taken, less its own size.
    """

    worth: NDArray[np.float64]
    sizes: Sequence[int]
    lots: Sequence[tuple[int, int, NDArray[np.bool_]]]

    def pattern(self, room: int) -> Pattern:
        """The pattern that has the most worth in a room."""
        pattern = [0] * len(self.sizes)
        for i, lot, taken in reversed(self.lots):
            rest = room - lot * self.sizes[i]
            if rest >= 0 and taken[rest]:
                pattern[i] += lot
                room = rest
        return tuple(pattern)


def _filled(sizes: Sequence[int], most: Sequence[int], worth: Sequence[float], room: int) -> _Filling:
    best = np.zeros(room + 1)
    lots: list[tuple[int, int, NDArray[np.bool_]]] = []
    for i, (size, limit, each) in enumerate(zip(sizes, most, worth, strict=True)):
        copies, lot = min(limit, room // size), 1
        while copies > 0 and each > 0:
            lot = min(lot, copies)
            with_lot = best[: room + 1 - lot * size] + lot * each
            taken = with_lot > best[lot * size :] + DUST
            best[lot * size :][taken] = with_lot[taken]
            lots.append((i, lot, taken))
            copies -= lot
            lot *= 2
    return _Filling(best, sizes, lots)


def _cheapest_that_holds(pattern: Pattern, task: _Task, prices: Sequence[float]) -> Cut:
    used = sum(size * count for size, count in zip(task.sizes, pattern, strict=True))
    fitting = [which for which, room in enumerate(task.rooms) if used <= room]
    return min(fitting, key=lambda which: prices[which]), pattern


def _priced_patterns(
    task: _Task, prices: Sequence[float], found: Sequence[Pattern], *, enough: float
) -> tuple[list[Cut], float]:
    """Patterns worth choosing from, and the linear program's price: column generation.

    The program's duals say what each piece is worth; a knapsack finds the pattern worth most for each stock length.
    Duals made smaller until no pattern is worth more than its length costs are a bound at every round (Farley,
    Operations Research 38, 1990, 922; from memory). Ends early at a bound over `enough`.
    """
    from scipy.optimize import linprog

    kinds = len(task.sizes)
    columns = list(dict.fromkeys(_cheapest_that_holds(pattern, task, prices) for pattern in found))
    for i in range(kinds):
        alone = tuple(min(task.wanted[i], task.rooms[0] // task.sizes[i]) * (j == i) for j in range(kinds))
        columns.append(_cheapest_that_holds(alone, task, prices))
    columns = list(dict.fromkeys(columns))
    known = set(columns)
    bound = 0.0
    for _ in range(MOST_ROUNDS):
        cost = np.array([prices[which] for which, _ in columns])
        cover = np.array([pattern for _, pattern in columns], dtype=float).T
        solved = linprog(cost, A_ub=-cover, b_ub=-np.array(task.wanted, dtype=float), method="highs")
        worth = np.maximum(0.0, -solved.ineqlin.marginals)
        filling = _filled(task.sizes, task.wanted, worth.tolist(), task.rooms[0])
        each = [(room, price, float(filling.worth[room])) for room, price in zip(task.rooms, prices, strict=True)]
        over = max(most / price for _, price, most in each)
        bound = max(bound, float(worth @ task.wanted) / max(1.0, over))
        if bound > enough:
            break
        better = [
            (which, filling.pattern(room)) for which, (room, price, most) in enumerate(each) if most > price + DUST
        ]
        fresh = [column for column in better if column not in known]
        if not fresh:
            break
        columns += fresh
        known.update(fresh)
    return columns, bound


def _every_pattern(task: _Task) -> list[Cut] | None:
    """Every pattern to which no piece can be added, for each stock length; None where there are too many.

    A choice among all of them is proved by the whole-number program itself.
    """
    found: list[Cut] = []
    for which, room in enumerate(task.rooms):
        open_: list[tuple[Pattern, int]] = [
            ((), room)
        ]  # patterns begun, longest pieces first, and the room each has left
        for size, count in zip(task.sizes, task.wanted, strict=True):
            open_ = [
                ((*pattern, times), left - times * size)
                for pattern, left in open_
                for times in range(min(count, left // size) + 1)
            ]
            if len(open_) > MOST_PATTERNS:
                return None
        found += [(which, pattern) for pattern, left in open_ if _is_full(pattern, left, task)]
    return found if len(found) <= MOST_PATTERNS else None


def _is_full(pattern: Pattern, left: int, task: _Task) -> bool:
    pieces = zip(task.sizes, task.wanted, pattern, strict=True)
    return any(pattern) and all(size > left or times == count for size, count, times in pieces)


def _whole_number_choice(
    task: _Task, prices: Sequence[float], columns: Sequence[Cut], *, nodes: int
) -> tuple[list[Cut], float]:
    """The cheapest whole-number choice of patterns that cuts everything, empty where none was found in time; and a
    price that no choice among these patterns goes below."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    cover = np.array([pattern for _, pattern in columns], dtype=float).T
    solved = milp(
        np.array([prices[which] for which, _ in columns]),
        constraints=LinearConstraint(cover, lb=np.array(task.wanted, dtype=float)),
        integrality=np.ones(len(columns)),
        bounds=Bounds(0, np.inf),
        options={"node_limit": nodes},
    )
    if solved.x is None:
        return [], 0.0
    left = list(task.wanted)
    chosen: list[Cut] = []
    for times, (_, pattern) in zip(np.round(solved.x).astype(int).tolist(), columns, strict=True):
        for _ in range(times):
            used = tuple(min(each, count) for each, count in zip(pattern, left, strict=True))
            if any(used):
                left = [count - each for count, each in zip(left, used, strict=True)]
                chosen.append(_cheapest_that_holds(used, task, prices))
    return [] if any(left) else chosen, float(solved.mip_dual_bound)


# ---------------------------------------------------------------------- the cutting list


def _table(
    labels: Sequence[Any], lengths: Sequence[int], stock: Sequence[tuple[int, float]], chosen: Sequence[Cut], kerf: int
) -> pd.DataFrame:
    """Pieces in the order of stock lengths, the longest first on each."""
    waiting: dict[int, list[Any]] = {}
    for label, length in zip(labels, lengths, strict=True):
        waiting.setdefault(length, []).append(label)
    sizes = sorted(waiting, reverse=True)
    rows = []
    for number, (which, pattern) in enumerate(sorted(chosen, key=lambda cut: (cut[0], [-n for n in cut[1]])), start=1):
        at = 0
        for size, count in zip(sizes, pattern, strict=True):
            for _ in range(count):
                rows.append((number, stock[which][0] / 10, waiting[size].pop(0), at / 10, size / 10))
                at += size + kerf
    return pd.DataFrame(rows, columns=CUT_COLUMNS)
