"""The day so far: a plan, what of it is laid, what is sawn and spoiled, and what there is to saw from."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import pandas as pd

from flooring_kit.day_entries import Entry, InHand, PlannedAnew, RowMeasured, Undone
from flooring_kit.setting_out import Plan
from flooring_kit.setting_out.boards import Rectangle
from flooring_kit.setting_out.boards_begun import AtHand
from flooring_kit.setting_out.from_here import pieces_of_run, record_of, run_length_mm, run_of, runs_of_row
from flooring_kit.tables import records

NO_DRIFT_MM = 0.5
"""A row this near to the plan lies as planned: a tape tells no less."""


@dataclass(frozen=True)
class Gone:
    """Part of a board that can't be sawn from any more.

    Parameters
    ----------
    rectangle
        Low along, low across, high along, high across [tenths of mm].
    cut
        Whether it is only what the saw turned to dust, between two offcuts.
    """

    rectangle: Rectangle
    cut: bool = False


@dataclass(frozen=True)
class Held:
    """A board or an offcut in hand, by the number it is known by in plans."""

    board: int
    what: InHand

    @property
    def words(self) -> str:
        """What it is.

        >>> Held(31, InHand(812, "groove end", name="from the hall")).words
        'offcut of 812 mm, groove end, from the hall'
        """
        name = f", {self.what.name}" if self.what.name else ""
        kind = "board" if self.what.keeps_end == "both ends" else "offcut"
        return f"{kind} of {self.what.length_mm:g} mm, {self.what.keeps_end}{name}"


@dataclass(frozen=True, eq=False)
class Day:
    """A floor half laid, as its log tells it.

    Attributes
    ----------
    first_plan, plan
        The plan the day began with, and as it stands.
    laid
        Labels of the pieces that are down.
    gone
        Boards opened, by number, each with what of it is spoiled or lost.
    held
        Offcuts and shorter boards in hand beside the plan's boards.
    whole_in_hand
        Whole boards in hand beside those bought.
    spares_damaged
        Boards damaged before any was sawn.
    measured
        The last measurement of each run measured, by its index among the plan's runs.
    notes
        Entries for the record: gaps, readings, batches, photos, remarks.
    entries
        Everything in the log, undone or not.
    undone
        Numbers of the entries that do not hold.
    """

    first_plan: Plan
    plan: Plan
    laid: frozenset[str] = frozenset()
    gone: dict[int, tuple[Gone, ...]] = field(default_factory=dict)
    held: tuple[Held, ...] = ()
    whole_in_hand: int = 0
    spares_damaged: int = 0
    measured: dict[int, RowMeasured] = field(default_factory=dict)
    notes: tuple[Entry, ...] = ()
    entries: tuple[Entry, ...] = ()
    undone: frozenset[int] = frozenset()

    @cached_property
    def at_hand(self) -> tuple[AtHand, ...]:
        """Boards opened and offcuts in hand, as the planner saws from them."""
        board = self.plan.board
        length, width = round(board.length_mm * 10), round(board.width_mm * 10)
        margin = round(self.plan.rules.offcut_margin_mm * 10)
        stock = [
            AtHand(number, length, width, gone=tuple(gone.rectangle for gone in parts))
            for number, parts in sorted(self.gone.items())
            if number not in {held.board for held in self.held}
        ]
        for held in self.held:
            parts = tuple(gone.rectangle for gone in self.gone.get(held.board, ()))
            ends = ends_of(held.what, board.end_locks)
            usable = round(held.what.length_mm * 10) - (0 if all(ends) else margin)
            stock.append(AtHand(held.board, max(1, usable), width, ends, gone=parts))
        return tuple(stock)

    @cached_property
    def homeless(self) -> tuple[str, ...]:
        """Pieces not laid whose place on a board is spoiled or lost: they wait for a plan anew."""
        return tuple(
            piece.piece
            for piece in records(self.plan.pieces)
            if piece.piece not in self.laid and self._is_gone(int(piece.board), self.place_of(piece))
        )

    def _is_gone(self, board: int, place: Rectangle) -> bool:
        low, back, high, front = place
        return any(
            a < high and b > low and c < front and d > back
            for a, c, b, d in (gone.rectangle for gone in self.gone.get(board, ()))
        )

    def place_of(self, piece: Any) -> Rectangle:
        """Where a piece of the plan's table lies on its board, or on the offcut in hand it is sawn from."""
        low, back, high, front = rectangle_of(piece)
        held = next((held for held in self.held if held.board == piece.board), None)
        if held is not None and self.plan.joined["right"][piece.Index]:
            usable = next(stock.length_t for stock in self.at_hand if stock.board == held.board)
            shift = usable - round(self.plan.board.length_mm * 10)
            low, high = low + shift, high + shift
        return low, back, high, front

    @property
    def rows_laid(self) -> tuple[int, ...]:
        """Rows that are down from end to end."""
        open_rows = set(self.plan.pieces["row"][~self.plan.pieces["piece"].isin(self.laid)])
        return tuple(sorted(set(self.plan.pieces["row"].tolist()) - open_rows))

    @property
    def next_row(self) -> int | None:
        """The first row that is not down from end to end; None once the floor is."""
        open_rows = self.plan.pieces["row"][~self.plan.pieces["piece"].isin(self.laid)]
        return None if open_rows.empty else int(open_rows.min())

    @property
    def last_standing(self) -> int | None:
        """Number of the last entry that can be undone; None where there is none. The plan a log begins with stays."""
        for number in range(len(self.entries), 0, -1):
            entry = self.entries[number - 1]
            is_first_plan = number == 1 and isinstance(entry, PlannedAnew)
            if number not in self.undone and not isinstance(entry, Undone) and not is_first_plan:
                return number
        return None

    @property
    def is_done(self) -> bool:
        """Whether every piece is down."""
        return len(self.laid) == len(self.plan.pieces)

    @property
    def boards_opened(self) -> int:
        """Boards of those bought that are sawn or damaged so far; whole ones in hand are used up last."""
        return len(self.gone.keys() - {held.board for held in self.held}) + self.spares_damaged

    @property
    def boards_in_all(self) -> int:
        """Boards bought that the floor takes from first to last, as the plan stands.

        Pieces that wait for a plan anew cost nothing here yet: while `homeless` is not empty, it can be more.
        """
        numbers = set(self.plan.pieces["board"].tolist()) | self.gone.keys()
        numbers -= {held.board for held in self.held}
        return max(0, len(numbers) + self.spares_damaged - self.whole_in_hand)

    def rules_broken_since(self) -> list[str]:
        """Rules that the plan as it stands breaks and the first plan did not, a sentence each."""
        before = {(fault.rule, fault.row, fault.place) for fault in self.first_plan.broken_rules}
        return [
            fault.sentence() for fault in self.plan.broken_rules if (fault.rule, fault.row, fault.place) not in before
        ]

    def row_and_stretch(self, piece: str) -> tuple[int, int]:
        """The row a piece lies in, and which stretch of it from the left, from 1: a hearth parts a row."""
        row = int(self.plan.pieces.set_index("piece")["row"][piece])
        return row, runs_of_row(self.plan, row).index(run_of(self.plan, piece)) + 1

    def needed_mm(self, piece: str) -> float:
        """About what length to saw [mm]: the plan's, with what the row measured put to its two ends.

        The joints stay where the plan has them: the first piece takes up where the row begins, the last one where it
        ends, and a piece that lies alone both. So the pieces of a row measured make up its length.
        """
        planned = float(self.plan.pieces.set_index("piece")["length_mm"][piece])
        run = run_of(self.plan, piece)
        found = self.measured.get(run)
        if found is None:
            return planned
        ends_mm = found.starts_mm + found.length_mm - run_length_mm(self.plan, run)
        return round(planned + self.longer_mm(piece, starts_mm=found.starts_mm, ends_mm=ends_mm), 1)

    def saw_mm(self, cut: Any) -> float | None:
        """About what length to saw for a line of the cut list [mm]; None for a board laid whole."""
        needed = self.needed_mm(cut.piece)
        whole = pd.isna(cut.saw_mm) and abs(needed - self.plan.board.length_mm) <= NO_DRIFT_MM
        return None if whole else needed

    def longer_mm(self, piece: str, *, starts_mm: float, ends_mm: float) -> float:
        """How much longer than planned a piece is where its row starts and ends so far to the right of the plan [mm].

        Joints stay: only the first and the last piece of a row are touched.
        """
        pieces = pieces_of_run(self.plan, run_of(self.plan, piece))
        return (ends_mm if piece == pieces[-1] else 0.0) - (starts_mm if piece == pieces[0] else 0.0)


