"""The colour of each evenly coloured cell: a view in, L*a*b* with spread and pixel count out.

Knows nothing of underglazes; a line's colour is `lines`' business.
"""

from __future__ import annotations

import numpy as np

from ..colour import ciede2000
from ..colour.srgb import light_to_lab
from .glare import own_light, spared
from .limits import limit
from .results import MEASURED, CellColour
from .view import View

_SAMPLE = 4000
"""So many pixels tell the spread as well as all of them."""


def cell_colour(view: View, row: int, column: int) -> CellColour:
    """The median colour of a cell's middle, glare and clipped pixels left out."""
    window = view.window(row, column, limit("inset"))
    light, keep = view.light[window], view.keep[window]
    if light.size == 0:
        return CellColour(row, column, None, None, 0, 0.0, "not measured: the cell is too small")
    grow = max(1, round(limit("glare_grow") * max(view.light.shape[:2])))
    good = spared(light, keep, grow)
    share = float(good.mean())
    pixels = int(good.sum())
    if share < limit("least_share") or pixels < 25:
        why = "glare covers it" if keep.mean() > 0.5 else "it is too bright in the photo"
        return CellColour(row, column, None, None, pixels, 1 - share, f"not measured: {why}")
    own, stray = own_light(light, good)
    lab = light_to_lab(own)
    chosen = light[good]
    some = chosen[:: max(1, len(chosen) // _SAMPLE)].astype(np.float64) - stray
    spread = float(np.median(ciede2000(light_to_lab(np.maximum(some, 0)), lab)))
    red = (float(lab[0]), float(lab[1]), float(lab[2]))
    return CellColour(row, column, red, spread, pixels, 1 - share, MEASURED)
