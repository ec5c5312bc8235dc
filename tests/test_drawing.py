"""The drawing: what stands in it, which way round it lies, and that both renderers show the same scene.

Sheet axes: x to the right, y down, mm. Seen from above, a person facing the start wall looks towards -across, and
has (-across_y, across_x) on the right; with the start wall at the top of the sheet that is the sheet's x. Any
drawing that is turned but not mirrored gives the outline the opposite sign of area in the sheet, where y runs down.
"""

from __future__ import annotations

import functools
import itertools
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import matplotlib.image
import numpy as np
import pytest
import shapely
from matplotlib.collections import LineCollection
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from shapely import LineString, Polygon, box

import flooring_kit as fk
from flooring_kit.drawing import Look, Scene, as_svg, plan_scene
from flooring_kit.drawing.figure import draw, draw_side_by_side
from flooring_kit.drawing.scene import LOOKS, WIDTH_PER_LETTER, Shape, Strokes, Words, piece_role

SVG = "{http://www.w3.org/2000/svg}"
ROOMS = {room.name: room for room in map(fk.read_room, sorted(fk.demo_path("rooms").glob("*.toml")))}
BOARDS = fk.read_boards(fk.demo_path("boards.csv"))
RIGHT, LEFT = BOARDS["Oak plank 1380 x 193"], BOARDS["Left-hand oak plank 1380 x 193"]

# An L with its notch at one corner only: no turn and no mirror maps it onto itself.
ODD_ROOM = fk.Room("odd room", ((0, 0), (4200, 0), (4200, 1900), (2500, 1900), (2500, 3100), (0, 3100)))

every_room = pytest.mark.parametrize("room_name", ROOMS)
every_direction = pytest.mark.parametrize("direction", ["long", "short", 30.0])
every_hand = pytest.mark.parametrize("hand", ["right", "left"])
every_start = pytest.mark.parametrize("start", ["first", "opposite"])


@functools.cache
def plan_of(room_name: str, direction: str | float = "long", hand: str = "right", start: str = "first") -> fk.Plan:
    room = ODD_ROOM if room_name == ODD_ROOM.name else ROOMS[room_name]
    board = {"right": RIGHT, "left": LEFT}[hand]
    return fk.set_out(
        room, board, direction=direction, first_row=fk.FirstRow(start), search=fk.Search(quick=True)
    )  # fmt: skip


def shapes_of_pieces(scene: Scene) -> list[Shape]:
    """The pieces' shapes in the order of the plan's table."""
    return [mark for mark in scene.marks if isinstance(mark, Shape) and mark.note.startswith("Piece ")]


def label_of(shape: Shape) -> str:
    return shape.note.removeprefix("Piece ").split(":")[0]


def polygon_of(shape: Shape) -> Polygon:
    return Polygon(shape.rings[0], shape.rings[1:])


def words_of_pieces(scene: Scene) -> dict[str, Words]:
    """The label of each piece, found by its text: the label alone, or the label and the sawn size."""
    labels = {label_of(shape) for shape in shapes_of_pieces(scene)}
    words = [mark for mark in scene.marks if isinstance(mark, Words)]
    found = [(mark.text.split(" · ")[0], mark) for mark in words if mark.text.split(" · ")[0] in labels]
    assert len(found) == len(dict(found)), "a label stands twice"
    return dict(found)


def hatch_of_pieces(scene: Scene) -> np.ndarray:
    """The strokes on the pieces: the first ones painted; the key has its own."""
    return next(mark for mark in scene.marks if isinstance(mark, Strokes) and mark.role == "hatch").segments


def signed_area(ring: np.ndarray) -> float:
    """Positive for anticlockwise where y runs up."""
    x, y = ring[:-1].T
    return float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum() / 2)


# ---------------------------------------------------------------------- what stands in it


