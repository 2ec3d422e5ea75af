"""`clearover glaze --batch`: a formula in, a batch out."""

from __future__ import annotations

import json

import pytest

SEGER_4 = "K2O 0.3, CaO 0.7, Al2O3 0.5, SiO2 4.0"


def test_a_formula_becomes_a_batch(here):
    done = here("glaze", "--batch", SEGER_4, "--json")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    # The textbook batch of this formula, old equivalents 557/100/258/60: 1 per cent.
    printed = {"orthoclase": 167.1, "calcium carbonate": 70, "kaolin": 51.6, "quartz": 108}
    assert {x["material"]: x["parts"] for x in told["batch"]} == pytest.approx(printed, rel=0.01)
    assert sum(line["percent"] for line in told["batch"]) == pytest.approx(100)
    assert told["gives_the_formula"] and told["leftover"] == {}
    assert told["given"] == pytest.approx({"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.5, "SiO2": 4.0})


def test_by_weight_and_by_mole_come_to_one_batch(here):
    # The same glass in weight per cent (IUPAC 2021).
    weight = "K2O 7.8754, CaO 10.9397, Al2O3 14.2077, SiO2 66.9772"
    one = json.loads(here("glaze", "--batch", weight, "--basis", "weight", "--json").stdout)
    other = json.loads(here("glaze", "--batch", SEGER_4, "--json").stdout)
    shares = [{x["material"]: x["percent"] for x in each["batch"]} for each in (one, other)]
    assert shares[0] == pytest.approx(shares[1], rel=1e-4)


def test_the_materials_named_are_used_and_no_other(here):
    words = ("--from", "Potash Feldspar, whiting, china clay, flint", "--json")
    told = json.loads(here("glaze", "--batch", SEGER_4, *words).stdout)
    assert {line["material"] for line in told["batch"]} <= {
        "potash feldspar",
        "calcium carbonate",
        "kaolin",
        "quartz",
    }
    assert not told["gives_the_formula"] and "Na2O" in told["leftover"]


def test_people_see_what_is_left_over(here):
    done = here("glaze", "--batch", SEGER_4, "--from", "kaolin,quartz")
    assert done.returncode == 0
    assert "No material given brings K2O." in done.stdout
    assert "does not give the formula" in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80


def test_soda_for_potash_is_said(here):
    rocks = "nepheline syenite,whiting,kaolin,quartz"
    done = here("glaze", "--batch", SEGER_4, "--from", rocks)
    assert "Soda and potash stand in for each other: 0.2" in done.stdout


def test_lead_is_proposed_with_its_caution_only(here):
    done = here("glaze", "--batch", "PbO 0.6, CaO 0.3, K2O 0.1, Al2O3 0.2, SiO2 1.6")
    assert "red lead: lead: poisonous" in done.stdout
    assert "children" in done.stdout


def test_what_is_wrong_is_told_at_once(here):
    done = here("glaze", "--batch", "K2O -1, Al203 1, KNaO 3")
    assert done.returncode == 1
    for piece in ("negative", "Al203", "stands for several oxides"):
        assert piece in done.stderr
    unknown = here("glaze", "--batch", SEGER_4, "--from", "whitting,kaolinn")
    assert unknown.returncode == 2
    assert "whiting" in unknown.stderr and "kaolin" in unknown.stderr
    assert here("glaze", "--batch", SEGER_4, "--from", " , ").returncode == 2
