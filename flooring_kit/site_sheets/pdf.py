"""Sheets set on A4 pages and bound into one PDF. The only module that loads reportlab.

Every page carries the job's name and the sheet's title at its head, a caution and "page n of m" at its foot::

    Box room                                               2026-03-14  Cut list
    -------------------------------------------------------------------------
    ...
    -------------------------------------------------------------------------
    caution                                                       page 4 of 11
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

import matplotlib
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    NextPageTemplate,
    PageBreak,
    PageTemplate,
    Paragraph,
    TableStyle,
)
from reportlab.platypus import Table as PageTable

from flooring_kit.drawing.marks import LOOKS, WORDS_COLOUR
from flooring_kit.drawing.paper import POINTS_PER_MM, paint
from flooring_kit.site_sheets.blocks import (
    Block,
    CheckBar,
    Drawing,
    Heading,
    PageSize,
    Sentences,
    Sheet,
    Squares,
    Table,
)

PLAIN, BOLD = "KitSans", "KitSans-Bold"
FONT_FILES = {PLAIN: "DejaVuSans.ttf", BOLD: "DejaVuSans-Bold.ttf"}
"""They come with matplotlib and hold every sign the sheets use: a box to tick, a cross, superscripts."""

TICK = "☐"
SIZE, SMALL = 9.0, 7.5
CELL_PAD, FILL_MM = 2.6, 7.5
BAND, HEAD_FILL, LINE = "#ebebeb", "#d2d2d2", "#7a7a7a"
SQUARE_MM, CHECK_MM = 5.0, 100.0

BODY = ParagraphStyle("body", fontName=PLAIN, fontSize=SIZE, leading=1.3 * SIZE, textColor=WORDS_COLOUR)
CELL = ParagraphStyle("cell", parent=BODY, fontSize=8.5, leading=10.5)
CELL_HEAD = ParagraphStyle("cell head", parent=CELL, fontName=BOLD, fontSize=8, leading=9.5)
HEADING = ParagraphStyle("heading", parent=BODY, fontName=BOLD, fontSize=11, leading=14, spaceBefore=7, spaceAfter=3)
HEADING.keepWithNext = 1
FOOT = ParagraphStyle("foot", parent=BODY, fontSize=SMALL, leading=1.25 * SMALL)


def bound(sheets: Sequence[Sheet], *, job: str, day: date | None) -> bytes:
    """The sheets as a PDF, each beginning on a page of its own.

    Parameters
    ----------
    sheets
        At least one.
    job
        What stands at the head of every page.
    day
        The date beside it; none where None.
    """
    _register_fonts()
    pages = _set(sheets, job, day, total=0)[1]
    return _set(sheets, job, day, total=pages)[0]


@cache
def _register_fonts() -> None:
    folder = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    for name, file in FONT_FILES.items():
        pdfmetrics.registerFont(TTFont(name, str(folder / file)))
    pdfmetrics.registerFontFamily(PLAIN, normal=PLAIN, bold=BOLD, italic=PLAIN, boldItalic=BOLD)


def _set(sheets: Sequence[Sheet], job: str, day: date | None, *, total: int) -> tuple[bytes, int]:
    """The PDF and how many pages it has; `total` is what every page says after "of"."""
    held = io.BytesIO()
    book = BaseDocTemplate(held, invariant=1, initialFontName=PLAIN, pageCompression=1, title=f"{job}, site sheets")
    story: list[Any] = []
    for number, sheet in enumerate(sheets):
        book.addPageTemplates(_template(str(number), sheet, job, day, total))
        if number:
            story += [NextPageTemplate(str(number)), PageBreak()]
        wide = sheet.page.free_mm[0] * POINTS_PER_MM
        story += [_set_block(block, wide) for block in sheet.blocks]
    book.build(story)
    return held.getvalue(), int(book.page)


# ---------------------------------------------------------------------- pages


def _template(name: str, sheet: Sheet, job: str, day: date | None, total: int) -> Any:
    page = sheet.page
    wide, tall = (length * POINTS_PER_MM for length in page.free_mm)
    frame = Frame(
        page.left_mm * POINTS_PER_MM,
        page.bottom_mm * POINTS_PER_MM,
        wide,
        tall,
        leftPadding=0,
        rightPadding=0,
        topPadding=0,
        bottomPadding=0,
    )

    def decorate(canvas: Any, _: Any) -> None:
        canvas.saveState()
        _head(canvas, page, job, sheet.title, day)
        _foot(canvas, page, sheet.caution, total)
        canvas.restoreState()

    size = (page.width_mm * POINTS_PER_MM, page.height_mm * POINTS_PER_MM)
    return PageTemplate(id=name, frames=[frame], onPage=decorate, pagesize=size)


def _head(canvas: Any, page: PageSize, job: str, title: str, day: date | None) -> None:
    left, right = page.left_mm * POINTS_PER_MM, (page.width_mm - page.right_mm) * POINTS_PER_MM
    base = (page.height_mm - page.top_mm + 6.5) * POINTS_PER_MM
    told = day.isoformat() if day else ""
    canvas.setFillColor(WORDS_COLOUR)
    canvas.setFont(BOLD, 14)
    canvas.drawRightString(right, base, title)
    used = stringWidth(title, BOLD, 14) + (stringWidth(told, PLAIN, SIZE) + 14 if told else 0) + 14
    canvas.setFont(BOLD, 11)
    canvas.drawString(left, base, _shortened(job, right - left - used, BOLD, 11))
    if told:
        canvas.setFont(PLAIN, SIZE)
        canvas.drawRightString(right - stringWidth(title, BOLD, 14) - 14, base, told)
    _rule(canvas, left, right, base - 5)


def _foot(canvas: Any, page: PageSize, caution: str, total: int) -> None:
    left, right = page.left_mm * POINTS_PER_MM, (page.width_mm - page.right_mm) * POINTS_PER_MM
    top = (page.bottom_mm - 3.0) * POINTS_PER_MM
    _rule(canvas, left, right, top)
    number = f"page {canvas.getPageNumber()} of {total}"
    canvas.setFont(BOLD, SIZE)
    canvas.drawRightString(right, top - 12, number)
    words = Paragraph(escape(caution), FOOT)
    _, tall = words.wrap(right - left - stringWidth(number, BOLD, SIZE) - 16, 100)
    words.drawOn(canvas, left, top - 4 - tall)


def _rule(canvas: Any, left: float, right: float, at: float) -> None:
    canvas.setStrokeColor(LINE)
    canvas.setLineWidth(0.8)
    canvas.line(left, at, right, at)


def _shortened(words: str, wide: float, font: str, size: float) -> str:
    """The words, their end left off where they are too long for the line."""
    if stringWidth(words, font, size) <= wide:
        return words
    while words and stringWidth(f"{words}…", font, size) > wide:
        words = words[:-1]
    return f"{words}…"


# ---------------------------------------------------------------------- blocks


def _set_block(block: Block, wide: float) -> Any:
    """A block as what reportlab sets on pages, `wide` points to fill."""
    if isinstance(block, Heading):
        return Paragraph(escape(block.words), HEADING)
    if isinstance(block, Sentences):
        return _sentences(block, wide)
    if isinstance(block, Table):
        return _table(block, wide)
    if isinstance(block, Drawing):
        return _Drawn(block)
    return _Bar(block.scale) if isinstance(block, CheckBar) else _Squared(block)


def _sentences(block: Sentences, wide: float) -> Any:
    """Sentences with a box to tick or a dot before each; the table breaks between them at a page's end."""
    first = TICK if block.ticked else "·"
    rows = [[Paragraph(first, BODY), Paragraph(escape(words), BODY)] for words in block.told]
    style = [
        ("FONT", (0, 0), (-1, -1), PLAIN),  # else the library's own font is named, and it is not embedded
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 0),
        ("RIGHTPADDING", (0, 0), (-1, -1), 0),
        ("TOPPADDING", (0, 0), (-1, -1), 0.8),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 1.2),
    ]
    return PageTable(rows, colWidths=[14, wide - 14], style=TableStyle(style), spaceAfter=4)


