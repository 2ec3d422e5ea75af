"""The weight-per-cent models of expansion: a glass in mol % and a model's name in, 1e-6/K out.

    alpha = Σ factor × weight % ÷ parts     parts 3 where the factors are cubic, 1 where linear

The factors are `data/expansion-factors.csv`. Which model is which is not known here.
"""

from __future__ import annotations

from collections.abc import Mapping

from ..composition import weight_percent
from .factors import added_up, factors
from .outside import Outside
from .ranges import known_part, outside_of

FILE = "expansion-factors.csv"


def by_weight(model: str, mol: Mapping[str, float], parts: int) -> float | Outside:
    """Mean linear expansion of a model that adds up weight %, 1e-6/K."""
    by_oxide = factors(FILE, model)
    known = known_part(model, mol, by_oxide)
    if isinstance(known, Outside):
        return known
    weights = weight_percent(known.kept)
    return outside_of(model, weights, "weight %") or added_up(weights, by_oxide) / parts / 10
