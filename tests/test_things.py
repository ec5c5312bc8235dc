"""Room, products, rules and choices: what they hold, what they refuse and in which words."""

import math
from dataclasses import FrozenInstanceError, fields, replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import flooring_kit.choices as choices_module
from flooring_kit.choices import Air, Buying, Choices, Heated, Laying, Materials, Warmth, Work
from flooring_kit.products import Board, DoorBar, Sundry, Trim, Underlay
from flooring_kit.room import Door, Edge, FloorBeyond, Level, Obstacle, Pipe, Room, Straightedge
from flooring_kit.rules import LayingRules

OAK = Board("Oak", 1380, 193, 8, 8)
FOAM = Underlay("Foam", "foam", 3, 10)
SCOTIA = Trim("Scotia", 18, 18, 2400)
LEVEL = DoorBar("Level", "level", 900)
DOOR = Door(1, 520, 762)
DEN = Room("Den", ((0, 0), (4200, 0), (4200, 2920), (0, 2920)))
SQUARE = ((0, 0), (300, 0), (300, 300), (0, 300))
CROSSED = ((0, 0), (300, 300), (300, 0), (0, 300))

REFUSALS = [
    (
        OAK,
        {"length_mm": 1.38},
        "board 'Oak': length must be 200 to 5000 mm, got 1.38 mm. This looks like metres: write 1380 for 1.38 m.",
    ),
    (OAK, {"length_mm": 5000.1}, "board 'Oak': length must be 200 to 5000 mm, got 5000.1 mm."),
    (OAK, {"length_mm": math.nan}, "board 'Oak': length must be a finite number, got nan."),
    (
        OAK,
        {"width_mm": 0.193},
        "board 'Oak': width must be 40 to 600 mm, got 0.193 mm. This looks like metres: write 193 for 0.193 m.",
    ),
    (OAK, {"width_mm": "193"}, "board 'Oak': width must be a number in mm, got '193'."),
    (
        OAK,
        {"length_mm": 200, "width_mm": 210},
        "board 'Oak': width must be at most the length, got 210 mm wide and 200 mm long. Swap the two.",
    ),
    (
        OAK,
        {"length_mm": 138},
        "board 'Oak': length must be 200 to 5000 mm, got 138 mm. This looks like centimetres: write 1380 for 138 cm.",
    ),
    (
        OAK,
        {"length_mm": 193, "width_mm": 1380},
        "board 'Oak': length must be 200 to 5000 mm, got 193 mm. Swap length and width.",
    ),
    (
        OAK,
        {"length_mm": 242, "width_mm": 1285},
        "board 'Oak': width must be 40 to 600 mm, got 1285 mm. Swap length and width.",
    ),
    (OAK, {"name": ""}, "name of a board must be text of one letter or more, got ''."),
    (OAK, {"name": None}, "name of a board must be text of one letter or more, got None."),
    (OAK, {"mixed_lengths": "yes"}, "board 'Oak': mixed_lengths must be True or False, got 'yes'."),
    (
        OAK,
        {"least_joint_offset_mm": 0.3},
        "board 'Oak': least joint offset must be 0, or 1 to 2000 mm, got 0.3 mm. "
        "This looks like metres: write 300 for 0.3 m.",
    ),
    (FOAM, {"name": " "}, "name of an underlay must be text of one letter or more, got ' '."),
    (FOAM, {"vapour_sheet": 1}, "underlay 'Foam': vapour_sheet must be True or False, got 1."),
    (SCOTIA, {"name": 7}, "name of a trim must be text of one letter or more, got 7."),
    (LEVEL, {"name": ""}, "name of a door bar must be text of one letter or more, got ''."),
    (Sundry("Tape", "roll"), {"name": ""}, "name of a sundry must be text of one letter or more, got ''."),
    (
        OAK,
        {"length_mm": 1380.25},
        "board 'Oak': length must be given to a tenth of a millimetre, got 1380.25 mm; the nearest is 1380.2 mm.",
    ),
    (
        OAK,
        {"width_mm": 193.04},
        "board 'Oak': width must be given to a tenth of a millimetre, got 193.04 mm; the nearest is 193 mm.",
    ),
    (OAK, {"thickness_mm": 0.8}, "board 'Oak': thickness must be 1 to 40 mm, got 0.8 mm."),
    (OAK, {"boards_per_pack": 0}, "board 'Oak': boards per pack must be a whole number from 1 to 100, got 0."),
    (OAK, {"boards_per_pack": 7.5}, "board 'Oak': boards per pack must be a whole number from 1 to 100, got 7.5."),
    (OAK, {"pack_price": -1}, "board 'Oak': pack price must be 0 to 100000, got -1."),
    (
        OAK,
        {"resistance_m2k_w": 1.3},
        "board 'Oak': thermal resistance must be 0 to 1 m²K/W, got 1.3 m²K/W. 1 tog is 0.1 m²K/W.",
    ),
    (
        OAK,
        {"kind": "laminat"},
        "board 'Oak': kind must be one of laminate, engineered, vinyl, solid, got 'laminat'. Did you mean 'laminate'?",
    ),
    (OAK, {"hand": "both"}, "board 'Oak': hand must be one of right, left, got 'both'."),
    (OAK, {"least_gap_mm": -1}, "board 'Oak': least gap must be 0 to 2000 mm, got -1 mm."),
    (OAK, {"least_joint_offset_mm": 2001}, "board 'Oak': least joint offset must be 0 to 2000 mm, got 2001 mm."),
    (OAK, {"shortest_piece_mm": math.inf}, "board 'Oak': shortest piece must be a finite number, got inf."),
    (
        OAK,
        {"longest_along_mm": 12},
        "board 'Oak': longest floor along the boards must be 1000 to 100000 mm, got 12 mm.",
    ),
    (
        OAK,
        {"longest_across_mm": 8},
        "board 'Oak': longest floor across the boards must be 1000 to 100000 mm, got 8 mm.",
    ),
    (
        FOAM,
        {"kind": "fibre"},
        "underlay 'Foam': kind must be one of foam, fibre board, rubber, cork, got 'fibre'. "
        "Did you mean 'fibre board'?",
    ),
    (FOAM, {"thickness_mm": 0.2}, "underlay 'Foam': thickness must be 0.5 to 30 mm, got 0.2 mm."),
    (FOAM, {"pack_area_m2": 0}, "underlay 'Foam': pack area must be 0.1 to 200 m², got 0 m²."),
    (FOAM, {"pack_price": -0.5}, "underlay 'Foam': pack price must be 0 to 100000, got -0.5."),
    (
        FOAM,
        {"resistance_m2k_w": -0.1},
        "underlay 'Foam': thermal resistance must be 0 to 1 m²K/W, got -0.1 m²K/W. 1 tog is 0.1 m²K/W.",
    ),
    (
        FOAM,
        {"compressive_strength_kpa": 0},
        "underlay 'Foam': compressive strength must be 0.1 to 5000 kPa, got 0 kPa.",
    ),
    (FOAM, {"impact_sound_db": 61}, "underlay 'Foam': impact sound reduction must be 0 to 60 dB, got 61 dB."),
    (SCOTIA, {"foot_mm": 1.8}, "trim 'Scotia': foot must be 5 to 80 mm, got 1.8 mm."),
    (SCOTIA, {"height_mm": 151}, "trim 'Scotia': height must be 5 to 150 mm, got 151 mm."),
    (
        SCOTIA,
        {"length_mm": 2.4},
        "trim 'Scotia': length must be 500 to 6000 mm, got 2.4 mm. Lengths are in mm: write 2400 for 2.4 m.",
    ),
    (SCOTIA, {"price": -1}, "trim 'Scotia': price must be 0 to 10000, got -1."),
    (SCOTIA, {"material": "mdf"}, "trim 'Scotia': material must be one of MDF, plastic, timber, got 'mdf'."),
    (
        LEVEL,
        {"kind": "edge"},
        "door bar 'Level': kind must be one of level, ramp, single edge, end, got 'edge'.",
    ),
    (LEVEL, {"length_mm": 90}, "door bar 'Level': length must be 300 to 6000 mm, got 90 mm."),
    (LEVEL, {"least_step_mm": -1}, "door bar 'Level': least step must be 0 to 50 mm, got -1 mm."),
    (LEVEL, {"least_step_mm": 6.0, "most_step_mm": 3}, "door bar 'Level': most step must be 6 to 50 mm, got 3 mm."),
    (LEVEL, {"price": 10_001}, "door bar 'Level': price must be 0 to 10000, got 10001."),
    (Sundry("Tape", "roll"), {"price": -1}, "sundry 'Tape': price must be 0 to 10000, got -1."),
    (
        Obstacle("hearth", SQUARE),
        {"kind": "chimney"},
        "obstacle 'hearth': kind must be one of fixed, hearth, island, unit, wardrobe, column, stairs, got 'chimney'.",
    ),
    (
        Pipe((0, 0)),
        {"diameter_mm": 0.015},
        "pipe diameter must be 4 to 200 mm, got 0.015 mm. This looks like metres: write 15 for 0.015 m.",
    ),
    (Pipe((0, 0)), {"at": (math.nan, 60)}, "pipe: at: x must be a finite number, got nan."),
    (Pipe((0, 0)), {"at": (60, "a")}, "pipe: at: y must be a number in mm, got 'a'."),
    (Pipe((0, 0)), {"at": 60}, "pipe: at must be a pair (x, y) in mm, got 60."),
    (Pipe((0, 0)), {"at": (1, 2, 3)}, "pipe: at must be a pair (x, y) in mm, got (1, 2, 3)."),
    (Pipe((0, 0)), {"at": "12"}, "pipe: at must be a pair (x, y) in mm, got '12'."),
    (Level((0, 0), 0), {"at": (0, math.inf)}, "level: at: y must be a finite number, got inf."),
    (Straightedge((0, 0), 2), {"at": None}, "straightedge: at must be a pair (x, y) in mm, got None."),
    (Edge(1), {"bow": ((500, math.nan),)}, "edge of wall 1: bow reading 1: y must be a finite number, got nan."),
    (Edge(1), {"bow": 5}, "edge of wall 1: bow must be a list of bow readings (x, y) in mm, got 5."),
    (
        FloorBeyond("carpet", (8, 8)),
        {"heights_mm": 8},
        "floor beyond: heights must be two, (near end, far end) in mm, got 8.",
    ),
    (Edge(1), {"rise_mm": math.nan}, "edge of wall 1: rise must be a finite number, got nan."),
    (
        Obstacle("hearth", SQUARE),
        {"outline": ((0, 0), (300, 0), (300, math.nan))},
        "obstacle 'hearth': corner 3: y must be a finite number, got nan.",
    ),
    (
        Obstacle("hearth", SQUARE),
        {"outline": SQUARE[:2]},
        "obstacle 'hearth': an outline needs 3 corners or more, got 2.",
    ),
    (
        Obstacle("hearth", SQUARE),
        {"outline": CROSSED},
        "obstacle 'hearth': the outline crosses or touches itself. Give the corners in order round it.",
    ),
    (
        Obstacle("hearth", SQUARE),
        {"outline": tuple((x / 1000, y / 1000) for x, y in SQUARE)},
        "obstacle 'hearth': its longer side must be at least 10 mm overall, got 0.3 mm. "
        "This looks like metres: write 300 for 0.3 m.",
    ),
    (
        Obstacle("hearth", SQUARE),
        {"outline": (*SQUARE, SQUARE[0])},
        "obstacle 'hearth': corner 5 repeats corner 1, both at [0, 0] mm. "
        "The outline closes by itself: leave the last corner out.",
    ),
    (Obstacle("hearth", SQUARE), {"name": None}, "name of an obstacle must be text of one letter or more, got None."),
    (DOOR, {"from_corner_mm": -1}, "door: from_corner must be 0 to 100000 mm, got -1 mm."),
    (
        DOOR,
        {"opening_mm": 0.762},
        "door: opening must be 300 to 6000 mm, got 0.762 mm. This looks like metres: write 762 for 0.762 m.",
    ),
    (
        DOOR,
        {"from_corner_mm": 0.52},
        "door: from_corner must be 0, or 1 to 100000 mm, got 0.52 mm. This looks like metres: write 520 for 0.52 m.",
    ),
    (
        DOOR,
        {"recess_mm": 0.06},
        "door: recess must be 0, or 1 to 1000 mm, got 0.06 mm. This looks like metres: write 60 for 0.06 m.",
    ),
    (
        DOOR,
        {"architrave_mm": 0.071},
        "door: architrave must be 0, or 1 to 300 mm, got 0.071 mm. This looks like metres: write 71 for 0.071 m.",
    ),
    (DOOR, {"undercut": "no"}, "door: undercut must be True or False, got 'no'."),
    (DOOR, {"fire_door": None}, "door: fire_door must be True or False, got None."),
    (DOOR, {"recess_mm": 1001}, "door: recess must be 0 to 1000 mm, got 1001 mm."),
    (DOOR, {"architrave_mm": -71}, "door: architrave must be 0 to 300 mm, got -71 mm."),
    (
        DEN,
        {"subfloor": "concreet"},
        "subfloor must be one of concrete, screed, timber, got 'concreet'. Did you mean 'concrete'?",
    ),
    (
        DEN,
        {"outline": tuple((x / 1000, y / 1000) for x, y in DEN.outline)},
        "room 'Den': outline: the longer side of the room must be 300 to 100000 mm overall, got 4.2 mm. "
        "This looks like metres: write 4200 for 4.2 m.",
    ),
    (
        DEN,
        {"outline": ((0, 0), (240, 0), (240, 90), (0, 90))},
        "room 'Den': outline: the longer side of the room must be 300 to 100000 mm overall, got 240 mm. "
        "This looks like centimetres: write 2400 for 240 cm.",
    ),
    (
        DEN,
        {"outline": (*DEN.outline, (0, 0))},
        "room 'Den': corner 5 repeats corner 1, both at [0, 0] mm. "
        "The outline closes by itself: leave the last corner out.",
    ),
    (
        DEN,
        {"outline": (*DEN.outline[:2], *DEN.outline[1:])},
        "room 'Den': corner 3 repeats corner 2, both at [4200, 0] mm. Leave one of the two out.",
    ),
    (
        DEN,
        {"outline": [(x, y, 0) for x, y in DEN.outline]},
        "room 'Den': corner 1 must be a pair (x, y) in mm, got (0, 0, 0).",
    ),
    (DEN, {"outline": [0, 4200]}, "room 'Den': corner 1 must be a pair (x, y) in mm, got 0."),
    (DEN, {"outline": None}, "room 'Den': outline must be a list of corners (x, y) in mm, got None."),
    (DEN, {"outline": DEN.polygon}, "room 'Den': outline must be a list of corners (x, y) in mm, got a Polygon."),
    (DEN, {"doors": DOOR}, "room 'Den': doors must be a list, each a Door, got a Door. Write [doors] for one."),
    (DEN, {"doors": (DOOR, OAK)}, "room 'Den': doors: number 2 must be a Door, got a Board."),
    (DEN, {"obstacles": [SQUARE]}, f"room 'Den': obstacles: number 1 must be an Obstacle, got {SQUARE}."),
    (DEN, {"name": ""}, "name of a room must be text of one letter or more, got ''."),
    (DEN, {"heated": "no"}, "room 'Den': heated must be True or False, got 'no'."),
    (DEN, {"wet": 0}, "room 'Den': wet must be True or False, got 0."),
    (DEN, {"boards_run": None}, "room 'Den': boards_run must be 'long', 'short' or degrees, got None."),
    (
        DEN,
        {"floorboards_run": "90"},
        "room 'Den': floorboards_run must be 'long', 'short' or degrees as a number, got '90'. Leave the quotes out.",
    ),
    (
        LayingRules(),
        {"gap_mm": 0.01},
        "gap must be 0, or 0.05 to 50 mm, got 0.01 mm. This looks like metres: write 10 for 0.01 m.",
    ),
    (
        LayingRules(),
        {"joint_offset_mm": 0.3},
        "joint offset must be 0, or 1 to 2000 mm, got 0.3 mm. This looks like metres: write 300 for 0.3 m.",
    ),
    (
        LayingRules(),
        {"shortest_piece_mm": 0.3},
        "shortest piece must be 0, or 1 to 2000 mm, got 0.3 mm. This looks like metres: write 300 for 0.3 m.",
    ),
    (
        LayingRules(),
        {"narrowest_row_mm": 0.05},
        "narrowest row must be 0, or 0.5 to 500 mm, got 0.05 mm. This looks like metres: write 50 for 0.05 m.",
    ),
    (
        LayingRules(),
        {"kerf_mm": 0.003},
        "saw kerf must be 0, or 0.01 to 10 mm, got 0.003 mm. This looks like metres: write 3 for 0.003 m.",
    ),
    (LayingRules(), {"gap_mm": 51}, "gap must be 0 to 50 mm, got 51 mm."),
    (LayingRules(), {"gap_mm": math.nan}, "gap must be a finite number, got nan."),
    (LayingRules(), {"joint_offset_mm": -1}, "joint offset must be 0 to 2000 mm, got -1 mm."),
    (LayingRules(), {"shortest_piece_mm": 2001}, "shortest piece must be 0 to 2000 mm, got 2001 mm."),
    (LayingRules(), {"narrowest_row_mm": 501}, "narrowest row must be 0 to 500 mm, got 501 mm."),
    (LayingRules(), {"kerf_mm": 11}, "saw kerf must be 0 to 10 mm, got 11 mm."),
    (LayingRules(), {"offcut_margin_mm": -0.1}, "offcut margin must be 0 to 300 mm, got -0.1 mm."),
    (LayingRules(), {"under_frame_mm": 41}, "floor under frames must be 0 to 40 mm, got 41 mm."),
    (Buying(), {"miscut_fraction": 2}, "miscuts must be 0 to 0.5, got 2. Write 2 % as 0.02."),
    (Buying(), {"least_miscuts": 1.5}, "least boards for miscuts must be a whole number from 0 to 100, got 1.5."),
    (Buying(), {"kept_for_repairs": -1}, "boards kept for repairs must be a whole number from 0 to 100, got -1."),
    (Buying(), {"underlay_spare_fraction": 5}, "underlay spare must be 0 to 0.5, got 5. Write 5 % as 0.05."),
    (Buying(), {"tax_fraction": 20}, "tax must be 0 to 0.5, got 20. Write 20 % as 0.20."),
]


