"""What setting out is asked with: a room, a board, rules, each of its own kind, told at the door."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from functools import wraps
from typing import Any, ParamSpec, TypeVar

from flooring_kit.checks import require_thing
from flooring_kit.products import Board
from flooring_kit.room import Room
from flooring_kit.rules import LayingRules
from flooring_kit.setting_out.plan import FirstRow, Search

Asked = ParamSpec("Asked")
Answer = TypeVar("Answer")

OPTIONS: dict[str, type] = {"rules": LayingRules, "first_row": FirstRow, "search": Search}


def require_asked(room: object, board: object, options: Mapping[str, object]) -> None:
    """Pass if room, board and options are what setting out takes.

    Raises
    ------
    ValueError
        For a path, a name, a mapping or a thing of another kind in their places.
    """
    require_thing(room, Room, "room", hint=_room_hint(room))
    require_thing(board, Board, "board", hint=_board_hint(board))
    for name, kind in OPTIONS.items():
        given = options.get(name)
        if given is not None:
            figures = given if isinstance(given, Mapping) else {}
            words = ", ".join(f"{key}={figure!r}" for key, figure in figures.items())
            require_thing(given, kind, name, hint=f"Write {name}={kind.__name__}({words or '...'}).")


def _room_hint(room: object) -> str:
    if isinstance(room, Board):
        return "The room comes first, then the board."
    if isinstance(room, Mapping):
        return "Take one room of them by its name."
    return "Read the survey first: read_room(path)." if isinstance(room, str | os.PathLike) else ""


def _board_hint(board: object) -> str:
    if isinstance(board, Mapping):
        return "Take one board of them by its name."
    return "Take it from its table: read_boards(path)[name]." if isinstance(board, str | os.PathLike) else ""


def at_the_door(function: Callable[Asked, Answer]) -> Callable[Asked, Answer]:
    """The function, its room, board and options looked at before anything else."""

    @wraps(function)
    def asked(*args: Asked.args, **kwargs: Asked.kwargs) -> Answer:
        given: dict[str, Any] = dict(zip(("room", "board"), args, strict=False)) | kwargs
        if len(args) <= 2 and {"room", "board"} <= given.keys():  # else Python tells what is missing
            require_asked(given["room"], given["board"], given)
        return function(*args, **kwargs)

    return asked
