"""The search for first joints: fewest boards first, offsets held, then the most irregular pattern.

A row's first joint decides all its cuts, so a plan is one number a run. The search starts from chains of
offcuts that need the fewest boards (:mod:`.chains`), deals the joints out to the rows, and then improves by
small moves: change two runs over, move one joint, fit a starter to another run's offcut. It counts moves, not
seconds, so that the same floor gives the same plan on any machine.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from flooring_kit.setting_out.chains import RowLength, finisher_t, highest_allowed, taken_apart
from flooring_kit.setting_out.pattern import (
    FEWEST_ROWS_SCORED,
    LINED_UP_MM,
    MOST_ROWS_SHIFTED,
    SAME_STEP_MM,
    Coinciding,
    tracing_score,
)
from flooring_kit.setting_out.sharing import most_shared, most_shared_with_loose
from flooring_kit.setting_out.starts import JointRules, anywhere_in, chained_joints, walked_joints, zones_of

FIRST_WALKS, MORE_WALKS = 12, 30
MOST_STARTS, PATTERN_STARTS, REFINEMENTS = 24, 12, 50
MOST_STEPS_FOR_BOARDS = 150
MOVES_A_STEP = 60
"""Moves between two chances for a caller to stop or look: well under 20 ms for a room."""

CHANGES_TRIED = 2
HOTTEST_PAIRS = 1.0
MOST_REFINING, REFINING_ALL_ROWS = 400, 7000
IRREGULAR_ENOUGH = 0.10
OFFSET_BROKEN, LINED_UP, STAIR = 10_000, 100, 60
"""Weights of the faults: any broken offset outweighs every lined-up row and stair of a house."""


@dataclass(frozen=True)
class JointedRun:
    """A run as the search and the habits see it [tenths of mm].

    Parameters
    ----------
    start
        Where the run begins along the boards (a float: rooms do not start on a tenth).
    length
        Run length, rounded up.
    row
        Row number.
    """

    start: float
    length: int
    row: int

    @property
    def end(self) -> float:
        """Where the run ends along the boards [tenths of mm]."""
        return self.start + self.length


@dataclass(frozen=True)
class Standing:
    """How good a set of first joints is; compares in the order of the fields, smaller is better."""

    broken_offsets: int
    boards: int
    pattern_cost: int
    score: float

    def key(self, allowed_boards: int = 0) -> tuple[int, int, int, float]:
        """Offsets first, then boards beyond those allowed, then the pattern."""
        return (self.broken_offsets, max(self.boards, allowed_boards), self.pattern_cost, self.score)


class JointSearch:
    """First joints for all runs of a floor, and moves that better them.

    Parameters
    ----------
    runs
        Runs of two pieces or more, in any order.
    rules
        Board and rules.
    loose_t
        Lengths of one-piece runs, which share boards with the rest [tenths of mm].
    riders
        Runs so narrow that they are sawn from the strips another run leaves, and so need no boards of their own:
        run -> the run whose joints it copies, or None where it is free to choose.
    seed
        Gives other, equally good plans.

    Attributes
    ----------
    joints : list of int
        First joint of each run being tried, from the run's start [tenths of mm].
    best_joints : list of int
        The best first joints so far.
    """

    def __init__(
        self,
        runs: Sequence[JointedRun],
        rules: JointRules,
        *,
        loose_t: Sequence[int] = (),
        riders: Mapping[int, int | None] | None = None,
        seed: int = 0,
    ) -> None:
        self.runs = tuple(runs)
        self.rules = rules
        self._loose = tuple(loose_t)
        self._random = random.Random(seed)
        self._rows = [taken_apart(run.length, rules.board) for run in self.runs]
        riders = riders or {}
        self._rider_of = {host: rider for rider, host in riders.items() if host is not None}
        self._moving = [i for i in range(len(self.runs)) if riders.get(i) is None]
        self._counted = [(i, row) for i, row in enumerate(self._rows) if i not in riders]
        self._zones = [zones_of(row, rules) for row in self._rows]
        self._join_hosts_and_riders()
        self._alike = self._runs_alike()
        self._find_neighbours()
        self.joints = self._start(FIRST_WALKS)
        self._deal_out()
        self._allowed_boards = 0
        self.best_joints = list(self.joints)
        self._best = self.standing()

    # ------------------------------------------------------------------ what a set of joints costs

    def boards(self) -> int:
        """Boards that the runs and the loose pieces need, cut pieces sharing boards where they fit."""
        return self._boards_of(self.joints)

    def _boards_of(self, joints: Sequence[int]) -> int:
        board = self.rules.board
        pieces = len(self._loose)
        starters: list[int] = []
        finishers: list[int] = []
        for i, row in self._counted:
            first, rest = joints[i], row.rest
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
        fit = board - self.rules.spacing
        if self._loose:
            return pieces - most_shared_with_loose(starters, finishers, self._loose, fit)
        return pieces - most_shared(starters, finishers, fit)

    def standing(self) -> Standing:
        """How good the joints are as they stand."""
        broken = sum(1 for i, j in self._pairs if self._apart(i, j) < self.rules.offset)
        pattern = sum(LINED_UP for i, j in self._second_pairs if self._apart(i, j) <= LINED_UP_MM * 10)
        pattern += sum(STAIR for triple in self._triples if self._is_stair(*triple))
        return Standing(broken, self.boards(), pattern, self._score())

    def _score(self) -> float:
        if len(self._spine) < FEWEST_ROWS_SCORED:
            return 0.0
        return tracing_score(self._row_joints_mm(), self.rules.board / 10).score_fraction

    def _row_joints_mm(self) -> list[float]:
        return [self._row_joint_mm(i) for i in self._spine]

    def _row_joint_mm(self, i: int) -> float:
        return (self.runs[i].start + self.joints[i]) / 10

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

    def _cost_at(self, touched: tuple[int, ...], *, enough: int = OFFSET_BROKEN * 1000) -> int:
        """Weighted faults in which any of these runs has a part; counting ends once more than `enough`."""
        offset = self.rules.offset
        cost = 0
        for i, j in self._fault_pairs(touched):
            apart = self._apart(i, j)
            if apart < offset:
                cost += OFFSET_BROKEN + int(offset - apart)
                if cost > enough:
                    return cost
        for i, j in self._fault_second_pairs(touched):
            if self._apart(i, j) <= LINED_UP_MM * 10:
                cost += LINED_UP
        if cost > enough:
            return cost
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

    def better(self, *, least_boards: int, boards_for_pattern: int = 0) -> Iterator[Standing]:
        """Better and better joints, the best standing so far after every step.

        Parameters
        ----------
        least_boards
            A lower bound on :meth:`boards`: the search for fewer boards ends there.
        boards_for_pattern
            Boards beyond the fewest found that may be spent on a more irregular pattern.
        """
        if not self.runs:
            return
        self._allowed_boards = 0
        self._best = self.standing()
        self.best_joints = list(self.joints)
        yield from self._hold_rules(self._best.boards + 1)
        steps = 0
        for _ in range(MOST_STARTS):
            if (self._best.boards <= least_boards and not self._best.broken_offsets) or steps > MOST_STEPS_FOR_BOARDS:
                break
            self.joints = self._start(MORE_WALKS)
            saves_boards = self.boards() < self._best.boards
            if saves_boards or self._best.broken_offsets:
                self._deal_out()
                for standing in self._hold_rules(self._best.boards, patience=6 if saves_boards else 1):
                    steps += 1
                    yield standing
            else:
                yield self._best
        self._allowed_boards = self._best.boards + boards_for_pattern
        if boards_for_pattern:
            self.joints = list(self.best_joints)
            yield from self._hold_rules(self._allowed_boards)
        for attempt in range(PATTERN_STARTS):
            if not self._best.pattern_cost:
                break
            self.joints = list(self.best_joints)
            if attempt % 3 < 2:
                fresh = self._start(FIRST_WALKS)
                if self._boards_of(fresh) <= self._allowed_boards:
                    self.joints = fresh
                    self._deal_out()
            yield from self._hold_rules(self._allowed_boards)
        self.joints = list(self.best_joints)
        if len(self._spine) >= FEWEST_ROWS_SCORED:
            yield from self._more_irregular()

    def _hold_rules(self, most_boards: int, *, patience: int = 1) -> Iterator[Standing]:
        """Move joints until every offset is held and the pattern has no fault, on at most so many boards.

        First on no more boards than now; one more is tried where the offsets can't be held so.
        """
        target = max(self.boards(), self._allowed_boards)
        for most in dict.fromkeys((target, min(target + 1, max(target, most_boards)))):
            for _ in range(patience * (5 + len(self.runs) // 16)):
                self._anneal(MOVES_A_STEP, most)
                now = self._keep_if_better()
                yield self._best
                if not now.broken_offsets and not now.pattern_cost:
                    return
            if not self._best.broken_offsets:
                return

    def _keep_if_better(self) -> Standing:
        """How the joints stand now; remembered if better than the best."""
        now = self.standing()
        if now.key(self._allowed_boards) < self._best.key(self._allowed_boards):
            self._best, self.best_joints = now, list(self.joints)
        return now

    def _anneal(self, moves: int, most_boards: int) -> None:
        """Random small moves, half of them on runs with a fault; none that costs boards beyond `most_boards`."""
        draw = self._random.random
        faulty = [i for i in self._moving if self._cost_at((i,))]
        boards_now = self.boards()
        heat = 60.0
        for _ in range(moves):
            heat *= 0.962
            among = faulty if faulty and draw() < 0.5 else self._moving
            i = among[self._random.randrange(len(among))]
            if len(self._alike[i]) > 1 and draw() < 0.55:
                self._change_over(i, heat)
                continue
            before, cost = self.joints[i], self._cost_at((i,))
            self._put(i, self._moved(i))
            change = self._cost_at((i,)) - cost
            if change > 0 and draw() >= math.exp(-change / heat):
                self._put(i, before)
                continue
            boards_then = self.boards()
            if boards_then > max(most_boards, boards_now):
                self._put(i, before)
            else:
                boards_now = boards_then

    def _change_over(self, i: int, heat: float) -> None:
        """Change run i's joint over with that of one like it, the better of two tried; boards stay as they are."""
        own, alike = self.joints[i], self._alike[i]
        best: tuple[int, int] | None = None
        for _ in range(CHANGES_TRIED):
            j = alike[self._random.randrange(len(alike))]
            if self.joints[j] != own:
                change = self._cost_of_change_over(i, j)
                best = (change, j) if best is None else min(best, (change, j))
        if best is not None and (best[0] <= 0 or self._random.random() < math.exp(-best[0] / heat)):
            j = best[1]
            self._put(i, self.joints[j])
            self._put(j, own)

    def _cost_of_change_over(self, i: int, j: int) -> int:
        own, other = self.joints[i], self.joints[j]
        before = self._cost_at((i, j))
        self._put(i, other)
        self._put(j, own)
        after = self._cost_at((i, j))
        self._put(i, own)
        self._put(j, other)
        return after - before

    def _moved(self, i: int) -> int:
        """Another first joint for run i: anywhere allowed, near by, or fitted to another run's offcut."""
        kind = self._random.random()
        zones = self._zones[i]
        if kind < 0.5:
            return anywhere_in(zones, self._random)
        if kind < 0.75:
            near = self.joints[i] + self._random.randint(-600, 600)
            return highest_allowed(zones, near) or self.joints[i]
        j = self._random.randrange(len(self.runs))
        offcut = self.rules.board - self.rules.spacing - finisher_t(self._rows[j], self.joints[j], self.rules.board)
        if kind < 0.9:
            return highest_allowed(zones, offcut) or self.joints[i]
        return zones[-1][1]

    def _more_irregular(self) -> Iterator[Standing]:
        """Lower the tracing-paper score without giving up anything else."""
        boards = max(self._best.boards, self._allowed_boards)
        place = {i: row for row, i in enumerate(self._spine)}
        moving = [i for i in self._spine if i in set(self._moving)]
        clean = not (self._best.broken_offsets or self._best.pattern_cost)
        no_two_coincide = 1 / (len(self._spine) - MOST_ROWS_SHIFTED) + 1e-9
        enough = max(IRREGULAR_ENOUGH, no_two_coincide)
        tracing = Coinciding(self._row_joints_mm(), self.rules.board / 10)
        for step in range(REFINEMENTS):
            heat = HOTTEST_PAIRS / len(self._spine) * (1 - step / REFINEMENTS)
            if self._best.score <= enough:
                return
            for _ in range(min(MOST_REFINING, REFINING_ALL_ROWS // len(self._spine))):
                i = moving[self._random.randrange(len(moving))]
                alike = self._alike[i]
                swap = len(alike) > 1 and self._random.random() < 0.5
                j = alike[self._random.randrange(len(alike))] if swap else i
                touched = (i, j) if j != i else (i,)
                cost, share = 0 if clean else self._cost_at(touched), tracing.share
                before_i, before_j = self.joints[i], self.joints[j]
                if swap:
                    self._put(i, before_j)
                    self._put(j, before_i)
                else:
                    self._put(i, self._moved(i))
                keep = self._cost_at(touched, enough=cost) <= cost and (swap or self.boards() <= boards)
                rows = [place[k] for k in (*touched, *map(self._rider_of.get, touched)) if k in place]
                if keep:
                    for row in rows:
                        tracing.move(row, self._row_joint_mm(self._spine[row]))
                    worse = tracing.share - share
                    keep = worse <= 0 or self._random.random() < math.exp(-worse / (heat + 1e-9))
                if not keep:
                    self._put(j, before_j)
                    self._put(i, before_i)
                    for row in rows:
                        tracing.move(row, self._row_joint_mm(self._spine[row]))
            self._keep_if_better()
            yield self._best

    # ------------------------------------------------------------------ the start

    def _runs_alike(self) -> list[list[int]]:
        """For each run, all runs whose joints it can change over with, without changing the cuts."""
        by_row: dict[tuple[RowLength, bool], list[int]] = {}
        counted = {i for i, _ in self._counted}
        for i in self._moving:
            by_row.setdefault((self._rows[i], i in counted), []).append(i)
        alike = [by_row.get((row, i in counted), [i]) for i, row in enumerate(self._rows)]
        return [[j for j in group if self._zones[j] == self._zones[i]] for i, group in enumerate(alike)]

    def _join_hosts_and_riders(self) -> None:
        """Let a host take only joints that suit its rider too, and count it as the longer of the two."""
        for host, rider in self._rider_of.items():
            rests = sorted((self._rows[host].rest, self._rows[rider].rest))
            zones = zones_of(RowLength(self._rows[host].whole, rests[0]), self.rules)
            suits = [(max(low, rests[1]) if high >= rests[1] else low, high) for low, high in zones]
            self._zones[host] = tuple(zone for zone in suits if zone[0] <= zone[1])
            longer = RowLength(self._rows[host].whole, rests[1])
            self._counted = [(i, longer if i == host else row) for i, row in self._counted]

    def _put(self, i: int, joint: int) -> None:
        """Give run i, and the run that copies it, a first joint."""
        self.joints[i] = joint
        rider = self._rider_of.get(i)
        if rider is not None:
            self.joints[rider] = joint

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
        for host, rider in self._rider_of.items():  # what moves together is judged together
            self._pairs_at[host] = list(dict.fromkeys(self._pairs_at[host] + self._pairs_at[rider]))
            self._second_pairs_at[host] = list(
                dict.fromkeys(self._second_pairs_at[host] + self._second_pairs_at[rider])
            )
            self._triples_at[host] = list(dict.fromkeys(self._triples_at[host] + self._triples_at[rider]))
        self._spine = [
            max(members, key=lambda i: (self.runs[i].length, -self.runs[i].start))
            for _, members in sorted(by_row.items())
        ]

    def _start(self, walks: int) -> list[int]:
        """First joints of few boards: the best of a chained start and, for mixed lengths, some walks."""
        starts = [chained_joints(self._rows, self.rules, self._random)]
        if len(set(self._rows)) > 1 or self._loose:
            loose = self._loose
            starts += [walked_joints(self._rows, self.rules, self._random, loose=loose) for _ in range(walks)]
        joints = min(starts, key=self._boards_of)
        for host, rider in self._rider_of.items():
            joints[host] = highest_allowed(self._zones[host], joints[host]) or self._zones[host][0][0]
            joints[rider] = joints[host]
        return joints

    def _deal_out(self) -> None:
        """Give alike runs their joints in an order that breaks few offsets: nearest faults first, row by row."""
        offset = self.rules.offset
        dealt: set[int] = set()
        for i in sorted(self._moving, key=lambda i: (self.runs[i].row, self.runs[i].start)):
            open_runs = [j for j in self._alike[i] if j not in dealt]
            before = [pair for pair in self._pairs_at[i] if (pair[0] in dealt) or (pair[1] in dealt)]
            second = [pair for pair in self._second_pairs_at[i] if (pair[0] in dealt) or (pair[1] in dealt)]
            own = self.joints[i]
            best_j, best_cost = i, math.inf
            for j in open_runs:
                self._put(i, self.joints[j] if j != i else own)
                cost = sum(3.0 for a, b in before if self._apart(a, b) < offset)
                cost += sum(1.0 for a, b in second if self._apart(a, b) <= LINED_UP_MM * 10)
                cost += self._random.random() * 0.5
                if cost < best_cost:
                    best_j, best_cost = j, cost
            self._put(i, self.joints[best_j] if best_j != i else own)
            if best_j != i:
                self._put(best_j, own)
            dealt.add(i)
