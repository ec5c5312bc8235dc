"""A quote checked: a clean one has nothing to ask, every planted fault is found and told apart."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from floors import demo_room

import flooring_kit as fk
from flooring_kit.findings import WEIGHTS
from flooring_kit.lump_sums import is_lump_sum
from flooring_kit.quoted import Quote, QuoteLine
from flooring_kit.quotes import (
    SUBJECT_WORDS,
    check_quote,
    column_signs,
    quotes_side_by_side,
    subject_of,
)

SHOP = fk.read_catalogue(fk.demo_path())
DAY = date(2026, 11, 25)


def job(name, **more):
    room = replace(demo_room(name), **more)
    materials = fk.Materials("Oak plank 1380 x 193", "Foam sheet 3 mm", "White scotia 18 mm")
    choices = fk.Choices(materials, fk.Laying(direction=room.boards_run), work=fk.Work(hourly_rate=30.0))
    estimate = fk.estimate(room, choices, SHOP, quick=True)
    return estimate, fk.whole_price(estimate, SHOP)


HALL = job("hall")
BOX_ROOM = job("box_room")


def money(value):
    return Decimal(str(value)).quantize(Decimal("0.01"))


def line(item, quantity, unit, price, row, amount=None):
    quantity, price = Decimal(str(quantity)), Decimal(str(price))
    return QuoteLine(item, quantity, unit, price, money(quantity * price) if amount is None else money(amount), row)


def clean_lines(estimate, whole):
    """The kit's own lines in a fitter's words, with the work, the disposal and the doors."""
    units = {"boards": "pack", "underlay": "pack", "membrane": "roll", "trims": "length", "bars": "each"}
    lines = []
    for each in whole.lines:
        if each.group in units:
            lines.append(line(each.item, each.quantity, units[each.group], each.unit_price, len(lines) + 2))
    lines.append(line("Fitting", 10, "h", 30, len(lines) + 2))
    lines.append(line("Disposal of old covering", 1, "item", 25, len(lines) + 2))
    lines.append(line("Easing doors, the fire door left to its maker", 1, "item", 28, len(lines) + 2))
    return lines


def quote_of(lines, **more):
    subtotal = sum((each.amount for each in lines if each.amount is not None), Decimal(0))
    tax = money(subtotal * Decimal("0.2"))
    told = {
        "subtotal": subtotal,
        "tax_fraction": Decimal("0.2"),
        "tax": tax,
        "total": subtotal + tax,
        "currency": "£",
        "valid_until": "2027-01-31",
    }
    return Quote("Fitter A", tuple(lines), **{**told, **more})


def findings(quote, job=HALL, today=DAY):
    return check_quote(quote, *job, today=today)


def serious(found):
    return [each for each in found if each.weight != "good to know"]


def test_a_clean_quote_has_nothing_to_ask():
    assert findings(quote_of(clean_lines(*HALL))) == []
    assert findings(quote_of(clean_lines(*BOX_ROOM)), BOX_ROOM) == []


@pytest.mark.parametrize(
    ("item", "subject"),
    [
        ("Oak plank 1380 x 193", "boards"),
        ("Supply laminate flooring", "boards"),
        ("Foam sheet 3 mm", "underlay"),
        ("Fibreboard underlay", "underlay"),
        ("White scotia 18 mm", "trims"),
        ("Small ramp bar 900 mm", "bars"),
        ("Threshold bars", "bars"),
        ("Ease two doors and rehang", "door easing"),
        ("Levelling compound", "preparation"),
        ("Uplift and disposal of carpet", "disposal"),
        ("Fitting of floor", "work"),
        ("Vapour membrane", "membrane"),
        ("Sundries", "other"),
        ("Adhesive for boards", "small things"),
        ("Supply and fit laminate flooring", "boards"),
        ("Supply and lay underlay", "underlay"),
        ("Fit customer's own laminate", "work"),
    ],
)
def test_a_lines_subject_is_known_by_its_words(item, subject):
    assert subject_of(QuoteLine(item, None, "", None, None, 2)) == subject


def test_a_line_that_does_not_multiply_out_is_asked_first():
    lines = clean_lines(*HALL)
    wrong = replace(lines[0], amount=lines[0].amount + Decimal(10))
    (found,) = findings(quote_of([wrong, *lines[1:]]))
    assert (found.weight, found.row) == ("ask first", 2)
    # 4 x 38.40 = 153.60
    assert found.sentence() == (
        "Row 2: Oak plank 1380 x 193: 4 at £38.40 is charged at £163.60. Expected: £153.60. Quantity times price gives "
        "another sum. Ask: which of the three figures is the right one?"
    )


def test_lines_that_do_not_add_up_are_asked_first():
    quote = quote_of(clean_lines(*HALL))
    (found,) = findings(replace(quote, subtotal=quote.subtotal + 50, tax=quote.tax, total=quote.total + 50))
    assert found.weight == "ask first"
    assert found.says.startswith("The lines add up to £")
    assert found.question == "which lines make up the sum?"


def test_tax_added_twice_is_named_and_another_total_is_not():
    quote = quote_of(clean_lines(*HALL))
    twice = replace(quote, total=money(quote.subtotal * Decimal("1.44")))
    other = replace(quote, total=quote.total + 7)
    assert [each.says for each in findings(twice)] == ["Tax seems to be added twice."]
    assert [each.says.split(" make ")[0] for each in findings(other)] == ["Sum and tax"]


def test_no_tax_is_good_to_know_and_no_fault():
    quote = replace(quote_of(clean_lines(*HALL)), tax=None, tax_fraction=None, total=None)
    (found,) = findings(quote)
    assert found.weight == "good to know"
    assert found.reason == "That is no fault where the fitter is not registered for it."


def test_metres_priced_as_lengths_are_found():
    estimate, whole = HALL
    lines = [each for each in clean_lines(*HALL) if subject_of(each) != "trims"]
    metres = round(estimate.take_off.trim_m)  # 9 m of trim are 4 lengths
    (found,) = findings(quote_of([*lines, line("White scotia 18 mm", metres, "lengths", 3.6, 40)]))
    assert (found.weight, found.row) == ("ask first", 40)
    assert "looks like metres priced as lengths" in found.says
    assert found.expected == f"4 lengths for {estimate.take_off.trim_m:.1f} m"
    assert sum(each.quantity for each in whole.lines if each.group == "trims") == 4


def test_square_metres_priced_as_packs_are_found():
    estimate, _ = BOX_ROOM
    lines = [each for each in clean_lines(*BOX_ROOM) if subject_of(each) != "boards"]
    packs = line("Oak plank 1380 x 193", round(estimate.net_area_m2, 1), "packs", 38.4, 40)
    told = findings(quote_of([*lines, packs]), BOX_ROOM)
    assert any("looks like m² priced as packs" in each.says for each in told)


def test_an_area_added_twice_far_too_much_and_too_little_are_told_apart():
    estimate, _ = HALL
    lines = [each for each in clean_lines(*HALL) if subject_of(each) != "boards"]

    def asked(area):
        return serious(findings(quote_of([*lines, line("Laminate", round(area, 2), "m²", 18, 40)])))

    net = estimate.net_area_m2
    (twice,) = asked(2 * net)
    assert "an area may be added twice" in twice.says
    (much,) = asked(1.7 * net)
    assert (much.weight, much.row) == ("worth asking", 40)
    (little,) = asked(0.8 * net)
    assert "less than it is sawn from" in little.says
    assert asked(1.12 * net) == []


@pytest.mark.parametrize("subject", ["underlay", "trims", "membrane", "bars", "disposal"])
def test_what_a_quote_does_not_name_is_asked_for_once(subject):
    lines = [each for each in clean_lines(*HALL) if subject_of(each) != subject]
    (found,) = findings(quote_of(lines))
    assert found.says == f"No line for {subject}."
    excluded = replace(quote_of(lines), excludes=(SUBJECT_WORDS[subject][0],))
    assert findings(excluded) == []


def test_a_leaf_that_will_not_clear_asks_who_eases_it():
    room = demo_room("hall")
    low = tuple(replace(door, leaf=fk.Leaf(2.0)) if door.name == "to the kitchen" else door for door in room.doors)
    estimate, whole = job("hall", doors=low)
    lines = [each for each in clean_lines(estimate, whole) if subject_of(each) != "door easing"]
    without = replace(quote_of(lines), excludes=("the fire door",))
    (found,) = check_quote(without, estimate, whole, today=DAY)
    assert found.question == "who eases the doors, and at which price?"


def test_what_does_not_fit_the_room_is_asked_first():
    estimate, whole = job("kitchen_diner")
    told = check_quote(quote_of(clean_lines(estimate, whole)), estimate, whole, today=DAY)
    assert not any("needs a gap" in each.says for each in told)  # the kit's own plan's gap is no matter of the quote
    assert any(each.says == "No line for preparation." for each in told)


def test_the_quotes_own_products_are_held_against_the_room():
    # 0.0444 + 0.1429 m²K/W over a heated floor; a quadrant of 15 mm against a gap of 13 and 3 of overlap
    estimate, whole = job("kitchen_diner", straightedges=())
    lines = [each for each in clean_lines(estimate, whole) if subject_of(each) not in ("underlay", "trims")]
    lines += [line("Foam sheet 5 mm", 4, "packs", 29, 40), line("White plastic quadrant 15 mm", 9, "lengths", 4.9, 41)]
    told = [each.says for each in check_quote(quote_of(lines), estimate, whole, catalogue=SHOP, today=DAY)]
    assert any(words.startswith("Foam sheet 5 mm and Oak plank 1380 x 193: together 0.187 m²K/W") for words in told)
    assert any("White plastic quadrant 15 mm has 15." in words for words in told)
    wet = replace(estimate, room=replace(estimate.room, wet=True))
    scotia = quote_of(clean_lines(estimate, whole))
    told = [each.says for each in check_quote(scotia, wet, whole, catalogue=SHOP, today=DAY)]
    assert any("MDF swells where it gets wet" in words for words in told)


def test_a_quote_that_has_run_out_or_names_no_day_is_told():
    quote = quote_of(clean_lines(*HALL))
    (old,) = findings(replace(quote, valid_until="2026-10-01"))
    assert old.sentence() == (
        "The quote held until 2026-10-01. It has run out. Ask: does it still hold, and until when?"
    )
    (open_,) = findings(replace(quote, valid_until=""))
    assert open_.weight == "good to know"
    assert findings(quote, today=None) == []


def test_a_total_below_its_own_lines_is_asked_about_where_no_tax_is_named():
    lines = clean_lines(*HALL)
    summed = sum(each.amount for each in lines)
    quote = replace(quote_of(lines), tax=None, tax_fraction=None, subtotal=None, total=summed - 10)
    says = f"The lines add up to £{summed:,.2f}, the total says £{summed - 10:,.2f}."
    assert [each.expected for each in findings(quote) if each.says == says] == [f"£{summed:,.2f}"]
    assert not any(each.says.startswith("The lines add up") for each in findings(replace(quote, total=summed)))


def test_one_sum_for_everything_has_a_path_of_its_own():
    line_ = QuoteLine("Supply and fit floor", None, "", None, Decimal(700), 2)
    lump = Quote("Fitter B", (line_,), total=Decimal(700), currency="£")
    assert is_lump_sum(lump)
    first, *rest = findings(lump)
    assert first.says == "The quote is one sum, £700.00."
    assert first.question == "what is in the sum, and what is not?"
    assert [each.says for each in rest] == ["The quote names no tax.", "The quote names no day until which it holds."]
    cheap = replace(lump, lines=(replace(lump.lines[0], amount=Decimal(100)),), total=Decimal(100))
    assert any(each.says == "The sum is below the range." for each in findings(cheap))
    assert not is_lump_sum(quote_of(clean_lines(*HALL)))


def test_findings_stand_by_weight_and_say_nothing_of_the_person():
    lines = [each for each in clean_lines(*HALL) if subject_of(each) not in ("bars", "underlay")]
    wrong = replace(lines[0], amount=lines[0].amount + 5)
    told = findings(replace(quote_of([wrong, *lines[1:]]), valid_until=""))
    order = [WEIGHTS.index(each.weight) for each in told]
    assert order == sorted(order)
    words = " ".join(each.sentence().lower() for each in told)
    assert not any(word in words for word in ("cheat", "dishonest", "fraud", "overcharge", "lie "))


def test_two_quotes_stand_on_one_basis_beside_the_kits_own():
    one = quote_of(clean_lines(*HALL))
    other = replace(quote_of([each for each in clean_lines(*HALL) if subject_of(each) != "bars"]), name="Fitter B")
    table = quotes_side_by_side([one, other], HALL[1])
    assert list(table.columns) == ["Fitter A", "Fitter B", "the kit"]
    assert table.loc["bars", "Fitter A"] == pytest.approx(float(HALL[1].by_group()["bars"]))
    assert table.loc["bars", "Fitter B"] == 0
    assert table.loc["in all", "Fitter A"] == pytest.approx(float(one.subtotal))


def test_packs_priced_as_square_metres_are_found():
    estimate, _ = BOX_ROOM
    lines = [each for each in clean_lines(*BOX_ROOM) if subject_of(each) != "boards"]
    packs = estimate.take_off.boards.packs
    told = findings(quote_of([*lines, line("Oak plank 1380 x 193", packs, "m²", 38.4, 40)]), BOX_ROOM)
    assert any("looks like packs priced as m²" in each.says for each in told)


def test_a_tax_row_among_the_lines_and_tax_besides_is_asked_first():
    lines = clean_lines(*HALL)
    quote = quote_of([*lines, QuoteLine("VAT on materials", None, "", None, Decimal("40.00"), 40)])
    (found,) = serious(findings(quote))
    assert (found.weight, found.row) == ("ask first", 40)
    assert found.question == "is this line in the sum that tax is taken of?"


# ---------------------------------------------------------------------- prices, currencies, areas


def says(quote, job=HALL, catalogue=SHOP):
    return [each.says for each in check_quote(quote, *job, catalogue=catalogue, today=DAY)]


def test_prices_that_hold_the_tax_already_are_no_fault():
    lines = clean_lines(*HALL)
    total = sum(each.amount for each in lines)
    held = money(total * Decimal("0.2") / Decimal("1.2"))  # "of which VAT 20 %"
    assert says(quote_of(lines, subtotal=None, tax=held, total=total)) == []
    (named,) = says(quote_of(lines, subtotal=None, tax=None, total=total))
    assert named == "Tax is named, and the total is the sum of the lines without it."
    (left_out,) = says(quote_of(lines, total=total))
    assert left_out == named


def test_tax_that_its_own_rate_does_not_give_is_asked_about():
    quote = quote_of(clean_lines(*HALL))
    more = replace(quote, tax=quote.tax + 10, total=quote.total + 10)
    (found,) = check_quote(more, *HALL, catalogue=SHOP, today=DAY)
    assert found.weight == "worth asking"
    assert found.says.startswith(f"20% of £{quote.subtotal:,.2f} is £{quote.tax:,.2f}")


def test_a_line_without_its_amount_counts_by_quantity_and_price():
    lines = [replace(each, amount=None) for each in clean_lines(*HALL)]
    total = sum(money(each.quantity * each.unit_price) for each in lines)
    quote = quote_of(lines, subtotal=total, tax=money(total * Decimal("0.2")), total=money(total * Decimal("1.2")))
    assert says(quote) == []
    assert quotes_side_by_side([quote], HALL[1]).loc["in all", "Fitter A"] == pytest.approx(float(total))


def test_an_amount_that_could_not_be_read_is_said_and_not_held_against_the_fitter():
    first, *rest = clean_lines(*HALL)
    quote = replace(quote_of([first, *rest]), lines=(replace(first, amount=None, unit_price=None), *rest))
    (found,) = check_quote(quote, *HALL, catalogue=SHOP, today=DAY)
    assert found.weight == "good to know"
    assert found.says.startswith("No amount could be read in row 2")


def test_another_currency_is_said_and_two_are_not_added_up():
    euro = replace(quote_of(clean_lines(*HALL)), currency="€")
    assert says(euro) == ["The quote is in €, the kit's own prices are in £."]
    assert column_signs([euro, quote_of([])], HALL[1]) == {"Fitter A": "€", "Fitter A (2)": "£", "the kit": "£"}
    both = replace(euro, currencies=("£", "€"), total=Decimal(1))
    assert says(both) == ["The quote is written in £ and €."]
    lump = Quote("Fitter B", (QuoteLine("Floor", None, "", None, Decimal(100), 2),), total=Decimal(100), currency="€")
    assert "The sum is below the range." not in says(lump)
    assert "The sum is below the range." in says(replace(lump, currency="£"))


def test_boards_in_several_lines_are_one_area_and_glue_is_none():
    estimate, _ = BOX_ROOM
    packs, price = estimate.take_off.boards.packs, estimate.plan.board.pack_price
    others = [each for each in clean_lines(*BOX_ROOM) if subject_of(each) != "boards"]
    parts = [line("Oak plank 1380 x 193", part, "pack", price, 40 + part) for part in (packs - 1, 1)]
    glue = line("Adhesive for boards", 1, "pack", 9, 60)
    assert says(quote_of([*others, *parts, glue]), BOX_ROOM) == []
    (few,) = says(quote_of([*others, parts[1], line("Oak offer", 1, "pack", price, 61)]), BOX_ROOM)
    assert few.startswith("2 lines together: ")
    assert "less than it is sawn from" in few


def test_packs_are_those_of_the_board_the_quote_names():
    job_ = job("kitchen_diner")
    ash = fk.estimate(
        job_[0].room,
        fk.Choices(fk.Materials("Ash plank 1850 x 240", "Foam sheet 3 mm", None), job_[0].choices.laying),
        SHOP,
        quick=True,
    )
    packs = ash.take_off.boards.packs
    assert packs != job_[0].take_off.boards.packs
    others = [each for each in clean_lines(*job_) if subject_of(each) != "boards"]
    quote = quote_of([*others, line("Ash plank 1850 x 240", packs, "pack", 60, 50)])
    assert not any("of boards" in each for each in says(quote, job_))


@pytest.mark.parametrize(
    ("item", "share", "told"),
    [
        ("Fitting", 2.0, "about twice the room"),
        ("Fitting", 1.05, ""),
        ("Laying boards", 1.3, "+30% on the room"),
        ("Vapour membrane", 1.3, ""),
        ("Vapour membrane", 0.5, "less than there is to cover"),
        ("Uplift and disposal of carpet", 1.4, "+40% on the room"),
        ("Uplift and disposal of carpet", 0.5, ""),
        ("Foam underlay", 1.6, "+60% on the room"),
    ],
)
def test_everything_counted_by_the_square_metre_is_held_against_the_room(item, share, told):
    estimate, _ = HALL
    one = line(item, round(share * estimate.room_area_m2, 2), "m²", 4, 90)
    others = [each for each in clean_lines(*HALL) if subject_of(each) != subject_of(one)]
    found = [each for each in check_quote(quote_of([*others, one]), *HALL, catalogue=SHOP, today=DAY) if each.row == 90]
    assert [told in each.says for each in found] == ([True] if told else [])
    assert all("by the second route" in each.reason for each in found)


def test_a_leaf_on_a_fire_door_gets_a_finding_without_a_figure_to_cut():
    lines = [each for each in clean_lines(*HALL) if subject_of(each) != "door easing"]
    (found,) = check_quote(quote_of(lines), *HALL, catalogue=SHOP, today=DAY)
    assert found.says == "The leaf to the study will not clear the new floor, and it is a fire door."
    assert (found.expected, found.question) == ("", "who sees to the fire door, and on whose word?")


def test_the_last_rows_say_what_is_to_pay_with_tax():
    one = quote_of(clean_lines(*HALL))
    bare = replace(one, tax=None, tax_fraction=None, total=None)
    table = quotes_side_by_side([one, bare], HALL[1])
    assert list(table.columns) == ["Fitter A", "Fitter A (2)", "the kit"]
    assert table.loc["to pay"].tolist() == pytest.approx(
        [float(one.total), float(one.subtotal), float(HALL[1].with_tax)]
    )
