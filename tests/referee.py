"""The referee: proves a floor plan from its table alone.

Written from the contract, apart from the planner: it shares no line and no function with `setting_out` and
trusts nothing a plan says about itself. It builds the net floor from the room, moves every shape into laying
axes and checks the pieces against floor, board and rules.

Laying axes: ``u`` along the boards from left to right, ``v`` away from the start wall, both in mm ::

        start wall
    ┌────────────┬─────────────────┬──────────┐  v = 0
    │ row 1, 1   │ row 1, 2        │ row 1, 3 │
    ├──────┬─────┴──────────┬──────┴──────────┤  row line, v = first line + W
    │ 2, 1 │ 2, 2           │ 2, 3            │
    └──────┴────────────────┴─────────────────┘
    u = 0 →

A left-handed board mirrors the plan, and the same axes with it: "left" is always the end with the smaller u.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any, Protocol

import numpy as np
import pandas as pd
import shapely
from shapely import LineString, Polygon, STRtree
from shapely.geometry.base import BaseGeometry

from flooring_kit.products import Board
from flooring_kit.room import Door, Room
from flooring_kit.rules import LayingRules

COLUMNS = ("piece", "row", "place", "board", "along_mm", "across_mm", "length_mm", "width_mm", "shape")
NUMBERS = ("row", "place", "along_mm", "across_mm", "length_mm", "width_mm")

WIDEST_MISFIT_MM = 0.3
"""Gaps, overlaps and overhangs up to this width pass: the contract's own figure."""
SPECK_MM2 = 25.0
"""Gaps smaller than this may be left: the contract's own figure."""
LEAST_TOUCH_MM = 5.0
"""Pieces that touch over more than this are joined: the contract's own figure."""
ARC_STEPS = 60
MITRE_LIMIT = 10.0
"""Corners of the net floor are mitred up to this limit: the contract's own figure."""
BOARD_TOLERANCE_MM = 0.05
"""Half of the tenth of a millimetre that places and sizes on a board are stated in."""
DUST_MM = 0.001
"""What turning shapes into laying axes may cost in binary fractions, with a wide margin."""
RULE_TOLERANCE_MM = 0.2
"""A rule counts as broken from here on: places are tenths, and two may be rounded against each other."""
SHORTEST_STOP_MM = 1.0
"""Flat edges shorter than this are dust. The side of a doorway counts: a tab in it can be too narrow."""
FLAT_DEGREES = 20.0
"""An edge this near to the boards' direction is an edge rows stop at, not an end."""
ARC_TURN_DEGREES = 5.0
"""Edges that turn by less than this are chords of one arc, or one wall measured in two goes: one taper."""
STRAIGHT_DEGREES = 0.05
"""A side that turns by less than this is one straight wall."""
PARALLEL_DEGREES = 1.0
"""Sides this near to parallel make a strip of one width even on the crest of an arc."""
POINTED_TIP_MM = 1.0
"""A taper that ends narrower than this ends in a point, and is exempt there."""


@dataclass(frozen=True)
class Fault:
    """Something in a plan that breaks the contract.

    Parameters
    ----------
    kind
        The clause that is broken, in a few words that never change.
    piece
        Label of the piece at fault; "" where it is the plan as a whole.
    detail
        A sentence with the figures.
    """

    kind: str
    piece: str
    detail: str


@dataclass(frozen=True)
class Break:
    """A laying rule the floor does not keep.

    Parameters
    ----------
    rule
        "joint offset", "shortest piece" or "narrowest row".
    row, place
        The piece concerned. A joint goes by the piece to its right, in the later of the two rows.
    by_mm
        How much is missing [mm].
    """

    rule: str
    row: int
    place: int
    by_mm: float


class _Broken(Protocol):
    @property
    def rule(self) -> str: ...
    @property
    def row(self) -> int: ...


class PlanTable(Protocol):
    """The part of a plan the referee looks at."""

    @property
    def pieces(self) -> pd.DataFrame: ...
    @property
    def along(self) -> Sequence[float]: ...
    @property
    def across(self) -> Sequence[float]: ...
    @property
    def boards_needed(self) -> int: ...
    @property
    def boards_bound(self) -> int: ...
    @property
    def broken_rules(self) -> Iterable[_Broken]: ...


# ---------------------------------------------------------------------------------------------- the net floor


def net_floor(room: Room, rules: LayingRules) -> BaseGeometry:
    """The floor to be tiled [mm, survey axes].

    The outline drawn in by the gap, less every obstacle grown by the gap, plus the strip of every doorway.
    Pipes are not taken out: they are holes in boards.
    """
    floor: BaseGeometry = _offset(Polygon(_wall_points(room)), -rules.gap_mm)
    for obstacle in room.obstacles:
        floor = floor.difference(_offset(Polygon(obstacle.outline), rules.gap_mm))
    strips = [_door_strip(room, door, rules) for door in room.doors if door.recess_mm > 0]
    floor = shapely.union_all([floor, *strips])
    parts = [part for part in shapely.get_parts(floor) if part.geom_type == "Polygon" and part.area >= SPECK_MM2]
    return shapely.union_all(parts)


