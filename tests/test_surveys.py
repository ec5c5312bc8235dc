"""Surveys: what is read, what is refused, and every word a user can meet on the way."""

import math
import random
import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flooring_kit.checks import FaultsError
from flooring_kit.files import demo_path, read_room, read_rooms
from flooring_kit.files.survey_shape import WORDINGS, RoomTable, check_shape
from flooring_kit.room import Appliance, Door, FloorBeyond, Leaf, Level, Obstacle, Pipe, Room, Straightedge

SQUARE = 'name = "Den"\noutline = [[0, 0], [4200, 0], [4200, 2920], [0, 2920]]\n'
ROOM_KEYS = (
    "name, units, outline, wall, tie, edge, obstacle, pipe, door, level, straightedge, appliance, subfloor, heated, "
    "wet, boards_run, floorboards_run, main_light, below, old_covering, old_covering_resistance"
)
DOOR_KEYS = (
    "wall, from_corner, opening, recess, undercut, architrave, name, beyond, beyond_height, leaf_clearance, "
    "leaf_wanted, leaf_swings, leaf_high_spot, fire_door"
)


@pytest.fixture
def survey(tmp_path, monkeypatch):
    """Writes a survey beside the current folder, so that messages name it as typed: den.toml."""
    monkeypatch.chdir(tmp_path)

    def write(content):
        data = content if isinstance(content, bytes) else content.encode()
        (tmp_path / "den.toml").write_bytes(data)
        return "den.toml"

    return write


def report(path):
    """The whole message that refuses a file."""
    with pytest.raises(FaultsError) as refusal:
        read_rooms(path)
    return str(refusal.value)


def den(*faults):
    """The message that names these faults of den.toml."""
    count = f"{len(faults)} fault{'s' if len(faults) != 1 else ''}"
    return "\n".join([f"den.toml: {count} found, nothing was read.", *(f"  - {fault}" for fault in faults)])


# --- what is read -----------------------------------------------------------------------------------------


def test_every_key_of_a_survey_reaches_the_room(survey):
    path = survey(
        SQUARE + 'subfloor = "screed"\nheated = true\nboards_run = 90\n'
        '[[obstacle]]\nname = "column"\nkind = "column"\n'
        "outline = [[1000, 1000], [1300, 1000], [1300.5, 1300]]\n"
        "[[pipe]]\nat = [3100, 60]\ndiameter = 22\n"
        '[[door]]\nname = "to the hall"\nwall = 1\nfrom_corner = 520\nopening = 762\nrecess = 60\n'
        "undercut = false\narchitrave = 45\n"
    )
    assert read_room(path) == Room(
        name="Den",
        outline=((0, 0), (4200, 0), (4200, 2920), (0, 2920)),
        obstacles=(Obstacle("column", ((1000, 1000), (1300, 1000), (1300.5, 1300)), "column"),),
        pipes=(Pipe((3100, 60), 22),),
        doors=(Door(1, 520, 762, 60, False, 45, "to the hall"),),
        subfloor="screed",
        heated=True,
        boards_run=90.0,
    )


def test_keys_left_out_take_the_defaults_of_the_room_and_its_parts(survey):
    path = survey(
        SQUARE + "[[pipe]]\nat = [3100, 60]\n[[door]]\nwall = 2\nfrom_corner = 100\nopening = 762\n"
        "[[obstacle]]\noutline = [[0, 0], [300, 0], [0, 300]]\n"
    )
    assert read_room(path) == Room(
        name="Den",
        outline=((0, 0), (4200, 0), (4200, 2920), (0, 2920)),
        obstacles=(Obstacle("obstacle 1", ((0, 0), (300, 0), (0, 300))),),
        pipes=(Pipe((3100, 60)),),
        doors=(Door(2, 100, 762),),
    )


def test_a_set_of_rooms_is_read_in_order_and_one_is_picked_by_name(survey):
    second = SQUARE.replace("Den", "Loft") + "[[room.door]]\nwall = 1\nfrom_corner = 500\nopening = 762\n"
    path = survey(f"[[room]]\n{SQUARE}[[room]]\n{second}")
    rooms = read_rooms(path)
    assert list(rooms) == ["Den", "Loft"]
    assert read_room(path, name="Loft") == rooms["Loft"]
    assert rooms["Loft"].doors == (Door(1, 500, 762),)


def test_a_set_of_one_room_needs_no_name(survey):
    assert read_room(survey(f"[[room]]\n{SQUARE}")).name == "Den"


def test_a_room_may_be_taken_either_way_round_and_far_from_the_origin(survey):
    path = survey('name = "Den"\noutline = [[-9000, 50], [-9000, 3050], [-5000, 3050], [-5000, 50]]')
    assert read_room(path).turns_clockwise
    assert read_room(path).polygon.area == 4000 * 3000


def test_a_byte_order_mark_and_windows_line_ends_are_read(survey):
    assert read_room(survey(b"\xef\xbb\xbf" + SQUARE.replace("\n", "\r\n").encode())).name == "Den"


def test_an_obstacle_that_touches_or_crosses_a_wall_is_kept(survey):
    path = survey(
        SQUARE + "[[obstacle]]\noutline = [[-200, 500], [300, 500], [300, 900], [-200, 900]]\n"
        "[[obstacle]]\noutline = [[4200, 500], [4500, 500], [4500, 900], [4200, 900]]\n"
    )
    assert len(read_room(path).obstacles) == 2


def test_a_door_may_fill_its_wall_and_two_may_meet(survey):
    path = survey(
        SQUARE + "[[door]]\nwall = 1\nfrom_corner = 0\nopening = 2100\n"
        "[[door]]\nwall = 1\nfrom_corner = 2100\nopening = 2100\n"
    )
    assert [door.from_corner_mm for door in read_room(path).doors] == [0, 2100]


# --- which room of a set ------------------------------------------------------------------------------------


def test_a_set_without_a_name_lists_its_rooms(survey):
    path = survey(f"[[room]]\n{SQUARE}[[room]]\n{SQUARE.replace('Den', 'Loft')}")
    with pytest.raises(FaultsError) as refusal:
        read_room(path)
    assert str(refusal.value) == den("the file holds 2 rooms: 'Den', 'Loft'. Say which with name=...")


