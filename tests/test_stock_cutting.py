"""Cutting from stock lengths: published examples, exact counts against brute force, and what must always hold."""

from __future__ import annotations

import functools
import json
import math
import random
from collections import Counter
from pathlib import Path

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

import flooring_kit as fk

PUBLISHED = json.loads((Path(__file__).parent / "reference" / "cutting_stock.json").read_text())
ONE_STOCK = [example for example in PUBLISHED if len(example["stock"]) == 1]
ENCYCLOPAEDIA = {
    1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20, 2000: 10, 2050: 12, 2100: 14, 2140: 16,
    2150: 18, 2200: 20,
}  # fmt: skip


def listed(demand: dict[int, int]) -> list[float]:
    return [float(length) for length, count in demand.items() for _ in range(count)]


def first_fit_decreasing(pieces: list[float], stock: float, kerf: float) -> int:
    """An independent count: each piece, longest first, on the first length it fits on."""
    rooms: list[float] = []
    for piece in sorted(pieces, reverse=True):
        for place, room in enumerate(rooms):
            if piece + kerf <= room + 1e-9:
                rooms[place] = room - piece - kerf
                break
        else:
            rooms.append(stock + kerf - piece - kerf)
    return len(rooms)


def fewest_by_trying_all(pieces: tuple[int, ...], stock: int, kerf: int) -> int:
    """Fewest lengths for a handful of pieces: best over all subsets that fit on one length."""

    @functools.cache
    def fewest(left: int) -> int:
        if not left:
            return 0
        lowest = left & -left
        subset, best = left, len(pieces)
        while subset:
            if subset & lowest:
                used = [pieces[i] for i in range(len(pieces)) if subset >> i & 1]
                if sum(used) + kerf * (len(used) - 1) <= stock:
                    best = min(best, 1 + fewest(left & ~subset))
            subset = (subset - 1) & left
        return best

    return fewest((1 << len(pieces)) - 1)


def require_sound(cut: fk.StockCuts, pieces: list[float], stocks: list[float], kerf: float) -> None:
    """Every piece once, on a length on sale, a saw cut between any two."""
    table = cut.cuts
    assert Counter(table["piece"]) == Counter(range(len(pieces)))
    for line in table.itertuples():
        assert pieces[line.piece] - 2e-5 <= line.length_mm <= pieces[line.piece] + 0.1
    assert table["stock"].nunique() == cut.lengths_needed
    for _, group in table.groupby("stock"):
        (size,) = set(group["stock_length_mm"])
        assert any(abs(size - stock) < 0.1 for stock in stocks)
        ordered = group.sort_values("at_mm")
        ends = ordered["at_mm"] + ordered["length_mm"]
        assert (ordered["at_mm"].to_numpy()[1:] - ends.to_numpy()[:-1] >= kerf - 1e-6).all()
        assert ordered["at_mm"].iloc[0] >= 0
        assert ends.iloc[-1] <= size + 1e-6


# --- published ----------------------------------------------------------------------------------------------


def test_the_encyclopaedia_s_219_pieces_need_73_lengths_and_no_fewer():
    # "Cutting stock problem", encyclopaedia: 219 pieces of 13 lengths, 407 160 in all, from 5600: at least 73 by
    # 72.7, optimum 73, waste 0.401 %.
    pieces = listed(ENCYCLOPAEDIA)
    assert (len(pieces), sum(pieces)) == (219, 407_160)
    cut = fk.cut_from_stock(pieces, stock_lengths_mm=[5600], kerf_mm=0)
    assert (cut.lengths_needed, cut.lengths_bound, cut.proved) == (73, 73, True)
    assert 1 - sum(pieces) / (73 * 5600) == pytest.approx(0.00401, abs=5e-6)
    require_sound(cut, pieces, [5600], 0)


def test_first_fit_decreasing_takes_82_lengths_for_the_same():
    # Derived; guards the property tests' own yardstick.
    assert first_fit_decreasing(listed(ENCYCLOPAEDIA), 5600, 0) == 82


