"""Underlay in strips: hand sums on plain rooms, and that strips cover every floor once from rolls that hold them."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import shapely
from floors import DEMO_ROOMS, demo_boards, demo_room, random_floors, rectangle
from hypothesis import given
from hypothesis import strategies as st

import flooring_kit as fk
from flooring_kit.room import Obstacle
from flooring_kit.underlay import (
    ONE_LAYER,
    STRIP_COLUMNS,
    needs_vapour_sheet,
    underlay_strips,
    vapour_strips,
)

BOARD = fk.Board("Plank", 1380, 193, 8, 8)
FOAM = fk.Underlay("Foam", "foam", 3, 15, piece_length_mm=15_000, piece_width_mm=1000)
CORK = replace(FOAM, name="Cork", kind="cork")
FIBRE = fk.Underlay("Fibre", "fibre board", 5, 7, form="sheets", piece_length_mm=860, piece_width_mm=590)
SHEET = fk.Sundry("Vapour sheet", "roll", use="vapour sheet", pack_holds=50, width_mm=2000)
NO_GAP = fk.LayingRules(gap_mm=0)
FLOORS = list(random_floors(40, seed=11))


def plan_of(room, board=BOARD, **more):
    return fk.set_out(room, board, search=fk.Search(quick=True), **more)


def demo_plan(name):
    room = demo_room(name)
    return plan_of(room, demo_boards()["Oak plank 1380 x 193"], direction=room.boards_run)


# --- hand sums ---------------------------------------------------------------------------------------------


def test_twelve_square_metres_in_strips_of_a_metre_take_twelve_metres_of_a_roll():
    # 4 m by 3 m, strips 1 m wide along the boards: 3 strips of 4 m; 3 m of the roll are left over
    laid = underlay_strips(plan_of(rectangle(4000, 3000), rules=NO_GAP), CORK, way="along")
    assert list(laid.strips.columns) == STRIP_COLUMNS
    assert (laid.packs, laid.packs_by_area, laid.pieces) == (1, 1, 1)
    cut = laid.strips["length_mm"] * laid.strips["width_mm"]
    assert cut.sum() == pytest.approx(12e6)
    # two seams of 4 m, and a band more where the first strip is narrowed to keep seams off the row lines
    bands = laid.strips["band"].max()
    assert laid.tape_m == pytest.approx(4 * (bands - 1))


def test_a_strip_carries_on_with_the_next_roll_and_the_join_is_taped():
    # 8 m by 1 m, rolls of 5 m: 5 and 3, one end join of 1 m, 2 m left
    short = replace(CORK, pack_area_m2=5, piece_length_mm=5000)
    laid = underlay_strips(plan_of(rectangle(8000, 1000), rules=NO_GAP), short, way="along")
    assert laid.strips["length_mm"].tolist() == [5000, 3000]
    assert laid.strips["piece"].tolist() == [1, 2]
    assert (laid.packs, laid.tape_m, laid.left_m2) == (2, pytest.approx(1), pytest.approx(2))


def test_an_end_too_short_to_lay_is_made_up_from_the_strip_before():
    # 5.1 m with rolls of 5 m: not 5000 and 100 but 4800 and 300
    short = replace(CORK, pack_area_m2=5, piece_length_mm=5000)
    laid = underlay_strips(plan_of(rectangle(5100, 1000), rules=NO_GAP), short, way="along")
    assert laid.strips["length_mm"].tolist() == [4800, 300]


def test_what_is_ripped_off_a_narrow_strip_covers_another_one():
    # 6 m by 1.4 m in strips of 1 m: the second is 400 wide; the rest of its length, 600 wide, is kept
    laid = underlay_strips(plan_of(rectangle(6000, 1400), rules=NO_GAP), CORK, way="along")
    assert laid.pieces == 1
    # 15 - 6 - 6 = 3 m of roll and 6 m of scrap
    widths = sorted(laid.strips["width_mm"].unique())
    assert sum(widths) == pytest.approx(1400)
    assert laid.left_m2 == pytest.approx(15 - 8.4, abs=0.7)


def test_packs_by_strips_and_by_area_are_told_side_by_side_with_the_margin():
    laid = underlay_strips(plan_of(rectangle(4000, 3000), rules=NO_GAP), FOAM)
    first = laid.first_strip_mm
    bands = laid.strips["band"].max()
    assert laid.sentences()[:2] == [
        f"Foam: 1 pack (1 roll begun) in {bands} strips parallel to the rows, the first {first:.0f} mm wide; by area "
        "alone 1 pack.",
        f"{laid.left_m2:.2f} m² are left over in lengths worth keeping, {laid.left_m2 / 12:.0%} of the floor.",
    ]
    assert laid.sentences()[-1] == ONE_LAYER
    assert laid.sentences()[-2] == (
        f"Tape: {laid.tape_m:.1f} m. Butt the strips, never lap them. Lay it a strip ahead of the boards: feet crush "
        "it."
    )


def test_a_margin_under_3_per_cent_is_called_just_enough():
    # 5 m by 1 m from a roll of 5 m: nothing is left
    exact = replace(CORK, pack_area_m2=5, piece_length_mm=5000)
    laid = underlay_strips(plan_of(rectangle(5000, 1000), rules=NO_GAP), exact, way="along")
    assert laid.is_just_enough
    assert "That is just enough: one slip of the knife takes another pack." in laid.sentences()
    ample = underlay_strips(plan_of(rectangle(4000, 1000), rules=NO_GAP), exact, way="along")
    assert not ample.is_just_enough


def test_what_feet_crush_runs_along_the_rows_and_may_not_run_across():
    plan = plan_of(rectangle(4000, 3000))
    assert underlay_strips(plan, FOAM).way == "along"
    with pytest.raises(ValueError) as refused:
        underlay_strips(plan, FOAM, way="across")
    assert str(refused.value) == (
        "Foam: feet crush it, so it is laid a strip ahead of the boards and runs along the rows. Choose way 'along'."
    )
    assert underlay_strips(plan, CORK, way="across").way == "across"
    assert "It can all go down before the first board." in underlay_strips(plan, CORK).sentences()[-2]


def test_the_way_of_fewer_packs_is_taken():
    for name in DEMO_ROOMS:
        plan = demo_plan(name)
        chosen, *both = (underlay_strips(plan, CORK, way=way).packs for way in (None, "along", "across"))
        assert chosen == min(both)


# --- what must hold on every floor -------------------------------------------------------------------------


def require_sound(plan, underlay, laid):
    # no strip leaves the floor, none laps over another, and together they are as large: the floor is covered once.
    # Not by a union of them: on slanted walls that can lose a whole strip
    shapes = laid.strips["shape"].to_numpy()
    assert float(shapely.area(shapely.difference(shapes, plan.floor)).sum()) < 1.0
    one, other = np.triu_indices(len(shapes), k=1)
    assert float(shapely.area(shapely.intersection(shapes[one], shapes[other])).sum()) < 1.0
    assert float(shapely.area(shapes).sum()) == pytest.approx(plan.floor.area, abs=1.0)
    assert (laid.strips["width_mm"] <= underlay.piece_width_mm + 1e-6).all()
    assert (laid.strips["length_mm"] <= underlay.piece_length_mm + 1e-6).all()
    cut = (laid.strips["length_mm"] * laid.strips["width_mm"]).groupby(laid.strips["piece"]).sum()
    assert (cut <= underlay.piece_area_m2 * 1e6 + 1.0).all()
    assert set(laid.strips["piece"]) == set(range(1, laid.pieces + 1))
    assert laid.packs >= laid.packs_by_area
    bought_m2 = laid.packs * underlay.pieces_per_pack * underlay.piece_area_m2
    assert laid.left_m2 + laid.net_area_m2 <= bought_m2 + 1e-6


@pytest.mark.parametrize("name", DEMO_ROOMS)
@pytest.mark.parametrize("underlay", [FOAM, CORK, FIBRE], ids=lambda each: each.name)
def test_strips_cover_each_demo_room_once_from_rolls_that_hold_them(name, underlay):
    plan = demo_plan(name)
    require_sound(plan, underlay, underlay_strips(plan, underlay))


@given(st.integers(0, 39), st.sampled_from(["along", "across"]), st.sampled_from([CORK, FIBRE]))
def test_strips_cover_any_floor_once_from_rolls_that_hold_them(number, way, underlay):
    _, room, board = FLOORS[number]
    plan = plan_of(room, board)
    require_sound(plan, underlay, underlay_strips(plan, underlay, way=way))


def test_seams_keep_off_the_row_lines_where_they_can():
    # rows of 193 and strips of a metre: 1000 = 5 x 193 + 35, so three seams in step can all be 50 clear
    laid = underlay_strips(plan_of(rectangle(4000, 3000)), FOAM)
    assert laid.nearest_joint_mm >= 30
    lines = np.unique([round(strip.across_mm, 1) for strip in laid.strips.itertuples()])
    assert len(lines) == laid.strips["band"].max()


def test_an_underlay_without_sizes_is_counted_by_area_only():
    with pytest.raises(ValueError) as refused:
        underlay_strips(plan_of(rectangle(4000, 3000)), fk.Underlay("Pad", "rubber", 3, 8))
    assert str(refused.value) == (
        "Pad: the size of a roll or a sheet is not known. Give piece_length_mm and piece_width_mm; without them packs "
        "are counted by area."
    )
    with pytest.raises(ValueError) as refused:
        underlay_strips(plan_of(rectangle(4000, 3000)), CORK, way="diagonal")
    assert str(refused.value) == "way must be one of along, across, got 'diagonal'."


def test_a_published_count_of_rolls_by_area_is_reproduced():
    # a retailer's measuring note: rolls of 200 ft² for 500 ft², no waste: 2.5, so 3
    assert fk.packs_for_area(500 * 0.09290304, 200 * 0.09290304, spare_fraction=0) == 3


def test_a_seam_along_a_wall_is_not_taped():
    # an L, 2 m by 1 m on 4 m by 2 m, strips of 1 m from the narrow end: the first seam lies along the step for 2 m of
    # its 4 m, so 2 m of it and 4 m of the second are taped
    corners = ((0.0, 0.0), (4000.0, 0.0), (4000.0, 2000.0), (2000.0, 2000.0), (2000.0, 3000.0), (0.0, 3000.0))
    laid = underlay_strips(plan_of(fk.Room("L", corners), rules=NO_GAP, direction=0), CORK, way="along")
    assert laid.first_strip_mm == 1000
    assert laid.tape_m == pytest.approx(6)


def test_the_first_strip_is_told_as_wide_as_it_is_laid():
    # a floor of 900 mm takes one strip, ripped to 900 from the roll of a metre
    laid = underlay_strips(plan_of(rectangle(8000, 900), rules=NO_GAP), CORK, way="along")
    assert laid.first_strip_mm == 900
    assert laid.sentences()[0] == (
        "Cork: 1 pack (1 roll begun) in 1 strip parallel to the rows, the first 900 mm wide; by area alone 1 pack."
    )


def test_no_fewer_packs_than_the_area_on_the_label_asks_for():
    # 6.02 m by 1.18 m is 7 by 2 sheets of 860 by 590: 14 sheets of 7.10 m², sold as a pack of 7 m²
    laid = underlay_strips(plan_of(rectangle(6020, 1180), rules=NO_GAP), FIBRE, way="along")
    assert (laid.pieces, laid.packs_by_area, laid.packs) == (14, 2, 2)


def test_slivers_are_avoided_where_a_narrower_first_strip_can():
    # 2.01 m by strips of a metre would leave 10 mm: the first is cut narrower
    laid = underlay_strips(plan_of(rectangle(6000, 2010), rules=NO_GAP), CORK, way="along")
    assert laid.strips["width_mm"].min() >= 100


def test_end_joins_of_neighbouring_strips_are_staggered_where_sheets_would_end_in_line():
    # 4.30 m is five sheets of 860: laid end to end every join would lie beside the next, 4 in each of 3 strips
    laid = underlay_strips(plan_of(rectangle(4300, 1770), rules=NO_GAP), FIBRE, way="along")
    assert laid.joins_in_line == 0
    starts = laid.strips.groupby("band")["along_mm"].apply(lambda along: sorted(along)[1:])
    for before, after in pairwise(starts):
        assert min(abs(one - other) for one in before for other in after) >= 200


def test_a_roll_in_one_piece_has_no_joins_to_stagger():
    laid = underlay_strips(plan_of(rectangle(4000, 3000), rules=NO_GAP), CORK, way="along")
    assert laid.joins_in_line == 0


def test_joints_near_a_seam_and_joins_in_line_are_told():
    laid = underlay_strips(plan_of(rectangle(4000, 3000)), CORK, way="along")
    told = replace(laid, joints_near=1, nearest_joint_mm=12.0, joins_in_line=2).sentences()
    assert told[-4:-2] == [
        "1 row line of the boards within 50 mm of a seam, the nearest 12 mm from it.",
        "2 end joins less than 200 mm from one of the strip beside.",
    ]
    told = replace(laid, way="across", joints_near=3, nearest_joint_mm=12.0).sentences()
    assert "3 end joints of the boards within 50 mm of a seam, the nearest 12 mm from it." in told
    clear = replace(laid, joints_near=0, joins_in_line=0).sentences()
    assert len(clear) == len(told) - 1


# --- vapour sheet ------------------------------------------------------------------------------------------


def test_vapour_strips_lap_and_turn_up_at_the_walls():
    # 4 m by 3 m, turned up 50: 4.1 by 3.1; strips of 2 m lapped 200: 2 + 1.8 = 3.8 wide, so two strips of 4.1 m,
    # 16.4 m² of sheet, one lap of 4.1 m
    laid = vapour_strips(plan_of(rectangle(4000, 3000, subfloor="screed")), SHEET)
    assert (laid.strips, laid.rolls) == (2, 1)
    assert laid.sheet_m2 == pytest.approx(16.4)
    assert laid.tape_m == pytest.approx(4.1)
    assert laid.sentence() == (
        "Vapour sheet: 1 roll, 2 strips lapped 200 mm and turned up 50 mm at the walls, 16.4 m² of sheet; 4.1 m of "
        "laps to tape."
    )


def test_a_roll_of_vapour_sheet_that_runs_out_is_lapped_on_to_the_next():
    # 16.56 m, turned up 50 at both ends: three strips of 16.66 m from rolls of 25 m. End to end that is
    # 49.98 m of 50, but two end laps of 200 mm make it 50.38: a third roll.
    # 50.38 m by 2 m of sheet; two laps of 16.66 m and two end laps of 2 m
    laid = vapour_strips(plan_of(rectangle(16_560, 5400, subfloor="screed"), rules=NO_GAP), SHEET)
    assert (laid.strips, laid.rolls) == (3, 3)
    assert laid.sheet_m2 == pytest.approx(50.38 * 2)
    assert laid.tape_m == pytest.approx(2 * 16.66 + 2 * 2)


def test_a_wider_lap_never_takes_less_sheet():
    plan = plan_of(rectangle(6000, 5000, subfloor="screed"))
    sheets = [vapour_strips(plan, SHEET, lap_mm=lap).sheet_m2 for lap in (150, 200, 250, 300)]
    assert sheets == sorted(sheets)


def test_a_sheet_goes_on_mineral_floors_where_the_underlay_has_none():
    screed, timber = (plan_of(rectangle(4000, 3000, subfloor=kind)) for kind in ("screed", "timber"))
    assert needs_vapour_sheet(screed, CORK)
    assert not needs_vapour_sheet(screed, replace(CORK, vapour_sheet=True))
    assert not needs_vapour_sheet(timber, CORK)


def test_an_island_takes_no_sheet_where_it_parts_a_strip():
    island = Obstacle("island", ((1500, 500), (2500, 500), (2500, 3500), (1500, 3500)), "island")
    with_it = vapour_strips(plan_of(rectangle(4000, 4000, obstacles=(island,), subfloor="screed")), SHEET)
    without = vapour_strips(plan_of(rectangle(4000, 4000, subfloor="screed")), SHEET)
    assert with_it.sheet_m2 <= without.sheet_m2


@pytest.mark.parametrize(
    ("room", "sheet", "more", "message"),
    [
        (
            rectangle(4000, 3000, subfloor="timber"),
            SHEET,
            {},
            "room: no vapour sheet over a timber floor, which must breathe from below.",
        ),
        (
            rectangle(4000, 3000),
            replace(SHEET, width_mm=None),
            {},
            "Vapour sheet: give the sheet's width_mm and what a roll holds, pack_holds, in m².",
        ),
        (
            rectangle(4000, 3000),
            replace(SHEET, width_mm=200),
            {},
            "Vapour sheet: a sheet 200 mm wide has nothing left after a lap of 200 mm.",
        ),
        (
            rectangle(4000, 3000),
            replace(SHEET, pack_holds=0.5),
            {},
            "Vapour sheet: a roll of 0.5 m², 2000 mm wide, would be 250 mm long. pack_holds is in m².",
        ),
        (rectangle(4000, 3000), SHEET, {"lap_mm": 100}, "lap of the vapour sheet must be 150 to 300 mm, got 100 mm."),
        (
            rectangle(4000, 3000),
            SHEET,
            {"upstand_mm": 200},
            "upstand of the vapour sheet must be 0 to 150 mm, got 200 mm.",
        ),
    ],
)
def test_a_sheet_that_makes_no_sense_is_refused(room, sheet, more, message):
    with pytest.raises(ValueError) as refused:
        vapour_strips(plan_of(room), sheet, **more)
    assert str(refused.value) == message
