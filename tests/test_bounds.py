"""The lower bound on boards, against floors so small that every plan of them can be tried.

The brute force shares nothing with the kit but the rules: a row is sawn at its first joint and a board further on
each time, every piece is at least the shortest piece long, and pieces of one board lie a spacing apart, lengthways or
sideways, at the factory ends and edges they keep. Lengths and widths are small whole numbers [tenths of mm].
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import NamedTuple

import pytest

from flooring_kit.setting_out.chains import RowLength, taken_apart
from flooring_kit.setting_out.mixed_bound import mixed_bound
from flooring_kit.setting_out.proof import BoundRun, boards_bound


class Part(NamedTuple):
    """A stretch of a row of one width, and whether it meets the row behind and the row in front."""

    length: int
    width: int
    back: bool
    front: bool


class Cut(NamedTuple):
    """A piece, and the ends and edges it keeps."""

    length: int
    width: int
    left: bool
    right: bool
    back: bool
    front: bool


Row = tuple[Part, ...]


@dataclass(frozen=True)
class TinyFloor:
    rows: tuple[Row, ...]
    board: int
    width: int
    spacing: int
    shortest: int


@cache
def fit_on_a_board(cuts: tuple[Cut, ...], board: int, width: int, apart: int) -> bool:
    """Whether the pieces lie on one board in some way; tries every whole place."""
    if sum((cut.length + apart) * (cut.width + apart) for cut in cuts) > (board + apart) * (width + apart):
        return False

    def rest_fits(number: int, laid: tuple[tuple[int, int, int, int], ...]) -> bool:
        if number == len(cuts):
            return True
        long, wide = cuts[number].length, cuts[number].width
        alongs = [0] if cuts[number].left else [board - long] if cuts[number].right else range(board - long + 1)
        acrosses = [0] if cuts[number].back else [width - wide] if cuts[number].front else range(width - wide + 1)
        return any(
            all(
                x >= b + apart or x + long <= a - apart or y >= d + apart or y + wide <= c - apart
                for a, b, c, d in laid
            )
            and rest_fits(number + 1, (*laid, (x, x + long, y, y + wide)))
            for x in alongs
            for y in acrosses
        )

    return rest_fits(0, ())


@cache
def fewest_boards(cuts: tuple[Cut, ...], board: int, width: int, apart: int) -> int:
    """Fewest boards for sorted pieces: the first piece with every set of others that lies beside it, and so on."""
    if not cuts:
        return 0
    first, others = cuts[0], cuts[1:]
    fewest = len(cuts)

    def with_more(start: int, chosen: tuple[int, ...]) -> None:
        nonlocal fewest
        left = tuple(cut for number, cut in enumerate(others) if number not in chosen)
        fewest = min(fewest, 1 + fewest_boards(left, board, width, apart))
        for number in range(start, len(others)):
            beside = tuple(sorted((first, *(others[n] for n in chosen), others[number])))
            if fit_on_a_board(beside, board, width, apart):
                with_more(number + 1, (*chosen, number))

    with_more(0, ())
    return fewest


def ways_to_saw(row: Row, floor: TinyFloor, *, joints_in_short_rows: bool = False) -> list[tuple[Cut, ...]]:
    """The row's pieces for every first joint the rules allow; a row that one board spans stays whole unless asked."""
    length, found = sum(part.length for part in row), set()
    for first in range(1, floor.board + 1):
        if length <= floor.board and first < length and not joints_in_short_rows:
            continue
        ends = [0, *range(first, length, floor.board), length]
        cuts = []
        for start, end in itertools.pairwise(ends):
            at = itertools.accumulate((part.length for part in row), initial=0)
            met = [part for part, left in zip(row, at, strict=False) if left < end and left + part.length > start]
            back, front = any(part.back for part in met), any(part.front for part in met)
            cuts.append(Cut(end - start, max(part.width for part in met), start > 0, end < length, back, front))
        if len(cuts) == 1 or min(cut.length for cut in cuts) >= floor.shortest:
            found.add(tuple(cuts))
    return sorted(found)


