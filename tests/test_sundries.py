"""Small things counted from the drawing: hand counts on plain rooms."""

import math

import pytest
from floors import DEMO_ROOMS, demo_boards, demo_room, rectangle

import flooring_kit as fk
from flooring_kit.products import SUNDRY_USES
from flooring_kit.sundries import SUNDRY_COLUMNS, Count, count_sundries, sundry_order
from flooring_kit.trims import trim_pieces
from flooring_kit.underlay import underlay_strips, vapour_strips

BOARD = fk.Board("Plank", 1380, 193, 8, 8)
SCOTIA = fk.Trim("Scotia", 18, 18, 3000)
PLASTIC = fk.Trim("Plastic bead", 18, 18, 3000, material="plastic")
FOAM = fk.Underlay("Foam", "foam", 3, 15, piece_length_mm=15_000, piece_width_mm=1000)
SHEET = fk.Sundry("Vapour sheet", "roll", use="vapour sheet", pack_holds=50, width_mm=2000)
COLLAR = fk.Sundry("Collar", "pack of 2", price=3.8, use="pipe collars", pack_holds=2, fits_mm=15, outside_mm=48)


def counted(room, trim=SCOTIA, **more):
    plan = fk.set_out(room, BOARD, search=fk.Search(quick=True))
    pieces = None if trim is None else trim_pieces(room, foot_mm=trim.foot_mm, stock_length_mm=trim.length_mm)
    return plan, {each.use: each for each in count_sundries(plan, pieces, trim, **more)}


def test_spacers_stand_at_row_ends_and_every_half_metre_beside_the_boards():
    # 3000 by 2000 with the gap: 1980 / 193 = 10.3, so 11 rows or 12, each with two ends; walls 1 and 3: 6000 / 500 = 12
    plan, counts = counted(rectangle(3000, 2000))
    assert counts["wall spacers"].amount == 2 * plan.rows + 12
    assert counts["wall spacers"].rule == (
        f"one at each end of every row, {2 * plan.rows}, and one every 500 mm along the walls the boards run beside; "
        "they move on with the rows"
    )


def test_pins_stand_every_300_mm_and_two_at_least_in_a_piece():
    # 2700: 9 steps, 10 pins; 500: 2 steps, 3 pins
    _, counts = counted(rectangle(2700, 500))
    assert counts["trim pins"].amount == 2 * 10 + 2 * 3
    assert "trim adhesive" not in counts


def test_plastic_trims_are_glued_by_the_metre():
    _, counts = counted(rectangle(2700, 500), PLASTIC)
    assert counts["trim adhesive"].amount == pytest.approx(6.4)
    assert "trim pins" not in counts


def test_no_trim_takes_neither_pins_nor_glue():
    _, counts = counted(rectangle(2700, 500), None)
    assert {"trim pins", "trim adhesive"} & set(counts) == set()


def test_tape_is_the_seams_of_underlay_and_sheet_together():
    room = rectangle(4000, 3000, subfloor="screed")
    plan = fk.set_out(room, BOARD, search=fk.Search(quick=True))
    laid, vapour = underlay_strips(plan, FOAM), vapour_strips(plan, SHEET)
    _, counts = counted(room, underlay=laid, vapour=vapour)
    assert counts["joint tape"].amount == pytest.approx(laid.tape_m + vapour.tape_m)
    assert counts["vapour sheet"].amount == vapour.sheet_m2
    _, without = counted(room)
    assert {"joint tape", "vapour sheet"} & set(without) == set()


def test_each_pipe_takes_a_collar_of_its_own_size():
    pipes = (fk.Pipe((700, 700)), fk.Pipe((1500, 1000)), fk.Pipe((2200, 900), 22))
    _, counts = counted(rectangle(3000, 2000, pipes=pipes), on_sale=(COLLAR,))
    assert (counts["pipe collars"].amount, counts["pipe collars"].product) == (2, "Collar")


