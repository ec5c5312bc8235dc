"""A surveyed room: outline at floor level, what stands in it, its doors and pipes.

Survey axes: x to the right, y up, seen from above, in mm. Corners count from 1 in the order they were measured;
wall 1 runs from corner 1 to corner 2.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Literal

from shapely import Polygon

from flooring_kit.checks import (
    met,
    require_between,
    require_direction,
    require_number,
    require_one_of,
    require_text,
    require_things,
    require_truth,
    require_whole,
    require_zero_or,
    size_hint,
)
from flooring_kit.curves import arc_points, bow_points
from flooring_kit.outlines import LONGEST_ROOM_SIDE_MM as LONGEST_ROOM_SIDE_MM
from flooring_kit.outlines import (
    SHORTEST_ROOM_SIDE_MM,
    corner_at,
    corners_of,
    obstacle_size_fault,
    pairs_of,
    require_sound,
    unit_fault,
)
from flooring_kit.outlines import Corner as Corner

SUBFLOORS = ("concrete", "screed", "timber")
OBSTACLE_KINDS = ("fixed", "hearth", "island", "unit", "wardrobe", "column", "stairs")
MUST_NOT_STAND_ON_FLOOR = ("island", "unit", "wardrobe")
"""Kinds that would trap a floating floor: they stand on the subfloor, and the floor stops short of them."""

EDGE_KINDS = ("skirting", "plinth", "end panel", "hearth", "sill", "stair riser")
PIPE_KINDS = ("pipe", "radiator foot")
FLOORS_BEYOND = ("same floor", "carpet", "hard floor", "hearth", "outside")
SWINGS = ("in", "out")
FLOORS_BELOW = ("ground", "ventilated void", "heated room")


LEAST_FROM_CORNER_MM = 1.0
"""A door nearer to its corner, but not at it, was placed in metres. The survey reader asks for 10; here a room turned,
mirrored or measured anew may leave a door a few mm from where it was."""


def _whole_wall(wall: Any) -> Any:
    """A wall's number as an int, 2.0 read for 2; the room tells what is no number of its walls."""
    return int(wall) if isinstance(wall, float) and wall.is_integer() else wall


@dataclass(frozen=True)
class Obstacle:
    """Something the floor stops short of: a hearth, an island, a column.

    Parameters
    ----------
    name
        What it is called on the drawing.
    outline
        Corners in order [mm, survey axes]. The part outside the room is left out of account.
    kind
        One of `OBSTACLE_KINDS`.
    """

    name: str
    outline: tuple[Corner, ...]
    kind: str = "fixed"

    def __post_init__(self) -> None:
        who = f"obstacle {self.name!r}:"
        require_text(self.name, "name of an obstacle")
        require_one_of(self.kind, OBSTACLE_KINDS, f"{who} kind")
        object.__setattr__(self, "outline", corners_of(self.outline, who))
        too_small = obstacle_size_fault(self.outline)
        if too_small:
            raise ValueError(f"{who} {too_small}")
        require_sound(self.polygon, who, "it")

    @cached_property
    def polygon(self) -> Polygon:
        """The obstacle's plan shape [mm, survey axes]."""
        return Polygon(self.outline)


@dataclass(frozen=True)
class Pipe:
    """A pipe that comes up through the floor.

    Parameters
    ----------
    at
        Centre [mm, survey axes].
    diameter_mm
        Outside diameter [mm], 4 to 200.
    kind
        One of `PIPE_KINDS`: a radiator that stands on feet is gone round like a pipe at each foot.
    """

    at: Corner
    diameter_mm: float = 15.0
    kind: str = "pipe"

    def __post_init__(self) -> None:
        object.__setattr__(self, "at", corner_at(self.at, "pipe: at"))
        hint = size_hint(self.diameter_mm, 4, 200)
        require_between(self.diameter_mm, 4, 200, "pipe diameter", unit="mm", hint=hint)
        require_one_of(self.kind, PIPE_KINDS, "pipe kind")


@dataclass(frozen=True)
class Leaf:
    """The leaf of a door, as it hangs before the new floor is laid.

    Parameters
    ----------
    clearance_mm
        Under the closed leaf, -5 to 200 [mm]; below 0 it drags. Over the present floor at its highest there: that of
        this room where the leaf swings in, that beyond where it swings out.
    wanted_mm
        Clearance wanted over the new floor, 0 to 50 [mm].
    swings
        One of `SWINGS`: "in", over this room's floor, or "out", over the floor beyond.
    high_spot_mm
        How much higher the floor is somewhere in its swing than under the closed leaf, 0 to 50 [mm].
    """

    clearance_mm: float
    wanted_mm: float = 6.0
    swings: str = "in"
    high_spot_mm: float = 0.0

    def __post_init__(self) -> None:
        require_between(self.clearance_mm, -5, 200, "leaf: clearance", unit="mm")
        require_between(self.wanted_mm, 0, 50, "leaf: clearance wanted", unit="mm")
        require_one_of(self.swings, SWINGS, "leaf: swings")
        require_between(self.high_spot_mm, 0, 50, "leaf: high spot", unit="mm")


