"""A photo of lines painted on clay, without the lines: what is left shows where the cells end.

In: the picture. Out: the same picture, clay in place of what differs much from the clay round it:
strokes, and lamps mirrored in the glaze. The thin ridges at the cells' borders stay: they differ
little.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageFilter

from .limits import limit

_LOOKED, _CLAY = 800, 200
"""Px of the longer side, where strokes are looked for and where the clay's own colour is taken."""
_MIDDLE = 17
"""Px of the smaller picture over which the middle value is the clay's: a stroke fills no half of
it. Tried on 44 drawn photos: 9 and 13 leave thick lines."""
_SPECK, _ROUND = 3, 3
"""Px: less is no stroke; and so much round a stroke goes with it, for it is soft. Tried on the
same: 5 takes borders away with the lines."""
_DARK = 8
"""Code value added before a logarithm is taken: below it is noise (our choice)."""


def unpainted(picture: Image.Image) -> Image.Image:
    """The picture without what is painted; for tiles that are mostly clay only."""
    longer = max(picture.size)
    looked = picture.reduce(max(1, round(longer / _LOOKED)))
    small = picture.reduce(max(1, round(longer / _CLAY)))
    clay = small.filter(ImageFilter.MedianFilter(_MIDDLE))
    plain = clay.resize(looked.size, Image.Resampling.BICUBIC)
    seen, usual = (_light(one) for one in (looked, plain))
    painted = np.abs(seen - usual).max(axis=2) > limit("corners_painted")
    mask = Image.fromarray(painted.astype(np.uint8) * 255)
    mask = mask.filter(ImageFilter.MinFilter(_SPECK))
    mask = mask.filter(ImageFilter.MaxFilter(_SPECK + 2 * _ROUND - 2))
    plain = clay.resize(picture.size, Image.Resampling.BICUBIC)
    return Image.composite(plain, picture, mask.resize(picture.size))


def _light(picture: Image.Image) -> NDArray[np.float32]:
    """The logarithm of light, roughly: a code value goes with the square root of light."""
    codes = np.arange(256, dtype=np.float32)
    table = 2 * np.log(codes + _DARK)
    return np.asarray(table[np.asarray(picture)])
