"""A second route to the area of a room, that shares nothing with the first but the room.

The kit's own figure is the area of the outline's polygon. Here it is met again from other measurements, triangles or
widths, or by other arithmetic, strips between corner levels; and the two figures are compared.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from flooring_kit.checks import DUST, require_between, require_number, require_one_of, shown

SIDE_LIMITS_MM = (1.0, 200_000.0)
LONGEST_MM = 200_000.0
FARTHEST_STATION_MM = 1_000_000.0
LEAST_SPAN_MM = 100.0
"""No floor is smaller; what stays under it was meant in metres."""

RULES = ("trapezium", "simpson")
MOST_UNEVEN = 2.0
"""Simpson's parabola through three stations is trusted while no step is over twice the other. Beyond, the
width at one of them would count as negative."""

AREA_LIMITS_M2 = (0.01, 10_000.0)
LEAST_AREA_MM2 = 1.0
"""Less is the dust of an outline that runs back along itself."""

CROSSING_MM = 1e-6
"""Two walls that change sides by more than this cross; less is the dust of binary fractions."""


@dataclass(frozen=True)
class AreaCheck:
    """Two figures for the area of one room, and whether they agree.

    Parameters
    ----------
    polygon_m2
        Area of the outline [m²].
    second_m2
        Area by the second route [m²].
    tolerance_fraction
        How far the second may be from the first, as a share of the first.
    """

    polygon_m2: float
    second_m2: float
    tolerance_fraction: float

    @property
    def difference_m2(self) -> float:
        """Second less first [m²]: negative where the second route finds less."""
        return self.second_m2 - self.polygon_m2

    @property
    def difference_fraction(self) -> float:
        """The difference as a share of the outline's area, with its sign."""
        return self.difference_m2 / self.polygon_m2

    @property
    def agrees(self) -> bool:
        """Whether the two are within the tolerance, a difference of just that much included."""
        return abs(self.difference_fraction) <= self.tolerance_fraction * (1 + DUST)

    def sentence(self) -> str:
        """Both figures in words; a warning where they don't agree."""
        apart = abs(self.difference_m2)
        decimals = 2
        # enough decimals that two figures said to differ also look different
        while not self.agrees and (
            apart < 10**-decimals or f"{self.polygon_m2:.{decimals}f}" == f"{self.second_m2:.{decimals}f}"
        ):
            decimals += 1
        figures = (
            f"{self.polygon_m2:.{decimals}f} m² by the outline and {self.second_m2:.{decimals}f} m² by the second route"
        )
        share, allowed = _percent(abs(self.difference_fraction)), _percent(self.tolerance_fraction)
        if self.agrees:
            return f"The two areas agree: {figures}, {share} apart ({allowed} allowed)."
        more = "more" if self.difference_m2 > 0 else "less"
        return (
            f"The two areas do not agree: {figures}, {apart:.{decimals}f} m² or {share} {more} ({allowed} allowed). "
            "Find the wrong measurement before you order."
        )


def compare_areas(polygon_m2: float, second_m2: float, *, tolerance_fraction: float = 0.005) -> AreaCheck:
    """The two figures side by side.

    Parameters
    ----------
    polygon_m2
        Area of the outline [m²], 0.01 to 10 000.
    second_m2
        Area by a second route [m²], 0.01 to 10 000.
    tolerance_fraction
        How far apart they may be as a share of the first, 0.0001 to 0.1. The default, 0.5 %, is common practice:
        a tape read to 5 mm on each side of a room 4 x 3 m gives 0.3 %.

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    >>> compare_areas(18.72, 18.70).sentence()
    'The two areas agree: 18.72 m² by the outline and 18.70 m² by the second route, 0.11 % apart (0.5 % allowed).'
    """
    low, high = AREA_LIMITS_M2
    hint = "Give square metres."
    return AreaCheck(
        require_between(polygon_m2, low, high, "area of the outline", unit="m²", hint=hint),
        require_between(second_m2, low, high, "area by the second route", unit="m²", hint=hint),
        require_between(tolerance_fraction, 0.0001, 0.1, "tolerance", hint="Write 0.5 % as 0.005."),
    )


