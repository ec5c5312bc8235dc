"""Panel that checks a quote: from a file or typed, its columns mapped by the user, findings and what to ask."""

from __future__ import annotations

import contextlib
import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from flooring_kit.answers import Estimate, estimate_of_plan
from flooring_kit.choices import Choices
from flooring_kit.files import file_name, own_path, read_quote, read_quote_heads, suggested_columns, write_page
from flooring_kit.files.saving import save_whole
from flooring_kit.findings import Finding
from flooring_kit.html_parts import page_html
from flooring_kit.panels.around_boards import choices_from, room_and_products, settled_plan
from flooring_kit.panels.fields import Field, choice_field, guarded, heading, number_field, tell
from flooring_kit.products import Catalogue
from flooring_kit.quote_sheet import quote_html
from flooring_kit.quoted import Quote
from flooring_kit.quotes import check_quote, column_signs, quotes_side_by_side
from flooring_kit.room import Room
from flooring_kit.whole_price import WholePrice, whole_price

TYPED, NONE = "typed in below", "not in this quote"
ALONE = "no other quote"
TYPED_FILE = "typed quote.csv"
HEAD_LINE = "What; How many; Unit; Price of one; Price of the line"
EXAMPLE = f"""{HEAD_LINE}
Laminate oak 1380 x 193; 9; pack; 38.40; 345.60
Underlay foam 3 mm; 2; pack; 21.00; 42.00
Fitting; 8; h; 30; 240
Total; ; ; ; 627.60"""
COLUMN_LABELS = {
    "item": "What",
    "quantity": "How many",
    "unit": "Unit",
    "unit_price": "Price of one",
    "amount": "Price of line",
}
SHEET_FOOT = (
    "Made from a survey and a plan that can be shown. It says nothing about the person who quoted or the quality of "
    "the work. Local codes and licensed practice decide."
)


@dataclass(frozen=True)
class QuotePanel:
    """The panel's handles.

    Parameters
    ----------
    box
        The panel itself: the last line of a notebook cell.
    fields
        room, board, underlay, trim, rate, quote, beside, and "column …" for every column of a quote.
    typed, upload, save
        Where a quote is typed, a file of one's own is brought in, and the sheet saved as a page.
    sheet, status, alert
        Where the findings, what was saved, and any trouble are shown.
    quote, findings
        Calls that give the quote as read and what was found in it.
    """

    box: Any
    fields: Mapping[str, Field]
    typed: Any
    upload: Any
    save: Any
    sheet: Any
    status: Any
    alert: Any
    quote: Callable[[], Quote]
    findings: Callable[[], Sequence[Finding]]


