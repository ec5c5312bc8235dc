"""Where the demo data lies: `data/`, beside the package or above the current folder."""

from __future__ import annotations

import difflib
from pathlib import Path

BESIDE_THE_PACKAGE = Path(__file__).resolve().parents[2]
LANDMARK = Path("data", "boards.csv")
"""A folder that holds this is the project's."""


def demo_path(*parts: str) -> Path:
    """A file or folder of the demo data.

    Parameters
    ----------
    parts
        Names below `data/`; none gives the folder itself.

    Raises
    ------
    FileNotFoundError
        Where the data can't be found, or holds nothing of that name; then with the nearest names.

    Examples
    --------
    >>> demo_path("rooms", "hall.toml").name
    'hall.toml'
    """
    here = Path.cwd()
    # the package may be installed without its data, while a notebook runs in a copy that has data/ beside it
    for folder in (BESIDE_THE_PACKAGE, here, *here.parents):
        if (folder / LANDMARK).is_file():
            return _below(folder / "data", parts)
    raise FileNotFoundError(
        f"The demo data was not found: there is no {LANDMARK.as_posix()} in {BESIDE_THE_PACKAGE}, in {here} "
        f"or in any folder above it. Start from the project's folder, or give your own file's path."
    )


def _below(data: Path, parts: tuple[str, ...]) -> Path:
    wanted = data.joinpath(*parts)
    if wanted.exists():
        return wanted
    typed = "/".join(("data", *parts))
    names = sorted(entry.relative_to(data).as_posix() for entry in data.rglob("*") if entry.is_file())
    near = difflib.get_close_matches("/".join(parts), names, n=1, cutoff=0.6)
    tail = f"Nearest: {near[0]}." if near else f"It holds {', '.join(names)}."
    raise FileNotFoundError(f"{typed}: there is no such demo file. {tail}")
