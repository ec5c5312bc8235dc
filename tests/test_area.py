"""The net floor: hand sums, a second route to every area, and what turning or mirroring a room may not change."""

import math
from itertools import pairwise

import pytest
import shapely
from floors import demo_boards
from hypothesis import given
from hypothesis import strategies as st
from referee import referee
from shapely import MultiPolygon, Polygon, box

from flooring_kit.area import doorway_strip, net_area_m2, net_floor, parts_of, room_area_m2
from flooring_kit.room import Door, Edge, Obstacle, Room
from flooring_kit.rules import LayingRules
from flooring_kit.setting_out import Search, set_out

GAP_10 = LayingRules()
EXACT_MM2 = 1e-3
"""A thousandth of a square millimetre: float dust on areas of some 1e7 mm²; the hand sums are exact."""

BOX_ROOM = ((0, 0), (2790, 0), (2790, 2380), (0, 2380))
L_ROOM = ((0, 0), (6200, 0), (6200, 2900), (3400, 2900), (3400, 8600), (0, 8600))
BREAST = ((0, 0), (4400, 0), (4400, 3610), (2950, 3610), (2950, 3260), (1500, 3260), (1500, 3610), (0, 3610))
HEARTH = Obstacle("hearth", ((1600, 2860), (2850, 2860), (2850, 3260), (1600, 3260)), "hearth")
CANTED_BAY = (  # S9 in mm
    (0, 0),
    (5200, 0),
    (5200, 3600),
    (3400, 3600),
    (2800, 4200),
    (1600, 4200),
    (1000, 3600),
    (0, 3600),
)


def floor_of(outline, gap_mm=10.0, **things):
    return net_floor(Room("den", tuple(outline), **things), LayingRules(gap_mm=gap_mm))


def same_shape(one, other):
    return one.symmetric_difference(other).area <= EXACT_MM2


# --- second routes, written apart from the kit ------------------------------------------------------------


def area_by_shoelace(corners):
    """Green's theorem on a ring of corners; positive when they go anticlockwise."""
    ring = [*corners, corners[0]]
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairwise(ring)) / 2


def perimeter(corners):
    return sum(math.dist(a, b) for a, b in pairwise([*corners, corners[0]]))


def turns(corners):
    """Change of heading at each corner [radians], positive to the left."""
    count = len(corners)
    heading = [
        math.atan2(corners[(i + 1) % count][1] - corners[i][1], corners[(i + 1) % count][0] - corners[i][0])
        for i in range(count)
    ]
    return [(heading[i] - heading[i - 1] + math.pi) % math.tau - math.pi for i in range(count)]


def area_by_offset_formula(corners, gap):
    """Area - gap x perimeter + gap² x sum of tan(turn / 2), corners anticlockwise; exact while no wall vanishes."""
    return area_by_shoelace(corners) - gap * perimeter(corners) + gap**2 * sum(math.tan(t / 2) for t in turns(corners))


def offset_corners(corners, gap):
    """Where the lines parallel to neighbouring walls, `gap` to the left of them, meet; corners anticlockwise."""
    lines = []
    for (x0, y0), (x1, y1) in pairwise([*corners, corners[0]]):
        nx, ny = -(y1 - y0), x1 - x0
        length = math.hypot(nx, ny)
        lines.append((nx / length, ny / length, (nx * x0 + ny * y0) / length + gap))
    met = []
    for (a, b, c), (d, e, f) in pairwise([lines[-1], *lines]):
        det = a * e - b * d
        met.append(((c * e - b * f) / det, (a * f - c * d) / det))
    return met