def _wall_points(room: Room) -> list[tuple[float, float]]:
    """All corners, and points along round and bowed walls: an arc in steps of equal share of its angle."""
    corners = list(room.outline)
    ring = [*corners, corners[0]]
    twice = sum(a[0] * b[1] - a[1] * b[0] for a, b in pairwise(ring))
    points: list[tuple[float, float]] = []
    for wall, (a, b) in enumerate(pairwise(ring), start=1):
        points.append(a)
        along = complex(*b) - complex(*a)
        out = along / abs(along) * (-1j if twice > 0 else 1j)
        for edge in room.edges:
            if edge.wall != wall:
                continue
            stretch = [(distance / abs(along), back) for distance, back in edge.bow]
            if edge.rise_mm:
                # with the tangent half-angle t = rise / half chord, a point at share s of the angle is off by
                # radius (cos(angle s) - cos(angle))
                half = math.atan(2 * abs(edge.rise_mm) / abs(along)) * 2
                radius = abs(along) / 2 / math.sin(half)
                shares = [step / ARC_STEPS for step in range(1 - ARC_STEPS, ARC_STEPS)]
                stretch = [
                    (
                        0.5 + radius * math.sin(half * s) / abs(along),
                        math.copysign(radius * (math.cos(half * s) - math.cos(half)), edge.rise_mm),
                    )
                    for s in shares
                ]
            spots = [complex(*a) + along * share + out * back for share, back in stretch]
            points += [(spot.real, spot.imag) for spot in spots]
    return points


def _offset(shape: BaseGeometry, distance_mm: float) -> BaseGeometry:
    return shape.buffer(distance_mm, join_style="mitre", mitre_limit=MITRE_LIMIT)


def _door_strip(room: Room, door: Door, rules: LayingRules) -> Polygon:
    """The strip a doorway adds: from the gap inside the wall face to the recess less the gap beyond it."""
    corners = room.outline
    (x0, y0), (x1, y1) = corners[door.wall - 1], corners[door.wall % len(corners)]
    length = math.hypot(x1 - x0, y1 - y0)
    dx, dy = (x1 - x0) / length, (y1 - y0) / length
    # Twice the signed area: positive for corners taken anticlockwise, with the room to the left of each wall.
    twice = sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(corners, corners[1:] + corners[:1], strict=True))
    side = 1.0 if twice > 0 else -1.0
    inward = (-dy * side, dx * side)
    spread = rules.under_frame_mm if door.undercut else -rules.gap_mm
    from_mm, to_mm = door.from_corner_mm - spread, door.from_corner_mm + door.opening_mm + spread

    def band(inside: float, outside: float) -> Polygon:
        at = ((from_mm, inside), (to_mm, inside), (to_mm, outside), (from_mm, outside))
        return Polygon([(x0 + dx * s + inward[0] * t, y0 + dy * s + inward[1] * t) for s, t in at])

    # A bowed face may stand into the room before the doorway: the strip begins at its foremost point.
    # Strip and floor share an edge; a hair of overlap keeps a slanted wall's dust from parting them.
    face = shapely.intersection(LineString(room.wall_faces[door.wall - 1]), band(1000.0, -1000.0))
    stands_in = [(x - x0) * inward[0] + (y - y0) * inward[1] for x, y in shapely.get_coordinates(face)]
    return band(max([0.0, *stands_in]) + rules.gap_mm + DUST_MM, rules.gap_mm - door.recess_mm)


# ------------------------------------------------------------------------------------ the plan in laying axes


LEFT, RIGHT, START_SIDE, FAR_SIDE, ASLANT = range(5)


@dataclass(frozen=True)
class _Touch:
    """Two pieces that are joined, seen from the first of them."""

    piece: int
    other: int
    side: int
    length_mm: float
    low: tuple[float, float]
    high: tuple[float, float]


@dataclass(frozen=True)
class _Joint:
    """An end joint: its place along the boards and how far it reaches across."""

    left: int
    right: int
    row: int
    part: int
    at_mm: float
    from_mm: float
    to_mm: float


