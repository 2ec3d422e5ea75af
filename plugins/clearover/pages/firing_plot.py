"""A firing drawn: temperature over time, cones at their temperatures, the hold, gaps, the peak.

In: a log, what it says, and which cones to mark. Out: `Plot`s as plain numbers and texts; the
template writes the SVG, the style sheet gives its look. Two drawings: the whole firing, and its top
enlarged, for cones lie some 20 °C apart and a firing is 1,200 °C high. Decides nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from ..firing.cone import Cone
from ..firing.log import TOLD_HOLD_MIN, LogReading
from ..firing.log_reader import KilnLog
from ..firing.log_top import ARRIVED_C
from ..firing.temperatures import cone_temperature
from .polyline import simplified

Point = tuple[float, float]

WIDTH, HEIGHT = 360, 236
LEFT, RIGHT, TOP, BOTTOM = 38, 60, 20, 24
SIZE = {"width": WIDTH, "height": HEIGHT, "left": LEFT, "right": RIGHT, "bottom": BOTTOM}
LINE = 14.0
"""Height of a line of labels."""
ENLARGED_C, ABOVE_C = 110.0, 45.0
"""The enlarged part: from so far below the peak to, at most, so far above it, °C."""
CHART_RATES = (15.0, 150.0)
STEPS_H = (0.25, 0.5, 1, 2, 3, 4, 6, 12, 24)


@dataclass(frozen=True, slots=True)
class Mark:
    """A cone on the axis: its height in the drawing, its label's, and whether it was aimed at."""

    y: float
    label_y: float
    text: str
    aimed: bool


@dataclass(frozen=True, slots=True)
class Plot:
    """One drawing in units of its own: paths, marks and labels, with `title` for those who do not
    see it. `hold` is (x, width) or None; `peak` (x, y, x of its label, text)."""

    id: str
    name: str
    title: str
    curve: str
    gaps: str
    hold: tuple[float, float] | None
    peak: tuple[float, float, float, str]
    across: tuple[tuple[float, str], ...]
    up: tuple[tuple[float, str], ...]
    cones: tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class _Frame:
    """From hours and °C to the drawing's units."""

    start: float
    end: float
    low: float
    high: float

    def x(self, hour: float) -> float:
        share = (hour - self.start) / (self.end - self.start)
        return round(LEFT + share * (WIDTH - LEFT - RIGHT), 1)

    def y(self, celsius: float) -> float:
        share = (celsius - self.low) / (self.high - self.low)
        return round(HEIGHT - BOTTOM - share * (HEIGHT - TOP - BOTTOM), 1)


def rate_for_cones(reading: LogReading) -> float | None:
    """The firing's own final rate, brought into the chart's range; None where there is none."""
    if reading.rate_c_per_h is None:
        return None
    return min(CHART_RATES[1], max(CHART_RATES[0], reading.rate_c_per_h))


def plots(
    log: KilnLog, reading: LogReading, cones: Iterable[Cone], aimed: Cone | None
) -> list[Plot]:
    """The drawings of a firing; none where the log cannot be read or shows no top."""
    if log.reason is not None or reading.peak_c is None or reading.rate_c_per_h is None:
        return []
    points = log.points
    peak_at = next(hour for hour, t in points if t == reading.peak_c)
    rate = rate_for_cones(reading) or 60.0
    marks = {cone: at for cone in cones if (at := cone_temperature(cone, rate)) is not None}
    whole = _Frame(0.0, points[-1][0], 0.0, reading.peak_c * 1.04)
    first, last = _enlarged(points, peak_at, reading.peak_c)
    shown = {c: t for c, t in marks.items() if _near(t, reading.peak_c)}
    top = _Frame(
        first,
        last,
        reading.peak_c - ENLARGED_C,
        max([reading.peak_c, *shown.values()]) + 10,
    )
    only_aimed = {cone: t for cone, t in marks.items() if cone == aimed and t < whole.high}
    return [
        _plot("top", "The top of it", log, reading, top, shown, aimed, peak_at),
        _plot("whole", "The whole firing", log, reading, whole, only_aimed, aimed, peak_at),
    ]


def _near(celsius: float, peak: float) -> bool:
    return peak - ENLARGED_C < celsius < peak + ABOVE_C


def _enlarged(points: Sequence[Point], peak_at: float, peak: float) -> tuple[float, float]:
    """From when to when a firing was near its peak, hours."""
    low = peak - ENLARGED_C
    first = max((hour for hour, t in points if hour < peak_at and t < low), default=points[0][0])
    last = min((hour for hour, t in points if hour > peak_at and t < low), default=points[-1][0])
    return first, max(last, first + 0.1)


def _plot(
    id_: str,
    name: str,
    log: KilnLog,
    reading: LogReading,
    frame: _Frame,
    cones: dict[Cone, float],
    aimed: Cone | None,
    peak_at: float,
) -> Plot:
    assert reading.peak_c is not None
    curve, gaps = _paths(_inside(log.points, frame), log.gaps, frame)
    text = f"{reading.peak_c:.0f} °C"
    x = frame.x(peak_at)
    return Plot(
        id=id_,
        name=name,
        title=_title(log, reading, cones, peak_at),
        curve=curve,
        gaps=gaps,
        hold=_hold(log.points, reading, frame),
        peak=(x, frame.y(reading.peak_c), min(max(x, LEFT + 26), WIDTH - RIGHT - 26), text),
        across=_across(frame),
        up=_up(frame),
        cones=_marks(cones, aimed, frame),
    )


