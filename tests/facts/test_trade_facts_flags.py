"""What a technician knows (`trade_facts.csv`, common practice), row by row against the flags.

Each clear here is a recipe, so that the class is computed and not merely claimed. Rows that flags
cannot cover, since they speak of coats, days or how a piece stood, are listed with the reason:
they belong to the answers and the tiles.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from clearover.chemistry.clear import chemistry_of
from clearover.chemistry.flags import expectation, flags_for
from clearover.chemistry.materials import MaterialBook
from clearover.chemistry.pigments import pigments
from clearover.chemistry.results import ClearChemistry, Flag
from clearover.firing.cone import parse_cone, parse_range
from clearover.records.models import Clear, Material

TABLE = Path(__file__).parent / "trade_facts.csv"

FRIT = {"SiO2": 50, "B2O3": 21, "CaO": 13, "Al2O3": 8, "Na2O": 8}
RECIPES: dict[str, dict[str, float]] = {
    "zinc gloss": {
        "nepheline syenite": 28, "colemanite": 10, "whiting": 9, "zinc oxide": 7, "kaolin": 12,
        "quartz": 34,
    },
    "zinc gloss, low lime": {
        "nepheline syenite": 46, "zinc oxide": 10, "kaolin": 10, "quartz": 28, "colemanite": 6,
    },
    "zinc, cone 10": {
        "potash feldspar": 40, "whiting": 12, "zinc oxide": 8, "kaolin": 12, "quartz": 28,
    },
    "lime gloss": {
        "lime borate frit": 32, "nepheline syenite": 20, "wollastonite": 14, "kaolin": 12,
        "quartz": 22,
    },
    "lime gloss, cone 10": {"potash feldspar": 38, "whiting": 19, "kaolin": 13, "quartz": 30},
    "magnesia satin": {
        "nepheline syenite": 30, "lime borate frit": 20, "dolomite": 8, "talc": 14, "kaolin": 16,
        "quartz": 12,
    },
    "magnesia satin, lime kept": {
        "nepheline syenite": 25, "lime borate frit": 10, "whiting": 20, "talc": 18, "kaolin": 15,
        "quartz": 12,
    },
    "soft zinc": {"lime borate frit": 70, "zinc oxide": 6, "kaolin": 14, "quartz": 10},
}  # fmt: skip
CLASSES = {
    "zinc gloss": ("bearing", "between", "low"),
    "zinc gloss, low lime": ("bearing", "low", "low"),
    "zinc, cone 10": ("bearing", "between", "low"),
    "lime gloss": ("free", "high", "low"),
    "lime gloss, cone 10": ("free", "high", "low"),
    "magnesia satin": ("free", "low", "high"),
    "magnesia satin, lime kept": ("free", "high", "high"),
    "soft zinc": ("bearing", "between", "low"),
    "nobody knows": ("unknown", "unknown", "unknown"),
}


@cache
def clear(name: str) -> ClearChemistry:
    """The chemistry of one of the recipes above."""
    frit = Material.model_validate(
        {"@id": "frit", "@file": "f", "name": "lime borate frit", "analysis": _text(FRIT)}
    )
    keys: dict[str, Any] = {"@id": "clear", "@file": "c", "name": name}
    if name in RECIPES:
        keys["recipe"] = _text(RECIPES[name])
    return chemistry_of(Clear.model_validate(keys), MaterialBook.with_studio([frit]))


def _text(parts: dict[str, float]) -> dict[str, str]:
    return {key: f"{value:g}" for key, value in parts.items()}


@dataclass(frozen=True)
class Case:
    """One reading of a row: what lies under which clear, and what must be said of it."""

    row: int
    pigment: str
    over: str
    outcome: str
    cone: str = "6"
    prop: str = "colour"
    effect: str = ""
    """Words that the flag's effect must hold."""
    not_outcome: str = ""
    disagrees: bool = False
    keys: dict[str, Any] = field(default_factory=dict)


def case(row: int, pigment: str, over: str, outcome: str, cone: str = "6", **keys: Any) -> Case:
    """A case; keys that are no field of Case go to `flags_for`."""
    own = {k: keys.pop(k) for k in ("prop", "effect", "disagrees", "not_outcome") if k in keys}
    return Case(row, pigment, over, outcome, cone, keys=keys, **own)


