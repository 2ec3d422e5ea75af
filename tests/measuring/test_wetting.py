"""Wetting darkens and saturates; what it can explain is no shift."""

import numpy as np
import pytest
from clearover.colour import ciede2000
from clearover.measuring.wetting import VEIL_MOST, least_difference, wetted
from hypothesis import given
from hypothesis import strategies as st

GREEN = (52.0, -22.0, 20.0)


def test_half_reflecting_sand_under_water():
    # Ångström's formula by hand: R 0.5, n 1.33 gives 0.5 / (1.7689 × 0.5 + 0.5) = 0.3612.
    from clearover.colour.srgb import lab_to_light, light_to_lab

    wet = lab_to_light(wetted(light_to_lab([0.5, 0.5, 0.5]), 1.33))
    assert wet == pytest.approx([0.36116] * 3, abs=0.00005)


@given(st.tuples(st.floats(5, 95), st.floats(-30, 30), st.floats(-30, 30)))
def test_wetter_is_never_paler(lab):
    light = wetted(lab, np.linspace(1, 1.5, 6))[:, 0]
    assert (np.diff(light) <= 1e-9).all()


@given(st.tuples(st.floats(5, 95), st.floats(-30, 30), st.floats(-30, 30)))
def test_a_veil_taken_away_is_never_paler(lab):
    light = wetted(lab, 1.2, np.linspace(0, VEIL_MOST, 6))[:, 0]
    assert (np.diff(light) <= 1e-9).all()


def test_a_veil_by_hand():
    # Fresnel at right angles, n 1.5: (0.5 / 2.5)² = 0.04. A bare grey of 0.24 is 0.04 mirrored and
    # (0.24 − 0.04) / 0.96 = 0.20833 of what goes in.
    from clearover.colour.srgb import lab_to_light, light_to_lab

    assert abs(VEIL_MOST - 0.04) < 1e-12
    wet = lab_to_light(wetted(light_to_lab([0.24, 0.24, 0.24]), 1.0, 0.04))
    assert wet == pytest.approx([0.20833] * 3, abs=0.00005)


def test_a_veil_taken_away_saturates():
    _, a, b = wetted(GREEN, 1.0, VEIL_MOST)
    assert np.hypot(a, b) > 1.05 * np.hypot(*GREEN[1:])


@pytest.mark.parametrize("veil", [0.0, 0.02, 0.04])
def test_what_wetting_explains_is_no_difference(veil):
    for index in (1.0, 1.2, 1.5):
        left, nearest = least_difference(GREEN, wetted(GREEN, index, veil))
        assert left < 0.2
        assert ciede2000(nearest, wetted(GREEN, index, veil)) < 0.2


def test_wetting_never_explains_a_brown():
    brown = (40.0, 10.0, 25.0)
    left, _ = least_difference(GREEN, brown)
    assert left > 10
    assert left <= ciede2000(GREEN, brown)


def test_wetting_never_explains_a_paler_colour():
    paler = (75.0, -15.0, 14.0)
    left, _ = least_difference(GREEN, paler)
    assert left == pytest.approx(float(ciede2000(GREEN, paler)), abs=0.01)
