"""Lengths as typed: exact by definition, refused in whole sentences, never another exception than ValueError."""

import math
import re
import time
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from flooring_kit import lengths
from flooring_kit.lengths import (
    LONGEST_MM,
    UNITS,
    feet_and_inches,
    in_unit,
    parse_length_mm,
    to_mm,
)

# Source of all conversions: international yard and pound agreement, 1959: 1 yd = 0.9144 m exactly,
# and 3 ft to the yard, 12 in to the foot. Equality is exact: the result is the float nearest to the exact value.
INCH_MM = Fraction(9144, 10) / 36


def complaint(call):
    """The whole message of a refusal."""
    with pytest.raises(ValueError) as refusal:
        call()
    return str(refusal.value)


def outcome(call):
    """What a call returns and None, or None and the message of its ValueError."""
    try:
        return call(), None
    except ValueError as refusal:
        return None, str(refusal)


# --- definitions and hand sums ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("1 in", 25.4),
        ("1 ft", 304.8),
        ("3 ft", 914.4),  # the yard of the agreement
        ("8 ft", 2438.4),  # the two sides of a standard building sheet
        ("4 ft", 1219.2),
        ("1 mm", 1.0),
        ("1 cm", 10.0),
        ("1 m", 1000.0),
        ('1/16"', 1.5875),  # 25.4 / 16
        ("13'", 3962.4),  # 13 × 304.8
        ("13' 9 1/2\"", 4203.7),  # 3962.4 + 9.5 × 25.4 = 3962.4 + 241.3
        ("5 feet 3 inches", 1600.2),  # 63 × 25.4
    ],
)
def test_units_are_what_their_definitions_say(text, length_mm):
    assert parse_length_mm(text, name="wall") == length_mm


@pytest.mark.parametrize(
    "text",
    [
        *(
            "4200",
            "4200.0",
            "4200 mm",
            "4200mm",
            "  4200  mm ",
            "4200 millimetres",
            "4200 Millimeter",
            "+4200",
            "04200",
        ),
        *("420 cm", "420 centimetres", "420,0 cm", "4.2 m", "4,2 m", "4.20 metres", "4.200 m", "4 1/5 m", "4⅕ m"),
        *("4 m 20 cm", "4m20cm", "4 m 200 mm", "4 M 20 CM", "4 m 20.0 cm"),
        *("4200\u00a0mm", "4200\u202fmm", "4.2\u2009m", "4.2\tm"),
    ],
)
def test_four_metres_twenty_can_be_typed_in_many_ways(text):
    assert parse_length_mm(text, name="wall") == 4200.0


@pytest.mark.parametrize(
    "text",
    [
        *("13' 9 1/2\"", "13'9 1/2\"", "13' 9.5\"", "13' 9,5\"", "13' 9½\"", "13' 9 ½\"", "13'-9 1/2\"", "13' - 9½\""),
        *("13'-9-1/2\"", "13' 9 1 / 2\"", "13' 9 2/4\"", "13' 9 1/2''"),
        *(
            "13 ft 9 1/2 in",
            "13ft 9.5in",
            "13 FT 9 1/2 IN",
            "13 ft. 9 1/2 in.",
            "13 feet 9 1/2 inches",
            "13 foot 9½ inch",
        ),
        *("13′ 9½″", "13’ 9½”", "13‘ 9½“", "13´ 9½´´", "13’ 9½’’", "13′–9 1⁄2″", "13′−9‑1⁄2″"),
        *('165 1/2"', "165.5 in", "4203.7", "420.37 cm", "4,2037 m", "4 m 20 cm 3.7 mm"),
    ],
)
def test_thirteen_feet_nine_and_a_half_can_be_typed_in_many_ways(text):
    assert parse_length_mm(text, name="wall") == 4203.7


