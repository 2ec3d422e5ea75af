"""One painted line as a map of how much of it lies at each point: a view's cell in, a `Stroke` out.

The share of the line, 0 on the ground and 1 in its core, is read along the direction from the
ground's colour to the core's in linear light, weighed by the ground's own scatter: a lighter line,
a red one on pink, all come out alike. Linear light mixes by area, as dots of colour on a ground do.
Knows nothing of edges or drag.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .glare import grown
from .light import LUMA
from .limits import limit
from .view import View

Floats = NDArray[np.float64]
Light = NDArray[np.float32]
Mask = NDArray[np.bool_]
_BAND = 0.12
"""Share of a cell's height, above and below, where bare ground is looked for first."""
_BLOCK = 8
_ROUNDS = 4


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line lying level, downhill toward growing rows. `share` is 0 on the ground and about 1 in
    the core; `good` is False where glare or clipping spoils it, `sound` beside that on specks of
    the clay and on holes. `noise` is the standard deviation
    of `share` on bare ground, a pixel; `base` how unsure its zero is. `ground` and `core` are
    linear RGB."""

    share: Light
    good: Mask
    sound: Mask
    px_per_mm: float
    noise: float
    base: float
    ground: Floats
    core: Floats

    @property
    def contrast(self) -> float:
        """How much darker the core is than its ground, as a share; negative where lighter."""
        ground, core = float(self.ground @ LUMA), float(self.core @ LUMA)
        return 1 - core / max(ground, 1e-4)


def stroke_of(view: View, row: int, column: int, lower: str | None) -> Stroke | str:
    """The stroke in a cell, or why it cannot be told from its ground.

    `lower` is the edge that was down; without it the line may run either way.
    """
    if view.px_per_mm is None:
        return "the record must state the grid's `width mm` and `height mm`"
    light, keep = _cell(view, row, column)
    if min(light.shape[:2]) < limit("line_least_px"):
        return "the cell has too few pixels"
    if keep.mean() < limit("least_share"):
        return "it is too bright in the photo"
    by = max(1, int(view.px_per_mm / limit("line_enough_px_per_mm")))
    light, keep = _levelled(*_coarser(light, keep, by), lower)
    return _shared(light, keep, view.px_per_mm / by)


def _cell(view: View, row: int, column: int) -> tuple[Light, Mask]:
    """The cell without its rim: the gap to its neighbour and the glaze's rounded border."""
    whole = view.window(row, column)
    sides = [part.stop - part.start for part in whole]
    rim = limit("line_rim_mm") * (view.px_per_mm or 0)
    window = tuple(
        slice(part.start + round(min(rim, 0.1 * side)), part.stop - round(min(rim, 0.1 * side)))
        for part, side in zip(whole, sides, strict=True)
    )
    return view.light[window[0], window[1]], view.keep[window[0], window[1]]


