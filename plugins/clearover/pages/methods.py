"""What is computed and how, every chemistry rule, every table: with its source.

In: the data files themselves, so the page cannot say anything else than the program does.
Out: `methods.html`, a rule an anchor.
"""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from typing import Any

import yaml

from ..chemistry.amounts import Asked, in_words
from ..chemistry.rules import Rule, rule_book
from ..firing.cone import Cone
from ..tables import read_text
from . import words
from .environment import body_environment
from .page import Page, Site

KNOWN = {"seen": "read in the source", "memory": "the source from memory", "convention": ""}
FIGURES = {
    "seen": "figures read in the source",
    "memory": "figures from memory",
    "memory-unsure": "figures from memory and not sure",
}
DIRECTION = {"harm": "harms", "help": "helps", "none": "changes nothing", "unknown": "test it"}


def pages(site: Site) -> Iterator[Page]:
    """The one page."""
    del site  # the same for every studio
    book = rule_book()
    told = methods()
    body = (
        body_environment()
        .get_template("methods.html")
        .render(
            root="",
            methods=told["methods"],
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


@cache
def methods() -> dict[str, Any]:
    """The list of methods, and of what is not computed."""
    text = read_text("methods.yml")
    found: dict[str, Any] = yaml.safe_load(text)
    return found


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


@cache
def tables() -> tuple[dict[str, Any], ...]:
    """Every table of figures: its name, rows, columns, and its sources with how often each."""
    found = []
    folder = files("clearover").joinpath("data")
    for entry in sorted(folder.iterdir(), key=lambda one: one.name):
        if entry.name.endswith(".csv"):
            rows = list(csv.DictReader(io.StringIO(entry.read_text(encoding="utf-8"))))
            sources = Counter(row["source"] for row in rows if row.get("source"))
            found.append(
                {
                    "name": entry.name.removesuffix(".csv"),
                    "rows": words.count(len(rows), "row"),
                    "sources": sources.most_common(),
                }
            )
    return tuple(found)
