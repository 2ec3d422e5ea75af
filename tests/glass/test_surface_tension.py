"""Surface tension against measured melts: each model, the choice between them, the band.

The melts are `data/surface_tension_check.csv`, every row with who measured it. What
`surface-tension-errors.csv` says of each model is measured here again; a publication is left out
whole, never a glass.
"""

from __future__ import annotations

import csv
import math
import re
from dataclasses import dataclass
from pathlib import Path
from statistics import median

import pytest
from clearover.chemistry.oxides import oxides
from clearover.glass.composition import mol_percent
from clearover.glass.published import surface_tension_models
from clearover.glass.published.factors import factors, quantities
from clearover.glass.surface_tension import (
    band_percent,
    kind_of,
    order,
    surface_tension,
)
from clearover.tables import rows
from hypothesis import given
from hypothesis import strategies as st

CHECK = Path(__file__).parent / "data" / "surface_tension_check.csv"
KINDS = ("plain", "boron", "zinc", "lead")
MIN_PUBLICATIONS = 3


@dataclass(frozen=True)
class Melt:
    id: str
    publication: str
    mol: dict[str, float]
    celsius: float
    sigma: float
    known: str

    def misses(self) -> dict[str, float]:
        """How far each model that applies lies off, per cent of what it says (high: above 0)."""
        said = {n: model(self.mol, self.celsius) for n, model in surface_tension_models().items()}
        return {n: 100 * (v - self.sigma) / v for n, v in said.items() if v is not None}


def _melts() -> list[Melt]:
    found = []
    for row in csv.DictReader(CHECK.read_text(encoding="utf-8").splitlines()):
        parts = re.findall(r"([A-Z]\w*) ([\d.]+)", row["composition_weight_percent"])
        # As2O3, at most 0.5 weight %, has no molar mass here: left out.
        weight = {name: float(share) for name, share in parts if name in oxides()}
        if weight:
            publication = ", ".join(row["source"].split(", ")[:2])
            found.append(
                Melt(
                    row["id"],
                    publication,
                    mol_percent(weight),
                    float(row["temperature_c"]),
                    float(row["sigma_mn_per_m"]),
                    row["known"],
                )
            )
    return found


MELTS = _melts()
INSIDE = [
    melt
    for melt in MELTS
    if melt.known == "seen" and surface_tension(melt.mol, melt.celsius).value is not None
]
MISSES = {melt.id: melt.misses() for melt in MELTS}


def _rms(values: list[float]) -> float:
    return math.sqrt(sum(v * v for v in values) / len(values))


def _measured(melts: list[Melt], kind: str) -> list[tuple[float, str, int, int]]:
    """(root mean square miss %, model, glasses, publications) of a kind, the least first; those
    checked in fewer than three publications come last."""
    found = []
    for model in surface_tension_models():
        of_kind = [m for m in melts if kind_of(m.mol) == kind and model in MISSES[m.id]]
        if of_kind:
            misses = [MISSES[m.id][model] for m in of_kind]
            found.append((_rms(misses), model, len(of_kind), len({m.publication for m in of_kind})))
    return sorted(found, key=lambda f: (f[3] < MIN_PUBLICATIONS, f[0]))


def _left_out_misses() -> dict[str, float]:
    """The miss of the model that would be chosen if a melt's publication were not known."""
    found = {}
    for melt in INSIDE:
        others = [m for m in INSIDE if m.publication != melt.publication]
        ranked = [f[1] for f in _measured(others, kind_of(melt.mol))]
        chosen = next(model for model in ranked if model in MISSES[melt.id])
        found[melt.id] = MISSES[melt.id][chosen]
    return found


def _band(misses: list[float]) -> float:
    """The miss that nine in ten stay under, counted so that it holds for one melt more."""
    place = math.ceil(0.9 * (len(misses) + 1))
    return sorted(abs(m) for m in misses)[place - 1]


def _miss(row_id: str, model: str) -> float:
    """mN/m, as the model says less what was measured."""
    melt = next(m for m in MELTS if m.id == row_id)
    value = surface_tension_models()[model](melt.mol, melt.celsius)
    assert value is not None
    return value - melt.sigma


SUMMARY = {
    # mN/m over the whole check table, odd melts included: median miss, median of the misses
    # without their sign, glasses it applies to. Measured here.
    "Dietzel": (2.2, 14.4, 51),
    "Kucuk 1999": (1.3, 15.6, 41),
    "Lyon": (-3.2, 14.4, 30),
    "Appen surface tension": (-0.4, 9.0, 21),
}


