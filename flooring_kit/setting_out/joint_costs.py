"""First joints of all runs of a floor, and what they cost: offsets broken, boards, pattern, offcuts waiting."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from flooring_kit.setting_out.chains import RowLength, finisher_t, highest_allowed, taken_apart
from flooring_kit.setting_out.pattern import FEWEST_ROWS_SCORED, LINED_UP_MM, SAME_STEP_MM, tracing_score
from flooring_kit.setting_out.sharing import Offcuts, most_saved, most_shared, most_shared_with_loose, pair_up
from flooring_kit.setting_out.starts import JointRules, zones_of
from flooring_kit.setting_out.waiting import Wait, sum_of_squares, waits_to_drop

OFFSET_BROKEN, LINED_UP, STAIR, PIPE_MISSED = 10_000, 100, 60, 80
"""Weights of the faults: any broken offset outweighs every lined-up row and stair of a house."""

AT_PIPE_MM = 5.0
"""How near a joint, or the line between two rows, must come to a pipe's middle so that each board takes half."""


NO_OFFCUTS = Offcuts()


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
    part
        Connected part of the floor: rows of two parts are no neighbours.
    """

    start: float
    length: int
    row: int
    part: int = 0

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
    piles: int

    def key(self, allowed_boards: int = 0, enough_score: float = 0.0) -> tuple[int, int, int, float, int]:
        """Offsets first, then boards beyond those allowed, then the pattern, then the offcuts that wait."""
        boards, score = max(self.boards, allowed_boards), max(self.score, enough_score)
        return (self.broken_offsets, boards, self.pattern_cost, score, self.piles)


@dataclass(frozen=True)
class LaidRun:
    """A run that is laid, or begun so that its joints are fixed.

    Parameters
    ----------
    first_joint
        Its first joint [tenths of mm].
    needs_starter, needs_finisher
        Whether that end is yet to be sawn.
    """

    first_joint: int
    needs_starter: bool = False
    needs_finisher: bool = False


@dataclass(frozen=True)
class JointTask:
    """The runs of a floor that need joints, and what else bears on where they go.

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
    pipes
        Where a joint would spare a hole: (run, position along the boards) [tenths of mm].
    most_waiting
        Most offcuts that may wait for a later row; None for as many as come.
    laid
        Runs whose joints are fixed: run -> how far it is laid. Their whole boards count no more.
    offcuts
        Offcuts of boards begun: what is sawn from them needs no board.
    """

    runs: tuple[JointedRun, ...]
    rules: JointRules
    loose_t: tuple[int, ...] = ()
    riders: Mapping[int, int | None] = field(default_factory=dict)
    pipes: tuple[tuple[int, float], ...] = ()
    most_waiting: int | None = None
    laid: Mapping[int, LaidRun] = field(default_factory=dict)
    offcuts: Offcuts = NO_OFFCUTS


class RunJoints:
    """First joints of all runs, and what they cost.

    Attributes
    ----------
    joints : list of int
        First joint of each run, from the run's start [tenths of mm].
    counts_piles : bool
        Whether standings tell the offcuts that wait, which takes time: always where their number is limited.
    """

    def __init__(self, task: JointTask) -> None:
        self.runs, self.rules = task.runs, task.rules
        self.most_waiting = task.most_waiting
        self.counts_piles = task.most_waiting is not None
        self._loose = task.loose_t
        self._rows = [taken_apart(run.length, task.rules.board) for run in self.runs]
        self._rider_of = {host: rider for rider, host in task.riders.items() if host is not None}
        self._laid, self._offcuts = task.laid, task.offcuts
        self._has_offcuts = bool(task.offcuts.for_starters or task.offcuts.for_finishers)
        self._moving = [i for i in range(len(self.runs)) if task.riders.get(i) is None and i not in task.laid]
        counted = [(i, row) for i, row in enumerate(self._rows) if i not in task.riders]
        self._counted = [(i, row) for i, row in counted if i not in task.laid]
        self._begun = [(i, row) for i, row in counted if i in task.laid]
        self._zones = [zones_of(row, task.rules) for row in self._rows]
        self._join_hosts_and_riders()
        self._alike = self._runs_alike()
        self._find_neighbours()
        self._pipes_at = self._pipes_that_joints_can_reach(task.pipes)
        self.joints = [zones[0][0] for zones in self._zones]
        for i, laid in task.laid.items():
            self.joints[i] = laid.first_joint

    # ------------------------------------------------------------------ what a set of joints costs

    def boards(self) -> int:
        """Boards that the runs and the loose pieces need, cut pieces sharing boards where they fit.

        Where only so many offcuts may wait, each that has to go costs a board.
        """
        return self._boards_of(self.joints)

    def _boards_of(self, joints: Sequence[int], *, changing_over: bool = False) -> int:
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
        for i, row in self._begun:
            if self._laid[i].needs_starter and joints[i] < board:
                pieces += 1
                starters.append(joints[i])
            if self._laid[i].needs_finisher and joints[i] != row.rest:
                pieces += 1
                finishers.append(finisher_t(row, joints[i], board))
        fit = board - self.rules.spacing
        if self._has_offcuts:
            pieces -= most_saved(starters, finishers, self._loose, fit, self._offcuts)
        elif self._loose:
            pieces -= most_shared_with_loose(starters, finishers, self._loose, fit)
        else:
            pieces -= most_shared(starters, finishers, fit)
        if self.most_waiting is not None:
            waits = self._waits(self._shared(joints, changing_over=changing_over))
            pieces += len(waits_to_drop(waits, self.most_waiting))
        return pieces

    def standing(self) -> Standing:
        """How good the joints are as they stand."""
        piles = sum_of_squares(self._waits(self._shared(self.joints))) if self.counts_piles else 0
        boards = self._boards_of(self.joints, changing_over=True)
        return Standing(self.broken_offsets(), boards, self.pattern_cost(), self._score(), piles)

    def broken_offsets(self) -> int:
        """Pairs of runs whose joints lie nearer than the offset."""
        return sum(1 for i, j in self._pairs if self._apart(i, j) < self.rules.offset)

    def pattern_cost(self) -> int:
        """Rows lined up, stairs and pipes missed, weighted."""
        cost = sum(LINED_UP for i, j in self._second_pairs if self._apart(i, j) <= LINED_UP_MM * 10)
        cost += sum(STAIR for triple in self._triples if self._is_stair(*triple))
        return cost + sum(PIPE_MISSED for i, pipes in self._pipes_at.items() for at in pipes if self._misses(i, at))

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
        for i in touched:
            for pipe in self._pipes_at.get(i, ()):
                if self._misses(i, pipe):
                    cost += PIPE_MISSED
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

    # ------------------------------------------------------------------ pipes

    def _pipes_that_joints_can_reach(self, pipes: Sequence[tuple[int, float]]) -> dict[int, list[int]]:
        """For each run the first joints that put a joint at a pipe, where the rules allow one."""
        reached: dict[int, list[int]] = {}
        board = self.rules.board
        for i, at in pipes:
            first = round(at - self.runs[i].start) % board or board
            if i in self._moving and highest_allowed(self._zones[i], first) == first:
                reached.setdefault(i, []).append(first)
        return reached

    def _misses(self, i: int, first_at_pipe: int) -> bool:
        apart = (self.joints[i] - first_at_pipe) % self.rules.board
        return min(apart, self.rules.board - apart) > AT_PIPE_MM * 10

    # ------------------------------------------------------------------ offcuts that wait

    def _shared(self, joints: Sequence[int], *, changing_over: bool = True) -> list[tuple[int, int]]:
        """Runs whose starter and finisher come from one board, as (run of the starter, run of the finisher)."""
        starters: list[tuple[int, int]] = []
        finishers: list[tuple[int, int]] = []
        for i, row in self._counted:
            if joints[i] < self.rules.board:
                starters.append((joints[i], i))
            if joints[i] != row.rest:
                finishers.append((finisher_t(row, joints[i], self.rules.board), i))
        pairs = pair_up(
            [length for length, _ in starters],
            [length for length, _ in finishers],
            self.rules.board - self.rules.spacing,
            rows=([self.runs[i].row for _, i in starters], [self.runs[i].row for _, i in finishers]),
            changing_over=changing_over,
        )
        return [(starters[s][1], finishers[f][1]) for s, f in pairs]

    def _waits(self, shared: Sequence[tuple[int, int]]) -> list[Wait]:
        """The row each offcut is left in and the one it is used in."""
        ends = [(self.runs[i].row, self.runs[j].row) for i, j in shared]
        return [(min(pair), max(pair)) for pair in ends]

    # ------------------------------------------------------------------ which runs go together

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
        by_row: dict[tuple[int, int], list[int]] = {}
        for i, run in enumerate(self.runs):
            by_row.setdefault((run.part, run.row), []).append(i)

        def overlapping(i: int, row: int) -> list[int]:
            run = self.runs[i]
            return [
                j
                for j in by_row.get((run.part, row), ())
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
