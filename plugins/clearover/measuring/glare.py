"""Reflections on a glaze: which pixels of a cell they spoil, and how much stray light they spread.

In: the linear light of one evenly coloured cell. Out: what is left, and its colour with stray light
taken off. Knows nothing of the rest of the tile.

A reflection adds the lamp's own colour to the glaze's (S. A. Shafer, 1985, "Using color to separate
reflection components", Color Research and Application 10(4), 210-218): near a hard reflection a
smooth rise across the cell is therefore taken for added white, never for a paler colour.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .light import LUMA
from .limits import limit

Light = NDArray[np.float32]
Mask = NDArray[np.bool_]
_BLOCKS = 10
_LOW, _HIGH = 0.08, 0.92


def spared(light: Light, keep: Mask, grow: int) -> Mask:
    """The pixels of an even cell that no reflection spoils.

    A pixel brighter than the cell's median by many robust deviations is glare, and `grow` px round
    it are its halo. Source of the numbers: `data/measuring-limits.csv`.
    """
    bright = light @ LUMA.astype(np.float32)
    if not keep.any():
        return keep
    middle = float(np.median(bright[keep]))
    scatter = 1.4826 * float(np.median(np.abs(bright[keep] - middle))) + 1e-4
    spoilt = ~keep | (bright > middle + limit("glare_mads") * scatter)
    return ~grown(spoilt, grow)


def grown(mask: Mask, by: int) -> Mask:
    """A mask widened by so many px along rows and columns."""
    for axis in (0, 1):
        total = np.cumsum(np.pad(mask.astype(np.int32), _pads(axis, by + 1, by)), axis=axis)
        ahead = np.take(total, range(2 * by + 1, total.shape[axis]), axis=axis)
        behind = np.take(total, range(total.shape[axis] - 2 * by - 1), axis=axis)
        mask = (ahead - behind) > 0
    return mask


def _pads(axis: int, before: int, after: int) -> list[tuple[int, int]]:
    return [(before, after) if one == axis else (0, 0) for one in (0, 1)]


def own_light(light: Light, good: Mask) -> tuple[NDArray[np.float64], float]:
    """The cell's own linear RGB, and the stray light (Y) that was taken off it.

    The median of the good pixels; where the cell rises smoothly from one side to another by more
    than the limit, what lies above its low end is stray white and is taken off.
    """
    base = np.median(light[good], axis=0).astype(np.float64)
    smooth = _smooth_rise(light, good)
    if smooth is None:
        return base, 0.0
    low, middle, high = np.quantile(smooth, (_LOW, 0.5, _HIGH))
    if middle >= limit("halo_below_y") or (high - low) < limit("halo_from") * middle:
        return base, 0.0
    stray = float(middle - low)
    return np.maximum(base - stray, 1e-4), stray


def _smooth_rise(light: Light, good: Mask) -> NDArray[np.float64] | None:
    """The brightness of the cell as a robust quadratic over its blocks; None with too few."""
    tall, wide = light.shape[0] // _BLOCKS, light.shape[1] // _BLOCKS
    if tall < 2 or wide < 2:
        return None
    trimmed = (slice(0, tall * _BLOCKS), slice(0, wide * _BLOCKS))
    shape = (_BLOCKS, tall, _BLOCKS, wide)
    weight = good[trimmed].reshape(shape)
    bright = (light[trimmed] @ LUMA.astype(np.float32)).reshape(shape)
    share = weight.mean(axis=(1, 3))
    mean = (bright * weight).sum(axis=(1, 3)) / np.maximum(weight.sum(axis=(1, 3)), 1)
    row, column = np.nonzero(share > 0.5)
    if len(row) < 2 * _BLOCKS:
        return None
    values = mean[row, column].astype(np.float64)
    u, v = row / _BLOCKS - 0.45, column / _BLOCKS - 0.45
    system = np.stack([np.ones_like(u), u, v, u * u, u * v, v * v], axis=-1)
    weights = np.ones(len(values))
    fitted = values
    for _ in range(8):
        root = np.sqrt(weights)[:, None]
        solution = np.linalg.lstsq(system * root, values * root[:, 0], rcond=None)[0]
        fitted = system @ solution
        off = values - fitted
        z = off / (4 * (1.4826 * np.median(np.abs(off)) + 1e-6))
        weights = np.where(np.abs(z) < 1, (1 - z * z) ** 2, 0.0)
    return np.asarray(fitted)
