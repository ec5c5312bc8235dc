"""Rooms and boards that many tests share."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator

import flooring_kit as fk

DEMO_ROOMS = ("box_room", "back_bedroom", "hall", "sitting_room", "kitchen_diner")
THREE_BOARDS = ("Oak plank 1380 x 193", "Ash plank 1850 x 240", "Walnut narrow plank 1290 x 132")


def demo_room(name: str) -> fk.Room:
    """One of the five demo rooms."""
    return fk.read_room(fk.demo_path("rooms", f"{name}.toml"))


def demo_boards() -> dict[str, fk.Board]:
    """The demo boards by name."""
    return dict(fk.read_boards(fk.demo_path("boards.csv")))


def rectangle(length_mm: float, width_mm: float, **more: object) -> fk.Room:
    """A rectangular room."""
    corners = ((0.0, 0.0), (length_mm, 0.0), (length_mm, width_mm), (0.0, width_mm))
    return fk.Room("room", corners, **more)  # type: ignore[arg-type]


def turned(room: fk.Room, degrees: float) -> fk.Room:
    """The same room in survey axes turned anticlockwise."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))

    def corners(outline: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
        return tuple((c * x - s * y, s * x + c * y) for x, y in outline)

    obstacles = tuple(fk.Obstacle(o.name, corners(o.outline), o.kind) for o in room.obstacles)
    return fk.Room(room.name, corners(room.outline), obstacles, doors=room.doors)


def random_floors(count: int, *, seed: int) -> Iterator[tuple[str, fk.Room, fk.Board]]:
    """Seeded rooms of every shape the kit knows, 2 to 8 m, with boards 1200-2200 x 130-240.

    Yields (shape, room, board); shape is rectangle, L, breast, bay, taper or hall. Half of the rooms have doors.
    """
    draw = random.Random(seed)
    shapes = ("rectangle", "L", "breast", "bay", "taper", "hall")
    for number in range(count):
        shape = shapes[number % len(shapes)]
        length, width = draw.randint(2200, 8000), draw.randint(2000, 6000)
        if shape == "hall":
            width = draw.randint(900, 1400)
        if shape == "rectangle" or shape == "hall":
            outline = [(0, 0), (length, 0), (length, width), (0, width)]
        elif shape == "L":
            x, y = round(length * draw.uniform(0.35, 0.7)), round(width * draw.uniform(0.35, 0.7))
            outline = [(0, 0), (length, 0), (length, y), (x, y), (x, width), (0, width)]
        elif shape == "breast":
            deep, left = draw.randint(250, 500), round(length * draw.uniform(0.25, 0.4))
            right = left + draw.randint(700, 1400)
            outline = [(0, 0), (length, 0), (length, width), (right, width), (right, width - deep)]
            outline += [(left, width - deep), (left, width), (0, width)]
        elif shape == "bay":
            deep, left = draw.randint(350, 800), round(length * draw.uniform(0.15, 0.25))
            right = length - left
            cant = min(round(deep * draw.uniform(0.6, 1.2)), (right - left) // 2 - 100)
            outline = [(0, 0), (left, 0), (left + cant, -deep), (right - cant, -deep), (right, 0), (length, 0)]
            outline += [(length, width), (0, width)]
        else:
            out = draw.randint(5, 60)
            outline = [
                (0, 0),
                (length, out),
                (length + draw.randint(-40, 40), width),
                (0, width + draw.randint(-30, 30)),
            ]
        doors: list[fk.Door] = []
        if draw.random() < 0.5:
            wall = 1
            (x0, y0), (x1, y1) = outline[0], outline[1]
            wall_length = math.hypot(x1 - x0, y1 - y0)
            if wall_length > 1100:
                doors.append(fk.Door(wall, draw.randint(60, int(wall_length) - 900), 762, draw.choice((36, 60, 118))))
        corners = tuple((float(x), float(y)) for x, y in outline)
        board = fk.Board(
            "board", draw.randint(1200, 2200), draw.randint(130, 240), draw.choice((7, 8, 10)), draw.randint(5, 10)
        )
        yield shape, fk.Room(f"{shape} {number}", corners, doors=tuple(doors)), board
