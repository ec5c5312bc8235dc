"""A room being measured, as a survey file and back; and kept on disk while it is not finished."""

from __future__ import annotations

import json
import math
import os
from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from typing import Any

from flooring_kit.checks import FaultsError
from flooring_kit.draft import Draft, DraftDoor, DraftObstacle, DraftPipe, DraftTie, DraftWall, plain_number
from flooring_kit.files.saving import save_whole
from flooring_kit.files.surveys import read_rooms, room_of_table, survey_tables
from flooring_kit.files.text import read_text
from flooring_kit.room import Corner, Room
from flooring_kit.tape import TapeWall, Tie, fit_tape

BEHIND_MM = 20.0
"""A thing against a wall reaches so far behind its face in the file, and is clipped: no sliver is left beside it."""

ALIKE_MM = 0.6
"""How near a rectangle at a wall must come to an outline to stand for it."""

SHOWN = (
    "name",
    "units",
    "outline",
    "wall",
    "tie",
    "door",
    "pipe",
    "obstacle",
    "subfloor",
    "below",
    "heated",
    "wet",
    "old_covering",
)
DOOR_SHOWN = ("wall", "from_corner", "opening", "recess", "name", "undercut")


def survey_table(draft: Draft) -> dict[str, Any]:
    """The draft as the table of a survey file.

    Parameters
    ----------
    draft
        Walls that close, where anything stands at them.

    Raises
    ------
    FaultsError
        Where pipes or obstacles stand at walls that make no room yet.
    """
    table: dict[str, Any] = {"name": draft.name, "units": draft.units, "subfloor": draft.subfloor}
    table |= {key: True for key, value in (("heated", draft.heated), ("wet", draft.wet)) if value}
    if draft.below:
        table["below"] = draft.below
    if draft.old_covering.strip() not in ("", "0"):
        table["old_covering"] = _typed(draft.old_covering)
    table |= dict(draft.kept)
    is_anticlockwise = sum(wall.turn_degrees for wall in draft.walls) < -180
    if draft.placed is not None or is_anticlockwise:
        table["outline"] = [_in_mm(corner) for corner in _fitted_corners(draft, mirrored=is_anticlockwise)]
    else:
        table["wall"] = [{"length": _typed(wall.length), "turn": wall.turn_degrees} for wall in draft.walls]
        if draft.ties:
            ties = [{"corners": [tie.first, tie.second], "length": _typed(tie.length)} for tie in draft.ties]
            table["tie"] = ties
    if draft.doors:
        table["door"] = [_door_table(door) for door in draft.doors]
    if draft.pipes or draft.obstacles:
        bare = room_of_table({key: value for key, value in table.items() if key not in ("door", "edge")})
        table |= _things(draft, bare)
    return table


def _fitted_corners(draft: Draft, *, mirrored: bool) -> list[Corner]:
    """Corners of a draft whose walls can't stand in a file as taped.

    Walls as taped begin at the origin and are gone round with the walls on the left hand. A room gone round the other
    way is fitted as its mirror image and turned back; one placed elsewhere is turned and moved there.
    """
    faults: list[str] = []

    def taped(typed: str, name: str) -> float:
        try:
            return draft.length_mm(typed, name)
        except ValueError as slip:
            faults.append(str(slip))
            return 1.0

    hand = -1 if mirrored else 1
    walls = [
        TapeWall(taped(wall.length, f"wall {number}: length"), hand * wall.turn_degrees)
        for number, wall in enumerate(draft.walls, start=1)
    ]
    ties = [
        Tie(tie.first, tie.second, taped(tie.length, f"tie {number}: length"))
        for number, tie in enumerate(draft.ties, start=1)
    ]
    if faults:
        raise FaultsError(draft.name, faults)
    try:
        fitted = fit_tape(walls, ties)
    except FaultsError as slips:
        raise FaultsError(draft.name, slips.faults) from slips
    except ValueError as slip:
        raise FaultsError(draft.name, [str(slip)]) from slip
    x0, y0, heading = draft.placed or (0.0, 0.0, 0.0)
    first, second = fitted.outline[:2]
    turn = math.radians(heading) - math.atan2(hand * (second[1] - first[1]), second[0] - first[0])
    cos, sin = math.cos(turn), math.sin(turn)
    corners = [(x - first[0], hand * (y - first[1])) for x, y in fitted.outline]
    return [(x0 + cos * x - sin * y, y0 + sin * x + cos * y) for x, y in corners]


