"""The top of a firing as a log shows it: the peak, the rate before it, when it was there.

In: sound readings (hours, °C) in order of time. Out: `Top`, or why there is none. Knows no cone.

The rate that counts is that of the last 100 °C: Edward Orton Jr. Ceramic Foundation, 2016,
“Temperature Equivalents for Orton Pyrometric Cones (°C)”, text of the chart.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

Point = tuple[float, float]

LAST_C = 100.0
"""The part of the firing, °C below the peak, whose rate counts."""
ARRIVED_C = 3.0
"""A kiln this near its peak, °C, has arrived; controllers swing about so much when they hold."""


@dataclass(frozen=True, slots=True)
class Top:
    """Peak in °C, and the rate of the last 100 °C in °C/h.

    `arrived` and `left` are the hours between which it was within 3 °C of its peak; `ends_there`
    is True where the log has no reading after the hold.
    """

    peak_c: float
    rate_c_per_h: float
    arrived: float
    left: float
    ends_there: bool


def top_of(points: Sequence[Point]) -> Top | str:
    """The top of a firing; a sentence where the log does not show it."""
    peak = max(t for _, t in points)
    near = [i for i, (_, t) in enumerate(points) if t >= peak - ARRIVED_C]
    first, last = near[0], near[-1]
    below = next((i for i in range(first, -1, -1) if points[i][1] <= peak - LAST_C), None)
    if below is None:
        return f"the log begins less than {LAST_C:.0f} °C below its peak"
    start = _crossing(points, below, peak - LAST_C)
    end = _crossing(points, first - 1, peak - ARRIVED_C)
    if end <= start:
        return "the temperature jumps at the end"
    return Top(
        peak_c=peak,
        rate_c_per_h=(LAST_C - ARRIVED_C) / (end - start),
        arrived=points[first][0],
        left=points[last][0],
        ends_there=last == len(points) - 1,
    )


def without_hold(points: Sequence[Point], top: Top) -> list[Point]:
    """The same firing, turned off as soon as the kiln had arrived."""
    away = top.left - top.arrived
    before = [point for point in points if point[0] < top.arrived]
    after = [(hour - away, t) for hour, t in points if hour > top.left]
    return [*before, (top.arrived, top.peak_c), *after]


def _crossing(points: Sequence[Point], index: int, level: float) -> float:
    """When the temperature rose through a level (hours), between one point and the next."""
    (hour, t), (later, u) = points[index], points[index + 1]
    return later if u <= t else hour + (later - hour) * min(1.0, max(0.0, (level - t) / (u - t)))
