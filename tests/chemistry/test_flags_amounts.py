"""Flags by amount: more is never less harm, and nothing definite rests on an unknown amount."""

from __future__ import annotations

import csv
import itertools
from pathlib import Path
from typing import Any

import pytest
from clearover.chemistry.amounts import parse_amount, parse_span
from clearover.chemistry.classes import word_for
from clearover.chemistry.flags import expectation, flags_for, listens_to
from clearover.chemistry.oxides import percent, to_moles, to_weights, unity
from clearover.chemistry.pigments import pigments
from clearover.chemistry.results import Class, ClearChemistry, Flag
from clearover.chemistry.rules import rule_book
from clearover.firing.cone import parse_cone
from clearover.firing.temperatures import cone_temperature
from hypothesis import given, settings
from hypothesis import strategies as st

STRENGTH = {"slight": 1, "some": 2, "strong": 3}
HARM = {"good": 0, "unknown": 1, "bad": 2}
LIMITS = {"zinc": "ZnO", "lime": "CaO", "magnesia": "MgO", "boron": "B2O3"}
ASKS = {
    rule.id
    for rule in rule_book().rules
    if any(key.split()[0] in ("unity", "weight") for key, _ in rule.when)
}


def computed(**weights: float) -> ClearChemistry:
    """A clear of these oxides by weight, as a recipe would give it."""
    shares = percent(weights) or {}
    moles = to_moles(shares)
    classes = {
        name: Class(word_for(name, shares.get(oxide, 0.0)), shares.get(oxide, 0.0), "recipe")
        for name, oxide in LIMITS.items()
    }
    formula = unity(moles)
    return ClearChemistry("a", shares, percent(moles), formula, None, 0.0, **classes)


def declared(zinc: str, lime: str, magnesia: str) -> ClearChemistry:
    classes = (Class(value, None, "declared") for value in (zinc, lime, magnesia))
    return ClearChemistry("a", None, None, None, None, None, *classes)


def flags(pigment: str, chem: ClearChemistry | None, cone: str = "6", **keys: Any) -> tuple:
    return flags_for(pigments=(pigment,), chem=chem, cone=parse_cone(cone), **keys)


def strength(found: tuple[Flag, ...], rule: str) -> str | None:
    return next((flag.strength for flag in found if flag.rule == rule), None)


def of_unity(**moles: float) -> ClearChemistry:
    return computed(**to_weights(moles))


CLEAR = {"SiO2": 62.0, "Al2O3": 12.0, "Na2O": 5.0, "K2O": 3.0}


def test_zinc_under_a_green_is_graded_by_weight() -> None:
    """One to two per cent shows (Parmelee and Harman 1973; from memory, not sure)."""
    wanted = {0.0: None, 0.05: None, 0.5: "slight", 0.99: "slight", 1.0: "some", 1.99: "some"}
    wanted |= {2.0: "strong", 7.0: "strong"}
    for zinc, said in wanted.items():
        chem = computed(SiO2=65, Al2O3=15, CaO=20 - zinc, ZnO=zinc)
        found = flags("chromium oxide", chem)
        assert strength(found, "chromium-green-zinc") == said, zinc
        assert expectation(found) == ("good" if said is None else "bad")


def test_a_twentieth_of_the_flux_is_more_than_one_per_cent_and_shows() -> None:
    chem = of_unity(CaO=0.6, Na2O=0.2, K2O=0.15, ZnO=0.05, Al2O3=0.35, B2O3=0.15, SiO2=3.0)
    weight = (chem.oxides_weight_percent or {})["ZnO"]
    assert 1.1 < weight < 1.5
    assert strength(flags("chromium oxide", chem), "chromium-green-zinc") == "some"


def test_a_declared_zinc_clear_keeps_the_strength_of_its_class() -> None:
    found = flags("chromium oxide", declared("bearing", "unknown", "unknown"))
    assert strength(found, "chromium-green-zinc") == "strong"


oxide = st.floats(0, 30, allow_nan=False)


@given(st.floats(0, 40), st.floats(0, 40), oxide, oxide, st.sampled_from(("1", "5.5", "6", "10")))
def test_more_zinc_is_never_less_harm(one: float, two: float, lime: float, soda: float, cone: str):
    """Zinc added to the same clear, without magnesia, whose own harm would be thinned by it."""
    less, more = sorted((one, two))
    harm = []
    for zinc in (less, more):
        chem = computed(SiO2=60, Al2O3=12, CaO=lime, Na2O=soda, ZnO=zinc)
        found = flags("chromium oxide", chem, cone)
        worst = max((STRENGTH[f.strength] for f in found if f.direction == "harm"), default=0)
        harm.append((HARM[expectation(found)], worst))
    assert harm[0] <= harm[1]