def area_by_columns(columns, gap, hole=None):
    """Net floor of a room made of upright columns (left, right, bottom, top), summed strip by strip.

    A point is floor when the square of side 2 x gap round it lies in the room and clear of the hole: in a room
    of right angles that is the outline drawn in with mitred corners.
    """
    edges = {x + side for left, right, *_ in columns for x in (left, right) for side in (-gap, gap)}
    edges |= {hole[0] - gap, hole[1] + gap} if hole else set()
    first, last = columns[0][0] + gap, columns[-1][1] - gap
    xs = sorted(x for x in edges if first <= x <= last)
    total = 0.0
    for x0, x1 in pairwise(xs):
        mid = (x0 + x1) / 2
        over = [column for column in columns if column[0] < mid + gap and column[1] > mid - gap]
        low, high = max(c[2] for c in over) + gap, min(c[3] for c in over) - gap
        height = max(0.0, high - low)
        if hole and hole[0] - gap < mid < hole[1] + gap and height:
            height -= max(0.0, min(high, hole[3] + gap) - max(low, hole[2] - gap))
        total += (x1 - x0) * height
    return total


def outline_of(columns):
    """Corners of a room made of upright columns, anticlockwise, none of them in the middle of a straight wall."""
    below = [point for left, right, bottom, _ in columns for point in ((left, bottom), (right, bottom))]
    above = [point for left, right, _, top in reversed(columns) for point in ((right, top), (left, top))]
    ring = [p for p, q in pairwise([*below, *above, below[0]]) if p != q]
    return tuple(
        q
        for p, q, r in zip([ring[-1], *ring[:-1]], ring, [*ring[1:], ring[0]], strict=True)
        if (q[0] - p[0]) * (r[1] - q[1]) != (q[1] - p[1]) * (r[0] - q[0])
    )


def gaps_mm(low, high):
    """Gaps as they are measured, in tenths of a millimetre: less than a twentieth is refused as metres."""
    return st.integers(round(low * 10), round(high * 10)).map(lambda tenths: tenths / 10)


@st.composite
def rooms_of_columns(draw):
    """One to five columns; neighbours share at least 400 mm of height."""
    columns, left = [], 0
    bottom, top = 0, draw(st.integers(1500, 5000))
    for _ in range(draw(st.integers(1, 5))):
        right = left + draw(st.integers(150, 3000))
        columns.append((left, right, bottom, top))
        left = right
        low, high = bottom, top
        bottom = draw(st.integers(low - 1500, high - 400))
        top = draw(st.integers(max(bottom, low) + 400, high + 1500))
    return columns


@st.composite
def slightly_crooked_rooms(draw):
    """Rectangles, Ls and rooms with a chimney breast, each corner moved by up to 40 mm either way."""
    shape = draw(st.sampled_from([BOX_ROOM, L_ROOM, BREAST, CANTED_BAY]))
    shift = st.floats(-40, 40)
    return tuple((x + draw(shift), y + draw(shift)) for x, y in shape)


def test_the_second_routes_agree_with_published_and_hand_figures():
    assert area_by_shoelace(CANTED_BAY) == 19_800_000  # S9
    assert perimeter(CANTED_BAY) == pytest.approx(18_097.1, abs=0.05)  # S9: 18.0971 m
    assert area_by_columns([(0, 2790, 0, 2380)], 10) == 2770 * 2360
    assert outline_of([(0, 1500, 0, 3610), (1500, 2950, 0, 3260), (2950, 4400, 0, 3610)]) == BREAST
    # an L, gap 10: 6180 x 2880 + 3380 x 5700
    assert area_by_columns([(0, 3400, 0, 8600), (3400, 6200, 0, 2900)], 10) == 6180 * 2880 + 3380 * 5700
    assert area_by_offset_formula(L_ROOM, 10) == pytest.approx(6180 * 2880 + 3380 * 5700, abs=EXACT_MM2)
    assert area_by_shoelace(offset_corners(L_ROOM, 10)) == pytest.approx(6180 * 2880 + 3380 * 5700, abs=EXACT_MM2)


# --- area inside the skirting -----------------------------------------------------------------------------


def test_a_notched_rectangle_has_the_published_area():
    # S1: 10.2 x 6.7 less 3.5 x 2.7 = 58.89 m², perimeter 33.8 m
    outline = ((0, 0), (10200, 0), (10200, 4000), (6700, 4000), (6700, 6700), (0, 6700))
    room = Room("notched", outline)
    assert room_area_m2(room) == pytest.approx(58.89, abs=1e-12)
    assert sum(room.wall_length_mm(wall) for wall in range(1, 7)) == pytest.approx(33_800, abs=1e-9)


