"""The launcher: the working copy, JupyterLab's settings, what is said, and the whole of it in a browser."""

from __future__ import annotations

import importlib.util
import json
import os
import re
import shutil
import signal
import socket
import stat
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING, Any

import pytest
from lab_server import (
    NO_BROWSER,
    NoBrowserError,
    cell_count,
    dialogs,
    drag,
    error_outputs,
    find_browser,
    open_notebook,
    outside_requests,
    press,
    run_all,
    slider,
    wait_for_text,
    write_notebook,
)

from flooring_kit import launcher
from flooring_kit.__main__ import main
from flooring_kit.lab_settings import settings, working_copy
from flooring_kit.lab_settings.working_copy import LaunchError, make_working_copy, notebook_path

if TYPE_CHECKING:
    from playwright.sync_api import Page

FIRST = "notebooks/1_plan_a_room.ipynb"
SECOND = "notebooks/2_price_it.ipynb"
BOARDS = "data/boards.csv"
ROOM = "data/rooms/box_room.toml"
NOW = datetime(2026, 3, 4, 5, 6, 7)


@pytest.fixture
def kit(tmp_path: Path) -> Path:
    """A small project of two notebooks and two data files, with litter that must not be copied."""
    root = tmp_path / "kit"
    for name in (FIRST, SECOND, BOARDS, ROOM):
        put(root / name, f"shipped {name}")
    put(root / "notebooks/.ipynb_checkpoints/1_plan_a_room-checkpoint.ipynb", "litter")
    put(root / "data/__pycache__/x.pyc", "litter")
    put(root / "README.md", "not a notebook")
    return root


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "work"


