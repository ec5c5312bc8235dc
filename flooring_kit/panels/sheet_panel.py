"""A panel of the plainest kind: fields on one side, on the other a sheet that is written anew at every change."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets

from flooring_kit.html_parts import sheet_html
from flooring_kit.panels.fields import Field, guarded
from flooring_kit.panels.pump import Pump


@dataclass(frozen=True)
class SheetPanel:
    """The panel's handles.

    Parameters
    ----------
    box
        The panel itself: the last line of a notebook cell.
    fields
        Every field by name.
    sheet, more, alert
        Where the sheet, what takes longer, and any trouble are shown.
    settle
        Call that writes what takes longer at once.
    """

    box: Any
    fields: Mapping[str, Field]
    sheet: Any
    more: Any
    alert: Any
    settle: Callable[[], None]


Write = Callable[[Mapping[str, Field]], str]


def sheet_panel(fields: Mapping[str, Field], write: Write, *, name: str, more: Write | None = None) -> SheetPanel:
    """A panel that shows what `write` makes of its fields.

    Parameters
    ----------
    fields
        Fields by name, in the order they stand.
    write
        The sheet as HTML; a ValueError is shown as a complaint, the last sheet stays.
    name
        Its CSS class, for tests and styles.
    more
        What takes longer: written below when the hand has rested, the last one staying until then.
    """
    below = widgets.HTML("", layout=widgets.Layout(width="100%", margin="0"))
    sheet = widgets.HTML("", layout=widgets.Layout(width="100%", margin="0"))
    alert = widgets.HTML("", layout=widgets.Layout(display="none"))

    def show_more(html: str) -> None:
        below.value = html

    pump: Pump[str] = Pump(show_more, lambda: None, guarded(alert), rest_seconds=0.3)

    @guarded(alert)
    def rewrite(_: object = None) -> None:
        pump.cancel()
        sheet.value = sheet_html(write(fields))
        if more is not None:
            pump.start(sheet_html(write_on(fields)) for write_on in (more,))

    for field in fields.values():
        field.control.observe(rewrite, "value")
    rewrite()
    beside = widgets.VBox(
        [*(field.box for field in fields.values()), alert],
        layout=widgets.Layout(width="100%", max_width="460px", min_width="0"),
    )
    box = widgets.VBox([beside, sheet, below], layout=widgets.Layout(width="100%", overflow="hidden"))
    box.add_class(name)
    return SheetPanel(box, fields, sheet, below, alert, pump.drain)
