"""What can be wrong with a survey though its numbers are sound: shapes that cross, doors that don't fit.

Each function returns the faults it finds as sentences, none where all is well. Lengths in mm, survey axes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import islice

import numpy as np
import shapely
from shapely import LineString, MultiPoint, Point, Polygon, STRtree

from flooring_kit.curves import MOST_BOW_MM
from flooring_kit.outlines import (
    LONGEST_ROOM_SIDE_MM,
    SHORTEST_ROOM_SIDE_MM,
    Corner,
    extents,
    obstacle_size_fault,
    repeats,
)

LONGEST_IN_METRES = 10.0
"""A figure under this, among corners in mm, may have been given in metres."""

LEAST_WALL_MM = 1.0
LEAST_ROOM_AREA_MM2 = 10_000.0
FIT_SLACK_MM = 0.05
"""Half the tenth of a millimetre that lengths are kept to, so that a slanting wall's dust refuses no door."""

MOST_CROSSINGS_SHOWN = 3


def extent_faults(outline: Sequence[Corner]) -> list[str]:
    """Faults of the room's overall size, read along the survey axes."""
    shorter, longer = extents(outline)
    faults = []
    limits = f"{SHORTEST_ROOM_SIDE_MM:g} to {LONGEST_ROOM_SIDE_MM:g} mm"
    for word, side in (("longer", longer), ("shorter", shorter)):
        if not SHORTEST_ROOM_SIDE_MM <= side <= LONGEST_ROOM_SIDE_MM:
            faults.append(f"outline: the {word} side of the room must be {limits} overall, got {side:g} mm.")
    return faults


def stray_metre_faults(outline: Sequence[Corner]) -> list[str]:
    """A fault for each corner that was given in metres among others in mm.

    A corner a few mm off a line is most often a wall out of true, so a figure under 10 mm must stand out twice: by a
    thousand times itself being where another corner is, and by a wall shorter than 10 mm or by its other figure too.

    >>> stray_metre_faults([(0, 0), (4200, 0), (4200, 2.92), (0, 2920)])
    ['corner 3: y 2.92 mm looks like metres: write 2920 for 2.92 m.']
    >>> stray_metre_faults([(0, 0), (4200, 3), (4200, 3000), (0, 3000)])
    []
    """
    faults = []
    for place, corner in enumerate(outline):
        others = [other for number, other in enumerate(outline) if number != place]
        in_metres = [axis for axis in (0, 1) if _is_other_in_metres(corner[axis], [other[axis] for other in others])]
        beside = min(math.dist(corner, outline[place - 1]), math.dist(corner, outline[(place + 1) % len(outline)]))
        if len(in_metres) == 2 or (in_metres and 0 < beside < LONGEST_IN_METRES):
            faults += [
                f"corner {place + 1}: {'xy'[axis]} {corner[axis]:g} mm looks like metres: "
                f"write {corner[axis] * 1000:g} for {corner[axis]:g} m."
                for axis in in_metres
            ]
    return faults


def _is_other_in_metres(value: float, others: Sequence[float]) -> bool:
    """Whether the figure is under 10 mm and a thousand times it is within a fiftieth of another corner's."""
    near = any(abs(other - value * 1000) <= abs(other) / 50 for other in others if other)
    return 0 < abs(value) < LONGEST_IN_METRES and near


def shape_faults(outline: Sequence[Corner], *, side: str) -> list[str]:
    """Faults of a closed outline of at least three corners.

    Parameters
    ----------
    outline
        Corners [mm].
    side
        What one straight part is called: "wall" or "side".
    """
    faults = [*repeats(outline)]
    if is_flat(outline):
        return [*faults, "outline encloses nothing: all its corners lie on one line."]
    for number, (a, b) in enumerate(_sides(outline), start=1):
        length = math.dist(a, b)
        if 0 < length < LEAST_WALL_MM:
            faults.append(
                f"{side} {number} must be at least {LEAST_WALL_MM:g} mm long, got {length:g} mm. "
                f"Leave one of its corners out."
            )
    # a scrambled outline crosses itself thousands of times: look no further than what is shown
    crossings = list(islice(_crossings(outline, side), MOST_CROSSINGS_SHOWN + 1))
    if crossings:
        tail = "; and more" if len(crossings) > MOST_CROSSINGS_SHOWN else ""
        places = "; ".join(crossings[:MOST_CROSSINGS_SHOWN])
        next_step = "Check the order of the corners there."
        faults.append(f"outline crosses or touches itself: {places}{tail}. {next_step}")
    return faults


def _sides(outline: Sequence[Corner]) -> list[tuple[Corner, Corner]]:
    return [(corner, outline[(i + 1) % len(outline)]) for i, corner in enumerate(outline)]


def is_flat(outline: Sequence[Corner]) -> bool:
    # the hull, not the signed area: a figure of eight can sum to 0 and yet is not flat
    hull = MultiPoint(outline).convex_hull
    return bool(hull.area <= 1e-9 * max(hull.length, 1e-9) ** 2)