@pytest.mark.parametrize(
    ("sign", "inch"),
    [
        *[("½", "1/2"), ("⅓", "1/3"), ("⅔", "2/3"), ("¼", "1/4"), ("¾", "3/4"), ("⅕", "1/5"), ("⅖", "2/5")],
        *[("⅗", "3/5"), ("⅘", "4/5"), ("⅙", "1/6"), ("⅚", "5/6"), ("⅐", "1/7"), ("⅛", "1/8"), ("⅜", "3/8")],
        *[("⅝", "5/8"), ("⅞", "7/8"), ("⅑", "1/9"), ("⅒", "1/10")],
    ],
)
def test_a_fraction_sign_reads_like_the_fraction_spelt_out(sign, inch):
    exact_mm = float(Fraction(inch) * INCH_MM)
    assert parse_length_mm(f"{sign} in", name="board") == exact_mm
    assert parse_length_mm(f"{inch} in", name="board") == exact_mm
    assert parse_length_mm(f"2ft{sign}in", name="board") == float((24 + Fraction(inch)) * INCH_MM)


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("0", 0.0),
        ("0/4 in", 0.0),
        (".5 in", 12.7),
        ("0,200 m", 200.0),  # a thousands comma never follows a lone 0
        ("0,5 ft", 152.4),
        ("1234,567 mm", 1234.567),  # nor more than three digits
        ("4,25 m", 4250.0),
        ("13.5'", 4114.8),
        ("4 cm 2 mm", 42.0),
        ("4 m 0 cm 5 mm", 4005.0),
        ("13' 11 15/16\"", 4265.6125),  # 14 ft is 4267.2, less 1.5875
        ("1000000000 mm", 1e9),
    ],
)
def test_less_usual_spellings_are_read_as_they_stand(text, length_mm):
    assert parse_length_mm(text, name="wall") == length_mm


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("-4.2 m", -4200.0),
        ("−4,2 m", -4200.0),
        ("- 4200", -4200.0),
        ("-13' 9 1/2\"", -4203.7),
        ("-13'-9 1/2\"", -4203.7),
        ("4.2 m", 4200.0),
        ("-1/2 in", -12.7),
    ],
)
def test_a_minus_in_front_goes_for_the_whole_length_where_it_is_allowed(text, length_mm):
    assert parse_length_mm(text, name="rise", allow_negative=True) == length_mm


def test_minus_nothing_is_nothing():
    assert math.copysign(1, parse_length_mm("-0", name="rise")) == 1
    assert math.copysign(1, to_mm(-0.0, "m", name="rise")) == 1


# --- properties ------------------------------------------------------------------------------------------


@given(
    st.integers(0, 3000),
    st.integers(0, 11),
    st.integers(1, 1000).flatmap(lambda below: st.tuples(st.integers(0, below - 1), st.just(below))),
)
def test_feet_inches_and_a_fraction_are_read_exactly(feet, inches, part):
    above, below = part
    exact_mm = float((feet * 12 + inches + Fraction(above, below)) * INCH_MM)
    assert parse_length_mm(f"{feet}' {inches} {above}/{below}\"", name="wall") == exact_mm
    assert parse_length_mm(f"{feet} ft {inches}-{above}/{below} in", name="wall") == exact_mm


