"""The notebooks as pages without code, for a phone or for somebody who wants no grey cells: served by voila.

voila is an optional extra (``pip install -e '.[pages]'``). It runs on the loopback address, on the same working copy as
JupyterLab, with a template of the kit's own that fetches nothing from outside. Every page has a kernel of its own; one
whose page was closed is ended after a while.
"""

from __future__ import annotations

import importlib.util
import json
import os
import secrets
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from flooring_kit.lab_settings.settings import HOST, own_environment, write_kernel
from flooring_kit.lab_settings.working_copy import OWN, LaunchError, cannot_write

START_SECONDS, STOP_SECONDS = 90, 10
IDLE_SECONDS = 15 * 60
"""So long after its page was closed a kernel is ended."""

TEMPLATES = Path(__file__).resolve().parent / "page_template"


@dataclass(frozen=True)
class Pages:
    """A server of pages that has been started and answers.

    Attributes
    ----------
    folder : Path
        Its working folder.
    port : int
        The port on the loopback address.
    token : str
        What the browser has to show.
    process : subprocess.Popen
        The server.
    log : Path
        Everything it has said.
    """

    folder: Path
    port: int
    token: str
    process: subprocess.Popen[bytes]
    log: Path

    def url(self, notebook: str) -> str:
        """Address of one notebook's page; `notebook` from the working folder."""
        within = notebook.removeprefix("notebooks/")
        return f"http://{HOST}:{self.port}/voila/render/{quote(within)}?token={self.token}"

    def stop(self) -> None:
        """End the server and its kernels."""
        if self.process.poll() is None:
            self.process.terminate()
            try:
                self.process.wait(STOP_SECONDS)
            except subprocess.TimeoutExpired:
                self.process.kill()
                self.process.wait()


def require_voila() -> None:
    """Pass if voila is installed beside this interpreter; it is not imported.

    Raises
    ------
    LaunchError
        Otherwise, with the command that installs it.
    """
    if importlib.util.find_spec("voila") is None:
        raise LaunchError(
            f"Pages without code need voila, which is not installed for {sys.executable}. Install it, in the folder of "
            f"the kit's checkout, with: {sys.executable} -m pip install -e '.[pages]'"
        )


def start_pages(
    folder: Path,
    *,
    port: int,
    token: str | None = None,
    idle_seconds: int = IDLE_SECONDS,
    environment: Mapping[str, str] | None = None,
) -> Pages:
    """Start voila on the loopback address for a working folder, and return once it answers.

    Parameters
    ----------
    folder
        The working folder, made by :func:`flooring_kit.lab_settings.working_copy.make_working_copy`.
    port
        A free one.
    token
        A random one by default.
    idle_seconds
        So long after its page was closed a kernel is ended.
    environment
        What the server inherits; the present one by default.

    Raises
    ------
    LaunchError
        Where voila is missing, the folder cannot be written, or the server stops or does not answer.
    """
    require_voila()
    folder = folder.expanduser().resolve()
    own, token = folder / OWN, token or secrets.token_hex(16)
    settings = own_environment(own, token, os.environ if environment is None else environment)
    settings["JUPYTER_PATH"] = os.pathsep.join([settings["JUPYTER_PATH"], str(TEMPLATES)])
    try:
        _write_config(own, token, idle_seconds)
        write_kernel(own)
        log = own / "pages.log"
        with log.open("wb") as sink:
            process = subprocess.Popen(
                [sys.executable, "-P", "-m", "voila", str(folder / "notebooks"), f"--port={port}"],
                cwd=folder,
                env=settings,
                stdin=subprocess.DEVNULL,
                stdout=sink,
                stderr=subprocess.STDOUT,
                start_new_session=True,
                creationflags=getattr(subprocess, "CREATE_NEW_PROCESS_GROUP", 0),
            )
    except OSError as error:
        raise LaunchError(cannot_write(folder, error)) from error
    pages = Pages(folder, port, token, process, log)
    try:
        _wait_until_it_answers(pages)
    except BaseException:
        process.kill()
        process.wait()
        raise
    return pages


def _write_config(own: Path, token: str, idle_seconds: int) -> None:
    """voila's settings in a file of its own, so that the token stands on no command line."""
    config = {
        "Voila": {"ip": HOST, "open_browser": False, "token": token, "port_retries": 0},
        "VoilaConfiguration": {"template": "flooring", "show_tracebacks": True},
        "MappingKernelManager": {"cull_interval": max(1, idle_seconds // 4), "cull_idle_timeout": idle_seconds},
        "KernelManager": {"transport_encryption": "auto"},
    }
    (own / "config").mkdir(parents=True, exist_ok=True)
    (own / "config" / "voila.json").write_text(json.dumps(config, indent=1), encoding="utf-8")


def _wait_until_it_answers(pages: Pages) -> None:
    opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))  # no proxy: it is on this computer
    end = time.monotonic() + START_SECONDS
    while time.monotonic() < end:
        if pages.process.poll() is not None:
            raise LaunchError(f"The server of pages stopped while it was starting. Its log is {pages.log}.")
        try:
            opener.open(f"http://{HOST}:{pages.port}/?token={pages.token}", timeout=5).close()
            return
        except (urllib.error.URLError, OSError):
            time.sleep(0.1)
    raise LaunchError(f"The server of pages did not answer within {START_SECONDS} seconds. Its log is {pages.log}.")
