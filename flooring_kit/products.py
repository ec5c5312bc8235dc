"""Boards, underlays, trims, door bars and sundries, as their labels and leaflets describe them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, TypeVar

from flooring_kit.checks import (
    nearest_hint,
    require_between,
    require_one_of,
    require_tenths,
    require_text,
    require_truth,
    require_whole,
    require_zero_or,
    size_hint,
)

Hand = Literal["right", "left"]
Lock = Literal["tongue", "groove"]
Product = TypeVar("Product")

BOARD_KINDS = ("laminate", "engineered", "vinyl", "solid")
UNDERLAY_KINDS = ("foam", "fibre board", "rubber", "cork")
UNDERLAY_FORMS = ("roll", "sheets", "fold-out")
TRIM_MATERIALS = ("MDF", "plastic", "timber")
TRIM_FINISHES = ("white", "floor match", "to paint")
LOCKS: tuple[Lock, Lock] = ("tongue", "groove")
BAR_KINDS = ("level", "ramp", "single edge", "end")
SUNDRY_USES = {
    "vapour sheet": "m²",
    "joint tape": "m",
    "wall spacers": "pieces",
    "board glue": "m of joint",
    "pipe collars": "pieces",
    "pipe sleeves": "pieces",
    "flexible filler": "m of gap",
    "trim pins": "pieces",
    "trim adhesive": "m of trim",
    "levelling compound": "m² at 1 mm",
    "moisture test": "tests",
    "saw blades": "cuts",
}
"""What a sundry is for, and the unit in which it is counted."""


LENGTHS_MM, WIDTHS_MM = (200, 5000), (40, 600)
"""Face sizes boards come in, with room to spare."""

SWAP = "Swap length and width."


@dataclass(frozen=True)
class Board:
    """A click board sold in packs of one length.

    Parameters
    ----------
    name
        The product's name, as on the order.
    length_mm, width_mm
        Face size, lock excluded [mm, whole tenths], 200 to 5000 by 40 to 600.
    thickness_mm
        [mm], 1 to 40.
    boards_per_pack
        Boards in a pack, 1 to 100.
    pack_price
        Price of a pack before tax [currency], or None where it is not known.
    resistance_m2k_w
        Declared thermal resistance [m²K/W], or None where it is not declared.
    kind
        One of `BOARD_KINDS`.
    hand
        "right": facing the start wall, boards are laid left to right. "left": the mirror image.
    mixed_lengths
        Whether a pack holds boards of several lengths; such boards can't be set out beforehand.
    least_gap_mm, least_joint_offset_mm, shortest_piece_mm
        What the leaflet asks for [mm]; 0 where it says nothing.
    longest_along_mm, longest_across_mm
        Longest floor without a break, along and across the boards [mm].
    source
        Where the figures come from.
    row_start_lock, start_wall_lock
        "tongue" or "groove": the lock at the end towards the start of its row, and at the edge towards the start
        wall. Tongues there, pushed into boards already laid, are common practice, no source.
    gap_mm_per_m, gap_counts_from_mm
        What the leaflet adds to its least gap [mm] for every metre of floor beyond so many [mm]; 0 where it says
        nothing.
    """

    name: str
    length_mm: float
    width_mm: float
    thickness_mm: float
    boards_per_pack: int
    pack_price: float | None = None
    resistance_m2k_w: float | None = None
    kind: str = "laminate"
    hand: Hand = "right"
    mixed_lengths: bool = False
    least_gap_mm: float = 0.0
    least_joint_offset_mm: float = 0.0
    shortest_piece_mm: float = 0.0
    longest_along_mm: float = 12_000.0
    longest_across_mm: float = 8_000.0
    source: str = ""
    row_start_lock: Lock = "tongue"
    start_wall_lock: Lock = "tongue"
    gap_mm_per_m: float = 0.0
    gap_counts_from_mm: float = 0.0

    def __post_init__(self) -> None:
        who = f"board {self.name!r}:"
        require_text(self.name, "name of a board")
        swapped = _swap_hint(self.length_mm, self.width_mm)
        for size, low, high, word in ((self.length_mm, *LENGTHS_MM, "length"), (self.width_mm, *WIDTHS_MM, "width")):
            hint = swapped or size_hint(size, low, high)
            require_between(size, low, high, f"{who} {word}", unit="mm", hint=hint)
        require_between(self.thickness_mm, 1, 40, f"{who} thickness", unit="mm")
        whole = require_whole(self.boards_per_pack, 1, 100, f"{who} boards per pack")
        object.__setattr__(self, "boards_per_pack", whole)  # 8.0 typed for 8
        require_tenths(self.length_mm, f"{who} length")
        require_tenths(self.width_mm, f"{who} width")
        if self.width_mm > self.length_mm:
            raise ValueError(
                f"{who} width must be at most the length, got {self.width_mm:g} mm wide and "
                f"{self.length_mm:g} mm long. Swap the two."
            )
        if self.pack_price is not None:
            require_between(self.pack_price, 0, 100_000, f"{who} pack price")
        if self.resistance_m2k_w is not None:
            _require_resistance(self.resistance_m2k_w, who)
        require_one_of(self.kind, BOARD_KINDS, f"{who} kind")
        require_one_of(self.hand, ("right", "left"), f"{who} hand")
        require_truth(self.mixed_lengths, f"{who} mixed_lengths")
        require_one_of(self.row_start_lock, LOCKS, f"{who} lock at the row's start")
        require_one_of(self.start_wall_lock, LOCKS, f"{who} lock towards the start wall")
        # about a thousandth of the most a rule may be, and not 0, was meant in metres
        require_zero_or(self.least_gap_mm, 0.05, 2000, f"{who} least gap")
        require_zero_or(self.least_joint_offset_mm, 1, 2000, f"{who} least joint offset")
        require_zero_or(self.shortest_piece_mm, 1, 2000, f"{who} shortest piece")
        for limit, words in (
            (self.longest_along_mm, "longest floor along the boards"),
            (self.longest_across_mm, "longest floor across the boards"),
        ):
            require_between(limit, 1000, 100_000, f"{who} {words}", unit="mm")
        require_between(self.gap_mm_per_m, 0, 10, f"{who} gap for every metre", unit="mm")
        require_between(self.gap_counts_from_mm, 0, 100_000, f"{who} gap counts from", unit="mm")

    @property
    def end_locks(self) -> tuple[Lock, Lock]:
        """Locks at the end towards the row's start and at the other end."""
        return _with_other(self.row_start_lock)

    @property
    def edge_locks(self) -> tuple[Lock, Lock]:
        """Locks at the edge towards the start wall and at the other edge."""
        return _with_other(self.start_wall_lock)

    @property
    def area_m2(self) -> float:
        """Face area of one board [m²]."""
        return self.length_mm * self.width_mm / 1e6

    @property
    def pack_area_m2(self) -> float:
        """Face area of one pack [m²]."""
        return self.area_m2 * self.boards_per_pack


