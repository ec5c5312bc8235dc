"""Product tables: what is read, what is refused, and every word a user can meet on the way."""

import pickle
import random
from dataclasses import fields, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import flooring_kit as fk
from flooring_kit.checks import FaultsError
from flooring_kit.files import (
    demo_path,
    read_boards,
    read_door_bars,
    read_sundries,
    read_trims,
    read_underlays,
)
from flooring_kit.products import Board, DoorBar, Sundry, Trim, Underlay

HEADER = (
    "name,kind,length_mm,width_mm,thickness_mm,boards_per_pack,pack_price,resistance_m2k_w,hand,mixed_lengths,source\n"
)
PLAIN = "Oak,laminate,1380,193,8,8,38.40,0.0444,right,false,mine\n"
BOARD_COLUMNS = ", ".join(field.name for field in fields(Board))
READERS = {
    "boards.csv": read_boards,
    "underlays.csv": read_underlays,
    "trims.csv": read_trims,
    "door_bars.csv": read_door_bars,
    "sundries.csv": read_sundries,
}


@pytest.fixture
def table(tmp_path, monkeypatch):
    """Writes a table in the current folder, so that messages name it as typed: own.csv."""
    monkeypatch.chdir(tmp_path)

    def write(content):
        (tmp_path / "own.csv").write_bytes(content if isinstance(content, bytes) else content.encode())
        return "own.csv"

    return write


def report(path, reader=read_boards):
    """The whole message that refuses a table."""
    with pytest.raises(FaultsError) as refusal:
        reader(path)
    return str(refusal.value)


def own(*faults):
    """The message that names these faults of own.csv."""
    count = f"{len(faults)} fault{'s' if len(faults) != 1 else ''}"
    return "\n".join([f"own.csv: {count} found, nothing was read.", *(f"  - {fault}" for fault in faults)])


# --- what is read -------------------------------------------------------------------------------------------


def test_every_column_reaches_the_board(table):
    row = "Oak,engineered,1380.5,193,14,8,38.40,0.1,left,yes,10,400,250,9000,7000,mine,groove,groove\n"
    header = HEADER.replace(
        "source",
        "least_gap_mm,least_joint_offset_mm,shortest_piece_mm,longest_along_mm,longest_across_mm,source,"
        "row_start_lock,start_wall_lock",
    )
    oak = Board("Oak", 1380.5, 193, 14, 8, 38.4, 0.1, "engineered", "left", True, 10, 400, 250, 9000, 7000, "mine")
    locks = {"row_start_lock": "groove", "start_wall_lock": "groove"}
    assert read_boards(table(header + row)) == {"Oak": replace(oak, **locks)}


def test_an_empty_cell_and_an_absent_column_take_the_default(table):
    content = "name,length_mm,width_mm,thickness_mm,boards_per_pack,pack_price,hand\nOak,1380,193,8,8,,\n"
    assert read_boards(table(content)) == {"Oak": Board("Oak", 1380, 193, 8, 8)}


@pytest.mark.parametrize(
    ("content", "reader", "expected"),
    [
        (
            "name,kind,thickness_mm,pack_area_m2,vapour_sheet\nFelt,foam,3,10.5,TRUE\n",
            read_underlays,
            Underlay("Felt", "foam", 3, 10.5, vapour_sheet=True),
        ),
        (
            "name,foot_mm,height_mm,length_mm,price\nBead,18,19,2400,3.60\n",
            read_trims,
            Trim("Bead", 18, 19, 2400, 3.6),
        ),
        (
            "name,kind,length_mm,least_step_mm,most_step_mm\nBar,single edge,900,0,10\n",
            read_door_bars,
            DoorBar("Bar", "single edge", 900, 0, 10),
        ),
        (
            'name,sold_as,counted_by\nPins,box of 500,"one every 300 mm, and two at each mitre"\n',
            read_sundries,
            Sundry("Pins", "box of 500", counted_by="one every 300 mm, and two at each mitre"),
        ),
    ],
)
def test_one_reader_serves_each_product(table, content, reader, expected):
    assert reader(table(content)) == {expected.name: expected}


