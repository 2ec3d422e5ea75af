"""How far a line was dragged, how sure that is, and what its edges show.

In: a line's two edges. Out: spreads, drag with its range, the word for the edges. Drag is the 10 to
90 % spread of the lower edge less the upper's, once the camera's blur is taken off each in
quadrature, which is exact for Gaussian blur alone. Knows nothing of cells or records.

The limit of detection is 3.29 standard deviations at no drag: L. A. Currie, 1968, "Limits for
qualitative detection and quantitative determination", Analytical Chemistry 40(3), 586-593 (from
memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .edges import Edge, Edges, skirt, spread
from .limits import limit

NINETY = 1.645
"""Half the range, in standard deviations, that holds 90 % of a normal distribution."""
DETECT = 3.29
_STEP = 0.01


@dataclass(frozen=True, slots=True)
class Blur:
    """The camera's own 10 to 90 % blur, px: `value`, and its square's standard deviation."""

    value: float
    square_error: float


@dataclass(frozen=True, slots=True)
class Drag:
    """In mm: both spreads, drag (negative where the upper edge is the wider), its standard
    deviation, and the least drag that would have shown."""

    upper: float
    lower: float
    drag: float
    deviation: float
    limit: float


def camera_blur(lines: list[Edges]) -> Blur:
    """The camera's blur from the sharpest edges of a photo's lines.

    No edge is sharper than the camera, so the sharpest is the most the blur can be; the least is
    that of a pixel. The blur's square is taken half way, and may be anything between.
    """
    least = limit("camera_blur_least_px")
    found = [spread(edge, line.peak)[0] for line in lines for edge in (line.upper, line.lower)]
    most = float(np.quantile(found, 0.1)) if found else least
    most = float(np.clip(most, least, limit("camera_blur_most_px")))
    square = (most**2 + least**2) / 2
    return Blur(square**0.5, (most**2 - least**2) / 12**0.5)


def drag_of(edges: Edges, blur: Blur, px_per_mm: float) -> Drag:
    """The drag of one line and how sure it is."""
    upper, upper_error, upper_slope = _spread(edges.upper, edges.peak, blur)
    lower, lower_error, lower_slope = _spread(edges.lower, edges.peak, blur)
    camera = (lower_slope - upper_slope) * blur.square_error
    own = (limit("drag_floor_mm") * px_per_mm) ** 2
    own += (limit("drag_share") * max(0.0, lower - upper)) ** 2
    deviation = float(np.sqrt(upper_error**2 + lower_error**2 + camera**2 + own))
    still = float(np.sqrt(2 * upper_error**2 + (limit("drag_floor_mm") * px_per_mm) ** 2))
    return Drag(
        upper / px_per_mm,
        lower / px_per_mm,
        (lower - upper) / px_per_mm,
        deviation / px_per_mm,
        DETECT * still / px_per_mm,
    )


def _spread(edge: Edge, peak: float, blur: Blur) -> tuple[float, float, float]:
    """An edge's spread without the camera's blur, px; its standard deviation from the differences
    along the line and from the levels of ground and core; how it answers to the blur's square."""
    whole, parts = spread(edge, peak)
    clean = _without(whole, blur)
    count = len(parts)
    along = (count - 1) / count * float(((parts - parts.mean()) ** 2).sum())
    ground = (spread(edge, peak, off=_STEP)[0] - spread(edge, peak, off=-_STEP)[0]) / (2 * _STEP)
    core = (spread(edge, peak + _STEP)[0] - spread(edge, peak - _STEP)[0]) / (2 * _STEP)
    levels = (ground * np.hypot(edge.base_error, limit("level_ground"))) ** 2
    levels += (core * limit("level_core")) ** 2
    gain = whole / max(clean, 0.5 * whole, 1e-6)
    slope = -0.5 / max(clean, 0.5 * whole, 1e-6)
    return clean, float(np.sqrt(along + levels)) * gain, slope


def _without(width: float, blur: Blur) -> float:
    return float(np.sqrt(max(width**2 - blur.value**2, 0.0)))


def kind_of(edges: Edges, drag: Drag) -> str:
    """What the edges show: crisp, softened or bled, dragged, smudged."""
    skirts = [skirt(edge, edges.peak) for edge in (edges.upper, edges.lower)]
    if np.mean(skirts) > limit("smudge_skirt"):
        return "smudged"
    if drag.drag > max(NINETY * drag.deviation, drag.limit, limit("drag_word_mm")):
        return "dragged"
    if min(drag.upper, drag.lower) > limit("soft_word_mm"):
        return "softened or bled"
    return "crisp"
