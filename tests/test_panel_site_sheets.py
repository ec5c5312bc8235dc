"""The panel for paper: a button saves what the plain call gives, trouble is told, and it is got over."""

from __future__ import annotations

import html
from dataclasses import replace

import flooring_kit as fk
from flooring_kit.panels import SitePanel, site_panel
from flooring_kit.site_sheets import SITE_SHEETS

ROOMS = {room.name: room for room in map(fk.read_room, sorted(fk.demo_path("rooms").glob("*.toml")))}
SHOP = fk.read_catalogue(fk.demo_path())
CHOICES = fk.Choices(fk.Materials("Oak plank 1380 x 193", "Foam sheet 3 mm", "White scotia 18 mm"))


def estimate_of(room: str, **materials: str) -> fk.Estimate:
    surveyed = ROOMS[room]
    laying = replace(CHOICES.laying, direction=surveyed.boards_run)
    chosen = replace(CHOICES, laying=laying, materials=replace(CHOICES.materials, **materials))
    return fk.estimate(surveyed, chosen, SHOP)


def tick(panel: SitePanel, *names: str) -> None:
    for name in SITE_SHEETS:
        panel.ticks[name].control.value = name in names


def test_the_button_saves_the_sheets_ticked_and_tells_the_path(tmp_path):
    panel = site_panel(ROOMS, SHOP, CHOICES, room="Hall", folder=tmp_path)
    tick(panel, "plan", "cut list")
    panel.save.click()
    path = tmp_path / "site sheets, Hall.pdf"
    assert html.escape(str(path.resolve())) in panel.told.value
    assert path.read_bytes() == fk.site_pack_pdf(estimate_of("Hall"), SHOP, sheets=["plan", "cut list"])


def test_another_room_and_underlay_give_another_file_and_its_sheets(tmp_path):
    panel = site_panel(ROOMS, SHOP, CHOICES, room="Hall", folder=tmp_path)
    tick(panel, "underlay", "order list")
    panel.fields["room"].control.value = "Box room"
    panel.fields["underlay"].control.value = "Cork roll 3 mm"
    panel.fields["prices"].control.value = False
    panel.save.click()
    wanted = fk.site_pack_pdf(
        estimate_of("Box room", underlay="Cork roll 3 mm"), SHOP, sheets=["underlay", "order list"], priced=False
    )
    assert [each.name for each in tmp_path.iterdir()] == ["site sheets, Box room.pdf"]
    assert (tmp_path / "site sheets, Box room.pdf").read_bytes() == wanted


def test_no_sheet_ticked_is_complained_of_and_a_tick_gets_over_it(tmp_path):
    panel = site_panel(ROOMS, SHOP, CHOICES, room="Hall", folder=tmp_path)
    tick(panel)
    panel.save.click()
    assert "Sheets: tick at least one." in panel.alert.value
    assert panel.told.value == ""
    assert list(tmp_path.iterdir()) == []
    tick(panel, "front page")
    panel.save.click()
    assert panel.alert.value == ""
    assert "site sheets, Hall.pdf" in panel.told.value


def test_a_folder_that_is_not_there_is_complained_of(tmp_path):
    panel = site_panel(ROOMS, SHOP, CHOICES, room="Hall", folder=tmp_path / "none")
    panel.save_form.click()
    assert "blank survey.pdf: the PDF was not saved: there is no folder" in html.unescape(panel.alert.value)
    assert panel.told.value == ""
    tick(panel, "order list")
    panel.save.click()
    assert "site sheets, Hall.pdf: the PDF was not saved: there is no folder" in html.unescape(panel.alert.value)
    assert panel.told.value == ""


def test_the_other_button_saves_the_blank_form(tmp_path):
    panel = site_panel(ROOMS, SHOP, CHOICES, folder=tmp_path)
    panel.save_form.click()
    assert (tmp_path / "blank survey.pdf").read_bytes() == fk.survey_form_pdf()


def test_pdfs_go_among_the_users_own_files_where_no_folder_is_given(tmp_path, monkeypatch):
    monkeypatch.setenv("FLOORING_KIT_WORK", str(tmp_path))
    panel = site_panel(ROOMS, SHOP, CHOICES)
    panel.save_form.click()
    assert [each.name for each in (tmp_path / "own").iterdir()] == ["blank survey.pdf"]
