"""Which stock board each piece is sawn from, and where on it.

A board has four factory corners::

      back edge (towards the start wall)
      +--------------------------------------+
    L |                                      | R
      +--------------------------------------+
      front edge

A piece must lie at each end and edge that it has to keep. Two pieces of one board stay a kerf and the margin
apart, lengthways or sideways. Wide pieces can only follow one another lengthways: starters and finishers among
them are paired as often as can be. Narrow pieces go where they fit closest, riders in the strip meant for them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from flooring_kit.setting_out.pieces import Piece
from flooring_kit.setting_out.sharing import pair_up
from flooring_kit.setting_out.waiting import Wait, waits_to_drop


@dataclass(frozen=True)
class Sawn:
    """Where a piece lies on its board.

    Parameters
    ----------
    board
        Board number, from 1, in order of first use.
    along_t, across_t
        From the board's left end, and from its back edge [tenths of mm].
    """

    board: int
    along_t: int
    across_t: int


Rectangle = tuple[int, int, int, int]
"""Low along, low across, high along, high across, on a board [tenths of mm]."""


@dataclass
class Stock:
    """One board, or an offcut, being filled: its size, which ends and edges are factory ones, what is sawn from it."""

    length: int
    width: int
    ends: tuple[bool, bool] = (True, True)
    edges: tuple[bool, bool] = (True, True)
    laid: list[Rectangle] = field(default_factory=list)
    used: int = 0


class Saw:
    """Boards opened so far and the places taken on them."""

    def __init__(self, pieces: Sequence[Piece], board_t: int, width_t: int, spacing_t: int) -> None:
        self.pieces = pieces
        self.board_t, self.width_t, self.spacing_t = board_t, width_t, spacing_t
        self.boards: list[Stock] = []
        self.places: dict[int, tuple[int, int, int]] = {}

    def lay(self, index: int, board: int, along_t: int, across_t: int) -> None:
        piece = self.pieces[index]
        stock = self.boards[board]
        stock.laid.append((along_t, across_t, along_t + piece.length_t, across_t + piece.width_t))
        stock.used += piece.length_t * piece.width_t
        self.places[index] = (board, along_t, across_t)

    def open_board(self, index: int) -> int:
        """Saw the piece from a new board, in its natural place; the board's number."""
        piece = self.pieces[index]
        self.boards.append(Stock(self.board_t, self.width_t))
        board = len(self.boards) - 1
        along = self.board_t - piece.length_t if piece.right and not piece.left else 0
        self.lay(index, board, along, natural_across_t(piece, self.width_t))
        return board

    def place_closest(self, index: int) -> None:
        """Saw the piece from the opened board that it fills best, or from a new one."""
        piece = self.pieces[index]
        need = piece.length_t * piece.width_t
        best: tuple[int, int, int, int] | None = None
        for number, stock in enumerate(self.boards):
            left_over = stock.length * stock.width - stock.used - need
            if left_over < 0 or (best is not None and left_over >= best[0]):
                continue
            spot = self._spot(piece, stock)
            if spot is not None:
                best = (left_over, number, *spot)
        if best is None:
            self.open_board(index)
        else:
            self.lay(index, best[1], best[2], best[3])

    def place_on(self, index: int, board: int) -> None:
        """Saw the piece from this opened board, or from a new one where it does not fit after all."""
        spot = self._spot(self.pieces[index], self.boards[board])
        if spot is None:
            self.open_board(index)
        else:
            self.lay(index, board, *spot)

    def try_at(self, index: int, board: int, along_t: int) -> bool:
        """Saw the piece from the strip left at that place along a board, if it fits there."""
        piece, stock = self.pieces[index], self.boards[board]
        along = 0 if piece.left else stock.length - piece.length_t if piece.right else along_t
        across = natural_across_t(piece, stock.width)
        if not (keeps_sides(piece, stock) and self._is_clear(piece, stock, along, across)):
            return False
        self.lay(index, board, along, across)
        return True

    def try_place(self, index: int, board: int, place: Sawn) -> None:
        """Saw the piece from that place of the board if it is clear there; else leave it for later."""
        piece, stock = self.pieces[index], self.boards[board]
        along = stock.length - piece.length_t if piece.right else place.along_t
        across = stock.width - piece.width_t if piece.front else place.across_t
        if keeps_sides(piece, stock) and self._is_clear(piece, stock, along, across):
            self.lay(index, board, along, across)

    def spot(self, index: int, board: int) -> tuple[int, int] | None:
        """Where on this board the piece could be sawn."""
        return self._spot(self.pieces[index], self.boards[board])

    def _is_clear(self, piece: Piece, stock: Stock, along: int, across: int) -> bool:
        """Whether the piece would lie on the board, a spacing away from everything sawn from it."""
        apart = self.spacing_t
        return (
            0 <= along <= stock.length - piece.length_t
            and 0 <= across <= stock.width - piece.width_t
            and all(
                along >= taken[2] + apart
                or along + piece.length_t <= taken[0] - apart
                or across >= taken[3] + apart
                or across + piece.width_t <= taken[1] - apart
                for taken in stock.laid
            )
        )

    def keep_waiting_at_most(self, most: int, *, opened_from: int = 0) -> None:
        """Throw away the fewest offcuts so that no more than `most` wait at once; what they were for opens boards.

        Offcuts of boards opened before `opened_from` lie there already and are left alone.
        """
        latest: dict[int, int] = {}
        uses: list[int] = []
        waits: list[Wait] = []
        for index in range(len(self.pieces)):
            board = self.places[index][0]
            if board < opened_from:
                continue
            if board in latest:
                uses.append(index)
                waits.append((self.pieces[latest[board]].row, self.pieces[index].row))
            latest[board] = index
        for use in (uses[wait] for wait in waits_to_drop(waits, most)):
            old, fresh = self.places[use][0], len(self.boards)
            self.boards.append(Stock(self.board_t, self.width_t))
            for index in range(use, len(self.pieces)):  # what is sawn from this offcut later goes with it
                if self.places[index][0] == old:
                    self.places[index] = (fresh, *self.places[index][1:])

    def _spot(self, piece: Piece, stock: Stock) -> tuple[int, int] | None:
        """A place on the board clear of everything sawn from it, factory ends and edges kept."""
        length, width, apart = piece.length_t, piece.width_t, self.spacing_t
        if not keeps_sides(piece, stock):
            return None
        if piece.left or piece.right:
            alongs = [0 if piece.left else stock.length - length]
        else:
            alongs = [0, stock.length - length]
            alongs += [taken[2] + apart for taken in stock.laid]
            alongs += [taken[0] - apart - length for taken in stock.laid]
        if piece.back or piece.front:
            acrosses = [0 if piece.back else stock.width - width]
        else:
            acrosses = [natural_across_t(piece, stock.width), 0, stock.width - width]
            acrosses += [taken[3] + apart for taken in stock.laid]
            acrosses += [taken[1] - apart - width for taken in stock.laid]
        for along in alongs:
            for across in acrosses:
                if self._is_clear(piece, stock, along, across):
                    return along, across
        return None


