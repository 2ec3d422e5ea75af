"""Everything `clearover cone` tells, as plain values: a cone or a temperature in, a dictionary out.

The keys are those scripts may rely on. Pure; the command only prints. What cannot be computed is
None with a `reason` beside it.
"""

from __future__ import annotations

from typing import Any

from .cone import Cone
from .editions import older, readings_of
from .heat_sums import KIND
from .holds import hold_in_cones, minutes_for
from .profile import Profile
from .schedule import NoSchedule, top_of
from .temperatures import (
    EDITION,
    cone_at,
    cone_temperature,
    extrapolated,
    fahrenheit,
    known_of,
    published,
    source_of,
    why_not,
)

SHORT_HOLD_MIN = 20.0
"""The hold that is told of where nobody asked for one."""


def of_cone(
    cone: Cone, rate: float, kind: str = KIND, hold_min: float | None = None
) -> dict[str, Any]:
    """A cone's end temperature at a rate, and what stands beside it in the chart."""
    end = cone_temperature(cone, rate, kind)
    report: dict[str, Any] = {
        "cone": cone.label,
        "kind": kind,
        "rate_c_per_h": rate,
        **_temperature(end),
        "edition": EDITION,
        "source": source_of(cone, kind),
        "extrapolated": end is not None and extrapolated(cone, rate, kind),
    }
    if end is None:
        report["reason"] = why_not(cone, rate, kind)
    report["published"] = [
        {"rate_c_per_h": at, **_temperature(t), "known": known_of(cone, at, kind)}
        for at, t in published(cone, kind)
    ]
    report["half_way"] = half_way(cone, rate, kind)
    report["half_cone_up"] = half_way(Cone(cone.step + 0.5), rate, kind)
    report["older_chart"] = [
        {
            "rate_c_per_h": figure.rate_c_per_h,
            **_temperature(figure.temperature_c),
            "less_current_c": figure.less_current_c,
            "known": figure.known,
            "source": figure.source,
        }
        for figure in older(cone, kind)
    ]
    report["same_temperature"] = [] if end is None else _readings(end)
    minutes = SHORT_HOLD_MIN if hold_min is None else hold_min
    report["hold"] = hold_of(cone, rate, minutes) if kind == KIND else None
    report["not_to_confuse_with"] = namesake(cone, rate, kind)
    return report


def of_temperature(
    celsius: float, rate: float, kind: str = KIND, hold_min: float = 0
) -> dict[str, Any]:
    """The last cone a temperature reaches at a rate, and how far toward the next."""
    report: dict[str, Any] = {"kind": kind, "rate_c_per_h": rate, **_temperature(celsius)}
    if hold_min > 0:
        return {**report, **_by_heat_work(celsius, rate, hold_min), "edition": EDITION}
    at = cone_at(celsius, rate, kind)
    between = at.cone and at.next and at.fraction
    return {
        **report,
        "cone": at.cone.label if at.cone else None,
        "between": [at.cone.label, at.next.label] if between and at.cone and at.next else None,
        "fraction": at.fraction,
        "extrapolated": at.cone is not None and extrapolated(at.cone, rate, kind),
        "reason": at.reason,
        "edition": EDITION,
        "source": source_of(at.cone, kind) if at.cone else None,
        "same_temperature": _readings(celsius),
    }


def _by_heat_work(celsius: float, rate: float, hold_min: float) -> dict[str, Any]:
    from .heat_work import reached

    up = max(celsius, 1.0) / rate
    hours, points = (0.0, up, up + hold_min / 60), (0.0, celsius, celsius)
    found = reached(Profile(hours, points, "schedule"))
    last = found.between[0] if found.between else found.cone
    return {
        "hold_min": hold_min,
        "cone": last.label if last else None,
        "between": [cone.label for cone in found.between] if found.between else None,
        "fraction": found.fraction,
        "uncertainty_cones": found.uncertainty_cones,
        "extrapolated": found.extrapolated,
        "notes": list(found.notes),
        "reason": found.reason,
        "source": source_of(last, KIND) if last else None,
        "same_temperature": [],
    }


def hold_of(cone: Cone, rate: float, minutes: float) -> dict[str, Any]:
    """What a hold adds, what half a cone takes, and where to stop when holding that long."""
    worth = hold_in_cones(cone, minutes, rate)
    half = minutes_for(cone, 0.5, rate)
    try:
        top: float | None = top_of(cone, rate, minutes)
    except NoSchedule:
        top = None
    return {
        "minutes": minutes,
        "cones": worth.as_dict(),
        "minutes_for_half_a_cone": half.as_dict(),
        "peak_with_hold_c": None if top is None else round(top, 1),
        "peak_with_hold_f": None if top is None else round(fahrenheit(top), 1),
        "extrapolated": True,
    }


def half_way(cone: Cone, rate: float, kind: str = KIND) -> dict[str, Any] | None:
    """A half cone's temperature where the chart lacks it: the middle of its neighbours."""
    if published(cone, kind) or cone.step % 1 == 0:
        return None
    cooler, hotter = Cone(cone.step - 0.5), Cone(cone.step + 0.5)
    low, high = (cone_temperature(one, rate, kind) for one in (cooler, hotter))
    if low is None or high is None:
        return None
    return {
        "cone": cone.label,
        "between": [cooler.label, hotter.label],
        **_temperature((low + high) / 2),
    }


def namesake(cone: Cone, rate: float, kind: str = KIND) -> dict[str, Any] | None:
    """The cone of the same number with or without the zero, and how far apart the two are."""
    other = Cone(-cone.step - 1)
    ends = cone_temperature(cone, rate, kind), cone_temperature(other, rate, kind)
    if ends[0] is None or ends[1] is None:
        return None
    return {"cone": other.label, "apart_c": round(abs(ends[0] - ends[1]), 1)}


def _readings(celsius: float) -> list[dict[str, Any]]:
    return [
        {"edition": edition, "rate_c_per_h": rate, "cone": cone.label}
        for edition, rate, cone in readings_of(celsius)
    ]


def _temperature(celsius: float | None) -> dict[str, float | None]:
    if celsius is None:
        return {"temperature_c": None, "temperature_f": None}
    return {"temperature_c": round(celsius, 1), "temperature_f": round(fahrenheit(celsius), 1)}
