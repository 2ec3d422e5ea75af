"""The domain: near enough to measured glasses, by distance and not only by least and most."""

from __future__ import annotations

import csv
from importlib.resources import files

import numpy as np
import pytest
from clearover.glass import checks
from clearover.glass.domain import FOREIGN, limits, place
from clearover.glass.expansion import FILE, expansion
from clearover.glass.fitted import load
from clearover.glass.melt_model import melt_curve

GLAZE = {"SiO2": 66.0, "Al2O3": 8.0, "B2O3": 4.0, "CaO": 11.0, "MgO": 2.0, "Na2O": 5.0, "K2O": 4.0}


def test_most_measured_glasses_lie_inside(compositions) -> None:
    some = list(compositions.values())[::29]
    assert np.mean([expansion(mol).value is not None for mol in some]) > 0.85
    assert np.mean([melt_curve(mol).reason is None for mol in some]) > 0.85


def test_each_oxide_in_range_is_not_enough() -> None:
    """Every share lies between the least and the most measured, but nothing comes near."""
    inputs = load(FILE).inputs.shares
    order = load(FILE).oxides
    mol = {"SiO2": 46.0, "Al2O3": 4.0, "ZnO": 26.0, "Li2O": 16.0, "CaO": 2.0, "K2O": 6.0}
    row = np.array([mol.get(oxide, 0.0) for oxide in order])
    assert (row >= inputs.min(0) - 1e-9).all()
    assert (row <= inputs.max(0) + 1e-9).all()
    found = expansion(mol)
    assert found.value is None
    assert "comes near it" in found.reason


def test_a_reason_names_what_is_unlike() -> None:
    found = expansion({"SiO2": 45.0, "Al2O3": 6.0, "MgO": 45.0, "CaO": 4.0})
    assert "so much MgO (45.0 mol %)" in found.reason


def test_doubt_grows_with_distance() -> None:
    model = load(FILE)
    spreads = []
    for magnesia in (2.0, 15.0, 30.0, 45.0):
        mol = GLAZE | {"SiO2": 68.0 - magnesia, "MgO": magnesia}
        spreads.append(model.doubt(place(model, "expansion", mol).shares).spread)
    assert spreads == sorted(spreads)


def test_foreign_oxides_are_named_and_widen_the_band() -> None:
    model = load(FILE)
    mol = {oxide: amount * 0.995 for oxide, amount in GLAZE.items()} | {"V2O5": 0.5}
    where = place(model, "expansion", mol)
    assert where.reason is None
    assert where.widened == pytest.approx(0.5 * limits("expansion")["band widened if left out"])
    assert expansion(mol).high - expansion(mol).low > expansion(GLAZE).high - expansion(GLAZE).low
    much = {oxide: amount * 0.95 for oxide, amount in GLAZE.items()} | {"V2O5": 5.0}
    assert "5 mol % V2O5" in expansion(much).reason


def test_every_limit_has_a_source() -> None:
    text = files("clearover").joinpath("data", FOREIGN).read_text(encoding="utf-8")
    for row in csv.DictReader(text.splitlines()):
        assert row["source"]
        assert row["known"] in {"seen", "computed", "memory", "memory-unsure"}


def test_the_points_for_plots_are_those_of_the_unseen_table(bench_table) -> None:
    points = checks.points()
    rows = bench_table("unseen-glasses.csv")
    for name in ("expansion", "viscosity at 1200 °C", "temperature at log10 3"):
        unseen = {r["glass"]: r["predicted"] for r in rows if r["property"] == name}
        assert 50 < len(points[name]) <= 300
        for point in points[name]:
            assert point.low < point.predicted < point.high
            assert point.predicted == pytest.approx(float(unseen[point.glass]), abs=0.5)
