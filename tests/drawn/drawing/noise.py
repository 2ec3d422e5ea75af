"""Seeded unevenness: clouds, streaks, blur and crack networks as plain arrays.

In: a shape, scales in px and a generator. Out: arrays. Knows nothing of glazes.
"""

from __future__ import annotations

import numpy as np

from .colours import Array

Shape = tuple[int, int]


def blur(field: Array, sigma_y: float, sigma_x: float | None = None) -> Array:
    """Near-Gaussian blur: three box passes along each axis, edges repeated."""
    result = np.asarray(field, dtype=np.float32)
    for axis, sigma in ((0, sigma_y), (1, sigma_y if sigma_x is None else sigma_x)):
        radius = round(float(sigma) * 1.0)
        if radius < 1:
            continue
        for _ in range(3):
            result = _box(result, radius, axis)
    return result


def _box(field: Array, radius: int, axis: int) -> Array:
    pad = [(0, 0)] * field.ndim
    pad[axis] = (radius + 1, radius)
    total = _sums(np.pad(field, pad, mode="edge"), axis)
    width = 2 * radius + 1
    ahead, behind = (slice(width, None), slice(None, -width))
    cut = (slice(None),) * axis
    return np.asarray((total[(*cut, ahead)] - total[(*cut, behind)]) / width)


def _sums(field: Array, axis: int) -> Array:
    """Sums from the first on. Down the rows one row at a time: numpy goes down column by column,
    which is many times as slow in a wide field; the same additions either way."""
    if axis == 1 or field.shape[1] < 200:
        return np.asarray(np.cumsum(field, axis=axis))
    total = field.copy()
    for row in range(1, len(total)):
        total[row] += total[row - 1]
    return total


def clouds(
    shape: Shape, rng: np.random.Generator, size_y: float, size_x: float | None = None
) -> Array:
    """Smooth unevenness with standard deviation 1 and features about `size` px across."""
    size_x = size_y if size_x is None else size_x
    step_y, step_x = max(1, int(size_y / 3)), max(1, int(size_x / 3))
    small = (max(4, shape[0] // step_y + 3), max(4, shape[1] // step_x + 3))
    coarse = blur(
        rng.standard_normal(small, dtype=np.float32), size_y / step_y / 2.5, size_x / step_x / 2.5
    )
    field = _enlarge(coarse, shape)
    return np.asarray((field - field.mean()) / (field.std() + np.float32(1e-9)))


def _enlarge(field: Array, shape: Shape) -> Array:
    field = field.astype(np.float32)
    rows = np.linspace(0, field.shape[0] - 1.001, shape[0], dtype=np.float32)
    columns = np.linspace(0, field.shape[1] - 1.001, shape[1], dtype=np.float32)
    r, c = rows.astype(int), columns.astype(int)
    fr, fc = (rows - r)[:, None], (columns - c)[None, :]
    wide = field[:, c] * (1 - fc) + field[:, c + 1] * fc
    return np.asarray(wide[r] * (1 - fr) + wide[r + 1] * fr)


def soften(field: Array) -> Array:
    """The smallest blur: each point shares half with its four neighbours."""
    padded = np.pad(field, 1, mode="edge")
    around = padded[:-2, 1:-1] + padded[2:, 1:-1] + padded[1:-1, :-2] + padded[1:-1, 2:]
    return np.asarray(0.5 * field + 0.125 * around)


def grain(shape: Shape, rng: np.random.Generator) -> Array:
    """The finest unevenness, a px or two across, standard deviation 1."""
    field = soften(rng.standard_normal(shape, dtype=np.float32))
    return np.asarray(field / np.float32(0.561))  # what is left of 1 after softening


def step(field: Array, middle: float, softness: float) -> Array:
    """A soft step from 0 to 1 around `middle`."""
    steep = np.float32(1 / max(softness, 1e-6))
    return np.asarray(1 / (1 + np.exp(-np.clip((field - middle) * steep, -40, 40))))


def cracks(shape: Shape, rng: np.random.Generator, spacing: float, width: float) -> Array:
    """A net of thin cracks, 1 on a crack and 0 elsewhere; `spacing` and `width` in px."""
    count = max(6, int(shape[0] * shape[1] / spacing**2))
    points = rng.uniform((-spacing, -spacing), (shape[0] + spacing, shape[1] + spacing), (count, 2))
    y, x = np.mgrid[0 : shape[0], 0 : shape[1]].astype(np.float32)
    wobble = clouds(shape, rng, spacing / 2) * spacing * 0.06
    nearest = np.full(shape, np.inf, dtype=np.float32)
    second = nearest.copy()
    for py, px in points:
        away = np.hypot(y - np.float32(py) + wobble, x - np.float32(px) - wobble)
        second = np.minimum(second, np.maximum(nearest, away))
        nearest = np.minimum(nearest, away)
    return np.asarray(1 - step((second - nearest).astype(float), width, width / 3))


def discs(
    shape: Shape, rng: np.random.Generator, count: int, small: float, large: float
) -> list[tuple[slice, slice, Array, float]]:
    """Scattered discs: for each a window, the distance from its centre in px, and its radius."""
    found = []
    for _ in range(count):
        radius = float(rng.uniform(small, large))
        cy, cx = rng.uniform(0, shape[0]), rng.uniform(0, shape[1])
        reach = radius * 1.8 + 2
        top, bottom = max(0, int(cy - reach)), min(shape[0], int(cy + reach) + 1)
        left, right = max(0, int(cx - reach)), min(shape[1], int(cx + reach) + 1)
        if bottom - top < 2 or right - left < 2:
            continue
        y, x = np.mgrid[top:bottom, left:right]
        found.append((slice(top, bottom), slice(left, right), np.hypot(y - cy, x - cx), radius))
    return found
