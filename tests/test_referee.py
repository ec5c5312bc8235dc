"""The referee passes floors laid out by hand and names every deliberate mistake.

The floor most tests use, clear of its gaps, facing the start wall; boards 1000 × 200, kerf 3, margin 10 ::

    u  0     400  600     1000    1400  1600   2000    2387
       ├───────────┬───────────────────┬────────────────┤ v = 0    first row ripped to 150
       │ 1.1       │ 1.2               │ 1.3            │
       ├───────────┴──────┬────────────┴─────────┬──────┤ v = 150
       │ 2.1              │ 2.2                  │ 2.3  │
       ├───────┬──────────┴───────┬──────────────┴──────┤ v = 350
       │ 3.1   │ 3.2              │ 3.3                 │
       └───────┴──────────────────┴─────────────────────┘ v = 540  last row ripped to 190

Starter 1.1 (600) and finisher 2.3 (387) come from one board: 1000 − 600 − 387 = 13 = 3 + 10 between them.
Joints of neighbouring rows are 400 apart, all of them.
"""

from __future__ import annotations

import dataclasses
import itertools
import json
import math
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from referee import Break, Fault, broken_rules, net_floor, referee, undeclared
from shapely import MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry

from flooring_kit.products import Board
from flooring_kit.room import Door, Obstacle, Pipe, Room
from flooring_kit.rules import LayingRules

BOARD = Board(name="plain", length_mm=1000, width_mm=200, thickness_mm=8, boards_per_pack=8)
RULES = LayingRules()
ROOM = Room(name="hand floor", outline=((0, 0), (2407, 0), (2407, 560), (0, 560)))
REFERENCE = json.loads((Path(__file__).parent / "reference" / "rectangles.json").read_text())


@dataclasses.dataclass(frozen=True)
class Cut:
    """One line of a hand-made table; u, v is the piece's corner at the left and toward the start wall."""

    piece: str
    board: str
    along_mm: float
    across_mm: float
    u: float
    v: float
    length_mm: float
    width_mm: float
    face: BaseGeometry | None = None

    @property
    def in_laying_axes(self) -> BaseGeometry:
        return self.face or box(self.u, self.v, self.u + self.length_mm, self.v + self.width_mm)


@dataclasses.dataclass(frozen=True)
class Frame:
    """Where laying axes lie in the survey."""

    origin: tuple[float, float]
    along: tuple[float, float]
    across: tuple[float, float]

    def place(self, shape: BaseGeometry) -> BaseGeometry:
        (x, y), (ax, ay), (bx, by) = self.origin, self.along, self.across
        return shapely.transform(shape, lambda p: p @ np.array([[ax, ay], [bx, by]]) + np.array([x, y]))


@dataclasses.dataclass(frozen=True)
class HandPlan:
    pieces: pd.DataFrame
    along: tuple[float, float]
    across: tuple[float, float]
    boards_needed: int
    boards_bound: int
    broken_rules: tuple[Break, ...] = ()


# Start wall at the top: along is +x, a quarter clockwise from it is −y, from the clear corner (10, 550).
AT_THE_TOP = Frame((10, 550), (1, 0), (0, -1))

HAND = (
    Cut("1.1", "b1", 400, 50, 0, 0, 600, 150),
    Cut("1.2", "b2", 0, 50, 600, 0, 1000, 150),
    Cut("1.3", "b3", 0, 50, 1600, 0, 787, 150),
    Cut("2.1", "b4", 0, 0, 0, 150, 1000, 200),
    Cut("2.2", "b5", 0, 0, 1000, 150, 1000, 200),
    Cut("2.3", "b1", 0, 0, 2000, 150, 387, 200),
    Cut("3.1", "b6", 600, 0, 0, 350, 400, 190),
    Cut("3.2", "b7", 0, 0, 400, 350, 1000, 190),
    Cut("3.3", "b8", 0, 0, 1400, 350, 987, 190),
)


def written(cuts: Iterable[Cut], *, bound: int, frame: Frame = AT_THE_TOP, broken: tuple[Break, ...] = ()) -> HandPlan:
    """A plan from hand-made lines; row and place are read off the label."""
    lines = []
    for cut in cuts:
        row, place = (int(part) for part in cut.piece.split("."))
        lines.append(
            {
                "piece": cut.piece,
                "row": row,
                "place": place,
                "board": cut.board,
                "along_mm": cut.along_mm,
                "across_mm": cut.across_mm,
                "length_mm": cut.length_mm,
                "width_mm": cut.width_mm,
                "shape": frame.place(cut.in_laying_axes),
            }
        )
    table = pd.DataFrame(lines)
    return HandPlan(table, frame.along, frame.across, table["board"].nunique(), bound, broken)


def recut(changes: dict[str, dict[str, Any]], *, boards: int | None = None) -> HandPlan:
    """The hand floor with some of its lines changed."""
    plan = written((dataclasses.replace(cut, **changes.get(cut.piece, {})) for cut in HAND), bound=7)
    return plan if boards is None else dataclasses.replace(plan, boards_needed=boards)


def retabled(change: Callable[[pd.DataFrame], pd.DataFrame], **plan_fields: Any) -> HandPlan:
    """The hand floor with its table rewritten."""
    plan = written(HAND, bound=7)
    return dataclasses.replace(plan, pieces=change(plan.pieces.copy()), **plan_fields)


def kinds(faults: Sequence[Fault]) -> set[str]:
    return {fault.kind for fault in faults}


# ---------------------------------------------------------------------------------------------- the net floor


def test_the_outline_is_drawn_in_with_mitred_corners():
    # A 3-4-5 triangle has an inscribed circle of radius 1 m: a gap of 10 mm shrinks it to 0.99 of its size.
    room = Room(name="wedge", outline=((0, 0), (4000, 0), (0, 3000)))
    assert net_floor(room, RULES).area == pytest.approx(6e6 * 0.99**2, abs=0.5)


def test_an_obstacle_is_grown_by_the_gap_with_square_corners():
    column = Obstacle("column", ((1000, 200), (1100, 200), (1100, 300), (1000, 300)))
    floor = net_floor(dataclasses.replace(ROOM, obstacles=(column,)), RULES)
    assert floor.area == pytest.approx(2387 * 540 - 120 * 120, abs=0.5)


def test_an_obstacle_across_a_wall_is_clipped():
    hearth = Obstacle("hearth", ((1000, -300), (1000, 90), (1380, 90), (1380, -300)))
    floor = net_floor(dataclasses.replace(ROOM, obstacles=(hearth,)), RULES)
    assert floor.area == pytest.approx(2387 * 540 - 400 * 90, abs=0.5)


