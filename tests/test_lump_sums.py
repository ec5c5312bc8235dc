"""One sum for everything: the range to expect, by hand from materials, hours and a rate."""

from dataclasses import replace
from decimal import Decimal

import pytest
from test_quotes import HALL, SHOP

import flooring_kit as fk
from flooring_kit.lump_sums import USUAL_RATES, LumpSumRange, is_lump_sum, lump_sum_findings, lump_sum_range
from flooring_kit.quoted import Quote, QuoteLine
from flooring_kit.work import work_hours

# 400 of materials, 10 to 20 h at 25: 400 + 250 = 650 to 440 + 500 = 940; with a fifth 780 to 1128
EXPECTED = LumpSumRange(Decimal(400), (10.0, 20.0), (25.0, 25.0), 0.2, "£")
RANGE = "£650 to £940 before tax, £780 to £1,128 with 20 %"


def lump(total, *, sign="£"):
    line = QuoteLine("Supply and fit", None, "", None, Decimal(total), 2)
    return Quote("Fitter B", (line,), total=Decimal(total), currency=sign)


def test_the_range_goes_from_the_take_off_at_few_hours_to_a_tenth_more_at_many():
    assert (EXPECTED.low, EXPECTED.high) == (650, 940)
    assert EXPECTED.sentence() == RANGE
    assert EXPECTED.reason() == "Materials £400 as taken off, up to a tenth more; 10 to 20 hours at £25."
    two = replace(EXPECTED, rates=(18.0, 35.5))
    assert two.reason() == "Materials £400 as taken off, up to a tenth more; 10 to 20 hours at £18 to £35.50."


def test_one_sum_within_the_range_is_asked_what_is_in_it():
    (only,) = lump_sum_findings(lump(900), EXPECTED, ["underlay", "bars"])
    assert only.weight == "ask first"
    assert only.says == "The quote is one sum, £900.00."
    assert only.expected == RANGE
    assert only.reason == (
        "Materials £400 as taken off, up to a tenth more; 10 to 20 hours at £25. A quote that can be compared names, "
        "each with its quantity: boards, underlay, bars, fitting."
    )
    assert only.question == "what is in the sum, and what is not?"


@pytest.mark.parametrize(
    ("total", "weight", "says"),
    [
        (649, "ask first", "The sum is below the range."),
        (1129, "worth asking", "The sum is above the range, tax and all."),
    ],
)
def test_a_sum_outside_the_range_is_told_with_a_question(total, weight, says):
    _, outside = lump_sum_findings(lump(total), EXPECTED, ["underlay"])
    assert (outside.weight, outside.says, outside.expected) == (weight, says, RANGE)


@pytest.mark.parametrize("total", [650, 940, 1128])
def test_the_ends_of_the_range_are_within_it(total):
    assert len(lump_sum_findings(lump(total), EXPECTED, ["underlay"])) == 1


def test_the_range_of_a_room_is_its_materials_and_its_hours():
    estimate, whole = HALL
    found = lump_sum_range(estimate, whole, SHOP)
    hours = work_hours(estimate, SHOP)
    assert found.rates == USUAL_RATES  # 30 is chosen, within them
    assert found.materials == whole.before_tax - whole.by_group()["work"]
    assert found.hours == (hours["low_h"].sum(), hours["high_h"].sum())
    assert found.low <= whole.before_tax <= found.high
    for rate, rates in ((None, USUAL_RATES), (60.0, (USUAL_RATES[0], 60.0)), (9.0, (9.0, USUAL_RATES[1]))):
        work = fk.Work(hourly_rate=rate)
        asked = fk.estimate(estimate.room, replace(estimate.choices, work=work), SHOP, quick=True)
        assert lump_sum_range(asked, fk.whole_price(asked, SHOP), SHOP).rates == rates
    fewer = lump_sum_range(estimate, whole)  # no bars known: none to fit
    assert fewer.hours[0] < found.hours[0]


def test_a_line_with_a_quantity_is_no_sum_for_everything():
    packs = QuoteLine("Laminate oak", Decimal(9), "pack", None, Decimal(380), 2)
    assert not is_lump_sum(replace(lump(380), lines=(packs,)))
    unpriced = [QuoteLine(f"thing {row}", Decimal(30), "m²", None, None, row) for row in (2, 3, 4)]
    assert not is_lump_sum(replace(lump(900), lines=tuple(unpriced)))


def test_tax_twice_on_one_sum_is_asked_about():
    # 900 and a fifth are 1080; taxed once more 1296
    taxed = replace(lump(1296), lines=lump(900).lines, tax_fraction=Decimal("0.2"), total=Decimal(1296))
    estimate, whole = HALL
    found = fk.check_quote(taxed, estimate, whole, catalogue=SHOP)
    assert any(each.says == "Tax seems to be added twice." for each in found)


def test_a_quote_with_two_priced_lines_is_no_lump_sum():
    one = lump(900)
    assert is_lump_sum(one)
    assert not is_lump_sum(replace(one, lines=(*one.lines, *one.lines)))
    assert not is_lump_sum(replace(one, lines=(QuoteLine("Boards", Decimal(4), "pack", Decimal(40), Decimal(160), 2),)))
