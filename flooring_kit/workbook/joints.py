"""Exercises on joints: which offcut starts a row, and how far apart joints fall."""

from __future__ import annotations

import random
from collections.abc import Sequence

from flooring_kit.setting_out.habit import CarriedPiece, carried_on
from flooring_kit.setting_out.joint_costs import JointedRun
from flooring_kit.workbook.exercise import Exercise, Reason, Slip, shuffled
from flooring_kit.workbook.quantities import Quantity
from flooring_kit.workbook.sketches import Bar, Line, lines_sketch

OFFSET_MM, SHORTEST_MM = 300, 300


def offcut_that_starts_a_row(draw: random.Random) -> Exercise:
    """Which of four offcuts can start the next row."""
    board, joint = draw.choice((1285, 1380, 1220)), draw.randrange(380, 560, 5)
    good = joint + OFFSET_MM + draw.randrange(20, 110, 5)
    wrong = good + draw.randrange(15, 90, 5)
    near = joint + draw.choice((-1, 1)) * draw.randrange(20, 70, 5)
    short = draw.randrange(150, 285, 5)
    kinds = [
        ("good", good, "right"),
        ("wrong end", wrong, "left"),
        ("near", near, "right"),
        ("short", short, "right"),
    ]
    draw.shuffle(kinds)
    at = {kind: place for place, (kind, _, _) in enumerate(kinds)}
    letters = "ABCD"
    reasons = (
        Reason("Its right factory end is whole and joins the next board; its sawn end goes to the wall."),
        Reason(
            "Its left factory end goes to the wall, and its sawn end joins the next board.",
            "wrong end kept",
            "A sawn end has no lock and joins nothing. The sawn end belongs at the wall, under the skirting's trim.",
        ),
        Reason(
            "Any offcut long enough will do: turned end for end, its sawn end comes to the wall.",
            "offcut turned end for end",
            "Turned end for end its long edges change places too, and no edge locks into the row before. Pieces never "
            "turn.",
        ),
    )

    def lines() -> list[Line]:
        found = []
        for place, (_, length, keeps) in enumerate(kinds):
            start = 60 if keeps == "right" else 0
            sawn = Bar(0 if keeps == "right" else length - 60, 60, "waste")
            found.append(Line(letters[place], (Bar(start, length - 60, "whole", f"{length}"), sawn)))
        return found

    before = Line("row before", (Bar(0, joint, "cut", f"{joint}"), Bar(joint, board, "whole", "whole board")))
    right = float(at["good"])
    return Exercise(
        title="Which offcut can start a row?",
        grade=2,
        question=f"You lay from left to right. The first joint of the row before lies {joint} mm from the "
        "floor's left edge. Four offcuts wait; you may shorten one at its sawn end, if it keeps the rules. It would be "
        "a waste to cut a new board.",
        figures=(
            *(
                (f"Offcut {letters[place]}", f"{length} mm, its {keeps} factory end whole, the other end sawn")
                for place, (_, length, keeps) in enumerate(kinds)
            ),
            ("Joints of neighbouring rows", f"at least {OFFSET_MM} mm apart"),
            ("Shortest piece", f"{SHORTEST_MM} mm"),
        ),
        asked="Which one starts the next row?",
        quantity=Quantity("choice", noun="offcut", options=4),
        right=right,
        slips=(
            Slip(
                "wrong end kept",
                float(at["wrong end"]),
                "It is long enough, but its right end is sawn and cannot lock. It came from starting a row, so it can "
                "only finish one.",
            ),
            Slip(
                "joint too near the row before",
                float(at["near"]),
                f"Its joint would fall beside that of the row before. Joints keep {OFFSET_MM} mm apart, and cut "
                "shorter it "
                "comes under the shortest piece.",
            ),
            Slip(
                "piece too short",
                float(at["short"]),
                f"It is under {SHORTEST_MM} mm: so short a piece has too little lock to hold.",
            ),
        ),
        hint="A starter is sawn at the wall, on the left. Which end must be a factory end? Then look at lengths and "
        "joints.",
        worked=(
            "A row's first piece is sawn at the wall on the left, so its right end must be a factory end.",
            f"It needs {SHORTEST_MM} mm of length, and a joint {OFFSET_MM} mm from the one at {joint}.",
            f"{good} - {joint} = {good - joint} mm apart: that leaves offcut {letters[at['good']]}.",
        ),
        reasons=shuffled(draw, reasons),
        why_asked="Why can it start the row?",
        sketch=lambda: lines_sketch(
            [before, *lines()], "The row before and four offcuts; the sawn end of each is hatched."
        ),
        worked_sketch=lambda: lines_sketch(
            [before, Line("next row", (Bar(0, good, "cut", f"{letters[at['good']]} · {good}"),))],
            "The row before, and the offcut that starts the next one.",
            marks_at=((joint, ""), (good, f"{good - joint} apart")),
        ),
    )


