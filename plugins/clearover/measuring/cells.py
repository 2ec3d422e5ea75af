"""The colour of each evenly coloured cell: a view in, L*a*b* with spread and pixel count out.

Knows nothing of underglazes; a line's colour is `lines`' business.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ..colour import ciede2000
from ..colour.srgb import light_to_lab
from .inner import inner_of
from .light import middle_of
from .limits import limit
from .results import MEASURED, CellColour
from .stray import Blocks, blocks_of, nothing, stray_over
from .view import View

_SAMPLE = 4000
"""So many pixels tell the spread as well as all of them."""


@dataclass(frozen=True, slots=True)
class _Part:
    """The middle of one cell: its good pixels, what share they are, and the cell in blocks."""

    light: NDArray[np.float32]
    share: float
    bright_enough: bool
    blocks: Blocks


def cell_colours(view: View, places: Iterable[tuple[int, int]]) -> tuple[CellColour, ...]:
    """The median colour of each cell's middle; glare, clipped pixels and stray light left out."""
    spots = tuple(places)
    parts = [_part(view, row, column) for row, column in spots]
    tall, wide = view.light.shape[:2]
    longer = max(tall, wide)
    stray = stray_over([part.blocks for part in parts], (wide / longer, tall / longer))
    return tuple(
        _colour(row, column, part, white)
        for (row, column), part, white in zip(spots, parts, stray, strict=True)
    )


def _part(view: View, row: int, column: int) -> _Part:
    inner = inner_of(view, row, column)
    if inner.tone.size == 0:
        return _Part(inner.light.reshape(-1, 3), 0.0, True, nothing())
    corner = (int(inner.window[0].start), int(inner.window[1].start))
    return _Part(
        inner.light[inner.good],
        float(inner.good.mean()),
        float(inner.keep.mean()) > 0.5,
        blocks_of(inner.tone, inner.good, corner, max(view.light.shape[:2])),
    )


def _colour(row: int, column: int, part: _Part, stray: float) -> CellColour:
    pixels = len(part.light)
    if part.share < limit("least_share") or pixels < limit("least_pixels"):
        why = "glare covers it" if part.bright_enough else "it is too bright in the photo"
        if part.share >= limit("least_share"):
            why = "the cell has too few pixels"
        return CellColour(row, column, None, None, pixels, 1 - part.share, f"not measured: {why}")
    own = np.maximum(np.array([middle_of(one) for one in part.light.T]) - stray, 1e-4)
    light, a, b = (float(value) for value in light_to_lab(own))
    some = part.light[:: max(1, pixels // _SAMPLE)].astype(np.float64) - stray
    spread = middle_of(ciede2000(light_to_lab(np.maximum(some, 0)), (light, a, b)))
    return CellColour(row, column, (light, a, b), spread, pixels, 1 - part.share, MEASURED)