@dataclass(frozen=True)
class FloorBeyond:
    """The finished floor on the other side of a doorway, as it will be when the work is done.

    Parameters
    ----------
    kind
        One of `FLOORS_BEYOND`.
    heights_mm
        Its top above this room's bare subfloor at the two ends of the opening, that nearer the wall's first corner
        first, -150 to 300 [mm].
    """

    kind: str
    heights_mm: tuple[float, float]

    def __post_init__(self) -> None:
        require_one_of(self.kind, FLOORS_BEYOND, "floor beyond: kind")
        if not isinstance(self.heights_mm, list | tuple) or len(self.heights_mm) != 2:
            raise ValueError(
                f"floor beyond: heights must be two, (near end, far end) in mm, got {met(self.heights_mm)}."
            )
        object.__setattr__(self, "heights_mm", tuple(self.heights_mm))
        for height in self.heights_mm:
            require_between(height, -150, 300, "floor beyond: height", unit="mm")


@dataclass(frozen=True)
class Level:
    """One reading of the subfloor's height.

    Parameters
    ----------
    at
        Where it was taken [mm, survey axes].
    height_mm
        Height over any mark that is the same for all readings, -300 to 300 [mm]; higher floor, larger figure.
    """

    at: Corner
    height_mm: float

    def __post_init__(self) -> None:
        object.__setattr__(self, "at", corner_at(self.at, "level: at"))
        require_between(self.height_mm, -300, 300, "level: height", unit="mm")


@dataclass(frozen=True)
class Straightedge:
    """One reading under a straightedge that rests on the subfloor.

    Parameters
    ----------
    at
        Where the middle of the straightedge lay [mm, survey axes].
    gap_mm
        Largest gap under it, 0 to 100 [mm].
    length_mm
        Its length, 500 to 4000 [mm].
    """

    at: Corner
    gap_mm: float
    length_mm: float = 2000.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "at", corner_at(self.at, "straightedge: at"))
        require_between(self.gap_mm, 0, 100, "straightedge: gap", unit="mm")
        require_between(self.length_mm, 500, 4000, "straightedge: length", unit="mm")


@dataclass(frozen=True)
class Appliance:
    """Something that must slide out again from under a worktop when the floor has grown.

    Parameters
    ----------
    name
        What it is called.
    height_mm
        Its own height with its feet screwed in, 100 to 2500 [mm].
    space_mm
        From the present floor to the underside of what it stands under, 100 to 2600 [mm].
    """

    name: str
    height_mm: float
    space_mm: float

    def __post_init__(self) -> None:
        require_between(self.height_mm, 100, 2500, f"appliance {self.name!r}: height", unit="mm")
        require_between(self.space_mm, 100, 2600, f"appliance {self.name!r}: space", unit="mm")


@dataclass(frozen=True)
class Door:
    """A doorway in one straight wall.

    Parameters
    ----------
    wall
        Wall number, from 1.
    from_corner_mm
        From the wall's first corner to the near side of the clear opening [mm].
    opening_mm
        Clear width between the linings [mm], 300 to 6000.
    recess_mm
        How far the floor runs into the doorway from the wall face, to the middle of the closed leaf [mm].
    undercut
        Whether the linings are cut so that boards run under them. Metal frames are not cut.
    architrave_mm
        Width of one architrave on the room side [mm]: the trim stops there.
    name
        What it is called on the drawing.
    leaf
        How its leaf hangs; None where there is none or nothing was measured.
    beyond
        The floor on its other side; None where nothing is said.
    fire_door
        Whether it is, or may be, a fire door.
    """

    wall: int
    from_corner_mm: float
    opening_mm: float
    recess_mm: float = 0.0
    undercut: bool = True
    architrave_mm: float = 71.0
    name: str = ""
    leaf: Leaf | None = None
    beyond: FloorBeyond | None = None
    fire_door: bool = False

    def __post_init__(self) -> None:
        object.__setattr__(self, "wall", _whole_wall(self.wall))
        require_zero_or(self.from_corner_mm, LEAST_FROM_CORNER_MM, LONGEST_ROOM_SIDE_MM, "door: from_corner")
        hint = size_hint(self.opening_mm, 300, 6000)
        require_between(self.opening_mm, 300, 6000, "door: opening", unit="mm", hint=hint)
        require_zero_or(self.recess_mm, 1, 1000, "door: recess")
        require_truth(self.undercut, "door: undercut")
        require_zero_or(self.architrave_mm, 1, 300, "door: architrave")
        require_truth(self.fire_door, "door: fire_door")


