"""The workbook's right answers held against hand sums, published worked examples and the kit's own plans."""

from __future__ import annotations

import math
import re
from decimal import Decimal

import pytest
from floors import demo_boards, demo_room, rectangle

import flooring_kit as fk
from flooring_kit.labour import RateLine, rate
from flooring_kit.workbook import NUMBERS, Exercise, exercise, mark
from flooring_kit.workbook.rows_across import laid

OAK = "Oak plank 1380 x 193"
ALL = [[exercise(number, seed) for seed in range(50)] for number in NUMBERS]
TITLES = {exercises[0].title: exercises for exercises in ALL}


def figure(made: Exercise, name: str) -> float:
    """A figure given in an exercise, as its first number."""
    value = next(value for what, value in made.figures if what == name)
    return float(re.findall(r"\d+(?:\.\d+)?", value)[0])


def right_reason(made: Exercise) -> str | None:
    return next((reason.text for reason in made.reasons if reason.is_right), None)


def test_the_area_of_an_l_is_the_sum_of_two_rectangles_by_hand():
    for made in TITLES["Area of an L"]:
        long, foot, deep, leg = (value for value in (float(value.split()[0]) for _, value in made.figures))
        assert made.right == pytest.approx((long * deep - (long - leg) * (deep - foot)) / 1e6)


def test_packs_agree_with_a_published_worked_example():
    # "How to lay laminate flooring", builderstips.blogspot.com: 5 x 4 m and a tenth more, packs of 1.243 m²: 18 packs.
    for made in TITLES["How many packs?"]:
        area, share, pack = (figure(made, name) for name, _ in made.figures)
        assert made.right == math.ceil(area * (1 + share / 100) / pack)
    assert fk.packs_for_area(20, 1.243, spare_fraction=0.1) == 18


def test_the_first_row_is_half_of_a_board_and_what_is_left():
    for made in TITLES["How wide is the first row?"]:
        clear, wide = figure(made, "Clear width, gaps already off"), figure(made, "Board width")
        assert made.right == pytest.approx((wide + clear % wide) / 2)
        assert made.right >= 50


def test_the_strip_before_a_hearth_is_what_whole_rows_leave_by_hand():
    for made in TITLES["The strip before a hearth"]:
        way, gap, first, wide = (figure(made, name) for name, _ in made.figures)
        assert made.right == pytest.approx((way - 2 * gap - first) % wide, abs=0.05)


def test_the_plan_of_the_kit_has_the_same_narrow_end_where_the_far_wall_runs_out():
    for made in TITLES["A far wall that runs out"][:8]:
        left, right, gap, first, wide = (figure(made, name) for name, _ in made.figures)
        assert made.right == pytest.approx((min(left, right) - 2 * gap - first) % wide)
        room = fk.Room("room", ((0, 0), (0, -left), (4200, -right), (4200, 0)))
        board = fk.Board("board", 1380, wide, 8, 8)
        plan = laid(room, board, fk.LayingRules(gap_mm=gap), first_row_mm=first)
        strips = plan.strips.loc[plan.strips["beside"] == "wall 2", "strip_mm"]
        # the plan measures a gap in from the side wall, where the far wall has run out by a few tenths already
        assert strips.min() == pytest.approx(made.right, abs=0.2)


def test_joints_agree_with_the_trades_own_worked_example():
    # Common practice: clear 3770, board 1285, kerf 3: step 1203, joints 82 apart.
    assert min(3770 % 1285 + 3, 1285 - (3770 % 1285 + 3)) == 82
    for made in TITLES["The step of the joints"]:
        clear, board, kerf, _ = (figure(made, name) for name, _ in made.figures)
        step = clear % board + kerf
        assert made.right == min(step, board - step)


def test_shared_boards_are_counted_by_trying_every_pairing():
    for made in TITLES["Shared boards"]:
        rows = [
            [int(each) for each in re.findall(r"\d+", value)] for name, value in made.figures if name.startswith("Row")
        ]
        board, kerf, free = (figure(made, name) for name, _ in made.figures[-3:])
        starters, finishers = [row[0] for row in rows], [row[2] for row in rows]
        fits = [[first + last + kerf + free <= board for last in finishers] for first in starters]
        pieces = sum(2 + row[1] for row in rows)
        assert made.right == pieces - _most_matched(fits, 0, frozenset())