def test_what_a_spreadsheet_adds_is_no_fault(table):
    """A byte order mark, Windows line ends, blank lines, another order, spaces, empty end columns."""
    content = (
        "\ufeffwidth_mm, name ,length_mm,thickness_mm,boards_per_pack,,\r\n"
        "193, Oak ,1380,8,8.0,,\r\n"
        "\r\n"
        ",,,,,,\r\n"
        '240,"Ash, pale",1850,8,6,,\r\n'
    )
    boards = read_boards(table(content))
    assert boards == {"Oak": Board("Oak", 1380, 193, 8, 8), "Ash, pale": Board("Ash, pale", 1850, 240, 8, 6)}


# --- what is refused ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("content", "faults"),
    [
        ("", ["the file is empty. The first row names the columns."]),
        ("\n" + HEADER + PLAIN, ["row 1 is empty. The first row names the columns."]),
        (HEADER, ["there are no rows below the header."]),
        (HEADER + ",,,,,,,,,,\n", ["there are no rows below the header."]),
        (
            (HEADER + PLAIN).replace(",", ";"),
            ["the columns are separated by semicolons. Save the table again with commas."],
        ),
        (
            (HEADER + PLAIN).replace(",", "\t"),
            ["the columns are separated by tabs. Save the table again with commas."],
        ),
        (
            HEADER + PLAIN + '"Ash,laminate,1380',
            ["row 3 is not CSV: unexpected end of data. Look there for a quote that is not closed."],
        ),
        (b"name,\0", ["line 1 holds a NUL byte, so this is not a text file."]),
        (b"\x89PNG\r\n", ["line 1 is not UTF-8 text (byte 0x89). Save the file again as UTF-8."]),
        (
            "Name,kind,length,width_mm,thickness_mm,boards_per_pack,,colour,kind\nOak,laminate,1,193,99,8,,,\n",
            [
                "row 1: 'Name' is not a column of this table. Did you mean 'name'?",
                "row 1: 'length' is not a column of this table. Did you mean 'length_mm'?",
                "row 1: column 7 has no name.",
                f"row 1: 'colour' is not a column of this table. Known columns: {BOARD_COLUMNS}.",
                "row 1: column kind stands there twice.",
                "row 1: column name is missing.",
                "row 1: column length_mm is missing.",
                "row 2, thickness_mm: board '(no name)': thickness must be 1 to 40 mm, got 99 mm.",
            ],
        ),
        (
            HEADER + PLAIN + '\nOak,lamnate,1.38,nan,8 mm,8.5,"1,380","1.380,5",rite,maybe,\n'
            ",laminate,1e999,700,,-3,free,2,right,TRUE,\n",
            [
                "row 4, width_mm must be a number in mm, got 'nan'.",
                "row 4, boards_per_pack must be a whole number, got '8.5'.",
                "row 4, pack_price must be a number, got '1,380'. Leave the thousands comma out: 1380.",
                "row 4, resistance_m2k_w must be a number in m²K/W, got '1.380,5'. "
                "Use a decimal point and no thousands mark: 1380.5.",
                "row 4, mixed_lengths must be true or false, got 'maybe'.",
                "row 4, kind: board 'Oak': kind must be one of laminate, engineered, vinyl, solid, "
                "got 'lamnate'. Did you mean 'laminate'?",
                "row 4, length_mm: board 'Oak': length must be 200 to 5000 mm, got 1.38 mm. "
                "This looks like metres: write 1380 for 1.38 m.",
                "row 4, hand: board 'Oak': hand must be one of right, left, got 'rite'. Did you mean 'right'?",
                "rows 2 and 4 are both named 'Oak'. Give each its own name.",
                "row 5, name must be text, the cell is empty.",
                "row 5, length_mm must be a finite number, got '1e999'.",
                "row 5, thickness_mm must be a number in mm, the cell is empty.",
                "row 5, pack_price must be a number, got 'free'.",
                "row 5, width_mm: board '(no name)': width must be 40 to 600 mm, got 700 mm.",
                "row 5, boards_per_pack: board '(no name)': boards per pack must be a whole number "
                "from 1 to 100, got -3.",
                "row 5, resistance_m2k_w: board '(no name)': thermal resistance must be 0 to 1 m²K/W, "
                "got 2 m²K/W. 1 tog is 0.1 m²K/W.",
            ],
        ),
        (
            HEADER + "Oak,laminate,1380,193,8,8,12 EUR,0.7 tog,right,false,\n"
            'Ash,laminate,"1,38,0",193,"8,5",8,,inf,right,1,\n',
            [
                "row 2, pack_price must be a number, got '12 EUR'. Write the number alone.",
                "row 2, resistance_m2k_w must be a number in m²K/W, got '0.7 tog'. Write the number alone, in m²K/W.",
                "row 3, length_mm must be a number in mm, got '1,38,0'. Use a decimal point and no thousands mark.",
                "row 3, thickness_mm must be a number in mm, got '8,5'. "
                "Use a decimal point and no thousands mark: 8.5.",
                "row 3, resistance_m2k_w must be a number in m²K/W, got 'inf'.",
                "row 3, mixed_lengths must be true or false, got '1'.",
            ],
        ),
        (
            HEADER + "Oak,laminate,200,300,8,8,,,,,\n"
            "Ash,laminate,1,380,193,8,8,,,,,\n"
            "Elm,laminate\n"
            "Fir,laminate,1380.05,193,0.3,8,,,,,\n"
            '"Bee\nch",laminate,1380,193,8,8,,,,,\n',
            [
                "row 2: board 'Oak': width must be at most the length, got 300 mm wide and 200 mm long. Swap the two.",
                "row 3 has 12 cells, the header has 11. A comma inside a number or a name starts a new cell.",
                "row 4 has 2 cells, the header has 11. Cells are missing.",
                "row 5, length_mm: board 'Fir': length must be given to a tenth of a millimetre, "
                "got 1380.05 mm; the nearest is 1380 mm.",
                "row 5, thickness_mm: board 'Fir': thickness must be 1 to 40 mm, got 0.3 mm.",
                r"row 6, name must be one line of at most 200 characters, got 'Bee\nch'.",
            ],
        ),
    ],
)
def test_every_fault_of_a_table_is_reported_at_once_with_its_row(table, content, faults):
    assert report(table(content)) == own(*faults)


