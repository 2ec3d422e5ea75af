"""`clearover glaze`: a clear's chemistry in the terminal and for scripts."""

from __future__ import annotations

import json

import pytest

KEYS = {
    "oxides_weight_percent",
    "oxides_mol_percent",
    "unity",
    "silica_to_alumina",
    "zinc",
    "lime",
    "magnesia",
    "temperature_c",
    "expansion_1e6_per_k",
    "viscosity_log10_pa_s",
    "surface_tension_mn_per_m",
    "surface_run_mm",
    "line_drag_mm",
    "flags",
}


def glaze(run, *words):
    done = run("glaze", *words, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_a_recipe_gives_its_unity_formula(run):
    # The demo's own table of recipes: alkali .21 Ca .49 Zn .30, B2O3 .25, Al2O3 .39, SiO2 3.27.
    told = glaze(run, "lantern-pane")
    assert next(iter(told)) == "clearover"
    assert set(told) >= KEYS
    unity = told["unity"]
    assert unity["Na2O"] + unity["K2O"] == pytest.approx(0.21, abs=0.02)
    assert unity["ZnO"] == pytest.approx(0.30, abs=0.01)
    assert unity["SiO2"] == pytest.approx(3.27, abs=0.06)
    assert told["zinc"]["class"] == "bearing"
    assert told["zinc"]["known_from"] == "recipe"


def test_what_has_no_model_is_null_with_a_reason(run):
    told = glaze(run, "lantern-pane")
    assert told["expansion_1e6_per_k"]["value"] is None
    assert told["expansion_1e6_per_k"]["reason"]


def test_a_flag_for_each_pigment_in_use(run):
    flags = {flag["pigment"]: flag for flag in glaze(run, "lantern-pane")["flags"]}
    assert flags["chromium oxide"]["direction"] == "harm"
    assert "brown" in flags["chromium oxide"]["effect"]
    assert set(flags) <= {"chromium oxide", "iron zircon"}


def test_people_read_the_classes_first(run):
    done = run("glaze", "Lantern Pane", "--cone", "5½")
    lines = done.stdout.splitlines()
    assert lines[0] == "Lantern Pane, gloss at cone 5½"
    assert lines[2].split()[:2] == ["zinc", "zinc-bearing"]
    assert "chromium oxide: toward brown" in done.stdout
    assert "tested by a laboratory" in lines[-1]


def test_a_clear_without_recipe_says_why_there_is_no_formula(run):
    assert glaze(run, "ferry-glass")["unity"] is None
    done = run("glaze", "ferry-glass")
    assert done.returncode == 0
    assert "neither a recipe nor an analysis" in done.stdout


def test_an_unknown_clear_is_wrong_use(run):
    done = run("glaze", "lantern-pain")
    assert done.returncode == 2
    assert "lantern-pane" in done.stderr
