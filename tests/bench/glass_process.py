"""Fit a Gaussian process to measured glasses: observations and settings in, a model out.

    observation = Σ_part design × (part(x) + publication's own error + glass's own error) + noise

The publication's and the glass's own errors have heavy tails (Student's t), so that one odd paper
or one odd glass does not bend the rest, and a paper of sixty like glasses does not count sixty
times. Fitted by expectation and maximisation over their weights (K. L. Lange, R. J. A. Little and
J. M. G. Taylor, 1989, “Robust statistical modeling using the t distribution”, JASA 84, 881-896).
Needs numpy only. Knows nothing of files or of what is measured.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class PartSettings:
    """What was chosen for one part, by the likelihood."""

    lengths: Floats
    line: float
    amplitude: float
    publication: float
    glass: float
    """`line`, `amplitude`, `publication`, `glass` are variances."""


@dataclass(frozen=True, slots=True)
class Settings:
    """All that is chosen before a fit."""

    parts: tuple[PartSettings, ...]
    root: float
    smoothness: float
    """1.5 or 2.5, of the Matérn kernel."""
    tails: float
    """Degrees of freedom of Student's t."""


@dataclass(frozen=True, slots=True)
class Measured:
    """Glasses (rows of `shares`, mol %) and observations of them (rows of `design`)."""

    shares: Floats
    publications: NDArray[np.str_]
    glass: NDArray[np.intp]
    design: Floats
    values: Floats
    noise: Floats
    """Standard deviation of each observation's own noise."""

    def only(self, keep: NDArray[np.bool_]) -> Measured:
        """Those glasses and what was observed of them."""
        observed = keep[self.glass]
        renumbered = np.cumsum(keep) - 1
        return Measured(
            self.shares[keep],
            self.publications[keep],
            renumbered[self.glass[observed]],
            self.design[observed],
            self.values[observed],
            self.noise[observed],
        )


@dataclass(frozen=True, slots=True)
class Scale:
    """Centre and step of each oxide for the straight part; fixed for all fits of a model."""

    centre: Floats
    step: Floats

    def line(self, shares: Floats) -> Floats:
        scaled = (shares - self.centre) / self.step
        return np.concatenate([np.full((len(shares), 1), 3.0), scaled], axis=1)


def scale_of(shares: Floats) -> Scale:
    """Mean and standard deviation of each oxide, the latter 2 mol % at least."""
    return Scale(shares.mean(0), np.maximum(shares.std(0), 2.0))


def kernel(part: PartSettings, settings: Settings, shares: Floats, others: Floats) -> Floats:
    """The smooth departure: Matérn on the roots of the shares."""
    a = np.sqrt(shares + settings.root) / part.lengths
    b = np.sqrt(others + settings.root) / part.lengths
    apart = (a * a).sum(1)[:, None] + (b * b).sum(1)[None] - 2 * a @ b.T
    r = np.sqrt(2 * settings.smoothness * np.maximum(apart, 0.0))
    bend = r * r / 3 if settings.smoothness > 2 else 0.0
    smooth: Floats = part.amplitude * (1 + r + bend) * np.exp(-r)
    return smooth


