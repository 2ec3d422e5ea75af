"""`clearover glaze`: a clear's chemistry in the terminal and for scripts."""

from __future__ import annotations

import json

import pytest
from clearover.glass.crazing import OTHERWISE
from clearover.glass.crystals import crystallises
from clearover.glass.moving import CRYSTALS
from clearover.glass.results import not_computed

OXIDES = {"oxides_weight_percent", "oxides_mol_percent", "unity", "silica_to_alumina", "r2o_to_ro"}
COMPUTED = {
    "expansion_1e6_per_k",
    "viscosity_log10_pa_s",
    "temperature_c_at_log10_3_pa_s",
    "surface_tension_mn_per_m",
    "density_kg_per_m3",
    "surface_run_mm",
    "line_drag_mm",
}
MOVES = {"surface_run_mm", "line_drag_mm"}
CLASSES = {"zinc", "lime", "magnesia", "boron"}

QUIET_MATTE = """
name: Quiet Matte
surface: matte
cones: 6
recipe: {nepheline syenite: 28, calcium carbonate: 25, kaolin: 28, quartz: 19}
"""
OLD_LEAD = """
name: Old Lead
surface: gloss
cones: 05
recipe: {red lead: 50, quartz: 35, kaolin: 10, cadmium oxide: 5}
"""


