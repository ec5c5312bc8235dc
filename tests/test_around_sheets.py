"""Sheets for edges, doorways and what lies underneath: each tells what the plain calls give, cell by cell."""

from __future__ import annotations

import html
import re

import pytest
from floors import DEMO_ROOMS, demo_boards, demo_room

import flooring_kit as fk
from flooring_kit.door_sheet import doors_html, growth_sentences, new_floors
from flooring_kit.edge_sheet import beads_html, edge_sentences, edges_html
from flooring_kit.edges import edge_gaps, trim_cover
from flooring_kit.html_parts import heading_html, sentences_html, table_html
from flooring_kit.trim_options import bead_order
from flooring_kit.underfloor_sheet import (
    flatness_html,
    sundries_html,
    underfloor_html,
    underlay_html,
    vapour_sentence,
)
from flooring_kit.underlay import underlay_strips, vapour_sheet_for

TRIMS = fk.read_trims(fk.demo_path("trims.csv"))
UNDERLAYS = fk.read_underlays(fk.demo_path("underlays.csv"))
BARS = fk.read_door_bars(fk.demo_path("door_bars.csv"))
SUNDRIES = list(fk.read_sundries(fk.demo_path("sundries.csv")).values())
SCOTIA, FOAM, CORK = TRIMS["White scotia 18 mm"], UNDERLAYS["Foam sheet 3 mm"], UNDERLAYS["Cork roll 3 mm"]


def plan_of(name: str) -> fk.Plan:
    room = demo_room(name)
    board = demo_boards()["Ash plank 1850 x 240" if room.heated else "Oak plank 1380 x 193"]
    return fk.set_out(room, board, direction=room.boards_run, search=fk.Search(quick=True))


PLANS = {name: plan_of(name) for name in DEMO_ROOMS}


def tables(page: str) -> dict[str, list[list[str]]]:
    """Every table of a page by its label: rows of cells, heads first."""
    found = {}
    for label, table in re.findall(r"aria-label='([^']*)'><table.*?(<thead>.*?)</table>", page):
        rows = re.findall(r"<tr>(.*?)</tr>", table)
        found[label] = [[html.unescape(cell) for cell in re.findall(r"<t[dh][^>]*>(.*?)</t[dh]>", row)] for row in rows]
    return found


def sentences(page: str) -> list[str]:
    return [html.unescape(each) for each in re.findall(r"<li[^>]*>(.*?)</li>", page)]


# --- parts ---------------------------------------------------------------------------------------------------


def test_a_table_escapes_its_cells_and_keeps_short_ones_on_one_line():
    page = table_html(("a", "b"), [("<i>", "x" * 60)], label="A & B", marked=[0])
    assert tables(page) == {"A &amp; B": [["a", "b"], ["<i>", "x" * 60]]}
    assert "&lt;i&gt;" in page
    assert page.count("white-space:nowrap") == 1
    assert page.count("background:#f6efe2") == 2


def test_no_sentences_leave_nothing_on_the_page():
    assert sentences_html([]) == ""
    assert sentences(sentences_html(["a < b"])) == ["a < b"]
    assert "a &lt; b" in heading_html("a < b")


# --- edges ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", DEMO_ROOMS)
def test_every_edge_of_a_room_stands_in_the_table_of_gaps(name):
    plan = PLANS[name]
    page = tables(edges_html(plan, SCOTIA, list(TRIMS.values())))
    _, *rows = page["Gap at every edge"]
    told = " ".join(row[0] for row in rows)
    gaps = edge_gaps(plan)
    for obstacle in plan.room.obstacles:
        assert obstacle.name in told
    assert {float(row[3]) for row in rows} == set(gaps["needed_mm"])
    _, *walls = page["Trim cover wall by wall"]
    assert {row[-1] for row in walls} == set(trim_cover(plan, SCOTIA)["verdict"])


def test_walls_that_are_alike_are_drawn_together():
    page = tables(edges_html(PLANS["box_room"], SCOTIA, list(TRIMS.values())))
    assert [row[0] for row in page["Gap at every edge"]] == ["At", "walls 1 and 3", "walls 2 and 4"]


