"""Published glass models, one module a model; `registry` lists them by property."""

from .outside import Outside
from .registry import expansion_models, viscosity_models

__all__ = ["Outside", "expansion_models", "viscosity_models"]