class _Laid:
    """A plan's table as arrays, with every shape in laying axes."""

    def __init__(self, plan: PlanTable, room: Room, board: Board, rules: LayingRules) -> None:
        table = plan.pieces
        self.board = board
        self.rules = rules
        self.labels = [str(label) for label in table["piece"]]
        self.stock = list(table["board"])
        self.row = table["row"].to_numpy(dtype=int)
        self.place = table["place"].to_numpy(dtype=int)
        self.along_mm = table["along_mm"].to_numpy(dtype=float)
        self.across_mm = table["across_mm"].to_numpy(dtype=float)
        self.length_mm = table["length_mm"].to_numpy(dtype=float)
        self.width_mm = table["width_mm"].to_numpy(dtype=float)
        self.axes = np.array([list(plan.along), list(plan.across)], dtype=float)
        self.floor = shapely.transform(net_floor(room, rules), self._into_laying_axes)
        self.parts = shapely.get_parts(self.floor)
        shapes = np.empty(len(table), dtype=object)
        shapes[:] = [_polygonal(shape) for shape in table["shape"]]
        self.shapes = shapely.orient_polygons(shapely.transform(shapes, self._into_laying_axes))
        self.bounds = shapely.bounds(self.shapes).reshape(-1, 4)
        # A piece without a shape has been complained of; there is nothing to judge its row and size by.
        self.has_shape = np.isfinite(self.bounds[:, 0])

    def __len__(self) -> int:
        return len(self.labels)

    def _into_laying_axes(self, points: np.ndarray) -> np.ndarray:
        return np.asarray(points @ self.axes.T)

    def in_survey_axes(self, u: float, v: float) -> str:
        """A point as the survey writes it."""
        x, y = np.linalg.solve(self.axes, np.array([u, v]))
        return f"({x + 0.0:.0f}, {y + 0.0:.0f})"

    @cached_property
    def part(self) -> np.ndarray:
        """Which connected part of the floor each piece lies in."""
        if not len(self) or not len(self.parts):
            return np.zeros(len(self), dtype=int)
        inner = shapely.point_on_surface(self.shapes)
        empty = shapely.is_empty(inner)
        inner[empty] = shapely.Point(0, 0)
        return np.asarray(STRtree(self.parts).nearest(inner))

    @cached_property
    def touches(self) -> list[_Touch]:
        """Every pair of joined pieces, once from each of the two."""
        return list(_touches(self.shapes))

    @cached_property
    def run(self) -> np.ndarray:
        """Which run each piece belongs to: pieces of a row that are joined end to end."""
        head = list(range(len(self)))

        def top(i: int) -> int:
            while head[i] != i:
                head[i] = head[head[i]]
                i = head[i]
            return i

        for touch in self.touches:
            if touch.side in (LEFT, RIGHT) and self.row[touch.piece] == self.row[touch.other]:
                head[top(touch.piece)] = top(touch.other)
        return np.array([top(i) for i in range(len(self))], dtype=int)

    @cached_property
    def joints(self) -> list[_Joint]:
        """Every end joint within a row, once."""
        return [
            _Joint(
                left=t.piece,
                right=t.other,
                row=int(self.row[t.piece]),
                part=int(self.part[t.piece]),
                at_mm=(t.low[0] + t.high[0]) / 2,
                from_mm=t.low[1],
                to_mm=t.high[1],
            )
            for t in self.touches
            if t.side == RIGHT and self.row[t.piece] == self.row[t.other]
        ]

    @cached_property
    def first_line_mm(self) -> dict[int, float]:
        """For each part of the floor, where row 1 begins across the boards: the line that suits most pieces.

        A piece of row r between v0 and v1 asks for ``v1 − r·W <= line <= v0 − (r − 1)·W``.
        """
        width = self.board.width_mm
        lines: dict[int, float] = {}
        for part in np.unique(self.part[self.has_shape]):
            mine = (self.part == part) & self.has_shape
            least = self.bounds[mine, 3] - self.row[mine] * width
            most = self.bounds[mine, 1] - (self.row[mine] - 1) * width
            if least.max() - most.min() <= WIDEST_MISFIT_MM:
                lines[int(part)] = float(least.max() + most.min()) / 2
                continue
            # No line suits every row number: the grid most pieces lie on, numbered as most of them say.
            tries = np.concatenate([most, least])[:, None]
            half = WIDEST_MISFIT_MM / 2
            numbered = (tries >= least - half) & (tries <= most + half)
            strip = np.floor((self.bounds[mine][:, 1::2].mean(axis=1) - tries) / width)
            near, far = tries + strip * width - half, tries + (strip + 1) * width + half
            lies = (self.bounds[mine, 1] >= near) & (self.bounds[mine, 3] <= far)
            score = lies.sum(axis=1) * (len(self) + 1) + numbered.sum(axis=1)
            lines[int(part)] = float(tries[score.argmax(), 0])
        return lines


def _polygonal(shape: Any) -> BaseGeometry:
    """The area of whatever stands in the shape column, mended where it must be for the other checks."""
    if not isinstance(shape, BaseGeometry):
        return Polygon()
    if shape.is_valid and shape.geom_type in ("Polygon", "MultiPolygon"):
        return shape
    mended = shapely.get_parts(shapely.make_valid(shape))
    return shapely.union_all([part for part in mended if part.geom_type in ("Polygon", "MultiPolygon")])


