"""Published models where our own does not reach: a composition in, a value with its error out.

Which serve, and how far measured glasses lie from each, is `data/glass-fallback-errors.csv`:
`tests/bench/fit_glass_models.py` measures it on the measured glasses that lie inside the model's
own range. A model is set right by its median error there; the nearest to the measurements comes
first. Expansion falls to Appen only for oxides that our fit does not know.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np

from ..tables import rows
from .melt_curve import Band, Form, MeltCurve
from .published import appen, fluegel2007, giordano2008, lakatos1972, lakatos1976
from .published.melt import MeltConstants
from .published.outside import Outside
from .published.ranges import VISCOSITY, ranges
from .results import Estimate

ERRORS = "glass-fallback-errors.csv"
_MELTS = {model.MODEL: model for model in (fluegel2007, lakatos1976, lakatos1972, giordano2008)}
SILICA = (40.0, 80.0)
"""mol % SiO2 for which Appen's factors are used here: those of silicate glasses (from memory)."""


@dataclass(frozen=True, slots=True)
class Measured:
    """How far measured glasses lie from one model: `shift` is their median above it, `half_90` the
    distance from there that holds 90 % of them."""

    model: str
    shift: float
    half_90: float
    glasses: int
    source: str

    @property
    def name(self) -> str:
        return f"{self.model}, set right by {self.shift:+.2f}"


@cache
def measured(quantity: str) -> tuple[Measured, ...]:
    """The models that serve for a quantity, the nearest to the measurements first."""
    found = [
        Measured(
            row["model"],
            float(row["shift"]),
            float(row["half_90"]),
            int(row["glasses"]),
            row["source"],
        )
        for row in rows(ERRORS)
        if row["property"] == quantity
    ]
    return tuple(sorted(found, key=lambda one: one.half_90))


def expansion_elsewhere(mol: Mapping[str, float]) -> Estimate | None:
    """Expansion by Appen's model, 1e-6/K; None where it does not serve."""
    error = measured("expansion")[0]
    found = appen.expansion(mol)
    if isinstance(found, Outside) or not SILICA[0] <= mol.get("SiO2", 0.0) <= SILICA[1]:
        return None
    value = found + error.shift
    half = error.half_90
    return Estimate(value, value - half, value + half, error.name, error.source)


def melt_elsewhere(mol: Mapping[str, float]) -> MeltCurve | None:
    """The melt curve by the nearest published model that covers the glass; None where none does."""
    for error in measured("viscosity"):
        constants = _MELTS[error.model].melt_constants(mol)
        if isinstance(constants, MeltConstants) and constants.B > 0:
            return _curve(constants, error)
    return None


def _curve(constants: MeltConstants, error: Measured) -> MeltCurve:
    flat = Band(Form(constants.A, 2.5), 0.0, np.eye(2), 0.0, flat=error.half_90)
    return MeltCurve(
        endless=constants.A + error.shift,
        slope=constants.B,
        zero=constants.T0,
        band=flat,
        model=error.name,
        source=error.source,
        extrapolated_above=ranges(error.model)[VISCOSITY].most,
    )
