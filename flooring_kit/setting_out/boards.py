"""Which stock board each piece is sawn from, and where on it.

A board has four factory corners::

      back edge (towards the start wall)
      +--------------------------------------+
    L |                                      | R
      +--------------------------------------+
      front edge

A piece must lie at each end and edge that it has to keep. Two pieces of one board stay a kerf and the margin
apart, lengthways or sideways. Most pieces can only follow one another lengthways: starters and finishers among
them are paired as often as can be. The rest goes where it fits closest.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from flooring_kit.setting_out.pieces import Piece
from flooring_kit.setting_out.sharing import pair_up


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


@dataclass
class _Stock:
    """One board being filled."""

    laid: list[tuple[int, int, int, int]] = field(default_factory=list)
    used: int = 0


class _Saw:
    """Boards opened so far and the places taken on them."""

    def __init__(self, pieces: Sequence[Piece], board_t: int, width_t: int, spacing_t: int) -> None:
        self.pieces = pieces
        self.board_t, self.width_t, self.spacing_t = board_t, width_t, spacing_t
        self.boards: list[_Stock] = []
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
        self.boards.append(_Stock())
        board = len(self.boards) - 1
        along = self.board_t - piece.length_t if piece.right and not piece.left else 0
        self.lay(index, board, along, self._across_first(piece))
        return board

    def _across_first(self, piece: Piece) -> int:
        if piece.front and not piece.back:
            return self.width_t - piece.width_t
        return 0 if piece.back else min(piece.down_t, self.width_t - piece.width_t)

    def place_closest(self, index: int) -> None:
        """Saw the piece from the opened board that it fills best, or from a new one."""
        piece = self.pieces[index]
        need = piece.length_t * piece.width_t
        whole = self.board_t * self.width_t
        best: tuple[int, int, int, int] | None = None
        for number, stock in enumerate(self.boards):
            left_over = whole - stock.used - need
            if left_over < 0 or (best is not None and left_over >= best[0]):
                continue
            spot = self._spot(piece, stock)
            if spot is not None:
                best = (left_over, number, *spot)
        if best is None:
            self.open_board(index)
        else:
            self.lay(index, best[1], best[2], best[3])

    def _spot(self, piece: Piece, stock: _Stock) -> tuple[int, int] | None:
        """A place on the board clear of everything sawn from it, factory ends and edges kept."""
        length, width, apart = piece.length_t, piece.width_t, self.spacing_t
        if piece.left or piece.right:
            alongs = [0 if piece.left else self.board_t - length]
        else:
            alongs = [0, self.board_t - length]
            alongs += [taken[2] + apart for taken in stock.laid]
            alongs += [taken[0] - apart - length for taken in stock.laid]
        if piece.back or piece.front:
            acrosses = [0 if piece.back else self.width_t - width]
        else:
            acrosses = [self._across_first(piece), 0, self.width_t - width]
            acrosses += [taken[3] + apart for taken in stock.laid]
            acrosses += [taken[1] - apart - width for taken in stock.laid]
        for along in alongs:
            if not 0 <= along <= self.board_t - length:
                continue
            for across in acrosses:
                if 0 <= across <= self.width_t - width and all(
                    along >= taken[2] + apart
                    or along + length <= taken[0] - apart
                    or across >= taken[3] + apart
                    or across + width <= taken[1] - apart
                    for taken in stock.laid
                ):
                    return along, across
        return None


def saw_from_boards(pieces: Sequence[Piece], *, board_t: int, width_t: int, spacing_t: int) -> list[Sawn]:
    """A board and a place on it for every piece.

    Parameters
    ----------
    pieces
        In laying order.
    board_t, width_t
        Face size of a board [tenths of mm].
    spacing_t
        Least distance between two pieces of one board [tenths of mm].
    """
    saw = _Saw(pieces, board_t, width_t, spacing_t)
    wide = _never_beside_another(pieces, width_t - spacing_t)
    starters = [i for i in wide if pieces[i].right and not pieces[i].left]
    finishers = [i for i in wide if pieces[i].left and not pieces[i].right]
    pairs = pair_up(
        [pieces[i].length_t for i in starters], [pieces[i].length_t for i in finishers], board_t - spacing_t
    )
    mate = {finishers[j]: starters[i] for i, j in pairs}
    mate |= {starter: finisher for finisher, starter in mate.items()}
    for i in wide:
        if i in saw.places or not (pieces[i].left or pieces[i].right):
            continue
        board = saw.open_board(i)
        if i in mate:
            other = mate[i]
            along = 0 if pieces[other].left else board_t - pieces[other].length_t
            saw.lay(other, board, along, saw._across_first(pieces[other]))
    rest = [i for i in range(len(pieces)) if i not in saw.places]
    rest.sort(key=lambda i: (-pieces[i].width_t, -pieces[i].length_t, i))
    for i in rest:
        saw.place_closest(i)

    numbers: dict[int, int] = {}
    for i in range(len(pieces)):
        numbers.setdefault(saw.places[i][0], len(numbers) + 1)
    return [Sawn(numbers[board], along, across) for board, along, across in (saw.places[i] for i in range(len(pieces)))]


def _never_beside_another(pieces: Sequence[Piece], fit_t: int) -> list[int]:
    """Pieces that no other piece of this floor could lie beside on a board, by widths and kept edges."""
    least_without_front = min((p.width_t for p in pieces if not p.front), default=fit_t + 1)
    least_without_back = min((p.width_t for p in pieces if not p.back), default=fit_t + 1)
    least_of_all = min((p.width_t for p in pieces), default=fit_t + 1)
    alone: list[int] = []
    for i, piece in enumerate(pieces):
        if piece.front and piece.back:
            alone.append(i)
            continue
        beside = least_without_front if piece.front else least_without_back if piece.back else least_of_all
        if piece.width_t + beside > fit_t:
            alone.append(i)
    return alone
