"""The search for first joints: fewest boards first, offsets held, then the most irregular pattern.

A row's first joint decides all its cuts, so a plan is one number a run. The search starts from chains of
offcuts that need the fewest boards (:mod:`.chains`), deals the joints out to the rows, and then improves by
small moves: change two runs over, move one joint, fit a starter to another run's offcut. It counts moves, not
seconds, so that the same floor gives the same plan on any machine.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from flooring_kit.setting_out.chains import (
    Component,
    RowLength,
    Zone,
    allowed_first_joints,
    fewest_extra_boards,
    finisher_t,
    highest_allowed,
    taken_apart,
)
from flooring_kit.setting_out.pattern import (
    FEWEST_ROWS_SCORED,
    LINED_UP_MM,
    SAME_STEP_MM,
    tracing_score,
)
from flooring_kit.setting_out.sharing import most_shared

MOVES_A_STEP = 150
"""Moves between two chances for a caller to stop or look: well under 20 ms for a room."""

OFFSET_BROKEN, LINED_UP, STAIR = 10_000, 100, 60
"""Weights of the faults: any broken offset outweighs every lined-up row and stair of a house."""


@dataclass(frozen=True)
class JointedRun:
    """A run of two pieces or more, as the search sees it [tenths of mm].

    Parameters
    ----------
    start
        Where the run begins along the boards (a float: rooms do not start on a tenth).
    length
        Run length, rounded up.
    row
        Row number.
    reach
        (start, end) of the run, for overlaps.
    """

    start: float
    length: int
    row: int

    @property
    def end(self) -> float:
        return self.start + self.length


@dataclass(frozen=True)
class JointRules:
    """Board and rules as the search sees them [tenths of mm]."""

    board: int
    spacing: int
    shortest: int
    offset: float


@dataclass(frozen=True)
class Standing:
    """How good a set of first joints is; compares in the order of the fields, smaller is better."""

    broken_offsets: int
    boards: int
    pattern_cost: int
    score: float

    def key(self) -> tuple[int, int, int, float]:
        """Offsets first, then boards, then the pattern."""
        return (self.broken_offsets, self.boards, self.pattern_cost, self.score)


class JointSearch:
    """First joints for all runs of a floor, and moves that better them.

    Parameters
    ----------
    runs
        Runs of two pieces or more, in any order.
    rules
        Board and rules.
    seed
        Gives other, equally good plans.

    Attributes
    ----------
    joints : list of int
        First joint of each run being tried, from the run's start [tenths of mm].
    best_joints : list of int
        The best first joints so far.
    """

    def __init__(self, runs: Sequence[JointedRun], rules: JointRules, *, seed: int = 0) -> None:
        self.runs = tuple(runs)
        self.rules = rules
        self._random = random.Random(seed)
        self._rows = [taken_apart(run.length, rules.board) for run in self.runs]
        self._zones = [self._zones_of(row) for row in self._rows]
        self._alike = self._runs_alike()
        self._find_neighbours()
        self.joints = self._chained_joints()
        self._deal_out()
        self.best_joints = list(self.joints)

    # ------------------------------------------------------------------ what a set of joints costs

    def boards(self) -> int:
        """Boards the cut pieces and whole boards of all runs need, starters and finishers shared."""
        board, joints = self.rules.board, self.joints
        pieces = 0
        starters: list[int] = []
        finishers: list[int] = []
        for row, first in zip(self._rows, joints, strict=True):
            rest = row.rest
            if first < rest:
                pieces += row.whole + 2
                starters.append(first)
                finishers.append(rest - first)
            else:
                pieces += row.whole + 1
                if first < board:
                    starters.append(first)
                if first > rest:
                    finishers.append(rest + board - first)
        return pieces - most_shared(starters, finishers, board - self.rules.spacing)

    def standing(self) -> Standing:
        """How good the joints are as they stand."""
        broken = sum(1 for i, j in self._pairs if self._apart(i, j) < self.rules.offset)
        pattern = sum(LINED_UP for i, j in self._second_pairs if self._apart(i, j) <= LINED_UP_MM * 10)
        pattern += sum(STAIR for triple in self._triples if self._is_stair(*triple))
        return Standing(broken, self.boards(), pattern, self._score())

    def _score(self) -> float:
        if len(self._spine) < FEWEST_ROWS_SCORED:
            return 0.0
        phases = [(self.runs[i].start + self.joints[i]) / 10 for i in self._spine]
        return tracing_score(phases, self.rules.board / 10).score_fraction

    def _apart(self, i: int, j: int) -> float:
        """Least distance between a joint of run i and a joint of run j, both inside their runs."""
        board = self.rules.board
        first_i, first_j = self.joints[i], self.joints[j]
        row_i, row_j = self._rows[i], self._rows[j]
        last_i = row_i.whole - (first_i >= row_i.rest)
        last_j = row_j.whole - (first_j >= row_j.rest)
        between = self.runs[j].start + first_j - self.runs[i].start - first_i
        boards_between = round(-between / board)
        if boards_between < -last_i:
            boards_between = -last_i
        elif boards_between > last_j:
            boards_between = last_j
        return abs(between + boards_between * board)

    def _is_stair(self, i: int, j: int, k: int) -> bool:
        board, runs, joints = self.rules.board, self.runs, self.joints
        middle = runs[j].start + joints[j]
        bend = (runs[i].start + joints[i] + runs[k].start + joints[k] - 2 * middle) % board
        return bool(min(bend, board - bend) <= SAME_STEP_MM * 10)

    def _cost_at(self, touched: tuple[int, ...]) -> int:
        """Weighted faults in which any of these runs has a part."""
        offset = self.rules.offset
        cost = 0
        for i, j in self._fault_pairs(touched):
            apart = self._apart(i, j)
            if apart < offset:
                cost += OFFSET_BROKEN + int(offset - apart)
        for i, j in self._fault_second_pairs(touched):
            if self._apart(i, j) <= LINED_UP_MM * 10:
                cost += LINED_UP
        for i, j, k in self._fault_triples(touched):
            if self._is_stair(i, j, k):
                cost += STAIR
        return cost

    def _fault_pairs(self, touched: tuple[int, ...]) -> Sequence[tuple[int, int]]:
        if len(touched) == 1:
            return self._pairs_at[touched[0]]
        return list(dict.fromkeys(pair for i in touched for pair in self._pairs_at[i]))

    def _fault_second_pairs(self, touched: tuple[int, ...]) -> Sequence[tuple[int, int]]:
        if len(touched) == 1:
            return self._second_pairs_at[touched[0]]
        return list(dict.fromkeys(pair for i in touched for pair in self._second_pairs_at[i]))

    def _fault_triples(self, touched: tuple[int, ...]) -> Sequence[tuple[int, int, int]]:
        if len(touched) == 1:
            return self._triples_at[touched[0]]
        return list(dict.fromkeys(triple for i in touched for triple in self._triples_at[i]))

    # ------------------------------------------------------------------ the search

    def better(self, *, least_boards: int) -> Iterator[Standing]:
        """Better and better joints, the best standing so far after every step.

        Parameters
        ----------
        least_boards
            A lower bound on :meth:`boards`: the search for fewer boards ends there.
        """
        if not self.runs:
            return
        count = len(self.runs)
        best = self.standing()
        starts = 0
        while starts < 6 and (best.broken_offsets or best.boards > least_boards or best.pattern_cost):
            if starts:
                self._fresh_start(shuffle=starts % 2 == 1)
            target = max(least_boards, min(best.boards, self.boards()))
            for most_boards in (target, target + 1):
                for _ in range(2 + count // 40):
                    self._anneal(MOVES_A_STEP, most_boards)
                    now = self.standing()
                    if now.key() < best.key():
                        best, self.best_joints = now, list(self.joints)
                    yield best
                    if not now.broken_offsets and not now.pattern_cost and now.boards <= most_boards:
                        break
                if not best.broken_offsets:
                    break
            starts += 1
        self.joints = list(self.best_joints)
        if len(self._spine) >= FEWEST_ROWS_SCORED:
            yield from self._more_irregular(best)

    def _fresh_start(self, *, shuffle: bool) -> None:
        self.joints = self._chained_joints() if shuffle else list(self.best_joints)
        self._deal_out()

    def _anneal(self, moves: int, most_boards: int) -> None:
        """Random small moves; those that cost boards beyond `most_boards` are never taken."""
        draw = self._random.random
        count = len(self.runs)
        boards_now = self.boards()
        heat = 60.0
        for _ in range(moves):
            heat *= 0.985
            i = self._random.randrange(count)
            if draw() < 0.6 and not self._cost_at((i,)):
                i = self._random.randrange(count)  # look a second time for a run with a fault
            alike = self._alike[i]
            before_i = self.joints[i]
            if len(alike) > 1 and draw() < 0.55:
                j = alike[self._random.randrange(len(alike))]
                before_j = self.joints[j]
                if before_i == before_j:
                    continue
                touched: tuple[int, ...] = (i, j)
                cost = self._cost_at(touched)
                self.joints[i], self.joints[j] = before_j, before_i
                change = self._cost_at(touched) - cost
                if change > 0 and draw() >= math.exp(-change / heat):
                    self.joints[i], self.joints[j] = before_i, before_j
                continue
            cost = self._cost_at((i,))
            self.joints[i] = self._moved(i)
            change = self._cost_at((i,)) - cost
            if change > 0 and draw() >= math.exp(-change / heat):
                self.joints[i] = before_i
                continue
            boards_then = self.boards()
            if boards_then > max(most_boards, boards_now):
                self.joints[i] = before_i
            else:
                boards_now = boards_then

    def _moved(self, i: int) -> int:
        """Another first joint for run i: anywhere allowed, near by, or fitted to another run's offcut."""
        kind = self._random.random()
        zones = self._zones[i]
        if kind < 0.5:
            return self._anywhere(zones)
        if kind < 0.75:
            near = self.joints[i] + self._random.randint(-600, 600)
            return highest_allowed(zones, near) or self.joints[i]
        j = self._random.randrange(len(self.runs))
        offcut = self.rules.board - self.rules.spacing - finisher_t(self._rows[j], self.joints[j], self.rules.board)
        if kind < 0.9:
            return highest_allowed(zones, offcut) or self.joints[i]
        return zones[-1][1]

    def _anywhere(self, zones: tuple[Zone, ...]) -> int:
        widths = [high - low + 1 for low, high in zones]
        at = self._random.randrange(sum(widths))
        for (low, _), width in zip(zones, widths, strict=True):
            if at < width:
                return low + at
            at -= width
        raise AssertionError("unreachable")

    def _more_irregular(self, best: Standing) -> Iterator[Standing]:
        """Lower the tracing-paper score without giving up anything else."""
        limit = (best.broken_offsets * OFFSET_BROKEN, best.boards, best.pattern_cost)
        score = best.score
        count = len(self._spine)
        for _ in range(10):
            for _ in range(max(12, 1200 // count)):
                i = self._spine[self._random.randrange(count)]
                alike = self._alike[i]
                swap = len(alike) > 1 and self._random.random() < 0.5
                j = alike[self._random.randrange(len(alike))] if swap else i
                touched = (i, j) if j != i else (i,)
                cost = self._cost_at(touched)
                before_i, before_j = self.joints[i], self.joints[j]
                if swap:
                    self.joints[i], self.joints[j] = before_j, before_i
                else:
                    self.joints[i] = self._moved(i)
                keep = self._cost_at(touched) <= cost and (swap or self.boards() <= limit[1])
                new_score = self._score() if keep else 1.0
                if keep and new_score <= score:
                    score = new_score
                else:
                    self.joints[j], self.joints[i] = before_j, before_i
            now = self.standing()
            if now.key() < best.key():
                best, self.best_joints = now, list(self.joints)
            yield best

    # ------------------------------------------------------------------ the start

    def _zones_of(self, row: RowLength) -> tuple[Zone, ...]:
        zones = allowed_first_joints(row, self.rules.board, self.rules.shortest)
        if zones:
            return zones
        longest_ends = (self.rules.board + row.rest) // 2  # no joint holds the rule: both ends as long as can be
        return ((longest_ends, longest_ends),)

    def _runs_alike(self) -> list[list[int]]:
        """For each run, all runs whose joints it can change over with, without changing the cuts."""
        by_row: dict[RowLength, list[int]] = {}
        for i, row in enumerate(self._rows):
            by_row.setdefault(row, []).append(i)
        return [by_row[row] for row in self._rows]

    def _find_neighbours(self) -> None:
        by_row: dict[int, list[int]] = {}
        for i, run in enumerate(self.runs):
            by_row.setdefault(run.row, []).append(i)

        def overlapping(i: int, row: int) -> list[int]:
            run = self.runs[i]
            return [
                j
                for j in by_row.get(row, ())
                if min(run.end, self.runs[j].end) - max(run.start, self.runs[j].start) > 1
            ]

        self._pairs = [(i, j) for i, run in enumerate(self.runs) for j in overlapping(i, run.row + 1)]
        self._second_pairs = [(i, j) for i, run in enumerate(self.runs) for j in overlapping(i, run.row + 2)]
        self._triples = [(i, j, k) for i, j in self._pairs for k in overlapping(j, self.runs[j].row + 1)]
        count = len(self.runs)
        self._pairs_at: list[list[tuple[int, int]]] = [[] for _ in range(count)]
        self._second_pairs_at: list[list[tuple[int, int]]] = [[] for _ in range(count)]
        self._triples_at: list[list[tuple[int, int, int]]] = [[] for _ in range(count)]
        for pair in self._pairs:
            for i in pair:
                self._pairs_at[i].append(pair)
        for pair in self._second_pairs:
            for i in pair:
                self._second_pairs_at[i].append(pair)
        for triple in self._triples:
            for i in triple:
                self._triples_at[i].append(triple)
        self._spine = [
            max(members, key=lambda i: (self.runs[i].length, -self.runs[i].start))
            for _, members in sorted(by_row.items())
        ]

    def _chained_joints(self) -> list[int]:
        """First joints linked into chains of offcuts, slack spread at random."""
        joints = [0] * len(self.runs)
        seen: set[RowLength] = set()
        single: list[int] = []
        for i, row in enumerate(self._rows):
            if row in seen:
                continue
            seen.add(row)
            members = list(self._alike[i])
            if len(members) < 3 or not allowed_first_joints(row, self.rules.board, self.rules.shortest):
                single.extend(members)
                continue
            _, parts = fewest_extra_boards(row, self.rules.board, self.rules.spacing, self.rules.shortest, len(members))
            self._random.shuffle(members)
            for part in parts:
                for joint in self._spread(row, part):
                    if members:
                        joints[members.pop()] = joint
        single.sort(key=lambda i: (self._rows[i].rest, i))
        previous: int | None = None
        for i in single:
            zones = self._zones[i]
            first: int | None = None
            if previous is not None:
                offcut = (
                    self.rules.board
                    - self.rules.spacing
                    - finisher_t(self._rows[previous], joints[previous], self.rules.board)
                )
                first = highest_allowed(zones, offcut)
            joints[i] = zones[-1][1] if first is None else first
            previous = i
        return joints

    def _spread(self, row: RowLength, part: Component) -> tuple[int, ...]:
        """The component's joints with its slack shared out at random, so that rows differ."""
        board, spacing = self.rules.board, self.rules.spacing
        zones = self._zones_of(row)
        rows = len(part.first_joints_t)
        slack = max(0, part.boards * board - rows * (row.rest + spacing)) / rows
        low, high = zones[0] if part.closed else zones[-1]
        for share in (2.0, 1.2, 0.7, 0.4, 0.2):
            span = high - low if part.closed else min(high - low, int(share * slack))
            joints = [high - self._random.randint(0, span)]
            while len(joints) < rows:
                limit = board - spacing - finisher_t(row, joints[-1], board)
                following = highest_allowed(zones, limit - self._random.randint(0, int(share * slack)))
                if following is None or joints[-1] == row.rest:
                    break
                joints.append(following)
            if len(joints) < rows:
                continue
            rounds = sum(joint < row.rest for joint in joints)
            back = board - spacing - finisher_t(row, joints[-1], board)
            if part.closed and rounds <= part.boards and joints[-1] != row.rest and back >= joints[0]:
                return tuple(joints)
            if not part.closed and rounds < part.boards:
                return tuple(joints)
        return part.first_joints_t

    def _deal_out(self) -> None:
        """Give alike runs their joints in an order that breaks few offsets: nearest faults first, row by row."""
        offset = self.rules.offset
        dealt: set[int] = set()
        for i in sorted(range(len(self.runs)), key=lambda i: (self.runs[i].row, self.runs[i].start)):
            open_runs = [j for j in self._alike[i] if j not in dealt]
            before = [pair for pair in self._pairs_at[i] if (pair[0] in dealt) or (pair[1] in dealt)]
            second = [pair for pair in self._second_pairs_at[i] if (pair[0] in dealt) or (pair[1] in dealt)]
            own = self.joints[i]
            best_j, best_cost = i, math.inf
            for j in open_runs:
                self.joints[i] = self.joints[j] if j != i else own
                cost = sum(3.0 for a, b in before if self._apart(a, b) < offset)
                cost += sum(1.0 for a, b in second if self._apart(a, b) <= LINED_UP_MM * 10)
                cost += self._random.random() * 0.5
                if cost < best_cost:
                    best_j, best_cost = j, cost
            self.joints[i] = own
            self.joints[i], self.joints[best_j] = self.joints[best_j], self.joints[i]
            dealt.add(i)
