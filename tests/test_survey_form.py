"""The blank form for measuring a room: its fields are the survey file's keys, and it prints on A4."""

from __future__ import annotations

import functools

import pytest
from poppler import fonts, page_sizes_mm, pages, squeezed

import flooring_kit as fk
from flooring_kit.files.survey_shape import KEYS, TABLE_KEYS
from flooring_kit.lengths import UNITS
from flooring_kit.room import (
    EDGE_KINDS,
    FLOORS_BELOW,
    FLOORS_BEYOND,
    OBSTACLE_KINDS,
    PIPE_KINDS,
    SUBFLOORS,
    SWINGS,
)


@functools.cache
def form() -> str:
    return "\n".join(pages(fk.survey_form_pdf()))


@pytest.mark.parametrize("key", sorted({key for keys in KEYS.values() for key in keys}))
def test_every_key_of_a_survey_stands_on_the_form(key):
    assert f"({key})" in squeezed(form())


@pytest.mark.parametrize("table", TABLE_KEYS)
def test_every_key_of_a_table_stands_on_the_page_of_that_table(table):
    page = next(squeezed(page) for page in pages(fk.survey_form_pdf()) if f"({table})" in squeezed(page))
    for key in KEYS[table]:
        assert f"({key})" in page


def test_no_field_stands_on_the_form_that_a_survey_does_not_have():
    import re

    allowed = {key for keys in KEYS.values() for key in keys} | set(TABLE_KEYS)
    assert set(re.findall(r"\(([a-z_]+)\)", squeezed(form()))) == allowed


@pytest.mark.parametrize(
    "words", [UNITS, SUBFLOORS, FLOORS_BELOW, FLOORS_BEYOND, SWINGS, EDGE_KINDS, OBSTACLE_KINDS, PIPE_KINDS]
)
def test_every_word_a_survey_takes_stands_on_the_form(words):
    for word in words:
        assert squeezed(word) in squeezed(form())


def test_the_form_is_a4_with_its_fonts_and_numbered_pages():
    for wide, tall in page_sizes_mm(fk.survey_form_pdf()):
        assert (wide, tall) == pytest.approx((210, 297), abs=0.01)
    assert {embedded for _, embedded in fonts(fk.survey_form_pdf())} == {"yes"}
    texts = pages(fk.survey_form_pdf())
    for number, text in enumerate(texts, start=1):
        assert f"page {number} of {len(texts)}" in text
        assert "Local codes and licensed practice decide." in " ".join(text.split())


def test_each_part_of_the_form_is_one_page():
    heads = [page.splitlines()[0] for page in pages(fk.survey_form_pdf(), layout=True)]
    titles = ["the room", "walls", "doorways", "what stands in the room", "the subfloor"]
    assert [head.split("Survey, ")[1] for head in heads] == titles
