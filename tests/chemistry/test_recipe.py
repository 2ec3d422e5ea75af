"""Recipes in parts, per cent and moles, with additions; analyses in weight, mol and unity."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from clearover.chemistry.clear import chemistry_of
from clearover.chemistry.materials import MaterialBook, trade_materials
from clearover.chemistry.recipe import melt
from clearover.chemistry.results import ClearChemistry
from hypothesis import given, settings
from hypothesis import strategies as st

Melted = Callable[..., ClearChemistry]
BOOK = MaterialBook.with_studio([])
PURE = [m.name for m in trade_materials() if m.molar_mass is not None]
ANY = [m.name for m in trade_materials()]
SEGER_4 = {"orthoclase": 0.3, "calcium carbonate": 0.7, "kaolin": 0.2, "quartz": 1.8}


def recipes(names: list[str]) -> Any:
    return st.dictionaries(st.sampled_from(names), st.floats(0.5, 90), min_size=2, max_size=8)


def close(one: dict[str, float] | None, other: dict[str, float] | None) -> bool:
    if one is None or other is None:
        return one is other
    return one == pytest.approx(other, rel=1e-9, abs=1e-12)


def test_a_recipe_in_moles(melted: Melted) -> None:
    # Seger cone 4, 0.3 K2O 0.7 CaO 0.5 Al2O3 4 SiO2: a mole of feldspar is K2O·Al2O3·6SiO2.
    chem = melted(SEGER_4, recipe_in="moles")
    wanted = {"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.5, "SiO2": 4.0}
    assert chem.unity == pytest.approx(wanted, abs=1e-4)


def test_additions_come_on_top_in_the_same_parts(melted: Melted) -> None:
    base = {"orthoclase": 84, "calcium carbonate": 35, "kaolin": 26, "quartz": 54}
    chem = melted(base, additions={"tin oxide": 10})
    together = melted({**base, "tin oxide": 10})
    assert chem.oxides_weight_percent == pytest.approx(together.oxides_weight_percent)
    assert chem.loss_percent == pytest.approx(together.loss_percent)


def test_additions_to_moles_are_per_cent_of_the_base(melted: Melted) -> None:
    weights = {name: n * BOOK.find(name).molar_mass for name, n in SEGER_4.items()}  # type: ignore[union-attr, operator]
    tin = 0.05 * sum(weights.values())
    one = melted(SEGER_4, recipe_in="moles", additions={"tin oxide": 5})
    other = melted({**weights, "tin oxide": tin})
    assert one.oxides_weight_percent == pytest.approx(other.oxides_weight_percent)


def test_a_rock_has_no_mole(melted: Melted) -> None:
    chem = melted({"nepheline syenite": 1, "quartz": 2}, recipe_in="moles")
    assert chem.unity is None and "a mole of “nepheline syenite”" in (chem.reason or "")


def test_an_unknown_material_in_moles_settles_no_class(melted: Melted) -> None:
    chem = melted({"zinc oxide": 1, "mystery": 0.001}, recipe_in="moles", zinc="free")
    assert chem.zinc.known_from.startswith("declared")
    assert "mystery" in (chem.reason or "")


def test_calcined_before_a_name_takes_the_loss_away(melted: Melted) -> None:
    # Talc, Mg3Si4O10(OH)2, loses 4.75 per cent (ideal formula, IUPAC 2021).
    raw = melted({"talc": 100, "whiting": 50})
    fired = melted({"calcined talc": 95.25, "whiting": 50})
    assert fired.unity == pytest.approx(raw.unity, rel=1e-4)
    lime, quicklime = (
        melted({"Whiting, calcined": 1, "quartz": 1}),
        melted({"calcium oxide": 1, "quartz": 1}),
    )
    assert lime.unity == pytest.approx(quicklime.unity)
    own = BOOK.find("calcined kaolin")
    assert own is not None and own.formula == "Al2Si2O7"


def test_a_mole_stays_a_mole_when_calcined(melted: Melted) -> None:
    raw = melted({"dolomite": 0.2, "quartz": 2}, recipe_in="moles")
    fired = melted({"calcined dolomite": 0.2, "quartz": 2}, recipe_in="moles")
    assert fired.unity == pytest.approx(raw.unity)
    assert fired.loss_percent == pytest.approx(0) and (raw.loss_percent or 0) > 10


def test_a_studio_material_may_give_its_formula(
    melted: Melted, material_of: Callable[..., Any]
) -> None:
    own = material_of("Our Clay", None, formula="Al2Si2O5(OH)4")
    assert melted({"our clay": 60, "whiting": 40}, own).unity == pytest.approx(
        melted({"kaolin": 60, "whiting": 40}).unity
    )


def test_analyses_in_mol_and_unity_say_the_same(melted: Melted) -> None:
    unity = {"K2O": 0.3, "CaO": 0.7, "Al2O3": 0.5, "SiO2": 4.0}
    mol = {name: 100 * n / 5.5 for name, n in unity.items()}
    weight = melted(None, analysis=mol, analysis_in="mol %").oxides_weight_percent
    for chem in (
        melted(None, analysis=unity, analysis_in="unity"),
        melted(None, analysis=mol, analysis_in="mol %"),
        melted(None, analysis=weight),
    ):
        assert chem.unity == pytest.approx(unity)
        assert chem.oxides_mol_percent == pytest.approx(mol)
        assert chem.r2o_to_ro == pytest.approx(0.3 / 0.7)


def test_a_unity_formula_must_be_one(melted: Melted) -> None:
    wrong = melted(None, analysis={"CaO": 2, "SiO2": 3}, analysis_in="unity")
    assert wrong.unity is None and "add up to 2" in (wrong.reason or "")


def test_what_makes_no_glass_says_so(melted: Melted) -> None:
    flux = melted({"whiting": 50, "zinc oxide": 50})
    assert flux.unity is not None and "no glass" in (flux.reason or "")
    assert "no flux" in (melted({"kaolin": 1, "quartz": 1}).reason or "")


def test_ten_thousand_materials_are_told_in_one_line(melted: Melted) -> None:
    chem = melted({f"mystery {n}": 1.0 for n in range(10_000)})
    assert len(chem.unknown_materials) == 10_000
    assert chem.reason is not None and len(chem.reason) < 600 and "9995 more" in chem.reason


@settings(max_examples=40, deadline=None)
@given(recipe=recipes(ANY), size=st.floats(0.01, 1000))
def test_percent_and_parts_are_one(recipe: dict[str, float], size: float) -> None:
    one, other = melt(recipe, BOOK), melt({n: p * size for n, p in recipe.items()}, BOOK)
    assert other.raw == pytest.approx(one.raw * size)
    assert other.oxides == pytest.approx({n: p * size for n, p in one.oxides.items()}, rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(recipe=recipes(ANY), share=st.floats(0.01, 0.99), extra=recipes(ANY))
def test_a_material_in_two_lines_is_one(
    recipe: dict[str, float], share: float, extra: dict[str, float]
) -> None:
    # The second line stands among the additions, or under another of the material's names.
    whole = melt(recipe, BOOK)
    less = {name: parts * share for name, parts in recipe.items()}
    rest = {name: parts * (1 - share) for name, parts in recipe.items()}
    split = melt(less, BOOK, rest)
    assert split.oxides == pytest.approx(whole.oxides, rel=1e-9)
    assert split.lost == pytest.approx(whole.lost, rel=1e-9, abs=1e-12)
    names = {name: BOOK.find(name).also for name in recipe}  # type: ignore[union-attr]
    twice = less | {names[n][0] if names[n] else n: rest[n] for n in rest if names[n]}
    same = melt(twice, BOOK)
    wanted = melt({n: recipe[n] if names[n] else less[n] for n in recipe}, BOOK)
    assert same.oxides == pytest.approx(wanted.oxides, rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(recipe=recipes(PURE), order=st.randoms(use_true_random=False))
def test_the_order_means_nothing_in_moles_either(recipe: dict[str, float], order: Any) -> None:
    mixed = list(recipe)
    order.shuffle(mixed)
    one = melt(recipe, BOOK, in_moles=True)
    other = melt({name: recipe[name] for name in mixed}, BOOK, in_moles=True)
    assert one.oxides == pytest.approx(other.oxides, rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(recipe=recipes(PURE))
def test_moles_are_weights_by_the_formula(
    clear_of: Callable[..., Any], recipe: dict[str, float]
) -> None:
    weights = {name: n * BOOK.find(name).molar_mass for name, n in recipe.items()}  # type: ignore[union-attr, operator]
    by_mole = chemistry_of(clear_of(recipe=recipe, recipe_in="moles"), BOOK)
    by_weight = chemistry_of(clear_of(recipe=weights), BOOK)
    assert close(by_mole.oxides_mol_percent, by_weight.oxides_mol_percent)
    assert close(by_mole.unity, by_weight.unity)
