"""The offcut ledger: a floor sawn by hand, the pile counted one by one, strips beside a rip, locks that name ends."""

from __future__ import annotations

from dataclasses import replace

import pandas as pd
import pytest
from floors import DEMO_ROOMS, THREE_BOARDS, demo_boards, demo_room, random_floors, rectangle
from referee import broken_rules, referee
from shapely import box

import flooring_kit as fk
from flooring_kit.sawing.offcuts import OFFCUT_COLUMNS

QUICK = fk.Search(quick=True)
PLANK = fk.Board("plank", 1800, 193, 8, 8)


# ---------------------------------------------------------------------- a floor sawn by hand


def floor_by_hand(board: fk.Board = PLANK) -> fk.Plan:
    """Four rows of 4000 from boards of 1800, kerf 3, in the order that makes no stair.

    First joints 994, 1800, 591, 1397 and finishers 1206, 400, 1609, 803. Three boards are shared::

        994 + 3 + 803 = 1206 + 3 + 591 = 400 + 3 + 1397 = 1800

    Twelve pieces less three: nine boards. A starter lies at its board's far end, 1800 less its length along it.
    """
    room = rectangle(4020, 792)  # 4000 x 4 rows of 193
    plan = fk.set_out(room, board, rules=fk.LayingRules(offcut_margin_mm=0), direction=0, search=QUICK)
    rows = [
        [(1, 806, 994), (2, 0, 1800), (3, 0, 1206)],
        [(4, 0, 1800), (5, 0, 1800), (6, 0, 400)],
        [(3, 1209, 591), (7, 0, 1800), (8, 0, 1609)],
        [(6, 403, 1397), (9, 0, 1800), (1, 0, 803)],
    ]
    pieces, joined = [], []
    for row, cut in enumerate(rows, start=1):
        at = 0.0
        for place, (stock, along, length) in enumerate(cut, start=1):
            strip = box(at, (row - 1) * 193, at + length, row * 193)
            # The start corner is (10, 782) in the survey, boards along +x; a left-handed floor starts at (10, 10).
            shape = [(10 + u, 782 - v if board.hand == "right" else 10 + v) for u, v in strip.exterior.coords]
            label = f"{row}{'abc'[place - 1]}"
            polygon = type(strip)(shape)
            pieces.append((label, row, place, stock, float(along), 0.0, float(length), 193.0, polygon))
            joined.append((place > 1, place < 3, row > 1, row < 4))
            at += length
    return replace(
        plan,
        pieces=pd.DataFrame(pieces, columns=plan.pieces.columns),
        joined=pd.DataFrame(joined, columns=["left", "right", "back", "front"]),
        boards_needed=9,
        boards_bound=9,
        broken_rules=(),
    )


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_floor_by_hand_passes_the_referee(hand):
    # Joints of neighbours are 806, 591 or more apart: every rule is held. Nine is the proved fewest (test_plans).
    plan = floor_by_hand(replace(PLANK, hand=hand))
    assert referee(plan, plan.room, plan.board, plan.rules) == []
    assert broken_rules(plan, plan.room, plan.board, plan.rules) == []


def test_the_ledger_of_the_floor_by_hand_has_three_lines():
    # 1c (1206) leaves 1800 - 1206 - 3 = 591 for 3a; 2c (400) leaves 1397 for 4a; 1a (994) leaves 803 for 4c. A starter
    # keeps the end away from its row's start, the groove; a finisher the tongue. Row 4 meets a row at its back only.
    ledger = fk.offcut_ledger(floor_by_hand())
    assert ledger.columns.tolist() == OFFCUT_COLUMNS
    assert [tuple(line) for line in ledger.itertuples(index=False)] == [
        (3, "1c", 1, "length", 591.0, 193.0, "groove end", "both edges", "3a", 3, 2),
        (6, "2c", 2, "length", 1397.0, 193.0, "groove end", "tongue edge", "4a", 4, 2),
        (1, "1a", 1, "length", 803.0, 193.0, "tongue end", "tongue edge", "4c", 4, 3),
    ]


