"""Movement and readiness in words: hand sums on the figures of the standards, verdicts that never say safe."""

from __future__ import annotations

import html
import re
from datetime import date

import pytest
from floors import demo_boards, rectangle

import flooring_kit as fk
from flooring_kit.air_sheet import (
    NO_FIGURE,
    drying_sentence,
    movement_sentences,
    readiness_html,
    site_readiness,
)
from flooring_kit.moisture import Reading, SiteRecord
from flooring_kit.movement import LAMINATE_BASIS

LAMINATE = fk.Board("Plank", 1380, 193, 8, 8)
DAY = date(2026, 11, 25)


def plan_of(room, board=LAMINATE, **more):
    return fk.set_out(room, board, search=fk.Search(quick=True), **more)


def test_laminate_is_told_by_its_standard_both_ways_and_what_gap_that_asks_for():
    # 0.9 mm on 180 mm between 30 and 90 %: 5 mm a metre over 60 points; 15 points make 1.25 mm a metre.
    # 8 m: half of 8 x 1.25 is 5, and 2 kept open: 7; in the driest weeks 5 more: 12. 4 m: 2.5 + 2 = 4.5, and 7.
    told = movement_sentences(plan_of(rectangle(8020, 4020)), fk.Air(50, 35, 65))
    assert told == [
        "Laid at 50 % humidity, laminate at the limit of its standard swells 1.25 mm a metre by 65 % and shrinks 1.25 "
        "mm by 35 %.",
        "8.00 m along the boards ask for 7.0 mm at each end today, to keep 2 open: the planned gap does. In the driest "
        "weeks it opens to 12.0 mm.",
        "4.00 m across the boards ask for 4.5 mm at each end today, to keep 2 open: the planned gap does. In the "
        "driest weeks it opens to 7.0 mm.",
        # (10 - 2) x 2 / 1.25 = 12.8 m
        "A gap of 10 mm allows 12.8 m of such a floor; its leaflet may allow less.",
        LAMINATE_BASIS,
    ]


def test_a_gap_too_small_for_the_laying_day_is_told():
    told = movement_sentences(plan_of(rectangle(8020, 4020), rules=fk.LayingRules(gap_mm=6)), fk.Air(50, 35, 65))
    assert ": the planned 6 mm are too few." in told[1]


def test_a_floor_laid_in_the_dampest_air_only_shrinks():
    told = movement_sentences(plan_of(rectangle(8020, 4020)), fk.Air(65, 35, 65))
    assert "swells 0.00 mm a metre" in told[0]
    assert not any("allows" in each for each in told)


def test_boards_without_a_published_figure_say_so():
    boards = demo_boards()
    vinyl = movement_sentences(plan_of(rectangle(4000, 3000), boards["Stone-grey vinyl plank 1220 x 180"]), fk.Air())
    assert vinyl == [NO_FIGURE["vinyl"]]
    wood = movement_sentences(plan_of(rectangle(4000, 3000), boards["Engineered oak plank 1900 x 190"]), fk.Air())
    assert wood[0] == NO_FIGURE["engineered"]
    # Wood Handbook's equation at 20 °C: 35 %: 6.963, 50 %: 9.271, 65 %: 11.996
    assert wood[1].startswith(
        "Wood in air of 20 °C holds 7.0 % at 35 % humidity, 9.3 % at today's 50 % and 12.0 % at 65 % (Wood Handbook)."
    )


def test_a_screed_of_75_mm_takes_100_days_by_the_rule():
    # 50 mm at a day each, 25 at two days each (text of BS 8203 and BS 8204; a trade page prints 75 to 100)
    assert drying_sentence(date(2026, 1, 1), 75) == (
        "A cement screed of 75 mm laid on 2026-01-01 takes about 100 days, to 2026-04-11, in a warm aired room: a plan"
        ", not a reading."
    )


def test_an_empty_record_is_not_yet_known_and_lists_what_is_missing():
    room = rectangle(4000, 3000, subfloor="screed")
    answer = site_readiness(room, "laminate", fk.Air(), SiteRecord(), laying_on=DAY)
    assert answer.overall == "not yet known"
    assert answer.sentence() == (
        "Not yet known for 2026-11-25. Missing: subfloor humidity, floor temperature, air temperature, air humidity, "
        "boards in the room."
    )


def test_the_limit_is_that_of_the_text_and_the_screed_chosen():
    # BS 8201:2011 lowered 75 % to 65 % for wood floors; DIN 18560-1 (2015): 0.5 CM-% for calcium sulphate
    room = rectangle(4000, 3000, subfloor="screed")
    damp = SiteRecord((Reading("subfloor humidity", 70, DAY),))
    general, wood = (
        site_readiness(room, "laminate", fk.Air(edition=edition), damp, laying_on=DAY).findings[0].status
        for edition in ("BS 8203 and BS 8204", "BS 8201:2011")
    )
    assert (general, wood) == ("met", "not met")
    air = fk.Air(screed="calcium sulphate screed", edition="DIN 18560-1:2015")
    record = SiteRecord((Reading("subfloor CM", 0.6, DAY),))
    assert site_readiness(room, "laminate", air, record, laying_on=DAY).findings[0].status == "not met"


def test_a_timber_floor_and_a_heated_one_have_readings_of_their_own():
    timber = site_readiness(rectangle(4000, 3000, subfloor="timber"), "laminate", fk.Air(), SiteRecord(), laying_on=DAY)
    assert timber.findings[0].item == "timber subfloor moisture"
    heated = rectangle(4000, 3000, subfloor="screed", heated=True)
    items = [each.item for each in site_readiness(heated, "laminate", fk.Air(), SiteRecord(), laying_on=DAY).findings]
    assert items[-1] == "heating run"


def test_the_record_is_shown_item_by_item_and_never_says_safe():
    room = rectangle(4000, 3000, subfloor="screed")
    answer = site_readiness(room, "laminate", fk.Air(), SiteRecord(), laying_on=DAY)
    page = readiness_html(answer)
    rows = re.findall(r"<tr>(.*?)</tr>", page)
    items = [html.unescape(re.findall(r"<td[^>]*>(.*?)</td>", row)[0]) for row in rows[1:]]
    assert items == [finding.item for finding in answer.findings]
    assert not re.search(r"\bsafe\b", page)


@pytest.mark.parametrize(
    ("air", "message"),
    [
        ({"today_percent": 0.5}, "humidity today must be 30 to 90 %, got 0.5 %. Write 50 % as 50."),
        ({"driest_percent": 20}, "driest humidity must be 30 to 90 %, got 20 %. Write 50 % as 50."),
        ({"dampest_percent": 95}, "dampest humidity must be 30 to 90 %, got 95 %. Write 50 % as 50."),
        ({"room_c": 40}, "air in the room must be 5 to 30 °C, got 40 °C."),
        ({"screed": "sand"}, "screed must be one of cement screed, calcium sulphate screed, got 'sand'."),
    ],
)
def test_air_outside_its_range_is_refused(air, message):
    with pytest.raises(ValueError) as refused:
        fk.Air(**air)
    assert str(refused.value) == message
