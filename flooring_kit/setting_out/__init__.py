"""Setting out: from a net floor to rows, runs, pieces and the boards they are sawn from.

The flow, one module a step::

    frame   which way the boards run, which wall is the start wall
    rows    row lines, stop-points, first-row width, runs
    chains  how offcuts pass from row to row; the fewest boards for equal rows
    joints  the search for first joints, on top of joint_costs and waiting
    pattern how irregular the joints are
    pieces  runs sawn at their joints; which ends and edges meet a neighbour
    faults  rules the floor could not hold
    boards  which stock board each piece is sawn from; boards_begun: the same on a floor half laid
    proof   a lower bound on boards
    strips  what a first-row width leaves at every stop-point
    plan    the plan itself
    planner one call from a room and a board to plans; asked: what it may be called with
    onward, from_here  the rest of a floor half laid planned anew
    habit, habit_plan, alternatives  what a plan is weighed against

Lengths that decide a cut are whole tenths of a millimetre, kept as ints and named `_t`.
"""

from flooring_kit.setting_out.alternatives import habits, margin_price, pattern_of, plan_b
from flooring_kit.setting_out.faults import BrokenRule
from flooring_kit.setting_out.habit_plan import habit_plan
from flooring_kit.setting_out.plan import FirstRow, Plan, Search
from flooring_kit.setting_out.planner import better_plans, set_out

__all__ = [
    "BrokenRule",
    "FirstRow",
    "Plan",
    "Search",
    "better_plans",
    "habit_plan",
    "habits",
    "margin_price",
    "pattern_of",
    "plan_b",
    "set_out",
]
