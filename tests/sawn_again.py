"""Saw every board of a cut list with polygons, and lay the pieces again.

A second check of a plan, apart from the referee and from the kit's own sums. It reads what a fitter gets, the cut
list and the shaping, and turns them back into wood: each piece is a rectangle less its notches, sawn off a board of
which less and less is left, then butted against the piece before it. What lies there at the end must be the floor.

Every measure is taken from an end or an edge that is named by its lock, and put back by the board's own locks ::

        0 = row's start, start wall                 x = from the row's-start end
        +-----------+------+-----------+            y = from the start-wall edge
      0 |  piece    | lost |           | 1
        |           +------+           |            piece on the floor: (u, v) = (u0 + x, v0 + y)
        +------------------------------+
                        1

`plan.pieces["shape"]` is read for a few things alone: which part of the floor a piece belongs to, where a run starts
along its row, where one row line of each part lies, and where a piece that keeps neither edge lies across its row.
Where a row is parted lengthways and a piece could butt against one or another, it also says which; where that one ends
still comes from the list.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import pandas as pd
import shapely
from shapely import Polygon, STRtree, box
from shapely.geometry.base import BaseGeometry

import flooring_kit as fk

ROUNDED_UP_MM = 0.1
"""What rounding up to a tenth may add to the length and the width of a piece."""
WIDEST_MISFIT_MM = 0.3 + ROUNDED_UP_MM
"""Gaps, overlaps and overhangs up to 0.3 mm wide pass, by the contract, in the plan's shapes. A piece sawn by the list
may be a tenth more: its taper of 0.25 mm is left out and its width is rounded up."""
SPECK_MM2 = 25.0
"""What is smaller may be left: the contract's own figure, for the plan's shapes; see `_rounding_mm2`."""
LEAST_TOUCH_MM = 5.0
"""Pieces that touch over more than this are joined: the contract's own figure."""
THREAD_MM = 0.3
"""What holds together by less falls apart under the saw: the contract's own figure for what is no width at all."""
BUTTED_MM = 0.2
"""Sides this near to one another meet: two sizes, each rounded up to a tenth."""
JUST_INSIDE_MM = 0.3
"""Sides are looked at this far inside, beyond what rounding up to a tenth adds to a piece."""
FACING_MM = 1.0
"""Pieces whose widths overlap by more than this may lie end to end."""
SAW_DUST_MM2 = 1.0
"""Binary fractions, with a wide margin: places and sizes on a board are whole tenths."""
FIGURE_MM = 0.16
"""Two corners and one figure, each rounded to a tenth: 3 x 0.05, and dust."""


@dataclass(frozen=True)
class _Listed:
    """One row of the cut list, with its locks turned into sides.

    Parameters
    ----------
    label, board, taken_from
        As listed.
    length, width
        To saw; the board's own where nothing is sawn [mm].
    ends, edges
        Which factory ends stay (row's start, other), and which edges (start wall, other).
    """

    label: str
    board: int
    taken_from: str
    length: float
    width: float
    ends: tuple[bool, bool]
    edges: tuple[bool, bool]

    @property
    def rectangle(self) -> Polygon:
        """The sawn rectangle, in the piece's own coordinates."""
        return box(0, 0, self.length, self.width)


@dataclass(frozen=True)
class _Laid:
    """A piece put back on the floor.

    Parameters
    ----------
    listed
        Its row of the cut list.
    u, v
        Its row's-start end and its start-wall edge [mm, laying axes].
    shape
        What it covers [laying axes].
    """

    listed: _Listed
    u: float
    v: float
    shape: BaseGeometry

    @property
    def label(self) -> str:
        """The piece's label."""
        return self.listed.label


def pieces_from_list(
    plan: fk.Plan, *, cuts: pd.DataFrame | None = None, places: pd.DataFrame | None = None
) -> dict[str, Polygon]:
    """Every piece as the list says to saw it, by its label; x from the row's-start end, y from the start-wall edge.

    Parameters
    ----------
    plan
        The plan.
    cuts, places
        Its cut list and its shaping; None for those of the plan.
    """
    cuts, places = _tables(plan, cuts, places)
    by_piece = dict(iter(places.groupby("piece")))
    shapes = {}
    for one in _listed(plan, cuts):
        shape: BaseGeometry = one.rectangle
        if one.label in by_piece:
            lost = [_lost(plan.board, place, one) for place in by_piece[one.label].itertuples()]
            shape = _without_slivers(shape.difference(shapely.union_all(lost)))
        shapes[one.label] = shape
    return shapes