@pytest.mark.parametrize("cone", ["05", "2", "6", "10", "13"])
@pytest.mark.parametrize("atmosphere", ["oxidation", "reduction"])
def test_an_unknown_recipe_gets_nothing_definite_from_an_amount(cone: str, atmosphere: str) -> None:
    assert ASKS
    near = ("tin", "chromium", "copper", "lead")
    nobody = declared("unknown", "unknown", "unknown")
    for name, chem in itertools.product(pigments(), (None, nobody)):
        for flag in flags(name, chem, cone, atmosphere=atmosphere, near=near, underglaze="u"):
            assert flag.rule not in ASKS or flag.direction == "unknown", (name, flag.rule)


def test_a_declared_class_stands_in_only_where_the_rule_says_so() -> None:
    stand_in = {rule.id for rule in rule_book().rules if rule.if_not_computed}
    for name in pigments():
        for classes in itertools.product(("bearing", "free"), ("high", "between", "low"), ("low",)):
            for flag in flags(name, declared(*classes)):
                definite = flag.direction != "unknown"
                assert not (flag.rule in ASKS and definite) or flag.rule in stand_in


@settings(max_examples=60, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from(("ZnO", "CaO", "MgO", "Na2O", "K2O", "Li2O", "ZrO2")),
        st.floats(0.2, 25),
        max_size=6,
    ),
    st.sampled_from(("05", "3", "6", "10")),
    st.sampled_from(("oxidation", "reduction")),
)
def test_working_out_a_declared_clear_never_turns_good_into_bad(
    held: dict[str, float], cone: str, atmosphere: str
) -> None:
    """What the classes alone call good is never called bad once the amounts are known, nor the
    other way round. Lead, tin, barium and boron are left out: no label declares them, and rules on
    them keep quiet until a recipe tells.
    """
    chem = computed(SiO2=55, Al2O3=12, **held)
    label = declared(chem.zinc.value, chem.lime.value, chem.magnesia.value)
    for name in pigments():
        by_label = flags(name, label, cone, atmosphere=atmosphere)
        by_recipe = flags(name, chem, cone, atmosphere=atmosphere)
        assert {expectation(by_label), expectation(by_recipe)} != {"good", "bad"}, name


def test_cobalt_goes_purple_by_degrees() -> None:
    for magnesia, said in ((3.9, None), (4.0, "some"), (4.9, "some"), (5.0, "strong")):
        chem = computed(SiO2=65, Al2O3=12, CaO=23 - magnesia, MgO=magnesia)
        found = flags("cobalt aluminate", chem)
        assert strength(found, "cobalt-magnesia") == said
        assert expectation(found) == ("bad" if said else "good")


def test_the_garnet_wants_about_eight_per_cent_of_lime() -> None:
    for lime, outcome in ((5.0, "bad"), (7.0, "unknown"), (9.0, "good")):
        chem = computed(SiO2=68, Al2O3=12, Na2O=20 - lime, CaO=lime)
        assert expectation(flags("calcium-chromium garnet", chem)) == outcome


def test_copper_and_manganese_follow_the_clear() -> None:
    alkaline = of_unity(Na2O=0.5, K2O=0.1, CaO=0.4, Al2O3=0.15, SiO2=2.2)
    limy = of_unity(Na2O=0.15, CaO=0.85, Al2O3=0.35, SiO2=2.6)
    leaded = of_unity(PbO=0.85, K2O=0.15, Al2O3=0.15, SiO2=1.6)
    for pigment, chem, effect in (
        ("copper oxide", alkaline, "turquoise"),
        ("copper oxide", limy, "green"),
        ("copper oxide", leaded, "green"),
        ("manganese oxide", alkaline, "purple"),
        ("manganese oxide", limy, "brown"),
        ("manganese oxide", leaded, "brown"),
    ):
        said = {flag.effect for flag in flags(pigment, chem, "04")}
        assert effect in said
        assert not said & ({"turquoise", "green", "purple", "brown"} - {effect})
    assert "more lead leaches from the clear" in {f.effect for f in flags("copper oxide", leaded)}


def test_tin_in_the_clear_and_chromium_beside_it() -> None:
    tin = computed(SiO2=60, Al2O3=12, CaO=20, SnO2=5)
    plain = computed(SiO2=65, Al2O3=12, CaO=20)
    rule = "tin-clear-near-chromium"
    for chem, near, wanted in (
        (tin, ("chromium",), True),
        (plain, ("chromium",), False),
        (tin, (), False),
        (None, ("chromium",), False),
    ):
        found = flags("zircon", chem, near=near)
        assert (strength(found, rule) is not None) is wanted
    assert "chromium" in listens_to(("zircon",), (), "white", tin)
    assert "chromium" not in listens_to(("zircon",), (), "white", plain)
    assert "tin" in listens_to(("chromium oxide",), (), "green", plain)


