"""Surface tension after Lyon: a glass in mol % and °C in, mN/m out.

    sigma = Σ factor × weight %         factors at 1200 and at 1400 °C, a straight line through both

No factor for ZnO, PbO, SrO or TiO2. Source: K. C. Lyon, 1944, “Calculation of surface tensions of
glasses”, Journal of the American Ceramic Society 27, 186-189, factors, from memory, those for K2O
unsure (`data/surface-tension-factors.csv`).
"""

from __future__ import annotations

from collections.abc import Mapping

from ..composition import weight_percent
from .factors import quantities
from .outside import Outside
from .ranges import known_part, outside_temperatures

MODEL = "Lyon"
FILE = "surface-tension-factors.csv"
LOWER_C, UPPER_C = 1200.0, 1400.0


def surface_tension(mol: Mapping[str, float], celsius: float) -> float | Outside:
    """Surface tension of the melt, mN/m."""
    if (out := outside_temperatures(MODEL, celsius)) is not None:
        return out
    table = quantities(FILE, MODEL)
    parts = known_part(MODEL, mol, {oxide for oxide, _ in table})
    if isinstance(parts, Outside):
        return parts
    low, high = (
        sum(w * table[o, f"factor at {t:g}"] for o, w in weight_percent(parts.kept).items())
        for t in (LOWER_C, UPPER_C)
    )
    return low + (high - low) * (celsius - LOWER_C) / (UPPER_C - LOWER_C)