def test_a_name_that_no_room_has_is_refused_with_the_nearest(survey):
    path = survey(f"[[room]]\n{SQUARE}[[room]]\n{SQUARE.replace('Den', 'Loft')}")
    with pytest.raises(ValueError, match=r"den\.toml") as refusal:
        read_room(path, name="loft")
    assert str(refusal.value) == "den.toml: name must be one of Den, Loft, got 'loft'. Did you mean 'Loft'?"
    with pytest.raises(ValueError, match=r"den\.toml") as refusal:
        read_room(path, name="attic")
    assert str(refusal.value) == "den.toml: name must be one of Den, Loft, got 'attic'."


def test_a_room_looked_up_by_a_name_that_none_has_is_told_with_the_names_there_are(survey):
    rooms = read_rooms(survey(f"[[room]]\n{SQUARE}[[room]]\n{SQUARE.replace('Den', 'Loft')}"))
    with pytest.raises(ValueError) as refusal:
        rooms["loft"]
    assert str(refusal.value) == "There is no room 'loft'. There are: Den, Loft. Did you mean 'Loft'?"


# --- one corner in metres -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("corners", "faults"),
    [
        (
            "[[0, 0], [4200, 0], [4200, 2.92], [0, 2920]]",
            ["corner 3: y 2.92 mm looks like metres: write 2920 for 2.92 m."],
        ),
        (
            "[[0, 0], [4.2, 0], [4200, 2920], [0, 2920]]",
            ["corner 2: x 4.2 mm looks like metres: write 4200 for 4.2 m."],
        ),
        (
            "[[0, 0], [4200, 0], [4.2, 2.92], [0, 2920]]",
            [
                "corner 3: x 4.2 mm looks like metres: write 4200 for 4.2 m.",
                "corner 3: y 2.92 mm looks like metres: write 2920 for 2.92 m.",
            ],
        ),
        (
            "[[0, 0], [4200, 0], [4200, -2.92], [0, -2920]]",
            ["corner 3: y -2.92 mm looks like metres: write -2920 for -2.92 m."],
        ),
    ],
    ids=["y", "x", "both", "below"],
)
def test_one_corner_in_metres_among_others_in_mm_is_told(survey, corners, faults):
    assert report(survey(f'name = "Den"\noutline = {corners}\n')) == den(*faults)


@pytest.mark.parametrize(
    "corners",
    [
        "[[0, 0], [4200, 3], [4200, 3000], [0, 3000]]",  # a wall 3 mm out of true in a room 3 m deep
        "[[4, 0], [4204, 0], [4200, 2920], [0, 2920]]",
        "[[0, 0], [4200, 0], [4200, 5], [4206, 5], [4206, 2920], [0, 2920]]",  # a nib of 6 mm by 5
    ],
)
def test_a_corner_a_few_mm_off_a_line_is_a_wall_out_of_true(survey, corners):
    assert read_room(survey(f'name = "Den"\noutline = {corners}\n')).name == "Den"


# --- files that are no survey -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("content", "fault"),
    [
        ("", "the file is empty. A survey gives at least name and outline."),
        (" \n", "the file is empty. A survey gives at least name and outline."),
        (
            'name = "Den"\noutline = [[0, 0] [1, 1]]\n',
            "this is not TOML: Unclosed array (at line 2, column 19). "
            "Look there for a missing quote, comma or bracket.",
        ),
        (
            'name = "Den"\nname = "Loft"\n',
            "this is not TOML: Cannot overwrite a value (at line 2, column 14). A key is given twice.",
        ),
        ("a = " + "[" * 5000, "this is not a survey: its brackets are nested too deeply."),
        (
            'name = "Den"\na' + ".a" * 900_000 + " = 1",
            "this is not a survey: line 2 holds a name of more than 30 parts.",
        ),
        ("a = " + "9" * 5000, "this is not a survey: a number in it has too many digits."),
        (
            'name = "Den"\nx = "\xe9"'.encode("latin-1"),
            "line 2 is not UTF-8 text (byte 0xe9). Save the file again as UTF-8.",
        ),
        (SQUARE.encode("utf-16"), "the text is in UTF-16. Save the file again as UTF-8."),
        (b'name = "Den"\n\0', "line 2 holds a NUL byte, so this is not a text file."),
        (
            b"PK\x03\x04 and so on",
            "this is a workbook or another packed file, not text. Export the sheet as CSV, UTF-8.",
        ),
        (
            b"#" * 2_000_001,
            "the file must be at most 2 MB. Surveys and product tables are far smaller.",
        ),
        ("room = 3\n", "room must be written [[room]], with double brackets, once for each room."),
        ("room = []\n", "room must be written [[room]], with double brackets, once for each room."),
        (f"[room]\n{SQUARE}", "room must be written [[room]], with double brackets, once for each room."),
    ],
)
def test_a_file_that_is_no_survey_is_refused_in_one_sentence(survey, content, fault):
    assert report(survey(content)) == den(fault)


def test_a_missing_file_is_named_with_the_nearest_in_its_folder(survey):
    survey(SQUARE)
    with pytest.raises(FileNotFoundError) as missing:
        read_room("dne.toml")
    assert str(missing.value) == "dne.toml: there is no such file. Nearest in that folder: den.toml."
    with pytest.raises(FileNotFoundError) as missing:
        read_room("kitchen")
    assert str(missing.value) == "kitchen: there is no such file. The folder holds den.toml."
    with pytest.raises(FileNotFoundError) as missing:
        read_room("rooms/den.toml")
    assert str(missing.value) == "rooms/den.toml: there is no folder rooms."


def test_a_folder_is_refused_with_what_it_holds(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "rooms").mkdir()
    (tmp_path / "full").mkdir()
    for letter in "abcdefghij":
        (tmp_path / "full" / f"{letter}.toml").touch()
    assert report("rooms") == (
        "rooms: 1 fault found, nothing was read.\n  - this is a folder, not a file. It holds no files."
    )
    assert report("full") == (
        "full: 1 fault found, nothing was read.\n  - this is a folder, not a file. The folder holds "
        "a.toml, b.toml, c.toml, d.toml, e.toml, f.toml, g.toml, h.toml and 2 more."
    )


def test_a_device_is_refused_unread():
    assert report("/dev/null") == (
        "/dev/null: 1 fault found, nothing was read.\n  - this is a device or a pipe, not a file."
    )


def test_a_path_the_system_will_not_open_is_refused_in_words():
    name = "x" * 5000
    assert report(name) == (
        f"{name}: 1 fault found, nothing was read.\n  - the file can't be opened: File name too long."
    )


