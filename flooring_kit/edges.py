"""The floor's edges, wall by wall: what each ends in, the gap it needs, and whether a trim covers that gap.

A wall out of true is met in one of two ways. Boards left straight let the gap grow by the wall's bow and by what it
runs out; boards cut to the wall keep the gap as it is. Hiding it under the trim is less work, while the trim reaches.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import pandas as pd
import shapely

from flooring_kit.area import parts_of
from flooring_kit.checks import numbered, told_apart
from flooring_kit.curves import arc_radius_mm, bow_mm
from flooring_kit.gaps import (
    GUIDE_COUNTS_FROM_MM,
    GUIDE_LEAST_MM,
    GUIDE_MM_PER_M,
    LEAST_OPEN_MM,
    OVERLAP_MM,
    SAW_ERROR_MM,
    SHRINKS_MM_PER_M,
    SWELLS_MM_PER_M,
    GapEnvelope,
    gap_envelope,
    gap_needed_mm,
)
from flooring_kit.products import Board, Trim
from flooring_kit.room import MUST_NOT_STAND_ON_FLOOR, Room
from flooring_kit.setting_out import Plan
from flooring_kit.tables import records
from flooring_kit.trims import COVERS, TRIM

GAP_COLUMNS = ["edge", "wall", "kind", "cover", "run_mm", "needed_mm", "planned_mm", "short_mm"]
COVER_COLUMNS = [
    "wall",
    "kind",
    "met_by",
    "bow_mm",
    "taper_mm",
    "least_mm",
    "most_mm",
    "straight_most_mm",
    "smallest_foot_mm",
    "smallest_trim",
    "verdict",
]

ROUND_CORNERS = 12
"""An obstacle of so many corners is taken as round."""

NEARLY_DEGREES = 15.0
"""A wall within this of the boards, or of square to them, is taken as meant to be so."""

MOST_HIDDEN_MM = 50.0
"""Out of true by more than this, boards are cut to the wall whatever the trim."""

LEAVE_STRAIGHT, CUT_TO_WALL, TOO_NARROW = "leave the boards straight", "cut the boards to the wall", "too narrow"
LONG_EDGES, BOARD_ENDS, AT_AN_ANGLE = "long edges", "board ends", "at an angle"


def edge_gaps(plan: Plan, *, longest_mm: tuple[float, float] = (math.inf, math.inf)) -> pd.DataFrame:
    """The gap every edge needs, and the gap the plan leaves there.

    Parameters
    ----------
    plan
        The plan; the leaflet of its board says what gap a floor of its size needs, or published guides where the
        leaflet is silent (1.5 mm for every metre at each side, 8 mm at least).
    longest_mm
        Longest stretch along and across the boards where the floor is broken [mm].

    Returns
    -------
    DataFrame
        One row for every wall, then one for every obstacle: `edge`, `wall` (number; 0 for an obstacle), `kind`, `cover`
        (what hides the gap), `run_mm` (unbroken floor at right angles to it, doorways with it), `needed_mm` (rounded up
        to whole mm), `planned_mm`, `short_mm` (0 where the planned gap does).
    """
    rows = []
    for number, ((x0, y0), (x1, y1)) in enumerate(plan.room.walls, start=1):
        out = (y1 - y0, x0 - x1)
        run = _extent(_part_at(plan, (x0 + x1) / 2, (y0 + y1) / 2), out)
        most = longest_mm[0 if _points_along(plan, out) else 1]
        rows.append((f"wall {number}", number, plan.room.edge(number).kind, min(run, most)))
    names = told_apart(obstacle.name for obstacle in plan.room.obstacles)
    for name, obstacle in zip(names, plan.room.obstacles, strict=True):
        around = _part_at(plan, obstacle.polygon.centroid.x, obstacle.polygon.centroid.y)
        runs = [
            min(_extent(around, way), most) for way, most in zip((plan.along, plan.across), longest_mm, strict=True)
        ]
        rows.append((name, 0, obstacle.kind, max(runs)))
    told = []
    for edge, wall, kind, run in rows:
        needed = math.ceil(round(_needed_mm(plan.board, run), 3))
        short = max(0.0, needed - plan.rules.gap_mm)
        told.append((edge, wall, kind, COVERS[kind], run, needed, plan.rules.gap_mm, short))
    return pd.DataFrame(told, columns=GAP_COLUMNS)


def _needed_mm(board: Board, run_mm: float) -> float:
    if board.least_gap_mm or board.gap_mm_per_m:
        leaflet = board.gap_mm_per_m, board.gap_counts_from_mm
        return gap_needed_mm(run_mm, least_mm=board.least_gap_mm, mm_per_m=leaflet[0], counts_from_mm=leaflet[1])
    return gap_needed_mm(run_mm, least_mm=GUIDE_LEAST_MM, mm_per_m=GUIDE_MM_PER_M, counts_from_mm=GUIDE_COUNTS_FROM_MM)


def _points_along(plan: Plan, way: tuple[float, float]) -> bool:
    """Whether a direction runs along the boards rather than across them."""
    along = abs(way[0] * plan.along[0] + way[1] * plan.along[1])
    return along >= abs(way[0] * plan.across[0] + way[1] * plan.across[1])


def _part_at(plan: Plan, x: float, y: float) -> shapely.Polygon:
    """The connected part of the floor nearest to a place."""
    return min(parts_of(plan.floor), key=lambda part: part.distance(shapely.Point(x, y)))


def _extent(part: shapely.Polygon, way: tuple[float, float]) -> float:
    """How far a floor reaches in a direction [mm]."""
    return float(np.ptp(shapely.get_coordinates(part) @ np.array(way))) / math.hypot(*way)


def gap_sentences(gaps: pd.DataFrame) -> list[str]:
    """Where the planned gap is less than the floor needs; one sentence, or none.

    Parameters
    ----------
    gaps
        As from :func:`edge_gaps`.
    """
    short = gaps[gaps["short_mm"] > 0]
    if not len(short):
        return []
    worst = max(records(short), key=lambda edge: edge.needed_mm)
    where = edges_in_words([(edge.wall, edge.edge) for edge in records(short)])
    return [
        f"A floor {worst.run_mm / 1000:.2f} m long needs a gap of {worst.needed_mm:g} mm at {where}; the plan leaves "
        f"{worst.planned_mm:g}. Set the gap to {worst.needed_mm:g} mm."
    ]


def edges_in_words(edges: Iterable[tuple[int, str]]) -> str:
    """Edges by their wall numbers, neighbours drawn together, then obstacles by name.

    >>> edges_in_words([(1, "wall 1"), (2, "wall 2"), (3, "wall 3"), (0, "island")])
    'walls 1 to 3 and island'
    """
    listed = list(edges)
    walls = [wall for wall, _ in listed if wall]
    others = [name for wall, name in listed if not wall]
    return " and ".join([*([numbered("wall", walls)] if walls else []), *others])


def continuing_sentences(room: Room) -> list[str]:
    """Doorways through which the floor runs on: there the length of floor is more than this room's."""
    return [
        f"The floor runs on through {door.name or f'door {number}'}: break it there with a bar, or add the room beyond "
        "to its length."
        for number, door in enumerate(room.doors, start=1)
        if door.beyond is not None and door.beyond.kind == "same floor"
    ]