def _touches(shapes: np.ndarray) -> Iterator[_Touch]:
    """Joined pairs of pieces, from edges that run against each other no more than a misfit apart.

    Every shape has its inside to the left of its edges, so the edge toward the start wall runs to the right,
    and so on round: the direction of an edge says which side of the piece it is.
    """
    polygons, owner = shapely.get_parts(shapes, return_index=True)
    rings, of_polygon = shapely.get_rings(polygons, return_index=True)
    points, of_ring = shapely.get_coordinates(rings, return_index=True)
    if len(points) < 2:
        return
    same = of_ring[:-1] == of_ring[1:]
    start, end = points[:-1][same], points[1:][same]
    piece = owner[of_polygon[of_ring[:-1][same]]]
    run = end - start
    length = np.hypot(run[:, 0], run[:, 1])
    real = length > 1e-6
    start, end, piece, run, length = start[real], end[real], piece[real], run[real], length[real]
    way = run / length[:, None]
    du, dv = np.abs(run[:, 0]), np.abs(run[:, 1])
    side = np.full(len(run), ASLANT)
    upright = (du <= WIDEST_MISFIT_MM) & (du <= 0.1 * dv)
    level = (dv <= WIDEST_MISFIT_MM) & (dv <= 0.1 * du)
    side[upright] = np.where(run[upright, 1] > 0, RIGHT, LEFT)
    side[level] = np.where(run[level, 0] > 0, START_SIDE, FAR_SIDE)

    reach = WIDEST_MISFIT_MM + DUST_MM
    edges = shapely.linestrings(np.stack([start, end], axis=1))
    a, b = STRtree(edges).query(edges, predicate="dwithin", distance=reach)
    against = (piece[a] != piece[b]) & ((way[a] * way[b]).sum(axis=1) < -0.9)
    a, b = a[against], b[against]

    # The stretch of edge a, measured from its start, where edge b is within reach.
    d = way[a]
    first, last = end[b] - start[a], start[b] - start[a]
    t0, t1 = (first * d).sum(axis=1), (last * d).sum(axis=1)
    s0 = d[:, 0] * first[:, 1] - d[:, 1] * first[:, 0]
    s1 = d[:, 0] * last[:, 1] - d[:, 1] * last[:, 0]
    slope = (s1 - s0) / (t1 - t0)
    steady = np.abs(slope) < 1e-9
    safe = np.where(steady, 1.0, slope)
    near, far = t0 + (-reach - s0) / safe, t0 + (reach - s0) / safe
    within = np.abs(s0) <= reach
    low = np.maximum(np.maximum(0, t0), np.where(steady, np.where(within, -np.inf, np.inf), np.minimum(near, far)))
    high = np.minimum(np.minimum(length[a], t1), np.where(steady, np.inf, np.maximum(near, far)))
    close = high > low
    a, b, low, high = a[close], b[close], low[close], high[close]
    p, q = start[a] + way[a] * low[:, None], start[a] + way[a] * high[:, None]

    count = len(shapes)
    key = (piece[a] * count + piece[b]) * 5 + side[a]
    keys, which = np.unique(key, return_inverse=True)
    total = np.bincount(which, weights=high - low, minlength=len(keys))
    least = np.full((len(keys), 2), np.inf)
    most = np.full((len(keys), 2), -np.inf)
    np.minimum.at(least, which, np.minimum(p, q))
    np.maximum.at(most, which, np.maximum(p, q))
    for k in np.flatnonzero(total > LEAST_TOUCH_MM + DUST_MM):
        pair, facing = divmod(int(keys[k]), 5)
        yield _Touch(
            piece=pair // count,
            other=pair % count,
            side=facing,
            length_mm=float(total[k]),
            low=(float(least[k, 0]), float(least[k, 1])),
            high=(float(most[k, 0]), float(most[k, 1])),
        )


# ----------------------------------------------------------------------------------------------- the contract


def referee(plan: PlanTable, room: Room, board: Board, rules: LayingRules) -> list[Fault]:
    """Every way a plan breaks the contract; empty for a plan that keeps it.

    Parameters
    ----------
    plan
        Anything with `pieces`, `along`, `across`, `boards_needed` and `boards_bound`.
    room, board, rules
        What the plan was made for. The rules are taken as they stand: raise them to the leaflet before.

    Returns
    -------
    list of Fault
        In the order of the checks: table, hand, shapes, tiling, rows, boards, joints, counts.
    """
    faults = list(_table_faults(plan.pieces)) + list(_axes_faults(plan, board))
    if any(fault.kind in ("table not complete", "directions not square") for fault in faults):
        return faults
    laid = _Laid(plan, room, board, rules)
    faults += _shape_faults(laid, plan.pieces["shape"])
    for check in (
        _tiling_faults,
        _row_faults,
        _place_faults,
        _board_faults,
        _spacing_faults,
        _joining_faults,
    ):
        faults += check(laid)
    faults += _count_faults(plan, laid)
    return faults


def _table_faults(pieces: pd.DataFrame) -> Iterator[Fault]:
    missing = [column for column in COLUMNS if column not in pieces.columns]
    if missing:
        yield Fault("table not complete", "", f"The table has no column {', '.join(missing)}.")
        return
    for column in NUMBERS:
        numbers = pd.to_numeric(pieces[column], errors="coerce").to_numpy(dtype=float)
        wrong = ~np.isfinite(numbers)
        if column in ("row", "place"):
            wrong |= numbers != np.round(numbers)
        for at in np.flatnonzero(wrong):
            label, value = str(pieces["piece"].iloc[at]), pieces[column].iloc[at]
            yield Fault("table not complete", label, f"{column} is {value!r}, not a number that can be used.")
    for label in pieces["piece"][pieces["piece"].duplicated()].unique():
        yield Fault("label used twice", str(label), f"{(pieces['piece'] == label).sum()} pieces have this label.")


def _axes_faults(plan: PlanTable, board: Board) -> Iterator[Fault]:
    (ax, ay), (bx, by) = (tuple(float(c) for c in axis) for axis in (plan.along, plan.across))
    sizes = (math.hypot(ax, ay), math.hypot(bx, by), ax * bx + ay * by)
    if not np.allclose(sizes, (1, 1, 0), rtol=0, atol=1e-6):
        yield Fault(
            "directions not square",
            "",
            f"along is {sizes[0]:.6f} long, across {sizes[1]:.6f}, their product is {sizes[2]:.6f}; "
            "they must be 1, 1 and 0.",
        )
        return
    turn, wanted = ax * by - ay * bx, 1 if board.hand == "left" else -1
    if abs(turn - wanted) > 1e-6:
        yield Fault(
            "wrong hand",
            "",
            f"alongₓ·across_y − along_y·acrossₓ is {turn:+.0f}, a {board.hand}-handed board needs {wanted:+d}.",
        )


