"""Plans sawn and laid again from the fitter's two tables, and proof that the check notices a wrong table."""

from __future__ import annotations

import math
from typing import Any

import pandas as pd
import pytest
from floors import DEMO_ROOMS, THREE_BOARDS, demo_boards, demo_room, random_floors, rectangle, turned
from sawn_again import boards_sawn, figures_against_corners, laid_again, pieces_from_list
from shapely import Polygon, box

import flooring_kit as fk

QUICK = fk.Search(quick=True)
OAK = "Oak plank 1380 x 193"
HALF_A_TENTH = 0.051
"""Sizes and corners are stated in whole tenths; and binary fractions."""

PLAIN = fk.Board("plank", 1000, 200, 8, 8)
GROOVES_FIRST = fk.Board("plank", 1000, 200, 8, 8, row_start_lock="groove", start_wall_lock="groove")
LEFT_HANDED = fk.Board("plank", 1000, 200, 8, 8, hand="left")


def all_faults(plan: fk.Plan, *, cuts: pd.DataFrame | None = None, places: pd.DataFrame | None = None) -> list[str]:
    """What sawing, laying and comparing the figures find, with each table made once."""
    cuts = fk.cut_list(plan) if cuts is None else cuts
    places = fk.shaping(plan) if places is None else places
    return (
        boards_sawn(plan, cuts=cuts)
        + laid_again(plan, cuts=cuts, places=places)
        + figures_against_corners(plan, cuts=cuts, places=places)
    )


def with_value(table: pd.DataFrame, at: int, column: str, value: Any) -> pd.DataFrame:
    """A copy of a table with one value changed."""
    damaged = table.copy()
    damaged.at[at, column] = value
    return damaged


def bay_room() -> fk.Room:
    """4200 x 3000 with a round bay of 1800 in the far wall, 450 deep."""
    corners = ((0.0, 0.0), (4200.0, 0.0), (4200.0, 3000.0), (3000.0, 3000.0), (1200.0, 3000.0), (0.0, 3000.0))
    return fk.Room("bay", corners, edges=(fk.Edge(4, rise_mm=450),))


def room_with(*obstacles: fk.Obstacle, length_mm: float = 920, width_mm: float = 620) -> fk.Room:
    """A rectangle with things standing in it; by default one board long and three rows of 200 deep."""
    return rectangle(length_mm, width_mm, obstacles=obstacles)


def block(x0: float, y0: float, x1: float, y1: float, kind: str = "fixed") -> fk.Obstacle:
    """A rectangular thing on the floor [mm, survey axes]."""
    return fk.Obstacle("block", ((x0, y0), (x1, y0), (x1, y1), (x0, y1)), kind)


COLUMN_ROOM = room_with(
    block(1700, 1300, 1950, 1550, "column"),
    fk.Obstacle("round", tuple((3000 + 150 * math.cos(t / 6 * math.pi), 900 + 150 * math.sin(t / 6 * math.pi))
                               for t in range(12)), "column"),
    length_mm=4300,
    width_mm=2900,
)  # fmt: skip


# ------------------------------------------------------------------------------------------- every kind of floor


@pytest.mark.parametrize("start", ["first", "opposite"])
@pytest.mark.parametrize("direction", ["long", "short"])
@pytest.mark.parametrize("name", DEMO_ROOMS)
def test_a_demo_room_is_laid_again_from_its_cut_list_either_way_from_either_corner(name, direction, start):
    room, board = demo_room(name), demo_boards()[OAK]
    plan = fk.set_out(room, board, direction=direction, first_row=fk.FirstRow(start=start), search=QUICK)
    assert all_faults(plan) == []


@pytest.mark.parametrize("board", THREE_BOARDS[1:])
@pytest.mark.parametrize("name", DEMO_ROOMS)
def test_a_demo_room_is_laid_again_with_other_boards(name, board):
    assert all_faults(fk.set_out(demo_room(name), demo_boards()[board], search=QUICK)) == []


