"""Density of a cold glass by weight factors: a glass in mol % in, kg/m3 out. Two models.

    rho = 100 ÷ Σ weight % ÷ factor                             at room temperature

Sources: A. Winkelmann and O. Schott, 1894 (no factor for Li2O, SrO, TiO2, ZrO2); S. English and
W. E. S. Turner (soda, lime, magnesia, alumina and zinc glasses only). `data/density-factors.csv`.
"""

from __future__ import annotations

from collections.abc import Mapping

from ..composition import weight_percent
from .factors import factors
from .outside import Outside
from .ranges import known_part

FILE = "density-factors.csv"


def winkelmann_schott(mol: Mapping[str, float]) -> float | Outside:
    """Density of the glass at room temperature, kg/m3."""
    return _by_weight("Winkelmann-Schott", mol)


def english_turner(mol: Mapping[str, float]) -> float | Outside:
    """Density of the glass at room temperature, kg/m3."""
    return _by_weight("English-Turner", mol)


def _by_weight(model: str, mol: Mapping[str, float]) -> float | Outside:
    by_oxide = factors(FILE, model)
    parts = known_part(model, mol, by_oxide)
    if isinstance(parts, Outside):
        return parts
    litres = sum(weight / by_oxide[oxide] for oxide, weight in weight_percent(parts.kept).items())
    return 1000 * 100 / litres
