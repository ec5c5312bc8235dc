"""Underlay as it is laid: strips from rolls, sheets or fold-out packs, their seams off the board joints, scraps reused.

Strips lie side by side, butted and taped, never lapped, and in one layer. What is left of a roll or a sheet begins the
next strip, for an underlay has neither locks nor hand::

    start wall
    +------ strip 1, roll 1 ------------------+
    |------ strip 2, roll 1 --------|- roll 2 |   <- end join
    |------ strip 3, roll 2 ------------------|
    +------ strip 4, ripped ------------------+

Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray

from flooring_kit.area import net_area_m2
from flooring_kit.checks import ceil_clean, counted, require_between, require_one_of
from flooring_kit.products import Sundry, Underlay
from flooring_kit.setting_out import Plan
from flooring_kit.wastage import packs_for_area

STRIP_COLUMNS = ["strip", "band", "piece", "along_mm", "across_mm", "length_mm", "width_mm", "shape"]
WAYS = ("along", "across")

LEAST_SCRAP_MM = 300.0
"""Shorter ends of a roll or a sheet are not laid. Common practice, no source."""

OFF_JOINTS_MM = 50.0
"""How far a seam should keep from a board joint; farther is no better. From memory."""

FIRST_STEP_MM = 10.0
JUST_ENOUGH = 0.03
"""Less left over than this share of the floor is called just enough."""

LAP_MM, UPSTAND_MM = 200.0, 50.0
"""Lap of a vapour sheet, 150 to 300, and what is turned up at the walls. Common practice, no source."""

SPECK_MM2 = 25.0
ONE_LAYER = "One layer only: a second layer, or one under a board that has its own pad, lets the locks work loose."


@dataclass(frozen=True, eq=False)
class UnderlayPlan:
    """Underlay laid in strips.

    Parameters
    ----------
    underlay
        The underlay.
    way
        "along": strips run parallel to the rows; "across": square to them.
    first_strip_mm
        Width of the first strip, at the start wall or where the rows start [mm].
    strips : DataFrame
        One row a length of underlay in the order laid: `strip` (number), `band` (strips side by side, from 1), `piece`
        (which roll or sheet it is cut from, from 1), `along_mm`, `across_mm` (its first corner in the laying frame),
        `length_mm`, `width_mm` (as cut from the roll or sheet), `shape` (what it covers, survey axes [mm]).
    pieces
        Rolls or sheets begun.
    net_area_m2, left_m2
        Floor to cover, and what is left of the packs in lengths worth keeping [m²].
    tape_m
        Seams between strips and end joins, as far as they lie on the floor [m].
    nearest_joint_mm
        Least distance of a seam from the board joints that run along it [mm].
    """

    underlay: Underlay
    way: str
    first_strip_mm: float
    strips: pd.DataFrame
    pieces: int
    net_area_m2: float
    left_m2: float
    tape_m: float
    nearest_joint_mm: float

    @property
    def packs(self) -> int:
        """Packs to buy for these strips."""
        return -(-self.pieces // self.underlay.pieces_per_pack)

    @property
    def packs_by_area(self) -> int:
        """Packs by area alone, with nothing lost."""
        return packs_for_area(self.net_area_m2, self.underlay.pack_area_m2, spare_fraction=0)

    @property
    def is_just_enough(self) -> bool:
        """Whether so little is left over that one slip of the knife takes another pack."""
        return self.left_m2 < JUST_ENOUGH * self.net_area_m2

    def sentences(self) -> list[str]:
        """How it is laid and what it takes, in words."""
        noun = "sheet" if self.underlay.form == "sheets" else "roll" if self.underlay.form == "roll" else "pack"
        lie = "parallel to the rows" if self.way == "along" else "square to the rows"
        bands = self.strips["band"].max() if len(self.strips) else 0
        told = [
            f"{self.underlay.name}: {counted(self.packs, 'pack')} ({counted(self.pieces, noun)} begun) in "
            f"{counted(int(bands), 'strip')} {lie}, the first {self.first_strip_mm:.0f} mm wide; by area alone "
            f"{counted(self.packs_by_area, 'pack')}.",
            f"{self.left_m2:.2f} m² are left over in lengths worth keeping, {self.left_m2 / self.net_area_m2:.0%} of "
            "the floor.",
        ]
        if self.is_just_enough:
            told.append("That is just enough: one slip of the knife takes another pack.")
        if self.nearest_joint_mm < OFF_JOINTS_MM - 1e-6:
            told.append(f"A seam comes within {self.nearest_joint_mm:.0f} mm of a board joint.")
        ahead = (
            "Lay it a strip ahead of the boards: feet crush it."
            if self.underlay.laid_ahead
            else "It can all go down before the first board."
        )
        return [*told, f"Tape: {self.tape_m:.1f} m. Butt the strips, never lap them. {ahead}", ONE_LAYER]


def underlay_strips(plan: Plan, underlay: Underlay, *, way: str | None = None) -> UnderlayPlan:
    """The strips of an underlay for a floor.

    Parameters
    ----------
    plan
        The plan: its floor, its rows and joints.
    underlay
        The underlay, with the size of a roll or a sheet.
    way
        "along" or "across" the rows; None takes the way of fewer packs, across the rows where both take as many. What
        feet crush is laid a strip ahead of the boards and so runs along.

    Raises
    ------
    ValueError
        For an underlay whose roll or sheet has no size, for another word, and for "across" with an underlay that is
        laid ahead of the boards.
    """
    length, width = underlay.piece_length_mm, underlay.piece_width_mm
    if length is None or width is None:
        raise ValueError(
            f"{underlay.name}: the size of a roll or a sheet is not known. Give piece_length_mm and piece_width_mm; "
            "without them packs are counted by area."
        )
    if way is not None:
        require_one_of(way, WAYS, "way")
    if way == "across" and underlay.laid_ahead:
        raise ValueError(
            f"{underlay.name}: feet crush it, so it is laid a strip ahead of the boards and runs along the rows. "
            "Choose way 'along'."
        )
    ways = [way] if way else ["along"] if underlay.laid_ahead else ["across", "along"]
    return min((_laid(plan, underlay, each) for each in ways), key=lambda laid: laid.packs)


def _laid(plan: Plan, underlay: Underlay, way: str) -> UnderlayPlan:
    """The best first strip for one way: fewest packs, then seams farthest from the joints, then the widest."""
    width = float(underlay.piece_width_mm or 0.0)
    floor = plan.frame.to_laying(plan.floor)
    if way == "across":
        floor = _swapped(floor)
    joints = _joints(plan, way)
    spread = min(width - FIRST_STEP_MM, plan.board.width_mm if way == "along" else width / 2)
    best: tuple[tuple[int, float, float], _Laying] | None = None
    for first in np.arange(width, width - spread - 1e-9, -FIRST_STEP_MM).tolist():
        laying = _Laying(floor, underlay, first)
        clear = min(OFF_JOINTS_MM, _nearest(laying.seams, joints))
        worth = (-(-laying.pieces // underlay.pieces_per_pack), -clear, -first)
        if best is None or worth < best[0]:
            best = worth, laying
    assert best is not None
    laying = best[1]
    rows = []
    for number, strip in enumerate(laying.strips, start=1):
        shape = shapely.intersection(floor, strip.box)
        shape = plan.frame.to_survey(_swapped(shape) if way == "across" else shape)
        u0, v0, u1, v1 = strip.box.bounds
        along, across = (v0, u0) if way == "across" else (u0, v0)
        rows.append((number, strip.band, strip.piece, along, across, u1 - u0, v1 - v0, shape))
    used = -(-laying.pieces // underlay.pieces_per_pack) * underlay.pieces_per_pack
    left = laying.left_m2 + (used - laying.pieces) * underlay.piece_area_m2
    return UnderlayPlan(
        underlay,
        way,
        laying.first,
        pd.DataFrame(rows, columns=STRIP_COLUMNS),
        laying.pieces,
        net_area_m2(plan.floor),
        left,
        laying.tape_mm / 1000,
        _nearest(laying.seams, joints),
    )


def _swapped(shapes: shapely.Geometry) -> shapely.Geometry:
    return shapely.transform(shapes, lambda uv: uv[:, ::-1])


def _joints(plan: Plan, way: str) -> NDArray[np.float64]:
    """Board joints that run along the seams: row lines for strips along, end joints for strips across."""
    bounds = shapely.bounds(plan.frame.to_laying(plan.pieces["shape"].to_numpy()))
    joined = plan.joined["back" if way == "along" else "left"].to_numpy(dtype=bool)
    return np.unique(bounds[joined, 1 if way == "along" else 0].round(1))


def _nearest(seams: Sequence[float], joints: NDArray[np.float64]) -> float:
    """Least distance between a seam and a joint; as far as counts where there is none of either."""
    if not len(seams) or not len(joints):
        return OFF_JOINTS_MM
    return float(np.abs(np.asarray(seams)[:, None] - joints[None, :]).min())


@dataclass(frozen=True)
class _Strip:
    """One length of underlay laid: in which band, from which roll or sheet, over which rectangle."""

    band: int
    piece: int
    box: shapely.Polygon


@dataclass
class _Laying:
    """Strips laid over a floor, band by band, with strips running along u.

    Whole bands take lengths of whole width. A narrow band takes ripped scraps where one is wide enough, or a length
    ripped from the roll, whose other part is kept for the next.
    """

    floor: shapely.Geometry
    underlay: Underlay
    first: float
    strips: list[_Strip] = field(default_factory=list)
    seams: list[float] = field(default_factory=list)
    pieces: int = 0
    tape_mm: float = 0.0

    def __post_init__(self) -> None:
        self._length, self._width = float(self.underlay.piece_length_mm or 0), float(self.underlay.piece_width_mm or 0)
        self._rest = 0.0  # left of the roll or sheet begun, full width
        self._scraps: list[tuple[float, float, int]] = []  # ripped off: length, width, piece
        bands = self._bands()
        for whole in (True, False):
            for number, (low, high) in enumerate(bands, start=1):
                if (high - low > self._width - FIRST_STEP_MM / 2) is whole:
                    for start, end in self._stretches(low, high):
                        self._cover(number, start, end, low, high)
        self.strips.sort(key=lambda strip: (strip.band, strip.box.bounds[0]))
        order = {piece: number for number, piece in enumerate(dict.fromkeys(s.piece for s in self.strips), start=1)}
        self.strips = [replace(strip, piece=order[strip.piece]) for strip in self.strips]

    @property
    def left_m2(self) -> float:
        """What is left in lengths worth keeping [m²]."""
        kept = [(self._rest, self._width), *((length, width) for length, width, _ in self._scraps)]
        return sum(length * width for length, width in kept if length >= LEAST_SCRAP_MM) / 1e6

    def _bands(self) -> list[tuple[float, float]]:
        _, low, _, high = self.floor.bounds
        edges = [low, *np.arange(low + self.first, high - 1e-6, self._width).tolist(), high]
        self.seams = edges[1:-1]
        u0, _, u1, _ = self.floor.bounds
        for seam in self.seams:
            line = shapely.LineString([(u0 - 1, seam), (u1 + 1, seam)])
            self.tape_mm += float(shapely.intersection(self.floor, line).length)
        return list(pairwise(edges))

    def _stretches(self, low: float, high: float) -> list[tuple[float, float]]:
        """Floor in one band, as stretches along it."""
        u0, _, u1, _ = self.floor.bounds
        inside = shapely.intersection(self.floor, shapely.box(u0 - 1, low, u1 + 1, high))
        parts = [part for part in shapely.get_parts(inside) if part.area > SPECK_MM2]
        reached: list[tuple[float, float]] = []
        for start, end in sorted((part.bounds[0], part.bounds[2]) for part in parts):
            if reached and start <= reached[-1][1] + 1e-6:
                reached[-1] = reached[-1][0], max(reached[-1][1], end)
            else:
                reached.append((start, end))
        return reached

    def _cover(self, band: int, start: float, end: float, low: float, high: float) -> None:
        """Lay one stretch from its start, end to end."""
        at = start
        while at < end - 1e-6:
            took, piece = self._take(end - at, high - low)
            self.strips.append(_Strip(band, piece, shapely.box(at, low, at + took, high)))
            if at > start:
                join = shapely.LineString([(at, low), (at, high)])
                self.tape_mm += float(shapely.intersection(self.floor, join).length)
            at += took

    def _take(self, wanted: float, width: float) -> tuple[float, int]:
        """A length of that width, as long as can be had in one, from a scrap or the roll; and from which piece."""
        narrow = width <= self._width - FIRST_STEP_MM / 2
        least = min(wanted, LEAST_SCRAP_MM)
        fitting = [scrap for scrap in self._scraps if scrap[1] >= width - 1e-6 and scrap[0] >= least]
        if narrow and fitting:
            scrap = max(fitting, key=lambda each: (min(each[0], wanted), -each[1], -each[0]))
            self._scraps.remove(scrap)
            took = _not_too_little_left(min(scrap[0], wanted), wanted)
            self._keep(scrap[0] - took, scrap[1], scrap[2])
            self._keep(took, scrap[1] - width, scrap[2])
            return took, scrap[2]
        if self._rest < least - 1e-6:
            self.pieces += 1
            self._rest = self._length
        took = _not_too_little_left(min(self._rest, wanted), wanted)
        self._rest -= took
        self._keep(took, self._width - width, self.pieces)
        return took, self.pieces

    def _keep(self, length: float, width: float, piece: int) -> None:
        if length >= LEAST_SCRAP_MM and width > FIRST_STEP_MM:
            self._scraps.append((length, width, piece))


def _not_too_little_left(took: float, wanted: float) -> float:
    """Shorten a length so that what follows it is not a sliver."""
    short = wanted - took
    return took - (LEAST_SCRAP_MM - short) if 1e-6 < short < LEAST_SCRAP_MM and took > 2 * LEAST_SCRAP_MM else took


# ---------------------------------------------------------------------- vapour sheet


@dataclass(frozen=True)
class VapourSheet:
    """A vapour sheet laid in strips with laps, turned up at the walls.

    Parameters
    ----------
    rolls
        Rolls to buy.
    strips
        Strips side by side.
    sheet_m2
        Sheet used, laps and upstands with it [m²].
    tape_m
        Laps to tape [m].
    lap_mm, upstand_mm
        Lap, and what is turned up at the walls [mm].
    """

    rolls: int
    strips: int
    sheet_m2: float
    tape_m: float
    lap_mm: float
    upstand_mm: float

    def sentence(self) -> str:
        """The order line in words."""
        return (
            f"Vapour sheet: {counted(self.rolls, 'roll')}, {counted(self.strips, 'strip')} lapped {self.lap_mm:g} mm "
            f"and turned up {self.upstand_mm:g} mm at the walls, {self.sheet_m2:.1f} m² of sheet; {self.tape_m:.1f} m "
            "of laps to tape."
        )


def needs_vapour_sheet(plan: Plan, underlay: Underlay) -> bool:
    """Whether a sheet goes down of its own: on mineral floors, where the underlay does not have one."""
    return plan.room.subfloor in ("concrete", "screed") and not underlay.vapour_sheet


def vapour_strips(plan: Plan, sheet: Sundry, *, lap_mm: float = LAP_MM, upstand_mm: float = UPSTAND_MM) -> VapourSheet:
    """The vapour sheet for a floor on concrete or screed.

    Parameters
    ----------
    plan
        The plan.
    sheet
        What is on sale, with its width and what a roll holds [m²].
    lap_mm
        Lap of neighbouring strips, 150 to 300 [mm].
    upstand_mm
        What is turned up at the walls, 0 to 150 [mm].

    Raises
    ------
    ValueError
        Over timber, which must breathe; for a sheet without a width or an area; outside those ranges.
    """
    if plan.room.subfloor == "timber":
        raise ValueError(f"{plan.room.name}: no vapour sheet over a timber floor, which must breathe from below.")
    require_between(lap_mm, 150, 300, "lap of the vapour sheet", unit="mm")
    require_between(upstand_mm, 0, 150, "upstand of the vapour sheet", unit="mm")
    if sheet.width_mm is None or sheet.pack_holds is None:
        raise ValueError(f"{sheet.name}: give the sheet's width_mm and what a roll holds, pack_holds, in m².")
    floor = plan.frame.to_laying(plan.floor).buffer(upstand_mm + plan.rules.gap_mm, join_style="mitre")
    u0, low, u1, high = floor.bounds
    useful = sheet.width_mm - lap_mm
    strips = max(1, ceil_clean((high - low - lap_mm) / useful))
    lengths, laps = 0.0, 0.0
    for number in range(strips):
        start = low + number * useful
        inside = shapely.intersection(floor, shapely.box(u0 - 1, start, u1 + 1, min(high, start + sheet.width_mm)))
        lengths += sum(part.bounds[2] - part.bounds[0] for part in shapely.get_parts(inside) if part.area > SPECK_MM2)
        if number:
            line = shapely.LineString([(u0 - 1, start + lap_mm / 2), (u1 + 1, start + lap_mm / 2)])
            laps += float(shapely.intersection(floor, line).length)
    used = lengths * sheet.width_mm / 1e6
    return VapourSheet(ceil_clean(used / sheet.pack_holds), strips, used, laps / 1000, lap_mm, upstand_mm)
