"""Packs, spares and where the material goes."""

from __future__ import annotations

from dataclasses import dataclass

from flooring_kit.checks import ceil_clean, require_between, require_whole


def packs_for_area(net_area_m2: float, pack_area_m2: float, *, spare_fraction: float = 0.0) -> int:
    """Whole packs that cover an area and a spare, rounded up; 0 for an area of 0.

    Parameters
    ----------
    net_area_m2
        Area to cover [m²], 0 to 100 000.
    pack_area_m2
        Area one pack covers [m²], over 0.
    spare_fraction
        Added to the area, 0 to 0.5.

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    A room of 5 x 4 m with a tenth more, from packs of 1.243 m² [1]_:

    >>> packs_for_area(20.0, 1.243, spare_fraction=0.10)
    18

    References
    ----------
    .. [1] "How to lay laminate flooring", builderstips.blogspot.com: 22 m², 18 packs.
    """
    require_between(net_area_m2, 0, 100_000, "net area", unit="m²")
    require_between(pack_area_m2, 1e-3, 1_000, "pack area", unit="m²")
    require_between(spare_fraction, 0, 0.5, "spare", hint="Write 8 % as 0.08.")
    return ceil_clean(net_area_m2 * (1 + spare_fraction) / pack_area_m2)


def packs_for_pieces(pieces: int, pieces_per_pack: int) -> int:
    """Whole packs that hold a number of boards, rounded up.

    >>> packs_for_pieces(29, 8)
    4
    """
    whole_pieces = require_whole(pieces, 0, 10_000_000, "boards")
    return -(-whole_pieces // require_whole(pieces_per_pack, 1, 1000, "boards per pack"))


def spare_boards(boards_needed: int, *, miscut_fraction: float, least: int) -> int:
    """Boards bought for miscuts and damage: a share of the plan, rounded up, and at least `least`.

    Common practice, no source: 2 % for the trade, 5 % for a first-timer, two boards at least.

    >>> spare_boards(27, miscut_fraction=0.02, least=2), spare_boards(240, miscut_fraction=0.05, least=2)
    (2, 12)
    """
    require_whole(boards_needed, 0, 10_000_000, "boards")
    require_between(miscut_fraction, 0, 0.5, "miscuts", hint="Write 2 % as 0.02.")
    return max(require_whole(least, 0, 100, "least spare boards"), ceil_clean(boards_needed * miscut_fraction))


@dataclass(frozen=True)
class WasteSplit:
    """Board area bought beyond the net floor, by where it goes.

    Parameters
    ----------
    net_area_m2
        What the floor covers [m²].
    cutting_loss_m2
        Sawn off the boards of the plan and not used [m²].
    spares_m2
        Boards bought for miscuts, damage and repairs [m²].
    pack_rounding_m2
        Boards bought because packs are whole [m²].
    """

    net_area_m2: float
    cutting_loss_m2: float
    spares_m2: float
    pack_rounding_m2: float

    @property
    def bought_m2(self) -> float:
        """All the board area bought [m²]."""
        return self.net_area_m2 + self.cutting_loss_m2 + self.spares_m2 + self.pack_rounding_m2

    def fraction(self, part_m2: float) -> float:
        """A part as a fraction of the net area."""
        return part_m2 / self.net_area_m2


def waste_split(
    net_area_m2: float, board_area_m2: float, *, boards_needed: int, spares: int, boards_over: int
) -> WasteSplit:
    """Where the board area goes; the four parts add up to what is bought.

    Parameters
    ----------
    net_area_m2, board_area_m2
        Net floor, and the face of one board [m²].
    boards_needed, spares, boards_over
        Boards the plan is sawn from, boards kept spare, boards over because packs are whole.

    Examples
    --------
    >>> waste_split(6.0, 0.25, boards_needed=27, spares=2, boards_over=3)
    WasteSplit(net_area_m2=6.0, cutting_loss_m2=0.75, spares_m2=0.5, pack_rounding_m2=0.75)
    """
    return WasteSplit(
        net_area_m2,
        boards_needed * board_area_m2 - net_area_m2,
        spares * board_area_m2,
        boards_over * board_area_m2,
    )
