"""Four ways to lay a floor, side by side, and the one recommended with its reasons."""

from __future__ import annotations

from dataclasses import replace

import pytest
from floors import demo_boards, demo_room, rectangle

import flooring_kit as fk
from flooring_kit.ways import POINTS

OAK, ASH = "Oak plank 1380 x 193", "Ash plank 1850 x 240"
SHOP = fk.Catalogue(demo_boards(), fk.read_underlays(fk.demo_path("underlays.csv")))


def ways(room: fk.Room, board: str = OAK, **laying: object) -> list[fk.Way]:
    choices = fk.Choices(fk.Materials(board, "Foam sheet 3 mm"), fk.Laying(**laying))  # type: ignore[arg-type]
    return fk.ways_to_lay(room, choices, SHOP, quick=True)


def recommended(room: fk.Room, board: str = OAK, **laying: object) -> fk.Recommendation:
    return fk.recommended(ways(room, board, **laying))


def test_there_are_both_directions_from_both_start_corners():
    found = ways(demo_room("box_room"))
    assert [(way.direction, way.start) for way in found] == [
        ("long", "first"),
        ("long", "opposite"),
        ("short", "first"),
        ("short", "opposite"),
    ]
    # start walls of a rectangle: the two long ones, then the two short ones, each once
    assert [way.estimate.plan.start_wall for way in found] == [3, 1, 4, 2]


def test_a_direction_in_degrees_is_a_third_one():
    found = ways(demo_room("box_room"), direction=30.0)
    assert [way.direction for way in found[4:]] == [30.0, 30.0]
    # away from the start wall is (0.5, -0.866): the middle of wall 3, (1395, 2380), has -1364, that of wall 4 -1031
    assert found[4].words == "boards at 30° from wall 3"


def test_the_user_s_first_row_width_is_not_taken_over_since_it_belongs_to_one_way():
    assert all(way.estimate.plan.row_widths[0].chosen_by_kit for way in ways(demo_room("hall"), first_row_width_mm=150))


def test_each_way_is_the_plan_one_gets_by_asking_for_it():
    room = demo_room("sitting_room")
    for way in ways(room):
        plan = fk.set_out(
            room,
            demo_boards()[OAK],
            direction=way.direction,
            first_row=fk.FirstRow(way.start),
            search=fk.Search(quick=True),
        )
        assert plan.pieces.equals(way.estimate.plan.pieces)


def test_the_table_counts_what_the_cut_list_says():
    found = ways(demo_room("sitting_room"))
    table = fk.ways_table(found)
    for row, way in zip(table.itertuples(), found, strict=True):
        plan = way.estimate.plan
        short = plan.pieces["length_mm"] < plan.board.length_mm
        narrow = plan.pieces["width_mm"] < plan.board.width_mm
        assert (row.cross_cuts, row.rips) == (short.sum(), narrow.sum())
        assert (row.boards, row.rows) == (plan.boards_needed, plan.pieces["row"].max())
        assert row.shaped == len(fk.shaping(plan))


def test_the_door_in_wall_1_of_the_box_room_has_the_floor_start_there():
    # All four ways take 27 boards, 4 packs with two spare; the frame is met at the start wall only from wall 1.
    advice = recommended(demo_room("box_room"))
    assert advice.sentence() == (
        "We would lay boards the long way from wall 1. "
        "Against boards the long way from wall 3: the door frame is met at the start wall, not at the far wall. "
        "Against boards the short way from wall 4: the door frame is met at the start wall, not at the row's start. "
        "Against boards the short way from wall 2: the door frame is met at the start wall, not at the row's end. "
        "You decide."
    )


def test_each_way_tells_in_which_rows_a_frame_is_met_and_how_hard_it_is():
    # The doorway of wall 1 takes the first row from wall 1 and the last, thirteenth, from wall 3; across, 782 mm of
    # doorway lie over five rows of 193, whole or in part. At the far wall one piece lies under both linings.
    frames = fk.ways_table(ways(demo_room("box_room")))["frames"].tolist()
    assert frames[:2] == ["to the landing: far wall, row 13, hardest", "to the landing: start wall, row 1, easy"]
    assert frames[2].startswith("to the landing: row's start, rows ")
    assert frames[2].endswith(", fair")
    assert frames[3].endswith(", awkward")


def test_a_floor_too_long_for_the_leaflet_is_laid_the_way_that_needs_no_break():
    # The kitchen-diner is 8.6 m long: across the boards the leaflet allows 8 m, along them 12 m.
    found = ways(demo_room("kitchen_diner"), ASH)
    assert [way.needs_break for way in found] == [False, False, True, True]
    advice = fk.recommended(found)
    assert advice.way.direction == "long"
    assert "Against boards the short way from wall 1: the floor needs no break." in advice.reasons


def test_boards_cross_old_floorboards_even_where_that_takes_a_pack_more():
    room = demo_room("back_bedroom")  # its old boards run the long way
    packs = {way.direction: way.estimate.take_off.boards.packs for way in ways(room)}
    advice = recommended(room)
    assert packs["short"] > packs["long"]
    assert advice.way.direction == "short"
    assert (
        "Against boards the long way from wall 4: the boards lie across the old floorboards, not along them."
        in advice.reasons
    )


def test_without_old_floorboards_the_same_room_is_laid_with_the_fewer_packs():
    advice = recommended(replace(demo_room("back_bedroom"), floorboards_run=None))
    assert advice.way.direction == "long"
    assert "Against boards the short way from wall 3: 8 packs, not 9." in advice.reasons


@pytest.mark.parametrize(("light", "direction"), [(1, "short"), (2, "long")])
def test_in_a_square_room_boards_run_towards_the_main_light(light, direction):
    # 4 m square: both directions are the same floor turned. Wall 1 lies along x, so its light comes along y.
    room = rectangle(4000, 4000, main_light=light)
    assert recommended(room).way.direction == direction
    assert any("run towards the main light" in reason for reason in recommended(room).reasons)


def test_rules_held_come_before_anything_else():
    found = ways(demo_room("hall"))
    assert fk.recommended(found).way.broken_rules == min(way.broken_rules for way in found)


def test_the_recommended_way_is_better_at_the_first_point_that_tells_two_ways_apart():
    for name in ("box_room", "hall", "sitting_room", "back_bedroom"):
        found = ways(demo_room(name))
        best = fk.recommended(found).way
        for other in found:
            apart = [(point.worth(best), point.worth(other)) for point in POINTS]
            first = next((pair for pair in apart if pair[0] != pair[1]), (0, 1))
            assert other is best or first[0] < first[1]


def test_of_ways_that_nothing_tells_apart_the_first_is_taken_and_the_reason_says_so():
    way = ways(rectangle(3000, 2000))[0]
    twin = replace(way)
    advice = fk.recommended([way, twin])
    assert advice.way is way
    assert advice.reasons == ("Against boards the long way from wall 3: nothing tells them apart.",)


def test_no_ways_are_refused():
    with pytest.raises(ValueError) as refused:
        fk.recommended([])
    assert str(refused.value) == "There are no ways to choose from."
