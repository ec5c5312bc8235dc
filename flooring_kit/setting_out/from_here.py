"""A plan taken up again: rows laid stay as they lie, offcuts at hand come first, the rest is planned anew."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import shapely

from flooring_kit.checks import require_between
from flooring_kit.products import Board
from flooring_kit.room import Room
from flooring_kit.rules import LayingRules
from flooring_kit.setting_out.boards import Sawn
from flooring_kit.setting_out.boards_begun import AtHand, Begun, saw_on
from flooring_kit.setting_out.joint_costs import JointTask, LaidRun
from flooring_kit.setting_out.onward import OnwardSearch
from flooring_kit.setting_out.pieces import Piece, cut_runs
from flooring_kit.setting_out.plan import FirstRow, Plan, Search
from flooring_kit.setting_out.planner import Planner
from flooring_kit.setting_out.sharing import Offcuts
from flooring_kit.setting_out.starts import JointRules

STEPS_HALF_LAID = 24
"""Steps of the search from a floor half laid: under half a second in a room, on two shared cores."""

PlaceInRun = tuple[int, int]
"""Index of a run, and which of its pieces from the left, from 0."""


@dataclass(frozen=True)
class PlanRecord:
    """A plan in whole numbers, from which the same plan is made again for its room, board and rules.

    Parameters
    ----------
    first_joints_t
        First joint of every run of two pieces or more [tenths of mm].
    places_t
        For every piece in laying order its board, and its place along and across it [tenths of mm].
    """

    first_joints_t: tuple[int, ...]
    places_t: tuple[tuple[int, int, int], ...]


def from_here(
    plan: Plan,
    laid: Collection[str],
    at_hand: Sequence[AtHand],
    *,
    drift_mm: float = 0.0,
    steps: int = STEPS_HALF_LAID,
) -> Plan:
    """The plan for the whole floor, pieces laid as they are, the rest planned anew with as little changed as can be.

    Parameters
    ----------
    plan
        The plan so far.
    laid
        Labels of the pieces in the floor: in each run from the left.
    at_hand
        Boards begun (numbered as in the plan, whole, with what is spoiled or lost on them) and offcuts of other floors
        (with numbers of their own).
    drift_mm
        How far walls may stand off from the survey further on: rules and spacings of what is not laid keep so much
        more.
    steps
        Steps of the search.

    Returns
    -------
    Plan
        Without drift never one with more broken rules, or as many and more boards opened, than the old joints kept
        would have.
    """
    half = _HalfLaid(plan, laid, at_hand)
    joints = half.joints
    drift_t = round(drift_mm * 10)
    search = OnwardSearch(half.task(drift_t), joints)
    broken_before = 0 if drift_t else search.broken_offsets()
    settled = search.settle(broken_before=broken_before, least_boards=half.least_to_open(), steps=steps)
    options = [settled] if drift_t or settled == joints else [settled, joints]
    return min((half.sawn_on(option, drift_t) for option in options), key=half.worth)


def with_first_joint(
    plan: Plan, laid: Collection[str], at_hand: Sequence[AtHand], *, run: int, first_joint_mm: float
) -> tuple[Plan, tuple[str, ...]]:
    """The plan with one run's joints where they were laid, and the labels of the laid pieces in it.

    Its pieces come from the boards they were planned from where these are long enough, everything else stays.

    Parameters
    ----------
    plan, laid, at_hand
        As for :func:`from_here`.
    run
        Index of the run among the plan's runs in laying order, from 0.
    first_joint_mm
        From the run's start to its first joint [mm].

    Raises
    ------
    ValueError
        For a run of one piece, or a first joint that is not inside the first board.
    """
    half = _HalfLaid(plan, laid, at_hand)
    planner = half.planner
    if run not in planner.jointed:
        raise ValueError(f"row {planner.runs[run].row} is laid in one piece there: it has no joint to move.")
    longest = min(planner.board_t, planner.runs[run].length_t - 1)
    require_between(first_joint_mm, 1, longest / 10, "first joint", unit="mm", hint="It ends the row's first piece.")
    joints = list(half.joints)
    joints[planner.jointed.index(run)] = round(first_joint_mm * 10)
    moved = half.sawn_on(joints, 0, as_laid=run)
    pieces = _taken_up(moved)[2]
    down = half.down
    labels = tuple(piece.label for piece, at in zip(pieces, _places_in_runs(pieces), strict=True) if at in down)
    return moved, labels


def run_of(plan: Plan, piece: str) -> int:
    """Index of the run a piece lies in, among the plan's runs in laying order."""
    return next(one.run for one in _taken_up(plan)[2] if one.label == piece)