def _most_matched(fits: list[list[bool]], row: int, taken: frozenset[int]) -> int:
    """The most pairs, every choice tried."""
    if row == len(fits):
        return 0
    with_it = [
        1 + _most_matched(fits, row + 1, taken | {place})
        for place, fit in enumerate(fits[row])
        if fit and place not in taken
    ]
    return max([_most_matched(fits, row + 1, taken), *with_it])


def test_rows_of_the_shared_boards_are_all_equally_long():
    for made in TITLES["Shared boards"]:
        rows = [
            [int(each) for each in re.findall(r"\d+", value)] for name, value in made.figures if name.startswith("Row")
        ]
        board = figure(made, "Board length")
        assert len({first + whole * board + last for first, whole, last in rows}) == 1


def test_the_mitre_setting_is_half_of_what_the_trim_turns():
    # Trade pages (ehow.co.uk, visualfoodie.com): corner 135: (180 - 135) / 2 = 22.5; 150: 15; 88: 46; 92: 44.
    published = {135: 22.5, 150: 15, 88: 46, 92: 44}
    number = TITLES["Setting the saw for a mitre"][0].number
    made = [exercise(number, seed) for seed in range(200)]
    seen = {figure(each, "Corner between the two walls"): each.right for each in made}
    assert {corner: seen[corner] for corner in published} == published


def test_the_long_point_lies_beyond_an_outer_corner_by_the_foot_at_a_square_one():
    # Common practice, no source: an 18 mm foot adds 18 at 90 degrees and 7.5 at 45.
    for made in TITLES["Long point and short point"]:
        wall, foot, turn = (figure(made, name) for name, _ in made.figures)
        assert made.right == pytest.approx(wall + foot * {90: 1.0, 45: 0.41421}[turn], abs=0.05)


def test_lengths_of_trim_are_never_fewer_than_the_metres_nor_more_than_the_pieces():
    for made in TITLES["Lengths of trim to buy"]:
        pieces = [figure(made, name) for name, _ in made.figures if name.startswith("Piece")]
        assert sum(pieces) / 2400 < made.right < len(pieces)
        assert sum(piece > 1200 for piece in pieces) <= made.right
    assert any("kerf forgotten" in [slip.name for slip in made.slips] for made in TITLES["Lengths of trim to buy"])


def test_the_foot_of_the_trim_is_the_sum_of_all_that_parts_skirting_and_board():
    for made in TITLES["A trim that covers the gap"]:
        assert made.right == sum(figure(made, name) for name, _ in made.figures)


def test_one_tog_is_a_tenth_of_a_square_metre_kelvin_by_watt():
    # GNU Units 2.22: tog 0.1 degC m^2 / W.
    for made in TITLES["Adding up tog"]:
        (_, board), (_, underlay) = made.figures
        assert made.right == pytest.approx(10 * float(board.split()[0]) + float(underlay.split()[0]))


def test_strips_of_sheet_cover_the_room_and_one_fewer_would_not():
    for made in TITLES["How many strips of vapour sheet?"]:
        wide, sheet, lap, turned_up = (figure(made, name) for name, _ in made.figures[1:])
        strips = made.right or next(slip.value for slip in made.slips if slip.name == "membrane over timber")
        covered = [n * sheet - (n - 1) * lap for n in (strips, strips - 1)]
        assert covered[0] >= wide + 2 * turned_up > covered[1]


def test_undercut_easing_hole_and_centre_are_plain_sums():
    for made in TITLES["Undercutting a door lining"]:
        assert made.right == sum(figure(made, name) for name, _ in made.figures)
    for made in TITLES["Easing a door leaf"]:
        carpet, new, present, wanted = (figure(made, name) for name, _ in made.figures)
        assert made.right == max(0.0, new - carpet + wanted - present)
    for made in TITLES["A hole for a pipe"]:
        pipe, gap = (figure(made, name) for name, _ in made.figures)
        assert made.right == pipe + 2 * gap
    for made in TITLES["The centre of a hole"]:
        away, pipe, gap = (figure(made, name) for name, _ in made.figures)
        assert made.right == pytest.approx(away - gap, abs=0.05)
        slot = "slot" in (right_reason(made) or "").lower()
        assert slot == (away - gap - (pipe + 2 * gap) / 2 < 15)


def test_some_leaves_need_nothing_off_and_nothing_is_an_answer():
    nothing = [made for made in TITLES["Easing a door leaf"] if made.right == 0]
    assert nothing
    assert all(mark(made, "nothing").verdict == "right" for made in nothing)


