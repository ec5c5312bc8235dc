"""The room measured anew: what another survey of it, a little different each time, would take.

A survey is never the room: the tape errs and walls stand out of true. So the corners are moved by errors drawn at
random, and the room is set out again, as often as time allows.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from flooring_kit.area import net_area_m2
from flooring_kit.checks import require_between, require_whole
from flooring_kit.products import Trim, Underlay
from flooring_kit.room import Corner, Door, Edge, Obstacle, Room
from flooring_kit.setting_out import FirstRow, Plan, Search, set_out
from flooring_kit.stock_cutting import cut_from_stock
from flooring_kit.trims import trim_pieces
from flooring_kit.underlay import packs_in_strips, underlay_strips
from flooring_kit.wastage import packs_for_area

MOST_TRIES = 20
"""Draws of one room before the tolerances are called too large for it."""

TOUCHES_MM = 0.5
"""What stands this near a wall stands against it, and moves with it."""

STRAIGHT_ON = 0.27
"""Tangent of 15 degrees: walls that turn by less than 30 meet too bluntly to say where their corner lies along them."""

PARALLEL_DEGREES = 1.0
"""Walls so near the boards' direction are parallel to them; the longest of these is the one laid by."""

SPECK_MM2 = 25.0


@dataclass(frozen=True)
class Tolerances:
    """How far a survey and a saw may be out.

    Parameters
    ----------
    tape_mm
        Error of a wall's length between its corners, one standard deviation, 0 to 50 [mm]. Common practice, no source.
    out_of_true_mm
        How far a wall may stand before or behind where its corners put it, 0 to 50, any distance as likely [mm]. From
        memory. The whole wall is moved, as the worst of a bow would, so this asks for a little too much.
    breakage_fraction
        Chance that a board is broken or faulty, 0 to 0.5. From memory.
    miscut_fraction
        Chance that a sawn piece is miscut, 0 to 0.5; 0.01 for the trade, 0.03 for a first-timer. From memory.
    """

    tape_mm: float = 3.0
    out_of_true_mm: float = 5.0
    breakage_fraction: float = 0.01
    miscut_fraction: float = 0.01

    def __post_init__(self) -> None:
        require_between(self.tape_mm, 0, 50, "error of the tape", unit="mm")
        require_between(self.out_of_true_mm, 0, 50, "walls out of true", unit="mm")
        require_between(self.breakage_fraction, 0, 0.5, "broken boards", hint="Write 1 % as 0.01.")
        require_between(self.miscut_fraction, 0, 0.5, "miscut pieces", hint="Write 1 % as 0.01.")

    def sentence(self) -> str:
        """The tolerances in words."""
        return (
            f"Taken for this: a tape {self.tape_mm:g} mm out, walls up to {self.out_of_true_mm:g} mm out of true, "
            f"{100 * self.breakage_fraction:g}% of boards broken, {100 * self.miscut_fraction:g}% of cuts spoiled."
        )


TRADE, FIRST_TIMER = Tolerances(), Tolerances(miscut_fraction=0.03)


@dataclass(frozen=True)
class Replan:
    """What one room measured anew takes.

    Parameters
    ----------
    boards_needed, sawn_pieces
        Boards its plan is sawn from, and pieces that are not whole boards.
    underlay_packs
        Packs of underlay; None where none was asked for.
    trim_lengths, trim_pieces
        Stock lengths of trim, and pieces to cut from them; None and 0 where none was asked for.
    """

    boards_needed: int
    sawn_pieces: int
    underlay_packs: int | None = None
    trim_lengths: int | None = None
    trim_pieces: int = 0


