"""A wall drawn to scale: a line of colour, the tail it gets, and how far the surface runs.

In: a movement. Out: inline SVG whose unit is the millimetre, with a bar of 5 mm and a text that
says the same. Classes only, no style; all colours come from the style sheet's tokens.
"""

from __future__ import annotations

from functools import lru_cache

from markupsafe import Markup

from ..glass.moving import Movement
from ..glass.results import Estimate

WIDE, TOP, LINE = 26.0, 3.0, 2.0
"""Width of the drawing, where its line begins, and the line's own width, mm."""
SHALLOW, MIDDLE, DEEP = DEPTHS = 8.0, 14.0, 24.0
"""The lengths of wall that may be drawn below the line, mm."""
BANDS = 4
"""The tail in so many bands, each paler: the colour thins out evenly over its length."""


def depth_of(movements: list[Movement]) -> float:
    """How much wall the drawings of one set show, the same for all, mm."""
    farthest = max((one.surface_run.high or 0.0 for one in movements), default=0.0)
    return next((depth for depth in DEPTHS if farthest < depth), DEEP)


@lru_cache(maxsize=4096)
def wall_svg(run: Estimate, drag: Estimate, depth: float, label: str) -> Markup:
    """One wall. `depth` is the wall below the line, mm; what reaches farther ends in an arrow."""
    start = TOP + LINE
    end = start + depth
    tail = "".join(
        f'<rect class="mv-tail mv-t{band + 1}" x="2" y="{_f(start + band * _step(drag, depth))}" '
        f'width="7" height="{_f(_step(drag, depth))}"/>'
        for band in range(BANDS)
    )
    return Markup(
        '<svg class="wall" viewBox="0 0 {wide} {high}" role="img" aria-label="{label}">'
        '<rect class="mv-film" x="0.2" y="0.2" width="{inner}" height="{film}"/>'
        '<rect class="mv-line" x="2" y="{top}" width="7" height="2"/>{tail}'
        '<text class="mv-text" x="13" y="2.9">line</text>'
        '<text class="mv-text" x="20" y="2.9">surface</text>{drag}{run}'
        '<path class="mv-scale" d="M1 {bar}h5M1 {tick}v1.2M6 {tick}v1.2"/>'
        '<text class="mv-text mv-left" x="7.2" y="{text}">5 mm</text></svg>'
    ).format(
        wide=_f(WIDE),
        high=_f(end + 4),
        label=label,
        inner=_f(WIDE - 0.4),
        film=_f(end),
        top=_f(TOP),
        tail=Markup(tail),
        drag=_bar(13, drag, start, depth),
        run=_bar(20, run, start, depth),
        bar=_f(end + 2.2),
        tick=_f(end + 1.6),
        text=_f(end + 3),
    )


def _step(drag: Estimate, depth: float) -> float:
    return min(drag.value or 0.0, depth) / BANDS


def _bar(x: float, length: Estimate, start: float, depth: float) -> Markup:
    """From low to high as a thin bar, the middle as a tick; an arrow where it goes on below."""
    low, value, high = (min(one or 0.0, depth) for one in (length.low, length.value, length.high))
    path = f"M{_f(x)} {_f(start + low)}V{_f(start + high)}"
    if (length.high or 0.0) > depth:
        path += "m-0.9 -1.2l0.9 1.2l0.9 -1.2"
    middle = ""
    if (length.value or 0.0) <= depth:
        middle = f'<path class="mv-middle" d="M{_f(x - 1.6)} {_f(start + value)}h3.2"/>'
    foot = f'<path class="mv-from" d="M{_f(x - 1.6)} {_f(start)}h3.2"/>'
    return Markup(f'{foot}<path class="mv-range" d="{path}"/>{middle}')


def _f(number: float) -> str:
    return f"{number:.2f}".rstrip("0").rstrip(".")
