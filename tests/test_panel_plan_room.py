"""The main panel without a browser: what a field says is what is shown, a wrong value is refused and got over.

Outside a notebook there is no event loop: the search waits until `settle` is called, as a notebook's own would run.
What the panel shows is compared with the plain calls a notebook cell would make for the same choices.
"""

from __future__ import annotations

import asyncio
import html
import itertools
import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

import flooring_kit as fk
from flooring_kit.answer_sheet import answers_html, order_html
from flooring_kit.comparison_sheet import comparison_html
from flooring_kit.drawing import plan_picture
from flooring_kit.panels import PlanPanel, chance_line, plan_panel, plan_room
from flooring_kit.panels.pump import Pump
from flooring_kit.shortage import Bought

ROOMS = {room.name: room for room in map(fk.read_room, sorted(fk.demo_path("rooms").glob("*.toml")))}
SHOP = fk.read_catalogue(fk.demo_path())
OAK, ASH, WALNUT = "Oak plank 1380 x 193", "Ash plank 1850 x 240", "Walnut narrow plank 1290 x 132"
LEFT_HAND = "Left-hand oak plank 1380 x 193"
FOAM, CORK = "Foam sheet 3 mm", "Cork roll 3 mm"
CHOICES = fk.Choices(fk.Materials(OAK, FOAM, "White scotia 18 mm"))
BOX_ROOM, HALL = ROOMS["Box room"], ROOMS["Hall"]


@pytest.fixture
def panel() -> PlanPanel:
    """The panel on the box room, its search not yet run."""
    return plan_panel(ROOMS, SHOP, CHOICES, room="Box room")


def put(panel: PlanPanel, field: str, value: object) -> None:
    """Move a handle, as the page does."""
    panel.fields[field].control.value = value


def text(widget: Any) -> str:
    """What an HTML widget says, without its tags."""
    return html.unescape(re.sub(r"<[^>]*>", "", widget.value)).strip()


def complaints(panel: PlanPanel) -> dict[str, str]:
    """What stands under each field that complains."""
    return {name: text(field.complaint) for name, field in panel.fields.items() if field.complaint.value}


def assert_shows(panel: PlanPanel, estimate: fk.Estimate) -> None:
    """The drawing and the answers are those of the estimate, and nothing complains."""
    assert panel.picture.value == plan_picture(estimate.plan)
    assert panel.order.value == order_html(estimate)
    assert panel.answers.value == answers_html(estimate)
    assert panel.estimate().choices == estimate.choices
    assert (complaints(panel), panel.alert.value, panel.alert.layout.display) == ({}, "", "none")


def rules(**lengths_mm: float) -> fk.Choices:
    return replace(CHOICES, laying=replace(CHOICES.laying, rules=fk.LayingRules(**lengths_mm)))


def materials(**names: Any) -> fk.Choices:
    return replace(CHOICES, materials=replace(CHOICES.materials, **names))


def laying(**said: Any) -> fk.Choices:
    return replace(CHOICES, laying=replace(CHOICES.laying, **said))


# ---------------------------------------------------------------------- what is shown is the plain call's answer


def test_the_panel_opens_with_the_quick_plan_and_settles_on_the_plain_calls_plan(panel: PlanPanel) -> None:
    assert_shows(panel, fk.estimate(BOX_ROOM, CHOICES, SHOP, quick=True))
    panel.settle()
    assert_shows(panel, fk.estimate(BOX_ROOM, CHOICES, SHOP))
    assert panel.room() is BOX_ROOM
    assert panel.choices() == CHOICES


def test_without_a_room_named_the_first_one_is_shown() -> None:
    opened = plan_panel({"Hall": HALL, "Box room": BOX_ROOM}, SHOP, CHOICES)
    assert opened.room() is HALL
    assert opened.fields["room"].control.value == "Hall"


