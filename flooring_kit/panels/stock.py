"""Panel for stock in hand: say what is owned, see which boards need not be bought."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets

from flooring_kit.as_laid import FromStock, plan_from_stock
from flooring_kit.choices import Buying
from flooring_kit.day_entries import ENDS_KEPT, InHand
from flooring_kit.html_parts import sheet_html
from flooring_kit.panels.fields import Field, choice_field, guarded, text_field, whole_field
from flooring_kit.panels.thumbs import thumb_button, thumb_fields, thumb_row
from flooring_kit.setting_out import Plan
from flooring_kit.stock_sheet import stock_html


@dataclass(frozen=True)
class StockPanel:
    """The panel's handles.

    Parameters
    ----------
    box
        The panel itself: the last line of a notebook cell.
    plan
        The floor laid from new boards.
    fields
        "length", "end", "count" and "name".
    add, take_out
        Buttons: one more thing in hand, and the last one out again.
    sheet, alert
        Where the answer and any trouble are shown.
    held
        What is in hand so far.
    """

    box: Any
    plan: Plan
    fields: Mapping[str, Field]
    add: Any
    take_out: Any
    sheet: Any
    alert: Any
    held: list[InHand]

    @property
    def found(self) -> FromStock | None:
        """The floor planned from what is in hand; None while there is nothing."""
        return _found(self.plan, self.held)


def stock_panel(plan: Plan, *, stock: Sequence[InHand] = (), buying: Buying | None = None) -> StockPanel:
    """Which boards need not be bought, where some are owned.

    Parameters
    ----------
    plan
        The floor laid from new boards, settled.
    stock
        What is in hand at the start.
    buying
        Spares bought with the floor; the usual ones where None.
    """
    spares = buying or Buying()
    fields = _fields(plan)
    held = list(stock)
    sheet = widgets.HTML("", layout=widgets.Layout(width="100%", margin="0"))
    alert = widgets.HTML("", layout=widgets.Layout(display="none"))
    add = thumb_button("Put it in hand", "kit-stock-add", style="success")
    take_out = thumb_button("Take the last one out", "kit-stock-out")

    def show(owned: Sequence[InHand]) -> None:
        sheet.value = sheet_html(stock_html(plan, owned, _found(plan, owned), spares))
        held[:] = owned  # only once the plan has taken it
        take_out.disabled = not held

    @guarded(alert)
    def put_in_hand(_: Any) -> None:
        length, count, end, name = (fields[each].value for each in ("length", "count", "end", "name"))
        show([*held, InHand(length, end, count, name.strip())])

    @guarded(alert)
    def take_last_out(_: Any) -> None:
        show(held[:-1])

    add.on_click(put_in_hand)
    take_out.on_click(take_last_out)
    show(held)
    parts = [thumb_fields([field.box for field in fields.values()]), thumb_row([add, take_out]), alert, sheet]
    box = widgets.VBox(parts, layout=widgets.Layout(width="100%", max_width="640px", overflow="hidden"))
    box.add_class("kit-stock-panel")
    return StockPanel(box, plan, fields, add, take_out, sheet, alert, held)


def _found(plan: Plan, stock: Sequence[InHand]) -> FromStock | None:
    return plan_from_stock(plan, stock) if stock else None


def _fields(plan: Plan) -> dict[str, Field]:
    return {
        "length": whole_field(
            "Length, mm",
            float(plan.board.length_mm),
            (1, round(plan.board.length_mm)),
            unit="mm",
            tooltip="Of a board or an offcut, full width.",
            css_class="kit-stock-length",
        ),
        "end": choice_field(
            "Its ends",
            list(ENDS_KEPT),
            ENDS_KEPT[2],
            tooltip="Which factory ends it still has; both on a board not sawn.",
            css_class="kit-stock-end",
        ),
        "count": whole_field(
            "How many", 1, (1, 1000), unit="pieces", tooltip="How many of this length.", css_class="kit-stock-count"
        ),
        "name": text_field("From", "", tooltip="Such as: from the hall.", css_class="kit-stock-name"),
    }
