"""Drawings on paper: the scale, the windows of a drawing larger than a page, and how a canvas is painted."""

from __future__ import annotations

import numpy as np
import pytest
from floors import demo_boards, demo_room
from hypothesis import given
from hypothesis import strategies as st

import flooring_kit as fk
from flooring_kit.drawing import Scene, plan_scene
from flooring_kit.drawing.marks import LOOKS, Shape, Strokes, Words, box_of, extent
from flooring_kit.drawing.paper import paint
from flooring_kit.drawing.windows import (
    LEAST_LETTER_MM,
    PAD_MM,
    SCALES,
    Window,
    largest_scale,
    legible_scale,
    windows_over,
)


def box(left: float, top: float, width: float, height: float, role: str = "whole") -> Shape:
    right, bottom = left + width, top + height
    ring = np.array([(left, top), (right, top), (right, bottom), (left, bottom), (left, top)], dtype=float)
    return Shape(role, (ring,))


def scene(*marks: Shape | Strokes | Words, label_mm: float = 95.0) -> Scene:
    low, high = extent(marks)
    return Scene("drawing", *low.tolist(), *(high - low).tolist(), marks, label_mm)


def inside(low: np.ndarray, high: np.ndarray, window: Window) -> bool:
    return bool(
        low[0] >= window.left - 1e-6
        and high[0] <= window.right + 1e-6
        and low[1] >= window.top - 1e-6
        and high[1] <= window.bottom + 1e-6
    )


# ---------------------------------------------------------------------- the scale


@pytest.mark.parametrize(
    ("width_mm", "height_mm", "scale"),
    [
        # 180 by 250 mm of paper, 1 mm free on every side: 178 x 10 = 1780 mm at 1:10, and so on
        (1780, 1000, 10),
        (1781, 1000, 20),
        (3560, 4960, 20),
        (3560, 4961, 25),
        (4451, 1000, 50),
        (17_800, 24_800, 100),
        (17_801, 1000, None),
    ],
)
def test_the_largest_scale_that_fits_is_taken(width_mm, height_mm, scale):
    assert largest_scale(scene(box(-300, 40, width_mm, height_mm)), (180, 250)) == scale


def test_letters_of_two_and_a_half_millimetres_are_legible():
    # 95 mm on the floor are 3.8 mm at 1:25 and 1.9 at 1:50; 66 (a narrow plank) are 2.64 at 1:25
    for label_mm, scale in ((95, 25), (66, 25), (62, 20), (125, 50), (20, 10)):
        assert legible_scale(scene(box(0, 0, 100, 100), label_mm=label_mm)) == scale
    assert LEAST_LETTER_MM == 2.5
    assert SCALES == (10, 20, 25, 50, 100)


# ---------------------------------------------------------------------- windows

words = st.builds(
    Words,
    st.floats(0, 20_000),
    st.floats(0, 9_000),
    st.text("abc12", min_size=1, max_size=12),
    st.floats(20, 95),
    st.sampled_from(["start", "middle", "end"]),
)


@given(st.lists(words, max_size=40), st.floats(900, 21_000), st.floats(900, 9_000), st.sampled_from([10, 25, 50]))
def test_every_word_stands_whole_in_a_window_and_every_window_fits_its_page(labels, width_mm, height_mm, scale):
    paper = (180.0, 240.0)
    drawing = scene(box(0, 0, width_mm, height_mm), *labels)
    windows = windows_over(drawing, paper, scale)
    for window in windows:
        assert window.width <= paper[0] * scale + 1e-6
        assert window.height <= paper[1] * scale + 1e-6
    for label in labels:
        if label.width_mm <= paper[0] * scale:
            assert any(inside(*box_of(label), window) for window in windows)


@given(st.floats(900, 30_000), st.floats(900, 12_000))
def test_windows_leave_no_part_of_a_floor_out(width_mm, height_mm):
    windows = windows_over(scene(box(0, 0, width_mm, height_mm)), (180.0, 240.0), 25)
    draw = np.random.default_rng(7)
    for x, y in draw.uniform((0, 0), (width_mm, height_mm), (40, 2)):
        assert any(window.left <= x <= window.right and window.top <= y <= window.bottom for window in windows)


def test_one_window_shows_a_drawing_that_fits_with_a_little_room_round_it():
    assert windows_over(scene(box(100, 200, 2000, 1000)), (180, 250), 20) == [
        Window(100 - 20 * PAD_MM, 200 - 20 * PAD_MM, 2000 + 40 * PAD_MM, 1000 + 40 * PAD_MM)
    ]


