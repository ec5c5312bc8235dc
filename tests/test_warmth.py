"""What a floor does to warmth: which case applies, before and after, underlays weighed; the sheet that tells it."""

from __future__ import annotations

import html
import math
import re
from dataclasses import replace

import pytest
from floors import demo_boards, demo_room, rectangle
from hypothesis import given
from hypothesis import strategies as st

import flooring_kit as fk
from flooring_kit.ground_floors import GroundFloor
from flooring_kit.warmth import (
    BAD_AT,
    covering_m2k_w,
    ground_floor,
    heat_lost,
    heated_options,
    lies_over,
    underlays_weighed,
)
from flooring_kit.warmth_sheet import case_sentence, covering_sentence, heat_sentences, warmth_html

BOARD = fk.Board("Plank", 1380, 193, 8, 8, resistance_m2k_w=0.05)
UNDERLAYS = fk.read_underlays(fk.demo_path("underlays.csv"))
FOAM = fk.Underlay("Foam", "foam", 3, 10, 20.0, resistance_m2k_w=0.08, compressive_strength_kpa=60)
THIN = fk.Underlay("Thin", "rubber", 2, 10, 40.0, resistance_m2k_w=0.01, compressive_strength_kpa=400)
UNKNOWN = fk.Underlay("Unknown", "cork", 3, 10)
CHOICES = fk.Choices(fk.Materials("Plank", "Foam"))


# --- which case --------------------------------------------------------------------------------------------


def test_what_lies_below_is_as_chosen_else_as_surveyed_else_as_the_subfloor_has_it():
    assert lies_over(rectangle(4000, 3000, subfloor="timber"), fk.Warmth()) == "ventilated void"
    assert lies_over(rectangle(4000, 3000, subfloor="screed"), fk.Warmth()) == "ground"
    upstairs = rectangle(4000, 3000, subfloor="timber", below="heated room")
    assert lies_over(upstairs, fk.Warmth()) == "heated room"
    assert lies_over(upstairs, fk.Warmth(below="ground")) == "ground"


def test_the_case_is_told_with_its_reason():
    assert case_sentence(rectangle(4000, 3000, subfloor="screed"), CHOICES) == (
        "This floor lies unheated on the ground: more resistance is better, it keeps heat in."
    )
    assert case_sentence(rectangle(4000, 3000, subfloor="timber"), CHOICES) == (
        "This floor lies unheated over a ventilated void: more resistance is better, it keeps heat in."
    )
    assert case_sentence(rectangle(4000, 3000, below="heated room"), CHOICES) == (
        "This floor lies over a heated room: next to no heat is lost through it, so warmth is no reason to choose."
    )
    assert case_sentence(demo_room("kitchen_diner"), CHOICES) == (
        "This floor is heated from below: less resistance is better, for what lies on the pipes keeps their heat from "
        "the room. Board and underlay together may have 0.15 m²K/W (EN 1264)."
    )


# --- unheated ----------------------------------------------------------------------------------------------


def test_a_slab_is_the_ground_floor_of_the_house_not_of_the_room():
    # Approved Document L (2002) table C1: P / A 0.50, no insulation: 0.70
    warmth = fk.Warmth(house_area_m2=40, exposed_perimeter_m=20)
    floor = ground_floor(rectangle(4000, 3000), warmth)
    assert floor == GroundFloor(40, 20)
    assert floor.u_w_m2k() == pytest.approx(0.70, abs=0.005)


def test_a_timber_floor_over_a_void_is_that_of_the_published_table():
    # Approved Document L (2002) table C4: P / A 0.50, 1500 mm²/m of openings: 0.66
    warmth = fk.Warmth(house_area_m2=40, exposed_perimeter_m=20)
    floor = ground_floor(rectangle(4000, 3000, subfloor="timber"), warmth)
    assert floor.u_w_m2k() == pytest.approx(0.66, abs=0.005)


