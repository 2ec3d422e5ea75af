"""A clear's oxides, classes and contradictions, known and unknown."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from clearover.chemistry.clear import chemistry_of, contradictions
from clearover.chemistry.materials import MaterialBook, trade_materials
from clearover.chemistry.report import explain_unity, glaze_report
from clearover.chemistry.results import Class, ClearChemistry
from clearover.firing.cone import parse_cone
from hypothesis import given, settings
from hypothesis import strategies as st

Melted = Callable[..., ClearChemistry]
ZINC_GLOSS = {
    "nepheline syenite": 28,
    "colemanite": 10,
    "calcium carbonate": 9,
    "zinc oxide": 7,
    "kaolin": 12,
    "quartz": 34,
}


def test_a_zinc_gloss(melted: Melted) -> None:
    # Worked out by a separate program when the demo studio's recipes were composed, two decimals.
    chem = melted(ZINC_GLOSS)
    assert chem.unity is not None and chem.oxides_weight_percent is not None
    assert chem.unity["CaO"] == pytest.approx(0.49, abs=0.005)
    assert chem.unity["ZnO"] == pytest.approx(0.30, abs=0.005)
    assert chem.unity["B2O3"] == pytest.approx(0.25, abs=0.005)
    assert chem.unity["Al2O3"] == pytest.approx(0.39, abs=0.005)
    assert chem.unity["SiO2"] == pytest.approx(3.27, abs=0.005)
    assert chem.silica_to_alumina == pytest.approx(8.4, abs=0.05)
    assert (chem.zinc.value, chem.lime.value, chem.magnesia.value) == ("bearing", "between", "low")
    assert chem.zinc.known_from == "recipe"
    assert sum(chem.oxides_weight_percent.values()) == pytest.approx(100)


def test_loss_is_what_the_raw_materials_lose(melted: Melted) -> None:
    # CaCO3 loses CO2: 44.009 of 100.086 (ideal formula, IUPAC 2021).
    assert melted({"whiting": 50, "quartz": 50}).loss_percent == pytest.approx(21.99, abs=0.01)


def test_names_do_not_mind_case_or_hyphens(melted: Melted) -> None:
    one = melted({"Nepheline-Syenite": 50, "WHITING": 20, "Flint": 30})
    other = melted({"nepheline syenite": 50, "calcium carbonate": 20, "quartz": 30})
    assert one.unity == other.unity


def test_a_studio_material_wins_by_name_and_by_alias(
    melted: Melted, material_of: Callable[..., Any]
) -> None:
    own = material_of("Our Kaolin", {"SiO2": 50, "Al2O3": 30, "ZnO": 20}, also=["kaolin"])
    chem = melted({"kaolin": 50, "whiting": 50}, own)
    assert chem.zinc.value == "bearing"


def test_an_unknown_material_leaves_nothing_computed(melted: Melted) -> None:
    chem = melted({"frit in the blue bin": 40, "kaolin": 10, "whitting": 20})
    assert chem.unity is None and chem.oxides_weight_percent is None
    assert chem.unknown_materials == ("frit in the blue bin", "whitting")
    assert "frit in the blue bin" in (chem.reason or "") and "“whiting”" in (chem.reason or "")
    assert chem.zinc.value == "unknown"


def test_zinc_is_bearing_beside_an_unknown_material(melted: Melted) -> None:
    chem = melted({"frit in the blue bin": 40, "zinc oxide": 5, "kaolin": 55})
    assert (chem.zinc.value, chem.zinc.weight_percent) == ("bearing", None)


def test_what_was_declared_stands_where_nothing_is_computed(melted: Melted) -> None:
    chem = melted(None, zinc="free", lime="high", known_from="label")
    assert (chem.zinc.value, chem.zinc.known_from) == ("free", "declared (label)")
    assert chem.lime.value == "high" and chem.magnesia.value == "unknown"
    assert chem.reason == "the record gives neither a recipe nor an analysis"
    unknown = melted(None, zinc="unknown", known_from="label")
    assert (unknown.zinc.value, unknown.zinc.known_from) == ("unknown", "nobody")


def test_a_guess_is_unknown_and_told_as_a_guess(melted: Melted) -> None:
    chem = melted(None, zinc="free", lime="unknown", known_from="guess")
    assert chem.zinc == Class("unknown", None, "guess", guessed="free")
    assert chem.lime == chem.magnesia == Class("unknown", None, "nobody")


@pytest.mark.parametrize(
    "keys", [{"recipe": ZINC_GLOSS}, {"analysis": {"SiO2": 60, "CaO": 30, "ZnO": 10}}]
)
def test_nothing_is_computed_from_a_guess(melted: Melted, keys: dict[str, Any]) -> None:
    (what,) = keys
    known = {"recipe": None} | keys
    assert melted(**known, known_from="maker").zinc.value == "bearing"
    chem = melted(**known, known_from="guess")
    assert chem.zinc.value == "unknown" and chem.boron.value == "unknown"
    assert chem.unity is chem.oxides_weight_percent is chem.oxides_mol_percent is None
    assert chem.reason == f"its {what} is only a guess"


def test_an_analysis_is_computed_and_must_add_up(melted: Melted) -> None:
    good = melted(None, analysis={"SiO2": 60, "Al2O3": 10, "CaO": 12, "K2O": 8, "ZnO": 10})
    assert good.zinc.known_from == "analysis" and good.zinc.weight_percent == pytest.approx(10)
    short = melted(None, analysis={"SiO2": 60, "CaO": 10})
    assert short.unity is None and "adds up to 70 %" in (short.reason or "")
    strange = melted(None, analysis={"SiO2": 60, "CaO": 38, "XyO": 2})
    assert strange.unity is None and "XyO" in (strange.reason or "")


def test_no_flux_no_unity(melted: Melted) -> None:
    chem = melted({"quartz": 50, "boric acid": 50})
    assert chem.unity is None and "no flux" in (chem.reason or "")
    assert chem.oxides_weight_percent is not None and chem.zinc.value == "free"


def test_lead_and_cadmium_are_computed(melted: Melted) -> None:
    chem = melted({"red lead": 50, "quartz": 40, "kaolin": 8, "cadmium oxide": 2})
    assert chem.unity is not None and chem.oxides_weight_percent is not None
    assert chem.oxides_weight_percent["PbO"] > 45 and chem.oxides_weight_percent["CdO"] > 1.9


def test_traces_of_zinc_are_no_zinc(melted: Melted) -> None:
    # The limit, 0.1 weight per cent, stands in classes.csv.
    rest = {"SiO2": 70, "CaO": 20}
    assert melted(None, analysis={**rest, "ZnO": 0.05, "K2O": 9.95}).zinc.value == "free"
    assert melted(None, analysis={**rest, "ZnO": 0.15, "K2O": 9.85}).zinc.value == "bearing"


@pytest.mark.parametrize(
    ("recipe", "declared", "wanted"),
    [
        (ZINC_GLOSS, {"zinc": "free"}, [("zinc", "free", "bearing", "zinc oxide")]),
        (ZINC_GLOSS, {"zinc": "bearing", "lime": "high"}, []),
        ({"whiting": 30, "kaolin": 70}, {"zinc": "bearing"}, [("zinc", "bearing", "free", None)]),
        (
            {"whiting": 30, "kaolin": 70},
            {"lime": "low"},
            [("lime", "low", "high", "whiting")],
        ),
        (
            {"talc": 20, "whiting": 10, "kaolin": 70},
            {"magnesia": "low"},
            [("magnesia", "low", "high", "talc")],
        ),
        ({"whiting": 30, "kaolin": 70}, {"zinc": "unknown"}, []),
        ({"mystery": 30, "zinc oxide": 70}, {"zinc": "free"},
         [("zinc", "free", "bearing", "zinc oxide")]),
        ({"mystery": 30, "kaolin": 70}, {"zinc": "bearing"}, []),
    ],
)  # fmt: skip
def test_contradictions(
    clear_of: Callable[..., Any],
    recipe: dict[str, float],
    declared: dict[str, str],
    wanted: list[tuple[str, str, str, str | None]],
) -> None:
    clear = clear_of(recipe=recipe, **declared)
    assert contradictions(clear, chemistry_of(clear, MaterialBook.with_studio([]))) == wanted


def test_zinc_in_a_frit_contradicts_too(
    clear_of: Callable[..., Any], material_of: Callable[..., Any]
) -> None:
    frit = material_of("Zinc Frit", {"SiO2": 50, "B2O3": 20, "ZnO": 10, "CaO": 12, "Na2O": 8})
    clear = clear_of(recipe={"Zinc Frit": 60, "kaolin": 40}, zinc="free")
    found = contradictions(clear, chemistry_of(clear, MaterialBook.with_studio([frit])))
    assert found == [("zinc", "free", "bearing", "Zinc Frit")]


NAMES = [m.name for m in trade_materials()]
RECIPES = st.dictionaries(
    st.sampled_from([*NAMES, "no such thing", "mystery frit"]),
    st.floats(0, 1000),
    max_size=8,
)


@settings(max_examples=150, deadline=None)
@given(recipe=RECIPES)
def test_no_recipe_raises_and_unknown_is_never_free(
    melted: Melted, recipe: dict[str, float]
) -> None:
    chem = melted(recipe)
    assert (chem.oxides_weight_percent is None) == (chem.oxides_mol_percent is None)
    if chem.unity is None:
        assert chem.reason
    if chem.unknown_materials:
        assert chem.zinc.value != "free" and chem.oxides_weight_percent is None
    assert isinstance(explain_unity(chem), str)


@settings(max_examples=100, deadline=None)
@given(recipe=st.dictionaries(st.sampled_from(NAMES), st.floats(1, 100), min_size=1, max_size=7))
def test_the_order_of_a_recipe_means_nothing(melted: Melted, recipe: dict[str, float]) -> None:
    one, other = melted(recipe), melted(dict(reversed(recipe.items())))
    assert one.unity == pytest.approx(other.unity) if one.unity else other.unity is None


def test_the_report_is_plain_and_honest(melted: Melted, clear_of: Callable[..., Any]) -> None:
    clear = clear_of(recipe=ZINC_GLOSS, cones="5..6", surface="gloss")
    chem = chemistry_of(clear, MaterialBook.with_studio([]))
    report = glaze_report(clear, chem, pigments=["chromium oxide", "praseodymium zircon"])
    assert report["cone"] == "6" and report["temperature_c"] == 1222
    assert report["zinc"]["class"] == "bearing"
    expansion = report["expansion_1e6_per_k"]
    assert expansion["low"] < expansion["value"] < expansion["high"] and expansion["source"]
    assert report["r2o_to_ro"] == pytest.approx(0.27, abs=0.005)
    assert [flag["direction"] for flag in report["flags"]] == ["harm", "none"]
    assert "0.30 zinc" in report["explanation"]
    other = glaze_report(clear, chem, cone=parse_cone("05"), pigments=["chromium oxide"])
    assert other["temperature_c"] == 1031 and other["flags"][0]["direction"] == "none"


def test_cautions_follow_what_is_in_it(melted: Melted, clear_of: Callable[..., Any]) -> None:
    def said(recipe: dict[str, float]) -> str:
        clear = clear_of(recipe=recipe, cones="6")
        report = glaze_report(clear, chemistry_of(clear, MaterialBook.with_studio([])))
        assert all(caution["source"] for caution in report["cautions"])
        return " ".join(caution["says"] for caution in report["cautions"])

    harmless = said(ZINC_GLOSS)
    assert "silica dust" in harmless and "lead" not in harmless and "barium" not in harmless
    assert "safe" not in harmless.replace("safety data sheet", "")
    assert "lead" in said({"red lead": 50, "quartz": 50})
    # What is known of a recipe with an unknown part is told all the same.
    assert "barium" in said({"mystery": 50, "barium carbonate": 50})
