"""Which clears come into question at a cone: the command, the boards and the pages agree."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from clearover.evidence.findings import Findings
from clearover.evidence.results import Question
from clearover.firing.cone import parse_cone
from clearover.pages.answers import OVER, groups
from clearover.pages.board import board_at
from clearover.pages.lookup import Lookup
from clearover.pages.page import Site

Ask = Callable[[dict[str, str]], Findings]
Tile = Callable[..., str]
SIX = parse_cone("6")
OLD = "name: Old\nstatus: retired\nzinc: free\ncones: 5..6\n"


def listed(findings: Findings) -> set[str]:
    """What `clearover answer green --cone 6` lists."""
    return {answer.clear for answer in findings.answer(Question(("green",), SIX))}


def on_board(findings: Findings) -> set[str]:
    return {one.clear for one in board_at(findings, (SIX, "oxidation")).by_underglaze["green"]}


def on_page(findings: Findings) -> dict[str, str]:
    """Clear -> the heading it stands under on the colour's page at cone 6."""
    rows = board_at(findings, (SIX, "oxidation")).by_underglaze["green"]
    known = Lookup(Site(findings, {}, findings.catalogue.root))
    told = groups(known, "clear", ((row.clear, row) for row in rows), OVER)
    return {row["to"].text: group["heading"] for group in told for row in group["rows"]}


@pytest.mark.parametrize(
    ("fired", "more"),
    [
        ({"cone": "6"}, {"low"}),
        ({"cone": "6", "atmosphere": "reduction"}, {"low"}),
        ({"cone": "6", "prop": "surface"}, {"low"}),
        ({"cone": "05"}, set()),
        ({"cone": "6", "more": "set aside: dropped\n"}, set()),
    ],
)
def test_a_clear_that_is_not_meant_for_the_cone_needs_a_tile_there(
    ask: Ask, tile: Tile, fired: dict[str, str], more: set[str]
) -> None:
    word = "clean" if "prop" in fired else "true"
    findings = ask({"a": tile("low", word, **fired)})
    assert listed(findings) == on_board(findings) == {"zincy", "plain", "bucket"} | more
    assert ("Low" in on_page(findings)) == bool(more)


def test_a_page_tells_of_a_tile_beyond_the_clears_cones(ask: Ask, tile: Tile) -> None:
    """True on a tile, but not made for the fire: at best doubtful, and never left out."""
    found = on_page(ask({"a": tile("low", "true")}))
    assert found["Low"] == OVER["doubtful"]


@pytest.mark.parametrize(("prop", "told"), [("colour", True), ("surface", False)])
def test_a_retired_clear_is_told_only_where_its_colour_was_judged(
    ask: Ask, tile: Tile, prop: str, told: bool
) -> None:
    word = "true" if told else "clean"
    findings = ask({"clears/old.yml": OLD, "a": tile("old", word, prop=prop)})
    assert "old" not in listed(findings)
    assert ("old" in on_board(findings)) == ("Old" in on_page(findings)) == told