def test_a_canted_bay_has_the_published_area_and_perimeter():
    # S9: 19.80 m² and 18.0971 m
    room = Room("bay", CANTED_BAY)
    assert room_area_m2(room) == pytest.approx(19.80, abs=1e-12)
    assert sum(room.wall_length_mm(wall) for wall in range(1, 9)) / 1000 == pytest.approx(18.0971, abs=5e-5)


def test_obstacles_are_not_deducted_from_the_area_inside_the_skirting():
    # Q5's counterpart: 4.40 x 3.61 less the breast 1.45 x 0.35 = 15.3765, hearth or none
    assert room_area_m2(Room("sitting", BREAST, obstacles=(HEARTH,))) == pytest.approx(15.3765, abs=1e-12)


# --- net floor: hand sums ---------------------------------------------------------------------------------


def test_a_rectangle_is_drawn_in_by_the_gap_on_all_sides():
    floor = floor_of(BOX_ROOM)
    assert same_shape(floor, box(10, 10, 2780, 2370))
    assert net_area_m2(floor) == pytest.approx(2.770 * 2.360, abs=1e-9)


def test_an_l_keeps_its_mitred_inner_corner():
    # gap 16: lower part (6200 - 32) x (2900 - 32), upper part (3400 - 32) x (8600 - 2900)
    floor = floor_of(L_ROOM, 16)
    assert floor.area == pytest.approx(6168 * 2868 + 3368 * 5700, abs=EXACT_MM2)
    assert same_shape(floor, box(16, 16, 6184, 2884).union(box(16, 16, 3384, 8584)))


def test_a_hearth_that_touches_the_breast_is_kept_clear_by_the_gap():
    # 4380 x 3590, less the breast with its gap 1470 x 350, less the hearth with its gap 1270 x 400
    floor = floor_of(BREAST, obstacles=(HEARTH,))
    assert floor.area == pytest.approx(4380 * 3590 - 1470 * 350 - 1270 * 400, abs=EXACT_MM2)


def test_a_hearth_that_runs_into_the_wall_counts_as_far_as_it_is_in_the_room():
    crossing = Obstacle("hearth", ((1600, 2860), (2850, 2860), (2850, 3500), (1600, 3500)))
    assert same_shape(floor_of(BREAST, obstacles=(crossing,)), floor_of(BREAST, obstacles=(HEARTH,)))


def test_an_obstacle_outside_the_room_takes_nothing():
    outside = Obstacle("shed", ((3000, 0), (4000, 0), (4000, 1000), (3000, 1000)))
    touching = Obstacle("porch", ((2790, 0), (4000, 0), (4000, 1000), (2790, 1000)))
    assert same_shape(floor_of(BOX_ROOM, obstacles=(outside, touching)), floor_of(BOX_ROOM))


def test_an_island_leaves_a_hole_a_gap_larger_all_round():
    island = Obstacle("island", ((1100, 4200), (2100, 4200), (2100, 6600), (1100, 6600)), "island")
    floor = floor_of(L_ROOM, 13, obstacles=(island,))
    # 1000 x 2400 with 13 mm on every side
    assert len(floor.interiors) == 1
    assert Polygon(floor.interiors[0]).area == pytest.approx(1026 * 2426, abs=EXACT_MM2)
    assert floor.area == pytest.approx(6174 * 2874 + 3374 * 5700 - 1026 * 2426, abs=EXACT_MM2)


def test_obstacles_that_overlap_are_deducted_once():
    one = Obstacle("unit", ((1000, 1000), (1600, 1000), (1600, 1600), (1000, 1600)))
    other = Obstacle("unit", ((1300, 1000), (1900, 1000), (1900, 1600), (1300, 1600)))
    assert floor_of(BOX_ROOM, obstacles=(one, other)).area == pytest.approx(2770 * 2360 - 920 * 620, abs=EXACT_MM2)