# --- shape --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("content", "faults"),
    [
        (
            "heated = false\n",
            [
                "name is missing.",
                "outline is missing. Give the corners in order: "
                "outline = [[0, 0], [4200, 0], [4200, 2920], [0, 2920]].",
            ],
        ),
        (SQUARE.replace('"Den"', "7"), ["name must be text in quotes, got 7."]),
        (SQUARE.replace('"Den"', "1979-05-27"), ["name must be text in quotes, got 1979-05-27."]),
        (SQUARE.replace("Den", " "), ["name must be one line of 1 to 80 characters, got ' '."]),
        (SQUARE.replace("Den", r"D\nen"), [r"name must be one line of 1 to 80 characters, got 'D\nen'."]),
        (
            SQUARE.replace("Den", "D" * 81),
            [f"name must be one line of 1 to 80 characters, got '{'D' * 56}...."],
        ),
        ('name = "Den"\noutline = 5', ["outline must be a list of corners [[x, y], ...] in mm, got 5."]),
        (
            'name = "Den"\noutline = {}',
            ["outline must be a list of corners [[x, y], ...] in mm, got a table."],
        ),
        (
            'name = "Den"\noutline = [[0, 0], ["4200", 0], [4200, nan], [0, true], [1], 6, [1, 2, 3], [inf, "a"]]',
            [
                "corner 2: x must be a number in mm, got '4200'. Write it without quotes.",
                "corner 3: y must be a finite number, got nan.",
                "corner 4: y must be a number in mm, got true.",
                "corner 5 must be a pair [x, y] in mm, got [1].",
                "corner 6 must be a pair [x, y] in mm, got 6.",
                "corner 7 must be a pair [x, y] in mm, got [1, 2, 3].",
                "corner 8: x must be a finite number, got inf.",
                "corner 8: y must be a number in mm, got 'a'.",
            ],
        ),
        (
            f'name = "Den"\noutline = [[0, 0], [0x{"F" * 9000}, 0], [1, 700000], [[1], 2, 3, 4, 5]]',
            [
                "corner 2: x must be a number in mm, got a whole number too large to read.",
                "corner 3: y must be -500000 to 500000 mm, got 700000 mm.",
                "corner 4 must be a pair [x, y] in mm, got a list of 5.",
            ],
        ),
        (
            f'name = "Den"\noutline = {[[i, 0] for i in range(501)]}',
            ["outline must have at most 500 corners, got more."],
        ),
        (
            SQUARE + 'subfloor = "concrte"\nheated = "true"\nboards_run = "longest"\n',
            [
                "subfloor must be one of concrete, screed, timber, got 'concrte'. Did you mean 'concrete'?",
                "heated must be true or false, got 'true'. Leave the quotes out.",
                'boards_run must be "long", "short" or degrees from -360 to 360, got \'longest\'. '
                "Did you mean 'long'?",
            ],
        ),
        (
            SQUARE + "subfloor = 1\nheated = 1\nboards_run = nan\n",
            [
                "subfloor must be text in quotes, got 1.",
                "heated must be true or false, got 1.",
                'boards_run must be "long", "short" or degrees from -360 to 360, got nan degrees.',
            ],
        ),
        (
            SQUARE + "boards_run = 400\n",
            ['boards_run must be "long", "short" or degrees from -360 to 360, got 400 degrees.'],
        ),
        (
            SQUARE + "boards_run = true\n",
            ['boards_run must be "long", "short" or degrees from -360 to 360, got true.'],
        ),
        (
            SQUARE + "heatd = true\npaint = 1\n",
            [
                "'heatd' is not a key of a room. Did you mean 'heated'?",
                f"'paint' is not a key of a room. Known keys: {ROOM_KEYS}.",
            ],
        ),
        (
            SQUARE + "colour = 1\nheating = 1\n",
            [
                f"'colour' is not a key of a room. Known keys: {ROOM_KEYS}.",
                f"'heating' is not a key of a room. Known keys: {ROOM_KEYS}.",
            ],
        ),
        (
            SQUARE + "[door]\nwall = 1\n",
            ["door must be written [[door]], with double brackets, got a table. A single [...] is one table only."],
        ),
        (
            SQUARE + "pipe = 3\nobstacle = [4]\n",
            [
                "obstacle 1 must be a table of keys, got 4.",
                "pipe must be written [[pipe]], with double brackets, got 3.",
            ],
        ),
        (
            SQUARE + "[[pipe]]\nat = [3.1]\ndiameter = 1.5\n[[pipe]]\ndiameter = 0.015\n"
            '[[pipe]]\nat = "here"\ndiameter = 250\n',
            [
                "pipe 1: at must be a pair [x, y] in mm, got [3.1].",
                "pipe 1: diameter must be 4 to 200 mm, got 1.5 mm. This looks like centimetres: write 15 for 1.5 cm.",
                "pipe 2: at is missing. Give the centre: at = [3100, 60].",
                "pipe 2: diameter must be 4 to 200 mm, got 0.015 mm. This looks like metres: write 15 for 0.015 m.",
                "pipe 3: at must be a pair [x, y] in mm, got 'here'.",
                "pipe 3: diameter must be 4 to 200 mm, got 250 mm.",
            ],
        ),
        (
            SQUARE + '[[obstacle]]\nname = ""\nkind = "iland"\noutline = [[0, nan], [9, 9]]\n',
            [
                "obstacle 1: corner 1: y must be a finite number, got nan.",
                "obstacle 1: name must be one line of 1 to 80 characters, got ''.",
                "obstacle 1: kind must be one of fixed, hearth, island, unit, wardrobe, column, stairs, got 'iland'. "
                "Did you mean 'island'?",
                "obstacle 1: outline must have at least 3 corners, got 2.",
            ],
        ),
        (
            SQUARE + "[[door]]\nheated = true\nopenning = 762\ncolour = 1\n",
            [
                "door 1: wall is missing.",
                "door 1: from_corner is missing.",
                "door 1: opening is missing.",
                "door 1: 'heated' is not a key of a door. It belongs to the room: move it above the first [[door]].",
                "door 1: 'openning' is not a key of a door. Did you mean 'opening'?",
                f"door 1: 'colour' is not a key of a door. Known keys: {DOOR_KEYS}.",
            ],
        ),
        (
            SQUARE + "[[door]]\nwall = 1.5\nfrom_corner = -5\nopening = 76.2\nrecess = 0.038\nundercut = 0\n"
            "[[door]]\nwall = 0\nfrom_corner = 2.5\nopening = 0.762\narchitrave = 0.07\n"
            '[[door]]\nwall = "1"\nfrom_corner = "a"\nopening = 7000\nrecess = 1200\n'
            f"[[door]]\nwall = -{'9' * 4000}\nfrom_corner = 500\nopening = 30.0e9\n",
            [
                "door 1: wall must be a whole number, got 1.5.",
                "door 1: from_corner must be 0 to 100000 mm, got -5 mm.",
                "door 1: opening must be 300 to 6000 mm, got 76.2 mm. "
                "This looks like centimetres: write 762 for 76.2 cm.",
                "door 1: recess must be 0, or 1 to 1000 mm, got 0.038 mm. "
                "This looks like metres: write 38 for 0.038 m.",
                "door 1: undercut must be true or false, got 0.",
                "door 2: wall must be a whole number from 1 to 4, got 0. Wall 1 runs from corner 1 to corner 2.",
                "door 2: from_corner must be 0, or 10 to 100000 mm, got 2.5 mm. "
                "This looks like metres: write 2500 for 2.5 m.",
                "door 2: opening must be 300 to 6000 mm, got 0.762 mm. This looks like metres: write 762 for 0.762 m.",
                "door 2: architrave must be 0, or 1 to 300 mm, got 0.07 mm. "
                "This looks like metres: write 70 for 0.07 m.",
                "door 3: wall must be a whole number, got '1'. Write it without quotes.",
                "door 3: from_corner must be a number in mm, got 'a'.",
                "door 3: opening must be 300 to 6000 mm, got 7000 mm.",
                "door 3: recess must be 0 to 1000 mm, got 1200 mm.",
                "door 4: wall must be a whole number from 1 to 4, got a whole number too large to read. "
                "Wall 1 runs from corner 1 to corner 2.",
                "door 4: opening must be 300 to 6000 mm, got 30000000000 mm.",
            ],
        ),
        (
            'name = "Den"\n[[wall]]\nlength = 4200\nturn = 90\n[[tie]]\ncorners = [1, 3]\nlength = 5116\n',
            ["a room has at least 3 walls, got 1. List them in order round the room."],
        ),
        (
            SQUARE + "[[wall]]\nlength = 4200\n",
            ["outline and [[wall]] stand in one room. Give the corners or the walls as taped, not both."],
        ),
        (
            SQUARE + "[[tie]]\ncorners = [1, 3]\nlength = 5116\n",
            ["[[tie]] stands beside outline. A tie belongs to walls as taped: list them in order as [[wall]]."],
        ),
        (
            'name = "Den"\n[[tie]]\ncorners = [1, 3]\nlength = 5116\n',
            [
                "outline is missing. Give the corners in order: "
                "outline = [[0, 0], [4200, 0], [4200, 2920], [0, 2920]]. A [[tie]] alone gives no room: "
                "list the walls in order as [[wall]]."
            ],
        ),
        (
            SQUARE
            + "[[edge]]\nwall = 5\n[[edge]]\nwall = 1\nrise = 2101\n[[edge]]\nwall = 1\n"
            + "[[edge]]\nwall = 3\nbow = [[1400, 9], [1300, 14], [2800, 301]]\n[[edge]]\nwall = 2\nkind = 'skirt'\n"
            + "[[edge]]\nwall = 4\nrise = 100\nbow = [[900, 4]]\n",
            [
                "edge 5: kind must be one of skirting, plinth, end panel, hearth, sill, stair riser, got 'skirt'. "
                "Did you mean 'skirting'?",
                "edge 1: wall must be from 1 to 4, got 5. The outline has 4 walls.",
                "edge 2: rise must be at most half of wall 1, 2100 mm, got 2101 mm. More is not one arc: give corners "
                "between.",
                "edge 3: wall 1 has an edge already. Give each wall one [[edge]].",
                "edge 4: bow reading 2 must lie between 1400 and 4200 mm along wall 3, got 1300 mm. Give the readings "
                "in order from corner 3; the corners themselves are 0.",
                "edge 4: bow reading 3 must be within 300 mm of the string, got 301 mm.",
                "edge 6: rise and bow stand together. "
                "Give an arc's rise or the readings along a string line, not both.",
            ],
        ),
        (
            'name = "Den"\nunits = "yd"\n' + SQUARE.split("\n", 1)[1],
            ["units must be one of mm, cm, m, in, ft, got 'yd'."],
        ),
        (
            'name = "Den"\noutline = [[0, 0], ["13\' 14\\"", 0], ["4,200 m", 2920], [0, "2920 mn"]]\n',
            [
                "corner 2: x must have less than 12 inches beside feet, got “13' 14\"”.",
                "corner 3: x must not have a comma that can be read two ways, got '4,200 m': it could be 4200 m or "
                "4.2 m.",
                "corner 4: y must be in mm, cm, m, in or ft, got '2920 mn' with the word 'mn'.",
            ],
        ),
    ],
)
def test_every_fault_of_shape_is_reported_at_once_in_our_words(survey, content, faults):
    assert report(survey(content)) == den(*faults)


