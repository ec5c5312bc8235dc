"""How many boards cut pieces need when each board gives at most one starter and one finisher."""

from __future__ import annotations

from bisect import bisect_right, insort
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

MOST_ROUNDS, MOST_CHANGED_OVER = 4, 60
"""Rounds of changing partners over; one only where there are more pairs than this."""


def most_shared(starters_t: Iterable[int], finishers_t: Iterable[int], fit_t: int) -> int:
    """The most starter-finisher pairs whose lengths add up to at most `fit_t`.

    Lengths in tenths of mm. Taking the finishers longest first, each is given the shortest starter left: a
    finisher too long for that one is too long for all, so no pairing has more pairs.

    >>> most_shared([13970, 9940, 5910], [4000, 8030, 12060, 16090], 17970)
    3
    """
    waiting = sorted(starters_t)
    count = len(waiting)
    pairs = 0
    for finisher in sorted(finishers_t, reverse=True):
        if pairs == count:
            break
        if waiting[pairs] + finisher <= fit_t:
            pairs += 1
    return pairs


def pair_up(
    starters_t: Sequence[int],
    finishers_t: Sequence[int],
    fit_t: int,
    *,
    rows: tuple[Sequence[int], Sequence[int]] | None = None,
    changing_over: bool = True,
) -> list[tuple[int, int]]:
    """The pairs themselves, as (starter index, finisher index): as many as :func:`most_shared` counts.

    The longest finisher may take any starter that fits it: all that fit it fit every shorter finisher too, so the
    count stays the same. Without `rows` it takes the shortest, so that lengths left over stay long; with `rows`,
    those of the starters and of the finishers, the one in the nearest row, so that the offcut waits least; then
    partners are changed over while that lets offcuts wait less, unless `changing_over` is False, for speed.

    >>> pair_up([500, 700], [600, 600], 1300)
    [(0, 0), (1, 1)]
    >>> pair_up([500, 700], [600, 600], 1300, rows=([9, 2], [1, 8]))
    [(1, 0), (0, 1)]
    """
    starters = sorted(range(len(starters_t)), key=lambda i: (starters_t[i], i))
    lengths = [starters_t[i] for i in starters]
    pairs: list[tuple[int, int]] = []
    for j in sorted(range(len(finishers_t)), key=lambda j: (-finishers_t[j], j)):
        fitting = bisect_right(lengths, fit_t - finishers_t[j])
        if not fitting:
            continue
        at = 0
        if rows is not None:
            row = rows[1][j]
            at = min(range(fitting), key=lambda place: abs(rows[0][starters[place]] - row))
        pairs.append((starters.pop(at), j))
        del lengths[at]
    return pairs if rows is None or not changing_over else _changed_over(pairs, (starters_t, finishers_t), fit_t, rows)


def _changed_over(
    pairs: list[tuple[int, int]],
    lengths: tuple[Sequence[int], Sequence[int]],
    fit_t: int,
    rows: tuple[Sequence[int], Sequence[int]],
) -> list[tuple[int, int]]:
    """The pairs, partners changed over, with one another and with ends left alone, wherever offcuts then wait less."""

    def fits(s: int, f: int) -> bool:
        return lengths[0][s] + lengths[1][f] <= fit_t

    def wait(s: int, f: int) -> int:
        return abs(rows[0][s] - rows[1][f])

    alone_s = sorted(set(range(len(lengths[0]))) - {s for s, _ in pairs})
    alone_f = sorted(set(range(len(lengths[1]))) - {f for _, f in pairs})
    for _ in range(MOST_ROUNDS if len(pairs) <= MOST_CHANGED_OVER else 1):
        before = list(pairs)
        for a, (s, f) in enumerate(pairs):
            for place, t in enumerate(alone_s):
                if wait(t, f) < wait(s, f) and fits(t, f):
                    alone_s[place], s = s, t
            for place, g in enumerate(alone_f):
                if wait(s, g) < wait(s, f) and fits(s, g):
                    alone_f[place], f = f, g
            pairs[a] = (s, f)
            for b in range(a + 1, len(pairs)):
                t, g = pairs[b]
                if wait(s, g) + wait(t, f) < wait(s, f) + wait(t, g) and fits(s, g) and fits(t, f):
                    pairs[a], pairs[b] = (s, g), (t, f)
                    f = g
        if pairs == before:
            break
    return pairs


