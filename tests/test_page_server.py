"""Pages without code: what is written for the server, and the words where it can't start."""

import importlib.util
import json

import pytest

from flooring_kit import page_server
from flooring_kit.lab_settings.settings import HOST
from flooring_kit.lab_settings.working_copy import OWN, LaunchError
from flooring_kit.launcher import command, main
from flooring_kit.page_server import TEMPLATES, Pages, start_pages

TEMPLATE = TEMPLATES / "voila" / "templates" / "flooring"


def test_without_voila_the_command_that_installs_it_is_told(monkeypatch, tmp_path, capsys):
    found = importlib.util.find_spec
    monkeypatch.setattr(
        page_server.importlib.util, "find_spec", lambda name, *more: None if name == "voila" else found(name, *more)
    )
    with pytest.raises(LaunchError, match=r"Pages without code need voila, .* -m pip install -e '\.\[pages\]'$"):
        start_pages(tmp_path, port=1)
    assert main(["--pages", "--folder", str(tmp_path / "work")]) == 1
    assert "Pages without code need voila" in capsys.readouterr().err
    assert not (tmp_path / "work").exists()  # told before anything is copied


def test_the_page_of_a_notebook_has_its_token_and_no_folder_twice(tmp_path):
    served = Pages(tmp_path, 8123, "secret", None, tmp_path / "pages.log")
    address = f"http://{HOST}:8123/voila/render/1_plan_a_room.ipynb?token=secret"
    assert served.url("notebooks/1_plan_a_room.ipynb") == served.url("1_plan_a_room.ipynb") == address


def test_the_token_stands_in_a_file_of_the_user_s_and_kernels_are_ended_when_idle(tmp_path):
    page_server._write_config(tmp_path / OWN, "secret", 600)
    config = json.loads((tmp_path / OWN / "config" / "voila.json").read_text())
    assert config["Voila"] == {"ip": HOST, "open_browser": False, "token": "secret", "port_retries": 0}
    assert config["MappingKernelManager"] == {"cull_interval": 150, "cull_idle_timeout": 600}
    assert config["VoilaConfiguration"]["template"] == "flooring"


def test_the_template_fetches_nothing_from_outside():
    assert json.loads((TEMPLATE / "conf.json").read_text()) == {"base_template": "lab"}
    page = (TEMPLATE / "index.html.j2").read_text(encoding="utf-8")
    for outside in ("http:", "https:", "//cdn", "@import"):
        assert outside not in page


def test_the_command_offers_pages():
    assert command().parse_args(["--pages"]).pages
    assert not command().parse_args([]).pages