@pytest.mark.parametrize(
    ("field", "value", "expected"),
    [
        ("board", ASH, materials(board=ASH)),
        ("board", LEFT_HAND, materials(board=LEFT_HAND)),
        ("underlay", CORK, materials(underlay=CORK)),
        ("trim", "no trim", materials(trim=None)),
        ("trim", "White plastic scotia 20 mm", materials(trim="White plastic scotia 20 mm")),
        ("direction", "short", laying(direction="short")),
        ("start", "opposite", laying(start="opposite")),
        ("gap", 14, rules(gap_mm=14)),
        ("joint_offset", 410, rules(joint_offset_mm=410)),
        ("shortest_piece", 350, rules(shortest_piece_mm=350)),
        ("narrowest_row", 118, rules(narrowest_row_mm=118)),
    ],
    ids=lambda value: str(value)[:30] if isinstance(value, str | int | None) else "",
)
def test_a_moved_handle_shows_the_quick_plan_at_once_and_the_settled_one_in_the_end(
    panel: PlanPanel, field: str, value: object, expected: fk.Choices
) -> None:
    panel.settle()
    put(panel, field, value)
    assert panel.choices() == expected
    assert_shows(panel, fk.estimate(BOX_ROOM, expected, SHOP, quick=True))
    panel.settle()
    assert_shows(panel, fk.estimate(BOX_ROOM, expected, SHOP))


@pytest.mark.parametrize("room_name", ["Hall", "Back bedroom", "Sitting room", "Kitchen-diner"])
def test_another_room_is_planned_with_the_same_choices(panel: PlanPanel, room_name: str) -> None:
    put(panel, "room", room_name)
    assert panel.room() is ROOMS[room_name]
    assert_shows(panel, fk.estimate(ROOMS[room_name], panel.choices(), SHOP, quick=True))


def test_back_in_a_room_the_drawing_is_the_one_that_was_there_before(panel: PlanPanel) -> None:
    panel.settle()
    before = panel.picture.value
    for room_name in ("Hall", "Box room"):
        put(panel, "room", room_name)
        panel.settle()
    assert panel.picture.value == before


def test_a_handle_moved_back_before_the_search_ends_leaves_no_trace(panel: PlanPanel) -> None:
    put(panel, "gap", 20)
    put(panel, "gap", 10)
    panel.settle()
    assert_shows(panel, fk.estimate(BOX_ROOM, CHOICES, SHOP))


@pytest.mark.parametrize("board", [OAK, LEFT_HAND])
@pytest.mark.parametrize("direction", ["long", "short"])
@pytest.mark.parametrize("start", ["first", "opposite"])
def test_the_start_wall_is_named_by_the_wall_the_plan_starts_from(board: str, direction: str, start: str) -> None:
    panel = plan_panel(ROOMS, SHOP, CHOICES, room="Sitting room")
    for field, value in (("board", board), ("direction", direction), ("start", start)):
        put(panel, field, value)
    assert panel.fields["start"].control.label == f"wall {panel.estimate().plan.start_wall}"
    named = [label for label, _ in panel.fields["start"].control.options]
    assert len(set(named)) == 2


def test_a_left_handed_board_offers_the_two_other_start_corners_and_lays_from_right_to_left(panel: PlanPanel) -> None:
    """Boxes have four walls: facing wall 3 a right-handed floor runs towards +x, so a left-handed one faces wall 1."""
    assert list(panel.fields["start"].control.options) == [("wall 3", "first"), ("wall 1", "opposite")]
    assert "lay left to right" in panel.picture.value
    put(panel, "board", LEFT_HAND)
    assert list(panel.fields["start"].control.options) == [("wall 1", "first"), ("wall 3", "opposite")]
    assert "lay right to left" in panel.picture.value
    assert panel.estimate().plan.board is SHOP.boards[LEFT_HAND]


def test_the_chosen_start_corner_stays_chosen_in_another_room(panel: PlanPanel) -> None:
    put(panel, "start", "opposite")
    put(panel, "room", "Sitting room")
    assert panel.fields["start"].control.value == "opposite"
    assert_shows(panel, fk.estimate(ROOMS["Sitting room"], laying(start="opposite"), SHOP, quick=True))


# ---------------------------------------------------------------------- the first row


