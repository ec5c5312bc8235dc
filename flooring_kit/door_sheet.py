"""Doorways and heights as a fitter reads them: frames to cut, bars to buy, leaves to ease, stairs and appliances."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Sequence

import pandas as pd

from flooring_kit.bar_order import bar_orders
from flooring_kit.checks import ceil_clean
from flooring_kit.doorways import undercut_list, undercut_sentences
from flooring_kit.heights import NewFloor, appliance_sentence, heights_ledger, riser_sentences
from flooring_kit.html_parts import heading_html, sentences_html, table_html
from flooring_kit.products import DoorBar, Underlay
from flooring_kit.room import Room
from flooring_kit.setting_out import Plan
from flooring_kit.tables import records
from flooring_kit.undercuts import CAUTIONS


def new_floors(
    plan: Plan, underlay: Underlay, *, sheet_mm: float = 0.0, levelling_mm: Sequence[tuple[float, float]] = ()
) -> list[NewFloor]:
    """The new floor at every doorway of a room.

    Parameters
    ----------
    plan, underlay
        Board and underlay.
    sheet_mm
        Thickness of a vapour sheet [mm].
    levelling_mm
        Compound at both ends of every doorway [mm]; none where empty.
    """
    depths = list(levelling_mm) or [(0.0, 0.0)] * len(plan.room.doors)
    return [NewFloor(plan.board.thickness_mm, underlay.thickness_mm, sheet_mm, depth) for depth in depths]


def growth_sentences(room: Room, *, rise_mm: float) -> list[str]:
    """Stairs and appliances when the floor has grown.

    Parameters
    ----------
    room
        The survey.
    rise_mm
        New build-up less the covering taken up [mm].
    """
    told = [words for edge in room.edges for words in riser_sentences(edge, rise_mm=rise_mm)]
    return told + [appliance_sentence(each, rise_mm=rise_mm) for each in room.appliances]


def rise_sentence(plan: Plan, underlay: Underlay, floors: Sequence[NewFloor]) -> str:
    """How much higher or lower the floor gets, layer by layer; compound is told apart."""
    old_mm = plan.room.old_covering_mm
    new_mm = _build_up_mm(plan, underlay, floors)
    sheet_mm = new_mm - plan.board.thickness_mm - underlay.thickness_mm
    rise = new_mm - old_mm
    change = f"{abs(rise):g} mm {'higher' if rise > 0 else 'lower'} than now" if rise else "as high as now"
    layers = [f"board {plan.board.thickness_mm:g}", f"underlay {underlay.thickness_mm:g}"]
    layers += [f"sheet {sheet_mm:g}"] if sheet_mm else []
    levelled = ", compound apart" if any(max(floor.levelling_mm) for floor in floors) else ""
    return (
        f"{', '.join(layers[:-1]).capitalize()} and {layers[-1]} make {new_mm:g} mm{levelled}; "
        f"{old_mm:g} mm come up: the floor gets {change}."
    )


def _build_up_mm(plan: Plan, underlay: Underlay, floors: Sequence[NewFloor]) -> float:
    return plan.board.thickness_mm + underlay.thickness_mm + (floors[0].sheet_mm if floors else 0.0)


HEIGHT_HEADS = (
    "Doorway",
    "Old, mm",
    "New, mm",
    "Step, near end",
    "Step, far end",
    "Bar",
    "Pack, mm",
    "Off the leaf, mm",
)


def height_cells(room: Room, ledger: pd.DataFrame, *, broken_at: Collection[int] = ()) -> list[tuple[str, ...]]:
    """The heights at every doorway cell by cell under `HEIGHT_HEADS`.

    Parameters
    ----------
    room
        The survey.
    ledger
        As from :func:`flooring_kit.heights.heights_ledger`.
    broken_at
        Numbers of the doorways at which a floor that goes on beyond is broken by a bar.
    """
    through = running_through(room, broken_at)
    return [
        (
            line.name,
            f"{line.old_mm:g}",
            f"{line.new_mm:g}",
            _signed(line.near_step_mm),
            _signed(line.far_step_mm),
            line.bar or ("runs through" if line.door in through else ""),
            f"{_tenths(line.packing_mm)} at the {line.packed_end} end" if line.packed_end else "",
            "caution"
            if line.fire_door
            else ("not measured" if math.isnan(line.ease_mm) else f"{ceil_clean(line.ease_mm)}"),
        )
        for line in records(ledger)
    ]


def running_through(room: Room, broken_at: Collection[int] = ()) -> set[int]:
    """Numbers of the doorways the floor runs through without a bar."""
    return {
        number
        for number, door in enumerate(room.doors, start=1)
        if door.beyond is not None and door.beyond.kind == "same floor" and number not in broken_at
    }


def doors_html(
    plan: Plan,
    underlay: Underlay,
    bars: Iterable[DoorBar],
    floors: Sequence[NewFloor],
    *,
    broken_at: Collection[int] = (),
) -> str:
    """Frames, bars and leaves, then what else the floor's height touches.

    Parameters
    ----------
    plan, underlay
        Board and underlay.
    bars
        Bars on sale.
    floors
        The new floor at each doorway.
    broken_at
        Numbers of the doorways at which a floor that goes on beyond is broken by a bar.
    """
    on_sale = list(bars)
    room = plan.room
    rise = _build_up_mm(plan, underlay, floors) - room.old_covering_mm
    ledger = heights_ledger(room, floors, on_sale, breaks=broken_at)
    lines = records(ledger)
    through = running_through(room, broken_at)
    marked = [number for number, line in enumerate(lines) if line.fire_door or not (line.bar or line.door in through)]
    frames = undercut_sentences(undercut_list(plan, floors))
    parts = [sentences_html([rise_sentence(plan, underlay, floors), *growth_sentences(room, rise_mm=rise)])]
    if frames:
        parts += [heading_html("Frames to undercut"), sentences_html([*frames, *CAUTIONS])]
    if lines:
        bought = [order.sentence() for order in bar_orders(room, ledger, on_sale)]
        rows = height_cells(room, ledger, broken_at=broken_at)
        parts += [
            heading_html("Heights at the doorways"),
            table_html(HEIGHT_HEADS, rows, label="Heights at the doorways", marked=marked),
            sentences_html([line.bar_says for line in lines]),
            heading_html("Door leaves"),
            sentences_html([line.leaf_says for line in lines]),
            heading_html("Bars to buy"),
            sentences_html(bought or ["None."]),
        ]
    else:
        parts.append(sentences_html(["No doorway in this survey."]))
    return "".join(parts)


def _tenths(length_mm: float) -> str:
    return f"{length_mm:.1f}".removesuffix(".0")


def _signed(step_mm: float) -> str:
    if math.isnan(step_mm):
        return "not measured"
    told = _tenths(abs(step_mm))
    return told if told == "0" else f"{'-' if step_mm < 0 else '+'}{told}"