def pieces_of_run(plan: Plan, run: int) -> list[str]:
    """Labels of a run's pieces, from the left."""
    return [piece.label for piece in _taken_up(plan)[2] if piece.run == run]


def run_length_mm(plan: Plan, run: int) -> float:
    """Length of a run, rounded up to a tenth [mm]."""
    return _planner_of(plan).runs[run].length_t / 10


def runs_of_row(plan: Plan, row: int) -> list[int]:
    """Indices of the runs of a row, from the left."""
    planner = _planner_of(plan)
    return [i for i, run in enumerate(planner.runs) if run.row == row]


def record_of(plan: Plan) -> PlanRecord:
    """The plan in whole numbers."""
    _, joints, _ = _taken_up(plan)
    return PlanRecord(tuple(joints), tuple((place.board, place.along_t, place.across_t) for place in _sawn(plan)))


def from_record(plan: Plan, record: PlanRecord) -> Plan:
    """The plan recorded, for the room, board, rules and rows of the plan given.

    Raises
    ------
    ValueError
        Where the record does not fit those rows: it was made for another room or board.
    """
    planner = _planner_of(plan)
    other = ValueError("the plan recorded does not fit this room, board and rules: it is of another job.")
    if len(record.first_joints_t) != len(planner.jointed):
        raise other
    for run, joint in zip(planner.jointed, record.first_joints_t, strict=True):
        if not 0 < joint <= planner.board_t or joint >= planner.runs[run].length_t:
            raise other
    cuts = planner.cuts_mm(record.first_joints_t)
    pieces = cut_runs(planner.runs, cuts)
    if len(pieces) != len(record.places_t):
        raise other
    return planner.plan_of(cuts, pieces, [Sawn(*place) for place in record.places_t])