@pytest.mark.parametrize("degrees", [30, 45, 117.5])
@pytest.mark.parametrize("name", ["box_room", "hall", "sitting_room"])
def test_a_demo_room_laid_at_an_angle_is_laid_again_from_its_cut_list(name, degrees):
    assert all_faults(fk.set_out(demo_room(name), demo_boards()[OAK], direction=degrees, search=QUICK)) == []


@pytest.mark.parametrize(
    ("room", "board"), [pytest.param(room, board, id=room.name) for _, room, board in random_floors(18, seed=23)]
)
def test_a_random_floor_is_laid_again_from_its_cut_list(room, board):
    for direction in ("long", 30.0):
        assert all_faults(fk.set_out(room, board, direction=direction, search=QUICK)) == []


@pytest.mark.parametrize("degrees", [30.0, 45.0])
def test_a_room_surveyed_askew_is_laid_again_along_its_walls(degrees):
    room = turned(rectangle(4020, 2920), degrees)
    assert all_faults(fk.set_out(room, demo_boards()[OAK], direction="long", search=QUICK)) == []


@pytest.mark.parametrize("direction", ["long", "short", 45.0])
@pytest.mark.parametrize("room", [bay_room(), COLUMN_ROOM], ids=["round bay", "columns"])
def test_arcs_and_free_standing_columns_are_sawn_out_of_the_pieces(room, direction):
    plan = fk.set_out(room, demo_boards()[OAK], direction=direction, search=QUICK)
    assert all_faults(plan) == []
    assert not fk.shaping(plan)["square"].all()


@pytest.mark.parametrize("room", [demo_room("hall"), demo_room("sitting_room"), bay_room(), COLUMN_ROOM],
                         ids=["hall", "sitting room", "round bay", "columns"])  # fmt: skip
@pytest.mark.parametrize("locks", [("groove", "tongue"), ("tongue", "groove"), ("groove", "groove")])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_other_hands_and_locks_the_other_way_round_are_laid_again(room, locks, hand):
    board = fk.Board("plank", 1380, 193, 8, 8, hand=hand, row_start_lock=locks[0], start_wall_lock=locks[1])
    assert all_faults(fk.set_out(room, board, search=QUICK)) == []


def test_a_long_hearth_that_parts_a_row_lengthways_is_laid_again():
    # 40 + 2 x 10 wide, in rows of 193 and boards of 600: at least one whole board lies beside it, in two strips.
    room = room_with(block(700, 900, 2900, 940, "hearth"), length_mm=3600, width_mm=1800)
    for width_mm in (None, 50.0, 100.0, 150.0):
        plan = fk.set_out(
            room,
            fk.Board("plank", 600, 193, 8, 8),
            direction=0,
            first_row=fk.FirstRow(width_mm=width_mm),
            search=QUICK,
        )
        assert all_faults(plan) == []


# ------------------------------------------------------------------------------------------- worked by hand


def three_rows(*obstacles: fk.Obstacle, board: fk.Board = PLAIN) -> fk.Plan:
    """Three whole rows of one piece each: 900 long, 200 wide, clear of a gap of 10 all round a room of 920 x 620."""
    plan = fk.set_out(room_with(*obstacles), board, direction=0, first_row=fk.FirstRow(width_mm=200), search=QUICK)
    assert plan.pieces["piece"].tolist() == ["1a", "2a", "3a"]
    return plan


def only_place(plan: fk.Plan) -> Any:
    """The one place that is shaped."""
    (place,) = fk.shaping(plan).itertuples()
    return place


def figures(place: Any) -> tuple[Any, ...]:
    return (
        place.piece,
        place.kind,
        (place.end, place.from_end_mm, place.along_mm),
        (place.edge, place.from_edge_mm, place.across_mm),
        place.square,
    )


# The floor runs from x = 10 to 910 and y = 10 to 610. Laid right-handed at 0 degrees, u = x - 10 and v = 610 - y:
# rows 1, 2, 3 are v 0-200, 200-400, 400-600. Every thing is kept clear by 10 on all sides.

PIER = block(310, 540, 390, 620)
"""80 x 80 against the start wall: clear x 300 to 400, y from 530. u 290-390, v 0-80."""


