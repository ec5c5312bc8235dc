"""Row lines, stop-points, the first-row width, and the runs of floor between row lines.

One grid of strips, each one board wide, covers each connected part of the floor. The first-row width places it::

    v_ref  ---- start wall (the part's nearest line, doorways left out) ----
           row at the start wall: first-row width s
    line   ----------------------------------------------- v_ref + s
           whole row, W
    line   ----------------------------------------------- v_ref + s + W
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from flooring_kit.checks import tenths_up

Span = tuple[float, float]

FLAT_SLOPE = float(np.tan(np.radians(20.0)))
"""An edge within 20 degrees of the boards' direction gives a row's strip a width; a steeper one cuts row ends."""

ALONG_SLOPE = float(np.tan(np.radians(2.0)))
"""An edge within 2 degrees of the boards' direction leaves a strip that looks even, not a taper."""

SHORTEST_STRIP_MM = 100.0
"""A shorter edge (the side of a doorway a few centimetres deep) leaves a tongue on a wider piece, no strip."""

SPECK_MM2 = 25.0
LINE_DUST_MM = 2e-3
BOX_DUST_MM2 = 0.02
"""A run that misses less of its bounding rectangle is one: float dust along a wall of 20 m."""

THINNEST_MM = 0.1
THREAD_MM = 0.3
"""Board left this narrow holds nothing together: the contract's tiling tolerance."""

MITRE_LIMIT = 10.0
REACHES_MM = 0.05
JUST_INSIDE_MM = 0.005
STEP_INSIDE_MM = 30.0
PROFILE_MM = 100.0


@dataclass(frozen=True)
class StopPoint:
    """An end of a floor edge that lies along the boards: a row must have some width left there.

    Parameters
    ----------
    u, v
        Where it is [mm, laying frame].
    faces_start
        True where the floor lies on the side away from the start wall (the start wall itself, the front of a
        hearth seen from behind), False where the floor stops at it (the far wall).
    inward
        Along the edge from this end to the other: a step of 1 mm to the side, as (1 or -1, change in v).
    edge_mm
        Length of the edge along the boards [mm].
    reach_mm
        Length of the line of flat edges it is part of, which is longer where a wall is bowed [mm].
    """

    u: float
    v: float
    faces_start: bool
    inward: tuple[float, float]
    edge_mm: float
    reach_mm: float

    @property
    def is_tongue(self) -> bool:
        """Whether the edge is so short that what it leaves is a tongue on a wider piece."""
        return self.reach_mm < SHORTEST_STRIP_MM


@dataclass(frozen=True)
class Run:
    """A stretch of one row without interruption.

    Parameters
    ----------
    row
        Row number, from 1.
    polygon
        Its shape [mm, laying frame].
    u0, u1, v0, v1
        Its bounding rectangle [mm, laying frame].
    line_v
        Start-wall side of the row's strip [mm].
    is_box
        Whether the shape is the bounding rectangle itself.
    back_spans, front_spans
        Stretches of the row line on the start-wall side, and of the next one, that bound the run, from left to
        right [mm, along].
    """

    row: int
    polygon: Polygon
    u0: float
    u1: float
    v0: float
    v1: float
    line_v: float
    is_box: bool
    back_spans: tuple[Span, ...]
    front_spans: tuple[Span, ...]

    @property
    def length_t(self) -> int:
        """Length of the run, rounded up [tenths of mm]."""
        return tenths_up(self.u1 - self.u0)


def stop_points(part: Polygon) -> list[StopPoint]:
    """Both ends of every flat edge of a floor part given in the laying frame.

    Where a wall is round or bowed, the strip along a run of edges is narrowest at an end, at a turning point or along
    an edge that lies all but along the boards; points where the wall only goes on as before are left out.
    """
    points: list[StopPoint] = []
    oriented = shapely.orient_polygons(part)
    for ring in (oriented.exterior, *oriented.interiors):
        edges = np.diff(shapely.get_coordinates(ring), axis=0)
        flat = (abs(edges[:, 0]) > 1.0) & (abs(edges[:, 1]) <= FLAT_SLOPE * abs(edges[:, 0]))
        faces = np.where(flat, np.sign(edges[:, 0]), 0.0)
        reaches = _reaches(faces, abs(edges[:, 0]))
        slopes = np.divide(edges[:, 1], abs(edges[:, 0]), out=np.zeros(len(edges)), where=flat)
        goes_on = (faces == np.roll(faces, -1)) & (slopes * np.roll(slopes, -1) > 0)  # past the edge's end
        goes_on &= np.minimum(abs(slopes), abs(np.roll(slopes, -1))) > ALONG_SLOPE
        came_so = np.roll(goes_on, 1)
        corners = pairwise(shapely.get_coordinates(ring).tolist())
        for i, ((u0, v0), (u1, v1)) in enumerate(corners):
            if not flat[i]:
                continue
            face, slope, length = float(faces[i]), float(slopes[i]), float(abs(edges[i, 0]))
            if not came_so[i]:
                points.append(StopPoint(u0, v0, face > 0, (face, slope), length, reaches[i]))
            if not goes_on[i]:
                points.append(StopPoint(u1, v1, face > 0, (-face, -slope), length, reaches[i]))
    return points


