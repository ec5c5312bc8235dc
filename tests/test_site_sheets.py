"""The printed pack: every sheet tells what the plain calls give, on A4, to scale, with its fonts."""

from __future__ import annotations

import functools
import math
from dataclasses import replace
from datetime import date

import pytest
from floors import DEMO_ROOMS, demo_room, rectangle
from poppler import filled_boxes_points, fonts, lines, page_sizes_mm, pages, squeezed

import flooring_kit as fk
from flooring_kit.door_sheet import new_floors
from flooring_kit.doorways import undercut_list, undercut_sentences
from flooring_kit.drawing.marks import LOOKS
from flooring_kit.edges import edge_gaps
from flooring_kit.saw_sheet import pile_sentences
from flooring_kit.sawing import hole_sentence, shaping_sentence
from flooring_kit.site_sheets import SITE_SHEETS, pack_sheets
from flooring_kit.site_sheets.blocks import PORTRAIT, Drawing

SHOP = fk.read_catalogue(fk.demo_path())
every_room = pytest.mark.parametrize("name", DEMO_ROOMS)


@functools.cache
def estimate_of(name: str) -> fk.Estimate:
    room = demo_room(name)
    board = "Ash plank 1850 x 240" if room.heated else "Oak plank 1380 x 193"
    materials = fk.Materials(board, "Foam sheet 3 mm", "White scotia 18 mm")
    choices = fk.Choices(materials, fk.Laying(direction=room.boards_run))
    return fk.estimate(room, choices, SHOP, quick=True)


@functools.cache
def pack(name: str, *sheets: str) -> bytes:
    return fk.site_pack_pdf(estimate_of(name), SHOP, sheets=sheets or SITE_SHEETS)


def plain_floor(length_mm: float, width_mm: float, **more: object) -> fk.Estimate:
    choices = fk.Choices(fk.Materials("Oak plank 1380 x 193", "Foam sheet 3 mm", "White scotia 18 mm"))
    return fk.estimate(rectangle(length_mm, width_mm, **more), choices, SHOP, quick=True)


def told(pdf: bytes, sentence: str) -> bool:
    return squeezed(sentence) in squeezed("".join(pages(pdf)))


# ---------------------------------------------------------------------- pages, fonts, bytes


@every_room
def test_every_page_is_a4_and_every_font_is_embedded(name):
    # ISO 216: A4 is 210 by 297 mm; a printer's tolerance is 1.5 mm, poppler prints hundredths of a point
    for wide, tall in page_sizes_mm(pack(name)):
        assert sorted((wide, tall)) == pytest.approx([210, 297], abs=0.01)
    assert {embedded for _, embedded in fonts(pack(name))} == {"yes"}


@every_room
def test_every_page_names_the_room_its_number_and_a_caution(name):
    sheets = {sheet.title: sheet for sheet in pack_sheets(estimate_of(name), SHOP)}
    texts = pages(pack(name), layout=True)
    for number, text in enumerate(texts, start=1):
        title = next(title for title in sorted(sheets, key=len, reverse=True) if title in text.splitlines()[0])
        assert estimate_of(name).room.name in text.splitlines()[0]
        assert f"page {number} of {len(texts)}" in text
        first_words = " ".join(sheets[title].caution.split()[:6])
        assert first_words in " ".join(text.split())


def test_the_same_floor_gives_the_same_bytes():
    assert pack("hall") == fk.site_pack_pdf(estimate_of("hall"), SHOP)
    assert fk.survey_form_pdf() == fk.survey_form_pdf()


def test_a_date_stands_on_every_page_only_where_one_is_given():
    dated = fk.site_pack_pdf(estimate_of("hall"), SHOP, sheets=["front page", "plan"], day=date(2026, 3, 14))
    assert all("2026-03-14" in page for page in pages(dated))
    assert "2026" not in "".join(pages(pack("hall")))


def test_sheets_are_bound_in_their_order_and_only_those_wanted():
    some = [page.splitlines()[0].split()[-1] for page in pages(pack("hall", "record", "plan"), layout=True)]
    assert some[0] == "Plan"
    assert set(some[1:]) == {"Record"}


def test_a_name_too_long_for_the_head_is_shortened():
    long = replace(estimate_of("box_room"), room=replace(demo_room("box_room"), name="A room " + "very " * 14 + "long"))
    head = pages(fk.site_pack_pdf(long, SHOP, sheets=["plan"]), layout=True)[0].splitlines()[0]
    assert head.startswith("A room very")
    assert head.split()[-2].endswith("…")


