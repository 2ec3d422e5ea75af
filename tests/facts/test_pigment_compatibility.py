"""What glaze components do to pigments (`pigment_compatibility.csv`), row by row against the rules.

Every row names the rules that say it, or the reason why none does. Each rule named must speak of
one of the row's pigments, and must in fact be raised under a clear that has what the row names.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from clearover.chemistry.classes import word_for
from clearover.chemistry.flags import flags_for
from clearover.chemistry.oxides import percent, to_moles, to_weights, unity
from clearover.chemistry.pigments import pigments
from clearover.chemistry.results import Class, ClearChemistry
from clearover.chemistry.rules import rule_book
from clearover.firing.cone import parse_cone

TABLE = Path(__file__).parent / "pigment_compatibility.csv"
RULES = {
    "PC01": ["chromium-green-zinc"],
    "PC02": ["chromium-under-a-tin-clear", "chromium-near-tin"],
    "PC03": ["chromium-lead-yellow"],
    "PC04": ["chromium-green-magnesia"],
    "PC05": ["garnet-green-zinc-free-lime", "garnet-green-middling-lime", "garnet-green-low-lime"],
    "PC06": ["chromium-green-zinc"],
    "PC07": ["chrome-tin-at-home", "chrome-tin-middling-lime", "chrome-tin-low-lime"],
    "PC08": ["chrome-tin-zinc"],
    "PC09": ["chrome-tin-magnesia", "chrome-tin-some-magnesia"],
    "PC10": ["chrome-tin-tin"],
    "PC11": ["chrome-tin-boron"],
    "PC12": ["chrome-tin-barium"],
    "PC13": ["chrome-tin-lead"],
    "PC15": ["chrome-tin-reduction"],
    "PC16": ["chrome-tin-low-lime"],
    "PC17": ["chrome-alumina-at-home", "chrome-alumina-no-zinc"],
    "PC18": ["chrome-alumina-high-lime"],
    "PC19": ["chrome-alumina-lead"],
    "PC20": ["chrome-alumina-boron"],
    "PC21": ["manganese-alumina-alumina"],
    "PC22": ["manganese-alumina-at-home", "manganese-alumina-high-lime", "manganese-alumina-zinc"],
    "PC23": ["iron-zircon-zinc"],
    "PC24": ["vanadium-zircon-opacified"],
    "PC25": ["vanadium-zircon-alkaline", "vanadium-zircon-lead"],
    "PC26": ["zircon-colours-steady"],
    "PC27": ["praseodymium-reduction"],
    "PC28": ["tin-vanadium-zinc"],
    "PC29": ["lead-antimonate-heat"],
    "PC30": ["lead-antimonate-leadless", "lead-antimonate-at-home"],
    "PC31": ["cobalt-magnesia"],
    "PC32": ["cobalt-zinc"],
    "PC33": ["cobalt-bleeds", "cobalt-bleeds-in-a-fluid-clear"],
    "PC34": ["iron-browns-zinc"],
    "PC35": ["zinc-iron-chromium-zinc", "zinc-iron-chromium-zinc-free"],
    "PC36": ["iron-browns-lime"],
    "PC37": ["manganese-purple"],
    "PC38": ["manganese-brown-lead", "manganese-brown-lime"],
    "PC39": ["copper-turquoise"],
    "PC40": ["copper-green-lead", "copper-green-boron", "copper-green-lime"],
    "PC41": ["copper-leaves", "white-near-copper"],
    "PC42": ["copper-with-lead"],
    "PC43": ["chromium-black-zinc-edges"],
    "PC45": ["tin-near-chromium", "tin-clear-near-chromium"],
}
NO_RULE = {
    "PC44": "speaks of milling the pigment: no record says whether somebody ground it, and the "
    "pigment's note in pigments.csv warns of it",
}
FAMILY = {
    "manganese": "manganese oxide",
    "copper": "copper oxide",
    "encapsulated cadmium reds": "cadmium-selenium in zircon",
}
"""Rows without a number: the pigment they mean."""
BESIDES = {"PC41": {"tin oxide"}, "PC45": {"tin oxide", "any colour"}}
"""Rows that speak of what stands beside the pigment: what the rule is about then."""


def rows() -> list[dict[str, str]]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def of_unity(**moles: float) -> ClearChemistry:
    weights = percent(to_weights(moles)) or {}
    classes = {
        name: Class(word_for(name, weights.get(oxide, 0.0)), weights.get(oxide, 0.0), "recipe")
        for name, oxide in (("zinc", "ZnO"), ("lime", "CaO"), ("magnesia", "MgO"),
                            ("boron", "B2O3"))
    }  # fmt: skip
    shares = percent(to_moles(weights))
    return ClearChemistry("a", weights, shares, unity(moles), None, 0.0, **classes)


BASE = {"Al2O3": 0.35, "SiO2": 3.0}
CLEARS = {
    "zinc": of_unity(ZnO=0.3, CaO=0.15, K2O=0.55, **BASE),
    "no zinc, much lime": of_unity(CaO=0.8, K2O=0.2, **BASE),
    "no zinc, some lime": of_unity(CaO=0.45, Na2O=0.55, **BASE),
    "little lime": of_unity(K2O=0.4, Na2O=0.5, CaO=0.1, **BASE),
    "magnesia": of_unity(MgO=0.5, CaO=0.3, K2O=0.2, **BASE),
    "a little magnesia": of_unity(MgO=0.15, CaO=0.65, K2O=0.2, **BASE),
    "tin": of_unity(SnO2=0.15, CaO=0.8, K2O=0.2, **BASE),
    "barium": of_unity(BaO=0.2, CaO=0.6, K2O=0.2, **BASE),
    "lead": of_unity(PbO=0.85, K2O=0.15, Al2O3=0.15, SiO2=1.6),
    "boron": of_unity(CaO=0.7, Na2O=0.3, B2O3=0.9, **BASE),
    "alkaline": of_unity(Na2O=0.55, K2O=0.1, CaO=0.35, Al2O3=0.15, SiO2=2.2),
    "zircon": of_unity(CaO=0.8, K2O=0.2, ZrO2=0.1, **BASE),
}


def meant(row: dict[str, str]) -> set[str]:
    """The pigments of the table that a row speaks of."""
    numbers = {n.strip() for n in row["cpma_number"].split(";")} - {"-"}
    found = {p.name for p in pigments().values() if numbers & set(p.cpma.split("; "))}
    found |= {FAMILY[row["pigment_family"]]} if row["pigment_family"] in FAMILY else set()
    return found | BESIDES.get(row["rule_id"], set())


def raised(row: dict[str, str]) -> dict[str, set[str]]:
    """Every rule raised for the row's pigments, under every clear, and for which of them."""
    found: dict[str, set[str]] = {}
    near = ("tin", "chromium", "copper")
    for name in meant(row) - {"any colour"}:
        for chem in CLEARS.values():
            for cone in ("08", "05", "6", "10"):
                for atmosphere in ("oxidation", "reduction"):
                    for flag in flags_for(
                        pigments=(name,), chem=chem, cone=parse_cone(cone), near=near,
                        atmosphere=atmosphere, fluid=True,
                    ):  # fmt: skip
                        found.setdefault(flag.rule, set()).add(flag.pigment)
    return found


