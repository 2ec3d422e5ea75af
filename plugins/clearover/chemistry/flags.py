"""Flags: what the chemistry says of one colour under one clear at one cone.

In: the colour's pigments, the clear's classes, the fire. Out: flags, each with its reason and
source. The rules stand in `data/flags.yml`. Knows nothing of tiles: a fired tile outranks a flag.
"""

from __future__ import annotations

from functools import cache, lru_cache
from typing import NamedTuple

from ..firing.cone import Cone, ConeRange
from ..tables import plain
from .amounts import Asked, Met, met_by, parse_amount
from .conditions import ASKED, Situation, holds, strength_of
from .pigments import find_pigment
from .results import ClearChemistry, Flag
from .rules import Described, Rule, rule_book

TEST_IT = "unknown: test it"
ANY = "any colour"
NOT_KNOWN = "not known"
_UNKNOWN_CLASSES = ("unknown", "unknown", "unknown", "unknown")
_WEIGHT = {"strong": 3, "some": 2, "slight": 1}


class _Colour(NamedTuple):
    pigments: tuple[str, ...]
    colorants: tuple[str, ...]
    colour: str


def flags_for(
    *,
    pigments: tuple[str, ...],
    colorants: tuple[str, ...] = (),
    colour: str = "",
    underglaze: str | None = None,
    chem: ClearChemistry | None = None,
    clear_surface: str | None = None,
    clear_cones: ConeRange | None = None,
    underglaze_cones: ConeRange | None = None,
    melts_from: Cone | None = None,
    cone: Cone,
    atmosphere: str = "oxidation",
    near: tuple[str, ...] = (),
    fluid: bool | None = None,
) -> tuple[Flag, ...]:
    """Every flag for one colour under one clear at one cone.

    `pigments` as written in the record (empty or `unknown`: nobody knows), `colorants` its
    elements, `colour` a basic colour word, `chem` None where nothing is known of the clear, `near`
    what else was in the load, `fluid` True or False only where that is known of the clear. Where a
    rule would depend on something nobody knows the flag's direction is `unknown`.
    """
    step = cone.step
    situation = Situation(
        *(_UNKNOWN_CLASSES if chem is None else _classes_of(chem)),
        atmosphere,
        clear_surface,
        step,
        clear_cones.low.step - step if clear_cones else 0.0,
        step - clear_cones.high.step if clear_cones else 0.0,
        step - underglaze_cones.high.step if underglaze_cones else 0.0,
        None if melts_from is None else step >= melts_from.step,
        fluid,
        _words_of(near) if near else frozenset(),
        met_by(chem, rule_book().asked),
    )
    return _flags(_Colour(pigments, colorants, colour), situation, underglaze)


def _classes_of(chem: ClearChemistry) -> tuple[str, str, str, str]:
    return chem.zinc.value, chem.lime.value, chem.magnesia.value, chem.boron.value


def listens_to(
    pigments: tuple[str, ...], colorants: tuple[str, ...], colour: str, chem: ClearChemistry | None
) -> frozenset[str]:
    """Which neighbours could change what is said of this colour under this clear.

    Most colours listen to none: their flags are the same whatever else stood in the load.
    """
    return _listens_to(_Colour(pigments, colorants, colour), met_by(chem, rule_book().asked))


@lru_cache(maxsize=16384)
def _listens_to(colour: _Colour, amounts: Met) -> frozenset[str]:
    rules = [*_rules_for_any(), *(r for _, group in _subjects(colour) for r in group)]
    return frozenset(
        word
        for rule in rules
        if all(amounts.says(w) for _, w in rule.when if isinstance(w, Asked))
        for key, wanted in rule.when
        if key == "near"
        for word in wanted
    )


@lru_cache(maxsize=256)
def _words_of(near: tuple[str, ...]) -> frozenset[str]:
    return frozenset(word for text in near for word in plain(text).split())


@lru_cache(maxsize=65536)
def _flags(colour: _Colour, now: Situation, underglaze: str | None) -> tuple[Flag, ...]:
    flags: list[Flag] = []
    for subject, rules in _subjects(colour):
        if subject != NOT_KNOWN and find_pigment(subject) is None:
            key = "pigment-not-in-the-table"
            flags.append(_unknown(key, subject, "not in the table", underglaze))
        else:
            flags += _of_subject(subject, rules, now, underglaze)
    flags += [_flag(r, ANY, now, underglaze) for r in _rules_for_any() if holds(r, now)[0] is True]
    return tuple(flags)


@lru_cache(maxsize=4096)
def _subjects(colour: _Colour) -> tuple[tuple[str, tuple[Rule, ...]], ...]:
    """Each pigment of a colour with its rules; first, where one is unknown, what its elements
    and its colour say."""
    found: list[tuple[str, tuple[Rule, ...]]] = []
    named = [name for name in colour.pigments if plain(name) != "unknown"]
    if not named or len(named) < len(colour.pigments):
        rules = (r for r in rule_book().rules if r.described and _fits(r.described, colour))
        found.append((NOT_KNOWN, tuple(rules)))
    for name in dict.fromkeys(named):
        pigment = find_pigment(name)
        found.append((pigment.name, _rules_of(pigment.name)) if pigment else (name, ()))
    return tuple(found)


@cache
def _rules_of(pigment: str) -> tuple[Rule, ...]:
    return tuple(rule for rule in rule_book().rules if pigment in rule.pigments)


