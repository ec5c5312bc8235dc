"""Panels for edges, doorways and the underfloor: a handle moved shows the plain call, a wrong value is got over."""

from __future__ import annotations

from dataclasses import replace

import pytest

import flooring_kit as fk
from flooring_kit.door_sheet import doors_html, new_floors
from flooring_kit.edge_sheet import beads_html, edges_html
from flooring_kit.html_parts import sheet_html
from flooring_kit.panels import SheetPanel, door_panel, edge_panel, underfloor_panel, warmth_panel
from flooring_kit.underfloor_sheet import underfloor_html
from flooring_kit.warmth_sheet import warmth_html

ROOMS = {room.name: room for room in map(fk.read_room, sorted(fk.demo_path("rooms").glob("*.toml")))}
SHOP = fk.read_catalogue(fk.demo_path())
OAK, FOAM, CORK, SCOTIA = "Oak plank 1380 x 193", "Foam sheet 3 mm", "Cork roll 3 mm", "White scotia 18 mm"
CHOICES = fk.Choices(fk.Materials(OAK, FOAM, SCOTIA))


def put(panel: SheetPanel, field: str, value: object) -> None:
    panel.fields[field].control.value = value
    panel.settle()


def quick(room: str, *, board: str = OAK, gap_mm: float = 10.0) -> fk.Plan:
    rules = replace(CHOICES.laying.rules, gap_mm=gap_mm)
    surveyed = ROOMS[room]
    return fk.set_out(
        surveyed, SHOP.board(board), rules=rules, direction=surveyed.boards_run, search=fk.Search(quick=True)
    )


def shown(panel: SheetPanel) -> str:
    """What the panel shows, with what takes longer."""
    panel.settle()
    return panel.sheet.value + panel.more.value


def edge_page(room: str, *, trim: str | None = SCOTIA, gap_mm: float = 10.0) -> str:
    plan, chosen = quick(room, gap_mm=gap_mm), SHOP.trim(trim)
    edges = edges_html(plan, chosen, list(SHOP.trims.values()))
    return sheet_html(edges) + sheet_html(beads_html(plan, SHOP.trims, chosen, currency="£"))


def test_the_edge_panel_shows_what_its_fields_say():
    panel = edge_panel(ROOMS, SHOP, CHOICES, room="Hall")
    assert shown(panel) == edge_page("Hall")
    put(panel, "room", "Sitting room")
    assert shown(panel) == edge_page("Sitting room")
    put(panel, "trim", "no trim")
    assert shown(panel) == edge_page("Sitting room", trim=None)
    put(panel, "gap", 16)
    assert shown(panel) == edge_page("Sitting room", trim=None, gap_mm=16)


def test_a_gap_out_of_range_is_complained_of_under_its_field_and_the_sheet_stays():
    panel = edge_panel(ROOMS, SHOP, CHOICES, room="Hall")
    before = panel.sheet.value
    put(panel, "gap", 300)
    assert "Gap must be 0 to 30 mm, got 300 mm." in panel.fields["gap"].complaint.value
    assert panel.sheet.value == before
    put(panel, "gap", 12)
    assert panel.fields["gap"].complaint.value == ""
    assert shown(panel) == edge_page("Hall", gap_mm=12)


def test_the_door_panel_shows_what_its_fields_say():
    panel = door_panel(ROOMS, SHOP, CHOICES, room="Hall")
    for underlay in (FOAM, CORK):
        put(panel, "underlay", underlay)
        chosen, plan = SHOP.underlay(underlay), quick("Hall")
        assert panel.sheet.value == sheet_html(doors_html(plan, chosen, SHOP.bars.values(), new_floors(plan, chosen)))


def under_page(room: str, *, underlay: str = FOAM, way: str | None = None, limit_mm: float = 3) -> str:
    plan, chosen, on_sale = quick(room), SHOP.underlay(underlay), list(SHOP.sundries.values())
    return underfloor_html(plan, chosen, SHOP.trim(SCOTIA), on_sale, currency="£", way=way, limit_mm=limit_mm)


