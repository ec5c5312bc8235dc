"""Two thousand damaged files: each is read to something sound or refused in words, never anything else.

Mutations are drawn from a seed: a character lost, doubled or changed, a line dropped, repeated or moved, a number or
a word replaced by one that is likely to hurt. A survey that is still read must give a plan the referee passes.
"""

from __future__ import annotations

import random
import re
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from floors import demo_boards
from referee import referee

import flooring_kit as fk
from flooring_kit.checks import FaultsError

SLOWEST_S = 10.0
QUICK = fk.Search(quick=True)

NUMBERS = (
    *("0", "-1", "-4200", "4.2", "420", "1e9", "1e308", "-0.0", "nan", "inf", "1e-300", "9" * 20, "0x1F", "true"),
    *(
        '""',
        '"4200"',
        '"4,2 m"',
        '"4,200"',
        '"13\' 9 1/2\\""',
        '"13\' 14\\""',
        "[]",
        "{}",
        "[4200]",
        "2026-11-25",
        "١٢",
    ),
)
WORDS = ("outline", "wall", "door", "obstacle", "edge", "tie", "x" * 300, "longe", "Room", "None", "é\u202e", "kind")


def mutated(text: str, draw: random.Random) -> str:
    """The text with one to three pieces of damage."""
    for _ in range(draw.choice((1, 1, 1, 2, 3))):
        kind = draw.randrange(9)
        lines = text.split("\n")
        at = draw.randrange(len(text)) if text else 0
        line = draw.randrange(len(lines))
        if kind == 0:
            text = text[:at] + text[at + draw.randint(1, 4) :]
        elif kind == 1:
            text = text[:at] + draw.choice('"[]{}=,#.\n\t -0\x00é') + text[at:]
        elif kind == 2:
            text = "\n".join(lines[:line] + lines[line + 1 :])
        elif kind == 3:
            text = "\n".join(lines[:line] + [lines[line]] * 2 + lines[line + 1 :])
        elif kind == 4:
            other = draw.randrange(len(lines))
            lines[line], lines[other] = lines[other], lines[line]
            text = "\n".join(lines)
        elif kind in (5, 6, 7):
            found = list(re.finditer(r"-?\d+(\.\d+)?", text))
            if found:
                hit = draw.choice(found)
                nudged = f"{float(hit.group()) + draw.choice((-500, -60, -7, 0.5, 13, 480)):g}"
                worse = draw.choice((draw.choice(NUMBERS), nudged, nudged))
                text = text[: hit.start()] + worse + text[hit.end() :]
        else:
            found = list(re.finditer(r"[A-Za-z_]{3,}", text))
            if found:
                hit = draw.choice(found)
                text = text[: hit.start()] + draw.choice(WORDS) + text[hit.end() :]
    return text


def attack(
    folder: Path, sources: list[Path], count: int, read: Callable[[Path], object], *, seed: int
) -> tuple[list[object], int]:
    """What was read from `count` damaged copies, and how many were refused."""
    draw = random.Random(seed)
    sound: list[object] = []
    told: list[tuple[str, FaultsError]] = []
    for number in range(count):
        source = sources[number % len(sources)]
        text = mutated(source.read_text(encoding="utf-8"), draw)
        path = folder / f"damaged_{number}{source.suffix}"
        path.write_text(text, encoding="utf-8", newline="")
        before = path.read_bytes()
        start = time.monotonic()
        try:
            sound.append(read(path))
        except FaultsError as refusal:
            told.append((path.name, refusal))
        assert time.monotonic() - start < SLOWEST_S, f"{number}: {text[:200]!r}"
        assert path.read_bytes() == before
        path.unlink()
    for name, refusal in told:
        assert name in str(refusal)
        assert min(map(len, refusal.faults)) > 10
        assert all(map(str.isprintable, refusal.faults)), refusal
    return sound, len(told)


def surveys() -> list[Path]:
    return [*sorted(fk.demo_path("rooms").glob("*.toml")), fk.demo_path("survey_example.toml")]


@pytest.mark.parametrize("seed", range(4))
def test_every_damaged_survey_is_refused_in_words_or_gives_a_plan_the_referee_passes(tmp_path, seed):
    board = demo_boards()["Oak plank 1380 x 193"]
    originals = {room.name: room for path in surveys() for room in fk.read_rooms(path).values()}
    sound, refused = attack(tmp_path, surveys(), 300, fk.read_rooms, seed=seed)
    rooms = [room for found in sound for room in found.values()]  # type: ignore[attr-defined]
    changed = [room for room in rooms if room != originals.get(room.name)]
    assert refused > 100
    assert len(changed) > 15
    for room in changed:
        if fk.net_floor(room, fk.LayingRules()).area > 0:
            plan = fk.set_out(room, board, direction=room.boards_run, search=QUICK)
            assert referee(plan, room, board, plan.rules) == []


@pytest.mark.parametrize(
    ("name", "read"),
    [
        ("boards.csv", fk.read_boards),
        ("underlays.csv", fk.read_underlays),
        ("trims.csv", fk.read_trims),
    ],
)
def test_every_damaged_product_table_is_refused_in_words_or_holds_sound_products(tmp_path, name, read):
    sound, refused = attack(tmp_path, [fk.demo_path(name)], 170, read, seed=7)
    assert refused > 30
    assert all(len(products) > 0 for products in sound)  # type: ignore[arg-type]
