"""Heights where the new floor meets something: the floor beyond a doorway, a door leaf, stairs, an appliance.

All heights are taken over this room's bare subfloor::

      here                      bar   beyond
      ======= board =======|  ___^___
      ------ underlay -----|           ===== their floor =====
      _______________________________________________ subfloor
                           step = beyond - here, at both ends of the opening

The rules are common practice, no source, unless a line says otherwise.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import pandas as pd

from flooring_kit.checks import ceil_clean, numbered, require_between
from flooring_kit.products import DoorBar
from flooring_kit.room import Appliance, Door, Edge, Room

LEVEL_MM = 3.0
"""A step up to this is level."""

RAMP_MM = 12.0
"""About the largest step a ramp is packed up to."""

EVEN_MM = 1.0
"""A step that differs by no more from end to end is even."""

BAR_OVER_FLOOR_MM = 4.0
"""How far a bar stands over the higher of the floors it lies on; from memory, measure the bar."""

OVER_BAR_MM = 2.0
"""Air between a bar and the closed leaf."""

LEDGER_COLUMNS = [
    "door",
    "name",
    "old_mm",
    "new_mm",
    "near_step_mm",
    "far_step_mm",
    "bar",
    "bar_mm",
    "packing_mm",
    "packed_end",
    "bar_says",
    "ease_mm",
    "fire_door",
    "leaf_says",
]

BARS_FOR = {
    "same floor": ("level",),
    "carpet": ("single edge",),
    "hard floor": ("level", "ramp"),
    "hearth": ("end",),
    "outside": ("end",),
}
"""Kinds of bar that close the floor against each kind of floor beyond."""

FIRE_DOOR_CAUTION = (
    "it is, or may be, a fire door: take nothing off it before its test evidence and a competent person say you may"
)


@dataclass(frozen=True)
class NewFloor:
    """The new floor's height at one doorway.

    Parameters
    ----------
    board_mm, underlay_mm, sheet_mm
        Thickness of board, underlay and vapour sheet [mm].
    levelling_mm
        Compound under it at the two ends of the opening, that nearer the wall's first corner first [mm].
    """

    board_mm: float
    underlay_mm: float
    sheet_mm: float = 0.0
    levelling_mm: tuple[float, float] = (0.0, 0.0)

    def __post_init__(self) -> None:
        require_between(self.board_mm, 1, 40, "board thickness", unit="mm")
        require_between(self.underlay_mm, 0, 30, "underlay thickness", unit="mm")
        require_between(self.sheet_mm, 0, 5, "vapour sheet thickness", unit="mm")
        for depth in self.levelling_mm:
            require_between(depth, 0, 100, "levelling", unit="mm")

    @property
    def build_up_mm(self) -> float:
        """Board, underlay and sheet [mm]."""
        return self.board_mm + self.underlay_mm + self.sheet_mm

    @property
    def tops_mm(self) -> tuple[float, float]:
        """The floor's top over the bare subfloor at both ends [mm]."""
        near, far = self.levelling_mm
        return self.build_up_mm + near, self.build_up_mm + far


def steps_mm(new: NewFloor, beyond_mm: tuple[float, float]) -> tuple[float, float]:
    """Step up to the floor beyond at both ends of an opening [mm]; below 0 it is a step down.

    Parameters
    ----------
    new
        The new floor there.
    beyond_mm
        Top of the floor beyond over this room's bare subfloor at both ends [mm].

    Examples
    --------
    >>> steps_mm(NewFloor(8, 3), (17, 20))
    (6.0, 9.0)
    """
    near, far = new.tops_mm
    return round(beyond_mm[0] - near, 3), round(beyond_mm[1] - far, 3)  # float dust makes no ramp of a level bar


