"""From a tile's record to one finished picture and its truth.

In: the record, its catalogue, a seed and a difficulty. Out: a picture and a dictionary of truths.
Corners in the truth are of the grid, clockwise from the tile's own top left, in px of the picture.
"""

from __future__ import annotations

import hashlib
from dataclasses import replace

import numpy as np
from clearover.records.catalogue import Catalogue
from clearover.records.tile import Tile
from PIL import Image

from .board import FOOT, MARGIN, draw_board
from .camera import Settings, homography, project, settings_for, take
from .cell import line_width
from .curve import bow
from .scene import lay_out

SIZE = (1600, 1200)


def seed_of(*words: object) -> int:
    """The same seed for the same words, on every machine."""
    digest = hashlib.sha256("/".join(str(word) for word in words).encode()).digest()
    return int.from_bytes(digest[:8], "big")


def grid_size(tile: Tile) -> tuple[float, float]:
    """The grid's real size: as the record says, else what a tile of this layout has."""
    photo = tile.measured_photo
    if photo and photo.width_mm and photo.height_mm:
        return photo.width_mm, photo.height_mm
    if any(line_width(cell) for cell in tile.cells):
        return tile.columns * (34.0 if tile.columns <= 2 else 22.0), tile.rows * 15.0
    wide = 28.0 if tile.columns <= 4 else 110.0 / tile.columns
    high = 24.0 if tile.rows <= 3 else 80.0 / tile.rows
    return tile.columns * wide, tile.rows * high


def draw_tile(
    tile: Tile,
    catalogue: Catalogue,
    seed: int,
    difficulty: float,
    *,
    size: tuple[int, int] = SIZE,
    judged: int = 0,
    quarter_turn: bool = False,
    backdrop: str = "plain",
    settings: dict[str, object] | None = None,
) -> tuple[Image.Image, dict[str, object]]:
    """One photo of a tile.

    `difficulty` runs from 0 (copy stand) to 1 (tilt to 25°, light 2 : 1, noise, glare, cast). The
    tile itself depends on `seed` only through its record's id, so that two photos of one tile
    show the same tile. Raises nothing for odd records; a tile without cells is not drawable.
    """
    grid = grid_size(tile)
    scale = _scale(grid, size)
    board = draw_board(
        tile, catalogue, grid, scale, np.random.default_rng(seed_of(tile.id)), judged
    )
    sunk = bow(board) if tile.shape == "curved" else None
    rng = np.random.default_rng(seed)
    scene = lay_out(board, rng)
    chosen = settings_for(rng, difficulty, quarter_turn)
    if settings:
        chosen = replace(chosen, **settings)  # type: ignore[arg-type]
    pixels, truth = take(scene, backdrop, chosen, size, rng)
    if sunk:
        left, right = sunk
        down = np.array([(0, left), (0, right), (0, right), (0, left)])
        seen = project(homography(scene, chosen, size), (np.asarray(scene.grid) + down).tolist())
        truth["corners"] = np.round(seen, 2).tolist()
    truth["grid_mm"] = list(grid)
    truth["cells"] = board.cells
    return Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8), "RGB"), truth


def _scale(grid: tuple[float, float], size: tuple[int, int]) -> float:
    """Px per mm at which the tile is drawn: about what the camera will see of it."""
    wide, high = grid[0] + 2 * MARGIN, grid[1] + MARGIN + FOOT
    beside = wide < high * 1.25
    full = (wide + 41, high) if beside else (wide, high + 29)
    return float(min(13.0, 0.92 * min(size[0] / full[0], size[1] / full[1])))


__all__ = ["SIZE", "Settings", "draw_tile", "grid_size", "seed_of"]
