"""A fitter's own quote from the take-off: its lines, what it leaves out, how long it holds, what is often forgotten."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal

from flooring_kit.answers import LEAST_LEVELS, Estimate
from flooring_kit.checks import counted
from flooring_kit.pricing import amount
from flooring_kit.products import Catalogue
from flooring_kit.quoted import Quote, QuoteLine
from flooring_kit.quotes import subjects_left_open
from flooring_kit.whole_price import WholePrice

LEFT_OUT = ("moving furniture", "decoration", "faults in the subfloor that show only when the old covering is up")
"""What a quote usually leaves out. Common practice, no source."""


def own_quote(
    name: str,
    estimate: Estimate,
    whole: WholePrice,
    catalogue: Catalogue,
    *,
    valid_until: date,
    excludes: Sequence[str] = LEFT_OUT,
) -> Quote:
    """The take-off as a quote, as another customer would hold it.

    Parameters
    ----------
    name
        What the quote is called.
    estimate, whole
        The take-off of the room and its whole price.
    catalogue
        Bars on sale: with them it is known which leaves must be eased.
    valid_until
        The last day it holds.
    excludes
        What it leaves out. Fire doors that will not clear are added: nothing comes off them unasked; and what the
        survey asks for but `whole` has no line for, such as preparation.

    Returns
    -------
    Quote
        One line for each of `whole`, the tax once below them. A line whose price is not known has no amount, and says
        so in the notes.
    """
    lines = tuple(
        QuoteLine(
            line.item if line.group != "disposal" else f"disposal of {line.item}",
            Decimal(str(line.quantity)),
            line.unit.split(" of ")[0],
            None if line.unit_price is None else amount(1, line.unit_price),
            line.amount,
            row,
        )
        for row, line in enumerate(whole.lines, start=2)
    )
    quote = Quote(
        name,
        lines,
        subtotal=whole.before_tax,
        tax_fraction=Decimal(str(whole.tax_fraction)),
        tax=whole.tax,
        total=whole.with_tax,
        currency=whole.currency,
        valid_until=valid_until.isoformat(),
        excludes=(*excludes, *_if_found(estimate), *_fire_doors(estimate, catalogue)),
        notes=tuple(f"{item}: price to be told." for item in whole.not_priced),
    )
    return replace(quote, excludes=(*quote.excludes, *subjects_left_open(quote, estimate, whole, catalogue)))


def often_forgotten(estimate: Estimate) -> list[str]:
    """Lines that are often forgotten and that this survey gives reason to ask for, a sentence each.

    Parameters
    ----------
    estimate
        The take-off of the room. Which lines are forgotten is common practice, no source.
    """
    told = []
    if estimate.room.old_covering_mm > 0:
        told.append(
            f"{estimate.room.old_covering_mm:g} mm of old covering come up: gripper rods, pins, old adhesive and their "
            "waste are work of their own. A covering or adhesive laid before 2000 may hold asbestos: have it tested "
            "before anything is lifted."
        )
    if estimate.trim is not None:
        told.append("An old bead at the skirting comes off first, and the skirting behind it is made good.")
    if estimate.choices.work.level_to != "no" and not estimate.is_levelled:
        told.append(
            f"Levelling was chosen, but the survey has {counted(len(estimate.room.levels), 'level')}, and "
            f"{LEAST_LEVELS} are the least it can be reckoned from: it is neither priced nor in the calendar."
        )
    if not estimate.room.levels and not estimate.room.straightedges:
        told.append("The subfloor has not been read for flatness: say what preparation would cost if it is needed.")
    return told


def _if_found(estimate: Estimate) -> list[str]:
    """Work that only shows when the old floor comes up: named, so that nobody thinks it is in the sum."""
    rate = estimate.choices.work.hourly_rate
    by_hour = f", at {estimate.choices.buying.currency}{rate:.2f} an hour" if rate else ""
    told = []
    if estimate.room.old_covering_mm > 0:
        told.append(f"gripper rods, pins and old adhesive, if there are any{by_hour}")
    if estimate.trim is not None:
        told.append(f"taking off an old bead and making the skirting good, if there is one{by_hour}")
    return told


def _fire_doors(estimate: Estimate, catalogue: Catalogue) -> list[str]:
    too_low = estimate.leaves_too_low(catalogue.bars.values())
    held = too_low[too_low["fire_door"].astype(bool)]
    return [f"easing the fire door {name}: only after a competent person says so" for name in held["name"]]
