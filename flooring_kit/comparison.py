"""Options side by side: every board with every underlay, in every direction asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pandas as pd

from flooring_kit.answers import Estimate, estimate, estimate_of_plan
from flooring_kit.choices import Choices
from flooring_kit.products import Catalogue
from flooring_kit.room import Room
from flooring_kit.rules import Direction

UNKNOWN = float("nan")

COMPARED = [
    "board",
    "underlay",
    "direction",
    "boards",
    "packs",
    "underlay_packs",
    "waste_fraction",
    "narrowest_strip_mm",
    "height_mm",
    "resistance_m2k_w",
    "tog",
    "price",
]


def compare(
    room: Room,
    choices: Choices,
    catalogue: Catalogue,
    *,
    boards: Sequence[str],
    underlays: Sequence[str],
    directions: Sequence[Direction] | None = None,
    known: Sequence[Estimate] = (),
    quick: bool = False,
) -> list[Estimate]:
    """An estimate for every board, direction and underlay; each floor is set out once.

    Parameters
    ----------
    room, choices, catalogue
        As for :func:`flooring_kit.answers.estimate`; the choices give everything that is not compared.
    boards, underlays
        Names of the products compared.
    directions
        Directions compared; the chosen one where None.
    known
        Estimates made already, with the same choices but for what is compared: their plans are used again.
    quick
        True for plans good enough for a slider in motion.
    """
    found: list[Estimate] = []
    for board in boards:
        for direction in directions or [choices.laying.direction]:
            laying = replace(choices.laying, direction=direction)
            plan = next(
                (
                    done.plan
                    for done in known
                    if done.plan.board == catalogue.board(board) and done.choices.laying == laying and done.room is room
                ),
                None,
            )
            for underlay in underlays:
                materials = replace(choices.materials, board=board, underlay=underlay)
                option = replace(choices, materials=materials, laying=laying)
                if plan is None:
                    found.append(estimate(room, option, catalogue, quick=quick))
                    plan = found[-1].plan
                else:
                    found.append(estimate_of_plan(plan, option, catalogue))
    return found


def comparison_table(estimates: Sequence[Estimate]) -> pd.DataFrame:
    """Estimates side by side.

    Returns
    -------
    DataFrame
        One row an option, in the order given: `board`, `underlay`, `direction`, `boards` (in the plan),
        `packs`, `underlay_packs`, `waste_fraction` (cutting loss over net area), `narrowest_strip_mm`,
        `height_mm`, `resistance_m2k_w`, `tog`, `price` (with tax, a number). What is not known is NaN, never
        a figure that leaves something out.
    """
    return pd.DataFrame(
        [
            {
                "board": option.plan.board.name,
                "underlay": option.underlay.name,
                "direction": option.choices.laying.direction,
                "boards": option.take_off.boards.in_plan,
                "packs": option.take_off.boards.packs,
                "underlay_packs": option.take_off.underlay.packs,
                "waste_fraction": option.take_off.waste.fraction(option.take_off.waste.cutting_loss_m2),
                "narrowest_strip_mm": min(part.narrowest_strip_mm for part in option.plan.row_widths),
                "height_mm": option.height_mm,
                "resistance_m2k_w": UNKNOWN if option.covering.missing else option.covering.resistance_m2k_w,
                "tog": UNKNOWN if option.covering.missing else option.covering.tog,
                "price": UNKNOWN if option.price.not_priced else float(option.price.with_tax),
            }
            for option in estimates
        ],
        columns=COMPARED,
    )
