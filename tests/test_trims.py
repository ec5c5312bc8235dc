"""Trim, wall by wall: hand sums, and what can never be."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flooring_kit.room import EDGE_KINDS, OBSTACLE_KINDS, Door, Edge, Obstacle, Room
from flooring_kit.trims import COVERS, trim_by_wall, trim_pieces

BOX_ROOM = ((0, 0), (2790, 0), (2790, 2380), (0, 2380))
BREAST = ((0, 0), (4400, 0), (4400, 3610), (2950, 3610), (2950, 3260), (1500, 3260), (1500, 3610), (0, 3610))
DUST_MM = 1e-6
TOUCH_MM = 0.6
"""An obstacle measured to half a millimetre of a wall stands against it; its stretch may be off by as much."""


def rectangle(x0, y0, x1, y1, name="unit", kind="unit"):
    """Something at a wall that its own plinth or bar closes; no trim runs round it unless another kind is given."""
    return Obstacle(name, ((x0, y0), (x1, y0), (x1, y1), (x0, y1)), kind)


def trims(outline, **things):
    return trim_by_wall(Room("den", outline, **things))


def test_a_plain_room_has_a_row_for_every_wall_and_trim_along_all_of_it():
    table = trims(BREAST)
    assert list(table.columns) == ["beside", "wall", "length_mm", "doors_mm", "obstacles_mm", "trim_mm"]
    assert list(table["wall"]) == [1, 2, 3, 4, 5, 6, 7, 8]
    assert list(table["length_mm"]) == [4400, 3610, 1450, 350, 1450, 350, 1500, 3610]
    assert list(table["trim_mm"]) == list(table["length_mm"])
    assert set(table["doors_mm"]) == set(table["obstacles_mm"]) == {0.0}


def test_a_slanting_wall_has_trim_along_its_face():
    # legs 3000 and 4000: 5000
    assert trims(((0, 0), (4000, 3000), (0, 3000)))["trim_mm"][0] == pytest.approx(5000, abs=DUST_MM)


# --- doors ------------------------------------------------------------------------------------------------


def test_a_door_takes_its_opening_and_both_architraves():
    # 762 + 2 x 71 = 904; 2790 - 904 = 1886
    table = trims(BOX_ROOM, doors=(Door(1, 520, 762),))
    assert table["doors_mm"][0] == pytest.approx(904, abs=DUST_MM)
    assert table["trim_mm"].tolist() == pytest.approx([1886, 2380, 2790, 2380], abs=DUST_MM)


def test_a_door_of_its_own_architrave_takes_that():
    # 762 + 2 x 45
    assert trims(BOX_ROOM, doors=(Door(1, 520, 762, architrave_mm=45),))["doors_mm"][0] == pytest.approx(852)


@pytest.mark.parametrize(
    ("from_corner", "taken"),
    [
        (71, 904),  # the architrave just fits
        (40, 40 + 762 + 71),  # it is cut down to 40
        (0, 762 + 71),
        (2790 - 762, 762 + 71),  # the far corner alike
        (2790 - 762 - 30, 71 + 762 + 30),
        (2790 - 762 - 71, 904),
    ],
)
def test_an_architrave_ends_at_the_corner(from_corner, taken):
    table = trims(BOX_ROOM, doors=(Door(1, from_corner, 762),))
    assert table["doors_mm"][0] == pytest.approx(taken, abs=DUST_MM)
    assert table["trim_mm"][0] == pytest.approx(2790 - taken, abs=DUST_MM)
    assert table["trim_mm"][1:].tolist() == [2380, 2790, 2380]


def test_a_doorway_as_wide_as_its_wall_leaves_no_trim_there():
    assert trims(BOX_ROOM, doors=(Door(2, 0, 2380),))["trim_mm"].tolist() == [2790, 0, 2790, 2380]


def test_two_doors_take_twice_as_much():
    # the hall: 5200 - 2 x 904 = 3392 on both long walls
    doors = tuple(Door(wall, at, 762) for wall, at in ((1, 450), (1, 3300), (3, 300), (3, 2200)))
    table = trims(((0, 0), (5200, 0), (5200, 1075), (0, 1075)), doors=doors)
    assert table["doors_mm"].tolist() == pytest.approx([1808, 0, 1808, 0], abs=DUST_MM)
    assert table["trim_mm"].tolist() == pytest.approx([3392, 1075, 3392, 1075], abs=DUST_MM)


def test_architraves_that_meet_between_two_doors_are_deducted_once():
    # doors from 500 and 1304, 42 mm apart: 429 to 2137 = 1708, not 2 x 904
    table = trims(((0, 0), (5000, 0), (5000, 3000), (0, 3000)), doors=(Door(1, 500, 762), Door(1, 1304, 762)))
    assert table["doors_mm"][0] == pytest.approx(1708, abs=DUST_MM)
    assert table["trim_mm"][0] == pytest.approx(5000 - 1708, abs=DUST_MM)


# --- obstacles --------------------------------------------------------------------------------------------


def test_a_hearth_at_the_wall_takes_its_own_width():
    # breast 1450 wide, hearth 1250: 200 of trim, a hundred each side
    table = trims(BREAST, obstacles=(rectangle(1600, 2860, 2850, 3260, "hearth"),))
    assert table["obstacles_mm"].tolist() == pytest.approx([0, 0, 0, 0, 1250, 0, 0, 0], abs=DUST_MM)
    assert table["trim_mm"][4] == pytest.approx(200, abs=DUST_MM)


def test_a_hearth_that_runs_into_the_wall_takes_its_own_width():
    table = trims(BREAST, obstacles=(rectangle(1600, 2860, 2850, 3500, "hearth"),))
    assert table["obstacles_mm"][4] == pytest.approx(1250, abs=DUST_MM)


def test_a_unit_in_a_corner_takes_a_stretch_of_both_walls():
    table = trims(BOX_ROOM, obstacles=(rectangle(2190, 0, 2790, 500),))
    assert table["obstacles_mm"].tolist() == pytest.approx([600, 500, 0, 0], abs=DUST_MM)
    assert table["trim_mm"].tolist() == pytest.approx([2190, 1880, 2790, 2380], abs=DUST_MM)


def test_a_run_of_units_along_a_whole_wall_leaves_no_trim_there():
    table = trims(BOX_ROOM, obstacles=(rectangle(0, 0, 2790, 600),))
    assert table["trim_mm"].tolist() == pytest.approx([0, 1780, 2790, 1780], abs=DUST_MM)


@pytest.mark.parametrize("parted", [0, 50])
def test_two_units_side_by_side_are_deducted_once(parted):
    units = (rectangle(500, 0, 1100, 600), rectangle(1100 + parted, 0, 1700 + parted, 600))
    assert trims(BOX_ROOM, obstacles=units)["obstacles_mm"][0] == pytest.approx(1200, abs=DUST_MM)


def test_an_obstacle_measured_just_off_the_wall_stands_against_it():
    table = trims(BOX_ROOM, obstacles=(rectangle(500, 0.4, 1100, 600),))
    assert table["obstacles_mm"].tolist() == pytest.approx([600, 0, 0, 0], abs=DUST_MM)


def test_a_hearth_as_wide_as_its_breast_takes_nothing_from_the_sides_of_the_breast():
    table = trims(BREAST, obstacles=(rectangle(1500, 2860, 2950, 3260, "hearth"),))
    assert table["trim_mm"].tolist() == pytest.approx([4400, 3610, 1450, 350, 0, 350, 1500, 3610], abs=DUST_MM)


def test_an_island_takes_no_trim():
    table = trims(BOX_ROOM, obstacles=(rectangle(1000, 1000, 1500, 1500), rectangle(600, 2, 900, 500)))
    assert table["obstacles_mm"].tolist() == [0, 0, 0, 0]


def test_an_obstacle_that_stands_in_a_doorway_is_not_deducted_twice():
    # the door takes 449 to 1353; a step from 1200 to 1600 leaves 247 beyond it
    table = trims(BOX_ROOM, doors=(Door(1, 520, 762),), obstacles=(rectangle(1200, 0, 1600, 300),))
    assert table["doors_mm"][0] == pytest.approx(904, abs=DUST_MM)
    assert table["obstacles_mm"][0] == pytest.approx(247, abs=DUST_MM)
    assert table["trim_mm"][0] == pytest.approx(2790 - 904 - 247, abs=DUST_MM)


# --- round obstacles, and where something else hides the gap ------------------------------------------------


def test_every_kind_of_edge_and_of_obstacle_says_what_hides_its_gap():
    assert set(COVERS) == {*EDGE_KINDS, *OBSTACLE_KINDS}


def test_a_wall_whose_gap_a_plinth_or_a_bar_hides_has_no_trim():
    table = trims(BOX_ROOM, edges=(Edge(1, "plinth"), Edge(2, "sill")))
    assert table["trim_mm"].tolist() == [0, 0, 2790, 2380]
    walls = pieces(BOX_ROOM, edges=(Edge(1, "plinth"), Edge(2, "sill")))
    assert walls["piece"].tolist() == ["3", "4"]
    assert ends(walls) == [("square", "internal mitre"), ("internal mitre", "square")]


def wardrobe(*, clockwise=False, at=600.0):
    corners = ((at, 0), (at + 600, 0), (at + 600, 500), (at, 500))
    return Obstacle("wardrobe", corners[::-1] if clockwise else corners, "wardrobe")


def test_a_wardrobe_at_a_wall_has_trim_round_the_three_sides_in_the_room():
    table = trims(BOX_ROOM, obstacles=(wardrobe(),))
    assert table["beside"].tolist() == ["wall 1", "wall 2", "wall 3", "wall 4", "wardrobe"]
    last = table.iloc[-1]
    # its four sides 2200, of which 600 at the wall: 500 + 600 + 500 are left
    assert (last.wall, last.length_mm, last.obstacles_mm, last.trim_mm) == (0, 2200, 600, 1600)
    assert table["trim_mm"][0] == 2190


@pytest.mark.parametrize("room_clockwise", [False, True])
@pytest.mark.parametrize("clockwise", [False, True])
def test_trim_round_a_wardrobe_has_external_mitres_in_front_and_internal_ones_at_the_wall(clockwise, room_clockwise):
    outline = BOX_ROOM[::-1] if room_clockwise else BOX_ROOM
    table = pieces(outline, obstacles=(wardrobe(clockwise=clockwise),))
    round_it = table[table["beside"] == "wardrobe"]
    # 500 and a foot of 18, 600 and two feet, 500 and a foot
    assert sorted(round_it["length_mm"].tolist()) == [518, 518, 636]
    sides = sorted(ends(round_it))
    assert sides == [
        ("external mitre", "external mitre"),
        ("external mitre", "internal mitre"),
        ("internal mitre", "external mitre"),
    ]


def test_a_trim_that_meets_the_trim_of_a_wardrobe_is_mitred_into_it():
    table = pieces(BOX_ROOM, obstacles=(wardrobe(),))
    wall = table[table["wall"] == 1]
    assert wall["piece"].tolist() == ["1a", "1b"]
    assert ends(wall) == [("internal mitre", "internal mitre")] * 2
    assert set(wall["last_saw_degrees"]) == {45.0}
    assert wall["length_mm"].tolist() == [600, 1590]


def test_the_part_of_an_obstacle_outside_the_room_takes_no_trim_however_far_it_reaches():
    stairs = Obstacle("stairs", ((1000, -2500), (2000, -2500), (2000, 300), (1000, 300)), "stairs")
    round_it = pieces(BOX_ROOM, obstacles=(stairs,))
    round_it = round_it[round_it["beside"] == "stairs"]
    # 300, 1000 and 300 in the room, two external corners of 18
    assert sorted(round_it["length_mm"].tolist()) == [318, 318, 1036]


def test_two_obstacles_of_one_name_keep_all_their_pieces():
    columns = tuple(
        Obstacle("column", ((x, 1000), (x + 300, 1000), (x + 300, 1300), (x, 1300)), "column") for x in (500, 1500)
    )
    table = pieces(BOX_ROOM, obstacles=columns)
    assert table["piece"].is_unique
    assert (table["beside"].str.startswith("column")).sum() == 8


def test_a_column_that_stands_free_has_trim_all_round():
    column = Obstacle("column", ((1000, 1000), (1300, 1000), (1300, 1300), (1000, 1300)), "column")
    table = pieces(BOX_ROOM, obstacles=(column,))
    round_it = table[table["beside"] == "column"]
    assert round_it["length_mm"].tolist() == [336] * 4
    assert set(ends(round_it)) == {("external mitre", "external mitre")}


# --- properties -------------------------------------------------------------------------------------------


@st.composite
def furnished_rooms(draw):
    """A rectangle with up to two doors and two units along wall 1, anywhere on it, overlapping or not."""
    width, depth = draw(st.integers(1500, 6000)), draw(st.integers(1500, 6000))
    doors = []
    for _ in range(draw(st.integers(0, 2))):
        opening = draw(st.integers(300, 1000))
        doors.append(Door(1, draw(st.integers(0, width - opening)), opening, architrave_mm=draw(st.integers(0, 100))))
    units = []
    for _ in range(draw(st.integers(0, 2))):
        x0 = draw(st.integers(0, width - 50))
        units.append(rectangle(x0, 0, draw(st.integers(x0 + 50, width)), 300))
    return width, depth, tuple(doors), tuple(units)


@given(furnished_rooms())
def test_trim_is_what_no_door_and_no_unit_covers(furnished):
    width, depth, doors, units = furnished
    table = trims(((0, 0), (width, 0), (width, depth), (0, depth)), doors=doors, obstacles=units)
    taken = [(d.from_corner_mm - d.architrave_mm, d.from_corner_mm + d.opening_mm + d.architrave_mm) for d in doors]
    taken += [(unit.outline[0][0], unit.outline[1][0]) for unit in units]
    # millimetre by millimetre along the wall: all ends are whole
    bare = sum(1 for x in range(width) if not any(a <= x < b for a, b in taken))
    assert table["trim_mm"][0] == pytest.approx(bare, abs=DUST_MM)
    assert table["trim_mm"][2] == width


@given(furnished_rooms(), st.floats(0, math.tau))
def test_turning_the_room_changes_no_trim(furnished, angle):
    width, depth, doors, units = furnished
    c, s = math.cos(angle), math.sin(angle)

    def turned(corners):
        return tuple((c * x - s * y, s * x + c * y) for x, y in corners)

    corners = ((0, 0), (width, 0), (width, depth), (0, depth))
    plain = trims(corners, doors=doors, obstacles=units)
    there = trims(
        turned(corners), doors=doors, obstacles=tuple(Obstacle("unit", turned(unit.outline), "unit") for unit in units)
    )
    assert there["trim_mm"].tolist() == pytest.approx(plain["trim_mm"].tolist(), abs=TOUCH_MM)


@given(furnished_rooms())
def test_the_columns_of_a_wall_add_up_and_none_is_negative(furnished):
    width, depth, doors, units = furnished
    table = trims(((0, 0), (width, 0), (width, depth), (0, depth)), doors=doors, obstacles=units)
    sums = table["doors_mm"] + table["obstacles_mm"] + table["trim_mm"]
    assert sums.tolist() == pytest.approx(table["length_mm"].tolist(), abs=DUST_MM)
    assert (table[["doors_mm", "obstacles_mm", "trim_mm"]] >= 0).all(axis=None)


# --- pieces -------------------------------------------------------------------------------------------------


def pieces(outline, *, foot_mm=18, stock_length_mm=6000, **things):
    return trim_pieces(Room("den", outline, **things), foot_mm=foot_mm, stock_length_mm=stock_length_mm)


def ends(table):
    return list(zip(table["first_end"], table["last_end"], strict=True))


def test_a_plain_room_has_a_piece_a_wall_mitred_into_its_corners():
    table = pieces(BOX_ROOM)
    assert list(table["piece"]) == ["1", "2", "3", "4"]
    assert list(table["length_mm"]) == [2790, 2380, 2790, 2380]
    assert ends(table) == [("internal mitre", "internal mitre")] * 4
    assert set(table["first_saw_degrees"]) == set(table["last_saw_degrees"]) == {45.0}


@pytest.mark.parametrize("clockwise", [False, True])
def test_an_external_corner_makes_both_its_pieces_longer_by_the_foot(clockwise):
    # The breast's two front corners are external, its back ones internal: 18 x tan 45 = 18 on each piece ending there.
    outline = BREAST[::-1] if clockwise else BREAST
    table = pieces(outline)
    added = (table["length_mm"] - (table["to_mm"] - table["from_mm"])).round(6)
    external = (table["first_end"] == "external mitre").astype(int) + (table["last_end"] == "external mitre")
    assert external.sum() == 4
    assert list(added) == [18.0 * count for count in external]


@pytest.mark.parametrize(
    ("corner", "saw"),
    [(90, 45), (135, 22.5), (120, 30), (150, 15), (88, 46), (92, 44)],
)
def test_the_saw_is_set_by_the_published_mitre_rule(corner, saw):
    # Mitre rule: (180 - corner) / 2 (ehow.co.uk; visualfoodie.com works 180 - 135 = 45, / 2 = 22.5; a supplier).
    angle = math.radians(180 - corner)
    far = (4000 + 3000 * math.cos(angle), 3000 * math.sin(angle))
    outline = ((0, 0), (4000, 0), far, (-2000, 3500))
    table = pieces(outline)
    assert table["last_end"][0] == table["first_end"][1] == "internal mitre"
    assert (table["last_saw_degrees"][0], table["first_saw_degrees"][1]) == (saw, saw)


def test_an_external_corner_of_a_45_degree_turn_adds_7_5_for_a_foot_of_18():
    # 18 x tan 22.5 = 7.46; common practice gives 7.5.
    bay = ((0, 0), (1300, 0), (1850, -550), (2950, -550), (3500, 0), (4400, 0), (4400, 3610), (0, 3610))
    table = pieces(bay)
    assert table["last_end"][0] == "external mitre"
    assert table["last_saw_degrees"][0] == 22.5
    assert table["length_mm"][0] == pytest.approx(1307.46, abs=0.05)
    # the bay's inner corners are internal and add nothing
    assert (table["last_end"][1], table["length_mm"][2]) == ("internal mitre", 1100)


def test_a_door_frame_is_closed_by_returns_one_foot_long():
    # 520 - 71 = 449 before the door; 520 + 762 + 71 = 1353 to 2790 after it.
    table = pieces(BOX_ROOM, doors=(Door(1, 520, 762),))
    assert list(table["piece"][:4]) == ["1a", "1a return", "1b", "1b return"]
    assert list(table["length_mm"][:4]) == [449, 18, 1437, 18]
    assert ends(table)[:4] == [
        ("internal mitre", "return"),
        ("return", "square"),
        ("return", "internal mitre"),
        ("return", "square"),
    ]


def test_a_piece_between_two_doors_has_a_return_at_either_end_each_with_its_own_label():
    table = pieces(((0, 0), (5000, 0), (5000, 3000), (0, 3000)), doors=(Door(1, 400, 762), Door(1, 3000, 762)))
    assert list(table["piece"][:6]) == ["1a", "1a return", "1b", "1b return 1", "1b return 2", "1c"]
    assert table["piece"].is_unique


def test_trim_ends_square_against_what_stands_at_the_wall():
    table = pieces(BOX_ROOM, obstacles=(rectangle(600, 0, 1200, 500),))
    assert ends(table)[:2] == [("internal mitre", "square"), ("square", "internal mitre")]
    assert list(table["length_mm"][:2]) == [600, 1590]


def test_a_corner_filled_by_a_unit_needs_no_mitre_from_the_other_wall():
    table = pieces(BOX_ROOM, obstacles=(rectangle(2190, 0, 2790, 600),))
    assert ends(table)[0] == ("internal mitre", "square")
    assert ends(table)[1] == ("square", "internal mitre")


def test_a_wall_longer_than_the_stock_is_joined_and_no_piece_is_under_the_least():
    # 2790 = 2400 + 390; with at least 400 a piece, 2 x 1395.
    assert list(pieces(BOX_ROOM, stock_length_mm=2400)["length_mm"]) == [2400, 390, 2380, 2400, 390, 2380]
    even = trim_pieces(Room("den", BOX_ROOM), foot_mm=18, stock_length_mm=2400, least_joined_mm=400)
    assert list(even["length_mm"]) == [1395, 1395, 2380, 1395, 1395, 2380]
    assert ends(even)[:2] == [("internal mitre", "join"), ("join", "internal mitre")]


@given(
    stock=st.integers(500, 6000),
    door=st.integers(0, 2000),
    foot=st.integers(5, 40),
)
def test_pieces_cover_all_the_trim_once_and_none_is_longer_than_the_stock(stock, door, foot):
    room = Room("den", BREAST, doors=(Door(1, door, 762),))
    table = trim_pieces(room, foot_mm=foot, stock_length_mm=stock, least_joined_mm=min(300, stock / 2))
    runs = table[~table["piece"].str.endswith("return")]
    by_wall = (runs["to_mm"] - runs["from_mm"]).groupby(runs["wall"]).sum()
    wanted = trim_by_wall(room).set_index("wall")["trim_mm"]
    for wall, length in wanted.items():
        assert by_wall.get(wall, 0.0) == pytest.approx(length, abs=1.1)
    assert table["piece"].is_unique
    assert (table["length_mm"] <= stock + 1e-6).all()
    assert (table["length_mm"] > 0).all()
    assert (table["first_end"] == "external mitre").sum() == (table["last_end"] == "external mitre").sum()


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"foot_mm": 3}, "trim foot must be 5 to 80 mm, got 3 mm."),
        ({"stock_length_mm": 2.4}, "stock length of trim must be 500 to 6000 mm, got 2.4 mm."),
        ({"least_joined_mm": 2000}, "least piece of a joined trim must be 0 to 1200 mm, got 2000 mm."),
    ],
)
def test_a_figure_out_of_its_range_is_refused(options, message):
    with pytest.raises(ValueError) as refused:
        trim_pieces(Room("den", BOX_ROOM), **{"foot_mm": 18, "stock_length_mm": 2400, **options})
    assert str(refused.value) == message
