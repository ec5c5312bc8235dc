"""Quotes read from files: what is read, what is noted and left out, and every word a user can meet on the way."""

import csv
import datetime
import io
import sys
import tempfile
import zipfile
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from flooring_kit.checks import FaultsError
from flooring_kit.files import demo_path, quote_rows
from flooring_kit.files.quote_tables import read_quote, read_quote_heads, suggested_columns
from flooring_kit.quoted import Quote, QuoteLine

HEAD = "Item,Quantity,Unit,Unit price,Amount\n"
OAK = "Oak plank,4,pack,38.40,153.60\n"
OAK_LINE = QuoteLine("Oak plank", Decimal("4"), "pack", Decimal("38.40"), Decimal("153.60"), 2)
DEMO = sorted(path.stem for path in demo_path("quotes").glob("*_fitter_*.csv"))


@pytest.fixture
def table(tmp_path, monkeypatch):
    """Writes a file in the current folder, so that messages name it as typed: own.csv."""
    monkeypatch.chdir(tmp_path)

    def write(content, name="own.csv"):
        (tmp_path / name).write_bytes(content if isinstance(content, bytes) else content.encode())
        return name

    return write


def workbook(*rows, others=(), merged=()):
    """A workbook of one sheet named Quote, as bytes; further sheets by name, each with one cell."""
    book = Workbook()
    book.active.title = "Quote"
    for row in rows:
        book.active.append(row)
    for cells in merged:
        book.active.merge_cells(cells)
    for name in others:
        book.create_sheet(name).append(["words"])
    held = io.BytesIO()
    book.save(held)
    return held.getvalue()


def rezipped(content, change):
    """The workbook with each part run through `change(name, bytes)`."""
    held = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(held, "w") as new:
        for name in old.namelist():
            new.writestr(name, change(name, old.read(name)))
    return held.getvalue()


def report(path, columns=None):
    """The whole message that refuses a quote."""
    with pytest.raises(FaultsError) as refusal:
        read_quote(path, columns)
    return str(refusal.value)


def own(*faults, name="own.csv"):
    """The message that names these faults of own.csv."""
    count = f"{len(faults)} fault{'s' if len(faults) != 1 else ''}"
    return "\n".join([f"{name}: {count} found, nothing was read.", *(f"  - {fault}" for fault in faults)])


def figures(line):
    return (line.quantity, line.unit, line.unit_price, line.amount)


# --- what is read -------------------------------------------------------------------------------------------


def test_lines_sums_and_words_are_read_as_written(table):
    below = "Subtotal,,,,153.60\nVAT 20 %,,,,30.72\nTotal,,,,184.32\nValid until,2031-09-30\nExcludes,doors; paint\n"
    assert read_quote(table(HEAD + OAK + below)) == Quote(
        name="own",
        lines=(OAK_LINE,),
        subtotal=Decimal("153.60"),
        tax_fraction=Decimal("0.2"),
        tax=Decimal("30.72"),
        total=Decimal("184.32"),
        valid_until="2031-09-30",
        excludes=("doors", "paint"),
    )


def test_wrong_arithmetic_is_read_as_it_stands(table):
    quote = read_quote(table(HEAD + "Oak plank,4,pack,38.40,999.00\nTotal,,,,1.00\n"))
    assert (quote.lines[0].amount, quote.total) == (Decimal("999.00"), Decimal("1.00"))


@pytest.mark.parametrize("mark", [",", ";", "\t", "|"])
def test_cells_may_be_separated_by(mark, table):
    assert read_quote(table((HEAD + OAK).replace(",", mark))).lines == (OAK_LINE,)


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("1,234.50", "1234.50"),
        ("1.234,50", "1234.50"),
        ("1 234,50", "1234.50"),
        ("1\u00a0234,50", "1234.50"),
        ("1\u202f234.50", "1234.50"),
        ("1'234.50", "1234.50"),
        ("1,234,567", "1234567"),
        ("1.234.567,8", "1234567.8"),
        ("1234.5", "1234.5"),
        ("1234,567", "1234.567"),
        ("0,125", "0.125"),
        ("12,5", "12.5"),
        (".5", "0.5"),
        ("7", "7"),
        ("1 234", "1234"),
        ("-12.50", "-12.50"),
        ("−12.50", "-12.50"),
        ("(12.50)", "-12.50"),
        ("£1,234.50", "1234.50"),
        ("1.234,50 €", "1234.50"),
        ("EUR 12.50", "12.50"),
        ("-£12.50", "-12.50"),
        ("£-12.50", "-12.50"),
    ],
)
def test_a_figure_is_read_whatever_marks_it_has(typed, value, table):
    quote = read_quote(table(f"Item;Amount\nOak;{typed}\n"))
    assert quote.lines[0].amount == Decimal(value)


