"""Tables and lists of sentences as HTML, alike on every sheet."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from html import escape

CELL = "padding:3px 6px;border-bottom:1px solid #d5d9dc;text-align:left"
LONGEST_LINE = 34
"""Letters up to which a cell is kept on one line."""

MARKED = "background:#f6efe2"


def table_html(
    heads: Sequence[str], rows: Sequence[Sequence[object]], *, label: str, marked: Collection[int] = ()
) -> str:
    """A table that scrolls sideways on a phone.

    Parameters
    ----------
    heads
        What stands over the columns.
    rows
        Cells, row by row; text is escaped, a line break in it stays one.
    label
        What the table is, for those who can't see it.
    marked
        Numbers of the rows, from 0, that are shaded.
    """
    head = "".join(f"<th scope='col' style='{CELL}'>{escape(each)}</th>" for each in heads)
    body = ""
    for number, row in enumerate(rows):
        shade = f";{MARKED}" if number in marked else ""
        body += "<tr>" + "".join(f"<td style='{_fitted(str(cell))}{shade}'>{_lines(str(cell))}</td>" for cell in row)
        body += "</tr>"
    return (
        f"<div style='overflow-x:auto;font-size:13px' tabindex='0' role='region' aria-label='{escape(label)}'>"
        f"<table style='border-collapse:collapse;line-height:1.3'><thead><tr>{head}</tr></thead>"
        f"<tbody>{body}</tbody></table></div>"
    )


def _lines(text: str) -> str:
    return escape(text).replace("\n", "<br>")


def _fitted(text: str) -> str:
    """Short cells stay on one line, long ones get room: a narrow screen scrolls instead of squeezing words."""
    return f"{CELL};white-space:nowrap" if len(text) <= LONGEST_LINE else f"{CELL};min-width:230px"


def price_cell(price: float, currency: str) -> str:
    """A price with the sign of its currency; empty where it is not known."""
    return "" if math.isnan(price) else f"{currency}{price:.2f}"


def sheet_html(parts: str) -> str:
    """Parts of a sheet in one column no wider than the page: a wide table scrolls in it and does not stretch it."""
    return f"<div style='display:grid;grid-template-columns:minmax(0,1fr)'>{parts}</div>"


def heading_html(words: str) -> str:
    """A heading on a sheet."""
    return f"<h4 style='margin:12px 0 4px'>{escape(words)}</h4>"


def sentences_html(sentences: Sequence[str]) -> str:
    """Sentences one below the other; nothing where there are none."""
    if not sentences:
        return ""
    items = "".join(f"<li style='margin:2px 0'>{escape(each)}</li>" for each in sentences)
    return f"<ul style='margin:4px 0 8px;padding-left:18px;font-size:14px;line-height:1.4'>{items}</ul>"


PAGE_STYLE = (
    "@page{size:A4;margin:14mm 14mm 16mm;@bottom-right{content:'page ' counter(page) ' of ' counter(pages);"
    "font:9pt 'DejaVu Sans',Verdana,sans-serif}}"
    "body{font:11pt/1.4 'DejaVu Sans',Verdana,sans-serif;color:#000;max-width:190mm;margin:10px auto;padding:0 10px}"
    "table{width:100%;font-size:9.5pt}thead{display:table-header-group}tr{break-inside:avoid}"
    "td,th{white-space:normal!important;min-width:0!important;vertical-align:top;"
    "border-bottom:1px solid #888!important}"
    "h1{font-size:16pt}h4{font-size:12pt;break-after:avoid}"
    "@media print{body{margin:0;padding:0}div{overflow:visible!important}}"
)
"""A4, legible in grey: nothing is told by shade alone."""


def page_html(title: str, parts: str, *, foot: str = "") -> str:
    """A sheet as a whole page to print or send: no script, nothing fetched from outside.

    Parameters
    ----------
    title
        The page's heading.
    parts
        The sheet.
    foot
        A line under it.
    """
    below = f"<p style='font-size:9.5pt'>{escape(foot)}</p>" if foot else ""
    return (
        "<!DOCTYPE html><html lang='en'><head><meta charset='utf-8'><meta name='viewport' "
        f"content='width=device-width,initial-scale=1'><title>{escape(title)}</title><style>{PAGE_STYLE}</style></head>"
        f"<body><h1>{escape(title)}</h1>{parts}{below}</body></html>"
    )