def test_a_fault_between_two_cells_is_reported_once_for_the_row(table):
    path = table("name,kind,length_mm,least_step_mm,most_step_mm\nBar,level,900,5,3\nSill,end,900,5,x\n")
    assert report(path, read_door_bars) == own(
        "row 2: door bar 'Bar': most step must be 5 to 50 mm, got 3 mm.",
        "row 3, most_step_mm must be a number in mm, got 'x'.",
    )


def test_a_row_with_length_and_width_swapped_is_told_so_once(table):
    row = "Oak,laminate,193,1380,8,8,38.40,0.0444,right,false,mine\n"
    assert report(table(HEADER + row)) == own(
        "row 2: board 'Oak': length must be 200 to 5000 mm, got 193 mm. Swap length and width."
    )


def test_a_name_that_no_row_has_is_told_with_the_names_there_are_and_the_nearest(table):
    boards = read_boards(table(HEADER + PLAIN + PLAIN.replace("Oak", "Ash")))
    with pytest.raises(ValueError) as refusal:
        boards["oak"]
    assert str(refusal.value) == "There is no board 'oak'. There are: Oak, Ash. Did you mean 'Oak'?"
    with pytest.raises(KeyError):
        boards["Elm"]
    assert (boards.get("Elm"), "Elm" in boards) == (None, False)
    assert pickle.loads(pickle.dumps(boards)) == boards


def test_a_missing_table_is_named_with_the_nearest(table):
    table(HEADER)
    with pytest.raises(FileNotFoundError) as missing:
        read_boards("ownn.csv")
    assert str(missing.value) == "ownn.csv: there is no such file. Nearest in that folder: own.csv."


