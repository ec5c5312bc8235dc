"""Holes for pipes: hand sums on a store of one-board rows, and properties at many places on square floors.

Pipes move no other part of a plan but its joints, so most tests put them into a plan that is made already.
"""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
import shapely
from floors import demo_boards, demo_room, rectangle

import flooring_kit as fk
from flooring_kit.sawing import hole_sentence, pipe_holes
from flooring_kit.sawing.pipe_holes import HOLE_COLUMNS

QUICK = fk.Search(quick=True)
PLANK = fk.Board("plank", 1380, 193, 8, 8)
STORE = rectangle(1220, 792)
"""Clear 1200 x 772: four rows of 193, each in one piece.

Laid from wall 3 (start "first", right hand), rows 1 to 4 lie at y 589-782, 396-589, 203-396 and 10-203; the tongue end
is at x = 10, the groove end at x = 1210; the tongue edge is the upper one.
"""


def laid(room: fk.Room, board: fk.Board = PLANK, start: str = "first", **more: object) -> fk.Plan:
    """A quick plan with boards along x."""
    more = {"direction": 0, "search": QUICK} | more
    return fk.set_out(room, board, first_row=fk.FirstRow(start, more.pop("width_mm", None)), **more)


def with_pipes(plan: fk.Plan, *places: tuple[float, float], diameter_mm: float = 15.0) -> fk.Plan:
    """The same plan, with pipes in it."""
    pipes = tuple(fk.Pipe(place, diameter_mm) for place in places)
    return replace(plan, room=replace(plan.room, pipes=pipes))


STORE_PLAN = laid(STORE)


def holes_at(*places: tuple[float, float], diameter_mm: float = 15.0) -> pd.DataFrame:
    """The holes in the store for pipes at these places."""
    return pipe_holes(with_pipes(STORE_PLAN, *places, diameter_mm=diameter_mm))


def only(holes: pd.DataFrame):
    """The one hole of a table."""
    (hole,) = holes.itertuples()
    return hole


# ---------------------------------------------------------------------- size and place


def test_the_store_is_laid_in_four_rows_of_one_piece():
    assert STORE_PLAN.pieces["piece"].tolist() == ["1a", "2a", "3a", "4a"]
    assert STORE_PLAN.pieces["width_mm"].tolist() == [193, 193, 193, 193]


def test_a_hole_is_the_pipe_and_a_gap_on_both_sides():
    # 15 + 2 x 10 = 35 (common practice, no source).
    assert only(holes_at((400, 100))).hole_mm == 35
    assert only(holes_at((400, 100))).diameter_mm == 15


@pytest.mark.parametrize(("diameter_mm", "gap_mm"), [(22, 8), (28, 12), (110, 0)])
def test_the_hole_follows_the_pipe_and_the_gap(diameter_mm, gap_mm):
    plan = laid(STORE, rules=fk.LayingRules(gap_mm=gap_mm))
    holes = pipe_holes(with_pipes(plan, (400, 90), diameter_mm=diameter_mm))
    assert set(holes["hole_mm"]) == {diameter_mm + 2 * gap_mm}


def test_the_centre_is_the_distance_from_the_skirting_less_the_gap():
    # 400 from the skirting at wall 4, 100 from that at wall 1, gap 10: 390 and 90 from the sawn end and edge.
    hole = only(holes_at((400, 100)))
    assert (hole.piece, hole.row) == ("4a", 4)
    assert (hole.end, hole.from_end_mm) == ("tongue end", 390)
    assert (hole.edge, hole.from_edge_mm) == ("groove edge", 90)


@pytest.mark.parametrize(
    ("board", "start", "piece", "end", "edge"),
    [
        (PLANK, "first", "4a", "tongue end", "groove edge"),
        (PLANK, "opposite", "1a", "groove end", "tongue edge"),
        (replace(PLANK, hand="left"), "first", "1a", "tongue end", "tongue edge"),
        (replace(PLANK, hand="left"), "opposite", "4a", "groove end", "groove edge"),
        (replace(PLANK, row_start_lock="groove"), "first", "4a", "groove end", "groove edge"),
        (replace(PLANK, start_wall_lock="groove"), "first", "4a", "tongue end", "tongue edge"),
        (replace(PLANK, row_start_lock="groove", start_wall_lock="groove"), "first", "4a", "groove end", "tongue edge"),
    ],
)
def test_hand_start_and_locks_name_the_end_and_edge_but_do_not_move_the_hole(board, start, piece, end, edge):
    # Nearest are always x = 10 and y = 10, 390 and 90 away: the row's start or end, the first row or the last.
    hole = only(pipe_holes(with_pipes(laid(STORE, board, start), (400, 100))))
    assert (hole.piece, hole.end, hole.edge) == (piece, end, edge)
    assert (hole.from_end_mm, hole.from_edge_mm) == (390, 90)


