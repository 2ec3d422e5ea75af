"""The light over a photo is found again, and what is not even is left out."""

import numpy as np
import pytest
from clearover.measuring.light import Field, fit_field
from hypothesis import given, settings
from hypothesis import strategies as st

SIZE = (800, 600)
Y, X = (np.mgrid[0:60, 0:80] + 0.5) * 10.0
LEFT, RIGHT = X < 300, X > 500


def lit(coefficients, left=0.3, right=0.6, noise=0.01, seed=1):
    field = Field(*SIZE, coefficients).at(X, Y)
    paper = np.where(LEFT, left, right)
    grain = np.exp(np.random.default_rng(seed).normal(0, noise, X.shape))
    return (paper * field * grain)[..., None] * np.array([1.0, 0.9, 0.7])


def off(found, coefficients):
    """How far two fields differ, each by its own mean."""
    one, other = found.at(X, Y), Field(*SIZE, coefficients).at(X, Y)
    return float(np.abs(one / one.mean() / (other / other.mean()) - 1).max())


slope = st.floats(-0.8, 0.8)


@settings(max_examples=25, deadline=None)
@given(slope, slope, st.floats(-0.3, 0.3))
def test_a_smooth_light_is_found_from_two_papers(u, v, bow):
    coefficients = (u, v, bow, 0.1, -bow)
    found = fit_field(lit(coefficients), X, Y, {"a": LEFT, "b": RIGHT}, SIZE, 0.09)
    assert found.used == ("a", "b")
    assert off(found, coefficients) < 0.02


def test_shadows_and_glare_do_not_count():
    coefficients = (0.5, -0.2, 0.0, 0.0, 0.0)
    light = lit(coefficients)
    light[:15, :10] *= 0.4
    light[40:50, 60:70] *= 5
    found = fit_field(light, X, Y, {"a": LEFT, "b": RIGHT}, SIZE, 0.09)
    assert off(found, coefficients) < 0.03


def test_a_patterned_cloth_is_not_used():
    light = lit((0.5, 0.0, 0.0, 0.0, 0.0))
    light[:, 50:] *= np.random.default_rng(2).uniform(0.4, 1.0, (60, 30, 1))
    found = fit_field(light, X, Y, {"paper": LEFT, "cloth": RIGHT}, SIZE, 0.09)
    assert found.used == ("paper",)


def test_without_anything_even_the_light_is_left_alone():
    found = fit_field(lit((0.5, 0, 0, 0, 0)), X, Y, {"few": X < 10}, SIZE, 0.09)
    assert found.used == () or "few" in found.used
    nothing = fit_field(lit((0.5, 0, 0, 0, 0)), X, Y, {"none": X < 0}, SIZE, 0.09)
    assert nothing.used == ()
    assert nothing.at(X, Y) == pytest.approx(1.0)
