"""The rule file can be corrected by hand: each slip is answered by the rule's id."""

from __future__ import annotations

import pytest
from clearover.chemistry.rules import RuleFault, read_rules, rule_book

RULE = """
sources: {practice: common practice}
sentences: {}
rules:
  - id: green-and-zinc
    pigment: [chromium oxide]
    when: {zinc: [bearing], cones: 04..10}
    effect: toward brown
    direction: harm
    property: colour
    strength: strong
    because: Zinc turns it brown.
    source: [practice]
    evidence: common practice
"""


def test_a_sound_rule_is_read() -> None:
    (rule,) = read_rules(RULE).rules
    # 04 is a cone, never the number 4: its step is four below the gap between 01 and 1.
    assert dict(rule.when)["cones"] == (-4.0, 9.0)
    assert rule.source == "common practice"


@pytest.mark.parametrize(
    ("right", "wrong", "says"),
    [
        ("chromium oxide", "chromium oxid", "is no pigment"),
        ("[bearing]", "[bering]", "may be bearing, free, unknown"),
        ("04..10", "10..04", "backwards"),
        ("04..10", "04..25", "there is no cone 25"),
        ("{zinc:", "{zink:", "is no condition"),
        ("direction: harm", "direction: bad", "may be harm, help, none, unknown"),
        ("strength: strong", "strength: huge", "may be strong, some, slight"),
        ("evidence: common practice", "evidence: rumour", "may be published"),
        ("    effect: toward brown\n", "", "“effect” is missing"),
        ("    effect:", "    efect:", "is no key of a rule"),
        ("brown.", "brown", "ends in a full stop"),
        ("brown.", "brown. And then grey.", "one sentence"),
        ("source: [practice]", "source: [hearsay]", "not listed under `sources`"),
        ("    pigment: [chromium oxide]\n", "", "say of what it speaks"),
        ("zinc: [bearing]", "hotter than the clear's cones by: 3", "a span like"),
        ("zinc: [bearing]", "melting: maybe", "it may be yes, no, not known"),
        ("rules:", "rule:", "needs `sources`"),
        ("  - id: green-and-zinc", "  - it: green-and-zinc", "needs an id"),
        ("pigment: [chromium oxide]", "pigment unknown: {elements: [unobtainium]}", "it may be"),
        ("{practice: common", "{practice: : common", "no valid YAML"),
        ("effect: toward brown", "effect: a\n    effect: b", "line 9: “effect” is written twice"),
        ("direction: harm", "direction: bad", "line 5: rule “green-and-zinc”"),
    ],
)
def test_a_slip_is_answered(right: str, wrong: str, says: str) -> None:
    assert right in RULE
    with pytest.raises(RuleFault, match=says.replace("(", r"\(")):
        read_rules(RULE.replace(right, wrong))


def test_two_rules_of_one_id_are_refused() -> None:
    with pytest.raises(RuleFault, match="there twice"):
        read_rules(RULE + RULE[RULE.index("  - id") :])


def test_every_rule_says_what_it_rests_on() -> None:
    for rule in rule_book().rules:
        assert rule.because and rule.source
        # A rule that names no book is common practice, and none claims to have been read in one.
        if rule.source == "common practice":
            assert rule.evidence == "common practice", rule.id
