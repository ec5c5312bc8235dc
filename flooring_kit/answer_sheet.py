"""The answers in words: sentences for a notebook cell, HTML for a panel. Nothing here reckons."""

from __future__ import annotations

from html import escape

from flooring_kit.answers import Estimate, two_areas
from flooring_kit.checks import counted
from flooring_kit.lengths import feet_and_inches, in_unit
from flooring_kit.room import MUST_NOT_STAND_ON_FLOOR, Room
from flooring_kit.rules import HEATED_COVERING_LIMIT_M2K_W
from flooring_kit.setting_out import Plan
from flooring_kit.thermal import tog

MOST_FAULTS_LISTED = 6


def proof_sentence(plan: Plan) -> str:
    """How good the number of boards is, in words."""
    if plan.proved_fewest:
        provisos = []
        if plan.has_spanned_rows:
            provisos.append(", each row that one board spans left whole,")
        if plan.has_mitred_cuts:
            provisos.append(", no mitre cut shared by two pieces,")
        but = "".join(provisos).replace(",,", " and")
        return f"No plan with these row widths{but} needs fewer than {counted(plan.boards_bound, 'board')}: proved."
    more = counted(plan.boards_needed - plan.boards_bound, "board")
    return f"At most {more} more than the fewest possible: the proof reaches {plan.boards_bound}."


def leaflet_sentence(estimate: Estimate) -> str:
    """Which chosen rules the board's leaflet overrides; empty where it overrides none."""
    chosen, used = estimate.choices.laying.rules, estimate.plan.rules
    raised = [
        f"{words} {after:g} mm instead of {before:g}"
        for words, before, after in (
            ("a gap of", chosen.gap_mm, used.gap_mm),
            ("a joint offset of", chosen.joint_offset_mm, used.joint_offset_mm),
            ("a shortest piece of", chosen.shortest_piece_mm, used.shortest_piece_mm),
        )
        if after > before
    ]
    return f"The board's leaflet asks for {', '.join(raised)}." if raised else ""


def length_words(length_mm: float, room: Room) -> str:
    """A length in mm, and beside it in the unit the survey was typed in."""
    words = f"{length_mm:g} mm"
    if room.typed_in == "mm":
        return words
    beside = feet_and_inches(length_mm) if room.typed_in in ("in", "ft") else in_unit(length_mm, room.typed_in)
    return f"{words} ({beside})"


def first_row_sentence(plan: Plan) -> str:
    """First-row width, what it leaves, and what else would do."""
    widths = plan.row_widths[0]
    bands = " or ".join(f"{low:g}" if low == high else f"{low:g} to {high:g}" for low, high in widths.allowed_bands_mm)
    least = plan.rules.narrowest_row_mm
    choice = (
        f"anything {bands} mm leaves every strip at least {least:g} mm"
        if bands
        else f"no width leaves every strip {least:g} mm"
    )
    first, narrowest = (
        length_words(width, plan.room) for width in (widths.first_row_width_mm, round(widths.narrowest_strip_mm))
    )
    return f"First row {first} wide, narrowest strip {narrowest}; {choice}."


def rules_sentence(plan: Plan) -> str:
    """Whether the laying rules are held."""
    slight = sum(fault.slight for fault in plan.broken_rules)
    count = len(plan.broken_rules) - slight
    if count:
        return f"This plan breaks laying rules in {counted(count, 'place')}."
    if slight:
        return "Every laying rule is held, but for narrow tongues beside doorways or corners."
    return "Every laying rule is held."


def fault_sentences(plan: Plan) -> list[str]:
    """The rules broken, one sentence each, the first few only."""
    told = [fault.sentence() for fault in plan.broken_rules[:MOST_FAULTS_LISTED]]
    more = len(plan.broken_rules) - len(told)
    return [*told, f"And {more} more."] if more else told


def longest_run_sentence(plan: Plan) -> str:
    """Where the unbroken floor is longer than the board's leaflet allows; empty where it is not."""
    lengths = zip(
        ("along", "across"),
        plan.longest_run_mm,
        (plan.board.longest_along_mm, plan.board.longest_across_mm),
        strict=True,
    )
    over = [
        f"{run / 1000:.2f} m {way} the boards, over the {most / 1000:g} m"
        for way, run, most in lengths
        if run > most + 1e-6
    ]
    return f"The floor runs {' and '.join(over)} the leaflet allows: it needs a break." if over else ""


def waste_sentence(estimate: Estimate) -> str:
    """Where the board area goes."""
    waste = estimate.take_off.waste
    return (
        f"Of {waste.bought_m2:.2f} m² bought, {waste.net_area_m2:.2f} m² is floor, {waste.cutting_loss_m2:.2f} m² "
        f"cutting loss ({waste.fraction(waste.cutting_loss_m2):.1%} of the floor), {waste.spares_m2:.2f} m² spares, "
        f"{waste.pack_rounding_m2:.2f} m² pack rounding."
    )