class _HalfLaid:
    """A plan taken up: its runs, joints and pieces, what of it is laid, and what there is to saw from."""

    def __init__(self, plan: Plan, laid: Collection[str], at_hand: Sequence[AtHand]) -> None:
        self.planner, self.joints, self.pieces = _taken_up(plan)
        self.at_hand, self.broken_before = at_hand, len(plan.broken_rules)
        self.hand_numbers = {stock.board for stock in at_hand}
        self.places = _places_in_runs(self.pieces)
        self.planned = _sawn(plan)
        self.sawn = dict(zip(self.places, self.planned, strict=True))
        self.down = {at for at, piece in zip(self.places, self.pieces, strict=True) if piece.label in laid}
        self.count = {run: place + 1 for run, place in self.places}

    def task(self, drift_t: int) -> JointTask:
        """What the search is asked: runs laid fixed, offcuts free, rules so much stricter."""
        planner, laid_runs = self.planner, {run for run, _ in self.down}
        task = planner.joint_task(but_for=laid_runs)
        fixed = {
            at: LaidRun(self.joints[at], needs_finisher=(run, self.count[run] - 1) not in self.down)
            for at, run in enumerate(planner.jointed)
            if run in laid_runs
        }
        rules = replace(
            task.rules,
            spacing=task.rules.spacing + drift_t,
            shortest=task.rules.shortest + drift_t,
            offset=task.rules.offset + drift_t,
        )
        laid_at = {at for at, run in enumerate(planner.jointed) if run in laid_runs}
        riders = {rider: host for rider, host in task.riders.items() if rider not in laid_at}  # those follow no host
        return replace(task, rules=rules, riders=riders, laid=fixed, offcuts=self._offcuts(rules), most_waiting=None)

    def least_to_open(self) -> int:
        """Boards that have to be opened at least: the floor's own bound less the boards begun that can serve it."""
        whole = (0, 0, self.planner.board_t, self.planner.width_t)
        return max(0, self.planner.bound - sum(whole not in stock.gone for stock in self.at_hand))

    def _offcuts(self, rules: JointRules) -> Offcuts:
        """The longest starter or finisher, a board wide, that each board begun still gives."""
        starters, finishers = [], []
        width = self.planner.width_t
        for stock in self.at_hand:
            if stock.width_t < width or stock.edges != (True, True):
                continue
            sawn = [(low, high) for low, _, high, _ in stock.gone]
            for at, piece in zip(self.places, self.pieces, strict=True):
                if at in self.down and self.sawn[at].board == stock.board:
                    sawn.append((self.sawn[at].along_t, self.sawn[at].along_t + piece.length_t))
            starter = stock.length_t - max((high + rules.spacing for _, high in sawn), default=0)
            finisher = min((low - rules.spacing for low, _ in sawn), default=stock.length_t)
            if stock.ends[1] and starter >= rules.shortest:
                starters.append(starter)
            if stock.ends[0] and finisher >= rules.shortest and (sawn or not stock.ends[1]):
                finishers.append(finisher)
        return Offcuts(tuple(starters), tuple(finishers))

    def sawn_on(self, joints: Sequence[int], drift_t: int, *, as_laid: int | None = None) -> Plan:
        """The plan with these joints, pieces laid where they were sawn, planned places kept where they can be.

        The pieces of the run `as_laid` lie with new joints: each comes from its old board if that is long enough, and
        `down` tells them anew.
        """
        planner = self.planner
        cuts = planner.cuts_mm(joints)
        pieces = cut_runs(planner.runs, cuts)
        places = _places_in_runs(pieces)
        if as_laid is not None:
            self._follow(as_laid, pieces, places)
        old = dict(zip(self.places, self.pieces, strict=True))
        known = {i: at for i, at in enumerate(places) if at in self.sawn}
        laid = {i: self.sawn[at] for i, at in known.items() if at in self.down}
        kept = {
            i: self.sawn[at]
            for i, at in known.items()
            if at not in self.down and (at[0] == as_laid or _alike(pieces[i], old[at]))
        }
        begun = Begun(laid, self.at_hand, kept, planner.rules.most_offcuts_waiting)
        sawn = saw_on(
            pieces,
            begun,
            board_t=planner.board_t,
            width_t=planner.width_t,
            spacing_t=planner.spacing_t + drift_t,
            riders=planner.riding_pieces(pieces),
        )
        return planner.plan_of(cuts, pieces, sawn)

    def _follow(self, run: int, pieces: Sequence[Piece], places: Sequence[PlaceInRun]) -> None:
        """Carry what is known of a run's pieces over to its new ones: first to first, last to last, whole to whole."""
        kerf_t = round(self.planner.rules.kerf_mm * 10)
        count, now = self.count[run], sum(other == run for other, _ in places)
        came_from = {0: 0, now - 1: count - 1} | {place: place for place in range(1, min(count, now) - 1)}
        sawn = {place: self.sawn.pop((run, place)) for place in range(count)}
        down = {place for place in range(count) if (run, place) in self.down}
        self.down -= {(run, place) for place in range(count)}
        gone = {stock.board: stock.gone for stock in self.at_hand}
        for i, at in enumerate(places):
            if at[0] != run or at[1] not in came_from:
                continue
            old = sawn[came_from[at[1]]]
            along = self.planner.board_t - pieces[i].length_t if pieces[i].right and not pieces[i].left else 0
            low, high = along, along + pieces[i].length_t
            taken = [(a, b) for a, _, b, _ in gone.get(old.board, ())]
            for other, place in self.sawn.items():
                if other in self.down and place.board == old.board:
                    piece = self.pieces[self.places.index(other)]
                    taken.append((place.along_t, place.along_t + piece.length_t))
            if all(low >= b + kerf_t or high <= a - kerf_t for a, b in taken):
                self.sawn[at] = Sawn(old.board, along, old.across_t)
        self.down |= {(run, place) for place in range(now) if came_from.get(place, -1) in down or len(down) == count}

    def worth(self, plan: Plan) -> tuple[int, int, int]:
        """How good a plan from here is, smaller is better: rules newly broken, boards opened, pieces changed."""
        opened = set(plan.pieces["board"]) - self.hand_numbers
        before = {(p.row, p.place): (p.length_t, at) for p, at in zip(self.pieces, self.planned, strict=True)}
        lengths = [round(length * 10) for length in plan.pieces["length_mm"]]
        now = zip(plan.pieces["row"], plan.pieces["place"], lengths, _sawn(plan), strict=True)
        changed = sum(before.get((row, place)) != (length, sawn) for row, place, length, sawn in now)
        return max(0, len(plan.broken_rules) - self.broken_before), len(opened), changed


