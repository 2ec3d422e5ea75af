"""Every published model by name, for whoever measures or compares them: bare numbers or None."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from . import (
    appen,
    english_turner,
    fluegel2007,
    giordano2008,
    lakatos1972,
    lakatos1976,
    mayer_havas,
    winkelmann_schott,
)
from .outside import Outside, value_of

Mol = Mapping[str, float]
Expansion = Callable[[Mol], float | None]
AtTemperature = Callable[[Mol, float], float | None]


def _bare(model: Callable[[Mol], float | Outside]) -> Expansion:
    return lambda mol: value_of(model(mol))


def _bare_at(model: Callable[[Mol, float], float | Outside]) -> AtTemperature:
    return lambda mol, celsius: value_of(model(mol, celsius))


def expansion_models() -> dict[str, Expansion]:
    """Mean linear expansion, 1e-6/K, from a glass in mol %; each over its own temperatures."""
    models = (appen, winkelmann_schott, mayer_havas, english_turner)
    return {model.MODEL: _bare(model.expansion) for model in models}


def viscosity_models() -> dict[str, AtTemperature]:
    """log10 of the viscosity in Pa·s from a glass in mol % and a temperature in °C."""
    models = (fluegel2007, lakatos1976, lakatos1972, giordano2008)
    return {model.MODEL: _bare_at(model.log10_viscosity) for model in models}