@dataclass(frozen=True)
class BarChoice:
    """The bar that suits a doorway, and what else it takes.

    Parameters
    ----------
    bar
        The bar, or None where none on sale suits.
    steps_mm
        Step up at both ends of the opening [mm].
    wanted
        Kinds of bar that would do.
    opening_mm
        Clear width of the opening [mm].
    """

    bar: DoorBar | None
    steps_mm: tuple[float, float]
    wanted: tuple[str, ...]
    opening_mm: float

    @property
    def packing_mm(self) -> float:
        """What a ramp is packed up by under its lower side, at the end with the larger step [mm]; 0 if even.

        Its upper side lies on the higher floor at both ends, so where the step is larger its lower side hangs that
        much over the lower floor. Other bars take the whole of their step by themselves.
        """
        uneven = _unevenness(self.steps_mm)
        return uneven if self.bar is not None and self.bar.kind == "ramp" and uneven > EVEN_MM else 0.0

    @property
    def packed_end(self) -> str:
        """Which end is packed: "near" the wall's first corner, "far" from it, or "" for neither."""
        if not self.packing_mm:
            return ""
        near, far = (abs(step) for step in self.steps_mm)
        return "near" if near > far else "far"

    def sentence(self) -> str:
        """The step and the bar in words."""
        step = _step_words(self.steps_mm)
        step = step[0].upper() + step[1:]
        if self.bar is None and _crosses(self.steps_mm) and self.wanted == ("ramp",):
            return f"{step}: no ramp goes up at one end and down at the other. Level one of the floors first."
        if self.bar is None:
            low, high = sorted(abs(each) for each in self.steps_mm)
            span = f"{_shown(low)} to {_shown(high)}" if high - low > EVEN_MM else _shown(high)
            wanted = f"{_or(self.wanted)} for {span} mm, at least {_shown(self.opening_mm)} mm long"
            return f"{step}: no bar on sale takes it. It wants {wanted}."
        packed = (
            f", packed up by {_shown(self.packing_mm)} mm under its lower side at the {self.packed_end} end"
            if self.packing_mm
            else ""
        )
        return f"{step}: {self.bar.name}{packed}."


def _shown(length_mm: float) -> str:
    """A length to a tenth of a millimetre, as it is read."""
    return f"{round(length_mm, 1) + 0.0:g}"


def _unevenness(steps_mm: tuple[float, float]) -> float:
    """How much larger the step is at one end than at the other [mm]."""
    near, far = steps_mm
    return abs(abs(near) - abs(far))


def _crosses(steps_mm: tuple[float, float]) -> bool:
    """Whether it is a step up at one end and a step down at the other."""
    near, far = steps_mm
    return near * far < 0


def _step_words(steps_mm: tuple[float, float]) -> str:
    near, far = steps_mm
    larger = max(abs(near), abs(far))
    if larger < 0.5:
        return "no step"
    if _crosses(steps_mm):
        ends = [f"{'+' if step > 0 else '-'}{_shown(abs(step))} mm" for step in steps_mm]
        return f"a step of {ends[0]} at the near end and {ends[1]} at the far end"
    way = "up" if near + far > 0 else "down"
    if _unevenness(steps_mm) <= EVEN_MM:
        return f"a step {way} of {_shown(larger)} mm"
    return f"a step {way} of {_shown(abs(near))} mm at the near end and {_shown(abs(far))} mm at the far end"


def _or(kinds: tuple[str, ...]) -> str:
    return " or ".join(f"{'an' if kind[0] in 'aeiou' else 'a'} {kind} bar" for kind in kinds)


def bar_for(steps_mm: tuple[float, float], beyond: str, opening_mm: float, bars: Iterable[DoorBar]) -> BarChoice:
    """The bar that closes a doorway, the first of :func:`suiting_bars`.

    Parameters
    ----------
    steps_mm
        Step up at both ends [mm], as from :func:`steps_mm`.
    beyond
        Kind of floor beyond, one of those of :class:`flooring_kit.room.FloorBeyond`.
    opening_mm
        Clear width of the opening [mm]; shorter bars are not taken.
    bars
        Bars on sale.
    """
    best = next(iter(suiting_bars(steps_mm, beyond, opening_mm, bars)), None)
    return BarChoice(best, (float(steps_mm[0]), float(steps_mm[1])), _kinds(steps_mm, beyond), float(opening_mm))