# --- geometry -----------------------------------------------------------------------------------------


def outline(*corners):
    return f'name = "Den"\noutline = {[list(corner) for corner in corners]}\n'


@pytest.mark.parametrize(
    ("content", "faults"),
    [
        (
            outline((0, 0), (4.2, 0), (4.2, 2.92), (0, 2.92)),
            [
                "outline: the longer side of the room must be 1000 to 100000 mm overall, got 4.2 mm. "
                "This looks like metres: write 4200 for 4.2 m."
            ],
        ),
        (
            outline((0, 0), (420, 0), (420, 380), (0, 380)),
            [
                "outline: the longer side of the room must be 1000 to 100000 mm overall, got 420 mm. "
                "This looks like centimetres: write 4200 for 420 cm."
            ],
        ),
        (
            outline((0, 0), (0.2, 0), (0.2, 0.1)),
            ["outline: the longer side of the room must be 1000 to 100000 mm overall, got 0.2 mm."],
        ),
        (
            outline((0, 0), (4200, 0), (4200, 250), (0, 250)),
            ["outline: the shorter side of the room must be 300 to 100000 mm overall, got 250 mm."],
        ),
        (
            outline((0, 0), (420000, 0), (420000, 292000)),
            [
                "outline: the longer side of the room must be 300 to 100000 mm overall, got 420000 mm.",
                "outline: the shorter side of the room must be 300 to 100000 mm overall, got 292000 mm.",
            ],
        ),
        (outline((0, 0), (4200, 0)), ["outline must have at least 3 corners, got 2."]),
        (outline(), ["outline must have at least 3 corners, got 0."]),
        (
            outline((0, 0), (4200, 0), (4200, 2920), (0, 2920), (0, 0)),
            ["corner 5 repeats corner 1, both at [0, 0] mm. The outline closes by itself: leave the last corner out."],
        ),
        (
            outline((0, 0), (4200, 0), (4200, 2920), (4200, 2920), (0, 2920)),
            ["corner 4 repeats corner 3, both at [4200, 2920] mm. Leave one of the two out."],
        ),
        (
            outline((0, 0), (2000, 0), (4000, 1000), (4000, -1000), (2000, 0), (0, -2000)),
            ["corner 5 repeats corner 2, both at [2000, 0] mm. An outline may not pass one point twice."],
        ),
        (
            outline((0, 0), (4200, 0), (4200, 0.4), (2000, 0.4), (2000, 2920), (0, 2920)),
            ["wall 2 must be at least 1 mm long, got 0.4 mm. Leave one of its corners out."],
        ),
        (
            outline((0, 0), (4200, 0), (8400, 0)),
            ["outline encloses nothing: all its corners lie on one line."],
        ),
        (
            # corners 3 and 4 swapped: the two diagonals cross in the middle, at half of 4200 and of 2920
            outline((0, 0), (4200, 0), (0, 2920), (4200, 2920)),
            [
                "outline crosses or touches itself: walls 2 and 4 near (2100, 1460) mm. "
                "Check the order of the corners there."
            ],
        ),
        (
            # wall 3 runs back along wall 2, over its last 500 mm; wall 4 then starts on wall 2
            outline((0, 0), (4200, 0), (4200, 3500), (4200, 3000), (0, 2920)),
            [
                "outline crosses or touches itself: walls 2 and 3 near (4200, 3000) mm; "
                "walls 2 and 4 near (4200, 3000) mm. "
                "Check the order of the corners there."
            ],
        ),
        (
            # a saw blade drawn over wall 1: five teeth cross it
            outline(
                (0, 0),
                (5000, 0),
                (4500, -400),
                (4000, 400),
                (3500, -400),
                (3000, 400),
                (2500, -400),
                (0, 900),
            ),
            [
                "outline crosses or touches itself: walls 1 and 3 near (4250, 0) mm; walls 1 and 4 near "
                "(3750, 0) mm; walls 1 and 5 near (3250, 0) mm; and more. "
                "Check the order of the corners there."
            ],
        ),
        (
            # a channel 1 mm wide measured along x, 7000 mm long measured along y: 7000 mm²
            outline((0, 0), (7000, 7000), (6999, 7000), (0, 1)),
            ["outline must enclose at least 0.01 m² of floor, got 0.0070 m². Check the corners."],
        ),
    ],
)
def test_an_outline_that_cannot_be_a_room_is_refused(survey, content, faults):
    assert report(survey(content)) == den(*faults)


