"""Charts of sums over a range, drawn with matplotlib: what a covering takes from a heated floor."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd
from matplotlib import rc_context
from matplotlib.figure import Figure

from flooring_kit.drawing.marks import LOOKS
from flooring_kit.heated_floors import Heating, surface_output_w_m2
from flooring_kit.rules import HEATED_COVERING_LIMIT_M2K_W
from flooring_kit.tables import records

LINE, LIMIT = "#39424a", LOOKS["saw"].line
MARKERS = "osD^vP*X"


def output_chart(heating: Heating, options: pd.DataFrame, *, wanted_w_m2: float, warmest_c: float) -> Figure:
    """Output of a heated floor against the resistance of its covering, the options marked on it.

    Parameters
    ----------
    heating
        Pipes, screed, water and room.
    options
        As from :func:`flooring_kit.heated_floors.covering_options`; those over the limit are left out.
    wanted_w_m2
        Heat the room needs [W/m²], drawn as a line.
    warmest_c
        Warmest surface allowed [°C], drawn as a line where it lies in the picture.
    """
    figure = Figure(figsize=(7.2, 3.6), dpi=100)  # laid out by hand: reckoning the layout takes as long as drawing it
    figure.subplots_adjust(left=0.085, right=0.985, bottom=0.14, top=0.97)
    axes = figure.add_subplot()
    resistances = np.linspace(0.0, HEATED_COVERING_LIMIT_M2K_W, 61)
    outputs = heating.output_w_m2(resistances)
    axes.plot(resistances, outputs, color=LINE, linewidth=1.6)
    axes.axhline(wanted_w_m2, color=LINE, linestyle=(0, (6, 3)), linewidth=1.0)
    axes.annotate(f"wanted {wanted_w_m2:g} W/m²", (0.001, wanted_w_m2), (0, 3), textcoords="offset points", fontsize=9)
    cap = float(surface_output_w_m2(warmest_c, heating.room_c)) if warmest_c > heating.room_c else 0.0
    if 0 < cap < 1.1 * float(outputs.max()):
        axes.axhline(cap, color=LIMIT, linestyle=(0, (2, 2)), linewidth=1.2)
        axes.annotate(f"surface of {warmest_c:g} °C", (0.001, cap), (0, 3), textcoords="offset points", fontsize=9)
    for number, option in enumerate(records(options[options["output_w_m2"].notna()])):
        axes.plot(
            option.resistance_m2k_w,
            option.output_w_m2,
            MARKERS[number % len(MARKERS)],
            color=LINE,
            markerfacecolor="none",
            markersize=8,
            label=option.covering,
        )
    axes.set_xlabel("resistance of board and underlay, m²K/W")
    axes.set_ylabel("heat to the room, W/m²")
    axes.set_xlim(0, HEATED_COVERING_LIMIT_M2K_W * 1.02)
    axes.set_ylim(0, 1.12 * float(outputs.max()))
    axes.spines[["top", "right"]].set_visible(False)
    if axes.get_legend_handles_labels()[0]:
        axes.legend(fontsize=8, frameon=False, loc="lower left", ncols=2)
    return figure


def width_chart(
    widths: pd.DataFrame, *, marked_mm: Sequence[float] = (), settled: pd.DataFrame | None = None
) -> Figure:
    """Boards, bound, waste and narrowest strip against the width of the board.

    Parameters
    ----------
    widths
        As from :func:`flooring_kit.board_widths.width_table`.
    marked_mm
        Widths to mark with a line: those of boards on sale [mm].
    settled
        A table alike, of plans searched to the end at some widths: marked with a point.
    """
    figure = Figure(figsize=(7.2, 5.4), dpi=100, layout="constrained")
    boards, waste, strip = figure.subplots(3, sharex=True)
    at = widths["width_mm"]
    boards.step(at, widths["boards"], where="mid", color=LINE, linewidth=1.6, label="boards of a quick plan")
    boards.step(
        at, widths["bound"], where="mid", color=LINE, linewidth=1.2, linestyle=(0, (2, 2)), label="fewest possible"
    )
    if settled is not None and len(settled):
        dots = {"linestyle": "none", "marker": "D", "markersize": 6, "color": LINE, "markerfacecolor": "#dcc6a0"}
        boards.plot(settled["width_mm"], settled["boards"], label="plan searched to the end", **dots)
        waste.plot(settled["width_mm"], 100 * settled["waste_fraction"], **dots)
        strip.plot(settled["width_mm"], settled["narrowest_strip_mm"], **dots)
    boards.set_ylabel("boards")
    boards.legend(fontsize=8, frameon=False)
    waste.plot(at, 100 * widths["waste_fraction"], color=LINE, linewidth=1.6)
    waste.set_ylabel("board area over\nthe floor, %")
    strip.plot(at, widths["narrowest_strip_mm"], color=LINE, linewidth=1.6)
    strip.set_ylabel("narrowest\nstrip, mm")
    strip.set_xlabel("width of the board, mm")
    for axes in (boards, waste, strip):
        axes.spines[["top", "right"]].set_visible(False)
        for width in marked_mm:
            axes.axvline(width, color=LIMIT, linewidth=0.8, linestyle=(0, (4, 2)))
    return figure


def figure_svg(figure: Any, *, title: str) -> str:
    """A matplotlib figure as one <svg> element that keeps to the page's width.

    Parameters
    ----------
    figure
        The figure.
    title
        One sentence that says what is drawn, for those who can't see it.
    """
    text = io.StringIO()
    # The same figure gives the same text; letters as letters: half as long, sooner drawn, and read out by a reader.
    with rc_context({"svg.hashsalt": title, "svg.fonttype": "none"}):
        figure.savefig(text, format="svg", metadata={"Date": None, "Title": title})
    svg = text.getvalue()
    return svg[svg.index("<svg") :].replace("<svg", '<svg role="img" style="width:100%;height:auto"', 1)
