"""The findings of a quote as a sheet: every finding with its question, nothing of a quote taken for markup."""

from __future__ import annotations

import html
import re
from decimal import Decimal

import pandas as pd

from flooring_kit.findings import Finding
from flooring_kit.quote_sheet import FAIR_WORDS, NONE_FOUND, quote_html, quote_sentences, side_by_side_html
from flooring_kit.quoted import Quote, QuoteLine

LINE = QuoteLine("Oak plank", Decimal(4), "pack", Decimal("41.20"), Decimal("184.80"), 2)
QUOTE = Quote("Fitter B", (LINE, LINE), total=Decimal("1221.76"), currency="£", valid_until="2031-09-30")
WRONG = Finding("ask first", 2, "4 at 41.20 is charged at 184.80.", "164.80", "It is a product.", "which is right?")
BARS = Finding("worth asking", None, "No line for bars.", "", "There are doorways.", "which bars are included?")


def words_of(page):
    return html.unescape(re.sub(r"<[^>]+>", " ", page))


def test_a_clean_quote_says_so_and_what_that_does_not_say():
    assert quote_sentences(QUOTE, []) == ["2 lines, £1,221.76 to pay, valid until 2031-09-30.", NONE_FOUND]
    assert "<ol" not in quote_html(QUOTE, [])


def test_findings_are_counted_by_weight_and_by_row():
    told = quote_sentences(QUOTE, [WRONG, BARS])
    assert told[1:] == ["2 findings about row 2 (ask first: 1, worth asking: 1).", FAIR_WORDS]
    assert quote_sentences(QUOTE, [BARS])[1] == "1 finding (worth asking: 1)."


def test_every_finding_stands_on_the_sheet_with_its_figure_reason_and_question():
    words = words_of(quote_html(QUOTE, [WRONG, BARS]))
    for finding in (WRONG, BARS):
        for said in (finding.weight.capitalize(), finding.says, finding.expected, finding.reason, finding.question):
            assert said in words


def test_a_finding_reads_from_what_was_found_to_the_question_and_names_its_row():
    words = re.sub(r"\s+", " ", words_of(quote_html(QUOTE, [WRONG, BARS])))
    assert (
        "Ask first, row 2. 4 at 41.20 is charged at 184.80. Expected: 164.80 Why: It is a product. "
        "Ask: which is right?" in words
    )
    assert "Worth asking. No line for bars. Why: There are doorways. Ask: which bars are included?" in words


def test_what_could_not_be_read_and_what_is_left_out_stand_on_the_sheet():
    quote = Quote(
        "Fitter C", (LINE,), excludes=("decoration", "moving furniture"), notes=("row 7: 'tba' is no figure.",)
    )
    words = words_of(quote_html(quote, []))
    assert "It leaves out, in its own words: decoration; moving furniture." in words
    assert "row 7: 'tba' is no figure." in words
    assert "1 line; no day it is valid until." in words


def test_a_quote_cannot_put_markup_on_the_sheet():
    nasty = "<script>alert(1)</script>"
    quote = Quote(nasty, (LINE,), excludes=(nasty,), notes=(nasty,), valid_until=nasty)
    finding = Finding("ask first", 2, nasty, nasty, nasty, nasty)
    assert "<script" not in quote_html(quote, [finding], pd.DataFrame({nasty: [1.0]}, index=[nasty]))


def test_side_by_side_tells_money_and_what_a_quote_has_no_line_for():
    table = pd.DataFrame({"Fitter B": [1234.5, 0.0, 1234.5], "the kit": [1200.0, 30.0, 1230.0]})
    table.index = pd.Index(["boards", "bars", "in all"])
    words = re.sub(r"\s+", " ", words_of(side_by_side_html(table, {"Fitter B": "€", "the kit": "£"})))
    assert "what for Fitter B the kit boards €1,234.50 £1,200.00 bars none £30.00 in all €1,234.50 £1,230.00" in words
