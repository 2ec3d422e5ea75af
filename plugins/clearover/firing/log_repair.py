"""A log's readings put in order: lines out of turn, a clock that was changed, wild readings, gaps.

In: hours and °C, line by line. Out: readings that a kiln can have had, and a note for every repair.
What is not obvious is not repaired: `Unreadable` says why. Knows no file and no cone.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby, pairwise
from operator import itemgetter, le, lt, sub
from statistics import median

from .log_limits import limit
from .log_text import Unreadable

Points = list[tuple[float, float]]
HOUR = 1.0
CLOCK_PLAY = 0.2
"""A clock put forward or back is off by an hour, and by so much of one at most beside."""
FEW = 0.02
"""Up to this share of the lines may stand out of turn, or three of them."""
TIDY = 0.05
FROZEN_READINGS = 4
"""A run of readings alike to the last digit, at least so many, may be a broken wire."""


@dataclass(frozen=True, slots=True)
class Repaired:
    """Sound readings; `gaps` are stretches without any, hours. `lost_end` is True where a broken
    thermocouple, not the end of the log, is why there are no more."""

    points: Points
    gaps: tuple[tuple[float, float], ...]
    notes: tuple[str, ...]
    lost_end: bool


def repaired(points: Points, clock: bool) -> Repaired:
    """The readings a kiln can have had. `clock` says that the times are those of a wall clock."""
    notes: list[str] = []
    points = _in_order(points, clock, notes)
    points = _one_a_time(points, notes)
    if clock:
        points = _not_put_forward(points, notes)
    usual = _usual(points)
    end = points[-1][0]
    points = _believable(points, notes)
    if len(points) < 2:
        raise Unreadable("too few readings are left that a kiln can have had")
    lost = end - points[-1][0] > limit("frozen_minutes") / 60
    return Repaired(points, _gaps(points, usual), tuple(notes), lost)


def _usual(points: Points) -> float:
    hours = [hour for hour, _ in points]
    return median(map(sub, hours[1:], hours)) if len(points) > 1 else 0.0


def _in_order(points: Points, clock: bool, notes: list[str]) -> Points:
    """Lines sorted by time where only a few are out of turn, or all run the other way."""
    hours = [hour for hour, _ in points]
    if all(map(le, hours, hours[1:])):
        return points
    back = [i for i, (a, b) in enumerate(pairwise(points), 1) if b[0] < a[0]]
    steps = len(points) - 1
    if len(back) == steps and steps >= 4:
        notes.append("the log runs from its end to its start; it was turned round")
        return points[::-1]
    if clock and len(back) == 1 and (put := _put_back(points, back[0])):
        notes.append("the clock was put back an hour on the way; the rest was moved on by one")
        return put
    if len(points) >= 10 and len(back) <= max(3, FEW * len(points)):
        ordered = sorted(points, key=itemgetter(0))
        where = {id(point): i for i, point in enumerate(ordered)}
        if all(abs(where[id(point)] - i) <= 5 for i, point in enumerate(points)):
            lines = f"{len(back)} lines stood" if len(back) > 1 else "one line stood"
            notes.append(f"{lines} out of turn and were sorted by time")
            return ordered
    if back[0] >= 5 and points[back[0]][0] <= points[0][0] + _usual(points[: back[0]]):
        raise Unreadable("the times start again on the way: two firings in one log?")
    raise Unreadable("the times run backwards")


def _put_back(points: Points, at: int) -> Points | None:
    """The log with an hour added from `at` on, if that makes the step there a usual one."""
    step = points[at][0] - points[at - 1][0] + HOUR
    if not 0 < step <= _usual(points[:at]) + CLOCK_PLAY:
        return None
    moved = points[:at] + [(hour + HOUR, t) for hour, t in points[at:]]
    return moved


def _not_put_forward(points: Points, notes: list[str]) -> Points:
    """An hour taken out where the clock leapt by one and the kiln did not heat for an hour."""
    usual = _usual(points)
    for i in range(2, len(points) - 2):
        step = points[i][0] - points[i - 1][0]
        if not 0 < step - HOUR <= usual + TIDY:
            continue
        before = (points[i - 1][1] - points[i - 2][1]) / (points[i - 1][0] - points[i - 2][0])
        after = (points[i + 1][1] - points[i][1]) / (points[i + 1][0] - points[i][0])
        rate = (before + after) / 2
        rose = points[i][1] - points[i - 1][1]
        if abs(rate) > 30 and abs(rose - rate * (step - HOUR)) < 0.25 * abs(rate) * HOUR:
            notes.append("the clock was put forward an hour on the way; that hour was taken out")
            return points[:i] + [(hour - HOUR, t) for hour, t in points[i:]]
    return points


def _one_a_time(points: Points, notes: list[str]) -> Points:
    """One reading for each time, the middle one where several share it."""
    hours = [hour for hour, _ in points]
    if all(map(lt, hours, hours[1:])):
        return points
    found = [(hour, [t for _, t in same]) for hour, same in groupby(points, key=itemgetter(0))]
    shared = sum(len(values) - 1 for _, values in found)
    lines = "one line shares its time" if shared == 1 else f"{shared:,} lines share their time"
    notes.append(f"{lines} with the line before; the middle reading was taken")
    return [(hour, median(values)) for hour, values in found]


def _reachable(a: tuple[float, float], b: tuple[float, float]) -> bool:
    """Whether a kiln can go from one reading to the other in the time between."""
    hours, rise = b[0] - a[0], b[1] - a[1]
    fastest = limit("wild_up") if rise > 0 else limit("wild_down")
    return abs(rise) <= max(limit("wild"), fastest * hours)


def _believable(points: Points, notes: list[str]) -> Points:
    """The longest chain of readings in which no step is faster than a kiln.

    The log is cut wherever it leaps, and round readings that stand still to the last digit; of the
    pieces those are kept that follow from one another and hold most readings.
    """
    temperatures = [t for _, t in points]
    calm = max(map(abs, map(sub, temperatures[1:], temperatures)), default=0) <= limit("wild")
    if calm or all(_reachable(a, b) for a, b in pairwise(points)):
        return points
    pieces = _pieces(points)
    if len(pieces) > limit("most_leaps"):
        raise Unreadable("the readings leap about too often to be believed")
    best: list[tuple[int, int]] = []
    for i, piece in enumerate(pieces):
        before = [(best[j][0], j) for j in range(i) if _reachable(pieces[j][-1], piece[0])]
        most, j = max(before, default=(0, -1))
        best.append((most + len(piece), j))
    i = max(range(len(best)), key=lambda i: best[i][0])
    kept: list[int] = []
    while i >= 0:
        kept.append(i)
        i = best[i][1]
    for i, piece in enumerate(pieces):
        if i not in kept:
            notes.append(_left_out(piece))
    return [point for i in reversed(kept) for point in pieces[i]]


def _left_out(piece: Points) -> str:
    minutes = (piece[-1][0] - piece[0][0]) * 60
    at = f"{piece[0][1]:.0f} °C, {_when(piece[0][0])} into the log"
    if len(piece) == 1:
        return f"a wild reading was left out: {at}"
    if len({t for _, t in piece}) == 1:
        return f"the reading stood still for {minutes:.0f} min and then leapt; left out: {at}"
    return f"{len(piece)} readings that no kiln can have had were left out, from {at}"


def _when(hours: float) -> str:
    return f"{int(hours)} h {round(hours % 1 * 60):02d} min"


def _pieces(points: Points) -> list[Points]:
    """The log cut where it leaps, and at both ends of a long stretch without any change."""
    cuts = {0, len(points)}
    cuts |= {i for i, (a, b) in enumerate(pairwise(points), 1) if not _reachable(a, b)}
    start = 0
    for i in range(1, len(points) + 1):
        if i < len(points) and points[i][1] == points[start][1]:
            continue
        still = points[i - 1][0] - points[start][0]
        if i - start >= FROZEN_READINGS and still * 60 >= limit("frozen_minutes"):
            cuts |= {start + 1, i}
        start = i
    ordered = sorted(cuts)
    return [points[a:b] for a, b in pairwise(ordered)]


def _gaps(points: Points, usual: float) -> tuple[tuple[float, float], ...]:
    least = max(limit("gap_times") * usual, 5 / 60)
    hours = [hour for hour, _ in points]
    if max(map(sub, hours[1:], hours)) <= least + 1e-9:
        return ()
    return tuple((a, b) for a, b in pairwise(hours) if b - a > least + 1e-9)
