"""Melt viscosity after Giordano 2008: a glass in mol % in, the constants of its melt curve out.

    log10 eta[Pa·s] = A + B / (T − C)               T and C in K; A = −4.55
    B = Σ b × sum or product of mol %,  C = Σ c × sum or product of mol %, dry or with H2O

Made from more than 1,770 measurements of natural melts, fit to 0.40 in log10 (root mean square). It
reaches the high alumina of stoneware glazes but has no term for B2O3, ZnO, Li2O, SrO, BaO, PbO or
ZrO2. Iron counts as FeO. No fluorine here. Range by oxide, weight %, from memory and unsure, but
for Al2O3: below 12 weight % it was measured to read too stiff (`data/glass-model-ranges.csv`).

Source: D. Giordano, J. K. Russell and D. B. Dingwell, 2008, “Viscosity of magmatic liquids: a
model”, Earth and Planetary Science Letters 271, 123-134, Table 1
(`data/viscosity-giordano2008.csv`).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from functools import cache

from ...tables import rows
from ..composition import told_as, weight_percent
from . import melt
from .melt import MeltConstants
from .outside import Outside
from .ranges import known_part, outside_of

MODEL = "Giordano 2008"
FILE = "viscosity-giordano2008.csv"
KELVIN = 273.15
OXIDES = ("SiO2", "TiO2", "Al2O3", "FeO", "MnO", "MgO", "CaO", "Na2O", "K2O", "P2O5", "H2O")

TERMS: dict[str, Callable[[Mapping[str, float]], float]] = {
    "b1": lambda x: x["SiO2"] + x["TiO2"],
    "b2": lambda x: x["Al2O3"],
    "b3": lambda x: x["FeO"] + x["MnO"] + x["P2O5"],
    "b4": lambda x: x["MgO"],
    "b5": lambda x: x["CaO"],
    "b6": lambda x: x["Na2O"] + x["H2O"],
    "b7": lambda x: x["H2O"] + math.log1p(x["H2O"]),
    "b11": lambda x: (x["SiO2"] + x["TiO2"]) * (x["FeO"] + x["MnO"] + x["MgO"]),
    "b12": lambda x: (
        (x["SiO2"] + x["TiO2"] + x["Al2O3"] + x["P2O5"]) * (x["Na2O"] + x["K2O"] + x["H2O"])
    ),
    "b13": lambda x: x["Al2O3"] * (x["Na2O"] + x["K2O"]),
    "c1": lambda x: x["SiO2"],
    "c2": lambda x: x["TiO2"] + x["Al2O3"],
    "c3": lambda x: x["FeO"] + x["MnO"] + x["MgO"],
    "c4": lambda x: x["CaO"],
    "c5": lambda x: x["Na2O"] + x["K2O"],
    "c6": lambda x: math.log1p(x["H2O"]),
    "c11": lambda x: (
        (x["Al2O3"] + x["FeO"] + x["MnO"] + x["MgO"] + x["CaO"] - x["P2O5"])
        * (x["Na2O"] + x["K2O"] + x["H2O"])
    ),
}
"""What each coefficient of Table 1 multiplies, in mol %."""


@cache
def _values() -> dict[str, float]:
    return {row["term"]: float(row["value"]) for row in rows(FILE)}


def melt_constants(mol: Mapping[str, float]) -> MeltConstants | Outside:
    """A (log10 Pa·s), B (°C) and T0 (°C)."""
    known = known_part(MODEL, told_as(mol, "FeO", 2, "Fe2O3"), OXIDES)
    if isinstance(known, Outside):
        return known
    if (out := outside_of(MODEL, weight_percent(known.kept), "weight %")) is not None:
        return out
    glass = {oxide: known.kept.get(oxide, 0.0) for oxide in OXIDES}
    b, c = (
        sum(_values()[name] * term(glass) for name, term in TERMS.items() if name[0] == letter)
        for letter in "bc"
    )
    if not b > 0:
        return Outside(f"the {MODEL} model gives no curve that stiffens as it cools here")
    return MeltConstants(_values()["A"], b, c - KELVIN)


def log10_viscosity(mol: Mapping[str, float], celsius: float) -> float | Outside:
    """log10 of the viscosity in Pa·s, from −1 to 14."""
    return melt.at(MODEL, melt_constants(mol), celsius)
