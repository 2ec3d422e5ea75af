"""A colour word for a measured colour: L*a*b* in, one of the twelve basic words out.

The nearest named colour by CIEDE2000 gives the word (`data/colour-words.csv`: 267 centroids of
colour names, and 13 answers of a survey). Knows nothing of underglazes. A word is a help for
reading, never a verdict.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..tables import rows
from .difference import nearest

_KEPT = 24
"""Centroids that CIEDE2000 judges: of 13,824 colours all over sRGB each found its nearest in 16."""


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
    return names_of(np.asarray(lab, dtype=np.float64)[None])[0]


def names_of(labs: ArrayLike) -> list[Named]:
    """The words for several colours (n × 3), many times quicker than one by one."""
    seen = np.asarray(labs, dtype=np.float64).reshape(-1, 3)
    centroids, basic, names = _centroids()
    index, away = nearest(centroids, seen, _KEPT)
    return [
        Named(basic[k], names[k], far) for k, far in zip(index.tolist(), away.tolist(), strict=True)
    ]
