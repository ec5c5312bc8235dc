"""The room with its walls by number: every number stands outside the floor, beside the wall it belongs to."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely import LineString, Point

import flooring_kit as fk
from flooring_kit.drawing import as_svg, walls_scene
from flooring_kit.drawing.marks import Scene, Words, box_of

ROOMS = {room.name: room for room in map(fk.read_room, sorted(fk.demo_path("rooms").glob("*.toml")))}
every_room = pytest.mark.parametrize("room_name", ROOMS)


def words_of(scene: Scene) -> dict[str, Words]:
    return {mark.text: mark for mark in scene.marks if isinstance(mark, Words)}


def mirrored(room: fk.Room) -> fk.Room:
    """The same room with its corners taken the other way round, seen in a mirror; nothing stands in it."""
    outline = tuple((-x, y) for x, y in room.outline)
    return replace(room, outline=outline, obstacles=(), pipes=(), levels=(), straightedges=(), appliances=())


@every_room
@pytest.mark.parametrize("is_mirrored", [False, True])
def test_every_walls_number_stands_outside_the_floor_nearest_to_that_wall(room_name, is_mirrored):
    room = mirrored(ROOMS[room_name]) if is_mirrored else ROOMS[room_name]
    said = words_of(walls_scene(room))
    for wall in range(1, len(room.outline) + 1):
        place = Point(said[f"{wall}"].x, -said[f"{wall}"].y)  # y goes down on a sheet
        assert not room.polygon.contains(place)
        far = {number: LineString(face).distance(place) for number, face in enumerate(room.wall_faces, start=1)}
        assert min(far, key=lambda number: far[number]) == wall


@every_room
def test_every_doorway_and_every_fixed_thing_is_named(room_name):
    room = ROOMS[room_name]
    said = words_of(walls_scene(room))
    for number, door in enumerate(room.doors, start=1):
        assert (door.name or f"door {number}") in said
    for obstacle in room.obstacles:
        words = said[obstacle.name]
        assert obstacle.polygon.contains(Point(words.x, -words.y))


@every_room
def test_no_two_words_lie_over_each_other_and_none_is_cut_off(room_name):
    scene = walls_scene(ROOMS[room_name])
    boxes = [box_of(mark) for mark in scene.marks if isinstance(mark, Words)]
    for place, (low, high) in enumerate(boxes):
        assert scene.left <= low[0]
        assert scene.top <= low[1]
        assert high[0] <= scene.left + scene.width
        assert high[1] <= scene.top + scene.height
        for other_low, other_high in boxes[:place]:
            assert (high <= other_low).any() or (other_high <= low).any()


def test_a_number_keeps_clear_of_the_doorway_in_its_wall():
    # By hand: a wall of 4000 with an opening from 1500 to 2500 in its middle leaves two stretches of 1500; the first is
    # taken, and its middle is at 750.
    room = fk.Room("porch", ((0, 0), (4000, 0), (4000, 3000), (0, 3000)), doors=(fk.Door(1, 1500, 1000),))
    said = words_of(walls_scene(room))
    assert said["1"].x == pytest.approx(750)
    assert said["door 1"].x == pytest.approx(2000)


def test_a_round_wall_carries_its_number_beyond_its_rise():
    # By hand: a bay of 300 rise over a wall along y = 0; its number stands under y = -300.
    room = fk.Room("bay", ((0, 0), (3000, 0), (3000, 3000), (0, 3000)), edges=(fk.Edge(1, rise_mm=300),))
    assert -words_of(walls_scene(room))["1"].y < -300


def test_the_drawing_tells_what_it_is_to_those_who_can_not_see_it():
    assert "<title" in as_svg(walls_scene(ROOMS["Sitting room"]))
    assert walls_scene(ROOMS["Sitting room"]).title == "Sitting room: 12 walls by number, 1 doorway."
