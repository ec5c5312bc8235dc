"""Saved jobs: what is saved is what is read, a failed save leaves the old file, a damaged file is refused in words."""

from __future__ import annotations

import contextlib
import copy
import importlib.metadata
import json
import math
import os
import random
import re
import resource
import stat
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import MISSING, dataclass, fields, is_dataclass, replace
from decimal import Decimal
from pathlib import Path
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

import numpy as np
import pytest
from floors import DEMO_ROOMS, demo_boards, demo_room
from hypothesis import given, settings
from hypothesis import strategies as st

import flooring_kit as fk
from flooring_kit.checks import FaultsError
from flooring_kit.files import jobs, record_reader, saving
from flooring_kit.files.jobs import Job, read_job, write_job
from flooring_kit.products import BOARD_KINDS
from flooring_kit.room import EDGE_KINDS, SUBFLOORS

OURS = importlib.metadata.version("flooring-kit")
PLANK = fk.Board("Plank", 1800, 193, 8, 8, pack_price=38.4)
CELLULAR = fk.Underlay("Cellular", "rubber", 3, 1.5)
SCOTIA = fk.Trim("Scotia", 18, 18, 2400, price=3.6)
CATALOGUE = fk.Catalogue({"Plank": PLANK}, {"Cellular": CELLULAR}, {"Scotia": SCOTIA})
CHOICES = fk.Choices(fk.Materials("Plank", "Cellular", "Scotia"))
DEN = fk.Room(
    "Den",
    ((0.0, 0.0), (4200.0, 0.0), (4200.0, 2920.0), (0.0, 2920.0)),
    obstacles=(fk.Obstacle("column", ((1000.0, 1000.0), (1300.0, 1000.0), (1300.5, 1300.0)), "column"),),
    pipes=(fk.Pipe((3100.0, 60.0), 22.0),),
    doors=(
        fk.Door(1, 520.0, 762.0, 60.0, False, 45.0, "to the hall"),
        fk.Door(
            3,
            100.0,
            900.0,
            leaf=fk.Leaf(5.0, 7.0, "out", 2.0),
            beyond=fk.FloorBeyond("carpet", (16.0, 19.0)),
            fire_door=True,
        ),
    ),
    subfloor="screed",
    heated=True,
    boards_run=90.0,
    edges=(fk.Edge(2, "sill", 120.0), fk.Edge(4, "plinth", bow=((500.0, 4.0), (1400.0, 0.1 + 0.2)))),
    wet=True,
    floorboards_run="short",
    main_light=3,
    below="heated room",
    old_covering_mm=18.5,
    old_covering_m2k_w=0.25,
    levels=(fk.Level((100.0, 200.0), 3.5), fk.Level((4000.0, 200.0), -1.0)),
    straightedges=(fk.Straightedge((2100.0, 1400.0), 4.0, 1800.0),),
    appliances=(fk.Appliance("fridge", 820.0, 845.0),),
    typed_in="in",
    notes=("The two diagonals agree within 3 mm.", 'a "quoted" — note'),
)
JOB = Job(DEN, CHOICES, CATALOGUE)