# ---------------------------------------------------------------------- front page


@every_room
def test_the_front_page_is_one_page_with_packs_first_rows_frames_and_cautions(name):
    estimate = estimate_of(name)
    front = pack(name, "front page")
    assert len(pages(front)) == 1
    page = lines(front)
    for line in fk.whole_price(estimate, SHOP).order_list().itertuples():
        carried = line.group in ("boards", "underlay", "membrane", "trims", "bars")
        assert (f"☐ {line.group} {line.item} {line.quantity:g} {line.unit}" in page) == carried
    assert told(front, estimate.take_off.boards.sentence())
    for frame in undercut_list(estimate.plan, new_floors(estimate.plan, estimate.underlay)).itertuples():
        assert f"☐ {frame.name} {math.ceil(frame.height_mm - 1e-9)} {frame.depth_mm:.0f} {frame.met_at}" in page
    for bar in estimate.heights(SHOP.bars.values()).itertuples():
        assert (f"☐ {bar.name} {bar.bar} {bar.bar_mm:.0f}" in page) == bool(bar.bar)
    for sentence in pile_sentences(estimate.plan):
        assert told(front, sentence)
    assert told(front, "Find and isolate hidden pipes and cables before you nail, drill or undercut.")
    assert told(front, "asbestos")


def test_the_front_page_gives_the_first_row_at_each_end():
    # Back bedroom: clear depth 4071 - 20 at the shallow end; a first row of 96 whole along, 20 rows of 193, and what is
    # left: 4051 - 96 - 3860 = 95, and 28 more at the deep end, where the wall has run out by 28 over 3880.
    page = lines(pack("back_bedroom", "front page"))
    plan = estimate_of("back_bedroom").plan
    width = plan.row_widths[0].first_row_width_mm
    last = plan.pieces[plan.pieces["row"] == plan.rows]["piece"].tolist()
    assert width == 96
    assert any(line.startswith("1 piece 1a 96 piece 1") and line.endswith(" 96") for line in page)
    assert f"22 piece {last[0]} 123 piece {last[-1]} 95" in page


# ---------------------------------------------------------------------- lists


@every_room
def test_the_cut_list_on_paper_is_the_cut_list(name):
    plan = estimate_of(name).plan
    page = [line.split() for line in lines(pack(name, "cut list")) if line.startswith("☐")]
    cuts = list(fk.cut_list(plan).itertuples())
    assert [line[2] for line in page] == plan.pieces["piece"].tolist()
    for words, cut in zip(page, cuts, strict=True):
        saw = "whole" if math.isnan(cut.saw_mm) else f"{cut.saw_mm:.0f}"
        assert words[1 : 4 + len(cut.taken_from.split())] == [str(cut.row), cut.piece, *cut.taken_from.split(), saw]
        if not math.isnan(cut.rip_mm) and math.isnan(cut.tongue_end_mm):
            assert f"{cut.rip_mm:.0f}" in words[4 + len(cut.taken_from.split()) :]


@every_room
def test_the_offcuts_on_paper_are_the_ledger(name):
    plan = estimate_of(name).plan
    sheet = pack(name, "offcuts")
    page = [line for line in lines(sheet) if line.startswith("☐")]
    ledger = list(fk.offcut_ledger(plan).itertuples())
    assert len(page) == len(ledger)
    for line, offcut in zip(page, ledger, strict=True):
        assert line.startswith(f"☐ {offcut.left_by} {offcut.left_in_row} ")
        assert f" {offcut.left_length_mm:.0f} × {offcut.left_width_mm:.0f} " in line
        assert f" {offcut.used_for} {offcut.used_in_row} " in line
    for row in fk.set_aside(fk.offcut_ledger(plan)).itertuples():
        assert not row.put_aside or told(sheet, f"After row {row.row} put aside {row.put_aside}.")


