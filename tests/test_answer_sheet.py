"""The answers in words: every sentence whole, with figures known by hand."""

from dataclasses import replace
from html.parser import HTMLParser

import pytest

from flooring_kit.answer_sheet import (
    MOST_FAULTS_LISTED,
    answers_html,
    area_sentence,
    first_row_sentence,
    kept_clear_sentence,
    leaflet_sentence,
    length_words,
    order_html,
    price_sentence,
    proof_sentence,
    rules_sentence,
    sentences,
    trim_sentence,
    warmth_sentence,
    waste_sentence,
)
from flooring_kit.answers import estimate
from flooring_kit.choices import Choices, Laying, Materials
from flooring_kit.pricing import Price, PriceLine
from flooring_kit.products import Board, Catalogue, Trim, Underlay
from flooring_kit.room import Door, Obstacle, Room
from flooring_kit.rules import LayingRules
from flooring_kit.setting_out import BrokenRule, Search, set_out
from flooring_kit.thermal import BuildUp
from flooring_kit.weighing_sheet import margin_sentence, one_board_more_sentence

# The worked example of nine boards; clear 4000 x 772, which four whole rows of 193 fill.
STORE = Room("Store", ((0, 0), (4020, 0), (4020, 792), (0, 792)))
PLANK = Board("Plank", 1800, 193, 8, 8, pack_price=38.40, resistance_m2k_w=0.0444)
CELLULAR = Underlay("Cellular", "rubber", 3, 1.5, pack_price=19.50, resistance_m2k_w=0.0300)
CATALOGUE = Catalogue({"Plank": PLANK}, {"Cellular": CELLULAR}, {"Scotia": Trim("Scotia", 18, 18, 2400, price=3.60)})
CHOICES = Choices(Materials("Plank", "Cellular", "Scotia"), Laying(rules=LayingRules(offcut_margin_mm=0)))
NARROW = BrokenRule("narrowest row", 4, 1, 12.04)
TONGUE = BrokenRule("narrowest row", 5, 2, 8.0, slight=True)


@pytest.fixture(scope="module")
def worked():
    return estimate(STORE, CHOICES, CATALOGUE)


class Reader(HTMLParser):
    """Text and tags of a piece of HTML; fails where tags do not close in order."""

    def __init__(self, html):
        super().__init__()
        self.open, self.tags, self.texts = [], [], []
        self.feed(html)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        if tag != "br":
            self.open.append(tag)
        self.tags.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.texts.append(data)


# --- all of them ------------------------------------------------------------------------------------------


def test_the_worked_example_in_words(worked):
    # waste: 16 boards of 0.3474 = 5.5584; floor 4.000 x 0.772 = 3.088; 9 boards - floor = 0.0386, 1.25 %;
    # 2 boards spare = 0.6948; 5 over = 1.737. First row s leaves 193 - s at the far wall: 50 to 143, or 193.
    # 0.0386 / 3.088 is 1.25 % exactly, so float dust decides between 1.2 and 1.3: both are right
    said = [sentence.replace("(1.3% of", "(1.2% of") for sentence in sentences(worked)]
    assert said == [
        "11 boards: 9 in the plan, fewest possible 9, 2 for miscuts; 2 packs of 8, 5 boards over.",
        "No plan with these row widths needs fewer than 9 boards: proved.",
        "First row 193 mm wide, narrowest strip 193 mm; anything 50 to 143 or 193 mm leaves every strip at least "
        "50 mm.",
        "Every laying rule is held.",
        "Of 5.56 m² bought, 3.09 m² is floor, 0.04 m² cutting loss (1.2% of the floor), 0.69 m² spares, "
        "1.74 m² pack rounding.",
        "Underlay: 3 packs of 1.5 m² for 3.09 m² of floor, 1.41 m² over.",
        "Trim: 9.62 m along the walls in 6 pieces; 5 lengths of 2400 mm, no fewer would do.",
        "Underlay and board: 0.074 m²K/W = 0.74 tog.",
        "The floor rises 11 mm.",
        "Materials £183.96: £153.30 and £30.66 tax (20%).",
    ]