def quote_panel(
    rooms: Mapping[str, Room],
    catalogue: Catalogue,
    choices: Choices,
    quotes: Mapping[str, str | os.PathLike[str]],
    *,
    room: str | None = None,
    today: date | None = None,
) -> QuotePanel:
    """A panel that checks one of several quotes, one's own file, or typed lines.

    Parameters
    ----------
    rooms
        Surveyed rooms by name.
    catalogue
        Products to choose from.
    choices
        What is chosen at the start.
    quotes
        Files to choose from by name.
    room
        The room shown first; the first of `rooms` where None.
    today
        The day it is looked at; today where None.
    """
    files: dict[str, str | os.PathLike[str]] = dict(quotes)
    first = next((name for name in files if room and room_named_in(name, [room])), next(iter(files), TYPED))
    fields = _fields(rooms, catalogue, choices, room, [first, *(name for name in files if name != first)])
    typed = _typed_box()
    upload = widgets.FileUpload(accept=".csv,.xlsx", multiple=False, description="Bring a file (CSV or XLSX)")
    upload.layout = widgets.Layout(width="auto")
    save = widgets.Button(description="Save the findings as a page", layout=widgets.Layout(width="auto"))
    sheet = widgets.HTML("", layout=widgets.Layout(width="100%", margin="0"))
    status = widgets.HTML("")
    alert = widgets.HTML("", layout=widgets.Layout(display="none"))
    shown: dict[str, Any] = {}

    def path_of(name: str) -> str | os.PathLike[str]:
        if name != TYPED:
            return files[name]
        path = own_path(TYPED_FILE)
        save_whole(path, typed.value.encode("utf-8"), what="the typed quote", such_as=TYPED_FILE)
        return path

    def take_off() -> tuple[Estimate, WholePrice]:
        """The kit's own figures for the room, set out once for each board."""
        surveyed, rate = rooms[fields["room"].value], fields["rate"].value
        asked = choices_from(fields, choices, surveyed)
        asked = replace(asked, work=replace(choices.work, hourly_rate=float(rate)))
        plan = settled_plan(surveyed, catalogue.board(asked.materials.board), asked.laying.rules)
        order = estimate_of_plan(plan, asked, catalogue)
        return order, whole_price(order, catalogue)

    def columns() -> dict[str, str]:
        chosen = {name: fields[f"column {name}"].value for name in COLUMN_LABELS}
        return {name: head for name, head in chosen.items() if head != NONE}

    def heads_anew() -> None:
        """The column names of the quote into the lists, those that say what they are chosen already."""
        heads = list(dict.fromkeys(read_quote_heads(path_of(fields["quote"].value))))
        suggested = suggested_columns(heads)
        for name in COLUMN_LABELS:
            control = fields[f"column {name}"].control
            control.unobserve(on_change, "value")
            control.options = [*heads, NONE]
            control.value = suggested.get(name, NONE)
            control.observe(on_change, "value")

    def check(_: object = None) -> None:
        with cleared_where_refused():
            check_chosen()

    @contextlib.contextmanager
    def cleared_where_refused() -> Iterator[None]:
        """No findings of another quote stand beside a complaint."""
        try:
            yield
        except ValueError:
            sheet.value = ""
            raise

    def check_chosen() -> None:
        quote = read_quote(path_of(fields["quote"].value), columns())
        order, whole = take_off()
        found = check_quote(quote, order, whole, catalogue=catalogue, today=today or date.today())
        beside = fields["beside"].value
        both = [quote] if beside == ALONE else [quote, read_quote(path_of(beside))]
        shown.update(quote=quote, findings=found)
        sheet.value = quote_html(quote, found, quotes_side_by_side(both, whole), column_signs(both, whole))

    def quote_anew(_: object = None) -> None:
        typed.layout.display = "" if fields["quote"].value == TYPED else "none"
        named = room_named_in(fields["quote"].value, rooms)
        if named and named != fields["room"].value:
            fields["room"].control.unobserve(on_change, "value")
            fields["room"].control.value = named
            fields["room"].control.observe(on_change, "value")
        with cleared_where_refused():
            heads_anew()
            check_chosen()

    def brought(change: dict[str, Any]) -> None:
        """A file from one's own disk, kept under its name among one's own files."""
        for each in change["new"]:
            path = own_path(file_name(Path(each["name"]).stem, Path(each["name"]).suffix))
            save_whole(path, bytes(each["content"]), what="the quote", such_as="quote.csv")
            files[path.stem] = path
            for name, last in (("quote", TYPED), ("beside", ALONE)):
                fields[name].control.options = [*files, last]
            fields["quote"].control.value = path.stem

    def save_page(_: object = None) -> None:
        quote = shown["quote"]
        path = own_path(file_name(f"findings, {quote.name}", ".html"))
        write_page(page_html(f"What to ask about the quote {quote.name}", sheet.value, foot=SHEET_FOOT), path)
        tell(status, f"Saved: {path}")

    on_change = guarded(alert)(check)
    on_quote = guarded(alert)(quote_anew)
    for name, field in fields.items():
        field.control.observe(on_quote if name == "quote" else on_change, "value")
    typed.observe(on_quote, "value")
    upload.observe(guarded(alert)(brought), "value")
    save.on_click(guarded(alert)(save_page))
    on_quote()
    box = _arranged(fields, [upload, typed], [save, status, alert], sheet)
    return QuotePanel(
        box, fields, typed, upload, save, sheet, status, alert, lambda: shown["quote"], lambda: shown["findings"]
    )


