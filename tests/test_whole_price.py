"""The whole price of a room: every line traced, tax once, hand sums on a plain room."""

from dataclasses import replace
from decimal import Decimal

import pytest
from floors import DEMO_ROOMS, demo_room, rectangle

import flooring_kit as fk
from flooring_kit.answers import estimate_of_plan
from flooring_kit.whole_price import GROUPS, LINE_COLUMNS, JobLine, WholePrice

BOARD = fk.Board("Plank", 1380, 193, 8, 8, pack_price=38.40)
FOAM = fk.Underlay("Foam", "foam", 3, 10, 21.0, piece_length_mm=10_000, piece_width_mm=1000)
SCOTIA = fk.Trim("Scotia", 18, 18, 2400, price=3.60)
PINS = fk.Sundry("Pins", "box", price=4.70, use="trim pins", pack_holds=500)
SHOP = fk.Catalogue({"Plank": BOARD}, {"Foam": FOAM}, {"Scotia": SCOTIA}, {}, {"Pins": PINS})
DEMO_SHOP = fk.read_catalogue(fk.demo_path())


def priced(room, shop=SHOP, materials=None, **more):
    choices = fk.Choices(materials or fk.Materials("Plank", "Foam", "Scotia"), **more)
    return fk.whole_price(fk.estimate(room, choices, shop, quick=True), shop)


def demo_estimate(name, **more):
    room = demo_room(name)
    materials = fk.Materials("Oak plank 1380 x 193", "Foam sheet 3 mm", "White scotia 18 mm")
    choices = fk.Choices(materials, laying=fk.Laying(direction=room.boards_run), **more)
    return fk.estimate(room, choices, DEMO_SHOP, quick=True)


def demo_priced(name, **more):
    return fk.whole_price(demo_estimate(name, **more), DEMO_SHOP)


def test_a_plain_timber_room_costs_boards_underlay_trim_and_pins():
    room = rectangle(2400, 2000, subfloor="timber")
    price = priced(room)
    told = {line.item: (line.group, line.quantity, line.amount) for line in price.lines if line.unit_price is not None}
    # 2380 x 1980 = 4.71 m²; trims 2400, 2000, 2400, 2000: four lengths; pins in one box
    assert told["Foam"] == ("underlay", 1, Decimal("21.00"))
    assert told["Scotia"] == ("trims", 4, Decimal("14.40"))
    assert told["Pins"] == ("small things", 1, Decimal("4.70"))
    boards = told["Plank"]
    assert boards[2] == Decimal("38.40") * boards[1]
    assert price.before_tax == sum(amount for *_, amount in told.values())
    assert price.with_tax == price.before_tax + price.tax
    assert price.tax == (price.before_tax * Decimal("0.2")).quantize(Decimal("0.01"))


def test_tax_is_taken_once_and_the_price_for_a_m2_is_of_what_is_paid():
    lines = (JobLine("boards", "Plank", 2, "pack", 50.0, "why"), JobLine("work", "laying", 4.5, "h", 20.0, "why"))
    price = WholePrice(lines, 0.2, "£", 10.0)
    # 100 + 90 = 190, tax 38, 228, 22.80 a m²
    assert (price.before_tax, price.tax, price.with_tax) == (Decimal("190.00"), Decimal("38.00"), Decimal("228.00"))
    assert price.per_m2 == Decimal("22.80")
    assert price.sentence() == "£228.00 with tax, £22.80 for each m² of 10.00 m²."
    assert price.by_group() == {"boards": Decimal("100.00"), "work": Decimal("90.00")}


def test_what_has_no_price_is_named_and_left_out_of_the_sum():
    lines = (JobLine("boards", "Plank", 2, "pack", None, "why"), JobLine("trims", "Scotia", 4, "length", 3.6, "why"))
    price = WholePrice(lines, 0.0, "€", 4.0)
    assert price.not_priced == ("Plank",)
    assert price.sentence() == "€14.40 with tax, €3.60 for each m² of 4.00 m². Not priced: Plank."
    assert price.table()["amount"].isna().tolist() == [True, False]


