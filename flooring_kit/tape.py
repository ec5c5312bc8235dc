"""A room taped wall by wall: its corners by least squares, and which measurement is most likely wrong.

The walk keeps the walls on the left hand, so it goes clockwise seen from above. Corner 1 is where wall 1 starts,
at (0, 0); wall 1 runs along +x; x right, y up, mm::

    1 --- wall 1 ---> 2     each wall ends in a turn to the next, + to the right:
    ^ .             |       90 at every corner of a rectangle, -90 where the room goes
    w   . tie 1-3   w       round a chimney breast. All turns of a room add up to 360.
    4     .         2
    |        .      v       A tie is any other straight measurement between two corners.
    4 <--- wall 3 - 3
"""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import pandas as pd
import shapely
from shapely import LineString, Polygon

from flooring_kit.checks import FaultsError, counted, require_between, require_number, require_whole

Corner = tuple[float, float]
Pair = tuple[int, int]
Array = npt.NDArray[np.float64]

SOURCE = "tape survey"
SHORTEST_MM, LONGEST_MM = 10.0, 100_000.0
STEEPEST_TURN_DEGREES = 175.0

CRITICAL_W = 3.29
"""A standardised residual beyond this is no chance of 1 in 1000 (Baarda 1968, from memory; the normal law gives
3.2905, two-sided)."""

HAIR_W = 0.1
"""Standardised residuals this close cannot be told apart: at 3.3 one is 1.4 times as likely as the other."""

UNCHECKED_FRACTION = 0.01
"""A measurement whose slips show by less than this is not checked: of a slip of 100 mm less than 1 mm is left."""

LOOSE_FRACTION = 0.02
"""A way to move the corners is loose if it changes the lengths by less than this part of itself: the corners would be
known to 50 times the tape's standard deviation only, 150 mm for 3 mm."""

MOST_STRAIGHT_DEGREES = 20.0
"""A corner that turns more is no corner in a straight wall, whatever the tolerance."""

WEAK_TURN_RADIANS = 1.0
"""Standard deviation of a turn where the turns fill in for ties: so weak that no wall gives way by 0.01 mm."""

SURE_W = 4.13
"""A slip of so many standard deviations of its residual is found in 80 of 100 cases: 3.29 + 0.84 of the normal law
(Baarda 1968, from memory)."""

MOST_TIES_NAMED = 3
MOST_CORNERS_COMPARED = 40


@dataclass(frozen=True)
class TapeWall:
    """One wall as taped.

    Parameters
    ----------
    length_mm
        From its first corner to its second, at floor level [mm], 10 to 100 000.
    turn_degrees
        Change of heading at its far end, + to the right [degrees], -175 to 175; roughly right is enough.
    """

    length_mm: float
    turn_degrees: float = 90.0


@dataclass(frozen=True)
class Tie:
    """A straight measurement between two corners: a diagonal, or a wall measured a second time.

    Parameters
    ----------
    corner_a, corner_b
        Corner numbers, from 1; corner 1 is where wall 1 starts.
    length_mm
        Between the two corners [mm], 10 to 100 000.
    """

    corner_a: int
    corner_b: int
    length_mm: float