def area_from_triangles_m2(triangles: Sequence[tuple[float, float, float]]) -> float:
    """Area of a room cut into triangles by its ties, from side lengths alone [m²], not rounded.

    Parameters
    ----------
    triangles
        Three measured sides of each triangle [mm], in any order, 1 to 200 000. Together the triangles cover the
        floor once, side by side.

    Raises
    ------
    ValueError
        For sides that don't close, and outside those ranges.

    Notes
    -----
    Heron's formula with the sides sorted and its brackets in Kahan's order: a long thin triangle keeps its digits.
    Whether a thin triangle deserves them is another matter: its area hangs on the last millimetre of the tape. Choose
    ties that make triangles about as wide as long.

    Examples
    --------
    >>> area_from_triangles_m2([(3000, 4000, 5000), (3000, 4000, 5000)])
    12.0

    References
    ----------
    W. Kahan, Miscalculating Area and Angles of a Needle-like Triangle, lecture notes, Berkeley.
    """
    if len(triangles) == 0:
        raise ValueError("triangles must be at least 1, got 0.")
    return math.fsum(_triangle_mm2(sides, f"triangle {n}") for n, sides in enumerate(triangles, start=1)) / 1e6


def triangles_from_ties(
    walls_mm: Sequence[float], ties_mm: Mapping[tuple[int, int], float]
) -> list[tuple[float, float, float]]:
    """The room cut into triangles from one corner, each by its three measured sides; empty where ties are missing.

    For rooms without a corner that points inwards: the triangles of such a room lie side by side.

    Parameters
    ----------
    walls_mm
        Wall lengths in order [mm]; wall 1 runs from corner 1 to corner 2.
    ties_mm
        Measured lengths between two corners [mm], by their numbers, the smaller first.

    Examples
    --------
    >>> triangles_from_ties([4000, 3000, 4000, 3000], {(1, 3): 5000})
    [(4000, 3000, 5000), (5000, 4000, 3000)]
    """
    corners = len(walls_mm)
    sides = {(wall, wall + 1): length for wall, length in enumerate(walls_mm[:-1], start=1)}
    sides[1, corners] = walls_mm[-1]
    sides = {**ties_mm, **sides}
    for apex in range(1, corners + 1):
        others = [(apex - 1 + step) % corners + 1 for step in range(1, corners)]
        needed = [(min(apex, other), max(apex, other)) for other in others]
        if all(pair in sides for pair in needed):
            far = [sides[min(a, b), max(a, b)] for a, b in pairwise(others)]
            near = [sides[pair] for pair in needed]
            return [(near[i], far[i], near[i + 1]) for i in range(len(far))]
    return []


def area_from_strips_m2(stations: Sequence[tuple[float, float]], *, rule: str = "trapezium") -> float:
    """Area of a room from widths measured across it [m²], not rounded.

    Parameters
    ----------
    stations
        (distance along the room, counted from anywhere, clear width there) [mm], in order, at least two. Both ends
        of the room are stations; the steps need not be equal. Where the width jumps, two stations a millimetre
        apart say so.
    rule
        "trapezium": walls straight between stations. "simpson": walls curved, a parabola through each three
        stations; an odd strip at the far end is a trapezium.

    Raises
    ------
    ValueError
        For stations out of order or in other units, an unknown rule, and steps too unequal for Simpson's.

    Examples
    --------
    A room 4 m long, 3 m wide at one end and 3.1 m at the other:

    >>> area_from_strips_m2([(0, 3000), (4000, 3100)])
    12.2

    References
    ----------
    Surveyors' offset rules, common practice. Simpson's rule for unequal steps is the integral of the parabola through
    the three widths; with equal steps it is the rule as printed.
    """
    require_one_of(rule, RULES, "rule")
    checked = _stations(stations)
    total = 0.0
    taken = 0  # strips measured so far
    if rule == "simpson":
        for first in range(0, len(checked) - 2, 2):
            total += _under_parabola(checked[first : first + 3], first + 1)
            taken = first + 2
    for (along, width), (next_along, next_width) in pairwise(checked[taken:]):
        total += (next_along - along) * (width + next_width) / 2
    return total / 1e6


