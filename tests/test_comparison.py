"""Options side by side: all of them, in order, each floor set out once and never a plan of something else."""

from dataclasses import replace

import pytest

import flooring_kit.answers as answers
from flooring_kit.answers import estimate, estimate_of_plan
from flooring_kit.choices import Buying, Choices, Laying, Materials, Warmth
from flooring_kit.comparison import compare, comparison_table
from flooring_kit.heated_floors import Heating
from flooring_kit.products import Board, Catalogue, Trim, Underlay
from flooring_kit.room import Room
from flooring_kit.rules import LayingRules
from flooring_kit.setting_out import set_out

PLANK = Board("Plank", 1800, 193, 8, 8, pack_price=38.40, resistance_m2k_w=0.0444)
SHORT = Board("Short", 1200, 193, 12, 10, pack_price=30.00, resistance_m2k_w=0.0667)
FOAM = Underlay("Foam", "foam", 2, 1.5, pack_price=19.50, resistance_m2k_w=0.0571)
FIBRE = Underlay("Fibre", "fibre board", 5, 7.0, pack_price=18.20, resistance_m2k_w=0.0714)
CATALOGUE = Catalogue({"Plank": PLANK, "Short": SHORT}, {"Foam": FOAM, "Fibre": FIBRE})
STORE = Room("Store", ((0, 0), (4020, 0), (4020, 792), (0, 792)))
CHOICES = Choices(Materials("Plank", "Foam"), Laying(rules=LayingRules(offcut_margin_mm=0)))
COLUMNS = [
    "board",
    "underlay",
    "trim",
    "direction",
    "boards",
    "packs",
    "boards_over",
    "underlay_packs",
    "trim_lengths",
    "waste_fraction",
    "joints",
    "narrowest_strip_mm",
    "height_mm",
    "resistance_m2k_w",
    "tog",
    "heat_lost_kwh",
    "heat_given_w_m2",
    "price",
]


@pytest.fixture
def times_set_out(monkeypatch):
    """Counts the floors that are set out."""
    made = []

    def counted(room, board, **named):
        made.append((board.name, named["direction"]))
        return set_out(room, board, **named)

    monkeypatch.setattr(answers, "set_out", counted)
    return made


def options(found):
    return [(one.plan.board.name, one.choices.laying.direction, one.underlay.name) for one in found]


def test_every_board_direction_and_underlay_is_compared_in_the_order_given(times_set_out):
    found = compare(
        STORE,
        CHOICES,
        CATALOGUE,
        boards=["Short", "Plank"],
        underlays=["Fibre", "Foam"],
        directions=["long", 90.0],
        quick=True,
    )
    assert options(found) == [
        (board, direction, underlay)
        for board in ("Short", "Plank")
        for direction in ("long", 90.0)
        for underlay in ("Fibre", "Foam")
    ]
    # each floor is set out once, whatever lies under it
    assert times_set_out == [("Short", "long"), ("Short", 90.0), ("Plank", "long"), ("Plank", 90.0)]


def test_the_chosen_direction_is_taken_where_none_is_given(times_set_out):
    laying = replace(CHOICES.laying, direction="short")
    found = compare(STORE, replace(CHOICES, laying=laying), CATALOGUE, boards=["Plank"], underlays=["Foam"], quick=True)
    assert options(found) == [("Plank", "short", "Foam")]


def test_an_option_is_what_its_own_estimate_says():
    found = compare(STORE, CHOICES, CATALOGUE, boards=["Plank", "Short"], underlays=["Foam", "Fibre"], quick=True)
    for one in found:
        alone = estimate(STORE, one.choices, CATALOGUE, quick=True)
        assert one.price == alone.price
        assert one.take_off.boards == alone.take_off.boards
        assert one.covering == alone.covering
        assert one.choices.materials == Materials(one.plan.board.name, one.underlay.name)


def test_a_plan_made_already_is_used_again(times_set_out):
    done = estimate(STORE, CHOICES, CATALOGUE, quick=True)
    del times_set_out[:]
    found = compare(STORE, CHOICES, CATALOGUE, boards=["Plank"], underlays=["Foam", "Fibre"], known=[done], quick=True)
    assert times_set_out == []
    assert found[0].plan is found[1].plan is done.plan


def test_what_is_bought_may_differ_from_the_known_estimate(times_set_out):
    done = estimate(STORE, CHOICES, CATALOGUE, quick=True)
    del times_set_out[:]
    untaxed = replace(CHOICES, buying=Buying(tax_fraction=0.0))
    found = compare(STORE, untaxed, CATALOGUE, boards=["Plank"], underlays=["Foam"], known=[done], quick=True)
    assert times_set_out == []
    assert found[0].price.tax == 0


@pytest.mark.parametrize(
    "stranger",
    [
        {"room": replace(STORE, name="Other store")},
        {"choices": replace(CHOICES, laying=replace(CHOICES.laying, direction="short"))},
        {"choices": replace(CHOICES, laying=replace(CHOICES.laying, rules=LayingRules(gap_mm=12)))},
        {"choices": replace(CHOICES, laying=replace(CHOICES.laying, first_row_width_mm=100.0))},
        {"choices": replace(CHOICES, materials=Materials("Short", "Foam"))},
        # the table was read again and the board of that name is another size now
        {"catalogue": replace(CATALOGUE, boards={"Plank": replace(PLANK, length_mm=1200)})},
    ],
    ids=["room", "direction", "rules", "first row", "board", "board changed under its name"],
)
def test_a_plan_of_something_else_is_not_used(stranger, times_set_out):
    asked = {"room": STORE, "choices": CHOICES, "catalogue": CATALOGUE} | stranger
    done = estimate(asked["room"], asked["choices"], asked["catalogue"], quick=True)
    del times_set_out[:]
    found = compare(STORE, CHOICES, CATALOGUE, boards=["Plank"], underlays=["Foam"], known=[done], quick=True)
    assert times_set_out == [("Plank", "long")]
    assert found[0].plan.board == PLANK


