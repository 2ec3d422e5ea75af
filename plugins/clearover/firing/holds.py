"""What a hold is worth: a cone and minutes in, cones out, and back.

Reckoned for an even climb to the cone's own temperature, where it is just down, and a hold there
(`heat_sums`). The chart knows no holds, so every value here is extrapolated; its band is as wide as
the slopes of neighbouring cones differ. Knows no firing and no record.
"""

from __future__ import annotations

import math
from functools import lru_cache

from ..glass.results import Estimate, not_computed
from .cone import Cone
from .heat_sums import KIND, place_of, sums
from .schedule import LONGEST_HOLD_MIN
from .temperatures import cone_temperature, why_not
from .uncertainty import slope_scatter

MODEL = "heat work of a hold, extrapolated"
SOURCE = (
    "Fitted to Edward Orton Jr. Ceramic Foundation, 2016, “Temperature Equivalents for Orton "
    "Pyrometric Cones (°C)”; the chart knows no holds"
)


@lru_cache(maxsize=512)
def hold_in_cones(cone: Cone, minutes: float, rate_c_per_h: float = 60) -> Estimate:
    """How many cones a hold of some minutes adds at the cone's temperature for this rate."""
    why = _why_no(cone, rate_c_per_h)
    if why is None and not 0 <= minutes <= LONGEST_HOLD_MIN:
        why = f"a hold is 0 to {LONGEST_HOLD_MIN:g} minutes"
    if why is not None:
        return not_computed(why)
    step = _step(cone, minutes, rate_c_per_h)
    if step is None:
        return not_computed("such a hold goes past the chart's hottest cone")
    return _estimate(step - cone.step)


@lru_cache(maxsize=512)
def minutes_for(cone: Cone, cones: float, rate_c_per_h: float = 60) -> Estimate:
    """How many minutes of hold at the cone's temperature add this many cones."""
    why = _why_no(cone, rate_c_per_h)
    if why is None and not 0 <= cones <= MOST_CONES:
        why = f"only 0 to {MOST_CONES:g} cones are reckoned for a hold"
    if why is not None:
        return not_computed(why)
    most = _step(cone, LONGEST_HOLD_MIN, rate_c_per_h)
    whole = cone.step + cones
    if most is not None and most < whole:
        return not_computed("no hold that anybody makes would do it")
    low, high = 0.0, LONGEST_HOLD_MIN
    for _ in range(40):
        middle = (low + high) / 2
        step = _step(cone, middle, rate_c_per_h)
        low, high = (low, middle) if step is None or step >= whole else (middle, high)
    if _step(cone, low, rate_c_per_h) is None:
        return not_computed("that goes past the chart's hottest cone")
    return _estimate((low + high) / 2)


MOST_CONES = 3.0
"""More is no hold but another firing. Our own convention."""


def _why_no(cone: Cone, rate: float) -> str | None:
    why = why_not(cone, rate, KIND)
    return None if why is None else why.removeprefix("not computed: ")


def _step(cone: Cone, minutes: float, rate: float) -> float | None:
    """The step after a climb and a hold; None past the hottest cone."""
    end = cone_temperature(cone, rate, KIND)
    assert end is not None
    hours, celsius = [0.0, end / rate], [0.0, end]
    if minutes > 0:
        hours.append(hours[-1] + minutes / 60)
        celsius.append(end)
    place = place_of(sums(hours, celsius)[0])
    return place.step if place.next is not None else None


def _estimate(value: float) -> Estimate:
    share = slope_scatter()
    return Estimate(value, value * (1 - share), value * (1 + share), MODEL, SOURCE)


def words_for(cones: float) -> str:
    """A number of cones for people: `half a cone`, `about 0.8 of a cone`, `1.4 cones`."""
    for amount, words in ((0.25, "a quarter of a cone"), (0.5, "half a cone"), (1.0, "one cone")):
        if math.isclose(cones, amount, abs_tol=0.05):
            return f"about {words}"
    return f"about {cones:.1f} of a cone" if cones < 1 else f"about {cones:.1f} cones"