@pytest.mark.parametrize(
    ("other", "value"), [("12.50", "1234"), ("12,50", "1.234"), ("1,234.50", "1234"), ("1 234,5", "1.234")]
)
def test_the_other_figures_decide_what_a_lone_mark_means(other, value, table):
    quote = read_quote(table(f"Item;Amount\nOak;1,234\nAsh;{other}\n"))
    assert quote.lines[0].amount == Decimal(value)
    assert not any("two ways" in note for note in quote.notes)


def test_a_unit_may_stand_beside_its_figure(table):
    lines = read_quote(
        table("Item,Quantity,Rate,Amount\nOak,18.3 m²,12.50 / m²,228.75\nFitting,4 h,per hour 9,36\n")
    ).lines
    assert figures(lines[0]) == (Decimal("18.3"), "m²", Decimal("12.50"), Decimal("228.75"))
    assert figures(lines[1]) == (Decimal("4"), "h", None, Decimal("36"))


@pytest.mark.parametrize(
    ("words", "day"),
    [
        ("Valid until,2031-09-30", "2031-09-30"),
        ("Valid until 30 September 2031", "2031-09-30"),
        ("This quote is valid until: 30 Sept. 2031", "2031-09-30"),
        ("Quotation valid to,30/09/2031", "2031-09-30"),
        ("Prices are open till 09/30/2031", "2031-09-30"),
        ("Validity: 2 weeks from 1 March 2031", "2031-03-15"),
        ("Dated,1 February 2024\nValid for 30 days", "2024-03-02"),  # 2024 has a 29 February
        ("Valid for 30 days", "30 days"),
        ("Offer valid while stocks last", "while stocks last"),
    ],
)
def test_the_last_day_is_taken_from(words, day, table):
    assert read_quote(table(HEAD + OAK + words + "\n")).valid_until == day
    assert read_quote(table(words + "\n" + HEAD + OAK)).valid_until == day


def test_a_day_that_is_none_for_certain_stays_in_its_own_words(table):
    quote = read_quote(table(HEAD + OAK + "Valid until,3/4/2031\n"))
    assert quote.valid_until == "3/4/2031"
    assert quote.notes == ("the quote is valid '3/4/2031', which is no certain day. Write it as 2031-09-30.",)


@pytest.mark.parametrize(
    "words",
    [
        "Excludes,doors; paint",
        "Excludes: doors, paint.",
        "Not included,doors,paint",
        "Exclusions: doors;paint",
        "Excluding doors\nExcluded,paint",
    ],
)
def test_exclusions_are_listed_one_by_one(words, table):
    assert read_quote(table(HEAD + OAK + words + "\n")).excludes == ("doors", "paint")


@pytest.mark.parametrize(
    ("label", "field"),
    [
        ("Sub-total", "subtotal"),
        ("Net total:", "subtotal"),
        ("Total excl. VAT", "subtotal"),
        ("TOTAL BEFORE TAX", "subtotal"),
        ("VAT @ 20%", "tax"),
        ("Plus tax (20 %)", "tax"),
        ("Total", "total"),
        ("Grand total (£)", "total"),
        ("Total incl. VAT", "total"),
        ("Amount due", "total"),
    ],
)
def test_a_row_below_the_lines_is_known_by_its_words(label, field, table):
    for row in (f"{label},,,,150.00", f",,,{label},150.00", f"{label} 150.00", f"{label} £150.00"):
        quote = read_quote(table(HEAD + OAK + row + "\n"))
        assert (quote.lines, getattr(quote, field)) == ((OAK_LINE,), Decimal("150.00"))


@pytest.mark.parametrize("cells", ["VAT 17.5 %,,,,1.00", "VAT,,,17.5%,1.00", "VAT (17,5 %),,,,1.00"])
def test_the_rate_of_tax_is_read_from_words_or_from_a_cell(cells, table):
    cells = cells.replace("17,5 %", '17,5 %"').replace("VAT (17,5", '"VAT (17,5').replace('%")', '%)"')
    assert read_quote(table(HEAD + OAK + cells + "\n")).tax_fraction == Decimal("0.175")


def test_a_total_that_includes_tax_gives_its_rate(table):
    quote = read_quote(table(HEAD + OAK + "Total including VAT 20 %,,,,153.60\n"))
    assert (quote.tax_fraction, quote.tax, quote.total) == (Decimal("0.2"), None, Decimal("153.60"))


