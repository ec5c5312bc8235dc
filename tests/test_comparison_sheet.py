"""Options side by side and weighed, as tables: every cell and sentence from figures known by hand."""

import re

import pandas as pd
import pytest
from test_answer_sheet import CATALOGUE, CHOICES, STORE, Reader

from flooring_kit.answers import estimate
from flooring_kit.comparison import comparison_table
from flooring_kit.comparison_sheet import (
    SEEN_THROUGH,
    TABLE_HEADS,
    comparison_html,
    option_words,
    weighing_html,
    weighing_sentence,
)

NAN = float("nan")
OPTIONS = pd.DataFrame(
    {
        "board": ["Plank", "Short"],
        "underlay": ["Foam", "Fibre"],
        "trim": ["", ""],
        "direction": ["long", 90.0],
        "boards": [9, 13],
        "packs": [2, 2],
        "boards_over": [5, 7],
        "underlay_packs": [3, 1],
        "trim_lengths": [NAN, NAN],
        "waste_fraction": [0.0131, 0.1],
        "joints": [8, 12],
        "narrowest_strip_mm": [193.0, 61.4],
        "height_mm": [10.5, 17.0],
        "resistance_m2k_w": [0.1018, 0.1381],
        "tog": [1.018, 1.381],
        "heat_lost_kwh": [512.3, 498.0],
        "heat_given_w_m2": [NAN, NAN],
        "price": [1234.5, 114.0],
    }
)


@pytest.fixture(scope="module")
def worked():
    return estimate(STORE, CHOICES, CATALOGUE)


def test_a_comparison_is_a_table_with_the_best_of_each_column_in_words():
    html = comparison_html(OPTIONS, currency="£")
    read = Reader(html)
    hidden = ("heat_given_w_m2", "trim", "trim_lengths")  # no figure, or alike
    assert read.texts == [
        *[head for column, head in TABLE_HEADS.items() if column not in hidden],
        *["Plank", "Foam", "along the long side", "£1,234.50", "2", "9", "fewest", "5", "fewest", "3"],
        *["1.3%", "least", "8", "fewest", "193", "widest", "10.5", "lowest", "1.02", "about 512"],
        *["Short", "Fibre", "at 90°", "£114.00", "lowest", "2", "13", "7", "1", "fewest"],
        *["10.0%", "12", "61", "17", "1.38", "about 498", "least"],
    ]
    assert "tabindex='0' role='region' aria-label='Options side by side'" in html


def test_a_note_stands_under_the_table():
    assert Reader(comparison_html(OPTIONS, currency="£", note="One is missing.")).texts[-1] == "One is missing."


def test_what_is_not_known_is_shown_as_unknown_and_is_never_the_best():
    table = OPTIONS.assign(price=[NAN, 300.0], tog=NAN)
    texts = Reader(comparison_html(table, currency="£")).texts
    assert not any(re.search("nan", text, re.IGNORECASE) for text in texts)
    assert texts.count("unknown") == 3
    assert "£300.00", "lowest" in texts


def test_a_comparison_of_nothing_is_its_head_alone():
    left_out = ("trim", "direction", "trim_lengths", "heat_lost_kwh", "heat_given_w_m2")
    heads = [title for column, title in TABLE_HEADS.items() if column not in left_out]
    assert Reader(comparison_html(comparison_table([]), currency="£")).texts == heads


def test_names_are_shown_and_never_run_as_html():
    evil = "<b>Oak & \"ash\"</b><script>alert('x')</script>"
    table = OPTIONS.assign(board=[evil, "Short"])
    for html in (comparison_html(table, currency="<i>"), weighing_html(table, {"price": 1})):
        read = Reader(html)
        assert not {"script", "b", "i"} & set(read.tags)
        assert any(evil in text for text in read.texts)


def test_an_option_is_called_by_what_differs():
    assert option_words(OPTIONS.loc[1], ["board", "direction"]) == "Short, at 90°"
    assert option_words(OPTIONS.assign(trim=["", "Bead"]).loc[0], ["trim"]) == "no trim"
    assert option_words(OPTIONS.loc[0], []) == "Plank"


def test_a_weighing_shows_weight_times_mark_at_every_point():
    # price counts 3 and is best for Short, joints count 1 and are best for Plank: 3 of 4 against 1 of 4
    read = Reader(weighing_html(OPTIONS, {"price": 3, "joints": 1, "heat given": 2}))
    assert read.texts[-12:] == [
        *["option", "price", "joints", "in all"],
        *["Short, Fibre, at 90°", "3 × 1.00 = 3.00", "1 × 0.00 = 0.00", "3.00 of 4"],
        *["Plank, Foam, along the long side", "3 × 0.00 = 0.00", "1 × 1.00 = 1.00", "1.00 of 4"],
    ]
    assert read.texts[:3] == [
        "By these weights Short, Fibre, at 90° comes first, 75% of what can be got against 25% for the next.",
        SEEN_THROUGH,
        "heat given: no figure for any option, so its weight is left out.",
    ]


def test_a_figure_that_one_option_lacks_is_told():
    texts = Reader(weighing_html(OPTIONS.assign(price=[NAN, 300.0]), {"price": 1})).texts
    assert "price: 1 option without a figure gets nothing there." in texts


@pytest.mark.parametrize(
    ("table", "weights", "told"),
    [
        (OPTIONS, {"heat given": 1}, "None of the points that have a weight applies to these options."),
        (OPTIONS.assign(joints=8), {"joints": 1}, "These weights do not tell the options apart."),
        (
            # price 1000 of 1001 against joints 1 of 1001, told apart to a tenth where whole percents are alike
            OPTIONS.assign(price=[100.0, 100.2], joints=8, height_mm=[10.5, 10.5])[:2],
            {"price": 0.001, "joints": 5},
            "By these weights Plank, Foam, along the long side comes first, 100.0% of what can be got against 100.0% "
            "for the next.",
        ),
        (
            OPTIONS[:1],
            {"joints": 1},
            "By these weights Plank comes first: there is nothing beside it.",
        ),
        (
            pd.concat([OPTIONS, OPTIONS[:1].assign(board="Third")], ignore_index=True),
            {"joints": 1},
            "By these weights Plank, Foam, along the long side and Third, Foam, along the long side come first, 100% "
            "of what can be got against 0% for the next.",
        ),
    ],
)
def test_a_weighing_in_a_sentence(table, weights, told):
    assert weighing_sentence(table, weights) == told
