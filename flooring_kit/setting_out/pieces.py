"""Runs sawn at their joints into pieces, and which ends and edges of each piece meet a neighbour."""

from __future__ import annotations

import string
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from flooring_kit.checks import tenths_up
from flooring_kit.setting_out.rows import REACHES_MM, SPECK_MM2, THINNEST_MM, Run, parts_that_hold

DUST_MM = 1e-4
JOINED_MM = 1.0
"""Pieces that touch over more than this are joined. The contract says 5 mm; asking for a factory edge a little
sooner costs nothing and leaves no room for doubt."""

WIDTH_ROUNDED_MM = 0.2
"""Sawn widths are rounded up to a tenth: so far a piece can seem to reach into the next row."""


@dataclass(frozen=True)
class Piece:
    """One piece of board as it lies in the floor.

    Parameters
    ----------
    row, place
        Row number, and place in the row from the left, both from 1.
    run
        Index of its run.
    polygon
        Visible face [mm, laying frame].
    u0, v0
        Upper left corner of its bounding rectangle [mm, laying frame].
    length_t, width_t
        Sawn size, rounded up [tenths of mm].
    down_t
        From the start-wall side of its strip to its own, rounded down [tenths of mm].
    left, right, back, front
        Whether that end or edge is joined to a neighbour and must be a factory one. The back edge is the one
        towards the start wall.
    """

    row: int
    place: int
    run: int
    polygon: Polygon
    u0: float
    v0: float
    length_t: int
    width_t: int
    down_t: int
    left: bool = False
    right: bool = False
    back: bool = False
    front: bool = False

    @property
    def label(self) -> str:
        """Row number and a letter for the place: 3a, 3b."""
        return f"{self.row}{place_letters(self.place)}"


def place_letters(place: int) -> str:
    """Letters for a place: a to z, then aa, ab ...

    >>> place_letters(1), place_letters(26), place_letters(27)
    ('a', 'z', 'aa')
    """
    letters = ""
    while place:
        place, index = divmod(place - 1, 26)
        letters = string.ascii_lowercase[index] + letters
    return letters


def cut_runs(runs: Sequence[Run], cuts_mm: Sequence[Sequence[float]]) -> list[Piece]:
    """All pieces of a floor, in laying order, with their joined ends and edges.

    Parameters
    ----------
    runs
        Runs in laying order.
    cuts_mm
        For each run the positions of its joints [mm, laying frame].
    """
    owners: list[int] = []
    boxes: list[tuple[float, float, float, float]] = []
    for index, (run, cuts) in enumerate(zip(runs, cuts_mm, strict=True)):
        ends = [run.u0, *cuts, run.u1]
        for left, right in pairwise(ends):
            owners.append(index)
            boxes.append((left, run.v0, right, run.v1))
    corners = np.array(boxes)
    cells = shapely.box(corners[:, 0], corners[:, 1], corners[:, 2], corners[:, 3], ccw=True)
    odd = [cell for cell, index in enumerate(owners) if not runs[index].is_box]
    if odd:
        cells[odd] = shapely.intersection([runs[owners[cell]].polygon for cell in odd], cells[odd])
    parts, source = parts_that_hold(cells)
    bounds, areas = shapely.bounds(parts), shapely.area(parts)
    keep = (areas >= SPECK_MM2) & (np.minimum(bounds[:, 2] - bounds[:, 0], bounds[:, 3] - bounds[:, 1]) >= THINNEST_MM)
    pieces: list[Piece] = []
    order = sorted(
        np.flatnonzero(keep).tolist(),
        key=lambda i: (runs[owners[source[i]]].row, owners[source[i]], bounds[i, 0], bounds[i, 1]),
    )
    places: dict[int, int] = {}
    for i in order:
        index = owners[source[i]]
        run = runs[index]
        u0, v0, u1, v1 = (float(edge) for edge in bounds[i])
        place = places[run.row] = places.get(run.row, 0) + 1
        pieces.append(
            Piece(
                run.row,
                place,
                index,
                parts[i],
                u0,
                v0,
                tenths_up(u1 - u0),
                tenths_up(v1 - v0),
                max(0, int(np.floor((v0 - run.line_v) * 10 + 1e-4))),
            )
        )
    return _joined(pieces, runs)


def _joined(pieces: list[Piece], runs: Sequence[Run]) -> list[Piece]:
    """The pieces with their joined ends and edges filled in."""
    left, right = [False] * len(pieces), [False] * len(pieces)
    back, front = [False] * len(pieces), [False] * len(pieces)
    by_row: dict[int, list[int]] = {}
    by_run: dict[int, list[int]] = {}
    for i, piece in enumerate(pieces):
        by_row.setdefault(piece.row, []).append(i)
        by_run.setdefault(piece.run, []).append(i)

    ends: list[tuple[int, int]] = []
    for members in by_run.values():
        for n, a in enumerate(members):
            end = pieces[a].u0 + pieces[a].length_t / 10
            ends.extend((a, b) for b in members[n + 1 : n + 4] if abs(end - pieces[b].u0) < 0.2)
    edges = [(a, b) for row, members in by_row.items() for a, b in _facing(pieces, members, by_row.get(row + 1, []))]
    touching = _touch_mm(pieces, runs, ends + edges) > JOINED_MM
    for (a, b), touches in zip(ends, touching[: len(ends)], strict=True):
        if touches:
            right[a] = left[b] = True
    for (a, b), touches in zip(edges, touching[len(ends) :], strict=True):
        if touches:
            front[a] = back[b] = True
    return [
        replace(piece, left=left[i], right=right[i], back=back[i], front=front[i]) for i, piece in enumerate(pieces)
    ]


def _facing(pieces: Sequence[Piece], before: list[int], after: list[int]) -> list[tuple[int, int]]:
    """Pairs of pieces of two neighbouring rows whose bounding rectangles meet on the row line.

    Rows by number are not always neighbours: where the floor is in two parts, each has its own row lines.
    """
    pairs: list[tuple[int, int]] = []
    for a in before:
        one = pieces[a]
        end, front = one.u0 + one.length_t / 10, one.v0 + one.width_t / 10
        for b in after:
            other = pieces[b]
            overlap = min(end, other.u0 + other.length_t / 10) - max(one.u0, other.u0)
            if overlap > JOINED_MM and -REACHES_MM <= front - other.v0 <= WIDTH_ROUNDED_MM:
                pairs.append((a, b))
    return pairs


def _touch_mm(pieces: Sequence[Piece], runs: Sequence[Run], pairs: list[tuple[int, int]]) -> NDArray[np.float64]:
    """Length over which each pair of pieces touches [mm]; bounding rectangles that meet are taken on trust."""
    length = np.full(len(pairs), np.inf)
    odd = [n for n, (a, b) in enumerate(pairs) if not (runs[pieces[a].run].is_box and runs[pieces[b].run].is_box)]
    if odd:
        one = np.array([pieces[pairs[n][0]].polygon for n in odd])
        other = np.array([pieces[pairs[n][1]].polygon for n in odd])
        grown = shapely.buffer(one, DUST_MM, join_style="mitre", quad_segs=1)
        shared = shapely.intersection(grown, other)  # a sliver along the seam: half its outline is the seam
        length[odd] = shapely.length(shared) / 2
    return length
