"""The search for the settings of the glass models: its slope, and what it may look at."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))

import glass_unseen
import search_glass_settings as search

FEW = 30


def some(what: str) -> np.ndarray:
    """A few glasses of several publications."""
    count = len(glass_unseen.measured(what)[0])
    keep = np.zeros(count, dtype=bool)
    keep[:: count // FEW] = True
    return keep


@pytest.mark.parametrize("what", ["expansion", "viscosity"])
def test_the_slope_is_that_of_the_likelihood(what: str) -> None:
    """Against central differences."""
    fit = glass_unseen.process(what, some(what))
    likelihood = search.Likelihood(fit)
    at = search.packed(fit.settings.parts)
    told = likelihood(at)[1]
    step = 1e-4
    steps = step * np.eye(len(at))
    found = [(likelihood(at + d)[0] - likelihood(at - d)[0]) / (2 * step) for d in steps]
    assert np.abs(told - found).max() < 1e-3 * max(1.0, np.abs(told).max())


def test_settings_chosen_anew_know_nothing_of_the_glasses_left_out(monkeypatch) -> None:
    pytest.importorskip("scipy")
    found, data, scale = glass_unseen.measured("expansion")
    keep = some("expansion")
    first = search.anew("expansion", keep, rounds=1)
    values = np.where(keep[data.glass], data.values, 99.0)
    others = (found, replace(data, values=values), scale)
    for module in (glass_unseen, search):
        monkeypatch.setattr(module, "measured", lambda what: others)
    again = search.anew("expansion", keep, rounds=1)
    given = glass_unseen.settings("expansion").parts
    for one, two, of_all in zip(first.parts, again.parts, given, strict=True):
        assert (one.lengths == two.lengths).all()
        assert (one.line, one.amplitude) == (two.line, two.amplitude)
        assert not np.allclose(one.lengths, of_all.lengths)
