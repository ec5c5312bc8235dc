"""How many boards a set of starters and finishers needs when each board gives at most one of each."""

from __future__ import annotations

from collections.abc import Iterable, Sequence


def most_shared(starters_t: Iterable[int], finishers_t: Iterable[int], fit_t: int) -> int:
    """The most starter-finisher pairs whose lengths add up to at most `fit_t`.

    Lengths in tenths of mm. Taking the finishers longest first, each is given the shortest starter left: a
    finisher too long for that one is too long for all, so no pairing has more pairs.

    >>> most_shared([13970, 9940, 5910], [4000, 8030, 12060, 16090], 17970)
    3
    """
    waiting = sorted(starters_t)
    pairs = 0
    for finisher in sorted(finishers_t, reverse=True):
        if pairs == len(waiting):
            break
        if waiting[pairs] + finisher <= fit_t:
            pairs += 1
    return pairs


def pair_up(starters_t: Sequence[int], finishers_t: Sequence[int], fit_t: int) -> list[tuple[int, int]]:
    """The pairs themselves, as (starter index, finisher index): as many as :func:`most_shared` counts.

    Each finisher gets the shortest starter that the count leaves to it, so lengths left over stay long.
    """
    by_length = sorted(range(len(starters_t)), key=lambda i: (starters_t[i], i))
    pairs: list[tuple[int, int]] = []
    for j in sorted(range(len(finishers_t)), key=lambda j: (-finishers_t[j], j)):
        if len(pairs) == len(by_length):
            break
        i = by_length[len(pairs)]
        if starters_t[i] + finishers_t[j] <= fit_t:
            pairs.append((i, j))
    return pairs