@dataclass(frozen=True)
class TapeFit:
    """The corners that suit the walls and ties best, and how well they suit.

    Parameters
    ----------
    outline
        Corners in order, clockwise, rounded to 0.1 mm [mm]; of all measurements, a suspect one among them.
    measurements
        One row a measurement, walls first: `what` ("wall 1", "tie 1-3"), `measured_mm`, `fitted_mm`, `residual_mm`
        (fitted less measured: negative where the tape says too much), `standardised` (the residual over its own
        standard deviation, Baarda's w; NaN where nothing checks the measurement), `checked_fraction` (the part of a
        slip in it that shows in its residual, 0 to 1; they add up to the redundancy), `shows_from_mm` (the least slip
        in it that the test finds in 80 of 100 cases; infinite where nothing checks it).
    misclosure_mm
        How far from corner 1 a walk ends that follows the walls with the stated turns alone [mm].
    redundancy
        Surplus measurements: walls and ties less the 2n - 3 numbers that fix n corners; 0 where the turns fill in.
    out_of_square
        One row a corner: `corner`, `stated_degrees`, `turn_degrees` (fitted), `off_mm_per_m` (how far the second wall
        departs from the stated turn, + to the right).
    suspects
        Names of the measurements most likely wrong: none, one, or several that cannot be told apart.
    verdict
        One sentence: whether the measurements agree, and which to measure again.
    """

    outline: tuple[Corner, ...]
    measurements: pd.DataFrame
    misclosure_mm: float
    redundancy: int
    out_of_square: pd.DataFrame
    suspects: tuple[str, ...]
    verdict: str

    @property
    def suspect(self) -> str | None:
        """The one measurement most likely wrong; None where there is none, or where several share the suspicion."""
        return self.suspects[0] if len(self.suspects) == 1 else None


def fit_tape(
    walls: Sequence[TapeWall],
    ties: Sequence[Tie],
    *,
    tape_sigma_mm: float = 3.0,
    turn_tolerance_degrees: float = 5.0,
) -> TapeFit:
    """Corners of a taped room by least squares, rounded to 0.1 mm, with a verdict on the measurements.

    Parameters
    ----------
    walls
        In order round the room, walls on the left hand; 3 or more.
    ties
        Between any two corners. None at all: the turns fill in, and nothing is checked.
    tape_sigma_mm
        Standard deviation of one measurement [mm], 0.1 to 50; the same for every length (see Notes).
    turn_tolerance_degrees
        How far a corner may turn from what was stated [degrees], 0.1 to 45.

    Raises
    ------
    FaultsError
        All faults at once: wrong values; a room walked the other way round; a shape the measurements do not fix;
        walls that cross; turns that would need more than the tolerance.

    Notes
    -----
    Walls and ties are the observations. Turns only say where to start and what to refuse: a room out of square is not
    pulled square. Where there are no ties at all they enter as observations with a standard deviation of one radian:
    walls keep their lengths and the misclosure goes into the turns, as little in each as will do.

    One standard deviation for all lengths, no part per million: a class II tape may be 0.3 mm + 0.2 mm per m out (2.3
    mm in 10 m; European rules for material measures, from memory), less than hooking, sag and reading add.

    w = residual / (sigma * sqrt(r)), r being the measurement's redundancy number. The largest |w| beyond 3.29 is the
    suspect: one slip is supposed. One surplus measurement gives all it checks the same |w|: it shows that, not what.

    References
    ----------
    Baarda, W. (1968), A testing procedure for use in geodetic networks (from memory); least squares as in any
    textbook of adjustment.

    Examples
    --------
    >>> walls = [TapeWall(4000), TapeWall(3000), TapeWall(4000), TapeWall(3000)]
    >>> fit = fit_tape(walls, [Tie(1, 3, 5000), Tie(2, 4, 5000)])
    >>> fit.outline
    ((0.0, 0.0), (4000.0, 0.0), (4000.0, -3000.0), (0.0, -3000.0))
    >>> fit.redundancy, fit.suspect
    (1, None)
    """
    _refuse(_input_faults(walls, ties, tape_sigma_mm, turn_tolerance_degrees))
    _refuse(_walk_faults(walls, turn_tolerance_degrees))
    net = _net(walls, ties, float(tape_sigma_mm))
    stated = np.radians([wall.turn_degrees for wall in walls])
    lengths = net.measured[: len(walls)]
    start = _start(lengths, stated)
    if ties:
        # a corner in a straight wall has its mirror image across the line: what holds it must hold it on the line too
        near = math.radians(min(turn_tolerance_degrees, MOST_STRAIGHT_DEGREES))
        _refuse(_loose_faults(_start(lengths, stated, straight_within=near), net.pairs))
        corners = _settled(start, net)
        _refuse(_loose_faults(corners, net.pairs))
    else:
        corners = _settled(start, net, turns=stated)
    misclosure = abs(complex(_walked(lengths, stated)[-1]))
    check = _checked(corners, net)
    suspects, verdict = _judged(corners, net, check, misclosure)
    off = _off(corners, stated)
    tail = "Check the lengths, the ties among them, and the turns."
    if check.largest > CRITICAL_W:
        tail = verdict
    elif not ties:
        tail = f"Walked with the stated turns, the walls miss closing by {misclosure:.0f} mm. Check lengths and turns."
    turned = _turn_faults(walls, np.degrees(off), turn_tolerance_degrees, tail)
    _refuse([*turned, *_crossing_faults(corners)])
    at_corner = np.roll(np.arange(len(walls)), 1)  # corner 1 turns at the far end of the last wall
    out_of_square = pd.DataFrame(
        {
            "corner": np.arange(1, len(walls) + 1),
            "stated_degrees": np.degrees(stated)[at_corner],
            "turn_degrees": np.degrees(stated + off)[at_corner],
            "off_mm_per_m": 1000 * np.tan(off)[at_corner],
        }
    )
    # adding 0.0 turns -0.0 into 0.0
    outline = tuple((round(float(x), 1) + 0.0, round(float(y), 1) + 0.0) for x, y in corners)
    return TapeFit(outline, _table(net, check), misclosure, net.redundancy, out_of_square, suspects, verdict)