def _crossings(outline: Sequence[Corner], side: str) -> Iterator[str]:
    """Pairs of sides that meet where they should not, each with a point nearby."""
    if Polygon(outline).is_valid:
        return
    sides = _sides(outline)
    numbers = [i for i, (a, b) in enumerate(sides) if a != b]
    lines = np.array([LineString(sides[i]) for i in numbers])
    firsts, seconds = STRtree(lines).query(lines, predicate="intersects")
    repeated = {corner for corner in outline if outline.count(corner) > 1}
    for one, other in sorted((int(i), int(j)) for i, j in zip(firsts, seconds, strict=True) if i < j):
        meeting = shapely.intersection(lines[one], lines[other])
        neighbours = other - one == 1 or (one == 0 and other == len(lines) - 1)
        if neighbours and meeting.length == 0:
            continue
        # where the sides only all but meet, there is nothing in common to name: take one end
        x, y = min(map(tuple, shapely.get_coordinates(lines[one] if meeting.is_empty else meeting)))
        if meeting.length == 0 and (x, y) in repeated:
            continue
        at = f"({round(x)}, {round(y)})"
        yield f"{side}s {numbers[one] + 1} and {numbers[other] + 1} near {at} mm"


def room_area_faults(room: Polygon) -> list[str]:
    """A fault where a sound outline holds next to no floor."""
    if room.area >= LEAST_ROOM_AREA_MM2:
        return []
    least, got = LEAST_ROOM_AREA_MM2 / 1e6, room.area / 1e6
    return [f"outline must enclose at least {least:g} m² of floor, got {got:.4f} m². Check the corners."]


def obstacle_faults(outline: Sequence[Corner], room: Polygon | None) -> list[str]:
    """Faults of one obstacle's outline of at least three corners; `room` None: its place is not checked.

    An obstacle that touches or crosses a wall is kept: the floor clips it.
    """
    too_small = obstacle_size_fault(outline)
    if too_small:
        return [too_small]
    faults = shape_faults(outline, side="side")
    if faults or room is None:
        return faults
    shape = Polygon(outline)
    if not shape.intersects(room):
        return [f"it lies wholly outside the room, {shape.distance(room):.0f} mm away. Check its corners."]
    if shape.covers(room):
        return ["it covers the whole room, so no floor is left. Check its corners."]
    return []


def pipe_faults(at: Corner, diameter_mm: float | None, room: Polygon) -> list[str]:
    """Faults of one pipe's place."""
    centre = Point(at)
    if not room.covers(centre):
        away = f"{centre.distance(room):.0f} mm from it"
        return [f"at [{at[0]:g}, {at[1]:g}] mm lies outside the room, {away}. Check the two figures."]
    # A pipe nearer to the wall than its own radius, whose place a thousand times as far out lies in the room:
    # metres. Where the survey's zero is in mid-room the first condition keeps it.
    in_the_wall = centre.distance(room.exterior) < (diameter_mm or 15.0) / 2
    if in_the_wall and 0 < max(map(abs, at)) < 10 and room.covers(Point(at[0] * 1000, at[1] * 1000)):
        return [
            f"at [{at[0]:g}, {at[1]:g}] mm lies in the wall. This looks like metres: "
            f"write [{at[0] * 1000:g}, {at[1] * 1000:g}]."
        ]
    return []


def edge_faults(wall: int, rise_mm: float, bow: Sequence[Sequence[float]], outline: Sequence[Corner]) -> list[str]:
    """Faults of a wall that is not straight: an arc past a half circle, string-line readings off the wall."""
    length = math.dist(*_sides(outline)[wall - 1])
    faults = []
    if rise_mm and bow:
        faults.append("rise and bow stand together. Give an arc's rise or the readings along a string line, not both.")
    if abs(rise_mm) > length / 2:
        half = f"half of wall {wall}, {length / 2:g} mm"
        faults.append(f"rise must be at most {half}, got {rise_mm:g} mm. More is not one arc: give corners between.")
    reached = 0.0
    for number, (along, back) in enumerate(bow, start=1):
        if not reached < along < length:
            faults.append(
                f"bow reading {number} must lie between {reached:g} and {length:g} mm along wall {wall}, "
                f"got {along:g} mm. Give the readings in order from corner {wall}; the corners themselves are 0."
            )
        elif abs(back) > MOST_BOW_MM:
            faults.append(f"bow reading {number} must be within {MOST_BOW_MM:g} mm of the string, got {back:g} mm.")
        reached = max(reached, along)
    return faults


def door_fit_fault(wall: int, from_corner_mm: float, opening_mm: float, outline: Sequence[Corner]) -> str:
    """The fault of a door that its wall can't hold, or nothing."""
    a, b = _sides(outline)[wall - 1]
    length = math.dist(a, b)
    end = from_corner_mm + opening_mm
    if end <= length + FIT_SLACK_MM:
        return ""
    if opening_mm > length + FIT_SLACK_MM:
        wide = f"opening {opening_mm:g} mm is wider than wall {wall}"
        return f"{wide}, which is {length:g} mm long. Check the wall number."
    return (
        f"from_corner {from_corner_mm:g} mm + opening {opening_mm:g} mm = {end:g} mm, "
        f"but wall {wall} is {length:g} mm long. Measure from corner {wall} to the near side of the opening."
    )


def door_overlap_faults(doors: Sequence[tuple[int, int, float, float]]) -> list[str]:
    """A fault for each two doors that overlap on one wall.

    Parameters
    ----------
    doors
        Door number, wall number, from_corner [mm], opening [mm].
    """
    faults = []
    in_order = sorted(doors, key=lambda door: (door[1], door[2], door[0]))
    reaching: tuple[int, int, float] | None = None
    for number, wall, start, opening in in_order:
        if reaching and reaching[1] == wall and start < reaching[2] - FIT_SLACK_MM:
            faults.append(
                f"doors {reaching[0]} and {number} overlap on wall {wall}: door {reaching[0]} ends at "
                f"{reaching[2]:g} mm, door {number} starts at {start:g} mm."
            )
        if reaching is None or reaching[1] != wall or start + opening > reaching[2]:
            reaching = (number, wall, start + opening)
    return faults