@pytest.mark.parametrize(("thing", "wrong", "message"), REFUSALS, ids=[message[:60] for _, _, message in REFUSALS])
def test_a_wrong_value_is_refused_by_its_name_rule_and_unit(thing, wrong, message):
    with pytest.raises(ValueError) as refusal:
        replace(thing, **wrong)
    assert str(refusal.value) == message


@pytest.mark.parametrize(
    "thing", [OAK, FOAM, SCOTIA, LEVEL, DOOR, DEN, LayingRules(), Buying(), Laying(), Pipe((0, 0))]
)
def test_nothing_made_can_be_changed_afterwards(thing):
    with pytest.raises(FrozenInstanceError):
        setattr(thing, fields(thing)[0].name, None)


# --- products ---------------------------------------------------------------------------------------------


def test_a_board_and_a_pack_have_the_area_of_their_faces():
    # 1.380 x 0.193 = 0.26634 m²; eight of them 2.13072 m²
    assert OAK.area_m2 == pytest.approx(0.26634, abs=5e-12)
    assert OAK.pack_area_m2 == pytest.approx(2.13072, abs=5e-12)


@pytest.mark.parametrize(
    ("thing", "edge"),
    [
        (OAK, {"length_mm": 200, "width_mm": 200}),
        (OAK, {"length_mm": 5000, "width_mm": 600, "thickness_mm": 40, "boards_per_pack": 100}),
        (OAK, {"width_mm": 40, "thickness_mm": 1, "boards_per_pack": 1, "pack_price": 0, "resistance_m2k_w": 0}),
        (FOAM, {"thickness_mm": 0.5, "pack_area_m2": 0.1}),
        (SCOTIA, {"length_mm": 500}),
        (LEVEL, {"least_step_mm": 3, "most_step_mm": 3}),
        (DOOR, {"from_corner_mm": 0, "opening_mm": 300, "recess_mm": 1000, "architrave_mm": 0}),
        (LayingRules(), dict.fromkeys(("gap_mm", "kerf_mm", "offcut_margin_mm", "joint_offset_mm"), 0)),
        (LayingRules(), dict.fromkeys(("shortest_piece_mm", "narrowest_row_mm", "under_frame_mm"), 0)),
        (LayingRules(), {"gap_mm": 0.5, "kerf_mm": 0.1, "offcut_margin_mm": 0.5, "joint_offset_mm": 2}),
        (DOOR, {"from_corner_mm": 1, "recess_mm": 1}),
        (Buying(), {"miscut_fraction": 0.5, "least_miscuts": 0, "tax_fraction": 0}),
    ],
)
def test_the_limits_themselves_are_allowed(thing, edge):
    made = replace(thing, **edge)
    assert {name: getattr(made, name) for name in edge} == edge