def boards_sawn(plan: fk.Plan, *, cuts: pd.DataFrame | None = None) -> list[str]:
    """What goes wrong when every board is sawn as listed, in laying order; empty where nothing does.

    A piece comes off as its whole sawn rectangle: what a notch or a slant leaves is not used again.

    Parameters
    ----------
    plan
        The plan.
    cuts
        Its cut list; None for that of the plan.
    """
    cuts = fk.cut_list(plan) if cuts is None else cuts
    board = plan.board
    left: dict[int, BaseGeometry] = {}
    sawn_last: dict[int, str] = {}
    faults = []
    for one, at in zip(_listed(plan, cuts), plan.pieces.itertuples(), strict=True):
        number, complaint = _board_of(one, sawn_last)
        faults += complaint
        if number not in left:
            left[number] = box(0, 0, board.length_mm, board.width_mm)
        faults += _kept_both_and_sawn(one, board)
        x = _on_board(one.ends, one.length, board.length_mm, at.along_mm)
        y = _on_board(one.edges, one.width, board.width_mm, at.across_mm)
        sawn = box(x, y, x + one.length, y + one.width)
        missing = sawn.difference(left[number]).area
        if missing > SAW_DUST_MM2:
            faults.append(f"{one.label} does not fit on what is left of board {number}: {missing:.0f} mm² are missing.")
        left[number] = left[number].difference(sawn.buffer(plan.rules.kerf_mm, join_style="mitre"))
        sawn_last[number] = one.label
    if len(left) != plan.boards_needed:
        faults.append(f"{len(left)} boards are opened, the plan says {plan.boards_needed}.")
    return faults


def laid_again(plan: fk.Plan, *, cuts: pd.DataFrame | None = None, places: pd.DataFrame | None = None) -> list[str]:
    """What is wrong with the floor when the pieces are put back on it; empty where nothing is.

    Parameters
    ----------
    plan
        The plan.
    cuts, places
        Its cut list and its shaping; None for those of the plan.
    """
    cuts, places = _tables(plan, cuts, places)
    floor = _in_laying_axes(plan, plan.floor)
    laid, faults = _put_back(plan, cuts, pieces_from_list(plan, cuts=cuts, places=places))
    for one in laid:
        if _holds_together_as(one.shape) != 1:
            faults.append(f"{one.label} falls apart when it is shaped.")
        faults += [
            f"{one.label} lies off the floor by {area:.0f} mm²." for area, _ in _too_wide(one.shape.difference(floor))
        ]
    tree = STRtree([one.shape for one in laid])
    pairs = tree.query([one.shape.buffer(BUTTED_MM) for one in laid])
    for i, j in sorted((int(a), int(b)) for a, b in pairs.T if a < b):
        faults += _overlap(laid[i], laid[j])
        faults += _sawn_where_they_meet(laid[i], laid[j]) + _sawn_where_they_meet(laid[j], laid[i])
    covered = shapely.union_all([one.shape for one in laid])
    for area, gap in _too_wide(floor.difference(covered)):
        beside = [laid[int(n)].label for n in sorted(tree.query(gap.buffer(1.0), predicate="intersects"))]
        faults.append(f"A gap of {area:.0f} mm² is left beside {', '.join(beside) or 'no piece'}.")
    return faults


def figures_against_corners(
    plan: fk.Plan, *, cuts: pd.DataFrame | None = None, places: pd.DataFrame | None = None
) -> list[str]:
    """Where the other figures of the two tables differ from the corners; empty where none does.

    Parameters
    ----------
    plan
        The plan.
    cuts, places
        Its cut list and its shaping; None for those of the plan.
    """
    cuts, places = _tables(plan, cuts, places)
    faults = []
    for place in places.itertuples():
        low, high = np.min(place.corners_mm, axis=0), np.max(place.corners_mm, axis=0)
        for name, figure, measured in (
            ("from_end_mm", place.from_end_mm, low[0]),
            ("from_edge_mm", place.from_edge_mm, low[1]),
            ("along_mm", place.along_mm, high[0] - low[0]),
            ("across_mm", place.across_mm, high[1] - low[1]),
        ):
            if not abs(figure - measured) <= FIGURE_MM:
                faults.append(f"{place.piece}: {name} says {figure:.1f}, its corners say {measured:.1f}.")
    counted = places.groupby("piece").size()
    for row in cuts.itertuples():
        if row.shaped != counted.get(row.piece, 0):
            faults.append(
                f"{row.piece}: listed as shaped in {row.shaped} places, {counted.get(row.piece, 0)} are given."
            )
    return faults


# ------------------------------------------------------------------------------------------- reading the tables


def _tables(plan: fk.Plan, cuts: pd.DataFrame | None, places: pd.DataFrame | None) -> tuple[pd.DataFrame, pd.DataFrame]:
    return (fk.cut_list(plan) if cuts is None else cuts), (fk.shaping(plan) if places is None else places)


