"""Thermal resistance: published figures, and what adding up may not hide."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flooring_kit.rules import HEATED_COVERING_LIMIT_M2K_W
from flooring_kit.thermal import (
    M2K_W_PER_TOG,
    BuildUp,
    build_up,
    layer_resistance_m2k_w,
    tog,
)

# --- tog --------------------------------------------------------------------------------------------------


def test_one_tog_is_a_tenth_of_a_square_metre_kelvin_per_watt():
    assert M2K_W_PER_TOG == 0.1  # T1: GNU Units 2.22 and the NBS article "Underfloor heating: the cover up"


@pytest.mark.parametrize(
    ("resistance", "expected", "tolerance"),
    [
        (0.1, 1.0, 0),  # T1
        (0.15, 1.5, 1e-12),  # T6: exact in print, float dust here
        (0.155, 1.55, 1e-12),  # T5: 1 clo
        (0.17611018, 1 / 0.56782633, 5e-7),  # T2 and T3: 1 US R in tog; eight digits printed in each
        (0.0, 0.0, 0),
    ],
)
def test_resistance_in_tog_is_that_of_the_published_tables(resistance, expected, tolerance):
    assert tog(resistance) == pytest.approx(expected, abs=tolerance)


def test_the_limit_over_heating_is_one_and_a_half_tog():
    # U14: EN 1264, covering and underlay together at most 0.15 m²K/W = 1.5 tog
    assert HEATED_COVERING_LIMIT_M2K_W == 0.15
    assert tog(HEATED_COVERING_LIMIT_M2K_W) == pytest.approx(1.5, abs=1e-12)


# --- one layer --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("thickness_mm", "conductivity", "expected"),
    [  # conductivities of ISO 10456; four decimals printed
        (8, 0.18, 0.0444),  # HDF, 800 kg/m³
        (3, 0.10, 0.0300),  # cellular underlay
        (3, 0.05, 0.0600),  # cork or felt underlay
        (5, 0.07, 0.0714),  # wood fibre, 250 kg/m³
        (18, 0.13, 0.1385),  # plywood, 500 kg/m³, or OSB
        (22, 0.14, 0.1571),  # particleboard, 600 kg/m³
        (20, 0.18, 0.1111),  # oak, 700 kg/m³
        (12.5, 0.25, 0.0500),  # plasterboard
    ],
)
def test_a_layer_has_thickness_over_conductivity(thickness_mm, conductivity, expected):
    assert layer_resistance_m2k_w(thickness_mm, conductivity) == pytest.approx(expected, abs=5e-5)


def test_a_masonry_leaf_has_the_printed_resistance():
    # G14: Building Construction Handbook p. 468, 102 mm at 0.84
    assert layer_resistance_m2k_w(102, 0.84) == pytest.approx(0.121, abs=5e-4)


@given(st.floats(0, 500), st.floats(0, 500), st.floats(0.005, 400))
def test_two_sheets_resist_as_one_of_their_thickness(one, other, conductivity):
    assert layer_resistance_m2k_w(one, conductivity) + layer_resistance_m2k_w(other, conductivity) == pytest.approx(
        layer_resistance_m2k_w(one + other, conductivity), rel=1e-12
    )


@pytest.mark.parametrize(
    ("args", "message"),
    [
        ((-1, 0.18), "layer thickness must be 0 to 1000 mm, got -1 mm."),
        ((8, 0), "conductivity must be 0.005 to 400 W/mK, got 0 W/mK."),
        ((8, math.nan), "conductivity must be a finite number, got nan."),
        (("8 mm", 0.18), "layer thickness must be a number in mm, got '8 mm'."),
    ],
)
def test_a_wrong_layer_is_refused(args, message):
    with pytest.raises(ValueError) as refusal:
        layer_resistance_m2k_w(*args)
    assert str(refusal.value) == message


# --- layers on one another --------------------------------------------------------------------------------


def test_laminate_on_cellular_underlay_passes_over_heating():
    # U16: 8 mm at 0.18 and 3 mm at 0.10: 0.0744 m²K/W = 0.74 tog
    covering = build_up([("foam", layer_resistance_m2k_w(3, 0.10)), ("laminate", layer_resistance_m2k_w(8, 0.18))])
    assert covering.resistance_m2k_w == pytest.approx(0.0744, abs=5e-5)
    assert covering.tog == pytest.approx(0.744, abs=5e-4)
    assert covering.resistance_m2k_w < HEATED_COVERING_LIMIT_M2K_W


def test_engineered_oak_on_foam_fails_over_heating():
    # U17: 14 mm at 0.13 and 3 mm at 0.035: 0.1934 m²K/W
    covering = build_up([("foam", layer_resistance_m2k_w(3, 0.035)), ("oak", layer_resistance_m2k_w(14, 0.13))])
    assert covering.resistance_m2k_w == pytest.approx(0.1934, abs=5e-5)
    assert covering.resistance_m2k_w > HEATED_COVERING_LIMIT_M2K_W


def test_resistances_add_up():
    # T7: carpet 2.16 tog and underlay 0.66 tog, tested together as 2.82
    assert build_up([("underlay", 0.066), ("carpet", 0.216)]).tog == pytest.approx(2.82, abs=0.005)


def test_no_layers_resist_nothing():
    assert build_up([]) == BuildUp(0.0, ())


def test_layers_without_a_figure_are_named_in_order_and_not_guessed():
    covering = build_up([("old sheet", None), ("foam", 0.075), ("oak", None)])
    assert covering == BuildUp(0.075, ("old sheet", "oak"))


@given(st.lists(st.tuples(st.text(max_size=5), st.none() | st.floats(0, 10)), max_size=8))
def test_the_sum_is_that_of_the_known_layers(layers):
    covering = build_up(layers)
    assert covering.resistance_m2k_w == pytest.approx(math.fsum(r for _, r in layers if r is not None), abs=1e-12)
    assert covering.missing == tuple(name for name, r in layers if r is None)


@pytest.mark.parametrize(
    ("resistance", "message"),
    [
        (11, "foam: thermal resistance must be 0 to 10 m²K/W, got 11 m²K/W."),
        (-0.1, "foam: thermal resistance must be 0 to 10 m²K/W, got -0.1 m²K/W."),
        (math.inf, "foam: thermal resistance must be a finite number, got inf."),
    ],
)
def test_a_wrong_resistance_is_refused_by_the_layers_name(resistance, message):
    with pytest.raises(ValueError) as refusal:
        build_up([("foam", resistance)])
    assert str(refusal.value) == message