def test_tax_that_a_subtotal_follows_is_a_line(table):
    quote = read_quote(table(HEAD + OAK + "VAT,,,,9.00\nSubtotal,,,,162.60\nVAT 20 %,,,,32.52\nTotal,,,,195.12\n"))
    assert [line.item for line in quote.lines] == ["Oak plank", "VAT"]
    assert (quote.tax, quote.subtotal) == (Decimal("32.52"), Decimal("162.60"))


def test_tax_among_the_lines_is_a_line(table):
    quote = read_quote(table(HEAD + "VAT on materials,,,,9.00\n" + OAK))
    assert [line.item for line in quote.lines] == ["VAT on materials", "Oak plank"]
    assert quote.tax is None


@pytest.mark.parametrize(
    "item",
    [
        "Date palm plank",
        "Open plan area",
        "Excluding doors",
        "Balance weights",
        "Total area of boards",
        "Valid for all rooms",
        "Net of cork",
        "Taxi",
    ],
)
def test_a_line_with_a_price_is_a_line_whatever_its_first_word(item, table):
    quote = read_quote(table(HEAD + f"{item},4,each,38.40,153.60\nTotal,,,,153.60\n"))
    line = QuoteLine(item, Decimal("4"), "each", Decimal("38.40"), Decimal("153.60"), 2)
    assert quote == Quote("own", (line,), total=Decimal("153.60"))


def test_one_line_for_everything_is_a_quote(table):
    quote = read_quote(table("Description,Amount\nThe whole floor,£980\n"))
    assert quote.lines == (QuoteLine("The whole floor", None, "", None, Decimal("980"), 2),)
    assert quote.currency == "£"


def test_a_total_alone_is_a_quote(table):
    quote = read_quote(table("Description,Amount\nTotal,£980\n"))
    assert (quote.lines, quote.total) == ((), Decimal("980"))


@pytest.mark.parametrize(
    ("head", "cell", "currency"),
    [
        ("Amount", "£5", "£"),
        ("Amount", "5 EUR", "€"),
        ("Amount (€)", "5", "€"),
        ("Amount CHF", "5", "CHF"),
        ("Amount", "5", ""),
    ],
)
def test_the_currency_comes_from_the_figures_or_else_from_the_column_name(head, cell, currency, table):
    assert read_quote(table(f"Item,{head}\nOak,{cell}\n")).currency == currency


def test_a_line_listed_without_a_price_stays_a_line(table):
    quote = read_quote(table(HEAD + OAK + "Disposal,1,item,,included\n"))
    assert quote.lines[1] == QuoteLine("Disposal", Decimal(1), "item", None, None, 3)
    assert quote.notes == ("row 3, Amount: 'included' is not a number; it was left out.",)


# --- columns ------------------------------------------------------------------------------------------------


def test_the_users_columns_are_taken_whatever_they_are_called(table):
    path = table("What we do,How often,Money\nOak plank,4,153.60\n")
    quote = read_quote(path, {"item": "what we do", "quantity": " How  often ", "amount": "Money"})
    assert figures(quote.lines[0]) == (Decimal("4"), "", None, Decimal("153.60"))


def test_only_the_users_columns_are_taken(table):
    quote = read_quote(table(HEAD + OAK), {"item": "Item", "amount": "Amount"})
    assert figures(quote.lines[0]) == (None, "", None, Decimal("153.60"))
    assert quote.notes == tuple(
        f"row 1: there is no column for the {name}." for name in ("quantity", "unit", "unit price")
    )


def test_quantity_and_unit_price_will_do_without_amounts(table):
    quote = read_quote(table("Item,Qty,Rate\nOak plank,4,38.40\n"))
    assert figures(quote.lines[0]) == (Decimal("4"), "", Decimal("38.40"), None)
    assert quote.notes == ("row 1: there is no column for the unit.", "row 1: there is no column for the amount.")


def test_near_words_are_offered_and_never_taken(table):
    path = table("Works,Qty,Price\nOak,4,153.60\n")
    assert suggested_columns(read_quote_heads(path)) == {"item": "Works", "quantity": "Qty", "unit_price": "Price"}
    assert report(path) == own(
        "row 1: no column is certain to be the item among 'Works', 'Qty', 'Price'. Is it 'Works'? "
        'Say which it is: columns={"item": ...}.',
        "row 1: no column is certain to be the amount among 'Works', 'Qty', 'Price'. "
        'Say which it is: columns={"amount": ...}.',
    )


def test_words_that_mean_nothing_here_are_not_offered():
    assert suggested_columns(["Lorem", "", "Ipsum"]) == {}


def test_a_suggestion_reads_the_quote_it_was_made_for(table):
    path = table("Works,Qty,Price,Sum\nOak,4,38.40,153.60\n")
    quote = read_quote(path, suggested_columns(read_quote_heads(path)))
    assert figures(quote.lines[0]) == (Decimal("4"), "", Decimal("38.40"), Decimal("153.60"))


