"""The user's own copy of the shipped notebooks and data, in which nothing they changed is written over."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from flooring_kit.checks import require_one_of

PROJECT = Path(__file__).resolve().parents[2]
"""The checkout: the folder that holds the package, the shipped notebooks and the shipped data."""

SHIPPED = ("notebooks", "data")
FIRST_NOTEBOOK = "1_plan_a_room.ipynb"
OWN = ".flooring-kit"
"""The dot folder of a working copy: settings, runtime files, the log, and the record of what was shipped."""

_RECORD = "shipped.json"


class LaunchError(RuntimeError):
    """Something the user can put right; the message is all they need to see."""


@dataclass(frozen=True)
class CopyReport:
    """What making or refreshing a working copy did.

    Attributes
    ----------
    folder : Path
        The working folder.
    added, updated, kept : tuple of str
        Files put in; files the user had not changed, replaced by a newer shipped one; files that differ
        from the shipped ones and were left alone. Paths from `folder`, with forward slashes.
    put_aside : Path or None
        Where the old notebooks and data went, after ``fresh``.
    """

    folder: Path
    added: tuple[str, ...] = ()
    updated: tuple[str, ...] = ()
    kept: tuple[str, ...] = ()
    put_aside: Path | None = None

    def lines(self) -> list[str]:
        """The report in plain sentences, one a line."""
        said = [f"Working folder: {self.folder}"]
        if self.put_aside is not None:
            said.append(f"  The old notebooks and data are now in {self.put_aside}")
        if self.added:
            said.append(f"  Put in: {_counted(len(self.added))}.")
        if self.updated:
            said.append(f"  Brought up to date, you had not changed them: {_listed(self.updated)}.")
        if self.kept:
            said.append(f"  Kept as you left them, they differ from the kit's own: {_listed(self.kept)}.")
            said.append("  --fresh starts from the kit's own again; it puts yours aside and deletes nothing.")
        return said


def _counted(count: int) -> str:
    return f"{count} file{'s' if count != 1 else ''}"


def _listed(names: Sequence[str], most: int = 8) -> str:
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return ", ".join(names[:most]) + more


def default_folder() -> Path:
    """The working folder used when none is named."""
    return Path.home() / "flooring-kit-work"


def shipped_files(project: Path) -> list[str]:
    """The shipped notebooks and data files, as sorted paths from the project with forward slashes.

    Dot files and Python's caches are left out.

    Raises
    ------
    LaunchError
        Where the project has no ``notebooks`` folder.
    """
    if not (project / "notebooks").is_dir():
        raise LaunchError(
            f"There is no folder of notebooks in {project}. The notebooks lie beside the package: install "
            "the kit from its checkout, in that folder, with: python -m pip install -e ."
        )
    found = []
    for top in SHIPPED:
        for path in (project / top).rglob("*"):
            parts = path.relative_to(project).parts
            if path.is_file() and not any(part.startswith(".") or part == "__pycache__" for part in parts):
                found.append("/".join(parts))
    return sorted(found)


def make_working_copy(project: Path, folder: Path, *, fresh: bool = False, now: datetime | None = None) -> CopyReport:
    """Copy the shipped notebooks and data into a folder, and never over a file the user has changed.

    What was shipped is recorded, so that a file the user has not touched can follow a newer kit, while one
    that differs for any other reason is kept.

    Parameters
    ----------
    project
        The checkout with ``notebooks`` and ``data``.
    folder
        The working folder; made if it is not there.
    fresh
        Move the ``notebooks`` and ``data`` of the folder into a dated folder beside them, then copy anew.
    now
        The moment that dates the folder put aside; the present by default.

    Raises
    ------
    LaunchError
        Where the folder lies inside the kit, cannot be written, or is asked to be made fresh but was not
        made by the kit.
    """
    project, folder = project.resolve(), folder.expanduser().resolve()
    if folder == project or project in folder.parents:
        raise LaunchError(
            f"The working folder must not lie inside the kit itself, got {folder}. Choose another with --folder."
        )
    names = shipped_files(project)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        put_aside = _put_aside(folder, now or datetime.now()) if fresh else None
        (folder / OWN).mkdir(mode=0o700, exist_ok=True)
        record = _read_record(folder)
        done: dict[str, list[str]] = {"added": [], "updated": [], "kept": []}
        for name in names:
            shipped, mine = project / name, folder / name
            new = _fingerprint(shipped)
            old = _fingerprint(mine) if mine.exists() else None
            if old not in (None, new, record.get(name)):
                done["kept"].append(name)
                continue
            if old != new:
                _copy(shipped, mine)
                done["added" if old is None else "updated"].append(name)
            record[name] = new
        (folder / OWN / _RECORD).write_text(json.dumps(record, indent=1, sort_keys=True), encoding="utf-8")
    except OSError as error:
        raise LaunchError(cannot_write(folder, error)) from error
    return CopyReport(folder, tuple(done["added"]), tuple(done["updated"]), tuple(done["kept"]), put_aside)


def cannot_write(folder: Path, error: OSError) -> str:
    """The complaint about a working folder that cannot be written."""
    where = f" ({error.filename})" if error.filename and str(error.filename) != str(folder) else ""
    return f"Cannot write in {folder}: {error.strerror or error}{where}. Choose another folder with --folder."


def _put_aside(folder: Path, now: datetime) -> Path | None:
    old = [folder / top for top in SHIPPED if (folder / top).exists()]
    if not old:
        return None
    if not (folder / OWN / _RECORD).exists():
        raise LaunchError(
            f"{folder} has {' and '.join(path.name for path in old)} that the kit did not put there, so "
            "--fresh leaves the folder alone. Choose another with --folder."
        )
    stem = f"put-aside-{now:%Y-%m-%d-%H%M%S}"
    aside, count = folder / stem, 1
    while aside.exists():
        count += 1
        aside = folder / f"{stem}-{count}"
    aside.mkdir()
    for path in old:
        path.rename(aside / path.name)
    (folder / OWN / _RECORD).unlink()
    return aside


def _read_record(folder: Path) -> dict[str, str]:
    # A record that is missing or spoilt only means that every file that differs is kept.
    try:
        record = json.loads((folder / OWN / _RECORD).read_text(encoding="utf-8"))
    except (FileNotFoundError, ValueError):
        return {}
    return {str(name): str(mark) for name, mark in record.items()} if isinstance(record, dict) else {}


def _fingerprint(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def _copy(source: Path, target: Path) -> None:
    # By way of a file beside it: a copy broken off half way must not pass for a file the user changed.
    target.parent.mkdir(parents=True, exist_ok=True)
    half = target.with_name(f".{target.name}.part")
    shutil.copyfile(source, half)
    os.replace(half, target)


def notebook_path(folder: Path, name: str = FIRST_NOTEBOOK) -> str:
    """Path from the working folder of the notebook of that name, ``.ipynb`` written or not.

    Raises
    ------
    LaunchError
        Where the folder has no notebook of that name, with the names it has.
    """
    there = sorted(path.stem for path in (folder / "notebooks").glob("*.ipynb"))
    asked = name.replace("\\", "/").removeprefix("notebooks/").removesuffix(".ipynb")
    if not there:
        raise LaunchError(f"There is no notebook in {folder / 'notebooks'}.")
    try:
        return f"notebooks/{require_one_of(asked, there, 'notebook')}.ipynb"
    except ValueError as error:
        raise LaunchError(str(error)) from error