def put(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def files(folder: Path) -> dict[str, str]:
    """Text of every file outside the dot folder, by its path from `folder`."""
    found = (path for path in folder.rglob("*") if path.is_file())
    names = {path.relative_to(folder).as_posix(): path for path in found}
    return {name: path.read_text(encoding="utf-8") for name, path in names.items() if name[0] != "."}


# --- the working copy -------------------------------------------------------------------------------------


def test_a_new_working_copy_has_the_shipped_notebooks_and_data_and_nothing_else(kit: Path, folder: Path) -> None:
    report = make_working_copy(kit, folder)
    assert files(folder) == {name: f"shipped {name}" for name in (FIRST, SECOND, BOARDS, ROOM)}
    assert report == working_copy.CopyReport(folder, added=(BOARDS, ROOM, FIRST, SECOND))
    assert report.lines() == [f"Working folder: {folder}", "  Put in: 4 files."]


def test_a_second_start_changes_nothing_and_says_only_where_the_folder_is(kit: Path, folder: Path) -> None:
    make_working_copy(kit, folder)
    before = files(folder)
    report = make_working_copy(kit, folder)
    assert report.lines() == [f"Working folder: {folder}"]
    assert files(folder) == before


@pytest.mark.parametrize(
    ("mine", "shipped", "expected", "heading"),
    [
        ("as shipped", "the same", "old", ""),
        ("as shipped", "newer", "new", "updated"),
        ("changed", "the same", "mine", "kept"),
        ("changed", "newer", "mine", "kept"),
        ("changed to the newer one", "newer", "new", ""),
        ("deleted", "the same", "old", "added"),
        ("deleted", "newer", "new", "added"),
    ],
)
def test_a_file_follows_the_kit_until_the_user_changes_it(
    kit: Path, folder: Path, mine: str, shipped: str, expected: str, heading: str
) -> None:
    put(kit / BOARDS, "old")
    make_working_copy(kit, folder)
    if shipped == "newer":
        put(kit / BOARDS, "new")
    if mine == "deleted":
        (folder / BOARDS).unlink()
    elif mine != "as shipped":
        put(folder / BOARDS, "new" if "newer" in mine else "mine")
    report = make_working_copy(kit, folder)
    assert files(folder)[BOARDS] == expected
    said = {"added": report.added, "updated": report.updated, "kept": report.kept}
    assert {name: list(found) for name, found in said.items() if found} == ({heading: [BOARDS]} if heading else {})


def test_a_kept_file_stays_kept_at_every_later_start(kit: Path, folder: Path) -> None:
    make_working_copy(kit, folder)
    put(folder / FIRST, "mine")
    for round_ in range(3):
        put(kit / FIRST, f"newer {round_}")
        assert make_working_copy(kit, folder).kept == (FIRST,)
    assert files(folder)[FIRST] == "mine"


@pytest.mark.parametrize("spoilt", [None, "", "{", "[1, 2]"])
def test_without_a_readable_record_every_file_that_differs_is_kept(kit: Path, folder: Path, spoilt: str | None) -> None:
    make_working_copy(kit, folder)
    record = folder / ".flooring-kit" / "shipped.json"
    record.unlink()
    if spoilt is not None:
        put(record, spoilt)
    put(kit / FIRST, "newer")
    assert make_working_copy(kit, folder).kept == (FIRST,)
    assert files(folder)[FIRST] == f"shipped {FIRST}"


def test_a_newly_shipped_file_is_added_and_the_users_own_files_are_left_alone(kit: Path, folder: Path) -> None:
    make_working_copy(kit, folder)
    put(folder / "notebooks/my_hall.ipynb", "mine")
    put(folder / "quotes.txt", "mine too")
    put(kit / "notebooks/3_new.ipynb", "shipped")
    assert make_working_copy(kit, folder).added == ("notebooks/3_new.ipynb",)
    assert files(folder)["notebooks/my_hall.ipynb"] == "mine"
    assert files(folder)["quotes.txt"] == "mine too"


def test_the_report_names_what_was_updated_and_what_was_kept(kit: Path, folder: Path) -> None:
    make_working_copy(kit, folder)
    put(folder / FIRST, "mine")
    put(kit / SECOND, "newer")
    put(kit / "data/trims.csv", "shipped")
    assert make_working_copy(kit, folder).lines() == [
        f"Working folder: {folder}",
        "  Put in: 1 file.",
        f"  Brought up to date, you had not changed them: {SECOND}.",
        f"  Kept as you left them, they differ from the kit's own: {FIRST}.",
        "  --fresh starts from the kit's own again; it puts yours aside and deletes nothing.",
    ]


def test_a_long_list_of_kept_files_names_eight_and_counts_the_rest() -> None:
    report = working_copy.CopyReport(Path("w"), kept=tuple("abcdefghij"))
    assert report.lines()[1] == (
        "  Kept as you left them, they differ from the kit's own: a, b, c, d, e, f, g, h and 2 more."
    )


def test_fresh_puts_the_old_notebooks_and_data_aside_and_copies_anew(kit: Path, folder: Path) -> None:
    make_working_copy(kit, folder)
    put(folder / FIRST, "mine")
    put(folder / "notebooks/my_hall.ipynb", "my own")
    put(folder / "quotes.txt", "elsewhere")
    report = make_working_copy(kit, folder, fresh=True, now=NOW)
    aside = "put-aside-2026-03-04-050607"
    after = files(folder)
    assert after[FIRST] == f"shipped {FIRST}"
    assert "notebooks/my_hall.ipynb" not in after
    assert after[f"{aside}/{FIRST}"] == "mine"
    assert after[f"{aside}/notebooks/my_hall.ipynb"] == "my own"
    assert after["quotes.txt"] == "elsewhere"
    assert report.lines() == [
        f"Working folder: {folder}",
        f"  The old notebooks and data are now in {folder / aside}",
        "  Put in: 4 files.",
    ]


def test_fresh_twice_in_one_second_puts_both_aside(kit: Path, folder: Path) -> None:
    make_working_copy(kit, folder)
    for text in ("one", "two"):
        put(folder / FIRST, text)
        make_working_copy(kit, folder, fresh=True, now=NOW)
    assert files(folder)[f"put-aside-2026-03-04-050607/{FIRST}"] == "one"
    assert files(folder)[f"put-aside-2026-03-04-050607-2/{FIRST}"] == "two"


def test_fresh_on_a_folder_that_is_not_there_is_a_first_copy(kit: Path, folder: Path) -> None:
    report = make_working_copy(kit, folder, fresh=True)
    assert report.put_aside is None
    assert len(report.added) == 4


def test_fresh_leaves_a_folder_alone_that_the_kit_did_not_make(kit: Path, folder: Path) -> None:
    put(folder / "data/family.txt", "not ours")
    with pytest.raises(LaunchError) as complaint:
        make_working_copy(kit, folder, fresh=True)
    assert str(complaint.value) == (
        f"{folder} has data that the kit did not put there, so --fresh leaves the folder alone. "
        "Choose another with --folder."
    )
    assert files(folder) == {"data/family.txt": "not ours"}


@pytest.mark.parametrize("inside", [".", "notebooks", "data/rooms/new"])
def test_a_working_folder_inside_the_kit_is_refused(kit: Path, inside: str) -> None:
    before = files(kit)
    with pytest.raises(LaunchError) as complaint:
        make_working_copy(kit, kit / inside)
    assert str(complaint.value) == (
        f"The working folder must not lie inside the kit itself, got {(kit / inside).resolve()}. "
        "Choose another with --folder."
    )
    assert files(kit) == before


def test_a_folder_that_cannot_be_written_is_named_with_the_reason(kit: Path, tmp_path: Path) -> None:
    put(tmp_path / "a_file", "")
    folder = tmp_path / "a_file" / "work"
    with pytest.raises(LaunchError) as complaint:
        make_working_copy(kit, folder)
    assert str(complaint.value) == (f"Cannot write in {folder}: Not a directory. Choose another folder with --folder.")


def test_a_copy_that_fails_half_way_names_the_file(kit: Path, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(source: Path, target: Path) -> None:
        raise OSError(28, "No space left on device", str(target))

    monkeypatch.setattr(shutil, "copyfile", full)
    with pytest.raises(LaunchError) as complaint:
        make_working_copy(kit, folder)
    assert str(complaint.value) == (
        f"Cannot write in {folder}: No space left on device ({folder / 'data' / '.boards.csv.part'}). "
        "Choose another folder with --folder."
    )


def test_a_package_without_its_notebooks_says_how_to_install_it(tmp_path: Path, folder: Path) -> None:
    with pytest.raises(LaunchError) as complaint:
        make_working_copy(tmp_path / "elsewhere", folder)
    assert str(complaint.value) == (
        f"There is no folder of notebooks in {tmp_path / 'elsewhere'}. The notebooks lie beside the package: "
        "install the kit from its checkout, in that folder, with: python -m pip install -e ."
    )
    assert not folder.exists()


@pytest.mark.skipif(os.name != "posix", reason="file modes are POSIX's")
def test_the_dot_folder_with_keys_and_token_is_the_users_alone(kit: Path, folder: Path) -> None:
    make_working_copy(kit, folder)
    assert stat.S_IMODE((folder / ".flooring-kit").stat().st_mode) == 0o700


@pytest.mark.parametrize(
    "asked", ["2_price_it", "2_price_it.ipynb", "notebooks/2_price_it.ipynb", "notebooks\\2_price_it.ipynb"]
)
def test_a_notebook_is_found_by_its_name_with_or_without_folder_and_ending(kit: Path, folder: Path, asked: str) -> None:
    make_working_copy(kit, folder)
    assert notebook_path(folder, asked) == SECOND


def test_the_notebook_opened_by_default_is_the_first(kit: Path, folder: Path) -> None:
    make_working_copy(kit, folder)
    assert notebook_path(folder) == FIRST


def test_an_unknown_notebook_is_refused_with_the_names_there_are(kit: Path, folder: Path) -> None:
    make_working_copy(kit, folder)
    with pytest.raises(LaunchError) as complaint:
        notebook_path(folder, "2_price_in")
    assert str(complaint.value) == (
        "notebook must be one of 1_plan_a_room, 2_price_it, got '2_price_in'. Did you mean '2_price_it'?"
    )


def test_a_folder_without_notebooks_is_said_to_have_none(tmp_path: Path) -> None:
    with pytest.raises(LaunchError) as complaint:
        notebook_path(tmp_path)
    assert str(complaint.value) == f"There is no notebook in {tmp_path / 'notebooks'}."


# --- settings ---------------------------------------------------------------------------------------------

IN_COMMAND_MODE = ".jp-Notebook.jp-mod-commandMode:not(.jp-mod-readWrite) :focus"


def test_a_shortcut_is_left_off_when_a_bare_key_fires_it_in_the_notebook_and_only_then(
    tmp_path: Path,
) -> None:
    left_off = [
        {"command": "delete", "keys": ["D", "D"], "selector": IN_COMMAND_MODE},
        {"command": "merge", "keys": ["Shift M"], "selector": IN_COMMAND_MODE},
        {"command": "restart", "keys": ["0", "0"], "selector": "[data-jp-kernel-user] :focus"},
    ]
    left_on = [
        {"command": "save", "keys": ["Accel S"], "selector": IN_COMMAND_MODE},
        {"command": "run", "keys": ["Shift Enter"], "selector": IN_COMMAND_MODE},
        {"command": "down", "keys": ["ArrowDown"], "selector": IN_COMMAND_MODE},
        {"command": "none", "keys": [""], "selector": IN_COMMAND_MODE},
        {"command": "flip", "keys": ["H"], "selector": ".jp-ImageViewer"},
    ]
    schema = {"jupyter.lab.shortcuts": left_on[:2] + left_off + left_on[2:]}
    put(tmp_path / "@somebody/an-extension/plugin.json", json.dumps(schema))
    put(tmp_path / "@somebody/an-extension/other.json", json.dumps({"title": "no shortcuts here"}))
    assert settings.single_key_shortcuts(tmp_path) == left_off


def shipped_notebook_shortcuts() -> list[dict[str, Any]]:
    schemas = settings.schemas_folder()
    assert schemas is not None
    shipped = json.loads((schemas / "@jupyterlab/notebook-extension/tracker.json").read_text(encoding="utf-8"))
    entries: list[dict[str, Any]] = shipped["jupyter.lab.shortcuts"]
    return entries


def test_every_single_letter_shortcut_of_the_installed_jupyterlab_is_written_as_disabled(
    tmp_path: Path,
) -> None:
    # Found again in another way than the code's: by the text of the keys, in the notebook's own schema.
    bare = [
        entry
        for entry in shipped_notebook_shortcuts()
        if "commandMode" in entry["selector"] and re.fullmatch(r"((Shift )?\w )+", " ".join(entry["keys"]) + " ")
    ]
    schemas = settings.schemas_folder()
    assert schemas is not None
    settings.write_settings(tmp_path, settings.single_key_shortcuts(schemas))
    path = tmp_path / "settings/@jupyterlab/shortcuts-extension/shortcuts.jupyterlab-settings"
    written = json.loads(path.read_text(encoding="utf-8"))["shortcuts"]
    assert all(entry["disabled"] is True for entry in written)
    assert [entry for entry in bare if {**entry, "disabled": True} not in written] == []
    # The keys a stray finger is likeliest to press, by JupyterLab's own help: each does harm in command mode.
    keys = {" ".join(entry["keys"]) for entry in written}
    assert {"A", "B", "C", "D D", "M", "R", "V", "X", "Y", "Z", "Shift M", "0 0", "I I"} <= keys


def test_arrow_keys_go_from_cell_to_cell_but_not_while_an_output_has_the_focus(tmp_path: Path) -> None:
    # Found again in another way than the code's: by the keys, in the notebook's own schema.
    shipped = {
        (entry["command"], " ".join(entry["keys"]))
        for entry in shipped_notebook_shortcuts()
        if re.fullmatch(r"(Shift )?Arrow\w+", " ".join(entry["keys"])) and entry["selector"] == IN_COMMAND_MODE
    }
    # From JupyterLab's own help: up and down go from cell to cell, with Shift they mark cells.
    assert {key for _, key in shipped} >= {"ArrowUp", "ArrowDown", "Shift ArrowUp", "Shift ArrowDown"}
    schemas = settings.schemas_folder()
    assert schemas is not None
    settings.write_settings(tmp_path, [], arrows=settings.arrow_shortcuts(schemas))
    path = tmp_path / "settings/@jupyterlab/shortcuts-extension/shortcuts.jupyterlab-settings"
    written = json.loads(path.read_text(encoding="utf-8"))["shortcuts"]
    off = {(entry["command"], entry["keys"][0]) for entry in written if entry.get("disabled")}
    moved = {
        (entry["command"], entry["keys"][0])
        for entry in written
        if entry["selector"] == f"{IN_COMMAND_MODE}:not(.jp-OutputArea *)" and "disabled" not in entry
    }
    assert off == moved == shipped


def test_the_news_and_the_look_for_updates_are_off(tmp_path: Path) -> None:
    settings.write_settings(tmp_path, [])
    settings.write_server_config(tmp_path, tmp_path)
    path = tmp_path / "settings/@jupyterlab/apputils-extension/notification.jupyterlab-settings"
    assert json.loads(path.read_text(encoding="utf-8")) == {"fetchNews": "false", "checkForUpdates": False}
    config = json.loads((tmp_path / "config/jupyter_server_config.json").read_text(encoding="utf-8"))
    assert config["LabApp"] == {
        "extension_manager": "readonly",
        "news_url": None,
        "custom_css": True,
        "check_for_updates_class": "jupyterlab.NeverCheckForUpdate",
    }
    assert config["ServerApp"]["ip"] == "127.0.0.1"


def test_additions_to_the_configuration_leave_the_rest_as_it_was(tmp_path: Path) -> None:
    settings.write_server_config(tmp_path, tmp_path, extra={"LabApp": {"a": 1}, "Other": {"b": 2}})
    config = json.loads((tmp_path / "config/jupyter_server_config.json").read_text(encoding="utf-8"))
    assert config["LabApp"]["a"] == 1
    assert config["LabApp"]["news_url"] is None
    assert config["Other"] == {"b": 2}


def test_printed_sentences_are_told_to_break_between_words(tmp_path: Path) -> None:
    # What the page makes of it is looked at in test_notebooks_around_in_browser.py.
    settings.write_server_config(tmp_path, tmp_path)
    style = (tmp_path / "config/custom/custom.css").read_text(encoding="utf-8")
    assert style == "body .jp-RenderedText pre { word-break: normal; overflow-wrap: anywhere; }\n"


def test_every_folder_jupyter_uses_lies_in_the_dot_folder_whatever_the_user_has_set(tmp_path: Path) -> None:
    users = {
        "JUPYTER_CONFIG_PATH": "/theirs",
        "JUPYTER_PATH": "/theirs",
        "IPYTHONDIR": "/theirs",
        "HOME": "/home/a",
    }
    environment = settings.own_environment(tmp_path, "secret", users)
    own = [name for name in environment if name.startswith(("JUPYTER", "IPYTHON")) and name != "JUPYTER_TOKEN"]
    folders = {name: environment[name] for name in own}
    assert environment["FLOORING_KIT_WORK"] == str(tmp_path.parent)
    assert all(Path(value).parent == tmp_path for value in folders.values())
    assert {"JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "JUPYTER_RUNTIME_DIR"} <= set(folders)
    assert {"JUPYTERLAB_SETTINGS_DIR", "JUPYTERLAB_WORKSPACES_DIR"} <= set(folders)
    assert environment["HOME"] == "/home/a"


def test_the_kernel_python3_is_this_very_interpreter(tmp_path: Path) -> None:
    settings.write_kernel(tmp_path)
    spec = json.loads((tmp_path / "data/kernels/python3/kernel.json").read_text(encoding="utf-8"))
    assert spec["argv"] == [sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"]


def test_importing_the_launcher_does_not_import_jupyterlab() -> None:
    code = "import sys, flooring_kit.launcher; print('jupyterlab' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "False\n"


# --- what the command says --------------------------------------------------------------------------------


@pytest.fixture
def busy_port() -> Iterator[int]:
    """A port somebody else listens on."""
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        listener.listen()
        yield listener.getsockname()[1]


def test_a_port_in_use_is_named_before_anything_is_copied(
    kit: Path,
    folder: Path,
    busy_port: int,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(launcher, "PROJECT", kit)
    assert main(["--folder", str(folder), "--port", str(busy_port)]) == 1
    assert capsys.readouterr().err == (
        f"Port {busy_port} is already in use on this computer. Choose another with --port, "
        "or leave --port out and a free one is taken.\n"
    )
    assert not folder.exists()


def test_a_port_the_account_may_not_use_is_said_to_be_so(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_socket: socket.socket, _address: tuple[str, int]) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(socket, "socket", type("Guarded", (socket.socket,), {"bind": refuse}))
    with pytest.raises(LaunchError) as complaint:
        launcher.free_port(80)
    assert str(complaint.value) == (
        "Port 80 may not be used by this account. Choose one from 1024 up with --port, "
        "or leave --port out and a free one is taken."
    )


@pytest.mark.parametrize("text", ["0", "65536", "-1", "8888.5", "eight", ""])
def test_a_port_that_is_no_port_is_refused(text: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main([f"--port={text}"])
    assert stopped.value.code == 2
    last = capsys.readouterr().err.splitlines()[-1]
    assert last == f"flooring-kit: error: argument --port: port must be a whole number from 1 to 65535, got {text!r}."


def test_without_jupyterlab_the_command_that_installs_it_is_named(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None)
    assert main([]) == 1
    assert capsys.readouterr().err == (
        f"JupyterLab is not installed for {sys.executable}. Install the kit and what it needs, in the folder "
        f"of its checkout, with: {sys.executable} -m pip install -e .\n"
    )


def test_a_server_that_stops_at_once_is_reported_with_the_end_of_its_log(kit: Path, folder: Path) -> None:
    make_working_copy(kit, folder)
    with pytest.raises(LaunchError) as complaint:
        launcher.start_lab(folder, extra_config={"ServerApp": {"root_dir": str(folder / "gone")}})
    first, *log = str(complaint.value).splitlines()
    assert first == (
        f"JupyterLab stopped while it was starting. The end of its log, {folder / '.flooring-kit' / 'server.log'}:"
    )
    assert any("gone" in line for line in log)


@pytest.fixture
def opened(kit: Path, monkeypatch: pytest.MonkeyPatch) -> SimpleNamespace:
    """The command without a server: what would be started and which address a browser would be given."""
    seen = SimpleNamespace(urls=[], opens=True, shortcuts_off=28, wait=lambda: 0, stopped=0)

    def start(folder: Path, *, port: int) -> Any:
        seen.folder, seen.port = folder, port
        process = SimpleNamespace(wait=lambda: seen.wait())
        lab = launcher.Lab(folder, port or 4321, "secret", process, folder / "log", seen.shortcuts_off)  # type: ignore[arg-type]
        return SimpleNamespace(**vars(lab), url=lab.url, stop=stop)

    def stop() -> None:
        seen.stopped += 1

    def browse(url: str) -> bool:
        seen.urls.append(url)
        return bool(seen.opens)

    monkeypatch.setattr(launcher, "PROJECT", kit)
    monkeypatch.setattr(launcher, "start_lab", start)
    monkeypatch.setattr("webbrowser.open", browse)
    return seen


ADDRESS = "http://127.0.0.1:4321/doc/tree/notebooks/1_plan_a_room.ipynb?reset&token=secret"


def test_the_command_copies_starts_and_opens_the_first_notebook(
    opened: SimpleNamespace, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["--folder", str(folder)]) == 0
    assert opened.urls == [ADDRESS]
    assert opened.stopped == 1
    assert capsys.readouterr().out.splitlines() == [
        f"Working folder: {folder}",
        "  Put in: 4 files.",
        "Starting JupyterLab ...",
        f"The notebook is at {ADDRESS}",
        "Stop with Ctrl+C in this window.",
        "JupyterLab has been shut down.",
    ]


def test_ctrl_c_stops_the_server_and_counts_as_success(
    opened: SimpleNamespace, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    def interrupted() -> int:
        raise KeyboardInterrupt

    opened.wait = interrupted
    assert main(["--folder", str(folder)]) == 0
    assert opened.stopped == 1
    assert capsys.readouterr().out.splitlines()[-3:] == [
        "",
        "Stopping JupyterLab and its kernels ...",
        "Stopped.",
    ]


def test_no_browser_opens_none(opened: SimpleNamespace, folder: Path) -> None:
    assert main(["--folder", str(folder), "--no-browser"]) == 0
    assert opened.urls == []


def test_where_no_browser_can_be_opened_the_user_is_told_to_open_the_address(
    opened: SimpleNamespace, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    opened.opens = False
    assert main(["--folder", str(folder)]) == 0
    assert "No browser could be opened: open that address in one yourself." in capsys.readouterr().out.splitlines()


def test_a_jupyterlab_whose_shortcuts_are_not_found_brings_a_warning(
    opened: SimpleNamespace, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    opened.shortcuts_off = 0
    assert main(["--folder", str(folder)]) == 0
    assert (
        "Take care: JupyterLab's list of shortcuts was not found, so a key pressed on a slider can act on "
        "the notebook (d twice deletes a cell)."
    ) in capsys.readouterr().out.splitlines()


def test_the_notebook_named_is_the_one_opened_on_the_port_named(opened: SimpleNamespace, folder: Path) -> None:
    port = launcher.free_port()
    assert main(["2_price_it", "--folder", str(folder), "--port", str(port)]) == 0
    assert opened.urls == [f"http://127.0.0.1:{port}/doc/tree/{SECOND}?reset&token=secret"]


def test_a_misspelt_notebook_starts_no_server(
    opened: SimpleNamespace, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["3_price_it", "--folder", str(folder)]) == 1
    assert capsys.readouterr().err == (
        "notebook must be one of 1_plan_a_room, 2_price_it, got '3_price_it'. Did you mean '2_price_it'?\n"
    )
    assert not hasattr(opened, "port")


def test_without_a_folder_named_the_working_copy_goes_to_the_home_folder(
    opened: SimpleNamespace, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    assert main([]) == 0
    assert opened.folder == tmp_path / "flooring-kit-work"


def test_a_space_or_an_accent_in_a_notebooks_name_is_written_as_an_address_needs_it(tmp_path: Path) -> None:
    lab = launcher.Lab(tmp_path, 1, "t", None, tmp_path, 0)  # type: ignore[arg-type]
    assert lab.url("notebooks/my é.ipynb") == "http://127.0.0.1:1/doc/tree/notebooks/my%20%C3%A9.ipynb?reset&token=t"


@pytest.mark.skipif(os.name != "posix", reason="sends POSIX signals")
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM, signal.SIGHUP])
def test_a_stop_signal_shuts_the_whole_server_down(kit: Path, folder: Path, number: signal.Signals) -> None:
    code = (
        "import pathlib, sys; from flooring_kit import launcher; "
        "launcher.PROJECT = pathlib.Path(sys.argv[1]); sys.exit(launcher.main(sys.argv[2:]))"
    )
    started = subprocess.Popen(
        [sys.executable, "-c", code, str(kit), "--folder", str(folder), "--no-browser"],
        stdout=subprocess.PIPE,
        text=True,
        # Started from a shell's background a program ignores Ctrl+C, and from nohup a hangup; this one must not.
        preexec_fn=lambda: [signal.signal(each, signal.SIG_DFL) for each in (signal.SIGINT, signal.SIGHUP)],
    )
    assert started.stdout is not None
    port = 0
    for line in started.stdout:
        found = re.search(r"127\.0\.0\.1:(\d+)/", line)
        port = int(found[1]) if found else port
        if line.startswith("Stop with Ctrl+C"):
            break
    assert port, "the launcher ended without an address"
    started.send_signal(number)
    rest, _ = started.communicate(timeout=60)
    assert started.returncode == 0
    assert rest.splitlines() == ["", "Stopping JupyterLab and its kernels ...", "Stopped."]
    with socket.socket() as trial:
        assert trial.connect_ex(("127.0.0.1", port)) != 0


# --- in the browser ---------------------------------------------------------------------------------------

TINY = "tiny.ipynb"
TINY_CELLS = (
    """import sys
import ipywidgets as W
slider = W.IntSlider(value=5, min=0, max=50, description="gap")
slider.add_class("tiny-slider")
shown = W.HTML()
shown.add_class("tiny-shown")
def show(change=None):
    shown.value = f"the value is {slider.value}."
slider.observe(show, "value")
show()
W.VBox([slider, shown])""",
    "print(sys.executable)",
    "print('the last cell has run')",
)


@pytest.fixture
def tiny(lab_server: launcher.Lab, lab_page: Page) -> Page:
    """A page with the tiny notebook open and run."""
    write_notebook(lab_server, TINY, TINY_CELLS)
    open_notebook(lab_page, lab_server, TINY)
    run_all(lab_page)
    return lab_page


def value(page: Page) -> int:
    return int(slider(page, "tiny-slider").get_attribute("aria-valuetext") or "")


@pytest.mark.browser
def test_a_notebook_opens_without_a_dialog_and_runs_on_this_interpreter_without_the_network(
    tiny: Page,
) -> None:
    assert error_outputs(tiny) == []
    text = tiny.locator(".jp-Notebook").text_content() or ""
    assert "the last cell has run" in text
    assert sys.executable in text
    time.sleep(2)  # the question about news comes a moment after the page
    assert dialogs(tiny) == []
    assert outside_requests(tiny) == []


@pytest.mark.browser
def test_a_slider_moves_by_the_keyboard_and_the_kernel_answers(tiny: Page) -> None:
    handle = slider(tiny, "tiny-slider")
    press(handle, "ArrowRight")
    wait_for_text(tiny, "tiny-shown", "the value is 6.")
    press(handle, "End")
    wait_for_text(tiny, "tiny-shown", "the value is 50.")
    assert value(tiny) == 50


@pytest.mark.browser
def test_a_slider_moves_by_dragging_and_the_kernel_answers(tiny: Page) -> None:
    handle = slider(tiny, "tiny-slider")
    track = tiny.locator(".tiny-slider .noUi-base").bounding_box()
    assert track is not None
    drag(handle, track["width"] * 20 / 50)  # 20 of its 50 steps
    moved = value(tiny)
    assert moved == pytest.approx(25, abs=2)  # a pixel is 0.4 step, and the handle may be held beside its middle
    wait_for_text(tiny, "tiny-shown", f"the value is {moved}.")


@pytest.mark.browser
def test_no_key_pressed_on_a_slider_changes_the_cells_of_the_notebook(tiny: Page) -> None:
    handle = slider(tiny, "tiny-slider")
    contents = "() => window.jupyterapp.shell.currentWidget.content.model.sharedModel.cells.map(c => c.toJSON())"
    before = [(cell["cell_type"], cell["source"]) for cell in tiny.evaluate(contents)]
    assert len(before) == 3
    for key in [*"ddxabcvmryzii00", "Shift+M", "Shift+A", "Shift+B", "Shift+Z"]:
        press(handle, key)
        assert (key, cell_count(tiny), dialogs(tiny)) == (key, 3, [])
    tiny.wait_for_timeout(300)
    assert [(cell["cell_type"], cell["source"]) for cell in tiny.evaluate(contents)] == before
    press(handle, "ArrowRight")
    wait_for_text(tiny, "tiny-shown", "the value is 6.")


@pytest.mark.browser
def test_on_a_screen_390_pixels_wide_the_notebook_opens_and_its_slider_can_be_moved(
    lab_server: launcher.Lab, lab_page: Page
) -> None:
    write_notebook(lab_server, TINY, TINY_CELLS)
    open_notebook(lab_page, lab_server, TINY, width=390)
    run_all(lab_page)
    assert error_outputs(lab_page) == []
    box = slider(lab_page, "tiny-slider").bounding_box()
    assert box is not None
    assert 0 <= box["x"] <= 390 - box["width"]
    press(slider(lab_page, "tiny-slider"), "ArrowRight")
    wait_for_text(lab_page, "tiny-shown", "the value is 6.")


@pytest.mark.browser
def test_the_harness_reports_a_failed_cell_and_an_alert_box(lab_server: launcher.Lab, lab_page: Page) -> None:
    box = "import ipywidgets\nipywidgets.HTML('<p role=\"alert\">gap must be 0 to 50 mm</p>')"
    write_notebook(lab_server, "failing.ipynb", [box, "1 / 0", "print('never reached')"])
    open_notebook(lab_page, lab_server, "failing.ipynb")
    run_all(lab_page)
    lab_page.locator('[role="alert"]', has_text="gap").wait_for()
    assert error_outputs(lab_page) == ["ZeroDivisionError: division by zero", "gap must be 0 to 50 mm"]


def test_where_there_is_no_chromium_the_harness_says_how_to_get_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shutil, "which", lambda name: None)
    with pytest.raises(NoBrowserError) as complaint:
        find_browser(str(tmp_path / "none"))
    assert str(complaint.value) == NO_BROWSER
    put(tmp_path / "own", "")
    assert find_browser(str(tmp_path / "own")) == str(tmp_path / "own")
