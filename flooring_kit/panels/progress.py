"""A line that says what a long piece of work is at, how far it has come, and a button that stops it at once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets

from flooring_kit.panels.fields import tell


@dataclass(frozen=True)
class ProgressLine:
    """The line's handles.

    Parameters
    ----------
    box
        What goes on the page; takes no room while there is nothing to say.
    words, bar, stop
        The words, how far it is, and the button; the last two are away while nothing runs.
    """

    box: Any
    words: Any
    bar: Any
    stop: Any

    def at(self, words: str, done: int = 0, of: int = 0) -> None:
        """Work is running: what it is at, and how far where that is known."""
        tell(self.words, words)
        self.bar.layout.display = "" if of else "none"
        self.bar.max, self.bar.value = max(of, 1), done
        self.stop.layout.display = ""

    def rest(self, words: str = "") -> None:
        """No work is running: what came of it."""
        tell(self.words, words)
        self.bar.layout.display = self.stop.layout.display = "none"


def progress_line(stopped: Callable[[], None], *, css_class: str) -> ProgressLine:
    """A line at rest.

    Parameters
    ----------
    stopped
        Called when the button is pressed.
    css_class
        Class of the button, for tests and styles.
    """
    words = widgets.HTML("", layout=widgets.Layout(margin="0 10px 0 0"))
    bar = widgets.IntProgress(value=0, min=0, max=1, layout=widgets.Layout(width="130px", margin="0 10px 0 0"))
    bar.style.bar_color = "#7b6a4a"
    stop = widgets.Button(
        description="Stop here",
        tooltip="Stop the work and keep what there is.",
        layout=widgets.Layout(width="auto", min_height="30px"),
    )
    stop.add_class(css_class)
    stop.on_click(lambda _: stopped())
    box = widgets.HBox([words, bar, stop], layout=widgets.Layout(flex_flow="row wrap", align_items="center"))
    line = ProgressLine(box, words, bar, stop)
    line.rest()
    return line
