"""What marks the cells' borders: thin straight marks and steps of colour, piece by piece.

In: a grid square on. Out: `Borders`: at each px across each piece how clearly a thin mark (a rim of
glaze, a scribed line) and a step of colour show, 0 to 1. Knows nothing of where the grid ends.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .lattice import Square, step_across, strips_across
from .limits import limit

Evidence = NDArray[np.float32]
_PIECES = 6
"""Parts that each side of a cell is seen in: brushed edges sway from part to part, a rim does
not."""
_ENDS = 0.06
"""Of a cell's side, left out at both ends."""
_SOFT = 3
"""Px that a step is taken over, and a thin mark is seen in."""
_LEAST_MARK, _LEAST_STEP = 2.0, 2.5
"""What stands out less, times its noise, says nothing."""
_HALF_MARK = 6.0
"""A thin mark so many times its noise counts half."""
_EDGE_SHARE = 0.6
"""Of a step is taken off a thin mark: beside every step something looks like one."""


@dataclass(slots=True)
class Borders:
    """`across` are two kinds × pieces × px borders for upright and level lines, in this order;
    `along` the pieces' middles in cells."""

    square: Square
    across: tuple[Evidence, Evidence]
    along: tuple[NDArray[np.float64], NDArray[np.float64]]


def borders_of(square: Square) -> Borders:
    """Thin marks and steps along upright lines and along level ones."""
    (a, b), (c, d) = _seen(square, True), _seen(square, False)
    return Borders(square, (a, c), (b, d))


def mean_cell(square: Square) -> float:
    """The middle of a cell's width and height, px."""
    return (square.cell[0] + square.cell[1]) / 2


def _seen(square: Square, upright: bool) -> tuple[Evidence, NDArray[np.float64]]:
    strips, along = strips_across(square, upright, _PIECES, _ENDS)
    steps = np.sqrt(np.square(step_across(strips, _SOFT)).sum(axis=2))[:, : strips.shape[1]]
    marks = np.sqrt(np.square(_thin(strips)).sum(axis=2))
    mark_noise = np.maximum(np.median(marks, axis=1, keepdims=True) * 1.2, 0.7)
    step_noise = np.maximum(np.median(steps, axis=1, keepdims=True) * 1.2, 1.0)
    beside = (steps + np.roll(steps, -1, axis=1)) / 2
    mark = np.maximum(0, marks - _EDGE_SHARE * beside) / mark_noise
    step = steps / step_noise
    half = max(0.5 * float(np.median(step.max(axis=1))), 1.0)
    size = mean_cell(square)
    thin = _widened(
        _tops(mark, _LEAST_MARK, _HALF_MARK), max(1.0, limit("corners_mark_blur") * size)
    )
    thin[:, 1:] = np.maximum(thin[:, 1:], thin[:, :-1])  # from px to the borders between them
    wide = _widened(_tops(step, _LEAST_STEP, half), max(1.3, limit("corners_step_blur") * size))
    return np.stack([thin, wide]), along


def _thin(strips: NDArray[np.float32]) -> NDArray[np.float32]:
    """How a few px differ from as many on both sides of them."""
    padded = np.pad(strips, ((0, 0), (_SOFT + 1, _SOFT + 1), (0, 0)), mode="edge")
    sums = np.cumsum(np.pad(padded, ((0, 0), (1, 0), (0, 0))), axis=1)
    mean = (sums[:, _SOFT:] - sums[:, :-_SOFT]) / _SOFT
    px = strips.shape[1]
    here = mean[:, _SOFT : _SOFT + px]
    return np.asarray(here - (mean[:, :px] + mean[:, 2 * _SOFT : 2 * _SOFT + px]) / 2)


def _tops(size: Evidence, least: float, half: float) -> Evidence:
    """The peaks alone, 0 to 1."""
    found = np.zeros_like(size)
    left, top, right = size[:, :-2], size[:, 1:-1], size[:, 2:]
    there = (top >= left) & (top > right) & (top > least)
    found[:, 1:-1] = np.where(there, top / (top + half), 0)
    return found


def _widened(peaks: Evidence, spread: float) -> Evidence:
    """Each peak as a bell of this standard deviation, px; where bells meet the higher counts."""
    found = peaks.copy()
    for away in range(1, int(np.ceil(2.5 * spread)) + 1):
        less = peaks * np.float32(np.exp(-0.5 * (away / spread) ** 2))
        np.maximum(found[:, away:], less[:, :-away], out=found[:, away:])
        np.maximum(found[:, :-away], less[:, away:], out=found[:, :-away])
    return found
