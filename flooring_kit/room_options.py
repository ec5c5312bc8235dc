"""Whole rooms side by side by kind of board: laminate, engineered and rigid vinyl planned, solid boards by a ratio.

Another kind of board changes more than its own price: the underlay it stands on, the height at the doors, the gap, the
longest floor without a break, the hours. So each option is a room of its own, with everything that goes with it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import pandas as pd

from flooring_kit.answers import Estimate, estimate_of_plan
from flooring_kit.checks import counted
from flooring_kit.choices import Choices
from flooring_kit.products import Board, Catalogue, Underlay
from flooring_kit.room import Room
from flooring_kit.setting_out import FirstRow, Plan, Search, set_out
from flooring_kit.suitability import misfits
from flooring_kit.tables import records
from flooring_kit.takeoff import take_off
from flooring_kit.whole_price import WholePrice, whole_price
from flooring_kit.work import work_hours

ROOM_OPTION_COLUMNS = [
    "board",
    "kind",
    "underlay",
    "price",
    "per_m2",
    "packs",
    "height_mm",
    "least_gap_mm",
    "doors_to_ease",
    "low_h",
    "high_h",
    "tog",
    "misfits",
]

SOLID_TO_LAMINATE = 1.6
"""Solid boards supplied and fitted over laminate supplied and fitted. Common practice, no source."""

KIND_WORDS = {
    "laminate": (
        "Laminate: a printed face that is never sanded, hard wearing, damp-shy at its joints. Moves with the air's "
        "humidity in both directions."
    ),
    "engineered": (
        "Engineered: a face of real wood on layers that hold it straight; sanded once or twice where the face is thick "
        "enough. Often sold at three to four times the price of laminate for the boards alone."
    ),
    "vinyl": (
        "Rigid vinyl: thin, and not hurt by water from above. Asks for a flatter and firmer base, an underlay of 200 "
        "kPa or more, and shade where the sun heats it."
    ),
}
"""What a kind brings with it. Common practice, no source; the leaflet of the board wins."""


@dataclass(frozen=True, eq=False)
class RoomOption:
    """One room with one board and all that goes with it.

    Parameters
    ----------
    estimate, whole
        The take-off, and its whole price.
    doors_to_ease
        Leaves that will not clear the new floor.
    hours
        Least and most hours of work for one person [h].
    """

    estimate: Estimate
    whole: WholePrice
    doors_to_ease: int
    hours: tuple[float, float]

    @property
    def board(self) -> Board:
        """The board."""
        return self.estimate.plan.board

    def changes(self, chosen_underlay: str) -> list[str]:
        """What this kind of board brings with it in this room, a sentence each.

        Parameters
        ----------
        chosen_underlay
            Name of the underlay asked for; another one is told with its reason.
        """
        told = [KIND_WORDS[self.board.kind]] if self.board.kind in KIND_WORDS else []
        if self.estimate.underlay.name != chosen_underlay:
            told.append(
                f"{self.estimate.underlay.name} instead of {chosen_underlay}, which does not suit this board here."
            )
        if self.doors_to_ease:
            leaves = "leaf" if self.doors_to_ease == 1 else "leaves"
            told.append(f"{self.doors_to_ease} door {leaves} to ease at {self.estimate.height_mm:g} mm.")
        return [*told, *(f"Does not suit: {each}" for each in self.estimate.misfits)]


def room_options(
    room: Room, choices: Choices, catalogue: Catalogue, *, boards: Sequence[str], quick: bool = False
) -> list[RoomOption]:
    """The room with each of several boards, each with an underlay that suits it.

    Parameters
    ----------
    room, choices, catalogue
        As for :func:`flooring_kit.estimate`. The chosen underlay is kept where it suits the board; else the one that
        costs least of those that suit.
    boards
        Names of the boards.
    quick
        True for plans good enough for a slider in motion.
    """
    return [_option(room, choices, catalogue, board=catalogue.board(name), quick=quick) for name in boards]


def _option(room: Room, choices: Choices, catalogue: Catalogue, *, board: Board, quick: bool) -> RoomOption:
    laying = choices.laying
    plan = set_out(
        room,
        board,
        rules=laying.rules,
        direction=laying.direction,
        first_row=FirstRow(laying.start, None),  # a width typed for one board is no width for another
        search=Search(quick, laying.seed),
    )
    underlay = suiting_underlay(plan, choices, catalogue)
    materials = replace(choices.materials, board=board.name, underlay=underlay.name)
    answers = estimate_of_plan(plan, replace(choices, materials=materials), catalogue)
    hours = work_hours(answers, catalogue)
    too_low = answers.leaves_too_low(catalogue.bars.values())
    return RoomOption(
        answers,
        whole_price(answers, catalogue),
        int((~too_low["fire_door"].astype(bool)).sum()),
        (float(hours["low_h"].sum()), float(hours["high_h"].sum())),
    )


def suiting_underlay(plan: Plan, choices: Choices, catalogue: Catalogue) -> Underlay:
    """The chosen underlay where it suits board and room; else the cheapest for this floor that does; else the chosen.

    Parameters
    ----------
    plan
        The floor with its board.
    choices
        The chosen underlay, and what is bought beyond need.
    catalogue
        Underlays on sale.
    """
    chosen = catalogue.underlay(choices.materials.underlay)
    suiting = [each for each in catalogue.underlays.values() if not misfits(plan.room, plan.board, each)]
    if chosen in suiting or not suiting:
        return chosen

    def cost(underlay: Underlay) -> float:
        packs = take_off(plan, underlay, None, buying=choices.buying).underlay.packs
        return float("inf") if underlay.pack_price is None else packs * underlay.pack_price

    return min(suiting, key=lambda underlay: (cost(underlay), underlay.name))


def room_options_table(options: Sequence[RoomOption]) -> pd.DataFrame:
    """Rooms side by side.

    Returns
    -------
    DataFrame
        One row an option: `board`, `kind`, `underlay`, `price` (all in, with tax; NaN where a line is not priced),
        `per_m2`, `packs`, `height_mm`, `least_gap_mm` (what the leaflet asks), `doors_to_ease`, `low_h`, `high_h`
        (hours of one person), `tog` (NaN where not known), `misfits` (how many things do not suit).
    """
    unknown = float("nan")
    return pd.DataFrame(
        [
            (
                option.board.name,
                option.board.kind,
                option.estimate.underlay.name,
                unknown if option.whole.not_priced else float(option.whole.with_tax),
                unknown if option.whole.not_priced else float(option.whole.per_m2),
                option.estimate.take_off.boards.packs,
                option.estimate.height_mm,
                option.board.least_gap_mm,
                option.doors_to_ease,
                *option.hours,
                unknown if option.estimate.covering.missing else option.estimate.covering.tog,
                len(option.estimate.misfits),
            )
            for option in options
        ],
        columns=ROOM_OPTION_COLUMNS,
    )


def solid_sentence(options: Sequence[RoomOption]) -> str:
    """What solid boards would come to, from the laminate among the options; why they are not planned.

    Parameters
    ----------
    options
        As from :func:`room_options`.
    """
    told = "Solid boards are nailed or glued, in mixed lengths: no floating floor, and none is set out here."
    fitted = [
        option.whole
        for option in options
        if option.board.kind == "laminate" and not option.whole.not_priced and "work" in option.whole.by_group()
    ]
    ratio = f"Supplied and fitted they come to about {SOLID_TO_LAMINATE:g} times laminate (common practice, no source)"
    if not fitted:
        return f"{told} {ratio}; set an hourly rate and compare a laminate to see the sum."
    cheapest = min(fitted, key=lambda whole: whole.with_tax)
    about = round(float(cheapest.with_tax) * SOLID_TO_LAMINATE, -1)
    return f"{told} {ratio}: about {cheapest.currency}{about:,.0f} here."


def cheapest_sentence(options: Sequence[RoomOption]) -> str:
    """Which option costs least all in, and how much more the dearest costs; empty for fewer than two with a price."""
    table = room_options_table(options)
    priced = table[table["price"].notna()]
    if len(priced) < 2:
        return ""
    in_order = records(priced.sort_values("price", kind="stable"))
    least, most, currency = in_order[0], in_order[-1], options[0].whole.currency
    unsuited = [row.board for row in records(table) if row.misfits]
    told = (
        f"{least.board} costs least all in, {currency}{least.price:,.2f}; {most.board} "
        f"{currency}{most.price - least.price:,.2f} more."
    )
    if not unsuited:
        return told
    return f"{told} Something does not suit with {counted(len(unsuited), 'option')}: {', '.join(unsuited)}."