# ---------------------------------------------------------------------- slot, or hole and wedge


def back_bedroom_plan(*, quick: bool) -> fk.Plan:
    """Across the back bedroom, its last row along wall 1."""
    oak = demo_boards()["Oak plank 1380 x 193"]
    return fk.set_out(demo_room("back_bedroom"), oak, direction="short", search=fk.Search(quick=quick))


@pytest.mark.parametrize("quick", [True, False])
def test_the_back_bedrooms_two_pipes_are_slots(quick):
    # Wall 1 rises 28 over 3880. At x = 1000 the face is at 7.2: 42 - 7.2 - 10 = 24.8 to the sawn edge; at 2210 it is
    # at 15.9: 51 - 15.9 - 10 = 25.1. Less half of 35 they leave 7.3 and 7.6, under 15 (common practice, no source).
    # No joint can spare them: it would leave 3860 - 990 - 2 x 1380 = 110 and 3860 - 820 - 2 x 1380 = 280, under 300.
    holes = pipe_holes(back_bedroom_plan(quick=quick))
    assert holes["pipe"].tolist() == [1, 2]
    assert holes["cut"].tolist() == ["slot", "slot"]
    assert holes["from_edge_mm"].tolist() == pytest.approx([24.8, 25.1], abs=0.06)
    assert holes["opens_to"].tolist() == holes["edge"].tolist() == ["groove edge", "groove edge"]


def test_a_pipe_16_mm_further_from_the_back_bedrooms_wall_gets_a_hole_and_a_wedge():
    # 24.8 + 16 = 40.8, less 17.5: 23.3, over 15.
    hole = only(pipe_holes(with_pipes(back_bedroom_plan(quick=True), (1000, 58))))
    assert hole.cut == "hole and wedge"
    assert hole.from_edge_mm == pytest.approx(40.8, abs=0.06)


@pytest.mark.parametrize(
    ("place", "cut", "opens_to"),
    [
        # d from the skirting leaves d - 10 - 17.5 of board: 14.9 at 42.4, 15.1 at 42.6.
        ((600, 42.4), "slot", "groove edge"),
        ((600, 42.6), "hole and wedge", "groove edge"),
        ((42.4, 100), "slot", "tongue end"),
        ((42.6, 100), "hole and wedge", "tongue end"),
        ((1177.6, 100), "slot", "groove end"),
        ((1177.4, 100), "hole and wedge", "groove end"),
        ((600, 749.6), "slot", "tongue edge"),
        ((600, 749.4), "hole and wedge", "tongue edge"),
    ],
)
def test_less_than_15_mm_beside_a_hole_makes_it_a_slot(place, cut, opens_to):
    hole = only(holes_at(place))
    assert (hole.cut, hole.opens_to) == (cut, opens_to)


def test_the_thinnest_bridge_is_the_users_to_say():
    # 28 from the skirting leaves 28 - 27.5 = 0.5; 60 leaves 32.5.
    near, far = with_pipes(STORE_PLAN, (600, 28)), with_pipes(STORE_PLAN, (600, 60))
    assert only(pipe_holes(near, thinnest_bridge_mm=0)).cut == "hole and wedge"
    assert only(pipe_holes(near, thinnest_bridge_mm=1)).cut == "slot"
    assert only(pipe_holes(far, thinnest_bridge_mm=32)).cut == "hole and wedge"
    assert only(pipe_holes(far, thinnest_bridge_mm=33)).cut == "slot"


@pytest.mark.parametrize(("bridge_mm", "shown"), [(-1, "-1 mm"), (101, "101 mm")])
def test_a_bridge_out_of_range_is_refused_in_words(bridge_mm, shown):
    with pytest.raises(ValueError) as refused:
        pipe_holes(STORE_PLAN, thinnest_bridge_mm=bridge_mm)
    assert str(refused.value) == f"thinnest bridge must be 0 to 100 mm, got {shown}."