AWAY_FROM_DEFAULT = fk.Choices(
    fk.Materials("Plank", "Cellular", "Scotia"),
    fk.Laying(
        direction=37.5,
        start="opposite",
        first_row_width_mm=120.5,
        rules=fk.LayingRules(12, 350, 320, 60, 2.5, 15, 8, 6),
        seed=7,
    ),
    fk.Buying(0.031, 3, 4, 0.07, 0.055, "€"),
    fk.Warmth("ventilated void", "rock", 61.5, 24.5, 0.25, (1500.0, 1900.0), 0.11, 3.2, 21.5, 0.45, -7.5),
    fk.Heated(120.0, 17.0, 40.0, 1.4, 38.0, 32.0, 61.0, "bathroom"),
    fk.Air(55.0, 32.0, 70.0, 21.0, "calcium sulphate screed", "BS 8201:2011"),
    fk.Work(38.0, True, "flat", 4.0),
)


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """An empty folder, and the current one, so that complaints name den.job.json alone."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def den(folder):
    """A saved job of the den."""
    write_job(JOB, "den.job.json")
    return folder / "den.job.json"


def refused(*faults: str) -> str:
    """The message that names these faults of den.job.json."""
    count = f"{len(faults)} fault{'s' if len(faults) != 1 else ''}"
    return "\n".join([f"den.job.json: {count} found, nothing was read.", *(f"  - {fault}" for fault in faults)])


def refusal_of(path: Path) -> str:
    """The words a file is refused in; the file stays byte for byte as it was."""
    before, touched = path.read_bytes(), path.stat().st_mtime_ns
    with pytest.raises(FaultsError) as refusal:
        read_job(path.name)
    assert (path.read_bytes(), path.stat().st_mtime_ns) == (before, touched)
    return str(refusal.value)


def changed(path: Path, change: Callable[[dict[str, Any]], object]) -> Path:
    """The file with its JSON changed."""
    raw = json.loads(path.read_text(encoding="utf-8"))
    change(raw)
    path.write_text(json.dumps(raw), encoding="utf-8")
    return path


def put(where: str, value: object) -> Callable[[dict[str, Any]], None]:
    """A change that puts a value at a place such as "room/doors/1/wall"."""

    def change(raw: Any) -> None:
        *way, last = where.split("/")
        for step in way:
            raw = raw[int(step)] if isinstance(raw, list) else raw[step]
        raw[int(last) if isinstance(raw, list) else last] = value

    return change


def drop(where: str) -> Callable[[dict[str, Any]], None]:
    """A change that takes out the key at a place."""

    def change(raw: Any) -> None:
        *way, last = where.split("/")
        for step in way:
            raw = raw[int(step)] if isinstance(raw, list) else raw[step]
        del raw[last]

    return change


def names_in(folder: Path) -> list[str]:
    return sorted(entry.name for entry in folder.iterdir())


# --- what is saved is what is read --------------------------------------------------------------------------


def away_from_default(thing: Any, untouched: tuple[str, ...] = ()) -> Iterator[str]:
    """Fields that still have their default, by dotted name."""
    for field in fields(thing):
        value = getattr(thing, field.name)
        if is_dataclass(value):
            yield from (f"{field.name}.{name}" for name in away_from_default(value))
        elif field.name not in untouched and field.default is not MISSING and value == field.default:
            yield field.name


def test_the_choices_that_the_round_trips_use_are_all_away_from_their_defaults():
    # the version says how the choices are to be understood; nobody chooses it
    assert list(away_from_default(AWAY_FROM_DEFAULT, untouched=("version",))) == []


@pytest.mark.parametrize("name", DEMO_ROOMS)
def test_a_demo_room_with_every_choice_made_is_read_as_saved_and_gives_the_same_boards(name, folder):
    board = demo_boards()["Oak plank 1380 x 193"]
    materials = fk.Materials(board.name, "Cellular", "Scotia")
    choices = replace(AWAY_FROM_DEFAULT, materials=materials)
    catalogue = fk.Catalogue({board.name: board}, {"Cellular": CELLULAR}, {"Scotia": SCOTIA})
    job = Job(demo_room(name), choices, catalogue)
    write_job(job, folder / "room.job.json")
    again = read_job(folder / "room.job.json")
    assert again == job
    assert repr(again) == repr(job)  # repr tells 1 from 1.0, -0.0 from 0.0 and a tuple from a list
    before = fk.estimate(job.room, job.choices, job.catalogue, quick=True)
    after = fk.estimate(again.room, again.choices, again.catalogue, quick=True)
    assert after.plan.pieces.drop(columns="shape").equals(before.plan.pieces.drop(columns="shape"))
    assert after.take_off.boards == before.take_off.boards
    assert after.take_off.trim_lengths == before.take_off.trim_lengths
    assert str(after.price.with_tax) == str(before.price.with_tax)


@pytest.mark.parametrize("name", DEMO_ROOMS)
def test_the_defaults_are_read_as_saved_with_the_whole_demo_catalogue(name, folder):
    boards, underlays = demo_boards(), fk.read_underlays(fk.demo_path("underlays.csv"))
    catalogue = fk.Catalogue(boards, underlays, fk.read_trims(fk.demo_path("trims.csv")))
    job = Job(demo_room(name), fk.Choices(fk.Materials(next(iter(boards)), next(iter(underlays)))), catalogue)
    write_job(job, folder / "room.job.json")
    assert repr(read_job(folder / "room.job.json")) == repr(job)


def test_every_field_of_a_room_is_read_as_saved(den):
    assert read_job(den) == JOB
    assert repr(read_job(den)) == repr(JOB)


def things_in(hint: Any) -> Iterator[type[Any]]:
    """The dataclasses a type hint leads to, itself first."""
    if isinstance(hint, type) and is_dataclass(hint):
        yield hint
        for each in get_type_hints(hint).values():
            yield from things_in(each)
    for each in get_args(hint):
        yield from things_in(each)


def test_there_is_a_rule_for_every_field_of_everything_that_is_saved():
    # so that a field of a kind that can't be read is met here, not by somebody with a saved job
    kinds = set(things_in(Job))
    assert {fk.Room, fk.Door, fk.Edge, fk.Choices, fk.LayingRules, fk.Catalogue, fk.Board, fk.Trim} <= kinds
    for kind in kinds:
        for hint in get_type_hints(kind).values():
            for part in (hint, *get_args(hint)) if get_origin(hint) is not Literal else (hint,):
                if part is not Ellipsis and get_origin(part) not in (Union, UnionType) and not isinstance(part, str):
                    record_reader._fits(part, None)  # raises for a kind it doesn't know


@dataclass(frozen=True)
class _Dated:
    """Something with a field no rule is written for."""

    day: complex


def test_a_field_of_a_kind_that_has_no_rule_is_the_programmers_fault_and_said_so():
    with pytest.raises(TypeError) as refusal:
        record_reader.RecordReader("").value(_Dated, record_reader.JsonTable([("day", 3)]), ("room",))
    assert str(refusal.value) == "a saved job has no rule for fields of type <class 'complex'>"
    with pytest.raises(TypeError) as refusal:
        record_reader.RecordReader("").value(fk.Pipe | fk.Edge, record_reader.JsonTable([]), ("room", "corner"))
    assert str(refusal.value).startswith("a saved job can't tell the things apart that room: corner may be: ")


def test_whole_numbers_numpy_numbers_and_negative_nought_keep_their_value(folder):
    outline = ((np.float64(0.1) + 0.2, -0.0), (4200, np.int64(0)), (4200, 1 / 3 * 10_000), (0, 2920))
    room = fk.Room("Den", outline)
    write_job(Job(room, CHOICES, CATALOGUE), "den.job.json")
    again = read_job("den.job.json").room
    assert again == room
    assert repr(again.outline[:3]) == "((0.30000000000000004, -0.0), (4200, 0), (4200, 3333.333333333333))"


def test_lists_in_a_room_are_read_back_as_tuples(folder):
    listed = fk.Room("Den", [[0, 0], [4200, 0], [4200, 2920], [0, 2920]])  # type: ignore[arg-type]
    write_job(Job(listed, CHOICES, CATALOGUE), "den.job.json")
    assert read_job("den.job.json").room.outline == ((0, 0), (4200, 0), (4200, 2920), (0, 2920))


number = st.floats(0, 0.5)


def nought_or(most: float) -> st.SearchStrategy[float]:
    """0, or a length that no one takes for metres: a thousandth of the most or more."""
    return st.just(0.0) | st.floats(most / 1000, most)


choices_of_any_kind = st.builds(
    fk.Choices,
    st.builds(fk.Materials, st.just("Plank"), st.just("Cellular"), st.sampled_from((None, "Scotia"))),
    st.builds(
        fk.Laying,
        direction=st.one_of(st.sampled_from(("long", "short")), st.floats(-360, 360), st.integers(-360, 360)),
        start=st.sampled_from(("first", "opposite")),
        first_row_width_mm=st.none() | st.floats(0, 600),
        rules=st.builds(
            fk.LayingRules,
            gap_mm=nought_or(50),
            joint_offset_mm=nought_or(2000),
            shortest_piece_mm=nought_or(2000),
            narrowest_row_mm=nought_or(500),
            kerf_mm=nought_or(10),
            offcut_margin_mm=nought_or(300),
            under_frame_mm=nought_or(40),
            most_offcuts_waiting=st.none() | st.integers(0, 100),
        ),
        seed=st.integers(-(10**18), 10**18),
    ),
    st.builds(
        fk.Buying,
        number,
        st.integers(0, 100),
        st.integers(0, 100),
        number,
        number,
        st.text(st.characters(exclude_categories=["Cs"])),
    ),
)


@settings(max_examples=100)
@given(choices_of_any_kind)
def test_any_choices_are_read_as_saved(choices):
    with tempfile.TemporaryDirectory() as folder:
        job = Job(DEN, choices, CATALOGUE)
        write_job(job, f"{folder}/den.job.json")
        assert repr(read_job(f"{folder}/den.job.json")) == repr(job)


def test_the_file_says_its_format_and_the_version_of_the_kit_and_is_plain_utf_8(den):
    raw = json.loads(den.read_text(encoding="utf-8"))
    assert list(raw) == ["format", "kit", "room", "choices", "catalogue"]
    assert (raw["format"], raw["kit"]) == (1, OURS)
    assert "—" in den.read_text(encoding="utf-8")


def test_a_kit_that_is_not_installed_writes_and_reads_unknown_as_its_version(folder, monkeypatch):
    def missing(name):
        raise importlib.metadata.PackageNotFoundError(name)

    monkeypatch.setattr(importlib.metadata, "version", missing)
    write_job(JOB, "den.job.json")
    assert json.loads((folder / "den.job.json").read_text(encoding="utf-8"))["kit"] == "unknown"
    assert read_job("den.job.json") == JOB


def test_a_job_can_be_cut_down_to_the_products_its_choices_name():
    boards = {"Plank": PLANK, "Wide": replace(PLANK, name="Wide", width_mm=240)}
    many = Job(DEN, CHOICES, replace(CATALOGUE, boards=boards))
    assert many.with_chosen_products_only() == JOB
    bare = replace(many, choices=fk.Choices(fk.Materials("Wide", "Cellular")))
    assert bare.with_chosen_products_only().catalogue == fk.Catalogue({"Wide": boards["Wide"]}, {"Cellular": CELLULAR})
    with pytest.raises(ValueError) as refusal:
        replace(many, choices=fk.Choices(fk.Materials("Plnk", "Cellular"))).with_chosen_products_only()
    assert str(refusal.value) == "There is no board 'Plnk'. There are: Plank, Wide. Did you mean 'Plank'?"


# --- files of other versions --------------------------------------------------------------------------------


def without_defaults(raw: Any, kind: type[Any]) -> Any:
    """A thing's JSON with nothing but the keys that have no default."""
    return {field.name: raw[field.name] for field in fields(kind) if field.default is MISSING and field.name in raw}


