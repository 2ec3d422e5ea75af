"""The grid on which all borders of the cells look alike.

In: what marks the borders, and a grid that is nearly right. Out: the grid on which the borders,
laid one over the other, show the sharpest common profile, and how sharp that is.

Colour, glaze and relief end at different places round a cell, and an outer line seen alone may be
held to the wrong one. Stacked with the inner lines it cannot: only the right one is the same
everywhere (the energy of a stack, as seismic traces are lined up: N. S. Neidell and M. T. Taner,
Semblance and other coherency measures for multichannel data, Geophysics 36, 1971).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .borders import Borders, mean_cell
from .limits import limit

Floats = NDArray[np.float64]
Ends = tuple[float, float]
Choice = tuple[int, ...]
_COMMON = 0.7
"""How much of every side's profile counts in each other side's: they are much alike."""
_SHARED = 0.5
"""What lies on a line itself is seen from both its sides, and would count twice: a grid would be
drawn onto the edges of colour beside its lines."""
_BEFORE, _BEYOND = 0.8, 4.5
"""From where to where a border is looked at, in free strips' half widths, toward its cell."""
_LEAST_GAP = 0.012
"""The free strip's half width is taken no smaller, of a cell."""
_CLEARLY_BETTER = 1.02
"""Another place is believed where its energy is so many times the present one's."""
_USUAL_GAP = 0.018
"""The same where grids with different free strips are compared."""
_MARKS, _STEPS = 4, 2
"""So many places of each outer line are tried for its thin mark and for its step of colour."""


@dataclass(slots=True)
class Stack:
    """The borders, from where to where across a line they are looked at, px, and how much each of
    these places counts."""

    borders: Borders
    offsets: NDArray[np.intp]
    weights: Floats

    @property
    def counts(self) -> tuple[int, int]:
        """Cells across and down."""
        return self.borders.square.columns, self.borders.square.rows


def stack_of(borders: Borders, gap: float) -> Stack:
    """`gap` is half the free strip between two cells, px."""
    gap = max(gap, _LEAST_GAP * mean_cell(borders.square))
    before, beyond = max(1, round(_BEFORE * gap)), round(_BEYOND * gap)
    offsets = np.arange(-before, beyond + 1)
    return Stack(borders, offsets, np.where(np.abs(offsets) <= before, _SHARED, 1.0))


def best_ring(stack: Stack, gap: float) -> tuple[Floats, float]:
    """The corners (in cells of the square view's own grid) of the sharpest stack, and its energy.

    For each outer line several places are tried, the present one among them; the best combination
    is then moved by parts of a px.
    """
    places = [_places(stack, gap, axis, line) for axis in (0, 1) for line in (0, 1)]
    known: dict[Choice, float] = {}

    def energy_of(choice: Choice) -> float:
        if choice not in known:
            known[choice] = energy(stack, _ring(stack, places, choice))
        return known[choice]

    best = max((_climbed(choice, places, energy_of) for choice in _STARTS), key=energy_of)
    here = _settled(stack, _ring(stack, places, _STARTS[0]))
    if best == _STARTS[0]:
        return here
    there = _settled(stack, _ring(stack, places, best))
    return there if there[1] > _CLEARLY_BETTER * here[1] else here


_STARTS = ((0, 0, 0, 0), (1, 1, 1, 1), (1, 1, 0, 0), (0, 0, 1, 1))


def _climbed(
    choice: Choice,
    places: list[list[Ends]],
    energy_of: Callable[[Choice], float],
) -> Choice:
    """The choice after each line in turn took its best place, until none moves.

    Opposite lines are not tried in pairs: on drawn photos that found more false grids than right
    ones.
    """
    for _ in range(3):
        before = choice
        for line in range(4):
            others = choice[:line], choice[line + 1 :]
            options = ((*others[0], k, *others[1]) for k in range(len(places[line])))
            choice = max(options, key=energy_of)
        if choice == before:
            break
    return choice


def sharpness(borders: Borders, ring: Floats) -> float:
    """The energy in a window that does not depend on the free strip, a piece: to tell which of two
    grids in one photo stacks better."""
    stack = stack_of(borders, _USUAL_GAP * mean_cell(borders.square))
    pieces = sum(where.size for where in _lines(stack, ring))
    return energy(stack, ring) / pieces


