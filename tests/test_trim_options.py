"""Beads side by side, cut from all the lengths they are sold in."""

from dataclasses import replace

import pytest
from floors import demo_room, rectangle

import flooring_kit as fk
from flooring_kit.trim_options import OPTION_COLUMNS, bead_order, trim_options

BOARD = fk.Board("Plank", 1380, 193, 8, 8)
SHORT = fk.Trim("Scotia 2.4 m", 18, 18, 2400, price=4.00, profile="Scotia")
LONG = fk.Trim("Scotia 3 m", 18, 18, 3000, price=4.50, profile="Scotia")
NARROW = fk.Trim("Quadrant", 12, 12, 2400, price=1.00)
PLASTIC = fk.Trim("Plastic bead", 20, 20, 2400, price=6.00, material="plastic", bend_radius_mm=600)
TRIMS = (PLASTIC, NARROW, SHORT, LONG)


def plan_of(room):
    return fk.set_out(room, BOARD, search=fk.Search(quick=True))


def test_a_bead_is_cut_from_the_lengths_that_cost_least():
    # Walls 2900, 1100, 2900, 1100: two lengths of 3 m hold the long walls, and 1100 + 3 + 1100 fits one of 2.4 m:
    # 2 x 4.50 + 4.00 = 13.00; three of 3 m would be 13.50.
    order = bead_order(plan_of(rectangle(2900, 1100)), (SHORT, LONG))
    assert order.lengths == {3000.0: 2, 2400.0: 1}
    assert order.cut.price == pytest.approx(13.00)
    assert order.cut.proved
    assert order.sentence() == (
        "Scotia: 2 of 3000 mm and 1 of 2400 mm for 4 pieces, 8.00 m at their long points, 13.00 before tax "
        "(proved least)."
    )


def test_a_bead_with_a_length_that_has_no_price_is_cut_for_the_least_metres():
    order = bead_order(plan_of(rectangle(2900, 1100)), (SHORT, replace(LONG, price=None)))
    assert not order.is_priced
    assert order.lengths == {3000.0: 2, 2400.0: 1}
    assert order.sentence() == "Scotia: 2 of 3000 mm and 1 of 2400 mm for 4 pieces, 8.00 m at their long points."


def test_a_room_that_needs_no_trim_orders_none():
    room = rectangle(2900, 1100, edges=tuple(fk.Edge(wall, "plinth") for wall in (1, 2, 3, 4)))
    order = bead_order(plan_of(room), (SHORT,))
    assert order.lengths == {}
    assert order.sentence() == "Scotia: none needed."


@pytest.mark.parametrize(
    ("trims", "message"),
    [
        ((), "give the lengths of one bead, got none."),
        ((SHORT, NARROW), "give the lengths of one bead, got Quadrant, Scotia."),
    ],
)
def test_only_lengths_of_one_bead_are_cut_together(trims, message):
    with pytest.raises(ValueError) as refused:
        bead_order(plan_of(rectangle(2900, 1100)), trims)
    assert str(refused.value) == message


def test_beads_with_nothing_against_them_come_first_and_then_by_price():
    table = trim_options(plan_of(rectangle(2900, 1100)), TRIMS)
    assert list(table.columns) == OPTION_COLUMNS
    assert table["bead"].tolist() == ["Scotia", "Plastic bead", "Quadrant"]
    # 10 + 2 + 2.88 / 2 x 0.5 = 12.7 and 3 more: 15.7; the widest gap is at the ends of the long way
    assert table["against"].tolist() == [
        "",
        "",
        "At walls 1 to 4 the gap can open to 13 mm, so the trim's foot needs 16 mm; Quadrant has 12.",
    ]
    assert table["lengths"].tolist()[0] == "2 x 3000, 1 x 2400"


def test_mdf_in_a_wet_room_and_a_stiff_bead_at_a_round_wall_are_told():
    outline = ((0, 0), (1000, 0), (3000, 0), (4000, 0), (4000, 3000), (0, 3000))
    room = fk.Room("bath", outline, edges=(fk.Edge(2, rise_mm=350),), wet=True)
    against = trim_options(plan_of(room), (SHORT, PLASTIC)).set_index("bead")["against"]
    assert against["Plastic bead"] == ""
    assert against["Scotia"] == (
        "Wall 2 is round, radius 1604 mm; Scotia 2.4 m does not bend. Take a plastic trim that does, or flexible "
        "filler. Scotia 2.4 m: MDF swells where it gets wet. Take a plastic trim in bath."
    )


def test_two_lengths_never_cost_more_than_one_alone():
    for name in ("box_room", "hall", "sitting_room", "kitchen_diner"):
        plan = plan_of(demo_room(name))
        both = bead_order(plan, (SHORT, LONG)).cut.price
        assert both <= bead_order(plan, (LONG,)).cut.price + 1e-9
