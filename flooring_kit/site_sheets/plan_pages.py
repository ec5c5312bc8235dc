"""The plan on paper: one page where it is legible on one, else one page of it whole and more of it larger."""

from __future__ import annotations

from flooring_kit.drawing import plan_scene
from flooring_kit.drawing.marks import Scene
from flooring_kit.drawing.windows import LEAST_LETTER_MM, SCALES, Window, largest_scale, legible_scale, windows_over
from flooring_kit.setting_out import Plan
from flooring_kit.site_sheets.blocks import LANDSCAPE, PORTRAIT, CheckBar, Drawing, PageSize, Sentences, Sheet

HEAD_MM = 24.0
"""Height of what stands over and under a drawing on its page: a sentence or two and the check bar."""

CAUTION = (
    "Lengths on the plan are about: measure, then saw. Find and isolate hidden pipes and cables before you nail, drill "
    "or undercut. Packs weigh 13 to 20 kg: lift with two."
)


def plan_sheets(plan: Plan) -> list[Sheet]:
    """The plan as sheets.

    Where the labels are too small to read with all of the floor on one page, that page is followed by others that
    show the floor part by part at a legible scale.

    Parameters
    ----------
    plan
        The plan.
    """
    whole = plan_scene(plan)
    page, scale = page_for(whole)
    sheets = scene_sheets(whole, page, scale, title="Plan", told=_how_to_read(plan, scale))
    if whole.label_mm / scale >= LEAST_LETTER_MM and len(sheets) == 1:
        return sheets
    parts = plan_scene(plan, key=False)
    closer = legible_scale(parts)
    page = min((PORTRAIT, LANDSCAPE), key=lambda size: len(windows_over(parts, paper_for(size), closer)))
    told = (
        f"Part of the floor at 1:{closer}, the start wall's side at the top. Parts overlap; the first plan has the key."
    )
    return [*sheets, *scene_sheets(parts, page, closer, title="Plan, larger", told=told)]


def paper_for(page: PageSize) -> tuple[float, float]:
    """What a drawing can fill of a page [mm]."""
    wide, tall = page.free_mm
    return wide, tall - HEAD_MM


def page_for(scene: Scene) -> tuple[PageSize, int]:
    """The page and the largest scale that show a drawing whole; landscape and the smallest scale where none does."""
    found = [(largest_scale(scene, paper_for(page)), page) for page in (PORTRAIT, LANDSCAPE)]
    fitting = [(scale, page) for scale, page in found if scale is not None]
    if not fitting:
        return LANDSCAPE, max(SCALES)
    scale, page = min(fitting, key=lambda pair: pair[0])
    return page, scale


def scene_sheets(scene: Scene, page: PageSize, scale: int, *, title: str, told: str) -> list[Sheet]:
    """A drawing of a floor with a sentence over it: one sheet a window of the drawing."""
    windows = windows_over(scene, paper_for(page), scale)
    return [
        Sheet(
            title,
            CAUTION,
            (Sentences((told, *_which(window, windows))), Drawing(scene, window, scale), CheckBar(scale)),
            page,
        )
        for window in windows
    ]


def _which(window: Window, windows: list[Window]) -> list[str]:
    """Which part of the drawing a window shows; nothing where it shows all."""
    if len(windows) == 1:
        return []
    columns, rows = max(each.column for each in windows), max(each.row for each in windows)
    across = f"part {window.column} of {columns} from left to right" if columns > 1 else ""
    down = f"part {window.row} of {rows} from the start wall down" if rows > 1 else ""
    words = ", ".join(filter(None, (across, down)))
    return [f"{words[0].upper()}{words[1:]}."]


def _how_to_read(plan: Plan, scale: int) -> str:
    return (
        f"Scale 1:{scale}. The start wall, wall {plan.start_wall}, is at the top. Sawn lengths are about: measure, "
        "then saw. What has no room for its size here has it in the cut list."
    )
