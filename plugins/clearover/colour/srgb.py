"""sRGB to CIE Lab and back, on arrays.

In: sRGB as 0 to 1 (or 0 to 255 where the name says so). Out: CIE 1976 L*a*b* for the white D65 and
the 2° observer, and back; with D50 where asked. Knows nothing of photos.

The matrix is derived from the primaries and the white of the standard, so that white is exactly
L* 100, a* 0, b* 0 and the way back is its exact inverse. The standard's own four-decimal matrices
differ from it by up to 0.03 in Lab, and are no inverse of each other.

Sources: IEC 61966-2-1:1999 (sRGB: primaries, white x 0.3127 y 0.3290, transfer function);
ISO/CIE 11664-4:2019 (L*a*b*, its constants as fractions); K. M. Lam, 1985, "Metamerism and colour
constancy", thesis, University of Bradford (the adaptation matrix); D50 x 0.3457 y 0.3585 after
CIE 15:2004.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

_PRIMARIES = np.array([[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]])
_D65_XY, _D50_XY = (0.3127, 0.3290), (0.3457, 0.3585)
_BRADFORD = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)
_THRESHOLD, _LINEAR_THRESHOLD = 0.04045, 0.0031308
_EPSILON = 216 / 24389
_SLOPE = 841 / 108


def _white(xy: tuple[float, float]) -> Floats:
    x, y = xy
    return np.array([x / y, 1.0, (1 - x - y) / y])


def _from_primaries() -> Floats:
    full = np.column_stack([_PRIMARIES, 1 - _PRIMARIES.sum(axis=1)]).T
    scale: Floats = np.linalg.solve(full, D65)
    return np.asarray(full * scale)


def _adaptation(source: Floats, target: Floats) -> Floats:
    """The full adaptation from one white to another, in Lam's sharpened cone space."""
    gain = (_BRADFORD @ target) / (_BRADFORD @ source)
    return np.asarray(np.linalg.inv(_BRADFORD) @ np.diag(gain) @ _BRADFORD)


D65 = _white(_D65_XY)
D50 = _white(_D50_XY)
"""The two whites as X, Y, Z with Y = 1."""
RGB_TO_XYZ = _from_primaries()
XYZ_TO_RGB = np.linalg.inv(RGB_TO_XYZ)
D65_TO_D50 = _adaptation(D65, D50)
D50_TO_D65 = np.linalg.inv(D65_TO_D50)


def linear(srgb: ArrayLike) -> Floats:
    """sRGB, 0 to 1 -> linear light, 0 to 1, channel by channel. Signs are kept."""
    coded = np.asarray(srgb, dtype=np.float64)
    size = np.abs(coded)
    curve = np.where(size <= _THRESHOLD, size / 12.92, ((size + 0.055) / 1.055) ** 2.4)
    return np.asarray(np.sign(coded) * curve)


def encoded(light: ArrayLike) -> Floats:
    """Linear light -> sRGB, the way back. Signs are kept, nothing is clipped."""
    flat = np.asarray(light, dtype=np.float64)
    size = np.abs(flat)
    curve = np.where(size <= _LINEAR_THRESHOLD, 12.92 * size, 1.055 * size ** (1 / 2.4) - 0.055)
    return np.asarray(np.sign(flat) * curve)


LINEAR_OF_BYTE = linear(np.arange(256) / 255)
"""Linear light of each of the 256 codes of an eight-bit channel."""


def xyz_to_lab(xyz: ArrayLike, white: Floats = D65) -> Floats:
    """X, Y, Z (Y of the white = 1), last axis -> L*, a*, b* for that white."""
    share = np.asarray(xyz, dtype=np.float64) / white
    f = np.where(share > _EPSILON, np.cbrt(share), _SLOPE * share + 4 / 29)
    x, y, z = f[..., 0], f[..., 1], f[..., 2]
    return np.stack([116 * y - 16, 500 * (x - y), 200 * (y - z)], axis=-1)


def luminance(lightness: float) -> float:
    """Y, white = 1, from one L*."""
    if lightness > 8:
        return ((lightness + 16) / 116) ** 3
    return lightness * 27 / 24389


def lab_to_xyz(lab: ArrayLike, white: Floats = D65) -> Floats:
    """L*, a*, b* -> X, Y, Z for that white, the way back."""
    given = np.asarray(lab, dtype=np.float64)
    y = (given[..., 0] + 16) / 116
    f = np.stack([y + given[..., 1] / 500, y, y - given[..., 2] / 200], axis=-1)
    share = np.where(f > 6 / 29, f**3, (f - 4 / 29) / _SLOPE)
    return np.asarray(share * white)


def light_to_lab(light: ArrayLike) -> Floats:
    """Linear sRGB light, last axis -> L*a*b* (D65)."""
    return xyz_to_lab(np.asarray(light, dtype=np.float64) @ RGB_TO_XYZ.T)


def lab_to_light(lab: ArrayLike) -> Floats:
    """L*a*b* (D65) -> linear sRGB light; below 0 or above 1 where sRGB has no such colour."""
    return np.asarray(lab_to_xyz(lab) @ XYZ_TO_RGB.T)


def srgb_to_lab(srgb: ArrayLike) -> Floats:
    """sRGB, 0 to 1, last axis -> L*a*b* (D65)."""
    return light_to_lab(linear(srgb))


def lab_to_srgb(lab: ArrayLike) -> Floats:
    """L*a*b* (D65) -> sRGB, not clipped: outside 0 to 1 where sRGB has no such colour."""
    return encoded(lab_to_light(lab))


def bytes_to_lab(pixels: NDArray[Any]) -> Floats:
    """Eight-bit sRGB pixels, last axis -> L*a*b* (D65)."""
    return light_to_lab(LINEAR_OF_BYTE[pixels])


def hex_of(lab: ArrayLike) -> str:
    """The nearest colour a page can show, `#rrggbb`; clipped channel by channel."""
    return hexes_of(np.asarray(lab, dtype=np.float64)[None])[0]


def hexes_of(labs: ArrayLike) -> list[str]:
    """The same for several colours (n × 3)."""
    codes = np.clip(np.rint(255 * lab_to_srgb(labs)), 0, 255).astype(int)
    return [f"#{red:02x}{green:02x}{blue:02x}" for red, green, blue in codes.tolist()]


def to_d50(lab: ArrayLike) -> Floats:
    """L*a*b* for D65 -> for D50, by full adaptation."""
    return xyz_to_lab(lab_to_xyz(lab) @ D65_TO_D50.T, D50)


def from_d50(lab: ArrayLike) -> Floats:
    """L*a*b* for D50 -> for D65, the way back."""
    return xyz_to_lab(lab_to_xyz(lab, D50) @ D50_TO_D65.T)
