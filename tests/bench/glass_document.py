"""A fit as the running code reads it: a `Fit` in, the document of a model's data file out.

The document is what `clearover.glass.fitted.from_document` reads. Numbers are rounded so that the
predictions change by less than a hundredth of their error.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from glass_data import OXIDES
from glass_process import Fit, Floats

SOURCE = (
    "fitted to measured glasses of the SciGlass database (ODbL, © 2019 EPAM Systems); "
    "glass-models.NOTICE.txt"
)


def rounded(values: Floats, digits: int) -> list[float]:
    """The values with so many digits that count."""
    return [float(f"{value:.{digits}g}") for value in np.ravel(values)]


def document(fit: Fit, means: list[float], settings: dict[str, Any]) -> dict[str, Any]:
    """All that the running code needs; `means` are the constants taken off the observations."""
    return {
        "source": SOURCE,
        "oxides": list(OXIDES),
        "root": fit.settings.root,
        "smoothness": fit.settings.smoothness,
        "centre": rounded(fit.scale.centre, 10),
        "step": rounded(fit.scale.step, 10),
        "parts": [_part(fit, k, mean) for k, mean in enumerate(means)],
        "inputs": _inputs(fit),
        "settings": settings,
    }


def _part(fit: Fit, k: int, mean: float) -> dict[str, Any]:
    """One part: the straight line that its weights come to, and the weights by glass."""
    data, part = fit.data, fit.settings.parts[k]
    weights = np.zeros(len(data.shares))
    np.add.at(weights, data.glass, data.design[:, k] * fit.weights)
    line = fit.scale.line(data.shares)
    slopes = part.line * line.T @ weights
    return {
        "constant": float(f"{mean + line[0, 0] * slopes[0]:.9g}"),
        "slopes": rounded(slopes[1:] / fit.scale.step, 8),
        "lengths": rounded(part.lengths, 6),
        "amplitude": part.amplitude,
        "line": [rounded(row, 8) for row in fit.open_line(k)],
        "publication": part.publication,
        "glass": part.glass,
        "weights": rounded(weights, 6),
    }


def _inputs(fit: Fit) -> dict[str, Any]:
    """The glasses; the observations brought to a noise of 1, those of a glass side by side."""
    data = fit.data
    most = int(np.bincount(data.glass).max())
    design = np.zeros((len(data.shares), most, data.design.shape[1]))
    filled = np.zeros(len(data.shares), dtype=int)
    for glass, row, noise in zip(data.glass, data.design, data.noise, strict=True):
        design[glass, filled[glass]] = row / noise
        filled[glass] += 1
    return {
        "shares": [[_short(share) for share in row] for row in data.shares],
        "publication": fit.paper.tolist(),
        "publication_trust": rounded(fit.paper_weight, 4),
        "trust": rounded(fit.glass_weight, 4),
        "design": [[rounded(row, 5) for row in rows] for rows in design],
        "miss": rounded(np.abs(fit.misses()), 3),
    }


def _short(share: float) -> float | int:
    """mol % to a thousandth, nothing as a bare 0."""
    return round(float(share), 3) or 0
