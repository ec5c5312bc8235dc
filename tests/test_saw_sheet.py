"""The cut list, the boards and the pile as a fitter reads them."""

from __future__ import annotations

import re

import numpy as np
import pytest
import shapely
from floors import demo_boards, demo_room, rectangle

import flooring_kit as fk
from flooring_kit.drawing import board_scene, boards_to_saw
from flooring_kit.drawing.marks import Scene, Shape, Words
from flooring_kit.saw_sheet import boards_html, cut_list_html, pile_sentences

QUICK = fk.Search(quick=True)
OAK = demo_boards()["Oak plank 1380 x 193"]
BOX_ROOM = fk.set_out(demo_room("box_room"), OAK, search=QUICK)
SITTING_ROOM = fk.set_out(demo_room("sitting_room"), OAK, search=QUICK)
LEFT = fk.Board("plank", 1380, 193, 8, 8, hand="left")


def cells(page: str) -> list[list[str]]:
    rows = re.findall(r"<tr>(.*?)</tr>", page)
    return [re.findall(r"<t[dh][^>]*>(.*?)</t[dh]>", row) for row in rows]


# ---------------------------------------------------------------------- the cut list


def test_the_cut_list_tells_every_piece_once_in_laying_order():
    head, *rows = cells(cut_list_html(BOX_ROOM))
    assert head == [
        "Row",
        "Piece",
        "Take",
        "Saw about, mm",
        "End that stays",
        "Rip about, mm",
        "Edge that stays",
        "Shape",
        "Offcut",
    ]
    assert [row[1] for row in rows] == BOX_ROOM.pieces["piece"].tolist()


def test_a_line_of_the_cut_list_says_what_the_plan_says():
    _, *rows = cells(cut_list_html(BOX_ROOM, rows=[2, 3]))
    pieces = BOX_ROOM.pieces[BOX_ROOM.pieces["row"].isin([2, 3])]
    assert len(rows) == len(pieces)
    for told, piece in zip(rows, pieces.itertuples(), strict=True):
        whole = piece.length_mm == OAK.length_mm
        assert told[3] == ("whole" if whole else f"{piece.length_mm:.0f}")
        starts = piece.place == 1
        assert told[4] == ("" if whole else "groove end" if starts else "tongue end")


def test_every_offcut_used_again_is_announced_on_the_piece_that_leaves_it():
    _, *rows = cells(cut_list_html(BOX_ROOM))
    kept = {row[1]: row[8] for row in rows if row[8]}
    ledger = fk.offcut_ledger(BOX_ROOM)
    assert set(kept) == set(ledger["left_by"])
    for offcut in ledger.itertuples():
        when = {0: "this row", 1: "next row"}.get(offcut.rows_waiting, f"row {offcut.used_in_row}")
        assert kept[offcut.left_by] == f"keep for {offcut.used_for} ({when})"


def test_a_tapered_rip_gives_the_width_at_both_ends():
    # The back bedroom's far row: the wall runs out by 28 over 3880, so 7.2 mm per 1000 mm of piece.
    plan = fk.set_out(demo_room("back_bedroom"), OAK, direction="short", search=QUICK)
    last = plan.pieces[plan.pieces["row"] == plan.rows]
    _, *rows = cells(cut_list_html(plan, rows=[plan.rows]))
    for told, piece in zip(rows, last.itertuples(), strict=True):
        wide = re.fullmatch(r"(\d+) at the tongue end, (\d+) at the groove end", told[5])
        assert wide is not None
        assert abs(int(wide[1]) - int(wide[2])) == pytest.approx(piece.length_mm * 28 / 3880, abs=1.2)
        assert max(int(wide[1]), int(wide[2])) == pytest.approx(piece.width_mm, abs=1)


def test_a_piece_with_a_pipe_is_marked():
    room = rectangle(4000, 3000, pipes=(fk.Pipe((800, 60)),))
    plan = fk.set_out(room, OAK, search=QUICK)
    with_pipe = set(fk.pipe_holes(plan)["piece"])
    assert with_pipe
    assert {row[1] for row in cells(cut_list_html(plan))[1:] if "pipe" in row[7]} == with_pipe


# ---------------------------------------------------------------------- the pile


def test_the_pile_is_told_by_its_peak_and_what_to_put_aside():
    first, *rest = pile_sentences(BOX_ROOM)
    ledger = fk.offcut_ledger(BOX_ROOM)
    waiting = [
        sum(o.left_in_row <= row < o.used_in_row for o in ledger.itertuples()) for row in range(1, BOX_ROOM.rows + 1)
    ]
    assert first == f"At most {max(waiting)} offcuts wait at once, after row {waiting.index(max(waiting)) + 1}."
    rows = [int(re.match(r"After row (\d+) put aside ", line)[1]) for line in rest]  # type: ignore[index]
    assert rows == sorted({o.left_in_row for o in ledger.itertuples() if o.rows_waiting})


def test_a_floor_without_waiting_offcuts_says_so():
    one_row = fk.set_out(rectangle(2790, 213), OAK)
    assert pile_sentences(one_row) == ["No offcut waits for a later row: each is used in its own row or not at all."]


# ---------------------------------------------------------------------- the boards


def words(scene: Scene) -> list[str]:
    return [mark.text for mark in scene.marks if isinstance(mark, Words)]


def shapes(scene: Scene, *roles: str) -> list[shapely.Polygon]:
    found = [mark for mark in scene.marks if isinstance(mark, Shape) and mark.role in roles]
    return [shapely.Polygon(mark.rings[0], list(mark.rings[1:])) for mark in found]


PIECE_ROLES = ("whole", "cut", "ripped", "cut and ripped")