@pytest.mark.parametrize("example", ONE_STOCK, ids=lambda example: example["name"])
def test_published_examples_are_cut_from_their_fewest_lengths(example):
    pieces = listed({int(length): count for length, count in example["demand"].items()})
    stock = float(example["stock"][0][0])
    cut = fk.cut_from_stock(pieces, stock_lengths_mm=[stock], kerf_mm=0)
    assert (cut.lengths_needed, cut.lengths_bound) == (example["opt"], example["opt"])
    require_sound(cut, pieces, [stock], 0)


# --- by hand ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("kerf", "lengths"), [(0, 1), (3, 2)])
def test_a_saw_cut_can_take_one_length_more(kerf, lengths):
    # 4 x 600 = 2400 fills the length with no saw cut; three cuts of 3 make it 2409.
    assert fk.cut_from_stock([600] * 4, stock_lengths_mm=[2400], kerf_mm=kerf).lengths_needed == lengths


def test_after_the_last_piece_no_cut_is_needed():
    # 797 + 3 + 797 + 3 + 800 = 2400: three pieces and two cuts.
    assert fk.cut_from_stock([797, 797, 800], stock_lengths_mm=[2400], kerf_mm=3).lengths_needed == 1


def test_float_dust_buys_no_length():
    assert fk.cut_from_stock([0.1] * 3, stock_lengths_mm=[0.1 + 0.2], kerf_mm=0).lengths_needed == 1


def test_of_several_lengths_the_cheapest_are_bought():
    # 2350 + 2350 fit on two of 2400 at 5, or one each on 3000 at 8; 2900 only on 3000: 5 + 5 + 8 = 18.
    cut = fk.cut_from_stock([2350, 2900, 2350], stock_lengths_mm=[2400, 3000], prices=[5, 8], kerf_mm=3)
    assert (cut.price, cut.price_bound, cut.proved) == (18, 18, True)
    assert sorted(cut.cuts["stock_length_mm"]) == [2400, 2400, 3000]


def test_a_long_length_is_bought_where_it_saves_money():
    # 1450 + 1450 + 3 = 2903: one of 3000 at 8, or two of 2400 at 5.
    cut = fk.cut_from_stock([1450, 1450], stock_lengths_mm=[2400, 3000], prices=[5, 8], kerf_mm=3)
    assert (cut.lengths_needed, cut.price) == (1, 8)


def test_without_prices_a_length_costs_what_it_measures():
    cut = fk.cut_from_stock([2350], stock_lengths_mm=[2400, 3000])
    assert cut.price == pytest.approx(2.4)


def test_labels_of_a_series_or_a_mapping_name_the_pieces():
    series = pd.Series({"wall 1": 2310.0, "wall 2": 940.0})
    assert set(fk.cut_from_stock(series, stock_lengths_mm=[2400]).cuts["piece"]) == {"wall 1", "wall 2"}
    assert set(fk.cut_from_stock(dict(series), stock_lengths_mm=[2400]).cuts["piece"]) == {"wall 1", "wall 2"}


def test_nothing_to_cut_needs_nothing():
    cut = fk.cut_from_stock([], stock_lengths_mm=[2400])
    assert (cut.lengths_needed, cut.lengths_bound, cut.price) == (0, 0, 0)
    assert cut.cuts.columns.tolist() == ["stock", "stock_length_mm", "piece", "at_mm", "length_mm"]


# --- always -------------------------------------------------------------------------------------------------

some_pieces = st.lists(st.floats(0.1, 2400, allow_nan=False), min_size=1, max_size=25)


@given(pieces=some_pieces, kerf=st.sampled_from([0.0, 2.0, 3.0]))
def test_every_piece_is_cut_once_between_the_bound_and_first_fit_decreasing(pieces, kerf):
    cut = fk.cut_from_stock(pieces, stock_lengths_mm=[2400], kerf_mm=kerf)
    require_sound(cut, pieces, [2400], kerf)
    rounded = [math.ceil(piece * 10 - 1e-4) / 10 for piece in pieces]
    at_least = (sum(rounded) + kerf * len(pieces)) / (2400 + kerf)
    assert math.ceil(at_least - 1e-9) <= cut.lengths_bound <= cut.lengths_needed
    assert cut.lengths_needed <= first_fit_decreasing(rounded, 2400, kerf)


