"""Products that do not suit, each with its reason."""

from dataclasses import replace

from flooring_kit.products import Board, Trim, Underlay
from flooring_kit.room import Room
from flooring_kit.suitability import misfits

ROOM = Room("Bathroom", ((0, 0), (3000, 0), (3000, 2000), (0, 2000)))
LAMINATE = Board("Oak", 1380, 193, 8, 8, resistance_m2k_w=0.055)
VINYL = Board("Slate", 1220, 180, 5, 10, kind="vinyl", resistance_m2k_w=0.02)
FOAM = Underlay("Foam", "foam", 3, 10, resistance_m2k_w=0.075, compressive_strength_kpa=60)
SCOTIA = Trim("Scotia", 18, 18, 2400, material="MDF")


def test_products_that_suit_give_nothing():
    assert misfits(ROOM, LAMINATE, FOAM, SCOTIA) == []
    assert misfits(replace(ROOM, wet=True), LAMINATE, FOAM, replace(SCOTIA, material="plastic")) == []


def test_an_underlay_is_too_soft_below_the_strength_its_board_needs():
    # EN 16354:2018 property CS; the associations' least values: 10 kPa under laminate, 200 under rigid vinyl.
    assert misfits(ROOM, LAMINATE, replace(FOAM, compressive_strength_kpa=10)) == []
    assert misfits(ROOM, LAMINATE, replace(FOAM, compressive_strength_kpa=9.9)) == [
        "Foam: too soft at 9.9 kPa; a laminate board needs 10 kPa (EN 16354), or the locks give way underfoot."
    ]
    assert misfits(ROOM, VINYL, FOAM) == [
        "Foam: too soft at 60 kPa; a vinyl board needs 200 kPa (EN 16354), or the locks give way underfoot."
    ]
    assert misfits(ROOM, LAMINATE, replace(FOAM, compressive_strength_kpa=None)) == []
    assert misfits(ROOM, VINYL, replace(FOAM, compressive_strength_kpa=None)) == [
        "Foam: no compressive strength declared; a vinyl board needs 200 kPa (EN 16354). Ask for it."
    ]


def test_resistance_counts_only_over_heating_and_at_the_limit_it_still_suits():
    heated = replace(ROOM, heated=True)
    at_limit, over = replace(FOAM, resistance_m2k_w=0.095), replace(FOAM, resistance_m2k_w=0.105)
    assert misfits(heated, LAMINATE, at_limit) == []  # 0.095 + 0.055 = 0.15
    assert misfits(ROOM, LAMINATE, over) == []
    assert misfits(heated, LAMINATE, over) == [
        "Foam and Oak: together 0.160 m²K/W (1.60 tog), over the 0.15 m²K/W (1.5 tog) for heated floors (EN 1264)."
    ]
    assert misfits(heated, LAMINATE, replace(FOAM, resistance_m2k_w=None)) == [
        "Foam: no thermal resistance declared; over heating board and underlay together may have 0.15 m²K/W "
        "(EN 1264). Ask for it."
    ]


def test_mdf_trim_swells_in_a_wet_room_only():
    assert misfits(ROOM, LAMINATE, FOAM, SCOTIA) == []
    assert misfits(replace(ROOM, wet=True), LAMINATE, FOAM, SCOTIA) == [
        "Scotia: MDF swells where it gets wet. Take a plastic trim in Bathroom."
    ]


def test_every_misfit_is_told_at_once():
    wet_and_warm = replace(ROOM, wet=True, heated=True)
    assert len(misfits(wet_and_warm, VINYL, replace(FOAM, resistance_m2k_w=0.2), SCOTIA)) == 3