def glaze(here, *words):
    done = here("glaze", *words, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def write(studio, id, text):
    (studio / f"combos/clears/{id}.yml").write_text(text.lstrip(), encoding="utf-8")


def test_a_recipe_gives_its_unity_formula(here):
    # The demo's own table of recipes: alkali .21 Ca .49 Zn .30, B2O3 .25, Al2O3 .39, SiO2 3.27.
    told = glaze(here, "lantern-pane")
    assert next(iter(told)) == "clearover"
    assert set(told) >= OXIDES | COMPUTED | CLASSES | {"temperature_c", "flags", "movement_word"}
    unity = told["unity"]
    assert unity["Na2O"] + unity["K2O"] == pytest.approx(0.21, abs=0.02)
    assert unity["ZnO"] == pytest.approx(0.30, abs=0.01)
    assert unity["SiO2"] == pytest.approx(3.27, abs=0.06)
    assert told["zinc"]["class"] == "bearing"
    assert told["zinc"]["known_from"] == "recipe"


def test_every_value_has_its_band_its_model_and_its_source(here):
    told = glaze(here, "lantern-pane")
    for key in COMPUTED - MOVES:
        value = told[key]
        assert value["low"] < value["value"] < value["high"], key
        assert value["model"] and value["source"], key
    for key in MOVES:
        assert told[key]["source"] or told[key]["reason"].startswith("not computed"), key


def test_hotter_is_thinner_and_the_rate_sets_the_heat(here):
    usual = glaze(here, "lantern-pane", "--cone", "6")
    fast = glaze(here, "lantern-pane", "--cone", "6", "--rate", "150")
    cool = glaze(here, "lantern-pane", "--temperature", "1100")
    # The 2016 chart: cone 6 at 60 and at 150 °C/h.
    assert (usual["temperature_c"], fast["temperature_c"]) == (1222, 1243)
    assert cool["temperature_c"] == 1100
    stiff = [each["viscosity_log10_pa_s"]["value"] for each in (fast, usual, cool)]
    assert stiff == sorted(stiff) and stiff[0] < stiff[2] - 0.5


@pytest.mark.parametrize("option", [("--rate", "nan"), ("--temperature", "inf"), ("--rate", "-5")])
def test_a_heat_that_is_none_is_wrong_use(here, option):
    done = here("glaze", "lantern-pane", *option)
    assert done.returncode == 2 and "Traceback" not in done.stderr


def test_a_matte_crystallises(here, studio):
    write(studio, "quiet-matte", QUIET_MATTE)
    told = glaze(here, "quiet-matte")
    for key in (*MOVES, "expansion_1e6_per_k"):
        so = CRYSTALS if key in MOVES else OTHERWISE  # as a clear's page says it
        assert told[key] == not_computed(crystallises("matte", so) or "").as_dict(), key
    assert told["movement_word"] is None
    assert told["viscosity_log10_pa_s"]["value"] is not None
    assert "before crystals grow" in " ".join(here("glaze", "quiet-matte").stdout.split())


def test_lead_and_cadmium_come_with_their_cautions(here, studio):
    write(studio, "old-lead", OLD_LEAD)
    told = glaze(here, "old-lead")
    said = " ".join(caution["says"] for caution in told["cautions"])
    assert "lead" in said and "cadmium" in said
    assert told["unity"]["PbO"] > 0.5
    assert told["expansion_1e6_per_k"]["model"].startswith("Appen")
    assert told["viscosity_log10_pa_s"]["reason"].startswith("not computed")
    assert "poisonous" in here("glaze", "old-lead").stdout


def test_a_flag_for_each_pigment_in_use(here):
    flags = {flag["pigment"]: flag for flag in glaze(here, "lantern-pane")["flags"]}
    assert flags["chromium oxide"]["direction"] == "harm"
    assert "brown" in flags["chromium oxide"]["effect"]
    assert set(flags) <= {"chromium oxide", "iron zircon"}


def test_people_read_what_would_change_a_flag(here, studio):
    """Each flag's own sentence under it; what several unknowns share once, after all of them."""
    sure = " ".join(here("glaze", "lantern-pane").stdout.split())
    told = {flag["pigment"]: flag for flag in glaze(here, "lantern-pane")["flags"]}
    assert f"What would change it: {told['chromium oxide']['would_change']}" in sure
    write(studio, "bucket", "name: Bucket\nsurface: gloss\ncones: 5..6\n")
    unsure = " ".join(here("glaze", "bucket").stdout.split())
    waiting = [f for f in glaze(here, "bucket")["flags"] if f["direction"] == "unknown"]
    (sentence,) = {flag["would_change"] for flag in waiting}
    assert {flag["pigment"] for flag in waiting} == {"chromium oxide", "iron zircon"}
    assert f"What would change it for chromium oxide and iron zircon: {sentence}" in unsure
    assert unsure.count("What would change it") == 1


def test_people_read_first_what_a_potter_asks(here):
    done = here("glaze", "Lantern Pane", "--cone", "5½")
    lines = done.stdout.splitlines()
    assert lines[0].startswith("Lantern Pane, gloss at cone 5½")
    heads = [line[2:16].strip() for line in lines[2:16] if line[2:16].strip()]
    assert heads[:3] == ["will it run?", "hot enough?", "expansion"]
    assert heads.index("zinc") < heads.index("magnesia")
    assert "chromium oxide: toward brown" in done.stdout
    assert done.stdout.index("toward brown") < done.stdout.index("unity")
    assert "tested by a laboratory" in " ".join(lines[-3:])
    assert max(map(len, lines)) <= 80


def test_a_clear_without_recipe_says_why_there_is_no_formula(here):
    assert glaze(here, "ferry-glass")["unity"] is None
    done = here("glaze", "ferry-glass")
    assert done.returncode == 0
    assert "neither a recipe nor an analysis" in " ".join(done.stdout.split())


def test_an_unknown_clear_is_wrong_use(here):
    done = here("glaze", "lantern-pain")
    assert done.returncode == 2
    assert "lantern-pane" in done.stderr


@pytest.mark.parametrize(
    "words",
    [
        (),
        ("lantern-pane", "--batch", "SiO2 1"),
        ("lantern-pane", "--basis", "mol"),
        ("lantern-pane", "--from", "quartz"),
        ("--table", "x.csv"),
        ("--table", "x.csv", "--basis", "mol"),
    ],
)
def test_what_does_not_go_together_is_wrong_use(here, words):
    done = here("glaze", *words)
    assert done.returncode == 2 and not done.stdout
    assert "Traceback" not in done.stderr