def test_a_square_pier_at_the_start_wall_is_a_notch_worked_by_hand():
    place = only_place(three_rows(PIER))
    assert figures(place) == ("1a", "edge", ("tongue end", 290, 100), ("tongue edge", 0, 80), True)
    assert set(place.corners_mm) == {(290, 0), (290, 80), (390, 80), (390, 0)}
    assert place.corners_mm[0] == (290, 0)  # the corner nearest to the end and the edge comes first
    assert math.isnan(place.angle_degrees)


def test_the_same_pier_is_named_by_the_other_locks_where_the_boards_lie_the_other_way_round():
    place = only_place(three_rows(PIER, board=GROOVES_FIRST))
    assert figures(place) == ("1a", "edge", ("groove end", 290, 100), ("groove edge", 0, 80), True)


def test_the_same_pier_is_in_the_last_row_of_boards_of_the_other_hand():
    # Mirrored: still laid towards +x, but rows come up from y = 10, so the pier is in row 3, at its other edge.
    place = only_place(three_rows(PIER, board=LEFT_HANDED))
    assert figures(place) == ("3a", "edge", ("tongue end", 290, 100), ("groove edge", 0, 80), True)


def test_the_same_pier_from_the_opposite_corner_is_measured_from_the_other_end():
    # Laid towards -x from the far wall: u = 910 - x, v = y - 10. The pier: u 510-610, v 520-600, in row 3, and its
    # middle is 560 of 900 along, so it is measured from the end away from the row's start: 900 - 610 = 290.
    plan = fk.set_out(
        room_with(PIER), PLAIN, direction=0, first_row=fk.FirstRow(start="opposite", width_mm=200), search=QUICK
    )
    place = only_place(plan)
    assert figures(place) == ("3a", "edge", ("groove end", 290, 100), ("groove edge", 0, 80), True)


def test_a_block_in_a_corner_takes_that_corner_of_the_last_piece():
    # x from 770, y to 120: clear from 760 and to 130. u 750-900, v 480-600: 150 along, 120 across, in row 3.
    place = only_place(three_rows(block(770, 0, 920, 120)))
    assert figures(place) == ("3a", "corner", ("groove end", 0, 150), ("groove edge", 0, 120), True)
    assert set(place.corners_mm) == {(0, 0), (150, 0), (150, 120), (0, 120)}


def test_a_pier_at_the_end_of_a_row_is_let_into_that_end():
    # x to 60, y 280-340: clear to 70, 270-350. u 0-60, v 260-340: in row 2, 60 to 140 from its start-wall edge; its
    # middle is as far from one edge as from the other, so the start-wall edge names it.
    place = only_place(three_rows(block(0, 280, 60, 340)))
    assert figures(place) == ("2a", "end", ("tongue end", 0, 60), ("tongue edge", 60, 80), True)


def test_a_column_inside_one_piece_is_a_hole_measured_from_the_nearer_end_and_edge():
    # x 520-580, y 290-350: clear 510-590 and 280-360. u 500-580, v 250-330: in row 2, 50 to 130 from its start-wall
    # edge; its middle, 540, is nearer the other end: 900 - 580 = 320.
    plan = three_rows(block(520, 290, 580, 350, "column"))
    place = only_place(plan)
    assert figures(place) == ("2a", "hole", ("groove end", 320, 80), ("tongue edge", 50, 80), True)
    assert pieces_from_list(plan)["2a"].equals(box(0, 0, 900, 200) - box(500, 50, 580, 130))


def test_a_column_over_a_row_line_takes_some_of_both_pieces():
    # x 200-260, y 380-440: clear 190-270 and 370-450. u 180-260, v 160-240: 40 out of each side of the row line.
    first, second = fk.shaping(three_rows(block(200, 380, 260, 440, "column"))).itertuples()
    assert figures(first) == ("1a", "edge", ("tongue end", 180, 80), ("groove edge", 0, 40), True)
    assert figures(second) == ("2a", "edge", ("tongue end", 180, 80), ("tongue edge", 0, 40), True)


