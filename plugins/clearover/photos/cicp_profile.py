"""An ICC profile for colours that a file names by numbers.

In: the numbers of primaries and transfer, or a PNG's gamma. Out: a profile's bytes, None for sRGB.
Knows no files.

Sources: ICC.1:2022, clauses 7 to 10 (the profile's form); IEC 61966-2-1:1999 (sRGB, its curve);
PNG, W3C Recommendation 2003, clause 11.3.3.2 (gAMA).
"""

from __future__ import annotations

import struct
from functools import cache

import numpy as np

from ..colour.srgb import D50, D65, D65_TO_D50, Floats
from .cicp import SRGB_PRIMARIES, WIDE_PRIMARIES, why_not

Primaries = tuple[tuple[float, float], ...]
_ICC_WHITE = (0.9642, 1.0, 0.8249)
_SRGB_XY = ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06))


def _fixed(*values: float) -> bytes:
    return b"".join(struct.pack(">i", round(float(value) * 65536)) for value in values)


_SRGB_CURVE = b"\0\x03\0\0" + _fixed(2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)


def profile_of(cicp: tuple[int, int] | None) -> bytes | None:
    """The ICC profile that says the same; None for sRGB, and where nothing is said."""
    if cicp is None or cicp[0] in SRGB_PRIMARIES or why_not(cicp):
        return None
    return _profile(WIDE_PRIMARIES[cicp[0]], None)


def profile_of_gamma(gamma: float | None) -> bytes | None:
    """The profile of a PNG that states a gamma alone, such as 1.0 for linear light.

    None where it states none, what sRGB comes near to (0.45455), or nonsense.
    """
    if gamma is None or not 0.1 <= gamma <= 2 or abs(gamma - 1 / 2.2) < 0.02:
        return None
    return _profile(_SRGB_XY, 1 / gamma)


@cache
def _profile(primaries: Primaries, gamma: float | None) -> bytes:
    xy = np.array(primaries)
    full = np.column_stack([xy, 1 - xy.sum(axis=1)]).T
    columns = np.diag(np.array(_ICC_WHITE) / D50) @ D65_TO_D50 @ (full * np.linalg.solve(full, D65))
    return _icc(columns.T, _SRGB_CURVE if gamma is None else b"\0\0\0\0" + _fixed(gamma))


def _icc(primaries: Floats, curve: bytes) -> bytes:
    """A screen's profile; `primaries` are XYZ of red, green, blue at D50."""
    curve = b"para\0\0\0\0" + curve
    tags = {
        b"desc": _text("RGB by numbers"),
        b"cprt": _text("none"),
        b"wtpt": b"XYZ \0\0\0\0" + _fixed(*_ICC_WHITE),
    }
    for name, column in zip("rgb", primaries, strict=True):
        tags[f"{name}XYZ".encode()] = b"XYZ \0\0\0\0" + _fixed(*column)
        tags[f"{name}TRC".encode()] = curve
    table, body, start = b"", b"", 132 + 12 * len(tags)
    for tag, content in tags.items():
        table += tag + struct.pack(">II", start + len(body), len(content))
        body += content + bytes(-len(content) % 4)
    size = start + len(body)
    head = struct.pack(">I4xI4s4s4s12x4s", size, 0x04000000, b"mntr", b"RGB ", b"XYZ ", b"acsp")
    head = (head + bytes(28) + _fixed(*_ICC_WHITE)).ljust(128, b"\0")
    return head + struct.pack(">I", len(tags)) + table + body


def _text(words: str) -> bytes:
    coded = words.encode("utf-16-be")
    return b"mluc\0\0\0\0" + struct.pack(">II4sII", 1, 12, b"enUS", len(coded), 28) + coded