class Fit:
    """A fitted process: `weights` (observations), the t weights, and the inverse of the whole."""

    def __init__(self, data: Measured, settings: Settings, scale: Scale, rounds: int = 6) -> None:
        self.data, self.settings, self.scale = data, settings, scale
        names, self.paper = np.unique(data.publications, return_inverse=True)
        self.glass_weight = np.ones(len(data.shares))
        self.paper_weight = np.ones(len(names))
        self._of_glass = _groups(data.glass, len(data.shares))
        self._of_paper = _groups(self.paper[data.glass], len(names))
        smooth = self._smooth()
        for _ in range(rounds):
            self._solve(smooth)
            self._reweigh()
        self._solve(smooth)

    def _smooth(self) -> Floats:
        """Covariance of what the composition explains."""
        data, line = self.data, self.scale.line(self.data.shares)
        total = np.zeros((len(data.values), len(data.values)))
        rows = np.ix_(data.glass, data.glass)
        for k, part in enumerate(self.settings.parts):
            both = part.line * line @ line.T
            both += kernel(part, self.settings, data.shares, data.shares)
            total += np.outer(data.design[:, k], data.design[:, k]) * both[rows]
        return total

    def _solve(self, smooth: Floats) -> None:
        total = smooth.copy()
        data = self.data
        for group, error in ((self._of_paper, "publication"), (self._of_glass, "glass")):
            weights = self.paper_weight if error == "publication" else self.glass_weight
            variances = np.array([getattr(part, error) for part in self.settings.parts])
            for number, rows in enumerate(group):
                design = data.design[rows]
                total[np.ix_(rows, rows)] += (design * variances) @ design.T / weights[number]
        total[np.diag_indices_from(total)] += data.noise**2 / self.glass_weight[data.glass]
        inverse = np.linalg.inv(total)
        self.inverse = (inverse + inverse.T) / 2
        self.weights = self.inverse @ data.values

    def _reweigh(self) -> None:
        """Expected size of each glass's and each paper's own error, and its weight from that."""
        data, tails = self.data, self.settings.tails
        glass = np.array([part.glass for part in self.settings.parts])
        paper = np.array([part.publication for part in self.settings.parts])
        for number, rows in enumerate(self._of_glass):
            design, found = data.design[rows], self.weights[rows]
            own = (design * glass) @ design.T + np.diag(data.noise[rows] ** 2)
            weight = self.glass_weight[number]
            block = self.inverse[np.ix_(rows, rows)]
            size = found @ own @ found / weight**2
            size += (len(rows) - np.sum(own * block) / weight) / weight
            self.glass_weight[number] = (tails + len(rows)) / (tails + size)
        for number, rows in enumerate(self._of_paper):
            design, own = data.design[rows], paper / self.paper_weight[number]
            error = own * (design.T @ self.weights[rows])
            left = own - own**2 * np.diag(design.T @ self.inverse[np.ix_(rows, rows)] @ design)
            size = np.sum((error**2 + left) / paper)
            self.paper_weight[number] = (tails + len(paper)) / (tails + size)

    def reach(self, part: int, shares: Floats) -> Floats:
        """Covariance of one part at these glasses with every observation."""
        settings, data = self.settings.parts[part], self.data
        both = settings.line * self.scale.line(shares) @ self.scale.line(data.shares).T
        both += kernel(settings, self.settings, shares, data.shares)
        found: Floats = both[:, data.glass] * data.design[:, part]
        return found

    def open_line(self, part: int) -> Floats:
        """What the observations leave open of one part's straight line: the covariance of its
        constant and slopes."""
        before = self.settings.parts[part].line
        line = self.scale.line(self.data.shares)[self.data.glass]
        told = before * line * self.data.design[:, part : part + 1]
        left: Floats = before * np.eye(line.shape[1]) - told.T @ self.inverse @ told
        return left

    def misses(self) -> Floats:
        """Error of the first part at each glass, foretold without its publication (Rasmussen and
        Williams, equation 5.12, a block at a time); the line of one observation stands for it."""
        data = self.data
        error = np.empty(len(data.values))
        for rows in self._of_paper:
            block = self.inverse[np.ix_(rows, rows)]
            error[rows] = np.linalg.solve(block, self.weights[rows])
        found = np.empty(len(data.shares))
        for glass, rows in enumerate(self._of_glass):
            design = data.design[rows]
            if len(rows) > 1:
                found[glass] = np.linalg.lstsq(design, error[rows], rcond=None)[0][0]
            else:
                found[glass] = error[rows[0]] / design[0, 0]
        return found

    def means(self, shares: Floats) -> Floats:
        """One row a glass, one column a part."""
        parts = range(len(self.settings.parts))
        return np.stack([self.reach(part, shares) @ self.weights for part in parts], axis=1)


def _groups(of: NDArray[np.intp], count: int) -> list[NDArray[np.intp]]:
    order = np.argsort(of, kind="stable")
    return np.split(order, np.searchsorted(of[order], np.arange(1, count)))
