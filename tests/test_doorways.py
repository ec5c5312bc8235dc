"""Door frames: the side they are met at worked by hand, the pieces in them by a geometry of the test's own."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely
from floors import demo_boards, demo_room, rectangle

import flooring_kit as fk
from flooring_kit.doorways import FRAME_COLUMNS, SIDES

QUICK = fk.Search(quick=True)
PLANK = fk.Board("plank", 1380, 193, 8, 8)
LEFT = replace(PLANK, hand="left")
START_WALL, ROW_START, ROW_END, FAR_WALL = "start wall", "row's start", "row's end", "far wall"
LENGTH, WIDTH, RECESS, GAP = 5000.0, 3000.0, 60.0, 10.0

FROM_START = "slide the board under the frame before anything holds it"
FROM_ROW_START = "push the row's first piece under, then draw it back to its joint; undercut 6 to 10 mm deeper"
FROM_ROW_END = "slide the row's last piece under, then draw it back to its joint; undercut 6 to 10 mm deeper"
FROM_FAR = (
    "the last row must go under the frame and into the row before it at once: tilt it in, or shave the lock, glue it "
    "and slide it in flat"
)
NOT_CUT = "the frame is not cut: shape the board to it, leave about 8 mm, close with flexible filler"
UNDER_BOTH = "one piece goes under both linings and can't be swung in"


def four_doors(**more: object) -> tuple[fk.Door, ...]:
    """A doorway in every wall of the rectangle, 600 from the wall's first corner."""
    given = {"recess_mm": RECESS, "opening_mm": 762.0} | more
    return tuple(fk.Door(wall, 600.0, **given) for wall in (1, 2, 3, 4))  # type: ignore[arg-type]


def laid(
    doors: tuple[fk.Door, ...], board: fk.Board = PLANK, direction: float = 0, start: str = "first", **more: object
) -> fk.Plan:
    """A quick plan of a rectangle 5000 x 3000 with these doors, or of `size`."""
    size = more.pop("size", (LENGTH, WIDTH))
    first_row = fk.FirstRow(start, more.pop("width_mm", None))
    return fk.set_out(
        rectangle(*size, doors=doors), board, direction=direction, first_row=first_row, search=QUICK, **more
    )


def frame_at(plan: fk.Plan, side: str):
    """The one frame of a plan that is met at this side."""
    (frame,) = (frame for frame in fk.door_frames(plan).itertuples() if frame.met_at == side)
    return frame


# ---------------------------------------------------------------------- which side


# A right-handed board is laid left to right facing the start wall, rows coming toward the fitter; so boards that run
# to +x are begun at the wall of the greatest y, boards that run to +y at the one of the least x, and both from their
# own tail; "opposite" turns the floor round; a left-handed board changes over start and far wall only.
# Walls 1 to 4 of a rectangle are the ones at y = 0, x = 5000, y = 3000 and x = 0.
MET_AT = [
    (PLANK, 0, "first", (FAR_WALL, ROW_END, START_WALL, ROW_START)),
    (PLANK, 0, "opposite", (START_WALL, ROW_START, FAR_WALL, ROW_END)),
    (PLANK, 90, "first", (ROW_START, FAR_WALL, ROW_END, START_WALL)),
    (PLANK, 90, "opposite", (ROW_END, START_WALL, ROW_START, FAR_WALL)),
    (LEFT, 0, "first", (START_WALL, ROW_END, FAR_WALL, ROW_START)),
    (LEFT, 0, "opposite", (FAR_WALL, ROW_START, START_WALL, ROW_END)),
    (LEFT, 90, "first", (ROW_START, START_WALL, ROW_END, FAR_WALL)),
    (LEFT, 90, "opposite", (ROW_END, FAR_WALL, ROW_START, START_WALL)),
]
PLANS = [laid(four_doors(), board, direction, start) for board, direction, start, _ in MET_AT]


@pytest.mark.parametrize("number", range(8))
def test_a_door_in_each_wall_is_met_at_the_side_worked_by_hand(number):
    frames = fk.door_frames(PLANS[number])
    assert frames.columns.tolist() == FRAME_COLUMNS
    assert frames["wall"].tolist() == [1, 2, 3, 4]
    assert tuple(frames["met_at"]) == MET_AT[number][3]


def test_corners_taken_clockwise_give_the_same_sides():
    # Walls 1 to 4 are now at x = 0, y = 3000, x = 5000 and y = 0.
    room = fk.Room("room", ((0, 0), (0, 3000), (5000, 3000), (5000, 0)), doors=four_doors())
    frames = fk.door_frames(fk.set_out(room, PLANK, direction=0, search=QUICK))
    assert frames["met_at"].tolist() == [ROW_START, START_WALL, ROW_END, FAR_WALL]


