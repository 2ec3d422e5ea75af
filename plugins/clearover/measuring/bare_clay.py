"""Whether what lies round a grid is of the same clay as the strips between its cells.

In: a grid square on. Out: how unlike they are on each side. A grid that was taken too large, out to
the tile's own edge, has the backdrop round it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .lattice import Square

Floats = NDArray[np.float64]
_SAMPLES = 12
_AWAY = (0.035, 0.07)
"""How far outside the grid is looked, of a cell's shorter side."""


def clay_off(square: Square) -> Floats:
    """Left, top, right and bottom: the median difference of the logarithm of light from a plane
    through the whole surround, for light is uneven. The strips between the cells count for a
    little: glaze may have wetted them."""
    rings, strips = _rings(square), _strips(square)
    points = np.concatenate([*rings, strips])
    trust = np.concatenate([np.ones(sum(map(len, rings))), np.full(len(strips), 0.1)])
    seen, terms = _logs(square, points), _terms(square, points)
    weight = trust
    for _ in range(6):
        scaled = terms * weight[:, None]
        plane = np.linalg.solve(scaled.T @ terms + 1e-6 * np.eye(3), scaled.T @ seen)
        off = np.linalg.norm(seen - terms @ plane, axis=1)
        weight = trust / (0.05 + off)
    ends = np.cumsum([len(ring) for ring in rings])
    return np.asarray([float(np.median(part)) for part in np.split(off, ends)[:4]])


def _strips(square: Square) -> Floats:
    """Points on the lines between the cells, in cells."""
    found = []
    for count, others, flip in (
        (square.columns, square.rows, False),
        (square.rows, square.columns, True),
    ):
        along = (np.arange(others * _SAMPLES) + 0.5) / _SAMPLES
        for line in range(1, count):
            pair = [np.full_like(along, line), along]
            found.append(np.column_stack(pair[::-1] if flip else pair))
    if not found:
        return _rings(square)[0]
    return np.concatenate(found)


def _rings(square: Square) -> list[Floats]:
    """Points just outside the grid: left, top, right, bottom, in cells."""
    short = min(square.cell)
    rings = []
    for axis in (0, 1):
        count, others = (square.columns, square.rows)[:: 1 if axis == 0 else -1]
        along = (np.arange(others * _SAMPLES) + 0.5) / _SAMPLES
        for start, way in ((0.0, -1), (float(count), 1)):
            points = []
            for away in _AWAY:
                pair = [np.full_like(along, start + way * away * short / square.cell[axis]), along]
                points.append(np.column_stack(pair if axis == 0 else pair[::-1]))
            rings.append(np.concatenate(points))
    left, right, top, bottom = rings
    return [left, top, right, bottom]


def _logs(square: Square, points: Floats) -> Floats:
    x = np.rint(square.edge[0] + points[:, 0] * square.cell[0] - 0.5).astype(int)
    y = np.rint(square.edge[1] + points[:, 1] * square.cell[1] - 0.5).astype(int)
    tall, wide = square.pixels.shape[:2]
    code = square.pixels[np.clip(y, 0, tall - 1), np.clip(x, 0, wide - 1)].astype(float)
    return np.asarray(np.log(np.square(code / 255) + 0.01))


def _terms(square: Square, points: Floats) -> Floats:
    u, v = points[:, 0] / square.columns - 0.5, points[:, 1] / square.rows - 0.5
    return np.column_stack([np.ones_like(u), u, v])