@pytest.mark.parametrize("name", DEMO_ROOMS)
def test_every_line_of_a_demo_room_says_why_and_stands_in_its_group(name):
    price = demo_priced(name)
    table = price.table()
    assert list(table.columns) == LINE_COLUMNS
    groups = table["group"].tolist()
    assert groups == sorted(groups, key=GROUPS.index)
    assert all(line.why for line in price.lines)
    assert price.not_priced == ()
    assert sum(price.by_group().values()) == price.before_tax


def test_the_hall_takes_a_bar_at_three_of_its_doors_and_a_sheet_on_its_screed():
    price = demo_priced("hall")
    assert [line.item for line in price.lines if line.group == "bars"] == [
        "Small ramp bar 900 mm",
        "Single edge bar 900 mm",
        "End bar 900 mm",
    ]
    assert [line.item for line in price.lines if line.group == "membrane"] == ["Vapour sheet"]


def test_the_bedroom_over_timber_takes_no_sheet_and_collars_for_its_two_pipes():
    price = demo_priced("back_bedroom")
    assert "membrane" not in price.by_group()
    assert ("Pipe collar 15 mm", 1) in {(line.item, line.quantity) for line in price.lines}


def test_levelling_is_priced_where_it_is_chosen_and_levels_were_read():
    without = demo_priced("kitchen_diner")
    flat, level = (demo_priced("kitchen_diner", work=fk.Work(level_to=to)) for to in ("flat", "level"))
    assert "preparation" not in without.by_group()
    assert flat.by_group()["preparation"] < level.by_group()["preparation"]
    assert "preparation" not in demo_priced("hall", work=fk.Work(level_to="level")).by_group()


def test_old_covering_is_taken_away_by_the_m2_of_the_room():
    # 2790 x 2380 = 6.64 m² at 2.50
    line = next(line for line in demo_priced("box_room").lines if line.group == "disposal")
    assert (line.quantity, line.amount) == (6.64, Decimal("16.60"))
    assert "disposal" not in demo_priced("sitting_room").by_group()


def test_the_chosen_length_of_trim_is_bought_as_everywhere_and_a_cheaper_mix_is_told():
    estimate = demo_estimate("sitting_room")
    (line,) = [line for line in demo_priced("sitting_room").lines if line.group == "trims"]
    assert (line.item, line.quantity) == ("White scotia 18 mm", estimate.take_off.trim_lengths)
    trims = [trim for trim in DEMO_SHOP.trims.values() if trim.bead == line.item]
    assert len(trims) == 2
    mixed = fk.bead_order(estimate.plan, trims)
    assert mixed.cut.price < line.amount
    assert f"Cut from {mixed.bought} it would cost {mixed.cut.price:.2f}." in line.why
    one_length = replace(DEMO_SHOP, trims={line.item: DEMO_SHOP.trims[line.item]})
    (alone,) = [each for each in fk.whole_price(estimate, one_length).lines if each.group == "trims"]
    assert "Cut from" not in alone.why


@pytest.mark.parametrize("name", DEMO_ROOMS)
def test_panel_price_and_order_list_buy_the_same_packs_and_lengths(name):
    room = demo_room(name)
    plan = fk.set_out(
        room, DEMO_SHOP.board("Oak plank 1380 x 193"), direction=room.boards_run, search=fk.Search(quick=True)
    )
    for underlay in DEMO_SHOP.underlays:
        choices = fk.Choices(fk.Materials("Oak plank 1380 x 193", underlay, "White scotia 18 mm"))
        estimate = estimate_of_plan(plan, choices, DEMO_SHOP)
        whole = {line.item: line.quantity for line in fk.whole_price(estimate, DEMO_SHOP).lines}
        priced = {line.item: line.quantity for line in estimate.price.lines}
        assert {item: whole[item] for item in priced} == priced
        ordered = estimate.take_off
        assert priced[underlay] == ordered.underlay.packs
        assert priced[underlay] >= fk.underlay_strips(estimate.plan, estimate.underlay).packs
        assert ordered.underlay.packs * estimate.underlay.pack_area_m2 >= estimate.net_area_m2
        assert priced["White scotia 18 mm"] == ordered.trim_lengths
