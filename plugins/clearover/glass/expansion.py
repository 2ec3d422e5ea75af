"""Thermal expansion of a fired glass: mol % in, an `Estimate` in 1e-6/K out.

Our own model (`fitted.py`), fitted to measured glasses like glazes; `data/glass-expansion.json`
is written by `tests/bench/fit_glass_models.py`. Knows nothing of clears or bodies.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from .domain import far_away, place
from .fitted import Fitted, Floats, load
from .results import Estimate, not_computed

FILE = "glass-expansion.json"
MODEL = "our fit to measured glasses"
SOURCE = (
    "Gaussian process fitted to measured glasses of the SciGlass database "
    "(ODbL, © 2019 EPAM Systems), data/glass-expansion.json"
)


AT_ONCE = 256
"""Glasses that are predicted in one go: more would only cost memory."""


def expansion(mol: Mapping[str, float]) -> Estimate:
    """Mean linear expansion near room temperature to 300 °C, 1e-6/K."""
    return expansions([mol])[0]


def expansions(mols: Sequence[Mapping[str, float]]) -> list[Estimate]:
    """As `expansion`, of many glasses at once: a table of thousands costs a fraction."""
    model = load(FILE)
    found: list[Estimate] = []
    for start in range(0, len(mols), AT_ONCE):
        places = [place(model, mol) for mol in mols[start : start + AT_ONCE]]
        inside = [where.shares for where in places if where.reason is None]
        told = iter(_predicted(model, np.concatenate(inside)) if inside else ())
        found += [
            next(told) if where.reason is None else not_computed(where.reason) for where in places
        ]
    return found


def _predicted(model: Fitted, shares: Floats) -> list[Estimate]:
    """One estimate for each row of shares."""
    variances = model.covariances(shares)[:, 0, 0]
    values = model.means(shares)[:, 0]
    own = model.settings["publication"][0] + model.settings["glass"][0]
    found = []
    for row, variance, value in zip(shares, variances.tolist(), values.tolist(), strict=True):
        reason = far_away(model, row[None], max(variance, 0.0) ** 0.5)
        half = model.settings["band"]["factor"] * (variance + own) ** 0.5
        found.append(
            not_computed(reason)
            if reason is not None
            else Estimate(value, value - half, value + half, MODEL, SOURCE)
        )
    return found