def test_while_the_kit_chooses_the_first_row_its_field_is_shut_and_shows_the_kits_width(panel: PlanPanel) -> None:
    first_row = panel.fields["first_row"]
    for room_name in ("Box room", "Hall"):
        put(panel, "room", room_name)
        panel.settle()
        assert first_row.control.disabled
        assert first_row.slider.disabled
        width_mm = panel.estimate().plan.row_widths[0].first_row_width_mm
        assert first_row.control.value == round(width_mm)


def test_with_the_box_unticked_the_first_row_is_as_wide_as_its_field_says(panel: PlanPanel) -> None:
    panel.settle()
    first_row = panel.fields["first_row"]
    put(panel, "kit_chooses", False)
    assert not first_row.control.disabled
    assert not first_row.slider.disabled
    assert_shows(panel, fk.estimate(BOX_ROOM, laying(first_row_width_mm=first_row.control.value), SHOP, quick=True))
    put(panel, "first_row", 90)
    assert_shows(panel, fk.estimate(BOX_ROOM, laying(first_row_width_mm=90), SHOP, quick=True))
    panel.settle()
    assert_shows(panel, fk.estimate(BOX_ROOM, laying(first_row_width_mm=90), SHOP))
    put(panel, "kit_chooses", True)
    panel.settle()
    assert first_row.control.disabled
    assert_shows(panel, fk.estimate(BOX_ROOM, CHOICES, SHOP))


def test_a_panel_can_begin_with_a_first_row_of_ones_own() -> None:
    chosen = laying(first_row_width_mm=90)
    panel = plan_panel(ROOMS, SHOP, chosen, room="Box room")
    assert not panel.fields["kit_chooses"].control.value
    assert not panel.fields["first_row"].control.disabled
    assert_shows(panel, fk.estimate(BOX_ROOM, chosen, SHOP, quick=True))


def test_a_panel_can_begin_with_boards_at_an_angle() -> None:
    chosen = laying(direction=30.0)
    panel = plan_panel(ROOMS, SHOP, chosen, room="Box room")
    assert panel.fields["direction"].control.label == "at 30 degrees"
    assert_shows(panel, fk.estimate(BOX_ROOM, chosen, SHOP, quick=True))


# ---------------------------------------------------------------------- wrong values

WRONG = [
    ("gap", 999, "Gap must be 0 to 30 mm, got 999 mm.", 12),
    ("gap", -1, "Gap must be 0 to 30 mm, got -1 mm.", 12),
    ("joint_offset", 801, "Joint offset must be 0 to 800 mm, got 801 mm.", 310),
    ("shortest_piece", 3000, "Shortest piece must be 0 to 800 mm, got 3000 mm.", 310),
    ("narrowest_row", 151, "Narrowest row must be 0 to 150 mm, got 151 mm.", 60),
    ("first_row", 0, "First row must be 1 to 193 mm, got 0 mm.", 100),
    ("first_row", 241, "First row must be 1 to 193 mm, got 241 mm.", 100),
]


@pytest.mark.parametrize(("field", "wrong", "complaint", "right"), WRONG)
def test_a_wrong_value_is_refused_under_its_field_the_drawing_stays_and_a_right_one_clears_it(
    panel: PlanPanel, field: str, wrong: int, complaint: str, right: int
) -> None:
    if field == "first_row":
        put(panel, "kit_chooses", False)
    panel.settle()
    before = panel.picture.value, panel.answers.value, panel.table.value, panel.estimate()
    put(panel, field, wrong)
    assert complaints(panel) == {field: complaint}
    assert panel.fields[field].complaint.layout.display != "none"
    panel.settle()
    assert (panel.picture.value, panel.answers.value, panel.table.value, panel.estimate()) == before
    put(panel, field, right)
    assert panel.fields[field].complaint.layout.display == "none"
    assert_shows(panel, fk.estimate(BOX_ROOM, panel.choices(), SHOP, quick=True))