@cache
def fewest_of(floor: TinyFloor, *, joints_in_short_rows: bool = False) -> int | None:
    """Fewest boards of all plans; None where a row has no first joint the rules allow."""
    alike = [
        itertools.combinations_with_replacement(
            ways_to_saw(row, floor, joints_in_short_rows=joints_in_short_rows), len(list(same))
        )
        for row, same in itertools.groupby(sorted(floor.rows))
    ]
    area = sum(part.length * part.width for row in floor.rows for part in row)
    least = -(-area // (floor.board * floor.width))
    fewest: int | None = None
    for plan in itertools.product(*alike):
        cuts = [cut for rows in plan for cuts in rows for cut in cuts]
        sawn = tuple(sorted(cut for cut in cuts if cut[:2] != (floor.board, floor.width)))
        boards = len(cuts) - len(sawn) + fewest_boards(sawn, floor.board, floor.width, floor.spacing)
        fewest = boards if fewest is None else min(fewest, boards)
        if fewest == least:  # by area alone no plan has fewer
            break
    return fewest


def as_bound_run(row: Row, shortest: int) -> BoundRun:
    """The row as the bound sees it, by the meaning of each field of BoundRun."""
    length = sum(part.length for part in row)
    back, front = all(part.back for part in row), all(part.front for part in row)
    widths = [part.width for part in row for _ in range(part.length)]
    reach = min(max(shortest, 1), length)
    least = min(max(widths[at : at + reach]) for at in range(length - reach + 1))
    in_full = itertools.groupby(row, key=lambda part: part.back and part.front)
    solid = tuple(sum(part.length for part in parts) for both, parts in in_full if both) if back != front else ()
    profile = tuple((part.length, part.width) for part in row) if back != front and not solid and len(row) > 1 else ()
    return BoundRun(length, least, back, front, solid, profile)


def bound_of(floor: TinyFloor, *, with_program: bool = False) -> int:
    return boards_bound(
        [as_bound_run(row, floor.shortest) for row in floor.rows],
        sum(part.length * part.width for row in floor.rows for part in row) / 100,
        board_t=floor.board,
        width_t=floor.width,
        spacing_t=floor.spacing,
        shortest_t=floor.shortest,
        with_program=with_program,
    )


def whole_rows(*lengths: int, board: int, spacing: int = 0, shortest: int = 0, width: int = 10) -> TinyFloor:
    """A floor of rows a whole board wide that meet a row on both sides."""
    rows = tuple((Part(length, width, True, True),) for length in lengths)
    return TinyFloor(rows, board, width, spacing, shortest)


def drawn(kind: str, r: random.Random) -> TinyFloor:
    if kind == "strips":  # first and last rows: thin, of changing width, or solid in places
        board, width = r.randint(5, 8), r.randint(3, 5)
        rows: list[Row] = [(Part(r.randint(3, 2 * board), width, True, True),) for _ in range(r.randint(0, 2))]
        for back in (False, True)[: r.randint(1, 2)]:
            thin = r.randint(1, width - 1)
            ends = [Part(r.randint(1, 5), thin, back, not back) for _ in range(2)]
            middle = [Part(r.randint(1, 6), width, True, True)]
            tapered = [Part(r.randint(1, 5), r.randint(1, width), back, not back) for _ in range(r.randint(2, 4))]
            rows.append(tuple(r.choice([ends[:1], ends[:1] + middle, ends[:1] + middle + ends[1:], tapered])))
        return TinyFloor(tuple(rows), board, width, r.randint(0, 2), r.randint(0, 3))
    board = r.randint(8, 12)
    long = [r.randint(board + 1, 3 * board) for _ in range(2)]
    lengths = {
        "equal rows": [long[0]] * r.choice((2, 3, 3, 4)),
        "mixed rows": [long[0]] * r.randint(1, 2) + [long[1]],
        "nearly equal rows": [long[0], long[0] + r.randint(1, 3), long[0] + r.randint(0, 3)],
        "rows and loose pieces": r.choices(long, k=2) + [r.randint(1, board) for _ in range(r.randint(1, 2))],
    }[kind]
    return whole_rows(*lengths, board=board, spacing=r.randint(0, 3), shortest=r.randint(0, 5))


KINDS = ("equal rows", "mixed rows", "nearly equal rows", "rows and loose pieces", "strips")
EACH = 40


def tiny_floors(kind: str) -> Iterator[tuple[TinyFloor, int]]:
    """Forty seeded floors of a kind that can be laid, with their fewest boards."""
    r = random.Random(kind)
    given = 0
    while given < EACH:
        floor = drawn(kind, r)
        fewest = fewest_of(floor)
        if fewest is not None:
            given += 1
            yield floor, fewest


@pytest.mark.parametrize("kind", KINDS)
def test_no_plan_needs_fewer_boards_than_the_bound_and_the_program_never_lowers_it(kind):
    for floor, fewest in tiny_floors(kind):
        assert bound_of(floor) <= bound_of(floor, with_program=True) <= fewest, floor


def test_the_bound_of_equal_rows_is_reached_by_a_plan():
    for floor, fewest in tiny_floors("equal rows"):
        assert bound_of(floor) == fewest, floor


@pytest.mark.parametrize("shorter", [0, 12])
@pytest.mark.parametrize("kind", KINDS[:4])
def test_coarse_steps_and_rows_alike_to_a_few_tenths_leave_the_bound_a_bound(kind, shorter):
    # Two pieces that share a board limit the difference of two first joints, so where all lengths are multiples of
    # 50 some best plan has its joints at multiples too: the fewest boards are those of the tiny floor. A plan stays
    # a plan when rows lose 0 to 12 off their right ends and the shortest piece is 12 less.
    r = random.Random(kind)
    for floor, fewest in itertools.islice(tiny_floors(kind), 20):
        if floor.shortest:
            lengths = [row[0].length * 50 - r.randint(0, shorter) for row in floor.rows]
            found = boards_bound(
                [BoundRun(length, floor.width, True, True) for length in lengths],
                0,
                board_t=floor.board * 50,
                width_t=floor.width,
                spacing_t=floor.spacing * 50,
                shortest_t=floor.shortest * 50 - shorter,
                with_program=True,
            )
            assert found <= fewest, (floor, lengths)


# ------------------------------------------------------------------------------------------- hand sums


PLANK = {"board_t": 18_000, "width_t": 1_930, "spacing_t": 30, "shortest_t": 3_000}


def test_the_worked_example_is_bound_by_nine_boards():
    # R 4000, L 1800, k 3, four rows: 8 whole boards, and 4 x (400 + 3) = 1612 of 1803 takes one more.
    runs = [BoundRun(40_000, 1_930, True, True)] * 4
    assert boards_bound(runs, 4 * 4_000 * 193, **PLANK) == 9
    assert boards_bound(runs, 4 * 4_000 * 193, **PLANK, with_program=True) == 9


@pytest.mark.parametrize(("area_mm2", "boards"), [(3 * 1800 * 193, 3), (3 * 1800 * 193 + 10, 4), (0, 0)])
def test_the_area_alone_takes_its_boards(area_mm2, boards):
    assert boards_bound([], area_mm2, **PLANK) == boards


@pytest.mark.parametrize(
    ("floor", "plain", "with_program", "fewest"),
    [
        # 2 x 15 = 3 boards: 5 + whole, whole + 5, and 5 + 5 from one board.
        (whole_rows(15, 15, board=10), 3, 3, 3),
        # No whole end (5 < 6), so pieces of 6 to 9: two of them are longer than a board, 4 pieces take 4 boards.
        (whole_rows(15, 15, board=10, shortest=6), 4, 4, 4),
        # 11 is 4 to 7 and the rest of it, 17 is 7 to 10 and the rest: 4 + 7 > 10, 4 boards. By length 28 take 3.
        (whole_rows(11, 17, board=10, shortest=4), 3, 4, 4),
        # One-piece rows of 6: two are longer than a board. By length 3 x 6 take 2.
        (whole_rows(6, 6, 6, board=10, shortest=3), 2, 3, 3),
        # One-piece rows of 3 with a spacing of 1: 3 + 1 + 3 + 1 + 3 = 11 > 10, two to a board.
        (whole_rows(3, 3, 3, board=10, spacing=1), 2, 2, 2),
        # 3 + 3 + 3 = 9 <= 10: one board.
        (whole_rows(3, 3, 3, board=10), 1, 1, 1),
        # A loose 6 between 2 and 2 from the ends of 14 = 2 + whole + 2: 2 boards.
        (whole_rows(14, 6, board=10, shortest=2), 2, 2, 2),
        # 12 is two pieces of 3 to 9, too long for one board together, and 8 + 3 > 10: 3 boards. By length 20 take 2.
        (whole_rows(12, 8, board=10, shortest=3), 2, 3, 3),
    ],
)
def test_named_floors_have_the_bound_of_the_hand_sum(floor, plain, with_program, fewest):
    assert (bound_of(floor), bound_of(floor, with_program=True), fewest_of(floor)) == (plain, with_program, fewest)


@pytest.mark.parametrize(
    ("first", "last", "boards"),
    [
        (Part(8, 4, False, True), Part(8, 5, True, False), 1),  # 4 + 1 + 5 = 10: side by side
        (Part(8, 5, False, True), Part(8, 5, True, False), 2),  # 11 > 10
        (Part(8, 4, True, False), Part(8, 4, True, False), 2),  # both keep the back edge
        (Part(8, 4, False, True), Part(8, 4, False, True), 2),  # both keep the front edge
        (Part(8, 4, False, False), Part(8, 5, False, False), 1),  # rows of two rooms, no edge kept
        (Part(18, 4, False, True), Part(18, 5, True, False), 2),  # as 8 + whole, side by side twice
    ],
)
@pytest.mark.parametrize("with_program", [False, True])
def test_strips_that_lie_side_by_side_are_not_counted_twice(first, last, boards, with_program):
    floor = TinyFloor(((first,), (last,)), board=10, width=10, spacing=1, shortest=0)
    assert fewest_of(floor) == bound_of(floor, with_program=with_program) == boards


def test_nothing_lies_beside_a_stretch_that_meets_both_rows():
    # First row: a strip of 5. Last row of 8: 5 meet a row in front too. 5 + 1 + 5 = 11 > 10, 2 boards.
    # Without the solid stretch the strip lies beside the row: 1 board.
    strip, thin = Part(5, 1, False, True), Part(3, 1, True, False)
    floor = TinyFloor(((strip,), (thin, Part(5, 4, True, True))), board=10, width=4, spacing=1, shortest=0)
    assert (bound_of(floor), fewest_of(floor)) == (2, 2)
    floor = TinyFloor(((strip,), (thin, Part(5, 1, True, False))), board=10, width=4, spacing=1, shortest=0)
    assert (bound_of(floor), fewest_of(floor)) == (1, 1)


def test_a_row_of_changing_width_is_solid_where_nothing_of_the_other_fits_beside_it():
    # Board 4 wide. A strip 2 wide fits beside a width of 2, not 3: 6 of the first row and the strip's 5 make 11 > 10.
    strip = (Part(5, 2, True, False),)
    for wide, boards in ((3, 2), (2, 1)):
        first = (Part(2, 1, False, True), Part(6, wide, False, True), Part(2, 1, False, True))
        floor = TinyFloor((first, strip), board=10, width=4, spacing=0, shortest=0)
        assert (bound_of(floor), fewest_of(floor)) == (boards, boards)


def test_a_row_whose_thin_stretches_are_shorter_than_the_shortest_piece_is_solid_all_along():
    # Widths 3, 1, 3 over 4, 2, 4: a piece of 3 reaches a width of 3, so all 10 count: 10 + 1 > 10. With pieces of 2
    # allowed only 4 + 4 are solid, and 8 + 1 <= 10; the one piece of 10 still leaves a strip of 1 x 3 beside it.
    first = (Part(4, 3, False, True), Part(2, 1, False, True), Part(4, 3, False, True))
    for shortest, boards in ((3, 2), (2, 1)):
        floor = TinyFloor((first, (Part(1, 2, True, False),)), board=10, width=4, spacing=0, shortest=shortest)
        assert bound_of(floor) == boards
        assert fewest_of(floor) == 2  # the saw follows the bounding rectangle, 10 x 3


def test_solid_stretches_are_measured_by_hand():
    run = BoundRun(400, 10, True, False, profile_t=((100, 30), (50, 60), (70, 80), (100, 20), (80, 90)))
    solid, longest_thin = run.wider_than(50)
    assert (solid.solid_t, longest_thin) == ((120, 80), 100)
    # Boards of 110, spacing 3: 200 takes two pieces, one of which may reach over the thin stretch: 200 + 2 x 3.
    assert solid.solid_lengths_t(110, 3) == 206
    # 400 = 3 x 110 + 70: at least 2 whole boards laid, 1 of them (200 of the row is thin) may miss the stretches.
    assert solid.solid_boards(110) == 1
    assert run.solid_boards(110) == run.solid_lengths_t(110, 3) == 0


def test_a_row_no_joint_is_allowed_in_is_bound_by_its_length():
    # 11 on boards of 10: pieces of 6 and more would make 12. Two boards by length; the program has no answer.
    assert mixed_bound([RowLength(1, 1)], board_t=10, spacing_t=0, shortest_t=6) == 0
    assert bound_of(whole_rows(11, board=10, shortest=6), with_program=True) == 2
    assert fewest_of(whole_rows(11, board=10, shortest=6)) is None


def test_the_program_adds_what_other_rows_take_in_any_plan():
    # One row of 15 on boards of 10: 2 boards. With 6 more of solid stretch 21 take 3; with a solid board beside, 3.
    rows = [taken_apart(15, 10)]
    for solid, boards in (((0, 0), 2), ((5, 0), 2), ((6, 0), 3), ((0, 1), 3)):
        assert mixed_bound(rows, board_t=10, spacing_t=0, shortest_t=0, solid=solid) == boards


# ------------------------------------------------------------------------------------------- at the limits

JOINT_IN_A_SHORT_ROW = whole_rows(5, 7, board=6, shortest=2)
TWO_SOLID_STRETCHES = TinyFloor(
    ((Part(3, 1, False, True),), (Part(1, 4, True, True), Part(1, 1, True, False), Part(1, 4, True, True))),
    board=3,
    width=4,
    spacing=2,
    shortest=0,
)


def test_a_joint_in_a_row_that_one_board_spans_can_save_a_board():
    # Rows 5 and 7, boards of 6: 5 = 2 + 3 and 7 = 3 + 4, sawn as 3 | 3 and 4 | 2. Without that joint, 5 and two of 7.
    assert fewest_of(JOINT_IN_A_SHORT_ROW, joints_in_short_rows=True) == 2
    assert fewest_of(JOINT_IN_A_SHORT_ROW) == 3
    assert bound_of(JOINT_IN_A_SHORT_ROW) == 2


def test_the_program_takes_a_row_that_one_board_spans_as_one_piece():
    # Its answer is for plans that lay such a row in one piece, as the kit's all do: one joint more would save a board.
    assert bound_of(JOINT_IN_A_SHORT_ROW, with_program=True) == 3


def test_two_one_piece_rows_as_long_as_a_board_are_two_boards():
    assert fewest_of(TWO_SOLID_STRETCHES) == 2


def test_one_piece_that_covers_two_solid_stretches_takes_one_spacing():
    assert bound_of(TWO_SOLID_STRETCHES) <= 2