def measured_anew(room: Room, tolerances: Tolerances, generator: np.random.Generator) -> Room:
    """The room as another survey might find it.

    Parameters
    ----------
    room
        The survey.
    tolerances
        Its tape and how far its walls are out of true.
    generator
        Where the errors come from.

    Returns
    -------
    Room
        Every corner moved both ways by a normal error of tape / √2, so that a wall's length errs by that of the tape;
        every wall moved as a whole, evenly within its being out of true. Doors and readings keep their place along
        their wall in proportion, obstacles against a wall stay against it, what stands free stays.

    Raises
    ------
    ValueError
        Where the walls so moved, or an obstacle's sides, cross each other.
    """
    corners = np.array(room.outline, dtype=float)
    errors = generator.standard_normal(corners.shape) * (tolerances.tape_mm / math.sqrt(2))
    moves = errors + _corner_moves(corners, generator.uniform(-1, 1, len(corners)) * tolerances.out_of_true_mm)
    moved = corners + moves
    longer = _lengths(np.roll(moved, -1, axis=0) - moved) / _lengths(np.roll(corners, -1, axis=0) - corners)
    return replace(
        room,
        outline=tuple((float(x), float(y)) for x, y in moved),
        doors=tuple(_door_in_proportion(door, float(longer[door.wall - 1])) for door in room.doors),
        edges=tuple(_edge_in_proportion(edge, float(longer[edge.wall - 1])) for edge in room.edges),
        obstacles=tuple(_kept_against_walls(room, obstacle, moves) for obstacle in room.obstacles),
    )


