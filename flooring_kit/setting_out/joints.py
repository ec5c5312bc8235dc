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

from flooring_kit.setting_out.chains import finisher_t, highest_allowed
from flooring_kit.setting_out.joint_costs import OFFSET_BROKEN, JointTask, RunJoints, Standing
from flooring_kit.setting_out.pattern import FEWEST_ROWS_SCORED, LINED_UP_MM, MOST_ROWS_SHIFTED, Coinciding
from flooring_kit.setting_out.starts import anywhere_in, chained_joints, walked_joints
from flooring_kit.setting_out.waiting import Wait, sum_of_squares, waits_to_drop

FIRST_WALKS, MORE_WALKS = 12, 30
MOST_STARTS, PATTERN_STARTS, REFINEMENTS = 24, 12, 50
MOST_STEPS_FOR_BOARDS = 150
FRESH_TRIED = 30
PLACES_TRIED = 48
WIDE_OFFSET = 3
"""An offset of a third of a board or more is looked at two joints in turn before anything is moved by chance."""

MOVES_A_STEP = 60
"""Moves between two chances for a caller to stop or look: well under 20 ms for a room."""

CHANGES_TRIED = 2
HOTTEST_PAIRS = 1.0
MOST_REFINING, REFINING_ALL_ROWS = 400, 7000
IRREGULAR_ENOUGH = 0.10
ORDERINGS, MOVES_AN_ORDERING, ORDERING_ALL_ROWS = 30, 120, 3000
IRREGULAR = 0.14
"""A tracing-paper score that may be spent so that fewer offcuts wait."""

HOTTEST_PILES, BOARD_LOST = 6.0, 200


