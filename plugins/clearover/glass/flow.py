"""The melt's fluidity summed over a firing: a viscosity curve and a profile in, ∫ dt/η out.

Exact where it can be. Temperature is a straight line in time between two points of a profile, so

    ∫ dt/η over a piece = Δt · (G(T2) - G(T1)) / (T2 - T1),   G(T) = ∫ dT/η

and G is made once for a curve: log η is smooth, hence a straight line within 4 °C (that is off by
less than 0.01 %), and a straight line has an exact integral. Cutting a piece in two changes
nothing. Heating, hold and cooling all count. Knows nothing of films, glazes and cones.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

STEP_C = 4.0
COOLEST_C, HOTTEST_C = 300.0, 1600.0
"""The span of the table, °C: below it no silicate melt moves, above it no potter fires."""
SOLID = 20.0
"""log10 Pa·s: as good as solid. Stiffer is not told apart, so that a curve may run to infinity."""
HOLD_C = 0.01
"""A piece of a firing that changes by less than this, °C, is a hold."""


class Curve(Protocol):
    """log10 of the viscosity, Pa·s, over temperature; hotter is never stiffer."""

    def log10_at(self, celsius: Floats) -> Floats:
        """log10 viscosity in Pa·s at temperatures in °C."""

    def half_band(self, celsius: Floats) -> Floats:
        """Half the width of the 90 % band of that, log10."""


@dataclass(frozen=True, slots=True, eq=False)
class FlowTable:
    """Fluidity 1/η, 1/(Pa·s), every 4 °C; `growth` is its change within a cell, ln.

    `summed` and `banded` are the integrals over temperature from the coolest point, of the
    fluidity and of the fluidity times the curve's half band.
    """

    fluidity: Floats
    growth: Floats
    summed: Floats
    bands: Floats
    banded: Floats

    def at(self, celsius: Floats) -> tuple[Floats, Floats, Floats]:
        """1/η, ∫ dT/η and ∫ band dT/η at temperatures in °C."""
        import numpy as np

        place = np.clip((celsius - COOLEST_C) / STEP_C, 0, len(self.growth))
        cell = np.minimum(place.astype(np.int64), len(self.growth) - 1)
        inside, growth = place - cell, self.growth[cell]
        rise = np.expm1(inside * growth)
        safe = np.where(growth > 1e-12, growth, 1.0)
        part = self.fluidity[cell] * STEP_C * np.where(growth > 1e-12, rise / safe, inside)
        return (
            self.fluidity[cell] * (1 + rise),
            self.summed[cell] + part,
            self.banded[cell] + self.bands[cell] * part,
        )


def flow_table(curve: Curve) -> FlowTable:
    """The table of one melt, made once for all its firings."""
    import numpy as np

    celsius = np.arange(COOLEST_C, HOTTEST_C + STEP_C / 2, STEP_C)
    log10 = np.asarray(curve.log10_at(celsius), dtype=np.float64)
    log10 = np.minimum(np.where(np.isfinite(log10), log10, SOLID), SOLID)
    log10 = np.minimum.accumulate(log10)  # a curve that turns stiffer when hotter would lie
    band = np.asarray(curve.half_band(celsius), dtype=np.float64)
    band = np.where(np.isfinite(band), band, 0.0)
    growth = -np.diff(log10) * np.log(10)
    fluidity = 10.0**-log10
    safe = np.where(growth > 1e-12, growth, 1.0)
    parts = fluidity[:-1] * STEP_C * np.where(growth > 1e-12, np.expm1(growth) / safe, 1.0)
    bands = (band[:-1] + band[1:]) / 2
    nought = np.zeros(1)
    return FlowTable(
        fluidity=fluidity,
        growth=growth,
        summed=np.concatenate((nought, np.cumsum(parts))),
        bands=bands,
        banded=np.concatenate((nought, np.cumsum(parts * bands))),
    )


@dataclass(frozen=True, slots=True)
class Flow:
    """∫ dt/η, 1/Pa, as fired, and with every temperature lower or higher by the spread.

    `half_band` is the curve's own, log10, weighted by where the flow happens; `minutes_at_peak`
    is how long at the peak alone would come to as much; `log10_at_peak` the viscosity there.
    """

    value: float
    cooler: float
    hotter: float
    half_band: float
    minutes_at_peak: float
    log10_at_peak: float


def flow_over(
    table: FlowTable, hours: Sequence[float], celsius: Sequence[float], spread_c: float = 0.0
) -> Flow:
    """The fluidity summed over a profile. Times in hours, rising; temperatures in °C."""
    import numpy as np

    seconds = 3600 * np.diff(np.asarray(hours, dtype=np.float64))
    points = np.asarray(celsius, dtype=np.float64)
    shifted = points[None, :] + np.array([[0.0], [-spread_c], [spread_c]])
    fluidity, summed, banded = table.at(shifted)
    rise = np.diff(shifted, axis=1)
    held = np.abs(rise) < HOLD_C
    safe = np.where(held, 1.0, rise)
    level = (fluidity[:, 1:] + fluidity[:, :-1]) / 2
    per_second = np.where(held, level, np.diff(summed, axis=1) / safe)
    value, cooler, hotter = (float(one) for one in per_second @ seconds)
    cells = np.clip(((points[:-1] - COOLEST_C) / STEP_C).astype(np.int64), 0, len(table.bands) - 1)
    band_here = np.where(held[0], level[0] * table.bands[cells], np.diff(banded[0]) / safe[0])
    at_peak = float(fluidity[0].max())
    return Flow(
        value=value,
        cooler=cooler,
        hotter=hotter,
        half_band=float(band_here @ seconds) / value if value > 0 else 0.0,
        minutes_at_peak=value / at_peak / 60,
        log10_at_peak=-float(np.log10(at_peak)),
    )
