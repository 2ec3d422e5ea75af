"""How boron sits in a glass, after Appen: a composition in mol % in, his ratio psi out.

    psi = (Na2O + K2O + BaO + 0.7 (CaO + SrO + CdO + PbO) + 0.3 (Li2O + MgO + ZnO) − Al2O3) / B2O3

A high psi means oxygen to spare: boron takes up four of them and tightens the glass. At 0 it has
three and loosens it. The weights, from memory, are `data/boron-coordination.csv`. Source: A. A.
Appen, 1970, “Chemistry of Glass”.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from ...tables import rows


@cache
def _weights() -> dict[str, float]:
    return {row["oxide"]: float(row["weight"]) for row in rows("boron-coordination.csv")}


def psi(mol: Mapping[str, float]) -> float | None:
    """Appen's ratio for B2O3; None where a glass holds no boron."""
    boron = mol.get("B2O3", 0.0)
    if not boron > 0:
        return None
    return sum(weight * mol.get(oxide, 0.0) for oxide, weight in _weights().items()) / boron
