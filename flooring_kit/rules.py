"""The rules a floor is laid by. Numbers in the board's own leaflet override these defaults."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from flooring_kit.checks import require_between, require_whole, require_zero_or
from flooring_kit.products import Board

Direction = Literal["long", "short"] | float
"""Which way boards run: along the room's long or short side, or degrees anticlockwise from +x."""

Start = Literal["first", "opposite"]
"""The two start corners of a floor laid one hand only lie diagonally opposite each other."""

HEATED_COVERING_LIMIT_M2K_W = 0.15
"""Most that board and underlay together may resist over a heated floor, where the tables end (EN 1264; 1.5 tog)."""


@dataclass(frozen=True)
class LayingRules:
    """Gaps, offsets and least sizes, all in mm. Defaults: common practice, no source.

    Parameters
    ----------
    gap_mm
        Expansion gap at every wall and fixed thing, 0 to 50.
    joint_offset_mm
        Least distance between end joints of neighbouring rows, 0 to 2000.
    shortest_piece_mm
        Least length of a sawn piece in a row of several pieces, 0 to 2000.
    narrowest_row_mm
        Least width of a ripped row, 0 to 500.
    kerf_mm
        Width the saw turns to dust, 0 to 10; 0 where a board is scored and snapped.
    offcut_margin_mm
        Length kept free between two pieces sawn from one board, besides the kerf, 0 to 300, so that a wall
        a little out of true does not spoil the second piece.
    under_frame_mm
        How far the floor runs under an undercut door lining, 0 to 40.
    most_offcuts_waiting
        Most offcuts that may lie about for a later row, 0 to 100; None for as many as come.
    """

    gap_mm: float = 10.0
    joint_offset_mm: float = 300.0
    shortest_piece_mm: float = 300.0
    narrowest_row_mm: float = 50.0
    kerf_mm: float = 3.0
    offcut_margin_mm: float = 10.0
    under_frame_mm: float = 10.0
    most_offcuts_waiting: int | None = None

    def __post_init__(self) -> None:
        # about a thousandth of the most, and not 0, was meant in metres
        require_zero_or(self.gap_mm, 0.05, 50, "gap")
        require_zero_or(self.joint_offset_mm, 1, 2000, "joint offset")
        require_zero_or(self.shortest_piece_mm, 1, 2000, "shortest piece")
        require_zero_or(self.narrowest_row_mm, 0.5, 500, "narrowest row")
        require_zero_or(self.kerf_mm, 0.01, 10, "saw kerf")
        require_between(self.offcut_margin_mm, 0, 300, "offcut margin", unit="mm")
        require_zero_or(self.under_frame_mm, 0.04, 40, "floor under frames")
        if self.most_offcuts_waiting is not None:
            whole = require_whole(self.most_offcuts_waiting, 0, 100, "offcuts waiting at most")
            object.__setattr__(self, "most_offcuts_waiting", whole)  # 3.0 typed for 3

    @property
    def spacing_mm(self) -> float:
        """Least distance between two pieces of one board: kerf and margin [mm]."""
        return self.kerf_mm + self.offcut_margin_mm

    def raised_to_leaflet(self, board: Board) -> LayingRules:
        """These rules, with every figure the board's leaflet gives raised to at least that figure."""
        return replace(
            self,
            gap_mm=max(self.gap_mm, board.least_gap_mm),
            joint_offset_mm=max(self.joint_offset_mm, board.least_joint_offset_mm),
            shortest_piece_mm=max(self.shortest_piece_mm, board.shortest_piece_mm),
        )
