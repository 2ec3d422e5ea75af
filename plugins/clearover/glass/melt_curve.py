"""The curve of one melt: viscosity over temperature, its inverse and its 90 % band.

Plain mathematics of log10 η = A + B/(T − T0); knows nothing of where the constants come from.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .fitted import Floats

SOLID = 14.0
"""log10 Pa·s beyond which a band widens no more: nothing flows."""


@dataclass(frozen=True, slots=True)
class Form:
    """The two parts of our model, and how each counts in the temperature at a viscosity:

    T(log10 η) = first + second × psi(log10 η), psi 0 at `middle`, 1 more at log10 2 than at 4.
    """

    endless: float
    """log10 Pa·s of an endlessly hot melt, the same for all glasses."""
    middle: float

    @property
    def unit(self) -> float:
        return 1 / (2 - self.endless) - 1 / (4 - self.endless)

    def psi(self, level: Floats) -> Floats:
        """How the second part counts at each log10 Pa·s."""
        found: Floats = (1 / (level - self.endless) - 1 / (self.middle - self.endless)) / self.unit
        return found


@dataclass(frozen=True, slots=True)
class Band:
    """The half width of a 90 % band: `middle_c` (°C) at the form's middle, elsewhere in
    proportion to what the covariance (°C²) makes of it; and `flat`, log10 Pa·s, everywhere."""

    form: Form
    middle_c: float
    covariance: Floats
    misfit: float
    flat: float = 0.0

    def celsius(self, level: Floats) -> Floats:
        """°C at each log10 Pa·s, without `flat`."""
        psi = self.form.psi(level)
        c = self.covariance
        variance = c[0, 0] + 2 * psi * c[0, 1] + psi**2 * c[1, 1] + self.misfit**2
        found: Floats = self.middle_c * np.sqrt(variance / (c[0, 0] + self.misfit**2))
        return found


@dataclass(frozen=True, slots=True)
class MeltCurve:
    """One melt's viscosity over temperature; with a `reason` there is none.

    Valid and falling from about 600 to 1400 °C. Few melts were measured stiffer than 10^6 Pa·s:
    below `extrapolated_below_c` (°C) the curve follows its form.
    """

    endless: float
    """A, log10 Pa·s."""
    slope: float
    """B, °C."""
    zero: float
    """T0, °C."""
    band: Band | None = None
    model: str | None = None
    source: str | None = None
    extrapolated_above: float = 6.0
    """log10 Pa·s above which the curve is extrapolated."""
    reason: str | None = None

    @property
    def extrapolated_below_c(self) -> float:
        """°C below which the curve is extrapolated."""
        return self.celsius_at(self.extrapolated_above)

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
        level = np.minimum(self.log10_at(celsius), SOLID)
        steep = (level - self.endless) ** 2 / self.slope
        return self._band_c(level) * steep + self._flat

    def half_band_c(self, log10_pa_s: float) -> float:
        """Half the width of the 90 % band of the temperature at a viscosity, °C."""
        level = np.array([min(log10_pa_s, SOLID)])
        flat_c = self._flat * self.slope / (float(level[0]) - self.endless) ** 2
        return float(self._band_c(level)[0]) + flat_c

    @property
    def _flat(self) -> float:
        return self.band.flat if self.band is not None else 0.0

    def _band_c(self, level: Floats) -> Floats:
        return self.band.celsius(level) if self.band is not None else np.zeros_like(level)