@pytest.mark.parametrize(
    ("content", "faults"),
    [
        (
            "[[obstacle]]\noutline = [[9000, 0], [9100, 0], [9000, 100]]\n",
            ["obstacle 1: it lies wholly outside the room, 4800 mm away. Check its corners."],
        ),
        (
            "[[obstacle]]\noutline = [[1, 1], [1.9, 1], [1.9, 2]]\n",
            [
                "obstacle 1: its longer side must be at least 10 mm overall, got 1 mm. "
                "This looks like metres: write 1000 for 1 m."
            ],
        ),
        (
            "[[obstacle]]\noutline = [[-1, -1], [9000, -1], [9000, 9000], [-1, 9000]]\n",
            ["obstacle 1: it covers the whole room, so no floor is left. Check its corners."],
        ),
        (
            "[[obstacle]]\noutline = [[100, 100], [900, 900], [900, 100], [100, 900]]\n"
            "[[obstacle]]\noutline = [[100, 100], [900, 100], [100, 100]]\n",
            [
                "obstacle 1: outline crosses or touches itself: sides 1 and 3 near (500, 500) mm. "
                "Check the order of the corners there.",
                "obstacle 2: corner 3 repeats corner 1, both at [100, 100] mm. "
                "The outline closes by itself: leave the last corner out.",
                "obstacle 2: outline encloses nothing: all its corners lie on one line.",
            ],
        ),
        (
            "[[pipe]]\nat = [-100, 50]\n",
            ["pipe 1: at [-100, 50] mm lies outside the room, 100 mm from it. Check the two figures."],
        ),
        (
            "[[pipe]]\nat = [3.1, 0.06]\n",
            ["pipe 1: at [3.1, 0.06] mm lies in the wall. This looks like metres: write [3100, 60]."],
        ),
        (
            "[[door]]\nwall = 5\nfrom_corner = 500\nopening = 762\n",
            ["door 1: wall must be from 1 to 4, got 5. The outline has 4 walls."],
        ),
        (
            "[[door]]\nwall = 1\nfrom_corner = 3600\nopening = 762\n",
            [
                "door 1: from_corner 3600 mm + opening 762 mm = 4362 mm, but wall 1 is 4200 mm long. "
                "Measure from corner 1 to the near side of the opening."
            ],
        ),
        (
            "[[door]]\nwall = 4\nfrom_corner = 0\nopening = 3000\n",
            ["door 1: opening 3000 mm is wider than wall 4, which is 2920 mm long. Check the wall number."],
        ),
        (
            "[[door]]\nwall = 1\nfrom_corner = 1200\nopening = 762\n"
            "[[door]]\nwall = 3\nfrom_corner = 1200\nopening = 762\n"
            "[[door]]\nwall = 1\nfrom_corner = 520\nopening = 762\n",
            ["doors 3 and 1 overlap on wall 1: door 3 ends at 1282 mm, door 1 starts at 1200 mm."],
        ),
    ],
)
def test_what_does_not_fit_the_room_is_refused_with_the_figures(survey, content, faults):
    assert report(survey(SQUARE + content)) == den(*faults)


