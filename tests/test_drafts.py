"""A draft to a survey file and back: nothing typed is lost, what is no room yet is told, half files are not written."""

import json
import tomllib
from dataclasses import replace

import pytest
import tomli_w
from floors import DEMO_ROOMS

import flooring_kit as fk
from flooring_kit.checks import FaultsError
from flooring_kit.draft import Draft, DraftDoor, DraftObstacle, DraftPipe, DraftTie, DraftWall
from flooring_kit.files.drafts import (
    at_wall,
    from_wall,
    keep_draft,
    kept_draft,
    read_draft,
    room_of_draft,
    survey_table,
    write_survey,
)

STUDIO = Draft(
    name="Studio",
    walls=tuple(DraftWall(length) for length in ("4200", "2920", "4200", "2920")),
    ties=(DraftTie(1, 3, "5115.3"),),
    doors=(DraftDoor(4, "900", "762", "60", "to the landing"),),
    pipes=(DraftPipe(1, "150", "160"),),
    obstacles=(DraftObstacle("wardrobe", 2, "300", "0", "1200", "600", "wardrobe"),),
    subfloor="timber",
    below="ventilated void",
    wet=True,
    old_covering="18",
)


def test_a_draft_is_the_room_a_survey_file_of_it_would_be(tmp_path):
    write_survey(STUDIO, tmp_path / "studio.toml")
    room = fk.read_room(tmp_path / "studio.toml")
    assert room == room_of_draft(STUDIO)
    assert (room.name, room.subfloor, room.below, room.wet, room.old_covering_mm) == (
        "Studio",
        "timber",
        "ventilated void",
        True,
        18,
    )
    assert room.polygon.area == pytest.approx(4200 * 2920, rel=1e-4)
    (door,) = room.doors
    assert (door.wall, door.from_corner_mm, door.opening_mm, door.recess_mm, door.name) == (
        4,
        900,
        762,
        60,
        "to the landing",
    )


def test_things_stand_at_their_wall_and_go_with_it_when_it_is_corrected():
    room = room_of_draft(STUDIO)
    # wall 2 runs south along x = 4200: 300 to 1500 along it, 600 into the room, 20 behind its face
    x0, y0, x1, y1 = room.obstacles[0].polygon.bounds
    assert (x0, x1) == (pytest.approx(3600, abs=1), pytest.approx(4220, abs=1))
    assert (y0, y1) == (pytest.approx(-1500, abs=1), pytest.approx(-300, abs=1))
    assert room.pipes[0].at == (pytest.approx(150, abs=0.2), pytest.approx(-160, abs=0.2))
    longer = tuple(replace(wall, length="4300") if wall.length == "4200" else wall for wall in STUDIO.walls)
    moved = room_of_draft(replace(STUDIO, walls=longer, ties=()))
    assert moved.obstacles[0].polygon.bounds[2] == pytest.approx(x1 + 100, abs=1)


def test_a_place_at_a_wall_and_its_distances_are_each_other_s_reverse():
    room = room_of_draft(STUDIO)
    for wall in (1, 2, 3, 4):
        assert from_wall(room, wall, at_wall(room, wall, 320, 75)) == (pytest.approx(320), pytest.approx(75))
        assert room.polygon.contains(fk.net_floor(room, fk.LayingRules()).centroid)


def test_ties_too_few_to_fix_the_shape_take_nothing_away(tmp_path):
    """More measuring must not give less: the room is planned by walls and turns, and says so."""
    l_shape = (("4200", 90), ("1500", 90), ("2000", -90), ("1420", 90), ("2200", 90), ("2920", 90))
    walls = tuple(DraftWall(length, float(turn)) for length, turn in l_shape)
    bare = replace(STUDIO, walls=walls, ties=(), doors=(), obstacles=())
    one = replace(bare, ties=(DraftTie(1, 3, "4459.8"),))
    room = room_of_draft(one)
    assert room.polygon.equals_exact(room_of_draft(bare).polygon, 0.01)
    assert len(room.pipes) == 1
    assert room.notes[0].startswith(
        "Planned by the walls and the turns as typed, ties left out: the walls and ties do not fix the shape"
    )
    write_survey(one, tmp_path / "one.toml")
    assert fk.read_room(tmp_path / "one.toml").outline == room.outline


