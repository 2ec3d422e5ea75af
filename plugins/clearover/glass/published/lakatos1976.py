"""Melt viscosity after Lakatos 1976: a glass in mol % in, the constants of its melt curve out.

    log10 eta[dPa·s] = −A + B / (T − T0)            T in °C
    A, B, T0 = constant + Σ coefficient × x (+ one for the square of x of B2O3)

x is parts by weight to 100 parts by weight of SiO2, not a mole ratio. A is positive and is taken
away; one less turns dPa·s (poise) into Pa·s. The same paper gives the temperatures at 2, 4 and 6
(dPa·s) by their own sums, `temperature_at`, with residuals of 3 to 5 °C.

For glasses like container glass with boron, zinc, lead, lithium and barium, from log10 2 to 6
dPa·s (1 to 5 Pa·s): Na2O 10 to 17, CaO 4.5 to 13.3, Al2O3 up to 8.3 weight %; few glazes lie in it.

Source: T. Lakatos, L.-G. Johansson and B. Simmingsköld, 1976, “Updated factors for calculation of
viscosity”, Tables 1, 6 and 7 (`data/viscosity-lakatos1976.csv`).
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from ...tables import rows
from ..composition import weight_percent
from . import melt
from .melt import PA_S_IN_DPA_S, MeltConstants
from .outside import Outside
from .ranges import known_part, outside_of

MODEL = "Lakatos 1976"
FILE = "viscosity-lakatos1976.csv"


@cache
def _sums() -> dict[str, dict[str, float]]:
    found: dict[str, dict[str, float]] = {}
    for row in rows(FILE):
        found.setdefault(row["quantity"], {})[row["term"]] = float(row["value"])
    return found


@cache
def _oxides() -> frozenset[str]:
    plain = {term for term in _sums()["B"] if "^" not in term}
    return frozenset(plain - {"constant"} | {"SiO2"})


def _parts(mol: Mapping[str, float]) -> dict[str, float] | Outside:
    """Parts by weight to 100 parts of SiO2."""
    known = known_part(MODEL, mol, _oxides())
    if isinstance(known, Outside):
        return known
    weights = weight_percent(known.kept)
    if (out := outside_of(MODEL, weights, "weight %")) is not None:
        return out
    return {oxide: 100 * weight / weights["SiO2"] for oxide, weight in weights.items()}


def _total(quantity: str, parts: Mapping[str, float]) -> float:
    return sum(
        value * (1.0 if term == "constant" else parts.get(term.partition("^")[0], 0.0) ** power)
        for term, value in _sums()[quantity].items()
        for power in (2 if term.endswith("^2") else 1,)
    )


def melt_constants(mol: Mapping[str, float]) -> MeltConstants | Outside:
    """A (log10 Pa·s), B (°C) and T0 (°C)."""
    parts = _parts(mol)
    if isinstance(parts, Outside):
        return parts
    a, b, zero = (_total(name, parts) for name in ("A", "B", "T0"))
    return MeltConstants(-a - PA_S_IN_DPA_S, b, zero)


def temperature_at(mol: Mapping[str, float], log10_dpa_s: int) -> float | Outside:
    """The temperature, °C, at log10 2, 4 or 6 **dPa·s**, by the sums made for it alone."""
    parts = _parts(mol)
    if isinstance(parts, Outside):
        return parts
    return _total(f"T at log10 dPa·s {log10_dpa_s}", parts)


def log10_viscosity(mol: Mapping[str, float], celsius: float) -> float | Outside:
    """log10 of the viscosity in Pa·s, from 1 to 5."""
    return melt.at(MODEL, melt_constants(mol), celsius)
