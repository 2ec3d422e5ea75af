"""The grey card: where it lies in, what brings it to its stated reflectance out.

Common practice of photography: a neutral card of known reflectance, in the light of the thing that
is photographed. Knows nothing of the tile.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ..photos.straighten import Point
from .limits import limit
from .regions import inside, resized

Floats = NDArray[np.float64]
_CENTRE = 0.5
"""A pixel's middle, px from its corner."""
_DARKEST = 1e-4
"""Linear light: a card is never taken for darker."""


def sample(
    light: NDArray[np.float32], clipped: NDArray[np.bool_], corners: Sequence[Point]
) -> Floats | None:
    """The median linear RGB in the middle of a quadrangle of `light` (px of that array).

    None where it lies outside, or too much of it is clipped.
    """
    quad = resized(corners, limit("card_inside"))
    xs, ys = zip(*quad, strict=True)
    left, top = max(0, int(min(xs))), max(0, int(min(ys)))
    right, bottom = int(max(xs)) + 1, int(max(ys)) + 1
    part = light[top:bottom, left:right]
    if part.shape[0] < 2 or part.shape[1] < 2:
        return None
    y, x = np.mgrid[top : top + part.shape[0], left : left + part.shape[1]] + _CENTRE
    within = inside(x, y, quad)
    good = within & ~clipped[top:bottom, left:right]
    least = max(limit("card_least_share") * within.sum(), limit("card_least_blocks"))
    if good.sum() < least:
        return None
    return np.asarray(np.median(part[good], axis=0), dtype=np.float64)


def gains_for(seen: Floats, reflectance: float) -> Floats:
    """What each linear channel is multiplied by so that the card has its reflectance."""
    return np.asarray(reflectance / np.maximum(seen, _DARKEST))
