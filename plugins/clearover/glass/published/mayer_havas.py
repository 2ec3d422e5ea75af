"""Expansion after Mayer and Havas: a glass in mol % in, linear expansion in 1e-6/K out.

    3 alpha = Σ factor × weight %                   cubic factors, mean from about 20 to 100 °C

Made for enamels and used for glazes; extends Winkelmann and Schott by TiO2, ZrO2 and the colouring
oxides. Source: M. Mayer and B. Havas, 1911, Sprechsaal 44, from memory, several factors unsure
(`known` in `data/expansion-factors.csv`). No range of composition is known beyond the oxides
themselves.
"""

from __future__ import annotations

from collections.abc import Mapping

from .by_weight import by_weight
from .outside import Outside

MODEL = "Mayer-Havas"


def expansion(mol: Mapping[str, float]) -> float | Outside:
    """Mean linear expansion from about 20 to 100 °C, 1e-6/K."""
    return by_weight(MODEL, mol, parts=3)