def warmth_sentence(estimate: Estimate) -> str:
    """Resistance of underlay and board, and the heating limit where it matters."""
    covering = estimate.covering
    if covering.missing:
        return f"Thermal resistance unknown: no figure for {' and '.join(covering.missing)}."
    text = f"Underlay and board: {covering.resistance_m2k_w:.3f} m²K/W = {covering.tog:.2f} tog."
    if estimate.room.heated:
        limit = f"{HEATED_COVERING_LIMIT_M2K_W:g} m²K/W ({tog(HEATED_COVERING_LIMIT_M2K_W):.1f} tog)"
        verdict = "over the limit of" if estimate.too_warm_for_heating else "within the limit of"
        text += f" That is {verdict} {limit} over underfloor heating."
    return text


def kept_clear_sentence(room: Room) -> str:
    """What must not stand on the floor, and so has the floor stop short of it; empty where there is nothing."""
    names = [obstacle.name for obstacle in room.obstacles if obstacle.kind in MUST_NOT_STAND_ON_FLOOR]
    if not names:
        return ""
    listed = f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else names[0]
    stand = "stand" if len(names) > 1 else "stands"
    return f"{listed} {stand} on the subfloor, not on the boards: pinned down, a floating floor buckles."


def area_sentence(room: Room) -> str:
    """The area inside the skirting by two routes that share nothing but the corners' figures."""
    return two_areas(room).sentence()


def trim_sentence(estimate: Estimate) -> str:
    """Trim in metres, pieces and stock lengths."""
    taken_off = estimate.take_off
    text = f"Trim: {taken_off.trim_m:.2f} m along the walls"
    cut, pieces, trim = taken_off.trim_cut, taken_off.trim_pieces, estimate.trim
    if cut is None or pieces is None or trim is None:
        return text + "."
    returns = int(pieces["piece"].str.endswith("return").sum())
    parts = [counted(len(pieces) - returns, "piece"), *([counted(returns, "return")] if returns else [])]
    fewest = "no fewer would do" if cut.proved else f"at least {cut.lengths_bound}"
    lengths = counted(cut.lengths_needed, "length")
    return f"{text} in {' and '.join(parts)}; {lengths} of {trim.length_mm:g} mm, {fewest}."


def price_sentence(estimate: Estimate) -> str:
    """Price of the materials with tax."""
    price = estimate.price
    text = (
        f"Materials {price.money(price.with_tax)}: {price.money(price.before_tax)} and "
        f"{price.money(price.tax)} tax ({round(price.tax_fraction * 100, 4):g}%)."
    )
    if price.not_priced:
        text += f" Not priced: {', '.join(price.not_priced)}."
    return text


def sentences(estimate: Estimate) -> list[str]:
    """All the answers, one sentence each, the order line first."""
    return [
        estimate.take_off.boards.sentence(),
        proof_sentence(estimate.plan),
        first_row_sentence(estimate.plan),
        rules_sentence(estimate.plan),
        *fault_sentences(estimate.plan),
        *filter(None, [leaflet_sentence(estimate), longest_run_sentence(estimate.plan)]),
        *filter(None, [kept_clear_sentence(estimate.room)]),
        *(f"Does not suit: {told}" for told in estimate.misfits),
        waste_sentence(estimate),
        "Underlay: " + estimate.take_off.underlay.sentence(),
        trim_sentence(estimate),
        warmth_sentence(estimate),
        f"The floor rises {length_words(estimate.height_mm, estimate.room)}.",
        price_sentence(estimate),
        *(f"Survey: {note}" for note in estimate.room.notes),
    ]


def order_html(estimate: Estimate) -> str:
    """The order line for a panel, large."""
    return (
        "<p style='line-height:1.45;font-size:17px;font-weight:600;margin:6px 0 10px' class='kit-order'>"
        f"{escape(estimate.take_off.boards.sentence())}</p>"
    )


def answers_html(estimate: Estimate) -> str:
    """The other answers for a panel, as a list of questions and answers."""
    plan = estimate.plan
    faults = "".join(f"<li>{escape(told)}</li>" for told in fault_sentences(plan))
    told = filter(None, [rules_sentence(plan), leaflet_sentence(estimate), longest_run_sentence(plan)])
    rules = escape(" ".join(told)) + (f"<ul style='margin:2px 0 0 18px'>{faults}</ul>" if faults else "")
    clear = kept_clear_sentence(estimate.room)
    unsuited = " ".join(estimate.misfits)
    rows = [
        ("Fewest?", escape(proof_sentence(plan))),
        ("First row", escape(first_row_sentence(plan))),
        ("Rules", rules),
        *([("Kept clear", escape(clear))] if clear else []),
        *([("Unsuited", escape(unsuited))] if unsuited else []),
        ("Waste", escape(waste_sentence(estimate))),
        ("Underlay", escape(estimate.take_off.underlay.sentence())),
        ("Trim", escape(trim_sentence(estimate).removeprefix("Trim: "))),
        ("Warmth", escape(warmth_sentence(estimate))),
        ("Height", escape(f"The floor rises {length_words(estimate.height_mm, estimate.room)}.")),
        ("Price", escape(price_sentence(estimate))),
        *([("Survey", escape(" ".join(estimate.room.notes)))] if estimate.room.notes else []),
    ]
    cells = "".join(f"<div style='font-weight:600'>{question}</div><div>{answer}</div>" for question, answer in rows)
    return (
        "<div style='line-height:1.45;font-size:14px;display:grid;grid-template-columns:76px 1fr;gap:5px 12px'>"
        f"{cells}</div>"
    )
