"""What a plan is weighed against, in words: the habit, other ways to lay, the margin, one board more."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from flooring_kit.checks import counted
from flooring_kit.setting_out import Plan, habits, pattern_of
from flooring_kit.wastage import packs_for_area
from flooring_kit.ways import Way, recommended, ways_table

ROW_ENDS_TOLD = 3
RULE_OF_THUMB = 0.10
"""Net area and a tenth: the usual rule of thumb. Common practice, no source."""


def habit_sentences(plan: Plan, habit: Plan) -> list[str]:
    """What goes wrong when the same room is laid by habit, and what the plan does instead.

    Parameters
    ----------
    plan
        The plan.
    habit
        As from :func:`flooring_kit.habit_plan`.
    """
    figures = habits(habit).carry_on
    ends = _row_ends_mm(habit)
    stubs = sorted(end for end in ends if end < habit.rules.shortest_piece_mm)
    told = [f"By habit: {counted(habit.boards_needed, 'board')}."]
    if stubs:
        first = ", ".join(f"{end:.0f}" for end in stubs[:ROW_ENDS_TOLD])
        more = f" … {stubs[-1]:.0f}" if len(stubs) > ROW_ENDS_TOLD else ""
        told.append(f"{len(stubs)} of {counted(len(ends), 'row end')} are stubs: {first}{more} mm.")
    if figures.broken_offsets:
        told.append(f"Joints lie too near those of the row before in {counted(figures.broken_offsets, 'place')}.")
    strip = min(part.narrowest_strip_mm for part in habit.row_widths)
    if strip < habit.rules.narrowest_row_mm:
        beside = habit.strips.sort_values("strip_mm")["beside"].iloc[0]
        told.append(f"A whole first row leaves a strip of {strip:.0f} mm at {_plain(beside)}.")
    broken = sum(not fault.slight for fault in plan.broken_rules)
    held = "holds every rule" if not broken else f"breaks {counted(broken, 'rule')}"
    told.append(f"The plan: {counted(plan.boards_needed, 'board')}, and it {held}.")
    told.append(_bought_by_area(plan, habit))
    return told


def _row_ends_mm(habit: Plan) -> list[float]:
    """Length of the last piece of every run of two pieces or more [mm]."""
    last = habit.joined["left"] & ~habit.joined["right"]
    return list(habit.pieces["length_mm"][last])


def _plain(beside: str) -> str:
    """The place of a strip as one says it: what is numbered needs no article."""
    return beside if beside.startswith(("wall ", "doorway ")) else f"the {beside}"


def _bought_by_area(plan: Plan, habit: Plan) -> str:
    """What area and a tenth buys, and whether that is too much or runs short."""
    board = plan.board
    packs = packs_for_area(float(plan.floor.area) / 1e6, board.pack_area_m2, spare_fraction=RULE_OF_THUMB)
    boards = packs * board.boards_per_pack
    keep = habits(habit).keep_rules
    text = f"Net area and a tenth buys {counted(packs, 'pack')}, {boards} boards"
    row = keep.runs_short_in_row(boards)
    if row is not None:
        return f"{text}: keeping the rules as you go takes {keep.boards} and runs short in row {row}."
    return f"{text}; keeping the rules as you go takes {keep.boards}."


WAYS_HEADS = {
    "way": "Boards run",
    "boards": "Boards",
    "packs": "Packs",
    "rows": "Rows",
    "cross_cuts": "Cut to length",
    "rips": "Ripped",
    "shaped": "Notches, tapers",
    "narrowest_strip_mm": "Narrowest strip, mm",
    "pattern": "Joints",
    "frames": "Door frames met at",
    "remarks": "Mind",
}


def ways_html(ways: Sequence[Way]) -> str:
    """The ways side by side, the recommended one first in bold, with the reasons under the table.

    Parameters
    ----------
    ways
        As from :func:`flooring_kit.ways_to_lay`.
    """
    advice = recommended(ways)
    table = ways_table(ways)
    cell = "padding:3px 10px;border-bottom:1px solid #d5d9dc;text-align:left"
    head = "".join(f"<th scope='col' style='{cell}'>{title}</th>" for title in WAYS_HEADS.values())
    body = ""
    for way, row in sorted(zip(ways, table.itertuples(), strict=True), key=lambda pair: pair[0] is not advice.way):
        told = {
            "way": way.words.removeprefix("boards "),
            "narrowest_strip_mm": f"{row.narrowest_strip_mm:.0f}",
            "frames": row.frames or "none",
            "remarks": " ".join(_remarks(way, ways)) or "nothing special",
        }
        weight = ";font-weight:600" if way is advice.way else ""
        body += "<tr>" + "".join(
            f"<td style='{cell}{weight}'>{escape(str(told.get(column, getattr(row, column, ''))))}</td>"
            for column in WAYS_HEADS
        )
        body += "</tr>"
    reasons = "".join(f"<li>{escape(reason)}</li>" for reason in advice.reasons)
    return (
        "<div style='overflow-x:auto;font-size:13px' tabindex='0' role='region' aria-label='Ways to lay this floor'>"
        f"<table style='border-collapse:collapse;line-height:1.3'><thead><tr>{head}</tr></thead><tbody>{body}</tbody>"
        f"</table></div><p style='margin:8px 0 2px'>{escape(f'We would lay {advice.way.words}.')}</p>"
        f"<ul style='margin:2px 0 0 18px'>{reasons}</ul>"
    )


def _remarks(way: Way, ways: Sequence[Way]) -> list[str]:
    """What to mind when laying this way, and the start that spares it."""
    broken = [f"{counted(way.broken_rules, 'laying rule')} broken."] if way.broken_rules else []
    long = ["Needs a break: longer than the leaflet allows."] if way.needs_break else []
    told = [*broken, *long, *(meeting.sentence() for meeting in way.meetings)]
    if _sides_meet(way):
        spared = [
            f"Or start from wall {other.estimate.plan.start_wall}, where no two sides have to meet."
            for other in ways
            if other.direction == way.direction and not _sides_meet(other)
        ]
        told += spared[:1]
    return told


def _sides_meet(way: Way) -> bool:
    return any(not meeting.in_doorways for meeting in way.meetings)


def pattern_sentences(plan: Plan) -> list[str]:
    """How irregular the joints are, in plain words, beside the two habits."""
    length = plan.board.length_mm
    pattern, found = pattern_of(plan.row_joints_mm, length), habits(plan)
    told = []
    if pattern.score_fraction is None:
        told.append(
            f"Joints in {counted(pattern.rows, 'row')}: {len(pattern.lined_up)} lined up with the row two on, "
            f"{len(pattern.stairs)} that begin a stair: {pattern.word}."
        )
    else:
        told.append(
            "Copy all joints on tracing paper and lay it back shifted by one to four rows and any distance along."
        )
        told.append(
            f"At most {pattern.score_fraction:.0%} of the rows coincide ({pattern.rows_shifted} on): {pattern.word}. "
            f"{len(pattern.lined_up)} lined up with the row two on, {len(pattern.stairs)} that begin a stair."
        )
    for habit, figures in (
        ("Carrying on with the offcut, rules ignored,", found.carry_on),
        ("Keeping the rules as you go", found.keep_rules),
    ):
        told.append(
            f"{habit} takes {counted(figures.boards, 'board')}, breaks {counted(figures.broken_offsets, 'offset')} "
            f"and leaves {counted(figures.short_rows, 'row')} with a short end; the plan takes {plan.boards_needed}."
        )
    return told


def margin_sentence(plan: Plan, boards: int) -> str:
    """What the margin on shared boards costs.

    Parameters
    ----------
    plan
        The plan.
    boards
        As from :func:`flooring_kit.margin_price`.
    """
    cost = counted(boards, "board") if boards else "no board here"
    return f"The margin of {plan.rules.offcut_margin_mm:g} mm between two pieces of one board costs {cost}."


def one_board_more_sentence(plan: Plan, other: Plan | None) -> str:
    """What one board more would do for the joints.

    Parameters
    ----------
    plan
        The plan.
    other
        As from :func:`flooring_kit.plan_b`.
    """
    if other is None:
        return "One board more would not make the joints clearly more irregular."
    now, then = (_pattern_in_figures(one) for one in (plan, other))
    return f"One board more, {other.boards_needed}, makes the joints more irregular: {then} instead of {now}."


def _pattern_in_figures(plan: Plan) -> str:
    pattern = pattern_of(plan.row_joints_mm, plan.board.length_mm)
    score = "" if pattern.score_fraction is None else f"at most {pattern.score_fraction:.0%} of the rows coincide, "
    return f"{score}{len(pattern.lined_up)} lined up, {counted(len(pattern.stairs), 'stair')}"


def wider_sentences(plan: Plan, wider: Plan) -> list[str]:
    """What a wider board would change, a sentence each: boards and their bound, area bought, the narrowest strip.

    Parameters
    ----------
    plan, wider
        Plans of the same room with two boards that differ in width.
    """
    by = wider.board.width_mm - plan.board.width_mm
    boards = wider.boards_needed - plan.boards_needed
    change = "as many boards" if boards == 0 else f"{counted(abs(boards), 'board')} {'fewer' if boards < 0 else 'more'}"
    areas = [each.boards_needed * each.board.area_m2 for each in (plan, wider)]
    strips = [min(part.narrowest_strip_mm for part in each.row_widths) for each in (plan, wider)]
    return [
        f"{by:g} mm wider: {change}, {wider.boards_needed} instead of {plan.boards_needed} (fewest possible "
        f"{wider.boards_bound} instead of {plan.boards_bound}).",
        f"Board area {areas[1]:.2f} m² instead of {areas[0]:.2f} m².",
        f"Narrowest strip {strips[1]:.0f} mm instead of {strips[0]:.0f} mm.",
    ]
