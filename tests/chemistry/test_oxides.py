"""Molar masses against two general chemistry libraries, and the arithmetic of formulas.

Masses: T. Prohaska et al., 2022, Pure and Applied Chemistry 94, 573 (IUPAC 2021, abridged).
"""

from __future__ import annotations

import re

import molmass
import periodictable
import pytest
from clearover.chemistry.materials import trade_materials
from clearover.chemistry.oxides import (
    find_oxide,
    is_flux,
    oxides,
    percent,
    to_moles,
    to_weights,
    unity,
)
from hypothesis import given
from hypothesis import strategies as st

AMOUNTS = st.dictionaries(
    st.sampled_from(list(oxides())), st.floats(1e-3, 1e3), min_size=1, max_size=12
)


@pytest.mark.parametrize("name", list(oxides()))
def test_molar_mass_agrees_with_two_libraries(name: str) -> None:
    # 1e-4: the abridged weights of 2021 are rounded to five figures, the libraries' are not.
    mass = oxides()[name].molar_mass
    assert mass == pytest.approx(periodictable.formula(name).mass, rel=1e-4)
    assert mass == pytest.approx(molmass.Formula(name).mass, rel=1e-4)


def test_what_counts_as_flux() -> None:
    fluxes = {name for name in oxides() if is_flux(name)}
    assert {"ZnO", "SrO", "BaO", "Li2O", "Na2O", "K2O", "CaO", "MgO", "PbO"} <= fluxes
    assert not fluxes & {"B2O3", "MnO", "FeO", "CoO", "CuO", "NiO", "Fe2O3", "Al2O3", "SiO2"}


@pytest.mark.parametrize("written", ["SiO2", "sio2", "SiO₂", " SIO2 "])
def test_an_oxide_is_known_however_it_is_written(written: str) -> None:
    found = find_oxide(written)
    assert found is not None and found.name == "SiO2"


def _atoms(formula: str) -> dict[str, float]:
    """Atoms of a formula with dots and leading numbers, counted by periodictable."""
    atoms: dict[str, float] = {}
    for part in formula.split(" ")[0].replace("11.5H2O", "11·5H2O").replace(".", "·").split("·"):
        number, bare = re.fullmatch(r"(\d*)(.+)", part).groups()  # type: ignore[union-attr]
        for element, count in periodictable.formula(bare).atoms.items():
            atoms[str(element)] = atoms.get(str(element), 0) + count * int(number or 1)
    return atoms


@pytest.mark.parametrize(
    "material", [m for m in trade_materials() if m.analysis == "ideal"], ids=lambda m: m.name
)
def test_an_ideal_analysis_is_its_formula(material: object) -> None:
    formula = next(r["formula"] for r in _table() if r["material"] == material.name)  # type: ignore[attr-defined]
    atoms = _atoms(formula)
    whole = sum(getattr(periodictable, element).mass * n for element, n in atoms.items())
    from_oxides: dict[str, float] = {}
    for oxide, share in material.oxides.items():  # type: ignore[attr-defined]
        moles = whole * share / 100 / oxides()[oxide].molar_mass
        for element, count in periodictable.formula(oxide).atoms.items():
            if str(element) != "O":
                from_oxides[str(element)] = from_oxides.get(str(element), 0) + moles * count
    kept = {e: n for e, n in atoms.items() if e not in ("O", "H", "C", "F", "S")}
    assert from_oxides == pytest.approx(kept, rel=5e-4)


def _table() -> tuple[dict[str, str], ...]:
    from clearover.tables import rows

    return rows("materials.csv")


@given(AMOUNTS)
def test_weights_to_moles_and_back(weights: dict[str, float]) -> None:
    assert to_weights(to_moles(weights)) == pytest.approx(weights, rel=1e-12)


@given(AMOUNTS)
def test_shares_sum_to_a_hundred(weights: dict[str, float]) -> None:
    shares = percent(weights)
    assert shares is not None and sum(shares.values()) == pytest.approx(100)


@given(AMOUNTS, st.floats(1e-3, 1e3))
def test_unity_does_not_depend_on_the_size_of_the_batch(
    moles: dict[str, float], size: float
) -> None:
    one = unity(moles)
    other = unity({name: amount * size for name, amount in moles.items()})
    if not any(is_flux(name) for name in moles):
        assert one is None and other is None
        return
    assert one is not None and other is not None
    assert sum(part for name, part in one.items() if is_flux(name)) == pytest.approx(1)
    assert other == pytest.approx(one, rel=1e-9)


def test_nothing_has_no_shares_and_no_unity() -> None:
    assert percent({}) is None and percent({"SiO2": 0.0}) is None
    assert unity({"SiO2": 3.0, "B2O3": 1.0}) is None
