"""The strip of bare clay round a grid: where it lies, and its colour.

In: a photo's blocks. Out: a mask, or L*a*b*. Knows nothing of cells or of other photos.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ..colour.srgb import light_to_lab
from .light import Field
from .limits import limit
from .other_light import Blocks
from .regions import outside_by
from .request import Request

Floats = NDArray[np.float64]


def ring(x: Floats, y: Floats, request: Request) -> NDArray[np.bool_]:
    """Which points of the photo lie on the strip of clay round the grid. A row of x and a column
    of y stand for all their points."""
    if request.width_mm and request.height_mm:
        away = outside_by(x, y, request.corners, (request.width_mm, request.height_mm))
        return (away > limit("ring_from_mm")) & (away < limit("ring_to_mm"))
    wide, high = request.columns, request.rows
    away = outside_by(x, y, request.corners, (float(wide), float(high))) / min(wide, high)
    return (away > limit("ring_from_share")) & (away < limit("ring_to_share"))


def clay_colour(
    blocks: Blocks, field: Field, request: Request, matrix: Floats
) -> tuple[float, float, float] | None:
    """L*a*b* of the clay round the grid, evened and balanced; None where too little of it shows."""
    on = blocks.free & ring(blocks.x, blocks.y, request)
    if on.sum() < limit("ground_blocks"):
        return None
    clay = blocks.at(on)
    light = clay.light / field.at(clay.x, clay.y)[:, None]
    balanced = np.median(light, axis=0).astype(np.float64) @ matrix
    lightness, a, b = (float(v) for v in light_to_lab(np.maximum(balanced, 0)))
    return lightness, a, b
