"""How sure a cone by heat work is: a firing and its place on the ladder in, ± cones out.

Four doubts, °C, each as a 90 % bound, added in squares: the thermocouple's tolerance; how far two
editions of the chart differ for one cone; holds and cooling at the top; a final rate outside the
chart's. The last two lean on the cones' empirical slopes, so they are as wrong as the slopes of
neighbouring cones differ. What a thermocouple loses with age, and how far a shelf is from it, is
not in: nobody knows it from a log.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING

from ..tables import rows
from .editions import NINETY, scatter_c
from .heat_sums import KIND, Place, cones, step_at
from .kinetics import curves
from .profile import Profile
from .temperatures import published

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

NEAR = 0.05
"""How much a rate taken from a log may be wrong, as a share. Our own convention."""
FALL_C = 30.0
"""The part of the way down, °C, that tells how fast the kiln left its peak."""


@dataclass(frozen=True, slots=True)
class Top:
    """How a firing arrives: peak, °C; rate over the last 100 °C, °C/h, None where the profile
    begins later; minutes within 3 °C of the peak beyond those the way up takes."""

    peak_c: float
    rate_c_per_h: float | None
    held_min: float


@dataclass(frozen=True, slots=True)
class Doubt:
    """± cones (90 %), whether anything is extrapolated, and what to say about it."""

    cones: float
    extrapolated: bool
    notes: tuple[str, ...]


@cache
def figure(name: str) -> float:
    """A figure of `data/heat-uncertainty.csv`."""
    return next(float(r["value"]) for r in rows("heat-uncertainty.csv") if r["name"] == name)


@cache
def slope_scatter() -> float:
    """How far the slopes of neighbouring cones differ: a share, 90 % bound.

    From the logarithms of the °C between the slowest and the fastest rate, a decade apart.
    """
    spans = [
        math.log(points[-1][1] - points[0][1])
        for cone in cones()
        if len(points := published(cone, KIND)) == 3
    ]
    jumps = [later - earlier for earlier, later in pairwise(spans)]
    # A jump holds the scatter of two cones.
    return NINETY * math.sqrt(sum(jump**2 for jump in jumps) / len(jumps) / 2)


def thermocouple_c(celsius: float) -> float:
    """The tolerance of a common thermocouple at a temperature, °C."""
    return max(figure("thermocouple least"), figure("thermocouple share") * celsius)


def top(profile: Profile) -> Top:
    """How the firing arrives at its peak."""
    import numpy as np

    hours = np.asarray(profile.hours, dtype=np.float64)
    celsius = np.asarray(profile.celsius, dtype=np.float64)
    peak, near = float(celsius.max()), figure("at the top")
    arrived = int(np.argmax(celsius >= peak - near))
    lower = np.flatnonzero(celsius[:arrived] <= peak - figure("last part"))
    held = _held(hours, celsius, peak - near) - _way_down(hours, celsius, peak - near)
    if not arrived or not len(lower):
        return Top(peak, None, held)
    start = _crossing(hours, celsius, int(lower[-1]), peak - figure("last part"))
    end = _crossing(hours, celsius, arrived - 1, peak - near)
    rate = (figure("last part") - near) / max(end - start, 1e-6)
    return Top(peak, rate, max(0.0, held - 60 * near / rate))


def _crossing(hours: Floats, celsius: Floats, index: int, level: float) -> float:
    """When the temperature went through a level, between one point and the next."""
    low, high = float(celsius[index]), float(celsius[index + 1])
    return float(hours[index] + (hours[index + 1] - hours[index]) * (level - low) / (high - low))


def _way_down(hours: Floats, celsius: Floats, level: float) -> float:
    """Minutes that cooling takes from the peak to a level, going by the 30 °C below it."""
    import numpy as np

    left = int(np.flatnonzero(celsius >= level)[-1])
    lower = np.flatnonzero(celsius[left:] <= level - FALL_C)
    if not len(lower):
        return 0.0
    start = _crossing(hours, celsius, left, level)
    end = _crossing(hours, celsius, left + int(lower[0]) - 1, level - FALL_C)
    return 60 * (float(celsius.max()) - level) / FALL_C * (end - start)


def _held(hours: Floats, celsius: Floats, level: float) -> float:
    """Minutes at or above a temperature."""
    import numpy as np

    low, high = np.minimum(celsius[:-1], celsius[1:]), np.maximum(celsius[:-1], celsius[1:])
    rise = np.where(high > low, high - low, 1.0)
    share = np.where(high > low, np.clip((high - level) / rise, 0, 1), high >= level)
    return float(60 * (np.diff(hours) @ share))


def doubt_of(profile: Profile, place: Place, climb: Place) -> Doubt:
    """The doubt about where a firing stands on the ladder. `climb`: where it stood at its peak."""
    if place.celsius is None:
        return Doubt(0.0, False, ())
    arrival = top(profile)
    parts = [thermocouple_c(place.celsius), scatter_c()]
    notes = []
    if climb.celsius is not None:
        parts.append(slope_scatter() * (place.celsius - climb.celsius))
    if arrival.held_min >= figure("hold from"):
        notes.append(
            f"extrapolated: the chart knows no holds, and {arrival.held_min:.0f} min were held"
        )
    outside = _outside_c(arrival.rate_c_per_h, place)
    if outside is None:
        notes.append("extrapolated: the log begins too near its peak to tell the rate")
    elif outside:
        parts.append(slope_scatter() * outside)
        notes.append(
            f"extrapolated: the last 100 °C took {arrival.rate_c_per_h:.0f} °C/h, "
            "and the chart covers 15 to 150"
        )
    total = math.sqrt(sum(part**2 for part in parts))
    wide = (step_at(place.celsius + total) - step_at(place.celsius - total)) / 2
    if arrival.held_min > figure("long hold from"):
        wide = math.hypot(wide, figure("long hold"))
        notes.append("after so long a hold neighbouring cones come down in no sure order")
    return Doubt(wide, bool(notes), tuple(notes))


def _outside_c(rate: float | None, place: Place) -> float | None:
    """How far, °C, the end temperature moves between the chart's nearest rate and this one."""
    if rate is None:
        return None
    cone = place.cone or place.next
    if cone is None:
        return 0.0
    points = published(cone, KIND)
    edge = min(max(rate, points[0][0] * (1 - NEAR)), points[-1][0] * (1 + NEAR))
    curve = curves(KIND)[cone]
    return abs(curve.temperature_for(rate) - curve.temperature_for(edge))