def room_named_in(quote: str, rooms: Iterable[str]) -> str:
    """The room whose name a quote's name begins with; "" where there is none.

    >>> room_named_in("kitchen_diner_fitter_f", ["Hall", "Kitchen-diner"])
    'Kitchen-diner'
    """

    def plain(words: str) -> str:
        return words.lower().replace("_", " ").replace("-", " ")

    return next((room for room in rooms if plain(quote).startswith(plain(room))), "")


def _typed_box() -> Any:
    """Lines to type, those typed last time with them."""
    kept = own_path(TYPED_FILE)
    typed = widgets.Textarea(
        value=kept.read_text(encoding="utf-8") if kept.is_file() else EXAMPLE,
        description="Lines",
        tooltip="One line of the quote a line: what; how many; unit; price of one; price of the line.",
        continuous_update=False,
        rows=8,
    )
    typed.style.description_width = "60px"
    typed.layout = widgets.Layout(width="auto", display="none")
    typed.add_class("kit-quote-typed")
    return typed


def _fields(
    rooms: Mapping[str, Room], catalogue: Catalogue, choices: Choices, room: str | None, quotes: list[str]
) -> dict[str, Field]:
    to_check = list(dict.fromkeys([*quotes, TYPED]))
    others = [*(name for name in quotes if name != TYPED), ALONE]
    return {
        "quote": choice_field("Quote", to_check, quotes[0], tooltip="The quote to check.", css_class="kit-quote"),
        "beside": choice_field(
            "Beside it", others, ALONE, tooltip="A second quote, on the same basis.", css_class="kit-beside"
        ),
        **room_and_products(rooms, catalogue, choices, room),
        "rate": number_field(
            "An hour costs",
            round(choices.work.hourly_rate or 30),
            (0, 200),
            unit=choices.buying.currency,
            tooltip="What an hour of fitting is taken at in the kit's own figures.",
            css_class="kit-quote-rate",
        ),
        **{
            f"column {name}": choice_field(
                label,
                [NONE],
                NONE,
                tooltip=f"The quote's own column for: {label.lower()}.",
                css_class=f"kit-column-{name.replace('_', '-')}",
            )
            for name, label in COLUMN_LABELS.items()
        },
    }


def _arranged(fields: Mapping[str, Field], ways_in: Sequence[Any], below: Sequence[Any], sheet: Any) -> Any:
    narrow = widgets.Layout(width="100%", max_width="460px", min_width="0", padding="0 14px 0 0", flex="1 1 320px")

    def column(title: str, parts: Sequence[Any]) -> Any:
        return widgets.VBox([heading(title), *parts], layout=narrow)

    upload, typed = ways_in
    hint = widgets.HTML("<div style='font-size:13px;line-height:1.3'>On the right the quote's own names.</div>")
    save, *told = below
    both = [fields["quote"].box, upload, fields["beside"].box]
    mapped = [field.box for name, field in fields.items() if name.startswith("column ")]
    room = [fields[name].box for name in ("room", "board", "underlay", "trim", "rate")]
    across = widgets.HBox(
        [
            column("The quote", both),
            column("Which column is which", [hint, *mapped]),
            column("Held against", room),
        ],
        layout=widgets.Layout(flex_flow="row wrap", width="100%"),
    )
    box = widgets.VBox(
        [across, typed, widgets.HBox([save]), *told, sheet], layout=widgets.Layout(width="100%", overflow="hidden")
    )
    box.add_class("kit-quote-panel")
    return box