def _refuse(faults: list[str]) -> None:
    if faults:
        raise FaultsError(SOURCE, faults)


def _input_faults(
    walls: Sequence[TapeWall], ties: Sequence[Tie], tape_sigma_mm: float, turn_tolerance_degrees: float
) -> list[str]:
    faults: list[str] = []

    def held(check: Any, *args: Any, **options: Any) -> Any:
        try:
            return check(*args, **options)
        except ValueError as slip:
            faults.append(str(slip))
            return None

    held(require_between, tape_sigma_mm, 0.1, 50, "tape sigma", unit="mm")
    held(require_between, turn_tolerance_degrees, 0.1, 45, "turn tolerance", unit="degrees")
    if len(walls) < 3:
        faults.append(f"a room has at least 3 walls, got {len(walls)}. List them in order round the room.")
    most = STEEPEST_TURN_DEGREES
    hint = "Right is +, left is -; straight on is 0."
    for number, wall in enumerate(walls, start=1):
        held(_require_length, wall.length_mm, f"wall {number}: length")
        held(require_between, wall.turn_degrees, -most, most, f"wall {number}: turn", unit="degrees", hint=hint)
    for number, tie in enumerate(ties, start=1):
        last = len(walls)
        hint = f"The room has {counted(last, 'wall')}, so {counted(last, 'corner')}."
        if last >= 3:
            a = held(require_whole, tie.corner_a, 1, last, f"tie {number}: corner", hint=hint)
            b = held(require_whole, tie.corner_b, 1, last, f"tie {number}: corner", hint=hint)
            if a == b is not None:
                faults.append(f"tie {number}: both its ends are corner {a}. Give two different corners.")
        held(_require_length, tie.length_mm, f"tie {number}: length")
    return list(dict.fromkeys(faults))


def _require_length(value: object, name: str) -> None:
    length = require_number(value, name, unit="mm")
    hint = f"This looks like metres: write {length * 1000:g} for {length:g} m." if 0 < length < SHORTEST_MM else ""
    require_between(value, SHORTEST_MM, LONGEST_MM, name, unit="mm", hint=hint)


