"""A job kept on disk while it is worked on, and taken up again when the notebook is opened anew."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, replace

from flooring_kit.choices import Choices
from flooring_kit.files import Job, laid_aside, read_job, write_job
from flooring_kit.products import Catalogue
from flooring_kit.room import Room


@dataclass(frozen=True)
class LeftOff:
    """What a panel begins with.

    Parameters
    ----------
    rooms
        Rooms to choose from, the kept job's own with them.
    room
        The room shown first.
    choices
        What is chosen at the start.
    words
        What was taken up, or why it could not be; "" for a fresh start.
    """

    rooms: Mapping[str, Room]
    room: str
    choices: Choices
    words: str = ""


def left_off(
    path: str | os.PathLike[str] | None, rooms: Mapping[str, Room], catalogue: Catalogue, fresh: Choices, room: str
) -> LeftOff:
    """The job kept there where there is one that can be read; else a fresh start.

    A file that can't be read is laid aside under another name, not lost.

    Parameters
    ----------
    path
        Where the job is kept; None keeps none.
    rooms, catalogue, fresh, room
        What a fresh start has.
    """
    if path is None or not os.path.exists(path):
        return LeftOff(rooms, room, fresh)
    try:
        job = read_job(path)
        names = job.choices.materials
        catalogue.board(names.board), catalogue.underlay(names.underlay), catalogue.trim(names.trim)
    except ValueError as fault:
        aside = laid_aside(path)
        return LeftOff(
            rooms, room, fresh, f"The job kept last time can't be taken up and was laid aside as {aside}: {fault}"
        )
    told = f"Taken up where you left off: {job.room.name}, {names.board}."
    return LeftOff({**rooms, job.room.name: job.room}, job.room.name, job.choices, told)


def keep(path: str | os.PathLike[str] | None, room: Room, choices: Choices, catalogue: Catalogue) -> None:
    """Keep the job, with the products chosen; nothing where no path is given.

    Raises
    ------
    ValueError
        For a folder or a file that can't be written.
    """
    if path is not None:
        small = replace(catalogue, bars={}, sundries={})
        write_job(Job(room, choices, small).with_chosen_products_only(), path)
