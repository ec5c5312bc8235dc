"""Order lists out: read back by the csv module, pandas and openpyxl, with every number a number and no formula."""

from __future__ import annotations

import csv
import math
from decimal import Decimal
from functools import cache

import openpyxl
import pandas as pd
import pytest
from floors import demo_room

import flooring_kit as fk
from flooring_kit.whole_price import JobLine, WholePrice

NASTY = ["=1+1", '=HYPERLINK("http://example.org","x")', "+44 123", "-2 mm", "@SUM(A1)", "\t=1+1"]


@cache
def demo_price():
    shop = fk.read_catalogue(fk.demo_path())
    room = demo_room("hall")
    chosen = fk.Choices(
        fk.Materials("Oak plank 1380 x 193", "Foam sheet 3 mm", "White scotia 18 mm"),
        fk.Laying(direction=room.boards_run),
        work=fk.Work(hourly_rate=30.0),
    )
    return fk.whole_price(fk.estimate(room, chosen, shop, quick=True), shop)


def table_of(*items):
    lines = tuple(JobLine("boards", item, 4, "pack of 8", 38.4, "four packs") for item in items)
    return WholePrice(lines, 0.2, "£", 10.0).table()


def cells(path):
    return list(openpyxl.load_workbook(path).active.iter_rows())


def test_an_order_list_holds_what_is_bought_and_not_what_is_done():
    price = demo_price()
    bought = price.order_list()
    assert {"boards", "underlay", "trims", "bars"} <= set(bought["group"])
    assert not set(bought["group"]) & {"work", "disposal"}
    done = [line.amount for line in price.lines if line.group in ("work", "disposal") and line.amount is not None]
    assert done
    assert Decimal(str(round(bought["amount"].sum(), 2))) + sum(done) == price.before_tax


@pytest.mark.parametrize("ending", [".csv", ".xlsx", ".XLSX"])
def test_a_whole_order_list_comes_back_as_it_was(tmp_path, ending):
    table = demo_price().order_list()
    path = tmp_path / f"order{ending}"
    fk.write_order_list(table, path)
    back = pd.read_csv(path) if ending == ".csv" else pd.read_excel(path)
    assert list(back.columns) == ["group", "item", "quantity", "unit", "unit price", "amount", "why"]
    back.columns = table.columns
    pd.testing.assert_frame_equal(back, table, check_dtype=False)
    assert list(tmp_path.iterdir()) == [path]


def test_numbers_of_a_workbook_are_numbers_and_money_has_two_places(tmp_path):
    fk.write_order_list(table_of("Oak"), tmp_path / "order.xlsx")
    heads, row = cells(tmp_path / "order.xlsx")
    by_name = {head.value: cell for head, cell in zip(heads, row, strict=True)}
    assert (by_name["quantity"].value, by_name["quantity"].data_type) == (4, "n")
    assert (by_name["amount"].value, by_name["amount"].data_type) == (153.6, "n")
    assert by_name["unit price"].number_format == "#,##0.00"


@pytest.mark.parametrize("text", NASTY)
def test_text_that_looks_like_a_formula_stays_text(tmp_path, text):
    fk.write_order_list(table_of(text), tmp_path / "order.xlsx")
    fk.write_order_list(table_of(text), tmp_path / "order.csv")
    item = cells(tmp_path / "order.xlsx")[1][1]
    assert (item.data_type, item.value, bool(item.quotePrefix)) == ("s", text, True)
    with (tmp_path / "order.csv").open(encoding="utf-8-sig", newline="") as file:
        (row,) = csv.DictReader(file)
    assert row["item"] == "'" + text


def test_a_negative_number_is_no_formula(tmp_path):
    table = table_of("Oak")
    table["amount"] = -5.0
    fk.write_order_list(table, tmp_path / "order.csv")
    assert pd.read_csv(tmp_path / "order.csv")["amount"].tolist() == [-5]


def test_what_is_not_known_is_an_empty_cell(tmp_path):
    table = table_of("Oak")
    table["amount"] = math.nan
    fk.write_order_list(table, tmp_path / "order.csv")
    fk.write_order_list(table, tmp_path / "order.xlsx")
    assert pd.read_csv(tmp_path / "order.csv")["amount"].isna().all()
    assert cells(tmp_path / "order.xlsx")[1][5].value is None


def test_letters_a_workbook_cannot_hold_are_left_out(tmp_path):
    fk.write_order_list(table_of("Oak\x00 \x07plank é £"), tmp_path / "order.xlsx")
    assert cells(tmp_path / "order.xlsx")[1][1].value == "Oak plank é £"


def test_another_ending_is_refused_and_an_old_file_is_kept(tmp_path):
    with pytest.raises(ValueError, match=r"order.ods: an order list ends in .csv or .xlsx, got '.ods'"):
        fk.write_order_list(table_of("Oak"), tmp_path / "order.ods")
    with pytest.raises(ValueError, match="got 'no ending'"):
        fk.write_order_list(table_of("Oak"), tmp_path / "order")
    with pytest.raises(ValueError, match="the order list was not saved: there is no folder"):
        fk.write_order_list(table_of("Oak"), tmp_path / "none" / "order.csv")
    (tmp_path / "order.csv").mkdir()
    with pytest.raises(ValueError, match=r"this is a folder\. Add a name, such as order.csv"):
        fk.write_order_list(table_of("Oak"), tmp_path / "order.csv")