def suiting_bars(
    steps_mm: tuple[float, float], beyond: str, opening_mm: float, bars: Iterable[DoorBar]
) -> list[DoorBar]:
    """Every bar on sale that closes a doorway, the cheapest first; for an uneven step the smallest ramp first.

    A ramp takes the step at its smaller end and is packed at the other, up to `RAMP_MM`: one for the larger step would
    stand off the floor at the smaller. Every other bar takes the step at both ends by itself.

    Parameters
    ----------
    steps_mm, beyond, opening_mm, bars
        As for :func:`bar_for`.
    """
    kinds = _kinds(steps_mm, beyond)
    low, high = sorted(abs(step) for step in steps_mm)
    uneven = high - low > EVEN_MM
    suiting = [
        bar
        for bar in bars
        if bar.kind in kinds and bar.length_mm >= opening_mm and _takes(bar, steps_mm, uneven=uneven)
    ]
    if uneven and "ramp" in kinds:
        return sorted(suiting, key=lambda bar: (bar.most_step_mm, _no_price_last(bar), bar.name))
    return sorted(suiting, key=lambda bar: (_no_price_last(bar), bar.most_step_mm, bar.name))


def _kinds(steps_mm: tuple[float, float], beyond: str) -> tuple[str, ...]:
    if beyond == "hard floor":
        return ("level",) if max(abs(step) for step in steps_mm) <= LEVEL_MM else ("ramp",)
    return BARS_FOR[beyond]


def _takes(bar: DoorBar, steps_mm: tuple[float, float], *, uneven: bool) -> bool:
    low, high = sorted(abs(step) for step in steps_mm)
    least, most = bar.least_step_mm - 1e-9, bar.most_step_mm + 1e-9
    if bar.kind != "ramp":
        return least <= low and high <= most
    if _crosses(steps_mm):
        return False
    return least <= low <= most and high <= max(most, RAMP_MM) if uneven else least <= high <= most


def _no_price_last(bar: DoorBar) -> float:
    return math.inf if bar.price is None else bar.price


@dataclass(frozen=True)
class LeafEase:
    """What to take off a door leaf.

    Parameters
    ----------
    door
        The door's name.
    ease_mm
        What to take off its foot, 0 for nothing; None where it was not measured [mm].
    clearance_mm
        What is left under the leaf over the new floor if nothing is taken off [mm]; None where it was not measured.
    fire_door
        Whether it is, or may be, a fire door.
    """

    door: str
    ease_mm: float | None
    clearance_mm: float | None
    fire_door: bool

    def sentence(self) -> str:
        """What to do with the leaf, in whole millimetres up; for a fire door the caution stands before any figure."""
        off = 0 if self.ease_mm is None else ceil_clean(self.ease_mm)
        if self.ease_mm is None or self.clearance_mm is None:
            told = "no leaf measured. If there is one, measure what is under it when closed"
        elif not self.ease_mm:
            told = f"nothing to take off, {_shown(self.clearance_mm)} mm stay under the leaf"
            if self.fire_door:
                told += "; check that its evidence allows so much"
        elif self.fire_door:
            told = f"it would need {off} mm off. See first whether a thinner floor or a lower bar spares it"
        else:
            told = f"take {off} mm off the leaf"
        if self.fire_door:
            return f"{self.door}: {FIRE_DOOR_CAUTION}; {told}."
        return f"{self.door}: {told}."


