"""Ways to lay one floor: both directions from both start corners, each worked out in full, one recommended.

The rules of the trade conflict in real houses, so none decides alone. The ways are compared point by point in a fixed
order; the first point that tells two ways apart is the reason given. The user decides.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import pandas as pd

from flooring_kit.answers import Estimate, estimate
from flooring_kit.checks import counted
from flooring_kit.choices import Choices
from flooring_kit.doorways import door_frames
from flooring_kit.meetings import Meeting, meetings
from flooring_kit.products import Catalogue
from flooring_kit.room import Room
from flooring_kit.rules import Direction, Start
from flooring_kit.sawing.cuts import cut_list
from flooring_kit.setting_out import pattern_of
from flooring_kit.setting_out.frame import laying_frame

WAYS_COLUMNS = [
    "direction",
    "start",
    "start_wall",
    "rows",
    "boards",
    "packs",
    "cross_cuts",
    "rips",
    "shaped",
    "narrowest_strip_mm",
    "pattern",
    "broken_rules",
    "needs_break",
    "frames",
    "meetings",
    "price",
]
STARTS: tuple[Start, Start] = ("first", "opposite")
ACROSS_DEGREES, TOWARDS_DEGREES = 60.0, 45.0
"""Boards that cross old floorboards at the first or more lie across them; boards within the second of the light's own
direction run towards it."""

HARDNESS = {1: "easy", 2: "fair", 3: "awkward", 4: "hard", 5: "hardest"}
PATTERN_WORDS = ("irregular", "fairly irregular", "repeats visible", "regular")


@dataclass(frozen=True, eq=False)
class Way:
    """One way to lay the floor.

    Parameters
    ----------
    direction, start
        The direction asked for, and the start corner.
    estimate
        All the answers for it.
    """

    direction: Direction
    start: Start
    estimate: Estimate

    @cached_property
    def cuts(self) -> pd.DataFrame:
        """The cut list."""
        return cut_list(self.estimate.plan)

    @cached_property
    def frames(self) -> pd.DataFrame:
        """The door frames, as from :func:`flooring_kit.door_frames`."""
        return door_frames(self.estimate.plan)

    @cached_property
    def meetings(self) -> list[Meeting]:
        """Rows that join parts of the floor laid apart."""
        return meetings(self.estimate.plan)

    @property
    def broken_rules(self) -> int:
        """Rules broken, slight tongues beside doorways left out."""
        return sum(not fault.slight for fault in self.estimate.plan.broken_rules)

    @property
    def needs_break(self) -> bool:
        """Whether the floor is longer, along or across, than the board's leaflet allows in one stretch."""
        along, across = self.estimate.plan.longest_run_mm
        board = self.estimate.plan.board
        return along > board.longest_along_mm + 1e-6 or across > board.longest_across_mm + 1e-6

    @property
    def pattern(self) -> str:
        """How irregular the joints are, in a word or two."""
        return pattern_of(self.estimate.plan.row_joints_mm, self.estimate.plan.board.length_mm).word

    @property
    def words(self) -> str:
        """The way in words: direction and start wall."""
        run = f"the {self.direction} way" if isinstance(self.direction, str) else f"at {self.direction:g}°"
        return f"boards {run} from wall {self.estimate.plan.start_wall}"


@dataclass(frozen=True)
class Point:
    """Something ways are compared on: smaller is better.

    Parameters
    ----------
    worth
        A number for a way.
    words
        What the better way has over the other one, given both.
    """

    worth: Callable[[Way], float]
    words: Callable[[Way, Way], str]


def ways_to_lay(room: Room, choices: Choices, catalogue: Catalogue, *, quick: bool = False) -> list[Way]:
    """Both directions from both start corners; the chosen direction too where it is an angle.

    Parameters
    ----------
    room, choices, catalogue
        As for :func:`flooring_kit.estimate`; direction and start are what is varied.
    quick
        True for plans good enough for a slider in motion.
    """
    directions: list[Direction] = ["long", "short"]
    if choices.laying.direction not in directions:
        directions.append(choices.laying.direction)
    found = []
    for direction in directions:
        for start in STARTS:
            laying = replace(choices.laying, direction=direction, start=start, first_row_width_mm=None)
            found.append(Way(direction, start, estimate(room, replace(choices, laying=laying), catalogue, quick=quick)))
    return found