def test_the_start_wall_of_the_plan_is_where_its_own_door_is_met():
    for plan in PLANS:
        assert frame_at(plan, START_WALL).wall == plan.start_wall


def test_boards_somewhat_askew_to_the_walls_meet_a_door_at_the_side_it_faces_most():
    # 30 degrees off: the wall whose outside is 30 degrees off the side counts, the next is 60 off.
    frames = fk.door_frames(laid(four_doors(), direction=30))
    assert tuple(frames["met_at"]) == MET_AT[0][3]


# ---------------------------------------------------------------------- how hard, and how


def test_frames_are_harder_from_the_start_wall_to_the_rows_start_its_end_and_the_far_wall():
    # Easiest on the start wall, then left, right, far wall (common practice, no source).
    assert [(side.name, side.hardness) for side in SIDES] == [
        (START_WALL, 1),
        (ROW_START, 2),
        (ROW_END, 3),
        (FAR_WALL, 4),
    ]
    for plan in PLANS:
        by_side = fk.door_frames(plan).set_index("met_at")["hardness"]
        assert by_side[START_WALL] < by_side[ROW_START] < by_side[ROW_END] < by_side[FAR_WALL]


@pytest.mark.parametrize(
    ("side", "how", "hardness"),
    [(START_WALL, FROM_START, 1), (ROW_START, FROM_ROW_START, 2), (ROW_END, FROM_ROW_END, 3), (FAR_WALL, FROM_FAR, 4)],
)
def test_each_side_says_in_full_what_its_frame_takes(side, how, hardness):
    # The openings are 1500 wide, more than a board of 1380: no piece reaches both linings.
    frame = frame_at(laid(four_doors(opening_mm=1500.0)), side)
    assert frame.how == how
    assert frame.hardness == hardness
    assert not frame.under_both


@pytest.mark.parametrize(("side", "hardness"), [(START_WALL, 1), (ROW_START, 2), (ROW_END, 3), (FAR_WALL, 4)])
def test_a_frame_that_is_not_cut_tells_to_shape_the_board(side, hardness):
    frame = frame_at(laid(four_doors(undercut=False)), side)
    assert frame.how == NOT_CUT
    assert frame.hardness == hardness
    assert not frame.under_both
    assert frame.pieces


# ---------------------------------------------------------------------- one piece under both linings


@pytest.mark.parametrize(
    ("start", "side", "hardness", "how"),
    [("first", FAR_WALL, 5, f"{FROM_FAR}; {UNDER_BOTH}"), ("opposite", START_WALL, 1, FROM_START)],
)
def test_a_row_of_one_piece_goes_under_both_linings_and_is_hard_anywhere_but_at_the_start_wall(
    start, side, hardness, how
):
    # Clear 1200: every row is one piece of 1200, and the linings stand 782 apart at the outside.
    frame = frame_at(laid((fk.Door(1, 200, 762, 60),), start=start, size=(1220, 792)), side)
    assert frame.under_both
    assert frame.hardness == hardness
    assert frame.how == how


@pytest.mark.parametrize(
    ("start", "side", "hardness", "how"),
    [
        ("first", ROW_START, 3, f"{FROM_ROW_START}; {UNDER_BOTH}"),
        ("opposite", ROW_END, 4, f"{FROM_ROW_END}; {UNDER_BOTH}"),
    ],
)
def test_a_board_wider_than_a_narrow_opening_goes_under_both_its_linings(start, side, hardness, how):
    # Rows of 500, from y = 1990 down or from y = 10 up: row 1 is 1490 to 1990, or row 2 is 510 to 1010. Wall 4 begins
    # at y = 2000: with its linings the opening is 1570 to 1890, or 590 to 910.
    from_corner = 120 if start == "first" else 1100
    wide = fk.Board("wide plank", 1380, 500, 8, 4)
    doors = (fk.Door(4, from_corner, 300, 60),)
    frame = frame_at(laid(doors, wide, start=start, size=(4000, 2000), width_mm=500), side)
    assert frame.under_both
    assert frame.rows == ((1,) if start == "first" else (2,))
    assert frame.hardness == hardness
    assert frame.how == how


def test_a_board_narrower_than_the_opening_never_goes_under_both_linings_of_a_door_at_its_end():
    # 193 wide, linings 762 apart.
    for plan in PLANS:
        assert not frame_at(plan, ROW_START).under_both
        assert not frame_at(plan, ROW_END).under_both


def test_where_the_floor_does_not_run_under_the_linings_no_piece_is_under_both():
    plan = laid((fk.Door(1, 200, 762, 60),), size=(1220, 792), rules=fk.LayingRules(under_frame_mm=0))
    assert not frame_at(plan, FAR_WALL).under_both


# ---------------------------------------------------------------------- pieces, by a geometry of our own


