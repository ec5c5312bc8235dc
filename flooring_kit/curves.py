"""Walls that are not straight: arcs, walls read off a string line, and the areas beside them.

One sign for everything here: positive is to the **left** of the way from `start` to `end`, seen from above::

                  . - + - .          rise > 0
             . '      |      ' .
    start  +----------+----------+  end
             '        |        '
                ' - . + . - '        rise < 0

Round a room taken anticlockwise the floor lies on the left, so a wall that stands back from its string is negative;
round a room taken clockwise it is positive.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely import LineString

from flooring_kit.checks import DUST, ceil_clean, require_between, require_number, shown

Corner = tuple[float, float]

SHORTEST_CHORD_MM, LONGEST_CHORD_MM = 10.0, 200_000.0
LEAST_RISE_MM = 1.0
"""Less than any wall is called round for; what comes in below it was meant in metres."""

MOST_BOW_MM = 300.0
"""Farthest a wall may stand off its string line. More is a corner."""

LEAST_READING_MM = 0.1
"""Finest offset a rule shows; readings that all stay below it were meant in metres."""

AT_CORNER_MM = 0.5
"""A reading this close to a corner is the corner's own."""

FINEST_WITHIN_MM, COARSEST_WITHIN_MM = 0.01, 10.0
LONGEST_OFFSET_MM = 100_000.0


def arc_points(start: Corner, end: Corner, rise_mm: float, *, within_mm: float = 0.2) -> tuple[Corner, ...]:
    """Corners between the two ends of a circular arc, chopped into the fewest equal chords that stay near it.

    Parameters
    ----------
    start, end
        The ends of the chord [mm], 10 mm to 200 m apart.
    rise_mm
        How far the middle of the arc stands off the middle of the chord [mm]: positive to the left of the way from
        `start` to `end`, negative to the right, 0 for a straight wall. At most a half circle, half the chord.
    within_mm
        Farthest the arc may bulge beyond a chord [mm], 0.01 to 10.

    Returns
    -------
    tuple of (x, y)
        Points on the arc [mm], in order, both ends left out; none where one chord is near enough.

    Raises
    ------
    ValueError
        Outside those ranges. Past a half circle the wall turns back beyond its own ends: that is two arcs.

    Examples
    --------
    A half circle of radius 100, for which four chords bulge 100 (1 - cos 22.5°) = 7.6 mm:

    >>> [(round(x, 1), round(y, 1)) for x, y in arc_points((0, 0), (200, 0), 100, within_mm=8)]
    [(29.3, 70.7), (100.0, 100.0), (170.7, 70.7)]

    References
    ----------
    Circle through three points: radius = chord² / (8 rise) + rise / 2, any handbook of geometry.
    """
    string = _string_line(start, end)
    half = string.length_mm / 2
    rise = _rise(rise_mm, half)
    within = require_between(within_mm, FINEST_WITHIN_MM, COARSEST_WITHIN_MM, "within", unit="mm")
    if abs(rise) <= within:
        return ()
    radius, half_angle = _circle(half, abs(rise))
    # a chord that spans the angle 2a bulges radius (1 - cos a) = 2 radius sin²(a / 2)
    widest = 2 * math.asin(math.sqrt(within / (2 * radius)))
    chords = ceil_clean(half_angle / widest)
    points = []
    for number in range(1, chords):
        angle = half_angle * (2 * number / chords - 1)
        # cos a - cos b as a product: a shallow arc has a long radius, and the difference would drown in it
        off = 2 * radius * math.sin((half_angle + angle) / 2) * math.sin((half_angle - angle) / 2)
        points.append(string.point(half + radius * math.sin(angle), math.copysign(off, rise)))
    return tuple(points)


