"""The book of materials: names, sums, and slips of the pen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from clearover.chemistry.materials import MaterialBook, trade_materials
from clearover.tables import plain

BOOK = MaterialBook.with_studio([])


def test_every_analysis_adds_up() -> None:
    for material in trade_materials():
        assert material.loss is not None and material.source
        total = sum(material.oxides.values()) + material.loss
        # An ideal formula makes the whole; a typical analysis leaves traces unsaid.
        low = 99.98 if material.analysis == "ideal" else 98
        assert low <= total <= 100.5, material.name


def test_typical_analyses_say_that_they_are_from_memory() -> None:
    for material in trade_materials():
        assert material.analysis in ("ideal", "typical")
        assert (material.analysis == "typical") == ("from memory" in material.source)


def test_no_name_means_two_materials() -> None:
    seen: dict[str, str] = {}
    for material in trade_materials():
        for name in (material.name, *material.also):
            assert seen.setdefault(plain(name), material.name) == material.name, name


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("China Clay", "kaolin"),
        ("whiting", "calcium carbonate"),
        ("FLINT", "quartz"),
        ("Silica", "quartz"),
        ("neph sy", "nepheline syenite"),
        ("zinc-oxide", "zinc oxide"),
        ("Zirconium Silicate", "zircon"),
        ("Steatite", "talc"),
    ],
)
def test_trade_names(written: str, name: str) -> None:
    found = BOOK.find(written)
    assert found is not None and found.name == name


def test_a_bare_feldspar_is_not_guessed() -> None:
    assert BOOK.find("feldspar") is None
    assert "feldspar" in (BOOK.suggest("feldspar") or "")


def test_ideal_and_typical_stand_side_by_side() -> None:
    typical, ideal = BOOK.find("potash feldspar"), BOOK.find("orthoclase")
    assert typical is not None and ideal is not None
    assert (typical.analysis, ideal.analysis) == ("typical", "ideal")
    # KAlSi3O8 holds 16.92 % K2O (ideal formula, IUPAC 2021); a rock sold as potash feldspar less.
    assert typical.oxides["K2O"] < ideal.oxides["K2O"] == pytest.approx(16.92, abs=0.01)


def test_a_strange_name_in_an_analysis_is_kept_in_sight(material_of: Callable[..., Any]) -> None:
    own = material_of("Odd Frit", {"SiO2": 60, "CaO": 20, "LOI": 5, "sparkle": 15})
    found = MaterialBook.with_studio([own]).find("odd frit")
    assert found is not None
    assert (found.loss, found.strange) == (5, ("sparkle",))