def _walk_faults(walls: Sequence[TapeWall], tolerance_degrees: float) -> list[str]:
    """Faults of walls that no room can have, whatever its ties."""
    faults = []
    total, slack = sum(wall.turn_degrees for wall in walls), len(walls) * tolerance_degrees + 1e-6
    if abs(total - 360) > slack:
        hint = "Check the signs: + to the right, - to the left; and that no wall is missing."
        if abs(total + 360) <= slack:
            hint = "This is the mirror image, walked anticlockwise: keep the walls on your left, turns to the right +."
        faults.append(f"the turns must add up to 360 degrees, got {total:g} degrees. {hint}")
    around = sum(wall.length_mm for wall in walls)
    for number, wall in enumerate(walls, start=1):
        others = around - wall.length_mm
        if wall.length_mm >= others:
            faults.append(
                f"wall {number} is {wall.length_mm:g} mm long and all others together {others:g} mm: "
                f"they cannot meet its ends. Check its length."
            )
    return faults


@dataclass(frozen=True)
class _Net:
    """Every length observed, walls first; corners count from 0."""

    names: tuple[str, ...]
    pairs: tuple[Pair, ...]
    measured: Array
    sigma_mm: float
    corners: int

    @property
    def redundancy(self) -> int:
        return max(0, len(self.pairs) - (2 * self.corners - 3))

    @property
    def free_columns(self) -> Any:
        """Corner 1 stays at (0, 0) and corner 2 on the x axis: the numbers left to move."""
        return np.r_[2, 4 : 2 * self.corners]

    def without(self, index: int) -> _Net:
        keep = [i for i in range(len(self.pairs)) if i != index]
        names, pairs = tuple(self.names[i] for i in keep), tuple(self.pairs[i] for i in keep)
        return _Net(names, pairs, self.measured[keep], self.sigma_mm, self.corners)


def _net(walls: Sequence[TapeWall], ties: Sequence[Tie], sigma_mm: float) -> _Net:
    count = len(walls)
    names = [f"wall {number}" for number in range(1, count + 1)]
    seen: Counter[str] = Counter()
    for tie in ties:
        name = f"tie {tie.corner_a:.0f}-{tie.corner_b:.0f}"
        seen[name] += 1
        names.append(name if seen[name] == 1 else f"{name} ({seen[name]})")
    pairs = [(i, (i + 1) % count) for i in range(count)]
    pairs += [(int(tie.corner_a) - 1, int(tie.corner_b) - 1) for tie in ties]
    measured = np.array([wall.length_mm for wall in walls] + [tie.length_mm for tie in ties], dtype=np.float64)
    return _Net(tuple(names), tuple(pairs), measured, sigma_mm, count)


def _walked(lengths: Array, turns: Array) -> npt.NDArray[np.complex128]:
    """Far ends of the walls, x + iy, as walked from 0 along +x with these turns [radians]."""
    headings = -np.concatenate([[0.0], np.cumsum(turns[:-1])])
    return np.asarray(np.cumsum(lengths * np.exp(1j * headings)))


def _start(lengths: Array, turns: Array, *, straight_within: float = 0.0) -> Array:
    """A closed shape near the walk: what is over in the turns shared evenly, the misclosure by distance walked.

    Turns up to `straight_within` [radians] are made 0, and their corners stay in line.
    """
    bent = np.abs(turns) > straight_within
    if straight_within == 0 or not bent.any():
        bent[:] = True
    turns = np.where(bent, turns - (turns.sum(where=bent) - 2 * math.pi) / bent.sum(), 0.0)
    ends = _walked(lengths, turns)
    closed = np.roll(ends - ends[-1] * np.cumsum(lengths) / lengths.sum(), 1)
    closed = (closed - closed[0]) * np.exp(-1j * np.angle(closed[1] - closed[0]))
    return np.column_stack([closed.real, closed.imag])


def _lengths(corners: Array, pairs: Sequence[Pair]) -> tuple[Array, Array]:
    """Lengths between pairs of corners, and how they change with x and y of every corner."""
    a, b = np.array(pairs).T
    steps = corners[b] - corners[a]
    lengths = np.maximum(np.hypot(*steps.T), 1e-9)
    units = steps / lengths[:, None]
    slopes = np.zeros((len(pairs), corners.size))
    rows = np.arange(len(pairs))
    for axis in (0, 1):
        slopes[rows, 2 * a + axis] = -units[:, axis]
        slopes[rows, 2 * b + axis] = units[:, axis]
    return lengths, slopes


