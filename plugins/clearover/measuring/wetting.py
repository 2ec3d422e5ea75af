"""What a gloss does to a bare colour without changing it: it darkens and saturates, as water does.

In: a bare colour. Out: the nearest of all the colours it may have when wetted, to one that was
seen. Knows nothing of tiles.

Two things happen, and nobody knows how far each does on this piece:

- A clear fills the bare surface. A. Ångström, 1925, "The albedo of various surfaces of ground",
  Geografiska Annaler 7, 323-342 (from memory): a matt surface of reflectance R, filled with a clear
  medium of refractive index n, has R / (n² (1 − R) + R). n runs from 1 (not at all) to 1.5 (a
  glaze; common practice for silicate glasses).
- The rough bare surface mirrors a part of the light every way, as a white veil; a gloss mirrors it
  one way, as glare, which is left out. By Fresnel's law at right angles that part is
  ((n − 1) / (n + 1))², 0.04 at n 1.5; J. L. Saunderson, 1942, "Calculation of the color of
  pigmented plastics", Journal of the Optical Society of America 32, 727-736 (from memory) takes it
  off first. The veil runs from none to 0.04.

The nearest of all counts: a difference that is left cannot be explained by wetting.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..colour import ciede2000
from ..colour.srgb import lab_to_light, light_to_lab

INDEX_MOST = 1.5
VEIL_MOST = ((INDEX_MOST - 1) / (INDEX_MOST + 1)) ** 2
_INDICES, _VEILS = 26, 9
_BLACK = 0.0005
"""Reflectance: nothing is blacker."""


def wetted(bare: ArrayLike, index: ArrayLike, veil: ArrayLike = 0.0) -> NDArray[np.float64]:
    """L*a*b* of a bare colour under a medium of refractive index n, one colour for each n.

    `veil` is the share of light that the bare surface mirrored every way (0 to `VEIL_MOST`), which
    the medium takes away; it broadcasts with `index`. Reckoned in linear red, green and blue, each
    as a reflectance.
    """
    n, lost = np.asarray(index, dtype=np.float64), np.asarray(veil, dtype=np.float64)
    n, lost = (part[..., None] for part in np.broadcast_arrays(n, lost))
    seen = np.clip(lab_to_light(bare), 0.0, 1.0)
    filled = np.maximum((seen - lost) / (1 - lost), np.minimum(seen, _BLACK))
    share = np.where(lost > 0, filled, seen)
    return light_to_lab(share / (n**2 * (1 - share) + share))


def least_difference(bare: ArrayLike, seen: ArrayLike) -> tuple[float, NDArray[np.float64]]:
    """ΔE00 that wetting leaves, and the wetted colour (L*a*b*) that comes nearest."""
    away, colours = least_differences([bare], [seen])
    return float(away[0]), colours[0]


def least_differences(
    bares: Sequence[ArrayLike], seen: Sequence[ArrayLike]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The same for several pairs at once: n differences, n × 3 wetted colours."""
    if not len(bares):
        return np.empty(0), np.empty((0, 3))
    every = np.stack([_all_wetted(*map(float, np.asarray(bare))) for bare in bares])
    away = ciede2000(every, np.asarray(seen, dtype=np.float64)[:, None, :])
    each, index = np.arange(len(every)), np.argmin(away, axis=1)
    return away[each, index], every[each, index]


@lru_cache(maxsize=512)
def _all_wetted(lightness: float, a: float, b: float) -> NDArray[np.float64]:
    """A bare colour is asked for again by each cell of its underglaze."""
    indices = np.linspace(1.0, INDEX_MOST, _INDICES)
    veils = np.linspace(0.0, VEIL_MOST, _VEILS)
    return wetted((lightness, a, b), indices[:, None], veils[None, :]).reshape(-1, 3)
