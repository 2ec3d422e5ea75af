"""A grid seen roughly and quickly: whether its edges lie where the corners say.

In: an opened photo and a request. Out: a `Rough`, made once for all who ask, and the evidence in
it. Knows nothing of what is told of it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from ..photos.opening import Opened
from ..photos.straighten import Matrix
from .lattice import Square, Steps, both, carry_of, square_on, steps_of
from .lattice_fit import borne_out, hits
from .limits import limit
from .request import Request

Floats = NDArray[np.float64]
_SIDE = 1000
"""Of the photo, px on its longer side: more is not needed to see where a grid lies."""
_LONG = 420.0
_GAPS = (0.0, 0.01, 0.02, 0.03)


@dataclass(frozen=True, slots=True)
class Rough:
    """A small picture, the grid's corners in it, and the grid square on with its steps of colour
    across and down. `carry` takes cells to px of the picture."""

    picture: Image.Image
    corners: Floats
    carry: Matrix
    square: Square
    steps: tuple[Steps, Steps]


def rough_of(opened: Opened, request: Request) -> Rough:
    """The grid of a photo, roughly."""
    step = max(1, round(max(opened.picture.size) / _SIDE))
    corners = np.asarray(opened.inside(request.corners)) / step
    return roughly(opened.picture.reduce(step), corners, request.rows, request.columns)


def roughly(picture: Image.Image, corners: Floats, rows: int, columns: int) -> Rough:
    """The same from a small picture and corners in it."""
    carry = carry_of(corners, rows, columns)
    square = square_on(picture, carry, rows, columns, _LONG, fine=False)
    steps = steps_of(square, True, 2), steps_of(square, False, 2)
    return Rough(picture, corners, carry, square, steps)


def turned(rough: Rough) -> Rough:
    """The same corners, rows taken for columns."""
    return roughly(rough.picture, rough.corners, rough.square.columns, rough.square.rows)


def evidence(rough: Rough, enough: float = 1.0) -> float:
    """The share of the grid's edges that lie where they should, beyond chance; -1 to 1.

    Looks no further once `enough` is reached.
    """
    found = -1.0
    for gap in _GAPS:
        support, chance = borne_out(rough.square, *_at(rough, gap), rough.steps)
        found = max(found, float(support.mean()) - chance)
        if found >= enough:
            break
    return found


def may_reach(rough: Rough, least: float) -> bool:
    """Whether the evidence could be more than that: a third of the work of finding out."""
    wide = max(5.0, 0.08 * min(rough.square.cell))
    for share in _GAPS:
        gap, near = _at(rough, share)
        if np.mean(hits(both(*rough.steps, rough.square, gap, wide), gap, near)) > least:
            return True
    return False


def _at(rough: Rough, gap: float) -> tuple[float, float]:
    """Half the free strip and how near is near, px of the square view."""
    short = min(rough.square.cell)
    return gap * short, max(2.0, limit("grid_near") * short)
