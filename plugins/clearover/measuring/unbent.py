"""A photo of a curved tile with its grid's lines bent straight: the side of a cup, a bowl's wall.

In: a picture, where its grid is thought to lie, and how far lines bow. Out: the picture so bent
that they do not, and where its points lay before. Lines across the bend stay straight; those along
it bow by a parabola, as near to the arc of an ellipse as photos of a few degrees' bend show.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from ..photos.straighten import Matrix, apply

Floats = NDArray[np.float64]
_MESH = 24
"""Parts the picture is bent in, each way: between them a parabola is straight to a part of a px."""
_BEYOND = 1.3
"""Half the grid's extents from its middle; farther out everything moves alike."""


@dataclass(frozen=True, slots=True)
class Bow:
    """How far lines bow. `carry` takes cells to px, `upright` says that upright lines bow, not
    level ones; `depth` is how far their middles lie from the straight line through their ends, of
    the grid's extent across them, toward growing cells."""

    carry: Matrix
    rows: int
    columns: int
    upright: bool
    depth: float

    def before(self, points: Floats) -> Floats:
        """Where points of the unbent picture lie in the bent one, px (n × 2)."""
        cells = apply(np.linalg.inv(self.carry).astype(np.float64), points)
        along, across = (1, 0) if self.upright else (0, 1)
        extent = (self.columns, self.rows)
        place = np.clip(2 * cells[:, along] / extent[along] - 1, -_BEYOND, _BEYOND)
        cells[:, across] += self.depth * extent[across] * (1 - place * place)
        return apply(self.carry, cells)


def unbent(picture: Image.Image, bow: Bow) -> Image.Image:
    """The picture with the lines that bow bent straight."""
    x = np.rint(np.linspace(0, picture.width, _MESH + 1))
    y = np.rint(np.linspace(0, picture.height, _MESH + 1))
    points: Floats = np.stack(np.meshgrid(x, y), axis=-1).astype(float)
    seen = bow.before(points.reshape(-1, 2)).reshape(points.shape)
    mesh = []
    for row in range(_MESH):
        for column in range(_MESH):
            box = (*points[row, column].astype(int), *points[row + 1, column + 1].astype(int))
            ring = ((0, 0), (1, 0), (1, 1), (0, 1))
            corners = (seen[row + down, column + right] for down, right in ring)
            mesh.append((tuple(map(int, box)), tuple(float(v) for at in corners for v in at)))
    return picture.transform(
        picture.size, Image.Transform.MESH, mesh, resample=Image.Resampling.BILINEAR
    )
