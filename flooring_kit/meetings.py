"""Where parts of a floor that were laid apart come together, and how they are kept in line until then.

A floor that starts on both sides of a chimney breast, or in two doorways, is laid as two floors until a row reaches
across. That row clicks into both only if they stand on one line: a string line from the start, or a start at the
opposite wall, where nothing has to meet.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import shapely
from shapely import Polygon

from flooring_kit.area import net_floor
from flooring_kit.checks import counted
from flooring_kit.setting_out import Plan

REACH_MM = 0.05
LEAST_TOUCH_MM = 5.0


@dataclass(frozen=True)
class Meeting:
    """A row that clicks into parts of the floor laid apart before it.

    Parameters
    ----------
    row
        The row that reaches across.
    parts
        How many parts it joins.
    from_row
        The first row laid in the part that was begun last.
    in_doorways
        Whether all parts but one lie in doorways of the start wall, before the row along that wall.
    """

    row: int
    parts: int
    from_row: int
    in_doorways: bool

    def sentence(self) -> str:
        """What to do about it.

        >>> Meeting(4, 2, 1, False).sentence()
        'Row 4 joins 2 parts of the floor laid apart until then: set both to one string line from row 1 on.'
        """
        if self.in_doorways:
            return (
                f"Row {self.row} runs along the wall and into {counted(self.parts, 'doorway')} begun before it: set "
                "that row to a string line and fit the doorway pieces to it."
            )
        return (
            f"Row {self.row} joins {self.parts} parts of the floor laid apart until then: set "
            f"{'both' if self.parts == 2 else 'all'} to one string line from row {self.from_row} on."
        )


def meetings(plan: Plan) -> list[Meeting]:
    """Every row that joins parts of the floor laid apart before it, in laying order.

    Parameters
    ----------
    plan
        The plan.
    """
    runs = _runs(plan)
    inside = net_floor(replace(plan.room, doors=()), plan.rules)
    in_doorway = [shape.intersection(inside).area < shape.area / 2 for _, shape in runs]
    parts: list[_Part] = []
    found: list[Meeting] = []
    for (row, shape), recessed in zip(runs, in_doorway, strict=True):
        met = [part for part in parts if any(_meets(before, shape) for before in part.ends.get(row - 1, ()))]
        apart = [part for part in met if not part.in_doorway]
        doorways = [part for part in met if part.in_doorway]
        if not recessed and doorways:
            found.append(Meeting(row, len(doorways), row - 1, True))
        if len(apart) > 1:
            found.append(Meeting(row, len(apart), max(part.from_row for part in apart), False))
        joined = _Part(min([row, *(part.from_row for part in met)]), recessed)
        for part in met:
            parts.remove(part)
            joined.take(part)
        joined.ends.setdefault(row, []).append(shape)
        parts.append(joined)
    return found


@dataclass(eq=False)
class _Part:
    """What is laid and holds together, by the runs of each row."""

    from_row: int
    in_doorway: bool
    ends: dict[int, list[Polygon]] = field(default_factory=dict)

    def take(self, other: _Part) -> None:
        for row, shapes in other.ends.items():
            self.ends.setdefault(row, []).extend(shapes)


def _runs(plan: Plan) -> list[tuple[int, Polygon]]:
    """Row and shape of every run, in laying order."""
    runs: list[tuple[int, list[Polygon]]] = []
    for row, shape, goes_on in zip(plan.pieces["row"], plan.pieces["shape"], plan.joined["left"], strict=True):
        if goes_on and runs:
            runs[-1][1].append(shape)
        else:
            runs.append((int(row), [shape]))
    return [(row, shapely.union_all(shapes)) for row, shapes in runs]


def _meets(one: Polygon, other: Polygon) -> bool:
    """Whether two runs touch over more than the contract's 5 mm."""
    shared = shapely.intersection(one.buffer(REACH_MM, join_style="mitre"), other)
    return bool(shared.length / 2 > LEAST_TOUCH_MM)