def test_a_carpet_taken_up_for_laminate_makes_the_floor_colder_and_it_is_said():
    # 0.25 taken up, 0.05 + 0.08 laid
    room = rectangle(4000, 3000, old_covering_mm=18, old_covering_m2k_w=0.25)
    lost = heat_lost(room, CHOICES.warmth, 0.13)
    assert lost.change.is_colder
    assert lost.saved_kwh[1] < 0
    told = heat_sentences(room, BOARD, FOAM, CHOICES)
    assert told[0].startswith("0.130 m²K/W laid, 0.250 taken up: U-value ")
    assert told[0].endswith("The new floor is colder than the old one and loses more heat.")
    more = f"{-lost.saved_kwh[1]:.0f} to {-lost.saved_kwh[0]:.0f} kWh a season more than before"
    assert more in told[2]
    assert not any("not in the survey" in each for each in told)


def test_a_bare_floor_covered_loses_less_and_a_covering_of_unknown_resistance_is_named():
    bare = heat_sentences(rectangle(4000, 3000), BOARD, FOAM, CHOICES)
    assert bare[2].startswith("The new covering keeps ")
    unknown = heat_sentences(rectangle(4000, 3000, old_covering_mm=18), BOARD, FOAM, CHOICES)
    assert "The resistance of the covering taken up is not in the survey: nothing is counted for it." in unknown
    assert len(unknown) == len(bare) + 1


def test_the_season_is_the_rooms_area_times_u_times_degree_days():
    # U x 12 m² x 2000 K day x 24 h, a quarter either way for the ground
    warmth = fk.Warmth(degree_days=(2000, 2000))
    lost = heat_lost(rectangle(4000, 3000), warmth, 0.13)
    middle = lost.change.after_u_w_m2k * 12 * 2000 * 24 / 1000
    assert lost.season_kwh == (pytest.approx(0.75 * middle), pytest.approx(1.25 * middle))
    assert lost.season_cost == (
        pytest.approx(lost.season_kwh[0] * 0.08 / 0.9),
        pytest.approx(lost.season_kwh[1] * 0.08 / 0.9),
    )


def test_over_a_heated_room_nothing_is_reckoned():
    upstairs = rectangle(4000, 3000, below="heated room")
    assert heat_lost(upstairs, CHOICES.warmth, 0.13) is None
    assert heat_sentences(upstairs, BOARD, FOAM, CHOICES) == []


@given(st.floats(0, 0.5), st.floats(0, 0.5), st.sampled_from(["ground", "ventilated void"]))
def test_more_resistance_never_loses_more_heat(laid, more, below):
    warmth = fk.Warmth(below=below)
    one, other = (heat_lost(rectangle(4000, 3000), warmth, each) for each in (laid, laid + more))
    assert other.season_kwh[1] <= one.season_kwh[1] + 1e-9
    assert other.damp.surface_c >= one.damp.surface_c - 1e-9


# --- heated ------------------------------------------------------------------------------------------------


def test_an_underlay_over_the_limit_has_no_output_and_says_why():
    # 0.08 + 0.05 passes; 0.1429 + 0.05 = 0.193 does not
    thick = replace(FOAM, name="Thick", resistance_m2k_w=0.1429)
    table = heated_options(BOARD, [FOAM, thick, UNKNOWN], CHOICES.heated, room_c=20).set_index("covering")
    assert table.loc["Foam", "verdict"] == "fits"
    assert math.isnan(table.loc["Thick", "output_w_m2"])
    assert table.loc["Thick", "verdict"] == "too much covering: 0.193 m²K/W, over the 0.15 of EN 1264"
    assert table.loc["Unknown", "verdict"] == "no resistance declared: ask for it"


def test_a_resistance_that_is_not_declared_is_none_and_told():
    assert covering_m2k_w(BOARD, FOAM) == pytest.approx(0.13)
    assert covering_m2k_w(BOARD, UNKNOWN) is None
    assert covering_sentence(BOARD, FOAM) == "Plank on Foam: 0.130 m²K/W = 1.30 tog."
    assert covering_sentence(BOARD, UNKNOWN) == (
        "Plank on Unknown: no resistance declared for one of them. Ask for it."
    )


