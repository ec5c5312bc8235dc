"""All the answers for one room: each is the plain sum of its own module, and every wrong name is refused."""

from dataclasses import replace
from itertools import pairwise

import pytest

import flooring_kit.answers as answers
from flooring_kit.answers import better_estimates, estimate, estimate_of_plan
from flooring_kit.choices import Buying, Choices, Laying, Materials
from flooring_kit.products import Board, Catalogue, Trim, Underlay
from flooring_kit.room import Room
from flooring_kit.rules import LayingRules
from flooring_kit.setting_out import set_out

# The worked example of nine boards: clear 4000 x 772, boards 1800 x 193. Resistances are U16's.
PLANK = Board("Plank", 1800, 193, 8, 8, pack_price=38.40, resistance_m2k_w=0.0444)
CELLULAR = Underlay("Cellular", "rubber", 3, 1.5, pack_price=19.50, resistance_m2k_w=0.0300)
SCOTIA = Trim("Scotia", 18, 18, 2400, price=3.60)
STORE = Room("Store", ((0, 0), (4020, 0), (4020, 792), (0, 792)))
CATALOGUE = Catalogue(
    {"Plank": PLANK, "Long plank": replace(PLANK, name="Long plank", length_mm=2000)},
    {"Cellular": CELLULAR, "Bare": replace(CELLULAR, name="Bare", resistance_m2k_w=None)},
    {"Scotia": SCOTIA},
)
CHOICES = Choices(Materials("Plank", "Cellular", "Scotia"), Laying(rules=LayingRules(offcut_margin_mm=0)))


@pytest.fixture(scope="module")
def worked():
    return estimate(STORE, CHOICES, CATALOGUE)


# --- the worked example -----------------------------------------------------------------------------------


def test_the_worked_example_is_answered_by_hand_sums(worked):
    assert worked.room_area_m2 == pytest.approx(4.020 * 0.792, abs=1e-9)
    assert worked.net_area_m2 == pytest.approx(4.000 * 0.772, abs=1e-9)
    assert (worked.plan.boards_needed, worked.plan.boards_bound) == (9, 9)
    assert (worked.take_off.boards.packs, worked.take_off.underlay.packs, worked.take_off.trim_lengths) == (2, 3, 5)
    # 2 x 38.40 + 3 x 19.50 + 5 x 3.60 = 153.30, and a fifth
    assert str(worked.price.with_tax) == "183.96"
    assert worked.height_mm == 8 + 3
    assert worked.covering.resistance_m2k_w == pytest.approx(0.0744, abs=1e-12)
    assert worked.covering.missing == ()


def test_an_estimate_keeps_what_was_asked(worked):
    assert worked.room is STORE
    assert worked.choices is CHOICES
    assert worked.underlay is CELLULAR
    assert worked.plan.board is PLANK


def test_every_choice_of_laying_reaches_the_plan():
    laying = Laying(direction=90.0, start="opposite", first_row_width_mm=100.0, rules=LayingRules(gap_mm=12), seed=7)
    made = estimate(STORE, replace(CHOICES, laying=laying), CATALOGUE, quick=True).plan
    assert made.along == (0.0, -1.0)  # towards 90 degrees, from the other end
    assert made.rules.gap_mm == 12
    assert made.row_widths[0].first_row_width_mm == 100.0


@pytest.mark.parametrize("quick", [True, False])
def test_seed_and_quickness_are_handed_to_the_search(monkeypatch, quick):
    asked = []
    monkeypatch.setattr(answers, "set_out", lambda *args, **named: asked.append(named) or set_out(*args, **named))
    estimate(STORE, replace(CHOICES, laying=replace(CHOICES.laying, seed=7)), CATALOGUE, quick=quick)
    assert (asked[0]["search"].seed, asked[0]["search"].quick) == (7, quick)


def test_buying_reaches_the_order_and_the_price(worked):
    buying = Buying(kept_for_repairs=6, tax_fraction=0.0, currency="€")
    made = estimate_of_plan(worked.plan, replace(CHOICES, buying=buying), CATALOGUE)
    assert made.take_off.boards.packs == 3  # 9 + 2 + 6 = 17 boards in packs of 8
    assert str(made.price.with_tax) == "191.70"  # 3 x 38.40 + 58.50 + 18.00
    assert made.price.currency == "€"