class JointSearch(RunJoints):
    """A search that betters the first joints of all runs of a floor.

    Parameters
    ----------
    task
        Runs, rules and what else bears on the joints.
    seed
        Gives other, equally good plans.
    joints
        First joints to begin with [tenths of mm]; None lets the search make its own.

    Attributes
    ----------
    best_joints : list of int
        The best first joints so far; `joints` are those being tried.
    """

    def __init__(self, task: JointTask, *, seed: int = 0, joints: Sequence[int] | None = None) -> None:
        super().__init__(task)
        self._random = random.Random(seed)
        if joints is None:
            self.joints = self._start(FIRST_WALKS)
            self._deal_out()
        else:
            self.joints = list(joints)
        self._allowed_boards = 0
        self._enough_score = 0.0
        self.best_joints = list(self.joints)
        self._best = self.standing()

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
        if self.most_waiting is not None:
            yield from self._limited_afterwards(least_boards)
        yield from self._fewest_boards(least_boards)
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
        yield from self._fewer_waiting()

    def _fewest_boards(self, least_boards: int) -> Iterator[Standing]:
        """Hold the rules on fewer and fewer boards, from one start after another."""
        if self.rules.offset * WIDE_OFFSET >= self.rules.board and self._best.broken_offsets:
            self._two_in_turn()
        yield from self._hold_rules(self._best.boards + 1)
        if self._best.broken_offsets:
            self._two_in_turn()
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

    def _two_in_turn(self) -> None:
        """First joints in turn at two places half a board apart: what is left where an offset is near half a board.

        Every row then lines up with the next but one, so this is only for offsets that nothing else holds. The two
        places are moved along together, and stay where the fewest offsets break.
        """
        board = self.rules.board
        best: tuple[int, list[int]] | None = None
        for place in range(0, board, max(1, board // PLACES_TRIED)):
            for i in self._moving:
                run = self.runs[i]
                wanted = int(place + run.row % 2 * board // 2 - run.start) % board or board
                self._put(i, self._nearest_allowed(i, wanted))
            broken = self.broken_offsets()
            if best is None or broken < best[0]:
                best = broken, list(self.joints)
        if best is not None:
            self.joints = best[1]
            self._keep_if_better()

    def _nearest_allowed(self, i: int, wanted: int) -> int:
        """The first joint nearest to the one wanted that run i allows."""
        return min((min(max(wanted, low), high) for low, high in self._zones[i]), key=lambda at: abs(at - wanted))

    def _limited_afterwards(self, least_boards: int) -> Iterator[Standing]:
        """The fewest boards with any number of offcuts waiting, then ordered so that no more wait than may."""
        limited, joints = self._best, self.best_joints
        most, self.most_waiting = self.most_waiting, None
        self._best = self.standing()
        yield from self._fewest_boards(least_boards)
        self.most_waiting, self.joints = most, list(self.best_joints)
        self._best = self.standing()
        yield from self._fewer_waiting()
        self._enough_score = 0.0
        if limited.key() < self._best.key():
            self._best, self.best_joints = limited, joints

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
        allowed = (self._allowed_boards, self._enough_score)
        if now.key(*allowed) < self._best.key(*allowed):
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
        if i in self._pipes_at and self._random.random() < 0.3:
            return self._random.choice(self._pipes_at[i])
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

    def _fewer_waiting(self) -> Iterator[Standing]:
        """Change alike runs' joints over so that offcuts are used sooner.

        Boards stay as they are, offsets and pattern as good as they were; only where more offcuts wait than may, the
        pattern can suffer to save a board.
        """
        self._enough_score = max(self._best.score, IRREGULAR)
        self.counts_piles = True
        self.joints = list(self.best_joints)
        self._best = self.standing()
        movable = [i for i in self._moving if len(self._alike[i]) > 1]
        if not movable:
            return
        for step in range(ORDERINGS):
            if step % 6 == 0:
                self.joints = list(self.best_joints)
            shared = self._shared(self.joints)
            waits = self._waits(shared)
            heat = HOTTEST_PILES * (1 - step / ORDERINGS) + 1e-9
            energy = self._waiting_cost(waits)
            for _ in range(min(MOVES_AN_ORDERING, ORDERING_ALL_ROWS // len(self.runs))):
                i = movable[self._random.randrange(len(movable))]
                j = self._alike[i][self._random.randrange(len(self._alike[i]))]
                if self.joints[i] == self.joints[j]:
                    continue
                faults = self._cost_of_change_over(i, j)
                if (faults > 0 and self.most_waiting is None) or faults >= OFFSET_BROKEN:
                    continue
                own = self.joints[i]
                other = {i: j, j: i}
                swapped = [(other.get(a, a), other.get(b, b)) for a, b in shared]
                then = self._waiting_cost(self._waits(swapped))
                change = then - energy + faults
                if change > 0 and self._random.random() >= math.exp(-change / heat):
                    continue
                self._put(i, self.joints[j])
                self._put(j, own)
                if self._score() > self._enough_score + 1e-9:
                    self._put(j, self.joints[i])
                    self._put(i, own)
                    continue
                shared, energy = swapped, then
            self._keep_if_better()
            yield self._best

    def _waiting_cost(self, waits: Sequence[Wait]) -> int:
        """The piles, and a board for every offcut that has to go because too many wait."""
        cost = sum_of_squares(waits)
        if self.most_waiting is not None:
            cost += BOARD_LOST * len(waits_to_drop(waits, self.most_waiting))
        return cost

    # ------------------------------------------------------------------ the start

    def _start(self, walks: int) -> list[int]:
        """First joints of few boards: the best of a chained start and, for mixed lengths, some walks."""
        starts = [chained_joints(self._rows, self.rules, self._random)]
        if len(set(self._rows)) > 1 or self._loose:
            loose = self._loose
            starts += [walked_joints(self._rows, self.rules, self._random, loose=loose) for _ in range(walks)]
        if self.most_waiting:
            starts += [self._as_you_go(self.most_waiting) for _ in range(walks)]
        joints = min(starts, key=self._boards_of)
        for host, rider in self._rider_of.items():
            joints[host] = highest_allowed(self._zones[host], joints[host]) or self._zones[host][0][0]
            joints[rider] = joints[host]
        return joints

    def _as_you_go(self, most_waiting: int) -> list[int]:
        """First joints taken row by row from the few offcuts that wait, or anywhere that keeps the offset."""
        fit, offset = self.rules.board - self.rules.spacing, self.rules.offset
        waiting: list[int] = []
        placed: set[int] = set()
        for i in sorted(self._moving, key=lambda i: (self.runs[i].row, self.runs[i].start)):
            zones, near = self._zones[i], [pair for pair in self._pairs_at[i] if placed & set(pair)]
            others = [a if b == i else b for a, b in near]
            clear = [int(self.runs[j].start + self.joints[j] - offset - self.runs[i].start) for j in others]
            offcuts = self._random.sample(waiting, len(waiting))
            limits = [min([offcut, *clear]) for offcut in offcuts]
            limits += [offcut - self._random.randint(0, 900) for offcut in offcuts]
            limits += [zones[-1][1]] if self._random.random() < 0.8 else []
            joints = [joint for joint in (highest_allowed(zones, limit) for limit in limits) if joint]
            for joint in (*joints, *(anywhere_in(zones, self._random) for _ in range(FRESH_TRIED))):
                self._put(i, joint)
                if all(self._apart(*pair) >= offset for pair in near):
                    break
            placed.add(i)
            used = [offcut for offcut in waiting if offcut >= self.joints[i]]
            if used:
                waiting.remove(min(used))
            row = self._rows[i]
            if self.joints[i] != row.rest:
                waiting.append(fit - finisher_t(row, self.joints[i], self.rules.board))
            waiting = sorted(waiting, reverse=True)[:most_waiting]
        return list(self.joints)

    def _deal_out(self) -> None:
        """Give alike runs their joints in an order that breaks few offsets: nearest faults first, row by row.

        Where only so many offcuts may wait, an order that breaks none is left as it is: it was made for them.
        """
        offset = self.rules.offset
        if self.most_waiting is not None and all(self._apart(*pair) >= offset for pair in self._pairs):
            return
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
