"""A weighing: marks between best and worst, products of weight and mark, and no share that can't be seen."""

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from flooring_kit.weighing import EVEN, POINTS, best_of, marks, require_weights, sorted_by, weighed

NAN = float("nan")
COLUMNS = [point.column for point in POINTS]


def table_of(**columns):
    """A comparison as the weighing sees it: columns not named have no figure."""
    length = len(next(iter(columns.values())))
    return pd.DataFrame({**{column: [NAN] * length for column in COLUMNS}, **columns})


def test_a_mark_is_1_for_the_best_0_for_the_worst_and_in_proportion_between():
    table = table_of(price=[300.0, 400.0, 350.0], narrowest_strip_mm=[50, 150, 75])
    each = marks(table)
    assert each["price"].tolist() == [1, 0, 0.5]  # least wanted
    assert each["narrowest strip"].tolist() == [0, 1, 0.25]  # most wanted
    assert each["height"].isna().all()


def test_alike_options_all_get_the_full_mark_and_unknown_ones_none():
    each = marks(table_of(joints=[12, 12, NAN]))
    assert each["joints"].tolist()[:2] == [1, 1]
    assert each["joints"].isna().tolist() == [False, False, True]


def test_what_an_option_gets_is_weight_times_mark_over_the_weights_that_apply():
    table = table_of(price=[300.0, 400.0], joints=[40, 20], height_mm=[10, 10])
    got = weighed(table, {"price": 3, "joints": 1, "height": 1, "heat given": 5})
    assert got.index.tolist() == [0, 1]
    assert got["got_fraction"].tolist() == [pytest.approx(4 / 5), pytest.approx(2 / 5)]
    assert list(got.columns) == ["price", "joints", "height", "got_fraction"]


def test_an_option_without_a_figure_gets_nothing_for_it():
    got = weighed(table_of(price=[NAN, 400.0, 300.0]), {"price": 2})
    assert got["price"].to_dict() == {2: 2.0, 1: 0.0, 0: 0.0}


@given(
    st.lists(st.tuples(st.integers(1, 999), st.integers(1, 99), st.integers(1, 200)), min_size=1, max_size=6),
    st.fixed_dictionaries({name: st.integers(0, 5) for name in ("price", "joints", "narrowest strip")}),
)
def test_what_is_got_lies_between_none_and_all_and_an_option_best_throughout_comes_first(rows, weights):
    if not any(weights.values()):
        return
    table = table_of(
        price=[row[0] for row in rows], joints=[row[1] for row in rows], narrowest_strip_mm=[row[2] for row in rows]
    )
    got = weighed(table, weights)
    assert got["got_fraction"].between(0, 1).all()
    assert sorted(got.index) == list(range(len(rows)))
    each = [name for name in got.columns if name != "got_fraction"]
    assert got[each].sum(axis=1).to_numpy() == pytest.approx((got["got_fraction"] * sum(weights.values())).to_numpy())
    best = (table["price"].min(), table["joints"].min(), table["narrowest_strip_mm"].max())
    if best in rows:
        assert got["got_fraction"].iloc[0] == pytest.approx(1)


@given(st.lists(st.integers(1, 999), min_size=2, max_size=6, unique=True), st.integers(1, 50))
def test_marks_do_not_turn_on_the_unit(prices, factor):
    one, other = (marks(table_of(price=column))["price"] for column in (prices, [factor * each for each in prices]))
    assert one.to_numpy() == pytest.approx(other.to_numpy())


@pytest.mark.parametrize(
    ("weights", "message"),
    [
        (
            {"prize": 1},
            "weighing point must be one of price, heat lost, heat given, narrowest strip, joints, boards left over, "
            "height, got 'prize'. Did you mean 'price'?",
        ),
        ({"price": 6}, "weight of price must be 0 to 5, got 6."),
        ({"price": NAN}, "weight of price must be a finite number, got nan."),
        ({"price": 0, "joints": 0}, "weights are all 0: give at least one point a weight."),
        ({}, "weights are all 0: give at least one point a weight."),
    ],
)
def test_a_weighing_that_can_t_be_reckoned_is_refused_with_the_reason(weights, message):
    with pytest.raises(ValueError) as caught:
        require_weights(weights)
    assert str(caught.value) == message


def test_even_weights_name_every_point():
    require_weights(EVEN)
    assert list(EVEN) == [point.name for point in POINTS]


def test_the_best_of_a_column_is_told_only_where_options_differ():
    table = table_of(price=[300.0, 400.0, 300.0], joints=[8, 8, 8], height_mm=[NAN, 12, 14])
    assert best_of(table, "price") == [True, False, True]
    assert best_of(table, "joints") == [False] * 3
    assert best_of(table, "height_mm") == [False, True, False]
    assert best_of(table.assign(tog=[1, 2, 3]), "tog") == [False] * 3  # which end is better depends on the room


def test_a_table_is_sorted_with_the_best_first_and_the_unknown_last():
    table = table_of(price=[300.0, NAN, 200.0], narrowest_strip_mm=[50, 80, 60]).assign(board=["Oak", "Ash", "Elm"])
    assert sorted_by(table, "price").index.tolist() == [2, 0, 1]
    assert sorted_by(table, "narrowest_strip_mm").index.tolist() == [1, 2, 0]
    assert sorted_by(table, "board").index.tolist() == [1, 2, 0]
    with pytest.raises(ValueError, match=r"^column to sort by must be one of .*, got 'cost'\."):
        sorted_by(table, "cost")


def test_directions_in_words_and_degrees_sort_together():
    assert sorted_by(table_of(price=[1, 2]).assign(direction=["long", 45.0]), "direction").index.tolist() == [1, 0]
