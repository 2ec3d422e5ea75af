"""The cone a kiln log suggests: points of time and temperature in, a cone and a note out.

First cut: the peak and the heating rate over the last 100 °C are looked up in the cone chart. A
hold at the top, a slow start of cooling and the thermocouple's own error are not reckoned with, so
a witness cone on the tile's own shelf outranks it. Never raises: without an answer there is a note.

The rate to use is that of the last 100 °C: Edward Orton Jr. Ceramic Foundation, 2016, “Temperature
Equivalents for Orton Pyrometric Cones (°C)”, text of the chart.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from statistics import median

from .cone import Cone
from .log_reader import KilnLog, parse_log, read_log
from .temperatures import cone_at

__all__ = ["KilnLog", "LogReading", "cone_by_log", "parse_log", "read_log", "reading_of"]

LAST_C = 100.0
"""The part of the firing, °C below the peak, whose rate counts."""
ARRIVED_C = 3.0
"""A kiln this near its peak, °C, has arrived; controllers swing about so much when they hold."""
CHART_RATES = (15.0, 150.0)
RATE_ERROR = 0.05
"""The chart's rates, °C/h, and how much a rate taken from a log may be wrong (a share)."""
WILD_C, WILD_C_PER_H = 15.0, 600.0
"""A reading is wild if it stands out by more than this, °C, and this fast, °C/h."""


@dataclass(frozen=True, slots=True)
class LogReading:
    """What a log says. `cone` is the nearest cone, `between` the cones it lies between, `fraction`
    how far toward the hotter one; temperatures °C, rate °C/h, hold in minutes within 3 °C of the
    peak. `reason` says why there is no cone."""

    cone: Cone | None
    between: tuple[Cone, Cone] | None
    fraction: float | None
    peak_c: float | None
    rate_c_per_h: float | None
    hold_min: float | None
    reason: str | None


def cone_by_log(log: KilnLog) -> tuple[Cone | None, str]:
    """The cone a log suggests, and a note that says what it rests on or why there is none."""
    found = reading_of(log)
    if found.cone is None:
        return None, f"log suggests no cone: {found.reason}"
    note = (
        f"log suggests cone {found.cone.shown}: {found.peak_c:.0f} °C, the last "
        f"{LAST_C:.0f} °C at {found.rate_c_per_h:.0f} °C/h"
    )
    if found.hold_min is not None and found.hold_min >= 5:
        note += f"; a hold of {found.hold_min:.0f} min is not reckoned with"
    return found.cone, "; ".join((note, *log.notes))


def reading_of(log: KilnLog) -> LogReading:
    """Peak, final rate and cone of a log."""
    if log.reason is not None or len(log.points) < 2:
        return _nothing(log.reason or "the log holds fewer than two points")
    points = _smooth(log.points)
    peak = max(temperature for _, temperature in points)
    arrived = next(i for i, (_, t) in enumerate(points) if t >= peak - ARRIVED_C)
    below = next((i for i in range(arrived, -1, -1) if points[i][1] <= peak - LAST_C), None)
    if below is None:
        return _nothing(f"the log begins less than {LAST_C:.0f} °C below its peak", peak)
    start, end = (
        _crossing(points, below, peak - LAST_C),
        _crossing(points, arrived - 1, peak - ARRIVED_C),
    )
    hold = 60 * sum(
        later - hour
        for (hour, t), (later, u) in itertools.pairwise(points)
        if t >= peak - ARRIVED_C and u >= peak - ARRIVED_C
    )
    if end <= start:
        return _nothing("the temperature jumps at the end", peak)
    rate = (LAST_C - ARRIVED_C) / (end - start)
    at = cone_at(peak, _within_chart(rate))
    if at.cone is None:
        why = at.reason or "no cone"
        return LogReading(None, None, None, peak, rate, hold, f"{why} (at {rate:.0f} °C/h)")
    nearest = at.next if at.next and at.fraction is not None and at.fraction >= 0.5 else at.cone
    between = (at.cone, at.next) if at.next is not None and at.fraction else None
    return LogReading(nearest, between, at.fraction, peak, rate, hold, at.reason)


def _within_chart(rate: float) -> float:
    """A measured rate a hair outside the chart's is taken for its end."""
    low, high = CHART_RATES
    if low * (1 - RATE_ERROR) <= rate <= high * (1 + RATE_ERROR):
        return min(high, max(low, rate))
    return rate


def _nothing(reason: str, peak: float | None = None) -> LogReading:
    return LogReading(None, None, None, peak, None, None, reason)


def _smooth(points: tuple[tuple[float, float], ...]) -> list[tuple[float, float]]:
    """The same points, a wild reading replaced by the middle of it and its two neighbours.

    Wild: it leaps from both neighbours faster than any kiln heats or cools. A true peak between
    readings far apart is kept.
    """
    smooth = list(points)
    for index in range(1, len(points) - 1):
        (before, cooler), (hour, t), (after, later) = points[index - 1 : index + 2]
        middle = median((cooler, t, later))
        if abs(t - middle) > max(WILD_C, WILD_C_PER_H * max(hour - before, after - hour)):
            smooth[index] = (hour, middle)
    return smooth


def _crossing(points: list[tuple[float, float]], index: int, level: float) -> float:
    """When the temperature rose through a level (hours), between one point and the next."""
    (hour, t), (later, u) = points[index], points[index + 1]
    return later if u <= t else hour + (later - hour) * min(1.0, max(0.0, (level - t) / (u - t)))