def _lengths(walls: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.hypot(walls[:, 0], walls[:, 1])


def _corner_moves(corners: NDArray[np.float64], outward_mm: NDArray[np.float64]) -> NDArray[np.float64]:
    """How each corner moves when every wall moves square to itself; the least move where two walls run on."""
    walls = np.roll(corners, -1, axis=0) - corners
    normals = np.column_stack([walls[:, 1], -walls[:, 0]]) / _lengths(walls)[:, None]
    both = np.stack([np.roll(normals, 1, axis=0), normals], axis=1)
    asked = np.stack([np.roll(outward_mm, 1), outward_mm], axis=1)[:, :, None]
    return np.asarray((np.linalg.pinv(both, rcond=STRAIGHT_ON) @ asked)[:, :, 0])


def _door_in_proportion(door: Door, longer: float) -> Door:
    opening = min(6000.0, max(300.0, door.opening_mm * longer))
    return replace(door, from_corner_mm=door.from_corner_mm * longer, opening_mm=opening)


def _edge_in_proportion(edge: Edge, longer: float) -> Edge:
    bow = tuple((along * longer, back) for along, back in edge.bow)
    return replace(edge, rise_mm=edge.rise_mm * longer, bow=bow)


def _kept_against_walls(room: Room, obstacle: Obstacle, moves: NDArray[np.float64]) -> Obstacle:
    """The obstacle with the corners that touch a wall moved as that wall moves there."""
    faces = [shapely.LineString(face) for face in room.wall_faces]

    def kept(corner: Corner) -> Corner:
        point = shapely.Point(corner)
        wall = next((i for i, face in enumerate(faces) if face.distance(point) <= TOUCHES_MM), None)
        if wall is None:
            return corner
        share = faces[wall].project(point, normalized=True)
        move = (1 - share) * moves[wall] + share * moves[(wall + 1) % len(moves)]
        return float(corner[0] + move[0]), float(corner[1] + move[1])

    return replace(obstacle, outline=tuple(kept(corner) for corner in obstacle.outline))


def replans(
    plan: Plan,
    tolerances: Tolerances,
    *,
    underlay: Underlay | None = None,
    trim: Trim | None = None,
    count: int = 25,
    seed: int = 0,
) -> Iterator[Replan]:
    """What the room takes when it is measured anew, one room a step; stop when enough have come.

    Parameters
    ----------
    plan
        The plan bought for: its room, board, rules, direction and start.
    tolerances
        Errors of the survey.
    underlay, trim
        What else is counted.
    count
        Rooms measured anew, 1 to 1000.
    seed
        Another whole number draws other rooms.

    Yields
    ------
    Replan
        A quick plan of one room. Boards are counted as by the plan bought for: where that one found fewer in the
        survey's room than a quick plan does, as many are taken off here too, though never below what is proved needed.

    Raises
    ------
    ValueError
        At once for a count or a seed out of its range; in a step for tolerances so large that no room can be drawn.

    Notes
    -----
    Boards keep their angle to the longest wall they run along, as they would on site. Underlay is laid in the way that
    suits the survey's room, in strips where the size of its pieces is known, else by area.
    """
    whole_count = require_whole(count, 1, 1000, "rooms measured anew")
    whole_seed = require_whole(seed, 0, 2**31, "seed")
    return _Survey(plan, tolerances, underlay, trim).replans(whole_count, np.random.default_rng(whole_seed))


class _Survey:
    """One room being measured anew: everything that stays the same."""

    def __init__(self, plan: Plan, tolerances: Tolerances, underlay: Underlay | None, trim: Trim | None) -> None:
        self.plan, self.tolerances, self.underlay, self.trim = plan, tolerances, underlay, trim
        self.width_mm = None if plan.row_widths[0].chosen_by_kit else plan.row_widths[0].first_row_width_mm
        self.wall = _wall_laid_by(plan)

    def replans(self, count: int, generator: np.random.Generator) -> Iterator[Replan]:
        quick = self._set_out(self.plan.room)
        fewer = quick.boards_needed - self.plan.boards_needed
        way = None
        if self.underlay is not None and _has_size(self.underlay):
            way = underlay_strips(quick, self.underlay).way
        for _ in range(count):
            for _ in range(MOST_TRIES):
                try:
                    anew = self._set_out(measured_anew(self.plan.room, self.tolerances, generator))
                    replan = self._counted(anew, fewer, way)
                    break
                except ValueError:
                    continue  # walls that cross, a doorway past its wall: no room anyone could have measured
            else:
                raise ValueError(
                    f"room {self.plan.room.name!r}: with a tape error of {self.tolerances.tape_mm:g} mm and walls "
                    f"{self.tolerances.out_of_true_mm:g} mm out of true no room could be drawn in {MOST_TRIES} tries. "
                    "Its shortest wall is too short for them; give smaller ones."
                )
            yield replan

    def _set_out(self, room: Room) -> Plan:
        (x0, y0), (x1, y1) = (_run_of(each.walls[self.wall]) for each in (self.plan.room, room))
        turned = math.degrees(math.atan2(x0 * y1 - y0 * x1, x0 * x1 + y0 * y1))
        return set_out(
            room,
            self.plan.board,
            rules=self.plan.rules,
            direction=self.plan.direction_degrees + turned,
            first_row=FirstRow(self.plan.start, self.width_mm),
            search=Search(quick=True),
        )

    def _counted(self, anew: Plan, fewer: int, way: str | None) -> Replan:
        boards = max(anew.boards_bound, anew.boards_needed - fewer)
        packs = self._underlay_packs(anew, way)
        if self.trim is None:
            return Replan(boards, sawn_pieces(anew), packs)
        pieces = trim_pieces(anew.room, foot_mm=self.trim.foot_mm, stock_length_mm=self.trim.length_mm)
        lengths = 0
        if len(pieces):
            cut = cut_from_stock(
                pieces["length_mm"].tolist(), stock_lengths_mm=[self.trim.length_mm], kerf_mm=anew.rules.kerf_mm
            )
            lengths = cut.lengths_needed
        return Replan(boards, sawn_pieces(anew), packs, lengths, len(pieces))

    def _underlay_packs(self, anew: Plan, way: str | None) -> int | None:
        if self.underlay is None:
            return None
        if way is None:
            return packs_for_area(net_area_m2(anew.floor), self.underlay.pack_area_m2)
        return packs_in_strips(anew, self.underlay, way=way)


def sawn_pieces(plan: Plan) -> int:
    """Pieces of a plan that are not whole boards, those with a hole or half a hole for a pipe with them."""
    shapes = plan.pieces["shape"].to_numpy()
    is_sawn = shapely.area(shapes) < plan.board.area_m2 * 1e6 - SPECK_MM2
    for pipe in plan.room.pipes:
        is_sawn |= shapely.dwithin(shapes, shapely.Point(pipe.at), pipe.diameter_mm / 2 + plan.rules.gap_mm)
    return int(is_sawn.sum())


def _run_of(wall: tuple[Corner, Corner]) -> Corner:
    (x0, y0), (x1, y1) = wall
    return x1 - x0, y1 - y0


def _has_size(underlay: Underlay) -> bool:
    return underlay.piece_length_mm is not None and underlay.piece_width_mm is not None


def _wall_laid_by(plan: Plan) -> int:
    """Place of the longest wall the boards run along; of that nearest their direction where none is."""
    off = []
    for (x0, y0), (x1, y1) in plan.room.walls:
        cross = (x1 - x0) * plan.along[1] - (y1 - y0) * plan.along[0]
        off.append(math.degrees(math.asin(min(1.0, abs(cross) / math.hypot(x1 - x0, y1 - y0)))))
    near = [wall for wall, angle in enumerate(off) if angle <= min(off) + PARALLEL_DEGREES]
    return max(near, key=lambda wall: plan.room.wall_length_mm(wall + 1))
