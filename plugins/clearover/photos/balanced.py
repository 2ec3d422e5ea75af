"""The straight view as it would look in even daylight: balanced light in, a picture out.

Knows nothing of cards or charts; `measuring.view` has done all of that.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from ..colour.srgb import encoded

_STEPS = 4096
"""Steps of the square root of light: finer than the 256 codes of a picture everywhere."""
_BAND = 16
"""So many rows of px are worked on at once."""


@cache
def _codes() -> NDArray[np.uint8]:
    roots = np.arange(_STEPS) / (_STEPS - 1)
    return np.rint(255 * encoded(roots**2)).astype(np.uint8)


def balanced(light: NDArray[np.float32]) -> Image.Image:
    """Linear light, 1 for a perfect white, as an sRGB picture; what is brighter is white.

    Band by band: what fits in the processor's cache is worked on twice as fast.
    """
    pixels = np.empty(light.shape, dtype=np.uint8)
    for top in range(0, len(light), _BAND):
        rows = slice(top, top + _BAND)
        root = np.clip(light[rows], 0.0, 1.0)
        np.sqrt(root, out=root)
        root *= np.float32(_STEPS - 1)
        root += np.float32(0.5)
        np.take(_codes(), root.astype(np.uint16), out=pixels[rows], mode="clip")
    return Image.fromarray(pixels)
