"""Surface tension after Kucuk 1999: a glass in mol % and °C in, mN/m out.

    sigma = 271.2 + Σ coefficient × mol %                       at 1400 °C

SiO2 and Na2O have no term: they count as nothing. ZnO, TiO2 and ZrO2 have none either, but were
not in the data: with more than 1 mol % of them it does not apply. Iron counts as FeO. The paper
gives 1400 °C only; other temperatures are reached by Dietzel's 4 mN/m less for each 100 °C.

Source: A. Kucuk, A. G. Clare and L. Jones, 1999, Glass Technology 40(5), 149-153, formula
(`data/surface-tension-factors.csv`).
"""

from __future__ import annotations

from collections.abc import Mapping

from ..composition import told_as
from . import dietzel
from .factors import added_up, factors, quantities
from .outside import Outside
from .ranges import known_part, outside_temperatures

MODEL = "Kucuk 1999"
FILE = "surface-tension-factors.csv"
REFERENCE_C = 1400.0


def surface_tension(mol: Mapping[str, float], celsius: float) -> float | Outside:
    """Surface tension of the melt, mN/m."""
    if (out := outside_temperatures(MODEL, celsius)) is not None:
        return out
    by_oxide = factors(FILE, MODEL)
    parts = known_part(MODEL, told_as(mol, "FeO", 2, "Fe2O3"), by_oxide)
    if isinstance(parts, Outside):
        return parts
    constant = quantities(FILE, MODEL)["", "constant"]
    return constant + added_up(parts.kept, by_oxide) + dietzel.slope() * (celsius - REFERENCE_C)
