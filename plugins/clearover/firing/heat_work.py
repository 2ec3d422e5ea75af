"""Heat work: a firing as temperature over time in, the cone it brought down out, and how sure.

The sums are `heat_sums`', their doubt is `uncertainty`'s; here they become one answer. In: a
`Profile`. Knows no log file, no record and no witness cone (which outranks all of this).
"""

from __future__ import annotations

from dataclasses import dataclass

from .cone import Cone
from .heat_sums import place_of, sums
from .profile import Profile
from .uncertainty import doubt_of


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

    Times must rise; points that are no number are the reader's to leave out.
    """
    if len(profile.hours) < 2:
        return _nothing("the firing has fewer than two points", profile.notes)
    place, climb = (place_of(one) for one in sums(profile.hours, profile.celsius))
    if place.cone is None or place.celsius is None:
        coolest = place.next.shown if place.next else "any"
        why = f"it brings down no cone, not even {coolest}, the coolest of the chart"
        return _nothing(why, profile.notes)
    doubt = doubt_of(profile, place, climb)
    notes = (*profile.notes, *doubt.notes)
    if place.next is None:
        over = f"hotter than cone {place.cone.shown}, the chart's hottest"
        return HeatReached(
            place.step, place.cone, None, None, doubt.cones, doubt.extrapolated, notes, over
        )
    fraction = place.fraction or 0.0
    return HeatReached(
        step=place.step,
        cone=place.next if fraction >= 0.5 else place.cone,
        between=(place.cone, place.next) if fraction > 0 else None,
        fraction=fraction,
        uncertainty_cones=doubt.cones,
        extrapolated=doubt.extrapolated,
        notes=notes,
    )


def _nothing(why: str, notes: tuple[str, ...]) -> HeatReached:
    return HeatReached(None, None, None, None, None, False, notes, f"not computed: {why}")