def test_an_old_file_without_the_keys_that_have_defaults_opens_with_the_defaults(den):
    def change(raw):
        raw["room"] = without_defaults(raw["room"], fk.Room)
        del raw["choices"]["laying"], raw["choices"]["buying"], raw["choices"]["version"]
        for kind, sort in (("boards", fk.Board), ("underlays", fk.Underlay), ("trims", fk.Trim)):
            held = raw["catalogue"][kind]
            raw["catalogue"][kind] = {name: without_defaults(each, sort) for name, each in held.items()}

    catalogue = fk.Catalogue(
        {"Plank": fk.Board("Plank", 1800, 193, 8, 8)},
        {"Cellular": fk.Underlay("Cellular", "rubber", 3, 1.5)},
        {"Scotia": fk.Trim("Scotia", 18, 18, 2400)},
    )
    assert read_job(changed(den, change)) == Job(fk.Room("Den", DEN.outline), CHOICES, catalogue)


def test_parts_of_a_room_without_the_keys_that_have_defaults_open_with_the_defaults(den):
    def change(raw):
        room = raw["room"]
        room["doors"] = [without_defaults(door, fk.Door) for door in room["doors"]]
        room["pipes"] = [without_defaults(pipe, fk.Pipe) for pipe in room["pipes"]]
        room["obstacles"] = [without_defaults(each, fk.Obstacle) for each in room["obstacles"]]
        room["edges"] = []

    read = read_job(changed(den, change)).room
    assert read.doors == (fk.Door(1, 520, 762), fk.Door(3, 100, 900))
    assert read.pipes == (fk.Pipe((3100, 60)),)
    assert read.obstacles == (fk.Obstacle("column", DEN.obstacles[0].outline),)


@dataclass(frozen=True)
class Spot:
    """A part that a later room may have."""

    at: tuple[float, float]
    height_mm: float = 0.0


@dataclass(frozen=True)
class LaterRoom(fk.Room):
    """A room of a later version of the kit."""

    spots: tuple[Spot, ...] = ()
    datum: Spot | None = None
    readings: tuple[tuple[float, float, float], ...] = ()
    damp: bool | None = None


@dataclass(frozen=True)
class LaterJob(Job):
    """A job of a later version of the kit."""

    room: LaterRoom


def later_room(**more: Any) -> LaterRoom:
    return LaterRoom(**{field.name: getattr(DEN, field.name) for field in fields(DEN)}, **more)


def test_fields_added_to_a_room_later_open_from_an_older_file_and_are_saved_and_read(den, monkeypatch):
    monkeypatch.setattr(jobs, "Job", LaterJob)
    assert read_job(den) == LaterJob(later_room(), CHOICES, CATALOGUE)
    spots = (Spot((100.0, 200.0), 3.5), Spot((4000.0, 200.0)))
    full = LaterJob(
        later_room(spots=spots, datum=spots[0], readings=((1.0, 2.0, 0.1),), damp=False), CHOICES, CATALOGUE
    )
    write_job(full, den)
    assert repr(read_job(den)) == repr(full)
    changed(den, lambda raw: (put("room/spots/1/height_mm", None)(raw), put("room/datum/at/0", "left")(raw)))
    assert refusal_of(den) == refused(
        "room: spot 2: height_mm must be a number, got null.", "room: datum: at: x must be a number, got 'left'."
    )


def test_a_file_of_a_later_kit_with_keys_this_one_does_not_know_is_refused_by_name(den, monkeypatch):
    with monkeypatch.context() as later:
        later.setattr(jobs, "Job", LaterJob)
        later.setattr(jobs, "_kit_version", lambda: "9.4.0")
        write_job(LaterJob(later_room(), CHOICES, CATALOGUE), den)
    faults = [
        f"room: {key!r} is not a known key. The file was written by version 9.4.0 of the kit, this is version {OURS}."
        for key in ("spots", "datum", "readings", "damp")
    ]
    assert refusal_of(den) == refused(*faults)


