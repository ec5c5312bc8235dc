"""What tells one job from another, and what does not."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass, replace
from typing import Any

import pytest
from days import BOARD, RULES, small
from floors import rectangle

import flooring_kit as fk
from flooring_kit import as_laid


def test_the_fingerprint_tells_rows_apart_and_not_joints():
    other = fk.set_out(rectangle(2020, 420), BOARD, rules=RULES, first_row=fk.FirstRow(width_mm=200.0))
    assert as_laid.job_fingerprint(small()) == as_laid.job_fingerprint(other)
    wider = fk.set_out(rectangle(2020, 421), BOARD, rules=RULES, first_row=fk.FirstRow(width_mm=200.0))
    assert as_laid.job_fingerprint(small()) != as_laid.job_fingerprint(wider)


FULL_ROOM = fk.Room(
    "hall",
    ((0, 0), (4020, 0), (4020, 2020), (0, 2020)),
    obstacles=(fk.Obstacle("hearth", ((1500, 1700), (2500, 1700), (2500, 2020), (1500, 2020)), "hearth"),),
    pipes=(fk.Pipe((3900, 100), 15),),
    doors=(fk.Door(1, 500, 800, 50),),
    edges=(fk.Edge(4, bow=((1000, 5),)),),
)
FULL_BOARD = fk.Board("plank", 1380, 193, 8, 8)
FULL_RULES = fk.LayingRules(10, 300, 300, 50, 3, 10, 10)


def fingerprint(**changed: Any) -> str:
    given: dict[str, Any] = {"room": FULL_ROOM, "board": FULL_BOARD, "rules": FULL_RULES, **changed}
    first_row = fk.FirstRow(width_mm=193)
    quick = fk.Search(quick=True)
    return as_laid.job_fingerprint(fk.set_out(**{"first_row": first_row, "search": quick, **given}))


def test_figures_typed_as_whole_numbers_or_not_are_one_job():
    room = fk.Room(
        "hall",
        tuple((float(x), float(y)) for x, y in FULL_ROOM.outline),
        obstacles=(
            replace(
                FULL_ROOM.obstacles[0], outline=tuple((float(x), float(y)) for x, y in FULL_ROOM.obstacles[0].outline)
            ),
        ),
        pipes=(fk.Pipe((3900.0, 100.0), 15.0),),
        doors=(fk.Door(1, 500.0, 800.0, 50.0),),
        edges=(fk.Edge(4, bow=((1000.0, 5.0),)),),
    )
    rules = fk.LayingRules(10.0, 300.0, 300.0, 50.0, 3.0, 10.0, 10.0)
    same = fingerprint(
        room=room, board=fk.Board("plank", 1380.0, 193.0, 8.0, 8), rules=rules, first_row=fk.FirstRow(width_mm=193.0)
    )
    assert same == fingerprint()
    assert re.fullmatch("2-[0-9a-f]{16}", same)


def test_a_rule_that_a_later_version_knows_makes_no_old_log_foreign():
    @dataclass(frozen=True)
    class LaterRules(fk.LayingRules):
        dust_mm: float = 0.0

    assert fingerprint(rules=LaterRules(10, 300, 300, 50, 3, 10, 10)) == fingerprint()


def test_the_fingerprint_is_that_of_its_text_written_by_hand():
    # What the second version counts, keys in order of the alphabet: logs begun with it hold this for good.
    told = (
        '{"board":{"hand":"right","length_t":15000,"width_t":2000},"direction_thousandths":0,"first_rows_t":[2000],'
        '"room":{"doors":[],"edges":[],"obstacles_t":[],"outline_t":[[0,0],[20200,0],[20200,4200],[0,4200]],'
        '"pipes_t":[]},"rules":{"gap_t":100,"joint_offset_t":3000,"kerf_t":30,"offcut_margin_t":100,'
        '"shortest_piece_t":3000,"under_frame_t":100},"start":"first"}'
    )
    assert as_laid.job_fingerprint(small()) == f"2-{hashlib.sha256(told.encode()).hexdigest()[:16]}"


@pytest.mark.parametrize(
    "changed",
    [
        {"room": replace(FULL_ROOM, name="landing", heated=True, main_light=2, notes=("measured twice",))},
        {"room": replace(FULL_ROOM, edges=(*FULL_ROOM.edges, fk.Edge(2, "plinth")))},
        {"room": replace(FULL_ROOM, doors=(replace(FULL_ROOM.doors[0], name="to the garden", architrave_mm=60),))},
        {"board": replace(FULL_BOARD, name="plank, oak", pack_price=31.5, thickness_mm=9)},
        {"rules": replace(FULL_RULES, most_offcuts_waiting=4)},
    ],
)
def test_what_the_plan_does_not_rest_on_makes_no_other_job(changed):
    assert fingerprint(**changed) == fingerprint()


@pytest.mark.parametrize(
    "changed",
    [
        {"room": replace(FULL_ROOM, outline=((0, 0), (4020, 0), (4020, 2020.1), (0, 2020.1)))},
        {"room": replace(FULL_ROOM, obstacles=())},
        {"room": replace(FULL_ROOM, pipes=(fk.Pipe((3900, 100), 22),))},
        {"room": replace(FULL_ROOM, doors=(fk.Door(1, 500, 800, 50, undercut=False),))},
        {"room": replace(FULL_ROOM, edges=(fk.Edge(4, bow=((1000, 6),)),))},
        {"board": replace(FULL_BOARD, length_mm=1380.1)},
        {"board": replace(FULL_BOARD, hand="left")},
        {"rules": replace(FULL_RULES, gap_mm=10.1)},
        {"rules": replace(FULL_RULES, joint_offset_mm=310)},
        {"rules": replace(FULL_RULES, shortest_piece_mm=310)},
        {"rules": replace(FULL_RULES, kerf_mm=2.5)},
        {"rules": replace(FULL_RULES, offcut_margin_mm=12)},
        {"rules": replace(FULL_RULES, under_frame_mm=11)},
        {"direction": "short"},
        {"first_row": fk.FirstRow(width_mm=150)},
        {"first_row": fk.FirstRow("opposite", 193)},
    ],
)
def test_everything_the_plan_rests_on_tells_jobs_apart(changed):
    assert fingerprint(**changed) != fingerprint()
