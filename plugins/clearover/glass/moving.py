"""What moves on one wall in one firing: flow, density, thickness and tilt in, mm and a word out.

Two lengths, named apart: `surface_run`, how far the surface of the clear runs down a wall, and
`line_drag`, how far the top of a line at that wall is carried. `film` derives both, `flow` sums the
firing. With them comes a word: still, soft, moving or running (`data/movement-words.csv`).

**Range.** Every input has a 90 % range. Each is put at its low and its high end alone, the ratio
this makes is taken as a logarithm, and the logarithms of all inputs are added as squares, those
below and those above the value apart: log low = log value - √Σ d². The value is the median.
Inputs: thickness, viscosity, temperature, tilt, density; for the drag also the line's height and
its stiffness. A test checks this against 20,000 firings drawn at random.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

from . import film
from .flow import Flow
from .movement_data import ladder, number, step_of, values
from .results import Estimate, not_computed

MODEL = "film flow on a wall, summed over the firing"
SOURCE = (
    "W. Nusselt, 1916, “Die Oberflächenkondensation des Wasserdampfes”, Zeitschrift des Vereines "
    "Deutscher Ingenieure 60, 541 (from memory); the form for a line at the wall is derived here"
)
CRYSTALS = "a film model does not hold for a glaze with crystals in it"
FLAT = "it lay flat: nothing pulls along a level wall, however fluid the clear is"
NOT_MELTED = "at this heat the clear has hardly melted"


@dataclass(frozen=True, slots=True)
class Wall:
    """What lies where: fired thickness of the clear and height of the line, mm; `tilt` a word of
    the record (upright, leaning, flat)."""

    thickness: Estimate
    line: Estimate
    tilt: str = "upright"


@dataclass(frozen=True, slots=True)
class Movement:
    """How far a clear moves. Lengths in mm, temperature in °C.

    `word` covers the whole range (`soft`, or `soft to moving`), `likely` is the word for the value
    alone. `fluid` is True where the clear surely moves or runs, False where it surely is still or
    soft, None where that is open. `reason` says why nothing was computed; `notes` what was taken
    for granted. `log10_pa_s` is the viscosity at the peak, `minutes_at_peak` how long at the peak
    alone would come to the whole firing's flow.
    """

    surface_run: Estimate
    line_drag: Estimate
    word: str | None = None
    likely: str | None = None
    fluid: bool | None = None
    reason: str | None = None
    wall: Wall | None = None
    peak_c: float | None = None
    log10_pa_s: float | None = None
    minutes_at_peak: float | None = None
    notes: tuple[str, ...] = ()


def nothing(why: str, notes: tuple[str, ...] = ()) -> Movement:
    """No movement computed, and why."""
    missing = not_computed(why)
    return Movement(missing, missing, reason=missing.reason, notes=notes)


def moved(
    flow: Flow,
    density: Estimate,
    wall: Wall,
    peak_c: float,
    notes: tuple[str, ...] = (),
) -> Movement:
    """The movement on one wall in one firing. `density` of the melt in kg/m³."""
    thickness = wall.thickness
    if thickness.value is None:
        return nothing((thickness.reason or "").removeprefix("not computed: "), notes)
    if wall.tilt == "flat" or thickness.value == 0:
        why = FLAT if wall.tilt == "flat" else "there is no clear on it"
        return _unmoved(flow, wall, peak_c, (*notes, why))
    inputs = _inputs(flow, density, wall)
    run = _estimate(_run, inputs)
    drag = _estimate(_drag, inputs)
    # No line is dragged farther than the surface runs: so neither are the ends of its range.
    drag = Estimate(
        drag.value, _least(drag.low, run.low), _least(drag.high, run.high), MODEL, SOURCE
    )
    lowest, middle, highest = (
        step_of(_mm(a), _mm(b))
        for a, b in ((run.low, drag.low), (run.value, drag.value), (run.high, drag.high))
    )
    said = [one.word for one in ladder()]
    if flow.log10_at_peak > number("shown", "stiffest"):
        notes = (*notes, NOT_MELTED)
    return Movement(
        surface_run=run,
        line_drag=drag,
        word=said[lowest] if lowest == highest else f"{said[lowest]} to {said[highest]}",
        likely=said[middle],
        fluid=True if lowest >= MOVING else False if highest < MOVING else None,
        wall=wall,
        peak_c=peak_c,
        log10_pa_s=flow.log10_at_peak,
        minutes_at_peak=flow.minutes_at_peak,
        notes=notes,
    )


MOVING = 2
"""The place of `moving` on the ladder of words."""


def _unmoved(flow: Flow, wall: Wall, peak_c: float, notes: tuple[str, ...]) -> Movement:
    nought = Estimate(0.0, 0.0, 0.0, MODEL, SOURCE)
    return Movement(
        nought,
        nought,
        word=ladder()[0].word,
        likely=ladder()[0].word,
        wall=wall,
        peak_c=peak_c,
        log10_pa_s=flow.log10_at_peak,
        minutes_at_peak=flow.minutes_at_peak,
        notes=notes,
    )


class Inputs(NamedTuple):
    """Everything a length follows from, SI: `pull` as the sine of the slope."""

    thickness: float
    line: float
    stiffness: float
    density: float
    sine: float
    flow: float
    """∫ dt/η, 1/Pa."""


def _run(one: Inputs) -> float:
    return 1000 * film.surface_run(one.thickness, _pull(one), one.flow)


def _drag(one: Inputs) -> float:
    pull = _pull(one)
    return 1000 * film.line_drag(one.thickness, one.line, one.stiffness, pull, one.flow)


def _pull(one: Inputs) -> float:
    return film.weight_along(one.density, 90) * one.sine


Doubt = tuple[str, float, float]
"""An input's name and the ends of its 90 % range; `flow` may come twice."""


