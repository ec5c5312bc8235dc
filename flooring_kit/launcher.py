"""Open the kit's notebooks in JupyterLab, on a working copy and with settings of their own.

The shipped ``notebooks/`` and ``data/`` are copied into a folder of the user's, so that nobody plans a
floor inside the kit itself, and a file the user has changed is never written over. JupyterLab runs as a
child process with its configuration, settings, runtime files and kernel description in a dot folder of the
working copy: nothing of the user's own Jupyter is read or changed, and plain ``jupyter lab`` stays as it was.

JupyterLab itself is not imported here: it is looked for when it is about to be started.
"""

from __future__ import annotations

import argparse
import contextlib
import importlib.util
import os
import secrets
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
import webbrowser
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import FrameType
from typing import Any
from urllib.parse import quote

from flooring_kit.checks import require_whole
from flooring_kit.lab_settings.settings import (
    HOST,
    arrow_shortcuts,
    own_environment,
    schemas_folder,
    single_key_shortcuts,
    write_kernel,
    write_server_config,
    write_settings,
)
from flooring_kit.lab_settings.working_copy import (
    FIRST_NOTEBOOK,
    OWN,
    PROJECT,
    LaunchError,
    cannot_write,
    default_folder,
    make_working_copy,
    notebook_path,
)
from flooring_kit.page_server import Pages, require_voila, start_pages

START_SECONDS = 90
STOP_SECONDS = 10


@dataclass(frozen=True)
class Lab:
    """A JupyterLab that has been started and answers.

    Attributes
    ----------
    folder : Path
        Its working folder.
    port : int
        The port on the loopback address.
    token : str
        What the browser or a request has to show.
    process : subprocess.Popen
        The server.
    log : Path
        Everything the server and its kernels have said.
    shortcuts_off : int
        How many shipped shortcuts of a bare key it has been told to leave off.
    """

    folder: Path
    port: int
    token: str
    process: subprocess.Popen[bytes]
    log: Path
    shortcuts_off: int

    def url(self, path: str) -> str:
        """Address that opens one notebook alone, with no file browser; `path` from the working folder."""
        return f"http://{HOST}:{self.port}/doc/tree/{quote(path)}?reset&token={self.token}"

    def request(self, method: str, path: str, *, seconds: float = 10) -> bytes:
        """Ask the server's own interface, for example ``request("GET", "api/sessions")``."""
        asked = urllib.request.Request(
            f"http://{HOST}:{self.port}/{path}",
            method=method,
            headers={"Authorization": f"token {self.token}"},
        )
        # No proxy, whatever the environment says: the server is on this computer.
        opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
        with opener.open(asked, timeout=seconds) as answer:
            body: bytes = answer.read()
        return body

    def stop(self) -> None:
        """Shut the server and its kernels down, in good order if it will."""
        if self.process.poll() is not None:
            return
        with contextlib.suppress(OSError):
            self.request("POST", "api/shutdown")
        for last_resort in (self.process.terminate, self.process.kill):
            try:
                self.process.wait(STOP_SECONDS)
                return
            except subprocess.TimeoutExpired:
                last_resort()
        self.process.wait()


