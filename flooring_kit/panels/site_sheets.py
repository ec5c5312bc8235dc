"""Panel for paper: choose a room and the sheets wanted, save the pack or a blank survey form as PDF."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from flooring_kit.answers import Estimate, estimate
from flooring_kit.choices import Choices
from flooring_kit.files import file_name, own_path, write_pdf
from flooring_kit.panels.around_boards import board_field, room_field, underlay_field
from flooring_kit.panels.fields import Field, guarded, tell, tick_field
from flooring_kit.products import Catalogue
from flooring_kit.room import Room
from flooring_kit.site_sheets import SITE_SHEETS, site_pack_pdf, survey_form_pdf


@dataclass(frozen=True)
class SitePanel:
    """The panel's handles.

    Parameters
    ----------
    box
        The panel itself: the last line of a notebook cell.
    fields
        Room, board, underlay and prices, by name.
    ticks
        A box to tick for every one of `SITE_SHEETS`.
    save, save_form
        Buttons: the pack, and a blank survey form.
    told, alert
        Where the saved file's path and any trouble are shown.
    """

    box: Any
    fields: Mapping[str, Field]
    ticks: Mapping[str, Field]
    save: Any
    save_form: Any
    told: Any
    alert: Any


def site_panel(
    rooms: Mapping[str, Room],
    catalogue: Catalogue,
    choices: Choices,
    *,
    room: str | None = None,
    folder: str | Path | None = None,
) -> SitePanel:
    """Save the printed pack of a room, or a blank survey form.

    Parameters
    ----------
    rooms
        Surveyed rooms by name.
    catalogue
        Products to choose from.
    choices
        What is chosen at the start; what has no field here stays as it says.
    room
        The room shown first; the first of `rooms` where None.
    folder
        Where PDFs are saved; among the user's own files where None.
    """
    fields = {
        "room": room_field(rooms, room),
        "board": board_field(catalogue, choices),
        "underlay": underlay_field(catalogue, choices),
        "prices": tick_field("prices on the order list", True, tooltip="Before tax.", css_class="kit-prices"),
    }
    ticks = {
        name: tick_field(name, True, tooltip=f"Print the {name}.", css_class=f"kit-print-{name.replace(' ', '-')}")
        for name in SITE_SHEETS
    }
    told, alert = widgets.HTML(""), widgets.HTML("", layout=widgets.Layout(display="none"))

    def path_of(name: str) -> Path:
        return own_path(name) if folder is None else Path(folder) / name

    @lru_cache(maxsize=8)
    def planned(surveyed: Room, wanted: Choices) -> Estimate:
        return estimate(surveyed, wanted, catalogue)

    def save_pack() -> Path:
        surveyed = rooms[fields["room"].value]
        materials = replace(choices.materials, board=fields["board"].value, underlay=fields["underlay"].value)
        laying = replace(choices.laying, direction=surveyed.boards_run)
        ticked = [name for name in SITE_SHEETS if ticks[name].value]
        if not ticked:
            raise ValueError("Sheets: tick at least one.")
        found = planned(surveyed, replace(choices, materials=materials, laying=laying))
        pdf = site_pack_pdf(found, catalogue, sheets=ticked, priced=fields["prices"].value)
        return write_pdf(pdf, path_of(file_name(f"site sheets, {surveyed.name}", ".pdf")))

    @guarded(alert)
    def save(_: object = None) -> None:
        tell(told, "Setting the floor out and drawing its sheets …")
        said = ""
        try:
            said = f"Saved: {save_pack()}"
        finally:
            tell(told, said)

    @guarded(alert)
    def save_form(_: object = None) -> None:
        tell(told, "")
        tell(told, f"Saved: {write_pdf(survey_form_pdf(), path_of('blank survey.pdf'))}")

    buttons = (
        _button("Save the pack", save, tooltip="The sheets ticked, as one PDF.", css_class="kit-save-pack"),
        _button("Save a blank survey form", save_form, tooltip="To measure a room with.", css_class="kit-save-form"),
    )
    return SitePanel(_arranged(fields, ticks, buttons, told, alert), fields, ticks, *buttons, told, alert)


def _button(words: str, pressed: Callable[..., None], *, tooltip: str, css_class: str) -> Any:
    button = widgets.Button(
        description=words, tooltip=tooltip, layout=widgets.Layout(width="auto", margin="6px 8px 2px 0")
    )
    button.add_class(css_class)
    button.on_click(pressed)
    return button


def _arranged(
    fields: Mapping[str, Field], ticks: Mapping[str, Field], buttons: tuple[Any, ...], told: Any, alert: Any
) -> Any:
    """Fields, ticks in a grid that narrows on a phone, buttons, what was saved."""
    wide = widgets.Layout(width="100%", max_width="460px")
    chosen = widgets.VBox([fields[name].box for name in ("room", "board", "underlay")], layout=wide)
    grid = widgets.GridBox(
        [field.box for field in (*ticks.values(), fields["prices"])],
        layout=widgets.Layout(
            width="100%",
            max_width="640px",
            padding="0 0 0 4px",
            grid_template_columns="repeat(auto-fill, minmax(170px, 1fr))",
        ),
    )
    row = widgets.HBox(list(buttons), layout=widgets.Layout(flex_flow="row wrap", width="100%"))
    box = widgets.VBox([chosen, grid, row, told, alert], layout=widgets.Layout(width="100%", overflow="hidden"))
    box.add_class("kit-site-panel")
    return box