def _reaches(faces: NDArray[np.float64], lengths: NDArray[np.float64]) -> list[float]:
    """For each edge of a closed ring, the length of all flat edges facing its way that it is one line with."""
    turns = np.flatnonzero(faces != np.roll(faces, 1))  # a line of edges begins at each turn
    if not turns.size:
        return [float(lengths.sum())] * len(faces)
    line = (np.searchsorted(turns, np.arange(len(faces)), side="right") - 1) % len(turns)
    return [float(length) for length in np.bincount(line, weights=lengths)[line]]


def strip_widths_mm(
    points: list[StopPoint], v_ref: float, width_mm: float, first_widths_mm: NDArray[np.float64]
) -> NDArray[np.float64]:
    """The strip each stop-point gets for each first-row width.

    Returns
    -------
    array of shape (first-row widths, stop-points) [mm]
        In (0, width_mm]. An edge that faces the start wall's side leaves the rest of a board before it.
    """
    from_ref = np.array([point.v - v_ref for point in points])
    sign = np.array([-1.0 if point.faces_start else 1.0 for point in points])
    past_line = np.mod(sign[None, :] * (from_ref[None, :] - first_widths_mm[:, None]), width_mm)
    return np.where(past_line < THINNEST_MM / 2, width_mm, past_line)


def candidate_first_widths(
    points: list[StopPoint], v_ref: float, width_mm: float, narrowest_mm: float
) -> list[tuple[float, float]]:
    """The best first-row width in each stretch between two changes of the row pattern.

    The pattern of rows only changes where a stop-point meets a row line, so one width from each stretch is
    enough to compare: the one whose narrowest strip is widest, first and last row alike at a tie. A width at which
    a stop-point lies on a row line saves that row its sliver: it is a stretch of its own.

    Returns
    -------
    list of (first-row width, narrowest strip) [mm]
        In order of width, those below `narrowest_mm` left out where others exist.
    """
    whole_mm = np.arange(1.0, np.floor(width_mm) + 1)
    breaks = np.unique(np.round([width_mm, *((point.v - v_ref) % width_mm for point in points)], 3))
    on_a_line = breaks[(abs(breaks * 10 - np.round(breaks * 10)) < 1e-6) & (breaks >= 1)]
    widths = np.unique(np.concatenate([whole_mm, [width_mm], on_a_line]))
    strips = strip_widths_mm(points, v_ref, width_mm, widths)
    narrowest = strips.min(axis=1)
    if (narrowest >= narrowest_mm).any():
        keep = narrowest >= narrowest_mm
        widths, narrowest, strips = widths[keep], narrowest[keep], strips[keep]
    stretch = np.searchsorted(breaks, widths - LINE_DUST_MM) + np.searchsorted(breaks, widths + LINE_DUST_MM)
    last = int(np.argmax([point.v if not point.faces_start else -np.inf for point in points]))
    unlike = np.abs(strips[:, last] - widths)
    best: dict[int, int] = {}
    for index in np.lexsort((widths, unlike, -narrowest)):
        best.setdefault(int(stretch[index]), int(index))
    return [(float(widths[i]), float(narrowest[i])) for i in sorted(best.values())]