def bow_points(
    start: Corner, end: Corner, readings: Sequence[tuple[float, float]], *, within_mm: float = 0.2
) -> tuple[Corner, ...]:
    """Corners of a bowed wall between its two ends, read off a string line stretched from one to the other.

    Parameters
    ----------
    start, end
        The corners the string runs between [mm], 10 mm to 200 m apart.
    readings
        (distance from `start` along the string, offset of the wall from the string) [mm], in order. Offsets are
        positive to the left of the way from `start` to `end`, negative to the right, at most 300. The string
        touches both corners: they need no reading, and one given there must be 0.
    within_mm
        A reading that the wall without it passes this close is left out [mm], 0 to 10; 0 keeps every bend.

    Returns
    -------
    tuple of (x, y)
        Points of the wall [mm], in order, both ends left out.

    Raises
    ------
    ValueError
        For readings out of order, off the wall, over 300 mm, or in other units.

    Notes
    -----
    The wall is taken as straight between readings. A curve through them would look smoother and claim more than
    was measured; read at shorter distances where the wall bends.

    Examples
    --------
    >>> bow_points((0, 0), (3600, 0), [(1400, -9), (2800, -14)])
    ((1400.0, -9.0), (2800.0, -14.0))
    """
    string = _string_line(start, end)
    within = require_between(within_mm, 0, COARSEST_WITHIN_MM, "within", unit="mm")
    inner = _readings_between(readings, string.length_mm)
    if not inner:
        return ()
    wall = LineString([(0.0, 0.0), *inner, (string.length_mm, 0.0)]).simplify(within, preserve_topology=False)
    return tuple(string.point(along, off) for along, off in wall.coords[1:-1])


def bow_mm(readings: Sequence[tuple[float, float]]) -> float:
    """How far a wall departs from straight: largest less smallest offset from the string [mm].

    The two corners touch the string and count as 0, so a wall that only bulges has a bow as large as its bulge.

    Parameters
    ----------
    readings
        (distance from the first corner, offset from the string) [mm], as for `bow_points`; none for a straight wall.

    Raises
    ------
    ValueError
        For readings out of order, over 300 mm, or in other units.

    Examples
    --------
    >>> bow_mm([(900, 4), (1800, -7), (2700, -2)])
    11.0
    """
    offsets = [0.0, *(off for _, off in _readings_between(readings, None))]
    return max(offsets) - min(offsets)


def arc_radius_mm(chord_mm: float, rise_mm: float) -> float:
    """Radius of the circular arc over a chord [mm], not rounded.

    Parameters
    ----------
    chord_mm
        Straight length between the ends of the arc [mm], 10 to 200 000.
    rise_mm
        Rise of the arc in the middle [mm], 1 to half the chord.

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    >>> arc_radius_mm(21_000, 6000)
    12187.5

    References
    ----------
    Radius = chord² / (8 rise) + rise / 2, any handbook of geometry; the example is one of help.matheass.eu.
    """
    hint = "Give millimetres: 2400 for 2.4 m."
    half = require_between(chord_mm, SHORTEST_CHORD_MM, LONGEST_CHORD_MM, "chord", unit="mm", hint=hint) / 2
    require_between(rise_mm, LEAST_RISE_MM, half, "rise", unit="mm")
    return _circle(half, rise_mm)[0]


def segment_area_m2(chord_mm: float, rise_mm: float) -> float:
    """Area between a circular arc and its chord [m²], not rounded.

    Parameters
    ----------
    chord_mm
        Straight length between the ends of the arc [mm], 10 to 200 000.
    rise_mm
        Rise of the arc in the middle [mm], 0 to half the chord; take the area away where the arc bulges in.

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    A half circle of radius 1 m, pi / 2:

    >>> round(segment_area_m2(2000, 1000), 4)
    1.5708

    References
    ----------
    Area = radius² (angle - sin angle) / 2, the angle at the centre in radians (CRC Standard Mathematical Tables).
    """
    hint = "Give millimetres: 2400 for 2.4 m."
    half = require_between(chord_mm, SHORTEST_CHORD_MM, LONGEST_CHORD_MM, "chord", unit="mm", hint=hint) / 2
    rise = _rise(rise_mm, half)
    if rise < 0:
        raise ValueError(f"rise must be 0 or more here, got {shown(rise)} mm. Take the area away where it bulges in.")
    if rise == 0:
        return 0.0
    radius, half_angle = _circle(half, rise)
    return radius**2 * _less_its_sine(2 * half_angle) / 2 / 1e6