def trapped_sentences(room: Room) -> list[str]:
    """What would pin the floor down if it stood on the boards, one sentence each."""
    return [
        f"{obstacle.name}: never on the boards. It stands on the subfloor, the floor stops its gap short all round."
        for obstacle in room.obstacles
        if obstacle.kind in MUST_NOT_STAND_ON_FLOOR
    ]


@dataclass(frozen=True)
class WallMet:
    """How boards meet a wall.

    Parameters
    ----------
    met_by
        "long edges", "board ends" or "at an angle".
    bow_mm
        How far the wall departs from straight, as read off a string line [mm].
    taper_mm
        How far it runs out from the boards, over its length, or over one board's width where ends meet it [mm].
    run_mm
        Unbroken floor at right angles to it [mm].
    """

    met_by: str
    bow_mm: float
    taper_mm: float
    run_mm: float

    @property
    def uneven_mm(self) -> float:
        """How much wider the gap gets somewhere if boards are left straight [mm]."""
        if self.met_by == AT_AN_ANGLE:
            return 0.0
        # the ends of short rows follow a bow by themselves, row by row
        return self.taper_mm + (self.bow_mm if self.met_by == LONG_EDGES else 0.0)


def wall_met(plan: Plan, wall: int) -> WallMet:
    """How boards meet one wall, by its number."""
    (x0, y0), (x1, y1) = plan.room.walls[wall - 1]
    dx, dy = x1 - x0, y1 - y0
    edge = plan.room.edge(wall)
    along = abs(dx * plan.along[0] + dy * plan.along[1])
    across = abs(dx * plan.across[0] + dy * plan.across[1])
    run = _extent(_part_at(plan, (x0 + x1) / 2, (y0 + y1) / 2), (dy, -dx))
    bow = bow_mm(edge.bow) if edge.bow else 0.0
    off_degrees = math.degrees(math.atan2(min(along, across), max(along, across)))
    if edge.rise_mm or off_degrees > NEARLY_DEGREES:
        return WallMet(AT_AN_ANGLE, bow, 0.0, run)
    if along >= across and across + bow > MOST_HIDDEN_MM:
        return WallMet(AT_AN_ANGLE, bow, across, run)
    if along >= across:
        return WallMet(LONG_EDGES, bow, across, run)
    return WallMet(BOARD_ENDS, bow, min(plan.board.width_mm, across) * along / across, run)


