"""Collars that cover the holes round pipes."""

import math

import pytest
from floors import rectangle

import flooring_kit as fk
from flooring_kit.collars import collar_sentences, collars

BOARD = fk.Board("Plank", 1380, 193, 8, 8)
SMALL = fk.Sundry("Small collar", "pack of 2", use="pipe collars", fits_mm=15, outside_mm=44)
MIDDLE = fk.Sundry("Middle collar", "pack of 2", use="pipe collars", fits_mm=15, outside_mm=48)
LARGE = fk.Sundry("Large collar", "pack of 2", use="pipe collars", fits_mm=15, outside_mm=60)
OTHER = fk.Sundry("Collar for 22", "pack of 2", use="pipe collars", fits_mm=22, outside_mm=80)
SLEEVE = fk.Sundry("Sleeve", "pack of 2", use="pipe sleeves", fits_mm=15)
SHELF = (LARGE, OTHER, SMALL, MIDDLE, SLEEVE)


def collars_at(*pipes, shelf=SHELF, gap_mm=10.0):
    room = rectangle(3000, 2000, pipes=pipes)
    return collars(fk.set_out(room, BOARD, rules=fk.LayingRules(gap_mm=gap_mm)), shelf)


def test_the_smallest_collar_that_fits_the_pipe_and_covers_the_hole_is_taken():
    # 15 + 2 x 10 = 35, and 5 over it on every side: 45
    table = collars_at(fk.Pipe((1500, 1000)))
    (pipe,) = table.itertuples()
    assert (pipe.pipe, pipe.kind, pipe.hole_mm, pipe.least_mm) == (1, "pipe", 35, 45)
    assert (pipe.collar, pipe.outside_mm, pipe.clip, pipe.sleeve) == ("Middle collar", 48, False, "Sleeve")
    assert collar_sentences(table) == ["Pipe 1, 15 mm, hole 35 mm: Middle collar, 48 mm outside; Sleeve above it."]


def test_a_pipe_measured_in_inches_is_near_enough_to_its_collars_size():
    (words,) = collar_sentences(collars_at(fk.Pipe((1500, 1000), 0.59 * 25.4)))
    assert words == "Pipe 1, 14.99 mm, hole 34.99 mm: Middle collar, 48 mm outside; Sleeve above it."


def test_a_wider_gap_takes_a_larger_collar():
    assert collars_at(fk.Pipe((1500, 1000)), gap_mm=15)["collar"].tolist() == ["Large collar"]


@pytest.mark.parametrize(("from_wall", "clip"), [(23.9, True), (24.1, False)])
def test_a_collar_wider_than_the_room_at_the_wall_is_clipped(from_wall, clip):
    # half of 48
    table = collars_at(fk.Pipe((1500, from_wall)))
    assert table["clip"].tolist() == [clip]
    assert ("; clip it at the wall side" in collar_sentences(table)[0]) is clip


def test_where_no_collar_covers_the_hole_filler_does():
    table = collars_at(fk.Pipe((1500, 1000), 28))
    (pipe,) = table.itertuples()
    assert pipe.collar == pipe.sleeve == ""
    assert math.isnan(pipe.outside_mm)
    # 28 + 20 + 10
    assert collar_sentences(table) == [
        "Pipe 1, 28 mm, hole 48 mm: no collar on sale fits it and covers the hole; it needs 58 mm outside, or flexible "
        "filler in the hole."
    ]


def test_a_radiator_foot_is_gone_round_like_a_pipe_but_has_no_sleeve():
    table = collars_at(fk.Pipe((1500, 1000), 15, "radiator foot"))
    assert collar_sentences(table) == ["Radiator foot 1, 15 mm, hole 35 mm: Middle collar, 48 mm outside."]


def test_every_pipe_has_one_row_however_many_pieces_it_is_cut_into():
    table = collars_at(fk.Pipe((1500, 1000)), fk.Pipe((1500, 50)), fk.Pipe((100, 1500)))
    assert table["pipe"].tolist() == [1, 2, 3]


def test_a_room_without_pipes_needs_no_collar():
    assert len(collars_at()) == 0
    assert collar_sentences(collars_at()) == []
