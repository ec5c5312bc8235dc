"""Fields with a unit, a range and a plain tooltip; a complaint line under each; trouble shown, never swallowed."""

from __future__ import annotations

import functools
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from html import escape
from typing import Any

import ipywidgets as widgets

from flooring_kit.checks import require_between

NO_TRIM = "no trim"
"""A list shows no word for a value of None."""

LABEL_WIDTH = "104px"
COMPLAINT_STYLE = "color:#8f1d14;font-size:13px;line-height:1.35;margin:0 0 4px"


class ComplainedError(ValueError):
    """A value refused with a complaint that stands under its field already."""


@dataclass(frozen=True)
class Field:
    """A field and what belongs to it.

    Parameters
    ----------
    box
        What goes on the page.
    control
        The widget whose `value` is the answer; typed or chosen.
    complaint
        The line under the field, empty while all is well.
    slider
        The slider that follows the hand, where there is one.
    check
        Raises ValueError for a value the field does not take.
    """

    box: Any
    control: Any
    complaint: Any
    slider: Any = None
    check: Callable[[Any], object] = lambda value: None

    @property
    def value(self) -> Any:
        """The checked value; ComplainedError after a complaint is shown under the field."""
        self.require(self.check)
        return self.control.value

    def require(self, check: Callable[[Any], object]) -> None:
        """Show what a check says of the value under the field, and stop there."""
        try:
            check(self.control.value)
        except ValueError as fault:
            complain(self.complaint, str(fault))
            raise ComplainedError(str(fault)) from fault
        complain(self.complaint, "")


def complain(line: Any, text: str) -> None:
    """Show a complaint, or clear it."""
    line.value = f"<p role='alert' style='{COMPLAINT_STYLE}'>{escape(text)}</p>" if text else ""
    line.layout.display = "" if text else "none"


def complaint_line() -> Any:
    """A line for complaints, hidden while there are none."""
    line = widgets.HTML("")
    line.layout.display = "none"
    line.layout.margin = "0"
    return line


def number_field(
    label: str, value: int, limits: tuple[int, int], *, unit: str, tooltip: str, css_class: str, step: int = 1
) -> Field:
    """A slider with a box to type in beside it; both always show the same number.

    The box takes any whole number and complains about one outside `limits`; the slider only moves inside them.
    """
    low, high = limits
    number = widgets.IntText(value=value, description=label, tooltip=f"{tooltip} {low} to {high} {unit}.")
    number.style.description_width = LABEL_WIDTH
    number.layout = widgets.Layout(width="180px", flex="0 0 auto", margin="0")
    after = widgets.HTML(unit, layout=widgets.Layout(width="24px", flex="0 0 auto", margin="0 0 0 4px"))
    slider = widgets.IntSlider(value=value, min=low, max=high, step=step, readout=False, continuous_update=True)
    slider.tooltip = tooltip
    slider.layout = widgets.Layout(width="auto", flex="1 1 110px", min_width="90px", margin="0 12px")
    slider.add_class(css_class)
    number.add_class(f"{css_class}-number")
    widgets.jsdlink((slider, "value"), (number, "value"))

    def follow(change: dict[str, Any]) -> None:
        if low <= change["new"] <= high:
            slider.value = change["new"]

    number.observe(follow, "value")
    line = complaint_line()
    row = widgets.HBox(
        [number, after, slider], layout=widgets.Layout(flex_flow="row wrap", width="100%", overflow="hidden")
    )
    box = widgets.VBox([row, line], layout=widgets.Layout(width="100%", overflow="hidden"))
    return Field(box, number, line, slider, lambda given: require_between(given, low, high, label, unit=unit))


def choice_field(label: str, options: list[Any], value: Any, *, tooltip: str, css_class: str) -> Field:
    """A list to choose from."""
    control = widgets.Dropdown(options=options, value=value, description=label, tooltip=tooltip)
    control.style.description_width = LABEL_WIDTH
    control.layout = widgets.Layout(width="100%", margin="1px 0")
    control.add_class(css_class)
    line = complaint_line()
    return Field(widgets.VBox([control, line], layout=widgets.Layout(width="100%", overflow="hidden")), control, line)


def tick_field(label: str, value: bool, *, tooltip: str, css_class: str) -> Field:
    """A box to tick."""
    control = widgets.Checkbox(value=value, description=label, tooltip=tooltip, indent=False)
    control.layout = widgets.Layout(width="auto")
    control.add_class(css_class)
    line = complaint_line()
    return Field(widgets.VBox([control, line]), control, line)


def guarded(alert: Any) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Wrap a callback so that trouble shows in `alert` instead of vanishing, and is raised again.

    A ValueError shows its message; anything else its traceback, since it is the kit's own fault.
    """

    def wrap(callback: Callable[..., None]) -> Callable[..., None]:
        @functools.wraps(callback)
        def run(*args: Any, **kwargs: Any) -> None:
            try:
                callback(*args, **kwargs)
            except ComplainedError:
                complain(alert, "")
            except ValueError as fault:
                complain(alert, str(fault))
            except Exception:
                text = escape(traceback.format_exc())
                alert.value = f"<pre role='alert' style='{COMPLAINT_STYLE};white-space:pre-wrap'>{text}</pre>"
                alert.layout.display = ""
                raise
            else:
                complain(alert, "")

        return run

    return wrap