def test_broken_rules_follow_the_sentence_that_counts_them(worked):
    made = replace(worked, plan=replace(worked.plan, broken_rules=(NARROW, TONGUE)))
    said = sentences(made)
    assert said[3:6] == [
        "This plan breaks laying rules in 1 place.",
        "Row 4, piece 1: 12 mm under the narrowest row.",
        "Row 5, piece 2: a tongue at its end is 8 mm under the narrowest row.",
    ]
    assert len(said) == 12


def test_no_more_than_six_broken_rules_are_listed(worked):
    faults = tuple(BrokenRule("joint offset", row, 2, 40.0) for row in range(2, 11))
    said = sentences(replace(worked, plan=replace(worked.plan, broken_rules=faults)))
    assert MOST_FAULTS_LISTED == 6
    assert said[3] == "This plan breaks laying rules in 9 places."
    assert said[4:10] == [f"Row {row}, piece 2: joint 40 mm too near a joint of the row before." for row in range(2, 8)]
    assert not any(sentence.startswith("Row ") for sentence in said[10:])


# --- one at a time ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("needed", "bound", "sentence"),
    [
        (27, 27, "No plan with these row widths needs fewer than 27 boards: proved."),
        (28, 27, "At most 1 board more than the fewest possible: the proof reaches 27."),
        (30, 27, "At most 3 boards more than the fewest possible: the proof reaches 27."),
        (1, 1, "No plan with these row widths needs fewer than 1 board: proved."),
    ],
)
def test_the_proof_says_how_far_it_reaches(worked, needed, bound, sentence):
    assert proof_sentence(replace(worked.plan, boards_needed=needed, boards_bound=bound)) == sentence


@pytest.mark.parametrize(
    ("width", "narrowest", "bands", "sentence"),
    [
        (
            116.5,
            116.4,
            ((50.0, 187.0),),
            "First row 116.5 mm wide, narrowest strip 116 mm; anything 50 to 187 mm leaves every strip at least 50 mm.",
        ),
        (
            60.0,
            60.0,
            ((50.0, 80.0), (125.0, 158.0), (193.0, 193.0)),
            "First row 60 mm wide, narrowest strip 60 mm; anything 50 to 80 or 125 to 158 or 193 mm leaves every "
            "strip at least 50 mm.",
        ),
        (193.0, 15.0, (), "First row 193 mm wide, narrowest strip 15 mm; no width leaves every strip 50 mm."),
    ],
)
def test_the_first_row_says_what_else_would_do(worked, width, narrowest, bands, sentence):
    widths = replace(
        worked.plan.row_widths[0], first_row_width_mm=width, narrowest_strip_mm=narrowest, allowed_bands_mm=bands
    )
    assert first_row_sentence(replace(worked.plan, row_widths=(widths,))) == sentence


@pytest.mark.parametrize(
    ("faults", "sentence"),
    [
        ((), "Every laying rule is held."),
        ((TONGUE,), "Every laying rule is held, but for narrow tongues beside doorways or corners."),
        ((NARROW,), "This plan breaks laying rules in 1 place."),
        ((NARROW, NARROW, TONGUE), "This plan breaks laying rules in 2 places."),
    ],
)
def test_broken_rules_are_counted_and_slight_ones_are_not(worked, faults, sentence):
    assert rules_sentence(replace(worked.plan, broken_rules=faults)) == sentence


def test_the_waste_names_four_parts(worked):
    # a floor of 20: 1.5 cutting loss is 7.5 %
    waste = replace(worked.take_off.waste, net_area_m2=20.0, cutting_loss_m2=1.5, spares_m2=0.5, pack_rounding_m2=1.25)
    assert waste_sentence(replace(worked, take_off=replace(worked.take_off, waste=waste))) == (
        "Of 23.25 m² bought, 20.00 m² is floor, 1.50 m² cutting loss (7.5% of the floor), 0.50 m² spares, "
        "1.25 m² pack rounding."
    )


