"""The tile's grid square on, in linear light: what every measurement reads from.

In: an opened photo and a request. Out: a `View`. Knows nothing of colours' names or of verdicts.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..colour.srgb import LINEAR_OF_BYTE
from ..photos.opening import Opened
from ..photos.straighten import apply, homography, straight_view
from .light import Field, brightest_channel
from .limits import limit
from .request import Request

Light = NDArray[np.float32]
Mask = NDArray[np.bool_]
_COARSE = 16
"""The light field is smooth: it is worked out on every sixteenth point and filled in between."""
_BAND = 16
"""So many rows of px are worked on at once."""


@dataclass(slots=True)
class View:
    """The grid square on. `light` is linear RGB, evened and balanced so that a perfect white is 1;
    `keep` is False where a pixel is clipped. `px_per_mm` is None where no size is known. `inner`
    keeps what was worked out of cells already (`inner.inner_of`)."""

    light: Light
    keep: Mask
    rows: int
    columns: int
    px_per_mm: float | None
    inner: dict[tuple[int, int], object] = dataclasses.field(
        default_factory=dict, compare=False, repr=False
    )

    def window(self, row: int, column: int, inset: float = 0.0) -> tuple[slice, slice]:
        """The pixels of a cell (from 1), `inset` of its own size left out at every edge."""
        tall, wide = self.light.shape[0] / self.rows, self.light.shape[1] / self.columns
        top, left = (row - 1 + inset) * tall, (column - 1 + inset) * wide
        bottom, right = (row - inset) * tall, (column - inset) * wide
        return slice(round(top), round(bottom)), slice(round(left), round(right))


def view_of(opened: Opened, request: Request, field: Field, matrix: NDArray[np.float64]) -> View:
    """Straighten, linearise, divide by the light, carry by the balance (3 × 3, linear RGB rows)."""
    picture = straight_view(opened, request.corners, request.width_mm, request.height_mm)
    pixels = np.asarray(picture)
    keep = np.asarray(brightest_channel(pixels) < limit("clipped_from"))
    light = _lit(pixels, _shade(field, request, (picture.width, picture.height)), matrix)
    return View(light, keep, request.rows, request.columns, _px_per_mm(request, picture.size))


def _lit(pixels: NDArray[np.uint8], shade: Light, matrix: NDArray[np.float64]) -> Light:
    """Linear light, the lamp's unevenness and colour taken off; channel by channel and band by
    band, which is several times as fast as all at once."""
    gains = np.diag(matrix)
    alone = np.array_equal(matrix, np.diag(gains))
    tables = [(LINEAR_OF_BYTE * (gain if alone else 1.0)).astype(np.float32) for gain in gains]
    light = np.empty(pixels.shape, dtype=np.float32)
    for top in range(0, len(pixels), _BAND):
        rows = slice(top, top + _BAND)
        even = 1 / shade[rows]
        for channel, table in enumerate(tables):
            light[rows, :, channel] = table.take(pixels[rows, :, channel], mode="clip") * even
        if not alone:
            np.maximum(light[rows] @ matrix.astype(np.float32), 0, out=light[rows])
    return light


def _px_per_mm(request: Request, size: tuple[int, int]) -> float | None:
    found = [
        px / mm
        for px, mm in zip(size, (request.width_mm, request.height_mm), strict=True)
        if mm is not None
    ]
    return float(np.mean(found)) if found else None


def _shade(field: Field, request: Request, size: tuple[int, int]) -> Light:
    """The light at each point of the straight view."""
    width, height = size
    square = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
    carry = homography(square, request.corners)
    xs = np.linspace(0, width, max(2, width // _COARSE))
    ys = np.linspace(0, height, max(2, height // _COARSE))
    grid = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
    points = apply(carry, grid)
    coarse = field.at(points[:, 0], points[:, 1]).reshape(len(ys), len(xs))
    across = np.arange(width) + 0.5
    wide = np.stack([np.interp(across, xs, row) for row in coarse])
    at = np.interp(np.arange(height) + 0.5, ys, np.arange(len(ys)))
    low = np.clip(at.astype(int), 0, len(ys) - 2)
    share = (at - low)[:, None]
    return np.asarray(wide[low] * (1 - share) + wide[low + 1] * share, dtype=np.float32)
