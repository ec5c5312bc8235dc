"""The demo data: five rooms and five product tables of one invented house."""

import csv
import subprocess
import sys

import pytest

from flooring_kit.files import (
    demo,
    demo_path,
    read_boards,
    read_door_bars,
    read_materials,
    read_room,
    read_sundries,
    read_trims,
    read_underlays,
    read_wood_movement,
)

# Sums by hand from the corners, mm²
ROOM_AREAS_MM2 = {
    "box_room": 2790 * 2380,
    "back_bedroom": 3880 * 4099 - 3880 * 28 / 2,  # less the wedge below wall 1
    "hall": 5200 * 1075,
    # less the breast, plus the bay: a trapezium 2200 and 1100 long, 550 deep
    "sitting_room": 4400 * 3610 - 1450 * 350 + (2200 + 1100) / 2 * 550,
    "kitchen_diner": 6200 * 2900 + 3400 * 5700,
}
LEAST_ROWS = {"boards": 7, "underlays": 6, "trims": 5, "door_bars": 5, "sundries": 8}
READERS = {
    "boards": read_boards,
    "underlays": read_underlays,
    "trims": read_trims,
    "door_bars": read_door_bars,
    "sundries": read_sundries,
}


def room(stem):
    return read_room(demo_path("rooms", f"{stem}.toml"))


def test_the_rooms_are_the_five_expected():
    assert {path.stem for path in demo_path("rooms").iterdir()} == set(ROOM_AREAS_MM2)


@pytest.mark.parametrize("stem", ROOM_AREAS_MM2)
def test_each_demo_room_has_the_area_of_the_hand_sum(stem):
    assert room(stem).polygon.area == pytest.approx(ROOM_AREAS_MM2[stem], rel=1e-12)


def test_the_boards_of_each_room_run_as_its_story_needs():
    """Along x but for the kitchen-diner, which is longer along y: "long" and "short" of each overall size."""
    runs = {}
    for stem in ROOM_AREAS_MM2:
        left, bottom, right, top = room(stem).polygon.bounds
        along_x_is_long = right - left > top - bottom
        runs[stem] = "x" if (room(stem).boards_run == "long") == along_x_is_long else "y"
    assert runs == {
        "box_room": "x",
        "back_bedroom": "x",
        "hall": "x",
        "sitting_room": "x",
        "kitchen_diner": "y",
    }


def test_the_rooms_hold_the_doors_pipes_and_obstacles_of_their_stories():
    counts = {s: (len(r.doors), len(r.pipes), len(r.obstacles)) for s in ROOM_AREAS_MM2 for r in [room(s)]}
    assert counts == {
        "box_room": (1, 0, 0),
        "back_bedroom": (0, 2, 0),
        "hall": (4, 0, 0),
        "sitting_room": (1, 0, 1),
        "kitchen_diner": (0, 0, 1),
    }
    assert room("back_bedroom").subfloor == "timber"
    assert [stem for stem in ROOM_AREAS_MM2 if room(stem).heated] == ["kitchen_diner"]


@pytest.mark.parametrize("stem", READERS)
def test_every_row_of_every_table_names_its_source(stem):
    with demo_path(f"{stem}.csv").open(encoding="utf-8", newline="") as stream:
        assert {row["source"] for row in csv.DictReader(stream)} == {"invented for the demo"}


@pytest.mark.parametrize("stem", READERS)
def test_each_table_reads_has_enough_rows_and_prices_each(stem):
    products = READERS[stem](demo_path(f"{stem}.csv"))
    assert len(products) >= LEAST_ROWS[stem]
    for product in products.values():
        price = product.pack_price if hasattr(product, "pack_price") else product.price
        assert price > 0


def test_the_boards_include_the_two_of_the_demo_floors_an_engineered_and_a_vinyl_one():
    boards = read_boards(demo_path("boards.csv"))
    p, q = boards["Oak plank 1380 x 193"], boards["Ash plank 1850 x 240"]
    assert (p.length_mm, p.width_mm, p.thickness_mm, p.boards_per_pack) == (1380, 193, 8, 8)
    assert (q.length_mm, q.width_mm, q.boards_per_pack) == (1850, 240, 6)
    assert {board.kind for board in boards.values()} == {"laminate", "engineered", "vinyl"}


def test_materials_have_a_source_a_row_and_the_conductivities_of_the_standard():
    # ISO 10456:2007 as read in a registry library and an extract of the standard
    materials = read_materials(demo_path("materials.csv"))
    assert all(material.source for material in materials.values())
    told = {
        "timber, 500 kg/m³": 0.13,
        "fibreboard, 800 kg/m³": 0.18,
        "underlay, cork": 0.05,
        "cork tiles": 0.065,
        "concrete, 2400 kg/m³": 2.0,
        "ceramic tiles": 1.3,
    }
    assert {name: materials[name].conductivity_w_mk for name in told} == told
    assert all("from memory" in materials[name].source for name in ("extruded polystyrene foam", "cement screed"))


