"""A fit as the running code reads it: a `Fit` in, the document of a model's data file out.

The document is what `clearover.glass.fitted.from_document` reads. Numbers are rounded so that the
predictions change by less than a hundredth of their error.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from glass_data import OXIDES
from glass_process import Fit, Floats

LANDMARKS = 120
"""Glasses that stand for all when the spread is computed."""


def rounded(values: Floats, digits: int) -> list[float]:
    """The values with so many digits that count."""
    return [float(f"{value:.{digits}g}") for value in np.ravel(values)]


def document(fit: Fit, means: list[float], settings: dict[str, Any]) -> dict[str, Any]:
    """All that the running code needs; `means` are the constants taken off the observations."""
    data, scale = fit.data, fit.scale
    order = _spread_out(fit, LANDMARKS)
    inputs = data.shares[order]
    line = scale.line(data.shares)
    parts = []
    for k, part in enumerate(fit.settings.parts):
        weights = np.zeros(len(data.shares))
        np.add.at(weights, data.glass, data.design[:, k] * fit.weights)
        slopes = part.line * line.T @ weights
        parts.append(
            {
                "constant": means[k] + 3.0 * float(slopes[0]),
                "slopes": rounded(slopes[1:] / scale.step, 8),
                "lengths": rounded(part.lengths, 6),
                "amplitude": part.amplitude,
                "line": part.line,
                "weights": rounded(weights[order], 7),
            }
        )
    return {
        "oxides": list(OXIDES),
        "root": fit.settings.root,
        "centre": list(scale.centre),
        "step": list(scale.step),
        "inputs": [[round(float(share), 3) for share in row] for row in inputs],
        "landmarks": LANDMARKS,
        "parts": parts,
        "sketch": rounded(sketch(fit, order[:LANDMARKS]), 9),
        "settings": settings,
    }


def _spread_out(fit: Fit, count: int) -> list[int]:
    """Glasses in an order whose first `count` stand as far apart as can be, greedily."""
    part, shares = fit.settings.parts[0], fit.data.shares
    points = np.sqrt(shares + fit.settings.root) / part.lengths
    chosen = [int(np.argmin(((points - points.mean(0)) ** 2).sum(1)))]
    nearest = ((points - points[chosen[0]]) ** 2).sum(1)
    while len(chosen) < count:
        chosen.append(int(np.argmax(nearest)))
        nearest = np.minimum(nearest, ((points - points[chosen[-1]]) ** 2).sum(1))
    return chosen + sorted(set(range(len(shares))) - set(chosen))


def sketch(fit: Fit, marks: list[int]) -> Floats:
    """Lower triangle of the square that takes the measured glasses' knowledge off the variance."""
    shares = fit.data.shares[marks]
    reaches = []
    for k, part in enumerate(fit.settings.parts):
        reach = fit.reach(k, shares)
        own = part.line * fit.scale.line(shares) @ fit.scale.line(shares).T
        own += fit.kernel(k, shares, shares) + 1e-4 * part.amplitude * np.eye(len(marks))
        reaches.append(np.linalg.solve(own, reach))
    stacked = np.concatenate(reaches)
    square = stacked @ fit.inverse @ stacked.T
    lower: Floats = square[np.tril_indices(len(square))]
    return lower
