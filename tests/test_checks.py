"""Complaints: every wording whole, and the rounding that keeps float dust from buying a board."""

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flooring_kit.checks import (
    DUST,
    FaultsError,
    ceil_clean,
    nearest_hint,
    require_between,
    require_number,
    require_one_of,
    require_tenths,
    require_whole,
    shown,
    tenths_up,
    with_unit,
)


def complaint(call):
    """The whole message of a refusal."""
    with pytest.raises(ValueError) as refusal:
        call()
    return str(refusal.value)


# --- all faults at once -----------------------------------------------------------------------------------


def test_one_fault_is_said_in_the_singular():
    assert str(FaultsError("den.toml", ["a"])) == "den.toml: 1 fault found, nothing was read.\n  - a"


def test_several_faults_are_listed_in_the_order_they_were_met():
    error = FaultsError("den.toml", iter(["b", "a"]))
    assert str(error) == "den.toml: 2 faults found, nothing was read.\n  - b\n  - a"
    assert (error.source, error.faults) == ("den.toml", ("b", "a"))
    assert isinstance(error, ValueError)


# --- how a value is quoted --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "quoted"),
    [
        (True, "true"),
        (False, "false"),
        (10.0, "10"),
        (4.2, "4.2"),
        (0.1 + 0.2, "0.3"),
        (-7, "-7"),
        (10_000_001, "10000001"),
        (10_000_001.0, "10000001"),
        (float("nan"), "nan"),
        (float("-inf"), "-inf"),
        ("oak", "'oak'"),
        (None, "None"),
        ([1, 2], "[1, 2]"),
        ("a" * 58, "'" + "a" * 58 + "'"),
        ("a" * 59, "'" + "a" * 56 + "..."),
    ],
)
def test_a_complaint_quotes_the_value_as_a_reader_would_write_it(value, quoted):
    assert shown(value) == quoted


@given(st.text(max_size=300) | st.lists(st.integers(), max_size=60))
def test_no_quoted_value_is_longer_than_60_letters(value):
    assert len(shown(value)) <= 60


def test_a_number_without_a_unit_is_bare():
    assert (with_unit(4.0, "mm"), with_unit(4.0, "")) == ("4 mm", "4")


# --- numbers ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "unit", "message"),
    [
        ("10", "mm", "gap must be a number in mm, got '10'."),
        ("10", "", "gap must be a number, got '10'."),
        (None, "mm", "gap must be a number in mm, got None."),
        (True, "", "gap must be a number, got true."),
        ([10], "", "gap must be a number, got [10]."),
        (math.nan, "mm", "gap must be a finite number, got nan."),
        (math.inf, "mm", "gap must be a finite number, got inf."),
        (-math.inf, "", "gap must be a finite number, got -inf."),
        (10**400, "mm", "gap must be a finite number, got inf."),
    ],
)
def test_what_is_no_finite_number_is_refused(value, unit, message):
    assert complaint(lambda: require_number(value, "gap", unit=unit)) == message


@pytest.mark.parametrize("value", [3, 3.0, Decimal(3)])
def test_any_kind_of_number_comes_back_as_a_float(value):
    number = require_number(value, "gap")
    assert (number, type(number)) == (3.0, float)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: require_between(51, 0, 50, "gap", unit="mm"), "gap must be 0 to 50 mm, got 51 mm."),
        (lambda: require_between(-0.5, 0, 50, "gap", unit="mm"), "gap must be 0 to 50 mm, got -0.5 mm."),
        (lambda: require_between(2, 0, 0.5, "tax"), "tax must be 0 to 0.5, got 2."),
        (
            lambda: require_between(8, 0, 0.5, "spare", hint="Write 8 % as 0.08."),
            "spare must be 0 to 0.5, got 8. Write 8 % as 0.08.",
        ),
        (lambda: require_between("8", 0, 1, "spare", unit="mm"), "spare must be a number in mm, got '8'."),
    ],
)
def test_a_number_out_of_range_is_named_with_limits_unit_and_slip(call, message):
    assert complaint(call) == message


@pytest.mark.parametrize(
    ("value", "low", "high", "message"),
    [
        (10_000_001, 0, 10_000_000, "area must be 0 to 10000000 m², got 10000001 m²."),
        (100_000.4, 0, 100_000, "area must be 0 to 100000 m², got 100000.4 m²."),
    ],
)
def test_a_refused_value_is_never_quoted_as_if_it_were_allowed(value, low, high, message):
    # six significant digits are not enough: 100000.4 would read 100000, and 10 000 000 as 1e+07
    assert complaint(lambda: require_between(value, low, high, "area", unit="m²")) == message


@given(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6), st.floats(-1e6, 1e6))
def test_a_number_passes_exactly_when_it_is_within_both_limits(value, one, other):
    low, high = sorted((one, other))
    if low <= value <= high:
        assert require_between(value, low, high, "x") == value
    else:
        with pytest.raises(ValueError, match=r"^x must be "):
            require_between(value, low, high, "x")


@pytest.mark.parametrize("value", [0, 50])
def test_both_limits_are_allowed(value):
    assert require_between(value, 0, 50, "gap") == value
    assert require_whole(value, 0, 50, "boards") == value