def _table(block: Table, wide: float) -> Any:
    """A table with its heads repeated on each page; cells that do not fit their column are wrapped."""
    rows = [((TICK, *row) if block.ticked else row) for row in block.rows]
    heads = ("", *block.heads) if block.ticked else block.heads
    widths = _shares(block.widths, wide) if block.widths else _widths(heads, rows, wide, least=34 * block.to_fill)
    cells: list[list[Any]] = [[Paragraph(escape(head), CELL_HEAD) for head in heads]]
    for row in rows:
        cells.append([_cell(cell, width) for cell, width in zip(row, widths, strict=True)])
    style: list[Any] = [
        ("FONT", (0, 0), (-1, -1), PLAIN, CELL.fontSize, CELL.leading),
        ("TEXTCOLOR", (0, 0), (-1, -1), WORDS_COLOUR),
        ("BACKGROUND", (0, 0), (-1, 0), HEAD_FILL),
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
        ("VALIGN", (0, 1), (-1, -1), "MIDDLE" if block.to_fill else "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), CELL_PAD),
        ("RIGHTPADDING", (0, 0), (-1, -1), CELL_PAD),
        ("TOPPADDING", (0, 0), (-1, -1), 1.6),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2.2),
        ("LINEBELOW", (0, 0), (-1, -1), 0.4, LINE),
    ]
    if block.to_fill:
        style.append(("GRID", (0, 0), (-1, -1), 0.4, LINE))
    style += [("BACKGROUND", (0, line), (-1, line), BAND) for line in _banded(block)]
    heights = [None, *(_fill_height(row, widths) for row in rows)] if block.to_fill else None
    return PageTable(cells, colWidths=widths, rowHeights=heights, repeatRows=1, style=TableStyle(style), spaceAfter=6)


def _cell(words: str, width: float) -> Any:
    if "\n" not in words and stringWidth(words, PLAIN, CELL.fontSize) <= width - 2 * CELL_PAD:
        return words
    return _wrapped(words)


