"""Small things counted from the drawing, each with its rule beside it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from flooring_kit.checks import ceil_clean, counted
from flooring_kit.collars import collars
from flooring_kit.doorways import door_frames
from flooring_kit.products import SUNDRY_USES, Sundry, Trim
from flooring_kit.room import Room
from flooring_kit.sawing import cut_list, pipe_holes
from flooring_kit.setting_out import Plan
from flooring_kit.tables import records
from flooring_kit.underlay import UnderlayPlan, VapourSheet

SUNDRY_COLUMNS = ["use", "amount", "unit", "rule", "product", "sold_as", "packs", "price"]

SPACER_STEP_MM, PIN_STEP_MM = 500.0, 300.0
LEAST_PINS = 2
"""Common practice, no source."""


@dataclass(frozen=True)
class Count:
    """So much of one thing, and why.

    Parameters
    ----------
    use
        One of :data:`flooring_kit.products.SUNDRY_USES`.
    amount
        How much, in the unit of that use.
    rule
        How it was counted.
    product
        The product, where the count is for one and no other: a collar of one size.
    packs
        How many of it are bought, where the amount alone does not tell; None where it does.
    """

    use: str
    amount: float
    rule: str
    product: str = ""
    packs: int | None = None


def count_sundries(
    plan: Plan,
    trim_pieces: pd.DataFrame | None,
    trim: Trim | None,
    *,
    underlay: UnderlayPlan | None = None,
    vapour: VapourSheet | None = None,
    on_sale: Iterable[Sundry] = (),
) -> list[Count]:
    """Everything small that a floor takes, counted from its drawing.

    Parameters
    ----------
    plan
        The plan.
    trim_pieces, trim
        Pieces of trim as from :func:`flooring_kit.trims.trim_pieces`, and the trim; None for no trim.
    underlay, vapour
        Strips of underlay and of vapour sheet; None where there are none.
    on_sale
        Sundries on sale, among which collars and sleeves are chosen.

    Returns
    -------
    list of Count
        In the order of `SUNDRY_USES`; what is not needed is left out. Rules are common practice, no source.
    """
    shelf = list(on_sale)
    counts = [
        *_sheet(vapour),
        *_tape(underlay, vapour),
        _spacers(plan),
        *_glue(plan),
        *_collars(plan, shelf),
        *_filler(plan),
        *_fixing(trim_pieces, trim),
        *_tests(plan.room),
        *_blades(plan),
    ]
    order = list(SUNDRY_USES)
    return sorted((each for each in counts if each.amount > 0), key=lambda each: order.index(each.use))


def _sheet(vapour: VapourSheet | None) -> list[Count]:
    """Whole rolls of the sheet the strips were laid from: an area alone can be a roll too few."""
    if vapour is None:
        return []
    rule = "strips with their laps, turned up at the walls"
    return [Count("vapour sheet", vapour.sheet_m2, rule, vapour.product, vapour.rolls)]


def how_much(amount: float, unit: str) -> str:
    """An amount with its unit: metres to a tenth, whole things counted."""
    return f"{amount:.1f} {unit}" if unit.startswith("m") else counted(round(amount), unit.removesuffix("s"))


def _tape(underlay: UnderlayPlan | None, vapour: VapourSheet | None) -> list[Count]:
    metres = (underlay.tape_m if underlay else 0.0) + (vapour.tape_m if vapour else 0.0)
    return [Count("joint tape", metres, "every seam and end join of the underlay, every lap of the vapour sheet")]


def _spacers(plan: Plan) -> Count:
    ends = int((~plan.joined["left"]).sum() + (~plan.joined["right"]).sum())
    beside = math.fsum(
        length for wall in range(1, len(plan.room.walls) + 1) for length, along in [_along(plan, wall)] if along
    )
    rule = (
        f"one at each end of every row, {ends}, and one every {SPACER_STEP_MM:g} mm along the walls the boards run "
        "beside; they move on with the rows"
    )
    return Count("wall spacers", ends + ceil_clean(beside / SPACER_STEP_MM), rule)


def _along(plan: Plan, wall: int) -> tuple[float, bool]:
    """Length of a wall, and whether boards run beside it rather than into it."""
    (x0, y0), (x1, y1) = plan.room.walls[wall - 1]
    way = np.array([x1 - x0, y1 - y0])
    return plan.room.wall_length_mm(wall), abs(float(way @ plan.along)) > abs(float(way @ plan.across))


def _glue(plan: Plan) -> list[Count]:
    """Locks shaved at frames, and wedges glued back behind pipes."""
    metres = 0.0
    for frame in records(door_frames(plan)):
        if frame.met_at == "far wall" or (frame.under_both and frame.met_at != "start wall"):
            metres += plan.room.doors[frame.door - 1].opening_mm / 1000
    wedges = [hole for hole in records(pipe_holes(plan)) if hole.cut == "hole and wedge"]
    sides = [hole.from_end_mm if hole.opens_to.endswith("end") else hole.from_edge_mm for hole in wedges]
    metres += math.fsum(2 * max(0.0, side) for side in sides) / 1000
    return [
        Count("board glue", metres, "locks shaved where a board is slid in flat under a frame, and wedges behind pipes")
    ]


def _collars(plan: Plan, on_sale: Sequence[Sundry]) -> list[Count]:
    counts: dict[tuple[str, str], int] = {}
    for pipe in records(collars(plan, on_sale)):
        for use, product in (("pipe collars", pipe.collar), ("pipe sleeves", pipe.sleeve)):
            if product:
                counts[use, product] = counts.get((use, product), 0) + 1
    rules = {
        "pipe collars": "one at each pipe; its outside covers the hole",
        "pipe sleeves": "one at each pipe that shows above its collar",
    }
    return [Count(use, amount, rules[use], product) for (use, product), amount in counts.items()]


def _filler(plan: Plan) -> list[Count]:
    frames = [door for door in plan.room.doors if not door.undercut and door.recess_mm > 0]
    metres = math.fsum(2 * (door.recess_mm + door.architrave_mm) for door in frames) / 1000
    return [Count("flexible filler", metres, "both sides of every frame that is not cut, its architraves with it")]


def _fixing(pieces: pd.DataFrame | None, trim: Trim | None) -> list[Count]:
    if pieces is None or trim is None:
        return []
    nailed = pieces[pieces["to_mm"] > pieces["from_mm"]]["length_mm"].tolist()  # a return is glued to its piece
    if trim.material == "plastic":
        metres = math.fsum(pieces["length_mm"]) / 1000
        return [Count("trim adhesive", metres, "plastic trims, which no pin is driven through")]
    pins = sum(max(LEAST_PINS, ceil_clean(length / PIN_STEP_MM) + 1) for length in nailed)
    rule = (
        f"one every {PIN_STEP_MM:g} mm of trim into the skirting, {LEAST_PINS} at least in a piece; returns are glued"
    )
    return [Count("trim pins", pins, rule)]


def _tests(room: Room) -> list[Count]:
    mineral = room.subfloor in ("concrete", "screed")
    return [Count("moisture test", 1.0 if mineral else 0.0, "one for each mineral floor")]


def _blades(plan: Plan) -> list[Count]:
    cuts = cut_list(plan)
    across = int(cuts["saw_mm"].notna().sum())
    ripped = plan.pieces["length_mm"][cuts["rip_mm"].notna().to_numpy()].sum() / plan.board.width_mm
    rule = "every cut across a board, and every rip as the boards' widths it is long"
    return [Count("saw blades", float(math.ceil(across + ripped)), rule)]


def sundry_order(counts: Sequence[Count], on_sale: Iterable[Sundry]) -> pd.DataFrame:
    """What to buy of every small thing.

    Parameters
    ----------
    counts
        As from :func:`count_sundries`.
    on_sale
        Sundries on sale.

    Returns
    -------
    DataFrame
        One row a count: `use`, `amount`, `unit`, `rule`; `product` (the cheapest that serves, "" for none), `sold_as`,
        `packs`, `price` before tax (NaN where there is no product or no price).
    """
    shelf = list(on_sale)
    rows = []
    for count in counts:
        serving = [
            each
            for each in shelf
            if each.use == count.use and each.pack_holds is not None and count.product in ("", each.name)
        ]
        priced = [(_cost(each, count), each) for each in serving]
        best = min(priced, key=lambda pair: (math.isnan(pair[0]), pair[0], pair[1].name), default=None)
        price, product = (math.nan, None) if best is None else best
        rows.append(
            (
                count.use,
                count.amount,
                SUNDRY_USES[count.use],
                count.rule,
                "" if product is None else product.name,
                "" if product is None else product.sold_as,
                0 if product is None else _packs(product, count),
                price,
            )
        )
    return pd.DataFrame(rows, columns=SUNDRY_COLUMNS)


def _packs(product: Sundry, count: Count) -> int:
    return ceil_clean(count.amount / (product.pack_holds or 1.0)) if count.packs is None else count.packs


def _cost(product: Sundry, count: Count) -> float:
    return math.nan if product.price is None else _packs(product, count) * product.price