def _alike(one: Piece, other: Piece) -> bool:
    """Whether two pieces are cut alike and keep the same ends and edges."""
    return (one.length_t, one.width_t, one.left, one.right, one.back, one.front) == (
        other.length_t,
        other.width_t,
        other.left,
        other.right,
        other.back,
        other.front,
    )


def _places_in_runs(pieces: Iterable[Piece]) -> list[PlaceInRun]:
    """The run of each piece, and its place in it from 0."""
    seen: dict[int, int] = {}
    places = []
    for piece in pieces:
        seen[piece.run] = seen.get(piece.run, -1) + 1
        places.append((piece.run, seen[piece.run]))
    return places


def _sawn(plan: Plan) -> list[Sawn]:
    """Where each piece lies on its board."""
    table = plan.pieces
    return [
        Sawn(int(board), round(along * 10), round(across * 10))
        for board, along, across in zip(table["board"], table["along_mm"], table["across_mm"], strict=True)
    ]


def _planner_of(plan: Plan) -> Planner:
    first = plan.row_widths[0]
    width = None if first.chosen_by_kit else first.first_row_width_mm
    return _planner(plan.room, plan.board, plan.rules, plan.direction_degrees, FirstRow(plan.start, width))


@lru_cache(maxsize=8)
def _planner(room: Room, board: Board, rules: LayingRules, degrees: float, first_row: FirstRow) -> Planner:
    return Planner(room, board, rules, degrees, first_row, Search(quick=True))


@lru_cache(maxsize=8)
def _taken_up(plan: Plan) -> tuple[Planner, list[int], list[Piece]]:
    """The planner a plan was made by, its first joints, and its pieces as that planner cuts them.

    Raises
    ------
    ValueError
        For a plan whose runs are not each one first joint and whole boards: not one that `set_out` made.
    """
    planner = _planner_of(plan)
    shapes = plan.frame.to_laying(plan.pieces["shape"].to_numpy())
    starts, rows = shapely.bounds(shapes)[:, 0], plan.pieces["row"].to_numpy()
    joined = plan.joined["left"].to_numpy()
    joints = []
    for i in planner.jointed:
        run = planner.runs[i]
        inside = (rows == run.row) & joined & (starts > run.u0 + 0.2) & (starts < run.u1)
        first = round((float(starts[inside].min()) - run.u0) * 10) if inside.any() else planner.board_t
        joints.append((first - 1) % planner.board_t + 1)
    pieces = cut_runs(planner.runs, planner.cuts_mm(joints))
    same = len(pieces) == len(plan.pieces) and all(
        (piece.label, piece.length_t) == (label, round(length * 10))
        for piece, label, length in zip(pieces, plan.pieces["piece"], plan.pieces["length_mm"], strict=True)
    )
    if not same:
        raise ValueError(
            "this plan can't be taken up: a row of it is not one first joint and whole boards. "
            "Set the floor out anew and begin from that plan."
        )
    return planner, joints, pieces