def _typed(text: str) -> float | int | str:
    """A length as the file takes it: a plain number in the table's units, anything else as text."""
    number = plain_number(text)
    if number is None:
        return text.strip()
    return int(number) if number == int(number) and not set(",.") & set(text) else number


def _door_table(door: DraftDoor) -> dict[str, Any]:
    table = {
        "wall": door.wall,
        "from_corner": _typed(door.along),
        "opening": _typed(door.opening),
        "recess": _typed(door.recess or "0"),
        "undercut": door.undercut,
    }
    return {**table, **({"name": door.name} if door.name.strip() else {}), **dict(door.kept)}


def _things(draft: Draft, room: Room) -> dict[str, Any]:
    """Pipes and obstacles at the corners as fitted, every length a text with its unit."""
    faults: list[str] = []

    def place(wall: int, along: str, out: str, who: str) -> Corner | None:
        if not 1 <= wall <= len(room.outline):
            faults.append(f"{who}: wall must be from 1 to {len(room.outline)}, got {wall}.")
            return None
        try:
            reach = draft.length_mm(along, f"{who}: along"), draft.length_mm(out, f"{who}: out")
        except ValueError as slip:
            faults.append(str(slip))
            return None
        return at_wall(room, wall, *reach)

    pipes = []
    for number, pipe in enumerate(draft.pipes, start=1):
        at = place(pipe.wall, pipe.along, pipe.out, f"pipe {number}")
        if at is not None:
            pipes.append({"at": _in_mm(at), "diameter": _typed(pipe.diameter), "kind": pipe.kind})
    obstacles = []
    for number, thing in enumerate(draft.obstacles, start=1):
        who = f"obstacle {number}"
        outline: Sequence[Corner] | None = thing.outline or None
        if outline is None:
            try:
                outline = rectangle_at_wall(draft, room, thing, who)
            except ValueError as slip:
                faults.append(str(slip))
                continue
        obstacles.append({"name": thing.name, "kind": thing.kind, "outline": [_in_mm(each) for each in outline]})
    if faults:
        raise FaultsError(draft.name, faults)
    return {**({"pipe": pipes} if pipes else {}), **({"obstacle": obstacles} if obstacles else {})}


def _in_mm(corner: Corner) -> list[str]:
    return [f"{round(value, 1):g} mm" for value in corner]


def _frame(room: Room, wall: int) -> tuple[Corner, Corner, Corner]:
    """A wall's first corner, its direction, and the way into the room."""
    (x0, y0), (x1, y1) = room.walls[wall - 1]
    length = math.hypot(x1 - x0, y1 - y0)
    along = (x1 - x0) / length, (y1 - y0) / length
    inward = (along[1], -along[0]) if room.turns_clockwise else (-along[1], along[0])
    return (x0, y0), along, inward


def at_wall(room: Room, wall: int, along_mm: float, out_mm: float) -> Corner:
    """The point so far along a wall and out from it [mm, survey axes]."""
    (x, y), along, inward = _frame(room, wall)
    return x + along_mm * along[0] + out_mm * inward[0], y + along_mm * along[1] + out_mm * inward[1]


def from_wall(room: Room, wall: int, point: Corner) -> tuple[float, float]:
    """How far a point lies along a wall and out from it [mm]."""
    (x, y), along, inward = _frame(room, wall)
    dx, dy = point[0] - x, point[1] - y
    return dx * along[0] + dy * along[1], dx * inward[0] + dy * inward[1]


def rectangle_at_wall(draft: Draft, room: Room, thing: DraftObstacle, who: str) -> list[Corner]:
    """Corners of a rectangle at a wall; one against it reaches `BEHIND_MM` behind its face.

    Raises
    ------
    ValueError
        For a wall there is not, and for what is no length.
    """
    if not 1 <= thing.wall <= len(room.outline):
        raise ValueError(f"{who}: wall must be from 1 to {len(room.outline)}, got {thing.wall}.")
    along, out, width, depth = (
        draft.length_mm(typed, f"{who}: {name}")
        for typed, name in (
            (thing.along, "along"),
            (thing.out, "out"),
            (thing.width, "width"),
            (thing.depth, "depth"),
        )
    )
    near = -BEHIND_MM if out <= 0 else out
    far = max(out, 0) + depth
    return [
        at_wall(room, thing.wall, *reach)
        for reach in ((along, near), (along + width, near), (along + width, far), (along, far))
    ]


