"""The chance of running short as a sheet: chances by number bought, in words, and one pack more against a stop."""

from __future__ import annotations

from flooring_kit.html_parts import sentences_html, table_html
from flooring_kit.shortage import Chance, Shortage, counted_thing, worth_another_pack

STILL_COUNTING = "Whether one pack more is worth its price is told when all rooms are measured."
HEADS = ("with", "jobs of 100 that run short", "")


def shortage_html(
    found: Shortage, ordered: str, *, pack_price: float | None, stopping_price: float, currency: str, counting: bool
) -> str:
    """The sheet.

    Parameters
    ----------
    found
        As from :func:`flooring_kit.chances`.
    ordered
        The order line the kit gives, in words.
    pack_price
        Price of a pack of boards before tax; None where it is not known.
    stopping_price
        What a stop costs besides the pack [currency].
    currency
        Sign put before amounts.
    counting
        Whether rooms are still being measured anew: no advice is given then, since it may change.
    """
    together = found.sentences()[len(found.chances) :]
    told = [f"The kit orders {ordered}", *(chance.just_enough for chance in found.chances), *together]
    rows = [row for chance in found.chances for row in _rows(chance)]
    marked = [place for place, row in enumerate(rows) if row[-1]]
    table = table_html(HEADS, rows, label="Chance that so many are not enough", marked=marked)
    worth = STILL_COUNTING if counting else pack_sentence(found, pack_price, stopping_price, currency)
    return sentences_html(told) + table + sentences_html([worth])


def pack_sentence(found: Shortage, pack_price: float | None, stopping_price: float, currency: str) -> str:
    """Whether one pack of boards more is worth its price.

    Parameters
    ----------
    found, pack_price, stopping_price, currency
        As for :func:`shortage_html`.
    """
    if pack_price is None:
        return "No price is known for a pack of these boards: one more can't be weighed against a stop."
    boards = found.boards
    return worth_another_pack(
        boards.chance_fraction,
        boards.chance_with_one_more,
        pack_price=pack_price,
        stopping_price=stopping_price,
        currency=currency,
    ).sentence()


def _rows(chance: Chance) -> list[tuple[str, str, str]]:
    bought, fractions = chance.table["bought"].tolist(), chance.table["chance_fraction"].tolist()
    return [
        (counted_thing(number, chance.thing), _in_100(share), "bought" if number == chance.bought else "")
        for number, share in zip(bought, fractions, strict=True)
    ]


def _in_100(share: float) -> str:
    """A chance out of 100 jobs, to a tenth where it is small."""
    return f"{100 * share:.0f}" if share >= 0.1 else f"{100 * share:.1f}"