def area_by_trapezium_m2(offsets_mm: Sequence[float], spacing_mm: float) -> float:
    """Area between a base line and a wall by the trapezoidal rule [m²], not rounded.

    Exact where the wall is straight between offsets.

    Parameters
    ----------
    offsets_mm
        Square distances from the base line to the wall at equal steps along it [mm], both ends included, at least
        two. Negative where the wall crosses the line: that area is taken away.
    spacing_mm
        The step [mm], 10 to 100 000.

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    >>> area_by_trapezium_m2([0, 300, 400, 300, 0], 500)
    0.5

    References
    ----------
    Surveyors' offset rules, common practice: spacing x (half the two end offsets + all the others).
    """
    offsets, spacing = _offsets(offsets_mm), _spacing(spacing_mm)
    return float(spacing * (offsets.sum() - (offsets[0] + offsets[-1]) / 2)) / 1e6


def area_by_simpson_m2(offsets_mm: Sequence[float], spacing_mm: float) -> float:
    """Area between a base line and a wall by Simpson's rule [m²], not rounded.

    A parabola is laid through each three offsets, so a round wall loses less than by trapezia. The rule takes strips
    in pairs; an odd strip at the far end is a trapezium.

    Parameters
    ----------
    offsets_mm
        Square distances from the base line to the wall at equal steps along it [mm], both ends included, at least
        two. Negative where the wall crosses the line: that area is taken away.
    spacing_mm
        The step [mm], 10 to 100 000.

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    >>> round(area_by_simpson_m2([0, 300, 400, 300, 0], 500), 6)
    0.533333

    References
    ----------
    Surveyors' offset rules, common practice: spacing / 3 x (first + last + 4 x the odd strips' ends + 2 x the rest).
    """
    offsets, spacing = _offsets(offsets_mm), _spacing(spacing_mm)
    paired = len(offsets) - (len(offsets) + 1) % 2  # an even number of strips has an odd number of offsets
    left, middle, right = offsets[: paired - 1 : 2], offsets[1:paired:2], offsets[2:paired:2]
    area = spacing / 3 * float((left + 4 * middle + right).sum())
    if paired < len(offsets):
        area += spacing * float(offsets[-2] + offsets[-1]) / 2
    return area / 1e6


@dataclass(frozen=True)
class _StringLine:
    """A straight line from a corner, its direction a unit vector, and points beside it."""

    start: Corner
    along: Corner
    length_mm: float

    def point(self, along_mm: float, left_mm: float) -> Corner:
        """The point so far along the line and so far to the left of it."""
        (x, y), (tx, ty) = self.start, self.along
        return x + tx * along_mm - ty * left_mm, y + ty * along_mm + tx * left_mm


def _string_line(start: Corner, end: Corner) -> _StringLine:
    (x0, y0), (x1, y1) = _corner(start, "start"), _corner(end, "end")
    length = require_between(
        math.hypot(x1 - x0, y1 - y0),
        SHORTEST_CHORD_MM,
        LONGEST_CHORD_MM,
        "distance from start to end",
        unit="mm",
        hint="Give corners in millimetres: 2400 for 2.4 m.",
    )
    return _StringLine((x0, y0), ((x1 - x0) / length, (y1 - y0) / length), length)


def _corner(corner: Corner, name: str) -> Corner:
    x, y = _pair(corner, name, "x and y")
    return require_number(x, f"{name}: x", unit="mm"), require_number(y, f"{name}: y", unit="mm")


def _pair(pair: object, name: str, parts: str) -> tuple[object, object]:
    # a row of an array serves as well as a tuple; text has a length too, but no numbers
    if isinstance(pair, Sequence | np.ndarray) and not isinstance(pair, str) and len(pair) == 2:
        return pair[0], pair[1]
    raise ValueError(f"{name} must be two numbers, {parts}, got {shown(pair)}.")


