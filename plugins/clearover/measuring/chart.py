"""A 24-patch colour chart in the photo: its patches in, a matrix that balances the photo out.

The matrix carries linear camera RGB to linear sRGB by least squares over all patches, each weighed
by how much lightness its light makes (the slope of L*, Y to the power −2/3), so that dark patches
count as an eye counts them. Its error is told by leaving each patch out in turn. Where that is not
smaller than what balancing on one grey patch alone gives, the grey patch is used, and said.
Values: `data/colour-chart.csv`. Knows nothing of the tile.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from ..colour import ciede2000
from ..colour.srgb import lab_to_light, light_to_lab
from ..photos.straighten import Point, apply, homography
from ..tables import rows
from .light import LUMA

Floats = NDArray[np.float64]
COLUMNS, ROWS = 6, 4
GREY = 21
"""The fourth neutral patch, counted from 0: light enough for little noise, far from clipping."""
_MIDDLE = 0.3
"""This much of a patch is left out at each edge."""
_POINTS = 24


@dataclass(frozen=True, slots=True)
class ChartFit:
    """`matrix` carries linear RGB (a row) to balanced linear sRGB: `light @ matrix`. Errors are
    median ΔE00: of the fit with each patch left out, and of the grey patch alone. `by` says which
    was taken: `chart` or `its grey patch`."""

    matrix: Floats
    error: float
    error_of_grey: float
    by: str


@cache
def published() -> Floats:
    """L*a*b* (D65) of the 24 patches, row by row."""
    return np.array(
        [[float(row[key]) for key in ("L", "a", "b")] for row in rows("colour-chart.csv")]
    )


def patches(light: NDArray[np.floating], corners: Sequence[Point]) -> Floats | None:
    """The median linear RGB of each patch of a chart in `light` (px of that array), 24 × 3.

    `corners` are of the whole grid of patches, clockwise from the dark skin patch. None where the
    chart is not wholly inside.
    """
    carry = homography([(0, 0), (COLUMNS, 0), (COLUMNS, ROWS), (0, ROWS)], corners)
    steps = np.linspace(_MIDDLE, 1 - _MIDDLE, _POINTS)
    found = []
    for row in range(ROWS):
        for column in range(COLUMNS):
            x, y = np.meshgrid(column + steps, row + steps)
            points = np.floor(apply(carry, np.stack([x.ravel(), y.ravel()], axis=1))).astype(int)
            if points.min() < 0 or (points >= (light.shape[1], light.shape[0])).any():
                return None
            found.append(np.median(light[points[:, 1], points[:, 0]], axis=0))
    return np.array(found, dtype=np.float64)


def fit_chart(seen: Floats) -> ChartFit:
    """The balance from the 24 patches as seen (linear RGB, the light already evened)."""
    wanted = published()
    target = lab_to_light(wanted)
    weights = np.maximum(target @ LUMA, 1e-3) ** (-2 / 3)
    grey = np.diag(target[GREY] / np.maximum(seen[GREY], 1e-6))
    error_of_grey = float(np.median(ciede2000(light_to_lab(seen @ grey), wanted)))
    left_out = [
        float(ciede2000(light_to_lab(seen[k] @ _solve(seen, target, weights, k)), wanted[k]))
        for k in range(len(seen))
    ]
    error = float(np.median(left_out))
    if error >= error_of_grey:
        return ChartFit(grey, error, error_of_grey, "its grey patch")
    return ChartFit(_solve(seen, target, weights), error, error_of_grey, "chart")


def _solve(seen: Floats, target: Floats, weights: Floats, without: int | None = None) -> Floats:
    kept = np.arange(len(seen)) != (-1 if without is None else without)
    scale = weights[kept, None]
    return np.asarray(np.linalg.lstsq(seen[kept] * scale, target[kept] * scale, rcond=None)[0])