def test_faults_of_shape_and_of_geometry_come_in_one_report(survey):
    path = survey(
        'name = 3\noutline = [[0, 0], [4200, 0], [4200, 2920], [0, 2920]]\nheated = "no"\n'
        "[[pipe]]\nat = [9000, 0]\ndiameter = true\n"
        "[[door]]\nwall = 9\nfrom_corner = nan\nopening = 762\n"
        "[[door]]\nwall = 2\nfrom_corner = 2500\nopening = 762\nrecess = -1\n"
    )
    assert report(path) == den(
        "name must be text in quotes, got 3.",
        "pipe 1: diameter must be a number in mm, got true.",
        "door 1: from_corner must be a finite number, got nan.",
        "door 2: recess must be 0 to 1000 mm, got -1 mm.",
        "heated must be true or false, got 'no'.",
        "pipe 1: at [9000, 0] mm lies outside the room, 4800 mm from it. Check the two figures.",
        "door 1: wall must be from 1 to 4, got 9. The outline has 4 walls.",
        "door 2: from_corner 2500 mm + opening 762 mm = 3262 mm, but wall 2 is 2920 mm long. "
        "Measure from corner 2 to the near side of the opening.",
    )


def test_a_bad_corner_does_not_hide_doors_on_walls_that_are_not_there(survey):
    path = survey(
        'name = "Den"\noutline = [[0, 0], [4200, nan], [4200, 2920]]\n'
        "[[door]]\nwall = 4\nfrom_corner = 0\nopening = 762\n"
    )
    assert report(path) == den(
        "corner 2: y must be a finite number, got nan.",
        "door 1: wall must be from 1 to 3, got 4. The outline has 3 walls.",
    )


def test_wrong_units_are_one_fault_not_a_fault_for_each_consequence(survey):
    path = survey(
        outline((0, 0), (4.2, 0), (4.2, 0.5), (4.0, 0.5), (4.0, 2.92), (0, 2.92))
        + "[[pipe]]\nat = [3100, 60]\n[[door]]\nwall = 1\nfrom_corner = 520\nopening = 762\n"
    )
    assert report(path) == den(
        "outline: the longer side of the room must be 1000 to 100000 mm overall, got 4.2 mm. "
        "This looks like metres: write 4200 for 4.2 m."
    )


def test_faults_in_a_set_name_the_room(survey):
    path = survey(
        f'title = "House"\n[[room]]\n{SQUARE}heated = 1\n[[room]]\nname = ""\n[[room]]\n{SQUARE}[[door]]\nwall = 1\n'
    )
    assert report(path) == den(
        "'title' stands beside [[room]]. A file holds one room at the top level, "
        "or a set of [[room]] tables, not both.",
        "[[door]] stands beside [[room]]. In a set write [[room.door]] below its room.",
        "room 1 ('Den'): heated must be true or false, got 1.",
        "room 2: name must be one line of 1 to 80 characters, got ''.",
        "room 2: outline is missing. Give the corners in order: "
        "outline = [[0, 0], [4200, 0], [4200, 2920], [0, 2920]].",
        "rooms 1 and 3 are both named 'Den'. Give each its own name.",
    )


# --- the reader and the dataclasses say the same ------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "field", "low", "high"),
    [
        ("opening", "opening_mm", 300, 6000),
        ("recess", "recess_mm", 0, 1000),
        ("architrave", "architrave_mm", 0, 300),
        ("from_corner", "from_corner_mm", 0, 100_000),
    ],
)
def test_the_reader_allows_a_door_just_what_the_door_itself_allows(key, field, low, high):
    table = {"name": "Den", "outline": [[0, 0], [90_000, 0], [0, 90_000]]}
    sound = {"wall": 2, "from_corner": 500, "opening": 762}
    door = Door(2, 500, 762)
    for value in (low, high):
        assert not check_shape({**table, "door": [{**sound, key: value}]}).faults
        assert getattr(replace(door, **{field: value}), field) == value
    for value in (low - 0.5, high + 0.5):
        assert check_shape({**table, "door": [{**sound, key: value}]}).faults
        with pytest.raises(ValueError, match="must be"):
            replace(door, **{field: value})


def test_every_error_type_these_tables_can_meet_has_our_wording():
    """The types are read from pydantic's own schema of the tables, so that a new kind of field is noticed."""
    by_schema = {
        "model": {"model_type"},
        "model-fields": {"missing", "extra_forbidden"},
        "float": {"float_type", "finite_number"},
        "int": {"int_type"},
        "str": {"string_type"},
        "bool": {"bool_type"},
        "list": {"list_type", "too_short", "too_long"},
        "function-after": {"value_error"},
        "function-plain": {"value_error"},
        "any": set(),
        "default": set(),
        "nullable": set(),
        "model-field": set(),
        "definitions": set(),
        "definition-ref": set(),
    }

    def kinds(node):
        if isinstance(node, dict):
            if isinstance(node.get("type"), str):
                yield node["type"]
            for key, value in node.items():
                if key not in ("metadata", "serialization", "default"):
                    yield from kinds(value)
        elif isinstance(node, list | tuple):
            for value in node:
                yield from kinds(value)

    met = {kind for kind in kinds(RoomTable.__pydantic_core_schema__) if not kind.startswith(("no-info", "with-info"))}
    assert met <= set(by_schema)
    assert set().union(*(by_schema[kind] for kind in met)) == set(WORDINGS)


# --- whatever the bytes -------------------------------------------------------------------------------

NASTY = [
    "nan", "-inf", "1e400", "-1", "0", "4.2", "0.0001", "true", '""', "'a'", "[]", "{}", "[[1]]", "[1, 2]",
    "9" * 30, "0x" + "f" * 5000, "1979-05-27", "07:32:00",
    "1e-300", "1e300", '"long"', "[{}]", "room", "[[room]]",
    "[[door]]", "[[wall]]", "=", "#", '"', "\\u0000", "é", "\0", "6000", "2790.0000001", "",
]  # fmt: skip
RICH = (
    SQUARE + 'subfloor = "screed"\nheated = true\nboards_run = 90\n[[obstacle]]\nname = "column"\n'
    'kind = "column"\noutline = [[1000, 1000], [1300, 1000], [1300.5, 1300]]\n'
    '[[pipe]]\nat = [3100, 60]\ndiameter = 22\n[[door]]\nname = "to the hall"\nwall = 1\nfrom_corner = 520\n'
    "opening = 762\nrecess = 60\nundercut = false\narchitrave = 45\n"
)


