"""The chance that what is bought runs short, and whether one pack more is worth its price.

Rooms measured anew (:mod:`flooring_kit.measuring_errors`) say what the floor may take; boards break and saws slip on
top of that. Many jobs are drawn, each in one of those rooms with its own breakages and miscuts, and those that run out
are counted::

    survey --> measured anew, set out again   --> 10 000 jobs --> 3 of 100 run short
               (25 times, a plan each)            (one of the 25 rooms, boards broken, pieces miscut)
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from flooring_kit.checks import require_between, require_whole
from flooring_kit.measuring_errors import Replan, Tolerances
from flooring_kit.pricing import amount
from flooring_kit.takeoff import TakeOff

CHANCE_COLUMNS = ["bought", "chance_fraction"]

AMPLE, ENOUGH, EVEN = 0.99, 0.90, 0.50
"""Shares of jobs from which what is bought is called ample, enough and just enough. The kit's own choice of words."""


@dataclass(frozen=True)
class Bought:
    """What is bought for a room.

    Parameters
    ----------
    packs, boards_per_pack
        Packs of boards, 1 to 100 000, and what each holds, 1 to 100.
    kept_for_repairs
        Boards of these that must be left when the floor is down, 0 to 1000.
    underlay_packs, trim_lengths
        Packs of underlay and stock lengths of trim, 0 to 100 000; None where they are left out of account.
    """

    packs: int
    boards_per_pack: int
    kept_for_repairs: int = 0
    underlay_packs: int | None = None
    trim_lengths: int | None = None

    def __post_init__(self) -> None:
        limits = {
            "packs": (1, 100_000, "packs of boards"),
            "boards_per_pack": (1, 100, "boards per pack"),
            "kept_for_repairs": (0, 1000, "boards kept for repairs"),
            "underlay_packs": (0, 100_000, "packs of underlay"),
            "trim_lengths": (0, 100_000, "lengths of trim"),
        }
        for name, (low, high, words) in limits.items():
            if getattr(self, name) is not None:
                object.__setattr__(self, name, require_whole(getattr(self, name), low, high, words))  # 5.0 typed for 5

    @classmethod
    def ordered(cls, counted: TakeOff) -> Bought:
        """What a take-off orders, its boards for repairs kept."""
        boards = counted.boards
        return cls(
            boards.packs, boards.boards_per_pack, boards.for_repairs, counted.underlay.packs, counted.trim_lengths
        )


@dataclass(frozen=True, eq=False)
class Chance:
    """The chance that so many of one thing are too few.

    Parameters
    ----------
    thing
        What is bought: "pack", "pack of underlay", "length of trim".
    bought
        How many.
    table : DataFrame
        One row a number bought, from one fewer to two more: `bought`, `chance_fraction`.
    draws, error_fraction
        Jobs drawn, and the standard error of the chance for what is bought: few rooms measured anew say little.
    """

    thing: str
    bought: int
    table: pd.DataFrame
    draws: int
    error_fraction: float

    @property
    def chance_fraction(self) -> float:
        """Chance that what is bought runs short."""
        return self.chance_of(self.bought)

    @property
    def chance_with_one_more(self) -> float:
        """Chance that one more runs short."""
        return self.chance_of(self.bought + 1)

    def chance_of(self, number: int) -> float:
        """Chance that so many run short; a number of the table.

        Raises
        ------
        ValueError
            For a number the table does not hold.
        """
        told = dict(zip(self.table["bought"].tolist(), self.table["chance_fraction"].tolist(), strict=True))
        require_whole(number, min(told), max(told), f"{_plural(self.thing)} asked about")
        return float(told[int(number)])

    @property
    def just_enough(self) -> str:
        """How far what is bought is enough, in a word and as a percentage of jobs."""
        enough = 1 - self.chance_fraction
        word = next(
            (word for least, word in ((AMPLE, "Ample"), (ENOUGH, "Enough"), (EVEN, "Just enough")) if enough >= least),
            "Not enough",
        )
        holds = "holds" if self.bought == 1 else "hold"
        return f"{word}: {counted_thing(self.bought, self.thing)} {holds} in {_percent(enough)} of jobs."

    def sentence(self) -> str:
        """The chance for what is bought and for one more, in words."""
        runs = "runs" if self.bought == 1 else "run"
        return (
            f"{counted_thing(self.bought, self.thing)} {runs} short in {_in_jobs(self.chance_fraction, self.draws)}; "
            f"{self.bought + 1} in {_in_jobs(self.chance_with_one_more, self.draws)}."
        )