def test_a_product_that_is_not_there_is_refused():
    with pytest.raises(ValueError, match=r"^There is no underlay 'Cork'\. There are: Foam, Fibre\.$"):
        compare(STORE, CHOICES, CATALOGUE, boards=["Plank"], underlays=["Cork"], quick=True)


# --- the table --------------------------------------------------------------------------------------------


def test_the_table_says_what_the_worked_example_gives_by_hand():
    # 9 boards of 0.3474 m² for 3.088: loss 0.0386; 2 packs; 3.088 / 1.5 = 3 and 3.088 / 7 = 1 packs of underlay
    # (2 x 38.40 + 3 x 19.50) x 1.2 = 162.36; (76.80 + 18.20) x 1.2 = 114.00
    table = comparison_table(compare(STORE, CHOICES, CATALOGUE, boards=["Plank"], underlays=["Foam", "Fibre"]))
    assert list(table.columns) == COLUMNS
    assert table["board"].tolist() == ["Plank", "Plank"]
    assert table["underlay"].tolist() == ["Foam", "Fibre"]
    assert table["direction"].tolist() == ["long", "long"]
    assert table["boards"].tolist() == [9, 9]
    assert table["packs"].tolist() == [2, 2]
    assert table["underlay_packs"].tolist() == [3, 1]
    assert table["boards_over"].tolist() == [16 - 9 - 2] * 2  # two for miscuts
    assert table["trim"].tolist() == ["", ""]
    assert table["trim_lengths"].isna().all()
    # four rows 4000 long: two whole boards and a rest each, or three pieces: 2 joints a row
    assert table["joints"].tolist() == [8, 8]
    assert table["waste_fraction"].tolist() == pytest.approx([0.0386 / 3.088] * 2, abs=1e-9)
    assert table["narrowest_strip_mm"].tolist() == [193, 193]  # four whole rows fill 772
    assert table["height_mm"].tolist() == [10, 13]
    assert table["resistance_m2k_w"].tolist() == pytest.approx([0.1015, 0.1158], abs=1e-12)
    assert table["tog"].tolist() == pytest.approx([1.015, 1.158], abs=1e-9)
    assert table["price"].tolist() == [162.36, 114.00]


def test_heat_is_lost_through_an_unheated_floor_and_given_by_a_heated_one():
    # a slab of 40 m² with 20 m of edge on clay, U 0.656 with 0.0744 m²K/W: here 0.1015, so a little less
    warmth = Warmth(below="ground", house_area_m2=40, exposed_perimeter_m=20, degree_days=(2000, 2000))
    choices = replace(CHOICES, warmth=warmth)
    asked = {"boards": ["Plank"], "underlays": ["Foam", "Fibre"], "quick": True}
    cold = comparison_table(compare(STORE, choices, CATALOGUE, **asked))
    area = STORE.polygon.area / 1e6
    assert cold["heat_lost_kwh"].tolist() == pytest.approx([0.64 * area * 48] * 2, rel=0.02)
    assert cold["heat_lost_kwh"][0] > cold["heat_lost_kwh"][1]  # fibre resists more
    assert cold["heat_given_w_m2"].isna().all()
    heated = replace(STORE, heated=True)
    warm = comparison_table(compare(heated, CHOICES, CATALOGUE, **asked))
    assert warm["heat_lost_kwh"].isna().all()
    assert warm["heat_given_w_m2"][0] > warm["heat_given_w_m2"][1]
    assert warm["heat_given_w_m2"].tolist() == pytest.approx(Heating().output_w_m2([0.1015, 0.1158]).tolist())


def test_the_narrowest_strip_is_that_of_the_worst_part_of_the_floor():
    done = estimate(STORE, CHOICES, CATALOGUE, quick=True)
    widths = done.plan.row_widths[0]
    plan = replace(done.plan, row_widths=(widths, replace(widths, narrowest_strip_mm=61.0)))
    assert comparison_table([replace(done, plan=plan)])["narrowest_strip_mm"].tolist() == [61.0]


def test_what_is_not_known_is_no_number_in_the_table():
    # a sum that leaves a layer or a line out would make the least known option look the best
    done = estimate(STORE, CHOICES, CATALOGUE, quick=True)
    bare = replace(done.plan, board=replace(PLANK, pack_price=None, resistance_m2k_w=None))
    table = comparison_table([done, estimate_of_plan(bare, CHOICES, CATALOGUE)])
    assert table["price"].isna().tolist() == [False, True]
    assert table["resistance_m2k_w"].isna().tolist() == [False, True]
    assert table["tog"].isna().tolist() == [False, True]


def test_trims_are_compared_on_one_plan_and_no_trim_is_a_choice(times_set_out):
    shop = replace(CATALOGUE, trims={"Bead": Trim("Bead", 18, 18, 2400, price=3.60)})
    found = compare(STORE, CHOICES, shop, boards=["Plank"], underlays=["Foam"], trims=[None, "Bead"], quick=True)
    assert len(times_set_out) == 1
    table = comparison_table(found)
    assert table["trim"].tolist() == ["", "Bead"]
    # 2 x (4020 + 792) = 9624 mm of wall: 4020 asks for 2 lengths of 2400, 4020 again for 2, 792 twice from one
    assert table["trim_lengths"].tolist()[1] == 5
    assert table["price"][1] - table["price"][0] == pytest.approx(5 * 3.60 * 1.2)


def test_a_table_of_no_options_keeps_its_columns():
    table = comparison_table([])
    assert list(table.columns) == COLUMNS
    assert len(table) == 0