def trim_cover(
    plan: Plan,
    trim: Trim | None,
    *,
    others: Iterable[Trim] = (),
    saw_error_mm: float = SAW_ERROR_MM,
    shrinks_mm_per_m: float = SHRINKS_MM_PER_M,
    swells_mm_per_m: float = SWELLS_MM_PER_M,
) -> pd.DataFrame:
    """Whether a trim covers the gap at every wall, all the year.

    Parameters
    ----------
    plan
        The plan; walls may be bowed (readings off a string line in the survey) and run out from the boards.
    trim
        The trim chosen; None asks only for the smallest that would do.
    others
        Trims on sale, of which the smallest that would do is named.
    saw_error_mm, shrinks_mm_per_m, swells_mm_per_m
        As for :func:`flooring_kit.gaps.gap_envelope`.

    Returns
    -------
    DataFrame
        One row a wall that a trim runs along: `wall`, `kind`, `met_by` ("long edges", "board ends", "at an angle"),
        `bow_mm`, `taper_mm`; `least_mm` (the gap when the floor has swollen), `most_mm` (when it has shrunk, boards cut
        to the wall), `straight_most_mm` (likewise, boards left straight); `smallest_foot_mm` (boards cut to the wall),
        `smallest_trim` (its name, "" where none of those on sale does); `verdict`: "leave the boards straight", "cut
        the boards to the wall" or "too narrow"; "" where no trim is chosen.
    """
    rows = []
    on_sale = sorted(others, key=lambda each: (each.foot_mm, each.name))
    for wall in range(1, len(plan.room.walls) + 1):
        kind = plan.room.edge(wall).kind
        if COVERS[kind] != TRIM:
            continue
        met = wall_met(plan, wall)
        straight, followed = (
            gap_envelope(
                plan.rules.gap_mm,
                uneven_mm=uneven,
                saw_error_mm=saw_error_mm,
                run_mm=met.run_mm,
                shrinks_mm_per_m=shrinks_mm_per_m,
                swells_mm_per_m=swells_mm_per_m,
            )
            for uneven in (met.uneven_mm, 0.0)
        )
        rows.append(
            (
                wall,
                kind,
                met.met_by,
                met.bow_mm,
                met.taper_mm,
                followed.least_mm,
                followed.most_mm,
                straight.most_mm,
                followed.smallest_foot_mm,
                next((each.name for each in on_sale if followed.is_covered_by(each.foot_mm)), ""),
                "" if trim is None else _verdict(trim, straight, followed, met),
            )
        )
    return pd.DataFrame(rows, columns=COVER_COLUMNS)


def _verdict(trim: Trim, straight: GapEnvelope, followed: GapEnvelope, met: WallMet) -> str:
    if not followed.is_covered_by(trim.foot_mm):
        return TOO_NARROW
    hides = met.met_by != AT_AN_ANGLE and straight.is_covered_by(trim.foot_mm)
    return LEAVE_STRAIGHT if hides else CUT_TO_WALL


