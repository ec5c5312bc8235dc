"""Where the user's own files go: one folder of theirs, never the project's, whatever folder a notebook runs in."""

from __future__ import annotations

import os
from pathlib import Path

OWN_FOLDER = "FLOORING_KIT_WORK"
"""Environment variable that names the folder; the launcher sets it to its working copy."""


def own_path(name: str) -> Path:
    """Path of one of the user's own files, in a folder made where there is none.

    Parameters
    ----------
    name
        File name, without a folder.

    Raises
    ------
    ValueError
        For a name with a folder in it, and where the folder can't be made.
    """
    if not name or name in (".", "..") or Path(name).name != name or "\0" in name:
        raise ValueError(
            f"name of the file must be a plain name without a folder, got {name!r}. Such as box room.html."
        )
    folder = Path(os.environ.get(OWN_FOLDER) or Path.home() / "flooring-kit-work") / "own"
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as slip:
        raise ValueError(f"{folder}: the folder for your own files can't be made: {slip.strerror or slip}.") from slip
    return folder / name


def own_surveys() -> dict[str, Path]:
    """Survey files among the user's own, by name."""
    return {path.stem: path for path in sorted(own_path("any").parent.glob("*.toml"))}


def laid_aside(path: str | os.PathLike[str], *, word: str = "unreadable") -> Path:
    """Give a file that can't be read another name beside it, one that no file has yet, and tell that name.

    Parameters
    ----------
    path
        The file.
    word
        What the new name begins with: why the file was laid aside.
    """
    place = Path(path)
    numbers = ("", *(f" {number}" for number in range(2, 1000)))
    aside = next(
        name for name in (place.with_name(f"{word}{number} {place.name}") for number in numbers) if not name.exists()
    )
    place.rename(aside)
    return aside


def file_name(words: str, ending: str) -> str:
    """A file name from words: what a file system may refuse becomes a dash.

    >>> file_name("Quote: hall / stairs", ".html")
    'Quote- hall - stairs.html'
    """
    kept = "".join(letter if letter.isalnum() or letter in " -_.,()" else "-" for letter in words).strip(" .-")
    return (kept or "untitled")[:80] + ending