@pytest.mark.parametrize("name", DEMO_ROOMS)
def test_a_demo_survey_opened_as_a_draft_is_the_same_room(name, tmp_path):
    path = fk.demo_path("rooms", f"{name}.toml")
    room, draft = fk.read_room(path), read_draft(path)
    again = room_of_draft(draft)
    assert again.polygon.symmetric_difference(room.polygon).area < 100  # mm²: tenths of a mm at the corners
    for one, other in zip(again.obstacles, room.obstacles, strict=True):
        assert (one.name, one.kind) == (other.name, other.kind)
        inside = [each.polygon.intersection(room.polygon) for each in (one, other)]
        assert inside[0].symmetric_difference(inside[1]).area < 2000
    same = [
        "doors",
        "edges",
        "levels",
        "straightedges",
        "appliances",
        "boards_run",
        "floorboards_run",
        "main_light",
        "subfloor",
        "below",
        "heated",
        "wet",
        "old_covering_mm",
        "old_covering_m2k_w",
    ]
    for field in same:
        assert getattr(again, field) == getattr(room, field), field
    write_survey(draft, tmp_path / f"{name}.toml")
    assert fk.read_room(tmp_path / f"{name}.toml") == again


def test_both_rooms_of_the_example_come_back_whole(tmp_path):
    tables = tomllib.loads(fk.demo_path("survey_example.toml").read_text(encoding="utf-8"))["room"]
    for table in tables:
        path = tmp_path / "one.toml"
        path.write_text(tomli_w.dumps(table), encoding="utf-8")
        draft, room = read_draft(path), fk.read_room(path)
        again = room_of_draft(draft)
        assert again.polygon.symmetric_difference(room.polygon).area < 500
        assert len(again.pipes) == len(room.pipes)
        assert again.edges == room.edges
        kept = {
            key for key, value in table.items() if key not in ("outline", "obstacle", "pipe") and value is not False
        }
        assert kept <= set(survey_table(draft)) | {"wall", "tie"}


@pytest.mark.parametrize(("units", "mm"), [("cm", 10), ("m", 1000), ("ft", 304.8)])
def test_a_survey_by_its_corners_in_another_unit_comes_back_whole(units, mm, tmp_path):
    """What the panel does not show is in the file's unit too: it must not be read as mm."""

    def length(value_mm):
        return round(value_mm / mm, 9)

    table = {
        "name": "Den",
        "units": units,
        "outline": [[0, 0], [length(4200), 0], [length(4200), length(3000)], [0, length(3000)]],
        "old_covering": length(18),
        "door": [
            {
                "wall": 1,
                "from_corner": length(900),
                "opening": length(762),
                "recess": length(60),
                "architrave": length(70),
                "beyond": "carpet",
                "beyond_height": [length(15), length(16)],
                "leaf_clearance": length(8),
            }
        ],
        "edge": [{"wall": 3, "bow": [[length(1400), length(5)]]}],
        "level": [{"at": [length(500), length(500)], "height": length(5)}],
        "pipe": [{"at": [length(150), length(160)], "diameter": length(15)}],
    }
    path = tmp_path / "den.toml"
    path.write_text(tomli_w.dumps(table), encoding="utf-8")
    room, draft = fk.read_room(path), read_draft(path)
    again = room_of_draft(draft)
    assert draft.units == again.typed_in == units
    assert again.polygon.symmetric_difference(room.polygon).area < 500
    for field in ("doors", "edges", "levels"):
        assert getattr(again, field) == getattr(room, field), field
    assert again.old_covering_mm == pytest.approx(room.old_covering_mm, abs=0.001)
    assert again.pipes[0].at == (pytest.approx(150, abs=0.2), pytest.approx(160, abs=0.2))


def test_a_comma_that_may_part_thousands_is_not_guessed():
    pipes = (DraftPipe(1, "1,200", "160"),)
    with pytest.raises(FaultsError, match="pipe 1: along"):
        room_of_draft(replace(STUDIO, pipes=pipes))
    assert room_of_draft(replace(STUDIO, pipes=(DraftPipe(1, "150,5", "160"),))).pipes[0].at[0] == pytest.approx(
        150.5, abs=0.2
    )


