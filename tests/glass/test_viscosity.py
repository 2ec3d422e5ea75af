"""Our own melt curves: what was fitted is what runs, hotter is never stiffer, promises are kept."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import numpy as np
import pytest
from clearover.glass.composition import mol_percent
from clearover.glass.fitted import load
from clearover.glass.melt_model import FILE, MODEL
from clearover.glass.viscosity import melt_curve, temperature_at, viscosity
from hypothesis import given, settings
from hypothesis import strategies as st

GLAZE = {"SiO2": 66.0, "Al2O3": 8.0, "B2O3": 4.0, "CaO": 11.0, "MgO": 2.0, "Na2O": 5.0, "K2O": 4.0}
OXIDES = ("SiO2", "Al2O3", "B2O3", "CaO", "MgO", "ZnO", "BaO", "SrO", "Na2O", "K2O", "Li2O")
PROMISED = {
    "viscosity at 1200 °C": (0.10, 0.15),
    "viscosity at 1000 °C": (0.17, None),
    "temperature at log10 3": (20.0, None),
}

anything = st.fixed_dictionaries({oxide: st.floats(0.0, 40.0) for oxide in OXIDES[1:]}).map(
    lambda parts: {"SiO2": 50.0} | parts
)


def test_what_runs_is_what_was_fitted(bench_table, compositions) -> None:
    """The file's rounding and the running code against the fit itself, in 100 °C."""
    rows = [row for row in bench_table("exact-predictions.csv") if row["property"] == "viscosity"]
    model = load(FILE)
    given_rows = [[compositions[row["glass"]][oxide] for oxide in model.oxides] for row in rows]
    shares = np.array(given_rows)
    found = model.means(100 * shares / shares.sum(1, keepdims=True))
    assert len(rows) > 30
    assert np.abs(found[:, 0] - [float(row["first"]) for row in rows]).max() < 0.005
    assert np.abs(found[:, 1] - [float(row["second"]) for row in rows]).max() < 0.005


@pytest.mark.parametrize("name", PROMISED)
def test_melts_of_unseen_publications_are_foretold_as_promised(shown, name: str) -> None:
    found = shown(name)
    median, trimmed = PROMISED[name]
    assert found.inside / found.glasses >= 0.8
    assert found.median <= median
    assert trimmed is None or found.trimmed <= trimmed
    assert 0.85 <= found.held <= 0.95


def test_every_measured_melt_is_scored(bench_table) -> None:
    out = {r["id"] for r in bench_table("left-out-glasses.csv") if r["property"] == "viscosity"}
    column = "log10_eta_Pas_at_1200_C"
    measured = {row["id"] for row in bench_table("measured_glasses.csv") if row[column]} - out
    rows = bench_table("unseen-glasses.csv")
    assert {r["glass"] for r in rows if r["property"] == "viscosity at 1200 °C"} == measured


def test_models_and_unseen_tables_are_made_from_the_same(bench_table) -> None:
    """The committed model was fitted with the settings and glasses that lie beside the tests."""
    from hashlib import sha256

    data = Path(__file__).resolve().parent.parent / "bench" / "data"
    names = ("measured_glasses.csv", "left-out-glasses.csv", "glass-settings.json")
    made_from = sha256(b"".join((data / name).read_bytes() for name in names)).hexdigest()[:12]
    for name in (FILE, "glass-expansion.json"):
        assert load(name).settings["made_from"] == made_from
    assert {row["made_from"] for row in bench_table("unseen-glasses.csv")} == {made_from}


@settings(max_examples=60, deadline=None)
@given(anything, st.floats(600.0, 1390.0), st.floats(0.5, 300.0))
def test_hotter_is_never_stiffer(mol: dict[str, float], celsius: float, more: float) -> None:
    curve = melt_curve(mol)
    if curve.reason is None:
        cold, hot = curve.log10_at(np.array([celsius, min(celsius + more, 1400.0)]))
        assert hot < cold or (np.isinf(hot) and np.isinf(cold))


def test_hotter_is_never_stiffer_for_any_measured_glass(compositions) -> None:
    celsius = np.linspace(600.0, 1400.0, 81)
    found = 0
    for mol in list(compositions.values())[::23]:
        curve = melt_curve(mol)
        if curve.reason is None:
            found += 1
            level = curve.log10_at(celsius)
            flowing = np.isfinite(level)
            assert (np.diff(level[flowing]) < 0).all()
            assert not flowing[: int(np.argmax(flowing))].any()
            assert (curve.half_band(celsius)[flowing] > 0).all()
    assert found > 70


