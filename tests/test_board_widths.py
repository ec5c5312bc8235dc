"""Board width as a quantity: hand sums on a plain room, and what must hold at every width."""

import pytest
from floors import demo_boards, demo_room, rectangle

import flooring_kit as fk
from flooring_kit.board_widths import WIDTH_COLUMNS, width_steps, width_table, widths_between
from flooring_kit.drawing.charts import figure_svg, width_chart

BOARD = fk.Board("Plank", 1380, 193, 8, 8)
RULES = fk.LayingRules()


def test_widths_run_from_one_to_another_in_whole_tenths():
    assert widths_between(190, 192, step_mm=0.5) == [190, 190.5, 191, 191.5, 192]
    assert widths_between(190, 190, step_mm=5) == [190]


def test_a_floor_of_five_whole_rows_wastes_least_at_the_width_that_fills_it():
    # 980 / 5 = 196 and 1360 long, one board a row: 5 boards of 1380 x 196 = 1.3524 m² for 1.3328 m²
    table = width_table(rectangle(1380, 1000), BOARD, [190, 196, 200], rules=RULES, direction="long")
    table = table.set_index("width_mm")
    assert table.loc[196.0, "boards"] == 5
    assert table.loc[196.0, "waste_fraction"] == pytest.approx(1.3524 / 1.3328 - 1, abs=1e-4)
    assert table.loc[196.0, "narrowest_strip_mm"] == 196
    assert table["waste_fraction"].idxmin() == 196.0


@pytest.mark.parametrize("name", ["box_room", "hall", "sitting_room"])
def test_at_every_width_the_bound_holds_and_the_area_covers_the_floor(name):
    room = demo_room(name)
    board = demo_boards()["Oak plank 1380 x 193"]
    table = width_table(room, board, widths_between(180, 240, step_mm=12), rules=RULES, direction=room.boards_run)
    assert list(table.columns) == WIDTH_COLUMNS
    assert (table["bound"] <= table["boards"]).all()
    assert (table["waste_fraction"] >= 0).all()


def test_a_row_is_the_plain_call_at_that_width():
    room, board = demo_room("box_room"), demo_boards()["Oak plank 1380 x 193"]
    row = width_table(room, board, [193], rules=RULES, direction="long").iloc[0]
    plan = fk.set_out(room, board, search=fk.Search(quick=True))
    assert (row.boards, row.bound) == (plan.boards_needed, plan.boards_bound)


def test_steps_can_be_stopped_and_each_holds_a_width_more():
    steps = width_steps(rectangle(3000, 2000), BOARD, [190, 195, 200], rules=RULES, direction="long")
    assert [len(next(steps)) for _ in range(2)] == [1, 2]
    steps.close()


def test_the_chart_shows_three_curves_and_marks_boards_on_sale():
    table = width_table(rectangle(3000, 2000), BOARD, [190, 195, 200], rules=RULES, direction="long")
    figure = width_chart(table, marked_mm=[193])
    labels = [axes.get_ylabel() for axes in figure.axes]
    assert labels == ["boards", "board area over\nthe floor, %", "narrowest\nstrip, mm"]
    assert all(len(axes.lines) >= 2 for axes in figure.axes)
    assert figure_svg(figure, title="Widths") == figure_svg(width_chart(table, marked_mm=[193]), title="Widths")


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((30, 200, 1), "least board width must be 40 to 600 mm, got 30 mm."),
        ((200, 100, 1), "largest board width must be 200 to 600 mm, got 100 mm."),
        ((100, 200, 0), "step of the board width must be 0.1 to 100 mm, got 0 mm."),
    ],
)
def test_widths_no_board_has_are_refused(arguments, message):
    low, high, step = arguments
    with pytest.raises(ValueError) as refused:
        widths_between(low, high, step_mm=step)
    assert str(refused.value) == message
