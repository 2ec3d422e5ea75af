"""Amounts that are never negative: a matrix and a wish in, the nearest possible amounts out.

Pure arithmetic on numpy arrays; knows nothing of oxides or materials.
Non-negative least squares after C. L. Lawson and R. J. Hanson, 1974, “Solving Least Squares
Problems”, Prentice-Hall, algorithm NNLS, chapter 23 (the algorithm from memory).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

_STEEP = 1e-12
"""How steep a gradient must be, beside the numbers it is made of, to count as one."""

_SMALL = 1e-9
"""Amounts below this share of the largest are rounding."""


def nearest_amounts(matrix: Array, wish: Array) -> Array:
    """The x >= 0 for which |matrix x - wish| is least; one of them where there are several."""
    count = matrix.shape[1]
    x = np.zeros(count)
    free = np.zeros(count, dtype=bool)
    steep = _STEEP * (1 + np.abs(matrix).sum() * (1 + np.abs(wish).max(initial=0.0)))
    for _ in range(6 * count + 6):
        slope = matrix.T @ (wish - matrix @ x)
        slope[free] = -np.inf
        if count == 0 or slope.max() <= steep:
            break
        free[int(slope.argmax())] = True
        x = _settled(matrix, wish, x, free)
    return x


def _settled(matrix: Array, wish: Array, x: Array, free: NDArray[np.bool_]) -> Array:
    """Least squares on the free columns, those that would turn negative taken out of them."""
    while True:
        trial = np.zeros_like(x)
        trial[free] = np.linalg.lstsq(matrix[:, free], wish, rcond=None)[0]
        bad = free & (trial <= 0)
        if not bad.any():
            return trial
        step = float(np.min(x[bad] / (x[bad] - trial[bad] + 1e-300)))
        x = x + step * (trial - x)
        out = free & (x <= _SMALL * max(float(x.max()), 1e-300))
        out |= bad & (x <= 0)
        if not out.any():
            out = bad
        free[out] = False
        x[out] = 0.0
        if not free.any():
            return x


def amounts_in_order(matrix: Array, wish: Array) -> Array:
    """As `nearest_amounts`; where several amounts do, each column in turn as far as it goes.

    The first column is used as much as the wish allows, then the second with what is left, as one
    fills a batch by hand: feldspar for the alkali, clay for the alumina, quartz for the rest.
    The simplex method with the smallest index first (R. G. Bland, 1977, “New finite pivoting rules
    for the simplex method”, Mathematics of Operations Research 2, 103; the rule from memory).
    """
    best = nearest_amounts(matrix, wish)
    count = matrix.shape[1]
    if count == 0 or np.linalg.matrix_rank(matrix) == count:
        return best
    reach = matrix @ best
    basis = _basis(matrix, best)
    for _ in range(50 * count):
        amounts = np.clip(np.linalg.lstsq(matrix[:, basis], reach, rcond=None)[0], 0, None)
        swap = _swap(matrix, basis, amounts)
        if swap is None:
            break
        basis[swap[0]] = swap[1]
    x = np.zeros(count)
    x[basis] = amounts
    x[x <= _SMALL * max(float(x.max()), 1e-300)] = 0.0
    return x


def _basis(matrix: Array, x: Array) -> list[int]:
    """Independent columns that span all others, those in use before the unused."""
    order = sorted(range(len(x)), key=lambda column: (not x[column] > 0, column))
    basis: list[int] = []
    for column in order:
        if np.linalg.matrix_rank(matrix[:, [*basis, column]]) > len(basis):
            basis.append(column)
    return basis


def _swap(matrix: Array, basis: list[int], amounts: Array) -> tuple[int, int] | None:
    """(place in the basis, column to put there) that gives an earlier column more, or None."""
    for column in range(matrix.shape[1]):
        if column in basis:
            continue
        share = np.linalg.lstsq(matrix[:, basis], matrix[:, column], rcond=None)[0]
        share[np.abs(share) < 1e-9] = 0.0
        # The first of the columns that change decides, and it must grow.
        falling = [basis[place] for place in np.flatnonzero(share > 0)]
        rising = [column, *(basis[place] for place in np.flatnonzero(share < 0))]
        if not falling or min(rising) > min(falling):
            continue
        room = {place: amounts[place] / share[place] for place in np.flatnonzero(share > 0)}
        least = min(room.values())
        tied = [place for place, each in room.items() if each <= least + 1e-12]
        return int(min(tied, key=lambda place: basis[place])), column
    return None
