"""Damp at the floor's surface: published dew points, the mould rule, and the vapour library underneath."""

import math

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from flooring_kit import condensation
from flooring_kit.condensation import (
    MOULD_PERCENT,
    SHELTERED_SURFACE_M2K_W,
    dew_point_c,
    least_temperature_factor,
    lowest_surface_c,
    surface_damp,
    surface_humidity_percent,
    surface_temperature_c,
    temperature_factor,
)

airs = st.floats(0, 50)
humidities = st.floats(1, 100)
surfaces = st.floats(-40, 50)
outsides = st.floats(-40, 15)
factors = st.floats(0, 1)

# A paint maker's dew point table (expydoc.com/doc/12113599, "rounded values"), 30 to 95 % in steps of 5
PRINTED = {
    10: [-6.0, -4.2, -2.6, -1.3, 0.0, 1.3, 2.5, 3.7, 4.8, 5.8, 6.8, 7.7, 8.5, 9.3],
    18: [0.2, 2.3, 4.2, 5.9, 7.4, 8.8, 10.1, 11.3, 12.4, 13.5, 14.6, 15.4, 16.3, 17.3],
    20: [1.9, 4.1, 6.0, 7.7, 9.3, 10.7, 12.0, 13.2, 14.4, 15.5, 16.5, 17.4, 18.4, 19.2],
    22: [3.7, 5.9, 7.8, 9.5, 11.2, 12.5, 13.9, 15.2, 16.3, 17.4, 18.4, 19.4, 20.3, 21.2],
    25: [6.2, 8.5, 10.5, 12.2, 13.8, 15.4, 16.7, 18.0, 19.1, 20.2, 21.4, 22.3, 23.3, 24.2],
}


# --- dew point --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("air_c", PRINTED)
def test_the_dew_point_is_that_of_the_printed_table(air_c):
    # one decimal printed, but its steps are uneven (20 °C: 1.1, 1.0, 0.9, 1.0, 0.8), so not to 0.05 but to 0.12
    assert dew_point_c(air_c, np.arange(30, 96, 5)) == pytest.approx(PRINTED[air_c], abs=0.12)


@pytest.mark.parametrize(
    ("air_c", "humidity", "expected"),
    [  # one decimal printed
        (20, 50, 9.3),  # geb-info.de, on DIN 4108 and EN ISO 13788; surveyors' pages
        (20, 60, 12.0),  # a surveyor's page
        (20, 70, 14.4),  # a paint maker's page
        (10, 90, 8.4),  # the same
        (22, 70, 16.3),  # a drying firm's page
        (22, 45, 9.5),  # the same
        (24, 60, 15.8),  # a sensor maker's page
    ],
)
def test_the_dew_point_is_that_of_other_pages(air_c, humidity, expected):
    assert dew_point_c(air_c, humidity) == pytest.approx(expected, abs=0.05)


def test_the_dew_point_is_that_of_the_vapour_librarys_own_example():
    # psychrolib's docstring: 25 °C and 80 % give 21.309397; it solves to 0.001 K
    assert dew_point_c(25, 80) == pytest.approx(21.309397, abs=0.001)


@given(airs, humidities)
def test_the_dew_point_is_the_vapour_librarys(air_c, humidity):
    psychrolib.SetUnitSystem(psychrolib.SI)
    # the library solves to 0.001 K
    assert dew_point_c(air_c, humidity) == pytest.approx(
        psychrolib.GetTDewPointFromRelHum(air_c, humidity / 100), abs=0.001
    )


def test_the_curve_keeps_its_kink_where_ice_melts():
    # the library's curves over ice and over water meet at 0.01 °C; between table steps it is straight
    psychrolib.SetUnitSystem(psychrolib.SI)
    humidity = 100 * psychrolib.GetSatVapPres(0.01) / psychrolib.GetSatVapPres(20)
    assert dew_point_c(20, humidity) == pytest.approx(0.01, abs=1e-4)


@pytest.mark.parametrize("left_in", ["IP", "SI"])
def test_the_units_the_vapour_library_was_left_in_change_nothing(left_in):
    before = dew_point_c(20, 50)
    condensation._vapour_curve.cache_clear()
    psychrolib.SetUnitSystem(getattr(psychrolib, left_in))
    assert dew_point_c(20, 50) == before
    psychrolib.SetUnitSystem(psychrolib.IP)  # and neither does a switch after the curve is tabulated
    assert dew_point_c(20, 50) == before
    psychrolib.SetUnitSystem(psychrolib.SI)


@given(airs, humidities)
def test_the_dew_point_is_never_over_the_airs_own_temperature(air_c, humidity):
    assert dew_point_c(air_c, humidity) <= air_c + 1e-9
    assert dew_point_c(air_c, 100) == pytest.approx(air_c, abs=1e-9)


@given(airs, humidities, humidities)
def test_damper_air_has_no_lower_dew_point(air_c, one, other):
    low, high = sorted((one, other))
    assert dew_point_c(air_c, low) <= dew_point_c(air_c, high)


