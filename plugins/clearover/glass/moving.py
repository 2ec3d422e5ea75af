"""What moves on one wall in one firing: flow, density, thickness and tilt in, mm and a word out.

Two lengths, named apart: `surface_run`, how far the surface of the clear runs down a wall, and
`line_drag`, how far the top of a line at that wall is carried. `film` derives both, `flow` sums the
firing. With them comes a word: still, soft, moving or running (`data/movement-words.csv`).

**Range.** Both lengths are products. Every factor has a 90 % range, and their logarithms add as
squares (`doubt`); the value is the median. Factors: what the thickness makes of it (put at its low
and its high end alone), viscosity, temperature, tilt, density, what is not dissolved; for the drag
also the line's height and its stiffness. A test checks this against 20,000 firings drawn at random.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from . import doubt, film
from .doubt import Factor, factor, product
from .flow import Flow
from .movement_data import Value, ladder, number, step_of, values
from .results import Estimate, not_computed

MODEL = "film flow on a wall, summed over the firing"
SOURCE = (
    "W. Nusselt, 1916, “Die Oberflächenkondensation des Wasserdampfes”, Zeitschrift des Vereines "
    "Deutscher Ingenieure 60, 541 (from memory); the form for a line at the wall is derived here"
)
CRYSTALS = "a film model does not hold for a glaze with crystals in it"
FLAT = "it lay flat: nothing pulls along a level wall, however fluid the clear is"
NO_CLEAR = "there is no clear on it"
NOT_MELTED = "at this heat the clear has hardly melted"

MOVING = 2
"""The place of `moving` on the ladder of words."""


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
    if thickness.value is None or wall.line.value is None:
        return nothing((thickness.reason or "").removeprefix("not computed: "), notes)
    if wall.tilt == "flat" or thickness.value == 0 or flow.value <= 0:
        why = FLAT if wall.tilt == "flat" else NO_CLEAR if thickness.value == 0 else NOT_MELTED
        return _told((0.0, 0.0, 0.0), (0.0, 0.0, 0.0), flow, wall, peak_c, (*notes, why))
    of_run, of_drag = _geometry(wall)
    fire = _fire(flow), doubt.of(density)
    run, drag = doubt.ends(product(of_run, *fire)), doubt.ends(product(of_drag, *fire))
    # No line is dragged farther than the surface runs: so neither are the ends of its range.
    drag = (drag[0], min(drag[1], run[1]), min(drag[2], run[2]))
    if flow.log10_at_peak > number("shown", "stiffest"):
        notes = (*notes, NOT_MELTED)
    return _told(run, drag, flow, wall, peak_c, notes)


Length = tuple[float, float, float]
"""Value, low and high, mm."""


def _told(
    run: Length, drag: Length, flow: Flow, wall: Wall, peak_c: float, notes: tuple[str, ...]
) -> Movement:
    """The lengths with the words for them."""
    middle, lowest, highest = (step_of(*pair) for pair in zip(run, drag, strict=True))
    said = [one.word for one in ladder()]
    # A piece that lay flat says nothing of the clear on it.
    open_question = run[2] == 0 or lowest < MOVING <= highest
    return Movement(
        surface_run=Estimate(*run, MODEL, SOURCE),
        line_drag=Estimate(*drag, MODEL, SOURCE),
        word=said[lowest] if lowest == highest else f"{said[lowest]} to {said[highest]}",
        likely=said[middle],
        fluid=None if open_question else lowest >= MOVING,
        wall=wall,
        peak_c=peak_c,
        log10_pa_s=flow.log10_at_peak,
        minutes_at_peak=flow.minutes_at_peak,
        notes=notes,
    )


@lru_cache(maxsize=4096)
def _geometry(wall: Wall) -> tuple[Factor, Factor]:
    """What the wall alone makes of run and of drag, mm: to be multiplied by density and flow."""
    thick, line = (_metres(one) for one in (wall.thickness, wall.line))
    pull = film.weight_along(1.0, 90)
    jam = number("line", "jammed share")

    def thinner(part: float) -> float:
        return 1 / film.stiffness_of(part, jam)

    slope = _ranged(values("tilt")[wall.tilt], lambda angle: math.sin(math.radians(angle)))
    melt = _ranged(values("melt")["undissolved share"], thinner)
    stiff = _ranged(values("line")["solid share"], thinner)
    run = factor(*(1000 * film.surface_run(h, pull, 1) for h in thick))
    drag = factor(*(1000 * film.line_drag(thick[0], h, 1, pull, 1) for h in line))
    by_film = factor(*(film.line_drag(h, line[0], 1, pull, 1) for h in thick))
    return (
        product(run, slope, melt),
        product(drag, by_film._replace(log10=0.0), stiff, slope, melt),
    )


def _fire(flow: Flow) -> Factor:
    """∫ dt/η, 1/Pa, with the range of the viscosity and that of the temperatures."""
    band = 10**flow.half_band
    by_heat = factor(flow.value, flow.cooler, flow.hotter)
    return product(
        factor(flow.value, flow.value / band, flow.value * band), by_heat._replace(log10=0.0)
    )


def _ranged(value: Value, makes: Callable[[float], float]) -> Factor:
    return factor(*(makes(one) for one in (value.value, value.low, value.high)))


def _metres(one: Estimate) -> tuple[float, float, float]:
    value, low, high = (0.0 if mm is None else mm / 1000 for mm in (one.value, one.low, one.high))
    return value, low, high
