"""Hard reflections on a glaze: which pixels of a cell they spoil.

In: the brightness of one evenly coloured cell. Out: what is left. Knows nothing of the rest of
the tile; what a reflection spreads over its neighbourhood is `stray`'s business.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .light import middle_of
from .limits import limit

Light = NDArray[np.float32]
Mask = NDArray[np.bool_]


def spared(tone: Light, keep: Mask, grow: int) -> Mask:
    """The pixels of an even cell that no reflection spoils; `tone` is their brightness (Y).

    A pixel brighter than the cell's median by many robust deviations is glare, and `grow` px round
    it are its halo. Source of the numbers: `data/measuring-limits.csv`.
    """
    if not keep.any():
        return keep
    kept = tone[keep]
    middle = middle_of(kept)
    scatter = 1.4826 * middle_of(np.abs(kept - np.float32(middle))) + 1e-4
    spoilt = ~keep | (tone > middle + limit("glare_mads") * scatter)
    return ~grown(spoilt, grow) if spoilt.any() else keep


def grown(mask: Mask, by: int) -> Mask:
    """A mask widened by so many px along rows and columns."""
    for axis in (0, 1):
        total = np.cumsum(np.pad(mask, _pads(axis, by + 1, by)), axis=axis, dtype=np.int32)
        total = np.moveaxis(total, axis, 0)
        mask = np.moveaxis(total[2 * by + 1 :] > total[: -2 * by - 1], 0, axis)
    return np.asarray(mask)


def _pads(axis: int, before: int, after: int) -> list[tuple[int, int]]:
    return [(before, after) if one == axis else (0, 0) for one in (0, 1)]
