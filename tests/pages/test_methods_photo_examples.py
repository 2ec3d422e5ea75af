"""Worked examples of photos and colours against the program's own code for them."""

from __future__ import annotations

import numpy as np
import pytest
from clearover.colour import ciede2000
from clearover.colour.seeing import seen_as
from clearover.colour.srgb import LINEAR_OF_BYTE
from clearover.measuring.card import gains_for
from clearover.measuring.chart import fit_chart
from clearover.measuring.drag import Blur, drag_of
from clearover.measuring.edges import Edge, Edges
from clearover.measuring.hiding import coats_to_hide, ratio_of, shade_of
from clearover.measuring.wetting import least_difference
from clearover.pages import methods_colour_examples as colours
from clearover.pages import methods_photo_examples as photos
from clearover.pages.methods_examples import example
from clearover.photos.straighten import apply, homography


def value(name: str) -> float:
    found = example(name).value
    assert found is not None
    return found


def test_a_point_of_the_photo_lands_where_the_program_puts_it() -> None:
    wide, high = photos.GRID_MM
    carry = homography(photos.CORNERS, [(0, 0), (wide, 0), (wide, high), (0, high)])
    u, v = apply(carry, np.array([photos.POINT]))[0]
    assert value("straighten") == pytest.approx(u)
    assert f"{v:.2f} mm from the top" in example("straighten").lines[1]


def test_the_card() -> None:
    gains = gains_for(LINEAR_OF_BYTE[list(photos.CARD)], photos.REFLECTANCE)
    assert value("card-balance") == pytest.approx(gains[2])


def test_the_chart_with_each_patch_left_out() -> None:
    fit = fit_chart(photos.camera())
    assert value("chart-fit") == pytest.approx(fit.error, rel=1e-6)
    assert f"{fit.error_of_grey:.2f}, so the chart is used" in example("chart-fit").lines[1]
    assert fit.by == "chart"


def test_the_published_pair() -> None:
    assert value("ciede2000") == pytest.approx(float(ciede2000(*colours.PAIR)))
    assert value("ciede2000") == pytest.approx(colours.PUBLISHED, abs=0.00005)


def test_the_words() -> None:
    for row, delta in zip(example("seeing-limits").rows, colours.DIFFERENCES, strict=True):
        assert row[1:] == (seen_as(delta), seen_as(delta, colours.NOISE))


def test_wetting() -> None:
    left, _ = least_difference(colours.BARE, colours.GLAZED)
    assert value("wetting") == pytest.approx(left)
    assert left < ciede2000(colours.BARE, colours.GLAZED) / 2


def tone(uneven: float) -> np.ndarray:
    """A cell whose sixteen parts have a mean of 1 and this standard error."""
    parts = np.where(np.arange(16) % 2, 1 + 4 * uneven, 1 - 4 * uneven).reshape(4, 4)
    return np.repeat(np.repeat(parts, 5, axis=0), 5, axis=1)


def test_the_contrast_ratio_and_its_range() -> None:
    shades = []
    for light, left_out, uneven in (photos.DARK_CELL, photos.LIGHT_CELL):
        y = ((light + 16) / 116) ** 3
        shades.append([shade_of(y, left_out, tone(uneven), np.ones((20, 20), dtype=bool))])
    assert value("contrast-ratio") == pytest.approx(ratio_of(*shades).high)
    needed, _ = coats_to_hide(photos.COATS)
    assert f"that is {needed} coats" in example("contrast-ratio").lines[2]


def ramp(way: float) -> Edge:
    """An edge that goes from ground to core in a straight line, 10 to 90 % in `way` px."""
    distance = np.arange(-60.0, 40.0, 0.25)
    profile = np.clip(distance / (way / 0.8) + 0.5, 0, 1)
    return Edge(np.zeros(1), 0.0, distance, profile, np.tile(profile, (10, 1)))


def test_the_drag_of_two_edges() -> None:
    edges = Edges(ramp(photos.UPPER_PX), ramp(photos.LOWER_PX), 1.0, 40.0)
    found = drag_of(edges, Blur(photos.BLUR_PX, 0.0), photos.PX_PER_MM)
    assert value("drag-measured") == pytest.approx(found.drag, abs=0.01)