def _wrapped(words: str) -> Any:
    return Paragraph(escape(words).replace("\n", "<br/>"), CELL)


def _fill_height(row: Sequence[str], widths: Sequence[float]) -> float:
    """Height of a row to write in: as its words need, and never too low for a hand."""
    needed = max(
        _wrapped(words).wrap(width - 2 * CELL_PAD, 1e6)[1] if words else 0.0
        for words, width in zip(row, widths, strict=True)
    )
    return float(max(FILL_MM * POINTS_PER_MM, needed + 5))


def _banded(block: Table) -> list[int]:
    """Lines of the table that are shaded, from 1: every second run of rows that have a column alike."""
    if block.banded_by is None:
        return []
    lines, shaded, last = [], True, None
    for line, row in enumerate(block.rows, start=1):
        if row[block.banded_by] != last:
            shaded, last = not shaded, row[block.banded_by]
        if shaded:
            lines.append(line)
    return lines


def _shares(shares: Sequence[float], wide: float) -> list[float]:
    return [wide * share / sum(shares) for share in shares]


def _widths(heads: Sequence[str], rows: Sequence[Sequence[str]], wide: float, *, least: float) -> list[float]:
    """Widths of columns: as wide as their longest cell, the longest of them cut down alike where they don't fit."""
    pad, size = 2 * CELL_PAD + 0.5, CELL.fontSize
    columns = list(zip(*rows, strict=True)) if rows else [()] * len(heads)
    narrowest, natural = [], []
    for head, cells in zip(heads, columns, strict=True):
        word = max((stringWidth(each, BOLD, CELL_HEAD.fontSize) for each in head.split()), default=0.0)
        word = max([word, *(stringWidth(each, PLAIN, size) for cell in set(cells) for each in cell.split())])
        narrowest.append(max(word + pad, least))
        half = stringWidth(head, BOLD, CELL_HEAD.fontSize) / 2  # heads over two lines read well
        natural.append(
            max([word + pad, half + pad, least, *(stringWidth(cell, PLAIN, size) + pad for cell in set(cells))])
        )
    low, high = 0.0, wide
    for _ in range(40):  # the common limit to which the widest columns are cut down
        limit = (low + high) / 2
        fits = sum(max(a, min(b, limit)) for a, b in zip(narrowest, natural, strict=True)) <= wide
        low, high = (limit, high) if fits else (low, limit)
    widths = [max(a, min(b, low)) for a, b in zip(narrowest, natural, strict=True)]
    spare, told = max(0.0, wide - sum(widths)), sum(width for head, width in zip(heads, widths, strict=True) if head)
    return [width * (1 + spare / told) if head else width for head, width in zip(heads, widths, strict=True)]


# ---------------------------------------------------------------------- drawings


class _Drawn(Flowable):  # type: ignore[misc]  # reportlab has no types
    """A window of a scene, to scale."""

    def __init__(self, drawing: Drawing) -> None:
        super().__init__()
        self.drawing, self.spaceAfter = drawing, 6
        points = POINTS_PER_MM / drawing.scale
        self.width, self.height = drawing.window.width * points, drawing.window.height * points

    def draw(self) -> None:
        drawing = self.drawing
        paint(self.canv, drawing.scene, drawing.window, scale=drawing.scale, font=PLAIN)


class _Bar(Flowable):  # type: ignore[misc]
    """100 mm on paper and what they are on the floor."""

    def __init__(self, scale: int) -> None:
        super().__init__()
        self.scale = scale
        self.width, self.height = CHECK_MM * POINTS_PER_MM, 7.0 * POINTS_PER_MM

    def draw(self) -> None:
        canvas, tick = self.canv, 3.0
        y = 0.55 * self.height
        canvas.setStrokeColor(LOOKS["note"].line)
        canvas.setLineWidth(1.0)
        canvas.lines([(0, y, self.width, y)])
        canvas.lines([(x, y - tick, x, y + tick) for x in (0, self.width / 2, self.width)])
        canvas.setFillColor(WORDS_COLOUR)
        canvas.setFont(PLAIN, SMALL)
        metres = CHECK_MM * self.scale / 1000
        told = f"100 mm on paper, {metres:g} m of floor at 1:{self.scale}. If a rule says otherwise, print at 100 %."
        canvas.drawString(0, y - tick - SMALL, told)


class _Squared(Flowable):  # type: ignore[misc]
    """Squared paper."""

    def __init__(self, block: Squares) -> None:
        super().__init__()
        step = SQUARE_MM * POINTS_PER_MM
        self.width, self.height = (int(length // SQUARE_MM) * step for length in (block.width_mm, block.height_mm))

    def draw(self) -> None:
        step = SQUARE_MM * POINTS_PER_MM
        canvas = self.canv
        canvas.setStrokeColor("#b4b4b4")
        canvas.setLineWidth(0.35)
        across, down = round(self.width / step), round(self.height / step)
        canvas.lines([(x * step, 0, x * step, self.height) for x in range(across + 1)])
        canvas.lines([(0, y * step, self.width, y * step) for y in range(down + 1)])
