"""The notation of formulas: what is written is what is drawn, and faults are not swallowed."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest
from clearover.pages import methods
from clearover.pages.mathml import mathml, symbol


def test_every_formula_of_the_methods_is_sound_markup() -> None:
    for one in methods.methods()["methods"]:
        for line in one.get("formulas", []):
            ElementTree.fromstring(mathml(line))
        for sign, _ in one.get("symbols", []):
            ElementTree.fromstring(symbol(sign))


def test_a_fraction_under_a_root() -> None:
    assert str(symbol("sqrt{frac{a}{2}}")) == (
        "<math><msqrt><mfrac><mrow><mi>a</mi></mrow><mrow><mn>2</mn></mrow></mfrac></msqrt></math>"
    )


def test_below_and_above() -> None:
    assert str(symbol("x_i^2")) == (
        "<math><msubsup><mi>x</mi><mi>i</mi><mn>2</mn></msubsup></math>"
    )
    assert "<munder><mo>∑</mo><mi>i</mi></munder>" in symbol("sum_i x")


def test_the_figures_of_an_oxide_hang_below() -> None:
    assert "<msub><mtext>Al</mtext><mn>2</mn></msub>" in symbol('"Al2O3"')
    assert "<mtext>half band</mtext>" in symbol('"half band"')
    assert "<mtext>Lyon:\u00a0</mtext>" in symbol('"Lyon: "')


def test_marks_of_html_are_escaped() -> None:
    assert "&lt;" in symbol("a < b") and "<script" not in symbol('"<script>"')


@pytest.mark.parametrize("broken", ["frac{a}", "sqrt a", "{a", "a}", "x_"])
def test_a_fault_is_an_error(broken: str) -> None:
    with pytest.raises(ValueError):
        symbol(broken)