def area_by_strips_m2(outline: Sequence[tuple[float, float]]) -> float:
    """Area of an outline, sliced into strips at the level of every corner [m²], not rounded.

    Between two neighbouring levels there is no corner, so each strip is one or more trapezia and the sum is exact::

           +-------+
          /   1     \\
         +           \\- - - - - -      each level runs through a corner;
         |    2       \\                width = out of the floor less into it,
         + - - - - - - +- - - - -      walls met from left to right
          \\     3     /

    Parameters
    ----------
    outline
        Corners in order round the room, either way round [mm]; the first may be given again at the end.

    Raises
    ------
    ValueError
        For fewer than 3 corners, an outline that crosses itself or encloses nothing, and other units.

    Notes
    -----
    Written without shapely and without cross products: a slip in the polygon's arithmetic is not repeated here. A slip
    in the corners is, since both start from them; to find that, measure ties or widths.

    Examples
    --------
    >>> area_by_strips_m2([(0, 0), (4200, 0), (4200, 2920), (0, 2920)])
    12.264
    """
    corners = _corners(outline)
    origin_y = float(corners[0, 1])
    x, y = (corners - corners[0]).T  # a survey far from the origin keeps its digits
    x_next, y_next = np.roll(x, -1), np.roll(y, -1)
    rising = y != y_next  # a level wall bounds strips but crosses none
    x, y, x_next, y_next = x[rising], y[rising], x_next[rising], y_next[rising]
    lower, upper = np.minimum(y, y_next), np.maximum(y, y_next)
    strips = []
    for low, high in pairwise(np.unique(y)):
        met = (lower <= low) & (upper >= high)
        lean = (x_next[met] - x[met]) / (y_next[met] - y[met])
        at_low = x[met] + lean * (low - y[met])
        at_high = x[met] + lean * (high - y[met])
        order = np.argsort(at_low + at_high, kind="stable")
        at_low, at_high = at_low[order], at_high[order]
        if np.any(np.diff(at_low) < -CROSSING_MM) or np.any(np.diff(at_high) < -CROSSING_MM):
            raise ValueError(
                f"outline crosses itself between y = {shown(origin_y + low)} and {shown(origin_y + high)} mm. "
                "Give the corners in order round the room."
            )
        widths = at_low[1::2] - at_low[::2] + at_high[1::2] - at_high[::2]
        strips.append(float((high - low) * widths.sum()) / 2)
    area = math.fsum(strips)
    if area < LEAST_AREA_MM2:
        raise ValueError("outline encloses no floor. Give the corners in order round the room.")
    return area / 1e6


def _percent(fraction: float) -> str:
    percent = 100 * fraction
    if 0 < percent < 0.0095:
        return "under 0.01 %"
    return f"{percent:.0f} %" if percent >= 10 else f"{percent:.2g} %"


def _numbers(row: object, count: int, name: str, parts: str) -> list[object]:
    # a row of an array serves as well as a tuple; text has a length too, but no numbers
    if isinstance(row, Sequence | np.ndarray) and not isinstance(row, str) and len(row) == count:
        return list(row)
    word = {2: "two", 3: "three"}[count]
    raise ValueError(f"{name} must be {word} numbers, {parts}, got {shown(row)}.")


