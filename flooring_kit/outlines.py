"""Outlines made of corners: what a room and what stands in it must be, whoever made them.

Lengths in mm, survey axes. Corners count from 1.
"""

from __future__ import annotations

import numbers
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from shapely import Polygon

from flooring_kit.checks import met, require_number, shown

Corner = tuple[float, float]

SHORTEST_ROOM_SIDE_MM = 300.0
LONGEST_ROOM_SIDE_MM = 100_000.0
LEAST_LONGER_SIDE_MM = 1000.0
"""A room shorter than this both ways is far more likely a room in centimetres."""

LEAST_OBSTACLE_SIDE_MM = 10.0


def corner_at(value: Any, name: str) -> Corner:
    """A place in the survey as a pair of finite numbers.

    Raises
    ------
    ValueError
        For anything else.
    """
    try:
        pair = () if isinstance(value, str | Mapping) else tuple(value)
    except TypeError:
        pair = ()
    if len(pair) != 2:
        got = f"({', '.join(map(shown, pair))})" if 0 < len(pair) <= 4 else met(value)
        raise ValueError(f"{name} must be a pair (x, y) in mm, got {got}.")
    x, y = (_plain(part, f"{name}: {axis}") for part, axis in zip(pair, "xy", strict=True))
    return x, y


def _plain(value: Any, name: str) -> float:
    number = require_number(value, name, unit="mm")
    return int(value) if isinstance(value, numbers.Integral) else number


def corners_of(outline: Any, who: str) -> tuple[Corner, ...]:
    """Corners as a tuple of pairs, from any list or array of them.

    Raises
    ------
    ValueError
        For fewer than three corners, anything but pairs of finite numbers, or a corner given twice.
    """
    corners = pairs_of(outline, who, "outline", "corner")
    if len(corners) < 3:
        raise ValueError(f"{who} an outline needs 3 corners or more, got {len(corners)}.")
    repeated = next(repeats(corners), "")
    if repeated:
        raise ValueError(f"{who} {repeated}")
    return corners


def pairs_of(values: Any, who: str, name: str, one: str) -> tuple[Corner, ...]:
    """Pairs of finite numbers as a tuple, from any list or array of them.

    Parameters
    ----------
    values
        The pairs.
    who
        Whose they are, with its colon.
    name, one
        What the list is called, and one of it.

    Raises
    ------
    ValueError
        For anything else.
    """
    if isinstance(values, str | Mapping) or not isinstance(values, Iterable):
        raise ValueError(f"{who} {name} must be a list of {one}s (x, y) in mm, got {met(values)}.")
    return tuple(corner_at(pair, f"{who} {one} {number}") for number, pair in enumerate(values, start=1))


def require_sound(shape: Polygon, who: str, around: str) -> None:
    """Pass if the shape encloses something and does not cross itself.

    Raises
    ------
    ValueError
        Otherwise.
    """
    if not shape.is_valid or shape.area == 0:
        raise ValueError(f"{who} the outline crosses or touches itself. Give the corners in order round {around}.")


def repeats(outline: Sequence[Corner]) -> Iterator[str]:
    """A sentence for each corner that stands where an earlier one does."""
    first: dict[Corner, int] = {}
    last = len(outline)
    for number, corner in enumerate(outline, start=1):
        earlier = first.setdefault(corner, number)
        if earlier == number:
            continue
        if number == last and earlier == 1:
            next_step = "The outline closes by itself: leave the last corner out."
        elif outline[number - 2] == corner:
            next_step = "Leave one of the two out."
        else:
            next_step = "An outline may not pass one point twice."
        at = f"[{corner[0]:g}, {corner[1]:g}] mm"
        yield f"corner {number} repeats corner {earlier}, both at {at}. {next_step}"


def extents(outline: Sequence[Corner]) -> tuple[float, float]:
    """Shorter and longer overall size along the survey axes [mm]."""
    xs, ys = zip(*outline, strict=True)
    shorter, longer = sorted((max(xs) - min(xs), max(ys) - min(ys)))
    return shorter, longer


def unit_fault(outline: Sequence[Corner], least_mm: float = LEAST_LONGER_SIDE_MM) -> str:
    """The fault of a room too small to be one, most likely surveyed in other units; or nothing."""
    _, longer = extents(outline)
    if longer >= least_mm:
        return ""
    hint = ""
    if longer >= 100:
        hint = f" This looks like centimetres: write {longer * 10:g} for {longer:g} cm."
    elif longer >= SHORTEST_ROOM_SIDE_MM / 1000:
        hint = f" This looks like metres: write {longer * 1000:g} for {longer:g} m."
    limits = f"{least_mm:g} to {LONGEST_ROOM_SIDE_MM:g} mm"
    return f"outline: the longer side of the room must be {limits} overall, got {longer:g} mm.{hint}"


def obstacle_size_fault(outline: Sequence[Corner]) -> str:
    """The fault of an obstacle too small to be one, most likely in metres; or nothing."""
    _, longer = extents(outline)
    if not 0 < longer < LEAST_OBSTACLE_SIDE_MM:
        return ""
    return (
        f"its longer side must be at least {LEAST_OBSTACLE_SIDE_MM:g} mm overall, got {longer:g} mm. "
        f"This looks like metres: write {longer * 1000:g} for {longer:g} m."
    )