def test_prices_and_resistances_may_be_unknown():
    assert (OAK.pack_price, OAK.resistance_m2k_w, FOAM.pack_price, SCOTIA.price, LEVEL.price) == (None,) * 5


# --- rules ------------------------------------------------------------------------------------------------


def test_the_default_rules_are_those_of_common_practice():
    # practice.md, setting out: gap 10, offset 300, end piece 300, row 50, kerf 3; floor 10 under a frame
    assert LayingRules() == LayingRules(10, 300, 300, 50, 3, 10, 10)


def test_two_pieces_of_one_board_lie_a_kerf_and_the_margin_apart():
    assert LayingRules(kerf_mm=3, offcut_margin_mm=10).spacing_mm == 13
    assert LayingRules(kerf_mm=0, offcut_margin_mm=0).spacing_mm == 0


def test_a_leaflet_raises_rules_and_never_lowers_them():
    strict = replace(OAK, least_gap_mm=12, least_joint_offset_mm=400, shortest_piece_mm=350)
    assert LayingRules().raised_to_leaflet(strict) == LayingRules(gap_mm=12, joint_offset_mm=400, shortest_piece_mm=350)
    assert LayingRules(gap_mm=15).raised_to_leaflet(strict).gap_mm == 15
    silent = LayingRules(11, 250, 200, 60, 2, 5, 8)
    assert silent.raised_to_leaflet(OAK) == silent