def test_a_wall_out_of_true_is_a_taper_with_its_width_at_both_ends():
    # The far wall rises 45 over the 900 of the floor, from y = 20 at x = 10 (1 : 20, so 46 over the room's 920).
    # The gap of 10, measured square to the slope, takes 10 * sqrt(1 + 1/400) = 10.0125 upwards: at the row's start row
    # 3, from y = 210 down, is 210 - 30.0125 = 179.9875 wide, listed as 180.0; at the other end 45 less.
    corners = ((0.0, 19.5), (920.0, 65.5), (920.0, 620.0), (0.0, 620.0))
    plan = fk.set_out(fk.Room("taper", corners), PLAIN, direction=0, first_row=fk.FirstRow(width_mm=200), search=QUICK)
    place = only_place(plan)
    assert (place.piece, place.kind, place.edge, place.along_mm) == ("3a", "taper", "groove edge", 900)
    assert place.across_mm == pytest.approx(45, abs=HALF_A_TENTH)
    cut = fk.cut_list(plan).set_index("piece").loc["3a"]
    assert cut["rip_mm"] == 180.0
    # Widths are read a little inside the ends (0.2, which is 0.01 of this slope) and rounded to a tenth.
    assert cut["tongue_end_mm"] == pytest.approx(180, abs=HALF_A_TENTH + 0.02)
    assert cut["groove_end_mm"] == pytest.approx(135, abs=HALF_A_TENTH + 0.02)
    assert all_faults(plan) == []


def test_boards_at_45_degrees_to_the_walls_have_ends_sawn_45_degrees_off_square():
    # Across 193 the cut then runs 193 along: a slant of 193 x 193.
    slants = slants_of(45.0)
    assert set(slants["angle_degrees"]) == {45.0}
    assert (slants["along_mm"] - 193).abs().max() <= HALF_A_TENTH


def test_boards_at_30_degrees_to_a_wall_have_ends_sawn_60_off_square_there_and_30_at_the_walls_beside_it():
    # A wall at t degrees to the boards cuts them 90 - t off square. The long walls: 30, off square 60, and the cut runs
    # 193 * tan 60 = 334.3 along; the short walls: 60, off square 30, and 193 * tan 30 = 111.4.
    slants = slants_of(30.0)
    assert set(slants["angle_degrees"]) == {30.0, 60.0}
    for degrees, along_mm in ((60.0, 193 * math.sqrt(3)), (30.0, 193 / math.sqrt(3))):
        found = slants["along_mm"][slants["angle_degrees"] == degrees]
        assert (found - along_mm).abs().max() <= HALF_A_TENTH


def slants_of(degrees: float) -> pd.DataFrame:
    """The ends sawn in one straight cut, over the whole width of a board, in a room of 4020 x 2920."""
    plan = fk.set_out(rectangle(4020, 2920), demo_boards()[OAK], direction=degrees, search=QUICK)
    places = fk.shaping(plan)
    slants = places[(places["kind"] == "slant") & (places["across_mm"] == 193) & places["angle_degrees"].notna()]
    assert len(slants) > 10
    return slants


# ------------------------------------------------------------------------------------------- the check notices


CORNER = fk.set_out(
    room_with(block(300, 540, 390, 620), block(1200, 0, 1330, 70), length_mm=2720, width_mm=1020),
    PLAIN,
    direction=0,
    search=QUICK,
)
"""Clear 2700 x 1000 with two blocks at the walls: boards of 1000 in five rows of 200, several pieces a row."""


def first_where(flags: pd.Series) -> int:
    """Index of the first row that is true."""
    return int(flags[flags].index[0])


def test_the_floor_the_damage_is_done_to_is_without_a_fault():
    assert all_faults(CORNER) == []


@pytest.mark.parametrize(("kept", "wrong"), [("groove end", "tongue end"), ("tongue end", "groove end")])
def test_a_piece_listed_with_the_wrong_factory_end_is_noticed(kept, wrong):
    cuts = fk.cut_list(CORNER)
    at = first_where(cuts["keeps_end"] == kept)
    label = cuts["piece"][at]
    faults = laid_again(CORNER, cuts=with_value(cuts, at, "keeps_end", wrong))
    assert any(f"yet {label} has no factory end there." in fault for fault in faults)


