"""Density of a cold glass after Appen: a glass in mol % in, kg/m3 out.

    rho = Σ mol fraction × molar mass ÷ Σ mol fraction × partial volume         at room temperature

Two volumes depend on the rest of the glass: SiO2 26.1 cm³/mol up to 67 mol %, rising in a straight
line to 27.25 in pure silica; B2O3 38 cm³/mol at psi 0, falling to 18.5 at psi 4 (`boron.py`). The
ends were read, the straight lines between them are from memory. No volume for ZrO2.

Source: A. A. Appen, 1970, “Chemistry of Glass”, partial molar volumes (`data/density-factors.csv`).
"""

from __future__ import annotations

from collections.abc import Mapping

from ...chemistry.oxides import to_weights
from .boron import psi
from .factors import added_up, factors, quantities
from .outside import Outside
from .ranges import known_part

MODEL = "Appen density"
FILE = "density-factors.csv"
IN_FILE = "Appen"


def density(mol: Mapping[str, float]) -> float | Outside:
    """Density of the glass at room temperature, kg/m3."""
    parts = known_part(MODEL, mol, factors(FILE, IN_FILE))
    if isinstance(parts, Outside):
        return parts
    grams = sum(to_weights(parts.kept).values())
    return 1000 * grams / added_up(parts.kept, volumes(parts.kept))


def volumes(mol: Mapping[str, float]) -> dict[str, float]:
    """The partial volume of each oxide in this glass (mol %), cm³/mol, at room temperature."""
    table = quantities(FILE, IN_FILE)
    found = dict(factors(FILE, IN_FILE))
    ratio = min(max(psi(mol) or 0.0, 0.0), table["B2O3", "slope to"])
    above = max(0.0, mol.get("SiO2", 0.0) - table["SiO2", "slope from"])
    found["SiO2"] += table["SiO2", "slope"] * above
    found["B2O3"] += table["B2O3", "slope"] * ratio
    return found
