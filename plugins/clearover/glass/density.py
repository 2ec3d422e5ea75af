"""Density of a melt: a glass in mol % and a temperature in, an `Estimate` in kg/m3 out.

    rho = Σ mol fraction × molar mass ÷ Σ mol fraction × partial volume in the melt

SiO2, Al2O3, MgO, CaO, Na2O and K2O have Lange's volumes in the melt. B2O3, ZnO, Li2O, SrO, BaO, PbO
and TiO2 have only Appen's in the cold glass; they are widened as whole glasses are, by 1 ÷ 0.975 at
900 °C to 1 ÷ 0.948 at 1400 °C (`data/density-factors.csv`). No densities of glaze melts were at
hand, so the band is not measured on them: it is how far the two sets of volumes lie apart.
"""

from __future__ import annotations

from collections.abc import Mapping

from ..chemistry.oxides import to_weights
from .composition import split
from .published import appen_density, lange1997
from .published.factors import added_up, factors, quantities
from .published.outside import Outside
from .published.ranges import NO_FACTOR, known_part, outside_of, outside_temperatures, ranges
from .results import Estimate, not_computed

DOMAIN = "melt density"
MODEL = "Lange 1997 melt volumes, Appen volumes for the other oxides"
SOURCE = (
    'R. A. Lange, 1997, "A revised model for the density and thermal expansivity of '
    'K2O-Na2O-CaO-MgO-Al2O3-SiO2 liquids", Contributions to Mineralogy and Petrology 130, 1 '
    '(from memory); A. A. Appen, 1970, "Chemistry of Glass", partial molar volumes'
)
START_C = 900.0


def density(mol: Mapping[str, float], temperature_c: float) -> Estimate:
    """Density of the melt, kg/m3. `low` and `high` are meant to hold nine melts in ten."""
    if (out := outside_temperatures(DOMAIN, temperature_c)) is not None:
        return not_computed(out.reason)
    in_melt = lange1997.volumes(temperature_c)
    parts = known_part(DOMAIN, mol, in_melt | factors(appen_density.FILE, appen_density.IN_FILE))
    if isinstance(parts, Outside):
        return not_computed(parts.reason)
    if (out := outside_of(DOMAIN, parts.kept, "mol %")) is not None:
        return not_computed(out.reason)
    widened = {
        oxide: cold / left_in_melt(temperature_c)
        for oxide, cold in appen_density.volumes(parts.kept).items()
    }
    grams = sum(to_weights(parts.kept).values())
    value = 1000 * grams / added_up(parts.kept, widened | in_melt)
    band = _band_percent(parts.kept) / 100
    return Estimate(value, value * (1 - band), value * (1 + band), MODEL, SOURCE)


def left_in_melt(celsius: float) -> float:
    """Density of a melt as a share of its cold glass, the mean over many glasses."""
    table = quantities(appen_density.FILE, "melt")
    return table["", "at 900 °C"] + table["", "slope"] * (celsius - START_C)


def _band_percent(glass: Mapping[str, float]) -> float:
    """Half of the 90 % band; wider where more than a trace has no volume in the melt."""
    table = quantities(appen_density.FILE, "melt")
    cold_only = split(glass, lange1997.volumes(START_C)).left_out_share
    trace = ranges(lange1997.MODEL)[NO_FACTOR].most
    return table["", "band" if cold_only <= trace else "band with cold volumes"]
