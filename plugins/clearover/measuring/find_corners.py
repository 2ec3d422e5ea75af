"""The corners of a tile's grid, suggested from its photo.

In: an opened photo, how many rows and columns, the width by height where it is known. Out:
`CornersFound`: corners, how sure, and why. It never knows which way up the tile was: the corners go
as the photo lies. It suggests; nothing measures by it unasked.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from ..photos.opening import Opened
from ..photos.straighten import Matrix, apply
from .bare_clay import clay_off
from .borders import borders_of
from .comb import Comb, combs
from .lattice import (
    Square,
    Steps,
    both,
    carry_of,
    cell_size,
    corners_of,
    square_on,
    steps_of,
    warped,
)
from .lattice_fit import Fitted, borne_out, fit, hits
from .limits import limit
from .outline import Quad, outlines
from .pinhole import unlike
from .stacking import best_ring, sharpness, stack_of

Floats = NDArray[np.float64]
_OUTSIDE = 0.14
"""How much beyond an outline the grid is looked for, of its size: it may be the grid's own."""
_ROUGH = 560
_ENOUGH = 1.0
_HALF_SEEN = 0.35
"""Where a smaller share of the edges is seen a grid is not looked at twice."""
_COMBS, _PAIRS, _FITS = 12, 12, 2
_COARSE = ((420.0, 0.12, 4), (420.0, 0.07, 3))
_OTHER_CLAY = 0.4
"""Of the logarithm of light: so far off, what lies round the grid is surely of another clay."""
_APART, _KEPT, _CLEARLY = 0.03, 3, 1.15
_PASSES, _STILL = 2, 0.02
_STACKED, _JUDGED = 900.0, 700.0
_FINE = ((900.0, 0.06, 3),)


@dataclass(frozen=True, slots=True)
class CornersFound:
    """`corners` in px of the full upright photo, clockwise from the upper left as the photo lies;
    None where no grid was found. `confidence` is `sure`, `doubtful` or `none`."""

    corners: tuple[tuple[float, float], ...] | None
    confidence: str
    reason: str


@dataclass(slots=True)
class _Try:
    fitted: Fitted
    score: float
    outline: Quad


def candidates(picture: Image.Image, rows: int, columns: int, ratio: float | None) -> list[_Try]:
    """Grids that may be it, the likeliest first; coordinates in px of `picture`."""
    step = max(1, round(max(picture.size) / 340))
    small = picture.reduce(step)
    found: list[_Try] = []
    for quad in outlines(small):
        outline = [(x * step, y * step) for x, y in quad]
        found += _within(picture, outline, rows, columns, ratio)
        if max((one.score for one in found), default=0.0) > _ENOUGH:
            break
    return sorted(found, key=lambda one: -one.score)


def _within(
    picture: Image.Image, outline: Quad, rows: int, columns: int, ratio: float | None
) -> list[_Try]:
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
            odd = _odd(fitted.carry, rows, columns, ratio, picture.size)
            found.append(_Try(fitted, score_of(fitted) - odd, outline))
            if found[-1].score > _CLEARLY:
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


def _odd(
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
    off = np.minimum(clay / _OTHER_CLAY, 1.0)
    return float(support.mean() + 0.5 * outer.min() - chance - 0.5 * off.mean() - 0.5 * off.max())


def _apart(tries: list[_Try]) -> list[_Try]:
    """The likeliest grid alone where it is clearly one, else some that lie apart from it."""
    kept: list[_Try] = []
    for one in tries:
        near = (_far(one.fitted, other.fitted) < _APART for other in kept)
        if len(kept) < _KEPT and not any(near):
            kept.append(one)
        if kept[0].score > _CLEARLY:
            break
    return kept


def _far(one: Fitted, other: Fitted) -> float:
    """How far apart two grids' corners are at the most, of the grid's width."""
    ends = [corners_of(grid.carry, grid.rows, grid.columns) for grid in (one, other)]
    wide = np.hypot(*(ends[0][1] - ends[0][0]))
    return float(np.hypot(*(ends[1] - ends[0]).T).max() / wide)


def _fine(picture: Image.Image, rough: Fitted, ratio: float | None) -> tuple[Fitted, float]:
    """The grid to a part of a px, and how sharply its cells' borders stack, less where what lies
    round it is not of its clay or no camera would show it so."""
    rows, columns = rough.rows, rough.columns
    gap = rough.gap / min(rough.square.cell)
    fine = fit(picture, rough.carry, rows, columns, gap, _FINE) or rough
    share = fine.gap / min(fine.square.cell)
    carry, square, energy = fine.carry, fine.square, 0.0
    for again in range(_PASSES):
        if again or square is rough.square:
            square = square_on(picture, carry, rows, columns, _STACKED)
        half = share * min(square.cell)
        borders = borders_of(square)
        ring, _ = best_ring(stack_of(borders, half), half)
        energy = sharpness(borders, ring)
        moved = float(np.abs(ring - _ring(rows, columns)).max())
        carry = carry_of(apply(carry, ring), rows, columns)
        if moved < _STILL:
            break
    square = square_on(picture, carry, rows, columns, _JUDGED, fine=False)
    support, chance = borne_out(square, share * min(square.cell))
    clay = clay_off(square)
    worth = energy * (1 - min(1.0, float(clay.max()) / _OTHER_CLAY))
    worth *= 1 - _odd(carry, rows, columns, ratio, picture.size)
    return replace(fine, carry=carry, support=support, chance=chance, clay=clay), worth


def _ring(rows: int, columns: int) -> Floats:
    return np.array([(0, 0), (columns, 0), (columns, rows), (0, rows)], dtype=float)


def find_corners(
    opened: Opened, rows: int, columns: int, ratio: float | None = None, *, lines: bool = False
) -> CornersFound:
    """Suggest the corners of a grid of so many rows and columns; `ratio` is width by height.

    `lines` says that lines are painted on bare clay: the cells' own edges hardly show then, and
    what is found is never called sure.
    """
    step = max(1, round(max(opened.picture.size) / 1600))
    picture = opened.picture.reduce(step)
    tries = candidates(picture, rows, columns, ratio)
    if not tries:
        told = "no grid stands out from the backdrop"
        if ratio is not None:
            told = "no grid of the stated width by height stands out from the backdrop"
        return CornersFound(None, "none", told)
    tried = (_fine(picture, one.fitted, ratio) for one in _apart(tries))
    fine, _ = max(tried, key=lambda f: f[1])
    corners = corners_of(fine.carry, rows, columns) * step
    full = [
        ((float(x) - opened.shift[0]) * opened.factor, (float(y) - opened.shift[1]) * opened.factor)
        for x, y in corners
    ]
    sure = score_of(fine) > limit("corners_sure_score")
    sure &= fine.corner_sd < limit("corners_sure_sd")
    odd = ratio is not None and _odd(fine.carry, rows, columns, ratio, picture.size) > 0
    sure &= not odd
    told = f"{fine.support.mean():.0%} of the grid's edges are where they should be"
    if lines:
        sure = False
        told += ", but round painted lines the cells' own edges hardly show: look at each corner"
    elif odd:
        told += ", but they make no grid of the stated width by height: look at both"
    elif not sure:
        told += ", but some are faint, or end in several steps: look at each corner"
    return CornersFound(tuple(full), "sure" if sure else "doubtful", told)