def _listed(plan: fk.Plan, cuts: pd.DataFrame) -> Iterator[_Listed]:
    board = plan.board
    for row in cuts.itertuples():
        yield _Listed(
            row.piece,
            int(row.board),
            row.taken_from,
            board.length_mm if math.isnan(row.saw_mm) else row.saw_mm,
            board.width_mm if math.isnan(row.rip_mm) else row.rip_mm,
            _kept(row.keeps_end, board.end_locks),
            _kept(row.keeps_edge, board.edge_locks),
        )


def _kept(words: str, locks: tuple[str, str]) -> tuple[bool, bool]:
    """Whether the first side and the other one stay, from "both ends", "neither edge", "tongue end" and their like."""
    which = words.split()[0]
    if which in ("both", "neither"):
        return (which == "both",) * 2
    return locks[0] == which, locks[1] == which


def _lost(board: fk.Board, place: Any, one: _Listed) -> BaseGeometry:
    """The polygon a place takes away, from the names of its end and edge and its corners."""
    from_other_end = _kept(place.end, board.end_locks)[1]
    from_other_edge = _kept(place.edge, board.edge_locks)[1]
    corners = [
        (one.length - along if from_other_end else along, one.width - across if from_other_edge else across)
        for along, across in place.corners_mm
    ]
    return shapely.make_valid(Polygon(corners))


def _without_slivers(shape: BaseGeometry) -> BaseGeometry:
    """The shape without parts that are dust of a tenth: a strip along a side that was rounded up."""
    parts = [part for part in shapely.get_parts(shape) if _too_wide(part)]
    return shapely.union_all(parts) if parts else shape


# ------------------------------------------------------------------------------------------- on the board


def _board_of(one: _Listed, sawn_last: dict[int, str]) -> tuple[int, list[str]]:
    """The board a piece comes from by its words, and what is wrong with them."""
    kind, _, name = one.taken_from.rpartition(" ")
    if kind == "board":
        number = int(name)
        again = [f"{one.label} opens board {number}, which is sawn already."] if number in sawn_last else []
    else:
        numbers = [number for number, last in sawn_last.items() if last == name]
        if not numbers:
            return one.board, [f"{one.label} is said to be an offcut of {name}, which leaves none."]
        number, again = numbers[0], []
    if number != one.board:
        again.append(f"{one.label} comes from board {number} by its words, from board {one.board} by its number.")
    return number, again


def _kept_both_and_sawn(one: _Listed, board: fk.Board) -> list[str]:
    faults = []
    for kept, size, whole, sides in (
        (one.ends, one.length, board.length_mm, "ends"),
        (one.edges, one.width, board.width_mm, "edges"),
    ):
        if all(kept) and size != whole:
            faults.append(f"{one.label} keeps both {sides}, yet is sawn to {size:.1f} mm.")
    return faults


def _on_board(kept: tuple[bool, bool], size: float, whole: float, planned: float) -> float:
    """Where a piece begins on its board: at the side it keeps, or where the plan puts it."""
    if kept[0]:
        return 0.0
    return whole - size if kept[1] else planned


# ------------------------------------------------------------------------------------------- on the floor


def _in_laying_axes(plan: fk.Plan, shapes: Any) -> Any:
    axes = np.array([plan.along, plan.across])
    return shapely.transform(shapes, lambda xy: xy @ axes.T)


def _put_back(plan: fk.Plan, cuts: pd.DataFrame, pieces: dict[str, Polygon]) -> tuple[list[_Laid], list[str]]:
    """Every piece where it comes to lie, and the pieces with nothing before them to butt against."""
    planned = _in_laying_axes(plan, plan.pieces["shape"].to_numpy())
    bounds = shapely.bounds(planned)
    rows = plan.pieces["row"].to_numpy()
    parts = shapely.get_parts(_in_laying_axes(plan, plan.floor))
    part = np.array([int(np.argmin(shapely.distance(parts, point))) for point in shapely.point_on_surface(planned)])
    lines = _first_lines(plan, bounds, rows, part)
    left, right = (plan.joined[side].to_numpy(dtype=bool) for side in ("left", "right"))
    laid: list[_Laid] = []
    faults = []
    for i, one in enumerate(_listed(plan, cuts)):
        line = lines.get(part[i], math.nan) + (rows[i] - 1) * plan.board.width_mm
        v = float(line if one.edges[0] else line + plan.board.width_mm - one.width if one.edges[1] else bounds[i, 1])
        u = float(bounds[i, 0])
        if left[i]:
            before = [
                j
                for j in range(i)
                if rows[j] == rows[i] and part[j] == part[i] and right[j] and _side_by_side(laid[j], v, one) > FACING_MM
            ]
            if before:
                nearest = min(reversed(before), key=lambda j, at=bounds[i, 0]: abs(bounds[j, 2] - at))
                u = laid[nearest].u + laid[nearest].listed.length
            else:
                faults.append(f"{one.label} is joined at its row's-start end, and no piece lies there.")
        laid.append(_Laid(one, u, v, shapely.transform(pieces[one.label], lambda xy, at=(u, v): xy + at)))
    return laid, faults