def room_of_draft(draft: Draft) -> Room:
    """The room as measured so far.

    Raises
    ------
    FaultsError
        For walls that do not close, and everything a survey file is refused for, all at once.
    """
    if len(draft.walls) < 3:
        raise FaultsError(draft.name, [f"a room has at least 3 walls, this one has {len(draft.walls)} so far."])
    try:
        return room_of_table(survey_table(draft))
    except FaultsError as slips:
        if not _has_too_few_ties(draft, slips):
            raise
        room = room_of_table(survey_table(replace(draft, ties=())))
        (first, *more) = [fault for fault in slips.faults if TOO_FEW_TIES in fault]
        return replace(room, notes=(f"Planned by the walls and the turns as typed, ties left out: {first}", *more))


TOO_FEW_TIES = "the walls and ties do not fix the shape"
"""How the fit complains of ties that check nothing yet: more measuring must not give less than none."""


def _has_too_few_ties(draft: Draft, slips: FaultsError) -> bool:
    return bool(draft.ties) and any(TOO_FEW_TIES in fault for fault in slips.faults)


def write_survey(draft: Draft, path: str | os.PathLike[str]) -> None:
    """Save the draft as a survey file, whole or not at all; it is read back before it takes the old one's place.

    Ties too few to fix the shape are left out of the file: with them it would be refused.

    Parameters
    ----------
    draft
        A room that closes.
    path
        A name that ends in `.toml`.

    Raises
    ------
    FaultsError
        For a draft that is no room yet.
    ValueError
        For another ending; for a folder or a file that can't be written.
    """
    import tomli_w

    typed = os.fspath(path)
    if not typed.lower().endswith(".toml"):
        raise ValueError(f"{typed}: the survey was not saved: its name must end in .toml.")
    try:
        table = survey_table(draft)
        room_of_table(table)
    except FaultsError as slips:
        if not _has_too_few_ties(draft, slips):
            raise
        table = survey_table(replace(draft, ties=()))
        room_of_table(table)
    head = "# A survey of one room; data/survey_example.toml of the project shows every key.\n"
    save_whole(typed, (head + tomli_w.dumps(table)).encode("utf-8"), what="the survey", such_as="my room.toml")


def read_draft(path: str | os.PathLike[str]) -> Draft:
    """A survey file of one room as a draft that can be gone on with.

    Parameters
    ----------
    path
        As for :func:`flooring_kit.read_room`. Corners given as an outline become walls with their turns.

    Raises
    ------
    FaultsError, FileNotFoundError
        As for :func:`flooring_kit.read_room`.
    """
    typed = os.fspath(path)
    rooms = list(read_rooms(path).values())  # everything wrong in the file is told here
    if len(rooms) > 1:
        raise FaultsError(typed, [f"the file holds {len(rooms)} rooms; one is measured at a time."])
    (room,) = rooms
    table = survey_tables(path)[0]
    units = table.get("units", "mm")
    walls = _walls_of_outline(room, units) if "outline" in table else None
    return Draft(
        name=room.name,
        units=units,
        walls=walls
        if walls is not None
        else tuple(DraftWall(str(each["length"]), float(each.get("turn", 90.0))) for each in table["wall"]),
        ties=tuple(
            DraftTie(each["corners"][0], each["corners"][1], str(each["length"])) for each in table.get("tie", [])
        ),
        doors=tuple(_draft_door(each) for each in table.get("door", [])),
        pipes=tuple(_draft_pipe(room, pipe.at, pipe.diameter_mm, pipe.kind, units) for pipe in room.pipes),
        obstacles=tuple(_draft_obstacle(room, each.name, each.kind, each.outline, units) for each in room.obstacles),
        subfloor=room.subfloor,
        below=room.below or "",
        heated=room.heated,
        wet=room.wet,
        old_covering=f"{room.old_covering_mm:g} mm" if room.old_covering_mm else "0",
        kept=tuple((key, value) for key, value in table.items() if key not in SHOWN),
        placed=None if walls is None else _placed(room),
    )