GREEN, PINK, SPINEL_PINK = "chromium oxide", "chrome-tin", "chrome-alumina"
STEADY = ("praseodymium zircon", "vanadium zircon", "praseodymium zircon + vanadium zircon")
REDS = ("cadmium-selenium in zircon", "cadmium sulphide in zircon")
COBALTS = ("cobalt aluminate", "cobalt silicate", "cobalt oxide")
PINKS = ("chrome-tin", "chrome-tin orchid", "chrome-alumina", "manganese-alumina")
BLEEDERS = ("cobalt silicate", "cobalt oxide", "manganese ferrite")
ANY = ("chromium oxide", "praseodymium zircon", "cobalt aluminate", "zircon", "unknown")
ALL_CLEARS = ("zinc gloss", "lime gloss", "magnesia satin", "nobody knows")


def _cases() -> Iterator[Case]:
    for cone in ("5", "6"):
        yield case(1, GREEN, "zinc gloss", "bad", cone, effect="brown or grey")
        yield case(2, GREEN, "lime gloss", "good", cone)
    yield case(3, GREEN, "zinc, cone 10", "bad", "10", effect="brown")
    for atmosphere in ("oxidation", "reduction"):
        yield case(4, GREEN, "lime gloss, cone 10", "good", "10", atmosphere=atmosphere)
    for cone in ("05", "06", "04", "02"):
        yield case(5, GREEN, "soft zinc", "good", cone, effect="usually true, thin evidence")
    yield case(6, GREEN, "nobody knows", "unknown", effect="test it")
    yield case(7, PINK, "lime gloss", "good")
    yield case(8, PINK, "magnesia satin", "bad", effect="faded")
    yield case(8, PINK, "magnesia satin, lime kept", "bad", effect="faded")
    yield case(9, PINK, "zinc gloss", "", effect="greyer or weaker", not_outcome="good",
               disagrees=True)  # fmt: skip
    for cone in ("5", "6"):
        yield case(10, SPINEL_PINK, "zinc gloss, low lime", "good", cone, effect="livelier")
        yield case(11, SPINEL_PINK, "lime gloss", "bad", cone, effect="faded or brownish")
    for over in ("zinc gloss", "zinc gloss, low lime", "lime gloss", "nobody knows"):
        yield case(12, "unknown", over, "unknown", effect="test it", colorants=("chromium",),
                   colour="pink")  # fmt: skip
    for pigment in STEADY:
        for over in ("zinc gloss", "lime gloss", "nobody knows"):
            yield case(13, pigment, over, "good", effect="zinc changes nothing")
            yield case(34, pigment, over, "good")
    for pigment in COBALTS:
        for cone in ("5", "6", "10"):
            yield case(14, pigment, "magnesia satin", "bad", cone, effect="purple")
            yield case(14, pigment, "lime gloss", "good", cone)
    for pigment in BLEEDERS:
        yield case(15, pigment, "zinc gloss", "bad", prop="line", effect="bleeds all round",
                   fluid=True)  # fmt: skip
    yield case(15, GREEN, "zinc gloss", "bad", prop="line", effect="bleeds all round",
               melts_from=parse_cone("5"))  # fmt: skip
    yield from _more_cases()


def _more_cases() -> Iterator[Case]:
    black, brown = "iron-cobalt-chromium", "zinc-iron-chromium"
    yield case(16, black, "zinc gloss", "", effect="thin edges toward brown", not_outcome="bad")
    yield case(16, black, "zinc gloss", "", effect="black at three coats", not_outcome="bad")
    yield case(17, brown, "zinc gloss", "good")
    yield case(18, brown, "lime gloss", "bad", effect="duller")
    for pigment in REDS:
        for over in ALL_CLEARS:
            for cone in ("05", "5", "6"):
                yield case(19, pigment, over, "good", cone)
            yield case(20, pigment, over, "bad", "10", effect="faded or blistered")
            for cone in ("05", "6", "10"):
                yield case(21, pigment, over, "bad", cone, effect="grey", atmosphere="reduction")
    for pigment in PINKS:
        for over in ALL_CLEARS:
            yield case(22, pigment, over, "bad", "10", effect="faded or gone",
                       atmosphere="reduction")  # fmt: skip
    yield case(22, "unknown", "lime gloss", "bad", "10", effect="faded or gone",
               atmosphere="reduction", colour="purple")  # fmt: skip
    for pigment in ANY:
        yield case(23, pigment, "lime gloss", "bad", "05", prop="surface", effect="dry, milky",
                   clear_cones=parse_range("6"))  # fmt: skip
        yield case(24, pigment, "soft zinc", "bad", "6", prop="line", effect="runs, lines dragged",
                   clear_cones=parse_range("05"))  # fmt: skip
    for pigment in (GREEN, black, brown):
        yield case(32, pigment, "lime gloss", "", effect="tin white beside it pink",
                   near=("tin white",))  # fmt: skip
    yield case(32, "tin oxide", "lime gloss", "", effect="pink", near=("chromium green",),
               not_outcome="good")  # fmt: skip


