"""The planner: from a room, a board and rules to better and better plans."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property

import numpy as np
import pandas as pd
import shapely

from flooring_kit.area import net_floor, parts_of
from flooring_kit.checks import require_between, require_tenths, require_whole, tenths_up
from flooring_kit.products import Board
from flooring_kit.room import Room
from flooring_kit.rules import Direction, LayingRules
from flooring_kit.setting_out import rows as row_lines
from flooring_kit.setting_out.asked import at_the_door
from flooring_kit.setting_out.boards import Sawn, saw_from_boards
from flooring_kit.setting_out.chains import taken_apart
from flooring_kit.setting_out.faults import broken_rules
from flooring_kit.setting_out.frame import laying_frame
from flooring_kit.setting_out.joint_costs import AT_PIPE_MM, JointedRun, JointTask
from flooring_kit.setting_out.joints import JointSearch
from flooring_kit.setting_out.pieces import Piece, cut_runs
from flooring_kit.setting_out.plan import FirstRow, Plan, RowWidths, Search
from flooring_kit.setting_out.proof import BoundRun, boards_bound
from flooring_kit.setting_out.starts import JointRules
from flooring_kit.setting_out.strips import strips_table

QUICK_STEPS = 10
"""Steps a quick plan may take to hold the joint offset."""

RUNS_A_STEP = 40
"""Better joints are sawn into a plan at once in a room; on a floor of so many runs, a step later, and so on."""

RIDER_LONGER_MM = 60.0
"""How much longer a narrow last row may be than the first row from whose boards it is sawn."""

PIECE_COLUMNS = ["piece", "row", "place", "board", "along_mm", "across_mm", "length_mm", "width_mm", "shape"]


@at_the_door
def set_out(
    room: Room,
    board: Board,
    *,
    rules: LayingRules | None = None,
    direction: Direction = "long",
    first_row: FirstRow | None = None,
    search: Search | None = None,
) -> Plan:
    """A plan with the fewest boards the search finds, every rule held that the floor allows.

    Parameters
    ----------
    room
        The survey.
    board
        The board; its leaflet figures override smaller ones in `rules`.
    rules
        Laying rules; defaults as in :class:`LayingRules`.
    direction
        "long", "short", or degrees anticlockwise from +x in survey axes.
    first_row
        Start corner and first-row width.
    search
        Quick or settled, and the seed.

    Raises
    ------
    ValueError
        For boards of mixed lengths or solid boards, a first row wider than a board, an unknown direction, or a
        gap that leaves no floor.

    Examples
    --------
    >>> from flooring_kit.room import Room
    >>> store = Room("store", ((0, 0), (4020, 0), (4020, 792), (0, 792)))
    >>> plan = set_out(store, Board("plank", 1800, 193, 8, 8), rules=LayingRules(offcut_margin_mm=0))
    >>> plan.boards_needed, plan.boards_bound, plan.proved_fewest
    (9, 9, True)
    """
    plans = better_plans(room, board, rules=rules, direction=direction, first_row=first_row, search=search)
    plan = next(plans)
    if search is None or not search.quick:
        for settled in plans:
            plan = settled
    return plan


@at_the_door
def better_plans(
    room: Room,
    board: Board,
    *,
    rules: LayingRules | None = None,
    direction: Direction = "long",
    first_row: FirstRow | None = None,
    search: Search | None = None,
) -> Iterator[Plan]:
    """The quick plan first, then a plan at each step of the search, the settled one last.

    A step takes 20 ms or less in an ordinary room, so that a caller can stop or do something else in between.
    Where a step found nothing better it yields the same plan object again. Arguments and errors as in
    :func:`set_out`.
    """
    job = Planner(room, board, rules or LayingRules(), direction, first_row or FirstRow(), search or Search())
    yield from job.better_plans()


class Planner:
    """One room being set out: everything that stays the same while joints are tried."""

    def __init__(
        self,
        room: Room,
        board: Board,
        rules: LayingRules,
        direction: Direction,
        first_row: FirstRow,
        search: Search,
    ) -> None:
        require_board_can_be_planned(board)
        self.room, self.board, self.first_row, self.seed = room, board, first_row, search.seed
        require_whole(search.seed, 0, 2**31, "seed")
        self.boards_for_pattern = require_whole(search.boards_for_pattern, 0, 5, "boards for the pattern")
        self.rules = rules.raised_to_leaflet(board)
        self.frame = laying_frame(room, direction, start=first_row.start, hand=board.hand)
        self.floor = net_floor(room, self.rules)
        self.board_t, self.width_t = round(board.length_mm * 10), round(board.width_mm * 10)
        self.spacing_t = tenths_up(self.rules.spacing_mm)
        self.shortest_t = tenths_up(self.rules.shortest_piece_mm)
        self._lay_rows()
        self.lengths = [taken_apart(run.length_t, self.board_t) for run in self.runs]
        self.jointed = [i for i, row in enumerate(self.lengths) if row.whole > 0]
        self.riders = self._find_riders()
        self.bound = self._bound(self.shortest_t)

    # ------------------------------------------------------------------ rows

    def _lay_rows(self) -> None:
        """Choose the first-row width of every part and take its runs."""
        width, narrowest = self.board.width_mm, self.rules.narrowest_row_mm
        if self.first_row.width_mm is not None:
            require_between(
                self.first_row.width_mm, 1, width, "first-row width", unit="mm", hint="A row is one board wide."
            )
            require_tenths(self.first_row.width_mm, "first-row width")
        inside = net_floor(replace(self.room, doors=()), self.rules)
        inside = self.frame.to_laying(inside)
        self.runs: list[row_lines.Run] = []
        self.part_of_run: list[int] = []
        self.stops: list[row_lines.StopPoint] = []
        strips_at: list[tuple[row_lines.StopPoint, float]] = []
        widths: list[RowWidths] = []
        for number, survey_part in enumerate(parts_of(self.floor)):
            part = self.frame.to_laying(survey_part)
            body = shapely.intersection(part, inside)
            v_ref = float((body if body.area > 1 else part).bounds[1])
            stops = row_lines.stop_points(part)
            self.stops.extend(stops)
            points = [stop for stop in stops if not stop.is_tongue]
            first_row = self.runs[-1].row + 1 if self.runs else 1
            if self.first_row.width_mm is not None or not points:
                chosen = self.first_row.width_mm or width
                part_runs = row_lines.runs_of(part, v_ref, width, chosen, first_row=first_row)
            else:
                options = row_lines.candidate_first_widths(points, v_ref, width, narrowest)
                tried = [
                    (row_lines.runs_of(part, v_ref, width, option, first_row=first_row), option, strip)
                    for option, strip in options
                ]
                part_runs, chosen, _ = min(
                    tried, key=lambda t: (self._boards_at_least(t[0]), -t[2], abs(t[1] - width / 2))
                )
            strips: list[float] = []
            if points:
                strips = row_lines.strip_widths_mm(points, v_ref, width, np.array([chosen]))[0].tolist()
            strips_at.extend(zip(points, strips, strict=True))
            bands = tuple(row_lines.allowed_bands_mm(points, v_ref, width, narrowest)) if points else ((1.0, width),)
            widths.append(RowWidths(chosen, min(strips, default=width), bands, self.first_row.width_mm is None))
            self.runs.extend(part_runs)
            self.part_of_run.extend([number] * len(part_runs))
        self.row_widths = tuple(widths)
        self.strips_at = strips_at

    def _boards_at_least(self, runs: Sequence[row_lines.Run]) -> int:
        """Boards by length alone, no piece beside another: for comparing first-row widths."""
        lengths = sum(run.length_t + self.spacing_t for run in runs)
        return -(-lengths // (self.board_t + self.spacing_t))

    def _pipes_in_runs(self) -> list[tuple[int, float]]:
        """Pipes that need a hole in the middle of a run: (run, position along the boards in tenths of mm).

        A pipe on the line between two rows takes half a hole from each and needs no joint.
        """
        found: list[tuple[int, float]] = []
        for pipe in self.room.pipes:
            middle = self.frame.to_laying(shapely.Point(pipe.at))
            for i, run in enumerate(self.runs):
                on_a_line = any(
                    abs(middle.y - edge) < AT_PIPE_MM and any(a <= middle.x <= b for a, b in spans)
                    for edge, spans in ((run.v0, run.back_spans), (run.v1, run.front_spans))
                )
                if not on_a_line and run.u0 < middle.x < run.u1 and run.v0 < middle.y < run.v1:
                    found.append((i, middle.x * 10))
        return found

    def _find_riders(self) -> dict[int, int | None]:
        """Narrow runs at the far wall that can be sawn from the strips the first row's boards leave.

        A rider about as long as its host copies the host's joints; a much shorter one may choose its own.
        """
        narrow = [i for i in self.jointed if 2 * (self.runs[i].v1 - self.runs[i].v0) <= self.board.width_mm]
        hosts = [i for i in narrow if not self.runs[i].back_spans]
        riders: dict[int, int | None] = {}
        for i in narrow:
            if self.runs[i].front_spans or not hosts:
                continue
            host = hosts[0]
            both = self.runs[i].v1 - self.runs[i].v0 + self.runs[host].v1 - self.runs[host].v0
            if both + self.rules.spacing_mm > self.board.width_mm:
                continue
            alike = abs(self.lengths[i].rest - self.lengths[host].rest) <= RIDER_LONGER_MM * 10
            if self.lengths[i].whole == self.lengths[host].whole and alike:
                riders[i] = host
            elif self.lengths[i].whole + 2 <= self.lengths[host].whole - 1:
                riders[i] = None
            if i in riders:
                hosts.pop(0)
        return riders

    # ------------------------------------------------------------------ bound

    def _bound(self, shortest_t: int, *, with_program: bool = False) -> int:
        by_row: dict[tuple[int, int], list[row_lines.Run]] = {}
        for part, run in zip(self.part_of_run, self.runs, strict=True):
            by_row.setdefault((part, run.row), []).append(run)
        bound_runs = [
            self._bound_run(
                run, by_row.get((part, run.row - 1), []), by_row.get((part, run.row + 1), []), shortest_t / 10
            )
            for part, run in zip(self.part_of_run, self.runs, strict=True)
        ]
        return boards_bound(
            bound_runs,
            float(self.floor.area),
            board_t=self.board_t,
            width_t=self.width_t,
            spacing_t=self.spacing_t,
            shortest_t=shortest_t,
            with_program=with_program,
        )

    def _bound_run(
        self, run: row_lines.Run, behind: list[row_lines.Run], in_front: list[row_lines.Run], shortest_mm: float
    ) -> BoundRun:
        """The run as the bound sees it: what every piece of it, at least so long, must have."""
        edges = [
            row_lines.joined_stretches(run, behind, back=True),
            row_lines.joined_stretches(run, in_front, back=False),
        ]
        gaps = [row_lines.widest_unjoined_mm(run, stretches) for stretches in edges]
        back, front = (gap <= max(shortest_mm - 10.0, 5.0) for gap in gaps)
        solid: tuple[int, ...] = ()
        if back != front:  # pieces that meet a neighbour on the other edge too are a full board wide
            stretches = edges[1] if back else edges[0]
            solid = tuple(int((end - start - 10.0) * 10) for start, end in stretches if end - start > 10.0)
        profile: tuple[tuple[int, int], ...] = ()
        if back != front and not solid and not run.is_box:
            profile = tuple((int(length * 10), int(width * 10)) for length, width in row_lines.width_profile(run))
        least = self.board.width_mm  # every piece that meets both rows is a full board wide
        if not (back and front):
            least = row_lines.least_piece_width_mm(run, min(shortest_mm, run.u1 - run.u0))
        return BoundRun(
            run.length_t,
            int(least * 10 + 1e-4),
            back,
            front,
            solid,
            profile,
        )

    # ------------------------------------------------------------------ plans

    def as_jointed_runs(self, which: Iterable[int]) -> list[JointedRun]:
        """Runs as the search and the habits see them."""
        return [
            JointedRun(self.runs[i].u0 * 10, self.runs[i].length_t, self.runs[i].row, self.part_of_run[i])
            for i in which
        ]

    def joint_task(self, *, but_for: Collection[int] = ()) -> JointTask:
        """The runs that need joints, and all that bears on where they go; one-piece runs `but_for` those laid."""
        rules = JointRules(self.board_t, self.spacing_t, self.shortest_t, self.rules.joint_offset_mm * 10)
        jointed = self.as_jointed_runs(self.jointed)
        at = {run: place for place, run in enumerate(self.jointed)}
        riders = {at[rider]: None if host is None else at[host] for rider, host in self.riders.items()}
        wide = self.board.width_mm - self.rules.spacing_mm
        loose = [
            run.length_t
            for i, (run, row) in enumerate(zip(self.runs, self.lengths, strict=True))
            if row.whole == 0 and 2 * (run.v1 - run.v0) > wide and i not in but_for
        ]
        return JointTask(
            tuple(jointed),
            rules,
            tuple(loose),
            riders,
            tuple((at[run], position) for run, position in self._pipes_in_runs() if run in at),
            self.rules.most_offcuts_waiting,
        )

    def better_plans(self) -> Iterator[Plan]:
        task = self.joint_task()
        joint_search = JointSearch(task, seed=self.seed)
        least = max(0, self.bound - sum(row.whole == 0 for row in self.lengths) + len(task.loose_t))
        steps = joint_search.better(least_boards=least, boards_for_pattern=self.boards_for_pattern)
        standing = joint_search.standing()
        for _ in range(QUICK_STEPS):
            if not standing.broken_offsets:
                break
            standing = next(steps, standing)
        plan = self._plan(joint_search.best_joints)
        yield plan
        unbuilt = 0  # steps since the joints shown were last bettered; sawing a hall takes as long as many steps
        for now in steps:
            unbuilt += now is not standing or unbuilt > 0
            standing = now
            if unbuilt > len(self.runs) // RUNS_A_STEP:
                plan, unbuilt = self._better_of(plan, self._plan(joint_search.best_joints)), 0
            yield plan
        if unbuilt:
            plan = self._better_of(plan, self._plan(joint_search.best_joints))
            yield plan
        if plan.boards_needed > plan.boards_bound:
            yield self._with_stronger_bound(plan)

    def _with_stronger_bound(self, plan: Plan) -> Plan:
        short = any(fault.rule == "shortest piece" for fault in plan.broken_rules)
        bound = self._bound(0 if short else self.shortest_t, with_program=True)
        return replace(plan, boards_bound=min(bound, plan.boards_needed))

    def _better_of(self, old: Plan, new: Plan) -> Plan:
        """The new plan, unless sawing it takes more boards than allowed with no fewer rules broken."""
        allowed = old.boards_needed + self.boards_for_pattern
        worse = (len(new.broken_rules), new.boards_needed) > (len(old.broken_rules), allowed)
        return old if worse else new

    def cuts_mm(self, joints_t: Sequence[int]) -> list[list[float]]:
        """For each run the positions of its joints [mm, laying frame], from the first joints of the jointed ones."""
        cuts: list[list[float]] = [[] for _ in self.runs]
        for i, first in zip(self.jointed, joints_t, strict=True):
            run, row = self.runs[i], self.lengths[i]
            count = row.whole + (first < row.rest)
            cuts[i] = [run.u0 + (first + board * self.board_t) / 10 for board in range(count)]
        return cuts

    def _plan(self, joints_t: Sequence[int]) -> Plan:
        cuts = self.cuts_mm(joints_t)
        pieces = cut_runs(self.runs, cuts)
        sawn = saw_from_boards(
            pieces,
            board_t=self.board_t,
            width_t=self.width_t,
            spacing_t=self.spacing_t,
            riders=self.riding_pieces(pieces),
            most_waiting=self.rules.most_offcuts_waiting,
        )
        return self.plan_of(cuts, pieces, sawn)

    def plan_of(self, cuts: Sequence[Sequence[float]], pieces: Sequence[Piece], sawn: Sequence[Sawn]) -> Plan:
        """The plan made of these pieces, its rules checked.

        Parameters
        ----------
        cuts
            For each run the positions of its joints [mm, laying frame].
        pieces, sawn
            The pieces in laying order, and where each lies on its board.
        """
        broken = broken_rules(self.runs, self.stops, cuts, pieces, self.rules)
        bound = self.bound
        if any(fault.rule == "shortest piece" for fault in broken):
            bound = self._bound(0)
        needed = len({piece.board for piece in sawn})
        return Plan(
            self.room,
            self.board,
            self.rules,
            self.frame.along,
            self.frame.across,
            self.floor,
            self._table(pieces, sawn),
            pd.DataFrame(
                {
                    "left": [piece.left for piece in pieces],
                    "right": [piece.right for piece in pieces],
                    "back": [piece.back for piece in pieces],
                    "front": [piece.front for piece in pieces],
                }
            ),
            needed,
            min(bound, needed),
            tuple(broken),
            self.row_widths,
            self.strips,
            self._row_joints_mm(cuts),
        )

    @cached_property
    def strips(self) -> pd.DataFrame:
        """What the first-row width leaves at every stop-point."""
        stops, widths = zip(*self.strips_at, strict=True) if self.strips_at else ((), ())
        return strips_table(self.room, self.frame, stops, widths)

    def _row_joints_mm(self, cuts: Sequence[Sequence[float]]) -> tuple[float, ...]:
        """The first joint of each row's longest run that has one."""
        longest: dict[int, tuple[float, float]] = {}
        for run, joints in zip(self.runs, cuts, strict=True):
            length = run.u1 - run.u0
            if joints and length > longest.get(run.row, (0.0, 0.0))[0]:
                longest[run.row] = (length, joints[0])
        return tuple(joint for _, (_, joint) in sorted(longest.items()))

    def riding_pieces(self, pieces: Sequence[Piece]) -> dict[int, int | None]:
        """Pieces of riding runs, each with the piece of the host that has the same place in its run."""
        riding: dict[int, int | None] = {}
        for rider, host in self.riders.items():
            hosts = [j for j, piece in enumerate(pieces) if piece.run == host]
            own = [i for i, piece in enumerate(pieces) if piece.run == rider]
            riding |= dict(zip(own, hosts if len(hosts) == len(own) else [None] * len(own), strict=True))
        return riding

    def _table(self, pieces: Sequence[Piece], sawn: Sequence[Sawn]) -> pd.DataFrame:
        shapes = self.frame.to_survey(np.array([piece.polygon for piece in pieces]))
        columns = [
            [piece.label for piece in pieces],
            [piece.row for piece in pieces],
            [piece.place for piece in pieces],
            [place.board for place in sawn],
            [place.along_t / 10 for place in sawn],
            [place.across_t / 10 for place in sawn],
            [piece.length_t / 10 for piece in pieces],
            [piece.width_t / 10 for piece in pieces],
            shapes,
        ]
        return pd.DataFrame(dict(zip(PIECE_COLUMNS, columns, strict=True)))


def require_board_can_be_planned(board: Board) -> None:
    """Pass if the board is of one length and clicked.

    Raises
    ------
    ValueError
        For mixed-length packs and solid boards.
    """
    if board.mixed_lengths:
        raise ValueError(
            f"board {board.name!r}: packs of mixed lengths can't be set out beforehand, because nobody knows "
            "which lengths a pack holds. Choose a board of one length."
        )
    if board.kind == "solid":
        raise ValueError(
            f"board {board.name!r}: solid boards are nailed or glued and matched by eye as they come; this plan "
            "is for floating click floors. Choose a laminate, engineered or vinyl click board."
        )