def _first_lines(plan: fk.Plan, bounds: Any, rows: Any, part: Any) -> dict[int, float]:
    """Start-wall line of row 1 in each part of the floor, from the first of its pieces joined across."""
    lines: dict[int, float] = {}
    for i, (back, front) in enumerate(zip(plan.joined["back"], plan.joined["front"], strict=True)):
        if part[i] in lines or not (back or front):
            continue
        line = bounds[i, 1] if back else bounds[i, 3] - plan.board.width_mm
        lines[part[i]] = float(line - (rows[i] - 1) * plan.board.width_mm)
    return lines


def _side_by_side(before: _Laid, v: float, one: _Listed) -> float:
    """How far the widths of two pieces of a row overlap [mm]; below 0 how far they are apart."""
    return min(before.v + before.listed.width, v + one.width) - max(before.v, v)


def _too_wide(shape: BaseGeometry) -> list[tuple[float, BaseGeometry]]:
    """Areas and parts of a misfit that are wider than a misfit may be and larger than a speck.

    Parts that hang together by less than the allowed width count one by one: two specks do not make a fault because
    a side that was rounded up to a tenth lies along both.
    """
    if shape.area < SPECK_MM2:
        return []
    half = WIDEST_MISFIT_MM / 2
    cores = shapely.get_parts(shape.buffer(-half, join_style="mitre"))
    parts = [core.buffer(half, join_style="mitre").intersection(shape) for core in cores]
    return [(float(part.area), part) for part in parts if part.area >= SPECK_MM2 + _rounding_mm2(part)]


def _holds_together_as(shape: BaseGeometry) -> int:
    """Number of parts, larger than specks, that hang together by more than a thread."""
    cores = shapely.get_parts(shape.buffer(-THREAD_MM / 2, join_style="mitre"))
    return max(1, int((shapely.area(cores) >= SPECK_MM2).sum())) if len(cores) else 1


def _rounding_mm2(part: BaseGeometry) -> float:
    """What rounding a piece's length and width up adds at most to a speck that was rightly left."""
    u0, v0, u1, v1 = part.bounds if not part.is_empty else (0.0,) * 4
    return ROUNDED_UP_MM * float(u1 - u0 + v1 - v0)


def _overlap(one: _Laid, other: _Laid) -> list[str]:
    return [
        f"{one.label} and {other.label} overlap by {area:.0f} mm²."
        for area, _ in _too_wide(one.shape.intersection(other.shape))
    ]


def _sawn_where_they_meet(one: _Laid, other: _Laid) -> list[str]:
    """Ends and edges that meet with `one` first along the row or nearer the start wall, and are not factory ones."""
    faults = []
    for along, gap, kept, sides in (
        (True, other.u - one.u - one.listed.length, (one.listed.ends[1], other.listed.ends[0]), "end"),
        (False, other.v - one.v - one.listed.width, (one.listed.edges[1], other.listed.edges[0]), "edge"),
    ):
        if abs(gap) > BUTTED_MM or all(kept):
            continue
        touch = _meet_mm(_stretches(one, along=along, far=True), _stretches(other, along=along, far=False))
        if touch > LEAST_TOUCH_MM + 2 * JUST_INSIDE_MM:
            sawn = [piece.label for piece, stays in zip((one, other), kept, strict=True) if not stays]
            faults.append(
                f"{one.label} and {other.label} meet over {touch:.0f} mm, yet {' and '.join(sawn)} "
                f"{'have' if len(sawn) == 2 else 'has'} no factory {sides} there."
            )
    return faults


def _stretches(one: _Laid, *, along: bool, far: bool) -> list[tuple[float, float]]:
    """Where a piece is there, just inside an end (`along`) or an edge [mm across or along]."""
    listed, inside = one.listed, JUST_INSIDE_MM
    if along:
        u = one.u + (listed.length - inside if far else inside)
        line = shapely.LineString([(u, one.v - 1), (u, one.v + listed.width + 1)])
    else:
        v = one.v + (listed.width - inside if far else inside)
        line = shapely.LineString([(one.u - 1, v), (one.u + listed.length + 1, v)])
    parts = [part.bounds for part in shapely.get_parts(line.intersection(one.shape)) if not part.is_empty]
    return [(bounds[1], bounds[3]) if along else (bounds[0], bounds[2]) for bounds in parts]


def _meet_mm(ones: list[tuple[float, float]], others: list[tuple[float, float]]) -> float:
    return sum(max(0.0, min(a[1], b[1]) - max(a[0], b[0])) for a in ones for b in others)


__all__ = ["boards_sawn", "figures_against_corners", "laid_again", "pieces_from_list"]