def _triangle_mm2(sides: tuple[float, float, float], who: str) -> float:
    low, high = SIDE_LIMITS_MM
    checked = [
        require_between(side, low, high, f"{who}: side {number}", unit="mm", hint="Give millimetres: 4200 for 4.2 m.")
        for number, side in enumerate(_numbers(sides, 3, who, "its sides"), start=1)
    ]
    c, b, a = sorted(checked)
    if a < LEAST_SPAN_MM:
        raise ValueError(f"{who} has no side over {LEAST_SPAN_MM:g} mm, the longest is {shown(a)} mm. {_metres(a)}")
    excess = c - (a - b)
    if excess < -DUST * a:
        raise ValueError(
            f"{who} does not close: its longest side, {shown(a)} mm, must be at most the other two together, "
            f"{shown(b)} + {shown(c)} = {shown(b + c)} mm. Measure the three again."
        )
    return math.sqrt((a + (b + c)) * max(excess, 0.0) * (c + (a - b)) * (a + (b - c))) / 4


def _metres(value: float) -> str:
    return f"Give millimetres: {shown(value * 1000)} for {shown(value)} m."


def _stations(stations: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    if len(stations) < 2:
        raise ValueError(f"stations must be at least 2, one at each end of the room, got {len(stations)}.")
    checked: list[tuple[float, float]] = []
    for number, station in enumerate(stations, start=1):
        who = f"station {number}"
        distance, across = _numbers(station, 2, who, "distance and width")
        along = require_between(distance, -FARTHEST_STATION_MM, FARTHEST_STATION_MM, f"{who}: distance", unit="mm")
        width = require_between(across, 0, LONGEST_MM, f"{who}: width", unit="mm")
        if checked and along <= checked[-1][0]:
            raise ValueError(
                f"{who}: distance must be over {shown(checked[-1][0])} mm, that of the station before it, "
                f"got {shown(along)} mm. Give the stations in order along the room."
            )
        checked.append((along, width))
    span, widest = checked[-1][0] - checked[0][0], max(width for _, width in checked)
    for name, value in (("stations span", span), ("the widest width is", widest)):
        if value < LEAST_SPAN_MM:
            tail = _metres(value) if value else "Measure the clear width at each station."
            raise ValueError(f"{name} {shown(value)} mm, no floor is under {LEAST_SPAN_MM:g} mm. {tail}")
    return checked


def _under_parabola(three: Sequence[tuple[float, float]], first: int) -> float:
    """Integral of the parabola through three stations [mm²]."""
    (start, left), (between, middle), (end, right) = three
    one, two = between - start, end - between
    if max(one, two) > MOST_UNEVEN * min(one, two) * (1 + DUST):
        raise ValueError(
            f"stations {first} to {first + 2} are {shown(one)} and {shown(two)} mm apart: for Simpson's rule no step "
            "may be over twice its neighbour. Measure a station between, or take the trapezium rule."
        )
    weighted = (2 - two / one) * left + (one + two) ** 2 / (one * two) * middle + (2 - one / two) * right
    return (one + two) / 6 * weighted


def _corners(outline: Sequence[tuple[float, float]]) -> NDArray[np.float64]:
    if len(outline) < 3:
        raise ValueError(f"outline must have at least 3 corners, got {len(outline)}.")
    checked = []
    for number, corner in enumerate(outline, start=1):
        who = f"corner {number}"
        x, y = _numbers(corner, 2, who, "x and y")
        checked.append((require_number(x, f"{who}: x", unit="mm"), require_number(y, f"{who}: y", unit="mm")))
    corners = np.array(checked, dtype=np.float64)
    widest = float(np.ptp(corners, axis=0).max())
    if not LEAST_SPAN_MM <= widest <= LONGEST_MM:
        raise ValueError(
            f"outline must be {shown(LEAST_SPAN_MM)} to {shown(LONGEST_MM)} mm across, got {shown(widest)} mm. "
            "Give corners in millimetres: 4200 for 4.2 m."
        )
    return corners
