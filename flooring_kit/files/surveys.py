"""Reading a survey: a TOML file with one room, or a set of rooms as [[room]] tables."""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from shapely import Point, Polygon

from flooring_kit.area_check import area_from_triangles_m2, compare_areas, triangles_from_ties
from flooring_kit.checks import FaultsError, require_one_of, shown
from flooring_kit.files import survey_geometry as geometry
from flooring_kit.files.text import read_text
from flooring_kit.outlines import unit_fault
from flooring_kit.products import ByName
from flooring_kit.room import (
    Appliance,
    Corner,
    Door,
    Edge,
    FloorBeyond,
    Leaf,
    Level,
    Obstacle,
    Pipe,
    Room,
    Straightedge,
)
from flooring_kit.tape import TapeFit, TapeWall, Tie, fit_tape

if TYPE_CHECKING:
    from flooring_kit.files.survey_shape import Checked, DoorTable, RoomTable

TABLES = ("obstacle", "pipe", "door", "edge", "wall", "tie", "level", "straightedge", "appliance")

AT_THE_WALL_MM = 400.0
"""A reading may be taken in a doorway, a little outside the wall faces."""

ENDLESS_NAME = re.compile(r"(?:\.[ \t]*[^\s.,=\[\]#]+[ \t]*){30}")
"""A dotted key far longer than any survey's. The time tomllib takes grows with the square of the parts."""


def read_room(path: str | os.PathLike[str], *, name: str | None = None) -> Room:
    """One room from a survey file.

    Parameters
    ----------
    path
        TOML file, lengths in mm: one room at the top level, or a set of rooms as [[room]] tables.
    name
        Which room of a set; not needed where the file holds one.

    Raises
    ------
    FaultsError
        For anything wrong in the file, all at once, and for a set where `name` is not given.
    ValueError
        For a name that no room of the file has.
    FileNotFoundError
        Where there is no such file.

    Examples
    --------
    >>> from flooring_kit.files import demo_path
    >>> room = read_room(demo_path("rooms", "box_room.toml"))
    >>> room.name, len(room.doors), room.polygon.area / 1e6
    ('Box room', 1, 6.6402)
    """
    rooms = read_rooms(path)
    if name is not None:
        return rooms[require_one_of(name, rooms, f"{os.fspath(path)}: name")]
    if len(rooms) > 1:
        names = ", ".join(shown(each) for each in rooms)
        fault = f"the file holds {len(rooms)} rooms: {names}. Say which with name=..."
        raise FaultsError(os.fspath(path), [fault])
    return next(iter(rooms.values()))


def read_rooms(path: str | os.PathLike[str]) -> dict[str, Room]:
    """All rooms of a survey file by name, in the file's order.

    Parameters
    ----------
    path
        TOML file, lengths in mm: one room at the top level, or a set of rooms as [[room]] tables.

    Raises
    ------
    FaultsError
        For anything wrong in the file, all at once.
    FileNotFoundError
        Where there is no such file.

    Examples
    --------
    >>> from flooring_kit.files import demo_path
    >>> list(read_rooms(demo_path("rooms", "hall.toml")))
    ['Hall']
    """
    typed = os.fspath(path)
    table = _toml(typed, read_text(path))
    faults: list[str] = []
    read: list[Room | None] = []
    if "room" in table:
        tables, faults = _tables_of_set(table)
        for number, entry in enumerate(tables, start=1):
            room, found = _room(entry)
            given = entry.get("name")
            who = f"room {number} ({shown(given)})" if given and isinstance(given, str) else f"room {number}"
            faults += [f"{who}: {fault}" for fault in found]
            read.append(room)
        faults += _repeated_names(tables)
    else:
        room, faults = _room(table)
        read = [room]
    if faults:
        raise FaultsError(typed, faults)
    return ByName("room", {room.name: room for room in read if room is not None})


def room_of_table(table: Mapping[str, Any]) -> Room:
    """The room of one table, as a file with that table at its top level would give it.

    Parameters
    ----------
    table
        Keys and values as in a survey file.

    Raises
    ------
    FaultsError
        For anything wrong in it, all at once, under the room's name.
    """
    room, faults = _room(table)
    if room is None or faults:
        raise FaultsError(str(table.get("name") or "room"), faults)
    return room


def survey_tables(path: str | os.PathLike[str]) -> list[dict[str, Any]]:
    """The tables of a survey file's rooms as they stand, in order.

    Raises
    ------
    FaultsError, FileNotFoundError
        For a file that is no TOML, and where there is none.
    """
    table = _toml(os.fspath(path), read_text(path))
    return list(table["room"]) if "room" in table else [table]


