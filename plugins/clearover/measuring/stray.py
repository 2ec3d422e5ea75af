"""Stray light: the white that a reflection spreads over a glaze, found by how it rises and falls.

In: a view and its cells. Out: how much white lies over each cell. Knows nothing of verdicts.

A reflection adds the lamp's own colour to the glaze's (S. A. Shafer, 1985, "Using color to separate
reflection components", Color Research and Application 10(4), 210-218). Inside one evenly coloured
cell the glaze's own colour does not change, so a smooth rise that goes on over its neighbours is
added white. It is modelled as a sum of wide, soft spots of light, none negative, as few as will do
(least squares with a price on light), and every cell has a brightness of its own. A veil that is
the same everywhere cannot be seen in this way and is not taken off. Numbers: our own choice, tried
on drawn photos; `data/measuring-limits.csv`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..least_squares import nearest_amounts
from .limits import limit

Floats = NDArray[np.float64]
_BLOCKS = 10
_SPOTS = 6
_WIDTH = 0.9
_ROUNDS = 3


@dataclass(frozen=True, slots=True)
class Blocks:
    """One cell in blocks: brightness (Y) of each good block, and where it lies (x, y in units of
    the view's longer side); `rough` is how far blocks beside each other differ."""

    bright: Floats
    at: Floats
    rough: float = 0.0


def nothing() -> Blocks:
    """A cell that is too small to be cut into blocks."""
    return Blocks(np.zeros(0), np.zeros((0, 2)))


def blocks_of(
    tone: NDArray[np.float32], good: NDArray[np.bool_], corner: tuple[int, int], longer: int
) -> Blocks:
    """Cut a cell's brightness into blocks; `corner` is its top and left in the view, px."""
    tall, wide = tone.shape[0] // _BLOCKS, tone.shape[1] // _BLOCKS
    if tall < 2 or wide < 2:
        return nothing()
    cut = (slice(0, tall * _BLOCKS), slice(0, wide * _BLOCKS))
    shape = (_BLOCKS, tall, _BLOCKS, wide)
    weight = good[cut].reshape(shape)
    bright = tone[cut].reshape(shape)
    count = weight.sum(axis=(1, 3))
    mean = (bright * weight).sum(axis=(1, 3)) / np.maximum(count, 1)
    whole = count > 0.5 * tall * wide
    row, column = np.nonzero(whole)
    x = corner[1] + (column + 0.5) * wide
    y = corner[0] + (row + 0.5) * tall
    return Blocks(
        mean[row, column].astype(np.float64),
        np.stack([x, y], axis=1).astype(np.float64) / longer,
        max(_rough(mean, whole), _rough(mean.T, whole.T)),
    )


def _rough(mean: NDArray[np.float32], whole: NDArray[np.bool_]) -> float:
    """The standard deviation of a block as its neighbours in one direction tell it (robust)."""
    apart = np.abs(np.diff(mean, axis=0))[whole[1:] & whole[:-1]]
    return 1.4826 * float(np.median(apart)) / np.sqrt(2) if apart.size else 0.0


def stray_over(cells: Sequence[Blocks], size: tuple[float, float]) -> list[float]:
    """How much white (Y) lies over each cell, its median over the blocks.

    `size` is the view's width and height in units of its longer side.
    """
    useful = [cell for cell in cells if len(cell.bright) >= 2 * _BLOCKS]
    if not useful:
        return [0.0 for _ in cells]
    spots = _spots(size)
    light = _solve(useful, spots)
    return [
        float(np.median(_reach(cell.at, spots) @ light)) if len(cell.at) else 0.0 for cell in cells
    ]


def _spots(size: tuple[float, float]) -> Floats:
    x, y = np.meshgrid(*((np.arange(_SPOTS) + 0.5) / _SPOTS * side for side in size))
    return np.stack([x.ravel(), y.ravel()], axis=1)


def _reach(at: Floats, spots: Floats) -> Floats:
    """How brightly each spot shines at each point: a Gaussian as wide as the spots lie apart."""
    away = ((at[:, None, :] - spots[None, :, :]) ** 2).sum(axis=2)
    return np.asarray(np.exp(-away / (2 * (_WIDTH / _SPOTS) ** 2)))


def _solve(cells: Sequence[Blocks], spots: Floats) -> Floats:
    own = np.repeat(np.eye(len(cells)), [len(cell.bright) for cell in cells], axis=0)
    system = np.concatenate(
        [np.concatenate([_reach(cell.at, spots) for cell in cells]), own], axis=1
    )
    seen = np.concatenate([cell.bright for cell in cells])
    doubt = np.concatenate(
        [
            np.full(
                len(cell.bright),
                max(
                    limit("stray_noise") + limit("stray_share") * np.median(cell.bright),
                    limit("stray_rough") * cell.rough,
                ),
            )
            for cell in cells
        ]
    )
    weights = np.ones(len(seen))
    found = np.zeros(system.shape[1])
    price = np.zeros(system.shape[1])
    price[: len(spots)] = limit("stray_price") * len(seen)
    for _ in range(_ROUNDS):
        scaled = system * (weights / doubt)[:, None]
        normal = scaled.T @ scaled
        normal += 1e-9 * np.trace(normal) / len(normal) * np.eye(len(normal))
        root = np.linalg.cholesky(normal)
        wish = np.linalg.solve(root, scaled.T @ (seen * weights / doubt) - price)
        found = nearest_amounts(np.asarray(root.T), wish)
        off = (seen - system @ found) / doubt
        z = off / (4 * (1.4826 * np.median(np.abs(off)) + 1e-9))
        weights = np.where(np.abs(z) < 1, 1 - z * z, 1e-3)
    return found[: len(spots)]