def _placed(room: Room) -> tuple[float, float, float]:
    (x0, y0), (x1, y1) = room.walls[0]
    return x0, y0, round(math.degrees(math.atan2(y1 - y0, x1 - x0)), 6)


def _walls_of_outline(room: Room, units: str) -> tuple[DraftWall, ...]:
    """Walls and turns of corners: walked as the corners stand, the turn + to the right."""
    headings = [math.atan2(y1 - y0, x1 - x0) for (x0, y0), (x1, y1) in room.walls]
    walls = []
    for number, heading in enumerate(headings):
        turn = math.degrees(heading - headings[(number + 1) % len(headings)])
        turn = (turn + 180) % 360 - 180
        walls.append(DraftWall(_with_unit(room.wall_length_mm(number + 1), units), round(turn, 3)))
    return tuple(walls)


def _draft_door(table: Mapping[str, Any]) -> DraftDoor:
    return DraftDoor(
        wall=table["wall"],
        along=str(table["from_corner"]),
        opening=str(table["opening"]),
        recess=str(table.get("recess", 0)),
        name=table.get("name", ""),
        undercut=table.get("undercut", True),
        kept=tuple((key, value) for key, value in table.items() if key not in DOOR_SHOWN),
    )


def _nearest_wall(room: Room, point: Corner) -> int:
    def off(wall: int) -> float:
        along, out = from_wall(room, wall, point)
        beyond = max(0.0, -along, along - room.wall_length_mm(wall))
        return math.hypot(out, beyond)

    return min(range(1, len(room.outline) + 1), key=off)


def _with_unit(value_mm: float, units: str) -> str:
    return f"{round(value_mm, 1):g}" + ("" if units == "mm" else " mm")


def _draft_pipe(room: Room, at: Corner, diameter_mm: float, kind: str, units: str) -> DraftPipe:
    wall = _nearest_wall(room, at)
    along, out = from_wall(room, wall, at)
    return DraftPipe(wall, _with_unit(along, units), _with_unit(out, units), _with_unit(diameter_mm, units), kind)


def _draft_obstacle(room: Room, name: str, kind: str, outline: Sequence[Corner], units: str) -> DraftObstacle:
    """A rectangle at the nearest wall it stands square to; any other outline as it came."""
    for wall in sorted(range(1, len(room.outline) + 1), key=lambda each: _distance(room, each, outline)):
        reach = [from_wall(room, wall, corner) for corner in outline]
        alongs, outs = [each[0] for each in reach], [each[1] for each in reach]
        box = [(x, y) for x in (min(alongs), max(alongs)) for y in (min(outs), max(outs))]
        if len(outline) == 4 and all(min(math.dist(corner, each) for each in reach) <= ALIKE_MM for corner in box):
            out = max(0.0, min(outs)) if min(outs) > ALIKE_MM else 0.0
            sizes = (min(alongs), out, max(alongs) - min(alongs), max(outs) - out)
            along, near, width, depth = (_with_unit(size, units) for size in sizes)
            return DraftObstacle(name, wall, along, near, width, depth, kind)
    return DraftObstacle(name, 1, "0", "0", "0", "0", kind, tuple((float(x), float(y)) for x, y in outline))


def _distance(room: Room, wall: int, outline: Sequence[Corner]) -> float:
    return min(abs(from_wall(room, wall, corner)[1]) for corner in outline)


# ---------------------------------------------------------------------- while it is not finished


def keep_draft(draft: Draft, path: str | os.PathLike[str]) -> None:
    """Keep a draft on disk, whole or not at all, however little of a room it is.

    Raises
    ------
    ValueError
        For a folder or a file that can't be written.
    """
    content = json.dumps(asdict(draft), ensure_ascii=False, indent=1, default=str)
    save_whole(path, content.encode("utf-8"), what="the room being measured", such_as="room being measured.json")


def kept_draft(path: str | os.PathLike[str]) -> Draft:
    """The draft kept there.

    Raises
    ------
    FaultsError
        For a file that holds no draft.
    FileNotFoundError
        Where there is no such file.
    """
    from pydantic import TypeAdapter, ValidationError

    try:
        return TypeAdapter(Draft).validate_json(read_text(path))
    except ValidationError as slip:
        first = slip.errors()[0]
        where = ".".join(map(str, first["loc"])) or "the file"
        raise FaultsError(os.fspath(path), [f"this is no room being measured: {where}: {first['msg']}."]) from slip
