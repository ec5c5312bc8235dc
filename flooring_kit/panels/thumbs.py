"""Buttons for a gloved thumb."""

from __future__ import annotations

from typing import Any

import ipywidgets as widgets

BUTTON_HEIGHT = "52px"
"""A gloved thumb hits this."""


def thumb_button(words: str, css_class: str, *, style: str = "") -> Any:
    """A button wide and high enough for a thumb; two stand side by side where there is room."""
    layout = widgets.Layout(height=BUTTON_HEIGHT, flex="1 1 260px", width="auto", margin="4px")
    button = widgets.Button(description=words, button_style=style, layout=layout)
    button.style.font_size = "16px"
    button.add_class(css_class)
    return button


def thumb_row(buttons: list[Any]) -> Any:
    """Such buttons side by side, wrapped on a phone."""
    return widgets.Box(buttons, layout=widgets.Layout(flex_flow="row wrap", width="100%"))
