"""The two edges of a line: a `Stroke` in, contours and edge profiles out, in px of the view.

An edge lies where the change from ground to line has gone 60 % of its way, counted from the ground
(ISO/IEC 13660:2001 and ISO/IEC 24790; that it counts from the ground is from memory). A smooth
curve, cosines down to half a wave of `edge_wave_mm`, is fitted to each edge; every pixel is put in
bins of a quarter px by its distance from that curve, as the slanted edge of ISO 12233 is (memory),
so that straightening adds no blur. Knows nothing of downhill or of drag.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from .course import (
    Floats,
    Ints,
    box,
    clear_of_glare,
    contours_of,
    course_of,
    smooth_curve,
    together,
)
from .limits import limit
from .strokes import Stroke

LOW, HIGH = 0.10, 0.90
BLOCKS = 10
"""The line is cut into so many lengths, to see how its parts differ."""
BIN = 0.25


@dataclass(frozen=True, slots=True)
class Edge:
    """One edge. `curve` is its smooth course over `columns`, px from the cell's top; `rough` the
    standard deviation of the contour from it, px. `distance` is px from the curve, growing inward;
    `profile` the share there, `parts` the same with one of the lengths left out in each row.
    `base` is the share found on the bare ground beside it, `base_error` how unsure that is, and
    `reaches_out` says that no bare ground is left: the edge runs on to the cell's border."""

    curve: Floats
    rough: float
    distance: Floats
    profile: Floats
    parts: Floats
    base: float = 0.0
    base_error: float = 0.0
    reaches_out: bool = False


@dataclass(frozen=True, slots=True)
class Edges:
    """Both edges over the columns used. `peak` is the share in the core, `width` px between the
    edges at right angles to the line."""

    upper: Edge
    lower: Edge
    peak: float
    width: float


def edges_of(stroke: Stroke) -> Edges | str:
    """Both edges, or why they cannot be found."""
    found = course_of(stroke)
    if isinstance(found, str):
        return found
    present, middle = found
    contours = contours_of(stroke, middle)
    usable = _usable(stroke, present, contours)
    if isinstance(usable, str):
        return usable
    smoothed = [smooth_curve(usable, one[usable], stroke.px_per_mm) for one in contours]
    roughs = [rough for _, rough in smoothed]
    curves = together([curve for curve, _ in smoothed], roughs, usable)
    middle = (curves[0] + curves[1]) / 2
    slant = float(np.mean(1 / np.hypot(1, np.gradient(middle, usable.astype(float)))))
    width = float(np.mean(curves[1] - curves[0])) * slant
    peak = _peak(stroke, usable, middle, width)
    upper, lower = (
        _grounded(_edge(stroke, usable, curve, rough, inward, width, slant), peak, stroke)
        for curve, rough, inward in zip(curves, roughs, (1, -1), strict=True)
    )
    return Edges(upper, lower, peak, width)


def _usable(stroke: Stroke, present: Ints, contours: tuple[Floats, Floats]) -> Ints | str:
    """The columns to measure at: not the line's ends, and clear of glare."""
    least = limit("line_least_length_mm") * stroke.px_per_mm
    apart = (contours[1] - contours[0])[present]
    width = float(np.median(apart[np.isfinite(apart)])) if np.isfinite(apart).any() else 0.0
    if width < limit("line_least_width_px"):
        return "the line is too thin in this photo"
    trim = round(max(0.75 * width, stroke.px_per_mm))
    inner = present[(present >= present[0] + trim) & (present <= present[-1] - trim)]
    if len(inner) < least:
        return "too little of the line shows"
    usable = inner[clear_of_glare(stroke, contours, inner)]
    if len(usable) < max(least, 0.25 * len(inner)):
        return "glare covers it"
    return np.asarray(usable)


def _grounded(edge: Edge, peak: float, stroke: Stroke) -> Edge:
    """The edge with the level of the ground beside it, found beyond the end of its spread."""
    base, error, out = 0.0, stroke.base, False
    calm = np.convolve(edge.profile, np.ones(3) / 3, mode="same")
    for _ in range(4):
        share = (calm - base) / max(peak - base, 1e-6)
        ten = _last_below(share, LOW)
        ninety = _last_below(share, HIGH)
        room = 0.25 * (edge.distance[ninety] - edge.distance[ten])
        room = max(room, limit("edge_ground_mm") * stroke.px_per_mm)
        bare = edge.profile[edge.distance < edge.distance[ten] - room]
        out = len(bare) * BIN < limit("edge_ground_mm") * stroke.px_per_mm
        if out:
            break
        bare = bare[-round(limit("edge_far_mm") * stroke.px_per_mm / BIN) :]
        base = float(np.median(bare))
        # Streaks of the ground run along the line: neighbouring bins are not independent.
        alike = max(1.0, stroke.px_per_mm * limit("edge_ground_mm") / BIN)
        error = float(np.std(bare)) / np.sqrt(max(1.0, len(bare) / alike))
    return replace(edge, base=base, base_error=error, reaches_out=out)


