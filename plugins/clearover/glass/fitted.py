"""Our own fitted models as they run: a data file and compositions in, means and spreads out.

A model is a Gaussian process over the shares of eleven oxides (C. E. Rasmussen and C. K. I.
Williams, 2006, “Gaussian Processes for Machine Learning”, chapter 2): a straight line in each
oxide plus a smooth departure from it that is learnt where glasses were measured and fades to
nothing away from them. Each model has one or more *parts* (expansion has one, the melt curve two),
each predicted alike:

    part(x) = constant + Σ slope × (x − centre) + Σ_i weight_i × k(x, x_i)
    k = a (1 + r + r²/3) exp(−r),  r² = 5 Σ ((√(x + h) − √(x_i + h)) / length)²

The root makes the first per cent of an oxide count for more than the tenth. Knows nothing of
what a part means. The spread comes from a sketch on some of the glasses (`landmarks`), which can
only make it wider than the whole set would.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..tables import read_text

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Part:
    """One predicted quantity of a model."""

    constant: float
    slopes: Floats
    lengths: Floats
    amplitude: float
    line: float
    """Variance that one step of the straight part has before anything is measured."""
    weights: Floats


@dataclass(frozen=True, slots=True)
class Fitted:
    """A model read from its file. Shares are mol % in the order of `oxides`, summing to 100."""

    oxides: tuple[str, ...]
    root: float
    centre: Floats
    step: Floats
    inputs: Floats
    parts: tuple[Part, ...]
    sketch: Floats
    """(parts × landmarks) square: what the measured glasses take away from the first variance."""
    landmarks: int
    settings: Mapping[str, Any]
    """Everything else of the file: domain, band, curve, as its own module reads it."""

    def kernel(self, part: Part, shares: Floats, others: Floats) -> Floats:
        """The smooth departure's covariance between two sets of glasses."""
        a = np.sqrt(shares + self.root) / part.lengths
        b = np.sqrt(others + self.root) / part.lengths
        apart = (a * a).sum(1)[:, None] + (b * b).sum(1)[None] - 2 * a @ b.T
        r = np.sqrt(5 * np.maximum(apart, 0.0))
        smooth: Floats = part.amplitude * (1 + r + r * r / 3) * np.exp(-r)
        return smooth

    def means(self, shares: Floats) -> Floats:
        """One row a glass, one column a part."""
        away = shares - self.centre
        return np.stack(
            [
                p.constant + away @ p.slopes + self.kernel(p, shares, self.inputs) @ p.weights
                for p in self.parts
            ],
            axis=1,
        )

    def covariances(self, shares: Floats) -> Floats:
        """How sure the means are: for each glass a (parts × parts) matrix."""
        marks = self.inputs[: self.landmarks]
        lines, marks_lines = self._line(shares), self._line(marks)
        count, size = len(self.parts), self.landmarks
        found = np.zeros((len(shares), count, count))
        reach = []
        for k, part in enumerate(self.parts):
            reach.append(part.line * lines @ marks_lines.T + self.kernel(part, shares, marks))
            found[:, k, k] = part.line * (lines * lines).sum(1) + part.amplitude
        for i in range(count):
            for j in range(count):
                block = self.sketch[i * size : (i + 1) * size, j * size : (j + 1) * size]
                found[:, i, j] -= ((reach[i] @ block) * reach[j]).sum(1)
        return found

    def _line(self, shares: Floats) -> Floats:
        scaled = (shares - self.centre) / self.step
        return np.concatenate([np.full((len(shares), 1), 3.0), scaled], axis=1)

    def shares(self, compositions: Sequence[Mapping[str, float]]) -> Floats:
        """The oxides of each composition in the model's order, brought to 100 between them."""
        rows = np.array([[mol.get(o, 0.0) for o in self.oxides] for mol in compositions])
        found: Floats = 100 * rows / rows.sum(1, keepdims=True)
        return found


@lru_cache(maxsize=4)
def load(name: str) -> Fitted:
    """The model of a file of the data folder, read once."""
    return from_document(json.loads(read_text(name)))


def from_document(document: Mapping[str, Any]) -> Fitted:
    """The model that a fit wrote down."""
    parts = tuple(
        Part(
            constant=part["constant"],
            slopes=np.array(part["slopes"]),
            lengths=np.array(part["lengths"]),
            amplitude=part["amplitude"],
            line=part["line"],
            weights=np.array(part["weights"]),
        )
        for part in document["parts"]
    )
    landmarks = int(document["landmarks"])
    size = landmarks * len(parts)
    sketch = np.zeros((size, size))
    sketch[np.tril_indices(size)] = document["sketch"]
    sketch = sketch + np.tril(sketch, -1).T
    return Fitted(
        oxides=tuple(document["oxides"]),
        root=document["root"],
        centre=np.array(document["centre"]),
        step=np.array(document["step"]),
        inputs=np.array(document["inputs"]),
        parts=parts,
        sketch=sketch,
        landmarks=landmarks,
        settings=document["settings"],
    )