def energy(stack: Stack, ring: Floats) -> float:
    """How much the common profiles of all borders stand out if the grid has these corners."""
    total = 0.0
    weights = stack.weights
    for profile, pieces, common in _common(stack, ring).values():
        total += float((weights * profile * common).sum())
        total -= 0.5 * pieces * float((weights * np.square(common)).sum())
    return total


def _common(stack: Stack, ring: Floats) -> dict[tuple[int, int], tuple[Floats, int, Floats]]:
    """For each axis and side the sum of its borders, their number, and what one of them should look
    like (kinds × px), its weighted mean taken off."""
    seen = _profiles(stack, ring)
    shared, count = sum(one[0] for one in seen.values()), sum(one[1] for one in seen.values())
    share = stack.weights / stack.weights.sum()
    found = {}
    for key, (profile, pieces) in seen.items():
        common = (profile + _COMMON * shared) / (pieces + _COMMON * count)
        found[key] = profile, pieces, common - (common * share).sum(axis=1, keepdims=True)
    return found


def _profiles(stack: Stack, ring: Floats) -> dict[tuple[int, int], tuple[Floats, int]]:
    """For each axis and side of a line the sum of its borders (kinds × px) and their number."""
    found = {}
    for axis, where in enumerate(_lines(stack, ring)):
        across = stack.borders.across[axis]
        for side in (1, -1):
            lines = where[:-1] if side > 0 else where[1:]
            at = np.rint(lines).astype(np.intp)[..., None] + side * stack.offsets
            np.clip(at, 0, across.shape[2] - 1, out=at)
            at += (np.arange(across.shape[1]) * across.shape[2])[:, None]
            flat = across.reshape(2, -1)
            seen = np.stack([flat[kind][at].sum(axis=(0, 1)) for kind in (0, 1)])
            found[axis, side] = (seen.astype(float), lines.size)
    return found


def _lines(stack: Stack, ring: Floats) -> list[Floats]:
    """Where each line crosses each piece, px: lines × pieces for both axes."""
    square, counts = stack.borders.square, stack.counts
    matrix = _from_unit(ring)
    found = []
    for axis, along in enumerate(stack.borders.along):
        line = (np.arange(counts[axis] + 1.0) / counts[axis])[:, None]
        piece = (along / counts[1 - axis])[None, :]
        x, y = (line, piece) if axis == 0 else (piece, line)
        above = matrix[axis, 0] * x + matrix[axis, 1] * y + matrix[axis, 2]
        below = matrix[2, 0] * x + matrix[2, 1] * y + 1
        found.append(above / below * square.cell[axis] + square.edge[axis])
    return found