def test_a_wedge_runs_out_to_the_nearest_side_that_no_board_joins():
    # Row 2 is joined along both edges: from (400, 500) its tongue end is 390 away, its groove end 810.
    hole = only(holes_at((400, 500)))
    assert (hole.piece, hole.cut, hole.opens_to) == ("2a", "hole and wedge", "tongue end")
    assert only(holes_at((900, 500))).opens_to == "groove end"


def test_in_a_piece_joined_all_round_the_wedge_runs_out_to_the_edge_laid_before():
    # Clear 3980 takes three pieces or more a row: the second of row 2 has neighbours on every side.
    plan = laid(rectangle(4000, 3000))
    place = plan.pieces.set_index("piece").loc["2b", "shape"].centroid
    hole = only(pipe_holes(with_pipes(plan, (place.x, place.y))))
    assert (hole.piece, hole.cut, hole.opens_to) == ("2b", "hole and wedge", "tongue edge")


def test_a_joined_edge_needs_no_bridge():
    # Row 2 begins at y = 396: a hole 18 above it stops 0.5 short, and the board of row 3 holds what is left.
    hole = only(holes_at((600, 396 + 18)))
    assert (hole.piece, hole.cut) == ("2a", "hole and wedge")


def test_a_hole_that_runs_across_a_joined_edge_is_a_slot_in_both_boards():
    # 12 above the line of y = 396 a radius of 17.5 reaches 5.5 into row 3, where the centre is 12 off the piece.
    ours, next_row = holes_at((600, 396 + 12)).itertuples()
    assert (ours.piece, ours.cut, ours.edge, ours.from_edge_mm, ours.opens_to) == (
        "2a",
        "slot",
        "groove edge",
        12,
        "groove edge",
    )
    assert (next_row.piece, next_row.cut, next_row.edge, next_row.from_edge_mm, next_row.opens_to) == (
        "3a",
        "slot",
        "tongue edge",
        -12,
        "tongue edge",
    )


def test_a_pipe_on_a_row_line_is_shared_by_two_rows():
    holes = holes_at((600, 396))
    assert holes["piece"].tolist() == ["2a", "3a"]
    assert holes["cut"].tolist() == ["half hole on a joint"] * 2
    assert holes["edge"].tolist() == ["groove edge", "tongue edge"]
    assert holes["from_edge_mm"].tolist() == [0, 0]
    assert holes["opens_to"].tolist() == ["joint"] * 2


def test_a_pipe_where_no_board_is_cut_is_not_listed():
    # The hole of a pipe 9 outside the skirting ends 8.5 inside it, short of the gap of 10.
    assert holes_at((600, -9)).empty
    assert holes_at().columns.tolist() == HOLE_COLUMNS


# ---------------------------------------------------------------------- faults reported, not yet mended


def test_beside_a_notch_the_bridge_is_measured_to_the_notch():
    # A post 500-600 x 0-100, gap 10: the notch ends at x = 490. The hole of a pipe at 470 ends at 487.5: 2.5 left.
    room = rectangle(1220, 792, obstacles=(fk.Obstacle("post", ((500, 0), (600, 0), (600, 100), (500, 100))),))
    assert only(pipe_holes(with_pipes(laid(room), (470, 60)))).cut == "slot"


def test_along_a_wall_askew_the_bridge_is_measured_square_to_the_wall():
    # 40 from the skirting leaves 40 - 10 - 17.5 = 12.5 of board, however the boards run.
    plan = laid(rectangle(4000, 3000), direction=45)
    places = [(x, 40.0) for x in range(1000, 3000, 50)]
    whole = pipe_holes(with_pipes(plan, *places)).groupby("pipe").filter(lambda holes: len(holes) == 1)
    assert len(whole) > 0
    assert set(whole["cut"]) == {"slot"}


def test_a_board_beside_the_joint_takes_no_half_of_the_hole():
    # A joint of row 1 at the pipe, 8 short of row 2: the board of row 2 loses 9.5 of its edge, not half a hole.
    plan = laid(rectangle(4000, 3000), width_mm=193.0)
    joint = plan.pieces.set_index("piece").loc["1a", "shape"].bounds[2]
    holes = pipe_holes(with_pipes(plan, (joint, 2990 - 193 + 8))).set_index("row")
    assert holes.loc[1, "cut"].tolist() == ["half hole on a joint"] * 2
    assert "half hole on a joint" not in holes.loc[[2], "cut"].tolist()


def test_a_pipe_the_planner_leaves_to_the_row_line_is_half_a_hole_in_both_rows():
    # 4 below the line between rows 1 and 2: near enough for the planner to look for no joint.
    assert holes_at((600, 589 - 4))["cut"].tolist() == ["half hole on a joint"] * 2