def test_the_underfloor_panel_shows_what_its_fields_say():
    panel = underfloor_panel(ROOMS, SHOP, CHOICES, room="Kitchen-diner")
    assert panel.sheet.value == sheet_html(under_page("Kitchen-diner"))
    put(panel, "limit", 5)
    assert panel.sheet.value == sheet_html(under_page("Kitchen-diner", limit_mm=5))
    put(panel, "underlay", CORK)
    put(panel, "way", "across")
    assert panel.sheet.value == sheet_html(under_page("Kitchen-diner", underlay=CORK, way="across", limit_mm=5))


def test_a_choice_that_can_not_be_is_told_and_the_last_sheet_stays():
    panel = underfloor_panel(ROOMS, SHOP, CHOICES, room="Hall")
    before = panel.sheet.value
    put(panel, "way", "across")
    assert "feet crush it, so it is laid a strip ahead of the boards" in panel.alert.value
    assert panel.sheet.value == before
    put(panel, "underlay", CORK)
    assert panel.alert.value == ""
    assert panel.sheet.value == sheet_html(under_page("Hall", underlay=CORK, way="across"))


@pytest.mark.parametrize("make", [edge_panel, door_panel, underfloor_panel, warmth_panel])
def test_every_panel_starts_on_the_first_room_where_none_is_asked_for(make):
    assert make(ROOMS, SHOP, CHOICES).fields["room"].value == next(iter(ROOMS))


def warm_page(room: str, choices: fk.Choices, *, underlay: str = FOAM) -> str:
    surveyed = ROOMS[room]
    area = fk.net_area_m2(fk.net_floor(surveyed, choices.laying.rules))
    return warmth_html(surveyed, SHOP.board(OAK), SHOP.underlay(underlay), SHOP.underlays.values(), choices, area)


def test_the_warmth_panel_shows_what_its_fields_say():
    panel = warmth_panel(ROOMS, SHOP, CHOICES, room="Back bedroom")
    # the panel's usual year of 2100 degree days is that of the defaults: 1800 and 2400 lie a seventh away
    assert panel.sheet.value == sheet_html(warm_page("Back bedroom", CHOICES))
    put(panel, "below", "ground")
    put(panel, "house_area", 60)
    put(panel, "degree_days", 2800)
    warmth = fk.Warmth(below="ground", house_area_m2=60.0, degree_days=(2400.0, 3200.0))
    assert panel.sheet.value == sheet_html(warm_page("Back bedroom", replace(CHOICES, warmth=warmth)))


def test_the_warmth_panel_turns_to_the_heating_where_there_is_one():
    panel = warmth_panel(ROOMS, SHOP, CHOICES, room="Kitchen-diner")
    put(panel, "flow", 35)
    put(panel, "wanted", 40)
    heated = fk.Heated(flow_c=35.0, return_c=30.0, wanted_w_m2=40.0)
    assert panel.sheet.value == sheet_html(warm_page("Kitchen-diner", replace(CHOICES, heated=heated)))


def test_the_warmth_panel_shows_only_the_fields_that_change_something_for_the_room():
    panel = warmth_panel(ROOMS, SHOP, CHOICES, room="Kitchen-diner")
    everywhere = {"room", "board", "underlay"}
    for room, more in {
        "Kitchen-diner": {"flow", "wanted"},
        "Back bedroom": {"below", "house_area", "perimeter", "degree_days"},
    }.items():
        put(panel, "room", room)
        assert {name for name, field in panel.fields.items() if field.box.layout.display != "none"} == everywhere | more


def test_a_house_outside_the_tables_is_refused_with_its_range():
    panel = warmth_panel(ROOMS, SHOP, CHOICES, room="Back bedroom")
    before = panel.sheet.value
    put(panel, "perimeter", 100)
    assert "characteristic dimension of the floor must be 2 to 40 m" in panel.alert.value
    assert panel.sheet.value == before