def test_a_whole_number_comes_back_as_an_int():
    number = require_whole(8.0, 1, 100, "boards per pack")
    assert (number, type(number)) == (8, int)


@pytest.mark.parametrize(
    ("value", "hint", "message"),
    [
        (0, "", "boards per pack must be a whole number from 1 to 100, got 0."),
        (101, "", "boards per pack must be a whole number from 1 to 100, got 101."),
        (8.5, "", "boards per pack must be a whole number from 1 to 100, got 8.5."),
        (8.5, "Count them.", "boards per pack must be a whole number from 1 to 100, got 8.5. Count them."),
        ("8", "", "boards per pack must be a number, got '8'."),
        (False, "", "boards per pack must be a number, got false."),
        (math.nan, "", "boards per pack must be a finite number, got nan."),
    ],
)
def test_what_is_no_whole_number_in_range_is_refused(value, hint, message):
    assert complaint(lambda: require_whole(value, 1, 100, "boards per pack", hint=hint)) == message


@pytest.mark.parametrize("value", [1380, 1380.0, 193.1, 0.1 + 0.2, 2999.9])
def test_a_length_in_whole_tenths_passes(value):
    assert require_tenths(value, "length") is None


@pytest.mark.parametrize(
    ("value", "message"),
    [
        (193.25, "width must be given to a tenth of a millimetre, got 193.25 mm; the nearest is 193.2 mm."),
        (193.04, "width must be given to a tenth of a millimetre, got 193.04 mm; the nearest is 193 mm."),
        (4999.96, "width must be given to a tenth of a millimetre, got 4999.96 mm; the nearest is 5000 mm."),
    ],
)
def test_a_finer_length_is_refused_with_the_nearest_tenth(value, message):
    assert complaint(lambda: require_tenths(value, "width")) == message


# --- words ------------------------------------------------------------------------------------------------


def test_an_allowed_word_comes_back():
    assert require_one_of("long", ("long", "short"), "direction") == "long"


@pytest.mark.parametrize(
    ("value", "message"),
    [
        ("lnog", "direction must be one of long, short, got 'lnog'. Did you mean 'long'?"),
        ("Short", "direction must be one of long, short, got 'Short'. Did you mean 'short'?"),
        ("across", "direction must be one of long, short, got 'across'."),
        ("", "direction must be one of long, short, got ''."),
        (90, "direction must be one of long, short, got 90."),
        (None, "direction must be one of long, short, got None."),
        (["long"], "direction must be one of long, short, got ['long']."),
    ],
)
def test_a_wrong_word_is_refused_with_the_list_and_never_guessed(value, message):
    allowed = iter(("long", "short"))  # also from a generator, which can be read only once
    if value == ["long"]:  # its text, "['long']", is near to the word; the offer does no harm
        assert complaint(lambda: require_one_of(value, allowed, "direction")).startswith(message)
    else:
        assert complaint(lambda: require_one_of(value, allowed, "direction")) == message


def test_no_hint_is_given_where_nothing_is_near():
    assert nearest_hint("zzz", ["long", "short"]) == ""
    assert nearest_hint("sort", ["long", "short"]) == " Did you mean 'short'?"


# --- rounding up ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (6.000000001, 6),  # Q19: six packs with float dust stay six
        (3 * 0.1 / 0.1, 3),  # 3.0000000000000004
        (5.5, 6),  # Q17
        (6.001, 7),
        (5.999999999, 6),
        (0, 0),
        (1e-12, 0),
        (-0.5, 0),
    ],
)
def test_rounding_up_ignores_dust_and_nothing_else(value, expected):
    assert ceil_clean(value) == expected
    assert type(ceil_clean(value)) is int


@given(st.floats(0, 1e5))
def test_rounding_up_holds_the_value_and_never_one_too_many(value):
    up = ceil_clean(value)
    dust = DUST * max(1.0, value)
    assert up >= value - dust
    assert up - 1 < value + dust


@given(st.integers(1, 100_000), st.integers(1, 999))
def test_a_whole_number_of_any_tenths_is_not_rounded_to_the_next(count, tenths):
    assert ceil_clean(count * (tenths / 10) / (tenths / 10)) == count


@pytest.mark.parametrize("value", [500_000.4, 2_000_001.4])
def test_a_large_quantity_is_still_rounded_up(value):
    # binary fractions of this size carry dust of 1e-10; 0.4 of a unit is no dust
    assert ceil_clean(value) == math.ceil(value)


@pytest.mark.parametrize(
    ("length_mm", "expected"),
    [(1380.0, 13800), (1380.00000001, 13800), (1380.01, 13801), (0.1 + 0.2, 3), (0.0, 0), (2770.05, 27701)],
)
def test_a_length_is_rounded_up_to_a_tenth_without_dust(length_mm, expected):
    assert tenths_up(length_mm) == expected


@given(st.floats(0, 100_000))
def test_a_length_in_tenths_holds_the_length_and_is_less_than_a_tenth_more(length_mm):
    # slack 1e-4 of a tenth: what the rounding calls dust
    assert length_mm * 10 - 1e-4 <= tenths_up(length_mm) < length_mm * 10 + 1


@given(st.integers(0, 1_000_000))
def test_a_length_of_whole_tenths_stays_what_it_is(tenths):
    assert tenths_up(tenths / 10) == tenths
