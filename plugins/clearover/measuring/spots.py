"""Pinholes and bubbles of one cell, counted: a view's cell in, a `Spots` out.

A pinhole is a small round spot darker than all that lies round it; a bubble under the glaze shows
as a bright ring round a middle that is little darker. Specks of the clay that show through a thin
colour look like pinholes: they are counted with them. Knows nothing of records.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .glare import grown
from .light import LUMA
from .limits import limit
from .view import View

Light = NDArray[np.float32]
Mask = NDArray[np.bool_]
Places = NDArray[np.intp]
_RADII_MM = (0.16, 0.23, 0.32, 0.43)
_ROUND = [(np.sin(a), np.cos(a)) for a in np.arange(8) * np.pi / 4]


@dataclass(frozen=True, slots=True)
class Spots:
    """Counts a cm², and the median diameter of the more frequent kind, mm (None where there are
    none). `bubbles` is None where their rims do not show: on a pale colour, in a coarse photo."""

    pinholes: float
    bubbles: float | None
    size_mm: float | None


def spots_of(view: View, row: int, column: int) -> Spots | str:
    """The spots of a cell, or why they cannot be counted."""
    scale = view.px_per_mm
    if scale is None:
        return "the record must state the grid's `width mm` and `height mm`"
    if scale < limit("spot_px_per_mm"):
        return f"needs {limit('spot_px_per_mm'):.0f} px/mm, this photo has {scale:.0f}"
    window = view.window(row, column, limit("spot_inset"))
    tone = view.light[window] @ LUMA.astype(np.float32)
    margin = round(2 * _RADII_MM[-1] * scale) + 1
    if min(tone.shape) < 4 * margin:
        return "the cell has too few pixels"
    good = _free(tone, view.keep[window], scale)
    inner = good[margin:-margin, margin:-margin]
    if inner.mean() < limit("least_share"):
        return "glare covers it"
    shown = float(np.median(tone[good]))
    if shown < limit("spot_darkest"):
        return "the colour is too dark to tell a pinhole from a bubble"
    tone = tone / np.float32(shown)
    found = _found(tone, inner, margin, scale)
    area = float(inner.sum()) / scale**2 / 100
    holes, rings = found[found[:, 3] == 0, 2], found[found[:, 3] == 1, 2]
    unseen = shown > limit("bubble_palest") or scale < limit("bubble_px_per_mm")
    rings = rings[:0] if unseen else rings
    more = holes if len(holes) >= len(rings) else rings
    return Spots(
        len(holes) / area,
        None if unseen else len(rings) / area,
        2 * float(np.median(more)) if len(more) else None,
    )


def _free(tone: Light, keep: Mask, scale: float) -> Mask:
    """What no reflection spoils: a patch of glare is broader than the rim of any bubble."""
    bright = ~keep | (tone > float(np.median(tone)) + 0.35)
    core = ~grown(~bright, max(1, round(0.15 * scale)))
    return ~grown(core, round(limit("line_halo_mm") * scale))


def _found(tone: Light, inner: Mask, margin: int, scale: float) -> NDArray[np.float64]:
    """Every spot as y, x, radius in mm, kind (0 pinhole, 1 bubble), the strongest first."""
    calm = _calm(tone, max(1, round(0.06 * scale)))
    every = []
    for radius in _RADII_MM:
        spots, noise = _ringed(calm, inner, margin, radius * scale)
        middle, near = (
            calm[spots[0] + margin, spots[1] + margin],
            _ring(calm, spots, margin, radius * scale),
        )
        far = _ring(calm, spots, margin, 2 * radius * scale)
        hole = np.minimum(near, far).min(axis=0) - middle
        rim = near.min(axis=0) - np.maximum(far.mean(axis=0), middle)
        for kind, strength, least in (
            (0, hole, max(5 * noise, limit("pinhole_depth"))),
            (1, rim, max(1.5 * noise, limit("bubble_rim"))),
        ):
            every.append(_peaks(strength, least, spots, inner.shape, radius, kind))
    found = _apart(np.concatenate(every), scale)
    for spot in found[found[:, 3] == 0]:
        found[(found[:, :2] == spot[:2]).all(axis=1), 2] = _hole(calm, spot, margin, scale)
    return found


def _ringed(
    calm: Light, inner: Mask, margin: int, radius: float
) -> tuple[tuple[Places, Places], float]:
    """The pixels with something brighter on all four sides, and the noise of such differences.

    Every pinhole and bubble passes this: only what passes need be looked at from all sides.
    """
    tall, wide = calm.shape
    middle = calm[margin:-margin, margin:-margin]
    by = max(1, round(radius))
    passed, total = inner.copy(), np.zeros(middle[::5, ::5].shape, dtype=np.float32)
    for dy, dx in ((by, 0), (-by, 0), (0, by), (0, -by)):
        rise = calm[margin + dy : tall - margin + dy, margin + dx : wide - margin + dx] - middle
        passed &= rise > limit("bubble_rim")
        total += rise[::5, ::5] / 4
    noise = 1.4826 * float(np.median(np.abs(total - np.median(total)))) + 0.003
    ys, xs = np.nonzero(passed)
    return (ys, xs), noise


def _ring(calm: Light, spots: tuple[Places, Places], margin: int, radius: float) -> Light:
    """Eight points at a distance from each spot, px."""
    ys, xs = spots[0] + margin, spots[1] + margin
    return np.stack([calm[ys + round(radius * dy), xs + round(radius * dx)] for dy, dx in _ROUND])


def _hole(calm: Light, spot: NDArray[np.float64], margin: int, scale: float) -> float:
    """The radius of a pinhole, mm: of a disc as large as what is darker than half its depth."""
    y, x = int(spot[0]) + margin, int(spot[1]) + margin
    reach = min(margin, round(0.6 * scale))
    patch = calm[y - reach : y + reach + 1, x - reach : x + reach + 1]
    half = (float(patch.min()) + float(np.median(patch))) / 2
    return float(np.sqrt((patch < half).sum() / np.pi) / scale)


def _peaks(
    strength: Light,
    least: float,
    spots: tuple[Places, Places],
    shape: tuple[int, ...],
    radius: float,
    kind: int,
) -> NDArray[np.float64]:
    """The local maxima above a threshold, as y, x, radius, kind, strength over the threshold."""
    strong = strength > least
    ys, xs, value = spots[0][strong], spots[1][strong], strength[strong]
    field = np.full((shape[0] + 2, shape[1] + 2), -np.inf, dtype=np.float32)
    field[ys + 1, xs + 1] = value
    best = np.ones(len(ys), dtype=bool)
    for dy in (0, 1, 2):
        for dx in (0, 1, 2):
            best &= field[ys + dy, xs + dx] <= value
    ys, xs, value = ys[best], xs[best], value[best]
    same = np.ones(len(ys))
    return np.column_stack([ys, xs, same * radius, same * kind, value / least])


def _apart(spots: NDArray[np.float64], scale: float) -> NDArray[np.float64]:
    """The strongest of spots that lie over one another."""
    spots = spots[np.argsort(-spots[:, 4])][:3000]
    kept: list[int] = []
    free = np.ones(len(spots), dtype=bool)
    for at in range(len(spots)):
        if not free[at]:
            continue
        kept.append(at)
        away = np.hypot(spots[:, 0] - spots[at, 0], spots[:, 1] - spots[at, 1])
        free &= away > 1.2 * scale * np.maximum(spots[at, 2], spots[:, 2])
    return spots[kept]


def _calm(tone: Light, by: int) -> Light:
    """A small blur, so that single pixels of noise are no spots."""
    for axis in (0, 1):
        parts = [np.roll(tone, shift, axis) for shift in range(-by, by + 1)]
        tone = np.mean(parts, axis=0, dtype=np.float32)
    return tone
