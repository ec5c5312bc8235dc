"""Everything a person can choose, as one frozen value that panels, notebook cells, sheets and tests share."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from flooring_kit.checks import require_between, require_one_of, require_whole
from flooring_kit.room import FLOORS_BELOW
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
class Warmth:
    """What lies under the floor and how warm the room is kept.

    Parameters
    ----------
    below
        "ground", "ventilated void" or "heated room"; None takes what the survey says.
    ground
        "clay or silt", "sand or gravel" or "rock".
    house_area_m2, exposed_perimeter_m
        The whole ground floor of the house and the length of its edge to the outside [m², m]; as it stands a house of
        8 by 6 m that stands alone. Measure yours.
    insulation_m2k_w
        What is in the floor already, screed and insulation, 0 to 10 [m²K/W].
    degree_days
        Heating degree days of a mild and of a hard year [K day].
    heat_price, heat_per_kwh_paid
        What a kWh of fuel or current costs, and how much heat it gives: a boiler 0.9, a heat pump about 3.
    room_c, humidity_fraction, outside_c
        Air in the room, and outside on a cold day [°C]; relative humidity in the room.
    """

    below: str | None = None
    ground: str = "clay or silt"
    house_area_m2: float = 48.0
    exposed_perimeter_m: float = 28.0
    insulation_m2k_w: float = 0.0
    degree_days: tuple[float, float] = (1800.0, 2400.0)
    heat_price: float = 0.08
    heat_per_kwh_paid: float = 0.9
    room_c: float = 20.0
    humidity_fraction: float = 0.5
    outside_c: float = -3.0

    def __post_init__(self) -> None:
        if self.below is not None:
            require_one_of(self.below, FLOORS_BELOW, "what lies below")
        require_between(self.insulation_m2k_w, 0, 10, "insulation in the floor", unit="m²K/W")
        require_between(self.room_c, 5, 30, "air in the room", unit="°C")
        require_between(self.humidity_fraction, 0.05, 0.95, "humidity in the room", hint="Write 50 % as 0.5.")
        require_between(self.outside_c, -40, 20, "air outside", unit="°C")

    @property
    def usual_degree_days(self) -> float:
        """Heating degree days of a usual year, half-way between a mild and a hard one [K day]."""
        return sum(self.degree_days) / 2

    def of_usual_year(self, degree_days: float) -> Warmth:
        """The same with other degree days: a mild and a hard year lie a seventh away from a usual one. From memory."""
        return replace(self, degree_days=(degree_days * 6 / 7, degree_days * 8 / 7))


@dataclass(frozen=True)
class Heated:
    """Pipes in a heated floor, and what the room asks of them.

    Parameters
    ----------
    spacing_mm, pipe_diameter_mm, cover_mm, conductivity_w_mk
        Pipes and screed, as for :class:`flooring_kit.heated_floors.Heating`.
    flow_c, return_c
        Water in and out [°C].
    wanted_w_m2
        Heat the room needs [W/m²].
    zone
        "occupied", "perimeter" or "bathroom".
    """

    spacing_mm: float = 150.0
    pipe_diameter_mm: float = 16.0
    cover_mm: float = 45.0
    conductivity_w_mk: float = 1.2
    flow_c: float = 40.0
    return_c: float = 35.0
    wanted_w_m2: float = 50.0
    zone: str = "occupied"

    def with_flow(self, flow_c: float) -> Heated:
        """The same with warmer or cooler water, which cools by as much on its way."""
        return replace(self, flow_c=flow_c, return_c=flow_c - (self.flow_c - self.return_c))


@dataclass(frozen=True)
class Air:
    """Air of the room through the year, and the text whose limits for damp hold.

    Parameters
    ----------
    today_percent, driest_percent, dampest_percent
        Relative humidity on the laying day, and in the driest and the dampest weeks, 30 to 90 [%].
    room_c
        Air in the room, 5 to 30 [°C].
    screed
        "cement screed" or "calcium sulphate screed", for a subfloor of screed.
    edition
        The text whose limit for the subfloor's moisture holds, one of those of :mod:`flooring_kit.moisture`.
    """

    today_percent: float = 50.0
    driest_percent: float = 35.0
    dampest_percent: float = 65.0
    room_c: float = 20.0
    screed: str = "cement screed"
    edition: str = "BS 8203 and BS 8204"

    def __post_init__(self) -> None:
        hint = "Write 50 % as 50."
        for percent, words in (
            (self.today_percent, "humidity today"),
            (self.driest_percent, "driest humidity"),
            (self.dampest_percent, "dampest humidity"),
        ):
            require_between(percent, 30, 90, words, unit="%", hint=hint)
        require_between(self.room_c, 5, 30, "air in the room", unit="°C")
        require_one_of(self.screed, ("cement screed", "calcium sulphate screed"), "screed")


@dataclass(frozen=True)
class Work:
    """What the work costs, and which of it is wanted.

    Parameters
    ----------
    hourly_rate
        Price of an hour before tax, 0 to 1000; None where nobody is paid for it.
    first_timer
        Whether it is done for the first time: about twice the hours.
    level_to
        "no", "flat" or "level": whether the subfloor is levelled, where its levels were read.
    disposal_price
        Price before tax of taking away a m² of old covering, 0 to 1000; None where it is not known.
    """

    hourly_rate: float | None = None
    first_timer: bool = False
    level_to: str = "no"
    disposal_price: float | None = 2.5

    def __post_init__(self) -> None:
        for price, words in ((self.hourly_rate, "price of an hour"), (self.disposal_price, "price of disposal")):
            if price is not None:
                require_between(price, 0, 1000, words)
        require_one_of(self.level_to, ("no", "flat", "level"), "levelling")


@dataclass(frozen=True)
class Choices:
    """All choices for one room."""

    materials: Materials
    laying: Laying = field(default_factory=Laying)
    buying: Buying = field(default_factory=Buying)
    warmth: Warmth = field(default_factory=Warmth)
    heated: Heated = field(default_factory=Heated)
    air: Air = field(default_factory=Air)
    work: Work = field(default_factory=Work)
    version: int = CHOICES_VERSION