@given(
    pieces=st.lists(st.integers(150, 2400), min_size=1, max_size=9),
    kerf=st.sampled_from([0, 3]),
)
def test_a_handful_of_pieces_takes_as_few_lengths_as_trying_everything(pieces, kerf):
    cut = fk.cut_from_stock(pieces, stock_lengths_mm=[2400], kerf_mm=kerf)
    fewest = fewest_by_trying_all(tuple(pieces), 2400, kerf)
    assert cut.lengths_bound <= fewest
    assert cut.lengths_needed == fewest


@given(pieces=st.lists(st.integers(150, 3000), min_size=1, max_size=14), seed=st.integers(0, 99))
def test_the_order_of_the_pieces_changes_nothing_but_who_lies_where(pieces, seed):
    mixed = list(pieces)
    random.Random(seed).shuffle(mixed)
    stocks, prices = [2400, 2700, 3000], [7.2, 8.4, 9.3]
    one, other = (fk.cut_from_stock(each, stock_lengths_mm=stocks, prices=prices) for each in (pieces, mixed))
    assert (one.lengths_needed, one.price, one.price_bound) == (other.lengths_needed, other.price, other.price_bound)
    sizes = ["stock", "stock_length_mm", "at_mm", "length_mm"]
    assert one.cuts[sizes].equals(other.cuts[sizes])


@given(pieces=st.lists(st.integers(150, 3000), min_size=1, max_size=20))
def test_more_lengths_to_choose_from_never_cost_more(pieces):
    only_long = fk.cut_from_stock(pieces, stock_lengths_mm=[3000], prices=[9.3])
    all_three = fk.cut_from_stock(pieces, stock_lengths_mm=[2400, 2700, 3000], prices=[7.2, 8.4, 9.3])
    require_sound(all_three, [float(piece) for piece in pieces], [2400, 2700, 3000], 3)
    assert all_three.price_bound <= all_three.price + 1e-9
    assert all_three.price_bound <= only_long.price + 1e-9
    spent = all_three.cuts.drop_duplicates("stock")["stock_length_mm"].map({2400: 7.2, 2700: 8.4, 3000: 9.3}).sum()
    assert spent == pytest.approx(all_three.price)


@pytest.mark.parametrize("seed", range(8))
def test_sixty_pieces_from_three_priced_lengths_come_within_one_per_cent_of_the_bound(seed):
    draw = random.Random(seed)
    pieces = [draw.randint(150, 2990) for _ in range(60)]
    prices = [draw.uniform(7, 8), draw.uniform(8, 9.5), draw.uniform(9, 10)]
    cut = fk.cut_from_stock(pieces, stock_lengths_mm=[2400, 2700, 3000], prices=prices)
    assert cut.price <= 1.01 * cut.price_bound


def test_five_thousand_pieces_of_ten_lengths_are_cut_from_proved_fewest():
    draw = random.Random(1)
    lengths = [draw.randint(150, 2400) for _ in range(10)]
    pieces = [float(draw.choice(lengths)) for _ in range(5000)]
    cut = fk.cut_from_stock(pieces, stock_lengths_mm=[2400])
    assert cut.proved
    require_sound(cut, pieces, [2400], 3)


