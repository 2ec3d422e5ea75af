"""Where a line runs in its cell: its columns, its course, its two contours.

In: a `Stroke`. Out: px of the view, rows and columns of the cell. Smooth curves are cosines down to
half a wave of `edge_wave_mm`. Knows nothing of profiles or drag.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from .limits import limit
from .strokes import Stroke

Floats = NDArray[np.float64]
Ints = NDArray[np.int_]
Mask = NDArray[np.bool_]
EDGE = 0.60
"""The share of the way from ground to line at which an edge lies."""


def course_of(stroke: Stroke) -> tuple[Ints, Floats] | str:
    """The columns where the line is, and the row of its middle in every column."""
    scale = stroke.px_per_mm
    share = np.where(stroke.good, stroke.share, 0.0)
    smooth = box(box(share, max(1, round(0.25 * scale)), 1), max(1, round(0.1 * scale)), 0)
    rows = np.arange(len(smooth))[:, None]
    inner = smooth[:, round(0.25 * smooth.shape[1]) : round(0.75 * smooth.shape[1]) + 1]
    level = float(np.percentile(inner.max(axis=0), 60))
    if level < 0.4:
        return "the line is too like its ground"
    strong = np.clip(smooth / level - 0.55, 0, None) ** 2
    weight = strong.sum(axis=0)
    middle = (strong * rows).sum(axis=0) / np.maximum(weight, 1e-9)
    seen = np.nonzero(smooth.max(axis=0) > 0.6 * level)[0]
    if len(seen) < limit("line_least_length_mm") * scale:
        return "too little of the line shows"
    curve, _ = smooth_curve(seen, middle[seen], scale)
    course = np.interp(np.arange(smooth.shape[1]), seen, curve)
    near = np.clip(np.rint(course).astype(int), 0, len(smooth) - 1)
    present = np.nonzero(smooth[near, np.arange(smooth.shape[1])] > 0.55 * level)[0]
    if len(present) < limit("line_least_length_mm") * scale:
        return "too little of the line shows"
    return present, course


def contours_of(stroke: Stroke, middle: Floats) -> tuple[Floats, Floats]:
    """Where each column first falls below the edge's level, upward and downward of the middle."""
    share = box(stroke.share, max(1, round(0.15 * stroke.px_per_mm)), 1)
    near = np.clip(np.rint(middle).astype(int), 1, len(share) - 2)
    columns = np.arange(share.shape[1])
    core = np.median(share[near, columns])
    level = EDGE * float(core)
    rows = np.arange(len(share))[:, None]
    below = share < level
    up = np.where(below & (rows <= near), rows, -1).max(axis=0)
    down = np.where(below & (rows >= near), rows, len(share)).min(axis=0)
    return (
        _between(share, up, up + 1, columns, level),
        _between(share, down, down - 1, columns, level),
    )


def _between(share: Floats, out: Ints, into: Ints, columns: Ints, level: float) -> Floats:
    """The row, with its fraction, of a level between two neighbouring pixels' centres."""
    tall = len(share)
    real = (out >= 0) & (out < tall) & (into >= 0) & (into < tall)
    a = share[np.clip(out, 0, tall - 1), columns]
    b = share[np.clip(into, 0, tall - 1), columns]
    part = np.clip((level - a) / np.where(np.abs(b - a) < 1e-6, 1e-6, b - a), 0, 1)
    return np.asarray(np.where(real, out + part * (into - out), np.nan))


def clear_of_glare(stroke: Stroke, contours: tuple[Floats, Floats], columns: Ints) -> Mask:
    """The columns whose line and surroundings, to a line's width beyond, no glare spoils."""
    rows = np.arange(len(stroke.good))[:, None]
    upper, lower = (contour[columns] for contour in contours)
    found = np.isfinite(upper) & np.isfinite(lower)
    top, bottom = np.nan_to_num(upper), np.nan_to_num(lower)
    room = limit("line_room_mm") * stroke.px_per_mm
    near = (rows >= top - room) & (rows <= bottom + room)
    spoilt = (near & ~stroke.good[:, columns]).sum(axis=0)
    return np.asarray(found & (spoilt <= 0.02 * near.sum(axis=0)))


def smooth_curve(columns: Ints, rows: Floats, scale: float) -> tuple[Floats, float]:
    """A smooth curve through a contour, outliers left out; its values, and the residuals' std."""
    length = max(float(columns[-1] - columns[0]), 1.0)
    at = (columns - columns[0]) / length
    waves = int(np.clip(length / scale / limit("edge_wave_mm"), 1, 12))
    terms = np.column_stack(
        [np.ones_like(at), at - 0.5, *(np.cos(np.pi * k * at) for k in range(1, waves + 1))]
    )
    off = rows - np.median(rows)
    # A straight line first: a flexible curve would follow the outliers before it could see them.
    for used in (2, 2, len(terms[0]), len(terms[0]), len(terms[0]), len(terms[0])):
        spread = 1.4826 * float(np.median(np.abs(off))) + 1e-3
        weights = np.clip(1 - (off / (4.7 * spread)) ** 2, 0, None) ** 2
        some = terms[:, :used]
        normal = some.T @ (some * weights[:, None]) + 1e-6 * len(at) * np.eye(used)
        curve = some @ np.linalg.solve(normal, some.T @ (weights * rows))
        off = rows - curve
    kept = weights > 0
    return np.asarray(curve), float(np.std(off[kept])) if kept.any() else 0.0


def together(curves: list[Floats], roughs: list[float], columns: Ints) -> list[Floats]:
    """Both edges after the line's common course, each with a level and a slope of its own.

    A line sways as a whole; the course comes from the steadier edge more than from one whose
    contour wanders with every tail that runs down.
    """
    weights = [1 / (rough**2 + 0.04) for rough in roughs]
    level = [curve - curve.mean() for curve in curves]
    course = (weights[0] * level[0] + weights[1] * level[1]) / sum(weights)
    at = (columns - columns.mean()) / max(float(np.ptp(columns)), 1.0)
    terms = np.column_stack([np.ones_like(at), at])
    return [
        course + terms @ np.linalg.lstsq(terms, curve - course, rcond=None)[0] for curve in curves
    ]


def box(field: NDArray[np.floating], by: int, axis: int) -> Floats:
    """A running mean over 2 `by` + 1 px, edges repeated."""
    pads = [(by + 1, by) if one == axis else (0, 0) for one in (0, 1)]
    total = np.cumsum(np.pad(field.astype(np.float64), pads, mode="edge"), axis=axis)
    size = 2 * by + 1
    ahead = total[size:] if axis == 0 else total[:, size:]
    behind = total[:-size] if axis == 0 else total[:, :-size]
    return np.asarray((ahead - behind) / size)