def test_pipes_are_no_holes_in_the_net_floor():
    assert net_floor(dataclasses.replace(ROOM, pipes=(Pipe((500, 300)),)), RULES).area == pytest.approx(2387 * 540)


@pytest.mark.parametrize(
    ("door", "strip"),
    [
        # Wall 3 runs from (2407, 560) to (0, 560): 500 to 1200 from its first corner is x 1207 to 1907.
        (Door(wall=3, from_corner_mm=500, opening_mm=700, recess_mm=60), box(1197, 550, 1917, 610)),
        (
            Door(wall=3, from_corner_mm=500, opening_mm=700, recess_mm=60, undercut=False),
            box(1217, 550, 1897, 610),
        ),
        (Door(wall=3, from_corner_mm=500, opening_mm=700, recess_mm=6), box(1197, 550, 1917, 556)),
        (Door(wall=4, from_corner_mm=100, opening_mm=300, recess_mm=40), box(-30, 150, 10, 470)),
        (Door(wall=3, from_corner_mm=500, opening_mm=700, recess_mm=0), Polygon()),
    ],
    ids=[
        "an undercut lining lets the floor run under it on both sides",
        "an uncut frame keeps the gap on both sides",
        "a recess shallower than the gap ends inside the room",
        "the last wall closes the outline",
        "a door without recess adds nothing",
    ],
)
def test_a_doorway_adds_a_strip_as_deep_as_its_recess(door: Door, strip: Polygon):
    wanted = box(10, 10, 2397, 550).union(strip)
    found = net_floor(dataclasses.replace(ROOM, doors=(door,)), RULES)
    # Half a square millimetre is the hair by which the strip is laid over the floor's edge.
    assert found.symmetric_difference(wanted).area < 0.5

    corners = len(ROOM.outline)
    back_to_front = dataclasses.replace(
        door,
        wall=corners - door.wall if door.wall < corners else corners,
        from_corner_mm=ROOM.wall_length_mm(door.wall) - door.from_corner_mm - door.opening_mm,
    )
    clockwise = dataclasses.replace(ROOM, outline=ROOM.outline[::-1], doors=(back_to_front,))
    assert net_floor(clockwise, RULES).symmetric_difference(wanted).area < 0.5


# ------------------------------------------------------------------------------------------------- good plans


