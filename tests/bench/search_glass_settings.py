"""Choose the settings of the glass models' processes: the likelihood of the measured glasses.

`python tests/bench/search_glass_settings.py expansion|viscosity [ROUNDS]` goes on from
`data/glass-settings.json` and writes it anew: the lengths and variances of each part at which the
observations are likeliest, with the weights of Student's t found anew in between. Needs scipy and
takes long (some ten minutes a model); the fits themselves do not need it. Form, root, tails and
smoothness are chosen by hand; a weak prior keeps the lengths of oxides that hardly vary finite.
"""

from __future__ import annotations

import json
import sys
from dataclasses import replace

import numpy as np
from glass_data import DATA
from glass_process import Fit, Floats, PartSettings, Settings
from glass_unseen import chosen, everything, measured, process, settings
from numpy.typing import NDArray

VARIANCES = ("line", "amplitude", "publication", "glass")
USUAL_LENGTH, PRIOR = np.log(2.0), 1.0
"""Mean and standard deviation of the logarithm of a length before anything is measured."""
LOWEST, HIGHEST = -12.0, 10.0


def packed(parts: tuple[PartSettings, ...]) -> Floats:
    """Logarithms of all that is searched."""
    rows = [[*np.log(p.lengths), *(np.log(getattr(p, v)) for v in VARIANCES)] for p in parts]
    return np.array(rows).ravel()


def unpacked(vector: Floats, parts: int) -> tuple[PartSettings, ...]:
    """The settings back from the logarithms."""
    rows = np.exp(vector.reshape(parts, -1))
    return tuple(PartSettings(row[:-4], *(float(value) for value in row[-4:])) for row in rows)


class Likelihood:
    """Minus the log likelihood and its slope, at given weights of glasses and publications."""

    def __init__(self, fit: Fit) -> None:
        self.fit, data = fit, fit.data
        pick = np.ix_(data.glass, data.glass)
        roots = np.sqrt(data.shares + fit.settings.root)
        self.steps = [((r[:, None] - r[None]) ** 2)[pick] for r in roots.T]
        line = fit.scale.line(data.shares)
        self.lines = (line @ line.T)[pick]
        paper = fit.paper[data.glass]
        self.papers = (paper[:, None] == paper[None]) / fit.paper_weight[paper]
        self.glasses = (data.glass[:, None] == data.glass) / fit.glass_weight[data.glass]
        self.own = np.diag(data.noise**2 / fit.glass_weight[data.glass])
        self.pairs = [np.outer(d, d) for d in data.design.T]

    def __call__(self, vector: Floats) -> tuple[float, Floats]:
        parts = unpacked(vector, len(self.pairs))
        total = self.own.copy()
        terms = []
        for part, pair in zip(parts, self.pairs, strict=True):
            bend, slope = self._smooth(part)
            own = [part.line * self.lines, part.amplitude * bend]
            own += [part.publication * self.papers, part.glass * self.glasses]
            own = [pair * term for term in own]
            total += sum(own)
            terms.append((own, pair * (part.amplitude * slope)))
        root = np.linalg.cholesky(total)
        inverse = np.linalg.inv(total)
        weights = inverse @ self.fit.data.values
        value = 0.5 * self.fit.data.values @ weights + np.log(np.diag(root)).sum()
        pull = 0.5 * (inverse - np.outer(weights, weights))
        slopes = []
        for part, (own, slope) in zip(parts, terms, strict=True):
            towards = pull * slope
            away = (np.log(part.lengths) - USUAL_LENGTH) / PRIOR
            value += 0.5 * (away**2).sum()
            for k, step in enumerate(self.steps):
                along = -2 * np.vdot(towards, step) / part.lengths[k] ** 2
                slopes.append(along + away[k] / PRIOR)
            slopes += [np.vdot(pull, term) for term in own]
        return float(value), np.array(slopes)

    def _smooth(self, part: PartSettings) -> tuple[Floats, Floats]:
        """Kernel for an amplitude of 1, and its slope by the squared distance."""
        smoothness = self.fit.settings.smoothness
        apart = sum(step / length**2 for step, length in zip(self.steps, part.lengths, strict=True))
        r = np.sqrt(2 * smoothness * apart)
        fading = np.exp(-r)
        if smoothness > 2:
            return (1 + r + r * r / 3) * fading, -(5 / 6) * (1 + r) * fading
        return (1 + r) * fading, -1.5 * fading


NEUTRAL = 0.1
"""Every variance to begin with where nothing may be known of the result; lengths begin at the
prior's middle."""
NESTED_ROUNDS = 8


def anew(what: str, keep: NDArray[np.bool_], rounds: int = NESTED_ROUNDS) -> Settings:
    """Settings from the kept glasses alone, begun from neutral ones: for `--nested`.

    Form, root, tails, smoothness and the scale of the oxides stay those of all glasses.
    """
    given = settings(what)
    lengths = np.full(len(given.parts[0].lengths), np.exp(USUAL_LENGTH))
    part = PartSettings(lengths, *[NEUTRAL] * len(VARIANCES))
    begin = replace(given, parts=(part,) * len(given.parts))
    return replace(given, parts=search(what, rounds, keep, begin))


def search(
    what: str, rounds: int, keep: NDArray[np.bool_], begin: Settings | None = None
) -> tuple[PartSettings, ...]:
    """The likeliest settings for the glasses kept, from the file's or given ones on."""
    from scipy.optimize import minimize

    _, data, scale = measured(what)
    fit = process(what, keep, begin)
    parts = fit.settings.parts
    for number in range(rounds):
        likelihood = Likelihood(fit)
        found = minimize(
            likelihood,
            packed(parts),
            jac=True,
            method="L-BFGS-B",
            bounds=[(LOWEST, HIGHEST)] * len(packed(parts)),
            options={"maxiter": 10},
        )
        parts = unpacked(found.x, len(parts))
        print(f"{what}, round {number + 1}: {found.fun:.2f}", file=sys.stderr, flush=True)
        fit = Fit(data.only(keep), replace(settings(what), parts=parts), scale)
    return parts


def main() -> None:
    """Search and write."""
    what = sys.argv[1]
    parts = search(what, int(sys.argv[2]) if len(sys.argv) > 2 else 6, everything(what))
    path = DATA / "glass-settings.json"
    whole = json.loads(path.read_text(encoding="utf-8"))
    whole[what] = chosen(what) | {"parts": [written(part) for part in parts]}
    path.write_text(json.dumps(whole, indent=1) + "\n", encoding="utf-8")


def written(part: PartSettings) -> dict[str, object]:
    """A part as the file has it."""
    lengths = [float(f"{length:.4g}") for length in part.lengths]
    return {"lengths": lengths} | {name: float(f"{getattr(part, name):.4g}") for name in VARIANCES}


if __name__ == "__main__":
    main()
