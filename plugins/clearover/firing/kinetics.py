"""How fast a cone gathers heat work: a temperature in, its gain per hour out, and back.

A cone is down when the sum over the firing, ∫ k(T) dt, reaches 1. Heated evenly at a rate r it is
down at the temperature where K(T) = ∫ k dT equals r, so K is the chart itself read backwards: a
temperature in, the heating rate whose end temperature it is out. Between two temperatures K is

    K(T) = K0 + k0 · (T² · exp(-E/R · (1/T - 1/T0)) - T0²) / (2·T0 + E/R)      T in kelvin

which is H. E. Kissinger's line, ln(r/T²) against 1/T, with an offset; its slope k is Arrhenius'
exp(-E/RT) times (2T + E/R). The pieces meet at the published temperatures, so the curve goes
through all of them; k never falls as it gets hotter (`kinetics_fit` makes the table and says how).

E is an empirical slope. It jumps between neighbouring cones and is no property of their stuff.

In: `data/cone-kinetics.csv`. Knows no firing and no rounding. Source of the form: H. E. Kissinger,
1957, "Reaction kinetics in differential thermal analysis", Analytical Chemistry 29, 1702-1706
(from memory); use for cones: our own.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from ..tables import rows
from .cone import Cone, parse_cone

GAS_CONSTANT = 8.314462618e-3
"""kJ/(mol·K): CODATA 2018, exact since 2019."""
KELVIN = 273.15
TABLE = "cone-kinetics.csv"


@dataclass(frozen=True, slots=True)
class Piece:
    """One stretch of a cone's curve, laid through `anchor_c`, °C.

    `heat` is K there, °C/h; `gain` is k there, 1/h; `slope` is E/R, kelvin.
    """

    anchor_c: float
    heat: float
    gain: float
    slope: float

    def gain_at(self, celsius: float) -> float:
        """k, 1/h: the share of the heat work that an hour at this temperature brings."""
        kelvin, anchor = celsius + KELVIN, self.anchor_c + KELVIN
        lift = math.exp(-self.slope * (1 / kelvin - 1 / anchor))
        return self.gain * lift * (2 * kelvin + self.slope) / (2 * anchor + self.slope)

    def heat_at(self, celsius: float) -> float:
        """K, °C/h: the heating rate at which the cone is down at this temperature."""
        kelvin, anchor = celsius + KELVIN, self.anchor_c + KELVIN
        lift = math.exp(-self.slope * (1 / kelvin - 1 / anchor))
        scale = self.gain / (2 * anchor + self.slope)
        return self.heat + scale * (kelvin * kelvin * lift - anchor * anchor)

    def temperature_for(self, heat: float) -> float:
        """The temperature, °C, at which K is this; Newton's steps on ln(T² exp(-E/RT))."""
        anchor = self.anchor_c + KELVIN
        scale = self.gain / (2 * anchor + self.slope)
        wanted = (heat - self.heat) / scale + anchor * anchor
        if wanted <= 0:
            return -KELVIN
        target, kelvin = math.log(wanted), anchor
        for _ in range(50):
            value = 2 * math.log(kelvin) - self.slope * (1 / kelvin - 1 / anchor)
            step = (value - target) / (2 / kelvin + self.slope / kelvin**2)
            kelvin = max(kelvin - step, kelvin / 2)
            if abs(step) < 1e-10:
                break
        return kelvin - KELVIN


@dataclass(frozen=True, slots=True)
class Curve:
    """A cone's curve: one piece below the slowest published rate (a short one more where it has to
    join up), one between each two rates, one beyond the fastest. The first two share an anchor."""

    pieces: tuple[Piece, ...]

    def _piece(self, celsius: float) -> Piece:
        return self.pieces[bisect_right([p.anchor_c for p in self.pieces[1:]], celsius)]

    def gain_at(self, celsius: float) -> float:
        """k, 1/h, at a temperature, °C."""
        return self._piece(celsius).gain_at(celsius)

    def heat_at(self, celsius: float) -> float:
        """K, °C/h, at a temperature, °C."""
        return self._piece(celsius).heat_at(celsius)

    def temperature_for(self, heat: float) -> float:
        """The temperature, °C, at which K is this many °C/h."""
        if heat <= 0:
            return -KELVIN
        index = bisect_right([p.heat for p in self.pieces[1:]], heat)
        return self.pieces[index].temperature_for(heat)


@cache
def curves(kind: str) -> Mapping[Cone, Curve]:
    """Every cone of a kind that has figures at more than one rate, from cool to hot."""
    found: dict[Cone, list[Piece]] = {}
    for row in rows(TABLE):
        if row["kind"] == kind:
            piece = Piece(
                anchor_c=float(row["anchor_c"]),
                heat=float(row["heat_c_per_h"]),
                gain=float(row["gain_per_h"]),
                slope=float(row["slope_kj_per_mol"]) / GAS_CONSTANT,
            )
            found.setdefault(parse_cone(row["cone"]), []).append(piece)
    return {cone: Curve(tuple(found[cone])) for cone in sorted(found)}
