"""Whether the photo shows what its record says: plain words for each doubt.

In: an opened photo and a request. Out: notes, none where all is well. Nothing is refused here: a
doubt is told beside the numbers.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from ..photos.opening import Opened
from ..photos.straighten import straight_size
from .lattice import Square, Steps, carry_of, square_on, steps_of
from .lattice_fit import borne_out
from .limits import limit
from .request import Request
from .shapes import CURVED

Floats = NDArray[np.float64]
_LONG = 420.0
_GAPS = (0.0, 0.01, 0.02, 0.03)


def doubts(opened: Opened, request: Request) -> tuple[str, ...]:
    """What speaks against this photo or its corners, one sentence each. A curved tile's grid is
    not straight, and is not held to its corners."""
    step = max(1, round(max(opened.picture.size) / 1000))
    small = opened.picture.reduce(step)
    corners = np.asarray(opened.inside(request.corners)) / step
    dull = _dull(small, corners)
    if dull:
        return (dull,)
    if request.shape == CURVED:
        return ()
    found = [_shape(request)]
    rows, columns = request.rows, request.columns
    here = evidence(small, corners, rows, columns)
    turned = 0.0
    if rows != columns:
        turned = evidence(small, corners, columns, rows)
    if turned > max(limit("grid_least_evidence"), here + limit("grid_turned_by")):
        told = (
            f"the photo shows {columns} rows and {rows} columns where the record has {rows} "
            f"and {columns}: the corners may begin a quarter turn off"
        )
        found.append(told)
    elif here < limit("grid_least_evidence"):
        told = (
            "the grid does not seem to lie where the corners say: look at the corners, and "
            "whether this is a photo of this tile (a curved tile has no straight grid: then write "
            "`shape: curved` into its record)"
        )
        found.append(told)
    return tuple(note for note in found if note)


def evidence(picture: Image.Image, corners: Floats, rows: int, columns: int) -> float:
    """The share of the grid's edges that lie where they should, beyond chance; -1 to 1."""
    square = square_on(picture, carry_of(corners, rows, columns), rows, columns, _LONG, fine=False)
    steps = steps_of(square, True, 2), steps_of(square, False, 2)
    short = min(square.cell)
    near = max(2.0, limit("grid_near") * short)
    return max(_beyond(square, gap * short, near, steps) for gap in _GAPS)


def _beyond(square: Square, gap: float, near: float, steps: tuple[Steps, Steps]) -> float:
    support, chance = borne_out(square, gap, near, steps)
    return float(support.mean()) - chance


def _dull(picture: Image.Image, corners: Floats) -> str | None:
    """A photo too dark or too bright to show anything."""
    square = square_on(picture, carry_of(corners, 1, 1), 1, 1, 200.0, fine=False)
    brightest = square.pixels.max(axis=2)
    if float(np.percentile(brightest, 95)) < limit("black_below"):
        return "the photo is all but black: take it again in more light"
    if float(np.percentile(brightest, 20)) >= limit("clipped_from"):
        return "the photo is burnt out, nearly all of it white: take it again with less light"
    return None


def _shape(request: Request) -> str | None:
    """Width and height stated against what the corners show."""
    if not (request.width_mm and request.height_mm):
        return None
    wide, tall = straight_size(request.corners)
    off = (wide / tall) / (request.width_mm / request.height_mm)
    most = limit("shape_off_most")
    if 1 / most <= off <= most:
        return None
    told = f"the record says {request.width_mm:g} × {request.height_mm:g} mm, but the corners "
    told += f"make a grid {'wider' if off > 1 else 'taller'} than that"
    swapped = off * (request.width_mm / request.height_mm) ** 2
    if 1 / most <= swapped <= most:
        told += ": width and height may be swapped, or the corners begin a quarter turn off"
    return told