def _summary(model: str) -> tuple[float, float, int]:
    said = [(surface_tension_models()[model](m.mol, m.celsius), m.sigma) for m in MELTS]
    misses = [value - sigma for value, sigma in said if value is not None]
    return median(misses), median(abs(m) for m in misses), len(misses)


def test_every_row_of_the_check_table_is_used() -> None:
    # Of 52 rows ST52 (enamel frits) gives no analysis: it has its own test.
    assert len(MELTS) == 51


@pytest.mark.parametrize("model", list(SUMMARY))
def test_a_model_misses_measured_melts_by_this_much(model: str) -> None:
    assert _summary(model) == pytest.approx(SUMMARY[model], abs=0.06)


@pytest.mark.parametrize("model", list(SUMMARY))
@pytest.mark.parametrize("oxide", ["SiO2", "Na2O", "CaO", "Al2O3"])
def test_a_broken_factor_would_be_seen(
    model: str, oxide: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = "surface-tension-factors.csv"
    broken = 0
    for (name, what), value in list(quantities(file, model).items()):
        if name == oxide and value:
            monkeypatch.setitem(quantities(file, model), (name, what), 1.2 * value)
            monkeypatch.setitem(factors(file, model), name, 1.2 * value)
            broken += 1
    # SiO2 and Na2O have no term in Kucuk's formula: there is nothing to break.
    assert broken or (model, oxide) in (("Kucuk 1999", "SiO2"), ("Kucuk 1999", "Na2O"))
    assert not broken or _summary(model) != pytest.approx(SUMMARY[model], abs=0.06)


@pytest.mark.parametrize("kind", KINDS)
def test_the_order_of_the_models_is_the_measured_one(kind: str) -> None:
    written = [
        (float(r["percent"]), r["model"], int(r["glasses"]), int(r["publications"]))
        for r in rows("surface-tension-errors.csv")
        if r["kind"] == kind
    ]
    measured = [(round(m[0], 1), *m[1:]) for m in _measured(INSIDE, kind)]
    assert written == measured
    assert list(order(kind)) == [m[1] for m in measured]


def test_the_band_holds_nine_melts_in_ten_of_publications_left_out() -> None:
    misses = list(_left_out_misses().values())
    assert band_percent() == pytest.approx(_band(misses), abs=0.1)
    row = next(r for r in rows("surface-tension-errors.csv") if r["kind"] == "all")
    assert (int(row["glasses"]), int(row["publications"])) == (
        len(INSIDE),
        len({m.publication for m in INSIDE}),
    )
    # A band that held everything would say nothing: the worst lie outside it.
    held = sum(abs(m) <= band_percent() for m in misses)
    assert 0.9 <= held / len(misses) < 1


def test_the_worst_misses_are_named() -> None:
    """Glasses on which laboratories and models part by more than the band."""
    beyond = {
        m.id
        for m in INSIDE
        if not (e := surface_tension(m.mol, m.celsius)).low <= m.sigma <= e.high  # type: ignore[operator]
    }
    # A barium-zinc glass of Alekseenko 1970, measured twice: Dietzel reads 57 mN/m low.
    assert beyond == {"ST11", "ST40"}
    assert _miss("ST40", "Dietzel") == pytest.approx(-57, abs=1)
    # E glass of Clare 2003, where every model reads 50 to 70 mN/m high.
    assert _miss("ST50", "Kucuk 1999") == pytest.approx(51, abs=1)
    # A melt rich in manganese (Makarov 1969): twice the band, and outside the range.
    assert _miss("ST27", "Dietzel") == pytest.approx(151, abs=1)


def test_odd_melts_are_not_computed() -> None:
    outside = {m.id: surface_tension(m.mol, m.celsius) for m in MELTS if m.known == "seen"}
    reasons = {k: e.reason for k, e in outside.items() if e.value is None}
    assert len(reasons) == 15  # alkali silicates, and the melts rich in manganese or titania
    assert all(r is not None and r.startswith("not computed: the ") for r in reasons.values())
    assert "mol % SiO2" in str(surface_tension({"SiO2": 30, "CaO": 60, "Al2O3": 10}, 1200).reason)
    assert "850 to 1450 °C" in str(surface_tension({"SiO2": 75, "Na2O": 15, "CaO": 10}, 700).reason)
    phosphate = surface_tension({"SiO2": 70, "Na2O": 15, "P2O5": 15}, 1200)
    assert phosphate.reason == "not computed: the Dietzel model has no factor for 15 mol % P2O5"


def test_window_glass_by_the_handbooks() -> None:
    # 315 mN/m at 1400 °C: handbooks, typical, from memory.
    melt = next(m for m in MELTS if m.id == "ST51")
    found = surface_tension(melt.mol, melt.celsius)
    assert found.value == pytest.approx(melt.sigma, rel=0.03)
    assert found.model == "Dietzel surface tension"
    assert found.source is not None and "Dietzel" in found.source and "memory" in found.source


def test_enamel_frits_are_about_250() -> None:
    # W. N. Harrison and D. G. Moore, 1938, Journal of Research of the NBS 21, 337, abstract: seven
    # of eight frits about 250 mN/m at 850 °C, compositions not given. A common ground-coat frit,
    # from memory: its band must hold that.
    row = next(r for r in csv.DictReader(CHECK.read_text().splitlines()) if r["id"] == "ST52")
    frit = mol_percent({"SiO2": 50, "B2O3": 16, "Na2O": 16, "K2O": 4, "Al2O3": 7, "CaO": 7})
    found = surface_tension(frit, float(row["temperature_c"]))
    assert found.low is not None and found.high is not None
    assert found.low < float(row["sigma_mn_per_m"]) < found.high


def test_zinc_goes_to_the_model_that_has_it() -> None:
    zinc = {"SiO2": 65, "Na2O": 10, "CaO": 10, "ZnO": 8, "B2O3": 7}
    assert kind_of(zinc) == "zinc"
    assert surface_tension(zinc, 1200).model == "Dietzel surface tension"
    assert surface_tension({k: v for k, v in zinc.items() if k != "ZnO"}, 1200).model == (
        "Kucuk 1999 surface tension"
    )
    assert [kind_of({"PbO": 2, "ZnO": 2, "B2O3": 2}), kind_of({"B2O3": 2}), kind_of({})] == [
        "lead",
        "boron",
        "plain",
    ]


def test_lyon_goes_through_both_of_its_temperatures() -> None:
    # K. C. Lyon, 1944: pure silica 3.25 and 3.24 mN/m per weight %.
    lyon = surface_tension_models()["Lyon"]
    assert lyon({"SiO2": 1}, 1200) == pytest.approx(325)
    assert lyon({"SiO2": 1}, 1400) == pytest.approx(324)
    assert lyon({"SiO2": 1}, 1300) == pytest.approx(324.5)


@pytest.mark.parametrize("row", rows("surface-tension-factors.csv"), ids=lambda r: r["oxide"])
def test_every_factor_has_a_source_and_says_how_it_is_known(row: dict[str, str]) -> None:
    assert re.search(r"\d{4}", row["source"])
    assert row["known"] in ("seen", "computed", "memory", "memory-unsure")


MOLS = st.fixed_dictionaries(
    {"SiO2": st.floats(50, 60), "CaO": st.floats(10, 18), "Na2O": st.floats(5, 9)},
    optional={
        "Al2O3": st.floats(0.01, 8),
        "B2O3": st.floats(0.01, 10),
        "K2O": st.floats(0.01, 4),
        "ZnO": st.floats(0.01, 8),
        "PbO": st.floats(0.01, 8),
    },
)


@given(MOLS, st.integers(-12, 12), st.floats(900, 1400))
def test_the_size_of_the_sum_does_not_matter(
    mol: dict[str, float], doublings: int, celsius: float
) -> None:
    # Powers of two scale without rounding, so no glass can slip over an edge.
    bigger = {name: share * 2.0**doublings for name, share in mol.items()}
    assert surface_tension(bigger, celsius) == surface_tension(mol, celsius)


@given(MOLS, st.floats(900, 1300), st.floats(1, 100))
def test_hotter_is_never_tighter(mol: dict[str, float], celsius: float, more: float) -> None:
    for model in ("Dietzel", "Kucuk 1999", "Appen surface tension"):
        cold, hot = (surface_tension_models()[model](mol, t) for t in (celsius, celsius + more))
        assert cold is None or hot is None or hot < cold


@given(MOLS, st.floats(900, 1400))
def test_the_band_lies_round_the_value(mol: dict[str, float], celsius: float) -> None:
    found = surface_tension(mol, celsius)
    assert found.value is not None and found.low is not None and found.high is not None
    assert 150 < found.low < found.value < found.high < 600
