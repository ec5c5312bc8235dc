"""Exercises on the stock board: pieces that share one, and a notch on one that lies face down."""

from __future__ import annotations

import random
from collections.abc import Sequence

import numpy as np

from flooring_kit.drawing.marks import Mark, Scene, Shape, Words
from flooring_kit.setting_out.sharing import most_shared, pair_up
from flooring_kit.workbook.exercise import Exercise, Reason, Slip, UnluckyFiguresError, other_than, shuffled
from flooring_kit.workbook.quantities import Quantity
from flooring_kit.workbook.sketches import Bar, Line, box, lines_sketch, measure, scene_of

SHORTEST_MM = 300


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
            ("Beside the kerf, left free between two pieces", f"{margin} mm"),
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
