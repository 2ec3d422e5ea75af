"""Melt viscosity after Lakatos 1972: a glass in mol % in, the constants of its melt curve out.

    log10 eta[dPa·s] = −A + B / (T − T0)            T in °C
    A, B, T0 = constant + Σ coefficient × moles to one mole of SiO2

The older, narrower model: SiO2, Al2O3, Na2O, K2O, CaO and MgO in the range of container glass
only. The factors are from memory, the range approximate (`data/viscosity-lakatos1972.csv`,
`data/glass-model-ranges.csv`). One less turns dPa·s (poise) into Pa·s.

Source: T. Lakatos, L.-G. Johansson and B. Simmingsköld, 1972, “Viscosity temperature relations in
the glass system SiO2-Al2O3-Na2O-K2O-CaO-MgO in the composition range of technical glasses”, Glass
Technology 13(3), 88-95, regression equations.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from ...tables import rows
from . import melt
from .melt import PA_S_IN_DPA_S, MeltConstants
from .outside import Outside
from .ranges import known_part, outside_of

MODEL = "Lakatos 1972"
FILE = "viscosity-lakatos1972.csv"


@cache
def _sums() -> dict[str, dict[str, float]]:
    found: dict[str, dict[str, float]] = {}
    for row in rows(FILE):
        found.setdefault(row["quantity"], {})[row["term"]] = float(row["value"])
    return found


@cache
def _oxides() -> frozenset[str]:
    return frozenset(set(_sums()["B"]) - {"constant"} | {"SiO2"})


def melt_constants(mol: Mapping[str, float]) -> MeltConstants | Outside:
    """A (log10 Pa·s), B (°C) and T0 (°C)."""
    known = known_part(MODEL, mol, _oxides())
    if isinstance(known, Outside):
        return known
    silica = known.kept.get("SiO2", 0.0)
    if not silica > 0:
        return Outside(f"the {MODEL} model needs silica in the glass")
    ratios = {oxide: share / silica for oxide, share in known.kept.items() if oxide != "SiO2"}
    if (out := outside_of(MODEL, ratios, "mol per mol SiO2")) is not None:
        return out
    a, b, zero = (
        sum(value * ratios.get(term, term == "constant") for term, value in _sums()[name].items())
        for name in ("A", "B", "T0")
    )
    return MeltConstants(-a - PA_S_IN_DPA_S, b, zero)


def log10_viscosity(mol: Mapping[str, float], celsius: float) -> float | Outside:
    """log10 of the viscosity in Pa·s."""
    return melt.at(MODEL, melt_constants(mol), celsius)
