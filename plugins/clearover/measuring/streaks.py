"""How streaky a cell is: a view's cell in, the unevenness that has a direction out.

Brush strokes leave the colour uneven across them and even along them; clouds of thickness, grain
and the camera's noise are alike both ways. So: the variance of strips averaged along the rows, less
that of strips averaged along the columns. Knows nothing of colours or cover.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .inner import inner_of
from .light import middle_of
from .limits import limit
from .view import View

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]


def streaks_of(view: View, row: int, column: int) -> float | None:
    """The directional unevenness of a cell, as a share of its mean; None where too little shows."""
    inner = inner_of(view, row, column)
    good = inner.good
    if min(good.shape) < limit("streak_least_px"):
        return None
    if good.mean() < limit("least_share"):
        return None
    tone = inner.tone.astype(np.float64)
    tone /= max(middle_of(tone[good]), 1e-4)
    scale = view.px_per_mm or max(good.shape) / limit("streak_cell_mm")
    across, along = (_variance(t, g, scale) for t, g in ((tone, good), (tone.T, good.T)))
    if across is None or along is None:
        return None
    return float(abs(across - along) ** 0.5)


def _variance(tone: Floats, good: Mask, scale: float) -> float | None:
    """The variance from row to row of strips averaged over `streak_along_mm` of each row, what is
    broader than `streak_across_mm` taken out."""
    tall, wide = tone.shape
    strips = max(1, int(wide / scale / limit("streak_along_mm")))
    size = wide // strips
    cut = (tall, strips, size)
    count = good[:, : strips * size].reshape(cut).sum(axis=2)
    total = np.where(good, tone, 0.0)[:, : strips * size].reshape(cut).sum(axis=2)
    real = count >= 0.5 * size
    means = np.where(real, total / np.maximum(count, 1), 1.0)
    reach = max(2, round(limit("streak_across_mm") * scale / 2))
    if tall < 2 * reach + 1 or real.mean() < 0.3:
        return None
    off = means - _broad(means, real, reach)
    kept = off[real]
    low, high = np.quantile(kept, [0.01, 0.99])
    return float(np.clip(kept, low, high).var())


def _broad(means: Floats, real: Mask, reach: int) -> Floats:
    """A running mean down each strip over what is real."""
    ones = np.cumsum(np.pad(real.astype(float), [(1, 0), (0, 0)]), axis=0)
    sums = np.cumsum(np.pad(np.where(real, means, 0.0), [(1, 0), (0, 0)]), axis=0)
    rows = np.arange(len(means))
    top, bottom = np.maximum(rows - reach, 0), np.minimum(rows + reach + 1, len(means))
    return np.asarray((sums[bottom] - sums[top]) / np.maximum(ones[bottom] - ones[top], 1))