def leaf_ease(door: Door, name: str, *, rise_mm: float, bar_mm: float = 0.0) -> LeafEase:
    """How much to ease a door leaf so that it clears the new floor, high spots in its swing and the bar under it.

    Parameters
    ----------
    door
        The door with its leaf as it hangs now.
    name
        What the door is called.
    rise_mm
        How much higher the floor its clearance was measured over gets, -200 to 200 [mm]: new build-up less the covering
        taken up; for a leaf that swings out, over the floor beyond, only what the new floor stands higher than that.
    bar_mm
        How far a bar under the closed leaf stands over that floor, 0 to 200 [mm].

    Raises
    ------
    ValueError
        Outside those ranges.

    Notes
    -----
    Ease = rise + clearance wanted - present clearance, if more than 0. A leaf that swings in must clear the highest
    spot in its swing by as much; over the bar it needs `OVER_BAR_MM`.

    Examples
    --------
    18 mm of carpet come out, 11 mm go in, 5 mm are there and 6 wanted: nothing to take off.

    >>> from flooring_kit.room import Leaf
    >>> leaf_ease(Door(1, 500, 762, leaf=Leaf(5)), "study", rise_mm=11 - 18).ease_mm
    0.0
    """
    require_between(rise_mm, -200, 200, "rise of the floor", unit="mm")
    require_between(bar_mm, 0, 200, "bar over the floor", unit="mm")
    leaf = door.leaf
    if leaf is None:
        return LeafEase(name, None, None, door.fire_door)
    over_floor = leaf.clearance_mm - rise_mm
    over_swing = over_floor - (leaf.high_spot_mm if leaf.swings == "in" else 0.0)
    ease = max(0.0, leaf.wanted_mm - over_swing, (OVER_BAR_MM - (over_floor - bar_mm)) if bar_mm else 0.0)
    return LeafEase(name, ease, over_floor, door.fire_door)


def riser_sentences(edge: Edge, *, rise_mm: float) -> list[str]:
    """What the new floor does to the bottom riser of a stair; empty where no riser was measured.

    Parameters
    ----------
    edge
        The wall the stair goes up from, with its riser and those above.
    rise_mm
        How much higher the floor gets: new build-up less the covering taken up, -200 to 200 [mm].
    """
    require_between(rise_mm, -200, 200, "rise of the floor", unit="mm")
    if edge.riser_mm is None:
        return []
    after = edge.riser_mm - rise_mm
    told = f"Stair at wall {edge.wall}: its bottom riser becomes {_shown(after)} mm instead of {_shown(edge.riser_mm)}"
    if edge.risers_above_mm is None:
        return [f"{told}. Measure the risers above: all of a flight should be alike."]
    uneven = after - edge.risers_above_mm
    if abs(uneven) < 0.5:
        return [f"{told}, as those above."]
    return [
        f"{told}, {_shown(abs(uneven))} mm {'more' if uneven > 0 else 'less'} than those above. "
        "Uneven risers trip people: local codes say how much a flight may differ. Newel and string meet the floor too."
    ]


def appliance_sentence(appliance: Appliance, *, rise_mm: float) -> str:
    """Whether an appliance still goes in and out when the floor has grown.

    Parameters
    ----------
    appliance
        Its height, and the space it has now.
    rise_mm
        How much higher the floor gets: new build-up less the covering taken up, -200 to 200 [mm].

    Examples
    --------
    >>> appliance_sentence(Appliance("dishwasher", 818, 832), rise_mm=11)
    'dishwasher: 3 mm to spare when the floor is down.'
    """
    require_between(rise_mm, -200, 200, "rise of the floor", unit="mm")
    spare = appliance.space_mm - rise_mm - appliance.height_mm
    if spare < -0.05:
        instead = "Lift the worktop, or keep the floor thinner."
        return f"{appliance.name}: {_shown(-spare)} mm too tall when the floor is down. {instead}"
    return f"{appliance.name}: {_shown(spare)} mm to spare when the floor is down."