def test_woods_move_by_the_coefficients_of_the_handbook():
    # Wood Handbook table 13-5: white oak 0.00180 radially, 0.00365 tangentially for each 1 %
    oak = read_wood_movement(demo_path("wood_movement.csv"))["white oak"]
    assert (oak.radial_per_percent, oak.tangential_per_percent) == (0.00180, 0.00365)


def test_the_size_in_each_boards_name_is_its_size():
    for name, board in read_boards(demo_path("boards.csv")).items():
        assert name.endswith(f" {board.length_mm:g} x {board.width_mm:g}")


def test_declared_resistances_are_thickness_over_conductivity_to_half_the_last_digit():
    """R = d / lambda, ISO 6946. Conductivities [W/mK]: ISO 10456:2007 (HDF 800: 0.18, plastic 0.25,
    cork 0.05, fibre board 250: 0.07, rubber 0.17); engineered oak 0.13 from makers' sheets; foam 0.035
    from memory."""
    boards, underlays = read_boards(demo_path("boards.csv")), read_underlays(demo_path("underlays.csv"))
    conductivity_w_mk = {"laminate": 0.18, "engineered": 0.13, "vinyl": 0.25, "foam": 0.035, "cork": 0.05}
    conductivity_w_mk |= {"fibre board": 0.07, "rubber": 0.17}
    for product in [*boards.values(), *underlays.values()]:
        if product.name == "Heating mat 1.5 mm":  # mineral filled, conducts better than plain rubber
            continue
        expected = product.thickness_mm / 1000 / conductivity_w_mk[product.kind]
        assert product.resistance_m2k_w == pytest.approx(expected, abs=5e-5), product.name


def test_over_heating_laminate_passes_and_engineered_oak_on_foam_fails():
    """0.130, 0.116 and 0.193 m²K/W against the limit of 0.15: the figures of the kitchen-diner's story."""
    boards, underlays = read_boards(demo_path("boards.csv")), read_underlays(demo_path("underlays.csv"))
    laminate = boards["Ash plank 1850 x 240"].resistance_m2k_w
    oak = boards["Engineered oak plank 1900 x 190"].resistance_m2k_w
    foam = underlays["Foam sheet 3 mm"].resistance_m2k_w
    fibre = underlays["Fibre board 5 mm"].resistance_m2k_w
    assert laminate + foam == pytest.approx(0.130, abs=5e-4)
    assert laminate + fibre == pytest.approx(0.116, abs=5e-4)
    assert oak + foam == pytest.approx(0.193, abs=5e-4)


def test_every_underlay_reaches_the_least_compressive_strength_under_laminate():
    """CS at least 10 kPa under laminate (EN 16354 properties, association table)."""
    assert all(each.compressive_strength_kpa >= 10 for each in read_underlays(demo_path("underlays.csv")).values())


# --- finding the data ---------------------------------------------------------------------------------


def test_demo_path_without_parts_is_the_data_folder():
    assert demo_path() == demo.BESIDE_THE_PACKAGE / "data"


def test_the_data_is_found_above_the_current_folder_where_the_package_has_none(tmp_path, monkeypatch):
    (tmp_path / "copy" / "data").mkdir(parents=True)
    (tmp_path / "copy" / "data" / "boards.csv").touch()
    (tmp_path / "copy" / "notebooks").mkdir()
    (tmp_path / "elsewhere").mkdir()
    monkeypatch.setattr(demo, "BESIDE_THE_PACKAGE", tmp_path / "elsewhere")
    monkeypatch.chdir(tmp_path / "copy" / "notebooks")
    assert demo_path("boards.csv") == tmp_path / "copy" / "data" / "boards.csv"


def test_data_that_is_nowhere_is_missed_in_words(tmp_path, monkeypatch):
    monkeypatch.setattr(demo, "BESIDE_THE_PACKAGE", tmp_path / "elsewhere")
    monkeypatch.chdir(tmp_path)
    with pytest.raises(FileNotFoundError) as missing:
        demo_path("boards.csv")
    assert str(missing.value) == (
        f"The demo data was not found: there is no data/boards.csv in {tmp_path / 'elsewhere'}, "
        f"in {tmp_path} or in any folder above it. "
        f"Start from the project's folder, or give your own file's path."
    )


def test_a_demo_file_that_is_not_there_is_missed_with_the_nearest():
    with pytest.raises(FileNotFoundError) as missing:
        demo_path("rooms", "box_rom.toml")
    assert str(missing.value) == ("data/rooms/box_rom.toml: there is no such demo file. Nearest: rooms/box_room.toml.")


def test_a_demo_file_like_no_other_is_missed_with_all_there_are(tmp_path, monkeypatch):
    (tmp_path / "data").mkdir()
    (tmp_path / "data" / "boards.csv").touch()
    monkeypatch.setattr(demo, "BESIDE_THE_PACKAGE", tmp_path)
    with pytest.raises(FileNotFoundError) as missing:
        demo_path("zzz")
    assert str(missing.value) == "data/zzz: there is no such demo file. It holds boards.csv."


def test_reading_files_brings_pydantic_only_when_a_survey_is_read():
    probe = "import sys, flooring_kit.files; sys.exit('pydantic' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", probe], check=False).returncode == 0
