"""A real photograph of a colour chart, balanced by one patch and by all."""

from pathlib import Path

import numpy as np
import pytest
from clearover.colour import ciede2000
from clearover.colour.srgb import LINEAR_OF_BYTE, lab_to_light, light_to_lab
from clearover.measuring import chart
from PIL import Image

PHOTO = Path(__file__).with_name("data") / "chart_photo.png"
CORNERS = [(56.8, 28.7), (555.9, 43.9), (540.5, 370.8), (49.5, 352.4)]


@pytest.fixture(scope="module")
def seen():
    pixels = np.asarray(Image.open(PHOTO).convert("RGB"))
    return chart.patches(LINEAR_OF_BYTE[pixels], CORNERS)


def test_one_grey_patch_alone(seen):
    gains = lab_to_light(chart.published()[chart.GREY]) / seen[chart.GREY]
    errors = ciede2000(light_to_lab(seen * gains), chart.published())
    assert np.median(errors) <= 4.6
    assert errors.mean() <= 4.6


def test_the_fit_is_better_on_patches_it_has_not_seen(seen):
    fit = chart.fit_chart(seen)
    assert fit.by == "chart"
    assert fit.error <= 2.8
    assert fit.error < fit.error_of_grey <= 4.6
    errors = ciede2000(light_to_lab(seen @ fit.matrix), chart.published())
    assert np.median(errors) < fit.error


def test_a_perfect_camera_needs_no_fit():
    fit = chart.fit_chart(lab_to_light(chart.published()))
    assert fit.matrix == pytest.approx(np.eye(3), abs=1e-9)
    assert fit.error < 1e-6


def test_a_chart_that_is_not_one_is_told_by_its_error():
    rng = np.random.default_rng(1)
    fit = chart.fit_chart(rng.uniform(0.05, 0.6, (24, 3)))
    assert min(fit.error, fit.error_of_grey) > 10


def test_a_chart_partly_outside():
    assert chart.patches(np.zeros((50, 50, 3)), [(-5, 0), (40, 0), (40, 30), (0, 30)]) is None
