"""The phone call before the survey: packs from length times width alone, as a range with its reasons."""

from __future__ import annotations

from dataclasses import dataclass

from flooring_kit.checks import counted, require_between
from flooring_kit.products import Board
from flooring_kit.room import Room
from flooring_kit.rules import LayingRules
from flooring_kit.setting_out import Search, habits, set_out
from flooring_kit.wastage import packs_for_area, packs_for_pieces, spare_boards

BY_AREA_FRACTION = 0.10
MISCUT_FRACTION, LEAST_MISCUTS = 0.05, 2
LARGEST_ROOM_M = 30.0


@dataclass(frozen=True)
class RoughOrder:
    """Packs for a room of which only length and width are known.

    Parameters
    ----------
    fewest_packs, most_packs
        The range.
    by_area_packs
        Net area and a tenth, the rule of thumb.
    reasons
        What the two ends rest on, a sentence each.
    """

    fewest_packs: int
    most_packs: int
    by_area_packs: int
    reasons: tuple[str, ...]

    def sentence(self) -> str:
        """The range in words."""
        if self.fewest_packs == self.most_packs:
            return f"About {counted(self.fewest_packs, 'pack')}; measure the room before buying."
        return f"Between {self.fewest_packs} and {self.most_packs} packs; measure the room before buying."


def rough_order(
    length_m: float, width_m: float, board: Board, *, within_m: float = 0.1, rules: LayingRules | None = None
) -> RoughOrder:
    """A range of packs for a plain rectangle.

    Parameters
    ----------
    length_m, width_m
        The room as told over the phone [m], 1 to 30.
    board
        The board.
    within_m
        How far off each of the two may be [m], 0 to 0.5.
    rules
        Laying rules.

    Raises
    ------
    ValueError
        Outside those ranges, and for boards that can't be planned.

    Notes
    -----
    The low end is a plan of the room as small as it may be, two spare boards with it. The high end is the room as
    large as it may be, laid row by row without looking ahead, or by area and a tenth if that is more, with a
    first-timer's one in twenty spare. Corners, chimney breasts and bays make it more or less.
    """
    hint = "Give metres: 4.2 for 4200 mm."
    require_between(length_m, 1, LARGEST_ROOM_M, "length", unit="m", hint=hint)
    require_between(width_m, 1, LARGEST_ROOM_M, "width", unit="m", hint=hint)
    require_between(within_m, 0, 0.5, "measured within", unit="m")
    rules = rules or LayingRules()
    small, large = (_room(length_m + off, width_m + off) for off in (-within_m, within_m))
    least = set_out(small, board, rules=rules, search=Search(quick=True))
    most = set_out(large, board, rules=rules, search=Search(quick=True))
    unplanned = habits(most).keep_rules.boards
    low = least.boards_bound + LEAST_MISCUTS
    high = unplanned + spare_boards(unplanned, miscut_fraction=MISCUT_FRACTION, least=LEAST_MISCUTS)
    fewest = packs_for_pieces(low, board.boards_per_pack)
    by_area = packs_for_area(large.polygon.area / 1e6, board.pack_area_m2, spare_fraction=BY_AREA_FRACTION)
    return RoughOrder(
        fewest,
        max(fewest, by_area, packs_for_pieces(high, board.boards_per_pack)),
        packs_for_area(length_m * width_m, board.pack_area_m2, spare_fraction=BY_AREA_FRACTION),
        (
            f"At best {length_m - within_m:.2f} x {width_m - within_m:.2f} m, planned: {least.boards_bound} boards and "
            f"{LEAST_MISCUTS} for miscuts.",
            f"At worst {length_m + within_m:.2f} x {width_m + within_m:.2f} m, laid row by row: {unplanned} boards and "
            f"{high - unplanned} for a first-timer's miscuts.",
            "A chimney breast, a bay or an L changes both: this is a plain rectangle.",
        ),
    )


def _room(length_m: float, width_m: float) -> Room:
    x, y = length_m * 1000, width_m * 1000
    return Room("room", ((0, 0), (x, 0), (x, y), (0, y)))