def _from_unit(ring: Floats) -> Floats:
    """The homography from the unit square to four corners, in closed form (P. S. Heckbert,
    Fundamentals of Texture Mapping and Image Warping, 1989, section 2.2.3)."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = ring.tolist()
    sx, sy = x0 - x1 + x2 - x3, y0 - y1 + y2 - y3
    ax, ay, bx, by = x1 - x2, y1 - y2, x3 - x2, y3 - y2
    area = ax * by - bx * ay
    g, h = (sx * by - bx * sy) / area, (ax * sy - sx * ay) / area
    return np.array(
        [
            [x1 - x0 + g * x1, x3 - x0 + h * x3, x0],
            [y1 - y0 + g * y1, y3 - y0 + h * y3, y0],
            [g, h, 1.0],
        ]
    )


def _places(stack: Stack, gap: float, axis: int, last: int) -> list[Ends]:
    """Where an outer line may lie: how far both its ends are moved, px; the first not at all."""
    borders, counts = stack.borders, stack.counts
    square = borders.square
    line = borders.square.edge[axis] + last * counts[axis] * square.cell[axis]
    reach = limit("corners_reach") * mean_cell(square)
    fine = max(0.8, 0.0035 * mean_cell(square))
    grid = np.arange(-reach, reach + 1e-9, fine)
    one, two = (part.ravel() for part in np.meshgrid(grid, grid, indexing="ij"))
    level = np.abs(one - two) <= 1.3 * reach
    one, two = one[level], two[level]
    share = borders.along[axis] / counts[1 - axis]
    away = line + one[:, None] * (1 - share) + two[:, None] * share
    pieces = np.arange(len(share))
    found: list[Ends] = [(0.0, 0.0)]
    for kind, inward, most in ((0, 0.0, _MARKS), (1, gap * (1 - 2 * last), _STEPS)):
        evidence = borders.across[axis][kind]
        at = np.clip(np.rint(away + inward).astype(np.intp), 0, evidence.shape[1] - 1)
        score = evidence[pieces, at].sum(axis=1)
        for _ in range(most):
            top = int(score.argmax())
            found.append((float(one[top]), float(two[top])))
            score[np.abs(one - one[top]) + np.abs(two - two[top]) < 4 * fine] = -1
    return found


def _ring(stack: Stack, places: list[list[Ends]], choice: Choice) -> Floats:
    """The four corners, in cells, of outer lines whose ends are moved so far."""
    square = stack.borders.square
    counts = np.asarray(stack.counts, dtype=float)
    left, right, top, bottom = (
        np.asarray(places[line][choice[line]]) / square.cell[line // 2] for line in range(4)
    )
    corners = []
    for upright, x, level, y in (
        (left, 0, top, 0),
        (right, counts[0], top, 0),
        (right, counts[0], bottom, counts[1]),
        (left, 0, bottom, counts[1]),
    ):
        a, b = float(x), float(y)
        for _ in range(3):
            b = y + level[0] + (level[1] - level[0]) * a / counts[0]
            a = x + upright[0] + (upright[1] - upright[0]) * b / counts[1]
        corners.append((a, b))
    return np.asarray(corners)


def _moves() -> list[Floats]:
    found = []
    for corners in ((0,), (1,), (2,), (3,), (0, 3), (1, 2), (0, 1), (2, 3)):
        for axis in (0, 1) if len(corners) == 1 else ((0,) if sum(corners) == 3 else (1,)):
            move = np.zeros((4, 2))
            move[list(corners), axis] = 1
            found.append(move)
    return found


_MOVES = _moves()
"""Each corner along each axis, and each outer line as a whole."""


def _settled(stack: Stack, ring: Floats) -> tuple[Floats, float]:
    """The corners moved to where the borders fit their common profile best, and its energy."""
    for steps in ((1.0, 0.5), (0.5,)):
        fits = _fits(stack, ring)
        here = _fit(stack, fits, ring)
        for step in steps:
            for _ in range(3):
                before = here
                for move in _MOVES:
                    for way in (-step, step):
                        for _ in range(6):
                            moved = ring + move * way / np.asarray(stack.borders.square.cell)
                            there = _fit(stack, fits, moved)
                            if there <= here + 1e-9:
                                break
                            ring, here = moved, there
                if here == before:
                    break
    return ring, energy(stack, ring)


def _fits(stack: Stack, ring: Floats) -> dict[tuple[int, int], Floats]:
    """For each axis and side how well a line at each px fits the common profile (pieces × px)."""
    found = {}
    for (axis, side), (_, _, common) in _common(stack, ring).items():
        heights = common * stack.weights
        across = stack.borders.across[axis]
        total = np.zeros(across.shape[1:])
        px = across.shape[2]
        for kind in (0, 1):
            for offset, height in zip(side * stack.offsets, heights[kind], strict=True):
                low, high = max(0, -int(offset)), min(px, px - int(offset))
                total[:, low:high] += height * across[kind, :, low + offset : high + offset]
        found[axis, side] = total
    return found


def _fit(stack: Stack, fits: dict[tuple[int, int], Floats], ring: Floats) -> float:
    total = 0.0
    for axis, where in enumerate(_lines(stack, ring)):
        at = np.clip(np.rint(where).astype(np.intp), 0, fits[axis, 1].shape[1] - 1)
        pieces = np.arange(at.shape[1])
        total += float(fits[axis, 1][pieces, at[:-1]].sum() + fits[axis, -1][pieces, at[1:]].sum())
    return total
