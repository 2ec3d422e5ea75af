"""A colour word for a measured colour: L*a*b* in, one of the twelve basic words out.

The nearest named colour by CIEDE2000 gives the word (`data/colour-words.csv`: 267 centroids of
colour names, and 13 answers of a survey). Knows nothing of underglazes. A word is a help for
reading, never a verdict.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..tables import rows
from .difference import ciede2000


@dataclass(frozen=True, slots=True)
class Named:
    """A colour in words: the basic word, the fuller name of the nearest centroid, and how far off
    that centroid lies (ΔE00)."""

    word: str
    name: str
    distance: float


@cache
def _centroids() -> tuple[NDArray[np.float64], tuple[str, ...], tuple[str, ...]]:
    table = rows("colour-words.csv")
    labs = np.array([[float(row[key]) for key in ("L", "a", "b")] for row in table])
    return labs, tuple(row["word"] for row in table), tuple(row["name"] for row in table)


def named(lab: ArrayLike) -> Named:
    """The word for one colour (L*a*b*, D65)."""
    lightness, a, b = (float(part) for part in np.asarray(lab, dtype=np.float64))
    return _named(lightness, a, b)


@lru_cache(maxsize=4096)
def _named(lightness: float, a: float, b: float) -> Named:
    """A page, a list and an export ask for the same cell."""
    labs, basic, names = _centroids()
    distances = ciede2000((lightness, a, b), labs)
    nearest = int(np.argmin(distances))
    return Named(basic[nearest], names[nearest], float(distances[nearest]))
