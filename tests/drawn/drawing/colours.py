"""Colour as the pictures need it: Lab (CIE 1976, D65, 2°) and linear light, and what changes it.

In: Lab triples, change words. Out: Lab triples or linear sRGB. Own code on purpose: the program's
colour package is judged by these pictures.
Matrix and white: IEC 61966-2-1:1999 (sRGB), white point D65 x 0.3127, y 0.3290; Lab: CIE 15.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.floating[Any]]
Lab = tuple[float, float, float]

_TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
_FROM_XYZ = np.linalg.inv(_TO_XYZ)
_WHITE = _TO_XYZ @ np.ones(3)
_EPS, _KAPPA = 216 / 24389, 24389 / 27

TOWARD: dict[str, Lab] = {
    "black": (16, 0, 0),
    "white": (88, 0, 3),
    "grey": (50, 0, 1),
    "red": (40, 44, 26),
    "orange": (58, 34, 44),
    "yellow": (55, -2, 42),
    "green": (45, -24, 18),
    "turquoise": (52, -22, -10),
    "blue": (34, 4, -32),
    "purple": (32, 27, -30),
    "pink": (68, 24, 4),
    "brown": (38, 13, 21),
}
"""Where a colour drifts when it shifts toward a word (invented centres)."""


def linear_of(lab: Lab | Array) -> Array:
    """Lab to linear sRGB, 0 to 1, clipped to what a screen can show."""
    lab = np.asarray(lab, dtype=float)
    fy = (lab[..., 0] + 16) / 116
    f = np.stack([fy + lab[..., 1] / 500, fy, fy - lab[..., 2] / 200], axis=-1)
    cubed = f * f * f
    xyz = np.where(cubed > _EPS, cubed, (116 * f - 16) / _KAPPA) * _WHITE
    return np.asarray(np.clip(xyz @ _FROM_XYZ.T, 0.002, 1.0))


def toned(lab: Lab, lift: Array) -> Array:
    """One colour, lighter or darker from point to point by `lift` in L; its hue stays.

    Light goes with the cube of L + 16 (CIE 15), so that this is exact above L = 8.
    """
    factor = (1 + lift.astype(np.float32) / np.float32(lab[0] + 16)) ** 3
    light = np.empty((*factor.shape, 3), dtype=np.float32)
    for channel, share in enumerate(linear_of(lab).astype(np.float32)):
        light[..., channel] = np.clip(share * factor, 0.002, 1.0)
    return light


def lab_of(linear: Array) -> Array:
    """Linear sRGB to Lab."""
    xyz = np.asarray(linear, dtype=float) @ _TO_XYZ.T / _WHITE
    f = np.where(xyz > _EPS, np.cbrt(np.maximum(xyz, 0)), (_KAPPA * xyz + 16) / 116)
    return np.stack(
        [116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])],
        axis=-1,
    )


def encode(linear: Array) -> Array:
    """Linear light to sRGB values 0 to 255 (not rounded)."""
    light = np.clip(linear, 0, 1)
    curve = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.asarray(255 * curve)


def mix(one: Lab, other: Lab, share: float) -> Lab:
    """`share` of the way from one colour to the other, in Lab."""
    return tuple(a + (b - a) * share for a, b in zip(one, other, strict=True))  # type: ignore[return-value]


def changed(lab: Lab, word: str, amount: float, ground: Lab) -> Lab:
    """A colour after a verdict: `true`, `shifted brown`, `faded`, …; `amount` from 0 to 1."""
    light, a, b = lab
    kind, _, toward = word.partition(" ")
    if kind in ("faded", "gone"):
        return mix(lab, ground, amount)
    if toward == "greyer":
        return mix(lab, (light + 2, 0.0, 3.0), min(0.9, amount * 1.1))
    if toward == "paler":
        return (light + (94 - light) * 0.5 * amount, a * (1 - 0.5 * amount), b * (1 - 0.5 * amount))
    if toward == "darker":
        return (light * (1 - 0.45 * amount), a * (1 - 0.2 * amount), b * (1 - 0.2 * amount))
    if toward:
        goal = TOWARD[toward]
        return mix(lab, (0.45 * light + 0.55 * goal[0], goal[1], goal[2]), amount)
    return lab


def dressed(lab: Lab, gloss: float | None) -> Lab:
    """A colour under a clear of this gloss; None is bare, which looks paler and chalky.

    The tables give each colour under a gloss: wetting darkens and saturates.
    """
    light, a, b = lab
    dry = 1.0 if gloss is None else 0.45 * (1 - gloss)
    lift = 0.16 * dry
    return (light + (92 - light) * lift, a * (1 - 0.26 * dry), b * (1 - 0.26 * dry))
