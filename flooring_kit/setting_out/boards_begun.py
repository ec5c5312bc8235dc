"""Sawing on: a floor half laid has boards begun, and what is left of them is filled before a new board is opened.

An offcut lies in coordinates of its own, from its left end and its back edge as it would lie in the floor; its factory
ends and edges are the only ones a joined piece may take::

      row's start                   other end
      +----------------------------+
      | sawn            factory end|     an offcut that can start a row
      +----------------------------+
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from flooring_kit.setting_out.boards import Rectangle, Saw, Sawn, Stock, is_loose, saw_all
from flooring_kit.setting_out.pieces import Piece


@dataclass(frozen=True)
class AtHand:
    """A board begun, or an offcut of one, in coordinates of its own [tenths of mm].

    Parameters
    ----------
    board
        Board number.
    length_t, width_t
        What of it can be used.
    ends, edges
        Which of its ends (left, right) and edges (back, front) are factory ones.
    gone
        Parts of it that are spoiled or lost.
    """

    board: int
    length_t: int
    width_t: int
    ends: tuple[bool, bool] = (True, True)
    edges: tuple[bool, bool] = (True, True)
    gone: tuple[Rectangle, ...] = ()


@dataclass(frozen=True)
class Begun:
    """What is sawn already, and what there is to saw from.

    Parameters
    ----------
    laid
        Pieces that are in the floor, by index, where they were sawn.
    at_hand
        Boards begun and offcuts.
    kept
        Pieces planned where they may stay, by index.
    most_waiting
        Most offcuts of boards opened from here on that may wait; None for as many as come.
    """

    laid: Mapping[int, Sawn] = field(default_factory=dict)
    at_hand: Sequence[AtHand] = ()
    kept: Mapping[int, Sawn] = field(default_factory=dict)
    most_waiting: int | None = None


def saw_on(
    pieces: Sequence[Piece],
    begun: Begun,
    *,
    board_t: int,
    width_t: int,
    spacing_t: int,
    riders: Mapping[int, int | None] | None = None,
) -> list[Sawn]:
    """A board and a place on it for every piece of a floor that is half laid or has offcuts to begin with.

    Tried with the places planned kept and with all of them given up; the fewest boards opened wins, then what keeps
    more places. Boards begun, and those whose places are kept, keep their numbers; new ones take numbers not yet used.

    Parameters
    ----------
    pieces
        In laying order.
    begun
        What is sawn, and what there is to saw from. A laid piece is taken to lie where it was sawn even where it
        used up the spacing.
    board_t, width_t, spacing_t, riders
        As for :func:`saw_from_boards`.
    """
    tried: list[tuple[int, int, list[Sawn]]] = []
    for kept in (begun.kept, {}) if begun.kept else ({},):
        for ends_first in (True, False):
            saw = Saw(pieces, board_t, width_t, spacing_t)
            numbers = _lay_what_is_begun(saw, begun, kept)
            _saw_the_rest(saw, riders or {}, ends_first=ends_first)
            _gather(saw, len(begun.at_hand))
            if begun.most_waiting is not None:
                saw.keep_waiting_at_most(begun.most_waiting, opened_from=len(begun.at_hand))
            _number_new_boards(saw, numbers, begun.kept)
            sawn = [_on_its_board(saw, i, numbers) for i in range(len(pieces))]
            opened = {board for board, _, _ in saw.places.values() if board >= len(begun.at_hand)}
            moved = sum(sawn[i] != place for i, place in begun.kept.items())
            tried.append((len(opened), moved, sawn))
    return min(tried, key=lambda option: option[:2])[2]


def _saw_the_rest(saw: Saw, riders: Mapping[int, int | None], *, ends_first: bool) -> None:
    """Saw every piece that has no place yet: offcuts filled and ends paired, or the longest where it fits best."""
    pieces, hosts = saw.pieces, set(riders.values())
    left = [i for i in range(len(pieces)) if i not in saw.places]
    riding = {i: host for i, host in riders.items() if i in left}
    half = saw.width_t - saw.spacing_t  # two pieces no wider than half of this fit side by side
    wide = [i for i in left if i not in riders and (i in hosts or 2 * pieces[i].width_t > half)]
    if ends_first:
        _fill_what_is_begun(saw, wide)
        saw_all(saw, [i for i in wide if i not in saw.places], riding, loose_first=False)
    else:
        for i in sorted(wide, key=lambda i: (-pieces[i].length_t, i)):
            saw.place_closest(i)
        saw_all(saw, [], riding, loose_first=False)


def _lay_what_is_begun(saw: Saw, begun: Begun, kept: Mapping[int, Sawn]) -> dict[int, int]:
    """Put what is laid and what is kept on its boards; the number of each board opened so far."""
    numbers: dict[int, int] = {}
    at: dict[int, int] = {}
    for stock in begun.at_hand:
        gone = list(stock.gone)
        used = sum((high - low) * (front - back) for low, back, high, front in gone)
        numbers[len(saw.boards)] = stock.board
        at[stock.board] = len(saw.boards)
        saw.boards.append(Stock(stock.length_t, stock.width_t, stock.ends, stock.edges, gone, used))
    for i, place in begun.laid.items():
        piece, board = saw.pieces[i], at[place.board]
        along = saw.boards[board].length - piece.length_t if piece.right else place.along_t
        saw.lay(i, board, along, place.across_t)
    for i, place in kept.items():
        if place.board not in at:
            numbers[len(saw.boards)] = place.board
            at[place.board] = len(saw.boards)
            saw.boards.append(Stock(saw.board_t, saw.width_t))
        saw.try_place(i, at[place.board], place)
    return numbers


def _fill_what_is_begun(saw: Saw, wide: Sequence[int]) -> None:
    """Give each board begun, the fullest first, the longest end that fits what is left of it.

    Every end that fits the fuller board fits the emptier one, so this uses as many offcuts as can be used.
    """
    ends = sorted((i for i in wide if not is_loose(saw.pieces[i])), key=lambda i: (-saw.pieces[i].length_t, i))
    loose = sorted((i for i in wide if is_loose(saw.pieces[i])), key=lambda i: (-saw.pieces[i].length_t, i))
    boards = range(len(saw.boards))
    for board in sorted(boards, key=lambda n: (saw.boards[n].length * saw.boards[n].width - saw.boards[n].used, n)):
        for group in (ends, ends, loose):  # a board with both factory ends left can give two
            for i in group:
                if i not in saw.places and not (saw.pieces[i].left and saw.pieces[i].right):
                    spot = saw.spot(i, board)
                    if spot is not None:
                        saw.lay(i, board, *spot)
                        break


def _number_new_boards(saw: Saw, numbers: dict[int, int], planned: Mapping[int, Sawn]) -> None:
    """Give each board opened the number it was planned with, if one of its pieces tells, else one not yet used."""
    new = [board for board in dict.fromkeys(saw.places[i][0] for i in range(len(saw.pieces))) if board not in numbers]
    taken = set(numbers.values())
    for i, place in planned.items():
        board = saw.places[i][0]
        if board not in numbers and place.board not in taken:
            numbers[board] = place.board
            taken.add(place.board)
    free = (number for number in range(1, len(saw.pieces) + len(taken) + 2) if number not in taken)
    numbers |= {board: next(free) for board in new if board not in numbers}


def _gather(saw: Saw, opened_before: int) -> None:
    """Do without every new board that only one piece is sawn from, where another board has room for that piece."""
    on: dict[int, list[int]] = {}
    for i, (board, _, _) in saw.places.items():
        on.setdefault(board, []).append(i)
    alone = [(board, members[0]) for board, members in on.items() if board >= opened_before and len(members) == 1]
    for board, i in sorted(alone, key=lambda one: (saw.pieces[one[1]].length_t, one[1])):
        need = saw.pieces[i].length_t * saw.pieces[i].width_t
        for other, stock in enumerate(saw.boards):
            is_open = other < opened_before or stock.laid
            if other == board or not is_open or stock.used + need > stock.length * stock.width:
                continue
            spot = saw.spot(i, other)
            if spot is not None:
                saw.boards[board] = Stock(saw.board_t, saw.width_t)
                saw.lay(i, other, *spot)
                break


def _on_its_board(saw: Saw, i: int, numbers: Mapping[int, int]) -> Sawn:
    """Where a piece lies on a whole board: a factory end of an offcut is the board's own end."""
    board, along, across = saw.places[i]
    piece = saw.pieces[i]
    if piece.right:
        along = saw.board_t - piece.length_t
    if piece.front:
        across = saw.width_t - piece.width_t
    return Sawn(numbers[board], along, across)
