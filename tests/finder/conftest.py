"""The demo studio read once, and its finder data, for all finder tests."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import pytest
from clearover import catalogue
from clearover.evidence.findings import Findings
from clearover.evidence.results import Question
from clearover.evidence.wishes import wishes
from clearover.finder.answers import asked_airs, asked_cones
from clearover.finder.data import finder_data, names_data

COMBOS = Path(__file__).parents[2] / "combos"


@pytest.fixture(scope="session")
def findings() -> Findings:
    return catalogue.compute(catalogue.read(COMBOS))


@pytest.fixture(scope="session")
def data(findings: Findings) -> dict[str, Any]:
    return finder_data(findings, {})


@pytest.fixture(scope="session")
def names(findings: Findings) -> dict[str, Any]:
    return names_data(findings)


@pytest.fixture(scope="session")
def questions(findings: Findings) -> list[Question]:
    """Three hundred questions: one to four colours, one to four wishes, any cone, any air."""
    chance = random.Random(6)
    colours = sorted(findings.catalogue.underglazes)
    return [
        Question(
            underglazes=tuple(chance.sample(colours, chance.choice((1, 1, 2, 3, 4)))),
            cone=chance.choice(asked_cones(findings)),
            wishes=tuple(w for w in wishes() if chance.random() < 0.5) or ("true_colour",),
            atmosphere=chance.choice(asked_airs(findings)),
            include_all=chance.random() < 0.3,
        )
        for _ in range(300)
    ]