@dataclass(frozen=True)
class Edge:
    """What a wall ends in at the floor, and how it departs from a straight line.

    Parameters
    ----------
    wall
        Wall number, from 1.
    kind
        One of `EDGE_KINDS`.
    rise_mm
        For a round bay or bow window: how far the arc stands out beyond the straight line between its two corners
        [mm]; negative where it bulges into the room.
    bow
        Readings along a string line between the two corners: (distance from the wall's first corner, how far the
        wall stands back behind the string) [mm]; negative where it bulges into the room. Straight between readings.
    riser_mm, risers_above_mm
        At a stair riser: height of the bottom riser over the present floor, and of those above it, 50 to 400 [mm];
        None where it was not measured.
    """

    wall: int
    kind: str = "skirting"
    rise_mm: float = 0.0
    bow: tuple[tuple[float, float], ...] = ()
    riser_mm: float | None = None
    risers_above_mm: float | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "wall", _whole_wall(self.wall))
        require_one_of(self.kind, EDGE_KINDS, f"edge of wall {self.wall}: kind")
        require_number(self.rise_mm, f"edge of wall {self.wall}: rise", unit="mm")
        object.__setattr__(self, "bow", pairs_of(self.bow, f"edge of wall {self.wall}:", "bow", "bow reading"))
        for height, words in ((self.riser_mm, "riser"), (self.risers_above_mm, "risers above")):
            if height is not None:
                require_between(height, 50, 400, f"edge of wall {self.wall}: {words}", unit="mm")
                if self.kind != "stair riser":
                    raise ValueError(f"edge of wall {self.wall}: only a stair riser has a height of risers.")
        if self.rise_mm and self.bow:
            raise ValueError(f"edge of wall {self.wall}: give a rise or a bow, not both.")


PARTS: dict[str, type] = {
    "obstacles": Obstacle,
    "pipes": Pipe,
    "doors": Door,
    "edges": Edge,
    "levels": Level,
    "straightedges": Straightedge,
    "appliances": Appliance,
}
"""What a room holds lists of."""


