"""The curve of a melt's viscosity: constants in, log10 of Pa·s at a temperature out, and back.

log10 eta[Pa·s] = A + B / (T − T0)              T and T0 in °C  (Vogel, Fulcher, Tammann)
"""

from __future__ import annotations

from typing import NamedTuple

from .outside import Outside
from .ranges import VISCOSITY, ranges

PA_S_IN_DPA_S = 1.0
"""log10 of 10: a viscosity in poise (dPa·s) is ten times the figure in Pa·s."""


class MeltConstants(NamedTuple):
    """A (log10 Pa·s), B (°C) and T0 (°C)."""

    A: float
    B: float
    T0: float


def at(model: str, constants: MeltConstants | Outside, celsius: float) -> float | Outside:
    """log10 of the viscosity in Pa·s; Outside beyond the viscosities the model was made for."""
    if isinstance(constants, Outside):
        return constants
    limits = ranges(model)[VISCOSITY]
    if celsius > constants.T0:
        value = constants.A + constants.B / (celsius - constants.T0)
        if limits.least <= value <= limits.most:
            return value
    return Outside(
        f"at {celsius:g} °C this melt lies outside the {model} model, which covers "
        f"log10 {limits.least:g} to {limits.most:g} Pa·s"
    )


def temperature_at(constants: MeltConstants, log10_pa_s: float) -> float:
    """The temperature, °C, at which a melt has this viscosity."""
    return constants.T0 + constants.B / (log10_pa_s - constants.A)


def through(points: tuple[tuple[float, float], ...]) -> MeltConstants | None:
    """The constants through three (log10 Pa·s, °C), hottest first; None where no curve that
    stiffens as it cools goes through them."""
    (l1, t1), (l2, t2), (l3, t3) = points
    if not t1 > t2 > t3:
        return None
    ratio = (l1 - l2) / (l2 - l3) * (t3 - t2) / (t2 - t1)
    if ratio == 1:
        return None
    zero = (t3 - ratio * t1) / (1 - ratio)
    slope = (l2 - l1) * (t1 - zero) * (t2 - zero) / (t1 - t2)
    if not (zero < t3 and slope > 0):
        return None
    return MeltConstants(l1 - slope / (t1 - zero), slope, zero)
