"""The published melt viscosities against the authors' worked numbers and certified standards.

Worked: A. Fluegel, 2007, Tables 1 and 12; T. Lakatos, L.-G. Johansson and B. Simmingsköld, 1976;
D. Giordano, J. K. Russell and D. B. Dingwell, 2008 (`data/viscosity_worked.csv`). Standards:
`data/viscosity_reference_glasses.csv`. Every row of both is used; the tables are in dPa·s (poise)
where they say so, the code in Pa·s.
"""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest
from clearover.glass.composition import mol_percent, normalised
from clearover.glass.published import (
    Outside,
    fluegel2007,
    giordano2008,
    lakatos1972,
    lakatos1976,
    melt,
    viscosity_models,
)
from clearover.glass.published.melt import MeltConstants
from clearover.tables import rows
from hypothesis import given
from hypothesis import strategies as st

DATA = Path(__file__).parent / "data"
MODELS = {m.MODEL: m for m in (fluegel2007, lakatos1976, lakatos1972, giordano2008)}


def _table(name: str) -> list[dict[str, str]]:
    return list(csv.DictReader((DATA / name).read_text(encoding="utf-8").splitlines()))


def _shares(text: str) -> dict[str, float]:
    return {name: float(share) for name, share in re.findall(r"([A-Z]\w*) ([\d.]+)", text)}


WORKED = _table("viscosity_worked.csv")
STANDARDS = _table("viscosity_reference_glasses.csv")
GLASSES = {
    row["glass"]: _shares(row["value"])
    for row in STANDARDS
    if row["quantity"] == "composition mol %"
}
POINTS = [
    (row["glass"], float(match[1]) - 1, float(row["value"]), row["quantity"], row["known"])
    for row in STANDARDS
    if (match := re.match(r"log10 eta dPa\.s = ([\d.]+)", row["note"]))
]


def _worked(model: str) -> list[dict[str, str]]:
    return [row for row in WORKED if row["model"] == model]


def _mol(row: dict[str, str]) -> dict[str, float]:
    shares = _shares(row["composition"])
    return shares if row["basis"] == "mol %" else mol_percent(shares)


def _constants(answer: MeltConstants | Outside) -> MeltConstants:
    assert isinstance(answer, MeltConstants), answer
    return answer


def test_every_worked_row_has_a_test() -> None:
    counts = {model: len(_worked(model)) for model in ("Fluegel 2007", "Lakatos 1976")}
    assert counts == {"Fluegel 2007": 15, "Lakatos 1976": 21}
    assert len(WORKED) == 15 + 21 + len(_worked("Giordano 2008"))


@pytest.mark.parametrize(
    "row", _worked("Fluegel 2007"), ids=lambda r: f"{r['glass']}-{r['log10_pa_s']}"
)
def test_fluegel_gives_the_worked_temperatures(row: dict[str, str]) -> None:
    level = float(row["log10_pa_s"])
    found = fluegel2007.temperatures(_mol(row))
    assert isinstance(found, dict)
    # The paper prints whole degrees; from its own rounded mol % 1 °C more may be lost.
    assert found[level] == pytest.approx(float(row["temperature_c"]), abs=1)
    # Its standard error of one temperature is 9 to 17 °C (text): here, against what was measured.
    assert found[level] == pytest.approx(float(row["measured_c"]), abs=17)
    curve = _constants(fluegel2007.melt_constants(_mol(row)))
    assert melt.temperature_at(curve, level) == pytest.approx(found[level], abs=1e-6)


@pytest.mark.parametrize(
    "row", _worked("Lakatos 1976"), ids=lambda r: f"{r['glass']}-{r['log10_pa_s']}"
)
def test_lakatos_gives_the_worked_temperatures(row: dict[str, str]) -> None:
    # The printed ones are of the curve for S1, S7, S16 and FAL5, of the sums for F2-10. D6, the
    # barium glass, is missed by 6 °C at the hot end by both: the copy of the table may be at fault.
    level, printed = float(row["log10_pa_s"]), float(row["temperature_c"])
    slack = 6.7 if row["glass"] == "D6" else 1.5
    curve = _constants(lakatos1976.melt_constants(_mol(row)))
    assert melt.temperature_at(curve, level) == pytest.approx(printed, abs=slack)
    by_sum = lakatos1976.temperature_at(_mol(row), round(level + 1))
    assert by_sum == pytest.approx(printed, abs=slack)