@every_room
@every_hand
def test_every_piece_has_its_label_once_and_a_note_with_kind_size_and_board(room_name: str, hand: str) -> None:
    plan = plan_of(room_name, hand=hand)
    tree = ET.fromstring(as_svg(plan_scene(plan)))
    texts = [element.text or "" for element in tree.iter(f"{SVG}text")]
    notes = [element.findtext(f"{SVG}title") for element in tree.iter(f"{SVG}path")]
    kinds = {
        (True, True): "whole board",
        (False, True): "cut",
        (True, False): "ripped",
        (False, False): "cut and ripped",
    }
    for piece in plan.pieces.itertuples():
        assert sum(text == piece.piece or text.startswith(f"{piece.piece} · ") for text in texts) == 1
        kind = kinds[piece.length_mm == plan.board.length_mm, piece.width_mm == plan.board.width_mm]
        size = f"{piece.length_mm:g} × {piece.width_mm:g} mm"
        if piece.length_mm * piece.width_mm - piece.shape.area < 25:  # a plain rectangle
            assert notes.count(f"Piece {piece.piece}: {kind}, {size}, from board {piece.board}") == 1
        else:
            own = [note or "" for note in notes if (note or "").startswith(f"Piece {piece.piece}: ")]
            assert len(own) == 1
            assert own[0].endswith(f", {size}, from board {piece.board}")
    assert sum((note or "").startswith("Piece ") for note in notes) == len(plan.pieces)


@every_room
def test_the_svg_is_named_for_those_who_cannot_see_it_and_its_ids_stand_once(room_name: str) -> None:
    plan = plan_of(room_name)
    tree = ET.fromstring(as_svg(plan_scene(plan)))
    ids = [element.get("id") for element in tree.iter() if element.get("id")]
    assert len(ids) == len(set(ids)) == 1
    assert tree.get("role") == "img"
    assert tree.get("aria-labelledby") == ids[0]
    assert tree.findtext(f"{SVG}title") == (
        f"Floor plan of {room_name}: {plan.rows} rows, {len(plan.pieces)} pieces from {plan.boards_needed} boards of "
        "1380 by 193 mm."
    )


def test_the_size_in_a_label_is_the_sawn_one_and_only_where_something_is_sawn() -> None:
    for room_name in ROOMS:
        plan = plan_of(room_name)
        words = words_of_pieces(plan_scene(plan))
        for piece in plan.pieces.itertuples():
            size = words[piece.piece].text.removeprefix(piece.piece).removeprefix(" · ")
            cut, ripped = piece.length_mm < 1380, piece.width_mm < 193
            allowed = {
                (False, False): "",
                (True, False): f"{piece.length_mm:.0f}",
                (False, True): f"↕{piece.width_mm:.0f}",
                (True, True): f"{piece.length_mm:.0f}×{piece.width_mm:.0f}",
            }[cut, ripped]
            assert size in ("", allowed)


def test_a_piece_is_whole_only_at_the_boards_full_length_and_width() -> None:
    sizes = [(1380, 193), (1379.9, 193), (1380, 192.9), (300, 50)]
    roles = [piece_role(length, width, board_length_mm=1380, board_width_mm=193) for length, width in sizes]
    assert roles == ["whole", "cut", "ripped", "cut and ripped"]


@every_room
@every_direction
def test_a_board_that_must_be_notched_or_slanted_is_not_shown_as_a_whole_one(
    room_name: str, direction: str | float
) -> None:
    """It is sawn, though its rectangle is the whole board. What is less than 3 mm deep the gap takes up."""
    shown_whole = [
        piece for piece in shapes_of_pieces(plan_scene(plan_of(room_name, direction))) if piece.role == "whole"
    ]
    sawn_off = {
        label_of(piece): box(*polygon_of(piece).bounds).difference(polygon_of(piece).buffer(3)).area
        for piece in shown_whole
    }
    assert [label for label, area_mm2 in sawn_off.items() if area_mm2 > 25] == []


@every_room
@every_direction
@every_hand
def test_strokes_lie_inside_the_pieces_that_are_cut_and_never_on_a_whole_one(
    room_name: str, direction: str | float, hand: str
) -> None:
    scene = plan_scene(plan_of(room_name, direction, hand))
    pieces = shapes_of_pieces(scene)
    cut = shapely.union_all([polygon_of(piece).buffer(0.1) for piece in pieces if piece.role != "whole"])
    whole = shapely.union_all([polygon_of(piece).buffer(-1) for piece in pieces if piece.role == "whole"])
    lines = shapely.linestrings(hatch_of_pieces(scene).reshape(-1, 2, 2))
    astray = [line.wkt for line in lines if line.difference(cut).length > 0.5]
    assert astray == []
    assert not any(line.intersects(whole) for line in lines)