def cover_sentences(plan: Plan, trim: Trim, cover: pd.DataFrame) -> list[str]:
    """Where the trim does not reach, where boards must be cut to the wall, where the floor would press against it.

    Parameters
    ----------
    plan, trim
        As for :func:`trim_cover`.
    cover
        What it gave.
    """
    told = too_narrow_sentences(trim, cover)
    for wall in records(cover[(cover["verdict"] == CUT_TO_WALL) & (cover["met_by"] != AT_AN_ANGLE)]):
        told.append(
            f"Wall {wall.wall}: boards left straight would open the gap to {_up(wall.straight_most_mm)} mm, and "
            f"{trim.name} covers {trim.foot_mm - OVERLAP_MM:g}. Cut the boards to the wall."
        )
    pressed = cover[cover["least_mm"] < LEAST_OPEN_MM - 1e-9]
    if len(pressed):
        least, gap = float(pressed["least_mm"].min()), plan.rules.gap_mm
        told.append(
            f"{_at(pressed)} a gap of {gap:g} mm leaves {math.floor(least)} mm when the floor has swollen: too little. "
            "Set out with a wider gap."
        )
    return told + curve_sentences(plan.room, trim)


def too_narrow_sentences(trim: Trim, cover: pd.DataFrame) -> list[str]:
    """Where the trim's foot does not reach over the widest gap; one sentence, or none."""
    narrow = cover[cover["verdict"] == TOO_NARROW]
    if not len(narrow):
        return []
    widest = max(records(narrow), key=lambda wall: wall.most_mm)
    instead = f" Take {widest.smallest_trim}." if widest.smallest_trim else ""
    return [
        f"{_at(narrow)} the gap can open to {_up(widest.most_mm)} mm, so the trim's foot needs "
        f"{_up(widest.smallest_foot_mm)} mm; {trim.name} has {trim.foot_mm:g}.{instead}"
    ]


def _up(length_mm: float) -> int:
    """Whole millimetres up: a figure told must not be smaller than the one reckoned with."""
    return math.ceil(round(length_mm, 6))


def _at(walls: pd.DataFrame) -> str:
    return f"At {numbered('wall', walls['wall'].tolist())}"


def curve_sentences(room: Room, trim: Trim) -> list[str]:
    """Round walls the trim does not bend along."""
    told = [
        f"{obstacle.name} is round, and {trim.name} does not bend: flexible filler, or a plastic trim that does."
        for obstacle in room.obstacles
        if len(obstacle.outline) >= ROUND_CORNERS and COVERS[obstacle.kind] == TRIM and trim.bend_radius_mm is None
    ]
    for wall, edge in ((edge.wall, edge) for edge in room.edges if edge.rise_mm and COVERS[edge.kind] == TRIM):
        radius = arc_radius_mm(room.wall_length_mm(wall), abs(edge.rise_mm))
        if trim.bend_radius_mm is None or trim.bend_radius_mm > radius:
            bends = f"bends to {trim.bend_radius_mm:.0f}" if trim.bend_radius_mm else "does not bend"
            told.append(
                f"Wall {wall} is round, radius {radius:.0f} mm; {trim.name} {bends}. Take a plastic trim that does, or "
                "flexible filler."
            )
    return told


def no_trim_sentences(room: Room) -> list[str]:
    """Where no trim can run, and what closes the gap there."""
    told = [
        f"Wall {edge.wall}, {edge.kind}: {COVERS[edge.kind]}."
        for edge in sorted(room.edges, key=lambda edge: edge.wall)
        if COVERS[edge.kind] != TRIM
    ]
    told += [
        f"{obstacle.name}: {COVERS[obstacle.kind]}." for obstacle in room.obstacles if COVERS[obstacle.kind] != TRIM
    ]
    for number, door in enumerate(room.doors, start=1):
        name = door.name or f"door {number}"
        how = "boards run under the linings" if door.undercut else "boards are shaped to the frame, flexible filler"
        told.append(f"{name}: no trim at the frame; {how}, a bar under the closed leaf.")
    return told