def step_of_joints(draw: random.Random) -> Exercise:
    """How far apart joints fall when every row starts with the last offcut."""
    board, kerf, gap = draw.choice((1285, 1380, 1220, 1292)), draw.choice((2, 3, 4)), 10
    whole = draw.randint(2, 3)
    rest = draw.randrange(int(0.6 * board), board - 40)
    clear = whole * board + rest
    runs = [JointedRun(0.0, 10 * clear, row) for row in (1, 2, 3)]
    carried = carried_on(runs, board_t=10 * board, kerf_t=10 * kerf)
    joints = _joints_mm(carried)
    right = min(abs(one - other) for one in joints[1] for other in joints[0])
    step = rest + kerf
    too_near = right < OFFSET_MM
    keep = Reason(
        "No. The joints fall too near: keep this offcut for a later row."
        if too_near
        else "For a row or two. Neighbours keep the rule, but the same step each time makes a stair: change it then."
    )
    reasons = (
        keep,
        Reason(
            f"Yes. The step is {step} mm, well over {OFFSET_MM}.",
            "wrapped offset",
            "The step goes past half a board: the next board's joint comes round from the other side and is nearer.",
        ),
        Reason(
            "Yes. An equal step from row to row is the irregular pattern one wants.",
            "stair",
            "Equal steps make a stair that the eye follows across the floor. Irregular means that steps differ.",
        ),
    )
    room_rest = (clear + 2 * gap) % board
    return Exercise(
        title="The step of the joints",
        grade=2,
        question="The first row starts with a whole board, and every row after it with the offcut the last one left, "
        "whatever its length.",
        figures=(
            ("Clear length of every row", f"{clear} mm"),
            ("Board length", f"{board} mm"),
            ("Saw kerf", f"{kerf} mm"),
            ("Joints of neighbouring rows", f"at least {OFFSET_MM} mm apart"),
        ),
        asked="How far from the nearest joint of the first row does a joint of the second row fall?",
        quantity=Quantity("length", close=0.6),
        right=right,
        slips=(
            Slip(
                "wrapped offset",
                step,
                "That is the step from the joint behind. It is more than half a board, so another joint is nearer: "
                "measure to both sides.",
            ),
            Slip(
                "kerf forgotten",
                board - rest,
                "You left out the saw: every cut takes its kerf from the board.",
            ),
            Slip(
                "offcut and kerf mixed up",
                board - rest + kerf,
                "You added the kerf where the saw takes it away: the offcut gets shorter by it.",
            ),
            Slip(
                "gap forgotten",
                min(room_rest + kerf, board - room_rest - kerf),
                "You put the gaps back on: the clear length is the floor's own.",
            ),
        ),
        hint="What does the first row saw off its last board, and how long is the offcut that stays? Its joint is as "
        "far in.",
        worked=(
            f"{clear} = {whole} x {board} + {rest}: the last piece of row 1 is {rest} mm, and with the kerf {step} "
            "mm are "
            "gone from that board.",
            f"The offcut starts row 2, so every joint of row 2 lies {step} mm short of one of row 1.",
            f"It also lies {board} - {step} = {board - step} mm beyond the joint before that one.",
            f"The smaller of the two counts: {right:g} mm.",
        ),
        reasons=shuffled(draw, reasons),
        why_asked="May you carry on like this?",
        worked_sketch=lambda: lines_sketch(
            [
                Line(f"row {row}", _row_bars(pieces, board))
                for row, pieces in enumerate(
                    [[piece.length / 10 for piece in run] for run in carried],
                    start=1,
                )
            ],
            "Three rows laid by carrying on with the offcut.",
        ),
    )


def _row_bars(lengths: Sequence[float], board: float) -> tuple[Bar, ...]:
    bars, at = [], 0.0
    for length in lengths:
        bars.append(Bar(at, length, "whole" if length == board else "cut", f"{length:g}"))
        at += length
    return tuple(bars)


def _joints_mm(carried: Sequence[Sequence[CarriedPiece]]) -> list[list[float]]:
    found = []
    for pieces in carried:
        at, joints = 0.0, []
        for piece in pieces[:-1]:
            at += piece.length / 10
            joints.append(at)
        found.append(joints)
    return found
