"""Mol % and weight %, shares to 100, parts left out.

Worked pair: Deutsche Glastechnische Gesellschaft, certificate of standard glass I (weight %, from
memory) and A. Fluegel, 2007, Glass Technology A 48(1), Table 1 (mol %).
"""

from __future__ import annotations

import pytest
from clearover.chemistry.oxides import oxides
from clearover.glass.composition import (
    mol_percent,
    named_shares,
    normalised,
    split,
    told_as,
    weight_percent,
)
from hypothesis import given
from hypothesis import strategies as st

GLASSES = st.dictionaries(st.sampled_from(list(oxides())), st.floats(1e-3, 1e3), min_size=1)


@given(GLASSES)
def test_weight_and_mol_turn_into_each_other(mol: dict[str, float]) -> None:
    back = mol_percent(weight_percent(mol))
    assert back == pytest.approx(normalised(mol), rel=1e-9)
    assert sum(weight_percent(mol).values()) == pytest.approx(100)


@given(GLASSES, st.floats(1e-3, 1e3))
def test_shares_do_not_depend_on_the_sum_or_the_order(mol: dict[str, float], size: float) -> None:
    backwards = {name: size * mol[name] for name in reversed(list(mol))}
    assert normalised(backwards) == pytest.approx(normalised(mol), rel=1e-9)
    assert list(normalised(backwards)) == list(normalised(mol))


def test_a_known_glass_both_ways() -> None:
    weight = {"SiO2": 50.0, "PbO": 50.0}  # moles 50/60.083 to 50/223.199
    assert mol_percent(weight)["SiO2"] == pytest.approx(78.79, abs=0.01)


def test_what_a_model_does_not_know_is_parted_off() -> None:
    parts = split({"SiO2": 6.0, "CaO": 3.0, "V2O5": 0.9, "unobtainium": 0.1}, {"SiO2", "CaO"})
    assert parts.kept == pytest.approx({"SiO2": 200 / 3, "CaO": 100 / 3})
    assert parts.left_out == pytest.approx({"V2O5": 9.0, "unobtainium": 1.0})
    assert parts.left_out_share == pytest.approx(10)


def test_nothing_is_nothing() -> None:
    assert normalised({}) == {} and normalised({"SiO2": 0.0}) == {}
    assert split({}, {"SiO2"}).kept == {} and weight_percent({}) == {}


def test_iron_is_counted_by_its_metal() -> None:
    told = told_as({"SiO2": 90.0, "FeO": 8.0, "Fe2O3": 1.0}, "Fe2O3", 0.5, "FeO")
    assert told == {"SiO2": 90.0, "Fe2O3": 5.0}
    assert told_as({"SiO2": 90.0}, "Fe2O3", 0.5, "FeO") == {"SiO2": 90.0}


def test_shares_in_words() -> None:
    assert named_shares({"P2O5": 0.5, "V2O5": 3.21}) == "3.2 mol % V2O5 and 0.5 mol % P2O5"
    assert named_shares({"SrO": 7.0}) == "7 mol % SrO"
    assert named_shares({"SrO": 3, "ZnO": 2, "PbO": 1}, "%") == "3 % SrO, 2 % ZnO and 1 % PbO"
