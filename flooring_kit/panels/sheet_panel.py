"""A panel of the plainest kind: fields on one side, on the other a sheet that is written anew at every change."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets

from flooring_kit.html_parts import sheet_html
from flooring_kit.panels.fields import Field, guarded


@dataclass(frozen=True)
class SheetPanel:
    """The panel's handles.

    Parameters
    ----------
    box
        The panel itself: the last line of a notebook cell.
    fields
        Every field by name.
    sheet, alert
        Where the sheet and any trouble are shown.
    """

    box: Any
    fields: Mapping[str, Field]
    sheet: Any
    alert: Any


def sheet_panel(fields: Mapping[str, Field], write: Callable[[Mapping[str, Field]], str], *, name: str) -> SheetPanel:
    """A panel that shows what `write` makes of its fields.

    Parameters
    ----------
    fields
        Fields by name, in the order they stand.
    write
        The sheet as HTML; a ValueError is shown as a complaint, the last sheet stays.
    name
        Its CSS class, for tests and styles.
    """
    sheet = widgets.HTML("", layout=widgets.Layout(width="100%", margin="0"))
    alert = widgets.HTML("", layout=widgets.Layout(display="none"))

    @guarded(alert)
    def rewrite(_: object = None) -> None:
        sheet.value = sheet_html(write(fields))

    for field in fields.values():
        field.control.observe(rewrite, "value")
    rewrite()
    beside = widgets.VBox(
        [*(field.box for field in fields.values()), alert],
        layout=widgets.Layout(width="100%", max_width="460px", min_width="0"),
    )
    box = widgets.VBox([beside, sheet], layout=widgets.Layout(width="100%", overflow="hidden"))
    box.add_class(name)
    return SheetPanel(box, fields, sheet, alert)
