"""Surface tension after Dietzel: a glass in mol % and °C in, mN/m out.

    sigma = Σ factor × weight % − 0.04 × (T − 900)              T in °C, 900 to 1400

Made for glasses, glazes and enamels; the only one of the four with factors for zinc, lead, titania
and zirconia together. Source: A. Dietzel, 1942, Sprechsaal 75, 82, factors, from memory, those for
SrO, CoO, NiO and V2O5 unsure (`data/surface-tension-factors.csv`).
"""

from __future__ import annotations

from collections.abc import Mapping

from ..composition import weight_percent
from .factors import added_up, factors, quantities
from .outside import Outside
from .ranges import known_part, outside_temperatures

MODEL = "Dietzel"
FILE = "surface-tension-factors.csv"
REFERENCE_C = 900.0


def surface_tension(mol: Mapping[str, float], celsius: float) -> float | Outside:
    """Surface tension of the melt, mN/m."""
    if (out := outside_temperatures(MODEL, celsius)) is not None:
        return out
    by_oxide = factors(FILE, MODEL)
    parts = known_part(MODEL, mol, by_oxide)
    if isinstance(parts, Outside):
        return parts
    return added_up(weight_percent(parts.kept), by_oxide) + slope() * (celsius - REFERENCE_C)


def slope() -> float:
    """How surface tension falls as a melt grows hotter, mN/m per K (negative)."""
    return quantities(FILE, MODEL)["", "slope"]
