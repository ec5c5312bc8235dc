"""A room while it is being measured: the path of its walls, numbers that move with them, and the way back."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flooring_kit.draft import (
    MOST_STEPS_BACK,
    Draft,
    DraftDoor,
    DraftObstacle,
    DraftPipe,
    DraftTie,
    DraftWall,
    History,
    put,
    take_out,
    walls_along_the_miss,
)

BOX = Draft(walls=tuple(DraftWall(length) for length in ("4200", "2.92 m", "4200", "9' 7\"")))


def test_walls_as_typed_are_gone_along_with_the_walls_on_the_left():
    # the walls on the left hand, turns to the right: east along the top, then south
    path = BOX.path_mm()
    assert path[:4] == [(0, 0), (4200, 0), pytest.approx((4200, -2920)), pytest.approx((0, -2920))]
    # 9 ft 7 in = 115 in = 2921 mm: one more than the wall across
    assert BOX.misclosure_mm() == pytest.approx(1, abs=1e-6)


def test_a_plain_number_is_in_the_draft_s_unit_and_text_has_its_own():
    feet = Draft(units="ft")
    assert feet.length_mm("10", "wall") == pytest.approx(3048)
    assert feet.length_mm("10,5", "wall") == pytest.approx(3200.4)
    assert feet.length_mm("2.5 m", "wall") == 2500
    assert Draft(units="cm").length_mm("292", "wall") == 2920


@pytest.mark.parametrize("typed", ["", "abc", "4200 yd", "nan", "inf"])
def test_what_is_no_length_is_refused_by_its_name(typed):
    with pytest.raises(ValueError, match=r"^wall 3: length "):
        Draft().length_mm(typed, "wall 3: length")


def test_the_wall_read_short_runs_the_way_the_miss_does():
    # wall 3 read 3200 for 4200: the end misses by 1000 along x, the way of walls 1 and 3
    short = Draft(walls=tuple(DraftWall(length) for length in ("4200", "2920", "3200", "2920")))
    assert walls_along_the_miss(short) == [1, 3]
    slanting = Draft(walls=(*short.walls[:2], DraftWall("4200", 45.0), *short.walls[3:]))
    assert 3 in walls_along_the_miss(slanting) or walls_along_the_miss(slanting) == []


def test_a_placed_room_begins_where_it_stood():
    placed = Draft(walls=BOX.walls, placed=(100.0, 50.0, 90.0))
    assert placed.path_mm()[:2] == [(100, 50), pytest.approx((100, 4250))]


FURNISHED = Draft(
    walls=BOX.walls,
    ties=(DraftTie(1, 3, "5116"), DraftTie(2, 4, "5116")),
    doors=(DraftDoor(1, "520", "762"), DraftDoor(4, "100", "762")),
    pipes=(DraftPipe(3, "100", "60"),),
    obstacles=(
        DraftObstacle("hearth", 2, "400", "0", "900", "350"),
        DraftObstacle("column", 2, "0", "0", "0", "0", "column", ((1, 1), (2, 1), (2, 2))),
    ),
    kept=(("edge", [{"wall": 3, "kind": "plinth"}]), ("boards_run", "long")),
)


def test_a_wall_put_in_moves_what_stands_at_later_walls():
    more = FURNISHED.with_wall(DraftWall("300", 0.0), before=3)
    assert [wall.length for wall in more.walls] == ["4200", "2.92 m", "300", "4200", "9' 7\""]
    assert [door.wall for door in more.doors] == [1, 5]
    assert more.pipes[0].wall == 4
    assert more.obstacles[0].wall == 2
    assert dict(more.kept)["edge"] == [{"wall": 4, "kind": "plinth"}]
    # corner 3 begins the new wall; the old wall 3 begins at corner 4 now, as does corner 4 -> 5
    assert [(tie.first, tie.second) for tie in more.ties] == [(1, 3), (2, 5)]


def test_a_wall_added_at_the_end_moves_nothing():
    more = FURNISHED.with_wall(DraftWall("300"))
    assert more.walls[:-1] == FURNISHED.walls
    assert (more.doors, more.pipes, more.ties, more.kept) == (
        FURNISHED.doors,
        FURNISHED.pipes,
        FURNISHED.ties,
        FURNISHED.kept,
    )


@pytest.mark.parametrize(
    ("wall", "message"),
    [
        (1, "wall 1 carries door 1. Take that out first."),
        (2, "wall 2 carries obstacle 1. Take that out first."),
        (3, "wall 3 carries pipe 1. Take that out first."),
        (4, "wall 4 carries door 2. Take that out first."),
        (9, "wall must be a whole number from 1 to 4, got 9."),
    ],
)
def test_a_wall_that_carries_something_is_not_taken_out(wall, message):
    with pytest.raises(ValueError) as caught:
        FURNISHED.without_wall(wall)
    assert str(caught.value) == message


def test_a_wall_with_an_edge_of_its_own_is_not_taken_out():
    """Its bow would pass to the next wall."""
    bare = Draft(walls=BOX.walls, kept=(("edge", [{"wall": 2, "bow": [[1400, 9]]}]),))
    with pytest.raises(ValueError, match=r"^wall 2 carries edge 1\. Take that out first\.$"):
        bare.without_wall(2)
    assert dict(bare.without_wall(1).kept)["edge"] == [{"wall": 1, "bow": [[1400, 9]]}]


def test_putting_a_wall_in_and_taking_it_out_again_changes_nothing():
    for place in (1, 2, 3, 4):
        assert FURNISHED.with_wall(DraftWall("300"), before=place).without_wall(place) == FURNISHED


def test_rows_are_put_in_changed_and_taken_out():
    assert put((1, 2, 3), None, 9) == (1, 2, 3, 9)
    assert put((1, 2, 3), 1, 9) == (1, 9, 3)
    assert take_out((1, 2, 3), 0) == (2, 3)


@given(st.lists(st.sampled_from(["a", "b", "c", "undo", "redo"]), max_size=30))
def test_undo_and_redo_go_back_and_forth_over_the_same_drafts(steps):
    history, model, at = History(), [Draft()], 0
    for step in steps:
        if step == "undo":
            history, at = history.undone(), max(0, at - 1)
        elif step == "redo":
            history, at = history.redone(), min(len(model) - 1, at + 1)
        elif model[at].name != step:
            history = history.changed(Draft(name=step))
            model, at = [*model[: at + 1], Draft(name=step)], at + 1
        assert history.now == model[at]
    assert len(history.past) == at


def test_the_way_back_is_long_but_not_endless():
    history = History()
    for number in range(MOST_STEPS_BACK + 5):
        history = history.changed(Draft(name=str(number)))
    assert len(history.past) == MOST_STEPS_BACK
    assert history.changed(history.now) is history


@given(st.lists(st.tuples(st.integers(100, 9000), st.sampled_from([90.0, -90.0, 45.0, 0.0])), min_size=1, max_size=12))
def test_the_path_has_the_lengths_and_turns_typed(walls):
    path = Draft(walls=tuple(DraftWall(str(length), turn) for length, turn in walls)).path_mm()
    headings = [math.atan2(y1 - y0, x1 - x0) for (x0, y0), (x1, y1) in pairwise(path)]
    for (length, turn), start, end, here, after in zip(
        walls, path[:-1], path[1:], headings, [*headings[1:], None], strict=True
    ):
        assert math.dist(start, end) == pytest.approx(length)
        if after is not None:
            turned = math.degrees(here - after)
            assert math.cos(math.radians(turned - turn)) == pytest.approx(1)