# ---------------------------------------------------------------------- caught by a joint


def test_a_joint_catches_a_pipe_where_the_rules_allow_it_at_no_more_boards():
    # Clear 3980: joints at 790, 2170 and 3550 leave 430, all over 300, and 2980 = 139 + 14 x 193 + 139.
    room = rectangle(4000, 3000, pipes=(fk.Pipe((800, 60)),))
    plan = fk.set_out(room, PLANK, direction=0, first_row=fk.FirstRow(width_mm=139))
    assert plan.broken_rules == ()
    assert plan.boards_needed <= plan.boards_bound
    holes = pipe_holes(plan)
    assert holes["cut"].tolist() == ["half hole on a joint"] * 2
    assert holes["end"].tolist() == ["groove end", "tongue end"]
    # A joint within 2 of the middle: half of the hole, 35 x 35 x pi / 4 / 2 = 481, to 2 x 35 = 70.
    hole = shapely.Point(800, 60).buffer(17.5, quad_segs=64)
    shapes = plan.pieces.set_index("piece").loc[holes["piece"], "shape"]
    assert [shape.intersection(hole).area for shape in shapes] == pytest.approx([481, 481], abs=71)


def test_a_pipe_that_no_joint_can_reach_gets_a_hole_and_a_wedge():
    # 200 from wall 4: a joint there would leave a piece of 190, under 300.
    room = rectangle(4000, 3000, pipes=(fk.Pipe((200, 60)),))
    plan = fk.set_out(room, PLANK, direction=0, first_row=fk.FirstRow(width_mm=139))
    assert plan.boards_needed <= plan.boards_bound
    hole = only(pipe_holes(plan))
    assert (hole.piece, hole.cut, hole.opens_to) == ("16a", "hole and wedge", "groove edge")
    assert (hole.end, hole.from_end_mm, hole.edge, hole.from_edge_mm) == ("tongue end", 190, "groove edge", 50)


# ---------------------------------------------------------------------- collars


def test_a_collar_covers_the_hole_and_5_mm_beyond_it():
    # 35 + 2 x 5 = 45 (from memory); 28 + 20 + 10 = 58.
    assert only(holes_at((400, 100))).least_collar_mm == 45
    assert only(holes_at((400, 100), diameter_mm=28)).least_collar_mm == 58


@pytest.mark.parametrize(("from_skirting_mm", "clip"), [(22.4, True), (22.6, False)])
def test_a_collar_is_clipped_where_half_of_it_is_more_than_the_pipes_distance_from_the_skirting(from_skirting_mm, clip):
    # Half of 45 is 22.5 (common practice, no source).
    assert only(holes_at((600, from_skirting_mm))).clip_collar is clip
    assert only(holes_at((from_skirting_mm, 100))).clip_collar is clip


@pytest.mark.parametrize(("from_post_mm", "clip"), [(22.4, True), (22.6, False)])
def test_a_collar_is_clipped_at_an_obstacle_too(from_post_mm, clip):
    post = fk.Obstacle("post", ((600, 40), (700, 40), (700, 120), (600, 120)))
    plan = laid(rectangle(1220, 792, obstacles=(post,)))
    assert only(pipe_holes(with_pipes(plan, (600 - from_post_mm, 80)))).clip_collar is clip


# ---------------------------------------------------------------------- in words


@pytest.mark.parametrize(
    ("place", "sentences"),
    [
        (
            (400, 100),
            [
                "4a: hole and wedge of 35 for pipe 1, centre 390 from the tongue end, 90 from the groove edge; saw a "
                "wedge out to the groove edge, glue it back behind the pipe."
            ],
        ),
        (
            (400, 40),
            [
                "4a: slot of 35 for pipe 1, centre 390 from the tongue end, 30 from the groove edge, open to the "
                "groove edge."
            ],
        ),
        (
            (400, 396),
            [
                "2a: half hole on a joint of 35 for pipe 1, centre 390 from the tongue end, 0 from the groove edge.",
                "3a: half hole on a joint of 35 for pipe 1, centre 390 from the tongue end, 0 from the tongue edge.",
            ],
        ),
    ],
)
def test_a_hole_is_said_in_full(place, sentences):
    assert [hole_sentence(hole) for hole in holes_at(place).itertuples()] == sentences


# ---------------------------------------------------------------------- properties on square floors


