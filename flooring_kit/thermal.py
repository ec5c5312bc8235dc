"""Thermal resistance of what lies on the subfloor, in m²K/W and in tog."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from flooring_kit.checks import require_between
from flooring_kit.products import Material

M2K_W_PER_TOG = 0.1
"""1 tog is 0.1 m²K/W exactly (GNU Units 2.22, `tog`; BS 4745)."""


def tog(resistance_m2k_w: float) -> float:
    """Thermal resistance in tog.

    >>> round(tog(0.15), 6)
    1.5
    """
    return resistance_m2k_w / M2K_W_PER_TOG


def layer_resistance_m2k_w(thickness_mm: float, conductivity_w_mk: float) -> float:
    """Thermal resistance of one even layer, R = d / lambda (ISO 6946) [m²K/W].

    Parameters
    ----------
    thickness_mm
        [mm], 0 to 1000.
    conductivity_w_mk
        Thermal conductivity [W/(m K)], 0.005 to 400.

    Raises
    ------
    ValueError
        Outside those ranges.

    Examples
    --------
    8 mm of fibreboard of 800 kg/m³, lambda 0.18 by ISO 10456:

    >>> round(layer_resistance_m2k_w(8, 0.18), 4)
    0.0444
    """
    require_between(thickness_mm, 0, 1000, "layer thickness", unit="mm")
    require_between(conductivity_w_mk, 0.005, 400, "conductivity", unit="W/mK")
    return thickness_mm / 1000 / conductivity_w_mk


def material_layer(material: Material, thickness_mm: float) -> tuple[str, float]:
    """A layer of one material, named with its thickness, and its resistance [m²K/W].

    Parameters
    ----------
    material
        From the table of materials, by its exact name.
    thickness_mm
        [mm], 0 to 1000.

    Examples
    --------
    >>> name, resistance = material_layer(Material("plywood, 500 kg/m³", 0.13), 18)
    >>> name, round(resistance, 4)
    ('18 mm plywood, 500 kg/m³', 0.1385)
    """
    return f"{thickness_mm:g} mm {material.name}", layer_resistance_m2k_w(thickness_mm, material.conductivity_w_mk)


@dataclass(frozen=True)
class BuildUp:
    """Layers laid on one another.

    Parameters
    ----------
    resistance_m2k_w
        Sum over the layers whose resistance is known [m²K/W].
    missing
        Names of the layers whose resistance is not known.
    """

    resistance_m2k_w: float
    missing: tuple[str, ...] = ()

    @property
    def tog(self) -> float:
        """The sum in tog."""
        return tog(self.resistance_m2k_w)


def build_up(layers: Sequence[tuple[str, float | None]]) -> BuildUp:
    """Resistances added up; layers without a figure are named, not guessed.

    Parameters
    ----------
    layers
        (name, resistance [m²K/W] or None) from the subfloor upwards.

    Examples
    --------
    >>> build_up([("foam", 0.075), ("laminate", 0.055)]).tog
    1.3
    >>> build_up([("foam", 0.075), ("old sheet", None)]).missing
    ('old sheet',)
    """
    total = 0.0
    missing = []
    for name, resistance in layers:
        if resistance is None:
            missing.append(name)
        else:
            require_between(resistance, 0, 10, f"{name}: thermal resistance", unit="m²K/W")
            total += resistance
    return BuildUp(total, tuple(missing))