@dataclass(frozen=True, eq=False)
class Shortage:
    """The chances that what is bought for a room runs short.

    Parameters
    ----------
    boards, underlay, trim
        One for each; None for what was left out of account.
    anything_fraction
        Chance that at least one of them runs short.
    replans
        Rooms measured anew that the draws come from.
    """

    boards: Chance
    underlay: Chance | None
    trim: Chance | None
    anything_fraction: float
    replans: int

    @property
    def chances(self) -> tuple[Chance, ...]:
        """Those taken into account."""
        return tuple(chance for chance in (self.boards, self.underlay, self.trim) if chance is not None)

    def sentence(self) -> str:
        """The chance for the boards, in words."""
        return self.boards.sentence()

    def sentences(self) -> list[str]:
        """Each chance in words, all of them together, and how far they can be trusted."""
        told = [chance.sentence() for chance in self.chances]
        if len(told) > 1:
            told.append(
                f"Something runs short in {_in_jobs(self.anything_fraction, self.boards.draws)}: most often "
                f"{_plural(max(self.chances, key=lambda chance: chance.chance_fraction).thing)}."
                if self.anything_fraction
                else f"Nothing runs short in any of {_spaced(self.boards.draws)} draws."
            )
        if self.replans == 1:
            return [*told, "Drawn from 1 room measured anew: too few to say how far a chance may be out."]
        error = max(1, math.ceil(max(chance.error_fraction for chance in self.chances) * 100 - 1e-9))
        trust = f"a chance may be {error} in 100 out either way"
        return [*told, f"Drawn from {self.replans} rooms measured anew: {trust}."]