def test_two_columns_for_one_thing_are_refused(table):
    assert report(table("Item,Amount,Total\nOak,1,2\n")) == own(
        "row 1: 'Amount', 'Total' may each be the amount. Say which: columns={\"amount\": ...}."
    )


def test_what_is_wrong_with_the_users_columns_is_said_all_at_once(table):
    path = table("Item,Amount,Amount,Sum\nOak,1,2,3\n")
    columns = {"item": "Item", "quantity": "Item", "ammount": "Sum", "unit": "Pieces", "amount": "Amount"}
    assert report(path, columns) == own(
        "columns: 'Item' is given for two things.",
        "columns: 'ammount' is not one of item, quantity, unit, unit_price, amount. Did you mean 'amount'?",
        "row 1: there is no column named 'Pieces'. There are 'Item', 'Amount', 'Amount', 'Sum'.",
        "row 1: the column name 'Amount' stands there twice. Give each its own name.",
    )


def test_columns_that_leave_out_what_is_needed_are_refused(table):
    assert report(table(HEAD + OAK), {"unit": "Unit"}) == own(
        'columns: say which column is the item: "item".', 'columns: say which column is the amount: "amount".'
    )


# --- what is noted and left out -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("row", "note"),
    [
        ("Oak,many,pack,38.40,153.60", "row 2, Quantity: 'many' is not a number; it was left out."),
        ("Oak,4,pack,38.40,#REF!", "row 2, Amount: '#REF!' is not a number; it was left out."),
        ("Oak,2 x 12,pack,38.40,153.60", "row 2, Quantity: '2 x 12' is not a number; it was left out."),
        ("Oak,1e5,pack,38.40,153.60", "row 2, Quantity: '1e5' is not a number; it was left out."),
        ("Oak,4,pack,38.40,nan", "row 2, Amount: 'nan' is not a number; it was left out."),
        ("Oak,4,pack,38.40,5%", "row 2, Amount: '5%' is not a number; it was left out."),
        ('Oak,4,pack,38.40,"1,2,3"', "row 2, Amount: '1,2,3' is not a number; it was left out."),
        ("Oak,4,pack,38.40,£5 €", "row 2, Amount: '£5 €' is not a number; it was left out."),
        ("Oak,4,pack,38.40,1000000000", "row 2, Amount: '1000000000' is too large for a quote; it was left out."),
        (
            "Oak,4 m²,pack,38.40,153.60",
            "row 2, Quantity: '4 m²' is by the m², its unit by the pack; it was left out.",
        ),
        (
            "Oak,4,pack,38.40 per m²,153.60",
            "row 2, Unit price: '38.40 per m²' is by the m², its unit by the pack; it was left out.",
        ),
        (",4,pack,38.40,153.60", "row 2 does not say what it is for."),
        (f"{'o' * 201},4,pack,38.40,153.60", "row 2: the item was cut to 200 characters."),
        (
            "Oak,4,pack,38.40,1,234.50",
            "row 2 has 6 cells, the column names are 5. A comma inside a number starts a new cell; "
            "its figures were left out.",
        ),
        ("Item,Quantity,Unit,Unit price,Amount", "row 2 repeats the column names and was left out."),
        ("Materials", "row 2: 'Materials' has no figures and was taken for a heading or a remark."),
        ("Subtotal,,,,99.00", "row 2: 'Subtotal' stands among the lines and was left out."),
    ],
)
def test_a_row_that_cannot_be_read_whole_is_noted_and_the_rest_is_read(row, note, table):
    quote = read_quote(table(HEAD + row + "\nAsh plank,2,pack,58.60,117.20\n"))
    assert quote.notes == (note,)
    assert figures(quote.lines[-1]) == (Decimal(2), "pack", Decimal("58.60"), Decimal("117.20"))


def test_a_figure_with_two_readings_is_left_out(table):
    quote = read_quote(table('Item,Quantity,Unit,Unit price,Amount\nOak,4,pack,,"1,234"\n'))
    assert quote.lines[0].amount is None
    assert quote.notes == ("row 2, Amount: '1,234' can be read two ways, 1234 or 1.234; it was left out.",)


def test_figures_with_both_decimal_marks_decide_nothing(table):
    quote = read_quote(table(HEAD.replace(",", ";") + "Oak;1,234;pack;5,50;5.50\n"))
    assert figures(quote.lines[0]) == (None, "pack", Decimal("5.50"), Decimal("5.50"))
    assert quote.notes == ("row 2, Quantity: '1,234' can be read two ways, 1234 or 1.234; it was left out.",)