@pytest.mark.parametrize(
    ("heated", "covering", "sentence"),
    [
        (False, BuildUp(0.0744), "Underlay and board: 0.074 m²K/W = 0.74 tog."),
        (
            True,  # U16
            BuildUp(0.0744),
            "Underlay and board: 0.074 m²K/W = 0.74 tog. That is within the limit of 0.15 m²K/W (1.5 tog) over "
            "underfloor heating.",
        ),
        (
            True,  # U17
            BuildUp(0.1934),
            "Underlay and board: 0.193 m²K/W = 1.93 tog. That is over the limit of 0.15 m²K/W (1.5 tog) over "
            "underfloor heating.",
        ),
        (False, BuildUp(0.03, ("Plank",)), "Thermal resistance unknown: no figure for Plank."),
        (True, BuildUp(0.0, ("Foam", "Plank")), "Thermal resistance unknown: no figure for Foam and Plank."),
    ],
)
def test_warmth_is_told_with_the_limit_where_the_floor_is_heated(worked, heated, covering, sentence):
    room = replace(STORE, heated=heated)
    assert warmth_sentence(replace(worked, room=room, covering=covering)) == sentence


def test_trim_is_told_in_metres_pieces_and_stock_lengths(worked):
    def told(**changed):
        return trim_sentence(replace(worked, take_off=replace(worked.take_off, **changed)))

    cut = worked.take_off.trim_cut
    assert told() == "Trim: 9.62 m along the walls in 6 pieces; 5 lengths of 2400 mm, no fewer would do."
    assert told(trim_cut=None) == "Trim: 9.62 m along the walls."
    assert told(trim_cut=replace(cut, lengths_bound=4, price_bound=cut.price * 0.8)) == (
        "Trim: 9.62 m along the walls in 6 pieces; 5 lengths of 2400 mm, at least 4."
    )


def test_returns_at_a_door_are_told_apart(worked):
    room = replace(STORE, doors=(Door(1, 1000, 762),))
    assert trim_sentence(estimate(room, CHOICES, CATALOGUE)) == (
        "Trim: 8.72 m along the walls in 6 pieces and 2 returns; 5 lengths of 2400 mm, no fewer would do."
    )


@pytest.mark.parametrize(
    ("lines", "tax", "sentence"),
    [
        ([("Plank", 2, 38.40)], 0.20, "Materials £92.16: £76.80 and £15.36 tax (20%)."),
        ([("Plank", 1000, 38.40)], 0.0, "Materials £38,400.00: £38,400.00 and £0.00 tax (0%)."),
        (
            [("Plank", 2, None), ("Foam", 1, 10.0)],
            0.20,
            "Materials £12.00: £10.00 and £2.00 tax (20%). Not priced: Plank.",
        ),
        (
            [("Plank", 2, None), ("Foam", 1, None)],
            0.20,
            "Materials £0.00: £0.00 and £0.00 tax (20%). Not priced: Plank, Foam.",
        ),
        # tax rates of half per cents: 200.00 x 0.055 = 11.00, 200.00 x 0.175 = 35.00
        ([("Plank", 2, 100.0)], 0.055, "Materials £211.00: £200.00 and £11.00 tax (5.5%)."),
        ([("Plank", 2, 100.0)], 0.175, "Materials £235.00: £200.00 and £35.00 tax (17.5%)."),
        ([("Plank", 2, 100.0)], 0.07, "Materials £214.00: £200.00 and £14.00 tax (7%)."),
    ],
)
def test_the_price_names_tax_and_what_is_not_priced(worked, lines, tax, sentence):
    price = Price(tuple(PriceLine(item, quantity, "pack", each) for item, quantity, each in lines), tax, "£")
    assert price_sentence(replace(worked, price=price)) == sentence


