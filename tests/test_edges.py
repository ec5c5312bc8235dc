"""Gaps wall by wall, trims that cover them, what traps a floor: hand sums on small rooms and the demo house."""

from dataclasses import replace

import pytest
from floors import demo_boards, demo_room, rectangle

import flooring_kit as fk
from flooring_kit.edges import (
    continuing_sentences,
    cover_sentences,
    edge_gaps,
    gap_sentences,
    no_trim_sentences,
    trapped_sentences,
    trim_cover,
    wall_met,
)
from flooring_kit.room import FloorBeyond

BOARD = fk.Board("Plank", 1380, 193, 8, 8)
SCOTIA = fk.Trim("Scotia", foot_mm=18, height_mm=18, length_mm=2400)
WIDE = fk.Trim("Bead", foot_mm=25, height_mm=6, length_mm=2400)
QUICK = fk.Search(quick=True)


def plan_of(room, board=BOARD, **more):
    return fk.set_out(room, board, search=QUICK, **more)


def kitchen_plan():
    room = demo_room("kitchen_diner")
    return plan_of(room, demo_boards()["Ash plank 1850 x 240"], direction=room.boards_run)


def still_cover(plan, trim=SCOTIA, **more):
    """Cover of a floor that does not move, sawn without error."""
    return trim_cover(plan, trim, saw_error_mm=0, shrinks_mm_per_m=0, swells_mm_per_m=0, **more)


# --- the gap at every edge ---------------------------------------------------------------------------------


def test_each_wall_is_pushed_by_the_floor_at_right_angles_to_it():
    gaps = edge_gaps(plan_of(rectangle(4020, 3020)))
    assert gaps["edge"].tolist() == ["wall 1", "wall 2", "wall 3", "wall 4"]
    # less a gap of 10 at both ends: walls 1 and 3 by 3000 of depth, 2 and 4 by 4000 of length
    assert gaps["run_mm"].tolist() == pytest.approx([3000, 4000, 3000, 4000])
    assert gaps["needed_mm"].tolist() == [8, 8, 8, 8]
    assert gaps["planned_mm"].tolist() == [10] * 4
    assert gaps["short_mm"].tolist() == [0] * 4
    assert set(gaps["cover"]) == {"trim"}


def test_a_long_kitchen_needs_13_mm_where_its_length_pushes_and_says_so():
    # 8.58 m of floor: 8 + 1.5 x (8.58 - 5.333) = 12.87, so 13 whole mm; 6.18 m: 8 + 1.5 x 0.847 = 9.3, so 10
    gaps = edge_gaps(kitchen_plan()).set_index("edge")
    assert gaps["needed_mm"].to_dict() == {
        "wall 1": 13,
        "wall 2": 10,
        "wall 3": 13,
        "wall 4": 10,
        "wall 5": 13,
        "wall 6": 10,
        "island": 13,
    }
    assert gaps.loc["wall 1", "cover"] == "the plinth, clipped on over the floor"
    assert gap_sentences(gaps.reset_index()) == [
        "A floor 8.58 m long needs a gap of 13 mm at walls 1, 3 and 5 and island; the plan leaves 10. "
        "Set the gap to 13 mm."
    ]


def test_a_leaflet_that_says_nothing_leaves_it_to_the_published_guides():
    # 7.98 m at 1.5 mm a metre: 11.97
    assert edge_gaps(plan_of(rectangle(8000, 2020)))["needed_mm"].tolist() == [8, 12, 8, 12]


def test_a_floor_with_gaps_enough_has_nothing_to_say():
    assert gap_sentences(edge_gaps(plan_of(rectangle(4020, 3020)))) == []


def test_a_floor_that_goes_on_through_a_doorway_is_longer_than_the_room():
    through = fk.Door(1, 500, 762, 60, name="to the den", beyond=FloorBeyond("same floor", (11.0, 11.0)))
    carpet = fk.Door(3, 500, 762, 60, beyond=FloorBeyond("carpet", (18.0, 18.0)))
    room = rectangle(4000, 3000, doors=(carpet, through))
    assert continuing_sentences(room) == [
        "The floor runs on through to the den: break it there with a bar, or add the room beyond to its length."
    ]
    nameless = rectangle(4000, 3000, doors=(replace(through, name=""),))
    assert continuing_sentences(nameless)[0].startswith("The floor runs on through door 1:")


def test_what_would_pin_the_floor_down_is_named():
    assert trapped_sentences(demo_room("kitchen_diner")) == [
        "island: never on the boards. It stands on the subfloor, the floor stops its gap short all round."
    ]
    assert trapped_sentences(demo_room("sitting_room")) == []


# --- how boards meet a wall --------------------------------------------------------------------------------


def test_boards_meet_the_walls_of_a_rectangle_by_their_edges_and_by_their_ends():
    plan = plan_of(rectangle(4020, 3020))
    assert [wall_met(plan, wall).met_by for wall in (1, 2, 3, 4)] == ["long edges", "board ends"] * 2
    turned = plan_of(rectangle(4020, 3020), direction="short")
    assert [wall_met(turned, wall).met_by for wall in (1, 2, 3, 4)] == ["board ends", "long edges"] * 2