def test_two_currencies_are_noted_and_nothing_is_converted(table):
    quote = read_quote(table(HEAD + "Oak,4,pack,£2,£8\nAsh,1,pack,5 €,5 €\nElm,1,pack,£5,£5\n"))
    assert [line.amount for line in quote.lines] == [8, 5, 5]
    assert quote.currency == "£"
    assert quote.notes == ("there are 2 currencies: £ in rows 2 and 4 and € in row 3. Nothing was converted.",)


@pytest.mark.parametrize(
    ("rows", "note"),
    [
        ("Quotation 7\n", "row 1 stands above the column names and was left out: 'Quotation 7'."),
        (
            "Quotation 7\n\nFitter A\n",
            "rows 1 and 3 stand above the column names and were left out: 'Quotation 7', 'Fitter A'.",
        ),
        (
            "a\nb\nc\nd\ne\n",
            "rows 1 to 5 stand above the column names and were left out: 'a', 'b', 'c' and 2 more.",
        ),
    ],
)
def test_titles_above_the_column_names_are_skipped(rows, note, table):
    quote = read_quote(table(rows + HEAD + OAK))
    assert quote.notes == (note,)
    assert quote.lines[0].row == rows.count("\n") + 2


@pytest.mark.parametrize(
    ("below", "note"),
    [
        ("Total,,,,1.00\nTotal,,,,2.00", "row 4: 'Total' is a second total; the last one is taken."),
        ("VAT 20 %,,,,1.00\nVAT 20 %,,,,1.00", "row 4: 'VAT 20 %' is a further row of tax; the rows are added up."),
        ("Total,,,,2.00\nDeposit 30 %,,,,0.60", "row 4: 'Deposit 30 %' is about payment and was left out."),
        ("VAT 120 %,,,,1.00", "row 3: a rate of tax must be 0 to 100 %, got 120 %; it was left out."),
        ("Total,,,,a lot", "row 3, Amount: 'a lot' is not a number; it was left out."),
        ("VAT is not charged", "row 3: 'VAT is not charged' has no figures and was taken for a heading or a remark."),
    ],
)
def test_rows_below_the_lines_that_are_odd_are_noted(below, note, table):
    assert read_quote(table(HEAD + OAK + below + "\n")).notes == (note,)


def test_several_rows_of_tax_are_added_up(table):
    one = read_quote(table(HEAD + OAK + "VAT 20 %,,,,1.00\nVAT 20 %,,,,1.50\n"))
    assert (one.tax, one.tax_fraction) == (Decimal("2.50"), Decimal("0.2"))
    two = read_quote(table(HEAD + OAK + "VAT 20 %,,,,1.00\nVAT 5 %,,,,1.50\n"))
    assert (two.tax, two.tax_fraction) == (Decimal("2.50"), None)


def test_ten_thousand_lines_are_read(table):
    quote = read_quote(table(HEAD + OAK * 10_000))
    assert len(quote.lines) == 10_000
    assert sum(line.amount for line in quote.lines) == 1_536_000
    assert (quote.lines[-1].row, quote.notes) == (10_001, ())


def test_rows_beyond_the_most_are_left_out(table):
    quote = read_quote(table(HEAD + "Oak,1,m,1,1\n" * 20_001))
    assert len(quote.lines) == 19_999
    assert quote.notes == ("only the first 20000 rows were read, of 20002.",)


def test_notes_beyond_the_most_are_counted(table):
    quote = read_quote(table(HEAD + "Oak,many,m,1,1\n" * 250))
    assert len(quote.notes) == 201
    assert quote.notes[-1] == "50 notes more of this sort are not shown."
    assert read_quote(table(HEAD + "Oak,many,m,1,1\n" * 201)).notes[-1] == "1 note more of this sort is not shown."


# --- workbooks ----------------------------------------------------------------------------------------------

NAMES = ["Item", "Quantity", "Unit", "Unit price", "Amount"]
OAK_CELLS = ["Oak plank", 4, "pack", 38.4, 153.6]


def test_a_workbook_reads_like_its_table(table):
    day = datetime.datetime(2031, 9, 30)
    rows = [
        NAMES,
        OAK_CELLS,
        ["VAT", None, None, 0.2, 30.72],
        ["Total", None, None, None, 184.32],
        ["Valid until", day],
    ]
    quote = read_quote(table(workbook(*rows), "own.xlsx"))
    assert quote == Quote(
        name="own",
        lines=(OAK_LINE,),
        tax_fraction=Decimal("0.2"),
        tax=Decimal("30.72"),
        total=Decimal("184.32"),
        valid_until="2031-09-30",
    )


def test_a_workbook_is_known_by_its_contents(table):
    assert read_quote(table(workbook(NAMES, OAK_CELLS), "own.csv")).lines == (OAK_LINE,)


