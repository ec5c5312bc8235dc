"""The invented quotes of `data/quotes`: each is read, and what was put wrong in it is found, and nothing else."""

from __future__ import annotations

import csv
from dataclasses import replace
from datetime import date

import pytest
from floors import demo_room

import flooring_kit as fk

LOOKED_AT = date(2026, 11, 25)
PATHS = sorted(fk.demo_path("quotes").glob("*_fitter_*.csv"))

FOUND_BY = {
    "line arithmetic": "is charged at",
    "metres priced as lengths": "looks like metres priced as lengths",
    "area counted twice": "an area may be added twice",
    "no bars": "No line for bars",
    "no word on the fire door": "it is a fire door",
    "underlay lets too little heat through": "for heated floors (EN 1264)",
    "square metres priced as packs": "looks like m² priced as packs",
    "packs counted as square metres": "looks like packs priced as m²",
    "tax twice: on the materials": "tax is added to their sum besides",
    "tax twice: the total": "Tax seems to be added twice",
    "no tax line": "The quote names no tax",
    "lump sum": "The quote is one sum",
    "no last day": "No last day can be counted",
    "MDF trim": "MDF",
    "out of validity": "The quote held until",
}
"""Words of the finding that a fault, by the beginning of its words in `faults.csv`, must bring about."""


def faults() -> dict[str, list[str]]:
    listed: dict[str, list[str]] = {}
    with fk.demo_path("quotes", "faults.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            listed.setdefault(row["quote"], []).append(row["fault"])
    return listed


@pytest.fixture(scope="module")
def catalogue():
    return fk.read_catalogue(fk.demo_path())


@pytest.fixture(scope="module")
def findings(catalogue):
    jobs = {}

    def found(path):
        name = path.stem.split("_fitter_")[0]
        if name not in jobs:
            room = demo_room(name)
            chosen = fk.Choices(  # the panel's own, whatever board a quote names
                fk.Materials("Oak plank 1380 x 193", "Foam sheet 3 mm", "White scotia 18 mm"),
                fk.Laying(direction=room.boards_run),
                work=fk.Work(hourly_rate=30.0),
            )
            done = fk.estimate(room, chosen, catalogue, quick=True)
            jobs[name] = done, fk.whole_price(done, catalogue)
        return fk.check_quote(fk.read_quote(path), *jobs[name], today=LOOKED_AT, catalogue=catalogue)

    return found


def test_every_quote_has_its_faults_listed_and_one_is_clean():
    assert {path.stem for path in PATHS} == set(faults())
    assert len(PATHS) >= 8
    assert [name for name, listed in faults().items() if listed == ["none"]] == ["box_room_fitter_a"]


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
def test_what_was_put_wrong_in_a_quote_is_found_and_nothing_else(path, findings):
    found = [finding.sentence() for finding in findings(path)]
    explained = set()
    for fault in faults()[path.stem]:
        if fault == "none":
            continue
        kind = next(kind for kind in FOUND_BY if fault.startswith(kind))
        if kind == "MDF trim":  # only where the survey says the room gets wet, which this one does not
            assert not any("MDF" in sentence for sentence in found)
            continue
        hits = {sentence for sentence in found if FOUND_BY[kind] in sentence}
        assert hits, f"{fault!r} is not found in {found}"
        explained |= hits
    assert set(found) - explained == set()


def test_mdf_is_asked_about_where_the_survey_says_the_floor_gets_wet(catalogue):
    room = replace(demo_room("kitchen_diner"), wet=True)
    chosen = fk.Choices(
        fk.Materials("Ash plank 1850 x 240", "Foam sheet 3 mm", None), fk.Laying(direction=room.boards_run)
    )
    done = fk.estimate(room, chosen, catalogue, quick=True)
    quote = fk.read_quote(fk.demo_path("quotes", "kitchen_diner_fitter_l.csv"))
    found = fk.check_quote(quote, done, fk.whole_price(done, catalogue), catalogue=catalogue)
    assert any("swell" in finding.says for finding in found)