def test_a_canted_bay_is_mitred_at_every_corner():
    # the bay's turns, -45 +45 +45 -45, cancel; four square corners give sum of tan(turn / 2) = 4:
    # 19 800 000 - 10 x 18 097.056 + 100 x 4
    perimeter_mm = 5200 + 3600 + 1800 + 1200 + 1000 + 3600 + 2 * 600 * math.sqrt(2)
    assert floor_of(CANTED_BAY).area == pytest.approx(19_800_000 - 10 * perimeter_mm + 400, abs=EXACT_MM2)


def test_a_bay_of_two_slants_is_mitred_at_its_point():
    # turns -45 +90 -45: sum of tan(turn / 2) = 4 + tan 45 - 2 tan 22.5
    outline = ((0, 0), (5000, 0), (5000, 3000), (3500, 3000), (2500, 4000), (1500, 3000), (0, 3000))
    area_mm2 = 5000 * 3000 + 1000 * 1000
    perimeter_mm = 5000 + 2 * 3000 + 2 * 1500 + 2 * 1000 * math.sqrt(2)
    tangents = 4 + 1 - 2 * math.tan(math.radians(22.5))
    assert floor_of(outline, 20).area == pytest.approx(area_mm2 - 20 * perimeter_mm + 400 * tangents, abs=EXACT_MM2)


def test_an_eight_sided_room_stays_eight_sided_and_regular():
    # inscribed circle r: area 8 r² tan 22.5; the gap takes r to r - gap
    r, tangent = 2000.0, math.tan(math.radians(22.5))
    far = r / math.cos(math.radians(22.5))
    corners = [(far * math.cos(a), far * math.sin(a)) for a in (math.radians(22.5 + 45 * i) for i in range(8))]
    assert floor_of(corners, 15).area == pytest.approx(8 * 1985**2 * tangent, abs=EXACT_MM2)


@pytest.mark.parametrize("outline", [BOX_ROOM, L_ROOM, BREAST, CANTED_BAY])
@pytest.mark.parametrize("first", [0, 1, 3])
def test_the_outline_may_be_taken_either_way_round_from_any_corner(outline, first):
    there = outline[first:] + outline[:first]
    walls = len(outline)
    door = Door(wall=1, from_corner_mm=20, opening_mm=300, recess_mm=60)
    # the same doorway once the corners run the other way: wall 1 becomes the last but one of the reversed list
    back = Door(wall=walls - 1, from_corner_mm=math.dist(*there[:2]) - 20 - 300, opening_mm=300, recess_mm=60)
    one = net_floor(Room("den", there, doors=(door,)), GAP_10)
    other = net_floor(Room("den", there[::-1], doors=(back,)), GAP_10)
    assert same_shape(one, other)


@pytest.mark.parametrize(
    ("outline", "gap_mm", "message"),
    [
        (
            ((0, 0), (100, 0), (100, 1000), (0, 1000)),
            50,
            "room 'den': a gap of 50 mm leaves no floor. Is the outline in millimetres?",
        ),
        (
            ((0, 0), (25, 0), (25, 1000), (0, 1000)),
            12.5,
            "room 'den': a gap of 12.5 mm leaves no floor. Is the outline in millimetres?",
        ),
        (  # a thread of 0.001 x 980 mm is no floor
            ((0, 0), (20.001, 0), (20.001, 1000), (0, 1000)),
            10,
            "room 'den': a gap of 10 mm leaves no floor. Is the outline in millimetres?",
        ),
    ],
)
def test_a_gap_that_leaves_no_floor_is_refused(outline, gap_mm, message):
    with pytest.raises(ValueError) as refusal:
        floor_of(outline, gap_mm)
    assert str(refusal.value) == message


def test_obstacles_that_leave_no_floor_are_refused():
    everything = Obstacle("unit", BOX_ROOM)
    with pytest.raises(ValueError, match=r"^room 'den': a gap of 10 mm leaves no floor\. "):
        floor_of(BOX_ROOM, obstacles=(everything,))


