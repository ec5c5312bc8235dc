"""Fields with a unit, a range and a plain tooltip; a complaint line under each; trouble shown, never swallowed."""

from __future__ import annotations

import functools
import traceback
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from html import escape
from typing import Any

import ipywidgets as widgets

from flooring_kit.checks import require_between
from flooring_kit.panels.slider import Slider

NO_TRIM = "no trim"
"""A list shows no word for a value of None."""

LABEL_WIDTH = "104px"
COMPLAINT_STYLE = "color:#8f1d14;font-size:13px;line-height:1.35;margin:0 0 4px;white-space:pre-line"


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
    label: str, value: float, limits: tuple[int, int], *, unit: str, tooltip: str, css_class: str, step: float = 1
) -> Field:
    """A slider with a box to type in beside it; the page keeps both at the same number.

    The box takes any number, a whole one where `step` is whole, and complains about one outside `limits`; the slider
    stays inside them. Only the box is heard: were the slider moved from here, a slow answer would take it back from
    under a fast hand.
    """
    low, high = limits
    is_whole = isinstance(step, int)
    number = (widgets.IntText if is_whole else widgets.FloatText)(
        value=value, description=label, tooltip=f"{tooltip} {low} to {high} {unit}."
    )
    number.style.description_width = LABEL_WIDTH
    number.layout = widgets.Layout(width="180px", flex="0 0 auto", margin="0")
    after = widgets.HTML(unit, layout=widgets.Layout(width="24px", flex="0 0 auto", margin="0 0 0 4px"))
    slider = Slider(value=value, min=low, max=high, step=step, label=label, unit=unit, note=tooltip)
    slider.layout = widgets.Layout(width="auto", flex="1 1 110px", min_width="90px", margin="0 12px")
    slider.add_class(css_class)
    number.add_class(f"{css_class}-number")
    widgets.jslink((number, "value"), (slider, "value"))
    line = complaint_line()
    row = widgets.HBox(
        [number, after, slider], layout=widgets.Layout(flex_flow="row wrap", width="100%", overflow="hidden")
    )
    box = widgets.VBox([row, line], layout=widgets.Layout(width="100%", overflow="hidden"))
    return Field(box, number, line, slider, lambda given: require_between(given, low, high, label, unit=unit))


def text_field(label: str, value: str, *, tooltip: str, css_class: str) -> Field:
    """A line of text, taken when the hand leaves it."""
    control = widgets.Text(value=value, description=label, tooltip=tooltip, continuous_update=False)
    return _plain_field(control, css_class, lambda given: None)


def whole_field(label: str, value: float, limits: tuple[int, int], *, unit: str, tooltip: str, css_class: str) -> Field:
    """A number to type, without a slider; a whole one where `value` is whole."""
    low, high = limits
    kind = widgets.IntText if isinstance(value, int) else widgets.FloatText
    control = kind(value=value, description=label, tooltip=f"{tooltip} {low} to {high} {unit}.")
    return _plain_field(control, css_class, lambda given: require_between(given, low, high, label, unit=unit))


def _plain_field(control: Any, css_class: str, check: Callable[[Any], object]) -> Field:
    control.style.description_width = LABEL_WIDTH
    control.layout = widgets.Layout(width="100%", margin="1px 0")
    control.add_class(css_class)
    line = complaint_line()
    box = widgets.VBox([control, line], layout=widgets.Layout(width="100%", overflow="hidden"))
    return Field(box, control, line, None, check)


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


def day_field(label: str, value: date, *, tooltip: str, css_class: str) -> Field:
    """A day; a complaint where none is set."""
    control = widgets.DatePicker(value=value, description=label, tooltip=tooltip)

    def check(day: date | None) -> None:
        if day is None:
            raise ValueError(f"{label}: set a day, such as {value.isoformat()}.")

    return _plain_field(control, css_class, check)


@dataclass(frozen=True)
class TickGroup:
    """Boxes to tick, at least one of them.

    Parameters
    ----------
    box
        What goes on the page.
    label
        What the group is called.
    ticks
        The boxes by name.
    complaint
        The line under the group, empty while all is well.
    """

    box: Any
    label: str
    ticks: Mapping[str, Any]
    complaint: Any

    @property
    def chosen(self) -> list[str]:
        """Names ticked, in order; ComplainedError after a complaint under the group where there is none."""
        names = [name for name, tick in self.ticks.items() if tick.value]
        fault = "" if names else f"{self.label}: tick at least one."
        complain(self.complaint, fault)
        if fault:
            raise ComplainedError(fault)
        return names

    def observe(self, callback: Callable[..., None]) -> None:
        """Call back when a box is ticked or unticked."""
        for tick in self.ticks.values():
            tick.observe(callback, "value")


def tick_group(label: str, names: Sequence[str], chosen: Collection[str], *, css_class: str) -> TickGroup:
    """Boxes to tick side by side, as many in a line as there is room for."""
    ticks = {}
    for name in names:
        ticks[name] = widgets.Checkbox(value=name in chosen, description=name, indent=False)
        ticks[name].layout = widgets.Layout(width="auto", flex="0 1 250px", margin="0 10px 0 0")
        ticks[name].add_class(css_class)
    line = complaint_line()
    row = widgets.HBox(list(ticks.values()), layout=widgets.Layout(flex_flow="row wrap", width="100%"))
    title = widgets.HTML(f"<div style='font-weight:600;margin:6px 0 0'>{escape(label)}</div>")
    return TickGroup(widgets.VBox([title, row, line], layout=widgets.Layout(width="100%")), label, ticks, line)


def tell(line: Any, words: str) -> None:
    """Say something on a line of its own, for those who listen too; "" clears it."""
    line.value = (
        f"<p role='status' style='margin:0;color:#39424a;overflow-wrap:anywhere'>{escape(words)}</p>" if words else ""
    )


def heading(text: str) -> Any:
    """A heading inside a panel."""
    return widgets.HTML(f"<h4 style='margin:10px 0 2px'>{escape(text)}</h4>")


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
