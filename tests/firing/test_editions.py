"""The older chart beside today's, all of it.

Sources stand beside each row of data/cones-old-edition.csv; the differences were computed apart.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from clearover.firing.cone import parse_cone
from clearover.firing.editions import older, older_figures, readings_of, scatter_c
from clearover.firing.temperatures import fahrenheit
from clearover.tables import rows

with (Path(__file__).parent / "data" / "old_edition_differences.csv").open() as file:
    DIFFERENCES = list(csv.DictReader(file))


@pytest.mark.parametrize("row", DIFFERENCES, ids=lambda r: f"{r['cone']} at {r['rate_c_per_h']}")
def test_how_far_the_older_chart_differs(row: dict[str, str]) -> None:
    rate = float(row["rate_c_per_h"])
    found = next(one for one in older(parse_cone(row["cone"])) if one.rate_c_per_h == rate)
    told = row["old_minus_current_c"]
    assert found.less_current_c == (float(told) if told else None)


def test_the_whole_older_chart_is_there() -> None:
    assert len(older_figures()) == len(DIFFERENCES) == 71
    differing = [abs(f.less_current_c) for f in older_figures() if f.less_current_c is not None]
    assert max(differing) == 27


def test_its_fahrenheit_column_agrees_with_its_celsius() -> None:
    # Printed figures were rounded one way or the other: within 1 °C.
    for row in rows("cones-old-edition.csv"):
        printed = float(row["temperature_f"])
        assert fahrenheit(float(row["temperature_c"])) == pytest.approx(printed, abs=1.8), row


def test_1222_is_cone_6_twice() -> None:
    found = readings_of(1222)
    assert ("2016", 60.0, parse_cone("6")) in found
    assert ("older", 150.0, parse_cone("6")) in found


def test_large_cones_are_compared_with_large_ones() -> None:
    six = parse_cone("6")
    assert [one.less_current_c for one in older(six, "large")] == [1201 - 1220, 1222 - 1241]
    assert older(six, "small") == ()


def test_what_is_from_memory_says_so() -> None:
    at_60, at_150 = older(parse_cone("6"))
    assert at_60.unsure and not at_150.unsure


def test_the_scatter_of_editions_is_that_of_the_rows_somebody_read() -> None:
    seen = [f for f in older_figures() if not f.unsure and f.less_current_c is not None]
    squares = sum((f.less_current_c or 0) ** 2 for f in seen)
    assert scatter_c() == pytest.approx(1.645 * (squares / len(seen) / 2) ** 0.5)
    assert 5 < scatter_c() < 15
