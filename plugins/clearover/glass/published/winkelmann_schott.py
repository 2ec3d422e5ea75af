"""Expansion after Winkelmann and Schott: a glass in mol % in, linear expansion in 1e-6/K out.

    3 alpha = Σ factor × weight %                   cubic factors, mean from 20 to 100 °C

Source: A. Winkelmann and O. Schott, 1894, Annalen der Physik 51, 730, factors, from memory
(`data/expansion-factors.csv`). No range of composition is known beyond the oxides themselves; it
has no factor for SrO, TiO2 or ZrO2, and its factors for boron and zinc are of the first glasses
that held them.
"""

from __future__ import annotations

from collections.abc import Mapping

from .by_weight import by_weight
from .outside import Outside

MODEL = "Winkelmann-Schott"


def expansion(mol: Mapping[str, float]) -> float | Outside:
    """Mean linear expansion from 20 to 100 °C, 1e-6/K."""
    return by_weight(MODEL, mol, parts=3)
