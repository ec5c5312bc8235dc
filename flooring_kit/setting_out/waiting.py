"""Offcuts that wait for a later row: how many at once."""

from __future__ import annotations

from collections.abc import Sequence

Wait = tuple[int, int]
"""The row an offcut is left in, and the row it is used in."""


def pile_after_rows(waits: Sequence[Wait]) -> dict[int, int]:
    """How many offcuts wait when each row is done, for the rows after which any do.

    >>> pile_after_rows([(1, 3), (1, 2), (2, 2)])
    {1: 2, 2: 1}
    """
    if not waits:
        return {}
    change: dict[int, int] = {}
    for left, used in waits:
        change[left] = change.get(left, 0) + 1
        change[used] = change.get(used, 0) - 1
    pile: dict[int, int] = {}
    waiting = 0
    for row in range(min(change), max(change)):
        waiting += change.get(row, 0)
        if waiting:
            pile[row] = waiting
    return pile


def sum_of_squares(waits: Sequence[Wait]) -> int:
    """Squares of the pile after every row, summed: small where few wait, and never many at once.

    >>> sum_of_squares([(1, 3), (1, 2), (2, 2)])
    5
    """
    return sum(waiting * waiting for waiting in pile_after_rows(waits).values())


def waits_to_drop(waits: Sequence[Wait], most: int) -> list[int]:
    """Fewest offcuts to throw away, by index, so that no more than `most` ever wait at once.

    Row by row, wherever too many wait, the one that would wait longest goes: the classic greedy choice for intervals,
    which can't be bettered because it leaves the least behind for every later row.

    >>> waits_to_drop([(1, 9), (2, 4), (3, 5)], 2)
    [0]
    """
    dropped: list[int] = []
    waiting: list[tuple[int, int]] = []
    for index in sorted(range(len(waits)), key=lambda i: waits[i]):
        left, used = waits[index]
        if used <= left:
            continue
        waiting = [(until, other) for until, other in waiting if until > left]
        waiting.append((used, index))
        if len(waiting) > most:
            longest = max(waiting)
            waiting.remove(longest)
            dropped.append(longest[1])
    return sorted(dropped)
