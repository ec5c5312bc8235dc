"""Boards and offcuts already owned, as the panel shows them: what they save, which piece each gives, what is left."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from flooring_kit.as_laid import FromStock, entry_words
from flooring_kit.checks import counted
from flooring_kit.choices import Buying
from flooring_kit.day_entries import InHand
from flooring_kit.html_parts import heading_html, sentences_html, table_html
from flooring_kit.setting_out import Plan
from flooring_kit.tables import records
from flooring_kit.wastage import packs_for_pieces, spare_boards

HEADS = ("What is in hand", "Gives")

SHORTER_BOARDS = (
    "A shorter board of the same range begins or ends a row here. In the middle of a row the kit lays boards of the "
    "plan's length alone, so that joints keep their step."
)
SAME_RANGE = "Same range, same lock, same thickness, and a batch whose shade you have seen beside the new one."
NOTHING_IN_HAND = "Nothing in hand yet."


def stock_html(plan: Plan, stock: Sequence[InHand], found: FromStock | None, buying: Buying) -> str:
    """What is in hand and what it saves.

    Parameters
    ----------
    plan
        The floor laid from new boards.
    stock
        What is in hand, as it was written down.
    found
        The floor planned from it; None while nothing is in hand.
    buying
        Spares for miscuts and boards kept for repairs.
    """
    without = (
        f"Without anything in hand: {counted(plan.boards_needed, 'board')} to buy, "
        f"{packs_words(plan, plan.boards_needed, buying)}."
    )
    told = [entry_words(each) for each in stock] or [NOTHING_IN_HAND]
    listed = heading_html("In hand") + sentences_html(told)
    rules = sentences_html([SHORTER_BOARDS, SAME_RANGE])
    if found is None:
        return listed + sentences_html([without]) + rules
    packs = packs_words(plan, found.boards_to_buy, buying)
    answer = (
        f"<p style='font-size:18px;line-height:1.4;margin:8px 0'>{escape(saving_sentence(found))} {escape(packs)}.</p>"
    )
    rows = [(row.what, row.pieces) for row in records(found.used)]
    used = table_html(HEADS, rows, label="Stock used") if rows else ""
    left = sentences_html([f"Not used here: {words}." for words in found.left])
    return listed + answer + sentences_html([without]) + used + left + rules


def packs_words(plan: Plan, boards: int, buying: Buying) -> str:
    """Packs that hold so many boards and the spares of the whole floor, in words; spares go by the floor, not by what
    is bought for it."""
    spares = spare_boards(plan.boards_needed, miscut_fraction=buying.miscut_fraction, least=buying.least_miscuts)
    spares += buying.kept_for_repairs
    packs = packs_for_pieces(boards + spares, plan.board.boards_per_pack)
    return f"{counted(packs, 'pack')} of {plan.board.boards_per_pack} with {counted(spares, 'spare')}"


def saving_sentence(found: FromStock) -> str:
    """What has to be bought, and what need not be."""
    if found.boards_saved < 1:
        return f"{counted(found.boards_to_buy, 'board')} to buy: what is in hand saves none."
    return f"{counted(found.boards_to_buy, 'board')} to buy; {counted(found.boards_saved, 'board')} need not be bought."