# --- doorways ---------------------------------------------------------------------------------------------


DOORWAY_STRIPS = [
    # wall, undercut, the strip that lies beyond the drawn-in outline (room 4200 x 2920, gap 10, recess 60):
    # opening 762 from 520, 10 mm under each frame, from 10 mm inside the wall face to 50 mm beyond it
    (1, True, box(510, -50, 1292, 10)),
    (2, True, box(4190, 510, 4250, 1292)),
    (3, True, box(4200 - 1292, 2910, 4200 - 510, 2970)),
    (4, True, box(-50, 2920 - 1292, 10, 2920 - 510)),
    # a metal frame: 10 mm clear of each lining
    (1, False, box(530, -50, 1272, 10)),
    (2, False, box(4190, 530, 4250, 1272)),
    (3, False, box(4200 - 1272, 2910, 4200 - 530, 2970)),
    (4, False, box(-50, 2920 - 1272, 10, 2920 - 530)),
]


@pytest.mark.parametrize(("wall", "undercut", "strip"), DOORWAY_STRIPS)
def test_the_floor_runs_into_a_doorway_in_any_wall(wall, undercut, strip):
    room = Room(
        "den", ((0, 0), (4200, 0), (4200, 2920), (0, 2920)), doors=(Door(wall, 520, 762, 60, undercut=undercut),)
    )
    floor = net_floor(room, GAP_10)
    assert floor.geom_type == "Polygon"
    assert same_shape(floor, box(10, 10, 4190, 2910).union(strip))
    # (762 + 2 x 10) x 60 under cut frames, (762 - 2 x 10) x 60 between uncut ones
    assert floor.area - 4180 * 2900 == pytest.approx((782 if undercut else 742) * 60, abs=EXACT_MM2)


def test_gap_and_depth_under_the_frame_both_shape_a_doorway():
    rules = LayingRules(gap_mm=15, under_frame_mm=8)
    room = Room("den", ((0, 0), (4200, 0), (4200, 2920), (0, 2920)), doors=(Door(1, 520, 762, 118),))
    assert same_shape(net_floor(room, rules), box(15, 15, 4185, 2905).union(box(512, -103, 1290, 15)))


def test_a_recess_shallower_than_the_gap_ends_inside_the_wall_face():
    room = Room("den", ((0, 0), (4200, 0), (4200, 2920), (0, 2920)), doors=(Door(1, 520, 762, 6),))
    # from 10 inside the wall face to 6 - 10 = 4 inside it
    assert same_shape(net_floor(room, GAP_10), box(10, 10, 4190, 2910).union(box(510, 4, 1292, 10)))


def test_a_door_without_a_recess_adds_no_floor():
    room = Room("den", BOX_ROOM, doors=(Door(1, 520, 762),))
    assert doorway_strip(room, room.doors[0], GAP_10) is None
    assert same_shape(net_floor(room, GAP_10), floor_of(BOX_ROOM))


def test_several_doorways_each_add_their_strip():
    # the hall: 5180 x 1055, and four doorways of 782 x 118
    doors = tuple(Door(wall, at, 762, 118) for wall, at in ((1, 450), (1, 3300), (3, 300), (3, 2200)))
    floor = floor_of(((0, 0), (5200, 0), (5200, 1075), (0, 1075)), doors=doors)
    assert floor.area == pytest.approx(5180 * 1055 + 4 * 782 * 118, abs=EXACT_MM2)


