"""How high and how deep a door frame is cut so that the floor runs under it.

From the side, the lining cut off over the new floor::

            |lining|
            |      |
            +------+  <- saw, laid on an offcut of board and underlay
      ===board===  :
      --underlay-  :
      ____________________ subfloor
               |<->|  depth: cover and gap

Common practice, no source.
"""

from __future__ import annotations

from flooring_kit.checks import require_between

CLEARANCE_MM = 1.0
"""Air over the board under a frame, so that it moves. Common practice, no source."""

SLID_PAST_MM = 10.0
"""Further depth where a board is slid past its place and drawn back; 6 to 10 are usual. Common practice, no source."""

LEFT_AT_METAL_MM = 8.0
"""Gap to a frame that is not cut, closed with flexible filler. Common practice, no source."""

CAUTIONS = (
    "Old paint on linings can hold lead: test it before you saw, and do not dry-sand it.",
    "Wear ear and eye protection and a fitted mask: a saw at floor level throws dust in your face.",
    "Cables and pipes run beside frames and under thresholds: find and isolate them first.",
)


def undercut_height_mm(
    board_mm: float,
    underlay_mm: float,
    *,
    sheet_mm: float = 0.0,
    levelling_mm: float = 0.0,
    clearance_mm: float = CLEARANCE_MM,
) -> float:
    """Height of the saw over the bare subfloor [mm].

    Parameters
    ----------
    board_mm, underlay_mm
        Thickness of board and underlay, 1 to 40 and 0 to 30 [mm].
    sheet_mm
        Thickness of a vapour sheet, 0 to 5 [mm].
    levelling_mm
        Compound under the floor at that frame, 0 to 100 [mm].
    clearance_mm
        Air over the board, 0 to 5 [mm].

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    >>> undercut_height_mm(8, 3)
    12.0
    """
    require_between(board_mm, 1, 40, "board thickness", unit="mm")
    require_between(underlay_mm, 0, 30, "underlay thickness", unit="mm")
    require_between(sheet_mm, 0, 5, "vapour sheet thickness", unit="mm")
    require_between(levelling_mm, 0, 100, "levelling", unit="mm")
    require_between(clearance_mm, 0, 5, "clearance over the board", unit="mm")
    return float(board_mm + underlay_mm + sheet_mm + levelling_mm + clearance_mm)


def undercut_depth_mm(gap_mm: float, cover_mm: float, *, slid_past_mm: float = 0.0) -> float:
    """How deep the frame is cut, from its face [mm].

    Parameters
    ----------
    gap_mm
        Expansion gap beyond the board, 0 to 50 [mm].
    cover_mm
        How far the board runs under the frame, 0 to 40 [mm].
    slid_past_mm
        How far a board must be pushed past its place before it is drawn back to its joint, 0 to 30 [mm].

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    >>> undercut_depth_mm(10, 10), undercut_depth_mm(10, 10, slid_past_mm=10)
    (20.0, 30.0)
    """
    require_between(gap_mm, 0, 50, "gap", unit="mm")
    require_between(cover_mm, 0, 40, "floor under the frame", unit="mm")
    require_between(slid_past_mm, 0, 30, "board slid past its place", unit="mm")
    return float(gap_mm + cover_mm + slid_past_mm)
