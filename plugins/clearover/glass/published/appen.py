"""Expansion after Appen: a glass in mol % in, linear expansion in 1e-6/K out.

    alpha = Σ factor × mol fraction                 linear, mean from 20 to 400 °C

Five factors depend on the rest of the glass:
SiO2   38e-7 up to 67 mol %, then 1e-7 less for each further mol %;
B2O3   −12.5e-7 × psi for psi from 0 to 4 (so 0 to −50e-7), psi as in `boron.py`;
TiO2   30e-7 − 1.5e-7 × (SiO2 − 50), for 50 to 80 mol % SiO2 only;
PbO    115e-7 + 5e-7 × (Na2O + K2O + Li2O), kept within 130e-7 and 190e-7;
K2O    425e-7 in place of 465e-7 where there is less than 1 mol % Na2O;
Na2O   410e-7 in place of 395e-7 in the binary Na2O-SiO2.

Source: A. A. Appen, 1970, “Chemistry of Glass”, partial coefficients (also in M. B. Volf, 1988,
“Mathematical Approach to Glass”). All factors are from memory, the rules for PbO, K2O and Na2O and
the rarer oxides unsure: `known` in `data/expansion-factors.csv`. The range of composition is not
stated in what was at hand. On 1,557 measured glasses like glazes it reads 0.25e-6/K high (median);
that taken off, two in three lie within 0.40e-6/K and nine in ten within 1.00e-6/K.
"""

from __future__ import annotations

from collections.abc import Mapping

from .boron import psi
from .factors import added_up, factors, quantities
from .outside import Outside
from .ranges import known_part

MODEL = "Appen"
FILE = "expansion-factors.csv"
ALKALIS = ("Li2O", "Na2O", "K2O")
TRACE = 0.05
"""Below this many mol % a third oxide does not keep a glass from counting as binary (ours)."""


def expansion(mol: Mapping[str, float]) -> float | Outside:
    """Mean linear expansion from 20 to 400 °C, 1e-6/K."""
    by_oxide = dict(factors(FILE, MODEL))
    parts = known_part(MODEL, mol, by_oxide)
    if isinstance(parts, Outside):
        return parts
    glass = parts.kept
    if (titania := _titania(glass)) is None:
        return Outside(
            "the Appen model has a factor for TiO2 only where a glass holds 50 to 80 mol % SiO2"
        )
    by_oxide |= {
        "SiO2": _silica(glass),
        "B2O3": _boron(glass),
        "TiO2": titania,
        "PbO": _lead(glass),
        "K2O": _potash(glass),
        "Na2O": _soda(glass),
    }
    return added_up(glass, by_oxide) / 100 / 10


def _number(oxide: str, quantity: str) -> float:
    return quantities(FILE, MODEL)[oxide, quantity]


def _silica(glass: Mapping[str, float]) -> float:
    above = max(0.0, glass.get("SiO2", 0.0) - _number("SiO2", "slope from"))
    return _number("SiO2", "factor") + _number("SiO2", "slope") * above


def _boron(glass: Mapping[str, float]) -> float:
    ratio = min(max(psi(glass) or 0.0, 0.0), _number("B2O3", "slope to"))
    return _number("B2O3", "factor") + _number("B2O3", "slope") * ratio


def _titania(glass: Mapping[str, float]) -> float | None:
    """None where the rule does not hold. A trace (the model's own limit) passes at the nearer end,
    for it changes the sum by less than the rounding of the table."""
    low, high = _number("TiO2", "slope from"), _number("TiO2", "slope to")
    silica = glass.get("SiO2", 0.0)
    if glass.get("TiO2", 0.0) > 1 and not low <= silica <= high:
        return None
    return _number("TiO2", "factor") + _number("TiO2", "slope") * (
        min(max(silica, low), high) - low
    )


def _lead(glass: Mapping[str, float]) -> float:
    alkali = sum(glass.get(oxide, 0.0) for oxide in ALKALIS)
    free = _number("PbO", "factor") + _number("PbO", "slope") * alkali
    return min(max(free, _number("PbO", "least")), _number("PbO", "most"))


def _potash(glass: Mapping[str, float]) -> float:
    without = glass.get("Na2O", 0.0) < _number("K2O", "without soda below")
    return _number("K2O", "factor without soda" if without else "factor")


def _soda(glass: Mapping[str, float]) -> float:
    others = sum(share for oxide, share in glass.items() if oxide not in ("Na2O", "SiO2"))
    return _number("Na2O", "factor with silica alone" if others < TRACE else "factor")
