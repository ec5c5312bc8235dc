"""Exercises along the boards: which offcut starts a row, the step of joints, shared boards, a board face down."""

from __future__ import annotations

import random
from collections.abc import Sequence

import numpy as np

from flooring_kit.drawing.marks import Mark, Scene, Shape, Words
from flooring_kit.setting_out.habit import CarriedPiece, carried_on
from flooring_kit.setting_out.joint_costs import JointedRun
from flooring_kit.setting_out.sharing import most_shared, pair_up
from flooring_kit.workbook.exercise import Exercise, Reason, Slip, UnluckyFiguresError, other_than, shuffled
from flooring_kit.workbook.quantities import Quantity
from flooring_kit.workbook.sketches import Bar, Line, box, lines_sketch, measure, scene_of

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
        question=f"You lay from left to right. The first joint of the row before lies {joint} mm from the gap. Four "
        "offcuts wait; you may shorten one at its sawn end, if it keeps the rules. It would be a waste to cut a new "
        "board.",
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
        else "For a row or two. Neighbours keep the rule, but the same step each time makes a stair: change it now and then."
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


def shared_boards(draw: random.Random) -> Exercise:
    """Boards for some rows whose first and last pieces are known."""
    board, kerf, margin = draw.choice((1285, 1380, 1220)), 3, 10
    rows, whole = draw.randint(4, 5), draw.randint(1, 2)
    rest = draw.randrange(700, 900, 5)
    starters, finishers = [], []
    for _ in range(rows):
        first = draw.randrange(SHORTEST_MM, board, 5)
        last = rest - first if rest - first >= SHORTEST_MM else rest + board - first
        starters.append(first)
        finishers.append(last)
    middles = [whole - (last + first > board) for first, last in zip(starters, finishers, strict=True)]
    pieces = 2 * rows + sum(middles)
    fit = board - kerf - margin
    if any(not SHORTEST_MM <= last < board for last in finishers):
        raise UnluckyFiguresError
    pairs = pair_up(starters, finishers, fit)
    if not pairs:
        raise UnluckyFiguresError
    right = pieces - most_shared(starters, finishers, fit)
    any_two = _most_pairs([*starters, *finishers], fit)
    shared_words = [f"{finishers[f]} and {starters[s]}" for s, f in pairs]
    shown = [
        (f"Row {row}, mm", f"first {first}, {middle} whole, last {last}")
        for row, (first, middle, last) in enumerate(zip(starters, middles, finishers, strict=True), start=1)
    ]
    reasons = (
        Reason("A board has one left and one right factory end: it gives at most one first and one last piece."),
        Reason(
            "Any two pieces short enough come out of one board.",
            "two of a kind from one board",
            "Two first pieces would both need the right factory end of one board. It has one.",
        ),
        Reason(
            "A cut board is spent: what is left of it is waste.",
            "no board shared",
            "What is left of it still has one factory end, and a row somewhere needs just that.",
        ),
    )
    return Exercise(
        title="Shared boards",
        grade=3,
        question=f"The cut list of {rows} rows is written. First pieces keep their right factory end, last pieces "
        "their left. "
        "An offcut may wait as long as you like.",
        figures=(
            *shown,
            ("Board length", f"{board} mm"),
            ("Saw kerf", f"{kerf} mm"),
            ("Kept free beside a second piece", f"{margin} mm"),
        ),
        asked="How few boards do these rows take?",
        quantity=Quantity("count", noun="board"),
        right=right,
        slips=(
            Slip(
                "no board shared",
                pieces,
                "You took a new board for every piece. Look for a last and a first piece that share.",
            ),
            Slip(
                "two of a kind from one board",
                pieces - any_two,
                "You let two first pieces or two last ones share a board. It has one right and one left factory end.",
            ),
            *other_than(
                [right, pieces, pieces - any_two],
                [
                    Slip(
                        "boards by length alone",
                        -(-(sum(starters) + sum(finishers) + board * sum(middles)) // board),
                        "You divided the metres by the board length. Pieces don't join end to end: each keeps its "
                        "own end.",
                    )
                ],
                by=0.5,
            ),
        ),
        hint="Write first pieces in one column and last pieces in another. Pair the longest last piece with the "
        "longest first "
        "one that still fits, kerf and free length taken off.",
        worked=(
            f"A pair fits when it is at most {board} - {kerf} - {margin} = {fit} mm.",
            f"So these share a board: {'; '.join(shared_words) or 'none'}. That is {len(pairs)} shared.",
            f"All pieces are {pieces}; less {len(pairs)} shared: {right} boards.",
        ),
        reasons=shuffled(draw, reasons),
        why_asked="What decides which pieces can share?",
        worked_sketch=lambda: lines_sketch(
            [
                Line(f"board {n}", _shared_bars(finishers[f], starters[s], board))
                for n, (s, f) in enumerate(pairs, start=1)
            ],
            "The boards that give a last and a first piece; the left one finishes a row, the right one starts one.",
        ),
    )


def _shared_bars(finisher: int, starter: int, board: int) -> tuple[Bar, ...]:
    left = board - finisher - starter
    return (
        Bar(0, finisher, "cut", f"last {finisher}"),
        Bar(finisher, left, "waste"),
        Bar(finisher + left, starter, "cut", f"first {starter}"),
    )


def _most_pairs(lengths: Sequence[int], fit: int) -> int:
    """The most pairs of any two pieces that fit one board: the shortest with the longest that still takes it."""
    ordered = sorted(lengths)
    low, high, pairs = 0, len(ordered) - 1, 0
    while low < high:
        if ordered[low] + ordered[high] <= fit:
            low, pairs = low + 1, pairs + 1
        high -= 1
    return pairs


def notch_face_down(draw: random.Random) -> Exercise:
    """Where a notch is marked on a board that lies face down."""
    board = draw.choice((1285, 1380, 1220))
    start, wide = draw.randrange(180, 700, 5), draw.randrange(90, 260, 5)
    end = start + wide
    right = board - end
    reasons = (
        Reason("Turned over like a page, left and right change places; the tongue end says which is which."),
        Reason(
            "Left stays left: the board lies as before, only the other way up.",
            "notch mirrored",
            "Hold a sheet of paper with a mark near its left end and turn it over like a page: the mark is on the "
            "right.",
        ),
        Reason(
            "Turn the board round as well, so that its ends lie as before.",
            "board turned end for end",
            "Then its two long edges have changed places, and the notch is cut into the wrong edge.",
        ),
    )
    return Exercise(
        title="A notch, sawn face down",
        grade=3,
        question="A whole board gets a notch for a door lining. You marked it in your head as it will lie in the "
        "floor, face "
        "up, tongue end at the left. A jigsaw chips the face less when the board lies face down, so you turn it over "
        "like a "
        "page, left for right. The edge that faces the wall stays on the same side.",
        figures=(
            ("Board length", f"{board} mm"),
            ("Tongue end to the notch, face up", f"{start} mm"),
            ("Length of the notch", f"{wide} mm"),
        ),
        asked="Face down, how far from the end now at your left does the notch begin?",
        quantity=Quantity("length", close=1.0, near=4.0),
        right=right,
        slips=(
            Slip(
                "notch mirrored",
                start,
                "That is right face up. Face down it comes out mirrored: the tongue end is now at your right.",
            ),
            Slip(
                "far side of the notch taken",
                board - start,
                "You found the notch's far side: from the left you meet its other side first.",
            ),
            Slip(
                "measured from the other end",
                end,
                "You measured to the notch's end from the tongue end, now at your right.",
            ),
        ),
        hint="Which end is at your left now? From there, what lies before the notch?",
        worked=(
            "Turned over like a page, the tongue end is at your right and the groove end at your left.",
            f"From the tongue end the notch runs from {start} to {end} mm.",
            f"From the groove end it begins at {board} - {end} = {right} mm.",
        ),
        reasons=shuffled(draw, reasons),
        why_asked="What happens when you turn it over?",
        sketch=lambda: _notch_sketch(board, start, wide, face_down=False),
        worked_sketch=lambda: _notch_sketch(board, start, wide, face_down=True),
    )


def _notch_sketch(board: int, start: int, wide: int, *, face_down: bool) -> Scene:
    """The board with its notch at the upper edge, the lock of every end named."""
    deep, notch, unit = 200.0, 60.0, 46.0
    at = board - start - wide if face_down else start
    ring = np.array(
        [
            (0, 0),
            (at, 0),
            (at, notch),
            (at + wide, notch),
            (at + wide, 0),
            (board, 0),
            (board, deep),
            (0, deep),
            (0, 0),
        ],
        dtype=float,
    )
    ends = ("groove end", "tongue end") if face_down else ("tongue end", "groove end")
    tongue = (board, board + 9.0) if face_down else (-9.0, 0.0)
    marks: list[Mark] = [
        Shape("notched", (ring,), "the board"),
        Shape("tongue", (box(tongue[0], 0, tongue[1], deep),), "tongue end"),
        Words(-0.6 * unit, deep / 2, ends[0], unit, "end"),
        Words(board + 0.6 * unit, deep / 2, ends[1], unit, "start"),
        Words(board / 2, deep * 0.66, "face down" if face_down else "face up", unit),
        *measure((0, -0.6 * unit), (at, -0.6 * unit), f"{at}", unit),
        *measure((at, -0.6 * unit), (at + wide, -0.6 * unit), f"{wide}", unit),
    ]
    side = "face down" if face_down else "face up"
    return scene_of(marks, f"The board {side}, with its notch {at} mm from the {ends[0]}.", unit)
