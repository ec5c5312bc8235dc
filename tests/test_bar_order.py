"""Bars cut from the lengths they are sold in: none is lost, each doorway and each face has its own."""

from dataclasses import replace

import pytest
from floors import DEMO_ROOMS, demo_room, rectangle

import flooring_kit as fk
from flooring_kit.bar_order import bar_orders
from flooring_kit.heights import NewFloor, heights_ledger
from flooring_kit.products import DoorBar
from flooring_kit.room import FloorBeyond
from flooring_kit.trims import END_BAR, faces_closed_by

END, LONG_END = DoorBar("End 0.9", "end", 900, 0, 16, price=10.0), DoorBar("End 2.7", "end", 2700, 0, 16, price=26.0)
SILVER, OAK = DoorBar("Silver", "level", 900, 0, 3, price=10.0), DoorBar("Oak", "level", 900, 0, 3, price=16.0)
EDGE = DoorBar("Edge", "single edge", 900, 0, 10, price=9.0)
CARPET = FloorBeyond("carpet", (14.0, 14.0))


def orders_of(room, bars, **more):
    floors = [NewFloor(8, 3)] * len(room.doors)
    return bar_orders(room, heights_ledger(room, floors, bars, **more), bars)


def pieces_of(orders):
    return {cut.piece: cut.length_mm for order in orders for cut in order.cut.cuts.itertuples()}


def test_each_of_two_doorways_of_one_name_has_its_bar():
    doors = tuple(fk.Door(wall, 900, 762, 60, name="cupboard", beyond=CARPET) for wall in (1, 3))
    pieces = pieces_of(orders_of(rectangle(4000, 3000, doors=doors), (EDGE,)))
    assert pieces == {"cupboard": 762, "cupboard (2)": 762}


def test_a_sill_parted_by_a_doorway_has_two_end_bars():
    # 4000 less 762 and two architraves of 71: 1429 and 1667
    door = fk.Door(1, 1500, 762, 60)
    pieces = pieces_of(orders_of(rectangle(4000, 3000, doors=(door,), edges=(fk.Edge(1, "sill"),)), (END, LONG_END)))
    assert pieces == {"wall 1": 1429, "wall 1 (2)": 1667}


def test_the_bar_the_ledger_chose_is_the_one_that_is_bought():
    level = fk.Door(1, 900, 762, 60, name="hall", beyond=FloorBeyond("hard floor", (11.0, 11.0)))
    (order,) = orders_of(rectangle(4000, 3000, doors=(level,)), (OAK, SILVER))
    assert order.bought == {"Silver": 1}
    assert order.price == order.cut.price == 10.0


def test_short_bars_are_cut_from_a_long_one_where_that_is_cheaper():
    # three of 762 and two saw cuts fit a bar of 2700: 26.00 against 30.00
    outside = FloorBeyond("outside", (20.0, 20.0))
    doors = tuple(fk.Door(wall, 900, 762, 60, name=f"door {wall}", beyond=outside) for wall in (1, 2, 3))
    (order,) = orders_of(rectangle(4000, 3000, doors=doors), (END, LONG_END))
    assert order.bought == {"End 2.7": 1}
    assert order.sentence() == "1 of End 2.7. From it: door 1 762 mm; door 2 762 mm; door 3 762 mm."


def test_a_face_longer_than_the_longest_bar_is_joined_in_equal_parts():
    room = rectangle(4000, 3000, edges=(fk.Edge(1, "hearth"),))
    assert pieces_of(orders_of(room, (LONG_END,))) == {"wall 1 part 1": 2000, "wall 1 part 2": 2000}


def test_bars_without_a_price_are_still_ordered():
    doors = (fk.Door(1, 900, 762, 60, beyond=CARPET),)
    (order,) = orders_of(rectangle(4000, 3000, doors=doors), (replace(EDGE, price=None),))
    assert order.bought == {"Edge": 1}
    assert order.price != order.price  # not a number


@pytest.mark.parametrize("name", DEMO_ROOMS)
def test_all_openings_with_a_bar_and_all_faces_an_end_bar_closes_are_cut_once(name):
    room = demo_room(name)
    bars = list(fk.read_door_bars(fk.demo_path("door_bars.csv")).values())
    ledger = heights_ledger(room, [NewFloor(8, 3)] * len(room.doors), bars, breaks=[])
    wanted = ledger["bar_mm"].sum() + sum(length for _, length in faces_closed_by(room, END_BAR))
    assert sum(pieces_of(bar_orders(room, ledger, bars)).values()) == pytest.approx(wanted, abs=0.5)