def _off(corners: Array, stated: Array) -> Array:
    """How far the turns at the far ends of the walls depart from those stated, + to the right [radians]."""
    steps = np.roll(corners, -1, axis=0) - corners
    headings = np.arctan2(steps[:, 1], steps[:, 0])
    return np.asarray((headings - np.roll(headings, -1) - stated + math.pi) % (2 * math.pi) - math.pi)


def _settled(start: Array, net: _Net, turns: Array | None = None) -> Array:
    """Corners with the least sum of squared residuals; `turns` [radians] are weak observations where given."""
    from scipy.optimize import least_squares  # 0.2 s: only when a tape survey is fitted

    free = net.free_columns

    def corners_of(unknowns: Array) -> Array:
        flat = np.zeros(2 * net.corners)
        flat[free] = unknowns
        return flat.reshape(-1, 2)

    def residuals(unknowns: Array) -> Array:
        corners = corners_of(unknowns)
        found = (_lengths(corners, net.pairs)[0] - net.measured) / net.sigma_mm
        return found if turns is None else np.concatenate([found, _off(corners, turns) / WEAK_TURN_RADIANS])

    def slopes(unknowns: Array) -> Array:
        return _lengths(corners_of(unknowns), net.pairs)[1][:, free] / net.sigma_mm

    tight = {"ftol": 1e-14, "xtol": 1e-14, "gtol": 1e-14}
    jacobian = slopes if turns is None else "2-point"
    found = least_squares(residuals, start.ravel()[free], jac=jacobian, method="lm", **tight)
    return corners_of(found.x)


def _loose_faults(corners: Array, pairs: Sequence[Pair]) -> list[str]:
    """A fault where corners can move and every measured length stays, with the ties that would stop them."""
    missing = _loose_moves(corners, pairs).shape[1]
    if not missing:
        return []
    ties = _ties_to_measure(corners, pairs, min(missing, MOST_TIES_NAMED))
    fault = "the walls and ties do not fix the shape"
    if not ties:
        return [f"{fault}: it is too flat, or too little is measured across it. Check the lengths."]
    if missing == 1:
        return [f"{fault}: the distance {ties[0]} can change with every length kept. Measure that diagonal as a tie."]
    named = _listed(ties)
    if missing > len(ties):
        return [f"{fault}: {missing} distances can change with every length kept. Measure more ties, such as {named}."]
    return [f"{fault}: the distances {named} can change with every length kept. Measure these diagonals as ties."]


def _loose_moves(corners: Array, pairs: Sequence[Pair]) -> Array:
    """Ways to move the corners, one a column, that keep all lengths; the whole room moved or turned is none of them."""
    middle = corners - corners.mean(axis=0)
    rigid = np.zeros((corners.size, 3))
    rigid[0::2, 0], rigid[1::2, 1] = 1.0, 1.0
    rigid[0::2, 2], rigid[1::2, 2] = -middle[:, 1], middle[:, 0]
    rigid /= np.linalg.norm(rigid, axis=0)
    # the rigid moves stand among the rows, so that they count as held
    _, sizes, ways = np.linalg.svd(np.vstack([_lengths(corners, pairs)[1], rigid.T]), full_matrices=True)
    held = np.zeros(len(ways), dtype=bool)
    held[: len(sizes)] = sizes > LOOSE_FRACTION
    return np.asarray(ways[~held].T, dtype=np.float64)