def test_every_flag_says_what_would_change_it() -> None:
    for name in (*pigments(), "unknown", "marmalade"):
        for chem in (None, computed(**CLEAR, CaO=10, ZnO=8), computed(**CLEAR, MgO=9, CaO=9)):
            for cone in ("05", "6", "10"):
                for flag in flags(name, chem, cone, colour="pink", colorants=("chromium",)):
                    assert flag.would_change and flag.would_change.endswith(".")
                    assert "{" not in flag.would_change


def heat() -> dict[str, tuple[float, float]]:
    """CPMA number -> the two temperatures of the reference table, °C (memory, not sure)."""
    path = Path(__file__).parent / "data" / "pigment_heat.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return {
            row["cpma_number"]: (float(row["temp_limit_c_low"]), float(row["temp_limit_c_high"]))
            for row in csv.DictReader(file)
        }


HEAT_RULES = [rule for rule in rule_book().rules if rule.id.startswith("heat-")]


@pytest.mark.parametrize("rule", HEAT_RULES, ids=lambda rule: rule.id)
def test_heat_rules_keep_to_the_published_temperatures(rule: Any) -> None:
    """Cones at 60 °C/h, self-supporting (Orton 2016), against each pigment's two temperatures."""
    coolest, hottest = dict(rule.when)["cones"]
    for name in rule.pigments:
        limits = {heat()[number] for number in pigments()[name].cpma.split("; ")}
        ((low, high),) = limits
        for cone in map(parse_cone, ("06", "05", "03", "02", "2", "3", "5", "6", "8", "9", "10",
                                     "11", "12")):  # fmt: skip
            celsius = cone_temperature(cone, 60)
            assert celsius is not None
            inside = coolest <= cone.step <= hottest
            if rule.id.endswith("-holds"):
                assert inside == (celsius <= low), (name, cone)
            elif rule.id.endswith("-too-hot"):
                assert inside == (celsius > high), (name, cone)
            else:
                assert inside == (low < celsius <= high), (name, cone)


def test_every_pigment_has_a_rule_of_its_own_for_its_colour() -> None:
    spoken = {
        name
        for rule in rule_book().rules
        if rule.property == "colour" and not rule.aside
        for name in rule.pigments
    }
    assert spoken == set(pigments())


def glaze_limits() -> list[dict[str, str]]:
    """Limit formulas of textbooks: hints at what is usual, never pass or fail."""
    path = Path(__file__).parent / "data" / "glaze_limits.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def asked_of(rule: str) -> dict[str, tuple[float, float]]:
    (found,) = (one for one in rule_book().rules if one.id == rule)
    return {key: wanted.span for key, wanted in found.when if key.split()[0] == "unity"}


def test_what_counts_as_alkaline_leaded_and_of_the_porcelain_kind_is_rhodes_limits() -> None:
    kinds = {(row["glaze_type"], row["cones"]): row for row in glaze_limits()}
    alkaline, lead = kinds["alkaline", "08-04"], kinds["lead", "012-08"]
    porcelain = kinds["stoneware or porcelain", "8-12"]
    assert all("Rhodes" in row["source"] for row in (alkaline, lead, porcelain))
    for rule in ("copper-turquoise", "manganese-purple", "vanadium-zircon-alkaline"):
        assert asked_of(rule) == {
            "unity alkali": (float(alkaline["KNaO_min"]), float("inf")),
            "unity Al2O3": (0.0, float(alkaline["Al2O3_max"])),
        }
    assert asked_of("chromium-lead-yellow") == {
        "unity PbO": (float(lead["PbO_min"]), float("inf")),
        "unity Al2O3": (0.0, float(lead["Al2O3_max"])),
    }
    wanted = (float(porcelain["Al2O3_min"]), float("inf"))
    assert asked_of("manganese-alumina-alumina") == {"unity Al2O3": wanted}


@pytest.mark.parametrize("row", glaze_limits(), ids=lambda row: row["glaze_type"] + row["cones"])
def test_limit_formulas_name_oxides_that_rules_can_ask_for(row: dict[str, str]) -> None:
    """Every pair of limits reads as a span a rule could hold, of an amount a rule could name."""
    for column, low in row.items():
        if column.endswith("_min") and low and row["unit"] == "unity moles":
            name, high = column.removesuffix("_min"), row[column.replace("_min", "_max")]
            span = parse_span(f"{low}..{high}")
            assert span.holds(float(low)) and not span.holds(float(high))
            assert parse_amount(f"unity {'alkali' if name == 'KNaO' else name}").oxides