@every_room
def test_cut_pieces_are_hatched_one_way_ripped_ones_the_other_way_and_both_both_ways(room_name: str) -> None:
    scene = plan_scene(plan_of(room_name))
    segments = hatch_of_pieces(scene)
    segments = segments[np.hypot(*(segments[:, 2:] - segments[:, :2]).T) > 5]
    middles = shapely.points((segments[:, :2] + segments[:, 2:]) / 2)
    falls = np.sign((segments[:, 3] - segments[:, 1]) * (segments[:, 2] - segments[:, 0]))
    slopes = {"whole": set(), "cut": {1.0}, "ripped": {-1.0}, "cut and ripped": {1.0, -1.0}, "notched": {0.0}}
    for piece in shapes_of_pieces(scene):
        inside = shapely.contains(polygon_of(piece), middles)
        assert set(falls[inside]) == slopes[piece.role], piece.note


def test_the_key_shows_each_kind_of_piece_that_occurs_and_no_other() -> None:
    kinds = {"whole board": "whole", "cut to length": "cut", "ripped to width": "ripped"} | {
        "cut and ripped": "cut and ripped",
        "notched or slanted": "notched",
    }
    for room_name in ROOMS:
        scene = plan_scene(plan_of(room_name))
        keyed = [kinds[mark.text] for mark in scene.marks if isinstance(mark, Words) and mark.text in kinds]
        assert sorted(keyed) == sorted({piece.role for piece in shapes_of_pieces(scene)})


def test_without_labels_there_are_no_words_but_all_pieces_with_their_notes() -> None:
    plan = plan_of("Sitting room")
    scene = plan_scene(plan, labels=False)
    assert not any(isinstance(mark, Words) for mark in scene.marks)
    assert [label_of(shape) for shape in shapes_of_pieces(scene)] == list(plan.pieces["piece"])


@every_room
@every_direction
def test_everything_painted_lies_on_the_part_of_the_sheet_that_is_shown(room_name: str, direction: str | float) -> None:
    scene = plan_scene(plan_of(room_name, direction))
    low = np.array([scene.left, scene.top])
    high = low + np.array([scene.width, scene.height])
    for mark in scene.marks:
        if isinstance(mark, Words):
            wide = len(mark.text) * WIDTH_PER_LETTER * mark.size_mm
            left = mark.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor] * wide
            points = np.array([[left, mark.y - mark.size_mm / 2], [left + wide, mark.y + mark.size_mm / 2]])
        elif isinstance(mark, Strokes):
            points = mark.segments.reshape(-1, 2)
        else:
            points = np.vstack(mark.rings)
        assert (points >= low).all(), mark
        assert (points <= high).all(), mark


def test_names_are_shown_as_typed_whatever_signs_they_hold() -> None:
    name = "<b>&\"x\" 'y'"
    block = fk.Obstacle(name, ((1000, 1000), (2500, 1000), (2500, 1600), (1000, 1600)))
    room = replace(ODD_ROOM, name=name, obstacles=(block,), doors=(fk.Door(1, 500, 762, name=name),))
    text = as_svg(plan_scene(fk.set_out(room, RIGHT, search=fk.Search(quick=True))))
    assert "<b>" not in text
    tree = ET.fromstring(text)
    assert (tree.findtext(f"{SVG}title") or "").startswith(f"Floor plan of {name}: ")
    assert [element.text for element in tree.iter(f"{SVG}text")].count(name) == 2  # obstacle and door
    notes = [element.findtext(f"{SVG}title") for element in tree.iter(f"{SVG}path")]
    assert f"{name}: kept clear by the gap" in notes
    assert f"{name}: 762 mm opening in wall 1" in notes


# ---------------------------------------------------------------------- labels fit


@every_room
@every_direction
@every_hand
def test_a_label_fits_the_rectangle_round_its_piece_and_is_no_taller_than_the_strip(
    room_name: str, direction: str | float, hand: str
) -> None:
    scene = plan_scene(plan_of(room_name, direction, hand))
    words = words_of_pieces(scene)
    astray = []
    for piece in shapes_of_pieces(scene):
        label = words[label_of(piece)]
        low, high = piece.rings[0].min(axis=0), piece.rings[0].max(axis=0)
        half = np.array([len(label.text) * WIDTH_PER_LETTER, 1.0]) * label.size_mm / 2
        middle = np.array([label.x, label.y])
        if (middle - half < low - 0.1).any() or (middle + half > high + 0.1).any():
            astray.append(label.text)
        assert 0 < label.size_mm <= high[1] - low[1]
    assert astray == []


