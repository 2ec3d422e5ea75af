"""Recipes and formulas from textbooks: each row of the tables names its source.

Books round to whole parts and used older atomic weights: 1 per cent is allowed.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from clearover.chemistry.materials import MaterialBook
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


def _weight_for(material: str, oxide: str, moles: float) -> float:
    found = MaterialBook.with_studio([]).find(material)
    assert found is not None
    return moles * oxides()[oxide].molar_mass / found.oxides[oxide] * 100


def test_seger_formula_to_batch(table: Table) -> None:
    for row in _seger(table):
        need = {name: float(row[name] or 0) for name in ("K2O", "CaO", "Al2O3", "Fe2O3", "SiO2")}
        alumina = need["Al2O3"] - need["K2O"]
        silica = need["SiO2"] - 6 * need["K2O"] - 2 * alumina
        batch = {
            "feldspar": _weight_for("orthoclase", "K2O", need["K2O"]),
            "marble": _weight_for("whiting", "CaO", need["CaO"]),
            "kaolin": _weight_for("kaolin", "Al2O3", alumina),
            "quartz": _weight_for("quartz", "SiO2", silica),
            "iron_oxide": _weight_for("red iron oxide", "Fe2O3", need["Fe2O3"]),
        }
        # The books print half a formula's weight.
        printed = {name: 2 * float(row[name]) for name in batch}
        assert batch == pytest.approx(printed, rel=BOOKS, abs=1e-9), row["cone"]


COMBINING = {
    "alumina calcined": ("alumina", "Al2O3", 1),
    "alumina hydrated": ("alumina hydrate", "Al2O3", 1),
    "barium carbonate": ("barium carbonate", "BaO", 1),
    "borax crystals": ("borax", "Na2O", 1),
    "boric acid crystals": ("boric acid", "B2O3", 1),
    "calcined kaolin": ("calcined kaolin", "Al2O3", 1),
    "lime": ("calcium oxide", "CaO", 1),
    "calcium carbonate": ("calcium carbonate", "CaO", 1),
    "whiting": ("whiting", "CaO", 1),
    "cobalt oxide black": ("black cobalt oxide", "CoO", 3),
    "copper oxide black": ("black copper oxide", "CuO", 1),
    "felspar": ("orthoclase", "K2O", 1),
    "feldspar": ("orthoclase", "K2O", 1),
    "flint": ("flint", "SiO2", 1),
    "gypsum": ("gypsum", "CaO", 1),
    "iron oxide": ("iron oxide", "Fe2O3", 1),
    "white lead per PbO": ("white lead", "PbO", 1),
    "kaolin": ("kaolin", "Al2O3", 1),
    "chrome oxide": ("chrome oxide", "Cr2O3", 1),
}


def test_combining_weights_of_1914(table: Table) -> None:
    checked = misprints = 0
    for row in table("combining_weights_1914.csv"):
        if row["material"] not in COMBINING:
            continue
        weight = _weight_for(*COMBINING[row["material"]])
        agrees = weight == pytest.approx(float(row["combining_weight"]), rel=BOOKS)
        assert agrees is not bool(row["misprint"]), row["material"]
        checked += 1
        misprints += bool(row["misprint"])
    assert (checked, misprints) == (21, 1)