def test_what_to_put_aside_is_named_by_the_piece_it_will_be_and_its_row():
    # After row 1 two wait (3a, 4c); row 2 adds 4a; row 3 uses 3a and leaves two; row 4 uses both.
    ledger = fk.offcut_ledger(floor_by_hand())
    aside = fk.set_aside(ledger)
    assert [tuple(line) for line in aside.itertuples(index=False)] == [
        (1, "3a for row 3, 4c for row 4", 2),
        (2, "4a for row 4", 3),
        (3, "", 2),
    ]
    assert aside.columns.tolist() == ["row", "put_aside", "waiting"]
    assert fk.most_waiting(ledger) == 3


def test_an_offcut_used_in_the_row_that_left_it_is_never_put_aside():
    # 3a is used in row 3, where 3b would have left it.
    ledger = fk.offcut_ledger(floor_by_hand()).iloc[:1].assign(left_in_row=3, left_by="3b", rows_waiting=0)
    assert fk.set_aside(ledger).empty
    assert fk.most_waiting(ledger) == 0


@pytest.mark.parametrize(
    ("board", "ends", "edges"),
    [
        (PLANK, ["groove end", "groove end", "tongue end"], ["both edges", "tongue edge", "tongue edge"]),
        # A left-handed floor is the mirror image, and its locks with it: the row starts at the tongue all the same.
        (
            replace(PLANK, hand="left"),
            ["groove end", "groove end", "tongue end"],
            ["both edges", "tongue edge", "tongue edge"],
        ),
        (
            replace(PLANK, row_start_lock="groove"),
            ["tongue end", "tongue end", "groove end"],
            ["both edges", "tongue edge", "tongue edge"],
        ),
        (
            replace(PLANK, start_wall_lock="groove"),
            ["groove end", "groove end", "tongue end"],
            ["both edges", "groove edge", "groove edge"],
        ),
        (
            replace(PLANK, hand="left", row_start_lock="groove", start_wall_lock="groove"),
            ["tongue end", "tongue end", "groove end"],
            ["both edges", "groove edge", "groove edge"],
        ),
    ],
)
def test_ends_and_edges_are_named_by_the_lock_the_board_turns_there(board, ends, edges):
    # The offcuts are for 3a, 4a (starters) and 4c (a finisher); 4a and 4c lie at the far wall.
    ledger = fk.offcut_ledger(floor_by_hand(board))
    assert ledger["keeps_end"].tolist() == ends
    assert ledger["keeps_edge"].tolist() == edges


# ---------------------------------------------------------------------- strips beside a rip


def bordered_floor(board: fk.Board) -> fk.Plan:
    """Clear 2000 x 546: a first row of 80, two whole rows, a last row of 546 - 80 - 2 x 193 = 80."""
    return fk.set_out(rectangle(2020, 566), board, direction=0, first_row=fk.FirstRow(width_mm=80), search=QUICK)


@pytest.mark.parametrize("hand", ["right", "left"])
def test_what_lies_beside_a_ripped_row_is_a_strip_and_keeps_the_edge_its_piece_needs(hand):
    # 193 - 80 - 3 = 110 wide. The last row meets a row on its start-wall side only: there the tongue stays.
    plan = bordered_floor(fk.Board("plank", 1380, 193, 8, 8, hand=hand))
    assert referee(plan, plan.room, plan.board, plan.rules) == []
    ledger = fk.offcut_ledger(plan)
    strips = ledger[ledger["kind"] == "strip"]
    assert strips["used_in_row"].tolist() == plan.pieces["row"][plan.pieces["row"] == 4].tolist()
    assert (strips["left_width_mm"] == 110).all()
    assert (strips["keeps_edge"] == "tongue edge").all()
    assert (ledger["left_width_mm"][ledger["kind"] == "length"] == 193).all()


def plans_of_many_floors() -> list[fk.Plan]:
    boards = demo_boards()
    floors = [(demo_room(name), boards[board]) for name in DEMO_ROOMS for board in THREE_BOARDS[:1]]
    floors += [(demo_room("box_room"), boards["Left-hand oak plank 1380 x 193"])]
    floors += [(room, board) for _, room, board in random_floors(10, seed=9)]
    return [fk.set_out(room, board, search=QUICK) for room, board in floors] + [
        bordered_floor(fk.Board("plank", 1380, 193, 8, 8))
    ]


