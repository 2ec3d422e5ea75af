"""Oxides: what each weighs and what it does in a glaze.

In: amounts of oxides by weight or in moles. Out: the other, per cent, and the unity formula.
Knows nothing of materials or of records.

Molar masses (g/mol): T. Prohaska et al., 2022, “Standard atomic weights of the elements 2021
(IUPAC Technical Report)”, Pure and Applied Chemistry 94, 573, abridged values; `data/oxides.csv`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, lru_cache

from ..tables import plain, rows

ALKALIS = ("Li2O", "Na2O", "K2O", "Rb2O", "Cs2O")
"""The fluxes R2O of a unity formula; all other fluxes are RO."""

GLASS_FORMERS = ("SiO2", "B2O3", "P2O5", "GeO2")
"""Oxides that make a glass by themselves. Source: W. H. Zachariasen, 1932, “The atomic arrangement
in glass”, Journal of the American Chemical Society 54, 3841 (from memory)."""


@dataclass(frozen=True, slots=True)
class Oxide:
    """One oxide. `molar_mass` in g/mol; `role`: flux, former, stabiliser, opacifier, colourant,
    other, or loss (what leaves in the fire)."""

    name: str
    molar_mass: float
    role: str
    source: str


@cache
def oxides() -> dict[str, Oxide]:
    """Every oxide by its formula, in the table's order (fluxes first)."""
    return {
        row["oxide"]: Oxide(
            row["oxide"], float(row["molar_mass_g_per_mol"]), row["role"], row["source"]
        )
        for row in rows("oxides.csv")
    }


@cache
def _by_plain_name() -> dict[str, str]:
    return {plain(name): name for name in oxides()}


@lru_cache(maxsize=4096)
def find_oxide(text: str) -> Oxide | None:
    """The oxide somebody wrote (`sio2`, `SiO₂`, `Si O2`), or None."""
    name = _by_plain_name().get(plain(text).replace(" ", ""))
    return oxides()[name] if name else None


def is_flux(name: str) -> bool:
    """Whether an oxide counts as flux in the unity formula.

    ZnO, SrO, BaO, Li2O and PbO do; B2O3 and the colouring oxides (MnO, FeO, CoO, CuO, NiO) do not.
    Source: common practice of the Seger formula; boron as a glass former after H. A. Seger.
    """
    found = oxides().get(name)
    return found is not None and found.role == "flux"


def to_moles(weights: Mapping[str, float]) -> dict[str, float]:
    """Weights (any unit) -> moles (that unit per g/mol)."""
    table = oxides()
    return {name: weight / table[name].molar_mass for name, weight in weights.items()}


def to_weights(moles: Mapping[str, float]) -> dict[str, float]:
    """Moles -> weights, the other way round."""
    table = oxides()
    return {name: amount * table[name].molar_mass for name, amount in moles.items()}


def percent(amounts: Mapping[str, float]) -> dict[str, float] | None:
    """Shares of the whole, summing to 100, in the table's order; None where all is nothing."""
    total = sum(amounts.values())
    if not total > 0:
        return None
    return {name: 100 * amount / total for name, amount in in_order(amounts).items()}


def alkali_to_earths(moles: Mapping[str, float]) -> float | None:
    """R2O:RO, moles of the alkalis for one mole of the other fluxes; None where there are none.

    Source: common practice of the Seger formula.
    """
    fluxes = {name: amount for name, amount in moles.items() if is_flux(name)}
    alkalis = sum(amount for name, amount in fluxes.items() if name in ALKALIS)
    earths = sum(amount for name, amount in fluxes.items() if name not in ALKALIS)
    return alkalis / earths if earths > 0 else None


def unity(moles: Mapping[str, float]) -> dict[str, float] | None:
    """The Seger formula: moles divided so that the fluxes sum to 1; None where there is no flux."""
    flux = sum(amount for name, amount in moles.items() if is_flux(name))
    if not flux > 0:
        return None
    return {name: amount / flux for name, amount in in_order(moles).items()}


def in_order(amounts: Mapping[str, float]) -> dict[str, float]:
    """The same amounts in the table's order, those of nothing left out."""
    return {name: amounts[name] for name in oxides() if amounts.get(name, 0) > 0}
