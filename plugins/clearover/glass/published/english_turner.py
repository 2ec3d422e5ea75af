"""Expansion after English and Turner: a glass in mol % in, linear expansion in 1e-6/K out.

    alpha = Σ factor × weight %                     linear factors, mean from 25 to 90 °C

Made from soda-lime glasses. It has a factor for B2O3 but reads far too low with it, so it does not
apply above a trace of boron. Source: S. English and W. E. S. Turner, 1929, Journal of the American
Ceramic Society 12, 760, factors, from memory (`data/expansion-factors.csv`).
"""

from __future__ import annotations

from collections.abc import Mapping

from .by_weight import by_weight
from .outside import Outside

MODEL = "English-Turner"


def expansion(mol: Mapping[str, float]) -> float | Outside:
    """Mean linear expansion from 25 to 90 °C, 1e-6/K; Outside with more than a trace of boron."""
    return by_weight(MODEL, mol, parts=1)
