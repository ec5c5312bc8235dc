"""The record of a floor on paper and its drawing: everything the log holds, told apart without colour."""

from __future__ import annotations

from functools import cache

import pytest
from floors import demo_boards, demo_room
from poppler import fonts, page_sizes_mm, pages, squeezed

import flooring_kit as fk
from flooring_kit import as_laid
from flooring_kit.as_laid.record import CAUTION
from flooring_kit.day_entries import (
    BatchNoted,
    BoardDamaged,
    Entry,
    GapLeft,
    LaidUpTo,
    PhotoTaken,
    Reading,
    Remark,
    RowLaid,
    Undone,
)
from flooring_kit.drawing import as_svg, day_scene
from flooring_kit.drawing.marks import LOOKS, Scene, Shape, Strokes, Words
from flooring_kit.drawing.piece_marks import SLOPES


@cache
def plan(room: str = "box_room") -> fk.Plan:
    return fk.set_out(demo_room(room), demo_boards()["Oak plank 1380 x 193"], search=fk.Search(quick=True))


NOTES: list[Entry] = [
    BatchNoted("A113", 2),
    Reading("air humidity", 48, "middle of the room"),
    GapLeft(2, 11.5),
    PhotoTaken("IMG_2031.jpg", "the pipe by the door"),
    Remark("Skirting loose by the door."),
    Remark("Typed by mistake."),
]


def day_of(*entries: Entry, room: str = "box_room") -> as_laid.Day:
    return as_laid.as_laid(plan(room), [as_laid.first_entry(plan(room)), *NOTES, Undone(7), *entries])


def times(day: as_laid.Day) -> list[str]:
    return [f"2026-05-14T08:{minute:02}:09+01:00" for minute in range(len(day.entries))]


def half_way() -> as_laid.Day:
    return day_of(RowLaid(1), RowLaid(2), LaidUpTo("3a"), BoardDamaged("3b"))


def text_of(pdf: bytes) -> str:
    return squeezed("".join(pages(pdf)))


# ---------------------------------------------------------------------- on paper


def test_every_cell_of_the_record_stands_on_paper_under_its_title():
    day = half_way()
    text = text_of(fk.day_record_pdf(day, name="Box room", times=times(day), boards_bought=32, kept_for_repairs=3))
    tables = as_laid.record_tables(day, times=times(day), boards_bought=32, kept_for_repairs=3)
    assert len(tables) >= 7
    for table in tables:
        assert squeezed(table.title) in text
        for cell in (cell for row in table.rows for cell in row):
            assert squeezed(cell if isinstance(cell, str) else f"{cell:g}") in text, cell
    assert squeezed("Typed by mistake.") not in text
    assert squeezed(CAUTION) in text
    assert "Handedoverto" in text


def test_the_record_is_a4_with_its_fonts_and_the_same_bytes_for_the_same_log():
    day = half_way()
    pdf = fk.day_record_pdf(day, times=times(day), boards_bought=32)
    for wide, tall in page_sizes_mm(pdf):  # ISO 216; poppler prints hundredths of a point
        assert sorted((wide, tall)) == pytest.approx([210, 297], abs=0.01)
    assert {embedded for _, embedded in fonts(pdf)} == {"yes"}
    assert pdf == fk.day_record_pdf(half_way(), times=times(day), boards_bought=32)
    assert pdf != fk.day_record_pdf(half_way(), times=times(day), boards_bought=31)


def test_the_head_names_the_job_or_else_the_room():
    first = pages(fk.day_record_pdf(half_way(), name="Mill Lane, back room"), layout=True)[0].splitlines()[0]
    assert "Mill Lane, back room" in first
    assert plan().room.name in pages(fk.day_record_pdf(half_way()), layout=True)[0].splitlines()[0]


def test_without_times_no_table_has_a_column_of_empty_dates():
    assert " when" not in "".join(pages(fk.day_record_pdf(half_way()), layout=True))
    day = half_way()
    assert " when" in "".join(pages(fk.day_record_pdf(day, times=times(day)), layout=True))


