"""Warmth in words: heat lost or given off, underlays weighed by it, the floor's surface, what is from memory."""

from __future__ import annotations

import math
from collections.abc import Iterable

import pandas as pd

from flooring_kit.choices import Choices
from flooring_kit.drawing import scrolling
from flooring_kit.drawing.charts import figure_svg, output_chart
from flooring_kit.heated_floors import BOARD_SURFACE_C, surface_limit_c
from flooring_kit.html_parts import heading_html, price_cell, sentences_html, table_html
from flooring_kit.products import Board, Underlay
from flooring_kit.room import Room
from flooring_kit.rules import HEATED_COVERING_LIMIT_M2K_W
from flooring_kit.tables import records
from flooring_kit.thermal import tog
from flooring_kit.warmth import (
    covering_m2k_w,
    heat_lost,
    heated_options,
    heating_of,
    lies_over,
    underlays_weighed,
)

BELOW_WORDS = {
    "ground": "on the ground",
    "ventilated void": "over a ventilated void",
    "heated room": "over a heated room",
}
NARROWEST_CHART_PX = 520
"""A phone scrolls the chart sideways: narrower, its words are too small to read."""

FROM_MEMORY = (
    "From memory: what a boiler or heat pump makes of a kWh, the 80 % at which mould grows, the warmest water. Degree "
    "days and prices are yours to set. A range is not a promise."
)
PLAIN_STRETCH = (
    "A plain stretch of floor is meant: corners, edges and places behind furniture are colder. Rising damp is another "
    "matter."
)


def covering_sentence(board: Board, underlay: Underlay) -> str:
    """Resistance of board and underlay, in m²K/W and tog."""
    covering = covering_m2k_w(board, underlay)
    if covering is None:
        return f"{board.name} on {underlay.name}: no resistance declared for one of them. Ask for it."
    return f"{board.name} on {underlay.name}: {covering:.3f} m²K/W = {tog(covering):.2f} tog."


def case_sentence(room: Room, choices: Choices) -> str:
    """Whether more resistance is better or less, and why."""
    if room.heated:
        return (
            "This floor is heated from below: less resistance is better, for what lies on the pipes keeps their heat "
            f"from the room. Board and underlay together may have {HEATED_COVERING_LIMIT_M2K_W:g} m²K/W (EN 1264)."
        )
    below = lies_over(room, choices.warmth)
    if below == "heated room":
        return (
            "This floor lies over a heated room: next to no heat is lost through it, so warmth is no reason to choose."
        )
    return f"This floor lies unheated {BELOW_WORDS[below]}: more resistance is better, it keeps heat in."


def heat_sentences(room: Room, board: Board, underlay: Underlay, choices: Choices) -> list[str]:
    """Heat lost through an unheated floor, before and after, and its coldest surface; empty over a heated room.

    Parameters
    ----------
    room, board, underlay
        The room and what is laid in it.
    choices
        What lies below, degree days, price of heat, air.
    """
    covering = covering_m2k_w(board, underlay)
    if covering is None:
        return []
    lost = heat_lost(room, choices.warmth, covering)
    if lost is None:
        return []
    money = choices.buying.currency
    (low, high), (cost_low, cost_high) = lost.season_kwh, lost.season_cost
    told = [
        lost.change.sentence().strip(),
        f"Through this room's floor {_range(low, high)} kWh go in a season, {_money(money, cost_low, cost_high)}.",
    ]
    if lost.change.is_colder:
        more = (-lost.saved_kwh[1], -lost.saved_kwh[0])
        cost = (-lost.saved_cost[1], -lost.saved_cost[0])
        told.append(f"That is {_range(*more)} kWh a season more than before, {_money(money, *cost)}.")
    else:
        kept = _money(money, *lost.saved_cost)
        told.append(f"The new covering keeps {_range(*lost.saved_kwh)} kWh a season in, {kept} against the old one.")
    if not lost.old_is_known:
        told.append("The resistance of the covering taken up is not in the survey: nothing is counted for it.")
    return [*told, lost.damp.sentence(), PLAIN_STRETCH, FROM_MEMORY]


def _range(low: float, high: float) -> str:
    return f"{low:.0f} to {high:.0f}"


def _money(sign: str, low: float, high: float) -> str:
    return f"{sign}{low:.0f} to {sign}{high:.0f}"