@given(st.decimals(0, 9999, places=4), st.sampled_from(UNITS))
def test_a_decimal_in_any_unit_is_read_exactly(number, unit):
    mm_in = {"mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000), "in": INCH_MM, "ft": 12 * INCH_MM}
    exact_mm = float(Fraction(number) * mm_in[unit])
    assert parse_length_mm(f"{number} {unit}", name="wall") == exact_mm
    assert to_mm(float(number), unit, name="wall") == exact_mm


@given(st.floats(-1e6, 1e6))
def test_feet_and_inches_read_back_are_within_half_a_sixteenth(length_mm):
    back_mm = parse_length_mm(feet_and_inches(length_mm), name="wall", allow_negative=True)
    assert abs(back_mm - length_mm) <= 25.4 / 32 + 1e-9  # half a step, and the dust of the two floats


@given(st.integers(0, 10**6), st.sampled_from([1, 2, 4, 8, 16, 32, 64, 10, 3]))
def test_a_whole_number_of_steps_reads_back_unchanged(steps, below):
    length_mm = float(steps * INCH_MM / below)
    assert parse_length_mm(feet_and_inches(length_mm, to=Fraction(1, below)), name="wall") == length_mm


# half the last digit shown: 0.1 mm, 0.01 cm, 0.0001 m, 0.01 in, 0.001 ft
@given(
    st.floats(-1e6, 1e6),
    st.sampled_from([("mm", 0.05), ("cm", 0.05), ("m", 0.05), ("in", 0.127), ("ft", 0.1524)]),
)
def test_a_length_in_a_unit_reads_back_within_half_its_last_digit(length_mm, unit_and_half_mm):
    unit, half_mm = unit_and_half_mm
    back_mm = parse_length_mm(in_unit(length_mm, unit), name="wall", allow_negative=True)
    assert abs(back_mm - length_mm) <= half_mm + 1e-9


LENGTH_LIKE = st.text(alphabet="0123456789 .,/'\"-+mcinfte½¼′″’”⁄eE٤", max_size=80)


@given(st.text(max_size=90) | LENGTH_LIKE, st.booleans())
@example("1" * 80, False)
@example("\ud800 4 m", False)
@example("4 m\n", False)
@example("'" * 80, True)
@example("½" * 80, True)
def test_any_text_is_a_finite_length_or_a_value_error_in_one_line(text, allow_negative):
    length_mm, message = outcome(lambda: parse_length_mm(text, name="wall", allow_negative=allow_negative))
    if message is None:
        assert math.isfinite(length_mm)
        assert abs(length_mm) <= LONGEST_MM
        assert allow_negative or length_mm >= 0
    else:
        assert re.fullmatch(r"wall must .*[.?]", message)
        assert message.isprintable()


@pytest.mark.parametrize("piece", ["1", "1 ", "1/", "1.", "1,", "'", "a", "a.", ".", "1-", "½", " ", "1' ", "1 / "])
def test_eighty_characters_are_judged_at_once(piece):
    # a pass costs well under 1 ms; going back and forth over 80 characters would cost hours
    text = (piece * 80)[:79] + "!"
    started = time.perf_counter()
    complaint(lambda: parse_length_mm(text, name="wall"))
    assert time.perf_counter() - started < 1


# --- refusals, every one whole ---------------------------------------------------------------------------

EXAMPLES = "4200 mm, 4.2 m or 13' 9 1/2\""

REFUSALS = [
    # nothing, too much, not a length
    ("", f"wall 1 must be a length such as {EXAMPLES}, got '', which is empty."),
    (" \n", f"wall 1 must be a length such as {EXAMPLES}, got ' \\n', which is empty."),
    ("oak", f"wall 1 must be a length such as {EXAMPLES}, got 'oak', which has no number."),
    ("four metres", f"wall 1 must be a length such as {EXAMPLES}, got 'four metres', which has no number."),
    ("mm", f"wall 1 must be a length such as {EXAMPLES}, got 'mm', which has no number."),
    ("-", f"wall 1 must be a length such as {EXAMPLES}, got '-', which has no number."),
    ("'", f"wall 1 must be a length such as {EXAMPLES}, got “'”, which has no number."),
    ("4" * 81, f"wall 1 must be a length of at most 80 characters, got '{'4' * 56}... with 81."),
    ("'" * 99, f"wall 1 must be a length of at most 80 characters, got “{chr(39) * 55}...” with 99."),
    # words and signs that are not units
    ("4 oak", "wall 1 must be in mm, cm, m, in or ft, got '4 oak' with the word 'oak'."),
    ("4 x 3 m", "wall 1 must be in mm, cm, m, in or ft, got '4 x 3 m' with the word 'x'."),
    ("4 yd", "wall 1 must be in mm, cm, m, in or ft, got '4 yd' with the word 'yd'."),
    ("4 mtr", "wall 1 must be in mm, cm, m, in or ft, got '4 mtr' with the word 'mtr'. Did you mean 'metre'?"),
    ("0x10", "wall 1 must be in mm, cm, m, in or ft, got '0x10' with the word 'x'."),
    ("4 \u00b5m", "wall 1 must be in mm, cm, m, in or ft, got '4 \u00b5m' with the word '\u00b5m'."),
    ("4 €", f"wall 1 must be a length such as {EXAMPLES}, got '4 €' with the sign '€'."),
    ("4_200", f"wall 1 must be a length such as {EXAMPLES}, got '4_200' with the sign '_'."),
    ("5. m", f"wall 1 must be a length such as {EXAMPLES}, got '5. m' with the sign '.'."),
    (",5 m", f"wall 1 must be a length such as {EXAMPLES}, got ',5 m' with the sign ','."),
    ("4m,20cm", f"wall 1 must be a length such as {EXAMPLES}, got '4m,20cm' with the sign ','."),
    ("5ft.3in", f"wall 1 must be a length such as {EXAMPLES}, got '5ft.3in' with the sign '.'."),
    ("1/2/3 in", f"wall 1 must be a length such as {EXAMPLES}, got '1/2/3 in' with the sign '/'."),
    ("4\n m", f"wall 1 must be a length such as {EXAMPLES}, got '4\\n m' with the sign '\\n'."),
    # numbers that are none, or not written plainly
    ("nan", "wall 1 must be a finite number, got 'nan'."),
    ("-inf", "wall 1 must be a finite number, got '-inf'."),
    ("Infinity mm", "wall 1 must be a finite number, got 'Infinity mm'."),
    ("1e3", "wall 1 must be written out without an exponent, got '1e3'."),
    ("1.5E-3 m", "wall 1 must be written out without an exponent, got '1.5E-3 m'."),
    ("٤ m", "wall 1 must be written with the digits 0 to 9, got '٤ m' with '٤'."),
    ("4200 m²", "wall 1 must be written with the digits 0 to 9, got '4200 m²' with '²'."),
    ("1234567890123", "wall 1 must have at most 12 digits in one number, got '1234567890123' with 13."),
    ("0.0000000000001 m", "wall 1 must have at most 12 digits in one number, got '0.0000000000001 m' with 14."),
    ("1/1000000000000 in", "wall 1 must have at most 12 digits in one number, got '1/1000000000000 in' with 13."),
    (
        "1000.0001 km",
        "wall 1 must be in mm, cm, m, in or ft, got '1000.0001 km' with the word 'km'.",
    ),
    ("1000000001", "wall 1 must be at most 1000 km, got '1000000001'."),
    ("1000001 m", "wall 1 must be at most 1000 km, got '1000001 m'."),
    # commas and points
    (
        "4,200",
        "wall 1 must not have a comma that can be read two ways, got '4,200': it could be 4200 or 4.2.",
    ),
    (
        "4,200 m",
        "wall 1 must not have a comma that can be read two ways, got '4,200 m': it could be 4200 m or 4.2 m.",
    ),
    (
        "4.200,5",
        "wall 1 must not have a comma that can be read two ways, got '4.200,5': it could be 4200.5 or 4.2005.",
    ),
    (
        "1,234.5 mm",
        "wall 1 must not have a comma that can be read two ways, got '1,234.5 mm': it could be 1234.5 mm or 1.2345 mm.",
    ),
    ("4,2", "wall 1 must have a unit beside a decimal comma, got '4,2': write 4.2 mm, 4.2 cm or 4.2 m."),
    ("1,234,567 mm", "wall 1 must have at most one point or comma in a number, got '1,234,567 mm'."),
    ("1.2.3 m", "wall 1 must have at most one point or comma in a number, got '1.2.3 m'."),
    ("1.234,5.6 m", "wall 1 must have at most one point or comma in a number, got '1.234,5.6 m'."),
    # fractions
    ("9 1/2", "wall 1 must have a unit after a fraction, got '9 1/2': write 9 1/2 in for inches."),
    ("9½", "wall 1 must have a unit after a fraction, got '9½': write 9 ½ in for inches."),
    ("9 1/0 in", "wall 1 must not have a fraction over 0, got '9 1/0 in'."),
    ('0/0"', 'wall 1 must not have a fraction over 0, got “0/0"”.'),
    (
        "11/2 in",
        "wall 1 must have fractions smaller than 1, got '11/2 in' with 11/2: "
        "a whole number stands in front with a space, as in 1 1/2.",
    ),
    (
        "9 4/4 in",
        "wall 1 must have fractions smaller than 1, got '9 4/4 in' with 4/4: "
        "a whole number stands in front with a space, as in 1 1/2.",
    ),
    # numbers side by side, units missing
    ("4 200", "wall 1 must have one number to a unit, got '4 200' with 4 and 200 side by side."),
    ("4 200 mm", "wall 1 must have one number to a unit, got '4 200 mm' with 4 and 200 side by side."),
    ("1/2 9 in", "wall 1 must have one number to a unit, got '1/2 9 in' with 1/2 and 9 side by side."),
    ("9.5 1/2 in", "wall 1 must have one number to a unit, got '9.5 1/2 in' with 9.5 and 1/2 side by side."),
    ("9 1/2 3 in", "wall 1 must have one number to a unit, got '9 1/2 3 in' with 1/2 and 3 side by side."),
    ("4 m 20", "wall 1 must have a unit after every number, got '4 m 20': write 20 cm or 20 mm."),
    ("4 cm 2", "wall 1 must have a unit after every number, got '4 cm 2': write 2 mm."),
    ("13' 9 1/2", "wall 1 must have a unit after every number, got “13' 9 1/2”: write 9 1/2 in."),
    ('9"1/2', 'wall 1 must have a unit after every number, got “9"1/2” with 1/2 alone.'),
    ("mm 4", "wall 1 must have a number in front of 'mm', got 'mm 4'."),
    ("4 m cm", "wall 1 must have a number in front of 'cm', got '4 m cm'."),
    ("'13 9\"", "wall 1 must have a number in front of “'”, got “'13 9\"”."),
    # several units
    ("13' 14\"", "wall 1 must have less than 12 inches beside feet, got “13' 14\"”."),
    ("13' 12\"", "wall 1 must have less than 12 inches beside feet, got “13' 12\"”."),
    ("4 m 100 cm", "wall 1 must have less than 100 centimetres beside metres, got '4 m 100 cm'."),
    ("4 m 1000 mm", "wall 1 must have less than 1000 millimetres beside metres, got '4 m 1000 mm'."),
    ("4 cm 10 mm", "wall 1 must have less than 10 millimetres beside centimetres, got '4 cm 10 mm'."),
    ("9\" 13'", "wall 1 must run from the larger unit to the smaller, each once, got “9\" 13'”."),
    ("20 cm 4 m", "wall 1 must run from the larger unit to the smaller, each once, got '20 cm 4 m'."),
    ("4 m 5 m", "wall 1 must run from the larger unit to the smaller, each once, got '4 m 5 m'."),
    ("4 m 3 in", "wall 1 must not mix metric units with feet and inches, got '4 m 3 in'."),
    ("13.5' 6\"", "wall 1 must have a whole number of feet in front of inches, got “13.5' 6\"”."),
    ("13 1/2' 6\"", "wall 1 must have a whole number of feet in front of inches, got “13 1/2' 6\"”."),
    ("4.2 m 5 mm", "wall 1 must have a whole number of metres in front of millimetres, got '4.2 m 5 mm'."),
    # signs
    ("-4200", "wall 1 must not be negative, got '-4200'."),
    ("−13' 9\"", "wall 1 must not be negative, got “−13' 9\"”."),
    ("4-2 m", "wall 1 must have a sign only in front, or a hyphen between feet and inches, got '4-2 m'."),
    ("4 m-", "wall 1 must have a sign only in front, or a hyphen between feet and inches, got '4 m-'."),
    ("4 m -20 cm", "wall 1 must have a sign only in front, or a hyphen between feet and inches, got '4 m -20 cm'."),
    ("9 -1/2 in", "wall 1 must have a sign only in front, or a hyphen between feet and inches, got '9 -1/2 in'."),
    ("--4", "wall 1 must have a sign only in front, or a hyphen between feet and inches, got '--4'."),
    ("13'+9\"", "wall 1 must have a sign only in front, or a hyphen between feet and inches, got “13'+9\"”."),
]


@pytest.mark.parametrize(("text", "message"), REFUSALS)
def test_what_is_not_one_plain_length_is_refused_in_a_sentence(text, message):
    assert complaint(lambda: parse_length_mm(text, name="wall 1")) == message


@pytest.mark.parametrize(("value", "quoted"), [(4200, "4200"), (None, "None"), (b"4 m", "b'4 m'")])
def test_only_text_is_read_as_text(value, quoted):
    assert complaint(lambda: parse_length_mm(value, name="wall 1")) == (
        f"wall 1 must be text such as {EXAMPLES}, got {quoted}."
    )


def test_every_rule_of_the_reader_is_met_by_a_refusal_above():
    source = lengths.__file__
    with open(source, encoding="utf-8") as file:
        rules = re.findall(r'_RefusedError\(\s*f?"([^"{]*)', file.read())
    assert len(rules) >= 18
    messages = "\n".join(message for _, message in REFUSALS)
    assert [rule for rule in rules if rule not in messages] == []


# --- a number or a text in a table -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "unit", "length_mm"),
    [
        (4200, "mm", 4200.0),
        (420, "cm", 4200.0),
        (4.2, "m", 4200.0),
        (1.1, "m", 1100.0),
        (165.5, "in", 4203.7),
        (8, "ft", 2438.4),
        (Decimal("4.2037"), "m", 4203.7),
        (Fraction(331, 2), "in", 4203.7),
        (np.float64(4.2), "m", 4200.0),
        (np.int64(8), "ft", 2438.4),
        (-4.2, "m", -4200.0),
        ("4.2 m", "ft", 4200.0),
        ("-13' 9 1/2\"", "mm", -4203.7),
        ("4200", "mm", 4200.0),
    ],
)
def test_a_number_is_in_the_unit_of_its_table_and_a_text_in_its_own(value, unit, length_mm):
    assert to_mm(value, unit, name="wall 1") == length_mm


