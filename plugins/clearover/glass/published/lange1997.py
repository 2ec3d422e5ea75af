"""Density of a melt after Lange 1997: a glass in mol % and °C in, kg/m3 out.

    rho = Σ mol fraction × molar mass ÷ Σ mol fraction × (V + dV/dT × (T − 1400))      T in °C

SiO2, Al2O3, MgO, CaO, Na2O and K2O only. Source: R. A. Lange, 1997, “A revised model for the
density and thermal expansivity of K2O-Na2O-CaO-MgO-Al2O3-SiO2 liquids”, Contributions to Mineralogy
and Petrology 130, 1, partial molar volumes, from memory (`data/density-factors.csv`).
"""

from __future__ import annotations

from collections.abc import Mapping

from ...chemistry.oxides import to_weights
from .factors import factors, quantities
from .outside import Outside
from .ranges import known_part, outside_temperatures

MODEL = "Lange 1997"
FILE = "density-factors.csv"
REFERENCE_C = 1400.0


def density(mol: Mapping[str, float], celsius: float) -> float | Outside:
    """Density of the melt, kg/m3."""
    if (out := outside_temperatures(MODEL, celsius)) is not None:
        return out
    volumes = factors(FILE, MODEL)
    parts = known_part(MODEL, mol, volumes)
    if isinstance(parts, Outside):
        return parts
    table = quantities(FILE, MODEL)
    warmer = celsius - REFERENCE_C
    volume = sum(
        share * (volumes[oxide] + table[oxide, "slope"] / 1000 * warmer)
        for oxide, share in parts.kept.items()
    )
    return 1000 * sum(to_weights(parts.kept).values()) / volume
