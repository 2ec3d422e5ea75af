"""Every published model by name, for whoever measures or compares them: bare numbers or None."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from . import (
    appen,
    appen_density,
    appen_surface,
    density_by_weight,
    dietzel,
    english_turner,
    fluegel2007,
    giordano2008,
    kucuk1999,
    lakatos1972,
    lakatos1976,
    lyon1944,
    mayer_havas,
    winkelmann_schott,
)
from .outside import Outside, value_of

Mol = Mapping[str, float]
OfGlass = Callable[[Mol], float | None]
AtTemperature = Callable[[Mol, float], float | None]


def _bare(model: Callable[[Mol], float | Outside]) -> OfGlass:
    return lambda mol: value_of(model(mol))


def _bare_at(model: Callable[[Mol, float], float | Outside]) -> AtTemperature:
    return lambda mol, celsius: value_of(model(mol, celsius))


def expansion_models() -> dict[str, OfGlass]:
    """Mean linear expansion, 1e-6/K, from a glass in mol %; each over its own temperatures."""
    models = (appen, winkelmann_schott, mayer_havas, english_turner)
    return {model.MODEL: _bare(model.expansion) for model in models}


def viscosity_models() -> dict[str, AtTemperature]:
    """log10 of the viscosity in Pa·s from a glass in mol % and a temperature in °C."""
    models = (fluegel2007, lakatos1976, lakatos1972, giordano2008)
    return {model.MODEL: _bare_at(model.log10_viscosity) for model in models}


def surface_tension_models() -> dict[str, AtTemperature]:
    """Surface tension of the melt, mN/m, from a glass in mol % and a temperature in °C."""
    models = (appen_surface, dietzel, kucuk1999, lyon1944)
    return {model.MODEL: _bare_at(model.surface_tension) for model in models}


def cold_density_models() -> dict[str, OfGlass]:
    """Density of the cold glass, kg/m3, from a glass in mol %."""
    return {
        "Appen": _bare(appen_density.density),
        "Winkelmann-Schott": _bare(density_by_weight.winkelmann_schott),
        "English-Turner": _bare(density_by_weight.english_turner),
    }