def _toml(typed: str, text: str) -> dict[str, Any]:
    if not text.strip():
        raise FaultsError(typed, ["the file is empty. A survey gives at least name and outline."])
    endless = ENDLESS_NAME.search(text)
    if endless:
        line = text.count("\n", 0, endless.start()) + 1
        raise FaultsError(typed, [f"this is not a survey: line {line} holds a name of more than 30 parts."])
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as slip:
        twice = "overwrite" in str(slip)
        next_step = "A key is given twice." if twice else "Look there for a missing quote, comma or bracket."
        fault = f"this is not TOML: {slip}. {next_step}"
    except RecursionError:
        fault = "this is not a survey: its brackets are nested too deeply."
    except ValueError:
        # Python itself declines to read whole numbers of more than 4300 digits
        fault = "this is not a survey: a number in it has too many digits."
    raise FaultsError(typed, [fault])


def _tables_of_set(table: Mapping[str, Any]) -> tuple[list[Mapping[str, Any]], list[str]]:
    rooms = table["room"]
    faults = []
    for key in table:
        if key == "room":
            continue
        if key in TABLES:
            faults.append(f"[[{key}]] stands beside [[room]]. In a set write [[room.{key}]] below its room.")
        else:
            faults.append(
                f"{shown(key)} stands beside [[room]]. A file holds one room at the top level, "
                f"or a set of [[room]] tables, not both."
            )
    if not isinstance(rooms, list) or not rooms or not all(isinstance(entry, Mapping) for entry in rooms):
        return [], [*faults, "room must be written [[room]], with double brackets, once for each room."]
    return rooms, faults


def _repeated_names(tables: Sequence[Mapping[str, Any]]) -> list[str]:
    first: dict[str, int] = {}
    faults = []
    for number, entry in enumerate(tables, start=1):
        name = entry.get("name")
        if not isinstance(name, str):
            continue
        earlier = first.setdefault(name, number)
        if earlier != number:
            both = f"rooms {earlier} and {number} are both named {shown(name)}"
            faults.append(f"{both}. Give each its own name.")
    return faults


def _room(table: Mapping[str, Any]) -> tuple[Room | None, list[str]]:
    """The room, or None and its faults: first those of shape, then those of geometry."""
    # brings pydantic, which costs 0.1 s: only when a survey is read
    from flooring_kit.files.survey_shape import check_shape

    checked = check_shape(table)
    faults = [*checked.faults, *_outline_or_tape_faults(table)]
    fit = None
    if not faults and checked.model is not None and checked.model.wall:
        fit, faults = _fitted(checked.model)
    outline = fit.outline if fit is not None else _corners(checked.sound("outline") or None)
    faults += _geometry_faults(checked, outline)
    if faults or checked.model is None or outline is None:
        return None, faults
    try:
        notes = [] if fit is None else [fit.verdict, *_second_area(checked.model, outline)]
        return _built(checked.model, outline, tuple(notes)), []
    except ValueError as slip:
        return None, [str(slip)]


def _outline_or_tape_faults(table: Mapping[str, Any]) -> list[str]:
    """A survey gives its corners or its walls as taped, not both and not neither."""
    if "outline" in table and "wall" in table:
        return ["outline and [[wall]] stand in one room. Give the corners or the walls as taped, not both."]
    if "outline" not in table and "wall" not in table:
        tie = " A [[tie]] alone gives no room: list the walls in order as [[wall]]." if "tie" in table else ""
        example = "outline = [[0, 0], [4200, 0], [4200, 2920], [0, 2920]]"
        return [f"outline is missing. Give the corners in order: {example}.{tie}"]
    if "tie" in table and "wall" not in table:
        return ["[[tie]] stands beside outline. A tie belongs to walls as taped: list them in order as [[wall]]."]
    return []


def _fitted(model: RoomTable) -> tuple[TapeFit | None, list[str]]:
    """The corners that suit walls and ties best, or what is wrong with them."""
    walls = [TapeWall(wall.length, wall.turn) for wall in model.wall]
    ties = [Tie(tie.corners[0], tie.corners[1], tie.length) for tie in model.tie]
    try:
        return fit_tape(walls, ties), []
    except FaultsError as slips:
        return None, list(slips.faults)
    except ValueError as slip:
        return None, [str(slip)]


