"""Opening a text file somebody chose: every way it can fail, in words."""

from __future__ import annotations

import codecs
import difflib
import os
from pathlib import Path

from flooring_kit.checks import FaultsError

LARGEST_FILE_BYTES = 2_000_000
"""Far more than any survey or price list; a larger file is something else."""

MOST_NAMES_SHOWN = 8


def read_text(path: str | os.PathLike[str]) -> str:
    """The whole file as text, the byte order mark left out.

    Parameters
    ----------
    path
        A UTF-8 file of at most `LARGEST_FILE_BYTES`.

    Raises
    ------
    FileNotFoundError
        Where there is no such file; the message offers the nearest names in that folder.
    FaultsError
        For a folder, a file that can't be opened, is too large, or is not UTF-8 text.
    """
    typed = os.fspath(path)
    place = Path(typed)
    try:
        if not place.exists():
            raise FileNotFoundError(_no_such_file(typed, place))
        if place.is_dir():
            raise FaultsError(typed, [f"this is a folder, not a file. {_contents(place)}"])
        if not place.is_file():
            raise FaultsError(typed, ["this is a device or a pipe, not a file."])
        with place.open("rb") as stream:
            content = stream.read(LARGEST_FILE_BYTES + 1)
    except FileNotFoundError:
        raise
    except OSError as slip:
        raise FaultsError(typed, [f"the file can't be opened: {slip.strerror}."]) from slip
    fault, text = _decoded(content)
    if fault:
        raise FaultsError(typed, [fault])
    return text


def _decoded(content: bytes) -> tuple[str, str]:
    """A fault and no text, or no fault and the text."""
    if len(content) > LARGEST_FILE_BYTES:
        limit_mb = LARGEST_FILE_BYTES / 1e6
        return f"the file must be at most {limit_mb:g} MB. Surveys and product tables are far smaller.", ""
    if content.startswith(b"PK\x03\x04"):
        return "this is a workbook or another packed file, not text. Export the sheet as CSV, UTF-8.", ""
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "the text is in UTF-16. Save the file again as UTF-8.", ""
    content = content.removeprefix(codecs.BOM_UTF8)
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as slip:
        line = content.count(b"\n", 0, slip.start) + 1
        byte = content[slip.start]
        return f"line {line} is not UTF-8 text (byte 0x{byte:02x}). Save the file again as UTF-8.", ""
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        return f"line {line} holds a NUL byte, so this is not a text file.", ""
    return "", text


def _no_such_file(typed: str, place: Path) -> str:
    folder = place.parent
    if not folder.is_dir():
        return f"{typed}: there is no folder {folder}."
    names = sorted(entry.name for entry in folder.iterdir() if entry.is_file())
    near = difflib.get_close_matches(place.name, names, n=3, cutoff=0.6)
    if near:
        return f"{typed}: there is no such file. Nearest in that folder: {', '.join(near)}."
    return f"{typed}: there is no such file. {_contents(folder)}"


def _contents(folder: Path) -> str:
    names = sorted(entry.name for entry in folder.iterdir() if entry.is_file())
    if not names:
        return "It holds no files." if folder.is_dir() else ""
    more = f" and {len(names) - MOST_NAMES_SHOWN} more" if len(names) > MOST_NAMES_SHOWN else ""
    return f"The folder holds {', '.join(names[:MOST_NAMES_SHOWN])}{more}."