def test_the_dust_of_binary_fractions_is_blown_off(table):
    quote = read_quote(table(workbook(NAMES, ["Oak", 3, "m", 0.1, 0.1 + 0.2]), "own.xlsx"))
    assert quote.lines[0].amount == Decimal("0.3")


def test_text_in_a_workbooks_number_cell_is_noted(table):
    quote = read_quote(table(workbook(NAMES, ["Oak", "four", "pack", True, 153.6]), "own.xlsx"))
    assert figures(quote.lines[0]) == (None, "pack", None, Decimal("153.6"))
    assert quote.notes == (
        "row 2, Quantity: 'four' is not a number; it was left out.",
        "row 2, Unit price: 'true' is not a number; it was left out.",
    )


def test_merged_titles_and_a_head_over_two_rows_are_understood(table):
    rows = [
        ["Quotation 7", None, None, None, None],
        ["Item", "Quantity", "Unit", "In pounds", None],
        [None, None, None, "Unit price", "Amount"],
        OAK_CELLS,
    ]
    content = workbook(*rows, merged=["A1:E1", "A2:A3", "B2:B3", "C2:C3", "D2:E2"])
    quote = read_quote(table(content, "own.xlsx"))
    assert figures(quote.lines[0]) == figures(OAK_LINE)
    assert quote.notes == ("row 1 stands above the column names and was left out: 'Quotation 7'.",)


def with_formula(stored):
    """A workbook whose amount is a formula, with the value a spreadsheet program stores beside it."""
    content = workbook(NAMES, ["Oak plank", 4, "pack", 38.4, "=B2*D2"])
    value = f"<v>{stored}</v>".encode()
    return rezipped(content, lambda name, part: part.replace(b"<v></v>", value).replace(b"<v />", value))


def test_a_formula_is_read_as_its_stored_value(table):
    assert read_quote(table(with_formula("153.6"), "own.xlsx")).lines == (OAK_LINE,)


def test_a_formula_without_a_stored_value_is_noted(table):
    quote = read_quote(table(with_formula(""), "own.xlsx"))
    assert quote.lines[0].amount is None
    assert quote.notes == ("row 2, column 5: the formula has no stored value. Open the workbook and save it again.",)


def test_the_sheet_with_the_column_names_is_read_and_the_others_are_named(table):
    book = Workbook()
    book.active.title = "Cover"
    book.active.append(["Fitter A", "and more"])
    sheet = book.create_sheet("Prices")
    sheet.append(NAMES)
    sheet.append(OAK_CELLS)
    book.create_sheet("Blank")
    held = io.BytesIO()
    book.save(held)
    quote = read_quote(table(held.getvalue(), "own.xlsx"))
    assert quote.lines == (OAK_LINE,)
    assert quote.notes == ("the sheet 'Prices' was read; not read: 'Cover'.",)


def test_ten_thousand_lines_of_a_workbook_are_read(table):
    quote = read_quote(table(workbook(NAMES, *[OAK_CELLS] * 10_000), "own.xlsx"))
    assert (len(quote.lines), quote.lines[-1].row, quote.notes) == (10_000, 10_001, ())


# --- what is refused ----------------------------------------------------------------------------------------

EMPTY = "A quote has a row of column names and its lines below."
DAMAGED = "this is not a workbook that can be read: it is damaged, or another packed file. Save it again as XLSX."


@pytest.mark.parametrize(
    ("content", "fault"),
    [
        ("", f"the file is empty. {EMPTY}"),
        (" \n,,\n", f"the file is empty. {EMPTY}"),
        (HEAD, "there are no lines below the column names in row 1."),
        (HEAD + "Excludes,doors\n", "there are no lines below the column names in row 1."),
        (
            "Oak,153.60\nAsh,12.00\n",
            "there is no row of column names. One row must say what each column holds: item, amount and so on.",
        ),
        (
            HEAD + OAK + '"Oak,4,pack\n',
            "row 3 is not CSV: unexpected end of data. Look there for a quotation mark that is not closed.",
        ),
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 and more",
            "this is a workbook of the old sort (.xls) or one locked with a password. Save it as .xlsx, unlocked.",
        ),
        (b"PK\x03\x04 and no more", DAMAGED),
        (b"Item,Amount\nOak,\xa35\n", "line 2 is not UTF-8 text (byte 0xa3). Save the file again as UTF-8."),
    ],
)
def test_a_file_that_is_no_quote_is_refused(content, fault, table):
    assert report(table(content)) == own(fault)


def test_text_named_as_a_workbook_is_refused(table):
    fault = "this is not a workbook, whatever its name says. Save the quote again as XLSX."
    assert report(table(HEAD + OAK, "own.xlsx")) == own(fault, name="own.xlsx")