@every_room
@every_direction
def test_a_label_begins_on_its_own_piece(room_name: str, direction: str | float) -> None:
    """Its middle lies on the piece, not on a neighbour, in a hole or over the edge."""
    scene = plan_scene(plan_of(room_name, direction))
    words = words_of_pieces(scene)
    for piece in shapes_of_pieces(scene):
        label = words[label_of(piece)]
        assert Polygon(piece.rings[0]).intersects(shapely.Point(label.x, label.y))


# ---------------------------------------------------------------------- which way round


@pytest.mark.parametrize("room_name", [*ROOMS, ODD_ROOM.name])
@every_direction
@every_hand
@every_start
def test_rows_read_from_the_top_and_places_the_way_they_are_laid(
    room_name: str, direction: str | float, hand: str, start: str
) -> None:
    plan = plan_of(room_name, direction, hand, start)
    pieces = shapes_of_pieces(plan_scene(plan))
    assert [label_of(piece) for piece in pieces] == list(plan.pieces["piece"])
    middles = np.array([(piece.rings[0].min(axis=0) + piece.rings[0].max(axis=0)) / 2 for piece in pieces])
    table = plan.pieces.assign(x=middles[:, 0], y=middles[:, 1])
    rows = table.groupby("row")["y"]
    for above, below in itertools.pairwise(sorted(table["row"].unique())):
        assert rows.max()[above] < rows.min()[below]
    step = 1 if hand == "right" else -1
    for _, row in table.groupby("row"):
        assert list(row["place"]) == sorted(row["place"])
        assert (step * np.diff(row["x"]) > 0).all()


@pytest.mark.parametrize("room_name", [*ROOMS, ODD_ROOM.name])
@every_hand
@every_start
def test_no_wall_stands_higher_on_the_sheet_than_the_start_wall(room_name: str, hand: str, start: str) -> None:
    plan = plan_of(room_name, "short", hand, start)
    outline = plan_scene(plan).marks[0]
    assert isinstance(outline, Shape)
    heights = [(one + other) / 2 for one, other in itertools.pairwise(outline.rings[0][:, 1])]
    assert heights[plan.start_wall - 1] == pytest.approx(min(heights))


@every_direction
@every_hand
@every_start
def test_the_room_is_turned_but_never_mirrored(direction: str | float, hand: str, start: str) -> None:
    plan = plan_of(ODD_ROOM.name, direction, hand, start)
    corners = np.array([*ODD_ROOM.outline, ODD_ROOM.outline[0]], dtype=float)
    outline = plan_scene(plan).marks[0]
    assert isinstance(outline, Shape)
    assert signed_area(outline.rings[0]) == pytest.approx(-signed_area(corners))
    across_x, across_y = plan.across
    right_hand = corners @ (-across_y, across_x)
    assert outline.rings[0] == pytest.approx(np.column_stack([right_hand, corners @ plan.across]))


@pytest.mark.parametrize("start", ["first", "opposite"])
def test_boards_of_either_hand_that_start_at_one_wall_lie_in_the_same_drawing_of_the_room(start: str) -> None:
    right = plan_of(ODD_ROOM.name, "long", "right", start)
    left = plan_of(ODD_ROOM.name, "long", "left", "opposite" if start == "first" else "first")
    assert right.across == left.across
    assert right.along == tuple(-step for step in left.along)
    one, other = (plan_scene(plan).marks[0] for plan in (right, left))
    assert isinstance(one, Shape)
    assert isinstance(other, Shape)
    assert one.rings[0] == pytest.approx(other.rings[0])


@every_hand
def test_the_note_at_the_start_wall_names_the_wall_and_says_which_way_to_lay(hand: str) -> None:
    plan = plan_of(ODD_ROOM.name, "long", hand)
    scene = plan_scene(plan)
    way = {"right": "left to right", "left": "right to left"}[hand]
    note = f"start wall (wall {plan.start_wall}): lay {way}, row by row"
    assert [mark.text for mark in scene.marks if isinstance(mark, Words)].count(note) == 1
    arrow = next(mark for mark in scene.marks if isinstance(mark, Strokes) and mark.role == "note").segments[0]
    assert np.sign(arrow[2] - arrow[0]) == {"right": 1, "left": -1}[hand]
    assert arrow[1] == arrow[3] < min(ring[:, 1].min() for ring in scene.marks[0].rings)  # type: ignore[union-attr]