def test_a_floor_with_nothing_amiss_says_so():
    assert edge_sentences(PLANS["box_room"], SCOTIA, list(TRIMS.values())) == [
        "Gap, length of floor and trim suit each other at every wall."
    ]
    told = edge_sentences(PLANS["kitchen_diner"], SCOTIA, list(TRIMS.values()))
    assert told[0].startswith("A floor 8.58 m long needs a gap of 13 mm")


def test_the_chosen_bead_is_shown_with_its_pieces_and_its_lengths():
    plan = PLANS["sitting_room"]
    page = beads_html(plan, TRIMS, SCOTIA, currency="kr ")
    order = bead_order(plan, [SCOTIA])
    _, *rows = tables(page)["Pieces of trim"]
    assert [row[0] for row in rows] == order.pieces["piece"].tolist()
    assert order.sentence() in sentences(page)
    assert page.count("<svg") == 1
    _, *beads = tables(page)["Beads side by side"]
    assert {row[0] for row in beads} == {trim.bead for trim in TRIMS.values()}
    assert all(row[6] == "" or row[6].startswith("kr ") for row in beads)
    assert any(row[6] for row in beads)


def test_without_a_bead_only_the_choice_is_shown():
    page = beads_html(PLANS["box_room"], TRIMS, None, currency="£")
    assert "<svg" not in page
    assert set(tables(page)) == {"Beads side by side"}


# --- doorways ------------------------------------------------------------------------------------------------


def doors_page(name: str, **more: object) -> str:
    plan = PLANS[name]
    return doors_html(plan, FOAM, BARS.values(), new_floors(plan, FOAM), **more)  # type: ignore[arg-type]


def test_the_hall_shows_each_doorway_with_its_step_its_bar_and_its_leaf():
    head, *rows = tables(doors_page("hall"))["Heights at the doorways"]
    assert head[0] == "Doorway"
    assert [row[0] for row in rows] == ["to the kitchen", "to the sitting room", "to the study", "front door"]
    assert [row[3:6] for row in rows] == [
        ["+6", "+9", "Small ramp bar 900 mm"],
        ["0", "0", "runs through"],
        ["+3", "+3", "Single edge bar 900 mm"],
        ["+14", "+14", "End bar 900 mm"],
    ]
    assert [row[-1] for row in rows] == ["not measured", "not measured", "caution", "0"]


def test_a_floor_broken_at_a_doorway_has_a_level_bar_there():
    _, *rows = tables(doors_page("hall", broken_at=[2]))["Heights at the doorways"]
    assert rows[1][5] == "Level bar 900 mm"


def test_the_sheet_opens_with_what_the_floor_gains():
    assert sentences(doors_page("hall"))[0] == (
        "Board 8 and underlay 3 make 11 mm; 3 mm come up: the floor gets 8 mm higher than now."
    )
    assert sentences(doors_page("box_room"))[0].endswith("18 mm come up: the floor gets 7 mm lower than now.")


def test_a_frame_is_cut_over_the_compound_and_the_sheet_too():
    # 8 + 3 + 0.2 + 5 + 1 = 17.2, told as 18; the other door without compound: 12.2, as 13
    plan = PLANS["hall"]
    depths = [(5.0, 4.0), (0.0, 0.0), (0.0, 0.0), (0.0, 0.0)]
    page = doors_html(plan, FOAM, BARS.values(), new_floors(plan, FOAM, sheet_mm=0.2, levelling_mm=depths))
    told = sentences(page)
    assert told[0].startswith("Board 8, underlay 3 and sheet 0.2 make 11.2 mm, compound apart; 3 mm come up")
    assert any(each.startswith("to the kitchen: cut 18 mm high") for each in told)
    assert any(each.startswith("to the study: cut 13 mm high") for each in told)


def test_a_room_without_doorways_says_so():
    assert sentences(doors_page("back_bedroom"))[-1] == "No doorway in this survey."


def test_appliances_and_stairs_are_told_where_they_are():
    # the kitchen's dishwasher: 832 - 11 - 818
    assert growth_sentences(demo_room("kitchen_diner"), rise_mm=11) == [
        "dishwasher: 3 mm to spare when the floor is down."
    ]


