"""Money: lines rounded half up, tax once on the sum, unknown prices named.

The build-ups of 10SMS90011 and its neighbours are rows of the Base de Costes de la Construcción de Andalucía,
edition 2024-01. Información obtenida del Portal de la Junta de Andalucía.
"""

from decimal import Decimal
from fractions import Fraction

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from flooring_kit.choices import Buying
from flooring_kit.pricing import Price, PriceLine, amount, price_materials
from flooring_kit.products import Board, Trim, Underlay
from flooring_kit.stock_cutting import StockCuts
from flooring_kit.takeoff import BoardOrder, TakeOff, UnderlayOrder
from flooring_kit.wastage import WasteSplit

PLANK = Board("Plank", 1800, 193, 8, 8, pack_price=38.40)
FOAM = Underlay("Foam", "foam", 2, 1.5, pack_price=19.50)
SCOTIA = Trim("Scotia", 18, 18, 2400, price=3.60)


def counted(*, board_packs=2, underlay_packs=3, trim_lengths=5):
    return TakeOff(
        BoardOrder(9, 9, 2, 0, board_packs, 8),
        UnderlayOrder(3.088, underlay_packs, 1.5),
        WasteSplit(3.088, 0.0386, 0.6948, 1.737),
        pd.DataFrame({"trim_mm": [9624.0]}),
        None,
        None if trim_lengths is None else StockCuts(trim_lengths, trim_lengths, pd.DataFrame(), 0.0, 0.0),
    )


def whole_hundredths_half_up(exact):
    """An exact fraction rounded half up to hundredths, by whole numbers alone."""
    return Decimal((exact * 100 + Fraction(1, 2)).__floor__()).scaleb(-2)


# --- one amount -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("lines", "extra", "rate"),
    [
        # Q20, 10SMS90011, click floating plank, m²: 6.95 + 6.60 + 29.78 + .72
        ([(0.3, 23.17), (0.3, 22.01), (1.05, 28.36), (1.05, 0.69)], "0.00", "44.05"),
        # Q22, 10SMR90020, MDF skirting, m: 3.01 + 1.61 + .33
        ([(0.13, 23.17), (1.02, 1.58)], "0.33", "4.95"),
        # Q25, 10SWW00037, PVC cover strip, m
        ([(0.08, 45.18)], "1.89", "5.50"),
        # Q26, 10SWW00036, brass cover strip, m
        ([(0.08, 45.18)], "2.96", "6.57"),
        # Q27, 10SWW00032, PVC dividing strip, m
        ([(0.05, 45.18)], "1.47", "3.73"),
        # Q28, 01RSM00012, strip out wood skirting, m
        ([(0.055, 22.01), (0.002, 38.12)], "0.00", "1.29"),
        # Q29, 01RSM00003, take off skirting for reuse, m
        ([(0.035, 23.17), (0.035, 22.01), (0.001, 38.12)], "0.00", "1.62"),
    ],
)
def test_published_rates_are_their_rounded_lines_added_up(lines, extra, rate):
    assert sum((amount(*line) for line in lines), Decimal(extra)) == Decimal(rate)


@pytest.mark.parametrize(
    ("quantity", "price", "expected"),
    [
        (0.3, 23.17, "6.95"),  # Q20, line by line
        (0.3, 22.01, "6.60"),
        (1.05, 28.36, "29.78"),
        (1.05, 0.69, "0.72"),
        (1, 0.125, "0.13"),  # half goes up, not to the even hundredth
        (1, 0.135, "0.14"),
        (3, 0.335, "1.01"),  # 1.005, which floats make 1.00499…
        (1.15, 100, "115.00"),  # 114.99999999999999 in floats
        (0, 38.40, "0.00"),
        (4, 0, "0.00"),
        (9_999_999, 99_999.99, "999999800000.01"),  # 10 000 000 x 99 999.99 less one 99 999.99
    ],
)
def test_an_amount_is_rounded_half_up_to_a_hundredth(quantity, price, expected):
    made = amount(quantity, price)
    assert made == Decimal(expected)
    assert str(made) == expected


@given(st.integers(0, 1_000_000), st.integers(0, 10_000_000))
def test_an_amount_is_the_exact_product_rounded(thousandths, ten_thousandths):
    exact = Fraction(thousandths, 1000) * Fraction(ten_thousandths, 10_000)
    assert amount(thousandths / 1000, ten_thousandths / 10_000) == whole_hundredths_half_up(exact)


# --- lines ------------------------------------------------------------------------------------------------


def test_a_line_is_so_many_units_at_a_price():
    assert PriceLine("Plank", 3, "pack of 8", 38.40).amount == Decimal("115.20")
    assert PriceLine("Plank", 0, "pack of 8", 38.40).amount == Decimal("0.00")


def test_a_line_without_a_price_has_no_amount():
    assert PriceLine("Plank", 3, "pack of 8", None).amount is None


