"""See a tile's grid square on, from the four corners of its photo.

In: an opened photo, four corners, the real size where it is known. Out: the straight picture.
Knows nothing of cells or files.

Coordinates are continuous: pixel (0, 0) covers 0 to 1, so a photo's right border is x = width.
Method: normalised direct linear transform, Hartley and Zisserman, Multiple View Geometry in
Computer Vision, 2nd edition, 2004, algorithm 4.2; scaling of section 4.4.4.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import dist
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from .limits import limits

if TYPE_CHECKING:
    from .opening import Opened

Matrix = NDArray[np.float64]
Point = tuple[float, float]


def homography(source: Sequence[Point], target: Sequence[Point]) -> Matrix:
    """The 3 × 3 matrix that carries four or more source points onto the target points.

    Scaled so that its last element is 1. Raises ValueError where three of the points lie in a line.
    """
    from_points, to_points = np.asarray(source, float), np.asarray(target, float)
    shift_from, shift_to = _normaliser(from_points), _normaliser(to_points)
    x, y = apply(shift_from, from_points).T
    u, v = apply(shift_to, to_points).T
    zero, one = np.zeros_like(x), np.ones_like(x)
    rows = np.concatenate(
        [
            np.stack([-x, -y, -one, zero, zero, zero, u * x, u * y, u], axis=1),
            np.stack([zero, zero, zero, -x, -y, -one, v * x, v * y, v], axis=1),
        ]
    )
    _, singular, vectors = np.linalg.svd(rows)
    if singular[7] < 1e-9 * singular[0]:
        raise ValueError("three of the points lie in a line")
    matrix = np.linalg.inv(shift_to) @ vectors[-1].reshape(3, 3) @ shift_from
    if abs(matrix[2, 2]) < 1e-12 * np.abs(matrix).max():
        raise ValueError("the origin is carried to infinity")
    return np.asarray(matrix / matrix[2, 2])


def _normaliser(points: Matrix) -> Matrix:
    """Moves the points' centre to 0 and their mean distance from it to √2."""
    centre = points.mean(axis=0)
    spread = float(np.hypot(*(points - centre).T).mean())
    if spread == 0:
        raise ValueError("all points are one")
    scale = np.sqrt(2) / spread
    return np.array([[scale, 0, -scale * centre[0]], [0, scale, -scale * centre[1]], [0, 0, 1]])


def apply(matrix: Matrix, points: Matrix) -> Matrix:
    """Points, n × 2, carried by the matrix."""
    points = np.asarray(points, float)
    carried = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    return np.asarray(carried[:, :2] / carried[:, 2:])


def straight_size(
    corners: Sequence[Point], width_mm: float | None = None, height_mm: float | None = None
) -> Point:
    """Width and height, px, of the straight view at the photo's own resolution.

    The longer of each pair of opposite edges counts, so that no part of the photo is shrunk. With
    both real sizes given their ratio is kept and only the resolution comes from the edges.
    """
    top_left, top_right, bottom_right, bottom_left = corners
    width = max(dist(top_left, top_right), dist(bottom_left, bottom_right))
    height = max(dist(top_left, bottom_left), dist(top_right, bottom_right))
    if width_mm and height_mm:
        px_per_mm = max(width / width_mm, height / height_mm)
        return width_mm * px_per_mm, height_mm * px_per_mm
    return width, height


def straighten(
    picture: Image.Image,
    corners: Sequence[Point],
    width_mm: float | None = None,
    height_mm: float | None = None,
    *,
    side_max: int,
) -> Image.Image:
    """The grid square on, at most `side_max` px on its longer side.

    Where the photo holds more than that, it is first brought to the same scale with a filter that
    weighs every pixel, so that fine grain does not turn into false pattern; then it is warped once
    (bicubic), at the size that is wanted.
    """
    width, height = straight_size(corners, width_mm, height_mm)
    scale = min(1.0, side_max / max(width, height))
    piece, corners = _cut(picture, corners, scale)
    size = _whole(width, height, scale)
    target = [(0.0, 0.0), (size[0], 0.0), (size[0], size[1]), (0.0, size[1])]
    return piece.transform(
        size,
        Image.Transform.PERSPECTIVE,
        tuple(homography(target, corners).ravel()[:8]),
        resample=Image.Resampling.BICUBIC,
    )


def straight_view(
    opened: Opened, corners: Sequence[Point], width_mm: float | None, height_mm: float | None
) -> Image.Image:
    """The grid of an opened photo at the size that pages and measuring use; made once for both.

    `corners` are px of the full upright photo. Not to be drawn into.
    """
    key = (id(opened.picture), tuple(map(tuple, corners)), width_mm, height_mm)
    if key not in opened.views:
        inside, side = opened.inside(corners), limits().straight_side_max
        opened.views[key] = straighten(opened.picture, inside, width_mm, height_mm, side_max=side)
    return opened.views[key]


def _whole(width: float, height: float, scale: float) -> tuple[int, int]:
    return max(1, round(width * scale)), max(1, round(height * scale))


def _cut(
    picture: Image.Image, corners: Sequence[Point], scale: float
) -> tuple[Image.Image, list[Point]]:
    """The picture round the corners, at `scale` (at most 1), and the corners in it."""
    xs, ys = zip(*corners, strict=True)
    margin = int(4 / scale) + 1
    left, top = max(0, int(min(xs)) - margin), max(0, int(min(ys)) - margin)
    right = min(picture.width, int(max(xs)) + margin + 1)
    bottom = min(picture.height, int(max(ys)) + margin + 1)
    box = (left, top, right, bottom)
    if scale == 1.0:
        return picture.crop(box), [(x - left, y - top) for x, y in corners]
    size = _whole(right - left, bottom - top, scale)
    piece = picture.resize(size, Image.Resampling.LANCZOS, box=box, reducing_gap=3.0)
    across, down = size[0] / (right - left), size[1] / (bottom - top)
    return piece, [((x - left) * across, (y - top) * down) for x, y in corners]