def _shape_faults(laid: _Laid, shapes: Iterable[Any]) -> Iterator[Fault]:
    for label, shape in zip(laid.labels, shapes, strict=True):
        if not isinstance(shape, BaseGeometry):
            why = f"it is a {type(shape).__name__}, not a shape"
        elif shape.geom_type != "Polygon":
            why = f"it is a {shape.geom_type}, not one polygon"
        elif shape.is_empty:
            why = "it is empty"
        elif not shape.is_valid:
            why = shapely.is_valid_reason(shape)
        else:
            continue
        yield Fault("shape not valid", label, f"The shape must be one valid polygon: {why}.")
    for size, low, high, words in (
        (laid.length_mm, laid.bounds[:, 0], laid.bounds[:, 2], "long"),
        (laid.width_mm, laid.bounds[:, 1], laid.bounds[:, 3], "wide"),
    ):
        # Rounded up to a tenth; a true size that is a tenth already may fall either way by dust.
        least = np.ceil((high - low - DUST_MM) * 10) / 10
        most = np.ceil((high - low + DUST_MM) * 10) / 10
        for at in np.flatnonzero(np.minimum(np.abs(size - least), np.abs(size - most)) > 1e-6):
            yield Fault(
                "sawn size wrong",
                laid.labels[at],
                f"The shape is {high[at] - low[at]:.3f} mm {words}, the table says {size[at]:g}; "
                f"rounded up to a tenth it is {least[at]:.1f}.",
            )


def _tiling_faults(laid: _Laid) -> Iterator[Fault]:
    tiled = shapely.union_all(laid.shapes)
    for gap in _wide_parts(laid.floor.difference(tiled)):
        if gap.area >= SPECK_MM2:
            yield Fault("gap in the tiling", "", f"{gap.area:.0f} mm² of floor lie bare {_near(laid, gap)}.")
    low_u, low_v, high_u, high_v = laid.bounds.T
    tree = STRtree(laid.shapes)
    a, b = tree.query(laid.shapes)
    once = a < b
    a, b = a[once], b[once]
    # An overlap wider than the misfit needs bounding rectangles that overlap by more than that both ways.
    deep = (np.minimum(high_u[a], high_u[b]) - np.maximum(low_u[a], low_u[b]) > WIDEST_MISFIT_MM) & (
        np.minimum(high_v[a], high_v[b]) - np.maximum(low_v[a], low_v[b]) > WIDEST_MISFIT_MM
    )
    for i, j in zip(a[deep], b[deep], strict=True):
        for patch in _wide_parts(laid.shapes[i].intersection(laid.shapes[j])):
            yield Fault(
                "overlap",
                laid.labels[j],
                f"{patch.area:.0f} mm² lie on piece {laid.labels[i]} as well, {_near(laid, patch)}.",
            )
    shapely.prepare(laid.floor)
    for at in np.flatnonzero(~shapely.covers(laid.floor, laid.shapes)):
        for patch in _wide_parts(laid.shapes[at].difference(laid.floor)):
            yield Fault(
                "overhang",
                laid.labels[at],
                f"{patch.area:.0f} mm² lie outside the net floor {_near(laid, patch)}.",
            )


def _wide_parts(shape: BaseGeometry) -> Iterator[BaseGeometry]:
    """The parts of a shape that are wider than a misfit: worn away by half of it and grown back."""
    half = WIDEST_MISFIT_MM / 2 + 1e-4
    worn = shape.buffer(-half, join_style="mitre")
    for part in shapely.get_parts(worn):
        if not part.is_empty:
            yield part.buffer(half, join_style="mitre")


def _near(laid: _Laid, shape: BaseGeometry) -> str:
    point = shape.representative_point()
    return f"near {laid.in_survey_axes(point.x, point.y)}"


def _row_faults(laid: _Laid) -> Iterator[Fault]:
    if not len(laid):
        return
    if laid.row.min() != 1:
        yield Fault("wrong row numbers", "", f"The first row is row {laid.row.min()}; it must be row 1.")
    width = laid.board.width_mm
    line = np.array([laid.first_line_mm.get(int(part), 0.0) for part in laid.part])
    above = line + (laid.row - 1) * width - laid.bounds[:, 1]
    below = laid.bounds[:, 3] - line - laid.row * width
    for at in np.flatnonzero(np.maximum(above, below) > WIDEST_MISFIT_MM):
        # The strip the piece would fit, judged by its middle.
        middle = (laid.bounds[at, 1] + laid.bounds[at, 3]) / 2
        strip = math.floor((middle - line[at]) / width) + 1
        out = max(line[at] + (strip - 1) * width - laid.bounds[at, 1], laid.bounds[at, 3] - line[at] - strip * width)
        if out <= WIDEST_MISFIT_MM:
            yield Fault(
                "wrong row numbers",
                laid.labels[at],
                f"By the grid most pieces lie on it is in row {strip}, the table says {laid.row[at]}.",
            )
        else:
            yield Fault(
                "not on the grid",
                laid.labels[at],
                f"It reaches {out:.1f} mm beyond its strip, {width:g} mm wide.",
            )
    for touch in laid.touches:
        level = touch.side in (START_SIDE, FAR_SIDE)
        if level and touch.piece < touch.other and laid.row[touch.piece] == laid.row[touch.other]:
            yield Fault(
                "joint inside a row",
                laid.labels[touch.other],
                f"{touch.length_mm:.1f} mm of its edge meet piece {laid.labels[touch.piece]} of its own row.",
            )