def ways_table(ways: Sequence[Way]) -> pd.DataFrame:
    """The ways side by side.

    Returns
    -------
    DataFrame
        One row a way, in the order given: `direction`, `start`, `start_wall`, `rows`, `boards` (in the plan), `packs`,
        `cross_cuts` (pieces cut to length), `rips` (pieces ripped), `shaped` (notches, holes, tapers and slants),
        `narrowest_strip_mm`, `pattern`, `broken_rules`, `needs_break`, `frames` (each door frame with the side of
        the work and the rows it is met in, and how hard that is), `meetings`, `price` (with tax, NaN where something
        is not priced).
    """
    return pd.DataFrame(
        [
            (
                way.direction,
                way.start,
                way.estimate.plan.start_wall,
                way.estimate.plan.rows,
                way.estimate.plan.boards_needed,
                way.estimate.take_off.boards.packs,
                int(way.cuts["saw_mm"].notna().sum()),
                int(way.cuts["rip_mm"].notna().sum()),
                int(way.cuts["shaped"].sum()),
                min(part.narrowest_strip_mm for part in way.estimate.plan.row_widths),
                way.pattern,
                way.broken_rules,
                way.needs_break,
                "; ".join(_frame_words(frame) for frame in way.frames.itertuples()),
                len(way.meetings),
                float("nan") if way.estimate.price.not_priced else float(way.estimate.price.with_tax),
            )
            for way in ways
        ],
        columns=WAYS_COLUMNS,
    )


def _frame_words(frame: Any) -> str:
    rows = frame.rows
    where = f"row {rows[0]}" if len(rows) == 1 else f"rows {rows[0]} to {rows[-1]}"
    return f"{frame.name}: {frame.met_at}, {where}, {HARDNESS[frame.hardness]}"


@dataclass(frozen=True, eq=False)
class Recommendation:
    """The way the kit would take, and why.

    Parameters
    ----------
    way
        The way recommended.
    reasons
        A sentence for every other way: what the recommended one has over it.
    """

    way: Way
    reasons: tuple[str, ...]

    def sentence(self) -> str:
        """The recommendation and its reasons; the decision stays with the reader."""
        return " ".join([f"We would lay {self.way.words}.", *self.reasons, "You decide."])


def recommended(ways: Sequence[Way]) -> Recommendation:
    """The way that comes first when all are compared point by point.

    Parameters
    ----------
    ways
        As from :func:`ways_to_lay`; at least one.

    Raises
    ------
    ValueError
        For no ways at all.
    """
    if not ways:
        raise ValueError("There are no ways to choose from.")
    best = min(ways, key=lambda way: tuple(point.worth(way) for point in POINTS))
    return Recommendation(best, tuple(_reason(best, other) for other in ways if other is not best))


def _reason(best: Way, other: Way) -> str:
    for point in POINTS:
        if point.worth(best) < point.worth(other):
            return f"Against {other.words}: {point.words(best, other)}."
    return f"Against {other.words}: nothing tells them apart."


def _along_floorboards(way: Way) -> bool:
    """Whether the boards lie along old floorboards instead of across them."""
    room = way.estimate.room
    if room.floorboards_run is None:
        return False
    return _angle_between(laying_frame(room, room.floorboards_run).along, way.estimate.plan.along) < ACROSS_DEGREES


def _light_across(way: Way) -> bool:
    """Whether the main light falls across the boards and shows their edges."""
    room = way.estimate.room
    if room.main_light is None:
        return False
    (x0, y0), (x1, y1) = room.walls[room.main_light - 1]
    return _angle_between((x1 - x0, y1 - y0), way.estimate.plan.along) < 90.0 - TOWARDS_DEGREES


def _angle_between(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Angle between two lines, 0 to 90 [degrees]."""
    dot = abs(one[0] * other[0] + one[1] * other[1])
    return math.degrees(math.acos(min(1.0, dot / (math.hypot(*one) * math.hypot(*other)))))


def _hardness(way: Way) -> int:
    return int(way.frames["hardness"].sum())


def _frames_words(better: Way, worse: Way) -> str:
    def where(way: Way) -> str:
        return " and ".join(way.frames.sort_values("door")["met_at"].unique())

    frames = "door frame is" if len(better.frames) == 1 else "door frames are"
    return f"the {frames} met at the {where(better)}, not at the {where(worse)}"


POINTS = (
    Point(
        lambda way: way.broken_rules,
        lambda a, b: f"laying rules are broken in {counted(a.broken_rules, 'place')}, not in {b.broken_rules}",
    ),
    Point(lambda way: way.needs_break, lambda a, b: "the floor needs no break"),
    Point(_along_floorboards, lambda a, b: "the boards lie across the old floorboards, not along them"),
    Point(
        lambda way: way.estimate.take_off.boards.packs,
        lambda a, b: f"{counted(a.estimate.take_off.boards.packs, 'pack')}, not {b.estimate.take_off.boards.packs}",
    ),
    Point(_hardness, _frames_words),
    Point(
        lambda way: len(way.meetings),
        lambda a, b: "fewer parts of the floor are laid apart and have to come together on one line",
    ),
    Point(lambda way: PATTERN_WORDS.index(way.pattern), lambda a, b: f"its joints are {a.pattern}, not {b.pattern}"),
    Point(_light_across, lambda a, b: "the boards run towards the main light, so edges show less"),
    Point(
        lambda way: way.estimate.plan.boards_needed,
        lambda a, b: f"{counted(a.estimate.plan.boards_needed, 'board')}, not {b.estimate.plan.boards_needed}",
    ),
    Point(lambda way: len(way.cuts["saw_mm"].dropna()), lambda a, b: "it takes fewer cuts"),
)
