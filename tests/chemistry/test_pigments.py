"""Pigment names as labels give them."""

from __future__ import annotations

import pytest
from clearover.chemistry.pigments import find_pigment, pigments, suggest
from clearover.chemistry.rules import rule_book
from clearover.records.words import COLOURS
from clearover.tables import plain


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("chromium oxide", "chromium oxide"),
        ("Chrome Green", "chromium oxide"),
        ("Victoria green", "calcium-chromium garnet"),
        ("chrome tin", "chrome-tin"),
        ("zircon-vanadium blue", "vanadium zircon"),
        ("encapsulated red", "cadmium-selenium in zircon"),
        ("cobalt", "cobalt"),
        ("raw cobalt", "cobalt oxide"),
    ],
)
def test_names_and_aliases(written: str, name: str) -> None:
    found = find_pigment(written)
    assert found is not None and found.name == name


def test_a_typing_slip_is_answered() -> None:
    assert find_pigment("praseodimium zircon") is None
    assert suggest("praseodimium zircon") == "praseodymium zircon"
    assert suggest("marmalade") is None


def test_no_name_means_two_pigments() -> None:
    seen: dict[str, str] = {}
    for pigment in pigments().values():
        for name in (pigment.name, *pigment.also):
            assert seen.setdefault(plain(name), pigment.name) == pigment.name, name


def test_every_pigment_has_colours_elements_and_a_source() -> None:
    for pigment in pigments().values():
        assert pigment.elements and pigment.source
        assert pigment.colours and set(pigment.colours) <= set(COLOURS)


def test_at_least_sixteen_systems_have_rules() -> None:
    assert len({name for rule in rule_book().rules for name in rule.pigments}) >= 30
    assert len(pigments()) >= 45