@pytest.mark.parametrize(
    ("value", "unit", "message"),
    [
        (4.2, "yd", "unit must be one of mm, cm, m, in, ft, got 'yd'."),
        (4.2, "mtr", "unit must be one of mm, cm, m, in, ft, got 'mtr'."),
        (True, "m", "door 1: recess must be a number in m, got true."),
        (None, "cm", "door 1: recess must be a number in cm, got None."),
        ([4], "mm", "door 1: recess must be a number in mm, got [4]."),
        (math.nan, "mm", "door 1: recess must be a finite number, got nan."),
        (-math.inf, "mm", "door 1: recess must be a finite number, got -inf."),
        (10**400, "mm", "door 1: recess must be a finite number, got inf."),
        (1_000_001, "m", "door 1: recess must be -1000000 to 1000000 m, got 1000001 m."),
        ("4 oak", "m", "door 1: recess must be in mm, cm, m, in or ft, got '4 oak' with the word 'oak'."),
        (" 4.2 ", "m", "door 1: recess must have a unit in its text, got ' 4.2 ': write 4.2 m or 4.2 mm."),
    ],
)
def test_a_value_that_is_no_length_is_refused_by_its_place(value, unit, message):
    assert complaint(lambda: to_mm(value, unit, name="door 1: recess")) == message


