"""The course: its exercises in their order, and one of them made from a seed."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace

from flooring_kit.checks import require_whole
from flooring_kit.workbook import (
    doors_and_pipes,
    joints,
    measuring,
    money,
    on_a_board,
    rows_across,
    trim_work,
    underneath,
)
from flooring_kit.workbook.exercise import Exercise, UnluckyFiguresError, is_clear

MAKERS: tuple[Callable[[random.Random], Exercise], ...] = (
    measuring.area_of_an_l,
    measuring.packs_to_order,
    measuring.waste_as_a_share,
    rows_across.clear_width,
    rows_across.first_row,
    rows_across.far_wall_out_of_line,
    rows_across.strip_before_a_hearth,
    joints.offcut_that_starts_a_row,
    joints.step_of_joints,
    on_a_board.shared_boards,
    on_a_board.notch_face_down,
    trim_work.mitre_setting,
    trim_work.long_and_short_points,
    trim_work.lengths_of_trim,
    trim_work.foot_that_covers,
    underneath.tog_of_a_floor,
    underneath.strips_of_sheet,
    doors_and_pipes.undercut_of_a_frame,
    doors_and_pipes.easing_a_leaf,
    doors_and_pipes.hole_for_a_pipe,
    doors_and_pipes.centre_of_a_hole,
    money.rate_for_a_square_metre,
    money.quote_with_a_mistake,
)
"""One subject after another, each from easy to hard."""

NUMBERS = range(1, len(MAKERS) + 1)
MOST_SEED = 999_999
TRIES = 600
"""Figures are drawn anew until every slip can be told from the right answer; a few tries do for most exercises."""


def exercise(number: int, seed: int) -> Exercise:
    """An exercise with the figures of a seed: the same ones every time.

    Parameters
    ----------
    number
        Which exercise, from 1.
    seed
        A whole number from 0 to 999 999; another one gives other figures.

    Raises
    ------
    ValueError
        For a number or a seed outside those limits.

    Examples
    --------
    >>> exercise(4, 7).title, exercise(4, 7) == exercise(4, 7)
    ('Clear width', True)
    """
    whole = require_whole(number, 1, len(MAKERS), "exercise")
    from_seed = require_whole(seed, 0, MOST_SEED, "seed")
    for attempt in range(TRIES):
        try:
            made = MAKERS[whole - 1](random.Random(f"{whole}:{from_seed}:{attempt}"))
        except UnluckyFiguresError:
            continue
        if is_clear(made):
            return replace(made, number=whole, seed=from_seed)
    raise RuntimeError(f"exercise {whole}, seed {from_seed}: no figures tell its slips apart in {TRIES} tries")
