"""The plan: pieces, boards, a bound, the rules that could not be held, and what was asked for."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import pandas as pd
import shapely
from shapely import MultiPolygon, Polygon

from flooring_kit.area import parts_of
from flooring_kit.products import Board
from flooring_kit.room import Room
from flooring_kit.rules import LayingRules, Start
from flooring_kit.setting_out.faults import BrokenRule
from flooring_kit.setting_out.frame import LayingFrame, start_wall


@dataclass(frozen=True)
class FirstRow:
    """Where laying starts.

    Parameters
    ----------
    start
        "first" or "opposite": one of the two start corners for boards of one hand.
    width_mm
        Width of the row at the start wall [mm, whole tenths]; None lets the kit choose.
    """

    start: Start = "first"
    width_mm: float | None = None


@dataclass(frozen=True)
class Search:
    """How far the search goes.

    Parameters
    ----------
    quick
        True gives a good plan at once, for a slider in motion; False settles within about a second.
    seed
        Another whole number gives another, equally good plan.
    boards_for_pattern
        Boards beyond the fewest that may be spent on a more irregular pattern, 0 to 5.
    """

    quick: bool = False
    seed: int = 0
    boards_for_pattern: int = 0


@dataclass(frozen=True)
class RowWidths:
    """The first-row width taken, and what else it could have been.

    Parameters
    ----------
    first_row_width_mm
        Width of the row at the start wall [mm].
    narrowest_strip_mm
        Narrowest strip any stop-point gets [mm].
    allowed_bands_mm
        First-row widths that leave every stop-point the narrowest row or more [whole mm, closed bands].
    chosen_by_kit
        False where the user set the width.
    """

    first_row_width_mm: float
    narrowest_strip_mm: float
    allowed_bands_mm: tuple[tuple[float, float], ...]
    chosen_by_kit: bool


@dataclass(frozen=True, eq=False)
class Plan:
    """A floor that can be laid.

    Attributes
    ----------
    room, board, rules
        What it was made for; `rules` with the board's leaflet figures put in.
    along, across
        Unit vectors in survey axes: along the boards left to right, and away from the start wall.
    floor
        The net floor [mm, survey axes].
    pieces : DataFrame
        One row a piece in laying order: piece (label), row, place, board, along_mm, across_mm, length_mm,
        width_mm, shape (visible face, survey axes).
    joined : DataFrame
        One row a piece, same index: left, right, back, front: which ends and edges meet a neighbour.
    boards_needed, boards_bound
        Boards the pieces are sawn from, and a number no plan with these row widths can go below, runs that one
        board spans laid in one piece.
    broken_rules
        What the floor could not hold.
    row_widths
        First-row width and alternatives, one for each connected part of the floor, largest part first.
    strips : DataFrame
        What the first-row width leaves at every stop-point: beside, x_mm, y_mm, strip_mm.
    row_joints_mm
        A joint of each row that has one (the row's longest run), along the boards from one line for all [mm].
    """

    room: Room
    board: Board
    rules: LayingRules
    along: tuple[float, float]
    across: tuple[float, float]
    floor: Polygon | MultiPolygon
    pieces: pd.DataFrame
    joined: pd.DataFrame
    boards_needed: int
    boards_bound: int
    broken_rules: tuple[BrokenRule, ...]
    row_widths: tuple[RowWidths, ...]
    strips: pd.DataFrame
    row_joints_mm: tuple[float, ...]

    @property
    def proved_fewest(self) -> bool:
        """Whether the plan needs no more boards than the bound."""
        return self.boards_needed == self.boards_bound

    @property
    def has_spanned_rows(self) -> bool:
        """Whether a run is laid in one piece that two pieces could make up too."""
        alone = ~(self.joined["left"] | self.joined["right"])
        return bool((self.pieces["length_mm"][alone] >= 2 * self.rules.shortest_piece_mm).any())

    @property
    def has_mitred_cuts(self) -> bool:
        """Whether walls askew to the boards cut pieces so that one cut shared by two could save board.

        Only a cut that slants by more than the spacing, both along and across one board, could.
        """
        spacing = self.rules.spacing_mm
        for part in parts_of(self.frame.to_laying(self.floor)):
            for ring in (part.exterior, *part.interiors):
                for du, dv in np.abs(np.diff(shapely.get_coordinates(ring), axis=0)).tolist():
                    share = min(1.0, self.board.length_mm / max(du, 1e-9), self.board.width_mm / max(dv, 1e-9))
                    if share * min(du, dv) > spacing:
                        return True
        return False

    @property
    def frame(self) -> LayingFrame:
        """The laying frame."""
        return LayingFrame(self.along, self.across)

    @property
    def direction_degrees(self) -> float:
        """Direction of the boards in survey axes, anticlockwise from +x, 0 up to 180 [degrees]."""
        return math.degrees(math.atan2(self.along[1], self.along[0])) % 180.0

    @property
    def start(self) -> Start:
        """Which of the two start corners the plan starts from."""
        towards = self.along[1] > 0 or (self.along[1] == 0 and self.along[0] > 0)
        return "first" if towards else "opposite"

    @property
    def longest_run_mm(self) -> tuple[float, float]:
        """Longest unbroken floor along and across the boards [mm]; parts that do not touch are unbroken apart."""
        boxes = [part.bounds for part in parts_of(self.frame.to_laying(self.floor))]
        return max(u1 - u0 for u0, _, u1, _ in boxes), max(v1 - v0 for _, v0, _, v1 in boxes)

    @property
    def start_wall(self) -> int:
        """Number of the wall laying starts from."""
        return start_wall(self.room, self.frame)

    @property
    def rows(self) -> int:
        """Number of rows."""
        return int(self.pieces["row"].max())
