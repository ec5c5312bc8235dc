"""Saving a file whole or not at all."""

from __future__ import annotations

import os
import secrets
import shutil
from contextlib import suppress
from pathlib import Path


def save_whole(path: str | os.PathLike[str], content: bytes, *, what: str, such_as: str) -> None:
    """Put the content in place of the file in one step.

    It goes to a new file in the same folder, which then takes the old one's place: whatever fails, the old file stays
    as it was and nothing is left beside it.

    Parameters
    ----------
    path
        The file, replaced if there is one.
    content
        All of it.
    what
        What is saved, for messages: "the job".
    such_as
        A name the file might have, for messages.

    Raises
    ------
    ValueError
        For a folder or a file that can't be written.
    """
    typed = os.fspath(path)
    target = Path(os.path.realpath(typed))  # a link stays a link: the file it points to is the one replaced
    if os.path.isdir(target):
        raise ValueError(f"{typed}: {what} was not saved: this is a folder. Add a name, such as {such_as}.")
    if not os.path.isdir(target.parent):
        raise ValueError(f"{typed}: {what} was not saved: there is no folder {target.parent} that can be opened.")
    if os.path.exists(target) and not os.path.isfile(target):
        raise ValueError(f"{typed}: {what} was not saved: this is a device or a pipe, not a file.")
    try:
        _replace(target, content)
    except OSError as slip:
        reason = slip.strerror or str(slip)
        raise ValueError(
            f"{typed}: {what} was not saved: {reason}. A file that was there before is unchanged. "
            f"Choose another folder or make room in this one."
        ) from slip


def _replace(target: Path, content: bytes) -> None:
    old = os.path.isfile(target)
    if old:
        with open(target, "r+b"):  # a file protected against writing is not to be replaced either
            pass
    beside = target.with_name(f".part-{secrets.token_hex(8)}")
    try:
        with open(beside, "xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        if old:
            with suppress(OSError):
                shutil.copymode(target, beside)
        os.replace(beside, target)
    except BaseException:
        with suppress(OSError):
            beside.unlink()
        raise
