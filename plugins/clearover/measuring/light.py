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

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
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


def middle_of(values: NDArray[np.floating]) -> float:
    """The median of a row of finite numbers; several times quicker than numpy's own."""
    half = len(values) // 2
    if len(values) % 2:
        return float(np.partition(values, half)[half])
    low = np.partition(values, half)
    return float(low[half] + low[:half].max()) / 2


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
    u, v = np.broadcast_arrays((x - width / 2) / longer, (y - height / 2) / longer)
    return np.stack([u, v, u * u, u * v, v * v], axis=-1)


def fit_field(
    light: NDArray[np.floating],
    x: Floats,
    y: Floats,
    regions: Mapping[str, Mask],
    size: tuple[int, int],
    even_enough: float,
) -> Field:
    """The field from regions of blocks.

    `light` is linear RGB of the blocks, `x` and `y` their centres in px of the photo (`size`), or a
    row of x and a column of y. A region that scatters more than `even_enough` (robust deviation of
    the natural logarithm) by itself is not used. Without any, the field is even and `used` empty.
    """
    x, y = (np.broadcast_to(one, light.shape[:2]).ravel() for one in (x, y))
    kept: dict[str, tuple[Floats, Floats]] = {}
    for name, mask in regions.items():
        places = _some(mask)
        if len(places) < _FEWEST:
            continue
        terms = _terms(x[places], y[places], *size)
        logs = np.log(light.reshape(-1, 3)[places] @ LUMA + 1e-5)
        if _is_even(terms, logs, even_enough):
            kept[name] = terms, logs
    if not kept:
        return Field(*size)
    coefficients, scatter = _fit(list(kept.values()), _ROUNDS)
    return Field(*size, tuple(coefficients), tuple(kept), float(max(scatter)))


def _some(mask: Mask) -> NDArray[np.intp]:
    """A region's blocks, fewer and evenly chosen where it has more than the light needs."""
    places = np.flatnonzero(mask)
    return places[:: max(1, len(places) // _ENOUGH)]


def _is_even(terms: Floats, logs: Floats, even_enough: float) -> bool:
    """Whether some smooth light leaves a region no more scatter than that."""
    return any(_fit([(terms, logs)], rounds)[1][0] <= even_enough for rounds in (1, _ROUNDS))


def _fit(parts: Sequence[tuple[Floats, Floats]], rounds: int) -> tuple[list[float], list[float]]:
    """Robust least squares with one constant a part; the coefficients, and each part's scatter.

    A part is its terms and the logarithms of its light.
    """
    ends = np.cumsum([0, *(len(logs) for _, logs in parts)])
    spans = [slice(int(a), int(b)) for a, b in pairwise(ends)]
    system = np.zeros((int(ends[-1]), 6 + len(parts)))
    for number, (span, (terms, logs)) in enumerate(zip(spans, parts, strict=True)):
        system[span, :5], system[span, 5 + number], system[span, -1] = terms, 1.0, logs
    turned = np.ascontiguousarray(system[:, :-1].T)
    weights = np.ones(len(system))
    scatter = [0.0 for _ in parts]
    for _ in range(rounds):
        normal = (turned * weights) @ system
        solution = np.linalg.lstsq(normal[:, :-1], normal[:, -1], rcond=None)[0]
        off = np.abs(system @ np.append(solution, -1.0))
        for number, span in enumerate(spans):
            scatter[number] = 1.4826 * middle_of(off[span]) + 1e-6
            z = off[span] / (_CUT * scatter[number])
            weights[span] = np.square(np.maximum(1 - z * z, 0.0)) / scatter[number] ** 2
        weights /= max(weights.max(), 1e-12)
    return [float(c) for c in solution[:5]], scatter