def _place_faults(laid: _Laid) -> Iterator[Fault]:
    order = np.lexsort((laid.place, laid.row))
    if (order != np.arange(len(laid))).any():
        at = int(np.flatnonzero(order != np.arange(len(laid)))[0])
        yield Fault("table not sorted", laid.labels[at], "The table must be sorted by row, then place.")
    for row in np.unique(laid.row):
        mine = order[laid.row[order] == row]
        places = laid.place[mine]
        if (places != np.arange(1, len(mine) + 1)).any():
            yield Fault(
                "wrong places",
                laid.labels[mine[0]],
                f"Row {row} has places {', '.join(map(str, places))}; it needs 1 to {len(mine)}, each once.",
            )
        elif not (_from_the_left(laid, mine) or _run_by_run(laid, mine)):
            yield Fault(
                "places not from the left",
                laid.labels[mine[0]],
                f"Row {row} must be counted from its left end.",
            )


def _from_the_left(laid: _Laid, pieces: np.ndarray) -> bool:
    """Whether no piece lies wholly to the left of an earlier one."""
    left, right = laid.bounds[pieces, 0], laid.bounds[pieces, 2]
    wholly_left = right[None, :] <= left[:, None] + WIDEST_MISFIT_MM
    return not np.triu(wholly_left, k=1).any()


def _run_by_run(laid: _Laid, pieces: np.ndarray) -> bool:
    """Whether the row is counted one run after another, those included that share a stretch of the strip."""
    runs = laid.run[pieces]
    heads = [at for at in range(len(runs)) if at == 0 or runs[at] != runs[at - 1]]
    if len(heads) != len(np.unique(runs)):
        return False
    groups = [pieces[runs == runs[at]] for at in heads]
    lefts = [laid.bounds[group, 0].min() for group in groups]
    in_order = all(a <= b + WIDEST_MISFIT_MM for a, b in pairwise(lefts))
    return in_order and all(_from_the_left(laid, group) for group in groups)


def _board_faults(laid: _Laid) -> Iterator[Fault]:
    for at_mm, size, limit, words in (
        (laid.along_mm, laid.length_mm, laid.board.length_mm, "along"),
        (laid.across_mm, laid.width_mm, laid.board.width_mm, "across"),
    ):
        off = (at_mm < -BOARD_TOLERANCE_MM) | (at_mm + size > limit + BOARD_TOLERANCE_MM)
        for at in np.flatnonzero(off):
            yield Fault(
                "off the board",
                laid.labels[at],
                f"It lies from {at_mm[at]:g} to {at_mm[at] + size[at]:g} mm {words} a board of {limit:g}.",
            )


def _spacing_faults(laid: _Laid) -> Iterator[Fault]:
    needed = laid.rules.kerf_mm + laid.rules.offcut_margin_mm
    by_board: dict[Any, list[int]] = {}
    for at, stock in enumerate(laid.stock):
        by_board.setdefault(stock, []).append(at)
    for stock, sharing in by_board.items():
        for n, i in enumerate(sharing):
            for j in sharing[n + 1 :]:
                lengthways = max(
                    laid.along_mm[j] - laid.along_mm[i] - laid.length_mm[i],
                    laid.along_mm[i] - laid.along_mm[j] - laid.length_mm[j],
                )
                sideways = max(
                    laid.across_mm[j] - laid.across_mm[i] - laid.width_mm[i],
                    laid.across_mm[i] - laid.across_mm[j] - laid.width_mm[j],
                )
                apart = max(lengthways, sideways)
                if apart < needed - BOARD_TOLERANCE_MM:
                    found = f"{apart:.1f} mm apart" if apart > -BOARD_TOLERANCE_MM else "one over the other"
                    yield Fault(
                        "pieces too close on board",
                        laid.labels[j],
                        f"Pieces {laid.labels[i]} and {laid.labels[j]} lie {found} on board {stock}; "
                        f"kerf and margin need {needed:g} mm.",
                    )


def _joining_faults(laid: _Laid) -> Iterator[Fault]:
    """Joined ends and edges that are not the board's own, or not square, whole and in line."""
    end, edge = laid.board.length_mm, laid.board.width_mm
    # For each side: kind, words, where the factory side lies on the board, which bound of the shape it is.
    sides = {
        LEFT: ("end not a factory end", "left end", laid.along_mm, 0),
        RIGHT: ("end not a factory end", "right end", end - laid.along_mm - laid.length_mm, 2),
        START_SIDE: ("edge not a factory edge", "edge toward the start wall", laid.across_mm, 1),
        FAR_SIDE: (
            "edge not a factory edge",
            "edge away from the start wall",
            edge - laid.across_mm - laid.width_mm,
            3,
        ),
    }
    seen: set[tuple[int, int]] = set()
    for touch in laid.touches:
        if touch.side == ASLANT:
            if touch.piece < touch.other:
                yield Fault(
                    "joint not square",
                    laid.labels[touch.other],
                    f"It meets piece {laid.labels[touch.piece]} aslant over {touch.length_mm:.1f} mm.",
                )
            continue
        if (touch.piece, touch.side) in seen:
            continue
        kind, words, sawn_off, bound = sides[touch.side]
        # Where a joint is stepped, the part of it that stands furthest back.
        met_at = touch.high[bound % 2] if bound < 2 else touch.low[bound % 2]
        stands_back = abs(met_at - laid.bounds[touch.piece, bound])
        meets = f"Its {words} meets piece {laid.labels[touch.other]}"
        if abs(sawn_off[touch.piece]) > BOARD_TOLERANCE_MM:
            seen.add((touch.piece, touch.side))
            yield Fault(
                kind,
                laid.labels[touch.piece],
                f"{meets}, but {sawn_off[touch.piece]:.1f} mm are sawn off it.",
            )
        elif stands_back > WIDEST_MISFIT_MM:
            seen.add((touch.piece, touch.side))
            yield Fault(kind, laid.labels[touch.piece], f"{meets} {stands_back:.1f} mm behind the end of the piece.")


