"""JupyterLab's configuration, settings and kernel for a working copy; the user's own stay untouched.

JupyterLab is not imported here: its shipped files are read where they lie.
"""

from __future__ import annotations

import importlib.util
import json
import os
import sys
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from flooring_kit.files.own_files import OWN_FOLDER

HOST = "127.0.0.1"
STYLE = "body .jp-RenderedText pre { word-break: normal; overflow-wrap: anywhere; }\n"
"""Printed sentences break between words; JupyterLab breaks them wherever the line is full."""

ARROWS = ("ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight")


def schemas_folder() -> Path | None:
    """The folder with JupyterLab's shipped settings schemas, or None where it is not found."""
    roots = [Path(os.environ["JUPYTERLAB_DIR"])] if os.environ.get("JUPYTERLAB_DIR") else []
    roots.append(Path(sys.prefix, "share", "jupyter", "lab"))
    spec = importlib.util.find_spec("jupyterlab")
    if spec is not None and spec.origin:
        # …/lib/python3.x/site-packages/jupyterlab/__init__.py: the prefix stands five folders up
        roots.extend(parent / "share" / "jupyter" / "lab" for parent in Path(spec.origin).parents[3:6])
    return next((root / "schemas" for root in roots if (root / "schemas").is_dir()), None)


def single_key_shortcuts(schemas: Path) -> list[dict[str, Any]]:
    """Every shipped shortcut that a bare letter, digit or sign fires while a cell's output has the focus.

    A slider in a cell's output takes the arrow keys, but any other key pressed on it goes on to the
    notebook, where ``d d`` deletes the cell it stands in. Bare means no Ctrl, Alt or Cmd; Shift may be held.

    Parameters
    ----------
    schemas
        JupyterLab's folder of shipped settings schemas.

    Returns
    -------
    list of dict
        The entries as shipped (command, keys, selector), in the order of the files.
    """
    return [entry for entry in _shipped_shortcuts(schemas) if _in_notebook(entry) and _is_bare(entry)]


def arrow_shortcuts(schemas: Path) -> list[dict[str, Any]]:
    """Every shipped shortcut that an arrow key, with Shift or alone, fires while a cell's output has the focus.

    In an output the arrows choose from a list, move from one radio button to the next, scroll a wide table. The
    notebook would take them to go to the next cell.

    Parameters
    ----------
    schemas
        As for :func:`single_key_shortcuts`.

    Returns
    -------
    list of dict
        The entries as shipped, in the order of the files.
    """
    return [entry for entry in _shipped_shortcuts(schemas) if _is_in_outputs(entry) and _is_arrow(entry)]


def _shipped_shortcuts(schemas: Path) -> Iterator[dict[str, Any]]:
    for path in sorted(schemas.glob("*/*/*.json")):
        yield from json.loads(path.read_text(encoding="utf-8")).get("jupyter.lab.shortcuts", [])


def _is_in_outputs(entry: Mapping[str, Any]) -> bool:
    selector = entry.get("selector", "")
    return "jp-mod-commandMode" in selector and selector.endswith(" :focus")


def _is_arrow(entry: Mapping[str, Any]) -> bool:
    parts = [part for stroke in entry.get("keys", []) for part in stroke.split()]
    return bool(parts) and parts[-1] in ARROWS and set(parts[:-1]) <= {"Shift"}


def _out_of_outputs(entry: Mapping[str, Any]) -> dict[str, Any]:
    """The same shortcut, but not where the focus lies in an output."""
    return {**entry, "selector": f"{entry['selector']}:not(.jp-OutputArea *)"}


def _in_notebook(entry: Mapping[str, Any]) -> bool:
    selector = entry.get("selector", "")
    return "jp-mod-commandMode" in selector or "data-jp-kernel-user" in selector


def _is_bare(entry: Mapping[str, Any]) -> bool:
    strokes = entry.get("keys", [])
    parts = [part for stroke in strokes for part in stroke.split()]
    return bool(parts) and all(len(part) == 1 or part == "Shift" for part in parts)