def _inputs(flow: Flow, density: Estimate, wall: Wall) -> tuple[Inputs, list[Doubt]]:
    tilt, share = values("tilt")[wall.tilt], values("line")["solid share"]
    jam = number("line", "jammed share")
    sines = [math.sin(math.radians(angle)) for angle in (tilt.value, tilt.low, tilt.high)]
    stiff = [film.stiffness_of(part, jam) for part in (share.value, share.low, share.high)]
    thick, line = (
        [_mm(v) / 1000 for v in (e.value, e.low, e.high)] for e in (wall.thickness, wall.line)
    )
    heavy = [_mm(v) for v in (density.value, density.low, density.high)]
    band = 10**flow.half_band
    middle = Inputs(thick[0], line[0], stiff[0], heavy[0], sines[0], flow.value)
    return middle, [
        ("thickness", thick[1], thick[2]),
        ("line", line[1], line[2]),
        ("stiffness", stiff[1], stiff[2]),
        ("density", heavy[1], heavy[2]),
        ("sine", sines[1], sines[2]),
        ("flow", flow.value / band, flow.value * band),
        ("flow", flow.cooler, flow.hotter),
    ]


def _estimate(length: Callable[[Inputs], float], inputs: tuple[Inputs, list[Doubt]]) -> Estimate:
    """A length, mm, with its 90 % range, by the rule above."""
    middle, doubts = inputs
    value = length(middle)
    if value <= 0:
        return Estimate(0.0, 0.0, 0.0, MODEL, SOURCE)
    down = up = 0.0
    for name, *ends in doubts:
        logs = [_log_ratio(length(middle._replace(**{name: end})), value) for end in ends]
        down += min(0.0, *logs) ** 2
        up += max(0.0, *logs) ** 2
    return Estimate(
        value, value * 10 ** -math.sqrt(down), value * 10 ** math.sqrt(up), MODEL, SOURCE
    )


def _log_ratio(one: float, other: float) -> float:
    return math.log10(one / other) if one > 0 else -6.0


def _mm(value: float | None) -> float:
    return 0.0 if value is None else value


def _least(one: float | None, other: float | None) -> float:
    return min(_mm(one), _mm(other))