def test_a_sweep_gives_what_single_calls_give():
    humidity = np.array([[30, 50], [70, 90]])
    swept = dew_point_c(20, humidity)
    assert swept.tolist() == [[dew_point_c(20, int(each)) for each in row] for row in humidity]
    assert isinstance(dew_point_c(20, 50), float)


# --- damp for mould ---------------------------------------------------------------------------------------


def test_air_at_20_degrees_and_50_per_cent_is_damp_enough_for_mould_on_a_surface_of_12_6():
    # surveyors' pages on DIN 4108-2: 12.6 °C for 80 %, one decimal
    assert MOULD_PERCENT == 80
    assert lowest_surface_c(20, 50) == pytest.approx(12.6, abs=0.05)
    assert surface_humidity_percent(20, 50, 12.6) == pytest.approx(80, abs=0.5)


def test_a_room_of_20_degrees_at_5_below_outside_needs_a_factor_of_0_70():
    # DIN 4108-2, f_Rsi at least 0.70; a surveyors' page prints (12.6 + 5) / 25 = 0.704: the temperature to 0.05 K,
    # so the factor to 0.002
    assert least_temperature_factor(20, 50, -5) == pytest.approx(0.704, abs=0.002)


@given(airs, humidities, st.floats(50, 100))
def test_at_its_lowest_temperature_a_surface_has_just_that_humidity(air_c, humidity, surface):
    lowest = lowest_surface_c(air_c, humidity, surface_percent=surface)
    if -40 <= lowest <= 60:
        assert surface_humidity_percent(air_c, humidity, lowest) == pytest.approx(surface, abs=1e-6)


@given(airs, humidities, surfaces, surfaces)
def test_a_warmer_surface_is_never_damper(air_c, humidity, one, other):
    low, high = sorted((one, other))
    assert surface_humidity_percent(air_c, humidity, low) >= surface_humidity_percent(air_c, humidity, high)


@given(airs, humidities)
def test_a_surface_as_warm_as_the_air_is_as_damp_as_the_air(air_c, humidity):
    assert surface_humidity_percent(air_c, humidity, air_c) == pytest.approx(humidity, abs=1e-9)


@given(st.floats(5, 30), st.floats(5, 90), st.floats(-20, 0))
def test_a_floor_with_the_least_factor_is_just_at_the_limit(air_c, humidity, outside):
    factor = least_temperature_factor(air_c, humidity, outside)
    if 0 < factor <= 1:
        surface = surface_temperature_c(air_c, outside, factor)
        assert surface_humidity_percent(air_c, humidity, surface) == pytest.approx(MOULD_PERCENT, abs=1e-6)


def test_dry_air_needs_no_factor_and_air_too_damp_finds_none():
    assert least_temperature_factor(20, 5, 10) == 0
    assert least_temperature_factor(20, 90, 10) > 1


# --- the coldest surface ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("u", "place", "expected"),
    [
        (0.7, None, 0.881),  # by hand: 1 - 0.7 x 0.17
        (0.0, None, 1.0),
        (0.7, 0.17, 0.881),
        # by hand: 1 / 0.7 - 0.17 + 0.25 = 1.50857 in all, so 1 - 0.25 / 1.50857
        (0.7, SHELTERED_SURFACE_M2K_W, 0.83428),
    ],
)
def test_the_factor_is_one_less_u_times_the_airs_resistance(u, place, expected):
    assert temperature_factor(u, at_place_m2k_w=place) == pytest.approx(expected, abs=5e-6)


@given(st.floats(0, 5), st.floats(0, 30), outsides)
def test_a_surface_is_as_much_colder_than_the_room_as_heat_flow_times_resistance(u, room, outside):
    surface = surface_temperature_c(room, outside, temperature_factor(u))
    assert surface == pytest.approx(room - u * 0.17 * (room - outside), abs=1e-9)


@given(st.floats(0, 5), st.floats(0, 5), st.floats(0.04, 0.4))
def test_a_better_insulated_floor_never_has_a_lower_factor(one, other, place):
    low, high = sorted((one, other))
    factors = temperature_factor(np.array([low, high]), at_place_m2k_w=place)
    assert factors[0] >= factors[1]


@given(st.floats(0, 5), st.floats(0.17, 0.4))
def test_a_sheltered_place_is_never_warmer(u, place):
    assert temperature_factor(u, at_place_m2k_w=place) <= temperature_factor(u) + 1e-12


@given(st.floats(0, 30), outsides, factors)
def test_a_surface_lies_between_room_and_outside(room, outside, factor):
    surface = surface_temperature_c(room, outside, factor)
    assert min(room, outside) - 1e-9 <= surface <= max(room, outside) + 1e-9