# --- the price of a room ----------------------------------------------------------------------------------


def test_the_materials_of_the_worked_example_are_priced_by_hand():
    # 2 x 38.40 = 76.80, 3 x 19.50 = 58.50, 5 x 3.60 = 18.00: 153.30; a fifth is 30.66; 183.96
    price = price_materials(counted(), PLANK, FOAM, SCOTIA, buying=Buying())
    assert price.lines == (
        PriceLine("Plank", 2, "pack of 8", 38.40),
        PriceLine("Foam", 3, "pack of 1.5 m²", 19.50),
        PriceLine("Scotia", 5, "length of 2400 mm", 3.60),
    )
    assert [line.amount for line in price.lines] == [Decimal("76.80"), Decimal("58.50"), Decimal("18.00")]
    assert (price.before_tax, price.tax, price.with_tax) == (Decimal("153.30"), Decimal("30.66"), Decimal("183.96"))
    assert price.not_priced == ()
    assert (price.tax_fraction, price.currency) == (0.20, "£")


@pytest.mark.parametrize(("trim", "lengths"), [(None, None), (None, 5), (SCOTIA, None)])
def test_trim_is_priced_only_where_it_is_chosen_and_counted(trim, lengths):
    price = price_materials(counted(trim_lengths=lengths), PLANK, FOAM, trim, buying=Buying())
    assert [line.item for line in price.lines] == ["Plank", "Foam"]


def test_tax_and_currency_are_those_chosen():
    # 153.30 x 0.055 = 8.4315
    price = price_materials(counted(), PLANK, FOAM, SCOTIA, buying=Buying(tax_fraction=0.055, currency="€"))
    assert (price.tax, price.with_tax) == (Decimal("8.43"), Decimal("161.73"))
    assert price.money(price.with_tax) == "€161.73"


def test_tax_is_taken_once_on_the_sum():
    # three lines of 0.13: line by line 3 x 0.03 = 0.09; once on 0.39 it is 0.078, so 0.08
    price = Price(tuple(PriceLine("pin", 1, "pin", 0.13) for _ in range(3)), 0.20, "£")
    assert price.tax == Decimal("0.08")
    assert price.with_tax == Decimal("0.47")


def test_no_tax_leaves_the_sum():
    price = Price((PriceLine("Plank", 1, "pack of 8", 38.40),), 0.0, "£")
    assert (price.tax, price.with_tax) == (Decimal("0.00"), Decimal("38.40"))


def test_items_without_a_price_are_named_and_left_out_of_the_sum():
    board = Board("Plank", 1800, 193, 8, 8)
    price = price_materials(counted(), board, FOAM, Trim("Scotia", 18, 18, 2400), buying=Buying())
    assert price.not_priced == ("Plank", "Scotia")
    assert price.before_tax == Decimal("58.50")


def test_an_item_given_away_is_priced_at_nothing():
    price = Price((PriceLine("Foam", 1, "pack", 0.0),), 0.20, "£")
    assert (price.not_priced, price.with_tax) == ((), Decimal("0.00"))


def test_a_price_of_nothing_at_all_is_nothing():
    price = Price((), 0.20, "£")
    assert (price.before_tax, price.tax, price.with_tax) == (Decimal("0.00"),) * 3
    assert price.money(price.before_tax) == "£0.00"


def test_tax_on_a_very_large_sum_is_exact_to_the_hundredth():
    # a fifth of 1 000 000 000 000 000.05 is 200 000 000 000 000.01
    price = Price((PriceLine("a", 10**9, "pack", 1e6), PriceLine("b", 1, "pin", 0.05)), 0.20, "£")
    assert price.before_tax == Decimal("1000000000000000.05")
    assert price.tax == Decimal("200000000000000.01")


@pytest.mark.parametrize(
    ("value", "shown"),
    [("0.05", "£0.05"), ("999.90", "£999.90"), ("1234.50", "£1,234.50"), ("999999800000.01", "£999,999,800,000.01")],
)
def test_money_has_its_sign_thousands_and_two_decimals(value, shown):
    assert Price((), 0.2, "£").money(Decimal(value)) == shown


@given(st.lists(st.tuples(st.integers(0, 1000), st.integers(0, 100_000)), max_size=6), st.integers(0, 500))
def test_the_price_is_the_exact_sum_of_rounded_lines_and_one_rounded_tax(lines, per_mille):
    price = Price(
        tuple(PriceLine(f"item {n}", quantity, "unit", cents / 100) for n, (quantity, cents) in enumerate(lines)),
        per_mille / 1000,
        "£",
    )
    before = sum((Fraction(quantity * cents, 100) for quantity, cents in lines), Fraction(0))
    assert Fraction(price.before_tax) == before
    assert price.tax == whole_hundredths_half_up(before * Fraction(per_mille, 1000))
    assert price.with_tax == price.before_tax + price.tax