def test_a_file_of_a_newer_format_is_refused_with_both_numbers_and_the_version_that_wrote_it(den):
    # whatever else is in it may mean something else by then, so nothing else is said of it
    changed(den, lambda raw: (put("format", 3)(raw), put("kit", "2.5.1")(raw), put("room", [])(raw)))
    assert refusal_of(den) == refused(
        f"format 3 is newer than format 1, the newest that this version of the kit ({OURS}) reads. "
        "The file was written by version 2.5.1: open it with that version or a later one."
    )


def test_a_file_of_an_older_format_opens(den, monkeypatch):
    monkeypatch.setattr(jobs, "FORMAT", 4)
    assert json.loads(den.read_text(encoding="utf-8"))["format"] == 1
    assert read_job(den) == JOB


# --- a damaged file is refused in words ---------------------------------------------------------------------

ROOM_KEYS = ", ".join(field.name for field in fields(fk.Room))
DOOR_KEYS = ", ".join(field.name for field in fields(fk.Door))
CROSSED = [[0, 0], [4200, 0], [0, 2920], [4200, 2920]]

REFUSALS: list[tuple[str, Callable[[dict[str, Any]], object], tuple[str, ...]]] = [
    ("a format of 0", put("format", 0), ("format must be a whole number, 1 or more, got 0.",)),
    ("a format in words", put("format", "one"), ("format must be a whole number, 1 or more, got 'one'.",)),
    ("no format", drop("format"), ("format must be a whole number, 1 or more; it is missing.",)),
    ("no kit", drop("kit"), ("kit must be the version that wrote the file, as text; it is missing.",)),
    ("a kit of 1.0", put("kit", 1.0), ("kit must be the version that wrote the file, as text, got 1.0.",)),
    ("no room", drop("room"), ("room is missing.",)),
    ("a room that is a list", put("room", [1]), ("room must be a table of keys, got a list of 1.",)),
    ("no outline", drop("room/outline"), ("room: outline is missing.",)),
    ("doors in a table", put("room/doors", {}), ("room: doors must be a list, got a table of keys.",)),
    ("a door of null", put("room/doors/1", None), ("room: door 2 must be a table of keys, got null.",)),
    ("no wall", drop("room/doors/1/wall"), ("room: door 2: wall is missing.",)),
    (
        "a wide door",
        put("room/doors/1/opening_mm", 9000),
        ("room: door 2: opening_mm must be 300 to 6000 mm, got 9000 mm.",),
    ),
    (
        "a door in metres in quotes",
        put("room/doors/1/opening_mm", "0.9"),
        ("room: door 2: opening_mm must be a number, got '0.9'.",),
    ),
    (
        "a door in a wall there is not",
        put("room/doors/1/wall", 9),
        ("room: door 2: wall must be a whole number from 1 to 4, got 9.",),
    ),
    ("half a wall", put("room/doors/1/wall", 2.5), ("room: door 2: wall must be a whole number, got 2.5.",)),
    ("a true wall", put("room/doors/1/wall", True), ("room: door 2: wall must be a whole number, got true.",)),
    (
        "a door past its wall",
        put("room/doors/1/from_corner_mm", 4000),
        (
            "room: door 2 ends 4900 mm from its corner, but wall 3 is 4200 mm long. "
            "Measure from the wall's first corner to the near side of the opening.",
        ),
    ),
    (
        "a door in an arc",
        put("room/doors/1/wall", 2),
        ("room: door 2 stands in wall 2, which is an arc. A doorway needs a straight wall.",),
    ),
    (
        "an edge of no wall",
        put("room/edges/1/wall", 5),
        ("room: edge 2: wall must be a whole number from 1 to 4, got 5.",),
    ),
    ("two edges of one wall", put("room/edges/1/wall", 2), ("room: a wall has two edges. Give each wall one.",)),
    (
        "a rise and a bow",
        put("room/edges/1/rise_mm", 100),
        ("room: edge 2: give a rise or a bow, not both.",),
    ),
    (
        "a strange edge",
        put("room/edges/1/kind", "plint"),
        (
            f"room: edge 2: kind must be one of {', '.join(EDGE_KINDS)}, got 'plint'. "
            "Did you mean 'plinth'?",
        ),
    ),
    (
        "a bow of three figures",
        put("room/edges/1/bow/1", [1, 2, 3]),
        ("room: edge 2: bow reading 2 must be a list of 2, got a list of 3.",),
    ),
    (
        "a bow in words",
        put("room/edges/1/bow/1/0", "far"),
        ("room: edge 2: bow reading 2: figure 1 must be a number, got 'far'.",),
    ),
    ("NaN", put("room/outline/2/0", math.nan), ("room: corner 3: x must be a finite number, got nan.",)),
    ("infinity", put("room/pipes/0/at/1", -math.inf), ("room: pipe 1: at: y must be a finite number, got -inf.",)),
    (
        "a huge number",
        put("room/outline/2/0", 1e300),
        ("room: corner 3: x must be a number from -1000000000 to 1000000000, got 1e+300.",),
    ),
    ("a corner of one", put("room/outline/2", [1]), ("room: corner 3 must be a list of 2, got a list of 1.",)),
    ("two corners", put("room/outline", CROSSED[:2]), ("room: an outline needs 3 corners or more, got 2.",)),
    (
        "a crossed outline",
        put("room/outline", CROSSED),
        (
            "room: outline crosses or touches itself: walls 2 and 4 near (2100, 1460) mm. "
            "Check the order of the corners there.",
        ),
    ),
    (
        "a room of a kilometre",
        lambda raw: (
            put("room/outline", [[0, 0], [1e6, 0], [1e6, 2920], [0, 2920]])(raw),
            put("room/edges", [])(raw),
        ),
        ("room: outline: the longer side must be at most 100000 mm overall, got 1000000 mm.",),
    ),
    (
        "an outline of 1001 corners",
        put("room/outline", [[0, 0]] * 1001),
        ("room: outline must hold at most 1000 entries, got 1001.",),
    ),
    (
        "a crossed obstacle",
        put("room/obstacles/0/outline", CROSSED),
        (
            "room: obstacle 1: outline crosses or touches itself: sides 2 and 4 near (2100, 1460) mm. "
            "Check the order of the corners there.",
        ),
    ),
    (
        "an obstacle of two corners",
        put("room/obstacles/0/outline", CROSSED[:2]),
        ("room: obstacle 1: outline must have at least 3 corners, got 2.",),
    ),
    (
        "an obstacle on one line",
        put("room/obstacles/0/outline", [[0, 0], [100, 0], [200, 0]]),
        ("room: obstacle 1: outline encloses nothing: all its corners lie on one line.",),
    ),
    (
        "a subfloor there is not",
        put("room/subfloor", "lava"),
        (f"room: subfloor must be one of {', '.join(SUBFLOORS)}, got 'lava'.",),
    ),
    ("heated by 1", put("room/heated", 1), ("room: heated must be true or false, got 1.",)),
    ("a name of 7", put("room/name", 7), ("room: name must be text in quotes, got 7.",)),
    (
        "a name too long",
        put("room/name", "x" * 10_001),
        ("room: name must be text of at most 10000 characters, got 10001.",),
    ),
    (
        "half a character",
        put("room/name", "a\ud800"),
        ("room: name must be text of whole characters, got 'a\\ud800'.",),
    ),
    ("a note of false", put("room/notes/1", False), ("room: note 2 must be text in quotes, got false.",)),
    (
        "an unknown key",
        put("room/doors/1/swings", 1),
        (
            f"room: door 2: 'swings' is not a known key. Known keys: {DOOR_KEYS}.",
        ),
    ),
    ("a slip of a key", put("room/heatd", 1), ("room: 'heatd' is not a known key. Did you mean 'heated'?",)),
    (
        "an unknown key at the top",
        put("swing", 1),
        ("'swing' is not a known key. Known keys: format, kit, room, choices, catalogue.",),
    ),
    (
        "a direction there is not",
        put("choices/laying/direction", "longe"),
        ('choices: laying: direction must be "long", "short" or a number, got \'longe\'. Did you mean \'long\'?',),
    ),
    (
        "a start there is not",
        put("choices/laying/start", "middle"),
        ('choices: laying: start must be "first" or "opposite", got \'middle\'.',),
    ),
    (
        "a first row in words",
        put("choices/laying/first_row_width_mm", "half"),
        ("choices: laying: first_row_width_mm must be a number or null, got 'half'.",),
    ),
    (
        "an endless seed",
        put("choices/laying/seed", 10**19),
        ("choices: laying: seed must be a whole number of at most 18 digits, got 10000000000000000000.",),
    ),
    (
        "a wide gap",
        put("choices/laying/rules/gap_mm", 99),
        ("choices: laying: rules: gap_mm must be 0 to 50 mm, got 99 mm.",),
    ),
    (
        "tax in per cent",
        put("choices/buying/tax_fraction", 20),
        ("choices: buying: tax_fraction must be 0 to 0.5, got 20. Write 20 % as 0.20.",),
    ),
    ("choices of a later version", put("choices/version", 2), ("choices: version must be from 1 to 1, got 2.",)),
    (
        "a board the file does not hold",
        put("choices/materials/board", "Plnk"),
        (
            "choices: materials: board must name one of the file's boards, got 'Plnk'. There are: 'Plank'. "
            "Did you mean 'Plank'?",
        ),
    ),
    (
        "an underlay of an empty table",
        put("catalogue/underlays", {}),
        (
            "choices: materials: underlay must name one of the file's underlays, got 'Cellular'. "
            "There are none.",
        ),
    ),
    (
        "a short board",
        put("catalogue/boards/Plank/length_mm", 1.8),
        (
            "catalogue: board 'Plank': length_mm must be 200 to 5000 mm, got 1.8 mm. "
            "This looks like metres: write 1800 for 1.8 m.",
        ),
    ),
    (
        "a board wider than long",
        lambda raw: raw["catalogue"]["boards"]["Plank"].update(length_mm=210, width_mm=300),
        (
            "catalogue: board 'Plank': width must be at most the length, got 300 mm wide and 210 mm long. "
            "Swap the two.",
        ),
    ),
    (
        "a trim in a list",
        put("catalogue/trims/Scotia", []),
        ("catalogue: trim 'Scotia' must be a table of keys, got a list of 0.",),
    ),
    (
        "faults everywhere, all told at once",
        lambda raw: (
            put("format", -1)(raw),
            put("room/outline/3/0", "left")(raw),
            put("room/doors/0/opening_mm", 10)(raw),
            put("room/doors/0/recess_mm", -1)(raw),
            put("room/doors/0/undercut", 0)(raw),
            put("room/pipes/0/diameter_mm", 0.022)(raw),
            put("choices/laying/rules/gap_mm", 99)(raw),
            put("choices/laying/rules/kerf_mm", 11)(raw),
            put("choices/materials/trim", "Ovolo")(raw),
            put("catalogue/boards/Plank/width_mm", 9)(raw),
            put("catalogue/boards/Plank/kind", "tile")(raw),
            put("catalogue/boards/Plank/hand", "both")(raw),
        ),
        (
            "format must be a whole number, 1 or more, got -1.",
            "room: corner 4: x must be a number, got 'left'.",
            "room: pipe 1: diameter_mm must be 4 to 200 mm, got 0.022 mm. "
            "This looks like metres: write 22 for 0.022 m.",
            "room: door 1: undercut must be true or false, got 0.",
            "room: door 1: opening_mm must be 300 to 6000 mm, got 10 mm.",
            "room: door 1: recess_mm must be 0 to 1000 mm, got -1 mm.",
            "choices: laying: rules: gap_mm must be 0 to 50 mm, got 99 mm.",
            "choices: laying: rules: kerf_mm must be 0 to 10 mm, got 11 mm.",
            "catalogue: board 'Plank': hand must be \"right\" or \"left\", got 'both'.",
            "catalogue: board 'Plank': width_mm must be 40 to 600 mm, got 9 mm. "
            "This looks like centimetres: write 90 for 9 cm.",
            f"catalogue: board 'Plank': kind must be one of {', '.join(BOARD_KINDS)}, got 'tile'.",
            "choices: materials: trim must name one of the file's trims, got 'Ovolo'. There are: 'Scotia'.",
        ),
    ),
    (
        "several doors and edges at once",
        lambda raw: (
            put("room/doors/0/wall", 9)(raw),
            put("room/doors/1/from_corner_mm", 4000)(raw),
            put("room/edges/0/wall", 8)(raw),
            put("room/subfloor", "lava")(raw),
        ),
        (
            "room: door 1: wall must be a whole number from 1 to 4, got 9.",
            "room: door 2 ends 4900 mm from its corner, but wall 3 is 4200 mm long. "
            "Measure from the wall's first corner to the near side of the opening.",
            f"room: subfloor must be one of {', '.join(SUBFLOORS)}, got 'lava'.",
            "room: edge 1: wall must be a whole number from 1 to 4, got 8.",
        ),
    ),
]  # fmt: skip


