"""A firing schedule for a cone: cone, rate, hold and cooling in, temperature over time out.

Up quickly to 200 °C below the top, then at the asked rate, a hold, and down as the record's word
says (`data/firing-habits.csv`, common practice). The top is the chart's temperature for that rate;
with a hold it is lower, so that the cone is just down when the hold ends. What cooling still adds
comes on top, as in a kiln. Knows no kiln and no glaze.
"""

from __future__ import annotations

from functools import cache, lru_cache

from ..tables import rows
from .cone import Cone
from .kinetics import Curve, curves
from .profile import Profile
from .temperatures import cone_temperature, published, why_not

KIND = "self_supporting"
HABITS = "firing-habits.csv"
LONGEST_HOLD_MIN = 48 * 60.0
"""Nobody holds longer; what looks like it is a slip."""


class NoSchedule(ValueError):
    """There is no schedule for what was asked; the text says why."""


def schedule(
    cone: Cone, rate_c_per_h: float = 60, hold_min: float = 0, cooling: str = "natural"
) -> Profile:
    """The firing that brings a cone down at the end of its hold.

    `rate_c_per_h` holds for the last 200 °C. `cooling` is a record's word: natural, slow or fast.
    A cone that the chart lacks (6½) is set half way between its neighbours. Raises NoSchedule where
    the cone has no temperature at this rate, or the hold or the word makes no sense.
    """
    peak = top_of(cone, rate_c_per_h, hold_min)
    steps = _cooling(cooling)
    start, early, near = _habit("start"), _habit("early rate"), _habit("last part")
    hours, celsius = [0.0], [start]

    def go(to: float, rate: float) -> None:
        if to != celsius[-1]:
            hours.append(hours[-1] + abs(to - celsius[-1]) / rate)
            celsius.append(to)

    go(max(start, peak - near), max(early, rate_c_per_h))
    go(peak, rate_c_per_h)
    if hold_min > 0:
        hours.append(hours[-1] + hold_min / 60)
        celsius.append(peak)
    for until, rate in steps:
        if until < celsius[-1]:
            go(until, rate)
    words = f"{rate_c_per_h:g} °C/h to {peak:.0f} °C"
    words += f", held {hold_min:g} min" if hold_min else ""
    note = f"taken for a usual firing to cone {cone.shown}: {words}, {cooling} cooling"
    return Profile(tuple(hours), tuple(celsius), "schedule", (note,))


@lru_cache(maxsize=512)
def top_of(cone: Cone, rate_c_per_h: float = 60, hold_min: float = 0) -> float:
    """The temperature, °C, to fire to: the cone is down at the end of the hold there.

    Without a hold it is the cone's temperature at that rate. Raises NoSchedule.
    """
    if not 0 <= hold_min <= LONGEST_HOLD_MIN:
        raise NoSchedule(f"a hold is 0 to {LONGEST_HOLD_MIN:g} minutes, not {hold_min:g}")
    if not published(cone, KIND):
        cooler, hotter = Cone(cone.step - 0.5), Cone(cone.step + 0.5)
        if published(cooler, KIND) and published(hotter, KIND):
            tops = (top_of(one, rate_c_per_h, hold_min) for one in (cooler, hotter))
            return sum(tops) / 2
    end = cone_temperature(cone, rate_c_per_h, KIND)
    if end is None:
        raise NoSchedule(str(why_not(cone, rate_c_per_h, KIND)))
    return end if hold_min == 0 else _held_top(curves(KIND)[cone], rate_c_per_h, hold_min, end)


def _held_top(curve: Curve, rate: float, hold_min: float, end: float) -> float:
    """Where K/rate of the way up and k times the hold together make 1. Both grow with the top."""
    low, high = end - 400, end
    for _ in range(60):
        middle = (low + high) / 2
        gathered = curve.heat_at(middle) / rate + curve.gain_at(middle) * hold_min / 60
        low, high = (low, middle) if gathered > 1 else (middle, high)
    return (low + high) / 2


def coolings() -> tuple[str, ...]:
    """The words for cooling that have figures."""
    return tuple(dict.fromkeys(r["name"] for r in rows(HABITS) if r["kind"] == "cooling"))


@cache
def _cooling(word: str) -> tuple[tuple[float, float], ...]:
    """(°C down to, °C/h) in order."""
    found = tuple(
        (float(row["until_c"]), float(row["value"]))
        for row in rows(HABITS)
        if row["kind"] == "cooling" and row["name"] == word
    )
    if not found:
        raise NoSchedule(f"cooling is {', '.join(coolings())}, not “{word}”")
    return found


@cache
def _habit(name: str) -> float:
    return next(
        float(row["value"])
        for row in rows(HABITS)
        if row["kind"] == "heating" and row["name"] == name
    )