def turned(degrees: float) -> tuple[HandPlan, Room]:
    """The hand floor and its room, turned together about the survey's origin."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))

    def turn(point: tuple[float, float]) -> tuple[float, float]:
        return (c * point[0] - s * point[1], s * point[0] + c * point[1])

    frame = Frame(turn(AT_THE_TOP.origin), turn(AT_THE_TOP.along), turn(AT_THE_TOP.across))
    room = Room(name="turned", outline=tuple(turn(corner) for corner in ROOM.outline))
    return written(HAND, bound=7, frame=frame), room


def closet(first_mm: float, last_mm: float, *, length_mm: float = 900, board_bound: int = 2) -> tuple[HandPlan, Room]:
    """Three one-piece rows; the first and the last are strips of one board."""
    cuts = (
        Cut("1.1", "b1", 0, 200 - first_mm, 0, 0, length_mm, first_mm),
        Cut("2.1", "b2", 0, 0, 0, first_mm, length_mm, 200),
        Cut("3.1", "b1", 0, 0, 0, first_mm + 200, length_mm, last_mm),
    )
    depth = first_mm + 200 + last_mm + 20
    room = Room(name="closet", outline=((0, 0), (length_mm + 20, 0), (length_mm + 20, depth), (0, depth)))
    return written(cuts, bound=board_bound, frame=Frame((10, depth - 10), (1, 0), (0, -1))), room


def with_breast() -> tuple[HandPlan, Room]:
    """The hand floor with a breast on the far wall that cuts row 3 in two: bare from u = 900 to 1500."""
    breast = Obstacle("breast", ((920, -50), (1500, -50), (1500, 190), (920, 190)))
    cuts = (
        *HAND[:6],
        Cut("3.1", "b6", 600, 0, 0, 350, 400, 190),
        Cut("3.2", "b7", 0, 0, 400, 350, 500, 190),
        # A run of its own, so that both its ends are free; its edge toward row 2 is not.
        Cut("3.3", "b8", 50, 0, 1500, 350, 887, 190),
    )
    return written(cuts, bound=7), dataclasses.replace(ROOM, obstacles=(breast,))


def with_notch() -> tuple[HandPlan, Room]:
    """The hand floor with a hearth in row 3 that is cut out of piece 3.2: u 990 to 1390, 90 deep."""
    hearth = Obstacle("hearth", ((1010, 0), (1390, 0), (1390, 90), (1010, 90)))
    face = box(400, 350, 1400, 540).difference(box(990, 450, 1390, 540))
    cuts = (*HAND[:7], dataclasses.replace(HAND[7], face=face), HAND[8])
    return written(cuts, bound=7), dataclasses.replace(ROOM, obstacles=(hearth,))


DOOR = Door(wall=3, from_corner_mm=917, opening_mm=700, recess_mm=40)
"""In the start wall, x 790 to 1490, so the strip runs from u = 770 to 1490, all of it within piece 1.2."""


def with_recess() -> tuple[HandPlan, Room]:
    """The hand floor with a doorway that piece 1.2 reaches into: 40 deep, so the piece is 190 wide."""
    face = box(600, 0, 1600, 150).union(box(770, -40, 1490, 0))
    cut = dataclasses.replace(HAND[1], across_mm=10, width_mm=190, face=face)
    return written((HAND[0], cut, *HAND[2:]), bound=7), dataclasses.replace(ROOM, doors=(DOOR,))


def with_row_in_the_doorway() -> tuple[HandPlan, Room]:
    """A recess of 100 passes the row line at v = −50: the doorway holds a row of its own, row 1, 50 wide."""
    door_piece = Cut("1.1", "b9", 0, 150, 770, -100, 720, 50)
    face = box(600, 0, 1600, 150).union(box(770, -50, 1490, 0))
    rest = [dataclasses.replace(HAND[1], across_mm=0, width_mm=200, face=face) if c.piece == "1.2" else c for c in HAND]
    rest = [dataclasses.replace(c, piece=f"{int(c.piece[0]) + 1}{c.piece[1:]}") for c in rest]
    door = dataclasses.replace(DOOR, recess_mm=100)
    return written((door_piece, *rest), bound=7), dataclasses.replace(ROOM, doors=(door,))


def in_two_parts() -> tuple[HandPlan, Room]:
    """Stairs from wall to wall part the floor; each part has its own grid: 150/200/190 and 200/200/140."""
    stairs = Obstacle("stairs", ((1020, -10), (1400, -10), (1400, 600), (1020, 600)))
    cuts = (
        Cut("1.1", "b1", 0, 50, 0, 0, 1000, 150),
        Cut("1.2", "b2", 0, 0, 1400, 0, 987, 200),
        Cut("2.1", "b3", 0, 0, 0, 150, 1000, 200),
        Cut("2.2", "b4", 0, 0, 1400, 200, 987, 200),
        Cut("3.1", "b5", 0, 0, 0, 350, 1000, 190),
        Cut("3.2", "b6", 0, 0, 1400, 400, 987, 140),
    )
    return written(cuts, bound=6), dataclasses.replace(ROOM, obstacles=(stairs,))


def on_whole_boards() -> tuple[HandPlan, Room]:
    """2000 × 600 clear takes six whole boards to the square millimetre; every joint is a cross joint."""
    cuts = [
        Cut(f"{row}.{place}", f"b{row}{place}", 0, 0, 1000 * (place - 1), 200 * (row - 1), 1000, 200)
        for row in (1, 2, 3)
        for place in (1, 2)
    ]
    room = Room(name="six boards", outline=((0, 0), (2020, 0), (2020, 620), (0, 620)))
    broken = (Break("joint offset", 2, 2, 300), Break("joint offset", 3, 2, 300))
    return written(cuts, bound=6, frame=Frame((10, 610), (1, 0), (0, -1)), broken=broken), room


GOOD: dict[str, Callable[[], tuple[HandPlan, Room]]] = {
    "the hand floor": lambda: (written(HAND, bound=7), ROOM),
    "its corners taken clockwise": lambda: (
        written(HAND, bound=7),
        dataclasses.replace(ROOM, outline=ROOM.outline[::-1]),
    ),
    "the start wall at the foot, so that left is east": lambda: (
        written(HAND, bound=7, frame=Frame((2397, 10), (-1, 0), (0, 1))),
        ROOM,
    ),
    "boards along y": lambda: (
        written(HAND, bound=7, frame=Frame((-550, 10), (0, 1), (1, 0))),
        Room(name="upright", outline=((0, 0), (0, 2407), (-560, 2407), (-560, 0))),
    ),
    "the room turned by 30 degrees": lambda: turned(30),
    "a notch for a hearth": with_notch,
    "a breast that splits a row": with_breast,
    "a board that reaches into a doorway": with_recess,
    "a doorway with a row of its own": with_row_in_the_doorway,
    "two strips side by side from one board": lambda: closet(80, 90),
    "strips exactly kerf and margin apart": lambda: closet(97, 90),
    "a length that is no whole tenth, rounded up": lambda: (
        retouched(closet(80, 90, length_mm=900.04)[0], "length_mm", 900.1),
        closet(80, 90, length_mm=900.04)[1],
    ),
    "a floor in two parts, each on its own grid": in_two_parts,
    "a floor of whole boards": on_whole_boards,
}


def retouched(plan: HandPlan, column: str, value: Any) -> HandPlan:
    return dataclasses.replace(plan, pieces=plan.pieces.assign(**{column: value}))


@pytest.mark.parametrize("case", GOOD.values(), ids=GOOD.keys())
def test_a_good_plan_is_passed(case: Callable[[], tuple[HandPlan, Room]]):
    plan, room = case()
    assert referee(plan, room, BOARD, RULES) == []
    assert undeclared(plan, room, BOARD, RULES) == []


@settings(deadline=None, derandomize=True, max_examples=40)
@given(st.floats(0, 360))
def test_turning_a_room_with_its_plan_makes_no_fault(degrees: float):
    plan, room = turned(degrees)
    assert referee(plan, room, BOARD, RULES) == []
    assert broken_rules(plan, room, BOARD, RULES) == []


def mirrored() -> HandPlan:
    """The hand floor seen in a mirror: laid from the right-hand corner leftwards, by the same start wall."""
    return written(HAND, bound=7, frame=Frame((2397, 550), (-1, 0), (0, -1)))


def test_a_left_handed_board_wants_the_mirror_image():
    left_handed = dataclasses.replace(BOARD, hand="left")
    assert referee(mirrored(), ROOM, left_handed, RULES) == []
    assert referee(written(HAND, bound=7), ROOM, left_handed, RULES) == [
        Fault("wrong hand", "", "alongₓ·across_y − along_y·acrossₓ is -1, a left-handed board needs +1.")
    ]


@pytest.mark.parametrize(("width_mm", "wanted"), [(4.9, set()), (5.1, {"end not a factory end"})])
def test_pieces_are_joined_where_they_touch_over_more_than_five_millimetres(width_mm: float, wanted: set[str]):
    # The last row is two pieces end to end; 2.1 keeps its left end, so its right end is sawn.
    cuts = (
        Cut("1.1", "b1", 0, 0, 0, 0, 900, 200),
        Cut("2.1", "b2", 0, 0, 0, 200, 450, width_mm),
        Cut("2.2", "b3", 0, 0, 450, 200, 450, width_mm),
    )
    depth = 220 + width_mm
    room = Room(name="two rows", outline=((0, 0), (920, 0), (920, depth), (0, depth)))
    plan = written(cuts, bound=2, frame=Frame((10, depth - 10), (1, 0), (0, -1)))
    assert kinds(referee(plan, room, BOARD, RULES)) == wanted


def test_gaps_up_to_three_tenths_and_specks_pass():
    narrow_gap = recut({"2.3": {"u": 2000.2, "length_mm": 386.8}})
    assert referee(narrow_gap, ROOM, BOARD, RULES) == []
    # A corner of 4.9 × 4.9 is a speck of 24.01 mm².
    speck = box(1400, 350, 2387, 540).difference(box(2382.1, 535.1, 2387, 540))
    assert referee(recut({"3.3": {"face": speck}}), ROOM, BOARD, RULES) == []


# ----------------------------------------------------------------------------------------------- broken plans

SPIKED = Polygon([(1000, 150), (1500, 150), (1500, 250), (1500, 150), (2000, 150), (2000, 350), (1000, 350)])
HALVES = MultiPolygon([box(1000, 150, 1499.9, 350), box(1500.1, 150, 2000, 350)])
SLANT_LEFT = Polygon([(1000, 150), (2000, 150), (1990, 350), (1000, 350)])
SLANT_RIGHT = Polygon([(2000, 150), (2387, 150), (2387, 350), (1990, 350)])
STEP_LEFT = box(1000, 150, 2000, 350).difference(box(1996, 250, 2001, 351))
STEP_RIGHT = box(1996, 150, 2387, 350).difference(STEP_LEFT)


def rows_renumbered(numbers: dict[int, int]) -> HandPlan:
    return retabled(lambda t: t.assign(row=t["row"].map(numbers)).sort_values(["row", "place"]))


def row_two_places(numbers: dict[int, int]) -> HandPlan:
    def change(table: pd.DataFrame) -> pd.DataFrame:
        second = table["row"] == 2
        table.loc[second, "place"] = table.loc[second, "place"].map(numbers)
        return table.sort_values(["row", "place"])

    return retabled(change)


def with_first_joint(at: float) -> HandPlan:
    """The hand floor with the joints of row 1 moved: 1.1 eats into the 13 mm between it and 2.3."""
    return recut(
        {
            "1.1": {"length_mm": at, "along_mm": 1000 - at},
            "1.2": {"u": at},
            "1.3": {"u": at + 1000, "length_mm": 2387 - at - 1000},
        }
    )


def with_line(cut: Cut) -> HandPlan:
    return written((*HAND, cut), bound=7)


def ripped_in_the_middle() -> HandPlan:
    """Rows of 150, 190 and 200: the ripped one in the middle, so that the grid breaks."""
    second = {"width_mm": 190}
    third = {"v": 340, "width_mm": 200}
    return recut(dict.fromkeys(("2.1", "2.2", "2.3"), second) | dict.fromkeys(("3.1", "3.2", "3.3"), third))


def sawn_lengthways() -> HandPlan:
    """Piece 2.2 as two strips of 100, one from each edge of a board."""
    cuts = list(HAND)
    cuts[4:6] = [
        dataclasses.replace(HAND[4], width_mm=100),
        Cut("2.3", "b9", 0, 100, 1000, 250, 1000, 100),
        dataclasses.replace(HAND[5], piece="2.4"),
    ]
    return written(cuts, bound=7)


BROKEN: dict[str, tuple[set[str], Callable[[], HandPlan]]] = {
    "a piece shifted along its row leaves a gap and lies on its neighbour": (
        {"gap in the tiling", "overlap"},
        lambda: recut({"2.2": {"u": 1005}}),
    ),
    "a piece shifted across leaves its strip as well": (
        {"gap in the tiling", "overlap", "not on the grid"},
        lambda: recut({"1.2": {"v": 5}}),
    ),
    "a joint left open by 0.4 mm is a gap": (
        {"gap in the tiling"},
        lambda: recut({"2.3": {"u": 2000.4, "length_mm": 386.6}}),
    ),
    "a bare corner of 5.1 mm square is no speck": (
        {"gap in the tiling"},
        lambda: recut({"3.3": {"face": box(1400, 350, 2387, 540).difference(box(2381.9, 534.9, 2387, 540))}}),
    ),
    "a missing piece is a gap": ({"gap in the tiling"}, lambda: written(HAND[:-1], bound=7)),
    "a piece listed twice lies on itself": (
        {"overlap"},
        lambda: with_line(dataclasses.replace(HAND[8], piece="3.4", board="b9")),
    ),
    "a piece listed twice from the same board collides on it too": (
        {"overlap", "pieces too close on board"},
        lambda: with_line(dataclasses.replace(HAND[8], piece="3.4")),
    ),
    "a piece run into the gap at the wall overhangs": (
        {"overhang"},
        lambda: recut({"1.3": {"length_mm": 797}}),
    ),
    "a finisher that keeps the wrong end": (
        {"end not a factory end"},
        lambda: recut({"3.3": {"along_mm": 13}}),
    ),
    "a starter that keeps the wrong end": (
        {"end not a factory end"},
        lambda: recut({"3.1": {"along_mm": 0}}),
    ),
    "two starters from one board lie one over the other": (
        {"pieces too close on board"},
        lambda: recut({"3.1": {"board": "b1"}}),
    ),
    "a kerf forgotten": ({"pieces too close on board"}, lambda: with_first_joint(603)),
    "a margin forgotten": ({"pieces too close on board"}, lambda: with_first_joint(610)),
    "a first row ripped from the wrong edge": (
        {"edge not a factory edge"},
        lambda: recut({piece: {"across_mm": 0} for piece in ("1.1", "1.2", "1.3")}),
    ),
    "a last row ripped from the wrong edge": (
        {"edge not a factory edge"},
        lambda: recut({piece: {"across_mm": 10} for piece in ("3.1", "3.2", "3.3")}),
    ),
    "a board turned end for end has the wrong end and the wrong edge": (
        {"end not a factory end", "edge not a factory edge"},
        lambda: recut({"3.1": {"along_mm": 0, "across_mm": 10}}),
    ),
    "the mirror image of a plan": ({"wrong hand"}, mirrored),
    "one board too many counted": ({"boards miscounted"}, lambda: recut({}, boards=9)),
    "one board too few counted": ({"boards miscounted"}, lambda: recut({}, boards=7)),
    "a bound above the plan": (
        {"bound above plan"},
        lambda: dataclasses.replace(written(HAND, bound=7), boards_bound=9),
    ),
    # 2387 × 540 / (1000 × 200) = 6.44…
    "a bound below the net area": (
        {"bound below net area"},
        lambda: dataclasses.replace(written(HAND, bound=7), boards_bound=6),
    ),
    "two rows with each other's number": ({"wrong row numbers"}, lambda: rows_renumbered({1: 1, 2: 3, 3: 2})),
    "rows counted from the far wall": ({"wrong row numbers"}, lambda: rows_renumbered({1: 3, 2: 2, 3: 1})),
    "rows counted from 0": ({"wrong row numbers"}, lambda: rows_renumbered({1: 0, 2: 1, 3: 2})),
    "rows counted from 2": ({"wrong row numbers"}, lambda: rows_renumbered({1: 2, 2: 3, 3: 4})),
    "a row number left out": ({"wrong row numbers"}, lambda: rows_renumbered({1: 1, 2: 2, 3: 4})),
    "places counted from the right": (
        {"places not from the left"},
        lambda: row_two_places({1: 3, 2: 2, 3: 1}),
    ),
    "a place left out": ({"wrong places"}, lambda: row_two_places({1: 1, 2: 2, 3: 4})),
    "a place given twice": ({"wrong places"}, lambda: row_two_places({1: 1, 2: 1, 3: 2})),
    "a table not in order": (
        {"table not sorted"},
        lambda: retabled(lambda t: t.iloc[[1, 0, *range(2, 9)]]),
    ),
    "a label used twice": (
        {"label used twice"},
        lambda: retabled(lambda t: t.assign(piece=t["piece"].replace("3.3", "1.1"))),
    ),
    "a piece too long for its board": (
        {"off the board"},
        lambda: recut(
            {
                "3.1": {"length_mm": 287, "along_mm": 713},
                "3.2": {"u": 287},
                "3.3": {"u": 1287, "length_mm": 1100},
            }
        ),
    ),
    "a piece off the edge of its board has lost its factory edge": (
        {"off the board", "edge not a factory edge"},
        lambda: recut({"1.3": {"across_mm": 60}}),
    ),
    "a shape with a spike in it": ({"shape not valid"}, lambda: recut({"2.2": {"face": SPIKED}})),
    "a shape in two halves": ({"shape not valid"}, lambda: recut({"2.2": {"face": HALVES}})),
    "no shape at all": (
        {"shape not valid", "gap in the tiling"},
        lambda: retabled(lambda t: t.assign(shape=[*t["shape"][:-1], None])),
    ),
    "a length 1 mm short of its shape": (
        {"sawn size wrong"},
        lambda: retabled(lambda t: t.assign(length_mm=t["length_mm"].replace(987.0, 986.0))),
    ),
    "a length that is no tenth": (
        {"sawn size wrong"},
        lambda: retabled(lambda t: t.assign(length_mm=t["length_mm"].replace(987.0, 987.04))),
    ),
    "a width that leaves out the notch": (
        {"sawn size wrong"},
        lambda: retabled(lambda t: t.assign(width_mm=t["width_mm"].mask(t["piece"] == "3.2", 100.0))),
    ),
    "a joint aslant": (
        {"joint not square"},
        lambda: recut(
            {
                "2.2": {"face": SLANT_LEFT},
                "2.3": {"face": SLANT_RIGHT, "u": 1990, "length_mm": 397, "board": "b9"},
            }
        ),
    ),
    "a joint in steps": (
        {"end not a factory end"},
        lambda: recut(
            {
                "2.2": {"face": STEP_LEFT},
                "2.3": {"face": STEP_RIGHT, "u": 1996, "length_mm": 391, "board": "b9"},
            }
        ),
    ),
    "a ripped row in the middle": ({"edge not a factory edge", "not on the grid"}, ripped_in_the_middle),
    "a piece sawn lengthways inside its row": (
        {"joint inside a row", "edge not a factory edge"},
        sawn_lengthways,
    ),
    "a column missing": ({"table not complete"}, lambda: retabled(lambda t: t.drop(columns="across_mm"))),
    "a number missing": (
        {"table not complete"},
        lambda: retabled(lambda t: t.assign(along_mm=t["along_mm"].where(t["piece"] != "2.2"))),
    ),
    "a row and a half": (
        {"table not complete"},
        lambda: retabled(lambda t: t.assign(row=t["row"].astype(float).replace(2.0, 1.5))),
    ),
    "directions that are no unit vectors": (
        {"directions not square"},
        lambda: retabled(lambda t: t, along=(2, 0)),
    ),
    "directions that are not square": (
        {"directions not square"},
        lambda: retabled(lambda t: t, across=(math.sqrt(0.5), -math.sqrt(0.5))),
    ),
    "an empty table": (
        {"gap in the tiling"},
        lambda: retabled(lambda t: t.iloc[:0], boards_needed=0, boards_bound=0),
    ),
}
BROKEN["an empty table"][0].add("bound below net area")


@pytest.mark.parametrize(("wanted", "case"), BROKEN.values(), ids=BROKEN.keys())
def test_a_broken_plan_is_named_for_what_is_wrong_and_nothing_else(wanted: set[str], case: Callable[[], HandPlan]):
    assert kinds(referee(case(), ROOM, BOARD, RULES)) == wanted


@pytest.mark.parametrize(
    ("wanted", "case"),
    [
        ({"overhang"}, lambda: (written(HAND, bound=7), with_notch()[1])),
        ({"gap in the tiling"}, lambda: (with_notch()[0], ROOM)),
        ({"gap in the tiling"}, lambda: (written(HAND, bound=7), with_recess()[1])),
        ({"overhang"}, lambda: (with_recess()[0], ROOM)),
        (
            {"sawn size wrong"},
            lambda: (closet(80, 90, length_mm=900.04)[0], closet(80, 90, length_mm=900.04)[1]),
        ),
        (
            {"sawn size wrong"},
            lambda: (
                retouched(closet(80, 90, length_mm=900.04)[0], "length_mm", 900.0),
                closet(80, 90, length_mm=900.04)[1],
            ),
        ),
        ({"pieces too close on board"}, lambda: closet(100, 95)),
        (
            {"edge not a factory edge"},
            lambda: (
                retouched(with_breast()[0], "across_mm", [50, 50, 50, 0, 0, 0, 0, 0, 10]),
                with_breast()[1],
            ),
        ),
        (
            {"wrong row numbers"},
            lambda: (
                retouched(with_row_in_the_doorway()[0], "row", [0, 1, 1, 1, 2, 2, 2, 3, 3, 3]),
                with_row_in_the_doorway()[1],
            ),
        ),
    ],
    ids=[
        "a hearth not cut out",
        "a notch where no hearth is",
        "a doorway left bare",
        "a floor run into a wall where no door is",
        "a length not rounded",
        "a length rounded down",
        "two strips of one board closer than kerf and margin",
        "a one-piece run with its edge sawn off",
        "a doorway's row counted as row 0",
    ],
)
def test_a_broken_plan_for_another_room_is_named(wanted: set[str], case: Callable[[], tuple[HandPlan, Room]]):
    plan, room = case()
    assert kinds(referee(plan, room, BOARD, RULES)) == wanted


@settings(deadline=None, derandomize=True, max_examples=60)
@given(st.integers(0, 8), st.floats(0, 360), st.floats(0.8, 40))
def test_no_piece_can_be_moved_unnoticed(which: int, degrees: float, distance_mm: float):
    # 0.8 mm any way is at least 0.56 mm along one of the axes: wider than a misfit, longer than a speck.
    du = distance_mm * math.cos(math.radians(degrees))
    dv = distance_mm * math.sin(math.radians(degrees))
    cut = HAND[which]
    plan = recut({cut.piece: {"u": cut.u + du, "v": cut.v + dv}})
    assert kinds(referee(plan, ROOM, BOARD, RULES)) & {"gap in the tiling", "overlap", "overhang"}


@pytest.mark.parametrize(
    ("case", "wanted"),
    [
        (
            lambda: written(HAND[:-1], bound=7),
            # 987 × 190 less nothing; its middle is u 1893.5, v 445, so x 1903.5, y 105.
            Fault("gap in the tiling", "", "187530 mm² of floor lie bare near (1904, 105)."),
        ),
        (
            lambda: with_line(dataclasses.replace(HAND[8], piece="3.4", board="b9")),
            Fault("overlap", "3.4", "187530 mm² lie on piece 3.3 as well, near (1904, 105)."),
        ),
        (
            lambda: recut({"1.3": {"length_mm": 797}}),
            Fault("overhang", "1.3", "1500 mm² lie outside the net floor near (2402, 475)."),
        ),
        (
            lambda: recut({"3.3": {"along_mm": 13}}),
            Fault("end not a factory end", "3.3", "Its left end meets piece 3.2, but 13.0 mm are sawn off it."),
        ),
        (
            lambda: with_first_joint(603),
            Fault(
                "pieces too close on board",
                "2.3",
                "Pieces 1.1 and 2.3 lie 10.0 mm apart on board b1; kerf and margin need 13 mm.",
            ),
        ),
        (
            lambda: recut({"3.1": {"board": "b1"}}),
            Fault(
                "pieces too close on board",
                "3.1",
                "Pieces 1.1 and 3.1 lie one over the other on board b1; kerf and margin need 13 mm.",
            ),
        ),
        (
            lambda: recut({}, boards=9),
            Fault("boards miscounted", "", "The pieces come from 8 boards, the plan says 9."),
        ),
        (
            lambda: dataclasses.replace(written(HAND, bound=7), boards_bound=9),
            Fault("bound above plan", "", "At least 9 boards, says a plan with 8."),
        ),
        (
            lambda: dataclasses.replace(written(HAND, bound=7), boards_bound=6),
            Fault("bound below net area", "", "The net area alone takes 7 boards, the bound is 6."),
        ),
        (
            mirrored,
            Fault("wrong hand", "", "alongₓ·across_y − along_y·acrossₓ is +1, a right-handed board needs -1."),
        ),
        (
            lambda: row_two_places({1: 3, 2: 2, 3: 1}),
            Fault("places not from the left", "2.3", "Row 2 must be counted from its left end."),
        ),
        (
            lambda: recut({"2.2": {"face": HALVES}}),
            Fault(
                "shape not valid",
                "2.2",
                "The shape must be one valid polygon: it is a MultiPolygon, not one polygon.",
            ),
        ),
        (
            lambda: rows_renumbered({1: 0, 2: 1, 3: 2}),
            Fault("wrong row numbers", "", "The first row is row 0; it must be row 1."),
        ),
    ],
    ids=lambda value: value.kind if isinstance(value, Fault) else "",
)
def test_a_fault_says_which_piece_where_and_by_how_much(case: Callable[[], HandPlan], wanted: Fault):
    assert wanted in referee(case(), ROOM, BOARD, RULES)


# -------------------------------------------------------------------------------------------------- the rules


def in_strips(
    room: Room,
    rules: LayingRules,
    board: Board,
    *,
    first_line: float,
    joints: dict[int, list[float]] | None = None,
) -> HandPlan:
    """A floor cut at row lines and joints, for the rules alone: start wall y = 0, u = −x, v = y.

    Row 1 begins at v = `first_line`; what `joints` does not part stays one piece. Every piece has a board of
    its own, its place on it is not worked out.
    """
    frame = Frame((0, 0), (-1, 0), (0, 1))
    floor = shapely.transform(net_floor(room, rules), lambda p: p * [-1, 1])
    low, _, high, top = floor.bounds
    cuts = []
    row = 0
    while (line := first_line + row * board.width_mm) < top:
        row += 1
        ends = [low - 1, *(joints or {}).get(row, []), high + 1]
        faces = [
            face
            for left, right in itertools.pairwise(ends)
            for face in shapely.get_parts(floor.intersection(box(left, line, right, line + board.width_mm)))
            if face.area > 1
        ]
        for place, face in enumerate(sorted(faces, key=lambda face: face.bounds[::2]), start=1):
            u, v, u_end, v_end = face.bounds
            length = math.ceil((u_end - u) * 10 - 0.01) / 10
            cuts.append(Cut(f"{row}.{place}", f"b{len(cuts)}", 0, 0, u, v, length, v_end - v, face))
    return written(cuts, bound=len(cuts), frame=frame)


LONG_BOARD = Board(name="long", length_mm=5000, width_mm=193, thickness_mm=8, boards_per_pack=8)
NO_GAP = LayingRules(gap_mm=0)


def shown(found: Sequence[Break]) -> list[tuple[str, int, int, float]]:
    return [(broken.rule, broken.row, broken.place, round(broken.by_mm, 1)) for broken in found]


def test_runs_that_share_a_stretch_of_their_row_may_be_counted_by_run_or_by_left_end():
    # A Z of wall parts one row in two runs, each with a tongue beside the other; one joint parts both from
    # their runs. By left end: run A, tongue of B, tongue of A, run B.
    low, high = (
        ((1000, 0), (1020, 0), (1020, 90), (1620, 90)),
        ((1620, 193), (1600, 193), (1600, 110), (1000, 110)),
    )
    room = Room(
        name="zed",
        outline=((0, 0), (2400, 0), (2400, 193), (0, 193)),
        obstacles=(Obstacle("zed", (*low, *high)),),
    )
    plan = in_strips(room, NO_GAP, LONG_BOARD, first_line=0, joints={1: [-1300]})

    def counted(order: list[int]) -> set[str]:
        table = plan.pieces.iloc[order].assign(place=[1, 2, 3, 4])
        return kinds(referee(dataclasses.replace(plan, pieces=table), room, LONG_BOARD, NO_GAP))

    # Places on boards are not worked out, so some joined ends are not factory ones.
    unworked = {"end not a factory end"}
    assert counted([0, 1, 2, 3]) == unworked
    assert counted([0, 2, 1, 3]) == unworked
    assert counted([1, 3, 0, 2]) == unworked | {"places not from the left"}
    assert counted([2, 0, 1, 3]) == unworked | {"places not from the left"}


def test_the_side_of_a_doorway_at_a_rows_end_is_a_stop_like_any_other():
    # From 50 the doorway's strip spans y = 50 − 10 to 350 + 10: 153 of row 1 and 167 of row 2 run into it.
    # From 80 it reaches y = 390, 4 into row 3 (386 to 579): 46 too few.
    room = Room(name="tab", outline=((0, 0), (2400, 0), (2400, 579), (0, 579)))
    wide, tab = (
        dataclasses.replace(room, doors=(Door(wall=2, from_corner_mm=at, opening_mm=300, recess_mm=40),))
        for at in (50, 80)
    )
    for fitted, wanted in ((wide, []), (tab, [("narrowest row", 3, 1, 46.0)])):
        plan = in_strips(fitted, NO_GAP, LONG_BOARD, first_line=0)
        assert shown(broken_rules(plan, fitted, LONG_BOARD, NO_GAP)) == wanted


def test_joints_nearer_than_the_offset_go_by_the_piece_to_their_right_in_the_later_row():
    # Row 2 has joints at 1000 and 2000, row 3 now at 800 and 1800: 200 apart, 100 less than the rule.
    plan = recut(
        {
            "3.1": {"length_mm": 800, "along_mm": 200},
            "3.2": {"u": 800},
            "3.3": {"u": 1800, "length_mm": 587},
        }
    )
    assert referee(plan, ROOM, BOARD, RULES) == []
    found = undeclared(plan, ROOM, BOARD, RULES)
    assert shown(found) == [("joint offset", 3, 2, 100.0), ("joint offset", 3, 3, 100.0)]
    assert undeclared(dataclasses.replace(plan, broken_rules=tuple(found[:1])), ROOM, BOARD, RULES) == []
    other_row = (Break("joint offset", 2, 2, 100),)
    assert undeclared(dataclasses.replace(plan, broken_rules=other_row), ROOM, BOARD, RULES) == found
    other_rule = (Break("shortest piece", 3, 2, 100),)
    assert undeclared(dataclasses.replace(plan, broken_rules=other_rule), ROOM, BOARD, RULES) == found


def test_a_short_piece_not_declared_is_found():
    plan = recut(
        {
            "3.1": {"length_mm": 250, "along_mm": 750},
            "3.2": {"u": 250},
            "3.3": {"u": 1250, "length_mm": 1000},
        }
    )
    # Row 3 is now 250 + 1000 + 1000 = 2250: the last 137 are a fourth piece, short as well.
    fourth = Cut("3.4", "b9", 0, 0, 2250, 350, 137, 190)
    table = pd.concat([plan.pieces, written([fourth], bound=0).pieces], ignore_index=True)
    plan = dataclasses.replace(plan, pieces=table, boards_needed=9)
    rules = dataclasses.replace(RULES, joint_offset_mm=200)
    assert referee(plan, ROOM, BOARD, rules) == []
    assert shown(undeclared(plan, ROOM, BOARD, rules)) == [
        ("shortest piece", 3, 1, 50.0),
        ("shortest piece", 3, 4, 163.0),
    ]


def test_a_row_of_one_piece_may_be_short():
    plan, room = closet(80, 90, length_mm=250, board_bound=1)
    assert broken_rules(plan, room, BOARD, RULES) == []


def test_a_sliver_at_the_far_wall_not_declared_is_found_at_both_its_ends():
    # 193 + 30: the second row is 30 wide, 20 less than the rule, in three pieces.
    room = Room(name="box", outline=((0, 0), (4000, 0), (4000, 223), (0, 223)))
    plan = in_strips(room, NO_GAP, LONG_BOARD, first_line=0, joints={2: [-2500, -1500]})
    assert shown(undeclared(plan, room, LONG_BOARD, NO_GAP)) == [
        ("narrowest row", 2, 1, 20.0),
        ("narrowest row", 2, 3, 20.0),
    ]


def test_joints_with_no_floor_all_along_between_them_do_not_count():
    # The breast is bare from u = 900 to 1500; row 2 has a joint over it, row 3 one beside it.
    plan, room = with_breast()
    rules = dataclasses.replace(RULES, shortest_piece_mm=150)
    cuts = {"3.1": (0, 750), "3.2": (750, 150)}
    lines = plan.pieces.set_index("piece", drop=False)
    for piece, (u, length) in cuts.items():
        lines.loc[piece, "length_mm"] = length
        lines.loc[piece, "shape"] = AT_THE_TOP.place(box(u, 350, u + length, 540))
    lines.loc["3.1", "along_mm"] = 250
    plan = dataclasses.replace(plan, pieces=lines.reset_index(drop=True))
    assert referee(plan, room, BOARD, rules) == []
    assert broken_rules(plan, room, BOARD, rules) == []
    # Without the breast the same two joints are 250 apart.
    whole = recut(
        {
            "3.1": {"length_mm": 750, "along_mm": 250},
            "3.2": {"u": 750},
            "3.3": {"u": 1750, "length_mm": 637},
        }
    )
    assert ("joint offset", 3, 2, 50.0) in shown(broken_rules(whole, ROOM, BOARD, rules))


@pytest.mark.parametrize(("top", "foot"), [(170, 230), (140, 200), (200, 260)])
def test_a_joint_that_stops_short_of_the_row_line_has_no_neighbour_across_it(top: float, foot: float):
    # A column at the cross joint of rows 1 and 2, u 970 to 1030 with its gap, on one side of v = 200 or both.
    plan, room = on_whole_boards()
    bare = Frame((10, 610), (1, 0), (0, -1)).place(box(970, top, 1030, foot))
    column = Obstacle("column", ((990, 620 - foot), (1030, 620 - foot), (1030, 600 - top), (990, 600 - top)))
    room = dataclasses.replace(room, obstacles=(column,))
    plan = retouched(plan, "shape", [shape.difference(bare) for shape in plan.pieces["shape"]])
    assert referee(plan, room, BOARD, RULES) == []
    assert shown(broken_rules(plan, room, BOARD, RULES)) == [("joint offset", 3, 2, 300.0)]


def narrow(far_wall: Sequence[tuple[float, float]], *, width: float = 4000) -> list[tuple[int, int, float]]:
    """Narrow places of one-piece rows of 193 between y = 0 and a far wall given from right to left."""
    room = Room(name="taper", outline=((0, 0), (width, 0), *far_wall))
    plan = in_strips(room, NO_GAP, LONG_BOARD, first_line=0)
    assert referee(plan, room, LONG_BOARD, NO_GAP) == []
    return [(b.row, b.place, round(b.by_mm, 1)) for b in broken_rules(plan, room, LONG_BOARD, NO_GAP)]


def round_bay(height: float) -> list[tuple[float, float]]:
    """A far wall with an arc of radius 3 m in chords of 1 degree, `height` beyond row 1 at its crest."""
    turns = [math.radians(k) for k in range(17, -18, -1)]
    arc = [(2000 + 3000 * math.sin(t), 193 + height - 3000 * (1 - math.cos(t))) for t in turns]
    return [(4000, arc[0][1]), *arc, (0, arc[-1][1])]


@pytest.mark.parametrize(
    ("far_wall", "wanted"),
    [
        # Demo floor 2: the last row feathers from 26 to 0, 24 less than 50 at its wide end.
        ([(4000, 193), (0, 219)], [(2, 1, 24.0)]),
        ([(4000, 193), (0, 293)], []),
        ([(4000, 233), (0, 293)], [(2, 1, 10.0)]),
        ([(4000, 193.8), (0, 193.8)], [(2, 1, 49.2)]),
        ([(4000, 193), (2600, 193), (2560, 233), (1440, 233), (1400, 193), (0, 193)], [(2, 1, 10.0)]),
        ([(4000, 193), (2600, 193), (2500, 293), (1440, 293), (1340, 193), (0, 193)], []),
        ([(4000, 193), (2040, 193), (2000, 233), (1960, 193), (0, 193)], []),
        # 40 up over 150 is 15 degrees, 40 up over 86 is 25.
        ([(4000, 193), (2150, 193), (2000, 233), (2000, 193), (0, 193)], [(2, 1, 10.0)]),
        ([(4000, 193), (2086, 193), (2000, 233), (2000, 193), (0, 193)], []),
        ([(4000, 386), (2500, 386), (2500, 223), (1500, 223), (1500, 386), (0, 386)], [(2, 1, 20.0)]),
        ([(4000, 386), (2500, 386), (2500, 293), (1500, 293), (1500, 386), (0, 386)], []),
    ],
    ids=[
        "a taper is narrow at its wide end",
        "a pointed tip is exempt",
        "a taper is narrow at its blunt end",
        "a strip thinner than the kerf is no pointed tip",
        "a canted bay is narrow at its front",
        "a bay deep enough passes",
        "two steep sides meet in a point",
        "an edge 15 degrees aslant is one that rows stop at",
        "an edge 25 degrees aslant is none",
        "a breast leaves a strip before it",
        "a breast that leaves enough passes",
    ],
)
def test_rows_are_measured_where_they_stop_and_at_both_ends_of_a_taper(
    far_wall: list[tuple[float, float]], wanted: list[tuple[int, int, float]]
):
    assert narrow(far_wall) == wanted


def test_a_wall_measured_in_two_goes_is_one_taper():
    assert narrow([(4000, 193), (3000, 218), (2000, 243), (0, 293)]) == []


def test_a_round_bay_is_measured_at_its_crest_and_not_at_every_chord():
    assert narrow(round_bay(100)) == []
    # The two chords at the crest are half a degree aslant: 30 in the middle, 3000 (1 − cos 1°) = 0.46 less
    # at their other ends.
    assert narrow(round_bay(30)) == [(2, 1, 20.5)]


def test_a_doorway_beyond_a_row_line_leaves_a_sliver():
    # Demo floor 3, cut to length: 1075 − 20 = 5 × 193 + 90, and 90 + 118 = 193 + 15 in the doorway of wall 1.
    room = Room(
        name="hall",
        outline=((0, 0), (2600, 0), (2600, 1075), (0, 1075)),
        doors=(Door(wall=1, from_corner_mm=450, opening_mm=762, recess_mm=118),),
    )
    # The start wall of this plan is the doorway's: row 1 is the 15 in the recess.
    plan = in_strips(room, RULES, LONG_BOARD, first_line=10 + 90 - 193 - 193)
    assert shown(broken_rules(plan, room, LONG_BOARD, RULES)) == [("narrowest row", 1, 1, 35.0)]


# ------------------------------------------------------------------------------------ twenty reference floors


def reference_plan(case: dict[str, Any]) -> tuple[HandPlan, Room, Board, LayingRules]:
    """A reference floor laid from its published first joints, starters and finishers shared greedily.

    The longest finisher takes the longest starter that fits beside it: what fits a longer finisher fits
    every shorter one, so no pairing shares more boards.
    """
    run, depth, kerf = case["run_mm"], case["width_mm"], case["kerf_mm"]
    length, width = case["board_length_mm"], case["board_width_mm"]
    board = Board(name="reference", length_mm=length, width_mm=width, thickness_mm=8, boards_per_pack=8)
    rules = LayingRules(
        joint_offset_mm=case["min_offset_mm"],
        shortest_piece_mm=case["min_piece_mm"],
        narrowest_row_mm=0,
        kerf_mm=kerf,
        offcut_margin_mm=0,
    )
    cuts: list[Cut] = []
    starters: list[tuple[float, str]] = []
    finishers: list[tuple[float, int]] = []
    for row, first in enumerate(case["first_joints_mm"], start=1):
        v = width * (row - 1)
        ends = [0.0, *np.arange(first, run, length), run]
        for place, (left, right) in enumerate(itertools.pairwise(ends), start=1):
            piece = Cut(f"{row}.{place}", f"b{len(cuts)}", 0, 0, left, v, right - left, min(width, depth - v))
            if piece.length_mm < length:
                if place == 1:
                    piece = dataclasses.replace(piece, along_mm=length - piece.length_mm)
                    starters.append((piece.length_mm, piece.board))
                else:
                    finishers.append((piece.length_mm, len(cuts)))
            cuts.append(piece)
    starters.sort()
    for size, at in sorted(finishers, reverse=True):
        fitting = [starter for starter in starters if starter[0] + size + kerf <= length]
        if fitting:
            cuts[at] = dataclasses.replace(cuts[at], board=fitting[-1][1])
            starters.remove(fitting[-1])
    room = Room(name="reference", outline=((0, 0), (run + 20, 0), (run + 20, depth + 20), (0, depth + 20)))
    return (
        written(cuts, bound=case["lb_chain"], frame=Frame((10, depth + 10), (1, 0), (0, -1))),
        room,
        board,
        rules,
    )


@pytest.mark.parametrize("case", REFERENCE, ids=lambda case: f"floor {case['seed']}")
def test_a_reference_floor_with_the_fewest_boards_is_passed(case: dict[str, Any]):
    plan, room, board, rules = reference_plan(case)
    assert plan.boards_needed == case["optimal_boards"]
    assert referee(plan, room, board, rules) == []
    assert broken_rules(plan, room, board, rules) == []