def test_frames_are_cut_in_one_round_with_the_cautions_beside_them():
    told = sentences(doors_page("hall"))
    assert any(each.startswith("Take the leaves off, number them") for each in told)
    assert any(each.startswith("Old paint on linings can hold lead") for each in told)


# --- underneath ----------------------------------------------------------------------------------------------


def test_the_kitchen_has_a_map_a_verdict_and_the_compound_for_it():
    page = flatness_html(demo_room("kitchen_diner"))
    told = sentences(page)
    assert page.count("<svg") == 1
    assert any(each.startswith("To fill the hollows only: ") for each in told)
    assert any(each.startswith("To bring all of it level: ") for each in told)
    assert any("silica dust" in each for each in told)
    assert any("4 mm under 2 m, class SR2 of BS 8204: not flat enough" in each for each in told)


def test_a_room_without_readings_says_what_to_measure():
    # 16 m²: one place
    assert sentences(flatness_html(demo_room("back_bedroom"))) == [
        "No map: fewer than three levels in the survey. Lay a 2 m straightedge in 1 place or more, every way, and read "
        "the largest gap; or read levels on a grid of 1 m."
    ]


@pytest.mark.parametrize("name", DEMO_ROOMS)
def test_the_underlay_is_drawn_and_told(name):
    page = underlay_html(PLANS[name], FOAM, underlay_strips(PLANS[name], FOAM), SUNDRIES)
    assert page.count("<svg") == 1
    assert sentences(page)[0].startswith("Foam sheet 3 mm: ")


def test_one_page_tells_one_length_of_tape():
    # along is not what suits this cork best: both parts of the page must tell of the strips that were asked for
    plan = PLANS["kitchen_diner"]
    page = underfloor_html(plan, CORK, SCOTIA, SUNDRIES, currency="kr ", way="along")
    laid, vapour = underlay_strips(plan, CORK, way="along"), vapour_sheet_for(plan, CORK, SUNDRIES)
    assert f"Tape: {laid.tape_m:.1f} m." in page
    tape = next(row for row in tables(page)["Small things to buy"] if row[0] == "joint tape")
    assert tape[3].startswith("kr ")
    assert tape[1] == f"{laid.tape_m + vapour.tape_m:.1f} m"


def test_an_underlay_whose_size_is_not_known_keeps_the_rest_of_the_page():
    page = underfloor_html(PLANS["kitchen_diner"], fk.Underlay("Pad", "rubber", 3, 8), SCOTIA, SUNDRIES, currency="£")
    assert "Pad: the size of a roll or a sheet is not known, so it is counted by area only." in page
    assert "Is the subfloor flat?" in page
    assert "Small things to buy" in tables(page)


def test_a_vapour_sheet_goes_where_it_belongs_and_nowhere_else():
    assert vapour_sentence(PLANS["box_room"], FOAM, SUNDRIES) == (
        "No vapour sheet: the timber floor must breathe from below."
    )
    with_sheet = UNDERLAYS["Foam roll 3 mm with vapour sheet"]
    assert vapour_sentence(PLANS["hall"], with_sheet, SUNDRIES) == ("No vapour sheet of its own: the underlay has one.")
    assert vapour_sentence(PLANS["hall"], FOAM, SUNDRIES).startswith("Vapour sheet: 1 roll, ")
    assert vapour_sentence(PLANS["hall"], FOAM, []) == "A vapour sheet is needed, and none is on sale."


def test_small_things_stand_with_their_rule_beside_them():
    page = sundries_html(PLANS["back_bedroom"], FOAM, None, SCOTIA, SUNDRIES, currency="£")
    head, *rows = tables(page)["Small things to buy"]
    assert head == ["What", "How much", "Buy", "Price before tax", "Counted by"]
    assert ["pipe collars", "2 pieces", "1 × Pipe collar 15 mm, pack of 2", "£3.80"] in [row[:4] for row in rows]
    assert all(row[4] for row in rows)
    bare = sundries_html(PLANS["back_bedroom"], FOAM, None, None, [], currency="£")
    assert {row[2] for row in tables(bare)["Small things to buy"][1:]} == {"not on sale"}
