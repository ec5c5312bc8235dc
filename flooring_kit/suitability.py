"""Whether products suit each other and the room, each misfit with its reason. Nothing is refused here."""

from __future__ import annotations

from flooring_kit.products import Board, Trim, Underlay
from flooring_kit.room import Room
from flooring_kit.rules import HEATED_COVERING_LIMIT_M2K_W
from flooring_kit.thermal import build_up, tog

LEAST_STRENGTH_KPA = {"laminate": 10.0, "engineered": 10.0, "vinyl": 200.0}
"""Compressive strength (CS by EN 16354:2018) an underlay needs at least [kPa], from the values the associations of
laminate and of multilayer modular flooring publish; for engineered boards as for laminate, common practice, no
source."""

REACHED_BY_ALL_KPA = 10.0
"""What nearly every underlay reaches, so that a missing figure is not asked for. Common practice, no source."""


def misfits(room: Room, board: Board, underlay: Underlay, trim: Trim | None = None) -> list[str]:
    """What does not suit, a sentence each; empty where all does.

    Parameters
    ----------
    room
        `heated` and `wet` are looked at.
    board, underlay, trim
        The products chosen.
    """
    return [
        *_too_soft(board, underlay),
        *_too_warm_over_heating(room, board, underlay),
        *swells_when_wet(room, trim),
    ]


def _too_soft(board: Board, underlay: Underlay) -> list[str]:
    least = LEAST_STRENGTH_KPA.get(board.kind)
    if least is None:
        return []
    needs = f"a {board.kind} board needs {least:g} kPa (EN 16354)"
    strength = underlay.compressive_strength_kpa
    if strength is None:
        told = f"{underlay.name}: no compressive strength declared; {needs}. Ask for it."
        return [told] if least > REACHED_BY_ALL_KPA else []
    if strength < least:
        return [f"{underlay.name}: too soft at {strength:g} kPa; {needs}, or the locks give way underfoot."]
    return []


def _too_warm_over_heating(room: Room, board: Board, underlay: Underlay) -> list[str]:
    if not room.heated:
        return []
    covering = build_up([(underlay.name, underlay.resistance_m2k_w), (board.name, board.resistance_m2k_w)])
    limit = HEATED_COVERING_LIMIT_M2K_W
    if covering.missing:
        return [
            f"{' and '.join(covering.missing)}: no thermal resistance declared; over heating board and underlay "
            f"together may have {limit:g} m²K/W (EN 1264). Ask for it."
        ]
    if covering.resistance_m2k_w <= limit + 1e-9:
        return []
    return [
        f"{underlay.name} and {board.name}: together {covering.resistance_m2k_w:.3f} m²K/W "
        f"({covering.tog:.2f} tog), over the {limit:g} m²K/W ({tog(limit):.1f} tog) for heated floors (EN 1264)."
    ]


def swells_when_wet(room: Room, trim: Trim | None) -> list[str]:
    """That the trim is of MDF in a room where it gets wet; one sentence, or none."""
    # common practice, no source: foil-wrapped MDF swells when wet
    if trim is None or not room.wet or trim.material != "MDF":
        return []
    return [f"{trim.name}: MDF swells where it gets wet. Take a plastic trim in {room.name}."]