@pytest.mark.parametrize("reverse", [False, True])
@pytest.mark.parametrize("rise", [28, 400, -900, 2500])
def test_a_doorway_in_a_slanting_wall_is_square_to_it_and_joined_to_the_floor(rise, reverse):
    corners = [(0, 0), (3880, rise), (3880, 4099), (0, 4099)]
    length = math.hypot(3880, rise)
    door, plain = Door(1, 900, 762, 100), floor_of(corners)
    if reverse:
        corners, door = corners[::-1], Door(3, length - 900 - 762, 762, 100)
    floor = floor_of(corners, doors=(door,))
    assert floor.geom_type == "Polygon"
    assert not floor.interiors
    assert floor.area - plain.area == pytest.approx(782 * 100, abs=0.1)  # hundredths of mm² from the weld's ends
    # the middle of the strip's far edge: 1281 along the wall and 90 beyond its face
    tx, ty = 3880 / length, rise / length
    inside, outside = (shapely.Point(1281 * tx + beyond * ty, 1281 * ty - beyond * tx) for beyond in (89.9, 90.1))
    assert floor.contains(inside)
    assert not floor.contains(outside)


# --- properties -------------------------------------------------------------------------------------------


@given(rooms_of_columns())
def test_without_gap_and_obstacles_the_floor_is_the_outline(columns):
    outline = outline_of(columns)
    hand = sum((right - left) * (top - bottom) for left, right, bottom, top in columns)
    assert floor_of(outline, 0).area == pytest.approx(hand, abs=EXACT_MM2)
    assert room_area_m2(Room("den", outline)) == pytest.approx(hand / 1e6, abs=1e-9)


@given(rooms_of_columns(), st.integers(1, 50))
def test_a_square_cornered_floor_has_the_area_of_its_strips(columns, gap):
    assert floor_of(outline_of(columns), gap).area == pytest.approx(area_by_columns(columns, gap), abs=EXACT_MM2)


