"""Buttons and fields for a gloved thumb."""

from __future__ import annotations

from typing import Any

import ipywidgets as widgets

BUTTON_HEIGHT, FIELD_HEIGHT = "52px", "44px"
"""A gloved thumb hits these: 44 px is the least target of WCAG 2.1, 2.5.5."""

# The library gives its fields a fixed height on three levels, and no way to change the innermost but this.
_FIELD_STYLE = (
    "<style>.kit-thumbs .jupyter-widgets{height:auto}"
    f".kit-thumbs :is(select,input){{min-height:{FIELD_HEIGHT};font-size:16px!important}}"
    f".kit-thumbs .widget-label{{line-height:{FIELD_HEIGHT};height:{FIELD_HEIGHT}}}"
    f".kit-thumbs .widget-html-content{{line-height:{FIELD_HEIGHT}}}</style>"
)


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


def thumb_fields(boxes: list[Any]) -> Any:
    """Fields one below the other, as high as such buttons."""
    style = widgets.HTML(_FIELD_STYLE, layout=widgets.Layout(display="none"))
    column = widgets.VBox([style, *boxes], layout=widgets.Layout(width="100%"))
    column.add_class("kit-thumbs")
    return column