def _coarser(light: Light, keep: Mask, by: int) -> tuple[Light, Mask]:
    """Blocks of `by` × `by` px as one: a finer photo than is needed costs time and adds noise."""
    if by == 1:
        return light, keep
    tall, wide = (size // by for size in keep.shape)
    cut = (tall, by, wide, by)
    light = light[: tall * by, : wide * by].reshape(*cut, 3).mean(axis=(1, 3), dtype=np.float32)
    return light, np.asarray(keep[: tall * by, : wide * by].reshape(cut).all(axis=(1, 3)))


def _levelled(light: Light, keep: Mask, lower: str | None) -> tuple[Light, Mask]:
    """The cell turned so that downhill is down; the line level where no lower edge is known."""
    if lower in ("left", "right") or (lower is None and _upright(light)):
        light, keep = light.transpose(1, 0, 2), keep.T
    if lower in ("top", "left"):
        light, keep = light[::-1], keep[::-1]
    return light, keep


def _upright(light: Light) -> bool:
    """Whether a line seems to run from top to bottom: columns differ more than rows do."""
    tone = light @ LUMA.astype(np.float32)
    return float(np.median(tone, axis=0).var()) > float(np.median(tone, axis=1).var())


def _shared(light: Light, keep: Mask, px_per_mm: float) -> Stroke | str:
    ground, core = _two_colours(light, keep)
    good = _spared(light, keep, ground, core, px_per_mm)
    if good.mean() < limit("least_share"):
        return "glare covers it"
    if not good.all():
        ground, core = _two_colours(light, good)
    step = core - ground
    scatter = _scatter(light, good, ground, core)
    toward = np.linalg.solve(scatter, step)
    reach = float(step @ toward)
    if not np.isfinite(reach) or reach < limit("line_least_contrast") ** 2:
        hidden = good.mean() < limit("line_hidden")
        return "glare covers it" if hidden else "the line is too like its ground"
    toward = (toward / reach).astype(np.float32)
    share: Light = light @ toward - np.float32(ground @ toward)
    plane, base = _plane(share, good)
    share = ((share - plane) / np.maximum(1 - plane, 0.3)).astype(np.float32)
    sound = good & ~_specks(share, px_per_mm, float(reach**-0.5))
    return Stroke(share, good, sound, px_per_mm, float(reach**-0.5), base, ground, core)


def _two_colours(light: Light, good: Mask) -> tuple[Floats, Floats]:
    """The ground's colour and the core's, from the medians of the rows' middles."""
    tall, wide = good.shape
    inner = slice(round(0.25 * wide), max(round(0.75 * wide), round(0.25 * wide) + 1))
    part, use = light[:, inner], good[:, inner]
    thin = max(1, part.shape[1] // 32)
    part, use = part[:, ::thin], use[:, ::thin]
    enough = use.mean(axis=1) > 0.2
    if enough.sum() < 8:
        use, enough = np.ones_like(use), np.ones(tall, dtype=bool)
    rows = _row_medians(part[enough], use[enough])
    band = max(2, round(_BAND * len(rows)))
    ends = [np.median(rows[:band], axis=0), np.median(rows[-band:], axis=0)]
    away = [np.linalg.norm(rows - end, axis=1) for end in ends]
    # Where a tail reaches one end, the ground is at the other, farther from the core.
    farther = ends[int(away[1].max() > away[0].max())]
    ground = farther if _differ(away, band) else np.mean(ends, axis=0)
    far = np.linalg.norm(rows - ground, axis=1)
    wide_core = max(3, round(0.02 * len(rows)))
    smooth = np.convolve(far, np.ones(wide_core) / wide_core, mode="same")
    at = int(np.argmax(smooth))
    core = np.median(rows[max(0, at - wide_core // 2) : at + wide_core // 2 + 1], axis=0)
    return np.asarray(ground), np.asarray(core)


def _row_medians(part: Light, use: Mask) -> Floats:
    """The median colour of each row's usable pixels."""
    ranked = np.sort(np.where(use[..., None], part, np.float32(np.inf)), axis=1)
    half = (use.sum(axis=1) - 1) // 2
    return np.asarray(ranked[np.arange(len(ranked)), half], dtype=np.float64)


def _differ(away: list[NDArray[np.floating]], band: int) -> bool:
    """Whether the two ends of a cell are not the same ground: a tail reaches one of them."""
    between = float(np.median(away[0][-band:]))
    return between > 0.12 * max(float(away[0].max()), float(away[1].max()))


def _spared(light: Light, keep: Mask, ground: Floats, core: Floats, px_per_mm: float) -> Mask:
    """The pixels that no reflection spoils: none much brighter than both ground and core."""
    tone = light @ LUMA.astype(np.float32)
    bright = max(float(ground @ LUMA), float(core @ LUMA))
    spoilt = ~keep | (tone > bright * (1 + limit("line_glare_above")) + 0.02)
    if not spoilt.any():
        return ~spoilt
    # Single specks of noise are no reflection: it takes a patch.
    spoilt = ~grown(~spoilt, 1)
    return ~grown(spoilt, 1 + round(limit("line_halo_mm") * px_per_mm))


def _specks(share: Light, px_per_mm: float, noise: float) -> Mask:
    """Specks of the clay, pinholes, crumbs: what is short along the stroke, light or dark.

    A grey opening and closing along the rows (J. Serra, 1982, Image Analysis and Mathematical
    Morphology; from memory) with a length that no part of a line or its tail is as short as.
    """
    calm = share
    for axis in (0, 1):
        around = np.roll(calm, 1, axis) + calm + np.roll(calm, -1, axis)
        calm = (around / 3).astype(np.float32)
    length = max(3, round(limit("line_speck_mm") * px_per_mm))
    opened = _running(_running(calm, length, np.minimum), length, np.maximum, back=True)
    closed = _running(_running(calm, length, np.maximum), length, np.minimum, back=True)
    above = max(limit("line_speck_share"), noise)
    return grown((calm - opened > above) | (closed - calm > above), 1)


def _running(field: Light, length: int, best: np.ufunc, *, back: bool = False) -> Light:
    """The least or greatest of `length` neighbours along the rows: to the right, or back."""
    wide = field.shape[1]
    span, ahead = 1, np.pad(field, [(0, 0), (length, 0) if back else (0, length)], mode="edge")
    ahead = ahead[:, ::-1] if back else ahead
    while span < length:
        more = min(span, length - span)
        ahead = best(ahead, np.pad(ahead[:, more:], [(0, 0), (0, more)], mode="edge"))
        span += more
    ahead = ahead[:, :wide]
    return ahead[:, ::-1] if back else ahead


def _scatter(light: Light, good: Mask, ground: Floats, core: Floats) -> Floats:
    """The covariance of single pixels on bare ground, linear RGB, without outliers."""
    thin = (slice(None, None, 2), slice(None, None, max(2, light.size // 36000)))
    off = light[thin][good[thin]].astype(np.float64) - ground
    step = core - ground
    near = off @ step / max(float(step @ step), 1e-12)
    rest = np.linalg.norm(off - near[:, None] * step, axis=1)
    on = (np.abs(near) < 0.25) & (rest < 4 * np.median(rest) + 1e-6)
    chosen = off[on] if on.sum() >= 30 else off
    cover = np.cov(chosen.T) if len(chosen) > 3 else np.eye(3) * 1e-4
    # A JPEG keeps colour at half the sharpness of brightness, and roughly: the nearer to the edge
    # the less can be built on it, the more so the stronger the colours differ.
    unsure = limit("line_colour_unsure") ** 2 * float(step @ step) + 1e-4
    grey = np.eye(3) - np.outer(LUMA, LUMA) / float(LUMA @ LUMA)
    return np.asarray(cover + unsure * grey + np.eye(3) * (0.1 * np.trace(cover) / 3 + 1e-7))


def _plane(share: Light, good: Mask) -> tuple[Light, float]:
    """How the ground's share drifts over the cell (a plane), and how unsure its level is.

    Fitted to blocks of the cell that hold little of the line, outliers left out by turns.
    """
    tall, wide = (size // _BLOCK for size in share.shape)
    cut = (slice(0, tall * _BLOCK), slice(0, wide * _BLOCK))
    weight = good[cut].reshape(tall, _BLOCK, wide, _BLOCK).sum(axis=(1, 3))
    total = np.where(good[cut], share[cut], 0).reshape(tall, _BLOCK, wide, _BLOCK).sum(axis=(1, 3))
    value = total / np.maximum(weight, 1)
    y, x = np.mgrid[0:tall, 0:wide]
    u, v = (x + 0.5) / wide - 0.5, (y + 0.5) / tall - 0.5
    terms = np.stack([np.ones_like(u), u, v], axis=-1).reshape(-1, 3)
    flat, sound = value.ravel(), (weight > 0.5 * _BLOCK**2).ravel()
    use = sound & (np.abs(flat) < 0.15)
    fit, spread = np.zeros(3), 0.05
    for _ in range(_ROUNDS):
        if use.sum() < 12:
            break
        fit = np.linalg.lstsq(terms[use], flat[use], rcond=None)[0]
        off = flat - terms @ fit
        spread = 1.4826 * float(np.median(np.abs(off[use]))) + 1e-4
        use = sound & (np.abs(off) < 2.5 * max(spread, 0.004))
    rows = (np.arange(share.shape[0]) + 0.5) / (tall * _BLOCK) - 0.5
    columns = (np.arange(share.shape[1]) + 0.5) / (wide * _BLOCK) - 0.5
    plane = fit[0] + fit[1] * columns[None, :] + fit[2] * rows[:, None]
    return plane.astype(np.float32), spread