@pytest.mark.parametrize(
    ("value", "message"),
    [
        (-4, "board must be 0 to 1000000000 mm, got -4 mm."),
        ("-4 m", "board must not be negative, got '-4 m'."),
    ],
)
def test_negative_lengths_are_refused_where_they_make_no_sense(value, message):
    assert complaint(lambda: to_mm(value, "mm", name="board", allow_negative=False)) == message


@pytest.mark.parametrize(
    ("value", "message"),
    [
        (None, "must be a number in m, got None."),
        ("oak", f"must be a length such as {EXAMPLES}, got 'oak', which has no number."),
        ("4", "must have a unit in its text, got '4': write 4 m or 4 mm."),
    ],
)
def test_a_complaint_without_a_name_starts_with_its_rule(value, message):
    assert complaint(lambda: to_mm(value, "m", name="")) == message


# anything a TOML file can hold
@given(
    st.integers() | st.floats() | st.text(max_size=90) | st.booleans() | st.dates() | st.lists(st.integers()),
    st.sampled_from(UNITS),
)
def test_any_value_of_a_table_is_a_finite_length_or_a_value_error(value, unit):
    length_mm, message = outcome(lambda: to_mm(value, unit, name="wall"))
    if message is None:
        assert abs(length_mm) <= LONGEST_MM * (1 + 1e-12)  # the limit in feet is itself a rounded float
    else:
        assert re.fullmatch(r"wall must .*[.?]", message)