@pytest.mark.parametrize("plan", [BOX_ROOM, SITTING_ROOM], ids=["box room", "sitting room"])
@pytest.mark.parametrize("face_down", [False, True])
def test_pieces_and_waste_of_a_board_make_up_the_board_and_nothing_overlaps(plan, face_down):
    for board in boards_to_saw(plan)[::5]:
        scene = board_scene(plan, board, face_down=face_down)
        parts = shapes(scene, *PIECE_ROLES, "waste")
        assert shapely.union_all(parts).symmetric_difference(shapely.box(0, 0, 1380, 193)).area < 1
        assert sum(part.area for part in parts) == pytest.approx(1380 * 193, abs=1)


def test_boards_to_saw_are_all_but_those_laid_whole():
    whole = (BOX_ROOM.pieces["length_mm"] == 1380) & (BOX_ROOM.pieces["width_mm"] == 193)
    assert boards_to_saw(BOX_ROOM) == sorted(set(BOX_ROOM.pieces["board"][~whole]))


@pytest.mark.parametrize("board", boards_to_saw(SITTING_ROOM)[::4])
def test_a_board_turned_over_changes_left_and_right_and_nothing_else(board):
    up, down = (board_scene(SITTING_ROOM, board, face_down=turned) for turned in (False, True))
    for one, other in zip(shapes(up, *PIECE_ROLES), shapes(down, *PIECE_ROLES), strict=True):
        mirrored = shapely.transform(one, lambda xy: np.column_stack([1380 - xy[:, 0], xy[:, 1]]))
        assert mirrored.symmetric_difference(other).area < 1e-6
    assert "face up" in words(up)[-1]
    assert "face down" in words(down)[-1]


@pytest.mark.parametrize(("hand", "face_down", "on_the_left"), [
    (OAK, False, True),
    (OAK, True, False),
    (LEFT, False, False),
    (LEFT, True, True),
])  # fmt: skip
def test_the_tongue_end_is_named_and_drawn_on_its_own_side(hand, face_down, on_the_left):
    plan = fk.set_out(demo_room("box_room"), hand, search=QUICK)
    scene = board_scene(plan, boards_to_saw(plan)[0], face_down=face_down)
    named = {mark.text: mark.x for mark in scene.marks if isinstance(mark, Words)}
    assert (named["tongue end"] < 0) == on_the_left
    assert (named["groove end"] > 1380) == on_the_left
    strips = [strip.bounds for strip in shapes(scene, "tongue")]
    ends = [strip for strip in strips if strip[2] - strip[0] < 50]
    assert len(strips) == 2
    assert (ends[0][2] <= 0) == on_the_left


def test_the_edge_towards_the_start_wall_is_on_top_whichever_face_is_up():
    for face_down in (False, True):
        scene = board_scene(BOX_ROOM, 1, face_down=face_down)
        top = min((mark for mark in scene.marks if isinstance(mark, Words) and "edge" in mark.text), key=lambda m: m.y)
        assert top.text == "tongue edge, towards the start wall"


def test_locks_the_other_way_round_are_drawn_so():
    board = fk.Board("plank", 1380, 193, 8, 8, row_start_lock="groove", start_wall_lock="groove")
    plan = fk.set_out(demo_room("box_room"), board, search=QUICK)
    assert "groove edge, towards the start wall" in words(board_scene(plan, 1))
    strips = [strip.bounds for strip in shapes(board_scene(plan, 1), "tongue")]
    assert all(strip[0] >= 1380 or strip[1] >= 193 for strip in strips)


def test_notches_and_pipes_are_told_under_the_board():
    notched = fk.shaping(SITTING_ROOM).iloc[0]
    board = int(SITTING_ROOM.pieces.set_index("piece")["board"][notched["piece"]])
    assert any(line.startswith(f"{notched['piece']}: ") for line in words(board_scene(SITTING_ROOM, board)))
    room = rectangle(4000, 3000, pipes=(fk.Pipe((800, 60)),))
    plan = fk.set_out(room, OAK, search=QUICK)
    hole = fk.pipe_holes(plan).iloc[0]
    scene = board_scene(plan, int(plan.pieces.set_index("piece")["board"][hole["piece"]]))
    assert any("for pipe 1, centre" in line for line in words(scene))
    assert len(shapes(scene, "pipe")) == 1


def test_an_unknown_board_is_refused():
    with pytest.raises(ValueError) as refused:
        board_scene(BOX_ROOM, 99)
    assert str(refused.value) == "board must be a whole number from 1 to 27, got 99."


def test_the_page_of_boards_says_which_face_is_seen():
    up, down = boards_html(BOX_ROOM, most=2), boards_html(BOX_ROOM, most=2, face_down=True)
    assert up.count("<svg") == down.count("<svg") == 2
    assert "face up, as it lies in the floor: the edge towards the start wall at the top." in up
    assert "face down, as turned over like a page: left and right have changed places." in down
    assert boards_html(BOX_ROOM).count("<svg") == len(boards_to_saw(BOX_ROOM))


def test_a_whole_board_that_only_loses_its_tongue_is_drawn_without_waste():
    # Clear 2760 x 386: two whole boards a row, two whole rows; three of the four have a tongue at a wall.
    rules = fk.LayingRules(joint_offset_mm=0)
    board = fk.Board("plank", 1380, 193, 8, 8)
    plan = fk.set_out(rectangle(2780, 406), board, rules=rules, direction=0, search=QUICK)
    assert boards_to_saw(plan) == [1, 2, 3]
    scene = board_scene(plan, 1)
    assert shapes(scene, "waste") == []
    assert "1a: tongue off its end and edge, on the wall side." in words(scene)