@every_direction
@every_hand
def test_the_surveys_own_orientation_keeps_x_to_the_right_and_y_up(direction: str | float, hand: str) -> None:
    plan = plan_of(ODD_ROOM.name, direction, hand)
    scene = plan_scene(plan, start_wall_on_top=False)
    outline = scene.marks[0]
    assert isinstance(outline, Shape)
    assert outline.rings[0][:-1].tolist() == [[x, -y] for x, y in ODD_ROOM.outline]
    for piece, shape in zip(shapes_of_pieces(scene), plan.pieces["shape"], strict=True):
        assert piece.rings[0] == pytest.approx(shapely.get_coordinates(shape.exterior) * (1, -1))


def test_no_note_calls_the_top_the_start_wall_where_it_is_not() -> None:
    """In the survey's orientation the start wall can be at any side."""
    plan = plan_of(ODD_ROOM.name, "short")
    words = [mark for mark in plan_scene(plan, start_wall_on_top=False).marks if isinstance(mark, Words)]
    assert not any("start wall" in mark.text for mark in words)


# ---------------------------------------------------------------------- one scene, one id


def test_the_same_scene_gives_the_same_svg_and_another_gives_another_id() -> None:
    def svg_id(plan: fk.Plan, **options: bool) -> str:
        found = re.search(r'id="([^"]+)"', as_svg(plan_scene(plan, **options)))
        assert found
        return found[1]

    plan = plan_of("Hall")
    again = fk.set_out(ROOMS["Hall"], RIGHT, search=fk.Search(quick=True))
    assert as_svg(plan_scene(plan)) == as_svg(plan_scene(again))
    wider = fk.set_out(ROOMS["Hall"], RIGHT, rules=fk.LayingRules(gap_mm=11), search=fk.Search(quick=True))
    twin = fk.set_out(replace(ROOMS["Hall"], name="Hall upstairs"), RIGHT, search=fk.Search(quick=True))
    ids = [
        svg_id(plan),
        svg_id(plan, labels=False),
        svg_id(plan, start_wall_on_top=False),
        svg_id(plan_of("Box room")),
        svg_id(wider),
        svg_id(twin),  # the same floor under another name: on one page, each must answer to its own
    ]
    assert len(set(ids)) == len(ids)


def test_the_svg_fills_the_page_and_shrinks_only_where_a_height_is_set() -> None:
    scene = plan_scene(plan_of("Hall"))
    assert ET.fromstring(as_svg(scene)).get("style") == "width:100%;max-height:760px;height:auto;display:block"
    assert ET.fromstring(as_svg(scene, tallest_px=None)).get("style") == "width:100%;height:auto;display:block"
    shown = [float(number) for number in (ET.fromstring(as_svg(scene)).get("viewBox") or "").split()]
    assert shown == pytest.approx([scene.left, scene.top, scene.width, scene.height], abs=0.05)


# ---------------------------------------------------------------------- matplotlib


@every_room
def test_matplotlib_draws_the_same_marks_in_the_axes_it_is_given(room_name: str) -> None:
    scene = plan_scene(plan_of(room_name))
    ax = Figure(figsize=(6, 6)).add_axes((0, 0, 1, 1))
    assert draw(scene, ax=ax) is ax
    kinds = {kind: [mark for mark in scene.marks if isinstance(mark, kind)] for kind in (Shape, Strokes, Words)}
    assert len([patch for patch in ax.patches if isinstance(patch, PathPatch)]) == len(kinds[Shape])
    assert len([lines for lines in ax.collections if isinstance(lines, LineCollection)]) == len(kinds[Strokes])
    assert [text.get_text() for text in ax.texts] == [mark.text for mark in kinds[Words]]
    assert ax.get_aspect() == 1
    assert ax.get_xlim() == pytest.approx((scene.left, scene.left + scene.width))
    assert ax.get_ylim() == pytest.approx((scene.top + scene.height, scene.top))