def heights_ledger(
    room: Room,
    floors: Sequence[NewFloor],
    bars: Iterable[DoorBar],
    *,
    breaks: Iterable[int] | None = None,
    bar_over_floor_mm: float = BAR_OVER_FLOOR_MM,
) -> pd.DataFrame:
    """What every doorway needs at the new height.

    Parameters
    ----------
    room
        The survey: covering taken up, floors beyond, leaves.
    floors
        The new floor at each doorway, as many as the room has.
    bars
        Bars on sale.
    breaks
        Numbers of the doorways where a floor that goes on beyond must break; it runs through the others. None where
        that is not settled: each of them is given its bar.
    bar_over_floor_mm
        How far a bar stands over the higher of the floors it lies on, 0 to 30 [mm].

    Returns
    -------
    DataFrame
        One row a doorway: `door` (number), `name`, `old_mm`, `new_mm` (covering taken up, and new build-up with the
        levelling at its higher end), `near_step_mm`, `far_step_mm` (step up to the floor beyond; NaN where nothing is
        said of it), `bar` (a product's name; "" for none), `bar_mm` (its length: the clear opening; NaN for none),
        `packing_mm`, `packed_end`, `bar_says`, `ease_mm` (NaN where not measured), `fire_door`, `leaf_says`.

    Raises
    ------
    ValueError
        For more or fewer floors than doorways, a break at a doorway that is not there, a bar out of its range.
    """
    if len(floors) != len(room.doors):
        raise ValueError(f"give one new floor for each of the {len(room.doors)} doorways, got {len(floors)}.")
    require_between(bar_over_floor_mm, 0, 30, "bar over the floor", unit="mm")
    numbers = range(1, len(room.doors) + 1)
    broken = set(numbers) if breaks is None else set(breaks)
    if strange := broken - set(numbers):
        raise ValueError(f"the room has {len(room.doors)} doorways, got a break at {numbered('door', strange)}.")
    on_sale = list(bars)
    rows = []
    for number, door, new in zip(numbers, room.doors, floors, strict=True):
        name = door.name or f"door {number}"
        choice = _bar_at(door, new, on_sale)
        goes_on = door.beyond is not None and door.beyond.kind == "same floor"
        runs_through = goes_on and number not in broken
        bar = None if choice is None or runs_through else choice.bar
        rise, over = _leaf_over(door, new, room.old_covering_mm)
        leaf = leaf_ease(door, name, rise_mm=rise, bar_mm=0.0 if bar is None else over + bar_over_floor_mm)
        says = _runs_through_words(choice) if choice is not None and runs_through else _bar_words(choice)
        if goes_on and breaks is None:
            says += " Only where the floor is broken there; else it runs through."
        rows.append(
            (
                number,
                name,
                room.old_covering_mm,
                max(new.tops_mm),
                *((math.nan, math.nan) if choice is None else choice.steps_mm),
                "" if bar is None else bar.name,
                math.nan if bar is None else door.opening_mm,
                0.0 if choice is None or bar is None else choice.packing_mm,
                "" if choice is None or bar is None else choice.packed_end,
                f"{name}: {says}",
                math.nan if leaf.ease_mm is None else leaf.ease_mm,
                door.fire_door,
                leaf.sentence(),
            )
        )
    return pd.DataFrame(rows, columns=LEDGER_COLUMNS)


def _bar_at(door: Door, new: NewFloor, bars: Sequence[DoorBar]) -> BarChoice | None:
    if door.beyond is None:
        return None
    return bar_for(steps_mm(new, door.beyond.heights_mm), door.beyond.kind, door.opening_mm, bars)


def _bar_words(choice: BarChoice | None) -> str:
    if choice is None:
        return "nothing is said of the floor beyond. Measure its top over the bare subfloor here, at both ends."
    told = choice.sentence()
    return told[0].lower() + told[1:]


def _leaf_over(door: Door, new: NewFloor, old_covering_mm: float) -> tuple[float, float]:
    """How much higher the floor under a leaf gets, and how far the higher floor at the bar stands over it [mm].

    A leaf that swings out hangs over the floor beyond: a new floor no higher than that takes nothing from it.
    """
    top = max(new.tops_mm)
    if door.leaf is not None and door.leaf.swings == "out":
        there = old_covering_mm if door.beyond is None else max(door.beyond.heights_mm)
        return max(0.0, top - there), 0.0
    is_hard = door.beyond is not None and door.beyond.kind == "hard floor"
    higher = max(0.0, *steps_mm(new, door.beyond.heights_mm)) if door.beyond is not None and is_hard else 0.0
    return top - old_covering_mm, higher


def _runs_through_words(choice: BarChoice) -> str:
    told = "the same floor runs through, no bar."
    if max(abs(step) for step in choice.steps_mm) > EVEN_MM:
        told += f" But the heights say {_step_words(choice.steps_mm)}: measure again."
    return told