def _count_faults(plan: PlanTable, laid: _Laid) -> Iterator[Fault]:
    used = len(set(laid.stock))
    if plan.boards_needed != used:
        yield Fault(
            "boards miscounted",
            "",
            f"The pieces come from {used} boards, the plan says {plan.boards_needed}.",
        )
    if plan.boards_bound > plan.boards_needed:
        yield Fault(
            "bound above plan",
            "",
            f"At least {plan.boards_bound} boards, says a plan with {plan.boards_needed}.",
        )
    least = math.ceil(laid.floor.area / (laid.board.length_mm * laid.board.width_mm) - 1e-6)
    if plan.boards_bound < least:
        yield Fault(
            "bound below net area",
            "",
            f"The net area alone takes {least} boards, the bound is {plan.boards_bound}.",
        )


# -------------------------------------------------------------------------------------------------- the rules


def broken_rules(plan: PlanTable, room: Room, board: Board, rules: LayingRules) -> list[Break]:
    """The laying rules a plan breaks, as the referee finds them, by row, place and rule.

    Presumes a plan without contract faults. A piece that breaks one rule in several places is listed once,
    at its worst.
    """
    laid = _Laid(plan, room, board, rules)
    worst: dict[tuple[int, int, str], float] = {}
    for found in (*_short_pieces(laid), *_narrow_strips(laid), *_close_joints(laid)):
        key = (found.row, found.place, found.rule)
        worst[key] = max(worst.get(key, 0.0), found.by_mm)
    return [Break(rule, row, place, by_mm) for (row, place, rule), by_mm in sorted(worst.items())]


def undeclared(plan: PlanTable, room: Room, board: Board, rules: LayingRules) -> list[Break]:
    """The broken rules that a plan does not own up to: no entry of its own for that rule in that row."""
    declared = {(broken.rule, int(broken.row)) for broken in plan.broken_rules}
    return [found for found in broken_rules(plan, room, board, rules) if (found.rule, found.row) not in declared]


def _short_pieces(laid: _Laid) -> Iterator[Break]:
    _, which, count = np.unique(laid.run, return_inverse=True, return_counts=True)
    missing = laid.rules.shortest_piece_mm - laid.length_mm
    for at in np.flatnonzero((missing > BOARD_TOLERANCE_MM) & (count[which] > 1)):
        yield Break("shortest piece", int(laid.row[at]), int(laid.place[at]), float(missing[at]))


def _close_joints(laid: _Laid) -> Iterator[Break]:
    """Joints of neighbouring rows that reach the same row line, with floor all along it between them."""
    offset = laid.rules.joint_offset_mm
    by_row: dict[tuple[int, int], list[_Joint]] = {}
    for joint in laid.joints:
        by_row.setdefault((joint.part, joint.row), []).append(joint)
    pairs: list[tuple[_Joint, float, float]] = []
    stretches: list[BaseGeometry] = []
    for (part, row), later in by_row.items():
        line = laid.first_line_mm[part] + (row - 1) * laid.board.width_mm
        earlier = [j for j in by_row.get((part, row - 1), ()) if abs(j.to_mm - line) <= WIDEST_MISFIT_MM]
        for joint in later:
            if abs(joint.from_mm - line) > WIDEST_MISFIT_MM:
                continue
            for other in earlier:
                apart = abs(joint.at_mm - other.at_mm)
                if offset - apart > RULE_TOLERANCE_MM:
                    pairs.append((joint, apart, line))
                    left, right = sorted((joint.at_mm, other.at_mm))
                    # A hair of floor on both sides of the row line, clear of the joints themselves.
                    inset = min(WIDEST_MISFIT_MM, (right - left) / 4)
                    stretches.append(shapely.box(left + inset, line - 0.25, right - inset, line + 0.25))
    if not pairs:
        return
    shapely.prepare(laid.floor)
    whole = shapely.covers(laid.floor, np.array(stretches, dtype=object))
    for (joint, apart, _), floor_between in zip(pairs, whole, strict=True):
        if floor_between or apart <= 2 * WIDEST_MISFIT_MM:
            yield Break("joint offset", joint.row, int(laid.place[joint.right]), offset - apart)


@dataclass(frozen=True)
class _Stretch:
    """Floor of one row between two flat sides: where it begins and ends, and its width at both."""

    from_mm: float
    to_mm: float
    near: tuple[float, float]
    far: tuple[float, float]
    angles: tuple[float, float]

    @property
    def width_from(self) -> float:
        return self.far[0] - self.near[0]

    @property
    def width_to(self) -> float:
        return self.far[1] - self.near[1]

    def goes_on_as(self, other: _Stretch) -> bool:
        """Whether the other carries on where this one stops: the same wall, or the next chord of an arc."""
        return (
            abs(self.to_mm - other.from_mm) <= 0.01
            and abs(self.near[1] - other.near[0]) <= 0.01
            and abs(self.far[1] - other.far[0]) <= 0.01
            and abs(self.angles[0] - other.angles[0]) <= ARC_TURN_DEGREES
            and abs(self.angles[1] - other.angles[1]) <= ARC_TURN_DEGREES
        )

    def is_one_with(self, other: _Stretch) -> bool:
        """Whether the other carries on between the same two straight sides."""
        turns = (abs(a - b) for a, b in zip(self.angles, other.angles, strict=True))
        return self.goes_on_as(other) and max(turns) <= STRAIGHT_DEGREES

    def and_on_to(self, other: _Stretch) -> _Stretch:
        """This stretch and the next as one."""
        near, far = (self.near[0], other.near[1]), (self.far[0], other.far[1])
        return _Stretch(self.from_mm, other.to_mm, near, far, self.angles)