@pytest.mark.parametrize(("change", "faults"), [case[1:] for case in REFUSALS], ids=[case[0] for case in REFUSALS])
def test_a_job_with_faults_is_refused_in_these_words(change, faults, den):
    assert refusal_of(changed(den, change)) == refused(*faults)


@pytest.mark.parametrize(
    ("content", "fault"),
    [
        (b"", "the file is empty, so there is no job in it."),
        (b" \n\t\n", "the file is empty, so there is no job in it."),
        (b"\xef\xbb\xbf", "the file is empty, so there is no job in it."),
        (b"[1, 2]", "this is not a saved job: it holds a list of 2, not a table of keys."),
        (b"null", "this is not a saved job: it holds null, not a table of keys."),
        (b"NaN", "this is not a saved job: it holds nan, not a table of keys."),
        (b'"room"', "this is not a saved job: it holds 'room', not a table of keys."),
        (
            b'{"cells": []}',
            "this is not a saved job: it has none of the keys format, kit, room, choices, catalogue.",
        ),
        (b'name = "Den"', "line 1, column 1 can't be read as JSON: the file is damaged there."),
        (b'{"format": 1,\n "kit" 3}', "line 2, column 8 can't be read as JSON: the file is damaged there."),
        (b'{"format": 1,\n "ki', "the file breaks off in line 2: it was cut short."),
        (b'{"format": 1,\n', "the file breaks off in line 2: it was cut short."),
        (b'{"format": 1}\n}', "line 2, column 1: the job has ended, but the file goes on."),
        (b'{"format":\n "\xe9"}', "line 2 is not UTF-8 text (byte 0xe9): the file is damaged there."),
        ('{"format": 1}'.encode("utf-16"), "line 1 is not UTF-8 text (byte 0xff): the file is damaged there."),
        (b'{"format": "\x00"}', "line 1, column 13 can't be read as JSON: the file is damaged there."),
        (b"[" * 200_000, "this is not a saved job: its brackets are nested too deeply."),
        (b'{"room":' * 200_000, "this is not a saved job: its brackets are nested too deeply."),
        (b" " * 5_000_001, "the file must be at most 5 MB. A saved job is far smaller."),
    ],
)
def test_what_is_not_a_saved_job_is_refused_in_these_words(content, fault, folder):
    path = folder / "den.job.json"
    path.write_bytes(content)
    assert refusal_of(path) == refused(fault)