def _last_below(share: Floats, level: float) -> int:
    """The last bin, counted from outside, that lies below a level before the core is reached."""
    top = _first_reached(share, (1 + HIGH) / 2)
    below = np.nonzero(share[: top + 1] < level)[0]
    return int(below[-1]) if len(below) else 0


def _edge(
    stroke: Stroke,
    columns: Ints,
    curve: Floats,
    rough: float,
    inward: int,
    width: float,
    slant: float,
) -> Edge:
    """The profile across one edge, from the cell's border to the line's middle."""
    rows = np.arange(len(stroke.share))[:, None]
    away = (rows - curve[None, :]) * inward * slant
    reach = width / 2 if width > 0 else 1.0
    outside = float(curve.mean()) if inward > 0 else len(stroke.share) - 1 - float(curve.mean())
    start = -outside * slant
    count = max(8, int((reach - start) / BIN))
    place = np.floor((away - start) / BIN).astype(int)
    inside = (place >= 0) & (place < count) & stroke.sound[:, columns]
    block = np.minimum(np.arange(len(columns)) * BLOCKS // len(columns), BLOCKS - 1)
    keys = (np.broadcast_to(block[None, :], place.shape) * count + place)[inside]
    values = stroke.share[:, columns][inside].astype(np.float64)
    total = np.bincount(keys, values, minlength=BLOCKS * count).reshape(BLOCKS, count)
    number = np.bincount(keys, minlength=BLOCKS * count).reshape(BLOCKS, count)
    whole, many = total.sum(axis=0), number.sum(axis=0)
    least = 0.3 * float(np.median(many))
    real = many > max(least, 1.0)
    if real.sum() < 8:
        real = many > 0
    left, rest = (whole - total)[:, real], np.maximum((many - number)[:, real], 1)
    distance = start + (np.arange(count) + 0.5) * BIN
    return Edge(
        curve, rough, distance[real], _evened(whole[real] / many[real]), _evened(left / rest)
    )


def _evened(profile: Floats) -> Floats:
    """A running mean over a px: neighbouring bins are seen through different columns."""
    return box(np.atleast_2d(profile), round(0.5 / BIN), 1).reshape(profile.shape)


def _peak(stroke: Stroke, columns: Ints, middle: Floats, width: float) -> float:
    """The share in the line's core: the highest of its profile, averaged over a fifth of it."""
    reach = max(2, int(width / 2))
    rows = np.rint(middle).astype(int)[None, :] + np.arange(-reach, reach + 1)[:, None]
    rows = np.clip(rows, 0, len(stroke.share) - 1)
    good = stroke.sound[rows, columns[None, :]]
    values = np.where(good, stroke.share[rows, columns[None, :]], 0)
    profile = values.sum(axis=1) / np.maximum(good.sum(axis=1), 1)
    wide = max(1, round(0.2 * len(profile)))
    return float(np.convolve(profile, np.ones(wide) / wide, mode="valid").max())


def spread(
    edge: Edge, peak: float, low: float = LOW, high: float = HIGH, off: float = 0.0
) -> tuple[float, Floats]:
    """The 10 to 90 % distance of an edge, px: of the whole, and with each length left out.

    `off` is added to the ground's level, to see what an error in it would do.
    """
    base = edge.base + off
    rows = (np.vstack([edge.profile[None, :], edge.parts]) - base) / max(peak - base, 1e-6)
    first = _first_reached(rows[0], (1 + high) / 2)
    bare = _last_below(rows[0], low / 3)
    kept = rows[:, bare : first + 1]
    a, b = kept[:, :-1], kept[:, 1:]
    step = np.where(np.abs(b - a) < 1e-9, 1e-9, b - a)
    share = (np.clip(b, low, high) - np.clip(a, low, high)) / step
    share = np.where(np.abs(b - a) < 1e-9, (a > low) & (a < high), share)
    gaps = np.diff(edge.distance)[bare:first]
    lengths = (share * gaps).sum(axis=1)
    return float(lengths[0]), np.asarray(lengths[1:])


def _first_reached(profile: Floats, level: float) -> int:
    """The first bin from outside where the smoothed profile reaches a level."""
    wide = min(5, len(profile))
    smooth = np.convolve(profile, np.ones(wide) / wide, mode="same")
    reached = np.nonzero(smooth >= level)[0]
    return int(reached[0]) if len(reached) else len(profile) - 1


def skirt(edge: Edge, peak: float) -> float:
    """How much wider an edge's faint half is than its strong half: 10 to 40 % by 50 to 80 %.

    A straight ramp gives 1, a blurred step somewhat more, a sharp edge in streaks 2 and up.
    """
    strong, _ = spread(edge, peak, 0.5, 0.8)
    faint, _ = spread(edge, peak, 0.1, 0.4)
    return faint / max(strong, 2 * BIN)
