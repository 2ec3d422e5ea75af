"""Thermal expansion of a fired glass: mol % in, an `Estimate` in 1e-6/K out.

Our own model (`fitted.py`), fitted to measured glasses like glazes; `data/glass-expansion.json`
is written by `tests/bench/fit_glass_models.py`. Knows nothing of clears or bodies.
"""

from __future__ import annotations

from collections.abc import Mapping

from .domain import far_away, place
from .fitted import load
from .results import Estimate, not_computed

FILE = "glass-expansion.json"
MODEL = "our fit to measured glasses"
SOURCE = (
    "Gaussian process fitted to measured glasses of the SciGlass database "
    "(ODbL, © 2019 EPAM Systems), data/glass-expansion.json"
)


def expansion(mol: Mapping[str, float]) -> Estimate:
    """Mean linear expansion near room temperature to 300 °C, 1e-6/K."""
    model = load(FILE)
    where = place(model, mol)
    if where.reason is not None:
        return not_computed(where.reason)
    variance = float(model.covariances(where.shares)[0, 0, 0])
    spread = max(variance, 0.0) ** 0.5
    if (reason := far_away(model, where.shares, spread)) is not None:
        return not_computed(reason)
    own = model.settings["publication"][0] + model.settings["glass"][0]
    half = model.settings["band"]["factor"] * (variance + own) ** 0.5
    value = float(model.means(where.shares)[0, 0])
    return Estimate(value, value - half, value + half, MODEL, SOURCE)