@cache
def _rules_for_any() -> tuple[Rule, ...]:
    return tuple(rule for rule in rule_book().rules if rule.any_colour)


def _fits(described: Described, colour: _Colour) -> bool:
    if described.colours and colour.colour not in described.colours:
        return False
    elements = {plain(element) for element in colour.colorants} - {"unknown"}
    if described.elements is None:
        return not elements
    return described.elements <= elements and not described.without & elements


def _of_subject(
    subject: str, rules: tuple[Rule, ...], now: Situation, underglaze: str | None
) -> list[Flag]:
    """The flags of one pigment: rules that hold, then one “test it” for each property in doubt."""
    sure = []
    doubt: dict[str, list[tuple[Rule, tuple[str, ...]]]] = {}
    answered = False
    for rule in rules:
        truth, missing = holds(rule, now)
        if truth:
            sure.append(_flag(rule, subject, now, underglaze))
            answered = answered or (rule.property == "colour" and not rule.aside)
        elif truth is None and not rule.silent and not rule.aside:
            doubt.setdefault(rule.property, []).append((rule, missing))
    # A strong harm is not undone by whatever else might come to be known.
    lost = {f.property for f in sure if f.direction == "harm" and f.strength == "strong"}
    sure = [f for f in sure if f.direction != "unknown" or f.property not in lost]
    for prop, open_rules in doubt.items():
        if prop not in lost:
            sure.append(_in_doubt(prop, open_rules, subject, underglaze))
    if not answered and "colour" not in doubt:
        key = "pigment unknown" if subject == NOT_KNOWN else "no rule"
        sure.append(_unknown(key.replace(" ", "-"), subject, key, underglaze))
    return sure


def _flag(rule: Rule, subject: str, now: Situation, underglaze: str | None) -> Flag:
    return Flag(
        rule=rule.id,
        pigment=subject,
        underglaze=underglaze,
        effect=rule.effect,
        direction=rule.direction,
        property=rule.property,
        strength=strength_of(rule, now),
        because=rule.because,
        source=rule.source,
        evidence=rule.evidence,
        disagrees=rule.disagrees,
        would_change=rule.would_change,
    )


def _in_doubt(
    prop: str,
    open_rules: list[tuple[Rule, tuple[str, ...]]],
    subject: str,
    underglaze: str | None,
) -> Flag:
    """One flag for all rules of a property that hang on something nobody knows."""
    strongest = max((rule for rule, _ in open_rules), key=lambda r: _WEIGHT[r.strength])
    sentences = rule_book().sentences
    factors = dict.fromkeys(factor for _, missing in open_rules for factor in missing)
    what = _listed(list(dict.fromkeys(_in_question(factor) for factor in factors)))
    pigment = "this colour" if subject == NOT_KNOWN else subject
    return Flag(
        rule=strongest.id,
        pigment=subject,
        underglaze=underglaze,
        effect=TEST_IT,
        direction="unknown",
        property=prop,
        strength=strongest.strength,
        because=sentences["unknown class"].format(what=what, pigment=pigment),
        source=strongest.source,
        evidence=strongest.evidence,
        disagrees=strongest.disagrees,
        would_change=sentences["to be found out"],
    )


def _listed(parts: list[str]) -> str:
    return ", ".join(parts[:-1]) + " and " + parts[-1] if len(parts) > 1 else "".join(parts)


def _in_question(factor: str) -> str:
    """What nobody knows, in words: `whether this clear holds zinc`."""
    sentences = rule_book().sentences
    if factor in ASKED:
        return sentences[factor]
    return sentences["amount"].format(oxide=parse_amount(factor).called)


def _unknown(rule: str, subject: str, sentence: str, underglaze: str | None) -> Flag:
    return Flag(
        rule=rule,
        pigment=subject,
        underglaze=underglaze,
        effect=TEST_IT,
        direction="unknown",
        property="colour",
        strength="slight",
        because=rule_book().sentences[sentence].format(pigment=subject),
        source="common practice",
        evidence="common practice",
        would_change=rule_book().sentences[f"then {sentence}"].format(pigment=subject),
    )


def expectation(flags: tuple[Flag, ...], prop: str = "colour") -> str:
    """What the flags alone lead to for one property: `good`, `bad` or `unknown`.

    Each pigment is judged by its strongest flag; the one that suffers most decides for a blend.
    Harm and help (or `none`, which counts as good) of equal strength, or anything unknown, leave
    that pigment unknown. No flag at all is unknown, and so is a pigment of a blend that no flag of
    this property speaks of, unless one speaks of any colour.
    """
    by_pigment: dict[str, list[Flag]] = {}
    for flag in flags:
        if flag.property == prop:
            by_pigment.setdefault(flag.pigment, []).append(flag)
    found = {_expected_of(group) for group in by_pigment.values()}
    if "bad" in found:
        return "bad"
    named = {flag.pigment for flag in flags} - {ANY}
    if ANY not in by_pigment and not named <= by_pigment.keys():
        return "unknown"
    return "good" if found == {"good"} else "unknown"


def _expected_of(flags: list[Flag]) -> str:
    if any(flag.direction == "unknown" for flag in flags):
        return "unknown"
    top = max(_WEIGHT[flag.strength] for flag in flags)
    harmed = {flag.direction == "harm" for flag in flags if _WEIGHT[flag.strength] == top}
    if len(harmed) > 1:
        return "unknown"
    return "bad" if True in harmed else "good"
