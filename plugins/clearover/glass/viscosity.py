"""Viscosity of a melted glass: mol % and a temperature in, an `Estimate` of log10 Pa·s out.

The melt curve is that of Vogel, Fulcher and Tammann with one constant for all glasses,

    log10 η = A + B / (T − T0)            T in °C, η in Pa·s

B and T0 come from our own model (`melt_model.py`), or, where a glass lies outside it, from a
published one that covers it (`fallback.py`). Hotter is never stiffer, and `temperature_at` is the
exact inverse of `viscosity`. Knows nothing of clears or firings.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from .melt_curve import MeltCurve
from .melt_model import melt_curve
from .results import Estimate, not_computed

__all__ = [
    "MeltCurve",
    "melt_curve",
    "temperature_at",
    "temperature_on",
    "viscosity",
    "viscosity_on",
]

COLDEST, HOTTEST = 500.0, 1550.0
"""°C between which a viscosity is told; measured melts were taken from 480 to 1540 °C."""

THINNEST, STIFFEST = 0.0, 12.5
"""log10 Pa·s between which a viscosity is told: measured melts reach from 0.4 to 12."""


def viscosity(mol: Mapping[str, float], temperature_c: float) -> Estimate:
    """log10 of the melt's viscosity in Pa·s at a temperature, °C."""
    return viscosity_on(melt_curve(mol), temperature_c)


def viscosity_on(curve: MeltCurve, temperature_c: float) -> Estimate:
    """As `viscosity`, of a melt whose curve is at hand."""
    if curve.reason is not None:
        return Estimate(None, reason=curve.reason)
    if not COLDEST <= temperature_c <= HOTTEST:
        return not_computed(f"melts were measured from {COLDEST:g} to {HOTTEST:g} °C only")
    at = np.array([temperature_c])
    value = float(curve.log10_at(at)[0])
    if value > STIFFEST:
        return not_computed(f"at {temperature_c:g} °C this glass is solid")
    if value < THINNEST:
        return not_computed(f"no melt so thin as this one at {temperature_c:g} °C was measured")
    half = float(curve.half_band(at)[0])
    return Estimate(value, value - half, value + half, curve.model, curve.source)


def temperature_at(mol: Mapping[str, float], log10_pa_s: float) -> Estimate:
    """The temperature, °C, at which the melt has this viscosity (log10 Pa·s)."""
    return temperature_on(melt_curve(mol), log10_pa_s)


def temperature_on(curve: MeltCurve, log10_pa_s: float) -> Estimate:
    """As `temperature_at`, of a melt whose curve is at hand."""
    if curve.reason is not None:
        return Estimate(None, reason=curve.reason)
    if not THINNEST <= log10_pa_s <= STIFFEST:
        return not_computed(
            f"melts were measured from log10 {THINNEST:g} to {STIFFEST:g} Pa·s only"
        )
    celsius = curve.celsius_at(log10_pa_s)
    half = curve.half_band_c(log10_pa_s)
    return Estimate(celsius, celsius - half, celsius + half, curve.model, curve.source)
