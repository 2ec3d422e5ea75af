"""The grid that fits its edges best: eight numbers, the free strip, and the lens if asked.

In: a picture and a first guess. Out: `Fitted`: the grid, how well its lines are borne out, and how
unsure its corners are. Iteratively reweighted least squares (Cauchy weights: Holland and Welsch,
Robust regression using iteratively reweighted least-squares, Communications in Statistics A6,
1977).
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from ..photos.straighten import Matrix, apply
from .bare_clay import clay_off
from .edge_kinds import likeness, with_ridges
from .lattice import (
    Pieces,
    Square,
    Steps,
    both,
    carry_of,
    pieces_of,
    ring_of,
    square_on,
    steps_of,
)

Floats = NDArray[np.float64]
_AJAR = 0.02
"""Of a cell's shorter side: how far apart the ends of glaze, colour and relief lie at a cell's
border."""
_SETTLED = 1e-4
"""Px of the square view: a fit that moves less from round to round has settled."""
_CLEAR = 2.5
"""An edge piece that stands out less, times its noise, says nothing."""


@dataclass(slots=True)
class Fitted:
    """A fitted grid. `carry` takes cells to px of the picture, `gap` is half the free strip in px
    of the square view, `spread` the robust spread of the edges round it, px of the square view;
    `corner_sd` how unsure each corner is, of the grid's width; `support` the share of each line's
    edge pieces that lie where they should, upright lines first; `chance` the same beside the
    lines; `clay` how unlike the strips between the cells the surround is, on each of four sides
    (natural logarithm of light)."""

    carry: Matrix
    rows: int
    columns: int
    gap: float
    spread: float
    corner_sd: float
    support: Floats
    chance: float
    clay: Floats
    square: Square
    pieces: Pieces
    rest: Floats


def fit(
    picture: Image.Image,
    carry: Matrix,
    rows: int,
    columns: int,
    gap: float,
    plan: tuple[tuple[float, float, int], ...],
    *,
    fine: bool = True,
) -> Fitted | None:
    """Fit in steps; each step of `plan` is the square view's longer side, the reach, of a cell's
    shorter side, and how soft a step is, px. `gap` is in cells of the shorter side."""
    result = None
    for long_side, reach, soft in plan:
        square = square_on(picture, carry, rows, columns, long_side, fine=fine)
        short = min(square.cell)
        pieces = pieces_of(square, gap * short, max(2.0, reach * short), soft)
        solved = solve(pieces, square, gap * short, fine=fine)
        if solved is None:
            return None
        moved, new_gap, spread, sd, rest = solved
        carry = _moved(carry, square, moved)
        gap = new_gap / short
        result = (square, pieces, spread, sd, rest)
    assert result is not None
    square, pieces, spread, sd, rest = result
    final = square_on(picture, carry, rows, columns, plan[-1][0], fine=fine)
    wide = gap * min(final.cell)
    support, chance = borne_out(final, wide)
    clay = clay_off(final)
    return Fitted(
        carry, rows, columns, wide, spread, sd, support, chance, clay, final, pieces, rest
    )


def design(pieces: Pieces, square: Square) -> Floats:
    """What each of the eight numbers and the free strip moves each piece by, px."""
    a = 2 * pieces.u / square.columns - 1
    b = 2 * pieces.v / square.rows - 1
    wide, tall = square.columns * square.cell[0] / 2, square.rows * square.cell[1] / 2
    return np.column_stack([_shift(a, b, wide, tall, pieces.upright), pieces.side])


def _shift(a: Floats, b: Floats, wide: float, tall: float, upright: NDArray[np.bool_]) -> Floats:
    zero = np.zeros_like(a)
    across = np.stack(
        [wide + zero, wide * a, wide * b, zero, zero, zero, wide * a * a, wide * a * b]
    )
    down = np.stack([zero, zero, zero, tall + zero, tall * a, tall * b, tall * a * b, tall * b * b])
    return np.where(upright, across, down).T


def solve(
    pieces: Pieces, square: Square, gap: float, more: Floats | None = None, *, fine: bool = True
) -> tuple[Floats, float, float, float, Floats] | None:
    """The eight numbers, the free strip's half width (px), the spread, the corners' uncertainty
    (of the grid's width) and what is left of each piece (NaN where it was not clear)."""
    parts = design(pieces, square)
    if more is not None:
        parts = np.column_stack([parts, more])
    if fine:
        pieces = with_ridges(pieces, square)
        usual = float(np.median(pieces.clear.max(axis=1))) + _CLEAR
        strength = pieces.clear / (pieces.clear + usual)
    else:
        strength = np.minimum(pieces.clear / 6, 1.0)
    alike = likeness(pieces, square)
    strength = np.where(pieces.clear > _CLEAR, strength, 0.0)
    off = pieces.off
    if fine:
        outer = pieces.line % np.where(pieces.upright, square.columns, square.rows) == 0
        rims = parts[outer] * np.r_[np.ones(8), 0, np.ones(parts.shape[1] - 9)]
        parts = np.concatenate([parts, rims])
        off = np.concatenate([off, off[outer]])
        strength = np.concatenate([strength * alike, (strength * (1.2 - alike))[outer]])
    else:
        strength = strength * alike
    if (strength.max(axis=1) > 0).sum() < 2 * parts.shape[1]:
        return None
    best: tuple[float, Floats] | None = None
    count = parts.shape[1]
    for start in _starts(count, gap, square) if fine else [_start(count, gap)]:
        fitted = _settle(parts, off, strength, start, square, 14)[0]
        near = 0.006 * min(square.cell)
        rest = off - (parts @ fitted)[:, None]
        worth = float((strength / (1 + np.square(rest / near))).max(axis=1).sum())
        if best is None or worth > best[0]:
            best = worth, fitted
    assert best is not None
    fitted, normal, weight, rest, used, spread = _settle(parts, off, strength, best[1], square, 6)
    weight[~used] = 0
    rest[~used] = np.nan
    sd = _corner_sd(normal, weight, np.nan_to_num(rest), square)
    return fitted, max(0.0, float(fitted[8])), spread, sd, rest


def _start(count: int, gap: float) -> Floats:
    numbers = np.zeros(count)
    numbers[8] = gap
    return numbers


def _starts(count: int, gap: float, square: Square) -> list[Floats]:
    """The present grid, and grids a little larger, smaller and moved: the outer lines may have been
    held to the wrong one of several edges."""
    found = []
    for place, size in ((0, 1), (3, 4)):
        step = _AJAR * min(square.cell) / (square.columns, square.rows)[place // 3]
        step = step * 2 / square.cell[place // 3]
        for moved, grown in itertools.product((-1, 0, 1), repeat=2):
            numbers = _start(count, gap)
            numbers[place], numbers[size] = moved * step / 2, grown * step
            found.append(numbers)
    return found


def _settle(
    parts: Floats, off: Floats, strength: Floats, fitted: Floats, square: Square, rounds: int
) -> tuple[Floats, Floats, Floats, Floats, NDArray[np.bool_], float]:
    """Reweighted least squares; of each piece's edges the likeliest counts, chosen anew each
    round."""
    spread = 0.008 * min(square.cell)
    each = np.arange(len(parts))
    held = 1e-9 * np.eye(parts.shape[1])
    for _ in range(rounds):
        rest = off - (parts @ fitted)[:, None]
        worth = strength / (1 + np.square(rest / (1.5 * spread)))
        chosen = worth.argmax(axis=1)
        weight, target = worth[each, chosen], off[each, chosen]
        scaled = parts * weight[:, None]
        normal = scaled.T @ parts + held
        before, fitted = fitted, np.linalg.solve(normal, scaled.T @ target)
        left = target - parts @ fitted
        used = strength[each, chosen] > 0
        spread = max(0.25, 1.4826 * _middle(np.abs(left[used])))
        if float(np.abs(fitted - before).max()) < _SETTLED:
            break
    return fitted, normal, weight, left, used, spread


def _middle(values: Floats) -> float:
    """The median, several times quicker than numpy's own for so few."""
    half = len(values) // 2
    if len(values) % 2:
        return float(np.partition(values, half)[half])
    ranked = np.partition(values, (half - 1, half))
    return float(ranked[half - 1] + ranked[half]) / 2


def _corner_sd(normal: Floats, weight: Floats, rest: Floats, square: Square) -> float:
    """The most uncertain corner's standard deviation, of the grid's width."""
    free = max(1.0, float(weight.sum()) - len(normal))
    variance = float((weight * np.square(rest)).sum()) / free
    cover = np.linalg.inv(normal)[:8, :8] * variance
    wide, tall = square.columns * square.cell[0] / 2, square.rows * square.cell[1] / 2
    a, b = np.array([-1.0, 1, 1, -1]), np.array([-1.0, -1, 1, 1])
    worst = 0.0
    across = _shift(a, b, wide, tall, np.ones(4, dtype=bool))
    down = _shift(a, b, wide, tall, np.zeros(4, dtype=bool))
    for x, y in zip(across, down, strict=True):
        worst = max(worst, float(x @ cover @ x + y @ cover @ y))
    return float(np.sqrt(worst)) / (2 * wide)


def _moved(carry: Matrix, square: Square, numbers: Floats) -> Matrix:
    """The grid with its corners moved as the eight numbers say."""
    a, b = np.array([-1.0, 1, 1, -1]), np.array([-1.0, -1, 1, 1])
    one = np.ones(4, dtype=bool)
    across = _shift(a, b, 1.0, 1.0, one) @ numbers[:8] * square.columns / 2
    down = _shift(a, b, 1.0, 1.0, ~one) @ numbers[:8] * square.rows / 2
    ring = ring_of(square.rows, square.columns)
    return carry_of(
        apply(carry, ring + np.column_stack([across, down])), square.rows, square.columns
    )


def borne_out(
    square: Square,
    gap: float,
    near: float | None = None,
    steps: tuple[Steps, Steps] | None = None,
) -> tuple[Floats, float]:
    """The share of each line's edge pieces that lie where they should, and the same by chance.

    `gap` and `near`, how near that is, in px of the square view.
    """
    short = min(square.cell)
    wide = max(5.0, 0.08 * short)
    near = near or max(1.5, 0.015 * short)
    down, over = steps or (steps_of(square, True, 2), steps_of(square, False, 2))
    real = hits(both(down, over, square, gap, wide), gap, near)
    beside = [hits(both(down, over, square, gap, wide, s), gap, near) for s in (0.3, 0.6)]
    return np.asarray(real), float(np.mean(beside[0] + beside[1]))


def hits(pieces: Pieces, gap: float, near: float) -> list[float]:
    """Of each line, upright ones first, the share of pieces that lie within `near` of it.

    A strip may touch a bare cell on one side: its other side bears the line out.
    """
    wanted = (pieces.side * gap)[:, None]
    hit = np.asarray(((pieces.clear > _CLEAR) & (np.abs(pieces.off - wanted) < near)).any(axis=1))
    found = []
    for upright in (True, False):
        for line in np.unique(pieces.line[pieces.upright == upright]):
            on = (pieces.upright == upright) & (pieces.line == line)
            sides = [hit[on & (pieces.side == side)] for side in np.unique(pieces.side[on])]
            found.append(float(np.maximum.reduce(sides).mean()))
    return found
