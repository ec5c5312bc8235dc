"""Everything a person can choose, as one frozen value that panels, notebook cells, sheets and tests share."""

from __future__ import annotations

from dataclasses import dataclass, field

from flooring_kit.checks import require_between, require_whole
from flooring_kit.rules import Direction, LayingRules, Start

CHOICES_VERSION = 1


@dataclass(frozen=True)
class Materials:
    """Names of the chosen products, as in the product tables."""

    board: str
    underlay: str
    trim: str | None = None


@dataclass(frozen=True)
class Laying:
    """How the boards run and by which rules.

    Parameters
    ----------
    direction
        "long", "short", or degrees anticlockwise from +x.
    start
        One of the two start corners: "first" or "opposite".
    first_row_width_mm
        Width of the row at the start wall [mm]; None lets the kit choose.
    rules
        Laying rules.
    seed
        Another whole number gives another, equally good plan.
    """

    direction: Direction = "long"
    start: Start = "first"
    first_row_width_mm: float | None = None
    rules: LayingRules = field(default_factory=LayingRules)
    seed: int = 0


@dataclass(frozen=True)
class Buying:
    """What is bought beyond the plan, and tax.

    Parameters
    ----------
    miscut_fraction
        Boards for miscuts and damage as a share of the plan, 0 to 0.5.
    least_miscuts
        At least so many boards for miscuts.
    kept_for_repairs
        Boards kept for later repairs.
    underlay_spare_fraction
        Underlay beyond the net area, 0 to 0.5.
    tax_fraction
        Tax on prices, 0 to 0.5; 0.2 for 20 %.
    currency
        Sign put before amounts.
    """

    miscut_fraction: float = 0.02
    least_miscuts: int = 2
    kept_for_repairs: int = 0
    underlay_spare_fraction: float = 0.0
    tax_fraction: float = 0.20
    currency: str = "£"

    def __post_init__(self) -> None:
        require_between(self.miscut_fraction, 0, 0.5, "miscuts", hint="Write 2 % as 0.02.")
        for name, words in (
            ("least_miscuts", "least boards for miscuts"),
            ("kept_for_repairs", "boards kept for repairs"),
        ):
            object.__setattr__(self, name, require_whole(getattr(self, name), 0, 100, words))  # 2.0 typed for 2
        require_between(self.underlay_spare_fraction, 0, 0.5, "underlay spare", hint="Write 5 % as 0.05.")
        require_between(self.tax_fraction, 0, 0.5, "tax", hint="Write 20 % as 0.20.")


@dataclass(frozen=True)
class Choices:
    """All choices for one room."""

    materials: Materials
    laying: Laying = field(default_factory=Laying)
    buying: Buying = field(default_factory=Buying)
    version: int = CHOICES_VERSION