def beyond_wall(wall: int, near: float, far: float, *, deep: float = RECESS - GAP) -> shapely.Polygon:
    """The strip beyond one wall of the 5000 x 3000 rectangle, from `near` to `far` along it from its first corner."""
    if wall == 1:
        return shapely.box(near, -deep, far, 0)
    if wall == 2:
        return shapely.box(LENGTH, near, LENGTH + deep, far)
    if wall == 3:
        return shapely.box(LENGTH - far, WIDTH, LENGTH - near, WIDTH + deep)
    return shapely.box(-deep, WIDTH - far, 0, WIDTH - near)


def labels_in(plan: fk.Plan, strip: shapely.Polygon) -> set[str]:
    """Pieces with more than a square millimetre in the strip."""
    share = shapely.area(shapely.intersection(plan.pieces["shape"].to_numpy(), strip))
    return set(plan.pieces["piece"][share > 1])


def many_plans() -> list[fk.Plan]:
    long_board = fk.Board("long plank", 2200, 240, 8, 6)
    more = [
        laid(four_doors(opening_mm=opening), board, direction, start)
        for opening in (450.0, 900.0)
        for board in (PLANK, long_board)
        for direction, start in ((0, "first"), (0, "opposite"), (90, "first"))
    ]
    return [*PLANS, *more]


MANY_PLANS = many_plans()


@pytest.mark.parametrize("number", range(20))
def test_the_rows_and_pieces_listed_are_those_in_the_doorway(number):
    # 600 to 600 + opening, and 10 more under each lining.
    plan = MANY_PLANS[number]
    rows = plan.pieces.set_index("piece")["row"]
    for frame, door in zip(fk.door_frames(plan).itertuples(), plan.room.doors, strict=True):
        inside = labels_in(plan, beyond_wall(door.wall, 590, 610 + door.opening_mm))
        assert inside
        assert set(frame.pieces) == inside
        assert list(frame.pieces) == [label for label in plan.pieces["piece"] if label in inside]
        assert frame.rows == tuple(sorted({int(rows[label]) for label in inside}))


@pytest.mark.parametrize("number", range(20))
def test_under_both_is_said_just_where_one_piece_lies_under_both_linings(number):
    plan = MANY_PLANS[number]
    for frame, door in zip(fk.door_frames(plan).itertuples(), plan.room.doors, strict=True):
        far = 600 + door.opening_mm
        one = labels_in(plan, beyond_wall(door.wall, 590, 600))
        other = labels_in(plan, beyond_wall(door.wall, far, far + 10))
        assert one
        assert other
        assert frame.under_both == bool(one & other)
        assert frame.hardness == next(side.hardness for side in SIDES if side.name == frame.met_at) + (
            frame.under_both and frame.met_at != START_WALL
        )
        assert (UNDER_BOTH in frame.how) == (frame.under_both and frame.met_at != START_WALL)


def test_the_many_plans_hold_frames_of_both_kinds():
    under_both = {bool(flag) for plan in MANY_PLANS for flag in fk.door_frames(plan)["under_both"]}
    assert under_both == {True, False}


def test_a_doorway_at_the_start_wall_begins_with_row_1_and_one_at_the_far_wall_ends_with_the_last():
    for plan in PLANS:
        assert frame_at(plan, START_WALL).rows[0] == 1
        assert frame_at(plan, FAR_WALL).rows[-1] == plan.rows


# ---------------------------------------------------------------------- which doors, and their names


def test_a_doorway_the_floor_stops_short_of_is_not_listed_and_the_others_keep_their_numbers():
    doors = (fk.Door(1, 600, 762, 0), fk.Door(2, 600, 762, 60), fk.Door(3, 600, 762, 60, name="to the hall"))
    frames = fk.door_frames(laid(doors))
    assert frames["door"].tolist() == [2, 3]
    assert frames["name"].tolist() == ["door 2", "to the hall"]


def test_a_room_without_doors_has_an_empty_table_with_every_column():
    frames = fk.door_frames(laid(()))
    assert frames.empty
    assert frames.columns.tolist() == FRAME_COLUMNS


def test_the_halls_four_doors_stand_at_the_start_and_the_far_wall():
    # Boards along x begin at the wall of the greatest y, which is wall 3: its two doors are easy, those of wall 1 not.
    plan = fk.set_out(demo_room("hall"), demo_boards()["Oak plank 1380 x 193"], search=QUICK)
    frames = fk.door_frames(plan)
    assert frames["wall"].tolist() == [1, 1, 3, 3]
    assert frames["met_at"].tolist() == [FAR_WALL, FAR_WALL, START_WALL, START_WALL]


def test_a_doorway_no_deeper_than_the_gap_is_not_listed():
    # A recess of 8 less a gap of 10: the floor ends 2 inside the wall face and meets no frame.
    assert fk.door_frames(laid((fk.Door(1, 600, 762, 8),))).empty