# --- refused ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("pieces", "more", "message"),
    [
        (
            [2410, 900, 3000],
            {},
            "The longest stock length is 2400 mm. Piece 0 is 2410 mm long. Piece 2 is 3000 mm long. "
            "Choose a longer stock length, or join two pieces.",
        ),
        (
            [0, -5, 900],
            {},
            "piece 0 must be longer than 0 and at most 100000 mm, got 0 mm. "
            "piece 1 must be longer than 0 and at most 100000 mm, got -5 mm.",
        ),
        ([math.nan], {}, "piece 0 must be a finite number, got nan."),
        (["2.4 m"], {}, "piece 0 must be a number in mm, got '2.4 m'."),
        ([900], {"stock_lengths_mm": []}, "There is no stock length to cut from."),
        ([900], {"stock_lengths_mm": [-1]}, "stock length must be 0.1 to 100000 mm, got -1 mm."),
        ([900], {"prices": [5, 6]}, "prices must be one for each stock length, got 2 for 1."),
        ([900], {"prices": [-5]}, "price of a stock length must be 0.001 to 1000000, got -5."),
        (None, {}, "pieces must be a list of lengths in mm, got None."),
        (900, {}, "pieces must be a list of lengths in mm, got 900. Write [900] for one."),
        ("900", {}, "pieces must be a list of lengths in mm, got '900'."),
        (
            [900],
            {"stock_lengths_mm": 2400},
            "stock lengths must be a list of lengths in mm, got 2400. Write [2400] for one.",
        ),
        ([900], {"stock_lengths_mm": {2400: 3}}, "stock lengths must be a list of lengths in mm, got a dict."),
        (
            [900],
            {"prices": 5},
            "prices must be a list with one for each stock length, got 5. Write [5] for one.",
        ),
        (
            [900],
            {"stock_lengths_mm": [2400, 3000], "prices": {2400: 3}},
            "prices must name each stock length once, in mm. There is no price for 3000 mm.",
        ),
        (
            [900],
            {"prices": {2400: 3, 3000: 9}},
            "prices must name each stock length once, in mm. "
            "There is a price for 3000 mm, which is not among the stock lengths.",
        ),
        ([900], {"prices": {"2400": 3}}, "a length in prices must be a number in mm, got '2400'."),
        ([900], {"prices": {2400: -3}}, "price of a stock length must be 0.001 to 1000000, got -3."),
        ([900], {"kerf_mm": 30}, "saw kerf must be 0 to 20 mm, got 30 mm."),
    ],
)
def test_what_cannot_be_cut_is_refused_in_words(pieces, more, message):
    with pytest.raises(ValueError) as refused:
        fk.cut_from_stock(pieces, **{"stock_lengths_mm": [2400], **more})
    assert str(refused.value) == message


def test_prices_by_length_are_those_of_a_list_in_the_order_of_the_lengths():
    pieces = [2300, 900, 1400, 2900]
    listed = fk.cut_from_stock(pieces, stock_lengths_mm=[3000, 2400], prices=[9, 3])
    named = fk.cut_from_stock(pieces, stock_lengths_mm=[3000, 2400], prices={2400: 3, 3000.0: 9})
    assert named.price == listed.price
    # 2900 needs the long one; 2300 needs one to itself; 900 and 1400 share one: 9 + 3 + 3
    assert named.price == 15


def groupings(pieces):
    """Every way of sorting pieces into groups."""
    if not pieces:
        yield []
        return
    first, *rest = pieces
    for groups in groupings(rest):
        yield [[first], *groups]
        for place in range(len(groups)):
            yield [*groups[:place], [first, *groups[place]], *groups[place + 1 :]]


@given(
    pieces=st.lists(st.integers(150, 2900), min_size=1, max_size=6),
    prices=st.tuples(st.integers(300, 500), st.integers(350, 600)),
)
def test_a_small_job_from_two_priced_lengths_is_cheapest_of_all_groupings_and_proved(pieces, prices):
    stock, kerf = (2400, 3000), 3

    def cost(group):
        needed = sum(group) + kerf * (len(group) - 1)
        return min((price for length, price in zip(stock, prices, strict=True) if needed <= length), default=math.inf)

    cheapest = min(sum(map(cost, groups)) for groups in groupings(pieces))
    cut = fk.cut_from_stock(pieces, stock_lengths_mm=stock, kerf_mm=kerf, prices=prices)
    assert cut.price == pytest.approx(cheapest)
    assert cut.proved
