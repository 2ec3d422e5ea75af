"""Plots: their captions are worked out from their own points."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from clearover.pages import methods
from clearover.pages.methods_plots import errors, figure, middle_rate
from clearover.pages.plot import Axis, dots, fitting, parity


def test_errors_of_four_points() -> None:
    found = errors([(1, 1), (2, 3), (3, 3.5), (4, 2)])
    assert (found.count, found.middle, found.ninety) == (4, 0.75, 2)
    assert found.trimmed == pytest.approx(0.5)


@pytest.mark.parametrize(
    "name", [name for one in methods.methods()["methods"] for name in one.get("plots", [])]
)
def test_a_plot_is_sound_and_says_how_many_points_it_has(name: str) -> None:
    made = figure(name)
    root = ElementTree.fromstring(str(made.svg))
    assert root.find("title") is not None and root.find("desc") is not None
    drawn = "".join(
        path.get("d") or "" for path in root.iter("path") if path.get("class") in ("dots", "few")
    )
    count = int(re.match(r"[\d ,]+", made.caption)[0].replace(",", "").replace(" ", ""))
    assert drawn.count("M") == count


def test_cones_at_the_middle_rate_keep_what_was_promised() -> None:
    off = [abs(predicted - true) for _, true, predicted in middle_rate()]
    assert len(off) >= 30
    assert (sum(miss**2 for miss in off) / len(off)) ** 0.5 <= 3
    assert max(off) <= 6


def test_a_point_lies_where_it_should() -> None:
    axis = Axis("measured", 0, 10)
    assert 'd="M46 260h0"' in dots([(0, 0)], axis, axis)
    assert 'd="M332 8h0"' in dots([(10, 10)], axis, axis)


def test_ticks_are_round_and_inside() -> None:
    assert Axis("", 3.7, 12.2).ticks() == [4, 6, 8, 10, 12]
    assert fitting("", [1.0, 1.0]).low < 1 < fitting("", [1.0, 1.0]).high


def test_what_stands_in_a_plot_is_escaped() -> None:
    made = parity("A <b>", "x & y", [(1, 1)], Axis("measured", 0, 2), 0.5, False)
    assert "<b>" not in made and "x &amp; y" in made
