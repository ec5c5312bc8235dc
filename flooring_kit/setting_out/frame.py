"""The laying frame: u along the boards from left to right, v away from the start wall.

::

        start wall
    o----------------> u (along)
    |  row 1
    |  row 2
    v (across)

A right-handed board is laid left to right as one faces the start wall, so `across` is `along` turned a quarter
clockwise, seen from above. A left-handed board is the mirror image.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from flooring_kit.checks import require_direction, require_one_of
from flooring_kit.products import Hand
from flooring_kit.room import Room
from flooring_kit.rules import Direction, Start

DUST_MM = 1e-6
"""Coordinates are rounded to this in the laying frame, so that a turned survey meets its row lines squarely."""


LEVEL = 1e-9
"""Slopes below this are float dust of a turned survey."""


@dataclass(frozen=True)
class LayingFrame:
    """Unit vectors of the laying frame in survey axes."""

    along: tuple[float, float]
    across: tuple[float, float]

    def to_laying(self, shapes: Any) -> Any:
        """Shapes (one or an array) carried from survey axes to the laying frame, float dust rounded off."""
        return shapely.set_precision(shapely.transform(shapes, lambda xy: xy @ self._matrix.T), DUST_MM)

    def to_survey(self, shapes: Any) -> Any:
        """Shapes (one or an array) carried from the laying frame back to survey axes."""
        return shapely.transform(shapes, lambda uv: uv @ self._matrix)

    @property
    def _matrix(self) -> NDArray[np.float64]:
        return np.array([self.along, self.across])


def laying_frame(room: Room, direction: Direction, *, start: Start = "first", hand: Hand = "right") -> LayingFrame:
    """The frame for boards laid in `direction`.

    Parameters
    ----------
    room
        The survey.
    direction
        "long", "short", or degrees anticlockwise from +x, taken modulo 180.
    start
        "first": boards run towards the direction's own angle (0 to 180 degrees); "opposite": from the other end,
        starting at the opposite wall.
    hand
        The board's hand.

    Raises
    ------
    ValueError
        For a direction that is neither word nor a finite number, or an unknown start.

    Examples
    --------
    >>> from flooring_kit.room import Room
    >>> store = Room("store", ((0, 0), (3000, 0), (3000, 1500), (0, 1500)))
    >>> laying_frame(store, "long")
    LayingFrame(along=(1.0, 0.0), across=(0.0, -1.0))
    >>> laying_frame(store, "short").along
    (0.0, 1.0)
    """
    require_one_of(start, ("first", "opposite"), "start")
    ax, ay = (0.0 if abs(part) < LEVEL else part for part in _unit_vector(room, direction))
    if ay < 0 or (ay == 0 and ax < 0):
        ax, ay = -ax, -ay
    if start == "opposite":
        ax, ay = -ax, -ay
    cx, cy = (ay, -ax) if hand == "right" else (-ay, ax)
    return LayingFrame((ax + 0.0, ay + 0.0), (cx + 0.0, cy + 0.0))


def _unit_vector(room: Room, direction: Direction) -> tuple[float, float]:
    require_direction(direction, "direction")
    if isinstance(direction, str):
        ux, uy = _long_side(room)
        return (ux, uy) if direction == "long" else (-uy, ux)
    quarter_turns, rest = divmod(float(direction) % 180.0, 90.0)
    if rest == 0.0:
        return ((1.0, 0.0), (0.0, 1.0))[int(quarter_turns) % 2]
    angle = math.radians(float(direction) % 180.0)
    return math.cos(angle), math.sin(angle)


def _long_side(room: Room) -> tuple[float, float]:
    """Along the longer side of the smallest bounding rectangle that stands on a wall; first wall at a tie."""
    corners = np.array(room.outline)
    best: tuple[float, float, float] | None = None
    for (x0, y0), (x1, y1) in room.walls:
        length = math.hypot(x1 - x0, y1 - y0)
        tx, ty = (x1 - x0) / length, (y1 - y0) / length
        on_wall = corners @ (tx, ty)
        off_wall = corners @ (-ty, tx)
        run, depth = float(np.ptp(on_wall)), float(np.ptp(off_wall))
        if best is None or run * depth < best[0] * (1 - 1e-9):
            side = (tx, ty) if run >= depth * (1 - 1e-9) else (-ty, tx)
            best = (run * depth, *side)
    assert best is not None
    return best[1], best[2]


def start_wall(room: Room, frame: LayingFrame) -> int:
    """Number of the wall laying starts from: the one nearest the start, the longest among equals."""
    across_x, across_y = frame.across

    def nearness(wall: int) -> tuple[float, float]:
        (x0, y0), (x1, y1) = room.walls[wall - 1]
        return round(((x0 + x1) * across_x + (y0 + y1) * across_y) / 2, 1), -room.wall_length_mm(wall)

    return min(range(1, len(room.walls) + 1), key=nearness)