def test_each_cell_of_a_row_is_blamed_alone_however_extreme_its_sound_neighbours(table):
    """The smallest and largest boards the dataclass allows: the only fault is the thickness."""
    path = table(
        "name,length_mm,width_mm,thickness_mm,boards_per_pack\n"
        "small,200,40,0,1\nlong,5000,40,0,100\nwide,5000,600,0,1\nsquare,600,600,0,1\nshort,200,200,0,1\n"
    )
    names = ["small", "long", "wide", "square", "short"]
    assert report(path) == own(
        *(
            f"row {row}, thickness_mm: board '{name}': thickness must be 1 to 40 mm, got 0 mm."
            for row, name in enumerate(names, start=2)
        )
    )


# --- whatever the bytes -------------------------------------------------------------------------------

NASTY = [
    "", "nan", "-inf", "1e999", "-1", "0", "1,380", '"1,380"', "8 mm", "true", '"', '""', "name", ";", "\t",
    "\r", "\n\n", "1e-300", "9" * 400, "²", "é", "\0", "'", "level", "wood", "1380", "0.04",
]  # fmt: skip


def _mutated(content, chance):
    """The content with one to four random changes: bytes, or whole cells."""
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(content) + 1)
        match chance.randrange(5):
            case 0:
                content = content[:at] + bytes([chance.randrange(256)]) + content[at + 1 :]
            case 1:
                content = content[:at] + content[at + chance.randint(1, 40) :]
            case _:
                cells = content.split(b",")
                cells[chance.randrange(len(cells))] = chance.choice(NASTY).encode()
                content = b",".join(cells)
    return content


def test_a_thousand_mutated_tables_are_read_or_refused_by_faults_and_nothing_else(table):
    chance = random.Random(193)
    sources = [(demo_path(name).read_bytes(), reader) for name, reader in READERS.items()]
    read = refused = 0
    for _ in range(1000):
        content, reader = chance.choice(sources)
        path = table(_mutated(content, chance))
        try:
            read += bool(reader(path))
        except FaultsError:
            refused += 1
    assert read + refused == 1000
    assert 0 < read < refused


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.binary(max_size=200))
def test_any_bytes_at_all_are_refused_by_faults_and_nothing_else(tmp_path_factory, content):
    path = tmp_path_factory.getbasetemp() / "bytes.csv"
    path.write_bytes(content)
    for reader in READERS.values():
        with pytest.raises(FaultsError):
            reader(path)


def test_lengths_may_carry_a_unit_of_their_own_and_are_read_to_a_tenth(table):
    # 54 1/4 in = 1377.95 mm and 7 5/8 in = 193.675 mm at 25.4 mm an inch (yard and pound agreement, 1959).
    rows = 'Oak,laminate,"54 1/4 in",7 5/8 in,0.8 cm,8,,,right,false,\n'
    oak = read_boards(table(HEADER + rows))["Oak"]
    assert (oak.length_mm, oak.width_mm, oak.thickness_mm) == (1378.0, 193.7, 8.0)


def test_a_length_that_cannot_be_read_is_refused_with_its_reason(table):
    told = report(table(HEADER + "Oak,laminate,4 ft 14 in,193 yd,8,8,,,right,false,\n"))
    assert "row 2, length_mm must have less than 12 inches beside feet, got '4 ft 14 in'." in told
    assert "row 2, width_mm must be in mm, cm, m, in or ft, got '193 yd' with the word 'yd'." in told


def test_a_folder_of_tables_is_read_whole_and_only_boards_and_underlays_must_be_there(tmp_path):
    whole = fk.read_catalogue(fk.demo_path())
    assert whole.bars == fk.read_door_bars(fk.demo_path("door_bars.csv"))
    assert whole.sundries == fk.read_sundries(fk.demo_path("sundries.csv"))
    for name in ("boards.csv", "underlays.csv"):
        (tmp_path / name).write_bytes(fk.demo_path(name).read_bytes())
    few = fk.read_catalogue(tmp_path)
    assert few == fk.Catalogue(whole.boards, whole.underlays)
    (tmp_path / "underlays.csv").unlink()
    with pytest.raises(FileNotFoundError, match=r"underlays\.csv"):
        fk.read_catalogue(tmp_path)
