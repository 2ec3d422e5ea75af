"""Where in a photo one may look for what: inside a quadrangle, round the grid, on the card.

In: corners in px. Out: masks over points, or quadrangles. Knows nothing of light.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ..photos.straighten import Point, homography

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]


def inside(x: Floats, y: Floats, corners: Sequence[Point]) -> Mask:
    """Which points lie in a convex quadrangle, its corners clockwise in px. A row of x and a
    column of y stand for all their points, here as below, at a third of the cost."""
    mask = np.ones(np.broadcast_shapes(x.shape, y.shape), dtype=bool)
    for (ax, ay), (bx, by) in zip(corners, [*corners[1:], corners[0]], strict=True):
        mask &= (bx - ax) * (y - ay) - (by - ay) * (x - ax) >= 0
    return mask


def resized(corners: Sequence[Point], factor: float) -> list[Point]:
    """The same quadrangle, larger or smaller round its middle."""
    points = np.asarray(corners, dtype=float)
    middle = points.mean(axis=0)
    return [(float(px), float(py)) for px, py in middle + (points - middle) * factor]


def outside_by(x: Floats, y: Floats, corners: Sequence[Point], size: Point) -> Floats:
    """How far points lie outside the grid, in the units of `size` (its width and height), as seen
    on the tile; 0 and below inside."""
    width, height = size
    carry = homography(corners, [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)])
    u, v, depth = (one[0] * x + (one[1] * y + one[2]) for one in carry)
    u, v = u / depth, v / depth
    return np.asarray(np.maximum(np.maximum(-u, u - width), np.maximum(-v, v - height)))