def test_every_row_has_a_rule_or_a_reason() -> None:
    ids = {row["rule_id"] for row in rows()}
    assert len(ids) == len(rows()) == 44
    assert set(RULES) | set(NO_RULE) == ids and not set(RULES) & set(NO_RULE)


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["rule_id"])
def test_a_row(row: dict[str, str]) -> None:
    found = raised(row)
    for rule in RULES.get(row["rule_id"], ()):
        assert rule in found, f"{rule} is never raised for {meant(row)}"
        assert found[rule] & meant(row), rule
    if row["rule_id"] == "PC06":
        assert "calcium-chromium garnet" in found["chromium-green-zinc"]


DIRECTION = {"bad": {"harm", "unknown"}, "good": {"help", "none"}, "needs": {"help", "harm"}}


@pytest.mark.parametrize("row", rows(), ids=lambda row: row["rule_id"])
def test_the_direction_agrees(row: dict[str, str]) -> None:
    """Bad is a harm (or, where tables are split, unknown); good never is; what a pigment needs
    helps where it is there and harms where it is not."""
    book = {rule.id: rule for rule in rule_book().rules}
    wanted = DIRECTION.get(row["direction"])
    named = RULES.get(row["rule_id"], [])
    said = [book[rule].direction for rule in named]
    if wanted and named:
        assert set(said) & wanted, (row["rule_id"], said)
    if row["direction"] == "good":
        assert "harm" not in said


def test_where_sources_disagree_both_are_kept() -> None:
    """Every row with a disagreement is told by a rule that keeps it, or that says “test it”."""
    book = {rule.id: rule for rule in rule_book().rules}
    for row in rows():
        if row["disagreement"] and row["rule_id"] != "PC31":
            rules = [book[rule] for rule in RULES[row["rule_id"]]]
            assert any(r.disagrees or r.direction == "unknown" for r in rules), row["rule_id"]
    # PC31's note is no disagreement: a second writer says the same of magnesia and cobalt.
    assert "blue-violet" in {row["rule_id"]: row for row in rows()}["PC31"]["disagreement"]


def test_figures_carry_the_mark_of_the_table() -> None:
    """A rule that takes a figure from the table's thresholds is marked no surer than the table."""
    book = {rule.id: rule for rule in rule_book().rules}
    for row, rule in (
        ("PC01", "chromium-green-zinc"),
        ("PC05", "garnet-green-zinc-free-lime"),
        ("PC10", "chrome-tin-tin"),
        ("PC24", "vanadium-zircon-opacified"),
        ("PC31", "cobalt-magnesia"),
    ):
        mark = next(one["threshold_seen"] for one in rows() if one["rule_id"] == row)
        assert book[rule].figures == mark == "memory-unsure"
