"""Saving a sheet as a page of its own, to print or to send."""

from __future__ import annotations

import os

from flooring_kit.files.saving import save_whole


def write_page(page: str, path: str | os.PathLike[str]) -> None:
    """Save an HTML page whole or not at all.

    Parameters
    ----------
    page
        A whole page, as from :func:`flooring_kit.html_parts.page_html`.
    path
        A name that ends in `.html`.

    Raises
    ------
    ValueError
        For another ending; for a folder or a file that can't be written.
    """
    typed = os.fspath(path)
    if not typed.lower().endswith(".html"):
        raise ValueError(f"{typed}: the page was not saved: its name must end in .html.")
    save_whole(typed, page.encode("utf-8"), what="the page", such_as="findings.html")