def test_a_wall_out_of_square_tapers_over_its_length_at_the_edges_and_over_one_board_at_the_ends():
    plan = plan_of(demo_room("back_bedroom"))
    # wall 1 rises 28 over 3880; boards run along y there, so their ends meet it: 193 x 28 / 3880 = 1.39
    assert (wall_met(plan, 1).met_by, wall_met(plan, 1).taper_mm) == ("board ends", pytest.approx(193 * 28 / 3880))
    along_x = plan_of(demo_room("back_bedroom"), direction=0)
    assert (wall_met(along_x, 1).met_by, wall_met(along_x, 1).taper_mm) == ("long edges", pytest.approx(28))


def test_a_bowed_wall_opens_the_gap_at_long_edges_and_is_followed_row_by_row_at_the_ends():
    bowed = (fk.Edge(1, bow=((1000, 4), (3000, -3))), fk.Edge(2, bow=((1500, 6),)))
    plan = plan_of(rectangle(4000, 3000, edges=bowed))
    assert (wall_met(plan, 1).bow_mm, wall_met(plan, 1).uneven_mm) == (7, 7)
    assert (wall_met(plan, 2).bow_mm, wall_met(plan, 2).uneven_mm) == (6, 0)


@pytest.mark.parametrize("degrees", [0, 0.3, 1, 3, 4.3, 6, 10, 14, 16, 20, 45])
def test_a_wall_however_far_out_of_square_has_a_cover_and_a_verdict(degrees):
    import math

    depth = 2400 + 4000 * math.tan(math.radians(degrees))
    room = fk.Room("den", ((0, 0), (4000, 0), (4000, depth), (0, 2400)))
    plan = plan_of(room, direction=0)
    met, cover = wall_met(plan, 3), still_cover(plan).set_index("wall")
    assert met.met_by == ("long edges" if 4000 * math.tan(math.radians(degrees)) <= 50 else "at an angle")
    assert cover.loc[3, "verdict"] in ("leave the boards straight", "cut the boards to the wall")


def test_an_obstacle_may_be_called_a_wall_and_two_may_have_one_name():
    stub = fk.Obstacle("wall stub", ((1000, 1000), (1300, 1000), (1300, 1300), (1000, 1300)), "column")
    twin = fk.Obstacle("wall stub", ((2000, 1000), (2300, 1000), (2300, 1300), (2000, 1300)), "column")
    gaps = edge_gaps(plan_of(rectangle(8000, 3000, obstacles=(stub, twin)), rules=fk.LayingRules(gap_mm=9)))
    assert gaps["edge"].tolist()[4:] == ["wall stub", "wall stub (2)"]
    assert gaps["wall"].tolist() == [1, 2, 3, 4, 0, 0]
    assert " at walls 2 and 4 and wall stub and wall stub (2); " in gap_sentences(gaps)[0]


def test_a_broken_floor_pushes_with_its_longest_stretch_only():
    plan = plan_of(rectangle(14_020, 3000))
    whole, broken = (edge_gaps(plan, longest_mm=most)["needed_mm"].tolist() for most in ((1e9, 1e9), (7000, 1e9)))
    # 14 m at 1.5 mm a metre: 21; 7 m: 10.5, so 11
    assert whole == [8, 21, 8, 21]
    assert broken == [8, 11, 8, 11]


def test_the_sides_of_a_canted_bay_are_met_at_an_angle():
    plan = plan_of(demo_room("sitting_room"))
    assert [wall_met(plan, wall).met_by for wall in (2, 4)] == ["at an angle"] * 2


# --- does the trim cover it? -------------------------------------------------------------------------------


def test_a_true_wall_is_covered_with_boards_left_straight():
    cover = still_cover(plan_of(rectangle(4020, 3020)))
    assert cover["wall"].tolist() == [1, 2, 3, 4]
    assert set(cover["verdict"]) == {"leave the boards straight"}
    assert set(cover["least_mm"]) == set(cover["most_mm"]) == set(cover["straight_most_mm"]) == {10.0}
    assert set(cover["smallest_foot_mm"]) == {13.0}


def test_a_tapered_wall_wants_its_boards_cut_since_the_trim_covers_15_only():
    # 28 mm of taper: 10 + 28 = 38 against 18 - 3
    plan = plan_of(demo_room("back_bedroom"), direction=0)
    cover = still_cover(plan).set_index("wall")
    assert cover.loc[1, "straight_most_mm"] == pytest.approx(38)
    assert cover["verdict"].to_dict() == {
        1: "cut the boards to the wall",
        2: "leave the boards straight",
        3: "leave the boards straight",
        4: "leave the boards straight",
    }
    assert cover_sentences(plan, SCOTIA, still_cover(plan)) == [
        "Wall 1: boards left straight would open the gap to 38 mm, and Scotia covers 15. Cut the boards to the wall."
    ]