def allowed_bands_mm(
    points: list[StopPoint], v_ref: float, width_mm: float, narrowest_mm: float
) -> list[tuple[float, float]]:
    """First-row widths that leave every stop-point at least `narrowest_mm`, as closed bands [mm, whole mm]."""
    widths = np.arange(1.0, np.floor(width_mm) + 1)
    fits = (strip_widths_mm(points, v_ref, width_mm, widths) >= narrowest_mm - 1e-6).all(axis=1)
    edges = np.flatnonzero(np.diff(np.concatenate(([False], fits, [False])).astype(int)))
    return [(float(widths[a]), float(widths[b - 1])) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def runs_of(part: Polygon, v_ref: float, width_mm: float, first_width_mm: float, *, first_row: int = 1) -> list[Run]:
    """Every run of a floor part, row by row and left to right.

    Parameters
    ----------
    part
        Connected floor [mm, laying frame].
    v_ref
        Where the first-row width is measured from [mm].
    width_mm
        Face width of a board [mm].
    first_width_mm
        Width of the row at `v_ref` [mm].
    first_row
        Number of the first row that holds floor.
    """
    u_min, v_min, u_max, v_max = part.bounds
    first = int(np.floor((v_min - v_ref - first_width_mm) / width_mm)) - 1
    last = int(np.ceil((v_max - v_ref - first_width_mm) / width_mm)) + 1
    lines = v_ref + first_width_mm + np.arange(first, last + 1) * width_mm
    strips = shapely.box(u_min - 1, lines[:-1], u_max + 1, lines[1:])
    pieces, owner = parts_that_hold(shapely.intersection(part, strips))
    bounds = shapely.bounds(pieces)
    areas = shapely.area(pieces)
    heights = bounds[:, 3] - bounds[:, 1]
    box_areas = (bounds[:, 2] - bounds[:, 0]) * heights
    boxes = box_areas - areas <= BOX_DUST_MM2
    kept = (areas >= SPECK_MM2) & (np.minimum(bounds[:, 2] - bounds[:, 0], heights) >= THINNEST_MM)
    back, front = lines[owner], lines[owner + 1]
    back_spans = _spans_along(pieces, bounds, boxes, back, back + JUST_INSIDE_MM)
    front_spans = _spans_along(pieces, bounds, boxes, front, front - JUST_INSIDE_MM)
    runs: list[Run] = []
    row, seen = first_row - 1, -1
    for index in np.lexsort((bounds[:, 0], owner)).tolist():
        if not kept[index]:
            continue
        if owner[index] != seen:
            seen, row = int(owner[index]), row + 1
        u0, v0, u1, v1 = bounds[index].tolist()
        is_box = bool(boxes[index])
        runs.append(
            Run(
                row,
                pieces[index],
                u0,
                u1,
                v0,
                v1,
                float(back[index]),
                is_box,
                back_spans[index],
                front_spans[index],
            )
        )
    return runs


def parts_that_hold(shapes: NDArray[np.object_]) -> tuple[NDArray[np.object_], Any]:
    """The parts of some shapes, parted too where only a thread too thin to saw would hold them together.

    Returns
    -------
    parts, owners
        Every part, and the index of the shape it belongs to; in order of the shapes.
    """
    parts, owners = shapely.get_parts(shapes, return_index=True)
    hollow = np.flatnonzero(shapely.area(shapely.convex_hull(parts)) - shapely.area(parts) > SPECK_MM2)
    if not hollow.size:
        return parts, owners
    cores = shapely.buffer(parts[hollow], -THREAD_MM / 2, join_style="mitre")
    threaded = hollow[shapely.get_num_geometries(cores) > 1].tolist()
    if not threaded:
        return parts, owners
    found = [[part] for part in parts]
    for index, core in zip(threaded, cores[np.isin(hollow, threaded)], strict=True):
        grown = shapely.buffer(shapely.get_parts(core), THREAD_MM / 2, join_style="mitre", mitre_limit=MITRE_LIMIT)
        bits = shapely.get_parts(shapely.intersection(parts[index], grown))
        found[index] = [bit for bit in bits if bit.area >= SPECK_MM2]
    kept = [bit for bits in found for bit in bits]
    return np.array(kept, dtype=object), np.repeat(owners, [len(bits) for bits in found])


def _spans_along(
    pieces: NDArray[np.object_],
    bounds: NDArray[np.float64],
    boxes: NDArray[np.bool_],
    lines: NDArray[np.float64],
    just_inside: NDArray[np.float64],
) -> list[tuple[Span, ...]]:
    """For every piece of floor the stretches of a row line that bound it, from left to right."""
    ends = np.minimum(abs(bounds[:, 1] - lines), abs(bounds[:, 3] - lines)) <= REACHES_MM
    spans: list[tuple[Span, ...]] = [
        ((u0, u1),) if reaches else () for u0, u1, reaches in zip(bounds[:, 0], bounds[:, 2], ends, strict=True)
    ]
    odd = np.flatnonzero(~boxes & ends)
    if odd.size:
        across = np.stack([bounds[odd, 0] - 1, just_inside[odd], bounds[odd, 2] + 1, just_inside[odd]], axis=1)
        cuts = shapely.intersection(pieces[odd], shapely.linestrings(across.reshape(-1, 2, 2)))
        for index, cut in zip(odd.tolist(), cuts, strict=True):
            parts = [part.bounds for part in shapely.get_parts(cut) if part.length > 0]
            spans[index] = tuple(sorted((part[0], part[2]) for part in parts))
    return spans


def least_piece_width_mm(run: Run, shortest_mm: float) -> float:
    """A width that no piece of the run, at least `shortest_mm` long, is sawn narrower than [mm].

    A piece that long covers one of the half-lengths below in full, so it is at least as wide as the narrowest::

        run   |-----|-----|-----|-----|--|     each step half the shortest piece
        piece       [===========]
    """
    if run.is_box:
        return run.v1 - run.v0
    steps = int((run.u1 - run.u0) // (shortest_mm / 2)) if shortest_mm > 2 * THINNEST_MM else 0
    if steps < 2:
        return 0.0
    edges = run.u0 + np.arange(steps + 1) * shortest_mm / 2
    bounds = shapely.bounds(shapely.intersection(run.polygon, shapely.box(edges[:-1], run.v0, edges[1:], run.v1)))
    return float(np.nan_to_num(bounds[:, 3] - bounds[:, 1]).min())


def width_profile(run: Run) -> list[tuple[float, float]]:
    """The run cut across at its corners and every 100 mm: (length, least width across the boards) of each part [mm].

    Between two corners every edge is straight, so a section's total width is linear there and least at an end.
    """
    corners = shapely.get_coordinates(run.polygon)[:, 0]
    grid = np.arange(run.u0, run.u1, PROFILE_MM)
    us = np.unique(np.round(np.concatenate([corners, grid, [run.u1]]), 1))
    starts, ends = us[:-1], us[1:]
    beside = np.stack([starts + 0.06, ends - 0.06], axis=1).ravel()
    across = np.stack([beside, np.full_like(beside, run.v0 - 1), beside, np.full_like(beside, run.v1 + 1)], axis=1)
    sections = shapely.length(shapely.intersection(run.polygon, shapely.linestrings(across.reshape(-1, 2, 2))))
    least = sections.reshape(-1, 2).min(axis=1)
    return [(float(end - start), float(width)) for start, end, width in zip(starts, ends, least, strict=True)]


def joined_stretches(run: Run, neighbours: list[Run], *, back: bool) -> list[Span]:
    """Stretches of the run's back (or front) edge that meet the row on that side, from left to right [mm, along]."""
    stretches = sorted(
        (max(start, other_start), min(end, other_end))
        for other in neighbours
        for other_start, other_end in (other.front_spans if back else other.back_spans)
        for start, end in (run.back_spans if back else run.front_spans)
    )
    return [(start, end) for start, end in stretches if end > start]


def widest_unjoined_mm(run: Run, stretches: list[Span]) -> float:
    """Longest stretch of the run's edge without a neighbour [mm]."""
    reached, widest = run.u0, 0.0
    for start, end in stretches:
        widest = max(widest, start - reached)
        reached = max(reached, end)
    return max(widest, run.u1 - reached)


def strip_at(run: Run, point: StopPoint) -> float:
    """Width of the strip the run leaves at a stop-point [mm]; 0 where the run does not reach it.

    Measured a little inside the edge, clear of a slanting row end, and carried back to the corner along the
    edge's own slope.
    """
    reach = run.u1 - point.u if point.inward[0] > 0 else point.u - run.u0
    step = min(STEP_INSIDE_MM, point.edge_mm / 2, max(reach, 0.0) / 2)
    u = point.u + point.inward[0] * step
    v = point.v + point.inward[1] * step
    if not (run.u0 < u < run.u1 and run.v0 - 1 <= v <= run.v1 + 1):
        return 0.0
    width = 0.0
    if run.is_box:
        edge = run.v0 if point.faces_start else run.v1
        width = run.v1 - run.v0 if abs(edge - v) <= 1 else 0.0
    else:
        across = shapely.LineString([(u, run.v0 - 1), (u, run.v1 + 1)])
        for stretch in shapely.get_parts(shapely.intersection(run.polygon, across)):
            _, low, _, high = stretch.bounds
            if abs((low if point.faces_start else high) - v) <= 1:
                width = float(high - low)
    if width == 0.0:
        return 0.0
    return width + (point.v - v) * (-1 if point.faces_start else 1)