def test_no_trim_chosen_is_no_trim_priced(worked):
    made = estimate_of_plan(worked.plan, replace(CHOICES, materials=Materials("Plank", "Cellular")), CATALOGUE)
    assert [line.item for line in made.price.lines] == ["Plank", "Cellular"]
    assert made.take_off.trim_lengths is None


def test_an_unknown_resistance_is_named(worked):
    made = estimate_of_plan(worked.plan, replace(CHOICES, materials=Materials("Plank", "Bare")), CATALOGUE)
    assert made.covering.missing == ("Bare",)


# --- heating ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("heated", "board_r", "underlay_r", "too_warm"),
    [
        (True, 0.0444, 0.0300, False),  # U16: 0.0744
        (True, 0.1077, 0.0857, True),  # U17: 0.1934
        (False, 0.1077, 0.0857, False),  # not heated, no limit
        (True, 0.05, 0.10, False),  # at the limit: 0.05 + 0.10 is 0.15000000000000002 in floats
        (True, 0.0501, 0.10, True),
        (True, 0.1077, None, False),  # not known
        (True, 0.16, None, True),  # over the limit even without the underlay
    ],
)
def test_a_covering_over_a_heated_floor_is_held_to_the_limit(worked, heated, board_r, underlay_r, too_warm):
    plan = replace(worked.plan, room=replace(STORE, heated=heated), board=replace(PLANK, resistance_m2k_w=board_r))
    catalogue = replace(CATALOGUE, underlays={"Cellular": replace(CELLULAR, resistance_m2k_w=underlay_r)})
    assert estimate_of_plan(plan, CHOICES, catalogue).too_warm_for_heating is too_warm


# --- names ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("materials", "message"),
    [
        (
            Materials("Plnak", "Cellular"),
            "There is no board 'Plnak'. There are: Plank, Long plank. Did you mean 'Plank'?",
        ),
        (
            Materials("plank", "Cellular"),
            "There is no board 'plank'. There are: Plank, Long plank. Did you mean 'Plank'?",
        ),
        (Materials("Oak", "Cellular"), "There is no board 'Oak'. There are: Plank, Long plank."),
        (
            Materials("Plank", "Celular"),
            "There is no underlay 'Celular'. There are: Cellular, Bare. Did you mean 'Cellular'?",
        ),
        (Materials("Plank", "Cellular", "Skirting"), "There is no trim 'Skirting'. There are: Scotia."),
    ],
)
def test_a_product_that_is_not_there_is_refused_with_the_names_there_are(materials, message):
    with pytest.raises(ValueError) as refusal:
        estimate(STORE, replace(CHOICES, materials=materials), CATALOGUE, quick=True)
    assert str(refusal.value) == message


def test_an_empty_catalogue_says_so():
    with pytest.raises(ValueError, match=r"^There is no trim 'Scotia'\. There are: none\.$"):
        Catalogue({}, {}).trim("Scotia")
    assert Catalogue({}, {}).trim(None) is None


def test_a_room_the_gap_swallows_is_refused_through_the_estimate():
    slit = Room("Store", ((0, 0), (4020, 0), (4020, 18), (0, 18)))
    with pytest.raises(ValueError) as refusal:
        estimate(slit, CHOICES, CATALOGUE)
    assert str(refusal.value) == "room 'Store': a gap of 10 mm leaves no floor. Is the outline in millimetres?"


# --- better and better ------------------------------------------------------------------------------------


def test_better_estimates_begin_with_the_quick_one_and_end_with_the_settled_one(worked):
    found = list(better_estimates(STORE, CHOICES, CATALOGUE))
    quick = estimate(STORE, CHOICES, CATALOGUE, quick=True)
    assert found[0].plan.boards_needed == quick.plan.boards_needed
    assert found[-1].plan.boards_needed == worked.plan.boards_needed == 9
    assert found[0].plan.pieces["length_mm"].tolist() == quick.plan.pieces["length_mm"].tolist()
    assert found[-1].plan.pieces["length_mm"].tolist() == worked.plan.pieces["length_mm"].tolist()


def test_an_estimate_is_the_same_object_as_long_as_its_plan_is():
    # a room whose search takes many steps and finds something better in few of them
    room = Room("Back", ((0, 0), (3880, 28), (3880, 4099), (0, 4099)))
    catalogue = replace(CATALOGUE, boards={"Plank": replace(PLANK, length_mm=1380)})
    found = list(better_estimates(room, CHOICES, catalogue))
    assert len(found) > 10
    for before, after in pairwise(found):
        assert (before is after) == (before.plan is after.plan)
    assert any(before is after for before, after in pairwise(found))
