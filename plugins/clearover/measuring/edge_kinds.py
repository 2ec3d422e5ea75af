"""Which of several edges at a cell's border is which: colour, glaze and relief end apart.

In: pieces of a grid's edges. Out: how far each outer one is of the same kind as the inner ones, and
the middles of ridges. Knows nothing of how a grid is fitted.
"""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from .lattice import Pieces, Square

Floats = NDArray[np.float64]
_RIDGE = (0.01, 0.05)
"""How far apart a ridge's two sides lie, of a cell's shorter side."""


def likeness(pieces: Pieces, square: Square) -> Floats:
    """How like a step within the grid each step on its outer lines is, from 0.2 to 1; 1 for inner
    ones.

    Colour, glaze and relief end at different places round a cell. The outer line must be held to
    the same one as the inner lines: the step on the other side of its cell turned round, or that on
    the same side of the next cell.
    """
    found = np.ones_like(pieces.clear)
    for upright, cells in ((True, square.columns), (False, square.rows)):
        if cells < 2:
            continue
        on = pieces.upright == upright
        of = {
            (line, side): on & (pieces.line == line) & (pieces.side == side)
            for line in (0, 1, cells - 1, cells)
            for side in (-1.0, 1.0)
        }
        for outer, side, near in ((0, 1.0, 1), (cells, -1.0, cells - 1)):
            here = of[outer, side]
            pairs = [(of[near, -side], -1.0), (of[near, side], 1.0)]
            alike = [_alike(pieces, here, there, sign) for there, sign in pairs if there.any()]
            if alike:
                found[here] = 0.2 + 0.8 * np.maximum.reduce(alike)
    return found


def with_ridges(pieces: Pieces, square: Square) -> Pieces:
    """The same pieces, the middles of ridges beside their edges.

    Where glaze ends, light falls on a rounded rim: a thin bright or dark strip, two opposite steps,
    and its middle is where it ends.
    """
    short = min(square.cell)
    off, clear, step = [pieces.off], [pieces.clear], [pieces.step]
    for one, other in itertools.combinations(range(pieces.off.shape[1]), 2):
        a, b = pieces.step[:, one], pieces.step[:, other]
        apart = np.abs(pieces.off[:, one] - pieces.off[:, other]) / short
        against = (a * b).sum(axis=1) < -0.3 * np.sqrt(
            np.square(a).sum(axis=1) * np.square(b).sum(axis=1)
        )
        ridge = against & (apart > _RIDGE[0]) & (apart < _RIDGE[1])
        lower = np.minimum(pieces.clear[:, one], pieces.clear[:, other])
        off.append((pieces.off[:, [one]] + pieces.off[:, [other]]) / 2)
        clear.append(np.where(ridge, 1.2 * lower, 0.0)[:, None])
        step.append((a - b)[:, None] / 2)
    return replace(
        pieces,
        off=np.concatenate(off, axis=1),
        clear=np.concatenate(clear, axis=1),
        step=np.concatenate(step, axis=1),
    )


def _alike(
    pieces: Pieces, here: NDArray[np.bool_], there: NDArray[np.bool_], sign: float
) -> Floats:
    """For each edge here, how like the likest clear edge there it is, 0 to 1."""
    clear = pieces.clear[there]
    model = np.where(clear > 0.4 * clear.max(axis=1, keepdims=True), 1.0, 0.0)[..., None]
    model = sign * model * pieces.step[there]
    step = pieces.step[here]
    dot = (step[:, :, None] * model[:, None]).sum(axis=3)
    size = np.square(step).sum(axis=2)[:, :, None] + np.square(model).sum(axis=2)[:, None] + 1e-6
    return np.asarray(np.clip(2 * dot / size, 0, 1).max(axis=2))
