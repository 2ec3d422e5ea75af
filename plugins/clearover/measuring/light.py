"""How the light falls over a photo: regions that ought to be even in, a smooth field out.

The field is the exponential of a quadratic in the photo's coordinates (one lamp to a side, a
window, the fall-off of a lens), fitted to every even region at once, each with a brightness of its
own. Fitted robustly (Tukey's biweight), so that shadows, specks and glare do not count. Knows
nothing of tiles or cells.

Biweight: A. E. Beaton and J. W. Tukey, 1974, "The fitting of power series, meaning polynomials,
illustrated on band-spectroscopic data", Technometrics 16(2), 147-185 (from memory); constant 3
robust deviations, our own choice.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]
LUMA = np.array([0.2126, 0.7152, 0.0722])
"""Weights of linear red, green and blue in the luminance Y (IEC 61966-2-1:1999)."""
_ROUNDS, _CUT = 15, 3.0
_ENOUGH = 8000
"""So many blocks of a region tell its light as well as all of them."""
_FEWEST = 60


def brightest_channel(pixels: NDArray[Any]) -> NDArray[Any]:
    """The largest of red, green and blue; many times quicker than over the last axis."""
    return np.asarray(np.maximum(np.maximum(pixels[..., 0], pixels[..., 1]), pixels[..., 2]))


@dataclass(frozen=True, slots=True)
class Field:
    """The light, relative. `coefficients` of u, v, u², uv, v², where u and v count from the middle
    of the photo in units of its longer side. `used` names the regions that were even."""

    width: int
    height: int
    coefficients: tuple[float, ...] = (0.0,) * 5
    used: tuple[str, ...] = ()
    scatter: float | None = None

    def at(self, x: Floats, y: Floats) -> Floats:
        """The light at points of the photo, px; 1 in the middle of an even photo."""
        terms = _terms(x, y, self.width, self.height)
        return np.asarray(np.exp(terms @ np.array(self.coefficients)))


def _terms(x: Floats, y: Floats, width: int, height: int) -> Floats:
    longer = max(width, height)
    u, v = (x - width / 2) / longer, (y - height / 2) / longer
    return np.stack([u, v, u * u, u * v, v * v], axis=-1)


def fit_field(
    light: Floats,
    x: Floats,
    y: Floats,
    regions: Mapping[str, Mask],
    size: tuple[int, int],
    even_enough: float,
) -> Field:
    """The field from regions of blocks.

    `light` is linear RGB of the blocks, `x` and `y` their centres in px of the photo (`size`). A
    region that scatters more than `even_enough` (robust deviation of the natural logarithm) by
    itself is not used. Without any, the field is even and `used` empty.
    """
    width, height = size
    logs = np.log(light @ LUMA + 1e-5)
    terms = _terms(x, y, width, height)
    kept: dict[str, Mask] = {}
    for name, whole in regions.items():
        mask = _some(whole)
        if mask.sum() >= _FEWEST:
            _, scatter = _solve(terms[mask], logs[mask], np.zeros(int(mask.sum()), dtype=int))
            if scatter[0] <= even_enough:
                kept[name] = mask
    if not kept:
        return Field(width, height)
    group = np.concatenate([np.full(int(m.sum()), k) for k, m in enumerate(kept.values())])
    stacked = np.concatenate([terms[mask] for mask in kept.values()])
    values = np.concatenate([logs[mask] for mask in kept.values()])
    coefficients, scatter = _solve(stacked, values, group)
    return Field(width, height, tuple(coefficients), tuple(kept), float(max(scatter)))


def _some(mask: Mask) -> Mask:
    """The same region by fewer blocks, evenly chosen, where it has more than the light needs."""
    places = np.flatnonzero(mask)
    thin = len(places) // _ENOUGH
    if thin < 2:
        return mask
    found = np.zeros(mask.size, dtype=bool)
    found[places[::thin]] = True
    return found.reshape(mask.shape)


def _solve(
    terms: Floats, values: Floats, group: NDArray[np.int_]
) -> tuple[list[float], list[float]]:
    """Robust least squares with one constant a group; the coefficients, and each scatter."""
    groups = range(int(group.max()) + 1)
    own = (group[:, None] == np.arange(len(groups))[None, :]).astype(float)
    system = np.concatenate([terms, own], axis=1)
    weights = np.ones(len(values))
    scatter = [0.0 for _ in groups]
    solution: NDArray[np.floating] = np.zeros(system.shape[1])
    for _ in range(_ROUNDS):
        normal = system.T @ (system * weights[:, None])
        solution = np.linalg.lstsq(normal, system.T @ (weights * values), rcond=None)[0]
        off = values - system @ solution
        for one in groups:
            here = group == one
            scatter[one] = float(1.4826 * np.median(np.abs(off[here]))) + 1e-6
            z = off[here] / (_CUT * scatter[one])
            weights[here] = np.where(np.abs(z) < 1, (1 - z * z) ** 2, 0.0) / scatter[one] ** 2
        weights /= max(weights.max(), 1e-12)
    return [float(c) for c in solution[:5]], scatter
