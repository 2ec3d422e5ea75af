"""Published glass models, one module a model; `registry` lists them by property."""

from .outside import Outside
from .registry import (
    cold_density_models,
    expansion_models,
    surface_tension_models,
    viscosity_models,
)

__all__ = [
    "Outside",
    "cold_density_models",
    "expansion_models",
    "surface_tension_models",
    "viscosity_models",
]
