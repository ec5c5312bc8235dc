"""What a PDF holds, as poppler's programs read it: text, fonts, page sizes, outlines in points."""

from __future__ import annotations

import functools
import os
import re
import shutil
import subprocess
import tempfile
from pathlib import Path

import pytest

PROGRAMS = ("pdftotext", "pdffonts", "pdfinfo", "pdftocairo")


def need_poppler() -> None:
    """Skip with the reason where poppler is missing; fail instead with ``FLOORING_KIT_REQUIRE_BROWSER=1``."""
    missing = [program for program in PROGRAMS if shutil.which(program) is None]
    if not missing:
        return
    reason = f"{', '.join(missing)} not found: on Debian apt-get install poppler-utils."
    if os.environ.get("FLOORING_KIT_REQUIRE_BROWSER", "") not in ("", "0"):
        pytest.fail(f"FLOORING_KIT_REQUIRE_BROWSER is set, and {reason}", pytrace=False)
    pytest.skip(reason)


@functools.lru_cache(maxsize=256)
def _ran(pdf: bytes, program: str, *options: str) -> str:
    need_poppler()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "sheets.pdf"
        path.write_bytes(pdf)
        after = [] if program in ("pdffonts", "pdfinfo") else ["-"]
        told = subprocess.run([program, *options, str(path), *after], capture_output=True, check=True)
    return told.stdout.decode("utf-8")


def pages(pdf: bytes, *, layout: bool = False) -> list[str]:
    """The text of every page; as it lies on the page where `layout`."""
    return _ran(pdf, "pdftotext", *(["-layout"] if layout else [])).split("\f")[:-1]


def lines(pdf: bytes) -> list[str]:
    """Every line of every page as it lies there, blanks run together."""
    return [" ".join(line.split()) for page in pages(pdf, layout=True) for line in page.splitlines() if line.strip()]


def squeezed(text: str) -> str:
    """Text without its blanks and line ends: a sentence is found whichever way it was wrapped."""
    return "".join(text.split())


def fonts(pdf: bytes) -> list[tuple[str, str]]:
    """Name of every font, and "yes" or "no" for embedded."""
    rows = _ran(pdf, "pdffonts").splitlines()[2:]
    return [(row.split()[0], row.split()[-5]) for row in rows]


def page_sizes_mm(pdf: bytes) -> list[tuple[float, float]]:
    """Width and height of every page [mm]."""
    told = _ran(pdf, "pdfinfo", "-l", "10000")
    sizes = re.findall(r"Page\s+\d+ size:\s+([\d.]+) x ([\d.]+) pts", told)
    return [(float(wide) * 25.4 / 72, float(tall) * 25.4 / 72) for wide, tall in sizes]


def filled_boxes_points(pdf: bytes, page: int, colour: str) -> list[tuple[float, float]]:
    """Width and height [points] of everything filled with a colour (#rrggbb) on a page."""
    svg = _ran(pdf, "pdftocairo", "-svg", "-f", str(page), "-l", str(page))
    wanted = tuple(int(colour[place : place + 2], 16) / 255 * 100 for place in (1, 3, 5))
    found = []
    for tag in re.findall(r"<path [^>]*>", svg):
        fill = re.search(r'\bfill(?:="|:)rgb\(([\d.]+)%, ?([\d.]+)%, ?([\d.]+)%\)', tag)  # older and newer poppler
        drawn = re.search(r' d="([^"]*)"', tag)
        if fill is None or drawn is None:
            continue
        if any(abs(float(met) - share) > 0.3 for met, share in zip(fill.groups(), wanted, strict=True)):
            continue
        numbers = [float(each) for each in re.findall(r"-?[\d.]+", drawn[1])]
        scale = re.search(r'transform="matrix\(([-\d.]+), [-\d.]+, [-\d.]+, ([-\d.]+),', tag)
        sx, sy = (abs(float(each)) for each in scale.groups()) if scale else (1.0, 1.0)
        xs, ys = numbers[0::2], numbers[1::2]
        found.append(((max(xs) - min(xs)) * sx, (max(ys) - min(ys)) * sy))
    return found