# --- underlays weighed -------------------------------------------------------------------------------------


def test_over_heating_less_resistance_comes_first_and_elsewhere_more():
    heated, cold = rectangle(4000, 3000, heated=True), rectangle(4000, 3000)
    order = [
        underlays_weighed(room, BOARD, [FOAM, THIN], CHOICES, net_area_m2=12)["underlay"].tolist()
        for room in (heated, cold)
    ]
    assert order == [["Thin", "Foam"], ["Foam", "Thin"]]


def test_a_row_tells_height_packs_price_and_what_it_is_bad_at():
    row = underlays_weighed(rectangle(4000, 3000), BOARD, [FOAM], CHOICES, net_area_m2=12).iloc[0]
    # 12 m² from packs of 10: 2 at 20.00; 8 + 3 mm; 0.05 + 0.08 m²K/W
    assert (row.height_mm, row.packs, row.price) == (11, 2, 40)
    assert (row.covering_m2k_w, row.covering_tog) == (pytest.approx(0.13), pytest.approx(1.3))
    assert (row.strength_kpa, row.bad_at, row.misfits) == (60, BAD_AT["foam"], "")
    assert math.isnan(row.impact_sound_db)


def test_over_a_heated_room_all_underlays_are_worth_the_same():
    upstairs = rectangle(4000, 3000, below="heated room")
    weighed = underlays_weighed(upstairs, BOARD, [FOAM, THIN], CHOICES, net_area_m2=12)
    assert set(weighed["worth"]) == {0.0}
    assert weighed["underlay"].tolist() == ["Foam", "Thin"]  # by price


# --- the sheet ---------------------------------------------------------------------------------------------


def table_of(page, label):
    table = re.search(rf"aria-label='{label}'><table.*?(<thead>.*?)</table>", page).group(1)
    rows = re.findall(r"<tr>(.*?)</tr>", table)
    return [[html.unescape(cell) for cell in re.findall(r"<t[dh][^>]*>(.*?)</t[dh]>", row)] for row in rows]


def page_of(name):
    room, board = demo_room(name), demo_boards()["Oak plank 1380 x 193"]
    return warmth_html(room, board, UNDERLAYS["Foam sheet 3 mm"], UNDERLAYS.values(), CHOICES, room.polygon.area / 1e6)


def test_a_heated_room_has_a_chart_and_a_verdict_for_every_underlay():
    page = page_of("kitchen_diner")
    assert page.count("<svg") == 1
    _, *rows = table_of(page, "Underlays over heating")
    assert [row[0] for row in rows] == list(UNDERLAYS)
    assert {row[-1] for row in rows if row[0] != "Foam sheet 5 mm"} == {"fits"}


def test_an_unheated_room_has_no_chart_and_every_underlay_once():
    page = page_of("back_bedroom")
    assert "<svg" not in page
    _, *rows = table_of(page, "Underlays side by side")
    assert sorted(row[0] for row in rows) == sorted(UNDERLAYS)
    kept = [float(row[4]) for row in rows]
    assert kept == sorted(kept, reverse=True)


def test_the_chart_keeps_to_the_options_that_have_an_output():
    from flooring_kit.drawing.charts import figure_svg, output_chart
    from flooring_kit.heated_floors import Heating, covering_options

    options = covering_options(Heating(), [("thin", 0.05), ("thick", 0.19)], wanted_w_m2=50)
    figure = output_chart(Heating(), options, wanted_w_m2=50, warmest_c=27)
    labels = figure.axes[0].get_legend_handles_labels()[1]
    assert labels == ["thin"]
    svg = figure_svg(figure, title="Output")
    assert svg.startswith('<svg role="img"')
    assert "Output" in svg
