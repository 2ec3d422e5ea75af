"""How far two colours lie apart: CIEDE2000, and the parts of a difference in words' terms.

In: L*a*b* values, one or arrays of them. Out: differences. Knows no limit of what people see (see
`seeing`).

Source: G. Sharma, W. Wu and E. N. Dalal, 2005, "The CIEDE2000 color-difference formula:
implementation notes, supplementary test data, and mathematical observations", Color Research and
Application 30(1), 21-30; the formula is ISO/CIE 11664-6.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
_25_TO_7 = 25.0**7
_TIE = 1e-9
"""Hue angles, degrees: this near to opposite counts as opposite."""


def ciede2000(lab1: ArrayLike, lab2: ArrayLike) -> Floats:
    """ΔE00 between L*a*b* colours (last axis of three; the rest broadcasts).

    All three weights are 1, the reference conditions. Symmetric. Where two hues are exactly
    opposite either of two mean hues is right by the formula; the one half-way below 180° of sum is
    taken (the branch |h1 − h2| ≤ 180°), whichever colour comes first.
    Raises ValueError where the last axis is not of three.
    """
    one, other = np.broadcast_arrays(_labs(lab1), _labs(lab2))
    l1, a1, b1 = one[..., 0], one[..., 1], one[..., 2]
    l2, a2, b2 = other[..., 0], other[..., 1], other[..., 2]
    mean_c7 = ((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2) ** 7
    stretch = 1.5 - 0.5 * np.sqrt(mean_c7 / (mean_c7 + _25_TO_7))
    a1, a2 = a1 * stretch, a2 * stretch
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
    h1, h2 = np.degrees(np.arctan2(b1, a1)) % 360, np.degrees(np.arctan2(b2, a2)) % 360

    grey = c1 * c2 == 0
    gap = h2 - h1
    far = np.abs(gap) > 180 + _TIE
    dh = np.where(grey, 0.0, np.where(far, gap - np.copysign(360.0, gap), gap))
    mean_h = np.where(grey, h1 + h2, (h1 + h2) / 2)
    mean_h = np.where(far & ~grey, (mean_h + 180) % 360, mean_h)

    dl, dc = l2 - l1, c2 - c1
    big_dh = 2 * np.sqrt(c1 * c2) * np.sin(np.radians(dh) / 2)
    sl, sc, sh, rotation = _weights((l1 + l2) / 2, (c1 + c2) / 2, mean_h)
    x, y, z = dl / sl, dc / sc, big_dh / sh
    squared = x**2 + y**2 + z**2 + rotation * y * z
    return np.asarray(np.sqrt(np.maximum(squared, 0.0)))


def nearest(many: ArrayLike, seen: ArrayLike, keep: int) -> tuple[NDArray[np.intp], Floats]:
    """Of many colours (… × m × 3) the one nearest to each seen one (… × 3) by ΔE00: which, and how
    far.

    CIEDE2000 is dear, so it judges only the `keep` nearest by the simpler CIE94 (CIE 116-1995, from
    memory). The two agree on what is near, not on what is far: try for your colours how many to
    keep.
    """
    colours, one = np.broadcast_arrays(_labs(many), _labs(seen)[..., None, :])
    chroma = np.hypot(one[..., 1], one[..., 2])
    dc = np.hypot(colours[..., 1], colours[..., 2]) - chroma
    dl, da, db = np.moveaxis(colours - one, -1, 0)
    hue2 = np.maximum(da * da + db * db - dc * dc, 0.0)
    rough = dl * dl + (dc / (1 + 0.045 * chroma)) ** 2 + hue2 / (1 + 0.015 * chroma) ** 2
    keep = min(keep, rough.shape[-1])
    few = np.argpartition(rough, keep - 1, axis=-1)[..., :keep]
    away = ciede2000(np.take_along_axis(colours, few[..., None], axis=-2), one[..., :1, :])
    best = np.argmin(away, axis=-1)[..., None]
    index = np.take_along_axis(few, best, axis=-1)[..., 0]
    return index, np.take_along_axis(away, best, axis=-1)[..., 0]


def _labs(lab: ArrayLike) -> Floats:
    found = np.asarray(lab, dtype=np.float64)
    if found.ndim == 0 or found.shape[-1] != 3:
        raise ValueError("a colour is three numbers: L*, a*, b* along the last axis")
    return found


def _weights(
    mean_l: Floats, mean_c: Floats, mean_h: Floats
) -> tuple[Floats, Floats, Floats, Floats]:
    """S_L, S_C, S_H and R_T at a mean lightness, chroma and hue (degrees)."""
    t = (
        1
        - 0.17 * np.cos(np.radians(mean_h - 30))
        + 0.24 * np.cos(np.radians(2 * mean_h))
        + 0.32 * np.cos(np.radians(3 * mean_h + 6))
        - 0.20 * np.cos(np.radians(4 * mean_h - 63))
    )
    off = (mean_l - 50) ** 2
    sl = 1 + 0.015 * off / np.sqrt(20 + off)
    sc = 1 + 0.045 * mean_c
    sh = 1 + 0.015 * mean_c * t
    turn = 30 * np.exp(-(((mean_h - 275) / 25) ** 2))
    c7 = mean_c**7
    rotation = -2 * np.sqrt(c7 / (c7 + _25_TO_7)) * np.sin(np.radians(2 * turn))
    return sl, sc, sh, rotation


def parts(true: ArrayLike, seen: ArrayLike) -> Floats:
    """From one colour to another in CIE 1976 terms: ΔL*, ΔC*ab, ΔH*ab, along the last axis.

    ΔL* above 0 is lighter, ΔC*ab above 0 more saturated; ΔH*ab above 0 turns from red toward
    yellow, green, blue; a hue turned to its opposite counts as above 0.
    Source: ISO/CIE 11664-4:2019.
    """
    one, other = np.broadcast_arrays(_labs(true), _labs(seen))
    c1, c2 = np.hypot(one[..., 1], one[..., 2]), np.hypot(other[..., 1], other[..., 2])
    cross = one[..., 1] * other[..., 2] - one[..., 2] * other[..., 1]
    dot = one[..., 1] * other[..., 1] + one[..., 2] * other[..., 2]
    dh = np.where(cross < 0, -1.0, 1.0) * np.sqrt(np.maximum(0.0, 2 * (c1 * c2 - dot)))
    return np.stack([other[..., 0] - one[..., 0], c2 - c1, dh], axis=-1)