@every_room
def test_every_notch_and_every_hole_is_told_and_drawn(name):
    plan = estimate_of(name).plan
    sheet = pack(name, "notches and holes")
    places, holes = list(fk.shaping(plan).itertuples()), list(fk.pipe_holes(plan).itertuples())
    for sentence in (*map(shaping_sentence, places), *map(hole_sentence, holes)):
        assert told(sheet, sentence)
    page = lines(sheet)
    assert sum(line.startswith("☐") for line in page) == len(places) + len(holes)
    names = {each.piece for each in (*places, *holes)}
    boards = set(plan.pieces[plan.pieces["piece"].isin(names)]["board"])
    assert {int(line.split()[1].rstrip(",")) for line in page if line.startswith("Board ")} == boards


@every_room
def test_the_trims_on_paper_are_the_order(name):
    estimate = estimate_of(name)
    order = fk.bead_order(estimate.plan, [estimate.trim])
    sheet = pack(name, "trims")
    page = [line for line in lines(sheet) if line.startswith("☐")]
    assert len(page) == len(order.pieces)
    stock = order.cut.cuts.set_index("piece")
    for line, piece in zip(page, order.pieces.itertuples(), strict=True):
        assert line.startswith(
            f"☐ {piece.piece} {piece.beside} {stock.loc[piece.piece, 'length_mm']:.0f} {piece.first_end}"
        )
        assert line.endswith(f" {stock.loc[piece.piece, 'stock']}")
    assert told(sheet, order.sentence())
    assert told(sheet, "Lengths are about: measure, then saw.")


@every_room
def test_frames_and_heights_on_paper_are_the_ledger(name):
    estimate = estimate_of(name)
    sheet = pack(name, "frames and heights")
    ledger = list(estimate.heights(SHOP.bars.values()).itertuples())
    for line in ledger:
        assert told(sheet, line.bar_says)
        assert told(sheet, line.leaf_says)
        assert any(words.startswith(f"☐ {line.name} {line.old_mm:g} {line.new_mm:g} ") for words in lines(sheet))
    for sentence in undercut_sentences(undercut_list(estimate.plan, new_floors(estimate.plan, estimate.underlay))):
        assert told(sheet, sentence)
    for order in fk.bar_orders(estimate.room, estimate.heights(SHOP.bars.values()), SHOP.bars.values()):
        assert not ledger or told(sheet, order.sentence())


@every_room
def test_the_underlay_on_paper_is_the_strips(name):
    estimate = estimate_of(name)
    sheet = pack(name, "underlay")
    laid = fk.underlay_strips(estimate.plan, estimate.underlay)
    page = [line for line in lines(sheet) if line.startswith("☐")]
    assert len(page) == len(laid.strips)
    for line, strip in zip(page, laid.strips.itertuples(), strict=True):
        assert line.startswith(f"☐ {strip.strip} ")
        assert line.endswith(f" {strip.piece} {strip.length_mm:.0f} {strip.width_mm:.0f}")
    for sentence in laid.sentences():
        assert told(sheet, sentence)


@every_room
def test_the_order_list_on_paper_is_the_order_list(name):
    wanted = fk.whole_price(estimate_of(name), SHOP).order_list()
    page = [line for line in lines(pack(name, "order list")) if line.startswith("☐")]
    assert len(page) == len(wanted)
    for line, item in zip(page, wanted.itertuples(), strict=True):
        assert line.startswith(f"☐ {item.group} {item.item} {item.quantity:g} {item.unit} {item.amount:.2f} ")
        assert told(pack(name, "order list"), f"{item.quantity:g}")


def test_prices_can_be_left_out_of_the_order_list():
    bare = fk.site_pack_pdf(estimate_of("hall"), SHOP, sheets=["order list"], priced=False)
    page = lines(bare)
    for item in fk.whole_price(estimate_of("hall"), SHOP).order_list().itertuples():
        line = next(line for line in page if line.startswith(f"☐ {item.group} {item.item} "))
        assert f" {item.amount:.2f}" not in line
    assert "Price" not in "".join(pages(bare))


@every_room
def test_the_record_has_a_line_for_every_pack_reading_and_wall(name):
    estimate = estimate_of(name)
    page = lines(pack(name, "record"))
    packs = [line for line in page if line.isdigit()]
    assert packs == [str(pack) for pack in range(1, estimate.take_off.boards.packs + 1)]
    for gap in edge_gaps(estimate.plan).itertuples():
        assert f"{gap.edge} {gap.kind} {gap.planned_mm:g}" in page
    for wanted in ("air humidity", "air temperature", "floor temperature", "File name", "Batch number"):
        assert any(wanted in line for line in page)


