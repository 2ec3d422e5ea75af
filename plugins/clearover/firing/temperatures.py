"""Cones and temperatures: a cone and a heating rate in, degrees Celsius out, and back.

The figures are the 2016 Orton chart's (`data/cones.csv`, each row with its source and whether it
was read or is from memory). A temperature means nothing without its rate: 1222 °C is cone 6 at
60 °C/h and was cone 6 at 150 °C/h in an older chart. The rate is that of the last 100 °C.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import pairwise

from ..tables import rows
from .cone import Cone, parse_cone

KINDS = ("self_supporting", "large", "small")
EDITION = "2016"


@dataclass(frozen=True, slots=True)
class ConeAt:
    """The last cone a temperature reached. `next` is the one above it, `fraction` how far toward
    it (0 to 1, by temperature); `reason` says why there is none."""

    cone: Cone | None
    next: Cone | None
    fraction: float | None
    reason: str | None = None


@cache
def _chart(kind: str) -> dict[Cone, tuple[tuple[float, float], ...]]:
    """Cone -> ((rate °C/h, temperature °C), …) rising with the rate."""
    found: dict[Cone, list[tuple[float, float]]] = {}
    for row in rows("cones.csv"):
        if row["kind"] == kind:
            point = (float(row["rate_c_per_h"]), float(row["temperature_c"]))
            found.setdefault(parse_cone(row["cone"]), []).append(point)
    return {cone: tuple(sorted(found[cone])) for cone in sorted(found)}


@cache
def source_of(cone: Cone, kind: str = "self_supporting") -> str | None:
    """Author, year, title and table of a cone's figures, with a word where any is from memory."""
    found = [
        row for row in rows("cones.csv") if row["kind"] == kind and parse_cone(row["cone"]) == cone
    ]
    if not found:
        return None
    memory = ", ".join(r["rate_c_per_h"] for r in found if r["known"] == "memory")
    note = f" (the values at {memory} °C/h from memory)" if memory else ""
    return found[0]["source"] + note


@lru_cache(maxsize=4096)
def cone_temperature(
    cone: Cone, rate_c_per_h: float = 60, kind: str = "self_supporting"
) -> float | None:
    """End temperature of a cone, °C, at a heating rate over the last 100 °C, °C/h.

    Between published rates the temperature is a straight line in the logarithm of the rate, so it
    goes exactly through every published value. None outside the chart: `why_not` gives the reason.
    """
    if why_not(cone, rate_c_per_h, kind) is not None:
        return None
    points = _chart(kind)[cone]
    for (slow, low), (fast, high) in pairwise(points):
        if slow <= rate_c_per_h <= fast:
            along = math.log(rate_c_per_h / slow) / math.log(fast / slow)
            return low + along * (high - low)
    return points[0][1]


def why_not(cone: Cone, rate_c_per_h: float = 60, kind: str = "self_supporting") -> str | None:
    """Why a cone has no temperature at this rate; None where it has one."""
    chart = _chart(kind)
    if not chart:
        return f"not computed: there are no figures for “{kind}” cones"
    if cone not in chart:
        return f"not computed: the chart has no {kind.replace('_', '-')} cone {cone.shown}"
    if not math.isfinite(rate_c_per_h) or rate_c_per_h <= 0:
        return "not computed: a heating rate is more than 0 °C/h"
    slow, fast = chart[cone][0][0], chart[cone][-1][0]
    if not slow <= rate_c_per_h <= fast:
        span = f"{slow:g} °C/h" if slow == fast else f"{slow:g} to {fast:g} °C/h"
        return f"not computed: the chart gives cone {cone.shown} at {span} only"
    return None


@lru_cache(maxsize=256)
def _ladder(rate_c_per_h: float, kind: str) -> tuple[tuple[float, ...], tuple[Cone, ...]]:
    steps = []
    for cone in _chart(kind):
        temperature = cone_temperature(cone, rate_c_per_h, kind)
        if temperature is not None:
            steps.append((temperature, cone))
    steps.sort()
    return tuple(t for t, _ in steps), tuple(c for _, c in steps)


def cone_at(
    temperature_c: float, rate_c_per_h: float = 60, kind: str = "self_supporting"
) -> ConeAt:
    """The last cone reached at a temperature, °C, and rate, °C/h, and how far toward the next."""
    if not math.isfinite(temperature_c):
        return ConeAt(None, None, None, "not computed: no temperature was given")
    temperatures, cones = _ladder(rate_c_per_h, kind)
    if not cones:
        return ConeAt(None, None, None, "not computed: the chart has no cone at this rate")
    index = bisect_right(temperatures, temperature_c) - 1
    if index < 0:
        first = cones[0]
        why = f"not computed: cooler than cone {first.shown}, the coolest the chart has here"
        return ConeAt(None, first, None, why)
    if index + 1 == len(cones):
        last = cones[-1]
        over = temperature_c - temperatures[-1]
        if over <= 0:
            return ConeAt(last, None, 0.0)
        beyond = f"hotter than cone {last.shown}, the chart's hottest, by {over:.0f} °C"
        return ConeAt(last, None, None, beyond)
    low, high = temperatures[index], temperatures[index + 1]
    return ConeAt(cones[index], cones[index + 1], (temperature_c - low) / (high - low))
