"""How sure a contrast ratio is, and whether by it a colour hides its ground.

In: cells' colours and how uneven they are. Out: a ratio with its 90 % range, a word, and the coats
that hide with theirs. What makes it unsure: cells are not even (the scatter of medians of their
parts), the light field is not exact, a veil of reflected light lies over every photo and more of it
beside glare. Brightness of the whole photo cancels. The shares were tried on drawn photos; see
`data/measuring-limits.csv`. Knows no factors and no grounds.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .drag import NINETY
from .limits import limit

_DARKEST = 1e-4
"""Y of the darkest cell: a ratio to it is finite."""
_NOTHING = 1e-9
"""Coats: so much more than a whole number is rounding."""
HIDES, SHOWS, UNSURE = "hides", "not wholly", "cannot tell yet"
Array = NDArray[np.floating]


@dataclass(frozen=True, slots=True)
class Shade:
    """A cell's luminance (Y, white = 1) and its standard deviation as a share of it."""

    light: float
    unsure: float


@dataclass(frozen=True, slots=True)
class Ratio:
    """A contrast ratio and its 90 % range; 1 hides, as far as a photo can tell."""

    value: float
    low: float
    high: float

    @property
    def word(self) -> str:
        """`hides` where even the lower end does, `not wholly` where not even the upper does."""
        hides = limit("cover_hides")
        return HIDES if self.low >= hides else SHOWS if self.high < hides else UNSURE


def shade_of(light: float, left_out: float, tone: Array, good: NDArray[np.bool_]) -> Shade:
    """One cell. `left_out` is the share of it that glare spoilt, `tone` its brightness by px."""
    own = max(light, _DARKEST)
    veil = (limit("cover_veil") + limit("cover_veil_glare") * left_out) / own
    return Shade(own, math.hypot(limit("cover_field"), veil, _uneven(tone, good)))


def _uneven(tone: Array, good: NDArray[np.bool_]) -> float:
    """The standard error of a cell's brightness, from medians of its parts; a share of it."""
    parts = int(limit("cover_parts"))
    medians = [
        float(np.median(part[kept]))
        for row, mask in zip(np.array_split(tone, parts), np.array_split(good, parts), strict=True)
        for part, kept in zip(
            np.array_split(row, parts, axis=1), np.array_split(mask, parts, axis=1), strict=True
        )
        if part.size and kept.mean() >= limit("least_share")
    ]
    if len(medians) < 2:
        return 0.0
    mean = max(float(np.mean(medians)), _DARKEST)
    return float(np.std(medians)) / mean / math.sqrt(len(medians))


def ratio_of(dark: Sequence[Shade], light: Sequence[Shade]) -> Ratio:
    """The ratio of cells over dark ground to cells over light; errors of cells are independent."""
    over_dark, over_light = _together(dark), _together(light)
    value = over_dark.light / over_light.light
    factor = math.exp(NINETY * math.hypot(over_dark.unsure, over_light.unsure))
    return Ratio(value, value / factor, value * factor)


def _together(cells: Sequence[Shade]) -> Shade:
    mean = float(np.mean([cell.light for cell in cells]))
    error = math.hypot(*(cell.light * cell.unsure for cell in cells)) / len(cells)
    return Shade(mean, error / mean)


@dataclass(frozen=True, slots=True)
class Coats:
    """The coats after which a ground is hidden; `low` and `high` by the ends of the ratios' ranges,
    None where those cannot tell. `reason` says how it is known, or why it is not."""

    value: int | None
    low: int | None
    high: int | None
    reason: str


def coats_with_range(ratios: Mapping[int, Ratio]) -> Coats:
    """The coats by the ratios themselves, and by both ends of their ranges."""
    value, reason = coats_to_hide({n: one.value for n, one in ratios.items()})
    low, _ = coats_to_hide({n: one.high for n, one in ratios.items()})
    high, _ = coats_to_hide({n: one.low for n, one in ratios.items()})
    if value is not None:
        low = None if low is None else min(low, value)
        high = None if high is None else max(high, value)
    return Coats(value, low, high, reason)


def coats_to_hide(ratios: Mapping[int, float]) -> tuple[int | None, str]:
    """Coats after which the ground is hidden, from contrast ratios by coats, and how that is known.

    What shows through, 1 less the ratio, is taken to shrink by the same share with each coat, as
    light in a layer does; fitted to its logarithm. None with the reason where that cannot be said.
    """
    hides = 1 - limit("cover_hides")
    least, farthest = limit("cover_least_shows"), limit("cover_farthest")
    left = {coats: max(1 - ratio, least) for coats, ratio in ratios.items() if coats > 0}
    hidden = [coats for coats, shows in left.items() if shows <= hides]
    if hidden and min(hidden) == min(left):
        return min(hidden), "the fewest coats measured hide it"
    if len(left) < 2:
        return None, "not computed: needs contrast ratios of two or more coats"
    coats = np.array(sorted(left), dtype=float)
    logs = np.log([left[int(n)] for n in coats])
    slope, start = np.polyfit(coats, logs, 1)
    if slope > -limit("cover_least_gain"):
        return None, "not computed: more coats did not hide more"
    if hidden:
        return min(hidden), "measured"
    needed = math.ceil((math.log(hides) - start) / slope - _NOTHING)
    most = int(farthest * coats[-1])
    if needed > most:
        return None, f"not computed: more than {most}, beyond twice what was measured"
    return max(needed, int(coats[-1]) + 1), "computed from fewer coats"