CASES = tuple(_cases())

NOT_BY_FLAGS = {
    25: "speaks of how the tile stood and how thick the line is: flags know neither; tiles do",
    26: "speaks of a tile that lay flat: flags know no tile",
    27: "compares lines, clears and coats with each other: for tiles, and for a model of movement",
    28: "speaks of coats and of the body's colour: a matter of cover, seen on tiles",
    29: "speaks of a third coat of the clear: flags know no coats",
    30: "speaks of coats and of firing the colour on: flags know neither",
    31: "speaks of the day a verdict was given: tiles keep the date",
    33: "speaks of how the clear was put on: flags know no application",
}
PARTLY = {
    15: "that the clear is fluid is only known where somebody says so; the thickness never",
    16: "that three coats stay black is a sentence of the flag, coats themselves are not known",
    34: "that both clears give the same colour; which colour stands in for which is the record's",
}
"""Rows the flags cover only so far."""


def rows() -> dict[int, dict[str, str]]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        return {int(row["id"]): row for row in csv.DictReader(file)}


def found_for(one: Case) -> tuple[Flag, ...]:
    keys = {"atmosphere": "oxidation", **one.keys}
    return flags_for(
        pigments=tuple(one.pigment.split(" + ")),
        chem=clear(one.over),
        cone=parse_cone(one.cone),
        **keys,
    )


@pytest.mark.parametrize("name", CLASSES)
def test_the_clears_are_what_they_claim(name: str) -> None:
    chem = clear(name)
    assert (chem.zinc.value, chem.lime.value, chem.magnesia.value) == CLASSES[name]


def test_every_row_is_covered_or_named() -> None:
    covered = {one.row for one in CASES}
    assert covered | set(NOT_BY_FLAGS) == set(rows())
    assert not covered & set(NOT_BY_FLAGS)
    assert set(PARTLY) <= covered
    assert {row["source"] for row in rows().values()} == {"common practice"}


@pytest.mark.parametrize("one", CASES, ids=lambda c: f"{c.row}-{c.pigment}-{c.over}-{c.cone}")
def test_a_trade_fact(one: Case) -> None:
    flags = found_for(one)
    outcome = expectation(flags, one.prop)
    if one.outcome:
        assert outcome == one.outcome
    if one.not_outcome:
        assert outcome != one.not_outcome
    speaking = [f for f in flags if f.property == one.prop and one.effect in f.effect]
    assert speaking, [f.effect for f in flags]
    if one.disagrees:
        assert any(flag.disagrees for flag in speaking)


def test_row_6_is_never_expected_true() -> None:
    for cone in ("1", "5", "5.5", "6", "7", "10"):
        flags = flags_for(pigments=(GREEN,), chem=clear("nobody knows"), cone=parse_cone(cone))
        assert expectation(flags) == "unknown"


def test_row_17_has_not_the_greens_flag() -> None:
    for name in pigments():
        flags = flags_for(pigments=(name,), chem=clear("zinc gloss"), cone=parse_cone("6"))
        has = any(flag.rule == "chromium-green-zinc" for flag in flags)
        assert has == (name in ("chromium oxide", "calcium-chromium garnet"))


def test_row_12_holds_for_any_zinc_at_any_cone() -> None:
    for over in CLASSES:
        for cone in ("05", "5", "6", "10"):
            flags = flags_for(
                pigments=(),
                colorants=("chromium",),
                colour="pink",
                chem=clear(over),
                cone=parse_cone(cone),
            )
            assert {flag.direction for flag in flags} == {"unknown"}
