"""The rules of `data/flags.yml`, read and checked: text in, typed rules out.

A fault in the file is told with the rule's id and what would be right, so that whoever corrects a
rule needs no Python. Knows nothing of any clear or colour; `conditions` applies the rules.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

import yaml

from ..records import words
from ..tables import read_text
from . import turns
from .amounts import Asked, is_amount
from .asking import OF_CLEARS, STRENGTHS, RuleFault, conditions, grades, listed
from .pigments import find_pigment, pigments

SUBJECTS = ("pigment", "pigment unknown", "any colour")
ONE_OF = {
    "direction": ("harm", "help", "none", "unknown"),
    "property": ("colour", "surface", "line"),
    "strength": tuple(reversed(STRENGTHS)),
    "evidence": ("published", "memory", "common practice"),
}
FIGURES = ("seen", "memory", "memory-unsure")
NEEDED = ("id", "effect", "because", "source", *ONE_OF)
OPTIONAL = (
    *(
        "when",
        "if not computed",
        "by amount",
        "if not known",
        "figures",
        "changes",
        "disagrees",
        "aside",
    ),
)
ALLOWED = {*NEEDED, *SUBJECTS, *OPTIONAL}


@dataclass(frozen=True, slots=True)
class Described:
    """A colour of unknown pigment: elements it must hold (None: nobody knows any), must not hold,
    and the colours it may have (empty: any)."""

    elements: frozenset[str] | None
    without: frozenset[str]
    colours: frozenset[str]


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule. `when` holds (factor, what it must be): a set of words, a (low, high) span of
    cone steps, an amount asked for, or a yes/no. `if_not_computed` takes the place of its amounts
    where no composition is known; `grades` give its strength by amount, `figures` say how those
    amounts are known. `would_change` is one sentence."""

    id: str
    pigments: frozenset[str]
    described: Described | None
    any_colour: bool
    when: tuple[tuple[str, Any], ...]
    silent: bool
    aside: bool
    effect: str
    direction: str
    property: str
    strength: str
    because: str
    source: str
    evidence: str
    disagrees: str | None
    if_not_computed: tuple[tuple[str, Any], ...] = ()
    grades: tuple[tuple[Asked, str], ...] = ()
    figures: str | None = None
    would_change: str = ""


@dataclass(frozen=True, slots=True)
class RuleBook:
    """All rules, and the sentences for what nobody knows. `asked` is every condition on an amount
    that any rule makes."""

    rules: tuple[Rule, ...]
    sentences: dict[str, str]
    asked: tuple[Asked, ...] = ()


@cache
def rule_book() -> RuleBook:
    """The rules that come with the program."""
    return read_rules(read_text("flags.yml"))


def read_rules(text: str) -> RuleBook:
    """Rules from the text of a rule file. Raises RuleFault at the first thing wrong in it."""
    try:
        # Everything stays text: `04` is a cone and `no` a word, whatever YAML thinks of them.
        top = yaml.compose(text, Loader=getattr(yaml, "CBaseLoader", yaml.BaseLoader))
    except yaml.YAMLError as error:
        raise RuleFault(f"the rule file is no valid YAML: {error}") from None
    tree = _as_data(top)
    if top is None or not isinstance(tree, dict) or not isinstance(tree.get("rules"), list):
        raise RuleFault("the rule file needs `sources`, `sentences` and a list of `rules`")
    nodes = next(value for key, value in top.value if key.value == "rules")
    sentences, sources = (_texts(tree, key) for key in ("sentences", "sources"))
    rules: dict[str, Rule] = {}
    for row, node in zip(tree["rules"], nodes.value, strict=True):
        try:
            rule = _rule(row, sources, sentences)
            if rule.id in rules:
                raise RuleFault(f"rule “{rule.id}” is there twice: give the second another id")
        except RuleFault as fault:
            raise RuleFault(f"line {node.start_mark.line + 1}: {fault}") from None
        rules[rule.id] = rule
    return RuleBook(tuple(rules.values()), sentences, _asked(rules.values()))


def _texts(tree: Mapping[str, Any], key: str) -> dict[str, str]:
    """A set of names, each with its text."""
    found = tree.get(key) or {}
    if not isinstance(found, dict) or not all(isinstance(text, str) for text in found.values()):
        raise RuleFault(f"`{key}` is a set of names, each with its text")
    return found


def _asked(rules: Iterable[Rule]) -> tuple[Asked, ...]:
    found: dict[Asked, None] = {}
    for rule in rules:
        found |= dict.fromkeys(wanted for _, wanted in rule.when if isinstance(wanted, Asked))
        found |= dict.fromkeys(asked for asked, _ in rule.grades)
    return tuple(found)


def _as_data(node: Any) -> Any:
    """A YAML node as text, lists and dictionaries; a key written twice is a fault."""
    if isinstance(node, yaml.MappingNode):
        found: dict[str, Any] = {}
        for key, value in node.value:
            if key.value in found:
                line = key.start_mark.line + 1
                raise RuleFault(f"line {line}: “{key.value}” is written twice")
            found[key.value] = _as_data(value)
        return found
    if isinstance(node, yaml.SequenceNode):
        return [_as_data(item) for item in node.value]
    return None if node is None else node.value


