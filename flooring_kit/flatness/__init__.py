"""How flat a subfloor is, and what it takes to level it."""

from flooring_kit.flatness.compound import (
    Levelling,
    bags_by_coverage,
    compound,
    levelling,
    ramp_litres,
    threshold_depths,
)
from flooring_kit.flatness.limits import (
    CLASS_EDGE_MM,
    CLASSES_MM,
    FLOATING_FLOOR_MM,
    TRADE_LIMITS_MM,
    din_18202_limit_mm,
    flatness_class,
    readings_needed,
)
from flooring_kit.flatness.straightedge import (
    FlatnessMap,
    flatness_map,
    middle_gap_mm,
    straightedge_gap_mm,
    straightedge_sentences,
)
from flooring_kit.flatness.surface import Surface, readings_table, surface_of

__all__ = [
    "CLASSES_MM",
    "CLASS_EDGE_MM",
    "FLOATING_FLOOR_MM",
    "TRADE_LIMITS_MM",
    "FlatnessMap",
    "Levelling",
    "Surface",
    "bags_by_coverage",
    "compound",
    "din_18202_limit_mm",
    "flatness_class",
    "flatness_map",
    "levelling",
    "middle_gap_mm",
    "ramp_litres",
    "readings_needed",
    "readings_table",
    "straightedge_gap_mm",
    "straightedge_sentences",
    "surface_of",
    "threshold_depths",
]