def test_another_packed_file_is_refused(table):
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as packed:
        packed.writestr("letter.txt", "Dear customer")
    assert report(table(held.getvalue())) == own(DAMAGED)


def test_an_empty_workbook_is_refused(table):
    assert report(table(workbook())) == own(f"the workbook is empty. {EMPTY}")


def test_a_workbook_that_is_too_large_is_refused(table, monkeypatch):
    path = table(workbook(NAMES, OAK_CELLS))
    monkeypatch.setattr(quote_rows, "LARGEST_WORKBOOK_BYTES", 1000)
    assert report(path) == own("the workbook must be at most 0.001 MB when unpacked. A quote is far smaller.")
    monkeypatch.setattr(quote_rows, "LARGEST_FILE_BYTES", 2000)
    assert report(path) == own("the workbook must be at most 0.002 MB.")


def test_a_workbook_with_entities_of_its_own_is_refused(table):
    content = rezipped(
        workbook(NAMES, OAK_CELLS),
        lambda name, part: b'<!DOCTYPE x [<!ENTITY a "b">]>' + part if name.endswith("sheet1.xml") else part,
    )
    assert report(table(content)) == own("the workbook declares entities of its own, which no quote needs.")


def test_without_the_package_for_workbooks_the_user_is_told(table, monkeypatch):
    path = table(workbook(NAMES, OAK_CELLS))
    monkeypatch.setitem(sys.modules, "openpyxl", None)
    fault = "workbooks can't be read here: the package openpyxl is not installed. Save the sheet as CSV, UTF-8."
    assert report(path) == own(fault)


def test_a_missing_file_and_a_folder_are_named(table, tmp_path):
    table(HEAD, "quote_7.csv")
    with pytest.raises(FileNotFoundError) as missing:
        read_quote("quote_8.csv")
    assert str(missing.value) == "quote_8.csv: there is no such file. Nearest in that folder: quote_7.csv."
    (tmp_path / "folder").mkdir()
    assert report("folder") == own("this is a folder, not a file. It holds no files.", name="folder")


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (
            lambda: QuoteLine("Oak", 4.0, "m", None, None, 2),
            "quantity must be a Decimal, or None where the quote gives none, got 4.",
        ),
        (lambda: QuoteLine("Oak", None, "m", Decimal("nan"), None, 2), "unit price must be a finite number, got NaN."),
        (lambda: QuoteLine("Oak", None, "m", None, None, 0), "row must be a whole number from 1 to 200000, got 0."),
        (
            lambda: Quote("q", (), tax_fraction=Decimal(20)),
            "tax fraction must be 0 to 1, got 20. Write 20 % as 0.20.",
        ),
        (
            lambda: Quote("q", (), total="12"),
            "total must be a Decimal, or None where the quote gives none, got '12'.",
        ),
    ],
)
def test_a_typed_quote_is_checked(make, message):
    with pytest.raises(ValueError) as refusal:
        make()
    assert str(refusal.value) == message


# --- properties ---------------------------------------------------------------------------------------------

MONEY = st.decimals(min_value=-99_999, max_value=9_999_999, places=2)
LINE = st.tuples(
    st.from_regex(r"Plank [a-z]{1,8}( [a-z,;\"']{1,8})?", fullmatch=True),
    st.none() | MONEY,
    st.sampled_from(["", "pack", "m²", "length"]),
    st.none() | MONEY,
    MONEY,
)
STYLES = {
    "plain": lambda value: f"{value:.2f}",
    "comma for thousands": lambda value: f"{value:,.2f}",
    "comma for decimals": lambda value: f"{value:,.2f}".translate(str.maketrans(",.", ".,")),
    "space for thousands": lambda value: f"{value:,.2f}".translate(str.maketrans(",.", " ,")),
    "sign before": lambda value: f"€ {value:,.2f}",
    "sign behind": lambda value: f"{value:.2f} €",
}


@settings(deadline=None, derandomize=True, max_examples=60)
@given(st.lists(LINE, min_size=1, max_size=6), st.sampled_from(sorted(STYLES)), st.sampled_from(",;\t"), MONEY)
def test_a_quote_written_to_csv_reads_back(lines, style, mark, total):
    def typed(value):
        return "" if value is None else STYLES[style](value)

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "own.csv")
        with path.open("w", newline="", encoding="utf-8") as stream:
            out = csv.writer(stream, delimiter=mark)
            out.writerow(NAMES)
            for item, quantity, unit, price, amount in lines:
                out.writerow([item, typed(quantity), unit, typed(price), typed(amount)])
            out.writerow(["Total", "", "", "", typed(total)])
        quote = read_quote(path)
    rows = enumerate(lines, start=2)
    assert quote.lines == tuple(QuoteLine(" ".join(line[0].split()), *line[1:], row) for row, line in rows)
    assert (quote.total, quote.notes) == (total, ())


