"""A room while it is being measured: walls in order as taped, what stands at them, and the way back.

Everything is kept as it was typed; nothing here is worked out but the path of the walls. Things stand at a wall, so
that they go with it when the wall is corrected::

    along     from the wall's first corner
    out       from the wall's face into the room; 0 against it
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Any, TypeVar

from flooring_kit.checks import numbered, require_whole
from flooring_kit.lengths import parse_length_mm, to_mm

Row = TypeVar("Row")
Kept = tuple[tuple[str, Any], ...]
"""Keys of a survey file that the draft does not show, with their values: they go back into the file as they came."""

MOST_STEPS_BACK = 200


@dataclass(frozen=True)
class DraftWall:
    """One wall as taped.

    Parameters
    ----------
    length
        As typed: "4200", "4.2 m", "13' 9 1/2\\"".
    turn_degrees
        Change of heading at its far end, + to the right.
    """

    length: str
    turn_degrees: float = 90.0


@dataclass(frozen=True)
class DraftTie:
    """A straight measurement between two corners, by their numbers."""

    first: int
    second: int
    length: str


@dataclass(frozen=True)
class DraftDoor:
    """A doorway: where it begins along its wall, the clear opening, how far the floor runs into it."""

    wall: int
    along: str
    opening: str
    recess: str = "0"
    name: str = ""
    undercut: bool = True
    kept: Kept = ()


@dataclass(frozen=True)
class DraftPipe:
    """A pipe: its centre along a wall and out from it."""

    wall: int
    along: str
    out: str
    diameter: str = "15"
    kind: str = "pipe"


@dataclass(frozen=True)
class DraftObstacle:
    """Something that stays: a rectangle at a wall, or any outline as it came from a file."""

    name: str
    wall: int
    along: str
    out: str
    width: str
    depth: str
    kind: str = "fixed"
    outline: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class Draft:
    """A room being measured.

    Parameters
    ----------
    name, units
        Its name, and the unit of plain numbers: mm, cm, m, in or ft.
    walls, ties, doors, pipes, obstacles
        As typed, in order.
    subfloor, below, heated, wet, old_covering
        As in a survey file; below is "" where nothing is said.
    kept
        Whatever else the file it came from said.
    placed
        Corner 1 and the heading of wall 1 of a room that came from a file by its corners [mm, mm, degrees], so that
        whatever else the file places stays where it was. None for a room gone round with a tape.
    """

    name: str = "My room"
    units: str = "mm"
    walls: tuple[DraftWall, ...] = ()
    ties: tuple[DraftTie, ...] = ()
    doors: tuple[DraftDoor, ...] = ()
    pipes: tuple[DraftPipe, ...] = ()
    obstacles: tuple[DraftObstacle, ...] = ()
    subfloor: str = "concrete"
    below: str = ""
    heated: bool = False
    wet: bool = False
    old_covering: str = "0"
    kept: Kept = ()
    placed: tuple[float, float, float] | None = None

    def with_wall(self, wall: DraftWall, *, before: int | None = None) -> Draft:
        """With one wall more, at the end or before wall number `before`; numbers of things at later walls move on."""
        place = len(self.walls) if before is None else require_whole(before, 1, len(self.walls), "wall") - 1
        walls = (*self.walls[:place], wall, *self.walls[place:])
        return replace(self, walls=walls)._renumbered(lambda number: number + (number > place), place + 1, by=1)

    def without_wall(self, number: int) -> Draft:
        """Without that wall.

        Raises
        ------
        ValueError
            Where something stands at it.
        """
        require_whole(number, 1, len(self.walls), "wall")
        standing = {
            "door": [each.wall for each in self.doors],
            "pipe": [each.wall for each in self.pipes],
            "obstacle": [0 if each.outline else each.wall for each in self.obstacles],
            "edge": [edge.get("wall", 0) for key, value in self.kept if key == "edge" for edge in value],
        }
        for thing, at in standing.items():
            here = [place for place, wall in enumerate(at, start=1) if wall == number]
            if here:
                raise ValueError(f"wall {number} carries {numbered(thing, here)}. Take that out first.")
        walls = (*self.walls[: number - 1], *self.walls[number:])
        return replace(self, walls=walls)._renumbered(lambda each: each - (each > number), number, by=-1)

    def _renumbered(self, moved: Callable[[int], int], corner: int, *, by: int) -> Draft:
        """Things at their walls' new numbers, ties at their corners' new ones: corners after `corner` move."""

        def at(number: int) -> int:
            return number + by if number > corner else number

        return replace(
            self,
            doors=tuple(replace(each, wall=moved(each.wall)) for each in self.doors),
            pipes=tuple(replace(each, wall=moved(each.wall)) for each in self.pipes),
            obstacles=tuple(replace(each, wall=moved(each.wall)) for each in self.obstacles),
            ties=tuple(replace(each, first=at(each.first), second=at(each.second)) for each in self.ties),
            kept=tuple((key, _edges_moved(value, moved) if key == "edge" else value) for key, value in self.kept),
        )

    def length_mm(self, typed: str, name: str) -> float:
        """A length as typed, in the draft's units where it carries none [mm].

        Raises
        ------
        ValueError
            For what is no length.
        """
        number = plain_number(typed)
        if number is not None:
            return to_mm(number, self.units, name=name)
        return parse_length_mm(typed, name=name, allow_negative=True)

    def path_mm(self) -> list[tuple[float, float]]:
        """Corners reached by going along the walls as typed [mm, survey axes]; one more than walls.

        Corner 1 is the origin and wall 1 runs along +x where the draft is not placed otherwise.

        Raises
        ------
        ValueError
            For a wall whose length can't be read.
        """
        x, y, heading = self.placed or (0.0, 0.0, 0.0)
        path = [(x, y)]
        for number, wall in enumerate(self.walls, start=1):
            length = self.length_mm(wall.length, f"wall {number}: length")
            x, y = x + length * math.cos(math.radians(heading)), y + length * math.sin(math.radians(heading))
            path.append((x, y))
            heading -= wall.turn_degrees
        return path

    def misclosure_mm(self) -> float:
        """How far the last wall's end lies from corner 1 by the walls alone [mm]."""
        path = self.path_mm()
        return math.dist(path[0], path[-1])


