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

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
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

STAGGER_MM = 200.0
"""How far apart end joins of neighbouring strips lie where they can. From memory."""

NARROWEST_MM = 100.0
"""Narrower strips are avoided, and narrower scraps are not worth keeping. From memory."""

SHORTEST_ROLL_MM = 1000.0
"""A roll of vapour sheet is at least this long: anything shorter is a slip in its figures."""

BESIDE_MM = 0.5
"""A seam is taped where floor lies on both its sides, this far from it."""

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
        Width of the first strip, at the start wall or where the rows start, as laid [mm].
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
    joints_near
        Row lines, or end joints for strips across, within `OFF_JOINTS_MM` of a seam.
    joins_in_line
        End joins less than `STAGGER_MM` from one of the strip beside.
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
    joints_near: int = 0
    joins_in_line: int = 0

    @property
    def packs(self) -> int:
        """Packs to buy for these strips, never fewer than the area on the label asks for."""
        return max(self.packs_by_area, -(-self.pieces // self.underlay.pieces_per_pack))

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
        noun = self.underlay.piece_word
        lie = "parallel to the rows" if self.way == "along" else "square to the rows"
        bands = self.strips["band"].max() if len(self.strips) else 0
        begun = "" if noun == "pack" else f" ({counted(self.pieces, noun)} begun)"
        told = [
            f"{self.underlay.name}: {counted(self.packs, 'pack')}{begun} in "
            f"{counted(int(bands), 'strip')} {lie}, the first {self.first_strip_mm:.0f} mm wide; by area alone "
            f"{counted(self.packs_by_area, 'pack')}.",
            f"{self.left_m2:.2f} m² are left over in lengths worth keeping, {self.left_m2 / self.net_area_m2:.0%} of "
            "the floor.",
        ]
        if self.is_just_enough:
            told.append("That is just enough: one slip of the knife takes another pack.")
        if self.joints_near:
            joints = counted(self.joints_near, "row line" if self.way == "along" else "end joint")
            told.append(
                f"{joints} of the boards within {OFF_JOINTS_MM:.0f} mm of a seam, the nearest "
                f"{self.nearest_joint_mm:.0f} mm from it."
            )
        if self.joins_in_line:
            told.append(
                f"{counted(self.joins_in_line, 'end join')} less than {STAGGER_MM:.0f} mm from one of the strip beside."
            )
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
    return min((_laid(plan, underlay, each) for each in _ways(underlay, way)), key=lambda laid: laid.packs)


def packs_in_strips(plan: Plan, underlay: Underlay, *, way: str | None = None) -> int:
    """Packs to buy for the strips of :func:`underlay_strips`, without saying how they lie: quick enough for a slider.

    Parameters
    ----------
    plan, underlay, way
        As for :func:`underlay_strips`.

    Raises
    ------
    ValueError
        As :func:`underlay_strips`.
    """
    return min(
        _fewest_packs(_floor_for(plan, each), underlay, _spread_mm(plan, underlay, each))
        for each in _ways(underlay, way)
    )


@lru_cache(maxsize=64)
def _fewest_packs(floor: shapely.Geometry, underlay: Underlay, spread_mm: float) -> int:
    """Fewest packs of any first strip; no more first strips are tried where one needs no more than its area does."""
    by_area = packs_for_area(net_area_m2(floor), underlay.pack_area_m2, spare_fraction=0)
    fewest = None
    for laying in _layings(floor, underlay, spread_mm):
        packs = max(by_area, laying.packs)
        fewest = packs if fewest is None else min(fewest, packs)
        if fewest == by_area:
            break
    assert fewest is not None
    return fewest


def _ways(underlay: Underlay, way: str | None) -> list[str]:
    """Ways the strips may run; ValueError for a wrong one, and for an underlay whose size is not known."""
    if underlay.piece_length_mm is None or underlay.piece_width_mm is None:
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
    return [way] if way else ["along"] if underlay.laid_ahead else ["across", "along"]


def _floor_for(plan: Plan, way: str) -> shapely.Geometry:
    """The floor with strips running along its first axis."""
    floor = plan.frame.to_laying(plan.floor)
    return _swapped(floor) if way == "across" else floor


def _spread_mm(plan: Plan, underlay: Underlay, way: str) -> float:
    """How much narrower than the roll the first strip may be."""
    width = float(underlay.piece_width_mm or 0.0)
    return min(width - FIRST_STEP_MM, plan.board.width_mm if way == "along" else width / 2)


def _layings(floor: shapely.Geometry, underlay: Underlay, spread_mm: float) -> Iterator[_Laying]:
    """Every first strip, as it comes and with its end joins staggered where they need it; the widest first."""
    width = float(underlay.piece_width_mm or 0.0)
    for first in np.arange(width, width - spread_mm - 1e-9, -FIRST_STEP_MM).tolist():
        for is_staggered in (False, True):
            laying = _Laying(floor, underlay, first, is_staggered=is_staggered)
            yield laying
            if not laying.joins_in_line:
                break  # already staggered


def _laid(plan: Plan, underlay: Underlay, way: str) -> UnderlayPlan:
    """The best first strip for one way.

    Fewest packs, then no sliver, then end joins staggered, then seams off the joints, then the widest. Row lines run
    along a whole seam, so the nearest decides; an end joint meets it only across one board, so their number decides.
    """
    floor, joints = _floor_for(plan, way), _joints(plan, way)
    best: tuple[tuple[float, ...], _Laying] | None = None
    for laying in _layings(floor, underlay, _spread_mm(plan, underlay, way)):
        clear = min(OFF_JOINTS_MM, _nearest(laying.seams, joints))
        near = _near(laying.seams, joints) if way == "across" else 0
        narrowest = min(NARROWEST_MM, laying.narrowest_mm)
        worth = (laying.packs, -narrowest, laying.joins_in_line, near, -clear, -laying.asked_first_mm)
        if best is None or worth < best[0]:
            best = worth, laying
    assert best is not None
    laying = best[1]
    rows = []
    for number, strip in enumerate(laying.strips, start=1):
        u0, v0, u1, v1 = strip.bounds
        shape = shapely.intersection(floor, shapely.box(u0, v0, u1, v1))
        shape = plan.frame.to_survey(_swapped(shape) if way == "across" else shape)
        along, across = (v0, u0) if way == "across" else (u0, v0)
        rows.append((number, strip.band, strip.piece, along, across, u1 - u0, v1 - v0, shape))
    area = net_area_m2(plan.floor)
    packs = max(packs_for_area(area, underlay.pack_area_m2, spare_fraction=0), laying.packs)
    left = laying.left_m2 + (packs * underlay.pieces_per_pack - laying.pieces) * underlay.piece_area_m2
    return UnderlayPlan(
        underlay,
        way,
        laying.first,
        pd.DataFrame(rows, columns=STRIP_COLUMNS),
        laying.pieces,
        area,
        left,
        laying.tape_mm / 1000,
        _nearest(laying.seams, joints),
        _near(laying.seams, joints),
        laying.joins_in_line,
    )


def _swapped(shapes: shapely.Geometry) -> shapely.Geometry:
    return shapely.transform(shapes, lambda uv: uv[:, ::-1])


def _joints(plan: Plan, way: str) -> NDArray[np.float64]:
    """Board joints that run along the seams: row lines for strips along, end joints for strips across."""
    bounds = shapely.bounds(plan.frame.to_laying(plan.pieces["shape"].to_numpy()))
    joined = plan.joined["back" if way == "along" else "left"].to_numpy(dtype=bool)
    if way == "along":
        return np.unique(bounds[joined, 1].round(1))
    return np.asarray(bounds[joined, 0])


def _nearest(seams: Sequence[float], joints: NDArray[np.float64]) -> float:
    """Least distance between a seam and a joint; as far as counts where there is none of either."""
    if not len(seams) or not len(joints):
        return OFF_JOINTS_MM
    return float(np.abs(np.asarray(seams)[:, None] - joints[None, :]).min())


def _near(seams: Sequence[float], joints: NDArray[np.float64]) -> int:
    """Joints closer to a seam than it should keep."""
    if not len(seams) or not len(joints):
        return 0
    nearest = np.abs(np.asarray(seams)[:, None] - joints[None, :]).min(axis=0)
    return int((nearest < OFF_JOINTS_MM - 1e-6).sum())


def _taped_mm(floor: shapely.Geometry, seam: tuple[float, float, float, float]) -> float:
    """Length of a seam (u0, v0, u1, v1) that has floor on both its sides: along an edge of the floor is no seam."""
    u0, v0, u1, v1 = seam
    lies_along = v0 == v1
    sides = []
    for off in (-BESIDE_MM, BESIDE_MM):
        du, dv = (0.0, off) if lies_along else (off, 0.0)
        parts = shapely.get_parts(
            shapely.intersection(floor, shapely.LineString([(u0 + du, v0 + dv), (u1 + du, v1 + dv)]))
        )
        sides.append([part.bounds[::2] if lies_along else part.bounds[1::2] for part in parts if part.length])
    return float(sum(max(0.0, min(b, d) - max(a, c)) for a, b in sides[0] for c, d in sides[1]))


@dataclass(frozen=True)
class _Strip:
    """One length of underlay laid: in which band, from which roll or sheet, over which rectangle (u0, v0, u1, v1)."""

    band: int
    piece: int
    bounds: tuple[float, float, float, float]


@dataclass
class _Laying:
    """Strips laid over a floor, band by band, with strips running along u.

    Whole bands take lengths of whole width. A narrow band takes ripped scraps where one is wide enough, or a length
    ripped from the roll, whose other part is kept for the next. Staggered, a length whose end would come beside one of
    the next strip is cut shorter, and what comes off it is set aside to end a strip.
    """

    floor: shapely.Geometry
    underlay: Underlay
    first: float
    is_staggered: bool = False
    strips: list[_Strip] = field(default_factory=list)
    seams: list[float] = field(default_factory=list)
    pieces: int = 0

    def __post_init__(self) -> None:
        self.asked_first_mm = self.first  # before a narrow floor makes it narrower
        self._length, self._width = float(self.underlay.piece_length_mm or 0), float(self.underlay.piece_width_mm or 0)
        self._rest = 0.0  # left of the roll or sheet begun, full width
        self._scraps: list[tuple[float, float, int]] = []  # ripped off or set aside: length, width, piece
        self._joins: dict[int, list[float]] = {}  # end joins of each band
        bands = self._bands()
        self.narrowest_mm = min(high - low for low, high in bands)
        stretches = self._stretches(bands)
        for whole in (True, False):
            for number, (low, high) in enumerate(bands, start=1):
                if (high - low > self._width - FIRST_STEP_MM / 2) is whole:
                    for start, end in stretches[number - 1]:
                        self._cover(number, start, end, low, high)
        self.strips.sort(key=lambda strip: (strip.band, strip.bounds[0]))
        order = {piece: number for number, piece in enumerate(dict.fromkeys(s.piece for s in self.strips), start=1)}
        self.strips = [_Strip(strip.band, order[strip.piece], strip.bounds) for strip in self.strips]

    @property
    def packs(self) -> int:
        """Packs that hold the rolls or sheets begun."""
        return -(-self.pieces // self.underlay.pieces_per_pack)

    @property
    def left_m2(self) -> float:
        """What is left in lengths worth keeping [m²]."""
        kept = [(self._rest, self._width), *((length, width) for length, width, _ in self._scraps)]
        return sum(a * b for a, b in kept if a >= LEAST_SCRAP_MM and b >= NARROWEST_MM) / 1e6

    @property
    def joins_in_line(self) -> int:
        """End joins less than the stagger from one of the band before."""
        return sum(self._is_beside(join, band - 1) for band, joins in self._joins.items() for join in joins)

    @property
    def tape_mm(self) -> float:
        """Seams and end joins, as far as floor lies on both sides [mm]."""
        u0, _, u1, _ = self.floor.bounds
        seams = [(u0 - 1, seam, u1 + 1, seam) for seam in self.seams]
        for before, strip in pairwise(self.strips):
            (_, low, end, high), (start, *_) = before.bounds, strip.bounds
            if before.band == strip.band and abs(end - start) < 1e-6:
                seams.append((end, low, end, high))
        return sum(_taped_mm(self.floor, seam) for seam in seams)

    def _bands(self) -> list[tuple[float, float]]:
        _, low, _, high = self.floor.bounds
        self.first = min(self.first, high - low)
        edges = [low, *np.arange(low + self.first, high - 1e-6, self._width).tolist(), high]
        self.seams = edges[1:-1]
        return list(pairwise(edges))

    def _stretches(self, bands: Sequence[tuple[float, float]]) -> list[list[tuple[float, float]]]:
        """Floor in each band, as stretches along it."""
        u0, _, u1, _ = self.floor.bounds
        low, high = np.asarray(bands).T
        parts, of_band = shapely.get_parts(
            shapely.intersection(self.floor, shapely.box(u0 - 1, low, u1 + 1, high)), return_index=True
        )
        counts = shapely.area(parts) > SPECK_MM2
        found = zip(of_band[counts].tolist(), shapely.bounds(parts[counts])[:, ::2].tolist(), strict=True)
        reached: list[list[tuple[float, float]]] = [[] for _ in bands]
        for band, (start, end) in sorted(found):
            here = reached[band]
            if here and start <= here[-1][1] + 1e-6:
                here[-1] = here[-1][0], max(here[-1][1], end)
            else:
                here.append((start, end))
        return reached

    def _cover(self, band: int, start: float, end: float, low: float, high: float) -> None:
        """Lay one stretch from its start, end to end."""
        at = start
        while at < end - 1e-6:
            took, piece = self._take(end - at, high - low, at, band)
            self.strips.append(_Strip(band, piece, (at, low, at + took, high)))
            if at > start:
                self._joins.setdefault(band, []).append(at)
            at += took

    def _take(self, wanted: float, width: float, at: float, band: int) -> tuple[float, int]:
        """A length of that width, as long as can be had in one, from a scrap or the roll; and from which piece."""
        narrow = width <= self._width - FIRST_STEP_MM / 2
        least = min(wanted, LEAST_SCRAP_MM)
        fitting = [scrap for scrap in self._scraps if scrap[1] >= width - 1e-6 and scrap[0] >= least]
        if not narrow and self._rest >= least:
            fitting = [scrap for scrap in fitting if scrap[0] >= wanted]  # what was set aside ends a strip
        if fitting:
            scrap = max(fitting, key=lambda each: (min(each[0], wanted), -each[1], -each[0]))
            self._scraps.remove(scrap)
            took = self._off_joins(_not_too_little_left(min(scrap[0], wanted), wanted), wanted, at, band)
            self._keep(scrap[0] - took, scrap[1], scrap[2])
            self._keep(took, scrap[1] - width, scrap[2])
            return took, scrap[2]
        if self._rest < least - 1e-6:
            self.pieces += 1
            self._rest = self._length
        whole = _not_too_little_left(min(self._rest, wanted), wanted)
        took = self._off_joins(whole, wanted, at, band)
        self._rest -= took
        if took < whole:
            self._keep(self._rest, self._width, self.pieces)
            self._rest = 0.0
        self._keep(took, self._width - width, self.pieces)
        return took, self.pieces

    def _is_beside(self, join: float, band: int) -> bool:
        return any(abs(join - other) < STAGGER_MM - 1e-6 for other in self._joins.get(band, ()))

    def _off_joins(self, took: float, wanted: float, at: float, band: int) -> float:
        """The length, shortened where its end would come beside an end join of a neighbouring band."""
        beside = [band - 1, band + 1]
        if not self.is_staggered or took > wanted - 1e-6:
            return took
        if not any(self._is_beside(at + took, each) for each in beside):
            return took
        joins = [join for each in beside for join in self._joins.get(each, ())]
        shorter = [at + took / 2, *(join - STAGGER_MM for join in joins)]
        ends = [end for end in shorter if LEAST_SCRAP_MM <= end - at < took]
        ends = [end for end in ends if not any(self._is_beside(end, each) for each in beside)]
        return max(ends) - at if ends else took

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
        Laps to tape, end laps with them [m].
    lap_mm, upstand_mm
        Lap, and what is turned up at the walls [mm].
    product
        Name of the sheet on sale.
    """

    rolls: int
    strips: int
    sheet_m2: float
    tape_m: float
    lap_mm: float
    upstand_mm: float
    product: str = ""

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


def vapour_sheet_for(plan: Plan, underlay: Underlay, on_sale: Iterable[Sundry]) -> VapourSheet | None:
    """The vapour sheet a floor takes, of the cheapest on sale; None where none is needed, or none sold by its size."""
    if not needs_vapour_sheet(plan, underlay):
        return None
    sheets = [each for each in on_sale if each.use == "vapour sheet" and each.width_mm and each.pack_holds]
    laid = [(each, vapour_strips(plan, each)) for each in sheets]

    def cost(pair: tuple[Sundry, VapourSheet]) -> tuple[bool, float, str]:
        sheet, strips = pair
        return sheet.price is None, (sheet.price or 0.0) * strips.rolls, sheet.name

    return min(laid, key=cost)[1] if laid else None


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
        Over timber, which must breathe; for a sheet without a width or an area, no wider than its lap, or whose roll
        would be under a metre long; outside those ranges.
    """
    if plan.room.subfloor == "timber":
        raise ValueError(f"{plan.room.name}: no vapour sheet over a timber floor, which must breathe from below.")
    require_between(lap_mm, 150, 300, "lap of the vapour sheet", unit="mm")
    require_between(upstand_mm, 0, 150, "upstand of the vapour sheet", unit="mm")
    if sheet.width_mm is None or sheet.pack_holds is None:
        raise ValueError(f"{sheet.name}: give the sheet's width_mm and what a roll holds, pack_holds, in m².")
    if sheet.width_mm <= lap_mm:
        raise ValueError(
            f"{sheet.name}: a sheet {sheet.width_mm:g} mm wide has nothing left after a lap of {lap_mm:g} mm."
        )
    roll_mm = sheet.pack_holds * 1e6 / sheet.width_mm
    if roll_mm < SHORTEST_ROLL_MM:
        raise ValueError(
            f"{sheet.name}: a roll of {sheet.pack_holds:g} m², {sheet.width_mm:g} mm wide, would be {roll_mm:.0f} mm "
            "long. pack_holds is in m²."
        )
    floor = plan.frame.to_laying(plan.floor).buffer(upstand_mm + plan.rules.gap_mm, join_style="mitre")
    u0, low, u1, high = floor.bounds
    useful = sheet.width_mm - lap_mm
    strips = max(1, ceil_clean((high - low - lap_mm) / useful))
    lengths: list[float] = []
    laps = 0.0
    for number in range(strips):
        start = low + number * useful
        inside = shapely.intersection(floor, shapely.box(u0 - 1, start, u1 + 1, min(high, start + sheet.width_mm)))
        lengths += [part.bounds[2] - part.bounds[0] for part in shapely.get_parts(inside) if part.area > SPECK_MM2]
        if number:
            line = shapely.LineString([(u0 - 1, start + lap_mm / 2), (u1 + 1, start + lap_mm / 2)])
            laps += float(shapely.intersection(floor, line).length)
    rolls, end_laps = _unrolled(lengths, roll_mm, lap_mm)
    used = (sum(lengths) + end_laps * lap_mm) * sheet.width_mm / 1e6
    laps += end_laps * sheet.width_mm
    return VapourSheet(rolls, strips, used, laps / 1000, lap_mm, upstand_mm, sheet.name)


def _unrolled(lengths: Sequence[float], roll_mm: float, lap_mm: float) -> tuple[int, int]:
    """Rolls for lengths cut one after another, and end laps where a roll runs out within one."""
    rolls, end_laps, rest = 0, 0, 0.0
    for length in lengths:
        wanted = length
        while wanted > 1e-6:
            if rest < min(wanted, LEAST_SCRAP_MM + lap_mm) - 1e-6:
                rolls, rest = rolls + 1, roll_mm
            took = min(rest, wanted)
            rest, wanted = rest - took, wanted - took
            if wanted > 1e-6:
                wanted += lap_mm
                end_laps += 1
    return rolls, end_laps
