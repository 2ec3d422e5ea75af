"""Density: Appen's partial volumes against known glasses, and the melt against Lange's.

Known glasses, kg/m3 at room temperature, all from memory: ISO 3585, “Borosilicate glass 3.3.
Properties” (2230); float glass, EN 572-1, “Basic soda lime silicate glass products” (2500); fused
silica, handbooks (2203); E glass, handbooks (2540 to 2600, the boron-rich kind at the low end).
"""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest
from clearover.chemistry.oxides import oxides
from clearover.glass.composition import mol_percent
from clearover.glass.density import density, left_in_melt
from clearover.glass.published import Outside, appen_density, cold_density_models, lange1997
from clearover.glass.published.factors import factors
from clearover.tables import rows
from hypothesis import given
from hypothesis import strategies as st

DATA = Path(__file__).parent / "data"

KNOWN = {
    "borosilicate 3.3": ({"SiO2": 80.6, "B2O3": 13, "Na2O": 4, "Al2O3": 2.3, "K2O": 0.1}, 2230),
    "float": ({"SiO2": 72.5, "Na2O": 13.7, "CaO": 8.9, "MgO": 4, "Al2O3": 0.6, "K2O": 0.3}, 2500),
    "silica": ({"SiO2": 100}, 2203),
    "E glass": ({"SiO2": 54, "Al2O3": 14, "B2O3": 10, "CaO": 17.5, "MgO": 4.5}, 2540),
}


def _check_glasses() -> list[dict[str, float]]:
    """Every analysis of the two check tables (expansion, surface tension), mol %."""
    found = []
    for name in ("expansion_check.csv", "surface_tension_check.csv"):
        for row in csv.DictReader((DATA / name).read_text(encoding="utf-8").splitlines()):
            parts = re.findall(r"([A-Z]\w*) (\d[\d.]*)", row["composition_weight_percent"])
            weight = {n: float(share) for n, share in parts if n in oxides()}
            if sum(weight.values()) > 90:
                found.append(mol_percent(weight))
    return found


@pytest.mark.parametrize("glass", list(KNOWN))
def test_the_cold_density_of_a_known_glass(glass: str) -> None:
    weight, kg_per_m3 = KNOWN[glass]
    assert appen_density.density(mol_percent(weight)) == pytest.approx(kg_per_m3, rel=0.012)


@pytest.mark.parametrize("oxide", ["SiO2", "B2O3", "Na2O", "CaO", "Al2O3"])
def test_a_broken_volume_would_be_seen(oxide: str, monkeypatch: pytest.MonkeyPatch) -> None:
    volumes = factors("density-factors.csv", "Appen")
    monkeypatch.setitem(volumes, oxide, 1.25 * volumes[oxide])
    misses = [
        abs(appen_density.density(mol_percent(weight)) / known - 1)  # type: ignore[operator]
        for weight, known in KNOWN.values()
    ]
    assert max(misses) > 0.012


def test_the_older_factors_agree_within_a_few_per_cent() -> None:
    # Winkelmann and Schott give silica 2300 (pure silica has 2203), so they read high.
    apart: dict[str, list[float]] = {"Winkelmann-Schott": [], "English-Turner": []}
    for glass in _check_glasses():
        appen = cold_density_models()["Appen"](glass)
        for name, ratios in apart.items():
            other = cold_density_models()[name](glass)
            if appen is not None and other is not None:
                ratios.append(other / appen - 1)
    assert {name: len(ratios) for name, ratios in apart.items()} == {
        "Winkelmann-Schott": 70,
        "English-Turner": 24,
    }
    assert max(abs(r) for r in apart["Winkelmann-Schott"]) < 0.10
    assert max(abs(r) for r in apart["English-Turner"]) < 0.05


def test_by_hand() -> None:
    # Half silica, half soda, mol: (60.083 + 61.979) / (26.1 + 20.2) g/cm³.
    assert appen_density.density({"SiO2": 1, "Na2O": 1}) == pytest.approx(1000 * 122.062 / 46.3)
    # Pure silica 27.255; boron at psi 0 38, at psi 4 18.5.
    assert appen_density.density({"SiO2": 1}) == pytest.approx(1000 * 60.083 / 27.255)
    assert appen_density.density({"B2O3": 1}) == pytest.approx(1000 * 69.617 / 38)
    tight = appen_density.density({"B2O3": 1, "Na2O": 4})
    assert tight == pytest.approx(1000 * (69.617 + 4 * 61.979) / (18.5 + 4 * 20.2))
    # Weight factors: 100 / (50 / 2.3 + 50 / 2.6).
    half = mol_percent({"SiO2": 50, "Na2O": 50})
    assert cold_density_models()["Winkelmann-Schott"](half) == pytest.approx(
        1e5 / (50 / 2.3 + 50 / 2.6)
    )