def _swap_hint(length_mm: object, width_mm: object) -> str:
    """A closing sentence where the two sizes would do the other way round, and nothing where they would not."""
    if not isinstance(length_mm, int | float) or not isinstance(width_mm, int | float):
        return ""
    would_do = LENGTHS_MM[0] <= width_mm <= LENGTHS_MM[1] and WIDTHS_MM[0] <= length_mm <= WIDTHS_MM[1]
    return SWAP if would_do and width_mm > length_mm else ""


@dataclass(frozen=True)
class Underlay:
    """An underlay sold in packs, rolls or boxes of a stated area.

    Parameters
    ----------
    name
        The product's name.
    kind
        One of `UNDERLAY_KINDS`.
    thickness_mm
        [mm], 0.5 to 30.
    pack_area_m2
        Area one pack covers [m²].
    pack_price
        Price of a pack before tax [currency], or None.
    resistance_m2k_w
        Declared thermal resistance [m²K/W], or None.
    compressive_strength_kpa
        CS by EN 16354 [kPa at 0.5 mm], or None.
    impact_sound_db
        Declared impact sound reduction IS [dB], or None.
    vapour_sheet
        Whether a vapour sheet is part of it.
    form
        One of `UNDERLAY_FORMS`; a fold-out pack is one long piece like a roll.
    piece_length_mm, piece_width_mm
        Size of one roll, sheet or fold-out piece [mm], 200 to 100 000 by 200 to 3000; None where it is not known.
    source
        Where the figures come from.
    """

    name: str
    kind: str
    thickness_mm: float
    pack_area_m2: float
    pack_price: float | None = None
    resistance_m2k_w: float | None = None
    compressive_strength_kpa: float | None = None
    impact_sound_db: float | None = None
    vapour_sheet: bool = False
    source: str = ""
    form: str = "roll"
    piece_length_mm: float | None = None
    piece_width_mm: float | None = None

    def __post_init__(self) -> None:
        who = f"underlay {self.name!r}:"
        require_text(self.name, "name of an underlay")
        require_truth(self.vapour_sheet, f"{who} vapour_sheet")
        require_one_of(self.kind, UNDERLAY_KINDS, f"{who} kind")
        require_between(self.thickness_mm, 0.5, 30, f"{who} thickness", unit="mm")
        require_between(self.pack_area_m2, 0.1, 200, f"{who} pack area", unit="m²")
        if self.pack_price is not None:
            require_between(self.pack_price, 0, 100_000, f"{who} pack price")
        if self.resistance_m2k_w is not None:
            _require_resistance(self.resistance_m2k_w, who)
        if self.compressive_strength_kpa is not None:
            require_between(self.compressive_strength_kpa, 0.1, 5000, f"{who} compressive strength", unit="kPa")
        if self.impact_sound_db is not None:
            require_between(self.impact_sound_db, 0, 60, f"{who} impact sound reduction", unit="dB")
        require_one_of(self.form, UNDERLAY_FORMS, f"{who} form")
        if self.piece_length_mm is not None:
            require_between(self.piece_length_mm, 200, 100_000, f"{who} length of a piece", unit="mm")
        if self.piece_width_mm is not None:
            require_between(self.piece_width_mm, 200, 3000, f"{who} width of a piece", unit="mm")
        if self.piece_area_m2 > self.pack_area_m2 * 1.01:
            raise ValueError(
                f"{who} one piece of {self.piece_area_m2:g} m² is larger than the pack of {self.pack_area_m2:g} m². "
                "Sizes of a piece are in mm."
            )

    @property
    def piece_area_m2(self) -> float:
        """Area of one piece [m²]; 0 where its size is not known."""
        return (self.piece_length_mm or 0.0) * (self.piece_width_mm or 0.0) / 1e6

    @property
    def pieces_per_pack(self) -> int:
        """Pieces in a pack, as its area tells: 1 for a roll; 0 where the size of a piece is not known."""
        return round(self.pack_area_m2 / self.piece_area_m2) if self.piece_area_m2 else 0

    @property
    def piece_word(self) -> str:
        """What one piece is called: a roll, a sheet, or for a fold-out a pack."""
        return {"roll": "roll", "sheets": "sheet", "fold-out": "pack"}[self.form]

    @property
    def laid_ahead(self) -> bool:
        """Whether it is laid a strip ahead of the boards, since feet crush it. Common practice, no source."""
        return self.kind == "foam"