def test_windows_with_nothing_in_them_are_left_out():
    # an L: 8 by 3 m with a leg of 2 by 8 m, hatched along both. At 1:25 a page of 180 by 240 holds 4.5 by 6 m: two
    # columns and two rows of windows, the last of which would lie in the notch of the L, though not outside its box
    corners = [(0, 0), (8000, 0), (8000, 3000), (2000, 3000), (2000, 8000), (0, 8000), (0, 0)]
    outline = Shape("gap", (np.array(corners, dtype=float),))
    hatches = Strokes("hatch", np.array([(0.0, 0.0, 7900.0, 1900.0), (0.0, 0.0, 1900.0, 7900.0)]))
    windows = windows_over(scene(outline, hatches), (180, 240), 25)
    assert [(window.column, window.row) for window in windows] == [(1, 1), (2, 1), (1, 2)]


def test_a_label_that_a_page_would_cut_is_whole_on_the_next():
    label = Words(4500, 100, "12c · 1193", 95)  # 570 mm wide, across the end of the first window at 4475
    first, second = windows_over(scene(box(0, 0, 8000, 200), label), (180, 240), 25)
    assert not inside(*box_of(label), first)
    assert inside(*box_of(label), second)


def test_the_plan_without_its_key_is_the_same_floor():
    plan = fk.set_out(demo_room("hall"), demo_boards()["Oak plank 1380 x 193"], search=fk.Search(quick=True))
    bare, full = plan_scene(plan, key=False), plan_scene(plan)
    assert len(bare.marks) < len(full.marks)
    for mine, theirs in zip(bare.marks, full.marks, strict=False):
        assert type(mine) is type(theirs)
        assert box_of(mine)[0].tolist() == box_of(theirs)[0].tolist()


# ---------------------------------------------------------------------- painting


def painted(drawing: Scene, window: Window, scale: int) -> list[str]:
    """What is written into a page, uncompressed, one order a line."""
    from reportlab.pdfgen.canvas import Canvas

    canvas = Canvas(None, pageCompression=0)
    before = len(canvas._code)
    paint(canvas, drawing, window, scale=scale, font="Helvetica")
    return [line for each in canvas._code[before:] for line in each.splitlines()]


def test_a_millimetre_of_the_floor_is_its_share_of_a_millimetre_on_paper():
    # 1000 by 500 mm at 1:20 are 50 by 25 mm: 50 x 72 / 25.4 = 141.732 points, and 70.866
    drawing = scene(box(0, 0, 1000, 500))
    code = " ".join(painted(drawing, Window(0, 0, 1000, 500), 20))
    assert "0 70.86614 m 141.7323 70.86614 l 141.7323 0 l 0 0 l h" in code


def test_what_lies_outside_the_window_is_not_painted():
    drawing = scene(box(0, 0, 1000, 500), box(5000, 0, 1000, 500, "cut"), Words(5500, 250, "2b", 90))
    code = " ".join(painted(drawing, Window(0, 0, 1200, 600), 20))
    assert "2b" not in code
    whole, cut = (f"{int(LOOKS[role].fill[1:3], 16) / 255:.6f}"[1:] for role in ("whole", "cut"))  # share of red
    assert f"{whole} " in code
    assert f"{cut} " not in code


def test_words_are_never_wider_than_the_drawing_reckons_them():
    from reportlab.pdfbase.pdfmetrics import stringWidth

    wide = Words(500, 250, "MMMM", 100)  # an M is 0.83 of the font's size wide, the drawing reckons 0.6
    order = next(
        line for line in painted(scene(box(0, 0, 1000, 500), wide), Window(0, 0, 1000, 500), 20) if " Tf " in line
    )
    size = float(order.split(" Tf")[0].split()[-1])
    assert stringWidth("MMMM", "Helvetica", size) == pytest.approx(wide.width_mm / 20 * 72 / 25.4, rel=1e-3)


@pytest.mark.parametrize(
    ("text", "size_mm", "written", "points"),
    [
        ("33c \u00b7 300x82", 41.0, "33c", 5.811),  # 2.9 points, and no more than twice as large
        ("33c \u00b7 300x82", 60.0, "33c", 6.0),
        ("33c \u00b7 300x82", 100.0, "33c \\267 300x82", 7.087),  # large enough as it is
        ("33c", 41.0, "33c", 2.906),  # a name alone has nothing to leave out
    ],
)
def test_a_name_is_written_without_its_size_where_both_would_be_too_small_to_read(text, size_mm, written, points):
    drawing = scene(box(0, 0, 1000, 500), Words(500, 250, text, size_mm))
    code = painted(drawing, Window(0, 0, 1000, 500), 40)
    assert f"({written}) Tj" in " ".join(code)
    order = next(line for line in code if " Tf " in line)
    assert float(order.split(" Tf")[0].split()[-1]) == pytest.approx(points, abs=0.06)


def test_no_strokes_at_all_are_nowhere():
    low, high = box_of(Strokes("hatch", np.empty((0, 4))))
    assert (low > high).all()
    assert extent([box(0, 0, 10, 10), Strokes("hatch", np.empty((0, 4)))])[1].tolist() == [10, 10]
