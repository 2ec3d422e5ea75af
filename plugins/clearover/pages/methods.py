"""What is computed and how, every chemistry rule, every table: with its source.

In: the data files themselves, so the page cannot say anything else than the program does; worked
examples and plots are computed while the page is made. Out: `methods.html`, a rule an anchor, and
every table as a file below `tables/`.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any

import yaml

from ..chemistry.amounts import Asked, in_words
from ..chemistry.rules import Rule, rule_book
from ..evidence.crazed import CRAZED, SHIVERED
from ..firing.cone import Cone
from ..tables import read_text
from . import words
from .environment import body_environment
from .fit import agreed
from .lookup import lookup
from .mathml import mathml, symbol
from .methods_examples import example
from .methods_plots import figure
from .methods_tables import FOLDER, shipped, tables
from .page import Asset, Page, Site

KNOWN = {"seen": "read in the source", "memory": "the source from memory", "convention": ""}
FIGURES = {
    "seen": "figures read in the source",
    "memory": "figures from memory",
    "memory-unsure": "figures from memory and not sure",
}
DIRECTION = {"harm": "harms", "help": "helps", "none": "changes nothing", "unknown": "test it"}


def pages(site: Site) -> Iterator[Page | Asset]:
    """The page, then the tables as files."""
    book = rule_book()
    told = methods()
    body = (
        body_environment()
        .get_template("methods.html")
        .render(
            root="",
            groups=_groups(told, site),
            known=KNOWN,
            missing=told["not computed"],
            rules=[rule_view(rule) for rule in book.rules],
            sentences=_sentences(),
            tables=tables(),
        )
    )
    yield Page(
        address="methods.html",
        kind="methods",
        title="Methods and sources",
        description="What is computed and how, each chemistry rule and each table with its source.",
        nav="guide",
        body_html=body,
    )
    for name, text in shipped().items():
        yield Asset(FOLDER + name, text.encode())


@cache
def methods() -> dict[str, Any]:
    """The list of methods, and of what is not computed."""
    text = read_text("methods.yml")
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    found: dict[str, Any] = yaml.load(text, Loader=loader)
    return found


def _groups(told: dict[str, Any], site: Site) -> list[dict[str, Any]]:
    """The methods under their headings, in the order of the file."""
    here = {"craze-risk": _agreed(site)}
    found = []
    for group in told["groups"]:
        views = [method_view(one) for one in told["methods"] if one["group"] == group["id"]]
        for view in views:
            view["here"] = here.get(view["id"], [])
        found.append({**group, "methods": views})
    return found


def method_view(one: dict[str, Any]) -> dict[str, Any]:
    """One method with its formulas drawn, its worked example and its plot."""
    known = {table.name: table for table in tables()}
    return {
        **one,
        "formulas": [mathml(line) for line in one.get("formulas", [])],
        "symbols": [(symbol(sign), meaning) for sign, meaning in one.get("symbols", [])],
        "error": one.get("error"),
        "know": one.get("know"),
        "caution": one.get("caution"),
        "tables": [known[name] for name in one.get("tables", [])],
        "example": example(one["example"]) if "example" in one else None,
        "plots": [figure(name) for name in one.get("plots", [])],
    }


def _agreed(site: Site) -> list[str]:
    """How the studio's own tiles bear out what was said of crazing and shivering."""
    told = []
    for fault, name in ((CRAZED, "crazing"), (SHIVERED, "shivering")):
        found = agreed(lookup(site), fault)
        if not found.counted:
            early = f": {found.early} were judged too soon after the firing" if found.early else ""
            told.append(
                f"No tile of this studio bears on a “likely” or “unlikely” of {name}{early}."
            )
            continue
        told.append(
            f"Of {words.count(found.counted, 'tile')} of this studio that bear on a “likely” or "
            f"“unlikely” of {name}, {found.agree} agree and {found.disagree} do not; "
            f"{found.early} more were judged too soon after the firing to count."
        )
    return told


def rule_view(rule: Rule) -> dict[str, Any]:
    """One chemistry rule in words."""
    return {
        "id": rule.id,
        "of": _subject(rule),
        "effect": rule.effect,
        "when": [condition(name, wanted) for name, wanted in rule.when],
        "direction": DIRECTION[rule.direction],
        "property": rule.property,
        "strength": rule.strength,
        "because": rule.because,
        "source": rule.source,
        "evidence": rule.evidence,
        "disagrees": rule.disagrees,
        "would_change": rule.would_change,
        "figures": FIGURES.get(rule.figures or "", ""),
        "grades": [f"{in_words(asked)}: {strength}" for asked, strength in rule.grades],
        "if_not_computed": [condition(name, wanted) for name, wanted in rule.if_not_computed],
    }


def _subject(rule: Rule) -> str:
    if rule.any_colour:
        return "any colour"
    if rule.described is None:
        return ", ".join(sorted(rule.pigments))
    described = rule.described
    colours = words.joined(sorted(described.colours), "or") or "colour"
    if described.elements is None:
        return f"a {colours} nobody knows anything of"
    said = f"a {colours} with {words.joined(sorted(described.elements))}, pigment unknown"
    if described.without:
        said += f", without {words.joined(sorted(described.without))}"
    return said


def condition(name: str, wanted: Any) -> str:
    """One condition in words: `zinc bearing`, `cones 1 to 14`, `hotter than …: 0.5 to 2 cones`."""
    if name == "cones":
        return f"cones {Cone(wanted[0]).shown} to {Cone(wanted[1]).shown}"
    if name == "near":
        return f"beside {words.joined(sorted(wanted), 'or')} in the load"
    if isinstance(wanted, Asked):
        return in_words(wanted)
    if isinstance(wanted, tuple):
        low, high = wanted
        upto = f"{low:g} to {high:g}" if high != float("inf") else f"{low:g} or more"
        return f"{name} {upto} whole cones"
    if isinstance(wanted, frozenset):
        return f"{name} {words.joined(sorted(wanted), 'or')}"
    return f"{name}: {'not known' if wanted is None else 'yes' if wanted else 'no'}"


def _sentences() -> list[tuple[str, str]]:
    """What is said where no rule can speak: [(anchor, sentence)]."""
    book = rule_book().sentences
    told = [
        ("no-rule", "no rule"),
        ("pigment-unknown", "pigment unknown"),
        ("pigment-not-in-the-table", "not in the table"),
    ]
    return [
        (anchor, book[key].format(pigment="…", what="…")) for anchor, key in told if key in book
    ]