def _second_area(model: RoomTable, outline: tuple[Corner, ...]) -> list[str]:
    """The area by triangles of the lengths as taped beside that of the fitted corners, where the ties allow it."""
    room = Polygon(outline)
    ties = {(min(tie.corners), max(tie.corners)): tie.length for tie in model.tie}
    triangles = triangles_from_ties([wall.length for wall in model.wall], ties)
    if not triangles or room.convex_hull.area > room.area * 1.001:
        return []
    try:
        return [compare_areas(room.area / 1e6, area_from_triangles_m2(triangles)).sentence()]
    except ValueError:  # sides that do not close: the verdict on the tape has told so already
        return []


def _corners(raw: Any) -> tuple[Corner, ...] | None:
    return None if raw is None else tuple((float(x), float(y)) for x, y in raw)


def _geometry_faults(checked: Checked, outline: tuple[Corner, ...] | None) -> list[str]:
    """What the sound parts of a table show, even where other parts are not sound."""
    walls = checked.count("outline") or checked.count("wall")
    faults: list[str] = []
    room: Polygon | None = None
    if isinstance(checked.table.get("outline"), list) and walls < 3 and "wall" not in checked.table:
        faults.append(f"outline must have at least 3 corners, got {walls}.")
        outline = None
    if outline is not None and not geometry.is_flat(outline):
        wrong_units = unit_fault(outline)
        if wrong_units:
            # whatever else is amiss with such an outline is a consequence, not a further fault
            faults.append(wrong_units)
            outline = None
    if outline is not None:
        wrong_size = [] if geometry.is_flat(outline) else geometry.extent_faults(outline)
        wrong_shape = geometry.shape_faults(outline, side="wall")
        faults += wrong_size + wrong_shape
        faults += geometry.stray_metre_faults(outline)
        if not wrong_shape and not wrong_size:
            room = Polygon(outline)
            faults += geometry.room_area_faults(room)
    if checked.model is not None and walls >= 3 and (checked.model.main_light or 0) > walls:
        light = checked.model.main_light
        faults.append(f"main_light must be from 1 to {walls}, got {light}. The outline has {walls} walls.")
    wrong_edges = _edge_faults(checked, outline, walls)
    if room is not None and checked.model is not None and not wrong_edges:
        room = _followed(checked.model, outline or ()) or room
    return [
        *faults,
        *_obstacle_faults(checked, room),
        *_pipe_faults(checked, room),
        *_door_faults(checked, outline, walls),
        *_reading_faults(checked, room),
        *wrong_edges,
    ]


def _followed(model: RoomTable, outline: tuple[Corner, ...]) -> Polygon | None:
    """The room's shape, its arcs and bows followed; None where they make it cross itself."""
    try:
        return Room(model.name, outline, edges=_edges(model)).polygon
    except ValueError:  # told when the room is built
        return None


def _obstacle_faults(checked: Checked, room: Polygon | None) -> list[str]:
    faults = []
    for index in range(checked.count("obstacle")):
        who = f"obstacle {index + 1}"
        raw = checked.table["obstacle"][index]
        corners = raw.get("outline") if isinstance(raw, Mapping) else None
        if isinstance(corners, list) and len(corners) < 3:
            faults.append(f"{who}: outline must have at least 3 corners, got {len(corners)}.")
            continue
        outline = _corners(checked.sound("obstacle", index, "outline"))
        if outline is not None:
            faults += [f"{who}: {fault}" for fault in geometry.obstacle_faults(outline, room)]
    return faults


def _pipe_faults(checked: Checked, room: Polygon | None) -> list[str]:
    faults: list[str] = []
    for index in range(checked.count("pipe")):
        at = checked.sound("pipe", index, "at")
        if at is not None and room is not None:
            diameter = checked.sound("pipe", index, "diameter")
            found = geometry.pipe_faults((float(at[0]), float(at[1])), diameter, room)
            faults += [f"pipe {index + 1}: {fault}" for fault in found]
    return faults


def _door_faults(checked: Checked, outline: tuple[Corner, ...] | None, walls: int) -> list[str]:
    faults = []
    placed: list[tuple[int, int, float, float]] = []
    for index in range(checked.count("door")):
        who = f"door {index + 1}"
        wall = checked.sound("door", index, "wall")
        start = checked.sound("door", index, "from_corner")
        opening = checked.sound("door", index, "opening")
        if wall is None:
            continue
        if walls >= 3 and wall > walls:
            faults.append(f"{who}: wall must be from 1 to {walls}, got {wall}. The outline has {walls} walls.")
            continue
        if start is None or opening is None:
            continue
        placed.append((index + 1, wall, start, opening))
        faults += [f"{who}: {fault}" for fault in _unpaired_keys(checked.table["door"][index])]
        fault = geometry.door_fit_fault(wall, start, opening, outline) if outline is not None else ""
        if fault:
            faults.append(f"{who}: {fault}")
    return faults + geometry.door_overlap_faults(placed)


