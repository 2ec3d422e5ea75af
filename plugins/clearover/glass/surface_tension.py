"""Surface tension of a melt: a glass in mol % and a temperature in, an `Estimate` in mN/m out.

Four published models are at hand. Which one speaks is decided by the kind of glass (with lead,
zinc, boron, or none of them), by how far each missed measured melts of that kind; the first that
has a factor for every oxide is taken. The order and the misses, measured, and the 90 % band are
`data/surface-tension-errors.csv`; the band comes from glasses of publications left out when the
order was made. Laboratories differ from each other by about as much. Knows no glaze and no firing.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from ..tables import rows
from .composition import normalised
from .published import appen_surface, dietzel, kucuk1999, lyon1944
from .published.outside import Outside
from .published.ranges import outside_of, outside_temperatures
from .results import Estimate, not_computed

FILE = "surface-tension-errors.csv"
DOMAIN = "surface tension"
KINDS = (("lead", "PbO"), ("zinc", "ZnO"), ("boron", "B2O3"))
TRACE = 1.0
"""From this many mol % an oxide decides the kind. Source: the limit up to which the models leave
out what they have no factor for (`data/glass-model-ranges.csv`)."""

_MODELS = {m.MODEL: m for m in (appen_surface, dietzel, kucuk1999, lyon1944)}


def surface_tension(mol: Mapping[str, float], temperature_c: float) -> Estimate:
    """Surface tension of the melt, mN/m, with the band that holds 90 % of measured melts."""
    glass = normalised(mol)
    out = outside_of(DOMAIN, glass, "mol %") or outside_temperatures(DOMAIN, temperature_c)
    if out is not None:
        return not_computed(out.reason)
    for model in order(kind_of(glass)):
        value = _MODELS[model].surface_tension(glass, temperature_c)
        if isinstance(value, Outside):
            continue
        half = value * band_percent() / 100
        return Estimate(value, value - half, value + half, _worded(model), source_of(model))
    # Dietzel has factors for the most oxides: what it lacks, the others lack too.
    widest = dietzel.surface_tension(glass, temperature_c)
    return not_computed(widest.reason if isinstance(widest, Outside) else "no model covers it")


def kind_of(mol: Mapping[str, float]) -> str:
    """`lead`, `zinc`, `boron` or `plain`: what of these a glass holds, the strongest first."""
    return next((kind for kind, oxide in KINDS if mol.get(oxide, 0.0) > TRACE), "plain")


@cache
def order(kind: str) -> tuple[str, ...]:
    """The models for a kind of glass, the one that missed least first."""
    found = [row for row in rows(FILE) if row["kind"] == kind]
    return tuple(row["model"] for row in sorted(found, key=lambda row: int(row["place"])))


@cache
def band_percent() -> float:
    """Half of the 90 % band, per cent of the value."""
    return next(float(row["percent"]) for row in rows(FILE) if row["model"] == "the one chosen")


@cache
def source_of(model: str) -> str:
    """Author, year, title and table of a model's factors; says so where they are from memory."""
    found = [row for row in rows(_MODELS[model].FILE) if row["model"] == model]
    from_memory = any(row["known"].startswith("memory") for row in found)
    return found[0]["source"] + (" (factors from memory)" if from_memory else "")


def _worded(model: str) -> str:
    return model if "surface tension" in model else f"{model} surface tension"