def test_a_rate_agrees_with_the_price_book():
    # BCCA 2024-01, item 10SMS90011: .3 h x 23.17 + .3 h x 22.01 + 1.05 x 28.36 + 1.05 x .69 = 44.05 a square metre.
    # Información obtenida del Portal de la Junta de Andalucía.
    lines = [RateLine(0.3, 23.17), RateLine(0.3, 22.01), RateLine(1.05, 28.36), RateLine(1.05, 0.69)]
    assert float(rate(lines)) == 44.05
    for made in TITLES["A rate for a square metre"]:
        time, hour, board, underlay, share = (figure(made, name) for name, _ in made.figures)
        by_hand = sum(math.floor(100 * each + 0.5 + 1e-9) for each in
                      (time * hour, (1 + share / 100) * board, (1 + share / 100) * underlay)) / 100  # fmt: skip
        # a line that comes to half a penny in binary fractions may be rounded the other way: one penny of three lines
        assert made.right == pytest.approx(by_hand, abs=0.0101)


def test_a_quote_has_one_wrong_row_and_every_kind_of_mistake_comes_up():
    kinds = set()
    for made in TITLES["A quote with a mistake"]:
        wrong = set()
        area = float(re.findall(r"(\d+\.\d+) m²", made.question)[0])
        rows = [
            [float(each.replace(",", "")) for each in re.findall(r"[\d,]+(?:\.\d+)?", value)]
            for _, value in made.figures
        ]
        for place, (quantity, price, amount) in enumerate(
            row if len(row) == 3 else [row[0], *row[-2:]] for row in rows[:4]
        ):
            if abs(quantity * price - amount) > 0.011:
                wrong.add(place)
        if not area * 1.08 <= rows[0][0] * 2.131 < area * 1.08 + 2.131:
            wrong.add(0)
        if abs(rows[1][0] - area) > 0.01:
            wrong.add(1)
        metres = figure_in(made.figures[2][0])
        if rows[2][0] != math.ceil(metres / 2.4):
            wrong.add(2)
        if abs(rows[4][0] - 0.2 * sum(row[-1] for row in rows[:4])) > 0.011:
            wrong.add(4)
        assert wrong == {int(made.right)}, made.seed
        kinds.add(right_reason(made))
    assert len(kinds) == 5


def test_the_kits_own_check_of_a_quote_finds_the_same_wrong_sums():
    room = demo_room("box_room")
    shop = fk.read_catalogue(fk.demo_path())
    estimate = fk.estimate(room, fk.Choices(fk.Materials(OAK, "Foam sheet 3 mm")), shop, quick=True)
    whole = fk.whole_price(estimate, shop)
    sums = ("Quantity times price does not give the amount.", "Tax is taken on tax.")
    met = set()
    for made in TITLES["A quote with a mistake"]:
        rows = [re.findall(r"[\d,]+(?:\.\d+)?", value.replace("m²", "")) for _, value in made.figures]
        rows = [[Decimal(each.replace(",", "")) for each in row] for row in rows]
        lines = tuple(
            fk.QuoteLine(what, quantity, "", price, amount, place + 2)
            for place, ((what, _), (quantity, price, amount)) in enumerate(zip(made.figures[:4], rows[:4], strict=True))
        )
        before, tax = sum(line.amount for line in lines), rows[4][0]
        quote = fk.Quote("q", lines, subtotal=before, tax_fraction=Decimal("0.2"), tax=None, total=before + tax)
        findings = fk.check_quote(quote, estimate, whole)
        wrong_sums = {each.row - 2 for each in findings if each.reason == "Quantity times price gives another sum."}
        wrong_tax = {4 for each in findings if each.reason == "Sum and tax give another total."}
        reason = right_reason(made)
        assert wrong_sums | wrong_tax == ({int(made.right)} if reason in sums else set()), made.seed
        met.add(reason)
    assert met >= set(sums)


def figure_in(words: str) -> float:
    return float(re.findall(r"\d+", words)[0])


def test_starters_of_the_kits_own_plan_keep_the_end_the_workbook_teaches():
    # a row's first piece is sawn at the wall on its left: the board's left lock is off, its right one whole
    plan = laid(rectangle(4000, 2500), demo_boards()[OAK], fk.LayingRules())
    first = plan.pieces.groupby("row").head(1)
    sawn = first[first["length_mm"] < plan.board.length_mm]
    assert len(sawn) >= 3
    for piece in sawn.itertuples():
        assert piece.along_mm + piece.length_mm == pytest.approx(plan.board.length_mm)
