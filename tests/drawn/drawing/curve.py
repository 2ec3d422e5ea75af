"""A tile that is no plane: the side of a cup, darker where it turns away.

In: a flat board. Out: the same board bent, in place. Its corners stay where they were.
"""

from __future__ import annotations

import numpy as np

from .board import Board


def bow(board: Board, depth: float = 0.06) -> None:
    """Bend level lines into bows `depth` of the height deep, and shade the sides."""
    height, width = board.height.shape
    across = np.linspace(-1, 1, width)
    drop = np.rint(depth * height * (1 - across**2)).astype(int)
    rows = np.clip(np.arange(height)[:, None] - drop[None, :], 0, height - 1)
    columns = np.broadcast_to(np.arange(width)[None, :], rows.shape)
    shade = (0.62 + 0.38 * np.sqrt(1 - 0.85 * across**2))[None, :]
    board.colour = board.colour[rows, columns] * shade[..., None]
    board.height = board.height[rows, columns]
    board.gloss = board.gloss[rows, columns]