# --- written back ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("length_mm", "text"),
    [
        (0, '0"'),
        (0.79, '0"'),  # less than 1/32 in, which is 0.79375
        (-0.79, '0"'),
        (0.79375, '1/16"'),  # a tie goes away from 0
        (-0.79375, '-1/16"'),
        (12.7, '1/2"'),
        (25.4, '1"'),
        (241.3, '9 1/2"'),
        (304.8, "1' 0\""),
        (304.1, "1' 0\""),  # 11.9724 in is 191.56 sixteenths: 192, carried to the foot
        (304.0, '11 15/16"'),  # 11.9685 in is 191.496 sixteenths: 191
        (317.5, "1' 0 1/2\""),
        (2438.4, "8' 0\""),
        (4203.7, "13' 9 1/2\""),
        (-4203.7, "-13' 9 1/2\""),
        (4200.0, "13' 9 3/8\""),  # 165.354 in; 0.354 × 16 = 5.67, so 6/16
    ],
)
def test_feet_and_inches_are_the_nearest_sixteenth_in_lowest_terms(length_mm, text):
    assert feet_and_inches(length_mm) == text


def test_feet_and_inches_can_be_rounded_to_another_fraction():
    # 4200 mm is 13 ft 9.3543 in; 0.3543 is nearest to 0, 1/4, 4/10 and 23/64 (22.68 sixty-fourths)
    assert feet_and_inches(4200, to=Fraction(1)) == "13' 9\""
    assert feet_and_inches(4200, to=Fraction(1, 4)) == "13' 9 1/4\""
    assert feet_and_inches(4200, to=Fraction(1, 10)) == "13' 9 2/5\""
    assert feet_and_inches(4200, to=Fraction(1, 64)) == "13' 9 23/64\""