def test_two_wrong_values_both_have_to_be_put_right(panel: PlanPanel) -> None:
    before = panel.picture.value
    put(panel, "gap", 31)
    put(panel, "narrowest_row", 151)
    put(panel, "gap", 12)
    assert panel.picture.value == before
    assert complaints(panel) == {"narrowest_row": "Narrowest row must be 0 to 150 mm, got 151 mm."}
    put(panel, "narrowest_row", 60)
    assert_shows(panel, fk.estimate(BOX_ROOM, rules(gap_mm=12, narrowest_row_mm=60), SHOP, quick=True))


def test_choices_refuse_what_the_fields_refuse(panel: PlanPanel) -> None:
    put(panel, "gap", 999)
    with pytest.raises(ValueError, match=re.escape("Gap must be 0 to 30 mm, got 999 mm.")):
        panel.choices()


def test_after_a_refused_value_the_status_does_not_say_that_a_search_goes_on(panel: PlanPanel) -> None:
    put(panel, "gap", 999)
    assert "Looking" not in text(panel.status)


def test_a_first_row_wider_than_the_board_is_refused_with_the_boards_width_and_the_drawing_stays(
    panel: PlanPanel,
) -> None:
    put(panel, "kit_chooses", False)
    before = panel.picture.value
    put(panel, "first_row", 200)
    said = [*complaints(panel).values(), text(panel.alert)]
    assert "First row must be 1 to 193 mm, got 200 mm." in said
    assert panel.picture.value == before
    put(panel, "first_row", 193)
    assert_shows(panel, fk.estimate(BOX_ROOM, laying(first_row_width_mm=193), SHOP, quick=True))


def test_a_board_that_cannot_be_planned_is_refused_with_the_reason_and_the_drawing_stays() -> None:
    nailed = replace(SHOP.boards[OAK], name="Nailed oak", kind="solid")
    shop = replace(SHOP, boards={**SHOP.boards, "Nailed oak": nailed})
    panel = plan_panel(ROOMS, shop, CHOICES, room="Box room")
    before = panel.picture.value
    put(panel, "board", "Nailed oak")
    assert text(panel.alert) == (
        "board 'Nailed oak': solid boards are nailed or glued and matched by eye as they come; this plan is for "
        "floating click floors. Choose a laminate, engineered or vinyl click board."
    )
    assert panel.picture.value == before
    put(panel, "board", OAK)
    assert_shows(panel, fk.estimate(BOX_ROOM, CHOICES, shop, quick=True))


# ---------------------------------------------------------------------- side by side


@pytest.mark.parametrize(("other_board", "other_underlay"), [(ASH, CORK), (WALNUT, CORK), (OAK, FOAM)])
def test_the_table_is_that_of_the_plain_comparison(panel: PlanPanel, other_board: str, other_underlay: str) -> None:
    """Every option as far as it will go: a settled plan beside a quick one would favour the settled one."""
    put(panel, "other_board", other_board)
    put(panel, "other_underlay", other_underlay)
    panel.settle()
    boards, underlays = list(dict.fromkeys([OAK, other_board])), list(dict.fromkeys([FOAM, other_underlay]))
    options = fk.compare(BOX_ROOM, CHOICES, SHOP, boards=boards, underlays=underlays)
    assert panel.table.value == comparison_html(fk.comparison_table(options), currency="£")
    assert panel.table.value.count("<tr>") == 1 + len(options)


def test_an_option_in_the_table_is_planned_as_far_as_if_it_were_chosen(panel: PlanPanel) -> None:
    """Otherwise a board looks dearer for not being the chosen one: here a whole pack of the wider board."""
    put(panel, "room", "Kitchen-diner")
    put(panel, "other_board", ASH)
    panel.settle()
    chosen = fk.estimate(ROOMS["Kitchen-diner"], materials(board=ASH), SHOP)
    rows = [re.findall(r"<td[^>]*>([^<]*)<", row) for row in panel.table.value.split("<tr>")]
    other = next(cells for cells in rows if cells[:2] == [ASH, FOAM])
    assert other[3:5] == [str(chosen.take_off.boards.packs), str(chosen.plan.boards_needed)]