@given(rooms_of_columns(), st.integers(1, 50), st.data())
def test_an_obstacle_anywhere_takes_the_area_of_its_strips(columns, gap, data):
    x0 = data.draw(st.integers(columns[0][0] - 300, columns[-1][1]))
    y0 = data.draw(st.integers(min(c[2] for c in columns) - 300, max(c[3] for c in columns)))
    x1, y1 = x0 + data.draw(st.integers(50, 2000)), y0 + data.draw(st.integers(50, 2000))
    hand = area_by_columns(columns, gap, (x0, x1, y0, y1))
    unit = Obstacle("unit", ((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
    if hand < 1:
        return
    floor = floor_of(outline_of(columns), gap, obstacles=(unit,))
    assert floor.area == pytest.approx(hand, abs=EXACT_MM2)


@given(slightly_crooked_rooms(), gaps_mm(0, 50))
def test_a_crooked_floor_has_the_area_of_its_own_parallel_lines(outline, gap):
    floor = floor_of(outline, gap)
    assert floor.area == pytest.approx(area_by_shoelace(offset_corners(outline, gap)), abs=EXACT_MM2)
    assert floor.area == pytest.approx(area_by_offset_formula(outline, gap), abs=EXACT_MM2)


@given(slightly_crooked_rooms(), gaps_mm(0, 49), gaps_mm(0.1, 1))
def test_a_larger_gap_leaves_less_floor_and_lies_inside(outline, gap, more):
    one, other = floor_of(outline, gap), floor_of(outline, gap + more)
    assert other.area < one.area
    assert other.difference(one).area <= EXACT_MM2


def _moved(corners, matrix):
    (a, b), (c, d) = matrix
    return tuple((a * x + b * y, c * x + d * y) for x, y in corners)


QUARTER = ((0, -1), (1, 0))
MIRROR = ((-1, 0), (0, 1))


@given(
    slightly_crooked_rooms(),
    gaps_mm(0, 50),
    st.sampled_from([QUARTER, MIRROR]),
    st.floats(0, 1),
    st.booleans(),
)
def test_turning_or_mirroring_a_room_changes_no_area(outline, gap, matrix, where, undercut):
    unit = ((400, 400), (900, 450), (850, 900), (420, 880))
    reach = math.dist(*outline[:2]) - 762
    door = Door(1, where * reach if where * reach >= 1 else 0, 762, 90, undercut)

    def area(corners, obstacle):
        room = Room("den", corners, obstacles=(Obstacle("unit", obstacle),), doors=(door,))
        return net_floor(room, LayingRules(gap_mm=gap)).area

    assert area(_moved(outline, matrix), _moved(unit, matrix)) == pytest.approx(area(outline, unit), abs=EXACT_MM2)


@given(st.floats(0, 180), gaps_mm(0, 50))
def test_a_room_surveyed_in_turned_axes_keeps_its_net_area(degrees, gap):
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    floor = floor_of(_moved(BREAST, ((c, -s), (s, c))), gap)
    assert floor.area == pytest.approx(floor_of(BREAST, gap).area, abs=0.01)  # float dust of the turned corners


@given(slightly_crooked_rooms(), gaps_mm(1, 50))
def test_without_doors_every_point_of_the_floor_is_a_gap_from_the_walls(outline, gap):
    corners = shapely.points(shapely.get_coordinates(floor_of(outline, gap)))
    walls = Polygon(outline).exterior
    assert shapely.distance(corners, walls).min() >= gap - 1e-6
    assert Polygon(outline).covers(shapely.MultiPoint(list(corners)))


# --- parts ------------------------------------------------------------------------------------------------


def test_parts_come_largest_first_and_specks_are_left_out():
    small, large, speck, kept = box(0, 0, 10, 10), box(20, 0, 60, 10), box(70, 0, 74.9, 5), box(80, 0, 85, 5)
    assert parts_of(MultiPolygon([small, large, speck, kept])) == [large, small, kept]


def test_equal_parts_come_from_left_to_right():
    right, left = box(50, 0, 60, 10), box(0, 0, 10, 10)
    assert parts_of(MultiPolygon([right, left])) == [left, right]


def test_one_part_is_a_list_of_one():
    assert parts_of(box(0, 0, 10, 10)) == [box(0, 0, 10, 10)]


def test_a_neck_narrower_than_two_gaps_parts_the_floor():
    # two rooms of 2000 x 2000 joined by a neck 15 mm wide: 2 x (1980 x 1980)
    outline = outline_of([(0, 2000, 0, 2000), (2000, 2500, 1000, 1015), (2500, 4500, 0, 2000)])
    floor = floor_of(outline, 10)
    assert [part.area for part in parts_of(floor)] == pytest.approx([1980 * 1980] * 2, abs=EXACT_MM2)


@pytest.mark.parametrize("clockwise", [False, True])
def test_a_wall_that_stands_into_the_room_at_a_doorway_does_not_part_the_floor(clockwise):
    # The face stands 5 mm in from 1000 to 2000 mm, so the floor begins 15 mm from the string line there; the strip is
    # 800 - 2 x 10 wide and reaches 100 - 10 mm the other way.
    outline = ((0, 0), (3000, 0), (3000, 2000), (0, 2000))
    wall = 1
    if clockwise:
        outline, wall = outline[::-1], 3  # from (3000, 0) back to (0, 0)
    edge = Edge(wall, bow=((1000, -5), (2000, -5)))
    door = Door(wall, 1100, 800, 100, undercut=False)
    room = Room("r", outline, doors=(door,), edges=(edge,))
    floor = net_floor(room, LayingRules(gap_mm=10))
    assert len(parts_of(floor)) == 1
    without = net_floor(Room("r", outline, edges=(edge,)), LayingRules(gap_mm=10))
    assert floor.area - without.area == pytest.approx(780 * (15 + 90), abs=1)


@pytest.mark.parametrize("back_mm", [-8.0, 8.0])
def test_a_bowed_wall_with_a_doorway_is_laid_in_one_part_as_the_referee_sees_it(back_mm):
    room = Room(
        "r",
        ((0, 0), (3000, 0), (3000, 2000), (0, 2000)),
        doors=(Door(1, 300, 800, 100),),
        edges=(Edge(1, bow=((1200, back_mm),)),),
    )
    plan = set_out(room, demo_boards()["Oak plank 1380 x 193"], search=Search(quick=True))
    assert len(parts_of(plan.floor)) == 1
    assert referee(plan, room, plan.board, plan.rules) == []
