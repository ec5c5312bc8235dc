"""What tells one job from another, so that a log is never read against a floor it does not belong to.

Only what a recorded plan rests on counts, and each figure by its name and in whole tenths of a millimetre: 10 and 10.0
are one gap, and neither a library's way of writing a shape nor a new field of a room or board makes an old log foreign.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable

from flooring_kit.room import Corner, Door, Edge, Room
from flooring_kit.rules import LayingRules
from flooring_kit.setting_out import Plan

FINGERPRINT_VERSION = 2
"""Raised when other things are counted, or counted otherwise. The first counted what Python happened to print."""

Told = dict[str, object]
"""Names and whole numbers, as they go into JSON."""


def job_fingerprint(plan: Plan) -> str:
    """A version, a dash and sixteen hex digits that tell one job from another.

    Counted are the room's outline, what stands in it, its doorways, the board's size and hand, the rules that joints
    and cuts keep, and the direction, start corner and first-row widths. Any plan of the same rows has the same
    fingerprint: which of them was laid, the log itself says. Names, prices and what is known of the subfloor do not
    count.

    Parameters
    ----------
    plan
        Any plan of the job.
    """
    told = {
        "room": _room(plan.room),
        "board": {
            "length_t": _tenths(plan.board.length_mm),
            "width_t": _tenths(plan.board.width_mm),
            "hand": plan.board.hand,
        },
        "rules": _rules(plan.rules),
        "direction_thousandths": round(plan.direction_degrees * 1000) % 180_000,
        "start": plan.start,
        "first_rows_t": [_tenths(part.first_row_width_mm) for part in plan.row_widths],
    }
    text = json.dumps(told, sort_keys=True, separators=(",", ":"))
    return f"{FINGERPRINT_VERSION}-{hashlib.sha256(text.encode()).hexdigest()[:16]}"


def _tenths(length_mm: float) -> int:
    return round(length_mm * 10)


def _corners(outline: Iterable[Corner]) -> list[list[int]]:
    return [[_tenths(x), _tenths(y)] for x, y in outline]


def _room(room: Room) -> Told:
    """What the shape of the floor comes from; a later field goes in only where it is not what it was before."""
    edges = [_edge(edge) for edge in sorted(room.edges, key=lambda edge: edge.wall) if edge.rise_mm or edge.bow]
    return {
        "outline_t": _corners(room.outline),
        "obstacles_t": [_corners(obstacle.outline) for obstacle in room.obstacles],
        "pipes_t": [[_tenths(pipe.at[0]), _tenths(pipe.at[1]), _tenths(pipe.diameter_mm)] for pipe in room.pipes],
        "doors": [_door(door) for door in room.doors if door.recess_mm > 0],
        "edges": edges,
    }


def _door(door: Door) -> Told:
    return {
        "wall": door.wall,
        "from_corner_t": _tenths(door.from_corner_mm),
        "opening_t": _tenths(door.opening_mm),
        "recess_t": _tenths(door.recess_mm),
        "undercut": bool(door.undercut),
    }


def _edge(edge: Edge) -> Told:
    return {"wall": edge.wall, "rise_t": _tenths(edge.rise_mm), "bow_t": _corners(edge.bow)}


def _rules(rules: LayingRules) -> Told:
    """The rules joints and cuts keep; the narrowest row shows in the first-row widths, and offcuts may wait or not."""
    return {
        "gap_t": _tenths(rules.gap_mm),
        "under_frame_t": _tenths(rules.under_frame_mm),
        "joint_offset_t": _tenths(rules.joint_offset_mm),
        "shortest_piece_t": _tenths(rules.shortest_piece_mm),
        "kerf_t": _tenths(rules.kerf_mm),
        "offcut_margin_t": _tenths(rules.offcut_margin_mm),
    }
