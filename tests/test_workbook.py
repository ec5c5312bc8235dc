"""The workbook: right answers taken in every usual unit, every known slip caught and told apart, nothing given away."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from flooring_kit.drawing import as_svg
from flooring_kit.drawing.marks import Shape, Words
from flooring_kit.lengths import feet_and_inches
from flooring_kit.workbook import NUMBERS, Exercise, exercise, mark
from flooring_kit.workbook.exercise import Reason, Slip, gives_away, is_clear
from flooring_kit.workbook.page import contents_html, hint_html, marked_html, question_html, worked_html

SEEDS = range(50)
ALL = {number: [exercise(number, seed) for seed in SEEDS] for number in NUMBERS}
TITLES = {exercises[0].title: exercises for exercises in ALL.values()}

EVERY_TRAINEE_MAKES_ONCE = {
    "corner of the L counted twice": "Area of an L",
    "packs rounded down": "How many packs?",
    "gap forgotten": "Clear width",
    "gap taken twice": "Clear width",
    "whole first row by habit": "How wide is the first row?",
    "far wall measured at one end only": "A far wall that runs out",
    "wrong end kept": "Which offcut can start a row?",
    "wrapped offset": "The step of the joints",
    "notch mirrored": "A notch, sawn face down",
    "long point for short point": "Long point and short point",
    "tog ten times too many": "Adding up tog",
    "tog ten times too many in all": "Adding up tog",
    "doubled underlay": "Adding up tog",
    "undercut without the underlay": "Undercutting a door lining",
    "easing measured from the carpet": "Easing a door leaf",
    "hole as wide as the pipe": "A hole for a pipe",
    "hole centre without the gap": "The centre of a hole",
}
"""Slips in the figure, each with an exercise whose figures always allow it."""

REASONED = {
    "offcut turned end for end": "Which offcut can start a row?",
    "wrong end kept": "Which offcut can start a row?",
    "stair": "The step of the joints",
    "wrapped offset": "The step of the joints",
    "notch mirrored": "A notch, sawn face down",
    "bead nailed to the floor": "A trim that covers the gap",
    "doubled underlay": "Adding up tog",
    "hole as wide as the pipe": "A hole for a pipe",
    "undercut without the underlay": "Undercutting a door lining",
    "whole first row by habit": "How wide is the first row?",
}
"""Slips in the reason."""


def right_reason(made: Exercise) -> str | None:
    return next((reason.text for reason in made.reasons if reason.is_right), None)


# --- the course -------------------------------------------------------------------------------------------


def test_the_course_has_at_least_sixteen_exercises_of_three_grades_each_with_its_own_title():
    assert len(NUMBERS) >= 16
    assert {made[0].grade for made in ALL.values()} == {1, 2, 3}
    assert len(TITLES) == len(NUMBERS)
    for number, exercises in ALL.items():
        assert all((made.number, made.title) == (number, exercises[0].title) for made in exercises)


@pytest.mark.parametrize("number", NUMBERS)
def test_a_seed_gives_the_same_figures_again_and_other_seeds_other_ones(number):
    again = [exercise(number, seed) for seed in SEEDS]
    assert again == ALL[number]
    assert len({(made.figures, made.reasons) for made in again}) >= 10


@pytest.mark.parametrize(
    ("number", "seed", "complaint"),
    [
        (0, 1, f"exercise must be a whole number from 1 to {len(NUMBERS)}, got 0."),
        (1, -1, "seed must be a whole number from 0 to 999999, got -1."),
        (1, 1.5, "seed must be a whole number from 0 to 999999, got 1.5."),
    ],
)
def test_an_exercise_that_is_not_in_the_course_is_refused(number, seed, complaint):
    with pytest.raises(ValueError) as slip:
        exercise(number, seed)
    assert str(slip.value) == complaint


# --- right answers and slips ------------------------------------------------------------------------------


@pytest.mark.parametrize("number", NUMBERS)
def test_the_right_answer_is_accepted_with_full_marks(number):
    for made in ALL[number]:
        marked = mark(made, made.right_shown, reason=right_reason(made))
        assert (marked.verdict, marked.slips, marked.marks) == ("right", (), made.marks), made.seed
        assert marked.says == f"Right: {made.right_shown}."


@pytest.mark.parametrize("number", NUMBERS)
def test_every_planted_slip_is_caught_by_its_name_and_told_from_every_other(number):
    for made in ALL[number]:
        for slip in made.slips:
            marked = mark(
                made, f"{slip.value:.6f}" if made.quantity.kind != "choice" else made.quantity.shown(slip.value)
            )
            assert (marked.verdict, marked.slip, marked.says) == ("slip", slip.name, slip.says), (made.seed, slip.name)
            assert marked.marks == 0
        names = [slip.name for slip in made.slips]
        assert len(set(names)) == len(names)


@pytest.mark.parametrize("number", NUMBERS)
def test_every_reason_is_marked_and_only_one_is_right(number):
    for made in ALL[number]:
        if not made.reasons:
            continue
        assert sum(reason.is_right for reason in made.reasons) == 1
        assert len({reason.text for reason in made.reasons}) == len(made.reasons) >= 3
        for reason in made.reasons:
            marked = mark(made, made.right_shown, reason=reason.text)
            assert (marked.reason_right, marked.reason_slip) == (reason.is_right, reason.slip)
            assert marked.reason_says == reason.says
            assert marked.marks == 2 + reason.is_right


def test_the_right_reason_has_no_place_of_its_own():
    for exercises in ALL.values():
        if exercises[0].reasons:
            places = [[reason.is_right for reason in made.reasons].index(True) for made in exercises]
            assert len(set(places)) == len(exercises[0].reasons)


@pytest.mark.parametrize(("name", "title"), EVERY_TRAINEE_MAKES_ONCE.items())
def test_the_figures_allow_the_slip_for_every_seed(name, title):
    assert all(name in [slip.name for slip in made.slips] for made in TITLES[title])


@pytest.mark.parametrize(("name", "title"), REASONED.items())
def test_the_reasons_offer_the_slip_for_every_seed(name, title):
    assert all(name in [reason.slip for reason in made.reasons] for made in TITLES[title])


def test_a_membrane_over_timber_is_caught_in_figure_and_reason_and_one_left_out_over_screed_too():
    over_timber = [made for made in TITLES["How many strips of vapour sheet?"] if made.right == 0]
    over_screed = [made for made in TITLES["How many strips of vapour sheet?"] if made.right > 0]
    assert len(over_timber) >= 10
    assert len(over_screed) >= 10
    for made in over_timber:
        assert mark(made, "none").verdict == "right"
        assert "membrane over timber" in [slip.name for slip in made.slips]
        assert "membrane over timber" in [reason.slip for reason in made.reasons]
    for made in over_screed:
        assert mark(made, "none").slip == "no sheet over a mineral floor"


def test_a_sum_of_tog_ten_times_too_large_is_named_whether_it_was_the_board_s_share_or_all_of_it():
    for made in TITLES["Adding up tog"]:
        board_m2k_w, underlay_tog = (float(value.split()[0]) for _, value in made.figures)
        board_tog = 10 * board_m2k_w  # one tog is a tenth of a m²K/W
        board_only, in_all = 10 * board_tog + underlay_tog, 10 * (board_tog + underlay_tog)
        assert mark(made, f"{board_only:.3f} tog").slip == "tog ten times too many"
        for answer in (f"{in_all:.3f}", f"{in_all:.2f} tog", f"{in_all / 10:.3f} m²K/W"):
            assert mark(made, answer).slip == "tog ten times too many in all"


@pytest.mark.parametrize("number", NUMBERS)
def test_what_is_said_is_a_kind_sentence_of_a_readable_length(number):
    for made in ALL[number][:10]:
        told = [slip.says for slip in made.slips] + [reason.says for reason in made.reasons]
        told += [made.question, made.asked, made.hint, *made.worked]
        for words in told:
            assert words[0].isupper() or words[0].isdigit() or words[0] in "£("
            assert words[-1] in ".?"
            assert len(words) < 420
            assert "—" not in words
            assert "–" not in words


# --- units and rounding -----------------------------------------------------------------------------------

OF_KIND = {kind: [made for all_ in ALL.values() for made in all_ if made.quantity.kind == kind] for kind in
           ("length", "area", "count", "fraction", "tog", "angle", "money", "choice")}  # fmt: skip


def test_every_kind_of_answer_is_asked_for():
    assert all(OF_KIND.values())


def test_lengths_are_right_in_every_unit_and_in_feet_and_inches():
    for made in OF_KIND["length"]:
        mm = round(made.right, 1)
        answers = [f"{mm}", f"{mm} mm", f"{mm:.1f}mm".replace(".", ","), f"{mm / 10:.2f} cm", f"{mm / 1000:.4f} m"]
        assert [mark(made, answer).verdict for answer in answers] == ["right"] * 5, (made.title, made.seed)
        if made.quantity.close >= 0.8:
            assert mark(made, feet_and_inches(mm)).verdict == "right"


def test_thirteen_foot_nine_is_read_as_a_site_says_it():
    kind = OF_KIND["length"][0].quantity
    assert kind.read("13 ft 9") == kind.read("13' 9\"") == kind.read("13 feet 9 in") == 4191.0
    assert kind.read("13' 9 1/2") == 4203.7


def test_a_length_rounded_to_the_centimetre_or_without_its_unit_is_nearly_right():
    made = replace(TITLES["How wide is the first row?"][0], right=116.0, slips=())
    far = mark(made, "12 cm")
    assert (far.verdict, far.marks) == ("nearly", 1)
    assert far.says == "Nearly: it is 116 mm. You rounded too far; round at the end, and less."
    bare = mark(made, "0.116")
    assert (bare.verdict, bare.marks) == ("nearly", 1)
    assert bare.says == "Nearly: your figure is right, its unit is not. As typed it is 0.1 mm; write the unit."


def test_areas_shares_and_tog_are_right_in_their_usual_units():
    for made in OF_KIND["area"]:
        for answer in (f"{made.right:.2f}", f"{made.right:.2f} m2", f"{made.right:.2f} sq m".replace(".", ","),
                       f"{made.right / 0.09290304:.1f} sq ft"):  # fmt: skip
            assert mark(made, answer).verdict == "right", (answer, made.seed)
        assert mark(made, f"{made.right:.1f}").verdict in ("right", "nearly")
    for made in OF_KIND["fraction"]:
        for answer in (
            f"{100 * made.right:.1f} %",
            f"{100 * made.right:.1f}%",
            f"{made.right:.3f}",
            f"{made.right:.4f}",
        ):
            assert mark(made, answer).verdict == "right", (answer, made.seed)
        assert mark(made, f"{100 * made.right:.0f} percent").verdict in ("right", "nearly")
        assert mark(made, f"{100 * made.right:.1f}").verdict == "nearly"
    for made in OF_KIND["tog"]:
        for answer in (f"{made.right:.2f}", f"{made.right:.2f} tog", f"{made.right / 10:.4f} m²K/W"):
            assert mark(made, answer).verdict == "right", (answer, made.seed)
        assert mark(made, f"{made.right / 10:.4f}").verdict == "nearly"


def test_counts_angles_money_and_letters_are_right_as_people_write_them():
    for made in OF_KIND["count"]:
        noun = made.quantity.noun
        assert [mark(made, text).verdict for text in (f"{made.right}", f"{made.right} {noun}s")] == ["right"] * 2
    for made in OF_KIND["angle"]:
        assert [mark(made, f"{made.right:g}{unit}").verdict for unit in ("", "°", " deg", " degrees")] == ["right"] * 4
    for made in OF_KIND["money"]:
        for answer in (f"{made.right:.2f}", f"£{made.right:.2f}", f"£ {made.right:.2f}", f"{made.right:.2f} pounds"):
            assert mark(made, answer).verdict == "right"
    for made in OF_KIND["choice"]:
        letter = made.right_shown[-1]
        for answer in (letter, letter.lower(), f"{letter}.", made.right_shown, made.right_shown.upper()):
            assert mark(made, answer).verdict == "right", answer


@given(st.sampled_from([made for made in OF_KIND["length"] if made.quantity.close == 1.0]), st.floats(-0.99, 0.99))
def test_a_length_within_a_millimetre_of_the_right_one_is_right(made, off):
    assert mark(made, f"{made.right + off:.3f} mm").verdict == "right"


@given(st.sampled_from(OF_KIND["length"]), st.floats(0, 9000))
def test_no_length_is_right_that_lies_farther_off_than_close(made, value):
    marked = mark(made, f"{value:.3f} mm")
    if abs(round(value, 3) - made.right) > made.quantity.close + 1e-6:
        assert marked.verdict != "right"


@given(st.sampled_from(OF_KIND["length"]))
def test_the_right_length_in_metres_to_two_places_is_rounded_too_far_and_never_plainly_wrong(made):
    if made.right < 1000:  # shorter ones say too little in whole centimetres
        return
    marked = mark(made, f"{made.right / 1000:.2f} m")
    assert marked.verdict in ("right", "nearly", "slip")


def test_a_length_rounded_so_far_that_it_says_nothing_is_wrong():
    made = TITLES["Clear width"][1]  # some 3 m: by hand, a step of 1 m is a third of it
    assert mark(made, f"{made.right / 1000 + 0.3:.0f} m").verdict == "wrong"


def test_a_rate_is_taken_as_it_is_said_on_site():
    made = TITLES["A rate for a square metre"][1]
    for words in ("/m²", "/m2", " per m²", " a square metre", " per square metre"):
        assert mark(made, f"{made.right_shown}{words}").verdict == "right"


# --- nonsense ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("title", "answer", "complaint"),
    [
        ("Clear width", "", "Your answer is empty. It must be written like 3480 mm, 3.48 m or 11 ft 5."),
        ("Clear width", "wide",
         "Your answer must be a length such as 4200 mm, 4.2 m or 13' 9 1/2\", got 'wide', which has no number."),
        ("Clear width", "3,480 m", "Your answer must not have a comma that can be read two ways, got '3,480 m': "
         "it could be 3480 m or 3.48 m."),
        ("Clear width", "-20", "Your answer must not be negative, got '-20'."),
        ("Area of an L", "large", "Your answer must be a figure, written like 18.72 m², got 'large'."),
        ("Area of an L", "18 m", "Your answer must be written like 18.72 m², got '18 m'."),
        ("Area of an L", "18.72 squre metres",
         "Your answer must be written like 18.72 m², got '18.72 squre metres'. Did you mean 'square metres'?"),
        ("Area of an L", "-18", "Your answer must not be negative, got '-18'."),
        ("Area of an L", "1.2.3", "Your answer must have at most one point or comma, got '1.2.3'."),
        ("Area of an L", "18 72", "Your answer must be one number, got '18 72'."),
        ("Area of an L", "9" * 61, "Your answer must have at most 60 characters, got 61."),
        ("How many packs?", "12 m2", "Your answer must be a whole number of packs, got '12 m2'."),
        ("How many packs?", "nan", "Your answer must be a figure, a whole number of packs, got 'nan'."),
        ("A rate for a square metre", "1,234", "Your answer can be read two ways, got '1,234': write 1234 or 1.234."),
        ("Which offcut can start a row?", "E", "Your answer must be one letter, A to D, got 'E'."),
        ("Which offcut can start a row?", "long one", "Your answer must be one letter, A to D, got 'long one'."),
    ],
)  # fmt: skip
def test_nonsense_is_refused_with_a_plain_message(title, answer, complaint):
    with pytest.raises(ValueError) as slip:
        mark(TITLES[title][1], answer)
    assert str(slip.value) == complaint


@given(st.sampled_from([exercises[0] for exercises in ALL.values()]), st.text(max_size=70))
def test_any_text_is_marked_or_refused_in_words(made, text):
    said = ""
    try:
        said = mark(made, text).verdict
    except ValueError as slip:
        said = str(slip)
    assert said in ("right", "nearly", "slip", "wrong") or said.startswith("Your answer ")


@pytest.mark.parametrize(
    ("typed", "value"), [("1,234.50", 1234.5), ("1.234,50", 1234.5), ("1 234.5", 1234.5), ("44,05", 44.05)]
)
def test_thousands_are_read_where_they_can_only_be_that(typed, value):
    assert TITLES["A rate for a square metre"][0].quantity.read(typed) == value


def test_a_reason_that_is_not_offered_is_refused():
    made = TITLES["Clear width"][0]
    with pytest.raises(ValueError) as slip:
        mark(made, "3000", reason="because")
    assert str(slip.value) == "Exercise 4 asks for no reason, got 'because'."
    with pytest.raises(ValueError, match="reason must be one of"):
        mark(TITLES["Adding up tog"][0], "1.3", reason="because")


def test_a_figure_without_a_known_slip_gets_no_mark_and_says_where_to_go():
    marked = mark(TITLES["Clear width"][0], "17 mm")
    assert (marked.verdict, marked.slip, marked.marks) == ("wrong", "", 0)
    assert marked.says == "Not yet, and it is none of the usual slips. Take the hint and go step by step."
    assert marked.sentence() == f"{marked.says} 0 of 2 marks."
    no_reason = mark(TITLES["Adding up tog"][0], TITLES["Adding up tog"][0].right_shown)
    assert (no_reason.marks, no_reason.out_of) == (2, 3)
    assert no_reason.reason_says == "You chose no reason: there is a mark for it."


# --- nothing given away, all of it shown ------------------------------------------------------------------


@pytest.mark.parametrize("number", NUMBERS)
def test_nothing_before_the_worked_answer_gives_the_figure_away(number):
    for made in ALL[number]:
        drawn = [each.text for each in made.sketch().marks if isinstance(each, Words)] if made.sketch else []
        offered = [reason.text for reason in made.reasons]
        assert not gives_away(made, " ".join([made.told, *drawn, *offered])), (made.seed, made.right_shown)


def test_a_figure_given_away_would_be_found():
    made = TITLES["Clear width"][0]
    assert gives_away(made, f"The floor is {made.right:g} mm wide.")
    assert not is_clear(replace(made, hint=f"It is {made.right:.0f}."))
    assert not is_clear(replace(made, slips=(*made.slips, Slip("twin", made.slips[0].value, "Twin."))))
    assert not is_clear(replace(made, slips=(Slip("harmless", made.right + 0.5, "Harmless."),)))


@pytest.mark.parametrize("number", NUMBERS)
def test_the_worked_answer_ends_in_the_right_figure(number):
    for made in ALL[number]:
        end = made.worked[-1].rstrip(".")
        assert end.endswith(made.right_shown), (made.seed, made.worked[-1], made.right_shown)


@pytest.mark.parametrize("number", NUMBERS)
def test_an_exercise_is_drawn_and_written_as_a_page(number):
    for made in ALL[number][:3]:
        page = question_html(made)
        assert made.title.replace("'", "&#x27;") in page
        assert all(value in page for _, value in made.figures)
        assert made.hint.split("'")[0] in hint_html(made)
        shown = worked_html(made)
        assert shown.count("<li") == len(made.worked)
        for sketch in (made.sketch, made.worked_sketch):
            if sketch is not None:
                assert as_svg(sketch()).count("<svg ") == 1
                assert sketch() is not None


def words_of(made: Exercise) -> list[str]:
    assert made.worked_sketch is not None
    return [each.text for each in made.worked_sketch().marks if isinstance(each, Words)]


def test_every_worked_answer_is_drawn():
    assert all(made.worked_sketch is not None for exercises in ALL.values() for made in exercises)


@pytest.mark.parametrize("number", [2, 17, 22, 23])
def test_no_word_in_a_drawing_of_packs_timber_rate_or_quote_is_smaller_than_its_letters_on_a_phone(number):
    for made in ALL[number]:
        scene = made.worked_sketch()
        words = [each for each in scene.marks if isinstance(each, Words)]
        assert words
        assert all(each.size_mm >= 0.99 * scene.label_mm for each in words), made.seed


def test_the_drawing_of_an_order_has_as_many_packs_as_the_answer_and_they_reach_as_far_as_the_sum():
    for made in TITLES["How many packs?"]:
        area, pack = (float(made.figures[place][1].split()[0]) for place in (0, 2))
        percent = float(made.figures[1][1].split()[0])
        packs = [each for each in made.worked_sketch().marks if isinstance(each, Shape) and "pack" in each.note]
        assert len(packs) == made.right
        ends = [float(each.rings[0][:, 0].max()) for each in packs]
        needed = 1000 * area * (1 + percent / 100)
        assert ends[-1] == pytest.approx(1000 * pack * made.right)
        assert ends[-1] - 1000 * pack < needed <= ends[-1] + 1e-6
        assert made.right_shown in words_of(made)


def test_the_drawing_of_a_rate_adds_up_to_the_right_price():
    for made in TITLES["A rate for a square metre"]:
        prices = [float(words.split("£")[1]) for words in words_of(made)]
        assert len(prices) == 4
        assert sum(prices[:3]) == pytest.approx(prices[3]) == pytest.approx(made.right)


def test_the_drawing_of_a_wrong_row_shows_it_as_quoted_and_as_it_should_be():
    for made in TITLES["A quote with a mistake"]:
        row = made.figures[int(made.right)][1]
        prices = [words for words in words_of(made) if words.startswith("£")]
        assert prices[0] == f"£{row.split('£')[-1]}"
        right = next(reason.text for reason in made.reasons if reason.is_right)
        if right.startswith("Quantity times price"):
            quantity, unit_price = float(row.split()[0]), float(row.split("£")[1].strip(": ").replace(",", ""))
            assert float(prices[1][1:].replace(",", "")) == pytest.approx(quantity * unit_price, abs=0.00501)
        if right.startswith("Tax is taken"):  # 20 % of the sum, and once more 20 % of it: six fifths of it
            quoted, once = (float(price[1:].replace(",", "")) for price in prices)
            assert quoted == pytest.approx(1.2 * once, abs=0.011)
        assert prices[0] != prices[1]


def test_over_timber_the_drawing_has_no_sheet():
    over_timber = [made for made in TITLES["How many strips of vapour sheet?"] if made.right == 0]
    assert all("timber, no sheet over it" in words_of(made) for made in over_timber)


def test_a_marked_answer_names_its_slip_and_says_when_it_does_not_count():
    made = TITLES["Adding up tog"][0]
    doubled = next(reason for reason in made.reasons if reason.slip == "doubled underlay")
    ten = next(slip for slip in made.slips if slip.name == "tog ten times too many")
    page = marked_html(mark(made, repr(ten.value), reason=doubled.text))
    assert "<b>A known slip: tog ten times too many. </b>" in page
    assert "<b>Your reason, a known slip: doubled underlay.</b>" in page
    assert "<b>0 of 3 marks.</b>" in page
    after = marked_html(mark(made, made.right_shown), counts=False)
    assert "The worked answer was seen, so this attempt is for practice alone." in after


def test_the_contents_list_every_exercise():
    page = contents_html()
    assert all(title.replace("'", "&#x27;") in page for title in TITLES)


def test_a_reason_is_right_when_it_names_no_slip():
    assert Reason("so").is_right
    assert not Reason("so", "slip").is_right
