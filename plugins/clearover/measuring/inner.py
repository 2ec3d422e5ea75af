"""The middle of each evenly coloured cell: a view's cell in, its light and what of it is sound out.

Worked out once a cell, for its colour, its streaks and the picture of what was used all ask. Knows
nothing of colours or verdicts.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .glare import spared
from .light import LUMA
from .limits import limit
from .view import View

Light = NDArray[np.float32]
Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Inner:
    """A cell's middle. `window` is where it lies in the view; `light` linear RGB, `tone` its
    brightness (Y); `keep` False where it is clipped, `good` where a reflection spoils it too."""

    window: tuple[slice, slice]
    light: Light
    tone: Light
    keep: Mask
    good: Mask


def inner_of(view: View, row: int, column: int) -> Inner:
    """The cell (from 1) without its rim; empty arrays where nothing is left."""
    kept = view.inner.get((row, column))
    if isinstance(kept, Inner):
        return kept
    window = view.window(row, column, limit("inset"))
    light, keep = view.light[window], view.keep[window]
    tone = light @ LUMA.astype(np.float32)
    halo = max(1, round(limit("glare_grow") * max(view.light.shape[:2])))
    found = Inner(window, light, tone, keep, spared(light, tone, keep, halo) if tone.size else keep)
    view.inner[row, column] = found
    return found
