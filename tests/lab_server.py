"""JupyterLab and a real browser for the tests, all of it on this computer and in temporary folders.

A browser test asks for the fixtures ``lab_server`` and ``lab_page`` (see ``conftest.py``)::

    @pytest.mark.browser
    def test_the_picture_follows_the_slider(lab_server, lab_page):
        open_notebook(lab_page, lab_server, "1_plan_a_room.ipynb")
        run_all(lab_page)
        assert error_outputs(lab_page) == []
        press(slider(lab_page, "gap-slider"), "ArrowRight")

The server is started by the launcher's own code, so that what a user runs is what is tested. Added for the
tests alone: a known token, the application object in the page, and no autosave.
"""

from __future__ import annotations

import contextlib
import json
import os
import shutil
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

from flooring_kit import launcher
from flooring_kit.lab_settings.settings import HOST
from flooring_kit.lab_settings.working_copy import OWN, PROJECT, make_working_copy

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator, Page

TOKEN = "flooring-kit-tests"
PATIENCE_SECONDS = 90
"""How long anything may take before a test gives up: generous, since the machine may be busy."""

BROWSER_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
BROWSER_ARGUMENTS = (
    "--no-sandbox",
    "--disable-dev-shm-usage",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
NO_BROWSER = (
    "no Chromium was found for the browser tests: install one, "
    "for example with `apt-get install chromium` or `playwright install chromium`"
)
NO_PLAYWRIGHT = "playwright is not installed: python -m pip install -e .[test]"

# The notebook the page shows, or nothing while there is none.
_NOTEBOOK = "window.jupyterapp?.shell?.currentWidget"


class NoBrowserError(RuntimeError):
    """No browser to test with; the message says how to get one."""


# --- the server -------------------------------------------------------------------------------------------


@contextlib.contextmanager
def running_lab(folder: Path) -> Iterator[launcher.Lab]:
    """JupyterLab on a fresh working copy of the project in `folder`, shut down at the end."""
    make_working_copy(PROJECT, folder)
    own = folder.resolve() / OWN
    # Lab would save into the working copy after two minutes, and the next test would open that.
    autosave = own / "settings" / "@jupyterlab" / "docmanager-extension" / "plugin.jupyterlab-settings"
    autosave.parent.mkdir(parents=True)
    autosave.write_text(json.dumps({"autosave": False}), encoding="utf-8")
    # An empty file of settings for matplotlib, and the notebook's own way to show figures.
    (own / "matplotlibrc").touch()
    environment = {name: value for name, value in os.environ.items() if name != "MPLBACKEND"}
    environment["MATPLOTLIBRC"] = str(own / "matplotlibrc")
    lab = launcher.start_lab(
        folder,
        token=TOKEN,
        extra_config={"LabApp": {"expose_app_in_browser": True}},
        environment=environment,
    )
    try:
        yield lab
    finally:
        lab.stop()


def stop_kernels(server: launcher.Lab) -> None:
    """End every kernel, so that the next page starts with a new one."""
    for session in json.loads(server.request("GET", "api/sessions")):
        server.request("DELETE", f"api/sessions/{session['id']}", seconds=PATIENCE_SECONDS)


def write_notebook(server: launcher.Lab, name: str, cells: Sequence[str]) -> Path:
    """Put a notebook of the given code cells in the working copy's ``notebooks`` folder."""
    notebook = {
        "cells": [
            {
                "cell_type": "code",
                "id": f"cell-{number}",
                "execution_count": None,
                "metadata": {},
                "outputs": [],
                "source": source,
            }
            for number, source in enumerate(cells, start=1)
        ],
        "metadata": {
            "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
            "language_info": {"name": "python"},
        },
        "nbformat": 4,
        "nbformat_minor": 5,
    }
    path = server.folder / "notebooks" / name
    path.parent.mkdir(exist_ok=True)
    path.write_text(json.dumps(notebook), encoding="utf-8")
    return path


def write_part_of(server: launcher.Lab, notebook: str, name: str, begins: Sequence[str]) -> Path:
    """Put a notebook of some cells of a shipped one beside it: the rest only takes time in a test.

    Parameters
    ----------
    server
        The server with its working copy.
    notebook, name
        File names of the shipped notebook and of the one made of it.
    begins
        Begins of lines: the code cells that have such a line, one for each.
    """
    shipped = json.loads((server.folder / "notebooks" / notebook).read_text(encoding="utf-8"))
    sources = ["".join(cell["source"]) for cell in shipped["cells"] if cell["cell_type"] == "code"]
    wanted = [source for source in sources if any(f"\n{begin}" in f"\n{source}" for begin in begins)]
    assert len(wanted) == len(begins), f"{notebook}: not one cell for each of {begins}"
    return write_notebook(server, name, wanted)


# --- the browser ------------------------------------------------------------------------------------------


def find_browser(own_path: str) -> str:
    """Path of an installed Chromium, or of playwright's own.

    Raises
    ------
    NoBrowserError
        Where there is neither.
    """
    for name in BROWSER_NAMES:
        found = shutil.which(name)
        if found:
            return found
    if Path(own_path).is_file():
        return own_path
    raise NoBrowserError(NO_BROWSER)


@contextlib.contextmanager
def running_browser() -> Iterator[Browser]:
    """A headless Chromium.

    Not to be kept open beyond the tests of one file: while it runs, playwright's event loop counts as
    running in this thread, and ``asyncio.run`` in another test would be refused.
    """
    try:
        from playwright.sync_api import sync_playwright
    except ModuleNotFoundError as error:
        raise NoBrowserError(NO_PLAYWRIGHT) from error
    with sync_playwright() as play:
        path = find_browser(play.chromium.executable_path)
        browser = play.chromium.launch(executable_path=path, args=list(BROWSER_ARGUMENTS))
        try:
            yield browser
        finally:
            browser.close()


@contextlib.contextmanager
def new_page(browser: Browser) -> Iterator[Page]:
    """A page with no memory of earlier ones; what it asks for outside this computer is refused and noted."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    context.set_default_timeout(PATIENCE_SECONDS * 1000)
    outside: list[str] = []

    def refuse(route: Any) -> None:
        outside.append(route.request.url)
        route.abort()

    context.route(lambda url: not _is_local(url), refuse)
    page = context.new_page()
    page.kit_outside_requests = outside  # type: ignore[attr-defined]
    try:
        yield page
    finally:
        context.close()


def _is_local(url: str) -> bool:
    parts = urlsplit(url)
    return parts.scheme in ("data", "blob", "about") or parts.hostname in (HOST, "localhost")


def outside_requests(page: Page) -> list[str]:
    """Addresses outside this computer that the page has asked for; each was refused."""
    return list(page.kit_outside_requests)  # type: ignore[attr-defined]


# --- what a test does in the page -------------------------------------------------------------------------


def open_notebook(page: Page, server: launcher.Lab, name: str, width: int = 1280) -> None:
    """Open a notebook of the working copy's ``notebooks`` folder, and wait until its kernel is there."""
    page.set_viewport_size({"width": width, "height": 900})
    page.goto(server.url(f"notebooks/{name}"))
    page.wait_for_selector(".jp-NotebookPanel:not(.lm-mod-hidden) .jp-Notebook")
    wait_for_kernel(page)


def wait_for_kernel(page: Page) -> None:
    """Wait until the notebook's kernel is connected and idle; the page's own mark says idle too early."""
    page.wait_for_function(
        f"""() => {{
            const kernel = {_NOTEBOOK}?.sessionContext?.session?.kernel;
            return !!kernel && kernel.connectionStatus === "connected" && kernel.status === "idle";
        }}"""
    )


def run_all(page: Page) -> None:
    """Run every cell and wait for the end: each code cell has run, or one has failed and stopped the rest.

    Whether any failed is for the test to ask: ``assert error_outputs(page) == []``.
    """
    wait_for_kernel(page)
    # The command's promise is not handed back: playwright would wait for it without a limit.
    page.evaluate(
        """() => {
            window.kitRun = "running";
            const end = () => { window.kitRun = "ended"; };
            window.jupyterapp.commands.execute("notebook:run-all-cells").then(end, end);
        }"""
    )
    page.wait_for_function("() => window.kitRun === 'ended'")
    wait_for_kernel(page)
    unrun = page.evaluate(
        f"""() => {_NOTEBOOK}.content.widgets.filter(cell => cell.model.type === "code"
            && cell.model.sharedModel.source.trim() && cell.model.executionCount === null).length"""
    )
    assert unrun == 0 or error_outputs(page), f"{unrun} code cells have not run, and none has failed"


def error_outputs(page: Page) -> list[str]:
    """What the notebook's cells show as errors: each failed cell's, then each alert box's text."""
    failed: list[str] = page.evaluate(
        f"""() => {_NOTEBOOK}.content.widgets.flatMap(cell => (cell.model.outputs?.toJSON() ?? []))
            .filter(output => output.output_type === "error")
            .map(output => output.ename + ": " + output.evalue)"""
    )
    return failed + [text for text in alerts(page) if text]


def alerts(page: Page) -> list[str]:
    """Texts of the boxes with ``role="alert"`` in the notebook's outputs, empty ones too."""
    boxes = page.locator('.jp-Notebook .jp-OutputArea [role="alert"]')
    return [text.strip() for text in boxes.all_text_contents()]


def cell_count(page: Page) -> int:
    """How many cells the notebook has."""
    count: int = page.evaluate(f"() => {_NOTEBOOK}.content.model.cells.length")
    return count


def dialogs(page: Page) -> list[str]:
    """Texts of the dialogs and of the pop-up notices the page shows."""
    return [text.strip() for text in page.locator(".jp-Dialog, .Toastify__toast").all_text_contents()]


THUMB_AT = """handle => {
    if (handle.type !== "range") return 0.5;
    const share = (handle.value - handle.min) / (handle.max - handle.min), thumb = 16 / handle.clientWidth;
    return thumb / 2 + share * (1 - thumb);
}"""
"""Where the middle of the thumb lies, as a share of the width."""


def slider(page: Page, css_class: str) -> Locator:
    """What is moved in the slider with that class: the kit's own range input, or the handle of an ipywidgets slider."""
    handle = page.locator(f".{css_class} :is(input[type=range], .noUi-handle)").first
    handle.wait_for(state="attached")
    handle.scroll_into_view_if_needed()
    return handle


def slider_value(handle: Locator) -> str:
    """The number a slider shows."""
    return str(handle.evaluate("handle => handle.value ?? handle.getAttribute('aria-valuetext')"))


def press(handle: Locator, key: str) -> None:
    """Give the handle the focus and press a key: arrows one step, PageUp and PageDown more, Home and End."""
    handle.focus()
    handle.page.keyboard.press(key)


def drag(handle: Locator, dx: float) -> None:
    """Drag the handle sideways by so many pixels, in steps as a hand does; of a range input, its thumb."""
    handle.scroll_into_view_if_needed()
    box = handle.bounding_box()
    assert box is not None, "the handle is not to be seen"
    x, y = box["x"] + box["width"] * handle.evaluate(THUMB_AT), box["y"] + box["height"] / 2
    mouse = handle.page.mouse
    mouse.move(x, y)
    mouse.down()
    mouse.move(x + dx, y, steps=12)
    mouse.up()


def type_number(field: Locator, number: str) -> None:
    """Type a number in a field in place of what it holds, and press Enter.

    On a busy machine the notebook may take the focus late, after a click, and letters with it: then once more.
    """
    for _ in range(3):
        field.click()
        field.press("Control+A")
        field.press_sequentially(number)
        if field.input_value() == number:
            break
    assert field.input_value() == number
    field.press("Enter")


def wait_for_text(page: Page, css_class: str, text: str) -> None:
    """Wait until the widget with that class shows the text; it may be out of sight."""
    shown = "([css, text]) => document.querySelector(css)?.textContent.includes(text)"
    page.wait_for_function(shown, arg=[f".{css_class}", text])


def wait_for_html(page: Page, css: str, html: str) -> None:
    """Wait until an element holds just that: words, tables and drawings."""
    page.wait_for_function(
        """([css, html]) => {
            const made = document.createElement("div");
            made.innerHTML = html;
            return document.querySelector(css)?.innerHTML === made.innerHTML;
        }""",
        arg=[css, html],
    )


def words_beyond_drawings(page: Page, css: str) -> list[str]:
    """Words that reach beyond the edge of the drawing they belong to, by more than a pixel; `css` finds drawings."""
    found: list[str] = page.evaluate(
        """css => [...document.querySelectorAll(css)].flatMap(drawing => {
            const sheet = drawing.getBoundingClientRect();
            return [...drawing.querySelectorAll("text")].filter(text => {
                const box = text.getBoundingClientRect();
                return box.left < sheet.left - 1 || box.right > sheet.right + 1
                    || box.top < sheet.top - 1 || box.bottom > sheet.bottom + 1;
            }).map(text => text.textContent);
        })""",
        css,
    )
    return found


def words_beyond_page(page: Page, css: str) -> list[str]:
    """Words in there that reach beyond the page's right edge, save in what scrolls sideways by itself."""
    found: list[str] = page.evaluate(
        """css => {
            const edge = document.querySelector(".jp-WindowedPanel-outer").getBoundingClientRect().right;
            const scrolls = one => one.closest("[role=region][tabindex]");
            return [...document.querySelectorAll(`${css} :is(p, li, h4, label, button, input, select, th, td)`)]
                .filter(one => !scrolls(one) && one.getBoundingClientRect().right > edge + 1)
                .map(one => one.textContent || one.value);
        }""",
        css,
    )
    return found


def grave_findings(page: Page, css: str) -> list[str]:
    """What axe-core calls serious or critical in there: the rule, then where."""
    from axe_playwright_python.sync_playwright import Axe

    checked = Axe().run(page, context=css).response
    assert checked["passes"], f"axe found nothing to look at in {css}"
    return [
        f"{each['id']}: {node['html'][:160]}"
        for each in checked["violations"]
        if each["impact"] in ("serious", "critical")
        for node in each["nodes"]
    ]


def screenshot(page: Page, path: Path | str) -> None:
    """A picture of what the page shows, as PNG."""
    page.screenshot(path=str(path))
