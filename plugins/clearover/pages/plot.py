"""A plot of points as inline SVG, with classes only: no style, no script, no number of its own.

In: points and the words round them. Out: markup. All points are one path of round dots, so a
thousand of them stay light. It knows no method.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

WIDE, HIGH = 340, 300
LEFT, RIGHT, TOP, BOTTOM = 46, 8, 8, 40
MANY = 100
"""From so many points on they are drawn small."""
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis: its words with the unit, and the ends of its scale."""

    words: str
    low: float
    high: float

    def ticks(self) -> list[float]:
        """Round numbers along it, four to seven of them."""
        span = self.high - self.low
        step = 10 ** math.floor(math.log10(span / 4))
        step *= next(times for times in (1, 2, 5, 10) if span / (times * step) <= 7)
        first = math.ceil(self.low / step - 1e-9)
        last = math.floor(self.high / step + 1e-9)
        return [n * step for n in range(first, last + 1)]


def fitting(words: str, values: Sequence[float]) -> Axis:
    """An axis that holds the values, with a little room."""
    low, high = min(values), max(values)
    room = 0.04 * (high - low) or 1.0
    return Axis(words, low - room, high + room)


def parity(
    title: str, described: str, points: Sequence[Point], axis: Axis, half: float, share: bool
) -> Markup:
    """Measured across, predicted up, on one scale; with the line of equals and the 90 % band.

    `half` is half of the band: in the unit of the axis, or with `share` a share of the prediction.
    """
    up = Axis(axis.words.replace("measured", "predicted"), axis.low, axis.high)
    low, high = axis.low, axis.high
    if share:
        band = [(low * (1 - half), low), (high * (1 - half), high)]
        band += [(high * (1 + half), high), (low * (1 + half), low)]
    else:
        band = [(low - half, low), (high - half, high), (high + half, high), (low + half, low)]
    inside = Markup('<polygon class="band" points="{}"/>').format(_corners(band, axis, up))
    equal = _line(_at((low, low), axis, up), _at((high, high), axis, up), "equal")
    name = "dots" if len(points) >= MANY else "few"
    return _framed(title, described, axis, up, inside + equal + dots(points, axis, up, name))


def misses(title: str, described: str, points: Sequence[Point], across: Axis, up: Axis) -> Markup:
    """Misses up, over whatever stands across; with the line of no miss."""
    none = _line(_at((across.low, 0), across, up), _at((across.high, 0), across, up), "equal")
    return _framed(title, described, across, up, none + dots(points, across, up, "few"))


def dots(points: Sequence[Point], across: Axis, up: Axis, name: str = "dots") -> Markup:
    """All points as one path."""
    places = [_at(point, across, up) for point in points]
    drawn = "".join(
        f"M{x:.0f} {y:.0f}h0" if name == "dots" else f"M{x:.1f} {y:.1f}h0" for x, y in places
    )
    return Markup('<path class="{}" d="{}"/>').format(name, drawn)


def _framed(title: str, described: str, across: Axis, up: Axis, inner: Markup) -> Markup:
    bottom, right = HIGH - BOTTOM, WIDE - RIGHT
    parts = [
        Markup(
            '<clipPath id="{0}"><rect x="{1}" y="{2}" width="{3}" height="{4}"/></clipPath>'
        ).format(_id(title), LEFT, TOP, right - LEFT, bottom - TOP),
        Markup('<g clip-path="url(#{})">{}</g>').format(_id(title), inner),
        _line((LEFT, bottom), (right, bottom), "axis"),
        _line((LEFT, TOP), (LEFT, bottom), "axis"),
    ]
    for value in across.ticks():
        x, _ = _at((value, up.low), across, up)
        parts.append(_line((x, bottom), (x, bottom + 4), "axis"))
        parts.append(_text(x, bottom + 16, _figure(value), "middle"))
    for value in up.ticks():
        _, y = _at((across.low, value), across, up)
        parts.append(_line((LEFT - 4, y), (LEFT, y), "axis"))
        parts.append(_text(LEFT - 7, y + 4, _figure(value), "end"))
    parts.append(_text((LEFT + right) / 2, HIGH - 6, across.words, "middle"))
    parts.append(
        Markup('<text class="middle" transform="translate(11 {}) rotate(-90)">{}</text>').format(
            f"{(TOP + bottom) / 2:.0f}", up.words
        )
    )
    name = _id(title)
    return Markup(
        '<svg class="plot" viewBox="0 0 {} {}" role="img" aria-labelledby="{}-t {}-d">'
        '<title id="{}-t">{}</title><desc id="{}-d">{}</desc>{}</svg>'
    ).format(WIDE, HIGH, name, name, name, title, name, described, Markup("").join(parts))


def _at(point: Point, across: Axis, up: Axis) -> Point:
    wide, high = WIDE - LEFT - RIGHT, HIGH - TOP - BOTTOM
    x = LEFT + wide * (point[0] - across.low) / (across.high - across.low)
    y = TOP + high * (up.high - point[1]) / (up.high - up.low)
    return x, y


def _corners(points: Sequence[Point], across: Axis, up: Axis) -> str:
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in (_at(one, across, up) for one in points))


def _line(start: Point, end: Point, name: str) -> Markup:
    return Markup('<path class="{}" d="M{} {}L{} {}"/>').format(
        name, *(f"{value:.1f}" for value in (*start, *end))
    )


def _text(x: float, y: float, words: str, anchor: str) -> Markup:
    return Markup('<text class="{}" x="{}" y="{}">{}</text>').format(
        anchor, f"{x:.0f}", f"{y:.0f}", words
    )


def _figure(value: float) -> str:
    return f"{round(value, 6):g}".replace("-", "−")


def _id(title: str) -> str:
    return "plot-" + "".join(c if c.isalnum() and c.isascii() else "-" for c in title.lower())