def test_a_piece_listed_with_the_wrong_factory_edge_is_noticed():
    cuts = fk.cut_list(CORNER)
    at = first_where(cuts["keeps_edge"].isin(["tongue edge", "groove edge"]) & cuts["rip_mm"].isna())
    wrong = {"tongue edge": "groove edge", "groove edge": "tongue edge"}[cuts["keeps_edge"][at]]
    faults = laid_again(CORNER, cuts=with_value(cuts, at, "keeps_edge", wrong))
    assert any(f"{cuts['piece'][at]} has no factory edge there." in fault for fault in faults)


def test_an_end_that_is_kept_at_both_sides_of_a_sawn_piece_is_noticed():
    cuts = fk.cut_list(CORNER)
    at = first_where(cuts["saw_mm"].notna())
    label, saw = cuts["piece"][at], cuts["saw_mm"][at]
    faults = boards_sawn(CORNER, cuts=with_value(cuts, at, "keeps_end", "both ends"))
    assert f"{label} keeps both ends, yet is sawn to {saw:.1f} mm." in faults


@pytest.mark.parametrize("by_mm", [5.0, -5.0])
def test_a_saw_length_5_mm_off_is_noticed_at_either_end_of_a_row(by_mm):
    cuts = fk.cut_list(CORNER)
    for kept in ("groove end", "tongue end"):
        at = first_where((cuts["keeps_end"] == kept) & cuts["saw_mm"].notna() & (cuts["shaped"] == 0))
        damaged = with_value(cuts, at, "saw_mm", cuts["saw_mm"][at] + by_mm)
        faults = laid_again(CORNER, cuts=damaged)
        # Wherever in the row it is, the row's last piece ends 5 too far or too soon: 5 mm over the row's width.
        area = 5 * float(CORNER.pieces["width_mm"][at])
        assert any(f"{area:.0f} mm²" in fault for fault in faults), faults


def test_a_rip_5_mm_too_wide_is_noticed():
    plan = fk.set_out(rectangle(2720, 960), PLAIN, direction=0, search=QUICK)
    cuts = fk.cut_list(plan)
    at = first_where(cuts["rip_mm"].notna())
    faults = laid_again(plan, cuts=with_value(cuts, at, "rip_mm", cuts["rip_mm"][at] + 5))
    assert f"{cuts['piece'][at]} lies off the floor by {5 * float(plan.pieces['length_mm'][at]):.0f} mm²." in faults


def test_a_notch_measured_from_the_wrong_end_is_noticed():
    # The pier of the small room, 290 to 390 of 900: from the other end it is 510 to 610. The piece lies under the
    # pier, 100 x 80, and leaves as much open beside it.
    plan = three_rows(PIER)
    faults = laid_again(plan, places=with_value(fk.shaping(plan), 0, "end", "groove end"))
    assert faults == ["1a lies off the floor by 8000 mm².", "A gap of 8000 mm² is left beside 1a."]


def test_a_notch_measured_from_the_wrong_edge_is_noticed():
    # It then lies at the row line: 100 x 80 off the floor, and a gap of 100 x 80 beside row 2 as well.
    plan = three_rows(PIER)
    faults = laid_again(plan, places=with_value(fk.shaping(plan), 0, "edge", "groove edge"))
    assert faults == ["1a lies off the floor by 8000 mm².", "A gap of 8000 mm² is left beside 1a, 2a."]


@pytest.mark.parametrize(
    ("deep", "fault"),
    [(77.0, "1a lies off the floor by 300 mm²."), (83.0, "A gap of 300 mm² is left beside 1a.")],
)
def test_a_notch_3_mm_too_shallow_or_too_deep_is_noticed(deep, fault):
    # 3 mm over the notch's 100.
    plan = three_rows(PIER)
    corners = ((290.0, 0.0), (290.0, deep), (390.0, deep), (390.0, 0.0))
    damaged = with_value(fk.shaping(plan), 0, "corners_mm", corners)
    assert laid_again(plan, places=damaged) == [fault]
    assert figures_against_corners(plan, places=damaged) == [f"1a: across_mm says 80.0, its corners say {deep:.1f}."]


