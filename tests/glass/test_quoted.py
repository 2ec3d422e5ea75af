"""What is quoted of the models' errors is what the predictions of unseen glasses show."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from clearover.glass.checks import unseen
from clearover.pages.methods_plots import figure

README = Path(__file__).resolve().parent.parent / "bench" / "README.md"
QUOTED = {
    "expansion, 10⁻⁶/K": "expansion",
    "log10 η at 1200 °C": "viscosity at 1200 °C",
    "log10 η at 1000 °C": "viscosity at 1000 °C",
    "T at log10 η 3, °C": "temperature at log10 3",
}
"""Names in the bench's README and in the tables."""
DRAWN = {"expansion": "expansion", "viscosity": "viscosity at 1200 °C"}
DRAWN |= {"melting": "temperature at log10 3"}


def close(text: str, value: float) -> bool:
    """Whether a printed figure is this one: half of its last digit, a little for the table's."""
    digits = len(text.partition(".")[2])
    return abs(float(text) - value) <= 0.6 * 10**-digits


@pytest.mark.parametrize("name", QUOTED.values())
def test_the_shipped_table_of_errors_is_that_of_the_unseen_glasses(shown, name: str) -> None:
    digits = 0.051 if name.startswith("temperature") else 0.00051
    found, want = unseen()[name], shown(name)
    assert found[:2] == want[:2]
    assert found[2:5] == pytest.approx(want[2:5], abs=digits)
    assert found.held == pytest.approx(want.held, abs=0.00051)


@pytest.mark.parametrize(("quoted", "name"), QUOTED.items())
def test_the_readme_of_the_bench_quotes_them(shown, quoted: str, name: str) -> None:
    lines = README.read_text(encoding="utf-8").splitlines()
    (line,) = [line for line in lines if line.startswith(f"| {quoted} | all glasses |")]
    share, *printed = (cell.strip() for cell in line.strip("|").split("|")[2:7])
    found = shown(name)
    assert close(share, found.inside / found.glasses)
    for text, value in zip(printed, found[2:], strict=True):
        assert close(text, value), (text, value)


@pytest.mark.parametrize(("plot", "name"), DRAWN.items())
def test_the_methods_page_quotes_all_unseen_glasses(shown, plot: str, name: str) -> None:
    caption = figure(plot).caption
    printed = re.search(
        r"of ([\d,]+) .* error ([\d.]+), .* 95 % ([\d.]+), .* within ([\d.]+) .*; (\d+) % lie",
        caption,
    )
    assert printed, caption
    count, *errors, held = printed.groups()
    found = shown(name)
    assert int(count.replace(",", "")) == found.inside
    for text, value in zip(errors, found[2:5], strict=True):
        assert len(text.partition(".")[2]) == (0 if plot == "melting" else 2)
        assert close(text, value), (text, value)
    assert close(held, 100 * found.held)