@given(*[st.just(0.0) | st.floats(2, 50) for _ in range(4)])
def test_raising_to_a_leaflet_twice_is_raising_once(gap, offset, least_gap, least_offset):
    board = replace(OAK, least_gap_mm=least_gap, least_joint_offset_mm=least_offset)
    once = LayingRules(gap_mm=gap, joint_offset_mm=offset).raised_to_leaflet(board)
    assert once.raised_to_leaflet(board) == once
    assert once.gap_mm >= gap
    assert once.gap_mm >= least_gap


def test_a_leaflet_gap_no_rule_allows_is_refused():
    with pytest.raises(ValueError, match=r"^gap must be 0 to 50 mm, got 60 mm\.$"):
        LayingRules().raised_to_leaflet(replace(OAK, least_gap_mm=60))


# --- room -------------------------------------------------------------------------------------------------


def test_wall_1_runs_from_corner_1_to_corner_2_and_the_last_wall_closes_the_room():
    assert DEN.walls == (
        ((0, 0), (4200, 0)),
        ((4200, 0), (4200, 2920)),
        ((4200, 2920), (0, 2920)),
        ((0, 2920), (0, 0)),
    )
    assert [DEN.wall_length_mm(wall) for wall in (1, 2, 3, 4)] == [4200, 2920, 4200, 2920]


