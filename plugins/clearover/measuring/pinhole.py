"""Whether a grid can be what its sides say, seen through a pinhole.

In: where a grid is thought to lie in a photo, and its width by height. Out: how far it is from what
any usual camera would show. Eight numbers place a grid in a photo; a pinhole camera with square
pixels and its axis through the photo's middle leaves seven of them free, one of them the focal
length, and that lies within bounds (R. Hartley and A. Zisserman, Multiple View Geometry in Computer
Vision, 2nd ed., 2003, chapter 8; from memory).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..photos.straighten import Matrix

Floats = NDArray[np.float64]
_DIAGONAL = 43.27
"""Mm, of a 36 × 24 mm frame, by which focal lengths are compared."""
_SHORTEST, _LONGEST = 20.0, 80.0
"""Focal lengths in mm by that frame: phones from wide to tele (common practice)."""


def unlike(
    carry: Matrix, rows: int, columns: int, ratio: float, size: tuple[int, int]
) -> tuple[float, float]:
    """How far a grid is from a rectangle of this width by height, by the likeliest camera.

    `carry` takes cells to px of a photo of `size`. First by how much its angles are off (cosine),
    then its width by height (of itself). A photo cut to one side moves the axis off its middle: up
    to about 0.01 is nothing.
    """
    middle = np.array([[1, 0, -size[0] / 2], [0, 1, -size[1] / 2], [0, 0, 1.0]])
    seen = middle @ carry @ np.diag([columns / ratio, rows, 1.0])
    (ax, bx), (ay, by), (az, bz) = seen[:, :2].tolist()
    wide, tall = ax * ax + ay * ay, bx * bx + by * by
    full = wide + tall
    flat = 2 * (ax * bx + ay * by) / full, (wide - tall) / full
    deep = 2 * az * bz / full, (az * az - bz * bz) / full
    unit = (size[0] ** 2 + size[1] ** 2) / _DIAGONAL**2
    best = -(flat[0] * deep[0] + flat[1] * deep[1]) / max(deep[0] ** 2 + deep[1] ** 2, 1e-30)
    square = min(max(best, _SHORTEST**2 * unit), _LONGEST**2 * unit)
    return flat[0] + square * deep[0], flat[1] + square * deep[1]
