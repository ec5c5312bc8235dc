"""The rest of the floor planned anew from where the day stands, and what that changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import pandas as pd

from flooring_kit.as_laid.day import Day, first_entry
from flooring_kit.as_laid.drift import drift_ahead_mm
from flooring_kit.as_laid.folding import as_laid
from flooring_kit.checks import counted, numbered, require_one_of, require_whole
from flooring_kit.day_entries import InHand, PlannedAnew, row_of
from flooring_kit.sawing import cut_list
from flooring_kit.setting_out import Plan
from flooring_kit.setting_out.from_here import STEPS_HALF_LAID, from_here
from flooring_kit.tables import records

STEPS_BEFORE_LAYING = 120
"""Steps of the search where nothing is laid yet and nobody kneels waiting."""

LEAST = ("boards", "changes")
"""What a plan made anew can have as few of as can be."""

CHANGE_COLUMNS = ["piece", "row", "saw_mm", "saw_before_mm", "take_from", "took_from"]


@dataclass(frozen=True, eq=False)
class Replanned:
    """The floor planned anew from here.

    Attributes
    ----------
    plan
        The plan for the whole floor; what is laid lies in it as it was laid.
    boards_in_all
        Boards bought that the floor takes from first to last, spoiled ones counted.
    boards_more
        How many that is beyond the plan the day began with; negative where boards are saved.
    boards_bought
        Boards bought; None where nobody said.
    boards_per_pack
        Boards in a pack.
    changes : DataFrame
        One row a piece not laid whose cut or board is another: `piece`, `row`, `saw_mm`, `saw_before_mm` (NaN: whole,
        or no such piece), `take_from`, `took_from` ("" where there is no such piece).
    drift_mm
        How much more the rules of what is not laid were held by, since measured rows drift.
    """

    plan: Plan
    boards_in_all: int
    boards_more: int
    boards_bought: int | None
    boards_per_pack: int
    changes: pd.DataFrame
    drift_mm: float = 0.0

    @property
    def boards_short(self) -> int:
        """Boards that have to be bought yet; 0 where those bought do, or nobody said how many there are."""
        return 0 if self.boards_bought is None else max(0, self.boards_in_all - self.boards_bought)

    @property
    def packs_short(self) -> int:
        """Packs that have to be bought yet."""
        return -(-self.boards_short // self.boards_per_pack)

    def sentences(self) -> list[str]:
        """What came of planning anew: boards, packs, what is sawn otherwise."""
        more = "as many as" if not self.boards_more else f"{abs(self.boards_more)} "
        if self.boards_more:
            more += "more than" if self.boards_more > 0 else "fewer than"
        told = [f"{counted(self.boards_in_all, 'board')} from first to last, {more} the first plan."]
        if self.boards_bought is not None:
            over = self.boards_bought - self.boards_in_all
            told.append(
                f"The {counted(self.boards_bought, 'board')} bought still do, {over} over."
                if over >= 0
                else f"The {counted(self.boards_bought, 'board')} bought do not: {-over} short. "
                f"Buy {counted(self.packs_short, 'pack')} of the same batch."
            )
        if self.changes.empty:
            return [*told, "Nothing else changes: saw on from the list you have."]
        if self.drift_mm:
            told.append(
                f"Rows to come may stand {self.drift_mm:g} mm off the plan, so each now keeps every rule with "
                f"{self.drift_mm:g} mm more to spare. That can move joints in rows far from here too."
            )
        rows = numbered("row", self.changes["row"].tolist())
        return [*told, f"{counted(len(self.changes), 'piece')} changed in {rows}; the rest of the list stands."]

    def change_sentences(self) -> list[str]:
        """Every line of the cut list that is another now: what to saw, and from what."""
        told = []
        for change in records(self.changes):
            if not change.take_from:
                told.append(f"{change.piece} is no longer wanted.")
                continue
            length = "whole length" if pd.isna(change.saw_mm) else f"about {change.saw_mm:.0f} mm"
            told.append(f"{change.piece}: {length}, from {change.take_from}.")
        return told

    def entry(self) -> PlannedAnew:
        """The entry that takes this plan on."""
        return first_entry(self.plan)


def replan(day: Day, *, boards_bought: int | None = None, least: str = "boards") -> Replanned:
    """Plan the rest of the floor anew: rows laid stay, offcuts at hand come first, as little changes as can be.

    Parameters
    ----------
    day
        The day so far, from :func:`flooring_kit.as_laid.as_laid`.
    boards_bought
        Boards bought in all, 0 to 100 000; None leaves the packs out of the answer.
    least
        "boards": as few as can be. "changes": every joint stays where it is, and what has no board gets one; for a
        list on the wall and spares in the packs.

    Returns
    -------
    Replanned
        No more broken rules than keeping every joint would leave, nor, with as many, more boards. Where measured rows
        drift, the rules of what is not laid are held by so much more, which can cost a board.

    Raises
    ------
    ValueError
        For boards out of range, and for another word than those two.
    """
    require_one_of(least, LEAST, "least")
    if boards_bought is not None:
        require_whole(boards_bought, 0, 100_000, "boards bought")
    drift_mm = drift_ahead_mm(day)
    steps = STEPS_HALF_LAID if least == "boards" else 0
    plan = from_here(day.plan, day.laid, day.at_hand, drift_mm=drift_mm, steps=steps)
    in_all = replace(day, plan=plan).boards_in_all
    return Replanned(
        plan,
        in_all,
        in_all - day.first_plan.boards_needed,
        boards_bought,
        plan.board.boards_per_pack,
        changes(day, plan),
        drift_mm,
    )


def changes(day: Day, plan: Plan) -> pd.DataFrame:
    """What the cut list of another plan has otherwise, laid pieces left out; columns as in :class:`Replanned`."""
    days = day, replace(day, plan=plan)
    old, new = ({cut.piece: cut for cut in records(cut_list(one.plan))} for one in days)
    rows = []
    for label in sorted(old.keys() | new.keys(), key=_laying_order):
        was, now_is = (_told(one, cuts.get(label)) for one, cuts in zip(days, (old, new), strict=True))
        if label not in day.laid and was != now_is:
            rows.append((label, row_of(label), now_is[0], was[0], now_is[1], was[1]))
    return pd.DataFrame(rows, columns=CHANGE_COLUMNS)


def _told(day: Day, cut: Any) -> tuple[float | None, str]:
    """Length to saw (None: whole) and what to take, as one compares them: one new board is as good as another.

    The length is that of the row as measured, where it has been: measured lengths win.
    """
    if cut is None:
        return None, ""
    saw = day.saw_mm(cut)
    taken = str(cut.taken_from)
    if taken.startswith("board "):
        held = next((held.words for held in day.held if held.board == cut.board), "a new board")
        taken = f"what is left of {taken}" if cut.board in day.gone else held
    return saw, taken


def _laying_order(label: str) -> tuple[int, int, str]:
    return row_of(label), len(label), label


# ---------------------------------------------------------------------- stock in hand


@dataclass(frozen=True, eq=False)
class FromStock:
    """A plan that begins with boards and offcuts already owned.

    Attributes
    ----------
    plan
        The plan; boards in hand have numbers of their own in it.
    boards_to_buy
        Boards to buy.
    boards_saved
        How many fewer that is than without the stock.
    used : DataFrame
        One row a piece of stock used: `board`, `what`, `pieces`.
    left : tuple of str
        Stock that no piece is sawn from.
    whole_used
        Whole boards owned that stand in for bought ones; they have no number of their own.
    """

    plan: Plan
    boards_to_buy: int
    boards_saved: int
    used: pd.DataFrame
    left: tuple[str, ...]
    whole_used: int

    def sentence(self) -> str:
        """What need not be bought."""
        return (
            f"{counted(self.boards_to_buy, 'board')} to buy, {self.boards_saved} fewer than without what is in hand: "
            f"{counted(self.whole_used, 'whole board')} and {counted(len(self.used), 'shorter length')} of it used."
        )


def plan_from_stock(plan: Plan, stock: Sequence[InHand]) -> FromStock:
    """The same floor planned from boards and offcuts in hand first.

    Parameters
    ----------
    plan
        The floor as it would be laid from new boards, settled.
    stock
        What is in hand: of the same board, full width; shorter boards and offcuts give the ends of rows.

    Raises
    ------
    ValueError
        For stock longer than the plan's board.
    """
    day = as_laid(plan, tuple(stock))
    anew = from_here(plan, (), day.at_hand, steps=STEPS_BEFORE_LAYING)
    to_buy = replace(day, plan=anew).boards_in_all
    by_board: dict[int, list[str]] = {}
    for board, piece in zip(anew.pieces["board"].tolist(), anew.pieces["piece"].tolist(), strict=True):
        by_board.setdefault(int(board), []).append(piece)
    used = [held for held in day.held if held.board in by_board]
    return FromStock(
        anew,
        to_buy,
        plan.boards_needed - to_buy,
        pd.DataFrame(
            [(held.board, held.words, ", ".join(by_board[held.board])) for held in used],
            columns=["board", "what", "pieces"],
        ),
        tuple(held.words for held in day.held if held.board not in by_board),
        min(day.whole_in_hand, len(by_board.keys() - {held.board for held in day.held})),
    )
