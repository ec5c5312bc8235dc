"""The cut list: what to saw in laying order, from which board or offcut, and which factory ends and edges stay.

Lengths are what the plan reckons with: measure in the room, then saw. Ends and edges are named by their lock, which
stays true whichever face of the board is up.
"""

from __future__ import annotations

from weakref import WeakKeyDictionary

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from flooring_kit.sawing.shaping import edge_lengths_mm, end_widths_mm, lock_words, named_by_lock, shaping
from flooring_kit.setting_out import Plan

CUT_COLUMNS = [
    "piece",
    "row",
    "board",
    "taken_from",
    "saw_mm",
    "keeps_end",
    "tongue_edge_mm",
    "groove_edge_mm",
    "rip_mm",
    "keeps_edge",
    "tongue_end_mm",
    "groove_end_mm",
    "shaped",
    "tongue_off",
]
WHOLE_MM = 0.05
"""Half of the tenth that lengths are kept to: a piece this near to a whole board is one."""


def cut_list(plan: Plan) -> pd.DataFrame:
    """Every piece in laying order, with the cuts it needs.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    DataFrame
        `piece`, `row`, `board` (number, in order of first use), `taken_from` ("board 7", or "offcut of 2d");
        `saw_mm`: about what length to saw, NaN where the whole length is laid; `keeps_end`: the factory ends that
        stay: "tongue end", "groove end", "both ends" or "neither end"; `tongue_edge_mm`, `groove_edge_mm`: its
        length along the two edges where an end is slanted, NaN elsewhere; `rip_mm`, `keeps_edge`,
        `tongue_end_mm`, `groove_end_mm`: the same across, with the width at both ends where it tapers; `shaped`:
        in how many places it is notched, holed, tapered or slanted (:func:`flooring_kit.shaping`); `tongue_off`:
        "end", "edge", "end and edge" or "": where a factory tongue faces a wall and has to come off, or it fills the
        gap.
    """
    if plan not in _MADE:
        _MADE[plan] = _cut_list(plan)
    return _MADE[plan].copy()


_MADE: WeakKeyDictionary[Plan, pd.DataFrame] = WeakKeyDictionary()
"""Lists made already: blades, hours and sheets all ask for the list of the plan they count; it goes with its plan."""


def _cut_list(plan: Plan) -> pd.DataFrame:
    pieces, board = plan.pieces, plan.board
    joined = plan.joined[["left", "right", "back", "front"]].to_numpy(dtype=bool)
    taken_from = [
        f"board {number}" if other is None else f"offcut of {other}"
        for number, other in zip(pieces["board"], _laid_before_from_the_same_board(plan), strict=True)
    ]
    places = shaping(plan)
    tongue_end, tongue_edge = named_by_lock(board)
    widths = _where(pieces, places, "taper", end_widths_mm(plan))
    lengths = _where(pieces, places, "slant", edge_lengths_mm(plan))
    return pd.DataFrame(
        {
            "piece": pieces["piece"],
            "row": pieces["row"],
            "board": pieces["board"],
            "taken_from": taken_from,
            "saw_mm": _less_than(pieces["length_mm"], board.length_mm),
            "keeps_end": [lock_words(board.end_locks, first=a, last=b, side="end") for a, b, _, _ in joined],
            "tongue_edge_mm": lengths[:, tongue_edge],
            "groove_edge_mm": lengths[:, 1 - tongue_edge],
            "rip_mm": _less_than(pieces["width_mm"], board.width_mm),
            "keeps_edge": [lock_words(board.edge_locks, first=a, last=b, side="edge") for _, _, a, b in joined],
            "tongue_end_mm": widths[:, tongue_end],
            "groove_end_mm": widths[:, 1 - tongue_end],
            "shaped": pieces["piece"].map(places.groupby("piece").size()).fillna(0).astype(int),
            "tongue_off": _tongues_off(plan, joined),
        },
        columns=CUT_COLUMNS,
        index=pieces.index,
    )


def row_rips(plan: Plan) -> pd.DataFrame:
    """The rows that are ripped where they start or where they end, with their width at both.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    DataFrame
        One row a laid row whose first or last piece is ripped: `row`; `start_piece`, `start_mm` and `end_piece`,
        `end_mm`: the piece at the row's start and about how wide it is there, and the same at the row's end [mm]. A
        piece that is notched there is as wide as the notch leaves it; one whose end is slanted, as its rectangle.
    """
    pieces = plan.pieces
    ripped = (pieces["width_mm"] < plan.board.width_mm - WHOLE_MM).to_numpy()
    places = shaping(plan)
    slanted = pieces["piece"].isin(places["piece"][places["kind"] == "slant"]).to_numpy()
    widths = np.where(slanted[:, None], pieces[["width_mm"]].to_numpy(), end_widths_mm(plan))
    found = []
    for row, at in pieces.groupby("row").indices.items():
        first, last = at[0], at[-1]
        if ripped[first] or ripped[last]:
            names = pieces["piece"].iloc[first], pieces["piece"].iloc[last]
            found.append((row, names[0], float(widths[first, 0]), names[1], float(widths[last, 1])))
    return pd.DataFrame(found, columns=["row", "start_piece", "start_mm", "end_piece", "end_mm"])


def _tongues_off(plan: Plan, joined: NDArray[np.bool_]) -> list[str]:
    """For each piece the sides with a factory tongue and no neighbour. Common practice, no source."""
    pieces, board = plan.pieces, plan.board
    along, across = pieces["along_mm"].to_numpy(), pieces["across_mm"].to_numpy()
    factory = np.stack(
        [
            along < WHOLE_MM,
            along + pieces["length_mm"].to_numpy() > board.length_mm - WHOLE_MM,
            across < WHOLE_MM,
            across + pieces["width_mm"].to_numpy() > board.width_mm - WHOLE_MM,
        ],
        axis=1,
    )
    tongues = np.array([lock == "tongue" for lock in (*board.end_locks, *board.edge_locks)])
    off = factory & ~joined & tongues
    return [
        " and ".join([*["end"] * bool(end), *["edge"] * bool(edge)])
        for end, edge in zip(off[:, :2].any(axis=1), off[:, 2:].any(axis=1), strict=True)
    ]


def _where(pieces: pd.DataFrame, places: pd.DataFrame, kind: str, sizes: NDArray[np.float64]) -> NDArray[np.float64]:
    """The sizes of pieces shaped that way; NaN for all others."""
    shaped = pieces["piece"].isin(places["piece"][places["kind"] == kind]).to_numpy()
    return np.where(shaped[:, None], sizes, np.nan)


def _less_than(sizes: pd.Series[float], whole_mm: float) -> pd.Series[float]:
    return sizes.where(sizes < whole_mm - WHOLE_MM)


def _laid_before_from_the_same_board(plan: Plan) -> list[str | None]:
    """For each piece in laying order the last one laid before it from the same board, or None."""
    latest: dict[int, str] = {}
    before: list[str | None] = []
    for board, label in zip(plan.pieces["board"], plan.pieces["piece"], strict=True):
        before.append(latest.get(board))
        latest[board] = label
    return before