def _mutated(content, chance):
    """The content with one to four random changes: bytes, or whole words and numbers."""
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(content) + 1)
        match chance.randrange(5):
            case 0:
                content = content[:at] + bytes([chance.randrange(256)]) + content[at + 1 :]
            case 1:
                content = content[:at] + content[at + chance.randint(1, 40) :]
            case 2:
                other = chance.randrange(len(content) + 1)
                content = content[:at] + content[other : other + 60] + content[at:]
            case _:
                words = list(re.finditer(rb"[\w.-]+|\[|\]|\"[^\"\n]*\"", content))
                if words:
                    word = chance.choice(words)
                    content = content[: word.start()] + chance.choice(NASTY).encode() + content[word.end() :]
    return content


def test_a_thousand_mutated_surveys_are_read_or_refused_by_faults_and_nothing_else(survey):
    chance = random.Random(1380)
    sources = [path.read_bytes() for path in sorted(demo_path("rooms").glob("*.toml"))]
    sources += [RICH.encode(), f"[[room]]\n{SQUARE}".encode()] * 3
    read = refused = 0
    for _ in range(1000):
        path = survey(_mutated(chance.choice(sources), chance))
        try:
            rooms = read_rooms(path)
        except FaultsError:
            refused += 1
        else:
            read += 1
            assert all(room.polygon.is_valid and room.polygon.area > 0 for room in rooms.values())
    assert read + refused == 1000
    assert 0 < read < refused


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.lists(st.tuples(*[st.integers(-3, 3).map(lambda n: n * 700.0) | st.floats(-5e5, 5e5)] * 2), max_size=9))
def test_any_corners_at_all_make_a_valid_room_or_a_report(tmp_path_factory, corners):
    path = tmp_path_factory.getbasetemp() / "any.toml"
    path.write_text(outline(*corners))
    try:
        room = read_room(path)
    except FaultsError:
        return
    else:
        assert room.polygon.is_valid
        assert len(room.outline) == len(set(room.outline)) >= 3


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.binary(max_size=200))
def test_any_bytes_at_all_are_refused_by_faults_and_nothing_else(tmp_path_factory, content):
    path = tmp_path_factory.getbasetemp() / "bytes.toml"
    path.write_bytes(content)
    with pytest.raises(FaultsError):
        read_rooms(path)


def test_units_and_text_with_a_unit_of_its_own_come_to_the_same_room(survey):
    # 4200 x 2920 mm five ways; 13' 9 1/4" is 4197.35 mm by 25.4 mm an inch (yard and pound agreement, 1959).
    plain = read_room(survey(SQUARE))
    in_metres = SQUARE.replace("4200", "4.2").replace("2920", "2.92") + 'units = "m"\n'
    for content in (
        in_metres,
        SQUARE.replace("4200", "420").replace("2920", "292") + 'units = "cm"\n',
        SQUARE.replace("4200", '"4.2 m"').replace("2920", '"292 cm"'),
    ):
        assert read_room(survey(content)).outline == plain.outline
    assert read_room(survey(in_metres)).typed_in == "m"
    feet = read_room(survey(SQUARE.replace("4200", '"13\' 9 1/4\\""')))
    assert feet.outline[1] == (4197.35, 0.0)


def test_units_apply_to_doors_pipes_and_obstacles_too(survey):
    tail = (
        "[[door]]\nwall = 1\nfrom_corner = 50\nopening = 76.2\n[[pipe]]\nat = [300, 6]\ndiameter = 1.5\n"
        "[[obstacle]]\noutline = [[0, 100], [60, 100], [60, 160], [0, 160]]\n"
    )
    square = SQUARE.replace("4200", "420").replace("2920", "292")
    room = read_room(survey(square + 'units = "cm"\n' + tail))
    assert room.doors == (Door(1, 500.0, 762.0),)
    assert room.pipes == (Pipe((3000.0, 60.0), 15.0),)
    assert room.obstacles[0].outline[2] == (600.0, 1600.0)


def test_a_taped_room_is_read_to_its_corners_and_says_how_well_the_tape_agrees(survey):
    # 3-4-5 twice over: 4000 x 3000 with both diagonals 5000.
    walls = "".join(f"[[wall]]\nlength = {length}\n" for length in (4000, 3000, 4000, 3000))
    ties = "[[tie]]\ncorners = [1, 3]\nlength = 5000\n[[tie]]\ncorners = [2, 4]\nlength = 5000\n"
    room = read_room(survey('name = "Den"\n' + walls + ties + "[[door]]\nwall = 2\nfrom_corner = 100\nopening = 762\n"))
    assert room.outline == ((0, 0), (4000, 0), (4000, -3000), (0, -3000))
    assert "agree" in room.notes[0]
    assert room.notes[1] == (
        "The two areas agree: 12.00 m² by the outline and 12.00 m² by the second route, 0 % apart (0.5 % allowed)."
    )
    assert room.doors[0].wall == 2


def test_a_round_bay_and_a_bowed_wall_shape_the_floor(survey):
    # Segment of chord 4200, rise 350: radius (2100 squared + 350 squared) / 700 = 6475; area by the handbook formula
    # r squared (angle - sin angle) / 2. The bow's readings 9 at a third and two thirds add 9 x 2800 mm2 (trapezoids).
    content = SQUARE + "[[edge]]\nwall = 1\nkind = 'sill'\nrise = 350\n"
    content += "[[edge]]\nwall = 3\nbow = [[1400, 9], [2800, 9]]\n"
    for clockwise in (False, True):
        if clockwise:
            content = content.replace(
                "[0, 0], [4200, 0], [4200, 2920], [0, 2920]", "[4200, 0], [0, 0], [0, 2920], [4200, 2920]"
            )
        room = read_room(survey(content))
        angle = 2 * math.asin(2100 / 6475)
        segment = 6475**2 * (angle - math.sin(angle)) / 2
        area = 4200 * 2920 + segment + 9 * 2800
        assert abs(room.polygon.area - area) < 0.2 * 4300  # within 0.2 mm all along the arc
        assert room.wall_length_mm(1) == 4200
        assert room.edge(1).kind == "sill"
        assert room.edge(2).kind == "skirting"


