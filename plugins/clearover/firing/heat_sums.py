"""The heat work each cone gathers in a firing: times and temperatures in, one sum a cone out.

A cone is down when its sum ∫ k(T) dt reaches 1 (`kinetics`). Temperature is a straight line in time
between two points of a profile, so a piece brings Δt · (K(T2) - K(T1)) / (T2 - T1), exactly; a hold
brings k · Δt. Heating, hold and cooling all count.

For people the sums are told as a place on the ladder of cones and as a temperature: where an even
60 °C/h would have to end to bring as much. Hotter, slower or longer is never a lower place: every k
is positive and never falls with temperature, a cone counts only once all cooler ones are down, and
the fraction grows with the sums of both its neighbours.

Knows no log, no record, no witness cone, and not how sure any of it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from .cone import Cone
from .kinetics import KELVIN, Curve, Piece, curves

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

KIND = "self_supporting"
REFERENCE = 60.0
"""°C/h: the rate whose end temperatures heat work is told in."""
COOLEST_C, HOTTEST_C = 400.0, 2000.0
"""Colder brings no cone anything: cone 022 is 186 °C away. Hotter counts as this hot."""
WINDOW_C = 70.0
"""Only cones this near the peak are summed, °C, unless that turns out to be too few."""
HELD_C = 0.01
"""A piece that changes by less than this, °C, is a hold."""
JUST_C = 1e-6
"""A cone this little past its mark, °C, is just down."""
DOWN = 1 - 1e-6
"""The sum at which a cone is down, less what rounding can take."""


@dataclass(frozen=True, slots=True)
class Place:
    """A place on the ladder of cones.

    `cone` is the last cone down, `next` the one above it, `fraction` how far toward it (by
    temperature), `step` both on `Cone.step`'s scale. `celsius` is where an even 60 °C/h would end
    for as much heat work. Past the hottest cone there is no `next` and no fraction; below the
    coolest no `cone`, no step and no temperature.
    """

    step: float | None
    cone: Cone | None
    next: Cone | None
    fraction: float | None
    celsius: float | None


@dataclass(frozen=True, slots=True, eq=False)
class _Ladder:
    """All cones' curves as arrays, one row a cone, one column a piece."""

    cones: tuple[Cone, ...]
    curves: tuple[Curve, ...]
    marks: tuple[float, ...]
    """End temperatures at 60 °C/h, °C."""
    joints: Floats
    anchor: Floats
    heat: Floats
    scale: Floats
    slope: Floats


@cache
def _ladder() -> _Ladder:
    import numpy as np

    found = curves(KIND)
    longest = max(len(curve.pieces) for curve in found.values())
    padded = [_padded(curve.pieces, longest) for curve in found.values()]

    def column(of: str) -> Floats:
        return np.array([[getattr(p, of) for p in pieces] for pieces in padded], dtype=np.float64)

    anchor, slope = column("anchor_c") + KELVIN, column("slope")
    joints = anchor[:, 1:].copy()
    for row, curve in enumerate(found.values()):
        joints[row, len(curve.pieces) - 1 :] = np.inf
    return _Ladder(
        cones=tuple(found),
        curves=tuple(found.values()),
        marks=tuple(curve.temperature_for(REFERENCE) for curve in found.values()),
        joints=joints,
        anchor=anchor,
        heat=column("heat"),
        scale=column("gain") / (2 * anchor + slope),
        slope=slope,
    )


def _padded(pieces: tuple[Piece, ...], length: int) -> tuple[Piece, ...]:
    return pieces + (pieces[-1],) * (length - len(pieces))


def cones() -> tuple[Cone, ...]:
    """The cones that heat work is summed for, from cool to hot."""
    return _ladder().cones


