"""Grids that may be the tile's, first seen roughly: lines evenly spaced within an outline.

In: a picture, how many rows and columns, the width by height where it is known. Out: `Try`s, the
likeliest first, and how well any fitted grid is borne out. The numbers here say how much is tried
and how scores are weighed: our choices, tried on 88 drawn photos.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from ..photos.straighten import Matrix, apply
from .bare_clay import clay_off
from .comb import Comb, combs
from .lattice import Square, Steps, both, carry_of, cell_size, steps_of, warped
from .lattice_fit import Fitted, fit, hits
from .limits import limit
from .outline import Quad, outlines
from .pinhole import unlike

Floats = NDArray[np.float64]
_OUTLINED = 340
"""Px of the longer side of the picture that outlines are looked for in."""
_OUTSIDE = 0.14
"""How much beyond an outline the grid is looked for, of its size: it may be the grid's own."""
_ROUGH = 560
"""Px of the longer side of an outline's square view."""
_ENOUGH = 1.0
"""Where a grid scores more, no other outline is looked into."""
_HALF_SEEN = 0.35
"""Where a smaller share of the edges is seen a grid is not looked at twice."""
_COMBS, _PAIRS, _FITS = 12, 12, 2
"""So many sets of lines are kept each way, so many pairs of them compared, so many fitted."""
_COARSE = ((420.0, 0.12, 4), (420.0, 0.07, 3))
"""How they are fitted (`lattice_fit.fit`)."""
OTHER_CLAY = 0.4
"""Of the logarithm of light: so far off, what lies round the grid is surely of another clay."""
CLEARLY = 1.15
"""A grid that scores more is clearly one: no other is compared with it."""


@dataclass(slots=True)
class Try:
    """A fitted grid and its score."""

    fitted: Fitted
    score: float


def candidates(picture: Image.Image, rows: int, columns: int, ratio: float | None) -> list[Try]:
    """Grids that may be it, the likeliest first; coordinates in px of `picture`."""
    step = max(1, round(max(picture.size) / _OUTLINED))
    small = picture.reduce(step)
    found: list[Try] = []
    for quad in outlines(small):
        outline = [(x * step, y * step) for x, y in quad]
        found += _within(picture, outline, rows, columns, ratio)
        if max((one.score for one in found), default=0.0) > _ENOUGH:
            break
    return sorted(found, key=lambda one: -one.score)


def _within(
    picture: Image.Image, outline: Quad, rows: int, columns: int, ratio: float | None
) -> list[Try]:
    carry = carry_of(np.asarray(outline), 1, 1)
    view = _around(picture, carry)
    tall, wide = view.shape[:2]
    pairs, too_odd = [], limit("corners_unlike_guess")
    level = combs(np.swapaxes(view, 0, 1), rows, _COMBS)
    for x in combs(view, columns, _COMBS):
        for y in level:
            guess = carry_of(_corners(carry, x, y, wide, tall), rows, columns)
            off = _unlike(guess, rows, columns, ratio, picture.size)
            if off < too_odd:
                pairs.append((x.score + y.score - off, off, x, y, guess))
    pairs.sort(key=lambda pair: -pair[0])
    known: dict[tuple[bool, Comb], Steps] = {}
    rough = [
        (_rough_score(view, x, y, rows, columns, known) - off / too_odd, x, y, guess)
        for _, off, x, y, guess in pairs[:_PAIRS]
    ]
    rough.sort(key=lambda pair: -pair[0])
    found = []
    for _, x, y, guess in rough[:_FITS]:
        short = min((x.stop - x.start) / columns, (y.stop - y.start) / rows)
        try:
            fitted = fit(
                picture, guess, rows, columns, (x.gap + y.gap) / 2 / short, _COARSE, fine=False
            )
        except (ValueError, np.linalg.LinAlgError):
            continue
        if fitted is not None:
            score = score_of(fitted) - odd(fitted.carry, rows, columns, ratio, picture.size)
            found.append(Try(fitted, score))
            if found[-1].score > CLEARLY:
                break
    return found


def _unlike(
    carry: Matrix, rows: int, columns: int, ratio: float | None, size: tuple[int, int]
) -> float:
    """How unlike a rectangle of the stated sides the grid is; where they are not known, only
    whether its cells are unlike any usual ones."""
    if ratio is not None:
        return float(np.hypot(*unlike(carry, rows, columns, ratio, size)))
    wide, tall = cell_size(carry, rows, columns)
    return 0.0 if 0.25 < wide / tall < 5 else 1.0


def odd(
    carry: Matrix, rows: int, columns: int, ratio: float | None, size: tuple[int, int]
) -> float:
    """How little a camera would show such a grid so, 0 to 1."""
    off = _unlike(carry, rows, columns, ratio, size)
    least, most = limit("corners_unlike_ruler"), limit("corners_unlike_fitted")
    return float(np.clip((off - least) / (most - least), 0, 1))


def _rough_score(
    view: NDArray[np.float32],
    x: Comb,
    y: Comb,
    rows: int,
    columns: int,
    known: dict[tuple[bool, Comb], Steps],
) -> float:
    cell = ((x.stop - x.start) / columns, (y.stop - y.start) / rows)
    square = Square(view, rows, columns, cell, (x.start + 0.5, y.start + 0.5))
    if (True, y) not in known:
        known[True, y] = steps_of(square, True, 2)
    if (False, x) not in known:
        known[False, x] = steps_of(square, False, 2)
    steps = known[True, y], known[False, x]
    gap, near, reach = (x.gap + y.gap) / 2, 0.035 * min(cell), max(5.0, 0.08 * min(cell))
    support = np.asarray(hits(both(*steps, square, gap, reach), gap, near))
    if not support.mean() > _HALF_SEEN:
        return -1.0
    chance = float(np.mean(hits(both(*steps, square, gap, reach, 0.45), gap, near)))
    return _score(support, chance, clay_off(square), rows, columns)


def _around(picture: Image.Image, carry: Matrix) -> NDArray[np.float32]:
    wide, tall = cell_size(carry, 1, 1)
    scale = _ROUGH / max(wide, tall)
    full = 1 + 2 * _OUTSIDE
    size = (round(wide * scale * full), round(tall * scale * full))
    to_unit = np.array([[full / size[0], 0, -_OUTSIDE], [0, full / size[1], -_OUTSIDE], [0, 0, 1]])
    matrix = carry @ to_unit
    return warped(picture, matrix, size, fine=False)


def _corners(carry: Matrix, x: Comb, y: Comb, wide: int, tall: int) -> Floats:
    full = 1 + 2 * _OUTSIDE
    left, right = ((v + 0.5) / wide * full - _OUTSIDE for v in (x.start, x.stop))
    top, bottom = ((v + 0.5) / tall * full - _OUTSIDE for v in (y.start, y.stop))
    return apply(carry, np.array([(left, top), (right, top), (right, bottom), (left, bottom)]))


def score_of(fitted: Fitted) -> float:
    """How well the grid is borne out."""
    return _score(fitted.support, fitted.chance, fitted.clay, fitted.rows, fitted.columns)


def _score(support: Floats, chance: float, clay: Floats, rows: int, columns: int) -> float:
    """The lines beyond chance, the worst outer one most, less the sides with no clay round them."""
    outer = support[[0, columns, columns + 1, columns + 1 + rows]]
    off = np.minimum(clay / OTHER_CLAY, 1.0)
    return float(support.mean() + 0.5 * outer.min() - chance - 0.5 * off.mean() - 0.5 * off.max())