def chances(
    replans: Iterable[Replan], bought: Bought, tolerances: Tolerances, *, draws: int = 10_000, seed: int = 0
) -> Shortage:
    """The chance that what is bought runs short, counted over jobs drawn at random.

    Parameters
    ----------
    replans
        Rooms measured anew, as from :func:`replans`; as many as have come.
    bought
        What is bought.
    tolerances
        Breakage and miscuts.
    draws
        Jobs to draw, 100 to 1 000 000.
    seed
        Another whole number draws other jobs. With the same one, higher chances of breaking or miscutting never lower
        the chance of running short.

    Raises
    ------
    ValueError
        For no rooms, for rooms without the underlay or trim that is bought, and outside those ranges.

    Notes
    -----
    A job lies in one of the rooms, each as likely. Broken boards are binomial over the boards of its plan, miscuts over
    its sawn pieces; each costs a fresh board, and a miscut trim a fresh length, as if nothing of them could be used
    again. That asks for a little too much. Underlay has no miscuts: it is cut with a knife and taped.

    Examples
    --------
    Of two rooms one takes 16 boards and one 17; nothing breaks. Two packs of 8 run short in the second:

    >>> rooms = [Replan(16, 10), Replan(17, 10)]
    >>> careful = Tolerances(breakage_fraction=0, miscut_fraction=0)
    >>> chances(rooms, Bought(2, 8), careful).sentence()
    '2 packs run short in 50 of 100 jobs; 3 in none of 10 000 draws.'
    """
    rooms = list(replans)
    jobs = require_whole(draws, 100, 1_000_000, "draws")
    generator = np.random.default_rng(require_whole(seed, 0, 2**31, "seed"))
    _require_counted(rooms, bought)
    # the same four numbers for every job whatever the tolerances, so that only these make a difference
    room, breaking, cutting, trimming = generator.random((4, jobs))
    which = np.minimum((room * len(rooms)).astype(np.int64), len(rooms) - 1)
    boards = np.array([each.boards_needed for each in rooms])[which]
    sawn = np.array([each.sawn_pieces for each in rooms])[which]
    boards += _binomial(breaking, boards, tolerances.breakage_fraction)
    boards += _binomial(cutting, sawn, tolerances.miscut_fraction)
    packs = -(-(boards + bought.kept_for_repairs) // bought.boards_per_pack)
    wanted = {"pack": (packs, bought.packs)}
    if bought.underlay_packs is not None:
        wanted["pack of underlay"] = np.array([each.underlay_packs for each in rooms])[which], bought.underlay_packs
    if bought.trim_lengths is not None:
        pieces = np.array([each.trim_pieces for each in rooms])[which]
        lengths = np.array([each.trim_lengths for each in rooms])[which]
        lengths += _binomial(trimming, pieces, tolerances.miscut_fraction)
        wanted["length of trim"] = lengths, bought.trim_lengths
    told = {thing: _chance(thing, need, number, which) for thing, (need, number) in wanted.items()}
    short = np.any([need > number for need, number in wanted.values()], axis=0)
    return Shortage(
        told["pack"], told.get("pack of underlay"), told.get("length of trim"), float(short.mean()), len(rooms)
    )


def _require_counted(rooms: list[Replan], bought: Bought) -> None:
    if not rooms:
        raise ValueError("No room has been measured anew yet: a chance needs at least one.")
    if bought.underlay_packs is not None and any(each.underlay_packs is None for each in rooms):
        raise ValueError("Packs of underlay are bought, but the rooms measured anew were counted without underlay.")
    if bought.trim_lengths is not None and any(each.trim_lengths is None for each in rooms):
        raise ValueError("Lengths of trim are bought, but the rooms measured anew were counted without trim.")


def _binomial(drawn: NDArray[np.float64], tries: NDArray[np.int64], chance: float) -> NDArray[np.int64]:
    """How many of so many tries happen, from a number between 0 and 1 for each: the distribution read backwards."""
    from scipy.special import bdtr  # a third of a second: only when jobs are drawn

    happened = np.zeros(len(drawn), dtype=np.int64)
    for number in np.unique(tries).tolist():
        here = tries == number
        at_most = bdtr(np.arange(number + 1), number, chance)
        happened[here] = np.searchsorted(at_most, drawn[here]).clip(0, number)
    return happened


def _chance(thing: str, need: NDArray[np.int64], bought: int, which: NDArray[np.int64]) -> Chance:
    numbers = range(max(0, bought - 1), bought + 3)
    table = pd.DataFrame([(number, float((need > number).mean())) for number in numbers], columns=CHANCE_COLUMNS)
    short = pd.Series(need > bought).groupby(which).mean()
    among_jobs = float((need > bought).mean())
    spread = float(short.var(ddof=1)) / len(short) if len(short) > 1 else 0.0
    return Chance(thing, bought, table, len(need), math.sqrt(max(spread, among_jobs * (1 - among_jobs) / len(need))))


# ---------------------------------------------------------------------- one pack more


@dataclass(frozen=True)
class AnotherPack:
    """What one pack more costs against the chance of stopping for it.

    Parameters
    ----------
    chance_now, chance_more
        Chance of running short with what is bought, and with one more.
    pack_price, stopping_price
        Price of that pack, and of stopping to fetch it, the pack itself not counted [currency].
    currency
        Sign put before amounts.
    """

    chance_now: float
    chance_more: float
    pack_price: float
    stopping_price: float
    currency: str = "£"

    @property
    def cost_now(self) -> Decimal:
        """What running short costs on average as things are: the stop, and the pack fetched then [currency]."""
        return amount(self.chance_now, self.pack_price + self.stopping_price)

    @property
    def cost_more(self) -> Decimal:
        """What one more costs, and running short on average even so [currency]."""
        return amount(1, self.pack_price) + amount(self.chance_more, self.pack_price + self.stopping_price)

    @property
    def is_worth_it(self) -> bool:
        """Whether one more costs less on average."""
        return self.cost_more < self.cost_now

    @property
    def pays_from_stopping_price(self) -> float | None:
        """Price of stopping from which one more pays [currency]; None where it saves no stop."""
        saved = self.chance_now - self.chance_more
        return self.pack_price / saved - self.pack_price if saved > 0 else None

    def sentence(self) -> str:
        """Both ways in words, and which costs less."""
        pays_from = self.pays_from_stopping_price
        if pays_from is None:
            return f"One pack more costs {self._money(amount(1, self.pack_price))} and saves no stop: leave it."
        told = (
            f"As bought, stops cost {self._money(self.cost_now)} a job on average, the pack fetched then with them; "
            f"with one pack more {self._money(self.cost_more)}, its price with them."
        )
        if pays_from <= 0:
            return f"{told} Take it: it pays whatever a stop costs."
        if self.is_worth_it:
            return f"{told} Take it: it pays where a stop costs {self._money(amount(1, pays_from))} or more."
        return f"{told} Leave it: it would pay where a stop costs {self._money(amount(1, pays_from))} or more."

    def _money(self, value: Decimal) -> str:
        return f"{self.currency}{value:,.2f}"


def worth_another_pack(
    chance_now: float, chance_more: float, *, pack_price: float, stopping_price: float, currency: str = "£"
) -> AnotherPack:
    """Whether one pack more is cheaper than the chance of stopping for it.

    Parameters
    ----------
    chance_now, chance_more
        Chance of running short with what is bought, and with one more, which can't be higher; 0 to 1.
    pack_price
        Price of a pack, 0 to 100 000 [currency]; where it can be taken back, what is lost on it.
    stopping_price
        What stopping costs you besides the pack: a journey, a delivery, a day lost, another batch. Your own figure, 0
        to 1 000 000 [currency].
    currency
        Sign put before amounts.

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    Three stops in ten jobs at 38 + 120, against 38 for certain:

    >>> choice = worth_another_pack(0.3, 0.0, pack_price=38, stopping_price=120)
    >>> choice.cost_now, choice.cost_more, choice.is_worth_it
    (Decimal('47.40'), Decimal('38.00'), True)
    """
    require_between(chance_now, 0, 1, "chance with what is bought", hint="Write 3 % as 0.03.")
    require_between(chance_more, 0, 1, "chance with one pack more", hint="Write 3 % as 0.03.")
    if chance_more > chance_now:
        raise ValueError(
            f"chance with one pack more must be at most the chance with what is bought, got {chance_more:g} and "
            f"{chance_now:g}. Swap the two."
        )
    require_between(pack_price, 0, 100_000, "price of a pack")
    require_between(stopping_price, 0, 1_000_000, "price of stopping")
    return AnotherPack(chance_now, chance_more, pack_price, stopping_price, currency)


# ---------------------------------------------------------------------- in words


def _spaced(number: int) -> str:
    return f"{number:,}".replace(",", " ")


def _plural(thing: str) -> str:
    first, *rest = thing.split(" ", 1)
    return " ".join([f"{first}s", *rest])


def counted_thing(number: int, thing: str) -> str:
    """A number of packs or lengths in words.

    >>> counted_thing(1, "pack of underlay"), counted_thing(2, "pack of underlay")
    ('1 pack of underlay', '2 packs of underlay')
    """
    return f"{number} {thing if number == 1 else _plural(thing)}"


def _in_jobs(chance: float, draws: int) -> str:
    """A chance as so many of 100 jobs, of 1000 where it is small; never none or all unless every draw says so."""
    if chance == 0:
        return f"none of {_spaced(draws)} draws"
    if chance == 1:
        return f"all of {_spaced(draws)} draws"
    if chance > 0.99:
        return "over 99 of 100 jobs"
    if chance >= 0.01:
        return f"{round(chance * 100)} of 100 jobs"
    return f"{round(chance * 1000)} of 1000 jobs" if chance >= 0.001 else "under 1 of 1000 jobs"


def _percent(share: float) -> str:
    """A share in whole percents, never 0 or 100: draws prove neither."""
    if share < 0.01:
        return "under 1 %"
    return "over 99 %" if share > 0.99 else f"{share * 100:.0f} %"