def _ties_to_measure(corners: Array, pairs: Sequence[Pair], most: int) -> list[str]:
    """Ties that would fix the shape, the one that tells most first; across open floor where there is one."""
    known = {frozenset(pair) for pair in pairs}
    reach = len(corners) if len(corners) <= MOST_CORNERS_COMPARED else 2
    others = [(a, b) for a, b in itertools.combinations(range(len(corners)), 2) if b - a <= reach]
    others = [pair for pair in others if frozenset(pair) not in known]
    floor = Polygon(corners).buffer(1.0)
    is_open = np.array([floor.covers(LineString(corners[list(pair)])) for pair in others])
    found: list[Pair] = []
    while others and len(found) < most:
        moves = _loose_moves(corners, [*pairs, *found])
        tells = np.linalg.norm(_lengths(corners, others)[1] @ moves, axis=1).round(6)
        best = int(np.where(is_open & (tells > LOOSE_FRACTION), tells + 10, tells).argmax())
        if tells[best] <= LOOSE_FRACTION:
            break
        found.append(others[best])
    return [f"{a + 1}-{b + 1}" for a, b in found]


@dataclass(frozen=True)
class _Check:
    """What the residuals of a fit say: each in mm, the part of a slip that it shows, and Baarda's w."""

    residuals: Array
    checked: Array
    seen: npt.NDArray[np.bool_]
    w: Array

    @property
    def largest(self) -> float:
        return float(np.abs(self.w[self.seen]).max(initial=0.0))


def _checked(corners: Array, net: _Net) -> _Check:
    lengths, slopes = _lengths(corners, net.pairs)
    checked = np.zeros(len(lengths))
    if net.redundancy:
        # redundancy numbers: 1 less the diagonal of the hat matrix; all sigmas alike, so they drop out
        basis, _ = np.linalg.qr(slopes[:, net.free_columns])
        checked = np.clip(1 - (basis**2).sum(axis=1), 0.0, 1.0)
    residuals = lengths - net.measured
    seen = checked > UNCHECKED_FRACTION
    w = np.full(len(lengths), np.nan)
    w[seen] = residuals[seen] / (net.sigma_mm * np.sqrt(checked[seen]))
    return _Check(residuals, checked, seen, w)


def _table(net: _Net, check: _Check) -> pd.DataFrame:
    shows_from = np.full(len(check.w), np.inf)
    shows_from[check.seen] = SURE_W * net.sigma_mm / np.sqrt(check.checked[check.seen])
    return pd.DataFrame(
        {
            "what": net.names,
            "measured_mm": net.measured,
            "fitted_mm": net.measured + check.residuals,
            "residual_mm": check.residuals,
            "standardised": check.w,
            "checked_fraction": check.checked,
            "shows_from_mm": shows_from,
        }
    )


def _judged(corners: Array, net: _Net, check: _Check, misclosure_mm: float) -> tuple[tuple[str, ...], str]:
    """The suspects and the verdict."""
    if net.redundancy == 0:
        return (), _nothing_checked(net, misclosure_mm)
    if net.redundancy == 1:
        return (), _one_check(net, check)
    if check.largest <= CRITICAL_W:
        return (), _agreement(net, check)
    top = [int(i) for i in np.flatnonzero(np.where(check.seen, np.abs(check.w), 0.0) >= check.largest - HAIR_W)]
    return tuple(net.names[i] for i in top), _suspicion(corners, net, top)


def _nothing_checked(net: _Net, misclosure_mm: float) -> str:
    if len(net.pairs) < 2 * net.corners - 3:
        return (
            f"Nothing was checked: without ties the shape rests on the walls and the stated turns, which miss closing "
            f"by {misclosure_mm:.0f} mm; measure the diagonals."
        )
    return (
        f"Nothing was checked: {len(net.pairs)} measurements are just enough to fix the shape, so a wrong one does not "
        f"show and nothing can tell which it is; measure at least two more ties."
    )


def _one_check(net: _Net, check: _Check) -> str:
    names = [net.names[i] for i in np.flatnonzero(check.seen)]
    if check.largest <= CRITICAL_W:
        return (
            f"The measurements agree within what a tape of {net.sigma_mm:g} mm allows, but one check cannot tell which "
            f"is wrong if one is; it checks {_listed(names)}."
        )
    slips = np.abs(check.residuals[check.seen] / check.checked[check.seen])
    low, high = round(float(slips.min())), round(float(slips.max()))
    by = f"{low} mm" if low == high else f"{low} to {high} mm"
    return (
        f"Something is wrong by about {by}, but one check cannot tell which of {_listed(names, 'or')} it is; "
        f"measure one more tie, or these again."
    )


