"""Panel for the chance of running short: tolerances, what is bought, what stopping costs."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

import ipywidgets as widgets

from flooring_kit.answers import Estimate, estimate
from flooring_kit.checks import counted
from flooring_kit.choices import Choices
from flooring_kit.html_parts import sheet_html
from flooring_kit.measuring_errors import FIRST_TIMER, TRADE, Replan, Tolerances, replans
from flooring_kit.panels.around_boards import choices_from, room_and_products
from flooring_kit.panels.fields import Field, choice_field, guarded, number_field
from flooring_kit.panels.progress import ProgressLine, progress_line
from flooring_kit.panels.pump import Pump
from flooring_kit.products import Catalogue
from flooring_kit.room import Room
from flooring_kit.shortage import Bought, Shortage, chances
from flooring_kit.shortage_sheet import shortage_html

ROOMS_MEASURED = 25
WHO = {"someone in the trade": TRADE, "someone who does it for the first time": FIRST_TIMER}


@dataclass(frozen=True)
class ShortPanel:
    """The panel's handles.

    Parameters
    ----------
    box
        The panel itself: the last line of a notebook cell.
    fields
        room, board, underlay, trim, who, tape, out_of_true, extra_packs, stop_price.
    sheet, alert
        Where the chances and any trouble are shown.
    progress
        How many rooms have been measured anew, with a button that stops it.
    shortage
        Call that gives the chances shown; None before the first room is in.
    settle
        Call that finishes at once.
    """

    box: Any
    fields: Mapping[str, Field]
    sheet: Any
    alert: Any
    progress: ProgressLine
    shortage: Callable[[], Shortage | None]
    settle: Callable[[], None]


@dataclass(frozen=True)
class Asked:
    """What is bought for which floor, and how far survey and saw may be out."""

    order: Estimate
    bought: Bought
    tolerances: Tolerances


def short_panel(
    rooms: Mapping[str, Room], catalogue: Catalogue, choices: Choices, *, room: str | None = None
) -> ShortPanel:
    """A panel that measures a room anew twenty-five times and draws ten thousand jobs.

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
    """
    fields = _fields(rooms, catalogue, choices, room)
    sheet = widgets.HTML("", layout=widgets.Layout(width="100%", margin="0"))
    alert = widgets.HTML("", layout=widgets.Layout(display="none"))
    measured: list[Replan] = []
    last: list[Asked] = []
    shown: list[Shortage] = []
    stopped: list[bool] = []

    def tolerances() -> Tolerances:
        return replace(
            WHO[fields["who"].value],
            tape_mm=float(fields["tape"].value),
            out_of_true_mm=float(fields["out_of_true"].value),
        )

    def asked() -> Asked:
        surveyed = rooms[fields["room"].value]
        order = estimate(surveyed, choices_from(fields, choices, surveyed), catalogue, quick=True)
        return Asked(order, _bought(order, fields["extra_packs"].value), tolerances())

    def steps(now: Asked) -> Iterator[Replan]:
        yield from replans(
            now.order.plan, now.tolerances, underlay=now.order.underlay, trim=now.order.trim, count=ROOMS_MEASURED
        )

    def show(one: Replan) -> None:
        measured.append(one)
        progress.at(f"Room measured anew {len(measured)} of {ROOMS_MEASURED} times.", len(measured), ROOMS_MEASURED)
        rewrite()

    def rewrite(_: object = None) -> None:
        """The chances from the rooms there are: nothing is measured anew for these."""
        if not measured:
            return
        (now,) = last
        now = replace(now, bought=_bought(now.order, fields["extra_packs"].value))
        found = chances(measured, now.bought, now.tolerances)
        shown[:] = [found]
        sheet.value = sheet_html(
            shortage_html(
                found,
                now.order.take_off.boards.sentence(),
                pack_price=now.order.plan.board.pack_price,
                stopping_price=float(fields["stop_price"].value),
                currency=choices.buying.currency,
                counting=len(measured) < ROOMS_MEASURED and not stopped,
            )
        )

    progress = progress_line(lambda: stop(), css_class="kit-short-stop")
    pump: Pump[Replan] = Pump(show, lambda: progress.rest(f"{ROOMS_MEASURED} rooms measured anew."), guarded(alert))

    def stop() -> None:
        pump.cancel()
        stopped.append(True)
        guarded(alert)(rewrite)()  # with the advice that the rooms there are allow
        progress.rest(f"Stopped after {counted(len(measured), 'room')} measured anew.")

    def measure_anew(_: object = None) -> None:
        pump.cancel()
        last[:] = [asked()]
        measured.clear()
        stopped.clear()
        search = steps(last[0])
        show(next(search))
        pump.start(search)

    on_change, on_rewrite = guarded(alert)(measure_anew), guarded(alert)(rewrite)
    for name, field in fields.items():
        field.control.observe(on_rewrite if name in ("extra_packs", "stop_price") else on_change, "value")
    on_change()
    box = widgets.VBox(
        [
            widgets.VBox(
                [*(field.box for field in fields.values()), alert],
                layout=widgets.Layout(width="100%", max_width="460px", min_width="0"),
            ),
            progress.box,
            sheet,
        ],
        layout=widgets.Layout(width="100%", overflow="hidden"),
    )
    box.add_class("kit-short-panel")
    return ShortPanel(box, fields, sheet, alert, progress, lambda: shown[0] if shown else None, pump.drain)


def _bought(order: Estimate, extra_packs: int) -> Bought:
    ordered = Bought.ordered(order.take_off)
    return replace(ordered, packs=max(1, ordered.packs + extra_packs))


def _fields(rooms: Mapping[str, Room], catalogue: Catalogue, choices: Choices, room: str | None) -> dict[str, Field]:
    return {
        **room_and_products(rooms, catalogue, choices, room),
        "who": choice_field(
            "Laid by",
            list(WHO),
            next(iter(WHO)),
            tooltip="Whose saw slips: one cut in a hundred, or three.",
            css_class="kit-short-who",
        ),
        "tape": number_field(
            "Tape",
            round(TRADE.tape_mm),
            (0, 20),
            unit="mm",
            tooltip="How far a measured wall may be out, one standard deviation.",
            css_class="kit-short-tape",
        ),
        "out_of_true": number_field(
            "Out of true",
            round(TRADE.out_of_true_mm),
            (0, 20),
            unit="mm",
            tooltip="How far a wall may stand before or behind where its corners put it.",
            css_class="kit-short-true",
        ),
        "extra_packs": number_field(
            "Packs more",
            0,
            (-2, 3),
            unit="",
            tooltip="Packs of boards bought beyond what the kit orders; fewer with a minus.",
            css_class="kit-short-packs",
        ),
        "stop_price": number_field(
            "A stop costs",
            80,
            (0, 1000),
            unit=choices.buying.currency,
            tooltip="What fetching one pack more costs you besides the pack: a journey, a day lost, another batch.",
            css_class="kit-short-stop-price",
            step=10,
        ),
    }