def test_a_text_without_a_limit_for_the_subfloor_is_said_and_lines_stay():
    # DIN 18560-1 is a standard for screeds; the sitting room stands on concrete
    room = estimate_of("sitting_room")
    choices = replace(room.choices, air=fk.Air(edition="DIN 18560-1:2015"))
    sheet = fk.site_pack_pdf(replace(room, choices=choices), SHOP, sheets=["record"])
    assert told(sheet, "DIN 18560-1:2015 sets no limit for concrete. These do: BS 8203 and BS 8204, BS 8201:2011")
    assert told(sheet, "Where, by which method")


# ---------------------------------------------------------------------- the plan


@every_room
def test_every_piece_is_named_on_the_plan(name):
    words = set("\n".join(pages(pack(name, "plan"))).split())
    assert set(estimate_of(name).plan.pieces["piece"]) <= words


@every_room
def test_the_plan_is_drawn_to_the_scale_it_names(name):
    # A millimetre of floor at 1:N is 72 / 25.4 / N points (the point is 1/72 inch, ISO 32000). Half a hundredth of a
    # point, the last digit the PDF library writes, at both ends.
    estimate = estimate_of(name)
    x0, y0, x1, y1 = estimate.room.polygon.bounds
    lying = sorted((x1 - x0, y1 - y0))
    drawings = [block for sheet in pack_sheets(estimate, SHOP, sheets=["plan"]) for block in sheet.blocks]
    scale = next(block for block in drawings if isinstance(block, Drawing)).scale
    assert f"Scale 1:{scale}." in pages(pack(name, "plan"))[0]
    boxes = filled_boxes_points(pack(name, "plan"), 1, LOOKS["gap"].fill)
    assert any(
        sorted(box) == pytest.approx([length / scale * 72 / 25.4 for length in lying], abs=0.02) for box in boxes
    )


def test_a_hundred_millimetres_stand_under_the_plan_to_check_the_printer():
    assert told(
        pack("box_room", "plan"), "100 mm on paper, 2 m of floor at 1:20. If a rule says otherwise, print at 100 %."
    )


def test_a_long_room_is_shown_whole_and_then_larger_with_nothing_cut_off():
    estimate = plain_floor(21_000, 2600)
    sheets = pack_sheets(estimate, SHOP, sheets=["plan"])
    assert [sheet.title for sheet in sheets[:2]] == ["Plan", "Plan, larger"]
    drawings = [block for sheet in sheets for block in sheet.blocks if isinstance(block, Drawing)]
    assert drawings[0].scale == 100
    larger = drawings[1:]
    assert {drawing.scale for drawing in larger} == {25}
    for sheet, drawing in zip(sheets, drawings, strict=True):
        wide, tall = sheet.page.free_mm
        assert drawing.window.width / drawing.scale <= wide + 1e-9
        assert drawing.window.height / drawing.scale <= tall
    reached = larger[0].window.left
    for drawing in larger:
        assert drawing.window.left <= reached + 1e-6
        reached = max(reached, drawing.window.right)
    scene = larger[0].scene
    assert larger[0].window.left < min(shape.rings[0][:, 0].min() for shape in scene.marks if hasattr(shape, "rings"))
    assert reached > max(shape.rings[0][:, 0].max() for shape in scene.marks if hasattr(shape, "rings"))
    parts = pages(fk.site_pack_pdf(estimate, SHOP, sheets=["plan"]))[1:]
    assert set(estimate.plan.pieces["piece"]) <= set(" ".join(parts).split())


def test_a_cut_list_of_two_hundred_lines_repeats_its_heads_on_every_page():
    estimate = plain_floor(15_000, 4000)
    assert len(estimate.plan.pieces) > 200
    sheet = fk.site_pack_pdf(estimate, SHOP, sheets=["cut list"])
    texts = pages(sheet, layout=True)
    assert len(texts) >= 5
    for text in texts:
        head = " ".join(text.split("☐")[0].split())
        for words in ("Row", "Piece", "Take", "End that", "Edge that", "Shape", "Offcut"):
            assert words in head
    named = [line.split()[2] for line in lines(sheet) if line.startswith("☐")]
    assert named == estimate.plan.pieces["piece"].tolist()


# ---------------------------------------------------------------------- what is missing, what is refused