@dataclass(frozen=True)
class Trim:
    """A bead that covers the gap at the skirting, sold in stock lengths.

    Parameters
    ----------
    name
        The product's name.
    foot_mm
        Width that lies on the floor [mm], 5 to 80.
    height_mm
        Height against the skirting [mm], 5 to 150.
    length_mm
        Stock length [mm], 500 to 6000.
    price
        Price of one length before tax [currency], or None.
    material
        One of `TRIM_MATERIALS`.
    source
        Where the figures come from.
    profile
        The bead it is a length of: trims of one profile differ in length and price alone, and are cut together;
        "" for its own name.
    finish
        One of `TRIM_FINISHES`.
    bend_radius_mm
        Smallest radius it bends round, 50 to 20 000 [mm]; None for a trim that does not bend.
    """

    name: str
    foot_mm: float
    height_mm: float
    length_mm: float
    price: float | None = None
    material: str = "MDF"
    source: str = ""
    profile: str = ""
    finish: str = "white"
    bend_radius_mm: float | None = None

    def __post_init__(self) -> None:
        who = f"trim {self.name!r}:"
        require_text(self.name, "name of a trim")
        require_between(self.foot_mm, 5, 80, f"{who} foot", unit="mm")
        require_between(self.height_mm, 5, 150, f"{who} height", unit="mm")
        require_between(
            self.length_mm, 500, 6000, f"{who} length", unit="mm", hint="Lengths are in mm: write 2400 for 2.4 m."
        )
        if self.price is not None:
            require_between(self.price, 0, 10_000, f"{who} price")
        require_one_of(self.material, TRIM_MATERIALS, f"{who} material")
        require_one_of(self.finish, TRIM_FINISHES, f"{who} finish")
        if self.bend_radius_mm is not None:
            require_between(self.bend_radius_mm, 50, 20_000, f"{who} bend radius", unit="mm")

    @property
    def bead(self) -> str:
        """The bead it is a length of: its profile, or its own name where nothing is said."""
        return self.profile or self.name


