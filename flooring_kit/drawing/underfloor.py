"""What lies under the boards: strips of underlay over the room, and the subfloor's heights as a map."""

from __future__ import annotations

import numpy as np
import shapely

from flooring_kit.drawing.marks import Mark, Scene, Shape, Words, extent, shape_of
from flooring_kit.drawing.piece_marks import fitted_words
from flooring_kit.drawing.scene import furniture, sheet_of, survey_sheet
from flooring_kit.flatness import FlatnessMap
from flooring_kit.room import Room
from flooring_kit.setting_out import Plan
from flooring_kit.tables import records
from flooring_kit.underlay import UnderlayPlan

LETTER_SHARE = 0.028
"""Height of the words as a share of the drawing's longer side."""

CELL_MM = 125.0
DEPTHS = 5


def strips_scene(plan: Plan, laid: UnderlayPlan) -> Scene:
    """Strips of underlay over the floor, the start wall at the top as on the plan.

    Each length tells its number and the roll or sheet it is cut from; a darker one comes from an even-numbered roll.

    Parameters
    ----------
    plan
        The plan.
    laid
        As from :func:`flooring_kit.underlay.underlay_strips`.
    """
    to_sheet = sheet_of(plan)
    marks: list[Mark] = [shape_of("gap", plan.room.polygon, to_sheet, "Expansion gap along the walls")]
    unit = _unit(plan.room)
    noun = laid.underlay.piece_word
    for strip in records(laid.strips):
        note = f"Strip {strip.strip}: {strip.length_mm:.0f} × {strip.width_mm:.0f} mm from {noun} {strip.piece}"
        for part in shapely.get_parts(strip.shape):
            if part.geom_type != "Polygon" or part.area < 1.0:
                continue
            shape = shape_of("strip" if strip.piece % 2 else "strip, next piece", part, to_sheet, note)
            marks.append(shape)
            marks.append(_label(shape, f"{strip.strip} · {noun} {strip.piece}", f"{strip.strip}", unit))
    marks.extend(furniture(plan.room, to_sheet, labels=True))
    title = f"Underlay of {plan.room.name}: {len(laid.strips)} lengths from {laid.pieces} {noun}s."
    return _scene(marks, title, unit)


def _label(shape: Shape, long: str, short: str, unit: float) -> Words:
    """The longer of two labels where the shape has room for it, else the shorter one."""
    words = fitted_words(shape, long, largest_mm=unit)
    return words if words.size_mm >= 0.5 * unit else fitted_words(shape, short, largest_mm=unit)


def levels_scene(room: Room, found: FlatnessMap) -> Scene:
    """The subfloor's heights as a map in the survey's own orientation: the darker, the lower.

    At every reading stands how far it lies below the highest; a line shows where the straightedge found its worst gap.

    Parameters
    ----------
    room
        The survey.
    found
        As from :func:`flooring_kit.flatness.flatness_map`.
    """
    unit = _unit(room)
    x0, y0, x1, y1 = room.polygon.bounds
    xs, ys = (np.arange(low, high, CELL_MM) for low, high in ((x0, x1), (y0, y1)))
    boxes = shapely.box(*(each.ravel() for each in (*np.meshgrid(xs, ys), *np.meshgrid(xs + CELL_MM, ys + CELL_MM))))
    boxes = boxes[shapely.intersects(room.polygon, boxes)]
    heights = found.surface.height_mm(shapely.get_coordinates(shapely.centroid(boxes)))
    top, deepest = float(found.surface.heights_mm.max()), max(found.difference_mm, 1e-9)
    steps = np.clip(((top - heights) / deepest * DEPTHS).astype(int), 0, DEPTHS - 1)
    marks: list[Mark] = []
    for step in range(DEPTHS):
        if not (steps == step).any():
            continue
        area = shapely.intersection(shapely.union_all(boxes[steps == step]), room.polygon)
        between = f"{step * deepest / DEPTHS:.1f} to {(step + 1) * deepest / DEPTHS:.1f} mm below the highest"
        marks += [
            shape_of(f"depth {step}", part, survey_sheet, between)
            for part in shapely.get_parts(area)
            if part.geom_type == "Polygon"
        ]
    marks.append(_outline(room))
    marks.extend(furniture(room, survey_sheet, labels=False))
    half = (
        found.straightedge_mm
        / 2
        * np.array([np.cos(np.radians(found.worst_degrees)), np.sin(np.radians(found.worst_degrees))])
    )
    middle = np.array(found.worst_at)
    edge = shapely.LineString([middle - half, middle + half]).buffer(0.35 * unit, cap_style="flat")
    marks.append(
        shape_of("tongue", edge, survey_sheet, f"Straightedge over the worst gap, {found.worst_gap_mm:.1f} mm")
    )
    for (x, y), height in zip(found.surface.points.tolist(), found.surface.heights_mm.tolist(), strict=True):
        sx, sy = survey_sheet(np.array([[x, y]]))[0].tolist()
        marks.append(Words(sx, sy - 0.2 * unit, f"{top - height:.1f}".removesuffix(".0"), unit))
    title = f"Subfloor of {room.name}: how far it lies below its highest place, in mm; the darker, the lower."
    return _scene(marks, title, unit)


def _outline(room: Room) -> Shape:
    return Shape("outline", (survey_sheet(shapely.get_coordinates(room.polygon.exterior)),), "The walls")


def _unit(room: Room) -> float:
    x0, y0, x1, y1 = room.polygon.bounds
    return float(LETTER_SHARE * max(x1 - x0, y1 - y0) + 15.0)


def _scene(marks: list[Mark], title: str, unit: float) -> Scene:
    low, high = extent(marks)
    margin = 0.02 * float(max(high - low)) + 20
    left, top = (low - margin).tolist()
    width, height = (high - low + 2 * margin).tolist()
    return Scene(title, left, top, width, height, tuple(marks), unit)
