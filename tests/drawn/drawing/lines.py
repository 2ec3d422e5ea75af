"""A painted line under a clear: its edges, its tail downhill, its bleed all round.

In: the size of a cell in px, px per mm, the outcome of the cell and the edge that was down.
Out: how much colour lies at each point (0 to 1) and the drag and bleed really drawn, in mm.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .colours import Array
from .happens import Outcome
from .noise import Shape, blur, clouds, step


@dataclass(frozen=True, slots=True)
class Line:
    """The drawn line. `drag_mm` is the lower edge's 10 to 90 % spread minus the upper's."""

    cover: Array
    drag_mm: float
    upper_mm: float
    lower_mm: float


def draw_line(
    shape: Shape, scale: float, width_mm: float, what: Outcome, lower: str, rng: np.random.Generator
) -> Line:
    """One line through the middle of a cell, at right angles to downhill."""
    turned = lower in ("left", "right")
    height, width = (shape[1], shape[0]) if turned else shape
    cover, sway = _level(height, width, scale, width_mm, what, rng)
    upper, below = _spread(_profile(cover, sway), scale)
    if lower in ("top", "left"):
        cover = cover[::-1]
    if turned:
        cover = cover.T
    return Line(np.ascontiguousarray(cover), below - upper, upper, below)


def _level(
    height: int, width: int, scale: float, width_mm: float, what: Outcome, rng: np.random.Generator
) -> tuple[Array, Array]:
    """A level line, downhill toward growing rows, and its sway from column to column, px."""
    y = np.arange(height)[:, None] / scale
    middle = height / scale * (0.36 if what.drag_mm > 1.5 else 0.44)
    sway = clouds((1, width), rng, 8, 60 + 0.12 * width)[0] * 0.18
    upper = middle - width_mm / 2 + sway + clouds((1, width), rng, 4, 5 * scale)[0] * 0.06
    lower = middle + width_mm / 2 + sway + clouds((1, width), rng, 4, 5 * scale)[0] * 0.06
    soft = {"crisp": 0.05, "softened": 0.22, "smudged": 0.16}.get(what.line, 0.09)
    fade_up = np.full(width, 1.25 * what.bleed_mm)
    fade_down: Array = fade_up
    if what.drag_mm:
        tails = np.exp(0.32 * clouds((1, width), rng, 4, 1.6 * scale)[0])
        fade_down = fade_down + 1.25 * what.drag_mm * tails / tails.mean()
    body = _edge(y - upper, fade_up, soft) * _edge(lower - y, fade_down, soft)
    x = np.arange(width)[None, :] / scale
    cover: Array = body * _ends(x, y - middle - sway, width_mm, what)
    if what.line == "smudged":
        cover = _smudge(cover, scale, rng)
    return np.asarray(cover * (0.06 if what.line == "gone" else 1.0)), sway * scale


def _profile(cover: Array, sway: Array) -> Array:
    """The mean across the line, its sway taken out, so that a crooked line is not a blurred one."""
    height, width = cover.shape
    rows = np.arange(height)[:, None] + np.rint(sway).astype(int)[None, :]
    straight = cover[np.clip(rows, 0, height - 1), np.arange(width)[None, :]]
    return np.asarray(straight[:, int(width * 0.2) : int(width * 0.8)].mean(axis=1))


def _ends(x: Array, across: Array, width_mm: float, what: Outcome) -> Array:
    """Where the brush was set down and lifted: round at the start, drawn out at the end."""
    round_off = width_mm / 2 - np.sqrt(np.clip((width_mm / 2) ** 2 - across**2, 0, None))
    soft = 0.10 + 0.3 * what.bleed_mm
    start = step(x - 2.0 - round_off, 0.0, soft)
    length = float(x.max())
    stop = step(length - 2.4 - 1.6 * round_off - x, 0.0, soft * 1.6)
    return np.asarray(start * stop)


def _edge(inside: Array, fade: Array, soft: float) -> Array:
    """1 inside, a straight ramp of `fade` mm outside, `soft` mm of blur on the edge itself."""
    sharp = step(inside, 0.0, soft / 1.7)
    ramp = np.clip(1 + inside / np.maximum(fade, 1e-3), 0, 1)
    return np.where(fade > 0.05, np.maximum(sharp * 0.98, ramp * 0.98), sharp)


def _smudge(cover: Array, scale: float, rng: np.random.Generator) -> Array:
    """Colour picked up by the brush and laid down again along its stroke."""
    shift = int(3.5 * scale)
    moved = np.roll(blur(cover, 0.9 * scale, 2.5 * scale), shift, axis=1)
    hairs = 0.5 + 0.3 * clouds(cover.shape, rng, 0.35 * scale, 9 * scale)
    return np.asarray(np.clip(cover * 0.86 + moved * np.clip(hairs, 0.05, 1) * 0.75, 0, 1))


def _spread(profile: Array, scale: float) -> tuple[float, float]:
    """The 10 to 90 % distance of the upper and of the lower edge, mm."""
    peak = profile.max()
    if peak < 0.2:
        return 0.0, 0.0
    top = int(profile.argmax())
    shares = profile / peak
    ninety = np.nonzero(shares >= 0.9)[0]
    up = _crossing(shares[: ninety[0] + 1], 0.9) - _crossing(shares[: top + 1], 0.1)
    mirrored = shares[::-1]
    last = np.nonzero(mirrored >= 0.9)[0][0]
    down = _crossing(mirrored[: last + 1], 0.9) - _crossing(mirrored, 0.1)
    return up / scale, down / scale


def _crossing(shares: Array, level: float) -> float:
    """Where a rising profile first passes a level, in px with a fraction."""
    above = np.nonzero(shares >= level)[0]
    if not len(above) or above[0] == 0:
        return 0.0
    at = int(above[0])
    low, high = shares[at - 1], shares[at]
    return float(at - 1 + (level - low) / max(high - low, 1e-9))
