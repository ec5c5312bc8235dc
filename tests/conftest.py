"""Fixtures and settings shared by every test file."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from typing import TYPE_CHECKING

import hypothesis
import matplotlib
import pytest
from lab_server import NoBrowserError, new_page, running_browser, running_lab, stop_kernels

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from flooring_kit.launcher import Lab

# Files of the user's own go to a folder that is thrown away; kernels started by a test inherit it.
OWN_FILES = tempfile.TemporaryDirectory(prefix="flooring-kit-own-")
os.environ["FLOORING_KIT_WORK"] = OWN_FILES.name

# In this process only: a kernel started by a test keeps the notebook's own way of showing figures.
matplotlib.use("Agg")

# No limit on one example's time: the machine may be busy. In CI the same examples at every run, and fewer.
IN_CI = bool(os.environ.get("CI"))
hypothesis.settings.register_profile("kit", deadline=None, derandomize=IN_CI, max_examples=50 if IN_CI else 100)
hypothesis.settings.load_profile("kit")


@pytest.fixture(scope="session")
def lab_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lab]:
    """JupyterLab on a working copy of the project, for the whole run."""
    with running_lab(tmp_path_factory.mktemp("lab") / "work") as lab:
        yield lab


@pytest.fixture(scope="module")
def lab_browser() -> Iterator[Browser]:
    """A headless Chromium for the tests of one file.

    Where there is none the test is skipped, or fails with ``FLOORING_KIT_REQUIRE_BROWSER=1``.
    """
    missing = ""
    try:
        with running_browser() as browser:
            yield browser
    except NoBrowserError as error:
        missing = str(error)
    if missing and os.environ.get("FLOORING_KIT_REQUIRE_BROWSER", "") not in ("", "0"):
        pytest.fail(f"FLOORING_KIT_REQUIRE_BROWSER is set, and {missing}", pytrace=False)
    if missing:
        pytest.skip(missing)


@pytest.fixture
def lab_page(lab_browser: Browser, lab_server: Lab) -> Iterator[Page]:
    """A new page, and none of the user's own files left by another test; the kernels it started are ended with it."""
    shutil.rmtree(lab_server.folder / "own", ignore_errors=True)
    with new_page(lab_browser) as page:
        yield page
    stop_kernels(lab_server)