# --- for a panel ------------------------------------------------------------------------------------------


def test_the_panel_says_the_same_sentences(worked):
    assert Reader(order_html(worked)).texts == [
        "11 boards: 9 in the plan, fewest possible 9, 2 for miscuts; 2 packs of 8, 5 boards over."
    ]
    read = Reader(answers_html(worked))
    assert read.texts == [
        "Fewest?",
        proof_sentence(worked.plan),
        "First row",
        first_row_sentence(worked.plan),
        "Rules",
        "Every laying rule is held.",
        "Waste",
        waste_sentence(worked),
        "Underlay",
        "3 packs of 1.5 m² for 3.09 m² of floor, 1.41 m² over.",
        "Trim",
        "9.62 m along the walls in 6 pieces; 5 lengths of 2400 mm, no fewer would do.",
        "Warmth",
        "Underlay and board: 0.074 m²K/W = 0.74 tog.",
        "Height",
        "The floor rises 11 mm.",
        "Price",
        "Materials £183.96: £153.30 and £30.66 tax (20%).",
    ]


@pytest.mark.parametrize(("count", "more"), [(1, None), (6, None), (7, "And 1 more."), (9, "And 3 more.")])
def test_the_panel_lists_six_broken_rules_and_counts_the_others(worked, count, more):
    faults = tuple(BrokenRule("shortest piece", row, 1, 40.5) for row in range(1, count + 1))
    read = Reader(answers_html(replace(worked, plan=replace(worked.plan, broken_rules=faults))))
    listed = [text for text in read.texts if text.startswith("Row ")]
    assert listed == [
        f"Row {row}, piece 1: 40.5 mm short of the shortest piece." for row in range(1, min(count, 6) + 1)
    ]
    assert [text for text in read.texts if text.startswith("And ")] == ([more] if more else [])
    assert read.tags.count("li") == len(listed) + bool(more)


def test_names_are_shown_and_never_run_as_html(worked):
    evil = "<b>Oak & \"ash\"</b><script>alert('x')</script>"
    price = Price((PriceLine(evil, 1, "pack", None),), 0.2, "<i>")
    made = replace(worked, price=price, covering=BuildUp(0.0, (evil,)))
    read = Reader(answers_html(made))
    assert not {"script", "b", "i"} & set(read.tags)
    assert f"Thermal resistance unknown: no figure for {evil}." in read.texts


def test_rules_the_leaflet_overrides_are_named(worked):
    # Leaflet 8 mm against a chosen 5; the offset chosen is more than the leaflet's, so it stands.
    chosen = replace(worked.choices.laying.rules, gap_mm=5.0)
    used = replace(worked.plan.rules, gap_mm=8.0)
    estimate = replace(
        worked,
        choices=replace(worked.choices, laying=replace(worked.choices.laying, rules=chosen)),
        plan=replace(worked.plan, rules=used),
    )
    assert leaflet_sentence(estimate) == "The board's leaflet asks for a gap of 8 mm instead of 5."
    assert leaflet_sentence(estimate) in sentences(estimate)
    assert leaflet_sentence(worked) == ""


def plan_with(joints, *, margin=10.0, boards=28):
    """A plan as the sentences see it: only joints, boards and margin matter."""
    plan = set_out(STORE, PLANK, search=Search(quick=True))
    return replace(plan, rules=LayingRules(offcut_margin_mm=margin), row_joints_mm=tuple(joints), boards_needed=boards)


def test_the_price_of_the_margin_is_told_in_boards():
    plan = plan_with([900.0, 1800.0])
    told = [margin_sentence(plan, boards) for boards in (0, 1, 2)]
    assert told == [
        "The margin of 10 mm between two pieces of one board costs no board here.",
        "The margin of 10 mm between two pieces of one board costs 1 board.",
        "The margin of 10 mm between two pieces of one board costs 2 boards.",
    ]