# --- what it comes to -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("surface", "verdict", "sentence"),
    [  # 20 °C and 50 %: dew point 9.3, 80 % at 12.6 °C
        (
            8.0,
            "condensation",
            "The floor's surface has 8.0 °C, 1.3 K below the dew point of 9.3 °C; the air at it has 100 %: "
            "water settles on it.",
        ),
        (
            11.0,
            "mould",
            "The floor's surface has 11.0 °C, 1.7 K above the dew point of 9.3 °C; the air at it has 89 %: "
            "mould can grow on it if it stays over 80 % (EN ISO 13788, from memory).",
        ),
        (
            17.0,
            "below both limits",
            "The floor's surface has 17.0 °C, 7.7 K above the dew point of 9.3 °C; the air at it has 60 %: "
            "less than the 80 % from which mould can grow (EN ISO 13788, from memory).",
        ),
    ],
)
def test_a_surface_is_told_by_its_dew_point_and_its_damp(surface, verdict, sentence):
    damp = surface_damp(20, 50, surface)
    assert damp.verdict == verdict
    assert damp.sentence() == sentence


def test_a_surface_just_at_the_dew_point_is_wet_and_one_just_at_the_mould_limit_counts_as_mould():
    assert surface_damp(20, 50, dew_point_c(20, 50)).verdict == "condensation"
    assert surface_damp(20, 50, lowest_surface_c(20, 50)).verdict == "mould"


def test_the_margins_are_to_the_dew_point_and_to_the_mould_limit():
    damp = surface_damp(20, 50, 15)
    assert damp.margin_k == pytest.approx(15 - 9.3, abs=0.05)  # dew point and limit as printed above
    assert damp.mould_margin_k == pytest.approx(15 - 12.6, abs=0.05)


@given(airs, humidities, surfaces)
def test_verdict_margins_and_humidity_agree(air_c, humidity, surface):
    damp = surface_damp(air_c, humidity, surface)
    assert (damp.verdict == "condensation") == (damp.margin_k <= 0)
    assert (damp.verdict == "below both limits") == (damp.mould_margin_k > 0)
    assert damp.mould_margin_k < damp.margin_k
    assert damp.humidity_percent <= 100
    if abs(damp.mould_margin_k) > 1e-6:
        assert (damp.humidity_percent > MOULD_PERCENT) == (damp.mould_margin_k < 0)


def test_a_sweep_over_surfaces_has_a_verdict_each_and_one_shape():
    damp = surface_damp(20, [[50], [60]], [8.0, 11.0, 17.0])
    assert damp.verdict.tolist() == [
        ["condensation", "mould", "below both limits"],
        ["condensation", "condensation", "below both limits"],
    ]
    shapes = {np.shape(each) for each in (damp.surface_c, damp.dew_point_c, damp.humidity_percent, damp.margin_k)}
    assert shapes == {(2, 3)}


def test_a_sweep_has_no_sentence():
    with pytest.raises(ValueError) as refusal:
        surface_damp(20, 50, [8.0, 11.0]).sentence()
    assert str(refusal.value) == "Only one surface can be told in a sentence, got a sweep over several."


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: dew_point_c(51, 50), "air temperature must be 0 to 50 °C, got 51 °C."),
        (lambda: dew_point_c(20, 0.5), "humidity must be 1 to 100 %, got 0.5 %. Write 50 % as 50."),
        (lambda: dew_point_c(20, [50, 101]), "humidity must be 1 to 100 %, got 101 %. Write 50 % as 50."),
        (lambda: dew_point_c(math.nan, 50), "air temperature must be a finite number, got nan."),
        (lambda: dew_point_c("20", 50), "air temperature must be a number in °C, got '20'."),
        (
            lambda: lowest_surface_c(20, 50, surface_percent=0.8),
            "humidity at the surface must be 50 to 100 %, got 0.8 %.",
        ),
        (
            lambda: surface_humidity_percent(20, 50, -41),
            "surface temperature must be -40 to 60 °C, got -41 °C.",
        ),
        (
            lambda: temperature_factor(6),
            "U-value of the floor must be 0 to 5 W/m²K, got 6 W/m²K. "
            "More would need less than the resistance of the air on it.",
        ),
        (
            lambda: temperature_factor(3, surface_m2k_w=0.4),
            "U-value of the floor must be 0 to 2.5 W/m²K, got 3 W/m²K. "
            "More would need less than the resistance of the air on it.",
        ),
        (
            lambda: temperature_factor(0.7, surface_m2k_w=1.7),
            "resistance of the air on the floor must be 0.04 to 0.4 m²K/W, got 1.7 m²K/W.",
        ),
        (
            lambda: temperature_factor(0.7, at_place_m2k_w=0),
            "resistance of the air at the place must be 0.04 to 0.4 m²K/W, got 0 m²K/W.",
        ),
        (lambda: surface_temperature_c(-1, -5, 0.7), "room temperature must be 0 to 50 °C, got -1 °C."),
        (lambda: surface_temperature_c(20, -50, 0.7), "temperature outside must be -40 to 50 °C, got -50 °C."),
        (
            lambda: surface_temperature_c(20, -5, 70),
            "temperature factor must be 0 to 1, got 70. It is a share: 1 is as warm as the room.",
        ),
        (
            lambda: least_temperature_factor(20, 50, 20),
            "room over outside must be 1 to 100 K, got 0 K. The room must be at least 1 K warmer, or no factor "
            "says anything.",
        ),
    ],
)
def test_air_or_floor_out_of_range_is_refused(call, message):
    with pytest.raises(ValueError) as refusal:
        call()
    assert str(refusal.value) == message
