"""Viscosity of a melted glass: mol % and a temperature in, an `Estimate` of log10 Pa·s out.

The melt curve is that of Vogel, Fulcher and Tammann with one constant for all glasses,

    log10 η = A + B / (T − T0),   T in °C, η in Pa·s

B and T0 come from our own model (`fitted.py`): the temperature at a middle viscosity and what
separates log10 2 from log10 4. So hotter is never stiffer, and `temperature_at` is the exact
inverse of `viscosity`. `data/glass-viscosity.json` is written by
`tests/bench/fit_glass_models.py`. Knows nothing of clears or firings.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from .domain import far_away, place
from .fitted import Fitted, Floats, load
from .results import Estimate, not_computed

FILE = "glass-viscosity.json"
MODEL = "our fit to measured melts"
SOURCE = (
    "Gaussian process fitted to measured melts of the SciGlass database "
    "(ODbL, © 2019 EPAM Systems), data/glass-viscosity.json"
)
COLDEST, HOTTEST = 600.0, 1400.0
"""°C between which a curve may be asked for."""


@dataclass(frozen=True, slots=True)
class MeltCurve:
    """One melt's viscosity over temperature; `reason` says why where there is none.

    Measured melts lie between 10 and 10^6 Pa·s: below `extrapolated_below_c` (°C) the curve is
    the form's own.
    """

    endless: float
    """A, log10 Pa·s."""
    slope: float
    """B, °C."""
    zero: float
    """T0, °C."""
    spread: Floats
    """How sure T0 + B psi is: a (2 × 2) matrix in °C², for the two parts."""
    middle: float
    unit: float
    misfit: float
    factor: float
    reason: str | None = None

    @property
    def extrapolated_below_c(self) -> float:
        """°C below which (stiffer than 10^6 Pa·s) no melt was measured for the fit."""
        return self.celsius_at(6.0)

    def celsius_at(self, log10_pa_s: float) -> float:
        """The temperature at a viscosity, °C."""
        return self.zero + self.slope / (log10_pa_s - self.endless)

    def log10_at(self, celsius: Floats) -> Floats:
        """log10 Pa·s at each temperature, °C; endlessly stiff at and below T0."""
        above = np.asarray(celsius, dtype=np.float64) - self.zero
        safe = np.where(above > 0, above, 1.0)
        found: Floats = np.where(above > 0, self.endless + self.slope / safe, np.inf)
        return found

    def half_band(self, celsius: Floats) -> Floats:
        """Half the width of the 90 % band at each temperature, log10 Pa·s."""
        level = np.minimum(self.log10_at(celsius), 14.0)
        away = level - self.endless
        psi = (1 / away - 1 / (self.middle - self.endless)) / self.unit
        variance = self.spread[0, 0] + 2 * psi * self.spread[0, 1] + psi**2 * self.spread[1, 1]
        steep = away**2 / self.slope
        band: Floats = self.factor * np.sqrt(np.maximum(variance, 0) + self.misfit**2) * steep
        return band


AT_ONCE = 256
"""Melts that are predicted in one go: more would only cost memory."""


def melt_curve(mol: Mapping[str, float]) -> MeltCurve:
    """The curve of a melt in mol %."""
    return melt_curves([mol])[0]


def melt_curves(mols: Sequence[Mapping[str, float]]) -> list[MeltCurve]:
    """As `melt_curve`, of many melts at once: a table of thousands costs a fraction."""
    model = load(FILE)
    found: list[MeltCurve] = []
    for start in range(0, len(mols), AT_ONCE):
        places = [place(model, mol) for mol in mols[start : start + AT_ONCE]]
        inside = [where.shares for where in places if where.reason is None]
        told = iter(_predicted(model, np.concatenate(inside)) if inside else ())
        found += [
            next(told) if where.reason is None else _no_curve(where.reason) for where in places
        ]
    return found


def _predicted(model: Fitted, shares: Floats) -> list[MeltCurve]:
    """One curve for each row of shares."""
    covariances, means = model.covariances(shares), model.means(shares)
    found = []
    for row, covariance, mean in zip(shares, covariances, means, strict=True):
        reason = far_away(model, row[None], max(float(covariance[0, 0]), 0.0) ** 0.5)
        found.append(_curve(model, mean, covariance) if reason is None else _no_curve(reason))
    return found


def _curve(model: Fitted, means: Floats, covariance: Floats) -> MeltCurve:
    settings = model.settings
    form = settings["curve"]
    first, second = (100 * float(mean) for mean in means)
    endless, middle = form["endless"], form["middle"]
    unit = 1 / (2 - endless) - 1 / (4 - endless)
    slope = second / unit
    own = np.diag(np.add(settings["publication"], settings["glass"]))
    return MeltCurve(
        endless=endless,
        slope=slope,
        zero=first - slope / (middle - endless),
        spread=1e4 * (covariance + own),
        middle=middle,
        unit=unit,
        misfit=100 * settings["near"],
        factor=settings["band"]["factor"],
    )


def _no_curve(reason: str) -> MeltCurve:
    none = np.zeros((2, 2))
    return MeltCurve(0.0, 0.0, 0.0, none, 0.0, 1.0, 0.0, 0.0, reason=f"not computed: {reason}")


def viscosity(mol: Mapping[str, float], temperature_c: float) -> Estimate:
    """log10 of the melt's viscosity in Pa·s at a temperature, °C."""
    return viscosity_on(melt_curve(mol), temperature_c)


def viscosity_on(curve: MeltCurve, temperature_c: float) -> Estimate:
    """As `viscosity`, of a melt whose curve is at hand."""
    if not COLDEST <= temperature_c <= HOTTEST:
        return not_computed(
            f"melts were measured for this model from {COLDEST:g} to {HOTTEST:g} °C, "
            f"not at {temperature_c:g} °C"
        )
    if curve.reason is not None:
        return Estimate(None, reason=curve.reason)
    value = float(curve.log10_at(np.array([temperature_c]))[0])
    if not np.isfinite(value) or value > 12:
        return not_computed(f"at {temperature_c:g} °C it is as good as solid")
    half = float(curve.half_band(np.array([temperature_c]))[0])
    return Estimate(value, value - half, value + half, MODEL, SOURCE)


def temperature_at(mol: Mapping[str, float], log10_pa_s: float) -> Estimate:
    """The temperature, °C, at which the melt has this viscosity (log10 Pa·s)."""
    return temperature_on(melt_curve(mol), log10_pa_s)


def temperature_on(curve: MeltCurve, log10_pa_s: float) -> Estimate:
    """As `temperature_at`, of a melt whose curve is at hand."""
    if curve.reason is not None:
        return Estimate(None, reason=curve.reason)
    if not 0.5 <= log10_pa_s <= 12:
        return not_computed(f"log10 {log10_pa_s:g} Pa·s lies outside 0.5 to 12")
    celsius = curve.celsius_at(log10_pa_s)
    band = float(curve.half_band(np.array([celsius]))[0])
    half = band * curve.slope / (log10_pa_s - curve.endless) ** 2
    return Estimate(celsius, celsius - half, celsius + half, MODEL, SOURCE)