@given(st.floats(1.5, 11.0))
def test_temperature_is_the_inverse_of_viscosity(level: float) -> None:
    celsius = temperature_at(GLAZE, level).value
    assert celsius is not None
    assert viscosity(GLAZE, celsius).value == pytest.approx(level, abs=1e-6)


@given(st.floats(0.01, 100.0))
def test_only_the_shares_count(scale: float) -> None:
    found = viscosity({oxide: amount * scale for oxide, amount in GLAZE.items()}, 1200.0)
    assert found.value == pytest.approx(viscosity(GLAZE, 1200.0).value, abs=1e-9)


def test_an_estimate_holds_its_curve_and_band() -> None:
    found, curve = viscosity(GLAZE, 1220.0), melt_curve(GLAZE)
    assert found.model == MODEL
    assert found.low < found.value < found.high
    assert found.value == pytest.approx(curve.log10_at(np.array([1220.0]))[0])
    celsius = temperature_at(GLAZE, found.value)
    assert celsius.low < 1220.0 < celsius.high
    assert 600 < curve.extrapolated_below_c < 1000


def test_the_band_widens_where_the_curve_is_extrapolated() -> None:
    curve = melt_curve(GLAZE)
    widths = [curve.half_band_c(level) for level in (2.5, 6.0, 12.0)]
    assert widths == sorted(widths)


def test_soda_thins_and_alumina_stiffens() -> None:
    base = viscosity(GLAZE, 1200.0).value
    assert viscosity(GLAZE | {"SiO2": 63.0, "Na2O": 8.0}, 1200.0).value < base - 0.1
    assert viscosity(GLAZE | {"Al2O3": 11.0, "Na2O": 2.0}, 1200.0).value > base + 0.1


def test_the_stiff_end_is_foretold_though_no_fit_saw_it(bench_table, compositions) -> None:
    """Temperatures at 10^12 Pa·s are left out of the fit: the curve's form must carry there."""
    column = "T_at_log10_eta_Pas_12_C"
    rows = [row for row in bench_table("measured_glasses.csv") if row[column]]
    errors = []
    for row in rows:
        found = temperature_at(compositions[row["id"]], 12.0)
        if found.value is not None:
            errors.append(abs(found.value - float(row[column])))
    assert len(errors) > 80
    assert np.median(errors) < 25


@pytest.mark.parametrize(
    "mol",
    [{"SiO2": 100.0}, {"CaO": 50.0, "Na2O": 50.0}, {}, {"SiO2": 60.0, "V2O5": 40.0}],
)
def test_far_from_all_measured_melts_nothing_is_computed(mol: dict[str, float]) -> None:
    for found in (viscosity(mol, 1200.0), temperature_at(mol, 3.0)):
        assert found.value is None
        assert found.reason is not None
        assert found.reason.startswith("not computed: ")


@pytest.mark.parametrize(("celsius", "words"), [(20.0, "1550"), (2000.0, "500"), (520.0, "solid")])
def test_where_no_melt_was_measured_nothing_is_told(celsius: float, words: str) -> None:
    found = viscosity(GLAZE, celsius)
    assert found.value is None
    assert words in found.reason


def test_certified_standards_lie_inside_the_band() -> None:
    """`data/viscosity_reference_glasses.csv`: those that our fit or a published model covers. The
    tables are in dPa·s."""
    path = Path(__file__).parent / "data" / "viscosity_reference_glasses.csv"
    with path.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    glasses: dict[str, dict[str, float]] = {}
    for row in rows:
        if row["quantity"].startswith("composition"):
            parts = re.findall(r"([A-Z][A-Za-z0-9]*) ([\d.]+)", row["value"])
            shares = {oxide: float(share) for oxide, share in parts}
            by_weight = "weight" in row["quantity"]
            glasses[row["glass"]] = mol_percent(shares) if by_weight else shares
    held = []
    for row in rows:
        level = re.search(r"dPa\.s = ([\d.]+)", row["note"])
        if row["quantity"] == "isokom" and level and row["glass"] in glasses:
            found = temperature_at(glasses[row["glass"]], float(level[1]) - 1)
            if found.value is not None:
                held.append(found.low <= float(row["value"]) <= found.high)
    assert len(held) >= 12
    assert np.mean(held) >= 0.75