@pytest.mark.parametrize("row", _worked("Giordano 2008"), ids=lambda r: r["glass"])
def test_giordano_gives_the_authors_numbers(row: dict[str, str]) -> None:
    # 0.0002: the authors' molar masses are rounded otherwise.
    value = giordano2008.log10_viscosity(_mol(row), float(row["temperature_c"]))
    assert value == pytest.approx(float(row["log10_pa_s"]), abs=2e-4)


@pytest.mark.parametrize("model", ["Fluegel 2007", "Lakatos 1976", "Giordano 2008"])
def test_a_lost_sign_would_be_seen(model: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each coefficient that weighs in a worked glass: its sign turned, a worked number fails."""
    if model == "Fluegel 2007":
        levels = fluegel2007._levels()
        for level, terms in levels.items():
            for term, value in terms.items():
                worth = max(_term_worth(term, value, _mol(row)) for row in _worked(model))
                if worth > 3:  # °C: the paper's rounding hides less
                    monkeypatch.setitem(terms, term, -value)
                    assert not _fluegel_holds(level), (level, term)
                    monkeypatch.setitem(terms, term, value)
    elif model == "Lakatos 1976":
        for sums in (lakatos1976._sums()[name] for name in ("A", "B", "T0")):
            for term, value in sums.items():
                in_one = any(term.partition("^")[0] in row["composition"] for row in _worked(model))
                if in_one or term == "constant":
                    monkeypatch.setitem(sums, term, -value)
                    assert not _lakatos_holds(), term
                    monkeypatch.setitem(sums, term, value)
    else:
        values = giordano2008._values()
        for term, value in values.items():
            monkeypatch.setitem(values, term, -value)
            assert not _giordano_holds(), term
            monkeypatch.setitem(values, term, value)


def _term_worth(term: fluegel2007.Term, value: float, mol: dict[str, float]) -> float:
    glass = normalised(mol)
    for oxide, power in term:
        value *= glass.get(oxide, 0.0) ** power
    return abs(value)


def _fluegel_holds(level: float) -> bool:
    for row in _worked("Fluegel 2007"):
        found = fluegel2007.temperatures(_mol(row))
        if float(row["log10_pa_s"]) == level and (
            not isinstance(found, dict) or abs(found[level] - float(row["temperature_c"])) > 1
        ):
            return False
    return True


def _lakatos_holds() -> bool:
    for row in _worked("Lakatos 1976"):
        curve = lakatos1976.melt_constants(_mol(row))
        if isinstance(curve, Outside) or float(row["log10_pa_s"]) == curve.A:
            return False
        slack = 6.7 if row["glass"] == "D6" else 1.5
        off = melt.temperature_at(curve, float(row["log10_pa_s"])) - float(row["temperature_c"])
        if abs(off) > slack:
            return False
    return True


def _giordano_holds() -> bool:
    for row in _worked("Giordano 2008"):
        value = giordano2008.log10_viscosity(_mol(row), float(row["temperature_c"]))
        if isinstance(value, Outside) or abs(value - float(row["log10_pa_s"])) > 2e-4:
            return False
    return True


STANDARD_MISS_C = {
    # °C, the worst over the glass's points, measured here. SRM 710 at 10^12 and 10^13.5 Pa·s
    # (annealing and strain point) is missed by more: a fixed point there is 10 °C under the
    # temperature other laboratories found, and 10^13.5 lies beyond the model.
    ("Fluegel 2007", "DGG I"): 6.1,
    ("Fluegel 2007", "NIST SRM 710"): 8.0,
    ("Fluegel 2007", "NIST SRM 710a"): 6.2,
    ("Fluegel 2007", "NIST SRM 711"): 12.9,
    ("Fluegel 2007", "NIST SRM 717a"): 12.4,
    ("Lakatos 1976", "DGG I"): 8.5,
}


@pytest.mark.parametrize("model", list(MODELS))
@pytest.mark.parametrize("glass", list(GLASSES))
def test_a_standard_glass(model: str, glass: str) -> None:
    curve = MODELS[model].melt_constants(GLASSES[glass])
    bound = STANDARD_MISS_C.get((model, glass))
    if bound is None:
        # All others lie outside, and say why.
        assert isinstance(curve, Outside) and "model" in curve.reason
        return
    assert isinstance(curve, MeltConstants)
    misses = [
        abs(melt.temperature_at(curve, level) - celsius)
        for name, level, celsius, quantity, _ in POINTS
        if name == glass and not (quantity == "fixed point" and level >= 12)
    ]
    assert bound - 0.2 < max(misses) < bound  # worse: broken; better: the bound is out of date


def test_fixed_points_at_the_cold_end() -> None:
    curve = _constants(fluegel2007.melt_constants(GLASSES["NIST SRM 710"]))
    cold = {
        level: melt.temperature_at(curve, level) - celsius
        for _, level, celsius, quantity, _ in POINTS
        if quantity == "fixed point" and level >= 12
    }
    assert cold == pytest.approx({12.0: 17.8, 13.5: 33.3}, abs=0.1)
    at_strain = fluegel2007.log10_viscosity(GLASSES["NIST SRM 710"], 504)
    assert isinstance(at_strain, Outside) and "1.5 to 12 Pa·s" in at_strain.reason


def test_a_certificate_curve_goes_through_its_own_points() -> None:
    """The certificates' constants (A in log10 dPa·s), from memory, against points that were read:
    a check of the units and of the curve, not of a model."""
    curves: dict[tuple[str, str], dict[str, float]] = {}
    for row in STANDARDS:
        if row["quantity"].startswith("VFT "):
            letter = row["quantity"].removeprefix("VFT ")
            curves.setdefault((row["glass"], row["source"]), {})[letter] = float(row["value"])
    worst = {}
    for (glass, source), c in curves.items():
        curve = MeltConstants(c["A"] - 1, c["B"], c["T0"])
        misses = [
            abs(melt.temperature_at(curve, level) - celsius)
            for name, level, celsius, quantity, _ in POINTS
            if name == glass and quantity == "isokom"
        ]
        worst[glass, "another set" in source] = round(max(misses), 1)
    assert worst == {
        ("NIST SRM 710", False): 0.5,
        ("NIST SRM 711", False): 3.2,
        ("NBS 717 (older, not 717a)", False): 3.0,
        ("DGG I", False): 4.2,
        ("DGG I", True): 7.3,
        ("NIST SRM 710a", False): 0.1,
        ("NIST SRM 717a", False): 0.1,
    }


def test_the_analysis_of_a_standard_both_ways() -> None:
    weight = next(r for r in STANDARDS if r["quantity"] == "composition weight %")
    assert mol_percent(_shares(weight["value"])) == pytest.approx(GLASSES["DGG I"], abs=0.01)


def test_lakatos_1972_agrees_with_its_successor_where_both_hold() -> None:
    # The middle of the 1972 design (`glass-model-ranges.csv`); both are from the same laboratory.
    mol = {"SiO2": 100, "Na2O": 17.5, "CaO": 16, "Al2O3": 2, "K2O": 2, "MgO": 2.5}
    old, new = (_constants(m.melt_constants(mol)) for m in (lakatos1972, lakatos1976))
    for level in (1, 3, 5):
        assert melt.temperature_at(old, level) == pytest.approx(
            melt.temperature_at(new, level), abs=6
        )


@pytest.mark.parametrize("file", ["fluegel2007", "lakatos1976", "lakatos1972", "giordano2008"])
def test_every_number_has_a_source_and_says_how_it_is_known(file: str) -> None:
    for row in rows(f"viscosity-{file}.csv"):
        assert re.search(r"\d{4}", row["source"])
        assert row["known"] in ("seen", "computed", "memory", "memory-unsure")


def test_eight_signs_are_marked_as_restored() -> None:
    marked = [r["term"] for r in rows("viscosity-fluegel2007.csv") if "restored" in r["note"]]
    assert len(marked) == 8


@pytest.mark.parametrize(
    ("model", "mol", "says"),
    [
        (fluegel2007, {"SiO2": 70, "CaO": 15, "ZnO": 15}, "0 to 2.81 mol % ZnO; here it is 15"),
        (fluegel2007, {"SiO2": 80, "P2O5": 20}, "no factor for 20 mol % P2O5"),
        (lakatos1976, {"SiO2": 70, "Na2O": 5, "CaO": 25}, "weight %"),
        (giordano2008, {"SiO2": 70, "Al2O3": 10, "B2O3": 20}, "no factor for 20 mol % B2O3"),
        (giordano2008, {"SiO2": 74, "Al2O3": 1, "Na2O": 10, "CaO": 15}, "12 to 23 weight % Al2O3"),
        (lakatos1972, {}, "there is no glass"),
    ],
)
def test_outside_a_model_there_is_a_reason_and_no_number(model, mol, says) -> None:  # type: ignore[no-untyped-def]
    answer = model.log10_viscosity(mol, 1200)
    assert isinstance(answer, Outside) and says in answer.reason


def test_iron_and_manganese_count_by_their_metal() -> None:
    glass = {"SiO2": 72, "Na2O": 14, "CaO": 13}
    as_fe2o3 = fluegel2007.temperatures(glass | {"Fe2O3": 0.4})
    as_feo = fluegel2007.temperatures(glass | {"FeO": 0.8})
    assert isinstance(as_fe2o3, dict) and isinstance(as_feo, dict)
    assert as_feo[1.5] == pytest.approx(as_fe2o3[1.5], abs=2)  # the total differs by 0.4 mol


def test_no_curve_through_points_out_of_order() -> None:
    assert melt.through(((1.5, 700.0), (6.6, 900.0), (12.0, 500.0))) is None
    assert melt.through(((1.5, 1300.0), (6.6, 1299.0), (12.0, 500.0))) is None


def test_a_curve_through_three_points_of_its_own() -> None:
    curve = MeltConstants(-2.6, 4200.0, 270.0)
    points = tuple((level, melt.temperature_at(curve, level)) for level in (1.5, 6.6, 12.0))
    assert melt.through(points) == pytest.approx(curve)


MOLS = st.fixed_dictionaries(
    {"SiO2": st.floats(50, 75), "CaO": st.floats(5, 18), "Na2O": st.floats(1, 15)},
    optional={
        "Al2O3": st.floats(0.01, 10),
        "B2O3": st.floats(0.01, 14),
        "MgO": st.floats(0.01, 8),
        "K2O": st.floats(0.01, 6),
        "ZnO": st.floats(0.01, 2.5),
        "BaO": st.floats(0.01, 5),
    },
)


@given(MOLS, st.floats(700, 1400), st.floats(1, 200))
def test_hotter_is_never_stiffer(mol: dict[str, float], celsius: float, more: float) -> None:
    for model in viscosity_models().values():
        cold, hot = model(mol, celsius), model(mol, celsius + more)
        if cold is not None and hot is not None:
            assert hot < cold


@given(MOLS, st.integers(-12, 12))
def test_no_model_minds_the_size_of_the_sum(mol: dict[str, float], doublings: int) -> None:
    # Powers of two scale without rounding, so no glass can slip over the edge of a range.
    bigger = {name: share * 2.0**doublings for name, share in mol.items()}
    for model in viscosity_models().values():
        assert model(bigger, 1200) == model(mol, 1200)