def test_every_truncation_of_a_job_is_refused_as_cut_short_or_damaged(den):
    content = den.read_bytes()
    whole = len(content.rstrip())
    for length in random.Random(3).sample(range(1, whole), 60):
        den.write_bytes(content[:length])
        told = refusal_of(den)
        assert re.search(
            r"breaks off in line \d+: it was cut short\.$|can't be read as JSON: the file is damaged there\.$"
            r"|is not UTF-8 text \(byte 0x[0-9a-f]{2}\): the file is damaged there\.$",
            told,
        ), told


def test_a_number_of_five_thousand_digits_is_refused_by_name(den):
    text = den.read_text(encoding="utf-8")
    den.write_text(re.sub(r'"seed": \d+', '"seed": ' + "9" * 5000, text), encoding="utf-8")
    assert refusal_of(den) == refused("choices: laying: seed must be a whole number, got inf.")
    den.write_text(text.replace('"gap_mm": 10.0', '"gap_mm": ' + "9" * 5000), encoding="utf-8")
    assert refusal_of(den) == refused("choices: laying: rules: gap_mm must be a finite number, got inf.")


def test_a_key_given_twice_is_refused_wherever_it_stands(den):
    text = den.read_text(encoding="utf-8")
    text = text.replace('"format": 1,', '"format": 1, "format": 1,').replace('"wall": 3,', '"wall": 1, "wall": 3,')
    text = text.replace('"Plank": {', '"Plank": {}, "Plank": {', 1).replace('"seed": 0', '"seed": 0, "seed": 0')
    den.write_text(text, encoding="utf-8")
    assert refusal_of(den) == refused(
        "'format' is given twice.",
        "room: door 2: 'wall' is given twice.",
        "choices: laying: 'seed' is given twice.",
        "catalogue: boards: 'Plank' is given twice.",
    )


def test_brackets_nested_as_deep_as_python_reads_are_refused_by_name(den):
    deep: Any = []
    for _ in range(400):
        deep = [deep]
    changed(den, lambda raw: (put("room/name", deep)(raw), put("room/outline/1/0", deep)(raw)))
    assert refusal_of(den) == refused(
        "room: name must be text in quotes, got a list of 1.", "room: corner 2: x must be a number, got a list of 1."
    )


def test_a_file_with_thousands_of_faults_is_refused_with_the_first_hundred(den):
    changed(den, lambda raw: raw["room"].update({f"k{number}": number for number in range(3000)}))
    lines = refusal_of(den).splitlines()
    assert lines[1] == f"  - room: 'k0' is not a known key. Known keys: {ROOM_KEYS}."
    assert (len(lines), lines[-1]) == (1 + 100 + 1, "  - and 2900 more faults.")


def test_a_byte_order_mark_and_windows_line_ends_are_read(den):
    den.write_bytes(b"\xef\xbb\xbf" + den.read_bytes().replace(b"\n", b"\r\n"))
    assert read_job(den) == JOB


def test_a_job_of_nearly_five_megabytes_is_read(den):
    den.write_bytes(den.read_bytes().ljust(5_000_000))
    assert read_job(den) == JOB


def test_a_file_that_is_not_there_is_refused_with_the_nearest_name(den):
    with pytest.raises(FileNotFoundError) as refusal:
        read_job("dem.job.json")
    assert str(refusal.value) == "dem.job.json: there is no such file. Nearest in that folder: den.job.json."


def test_a_folder_is_not_a_saved_job(den):
    (den.parent / "attic").mkdir()
    with pytest.raises(FaultsError) as refusal:
        read_job("attic")
    assert str(refusal.value) == (
        "attic: 1 fault found, nothing was read.\n  - this is a folder, not a file. It holds no files."
    )


# --- a save that fails leaves the old file ------------------------------------------------------------------

