"""A tile that is no plane: the side of a cup, darker where it turns away.

In: a flat board. Out: the same board bent, in place, and how far its grid's corners sank.
"""

from __future__ import annotations

import numpy as np

from .board import Board


def bow(board: Board, depth: float = 0.06) -> tuple[float, float]:
    """Bend level lines into bows `depth` of the height deep, and shade the sides.

    Returns how far the grid's left and right corners sank, px: `board.grid` keeps the flat ones.
    """
    height, width = board.height.shape
    across = np.linspace(-1, 1, width)
    drop = np.rint(depth * height * (1 - across**2)).astype(int)
    rows = np.clip(np.arange(height)[:, None] - drop[None, :], 0, height - 1)
    columns = np.broadcast_to(np.arange(width)[None, :], rows.shape)
    shade = (0.62 + 0.38 * np.sqrt(1 - 0.85 * across**2))[None, :]
    board.colour = board.colour[rows, columns] * shade[..., None]
    board.height = board.height[rows, columns]
    board.gloss = board.gloss[rows, columns]
    left, _, right, _ = board.grid
    sunk = np.interp([left, right], np.arange(width), drop)
    return float(sunk[0]), float(sunk[1])