def _edges_moved(edges: Any, moved: Callable[[int], int]) -> Any:
    return [{**edge, "wall": moved(edge["wall"])} if isinstance(edge.get("wall"), int) else edge for edge in edges]


def walls_along_the_miss(draft: Draft, *, within_degrees: float = 3.0) -> list[int]:
    """Walls that run the way the last corner misses the first: one of them read too long or too short shuts the gap.

    Parameters
    ----------
    draft
        Walls that have gone once round.
    within_degrees
        How near their directions must be.
    """
    path = draft.path_mm()
    miss = math.atan2(path[0][1] - path[-1][1], path[0][0] - path[-1][0])
    return [
        number
        for number, ((x0, y0), (x1, y1)) in enumerate(pairwise(path), start=1)
        if abs(math.sin(math.atan2(y1 - y0, x1 - x0) - miss)) <= math.sin(math.radians(within_degrees))
    ]


PLAIN = re.compile(r"-?\d{1,9}(?:\.\d{1,17}|,\d{1,2}|,\d{4,6})?")
"""A number without a unit. A comma before three digits may part thousands: what is meant is not guessed."""


def plain_number(typed: str) -> float | None:
    """The number in a text that holds nothing else; None for anything else.

    >>> plain_number("4200"), plain_number("10,5"), plain_number("1,200"), plain_number("2.92 m")
    (4200.0, 10.5, None, None)
    """
    text = typed.strip()
    return float(text.replace(",", ".")) if PLAIN.fullmatch(text) else None


def put(rows: tuple[Row, ...], place: int | None, row: Row) -> tuple[Row, ...]:
    """Rows with one more at the end, or with the one at a place, from 0, changed."""
    return (*rows, row) if place is None else (*rows[:place], row, *rows[place + 1 :])


def take_out(rows: tuple[Row, ...], place: int) -> tuple[Row, ...]:
    """Rows without the one at a place, from 0."""
    return (*rows[:place], *rows[place + 1 :])


@dataclass(frozen=True)
class History:
    """A draft, and those before and after it on the way back and forth.

    Parameters
    ----------
    now
        The draft as it is.
    past, future
        The last one first; at most `MOST_STEPS_BACK`.
    """

    now: Draft = field(default_factory=Draft)
    past: tuple[Draft, ...] = ()
    future: tuple[Draft, ...] = ()

    def changed(self, draft: Draft) -> History:
        """With a change; what was undone is gone."""
        if draft == self.now:
            return self
        return History(draft, (self.now, *self.past)[:MOST_STEPS_BACK])

    def undone(self) -> History:
        """One step back; the same where there is none."""
        if not self.past:
            return self
        return History(self.past[0], self.past[1:], (self.now, *self.future))

    def redone(self) -> History:
        """One step forth again; the same where there is none."""
        if not self.future:
            return self
        return History(self.future[0], (self.now, *self.past), self.future[1:])
