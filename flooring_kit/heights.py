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

from flooring_kit.checks import require_between
from flooring_kit.products import DoorBar
from flooring_kit.room import Appliance, Door, Edge, Room

LEVEL_MM = 3.0
"""A step up to this is level."""

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

PACKED = ("level", "ramp")
"""Kinds of bar that rest on both floors."""

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
    return float(beyond_mm[0] - near), float(beyond_mm[1] - far)


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
    """

    bar: DoorBar | None
    steps_mm: tuple[float, float]
    wanted: tuple[str, ...]

    @property
    def packing_mm(self) -> float:
        """What the bar is packed up by under its lower side, at the end with the larger step [mm]; 0 if even."""
        near, far = (abs(step) for step in self.steps_mm)
        uneven = abs(near - far)
        packs = self.bar is not None and self.bar.kind in PACKED  # a carpet's pile takes up the rest
        return uneven if packs and uneven > EVEN_MM else 0.0

    @property
    def packed_end(self) -> str:
        """Which end is packed: "near" the wall's first corner, "far" from it, or "" for neither."""
        if not self.packing_mm:
            return ""
        near, far = (abs(step) for step in self.steps_mm)
        return "near" if near > far else "far"

    def sentence(self) -> str:
        """The step and the bar in words."""
        near, far = self.steps_mm
        even = abs(near - far) <= EVEN_MM
        way = "up" if near + far > 0 else "down"
        if even and abs(near) < 0.5:
            step = "no step"
        elif even:
            step = f"a step {way} of {abs(near):.0f} mm"
        elif near * far < 0:
            step = f"a step of {near:+.0f} mm at the near end and {far:+.0f} mm at the far end"
        else:
            step = f"a step {way} of {abs(near):.0f} mm at the near end and {abs(far):.0f} mm at the far end"
        if self.bar is None:
            return f"{step[0].upper()}{step[1:]}: no bar on sale takes it. It wants {_or(self.wanted)}."
        packed = (
            f", packed up by {self.packing_mm:.0f} mm under its lower side at the {self.packed_end} end"
            if self.packing_mm
            else ""
        )
        return f"{step[0].upper()}{step[1:]}: {self.bar.name}{packed}."


def _or(kinds: tuple[str, ...]) -> str:
    return " or ".join(f"{'an' if kind[0] in 'aeiou' else 'a'} {kind} bar" for kind in kinds)


def bar_for(steps_mm: tuple[float, float], beyond: str, opening_mm: float, bars: Iterable[DoorBar]) -> BarChoice:
    """The bar that closes a doorway, the cheapest of those that suit.

    An uneven step takes the bar for its smaller end, packed at the other: a bar for the larger step would stand off the
    floor at the smaller one.

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
    sizes = sorted(abs(step) for step in steps_mm)
    kinds = BARS_FOR[beyond]
    smaller = sizes[0] if sizes[1] - sizes[0] > EVEN_MM else sizes[1]
    if beyond == "hard floor":
        kinds = ("level",) if sizes[1] <= LEVEL_MM else ("ramp",)
    suiting = [
        bar
        for bar in bars
        if bar.kind in kinds
        and bar.length_mm >= opening_mm
        and bar.least_step_mm - 1e-9 <= smaller <= bar.most_step_mm + 1e-9
    ]
    best = min(suiting, key=lambda bar: (_no_price_last(bar), bar.most_step_mm, bar.name), default=None)
    return BarChoice(best, (float(steps_mm[0]), float(steps_mm[1])), kinds)


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
        """What to do with the leaf, in words; the caution before any figure for a fire door."""
        if self.ease_mm is None or self.clearance_mm is None:
            told = "no leaf measured. If there is one, measure what is under it when closed"
        elif not self.ease_mm:
            told = f"nothing to take off, {self.clearance_mm:.0f} mm stay under the leaf"
        elif self.fire_door:
            told = f"it would need {self.ease_mm:.0f} mm off. Ask for a thinner floor instead"
        else:
            told = f"take {self.ease_mm:.0f} mm off the leaf"
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
        How much higher the floor gets under the leaf: new build-up less the covering taken up, -200 to 200 [mm].
    bar_mm
        How far a bar under the closed leaf stands over the new floor, 0 to 200 [mm].

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
    told = f"Stair at wall {edge.wall}: its bottom riser becomes {after:.0f} mm instead of {edge.riser_mm:.0f}"
    if edge.risers_above_mm is None:
        return [f"{told}. Measure the risers above: all of a flight should be alike."]
    uneven = after - edge.risers_above_mm
    if abs(uneven) < 0.5:
        return [f"{told}, as those above."]
    return [
        f"{told}, {abs(uneven):.0f} mm {'more' if uneven > 0 else 'less'} than those above. Uneven risers trip people: "
        "local codes say how much a flight may differ. Newel and string meet the floor too."
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
    if spare < 0:
        instead = "Lift the worktop, or keep the floor thinner."
        return f"{appliance.name}: {-spare:.0f} mm too tall when the floor is down. {instead}"
    return f"{appliance.name}: {spare:.0f} mm to spare when the floor is down."


def heights_ledger(room: Room, floors: Sequence[NewFloor], bars: Iterable[DoorBar]) -> pd.DataFrame:
    """What every doorway needs at the new height.

    Parameters
    ----------
    room
        The survey: covering taken up, floors beyond, leaves.
    floors
        The new floor at each doorway, as many as the room has.
    bars
        Bars on sale.

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
        For more or fewer floors than doorways.
    """
    if len(floors) != len(room.doors):
        raise ValueError(f"give one new floor for each of the {len(room.doors)} doorways, got {len(floors)}.")
    on_sale = list(bars)
    rows = []
    for number, (door, new) in enumerate(zip(room.doors, floors, strict=True), start=1):
        name = door.name or f"door {number}"
        choice = _bar_at(door, new, on_sale)
        over = 0.0
        if choice is not None and choice.bar is not None:
            is_hard = door.beyond is not None and door.beyond.kind == "hard floor"
            over = BAR_OVER_FLOOR_MM + (max(0.0, *choice.steps_mm) if is_hard else 0.0)
        top = max(new.tops_mm)
        leaf = leaf_ease(door, name, rise_mm=top - room.old_covering_mm, bar_mm=over)
        bar = None if choice is None else choice.bar
        rows.append(
            (
                number,
                name,
                room.old_covering_mm,
                top,
                *((math.nan, math.nan) if choice is None else choice.steps_mm),
                "" if bar is None else bar.name,
                math.nan if bar is None else door.opening_mm,
                0.0 if choice is None else choice.packing_mm,
                "" if choice is None else choice.packed_end,
                f"{name}: {_bar_words(door, choice)}",
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


def _bar_words(door: Door, choice: BarChoice | None) -> str:
    if choice is None or door.beyond is None:
        return "nothing is said of the floor beyond. Measure its top over the bare subfloor here, at both ends."
    told = choice.sentence()
    if door.beyond.kind == "same floor":
        told += " Only where the floor is broken there; else it runs through."
    return told[0].lower() + told[1:]