def keeps_sides(piece: Piece, stock: Stock) -> bool:
    """Whether the ends and edges the piece has to keep are factory ones of that board or offcut."""
    (left, right), (back, front) = stock.ends, stock.edges
    return (
        (left or not piece.left)
        and (right or not piece.right)
        and (back or not piece.back)
        and (front or not piece.front)
    )


def natural_across_t(piece: Piece, width_t: int) -> int:
    """Where a piece lies across its board: at the edge it keeps, or as its row's strip lies [tenths of mm]."""
    if piece.front and not piece.back:
        return width_t - piece.width_t
    return 0 if piece.back else min(piece.down_t, width_t - piece.width_t)


def saw_from_boards(
    pieces: Sequence[Piece],
    *,
    board_t: int,
    width_t: int,
    spacing_t: int,
    riders: Mapping[int, int | None] | None = None,
    most_waiting: int | None = None,
) -> list[Sawn]:
    """A board and a place on it for every piece, on as few boards as the best of a few orders of sawing finds.

    Parameters
    ----------
    pieces
        In laying order.
    board_t, width_t
        Face size of a board [tenths of mm].
    spacing_t
        Least distance between two pieces of one board [tenths of mm].
    riders
        Narrow pieces sawn from the strip another piece leaves: piece -> that piece, or None for any strip.
    most_waiting
        Most offcuts that may wait for a later row: beyond that they are thrown away, and new boards opened.
    """
    riders = riders or {}
    tried = []
    main = [i for i in range(len(pieces)) if i not in riders]
    narrow = {i for i in main if 2 * pieces[i].width_t + spacing_t <= width_t} - set(riders.values())
    any_loose = any(is_loose(pieces[i]) for i in main if i not in narrow)
    any_narrow_ends = any(not is_loose(pieces[i]) for i in narrow)
    for loose_first in (False, True)[: 1 + any_loose]:
        for fill_strips in (False, True)[: 1 + any_narrow_ends]:
            saw = Saw(pieces, board_t, width_t, spacing_t)
            later = narrow if fill_strips else {i for i in narrow if is_loose(pieces[i])}
            saw_all(saw, [i for i in main if i not in later], riders, loose_first=loose_first)
            if most_waiting is not None:
                saw.keep_waiting_at_most(most_waiting)
            tried.append(saw)
    saw = min(tried, key=lambda saw: len(saw.boards))
    numbers: dict[int, int] = {}
    for i in range(len(pieces)):
        numbers.setdefault(saw.places[i][0], len(numbers) + 1)
    return [Sawn(numbers[board], along, across) for board, along, across in (saw.places[i] for i in range(len(pieces)))]