PLANS = plans_of_many_floors()


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.room.name)
def test_the_pile_is_every_offcut_left_by_then_and_used_later_counted_one_by_one(plan):
    ledger = fk.offcut_ledger(plan)
    counted = {
        row: sum(1 for offcut in ledger.itertuples() if offcut.left_in_row <= row < offcut.used_in_row)
        for row in range(1, plan.rows + 1)
    }
    aside = fk.set_aside(ledger)
    assert dict(zip(aside["row"], aside["waiting"], strict=True)) == {row: n for row, n in counted.items() if n}
    assert fk.most_waiting(ledger) == max(counted.values())


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.room.name)
def test_every_offcut_that_waits_is_put_aside_once_in_the_row_that_leaves_it(plan):
    ledger = fk.offcut_ledger(plan)
    aside = fk.set_aside(ledger)
    told = [
        (row, part)
        for row, words in zip(aside["row"], aside["put_aside"], strict=True)
        if words
        for part in words.split(", ")
    ]
    waits = [offcut for offcut in ledger.itertuples() if offcut.used_in_row > offcut.left_in_row]
    assert sorted(told) == sorted((o.left_in_row, f"{o.used_for} for row {o.used_in_row}") for o in waits)


def larger_than_its_board_has_left(plan: fk.Plan) -> list[str]:
    """Offcuts whose length times width is more than the board's face less what was sawn from it before."""
    face = plan.board.length_mm * plan.board.width_mm
    faults = []
    for offcut in fk.offcut_ledger(plan).itertuples():
        of_board = plan.pieces[plan.pieces["board"] == offcut.board]
        before = of_board.iloc[: of_board["piece"].tolist().index(offcut.used_for)]
        sawn = float((before["length_mm"] * before["width_mm"]).sum())
        if offcut.left_length_mm * offcut.left_width_mm > face - sawn + 1:
            faults.append(f"{offcut.used_for}: {offcut.left_length_mm} x {offcut.left_width_mm}")
    return faults


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.room.name)
def test_no_offcut_is_larger_than_what_is_left_of_its_board(plan):
    assert larger_than_its_board_has_left(plan) == []


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.room.name)
def test_an_offcut_is_a_strip_where_it_lies_beside_what_was_sawn_and_a_length_where_it_lies_beyond(plan):
    pieces = plan.pieces.set_index("piece")
    for offcut in fk.offcut_ledger(plan).itertuples():
        own = pieces.loc[offcut.used_for]
        order = plan.pieces["piece"].tolist()
        before = [pieces.loc[name] for name in order[: order.index(offcut.used_for)]]
        beside = any(
            other.board == offcut.board
            and other.along_mm < own.along_mm + own.length_mm
            and own.along_mm < other.along_mm + other.length_mm
            for other in before
        )
        assert (offcut.kind == "strip") == beside


def test_an_offcut_beyond_a_piece_at_the_opposite_corner_is_the_board_less_that_piece_and_the_saw_cut():
    # A board of 1743 x 228. A finisher of a ripped first row, 572 x 40, lies at the near end along the front edge; a
    # starter of a ripped last row, 1158 x 128, at the far end along the back edge. One saw cut across the board parts
    # them: 1743 - 572 - 3 = 1168 of its whole width is left.
    plan = fk.set_out(rectangle(6400, 1100), fk.Board("board", 1743, 228, 8, 8), direction=0, search=QUICK)
    face = plan.pieces["shape"].iloc[0]
    sawn = [("1e", 1, 5, 1, 0.0, 188.0, 572.0, 40.0, face), ("6a", 6, 1, 1, 585.0, 0.0, 1158.0, 128.0, face)]
    ends = [(True, False, False, True), (False, True, True, False)]
    plan = replace(
        plan,
        pieces=pd.DataFrame(sawn, columns=plan.pieces.columns),
        joined=pd.DataFrame(ends, columns=plan.joined.columns),
    )
    (offcut,) = fk.offcut_ledger(plan).itertuples()
    assert (offcut.used_for, offcut.kind, offcut.left_length_mm, offcut.left_width_mm) == ("6a", "length", 1168, 228)