def write_settings(
    own: Path, shortcuts: Iterable[Mapping[str, Any]], *, arrows: Iterable[Mapping[str, Any]] = ()
) -> None:
    """Write JupyterLab's user settings of a working copy: no news, no update check, no bare-key shortcuts.

    Settings the user has made in the same working copy stay, save for those two files.

    Parameters
    ----------
    own
        The working copy's dot folder.
    shortcuts
        Shipped shortcuts to leave off.
    arrows
        Shipped shortcuts to leave off inside outputs alone.
    """
    moved = list(arrows)
    off = [{**entry, "disabled": True} for entry in (*shortcuts, *moved)]
    folder = own / "settings" / "@jupyterlab"
    _write_json(
        folder / "apputils-extension" / "notification.jupyterlab-settings",
        {"fetchNews": "false", "checkForUpdates": False},
    )
    _write_json(
        folder / "shortcuts-extension" / "shortcuts.jupyterlab-settings",
        {"shortcuts": [*off, *(_out_of_outputs(entry) for entry in moved)]},
    )


def write_server_config(own: Path, folder: Path, *, extra: Mapping[str, Mapping[str, Any]] | None = None) -> None:
    """Write the server's configuration of a working copy and its style sheet; `extra` adds to it, class by class."""
    config: dict[str, dict[str, Any]] = {
        "ServerApp": {
            "ip": HOST,
            "port_retries": 0,
            "open_browser": False,
            "root_dir": str(folder),
            "allow_root": True,
            "terminals_enabled": False,
        },
        "LabApp": {
            "extension_manager": "readonly",
            "news_url": None,
            "custom_css": True,
            "check_for_updates_class": "jupyterlab.NeverCheckForUpdate",
        },
        "KernelManager": {"transport_encryption": "auto"},
    }
    for name, traits in (extra or {}).items():
        config.setdefault(name, {}).update(traits)
    _write_json(own / "config" / "jupyter_server_config.json", config)
    style = own / "config" / "custom" / "custom.css"
    style.parent.mkdir(parents=True, exist_ok=True)
    style.write_text(STYLE, encoding="utf-8")


def write_kernel(own: Path) -> None:
    """Describe the kernel ``python3`` of a working copy: this very interpreter, activated or not."""
    installed = Path(sys.prefix, "share", "jupyter", "kernels", "python3", "kernel.json")
    spec: dict[str, Any] = {"display_name": "Python 3 (ipykernel)", "language": "python"}
    if installed.is_file():
        spec.update(json.loads(installed.read_text(encoding="utf-8")))
    spec["argv"] = [sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"]
    _write_json(own / "data" / "kernels" / "python3" / "kernel.json", spec)


def _write_json(path: Path, value: object) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(json.dumps(value, indent=1), encoding="utf-8")


def own_environment(own: Path, token: str, environment: Mapping[str, str]) -> dict[str, str]:
    """The environment JupyterLab is started in: the given one, with every Jupyter folder set to `own`."""
    return {
        **environment,
        "JUPYTER_CONFIG_DIR": str(own / "config"),
        "JUPYTER_CONFIG_PATH": str(own / "config"),  # searched before the interpreter's own folder
        "JUPYTER_DATA_DIR": str(own / "data"),
        "JUPYTER_PATH": str(own / "data"),  # likewise, so that our kernel python3 is the one found
        "JUPYTER_RUNTIME_DIR": str(own / "runtime"),
        "JUPYTERLAB_SETTINGS_DIR": str(own / "settings"),
        "JUPYTERLAB_WORKSPACES_DIR": str(own / "workspaces"),
        "IPYTHONDIR": str(own / "ipython"),
        OWN_FOLDER: str(own.parent),  # where the panels keep the user's own files
        "JUPYTER_TOKEN": token,  # not on the command line, where every user of the computer could read it
    }
