"""Heat work: a firing as temperature over time in, the cone it brought down out, and how sure.

The sums are `heat_sums`', their doubt is `uncertainty`'s; here they become one answer. In: a
`Profile`. Knows no log file, no record and no witness cone (which outranks all of this).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from .cone import Cone
from .heat_sums import place_of, sums
from .profile import Profile
from .uncertainty import doubt_of

LONGEST_H = 366 * 24.0
"""A firing that lasts longer is a broken clock."""
HALF = 0.5 - 1e-9
"""Half way, less what rounding can take: from here the next cone is the nearest."""


@dataclass(frozen=True, slots=True)
class HeatReached:
    """How far a firing came. `step` is on `Cone.step`'s scale, with a fraction; `cone` the nearest
    charted cone; `between` the last cone down and the next, `fraction` how far toward the next.

    `uncertainty_cones` bounds 90 %, either way. `extrapolated` where a hold or a rate outside the
    chart's has a part in it; `notes` say which. `reason` says why there is no step or no fraction.
    """

    step: float | None
    cone: Cone | None
    between: tuple[Cone, Cone] | None
    fraction: float | None
    uncertainty_cones: float | None
    extrapolated: bool
    notes: tuple[str, ...] = ()
    reason: str | None = None


def reached(profile: Profile) -> HeatReached:
    """The cone that a firing brought down, by its heat work; never raises.

    Times that fall back, points that are no number or a firing of a year have a reason and no cone.
    """
    why = _why_no(profile)
    if why is not None:
        return _nothing(why, profile.notes)
    place, climb = (place_of(one) for one in sums(profile.hours, profile.celsius))
    if place.cone is None or place.celsius is None:
        coolest = place.next.shown if place.next else "any"
        why = f"it brings down no cone, not even {coolest}, the coolest of the chart"
        return _nothing(why, profile.notes)
    doubt = doubt_of(profile, place, climb)
    cone, between, reason = place.cone, None, None
    if place.fraction is None:
        reason = f"hotter than cone {cone.shown}, the chart's hottest"
    elif place.next is not None and place.fraction > 0:
        between = (place.cone, place.next)
        cone = place.next if place.fraction >= HALF else place.cone
    return HeatReached(
        step=place.step,
        cone=cone,
        between=between,
        fraction=place.fraction,
        uncertainty_cones=doubt.cones,
        extrapolated=doubt.extrapolated,
        notes=(*profile.notes, *doubt.notes),
        reason=reason,
    )


def _why_no(profile: Profile) -> str | None:
    """What is wrong with a profile, so that nothing can be summed over it."""
    hours, celsius = profile.hours, profile.celsius
    if min(len(hours), len(celsius)) < 2:
        return "the firing has fewer than two points"
    if len(hours) != len(celsius):
        return "the firing has not as many times as temperatures"
    if not all(map(math.isfinite, (*hours, *celsius))):
        return "the firing holds what is no number"
    if any(later < earlier for earlier, later in pairwise(hours)):
        return "time runs backwards in the firing"
    if hours[-1] - hours[0] > LONGEST_H:
        return "the firing lasts longer than a year"
    return None


def _nothing(why: str, notes: tuple[str, ...]) -> HeatReached:
    return HeatReached(None, None, None, None, None, False, notes, f"not computed: {why}")
