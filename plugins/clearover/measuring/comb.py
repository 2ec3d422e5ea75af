"""Evenly spaced lines in a picture that is roughly square on: where a grid's edges may lie.

In: such a picture and how many cells it has across. Out: where the first and the last line may be,
the likeliest first. Rough: to a few pixels.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
_BANDS = 14
_GAPS = (0.0, 0.004, 0.008, 0.013)
"""Half the strip left free between two cells, of the picture's side."""


@dataclass(frozen=True, slots=True)
class Comb:
    """`start` and `stop` are the outer lines and `gap` half the free strip, px; `score` 0 to 1."""

    start: float
    stop: float
    gap: float
    score: float


def combs(view: Floats, cells: int, most: int) -> list[Comb]:
    """The likeliest places of `cells` + 1 upright lines, evenly spaced, in rows × columns × 3."""
    profile = _spread(edge_profile(view))
    length = len(profile)
    starts = np.arange(0, 0.45 * length, 2)
    stops = np.arange(0.55 * length, length - 1, 2)
    start, stop = (part.ravel() for part in np.meshgrid(starts, stops, indexing="ij"))
    found = []
    for share in _GAPS:
        gap = share * length
        total = _at(profile, start + gap) + _at(profile, stop - gap)
        for k in range(1, cells):
            line = start + (stop - start) * k / cells
            total += (_at(profile, line - gap) + _at(profile, line + gap)) / 2
        found.append(total / (cells + 1))
    scores = np.stack(found)
    best = scores.argmax(axis=0)
    return _peaks(start, stop, best, scores.max(axis=0), length, most)


def edge_profile(view: Floats) -> Floats:
    """How much of each column of the picture is an upright edge, 0 to 1."""
    tall = view.shape[0] // _BANDS
    bands = view[: tall * _BANDS].reshape(_BANDS, tall, view.shape[1], 3).mean(axis=1)
    step = np.zeros_like(bands)
    step[:, 2:-2] = (bands[:, 3:-1] - bands[:, 1:-3]) * 2
    size = np.sqrt(np.square(step).sum(axis=2))
    noise = np.median(size, axis=1, keepdims=True) + 1.0
    times = np.square(size / (2.5 * noise))
    return np.asarray((times / (1 + times)).mean(axis=0), dtype=np.float32)


def _spread(profile: Floats) -> Floats:
    padded = np.pad(profile, 1, mode="edge")
    return np.asarray(np.maximum(np.maximum(padded[:-2], padded[2:]), profile))


def _at(profile: Floats, where: NDArray[np.float64]) -> NDArray[np.float64]:
    index = np.clip(np.rint(where).astype(int), 0, len(profile) - 1)
    return np.asarray(profile[index], dtype=np.float64)


def _peaks(
    start: NDArray[np.float64],
    stop: NDArray[np.float64],
    gaps: NDArray[np.intp],
    score: NDArray[np.float64],
    length: int,
    most: int,
) -> list[Comb]:
    found: list[Comb] = []
    near = 0.02 * length
    left = score.copy()
    while len(found) < most:
        at = int(left.argmax())
        if left[at] <= 0:
            break
        gap = _GAPS[int(gaps[at])] * length
        found.append(Comb(float(start[at]), float(stop[at]), gap, float(score[at])))
        left[(np.abs(start - start[at]) < near) & (np.abs(stop - stop[at]) < near)] = 0
    return found
