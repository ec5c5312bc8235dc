"""A line beside an order: how likely it is to run short, counted when asked for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets

from flooring_kit.answers import Estimate
from flooring_kit.html_parts import sentences_html
from flooring_kit.measuring_errors import TRADE, Replan, replans
from flooring_kit.panels.fields import guarded
from flooring_kit.panels.progress import ProgressLine, progress_line
from flooring_kit.panels.pump import Pump
from flooring_kit.shortage import Bought, chances

ROOMS_MEASURED = 25
"""Rooms measured anew: few enough to wait for, enough for a chance to a few in 100."""


@dataclass(frozen=True)
class ChanceLine:
    """The line's handles.

    Parameters
    ----------
    box
        What goes on the page.
    ask
        The button that has the chance counted.
    words, alert
        Where it is told, and any trouble.
    progress
        How many rooms have been measured anew, with a button that stops it.
    wait
        Call for an order that may still change: forgets what was counted.
    ready
        Call for an order that stays.
    settle
        Call that finishes at once.
    """

    box: Any
    ask: Any
    words: Any
    alert: Any
    progress: ProgressLine
    wait: Callable[[], None]
    ready: Callable[[], None]
    settle: Callable[[], None]


def chance_line(order: Callable[[], Estimate]) -> ChanceLine:
    """A line with nothing counted yet, for an order that may still change.

    Parameters
    ----------
    order
        Gives what is ordered for which floor, when it is asked for.
    """
    ask = widgets.Button(
        description="How likely is that to run short?",
        tooltip=f"Measures the room anew {ROOMS_MEASURED} times, each a little otherwise, as tapes and walls do.",
        layout=widgets.Layout(width="auto", min_height="30px", align_self="flex-start"),
    )
    ask.add_class("kit-chance-ask")
    words = widgets.HTML("", layout=widgets.Layout(margin="0"))
    words.add_class("kit-chance")
    alert = widgets.HTML("", layout=widgets.Layout(display="none"))
    progress = progress_line(lambda: stop(), css_class="kit-chance-stop")
    measured: list[Replan] = []

    def show(one: Replan) -> None:
        measured.append(one)
        progress.at(f"Room measured anew {len(measured)} of {ROOMS_MEASURED} times.", len(measured), ROOMS_MEASURED)

    def told() -> None:
        found = chances(measured, Bought.ordered(order().take_off), TRADE)
        together = found.sentences()[len(found.chances) :]
        sentences = [*(chance.just_enough for chance in found.chances), *together, TRADE.sentence()]
        words.value = f"<div role='status'>{sentences_html(sentences)}</div>"
        progress.rest()

    pump: Pump[Replan] = Pump(show, told, guarded(alert))

    def count(_: object) -> None:
        forget()
        now = order()
        pump.start(replans(now.plan, TRADE, underlay=now.underlay, trim=now.trim, count=ROOMS_MEASURED))
        progress.at(f"The room is measured anew, {ROOMS_MEASURED} times.")

    def stop() -> None:
        pump.cancel()
        if measured:
            told()  # from the rooms there are
        else:
            progress.rest()

    def forget() -> None:
        pump.cancel()
        measured.clear()
        words.value = ""
        progress.rest()

    def wait() -> None:
        forget()
        ask.disabled = True

    def ready() -> None:
        ask.disabled = False

    ask.on_click(guarded(alert)(count))
    wait()
    box = widgets.VBox([ask, progress.box, words, alert], layout=widgets.Layout(width="100%", margin="0 0 8px"))
    return ChanceLine(box, ask, words, alert, progress, wait, ready, pump.drain)
