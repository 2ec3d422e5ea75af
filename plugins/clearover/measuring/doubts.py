"""Whether the photo shows what its record says: plain words for each doubt.

In: an opened photo and a request. Out: notes, none where all is well. Nothing is refused here: a
doubt is told beside the numbers.
"""

from __future__ import annotations

import numpy as np

from ..photos.opening import Opened
from ..photos.straighten import straight_size
from .lattice import carry_of, square_on
from .light import brightest_channel
from .limits import limit
from .request import Request
from .rough import Rough, evidence, may_reach, rough_of, turned
from .shapes import CURVED


def doubts(opened: Opened, request: Request, rough: Rough | None = None) -> tuple[str, ...]:
    """What speaks against this photo or its corners, one sentence each. A curved tile's grid is
    not straight, and is not held to its corners. `rough` is its grid where it was seen already."""
    rough = rough or rough_of(opened, request)
    dull = _dull(rough)
    if dull:
        return (dull,)
    if request.shape == CURVED:
        return ()
    found = [_shape(request)]
    rows, columns = request.rows, request.columns
    least, by = limit("grid_least_evidence"), limit("grid_turned_by")
    here = evidence(rough, least)
    if rows != columns and _is_turned(rough, here, least, by):
        told = (
            f"the photo shows {columns} rows and {rows} columns where the record has {rows} "
            f"and {columns}: the corners may begin a quarter turn off"
        )
        found.append(told)
    elif here < least:
        told = (
            "the grid does not seem to lie where the corners say: look at the corners, and "
            "whether this is a photo of this tile (a curved tile has no straight grid: then write "
            "`shape: curved` into its record)"
        )
        found.append(told)
    return tuple(note for note in found if note)


def _is_turned(rough: Rough, here: float, least: float, by: float) -> bool:
    """Whether the grid fits clearly better the other way round. `here` is the evidence as it
    stands, or so much of it as was looked for."""
    other = turned(rough)
    if not may_reach(other, max(least, here + by)):
        return False
    return evidence(other) > max(least, evidence(rough) + by)


def _dull(rough: Rough) -> str | None:
    """A photo too dark or too bright to show anything."""
    carry = carry_of(rough.corners, 1, 1)
    square = square_on(rough.picture, carry, 1, 1, 200.0, fine=False)
    brightest = brightest_channel(square.pixels)
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
