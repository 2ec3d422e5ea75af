"""Our own fitted models as they run: a data file and compositions in, means and spreads out.

A model is a Gaussian process over the shares of eleven oxides (C. E. Rasmussen and C. K. I.
Williams, 2006, “Gaussian Processes for Machine Learning”, chapters 2 and 4): a straight line in
each oxide plus a smooth departure from it that is learnt where glasses were measured and fades to
nothing away from them. A model has one or more *parts* (expansion has one, the melt curve two):

    part(x) = constant + Σ slope × (x − centre) + Σ_i weight_i × k(x, x_i)
    k = a (1 + r) exp(−r),             r² = 3 Σ ((√(x + root) − √(x_i + root)) / length)²
 or k = a (1 + r + r²/3) exp(−r),      r² = 5 Σ … (`smoothness` 1.5 or 2.5)

The root makes the first per cent of an oxide count for more than the tenth.

Two things tell how far to trust it at a composition (`Doubt`): how thinly measured glasses lie
there, computed from the nearest of them, and how far those near by lie from what the model says
when their publication is left out. Knows nothing of what a part means.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..tables import read_text

Floats = NDArray[np.float64]

NEAREST = 60
"""How many measured glasses the spread at a composition is computed from: it reads a fifth wider
than all of them would make it, in a hundredth of the time."""

ANYWHERE = 3.0
"""The constant's share of the straight line, beside oxides in steps of their own spread."""


@dataclass(frozen=True, slots=True)
class Part:
    """One predicted quantity of a model."""

    constant: float
    slopes: Floats
    lengths: Floats
    amplitude: float
    """Variance of the smooth departure before anything is measured."""
    line: Floats
    """What all measured glasses leave open of the straight line: covariance of its constant and
    slopes, by steps."""
    publication: float
    glass: float
    """Variances of a publication's and of a glass's own error."""
    weights: Floats


@dataclass(frozen=True, slots=True)
class Doubt:
    """How far to trust the means at one composition."""

    covariance: Floats
    """(parts × parts): what the measured glasses leave open."""
    miss: float
    """Usual error of the first part near by, in publications the model had not seen."""

    @property
    def spread(self) -> float:
        """Standard deviation of the first part from `covariance`."""
        return float(np.sqrt(max(float(self.covariance[0, 0]), 0.0)))


@dataclass(frozen=True, slots=True)
class Inputs:
    """The measured glasses of a model: what the spread needs of them, a row a glass."""

    shares: Floats
    publication: NDArray[np.intp]
    publication_trust: Floats
    trust: Floats
    """1 for an ordinary publication or glass, less for one whose error is larger."""
    design: Floats
    """(glasses × observations × parts): how each observation, of noise 1, adds up the parts."""
    miss: Floats
    """By how much the model misses the first part with the glass's publication left out."""