def heated_html(room: Room, board: Board, underlays: Iterable[Underlay], choices: Choices) -> str:
    """Underlays over heating: a table, and the output drawn against resistance."""
    heated, air = choices.heated, choices.warmth.room_c
    options = heated_options(board, underlays, heated, room_c=air)
    rows = [
        (
            row.covering,
            _shown(row.resistance_m2k_w, 3),
            _shown(row.output_w_m2, 0),
            _shown(row.surface_c, 1),
            _shown(row.needed_flow_c, 1),
            row.verdict,
        )
        for row in records(options)
    ]
    heads = (
        f"Under {board.name}",
        "With the board, m²K/W",
        f"Heat with water of {heated.flow_c:g}/{heated.return_c:g} °C, W/m²",
        "Surface, °C",
        f"Water for {heated.wanted_w_m2:g} W/m², °C",
        "So",
    )
    marked = [number for number, row in enumerate(records(options)) if row.verdict != "fits"]
    warmest = min(BOARD_SURFACE_C, surface_limit_c(heated.zone, air))
    title = "Heat to the room against the resistance of board and underlay"
    chart = figure_svg(
        output_chart(heating_of(heated, room_c=air), options, wanted_w_m2=heated.wanted_w_m2, warmest_c=warmest),
        title=title,
    )
    rules = [
        f"Figures by EN 1264-2: pipes {heated.pipe_diameter_mm:g} mm every {heated.spacing_mm:g} mm, "
        f"{heated.cover_mm:g} mm of screed over them; wood and laminate at most {BOARD_SURFACE_C:g} °C at the surface, "
        "the leaflet wins.",
        "Commission the heating before laying; heat down and up by its maker's dates; no screws into a heated screed.",
    ]
    return (
        table_html(heads, rows, label="Underlays over heating", marked=marked)
        + scrolling(f"<div style='min-width:{NARROWEST_CHART_PX}px'>{chart}</div>", label=title, widest_px=720)
        + sentences_html(rules)
    )


def weighed_html(weighed: pd.DataFrame, *, heated: bool, currency: str) -> str:
    """Underlays side by side as from :func:`flooring_kit.warmth.underlays_weighed`."""
    worth = "Heat to the room, W/m²" if heated else "Heat kept in against a bare floor, kWh a season"
    rows = [
        (
            row.underlay,
            f"{row.height_mm:g}",
            _shown(row.covering_m2k_w, 3),
            _shown(row.covering_tog, 2),
            _shown(row.worth, 0),
            row.packs,
            price_cell(row.price, currency),
            _shown(row.strength_kpa, 0),
            _shown(row.impact_sound_db, 0),
            row.misfits or row.bad_at,
        )
        for row in records(weighed)
    ]
    heads = (
        "Underlay",
        "Height with the board, mm",
        "m²K/W with the board",
        "tog",
        worth,
        "Packs",
        "Price before tax",
        "Strength, kPa",
        "Impact sound, dB as declared",
        "What it is bad at",
    )
    marked = [number for number, row in enumerate(records(weighed)) if row.misfits]
    return table_html(heads, rows, label="Underlays side by side", marked=marked)


def warmth_html(
    room: Room, board: Board, underlay: Underlay, underlays: Iterable[Underlay], choices: Choices, net_area_m2: float
) -> str:
    """The whole of warmth for one room: which case applies, what the choice does, underlays side by side.

    Parameters
    ----------
    room, board, underlay
        The room, and what is laid in it.
    underlays
        Underlays on sale.
    choices
        What lies below, degree days, heating, spares.
    net_area_m2
        Floor to cover [m²].
    """
    shelf = list(underlays)
    weighed = underlays_weighed(room, board, shelf, choices, net_area_m2=net_area_m2)
    told = [case_sentence(room, choices), covering_sentence(board, underlay)]
    parts = [sentences_html([*told, *([] if room.heated else heat_sentences(room, board, underlay, choices))])]
    if room.heated:
        parts += [heading_html("Over the heating"), heated_html(room, board, shelf, choices)]
    parts += [
        heading_html("Underlays side by side"),
        weighed_html(weighed, heated=room.heated, currency=choices.buying.currency),
        sentences_html(
            ["Impact sound is declared for a concrete floor in a laboratory: it says little of a timber floor."]
        ),
    ]
    return "".join(parts)


def _shown(value: float, digits: int) -> str:
    return "" if math.isnan(value) else f"{value:.{digits}f}"
