"""One picture that holds many crops: a tile's cells, or chosen cells of several tiles.

In: straight pictures, or finished sprites. Out: the picture and its cell size, or a cached
`Sprite`. Knows nothing of records.
"""

from __future__ import annotations

import io
from collections.abc import Collection, Sequence
from functools import lru_cache
from pathlib import Path

from PIL import Image

from .cache import Cache, Made, Stamps, digest_of
from .crops import cell_box, centred
from .limits import limits
from .results import Sprite, TilePhotos
from .web import SIDE_OF_WEBP, encode

EMPTY = (128, 128, 128)
"""What stands where a tile has no cell: grey, and no page shows it."""
Place = tuple[int, int]


def cell_size(straight: tuple[int, int], rows: int, columns: int) -> tuple[int, int]:
    """The size of a sprite's cells, px: smaller than usual where photo or WebP give less."""
    limit = limits()
    width, height = limit.sprite_cell_width, limit.sprite_cell_height
    box = centred(cell_box(straight, rows, columns, (1, 1), limit.cell_inset), width / height)
    scale = min(
        1.0,
        (box[2] - box[0]) / width,
        SIDE_OF_WEBP / (columns * width),
        SIDE_OF_WEBP / (rows * height),
    )
    return max(1, int(width * scale)), max(1, int(height * scale))


def sprite_picture(
    straight: Image.Image, rows: int, columns: int, missing: Collection[Place] = ()
) -> tuple[Image.Image, tuple[int, int]]:
    """A tile's cells side by side in their own rows and columns, and the size of one cell."""
    cell = cell_size(straight.size, rows, columns)
    sheet = Image.new("RGB", (columns * cell[0], rows * cell[1]), EMPTY)
    for row in range(1, rows + 1):
        for column in range(1, columns + 1):
            if (row, column) in missing:
                continue
            box = cell_box(straight.size, rows, columns, (row, column), limits().cell_inset)
            crop = straight.resize(
                cell, Image.Resampling.LANCZOS, box=centred(box, cell[0] / cell[1])
            )
            sheet.paste(crop, ((column - 1) * cell[0], (row - 1) * cell[1]))
    return sheet, cell


def strip(
    crops: Sequence[tuple[TilePhotos, int, int]],
    cell: tuple[int, int],
    cache: Path,
    stamps: Stamps | None = None,
) -> Sprite:
    """Chosen crops, (tile's photos, row, column), side by side in one cached picture.

    All lie in one row as long as a WebP can be that wide (102 cells of 160 px); crop number k,
    counted from 0, always lies at row k // columns + 1, column k % columns + 1 of the result. A
    crop whose tile has no sprite, or no such cell, stays grey: leave it out before asking. With
    `stamps` an unchanged picture is not opened.
    Raises ValueError for no crops at all.
    """
    if not crops:
        raise ValueError("a strip needs at least one crop")
    columns = min(len(crops), SIDE_OF_WEBP // cell[0])
    rows = -(-len(crops) // columns)
    store = Cache(cache)
    names = [[_name(photos), row, column] for photos, row, column in crops]
    key = digest_of("strip", {"crops": names, "cell": cell, "columns": columns})
    made = store.find(key, stamps)
    if made is None:
        data = encode(_strip_picture(crops, cell, columns, rows), limits().web_quality)
        made = store.keep(key, [Made("strip", "strip", data, *_size(cell, columns, rows))])
    image = store.image(made.pictures[0])
    return Sprite(image, rows, columns, cell[0], cell[1])


def _size(cell: tuple[int, int], columns: int, rows: int) -> tuple[int, int]:
    return columns * cell[0], rows * cell[1]


def _name(photos: TilePhotos) -> str | None:
    return photos.sprite.image.name if photos.sprite else None


def _strip_picture(
    crops: Sequence[tuple[TilePhotos, int, int]], cell: tuple[int, int], columns: int, rows: int
) -> Image.Image:
    sheet = Image.new("RGB", _size(cell, columns, rows), EMPTY)
    for number, (photos, row, column) in enumerate(crops):
        sprite = photos.sprite
        if not sprite or not (1 <= row <= sprite.rows and 1 <= column <= sprite.columns):
            continue
        left, top = (column - 1) * sprite.cell_width, (row - 1) * sprite.cell_height
        box = (left, top, left + sprite.cell_width, top + sprite.cell_height)
        crop = _decoded(sprite.image.path).resize(
            cell, Image.Resampling.LANCZOS, box=centred(box, cell[0] / cell[1])
        )
        sheet.paste(crop, (number % columns * cell[0], number // columns * cell[1]))
    return sheet


@lru_cache(maxsize=64)
def _decoded(path: Path) -> Image.Image:
    """A sprite of our own, opened. Its name holds its digest, so it never changes."""
    with Image.open(io.BytesIO(path.read_bytes()), formats=["WEBP"]) as file:
        return file.convert("RGB")