@pytest.mark.parametrize("to", [Fraction(0), Fraction(-1, 16), Fraction(3, 16), Fraction(2), Fraction(1, 1001), 0.0625])
def test_only_one_over_a_whole_number_is_rounded_to(to):
    assert complaint(lambda: feet_and_inches(4200, to=to)) == (
        f"to must be a Fraction of 1 over a whole number from 1 to 1000, got {to}."
    )


@pytest.mark.parametrize(
    ("length_mm", "unit", "text"),
    [
        (4203.7, "mm", "4203.7 mm"),
        (4203.7, "cm", "420.37 cm"),
        (4203.7, "m", "4.2037 m"),
        (4203.7, "in", "165.5 in"),
        (4203.7, "ft", "13.792 ft"),  # 165.5 / 12 = 13.791666…
        (4200, "mm", "4200 mm"),
        (4200, "cm", "420 cm"),
        (4200, "m", "4.2 m"),
        (2438.4, "ft", "8 ft"),
        (0, "m", "0 m"),
        (-0.04, "mm", "0 mm"),
        (0.05, "mm", "0.1 mm"),  # a tie goes away from 0
        (-0.05, "mm", "-0.1 mm"),
        (1.25, "m", "0.0013 m"),  # 0.00125
        (99.96, "mm", "100 mm"),
        (1e9, "mm", "1000000000 mm"),
        (5, "m", "0.005 m"),
    ],
)
def test_a_length_in_a_unit_shows_only_digits_that_say_something(length_mm, unit, text):
    assert in_unit(length_mm, unit) == text


def test_only_lengths_are_written_and_only_in_known_units():
    assert complaint(lambda: in_unit(4200, "yd")) == "unit must be one of mm, cm, m, in, ft, got 'yd'."
    assert complaint(lambda: in_unit(math.nan, "mm")) == "length must be a finite number, got nan."
    assert complaint(lambda: feet_and_inches(2e9)) == (
        "length must be -1000000000 to 1000000000 mm, got 2000000000 mm."
    )
    assert complaint(lambda: feet_and_inches("4 m")) == "length must be a number in mm, got '4 m'."


# --- a length and how it was typed -----------------------------------------------------------------------