def is_loose(piece: Piece) -> bool:
    """Whether the piece keeps neither end."""
    return not (piece.left or piece.right)


def saw_all(saw: Saw, wide: Sequence[int], riders: Mapping[int, int | None], *, loose_first: bool) -> None:
    """Saw every piece: the wide ones paired lengthways, then riders, then the rest where it fits closest."""
    pieces = saw.pieces
    fit = saw.board_t - saw.spacing_t
    mates: dict[int, int] = {}
    waiting = {i for i in wide if not (pieces[i].left and pieces[i].right)}
    if loose_first:
        loose = sorted((i for i in wide if is_loose(pieces[i])), key=lambda i: (-pieces[i].length_t, i))
        partners = waiting - set(loose)  # and, once they have found none, the longer loose pieces
        for i in loose:
            beside = [j for j in partners if pieces[j].length_t <= fit - pieces[i].length_t]
            if not beside:
                partners.add(i)
            else:
                j = max(beside, key=lambda j: (pieces[j].length_t, pieces[j].right, pieces[j].left, -j))
                mates[i] = j
                waiting -= {i, j}
                partners.discard(j)
    starters = [i for i in sorted(waiting) if pieces[i].right]
    finishers = [i for i in sorted(waiting) if pieces[i].left]
    lengths = [[pieces[i].length_t for i in group] for group in (starters, finishers)]
    rows = ([pieces[i].row for i in starters], [pieces[i].row for i in finishers])
    mates |= {starters[s]: finishers[f] for s, f in pair_up(lengths[0], lengths[1], fit, rows=rows)}
    mates |= {other: one for one, other in mates.items()}
    for i in wide:
        if i in saw.places or (is_loose(pieces[i]) and i not in mates):
            continue
        pair = [i, mates[i]] if i in mates else [i]
        pair.sort(key=lambda j: is_loose(pieces[j]))  # the one that keeps an end chooses its place first
        board = saw.open_board(pair[0])
        for other in pair[1:]:
            saw.place_on(other, board)
    for i, host in riders.items():
        if host is not None:
            board, along, _ = saw.places[host]
            if not saw.try_at(i, board, along):
                saw.place_closest(i)
    rest = [i for i in range(len(pieces)) if i not in saw.places]
    for i in sorted(rest, key=lambda i: (-pieces[i].width_t, -pieces[i].length_t, i)):
        saw.place_closest(i)