def test_the_first_line_of_the_table_is_the_plan_that_is_drawn(panel: PlanPanel) -> None:
    put(panel, "gap", 14)
    panel.settle()
    shown = panel.estimate()
    cells = re.findall(r"<td[^>]*>([^<]*)</td>", panel.table.value)[:5]
    price = shown.price.money(shown.price.with_tax)
    assert cells == [OAK, FOAM, price, str(shown.take_off.boards.packs), str(shown.plan.boards_needed)]


def test_another_board_in_the_comparison_does_not_change_the_plan(panel: PlanPanel) -> None:
    panel.settle()
    before = panel.picture.value, panel.answers.value
    put(panel, "other_board", WALNUT)
    panel.settle()
    assert (panel.picture.value, panel.answers.value) == before
    assert WALNUT in panel.table.value


def test_a_board_that_does_not_go_with_the_first_row_does_not_keep_the_plan_from_settling(panel: PlanPanel) -> None:
    """A first row of 200 mm suits a board 240 mm wide, not the one of 193 mm it is compared with."""
    put(panel, "board", ASH)
    put(panel, "other_board", OAK)
    put(panel, "kit_chooses", False)
    put(panel, "first_row", 200)
    panel.settle()
    assert text(panel.status) == "Plan settled."
    assert "first-row width must be 1 to 193 mm, got 200 mm." in text(panel.alert) + text(panel.table)


# ---------------------------------------------------------------------- state of the search, trouble


def test_the_status_goes_from_looking_to_settled_and_back_with_every_move(panel: PlanPanel) -> None:
    for value in (11, 12):
        assert text(panel.status) == "Looking for a better plan …"
        panel.settle()
        assert text(panel.status) == "Plan settled."
        put(panel, "gap", value)
    assert "role='status'" in panel.status.value


