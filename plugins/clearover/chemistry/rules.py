"""The rules of `data/flags.yml`, read and checked: text in, typed rules out.

A fault in the file is told with the rule's id and what would be right, so that whoever corrects a
rule needs no Python. Knows nothing of any clear or colour; `conditions` applies the rules.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

import yaml

from ..firing.cone import parse_range
from ..records import words
from ..tables import plain, read_text
from .pigments import find_pigment, pigments

CLASSES = {
    "zinc": ("bearing", "free", "unknown"),
    "lime": ("high", "between", "low", "unknown"),
    "magnesia": ("high", "between", "low", "unknown"),
    "boron": ("high", "between", "low", "unknown"),
    "atmosphere": words.ATMOSPHERES,
    "surface": words.SURFACES,
}
SPANS = (
    "cooler than the clear's cones by",
    "hotter than the clear's cones by",
    "hotter than the colour's cones by",
)
YES_OR_NO = ("melting", "fluid")
ANSWERS = {"yes": True, "no": False, "not known": None}
SUBJECTS = ("pigment", "pigment unknown", "any colour")
ONE_OF = {
    "direction": ("harm", "help", "none", "unknown"),
    "property": ("colour", "surface", "line"),
    "strength": ("strong", "some", "slight"),
    "evidence": ("published", "memory", "common practice"),
}
NEEDED = ("id", "effect", "because", "source", *ONE_OF)
ALLOWED = {*NEEDED, *SUBJECTS, "when", "if not known", "disagrees", "aside"}


class RuleFault(ValueError):
    """Something in the rule file is wrong; the message says which rule and what would be right."""


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
    cone steps, or a yes/no."""

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


@dataclass(frozen=True, slots=True)
class RuleBook:
    """All rules, and the sentences for what nobody knows."""

    rules: tuple[Rule, ...]
    sentences: dict[str, str]


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
    listed = next(value for key, value in top.value if key.value == "rules")
    rules: dict[str, Rule] = {}
    for row, node in zip(tree["rules"], listed.value, strict=True):
        try:
            rule = _rule(row, tree.get("sources") or {})
            if rule.id in rules:
                raise RuleFault(f"rule “{rule.id}” is there twice: give the second another id")
        except RuleFault as fault:
            raise RuleFault(f"line {node.start_mark.line + 1}: {fault}") from None
        rules[rule.id] = rule
    return RuleBook(tuple(rules.values()), {**(tree.get("sentences") or {})})


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


def _rule(row: Any, sources: Mapping[str, str]) -> Rule:
    if not isinstance(row, dict) or not isinstance(row.get("id"), str):
        raise RuleFault(f"every rule needs an id; this one has none: {str(row)[:80]}")
    name = row["id"]
    _check_keys(name, row)
    named = _words(name, "source", row["source"])
    for key in named:
        if key not in sources:
            raise RuleFault(f"rule “{name}”: source “{key}” is not listed under `sources`")
    return Rule(
        id=name,
        pigments=_pigments(name, row.get("pigment")),
        described=_described(name, row.get("pigment unknown")),
        any_colour=row.get("any colour") == "yes",
        when=_when(name, row.get("when") or {}),
        silent=row.get("if not known") == "say nothing",
        aside=row.get("aside") == "yes",
        effect=row["effect"],
        direction=row["direction"],
        property=row["property"],
        strength=row["strength"],
        because=_sentence(name, row["because"]),
        source="; ".join(sources[key] for key in named),
        evidence=row["evidence"],
        disagrees=row.get("disagrees"),
    )


def _check_keys(name: str, row: Mapping[str, Any]) -> None:
    for key in row:
        if key not in ALLOWED:
            allowed = ", ".join(sorted(ALLOWED))
            raise RuleFault(f"rule “{name}”: “{key}” is no key of a rule; there are {allowed}")
    for key in NEEDED:
        if not row.get(key):
            raise RuleFault(f"rule “{name}”: “{key}” is missing")
    for key, allowed_words in ONE_OF.items():
        if row[key] not in allowed_words:
            listed = ", ".join(allowed_words)
            raise RuleFault(f"rule “{name}”: {key} is “{row[key]}”; it may be {listed}")
    if not any(key in row for key in SUBJECTS):
        raise RuleFault(f"rule “{name}”: say of what it speaks: {', '.join(SUBJECTS)}")
    for key, only in (("any colour", "yes"), ("if not known", "say nothing"), ("aside", "yes")):
        if row.get(key, only) != only:
            raise RuleFault(f"rule “{name}”: {key} may only be “{only}”, or be left out")


def _words(name: str, key: str, value: Any, allowed: tuple[str, ...] = ()) -> tuple[str, ...]:
    listed = [value] if isinstance(value, str) else value
    if not isinstance(listed, list) or not all(isinstance(word, str) for word in listed):
        raise RuleFault(f"rule “{name}”: {key} is a word or a list of words")
    for word in listed:
        if allowed and word not in allowed:
            raise RuleFault(f"rule “{name}”: {key} has “{word}”; it may be {', '.join(allowed)}")
    return tuple(listed)


def _pigments(name: str, value: Any) -> frozenset[str]:
    if value is None:
        return frozenset()
    found = set()
    for word in _words(name, "pigment", value):
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
        else frozenset(_words(name, "elements", elements or [], known_elements())),
        frozenset(_words(name, "without", value.get("without", []), known_elements())),
        frozenset(_words(name, "colours", value.get("colours", []), words.COLOURS)),
    )


def _when(name: str, value: Any) -> tuple[tuple[str, Any], ...]:
    if not isinstance(value, dict):
        raise RuleFault(f"rule “{name}”: `when` is a set of conditions in braces")
    return tuple((key, _condition(name, key, wanted)) for key, wanted in value.items())


def _condition(name: str, key: str, wanted: Any) -> Any:
    if key in CLASSES:
        return frozenset(_words(name, key, wanted, CLASSES[key]))
    if key == "cones":
        try:
            cones = parse_range(wanted)
        except (ValueError, TypeError) as error:
            raise RuleFault(f"rule “{name}”: cones: {error}") from None
        return (cones.low.step, cones.high.step)
    if key in SPANS:
        return _span(name, key, wanted)
    if key in YES_OR_NO:
        return ANSWERS[_words(name, key, wanted, tuple(ANSWERS))[0]]
    if key == "near":
        return frozenset(plain(word) for word in _words(name, key, wanted))
    known = ", ".join([*CLASSES, "cones", *SPANS, *YES_OR_NO, "near"])
    raise RuleFault(f"rule “{name}”: “{key}” is no condition; there are {known}")


def _span(name: str, key: str, wanted: Any) -> tuple[float, float]:
    low, dots, high = str(wanted).partition("..")
    try:
        if not dots:
            raise ValueError
        span = float(low), float(high) if high else float("inf")
    except ValueError:
        raise RuleFault(f"rule “{name}”: {key}: write a span like 0.5..2 or 2.5..") from None
    if span[0] > span[1] or span[0] <= 0:
        raise RuleFault(f"rule “{name}”: {key}: the span must rise from above 0")
    return span


def _sentence(name: str, text: str) -> str:
    if not text.endswith(".") or ". " in text:
        raise RuleFault(f"rule “{name}”: because is one sentence that ends in a full stop")
    return text