@dataclass(frozen=True)
class DoorBar:
    """A bar that closes the floor in a doorway.

    Parameters
    ----------
    name
        The product's name.
    kind
        One of `BAR_KINDS`: level, ramp, single edge, end.
    length_mm
        Stock length [mm], 300 to 6000.
    least_step_mm, most_step_mm
        Step in height the bar takes up [mm].
    price
        Price of one length before tax [currency], or None.
    source
        Where the figures come from.
    """

    name: str
    kind: str
    length_mm: float
    least_step_mm: float = 0.0
    most_step_mm: float = 3.0
    price: float | None = None
    source: str = ""

    def __post_init__(self) -> None:
        who = f"door bar {self.name!r}:"
        require_text(self.name, "name of a door bar")
        require_one_of(self.kind, BAR_KINDS, f"{who} kind")
        require_between(self.length_mm, 300, 6000, f"{who} length", unit="mm")
        require_between(self.least_step_mm, 0, 50, f"{who} least step", unit="mm")
        require_between(self.most_step_mm, self.least_step_mm, 50, f"{who} most step", unit="mm")
        if self.price is not None:
            require_between(self.price, 0, 10_000, f"{who} price")


@dataclass(frozen=True)
class Sundry:
    """Anything else on the order, with the rule it is counted by.

    Parameters
    ----------
    name
        The product's name.
    sold_as
        The unit on the shelf: "pack of 20", "tube", "roll of 50 m".
    price
        Price of one unit before tax [currency], or None.
    counted_by
        The rule of thumb, in words.
    source
        Where the figures come from.
    use
        One of `SUNDRY_USES`, "" for anything else, which is listed but not counted.
    pack_holds
        How much one unit on the shelf holds, in the unit of its use; None where it is not counted.
    width_mm
        Width of a sheet or a tape, 20 to 6000 [mm].
    fits_mm, outside_mm
        Of a pipe collar: the pipe it goes round, and its outside diameter, 4 to 400 [mm].
    """

    name: str
    sold_as: str
    price: float | None = None
    counted_by: str = ""
    source: str = ""
    use: str = ""
    pack_holds: float | None = None
    width_mm: float | None = None
    fits_mm: float | None = None
    outside_mm: float | None = None

    def __post_init__(self) -> None:
        who = f"sundry {self.name!r}:"
        require_text(self.name, "name of a sundry")
        if self.price is not None:
            require_between(self.price, 0, 10_000, f"{who} price")
        if self.use:
            require_one_of(self.use, SUNDRY_USES, f"{who} use")
        if self.pack_holds is not None:
            require_between(self.pack_holds, 0.01, 100_000, f"{who} pack holds")
        if self.width_mm is not None:
            require_between(self.width_mm, 20, 6000, f"{who} width", unit="mm")
        for size, words in ((self.fits_mm, "pipe it fits"), (self.outside_mm, "outside diameter")):
            if size is not None:
                require_between(size, 4, 400, f"{who} {words}", unit="mm")