def square_plans() -> list[fk.Plan]:
    left = replace(PLANK, hand="left")
    other_locks = replace(PLANK, row_start_lock="groove", start_wall_lock="groove")
    notched = fk.Room(
        "notched", ((0, 0), (4400, 0), (4400, 3610), (2950, 3610), (2950, 3260), (1500, 3260), (1500, 3610), (0, 3610))
    )
    return [
        laid(room, board, start, direction=direction)
        for room, direction in ((rectangle(4000, 3000), 0), (rectangle(3130, 2270), 90), (notched, 0))
        for board, start in ((PLANK, "first"), (PLANK, "opposite"), (left, "first"), (other_locks, "opposite"))
    ]


SQUARE_PLANS = square_plans()


def some_places(plan: fk.Plan, *, seed: int, count: int = 60) -> list[tuple[float, float]]:
    """Places all over a room, in whole tenths; a third of them within 30 of a corner of a piece."""
    draw = random.Random(seed)
    x0, y0, x1, y1 = plan.room.polygon.bounds
    corners = shapely.get_coordinates(plan.pieces["shape"].to_numpy()).tolist()
    places = [(draw.uniform(x0, x1), draw.uniform(y0, y1)) for _ in range(count - count // 3)]
    places += [(x + draw.uniform(-30, 30), y + draw.uniform(-30, 30)) for x, y in draw.sample(corners, count // 3)]
    return [(round(x, 1), round(y, 1)) for x, y in places]


@pytest.mark.parametrize("number", range(12))
def test_every_piece_that_a_hole_meets_is_listed_and_no_other(number):
    # A share of the hole under 1 mm² is no cut: no piece further off than the radius, every one 2 nearer.
    plan = SQUARE_PLANS[number]
    places = some_places(plan, seed=number)
    holes = pipe_holes(with_pipes(plan, *places))
    labels, shapes = plan.pieces["piece"].to_numpy(), plan.pieces["shape"].to_numpy()
    assert set(holes["pipe"]) <= set(range(1, len(places) + 1))
    for pipe, place in enumerate(places, start=1):
        listed = holes["piece"][holes["pipe"] == pipe].tolist()
        away = shapely.distance(shapes, shapely.Point(place))
        assert len(listed) == len(set(listed))
        assert set(labels[away <= 15.5]) <= set(listed) <= set(labels[away < 17.5])


@pytest.mark.parametrize("number", range(12))
def test_the_place_told_on_the_piece_is_the_pipes_place_in_the_room(number):
    plan = SQUARE_PLANS[number]
    places = some_places(plan, seed=100 + number)
    shapes = plan.pieces.set_index("piece")["shape"]
    along, across = np.array(plan.along), np.array(plan.across)
    checked = 0
    for hole in pipe_holes(with_pipes(plan, *places)).itertuples():
        corners = shapely.get_coordinates(shapes[hole.piece])
        if len(corners) != 5:
            continue  # a notched piece is measured on the line through the pipe
        u, v = corners @ along, corners @ across
        at_start, at_first_edge = f"{plan.board.end_locks[0]} end", f"{plan.board.edge_locks[0]} edge"
        centre_u = u.min() + hole.from_end_mm if hole.end == at_start else u.max() - hole.from_end_mm
        centre_v = v.min() + hole.from_edge_mm if hole.edge == at_first_edge else v.max() - hole.from_edge_mm
        # Both are told to a tenth: half of one either way, and a little for float arithmetic.
        assert (centre_u * along + centre_v * across).tolist() == pytest.approx(places[hole.pipe - 1], abs=0.051)
        assert hole.from_end_mm <= np.ptp(u) / 2 + 0.05
        assert hole.from_edge_mm <= np.ptp(v) / 2 + 0.05
        checked += 1
    assert checked > 30


@pytest.mark.parametrize("number", range(12))
def test_least_collar_covers_every_hole_and_a_cut_opens_to_a_side_of_its_own_board(number):
    plan = SQUARE_PLANS[number]
    holes = pipe_holes(with_pipes(plan, *some_places(plan, seed=200 + number)))
    sides = {"tongue end", "groove end", "tongue edge", "groove edge"}
    assert (holes["least_collar_mm"] > holes["hole_mm"]).all()
    assert set(holes["opens_to"][holes["cut"] != "half hole on a joint"]) <= sides
    assert set(holes["opens_to"][holes["cut"] == "half hole on a joint"]) <= {"joint"}
    assert set(holes["cut"]) <= {"half hole on a joint", "slot", "hole and wedge"}
