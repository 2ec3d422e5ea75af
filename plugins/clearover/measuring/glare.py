"""Hard reflections on a glaze: which pixels of a cell they spoil.

In: the light of one evenly coloured cell. Out: what is left. Knows nothing of the rest of
the tile; what a reflection spreads over its neighbourhood is `stray`'s business.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .light import middle_of
from .limits import limit

Light = NDArray[np.float32]
Mask = NDArray[np.bool_]
_BINS = 64
_RIM = 3
"""Px: what is thinner than twice this is no lamp but a streak."""


def spared(light: Light, tone: Light, keep: Mask, grow: int) -> Mask:
    """The pixels of an even cell that no reflection spoils.

    `light` is linear RGB, `tone` its brightness (Y). A pixel brighter than the cell's median by
    many robust deviations is glare, and `grow` px round it are its halo. A reflection so large that
    the median lies in it is looked for first. Source of the numbers: `data/measuring-limits.csv`.
    """
    if not keep.any():
        return keep
    lamp = _large(light, tone, keep)
    own = keep if lamp is None else keep & ~lamp
    kept = tone[own]
    middle = middle_of(kept)
    scatter = 1.4826 * middle_of(np.abs(kept - np.float32(middle))) + 1e-4
    spoilt = ~keep | (tone > middle + limit("glare_mads") * scatter)
    if lamp is not None:
        spoilt |= lamp
    return ~grown(spoilt, grow) if spoilt.any() else keep


def _large(light: Light, tone: Light, keep: Mask) -> Mask | None:
    """The mirrored lamp, where it may cover half of the cell; None where there is none.

    The cell falls into a dark and a bright part with little between (parted as N. Otsu, 1979, "A
    threshold selection method from gray-level histograms", IEEE Transactions on Systems, Man, and
    Cybernetics 9(1), 62-66), and the bright part is the dark one with as much red as green and blue
    added: a lamp's white lies on top of a glaze's colour (Shafer, see `stray`). Streaks add the
    ground's colour and are thin.
    """
    kept = tone[keep]
    low, high = _ends(kept)
    if high - low < limit("glare_split_gap"):
        return None
    cut = _parted(kept, low, high)
    bright = keep & (tone > cut)
    dark = keep & ~bright
    if not bright.any() or not dark.any():
        return None
    below, above = (float(middle_of(tone[part])) for part in (dark, bright))
    gap = above - below
    if gap < limit("glare_split_gap"):
        return None
    between = np.mean((kept > below + 0.35 * gap) & (kept < above - 0.35 * gap))
    if between > limit("glare_split_between"):
        return None
    added = [middle_of(light[..., k][bright]) - middle_of(light[..., k][dark]) for k in range(3)]
    if min(added) <= 0 or max(added) > limit("glare_split_white") * min(added):
        return None
    core = bright & ~grown(~bright, _RIM)
    return bright if core.sum() > limit("glare_split_whole") * bright.sum() else None


def _ends(kept: Light) -> tuple[float, float]:
    """All but the darkest and the brightest fiftieth."""
    at = len(kept) // 50
    parted = np.partition(kept, (at, len(kept) - 1 - at))
    return float(parted[at]), float(parted[-1 - at])


def _parted(kept: Light, low: float, high: float) -> float:
    """The brightness that parts two heaps best."""
    count, edges = np.histogram(kept, _BINS, (low, high))
    share = count / count.sum()
    centre = (edges[:-1] + edges[1:]) / 2
    weight, moment = np.cumsum(share), np.cumsum(share * centre)
    between = np.square(moment[-1] * weight - moment) / np.maximum(weight * (1 - weight), 1e-9)
    return float(edges[int(np.argmax(between[:-1])) + 1])


def grown(mask: Mask, by: int) -> Mask:
    """A mask widened by so many px along rows and columns."""
    for axis in (0, 1):
        total = np.cumsum(np.pad(mask, _pads(axis, by + 1, by)), axis=axis, dtype=np.int32)
        total = np.moveaxis(total, axis, 0)
        mask = np.moveaxis(total[2 * by + 1 :] > total[: -2 * by - 1], 0, axis)
    return np.asarray(mask)


def _pads(axis: int, before: int, after: int) -> list[tuple[int, int]]:
    return [(before, after) if one == axis else (0, 0) for one in (0, 1)]