def most_shared_with_loose(
    starters_t: Sequence[int], finishers_t: Sequence[int], loose_t: Sequence[int], fit_t: int
) -> int:
    """Pairs that share a board when loose pieces, which keep neither end, may join a starter, a finisher or another.

    The better of two orders: starters with finishers first, or each loose piece, longest first, with the longest
    piece that fits beside it. A count that can be reached, not always the most.

    >>> most_shared_with_loose([700], [600], [500, 800], 1400)
    2
    """
    pairs = most_shared(starters_t, finishers_t, fit_t)
    if not loose_t:
        return pairs
    loose_first, starters, finishers = _loose_first(starters_t, finishers_t, loose_t, fit_t)
    ends_left = pair_up(starters_t, finishers_t, fit_t)
    used_s, used_f = {i for i, _ in ends_left}, {j for _, j in ends_left}
    free = [length for i, length in enumerate(starters_t) if i not in used_s]
    free += [length for j, length in enumerate(finishers_t) if j not in used_f]
    ends_first = pairs + _loose_first(free, [], loose_t, fit_t)[0]
    return max(ends_first, loose_first + most_shared(starters, finishers, fit_t))


@dataclass(frozen=True)
class Offcuts:
    """What can be sawn from boards begun, without opening one [tenths of mm].

    Parameters
    ----------
    for_starters, for_finishers
        Longest starter each offcut gives that keeps the end starters need, and longest finisher.
    """

    for_starters: tuple[int, ...] = ()
    for_finishers: tuple[int, ...] = ()


def most_saved(
    starters_t: Sequence[int], finishers_t: Sequence[int], loose_t: Sequence[int], fit_t: int, offcuts: Offcuts
) -> int:
    """Ends and loose pieces that need no board of their own: sawn from an offcut, or sharing a board.

    The shortest offcut first, each takes the longest end that fits. An end that an offcut could take is never better
    spent on sharing: either way it saves one board, and what it would have shared with may save another.

    >>> most_saved([700, 400], [600], [], 1300, Offcuts(for_starters=(500,)))
    2
    """
    starters, finishers, loose = sorted(starters_t), sorted(finishers_t), sorted(loose_t)
    saved = 0
    for lengths, limits in ((starters, offcuts.for_starters), (finishers, offcuts.for_finishers)):
        for limit in sorted(limits):
            fitting = bisect_right(lengths, limit)
            if fitting:
                del lengths[fitting - 1]
                saved += 1
            else:
                fitting = bisect_right(loose, limit)
                if fitting:
                    del loose[fitting - 1]
                    saved += 1
    return saved + most_shared_with_loose(starters, finishers, loose, fit_t)


def _loose_first(
    starters_t: Sequence[int], finishers_t: Sequence[int], loose_t: Sequence[int], fit_t: int
) -> tuple[int, list[int], list[int]]:
    """Pairs made by the loose pieces, and the starters and finishers they leave."""
    starters, finishers = sorted(starters_t), sorted(finishers_t)
    waiting: list[int] = []
    pairs = 0
    for length in sorted(loose_t, reverse=True):
        room = fit_t - length
        at = [bisect_right(lengths, room) - 1 for lengths in (starters, finishers, waiting)]
        lengths_found = [
            lengths[i] if i >= 0 else -1 for lengths, i in zip((starters, finishers, waiting), at, strict=True)
        ]
        longest = max(lengths_found)
        if longest < 0:
            insort(waiting, length)
            continue
        which = lengths_found.index(longest)
        (starters, finishers, waiting)[which].pop(at[which])
        pairs += 1
    return pairs, starters, finishers
