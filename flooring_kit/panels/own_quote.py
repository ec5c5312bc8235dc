"""Panel for one's own quote: every line with its reason, hours, what is left out or forgotten, a calendar, exports."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

import ipywidgets as widgets

from flooring_kit.answers import estimate_of_plan
from flooring_kit.choices import Choices, Work
from flooring_kit.files import file_name, own_path, write_order_list, write_page
from flooring_kit.html_parts import heading_html, page_html, sheet_html
from flooring_kit.labour import total_h
from flooring_kit.laying_calendar import Waits, laying_calendar
from flooring_kit.own_quote import often_forgotten, own_quote
from flooring_kit.own_quote_sheet import (
    calendar_html,
    forgotten_html,
    hours_html,
    quote_to_send_html,
    whole_price_html,
)
from flooring_kit.panels.around_boards import choices_from, room_and_products, settled_plan
from flooring_kit.panels.fields import (
    Field,
    choice_field,
    day_field,
    guarded,
    number_field,
    tell,
    tick_field,
    whole_field,
)
from flooring_kit.products import Catalogue
from flooring_kit.quoted import Quote
from flooring_kit.room import Room
from flooring_kit.whole_price import WholePrice, whole_price
from flooring_kit.work import work_hours

LEVELLINGS = {"leave it as it is": "no", "make it flat": "flat", "make it level": "level"}


@dataclass(frozen=True)
class OwnQuotePanel:
    """The panel's handles.

    Parameters
    ----------
    box
        The panel itself: the last line of a notebook cell.
    fields
        room, board, underlay, trim, rate, first_timer, level_to, disposal, valid_days, laying_day,
        delivery, acclimatise, compound.
    sheet, status, alert
        Where lines, hours and calendar, what was saved, and any trouble are shown.
    save_csv, save_xlsx, save_quote
        Buttons that save the order list and the quote.
    whole, quote
        Calls that give the whole price and the quote shown.
    """

    box: Any
    fields: Mapping[str, Field]
    sheet: Any
    status: Any
    alert: Any
    save_csv: Any
    save_xlsx: Any
    save_quote: Any
    whole: Callable[[], WholePrice]
    quote: Callable[[], Quote]


def own_quote_panel(
    rooms: Mapping[str, Room],
    catalogue: Catalogue,
    choices: Choices,
    *,
    room: str | None = None,
    today: date | None = None,
) -> OwnQuotePanel:
    """A panel that makes a quote of the take-off.

    Parameters
    ----------
    rooms
        Surveyed rooms by name.
    catalogue
        Products to choose from.
    choices
        What is chosen at the start.
    room
        The room shown first; the first of `rooms` where None.
    today
        The day the quote is made; today where None.
    """
    made_on = today or date.today()
    fields = _fields(rooms, catalogue, choices, room, made_on)
    sheet = widgets.HTML("", layout=widgets.Layout(width="100%", margin="0"))
    status = widgets.HTML("")
    alert = widgets.HTML("", layout=widgets.Layout(display="none"))
    shown: dict[str, Any] = {}

    def asked() -> Choices:
        rate = fields["rate"].value
        work = Work(
            hourly_rate=float(rate) if rate else None,
            first_timer=fields["first_timer"].value,
            level_to=LEVELLINGS[fields["level_to"].value],
            disposal_price=float(fields["disposal"].value),
        )
        return replace(choices_from(fields, choices, rooms[fields["room"].value]), work=work)

    def rewrite(_: object = None) -> None:
        wanted, surveyed = asked(), rooms[fields["room"].value]
        plan = settled_plan(surveyed, catalogue.board(wanted.materials.board), wanted.laying.rules)
        order = estimate_of_plan(plan, wanted, catalogue)
        whole, hours = whole_price(order, catalogue), work_hours(order, catalogue)
        valid_until = made_on + timedelta(days=fields["valid_days"].value)
        quote = own_quote(f"{surveyed.name} floor", order, whole, catalogue, valid_until=valid_until)
        calendar = laying_calendar(
            fields["laying_day"].value,
            hours=max(0.5, total_h(hours)[1]),
            heated=surveyed.heated,
            levelled=order.is_levelled,
            waits=Waits(
                delivery_days=fields["delivery"].value,
                acclimatise_days=fields["acclimatise"].value,
                compound_days=fields["compound"].value,
            ),
        )
        shown.update(whole=whole, quote=quote)
        sheet.value = sheet_html(
            heading_html("Every line, and where it comes from")
            + whole_price_html(whole)
            + heading_html("Hours of one person")
            + hours_html(hours)
            + heading_html("Often forgotten")
            + forgotten_html(often_forgotten(order))
            + heading_html("Calendar")
            + calendar_html(calendar, laying_day=fields["laying_day"].value, today=made_on)
            + heading_html("The quote as it is sent")
            + quote_to_send_html(quote)
        )

    def save_order(ending: str) -> Callable[[object], None]:
        def save(_: object) -> None:
            path = own_path(file_name(f"order, {shown['quote'].name}", ending))
            write_order_list(shown["whole"].order_list(), path)
            tell(status, f"Saved: {path}")

        return guarded(alert)(save)

    def save_page(_: object) -> None:
        quote = shown["quote"]
        path = own_path(file_name(f"quote, {quote.name}", ".html"))
        write_page(page_html(f"Quote: {quote.name}", quote_to_send_html(quote), foot=f"Made on {made_on}."), path)
        tell(status, f"Saved: {path}")

    on_change = guarded(alert)(rewrite)
    for field in fields.values():
        field.control.observe(on_change, "value")
    wide = widgets.Layout(width="auto", margin="2px 8px 2px 0")
    save_csv, save_xlsx, save_quote = (
        widgets.Button(description=words, layout=wide)
        for words in ("Save the order list (CSV)", "Save the order list (XLSX)", "Save the quote as a page")
    )
    save_csv.on_click(save_order(".csv"))
    save_xlsx.on_click(save_order(".xlsx"))
    save_quote.on_click(guarded(alert)(save_page))
    on_change()
    box = widgets.VBox(
        [
            widgets.VBox(
                [*(field.box for field in fields.values()), alert],
                layout=widgets.Layout(width="100%", max_width="460px", min_width="0"),
            ),
            widgets.HBox([save_csv, save_xlsx, save_quote], layout=widgets.Layout(flex_flow="row wrap")),
            status,
            sheet,
        ],
        layout=widgets.Layout(width="100%", overflow="hidden"),
    )
    box.add_class("kit-own-quote-panel")
    return OwnQuotePanel(
        box, fields, sheet, status, alert, save_csv, save_xlsx, save_quote,
        lambda: shown["whole"], lambda: shown["quote"],
    )  # fmt: skip


def _fields(
    rooms: Mapping[str, Room], catalogue: Catalogue, choices: Choices, room: str | None, made_on: date
) -> dict[str, Field]:
    currency = choices.buying.currency
    return {
        **room_and_products(rooms, catalogue, choices, room),
        "rate": number_field(
            "An hour costs",
            round(choices.work.hourly_rate or 30),
            (0, 200),
            unit=currency,
            tooltip="Price of an hour before tax; 0 where nobody is paid for it.",
            css_class="kit-own-rate",
        ),
        "first_timer": tick_field(
            "done for the first time: about twice the hours",
            choices.work.first_timer,
            tooltip="Tick for somebody who has not laid a floor before.",
            css_class="kit-own-first-timer",
        ),
        "level_to": choice_field(
            "Subfloor",
            list(LEVELLINGS),
            next(iter(LEVELLINGS)),
            tooltip="Counts where the survey holds levels.",
            css_class="kit-own-level",
        ),
        "disposal": number_field(
            "Disposal",
            choices.work.disposal_price or 0.0,
            (0, 100),
            step=0.5,
            unit=f"{currency}/m²",
            tooltip="Price before tax of taking away a m² of old covering.",
            css_class="kit-own-disposal",
        ),
        "valid_days": number_field(
            "Holds for",
            30,
            (1, 365),
            unit="days",
            tooltip="How long the quote holds.",
            css_class="kit-own-valid",
        ),
        "laying_day": day_field(
            "Laying day",
            made_on + timedelta(days=28),
            tooltip="First day of laying; the calendar counts back from it.",
            css_class="kit-own-day",
        ),
        "delivery": whole_field(
            "Delivery",
            Waits().delivery_days,
            (0, 365),
            unit="days",
            tooltip="From order to delivery.",
            css_class="kit-own-delivery",
        ),
        "acclimatise": whole_field(
            "Packs wait",
            Waits().acclimatise_days,
            (0, 60),
            unit="days",
            tooltip="Flat and unopened in the room before laying; the leaflet says how long.",
            css_class="kit-own-acclimatise",
        ),
        "compound": whole_field(
            "Compound dries",
            Waits().compound_days,
            (0, 60),
            unit="days",
            tooltip="From pouring to walking boards in, where the floor is levelled; the leaflet says how long.",
            css_class="kit-own-compound",
        ),
    }
