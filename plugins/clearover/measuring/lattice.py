"""A grid's lines seen in a photo: each cell's edges, piece by piece, near where they should be.

In: a picture and where a grid is thought to lie in it. Out: `Pieces`: how far each piece of an edge
lies from its place and how clearly it is seen. Knows nothing of tiles.

Places on the grid are counted in cells: (0, 0) is its upper left corner, (columns, rows) the lower
right one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from ..photos.straighten import Matrix, apply, homography

Floats = NDArray[np.float64]
_PIECES = 3
"""Parts that each side of a cell is seen in: a bend or a turn shows between them."""
_ENDS = 0.1
"""Of a cell's side, left out at both ends: there the strips cross."""
_PEAKS = 3
"""As many edges are kept of each piece: glaze, colour and relief need not end at one place."""
_MARGIN = 0.3
"""Of a cell, seen round the grid."""


@dataclass(slots=True)
class Square:
    """The grid square on. `pixels` are rows × columns × 3; `cell` is a cell's width and height, px,
    `edge` how many px lie before the grid's first line, across and down."""

    pixels: NDArray[np.float32]
    rows: int
    columns: int
    cell: tuple[float, float]
    edge: tuple[float, float]


@dataclass(slots=True)
class Pieces:
    """Pieces of edges. `upright` lines run down; `line` is which one (from 0), `side` -1 or 1 the
    side of it, `u` and `v` the piece's middle in cells, `off` how far its edges lie from the line,
    px of the square view, `clear` how many times the noise they stand out (pieces × edges),
    `step` the colour steps themselves, toward growing u or v."""

    upright: NDArray[np.bool_]
    line: NDArray[np.intp]
    side: Floats
    u: Floats
    v: Floats
    off: Floats
    clear: Floats
    step: Floats


def square_on(
    picture: Image.Image,
    carry: Matrix,
    rows: int,
    columns: int,
    long_side: float,
    *,
    fine: bool = True,
) -> Square:
    """The grid square on; `carry` takes cells to px of the picture."""
    wide, tall = cell_size(carry, rows, columns)
    scale = long_side / max(wide * columns, tall * rows)
    cell = (wide * scale, tall * scale)
    edge = (_MARGIN * cell[0], _MARGIN * cell[1])
    size = (round(columns * cell[0] + 2 * edge[0]), round(rows * cell[1] + 2 * edge[1]))
    to_cells = np.array(
        [[1 / cell[0], 0, -edge[0] / cell[0]], [0, 1 / cell[1], -edge[1] / cell[1]], [0, 0, 1]]
    )
    pixels = warped(picture, carry @ to_cells, size, fine=fine)
    return Square(pixels, rows, columns, cell, edge)


def warped(
    picture: Image.Image, matrix: Matrix, size: tuple[int, int], *, fine: bool
) -> NDArray[np.float32]:
    """The picture as `matrix`, from the new px to the picture's, shows it. Not fine is four times
    as fast and good to half a px."""
    flat = picture.transform(
        size,
        Image.Transform.PERSPECTIVE,
        tuple((matrix / matrix[2, 2]).ravel()[:8]),
        resample=Image.Resampling.BILINEAR if fine else Image.Resampling.NEAREST,
    )
    return np.asarray(flat, dtype=np.float32)


def cell_size(carry: Matrix, rows: int, columns: int) -> tuple[float, float]:
    """A middling cell's width and height, px of the picture."""
    a, b, c, d = corners_of(carry, rows, columns)
    wide = (np.hypot(*(b - a)) + np.hypot(*(c - d))) / 2 / columns
    tall = (np.hypot(*(d - a)) + np.hypot(*(c - b))) / 2 / rows
    return float(wide), float(tall)


def ring_of(rows: int, columns: int) -> Floats:
    """The grid's corners in cells, clockwise from its upper left."""
    return np.array([(0, 0), (columns, 0), (columns, rows), (0, rows)], dtype=float)


def corners_of(carry: Matrix, rows: int, columns: int) -> Floats:
    """The grid's corners in px of the picture, clockwise from its upper left."""
    return apply(carry, ring_of(rows, columns))


def carry_of(corners: Floats, rows: int, columns: int) -> Matrix:
    """From cells to px of the picture."""
    ring = [(float(x), float(y)) for x, y in ring_of(rows, columns)]
    return homography(ring, [(float(x), float(y)) for x, y in corners])


@dataclass(slots=True)
class Steps:
    """Steps of colour along strips: `step` and its `size` at each px border, `noise` of each strip,
    `middles` of the strips in cells."""

    step: NDArray[np.float32]
    size: NDArray[np.float32]
    noise: Floats
    middles: Floats


def pieces_of(square: Square, gap: float, reach: float, soft: int) -> Pieces:
    """Every piece of the grid's edges, looked for within `reach` px of where it should be.

    `gap` is half the free strip between two cells, px; `soft` how many px a step is taken over.
    """
    return both(steps_of(square, True, soft), steps_of(square, False, soft), square, gap, reach)


def both(
    down: Steps, over: Steps, square: Square, gap: float, reach: float, shift: float = 0.0
) -> Pieces:
    """The pieces of the upright lines (in `down`) and of the level ones (in `over`).

    `shift`, in cells, looks beside the lines instead: what is found there is chance.
    """
    x = _along(down, square, True, gap, reach, shift)
    y = _along(over, square, False, gap, reach, shift)
    return Pieces(*(np.concatenate(pair) for pair in zip(x, y, strict=True)))


