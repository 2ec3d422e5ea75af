"""Amounts in the rule file: what may be written, and each slip answered by rule and line."""

from __future__ import annotations

import random

import pytest
from clearover.chemistry.amounts import Amount, Asked, Span, in_words, parse_amount, parse_span
from clearover.chemistry.rules import RuleFault, read_rules, rule_book
from hypothesis import given
from hypothesis import strategies as st

RULE = """
sources: {practice: common practice}
sentences: {toward zinc free: a clear with no zinc}
rules:
  - id: green-and-zinc
    pigment: [chromium oxide]
    when: {zinc: [bearing], unity CaO: ..0.3, weight Na2O + K2O: 2..8, cones: 04..10}
    if not computed: {lime: [low]}
    by amount: {weight ZnO: {0: slight, 1: some, 2: strong}}
    figures: memory-unsure
    effect: toward brown
    direction: harm
    property: colour
    strength: strong
    because: Zinc turns it brown.
    changes: A clear without zinc.
    source: [practice]
    evidence: common practice
"""


def test_amounts_are_read() -> None:
    book = read_rules(RULE)
    (rule,) = book.rules
    lime = Asked(Amount("unity", ("CaO",)), Span(0, 0.3))
    alkali = Asked(Amount("weight", ("Na2O", "K2O")), Span(2, 8))
    assert dict(rule.when)["unity CaO"] == lime
    assert dict(rule.when)["weight Na2O + K2O"] == alkali
    assert rule.if_not_computed == (("lime", frozenset({"low"})),)
    assert [(asked.span, strength) for asked, strength in rule.grades] == [
        (Span(0, 1), "slight"),
        (Span(1, 2), "some"),
        (Span(2, float("inf")), "strong"),
    ]
    assert {lime, alkali} < set(book.asked) and len(book.asked) == 5
    assert rule.would_change == "A clear without zinc."


def test_without_changes_of_its_own_a_rule_turns_its_conditions_round() -> None:
    (rule,) = read_rules(RULE.replace("    changes: A clear without zinc.\n", "")).rules
    assert rule.would_change == (
        "A clear with no zinc; or more lime (0.3 of the flux or more); or less soda and potash "
        "(under 2 weight %); or more soda and potash (8 weight % or more); or cone 05 or cooler; "
        "or cone 11 or hotter."
    )


BROKEN = [
    ("weight Na2O", "weight Na2", "is no oxide of oxides.csv; did you mean “Na2O”"),
    ("unity CaO", "unity", "is no oxide of oxides.csv"),
    ("unity CaO", "unitty CaO", "is no condition"),
    ("unity CaO: ..0.3", "unity CaO: 0.3", "write an amount as a span"),
    ("unity CaO: ..0.3", "unity CaO: ..", "write an amount as a span"),
    ("unity CaO: ..0.3", "unity CaO: low..0.3", "write an amount as a span"),
    ("unity CaO: ..0.3", "unity CaO: 0.5..0.3", "the span must rise"),
    ("unity CaO: ..0.3", "unity CaO: -1..0.3", "begin at nought"),
    ("unity CaO: ..0.3", "unity CaO: nan..0.3", "the span must rise"),
    ("unity CaO: ..0.3", "unity CaO: [1, 2]", "write an amount as a span"),
    ("Na2O + K2O", "Na2O + + K2O", "is no oxide"),
    ("if not computed: {lime", "if not computed: {limes", "is no condition"),
    ("if not computed: {lime: [low]}", "if not computed: {cones: 1..4}", "it may be zinc, lime"),
    ("if not computed: {lime: [low]}", "if not computed: [low]", "a set of conditions in braces"),
    ("unity CaO: ..0.3, weight Na2O + K2O: 2..8, ", "", "needs an amount in `when`"),
    ("{weight ZnO: {0: slight", "{zinc: {0: slight", "holds one amount and its steps"),
    ("by amount: {weight ZnO: {0: slight, 1: some, 2: strong}}", "by amount: strong", "one amount"),
    ("{0: slight, 1: some, 2: strong}", "{0: strong, 1: some}", "more of it must be stronger"),
    ("{0: slight, 1: some, 2: strong}", "{1: some, 0: strong}", "the span must rise"),
    ("{0: slight, 1: some, 2: strong}", "{0: huge}", "it may be slight, some, strong"),
    ("{0: slight, 1: some, 2: strong}", "{}", "give the steps in braces"),
    ("    figures: memory-unsure\n", "", "so say `figures`"),
    ("figures: memory-unsure", "figures: hearsay", "so say `figures`"),
    ("changes: A clear without zinc.", "changes: A clear without zinc", "ends in a full stop"),
    ("changes: A clear without zinc.", "changes: [zinc]", "ends in a full stop"),
]


