"""From `across`, `down` and `all` to cells."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

Build = Callable[[str], tuple[Any, list[str]]]


def test_cells_come_row_by_row(tile: Build) -> None:
    built, rules = tile(
        "across: {clear: [one, two]}\ndown: {clear coats: [1, 2, 3]}\nall: {underglaze: hedge}\n"
    )
    assert rules == []
    assert (built.rows, built.columns) == (3, 2)
    assert [(c.row, c.column, c.clear, c.clear_coats) for c in built.cells] == [
        (1, 1, "one", 1),
        (1, 2, "two", 1),
        (2, 1, "one", 2),
        (2, 2, "two", 2),
        (3, 1, "one", 3),
        (3, 2, "two", 3),
    ]


def test_factors_in_one_direction_run_side_by_side(tile: Build) -> None:
    built, rules = tile(
        "across: {underglaze: [a, b], underglaze coats: [1, 3]}\nall: {clear: pane}\n"
    )
    assert rules == []
    assert [(c.underglaze, c.underglaze_coats) for c in built.cells] == [("a", 1), ("b", 3)]


def test_without_a_clear_its_coats_say_nothing(tile: Build) -> None:
    built, _ = tile(
        "across: {clear: [pane, none]}\n"
        "all: {underglaze: a, clear coats: 2, clear by: dip 3 s, clear batch: may,"
        " specific gravity: 1.45}\n"
    )
    with_clear, bare = built.cells
    assert with_clear.where["clear by"] == "dip 3 s"
    assert bare.where == {"underglaze": "a", "clear": "none"}
    assert bare.clear_coats is None


def test_without_a_colour_its_coats_say_nothing(tile: Build) -> None:
    built, _ = tile("all: {underglaze: none, underglaze coats: 2, clear: pane}\n")
    assert built.cells[0].where == {"underglaze": "none", "clear": "pane"}


def test_missing_cells_are_left_out(tile: Build) -> None:
    built, rules = tile(
        "across: {clear: [a, b]}\ndown: {clear coats: [1, 2]}\nall: {underglaze: u}\n"
        "missing cells: [[1, 2], [2, 1]]\n"
    )
    assert rules == []
    assert [(c.row, c.column) for c in built.cells] == [(1, 1), (2, 2)]


def test_numbers_of_any_size_are_no_trap(tile: Build) -> None:
    for word in ("²", "9" * 5000, "٣", "-1", "0"):
        _, rules = tile(f"all: {{underglaze: u, clear: c}}\nmissing cells: [['{word}', 1]]\n")
        assert rules and set(rules) <= {"whole-number-wanted", "number-out-of-range"}


def test_a_broken_layout_does_not_break_its_verdicts(tile: Build) -> None:
    _, rules = tile(
        "across: {clears: [a, b]}\nall: {underglaze: u, clear: c}\n"
        "judged: {colour: [[true, faded]], surface: [{where: {clear: b}, is: hazy}]}\n"
    )
    assert rules == ["unknown-factor"]


def test_every_factor_is_read(tile: Build) -> None:
    built, rules = tile(
        "all:\n  underglaze: u\n  clear: c\n  underglaze coats: 3\n  clear coats: 2\n"
        "  underglaze by: Sponge then brush\n  clear by: dip 2.5 s\n  clear brushed: along lines\n"
        "  ground: white slip\n  body: b\n  body was: bisque 04\n  underglaze fired: no\n"
        "  line: thin\n  line width mm: 2.5\n  specific gravity: 1.45\n  clear batch: may\n"
    )
    assert rules == []
    assert built.cells[0].where["underglaze by"] == "sponge then brush"
    assert built.cells[0].where["body was"] == "bisque 04"
    assert built.cells[0].where["line width mm"] == 2.5