@pytest.mark.parametrize("typed", ["inf", "1e400", "9" * 30])
def test_a_number_out_of_all_bounds_is_refused_in_words(typed):
    with pytest.raises(FaultsError):
        room_of_draft(replace(STUDIO, doors=(DraftDoor(4, typed, "762"),)))


def test_a_room_gone_round_the_other_way_is_its_mirror_image_not_a_fault():
    left = replace(STUDIO, walls=tuple(replace(wall, turn_degrees=-90.0) for wall in STUDIO.walls))
    assert "outline" in survey_table(left)
    room = room_of_draft(left)
    assert room.polygon.area == pytest.approx(4200 * 2920, rel=1e-4)
    assert not room.turns_clockwise
    assert room.polygon.covers(room.obstacles[0].polygon.intersection(room.polygon))
    # against wall 2, which runs north now
    assert room.obstacles[0].polygon.bounds[3] == pytest.approx(1500, abs=1)


@pytest.mark.parametrize(
    ("draft", "fault"),
    [
        (replace(STUDIO, walls=STUDIO.walls[:2]), "a room has at least 3 walls, this one has 2 so far."),
        (
            replace(STUDIO, pipes=(DraftPipe(9, "150", "160"),)),
            "pipe 1: wall must be from 1 to 4, got 9.",
        ),
        (
            replace(STUDIO, obstacles=(DraftObstacle("shelf", 0, "1", "0", "1", "1"),)),
            "obstacle 1: wall must be from 1 to 4, got 0.",
        ),
        (
            replace(STUDIO, obstacles=(DraftObstacle("shelf", 1, "soon", "0", "1", "1"),)),
            "obstacle 1: along must be a length such as 4200 mm, 4.2 m or 13' 9 1/2\", got 'soon', which has no "
            "number.",
        ),
    ],
)
def test_what_is_no_room_yet_is_told_with_its_reason(draft, fault):
    with pytest.raises(FaultsError) as caught:
        room_of_draft(draft)
    assert fault in caught.value.faults


def test_every_fault_of_a_draft_gone_round_the_other_way_is_told():
    walls = (DraftWall("x", -90.0), DraftWall("2920", -90.0), DraftWall("y", -90.0), DraftWall("2920", -90.0))
    with pytest.raises(FaultsError) as caught:
        room_of_draft(Draft(name="Den", walls=walls))
    assert [fault.split(" must")[0] for fault in caught.value.faults] == ["wall 1: length", "wall 3: length"]


def test_a_survey_is_not_saved_where_it_would_not_be_read_back(tmp_path):
    path = tmp_path / "studio.toml"
    path.write_text("name = 'old'\n")
    with pytest.raises(FaultsError):
        write_survey(replace(STUDIO, walls=STUDIO.walls[:3]), path)
    assert path.read_text() == "name = 'old'\n"
    with pytest.raises(ValueError) as caught:
        write_survey(STUDIO, tmp_path / "studio.txt")
    assert str(caught.value) == f"{tmp_path}/studio.txt: the survey was not saved: its name must end in .toml."


def test_a_file_of_several_rooms_is_not_guessed_from(tmp_path):
    with pytest.raises(FaultsError, match="the file holds 2 rooms; one is measured at a time"):
        read_draft(fk.demo_path("survey_example.toml"))


@pytest.mark.parametrize("draft", [Draft(), STUDIO, replace(STUDIO, walls=(DraftWall("not a length yet"),))])
def test_however_little_of_a_room_it_is_a_draft_is_kept_and_comes_back(draft, tmp_path):
    keep_draft(draft, tmp_path / "kept.json")
    assert kept_draft(tmp_path / "kept.json") == draft


@pytest.mark.parametrize("name", DEMO_ROOMS)
def test_a_demo_draft_is_kept_with_all_that_is_not_shown(name, tmp_path):
    draft = read_draft(fk.demo_path("rooms", f"{name}.toml"))
    keep_draft(draft, tmp_path / "kept.json")
    assert survey_table(kept_draft(tmp_path / "kept.json")) == survey_table(draft)


@pytest.mark.parametrize("content", ["", "{", "[]", '{"walls": 3}', json.dumps({"name": 4})])
def test_a_kept_file_that_is_no_draft_is_refused_in_words(content, tmp_path):
    path = tmp_path / "kept.json"
    path.write_text(content)
    with pytest.raises(FaultsError, match="this is no room being measured"):
        kept_draft(path)
