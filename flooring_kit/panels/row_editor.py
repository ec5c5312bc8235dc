"""A list of rows with the fields of one row beside it: add, change, take out."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets

from flooring_kit.panels.fields import LABEL_WIDTH, Field, guarded

NEW = -1
"""Place of a row that is not there yet: a list shows no word for a value of None."""


@dataclass(frozen=True)
class RowEditor:
    """The editor's handles.

    Parameters
    ----------
    box
        What goes on the page.
    fields
        Fields of one row by name.
    rows
        The list: its value is the place of the row chosen, from 0; `NEW` for one to add.
    add, change, take_out
        Buttons.
    alert
        Where trouble is shown.
    show
        Call that puts rows in words into the list.
    """

    box: Any
    fields: Mapping[str, Field]
    rows: Any
    add: Any
    change: Any
    take_out: Any
    alert: Any
    show: Callable[[Sequence[str]], None]


def row_editor(
    title: str,
    fields: Mapping[str, Field],
    *,
    one: str,
    load: Callable[[int], Mapping[str, Any]],
    put: Callable[[int | None], None],
    take_out: Callable[[int], None],
) -> RowEditor:
    """An editor with no rows yet.

    Parameters
    ----------
    title
        What the rows are.
    fields
        Fields of one row by name; the first takes the hand after a row was added.
    one
        What one row is called: "wall".
    load
        Values of the fields for the row at a place.
    put
        Called to add a row made of the fields, or to change the one at a place; a ValueError is shown.
    take_out
        Called to take out the row at a place; a ValueError is shown.
    """
    css = f"kit-{one.replace(' ', '-')}"
    alert = widgets.HTML("", layout=widgets.Layout(display="none"))
    fresh = (f"a new {one}", NEW)
    rows = widgets.Dropdown(options=[fresh], value=NEW, description=title)
    rows.style.description_width = LABEL_WIDTH
    rows.layout = widgets.Layout(width="100%", margin="1px 0")
    rows.add_class(f"{css}-rows")
    add, change, out = (
        widgets.Button(description=words, layout=widgets.Layout(width="auto", margin="2px 8px 2px 0"))
        for words in (f"Add the {one}", f"Change the {one}", f"Take the {one} out")
    )
    for button, name in ((add, "add"), (change, "change"), (out, "out")):
        button.add_class(f"{css}-{name}")

    def offer(_: object = None) -> None:
        chosen = rows.value != NEW
        add.layout.display = "none" if chosen else ""
        change.layout.display = out.layout.display = "" if chosen else "none"

    def chosen(change: dict[str, Any]) -> None:
        offer()
        if change["new"] != NEW:
            for name, value in load(change["new"]).items():
                fields[name].control.value = value

    @guarded(alert)
    def added(_: object) -> None:
        put(None)
        next(iter(fields.values())).control.focus()

    @guarded(alert)
    def changed(_: object) -> None:
        put(rows.value)

    @guarded(alert)
    def taken_out(_: object) -> None:
        place = rows.value
        rows.value = NEW  # else the fields would stay beside the next row
        take_out(place)

    def show(words: Sequence[str]) -> None:
        place = rows.value
        rows.unobserve(chosen, "value")
        rows.options = [fresh, *((text, number) for number, text in enumerate(words))]
        rows.value = place if place < len(words) else NEW
        rows.observe(chosen, "value")
        offer()

    rows.observe(chosen, "value")
    add.on_click(added)
    change.on_click(changed)
    out.on_click(taken_out)
    offer()
    buttons = widgets.HBox([add, change, out], layout=widgets.Layout(flex_flow="row wrap"))
    box = widgets.VBox(
        [rows, *(field.box for field in fields.values()), buttons, alert],
        layout=widgets.Layout(width="100%", overflow="hidden"),
    )
    return RowEditor(box, fields, rows, add, change, out, alert, show)