@dataclass(frozen=True)
class Material:
    """A building material, for layers whose resistance is not declared.

    Parameters
    ----------
    name
        The material, with its density where several are tabulated.
    conductivity_w_mk
        Thermal conductivity, 0.005 to 400 [W/(m K)].
    density_kg_m3
        [kg/m³], 1 to 20 000, or None.
    source
        Where the figure comes from.
    """

    name: str
    conductivity_w_mk: float
    density_kg_m3: float | None = None
    source: str = ""

    def __post_init__(self) -> None:
        who = f"material {self.name!r}:"
        require_text(self.name, "name of a material")
        require_between(self.conductivity_w_mk, 0.005, 400, f"{who} conductivity", unit="W/mK")
        if self.density_kg_m3 is not None:
            require_between(self.density_kg_m3, 1, 20_000, f"{who} density", unit="kg/m³")


def _with_other(lock: Lock) -> tuple[Lock, Lock]:
    return (lock, "groove" if lock == "tongue" else "tongue")


def _require_resistance(resistance_m2k_w: float, who: str) -> None:
    require_between(
        resistance_m2k_w,
        0,
        1,
        f"{who} thermal resistance",
        unit="m²K/W",
        hint="1 tog is 0.1 m²K/W.",
    )


@dataclass(frozen=True)
class Catalogue:
    """The products there are to choose from, by name."""

    boards: Mapping[str, Board]
    underlays: Mapping[str, Underlay]
    trims: Mapping[str, Trim] = field(default_factory=dict)
    bars: Mapping[str, DoorBar] = field(default_factory=dict)
    sundries: Mapping[str, Sundry] = field(default_factory=dict)

    def board(self, name: str) -> Board:
        """The board of that name; ValueError with the nearest name otherwise."""
        return _chosen(self.boards, name, "board")

    def underlay(self, name: str) -> Underlay:
        """The underlay of that name; ValueError with the nearest name otherwise."""
        return _chosen(self.underlays, name, "underlay")

    def trim(self, name: str | None) -> Trim | None:
        """The trim of that name, or None for None; ValueError with the nearest name otherwise."""
        return None if name is None else _chosen(self.trims, name, "trim")


def _chosen(products: Mapping[str, Product], name: str, kind: str) -> Product:
    if name not in products:
        raise NotThereError(products, name, kind)
    return products[name]


class NotThereError(ValueError, KeyError):
    """A name that nothing of its kind has; the message tells the names there are, and the nearest."""

    def __init__(self, things: Mapping[str, object], name: object, kind: str) -> None:
        names = ", ".join(things) or "none"
        self.message = f"There is no {kind} {name!r}. There are: {names}.{nearest_hint(name, things)}"
        super().__init__(self.message)

    def __str__(self) -> str:
        return self.message  # KeyError alone would put it in quotes


class ByName(dict[str, Product]):
    """Things by name, in order: a name that none has is refused with the names there are.

    >>> ByName("board", {"Oak": 1, "Ash": 2})["oak"]
    Traceback (most recent call last):
        ...
    flooring_kit.products.NotThereError: There is no board 'oak'. There are: Oak, Ash. Did you mean 'Oak'?
    """

    def __init__(self, kind: str, things: Mapping[str, Product]) -> None:
        super().__init__(things)
        self.kind = kind

    def __missing__(self, name: object) -> Product:
        raise NotThereError(self, name, self.kind)

    def __reduce__(self) -> tuple[type[ByName[Product]], tuple[str, dict[str, Product]]]:
        return type(self), (self.kind, dict(self))