OTHER = replace(JOB, room=replace(DEN, name="Loft"))
UNCHANGED = "A file that was there before is unchanged. Choose another folder or make room in this one."
FULL = OSError(28, "No space left on device")


class _HalfWritten:
    """A file of which half the text is written before the disk is full, or whose flush fails."""

    def __init__(self, stream: Any, fails_at: str, slip: BaseException) -> None:
        self.stream, self.fails_at, self.slip = stream, fails_at, slip

    def __enter__(self) -> _HalfWritten:
        return self

    def __exit__(self, *_: object) -> None:
        self.stream.close()

    def write(self, content: bytes) -> None:
        if self.fails_at == "write":
            self.stream.write(content[: len(content) // 2])
            raise self.slip
        self.stream.write(content)

    def flush(self) -> None:
        if self.fails_at == "flush":
            raise self.slip
        self.stream.flush()

    def fileno(self) -> int:
        return int(self.stream.fileno())


def fail_at(monkeypatch: pytest.MonkeyPatch, step: str, slip: BaseException) -> None:
    def fails(*_: object, **__: object) -> None:
        raise slip

    def opened(path: Any, mode: str) -> Any:
        if "x" not in mode:
            return open(path, mode)
        if step == "open":
            raise slip
        return _HalfWritten(open(path, mode), step, slip)

    if step in ("fsync", "replace"):
        monkeypatch.setattr(os, step, fails)
    else:
        monkeypatch.setattr(saving, "open", opened, raising=False)


@pytest.mark.parametrize("step", ["open", "write", "flush", "fsync", "replace"])
@pytest.mark.parametrize("slip", [FULL, KeyboardInterrupt(), RuntimeError("stopped")], ids=["full", "key", "other"])
@pytest.mark.parametrize("there_before", [True, False], ids=["old file", "no old file"])
def test_a_save_that_fails_at_any_step_leaves_the_folder_as_it_was(step, slip, there_before, folder, monkeypatch):
    path = folder / "den.job.json"
    if there_before:
        write_job(JOB, path)
    before = {entry.name: (entry.read_bytes(), entry.stat().st_mtime_ns) for entry in folder.iterdir()}
    with monkeypatch.context() as broken:
        fail_at(broken, step, slip)
        with pytest.raises(ValueError if slip is FULL else type(slip)) as refusal:
            write_job(OTHER, "den.job.json")
    if slip is FULL:
        told = f"den.job.json: the job was not saved: No space left on device. {UNCHANGED}"
        assert str(refusal.value) == told
    assert {entry.name: (entry.read_bytes(), entry.stat().st_mtime_ns) for entry in folder.iterdir()} == before
    write_job(OTHER, path)  # and it can be saved again
    assert read_job(path) == OTHER
    assert names_in(folder) == ["den.job.json"]


def test_a_disk_that_really_is_full_leaves_the_old_file_and_no_litter(den):
    before = den.read_bytes()
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100, hard))  # the operating system cuts every file at 100 bytes
    try:
        with pytest.raises(ValueError) as refusal:
            write_job(OTHER, "den.job.json")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert str(refusal.value) == f"den.job.json: the job was not saved: File too large. {UNCHANGED}"
    assert (names_in(den.parent), den.read_bytes()) == (["den.job.json"], before)


