"""What is left: offcuts that wait or are worth keeping, whole boards, packs to return."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from flooring_kit.as_laid.day import Day, Held
from flooring_kit.checks import counted, require_between, require_whole
from flooring_kit.day_entries import BatchNoted
from flooring_kit.sawing.shaping import lock_words
from flooring_kit.setting_out.boards import Rectangle
from flooring_kit.tables import records


@dataclass(frozen=True)
class Offcut:
    """An offcut that lies there.

    Parameters
    ----------
    board
        The board it comes from, by its number in the plan.
    length_mm, width_mm
        Its size, the kerf taken off [mm].
    keeps_end, keeps_edge
        Which factory ends and edges it has, by their locks.
    wanted_for
        Pieces not laid yet that the plan saws from it.
    """

    board: int
    length_mm: float
    width_mm: float
    keeps_end: str
    keeps_edge: str
    wanted_for: tuple[str, ...] = ()

    @property
    def is_strip(self) -> bool:
        """Whether it has lost an edge by a rip."""
        return self.keeps_edge != "both edges"

    def sentence(self) -> str:
        """What it is, in words.

        >>> Offcut(9, 838.4, 193, "groove end", "both edges", ("7a",)).sentence()
        'board 9: 838 mm, groove end, for 7a'
        """
        wide = f" by {self.width_mm:.0f} mm, {self.keeps_edge}" if self.is_strip else " mm"
        wanted = f", for {', '.join(self.wanted_for)}" if self.wanted_for else ""
        return f"board {self.board}: {self.length_mm:.0f}{wide}, {self.keeps_end}{wanted}"


def offcuts(day: Day) -> list[Offcut]:
    """Every offcut of the boards opened so far, and those in hand, by board and from left to right.

    What is thinner than the saw's kerf and the margin together is dust and left out.
    """
    held = {one.board: one for one in day.held}
    found: list[Offcut] = []
    for board in sorted(day.gone.keys() | held.keys()):
        found += _of_board(day, board, held.get(board))
    return found


def worth_keeping(day: Day, *, least_mm: float | None = None) -> list[Offcut]:
    """Offcuts no piece is planned from that can still start or finish a row.

    Parameters
    ----------
    day
        The day so far.
    least_mm
        Least length, 0 to 5000 [mm]; None for the shortest piece of the plan's rules.
    """
    least = day.plan.rules.shortest_piece_mm if least_mm is None else least_mm
    require_between(least, 0, 5000, "least length worth keeping", unit="mm")
    return [
        one
        for one in offcuts(day)
        if one.length_mm >= least and not (one.wanted_for or one.is_strip) and one.keeps_end != "neither end"
    ]


@dataclass(frozen=True)
class Spares:
    """Whole boards left.

    Parameters
    ----------
    boards
        Whole boards left once the floor is down.
    packs_to_return
        Packs of these that can stay shut.
    kept_for_repairs
        Boards asked to be kept.
    boards_short
        Boards that were not bought and are needed.
    pieces_waiting
        Pieces that have no board before the rest is planned anew; no pack is to be returned until then.
    """

    boards: int
    packs_to_return: int
    kept_for_repairs: int
    boards_short: int = 0
    pieces_waiting: int = 0

    def sentence(self) -> str:
        """What to keep and what to return.

        >>> Spares(13, 1, 3).sentence()
        '13 whole boards left: 3 kept for repairs, 1 pack to return if it is still shut.'
        """
        if self.pieces_waiting:
            has = "has" if self.pieces_waiting == 1 else "have"
            waiting = f"{counted(self.pieces_waiting, 'piece')} {has} no board"
            return f"Before planning anew nobody knows what is left: {waiting}. Return no pack yet."
        if self.boards_short:
            return f"{counted(self.boards_short, 'board')} short."
        kept = min(self.boards, self.kept_for_repairs)
        shut = "if it is still shut" if self.packs_to_return == 1 else "if they are still shut"
        packs = f"{counted(self.packs_to_return, 'pack')} to return {shut}"
        returned = packs if self.packs_to_return else "no whole pack to return"
        return f"{counted(self.boards, 'whole board')} left: {kept} kept for repairs, {returned}."


def spares(day: Day, boards_bought: int, *, kept_for_repairs: int = 0) -> Spares:
    """Whole boards left once the floor is down, and packs to return.

    Where batch numbers of opened packs are in the log, no more packs than the others are returned. Where pieces have no
    board before the rest is planned anew, none is.

    Parameters
    ----------
    day
        The day so far.
    boards_bought
        Boards bought, 0 to 100 000.
    kept_for_repairs
        Boards to keep, 0 to 1000.
    """
    require_whole(boards_bought, 0, 100_000, "boards bought")
    require_whole(kept_for_repairs, 0, 1000, "boards kept for repairs")
    left = boards_bought - day.boards_in_all
    per_pack = day.plan.board.boards_per_pack
    packs = max(0, left - kept_for_repairs) // per_pack
    opened = sum(note.packs for note in day.notes if isinstance(note, BatchNoted))
    if opened:
        packs = min(packs, max(0, boards_bought // per_pack - opened))
    waiting = len(day.homeless)
    return Spares(max(0, left), 0 if waiting else packs, kept_for_repairs, max(0, -left), waiting)


def _of_board(day: Day, board: int, held: Held | None) -> Iterator[Offcut]:
    """Offcuts of one board, in its own coordinates: lengths between saw cuts, then strips beside ripped pieces."""
    stock = next(one for one in day.at_hand if one.board == board)
    kerf = round(day.plan.rules.kerf_mm * 10)
    least = kerf + round(day.plan.rules.offcut_margin_mm * 10)
    length = stock.length_t if held is None else round(held.what.length_mm * 10)
    shift = 0 if stock.ends[0] else length - stock.length_t  # the planner leaves a margin at an offcut's sawn end
    places = {p.piece: _moved(day.place_of(p), shift) for p in records(day.plan.pieces) if p.board == board}
    laid = [place for label, place in places.items() if label in day.laid]
    coming = {label: place for label, place in places.items() if label not in {*day.laid, *day.homeless}}
    sawn = [(place, kerf) for place in laid]
    sawn += [(_moved(gone.rectangle, shift), 0 if gone.cut else kerf) for gone in day.gone.get(board, ())]
    at = 0
    for low, high in [*sorted((low - apart, high + apart) for (low, _, high, _), apart in sawn), (length, length)]:
        if low - at > least:
            ends = (at == 0 and stock.ends[0], low == length and stock.ends[1])
            wanted = tuple(label for label, (a, _, b, _) in coming.items() if a < low and b > at)
            yield Offcut(board, (low - at) / 10, stock.width_t / 10, _ends(day, ends), "both edges", wanted)
        at = max(at, high)
    for place in laid:
        low, back, high, front = place
        for c, d, edges in ((0, back - kerf, (True, False)), (front + kerf, stock.width_t, (False, True))):
            taken = [other for other, _ in sawn if other != place and _overlap(other, (low, c, high, d))]
            if d - c > least and not taken:
                wanted = tuple(label for label, other in coming.items() if _overlap(other, (low, c, high, d)))
                ends = (low == 0 and stock.ends[0], high == length and stock.ends[1])
                words = lock_words(day.plan.board.edge_locks, first=edges[0], last=edges[1], side="edge")
                yield Offcut(board, (high - low) / 10, (d - c) / 10, _ends(day, ends), words, wanted)


def _moved(place: Rectangle, by_t: int) -> Rectangle:
    """The rectangle so far along the board."""
    return place[0] + by_t, place[1], place[2] + by_t, place[3]


def _ends(day: Day, ends: tuple[bool, bool]) -> str:
    return lock_words(day.plan.board.end_locks, first=ends[0], last=ends[1], side="end")


def _overlap(one: Rectangle, other: Rectangle) -> bool:
    return one[0] < other[2] and one[2] > other[0] and one[1] < other[3] and one[3] > other[1]
