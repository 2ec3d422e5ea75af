"""The cone a kiln log suggests: points of time and temperature in, a cone and its doubt out.

The heat work of the whole log counts, hold and cooling included (`heat_work`). A gap near the top
is reckoned both ways it can have gone, and widens the doubt; a gap across the peak leaves no cone.
A witness cone on the tile's own shelf outranks all of it. Never raises: without an answer there is
a reason.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from . import telling
from .cone import Cone
from .heat_work import HeatReached, reached
from .log_limits import limit
from .log_reader import KilnLog, parse_log, read_log
from .log_top import LAST_C, Point, Top, top_of, without_hold
from .profile import Profile
from .uncertainty import top as arrival_of

__all__ = [
    "KilnLog",
    "LogReading",
    "cone_by_log",
    "parse_log",
    "profile_of",
    "read_log",
    "reading_of",
]

TOLD_HOLD_MIN = 5.0
"""A hold shorter than this is not told: a kiln lingers so long at its turning point."""
GAP_MATTERS_C = 150.0
"""A gap this far below the peak, °C, changes no cone that can be seen."""


@dataclass(frozen=True, slots=True)
class LogReading:
    """What a log says. `cone` is the nearest cone, `between` the cones it lies between, `fraction`
    how far toward the hotter one, `uncertainty_cones` the half width of its 90 % range, `step` its
    place on the scale of `Cone.step`; temperatures °C, rate °C/h over the last 100 °C, hold in
    minutes within 3 °C of the peak, beyond those the way up takes, and what it is worth in cones.
    `reason` says why there is no cone; `notes` what was taken for granted."""

    cone: Cone | None
    between: tuple[Cone, Cone] | None
    fraction: float | None
    peak_c: float | None
    rate_c_per_h: float | None
    hold_min: float | None
    reason: str | None
    step: float | None = None
    uncertainty_cones: float | None = None
    hold_cones: float | None = None
    extrapolated: bool = False
    notes: tuple[str, ...] = ()


def profile_of(log: KilnLog) -> Profile | None:
    """The firing as temperature over time, gaps bridged by straight lines; None without readings.

    A log whose top is lost has no profile: what happened there is what counts.
    """
    if log.reason is not None or len(log.points) < 2:
        return None
    top = top_of(log.points)
    if isinstance(top, Top) and _lost_top(log, top) is not None:
        return None
    return _profile(log.points, log.notes)


def reading_of(log: KilnLog, *, weigh_hold: bool = True) -> LogReading:
    """Peak, final rate, hold and cone of a log; without `weigh_hold` a hold's worth is left out."""
    if log.reason is not None or len(log.points) < 2:
        return _nothing(log.reason or "the log holds fewer than two points", log)
    top = top_of(log.points)
    if isinstance(top, str):
        return _nothing(top, log)
    found = replace(_nothing("", log), peak_c=top.peak_c, rate_c_per_h=top.rate_c_per_h)
    lost = _lost_top(log, top)
    if lost is not None:
        return replace(found, reason=lost)
    profile = _profile(log.points, ())
    heat = reached(profile)
    hold = arrival_of(profile).held_min
    found = replace(found, hold_min=hold)
    if heat.cone is None or heat.step is None:
        return replace(found, reason=heat.reason or "no cone", notes=(*log.notes, *heat.notes))
    doubt, notes = _gap_doubt(log, top, heat)
    if top.ends_there:
        notes = (*notes, "the log ends at its hottest: it may have gone on")
    return replace(
        found,
        cone=heat.cone,
        between=heat.between,
        fraction=heat.fraction,
        reason=heat.reason,
        step=heat.step,
        uncertainty_cones=_added(heat.uncertainty_cones, doubt),
        hold_cones=_hold_worth(log, top, heat, hold) if weigh_hold else None,
        extrapolated=heat.extrapolated,
        notes=(*log.notes, *heat.notes, *notes),
    )


def cone_by_log(log: KilnLog) -> tuple[Cone | None, str]:
    """The cone a log suggests, and a note that says what it rests on or why there is none."""
    found = reading_of(log, weigh_hold=False)
    if found.cone is None:
        return None, f"log suggests no cone: {found.reason}"
    return found.cone, said(found)


def said(found: LogReading) -> str:
    """A reading in one sentence, the cone first. What was repaired stands in its notes."""
    assert found.cone is not None
    doubt = found.uncertainty_cones
    within = f", ± {telling.cones(doubt)}" if doubt is not None else ""
    told = (
        f"log suggests cone {telling.place(found.between, found.fraction, found.cone)}{within}: "
        f"{found.peak_c:.0f} °C, the last {LAST_C:.0f} °C at {found.rate_c_per_h:.0f} °C/h"
    )
    held = found.hold_min is not None and found.hold_min >= TOLD_HOLD_MIN
    return f"{told}, held {found.hold_min:.0f} min" if held else told


def _nothing(reason: str, log: KilnLog) -> LogReading:
    return LogReading(None, None, None, None, None, None, reason, notes=log.notes)


def _profile(points: tuple[Point, ...] | list[Point], notes: tuple[str, ...]) -> Profile:
    return Profile(tuple(h for h, _ in points), tuple(t for _, t in points), "log", notes)


def _lost_top(log: KilnLog, top: Top) -> str | None:
    """Why the peak itself is not known; None where the log shows it."""
    if log.lost_end and top.ends_there:
        return "the thermocouple failed at the top, so the peak is not known"
    for start, end in log.gaps:
        touches = start <= top.left + 1e-9 and end >= top.arrived - 1e-9
        if touches and (end - start) * 60 > limit("short_gap"):
            return f"a gap of {_minutes(end - start)} lies across the peak"
    return None


def _minutes(hours: float) -> str:
    return f"{hours * 60:.0f} min" if hours < 3 else f"{hours:.1f} h"


def _gap_doubt(log: KilnLog, top: Top, heat: HeatReached) -> tuple[float, tuple[str, ...]]:
    """How much the gaps near the top may change the cone, and what is said of all gaps.

    In a gap the kiln may have got to the far temperature at once, or only at its end: both are
    reckoned, and half of what they differ by is the doubt.
    """
    doubt, notes = 0.0, []
    for start, end in log.gaps:
        (before,), (after,) = (
            [t for hour, t in log.points if hour == side] for side in (start, end)
        )
        told = f"a gap of {_minutes(end - start)} from {before:.0f} to {after:.0f} °C"
        if max(before, after) < top.peak_c - GAP_MATTERS_C:
            notes.append(f"{told} is too far below the peak to matter")
            continue
        hair = (end - start) / 100
        ends = []
        for hour, t in ((start + hair, after), (end - hair, before)):
            points = sorted([*log.points, (hour, t)])
            step = reached(_profile(points, ())).step
            ends.append(heat.step if step is None else step)
        assert heat.step is not None
        half = max(abs((one or heat.step) - heat.step) for one in ends)
        doubt += half
        notes.append(f"{told} was bridged by a straight line")
    return doubt, tuple(notes)


def _added(uncertainty: float | None, doubt: float) -> float | None:
    return None if uncertainty is None else uncertainty + doubt


def _hold_worth(log: KilnLog, top: Top, heat: HeatReached, hold: float) -> float | None:
    """By how many cones the hold took the firing further, None where that is not computed."""
    if hold < TOLD_HOLD_MIN or heat.step is None:
        return None
    short = reached(_profile(without_hold(log.points, top), ())).step
    return None if short is None else max(0.0, heat.step - short)