def _narrow_strips(laid: _Laid) -> Iterator[Break]:
    """Rows narrower than the rule: along every flat edge they stop at and at both ends of every taper.

    This depends on the floor and the grid alone, not on where the joints fall.
    """
    narrowest = laid.rules.narrowest_row_mm
    width = laid.board.width_mm
    for part, first_line in laid.first_line_mm.items():
        mine = np.flatnonzero((laid.part == part) & laid.has_shape)
        rows = np.unique(laid.row[mine])
        lines = first_line + (rows - 1) * width
        low, _, high, _ = laid.parts[part].bounds
        strips = shapely.intersection(laid.parts[part], shapely.box(low - 1, lines, high + 1, lines + width))
        for row, line, strip in zip(rows, lines, strips, strict=True):
            pieces = mine[laid.row[mine] == row]
            for run in shapely.get_parts(strip):
                if run.geom_type != "Polygon" or sum(wide.area for wide in _wide_parts(run)) < SPECK_MM2:
                    continue
                for u, v, found in _narrow_places(run, line, line + width):
                    if narrowest - found > RULE_TOLERANCE_MM:
                        nearest = pieces[shapely.distance(laid.shapes[pieces], shapely.Point(u, v)).argmin()]
                        yield Break("narrowest row", int(row), int(laid.place[nearest]), narrowest - found)


def _narrow_places(run: Polygon, near_line: float, far_line: float) -> Iterator[tuple[float, float, float]]:
    """Where a run's width counts: u, v in its middle there, and the width [mm]."""
    tapers: list[list[_Stretch]] = []
    for stretch in _stretches(run, near_line, far_line):
        for taper in tapers:
            if taper[-1].is_one_with(stretch):
                taper[-1] = taper[-1].and_on_to(stretch)
                break
            if taper[-1].goes_on_as(stretch):
                taper.append(stretch)
                break
        else:
            tapers.append([stretch])
    for taper in tapers:
        if taper[-1].to_mm - taper[0].from_mm < SHORTEST_STOP_MM:
            continue
        at = [taper[0].from_mm, *(s.to_mm for s in taper)]
        width = [taper[0].width_from, *(s.width_to for s in taper)]
        middle = [
            (taper[0].near[0] + taper[0].far[0]) / 2,
            *((s.near[1] + s.far[1]) / 2 for s in taper),
        ]
        counts = {0, len(taper)}
        counts |= {k for k in range(1, len(taper)) if width[k] <= width[k - 1] and width[k] <= width[k + 1]}
        for k, stretch in enumerate(taper):
            if abs(stretch.angles[0] - stretch.angles[1]) <= PARALLEL_DEGREES:
                counts |= {k, k + 1}
        sliver = max(width) < POINTED_TIP_MM
        for k in sorted(counts):
            if sliver or width[k] >= POINTED_TIP_MM or k not in (0, len(taper)):
                # A step inward, so that the place named is the piece on this side of a corner.
                step = min(0.5, (at[-1] - at[0]) / 4)
                yield min(max(at[k], at[0] + step), at[-1] - step), middle[k], width[k]


def _stretches(run: Polygon, near_line: float, far_line: float) -> Iterator[_Stretch]:
    """A run cut into trapezoids at every corner: those with two flat sides, one of them at least no row line.

    From left to right, so that a taper can be followed from one to the next.
    """
    simple = run.simplify(0.05)
    points, ring = shapely.get_coordinates(shapely.get_rings(simple), return_index=True)
    same = ring[:-1] == ring[1:]
    start, end = points[:-1][same], points[1:][same]
    swap = start[:, 0] > end[:, 0]
    start[swap], end[swap] = end[swap], start[swap].copy()
    rising = end[:, 0] - start[:, 0] > 1e-6
    start, end = start[rising], end[rising]
    slope = (end[:, 1] - start[:, 1]) / (end[:, 0] - start[:, 0])
    angle = np.degrees(np.arctan(slope))

    def on_a_line(v0: float, v1: float) -> bool:
        return any(max(abs(v0 - w), abs(v1 - w)) <= WIDEST_MISFIT_MM for w in (near_line, far_line))

    corners = np.unique(np.round(points[:, 0], 4))
    for left, right in pairwise(corners):
        if right - left < 0.001:
            continue
        middle = (left + right) / 2
        crossing = np.flatnonzero((start[:, 0] < middle) & (end[:, 0] > middle))
        height = start[crossing, 1] + slope[crossing] * (middle - start[crossing, 0])
        crossing = crossing[np.argsort(height)]
        for e, f in zip(crossing[::2], crossing[1::2], strict=False):
            if max(abs(angle[e]), abs(angle[f])) > FLAT_DEGREES:
                continue
            near, far = (
                (
                    float(start[k, 1] + slope[k] * (left - start[k, 0])),
                    float(start[k, 1] + slope[k] * (right - start[k, 0])),
                )
                for k in (e, f)
            )
            if not (on_a_line(*near) and on_a_line(*far)):
                yield _Stretch(float(left), float(right), near, far, (float(angle[e]), float(angle[f])))
