"""First-row widths and the strip each leaves: hand sums, pieces measured anew, and every whole millimetre tried.

The measuring below takes nothing from the planner but the plan's axes and the shapes of its pieces::

    row line ------------------------
             | piece | piece |          the pieces are cut across a little inside the corner, twice, and the width
    edge     o---x---x---------         is carried back to the corner: a tapering strip has its width there
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from floors import DEMO_ROOMS, demo_room, random_floors, rectangle
from hypothesis import given, settings
from hypothesis import strategies as st
from referee import net_floor, referee, undeclared
from shapely import Polygon

import flooring_kit as fk
from flooring_kit.setting_out.rows import (
    Run,
    StopPoint,
    allowed_bands_mm,
    candidate_first_widths,
    runs_of,
    stop_points,
    strip_at,
    strip_widths_mm,
)

QUICK = fk.Search(quick=True)
PLANK = fk.Board("plank", 1380, 193, 8, 8)
NEARLY_FLAT = math.tan(math.radians(20))
TABLE_MM = 0.1
"""Corners and strips stand in the table to a tenth, each half a tenth off at most."""


def walls_apart(depth_mm: float) -> list[StopPoint]:
    """Stop-points of a rectangle 3 m long, its start wall at v = 0."""
    return stop_points(shapely.box(0, 0, 3000, depth_mm))


def in_laying_axes(plan: fk.Plan, shapes: object) -> object:
    axes = np.array([plan.along, plan.across])
    return shapely.transform(shapes, lambda points: points @ axes.T)


def measured_at(shapes: np.ndarray, u: float, v: float) -> list[float]:
    """Widths of the pieces that end across the boards at the point (u, v)."""

    def cuts(at: float) -> list[tuple[float, float]]:
        across = shapely.LineString([(at, v - 1000), (at, v + 1000)])
        parts = shapely.get_parts(shapely.intersection(shapes, across))
        return [part.bounds[1::2] for part in parts if part.length > 0.05]

    found = []
    for step in (8.0, -8.0):
        for (near_low, near_high), (far_low, far_high) in ((a, b) for a in cuts(u + step) for b in cuts(u + 2 * step)):
            low, high = 2 * near_low - far_low, 2 * near_high - far_high
            if min(abs(low - v), abs(high - v)) < 0.3 and max(abs(low - near_low), abs(high - near_high)) < 3:
                found.append(high - low)
    return found


def flat_edges(plan: fk.Plan) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """Edges of the net floor of 100 mm and more that lie along the boards, in laying axes, floor to their left."""
    floor = shapely.orient_polygons(in_laying_axes(plan, net_floor(plan.room, plan.rules)).simplify(0.01))
    edges = []
    for ring in shapely.get_rings(floor):
        points = shapely.get_coordinates(ring)
        for (u0, v0), (u1, v1) in pairwise(points):
            if abs(u1 - u0) >= 100.001 and abs(v1 - v0) <= NEARLY_FLAT * abs(u1 - u0):
                edges.append(((float(u0), float(v0)), (float(u1), float(v1))))
    return edges


def strip_of(plan: fk.Plan, beside: str) -> float:
    """The one strip the table gives a wall, an obstacle or a doorway."""
    (strip,) = plan.strips.loc[plan.strips["beside"] == beside, "strip_mm"]
    return float(strip)


# ---------------------------------------------------------------------- sums on a rectangle


@pytest.mark.parametrize(
    ("depth", "first", "last"),
    [
        (1080, 120, 160),  # 1080 - 120 = 4 x 200 + 160
        (1080, 80, 200),  # 1080 - 80 = 5 x 200: the last row is whole
        (1080, 200, 80),
        (1000, 200, 200),
        (1000, 1, 199),
        (150, 200, 150),  # 150 - 200 = -200 + 150: one row, less than a board deep
    ],
)
def test_the_last_strip_is_what_whole_boards_leave_of_the_depth(depth, first, last):
    strips = strip_widths_mm(walls_apart(depth), 0.0, 200.0, np.array([float(first)]))[0]
    found = {point.faces_start: strip for point, strip in zip(walls_apart(depth), strips, strict=True)}
    assert found[False] == last
    if depth > 200:
        assert found[True] == first


@given(st.integers(0, 5000), st.integers(40, 300), st.integers(1, 300))
def test_an_edge_that_faces_away_from_the_start_wall_leaves_the_other_part_of_the_board(at, width, first):
    away, facing = (StopPoint(0.0, float(at), faces, (1.0, 0.0), 500.0, 500.0) for faces in (True, False))
    both = strip_widths_mm([away, facing], 0.0, float(width), np.array([float(min(first, width))]))[0]
    assert ((both > 0) & (both <= width)).all()
    on_a_line = (at - min(first, width)) % width == 0
    assert both.sum() == pytest.approx(2 * width if on_a_line else width)


@pytest.mark.parametrize(
    ("depth", "bands"),
    [
        # Rest 80. Below 80 the last strip is 80 - first: 50 for 30, too narrow a first row. From 80 on it is
        # 280 - first (200 at 80): down to 80 at 200.
        (1080, [(80, 200)]),
        # Rest 130: 130 - first >= 50 up to 80; from 130 on 330 - first, 130 at 200.
        (1130, [(50, 80), (130, 200)]),
        # Rest 20: 220 - first >= 50 up to 170; at 20 the last row is whole, but 20 is too narrow a first row.
        (1020, [(50, 170)]),
        # Rest 0: 200 - first >= 50 up to 150, and 200 itself: whole rows only.
        (1000, [(50, 150), (200, 200)]),
    ],
)
def test_the_allowed_widths_of_a_rectangle_are_those_worked_by_hand(depth, bands):
    assert allowed_bands_mm(walls_apart(depth), 0.0, 200.0, 50.0) == bands


@given(st.integers(450, 3000), st.integers(60, 300), st.integers(0, 120))
def test_a_width_is_in_a_band_exactly_when_first_and_last_row_are_wide_enough(depth, board, narrowest):
    bands = allowed_bands_mm(walls_apart(depth), 0.0, float(board), float(narrowest))
    for first in range(1, board + 1):
        fits = first >= narrowest and ((depth - first) % board or board) >= narrowest
        assert any(low <= first <= high for low, high in bands) == fits
    assert all(high + 1 < low for (_, high), (low, _) in pairwise(bands))


def test_one_candidate_stands_for_each_stretch_and_is_the_evenest_of_it():
    # Depth 1130, boards 200, rest 130. From 130 to 200 six rows, last 330 - first: 165 both, alike. Up to 130 seven
    # rows, last 130 - first: 65 both. 130 itself leaves a whole last row, 200 has a whole first: each its own stretch.
    found = candidate_first_widths(walls_apart(1130), 0.0, 200.0, 50.0)
    assert max(found, key=lambda option: option[1]) == (165.0, 165.0)
    assert all(min(first, (1130 - first) % 200 or 200) == narrowest >= 50 for first, narrowest in found)
    assert found == [(65.0, 65.0), (130.0, 130.0), (165.0, 165.0), (200.0, 130.0)]


def test_where_no_width_is_wide_enough_candidates_are_offered_all_the_same():
    # Rest 80: (200 + 80) / 2 = 140 is the widest narrowest strip there is.
    assert allowed_bands_mm(walls_apart(1080), 0.0, 200.0, 150.0) == []
    assert max(candidate_first_widths(walls_apart(1080), 0.0, 200.0, 150.0), key=lambda o: o[1]) == (140.0, 140.0)


@settings(max_examples=40)
@given(st.integers(800, 4000), st.integers(100, 240))
def test_in_a_rectangle_first_and_last_row_are_alike_to_a_millimetre_and_no_row_more_than_needed(depth, board):
    plan = fk.set_out(rectangle(3000, depth + 20), fk.Board("b", 1380, board, 8, 8), direction=0, search=QUICK)
    rest = depth % board
    assert plan.rows == math.ceil(depth / board)
    assert plan.row_widths[0].first_row_width_mm == ((board + rest) // 2 if rest else board)
    assert plan.row_widths[0].narrowest_strip_mm == ((board + rest) // 2 if rest else board)


def test_the_kit_takes_a_narrower_strip_where_that_saves_a_row():
    # Clear depth 12 x 193 + 180, a block 120 deep at the far wall. From 180 to 193 the rows are 13 and the block leaves
    # 253 - first: 73 at 180, 72 at 181. At 90 first and last row are 90 and the block leaves 163, but that is 14 rows.
    depth = 12 * 193 + 180 + 20
    block = ((1400.0, 0.0), (1400.0, 120.0), (2600.0, 120.0), (2600.0, 0.0))
    corners = ((0.0, 0.0), *block, (4000.0, 0.0), (4000.0, float(depth)), (0.0, float(depth)))
    plan = fk.set_out(fk.Room("block", corners), PLANK, direction=0, search=QUICK)
    assert plan.rows == 13
    assert plan.row_widths[0].narrowest_strip_mm in (72, 73)


# ---------------------------------------------------------------------- one strip of one run


def test_a_strip_is_the_run_s_width_at_the_edge_and_nothing_where_the_run_does_not_reach():
    first, *_, last = runs_of(shapely.box(0, 0, 3000, 1080), 0.0, 200.0, 120.0)
    for point in walls_apart(1080):
        assert strip_at(first, point) == (120.0 if point.faces_start else 0.0)
        assert strip_at(last, point) == (0.0 if point.faces_start else 160.0)


def test_a_tapering_strip_has_its_own_width_at_either_end():
    # The far wall rises from 1080 to 1020 over 3000; the last row begins at 120 + 4 x 200 = 920: 160 and 100 left.
    part = Polygon([(0, 0), (3000, 0), (3000, 1020), (0, 1080)])
    last: Run = runs_of(part, 0.0, 200.0, 120.0)[-1]
    found = {point.u: strip_at(last, point) for point in stop_points(part) if not point.faces_start}
    assert found == {0.0: pytest.approx(160.0, abs=0.001), 3000.0: pytest.approx(100.0, abs=0.001)}


# ---------------------------------------------------------------------- demo rooms by hand


def test_the_sitting_room_with_a_first_row_of_140_leaves_the_strips_worked_by_hand():
    # Start wall at y = 3600 (gap 10), row lines at 3460 - n x 193: 3267, 3074, 2881, 2688 ... 179 (n = 17), -14 ...
    # Breast, floor from 3250 down: 3250 - 3074 = 176. Hearth from 2850 down: 2850 - 2688 = 162. Far wall at 10:
    # 179 - 10 = 169. Bay at -540: line 20 is at -400, 140 left. Alcoves: the first row itself.
    plan = fk.set_out(demo_room("sitting_room"), PLANK, first_row=fk.FirstRow(width_mm=140.0), search=QUICK)
    by_hand = {"wall 11": 140, "wall 7": 140, "wall 9": 176, "hearth": 162, "wall 5": 169, "wall 1": 169, "wall 3": 140}
    assert {beside: strip_of(plan, beside) for beside in plan.strips["beside"]} == by_hand
    assert plan.row_widths[0].narrowest_strip_mm == 140
    assert not plan.row_widths[0].chosen_by_kit


def test_the_hall_with_a_first_row_of_142_leaves_141_and_66_and_67_in_the_doorways():
    # 1075 less two gaps is 1055. Far wall: 1055 - 142 = 4 x 193 + 141. Doorways reach 118 further than the wall's own
    # edge (gap inside, recess less gap beyond): far 141 + 118 = 193 + 66, at the start wall 142 + 118 = 193 + 67.
    plan = fk.set_out(demo_room("hall"), PLANK, first_row=fk.FirstRow(width_mm=142.0), search=QUICK)
    by_hand = {"wall 3": 142, "wall 1": 141, "doorway 1 in wall 1": 66, "doorway 2 in wall 1": 66}
    by_hand |= {"doorway 1 in wall 3": 67, "doorway 2 in wall 3": 67}
    assert plan.start_wall == 3
    assert {beside: strip_of(plan, beside) for beside in by_hand} == by_hand
    assert plan.row_widths[0].narrowest_strip_mm == 66
    assert plan.row_widths[0].allowed_bands_mm == ((125.0, 158.0),)


def test_a_whole_first_row_in_the_sitting_room_is_kept_and_leaves_a_sliver_before_the_hearth():
    # Lines at 3600 - n x 193: 2828 is the next below the hearth's 2850: 22, or 28 under the narrowest row of 50.
    plan = fk.set_out(demo_room("sitting_room"), PLANK, first_row=fk.FirstRow(width_mm=193.0), search=QUICK)
    assert strip_of(plan, "hearth") == plan.row_widths[0].narrowest_strip_mm == 22
    assert plan.row_widths[0].first_row_width_mm == 193
    assert 28 in [round(fault.by_mm, 3) for fault in plan.broken_rules if fault.rule == "narrowest row"]
    shapes = np.array(in_laying_axes(plan, plan.pieces["shape"].to_numpy()))
    # Laying axes of this plan: u = x, v = -y; the grown hearth's front runs from (1590, 2850) to (2860, 2850).
    assert plan.across == (0.0, -1.0)
    assert measured_at(shapes, 1590.0, -2850.0) == measured_at(shapes, 2860.0, -2850.0) == [22.0]


# ---------------------------------------------------------------------- measured again

FLOORS = [
    *(pytest.param(demo_room(name), PLANK, width, id=f"{name} {width}") for name in DEMO_ROOMS for width in (None, 70)),
    *(pytest.param(room, board, None, id=room.name) for _, room, board in random_floors(24, seed=12)),
]


@pytest.mark.parametrize(("room", "board", "width"), FLOORS)
def test_the_table_of_strips_is_what_the_pieces_measure_along_every_flat_edge(room, board, width):
    plan = fk.set_out(room, board, direction=0, first_row=fk.FirstRow(width_mm=width), search=QUICK)
    shapes = np.array(in_laying_axes(plan, plan.pieces["shape"].to_numpy()))
    axes = np.array([plan.along, plan.across])
    for x, y, strip in plan.strips[["x_mm", "y_mm", "strip_mm"]].to_numpy():
        u, v = axes @ (x, y)
        assert min(abs(found - strip) for found in measured_at(shapes, u, v)) <= TABLE_MM
    told = plan.strips["strip_mm"].to_numpy()
    narrowest = []
    for edge in flat_edges(plan):
        for u, v in edge:
            found = [width for width in measured_at(shapes, u, v) if np.abs(told - width).min() <= TABLE_MM]
            assert found
            narrowest.append(min(found))
    assert plan.row_widths[0].narrowest_strip_mm == pytest.approx(min(narrowest), abs=TABLE_MM)


# ---------------------------------------------------------------------- every whole millimetre tried


def strip_and_boards(plan: fk.Plan, first_mm: float, start_mm: float) -> tuple[float, int]:
    """Narrowest strip at any flat edge, and boards by length, for a first-row width [mm]."""
    width, spacing = plan.board.width_mm, plan.rules.kerf_mm + plan.rules.offcut_margin_mm
    floor = in_laying_axes(plan, net_floor(plan.room, plan.rules))
    low_u, low_v, high_u, high_v = floor.bounds
    lines = start_mm + first_mm + width * np.arange(-4, math.ceil((high_v - low_v) / width) + 4)
    strips = []
    for (u0, v0), (u1, v1) in flat_edges(plan):
        for v in (v0, v1):
            beyond = lines - v if u1 > u0 else v - lines
            strips.append(beyond[beyond > 0.05].min())
    rows = shapely.get_parts(shapely.intersection(floor, shapely.box(low_u, lines[:-1], high_u, lines[1:])))
    rows = rows[shapely.area(rows) >= 25]
    lengths = shapely.bounds(rows)[:, 2] - shapely.bounds(rows)[:, 0]
    return min(strips), math.ceil(sum(math.ceil(n * 10 - 1e-4) / 10 + spacing for n in lengths) / (1380 + spacing))


BRUTE = [demo_room(name) for name in DEMO_ROOMS] + [room for _, room, _ in random_floors(18, seed=5)]


@pytest.mark.parametrize("room", BRUTE, ids=lambda room: room.name)
def test_no_allowed_width_needs_as_few_boards_by_length_and_leaves_a_clearly_wider_narrowest_strip(room):
    plan = fk.set_out(room, PLANK, direction=0, search=QUICK)
    body = Polygon(room.outline).buffer(-plan.rules.gap_mm, join_style="mitre", mitre_limit=10)
    start = in_laying_axes(plan, body).bounds[1]
    narrowest, boards = strip_and_boards(plan, plan.row_widths[0].first_row_width_mm, start)
    assert narrowest == pytest.approx(plan.row_widths[0].narrowest_strip_mm, abs=0.001)
    square = all(x0 == x1 or y0 == y1 for (x0, y0), (x1, y1) in room.walls)
    for low, high in plan.row_widths[0].allowed_bands_mm:
        for first in np.arange(low, high + 1):
            other_narrowest, other_boards = strip_and_boards(plan, float(first), start)
            assert other_boards > boards or other_narrowest <= narrowest + 1.001
            # Where walls slant, the length of a row changes with every millimetre and other widths may need less.
            assert other_boards >= boards or not square


def test_a_width_that_lands_an_edge_on_a_row_line_saves_the_row_its_sliver():
    # Floor 3980 x 2316 = 12 rows of 193, a block 115 deep before the far wall: lines at 193 leave 193 - 115 - 10 = 68
    # before it and nothing to rip. The next best width, 96, takes 13 rows.
    block = fk.Obstacle("block", ((1400, 0), (2600, 0), (2600, 125), (1400, 125)), "column")
    plan = fk.set_out(rectangle(4000, 2336, obstacles=(block,)), PLANK, direction=0)
    assert (plan.rows, plan.boards_needed, plan.broken_rules) == (12, 36, ())
    assert plan.row_widths[0].first_row_width_mm == 193


def test_a_bowed_wall_in_short_chords_has_its_strips():
    # Chord 4000, rise 400: every chord of sixty is under 100 long, but the wall is one line of flat edges.
    radius = (2000**2 + 400**2) / 800
    angles = np.linspace(-math.asin(2000 / radius), math.asin(2000 / radius), 61)
    bow = [(2000 + radius * math.sin(a), 2400 + radius * math.cos(a) - radius + 400) for a in reversed(angles)]
    room = fk.Room("bow", ((0.0, 0.0), (4000.0, 0.0), *bow))
    plan = fk.set_out(room, PLANK, direction=0, search=QUICK)
    assert all(fault.rule != "narrowest row" or not fault.slight for fault in plan.broken_rules)
    assert len(plan.strips) > 10


def test_a_corner_cut_off_by_half_a_square_millimetre_is_not_covered():
    # The far wall rises 500 in 2790 and starts 0.4 mm above a row line: the row there is all but a rectangle.
    outline = ((0.0, 0.0), (2790.0, 0.0), (2790.0, 2380.0), (0.0, 1880.0))
    room = fk.Room("room", outline, doors=(fk.Door(1, 520.0, 762.0, 38.0),))
    plan = fk.set_out(room, PLANK, search=QUICK)
    assert referee(plan, room, PLANK, plan.rules) == []


# --- threads and tips ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(("thread_mm", "pieces"), [(0.31, 1), (0.2, 2), (0.02, 2), (0.0, 2)])
def test_what_only_a_thread_would_hold_together_is_two_pieces(thread_mm, pieces):
    # A pier ends this far short of a row line: 0.3 mm is the contract's tolerance, and no saw leaves less.
    pier = ((400.0, 220.0 + thread_mm), (460.0, 220.0 + thread_mm), (460.0, 400.0), (400.0, 400.0))
    room = rectangle(920, 620, obstacles=(fk.Obstacle("pier", pier),))
    board = fk.Board("plank", 1000, 200, 8, 8)
    plan = fk.set_out(room, board, direction=0, first_row=fk.FirstRow(width_mm=200), search=fk.Search(quick=True))
    assert (plan.pieces["row"] == 2).sum() == pieces
    assert referee(plan, room, board, plan.rules) == []
    assert undeclared(plan, room, board, plan.rules) == []


def test_a_strip_shorter_than_the_step_it_is_measured_at_is_not_overlooked():
    # Boards at 17 degrees leave a tip 27.9 long and 7.8 wide in the doorway: 42.2 under the narrowest row.
    room = rectangle(2000, 1200, doors=(fk.Door(1, 300, 762, 118),))
    board = fk.Board("plank", 1380, 193, 8, 8)
    plan = fk.set_out(room, board, direction=17, first_row=fk.FirstRow(width_mm=193), search=fk.Search(quick=True))
    assert undeclared(plan, room, board, plan.rules) == []
    assert plan.broken_rules