def free_port(port: int = 0) -> int:
    """The port, if nothing listens on it; with 0, one the system picks.

    Raises
    ------
    LaunchError
        Where the port is taken or not allowed.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as trial:
        if os.name == "posix":  # a port let go a moment ago counts as free
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind((HOST, port))
        except PermissionError as error:
            raise LaunchError(
                f"Port {port} may not be used by this account. Choose one from 1024 up with --port, "
                "or leave --port out and a free one is taken."
            ) from error
        except OSError as error:
            raise LaunchError(
                f"Port {port} is already in use on this computer. Choose another with --port, "
                "or leave --port out and a free one is taken."
            ) from error
        taken: int = trial.getsockname()[1]
    return taken


def require_jupyterlab() -> None:
    """Pass if JupyterLab is installed beside this interpreter; it is not imported.

    Raises
    ------
    LaunchError
        Otherwise, with the interpreter and the command that installs it.
    """
    if importlib.util.find_spec("jupyterlab") is None:
        raise LaunchError(
            f"JupyterLab is not installed for {sys.executable}. Install the kit and what it needs, in the "
            f"folder of its checkout, with: {sys.executable} -m pip install -e ."
        )


def start_lab(
    folder: Path,
    *,
    port: int = 0,
    token: str | None = None,
    extra_config: Mapping[str, Mapping[str, Any]] | None = None,
    environment: Mapping[str, str] | None = None,
) -> Lab:
    """Start JupyterLab on the loopback address for a working folder, and return once it answers.

    Parameters
    ----------
    folder
        The working folder, made by :func:`make_working_copy`.
    port
        0 for any free one.
    token
        A random one by default.
    extra_config
        More traits for the server, class by class.
    environment
        What the server inherits; the present one by default.

    Raises
    ------
    LaunchError
        Where JupyterLab is missing, the port is taken, the folder cannot be written, or the server stops
        or does not answer.
    """
    require_jupyterlab()
    folder = folder.expanduser().resolve()
    port, token = free_port(port), token or secrets.token_hex(16)
    own = folder / OWN
    schemas = schemas_folder()
    shortcuts = single_key_shortcuts(schemas) if schemas else []
    try:
        write_settings(own, shortcuts, arrows=arrow_shortcuts(schemas) if schemas else ())
        write_server_config(own, folder, extra=extra_config)
        write_kernel(own)
        log = own / "server.log"
        with log.open("wb") as sink:
            process = subprocess.Popen(
                # -P: a file of the user's in the working folder must not pass for a Python module
                [sys.executable, "-P", "-m", "jupyterlab", f"--ServerApp.port={port}"],
                cwd=folder,
                env=own_environment(own, token, os.environ if environment is None else environment),
                stdin=subprocess.DEVNULL,
                stdout=sink,
                stderr=subprocess.STDOUT,
                start_new_session=True,  # Ctrl+C reaches the launcher, which stops the server in good order
                creationflags=getattr(subprocess, "CREATE_NEW_PROCESS_GROUP", 0),
            )
    except OSError as error:
        raise LaunchError(cannot_write(folder, error)) from error
    lab = Lab(folder, port, token, process, log, len(shortcuts))
    try:
        _wait_until_it_answers(lab)
    except BaseException:
        process.kill()
        process.wait()
        raise
    return lab


def _wait_until_it_answers(lab: Lab) -> None:
    end = time.monotonic() + START_SECONDS
    while time.monotonic() < end:
        if lab.process.poll() is not None:
            raise LaunchError(f"JupyterLab stopped while it was starting. {_last_words(lab.log)}")
        try:
            lab.request("GET", "api/status", seconds=5)
            return
        except (urllib.error.URLError, OSError):
            time.sleep(0.1)
    raise LaunchError(f"JupyterLab did not answer within {START_SECONDS} seconds. {_last_words(lab.log)}")


def _last_words(log: Path, most: int = 5) -> str:
    lines = log.read_text(encoding="utf-8", errors="replace").strip().splitlines()[-most:]
    return "\n".join([f"The end of its log, {log}:", *(f"  {line}" for line in lines)])


# --- the command ------------------------------------------------------------------------------------------


def _port(text: str) -> int:
    try:
        return require_whole(int(text), 1, 65535, "port")
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"port must be a whole number from 1 to 65535, got {text!r}.") from error


def command() -> argparse.ArgumentParser:
    """The command line."""
    parser = argparse.ArgumentParser(
        prog="flooring-kit",
        description="Open the flooring kit's notebooks in the browser. They are copied to a working folder "
        "of yours first; what you change there is never written over. Stop with Ctrl+C.",
    )
    parser.add_argument(
        "notebook", nargs="?", default=FIRST_NOTEBOOK, help="the notebook to open (default: %(default)s)"
    )
    parser.add_argument(
        "--folder", type=Path, help="the working folder (default: flooring-kit-work in your home folder)"
    )
    parser.add_argument(
        "--fresh",
        action="store_true",
        help="start from the kit's own notebooks and data again; yours are put aside in a dated folder",
    )
    parser.add_argument("--port", type=_port, default=0, help="the port to use (default: any free one)")
    parser.add_argument(
        "--pages", action="store_true", help="the notebooks as pages without code, for a phone (needs voila)"
    )
    parser.add_argument("--no-browser", action="store_true", help="print the address and open no browser")
    return parser


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; 0 when it ran and was stopped, 1 after a complaint."""
    asked = command().parse_args(arguments)
    try:
        with _any_stop_is_ctrl_c():
            _run(asked)
    except LaunchError as error:
        print(error, file=sys.stderr, flush=True)
        return 1
    except KeyboardInterrupt:
        print("Stopped.", flush=True)
    return 0


def _run(asked: argparse.Namespace) -> None:
    require_voila() if asked.pages else require_jupyterlab()
    if asked.port:
        free_port(asked.port)  # complain before anything is copied
    report = make_working_copy(PROJECT, asked.folder or default_folder(), fresh=asked.fresh)
    print("\n".join(report.lines()), flush=True)
    path = notebook_path(report.folder, asked.notebook)
    name = "The server of pages" if asked.pages else "JupyterLab"
    print(f"Starting {name} ...", flush=True)
    lab: Lab | Pages = (
        start_pages(report.folder, port=free_port(asked.port))
        if asked.pages
        else start_lab(report.folder, port=asked.port)
    )
    try:
        url = lab.url(path)
        print(f"The {'page' if asked.pages else 'notebook'} is at {url}", flush=True)
        if not asked.pages and not lab.shortcuts_off:  # type: ignore[union-attr]
            print(
                "Take care: JupyterLab's list of shortcuts was not found, so a key pressed on a slider "
                "can act on the notebook (d twice deletes a cell).",
                flush=True,
            )
        if not asked.no_browser and not webbrowser.open(url):
            print("No browser could be opened: open that address in one yourself.", flush=True)
        print("Stop with Ctrl+C in this window.", flush=True)
        lab.process.wait()
        print(f"{name} has been shut down.", flush=True)
    except KeyboardInterrupt:
        print(f"\nStopping {name} and its kernels ...", flush=True)
        raise
    finally:
        lab.stop()


@contextlib.contextmanager
def _any_stop_is_ctrl_c() -> Iterator[None]:
    """Being told to end, or losing the terminal, stops the server just as Ctrl+C does."""

    def stop(_number: int, _frame: FrameType | None) -> None:
        raise KeyboardInterrupt

    numbers = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
    before = {number: signal.getsignal(number) for number in numbers}
    for number, handler in before.items():
        if handler is not signal.SIG_IGN:  # under nohup, losing the terminal is meant to change nothing
            signal.signal(number, stop)
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