# Melts, kg/m3, from memory: K. M. Krafft and others' and R. A. Lange's measurements as quoted in
# textbooks of petrology; the last figure is not sure, hence 1.5 %.
MELTS = {
    "albite": ({"SiO2": 75, "Al2O3": 12.5, "Na2O": 12.5}, 1200, 2325),
    "diopside": ({"SiO2": 50, "MgO": 25, "CaO": 25}, 1400, 2640),
}


@pytest.mark.parametrize("name", list(MELTS))
def test_the_density_of_a_known_melt(name: str) -> None:
    mol, celsius, kg_per_m3 = MELTS[name]
    assert density(mol, celsius).value == pytest.approx(kg_per_m3, rel=0.015)


def test_without_other_oxides_it_is_lange() -> None:
    mol = {"SiO2": 70, "Al2O3": 8, "Na2O": 5, "K2O": 2, "CaO": 12, "MgO": 3}
    assert density(mol, 1150).value == pytest.approx(lange1997.density(mol, 1150))
    assert isinstance(lange1997.density(mol | {"B2O3": 5}, 1150), Outside)


def test_the_share_left_in_the_melt_is_that_of_lange_over_appen() -> None:
    """0.975 to 0.948 was reckoned on other glasses; the check tables' must lie round it, nine in
    ten within the band of 3 %."""
    for celsius in (900, 1100, 1300):
        shares = []
        for glass in _check_glasses():
            melt, cold = lange1997.density(glass, celsius), appen_density.density(glass)
            alkali = glass.get("Na2O", 0) + glass.get("K2O", 0)
            glazelike = alkali < 20 and 55 < glass["SiO2"] < 80
            if glazelike and isinstance(melt, float) and isinstance(cold, float):
                shares.append(melt / cold / left_in_melt(celsius))
        assert len(shares) >= 15
        assert sum(shares) / len(shares) == pytest.approx(1, abs=0.015)
        assert sum(abs(s - 1) < 0.03 for s in shares) / len(shares) >= 0.9


def test_boron_by_hand() -> None:
    # At 1400 °C: 0.9 SiO2 at 26.86 and 0.1 B2O3 at psi 0: 38 / 0.94775.
    grams = 0.9 * 60.083 + 0.1 * 69.617
    found = density({"SiO2": 90, "B2O3": 10}, 1400).value
    assert found == pytest.approx(1000 * grams / (0.9 * 26.86 + 0.1 * 38 / 0.94775))


def test_a_glaze_is_about_2400() -> None:
    # A stoneware glaze: between 2300 and 2500 kg/m3 molten. Source: common practice.
    glaze = {"SiO2": 66, "Al2O3": 9, "B2O3": 4, "CaO": 12, "Na2O": 4, "K2O": 3, "MgO": 2}
    found = density(glaze, 1220)
    assert found.value is not None and 2300 < found.value < 2500
    assert found.source is not None and "Appen" in found.source


def test_boron_widens_the_band() -> None:
    plain = density({"SiO2": 70, "Na2O": 15, "CaO": 15}, 1200)
    boron = density({"SiO2": 60, "Na2O": 15, "CaO": 15, "B2O3": 10}, 1200)
    for found, band in ((plain, 0.03), (boron, 0.05)):
        assert found.value is not None and found.low is not None and found.high is not None
        assert found.high / found.value - 1 == pytest.approx(band)
        assert 1 - found.low / found.value == pytest.approx(band)


def test_outside_there_is_a_reason() -> None:
    assert "no factor for 10 mol % ZrO2" in str(density({"SiO2": 90, "ZrO2": 10}, 1200).reason)
    assert "900 to 1400 °C" in str(density({"SiO2": 100}, 700).reason)
    assert "40 to 100 mol % SiO2" in str(density({"SiO2": 20, "CaO": 80}, 1200).reason)
    assert density({}, 1200).value is None


def test_the_share_left_in_the_melt() -> None:
    assert left_in_melt(900) == pytest.approx(0.975)
    assert left_in_melt(1400) == pytest.approx(0.948, abs=5e-4)


@pytest.mark.parametrize("row", rows("density-factors.csv"), ids=lambda r: r["oxide"])
def test_every_number_has_a_source_and_says_how_it_is_known(row: dict[str, str]) -> None:
    assert row["source"] and row["known"] in ("seen", "computed", "memory", "memory-unsure")


MOLS = st.fixed_dictionaries(
    {"SiO2": st.floats(50, 60)},
    optional={name: st.floats(0.1, 10) for name in ("Al2O3", "B2O3", "CaO", "ZnO", "Na2O", "K2O")},
)


@given(MOLS, st.integers(-12, 12), st.floats(900, 1300), st.floats(1, 100))
def test_scale_and_heat(mol: dict[str, float], doublings: int, celsius: float, more: float) -> None:
    bigger = {name: share * 2.0**doublings for name, share in mol.items()}
    cold, hot = density(mol, celsius), density(mol, celsius + more)
    assert density(bigger, celsius) == cold
    # Silica and alumina keep their volume, so a melt of nothing else does not widen.
    assert cold.value is not None and hot.value is not None and hot.value <= cold.value
