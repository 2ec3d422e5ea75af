"""Draw test tiles as a camera would see them, with the truth beside each picture.

In: a tile's record and the catalogue it belongs to. Out: a picture and what is true of every cell.
Everything is seeded; nothing here may use the program's own chemistry, colour or photo code, so
that the pictures can judge it.
"""

from .picture import SIZE, draw_tile, grid_size, seed_of

__all__ = ["SIZE", "draw_tile", "grid_size", "seed_of"]
