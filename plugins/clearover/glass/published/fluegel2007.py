"""Melt viscosity after Fluegel 2007: a glass in mol % in, the constants of its melt curve out.

Three temperatures, at log10 viscosity 1.5, 6.6 and 12 Pa·s, each

    T [°C] = constant + Σ coefficient × product of mol % (up to cubes and triple products)

and one curve A + B/(T − T0) through the three. One temperature has a standard error of 9 to 17 °C.
MnO is counted as MnO2, FeO as Fe2O3, by the metal. Range of each oxide: the narrowest of the three
levels (`data/glass-model-ranges.csv`), SiO2 43 to 87, Al2O3 up to 10, B2O3 up to 17 mol %.

Source: A. Fluegel, 2007, Glass Technology: European Journal of Glass Science and Technology A
48(1), 13-30, Tables 3 to 6. In the table for 1.5 eight minus signs lost in the copy read are
restored (they alone give the worked values of Table 12), and one term, K2O*MgO, has an unsure name.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from functools import cache

from ...tables import rows
from ..composition import normalised, told_as
from . import melt
from .melt import MeltConstants
from .outside import Outside
from .ranges import known_part, outside_of, ranges

MODEL = "Fluegel 2007"
FILE = "viscosity-fluegel2007.csv"
NO_DATA = frozenset({"P2O5"})
"""In the limits with a range of nothing at the level 12: counted among those without a factor."""

Term = tuple[tuple[str, int], ...]


@cache
def _levels() -> dict[float, dict[Term, float]]:
    """log10 Pa·s -> terms; a term is its oxides with their powers, the constant is ()."""
    found: dict[float, dict[Term, float]] = {}
    for row in rows(FILE):
        found.setdefault(float(row["log10_pa_s"]), {})[_term(row["term"])] = float(row["value"])
    return found


def _term(text: str) -> Term:
    if text == "constant":
        return ()
    powers: Counter[str] = Counter()
    for part in text.split("*"):
        oxide, _, power = part.partition("^")
        powers[oxide] += int(power or 1)
    return tuple(sorted(powers.items()))


@cache
def _oxides() -> frozenset[str]:
    named = {name for name, limit in ranges(MODEL).items() if limit.basis == "mol %"}
    return frozenset(named - NO_DATA - {"no factor"})


def temperatures(mol: Mapping[str, float]) -> dict[float, float] | Outside:
    """The temperatures, °C, by log10 viscosity in Pa·s: 1.5, 6.6 and 12."""
    told = told_as(told_as(mol, "Fe2O3", 0.5, "FeO"), "MnO2", 1, "MnO")
    parts = known_part(MODEL, told, _oxides())
    if isinstance(parts, Outside):
        return parts
    # What has no range is not left out here: some of it (SO3, CuO) has terms at one level, and
    # the paper's own worked glasses are reckoned with them.
    glass = normalised(told)
    if (out := outside_of(MODEL, glass, "mol %")) and not _only_traces(glass, parts.left_out):
        return out
    return {
        level: sum(
            value * math.prod(glass.get(oxide, 0.0) ** power for oxide, power in term)
            for term, value in terms.items()
        )
        for level, terms in _levels().items()
    }


def _only_traces(glass: Mapping[str, float], left_out: Mapping[str, float]) -> bool:
    """Whether all that is out of range is among the traces already allowed."""
    return outside_of(MODEL, {k: v for k, v in glass.items() if k not in left_out}, "mol %") is None


def melt_constants(mol: Mapping[str, float]) -> MeltConstants | Outside:
    """A (log10 Pa·s), B (°C) and T0 (°C)."""
    found = temperatures(mol)
    if isinstance(found, Outside):
        return found
    constants = melt.through(tuple(sorted(found.items())))
    return constants or Outside(
        "the three temperatures of the Fluegel 2007 model do not lie on one melt curve here"
    )


def log10_viscosity(mol: Mapping[str, float], celsius: float) -> float | Outside:
    """log10 of the viscosity in Pa·s, from 1.5 to 12."""
    return melt.at(MODEL, melt_constants(mol), celsius)
