"""What a plan is weighed against: the two habits, the price of the margin, and plan B with one board more."""

from __future__ import annotations

from dataclasses import dataclass, replace

from flooring_kit.setting_out.habit import HabitFigures, carry_on_with_the_offcut, keep_the_rules_as_you_go
from flooring_kit.setting_out.pattern import FEWEST_ROWS_SCORED, lined_up_rows, stair_rows, tracing_score
from flooring_kit.setting_out.plan import FirstRow, Plan, Search
from flooring_kit.setting_out.planner import Planner, set_out
from flooring_kit.setting_out.starts import JointRules

CLEARLY_LOWER = 0.10
"""A tracing-paper score lower by this share of the rows is a clear gain."""


@dataclass(frozen=True)
class Pattern:
    """How irregular joints are.

    Parameters
    ----------
    rows
        Rows with a joint.
    score_fraction
        Tracing-paper score; None under ten rows, where counts say more.
    rows_shifted
        The shift that gives the score.
    lined_up, stairs
        Rows lined up with those two on, and rows that begin three with the same step, by number from 1.
    """

    rows: int
    score_fraction: float | None
    rows_shifted: int
    lined_up: tuple[int, ...]
    stairs: tuple[int, ...]

    @property
    def word(self) -> str:
        """The pattern in a word or two. The limits are the kit's own and untested on people."""
        if self.score_fraction is None:
            return "irregular" if not (self.lined_up or self.stairs) else "repeats visible"
        limits = ((0.20, "irregular"), (0.35, "fairly irregular"), (0.60, "repeats visible"))
        return next((word for limit, word in limits if self.score_fraction <= limit), "regular")


def pattern_of(row_joints_mm: tuple[float, ...], board_length_mm: float) -> Pattern:
    """The pattern of a floor given by a joint of each row [mm].

    >>> pattern_of((900.0, 1800.0) * 6, 1800.0).word
    'regular'
    """
    score = tracing_score(row_joints_mm, board_length_mm) if len(row_joints_mm) >= FEWEST_ROWS_SCORED else None
    return Pattern(
        len(row_joints_mm),
        None if score is None else score.score_fraction,
        1 if score is None else score.rows_shifted,
        tuple(row + 1 for row in lined_up_rows(row_joints_mm, board_length_mm)),
        tuple(row + 1 for row in stair_rows(row_joints_mm, board_length_mm)),
    )


@dataclass(frozen=True)
class Habits:
    """What the two habits would need for a plan's own rows."""

    carry_on: HabitFigures
    keep_rules: HabitFigures


def habits(plan: Plan) -> Habits:
    """Both habits on the rows of a plan: figures to set beside it."""
    planner = _planner(plan)
    rules = JointRules(planner.board_t, planner.spacing_t, planner.shortest_t, plan.rules.joint_offset_mm * 10)
    runs = planner.as_jointed_runs(range(len(planner.runs)))
    return Habits(
        carry_on_with_the_offcut(runs, rules, kerf_t=round(plan.rules.kerf_mm * 10)),
        keep_the_rules_as_you_go(runs, rules),
    )


def margin_price(plan: Plan) -> int:
    """Boards that the margin on shared boards costs: a settled plan's, less those of the same floor with no margin."""
    bare = replace(plan.rules, offcut_margin_mm=0.0)
    without = set_out(plan.room, plan.board, rules=bare, direction=plan.direction_degrees, first_row=_first_row(plan))
    return max(0, plan.boards_needed - without.boards_needed)


def plan_b(plan: Plan) -> Plan | None:
    """A plan with one board more whose joints are clearly more irregular; None where that buys nothing clear."""
    other = set_out(
        plan.room,
        plan.board,
        rules=plan.rules,
        direction=plan.direction_degrees,
        first_row=_first_row(plan),
        search=Search(boards_for_pattern=1),
    )
    if other.boards_needed != plan.boards_needed + 1 or len(other.broken_rules) > len(plan.broken_rules):
        return None
    now, then = (pattern_of(one.row_joints_mm, plan.board.length_mm) for one in (plan, other))
    gain = (now.score_fraction or 0.0) - (then.score_fraction or 0.0)
    if gain < 0 or len(then.lined_up) > len(now.lined_up) or len(then.stairs) > len(now.stairs):
        return None
    faults_gone = bool(now.lined_up or now.stairs) and not (then.lined_up or then.stairs)
    return other if faults_gone or gain >= CLEARLY_LOWER else None


def _first_row(plan: Plan) -> FirstRow:
    first = plan.row_widths[0]
    return FirstRow(plan.start, None if first.chosen_by_kit else first.first_row_width_mm)


def _planner(plan: Plan) -> Planner:
    return Planner(plan.room, plan.board, plan.rules, plan.direction_degrees, _first_row(plan), Search(quick=True))
