"""What a quote's lines are about, by the fitter's own words, and what they count in."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import TypeVar

from flooring_kit.quoted import Quote, QuoteLine

Product = TypeVar("Product")

SUBJECT_WORDS = {
    "underlay": ("underlay", "foam", "fibre board", "fibreboard", "cork roll", "rubber roll"),
    "membrane": ("vapour", "membrane", "dpm", "film"),
    "small things": ("adhesive", "glue", "sealant", "silicone", "spacer", "tape", "pin", "screw", "collar"),
    "bars": ("bar", "bars", "threshold", "door strip", "reducer", "ramp"),
    "trims": ("trim", "scotia", "quadrant", "bead", "beading", "moulding"),
    "door easing": ("ease", "easing", "trim door", "plane door", "shave door", "door leaf", "rehang"),
    "preparation": ("level", "levelling", "compound", "prepare", "preparation", "screed repair", "latex"),
    "disposal": ("dispose", "disposal", "uplift", "take up", "waste away", "skip", "remove old", "removal"),
    "furniture": ("furniture", "clear room"),
    "work": ("fit", "fitting", "lay", "laying", "labour", "undercut", "undercutting", "install", "installation"),
    "boards": ("plank", "board", "laminate", "engineered", "oak", "flooring", "vinyl"),
}
"""Words by which a line's subject is known, in the order they are looked for. Common practice, no source."""

SUPPLY_WORDS = ("supply", "supplied", "supplying")
"""With one of them, work on a thing is the thing and the work together."""

AREA_UNITS = ("m2", "m²", "sqm", "sq m", "square metre", "square metres")
LENGTH_UNITS = ("length", "lengths", "piece", "pieces", "no", "nr", "each", "item")
PACK_UNITS = ("pack", "packs", "box", "boxes")


def subject_of(line: QuoteLine) -> str:
    """What a line is about, by its words; "other" where none is known.

    The first subject of `SUBJECT_WORDS` with a word in the line is taken; what is supplied and fitted is the thing
    supplied, not the work.
    """
    named = [subject for subject in SUBJECT_WORDS if names_subject(line, subject)]
    if any(word in line.item.lower().split() for word in SUPPLY_WORDS):
        named = [subject for subject in named if subject != "work"] or named
    return named[0] if named else "other"


def names_subject(line: QuoteLine, subject: str) -> bool:
    """Whether one of the subject's words stands in a line."""
    words = f" {line.item.lower()} "
    return any(f" {word} " in words or f" {word}s " in words or f" {word}," in words for word in SUBJECT_WORDS[subject])


def is_counted_in(line: QuoteLine, units: Collection[str]) -> bool:
    """Whether a line's unit is one of those."""
    return line.unit.strip().lower().rstrip(".") in units


def named_product(quote: Quote, products: Mapping[str, Product]) -> Product | None:
    """The product a quote names, the longest name first; None where it names none of them."""
    for name in sorted(products, key=len, reverse=True):
        if any(name.lower() in line.item.lower() for line in quote.lines):
            return products[name]
    return None