@contextlib.contextmanager
def as_an_ordinary_user() -> Iterator[None]:
    """Rights of a folder bind everybody but the superuser, as whom tests in a container run."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)


@pytest.fixture
def locked_folder(monkeypatch):
    """A folder with one job, that may be read and not written to, reached by every user."""
    with tempfile.TemporaryDirectory() as name:
        monkeypatch.chdir(name)
        write_job(JOB, "den.job.json")
        os.chmod("den.job.json", 0o444)
        os.chmod(name, 0o555)
        yield Path(name)
        monkeypatch.chdir("/")
        os.chmod(name, 0o755)


@pytest.mark.parametrize("name", ["den.job.json", "loft.job.json"])
def test_a_folder_that_may_not_be_written_to_is_told_in_plain_words(name, locked_folder):
    before = (locked_folder / "den.job.json").read_bytes()
    with as_an_ordinary_user(), pytest.raises(ValueError) as refusal:
        write_job(OTHER, name)
    assert str(refusal.value) == f"{name}: the job was not saved: Permission denied. {UNCHANGED}"
    assert (names_in(locked_folder), (locked_folder / "den.job.json").read_bytes()) == (["den.job.json"], before)


def test_a_file_protected_against_writing_is_not_replaced(locked_folder):
    os.chmod(locked_folder, 0o777)
    before = (locked_folder / "den.job.json").read_bytes()
    with as_an_ordinary_user(), pytest.raises(ValueError) as refusal:
        write_job(OTHER, "den.job.json")
    assert str(refusal.value) == f"den.job.json: the job was not saved: Permission denied. {UNCHANGED}"
    assert (names_in(locked_folder), (locked_folder / "den.job.json").read_bytes()) == (["den.job.json"], before)


def test_a_file_that_may_not_be_read_is_told_in_plain_words(locked_folder):
    os.chmod("den.job.json", 0o000)
    with as_an_ordinary_user(), pytest.raises(FaultsError) as refusal:
        read_job("den.job.json")
    assert str(refusal.value) == refused("the file can't be opened: Permission denied.")


def test_a_replaced_file_keeps_its_rights_and_a_link_stays_a_link(den):
    den.chmod(0o640)
    link = den.with_name("today.job.json")
    link.symlink_to(den)
    write_job(OTHER, link)
    assert link.is_symlink()
    assert read_job(den) == OTHER
    assert stat.S_IMODE(den.stat().st_mode) == 0o640


@pytest.mark.parametrize(
    ("name", "reason"),
    [
        ("attic", "this is a folder. Add a name, such as hall.job.json."),
        ("/dev/null", "this is a device or a pipe, not a file."),
    ],
)
def test_what_can_not_be_a_file_is_told_in_plain_words(name, reason, folder):
    (folder / "attic").mkdir()
    with pytest.raises(ValueError) as refusal:
        write_job(JOB, name)
    assert str(refusal.value) == f"{name}: the job was not saved: {reason}"


def test_a_folder_that_is_not_there_is_told_in_plain_words(folder):
    with pytest.raises(ValueError) as refusal:
        write_job(JOB, "cellar/den.job.json")
    assert str(refusal.value) == (
        f"cellar/den.job.json: the job was not saved: there is no folder {folder.resolve() / 'cellar'} "
        "that can be opened."
    )


# --- a job that would not open again is not saved -----------------------------------------------------------


def strange(**more: Any) -> Job:
    return replace(JOB, room=replace(DEN, **more))


def unchecked(thing: Any, **more: Any) -> Any:
    """A copy with values its own class would refuse: what is saved is looked at once more."""
    twin = copy.copy(thing)
    for name, value in more.items():
        object.__setattr__(twin, name, value)
    return twin


@pytest.mark.parametrize(
    ("job", "faults"),
    [
        (
            replace(JOB, choices=fk.Choices(fk.Materials("Plnk", "Cellular", "Ovolo"))),
            [
                "choices: materials: board must name one of the file's boards, got 'Plnk'. There are: 'Plank'. "
                "Did you mean 'Plank'?",
                "choices: materials: trim must name one of the file's trims, got 'Ovolo'. There are: 'Scotia'.",
            ],
        ),
        (
            strange(pipes=tuple(unchecked(fk.Pipe((1, 60)), at=at) for at in ((math.nan, 60), (1, math.inf)))),
            [
                "room: pipe 1: at: x must be a finite number, got nan.",
                "room: pipe 2: at: y must be a finite number, got inf.",
            ],
        ),
        (replace(JOB, room=unchecked(DEN, heated=1)), ["room: heated must be true or false, got 1."]),
        (strange(name="a\ud800"), ["room: name must be text of whole characters, got 'a\\ud800'."]),
        (
            replace(JOB, choices=replace(CHOICES, laying=fk.Laying(seed=10**5000))),
            ["choices: laying: seed must be a whole number of at most 18 digits, got more."],
        ),
        (
            strange(pipes=(unchecked(fk.Pipe((1, 60)), at=(Decimal("3100.5"), 60)),)),
            ["room: pipe 1: at 1 is of a kind that can't be saved, Decimal."],
        ),
        (
            replace(JOB, catalogue=replace(CATALOGUE, trims={1: SCOTIA})),
            ["catalogue: trims must have names that are text, got 1."],
        ),
        (
            strange(notes=("x" * 9999,) * 600),
            ["the file would be larger than 5 MB. Keep the products chosen only."],
        ),
    ],
    ids=["names", "not finite", "not true", "half a character", "seed", "Decimal", "nameless", "large"],
)  # fmt: skip
def test_a_job_that_would_not_open_again_is_not_saved_and_the_old_file_stays(job, faults, den):
    before = den.read_bytes()
    with pytest.raises(ValueError) as refusal:
        write_job(job, "den.job.json")
    count = f"{len(faults)} fault{'s' if len(faults) != 1 else ''}"
    told = "\n".join([f"den.job.json: {count} found, nothing was saved.", *(f"  - {fault}" for fault in faults)])
    assert str(refusal.value) == told
    assert not isinstance(refusal.value, FaultsError)
    assert (names_in(den.parent), den.read_bytes()) == (["den.job.json"], before)


# --- three hundred damaged files ----------------------------------------------------------------------------

SLOWEST_S = 1.0
WORSE = (
    b"0", b"-1", b"1e9", b"1e308", b"1e999", b"-0.0", b"NaN", b"-Infinity", b"99999999999999999999", b"9" * 5000,
    b"true", b"null", b'""', b'"4200"', b"[]", b"{}", b"[[0, 0]]", b'{"wall": 1}', b'"\\ud800"', b'"long"', b"[" * 3000,
)  # fmt: skip


def damaged(content: bytes, draw: random.Random) -> bytes:
    """The content with one to three pieces of damage."""
    for _ in range(draw.choice((1, 1, 2, 3))):
        kind = draw.randrange(6)
        at = draw.randrange(len(content))
        lines = content.split(b"\n")
        if kind == 0:
            content = content[:at] + bytes([content[at] ^ 1 << draw.randrange(8)]) + content[at + 1 :]
        elif kind == 1:
            content = content[:at] + content[at + draw.randint(1, 40) :]
        elif kind == 2:
            content = content[:at] if draw.random() < 0.3 else content
        elif kind in (3, 4):
            values = list(re.finditer(rb'(?<=: )(-?[\d.]+|"[^"\n]*"|true|false|null)|(?<= )-?[\d.]+(?=,?\n)', content))
            if values:
                hit, other = draw.choice(values), draw.choice(values)
                new = draw.choice((*WORSE, other.group(), other.group(), str(draw.randint(-9000, 9000)).encode()))
                content = content[: hit.start()] + new + content[hit.end() :]
        else:
            keyed = [number for number, line in enumerate(lines) if re.search(rb'": [^{\[]*,$', line)]
            if keyed:
                again = draw.choice(keyed)
                content = b"\n".join([*lines[:again], lines[again], *lines[again:]])
        content = content or b" "
    return content


def test_three_hundred_damaged_jobs_are_each_refused_in_words_or_hold_a_sound_room(folder):
    path = folder / "den.job.json"
    sources = []
    for room in (DEN, *map(demo_room, DEMO_ROOMS)):
        write_job(replace(JOB, room=room, choices=AWAY_FROM_DEFAULT), path)
        sources.append(path.read_bytes())
    draw = random.Random(20)
    sound = 0
    for number in range(300):
        content = damaged(sources[number % len(sources)], draw)
        path.write_bytes(content)
        start = time.process_time()
        try:
            job = read_job(path)
        except FaultsError as refusal:
            told = str(refusal)
            plain = path.name in told and all(len(fault) > 10 and fault.isprintable() for fault in refusal.faults)
            if not plain or not refusal.faults:
                pytest.fail(told)
        else:
            sound += 1
            assert job.room.polygon.is_valid
            assert 0 < job.room.polygon.area <= 100_000.0**2
            assert all(obstacle.polygon.is_valid for obstacle in job.room.obstacles)
            assert job.catalogue.board(job.choices.materials.board)
            assert job.catalogue.underlay(job.choices.materials.underlay)
            job.catalogue.trim(job.choices.materials.trim)
            write_job(job, folder / "again.job.json")  # what opens can be saved
            assert read_job(folder / "again.job.json") == job
        assert time.process_time() - start < SLOWEST_S, f"{number}: {content[:200]!r}"
        assert path.read_bytes() == content
    # both ends of the test are met: most damage is found, and some leaves another sound job
    assert 20 < sound < 150
