"""Printed sheets out: a PDF saved whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

from flooring_kit.files.saving import save_whole

BEGINS = b"%PDF-"


def write_pdf(pdf: bytes, path: str | os.PathLike[str]) -> Path:
    """Save a PDF whole or not at all; gives the full path of the file.

    Parameters
    ----------
    pdf
        As from :func:`flooring_kit.site_pack_pdf` or :func:`flooring_kit.survey_form_pdf`.
    path
        A name that ends in `.pdf`; a file that was there before is replaced.

    Raises
    ------
    ValueError
        For another ending, for something that is no PDF, for a folder or a file that can't be written.
    """
    typed = os.fspath(path)
    ending = os.path.splitext(typed)[1].lower()
    if ending != ".pdf":
        raise ValueError(f"{typed}: site sheets end in .pdf, got {ending or 'no ending'!r}.")
    if not isinstance(pdf, bytes) or not pdf.startswith(BEGINS):
        raise ValueError(f"{typed}: this is no PDF. Give what site_pack_pdf or survey_form_pdf returns, not its name.")
    save_whole(typed, pdf, what="the PDF", such_as="site_sheets.pdf")
    return Path(typed).resolve()