def test_times_must_be_as_many_as_the_entries():
    with pytest.raises(ValueError) as told:
        fk.day_record_pdf(half_way(), times=["2026-05-14T08:00"])
    assert str(told.value) == "times must be as many as the entries, 12, got 1."


def test_a_floor_not_finished_says_so_and_a_finished_one_shows_its_joints():
    unfinished = text_of(fk.day_record_pdf(half_way()))
    assert squeezed("The floor is not finished: what is laid is hatched level.") in unfinished
    assert squeezed("3b no board") in unfinished
    done = text_of(fk.day_record_pdf(day_of(*(RowLaid(row) for row in range(1, plan().rows + 1)))))
    assert squeezed("Joints as they were laid.") in done
    assert "notfinished" not in done
    assert squeezed("cut to length") in done  # the plan's own key


# ---------------------------------------------------------------------- the drawing


def pieces_of(scene: Scene) -> dict[str, Shape]:
    """Every piece of the drawing by its label."""
    return {
        mark.note.split(":")[0].removeprefix("Piece "): mark
        for mark in scene.marks
        if isinstance(mark, Shape) and mark.note.startswith("Piece ")
    }


def test_every_piece_is_drawn_in_the_state_the_day_has_it_in():
    day = half_way()
    drawn = pieces_of(day_scene(day))
    assert sorted(drawn) == sorted(day.plan.pieces["piece"])
    for label, row in zip(day.plan.pieces["piece"], day.plan.pieces["row"], strict=True):
        if label in ("3a",) or row < 3:
            wanted = "laid"
        elif label == "3b" or label in day.homeless:
            wanted = "no board"
        else:
            wanted = "comes next" if row == 3 else "to come"
        assert drawn[label].role == wanted, label
    assert drawn["3c"].note == f"Piece 3c: comes next, about {day.needed_mm('3c'):.0f} mm"


def test_states_are_told_by_label_and_hatch_and_not_by_colour_alone():
    scene = day_scene(half_way())
    words = {mark.text for mark in scene.marks if isinstance(mark, Words)}
    assert {"1b laid", "3b no board", f"3c · {half_way().needed_mm('3c'):.0f}", "5b"} <= words
    assert {"laid", "comes next", "no board: plan anew", "to come"} <= words  # the key
    hatched = {state: SLOPES.get(state, ()) for state in ("laid", "comes next", "no board", "to come")}
    assert hatched == {"laid": (0,), "comes next": (), "no board": (1, -1), "to come": ()}
    assert LOOKS["comes next"].width_px > 2 * LOOKS["to come"].width_px
    assert any(isinstance(mark, Strokes) and mark.role == "hatch" for mark in scene.marks)


def test_the_key_holds_only_what_is_drawn():
    words = {mark.text for mark in day_scene(day_of()).marks if isinstance(mark, Words)}
    assert {"comes next", "to come"} <= words
    assert not {"laid", "no board: plan anew"} & words
    done = day_scene(day_of(*(RowLaid(row) for row in range(1, plan().rows + 1))))
    words = {mark.text for mark in done.marks if isinstance(mark, Words)}
    assert "laid" in words
    assert not {"comes next", "to come", "no board: plan anew", "after ·: about, mm"} & words


@pytest.mark.parametrize("room", ["box_room", "sitting_room", "hall"])
def test_the_drawing_names_how_far_the_floor_is_and_nothing_is_cut_off(room):
    scene = day_scene(day_of(RowLaid(1), room=room))
    assert f"as it stands: 1 of {plan(room).rows} rows laid." in as_svg(scene)
    for mark in scene.marks:
        if isinstance(mark, Words):
            left = mark.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor] * mark.width_mm
            assert scene.left <= left
            assert left + mark.width_mm <= scene.left + scene.width
            assert scene.top <= mark.y - mark.size_mm / 2
            assert mark.y + mark.size_mm / 2 <= scene.top + scene.height
