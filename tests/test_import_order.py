"""Imports only point down: the storeys of the kit, read from the source of every module."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import flooring_kit

PACKAGE = "flooring_kit"
FOLDER = Path(flooring_kit.__file__).parent

THINGS = {"room", "products", "rules", "choices", "draft", "quoted", "day_entries"}
SUMS = {
    "area",
    "wastage",
    "trims",
    "stock_cutting",
    "gaps",
    "heights",
    "undercuts",
    "thermal",
    "area_check",
    "tape",
    "movement",
    "moisture",
    "condensation",
    "ground_floors",
    "heated_floors",
    "flatness",
    "labour",
}
PLANS = {"setting_out", "underlay"}
ON_PLANS = {"rough", "suitability", "sawing", "doorways", "meetings", "edges", "breaks", "collars"}
ANSWERS = [
    "takeoff",
    "warmth",
    "trim_options",
    "bar_order",
    "sundries",
    "pricing",
    "answers",
    "work",
    "laying_calendar",
    "whole_price",
    "findings",
    "quote_subjects",
    "quote_sums",
    "lump_sums",
    "quote_areas",
    "quotes",
    "own_quote",
    "comparison",
    "weighing",
    "room_options",
    "ways",
    "board_widths",
    "measuring_errors",
    "shortage",
    "as_laid",
]
"""Each may import those before it."""
BELOW_ANSWERS = {"checks", "lengths", "curves", "outlines", "tables", "arrays"} | THINGS | SUMS | PLANS | ON_PLANS
BELOW_SHEETS = BELOW_ANSWERS | set(ANSWERS)
SHEETS = {
    "html_parts",
    "drawing",
    "answer_sheet",
    "comparison_sheet",
    "weighing_sheet",
    "saw_sheet",
    "edge_sheet",
    "door_sheet",
    "underfloor_sheet",
    "warmth_sheet",
    "air_sheet",
    "quote_sheet",
    "own_quote_sheet",
    "shortage_sheet",
    "day_sheet",
    "stock_sheet",
    "site_sheets",
    "workbook",
}
UNDER_SITE_SHEETS = {
    "html_parts",
    "drawing",
    "answer_sheet",
    "saw_sheet",
    "edge_sheet",
    "door_sheet",
    "underfloor_sheet",
    "air_sheet",
}
"""The pack prints what the sheets on screen say."""
SHEETS_WITH_DRAWINGS = {
    "saw_sheet",
    "edge_sheet",
    "door_sheet",
    "underfloor_sheet",
    "warmth_sheet",
    "day_sheet",
    "workbook",
}

MAY_IMPORT: dict[str, set[str]] = {
    # storey 0
    "checks": set(),
    "lengths": {"checks"},
    "curves": {"checks"},
    "outlines": {"checks"},
    "tables": set(),
    "arrays": {"checks"},
    # storey 1, things: a room and a product stand alone, rules know products, choices know the rest
    "room": {"checks", "curves", "outlines"},
    "products": {"checks"},
    "quoted": {"checks"},
    "draft": {"checks", "lengths"},
    "day_entries": {"checks"},
    "rules": {"checks", "room", "products"},
    "choices": {"checks", "room", "products", "rules"},
    # storey 2, sums: ignorant of each other, never taking the choices whole
    **{module: {"checks", "tables", "arrays", "room", "products", "rules"} for module in SUMS},
    # storey 3, plans
    "setting_out": {"checks", "room", "products", "rules"} | SUMS,
    "underlay": {"checks", "tables", "room", "products", "rules"} | SUMS | {"setting_out"},
    **{module: {"checks", "curves", "tables"} | THINGS | SUMS | PLANS for module in ON_PLANS},
    "collars": {"checks", "tables"} | THINGS | SUMS | PLANS | {"sawing"},
    # storey 4, answers, in this order
    **{module: BELOW_ANSWERS | set(ANSWERS[:place]) for place, module in enumerate(ANSWERS)},
    # storey 5, sheets: beside each other, but for those that show drawings
    **dict.fromkeys(SHEETS, BELOW_SHEETS | {"html_parts"}),
    "html_parts": set(),
    **dict.fromkeys(SHEETS_WITH_DRAWINGS, BELOW_SHEETS | {"html_parts", "drawing"}),
    "site_sheets": BELOW_SHEETS | UNDER_SITE_SHEETS,
    # the edge: all reading and writing, of things alone
    "files": {"checks", "lengths", "curves", "outlines", "tape", "area_check", "movement"} | THINGS,
    # storey 6
    "panels": BELOW_SHEETS | SHEETS | {"files"},
    # the launcher and the JupyterLab settings it puts in place
    "lab_settings": {"checks", "files"},
    "page_server": {"lab_settings"},
    "launcher": {"checks", "lab_settings", "page_server"},
    "__main__": {"launcher"},
    # what `import flooring_kit` offers: it stays quick and free of figures and widgets
    "__init__": BELOW_SHEETS | {"answer_sheet", "site_sheets", "files"},
}

SILENT = BELOW_SHEETS
"""Storeys 0 to 4: they never print, log, touch a file or show anything."""

SHOWING = {"matplotlib", "ipywidgets", "IPython", "logging"}
SPEAKING = {"print", "input", "open"}
FILE_METHODS = {
    "open",
    "read_text",
    "read_bytes",
    "write_text",
    "write_bytes",
    "read_csv",
    "to_csv",
    "savefig",
    "mkdir",
    "unlink",
}


def unit_of(module: str) -> str:
    """The module or sub-package of the kit a dotted name stands in: flooring_kit.files.text is in files."""
    parts = module.split(".")
    return parts[1] if len(parts) > 1 else "__init__"


def imports_in(source: str, module: str, *, is_package: bool) -> list[tuple[str, int]]:
    """Every dotted name a source imports, with its line: at the top, inside functions, for type checking alone."""
    found: list[tuple[str, int]] = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found += [(alias.name, node.lineno) for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                home = module.split(".")
                home = home[: len(home) - node.level + is_package]
                base = ".".join([*home, base] if base else home)
            if base == PACKAGE:  # `from flooring_kit import room` names a module, not something in __init__
                found += [(f"{base}.{alias.name}", node.lineno) for alias in node.names]
            else:
                found.append((base, node.lineno))
        elif (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Name | ast.Attribute)
            and (node.func.id if isinstance(node.func, ast.Name) else node.func.attr) in ("import_module", "__import__")
            and node.args
            and isinstance(node.args[0], ast.Constant)
        ):
            found.append((str(node.args[0].value), node.lineno))
    return found


def names_called(source: str) -> list[tuple[str, int]]:
    """Bare names and methods a source calls, with their lines; methods with a dot before them."""
    return [
        (node.func.id if isinstance(node.func, ast.Name) else f".{node.func.attr}", node.lineno)
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name | ast.Attribute)
    ]


def faults_of(source: str, module: str, *, is_package: bool = False) -> list[str]:
    """What a module does against the order of the house, one sentence each."""
    unit = unit_of(module)
    if unit not in MAY_IMPORT:
        return [f"{module} has no storey: say in MAY_IMPORT of tests/test_import_order.py where {unit} stands."]
    faults = []
    for name, line in imports_in(source, module, is_package=is_package):
        if name.split(".")[0] == PACKAGE:
            other = unit_of(name)
            if other != unit and other not in MAY_IMPORT[unit]:
                faults.append(f"{module}, line {line}: imports {name}; {unit} may not import {other}.")
        elif unit in SILENT and name.split(".")[0] in SHOWING:
            faults.append(f"{module}, line {line}: imports {name}; storeys 0 to 4 show and log nothing.")
    if unit in SILENT:
        for name, line in names_called(source):
            if name in SPEAKING or (name[0] == "." and name[1:] in FILE_METHODS):
                faults.append(f"{module}, line {line}: calls {name}(); storeys 0 to 4 print nothing and touch no file.")
    return faults


def modules() -> dict[str, Path]:
    """Every module of the kit by its dotted name; a package by its own."""
    found = {}
    for path in sorted(FOLDER.rglob("*.py")):
        parts = path.relative_to(FOLDER).with_suffix("").parts
        found[".".join([PACKAGE, *(parts if parts[-1] != "__init__" else parts[:-1])])] = path
    return found


MODULES = modules()


@pytest.mark.parametrize("module", MODULES)
def test_imports_only_point_down_and_the_lower_storeys_are_silent(module):
    path = MODULES[module]
    assert faults_of(path.read_text(encoding="utf-8"), module, is_package=path.name == "__init__.py") == []


def test_the_order_of_the_house_has_no_ring():
    # taking away, again and again, what imports only what is gone must empty the house
    left = {unit: set(below) for unit, below in MAY_IMPORT.items()}
    while left:
        ground = {unit for unit, below in left.items() if not below & left.keys()}
        assert ground, f"a ring among {sorted(left)}"
        left = {unit: below for unit, below in left.items() if unit not in ground}


def test_the_sums_are_ignorant_of_each_other_and_of_the_choices():
    for unit in SUMS:
        assert not MAY_IMPORT[unit] & (SUMS | PLANS | {"choices"})


@pytest.mark.parametrize("package", sorted({unit for unit in MAY_IMPORT if (FOLDER / unit).is_dir()}))
def test_no_package_imports_itself_in_a_ring(package):
    """Modules of one sub-package import one another in one direction only; its __init__ stands on top."""
    prefix = f"{PACKAGE}.{package}"
    inside = {name: path for name, path in MODULES.items() if name == prefix or name.startswith(prefix + ".")}
    left: dict[str, set[str]] = {}
    for name, path in inside.items():
        source = path.read_text(encoding="utf-8")
        wanted = {other for other, _ in imports_in(source, name, is_package=path.name == "__init__.py")}
        # `from flooring_kit.files import survey_geometry` names a module of the package, not its __init__
        for node in ast.walk(ast.parse(source)):
            if isinstance(node, ast.ImportFrom) and node.module == prefix:
                named = {f"{prefix}.{alias.name}" for alias in node.names}
                if named <= inside.keys():
                    wanted = (wanted - {prefix}) | named
        left[name] = (wanted & inside.keys()) - {name}
    while left:
        ground = {name for name, below in left.items() if not below & left.keys()}
        assert ground, f"a ring among {sorted(left)}"
        left = {name: below for name, below in left.items() if name not in ground}


# --- the reader of imports can fail -----------------------------------------------------------------------


def test_a_new_module_without_a_storey_is_refused_in_plain_words():
    assert faults_of("", "flooring_kit.acoustics") == [
        "flooring_kit.acoustics has no storey: say in MAY_IMPORT of tests/test_import_order.py where acoustics stands."
    ]
    assert faults_of("", "flooring_kit.exports.pdf") == [
        "flooring_kit.exports.pdf has no storey: say in MAY_IMPORT of tests/test_import_order.py where exports stands."
    ]


@pytest.mark.parametrize(
    ("module", "source", "fault"),
    [
        (
            "area",
            "from flooring_kit.choices import Choices",
            "flooring_kit.area, line 1: imports flooring_kit.choices; area may not import choices.",
        ),
        (
            "area",
            "def f():\n    import flooring_kit.wastage",
            "flooring_kit.area, line 2: imports flooring_kit.wastage; area may not import wastage.",
        ),
        (
            "checks",
            "if TYPE_CHECKING:\n    from .room import Room",
            "flooring_kit.checks, line 2: imports flooring_kit.room; checks may not import room.",
        ),
        (
            "pricing",
            "from flooring_kit import answers",
            "flooring_kit.pricing, line 1: imports flooring_kit.answers; pricing may not import answers.",
        ),
        (
            "setting_out.rows",
            "from ..drawing import scene",
            "flooring_kit.setting_out.rows, line 1: imports flooring_kit.drawing; setting_out may not import drawing.",
        ),
        (
            "room",
            "import flooring_kit",
            "flooring_kit.room, line 1: imports flooring_kit; room may not import __init__.",
        ),
        (
            "choices",
            "from flooring_kit.setting_out.frame import Start",
            "flooring_kit.choices, line 1: imports flooring_kit.setting_out.frame; choices may not import setting_out.",
        ),
        (
            "files.text",
            "import importlib\nimportlib.import_module('flooring_kit.area')",
            "flooring_kit.files.text, line 2: imports flooring_kit.area; files may not import area.",
        ),
        (
            "answers",
            "import matplotlib.pyplot as plt",
            "flooring_kit.answers, line 1: imports matplotlib.pyplot; storeys 0 to 4 show and log nothing.",
        ),
        (
            "thermal",
            "print('warm')",
            "flooring_kit.thermal, line 1: calls print(); storeys 0 to 4 print nothing and touch no file.",
        ),
        (
            "takeoff",
            "with open('order.txt') as order:\n    pass",
            "flooring_kit.takeoff, line 1: calls open(); storeys 0 to 4 print nothing and touch no file.",
        ),
        (
            "takeoff",
            "Path('order.txt').write_text('')",
            "flooring_kit.takeoff, line 1: calls .write_text(); storeys 0 to 4 print nothing and touch no file.",
        ),
    ],
)
def test_an_import_that_points_up_or_a_word_spoken_is_found(module, source, fault):
    assert faults_of(source, f"flooring_kit.{module}") == [fault]


def test_a_package_may_import_its_own_modules():
    assert faults_of("from .plan import Plan", "flooring_kit.setting_out", is_package=True) == []
    assert faults_of("from .frame import Start", "flooring_kit.setting_out.plan") == []


# --- what comes with the kit ------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def loaded():
    """Top names of all that a fresh `import flooring_kit` loads."""
    code = "import sys, flooring_kit; print('\\n'.join(sorted({name.split('.')[0] for name in sys.modules})))"
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()


HEAVY = ["matplotlib", "ipywidgets", "scipy", "pydantic", "jupyterlab", "IPython", "reportlab"]


@pytest.mark.parametrize("heavy", HEAVY)
def test_importing_the_kit_does_not_load(heavy, loaded):
    assert "flooring_kit" in loaded
    assert heavy not in loaded
