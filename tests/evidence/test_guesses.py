"""What is only guessed in a record makes no answer surer than unknown."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from clearover.evidence.findings import Findings
from clearover.evidence.neighbours import brought_by
from clearover.evidence.results import Question
from clearover.firing.cone import parse_cone
from clearover.pages.underglaze import UNKNOWN, _pigment
from clearover.pages.words import known_class

Ask = Callable[[dict[str, str]], Findings]
SIX = parse_cone("6")
FREE = "name: Spare\nsurface: gloss\nzinc: free\nlime: high\nmagnesia: low\ncones: 5..6\n"
PINK = "name: Pink\ncolour: pink\npigment: chrome-tin\ncones: 05..10\n"


def standing(findings: Findings, underglaze: str, clear: str) -> str:
    answers = findings.answer(Question((underglaze,), SIX))
    return next(answer.standing for answer in answers if answer.clear == clear)


@pytest.mark.parametrize(
    ("known", "stands"), [("maker", "expected"), ("label", "expected"), ("guess", "unknown")]
)
def test_a_guessed_clear_is_like_one_that_nobody_knows(ask: Ask, known: str, stands: str) -> None:
    findings = ask({"clears/spare.yml": f"{FREE}known from: {known}\n"})
    assert standing(findings, "green", "spare") == stands
    if known == "guess":
        assert findings.flags("green", "spare", SIX, "oxidation") == findings.flags(
            "green", "bucket", SIX, "oxidation"
        )
        zinc = findings.chemistry["spare"].zinc
        assert known_class("zinc", zinc) == ("unknown: test it", "only guessed: zinc-free")


@pytest.mark.parametrize(("known", "sure"), [("maker", True), ("guess", False)])
def test_a_guessed_pigment_is_like_one_that_nobody_knows(ask: Ask, known: str, sure: bool) -> None:
    findings = ask({"underglazes/pink.yml": f"{PINK}known from: {known}\n"})
    colour = findings.catalogue.underglazes["pink"]
    flags = findings.flags("pink", "plain", SIX, "oxidation")
    assert ({flag.pigment for flag in flags} == {"chrome-tin"}) == sure
    assert bool(brought_by(colour)) == sure
    said = _pigment(colour)
    assert "chrome-tin" in said and said.startswith("unknown") != sure


def test_a_guess_that_names_no_pigment_says_no_more_than_unknown(ask: Ask) -> None:
    jar = "name: Jar\ncolour: blue\npigment: unknown\ncolorants: [cobalt]\nknown from: guess\n"
    findings = ask({"underglazes/jar.yml": jar})
    assert _pigment(findings.catalogue.underglazes["jar"]) == UNKNOWN
    assert standing(findings, "jar", "plain") == "unknown"
    told = ask({"underglazes/jar.yml": jar.replace("guess", "label")})
    assert standing(told, "jar", "plain") == "expected"
