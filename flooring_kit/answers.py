"""One room, one set of choices, all the answers: what every panel, notebook cell and sheet calls."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import pandas as pd

from flooring_kit.area import net_area_m2, room_area_m2
from flooring_kit.area_check import AreaCheck, area_by_strips_m2, compare_areas
from flooring_kit.choices import Choices
from flooring_kit.edges import edge_gaps, gap_sentences, too_narrow_sentences, trim_cover
from flooring_kit.heights import NewFloor, heights_ledger
from flooring_kit.pricing import Price, price_materials
from flooring_kit.products import Catalogue, DoorBar, Trim, Underlay
from flooring_kit.room import Room
from flooring_kit.rules import HEATED_COVERING_LIMIT_M2K_W
from flooring_kit.setting_out import FirstRow, Plan, Search, better_plans, set_out
from flooring_kit.suitability import misfits
from flooring_kit.takeoff import TakeOff, take_off
from flooring_kit.thermal import BuildUp, build_up

LEAST_LEVELS = 3
"""Levels that make a surface."""


@dataclass(frozen=True)
class Estimate:
    """The answers for one room.

    Parameters
    ----------
    room, choices
        What was asked.
    plan, take_off, price
        The plan, what it takes, what that costs.
    covering
        Thermal resistance of underlay and board together.
    underlay, trim
        The underlay and the trim chosen; no trim is None.
    """

    room: Room
    choices: Choices
    plan: Plan
    take_off: TakeOff
    price: Price
    covering: BuildUp
    underlay: Underlay
    trim: Trim | None

    @property
    def misfits(self) -> list[str]:
        """What does not suit the room or the other products, and gaps too small or too wide, a sentence each."""
        told = misfits(self.room, self.plan.board, self.underlay, self.trim) + gap_sentences(edge_gaps(self.plan))
        if self.trim is not None:
            told += too_narrow_sentences(self.trim, trim_cover(self.plan, self.trim))
        return told

    def heights(self, bars: Iterable[DoorBar]) -> pd.DataFrame:
        """What every doorway needs at the new height, with one floor throughout: see :func:`heights_ledger`."""
        floor = NewFloor(self.plan.board.thickness_mm, self.underlay.thickness_mm)
        return heights_ledger(self.room, [floor] * len(self.room.doors), bars, breaks=[])

    def leaves_too_low(self, bars: Iterable[DoorBar]) -> pd.DataFrame:
        """Rows of :meth:`heights` whose door leaf will not clear the new floor.

        Fire doors are among them: no figure to cut goes to those.
        """
        ledger = self.heights(bars)
        return ledger[ledger["ease_mm"] > 0]

    @property
    def is_levelled(self) -> bool:
        """Whether levelling was chosen and enough levels were read to reckon it."""
        return self.choices.work.level_to != "no" and len(self.room.levels) >= LEAST_LEVELS

    @property
    def net_area_m2(self) -> float:
        """Area the boards cover [m²]."""
        return net_area_m2(self.plan.floor)

    @property
    def room_area_m2(self) -> float:
        """Area inside the skirting [m²]."""
        return room_area_m2(self.room)

    @property
    def height_mm(self) -> float:
        """Height of underlay and board [mm]."""
        return self.plan.board.thickness_mm + self.underlay.thickness_mm

    @property
    def too_warm_for_heating(self) -> bool:
        """Whether the room is heated from below and the covering lets too little through."""
        return self.room.heated and self.covering.resistance_m2k_w > HEATED_COVERING_LIMIT_M2K_W + 1e-9


def two_areas(room: Room) -> AreaCheck:
    """The area inside the skirting by two routes that share nothing but the corners' figures."""
    corners = [corner for face in room.wall_faces for corner in face[:-1]]
    return compare_areas(room_area_m2(room), area_by_strips_m2(corners))


def estimate(room: Room, choices: Choices, catalogue: Catalogue, *, quick: bool = False) -> Estimate:
    """All the answers for one room and one set of choices.

    Parameters
    ----------
    room
        The survey.
    choices
        What was chosen.
    catalogue
        Products to choose from.
    quick
        True for a plan good enough for a slider in motion.

    Raises
    ------
    ValueError
        For a product the catalogue does not hold, and as :func:`flooring_kit.set_out`.
    """
    plan = set_out(
        room,
        catalogue.board(choices.materials.board),
        rules=choices.laying.rules,
        direction=choices.laying.direction,
        first_row=FirstRow(choices.laying.start, choices.laying.first_row_width_mm),
        search=Search(quick, choices.laying.seed),
    )
    return estimate_of_plan(plan, choices, catalogue)


def better_estimates(room: Room, choices: Choices, catalogue: Catalogue) -> Iterator[Estimate]:
    """The quick estimate first, then one at each step of the search, the same object where nothing changed."""
    plans = better_plans(
        room,
        catalogue.board(choices.materials.board),
        rules=choices.laying.rules,
        direction=choices.laying.direction,
        first_row=FirstRow(choices.laying.start, choices.laying.first_row_width_mm),
        search=Search(False, choices.laying.seed),
    )
    now: Estimate | None = None
    for plan in plans:
        if now is None or plan is not now.plan:
            now = estimate_of_plan(plan, choices, catalogue)
        yield now


def estimate_of_plan(plan: Plan, choices: Choices, catalogue: Catalogue) -> Estimate:
    """The answers that follow from a plan already made."""
    underlay = catalogue.underlay(choices.materials.underlay)
    trim = catalogue.trim(choices.materials.trim)
    counted = take_off(plan, underlay, trim, buying=choices.buying)
    return Estimate(
        plan.room,
        choices,
        plan,
        counted,
        price_materials(counted, plan.board, underlay, trim, buying=choices.buying),
        build_up([(underlay.name, underlay.resistance_m2k_w), (plan.board.name, plan.board.resistance_m2k_w)]),
        underlay,
        trim,
    )