def _inside(points: Sequence[Point], frame: _Frame) -> list[Point]:
    """The readings in the frame, the line cut at its lower edge."""
    kept: list[Point] = []
    for a, b in pairwise(points):
        if b[0] < frame.start or a[0] > frame.end:
            continue
        cut = [_cut(a, b, frame.low), _cut(b, a, frame.low)]
        kept += [one for one in cut if one is not None]
    return [point for i, point in enumerate(kept) if not i or point != kept[i - 1]]


def _cut(a: Point, b: Point, low: float) -> Point | None:
    """`a`, or the point towards `b` where the line comes up to the frame; None if it never does."""
    if a[1] >= low:
        return a
    if b[1] <= low:
        return None
    return a[0] + (b[0] - a[0]) * (low - a[1]) / (b[1] - a[1]), low


def _paths(
    points: list[Point], gaps: Sequence[tuple[float, float]], frame: _Frame
) -> tuple[str, str]:
    """The line where there are readings, and the line that bridges the gaps."""
    pieces: list[list[Point]] = [[]]
    bridges: list[list[Point]] = []
    for i, point in enumerate(points):
        pieces[-1].append(point)
        if i + 1 < len(points):
            middle = (point[0] + points[i + 1][0]) / 2
            if any(start < middle < end for start, end in gaps):
                bridges.append([point, points[i + 1]])
                pieces.append([])
    drawn = [simplified(piece) for piece in pieces if len(piece) > 1]
    return "".join(_d(piece, frame) for piece in drawn), "".join(_d(one, frame) for one in bridges)


def _d(points: Sequence[Point], frame: _Frame) -> str:
    """One stroke, each point told from the one before: short, and never adding up its rounding."""
    placed = [(round(frame.x(h) * 10), round(frame.y(t) * 10)) for h, t in points]
    steps = [
        f"{(x - a) / 10:g}{'' if y < b else ' '}{(y - b) / 10:g}"
        for (a, b), (x, y) in pairwise(placed)
    ]
    x, y = placed[0]
    return f"M{x / 10:g} {y / 10:g}l{' '.join(steps)}"


def _hold(
    points: Sequence[Point], reading: LogReading, frame: _Frame
) -> tuple[float, float] | None:
    """Where the kiln stood within 3 °C of its peak: (x, width)."""
    if reading.peak_c is None or not reading.hold_min or reading.hold_min < TOLD_HOLD_MIN:
        return None
    near = [hour for hour, t in points if t >= reading.peak_c - ARRIVED_C]
    x = frame.x(near[0])
    return x, round(max(frame.x(near[-1]) - x, 1.0), 1)


def _across(frame: _Frame) -> tuple[tuple[float, str], ...]:
    span = frame.end - frame.start
    step = next((one for one in STEPS_H if span / one <= 6), STEPS_H[-1])
    first = int(-(-frame.start // step))
    last = int(frame.end // step)
    ticks = [n * step for n in range(first, last + 1)][:12]
    return tuple((frame.x(hour), _clock(hour, whole=step >= 1)) for hour in ticks)


def _clock(hour: float, *, whole: bool) -> str:
    """`4 h`, `9:30`."""
    return f"{hour:.0f} h" if whole else f"{int(hour)}:{round(hour % 1 * 60):02d}"


def _up(frame: _Frame) -> tuple[tuple[float, str], ...]:
    step = 300 if frame.high - frame.low > 600 else 25
    first = int(-(-frame.low // step)) * step
    return tuple((frame.y(t), str(t)) for t in range(first, int(frame.high) + 1, step))


def _marks(cones: dict[Cone, float], aimed: Cone | None, frame: _Frame) -> tuple[Mark, ...]:
    """Cones from hot to cool, their labels pushed apart so that each can be read."""
    found: list[Mark] = []
    floor = TOP - LINE / 2
    for cone, celsius in sorted(cones.items(), reverse=True):
        y = frame.y(celsius)
        floor = max(y, floor + LINE)
        found.append(Mark(y, round(floor, 1), f"cone {cone.shown}", cone == aimed))
    return tuple(found)


def _title(log: KilnLog, reading: LogReading, cones: dict[Cone, float], peak_at: float) -> str:
    """The drawing in a sentence, for those who do not see it."""
    start = log.points[0][1]
    told = f"From {start:.0f} °C to a peak of {reading.peak_c:.0f} °C after {_long(peak_at)}"
    if reading.hold_min and reading.hold_min >= TOLD_HOLD_MIN:
        told += f", held {reading.hold_min:.0f} min"
    told += f"; the last 100 °C at {reading.rate_c_per_h:.0f} °C/h. "
    marked = [f"cone {cone.shown} {t:.0f} °C" for cone, t in sorted(cones.items())]
    return told + (f"Marked: {', '.join(marked)}." if marked else "")


def _long(hours: float) -> str:
    minutes = round(hours * 60)
    return f"{minutes // 60} h {minutes % 60:02d} min"
