"""The answers that pages show are those that `Findings.answer` gives, on the demo studio."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from clearover.catalogue import compute, read
from clearover.evidence.findings import Findings
from clearover.evidence.results import Answer, Question
from clearover.pages.board import board_at, places

DEMO = Path(__file__).parents[2] / "combos"


@pytest.fixture(scope="module")
def demo() -> Findings:
    return compute(read(DEMO))


def unnamed(answer: Answer) -> Answer:
    """Without whose flags they are: colours of one chemistry share them on the board."""
    return replace(answer, flags=tuple(replace(flag, underglaze=None) for flag in answer.flags))


def test_the_board_says_what_the_answer_says(demo: Findings) -> None:
    for cone, atmosphere in places(demo):
        board = board_at(demo, (cone, atmosphere))
        for colour, shown in board.by_underglaze.items():
            asked = demo.answer(Question((colour,), cone, atmosphere=atmosphere))
            clears = {answer.clear for answer in asked}
            assert [one for one in shown if one.clear in clears] == [*map(unnamed, asked)]
            # what the board has beyond it is out of use, and a tile tested it
            for one in shown:
                if one.clear not in clears:
                    assert demo.catalogue.clears[one.clear].status != "in use"
                    assert one.tiles


def test_every_board_can_be_read_from_either_side(demo: Findings) -> None:
    board = board_at(demo, next(places(demo)))
    one_way = {(u, a.clear) for u, answers in board.by_underglaze.items() for a in answers}
    other_way = {(u, clear) for clear, rows in board.by_clear.items() for u, _ in rows}
    assert one_way == other_way


def test_the_usual_cone_comes_first_and_the_studio_s_own_air(demo: Findings) -> None:
    studio = demo.catalogue.studio
    assert next(places(demo)) == (studio.usual_cone, studio.atmosphere)
