"""The corners of a tile's grid, suggested from its photo.

In: an opened photo, how many rows and columns, the width by height where it is known. Out:
`CornersFound`: corners, how sure, and why. It never knows which way up the tile was: the corners go
as the photo lies. It suggests; nothing measures by it unasked. The numbers here say how much is
tried and how closely: our choices, tried on 88 drawn photos.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from ..photos.opening import Opened
from ..photos.straighten import apply
from .bare_clay import clay_off
from .borders import borders_of
from .lattice import carry_of, corners_of, ring_of, square_on
from .lattice_fit import Fitted, borne_out, fit
from .limits import limit
from .rough_grids import CLEARLY, OTHER_CLAY, Try, candidates, odd, score_of
from .stacking import best_ring, sharpness, stack_of
from .unbent import Bow, unbent
from .unpainted import unpainted

Floats = NDArray[np.float64]
_SEEN = 1600
"""Px of the longer side: a larger photo is made smaller."""
_KEPT, _APART = 3, 0.03
"""So many grids are looked at closely, whose corners lie so far apart, of the grid's width."""
_FINE = ((900.0, 0.06, 3),)
"""How they are fitted (`lattice_fit.fit`)."""
_STACKED, _JUDGED = 900.0, 700.0
"""Px of the longer side of the square views: to stack the borders in, and to judge the grid in."""
_BOWS, _HALVED = 0.03, 1
"""Lines of a curved tile are bent straight in steps of this, of the grid's extent across them, the
step halved so many times, then as a parabola through the best says (our choice; tried on four drawn
photos that bow by 0.07)."""
_MOST_BOW = 0.15
"""No more than this: a tile that turns farther away shows its far cells too narrow to measure."""
_PASSES, _STILL = 2, 0.02
"""Borders are stacked at most so often; a grid that moves less, in cells, has settled."""


@dataclass(frozen=True, slots=True)
class CornersFound:
    """`corners` in px of the full upright photo, clockwise from the upper left as the photo lies;
    None where no grid was found. `confidence` is `sure`, `doubtful` or `none`."""

    corners: tuple[tuple[float, float], ...] | None
    confidence: str
    reason: str


def _apart(tries: list[Try]) -> list[Try]:
    """The likeliest grid alone where it is clearly one, else some that lie apart from it."""
    kept: list[Try] = []
    for one in tries:
        near = (_far(one.fitted, other.fitted) < _APART for other in kept)
        if len(kept) < _KEPT and not any(near):
            kept.append(one)
        if kept[0].score > CLEARLY:
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
        moved = float(np.abs(ring - ring_of(rows, columns)).max())
        carry = carry_of(apply(carry, ring), rows, columns)
        if moved < _STILL:
            break
    square = square_on(picture, carry, rows, columns, _JUDGED, fine=False)
    support, chance = borne_out(square, share * min(square.cell))
    clay = clay_off(square)
    worth = energy * (1 - min(1.0, float(clay.max()) / OTHER_CLAY))
    worth *= 1 - odd(carry, rows, columns, ratio, picture.size)
    return replace(fine, carry=carry, support=support, chance=chance, clay=clay), worth


def _straightened(
    picture: Image.Image, flat: Fitted, worth: float, ratio: float | None
) -> tuple[Fitted, Floats]:
    """The grid in the picture with its lines bent straight, as far as its borders then stack
    best; and its corners where they lie in the picture as it is."""
    rows, columns = flat.rows, flat.columns
    still = Bow(flat.carry, rows, columns, upright=False, depth=0.0)
    tried = {(upright, 0.0): (worth, flat, still) for upright in (False, True)}

    def best() -> tuple[float, Fitted, Bow]:
        return max(tried.values(), key=lambda one: one[0])

    def look(upright: bool, depth: float) -> None:
        """Bend so far, where nobody did."""
        if (upright, depth) not in tried and abs(depth) <= _MOST_BOW:
            bow = replace(still, upright=upright, depth=depth)
            grid, found = _fine(unbent(picture, bow), best()[1], ratio)
            tried[upright, depth] = found, grid, bow

    for step in (_BOWS / 2**halved for halved in range(_HALVED + 1)):
        before = None
        while (bow := best()[2]) is not before:
            before = bow
            for upright in (bow.upright,) if bow.depth else (False, True):
                for by in (step, -step):
                    look(upright, round(bow.depth + by, 6))
    most, _, bow = best()
    sides = [tried.get((bow.upright, round(bow.depth + by, 6))) for by in (-step, step)]
    if sides[0] and sides[1]:
        less, more = sides[0][0], sides[1][0]
        bend = min(less + more - 2 * most, -1e-9)
        look(bow.upright, bow.depth + step * (less - more) / (2 * bend))
    _, grid, bow = best()
    return grid, bow.before(corners_of(grid.carry, rows, columns))


def find_corners(
    opened: Opened,
    rows: int,
    columns: int,
    ratio: float | None = None,
    *,
    lines: bool = False,
    curved: bool = False,
) -> CornersFound:
    """Suggest the corners of a grid of so many rows and columns; `ratio` is width by height.

    `lines` says that lines are painted on bare clay: they are left out of the picture, for the
    cells' own edges are faint beside them. `curved` says that the tile is no plane: its lines may
    bow, and what is found is never called sure.
    """
    step = max(1, round(max(opened.picture.size) / _SEEN))
    picture = opened.picture.reduce(step)
    if lines:
        picture = unpainted(picture)
    tries = candidates(picture, rows, columns, ratio)
    if not tries:
        told = "no grid stands out from the backdrop"
        if ratio is not None:
            told = "no grid of the stated width by height stands out from the backdrop"
        return CornersFound(None, "none", told)
    tried = (_fine(picture, one.fitted, ratio) for one in _apart(tries))
    fine, worth = max(tried, key=lambda f: f[1])
    corners = corners_of(fine.carry, rows, columns)
    if curved:
        fine, corners = _straightened(picture, fine, worth, ratio)
    corners = corners * step
    full = [
        ((float(x) - opened.shift[0]) * opened.factor, (float(y) - opened.shift[1]) * opened.factor)
        for x, y in corners
    ]
    unlike = ratio is not None and odd(fine.carry, rows, columns, ratio, picture.size) > 0
    sure = score_of(fine) > limit("corners_sure_score")
    sure &= fine.corner_sd < limit("corners_sure_sd") and not unlike and not curved
    told = f"{fine.support.mean():.0%} of the grid's edges are where they should be"
    if unlike:
        told += ", but they make no grid of the stated width by height: look at both"
    elif curved:
        told += ", but the tile is curved and its lines bow: look at each corner"
    elif lines and not sure:
        told += ", but round painted lines the cells' own edges hardly show: look at each corner"
    elif not sure:
        told += ", but some are faint, or end in several steps: look at each corner"
    return CornersFound(tuple(full), "sure" if sure else "doubtful", told)
