"""The drawing of trims as sawn: every piece on its length, to scale, mitres the right way round."""

from itertools import pairwise

import numpy as np
import pytest
from floors import demo_room, rectangle

import flooring_kit as fk
from flooring_kit.drawing import as_svg
from flooring_kit.drawing.marks import Shape, Words
from flooring_kit.drawing.trim_lengths import trim_lengths_scene
from flooring_kit.trim_options import bead_order

BOARD = fk.Board("Plank", 1380, 193, 8, 8)
SCOTIA = fk.Trim("Scotia", 18, 18, 2400, price=4.00)


def order_for(room):
    return bead_order(fk.set_out(room, BOARD, search=fk.Search(quick=True)), (SCOTIA,))


def shapes(scene, role):
    return [mark for mark in scene.marks if isinstance(mark, Shape) and mark.role == role]


def across(shape):
    return float(np.ptp(shape.rings[0][:, 0]))


@pytest.mark.parametrize("name", ["box_room", "sitting_room", "hall"])
def test_every_piece_is_drawn_once_as_long_as_it_is_sawn(name):
    order = order_for(demo_room(name))
    drawn = shapes(trim_lengths_scene(order), "cut")
    assert len(drawn) == len(order.pieces)
    assert sorted(map(across, drawn)) == pytest.approx(sorted(order.cut.cuts["length_mm"]), abs=0.01)


def test_pieces_and_what_is_left_lie_on_their_length_and_never_on_each_other():
    scene = trim_lengths_scene(order_for(demo_room("sitting_room")))
    lines = {}
    for shape in [*shapes(scene, "cut"), *shapes(scene, "waste")]:
        ring = shape.rings[0]
        lines.setdefault(float(ring[:, 1].min()), []).append((ring[:, 0].min(), ring[:, 0].max()))
    for stretches in lines.values():
        stretches.sort()
        assert stretches[0][0] == 0
        assert stretches[-1][1] <= 2400 + 1e-6
        assert all(a[1] <= b[0] + 1e-6 for a, b in pairwise(stretches))


def test_an_internal_mitre_has_its_long_point_at_the_back_and_an_external_one_in_front():
    # a column's trims have external mitres at both ends, a plain room's internal ones
    column = fk.Obstacle("column", ((1000, 1000), (1300, 1000), (1300, 1300), (1000, 1300)), "column")
    scene = trim_lengths_scene(order_for(rectangle(2400, 2300, obstacles=(column,))))
    for shape in shapes(scene, "cut"):
        ring = shape.rings[0]
        back = ring[np.isclose(ring[:, 1], ring[:, 1].min())]
        front = ring[np.isclose(ring[:, 1], ring[:, 1].max())]
        is_column = "column" in shape.note
        assert bool(np.ptp(front[:, 0]) > np.ptp(back[:, 0])) is is_column


def test_the_same_room_taken_the_other_way_round_is_sawn_alike():
    # an L with one external corner: the pieces beside it are long at the front there, whichever way it was measured
    outline = ((0, 0), (4000, 0), (4000, 3000), (2000, 3000), (2000, 1500), (0, 1500))

    def drawn(corners):
        order = bead_order(
            fk.set_out(fk.Room("L", corners), BOARD, direction=0, search=fk.Search(quick=True)),
            (fk.Trim("Scotia", 18, 18, 5000, price=4.0),),
        )
        found = set()
        for shape in shapes(trim_lengths_scene(order), "cut"):
            ring = shape.rings[0] - shape.rings[0].min(axis=0)
            found.add(tuple(sorted({(round(float(x)), round(float(y))) for x, y in ring})))
        return found

    assert drawn(outline) == drawn(outline[::-1])


def test_the_note_of_a_piece_tells_its_wall_its_length_and_its_ends():
    scene = trim_lengths_scene(order_for(rectangle(2400, 2300)))
    notes = {shape.note for shape in shapes(scene, "cut")}
    assert "Piece 1, wall 1: 2400 mm, internal mitre (saw at 45°) to internal mitre (saw at 45°)" in notes


def test_the_title_counts_lengths_and_pieces_and_stands_in_the_svg():
    scene = trim_lengths_scene(order_for(rectangle(2400, 2300)))
    assert scene.title == "Scotia: 4 stock lengths as sawn, 4 pieces."
    assert scene.title in as_svg(scene)


def test_no_words_of_a_piece_are_wider_than_the_piece():
    scene = trim_lengths_scene(order_for(demo_room("hall")))
    pieces = shapes(scene, "cut")
    for words in [mark for mark in scene.marks if isinstance(mark, Words) and mark.anchor == "middle"]:
        inside = [p for p in pieces if p.rings[0][:, 0].min() <= words.x <= p.rings[0][:, 0].max()]
        inside = [p for p in inside if p.rings[0][:, 1].min() <= words.y <= p.rings[0][:, 1].max()]
        assert len(inside) == 1
        assert words.width_mm <= across(inside[0]) + 1e-6


def test_a_room_without_trim_has_a_drawing_that_says_so():
    room = rectangle(2400, 2300, edges=tuple(fk.Edge(wall, "plinth") for wall in (1, 2, 3, 4)))
    assert [mark.text for mark in trim_lengths_scene(order_for(room)).marks] == ["No trim needed"]
