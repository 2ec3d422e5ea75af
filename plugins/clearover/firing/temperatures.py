"""Cones and temperatures: a cone and a heating rate in, degrees Celsius out, and back.

The figures are the 2016 Orton chart's (`data/cones.csv`, each row with its source and whether it
was read or is from memory). A temperature means nothing without its rate and its chart: 1222 °C is
cone 6 at 60 °C/h, and in an older chart it was cone 6 at 150 °C/h (`editions`). The rate is that of
the last 100 °C.

Between published rates the temperature lies on the cone's own curve (`kinetics`), which goes
through every published figure and is the same that heat work is summed with. A quarter past the
chart's ends the curve is drawn on and called extrapolated; further out nothing is computed.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass
from functools import cache, lru_cache

from ..tables import rows
from .cone import Cone, parse_cone
from .kinetics import curves

KINDS = ("self_supporting", "large", "small", "self_supporting_iron_free", "large_iron_free")
EDITION = "2016"
BEYOND = 1.25
"""How far past the chart's rates a temperature is still given, as a ratio: 12 to 188 °C/h. Our own
convention; from 11 °C/h down the curves of cones 2 and 3 would cross."""


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

    The published figure itself at a published rate, the cone's curve between and a little beyond
    (`extrapolated` tells which). None further out: `why_not` gives the reason.
    """
    if why_not(cone, rate_c_per_h, kind) is not None:
        return None
    for rate, temperature in _chart(kind)[cone]:
        if rate == rate_c_per_h:
            return temperature
    return curves(kind)[cone].temperature_for(rate_c_per_h)


def published(cone: Cone, kind: str = "self_supporting") -> tuple[tuple[float, float], ...]:
    """What the chart gives for a cone: (rate °C/h, end temperature °C), slowest first."""
    return _chart(kind).get(cone, ())


def known_of(cone: Cone, rate_c_per_h: float, kind: str = "self_supporting") -> str | None:
    """How a published figure is known: `seen` or `memory`; None where there is none."""
    for row in rows("cones.csv"):
        here = row["kind"] == kind and float(row["rate_c_per_h"]) == rate_c_per_h
        if here and parse_cone(row["cone"]) == cone:
            return row["known"]
    return None


def charted(kind: str = "self_supporting") -> tuple[Cone, ...]:
    """Every cone of a kind that the chart has, from cool to hot."""
    return tuple(_chart(kind))


def extrapolated(cone: Cone, rate_c_per_h: float, kind: str = "self_supporting") -> bool:
    """Whether a rate lies outside those the chart gives for this cone."""
    points = published(cone, kind)
    return bool(points) and not points[0][0] <= rate_c_per_h <= points[-1][0]


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
    if slow == fast and rate_c_per_h != slow:
        return f"not computed: the chart gives cone {cone.shown} at {slow:g} °C/h only"
    if not slow / BEYOND <= rate_c_per_h <= fast * BEYOND:
        return (
            f"not computed: the chart gives cone {cone.shown} at {slow:g} to {fast:g} °C/h only, "
            f"and its curve is drawn on no further than {slow / BEYOND:.0f} to {fast * BEYOND:.0f}"
        )
    return None


def fahrenheit(celsius: float) -> float:
    """°F of a temperature in °C."""
    return celsius * 9 / 5 + 32


def celsius(fahrenheit: float) -> float:
    """°C of a temperature in °F."""
    return (fahrenheit - 32) * 5 / 9


@lru_cache(maxsize=256)
def _ladder(rate_c_per_h: float, kind: str) -> tuple[tuple[float, ...], tuple[Cone, ...]]:
    steps = []
    for cone in _chart(kind):
        temperature = cone_temperature(cone, rate_c_per_h, kind)
        if temperature is not None:
            steps.append((temperature, cone))
    steps.sort()
    return tuple(t for t, _ in steps), tuple(c for _, c in steps)


def _no_ladder(rate: float, kind: str) -> str:
    """Why no cone of a kind has a temperature at this rate."""
    rates = {rate for points in _chart(kind).values() for rate, _ in points}
    if not rates:
        return f"not computed: there are no figures for “{kind}” cones"
    span = f"{min(rates):g}" + (f" to {max(rates):g}" if len(rates) > 1 else "")
    return f"not computed: the chart covers {span} °C/h, and {rate:g} is too far outside"


def cone_at(
    temperature_c: float, rate_c_per_h: float = 60, kind: str = "self_supporting"
) -> ConeAt:
    """The last cone reached at a temperature, °C, and rate, °C/h, and how far toward the next."""
    if not math.isfinite(temperature_c):
        return ConeAt(None, None, None, "not computed: no temperature was given")
    temperatures, cones = _ladder(rate_c_per_h, kind)
    if not cones:
        return ConeAt(None, None, None, _no_ladder(rate_c_per_h, kind))
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