def test_a_gap_wider_than_the_foot_less_its_overlap_asks_for_the_smallest_trim_that_does():
    plan = plan_of(rectangle(4020, 3020), rules=fk.LayingRules(gap_mm=16))
    cover = still_cover(plan, others=(WIDE, SCOTIA))
    assert set(cover["verdict"]) == {"too narrow"}
    assert set(cover["smallest_trim"]) == {"Bead"}
    assert cover_sentences(plan, SCOTIA, cover) == [
        "At walls 1 to 4 the gap can open to 16 mm, so the trim's foot needs 19 mm; Scotia has 18. Take Bead."
    ]
    none = still_cover(plan, others=(SCOTIA,))
    assert set(none["smallest_trim"]) == {""}
    assert cover_sentences(plan, SCOTIA, none) == [
        "At walls 1 to 4 the gap can open to 16 mm, so the trim's foot needs 19 mm; Scotia has 18."
    ]


def test_without_a_trim_the_table_still_says_what_would_do():
    cover = trim_cover(plan_of(rectangle(4020, 3020)), None, others=(SCOTIA, WIDE))
    assert set(cover["verdict"]) == {""}
    assert set(cover["smallest_trim"]) == {"Scotia"}


def test_a_floor_that_would_press_against_the_wall_when_damp_is_told():
    # 11.98 m swelling 1 mm a metre: 6 at each side; a gap of 8 less 2 of saw error less 5.99 leaves 0
    plan = plan_of(rectangle(11_996, 3020), rules=fk.LayingRules(gap_mm=8))
    told = cover_sentences(plan, WIDE, trim_cover(plan, WIDE))
    assert told == [
        "At walls 2 and 4 a gap of 8 mm leaves 0 mm when the floor has swollen: too little. Set out with a wider gap."
    ]


def test_a_round_wall_needs_a_trim_that_bends_to_its_radius():
    # chord 2000, rise 350: 2000² / (8 x 350) + 350 / 2 = 1603.6
    outline = ((0, 0), (1000, 0), (3000, 0), (4000, 0), (4000, 3000), (0, 3000))
    room = fk.Room("den", outline, edges=(fk.Edge(2, rise_mm=350),))
    plan = plan_of(room)
    told = cover_sentences(plan, SCOTIA, still_cover(plan))
    assert told[-1] == (
        "Wall 2 is round, radius 1604 mm; Scotia does not bend. Take a plastic trim that does, or flexible filler."
    )
    stiff = replace(SCOTIA, bend_radius_mm=2000.0)
    assert cover_sentences(plan, stiff, still_cover(plan, stiff))[-1] == (
        "Wall 2 is round, radius 1604 mm; Scotia bends to 2000. Take a plastic trim that does, or flexible filler."
    )
    supple = replace(SCOTIA, bend_radius_mm=600.0)
    assert not [words for words in cover_sentences(plan, supple, still_cover(plan, supple)) if "round" in words]


def test_where_no_trim_can_run_it_is_said_what_closes_the_gap():
    room = demo_room("sitting_room")
    assert no_trim_sentences(room) == [
        "Wall 3, sill: end bar, or flexible filler.",
        "hearth: end bar, or flexible filler.",
        "door 1: no trim at the frame; boards run under the linings, a bar under the closed leaf.",
    ]
    steel = replace(room.doors[0], undercut=False, name="steel frame")
    assert no_trim_sentences(replace(room, doors=(steel,)))[-1] == (
        "steel frame: no trim at the frame; boards are shaped to the frame, flexible filler, a bar under the closed "
        "leaf."
    )


def test_walls_without_a_trim_are_left_out_of_the_cover():
    assert trim_cover(kitchen_plan(), SCOTIA)["wall"].tolist() == [2, 3, 4, 5, 6]


def test_the_estimate_tells_of_gaps_too_small_and_trims_too_narrow():
    plan = kitchen_plan()
    shop = fk.Catalogue(
        demo_boards(), fk.read_underlays(fk.demo_path("underlays.csv")), fk.read_trims(fk.demo_path("trims.csv"))
    )
    choices = fk.Choices(
        fk.Materials(plan.board.name, "Foam sheet 3 mm", "White plastic quadrant 15 mm"),
        fk.Laying(direction=plan.room.boards_run),
    )
    told = fk.estimate(plan.room, choices, shop, quick=True).misfits
    assert told == [
        "A floor 8.58 m long needs a gap of 13 mm at walls 1, 3 and 5 and island; the plan leaves 10. "
        "Set the gap to 13 mm.",
        # 10 + 2 + 8.58 / 2 x 0.5 = 14.1, told as 15; 3 more of overlap: 17.1, as 18
        "At walls 2 to 6 the gap can open to 15 mm, so the trim's foot needs 18 mm; White plastic quadrant 15 mm has "
        "15.",
    ]