def _rule(row: Any, sources: Mapping[str, str], sentences: Mapping[str, str]) -> Rule:
    if not isinstance(row, dict) or not isinstance(row.get("id"), str):
        raise RuleFault(f"every rule needs an id; this one has none: {str(row)[:80]}")
    name = row["id"]
    _check_keys(name, row)
    named = listed(name, "source", row["source"])
    for key in named:
        if key not in sources:
            raise RuleFault(f"rule “{name}”: source “{key}” is not listed under `sources`")
    when = conditions(name, "when", row.get("when") or {})
    return Rule(
        id=name,
        pigments=_pigments(name, row.get("pigment")),
        described=_described(name, row.get("pigment unknown")),
        any_colour=row.get("any colour") == "yes",
        when=when,
        silent=row.get("if not known") == "say nothing",
        aside=row.get("aside") == "yes",
        effect=row["effect"],
        direction=row["direction"],
        property=row["property"],
        strength=row["strength"],
        because=_sentence(name, "because", row["because"]),
        source="; ".join(sources[key] for key in named),
        evidence=row["evidence"],
        disagrees=row.get("disagrees"),
        if_not_computed=_if_not_computed(name, row.get("if not computed"), when),
        grades=grades(name, row.get("by amount")),
        figures=_figures(name, row, when),
        would_change=_would_change(name, row.get("changes"), when, sentences),
    )


def _figures(name: str, row: Mapping[str, Any], when: tuple[tuple[str, Any], ...]) -> str | None:
    """How a rule's amounts are known; needed where it names any, out of place where it does not."""
    said = row.get("figures")
    named = "by amount" in row or any(isinstance(wanted, Asked) for _, wanted in when)
    if named and said not in FIGURES:
        may = ", ".join(FIGURES)
        raise RuleFault(f"rule “{name}”: it names an amount, so say `figures`; it may be {may}")
    if said is not None and not named:
        raise RuleFault(f"rule “{name}”: `figures` is there, but no amount")
    return said


def _if_not_computed(
    name: str, value: Any, when: tuple[tuple[str, Any], ...]
) -> tuple[tuple[str, Any], ...]:
    if value is None:
        return ()
    if not any(isinstance(wanted, Asked) for _, wanted in when):
        raise RuleFault(f"rule “{name}”: `if not computed` needs an amount in `when`")
    found = conditions(name, "if not computed", value)
    for key, _ in found:
        if key not in OF_CLEARS or is_amount(key):
            may = ", ".join(OF_CLEARS)
            raise RuleFault(f"rule “{name}”: `if not computed` has “{key}”; it may be {may}")
    return found


def _would_change(
    name: str, said: Any, when: tuple[tuple[str, Any], ...], sentences: Mapping[str, str]
) -> str:
    if said is not None:
        return _sentence(name, "changes", said)
    return turns.would_change(when, sentences)


def _check_keys(name: str, row: Mapping[str, Any]) -> None:
    for key in row:
        if key not in ALLOWED:
            allowed = ", ".join(sorted(ALLOWED))
            raise RuleFault(f"rule “{name}”: “{key}” is no key of a rule; there are {allowed}")
    for key in NEEDED:
        if not row.get(key):
            raise RuleFault(f"rule “{name}”: “{key}” is missing")
    for key in ("effect", "disagrees"):
        if not isinstance(row.get(key, ""), str):
            raise RuleFault(f"rule “{name}”: {key} is one text")
    for key, allowed_words in ONE_OF.items():
        if row[key] not in allowed_words:
            may = ", ".join(allowed_words)
            raise RuleFault(f"rule “{name}”: {key} is “{row[key]}”; it may be {may}")
    if not any(key in row for key in SUBJECTS):
        raise RuleFault(f"rule “{name}”: say of what it speaks: {', '.join(SUBJECTS)}")
    for key, only in (("any colour", "yes"), ("if not known", "say nothing"), ("aside", "yes")):
        if row.get(key, only) != only:
            raise RuleFault(f"rule “{name}”: {key} may only be “{only}”, or be left out")


def _pigments(name: str, value: Any) -> frozenset[str]:
    if value is None:
        return frozenset()
    found = set()
    for word in listed(name, "pigment", value):
        pigment = find_pigment(word)
        if pigment is None:
            raise RuleFault(f"rule “{name}”: “{word}” is no pigment of pigments.csv")
        found.add(pigment.name)
    return frozenset(found)


@cache
def known_elements() -> tuple[str, ...]:
    """Every element that a pigment of the table names."""
    return tuple(sorted({element for p in pigments().values() for element in p.elements}))


def _described(name: str, value: Any) -> Described | None:
    if value is None:
        return None
    if not isinstance(value, dict) or set(value) - {"elements", "without", "colours"}:
        raise RuleFault(f"rule “{name}”: `pigment unknown` holds elements, without and colours")
    elements = value.get("elements")
    return Described(
        None
        if elements == "none"
        else frozenset(listed(name, "elements", elements or [], known_elements())),
        frozenset(listed(name, "without", value.get("without", []), known_elements())),
        frozenset(listed(name, "colours", value.get("colours", []), words.COLOURS)),
    )


def _sentence(name: str, key: str, text: Any) -> str:
    if not isinstance(text, str) or not text.endswith(".") or ". " in text:
        raise RuleFault(f"rule “{name}”: {key} is one sentence that ends in a full stop")
    return text
