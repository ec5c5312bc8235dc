"""What stands on a sheet, before it is set on pages: headings, sentences, tables, drawings, squared paper.

Whoever fills a sheet says what stands on it; `pdf` alone says how that looks on A4.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from flooring_kit.drawing.marks import Scene
from flooring_kit.drawing.windows import SCALES, Window, largest_scale, windows_over


@dataclass(frozen=True)
class PageSize:
    """A page and what is free on it between head and foot [mm]."""

    width_mm: float
    height_mm: float
    left_mm: float = 15.0
    right_mm: float = 10.0
    top_mm: float = 23.0
    bottom_mm: float = 22.0

    @property
    def free_mm(self) -> tuple[float, float]:
        """Width and height that a sheet fills [mm]."""
        return self.width_mm - self.left_mm - self.right_mm, self.height_mm - self.top_mm - self.bottom_mm


PORTRAIT, LANDSCAPE = PageSize(210.0, 297.0), PageSize(297.0, 210.0)
"""A4, ISO 216: 210 by 297 mm. The left margin holds the rings of a binder."""


@dataclass(frozen=True)
class Heading:
    """A heading inside a sheet."""

    words: str


@dataclass(frozen=True)
class Sentences:
    """Sentences one below the other.

    Parameters
    ----------
    told
        The sentences.
    ticked
        True puts a box to tick before each.
    """

    told: tuple[str, ...]
    ticked: bool = False


@dataclass(frozen=True)
class Table:
    """A table, its heads repeated on every page it runs over.

    Parameters
    ----------
    heads, rows
        What stands over the columns, and the cells row by row.
    ticked
        True puts a box to tick before every row.
    banded_by
        Number of the column, from 0, whose change begins another shade; None for no shade.
    to_fill
        True leaves rows high enough to write in by hand.
    widths
        Shares of the width, column by column; by what stands in them where empty.
    """

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    ticked: bool = False
    banded_by: int | None = None
    to_fill: bool = False
    widths: tuple[float, ...] = ()


@dataclass(frozen=True)
class Drawing:
    """A window of a scene at an exact scale, 20 for 1:20."""

    scene: Scene
    window: Window
    scale: int


@dataclass(frozen=True)
class CheckBar:
    """A bar of exactly 100 mm on paper, to find out whether the printer kept the scale."""

    scale: int


@dataclass(frozen=True)
class Squares:
    """Squared paper to sketch on, 5 mm to a square."""

    width_mm: float
    height_mm: float


Block = Heading | Sentences | Table | Drawing | CheckBar | Squares


@dataclass(frozen=True)
class Sheet:
    """A sheet of the pack: one page or several, one heading, one caution at the foot.

    Parameters
    ----------
    title
        What it is.
    caution
        What to mind where this sheet is used; at the foot of each of its pages.
    blocks
        What stands on it.
    page
        Portrait or landscape.
    """

    title: str
    caution: str
    blocks: Sequence[Block] = field(default_factory=tuple)
    page: PageSize = PORTRAIT


def table(heads: Sequence[str], rows: Sequence[Sequence[object]], *, ticked: bool = False) -> Table:
    """A table of anything that can be written."""
    return Table(tuple(heads), tuple(tuple(map(str, row)) for row in rows), ticked=ticked)


def drawn(scene: Scene, paper_mm: tuple[float, float]) -> list[Block]:
    """A drawing at the largest scale that fits its width, over several windows where it is higher than the paper.

    Parameters
    ----------
    scene
        The drawing.
    paper_mm
        Width and height of the paper that is free [mm].
    """
    scale = largest_scale(scene, (paper_mm[0], float("inf"))) or max(SCALES)
    return [Drawing(scene, window, scale) for window in windows_over(scene, paper_mm, scale)]