def first_entry(plan: Plan) -> PlannedAnew:
    """The entry a log begins with: the plan itself, in whole numbers."""
    record = record_of(plan)
    return PlannedAnew(record.first_joints_t, record.places_t)


def rectangle_of(piece: Any) -> Rectangle:
    """Where a piece of the plan's table lies on its board [tenths of mm]."""
    along, across = round(piece.along_mm * 10), round(piece.across_mm * 10)
    return along, across, along + round(piece.length_mm * 10), across + round(piece.width_mm * 10)


def keeps_right_end(plan: Plan, piece: Any) -> bool:
    """Whether a piece of the plan's table starts a row: sawn at its left, its right end goes into the next piece."""
    return bool(plan.joined["right"][piece.Index]) and not plan.joined["left"][piece.Index]


def ends_of(what: InHand, locks: tuple[str, str]) -> tuple[bool, bool]:
    """Whether an offcut has the factory end towards a row's start, and the other one."""
    if what.keeps_end in ("both ends", "neither end"):
        return (what.keeps_end == "both ends",) * 2
    return what.keeps_end == f"{locks[0]} end", what.keeps_end == f"{locks[1]} end"


def is_whole_board(what: InHand, plan: Plan) -> bool:
    """Whether it is a board like the plan's, and as good as a new one.

    Raises
    ------
    ValueError
        For a length over the board's.
    """
    longest = plan.board.length_mm
    if what.length_mm > longest:
        raise ValueError(
            f"a board or offcut in hand must be at most as long as the plan's board, {longest:g} mm, got "
            f"{what.length_mm:g} mm. Where you have two lengths, plan with the longer one and put the shorter in hand."
        )
    return what.length_mm == longest and what.keeps_end == "both ends"