def test_the_kits_own_faults_are_shown_with_their_traceback_and_raised(
    panel: PlanPanel, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = panel.picture.value

    def fail(*_: object) -> Iterator[fk.Estimate]:
        raise RuntimeError("a < b went wrong")

    with monkeypatch.context() as broken:
        broken.setattr(plan_room, "better_estimates", fail)
        with pytest.raises(RuntimeError, match="a < b went wrong"):
            put(panel, "gap", 12)
    shown = text(panel.alert)
    assert shown.startswith("Traceback (most recent call last):")
    assert shown.endswith("RuntimeError: a < b went wrong")
    assert "role='alert'" in panel.alert.value
    assert panel.alert.layout.display != "none"
    assert panel.picture.value == before
    put(panel, "gap", 13)
    assert_shows(panel, fk.estimate(BOX_ROOM, rules(gap_mm=13), SHOP, quick=True))


def test_a_fault_in_the_comparison_is_shown_and_raised(panel: PlanPanel, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object, **__: object) -> None:
        raise RuntimeError("no table")

    monkeypatch.setattr(plan_room, "compare", fail)
    with pytest.raises(RuntimeError, match="no table"):
        panel.settle()
    assert text(panel.alert).endswith("RuntimeError: no table")


def failing_search(room: fk.Room, choices: fk.Choices, shop: fk.Catalogue) -> Iterator[fk.Estimate]:
    """A search that breaks after its first plan."""
    yield fk.estimate(room, choices, shop, quick=True)
    raise RuntimeError("lost on the way")


def test_a_fault_in_the_middle_of_the_search_is_shown_and_raised(
    panel: PlanPanel, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(plan_room, "better_estimates", failing_search)
    put(panel, "gap", 12)
    with pytest.raises(RuntimeError, match="lost on the way"):
        panel.settle()
    assert text(panel.alert).endswith("RuntimeError: lost on the way")


def test_a_fault_in_the_middle_of_the_search_is_shown_in_a_notebook_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """There the search runs in the background, where an exception nobody looks at is lost."""
    monkeypatch.setattr(plan_room, "better_estimates", failing_search)

    async def notebook() -> str:
        asyncio.get_running_loop().set_exception_handler(lambda *_: None)
        panel = plan_panel(ROOMS, SHOP, CHOICES, room="Box room")
        await until(lambda: bool(panel.alert.value))
        return text(panel.alert)

    assert asyncio.run(notebook()).endswith("RuntimeError: lost on the way")


async def until(happened: Any, seconds: float = 5) -> None:
    """Wait, letting everything else run, until it has happened or the time is up."""
    for _ in range(int(seconds / 0.02)):
        if happened():
            return
        await asyncio.sleep(0.02)


def test_in_a_notebook_the_panel_settles_by_itself_on_the_plain_calls_plan() -> None:
    async def notebook() -> PlanPanel:
        panel = plan_panel(ROOMS, SHOP, CHOICES, room="Box room")
        assert text(panel.status) == "Looking for a better plan …"
        put(panel, "gap", 12)
        await until(lambda: "settled" in panel.status.value, seconds=60)
        return panel

    panel = asyncio.run(notebook())
    assert text(panel.status) == "Plan settled."
    assert_shows(panel, fk.estimate(BOX_ROOM, rules(gap_mm=12), SHOP))


# ---------------------------------------------------------------------- the chance of running short


@pytest.fixture
def few_rooms(monkeypatch: pytest.MonkeyPatch) -> None:
    """Five rooms measured anew in place of twenty-five."""
    monkeypatch.setattr(chance_line, "ROOMS_MEASURED", 5)


def told_plainly(estimate: fk.Estimate, rooms: int) -> str:
    """What the line says, by the plain calls."""
    anew = fk.replans(estimate.plan, fk.TRADE, underlay=estimate.underlay, trim=estimate.trim, count=25)
    found = fk.chances(itertools.islice(anew, rooms), Bought.ordered(estimate.take_off), fk.TRADE)
    enough = [chance.just_enough for chance in found.chances]
    return "".join([*enough, *found.sentences()[len(enough) :], fk.TRADE.sentence()])


@pytest.mark.usefixtures("few_rooms")
def test_the_chance_is_counted_for_a_settled_plan_when_asked_for_and_forgotten_with_the_next(panel: PlanPanel) -> None:
    chance = panel.chance
    assert chance.ask.disabled
    panel.settle()
    assert not chance.ask.disabled
    assert text(chance.words) == ""
    chance.ask.click()
    assert "5 times" in text(chance.progress.words)
    chance.settle()
    assert text(chance.words) == told_plainly(panel.estimate(), 5)
    assert text(chance.progress.words) == ""
    put(panel, "gap", 14)
    assert (text(chance.words), chance.ask.disabled) == ("", True)


def test_the_chance_can_be_stopped_and_is_told_from_the_rooms_there_are() -> None:
    async def notebook() -> PlanPanel:
        panel = plan_panel(ROOMS, SHOP, CHOICES, room="Box room")
        await until(lambda: not panel.chance.ask.disabled, seconds=60)
        panel.chance.ask.click()
        await until(lambda: "2 of 25" in panel.chance.progress.words.value, seconds=60)
        panel.chance.progress.stop.click()
        await asyncio.sleep(0.3)  # what might still run
        return panel

    panel = asyncio.run(notebook())
    assert text(panel.chance.words) == told_plainly(panel.estimate(), 2)
    assert not panel.chance.ask.disabled


def test_a_value_refused_leaves_the_plan_shown_and_its_chance_to_be_asked_for(panel: PlanPanel) -> None:
    panel.settle()
    put(panel, "gap", 999)
    assert complaints(panel)
    assert not panel.chance.ask.disabled


# ---------------------------------------------------------------------- fields


def test_every_control_has_a_name_a_tooltip_and_a_line_for_complaints(panel: PlanPanel) -> None:
    for name, field in panel.fields.items():
        assert field.control.description, name
        assert field.control.tooltip.endswith("."), name
        assert field.complaint in field.box.children, name
        if field.slider is not None:
            assert field.slider.note, name


def test_a_number_fields_tooltip_says_what_is_allowed(panel: PlanPanel) -> None:
    limits = {"gap": (0, 30), "joint_offset": (0, 800), "shortest_piece": (0, 800), "narrowest_row": (0, 150)}
    for name, (low, high) in limits.items():
        field = panel.fields[name]
        assert field.control.tooltip.endswith(f" {low} to {high} mm.")
        assert (field.slider.min, field.slider.max) == (low, high)


def test_the_lists_hold_every_room_and_product_of_the_catalogue(panel: PlanPanel) -> None:
    def options(name: str) -> list[str]:
        return list(panel.fields[name].control.options)

    assert options("room") == list(ROOMS)
    assert options("board") == options("other_board") == list(SHOP.boards)
    assert options("underlay") == options("other_underlay") == list(SHOP.underlays)
    assert list(options("trim")) == ["no trim", *SHOP.trims]


def test_every_field_is_on_the_page_once(panel: PlanPanel) -> None:
    def inside(widget: Any) -> Iterator[Any]:
        yield widget
        for child in getattr(widget, "children", ()):
            yield from inside(child)

    on_page = [id(widget) for widget in inside(panel.box)]
    shown = [field.control for field in panel.fields.values()]
    shown += [panel.picture, panel.answers, panel.table, panel.status, panel.alert]
    assert [on_page.count(id(widget)) for widget in shown] == [1] * len(shown)


# ---------------------------------------------------------------------- the pump


class Shown:
    """What a pump has shown, "done" when it was told of an end."""

    def __init__(self) -> None:
        self.items: list[object] = []
        self.pump: Pump[object] = Pump(self.items.append, lambda: self.items.append("done"))


def test_outside_a_notebook_a_pump_waits_and_drain_shows_all_that_is_left() -> None:
    shown = Shown()
    shown.pump.start(iter([1, 2, 3]))
    assert (shown.items, shown.pump.running) == ([], True)
    shown.pump.drain()
    assert (shown.items, shown.pump.running) == ([1, 2, 3, "done"], False)
    shown.pump.drain()
    assert shown.items == [1, 2, 3, "done"]


def test_a_new_start_drops_what_was_running_and_says_nothing_of_its_end() -> None:
    shown = Shown()
    dropped = iter(["old"])
    shown.pump.start(dropped)
    shown.pump.start(iter(["new"]))
    shown.pump.drain()
    assert shown.items == ["new", "done"]
    assert list(dropped) == ["old"]


def test_what_is_cancelled_is_neither_shown_nor_done() -> None:
    shown = Shown()
    shown.pump.start(iter([1]))
    shown.pump.cancel()
    assert not shown.pump.running
    shown.pump.drain()
    assert shown.items == []
    shown.pump.cancel()


def test_in_a_notebook_a_pump_lets_others_through_between_its_items() -> None:
    shown = Shown()

    async def notebook() -> None:
        async def other() -> None:
            while shown.pump.running:
                shown.items.append("other")
                await asyncio.sleep(0)

        shown.pump.start(iter([1, 2, 3]))
        await other()

    asyncio.run(notebook())
    places = [shown.items.index(item) for item in (1, 2, 3, "done")]
    assert places == sorted(places)
    assert all("other" in shown.items[one:two] for one, two in itertools.pairwise(places[:3]))


def test_in_a_notebook_a_new_start_drops_a_search_in_its_middle() -> None:
    shown = Shown()

    async def notebook() -> None:
        shown.pump.start(iter(range(1000)))
        await until(lambda: 1 in shown.items)
        shown.pump.start(iter(["new"]))
        reached = len(shown.items)
        await until(lambda: not shown.pump.running)
        assert shown.items[reached:] == ["new", "done"]

    asyncio.run(notebook())


def test_drain_in_a_notebook_leaves_nothing_to_the_background() -> None:
    shown = Shown()

    async def notebook() -> None:
        shown.pump.start(iter([1, 2]))
        shown.pump.drain()
        assert shown.items == [1, 2, "done"]
        await asyncio.sleep(0.3)

    asyncio.run(notebook())
    assert shown.items == [1, 2, "done"]
