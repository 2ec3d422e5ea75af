"""CIEDE2000 against its published pairs and an independent library."""

import csv
from pathlib import Path

import clearover.colour
import numpy as np
import pytest
from clearover.colour.difference import ciede2000, parts
from hypothesis import example, given
from hypothesis import strategies as st

DATA = Path(__file__).with_name("data")


def rows(name):
    with (DATA / name).open() as file:
        return list(csv.DictReader(file))


def test_every_published_pair_to_four_decimals():
    table = rows("ciede2000.csv")
    assert len(table) == 30
    one = np.array([[float(r[k]) for k in ("L1", "a1", "b1")] for r in table])
    two = np.array([[float(r[k]) for k in ("L2", "a2", "b2")] for r in table])
    wanted = np.array([float(r["published"]) for r in table])
    assert np.abs(clearover.colour.ciede2000(one, two) - wanted).max() < 0.00005 + 1e-9
    assert np.array_equal(ciede2000(one, two), ciede2000(two, one))


def test_another_library_agrees():
    table = rows("srgb_oracle.csv")
    labs = np.array([[float(r[k]) for k in ("L", "a", "b")] for r in table])
    wanted = np.array([float(r["de00_to_the_row_before"]) for r in table])
    assert np.abs(ciede2000(labs, np.roll(labs, 1, axis=0)) - wanted).max() < 1e-6


lab = st.tuples(st.floats(0, 100), st.floats(-120, 120), st.floats(-120, 120))


@given(lab, lab)
def test_symmetric_and_nothing_only_for_the_same_colour(one, two):
    there, back = ciede2000(one, two), ciede2000(two, one)
    assert there == pytest.approx(float(back), abs=1e-9)
    assert there >= 0
    assert ciede2000(one, one) == 0
    if np.abs(np.subtract(one, two)).max() > 0.01:
        assert there > 0


@given(lab, lab)
@example((0.0, 1.0, 0.0), (0.0, -1.0, 0.0))
def test_the_parts_make_the_whole(one, two):
    # ISO/CIE 11664-4: ΔE*ab squared is ΔL squared + ΔC squared + ΔH squared.
    assert np.sum(parts(one, two) ** 2) == pytest.approx(
        float(np.sum(np.subtract(one, two) ** 2)), abs=1e-6
    )


def test_shapes():
    assert ciede2000(np.zeros((4, 1, 3)), np.zeros((5, 3))).shape == (4, 5)
    with pytest.raises(ValueError, match="three numbers"):
        ciede2000([1, 2], [1, 2])
