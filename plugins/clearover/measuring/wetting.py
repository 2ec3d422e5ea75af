"""What a gloss does to a bare colour without changing it: it darkens and saturates, as water does.

In: a bare colour. Out: the nearest of all the colours it may have when wetted, to one that was
seen. Knows nothing of tiles.

A. Ångström, 1925, "The albedo of various surfaces of ground", Geografiska Annaler 7, 323-342 (from
memory): a matt surface of reflectance R, filled with a clear medium of refractive index n, has
R / (n² (1 − R) + R). Nobody knows how far a clear fills this bare colour, so n runs from 1 (not at
all) to 1.5 (a glaze; common practice for silicate glasses), and the nearest counts: a difference
that is left cannot be explained by wetting.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from ..colour import ciede2000
from ..colour.srgb import lab_to_light, light_to_lab

INDEX_MOST = 1.5
_STEPS = 51


def wetted(bare: ArrayLike, index: ArrayLike) -> NDArray[np.float64]:
    """L*a*b* of a bare colour under a medium of refractive index n, one colour for each n.

    Reckoned in linear red, green and blue, each as a reflectance.
    """
    share = np.clip(lab_to_light(bare), 0.0, 1.0)
    n = np.asarray(index, dtype=np.float64)[..., None]
    return light_to_lab(share / (n**2 * (1 - share) + share))


def least_difference(bare: ArrayLike, seen: ArrayLike) -> tuple[float, NDArray[np.float64]]:
    """ΔE00 that wetting leaves, and the wetted colour (L*a*b*) that comes nearest."""
    colours = wetted(bare, np.linspace(1.0, INDEX_MOST, _STEPS))
    away = ciede2000(colours, seen)
    nearest = int(np.argmin(away))
    return float(away[nearest]), colours[nearest]
