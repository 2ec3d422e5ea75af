"""Where on a picture a cell lies: crops of sprites, web sizes, the grid drawn over a photo.

In: `TilePhotos` as the photo part left them. Out: small plain values for templates. It opens no
picture and writes no HTML.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ..photos.results import Sprite, TilePhotos, WebPhoto

FOLDER = "assets/photos/"

Point = tuple[float, float]
Matrix = tuple[float, float, float, float, float, float, float, float]


@dataclass(frozen=True, slots=True)
class Crop:
    """One cell's place in a picture: the window (px of the picture) and the whole picture.

    `fill` is the colour measured there, shown as a band along its lower edge.
    """

    href: str
    x: int
    y: int
    w: int
    h: int
    width: int
    height: int
    label: str
    fill: str | None = None


def crop(
    photos: TilePhotos | None,
    row: int,
    column: int,
    label: str,
    root: str,
    fill: str | None = None,
) -> Crop | None:
    """The crop of one cell, rows and columns from 1; None where there is no picture of it."""
    sprite = photos.sprite if photos else None
    return sprite_crop(sprite, row, column, label, root, fill) if sprite else None


def sprite_crop(
    sprite: Sprite, row: int, column: int, label: str, root: str, fill: str | None = None
) -> Crop | None:
    """The same, from a sprite at hand."""
    if not (1 <= row <= sprite.rows and 1 <= column <= sprite.columns):
        return None
    wide, high, image = sprite.cell_width, sprite.cell_height, sprite.image
    return Crop(
        href=f"{root}{FOLDER}{image.name}",
        x=(column - 1) * wide,
        y=(row - 1) * high,
        w=wide,
        h=high,
        width=image.width,
        height=image.height,
        label=label,
        fill=fill,
    )


def shown(photo: WebPhoto, root: str, alt: str) -> dict[str, object]:
    """A photo for a page: address, `srcset`, size, text for those who do not see it, caption."""
    largest = photo.sizes[-1]
    said = [photo.caption] if photo.caption else []
    if photo.drawn:
        said.append("Drawn, not photographed.")
    return {
        "src": f"{root}{FOLDER}{photo.sizes[min(1, len(photo.sizes) - 1)].name}",
        "largest": f"{root}{FOLDER}{largest.name}",
        "srcset": ", ".join(f"{root}{FOLDER}{size.name} {size.width}w" for size in photo.sizes),
        "width": largest.width,
        "height": largest.height,
        "alt": alt,
        "caption": " ".join(said),
    }


def grid_path(corners: Sequence[Point], rows: int, columns: int, width: int, height: int) -> str:
    """The grid's lines as the data of one SVG path, in px of a picture `width` by `height`.

    `corners` are fractions, clockwise from the tile's own top left. Lines are placed through the
    perspective that the four corners define, so they follow the tile when it was seen aslant.
    Empty where the corners allow no perspective (three on a line).
    """
    matrix = perspective(corners)
    if matrix is None:
        return ""
    lines = [((0.0, i / rows), (1.0, i / rows)) for i in range(rows + 1)]
    lines += [((i / columns, 0.0), (i / columns, 1.0)) for i in range(columns + 1)]
    parts = []
    for start, end in lines:
        (x1, y1), (x2, y2) = through(matrix, start), through(matrix, end)
        parts.append(f"M{x1 * width:.0f} {y1 * height:.0f}L{x2 * width:.0f} {y2 * height:.0f}")
    return "".join(parts)


def perspective(corners: Sequence[Point]) -> Matrix | None:
    """The projective map that takes the unit square to four corners, clockwise from (0, 0).

    Source: Paul S. Heckbert, Fundamentals of Texture Mapping and Image Warping, 1989, section
    2.2.3, square to quadrilateral (from memory; tested by its corners and by straight lines).
    """
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = corners
    sum_x, sum_y = x0 - x1 + x2 - x3, y0 - y1 + y2 - y3
    dx1, dy1, dx2, dy2 = x1 - x2, y1 - y2, x3 - x2, y3 - y2
    determinant = dx1 * dy2 - dx2 * dy1
    if abs(determinant) < 1e-12:
        return None
    g = (sum_x * dy2 - dx2 * sum_y) / determinant
    h = (dx1 * sum_y - sum_x * dy1) / determinant
    return (x1 - x0 + g * x1, x3 - x0 + h * x3, x0, y1 - y0 + g * y1, y3 - y0 + h * y3, y0, g, h)


def through(matrix: Matrix, point: Point) -> Point:
    """A point of the unit square, mapped."""
    a, b, c, d, e, f, g, h = matrix
    u, v = point
    scale = g * u + h * v + 1.0
    return (a * u + b * v + c) / scale, (d * u + e * v + f) / scale
