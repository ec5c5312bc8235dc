"""Hours of a room: every operation counted from its plan, with the range of each."""

from __future__ import annotations

import math

import pandas as pd

from flooring_kit.answers import Estimate
from flooring_kit.doorways import door_frames
from flooring_kit.labour import hours
from flooring_kit.products import Catalogue
from flooring_kit.sawing import cut_list
from flooring_kit.underlay import needs_vapour_sheet


def work_quantities(estimate: Estimate, catalogue: Catalogue) -> dict[str, float]:
    """How much of every operation of :mod:`flooring_kit.labour` a room takes; those it does not take are left out.

    Parameters
    ----------
    estimate
        The plan and what was chosen with it.
    catalogue
        Bars on sale.
    """
    plan, room = estimate.plan, estimate.room
    cuts = cut_list(plan)
    frames = door_frames(plan)
    ledger = estimate.heights(catalogue.bars.values())
    too_low = estimate.leaves_too_low(catalogue.bars.values())
    counts = {
        "setting out": 1.0,
        "carrying and clearing up": 1.0,
        "taking up old covering": estimate.room_area_m2 if room.old_covering_mm > 0 else 0.0,
        "levelling": estimate.room_area_m2 if estimate.is_levelled else 0.0,
        "vapour sheet": estimate.net_area_m2 if needs_vapour_sheet(plan, estimate.underlay) else 0.0,
        "underlay": estimate.net_area_m2,
        "laying boards": estimate.net_area_m2,
        "rips": float(cuts["rip_mm"].notna().sum()),
        "row ends": float(cuts["saw_mm"].notna().sum()),
        "openings": float(len(frames)),
        "obstacles": float(len(room.obstacles)),
        "pipes": float(len(room.pipes)),
        "undercutting frames": float(sum(room.doors[number - 1].undercut for number in frames["door"])),
        "door bars": float((ledger["bar"] != "").sum()),
        "easing doors": float((~too_low["fire_door"].astype(bool)).sum()),
        "bead": estimate.take_off.trim_m if estimate.trim is not None else 0.0,
    }
    return {name: amount for name, amount in counts.items() if amount > 0 and math.isfinite(amount)}


def work_hours(estimate: Estimate, catalogue: Catalogue) -> pd.DataFrame:
    """Hours of a room by operation, as from :func:`flooring_kit.labour.hours`."""
    return hours(work_quantities(estimate, catalogue), first_timer=estimate.choices.work.first_timer)