def test_a_room_without_doors_pipes_or_trim_says_so():
    choices = fk.Choices(fk.Materials("Oak plank 1380 x 193", "Foam sheet 3 mm"))
    estimate = fk.estimate(rectangle(4000, 3000), choices, SHOP, quick=True)
    sheet = fk.site_pack_pdf(estimate, SHOP)
    assert told(sheet, "No trim was chosen.")
    assert told(sheet, "No doorway in this survey.")
    assert told(sheet, "No piece is notched, tapered, slanted or holed.")


def test_levelling_that_was_chosen_is_said_at_every_doorway():
    kitchen = estimate_of("kitchen_diner")
    room = replace(kitchen.room, doors=(fk.Door(2, 400, 762, 38, name="to the hall"),))
    choices = replace(kitchen.choices, work=fk.Work(level_to="level"))
    estimate = fk.estimate(room, choices, SHOP, quick=True)
    depth = next(fk.threshold_depths(room).itertuples())
    assert told(
        fk.site_pack_pdf(estimate, SHOP, sheets=["frames and heights"]),
        f"At to the hall levelling adds {depth.near_mm:.0f} mm at the near end and {depth.far_mm:.0f} at the far end: "
        "saw the frame so much higher, and measure the step anew.",
    )


def test_text_from_a_survey_is_printed_as_it_was_typed():
    room = rectangle(4000, 3000, doors=(fk.Door(1, 400, 762, 38, name='<b>A & "B"</b>'),))
    estimate = fk.estimate(room, fk.Choices(fk.Materials("Oak plank 1380 x 193", "Foam sheet 3 mm")), SHOP, quick=True)
    assert told(fk.site_pack_pdf(estimate, SHOP, sheets=["frames and heights"]), '<b>A & "B"</b>: cut ')


def test_wrong_sheets_and_days_are_refused_in_words():
    hall = estimate_of("hall")
    every = ", ".join(SITE_SHEETS)
    with pytest.raises(ValueError) as refused:
        fk.site_pack_pdf(hall, SHOP, sheets=[])
    assert str(refused.value) == f"sheets must be a list of one or more of {every}, got []."
    with pytest.raises(ValueError) as refused:
        fk.site_pack_pdf(hall, SHOP, sheets="plan")
    assert str(refused.value) == f"sheets must be a list of one or more of {every}, got 'plan'."
    with pytest.raises(ValueError) as refused:
        fk.site_pack_pdf(hall, SHOP, sheets=["cutlist"])
    assert str(refused.value).startswith(f"sheet must be one of {every}, got 'cutlist'.")
    assert str(refused.value).endswith("'cut list'?")
    with pytest.raises(ValueError) as refused:
        fk.site_pack_pdf(hall, SHOP, day="14 March")
    assert str(refused.value) == "day must be a date, such as date(2026, 3, 14), got '14 March'."


# ---------------------------------------------------------------------- saving


def test_a_pdf_is_saved_whole_and_its_path_told(tmp_path):
    path = fk.write_pdf(pack("hall", "plan"), tmp_path / "hall.pdf")
    assert path == (tmp_path / "hall.pdf").resolve()
    assert path.read_bytes() == pack("hall", "plan")
    assert [each.name for each in tmp_path.iterdir()] == ["hall.pdf"]


def test_what_is_no_pdf_is_not_saved(tmp_path):
    with pytest.raises(ValueError) as refused:
        fk.write_pdf(pack("hall", "plan"), tmp_path / "hall.txt")
    assert str(refused.value) == f"{tmp_path / 'hall.txt'}: site sheets end in .pdf, got '.txt'."
    with pytest.raises(ValueError) as refused:
        fk.write_pdf(b"plan", tmp_path / "hall.pdf")
    assert str(refused.value) == (
        f"{tmp_path / 'hall.pdf'}: this is no PDF. Give what site_pack_pdf or survey_form_pdf returns, not its name."
    )
    with pytest.raises(ValueError) as refused:
        fk.write_pdf(pack("hall", "plan"), tmp_path / "none" / "hall.pdf")
    assert str(refused.value) == (
        f"{tmp_path / 'none' / 'hall.pdf'}: the PDF was not saved: there is no folder {tmp_path / 'none'} that can be "
        "opened."
    )
    assert list(tmp_path.iterdir()) == []


def test_what_is_free_on_a_portrait_page_is_the_page_less_its_margins():
    assert PORTRAIT.free_mm == (185.0, 252.0)