def steps_of(square: Square, upright: bool, soft: int) -> Steps:
    """The steps that upright (or level) lines are looked for in."""
    strips, middles = strips_across(square, upright)
    step = step_across(strips, soft)
    size = np.sqrt(np.square(step).sum(axis=2))
    return Steps(step, size, np.maximum(np.median(size, axis=1) * 1.2, 1.0), middles)


def _along(
    steps: Steps, square: Square, upright: bool, gap: float, reach: float, shift: float
) -> tuple[NDArray, ...]:  # type: ignore[type-arg]
    """The pieces of the lines in one direction."""
    axis = 0 if upright else 1
    cell, edge = square.cell[axis], square.edge[axis]
    cells = (square.columns, square.rows)[axis]
    found = []
    for line in range(cells + 1):
        if not 0 <= line + shift <= cells:
            continue
        middle = edge + (line + shift) * cell
        short = min(reach, 0.8 * gap) if 0 < line < cells and gap > 0 else reach
        for side in _sides(line, cells, gap):
            place = middle + side * gap
            low = place - (short if side > 0 else reach)
            high = place + (short if side < 0 else reach)
            where, clear, step = _peaks(steps, low, high, place, reach)
            found.append((line, side, where - middle, clear, step))
    pieces = len(steps.middles)
    lines = np.repeat([one[0] for one in found], pieces).astype(np.intp)
    along, across = np.tile(steps.middles, len(found)), lines.astype(float)
    return (
        np.full(len(lines), upright),
        lines,
        np.repeat([float(one[1]) for one in found], pieces),
        across if upright else along,
        along if upright else across,
        np.concatenate([one[2] for one in found]),
        np.concatenate([one[3] for one in found]),
        np.concatenate([one[4] for one in found]),
    )


def _sides(line: int, cells: int, gap: float) -> tuple[int, ...]:
    if line == 0:
        return (1,)
    if line == cells:
        return (-1,)
    return (-1, 1) if gap > 0 else (0,)


def strips_across(
    square: Square, upright: bool, parts: int = _PIECES, ends: float = _ENDS
) -> tuple[NDArray[np.float32], Floats]:
    """The mean along each part of a cell's side (parts × px × 3), and the parts' middles in cells.

    `parts` are the parts of a side, `ends` what is left out at both ends of a side, in cells.
    """
    pixels = square.pixels if upright else np.swapaxes(square.pixels, 0, 1)
    other = 1 if upright else 0
    cell, edge = square.cell[other], square.edge[other]
    cells = (square.columns, square.rows)[other]
    share = (1 - 2 * ends) / parts
    low = (np.arange(cells)[:, None] + ends + share * np.arange(parts)[None, :]).ravel()
    starts = np.clip(np.rint(edge + low * cell).astype(int), 0, len(pixels) - 2)
    stops = np.clip(np.rint(edge + (low + share) * cell).astype(int), starts + 1, len(pixels) - 1)
    bounds = np.stack([starts, stops], axis=1).ravel()
    sums = np.add.reduceat(pixels, bounds, axis=0)[::2]
    return sums / (stops - starts)[:, None, None].astype(np.float32), low + share / 2


def step_across(strips: NDArray[np.float32], soft: int) -> NDArray[np.float32]:
    """The step of colour at each px border of each strip."""
    padded = np.pad(strips, ((0, 0), (soft, soft), (0, 0)), mode="edge")
    sums = np.cumsum(np.pad(padded, ((0, 0), (1, 0), (0, 0))), axis=1)
    mean = (sums[:, soft:] - sums[:, :-soft]) / soft
    return np.asarray(mean[:, soft:] - mean[:, :-soft])


def _peaks(
    steps: Steps, low: float, high: float, place: float, reach: float
) -> tuple[Floats, Floats, Floats]:
    """The clearest steps between two px, to a part of a px, and how many times the noise each is
    (pieces × _PEAKS, 0 where there is none); and the steps themselves."""
    size = steps.size
    start = max(1, int(np.ceil(low)))
    stop = max(start + 1, min(size.shape[1] - 2, int(np.floor(high))) + 1)
    window = size[:, start - 1 : stop + 1]
    if window.shape[1] < 3:
        none = np.zeros((len(size), _PEAKS))
        return none + place, none, np.zeros((len(size), _PEAKS, 3))
    left, top, right = window[:, :-2], window[:, 1:-1], window[:, 2:]
    x = np.arange(start, start + top.shape[1])
    height = np.where((top >= left) & (top > right), top, 0.0)
    height = height * (1 - 0.5 * np.square((x - place) / (reach + 1)))
    height = np.pad(height, ((0, 0), (0, max(0, _PEAKS - height.shape[1]))))
    best = np.argpartition(-height, _PEAKS - 1, axis=1)[:, :_PEAKS]
    best = np.minimum(best, top.shape[1] - 1)
    each = np.arange(len(size))[:, None]
    before, here, after = (part[each, best].astype(float) for part in (left, top, right))
    bend = np.minimum(before - 2 * here + after, -1e-9)
    part = np.clip(0.5 * (before - after) / bend, -0.5, 0.5)
    there = height[each, best] > 0
    clear = np.where(there, here / steps.noise[:, None], 0.0)
    return start + best + part, clear, steps.step[each, start + best].astype(float)