@dataclass(frozen=True, slots=True)
class Fitted:
    """A model read from its file. Shares are mol % in the order of `oxides`, summing to 100."""

    oxides: tuple[str, ...]
    root: float
    smoothness: float
    centre: Floats
    step: Floats
    inputs: Inputs
    parts: tuple[Part, ...]
    settings: Mapping[str, Any]
    """Everything else of the file: domain, band, curve, as its own module reads it."""

    def means(self, shares: Floats) -> Floats:
        """One row a glass, one column a part."""
        away = shares - self.centre
        columns = [
            part.constant
            + away @ part.slopes
            + self._smooth(part, shares, self.inputs.shares) @ part.weights
            for part in self.parts
        ]
        return np.stack(columns, axis=1)

    def doubt(self, shares: Floats) -> Doubt:
        """How far to trust the means at one composition (one row)."""
        apart = self.apart(shares)
        return Doubt(self._covariance(shares, apart), self._miss(apart))

    def apart(self, shares: Floats) -> Floats:
        """Distance of one glass (a row) from every measured one, in lengths of the first part."""
        steps = np.sqrt(self.inputs.shares + self.root) - np.sqrt(shares + self.root)
        distance: Floats = np.sqrt(((steps / self.parts[0].lengths) ** 2).sum(1))
        return distance

    def exchanged(self, shares: Floats) -> Floats:
        """How much of one glass (a row) would have to be exchanged to make each measured one,
        mol %."""
        moved: Floats = np.abs(self.inputs.shares - shares).sum(1) / 2
        return moved

    def _smooth(self, part: Part, shares: Floats, others: Floats) -> Floats:
        a = np.sqrt(shares + self.root) / part.lengths
        b = np.sqrt(others + self.root) / part.lengths
        apart = (a * a).sum(1)[:, None] + (b * b).sum(1)[None] - 2 * a @ b.T
        r = np.sqrt(2 * self.smoothness * np.maximum(apart, 0.0))
        bend = r * r / 3 if self.smoothness > 2 else 0.0
        smooth: Floats = part.amplitude * (1 + r + bend) * np.exp(-r)
        return smooth

    def _line(self, shares: Floats) -> Floats:
        scaled = (shares - self.centre) / self.step
        return np.concatenate([np.full((len(shares), 1), ANYWHERE), scaled], axis=1)

    def _miss(self, apart: Floats) -> float:
        """Mean of the glasses' misses by nearness; where there are none, the usual one. A
        publication counts by the root of its number of glasses."""
        near = self.settings["miss"]
        sizes = np.bincount(self.inputs.publication)[self.inputs.publication]
        weights = np.exp(-0.5 * (apart / near["reach"]) ** 2) / np.sqrt(sizes)
        misses = np.minimum(self.inputs.miss, near["most"])
        usual, trust = float(near["usual"]), float(near["weight_of_usual"])
        return (float(weights @ misses) + trust * usual) / (float(weights.sum()) + trust)

    def _covariance(self, shares: Floats, apart: Floats) -> Floats:
        """From the nearest glasses: what was open before, less what they tell. The straight line
        is known from all of them."""
        given = self.inputs
        count = min(NEAREST, len(given.shares))
        near = np.argpartition(apart, count - 1)[:count]
        others, paper, trust = given.shares[near], given.publication[near], given.trust[near]
        lines, own = self._line(others), self._line(shares)
        same_paper = (paper[:, None] == paper[None]) / given.publication_trust[paper]
        design = given.design[near]
        seen = design.shape[1]
        total = np.diag(np.repeat(1 / trust, seen))
        reach, before = [], []
        for k, part in enumerate(self.parts):
            glass_by_glass = lines @ part.line @ lines.T + self._smooth(part, others, others)
            glass_by_glass += part.publication * same_paper + np.diag(part.glass / trust)
            flat = design[:, :, k].ravel()
            total += np.outer(flat, flat) * np.repeat(np.repeat(glass_by_glass, seen, 0), seen, 1)
            told = own @ part.line @ lines.T + self._smooth(part, shares, others)
            reach.append(flat * np.repeat(told[0], seen))
            before.append(float((own @ part.line * own).sum()) + part.amplitude)
        stacked = np.stack(reach, axis=1)
        left: Floats = np.diag(before) - stacked.T @ np.linalg.solve(total, stacked)
        return left


@lru_cache(maxsize=4)
def load(name: str) -> Fitted:
    """The model of a file of the data folder, read once."""
    return from_document(json.loads(read_text(name)))


def _part(given: Mapping[str, Any]) -> Part:
    lists = {name: np.array(given[name]) for name in ("slopes", "lengths", "weights", "line")}
    return Part(**(dict(given) | lists))


def from_document(document: Mapping[str, Any]) -> Fitted:
    """The model that a fit wrote down."""
    given = document["inputs"]
    parts = [_part(part) for part in document["parts"]]
    return Fitted(
        oxides=tuple(document["oxides"]),
        root=document["root"],
        smoothness=document["smoothness"],
        centre=np.array(document["centre"]),
        step=np.array(document["step"]),
        inputs=Inputs(
            shares=np.array(given["shares"], dtype=np.float64),
            publication=np.array(given["publication"], dtype=np.intp),
            publication_trust=np.array(given["publication_trust"]),
            trust=np.array(given["trust"]),
            design=np.array(given["design"], dtype=np.float64),
            miss=np.array(given["miss"], dtype=np.float64),
        ),
        parts=tuple(parts),
        settings=document["settings"],
    )
