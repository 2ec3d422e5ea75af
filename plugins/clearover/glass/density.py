"""Density of a melt: a glass in mol % and a temperature in, an `Estimate` in kg/m3 out.

The cold glass by Appen's partial volumes, times the share of it that is left in the melt: 0.978 at
900 °C, falling to 0.952 at 1400 °C. That share is the mean of Lange's melt over Appen's cold
density on glasses without boron, zinc, barium and strontium (`data/density-factors.csv`). No
densities of glaze melts were at hand, so the band is not measured on them: it is the spread of that
share and the misses of the cold densities, half as wide again with oxides Lange does not have.
"""

from __future__ import annotations

from collections.abc import Mapping

from .composition import split
from .published import appen_density, lange1997
from .published.factors import factors, quantities
from .published.outside import Outside
from .published.ranges import NO_FACTOR, outside_temperatures, ranges
from .results import Estimate, not_computed

DOMAIN = "melt density"
MODEL = "Appen partial volumes, expanded to the melt"
SOURCE = (
    'A. A. Appen, 1970, "Chemistry of Glass", partial molar volumes; the melt after R. A. Lange, '
    "1997, Contributions to Mineralogy and Petrology 130, 1 (from memory)"
)
WIDER = 1.5
START_C = 900.0


def density(mol: Mapping[str, float], temperature_c: float) -> Estimate:
    """Density of the melt, kg/m3. `low` and `high` are meant to hold nine melts in ten."""
    if (out := outside_temperatures(DOMAIN, temperature_c)) is not None:
        return not_computed(out.reason)
    cold = appen_density.density(mol)
    if isinstance(cold, Outside):
        return not_computed(cold.reason)
    value = cold * left_in_melt(temperature_c)
    band = quantities(appen_density.FILE, "melt")["", "band"] / 100
    beyond = split(mol, factors(lange1997.FILE, lange1997.MODEL)).left_out_share
    if beyond > ranges(lange1997.MODEL)[NO_FACTOR].most:
        band *= WIDER
    low, high = value * (1 - band), value * (1 + band)
    return Estimate(value, low, high, MODEL, SOURCE)


def left_in_melt(celsius: float) -> float:
    """Density of the melt as a share of the cold glass."""
    table = quantities(appen_density.FILE, "melt")
    return table["", "at 900 °C"] + table["", "slope"] * (celsius - START_C)