def _rise(rise_mm: float, half_chord_mm: float) -> float:
    rise = require_number(rise_mm, "rise", unit="mm")
    if abs(rise) > half_chord_mm * (1 + DUST):
        raise ValueError(
            f"rise must be at most half the chord, {half_chord_mm:.10g} mm (a half circle), got {shown(rise)} mm. "
            "Beyond it the wall is more than one arc: give a corner where it is widest."
        )
    if 0 < abs(rise) < LEAST_RISE_MM:
        raise ValueError(
            f"rise must be 0 or at least {LEAST_RISE_MM:g} mm, got {shown(rise)} mm. "
            f"Give millimetres: {shown(rise * 1000)} for {shown(rise)} m."
        )
    return rise


def _circle(half_chord: float, rise: float) -> tuple[float, float]:
    """Radius [mm] and half the angle at the centre [radians] of the arc over a chord."""
    return (half_chord**2 + rise**2) / (2 * rise), 2 * math.atan(rise / half_chord)


def _less_its_sine(angle: float) -> float:
    """angle - sin(angle), by its series where the difference would lose its digits."""
    if angle > 0.1:
        return angle - math.sin(angle)
    square = angle * angle
    return angle * square / 6 * (1 - square / 20 * (1 - square / 42 * (1 - square / 72)))


def _readings_between(readings: Sequence[tuple[float, float]], length_mm: float | None) -> list[tuple[float, float]]:
    """The readings between the corners, checked; a length of None where only their order can be."""
    inner: list[tuple[float, float]] = []
    length = math.inf if length_mm is None else length_mm
    reached = -1.0
    for number, reading in enumerate(readings, start=1):
        who = f"reading {number}"
        distance, offset = _pair(reading, who, "distance and offset")
        along = require_number(distance, f"{who}: distance", unit="mm")
        off = require_number(offset, f"{who}: offset", unit="mm")
        if not 0 <= along <= length + AT_CORNER_MM:
            room = "0 or more" if length_mm is None else f"0 to {length:.10g} mm, the length of the wall"
            raise ValueError(f"{who}: distance must be {room}, got {shown(along)} mm.")
        if along <= reached:
            raise ValueError(
                f"{who}: distance must be over {shown(reached)} mm, that of the reading before it, "
                f"got {shown(along)} mm. Give the readings in order from the first corner."
            )
        reached = along
        if abs(off) > MOST_BOW_MM:
            raise ValueError(
                f"{who}: offset must be within {MOST_BOW_MM:g} mm of the string, got {shown(off)} mm. "
                "A wall farther off has a corner there."
            )
        if AT_CORNER_MM < along < length - AT_CORNER_MM:
            inner.append((along, off))
        elif off:
            raise ValueError(
                f"{who}: offset must be 0 at a corner, where the string touches, got {shown(off)} mm. "
                "With the string on blocks, take their thickness from every reading."
            )
    _require_millimetres(inner, length)
    return inner


def _require_millimetres(inner: Sequence[tuple[float, float]], length: float) -> None:
    """Pass unless the readings look like metres."""
    farthest = max((along for along, _ in inner), default=0.0)
    if inner and math.isfinite(length) and farthest * 1000 <= length + AT_CORNER_MM:
        raise ValueError(
            f"readings reach only {shown(farthest)} mm along a wall of {length:.10g} mm. "
            f"Give millimetres: {shown(farthest * 1000)} for {shown(farthest)} m."
        )
    largest = max((abs(off) for _, off in inner), default=0.0)
    if 0 < largest < LEAST_READING_MM:
        raise ValueError(
            f"offsets are all under {LEAST_READING_MM:g} mm, the largest {shown(largest)} mm. "
            f"Give millimetres: {shown(largest * 1000)} for {shown(largest)} m."
        )


def _offsets(offsets_mm: Sequence[float]) -> NDArray[np.float64]:
    if len(offsets_mm) < 2:
        raise ValueError(f"offsets must be at least 2, one at each end, got {len(offsets_mm)}.")
    limit = LONGEST_OFFSET_MM
    checked = [require_between(off, -limit, limit, f"offset {n}", unit="mm") for n, off in enumerate(offsets_mm, 1)]
    return np.array(checked, dtype=np.float64)


def _spacing(spacing_mm: float) -> float:
    hint = "Give millimetres: 500 for 0.5 m."
    return require_between(spacing_mm, 10, LONGEST_OFFSET_MM, "spacing", unit="mm", hint=hint)