def test_glue_is_for_frames_met_by_the_last_row_and_for_wedges():
    # a door in the far wall; boards start at wall 3 or wall 1, so a door in either wall is met once from each start
    far, near = (rectangle(3000, 2000, doors=(fk.Door(wall, 800, 762, 60),)) for wall in (1, 3))
    glue = [counted(room)[1].get("board glue") for room in (far, near)]
    assert [each.amount if each else 0 for each in glue].count(0.762) == 1


def test_filler_closes_frames_that_are_not_cut():
    # 2 x (60 + 71) mm
    steel = fk.Door(1, 800, 762, 60, undercut=False)
    _, counts = counted(rectangle(3000, 2000, doors=(steel,)))
    assert counts["flexible filler"].amount == pytest.approx(0.262)
    assert "flexible filler" not in counted(rectangle(3000, 2000))[1]


def test_every_rule_says_what_it_counts():
    _, counts = counted(rectangle(3000, 2000, doors=(fk.Door(1, 800, 762, 60), fk.Door(3, 800, 762, 60))))
    assert counts["board glue"].rule == (
        "locks shaved where a board is slid in flat under a frame, and wedges behind pipes"
    )


def test_a_mineral_floor_is_tested_for_damp_and_a_timber_floor_is_not():
    assert counted(rectangle(3000, 2000, subfloor="screed"))[1]["moisture test"].amount == 1
    assert "moisture test" not in counted(rectangle(3000, 2000, subfloor="timber"))[1]


@pytest.mark.parametrize("name", DEMO_ROOMS)
def test_counts_stand_in_the_order_of_their_uses_and_are_all_over_nothing(name):
    room = demo_room(name)
    plan = fk.set_out(room, demo_boards()["Oak plank 1380 x 193"], search=fk.Search(quick=True))
    pieces = trim_pieces(room, foot_mm=18, stock_length_mm=3000)
    counts = count_sundries(plan, pieces, SCOTIA, underlay=underlay_strips(plan, FOAM))
    uses = [each.use for each in counts]
    assert sorted(uses, key=list(SUNDRY_USES).index) == uses
    assert all(each.amount > 0 and each.rule for each in counts)


# --- what to buy -------------------------------------------------------------------------------------------


def test_the_cheapest_product_that_serves_is_bought_in_whole_packs():
    small = fk.Sundry("Box of 100", "box", price=2.0, use="trim pins", pack_holds=100)
    large = fk.Sundry("Box of 500", "box", price=4.7, use="trim pins", pack_holds=500)
    # 300 pins: 3 x 2.00 = 6.00 against 4.70; 150 pins: 4.00 against 4.70
    many, few = (sundry_order([Count("trim pins", amount, "rule")], (small, large)).iloc[0] for amount in (300, 150))
    assert (many["product"], many.packs, many.price) == ("Box of 500", 1, 4.7)
    assert (few["product"], few.packs, few.price) == ("Box of 100", 2, 4.0)
    assert list(many.index) == SUNDRY_COLUMNS
    assert many.unit == "pieces"


def test_a_count_for_one_product_takes_that_and_no_other():
    other = fk.Sundry("Other collar", "each", price=0.1, use="pipe collars", pack_holds=1)
    bought = sundry_order([Count("pipe collars", 3, "rule", "Collar")], (other, COLLAR)).iloc[0]
    assert (bought["product"], bought.packs, bought.price) == ("Collar", 2, 7.6)


def test_what_nobody_sells_is_listed_without_a_product():
    bought = sundry_order([Count("board glue", 2, "rule")], (COLLAR,)).iloc[0]
    assert (bought["product"], bought.packs) == ("", 0)
    assert math.isnan(bought.price)


def test_a_product_without_a_price_is_the_last_to_be_taken():
    free = fk.Sundry("Unpriced", "tube", use="board glue", pack_holds=9)
    dear = fk.Sundry("Priced", "tube", price=9.0, use="board glue", pack_holds=1)
    assert sundry_order([Count("board glue", 2, "rule")], (free, dear)).iloc[0]["product"] == "Priced"
    alone = sundry_order([Count("board glue", 2, "rule")], (free,)).iloc[0]
    assert (alone["product"], alone.packs) == ("Unpriced", 1)
    assert math.isnan(alone.price)