@dataclass(frozen=True)
class Room:
    """One room as measured.

    Parameters
    ----------
    name
        The room's name.
    outline
        Corners in order round the room, either way round, skirting face to skirting face [mm, survey axes].
    obstacles, pipes, doors
        What the floor must go round, what comes up through it, where it runs on.
    subfloor
        One of `SUBFLOORS`.
    heated
        Whether the floor is heated from below.
    boards_run
        The direction the surveyor asks for: "long", "short", or degrees anticlockwise from +x.
    floorboards_run
        How old floorboards or joists run under the new floor: "long", "short", or degrees; None where there are none.
    main_light
        The wall the main light comes through, by number; None where no wall stands out.
    edges
        Walls that are not straight or end in something other than a skirting.
    wet
        Whether the floor gets wet: bathroom, kitchen, utility room.
    below
        What lies below the floor, one of `FLOORS_BELOW`; None where nothing is said.
    old_covering_mm
        Thickness of the floor covering that is taken up, its underlay with it, 0 to 200 [mm]; 0 where none is.
    old_covering_m2k_w
        Thermal resistance of that covering, 0 to 1 [m²K/W]; None where it is not known.
    levels, straightedges
        How flat the subfloor is: heights, and gaps under a straightedge.
    appliances
        What must fit under something when the floor has grown.
    typed_in
        The unit of the survey: "mm", "cm", "m", "in" or "ft"; lengths are shown in it beside the mm.
    notes
        What reading the survey found out: how well the tape's measurements agree.
    """

    name: str
    outline: tuple[Corner, ...]
    obstacles: tuple[Obstacle, ...] = ()
    pipes: tuple[Pipe, ...] = ()
    doors: tuple[Door, ...] = ()
    subfloor: str = "concrete"
    heated: bool = False
    boards_run: Literal["long", "short"] | float = field(default="long")
    edges: tuple[Edge, ...] = ()
    wet: bool = False
    floorboards_run: Literal["long", "short"] | float | None = None
    main_light: int | None = None
    old_covering_mm: float = 0.0
    old_covering_m2k_w: float | None = None
    levels: tuple[Level, ...] = ()
    straightedges: tuple[Straightedge, ...] = ()
    appliances: tuple[Appliance, ...] = ()
    below: str | None = None
    typed_in: str = "mm"
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        who = f"room {self.name!r}:"
        require_text(self.name, "name of a room")
        require_one_of(self.subfloor, SUBFLOORS, "subfloor")
        object.__setattr__(self, "outline", corners_of(self.outline, who))
        # a file asks for 1 m one way at least; made in Python, a closet may be smaller
        wrong_units = unit_fault(self.outline, SHORTEST_ROOM_SIDE_MM)
        if wrong_units:
            raise ValueError(f"{who} {wrong_units}")
        for key, kind in PARTS.items():
            object.__setattr__(self, key, require_things(getattr(self, key), kind, f"{who} {key}"))
        require_truth(self.heated, f"{who} heated")
        require_truth(self.wet, f"{who} wet")
        require_direction(self.boards_run, f"{who} boards_run")
        if self.floorboards_run is not None:
            require_direction(self.floorboards_run, f"{who} floorboards_run")
        for edge in self.edges:
            require_whole(edge.wall, 1, len(self.outline), f"{who} edge: wall")
        if self.main_light is not None:
            light = require_whole(self.main_light, 1, len(self.outline), f"{who} main_light")
            object.__setattr__(self, "main_light", light)
        if self.below is not None:
            require_one_of(self.below, FLOORS_BELOW, "below")
        require_between(self.old_covering_mm, 0, 200, f"{who} old covering", unit="mm")
        if self.old_covering_m2k_w is not None:
            require_between(self.old_covering_m2k_w, 0, 1, f"{who} old covering's resistance", unit="m²K/W")
        if len({edge.wall for edge in self.edges}) < len(self.edges):
            raise ValueError(f"{who} a wall has two edges. Give each wall one.")
        require_sound(self.polygon, who, "the room")
        for number, door in enumerate(self.doors, start=1):
            self._require_door_fits(number, door)

    def _require_door_fits(self, number: int, door: Door) -> None:
        who = f"room {self.name!r}: door {number}"
        require_whole(door.wall, 1, len(self.outline), f"{who}: wall")
        if self.edge(door.wall).rise_mm:
            raise ValueError(f"{who} stands in wall {door.wall}, which is an arc. A doorway needs a straight wall.")
        length = self.wall_length_mm(door.wall)
        end = door.from_corner_mm + door.opening_mm
        if end > length + 0.5:
            raise ValueError(
                f"{who} ends {end:g} mm from its corner, but wall {door.wall} is {length:g} mm long. "
                "Measure from the wall's first corner to the near side of the opening."
            )

    @cached_property
    def polygon(self) -> Polygon:
        """The room's plan shape, round and bowed walls followed [mm, survey axes]."""
        return Polygon([corner for face in self.wall_faces for corner in face[:-1]])

    @cached_property
    def wall_faces(self) -> tuple[tuple[Corner, ...], ...]:
        """Every wall from corner to corner: two ends, and the points between where it is round or bowed [mm]."""
        out = 1 if self.turns_clockwise else -1
        faces = []
        for wall, (start, end) in enumerate(self.walls, start=1):
            edge = self.edge(wall)
            between: tuple[Corner, ...] = ()
            if edge.rise_mm:
                between = arc_points(start, end, out * edge.rise_mm)
            elif edge.bow:
                between = bow_points(start, end, [(along, out * back) for along, back in edge.bow])
            faces.append((start, *between, end))
        return tuple(faces)

    def edge(self, wall: int) -> Edge:
        """What wall number `wall` ends in; a plain skirting where nothing is said."""
        return next((edge for edge in self.edges if edge.wall == wall), Edge(wall))

    @property
    def walls(self) -> tuple[tuple[Corner, Corner], ...]:
        """Both ends of every wall, wall 1 first."""
        corners = self.outline
        return tuple(zip(corners, corners[1:] + corners[:1], strict=True))

    def wall_length_mm(self, wall: int) -> float:
        """Length of wall number `wall` between its corners [mm]."""
        (x0, y0), (x1, y1) = self.walls[wall - 1]
        return math.hypot(x1 - x0, y1 - y0)

    @property
    def turns_clockwise(self) -> bool:
        """Whether the corners were taken clockwise, seen from above."""
        return not Polygon(self.outline).exterior.is_ccw