def test_a_notch_that_is_left_out_of_the_list_is_noticed():
    plan = three_rows(PIER)
    missing = fk.shaping(plan).iloc[:0]
    assert laid_again(plan, places=missing) == ["1a lies off the floor by 8000 mm²."]
    assert figures_against_corners(plan, cuts=fk.cut_list(plan), places=missing) == [
        "1a: listed as shaped in 1 places, 0 are given."
    ]


def test_a_notch_right_through_a_piece_makes_it_fall_apart():
    plan = three_rows(PIER)
    corners = ((290.0, 0.0), (290.0, 200.0), (390.0, 200.0), (390.0, 0.0))
    faults = laid_again(plan, places=with_value(fk.shaping(plan), 0, "corners_mm", corners))
    assert faults == ["1a falls apart when it is shaped.", "A gap of 12000 mm² is left beside 1a, 2a."]


def test_a_piece_that_holds_together_by_a_thread_falls_apart():
    # 199.9 of 200: a tenth of a millimetre of board is left behind the notch.
    plan = three_rows(PIER)
    corners = ((290.0, 0.0), (290.0, 199.9), (390.0, 199.9), (390.0, 0.0))
    faults = laid_again(plan, places=with_value(fk.shaping(plan), 0, "corners_mm", corners))
    assert "1a falls apart when it is shaped." in faults


def test_an_offcut_that_is_too_short_for_its_piece_is_noticed():
    # The board holds the first piece, a saw cut, the second and some to spare: 20 mm longer than all of that, the
    # second takes 20 mm over its width of 200 from the saw cut and the first.
    cuts = fk.cut_list(CORNER)
    at = first_where(cuts["taken_from"].str.startswith("offcut"))
    length = PLAIN.length_mm
    before = cuts["saw_mm"][first_where(cuts["piece"] == cuts["taken_from"][at].removeprefix("offcut of "))]
    spare = length - before - CORNER.rules.kerf_mm - cuts["saw_mm"][at]
    damaged = with_value(cuts, at, "saw_mm", cuts["saw_mm"][at] + spare + 20)
    assert (
        f"{cuts['piece'][at]} does not fit on what is left of board {cuts['board'][at]}: "
        f"{20 * PLAIN.width_mm:.0f} mm² are missing."
    ) in boards_sawn(CORNER, cuts=damaged)


def test_words_and_numbers_that_name_different_boards_are_noticed():
    cuts = fk.cut_list(CORNER)
    label = cuts["piece"][1]
    assert cuts["taken_from"][1] == "board 2"
    again = boards_sawn(CORNER, cuts=with_value(cuts, 1, "taken_from", "board 1"))
    assert f"{label} opens board 1, which is sawn already." in again
    assert f"{label} comes from board 1 by its words, from board 2 by its number." in again
    never = boards_sawn(CORNER, cuts=with_value(cuts, 1, "taken_from", "offcut of 9z"))
    assert f"{label} is said to be an offcut of 9z, which leaves none." in never


def test_a_board_too_many_is_noticed():
    cuts = fk.cut_list(CORNER)
    at = first_where(cuts["taken_from"].str.startswith("offcut"))
    number = CORNER.boards_needed + 1
    damaged = with_value(with_value(cuts, at, "taken_from", f"board {number}"), at, "board", number)
    assert f"{number} boards are opened, the plan says {CORNER.boards_needed}." in boards_sawn(CORNER, cuts=damaged)


def test_every_piece_listed_is_a_polygon_within_its_board():
    shapes = pieces_from_list(CORNER)
    assert list(shapes) == CORNER.pieces["piece"].tolist()
    assert all(isinstance(shape, Polygon) for shape in shapes.values())
    assert all(box(0, 0, 1000, 200).covers(shape) for shape in shapes.values())