@settings(deadline=None, derandomize=True, max_examples=60)
@given(st.lists(LINE, min_size=1, max_size=6))
def test_a_quote_written_to_a_workbook_reads_back(lines):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "own.xlsx")
        path.write_bytes(workbook(NAMES, *[[cell or None if cell == "" else cell for cell in line] for line in lines]))
        quote = read_quote(path)
    rows = enumerate(lines, start=2)
    assert quote.lines == tuple(QuoteLine(" ".join(line[0].split()), *line[1:], row) for row, line in rows)
    assert quote.notes == ()


def faults_of(path):
    """The faults that refuse a quote, none where it is read; any other exception gets through."""
    try:
        read_quote(path)
    except FaultsError as refusal:
        return refusal.faults or ("(refused without a word)",)
    return ()


WHOLE = {
    "own.csv": demo_path("quotes", "sitting_room_fitter_d.csv").read_bytes(),
    "own.xlsx": workbook(NAMES, OAK_CELLS, ["Total", None, None, None, "=E2"], others=["Terms"]),
}


@settings(deadline=None, derandomize=True, max_examples=300)
@given(st.sampled_from(sorted(WHOLE)), st.data())
def test_a_damaged_file_is_read_in_part_or_refused_with_its_faults(name, data):
    content = bytearray(WHOLE[name])
    for _ in range(data.draw(st.integers(1, 6))):
        place = data.draw(st.integers(0, len(content) - 1))
        content[place : place + data.draw(st.integers(0, 3))] = data.draw(st.binary(max_size=3))
    del content[data.draw(st.integers(1, len(content))) :]
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, name)
        path.write_bytes(content)
        assert all(fault.endswith(".") for fault in faults_of(path))


@settings(deadline=None, derandomize=True, max_examples=200)
@given(st.text(alphabet="Item Amount,;\n\"'£€%.0123456789()-xVATotal", max_size=300))
def test_any_text_below_a_head_is_read_or_refused_with_its_faults(text):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "own.csv")
        path.write_text(HEAD + text, encoding="utf-8")
        assert all(fault.endswith(".") for fault in faults_of(path))


# --- the invented quotes ------------------------------------------------------------------------------------


def known_faults():
    with demo_path("quotes", "faults.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def broken_sums(quote):
    """Rows whose quantity times price is not their amount, and the sums that are not those of the rows above them."""
    cent = Decimal("0.01")
    broken = [
        str(line.row)
        for line in quote.lines
        if None not in (line.quantity, line.unit_price)
        and abs(line.quantity * line.unit_price - line.amount) > cent / 2
    ]
    net = sum(line.amount for line in quote.lines)
    if quote.subtotal is not None and quote.subtotal != net:
        broken.append("subtotal")
    if quote.tax is not None and abs(quote.tax - net * quote.tax_fraction) > cent / 2:
        broken.append("tax")
    if quote.total is not None and quote.total != net + (quote.tax or 0):
        broken.append("total")
    return broken


def test_there_are_eight_invented_quotes_and_each_has_its_faults_listed():
    assert len(DEMO) >= 8
    assert {row["quote"] for row in known_faults()} == set(DEMO)
    assert [row["quote"] for row in known_faults() if row["fault"] == "none"] == ["box_room_fitter_a"]


@pytest.mark.parametrize("stem", DEMO)
def test_an_invented_quote_has_no_broken_sum_but_the_one_listed(stem):
    listed = {"box_room_fitter_b": ["2"], "sitting_room_fitter_n": ["total"]}
    assert broken_sums(read_quote(demo_path("quotes", f"{stem}.csv"))) == listed.get(stem, [])


@pytest.mark.parametrize("row", [row for row in known_faults() if row["line"]], ids=lambda row: row["quote"])
def test_a_listed_fault_names_a_row_that_is_there(row):
    text = demo_path("quotes", f"{row['quote']}.csv").read_text(encoding="utf-8")
    assert 2 <= int(row["line"]) <= len(text.splitlines())


def test_every_line_of_the_invented_quotes_is_read_whole():
    for stem in DEMO:
        quote = read_quote(demo_path("quotes", f"{stem}.csv"))
        assert all(line.amount is not None and line.item for line in quote.lines), stem
        assert not any("left out" in note and "above" not in note for note in quote.notes), stem


def test_the_clean_quote_has_no_notes():
    assert read_quote(demo_path("quotes", "box_room_fitter_a.csv")).notes == ()