def _unpaired_keys(door: Mapping[str, Any]) -> list[str]:
    """Keys of a door that say nothing without another one."""
    faults = []
    if "beyond_height" in door and "beyond" not in door:
        faults.append('beyond_height stands alone. Say what lies there: beyond = "carpet".')
    if "beyond" in door and "beyond_height" not in door:
        faults.append("beyond stands alone. Give the height of that floor: beyond_height = 18.")
    hung = [key for key in ("leaf_wanted", "leaf_swings", "leaf_high_spot") if key in door]
    if hung and "leaf_clearance" not in door:
        faults.append(f"{hung[0]} stands alone. Measure what is under the closed leaf: leaf_clearance = 5.")
    return faults


def _reading_faults(checked: Checked, room: Polygon | None) -> list[str]:
    """Readings of level and straightedge that lie outside the room."""
    if room is None:
        return []
    faults = []
    for key in ("level", "straightedge"):
        for index in range(checked.count(key)):
            at = checked.sound(key, index, "at")
            if at is not None and room.distance(Point(at)) > AT_THE_WALL_MM:
                faults.append(
                    f"{key} {index + 1}: at must lie in the room, got [{at[0]:g}, {at[1]:g}]. "
                    "Measure from the same corner as the outline."
                )
    return faults


def _edge_faults(checked: Checked, outline: tuple[Corner, ...] | None, walls: int) -> list[str]:
    faults = []
    seen: set[int] = set()
    for index in range(checked.count("edge")):
        who = f"edge {index + 1}"
        wall = checked.sound("edge", index, "wall")
        if wall is None:
            continue
        if walls >= 3 and wall > walls:
            faults.append(f"{who}: wall must be from 1 to {walls}, got {wall}. The outline has {walls} walls.")
            continue
        if wall in seen:
            faults.append(f"{who}: wall {wall} has an edge already. Give each wall one [[edge]].")
        seen.add(wall)
        rise = checked.sound("edge", index, "rise") or 0.0
        bow = checked.sound("edge", index, "bow") or []
        if outline is not None:
            faults += [f"{who}: {fault}" for fault in geometry.edge_faults(wall, rise, bow, outline)]
    return faults


def _edges(model: RoomTable) -> tuple[Edge, ...]:
    return tuple(
        Edge(
            each.wall,
            each.kind,
            each.rise,
            tuple((along, back) for along, back in each.bow),
            each.riser,
            each.risers_above,
        )
        for each in model.edge
    )


def _built(model: RoomTable, outline: tuple[Corner, ...], notes: tuple[str, ...]) -> Room:
    return Room(
        name=model.name,
        outline=outline,
        obstacles=tuple(
            Obstacle(each.name or f"obstacle {number}", _corners(each.outline) or (), each.kind)
            for number, each in enumerate(model.obstacle, start=1)
        ),
        pipes=tuple(Pipe((each.at[0], each.at[1]), each.diameter, each.kind) for each in model.pipe),
        doors=tuple(
            Door(
                wall=each.wall,
                from_corner_mm=each.from_corner,
                opening_mm=each.opening,
                recess_mm=each.recess,
                undercut=each.undercut,
                architrave_mm=each.architrave,
                name=each.name or "",
                leaf=_leaf(each),
                beyond=None if each.beyond is None else FloorBeyond(each.beyond, tuple(each.beyond_height)),
                fire_door=each.fire_door,
            )
            for each in model.door
        ),
        subfloor=model.subfloor,
        heated=model.heated,
        wet=model.wet,
        typed_in=model.units,
        edges=_edges(model),
        notes=notes,
        boards_run=model.boards_run,
        floorboards_run=model.floorboards_run,
        main_light=model.main_light,
        below=model.below,
        old_covering_mm=model.old_covering,
        old_covering_m2k_w=model.old_covering_resistance,
        levels=tuple(Level((each.at[0], each.at[1]), each.height) for each in model.level),
        straightedges=tuple(
            Straightedge((each.at[0], each.at[1]), each.gap, each.length) for each in model.straightedge
        ),
        appliances=tuple(Appliance(each.name, each.height, each.space) for each in model.appliance),
    )


def _leaf(door: DoorTable) -> Leaf | None:
    if door.leaf_clearance is None:
        return None
    return Leaf(door.leaf_clearance, door.leaf_wanted, door.leaf_swings, door.leaf_high_spot)
