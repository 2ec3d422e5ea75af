"""The demo studio: what it must hold, and the exact list of its warnings.

A new warning is either a slip in a record or a change in the check: both should be seen.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from clearover.catalogue import compute, read
from clearover.chemistry.pigments import find_pigment
from clearover.evidence.findings import Findings
from clearover.evidence.results import STANDINGS, Question
from clearover.firing.cone import parse_cone
from clearover.records.catalogue import Catalogue

COMBOS = Path(__file__).parents[1] / "combos"
REDS = "combos/tiles/2026/reds-in-reduction/tile.yml"
LOW = "combos/tiles/2026/stoneware-clears-at-05/tile.yml"
CONE_TEN = "combos/tiles/2026/signal-box-cone-ten/tile.yml"

WARNINGS = [
    ("combos/tiles/2026/barley-gloss-at-six/tile.yml", "clear-outside-cones", "Barley Gloss"),
    (REDS, "underglaze-outside-cones", "Signal Box"),
    (REDS, "underglaze-outside-cones", "Beacon Peel"),
    (REDS, "underglaze-outside-cones", "Rosehip Jam"),
    (REDS, "underglaze-outside-cones", "Damson Crate"),
    (CONE_TEN, "underglaze-outside-cones", "Signal Box"),
    (CONE_TEN, "underglaze-outside-cones", "Beacon Peel"),
    (LOW, "clear-outside-cones", "Lantern Pane"),
    (LOW, "clear-outside-cones", "Ferry Glass"),
    (LOW, "clear-outside-cones", "Mill Race"),
]


@pytest.fixture(scope="module")
def demo() -> Catalogue:
    return read(COMBOS)


@pytest.fixture(scope="module")
def findings(demo: Catalogue) -> Findings:
    return compute(demo)


def test_the_warnings_are_these_and_no_others(demo: Catalogue) -> None:
    assert demo.errors == ()
    told = [(p.place.file, p.rule, p.message.split(" is meant")[0]) for p in demo.warnings]
    assert told == WARNINGS


def test_five_for_05_is_asked_where_it_would_explain_the_warning(demo: Catalogue) -> None:
    asked = {p.message.split(" is meant")[0] for p in demo.warnings if "was 5 meant?" in p.message}
    assert asked == {"Lantern Pane", "Ferry Glass"}


def test_it_is_large_enough_to_teach_with(demo: Catalogue) -> None:
    pigments = {
        found.name
        for colour in demo.underglazes.values()
        for name in colour.pigment
        if (found := find_pigment(name))
    }
    assert len(demo.underglazes) >= 20
    assert len(pigments) >= 16
    assert len(demo.clears) >= 9
    assert len(demo.bodies) >= 5
    assert len(demo.firings) >= 10
    assert len(demo.tiles) >= 60
    assert sum(len(tile.cells) for tile in demo.tiles.values()) >= 600


def test_every_standing_answers_the_first_question(findings: Findings) -> None:
    answers = findings.answer(Question(("hedge-bottom",), parse_cone("6")))
    assert {answer.standing for answer in answers} == set(STANDINGS)


def test_a_firing_fell_short_on_its_bottom_shelf(findings: Findings) -> None:
    notes = {reached.note for reached in findings.reached.values() if reached.by == "witness"}
    assert any("aimed at 6, reached 5" in note for note in notes)


def test_tiles_that_contradict_are_found(findings: Findings) -> None:
    pairs = {frozenset((c.one[0], c.other[0])) for c in findings.conflicts if c.prop == "colour"}
    assert frozenset(("rosehip-jam-again", "rosehip-jam-four-clears")) in pairs


def test_every_photo_says_it_is_drawn_and_all_are_small(demo: Catalogue) -> None:
    photos = [
        demo.photo_path(tile, photo.file) for tile in demo.tiles.values() for photo in tile.photos
    ]
    assert all(photo.drawn == "yes" for tile in demo.tiles.values() for photo in tile.photos)
    sizes = [path.stat().st_size for path in photos]
    assert max(sizes) < 200_000
    assert sum(sizes) < 14_000_000
