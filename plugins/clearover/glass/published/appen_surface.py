"""Surface tension after Appen: a glass in mol % and °C in, mN/m out.

    sigma = Σ factor × mol fraction − 0.02 × (T − 1300)         T in °C

The factors hold at 1300 °C. K2O, PbO, B2O3, P2O5, V2O5 and Sb2O3 gather at the surface; Appen
gives no constant factor for them, so the sum does not apply above 1 mol % of them together.
Source: A. A. Appen, 1970, “Chemistry of Glass”, partial surface tensions, from memory; the slope
from memory and unsure (`data/surface-tension-factors.csv`).
"""

from __future__ import annotations

from collections.abc import Mapping

from .factors import added_up, factors, quantities
from .outside import Outside
from .ranges import known_part, outside_temperatures

MODEL = "Appen surface tension"
FILE = "surface-tension-factors.csv"
REFERENCE_C = 1300.0


def surface_tension(mol: Mapping[str, float], celsius: float) -> float | Outside:
    """Surface tension of the melt, mN/m."""
    if (out := outside_temperatures(MODEL, celsius)) is not None:
        return out
    by_oxide = factors(FILE, MODEL)
    parts = known_part(MODEL, mol, by_oxide)
    if isinstance(parts, Outside):
        return parts
    slope = quantities(FILE, MODEL)["", "slope"]
    return added_up(parts.kept, by_oxide) / 100 + slope * (celsius - REFERENCE_C)