def test_a_door_in_an_arc_is_refused(survey):
    content = SQUARE + "[[edge]]\nwall = 1\nrise = 350\n[[door]]\nwall = 1\nfrom_corner = 100\nopening = 762\n"
    assert report(survey(content)) == den(
        "room 'Den': door 1 stands in wall 1, which is an arc. A doorway needs a straight wall."
    )


def test_what_stands_in_a_bow_window_beyond_the_straight_line_stands_in_the_room(survey):
    # The arc of rise 350 stands out below y = 0; a pipe at its middle, 300 beyond the line, is inside by 50.
    pipe = "[[pipe]]\nat = [2100, -300]\n"
    assert read_room(survey(SQUARE + pipe + "[[edge]]\nwall = 1\nrise = 350\n")).pipes == (Pipe((2100.0, -300.0)),)
    assert report(survey(SQUARE + pipe)) == den(
        "pipe 1: at [2100, -300] mm lies outside the room, 300 mm from it. Check the two figures."
    )


# --- what stands around the boards -----------------------------------------------------------------------


def faults_of(path):
    with pytest.raises(FaultsError) as met:
        read_room(path)
    return list(met.value.faults)


def test_the_keys_around_the_boards_become_parts_of_the_room(survey):
    room = read_room(
        survey(
            SQUARE
            + """
old_covering = "1.8 cm"
old_covering_resistance = 0.25
[[edge]]
wall = 2
kind = "stair riser"
riser = 190
risers_above = 194
[[pipe]]
at = [300, 300]
diameter = 40
kind = "radiator foot"
[[door]]
wall = 4
from_corner = 900
opening = 762
beyond = "carpet"
beyond_height = [16, 19]
leaf_clearance = 5
leaf_high_spot = 2
fire_door = true
[[door]]
wall = 3
from_corner = 900
opening = 762
beyond = "outside"
beyond_height = 25
[[level]]
at = [600, 500]
height = -4
[[straightedge]]
at = [2100, 1500]
gap = 4
[[appliance]]
name = "fridge"
height = 820
space = 845
"""
        )
    )
    assert (room.old_covering_mm, room.old_covering_m2k_w) == (18.0, 0.25)
    assert (room.edges[0].riser_mm, room.edges[0].risers_above_mm) == (190.0, 194.0)
    assert room.pipes == (Pipe((300.0, 300.0), 40.0, "radiator foot"),)
    assert room.doors[0].leaf == Leaf(5.0, 6.0, "in", 2.0)
    assert room.doors[0].beyond == FloorBeyond("carpet", (16.0, 19.0))
    assert room.doors[0].fire_door
    assert (room.doors[1].leaf, room.doors[1].beyond) == (None, FloorBeyond("outside", (25.0, 25.0)))
    assert room.levels == (Level((600.0, 500.0), -4.0),)
    assert room.straightedges == (Straightedge((2100.0, 1500.0), 4.0, 2000.0),)
    assert room.appliances == (Appliance("fridge", 820.0, 845.0),)


def test_every_fault_in_the_keys_around_the_boards_is_told_at_once(survey):
    text = (
        SQUARE
        + """
old_covering = 250
old_covering_resistance = 2.5
[[edge]]
wall = 2
kind = "stair riser"
riser = 19
[[pipe]]
at = [300, 300]
kind = "foot"
[[door]]
wall = 4
from_corner = 900
opening = 762
beyond = "tiles"
beyond_height = [16, 19, 3]
leaf_swings = "inwards"
[[level]]
at = [600, 500]
height = "high"
[[straightedge]]
at = [2100, 1500]
gap = 4
length = 2
[[appliance]]
name = "fridge"
height = 0.82
"""
    )
    assert faults_of(survey(text)) == [
        "edge 1: riser must be 50 to 400 mm, got 19 mm. This looks like centimetres: write 190 for 19 cm.",
        "pipe 1: kind must be one of pipe, radiator foot, got 'foot'.",
        "door 1: beyond must be one of same floor, carpet, hard floor, hearth, outside, got 'tiles'.",
        "door 1: beyond_height must be a height in mm, or two of them [near end, far end], got [16, 19, 3].",
        "door 1: leaf_swings must be one of in, out, got 'inwards'.",
        "level 1: height must be a number in mm, got 'high'.",
        "straightedge 1: length must be 500 to 4000 mm, got 2 mm. This looks like metres: write 2000 for 2 m.",
        "appliance 1: height must be 100 to 2500 mm, got 0.82 mm. This looks like metres: write 820 for 0.82 m.",
        "appliance 1: space is missing.",
        "old_covering must be 0 to 200 mm, got 250 mm.",
        "old_covering_resistance must be 0 to 1 m²K/W, got 2.5 m²K/W. 1 tog is 0.1 m²K/W.",
        "door 1: leaf_swings stands alone. Measure what is under the closed leaf: leaf_clearance = 5.",
    ]


def test_keys_of_a_door_that_say_nothing_alone_and_readings_outside_the_room_are_told(survey):
    text = (
        SQUARE
        + """
[[door]]
wall = 4
from_corner = 900
opening = 762
beyond_height = 18
[[door]]
wall = 1
from_corner = 900
opening = 762
beyond = "carpet"
[[level]]
at = [600, 5000]
height = 3
[[straightedge]]
at = [-900, 500]
gap = 3
"""
    )
    assert faults_of(survey(text)) == [
        'door 1: beyond_height stands alone. Say what lies there: beyond = "carpet".',
        "door 2: beyond stands alone. Give the height of that floor: beyond_height = 18.",
        "level 1: at must lie in the room, got [600, 5000]. Measure from the same corner as the outline.",
        "straightedge 1: at must lie in the room, got [-900, 500]. Measure from the same corner as the outline.",
    ]


def test_only_a_stair_riser_has_a_height_of_risers(survey):
    text = SQUARE + "[[edge]]\nwall = 2\nriser = 190\n"
    assert faults_of(survey(text)) == ["edge of wall 2: only a stair riser has a height of risers."]


def test_a_survey_in_inches_has_its_heights_in_inches_too(survey):
    text = (
        'name = "Den"\nunits = "in"\noutline = [[0, 0], [160, 0], [160, 120], [0, 120]]\nold_covering = 1\n'
        '[[door]]\nwall = 1\nfrom_corner = 20\nopening = 30\nbeyond = "carpet"\nbeyond_height = [1, "5/8 in"]\n'
    )
    room = read_room(survey(text))
    assert room.old_covering_mm == 25.4
    assert room.doors[0].beyond.heights_mm == (25.4, 15.875)