@pytest.mark.parametrize(("right", "wrong", "says"), BROKEN)
def test_a_slip_names_rule_and_line(right: str, wrong: str, says: str) -> None:
    assert RULE.count(right) == 1
    with pytest.raises(RuleFault) as told:
        read_rules(RULE.replace(right, wrong))
    assert says in str(told.value)
    assert str(told.value).startswith("line 5: rule “green-and-zinc”: ")


@pytest.mark.parametrize(
    ("right", "wrong", "says"),
    [
        ("sources: {practice: common practice}", "sources: practice", "`sources` is a set"),
        ("sentences: {toward", "sentences: [1]\nx: {toward", "`sentences` is a set"),
        ("effect: toward brown", "effect: [a, b]", "effect is one text"),
    ],
)
def test_a_slip_of_shape(right: str, wrong: str, says: str) -> None:
    with pytest.raises(RuleFault, match=says):
        read_rules(RULE.replace(right, wrong))


def test_figures_without_an_amount_are_answered() -> None:
    text = RULE.replace("unity CaO: ..0.3, weight Na2O + K2O: 2..8, ", "")
    text = "".join(
        line for line in text.splitlines(True) if "computed" not in line and "amount" not in line
    )
    with pytest.raises(RuleFault, match="`figures` is there, but no amount"):
        read_rules(text)


@given(st.randoms(use_true_random=False), st.integers(1, 4))
def test_no_damage_to_the_text_is_a_crash(rng: random.Random, times: int) -> None:
    """Whatever is cut out, doubled or swapped: sound rules, or a fault that says so."""
    text = RULE
    for _ in range(times):
        at, to = sorted(rng.choices(range(len(text) + 1), k=2))
        piece = text[at : min(to, at + 12)]
        text = text[:at] + rng.choice(("", piece * 2, piece[::-1], "{", "]", ": ")) + text[to:]
    try:
        read_rules(text)
    except RuleFault as fault:
        assert str(fault)


def test_spans_meet_and_leave_no_gap() -> None:
    assert not Span(1, 2).holds(2) and Span(2, 3).holds(2) and parse_span("..0.3").holds(0)


@pytest.mark.parametrize(
    ("key", "span", "says"),
    [
        ("unity ZnO", "0.05..0.2", "zinc 0.05 to 0.2 of the flux"),
        ("weight CaO", "8..", "lime 8 weight % or more"),
        ("unity alkali", "..0.4", "alkali under 0.4 of the flux"),
        ("unity Al2O3", "0.3..", "alumina 0.3 to one of flux or more"),
    ],
)
def test_amounts_in_words(key: str, span: str, says: str) -> None:
    assert in_words(Asked(parse_amount(key), parse_span(span))) == says


def test_every_rule_says_what_would_change_it() -> None:
    for rule in rule_book().rules:
        assert rule.would_change.endswith(".") and len(rule.would_change) > 12, rule.id
        assert "{" not in rule.would_change
    said = {rule.id: rule.would_change for rule in rule_book().rules}
    assert said["chromium-green-zinc"].startswith(
        "A clear with no zinc in any material, frits included"
    )
    assert said["encapsulated-too-hot"] == "Cone 8 or cooler."


def test_unity_weight_and_classes_are_all_in_use() -> None:
    measures = {asked.amount.measure for asked in rule_book().asked}
    assert measures == {"unity", "weight"}
    held = {oxide for asked in rule_book().asked for oxide in asked.amount.oxides}
    assert {"ZnO", "CaO", "MgO", "Al2O3", "Na2O", "PbO", "SnO2", "BaO"} <= held
