"""How offcuts pass from row to row, and the fewest boards for rows of equal length.

All lengths in tenths of a millimetre. A row of length R = q·L + rest (0 < rest <= L) is one number, its first
joint a in (0, L]. It is sawn into a starter of length a (no cut where a = L), whole boards, and a finisher of
length (rest - a) mod L (no cut where a = rest). The starter keeps its right factory end, the finisher its
left one, so a finisher of one row and a starter of another may share a board::

    board  |--- finisher of row i ---|saw|--- starter of row j ---|      finisher + spacing + starter <= L

Following the sharing from row to row gives paths and closed rounds. On a circle as long as a board each step
goes down by at least rest + spacing; a row with a < rest carries the path once round. A path that goes round
x - 1 times takes x boards beyond q for each row, a closed round that goes round x times takes x. The fewest
boards are then a small knapsack over paths and rounds. Without the offset rule the figure is exact for rows
of two pieces and more; with it, it is still a lower bound.
"""

from __future__ import annotations

import random
from dataclasses import dataclass
from functools import lru_cache

Zone = tuple[int, int]


@dataclass(frozen=True)
class RowLength:
    """A row length taken apart: R = whole * L + rest, 0 < rest <= L [tenths of mm]."""

    whole: int
    rest: int


def taken_apart(length_t: int, board_t: int) -> RowLength:
    """The row's whole boards and its rest.

    >>> taken_apart(40000, 18000)
    RowLength(whole=2, rest=4000)
    """
    whole, rest = divmod(length_t, board_t)
    return RowLength(whole, rest) if rest else RowLength(whole - 1, board_t)


@lru_cache(maxsize=4096)
def allowed_first_joints(row: RowLength, board_t: int, shortest_t: int) -> tuple[Zone, ...]:
    """Closed zones of first joints that leave no piece too short, lowest first; empty where none exists."""
    if row.whole == 0:
        return ()
    rest, shortest = row.rest, max(shortest_t, 1)
    if rest < shortest:
        high = board_t + rest - shortest
        return ((shortest, high),) if shortest <= high else ()
    zones: list[Zone] = []
    if rest >= 2 * shortest:
        zones.append((shortest, rest - shortest))
    zones.append((rest, board_t))
    return tuple(zones)


def highest_allowed(zones: tuple[Zone, ...], limit_t: int) -> int | None:
    """The highest first joint not above `limit_t`, or None."""
    for low, high in reversed(zones):
        if limit_t >= low:
            return min(limit_t, high)
    return None


def finisher_t(row: RowLength, first_joint_t: int, board_t: int) -> int:
    """Length of the last piece; the board's own length where the row ends on a whole board."""
    return (row.rest - first_joint_t) % board_t or board_t


@dataclass(frozen=True)
class Component:
    """A path or a closed round of rows linked by shared boards.

    Parameters
    ----------
    closed
        Whether the last row's offcut starts the first.
    boards
        Boards beyond `whole` for each row.
    first_joints_t
        Highest first joints that hold the links, in the order of the links.
    """

    closed: bool
    boards: int
    first_joints_t: tuple[int, ...]

    @property
    def rows(self) -> int:
        """Rows it links."""
        return len(self.first_joints_t)


def _longest(
    row: RowLength, board_t: int, spacing_t: int, shortest_t: int, *, closed: bool, most_rows: int
) -> dict[int, tuple[int, ...]]:
    """For each number of boards, the longest path (or closed round), always taking the highest next joint."""
    zones = allowed_first_joints(row, board_t, shortest_t)
    if not zones or (closed and len(zones) < 2):
        return {}
    start = zones[0][1] if closed else zones[-1][1]
    longest: dict[int, tuple[int, ...]] = {}
    joints = [start]
    rounds = int(start < row.rest)
    while True:
        end = joints[-1]
        limit = board_t - spacing_t - finisher_t(row, end, board_t)
        if not closed:
            longest[rounds + 1] = tuple(joints)
        elif limit >= start:
            longest[rounds] = tuple(joints)
        if len(joints) == most_rows:
            return longest
        if end == row.rest:  # ends on whole boards: nothing to hand on, so put a low row in its place
            if len(zones) < 2 or len(joints) == 1:
                return longest
            joints[-1] = zones[0][1]
            rounds += 1
            continue
        following = highest_allowed(zones, limit)
        if following is None:
            return longest
        joints.append(following)
        rounds += following < row.rest


@lru_cache(maxsize=512)
def components(row: RowLength, board_t: int, spacing_t: int, shortest_t: int, rows: int) -> tuple[Component, ...]:
    """The longest path and the longest closed round for every number of boards that can help `rows` rows."""
    found: list[Component] = []
    for closed in (True, False):
        most = 0
        by_boards = _longest(row, board_t, spacing_t, shortest_t, closed=closed, most_rows=rows)
        for boards, joints in sorted(by_boards.items()):
            if len(joints) > most:
                most = len(joints)
                found.append(Component(closed, boards, joints))
    return tuple(found)


@lru_cache(maxsize=512)
def _most_rows(row: RowLength, board_t: int, spacing_t: int, shortest_t: int, rows: int) -> tuple[int, ...]:
    """The most rows that 0, 1, 2 ... boards beyond `whole` a row can cover, up to the first that covers `rows`."""
    choices = components(row, board_t, spacing_t, shortest_t, rows)
    if not choices:
        raise ValueError("Rows of one piece, or with no allowed first joint, have no chain of offcuts.")
    most = [0]
    while most[-1] < rows:
        boards = len(most)
        most.append(max((most[boards - c.boards] + c.rows for c in choices if c.boards <= boards), default=0))
    return tuple(most)


def fewest_extra_boards(row: RowLength, board_t: int, spacing_t: int, shortest_t: int, rows: int) -> int:
    """Fewest boards beyond `whole` a row for `rows` equal rows.

    Raises
    ------
    ValueError
        If the row is one piece, or no first joint is allowed.

    Examples
    --------
    Row 4000, board 1800, kerf 3, shortest 300, four rows: two whole boards a row and one more in all, 9 boards
    (hand sum: starters 1800, 1397, 994, 591 and finishers 400, 803, 1206, 1609 share three boards of twelve).

    >>> fewest_extra_boards(taken_apart(40000, 18000), 18000, 30, 3000, 4)
    1
    """
    return len(_most_rows(row, board_t, spacing_t, shortest_t, rows)) - 1


def fewest_board_components(
    row: RowLength, board_t: int, spacing_t: int, shortest_t: int, rows: int, draw: random.Random
) -> list[Component]:
    """Components that cover `rows` equal rows with the fewest boards: one of the ways there are, drawn at random.

    Raises
    ------
    ValueError
        As :func:`fewest_extra_boards`.
    """
    most = _most_rows(row, board_t, spacing_t, shortest_t, rows)
    choices = components(row, board_t, spacing_t, shortest_t, rows)
    picked: list[Component] = []
    boards = len(most) - 1
    while rows > 0:
        fitting = [c for c in choices if c.boards <= boards and most[boards - c.boards] + c.rows >= rows]
        picked.append(draw.choice(fitting))
        boards -= picked[-1].boards
        rows -= picked[-1].rows
    return picked