def test_one_board_more_is_offered_with_both_patterns_in_figures():
    # A half bond of 12 rows coincides in full; every row but the last two lines up with the row two on, and begins
    # a stair. Three rows with joints 300, 900, 1700 (steps 600, 800) do neither and are too few for a score.
    half_bond = plan_with([900.0, 1800.0] * 6, boards=40)
    few = plan_with([300.0, 900.0, 1700.0], boards=41)
    assert one_board_more_sentence(half_bond, few) == (
        "One board more, 41, makes the joints more irregular: 0 lined up, 0 stairs instead of at most 100% of the rows "
        "coincide, 10 lined up, 10 stairs."
    )
    assert one_board_more_sentence(half_bond, None) == (
        "One board more would not make the joints clearly more irregular."
    )


def test_a_proof_says_where_it_rests_on_rows_left_whole():
    # Clear rows 1500 and 2050, boards 1800: 1 + 2 boards, but 700 | 800 and 980 | 1070 could be sawn from two boards.
    corner = Room("Corner", ((0, 0), (2070, 0), (2070, 213), (1520, 213), (1520, 406), (0, 406)))
    plan = set_out(corner, Board("Plank", 1800, 193, 8, 8), direction=0)
    assert proof_sentence(plan) == (
        "No plan with these row widths, each row that one board spans left whole, needs fewer than 3 boards: proved."
    )


def test_lengths_stand_in_mm_with_the_surveys_own_unit_beside_them():
    # 119 mm = 4.685 in, nearest sixteenth 4 11/16; 119 mm = 11.9 cm = 0.119 m.
    rooms = [replace(STORE, typed_in=unit) for unit in ("mm", "cm", "m", "in", "ft")]
    assert [length_words(119, room) for room in rooms] == [
        "119 mm",
        "119 mm (11.9 cm)",
        "119 mm (0.119 m)",
        '119 mm (4 11/16")',
        '119 mm (4 11/16")',
    ]


def test_what_must_not_stand_on_the_floor_is_named():
    square = ((0, 0), (900, 0), (900, 600), (0, 600))
    island, wardrobe, hearth = (
        Obstacle(name, square, kind)
        for name, kind in (("island", "island"), ("robe", "wardrobe"), ("hearth", "hearth"))
    )
    tail = "on the subfloor, not on the boards: pinned down, a floating floor buckles."
    assert kept_clear_sentence(replace(STORE, obstacles=(hearth,))) == ""
    assert kept_clear_sentence(replace(STORE, obstacles=(island, hearth))) == f"island stands {tail}"
    assert kept_clear_sentence(replace(STORE, obstacles=(island, wardrobe))) == f"island and robe stand {tail}"


def test_misfits_stand_among_the_answers(worked):
    wet = replace(worked, room=replace(worked.room, wet=True), trim=Trim("Scotia", 18, 18, 2400, material="MDF"))
    told = "Scotia: MDF swells where it gets wet. Take a plastic trim in Store."
    assert f"Does not suit: {told}" in sentences(wet)
    assert told in answers_html(wet)
    assert "Unsuited" not in answers_html(worked)


def test_what_reading_the_survey_found_out_stands_among_the_answers(worked):
    noted = replace(worked, room=replace(worked.room, notes=("The tape agrees.", "So do the areas.")))
    assert sentences(noted)[-2:] == ["Survey: The tape agrees.", "Survey: So do the areas."]
    assert "The tape agrees. So do the areas." in answers_html(noted)
    assert "Survey" not in answers_html(worked)


def test_the_area_is_told_by_both_routes():
    # 4020 x 792 mm is 3.18384 m2.
    assert area_sentence(STORE) == (
        "The two areas agree: 3.18 m² by the outline and 3.18 m² by the second route, 0 % apart (0.5 % allowed)."
    )
