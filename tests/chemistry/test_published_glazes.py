"""Recipes and formulas from textbooks: each row of the tables names its source.

Books round to whole parts and used older atomic weights: 1 per cent is allowed. The way back, from
a formula to its batch, is tested in `test_batch.py`, combining weights in `test_formula.py`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from clearover.chemistry.oxides import oxides
from clearover.chemistry.results import ClearChemistry

Table = Callable[[str], list[dict[str, str]]]
Melted = Callable[..., ClearChemistry]
BOOKS = 0.01

NAMES = {
    "potash feldspar": "orthoclase",
    "flint": "quartz",
    "whiting": "calcium carbonate",
    "marble": "calcium carbonate",
    "iron_oxide": "red iron oxide",
    "feldspar": "orthoclase",
}
"""The books mean the ideal mineral where the book of materials keeps a typical rock."""


def _recipe(batch: str) -> dict[str, float]:
    parts = [part.rsplit(" ", 1) for part in batch.split("; ")]
    return {NAMES.get(name, name): float(amount) for name, amount in parts}


def _formula(text: str) -> dict[str, float]:
    words = text.split()
    return dict(zip(words[::2], map(float, words[1::2]), strict=True))


def test_worked_examples(table: Table, melted: Melted, material_of: Callable[..., Any]) -> None:
    # Cox's china stone, 8SiO2.2Al2O3.K2O, by its formula: the weight he prints for it is wrong.
    moles = {"SiO2": 8, "Al2O3": 2, "K2O": 1}
    weights = {name: n * oxides()[name].molar_mass for name, n in moles.items()}
    shares = {name: 100 * w / sum(weights.values()) for name, w in weights.items()}
    stone = material_of("china stone (Cox 8SiO2.2Al2O3.K2O)", shares)
    tried = 0
    for row in table("glaze_worked_examples.csv"):
        chem = melted(_recipe(row["batch"]), stone)
        assert chem.unity == pytest.approx(_formula(row["formula"]), rel=BOOKS), row["id"]
        tried += 1
    assert tried == 6


def _seger(table: Table) -> list[dict[str, str]]:
    """Cones whose batch is known otherwise than by the rule that made the formula."""
    return [r for r in table("seger_cones.csv") if r["batch_known"] not in ("", "by rule")]


def test_seger_batch_to_formula(table: Table, melted: Melted) -> None:
    for row in _seger(table):
        batch = {
            NAMES.get(name, name): float(row[name])
            for name in ("feldspar", "marble", "quartz", "iron_oxide", "kaolin")
            if float(row[name])
        }
        chem = melted(batch)
        assert chem.unity is not None
        wanted = {
            name: float(row[name])
            for name in ("K2O", "CaO", "Al2O3", "Fe2O3", "SiO2")
            if row[name] and float(row[name])
        }
        assert chem.unity == pytest.approx(wanted, rel=BOOKS), row["cone"]
    assert len(_seger(table)) >= 5