def test_a_slanted_wall_is_as_long_as_its_face():
    # S11: legs 3 and 4, long side 5
    room = Room("Corner", ((0, 0), (4000, 3000), (0, 3000)))
    assert [room.wall_length_mm(wall) for wall in (1, 2, 3)] == [5000, 4000, 3000]


@pytest.mark.parametrize("first", [0, 1, 2, 3])
@pytest.mark.parametrize("reverse", [False, True])
def test_the_sense_of_the_corners_is_read_off_the_outline(first, reverse):
    corners = DEN.outline[first:] + DEN.outline[:first]
    assert Room("Den", corners[::-1] if reverse else corners).turns_clockwise is reverse


def test_corners_may_come_as_an_array_and_are_kept_as_pairs_of_plain_numbers():
    assert Room("Den", np.array(DEN.outline)) == DEN
    assert Room("Den", np.array(DEN.outline, dtype=float)) == DEN
    assert Obstacle("column", np.array(SQUARE)) == Obstacle("column", SQUARE)
    assert Pipe(np.array([3100.5, 60])) == Pipe((3100.5, 60))
    assert hash(Room("Den", [list(corner) for corner in DEN.outline], doors=[DOOR])) == hash(
        replace(DEN, doors=(DOOR,))
    )


def test_a_walls_number_from_a_table_may_be_a_whole_float():
    room = replace(DEN, doors=(replace(DOOR, wall=2.0),), edges=(Edge(1.0),))
    assert (type(room.doors[0].wall), type(room.edges[0].wall)) == (int, int)
    assert room.wall_length_mm(room.doors[0].wall) == 2920


def test_true_and_false_of_a_table_are_taken():
    assert replace(OAK, mixed_lengths=np.bool_(True)).mixed_lengths


def test_an_obstacle_has_the_area_of_its_corners():
    assert Obstacle("column", SQUARE).polygon.area == 300 * 300


# --- choices ----------------------------------------------------------------------------------------------


def test_choices_say_everything_with_defaults_but_for_the_materials():
    made = Choices(Materials("Oak", "Foam"))
    assert made == Choices(
        Materials("Oak", "Foam", None),
        Laying("long", "first", None, LayingRules(), 0),
        Buying(0.02, 2, 0, 0.0, 0.20, "£"),
        Warmth(None, "clay or silt", 48.0, 28.0, 0.0, (1800.0, 2400.0), 0.08, 0.9, 20.0, 0.5, -3.0),
        Heated(150.0, 16.0, 45.0, 1.2, 40.0, 35.0, 50.0, "occupied"),
        Air(50.0, 35.0, 65.0, 20.0, "cement screed", "BS 8203 and BS 8204"),
        Work(None, False, "no", 2.5),
        1,
    )
    assert made.version == choices_module.CHOICES_VERSION
    assert hash(made) == hash(Choices(Materials("Oak", "Foam")))
