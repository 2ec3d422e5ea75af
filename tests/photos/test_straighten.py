"""Straightening against synthetic truth, and the homography's own laws."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from clearover.photos.straighten import apply, homography, straight_size, straighten
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from PIL import Image

UNIT = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
TILTED = [(212.0, 140.0), (1390.0, 96.0), (1480.0, 1010.0), (120.0, 930.0)]
moved = st.floats(-0.2, 0.2)
quads = st.tuples(*[st.tuples(moved, moved)] * 4).map(
    lambda d: [(1000 * (x + dx), 800 * (y + dy)) for (x, y), (dx, dy) in zip(UNIT, d, strict=True)]
)


@settings(deadline=None)
@given(quads)
def test_the_four_points_arrive_where_they_should(quad: list[tuple[float, float]]) -> None:
    matrix = homography(quad, UNIT)
    assert np.allclose(apply(matrix, np.array(quad)), UNIT, atol=1e-9)


@settings(deadline=None)
@given(quads)
def test_there_and_back_is_the_identity(quad: list[tuple[float, float]]) -> None:
    there, back = homography(UNIT, quad), homography(quad, UNIT)
    both = there @ back
    assert np.allclose(both / both[2, 2], np.eye(3), atol=1e-6)


@settings(deadline=None)
@given(quads)
def test_no_movement_is_the_identity(quad: list[tuple[float, float]]) -> None:
    assert np.allclose(homography(quad, quad), np.eye(3), atol=1e-9)


@settings(deadline=None)
@given(quads, quads)
def test_lines_stay_lines(one: list[tuple[float, float]], other: list[tuple[float, float]]) -> None:
    on_line = np.array([(0.1, 0.2), (0.4, 0.5), (0.8, 0.9)])
    carried = apply(homography(one, other), apply(homography(UNIT, one), on_line))
    (ax, ay), (bx, by), (cx, cy) = carried
    assume(np.ptp(carried) > 1)
    assert abs((bx - ax) * (cy - ay) - (by - ay) * (cx - ax)) < 1e-6 * np.ptp(carried) ** 2


@pytest.mark.parametrize("bad", [[(0, 0), (1, 1), (2, 2), (0, 5)], [(3, 3)] * 4])
def test_points_that_decide_nothing_are_refused(bad: list[tuple[float, float]]) -> None:
    with pytest.raises(ValueError):
        homography(bad, UNIT)


@cache
def checkers(rows: int, columns: int) -> Image.Image:
    """A photo of a checkerboard, seen from `TILTED`, 4 × 4 samples a pixel."""
    matrix, (width, height) = homography(TILTED, UNIT), (1600, 1100)
    light = np.zeros((height, width))
    for dy in (0.125, 0.375, 0.625, 0.875):
        for dx in (0.125, 0.375, 0.625, 0.875):
            x, y = np.meshgrid(np.arange(width) + dx, np.arange(height) + dy)
            across, down, depth = (row[0] * x + row[1] * y + row[2] for row in matrix)
            odd = (np.floor(columns * across / depth) + np.floor(rows * down / depth)) % 2
            light += np.where(odd == 1, 230, 25)
    grey = (light / 16).astype(np.uint8)
    return Image.fromarray(np.repeat(grey[..., None], 3, axis=2))


def edges(line: NDArray[np.float64]) -> NDArray[np.float64]:
    """Where a line of light crosses its middle value, to a fraction of a px."""
    middle = line - 127.5
    at = np.flatnonzero(np.sign(middle[:-1]) != np.sign(middle[1:]))
    return at + 0.5 + middle[at] / (middle[at] - middle[at + 1])


@pytest.mark.parametrize("side_max", [1600, 800, 400])
def test_a_checkerboard_comes_out_within_half_a_pixel(side_max: int) -> None:
    """Every edge of every row and column, at full, half and quarter resolution."""
    rows, columns = 6, 8
    photo = checkers(rows, columns)
    straight = straighten(photo, TILTED, 80, 60, side_max=side_max)
    assert straight.height == pytest.approx(straight.width * 0.75, abs=1)
    grey = np.asarray(straight.convert("L"), float)
    worst = 0.0
    for row in range(rows):
        found = edges(grey[round((row + 0.5) * straight.height / rows)])
        truth = np.arange(1, columns) * straight.width / columns
        assert len(found) == len(truth)
        worst = max(worst, float(np.abs(found - truth).max()))
    for column in range(columns):
        found = edges(grey[:, round((column + 0.5) * straight.width / columns)])
        truth = np.arange(1, rows) * straight.height / rows
        assert len(found) == len(truth)
        worst = max(worst, float(np.abs(found - truth).max()))
    assert worst < 0.25


def test_no_movement_gives_the_same_picture(samples: object) -> None:
    picture = samples.scene(600, 450)  # type: ignore[attr-defined]
    whole = [(0.0, 0.0), (600.0, 0.0), (600.0, 450.0), (0.0, 450.0)]
    straight = straighten(picture, whole, side_max=1600)
    assert straight.size == (600, 450)
    assert np.abs(np.asarray(straight, int) - np.asarray(picture, int)).max() <= 1


@pytest.mark.parametrize("side_max", [130, 200, 333])
def test_fine_grain_does_not_turn_into_false_pattern(side_max: int) -> None:
    """Stripes of 2 px, far finer than the small picture, must come out as even grey."""
    stripes = np.zeros((1000, 1400, 3), np.uint8)
    stripes[:, ::2] = 255
    photo = Image.fromarray(stripes)
    quad = [(100.0, 100.0), (1300.0, 140.0), (1290.0, 900.0), (110.0, 870.0)]
    straight = np.asarray(straighten(photo, quad, side_max=side_max).convert("L"), float)
    inner = straight[4:-4, 4:-4]
    assert abs(inner.mean() - 127.5) < 3
    assert inner.std() < 6
    nearest = np.asarray(photo.resize((side_max, 90), Image.Resampling.NEAREST), float)
    assert nearest.std() > 60  # what skipping pixels would give


def test_the_real_size_decides_the_shape() -> None:
    quad = [(0.0, 0.0), (400.0, 0.0), (400.0, 200.0), (0.0, 200.0)]
    assert straight_size(quad) == (400, 200)
    width, height = straight_size(quad, 100, 100)
    assert width == height == 400  # nothing is shrunk: the longer edge keeps its px
    assert straight_size(quad, 100, None) == (400, 200)


@settings(max_examples=15, deadline=None)
@given(quads, st.sampled_from([(1.0, 2000.0), (2000.0, 1.0), (80.0, 60.0)]))
def test_any_shape_stays_within_its_limit(
    quad: list[tuple[float, float]], mm: tuple[float, float]
) -> None:
    photo = Image.new("RGB", (1300, 1100), "white")
    straight = straighten(photo, quad, *mm, side_max=300)
    assert max(straight.size) <= 300 and min(straight.size) >= 1