def test_without_axes_matplotlib_makes_a_figure_180_mm_wide_in_the_scenes_proportion() -> None:
    scene = plan_scene(plan_of("Hall"))
    width_in, height_in = draw(scene).figure.get_size_inches()
    assert width_in == pytest.approx(180 / 25.4)
    assert height_in / width_in == pytest.approx(scene.height / scene.width)


def pixels_per_mm(ax) -> tuple[float, float]:
    zero, one = ax.transData.transform([(0, 0), (1, 1)])
    return abs(one[0] - zero[0]), abs(one[1] - zero[1])


def test_drawings_side_by_side_have_one_scale_and_a_title_each() -> None:
    scenes = [plan_scene(plan_of(name), labels=False, start_wall_on_top=False) for name in ROOMS]
    figure = draw_side_by_side(scenes, list(ROOMS), columns=2)
    figure.draw_without_rendering()
    shown = [ax for ax in figure.axes if ax.patches]
    assert len(figure.axes) == 6
    assert [ax.get_title() for ax in shown] == list(ROOMS)
    scales = [scale for ax in shown for scale in pixels_per_mm(ax)]
    assert scales == pytest.approx([scales[0]] * len(scales), rel=1e-6)


def test_a_label_drawn_by_matplotlib_is_as_large_as_the_scene_says_side_by_side_too() -> None:
    """Size in points = millimetres on the sheet x pixels per millimetre x 72 / dots per inch, to a tenth."""
    scenes = [plan_scene(plan_of(name)) for name in ("Hall", "Kitchen-diner")]
    alone, together = draw(scenes[0]).figure, draw_side_by_side(scenes, ["", ""])
    for figure in (alone, together):
        figure.draw_without_rendering()
        for ax, scene in zip(figure.axes, scenes, strict=False):
            words = [mark for mark in scene.marks if isinstance(mark, Words)]
            points = pixels_per_mm(ax)[0] * 72 / figure.dpi
            for text, mark in zip(ax.texts, words, strict=True):
                assert text.get_fontsize() == pytest.approx(mark.size_mm * points, rel=0.1)


def grey(look: Look) -> float:
    """Fill as a black-and-white printer sees it, 0 black to 255 white (luma of ITU-R BT.601)."""
    red, green, blue = (int(look.fill[place : place + 2], 16) for place in (1, 3, 5))
    return 0.299 * red + 0.587 * green + 0.114 * blue


def test_in_grey_a_whole_board_is_lighter_than_a_cut_one_and_that_lighter_than_one_cut_and_ripped() -> None:
    """A twelfth of the way from black to white between neighbours; the hatch says the rest."""
    whole, cut, both = (grey(LOOKS[role]) for role in ("whole", "cut", "cut and ripped"))
    assert grey(LOOKS["ripped"]) == cut
    assert whole - cut >= 255 / 12
    assert cut - both >= 255 / 12


def test_a_plan_saved_as_png_is_as_wide_as_an_a4_page_and_has_light_and_dark_in_it(tmp_path: Path) -> None:
    width_in = 210 / 25.4
    scene = plan_scene(plan_of("Sitting room"))
    figure = Figure(figsize=(width_in, width_in * scene.height / scene.width))
    draw(scene, ax=figure.add_axes((0, 0, 1, 1)))
    figure.savefig(tmp_path / "plan.png", dpi=150)
    picture = matplotlib.image.imread(tmp_path / "plan.png")[..., :3] @ (0.299, 0.587, 0.114)
    assert picture.shape[1] == pytest.approx(210 / 25.4 * 150, abs=1)
    assert picture.max() > 0.99
    assert picture.min() < 0.35


def test_a_stroke_of_a_triangle_that_fills_its_corner_stays_on_it() -> None:
    """Boards at 45 degrees in a square room: the pieces in the corners are right-angled triangles."""
    room = fk.Room("square", ((0, 0), (2000, 0), (2000, 2000), (0, 2000)))
    plan = fk.set_out(room, RIGHT, direction=45, search=fk.Search(quick=True))
    scene = plan_scene(plan)
    floor = shapely.union_all([polygon_of(piece) for piece in shapes_of_pieces(scene)]).buffer(0.5)
    assert all(LineString(stroke.reshape(2, 2)).within(floor) for stroke in hatch_of_pieces(scene))