def _suspicion(corners: Array, net: _Net, top: list[int]) -> str:
    """Which measurement to take again: the slip is what it is out by when the rest is fitted without it."""
    words = []
    for i in top:
        rest = net.without(i)
        settled = _settled(corners, rest)
        over = float(net.measured[i] - _lengths(settled, [net.pairs[i]])[0][0])
        words.append(f"{net.names[i]}, about {abs(over):.0f} mm too {'long' if over > 0 else 'short'}")
    if len(top) > 1:
        both = "both" if len(top) == 2 else "them all"
        return f"Wrong is {'; or '.join(words)}; the others cannot tell which: measure {both} again."
    more = _checked(settled, rest).largest > CRITICAL_W
    tail = "; the rest still disagrees without it, so more than one is wrong" if more else ""
    return f"Most likely wrong is {words[0]}: measure it again{tail}."


def _agreement(net: _Net, check: _Check) -> str:
    from scipy.special import chdtri

    scatter = float((check.residuals**2).sum()) / net.sigma_mm**2
    if scatter > chdtri(net.redundancy, 0.001):
        times = math.sqrt(scatter / net.redundancy)
        return (
            f"No single measurement stands out, but together they scatter {times:.1f} times as much as a tape of "
            f"{net.sigma_mm:g} mm should: measure again with more care."
        )
    weakest = int(check.checked.argmin())
    if check.seen.all():
        sure = SURE_W * net.sigma_mm / math.sqrt(check.checked[weakest])
        tail = f"{net.names[weakest]} shows a slip only from {sure:.0f} mm"
    else:
        tail = f"nothing checks {_listed([net.names[i] for i in np.flatnonzero(~check.seen)])}"
    return (
        f"The measurements agree within what a tape of {net.sigma_mm:g} mm allows: "
        f"the largest correction is {np.abs(check.residuals).max():.1f} mm; {tail}."
    )


def _listed(names: Sequence[str], last: str = "and") -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} {last} {names[-1]}"


def _turn_faults(walls: Sequence[TapeWall], off_degrees: Array, tolerance_degrees: float, tail: str) -> list[str]:
    """Faults of corners that would have to turn more or less than was stated; `tail` closes the last."""
    faults = []
    for number, (wall, off) in enumerate(zip(walls, off_degrees, strict=True), start=1):
        if abs(off) > tolerance_degrees + 1e-6:
            limits = f"{tolerance_degrees:g} degrees of the stated {wall.turn_degrees:g}"
            needs = f"{wall.turn_degrees + off:.1f}"
            faults.append(f"wall {number}: turn must be within {limits}, but the lengths need {needs}.")
    return [*faults[:-1], f"{faults[-1]} {tail}"] if faults else []


def _crossing_faults(corners: Array) -> list[str]:
    """A fault where walls meet that should not, or the room came out as its mirror image."""
    ring = Polygon(corners)
    if ring.is_valid and not ring.exterior.is_ccw:
        return []
    next_step = "Check the lengths and the signs of the turns: + to the right, - to the left."
    lines = [LineString([corner, corners[(i + 1) % len(corners)]]) for i, corner in enumerate(corners)]
    for one, other in itertools.combinations(range(len(lines)), 2):
        if other - one not in (1, len(lines) - 1) and lines[one].intersects(lines[other]):
            x, y = shapely.get_coordinates(shapely.intersection(lines[one], lines[other]))[0]
            return [f"walls {one + 1} and {other + 1} meet near ({x:.0f}, {y:.0f}) mm, so this is no room. {next_step}"]
    return [f"the walls fold back on themselves or run anticlockwise. {next_step}"]
