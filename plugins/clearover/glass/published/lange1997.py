"""Density of a melt after Lange 1997: a glass in mol % and °C in, kg/m3 out.

    rho = Σ mol fraction × molar mass ÷ Σ mol fraction × (V + dV/dT × (T − 1400))      T in °C

SiO2, Al2O3, MgO, CaO, Na2O and K2O only. Source: R. A. Lange, 1997, “A revised model for the
density and thermal expansivity of K2O-Na2O-CaO-MgO-Al2O3-SiO2 liquids”, Contributions to Mineralogy
and Petrology 130, 1, partial molar volumes, from memory (`data/density-factors.csv`).
"""

from __future__ import annotations

from collections.abc import Mapping

from ...chemistry.oxides import to_weights
from .factors import added_up, factors, quantities
from .outside import Outside
from .ranges import known_part, outside_temperatures

MODEL = "Lange 1997"
FILE = "density-factors.csv"
REFERENCE_C = 1400.0


def density(mol: Mapping[str, float], celsius: float) -> float | Outside:
    """Density of the melt, kg/m3."""
    if (out := outside_temperatures(MODEL, celsius)) is not None:
        return out
    parts = known_part(MODEL, mol, factors(FILE, MODEL))
    if isinstance(parts, Outside):
        return parts
    grams = sum(to_weights(parts.kept).values())
    return 1000 * grams / added_up(parts.kept, volumes(celsius))


def volumes(celsius: float) -> dict[str, float]:
    """The partial volume of each oxide in a melt at this temperature, cm³/mol."""
    table = quantities(FILE, MODEL)
    return {
        oxide: volume + table[oxide, "slope"] / 1000 * (celsius - REFERENCE_C)
        for oxide, volume in factors(FILE, MODEL).items()
    }