def sums(
    hours: Sequence[float], celsius: Sequence[float], until: int | None = None
) -> tuple[Floats, Floats]:
    """∫ k dt of every cone of `cones()`: to the end, and to the point `until` (else to the peak).

    Times in hours, rising; temperatures in °C. Cones far below the peak that are surely down stand
    as infinite, cones far above it that surely stand as 0.
    """
    import numpy as np

    spans = np.diff(np.asarray(hours, dtype=np.float64))
    points = np.asarray(celsius, dtype=np.float64)
    until = int(points.argmax()) if until is None else until
    marks = np.asarray(_ladder().marks)
    low, high = np.searchsorted(marks, points.max() + np.array([-WINDOW_C, WINDOW_C]))
    low, high = max(int(low) - 1, 0), min(int(high) + 1, len(marks))
    found = _pieces(points, spans, slice(low, high))
    whole, climb = found.sum(axis=1), found[:, :until].sum(axis=1)
    surely = (low == 0 or climb[0] >= DOWN) and (high == len(marks) or whole[-1] < DOWN)
    if not surely:
        # A leap too fast for the cones below it, or a hold of days.
        found = _pieces(points, spans, slice(None))
        return found.sum(axis=1), found[:, :until].sum(axis=1)
    both = np.zeros((2, len(marks)))
    both[:, :low] = np.inf
    both[:, low:high] = whole, climb
    return both[0], both[1]


def _pieces(points: Floats, spans: Floats, rows: slice) -> Floats:
    """What each piece of the firing (columns) brings each of some cones (rows)."""
    import numpy as np

    heat, gain = _heat_and_gain(np.clip(points, COOLEST_C, HOTTEST_C) + KELVIN, rows)
    gain = np.where(points > COOLEST_C, gain, 0.0)
    rise = np.diff(points)
    held = np.abs(rise) < HELD_C
    per_hour = np.diff(heat, axis=1) / np.where(held, 1.0, rise)
    per_hour[:, held] = ((gain[:, 1:] + gain[:, :-1]) / 2)[:, held]
    return np.asarray(per_hour * spans)


def _heat_and_gain(kelvin: Floats, rows: slice) -> tuple[Floats, Floats]:
    """K and k of some cones (rows) at every temperature (columns), as `kinetics.Piece` has them."""
    import numpy as np

    ladder = _ladder()
    joints = ladder.joints[rows]
    row = np.arange(len(ladder.cones))[rows, None]
    piece = sum(kelvin >= joints[:, one, None] for one in range(joints.shape[1]))
    anchor, slope, scale = (of[row, piece] for of in (ladder.anchor, ladder.slope, ladder.scale))
    lifted = scale * np.exp(slope * (1 / anchor - 1 / kelvin))
    offset = ladder.heat[row, piece] - scale * anchor**2
    return offset + kelvin**2 * lifted, (2 * kelvin + slope) * lifted


def place_of(gathered: Floats) -> Place:
    """Where on the ladder the sums of all cones stand."""
    import numpy as np

    ladder = _ladder()
    standing = gathered < DOWN
    last = (int(np.argmax(standing)) if standing.any() else len(ladder.cones)) - 1
    if last < 0:
        return Place(None, None, ladder.cones[0], None, None)
    cone, mark = ladder.cones[last], ladder.marks[last]
    over = _as_celsius(last, gathered) - mark
    over = over if over > JUST_C else 0.0
    if last + 1 == len(ladder.cones):
        return Place(cone.step, cone, None, None if over else 0.0, mark + over)
    after, top = ladder.cones[last + 1], ladder.marks[last + 1]
    short = top - _as_celsius(last + 1, gathered)
    fraction = over / (over + short)
    step = cone.step + fraction * (after.step - cone.step)
    return Place(step, cone, after, fraction, mark + fraction * (top - mark))


def _as_celsius(index: int, gathered: Floats) -> float:
    """Where an even 60 °C/h would end that brings this cone as much."""
    return _ladder().curves[index].temperature_for(REFERENCE * float(gathered[index]))


def step_at(celsius: float) -> float:
    """The step, with its fraction, that an even 60 °C/h to this temperature reaches.

    Past both ends of the ladder its last two cones' distance goes on.
    """
    from bisect import bisect_right

    ladder = _ladder()
    index = min(max(bisect_right(ladder.marks, celsius) - 1, 0), len(ladder.marks) - 2)
    low, high = ladder.marks[index], ladder.marks[index + 1]
    steps = ladder.cones[index].step, ladder.cones[index + 1].step
    return steps[0] + (celsius - low) / (high - low) * (steps[1] - steps[0])


def celsius_at(step: float) -> float:
    """The reverse of `step_at`: where an even 60 °C/h ends for a step, °C."""
    from bisect import bisect_right

    ladder = _ladder()
    steps = [cone.step for cone in ladder.cones]
    index = min(max(bisect_right(steps, step) - 1, 0), len(steps) - 2)
    low, high = ladder.marks[index], ladder.marks[index + 1]
    return low + (step - steps[index]) / (steps[index + 1] - steps[index]) * (high - low)
