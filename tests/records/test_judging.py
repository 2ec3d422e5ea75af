"""One verdict a cell, from any of the ways to write them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

Build = Callable[[str], tuple[Any, list[str]]]

GRID = "across: {clear: [a, b, none]}\ndown: {clear coats: [1, 2]}\nall: {underglaze: u}\n"
ROW = "across: {clear: [a, b, none]}\nall: {underglaze: u}\n"
COLUMN = "down: {clear: [a, b, none]}\nall: {underglaze: u}\n"


def _seen(built: Any, prop: str, block: int = 0) -> dict[tuple[int, int], str]:
    return {spot: v.text for spot, v in getattr(built.judged[block], prop).items()}


def test_one_word_is_for_every_cell(tile: Build) -> None:
    built, rules = tile(GRID + "missing cells: [[2, 3]]\njudged: {cover: opaque}\n")
    assert rules == []
    assert set(_seen(built, "cover")) == {(1, 1), (1, 2), (1, 3), (2, 1), (2, 2)}


def test_a_picture_lies_as_the_tile_lies(tile: Build) -> None:
    built, rules = tile(
        GRID
        + "judged: {colour: [[shifted toward brown, TRUE, .], [faded, shifted  paler, gone]]}\n"
    )
    assert rules == []
    assert _seen(built, "colour") == {
        (1, 1): "shifted brown",
        (1, 2): "true",
        (2, 1): "faded",
        (2, 2): "shifted paler",
        (2, 3): "gone",
    }
    assert built.judged[0].verdict("colour", 1, 3) is None


@pytest.mark.parametrize("picture", ["[true, faded, .]", "[[true, faded, .]]"])
def test_a_tile_of_one_row_may_be_one_list(tile: Build, picture: str) -> None:
    built, rules = tile(f"{ROW}judged: {{colour: {picture}}}\n")
    assert rules == []
    assert _seen(built, "colour") == {(1, 1): "true", (1, 2): "faded"}


@pytest.mark.parametrize("picture", ["[true, faded, .]", "[[true], [faded], [.]]"])
def test_a_tile_of_one_column_may_be_one_list(tile: Build, picture: str) -> None:
    built, rules = tile(f"{COLUMN}judged: {{colour: {picture}}}\n")
    assert rules == []
    assert _seen(built, "colour") == {(1, 1): "true", (2, 1): "faded"}


def test_entries_by_factor_and_all_others(tile: Build) -> None:
    built, rules = tile(
        GRID + "judged:\n  surface:\n    - {all others: clean}\n"
        "    - {where: {clear coats: 2, clear: [a, b]}, is: hazy and bubbled}\n"
    )
    assert rules == []
    seen = _seen(built, "surface")
    assert seen[(2, 1)] == seen[(2, 2)] == "hazy and bubbled"
    # No clear, so no coats: the bare cell of the second row is one of the others.
    assert seen[(2, 3)] == "clean" and len(seen) == 6


def test_an_entry_by_row_and_column(tile: Build) -> None:
    built, rules = tile(GRID + "judged: {line: {where: {row: 2, column: [1, 3]}, is: dragged}}\n")
    assert rules == []
    assert set(_seen(built, "line")) == {(2, 1), (2, 3)}


def test_two_blocks_may_disagree(tile: Build) -> None:
    built, rules = tile(ROW + "judged:\n  - {by: R, colour: true}\n  - {by: S, colour: faded}\n")
    assert rules == []
    assert _seen(built, "colour", 1)[(1, 1)] == "faded"


def test_the_same_verdict_twice_is_no_contradiction(tile: Build) -> None:
    _, rules = tile(
        GRID + "judged:\n  surface:\n    - {where: {clear: a}, is: hazy}\n"
        "    - {where: {clear coats: 1}, is: hazy}\n"
    )
    assert rules == []


@pytest.mark.parametrize(
    "word", ["clean and hazy", "hazy and hazy", "true, faded", "opaque and sheer", "crisp, bled"]
)
def test_what_cannot_both_be(tile: Build, word: str) -> None:
    prop = next(
        prop
        for prop, words in {
            "surface": ("clean", "hazy"),
            "colour": ("true",),
            "cover": ("opaque",),
            "line": ("crisp",),
        }.items()
        if word.startswith(words)
    )
    _, rules = tile(f"{ROW}judged: {{{prop}: '{word}'}}\n")
    assert rules == ["verdict-against-itself"]
