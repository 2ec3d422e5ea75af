"""sRGB and L*a*b*: published definitions, an independent library's figures, and the way back."""

import csv
from pathlib import Path

import numpy as np
import pytest
from clearover.colour import srgb
from hypothesis import given
from hypothesis import strategies as st

DATA = Path(__file__).with_name("data")


def table(name):
    with (DATA / name).open() as file:
        return list(csv.DictReader(file))


def numbers(rows, *names):
    return np.array([[float(row[name]) for name in names] for row in rows])


def test_exact_values_of_the_definitions():
    rows = table("srgb_exact.csv")
    assert len(rows) == 26
    found = srgb.bytes_to_lab(numbers(rows, "R8", "G8", "B8").astype(np.uint8))
    assert np.abs(found - numbers(rows, "L", "a", "b")).max() < 0.001


def test_another_library_agrees_to_a_millionth():
    rows = table("srgb_oracle.csv")
    rgb = numbers(rows, "R", "G", "B")
    lab = numbers(rows, "L", "a", "b")
    # The library rounds its derived matrix to eight decimals.
    assert np.abs(srgb.srgb_to_lab(rgb) - lab).max() < 2e-6
    assert np.abs(srgb.lab_to_srgb(lab) - rgb).max() < 2e-6
    assert np.abs(srgb.to_d50(lab) - numbers(rows, "L50", "a50", "b50")).max() < 2e-6


def test_matrices_as_published():
    # IEC 61966-2-1:1999, the four-decimal matrix of the standard.
    standard = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    assert np.abs(srgb.RGB_TO_XYZ - standard).max() < 0.00005
    # K. M. Lam, 1985; the full matrix D65 to D50 as colour-science 0.4.7 computes it.
    lam = [
        [1.04792979, 0.02294687, -0.05019227],
        [0.02962781, 0.99043443, -0.0170738],
        [-0.00924304, 0.01505519, 0.75187428],
    ]
    assert np.abs(srgb.D65_TO_D50 - lam).max() < 1e-7


def test_white_is_white_and_grey_is_grey():
    assert srgb.srgb_to_lab([1, 1, 1]) == pytest.approx([100, 0, 0], abs=1e-9)
    assert srgb.to_d50([100, 0, 0]) == pytest.approx([100, 0, 0], abs=1e-9)
    # A reflectance of 18 % is L* 49.496 (computed from the definition).
    assert srgb.light_to_lab([0.18] * 3) == pytest.approx([49.496, 0, 0], abs=0.001)


@given(st.lists(st.floats(-0.2, 1.5), min_size=3, max_size=3))
def test_every_colour_comes_back(rgb):
    assert srgb.lab_to_srgb(srgb.srgb_to_lab(rgb)) == pytest.approx(rgb, abs=1e-7)
    lab = srgb.srgb_to_lab(rgb)
    assert srgb.from_d50(srgb.to_d50(lab)) == pytest.approx(lab, abs=1e-7)


def test_a_colour_for_pages():
    assert srgb.hex_of(srgb.bytes_to_lab(np.array([18, 52, 86], dtype=np.uint8))) == "#123456"
    assert srgb.hex_of([60, 150, 0]).startswith("#ff00")
