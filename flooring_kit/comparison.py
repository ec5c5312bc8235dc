"""Options side by side: every board with every underlay and every trim, in every direction asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import product

import pandas as pd

from flooring_kit.answers import Estimate, estimate, estimate_of_plan
from flooring_kit.choices import Choices, Materials
from flooring_kit.products import Catalogue
from flooring_kit.room import Room
from flooring_kit.rules import HEATED_COVERING_LIMIT_M2K_W, Direction
from flooring_kit.warmth import heating_of, season_kwh

UNKNOWN = float("nan")

COMPARED = [
    "board",
    "underlay",
    "trim",
    "direction",
    "boards",
    "packs",
    "boards_over",
    "underlay_packs",
    "trim_lengths",
    "waste_fraction",
    "joints",
    "narrowest_strip_mm",
    "height_mm",
    "resistance_m2k_w",
    "tog",
    "heat_lost_kwh",
    "heat_given_w_m2",
    "price",
]


def compare(
    room: Room,
    choices: Choices,
    catalogue: Catalogue,
    *,
    boards: Sequence[str],
    underlays: Sequence[str],
    trims: Sequence[str | None] | None = None,
    directions: Sequence[Direction] | None = None,
    known: Sequence[Estimate] = (),
    quick: bool = False,
) -> list[Estimate]:
    """An estimate for every board, direction, underlay and trim; each floor is set out once.

    Parameters
    ----------
    room, choices, catalogue
        As for :func:`flooring_kit.answers.estimate`; the choices give everything that is not compared.
    boards, underlays
        Names of the products compared.
    trims
        Names of the trims compared, None among them for no trim; the chosen one where None.
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
            for underlay, trim in product(underlays, [choices.materials.trim] if trims is None else trims):
                materials = Materials(board, underlay, trim)
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
        One row an option, in the order given: `board`, `underlay`, `trim` ("" for none), `direction`, `boards` (in
        the plan), `packs`, `boards_over` (left because packs are whole), `underlay_packs`, `trim_lengths`,
        `waste_fraction` (cutting loss over net area), `joints` (between board ends), `narrowest_strip_mm`,
        `height_mm`, `resistance_m2k_w`, `tog`; `heat_lost_kwh`: through an unheated floor in a season, the middle of
        its range; `heat_given_w_m2`: by a heated floor with its water as it is; `price` (of the materials with tax, a
        number). What is not known, or does not apply, is NaN, never a figure that leaves something out.
    """
    return pd.DataFrame(
        [
            {
                "board": option.plan.board.name,
                "underlay": option.underlay.name,
                "trim": option.trim.name if option.trim is not None else "",
                "direction": option.choices.laying.direction,
                "boards": option.take_off.boards.in_plan,
                "packs": option.take_off.boards.packs,
                "boards_over": option.take_off.boards.boards_over,
                "underlay_packs": option.take_off.underlay.packs,
                "trim_lengths": UNKNOWN if option.take_off.trim_lengths is None else option.take_off.trim_lengths,
                "waste_fraction": option.take_off.waste.fraction(option.take_off.waste.cutting_loss_m2),
                "joints": int(option.plan.joined["left"].sum()),
                "narrowest_strip_mm": min(part.narrowest_strip_mm for part in option.plan.row_widths),
                "height_mm": option.height_mm,
                "resistance_m2k_w": UNKNOWN if option.covering.missing else option.covering.resistance_m2k_w,
                "tog": UNKNOWN if option.covering.missing else option.covering.tog,
                "heat_lost_kwh": _heat_lost_kwh(option),
                "heat_given_w_m2": _heat_given_w_m2(option),
                "price": UNKNOWN if option.price.not_priced else float(option.price.with_tax),
            }
            for option in estimates
        ],
        columns=COMPARED,
    )


def _heat_lost_kwh(option: Estimate) -> float:
    if option.room.heated or option.covering.missing:
        return UNKNOWN
    return sum(season_kwh(option.room, option.choices.warmth, option.covering.resistance_m2k_w)) / 2


def _heat_given_w_m2(option: Estimate) -> float:
    covering = option.covering.resistance_m2k_w
    if not option.room.heated or option.covering.missing or covering > HEATED_COVERING_LIMIT_M2K_W:
        return UNKNOWN
    heating = heating_of(option.choices.heated, room_c=option.choices.warmth.room_c)
    return float(heating.output_w_m2(covering))
