"""The tile itself, seen square on: clay, cells, gaps and mark, before any camera.

In: a tile's record and catalogue, a seed, px per mm. Out: its diffuse colour, height and gloss as
arrays, and what is true of every cell.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from clearover.records.catalogue import Catalogue
from clearover.records.tile import Cell, Tile

from . import marks
from .cell import Place, draw_cell
from .colours import Array, dressed, lab_of, linear_of, toned
from .happens import glass_of, outcome
from .noise import clouds, discs, grain, step
from .tables import Clay, clays

MARGIN = 7.0
"""Bare clay round the grid, mm; the mark is scratched into the lower one."""
FOOT = 12.0


@dataclass(slots=True)
class Board:
    """A tile square on. `grid` is (left, top, right, bottom) of the cells, px."""

    colour: Array
    height: Array
    gloss: Array
    scale: float
    grid: tuple[float, float, float, float]
    cells: list[dict[str, object]] = field(default_factory=list)


def clay_of(tile: Tile, catalogue: Catalogue, cell: Cell | None = None) -> Clay:
    """The clay of a cell, or of the whole tile."""
    ident = str((cell or tile.cells[0]).where.get("body", "white-stoneware"))
    body = catalogue.bodies.get(ident)
    word = body.colour if body and body.colour in clays() else "other"
    return clays().get(ident) or clays()[word or "other"]


def draw_board(
    tile: Tile,
    catalogue: Catalogue,
    size_mm: tuple[float, float],
    scale: float,
    rng: np.random.Generator,
    judged: int = 0,
) -> Board:
    """The whole tile. `size_mm` is the grid's width and height."""
    wide, high = size_mm
    shape = (round((high + MARGIN + FOOT) * scale), round((wide + 2 * MARGIN) * scale))
    clay = clay_of(tile, catalogue)
    board = Board(
        clay_surface(shape, clay, scale, rng, None),
        0.010 * grain(shape, rng) + 0.12 * clouds(shape, rng, 22 * scale),
        np.full(shape, 0.02, dtype=np.float32),
        scale,
        (MARGIN * scale, MARGIN * scale, (MARGIN + wide) * scale, (MARGIN + high) * scale),
    )
    for cell in tile.cells:
        board.cells.append(_place(board, tile, cell, catalogue, rng, judged))
    marks.scratch(
        board.colour, board.height, tile.mark or "", (MARGIN, high + MARGIN + 3), scale, rng
    )
    return board


def clay_surface(
    shape: tuple[int, int], clay: Clay, scale: float, rng: np.random.Generator, gloss: float | None
) -> Array:
    """Plain clay as linear light: tone, grain and specks; bare when `gloss` is None."""
    lift = 0.9 * clouds(shape, rng, 15 * scale) + clay.grain * 0.8 * grain(shape, rng)
    colour = toned(dressed(clay.lab, gloss), lift)
    count = int(clay.specks * shape[0] * shape[1] / scale**2)
    dark = linear_of((24, 8, 12))
    for rows, columns, away, radius in discs(shape, rng, count, 0.08 * scale, 0.30 * scale):
        spot = (1 - step(away, radius, 0.09 * scale)) * rng.uniform(0.35, 0.95)
        window = colour[rows, columns]
        window[:] = window * (1 - spot[..., None]) + dark * spot[..., None]
    return colour


def _place(
    board: Board,
    tile: Tile,
    cell: Cell,
    catalogue: Catalogue,
    rng: np.random.Generator,
    judged: int,
) -> dict[str, object]:
    left, top, right, bottom = board.grid
    wide, high = (right - left) / tile.columns, (bottom - top) / tile.rows
    x, y = left + (cell.column - 1) * wide, top + (cell.row - 1) * high
    rows, columns = slice(round(y), round(y + high)), slice(round(x), round(x + wide))
    shape = (rows.stop - rows.start, columns.stop - columns.start)
    glass = glass_of(catalogue.clears.get(cell.clear))
    clay = clay_of(tile, catalogue, cell)
    gloss = glass.gloss if glass else None
    place = Place(
        clay_surface(shape, clay, board.scale, rng, gloss),
        dressed(clay.lab, None),
        dressed(clay.lab, gloss),
        board.scale,
        tile.lower_edge or "bottom",
    )
    what = outcome(tile, cell, catalogue, judged)
    skin, drawn = draw_cell(place, tile, cell, catalogue, what, rng)
    board.colour[rows, columns] = skin.colour
    board.height[rows, columns] = skin.height
    board.gloss[rows, columns] = skin.gloss
    return {"at": [cell.row, cell.column], **_true_colour(skin.colour, drawn), **drawn}


def _true_colour(colour: Array, drawn: dict[str, object]) -> dict[str, object]:
    """The median colour of the inner cell, or of the line's core."""
    lab = lab_of(colour)
    core = drawn.pop("core", None)
    if isinstance(core, np.ndarray) and core.any():
        chosen = lab[core]
    else:
        h, w = lab.shape[:2]
        chosen = lab[int(h * 0.2) : int(h * 0.8), int(w * 0.2) : int(w * 0.8)].reshape(-1, 3)
    return {"lab": [round(float(v), 1) for v in np.median(chosen, axis=0)]}
